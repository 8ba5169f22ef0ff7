package pdf

import (
	"marchpane/templates/document"
)

// Widths of the columns of figures, in mm, and of the space before each.
const (
	quantityWidth = 13.0
	moneyWidth    = 27.0
	figureGap     = 3.0
)

// prices is the table of what is charged, with its total.
func (p *quotePaper) prices() {
	heading := p.priceHeading(false)
	if p.Prices.Heading == "" {
		heading.above = 5
	} else {
		p.section(p.Prices.Heading, 6)
	}
	t := &table{heading: p.priceHeading(true)}
	p.add(heading)
	for i, l := range p.Prices.Lines {
		p.priceLine(l, t, i >= len(p.Prices.Lines)-2)
	}
	for _, f := range p.Prices.Sums {
		p.sum(f, t)
	}
	p.total()
	p.paragraph(p.left, p.wrap(p.Prices.Note, small, p.width), 1.5, false)
	p.tax()
}

// priceEdges returns the right edges of quantity, unit price and amount, and
// the width of the names.
func (p *quotePaper) priceEdges() (quantity, unit, amount, names float64) {
	amount = p.right()
	unit = amount - moneyWidth - figureGap
	quantity = unit - moneyWidth - figureGap
	return quantity, unit, amount, quantity - quantityWidth - figureGap - p.left
}

func (p *quotePaper) priceHeading(again bool) block {
	quantity, unit, amount, names := p.priceEdges()
	item := p.Prices.Columns.Name
	if again && p.More != "" {
		item += ", " + p.More
	}
	h := p.Prices.Columns
	left := p.shorten(item, small, names)
	q, u, a := p.line(h.Quantity, small), p.line(h.Unit, small), p.line(h.Amount, small)
	return block{height: small.height() + 1.8, keep: true, draw: func(c *canvas, y float64) {
		base := y + small.ascent()
		c.text(p.left, base, left)
		c.textEnd(quantity, base, q)
		c.textEnd(unit, base, u)
		c.textEnd(amount, base, a)
		c.rule(p.left, y+small.height()+0.5, p.width, rule)
	}}
}

// priceLine adds a line, as one block unless its name fills more than a dozen
// lines. The first stays with the heading, the last two with the total.
func (p *quotePaper) priceLine(l document.PriceLine, t *table, last bool) {
	quantity, unit, amount, names := p.priceEdges()
	st := body
	if l.Kind == document.CakeLine {
		st = name
	}
	lines := p.wrap(l.Name, st, names)
	if len(lines) == 0 {
		lines = []line{{style: st}}
	}
	q, u, a := p.line(l.Quantity, figure), p.figure(l.Unit, moneyWidth), p.figure(l.Amount, moneyWidth)
	for i, text := range lines {
		ends := i == len(lines)-1
		b := block{height: st.height(), table: t, keep: !ends && len(lines) <= 12 || last && (ends || len(lines) <= 12)}
		if i == 0 {
			b.height += 0.9
		}
		if ends {
			b.height += 0.9
		}
		b.draw = func(c *canvas, y float64) {
			bottom := y + b.height
			if i == 0 {
				y += 0.9
			}
			base := y + st.ascent()
			c.text(p.left, base, text)
			if i == 0 {
				c.textEnd(quantity, base, q)
				c.textEnd(unit, base, u)
				c.textEnd(amount, base, a)
			}
			if ends {
				c.rule(p.left, bottom, p.width, rule)
			}
		}
		p.add(b)
	}
}

// figure sets a figure on one line, smaller where its column is too narrow.
func (p *quotePaper) figure(s string, width float64) line {
	st := figure
	l := p.line(s, st)
	if l.width > width {
		st.size *= width / l.width
		l = p.line(s, st)
	}
	return l
}

// sum is a figure between the lines and the total.
func (p *quotePaper) sum(f document.Fact, t *table) {
	_, unit, amount, _ := p.priceEdges()
	label := p.shorten(f.Label, bodyQuiet, p.width-moneyWidth-2*figureGap)
	value := p.figure(f.Value, moneyWidth)
	p.add(block{above: 0.6, height: body.height(), keep: true, table: t, draw: func(c *canvas, y float64) {
		c.textEnd(unit, y+body.ascent(), label)
		c.textEnd(amount, y+body.ascent(), value)
	}})
}

// total is the band with what is to be paid. The line below may stand on the
// next page, the lines above may not all.
func (p *quotePaper) total() {
	value := p.shorten(p.Prices.Total.Value, total, p.width*0.7)
	label := p.shorten(p.Prices.Total.Label, total, p.width-value.width-column-8)
	p.add(block{above: 1.6, height: total.height() + 4, draw: func(c *canvas, y float64) {
		c.fill(p.left, y, p.width, total.height()+4, cream)
		base := y + 2 + total.ascent()
		c.text(p.left+4, base, label)
		c.textEnd(p.right()-4, base, value)
	}})
}

// tax shows the tax in the total, rate by rate.
func (p *quotePaper) tax() {
	if len(p.Tax.Lines) == 0 {
		return
	}
	columns := []float64{p.left, p.left + 48, p.left + 78}
	row := func(above float64, t document.TaxLine, st style, keep bool) {
		rate, net, tax := p.shorten(t.Rate, st, 30), p.line(t.Net, st), p.line(t.Tax, st)
		p.add(block{above: above, height: st.height(), keep: keep, draw: func(c *canvas, y float64) {
			base := y + st.ascent()
			c.text(columns[0], base, rate)
			c.textEnd(columns[1], base, net)
			c.textEnd(columns[2], base, tax)
		}})
	}
	title := p.shorten(p.Tax.Heading, smallInk, p.width)
	b := textBlock(p.left, title)
	b.above, b.keep = 3, true
	p.add(b)
	row(0.6, p.Tax.Columns, small, true)
	for i, t := range p.Tax.Lines {
		row(0, t, smallInk, i < len(p.Tax.Lines)-1)
	}
}

// payments is what falls due when.
func (p *quotePaper) payments() {
	if len(p.Payments.Lines) == 0 {
		return
	}
	p.section(p.Payments.Heading, 6)
	labels := 48.0
	for i, pay := range p.Payments.Lines {
		label := p.shorten(pay.Label, name, labels-2)
		due := p.shorten(pay.Due, body, p.width-labels-moneyWidth-2*figureGap)
		amount := p.figure(pay.Amount, moneyWidth+figureGap)
		last := i == len(p.Payments.Lines)-1
		p.add(block{height: name.height() + 1.8, keep: i == 0 && !last || i == len(p.Payments.Lines)-2, draw: func(c *canvas, y float64) {
			base := y + 0.9 + name.ascent()
			c.text(p.left, base, label)
			c.text(p.left+labels, base, due)
			c.textEnd(p.right(), base, amount)
			c.rule(p.left, y+name.height()+1.8, p.width, rule)
		}})
	}
}
