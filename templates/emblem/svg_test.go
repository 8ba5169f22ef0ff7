package emblem

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
)

func svg(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 100 50">` + body + `</svg>`
}

func read(t testing.TB, text string) (Logo, error) {
	t.Helper()
	p, err := book.NewPicture([]byte(text))
	if err != nil {
		return Logo{}, err
	}
	return Read(p, 400, 100)
}

// text writes a path as a short text.
func (p Path) text() string {
	var b strings.Builder
	at := func(p Point) string { return fmt.Sprintf("%g,%g", round(p.X), round(p.Y)) }
	for _, s := range p.Segments {
		b.WriteByte(byte(s.Kind))
		switch s.Kind {
		case Curve:
			b.WriteString(at(s.C1) + " " + at(s.C2) + " " + at(s.To))
		case Move, Line:
			b.WriteString(at(s.To))
		}
	}
	for _, ink := range []struct {
		name string
		Ink
	}{{"fill", p.Fill}, {"stroke", p.Stroke}} {
		if ink.Seen() {
			fmt.Fprintf(&b, " %s #%02x%02x%02x", ink.name, ink.R, ink.G, ink.B)
			if ink.Opacity != 1 {
				fmt.Fprintf(&b, "/%.3g", ink.Opacity)
			}
		}
	}
	if p.EvenOdd {
		b.WriteString(" evenodd")
	}
	if p.Stroke.Seen() {
		fmt.Fprintf(&b, " pen %.4g", p.Pen.Width)
	}
	if len(p.Pen.Dashes) > 0 {
		fmt.Fprintf(&b, " dashes %v", p.Pen.Dashes)
	}
	for _, c := range p.Clips {
		fmt.Fprintf(&b, " clip %d", len(c.Segments))
	}
	return b.String()
}

func round(v float64) float64 { return math.Round(v*100)/100 + 0 }

// Worked by hand from SVG 2: path data (chapter 9), basic shapes (10),
// transforms (CSS Transforms 1), painting (13).
func TestDrawings(t *testing.T) {
	for body, want := range map[string]string{
		`<path d="M10 10h20v10H10z"/>`:                                                                             "M10,10L30,10L30,20L10,20Z fill #000000",
		`<path d="m10 10 5 5-3-1.5.5.5z" fill="red"/>`:                                                             "M10,10L15,15L12,13.5L12.5,14Z fill #ff0000",
		`<path d="M0 0C1 1 2 2 3 3S5 5 6 6" fill="none" stroke="#abc"/>`:                                           "M0,0C1,1 2,2 3,3C4,4 5,5 6,6 stroke #aabbcc pen 1",
		`<path d="M0 0Q3 3 6 0T12 0" fill="none" stroke="navy" stroke-width="2"/>`:                                 "M0,0C2,2 4,2 6,0C8,-2 10,-2 12,0 stroke #000080 pen 2",
		`<path d="M1 1L9 1z l1 1z"/>`:                                                                              "M1,1L9,1ZM1,1L2,2Z fill #000000",
		`<path d="M10 25A10 10 0 0 1 20 15"/>`:                                                                     "M10,25C10,19.48 14.48,15 20,15 fill #000000",
		`<path d="M10 25A10 10 0 0120 15"/>`:                                                                       "M10,25C10,19.48 14.48,15 20,15 fill #000000",
		`<path d="M0 5A1 1 0 0 0 10 5"/>`:                                                                          "M0,5C0,7.76 2.24,10 5,10C7.76,10 10,7.76 10,5 fill #000000",
		`<rect x="1" y="2" width="3" height="4" fill="rgb(255, 0, 10%)"/>`:                                         "M1,2L4,2L4,6L1,6Z fill #ff001a",
		`<rect width="100%" height="50%"/>`:                                                                        "M0,0L100,0L100,25L0,25Z fill #000000",
		`<polygon points="1,1 2,2 3,1" fill="#6a3f5280"/>`:                                                         "M1,1L2,2L3,1Z fill #6a3f52/0.502",
		`<polyline points="1 1 2 2" fill="none" stroke="teal" stroke-dasharray="1 2 3"/>`:                          "M1,1L2,2 stroke #008080 pen 1 dashes [1 2 3 1 2 3]",
		`<line x1="1" y1="2" x2="3" y2="4" stroke="black"/>`:                                                       "M1,2L3,4 fill #000000 stroke #000000 pen 1",
		`<g transform="translate(10,5) scale(2)"><path d="M0 0L1 1" stroke="black" fill="none"/></g>`:              "M10,5L12,7 stroke #000000 pen 2",
		`<path d="M1 0L2 0" transform="rotate(90)" stroke="black" fill="none"/>`:                                   "M0,1L0,2 stroke #000000 pen 1",
		`<path d="M3 2L4 2" transform="rotate(180 2 2) matrix(1 0 0 1 0 0)" stroke="black" fill="none"/>`:          "M1,2L0,2 stroke #000000 pen 1",
		`<g fill="green" opacity=".5"><g opacity="50%"><path d="M0 0L1 1"/></g></g>`:                               "M0,0L1,1 fill #008000/0.25",
		`<g color="teal"><path d="M0 0L1 1" fill="currentColor" fill-rule="evenodd"/></g>`:                         "M0,0L1,1 fill #008080 evenodd",
		`<style>.a{fill:#123456} #b.a{fill:#654321} path{fill:red}</style><path id="b" class="x a" d="M0 0L1 1"/>`: "M0,0L1,1 fill #654321",
		`<style>/* x */ .a,.b{fill:#123456;font-family:"Q"}</style><path class="b" fill="red" d="M0 0L1 1"/>`:      "M0,0L1,1 fill #123456",
		`<path class="b" fill="red" style="fill: lime" d="M0 0L1 1"/>`:                                             "M0,0L1,1 fill #00ff00",
		`<defs><path id="p" d="M0 0L1 1"/></defs><use xlink:href="#p" x="5" y="6" fill="red"/>`:                    "M5,6L6,7 fill #ff0000",
		`<clipPath id="c"><rect width="5" height="5"/></clipPath><g clip-path="url(#c)"><path d="M0 0L1 1"/></g>`:  "M0,0L1,1 fill #000000 clip 5",
		`<g display="none"><path d="M0 0L9 9"/></g><path d="M0 0L1 1"/><path visibility="hidden" d="M0 0L2 2"/>`:   "M0,0L1,1 fill #000000",
		`<x:note xmlns:x="urn:x"><path d="M0 0L9 9"/></x:note><title>Q</title><path d="M0 0L1 1"/>`:                "M0,0L1,1 fill #000000",
	} {
		logo, err := read(t, svg(body))
		var got []string
		for _, p := range logo.Paths {
			got = append(got, p.text())
		}
		if err != nil || strings.Join(got, "\n") != want {
			t.Errorf("%s = %q, %v, want %q", body, got, err, want)
		}
		if err == nil && (logo.Width != 100 || logo.Height != 50) {
			t.Errorf("%s is %g × %g", body, logo.Width, logo.Height)
		}
	}
}

