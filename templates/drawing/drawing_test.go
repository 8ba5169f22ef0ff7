package drawing_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
)

func outline(t testing.TB, kind shape.Kind, sizes ...string) shape.Outline {
	t.Helper()
	var quantities []measure.Quantity
	for _, s := range sizes {
		quantities = append(quantities, measure.Must(s))
	}
	o, err := shape.New(kind, quantities...)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// Worked by hand, but for the heart, which TestHeartFront works another way.
func TestFront(t *testing.T) {
	tests := []struct {
		o       shape.Outline
		want    float64
		guessed bool
	}{
		{outline(t, shape.Round, "225 mm"), 225, false},
		{outline(t, shape.Square, "9 in"), 228.6, false},
		{outline(t, shape.Rectangle, "30 cm", "20 cm"), 300, false},
		{outline(t, shape.Rectangle, "20 cm", "30 cm"), 300, false},
		{outline(t, shape.Hexagon, "130 mm"), 260, false},
		{outline(t, shape.Heart, "100 mm"), 170.71, false},
		{outline(t, shape.Measured, "600 cm2", "100 cm"), 300, true},        // 30 × 20 cm
		{outline(t, shape.Measured, "31415.9265 mm2", "600 mm"), 200, true}, // less edge than a square: a disc of radius 100
		{shape.Outline{}, 0, false},
	}
	for _, tt := range tests {
		got, guessed := drawing.Front(tt.o)
		if math.Abs(got-tt.want) > 0.01 || guessed != tt.guessed {
			t.Errorf("Front(%s) = %.2f, %t, want %.2f, %t", tt.o, got, guessed, tt.want, tt.guessed)
		}
	}
}

// The outline of a heart walked point by point.
func TestHeartFront(t *testing.T) {
	const s = 100.0
	far := 0.0
	centre := s * math.Sqrt2 / 4 // of the upper right side of the square on its corner
	for a := 0.0; a < 360; a += 0.25 {
		x := centre + s/2*math.Cos(a*math.Pi/180)
		far = math.Max(far, x)
	}
	far = math.Max(far, s*math.Sqrt2/2) // the square's own corner
	if got, _ := drawing.Front(outline(t, shape.Heart, "100 mm")); math.Abs(got-2*far) > 0.01 {
		t.Errorf("Front(heart of 100 mm) = %.3f, want %.3f", got, 2*far)
	}
}

func round(t testing.TB, name string, diameter, height int) document.Tier {
	d, h := fmt.Sprintf("%d mm", diameter), fmt.Sprintf("%d mm", height)
	return document.Tier{Name: name, Size: "Round, " + d, Portions: "24 portions", Width: d, Height: h,
		Form: shape.Solid{Outline: outline(t, shape.Round, d), Height: measure.Must(h)}}
}

func TestElevationIsToScale(t *testing.T) {
	c := document.Cake{Name: "Cake", Height: "210 mm", Unit: document.Centimetres,
		Tiers: []document.Tier{round(t, "bottom", 225, 110), round(t, "top", 150, 100)}}
	p := drawing.Elevation(c, 92, 70)
	var bodies []box
	for _, s := range p.Shapes {
		if path, ok := s.(document.Path); ok && path.Stroke == document.InkTone && path.Fill == "" {
			bodies = append(bodies, bounds(path))
		}
	}
	if len(bodies) != 2 {
		t.Fatalf("%d tiers drawn, want 2", len(bodies))
	}
	scale := (bodies[0].right - bodies[0].left) / 225
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 0.001 {
			t.Errorf("%s = %.3f, want %.3f", what, got, want)
		}
	}
	near("width of the top", bodies[1].right-bodies[1].left, 150*scale)
	near("height of the bottom", bodies[0].bottom-bodies[0].top, 110*scale)
	near("height of the top", bodies[1].bottom-bodies[1].top, 100*scale)
	near("foot of the top", bodies[1].bottom, bodies[0].top)
	near("axis of the top", bodies[1].left+bodies[1].right, bodies[0].left+bodies[0].right)
	// The scale bar says 5 cm: two fields of half of that.
	var half float64
	for _, s := range p.Shapes {
		if path, ok := s.(document.Path); ok && path.Fill == document.QuietTone {
			half = bounds(path).right - bounds(path).left
		}
	}
	if !strings.Contains(texts(p), "5\u00a0cm") {
		t.Fatalf("no scale of 5 cm among %q", texts(p))
	}
	near("half the scale bar", half, 25*scale)
}

func TestElevationMarksTiers(t *testing.T) {
	kept, dummy := round(t, "top", 150, 100), round(t, "bottom", 225, 110)
	kept.Kept, kept.Note = true, "kept"
	dummy.Dummy, dummy.Portions, dummy.Note = true, "", "not edible"
	p := drawing.Elevation(document.Cake{Tiers: []document.Tier{dummy, kept}, Height: "210 mm"}, 92, 70)
	var dashed, hatched, marked bool
	for _, s := range p.Shapes {
		if path, ok := s.(document.Path); ok {
			dashed = dashed || path.Dashed
			hatched = hatched || path.Stroke == document.DummyTone
			marked = marked || path.Stroke == document.KeptTone
		}
	}
	if !dashed || !hatched || !marked || !strings.Contains(texts(p), "not edible") {
		t.Errorf("dummy dashed %t and hatched %t, kept marked %t, labels %q", dashed, hatched, marked, texts(p))
	}
}

