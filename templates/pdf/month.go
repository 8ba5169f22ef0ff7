package pdf

import (
	"io"

	"marchpane/templates/document"
)

// Month writes the cost report of a span of time: two pages. Its rows are as
// high as the pages let them be. The warnings are those of [Quote].
func Month(w io.Writer, d document.Month) (warnings []string, err error) {
	p := &monthPaper{
		quotePaper: quotePaper{Quote: document.Quote{
			Language: d.Language, Title: d.Title, Subject: d.Heading, Date: d.Date, Paper: d.Paper, Look: d.Look,
			Name: d.Heading + ", " + d.Span, Page: d.Page, Studio: document.Studio{Name: d.Studio}, Client: document.Section{Lines: []string{d.Span}},
		}},
		Month: d,
	}
	return p.write(w, "cost report", func() [][]placed {
		first := p.fill(firstTop, p.first)
		return [][]placed{first, p.fill(nextTop, p.second)}
	})
}

// monthPaper is a cost report on its way to paper.
type monthPaper struct {
	quotePaper
	Month document.Month
	row   float64 // height of a row, mm
}

// The heights that rows may have, in mm.
const (
	mostRow  = 4.9
	leastRow = 3.3
)

// fill sets a page with rows as high as it lets them be.
func (p *monthPaper) fill(top float64, set func() []block) []placed {
	room := p.pageHeight - bottomMargin - top
	var blocks []block
	for p.row = mostRow; ; p.row -= 0.1 {
		blocks = set()
		if height(blocks, true) <= room || p.row <= leastRow {
			break
		}
	}
	var page []placed
	y := top
	for i, b := range blocks {
		if i > 0 {
			y += b.above
		}
		page = append(page, placed{b, y})
		y += b.height
	}
	return page
}

// first is the page of the figures of the whole span.
func (p *monthPaper) first() []block {
	d := p.Month
	const gap = 9
	left := (p.width - gap) * 0.4
	right := p.width - gap - left
	blocks := p.head()
	blocks = append(blocks, p.table(d.Key, p.left, p.width, 0, 27, 27, 21, 27, 21)...)
	blocks = append(blocks, beside(sectionGap, p.table(d.Sales, p.left, left, 0, 27), p.table(d.Tax, p.left+left+gap, right, 0, 26, 24, 26)))
	blocks = append(blocks, p.table(d.Costs, p.left, p.width, 0, 27, 27, 25, 23, 20)...)
	return append(blocks, p.bridge(d.Bridge)...)
}

// second is the page of orders, quotes and accounts.
func (p *monthPaper) second() []block {
	d := p.Month
	const gap = 9
	half := (p.width - gap) / 2
	var blocks []block
	if len(d.Months.Rows) > 0 {
		blocks = append(blocks, p.table(d.Months, p.left, p.width, 0, 16, 27, 27, 27, 18, 30)...)
	}
	blocks = append(blocks, p.table(d.Orders, p.left, p.width, -18, 0, -19, 20, 20, 20, 20, 12)...)
	blocks = append(blocks, beside(sectionGap, p.table(d.Quotes, p.left, half, 0, 16, 27), p.table(d.Ages, p.left+half+gap, half, 0, 27, 15)))
	blocks = append(blocks, p.table(d.Accounts, p.left, p.width, -18, 0, -19, 19, 19, 19, 19, 17)...)
	for i, note := range d.Notes {
		for j, l := range p.wrap(note, monthNote, p.width) {
			b := textBlock(p.left, l)
			if i == 0 && j == 0 {
				b.above = 3
			}
			blocks = append(blocks, b)
		}
	}
	return blocks
}

const sectionGap = 4.2

var (
	monthOwner   = style{face: serif, size: 19, ink: accent, leading: 1.2}
	monthSection = style{face: serif, size: 12, ink: accent, leading: 1.2}
	monthNote    = style{face: sans, size: 7, ink: quiet, leading: 1.35}
)

// cell is the style of figures in a row, as large as its height lets it be.
func (p *monthPaper) cell(paint colour) style {
	return style{face: sans, size: min(8.8, p.row/mmPerPoint/1.36), ink: paint, leading: 1.2}
}

