package randombook

// usable is something a line can use, with the ways a line may state it.
type usable struct {
	id       string
	measures []string // dimensions a quantity of it may have
	massed   []string // those of them whose usable mass is known
	spread   bool     // whether layers, coats and sheets of it have a mass
}

// ingredients returns ingredients and packaging of every kind.
func (g *Gen) ingredients() []object {
	// One at least can be weighed, so that a recipe has something to weigh.
	list := []object{g.ingredient("mass")}
	for range g.between(2, 8) {
		list = append(list, g.ingredient(pick(g, "mass", "mass", "volume", "volume", "count", "count", "whole", "length", "area")))
	}
	list = append(list, g.boxes())
	shuffle(g, list)
	return list
}

// boxes returns the packaging that every cake holds.
func (g *Gen) boxes() object {
	g.box = g.id("box")
	box := object{"id": g.box, "name": "Box", "kind": "packaging", "measure": "count"}
	g.prices(box, "count", func() string { return g.moneyFine(20, 90) })
	g.uses = append(g.uses, usable{id: g.box, measures: []string{"count"}})
	return box
}

// ingredient returns one bought in a measure; "whole" is a piece with parts.
func (g *Gen) ingredient(measure string) object {
	o := object{"id": g.id(pick(g, "butter", "sugar", "flour", "cream", "fruit", "ribbon", "leaf")), "name": pick(g, "Butter", "Crème", "Fruit & nut")}
	u := usable{id: o["id"].(string)}
	dense := g.chance(50)
	if dense {
		o["density"] = g.number(0, 2, 3) + " g/ml"
	}
	switch measure {
	case "whole":
		measure = pick(g, "count", "count", "mass")
		g.split(o)
		u.measures = []string{"mass", "count"}
		if dense {
			u.measures = append(u.measures, "volume")
		}
		u.massed = u.measures
		u.spread = dense
	case "length", "area":
		u.measures = []string{measure}
		g.trim(o)
	default:
		piece := g.chance(40)
		if piece {
			o["each"] = pick(g, g.number(2, 300, 1)+" g", g.number(0, 4, 2)+" oz")
		}
		g.trim(o)
		u.measures, u.massed, u.spread = bridges(measure, dense, piece)
	}
	o["measure"] = measure
	if g.chance(20) {
		o["kind"] = pick(g, "ingredient", "packaging", "packaging")
	}
	g.prices(o, measure, func() string {
		if g.chance(5) {
			return "0"
		}
		return g.moneyFine(0, 70)
	})
	g.words(o)
	g.uses = append(g.uses, u)
	return o
}

// bridges returns the dimensions in which an ingredient of a measure can be
// used, given a density and a piece's mass, and those whose mass is known.
func bridges(measure string, dense, piece bool) (measures, massed []string, spread bool) {
	switch {
	case measure == "volume" && !dense:
		return []string{"volume"}, nil, false
	case measure == "count" && !piece:
		return []string{"count"}, nil, false
	}
	measures = []string{"mass"}
	if dense {
		measures = append(measures, "volume")
	}
	if piece {
		measures = append(measures, "count")
	}
	return measures, measures, dense
}

// split gives an ingredient parts, which lines may use too.
func (g *Gen) split(o object) {
	var parts []object
	for range g.between(1, 3) {
		id := g.id("part")
		parts = append(parts, object{"id": id, "name": "Part", "mass": pick(g, g.number(3, 60, 1)+" g", g.number(0, 2, 2)+" oz")})
		g.uses = append(g.uses, usable{id: id, measures: []string{"mass", "count"}, massed: []string{"mass", "count"}})
	}
	o["parts"] = parts
}

func (g *Gen) trim(o object) {
	if g.chance(30) {
		o["trim_yield"] = pick(g, "100 %", g.percent(12, 99), g.percent(12, 99))
	}
}

// prices gives an ingredient dated prices, some of them from suppliers it does
// not buy from.
func (g *Gen) prices(o object, measure string, price func() string) {
	supplier := ""
	if g.chance(40) {
		supplier = pick(g, g.suppliers...)
		o["supplier"] = supplier
	}
	var list []object
	for _, day := range g.startDays() {
		list = append(list, g.price(day, measure, price, supplier))
	}
	if supplier != "" {
		for range g.between(0, 2) {
			other := pick(g, "", "Somewhere else")
			list = append(list, g.price(g.dayFrom("2025-12-01", 600), measure, price, other))
		}
		shuffle(g, list)
	}
	o["prices"] = list
}

