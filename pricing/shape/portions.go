package shape

import (
	"errors"
	"fmt"
	"math"
	"math/big"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// MostPortions bounds how many portions one tier may be cut into.
const MostPortions = 1_000_000

// ErrTooManyPortions means that a tier would be cut into crumbs.
var ErrTooManyPortions = fmt.Errorf("the portions are too small for the tier; at most %d can be cut", MostPortions)

// Fingers returns how many finger portions, width wide and depth deep, an
// outline is cut into. Both must be lengths above zero.
func (o Outline) Fingers(width, depth measure.Quantity) (int, error) {
	w, d := Centimetres(width), Centimetres(depth)
	if w.Sign() <= 0 || d.Sign() <= 0 {
		return 0, errors.New("a portion needs a width and a depth above 0")
	}
	area := w.Mul(d)
	if o.Area().Quo(area).Cmp(exact.Int(MostPortions)) > 0 {
		return 0, ErrTooManyPortions
	}
	switch o.kind {
	case Square:
		return grid(o.cm(0), o.cm(0), w, d), nil
	case Rectangle:
		return max(grid(o.cm(0), o.cm(1), w, d), grid(o.cm(0), o.cm(1), d, w)), nil
	case Round:
		return rings(o.cm(0).Mul(exact.Frac(1, 2)), w, d)
	}
	return whole(o.Area().Quo(area)), nil
}

// grid counts cells of w by d in a rectangle of l by b.
func grid(l, b, w, d exact.Number) int { return whole(l.Quo(w)) * whole(b.Quo(d)) }

// most rings that a round is cut in, so that a depth of a hair ends.
const mostRings = 10_000

func rings(radius, w, d exact.Number) (int, error) {
	if radius.Quo(d).Cmp(exact.Int(mostRings)) > 0 {
		return 0, ErrTooManyPortions
	}
	half := d.Mul(exact.Frac(1, 2))
	total := 0
	for ; radius.Cmp(d) >= 0; radius = radius.Sub(d) {
		total += whole(exact.Int(2).Mul(exact.Pi()).Mul(radius.Sub(half)).Quo(w))
	}
	core := exact.Pi().Mul(radius).Mul(radius)
	return total + whole(core.Quo(w.Mul(d))), nil
}

// whole rounds down to an int. Callers have bounded n by MostPortions or by
// the sizes of a tier; should one slip by, the count stays harmless.
func whole(n exact.Number) int {
	f := n.Floor()
	if f.CmpAbs(big.NewInt(math.MaxInt32)) > 0 {
		return math.MaxInt32
	}
	return int(f.Int64())
}