// head is the studio's name, what the paper is and of when.
func (p *monthPaper) head() []block {
	d := p.Month
	owner := p.shorten(d.Studio, monthOwner, p.width*0.5)
	span := p.shorten(d.Span, monthOwner, p.width*0.48)
	what := p.shorten(d.Heading, small, p.width*0.4)
	about := p.shorten(d.Reference, small, p.width*0.58)
	return []block{{height: monthOwner.height() + small.height() + 3, draw: func(c *canvas, y float64) {
		c.text(p.left, y+monthOwner.ascent(), owner)
		c.textEnd(p.right(), y+monthOwner.ascent(), span)
		y += monthOwner.height()
		c.text(p.left, y+small.ascent(), what)
		c.textEnd(p.right(), y+small.ascent(), about)
	}}}
}

// section heads a table, over a rule.
func (p *monthPaper) section(title string, x, width float64) block {
	l := p.shorten(title, monthSection, width)
	return block{above: sectionGap, height: monthSection.height() + 1.4, draw: func(c *canvas, y float64) {
		c.text(x, y+monthSection.ascent(), l)
		c.rule(x, y+monthSection.height()+0.5, width, accent)
	}}
}

// table sets a table at x. Widths are those of its columns; one of 0 takes what
// the others leave. It and those below 0 hold words and stand left.
func (p *monthPaper) table(t document.MonthTable, x, width float64, widths ...float64) []block {
	blocks := []block{p.section(t.Heading, x, width)}
	rest := width
	for _, w := range widths {
		rest -= max(w, -w)
	}
	add := func(cells []string, paint colour, total bool) {
		h, st := p.row, p.cell(paint)
		base := (h + st.size*mmPerPoint*0.68) / 2
		lines, lefts := make([]line, len(cells)), make([]float64, len(cells))
		at := x
		for i, text := range cells {
			w := max(widths[i], -widths[i])
			if widths[i] == 0 {
				w = rest
			}
			lefts[i] = at
			if widths[i] > 0 {
				lines[i] = p.narrow(text, st, w-1.5)
				lefts[i] = at + w - lines[i].width
			} else {
				lines[i] = p.shorten(text, st, w-1.5)
			}
			at += w
		}
		blocks = append(blocks, block{height: h, draw: func(c *canvas, y float64) {
			if total {
				c.fill(x, y, width, h, cream)
			}
			for i, l := range lines {
				c.text(lefts[i], y+base, l)
			}
			c.rule(x, y+h, width, rule)
		}})
	}
	if len(t.Rows) == 0 && t.Empty != "" {
		return append(blocks, textBlock(x, p.shorten(t.Empty, small, width)))
	}
	add(t.Columns, quiet, false)
	for _, r := range t.Rows {
		add(r, ink, false)
	}
	if t.Total != nil {
		add(t.Total, ink, true)
	}
	return blocks
}

// narrow sets a figure on one line, smaller where its column is too narrow.
func (p *monthPaper) narrow(s string, st style, width float64) line {
	l := p.line(s, st)
	if l.width > width {
		st.size *= width / l.width
		l = p.line(s, st)
	}
	return l
}

// bridge draws a bar a step, each from where the one before ends: margins in
// the accent, rises outlined, falls filled.
func (p *monthPaper) bridge(b document.MonthBridge) []block {
	const labels, amounts = 66.0, 27.0
	left, span := p.left+labels, p.width-labels-amounts
	blocks := []block{p.section(b.Heading, p.left, p.width)}
	for i, s := range b.Steps {
		h, st := p.row, p.cell(ink)
		base := (h + st.size*mmPerPoint*0.68) / 2
		label, amount := p.shorten(s.Label, st, labels-3), p.narrow(s.Amount, st, amounts-2)
		blocks = append(blocks, block{height: h, draw: func(c *canvas, y float64) {
			c.text(p.left, y+base, label)
			c.textEnd(p.right(), y+base, amount)
			x, w := left+s.From*span, max((s.To-s.From)*span, 0.25)
			switch {
			case s.Margin:
				c.fill(x, y+h*0.16, w, h*0.68, accent)
			case s.Rise:
				c.fill(x, y+h*0.16, w, h*0.68, rule)
				c.drawIn(quiet)
				c.pdf.SetLineWidth(0.2)
				c.pdf.Rect(x, y+h*0.16, w, h*0.68, "D")
			default:
				c.fill(x, y+h*0.16, w, h*0.68, quiet)
			}
			c.drawIn(quiet)
			c.pdf.SetLineWidth(0.15)
			c.pdf.Line(left+b.Zero*span, y, left+b.Zero*span, y+h)
			if i < len(b.Steps)-1 { // the height that the next bar starts from
				end := left + s.End*span
				c.pdf.Line(end, y+h*0.84, end, y+h*1.16)
			}
		}})
	}
	return blocks
}
