package plot

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite the golden charts")

var day0 = time.Date(2025, 6, 1, 0, 0, 0, 0, time.UTC)

const hostile = "\u202e<script>alert(1)</script>\"'&]]>\x00\xff\U0001F382 שלום 漢字\r\n"

func steps(values ...float64) Figure {
	s := Series{Name: "A supplier <&> \"of\" old", Last: "1.00 a kg"}
	for i, v := range values {
		s.Points = append(s.Points, Point{day0.AddDate(0, i, 0), v})
	}
	return Steps("Butter", Scale{Unit: "EUR a kg"}, day0.AddDate(0, len(values)+1, 0), []Series{s, {Name: "nobody"}})
}

// crowd is n suppliers whose lines end at nearly one price.
func crowd(n int) Figure {
	var list []Series
	for i := range n {
		s := Series{Name: fmt.Sprintf("Dairy number %d of the long and winding valley road", i+1), Last: "9.20 a kg"}
		for k := range 5 {
			s.Points = append(s.Points, Point{day0.AddDate(0, k*2, i*3), 5 + float64(k)*0.8 + float64(i%3)/10})
		}
		list = append(list, s)
	}
	return Steps("Butter", Scale{Unit: "EUR a kg"}, day0.AddDate(1, 0, 0), list)
}

func outlooks(n int) (list []Outlook) {
	for i := range n {
		m, d := 412+3*float64(i), 6*math.Sqrt(float64(i+1))
		list = append(list, Outlook{day0.AddDate(0, i, 0), m, m - 1.28*d, m + 1.28*d, m - 1.96*d, m + 1.96*d})
	}
	return list
}

var said = Said{"median 439", "415 to 463 in 80 %", "402 to 476 in 95 %"}

func figures() map[string]Figure {
	many := make([]Swing, 60)
	for i := range many {
		many[i] = Swing{strings.Repeat("cause ", 1+i%30), float64(i*i) * 1e-5, "−1.23", "+1.23"}
	}
	return map[string]Figure{
		"steps":        steps(8.6, 9, 7.5, 11),
		"one step":     steps(4),
		"no step":      Steps("Butter", Scale{Unit: "EUR"}, day0, nil),
		"free":         steps(0, 0),
		"dear":         steps(1e9, 2e9),
		"refunds":      steps(-3, 2, -1e9),
		"no number":    steps(math.NaN(), math.Inf(1), math.MaxFloat64),
		"six steps":    crowd(6),
		"crowd":        crowd(40),
		"one day":      Steps("Butter", Scale{Unit: "EUR"}, day0, []Series{{"A", []Point{{day0, 3}}, "3.00"}}),
		"ages":         Steps("Butter", Scale{Unit: "EUR"}, time.Date(9999, 12, 31, 0, 0, 0, 0, time.UTC), []Series{{"A", []Point{{time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC), 3}}, "3.00"}}),
		"late":         Steps("Butter", Scale{Unit: "EUR"}, day0, []Series{{"A", []Point{{day0.AddDate(0, 2, 0), 3}, {day0, 4}}, "3.00"}}),
		"pairs":        Pairs("butter +18 %", "margins", 0.5, "floor 50 %", []Pair{{"Cake", 0.55, 0.48, "55 % → 48 %", true}, {strings.Repeat("long name ", 30), -3, 0.9, strings.Repeat("long text ", 30), false}}),
		"no pairs":     Pairs("butter", "", 0, "", nil),
		"no floor":     Pairs("butter", "", 0, "", []Pair{{"Cake", 0.5, 0.4, "", false}}),
		"bridge":       Bridge("October", "EUR", []Pier{{"planned", 5200, "5200.00", true}, {"butter <&>", -80.5, "−80.50", false}, {strings.Repeat("long name ", 30), 12, strings.Repeat("long text ", 30), false}, {"real", 5131.5, "5131.50", true}}),
		"no bridge":    Bridge("October", "EUR", nil),
		"deep bridge":  Bridge("October", "EUR", []Pier{{"planned", -3, "−3", true}, {"a", math.NaN(), "", false}, {"b", -1e9, "−1e9", false}, {"real", -1e9 - 3, "", true}}),
		"flat bridge":  Bridge("October", "EUR", []Pier{{"planned", 0, "0", true}, {"real", 0, "0", true}}),
		"columns":      Columns("Month by month", Scale{Unit: "EUR"}, []string{"net sales", "cost <&>", "margin"}, []Column{{"2026-09", []float64{21720, 11469, 10250}, []string{"21720", "11469", "10250"}}, {"2026-10", []float64{0, 40, -40}, []string{"0", "40", "−40"}}}),
		"no columns":   Columns("Month by month", Scale{Unit: "EUR"}, []string{"net"}, []Column{{"short", nil, nil}, {"wild", []float64{math.Inf(1)}, []string{"∞"}}}),
		"equal pairs":  Pairs("butter", "", 0.5, "floor", []Pair{{"Cake", 0.5, 0.5, "", false}}),
		"many pairs":   Pairs("butter", "", 0.5, "floor", slices.Repeat([]Pair{{"Cake", 0.4, 1e9, "a", false}}, 300)),
		"wide floor":   Pairs("butter", "", -1, strings.Repeat("floor ", 60), []Pair{{"", 9, 1, "", false}}),
		"tornado":      Tornado("Cake", "points", "margin", []Swing{{"egg", -0.01, "−1", "+1"}, {"butter", 0.02, "−2", "+2"}}),
		"still":        Tornado("Cake", "points", "margin", []Swing{{"water", 0, "0", "0"}}),
		"no tornado":   Tornado("Cake", "points", "margin", nil),
		"many swings":  Tornado("Cake", "points", "margin today", many),
		"wordy swing":  Tornado("Cake", "points", strings.Repeat("base ", 80), []Swing{{strings.Repeat("n", 500), 1e9, strings.Repeat("d", 500), strings.Repeat("u", 500)}}),
		"band":         Band("Cost of the wedding cake", Scale{Unit: "EUR"}, outlooks(10), said),
		"one outlook":  Band("Cost", Scale{Unit: "EUR"}, outlooks(1), said),
		"no outlook":   Band("Cost", Scale{Unit: "EUR"}, nil, said),
		"certain":      Band("Cost", Scale{Unit: "EUR"}, []Outlook{{day0, 4, 4, 4, 4, 4}, {day0.AddDate(0, 3, 0), 4, 4, 4, 4, 4}}, said),
		"a wild title": Tornado(hostile, hostile, hostile, []Swing{{hostile, 1, hostile, hostile}}),
		"wild names":   Pairs(hostile, hostile, 1, hostile, []Pair{{hostile, 1, 2, hostile, true}}),
		"wild lines":   Steps(hostile, Scale{Unit: hostile}, day0, []Series{{hostile, []Point{{day0, 1}}, hostile}}),
		"wild band":    Band(hostile, Scale{Unit: hostile}, outlooks(2), Said{hostile, hostile, hostile}),
	}
}

