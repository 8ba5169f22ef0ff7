package pricing_test

import (
	"fmt"
	"os"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
)

// today is a day on which every price of the books of these tests is in force.
var today = day.Must("2026-11-01")

func indexOf(t testing.TB, text []byte) *book.Index {
	t.Helper()
	b, err := book.Parse(text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return book.NewIndex(b)
}

// small is a book of a studio with some keys of its own and some lists.
func small(t testing.TB, studio, lists string) *book.Index {
	t.Helper()
	return indexOf(t, fmt.Appendf(nil, `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "USD", "household": "us", "prices_shown": "net", %s}, %s}`, studio, lists))
}

// pantry is a book with one ingredient, sold at a price for a pack, of which
// the cake "cake" uses qty. more holds further keys of the ingredient.
func pantry(t testing.TB, dimension, pack, price, qty, more string) *book.Index {
	t.Helper()
	return small(t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
		`"ingredients": [{"id": "stuff", "name": "Stuff", "measure": %q, %s "prices": [{"from": "2026-01-01", "pack": %q, "price": %q}]}],
		"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "stuff", "qty": %q}]}]`, dimension, more, pack, price, qty))
}

func costing(t testing.TB, x *book.Index, cake book.ID) pricing.Costing {
	t.Helper()
	c, err := pricing.CostCake(x, cake, pricing.NewRates(x, today))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// takes returns how much of a resource the cake "cake" takes.
func takes(t testing.TB, x *book.Index, resource book.ID) exact.Number {
	t.Helper()
	l, ok := costing(t, x, "cake").Takeoff.Bill.Line(resource)
	if !ok {
		t.Fatalf("the cake takes no %s", resource)
	}
	return l.Quantity
}

func exampleBook(t testing.TB) *book.Index {
	t.Helper()
	data, err := os.ReadFile("testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	return indexOf(t, data)
}

// randomCostings calls f with every cake of some random books.
func randomCostings(t *testing.T, books uint64, f func(seed uint64, x *book.Index, c pricing.Costing)) {
	t.Helper()
	if testing.Short() {
		books = min(books, 10)
	}
	for seed := range books {
		g := randombook.New(seed)
		x := indexOf(t, g.Book())
		rates := pricing.NewRates(x, day.Must(g.Date()))
		for i := range x.Book.Cakes {
			c, err := pricing.CostCake(x, x.Book.Cakes[i].ID, rates)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			f(seed, x, c)
		}
	}
}
