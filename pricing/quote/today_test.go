package quote_test

import (
	"math/rand/v2"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// TestStandCostsTheWholeBill: a position moved by new prices stands where its
// whole bill, costed afresh at those prices, does, to the last digit.
func TestStandCostsTheWholeBill(t *testing.T) {
	stood := 0
	randomQuotes(t, 60, func(seed uint64, x *book.Index, q quote.Quote) {
		rates := pricing.NewRates(x, q.Offer.IssuedOn)
		bill, err := q.Basis.Bill(x)
		if err != nil {
			t.Fatal(err)
		}
		p, err := quote.PositionOf(x, q, rates)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(seed, 3))
		for _, changed := range []int{0, 1, 4} {
			perUnit := map[book.ID]exact.Number{"not-in-the-bill": exact.Int(7)}
			for range min(changed, len(bill)) {
				l := bill[rng.IntN(len(bill))]
				rate, err := rates.Of(l.Resource, l.Kind)
				if err != nil {
					t.Fatal(err)
				}
				perUnit[l.Resource] = rate.PerUnit.Mul(exact.Frac(rng.Int64N(4000), 991))
			}
			st, err := p.Stand(rates, perUnit)
			if err != nil {
				t.Fatal(err)
			}
			now, err1 := pricing.CostOf(bill, rates)
			after, err2 := pricing.CostOf(bill, rates.With(perUnit))
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			if !st.Now.Equal(now.Total()) || !st.After.Equal(after.Total()) || !st.Sold.Equal(q.Basis.Cost) {
				t.Fatalf("seed %d: %s stands at %s, then %s; want %s, %s", seed, q.Number, st.Now.Text(), st.After.Text(), now.Total().Text(), after.Total().Text())
			}
			wantNow, has := pricing.Margin(q.Basis.Net, now.Total())
			wantIs, _ := pricing.Margin(q.Basis.Net, after.Total())
			if st.HasMargin != has || !st.MarginNow.Equal(wantNow) || !st.MarginIs.Equal(wantIs) {
				t.Fatalf("seed %d: margins %t %s %s, want %t %s %s", seed, st.HasMargin, st.MarginNow.Text(), st.MarginIs.Text(), has, wantNow.Text(), wantIs.Text())
			}
			by := map[book.ID]exact.Number{}
			for id, now := range perUnit {
				if l, there := bill.Line(id); there {
					old, err := rates.Of(id, l.Kind)
					if err != nil {
						t.Fatal(err)
					}
					by[id] = now.Sub(old.PerUnit)
				}
			}
			share, err := rates.Share()
			if err != nil {
				t.Fatal(err)
			}
			// Where the new prices are those of the day, it stands there unmoved.
			later, err := p.Moved(by, share).Stand(rates.With(perUnit), nil)
			if err != nil {
				t.Fatal(err)
			}
			if !later.Now.Equal(st.After) || !later.After.Equal(st.After) || !later.Sold.Equal(st.Sold) || later.HasMargin != has || !later.MarginNow.Equal(wantIs) || !later.MarginIs.Equal(wantIs) || !later.MarginWas.Equal(st.MarginWas) {
				t.Fatalf("seed %d: moved, it stands at %s, want %s", seed, later.Now.Text(), st.After.Text())
			}
			stood++
		}
	})
	if stood < 30 {
		t.Errorf("%d quotes were looked at; the test misses its point", stood)
	}
}
