package randombook

import (
	"encoding/base64"
	"fmt"
)

func (g *Gen) studio() object {
	currency := pick(g, "EUR", "EUR", "GBP", "USD", "PLN", "CHF", "JPY", "KRW", "ISK", "KWD", "BHD", "TND")
	switch currency {
	case "JPY", "KRW", "ISK":
		g.minor = 0
	case "KWD", "BHD", "TND":
		g.minor = 3
	default:
		g.minor = 2
	}
	s := object{"name": "Quince & Almond", "currency": currency, "target": g.target()}
	if g.chance(30) {
		s["address"], s["email"], s["phone"] = "Old Dairy, Mill Lane", "orders@quince.example", "000 000"
	}
	if g.chance(60) {
		s["locale"] = pick(g, "en", "en-IE", "de-DE", "fr", "ja-JP", "pl")
	}
	if g.chance(60) {
		s["household"] = pick(g, "metric", "us")
	}
	if g.chance(60) {
		s["recovers_tax"] = g.chance(70)
	}
	if g.chance(70) {
		s["prices_shown"] = pick(g, "gross", "net")
	}
	if g.hasTax = g.chance(80); g.hasTax {
		s["tax"] = g.tax()
	}
	if g.chance(50) {
		s["price_step"] = g.priceStep()
	}
	if g.chance(50) {
		s["minimum_order"] = pick(g, g.money(1, 600), g.money(600, 9000))
	}
	if g.chance(60) {
		s["floor_margin"] = g.percent(0, 60)
	}
	if g.chance(50) {
		s["allergen_list"] = pick(g, "eu", "uk", "us", "ca", "anz")
	}
	if g.chance(75) {
		s["quote"] = g.terms()
	}
	if g.chance(40) {
		s["look"] = g.look()
	}
	return s
}

// look returns what papers look like; not all of it is always stated.
func (g *Gen) look() object {
	l := object{}
	if g.chance(70) {
		l["accent"] = pick(g, "#6a3f52", "#2f5d62", "#000000")
	}
	if g.chance(50) {
		l["paper"] = pick(g, "a4", "letter")
	}
	if g.chance(50) {
		drawing := fmt.Sprintf("<svg viewBox='0 0 9 9'><rect width='%d' height='9'/></svg>", 1+g.r.IntN(9))
		l["logo"] = "data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString([]byte(drawing))
	}
	return l
}

func (g *Gen) tax() object {
	t := object{"rate": g.taxRate()}
	if g.chance(60) {
		t["label"] = pick(g, "VAT", "Sales tax")
	}
	if g.chance(40) {
		t["number"] = pick(g, "", "X 123")
	}
	if g.chance(75) {
		t["by"] = pick(g, "document", "line")
	}
	return t
}

func (g *Gen) priceStep() string {
	switch g.minor {
	case 0:
		return pick(g, "1", "10", "100", "500", "7")
	case 3:
		return pick(g, "0.005", "0.25", "1", "5.000", "0.007")
	}
	return pick(g, "0.05", "0.5", "1", "5.00", "10", "0.99")
}

func (g *Gen) target() object {
	switch g.between(1, 6) {
	case 1, 2:
		return object{"margin": pick(g, "0 %", g.percent(5, 80), g.percent(5, 80))}
	case 3, 4:
		return object{"markup": pick(g, "0 %", g.percent(10, 300), g.percent(10, 300))}
	case 5:
		return object{"per_portion": g.moneyFine(1, 15)}
	}
	return object{"fixed": g.moneyFine(40, 900)}
}

// terms returns the conditions of a quote. Deposit and all instalments but the
// last take at most everything; the last takes what is left.
func (g *Gen) terms() object {
	q := object{}
	if g.chance(50) {
		q["valid_days"] = g.between(1, 90)
	}
	left := 100
	if g.chance(75) {
		deposit := pick(g, 0, 10, 25, 30, 50, 100)
		left -= deposit
		q["deposit"] = fmt.Sprintf("%d %%", deposit)
		if deposit > 0 && g.chance(30) {
			q["deposit"] = fmt.Sprintf("%d.%d %%", deposit-1, g.between(1, 9))
		}
	}
	if g.chance(60) {
		var list []object
		for range g.between(1, 3) {
			if left < 2 {
				break
			}
			share := g.between(1, left/2)
			left -= share
			list = append(list, object{"share": fmt.Sprintf("%d %%", share), "days_before": g.between(0, 60)})
		}
		if len(list) > 0 {
			last := list[len(list)-1]
			last["share"] = pick(g, last["share"].(string), g.percent(1, 99))
		}
		q["instalments"] = append([]object{}, list...)
	}
	if g.chance(30) {
		share := g.between(0, 40)
		fees := []object{{"share": fmt.Sprintf("%d %%", share)}}
		for days := g.between(30, 120); days > 0 && g.chance(70); days -= g.between(7, 60) {
			share = min(share+g.between(0, 20), 100)
			fees = append(fees, object{"within_days": days, "share": fmt.Sprintf("%d %%", share)})
		}
		q["cancellation"] = fees
	}
	if g.chance(40) {
		q["terms"] = []string{"A day is held once the deposit is here."}
	}
	return q
}

