package plot

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"

	"marchpane/templates/typeface"
)

// Figure is a finished chart: what is drawn, in order, on a canvas of
// Width × Height units, y downward.
type Figure struct {
	Title         string
	Description   string // for those who cannot see it
	Width, Height float64
	marks         []mark
}

type mark struct {
	kind   kind
	points []point // of a line; a bar's corner and size; where words stand
	tone   tone
	width  float64
	dash   []float64
	text   string
	size   float64
	anchor anchor
}

type kind int

const (
	line kind = iota
	bar
	dot
	words
)

type point struct{ x, y float64 }

type anchor int

const (
	start anchor = iota
	middle
	end
)

// tone is a colour as red, green, blue.
type tone [3]uint8

// The palette of the studio's papers; the series are apart in lightness too.
var (
	ink    = tone{47, 42, 43}
	quiet  = tone{112, 101, 94}
	rule   = tone{226, 217, 207}
	accent = tone{106, 63, 82}
	good   = tone{47, 107, 74}
	bad    = tone{163, 53, 43}
	before = tone{176, 163, 151}
)

var series = []struct {
	tone tone
	dash []float64
}{
	{accent, nil}, {tone{47, 107, 120}, []float64{7, 3}}, {tone{176, 125, 43}, []float64{2, 3}},
	{tone{88, 96, 112}, []float64{10, 3, 2, 3}}, {good, []float64{4, 2}}, {bad, []float64{1, 2}},
}

func (f *Figure) line(t tone, width float64, dash []float64, points ...point) {
	f.marks = append(f.marks, mark{kind: line, tone: t, width: width, dash: dash, points: points})
}

// bar fills a rectangle between two corners, in whatever order they come.
func (f *Figure) bar(t tone, a, b point) {
	f.marks = append(f.marks, mark{kind: bar, tone: t, points: []point{
		{min(a.x, b.x), min(a.y, b.y)}, {max(a.x, b.x) - min(a.x, b.x), max(a.y, b.y) - min(a.y, b.y)},
	}})
}

func (f *Figure) dot(t tone, at point, radius float64) {
	f.marks = append(f.marks, mark{kind: dot, tone: t, points: []point{at}, width: radius})
}

func (f *Figure) words(t tone, size float64, a anchor, at point, text string) {
	if text != "" {
		f.marks = append(f.marks, mark{kind: words, tone: t, size: size, anchor: a, points: []point{at}, text: text})
	}
}

// opening sets the title and returns the height at which the chart may begin.
func (f *Figure) opening(note string) float64 {
	f.words(ink, 17, start, point{16, 28}, fitted(f.Title, 17, f.Width-32))
	f.words(quiet, 12, start, point{16, 46}, fitted(note, 12, f.Width-32))
	return 62
}

// empty says that there is nothing to show.
func (f *Figure) empty(what string) {
	f.words(quiet, 14, middle, point{f.Width / 2, f.Height/2 + 10}, what)
}

var faces struct {
	sync.Mutex
	parsed *opentype.Font
	sizes  map[float64]font.Face
}

// face returns the face of words at a size in units.
func face(size float64) font.Face {
	faces.Lock()
	defer faces.Unlock()
	if f, ok := faces.sizes[size]; ok {
		return f
	}
	if faces.parsed == nil {
		parsed, err := opentype.Parse(typeface.SourceSans())
		if err != nil {
			panic("plot: embedded face: " + err.Error()) // a broken build
		}
		faces.parsed, faces.sizes = parsed, map[float64]font.Face{}
	}
	f, err := opentype.NewFace(faces.parsed, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic("plot: embedded face: " + err.Error())
	}
	faces.sizes[size] = f
	return f
}

// measure serialises use of faces, which are for one goroutine at a time.
var measure sync.Mutex

// wide returns how wide words are.
func wide(text string, size float64) float64 {
	f := face(size)
	measure.Lock()
	defer measure.Unlock()
	return float64(font.MeasureString(f, text)) / 64
}

// fitted cuts text to a width, with … where something was cut.
func fitted(text string, size, most float64) string {
	if wide(text, size) <= most {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && wide(string(runes)+"…", size) > most {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}
