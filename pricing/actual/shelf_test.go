package actual_test

import (
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/variance"
)

// Whatever was bought whenever, the price of an order is what a walk over every
// purchase of its span gives.
func TestAveragePrice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := day.Must("2026-09-01")
		date := func(label string) day.Date { return start.AddDays(rapid.IntRange(0, 30).Draw(t, label)) }
		o := order()
		o.Accepted = date("accepted")
		o.Quote.Offer.EventDate = date("event")
		var r actual.Records
		var cost, quantity exact.Number
		for range rapid.IntRange(0, 12).Draw(t, "purchases") {
			p := bought("2026-09-01", "1", "1", rapid.SampledFrom([]string{"", "2026-0002"}).Draw(t, "order"))
			p.On = date("day")
			p.Quantity = exact.Frac(rapid.Int64Range(1, 900).Draw(t, "quantity"), 7)
			p.PerUnit = exact.Frac(rapid.Int64Range(1, 900).Draw(t, "price"), 123)
			if rapid.IntRange(0, 5).Draw(t, "kind") == 0 {
				p.Unit = "g" // since bought by another measure
			}
			if rapid.IntRange(0, 5).Draw(t, "undone") == 0 {
				p.Undone = &actual.Undone{}
			}
			r.Purchases = append(r.Purchases, p)
			if p.Order == "" && p.Unit == "kg" && p.Undone == nil && !p.On.Before(o.Accepted) && !p.On.After(o.Quote.Offer.EventDate) {
				cost, quantity = cost.Add(p.Quantity.Mul(p.PerUnit)), quantity.Add(p.Quantity)
			}
		}
		plan := variance.Order{Lines: []variance.Line{{Resource: "butter", Kind: pricing.Ingredient, Unit: "kg", StandardQuantity: n("2"), StandardPrice: n("9")}}}
		got := actual.NewLedger(r).Apply(plan, o).Lines[0].ActualPrice
		if got.Given == quantity.IsZero() {
			t.Fatalf("a price is known: %v, bought were %s", got.Given, quantity.Text())
		}
		if got.Given && !got.Value.Equal(cost.Quo(quantity)) {
			t.Fatalf("price %s, want %s", got.Value.Text(), cost.Quo(quantity).Text())
		}
	})
}
