package variance_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// vector is a worked example from outside the project; testdata/vectors.csv has
// its source, licence, whether it was read or remembered, and why our answer
// differs where it does. Vectors marked COMPUTED bear out a rule and not the
// engine. Costing books print adverse cost variances above 0; ours are below.
type vector struct {
	t       *testing.T
	figures [2]map[string]any // inputs, answers
	source  string
}

// TestVectors works every example of testdata/vectors.csv.
func TestVectors(t *testing.T) {
	f, err := os.Open("testdata/vectors.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	worked := map[string]bool{}
	for _, r := range rows[1:] {
		t.Run(r[0], func(t *testing.T) {
			v := vector{t: t, source: fmt.Sprintf("%s (%s)", r[4], r[6])}
			for i, text := range r[2:4] {
				dec := json.NewDecoder(bytes.NewReader([]byte(text)))
				dec.UseNumber()
				if err := dec.Decode(&v.figures[i]); err != nil {
					t.Fatal(err)
				}
			}
			check, ok := checks[r[1]]
			if !ok {
				t.Fatalf("nothing checks the topic %s", r[1])
			}
			worked[r[1]] = true
			check(v)
		})
	}
	for topic := range checks {
		if !worked[topic] {
			t.Errorf("no vector has the topic %s", topic)
		}
	}
}

var checks = map[string]func(vector){
	"variance_material_price": func(v vector) {
		actual := v.number("actual_qty")
		s := split(v, pricing.Ingredient, actual, v.number("std_price"), actual, v.number("actual_price"))
		v.adverse("price", s.Price, "variance")
		want := variance.Adverse
		if v.figures[1]["sign"] == "favourable" {
			want = variance.Favourable
		}
		if got := (variance.Step{Amount: s.Price}).Effect(); got != want {
			v.t.Errorf("Effect() = %s, want %s by %s", got, want, v.source)
		}
	},
	"variance_material_qty": func(v vector) {
		s := split(v, pricing.Ingredient, v.number("std_qty"), v.number("std_price"), v.number("actual_qty"), v.number("std_price"))
		v.adverse("usage", s.Usage, "variance")
	},
	"variance_material_total": func(v vector) {
		if !v.has("purchased_qty") {
			s := split(v, pricing.Packaging, v.number("std_qty"), v.number("std_price"), v.number("actual_qty"), v.number("actual_price"))
			v.adverse("price", s.Price, "price")
			v.adverse("usage", s.Usage, "qty")
			v.adverse("total", s.Total(), "total")
			return
		}
		standard := v.number("units").Mul(v.number("std_qty_per_unit"))
		used := split(v, pricing.Ingredient, standard, v.number("std_price"), v.number("used_qty"), v.number("actual_price"))
		v.adverse("usage", used.Usage, "qty")
		// The source's price variance is that of all that was purchased; ours is
		// the part of it that was used.
		part := v.number("used_qty").Quo(v.number("purchased_qty"))
		v.adverse("price", used.Price.Quo(part), "price_on_purchases")
	},
	"variance_labour_rate": func(v vector) {
		hours := v.number("actual_hours")
		v.adverse("rate", split(v, pricing.Role, hours, v.number("std_rate"), hours, v.number("actual_rate")).Price, "variance")
	},
	"variance_labour_total": func(v vector) {
		standard, rate := v.optional("std_hours"), v.optional("actual_rate")
		if standard.IsZero() {
			standard = v.number("units").Mul(v.number("std_hours_per_unit"))
		}
		if cost := v.optional("actual_cost"); !cost.IsZero() {
			rate = cost.Quo(v.number("actual_hours"))
		}
		s := split(v, pricing.Role, standard, v.number("std_rate"), v.number("actual_hours"), rate)
		v.adverse("rate", s.Price, "rate")
		for _, key := range []string{"time", "efficiency"} {
			if v.has(key) {
				v.adverse("efficiency", s.Usage, key)
			}
		}
		if v.has("total") {
			v.adverse("total", s.Total(), "total")
		}
	},
	"variance_overhead_variable": func(v vector) {
		hours := v.number("actual_hours")
		s := split(v, pricing.Energy, v.number("std_hours"), v.number("std_rate"), hours, v.number("actual_cost").Quo(hours))
		key := "spending"
		if !v.has(key) {
			key = "rate"
		}
		v.adverse("spending", s.Price, key)
		v.adverse("efficiency", s.Usage, "efficiency")
	},
	"overhead_applied_job": func(v vector) {
		labour := v.number("labour")
		r := work(v.t, variance.Order{Lines: []variance.Line{
			standard("goods", pricing.Ingredient, exact.Int(1), v.number("materials")),
			standard("labour", pricing.Role, exact.Int(1), labour),
			standard("overhead", pricing.Overhead, labour, v.number("rate_per_labour_dollar")),
		}})
		v.same("overhead", r.Kinds.Standard().Overhead, v.number("overhead"))
		v.same("job cost", r.Kinds.Total().Standard, v.number("job_cost"))
	},
	"job_cost_sheet": func(v vector) {
		var o variance.Order
		var labour exact.Number
		for _, n := range v.list("materials") {
			o.Lines = append(o.Lines, standard("goods", pricing.Ingredient, exact.Int(1), n))
		}
		for _, n := range v.list("labour") {
			o.Lines = append(o.Lines, standard("labour", pricing.Role, exact.Int(1), n))
			labour = labour.Add(n)
		}
		o.Lines = append(o.Lines, standard("overhead", pricing.Overhead, labour, v.number("overhead_rate_per_labour_dollar")))
		cost := work(v.t, o).Kinds.Standard()
		v.same("materials", cost.Ingredients, v.number("materials"))
		v.same("labour", cost.Labour, v.number("labour"))
		v.same("overhead", cost.Overhead, v.number("overhead"))
		v.same("total", cost.Total(), v.number("total"))
	},
	"job_cost_service": func(v vector) {
		hours, rate := v.number("labour_hours"), v.number("labour_rate_paid")
		r := work(v.t, variance.Order{
			Sales: variance.Sales{Price: v.number("part_price").Add(hours.Mul(v.number("labour_rate_charged")))},
			Lines: []variance.Line{
				standard("part", pricing.Ingredient, exact.Int(1), v.number("part_cost")),
				standard("labour", pricing.Role, hours, rate),
				standard("overhead", pricing.Overhead, hours.Mul(rate), v.number("overhead_pct_of_labour").Quo(exact.Int(100))),
			},
		})
		v.same("labour", r.Kinds.Standard().Labour, v.number("labour"))
		v.same("overhead", r.Kinds.Standard().Overhead, v.number("overhead"))
		v.same("job cost", r.Kinds.Total().Standard, v.number("job_cost"))
		v.same("planned net", r.PlannedNet, v.number("billed"))
	},
	"overhead_under_over": func(v vector) {
		absorbed, paid := v.optional("applied"), v.optional("actual")
		o := variance.Order{Lines: []variance.Line{standard("overhead", pricing.Overhead, exact.Int(1), absorbed)}}
		if rate := v.optional("rate_per_hour"); !rate.IsZero() {
			o.Lines[0] = standard("overhead", pricing.Overhead, v.number("hours"), rate)
			paid = exact.Sum(v.list("actual_parts")...)
			v.same("paid", paid, v.number("actual"))
		}
		m := month(v.t, variance.Overhead{Actual: record.Some(paid)}, record.Maybe[variance.Plan]{}, o)
		v.same("absorbed", m.Overhead.Absorbed, absorbed)
		if v.has("overapplied") {
			v.same("over-absorbed", m.Overhead.Total, v.number("overapplied"))
			v.same("its step", m.Bridge.Amount(variance.OverheadAbsorption), v.number("overapplied"))
			return
		}
		v.adverse("under-absorbed", m.Overhead.Total, "underapplied")
	},
	"product_cost_plantwide": func(v vector) {
		rate := v.number("rate")
		if budget := v.optional("overhead"); !budget.IsZero() {
			rate = budget.Quo(v.number("labour_hours"))
		}
		r := work(v.t, variance.Order{Sales: variance.Sales{Price: v.number("price")}, Lines: []variance.Line{
			standard("goods", pricing.Ingredient, exact.Int(1), v.number("materials")),
			standard("labour", pricing.Role, exact.Int(1), v.number("labour")),
			standard("overhead", pricing.Overhead, v.number("hours_per_unit"), rate),
		}})
		v.same("overhead", r.Kinds.Standard().Overhead, v.number("overhead_per_unit"))
		v.same("unit cost", r.Kinds.Total().Standard, v.number("unit_cost"))
		v.same("planned margin", r.Bridge.Planned, v.number("profit"))
	},
	"whole_bridge": wholeBridge,
	"mix_yield": func(v vector) {
		var lines []variance.Line
		prices, actual := v.list("price"), v.list("actual")
		for i, n := range v.list("standard") {
			l := standard("ingredient", pricing.Ingredient, n, prices[i])
			l.ActualQuantity = record.Some(actual[i])
			lines = append(lines, l)
		}
		blends, err := variance.SplitUsage(lines)
		if err != nil {
			v.t.Fatal(err)
		}
		var mix, yield exact.Number
		for i, b := range blends {
			v.same("mix", b.Mix, v.list("mix")[i])
			v.same("yield", b.Yield, v.list("yield")[i])
			mix, yield = mix.Add(b.Mix), yield.Add(b.Yield)
		}
		v.same("mix in all", mix, v.number("mix_total"))
		v.same("yield in all", yield, v.number("yield_total"))
		v.same("usage", work(v.t, variance.Order{Lines: lines}).Kinds.Total().Split.Usage, v.number("usage_total"))
	},
	"idle_time": func(v vector) {
		l := standard("baker", pricing.Role, v.number("std_hours"), v.number("std_rate"))
		l.ActualQuantity, l.ActualPrice = record.Some(v.number("paid_hours")), record.Some(v.number("actual_rate"))
		l.Lost = v.number("paid_hours").Sub(v.number("worked_hours"))
		b := work(v.t, variance.Order{Lines: []variance.Line{l}}).Bridge
		v.same("rate", b.Amount(variance.LabourRate), v.number("rate"))
		v.same("efficiency", b.Amount(variance.LabourEfficiency), v.number("efficiency"))
		v.same("idle time", b.Amount(variance.LabourIdle), v.number("idle"))
	},
	"volume_split": func(v vector) {
		hours := variance.Hours{Budget: v.number("budget_hours"), Actual: v.number("actual_hours"), Standard: v.number("standard_hours")}
		rate := v.number("budget").Quo(hours.Budget)
		o := variance.Overhead{Budget: record.Some(v.number("budget")), Actual: record.Some(v.number("actual"))}
		m := month(v.t, o, record.Maybe[variance.Plan]{}, variance.Order{Lines: []variance.Line{standard("overhead", pricing.Overhead, hours.Standard, rate)}})
		v.same("spending", m.Bridge.Amount(variance.OverheadSpending), v.number("spending"))
		v.same("volume", m.Bridge.Amount(variance.OverheadVolume), v.number("volume"))
		v.same("total", m.Overhead.Total, v.number("total"))
		s, err := m.Overhead.Split(hours)
		if err != nil {
			v.t.Fatal(err)
		}
		v.same("capacity", s.Capacity, v.number("capacity"))
		v.same("efficiency", s.Efficiency, v.number("efficiency"))
		v.same("rate", s.Rate, exact.Number{})
	},
	"sales_volume": func(v vector) {
		var plan variance.Plan
		var orders []variance.Order
		for i, planned := range v.list("plan_units") {
			margin, sold := v.list("margin")[i], v.list("actual_units")[i]
			plan.Cakes += whole(planned)
			plan.Margin = plan.Margin.Add(planned.Mul(margin))
			orders = append(orders, variance.Order{Cakes: whole(sold), Sales: variance.Sales{Price: sold.Mul(margin)}})
		}
		b := month(v.t, variance.Overhead{}, record.Some(plan), orders...).Bridge
		v.same("quantity", b.Amount(variance.SalesQuantity), v.number("quantity"))
		v.same("mix", b.Amount(variance.SalesMix), v.number("mix"))
		v.same("volume", b.Variance(), v.number("volume"))
	},
}

// wholeBridge follows a month from the budgeted to the actual income.
func wholeBridge(v vector) {
	units, fixed := v.number("actual_units"), v.number("budget_fixed")
	line := func(key string, kind pricing.Kind) variance.Line {
		f := v.list(key) // standard quantity a unit, its price, quantity used, price paid
		l := standard(key, kind, units.Mul(f[0]), f[1])
		l.ActualQuantity, l.ActualPrice = record.Some(f[2]), record.Some(f[3])
		return l
	}
	hours := v.number("fixed_hours_per_unit")
	rate := fixed.Quo(v.number("budget_units").Mul(hours))
	o := variance.Order{
		Cakes: whole(units),
		Sales: variance.Sales{Price: units.Mul(v.number("budget_price")), ActualPrice: record.Some(units.Mul(v.number("actual_price")))},
		Lines: []variance.Line{
			line("material", pricing.Ingredient), line("labour", pricing.Role), line("variable_overhead", pricing.Energy),
			standard("overhead", pricing.Overhead, units.Mul(hours), rate),
		},
	}
	plan := variance.Plan{Cakes: whole(v.number("budget_units")), Margin: v.number("budget_income")}
	b := month(v.t, variance.Overhead{Budget: record.Some(fixed), Actual: record.Some(v.number("actual_fixed"))}, record.Some(plan), o).Bridge
	v.same("planned", b.Planned, v.number("budget_income"))
	v.same("actual", b.Actual, v.number("actual_income"))
	for key, step := range map[string]variance.Key{
		"sales_price": variance.SalesPrice, "material_price": variance.MaterialPrice, "material_usage": variance.MaterialUsage,
		"labour_rate": variance.LabourRate, "labour_efficiency": variance.LabourEfficiency,
		"variable_spending": variance.VariableSpending, "variable_efficiency": variance.VariableEfficiency,
		"fixed_spending": variance.OverheadSpending, "fixed_volume": variance.OverheadVolume,
	} {
		v.same(key, b.Amount(step), v.number(key))
	}
	// Sales volume at the contribution margin holds the overhead that fewer units
	// absorb; ours leaves that to the overhead volume.
	v.same("sales mix", b.Amount(variance.SalesMix), exact.Number{})
	v.same("sales volume", b.Amount(variance.SalesQuantity).Add(b.Amount(variance.OverheadVolume)), v.number("sales_volume_at_contribution"))
}

// standard is a line of which nothing is recorded.
func standard(id string, kind pricing.Kind, quantity, price exact.Number) variance.Line {
	return variance.Line{Resource: ID(id), Kind: kind, Unit: "unit", StandardQuantity: quantity, StandardPrice: price}
}

// split works out one line on its own.
func split(v vector, kind pricing.Kind, sq, sp, aq, ap exact.Number) variance.Split {
	v.t.Helper()
	l := standard("resource", kind, sq, sp)
	l.ActualQuantity, l.ActualPrice = record.Some(aq), record.Some(ap)
	return work(v.t, variance.Order{Lines: []variance.Line{l}}).Lines[0].Split
}

func whole(n exact.Number) int { return int(n.Floor().Int64()) }

// has reports whether the vector states a figure.
func (v vector) has(key string) bool {
	_, ok := find[json.Number](v, key)
	return ok
}

// find looks a figure up among the inputs, then among the answers; one name may
// mean a list in the one and its sum in the other.
func find[T any](v vector, key string) (T, bool) {
	if found, ok := v.figures[0][key].(T); ok {
		return found, true
	}
	found, ok := v.figures[1][key].(T)
	return found, ok
}

func (v vector) number(key string) exact.Number {
	v.t.Helper()
	n, ok := find[json.Number](v, key)
	if !ok {
		v.t.Fatalf("there is no figure %s", key)
	}
	return exact.Must(n.String())
}

// optional returns 0 where the vector does not state the figure.
func (v vector) optional(key string) exact.Number {
	if !v.has(key) {
		return exact.Number{}
	}
	return v.number(key)
}

func (v vector) list(key string) []exact.Number {
	v.t.Helper()
	items, ok := find[[]any](v, key)
	if !ok {
		v.t.Fatalf("there is no list %s", key)
	}
	list := make([]exact.Number, len(items))
	for i, item := range items {
		list[i] = exact.Must(item.(json.Number).String())
	}
	return list
}

func (v vector) same(what string, got, want exact.Number) {
	v.t.Helper()
	if !got.Equal(want) {
		v.t.Errorf("%s = %s, want %s by %s", what, got.Fixed(6), want.Fixed(6), v.source)
	}
}

// adverse compares a variance with one that the source prints above 0 where it
// is adverse.
func (v vector) adverse(what string, got exact.Number, key string) {
	v.t.Helper()
	v.same(what, got, v.number(key).Neg())
}
