package shape_test

import (
	"math"
	"testing"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

func outline(t testing.TB, kind shape.Kind, sizes ...string) shape.Outline {
	t.Helper()
	quantities := make([]measure.Quantity, len(sizes))
	for i, s := range sizes {
		quantities[i] = measure.Must(s)
	}
	o, err := shape.New(kind, quantities...)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// Formulas of plane geometry with π and √3 to 35 places; worked by hand. The
// same areas are integrated numerically below, and compared with textbook
// answers by the vectors GE of package pricing.
func TestAreaAndPerimeter(t *testing.T) {
	pi, root := "3.14159265358979323846264338327950288", "1.73205080756887729352744634150587237"
	times := func(n, constant string) string { return exact.Must(n).Mul(exact.Must(constant)).Text() }
	plus := func(n, m string) string { return exact.Must(n).Add(exact.Must(m)).Text() }
	for _, c := range []struct {
		o               shape.Outline
		area, perimeter string
	}{
		{outline(t, shape.Round, "20 cm"), times("100", pi), times("20", pi)},
		{outline(t, shape.Round, "225 mm"), times("126.5625", pi), times("22.5", pi)},
		{outline(t, shape.Round, "10 in"), times("161.29", pi), times("25.4", pi)},
		{outline(t, shape.Square, "20 cm"), "400", "80"},
		{outline(t, shape.Rectangle, "300 mm", "20 cm"), "600", "100"},
		{outline(t, shape.Hexagon, "10 cm"), times("150", root), "60"},
		{outline(t, shape.Heart, "20 cm"), plus("400", times("100", pi)), plus("40", times("20", pi))},
		{outline(t, shape.Measured, "0.04 m2", "1.25 m"), "400", "125"},
		{outline(t, shape.Measured, "100 in2", "4.5 ft"), "645.16", "137.16"},
	} {
		if got := c.o.Area(); !got.Equal(exact.Must(c.area)) {
			t.Errorf("%s: Area() = %s cm2, want %s", c.o, got.Fixed(9), exact.Must(c.area).Fixed(9))
		}
		if got := c.o.Perimeter(); !got.Equal(exact.Must(c.perimeter)) {
			t.Errorf("%s: Perimeter() = %s cm, want %s", c.o, got.Fixed(9), exact.Must(c.perimeter).Fixed(9))
		}
	}
}

// TestAreasByIntegration counts the area of round, hexagon and heart as sums
// of strips, and walks round their edges, from what the outlines are and not
// from their formulas. Floats serve here, far from any money.
func TestAreasByIntegration(t *testing.T) {
	const s = 17.0
	half := s / 2
	root := s / math.Sqrt2 // half the diagonal of the heart's square
	circle := func(x, y, cx, cy, r float64) bool { return math.Hypot(x-cx, y-cy) <= r }
	for _, c := range []struct {
		o      shape.Outline
		inside func(x, y float64) bool
	}{
		{outline(t, shape.Round, "17 cm"), func(x, y float64) bool { return circle(x, y, 0, 0, half) }},
		{outline(t, shape.Hexagon, "17 cm"), func(x, y float64) bool {
			// Between three pairs of parallel sides, each an apothem from the middle.
			apothem := s * math.Sqrt(3) / 2
			for _, angle := range []float64{0, math.Pi / 3, 2 * math.Pi / 3} {
				if math.Abs(x*math.Cos(angle)+y*math.Sin(angle)) > apothem {
					return false
				}
			}
			return true
		}},
		{outline(t, shape.Heart, "17 cm"), func(x, y float64) bool {
			// A square on its corner, and a circle about the middle of each upper side.
			return math.Abs(x)+math.Abs(y) <= root || circle(x, y, root/2, root/2, half) || circle(x, y, -root/2, root/2, half)
		}},
	} {
		const cells, reach = 1600, 1.6 * s
		inside, step := 0, 2*reach/cells
		for i := range cells {
			for j := range cells {
				if c.inside(-reach+(float64(i)+0.5)*step, -reach+(float64(j)+0.5)*step) {
					inside++
				}
			}
		}
		want := float64(inside) * step * step
		got, _ := c.o.Area().Rat().Float64()
		if math.Abs(got-want) > want*2e-4 {
			t.Errorf("%s: Area() = %.3f cm2, want about %.3f by counting", c.o, got, want)
		}
		// The edge is what a rim of a hair's width adds, by its width: outline
		// points lie where inside flips along a ray from the middle.
		if got, _ := c.o.Perimeter().Rat().Float64(); math.Abs(got-walk(c.inside, reach)) > got*2e-4 {
			t.Errorf("%s: Perimeter() = %.3f cm, want about %.3f by walking round", c.o, got, walk(c.inside, reach))
		}
	}
}

// walk adds up short chords round an outline that every ray from the middle
// leaves once.
func walk(inside func(x, y float64) bool, reach float64) float64 {
	const rays = 20_000
	edge := func(i int) (x, y float64) {
		angle := 2 * math.Pi * float64(i) / rays
		near, far := 0.0, reach
		for range 50 {
			if mid := (near + far) / 2; inside(mid*math.Cos(angle), mid*math.Sin(angle)) {
				near = mid
			} else {
				far = mid
			}
		}
		return near * math.Cos(angle), near * math.Sin(angle)
	}
	length := 0.0
	x, y := edge(0)
	for i := 1; i <= rays; i++ {
		nextX, nextY := edge(i)
		length += math.Hypot(nextX-x, nextY-y)
		x, y = nextX, nextY
	}
	return length
}

// TestSolid: a square of 20 cm, 10 cm high, under a sheet with 2 cm to spare:
// A = 400, P = 80, x = 12, rolled 400 + 960 + 144π.
func TestSolid(t *testing.T) {
	s := shape.Solid{Outline: outline(t, shape.Square, "20 cm"), Height: measure.Must("100 mm")}
	for name, c := range map[string]struct {
		got  exact.Number
		want string
	}{
		"Volume": {s.Volume(), "4000"}, "Side": {s.Side(), "800"}, "Surface": {s.Surface(), "1200"},
		"Rolled": {s.Rolled(measure.Must("2 cm")).Sub(exact.Pi().Mul(exact.Int(144))), "1360"},
	} {
		if !c.got.Equal(exact.Must(c.want)) {
			t.Errorf("%s of a square of 20 cm, 10 cm high = %s, want %s", name, c.got.Text(), c.want)
		}
	}
}

// A sheet is rolled as far round as it hangs down: the area is that of all
// points within x of the tier (Steiner's formula for convex outlines), so that
// a round sheet is a round of radius r + x.
func TestRolledRoundIsALargerRound(t *testing.T) {
	tier := shape.Solid{Outline: outline(t, shape.Round, "225 mm"), Height: measure.Must("110 mm")}
	larger := outline(t, shape.Round, "495 mm") // 225 + 2 × (110 + 25)
	if got := tier.Rolled(measure.Must("25 mm")); !got.Equal(larger.Area()) {
		t.Errorf("Rolled(25 mm) = %s cm2, want %s", got.Fixed(6), larger.Area().Fixed(6))
	}
}

func TestNewRefuses(t *testing.T) {
	for _, c := range []struct {
		kind  shape.Kind
		sizes []string
	}{
		{shape.Round, nil}, {shape.Round, []string{"20 cm", "20 cm"}}, {shape.Round, []string{"0 mm"}}, {shape.Round, []string{"20 g"}}, {shape.Round, []string{"20 cm2"}},
		{shape.Round, []string{"21 m"}}, {shape.Rectangle, []string{"20 cm"}}, {shape.Measured, []string{"20 cm", "20 cm"}}, {shape.Measured, []string{"20 cm2", "20 cm2"}},
		{shape.Measured, []string{"401 m2", "20 cm"}}, {shape.Measured, []string{"20 cm2", "0 cm"}},
	} {
		quantities := make([]measure.Quantity, len(c.sizes))
		for i, s := range c.sizes {
			quantities[i] = measure.Must(s)
		}
		if o, err := shape.New(c.kind, quantities...); err == nil {
			t.Errorf("New(%s, %v) = %s, want an error", c.kind, c.sizes, o)
		}
	}
	if k, err := shape.ParseKind("oval"); err == nil {
		t.Errorf("ParseKind(oval) = %s, want an error", k)
	}
	for _, k := range shape.Kinds() {
		if got, err := shape.ParseKind(string(k)); err != nil || got != k || len(k.Sizes()) == 0 {
			t.Errorf("ParseKind(%s) = %s, %v", k, got, err)
		}
	}
	if (shape.Outline{}).Given() || !(shape.Outline{}).Area().IsZero() {
		t.Error("the zero Outline is given, want none")
	}
}
