package pdf

import (
	"io"
	"slices"
	"strings"

	"marchpane/templates/document"
)

// kitchenMargin is that of papers for the kitchen and the shop, which hold more
// than a letter does.
const kitchenMargin = 15.0

// Production writes the plan of the kitchen as a PDF: for the wall, on its side
// and in large type, what to make on which day; then each day task by task, the
// orders and what does not fit; then recipe cards, two to a page. The warnings
// are those of [Quote].
func Production(w io.Writer, d document.Production) (warnings []string, err error) {
	p := &productionPaper{d: d, quotePaper: quotePaper{Quote: document.Quote{
		Language: d.Language, Title: d.Title, Subject: d.Span, Date: d.Date, Paper: d.Paper, Look: d.Look,
		Heading: d.Heading, Name: d.Heading + ", " + d.Span, Page: d.Page, Studio: document.Studio{Name: d.Studio},
		Client: document.Section{Lines: []string{d.Span}},
	}}}
	return p.write(w, "production plan", func() [][]placed {
		p.left, p.width = kitchenMargin, p.width+2*(margin-kitchenMargin)
		wall := p.wall()
		p.turned = len(wall)
		for _, day := range d.Days {
			p.day(day)
		}
		p.deadlines()
		p.notes(d.Clashes, "", body)
		p.notes(d.Notes, "", smallInk)
		list := sheet{first: nextTop, top: nextTop, bottom: p.pageHeight - bottomMargin}.paginate(p.blocks)
		if len(p.blocks) == 0 {
			list = nil
		}
		cards := p.cards()
		p.headless = len(cards)
		return slices.Concat(wall, list, cards)
	})
}

// productionPaper is the plan of the kitchen on its way to paper.
type productionPaper struct {
	quotePaper
	d document.Production
}

// The columns of a day, in mm from the left.
const (
	timeWidth  = 14.0
	whoWidth   = 38.0
	spentWidth = 22.0
	forWidth   = 24.0
)

// day is one day, task by task.
func (p *productionPaper) day(d document.ProductionDay) {
	p.section(d.Heading, 7)
	what := p.width - timeWidth - whoWidth - spentWidth - forWidth - 2*figureGap
	who := p.left + timeWidth + what + figureGap
	head := func(more bool) block {
		label := p.d.Columns.What
		if more && p.More != "" {
			label = d.Heading + ", " + p.d.More
		}
		names := []line{p.line(p.d.Columns.Time, small), p.shorten(label, small, what), p.line(p.d.Columns.Who, small), p.line(p.d.Columns.Minutes, small), p.line(p.d.Columns.Orders, small)}
		return block{height: small.height() + 1.6, keep: true, draw: func(c *canvas, y float64) {
			base := y + small.ascent()
			c.text(p.left, base, names[0])
			c.text(p.left+timeWidth, base, names[1])
			c.text(who, base, names[2])
			c.textEnd(who+whoWidth+spentWidth, base, names[3])
			c.text(who+whoWidth+spentWidth+figureGap, base, names[4])
			c.rule(p.left, y+small.height()+0.5, p.width, rule)
		}}
	}
	p.add(head(false))
	t := &table{heading: head(true)}
	for _, r := range d.Rows {
		p.task(r, t, what, who)
	}
	// The loads belong to the day: they do not stand alone on the next page.
	p.blocks[len(p.blocks)-1].keep = len(d.Loads) > 0
	for i, l := range d.Loads {
		st := smallInk
		if l.Over {
			st = style{face: sans, size: 9.5, ink: accent, leading: 1.42}
		}
		for j, text := range p.wrap(l.Text, st, p.width-6) {
			b := block{height: st.height(), draw: func(c *canvas, y float64) {
				if l.Over && j == 0 {
					c.caution(p.left, y+st.ascent()-2.7, 3.2)
				}
				c.text(p.left+6, y+st.ascent(), text)
			}, keep: i < len(d.Loads)-1}
			if i == 0 && j == 0 {
				b.above = 1.5
			}
			p.add(b)
		}
	}
}

// task is one row of a day.
func (p *productionPaper) task(r document.ProductionRow, t *table, what, who float64) {
	st := body
	if r.Wait {
		st = bodyQuiet
	}
	lines := slices.Concat(p.wrap(r.What, st, what), p.wrap(r.Note, small, what))
	right := [][]line{p.wrap(r.Who, st, whoWidth-2), p.wrap(whole(r.Orders), small, forWidth)}
	start, minutes := p.line(r.Time, st), p.line(r.Minutes, st)
	n := max(len(lines), len(right[0]), len(right[1]), 1)
	h := 1.8
	for i := range n {
		step := st.height()
		if i < len(lines) {
			step = lines[i].style.height()
		}
		h += step
	}
	p.add(block{height: h, table: t, draw: func(c *canvas, y float64) {
		base := y + 0.9 + st.ascent()
		c.text(p.left, base, start)
		c.textEnd(who+whoWidth+spentWidth, base, minutes)
		at := y + 0.9
		for _, l := range lines {
			c.text(p.left+timeWidth, at+l.style.ascent(), l)
			at += l.style.height()
		}
		for i, column := range right {
			x := []float64{who, who + whoWidth + spentWidth + figureGap}[i]
			for j, l := range column {
				c.text(x, base+float64(j)*st.height(), l)
			}
		}
		c.rule(p.left, y+h, p.width, rule)
	}})
}

// whole keeps the number of an order on one line.
func whole(refs string) string { return strings.ReplaceAll(refs, "-", "\u2011") }

// deadlines lists the orders and when they are due.
func (p *productionPaper) deadlines() {
	if len(p.d.Deadlines.Rows) == 0 {
		return
	}
	p.section(p.d.Deadlines.Heading, 7)
	for _, o := range p.d.Deadlines.Rows {
		p.paragraph(p.left, p.wrap(o.Name, name, p.width), 1.5, true)
		lines := p.wrap(strings.Join([]string{o.StartBy, o.Begins, o.HandOver}, "  ·  "), body, p.width)
		p.paragraph(p.left, lines, 0, false)
	}
}

// caution draws the sign that warns: a triangle with a mark of exclamation.
func (c *canvas) caution(x, y, side float64) {
	c.drawIn(accent)
	c.fillIn(accent)
	c.pdf.SetLineWidth(side * 0.09)
	c.pdf.MoveTo(x+side/2, y)
	c.pdf.LineTo(x+side, y+side*0.88)
	c.pdf.LineTo(x, y+side*0.88)
	c.pdf.ClosePath()
	c.pdf.DrawPath("D")
	c.pdf.Rect(x+side*0.455, y+side*0.33, side*0.09, side*0.28, "F")
	c.pdf.Rect(x+side*0.455, y+side*0.67, side*0.09, side*0.09, "F")
}

// scaled returns a style k times as large.
func (s style) scaled(k float64) style {
	s.size *= k
	return s
}
