package pdf

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/go-pdf/fpdf"

	"marchpane/templates/emblem"
)

// The room for a logo, in mm, and the pixels that print shows in it at some
// 400 to the inch.
const (
	logoWidth  = 72.0
	logoHeight = 24.0
	logoAcross = 1134
	logoDown   = 378
	logoBelow  = 2.0 // space under it
)

// logo makes room for the studio's logo, and reports false where there is none
// to show. One that cannot be shown gives way to the name, with a warning: a
// quotation goes out all the same.
func (p *quotePaper) logo() (block, bool) {
	picture := p.Look.Picture
	if picture.IsZero() {
		return block{}, false
	}
	mark, err := emblem.Read(picture, logoAcross, logoDown)
	if err != nil {
		p.warnings = append(p.warnings, fmt.Sprintf("the studio's logo cannot be shown, so its name stands there instead: the file %s", err))
		return block{}, false
	}
	k := min(logoWidth/mark.Width, logoHeight/mark.Height)
	width, height := k*mark.Width, k*mark.Height
	x := p.left + (p.width-width)/2
	return block{height: height + logoBelow, draw: func(c *canvas, y float64) {
		if mark.Bitmap != nil {
			c.bitmap(x, y, width, height, mark)
		} else {
			c.drawing(x, y, k, mark)
		}
	}}, true
}

// bitmap places the pixels of a logo.
func (c *canvas) bitmap(x, y, width, height float64, mark emblem.Logo) {
	options := fpdf.ImageOptions{ImageType: string(mark.Format)}
	c.pdf.RegisterImageOptionsReader("logo", options, bytes.NewReader(mark.Bitmap))
	c.pdf.ImageOptions("logo", x, y, width, height, false, options, 0, "")
}

// drawing draws the paths of a logo with its upper left corner at x, y, scaled
// by k. Nothing shows outside its edges.
func (c *canvas) drawing(x, y, k float64, mark emblem.Logo) {
	c.pdf.ClipRect(x, y, k*mark.Width, k*mark.Height, false)
	for _, p := range mark.Paths {
		c.pdf.TransformBegin()
		for _, clip := range p.Clips {
			c.trace(x, y, k, clip)
			c.pdf.RawWriteStr("W" + star(clip) + " n")
		}
		if p.Fill.Seen() {
			c.pdf.SetAlpha(p.Fill.Opacity, "Normal")
			c.pdf.SetFillColor(int(p.Fill.R), int(p.Fill.G), int(p.Fill.B))
			c.trace(x, y, k, p.Outline)
			c.pdf.DrawPath("F" + star(p.Outline))
		}
		if p.Stroke.Seen() {
			c.pdf.SetAlpha(p.Stroke.Opacity, "Normal")
			c.pdf.SetDrawColor(int(p.Stroke.R), int(p.Stroke.G), int(p.Stroke.B))
			c.pdf.RawWriteStr(c.pen(k, p.Pen))
			c.trace(x, y, k, p.Outline)
			c.pdf.DrawPath("D")
		}
		c.pdf.TransformEnd() // the pen that was in force before is so again
	}
	c.pdf.SetAlpha(1, "Normal")
	c.pdf.ClipEnd()
}

// star marks the even-odd rule in the operators of PDF.
func star(o emblem.Outline) string {
	if o.EvenOdd {
		return "*"
	}
	return ""
}

// pen returns the operators that set a pen. The library remembers the pen that
// it set, and would not set it again after the state has been restored.
func (c *canvas) pen(k float64, pen emblem.Pen) string {
	points := k / mmPerPoint
	var dashes []string
	for _, d := range pen.Dashes {
		dashes = append(dashes, fmt.Sprintf("%.3f", d*points))
	}
	return fmt.Sprintf("%.3f w %d J %d j %.3f M [%s] %.3f d", pen.Width*points, pen.Cap, pen.Join, pen.Miter, strings.Join(dashes, " "), pen.Offset*points)
}

func (c *canvas) trace(x, y, k float64, o emblem.Outline) {
	at := func(p emblem.Point) (float64, float64) { return x + k*p.X, y + k*p.Y }
	for _, s := range o.Segments {
		toX, toY := at(s.To)
		switch s.Kind {
		case emblem.Move:
			c.pdf.MoveTo(toX, toY)
		case emblem.Line:
			c.pdf.LineTo(toX, toY)
		case emblem.Curve:
			x1, y1 := at(s.C1)
			x2, y2 := at(s.C2)
			c.pdf.CurveBezierCubicTo(x1, y1, x2, y2, toX, toY)
		case emblem.Close:
			c.pdf.ClosePath()
		}
	}
}