// Ovals stay within 0.03 % of a true circle, of area π r².
func TestCircle(t *testing.T) {
	logo, err := read(t, svg(`<circle cx="50" cy="25" r="20"/><rect x="10" y="10" width="40" height="40" rx="20"/>`))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range logo.Paths {
		area, now := 0.0, Point{}
		for _, s := range p.Segments {
			if s.Kind == Curve {
				for i := range 200 {
					f := func(u float64) Point {
						v := 1 - u
						return Point{v*v*v*now.X + 3*v*v*u*s.C1.X + 3*v*u*u*s.C2.X + u*u*u*s.To.X, v*v*v*now.Y + 3*v*v*u*s.C1.Y + 3*v*u*u*s.C2.Y + u*u*u*s.To.Y}
					}
					a, b := f(float64(i)/200), f(float64(i+1)/200)
					area += (a.X*b.Y - b.X*a.Y) / 2
				}
			} else if s.Kind == Line {
				area += (now.X*s.To.Y - s.To.X*now.Y) / 2
			}
			now = s.To
		}
		if math.Abs(area-math.Pi*400) > 0.001*math.Pi*400 {
			t.Errorf("area = %g, want %g", area, math.Pi*400)
		}
	}
}

func TestSize(t *testing.T) {
	const body = `<path d="M0 0L1 1"/></svg>`
	for head, want := range map[string]string{
		`<svg xmlns="http://www.w3.org/2000/svg" width="2in" height="48pt">`: "192 64",
		`<svg width="40" height="20px">`:                                     "40 20", // no name space: some programs
		`<svg viewBox="-5,-5 10 20" width="100%">`:                           "10 20",
	} {
		logo, err := read(t, head+body)
		if got := fmt.Sprint(logo.Width, logo.Height); err != nil || got != want {
			t.Errorf("%s = %s, %v, want %s", head, got, err, want)
		}
	}
}

