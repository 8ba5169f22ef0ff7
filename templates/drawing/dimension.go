package drawing

import (
	"fmt"
	"math"

	"marchpane/templates/document"
)

// drawLabels writes each tier's portions and width, inside it or, where it is
// too small for that, beside it.
func (e *elevation) drawLabels() {
	for _, t := range e.tiers {
		if !t.holds() {
			continue
		}
		above := t.bottom
		if t.Width != "" {
			y := t.bottom - 2
			e.widthLine(t, y)
			e.text(t.middle(), y-1, document.Middle, document.QuietTone, t.Width)
			above = y - lineHeight
		}
		// Halfway between the top and the line of the width.
		y := math.Min(above-0.4, (t.top+above)/2+1.3)
		if t.Dummy && t.label() != "" { // clear of the hatching
			half := textWidth(t.label())/2 + 0.5
			p := box(t.middle()-half, y-2.5, t.middle()+half, y+0.9)
			p.Fill = document.CakeTone
			e.add(p)
		}
		e.text(t.middle(), y, document.Middle, t.tone(), t.label())
	}
	for _, l := range e.outside() {
		e.text(l.x-0.8, l.y+0.9, document.End, l.of.tone(), l.of.outsideLabel())
		e.stroke(l.x, l.y, l.of.left, l.of.halfway())
	}
}

// beside is a label left of its tier: x is where its leader begins.
type beside struct {
	of   storey
	x, y float64
}

// outside places the labels of the tiers too small to hold theirs.
func (e *elevation) outside() []beside {
	if e.bare {
		return nil
	}
	var tiers []storey
	for _, t := range e.tiers {
		if !t.holds() {
			tiers = append(tiers, t)
		}
	}
	labels := make([]beside, len(tiers))
	for i, y := range spread(tiers, e.ground, 0) {
		labels[i] = beside{tiers[i], e.leftAt(y, tiers[i]) - gutter, y}
	}
	return labels
}

// leftAt returns the leftmost edge of t and of all that a label at height y
// would run into.
func (e *elevation) leftAt(y float64, t storey) float64 {
	left := t.left
	for _, other := range e.tiers {
		if other.top < y+lineHeight/2 && other.bottom > y-lineHeight/2 {
			left = math.Min(left, other.left)
		}
	}
	return left
}

func (s storey) tone() document.Tone {
	if s.Kept {
		return document.KeptTone
	}
	return document.InkTone
}

// spread returns a height for the label of each tier, lowest tier first:
// halfway up the tier, or as near to it as the label below lets it be. Where
// the pile would climb over ceiling it is pushed down again.
func spread(tiers []storey, floor, ceiling float64) []float64 {
	ys := make([]float64, len(tiers))
	limit := floor
	for i, t := range tiers {
		ys[i] = math.Min(t.halfway(), limit)
		limit = ys[i] - lineHeight
	}
	limit = ceiling + lineHeight/2
	for i := len(ys) - 1; i >= 0; i-- {
		ys[i] = math.Max(ys[i], limit)
		limit = ys[i] + lineHeight
	}
	return ys
}

// widthLine is the dimension line of a tier's width, edge to edge.
func (e *elevation) widthLine(t storey, y float64) {
	e.stroke(t.left, y, t.right, y)
	e.stroke(t.left+0.05, y-tick/2, t.left+0.05, y+tick/2)
	e.stroke(t.right-0.05, y-tick/2, t.right-0.05, y+tick/2)
}

// drawHeights draws the chain of heights to the right, and that of the whole
// stack beyond it.
func (e *elevation) drawHeights() {
	x := e.boardLeft + e.board + gutter
	top := e.tiers[len(e.tiers)-1].top
	e.heightLine(x, e.ground, top)
	labels := spread(e.tiers, e.ground, 0)
	for i, t := range e.tiers {
		e.stroke(x-tick, t.top, x+tick, t.top)
		e.stroke(t.right+0.8, t.top, x-tick-0.6, t.top)
		e.text(x+tick+0.6, labels[i]+0.9, document.Start, document.QuietTone, t.Height)
	}
	if len(e.tiers) > 1 {
		x += tick + 1 + e.widestHeight() + gutter
		e.heightLine(x, e.ground, top)
		e.stroke(x-tick, top, x+tick, top)
		e.text(x+tick+0.6, (e.ground+top)/2+0.9, document.Start, document.InkTone, e.cake.Height)
	}
}

func (e *elevation) heightLine(x, from, to float64) {
	e.stroke(x, from, x, to)
	e.stroke(x-tick, from, x+tick, from)
}

// drawScaleBar draws the bar under the board.
func (e *elevation) drawScaleBar() {
	bar := newScaleBar(e.cake.Unit, e.boardWide(), e.scale)
	for _, s := range bar.draw(e.boardLeft, e.ground+boardThick+3.6) {
		e.add(s)
	}
}

// scaleBar is a length that is easy to read.
type scaleBar struct {
	width float64 // on paper
	text  string
}

// newScaleBar picks a length of at most a third of a board, whose real width in
// mm it is given, where one so short exists.
func newScaleBar(counted document.LengthUnit, board, scale float64) scaleBar {
	unit, steps := 10.0, []float64{1, 2, 5, 10, 20, 50, 100, 200, 500}
	if counted == document.Inches {
		unit, steps = 25.4, []float64{1, 2, 4, 8, 12, 24, 48, 96, 240}
	}
	best := steps[0]
	for _, s := range steps {
		if s*unit <= board/3 {
			best = s
		}
	}
	return scaleBar{best * unit * scale, fmt.Sprintf("%g\u00a0%s", best, counted)}
}

// draw draws the bar from x, y on, with its length to the right.
func (b scaleBar) draw(x, y float64) []document.Shape {
	var shapes []document.Shape
	for i := range 2 { // two fields, the first filled
		p := box(x+float64(i)*b.width/2, y, x+float64(i+1)*b.width/2, y+0.8)
		p.Stroke, p.Weight = document.QuietTone, hairline
		if i == 0 {
			p.Fill = document.QuietTone
		}
		shapes = append(shapes, p)
	}
	return append(shapes, document.Label{At: document.Point{X: x + b.width + 1.5, Y: y + 1.4}, Text: b.text, Size: labelSize, Anchor: document.Start, Tone: document.QuietTone})
}

func (e *elevation) stroke(x1, y1, x2, y2 float64) {
	e.add(document.Path{Start: document.Point{X: x1, Y: y1}, Segments: lines(document.Point{X: x2, Y: y2}),
		Stroke: document.QuietTone, Weight: hairline})
}

func (e *elevation) text(x, y float64, anchor document.Anchor, tone document.Tone, s string) {
	if s == "" {
		return
	}
	e.add(document.Label{At: document.Point{X: x, Y: y}, Text: s, Size: labelSize, Anchor: anchor, Tone: tone})
}
