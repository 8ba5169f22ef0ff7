package pricing_test

import (
	"os"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
)

func TestQuick(t *testing.T) {
	data, _ := os.ReadFile("testdata/example-book.json")
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	c, err := pricing.CostCake(x, "two-tier-lemon", pricing.NewRates(x, day.Must("2026-09-15")))
	if err != nil {
		t.Fatal(err)
	}
	m, _ := c.Margin()
	t.Log(c.Cost.Ingredients.Fixed(6), c.Cost.Packaging.Fixed(6), c.Cost.Labour.Fixed(6), c.Cost.Equipment.Fixed(6), c.Cost.Overhead.Fixed(6), c.Cost.Total().Fixed(6), c.Offer.Target.Fixed(6), c.Offer.Net.Fixed(6), m.Fixed(6))
	for _, l := range c.Takeoff.Bill {
		t.Log(l.Resource, l.Quantity.Fixed(6), l.Unit)
	}
}

func BenchmarkCost(b *testing.B) {
	data, _ := os.ReadFile("testdata/example-book.json")
	bk, err := book.Parse(data)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		x := book.NewIndex(bk)
		_, err := pricing.CostCake(x, "two-tier-lemon", pricing.NewRates(x, day.Must("2026-09-15")))
		if err != nil {
			b.Fatal(err)
		}
	}
}
