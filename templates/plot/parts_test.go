package plot

import (
	"bytes"
	"image/png"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestTicksSpanTheValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Money: whole hundredths of a cent.
		low := float64(rapid.IntRange(-1e9, 1e9).Draw(t, "low")) / 1e4
		high := low + float64(rapid.IntRange(0, 1e9).Draw(t, "span"))/1e4
		ticks := ticksOf(low, high)
		slack := 1e-9 * max(math.Abs(low), math.Abs(high))
		if len(ticks) < 2 || len(ticks) > 14 || ticks[0] > low+slack || ticks[len(ticks)-1] < high-slack {
			t.Fatalf("ticksOf(%g, %g) = %v", low, high, ticks)
		}
		if low >= 0 && ticks[0] < 0 {
			t.Fatalf("ticksOf(%g, %g) = %v: prices are never below 0", low, high, ticks)
		}
		if (Scale{}).label(ticks[0], ticks) == (Scale{}).label(ticks[1], ticks) {
			t.Fatalf("ticks %v have the labels %s and %s", ticks[:2], Scale{}.label(ticks[0], ticks), Scale{}.label(ticks[1], ticks))
		}
	})
}

// What costs nothing costs no less on the axis.
func TestTicksOfNothing(t *testing.T) {
	if ticks := ticksOf(0, 0); ticks[0] != 0 || len(ticks) < 2 {
		t.Errorf("ticksOf(0, 0) = %v, want 0 and more above it", ticks)
	}
}

func TestLabelOf(t *testing.T) {
	for _, c := range []struct {
		tick, step float64
		want       string
	}{
		{0, 5, "0"}, {12.5, 2.5, "12.5"}, {0.004, 0.001, "0.004"}, {-2, 1, "−2"},
		{1e9, 5e8, "1\u00a0000\u00a0000\u00a0000"}, {-1234.5, 0.5, "−1\u00a0234.5"}, {999, 1, "999"},
	} {
		if got := (Scale{}).label(c.tick, []float64{c.tick, c.tick + c.step}); got != c.want {
			t.Errorf("label(%g, step %g) = %q, want %q", c.tick, c.step, got, c.want)
		}
	}
}

func TestMonths(t *testing.T) {
	for _, c := range []struct{ from, until, want string }{
		{"2026-03-02", "2026-03-20", "2026-03-02 2026-03-20"},
		{"2026-01-01", "2026-04-10", "2026-01 2026-02 2026-03 2026-04"},
		{"2025-06-15", "2026-12-01", "2025-07 2025-09 2025-11 2026-01 2026-03 2026-05 2026-07 2026-09 2026-11"},
		{"2016-06-15", "2024-12-01", "2017 2018 2019 2020 2021 2022 2023 2024"},
	} {
		var days [2]time.Time
		for i, s := range []string{c.from, c.until} {
			d, err := time.Parse(time.DateOnly, s)
			if err != nil {
				t.Fatal(err)
			}
			days[i] = d
		}
		f := Figure{Width: 860, Height: 420}
		f.months(axes{left: 50, right: 650, bottom: 384, from: days[0], until: days[1]})
		var got []string
		for _, m := range f.marks {
			if m.kind == words {
				got = append(got, m.words)
			}
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("months(%s, %s) = %s, want %s", c.from, c.until, s, c.want)
		}
	}
}

func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wanted := rapid.SliceOfN(rapid.Float64Range(0, 300), 1, 10).Draw(t, "labels")
		placed := spread(wanted, 30, 0, 300)
		for i, at := range placed {
			if at < 0 || at > 300 {
				t.Fatalf("spread(%v) = %v: %g is outside 0 to 300", wanted, placed, at)
			}
			for k, other := range placed[:i] {
				if math.Abs(at-other) < 29.99 {
					t.Fatalf("spread(%v) = %v: %g and %g overlap", wanted, placed, at, other)
				}
				if wanted[i] < wanted[k] && at > other || wanted[i] > wanted[k] && at < other {
					t.Fatalf("spread(%v) = %v: %g and %g changed places", wanted, placed, at, other)
				}
			}
		}
	})
	if got := spread([]float64{50, 200}, 30, 0, 300); got[0] != 50 || got[1] != 200 {
		t.Errorf("spread(50, 200) = %v: labels that have room stay where they are", got)
	}
}

