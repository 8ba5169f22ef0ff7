package drawing

import (
	"math"

	"marchpane/pricing/shape"
	"marchpane/templates/document"
)

// drawTier draws the body of a tier: its coat, the side away from the light,
// the edges that its plan shows, and its outline.
func (e *elevation) drawTier(t *storey) {
	r := math.Min(1.2, math.Min(t.onPaper(), t.tallness())/6)
	body := softBox(t.left, t.top, t.right, t.bottom, r)
	body.Fill = document.CakeTone
	e.add(body)
	if t.Dummy {
		e.hatch(t)
	} else {
		e.shade(t, r)
	}
	edge := softBox(t.left, t.top, t.right, t.bottom, r)
	edge.Stroke, edge.Weight, edge.Dashed = document.InkTone, outline, t.Dummy
	if t.Kept {
		edge.Stroke, edge.Weight = document.KeptTone, 2*outline
	}
	e.add(edge)
}

// shade darkens what turns away from a light at the upper left.
func (e *elevation) shade(t *storey, r float64) {
	strip := func(from, to float64, tone document.Tone) {
		p := box(t.left+from*t.onPaper(), t.top+r, t.left+to*t.onPaper(), t.bottom)
		p.Fill = tone
		e.add(p)
	}
	corner := func(at float64) {
		x := t.left + at*t.onPaper()
		e.add(document.Path{Start: document.Point{X: x, Y: t.top + 0.3}, Segments: lines(document.Point{X: x, Y: t.bottom}),
			Stroke: document.QuietTone, Weight: hairline})
	}
	switch t.Form.Outline.Kind() {
	case shape.Hexagon: // three faces; the outer two are seen at a slant
		strip(0.75, 1, document.ShadeTone)
		corner(0.25)
		corner(0.75)
	case shape.Square, shape.Rectangle: // one face, square to the viewer
	case shape.Heart: // two sides meeting at the point
		strip(0.5, 1, document.HalfTone)
	default:
		// A wall that curves away darkens towards its edge.
		strip(0.78, 0.91, document.HalfTone)
		strip(0.91, 1, document.ShadeTone)
	}
}

// hatch draws slanting lines over a tier that nobody can eat.
func (e *elevation) hatch(t *storey) {
	const step = 2.4
	for c := t.left - t.tallness() + step; c < t.right; c += step {
		// The line x − c = bottom − y, cut to the tier.
		x1, x2 := math.Max(c, t.left), math.Min(c+t.tallness(), t.right)
		e.add(document.Path{
			Start:    document.Point{X: x1, Y: t.bottom - (x1 - c)},
			Segments: lines(document.Point{X: x2, Y: t.bottom - (x2 - c)}),
			Stroke:   document.DummyTone, Weight: hairline,
		})
	}
}

// drawBoard draws the board that the cake stands on.
func (e *elevation) drawBoard() {
	b := softBox(e.boardLeft, e.ground, e.boardLeft+e.board, e.ground+boardThick, 0.5)
	b.Fill, b.Stroke, b.Weight = document.BoardTone, document.InkTone, outline
	e.add(b)
}

func (e *elevation) add(s document.Shape) { e.shapes = append(e.shapes, s) }

// lines leads straight on through points.
func lines(points ...document.Point) []document.Segment {
	segments := make([]document.Segment, len(points))
	for i, p := range points {
		segments[i] = document.Segment{To: p}
	}
	return segments
}

func box(left, top, right, bottom float64) document.Path {
	return document.Path{
		Start:    document.Point{X: left, Y: top},
		Segments: lines(document.Point{X: right, Y: top}, document.Point{X: right, Y: bottom}, document.Point{X: left, Y: bottom}),
		Closed:   true,
	}
}

// softBox is a box with its two upper corners rounded by r, as a coat rounds
// the edge of a tier.
func softBox(left, top, right, bottom, r float64) document.Path {
	const k = 0.5523 // control points of a cubic curve for a quarter circle: (4⁄3)·tan(π⁄8)
	p := func(x, y float64) document.Point { return document.Point{X: x, Y: y} }
	return document.Path{
		Start: p(left, bottom),
		Segments: []document.Segment{
			{To: p(left, top+r)},
			{To: p(left+r, top), Curved: true, First: p(left, top+r-k*r), Second: p(left+r-k*r, top)},
			{To: p(right-r, top)},
			{To: p(right, top+r), Curved: true, First: p(right-r+k*r, top), Second: p(right, top+r-k*r)},
			{To: p(right, bottom)},
		},
		Closed: true,
	}
}
