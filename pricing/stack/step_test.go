package stack_test

import (
	"math"
	"strconv"
	"testing"

	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
)

// TestStepsByWalkingRound walks round the edge of the upper tier and looks from
// every point in every direction: a step away there must still be tier below.
// Where Fits says no to tiers of one form, there must be a place where there is
// none. From what the forms are and not from the rules; floats serve here.
func TestStepsByWalkingRound(t *testing.T) {
	kinds := []shape.Kind{shape.Round, shape.Square, shape.Rectangle, shape.Hexagon, shape.Heart}
	const step = 25.0
	fitted := 0
	for _, l := range kinds {
		for _, u := range kinds {
			for _, lower := range []float64{180, 240, 301} {
				for upper := 60.0; upper <= lower; upper += 7 {
					below, above := size(l, lower), size(u, upper)
					fits := stack.Fits(outline(t, l, below), outline(t, u, above), measure.Must("25 mm"), true)
					if fits {
						fitted++
					}
					if fits && !clear(l, below, u, above, step-0.01) {
						t.Errorf("%s of %v on %s of %v: Fits, but somewhere less than 25 mm is to be seen", u, above, l, below)
					}
					if !fits && l == u && clear(l, below, u, above, step+0.01) {
						t.Errorf("%s of %v on %s of %v: does not fit, but 25 mm are to be seen all round", u, above, l, below)
					}
				}
			}
		}
	}
	if fitted < 100 {
		t.Errorf("only %d of all pairs fit", fitted)
	}
}

// size gives a rectangle a second size.
func size(k shape.Kind, mm float64) [2]float64 {
	if k == shape.Rectangle {
		return [2]float64{mm, math.Round(mm * 0.7)}
	}
	return [2]float64{mm, mm}
}

func outline(t *testing.T, k shape.Kind, mm [2]float64) shape.Outline {
	t.Helper()
	var sizes []measure.Quantity
	for i := range k.Sizes() {
		sizes = append(sizes, millimetres(mm[i]))
	}
	o, err := shape.New(k, sizes...)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func millimetres(f float64) measure.Quantity {
	q, err := stack.ParseQuantity(formatMM(f))
	if err != nil {
		panic(err)
	}
	return q
}

// inside reports whether a point belongs to a form around the origin.
func inside(k shape.Kind, s [2]float64, x, y float64) bool {
	switch k {
	case shape.Round:
		return math.Hypot(x, y) <= s[0]/2
	case shape.Square, shape.Rectangle:
		return math.Abs(x) <= s[0]/2 && math.Abs(y) <= s[1]/2
	case shape.Hexagon: // between three pairs of parallel sides
		for _, a := range []float64{0, math.Pi / 3, 2 * math.Pi / 3} {
			if math.Abs(x*math.Cos(a)+y*math.Sin(a)) > s[0]*math.Sqrt(3)/2 {
				return false
			}
		}
		return true
	}
	// The heart's square with its sides along the axes, a lobe on each of two.
	h := s[0] / 2
	return math.Abs(x) <= h && math.Abs(y) <= h || math.Hypot(x-h, y) <= h || math.Hypot(x, y-h) <= h
}

func clear(l shape.Kind, lower [2]float64, u shape.Kind, upper [2]float64, step float64) bool {
	const rays, looks = 360, 72
	for i := range rays {
		a := 2 * math.Pi * float64(i) / rays
		near, far := 0.0, 1000.0 // every form is seen whole from its middle
		for range 40 {
			if mid := (near + far) / 2; inside(u, upper, mid*math.Cos(a), mid*math.Sin(a)) {
				near = mid
			} else {
				far = mid
			}
		}
		for j := range looks {
			b := 2 * math.Pi * float64(j) / looks
			if !inside(l, lower, near*math.Cos(a)+step*math.Cos(b), near*math.Sin(a)+step*math.Sin(b)) {
				return false
			}
		}
	}
	return true
}

func formatMM(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) + " mm" }
