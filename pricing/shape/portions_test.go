package shape_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

func fingers(t testing.TB, o shape.Outline, w, d string) int {
	t.Helper()
	n, err := o.Fingers(measure.Must(w), measure.Must(d))
	if err != nil {
		t.Fatalf("%s cut %s × %s: %v", o, w, d, err)
	}
	return n
}

// Worked by hand from costing.md, "Portions".
func TestFingers(t *testing.T) {
	for _, c := range []struct {
		o    shape.Outline
		w, d string
		want int
	}{
		// r 112.5: ⌊2π·87.5/25⌋ = 21; r 62.5: ⌊2π·37.5/25⌋ = 9; core π·12.5²/1250 = 0.39: 0.
		{outline(t, shape.Round, "225 mm"), "25 mm", "50 mm", 30},
		// r 75: ⌊2π·50/25⌋ = 12; core π·25²/1250 = 1.57: 1.
		{outline(t, shape.Round, "150 mm"), "25 mm", "50 mm", 13},
		// r = 2 d: ⌊2π·75/25⌋ = 18, ⌊2π·25/25⌋ = 6, no core.
		{outline(t, shape.Round, "200 mm"), "25 mm", "50 mm", 24},
		// r < d: core only, π·40²/1250 = 4.02.
		{outline(t, shape.Round, "80 mm"), "25 mm", "50 mm", 4},
		{outline(t, shape.Round, "20 mm"), "25 mm", "50 mm", 0},
		{outline(t, shape.Square, "200 mm"), "25 mm", "50 mm", 32},
		{outline(t, shape.Square, "199.99 mm"), "25 mm", "50 mm", 21}, // 7 · 3
		{outline(t, shape.Square, "20 mm"), "25 mm", "50 mm", 0},
		{outline(t, shape.Rectangle, "9 in", "13 in"), "1 in", "2 in", 54},   // 9·6 against 4·13
		{outline(t, shape.Rectangle, "13 in", "9 in"), "1 in", "2 in", 54},   // the same turned
		{outline(t, shape.Rectangle, "60 mm", "45 mm"), "25 mm", "50 mm", 1}, // only turned
		{outline(t, shape.Hexagon, "10 cm"), "25 mm", "50 mm", 20},           // 259.81 ÷ 12.5
		{outline(t, shape.Heart, "20 cm"), "25 mm", "50 mm", 57},             // 714.16 ÷ 12.5
		{outline(t, shape.Measured, "100 cm2", "40 cm"), "25 mm", "50 mm", 8},
		{outline(t, shape.Measured, "99.99 cm2", "40 cm"), "25 mm", "50 mm", 7},
	} {
		if got := fingers(t, c.o, c.w, c.d); got != c.want {
			t.Errorf("%s cut %s × %s = %d portions, want %d", c.o, c.w, c.d, got, c.want)
		}
	}
}

// TestRingsFitTheTin checks every tin from 100 to 450 mm: no more portions than
// its area holds (the geometric bound), and no less than 60 % of them.
func TestRingsFitTheTin(t *testing.T) {
	for mm := 100; mm <= 450; mm++ {
		for _, cut := range [][2]string{{"25 mm", "50 mm"}, {"1 in", "2 in"}, {"50 mm", "50 mm"}, {"20 mm", "35 mm"}} {
			o := outline(t, shape.Round, fmt.Sprintf("%d mm", mm))
			got := fingers(t, o, cut[0], cut[1])
			one := shape.Centimetres(measure.Must(cut[0])).Mul(shape.Centimetres(measure.Must(cut[1])))
			if exact.Int(int64(got)).Mul(one).Cmp(o.Area()) > 0 {
				t.Errorf("%s cut %s × %s = %d portions, more than its area of %s cm2 holds", o, cut[0], cut[1], got, o.Area().Fixed(2))
			}
			if whole := o.Area().Quo(one); exact.Int(int64(got)).Cmp(whole.Mul(exact.Frac(6, 10))) < 0 {
				t.Errorf("%s cut %s × %s = %d portions, of %s that its area would hold", o, cut[0], cut[1], got, whole.Fixed(1))
			}
		}
	}
}

// TestGridLaw counts cells one by one.
func TestGridLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, b := rapid.IntRange(1, 500).Draw(t, "l"), rapid.IntRange(1, 500).Draw(t, "b")
		w, d := rapid.IntRange(10, 90).Draw(t, "w"), rapid.IntRange(10, 90).Draw(t, "d")
		count := func(w, d int) int {
			n := 0
			for x := w; x <= l; x += w {
				for y := d; y <= b; y += d {
					n++
				}
			}
			return n
		}
		mm := func(n int) measure.Quantity { return measure.Must(fmt.Sprintf("%d mm", n)) }
		o, err := shape.New(shape.Rectangle, mm(l), mm(b))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := o.Fingers(mm(w), mm(d)); err != nil || got != max(count(w, d), count(d, w)) {
			t.Fatalf("%s cut %d × %d mm = %d, %v, want %d", o, w, d, got, err, max(count(w, d), count(d, w)))
		}
	})
}

