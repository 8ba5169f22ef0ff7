package variance_test

import (
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/quote"
	"marchpane/pricing/variance"
)

// The standard of an order is what its quote was priced with: over random books
// and requests, net, cost by class and margin are the quote's own, exactly.
func TestStandardIsTheQuotes(t *testing.T) {
	discounts := 0
	for seed := range uint64(60) {
		g := randombook.New(seed)
		data := g.Book()
		b, err := book.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		x := book.NewIndex(b)
		for _, text := range g.Requests(data, 4) {
			req, err := quote.ReadRequest(text)
			if err != nil {
				t.Fatal(err)
			}
			q, err := quote.Price(x, req)
			if err != nil {
				t.Fatal(err)
			}
			if len(q.Options) > 0 {
				q = q.Choose(0)
			}
			o, err := variance.FromQuote(q)
			if err != nil {
				t.Fatalf("seed %d: %v\n%s", seed, err, text)
			}
			r := work(t, o)
			cakes := 0
			for _, c := range q.Basis.Cakes {
				cakes += c.Quantity
			}
			if !r.PlannedNet.Equal(q.Basis.Net) || !r.Kinds.Total().Standard.Equal(q.Basis.Cost) || !r.Bridge.Variance().IsZero() || r.Cakes != cakes {
				t.Errorf("seed %d: net %s, cost %s, want %s, %s\n%s", seed, r.PlannedNet.Fixed(6), r.Kinds.Total().Standard.Fixed(6), q.Basis.Net.Fixed(6), q.Basis.Cost.Fixed(6), text)
			}
			var labour, overhead exact.Number
			for _, c := range append(append([]quote.Costed(nil), q.Basis.Cakes...), q.Basis.Extras...) {
				n := exact.Int(int64(c.Quantity))
				labour, overhead = labour.Add(c.Cost.Labour.Mul(n)), overhead.Add(c.Cost.Overhead.Mul(n))
			}
			if got := r.Kinds.Standard(); !got.Labour.Equal(labour) || !got.Overhead.Equal(overhead) {
				t.Errorf("seed %d: labour %s, overhead %s, want %s, %s", seed, got.Labour.Fixed(6), got.Overhead.Fixed(6), labour.Fixed(6), overhead.Fixed(6))
			}
			if !o.Sales.Discount.IsZero() {
				discounts++
			}
		}
	}
	if discounts == 0 {
		t.Error("no quote had a discount; the test shows nothing of them")
	}
}

// A discount of 10 % on 240.00 gross at 20 % tax is 20.00 without it. Worked by
// hand.
func TestDiscountOfQuote(t *testing.T) {
	b, err := book.Parse([]byte(`{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "tax": {"rate": "20 %"}, "target": {"margin": "0 %"}},
		"cakes": [{"id": "cake", "name": "Cake", "portions": 10, "price": "240"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	req, err := quote.ReadRequest([]byte(`{"client": {"name": "A. Client"}, "event": {"date": "2026-12-24"}, "on": "2026-11-01", "discount": "10 %", "lines": [{"cake": "cake", "quantity": 1}]}`))
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.Price(book.NewIndex(b), req)
	if err != nil {
		t.Fatal(err)
	}
	o, err := variance.FromQuote(q)
	if err != nil {
		t.Fatal(err)
	}
	if !o.Sales.Price.Equal(exact.Int(200)) || !o.Sales.Discount.Equal(exact.Int(20)) {
		t.Errorf("price %s, discount %s, want 200 and 20", o.Sales.Price.Text(), o.Sales.Discount.Text())
	}
}

func TestQuoteRefused(t *testing.T) {
	unpriced := quote.Quote{Number: "2026-0003", Basis: quote.Basis{Cakes: []quote.Costed{{Name: "Cake", Quantity: 1, Bill: []quote.Resource{{ID: "flour", Kind: "ingredient"}}}}}}
	for want, q := range map[string]quote.Quote{
		"2026-0003: Cake: flour has no frozen price": unpriced,
		"2026-0004 offers several options":           {Number: "2026-0004", Options: make([]quote.Option, 2)},
	} {
		if _, err := variance.FromQuote(q); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("FromQuote = %v, want a refusal with %q", err, want)
		}
	}
}
