package naive

import (
	"fmt"
	"math/big"
)

// area returns the footprint A in cm2.
func (b *Book) area(s shape) *big.Rat {
	switch s.Shape {
	case "round":
		d := b.cm(s.Diameter)
		return div(mul(pi, d, d), whole(4))
	case "square":
		return mul(b.cm(s.Side), b.cm(s.Side))
	case "rectangle":
		return mul(b.cm(s.Length), b.cm(s.Width))
	case "hexagon":
		side := b.cm(s.Side)
		return mul(div(mul(whole(3), sqrt3), whole(2)), side, side)
	case "heart":
		side := b.cm(s.Side)
		return add(mul(side, side), div(mul(pi, side, side), whole(4)))
	case "measured":
		return b.in("area", s.Area)
	}
	panic(fmt.Errorf("naive: unknown shape %q", s.Shape))
}

// perimeter returns P in cm.
func (b *Book) perimeter(s shape) *big.Rat {
	switch s.Shape {
	case "round":
		return mul(pi, b.cm(s.Diameter))
	case "square":
		return mul(whole(4), b.cm(s.Side))
	case "rectangle":
		return mul(whole(2), add(b.cm(s.Length), b.cm(s.Width)))
	case "hexagon":
		return mul(whole(6), b.cm(s.Side))
	case "heart":
		return add(mul(whole(2), b.cm(s.Side)), mul(pi, b.cm(s.Side)))
	case "measured":
		return b.cm(s.Perimeter)
	}
	panic(fmt.Errorf("naive: unknown shape %q", s.Shape))
}

// volume returns what a mould holds, as measured with water, else A·H, in cm3,
// which are ml.
func (b *Book) volume(s shape) *big.Rat {
	if s.Holds != "" {
		return b.in("volume", s.Holds)
	}
	return mul(b.area(s), b.cm(s.Height))
}

// drivers are the countable facts of a tier, a cake, an extra or a component.
type drivers map[string]*big.Rat

// tierDrivers returns the drivers of a tier of a cake.
func (b *Book) tierDrivers(c *cake, t tier) drivers {
	A, P, H := b.area(t.shape), b.perimeter(t.shape), b.cm(t.Height)
	return drivers{
		"tier":    one,
		"portion": whole(b.portionsMade(c, t)),
		"top":     A,
		"side":    mul(P, H),
		"surface": add(A, mul(P, H)),
		"edge":    P,
		"volume":  mul(A, H),
	}
}

// cakeDrivers returns the drivers at cake level.
func (b *Book) cakeDrivers(c *cake) drivers {
	sums := drivers{"cake": one, "tier": zero, "portion": zero, "top": zero, "side": zero, "surface": zero, "edge": zero, "volume": zero}
	for _, t := range c.Tiers {
		for name, value := range b.tierDrivers(c, t) {
			sums[name] = add(sums[name], value)
		}
	}
	if c.Portions != nil {
		sums["portion"] = whole(*c.Portions)
	}
	return sums
}

// cakePortions returns the portions a cake makes and those it serves.
func (b *Book) cakePortions(c *cake) (made, served int) {
	if c.Portions != nil {
		return *c.Portions, *c.Portions
	}
	for _, t := range c.Tiers {
		made += b.portionsMade(c, t)
		if !t.Kept {
			served += b.portionsMade(c, t)
		}
	}
	return made, served
}

// portionsMade returns the portions a tier makes.
func (b *Book) portionsMade(c *cake, t tier) int {
	switch {
	case t.Dummy:
		return 0
	case t.Portions != nil:
		return *t.Portions
	case t.Portion != nil:
		return b.cutPortions(*t.Portion, t.shape)
	case c.Portion != nil:
		return b.cutPortions(*c.Portion, t.shape)
	}
	panic(fmt.Errorf("naive: tier %q of %q has no portion rule", t.Name, c.ID))
}

// cutPortions cuts a shape by a portion rule.
func (b *Book) cutPortions(p portion, s shape) int {
	if p.Cut == "wedge" {
		return p.Count
	}
	w, d := b.cm(p.Width), b.cm(p.Depth)
	switch s.Shape {
	case "square":
		return gridPortions(b.cm(s.Side), b.cm(s.Side), w, d)
	case "rectangle":
		return gridPortions(b.cm(s.Length), b.cm(s.Width), w, d)
	case "round":
		return ringPortions(div(b.cm(s.Diameter), whole(2)), w, d)
	}
	return toInt(floor(div(b.area(s), mul(w, d))))
}

// gridPortions: the better of the two ways round.
func gridPortions(l, b, w, d *big.Rat) int {
	oneWay := mul(floor(div(l, w)), floor(div(b, d)))
	otherWay := mul(floor(div(b, w)), floor(div(l, d)))
	return toInt(larger(oneWay, otherWay))
}

// ringPortions: rings of depth d from the rim inward, then the core.
func ringPortions(r, w, d *big.Rat) int {
	count := zero
	for r.Cmp(d) >= 0 {
		middle := sub(r, div(d, whole(2)))
		count = add(count, floor(div(mul(whole(2), pi, middle), w)))
		r = sub(r, d)
	}
	count = add(count, floor(div(mul(pi, r, r), mul(w, d))))
	return toInt(count)
}

func toInt(x *big.Rat) int { return int(x.Num().Int64()) }