func (g *Gen) overhead() object {
	switch g.between(1, 4) {
	case 1, 2:
		return object{
			"method": "labour hour",
			"hours":  pick(g, g.number(60, 200, 1)+" h", g.number(3000, 9000, 0)+" min", g.number(3, 8, 1)+" day"),
			"dated":  g.datedList("amount", func() string { return g.moneyFine(500, 4000) }),
		}
	case 3:
		return object{"method": "percent", "dated": g.datedList("share", func() string { return g.percent(1, 60) })}
	}
	return object{"method": "cake", "dated": g.datedList("amount", func() string { return g.moneyFine(2, 60) })}
}

func (g *Gen) rolesList() []object {
	var list []object
	for range pick(g, 0, 1, 2, 2, 3, 4) {
		r := object{
			"id":   g.id(pick(g, "baker", "finisher", "driver", "helper")),
			"name": pick(g, "Baker", "Finisher", "Driver"),
			"wage": g.datedList("per_hour", func() string { return g.moneyFine(9, 60) }),
		}
		if g.chance(60) {
			r["on_cost"] = pick(g, "0 %", g.percent(1, 45))
		}
		if g.chance(60) {
			r["productive"] = pick(g, "100 %", g.percent(40, 99))
		}
		g.roles = append(g.roles, r["id"].(string))
		list = append(list, r)
	}
	return list
}

func (g *Gen) equipmentList() []object {
	var list []object
	for range pick(g, 0, 1, 2, 3) {
		e := object{"id": g.id(pick(g, "oven", "whisk", "fridge")), "name": "Appliance"}
		if g.chance(80) {
			e["power"] = pick(g, g.number(50, 4000, 0)+" W", g.number(0, 9, 2)+" kW")
		}
		if g.chance(60) {
			e["duty"] = pick(g, "100 %", g.percent(5, 99))
		}
		if g.chance(60) {
			e["per_hour"] = g.moneyFine(0, 3)
		}
		g.machines = append(g.machines, e["id"].(string))
		list = append(list, e)
	}
	return list
}

// tasks returns up to three tasks that scale with any of the drivers.
func (g *Gen) tasks(drivers []string) []object {
	var list []object
	for range pick(g, 0, 1, 1, 2, 3) {
		t := object{"task": pick(g, "fold in", "smooth", "cut out", "carry")}
		if len(g.roles) == 0 || g.chance(20) {
			t["wait"] = pick(g, "90 min", "2 h", "0.5 day", "45 s")
		} else {
			t["role"] = pick(g, g.roles...)
			g.time(t, drivers)
		}
		list = append(list, t)
	}
	return list
}

// equipmentUses returns up to two uses of appliances.
func (g *Gen) equipmentUses(drivers []string) []object {
	var list []object
	if len(g.machines) == 0 {
		return nil
	}
	for range pick(g, 0, 1, 1, 2) {
		u := object{"use": pick(g, g.machines...)}
		g.time(u, drivers)
		list = append(list, u)
	}
	return list
}

// time sets a setup, or a rate per driver, or both.
func (g *Gen) time(o object, drivers []string) {
	which := g.between(1, 3)
	if which != 2 {
		o["setup"] = pick(g, g.number(1, 60, 0)+" min", g.number(5, 300, 0)+" s", g.number(0, 2, 2)+" h")
		if which == 1 && g.chance(15) {
			o["per"] = pick(g, drivers...) // without a rate it scales nothing
		}
	}
	if which != 1 {
		per := pick(g, drivers...)
		o["per"] = per
		if fine(per) {
			o["rate"] = pick(g, g.number(0, 1, 3)+" min", g.number(1, 3, 1)+" s")
		} else {
			o["rate"] = pick(g, g.number(0, 20, 1)+" min", g.number(5, 90, 0)+" s", g.number(0, 1, 2)+" h")
		}
	}
}

// fine tells whether a driver runs into the hundreds for a tier.
func fine(driver string) bool {
	switch driver {
	case "top", "side", "surface", "volume", "edge":
		return true
	}
	return false
}
