package catalogue_test

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/measure"
)

// ranked is a cake of the plain way: costed in exact rationals before and after.
type ranked struct {
	cake    int
	has     bool
	was, is exact.Number // at 6 decimals
}

// TestMoveRanksThePlainWay ranks many cakes of random books, twins among them
// and some without a price, by exact rationals and a sort of all, and holds the
// catalogue's order and figures against that: one price moved and several, a
// little, a lot and by orders of magnitude.
func TestMoveRanksThePlainWay(t *testing.T) {
	books := 40
	if testing.Short() {
		books = 10
	}
	ties, wide := 0, 0
	for seed := range uint64(books) {
		g := randombook.New(seed)
		b, err := book.Parse(g.Book())
		if err != nil {
			t.Fatal(err)
		}
		x := book.NewIndex(b)
		rates := pricing.NewRates(x, day.Must(g.Date()))
		rng := rand.New(rand.NewPCG(seed, 2))
		bills, cakes := manyCakes(t, x, rates, rng)
		cat, err := catalogue.New(rates, b.Studio.Currency.Places(), cakes, func(i int) (pricing.Bill, error) { return bills[i], nil })
		if err != nil {
			t.Fatal(err)
		}
		for _, most := range []int64{2, 3000, 100_000_000_000} {
			changes := map[book.ID]exact.Number{}
			for range 1 + rng.IntN(6) {
				bill := bills[rng.IntN(len(bills))]
				l := bill[rng.IntN(len(bill))]
				rate, err := rates.Of(l.Resource, l.Kind)
				if err != nil {
					t.Fatal(err)
				}
				changes[l.Resource] = rate.PerUnit.Mul(exact.Frac(rng.Int64N(most), 997))
			}
			want := plainly(t, bills, cakes, rates, changes)
			got, err := cat.Move(changes)
			if err != nil {
				t.Fatal(err)
			}
			if len(got) != len(want) {
				t.Fatalf("seed %d: %d cakes are touched, want %d", seed, len(got), len(want))
			}
			for i, w := range want {
				m := got[i]
				if int(m.Cake) != w.cake || m.HasMargin != w.has || w.has && (text(m.Was) != w.was.Fixed(6) || text(m.Is) != w.is.Fixed(6)) {
					t.Fatalf("seed %d, up to ×%d, place %d: %+v, want cake %d from %s to %s", seed, most/997, i, m, w.cake, w.was.Fixed(6), w.is.Fixed(6))
				}
				if i > 0 && w.has && w.was.Sub(w.is).Equal(want[i-1].was.Sub(want[i-1].is)) {
					ties++
				}
			}
			if n := len(want); n > 1 && want[0].has && want[0].was.Sub(want[0].is).Cmp(exact.Int(1<<32/1_000_000)) > 0 {
				wide++
			}
			for _, floor := range []exact.Number{{}, exact.Frac(1, 3), exact.Frac(1, 2), b.Studio.FloorMargin.Or(measure.Percent{}).Fraction()} {
				was, is := catalogue.Below(got, floor)
				wantWas, wantIs := 0, 0
				for _, w := range want {
					if w.has && w.was.Cmp(floor) < 0 {
						wantWas++
					}
					if w.has && w.is.Cmp(floor) < 0 {
						wantIs++
					}
				}
				if was != wantWas || is != wantIs {
					t.Errorf("seed %d: below %s = %d, %d; want %d, %d", seed, floor.Text(), was, is, wantWas, wantIs)
				}
			}
		}
	}
	if ties < books || wide == 0 {
		t.Errorf("%d ties and %d moves by orders of magnitude in %d books; the test misses its point", ties, wide, books)
	}
}

// manyCakes takes each cake of a book in many times over, at prices of many
// kinds, in any order.
func manyCakes(t *testing.T, x *book.Index, rates *pricing.Rates, rng *rand.Rand) (bills []pricing.Bill, cakes []catalogue.Cake) {
	t.Helper()
	for range 150 {
		k := x.Book.Cakes[rng.IntN(len(x.Book.Cakes))]
		c, err := pricing.CostCake(x, k.ID, rates)
		if err != nil {
			t.Fatal(err)
		}
		_, has := c.Margin()
		net := c.Offer.Net
		switch rng.IntN(6) {
		case 0:
			has = false
		case 1:
			net = exact.Frac(1+rng.Int64N(100_000), 119)
			has = true
		}
		bills = append(bills, c.Takeoff.Bill)
		cakes = append(cakes, catalogue.Cake{ID: k.ID, Lines: catalogue.LinesOf(c.Takeoff.Bill), Net: net, HasPrice: has})
	}
	return bills, cakes
}

// plainly costs all that changes touch, and sorts it.
func plainly(t *testing.T, bills []pricing.Bill, cakes []catalogue.Cake, rates *pricing.Rates, changes map[book.ID]exact.Number) (list []ranked) {
	t.Helper()
	after := rates.With(changes)
	margin := func(i int, rates *pricing.Rates) exact.Number {
		cost, err := pricing.CostOf(bills[i], rates)
		if err != nil {
			t.Fatal(err)
		}
		m, _ := pricing.Margin(cakes[i].Net, cost.Total())
		return exact.FromDecimal(m.Round(6))
	}
	for i, bill := range bills {
		if !slices.ContainsFunc(bill, func(l pricing.BillLine) bool { _, moves := changes[l.Resource]; return moves }) {
			continue
		}
		r := ranked{cake: i, has: cakes[i].HasPrice}
		if r.has {
			r.was, r.is = margin(i, rates), margin(i, after)
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b ranked) int {
		switch {
		case a.has != b.has && a.has:
			return -1
		case a.has != b.has:
			return 1
		}
		return cmp.Or(b.was.Sub(b.is).Cmp(a.was.Sub(a.is)), a.cake-b.cake)
	})
	return list
}
