package pricing_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// TestTargets: cost 100, 8 portions served, tax 20 %. Worked by hand.
func TestTargets(t *testing.T) {
	for _, c := range []struct{ studio, target, want string }{
		{`"prices_shown": "gross"`, `{"margin": "60 %"}`, "300"}, // 100 ÷ 0.4 × 1.2
		{`"prices_shown": "net"`, `{"margin": "60 %"}`, "250"},
		{`"prices_shown": "gross"`, `{"markup": "50 %"}`, "180"},
		{`"prices_shown": "net"`, `{"markup": "50 %"}`, "150"},
		{`"prices_shown": "gross"`, `{"per_portion": "7.25"}`, "58"}, // in shown terms
		{`"prices_shown": "net"`, `{"per_portion": "7.25"}`, "58"},
		{`"prices_shown": "gross"`, `{"fixed": "199.99"}`, "199.99"},
		{`"prices_shown": "gross", "price_step": "5.00"`, `{"fixed": "200.01"}`, "205"},
		{`"prices_shown": "gross", "price_step": "5.00"`, `{"fixed": "200.00"}`, "200"}, // a multiple stays
		{`"prices_shown": "net", "price_step": "0.99"`, `{"markup": "0 %"}`, "100.98"},
		{`"prices_shown": "net"`, `{"margin": "70 %"}`, "333.33"}, // no step: rounded
		{`"prices_shown": "net"`, `{"margin": "0 %"}`, "100"},
		{`"prices_shown": "net"`, `{"fixed": "10.005"}`, "10.01"},
	} {
		x := indexOf(t, fmt.Appendf(nil, `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "tax": {"rate": "20 %%"}, "target": {"fixed": "1"}, %s},
			"cakes": [{"id": "cake", "name": "Cake", "portions": 8, "target": %s}]}`, c.studio, c.target))
		cake, _ := x.Cake("cake")
		o := pricing.Price(x.Book.Studio, cake, today, exact.Int(100), 8)
		if !o.HasPrice || !o.HasGoal || !o.Shown.Equal(exact.Must(c.want)) || !o.Target.Equal(o.Shown) {
			t.Errorf("Price under {%s}, %s = %s, want %s", c.studio, c.target, o.Shown.Text(), c.want)
		}
	}
}

// A list price stands instead of the target's, which is still told. What is not
// served has no price per portion.
func TestListPrice(t *testing.T) {
	x := small(t, `"price_step": "10", "target": {"per_portion": "3"}`,
		`"cakes": [{"id": "listed", "name": "Cake", "portions": 8, "price": "95.55"}, {"id": "shown-off", "name": "Cake", "portions": 0}, {"id": "both", "name": "Cake", "portions": 0, "price": "95.55"}]`)
	for _, c := range []struct {
		cake             book.ID
		shown, target    string
		hasPrice, hasAim bool
	}{{"listed", "1911/20", "30", true, true}, {"shown-off", "0", "0", false, false}, {"both", "1911/20", "0", true, false}} {
		o := costing(t, x, c.cake).Offer
		if o.HasPrice != c.hasPrice || o.HasGoal != c.hasAim || o.Shown.Text() != c.shown || o.Target.Text() != c.target {
			t.Errorf("%s is offered at %s (%v), aimed at %s (%v), want %s and %s", c.cake, o.Shown.Text(), o.HasPrice, o.Target.Text(), o.HasGoal, c.shown, c.target)
		}
	}
}

func TestTaxRate(t *testing.T) {
	const cakes = `"cakes": [{"id": "own", "name": "Cake", "portions": 1, "tax_rate": "0 %"}, {"id": "plain", "name": "Cake", "portions": 1}],
		"extras": [{"id": "own", "name": "Extra", "tax_rate": "23 %"}, {"id": "plain", "name": "Extra"}]`
	for studio, want := range map[string][4]string{`"tax": {"rate": "13.5 %"},`: {"0", "27/200", "23/100", "27/200"}, ``: {"0", "0", "0", "0"}} {
		x := small(t, studio+`"target": {"markup": "0 %"}`, cakes)
		s := x.Book.Studio
		ownCake, _ := x.Cake("own")
		cake, _ := x.Cake("plain")
		ownExtra, _ := x.Extra("own")
		extra, _ := x.Extra("plain")
		got := [4]string{pricing.CakeTaxRate(s, ownCake).Text(), pricing.CakeTaxRate(s, cake).Text(), pricing.ExtraTaxRate(s, ownExtra).Text(), pricing.ExtraTaxRate(s, extra).Text()}
		if got != want {
			t.Errorf("tax rates of {%s} = %v, want %v", studio, got, want)
		}
	}
}

