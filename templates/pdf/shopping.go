package pdf

import (
	"io"

	"marchpane/templates/document"
)

// Shopping writes a shopping list as a PDF to take along: a box to tick before
// each thing, and large what to put into it: so many packs. The warnings are
// those of [Quote].
func Shopping(w io.Writer, d document.Shopping) (warnings []string, err error) {
	p := &shoppingPaper{d: d, quotePaper: quotePaper{Quote: document.Quote{
		Language: d.Language, Title: d.Title, Subject: d.Heading, Date: d.Date, Paper: d.Paper, Look: d.Look,
		Heading: d.Heading, Name: d.Heading, Page: d.Page, More: d.More, Studio: document.Studio{Name: d.Studio},
		Client: document.Section{Lines: []string{d.Heading}},
	}}}
	return p.write(w, "shopping list", func() [][]placed {
		p.left, p.width = kitchenMargin, p.width+2*(margin-kitchenMargin)
		p.head()
		for _, g := range d.Groups {
			p.group(g)
		}
		p.empty()
		p.totals()
		p.notes(d.Check, "", body)
		for _, s := range d.Leftovers {
			p.notes(s, "", body)
		}
		p.notes(d.Stocked, "", smallInk)
		p.notes(d.Skipped, "", smallInk)
		p.notes(d.Cautions, "", smallInk)
		return p.paginate()
	})
}

// shoppingPaper is a shopping list on its way to paper.
type shoppingPaper struct {
	quotePaper
	d document.Shopping
}

// The columns of the list, in mm.
const (
	tickWidth  = 8.0
	packsWidth = 48.0
	needWidth  = 19.0
	priceWidth = 19.0
	payWidth   = 20.0
	leftWidth  = 18.0
)

var packsStyle = style{face: serif, size: 13, ink: ink, leading: 1.2}

// head is the name of the paper beside that of the studio, and what the list
// is for.
func (p *shoppingPaper) head() {
	title := p.line(p.d.Heading, studioName)
	owner := p.shorten(p.d.Studio, paperName.scaled(0.8), p.width-title.width-column)
	p.add(block{height: studioName.height() + 3, draw: func(c *canvas, y float64) {
		c.text(p.left, y+studioName.ascent(), title)
		c.textEnd(p.right(), y+studioName.ascent(), owner)
		c.rule(p.left, y+studioName.height()+1.5, p.width, accent)
	}})
	const labels = 22.0
	for _, f := range p.d.Reference {
		label := p.shorten(f.Label, small, labels-2)
		for i, l := range p.wrap(f.Value, body, p.width-labels) {
			p.add(block{height: body.height(), draw: func(c *canvas, y float64) {
				if i == 0 {
					c.text(p.left, y+body.ascent(), label)
				}
				c.text(p.left+labels, y+body.ascent(), l)
			}})
		}
	}
}

// edges returns where the packs begin and where the columns of figures end.
func (p *shoppingPaper) edges() (packs, need, price, pay, left float64) {
	left = p.right()
	pay = left - leftWidth
	price = pay - payWidth
	need = price - priceWidth
	return need - needWidth - packsWidth, need, price, pay, left
}

// group is what one supplier sells.
func (p *shoppingPaper) group(g document.ShoppingGroup) {
	p.section(g.Heading, 7)
	head := p.columns(p.d.Columns.Item)
	p.add(head)
	t := &table{heading: p.columns(g.Heading + ", " + p.d.More)}
	category := ""
	for i, r := range g.Rows {
		if r.Category != category {
			category = r.Category
			if category == "" {
				p.add(block{height: 3, keep: true, table: t, draw: func(*canvas, float64) {}}) // no longer under the last one
			} else {
				l := p.label(category)
				p.add(block{above: 1.2, height: eyebrow.height() + 0.8, keep: true, table: t, draw: func(c *canvas, y float64) {
					c.text(p.left+tickWidth, y+0.8+eyebrow.ascent(), l)
				}})
			}
		}
		p.row(r, t, i >= len(g.Rows)-2)
	}
	label := p.shorten(g.Subtotal.Label, name, p.width*0.5)
	sum := p.figure(g.Subtotal.Value, 2*payWidth)
	_, _, _, pay, _ := p.edges()
	p.add(block{above: 0.8, height: name.height() + 1.6, draw: func(c *canvas, y float64) {
		base := y + 0.8 + name.ascent()
		c.textEnd(pay-2*payWidth, base, label)
		c.textEnd(pay, base, sum)
	}})
}

