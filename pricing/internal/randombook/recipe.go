package randombook

// components returns recipes; each may use those drawn before it, so that
// chains grow several levels deep and never close.
func (g *Gen) components() []object {
	var list []object
	deepest := ""
	for range g.between(0, 6) {
		o := g.component(deepest)
		deepest = o["id"].(string)
		list = append(list, o)
	}
	shuffle(g, list)
	return list
}

// component returns a recipe; mostly it uses the one drawn before.
func (g *Gen) component(before string) object {
	o := object{"id": g.id(pick(g, "sponge", "curd", "cream", "crunch")), "name": "Recipe"}
	u := usable{id: o["id"].(string)}
	form := pick(g, "loss", "loss", "sum", "mass", "count")
	weighed := form == "loss" || form == "sum"

	var lines []object
	for range g.between(1, 4) {
		lines = append(lines, g.recipeLine(pick(g, g.uses...), weighed))
	}
	if weighed {
		// What has a known mass is listed once more, so that the bowl is never empty.
		lines = append(lines, g.recipeLine(g.weighable(), true))
	}
	if before != "" && g.chance(70) {
		if last := g.uses[len(g.uses)-1]; !weighed || len(last.massed) > 0 {
			lines = append(lines, g.recipeLine(last, weighed))
		}
	}
	kept := lines[:0]
	for _, l := range lines {
		if l != nil {
			kept = append(kept, l)
		}
	}
	o["lines"] = kept

	unit := "mass"
	switch form {
	case "loss":
		o["loss"] = pick(g, "0 %", g.percent(1, 40), g.percent(1, 40))
	case "mass":
		o["yield"] = pick(g, g.number(100, 2500, 0)+" g", g.number(1, 3, 2)+" kg", g.number(1, 4, 1)+" lb")
	case "count":
		unit = "count"
		o["yield"] = pick(g, g.number(6, 60, 0)+" each", "2 dozen")
	}
	u.measures = []string{unit}
	if unit == "mass" {
		g.finish(o, &u)
	}
	g.batches(o, unit)
	if g.chance(50) {
		o["kind"] = pick(g, "sponge", "filling", "glaze")
	}
	if g.chance(20) {
		o["keeps"], o["method"] = "3 day", "Whip until pale."
	}
	if g.chance(15) {
		o["flags"] = []string{"raw-egg"}
	}
	drivers := []string{"batch", "kg"}
	if unit == "count" {
		drivers[1] = "each"
	}
	g.put(o, "tasks", g.tasks(drivers))
	g.put(o, "equipment", g.equipmentUses(drivers))
	g.uses = append(g.uses, u)
	return o
}

// recipeLine returns a line that uses u, or nil where its mass must be known and
// cannot be.
func (g *Gen) recipeLine(u usable, weighed bool) object {
	from := u.measures
	if weighed {
		from = u.massed
	}
	if len(from) == 0 {
		return nil
	}
	l := object{"use": u.id, "qty": g.amount(pick(g, from...))}
	if g.chance(10) {
		l["note"] = "at room temperature"
	}
	return l
}

// weighable returns something whose mass is known.
func (g *Gen) weighable() usable {
	var from []usable
	for _, u := range g.uses {
		if len(u.massed) > 0 {
			from = append(from, u)
		}
	}
	return pick(g, from...)
}

// finish gives a component a density, a mould or neither.
func (g *Gen) finish(o object, u *usable) {
	u.massed = []string{"mass"}
	switch g.between(1, 5) {
	case 1, 2:
		o["density"] = g.number(0, 2, 3) + " g/ml"
	case 3, 4:
		o["mould"] = g.mould()
	default:
		return
	}
	u.measures = []string{"mass", "volume"}
	u.massed = u.measures
	u.spread = true
}

func (g *Gen) batches(o object, unit string) {
	size := func(lo, hi int) string {
		if unit == "count" {
			return g.number(max(1, lo/50), hi/50, 0) + " each"
		}
		return pick(g, g.number(lo, hi, 0)+" g", g.number(lo, hi, 1)+" g", g.number(0, hi/1000+1, 2)+" kg")
	}
	if g.chance(35) {
		o["batch_min"] = size(100, 1200)
	}
	if g.chance(40) {
		o["batch_max"] = size(400, 3000)
	}
}
