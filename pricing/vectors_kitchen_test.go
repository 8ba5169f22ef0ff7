package pricing_test

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// kitchenVectors are quantities and what they cost: trim, unit prices, recipes
// made larger, baker's percentages, overhead by the hour.
var kitchenVectors = map[string]func(vector){
	"ep_cost": func(v vector) {
		x := pantry(v.t, "mass", v.text("ap_qty_lb")+" lb", v.text("ap_price"), v.text("ap_qty_lb")+" lb", trimmed(v))
		v.near("edible cost", costing(v.t, x, "cake").Cost.Total(), "ep_cost_for_10lb")
	},
	"ep_qty_from_ap": func(v vector) {
		unit := "g"
		if v.has("ap_lb") {
			unit = "lb"
		}
		x := pantry(v.t, "mass", "1 "+unit, "1", v.text("ep_"+unit)+" "+unit, trimmed(v))
		v.near("as purchased", in(takes(v.t, x, "stuff"), unit), "ap_"+unit)
	},
	"ap_qty_from_ep": func(v vector) {
		x := pantry(v.t, "mass", "1 oz", "1", v.text("ep_oz")+" oz", trimmed(v))
		v.near("as purchased", in(takes(v.t, x, "stuff"), "oz"), "ap_oz")
	},
	"yield_test": func(v vector) {
		for _, unit := range []string{"g", "kg", "oz", "ml"} {
			if !v.has("ep_" + unit) {
				continue
			}
			x := pantry(v.t, measure.Must("1 "+unit).Dimension().String(), "1 "+unit, "1", v.text("ep_"+unit)+" "+unit, trimmed(v))
			ap := v.number("ap_" + unit)
			// The tolerance is of the yield in per cent.
			v.nearBy("as purchased", in(takes(v.t, x, "stuff"), unit), ap, ap.Mul(v.tolerance).Quo(v.number("yield_pct")))
			if v.has("ap_cost") {
				x = pantry(v.t, "mass", v.text("ap_"+unit)+" "+unit, v.text("ap_cost"), "1 "+unit, trimmed(v))
				v.near("edible cost", costing(v.t, x, "cake").Cost.Total(), "ep_cost_per_"+unit)
			}
		}
	},
	"unit_price": func(v vector) {
		switch {
		case v.has("unit_price_per_lb"):
			x := pantry(v.t, "mass", v.text("pack_qty_lb")+" lb", v.text("pack_price"), "1 lb", "")
			v.near("a pound", costing(v.t, x, "cake").Cost.Total(), "unit_price_per_lb")
		case v.has("price_per_dozen"):
			pack := v.text("case_dozen") + " dozen"
			for qty, key := range map[string]string{"1 dozen": "price_per_dozen", "1 each": "price_per_egg", v.text("use_eggs") + " each": "use_cost"} {
				v.near(qty, costing(v.t, pantry(v.t, "count", pack, v.text("case_price"), qty, ""), "cake").Cost.Total(), key)
			}
		case v.has("half_gallon_price"):
			x := pantry(v.t, "volume", "0.5 us gallon", v.text("half_gallon_price"), v.text("use_floz")+" us fl oz", "")
			v.near("what is used", costing(v.t, x, "cake").Cost.Total(), "use_cost")
			x = pantry(v.t, "volume", "0.5 us gallon", v.text("half_gallon_price"), "1 us fl oz", "")
			v.nearBy("a fluid ounce", exact.FromDecimal(costing(v.t, x, "cake").Cost.Total().Round(4)), v.number("price_per_floz_4dp"), exact.Number{})
		default:
			x := pantry(v.t, "count", v.text("qty")+" each", v.text("price"), "1 each", "")
			got := x.Book.Studio.Currency.Round(costing(v.t, x, "cake").Cost.Total())
			v.nearBy("one, rounded", got.Number(), v.number("unit_price_cent"), exact.Number{})
		}
	},
	"recipe_scaling": func(v vector) {
		switch {
		case v.has("ingredient_lb"):
			x := recipe(v, v.text("old_yield"), v.text("new_yield"), v.text("ingredient_lb")+" lb")
			v.near("scaled", in(takes(v.t, x, "stuff"), "lb"), "scaled_lb")
		case v.has("new_cookies"):
			x := recipe(v, v.text("cookies"), v.text("new_cookies"), v.text("flour_cups")+" cup")
			v.near("scaled", in(takes(v.t, x, "stuff"), "cup"), "flour_cups_new")
		default:
			x := recipe(v, v.text("old_portions"), v.text("new_portions"), "1 g")
			v.near("factor", takes(v.t, x, "stuff"), "factor")
		}
	},
	"recipe_scaling_mixed_units": func(v vector) {
		x := recipe(v, v.text("base_portions"), v.text("portions"), v.text("ingredient_lb")+" lb")
		v.near("scaled", in(takes(v.t, x, "stuff"), "lb"), "scaled_lb")
	},
	"recipe_scaling_portion_size": func(v vector) {
		// 348 servings of 3 oz from a recipe of 100 servings of 4 oz.
		need := v.number("servings").Mul(v.number("desired_portion_oz")).Quo(v.number("standard_portion_oz"))
		v.nearBy("servings of full size", need, v.number("equivalent_servings"), exact.Number{})
		x := recipe(v, v.text("base_portions"), v.text("equivalent_servings"), v.text("ingredient_lb")+" lb")
		v.near("scaled", in(takes(v.t, x, "stuff"), "lb"), "scaled_lb")
	},
	"volume_breakdown": func(v vector) {
		x := recipe(v, v.text("base_portions"), v.text("portions"), v.text("ingredient_gal")+" us gallon")
		got := takes(v.t, x, "stuff")
		v.near("gallons", in(got, "us gallon"), "gal_total")
		var parts exact.Number
		for unit, key := range map[string]string{"us gallon": "gal", "us quart": "qt", "us pint": "pt", "cup": "cup", "tbsp": "tbsp", "tsp": "tsp_unrounded"} {
			parts = parts.Add(measure.Must(v.text(key) + " " + unit).Base(measure.US))
		}
		v.nearBy("teaspoons", in(got, "tsp"), in(parts, "tsp"), v.tolerance)
	},
	"bakers_percent_to_weights": func(v vector) {
		if v.has("pieces") {
			dough := bakers(v, v.number("pieces").Mul(v.number("piece_g")))
			for _, part := range []string{"flour", "water", "salt", "yeast"} {
				v.near(part, takes(v.t, dough, book.ID(part)), part+"_g")
			}
			return
		}
		need := v.number("flour_lb").Mul(v.number("pct_total")).Mul(exact.Frac(1, 100)).Mul(measure.Must("1 lb").Base(measure.US))
		dough := bakers(v, need)
		v.near("salt", in(takes(v.t, dough, "salt"), "lb"), "salt_lb")
		v.near("salt", in(takes(v.t, dough, "salt"), "oz"), "salt_oz")
	},
	"bakers_percent_several_flours": func(v vector) {
		dough := bakers(v, v.number("dough_g"))
		for _, part := range []string{"white", "whole-wheat", "semolina", "water", "yeast", "salt"} {
			v.near(part, takes(v.t, dough, book.ID(part)), strings.ReplaceAll(part, "-", "_")+"_g")
		}
	},
	"overhead_rate": func(v vector) {
		x := workshop(v, v.text("overhead"), v.text("machine_hours"), v.text("job_hours"), "0", "0")
		c := costing(v.t, x, "cake")
		v.near("applied", c.Cost.Overhead, "applied")
	},
	"product_cost_plantwide": func(v vector) {
		amount, hours := v.text("rate"), "1"
		if v.has("overhead") {
			amount, hours = v.text("overhead"), v.text("labour_hours")
		}
		wage := v.number("labour").Quo(v.number("hours_per_unit")) // both come out even
		c := costing(v.t, workshop(v, amount, hours, v.text("hours_per_unit"), wage.Text(), v.text("materials")), "cake")
		v.near("overhead", c.Cost.Overhead, "overhead_per_unit")
		v.near("unit cost", c.Cost.Total(), "unit_cost")
		v.near("profit", v.number("price").Sub(c.Cost.Total()), "profit")
	},
	"overhead_allocation_products": func(v vector) {
		var hours exact.Number
		for _, h := range v.list("hours") {
			hours = hours.Add(exact.Must(h))
		}
		for i := range v.list("units") {
			perUnit := exact.Must(v.list("hours")[i]).Quo(exact.Must(v.list("units")[i]))
			wage := exact.Must(v.list("labour")[i]).Quo(perUnit)
			c := costing(v.t, workshop(v, v.text("overhead"), hours.Text(), perUnit.Fixed(1), wage.Fixed(4), v.list("materials")[i]), "cake")
			v.nearBy("overhead", c.Cost.Overhead, exact.Must(v.list("overhead_per_unit")[i]), exact.Number{})
			v.nearBy("unit cost", c.Cost.Total(), exact.Must(v.list("unit_cost")[i]), exact.Number{})
		}
	},
}

