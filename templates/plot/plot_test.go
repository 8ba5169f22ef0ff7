package plot

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var day0 = time.Date(2025, 6, 1, 0, 0, 0, 0, time.UTC)

func steps(values ...float64) Figure {
	s := Series{Name: "A supplier <&> \"of\" old", Last: "1.00 a kg"}
	for i, v := range values {
		s.Points = append(s.Points, Point{day0.AddDate(0, i, 0), v})
	}
	return Steps("Butter", "EUR a kg", day0.AddDate(0, len(values)+1, 0), []Series{s, {Name: "nobody"}})
}

func figures() map[string]Figure {
	return map[string]Figure{
		"steps":        steps(8.6, 9, 7.5, 11),
		"one step":     steps(4),
		"no step":      Steps("Butter", "EUR", day0, nil),
		"free":         steps(0, 0),
		"dear":         steps(1e9, 2e9),
		"pairs":        Pairs("butter +18 %", "margins", 0.5, "floor 50 %", []Pair{{"Cake", 0.55, 0.48, "55 % → 48 %", true}, {strings.Repeat("long name ", 30), -3, 0.9, "", false}}),
		"no pairs":     Pairs("butter", "", 0, "", nil),
		"equal pairs":  Pairs("butter", "", 0.5, "floor", []Pair{{"Cake", 0.5, 0.5, "", false}}),
		"many pairs":   Pairs("butter", "", 0.5, "floor", make([]Pair, 300)),
		"tornado":      Tornado("Cake", "points", "margin", []Swing{{"butter", 0.02, "−2", "+2"}, {"egg", -0.01, "−1", "+1"}}),
		"still":        Tornado("Cake", "points", "margin", []Swing{{"water", 0, "0", "0"}}),
		"no tornado":   Tornado("Cake", "points", "margin", nil),
		"a wild title": Tornado("\u202e<script>\"'&\U0001F382 שלום 漢字", "", "", nil),
	}
}

// Outside check: the XML reader of the standard library.
func TestSVGIsWellFormed(t *testing.T) {
	for name, f := range figures() {
		var b bytes.Buffer
		if err := f.SVG(&b); err != nil {
			t.Fatal(err)
		}
		if s := b.String(); !strings.Contains(s, `role="img"`) || !strings.Contains(s, "<title") || strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("%s lacks its role or title, or has a place that is no number", name)
		}
		d := xml.NewDecoder(&b)
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
	}
}

func TestPNGIsTheSameBytes(t *testing.T) {
	for name, f := range figures() {
		var a, b bytes.Buffer
		if err := errors.Join(f.PNG(&a, 1), f.PNG(&b, 1)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: two pictures of one figure differ", name)
		}
		img, err := png.Decode(&a)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if w := img.Bounds().Dx(); w != int(f.Width) {
			t.Errorf("%s is %d pixels wide, want %d", name, w, int(f.Width))
		}
	}
}

// Words stand on the canvas, and a value further up the scale stands higher.
func TestNothingIsCutOff(t *testing.T) {
	for name, f := range figures() {
		for _, m := range f.marks {
			if m.kind != words {
				continue
			}
			from, w := m.points[0].x, wide(m.text, m.size)
			switch m.anchor {
			case middle:
				from -= w / 2
			case end:
				from -= w
			}
			if from < -1 || from+w > f.Width+1 || m.points[0].y > f.Height || m.points[0].y < 0 {
				t.Errorf("%s: %q stands from %.0f to %.0f at %.0f on a canvas of %.0f by %.0f", name, m.text, from, from+w, m.points[0].y, f.Width, f.Height)
			}
		}
	}
}

func TestTicksSpanTheValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Money: whole hundredths of a cent.
		low := float64(rapid.IntRange(0, 1e9).Draw(t, "low")) / 1e4
		high := low + float64(rapid.IntRange(0, 1e9).Draw(t, "span"))/1e4
		ticks := ticksOf(low, high)
		if len(ticks) < 2 || len(ticks) > 14 || ticks[0] > low*(1+1e-9) || ticks[len(ticks)-1] < high*(1-1e-9) {
			t.Fatalf("ticksOf(%g, %g) = %v", low, high, ticks)
		}
		if labelOf(ticks[0], ticks) == labelOf(ticks[1], ticks) {
			t.Fatalf("ticks %v have the labels %s and %s", ticks[:2], labelOf(ticks[0], ticks), labelOf(ticks[1], ticks))
		}
	})
}

func TestApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var placed []float64
		for _, at := range rapid.SliceOfN(rapid.Float64Range(0, 300), 1, 6).Draw(t, "labels") {
			at = apart(at, placed, 30)
			for _, other := range placed {
				if math.Abs(at-other) < 29.99 {
					t.Fatalf("labels at %g and %g overlap", at, other)
				}
			}
			placed = append(placed, at)
		}
	})
}

// A line of dashes is as long, gaps included, as the line itself.
func TestDashes(t *testing.T) {
	strokes := dashes([]point{{0, 0}, {10, 0}}, []float64{3, 2})
	if len(strokes) != 2 || strokes[0] != [2]point{{0, 0}, {3, 0}} || strokes[1] != [2]point{{5, 0}, {8, 0}} {
		t.Errorf("dashes = %v", strokes)
	}
	if strokes := dashes([]point{{0, 0}, {10, 0}, {10, 5}}, nil); len(strokes) != 2 {
		t.Errorf("a full line is cut into %v", strokes)
	}
}
