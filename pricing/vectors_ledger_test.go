package pricing_test

import (
	"fmt"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// ledgerVectors are overhead by department, joint cost, break-even, payments in
// advance, and the ways to round tax.
var ledgerVectors = map[string]func(vector){
	"overhead_rate_on_labour": func(v vector) {
		// At a wage of 1 an hour is a unit of labour cost.
		x := workshop(v, v.text("overhead"), v.text("base_amount"), "1", "1", "0")
		v.near("for a unit of labour cost", costing(v.t, x, "cake").Cost.Overhead, "rate")
	},
	"overhead_rates_by_department": func(v vector) {
		departments := v.figures["dept"].(map[string]any)
		for name, key := range map[string]string{"cut": "cut_per_machine_hour", "qc": "qc_per_labour_hour"} {
			d := departments[name].(map[string]any)
			hours := d["machine_hours"]
			if hours == nil {
				hours = d["labour_hours"]
			}
			x := workshop(v, fmt.Sprint(d["overhead"]), fmt.Sprint(hours), "1", "0", "0")
			v.near(name, costing(v.t, x, "cake").Cost.Overhead, key)
		}
	},
	"joint_cost_physical": func(v vector) { physical(v, v.list("qty"), v.list("alloc")) },
	"joint_cost_sales_value": func(v vector) {
		v.bySalesValue(v.list("alloc"))
	},
	"joint_cost_physical_and_sales": func(v vector) {
		physical(v, v.list("qty_gal"), v.list("physical"))
		v.bySalesValue(v.list("sales"))
	},
	// The overhead of the period over the units that break even makes the cost of
	// one what it sells for.
	"breakeven": func(v vector) {
		v.nearBy("profit", v.profit("units"), exact.Number{}, exact.Number{})
		if v.has("sales") {
			v.near("sales", v.number("units").Mul(v.number("price")), "sales")
		}
		if v.has("units_for_profit") {
			v.nearBy("profit", v.profit("units_for_profit"), v.number("profit"), exact.Number{})
		}
		if v.has("cm_ratio") {
			x := workshop(v, "0", "1", "1", "0", v.text("variable"))
			got, _ := pricing.Margin(v.number("price"), costing(v.t, x, "cake").Cost.Total())
			v.near("margin over variable cost", got, "cm_ratio")
		}
	},
	"target_profit": func(v vector) {
		v.nearBy("profit", v.profit("units"), v.number("profit"), exact.Number{})
		v.near("sales", v.number("units").Mul(v.number("price")), "sales")
	},
	"deposit_liability": func(v vector) {
		// Paid whole on 25 March, served on 10 June: until then it is owed to the
		// client, on that day it is sales.
		x := shop(v, `"quote": {"deposit": "100 %"},`, v.text("advance_paid"))
		q, err := quote.Price(x, request(v, `{"cake": "cake-0", "quantity": 1}`, ""))
		if err != nil {
			v.t.Fatal(err)
		}
		q.Number, q.Revision = "2026-0001", "A"
		q.Offer.EventDate = day.Must("2026-06-10")
		o := quote.Order{Quote: q, Payments: []quote.Payment{{Number: "R1", On: day.Must("2026-03-25"), Amount: q.Offer.Total, Means: quote.Transfer}}}
		sums := func(until string) (owed, sales money.Amount) {
			for _, p := range quote.Journal([]quote.Order{o}, day.Must("2026-01-01"), day.Must(until)) {
				switch p.Ledger {
				case quote.ClientsLedger:
					owed = owed.Add(p.Credit).Sub(p.Debit)
				case quote.SalesLedger:
					sales = sales.Add(p.Credit).Sub(p.Debit)
				}
			}
			return owed, sales
		}
		owed, sales := sums("2026-06-09")
		v.near("owed to the client before", owed.Number(), "liability_until_service")
		v.nearBy("sales before", sales.Number(), exact.Number{}, exact.Number{})
		owed, sales = sums("2026-06-10")
		v.nearBy("owed after", owed.Number(), exact.Number{}, exact.Number{})
		v.near("sales on the day", sales.Number(), "revenue_on_service")
	},
	"discount_order": func(v vector) {
		// The amount comes off the list price, the discount off what is left.
		left := v.number("price").Sub(v.number("fixed_off")).Text()
		q := order(v, "", `"discount": "`+v.text("pct_off")+` %"`, left)
		v.near("left to pay", q.Offer.Total.Number(), "fixed_then_pct")
	},
	"tax_rate_from_amounts": func(v vector) {
		q := order(v, `"tax": {"rate": "`+v.text("tax_pct")+` %"},`, "", v.text("net"))
		v.nearBy("tax", q.Offer.Tax[0].Tax.Number(), v.number("tax"), exact.Number{})
	},
	"us_ssuta_rounding_rule": func(v vector) {
		for i, raw := range v.list("raw_tax") {
			// At 1 % a hundred times the raw tax is the price.
			net := exact.Must(raw).Mul(exact.Int(100)).Fixed(2)
			for _, by := range []string{"line", "document"} {
				q := order(v, `"tax": {"rate": "1 %", "by": "`+by+`"},`, "", net)
				v.nearBy("tax on "+net+" by "+by, q.Offer.Tax[0].Tax.Number(), exact.Must(v.list("rounded")[i]), exact.Number{})
			}
		}
	},
	"uk_vat_line_rounding": func(v vector) {
		// 18 % of 4.82 is 0.8676.
		q := order(v, `"tax": {"rate": "18 %", "by": "line"},`, "", "4.82")
		v.nearBy("tax in pence", q.Offer.Tax[0].Tax.Number().Mul(exact.Int(100)), v.number("nearest_penny"), exact.Number{})
	},
	"cash_rounding_totals": func(v vector) {
		for _, total := range v.list("totals") {
			v.nearBy("total", order(v, "", "", total).Offer.Total.Number(), exact.Must(total), exact.Number{})
		}
	},
	"wood_cost_by_area": func(v vector) {
		cm := v.number("side_m").Mul(exact.Int(100)).Fixed(2)
		s := solid(v, `"shape": "square", "side": "`+cm+` cm", "height": "`+cm+` cm"`)
		v.near("surface", s.surface.Add(s.top).Mul(exact.Frac(1, 10_000)), "surface_m2_rounded")
	},
}

// physical splits a joint cost as the parts of a whole piece are charged: by
// mass.
func physical(v vector, qty, alloc []string) {
	for i, want := range alloc {
		id := book.ID(fmt.Sprintf("part-%d", i))
		x := small(v.t, `"target": {"markup": "0 %"}`, fmt.Sprintf(
			`"ingredients": [{"id": "whole", "name": "Whole", "measure": "count", "parts": [{"id": "part-0", "name": "First", "mass": "%s g"}, {"id": "part-1", "name": "Second", "mass": "%s g"}],
				"prices": [{"from": "2026-01-01", "pack": "1 each", "price": %q}]}],
			"cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": %q, "qty": "%s g"}]}]`, qty[0], qty[1], v.text("joint_cost"), id, qty[i]))
		v.nearBy(string(id), costing(v.t, x, "cake").Cost.Total(), exact.Must(want), v.tolerance)
	}
}

// bySalesValue splits a joint cost as discounts and taxes are: in proportion to
// values, to the cent.
func (v vector) bySalesValue(alloc []string) {
	v.t.Helper()
	values := make([]exact.Number, len(alloc))
	for i := range values {
		if v.has("price") {
			values[i] = exact.Must(v.list("qty")[i]).Mul(exact.Must(v.list("price")[i]))
			v.nearBy("sales value", values[i], exact.Must(v.list("sales_value")[i]), exact.Number{})
			continue
		}
		values[i] = exact.Must(v.list("sales_value")[i])
	}
	dollars, err := money.ParseCurrency("USD")
	if err != nil {
		v.t.Fatal(err)
	}
	for i, share := range money.Share(dollars.Round(v.number("joint_cost")), values) {
		v.nearBy("share", share.Number(), exact.Must(alloc[i]), v.tolerance)
	}
}

// profit is what units sold bring in all, the period's fixed cost spread over
// them by the hour, an hour each.
func (v vector) profit(units string) exact.Number {
	v.t.Helper()
	x := workshop(v, v.text("fixed"), v.text(units), "1", "0", v.text("variable"))
	return v.number("price").Sub(costing(v.t, x, "cake").Cost.Total()).Mul(v.number(units))
}