func TestFingersRefuse(t *testing.T) {
	o := outline(t, shape.Round, "300 mm")
	for _, c := range [][2]string{{"0 mm", "50 mm"}, {"25 mm", "0 mm"}} {
		if n, err := o.Fingers(measure.Must(c[0]), measure.Must(c[1])); err == nil {
			t.Errorf("cut %s × %s = %d, want an error", c[0], c[1], n)
		}
	}
	for _, c := range [][2]string{{"0.000000000000000001 mm", "0.000000000000000001 mm"}, {"15 m", "0.0001 mm"}, {"0.01 mm", "0.01 mm"}} {
		if n, err := o.Fingers(measure.Must(c[0]), measure.Must(c[1])); !errors.Is(err, shape.ErrTooManyPortions) {
			t.Errorf("cut %s × %s = %d, %v, want ErrTooManyPortions", c[0], c[1], n, err)
		}
	}
}

// TestServings reads testdata/servings.csv: pan areas and volumes, upper bounds
// of portions and grids. All of them were computed from geometry when the file
// was made (COMPUTED_GEOMETRY): they agree with the engine but are no authority
// by themselves. No published table was found.
func TestServings(t *testing.T) {
	f, err := os.Open("testdata/servings.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		item, what, value, unit := r[0], r[1], exact.Must(r[2]), r[3]
		got, ok := serving(t, item, what, unit)
		if !ok {
			t.Errorf("nothing checks %s, %s", item, what)
			continue
		}
		places := int32(0)
		if _, fraction, there := strings.Cut(r[2], "."); there {
			places = int32(len(fraction))
		}
		if got.Fixed(places) != value.Fixed(places) {
			t.Errorf("%s, %s = %s %s, want %s", item, what, got.Fixed(places), unit, r[2])
		}
	}
}

// serving works out one row.
func serving(t *testing.T, item, what, unit string) (exact.Number, bool) {
	t.Helper()
	inch := exact.Must("2.54")
	from, to, scales := strings.Cut(strings.TrimSuffix(item, ", same depth"), " to ")
	o, height := pan(t, from)
	switch {
	case scales:
		other, _ := pan(t, to)
		return other.Area().Quo(o.Area()), true
	case strings.HasPrefix(what, "area"):
		return o.Area().Quo(inch.Mul(inch)), true
	case strings.HasPrefix(what, "upper bound"):
		return exact.FromBig(o.Area().Quo(inch.Mul(inch)).Quo(exact.Int(2)).Floor()), true
	case strings.HasPrefix(what, "1 in x 2 in"):
		return exact.Int(int64(fingers(t, o, "1 in", "2 in"))), true
	case strings.HasPrefix(what, "2 in x 2 in"):
		return exact.Int(int64(fingers(t, o, "2 in", "2 in"))), true
	case what == "volume":
		ml := shape.Solid{Outline: o, Height: height}.Volume()
		switch unit {
		case "ml":
			return ml, true
		case "in3":
			return ml.Quo(inch.Mul(inch).Mul(inch)), true
		case "US cup":
			return ml.Quo(measure.Must("1 cup").Base(measure.US)), true
		}
	}
	return exact.Number{}, false
}

// pan reads "round 6 in x 2 in deep", "square 8 in" or "rectangle 9 x 13 in".
func pan(t *testing.T, item string) (shape.Outline, measure.Quantity) {
	t.Helper()
	var a, b string
	if n, _ := fmt.Sscanf(item, "rectangle %s x %s in", &a, &b); n == 2 {
		return outline(t, shape.Rectangle, a+" in", b+" in"), measure.Quantity{}
	}
	if n, _ := fmt.Sscanf(item, "square %s in", &a); n == 1 {
		return outline(t, shape.Square, a+" in"), measure.Quantity{}
	}
	switch n, _ := fmt.Sscanf(item, "round %s in x %s in deep", &a, &b); n {
	case 2:
		return outline(t, shape.Round, a+" in"), measure.Must(b + " in")
	case 1:
		return outline(t, shape.Round, a+" in"), measure.Quantity{}
	}
	t.Fatalf("%q is no pan", item)
	return shape.Outline{}, measure.Quantity{}
}
