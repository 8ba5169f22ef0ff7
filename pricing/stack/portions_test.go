package stack_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
)

// TestPortionsOfEveryTin bakes a tier in every tin from 100 to 450 mm and asks
// how many it serves. With A the area, w × d the portion:
//
//	square   served = max(⌊s/w⌋·⌊s/d⌋, the same turned), which is the grid itself
//	round    grid ≤ served ≤ ⌊A ÷ (w·d)⌋, and served is at most 5 below that
//
// The upper bound is geometry. The grid of a round is the number of whole cells
// of a w × d grid within the circle, the better of a line or a cell in the
// middle, each way: common practice, no source. That rings never serve fewer
// was found by counting these tins and is no theorem; that they are at most 5
// below the bound likewise.
func TestPortionsOfEveryTin(t *testing.T) {
	for _, cut := range [][2]int{{25, 50}, {50, 50}, {25, 25}, {20, 35}} {
		w, d := cut[0], cut[1]
		look := pattern(t, "round 200 mm")
		look.Portion = fingers(fmt.Sprintf("%d mm", w), fmt.Sprintf("%d mm", d))
		for mm := 100; mm <= 450; mm += 5 {
			square := serving(t, look, fmt.Sprintf("square %d mm", mm))
			if want := max((mm/w)*(mm/d), (mm/d)*(mm/w)); square != want {
				t.Errorf("a square of %d mm cut %d × %d serves %d, want %d", mm, w, d, square, want)
			}
			name := fmt.Sprintf("round %d mm", mm)
			round := serving(t, look, name)
			bound := int(tin(t, name).Outline().Area().Quo(exact.Frac(int64(w*d), 100)).Floor().Int64())
			if grid := gridInCircle(mm, w, d); round < grid || round > bound || round < bound-5 {
				t.Errorf("%s cut %d × %d serves %d, want %d to %d and at least %d", name, w, d, round, grid, bound, bound-5)
			}
		}
	}
}

// serving asks for one guest from one tin.
func serving(t *testing.T, look book.Cake, name string) int {
	t.Helper()
	found, err := stack.Propose(stack.Request{Guests: 1, Pattern: look, Tins: tins(t, name)})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	// The engine says the same of the design that comes out.
	n, err := pricing.Portions(&found[0].Cake, &found[0].Cake.Tiers[0])
	if err != nil || n != found[0].Served || n != found[0].Made {
		t.Fatalf("%s serves %d and makes %d, and the engine cuts %d, %v", name, found[0].Served, found[0].Made, n, err)
	}
	return found[0].Served
}

// gridInCircle counts the whole cells of w by d, laid from the middle or from
// half a cell off it, in a circle. All lengths are doubled to stay whole.
func gridInCircle(diameter, w, d int) int {
	best := 0
	for _, offX := range []int{0, w} {
		for _, offY := range []int{0, d} {
			n := 0
			for i := -diameter / w; i <= diameter/w; i++ {
				for j := -diameter / d; j <= diameter/d; j++ {
					x, y := 2*w*i+offX, 2*d*j+offY
					farX, farY := max(x, -x, x+2*w, -x-2*w), max(y, -y, y+2*d, -y-2*d)
					if farX*farX+farY*farY <= diameter*diameter {
						n++
					}
				}
			}
			best = max(best, n)
		}
	}
	return best
}

// TestScaleFactors reads the scale factors of servings.csv, from one tin to
// another of the same depth: computed from geometry when the file was made, no
// published table.
func TestScaleFactors(t *testing.T) {
	f, err := os.Open("../shape/testdata/servings.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, r := range rows[1:] {
		if !strings.HasPrefix(r[1], "scale factor") {
			continue
		}
		names, _, _ := strings.Cut(r[0], ",")
		from, into, ok := strings.Cut(names, " to ")
		if !ok {
			t.Fatalf("%q says no two tins", r[0])
		}
		x, c := recipe(t, from+" x 3 in")
		got, err := stack.Scale(x, c, mould(t, into+" x 3 in").Volume(measure.Metric), exact.Int(1))
		if err != nil {
			t.Fatal(err)
		}
		if got.Factor.Fixed(6) != r[2] {
			t.Errorf("Scale(%s) is by %s, want %s", r[0], got.Factor.Fixed(6), r[2])
		}
		checked++
	}
	if checked < 5 {
		t.Errorf("only %d scale factors were checked", checked)
	}
}

