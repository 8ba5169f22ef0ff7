package plot

import (
	"math"
	"slices"
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
	tone   tone
	points []point   // of a line or the outline of an area; else where the mark stands
	width  float64   // of a line, half that of a dot
	dash   []float64 // of a line: drawn, left out, drawn, …
	shape  shape     // of a dot
	words  string
	size   float64 // of words
	anchor anchor
}

type kind int

const (
	line kind = iota
	area
	dot
	words
)

type point struct{ x, y float64 }

// anchor is the part of words that stands at their point.
type anchor int

const (
	start anchor = iota
	middle
	end
)

// shape is what a dot looks like.
type shape int

const (
	disc shape = iota
	square
	diamond
	peak
	bowl
	shapes int = iota
)

const (
	margin    = 16
	textSize  = 12.5
	smallSize = 12
)

// wideCanvas is how wide a chart is that has a page to itself.
const wideCanvas = 860

// newFigure returns a canvas with its title and a note, and the height at which
// the chart may begin.
func newFigure(width float64, title, note string, height float64) (Figure, float64) {
	f := Figure{Title: clean(title), Width: width, Height: height}
	f.Description = f.Title
	if note = clean(note); note != "" {
		f.Description += ", " + note
	}
	f.words(ink, 17, start, point{margin, 28}, f.Width-2*margin, title)
	f.words(quiet, smallSize, start, point{margin, 46}, f.Width-2*margin, note)
	return f, 62
}

func (f *Figure) line(t tone, width float64, dash []float64, points ...point) {
	f.marks = append(f.marks, mark{kind: line, tone: t, width: width, dash: dash, points: points})
}

func (f *Figure) area(t tone, points ...point) {
	f.marks = append(f.marks, mark{kind: area, tone: t, points: points})
}

// bar fills the rectangle between two opposite corners.
func (f *Figure) bar(t tone, a, b point) {
	f.area(t, a, point{b.x, a.y}, b, point{a.x, b.y})
}

func (f *Figure) dot(t tone, s shape, at point, radius float64) {
	f.marks = append(f.marks, mark{kind: dot, tone: t, shape: s, points: []point{at}, width: radius})
}

// words writes text on one line, cut to the room it has.
func (f *Figure) words(t tone, size float64, a anchor, at point, room float64, text string) {
	if text = fitted(clean(text), size, room); text != "" {
		f.marks = append(f.marks, mark{kind: words, tone: t, size: size, anchor: a, points: []point{at}, words: text})
	}
}

// empty says that there is nothing to show.
func (f *Figure) empty(what string) {
	f.words(quiet, 14, middle, point{f.Width / 2, f.Height/2 + 14}, f.Width-2*margin, what)
	f.Description += ": " + what
}

// left returns where words begin that come out so wide.
func (m mark) left(width float64) float64 {
	switch m.anchor {
	case middle:
		return m.points[0].x - width/2
	case end:
		return m.points[0].x - width
	}
	return m.points[0].x
}

// outline returns the corners of a dot, a circle's as a polygon of many.
func (m mark) outline() []point {
	corners, turn, r := 0, 0.0, m.width
	switch m.shape {
	case square:
		corners, turn, r = 4, math.Pi/4, r*1.25
	case diamond:
		corners, r = 4, r*1.35
	case peak:
		corners, turn, r = 3, -math.Pi/2, r*1.4
	case bowl:
		corners, turn, r = 3, math.Pi/2, r*1.4
	default:
		corners = 32
	}
	points := make([]point, corners)
	for i := range points {
		angle := turn + float64(i)/float64(corners)*2*math.Pi
		points[i] = point{m.points[0].x + r*math.Cos(angle), m.points[0].y + r*math.Sin(angle)}
	}
	return points
}

// spread returns places near those wanted that lie within low to high and at
// least gap apart, in the order of those wanted. There is room for them.
func spread(wanted []float64, gap, low, high float64) []float64 {
	order := make([]int, len(wanted))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case wanted[a] < wanted[b]:
			return -1
		case wanted[a] > wanted[b]:
			return 1
		}
		return 0
	})
	placed := make([]float64, len(wanted))
	least := low
	for _, i := range order {
		placed[i] = max(wanted[i], least)
		least = placed[i] + gap
	}
	most := high
	for _, i := range slices.Backward(order) {
		placed[i] = min(placed[i], most)
		most = placed[i] - gap
	}
	return placed
}

// finite reports whether a value can be drawn at all.
func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.Abs(v) > 1e15 {
			return false
		}
	}
	return true
}
