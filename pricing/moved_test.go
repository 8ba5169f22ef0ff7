package pricing_test

import (
	"math/rand/v2"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
)

// TestCostMoved: what is added to a cost for prices that moved makes, class by
// class and to the last digit, the cost at the new prices; with overhead of every
// kind.
func TestCostMoved(t *testing.T) {
	methods := map[book.OverheadMethod]int{}
	for seed := range uint64(40) {
		g := randombook.New(seed)
		b, err := book.Parse(g.Book())
		if err != nil {
			t.Fatal(err)
		}
		x := book.NewIndex(b)
		rates := pricing.NewRates(x, day.Must(g.Date()))
		share, err := rates.Share()
		if err != nil {
			t.Fatal(err)
		}
		if b.Overhead != nil {
			methods[b.Overhead.Method]++
		}
		rng := rand.New(rand.NewPCG(seed, 4))
		for _, c := range b.Cakes {
			before, err := pricing.CostCake(x, c.ID, rates)
			if err != nil {
				t.Fatal(err)
			}
			perUnit, by := map[book.ID]exact.Number{}, map[book.ID]exact.Number{}
			for _, l := range before.Takeoff.Bill {
				if rng.IntN(3) > 0 {
					continue
				}
				old, err := rates.Of(l.Resource, l.Kind)
				if err != nil {
					t.Fatal(err)
				}
				perUnit[l.Resource] = exact.Frac(rng.Int64N(100_000), 997)
				by[l.Resource] = perUnit[l.Resource].Sub(old.PerUnit)
			}
			want, err := before.Takeoff.Costing(x, rates.With(perUnit))
			if err != nil {
				t.Fatal(err)
			}
			got, err := before.Takeoff.Costs(x, rates.With(perUnit), before.Cost.Moved(before.Takeoff.Bill, by, share))
			if err != nil {
				t.Fatal(err)
			}
			for class, pair := range map[string][2]exact.Number{
				"ingredients": {got.Cost.Ingredients, want.Cost.Ingredients}, "packaging": {got.Cost.Packaging, want.Cost.Packaging}, "labour": {got.Cost.Labour, want.Cost.Labour},
				"equipment": {got.Cost.Equipment, want.Cost.Equipment}, "overhead": {got.Cost.Overhead, want.Cost.Overhead},
				"price": {got.Offer.Shown, want.Offer.Shown}, "net price": {got.Offer.Net, want.Offer.Net},
			} {
				if !pair[0].Equal(pair[1]) {
					t.Fatalf("seed %d, %s: %s = %s, want %s", seed, c.ID, class, pair[0].Text(), pair[1].Text())
				}
			}
		}
	}
	if len(methods) < 3 {
		t.Errorf("only %v; the test misses its point", methods)
	}
}

// TestExposuresOfAll: what several cakes hang on together is the sum of what each
// does, taken the long way, also where cakes are of one design, and of those that
// have no price.
func TestExposuresOfAll(t *testing.T) {
	step := exact.Frac(1, 7)
	for seed := range uint64(30) {
		g := randombook.New(seed)
		b, err := book.Parse(g.Book())
		if err != nil {
			t.Fatal(err)
		}
		x := book.NewIndex(b)
		rates := pricing.NewRates(x, day.Must(g.Date()))
		var costings []pricing.Costing
		var total, net exact.Number
		amounts, priced := map[book.ID]exact.Number{}, map[book.ID]exact.Number{}
		for i, c := range b.Cakes {
			one, err := pricing.CostCake(x, c.ID, rates)
			if err != nil {
				t.Fatal(err)
			}
			for range 1 + i%3 {
				costings = append(costings, one)
				total = total.Add(one.Cost.Total())
				if one.Offer.HasPrice {
					net = net.Add(one.Offer.Net)
				}
				list, err := pricing.Exposures(one, step)
				if err != nil {
					t.Fatal(err)
				}
				for _, e := range list {
					amounts[e.Resource] = amounts[e.Resource].Add(e.Amount)
					if one.Offer.HasPrice {
						priced[e.Resource] = priced[e.Resource].Add(e.Amount)
					}
				}
			}
		}
		got, err := pricing.ExposuresOfAll(costings, step)
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(amounts) {
			t.Fatalf("seed %d: %d resources, want %d", seed, len(got), len(amounts))
		}
		for i, e := range got {
			if !e.Amount.Equal(amounts[e.Resource]) || !total.IsZero() && !e.Share.Equal(e.Amount.Quo(total)) {
				t.Fatalf("seed %d: %s is %s of it, want %s of %s", seed, e.Resource, e.Amount.Text(), amounts[e.Resource].Text(), total.Text())
			}
			if e.HasSwing != !net.IsZero() || e.HasSwing && !e.Swing.Equal(priced[e.Resource].Mul(step).Quo(net)) {
				t.Fatalf("seed %d: %s swings by %s", seed, e.Resource, e.Swing.Text())
			}
			if i > 0 && e.Amount.Cmp(got[i-1].Amount) > 0 {
				t.Fatalf("seed %d: %s stands after one of less", seed, e.Resource)
			}
		}
	}
}