// Outside check: the XML reader of the standard library.
func TestSVGIsWellFormed(t *testing.T) {
	for name, f := range figures() {
		var b bytes.Buffer
		if err := f.SVG(&b); err != nil {
			t.Fatal(err)
		}
		if s := b.String(); !strings.Contains(s, `role="img"`) || strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("%s lacks its role, or has a place that is no number", name)
		}
		found := map[string]int{}
		for d := xml.NewDecoder(&b); ; {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if e, is := token.(xml.StartElement); is {
				found[e.Name.Local]++
			}
		}
		if found["title"] != 1 || found["desc"] != 1 || found["script"] != 0 {
			t.Errorf("%s has the elements %v, want one title, one desc and no script", name, found)
		}
	}
}

func TestGoldenSVG(t *testing.T) {
	for _, name := range []string{"steps", "pairs", "tornado", "band", "no step"} {
		var b bytes.Buffer
		if err := figures()[name].SVG(&b); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("testdata", strings.ReplaceAll(name, " ", "-")+".svg")
		if *update {
			if err := errors.Join(os.MkdirAll("testdata", 0o777), os.WriteFile(path, b.Bytes(), 0o666)); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(b.Bytes(), want) {
			t.Errorf("%s differs from %s; look at both, and run go test -update if the new one is right", name, path)
		}
	}
}

func TestPNGIsTheSameBytes(t *testing.T) {
	for name, f := range figures() {
		var a, b bytes.Buffer
		if err := errors.Join(f.PNG(&a, 1), figures()[name].PNG(&b, 1)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: two pictures of one figure differ", name)
		}
		img, err := png.Decode(&a)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if size := img.Bounds().Size(); size.X != int(f.Width) || size.Y != int(math.Ceil(f.Height)) {
			t.Errorf("%s is %v pixels, want %g by %g", name, size, f.Width, f.Height)
		}
	}
}

func TestPNGRefusesScales(t *testing.T) {
	for _, scale := range []float64{0, -1, math.NaN(), math.Inf(1), 1e3} {
		if err := steps(1).PNG(io.Discard, scale); err == nil {
			t.Errorf("PNG at a scale of %g gives no error", scale)
		}
	}
}

// An empty chart says so in words.
func TestEmpty(t *testing.T) {
	for name, want := range map[string]string{"no step": "no prices yet", "no number": "no prices yet", "no pairs": "nothing uses it", "no tornado": "nothing carries the cost", "no outlook": "no outlook yet"} {
		var b bytes.Buffer
		if err := figures()[name].SVG(&b); err != nil || !strings.Contains(b.String(), ">"+want+"</text>") {
			t.Errorf("%s does not say %q (%v)", name, want, err)
		}
	}
}

// box is what words cover in the widest face: from the top of capitals to the
// foot of letters that hang below the line.
func (m mark) box() (low, high point) {
	w := wide(m.words, m.size)
	return point{m.left(w), m.points[0].y - 0.73*m.size}, point{m.left(w) + w, m.points[0].y + 0.24*m.size}
}

// flaw returns what is wrong with the places of a figure's words, and "" where
// all stand on the canvas and none meets another.
func flaw(f Figure) string {
	var placed []mark
	for _, m := range f.marks {
		if m.kind != words {
			continue
		}
		low, high := m.box()
		if low.x < 0 || high.x > f.Width || low.y < 0 || high.y > f.Height {
			return fmt.Sprintf("%q from %.1f to %.1f leaves a canvas of %g by %g", m.words, low, high, f.Width, f.Height)
		}
		for _, other := range placed {
			from, to := other.box()
			if low.x < to.x && from.x < high.x && low.y < to.y && from.y < high.y {
				return fmt.Sprintf("%q at %.1f and %q at %.1f overlap", m.words, low, other.words, from)
			}
		}
		placed = append(placed, m)
	}
	return ""
}

func TestWordsKeepApart(t *testing.T) {
	for name, f := range figures() {
		if wrong := flaw(f); wrong != "" {
			t.Errorf("%s: %s", name, wrong)
		}
	}
}

func TestWordsKeepApartInAnyChart(t *testing.T) {
	text := rapid.OneOf(rapid.StringN(0, 60, 200), rapid.StringMatching(`([A-Z][a-z]{1,12} ?){0,9}`))
	value := rapid.OneOf(rapid.Float64Range(0, 100), rapid.Float64Range(-1e9, 1e9), rapid.Just(0.0), rapid.Float64())
	rapid.Check(t, func(t *rapid.T) {
		day := func() time.Time { return day0.AddDate(0, 0, rapid.IntRange(0, 4000).Draw(t, "day")) }
		n := rapid.IntRange(0, 30).Draw(t, "n")
		var lines []Series
		var pairs []Pair
		var swings []Swing
		var bands []Outlook
		for range n {
			s := Series{Name: text.Draw(t, "name"), Last: text.Draw(t, "last")}
			for range rapid.IntRange(0, 4).Draw(t, "points") {
				s.Points = append(s.Points, Point{day(), value.Draw(t, "value")})
			}
			lines = append(lines, s)
			pairs = append(pairs, Pair{s.Name, value.Draw(t, "before"), value.Draw(t, "after"), s.Last, false})
			swings = append(swings, Swing{s.Name, value.Draw(t, "by"), s.Last, s.Name})
			bands = append(bands, Outlook{day(), value.Draw(t, "median"), value.Draw(t, "a"), value.Draw(t, "b"), value.Draw(t, "c"), value.Draw(t, "d")})
		}
		title, note := text.Draw(t, "title"), text.Draw(t, "note")
		for name, f := range map[string]Figure{
			"Steps":   Steps(title, Scale{Unit: note}, day(), lines),
			"Pairs":   Pairs(title, note, value.Draw(t, "floor"), note, pairs),
			"Tornado": Tornado(title, note, title, swings),
			"Band":    Band(title, Scale{Unit: note}, bands, Said{title, note, title}),
		} {
			if wrong := flaw(f); wrong != "" {
				t.Fatalf("%s: %s", name, wrong)
			}
			for _, m := range f.marks {
				for _, p := range m.points {
					if !(p.x >= -1 && p.x <= f.Width+1 && p.y >= -1 && p.y <= f.Height+1) {
						t.Fatalf("%s: a mark at %g leaves a canvas of %g by %g", name, p, f.Width, f.Height)
					}
				}
			}
		}
	})
}

// Of several outlooks on a single day the last stands.
func TestBandOfOneDay(t *testing.T) {
	first, last := outlooks(2)[1], outlooks(1)[0]
	first.Day = last.Day
	var got, want bytes.Buffer
	if err := errors.Join(Band("Cost", Scale{Unit: "EUR"}, []Outlook{first, last}, said).SVG(&got), Band("Cost", Scale{Unit: "EUR"}, []Outlook{last}, said).SVG(&want)); err != nil {
		t.Fatal(err)
	}
	if got.String() != want.String() {
		t.Errorf("Band of two outlooks on one day = %s, want that of the last, %s", &got, &want)
	}
}

func TestTornadoIsSorted(t *testing.T) {
	var names []string
	for _, m := range Tornado("Cake", "", "", []Swing{{"egg", 0.01, "", ""}, {"sugar", -0.005, "", ""}, {"butter", -0.02, "", ""}}).marks {
		if m.kind == words && m.size == textSize {
			names = append(names, m.words)
		}
	}
	if want := []string{"butter", "egg", "sugar"}; !slices.Equal(names, want) {
		t.Errorf("rows are %v, want %v", names, want)
	}
}
