package randombook

var (
	tierDrivers  = []string{"tier", "portion", "top", "side", "surface", "edge", "volume"}
	cakeDrivers  = append([]string{"cake"}, tierDrivers...)
	extraDrivers = []string{"order", "km"}
)

func (g *Gen) cakes() []object {
	var list []object
	for range g.between(1, 4) {
		list = append(list, g.cake())
	}
	return list
}

func (g *Gen) cake() object {
	o := object{"id": g.id("cake"), "name": pick(g, "Garden cake", "Gâteau à étages", "Plain & simple")}
	if g.chance(20) {
		o["portions"] = g.between(1, 60)
	} else {
		g.tiers(o)
	}
	if g.chance(30) {
		o["description"] = "As agreed."
	}
	if g.chance(35) {
		o["price"] = pick(g, g.money(30, 900), g.money(900, 9000))
	}
	if g.chance(35) {
		o["target"] = g.target()
	}
	if g.chance(40) {
		o["tax_rate"] = g.taxRate()
	}
	parts := append(g.quantityParts(cakeDrivers, 3), object{"use": g.box, "qty": "1 each"})
	shuffle(g, parts)
	o["parts"] = parts
	g.put(o, "tasks", g.tasks(cakeDrivers))
	g.put(o, "equipment", g.equipmentUses(cakeDrivers))
	return o
}

// tiers gives a cake tiers, each with a portion rule of its own or the cake's.
func (g *Gen) tiers(o object) {
	common := g.chance(60)
	if common {
		o["portion"] = g.portion()
	}
	var list []object
	for range pick(g, 1, 1, 2, 2, 3, 4) {
		t := g.shape()
		t["name"] = pick(g, "bottom", "middle", "top")
		if g.chance(15) {
			t["dummy"] = true
		} else if g.chance(10) {
			t["dummy"] = false
		}
		if g.chance(15) {
			t["kept"] = true
		}
		// A dummy tier needs no rule and may have one all the same.
		if (!common && t["dummy"] != true) || g.chance(25) {
			if g.chance(50) {
				t["portion"] = g.portion()
			} else {
				t["portions"] = g.between(1, 80)
			}
			if g.chance(15) {
				t["portion"], t["portions"] = g.portion(), g.between(1, 80)
			}
		}
		g.put(t, "parts", append(g.spreadParts(), g.quantityParts(tierDrivers, 2)...))
		g.put(t, "tasks", g.tasks(tierDrivers))
		g.put(t, "equipment", g.equipmentUses(tierDrivers))
		list = append(list, t)
	}
	o["tiers"] = list
}

func (g *Gen) portion() object {
	if g.chance(30) {
		return object{"cut": "wedge", "count": g.between(1, 30)}
	}
	width := pick(g, "25 mm", "1 in", g.number(15, 60, 0)+" mm", g.number(2, 5, 1)+" cm")
	depth := pick(g, "50 mm", "2 in", g.number(20, 70, 0)+" mm", g.number(2, 6, 1)+" cm")
	return object{"cut": "finger", "width": width, "depth": depth}
}

// shape returns the shape keys of a tier or a mould.
func (g *Gen) shape() object {
	size := func() string {
		return pick(g, g.number(80, 400, 0)+" mm", g.number(8, 40, 1)+" cm", g.number(4, 14, 0)+" in")
	}
	o := object{"height": pick(g, g.number(40, 200, 0)+" mm", g.number(4, 20, 1)+" cm", g.number(2, 6, 1)+" in")}
	switch o["shape"] = pick(g, "round", "round", "square", "rectangle", "hexagon", "heart", "measured"); o["shape"] {
	case "round":
		o["diameter"] = size()
	case "square", "hexagon", "heart":
		o["side"] = size()
	case "rectangle":
		o["length"], o["width"] = size(), size()
	case "measured":
		// Long enough an edge for any of the areas: a circle of 900 cm2 has 106 cm.
		o["area"] = pick(g, g.number(100, 900, 1)+" cm2", "0.04 m2", g.number(10000, 90000, 0)+" mm2", g.number(20, 130, 1)+" in2")
		o["perimeter"] = pick(g, g.number(110, 200, 1)+" cm", "1.25 m", g.number(44, 70, 0)+" in", g.number(1100, 2000, 0)+" mm", "4.5 ft")
	}
	return o
}

// spreadParts returns layers, coats and sheets.
func (g *Gen) spreadParts() []object {
	var from []usable
	for _, u := range g.uses {
		if u.spread {
			from = append(from, u)
		}
	}
	var list []object
	if len(from) == 0 {
		return nil
	}
	for range g.between(0, 4) {
		p := object{"use": pick(g, from...).id}
		switch pick(g, "layers", "coat", "sheet") {
		case "layers":
			p["layers"] = g.between(1, 5)
			p["thick"] = pick(g, g.number(2, 30, 0)+" mm", g.number(0, 3, 2)+" cm", g.number(0, 1, 2)+" in")
		case "coat":
			p["coat"] = pick(g, g.number(1, 9, 1)+" mm", g.number(0, 1, 2)+" cm")
			if g.chance(60) {
				p["on"] = pick(g, "top", "side", "surface")
			}
		case "sheet":
			p["sheet"] = g.number(1, 7, 1) + " mm"
			p["overhang"] = pick(g, g.number(5, 60, 0)+" mm", "1 in")
			if g.chance(60) {
				p["reuse"] = pick(g, "0 %", "100 %", g.percent(1, 99))
			}
		}
		list = append(list, g.waste(p))
	}
	return list
}

// quantityParts returns parts by quantity, fixed or per driver.
func (g *Gen) quantityParts(drivers []string, most int) []object {
	var list []object
	for range g.between(0, most) {
		u := pick(g, g.uses...)
		measure := pick(g, u.measures...)
		p := object{"use": u.id, "qty": g.amount(measure)}
		if g.chance(50) {
			per := pick(g, drivers...)
			p["per"] = per
			if fine(per) {
				p["qty"] = g.speck(measure)
			}
		}
		list = append(list, g.waste(p))
	}
	return list
}

func (g *Gen) waste(p object) object {
	if g.chance(35) {
		p["waste"] = pick(g, "0 %", g.percent(1, 30), g.percent(1, 30))
	}
	return p
}

func (g *Gen) extras() []object {
	var list []object
	for range g.between(0, 4) {
		o := object{"id": g.id("extra"), "name": pick(g, "Delivery", "Hire of a stand", "Tasting")}
		if g.chance(40) {
			o["always"] = g.chance(80)
		}
		if g.chance(25) {
			o["hidden"] = g.chance(80)
		}
		if g.chance(70) {
			o["price"] = g.moneyFine(1, 90)
		}
		if g.chance(40) {
			o["price_per_km"] = g.moneyFine(0, 3)
		}
		if g.chance(40) {
			o["tax_rate"] = g.taxRate()
		}
		g.put(o, "parts", g.quantityParts(extraDrivers, 2))
		g.put(o, "tasks", g.tasks(extraDrivers))
		g.put(o, "equipment", g.equipmentUses(extraDrivers))
		list = append(list, o)
	}
	return list
}