func (g *Gen) price(day, measure string, price func() string, supplier string) object {
	p := object{"from": day, "pack": g.pack(measure), "price": price()}
	if supplier == "" && g.chance(20) {
		supplier = "Somewhere else"
	}
	if supplier != "" {
		p["supplier"] = supplier
	}
	if g.chance(40) {
		p["tax_in"] = g.taxRate()
	}
	if g.chance(10) {
		p["note"] = "by the door"
	}
	return p
}

func (g *Gen) pack(measure string) string {
	switch measure {
	case "mass":
		return pick(g, "12.5 kg", "10 x 250 g", "1 lb", g.number(100, 900, 0)+" g", "6 x "+g.number(1, 20, 1)+" oz", g.number(1, 25, 2)+" kg")
	case "volume":
		return pick(g, "1 l", "6 x 1 l", "75 cl", "2 us gallon", "1 uk gallon", "12 x 1 us pint", "4 uk pint", g.number(100, 900, 0)+" ml", "3 dl", "16 us fl oz", "1 us quart", "10 cup")
	case "count":
		return pick(g, "1 each", "30 each", "15 dozen", "4 x 6 each", g.number(2, 90, 0)+" each")
	case "length":
		return pick(g, "25 m", "10 x 2 m", "30 ft", "500 mm", "72 in", "90 cm")
	}
	return pick(g, "1 m2", "20 x 600 cm2", "5000 mm2", "144 in2")
}

// words gives an ingredient the allergens and flags that papers print.
func (g *Gen) words(o object) {
	if g.chance(30) {
		o["allergens"] = object{"contains": []string{pick(g, "milk", "egg", "wheat")}, "may_contain": []string{pick(g, "almond", "soy", "pistachio")}}
	}
	if g.chance(20) {
		o["flags"] = []string{pick(g, "alcohol", "gelatine", "inedible", "fresh-flower")}
	}
}

// amount returns a quantity of a dimension, of the size a recipe line has.
func (g *Gen) amount(dimension string) string {
	switch dimension {
	case "mass":
		return pick(g, g.number(1, 500, 0)+" g", g.number(1, 500, 1)+" g", g.number(0, 1, 3)+" kg", g.number(0, 12, 2)+" oz", g.number(0, 1, 2)+" lb", g.number(200, 90000, 0)+" mg")
	case "volume":
		return pick(g, g.number(1, 400, 0)+" ml", g.number(0, 1, 2)+" l", g.number(1, 30, 1)+" cl", g.number(0, 4, 1)+" dl",
			g.number(0, 9, 1)+" us fl oz", g.number(0, 1, 2)+" us pint", g.number(0, 1, 2)+" us quart", g.number(0, 1, 3)+" us gallon",
			g.number(0, 9, 1)+" uk fl oz", g.number(0, 1, 2)+" uk pint", g.number(0, 1, 3)+" uk gallon",
			g.number(0, 3, 2)+" tsp", g.number(1, 6, 0)+" tbsp", g.number(0, 2, 2)+" cup")
	case "count":
		return pick(g, g.number(1, 12, 0)+" each", g.number(0, 6, 1)+" each", g.number(0, 2, 1)+" dozen")
	case "length":
		return pick(g, g.number(10, 900, 0)+" mm", g.number(5, 90, 1)+" cm", g.number(0, 2, 2)+" m", g.number(1, 40, 1)+" in", g.number(0, 6, 1)+" ft")
	}
	return pick(g, g.number(5, 900, 0)+" cm2", g.number(100, 9000, 0)+" mm2", g.number(0, 1, 3)+" m2", g.number(1, 90, 1)+" in2")
}

// speck returns a quantity of the size that goes with a square centimetre.
func (g *Gen) speck(dimension string) string {
	switch dimension {
	case "mass":
		return pick(g, g.number(0, 1, 3)+" g", g.number(1, 300, 0)+" mg", g.number(0, 1, 3)+" oz")
	case "volume":
		return pick(g, g.number(0, 1, 3)+" ml", g.number(0, 1, 3)+" tsp")
	case "count":
		return g.number(0, 1, 3) + " each"
	case "length":
		return g.number(1, 12, 1) + " mm"
	}
	return pick(g, g.number(0, 2, 2)+" cm2", g.number(1, 90, 0)+" mm2")
}