func mould(t testing.TB, text string) book.Mould {
	t.Helper()
	m, err := stack.ParseMould(text)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// recipe is a batter of 600 g flour and 400 g eggs for a mould.
func recipe(t testing.TB, fills string) (*book.Index, *book.Component) {
	t.Helper()
	m := mould(t, fills)
	b := book.Book{
		Ingredients: []book.Ingredient{{ID: "flour", Name: "Flour", Measure: measure.Mass}, {ID: "egg", Name: "Egg", Measure: measure.Count, Each: measure.Must("50 g")}},
		Components: []book.Component{{
			ID: "batter", Name: "Batter", Mould: &m, BatchMax: measure.Must("1500 g"),
			Lines: []book.Line{{Use: "flour", Qty: measure.Must("600 g")}, {Use: "egg", Qty: measure.Must("8 each")}},
		}},
	}
	x := book.NewIndex(b)
	it, _ := x.Item("batter")
	return x, it.Component
}

// 1 l of a mould of 1 l is the recipe as it stands; of one of 2 l half of it.
func TestScale(t *testing.T) {
	for _, c := range []struct {
		from, into string
		batches    string
		want       string
	}{
		{"1000 ml", "1 l", "1", "1: 600 g, 8 each, makes 1000 in 1"},
		{"2 l", "1 l", "1", "1/2: 300 g, 4 each, makes 500 in 1"},
		{"2 l", "1 l", "4", "2: 1200 g, 16 each, makes 2000 in 2"},
		{"square 20 cm x 5 cm", "square 30 cm x 5 cm", "1", "9/4: 1350 g, 18 each, makes 2250 in 2"},
		{"square 20 cm x 5 cm", "8 cup", "1", "473176473/500000000"}, // US cups of 236.5882365 ml
		{"1 l", "", "1.5", "3/2: 900 g, 12 each, makes 1500 in 1"},
	} {
		x, comp := recipe(t, c.from)
		var volume exact.Number
		if c.into != "" {
			volume = mould(t, c.into).Volume(measure.US)
		}
		r, err := stack.Scale(x, comp, volume, exact.Must(c.batches))
		if err != nil {
			t.Errorf("%+v: %v", c, err)
			continue
		}
		got := r.Factor.Text()
		if strings.Contains(c.want, ":") {
			got += fmt.Sprintf(": %s g, %s each, makes %s in %s", r.Lines[0].Quantity.Text(), r.Lines[1].Quantity.Text(), r.Output.Number.Text(), r.Batches.Text())
		}
		if got != c.want {
			t.Errorf("from %s into %q, %s times: %s, want %s", c.from, c.into, c.batches, got, c.want)
		}
	}
}

// Without a mould the density says what a batch fills: 1000 g at 0.8 g/ml are
// 1250 ml. Without either, and by the piece, it is an error.
func TestFills(t *testing.T) {
	x, c := recipe(t, "1 l")
	c.Mould = nil
	if _, err := stack.Scale(x, c, exact.Int(100), exact.Int(1)); err == nil || !strings.Contains(err.Error(), "mould") {
		t.Errorf("Scale without mould and density = %v, want an error", err)
	}
	if err := c.Density.UnmarshalText([]byte("0.8 g/ml")); err != nil {
		t.Fatal(err)
	}
	if got, err := stack.Fills(x, c); err != nil || !got.Equal(exact.Int(1250)) {
		t.Errorf("Fills(1000 g at 0.8 g/ml) = %s, %v, want 1250", got.Text(), err)
	}
	x, c = recipe(t, "1 l")
	c.Mould, c.Yield = nil, measure.Must("12 each")
	if _, err := stack.Fills(x, c); err == nil || !strings.Contains(err.Error(), "by the piece") {
		t.Errorf("Fills(12 each) = %v, want an error", err)
	}
}

func TestFits(t *testing.T) {
	for _, c := range []struct {
		lower, upper, step string
		mixed, want        bool
	}{
		{"round 200 mm", "round 150 mm", "25 mm", false, true},
		{"round 200 mm", "round 151 mm", "25 mm", false, false},
		{"round 8 in", "round 6 in", "1 in", false, true},
		{"round 200 mm", "round 200 mm", "0 mm", false, true},
		{"square 200 mm", "square 150 mm", "25 mm", false, true},
		{"square 200 mm", "square 150.1 mm", "25 mm", false, false},
		{"rectangle 300 mm x 200 mm", "rectangle 250 mm x 150 mm", "25 mm", false, true},
		{"rectangle 300 mm x 200 mm", "rectangle 150 mm x 250 mm", "25 mm", false, true}, // turned
		{"rectangle 300 mm x 200 mm", "rectangle 240 mm x 160 mm", "25 mm", false, false},
		// Between parallel sides (130 − 100)·√3/2 = 25.98.
		{"hexagon 130 mm", "hexagon 100 mm", "25.98 mm", false, true},
		{"hexagon 130 mm", "hexagon 100 mm", "25.99 mm", false, false},
		{"heart 200 mm", "heart 150 mm", "25 mm", false, true},
		{"heart 200 mm", "heart 151 mm", "25 mm", false, false},
		{"measured 400 cm2 x 80 cm", "measured 100 cm2 x 40 cm", "0 mm", true, false},
		{"square 200 mm", "round 100 mm", "25 mm", false, false},
		{"square 200 mm", "round 150 mm", "25 mm", true, true},
		{"square 200 mm", "round 151 mm", "25 mm", true, false},
		// A square of 150 mm reaches 106.07 mm from its middle.
		{"round 263 mm", "square 150 mm", "25 mm", true, true},
		{"round 262 mm", "square 150 mm", "25 mm", true, false},
		{"rectangle 300 mm x 200 mm", "square 150 mm", "25 mm", true, true},
		{"round 300 mm", "hexagon 125 mm", "25 mm", true, true}, // corners at its side
		{"round 300 mm", "hexagon 126 mm", "25 mm", true, false},
		{"hexagon 150 mm", "round 209 mm", "25 mm", true, true}, // apothem 129.9
		{"hexagon 150 mm", "round 210 mm", "25 mm", true, false},
		{"round 300 mm", "heart 125 mm", "25 mm", true, true},
		{"heart 200 mm", "round 150 mm", "25 mm", true, true},
		{"heart 200 mm", "round 151 mm", "25 mm", true, false},
		{"round 30 mm", "round 10 mm", "25 mm", true, false},
		{"round 30 mm", "square 1 mm", "25 mm", true, false},
	} {
		lower, upper := tin(t, c.lower).Outline(), tin(t, c.upper).Outline()
		if got := stack.Fits(lower, upper, measure.Must(c.step), c.mixed); got != c.want {
			t.Errorf("Fits(%s, %s, %s, %t) = %t, want %t", lower, upper, c.step, c.mixed, got, c.want)
		}
	}
}

func TestParse(t *testing.T) {
	for in, want := range map[string]string{
		"round 200 mm":                          "round 200 mm, owned 1",
		"round 200mm":                           "round 200 mm, owned 1",
		"  Round  8 in  x2 ":                    "round 8 in, owned 2",
		"round 200 mm ×3":                       "round 200 mm, owned 3",
		"round 200 mm x 75":                     "", // a depth without its unit, not 75 of them
		"square 20 cm x 75 mm x3":               "square 20 cm, 75 mm deep, owned 3",
		"rectangle 30 cm x 20 cm":               "rectangle 30 cm × 20 cm, owned 1",
		"rectangle 30 cm x 20 cm x 5 cm":        "rectangle 30 cm × 20 cm, 5 cm deep, owned 1",
		"measured 400 cm2 x 80 cm x 5 cm":       "measured 400 cm2 × 80 cm, 5 cm deep, owned 1",
		"heart 15 cm":                           "heart 15 cm, owned 1",
		"round":                                 "",
		"round 20":                              "",
		"round 200 g":                           "",
		"round 0 mm":                            "",
		"round 200 mm x 75 mm x 75 mm":          "",
		"oval 200 mm":                           "",
		"2.3 l":                                 "",
		"round 200 mm x0":                       "",
		"round 200 mm x 200":                    "",
		"":                                      "",
		"rectangle 30 cm":                       "",
		"round 99999999999999999999999 mm":      "",
		"round 200 mm x2 x2 x2 and many others": "",
	} {
		got := ""
		if b, err := stack.ParseTin(in); err == nil {
			got = b.String()
			if b.Height.Given() {
				got += ", " + b.Height.String() + " deep"
			}
			got += fmt.Sprintf(", owned %d", b.Owned.Or(1))
		}
		if got != want {
			t.Errorf("ParseTin(%q) = %q, want %q", in, got, want)
		}
	}
	for _, in := range []string{"0 l", "200 g", "200"} {
		if m, err := stack.ParseMould(in); err == nil {
			t.Errorf("ParseMould(%q) = %+v, want an error", in, m)
		}
	}
}

// What ParseTin reads it reads again from what it says, but for depth and count.
func FuzzParseTin(f *testing.F) {
	for _, s := range []string{"round 200 mm x2", "rectangle 30 cm x 20 cm x 5 cm", "heart 15 cm", "measured 400 cm2 x 80 cm", "2.3 l", "round x", "x x x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		b, err := stack.ParseTin(s)
		if err != nil {
			return
		}
		again, err := stack.ParseTin(b.String())
		if err != nil || again.Outline() != b.Outline() && again.String() != b.String() {
			t.Errorf("ParseTin(%q) = %s, which reads as %s, %v", s, b, again, err)
		}
	})
}

func TestAnySize(t *testing.T) {
	for like, want := range map[string]string{
		"round 22 cm":               "71 from round 100 mm to round 450 mm",
		"square 9 in":               "29 from square 4 in to square 18 in",
		"rectangle 30 cm x 20 cm":   "71 from rectangle 100 mm × 65 mm to rectangle 450 mm × 300 mm",
		"measured 400 cm2 x 100 cm": "0",
	} {
		all := stack.AnySize(tin(t, like).Outline())
		got := fmt.Sprint(len(all))
		if len(all) > 0 {
			got += fmt.Sprintf(" from %s to %s", all[0], all[len(all)-1])
		}
		if got != want {
			t.Errorf("AnySize(%s) = %s, want %s", like, got, want)
		}
		for _, b := range all {
			if b.Shape != shape.Measured && b.Shape == "" {
				t.Errorf("AnySize(%s) has a tin without a shape", like)
			}
		}
	}
}
