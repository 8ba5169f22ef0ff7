package book

import (
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// Mould is what a batch of a recipe fills: a shape with its sizes and inner
// depth, or what it holds, found by filling it with water. What it holds goes
// before what its sizes come to, since sides slope and corners are round.
type Mould struct {
	Shape     shape.Kind       `json:"shape,omitempty"`
	Diameter  measure.Quantity `json:"diameter,omitzero"`
	Side      measure.Quantity `json:"side,omitzero"`
	Length    measure.Quantity `json:"length,omitzero"`
	Width     measure.Quantity `json:"width,omitzero"`
	Area      measure.Quantity `json:"area,omitzero"`
	Perimeter measure.Quantity `json:"perimeter,omitzero"`
	Height    measure.Quantity `json:"height,omitzero"` // inner depth
	Holds     measure.Quantity `json:"holds,omitzero"`
}

// Form returns the sizes of m as those of a tier.
func (m Mould) Form() Form {
	return Form{m.Shape, m.Diameter, m.Side, m.Length, m.Width, m.Area, m.Perimeter, m.Height}
}

// Outline returns the plan of m; none where m states only what it holds.
func (m Mould) Outline() shape.Outline { return m.Form().Solid().Outline }

// Volume returns what m holds in ml, taking household measures as h has them:
// as stated, or else area times height. It is 0 where neither is known.
func (m Mould) Volume(h measure.Household) exact.Number {
	if m.Holds.Given() {
		return m.Holds.Base(h)
	}
	return m.Form().Solid().Volume()
}

// Tin is a tin on the studio's shelf, in which tiers are baked. It always has
// a shape; without its depth or what it holds, no recipe can be scaled to it.
type Tin struct {
	ID ID `json:"id"`
	Mould
	Owned record.Maybe[int]    `json:"owned,omitzero"` // 1; 0 for a tin that is gone
	Name  record.Maybe[string] `json:"name,omitzero"`
}

// String says which tin it is: its name, or else its shape and sizes.
func (t Tin) String() string {
	if t.Name.Given {
		return t.Name.Value
	}
	return strings.Replace(t.Outline().String(), ", ", " ", 1)
}

// mould checks what a batch fills.
func (c checker) mould(path string, m Mould) {
	if m.Shape == "" && !m.Holds.Given() {
		c.fault(path, "needs a shape with its sizes and height, or what it holds: fill it with water and write \"holds\": \"1850 ml\"")
		return
	}
	c.vessel(path, m)
	if m.Shape != "" && !m.Height.Given() && !m.Holds.Given() {
		c.fault(record.Join(path, "height"), "is missing; a mould needs its depth, or what it holds")
	}
}

// mostHeld is what the largest vessel of a kitchen holds, in ml.
var mostHeld = exact.Int(10_000_000)

// vessel checks the sizes of a mould or tin as far as they are stated.
func (c checker) vessel(path string, m Mould) {
	held := record.Join(path, "holds")
	if c.dimension(held, m.Holds, measure.Volume) {
		c.positive(held, m.Holds, "recipes are scaled by it")
		if m.Holds.Given() && m.Holds.Base(c.x.household).Cmp(mostHeld) > 0 {
			c.fault(held, "%q is more than any mould holds; at most 10000 l", m.Holds)
		}
	}
	if m.Shape != "" {
		c.form(path, m.Form())
		return
	}
	for _, name := range append(sizeNames, "height") {
		if q := m.Form().size(name); q.Given() || name == "height" && m.Height.Given() {
			c.fault(record.Join(path, name), "needs a shape that it is a size of; add the shape, or remove it and keep holds")
		}
	}
}

func (c checker) tin(path string, t Tin) {
	if t.Name.Given {
		c.name(path, t.Name.Value)
	}
	if t.Shape == "" && !c.damage.under(record.Join(path, "shape")) {
		c.fault(record.Join(path, "shape"), "is missing; a tin has a shape and its sizes, since tiers are baked in it")
		return
	}
	c.vessel(path, t.Mould)
}
