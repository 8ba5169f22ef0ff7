package pricing_test

import (
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// checkTree holds that every node with children is their sum, and every leaf
// with a quantity is quantity × rate.
func checkTree(t *testing.T, seed uint64, n pricing.Node) {
	t.Helper()
	if len(n.Children) > 0 {
		var sum exact.Number
		for _, child := range n.Children {
			sum = sum.Add(child.Amount)
			checkTree(t, seed, child)
		}
		if !sum.Equal(n.Amount) {
			t.Fatalf("seed %d: %s is %s, but its children add up to %s", seed, n.Label, n.Amount.Text(), sum.Text())
		}
	}
	if n.Unit != "" && !n.Quantity.Mul(n.PerUnit).Equal(n.Amount) {
		t.Fatalf("seed %d: %s: %s %s at %s is not %s", seed, n.Label, n.Quantity.Text(), n.Unit, n.PerUnit.Text(), n.Amount.Text())
	}
}

// TestExplanationsAddUp unfolds random cakes by place and by class.
func TestExplanationsAddUp(t *testing.T) {
	explained := 0
	randomCostings(t, 150, func(seed uint64, _ *book.Index, c pricing.Costing) {
		if hasTwins(c) {
			return // see TestTiersOfOneName
		}
		explained++
		for name, explain := range map[string]func(pricing.Costing) (pricing.Explanation, error){"ByPlace": pricing.ByPlace, "ByClass": pricing.ByClass} {
			e, err := explain(c)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			checkTree(t, seed, e.Cost)
			for _, made := range e.Made {
				checkTree(t, seed, made)
			}
			if !e.Cost.Amount.Equal(c.Cost.Total()) {
				t.Fatalf("seed %d: %s(%s) = %s, want %s", seed, name, c.Cake.ID, e.Cost.Amount.Text(), c.Cost.Total().Text())
			}
		}
	})
	if explained < 10 {
		t.Errorf("only %d cakes were explained", explained)
	}
}

// hasTwins reports whether two tiers bear one name.
func hasTwins(c pricing.Costing) bool {
	seen := map[string]bool{}
	for _, t := range c.Takeoff.Tiers {
		if seen[t.Name] {
			return true
		}
		seen[t.Name] = true
	}
	return false
}

// Nothing keeps two tiers from bearing one name; what each takes is still
// counted once: 2 g in all at 1.00.
func TestTiersOfOneName(t *testing.T) {
	tier := `{"name": "tier", "shape": "square", "side": "10 cm", "height": "10 cm", "portions": 1, "parts": [{"use": "flour", "qty": "1 g"}]}`
	x := small(t, `"target": {"markup": "0 %"}`, `"ingredients": [`+gram("flour")+`], "cakes": [{"id": "cake", "name": "Cake", "tiers": [`+tier+","+tier+`]}]`)
	c := costing(t, x, "cake")
	e, err := pricing.ByPlace(c)
	if err != nil {
		t.Fatal(err)
	}
	if c.Cost.Total().Text() != "2" || e.Cost.Amount.Text() != "2" || len(e.Cost.Children) != 2 {
		t.Errorf("ByPlace of two tiers of one name = %s in %d places, want 2 in 2; the cost is %s", e.Cost.Amount.Text(), len(e.Cost.Children), c.Cost.Total().Text())
	}
}

// TestByClassHasTheClasses compares the nodes under the root with the cost.
func TestByClassHasTheClasses(t *testing.T) {
	randomCostings(t, 60, func(seed uint64, _ *book.Index, c pricing.Costing) {
		e, err := pricing.ByClass(c)
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]exact.Number{
			"ingredients": c.Cost.Ingredients, "packaging": c.Cost.Packaging, "labour": c.Cost.Labour,
			"equipment and energy": c.Cost.Equipment, "overhead": c.Cost.Overhead,
		}
		for _, n := range e.Cost.Children {
			amount, ok := want[n.Label]
			if !ok || !amount.Equal(n.Amount) {
				t.Fatalf("seed %d: ByClass has %s = %s, want %s", seed, n.Label, n.Amount.Text(), amount.Text())
			}
			delete(want, n.Label)
		}
		for label, amount := range want {
			if !amount.IsZero() {
				t.Fatalf("seed %d: ByClass lacks %s of %s", seed, label, amount.Text())
			}
		}
	})
}

// TestMadeIsWhatItCosts checks that what a component costs to make is what the
// places that use it are charged for it.
func TestMadeIsWhatItCosts(t *testing.T) {
	randomCostings(t, 60, func(seed uint64, _ *book.Index, c pricing.Costing) {
		e, err := pricing.ByClass(c)
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range c.Takeoff.Makings {
			var needed, inherited exact.Number
			for _, n := range m.Needs {
				needed = needed.Add(n.Quantity)
			}
			for _, u := range m.Uses {
				rate, err := c.Rates.Of(u.Resource, u.Kind)
				if err != nil {
					t.Fatal(err)
				}
				inherited = inherited.Add(u.Quantity.Mul(rate.PerUnit))
			}
			if !needed.Equal(m.Need) || m.Made.Cmp(m.Need) < 0 || m.Batches.Sign() <= 0 || !m.Batches.Rat().IsInt() {
				t.Fatalf("seed %d: %s: needs add up to %s of %s, made %s in %s batches", seed, m.Component.Name, needed.Text(), m.Need.Text(), m.Made.Text(), m.Batches.Text())
			}
			if e.Made[i].Amount.Cmp(inherited) < 0 {
				t.Fatalf("seed %d: %s costs %s to make, less than its own uses %s", seed, m.Component.Name, e.Made[i].Amount.Text(), inherited.Text())
			}
		}
	})
}

func TestBrief(t *testing.T) {
	for in, want := range map[string]string{
		"0": "0", "1": "1", "12.5": "12.5", "1234.56": "1,235", "1234567": "1,234,567", "0.00123456": "0.001235", "999.96": "1,000", "-12.345": "-12.35", "1/3": "0.3333",
	} {
		if got := pricing.Brief(exact.Must(in)); got != want {
			t.Errorf("Brief(%s) = %s, want %s", in, got, want)
		}
	}
}
