package pdf

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"marchpane/templates/document"
)

// The room for a picture with its tiers listed beside it, in mm.
const (
	pictureWidth  = 92.0
	pictureHeight = 70.0
	besideTiers   = 4 // more of them are listed below
)

// PictureSize returns the room in mm for the picture of a cake with so many
// tiers: what to ask of whoever draws it. A larger one is scaled down.
func PictureSize(tiers int) (width, height float64) {
	if tiers > besideTiers {
		return 160, 96
	}
	return pictureWidth, pictureHeight
}

const (
	margin       = 21.0 // left and right of the text
	firstTop     = 13.0 // where the first page begins
	nextTop      = 26.0 // where others do, under their running head
	bottomMargin = 18.0
	column       = 6.0 // between columns
)

// Quote writes q as a PDF. The warnings name characters that could not be
// printed and what stands in their place; they are for the studio to mend
// before the paper goes out.
func Quote(w io.Writer, q document.Quote) (warnings []string, err error) {
	p := &quotePaper{Quote: q}
	return p.write(w, "quotation", p.layOut)
}

// write lays the paper out and writes it; kind is what it is, for errors.
func (p *quotePaper) write(w io.Writer, kind string, layOut func() [][]placed) (warnings []string, err error) {
	what := fmt.Sprintf("write the %s for %q as a PDF", kind, firstLine(p.Client))
	defer func() {
		// The library panics on what it cannot take. All known causes are
		// cleaned away before; one more must not bring down the program.
		if fault := recover(); fault != nil {
			err = fmt.Errorf("%s: the PDF library refused it (%v); simplify unusual characters in names and terms", what, fault)
		}
	}()
	c := newCanvas(p.Paper, p.Look)
	p.left, p.width, p.pageHeight = margin, c.width-2*margin, c.height
	pages := layOut()
	p.describe(c)
	p.draw(c, pages)
	var file bytes.Buffer
	err = c.pdf.Output(&file)
	if err == nil {
		_, err = w.Write(nameSubsets(file.Bytes()))
	}
	if err != nil {
		return p.warnings, fmt.Errorf("%s: %w", what, err)
	}
	return p.warnings, nil
}

func firstLine(s document.Section) string {
	if len(s.Lines) == 0 {
		return ""
	}
	return s.Lines[0]
}

// quotePaper is a quotation on its way to paper.
type quotePaper struct {
	document.Quote
	typesetter
	left, width, pageHeight float64
	blocks                  []block
	turned                  int // how many of the first pages lie on their side, without a running head
	headless                int // how many of the last pages have no running head
}

func (p *quotePaper) right() float64 { return p.left + p.width }

// layOut sets everything and places it on pages.
func (p *quotePaper) layOut() [][]placed {
	p.masthead()
	p.opening()
	p.changes()
	p.comparison()
	if len(p.Options) > 0 {
		p.options()
	} else {
		p.offer()
	}
	p.notes(p.Terms, "%d.", smallInk)
	p.acceptance()
	return p.paginate()
}

// paginate places on pages what has been added.
func (p *quotePaper) paginate() [][]placed {
	return sheet{first: firstTop, top: nextTop, bottom: p.pageHeight - bottomMargin}.paginate(p.blocks)
}

// draw draws the pages with their running heads, feet and mark.
func (p *quotePaper) draw(c *canvas, pages [][]placed) {
	stamp := p.stamp(c)
	for i, blocks := range pages {
		if i < p.turned {
			p.wallPage(c, blocks, i+1, len(pages))
			continue
		}
		c.addPage()
		if stamp.width > 0 {
			c.stamp(stamp)
		}
		if i > 0 && i < len(pages)-p.headless {
			p.runningHead(c)
		}
		for _, b := range blocks {
			b.draw(c, b.y)
		}
		p.foot(c, i+1, len(pages))
	}
}

// mark is what every page says of a paper that does not count.
func (p *quotePaper) mark() string {
	if p.Mark != "" {
		return p.Mark
	}
	return p.Draft
}

// stamp sets the mark as large as the page lets it be.
func (p *quotePaper) stamp(c *canvas) line {
	st := style{face: serif, size: 130, ink: ghost, spacing: 60, leading: 1}
	l := p.line(p.mark(), st)
	if most := 1.15 * c.width; l.width > most {
		st.size *= most / l.width
		l = p.line(p.mark(), st)
	}
	return l
}

func (p *quotePaper) runningHead(c *canvas) {
	y := 17.0
	owner := p.shorten(p.Studio.Name, style{face: serif, size: 12, ink: accent, leading: 1.2}, p.width/2)
	c.text(p.left, y, owner)
	c.textEnd(p.right(), y, p.shorten(p.Name, small, p.width/2-column))
	c.rule(p.left, y+2.6, p.width, rule)
}

func (p *quotePaper) foot(c *canvas, page, pages int) {
	y := p.pageHeight - 11
	c.rule(p.left, y-4.2, p.width, rule)
	number := p.line(fmt.Sprintf(p.Page, page, pages), footer)
	c.textEnd(p.right(), y, number)
	about := p.Studio.Name
	if p.Studio.TaxNumber != "" {
		about += "  ·  " + p.Studio.TaxNumber
	}
	c.text(p.left, y, p.shorten(about, footer, p.width-number.width-column))
	if mark := p.mark(); mark != "" {
		c.textMiddle(p.left+p.width/2, y, p.line(mark, style{face: sans, size: 7.5, ink: accent, spacing: 120, leading: 1.4}))
	}
}

// describe tells readers' software what the file is.
func (p *quotePaper) describe(c *canvas) {
	on := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // a paper without a date must repeat too
	if !p.Date.IsZero() {
		on = p.Date.Time()
	}
	c.describe(p.plain(p.Title), p.plain(p.Studio.Name), p.plain(p.Subject), p.Language, on)
}

// plain returns s in the order of reading, for what is not set in type.
func (p *quotePaper) plain(s string) string {
	runes := letters(s)
	for i, r := range runes {
		if r > 0xFFFF { // the PDF library garbles it
			runes[i] = substitute
		}
	}
	return string(runes)
}

// add appends blocks.
func (p *quotePaper) add(blocks ...block) { p.blocks = append(p.blocks, blocks...) }

// paragraph adds lines at x, one block each, never leaving one line of several
// alone on a page. The first has space above it; all may be kept with what
// follows.
func (p *quotePaper) paragraph(x float64, lines []line, above float64, keep bool) {
	for i, l := range lines {
		b := textBlock(x, l)
		if i == 0 {
			b.above = above
		}
		b.keep = keep || i == 0 && len(lines) > 1 || i == len(lines)-2
		p.add(b)
	}
}

func textBlock(x float64, l line) block {
	return block{height: l.style.height(), draw: func(c *canvas, y float64) {
		c.text(x, y+l.style.ascent(), l)
	}}
}

// label sets a small heading in capitals.
func (p *quotePaper) label(s string) line { return p.line(strings.ToUpper(s), eyebrow) }

// section adds a heading that stays with what follows.
func (p *quotePaper) section(title string, above float64) {
	l := p.shorten(title, heading, p.width)
	p.add(block{above: above, height: heading.height() + 2.4, keep: true, draw: func(c *canvas, y float64) {
		c.text(p.left, y+heading.ascent(), l)
		c.rule(p.left, y+heading.height()+0.6, p.width, rule)
	}})
}
