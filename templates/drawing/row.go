package drawing

import (
	"math"
	"strings"

	"marchpane/templates/document"
)

// Sizes between the cakes of a row, in mm.
const (
	between     = 8.0
	captionDrop = 3.0 // from a picture to its caption
	edge        = 2.0 // of the whole: letters may be wider than they are taken to be
)

// Row draws cakes side by side on one ground and at one scale, the largest at
// which each keeps to a field of at most width × height mm, with its name and
// its portions below. Cakes that [Elevation] cannot draw are left out.
func Row(cakes []document.Cake, width, height float64) document.Picture {
	var row []*elevation
	scale := math.Inf(1)
	for _, c := range cakes {
		if e := newElevation(c); e != nil {
			e.place(width, height)
			scale = math.Min(scale, e.scale)
			row = append(row, e)
		}
	}
	// A smaller scale can push labels out of their tiers, and their room makes
	// it smaller still.
	for range 6 {
		for _, e := range row {
			e.mostScale = scale
			e.place(width, height)
		}
		for _, e := range row {
			scale = math.Min(scale, e.scale)
		}
	}
	ground := 0.0
	for _, e := range row {
		ground = math.Max(ground, e.ground)
	}
	var p document.Picture
	var alts []string
	for _, e := range row {
		if p.Width > 0 {
			p.Width += between
		} else {
			p.Width = edge
		}
		down := ground - e.ground
		picture := e.draw()
		for _, s := range picture.Shapes {
			p.Shapes = append(p.Shapes, moved(s, p.Width, down))
		}
		x, y, wide := p.Width+e.labels, down+picture.Height+captionDrop, picture.Width
		for i, line := range []string{e.cake.Name, e.cake.Portions} {
			tone := document.InkTone
			if i > 0 {
				tone = document.QuietTone
			}
			p.Shapes = append(p.Shapes, document.Label{At: document.Point{X: x, Y: y}, Text: line, Size: labelSize, Anchor: document.Start, Tone: tone})
			wide = math.Max(wide, e.labels+textWidth(line))
			y += lineHeight
		}
		p.Width += wide
		p.Height = math.Max(p.Height, y)
		alts = append(alts, picture.Alt)
	}
	if p.Width > 0 {
		p.Width += edge
	}
	p.Alt = strings.Join(alts, ". ")
	return p
}

// moved returns a shape elsewhere.
func moved(s document.Shape, x, y float64) document.Shape {
	shift := func(p document.Point) document.Point { return document.Point{X: p.X + x, Y: p.Y + y} }
	switch s := s.(type) {
	case document.Label:
		s.At = shift(s.At)
		return s
	case document.Path:
		s.Start = shift(s.Start)
		segments := make([]document.Segment, len(s.Segments))
		for i, g := range s.Segments {
			segments[i] = document.Segment{To: shift(g.To), Curved: g.Curved, First: shift(g.First), Second: shift(g.Second)}
		}
		s.Segments = segments
		return s
	}
	return s
}