func TestElevationOfNothing(t *testing.T) {
	for _, c := range []document.Cake{{}, {Tiers: []document.Tier{{Name: "no size"}}}} {
		if p := drawing.Elevation(c, 92, 70); !p.Empty() {
			t.Errorf("Elevation(%v) draws %d shapes, want none", c, len(p.Shapes))
		}
	}
}

// Whatever the tiers, the picture keeps to its paper; with tiers of usual
// sizes, no two labels touch.
func TestElevationKeepsToItsPaper(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		usual := rapid.Bool().Draw(rt, "usual")
		widths, heights := rapid.IntRange(10, 5000), rapid.IntRange(5, 2000)
		if usual {
			widths, heights = rapid.IntRange(100, 450), rapid.IntRange(60, 160)
		}
		c := document.Cake{Name: "Cake", Height: "1,000 mm", Unit: document.Centimetres}
		for i := range rapid.IntRange(1, 6).Draw(rt, "tiers") {
			c.Tiers = append(c.Tiers, round(t, fmt.Sprint(i), widths.Draw(rt, "width"), heights.Draw(rt, "height")))
		}
		p := drawing.Elevation(c, 160, 96)
		var labels []box
		for _, s := range p.Shapes {
			var b box
			switch s := s.(type) {
			case document.Path:
				b = bounds(s)
			case document.Label:
				b = around(s)
				labels = append(labels, b)
			}
			if math.IsNaN(b.left+b.top+b.right+b.bottom) || b.left < -1.5 || b.top < -1 || b.right > p.Width+1.5 || b.bottom > p.Height+1 {
				rt.Fatalf("%v lies outside %.1f × %.1f mm: %+v", s, p.Width, p.Height, b)
			}
		}
		if p.Height > 96.01 {
			rt.Fatalf("%.1f mm high, room for 96", p.Height)
		}
		for i, a := range labels {
			for _, b := range labels[:i] {
				if usual && a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom {
					rt.Fatalf("labels touch: %+v and %+v", a, b)
				}
			}
		}
	})
}

// Outside check: the standard library's XML decoder.
func TestSVG(t *testing.T) {
	hostile := round(t, `<script>&"'`+"\x00", 225, 110)
	hostile.Portions = `"><b>24</b>`
	p := drawing.Elevation(document.Cake{Name: "A & <B>", Tiers: []document.Tier{hostile}}, 92, 70)
	var b bytes.Buffer
	if err := drawing.SVG(&b, p); err != nil {
		t.Fatal(err)
	}
	counts := map[string]int{}
	var title string
	d := xml.NewDecoder(bytes.NewReader(b.Bytes()))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%v in:\n%s", err, b.String())
		}
		switch token := token.(type) {
		case xml.StartElement:
			counts[token.Name.Local]++
		case xml.CharData:
			if counts["title"] == 1 && title == "" {
				title = string(token)
			}
		}
	}
	if counts["script"]+counts["b"] > 0 {
		t.Errorf("text became elements: %v", counts)
	}
	if !strings.HasPrefix(title, "A & <B>; <script>") {
		t.Errorf("title = %q", title)
	}
	paths := 0
	for _, s := range p.Shapes {
		if _, ok := s.(document.Path); ok {
			paths++
		}
	}
	if counts["path"] != paths || counts["text"] != len(p.Shapes)-paths {
		t.Errorf("%d paths and %d texts, want %d and %d", counts["path"], counts["text"], paths, len(p.Shapes)-paths)
	}
	if strings.Contains(b.String(), "style=") {
		t.Error("the image has style attributes, which a strict content policy forbids")
	}
}

type box struct{ left, top, right, bottom float64 }

func bounds(p document.Path) box {
	b := box{p.Start.X, p.Start.Y, p.Start.X, p.Start.Y}
	for _, s := range p.Segments {
		b = box{math.Min(b.left, s.To.X), math.Min(b.top, s.To.Y), math.Max(b.right, s.To.X), math.Max(b.bottom, s.To.Y)}
	}
	return b
}

// around estimates the space a label takes: letters about half as wide and
// figures 0.65 as high as the size.
func around(l document.Label) box {
	w, h := float64(len([]rune(l.Text)))*l.Size*0.353*0.48, l.Size*0.353*0.65
	left := l.At.X
	switch l.Anchor {
	case document.Middle:
		left -= w / 2
	case document.End:
		left -= w
	}
	return box{left, l.At.Y - h, left + w, l.At.Y}
}

func texts(p document.Picture) string {
	var all []string
	for _, s := range p.Shapes {
		if l, ok := s.(document.Label); ok {
			all = append(all, l.Text)
		}
	}
	return strings.Join(all, "|")
}