func TestRefusedDrawings(t *testing.T) {
	deep := strings.Repeat("<g>", 80) + strings.Repeat("</g>", 80)
	laughs := `<g id="a0"><path d="M0 0L1 1"/></g>`
	for i := range 12 {
		laughs += fmt.Sprintf(`<g id="a%d">%s</g>`, i+1, strings.Repeat(fmt.Sprintf(`<use href="#a%d"/>`, i), 10))
	}
	for body, want := range map[string]string{
		`<text>Quillwort</text>`:                                "turn text into paths",
		`<script>alert(1)</script><path d="M0 0L1 1"/>`:         "holds a script",
		`<path d="M0 0L1 1" onclick="x()"/>`:                    "holds a script in onclick",
		`<foreignObject/>`:                                      "foreignObject",
		`<image href="data:image/png;base64,AAAA"/>`:            "save the whole logo as a PNG",
		`<use href="http://example.com/x.svg#a"/>`:              "outside the drawing",
		`<use href="file:///etc/passwd"/>`:                      "outside the drawing",
		`<use href="#nowhere"/>`:                                "which is not in it",
		`<g id="a"><use href="#a"/></g>`:                        "inside itself",
		`<style>@import url(http://example.com/x.css);</style>`: "style sheet",
		`<style>g > path{fill:red}</style>`:                     "selector \"g > path\"",
		`<style>.a{fill:red`:                                    "that can be read",
		`<path d="M0 0L1 1" fill="url(#g)"/>`:                   "gradient",
		`<path d="M0 0L1 1" fill="hsl(1 2 3)"/>`:                "write it like #6a3f52",
		`<path d="M0 0L1 1" filter="url(#f)"/>`:                 "uses filter",
		`<path d="M0 0L1 1" style="mix-blend-mode:screen"/>`:    "uses mix-blend-mode",
		`<path d="M0 0L1 1" clip-path="url(x.svg#c)"/>`:         "outside the drawing",
		`<path d="M0 0L1 1" clip-path="url(#c)"/>`:              "release the clipping",
		`<path d="L1 1"/>`:                                      "does not begin with a move",
		`<path d="M10 10 5 5-3-1.5.5z"/>`:                       "breaks off in command L",
		`<path d="M0 0L1"/>`:                                    "breaks off",
		`<path d="M0 0 # 1"/>`:                                  "breaks off in command L",
		`<path d="M0 0A1 1 0 2 0 3 3"/>`:                        "breaks off",
		`<path d="M0 0L1e300 1"/>`:                              "far outside",
		`<path d="M0 0L1e999 1"/>`:                              "breaks off",
		`<rect width="1em" height="1"/>`:                        "length \"1em\"",
		`<path d="M0 0L1 1" transform="spin(3)"/>`:              "transform",
		`<path d="M0 0L1 1" transform="rotate(3"/>`:             "transform",
		`<path d="M0 0L1 1" opacity="x"/>`:                      "opacity",
		`<blink/>`:                                              "holds a \"blink\"",
		`<svg viewBox="0 0 1 1"/>`:                              "scale of its own",
		``:                                                      "shows nothing",
		`<path d="M200 200L300 300"/>`:                          "shows nothing",
		`<path d="M0 0L1 1" fill="none"/>`:                      "shows nothing",
		deep:                                                    "too intricate",
		strings.Repeat("<g/>", 30_000):                          "too intricate",
		laughs + `<use href="#a12"/>`:                           "too often",
		`<path d="M0 0` + strings.Repeat("h1", 160_000) + `"/>`: "too intricate",
	} {
		start := time.Now()
		_, err := read(t, svg(body))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.60s: %v, want %q", body, err, want)
		}
		if took := time.Since(start); took > 3*time.Second {
			t.Errorf("%.60s took %s", body, took)
		}
	}
	for text, want := range map[string]string{
		`<svg><path d="M0 0L1 1"/></svg>`:                         "how large",
		`<svg width="100%" height="5"><path d="M0 0L1 1"/></svg>`: "how large",
		`<svg viewBox="0 0 0 5"/>`:                                "viewBox",
		`<svg viewBox="0 0 5"/>`:                                  "viewBox",
	} {
		if _, err := read(t, text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

// Whatever stands in a drawing is read or refused, never more.
func TestAnyDrawing(t *testing.T) {
	word := rapid.SampledFrom([]string{"path", "g", "use", "rect", "circle", "style", "d", "M0 0", "L1 1", "a1 1 0 01 2 2", "z", "fill", "#123", "url(#a)",
		"href", "#a", "id", "a", "transform", "scale(2)", "rotate(", "1e9", "-.5.5", "%", "clip-path", "{", "}", ";", "NaN", "\"", "<", ">", "&amp;", "stroke-dasharray", "0"})
	rapid.Check(t, func(rt *rapid.T) {
		attr := rapid.Map(rapid.SliceOfN(word, 1, 5), func(w []string) string { return strings.Join(w, " ") })
		var body strings.Builder
		for range rapid.IntRange(0, 6).Draw(rt, "n") {
			fmt.Fprintf(&body, "<%s %s=%q d=%q transform=%q style=%q/>", rapid.SampledFrom([]string{"path", "g", "use", "rect", "polygon", "style", "clipPath"}).Draw(rt, "e"),
				rapid.SampledFrom([]string{"id", "fill", "href", "width", "points", "clip-path", "stroke"}).Draw(rt, "a"), strings.ReplaceAll(attr.Draw(rt, "v"), "\"", ""),
				strings.ReplaceAll(attr.Draw(rt, "d"), "\"", ""), attr.Draw(rt, "t"), attr.Draw(rt, "s"))
		}
		logo, err := read(t, svg(body.String()))
		if err != nil {
			return
		}
		for _, p := range logo.Paths {
			for _, s := range p.Segments {
				if math.IsNaN(s.To.X + s.To.Y + s.C1.X + s.C1.Y + s.C2.X + s.C2.Y) {
					rt.Fatalf("%s has a point that is no number", body.String())
				}
			}
		}
	})
}

func FuzzReadDrawing(f *testing.F) {
	f.Add([]byte(svg(`<path d="M0 0A1 1 0 0 0 10 5"/>`)))
	f.Fuzz(func(_ *testing.T, data []byte) { readDrawing(data) })
}
