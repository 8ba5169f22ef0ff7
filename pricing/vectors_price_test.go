package pricing_test

import (
	"fmt"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
)

// priceVectors are prices: markup, margin, discounts, tax, payments.
var priceVectors = map[string]func(vector){
	"markup_on_cost": func(v vector) {
		got := aim(v, `"markup": "`+v.text("markup_pct")+` %"`, v.number("cost"))
		v.near("price", got, "price")
		v.near("markup", got.Sub(v.number("cost")), "markup")
	},
	"cost_plus_price": func(v vector) {
		v.near("price", aim(v, `"markup": "`+v.text("markup_pct")+` %"`, v.number("cost_millions")), "price_millions")
	},
	"markup_pct_from_price": func(v vector) {
		// The percentage is rounded; the price it leads to is the one it was read from, to the cent.
		v.near("price", aim(v, `"markup": "`+v.text("markup_pct")+` %"`, v.number("cost")), "price")
	},
	"cost_from_price_and_markup": func(v vector) {
		v.near("price", aim(v, `"markup": "`+v.text("markup_pct")+` %"`, v.number("cost")), "price")
	},
	"target_cost_margin_on_price": func(v vector) {
		v.near("price", aim(v, `"margin": "`+v.text("profit_pct_of_price")+` %"`, v.number("target_cost")), "price")
	},
	"food_cost_pct_price": func(v vector) {
		margin := exact.Int(100).Sub(v.number("target_food_cost_pct")).Text()
		cost := v.number("total_cost").Quo(v.number("portions"))
		v.nearBy("a portion", cost, v.number("cost_per_portion_unrounded"), exact.Number{})
		v.nearBy("price", aim(v, `"margin": "`+margin+` %"`, cost), v.number("price"), exact.Number{})
	},
	"gross_margin_ratio": func(v vector) {
		got, ok := pricing.Margin(v.number("net_sales"), v.number("cost_of_goods_sold"))
		if !ok {
			v.t.Fatal("no margin")
		}
		v.near("margin", got, "gross_margin_ratio")
	},
	"discount_pct": func(v vector) {
		q := order(v, "", `"discount": "`+v.text("discount_pct")+` %"`, v.text("price"))
		v.near("discount", q.Offer.Lines[1].Amount.Neg().Number(), "discount")
		v.near("left to pay", q.Offer.Total.Number(), "net")
	},
	"trade_discount": func(v vector) {
		q := order(v, "", `"discount": "`+v.text("discount_pct")+` %"`, v.text("list"))
		v.near("discount", q.Offer.Lines[1].Amount.Neg().Number(), "discount")
		v.near("left to pay", q.Offer.Total.Number(), "net")
	},
	"tax_exclusive": func(v vector) {
		q := order(v, `"tax": {"rate": "`+v.text("tax_pct")+` %"},`, "", v.text("net"))
		// To the cent: the sources round a half up.
		v.nearBy("tax", q.Offer.Tax[0].Tax.Number(), v.number("tax"), exact.Number{})
		v.nearBy("total", q.Offer.Total.Number(), v.number("gross"), exact.Number{})
	},
	"tax_inclusive": func(v vector) {
		q := order(v, `"prices_shown": "gross", "tax": {"rate": "`+v.text("tax_pct")+` %"},`, "", v.text("gross"))
		v.nearBy("net", q.Offer.Tax[0].Net.Number(), v.number("net"), exact.Number{})
		v.nearBy("total", q.Offer.Total.Number(), v.number("gross"), exact.Number{})
	},
	"vat_fraction": func(v vector) {
		q := order(v, `"prices_shown": "gross", "tax": {"rate": "`+v.text("vat_pct")+` %"},`, "", v.text("gross"))
		v.near("tax", q.Offer.Tax[0].Tax.Number(), "vat")
		v.near("net", q.Offer.Tax[0].Net.Number(), "net")
	},
	"item_vs_invoice_basis": func(v vector) {
		for by, key := range map[string]string{"line": "tax_by_item", "document": "tax_by_invoice"} {
			q := order(v, `"tax": {"rate": "`+v.text("tax_pct")+` %", "by": "`+by+`"},`, "", v.list("lines")...)
			v.near("tax by "+by, q.Offer.Tax[0].Tax.Number(), key)
		}
	},
	"cash_rounding_cad": func(v vector) {
		q := order(v, `"tax": {"rate": "`+v.text("tax_pct")+` %"},`, "", v.list("items")...)
		v.near("total", q.Offer.Total.Number(), "total_after_tax")
	},
	"deposit_partial_delivery": func(v vector) {
		x := shop(v, `"quote": {"deposit": "50 %"},`, v.text("unit_price"))
		r := request(v, fmt.Sprintf(`{"cake": "cake-0", "quantity": %s}`, v.text("units")), "")
		q, err := quote.Price(x, r)
		if err != nil {
			v.t.Fatal(err)
		}
		v.near("advance", q.Offer.Total.Number(), "advance")
		v.near("first half", q.Offer.Instalments[0].Amount.Number(), "first_revenue")
		v.near("second half", q.Offer.Instalments[1].Amount.Number(), "remaining_liability")
	},
}

// aim returns the price that a target asks for at a cost, in a studio that
// shows net prices and charges no tax.
func aim(v vector, target string, cost exact.Number) exact.Number {
	x := small(v.t, `"target": {`+target+`}`, `"cakes": [{"id": "cake", "name": "Cake", "portions": 1}]`)
	cake, _ := x.Cake("cake")
	o := pricing.Price(x.Book.Studio, cake, today, cost, 1)
	if !o.HasPrice {
		v.t.Fatal("no price")
	}
	return o.Shown
}

