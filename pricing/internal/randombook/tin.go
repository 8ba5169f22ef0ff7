package randombook

// mould returns what a batch fills: a shape, the water it holds, or both.
func (g *Gen) mould() object {
	switch g.between(1, 4) {
	case 1:
		return object{"holds": g.water()}
	case 2:
		o := g.shape()
		o["holds"] = g.water()
		return o
	}
	return g.shape()
}

func (g *Gen) water() string {
	return pick(g, g.number(400, 4000, 0)+" ml", g.number(1, 5, 2)+" l", g.number(3, 16, 1)+" cup", g.number(1, 6, 0)+" us pint")
}

func (g *Gen) tins() []object {
	var list []object
	for range pick(g, 0, 1, 2, 4) {
		o := g.shape()
		o["id"] = g.id("tin")
		if g.chance(40) {
			delete(o, "height")
		}
		if g.chance(30) {
			o["holds"] = g.water()
		}
		if g.chance(50) {
			o["owned"] = g.between(0, 4)
		}
		if g.chance(30) {
			o["name"] = "The old one"
		}
		list = append(list, o)
	}
	return list
}
