package pricing_test

import (
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// TestBreakEven costs random cakes again at the break-even price of every
// resource in their bills: the margin is the floor, exactly.
func TestBreakEven(t *testing.T) {
	checked := 0
	randomCostings(t, 120, func(seed uint64, x *book.Index, c pricing.Costing) {
		if _, ok := c.Margin(); !ok {
			return
		}
		floor := x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction()
		for _, line := range c.Takeoff.Bill {
			im, used, err := pricing.ImpactOf(x.Book.Studio, c, map[book.ID]exact.Number{line.Resource: exact.Int(1)})
			if err != nil || !used {
				t.Fatalf("seed %d: ImpactOf(%s): %v, %v", seed, line.Resource, used, err)
			}
			// Where no price from 0 up reaches the floor, a negative one would.
			cost, err := pricing.CostOf(c.Takeoff.Bill, c.Rates.With(map[book.ID]exact.Number{line.Resource: im.BreakEven}))
			if err != nil {
				t.Fatal(err)
			}
			margin, ok := pricing.Margin(c.Offer.Net, cost.Total())
			if !ok || !margin.Equal(floor) {
				t.Fatalf("seed %d: %s at %s of %s: margin %s, want %s", seed, c.Cake.ID, im.BreakEven.Text(), line.Resource, margin.Text(), floor.Text())
			}
			if im.Reachable != (im.BreakEven.Sign() >= 0) {
				t.Fatalf("seed %d: break-even %s of %s is reachable: %v", seed, im.BreakEven.Text(), line.Resource, im.Reachable)
			}
			checked++
		}
	})
	if checked < 100 {
		t.Errorf("only %d break-even prices were checked", checked)
	}
}

// TestImpactIsQuantityTimesChange holds costing.md's formula: cost changes by
// a·(new − old), × (1 + share).
func TestImpactIsQuantityTimesChange(t *testing.T) {
	randomCostings(t, 60, func(seed uint64, x *book.Index, c pricing.Costing) {
		share, err := c.Rates.Share()
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range c.Takeoff.Bill {
			rate, err := c.Rates.Of(line.Resource, line.Kind)
			if err != nil {
				t.Fatal(err)
			}
			to := rate.PerUnit.Mul(exact.Must("1.18"))
			im, _, err := pricing.ImpactOf(x.Book.Studio, c, map[book.ID]exact.Number{line.Resource: to})
			if err != nil {
				t.Fatal(err)
			}
			want := line.Quantity.Mul(to.Sub(rate.PerUnit)).Mul(exact.Int(1).Add(share))
			if got := im.After.Sub(im.Before); !got.Equal(want) {
				t.Fatalf("seed %d: %s up by 18 %%: cost rises by %s, want %s", seed, line.Resource, got.Text(), want.Text())
			}
		}
	})
}

func TestImpactLeavesOutCakesWithoutTheResource(t *testing.T) {
	x := exampleBook(t)
	_, used, err := pricing.ImpactOf(x.Book.Studio, costing(t, x, "two-tier-lemon"), map[book.ID]exact.Number{"no-such-thing": exact.Int(1)})
	if used || err != nil {
		t.Errorf("ImpactOf(no-such-thing) = %v, %v, want unused", used, err)
	}
}

func TestImpactOfCakeWithoutPrice(t *testing.T) {
	x := small(t, `"target": {"per_portion": "4.00"}`, `"ingredients": [`+gram("flour")+`], "cakes": [{"id": "cake", "name": "Show piece", "portions": 0, "parts": [{"use": "flour", "qty": "1 g"}]}]`)
	list, err := pricing.Impacts(x, pricing.NewRates(x, today), takeAll(x), pricing.Change{Resource: "flour", Factor: exact.Int(2)})
	if err != nil || len(list) != 1 || list[0].HasMargin || list[0].Reachable || list[0].After.Text() != "2" {
		t.Errorf("Impacts(flour) = %+v, %v, want one without a margin", list, err)
	}
}

// Per unit of the bill, by costing.md's small print. Worked by hand.
func TestPackRate(t *testing.T) {
	x := exampleBook(t)
	rates := pricing.NewRates(x, today)
	for _, c := range []struct {
		resource    book.ID
		pack, price string
		want        string
	}{
		{"butter", "10 x 250 g", "25.25", "0.0101"},
		{"butter", "1 lb", "4.5359237", "0.01"},
		{"ribbon", "1 m", "1.23", "0.001"},  // less the 23 % in force
		{"dowel", "1 dozen", "14.76", "1"},  // likewise
		{"pastry", "1 h", "60", "1.388125"}, // 60 ÷ 60 × 1.1105 ÷ 0.80
		{"pastry", "30 min", "30", "1.388125"},
		{"deck-oven", "1 h", "1.20", "0.02"},
		{"energy", "1 kWh", "0.40", "0.4"}, {"energy", "100 Wh", "0.04", "0.4"},
		{"overhead", "1 h", "17", "17"}, {"overhead", "30 min", "8.5", "17"},
	} {
		pack, err := measure.ParsePack(c.pack)
		if err != nil {
			t.Fatal(err)
		}
		price, err := money.ParsePrice(c.price)
		if err != nil {
			t.Fatal(err)
		}
		got, err := pricing.PackRate(x, rates, c.resource, pack, price)
		if err != nil || !got.Equal(exact.Must(c.want)) {
			t.Errorf("PackRate(%s, %s = %s) = %s, %v, want %s", c.resource, c.pack, c.price, got.Fixed(9), err, c.want)
		}
	}
	for _, c := range []struct {
		resource book.ID
		pack     string
	}{{"butter", "1 l"}, {"pastry", "1 kg"}, {"energy", "1 h"}, {"overhead", "1 each"}, {"egg-yolk", "1 g"}, {"lemon-curd", "1 kg"}, {"no-such-thing", "1 kg"}} {
		pack, err := measure.ParsePack(c.pack)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := pricing.PackRate(x, rates, c.resource, pack, money.Price{}); err == nil {
			t.Errorf("PackRate(%s, %s) = %s, want an error", c.resource, c.pack, got.Text())
		}
	}
}

// Rates that differ twice differ in both respects.
func TestRatesWithTwice(t *testing.T) {
	x := exampleBook(t)
	once := pricing.NewRates(x, today).With(map[book.ID]exact.Number{"butter": exact.Int(1)})
	twice := once.With(map[book.ID]exact.Number{"caster-sugar": exact.Int(2)})
	for id, want := range map[book.ID]string{"butter": "1", "caster-sugar": "2"} {
		if got, err := twice.Of(id, pricing.Ingredient); err != nil || got.PerUnit.Text() != want {
			t.Errorf("rate of %s = %s, %v, want %s", id, got.PerUnit.Text(), err, want)
		}
	}
	if got, err := once.Of("caster-sugar", pricing.Ingredient); err != nil || !got.PerUnit.Equal(exact.Must("0.00119")) {
		t.Errorf("With changed its receiver: caster sugar at %s, %v", got.PerUnit.Text(), err)
	}
}

func takeAll(x *book.Index) []pricing.Takeoff {
	list, err := pricing.TakeAll(x)
	if err != nil {
		panic(err)
	}
	return list
}