// TestMarginLaw: at a target margin the price achieves it within the rounding
// of the price, and never less where a step rounds up.
func TestMarginLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		percent := rapid.IntRange(0, 9999).Draw(t, "margin in hundredths of a per cent")
		tax := rapid.IntRange(0, 3000).Draw(t, "tax likewise")
		step, shown := "", rapid.SampledFrom([]string{"gross", "net"}).Draw(t, "shown")
		if rapid.Bool().Draw(t, "has step") {
			step = fmt.Sprintf(`"price_step": "%d.%02d",`, rapid.IntRange(0, 20).Draw(t, "whole"), rapid.IntRange(1, 99).Draw(t, "cents"))
		}
		text := fmt.Appendf(nil, `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "prices_shown": %q, %s "tax": {"rate": "%d.%02d %%"}, "target": {"margin": "%d.%02d %%"}}, "cakes": [{"id": "cake", "name": "Cake", "portions": 1}]}`,
			shown, step, tax/100, tax%100, percent/100, percent%100)
		b, err := book.Parse(text)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		cost := exact.Frac(rapid.Int64Range(1, 1e9).Draw(t, "cost"), rapid.Int64Range(1, 1e5).Draw(t, "part"))
		o := pricing.Price(b.Studio, &b.Cakes[0], today, cost, 1)
		kept := exact.Int(1).Sub(exact.Frac(int64(percent), 10_000))
		exactly := pricing.ShownOf(b.Studio, cost.Quo(kept), o.TaxRate)
		over := o.Shown.Sub(exactly)
		if step != "" {
			if width := b.Studio.PriceStep.Value.Number(); over.Sign() < 0 || over.Cmp(width) >= 0 || !o.Shown.Quo(width).Rat().IsInt() {
				t.Fatalf("at a cost of %s a step of %s shows %s, want the next multiple from %s", cost.Text(), width.Text(), o.Shown.Text(), exactly.Fixed(6))
			}
		} else if half := exact.Frac(1, 200); over.Cmp(half) > 0 || over.Cmp(half.Neg()) < 0 {
			t.Fatalf("at a cost of %s the price is %s, want %s rounded", cost.Text(), o.Shown.Text(), exactly.Fixed(6))
		}
		if back := pricing.ShownOf(b.Studio, o.Net, o.TaxRate); !back.Equal(o.Shown) {
			t.Fatalf("net %s shows as %s, want %s", o.Net.Text(), back.Text(), o.Shown.Text())
		}
	})
}

func TestPerPortionAndMargin(t *testing.T) {
	if per, ok := pricing.PerPortion(exact.Int(10), 4); !ok || per.Text() != "5/2" {
		t.Errorf("PerPortion(10, 4) = %s, %v, want 5/2", per.Text(), ok)
	}
	if _, ok := pricing.PerPortion(exact.Int(10), 0); ok {
		t.Error("PerPortion(10, 0) has an answer, want none")
	}
	if m, ok := pricing.Margin(exact.Int(40), exact.Int(50)); !ok || m.Text() != "-1/4" {
		t.Errorf("Margin(40, 50) = %s, %v, want -1/4", m.Text(), ok)
	}
	if _, ok := pricing.Margin(exact.Int(0), exact.Int(50)); ok {
		t.Error("Margin(0, 50) has an answer, want none")
	}
}

func TestCostArithmetic(t *testing.T) {
	one := pricing.Cost{Ingredients: exact.Int(1), Packaging: exact.Int(2), Labour: exact.Int(3), Equipment: exact.Int(4), Overhead: exact.Int(5)}
	if got := one.Add(one).Times(exact.Frac(1, 2)); got.Ingredients.Text()+got.Packaging.Text()+got.Labour.Text()+got.Equipment.Text()+got.Overhead.Text() != "12345" || got.Total().Text() != "15" {
		t.Errorf("(1 2 3 4 5) + itself, halved = %+v", got)
	}
}
