package drawing

import (
	"math"

	"marchpane/pricing/exact"
	"marchpane/pricing/shape"
)

// Front returns the width in mm of an outline seen from the front, and whether
// it is a guess, since an area and a perimeter do not fix a shape. An outline
// that is none has the width 0.
func Front(o shape.Outline) (width float64, guessed bool) {
	if !o.Given() {
		return 0, false
	}
	if o.Kind() == shape.Measured {
		// l + w = P⁄2 and l·w = A: l is the larger root.
		area, half := millimetres2(o.Area()), millimetres(o.Perimeter())/2
		if d := half*half/4 - area; d >= 0 {
			return half/2 + math.Sqrt(d), true
		}
		return 2 * math.Sqrt(area/math.Pi), true
	}
	size := millimetres(shape.Centimetres(o.Sizes()[0]))
	switch o.Kind() {
	case shape.Rectangle:
		return max(size, millimetres(shape.Centimetres(o.Sizes()[1]))), false
	case shape.Hexagon:
		return 2 * size, false
	case shape.Heart:
		return size * (1 + math.Sqrt2/2), false
	}
	return size, false
}

// millimetres returns a length given in cm as a coordinate in mm.
func millimetres(cm exact.Number) float64 { return cm.Round(4).InexactFloat64() * 10 }

// millimetres2 returns an area given in cm2 in mm2.
func millimetres2(cm2 exact.Number) float64 { return cm2.Round(4).InexactFloat64() * 100 }
