package drawing

import (
	"math"
	"slices"

	"marchpane/pricing/shape"
	"marchpane/templates/document"
)

// Sizes of the paper picture, in mm. Text sizes are in pt.
const (
	hairline   = 0.15
	outline    = 0.25
	labelSize  = 7.5
	lineHeight = 3.4  // of labels
	gutter     = 3.0  // between the cake and its dimensions
	tick       = 1.1  // half a dimension's end stroke
	boardThick = 1.6  // least, where the scale would make it vanish
	footer     = 6.5  // room under the board for the scale bar
	headroom   = 2.0  // above the top tier
	overhang   = 0.08 // of the board past the widest tier, each side
)

// The room for all the columns of a comparison, in mm. A back end that has less
// or more of it scales them all alike.
const (
	comparedWidth  = 168.0
	comparedHeight = 62.0
	comparedGap    = 4.0
)

// optionShare is how large the pictures of an option are against those of an
// only offer.
const optionShare = 0.8

// Illustrate returns q with every cake that has tiers drawn, those of options
// too, each into a picture of at most the width and height in mm that size gives
// for its number of tiers; those of options are smaller. What is compared it draws to one scale; see [Lineup].
func Illustrate(q document.Quote, size func(tiers int) (width, height float64)) document.Quote {
	q.Cakes = illustrated(q.Cakes, size, 1)
	q.Options = slices.Clone(q.Options)
	for i, o := range q.Options {
		q.Options[i].Cakes = illustrated(o.Cakes, size, optionShare)
	}
	n := float64(len(q.Comparison.Columns))
	columns := make([][]document.Cake, len(q.Comparison.Columns))
	for i, c := range q.Comparison.Columns {
		columns[i] = c.Cakes
	}
	q.Comparison.Columns = slices.Clone(q.Comparison.Columns)
	for i, p := range Lineup(columns, (comparedWidth-comparedGap*(n-1))/n, comparedHeight) {
		q.Comparison.Columns[i].Picture = p
	}
	return q
}

func illustrated(cakes []document.Cake, size func(tiers int) (width, height float64), share float64) []document.Cake {
	cakes = slices.Clone(cakes)
	for i, c := range cakes {
		width, height := size(len(c.Tiers))
		cakes[i].Picture = Elevation(c, share*width, share*height)
	}
	return cakes
}

// Elevation draws c as seen from the front, in a picture of at most width ×
// height mm. A cake without tiers has none, and neither has one whose tiers
// lack a size.
func Elevation(c document.Cake, width, height float64) document.Picture {
	e := newElevation(c)
	if e == nil {
		return document.Picture{}
	}
	e.place(width, height)
	return e.draw()
}

// newElevation measures c; nil where it cannot be drawn.
func newElevation(c document.Cake) *elevation {
	e := &elevation{cake: c}
	for _, t := range c.Tiers {
		w, _ := Front(t.Form.Outline)
		h := 0.0
		if t.Form.Height.Given() {
			h = millimetres(shape.Centimetres(t.Form.Height))
		}
		if w <= 0 || h <= 0 {
			return nil
		}
		e.tiers = append(e.tiers, storey{Tier: t, width: w, height: h})
		e.widest = math.Max(e.widest, w)
		e.tallest += h
	}
	if len(e.tiers) == 0 {
		return nil
	}
	return e
}

// draw draws what was placed.
func (e *elevation) draw() document.Picture {
	e.drawBoard()
	for i := range e.tiers {
		e.drawTier(&e.tiers[i])
	}
	e.drawLabels()
	e.drawHeights()
	e.drawScaleBar()
	return document.Picture{Width: e.paperWidth, Height: e.paperHeight, Alt: e.alt(), Shapes: e.shapes}
}

// storey is a tier with its real size in mm and its place on paper.
type storey struct {
	document.Tier
	width, height            float64
	left, top, right, bottom float64 // on paper
}

func (s storey) middle() float64   { return (s.left + s.right) / 2 }
func (s storey) halfway() float64  { return (s.top + s.bottom) / 2 }
func (s storey) onPaper() float64  { return s.right - s.left }
func (s storey) tallness() float64 { return s.bottom - s.top }

