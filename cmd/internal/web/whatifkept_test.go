package web

import (
	"context"
	"io"
	"log/slog"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// TestWhatIfAfterSaves: after each of many kinds of saves the pages that go by what
// is kept of cakes and quotes are, to the letter, those of a server that has just
// begun and keeps nothing.
func TestWhatIfAfterSaves(t *testing.T) {
	v := visitStudio(t, true, func(o *Options) { o.Hosts = append(o.Hosts, "example.com") })
	pages := []string{
		"/what-if", "/what-if?move.butter=18", "/what-if?move.butter=18&move.decorator=4.5&move.energy=-20", "/what-if?move.in:dairy=7&on=2026-12-24", "/what-if?move.decorator=3",
		"/what-if/reprice", "/what-if/reprice?max_rise=3", "/what-if/reprice?on=2027-02-01", "/what-if/exposure", "/what-if/exposure?step=25&on=2026-12-24", "/cakes",
	}
	once := regexp.MustCompile(`(?s)<input[^>]*name="(?:token|version)"[^>]*>|id="[^"]*"|for="[^"]*"`)
	body := func(s *Server, path string) string {
		w := askedPlainly(s, path)
		if w == "" {
			t.Fatalf("%s is empty", path)
		}
		return once.ReplaceAllString(w, "")
	}
	ingredient := func(id book.ID, change func(*book.Ingredient)) func(*book.Book) {
		return func(b *book.Book) {
			b.Ingredients = slices.Clone(b.Ingredients)
			i := ingredients.index(b.Ingredients, id)
			b.Ingredients[i].Prices = slices.Clone(b.Ingredients[i].Prices)
			change(&b.Ingredients[i])
		}
	}
	cake := func(i int, change func(*book.Cake)) func(*book.Book) {
		return func(b *book.Book) {
			b.Cakes = slices.Clone(b.Cakes)
			change(&b.Cakes[i])
		}
	}
	price := func(text string) money.Price {
		p, err := money.ParsePrice(text)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	three, err := measure.ParsePack("3 x 333 g")
	if err != nil {
		t.Fatal(err)
	}
	percent := func(text string) measure.Percent {
		p, err := measure.ParsePercent(text)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	costs := func(text string) func(*book.Ingredient) {
		return func(i *book.Ingredient) {
			next := i.Prices[len(i.Prices)-1]
			next.From, next.Price = day.Of(testNow), price(text)
			i.Prices = append(i.Prices, next)
		}
	}
	for _, save := range []struct {
		name   string
		change func(*book.Book)
	}{
		{"nothing yet", func(*book.Book) {}},
		{"butter a little dearer", ingredient("butter", costs("26.10"))},
		{"butter ten times as dear", ingredient("butter", costs("260.10"))},
		{"butter for nothing", ingredient("butter", costs("0"))},
		{"another pack", ingredient("butter", func(i *book.Ingredient) {
			costs("7.77")(i)
			i.Prices[len(i.Prices)-1].Pack = three
		})},
		{"prices with tax in them", ingredient("butter", func(i *book.Ingredient) {
			costs("30.00")(i)
			i.Prices[len(i.Prices)-1].TaxIn = record.Some(percent("7 %"))
		})},
		{"a wage", func(b *book.Book) {
			b.Roles = slices.Clone(b.Roles)
			for i := range b.Roles {
				b.Roles[i].Wage = append(slices.Clone(b.Roles[i].Wage), book.Wage{From: day.Of(testNow), PerHour: price("23.45")})
			}
		}},
		{"a list price", cake(0, func(c *book.Cake) {
			c.ListPrices = append(slices.Clone(c.ListPrices), book.ListPrice{From: day.Of(testNow), Price: price("333.00")})
		})},
		{"a list price to come", cake(1, func(c *book.Cake) {
			c.ListPrices = append(slices.Clone(c.ListPrices), book.ListPrice{From: day.Of(testNow).AddDays(20), Price: price("111.00")})
		})},
		{"a tax rate and a target of its own", cake(2, func(c *book.Cake) {
			c.TaxRate, c.Target = record.Some(percent("3 %")), &book.Target{Markup: record.Some(percent("77 %"))}
		})},
		{"another price step", func(b *book.Book) { b.Studio.PriceStep = record.Some(price("2.50")) }},
		{"another target", func(b *book.Book) { b.Studio.Target = book.Target{Margin: record.Some(percent("55.5 %"))} }},
		{"prices without tax", func(b *book.Book) { b.Studio.PricesShown = record.Some(book.Net) }},
		{"a recipe", func(b *book.Book) {
			b.Components = slices.Clone(b.Components)
			c := &b.Components[components.index(b.Components, "vanilla-sponge")]
			c.Lines = slices.Clone(c.Lines)
			c.Lines[0].Qty = measure.Must("217 g")
		}},
		{"overhead as a share", func(b *book.Book) {
			b.Overhead = &book.Overhead{Method: book.ByPercent, Dated: []book.DatedOverhead{{From: day.Must("2020-01-01"), Share: record.Some(percent("12 %"))}}}
		}},
		{"another share", func(b *book.Book) {
			b.Overhead = &book.Overhead{Method: book.ByPercent, Dated: []book.DatedOverhead{{From: day.Must("2020-01-01"), Share: record.Some(percent("13 %"))}}}
		}},
		{"a price under a share", ingredient("butter", costs("19.99"))},
		{"overhead by the cake", func(b *book.Book) {
			b.Overhead = &book.Overhead{Method: book.ByCake, Dated: []book.DatedOverhead{{From: day.Must("2020-01-01"), Amount: record.Some(price("9.10"))}}}
		}},
		{"a price that is missing until later", ingredient("butter", func(i *book.Ingredient) {
			last := i.Prices[len(i.Prices)-1]
			last.From = day.Must("2026-12-20")
			i.Prices = []book.Price{last}
		})},
		{"and is there again", ingredient("butter", costs("24.00"))},
		{"fewer cakes", func(b *book.Book) { b.Cakes = slices.Delete(slices.Clone(b.Cakes), 0, 1) }},
		{"a twin", func(b *book.Book) {
			twin := b.Cakes[0]
			twin.ID, twin.Name = "twin", "A twin"
			b.Cakes = append([]book.Cake{twin}, b.Cakes...)
		}},
	} {
		if _, err := v.store.Edit(t.Context(), "test", testNow, func(b book.Book) (book.Book, error) {
			save.change(&b)
			return b, nil
		}); err != nil {
			t.Fatalf("%s: %v", save.name, err)
		}
		sameAsAfresh(t, v, save.name, pages, body)
	}
	open, err := v.store.OpenQuotes(t.Context(), day.Of(testNow))
	if err != nil || len(open) == 0 {
		t.Fatalf("%d quotes are open, %v; the test misses its point", len(open), err)
	}
	for _, q := range open {
		if _, err := v.store.Decline(t.Context(), q.Ref(), "too dear", day.Of(testNow), testNow); err == nil {
			sameAsAfresh(t, v, "a quote declined", pages, body)
			return
		}
	}
	t.Error("no quote could be declined; the test misses its point")
}

// sameAsAfresh compares pages with those of a server that has just begun.
func sameAsAfresh(t *testing.T, v *visitor, after string, pages []string, body func(*Server, string) string) {
	t.Helper()
	s, err := New(context.WithoutCancel(t.Context()), Options{
		Store: v.store, Desk: testDesk{realDesk}, Now: func() time.Time { return testNow }, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Hosts: []string{"example.com"},
	})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for _, path := range pages {
		got, want := body(v.server, path), body(s, path)
		if got != want {
			i := 0
			for i < min(len(got), len(want)) && got[i] == want[i] {
				i++
			}
			t.Fatalf("%s, %s: stands\n…%.200s\nwant\n…%.200s", after, path, got[max(i-100, 0):], want[max(i-100, 0):])
		}
	}
}

// askedPlainly returns a page as text.
func askedPlainly(s *Server, path string) string {
	w := httptest.NewRecorder()
	s.ServeHTTP(w, httptest.NewRequest("GET", path, nil))
	if w.Code >= 500 {
		return ""
	}
	return strings.TrimSpace(w.Body.String())
}
