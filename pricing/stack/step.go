package stack

import (
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

// usualStep is the overhang a side where a request states none. Common
// practice, no source.
var usualStep = measure.Must("25 mm")

// rule is what makes one tier fit on another.
type rule struct {
	step  exact.Number // cm
	mixed bool
}

// fits reports whether upper stands on lower with the step to spare all round.
// See the package comment for what counts.
func (r rule) fits(lower, upper *tin) bool {
	l, u := lower.outline.Kind(), upper.outline.Kind()
	if l == shape.Measured || u == shape.Measured {
		return false
	}
	switch {
	case straight(l) && straight(u) && (l == u || r.mixed):
		return lower.sizes[0].Cmp(upper.grown[0]) >= 0 && lower.sizes[1].Cmp(upper.grown[1]) >= 0
	case l == u:
		return lower.sizes[0].Cmp(upper.grown[0]) >= 0
	case !r.mixed:
		return false
	}
	return lower.room2.Cmp(upper.around2) >= 0
}

// straight reports whether a kind is bounded by two lengths at right angles.
func straight(k shape.Kind) bool { return k == shape.Square || k == shape.Rectangle }

// Fits reports whether an outline stands on another with at least step of the
// lower one to be seen all round. Different shapes fit only where mixed is set.
func Fits(lower, upper shape.Outline, step measure.Quantity, mixed bool) bool {
	r, l, u := rule{shape.Centimetres(step), mixed}, tin{outline: lower}, tin{outline: upper}
	for _, t := range []*tin{&l, &u} {
		t.measure()
		t.grow(r)
	}
	return r.fits(&l, &u)
}
