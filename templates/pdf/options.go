package pdf

import (
	"slices"
	"strings"

	"marchpane/templates/document"
)

// options writes out every option in full, one after another. Cautions that
// stand with all of them are said once, at the end.
func (p *quotePaper) options() {
	shared := document.Section{Heading: p.Options[0].Cautions.Heading}
	for _, s := range p.Options[0].Cautions.Lines {
		if !slices.ContainsFunc(p.Options, func(o document.Option) bool { return !slices.Contains(o.Cautions.Lines, s) }) {
			shared.Lines = append(shared.Lines, s)
		}
	}
	page := p.pageHeight - bottomMargin - nextTop
	for _, o := range p.Options {
		own := document.Section{Heading: o.Cautions.Heading}
		for _, s := range o.Cautions.Lines {
			if !slices.Contains(shared.Lines, s) {
				own.Lines = append(own.Lines, s)
			}
		}
		o.Cautions = own
		from := len(p.blocks)
		p.option(o)
		// One that fits on a page is not divided, and none begins at the foot of one.
		p.blocks[from].room = height(p.blocks[from:], true)
		if p.blocks[from].room > page {
			p.blocks[from].room = 0.45 * page
		}
	}
	p.common(shared)
}

// common is what holds for every option, set off from the last of them.
func (p *quotePaper) common(shared document.Section) {
	p.add(block{above: 10, height: 1, keep: true, draw: func(c *canvas, y float64) {
		c.fill(p.left, y, p.width, 0.6, accent)
	}})
	if len(shared.Lines) > 0 {
		p.section(shared.Heading, 3)
		var names []string
		for _, o := range p.Options {
			names = append(names, o.Name)
		}
		whose := p.wrap(strings.Join(names, " · "), small, p.width)
		p.paragraph(p.left, whose, 0, len(whose) <= 6)
		p.list(shared.Lines, "", body)
	}
	p.cancellation()
}

// offer writes out the only offer of a paper.
func (p *quotePaper) offer() {
	p.cakes()
	p.prices()
	p.payments()
	p.cancellation()
	p.allergens()
	p.notes(p.Cautions, "", body)
}

// undivided is how many lines of prices an option keeps on one page.
const undivided = 10

// option writes out one of several, closer than an only offer: its own heading
// stands for those of its cakes and prices.
func (p *quotePaper) option(o document.Option) {
	p.optionHeading(o)
	p.Cakes, p.Prices, p.Tax, p.Payments, p.Allergens = o.Cakes, o.Prices, o.Tax, o.Payments, o.Allergens
	p.Design, p.Prices.Heading = "", ""
	dues, ok := p.dues()
	if ok {
		p.Tax, p.Payments = document.Tax{}, document.Payments{}
	}
	p.cakes()
	from := len(p.blocks)
	p.prices()
	if len(o.Prices.Lines) <= undivided {
		for i := range p.blocks[from:] {
			p.blocks[from+i].keep = p.blocks[from+i].keep || p.blocks[from+i].table != nil
		}
	}
	if ok {
		p.add(dues)
	}
	p.payments()
	p.allergens()
	p.notes(o.Cautions, "", smallInk)
}

// dues puts the tax beside the payments, where both are there and short.
func (p *quotePaper) dues() (block, bool) {
	const most = 8
	if n, m := len(p.Tax.Lines), len(p.Payments.Lines); n == 0 || m == 0 || n > most || m > most {
		return block{}, false
	}
	left := p.width*0.42 - column
	taxed := []block{textBlock(p.left, p.shorten(strings.ToUpper(p.Tax.Heading), eyebrow, left))}
	for i, t := range append([]document.TaxLine{p.Tax.Columns}, p.Tax.Lines...) {
		st := smallInk
		if i == 0 {
			st = small
		}
		rate, net, tax := p.shorten(t.Rate, st, left*0.3), p.shorten(t.Net, st, left*0.34), p.shorten(t.Tax, st, left*0.34)
		taxed = append(taxed, block{height: st.height() + 1.2, draw: func(c *canvas, y float64) {
			c.rule(p.left, y, left, rule)
			base := y + 0.6 + st.ascent()
			c.text(p.left, base, rate)
			c.textEnd(p.left+left*0.65, base, net)
			c.textEnd(p.left+left, base, tax)
		}})
	}
	x := p.left + p.width*0.42 + column
	right := p.right() - x
	paid := []block{textBlock(x, p.shorten(strings.ToUpper(p.Payments.Heading), eyebrow, right))}
	for _, pay := range p.Payments.Lines {
		amount := p.figure(pay.Amount, moneyWidth)
		label := p.shorten(pay.Label, smallInk, right*0.34)
		due := p.shorten(pay.Due, smallInk, right*0.65-amount.width-figureGap)
		paid = append(paid, block{height: body.height() + 1.2, draw: func(c *canvas, y float64) {
			c.rule(x, y, right, rule)
			base := y + 0.6 + body.ascent()
			c.text(x, base, label)
			c.text(x+right*0.35, base, due)
			c.textEnd(p.right(), base, amount)
		}})
	}
	return beside(4, taxed, paid), true
}

// optionHeading names an option over a broad rule, with its total.
func (p *quotePaper) optionHeading(o document.Option) {
	amount := p.shorten(o.Prices.Total.Value, total, p.width*0.4)
	lines := p.wrap(o.Name, paperName, p.width-amount.width-column)
	if len(lines) == 0 {
		lines = []line{{style: paperName}}
	}
	for i, l := range lines {
		last := i == len(lines)-1
		b := block{height: paperName.height(), keep: len(lines) <= 12 || last}
		if i == 0 {
			b.above = 13
		}
		if last {
			b.height += 3
		}
		b.draw = func(c *canvas, y float64) {
			c.text(p.left, y+paperName.ascent(), l)
			if last {
				c.textEnd(p.right(), y+paperName.ascent(), amount)
				c.fill(p.left, y+paperName.height()+0.8, p.width, 0.6, accent)
			}
		}
		p.add(b)
	}
}
