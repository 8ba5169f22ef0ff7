package web

import (
	"errors"
	"io"
	"log/slog"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/schedule"
	"marchpane/store"
)

// What pages of the month remember is never older than what is written: after
// every kind of write they are what a server shows that has just begun, and
// those on which it bears are not what they were.
func TestMonthPagesAreNeverOld(t *testing.T) {
	const november, june, year = "/month/2026-11", "/month/2027-06", "/month/2027"
	const kitchen, cards, shop = "/kitchen?from=2027-06-01&to=2027-06-30", "/kitchen/cards?from=2027-06-01&to=2027-06-30", "/shopping?from=2027-06-01&to=2027-06-30"
	const records, purchases = "/records/2026-11", "/purchases"
	pages := []string{november, june, year, kitchen, cards, shop, records, purchases, "/records/2026-11?from=1"}

	v, number := acceptedStudio(t)
	s, ctx, today := v.store, t.Context(), day.Of(testNow)
	check := func(_ any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	price := func(text string) money.Price {
		p, err := money.ParsePrice(text)
		check(nil, err)
		return p
	}
	sum := func(text string) (a money.Amount) {
		cur, err := money.ParseCurrency("EUR")
		check(nil, err)
		return cur.Amount(price(text).Decimal())
	}
	note := func(r actual.Records) actual.Records {
		saved, err := s.Record(ctx, r, testNow)
		check(nil, err)
		return saved
	}
	edit := func(change func(*book.Book)) {
		check(s.Edit(ctx, "test", testNow, func(b book.Book) (book.Book, error) { change(&b); return b, nil }))
	}
	priced := func(cakes int) quote.Quote {
		b, err := s.Book(ctx)
		check(nil, err)
		saved, err := s.Quote(ctx, number, "", today)
		check(nil, err)
		r := saved.Quote.Request
		r.Lines = slices.Clone(r.Lines)
		r.Lines[0].Quantity = cakes
		q, err := quote.Price(book.NewIndex(b), r)
		check(nil, err)
		return q
	}
	may, err := actual.ParseMonth("2026-11")
	check(nil, err)
	backup := filepath.Join(t.TempDir(), "backup.db")
	var paid quote.Payment
	var worked string
	head := actual.Head{On: today}
	var packs measure.Figure
	var pack measure.Pack
	check(nil, errors.Join(packs.UnmarshalText([]byte("4")), pack.UnmarshalText([]byte("5 kg"))))

	shown := map[string]string{}
	for _, w := range []struct {
		what  string
		write func()
		bears []string
	}{
		{"nothing", func() {}, nil},
		{"another quote", func() { check(s.IssueQuote(ctx, priced(2), testNow)) }, []string{november}},
		{"decline", func() { check(s.Decline(ctx, "2026-0002", "too dear", today, testNow)) }, []string{november}},
		{"receive", func() {
			var err error
			paid, err = s.Receive(ctx, quote.Payment{Quote: number, On: today, Amount: sum("100.00"), Means: quote.Cash}, testNow)
			check(nil, err)
		}, []string{november}},
		{"undo of a payment", func() { check(s.Undo(ctx, paid.Number, "", today, testNow)) }, []string{november}},
		{"work", func() {
			worked = note(actual.Records{Work: []actual.Work{{Head: head, Order: number, Way: actual.Longer, Role: "decorator", Minutes: exact.Int(95), PerMinute: exact.Frac(1, 2)}}}).Work[0].ID
		}, []string{june, year, records}},
		{"goods thrown away", func() {
			note(actual.Records{Goods: []actual.Goods{{Head: head, Order: number, Way: actual.Wasted, Use: "butter", Written: measure.Must("310 g"), Goods: []actual.Good{{Resource: "butter", Quantity: exact.Int(310), Unit: "g", PerUnit: exact.Frac(1, 100)}}}}})
		}, []string{june, year, records}},
		{"energy of the month of the event", func() {
			event, err := actual.ParseMonth("2027-06")
			check(nil, err)
			var kwh measure.Figure
			check(nil, kwh.UnmarshalText([]byte("900")))
			note(actual.Records{Bills: []actual.Bill{{Head: head, Month: event, Of: actual.EnergyCost, Amount: record.Some(sum("411.00")), KWh: record.Some(kwh)}}})
		}, []string{june, year}},
		{"bill", func() {
			note(actual.Records{Bills: []actual.Bill{{Head: head, Month: may, Of: actual.OverheadCost, Amount: record.Some(sum("412.00"))}}})
		}, []string{november, records}},
		{"plan", func() {
			note(actual.Records{Plans: []actual.Plan{{Head: head, Month: may, Overhead: record.Some(sum("500.00"))}}})
		}, []string{november, records}},
		{"pay", func() {
			note(actual.Records{Wages: []actual.Wage{{Head: head, Role: "decorator", PerHour: price("31.00"), PerMinute: exact.Frac(31, 60)}}})
		}, []string{june, year, records}},
		{"purchase", func() {
			note(actual.Records{Purchases: []actual.Purchase{{Head: head, Ingredient: "butter", Packs: packs, Pack: pack, Price: price("70.00"), Quantity: exact.Int(20_000), Unit: "g", PerUnit: exact.Frac(14, 1000)}}})
		}, []string{june, year, records, purchases}},
		{"let off", func() {
			note(actual.Records{Charges: []actual.Charge{{Head: head, Order: number, Amount: sum("20.00").Neg()}}})
		}, []string{june, year, records}},
		{"taken back", func() { check(s.UndoActual(ctx, worked, "a slip", today, testNow)) }, []string{june, year, records}},
		{"hours", func() {
			check(s.ChangeCapacity(ctx, testNow, func(_ *book.Index, c *schedule.Capacity) error {
				c.Opens, c.Roles = 7*60, map[book.ID]schedule.Hours{"decorator": schedule.EveryDay(100)}
				return nil
			}))
		}, []string{kitchen}},
		{"usual hours", func() { check(nil, s.ForgetCapacity(ctx)) }, []string{kitchen}},
		{"a client's note", func() {
			c, err := s.AddClientOf(ctx, number, testNow)
			check(nil, err)
			check(s.ChangeClient(ctx, c.Ref, func(c *enquiry.Client) error { c.Notes = record.Some("rang"); return nil }, testNow))
		}, nil},
		{"a price of the book", func() {
			edit(func(b *book.Book) {
				b.Ingredients = slices.Clone(b.Ingredients)
				i := ingredients.index(b.Ingredients, "butter")
				p := slices.Clone(b.Ingredients[i].Prices)
				next := p[len(p)-1]
				next.From, next.Price = today, price("99.00")
				b.Ingredients[i].Prices = append(p, next)
			})
		}, []string{shop}},
		{"a method", func() {
			edit(func(b *book.Book) {
				b.Components = slices.Clone(b.Components)
				for i := range b.Components {
					b.Components[i].Method = record.Some("Stir, and wait for the moon.")
				}
			})
		}, []string{cards}},
		{"the studio's name", func() { edit(func(b *book.Book) { b.Studio.Name = "Renamed Cakes" }) }, pages},
		{"a revision", func() { check(s.ReviseQuote(ctx, number, priced(3), "more guests", testNow)) }, nil},
		{"the revision accepted", func() { check(s.Accept(ctx, number, "", "", today, testNow)) }, []string{june, year, kitchen, shop}},
		{"a draft", func() { check(s.SaveDraft(ctx, priced(1), testNow)) }, nil},
		{"a copy, then a cancellation", func() {
			check(nil, s.CopyTo(ctx, backup))
			fee := sum("77.00")
			check(s.Cancel(ctx, number, &fee, "", today, testNow))
		}, []string{november, june, year, kitchen, cards, shop}},
		{"the copy restored", func() { check(s.Restore(ctx, backup, testNow)) }, []string{november, june, year, kitchen, cards, shop}},
		{"a client erased", func() {
			check(s.EraseClient(ctx, "C1", true, today, testNow))
		}, []string{november, june}},
	} {
		w.write()
		now := map[string]string{}
		fresh := begun(t, s.Path())
		for _, path := range pages {
			v.get(path) // and once more, as it is remembered now
			now[path] = plainText(v.get(path).body)
			if want := plainText(fresh(path)); now[path] != want {
				t.Errorf("after %s, %s is\n%s\nwant\n%s", w.what, path, now[path], want)
			}
			if slices.Contains(w.bears, path) && now[path] == shown[path] {
				t.Errorf("after %s, %s is as it was before", w.what, path)
			}
		}
		if w.what == "a client erased" && strings.Contains(now[november]+now[june], "Šimková") {
			t.Errorf("after a client was erased, a report tells the name")
		}
		shown = now
	}
}

// begun is a server of its own of the studio at a path, as it has just begun.
func begun(t *testing.T, path string) func(string) string {
	t.Helper()
	s, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	server, err := New(t.Context(), Options{Store: s, Desk: testDesk{realDesk}, Now: func() time.Time { return testNow }, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Hosts: []string{"example.com"}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { server.Close() })
	return func(path string) string {
		w := httptest.NewRecorder()
		server.ServeHTTP(w, httptest.NewRequest("GET", path, nil))
		return w.Body.String()
	}
}