// shop is a book of cakes at list prices.
func shop(v vector, studio string, prices ...string) *book.Index {
	cakes := make([]string, len(prices))
	for i, p := range prices {
		cakes[i] = fmt.Sprintf(`{"id": "cake-%d", "name": "Cake", "portions": 1, "price": %q}`, i, p)
	}
	if !strings.Contains(studio, "prices_shown") {
		studio += `"prices_shown": "net",`
	}
	return indexOf(v.t, fmt.Appendf(nil, `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "USD", %s "target": {"markup": "0 %%"}}, "cakes": [%s]}`,
		studio, strings.Join(cakes, ",")))
}

func request(v vector, lines, more string) quote.Request {
	if more != "" {
		more = ", " + more
	}
	r, err := quote.ReadRequest(fmt.Appendf(nil, `{"client": {"name": "A. Client"}, "event": {"date": "2026-12-24"}, "on": "2026-11-01", "lines": [%s]%s}`, lines, more))
	if err != nil {
		v.t.Fatal(err)
	}
	return r
}

// order quotes one cake at each of some list prices.
func order(v vector, studio, more string, prices ...string) quote.Quote {
	lines := make([]string, len(prices))
	for i := range prices {
		lines[i] = fmt.Sprintf(`{"cake": "cake-%d", "quantity": 1}`, i)
	}
	q, err := quote.Price(shop(v, studio, prices...), request(v, strings.Join(lines, ","), more))
	if err != nil {
		v.t.Fatal(err)
	}
	return q
}

// geometryVectors are areas and volumes. The engine's surface is top and side;
// the bottom of a closed solid comes on top.
var geometryVectors = map[string]func(vector){
	"pan_volume_ratio": func(v vector) {
		pan := solid(v, `"shape": "round", "diameter": "`+v.text("pan_diameter_cm")+` cm", "height": "`+v.text("pan_depth_cm")+` cm"`)
		can := solid(v, `"shape": "round", "diameter": "`+exact.Int(2).Mul(v.number("can_radius_cm")).Text()+` cm", "height": "`+v.text("can_height_cm")+` cm"`)
		v.near("pan", pan.volume, "pan_volume_cm3")
		v.near("can", can.volume, "can_volume_cm3")
		v.near("cans", pan.volume.Quo(can.volume), "cans")
	},
	"cylinder": func(v vector) {
		s := solid(v, `"shape": "round", "diameter": "`+exact.Int(2).Mul(v.number("radius_in")).Text()+` in", "height": "`+v.text("height_in")+` in"`)
		inch := exact.Must("2.54")
		v.near("volume", s.volume.Quo(inch.Mul(inch).Mul(inch)), "volume_in3")
		v.near("side", s.surface.Sub(s.top).Quo(inch.Mul(inch)), "lateral_in2")
		// Rounded to the square inch by the source.
		v.nearBy("surface", s.surface.Add(s.top).Quo(inch.Mul(inch)), v.number("total_surface_in2"), exact.Frac(1, 2))
	},
	"cylinder_pi_3.14": func(v vector) {
		s := solid(v, `"shape": "round", "diameter": "`+exact.Int(2).Mul(v.number("radius")).Text()+` cm", "height": "`+v.text("height")+` cm"`)
		// What the source reckons with 3.14 is smaller by that ratio.
		school := exact.Must("3.14").Quo(exact.Pi())
		v.near("volume", s.volume.Mul(school), "volume")
		v.near("surface", s.surface.Add(s.top).Mul(school), "surface")
	},
	"hexagonal_prism": func(v vector) {
		s := solid(v, `"shape": "hexagon", "side": "`+v.text("side_cm")+` cm", "height": "`+v.text("height_cm")+` cm"`)
		v.near("base", s.top, "base_cm2")
		// The source's base is 0.07 too large, its volume by 20 times and its surface by twice that.
		v.nearBy("volume", s.volume, v.number("volume_cm3"), v.tolerance.Mul(v.number("height_cm")))
		v.nearBy("surface", s.surface.Add(s.top), v.number("surface_cm2"), v.tolerance.Mul(exact.Int(2)))
	},
	"box": func(v vector) {
		s := solid(v, `"shape": "rectangle", "length": "`+v.text("l")+` cm", "width": "`+v.text("w")+` cm", "height": "`+v.text("h")+` cm"`)
		v.near("volume", s.volume, "volume")
		v.near("surface", s.surface.Add(s.top), "surface")
	},
	"us_cup_cubic_inches": func(v vector) {
		inch := measure.Must("1 in").Base(measure.Metric).Mul(exact.Frac(1, 10))
		v.near("a cup", measure.Must("1 cup").Base(measure.US).Quo(inch.Mul(inch).Mul(inch)), "cup_in3")
		v.near("a gallon", measure.Must("1 us gallon").Base(measure.US).Quo(inch.Mul(inch).Mul(inch)), "gal_in3")
	},
}

type measured struct{ top, surface, volume exact.Number }

// solid reads off a cake what a tier of some form measures: it takes a gram
// for each unit of a driver.
func solid(v vector, form string) measured {
	x := small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
		`"ingredients": [%s, %s, %s],
		"cakes": [{"id": "cake", "name": "Cake", "tiers": [{"name": "tier", %s, "portions": 1, "parts": [
			{"use": "by-top", "qty": "1 g", "per": "top"}, {"use": "by-surface", "qty": "1 g", "per": "surface"}, {"use": "by-volume", "qty": "1 g", "per": "volume"}]}]}]`,
		gram("by-top"), gram("by-surface"), gram("by-volume"), form))
	return measured{takes(v.t, x, "by-top"), takes(v.t, x, "by-surface"), takes(v.t, x, "by-volume")}
}

func gram(id string) string {
	return fmt.Sprintf(`{"id": %q, "name": %q, "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 g", "price": "1"}]}`, id, id)
}
