package variance_test

import (
	"encoding/json"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

func ID(s string) book.ID { return book.ID(s) }

func work(t testing.TB, o variance.Order) variance.Result {
	t.Helper()
	r, err := variance.Work(o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func month(t testing.TB, o variance.Overhead, plan record.Maybe[variance.Plan], orders ...variance.Order) variance.Month {
	t.Helper()
	var tally variance.Tally
	for _, order := range orders {
		tally.Add(work(t, order))
	}
	m, err := tally.Month(o, plan)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// What stands in for what is not recorded. Worked by hand: the standard is 10
// at 2.00.
func TestStandIn(t *testing.T) {
	some := func(s string) record.Maybe[exact.Number] { return record.Some(exact.Must(s)) }
	none := record.Maybe[exact.Number]{}
	for _, c := range []struct {
		name                 string
		quantity, price      record.Maybe[exact.Number]
		lost                 string
		used, paid           string
		recordedQ, recordedP bool
		priceV, usage, waste string
	}{
		{"nothing", none, none, "0", "10", "2", false, false, "0", "0", "0"},
		{"as planned", some("10"), some("2"), "0", "10", "2", true, true, "0", "0", "0"},
		{"quantity alone", some("11"), none, "0", "11", "2", true, false, "0", "-2", "0"},
		{"price alone", none, some("2.5"), "0", "10", "2.5", false, true, "-5", "0", "0"},
		{"loss alone is on top", none, none, "3", "13", "2", true, false, "0", "0", "-6"},
		{"loss within what was used", some("11"), some("1"), "3", "11", "1", true, true, "11", "4", "-6"},
		{"nothing used after all", some("0"), none, "0", "0", "2", true, false, "0", "20", "0"},
		{"all lost", some("10"), none, "10", "10", "2", true, false, "0", "20", "-20"},
		{"given away", none, some("0"), "0", "10", "0", false, true, "20", "0", "0"},
	} {
		l := standard("sugar", pricing.Ingredient, exact.Int(10), exact.Int(2))
		l.ActualQuantity, l.ActualPrice, l.Lost = c.quantity, c.price, exact.Must(c.lost)
		v := work(t, variance.Order{Lines: []variance.Line{l}}).Lines[0]
		for _, f := range []struct {
			what string
			got  exact.Number
			want string
		}{
			{"quantity", v.Quantity.Value, c.used}, {"price", v.Price.Value, c.paid},
			{"price variance", v.Split.Price, c.priceV}, {"usage", v.Split.Usage, c.usage}, {"waste", v.Split.Lost, c.waste},
		} {
			if !f.got.Equal(exact.Must(f.want)) {
				t.Errorf("%s: %s = %s, want %s", c.name, f.what, f.got.Text(), f.want)
			}
		}
		if v.Quantity.Recorded != c.recordedQ || v.Price.Recorded != c.recordedP || v.Recorded() != (c.recordedQ || c.recordedP) {
			t.Errorf("%s: recorded quantity %v, price %v, want %v, %v", c.name, v.Quantity.Recorded, v.Price.Recorded, c.recordedQ, c.recordedP)
		}
		want := exact.Number{}
		if v.Recorded() {
			want = exact.Int(20)
		}
		if !v.Costs.Recorded.Equal(want) {
			t.Errorf("%s: standard cost with a record = %s, want %s", c.name, v.Costs.Recorded.Text(), want.Text())
		}
	}
}

// All that something unplanned cost is usage.
func TestUnplanned(t *testing.T) {
	r := work(t, variance.Order{Lines: []variance.Line{variance.Unplanned("ribbon", pricing.Packaging, "m", exact.Int(3), exact.Must("1.10"))}})
	if got := r.Bridge.Amount(variance.MaterialUsage); !got.Equal(exact.Must("-3.3")) || !r.Bridge.Variance().Equal(got) {
		t.Errorf("usage of 3 m at 1.10 = %s of a variance of %s, want all of -3.3", got.Text(), r.Bridge.Variance().Text())
	}
}

// Every kind of resource stands under its own steps: with a price of 3 for a
// standard of 2, and 7 used for 5.
func TestKeys(t *testing.T) {
	for kind, want := range map[pricing.Kind][2]variance.Key{
		pricing.Ingredient: {variance.MaterialPrice, variance.MaterialUsage},
		pricing.Packaging:  {variance.MaterialPrice, variance.MaterialUsage},
		pricing.Role:       {variance.LabourRate, variance.LabourEfficiency},
		pricing.Energy:     {variance.VariableSpending, variance.VariableEfficiency},
		pricing.Equipment:  {variance.VariableSpending, variance.VariableEfficiency},
	} {
		l := standard("it", kind, exact.Int(5), exact.Int(2))
		l.ActualQuantity, l.ActualPrice = record.Some(exact.Int(7)), record.Some(exact.Int(3))
		b := work(t, variance.Order{Lines: []variance.Line{l}}).Bridge
		for _, s := range b.Steps {
			amount := 0
			switch s.Key {
			case want[0]:
				amount = -7
			case want[1]:
				amount = -4
			}
			if !s.Amount.Equal(exact.Int(int64(amount))) || s.Recorded != (amount != 0 || s.Key == variance.MaterialWaste && want[1] == variance.MaterialUsage || s.Key == variance.LabourIdle && kind == pricing.Role) {
				t.Errorf("%s: %s = %s recorded %v, want %d", kind, s.Key, s.Amount.Text(), s.Recorded, amount)
			}
		}
	}
	if _, _, _, ok := variance.Keys(pricing.Overhead); ok {
		t.Error("fixed overhead has steps in an order; want none")
	}
}

func TestKeyText(t *testing.T) {
	seen := map[string]bool{}
	for k := variance.SalesQuantity; k <= variance.OverheadAbsorption; k++ {
		text, err := json.Marshal(k)
		if err != nil {
			t.Fatal(err)
		}
		var back variance.Key
		if err := json.Unmarshal(text, &back); err != nil || back != k || seen[string(text)] {
			t.Errorf("%s reads back as %s, %v, or is not its alone", text, back, err)
		}
		seen[string(text)] = true
	}
	var k variance.Key
	if err := json.Unmarshal([]byte(`"luck"`), &k); err == nil {
		t.Error(`the key "luck" is read; want a refusal`)
	}
	if got := variance.Key(-1).String(); got != "variance.Key(-1)" {
		t.Errorf("Key(-1) = %q", got)
	}
}

func TestRefused(t *testing.T) {
	less := exact.Int(-1)
	for want, spoil := range map[string]func(*variance.Order){
		"2026-0007: the planned price is below zero":  func(o *variance.Order) { o.Sales.Price = less },
		"the planned discount is below zero":          func(o *variance.Order) { o.Sales.Discount = less },
		"the price charged is below zero":             func(o *variance.Order) { o.Sales.ActualPrice = record.Some(less) },
		"the discount granted is below zero":          func(o *variance.Order) { o.Sales.ActualDiscount = record.Some(less) },
		"the share of overhead is below zero":         func(o *variance.Order) { o.Share = less },
		"-2 cakes":                                    func(o *variance.Order) { o.Cakes = -2 },
		"butter: the standard quantity is below zero": func(o *variance.Order) { o.Lines[0].StandardQuantity = less },
		"butter: the standard price is below zero":    func(o *variance.Order) { o.Lines[0].StandardPrice = less },
		"butter: the quantity used is below zero":     func(o *variance.Order) { o.Lines[0].ActualQuantity = record.Some(less) },
		"butter: the price paid is below zero":        func(o *variance.Order) { o.Lines[0].ActualPrice = record.Some(less) },
		"butter: the quantity lost is below zero":     func(o *variance.Order) { o.Lines[0].Lost = less },
		"butter: the kind of resource 9 is unknown":   func(o *variance.Order) { o.Lines[0].Kind = 9 },
		"butter: more was lost than used": func(o *variance.Order) {
			o.Lines[0].ActualQuantity, o.Lines[0].Lost = record.Some(exact.Int(1)), exact.Int(2)
		},
		"energy: only goods are wasted and only labour is idle":      func(o *variance.Order) { o.Lines[1].Lost = exact.Int(1) },
		"overhead: an order absorbs overhead at its standard; enter": func(o *variance.Order) { o.Lines[2].ActualPrice = record.Some(exact.Int(1)) },
	} {
		o := variance.Order{ID: "2026-0007", Lines: []variance.Line{
			standard("butter", pricing.Ingredient, exact.Int(1), exact.Int(1)),
			standard("energy", pricing.Energy, exact.Int(1), exact.Int(1)),
			standard("overhead", pricing.Overhead, exact.Int(1), exact.Int(1)),
		}}
		spoil(&o)
		if r, err := variance.Work(o); err == nil || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), "order 2026-0007: ") || r.Lines != nil {
			t.Errorf("Work = %v, want a refusal with %q", err, want)
		}
	}
	// Every fault at once.
	o := variance.Order{ID: "x", Cakes: -1, Share: less, Lines: []variance.Line{{Lost: less}}}
	if _, err := variance.Work(o); err == nil || strings.Count(err.Error(), "\n") != 2 {
		t.Errorf("Work = %v, want three faults", err)
	}
}

func TestMixtureRefused(t *testing.T) {
	grams := standard("dark", pricing.Ingredient, exact.Int(1), exact.Int(1))
	pieces, bad := grams, grams
	pieces.Resource, pieces.Unit = "bar", "each"
	bad.Lost = exact.Int(-1)
	nothing := standard("milk", pricing.Ingredient, exact.Number{}, exact.Int(1))
	for want, lines := range map[string][]variance.Line{
		"dark is in unit and bar in each": {grams, pieces},
		"no standard quantity":            {nothing},
		"mixture: dark: the quantity":     {bad},
	} {
		if _, err := variance.SplitUsage(lines); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("SplitUsage = %v, want a refusal with %q", err, want)
		}
	}
	if _, err := variance.SplitUsage(nil); err == nil {
		t.Error("SplitUsage(nothing) succeeds, want a refusal")
	}
}