type elevation struct {
	cake             document.Cake
	tiers            []storey
	widest, tallest  float64 // real, mm
	scale            float64 // paper mm for a real mm
	mostScale        float64 // a limit to it, 0 for none
	bare             bool    // without the labels that no tier holds
	paperWidth       float64
	paperHeight      float64
	labels           float64 // room left of the board for labels that no tier holds
	boardLeft, board float64 // where the board begins, and its width
	ground           float64 // where the lowest tier stands
	shapes           []document.Shape
}

// place finds the largest scale that leaves room for the dimensions. A tier
// too small to hold its label has it to its left, over the board where that
// reaches out far enough.
func (e *elevation) place(width, height float64) {
	heights := gutter + e.widestHeight() + 2*tick + 1
	if len(e.tiers) > 1 {
		heights += gutter + textWidth(e.cake.Height) + 1
	}
	e.fit(width, height, 0, heights)
	// A smaller scale makes labels stick out further, so look more than once.
	for range 8 {
		e.fit(width, height, math.Max(e.labels, e.missing()), heights)
	}
	if e.labels > mostLabels*width {
		// The words would leave no room for the cake; they stand beside the
		// picture too.
		e.bare = true
		e.fit(width, height, 0, heights)
	}
}

// mostLabels is the share of a picture that labels beside the cake may take.
const mostLabels = 0.33

func (e *elevation) fit(width, height, labels, heights float64) {
	across := math.Max(width-labels-heights, 10)
	upward := math.Max(height-footer-headroom-boardThick, 10)
	e.scale = math.Min(across/e.boardWide(), upward/e.tallest)
	if e.mostScale > 0 {
		e.scale = math.Min(e.scale, e.mostScale)
	}
	e.labels = labels
	e.paperWidth = labels + e.boardWide()*e.scale + heights
	// A stack flatter than the pile of its labels stands lower, for their sake.
	ground := e.tallest*e.scale + math.Max(headroom, float64(len(e.tiers))*lineHeight-e.tallest*e.scale)
	e.paperHeight = ground + boardThick + footer
	e.stand(e.scale, labels, ground)
}

// stand places the cake on ground, its board from left on.
func (e *elevation) stand(scale, left, ground float64) {
	e.scale, e.boardLeft, e.board, e.ground = scale, left, e.boardWide()*scale, ground
	axis, floor := e.boardLeft+e.board/2, e.ground
	for i := range e.tiers {
		t := &e.tiers[i]
		half := t.width * e.scale / 2
		t.left, t.right, t.bottom = axis-half, axis+half, floor
		floor -= t.height * e.scale
		t.top = floor
	}
}

// holds reports whether a tier has room inside for its portions above its
// width.
func (s storey) holds() bool {
	lines := 0.0
	for _, text := range []string{s.label(), s.Width} {
		if text != "" {
			lines++
		}
	}
	return s.tallness() >= lines*lineHeight+2.6 && s.onPaper() >= math.Max(textWidth(s.label()), textWidth(s.Width))+3
}

// missing returns how much room left of the board the labels need that stand
// outside.
func (e *elevation) missing() float64 {
	most := 0.0
	for _, l := range e.outside() {
		most = math.Max(most, textWidth(l.of.outsideLabel())+gutter-(l.x-e.boardLeft))
	}
	return most
}

// label is what stands in a tier besides its width.
func (s storey) label() string {
	if s.Dummy || s.Portions == "" {
		return s.Note
	}
	return s.Portions
}

func (s storey) outsideLabel() string {
	if s.label() == "" || s.Width == "" {
		return s.Width + s.label()
	}
	return s.Width + " · " + s.label()
}

func (e *elevation) widestHeight() float64 {
	w := 0.0
	for _, t := range e.tiers {
		w = math.Max(w, textWidth(t.Height))
	}
	return w
}

// textWidth estimates the width in mm of a label: a figure is about half as
// wide as the text is high, and 1 pt is 0.353 mm.
func textWidth(s string) float64 {
	return float64(len([]rune(s))) * 0.5 * labelSize * 0.353
}

// alt tells the picture in words.
func (e *elevation) alt() string {
	s := e.cake.Name
	for _, t := range e.tiers {
		s += "; " + t.Name + ": " + t.Size
	}
	return s
}
