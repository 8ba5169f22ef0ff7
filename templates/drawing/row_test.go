package drawing_test

import (
	"math"
	"testing"

	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
)

// board returns the left edge, the width and the ground of every board that a
// picture shows.
func boards(p document.Picture) (all [][3]float64) {
	for _, s := range p.Shapes {
		if path, ok := s.(document.Path); ok && path.Fill == document.BoardTone {
			left, right, top := path.Start.X, path.Start.X, path.Start.Y
			for _, g := range path.Segments {
				left, right, top = math.Min(left, g.To.X), math.Max(right, g.To.X), math.Min(top, g.To.Y)
			}
			all = append(all, [3]float64{left, right - left, top})
		}
	}
	return all
}

// Side by side a cake half as wide stands on a board half as wide, on the same
// ground, and none covers another.
func TestRow(t *testing.T) {
	wide, narrow := cakeOf(t, "400 mm", "200 mm"), cakeOf(t, "200 mm", "100 mm")
	p := drawing.Row([]document.Cake{wide, narrow, {Name: "without tiers"}}, 100, 80)
	b := boards(p)
	if len(b) != 2 {
		t.Fatalf("Row shows %d boards, want 2", len(b))
	}
	if ratio := b[0][1] / b[1][1]; math.Abs(ratio-2) > 1e-6 {
		t.Errorf("the wider board is %.4f times the other, want 2", ratio)
	}
	if math.Abs(b[0][2]-b[1][2]) > 1e-6 {
		t.Errorf("one stands at %.2f, the other at %.2f", b[0][2], b[1][2])
	}
	if b[1][0] < b[0][0]+b[0][1] || b[1][0]+b[1][1] > p.Width {
		t.Errorf("boards %v do not stand side by side within %.1f mm", b, p.Width)
	}
	if empty := drawing.Row(nil, 100, 80); !empty.Empty() {
		t.Errorf("Row of nothing shows %d shapes", len(empty.Shapes))
	}
}

// cakeOf is a cake of rounds, each 10 cm high.
func cakeOf(t *testing.T, diameters ...string) document.Cake {
	t.Helper()
	c := document.Cake{Name: "Cake", Portions: "many", Height: "20 cm", Unit: document.Centimetres}
	for _, d := range diameters {
		c.Tiers = append(c.Tiers, document.Tier{Name: d, Width: d, Height: "10 cm", Form: shape.Solid{Outline: outline(t, shape.Round, d), Height: measure.Must("10 cm")}})
	}
	return c
}