func TestFitted(t *testing.T) {
	for _, c := range []struct {
		text string
		room float64
		want string
	}{
		{"butter", 100, "butter"}, {"", 10, ""}, {"butter", 2, ""}, {"cafe\u0301s", 44, "cafe\u0301s"},
	} {
		if got := fitted(c.text, 14, c.room); got != c.want {
			t.Errorf("fitted(%q, 14, %g) = %q, want %q", c.text, c.room, got, c.want)
		}
	}
	// What is cut fits, and one letter more would not.
	const name = "unsaltedbutterofthealps"
	for room := 30.0; room < wide(name, 14); room += 7 {
		got := fitted(name, 14, room)
		kept, cut := strings.CutSuffix(got, "…")
		if !cut || !strings.HasPrefix(name, kept) || wide(got, 14) > room || wide(name[:len(kept)+1]+"…", 14) <= room {
			t.Errorf("fitted(%q, 14, %g) = %q", name, room, got)
		}
	}
}

func TestFittedKeepsAccents(t *testing.T) {
	text := strings.Repeat("e\u0301", 30)
	for most := 20.0; most < 120; most++ {
		if got := fitted(text, 12, most); !strings.HasSuffix(got, "\u0301…") {
			t.Errorf("fitted(é…, 12, %g) = %+q: an e has lost its accent", most, got)
		}
	}
}

