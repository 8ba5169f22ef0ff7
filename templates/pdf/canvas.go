package pdf

import (
	"bytes"
	"fmt"
	"net/url"
	"time"

	"github.com/go-pdf/fpdf"

	"marchpane/templates/document"
)

// canvas draws on the pages of one document. Coordinates are mm from the upper
// left corner of the paper.
type canvas struct {
	pdf           *fpdf.Fpdf
	width, height float64
	loaded        map[*face]bool
	face          *face // in force on this page, with size and spacing
	size, spacing float64
	palette       palette
}

func newCanvas(paper document.Paper, look document.Look) *canvas {
	size := "A4"
	if paper == document.Letter {
		size = "Letter"
	}
	c := &canvas{pdf: fpdf.New("P", "mm", size, ""), loaded: map[*face]bool{}, palette: paletteOf(look.Accent)}
	c.width, c.height = c.pdf.GetPageSize()
	c.pdf.SetAutoPageBreak(false, 0)
	c.pdf.SetCatalogSort(true)
	return c
}

// describe sets what a reader's window shows of the file.
func (c *canvas) describe(title, author, subject, language string, on time.Time) {
	c.pdf.SetTitle(title, true)
	c.pdf.SetAuthor(author, true)
	c.pdf.SetSubject(subject, true)
	c.pdf.SetLang(language)
	c.pdf.SetCreator("marchpane", false)
	c.pdf.SetProducer("marchpane", false)
	c.pdf.SetCreationDate(on)
	c.pdf.SetModificationDate(on)
	c.pdf.SetDisplayMode("fullpage", "continuous")
}

func (c *canvas) addPage() {
	c.pdf.AddPage()
	c.face, c.size, c.spacing = nil, 0, 0
}

// text draws l with its base line's left end at x, y.
func (c *canvas) text(x, y float64, l line) {
	paint := c.palette[l.style.ink]
	c.pdf.SetTextColor(paint.r, paint.g, paint.b)
	for _, r := range l.runs {
		if spacing := r.spacing * l.style.size / 1000; spacing != c.spacing {
			c.pdf.RawWriteStr(fmt.Sprintf("%.3f Tc", spacing))
			c.spacing = spacing
		}
		c.use(r.face, l.style.size)
		x += r.move
		c.pdf.Text(x, y, r.text)
		x += r.wide
	}
}

// textEnd draws l with its right end at x, textMiddle with its middle there.
func (c *canvas) textEnd(x, y float64, l line)    { c.text(x-l.width, y, l) }
func (c *canvas) textMiddle(x, y float64, l line) { c.text(x-l.width/2, y, l) }

// use puts a face in force. The document gets it on its first use.
func (c *canvas) use(f *face, size float64) {
	if c.face == f && c.size == size {
		return
	}
	if !c.loaded[f] {
		// The library extends slices of the file it is given, into the bytes
		// that follow them: no two documents may share it.
		c.pdf.AddUTF8FontFromBytes(f.family, "", bytes.Clone(f.ttf))
		c.loaded[f] = true
	}
	c.pdf.SetFont(f.family, "", size)
	c.face, c.size = f, size
}

// mail links an area to an address.
func (c *canvas) mail(x, y, w, h float64, address string) {
	c.pdf.LinkString(x, y, w, h, (&url.URL{Scheme: "mailto", Opaque: url.PathEscape(address)}).String())
}

func (c *canvas) fillIn(paint colour) {
	p := c.palette[paint]
	c.pdf.SetFillColor(p.r, p.g, p.b)
}

func (c *canvas) drawIn(paint colour) {
	p := c.palette[paint]
	c.pdf.SetDrawColor(p.r, p.g, p.b)
}

// rule draws a hairline to the right from x, y.
func (c *canvas) rule(x, y, w float64, paint colour) {
	c.drawIn(paint)
	c.pdf.SetLineWidth(0.2)
	c.pdf.Line(x, y, x+w, y)
}

// fill paints an area.
func (c *canvas) fill(x, y, w, h float64, paint colour) {
	c.fillIn(paint)
	c.pdf.Rect(x, y, w, h, "F")
}

// diamond paints a small square on its corner around x, y.
func (c *canvas) diamond(x, y, r float64, paint colour) {
	c.fillIn(paint)
	c.pdf.Polygon([]fpdf.PointType{{X: x, Y: y - r}, {X: x + r, Y: y}, {X: x, Y: y + r}, {X: x - r, Y: y}}, "F")
}

// stamp writes l large and slanting across the page.
func (c *canvas) stamp(l line) {
	c.pdf.TransformBegin()
	c.pdf.TransformRotate(45, c.width/2, c.height/2)
	c.textMiddle(c.width/2, c.height/2+l.style.size*mmPerPoint*0.3, l)
	c.pdf.TransformEnd()
	c.face = nil // the state before the turn is in force again
	c.spacing = 0
}

// picture draws p with its upper left corner at x, y, scaled by k. Its labels
// have been set before; see [setLabels].
func (c *canvas) picture(x, y, k float64, p document.Picture, labels map[int]line) {
	for i, s := range p.Shapes {
		switch s := s.(type) {
		case document.Path:
			c.path(x, y, k, s)
		case document.Label:
			l, at := labels[i], x+k*s.At.X
			switch s.Anchor {
			case document.Middle:
				at -= l.width / 2
			case document.End:
				at -= l.width
			}
			c.text(at, y+k*s.At.Y, l)
		}
	}
}

func (c *canvas) path(x, y, k float64, p document.Path) {
	mode := ""
	if paint, ok := tones[p.Fill]; ok {
		c.fillIn(paint)
		mode = "F"
	}
	if paint, ok := tones[p.Stroke]; ok {
		c.drawIn(paint)
		c.pdf.SetLineWidth(p.Weight)
		mode += "D"
	}
	if mode == "" {
		return
	}
	if p.Dashed {
		c.pdf.SetDashPattern([]float64{1.2, 0.9}, 0)
	}
	at := func(p document.Point) (float64, float64) { return x + k*p.X, y + k*p.Y }
	c.pdf.MoveTo(at(p.Start))
	for _, s := range p.Segments {
		toX, toY := at(s.To)
		if s.Curved {
			x1, y1 := at(s.First)
			x2, y2 := at(s.Second)
			c.pdf.CurveBezierCubicTo(x1, y1, x2, y2, toX, toY)
		} else {
			c.pdf.LineTo(toX, toY)
		}
	}
	if p.Closed {
		c.pdf.ClosePath()
	}
	c.pdf.DrawPath(mode)
	if p.Dashed {
		c.pdf.SetDashPattern(nil, 0)
	}
}
