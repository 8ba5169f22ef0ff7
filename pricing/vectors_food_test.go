package pricing_test

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// foodVectors are what is thrown away, costing sheets, formulas in weights and
// household measures.
var foodVectors = map[string]func(vector){
	"refuse_to_edible": func(v vector) {
		usable := exact.Int(100).Sub(v.number("refuse_pct")).Text()
		x := pantry(v.t, "mass", "1 g", "1", v.text("edible_g")+" g", `"trim_yield": "`+usable+` %",`)
		v.near("as purchased", takes(v.t, x, "stuff"), "ap_g")
	},
	"egg_shell_yield": func(v vector) {
		usable := exact.Int(100).Sub(v.number("refuse_pct")).Text()
		x := pantry(v.t, "mass", "1 g", "1", v.text("edible_g_per_large")+" g", `"trim_yield": "`+usable+` %",`)
		v.near("as purchased", takes(v.t, x, "stuff"), "as_purchased_g_per_large")
	},
	"costing_sheet_lines": func(v vector) {
		total := func(dimension, pack, price, qty, more string) exact.Number {
			return costing(v.t, pantry(v.t, dimension, pack, v.text(price), qty, more), "cake").Cost.Total()
		}
		trim := `"trim_yield": "` + v.text("apple_yield_pct") + ` %",`
		v.near("a pound of apple", total("mass", "1 lb", "apple_price_per_lb", "1 lb", trim), "apple_ep_per_lb")
		v.near("apples", total("mass", "1 lb", "apple_price_per_lb", v.text("apples_oz")+" oz", trim), "apple_cost")
		v.near("milk", total("volume", "1 us gallon", "milk_price_per_gal", v.text("milk_cups")+" cup", ""), "milk_cost")
		v.near("eggs", total("count", "1 dozen", "egg_price_per_doz", v.text("eggs")+" each", ""), "egg_cost")
	},
	"oz_to_decimal_lb": func(v vector) {
		both := func(lb, oz string) exact.Number {
			x := small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
				`"ingredients": [%s], "cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "stuff", "qty": "%s lb"}, {"use": "stuff", "qty": "%s oz"}]}]`,
				gram("stuff"), v.text(lb), v.text(oz)))
			return in(takes(v.t, x, "stuff"), "lb")
		}
		v.near("a", both("a_lb_part", "a_oz_part"), "a_lb")
		// The source prints two places, a half rounded up.
		v.near("b", exact.FromDecimal(both("b_lb_part", "b_oz_part").Round(2)), "b_lb_2dp")
	},
	"bakers_percent": func(v vector) {
		// A formula in weights; as much of it as takes 100 g of flour shows the
		// percentages as grams.
		unit := "oz"
		if v.has("flour_lb") {
			unit = "lb"
		}
		var ingredients, lines []string
		var whole exact.Number
		for key := range v.figures {
			name, ok := strings.CutSuffix(key, "_"+unit)
			if !ok {
				continue
			}
			id := strings.ReplaceAll(name, "_", "-")
			ingredients = append(ingredients, gram(id))
			lines = append(lines, fmt.Sprintf(`{"use": %q, "qty": "%s %s"}`, id, v.text(key), unit))
			whole = whole.Add(v.number(key))
		}
		slices.Sort(lines)
		flour := v.number("flour_" + unit)
		need := exact.Int(100).Mul(whole).Quo(flour)
		x := small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"ingredients": [%s], "components": [{"id": "dough", "name": "Dough", "lines": [%s]}],
			"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "dough", "qty": "%s g"}]}]`,
			strings.Join(ingredients, ","), strings.Join(lines, ","), need.Fixed(12)))
		tolerance := v.tolerance.Add(exact.Must("0.000000001")) // of the amount, cut at 12 places
		for key := range v.figures {
			if name, ok := strings.CutSuffix(key, "_pct"); ok {
				v.nearBy(name, takes(v.t, x, book.ID(strings.ReplaceAll(name, "_", "-"))), v.number(key), tolerance)
			}
		}
	},
	"household_weight": func(v vector) {
		x := pantry(v.t, "mass", "1 g", "1", v.text("cups")+" cup", `"density": "`+v.text("g_per_ml")+` g/ml",`)
		v.near("what is taken", takes(v.t, x, "stuff"), "grams")
	},
	"household_weight_by_volume": func(v vector) {
		x := pantry(v.t, "volume", "1 ml", "1", v.text("grams")+" g", `"density": "`+v.text("g_per_ml")+` g/ml",`)
		v.near("what is taken", in(takes(v.t, x, "stuff"), "cup"), "cups")
	},
	"piece_as_bought": func(v vector) {
		// A recipe of one piece gives what can be used of it; a cake that needs so
		// much takes the piece as bought, by mass and by count.
		for _, by := range []struct{ measure, pack, whole string }{{"mass", "1 g", v.text("each_g")}, {"count", "1 each", "1"}} {
			x := small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
				`"ingredients": [{"id": "stuff", "name": "Stuff", "measure": %q, "each": "%s g", "trim_yield": "%s %%", "prices": [{"from": "2026-01-01", "pack": %q, "price": "1"}]}],
				"components": [{"id": "made", "name": "Made", "lines": [{"use": "stuff", "qty": "1 each"}]}],
				"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "made", "qty": "%s g"}]}]`, by.measure, v.text("each_g"), v.text("usable_pct"), by.pack, v.text("usable_g")))
			want := exact.Must(by.whole)
			v.nearBy("as bought by "+by.measure, takes(v.t, x, "stuff"), want, want.Mul(v.tolerance).Quo(v.number("usable_g")))
		}
	},
	"egg_parts": func(v vector) {
		part := func(qty string) exact.Number {
			x := small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
				`"ingredients": [{"id": "egg", "name": "Egg", "measure": "count", "parts": [{"id": "yolk", "name": "Yolk", "mass": "%s g"}, {"id": "white", "name": "White", "mass": "%s g"}],
					"prices": [{"from": "2026-01-01", "pack": "1 each", "price": %q}]}],
				"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [%s]}]`, v.text("yolk_g"), v.text("white_g"), v.text("price_per_egg"), qty))
			return costing(v.t, x, "cake").Cost.Total()
		}
		one := v.number("price_per_egg")
		v.nearBy("a whole egg by mass", part(`{"use": "egg", "qty": "`+v.text("whole_g")+` g"}`), one, exact.Number{})
		v.nearBy("its white and yolk", part(`{"use": "white", "qty": "1 each"}, {"use": "yolk", "qty": "1 each"}`), one, exact.Number{})
	},
	"bake_loss": func(v vector) {
		x := small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"ingredients": [%s], "components": [{"id": "made", "name": "Made", "lines": [{"use": "stuff", "qty": "%s g"}], "loss": "%s %%"}],
			"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "made", "qty": "%s g"}]}]`, gram("stuff"), v.text("unbaked_g"), v.text("loss_pct"), v.text("baked_g")))
		v.nearBy("unbaked", takes(v.t, x, "stuff"), v.number("unbaked_g"), v.tolerance)
	},
	"us_volume_chain": func(v vector) {
		gallon := measure.Must(v.text("gal") + " us gallon").Base(measure.US)
		v.near("fluid ounces", in(gallon, "us fl oz"), "floz")
		v.near("cups", in(gallon, "cup"), "cups")
		v.near("teaspoons", in(measure.Must("1 cup").Base(measure.US), "tsp"), "tsp_per_cup")
	},
	"rounded_metric": func(v vector) {
		// The source makes 30 ml of a fluid ounce; by UCUM it holds 29.5735295625.
		v.nearBy("fluid ounces", in(v.number("ml"), "us fl oz"), exact.Must("16.907"), exact.Must("0.0005"))
		v.near("the source's own", v.number("ml").Quo(v.number("ml_per_floz")), "floz")
	},
}
