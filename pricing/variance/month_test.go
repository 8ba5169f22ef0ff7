package variance_test

import (
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// One order that absorbed 100, with and without a budget of 120 and 130 paid.
// Worked by hand.
func TestOverhead(t *testing.T) {
	order := variance.Order{
		Sales: variance.Sales{Price: exact.Int(150)},
		Lines: []variance.Line{standard("overhead", pricing.Overhead, exact.Int(8), exact.Must("12.5"))},
	}
	some := func(n int64) record.Maybe[exact.Number] { return record.Some(exact.Int(n)) }
	for _, c := range []struct {
		name                         string
		o                            variance.Overhead
		spending, volume, absorption string // "" where there is no such step
		actual                       string
		recorded                     bool
	}{
		{"neither", variance.Overhead{}, "", "", "0", "50", false},
		{"budget alone stands in for what was paid", variance.Overhead{Budget: some(120)}, "0", "-20", "", "30", false},
		{"paid alone", variance.Overhead{Actual: some(130)}, "", "", "-30", "20", true},
		{"both", variance.Overhead{Budget: some(120), Actual: some(130)}, "-10", "-20", "", "20", true},
		{"over-absorbed", variance.Overhead{Budget: some(90), Actual: some(85)}, "5", "10", "", "65", true},
		{"nothing paid", variance.Overhead{Budget: some(90), Actual: some(0)}, "90", "10", "", "150", true},
	} {
		m := month(t, c.o, record.Maybe[variance.Plan]{}, order)
		for key, want := range map[variance.Key]string{
			variance.OverheadSpending: c.spending, variance.OverheadVolume: c.volume, variance.OverheadAbsorption: c.absorption,
		} {
			got := ""
			for _, s := range m.Bridge.Steps {
				if s.Key == key {
					got = s.Amount.Text()
				}
			}
			if got != want {
				t.Errorf("%s: %s = %q, want %q", c.name, key, got, want)
			}
		}
		if c.spending != "" {
			if s := m.Kinds[pricing.Overhead].Split; s.Price.Text() != c.spending || s.Usage.Text() != c.volume {
				t.Errorf("%s: the kind's spending = %s, volume = %s, want %s, %s", c.name, s.Price.Text(), s.Usage.Text(), c.spending, c.volume)
			}
		}
		if got := m.Bridge.Actual.Text(); got != c.actual || m.Overhead.Actual.Recorded != c.recorded {
			t.Errorf("%s: actual margin = %s recorded %v, want %s, %v", c.name, got, m.Overhead.Actual.Recorded, c.actual, c.recorded)
		}
	}
}

// The three ways to absorb 60 of overhead in an order with direct costs of
// 240. None of it moves with what was really used. Worked by hand.
func TestAbsorption(t *testing.T) {
	for name, o := range map[string]variance.Order{
		"by the labour hour": {Lines: []variance.Line{standard("overhead", pricing.Overhead, exact.Int(4), exact.Int(15))}},
		"by the cake":        {Lines: []variance.Line{standard("overhead", pricing.Overhead, exact.Int(2), exact.Int(30))}},
		"by percentage":      {Share: exact.Frac(1, 4)},
	} {
		goods := standard("butter", pricing.Ingredient, exact.Int(10), exact.Int(14))
		goods.ActualPrice = record.Some(exact.Int(99))
		labour := standard("baker", pricing.Role, exact.Int(200), exact.Frac(1, 2))
		labour.ActualQuantity = record.Some(exact.Int(900))
		o.Lines = append(o.Lines, goods, labour)
		r := work(t, o)
		if s, a := r.Kinds.Standard().Overhead, r.Kinds.Actual().Overhead; !s.Equal(exact.Int(60)) || !a.Equal(exact.Int(60)) {
			t.Errorf("%s: absorbed %s by the standard, %s by the actual, want 60", name, s.Text(), a.Text())
		}
	}
}

// Against a plan of nothing every cake is one more. Worked by hand.
func TestEmptyPlan(t *testing.T) {
	b := month(t, variance.Overhead{}, record.Some(variance.Plan{}), variance.Order{Cakes: 1, Sales: variance.Sales{Price: exact.Int(70)}}).Bridge
	if q, mix := b.Amount(variance.SalesQuantity), b.Amount(variance.SalesMix); !q.Equal(exact.Int(70)) || !mix.IsZero() || !b.Planned.IsZero() {
		t.Errorf("from %s by quantity %s and mix %s, want 0, 70, 0", b.Planned.Text(), q.Text(), mix.Text())
	}
}

// Resources of several orders stand together, and apart where a unit changed.
func TestResources(t *testing.T) {
	first := standard("butter", pricing.Ingredient, exact.Int(10), exact.Int(2))
	first.ActualQuantity = record.Some(exact.Int(12))
	second := standard("butter", pricing.Ingredient, exact.Int(5), exact.Int(3))
	hourly, flat := standard("overhead", pricing.Overhead, exact.Int(1), exact.Int(9)), standard("overhead", pricing.Overhead, exact.Int(1), exact.Int(40))
	hourly.Unit, flat.Unit = "h", "cake"
	m := month(t, variance.Overhead{}, record.Maybe[variance.Plan]{},
		variance.Order{Lines: []variance.Line{hourly, first}}, variance.Order{Lines: []variance.Line{flat, second}})
	var got []string
	for _, s := range m.Resources {
		got = append(got, fmt.Sprintf("%s %s of %s %s: %s for %s, recorded %s", s.Resource, s.Quantity.Text(), s.StandardQuantity.Text(), s.Unit, s.Actual().Text(), s.Standard.Text(), s.Recorded.Text()))
	}
	want := "butter 17 of 15 unit: 39 for 35, recorded 20\noverhead 1 of 1 cake: 40 for 40, recorded 0\noverhead 1 of 1 h: 9 for 9, recorded 0"
	if strings.Join(got, "\n") != want {
		t.Errorf("Resources =\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

func TestMonthRefused(t *testing.T) {
	less := record.Some(exact.Int(-1))
	var tally variance.Tally
	for want, c := range map[string]struct {
		o    variance.Overhead
		plan record.Maybe[variance.Plan]
	}{
		"budget is below zero": {o: variance.Overhead{Budget: less}},
		"paid is below zero":   {o: variance.Overhead{Actual: less}},
		"no cakes to earn it":  {plan: record.Some(variance.Plan{Margin: exact.Int(1)})},
	} {
		if _, err := tally.Month(c.o, c.plan); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Month = %v, want a refusal with %q", err, want)
		}
	}
	if _, err := (variance.Overhead{}).Against(exact.Int(-1)); err == nil {
		t.Error("Against(-1) succeeds, want a refusal")
	}
	v, err := variance.Overhead{Budget: record.Some(exact.Int(1))}.Against(exact.Int(1))
	if err != nil {
		t.Fatal(err)
	}
	for want, h := range map[string]variance.Hours{
		"budgeted labour hours":  {},
		"hours are below zero; ": {Budget: exact.Int(1), Actual: exact.Int(-1)},
	} {
		if _, err := v.Split(h); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Split = %v, want a refusal with %q", err, want)
		}
	}
	if _, err := (variance.OverheadVariance{}).Split(variance.Hours{Budget: exact.Int(1)}); err == nil || !strings.Contains(err.Error(), "enter the budget") {
		t.Errorf("Split without a budget = %v, want a refusal", err)
	}
	m, err := tally.Month(variance.Overhead{}, record.Maybe[variance.Plan]{})
	if err != nil || m.Orders != 0 || !m.Bridge.Actual.IsZero() {
		t.Errorf("an empty month = %+v, %v", m, err)
	}
}

// BenchmarkMonth tallies 5,000 orders of 40 lines, a third of them recorded,
// with prices over packs of awkward sizes.
func BenchmarkMonth(b *testing.B) {
	orders := make([]variance.Order, 50)
	for i := range orders {
		o := variance.Order{Cakes: 1, Sales: variance.Sales{Price: exact.Frac(int64(50000+37*i), 120)}}
		for j := range 40 {
			l := standard(fmt.Sprintf("resource-%d", j), pricing.Kind(j%5), exact.Frac(int64(1000+i*j), 7), exact.Frac(int64(200+j), int64(397+j)))
			if (i+j)%3 == 0 {
				l.ActualQuantity, l.ActualPrice = record.Some(l.StandardQuantity.Mul(exact.Frac(21, 20))), record.Some(exact.Frac(int64(205+j), int64(397+j)))
			}
			o.Lines = append(o.Lines, l)
		}
		orders[i] = o
	}
	b.ReportAllocs()
	for b.Loop() {
		var tally variance.Tally
		for i := range 5000 {
			r, err := variance.Work(orders[i%len(orders)])
			if err != nil {
				b.Fatal(err)
			}
			tally.Add(r)
		}
		if _, err := tally.Month(variance.Overhead{}, record.Maybe[variance.Plan]{}); err != nil {
			b.Fatal(err)
		}
	}
}