func trimmed(v vector) string { return fmt.Sprintf(`"trim_yield": "%s %%",`, v.text("yield_pct")) }

// in turns base units into a US kitchen's unit.
func in(base exact.Number, unit string) exact.Number {
	return base.Quo(measure.Must("1 " + unit).Base(measure.US))
}

// recipe is a component that yields some pieces from qty of "stuff", and a cake
// that needs other ones.
func recipe(v vector, yield, need, qty string) *book.Index {
	dimension, pack := "mass", "1 kg"
	if measure.Must(qty).Dimension() == measure.Volume {
		dimension, pack = "volume", "1 l"
	}
	return small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
		`"ingredients": [{"id": "stuff", "name": "Stuff", "measure": %q, "prices": [{"from": "2026-01-01", "pack": %q, "price": "1"}]}],
		"components": [{"id": "made", "name": "Made", "lines": [{"use": "stuff", "qty": %q}], "yield": "%s each"}],
		"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "made", "qty": "%s each"}]}]`, dimension, pack, qty, yield, need))
}

// bakers is a dough written in baker's percentages, and a cake that needs some
// grams of it.
func bakers(v vector, need exact.Number) *book.Index {
	percent, ok := v.figures["pct"].(map[string]any)
	if !ok {
		v.t.Fatalf("%s has no percentages", v.id)
	}
	var ingredients, lines []string
	for name, share := range percent {
		id := strings.ReplaceAll(name, "_", "-")
		ingredients = append(ingredients, fmt.Sprintf(`{"id": %q, "name": %q, "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 kg", "price": "1"}]}`, id, id))
		lines = append(lines, fmt.Sprintf(`{"use": %q, "qty": "%s g"}`, id, share))
	}
	slices.Sort(lines)
	return small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
		`"ingredients": [%s], "components": [{"id": "dough", "name": "Dough", "lines": [%s]}],
		"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "dough", "qty": "%s g"}]}]`,
		strings.Join(ingredients, ","), strings.Join(lines, ","), exact.FromDecimal(need.Round(12)).Fixed(12)))
}

// workshop is a cake that takes some hours of work and material of a price,
// under an overhead of an amount for some hours.
func workshop(v vector, amount, hours, worked, wage, material string) *book.Index {
	return small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
		`"roles": [{"id": "maker", "name": "Maker", "wage": [{"from": "2026-01-01", "per_hour": %q}]}],
		"overhead": {"method": "labour hour", "hours": "%s h", "dated": [{"from": "2026-01-01", "amount": %q}]},
		"ingredients": [{"id": "stuff", "name": "Stuff", "measure": "count", "prices": [{"from": "2026-01-01", "pack": "1 each", "price": %q}]}],
		"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "stuff", "qty": "1 each"}], "tasks": [{"task": "make", "role": "maker", "setup": "%s h"}]}]`,
		wage, hours, amount, material, worked))
}