// Words come out no wider than the room that was measured for them.
func TestWide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~äöüßéèñčłøœĀ-ž€£₹…−→%]{1,40}`)).Draw(t, "text")
		if _, w := letters(text); w > wide(text, 1)*1.01+0.05 {
			t.Fatalf("letters(%q) come out %g ems wide, room %g", text, w, wide(text, 1))
		}
	})
}

func TestFittedFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, room := rapid.String().Draw(t, "text"), rapid.Float64Range(0, 300).Draw(t, "room")
		if got := fitted(text, 12, room); wide(got, 12) > room+1e-6 {
			t.Fatalf("fitted(%q, 12, %g) = %q, %g wide", text, room, got, wide(got, 12))
		}
	})
}

func TestClean(t *testing.T) {
	for in, want := range map[string]string{"a\nb": "a b", "a\u202eb\u200d": "ab", "\xffé": "\uFFFDé", "a\x00\x1bb": "ab"} {
		if got := clean(in); got != want {
			t.Errorf("clean(%q) = %q, want %q", in, got, want)
		}
	}
}

// A line of dashes is as long, gaps included, as the line itself.
func TestStrokes(t *testing.T) {
	pieces := strokes([]point{{0, 0}, {10, 0}}, []float64{3, 2})
	if len(pieces) != 2 || pieces[0] != [2]point{{0, 0}, {3, 0}} || pieces[1] != [2]point{{5, 0}, {8, 0}} {
		t.Errorf("strokes = %v", pieces)
	}
	if pieces := strokes([]point{{0, 0}, {10, 0}, {10, 5}}, nil); len(pieces) != 2 {
		t.Errorf("a full line is cut into %v", pieces)
	}
}

// Half of a line of even dashes is drawn, and all of a full line.
func TestPNGLeavesGapsOpen(t *testing.T) {
	for _, c := range []struct {
		dash []float64
		want int
	}{{[]float64{10, 10}, 50}, {nil, 100}} {
		f := Figure{Width: 100, Height: 10}
		f.line(ink, 4, c.dash, point{0, 5}, point{100, 5})
		var b bytes.Buffer
		if err := f.PNG(&b, 1); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		got := 0
		for x := range 100 {
			if r, _, _, _ := img.At(x, 5).RGBA(); r < 0x8000 {
				got++
			}
		}
		if got != c.want {
			t.Errorf("a line of 100 with dashes %v draws %d pixels, want %d", c.dash, got, c.want)
		}
	}
}

// luminance and contrast as WCAG 2.2 defines them (W3C Recommendation, 12
// December 2024, "relative luminance" and "contrast ratio"; from memory).
func luminance(s shade) float64 {
	part := func(c uint8) float64 {
		if v := float64(c) / 255; v > 0.04045 {
			return math.Pow((v+0.055)/1.055, 2.4)
		}
		return float64(c) / 255 / 12.92
	}
	return 0.2126*part(s.r) + 0.7152*part(s.g) + 0.0722*part(s.b)
}

func contrast(a, b shade) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// WCAG 2.2: 4.5 for text (1.4.3), 3 for graphics that carry meaning (1.4.11).
func TestContrast(t *testing.T) {
	least := map[tone]float64{ink: 4.5, quiet: 4.5, bad: 4.5, good: 4.5, accent: 3, before: 3}
	for i := range seriesTones {
		least[firstSeries+tone(i)] = 3
	}
	for tn, want := range least {
		s := shades[tn]
		if got := contrast(s.light, shades[paper].light); got < want {
			t.Errorf("%s on light paper has a contrast of %.2f, want %.1f", s.name, got, want)
		}
		if got := contrast(s.dark, shades[paper].dark); got < want {
			t.Errorf("%s on dark paper has a contrast of %.2f, want %.1f", s.name, got, want)
		}
	}
}

// blind returns how s looks to one who lacks the green cones, then the red:
// the matrices of Machado, Oliveira and Fernandes (2009) at full severity, on
// linear light; from memory.
func blind(s shade) [2][3]float64 {
	matrices := [2][3][3]float64{
		{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
		{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	}
	linear := [3]float64{}
	for i, c := range []uint8{s.r, s.g, s.b} {
		linear[i] = math.Pow(float64(c)/255, 2.2)
	}
	var out [2][3]float64
	for k, m := range matrices {
		for i, row := range m {
			out[k][i] = row[0]*linear[0] + row[1]*linear[1] + row[2]*linear[2]
		}
	}
	return out
}

// lab returns CIE 1976 L*a*b* of linear sRGB light under D65 (IEC 61966-2-1
// for the matrix, ISO/CIE 11664-4 for the rest; from memory).
func lab(c [3]float64) [3]float64 {
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505)
	y := f(0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2])
	z := f((0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.089)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// Colours that are told apart stay apart for those who see few hues: at least
// 8 in CIE 1976 ΔE, several times what is just seen (about 2.3).
func TestColoursStayApart(t *testing.T) {
	groups := [][]tone{{good, bad, before}}
	var lines []tone
	for i := range seriesTones {
		lines = append(lines, firstSeries+tone(i))
	}
	for _, g := range append(groups, lines) {
		for i, a := range g {
			for _, b := range g[:i] {
				for theme, pair := range map[string][2]shade{"light": {shades[a].light, shades[b].light}, "dark": {shades[a].dark, shades[b].dark}} {
					seenA, seenB := blind(pair[0]), blind(pair[1])
					for k, who := range []string{"green", "red"} {
						la, lb := lab(seenA[k]), lab(seenB[k])
						if d := math.Hypot(math.Hypot(la[0]-lb[0], la[1]-lb[1]), la[2]-lb[2]); d < 8 {
							t.Errorf("%s and %s on %s paper are %.1f apart without %s cones, want 8", shades[a].name, shades[b].name, theme, d, who)
						}
					}
				}
			}
		}
	}
}

// TestScale writes the round values of an axis as the reader does, on a canvas as
// wide as it is asked for.
func TestScale(t *testing.T) {
	s := Scale{Unit: "EUR", Width: 620, Write: func(plain string) string { return strings.ReplaceAll(plain, ".", ",") + "*" }}
	f := Columns("Margins", s, []string{"margin"}, []Column{{"May", []float64{-0.6}, []string{"−0,6"}}, {"June", []float64{1.5}, []string{"1,5"}}})
	var written []string
	for _, m := range f.marks {
		if label, ours := strings.CutSuffix(m.words, "*"); ours {
			written = append(written, label)
		}
		for _, p := range m.points {
			if p.x < 0 || p.x > 620 {
				t.Errorf("a mark is at %g of a canvas 620 wide", p.x)
			}
		}
	}
	if got := strings.Join(written, " "); f.Width != 620 || got != "-1,0 -0,5 0,0 0,5 1,0 1,5" {
		t.Errorf("the axis of a chart %g wide has %s", f.Width, got)
	}
}