func (p *shoppingPaper) columns(item string) block {
	packs, need, price, pay, left := p.edges()
	h := p.d.Columns
	first := p.shorten(item, small, packs-p.left-tickWidth-2)
	second := p.shorten(h.Packs, small, packsWidth)
	figures := []line{p.shorten(h.Need, small, needWidth), p.shorten(h.Price, small, priceWidth), p.shorten(h.Amount, small, payWidth), p.shorten(h.Left, small, leftWidth)}
	return block{height: small.height() + 1.6, keep: true, draw: func(c *canvas, y float64) {
		base := y + small.ascent()
		c.text(p.left+tickWidth, base, first)
		c.text(packs, base, second)
		for i, x := range []float64{need, price, pay, left} {
			c.textEnd(x, base, figures[i])
		}
		c.rule(p.left, y+small.height()+0.5, p.width, rule)
	}}
}

// row is so many packs of one thing.
func (p *shoppingPaper) row(r document.ShoppingRow, t *table, last bool) {
	packs, need, price, pay, left := p.edges()
	const box, pad = 4.2, 1.0
	names := p.wrap(r.Item, name, packs-p.left-tickWidth-3)
	notes := p.wrap(r.Note, small, packs-p.left-tickWidth-3)
	buy := p.wrap(r.Packs, packsStyle, packsWidth-2)
	figures := []line{p.fitted(r.Need, small, needWidth-1), p.fitted(r.Price, small, priceWidth-1), p.fitted(r.Amount, figure, payWidth-1), p.fitted(r.Left, small, leftWidth-1)}
	first := packsStyle.ascent() + pad // the base line of all
	h := max(float64(len(names))*name.height()+float64(len(notes))*small.height(), float64(len(buy))*packsStyle.height(), box) + 2*pad
	p.add(block{height: h, keep: last, table: t, draw: func(c *canvas, y float64) {
		base := y + first
		c.box(p.left+0.5, base-box+0.6, box)
		at := base
		for _, l := range names {
			c.text(p.left+tickWidth, at, l)
			at += name.height()
		}
		at += small.ascent() - name.ascent()
		for _, l := range notes {
			c.text(p.left+tickWidth, at, l)
			at += small.height()
		}
		for i, l := range buy {
			c.text(packs, base+float64(i)*packsStyle.height(), l)
		}
		for i, x := range []float64{need, price, pay, left} {
			c.textEnd(x, base, figures[i])
		}
		c.rule(p.left, y+h, p.width, rule)
	}})
}

// fitted sets a text on one line, smaller where its column is too narrow.
func (p *shoppingPaper) fitted(s string, st style, width float64) line {
	l := p.line(s, st)
	if l.width > width {
		st.size = max(st.size*width/l.width, 6)
		l = p.shorten(s, st, width)
	}
	return l
}

// empty says why there is nothing to buy.
func (p *shoppingPaper) empty() {
	p.paragraph(p.left, p.wrap(p.d.Empty, cakeName, p.width), 12, false)
}

// totals are the sums, the last one in a band.
func (p *shoppingPaper) totals() {
	_, _, _, pay, _ := p.edges()
	for i, f := range p.d.Totals {
		above := 0.4
		if i == 0 {
			above = 5
		}
		if i < len(p.d.Totals)-1 {
			label, value := p.shorten(f.Label, bodyQuiet, p.width*0.5), p.figure(f.Value, 2*payWidth)
			p.add(block{above: above, height: body.height(), keep: true, draw: func(c *canvas, y float64) {
				c.textEnd(pay-2*payWidth, y+body.ascent(), label)
				c.textEnd(pay, y+body.ascent(), value)
			}})
			continue
		}
		value := p.shorten(f.Value, total, p.width*0.5)
		label := p.shorten(f.Label, total, p.width*0.4)
		p.add(block{above: max(above, 1.5), height: total.height() + 4, draw: func(c *canvas, y float64) {
			c.fill(p.left, y, p.width, total.height()+4, cream)
			base := y + 2 + total.ascent()
			c.text(p.left+tickWidth, base, label)
			c.textEnd(pay, base, value)
		}})
	}
}
