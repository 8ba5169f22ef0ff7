package pricing_test

import (
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/seed"
)

// TestBatchAgainstCake: a cake that is nothing but so much of a component costs
// what CostBatch says of it, for every recipe of the demo studio and of one that
// charges overhead as a share.
func TestBatchAgainstCake(t *testing.T) {
	file, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	on, err := day.Parse("2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	for _, times := range []exact.Number{exact.Int(1), exact.Frac(7, 3)} {
		for i := range file.Components {
			c := file.Components[i]
			b := file
			b.Components = append([]book.Component(nil), file.Components...)
			b.Components[i].BatchMin = book.Component{}.BatchMin
			x := book.NewIndex(b)
			out, err := x.Output(&b.Components[i])
			if err != nil {
				t.Fatal(err)
			}
			batch, err := pricing.CostBatch(book.NewIndex(file), &c, times, pricing.NewRates(x, on))
			if err != nil {
				t.Fatalf("%s: %v", c.Name, err)
			}
			if batch.Missing != nil {
				t.Fatalf("%s: %v", c.Name, batch.Missing)
			}
			// The need is cut at 18 places to be written as a quantity.
			need := out.Number.Mul(times).Round(18)
			b.Cakes = []book.Cake{{ID: "whole", Name: "Whole", Portions: record.Some(1), Parts: []book.Part{{Use: c.ID, Qty: measure.Must(need.String() + " " + out.Dimension.Base())}}}}
			costing, err := pricing.CostCake(book.NewIndex(b), "whole", pricing.NewRates(book.NewIndex(b), on))
			if err != nil {
				t.Fatal(err)
			}
			want := costing.Cost
			want.Overhead = exact.Number{}
			if got := batch.Cost.Total().Sub(want.Total()); got.Round(9).Sign() != 0 {
				t.Errorf("%s × %s costs %s, want %s", c.Name, times.Text(), batch.Cost.Total().Fixed(12), want.Total().Fixed(12))
			}
			sum := batch.Labour.Add(batch.Equipment)
			for _, l := range batch.Lines {
				sum = sum.Add(l.Amount)
			}
			if !sum.Equal(batch.Cost.Total()) {
				t.Errorf("%s: lines, work and appliances come to %s, all to %s", c.Name, sum.Fixed(6), batch.Cost.Total().Fixed(6))
			}
		}
	}
}

// TestBatchWithoutAPrice: what is known is summed, and what is not is named, also
// through a recipe within.
func TestBatchWithoutAPrice(t *testing.T) {
	b, err := book.Parse(fmt.Appendf(nil, `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "target": {"markup": "0 %%"}},
	"ingredients": [
	 {"id": "butter", "name": "Butter", "measure": "mass", "allergens": {"contains": ["milk"]}, "prices": [{"from": "2026-01-01", "pack": "1 kg", "price": "10.00"}]},
	 {"id": "nut", "name": "Nut paste", "measure": "mass", "allergens": {"contains": ["hazelnut"], "may_contain": ["milk", "soy"]}, "prices": []},
	 {"id": "sugar", "name": "Sugar", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 kg", "price": "2.00"}]}],
	"components": [
	 {"id": "praline", "name": "Praline", "lines": [{"use": "nut", "qty": "100 g"}, {"use": "sugar", "qty": "100 g"}]},
	 {"id": "cream", "name": "Praline cream", "lines": [{"use": "butter", "qty": "300 g"}, {"use": "praline", "qty": "100 g"}]}]}`))
	if err != nil {
		t.Fatal(err)
	}
	on, err := day.Parse("2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	batch, err := pricing.CostBatch(x, &b.Components[1], exact.Int(1), pricing.NewRates(x, on))
	if err != nil {
		t.Fatal(err)
	}
	if batch.Missing == nil || !strings.Contains(batch.Missing.Error(), "Nut paste") {
		t.Errorf("missing: %v, want the nut paste", batch.Missing)
	}
	// 300 g at 10 and 50 g at 2 a kilogram.
	if got := batch.Cost.Total().Fixed(2); got != "3.10" {
		t.Errorf("the rest costs %s, want 3.10", got)
	}
	if !batch.Lines[0].Priced || batch.Lines[1].Priced {
		t.Errorf("priced: %t, %t; want true, false", batch.Lines[0].Priced, batch.Lines[1].Priced)
	}
	contains, may, silent := pricing.Allergens(x, batch.Takeoff)
	if fmt.Sprint(contains, may) != "[milk hazelnut] [soy]" || len(silent) != 1 || silent[0].ID != "sugar" {
		t.Errorf("allergens: %v, %v, silent %v", contains, may, silent)
	}
	if _, err := pricing.CostBatch(x, &b.Components[1], exact.Int(0), pricing.NewRates(x, on)); err == nil {
		t.Error("nothing made is costed")
	}
}
