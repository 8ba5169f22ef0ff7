package pdf

import (
	"io"
	"strings"

	"marchpane/templates/document"
)

// Receipt writes r as a PDF, on one page unless a text in it is as long as a
// page. The warnings are those of [Quote].
func Receipt(w io.Writer, r document.Receipt) (warnings []string, err error) {
	p := &quotePaper{Quote: document.Quote{
		Language: r.Language, Title: r.Title, Subject: r.Subject, Date: r.Date, Paper: r.Paper, Look: r.Look,
		Heading: r.Heading, Name: r.Name, Page: r.Page, Mark: r.Mark,
		Studio: r.Studio, Reference: r.Reference, Client: r.Client,
	}}
	return p.write(w, "receipt", func() [][]placed {
		p.masthead()
		p.opening()
		p.received(r)
		p.standing(r.Details, r.Account)
		p.paragraph(p.left, p.wrap(r.Note, small, p.width), 6, false)
		p.countersign(r.Signature)
		return p.paginate()
	})
}

// received is the sentence that confirms, over the amount in a band.
func (p *quotePaper) received(r document.Receipt) {
	p.paragraph(p.left, p.wrap(r.Text, body, p.width), 7, false)
	value := p.shorten(r.Amount.Value, receiptAmount, p.width*0.7)
	label := p.shorten(r.Amount.Label, total, p.width-value.width-column-10)
	const pad = 3.5
	h := receiptAmount.height() + 2*pad
	p.add(block{above: 4, height: h, draw: func(c *canvas, y float64) {
		c.fill(p.left, y, p.width, h, cream)
		c.fill(p.left, y, 0.8, h, accent)
		base := y + pad + receiptAmount.ascent()
		c.text(p.left+5, base, label)
		c.textEnd(p.right()-5, base, value)
	}})
}

var receiptAmount = style{face: serif, size: 24, ink: accent, leading: 1.2}

// standing puts what the payment was for beside where the order stands after
// it; what is too long for that, below it.
func (p *quotePaper) standing(details []document.Fact, a document.Account) {
	const gap = 2 * column
	width := (p.width - gap) / 2
	labels := width * 0.34
	for _, f := range details {
		labels = max(labels, min(p.line(f.Label, small).width+4, width*0.55))
	}
	facts := p.factTable(details, p.left, width, labels)
	sums := p.account(a, p.right()-width, width)
	const above, most = 6, 100
	if height(facts, true) <= most && height(sums, true) <= most {
		// The first rules of both meet.
		facts = append([]block{{height: sums[0].height, draw: func(*canvas, float64) {}}}, facts...)
		p.add(beside(above, facts, sums))
		return
	}
	for i, f := range details {
		b := textBlock(p.left, p.shorten(f.Label, small, p.width))
		if b.keep = true; i == 0 {
			b.above = above
		}
		p.add(b)
		p.paragraph(p.left, p.wrap(f.Value, body, p.width), 0, false)
	}
	sums[0].above = above
	p.add(sums...)
}

// account is a small sum, its result set apart.
func (p *quotePaper) account(a document.Account, x, width float64) []block {
	blocks := []block{textBlock(x, p.shorten(strings.ToUpper(a.Heading), eyebrow, width))}
	row := func(f document.Fact, st, amount style, extra float64) {
		value := p.shorten(f.Value, amount, width*0.6)
		labels := p.wrap(f.Label, st, width-value.width-figureGap)
		h := max(float64(len(labels))*st.height(), amount.height()) + extra
		blocks = append(blocks, block{height: h, draw: func(c *canvas, y float64) {
			c.rule(x, y, width, rule)
			y += extra / 2
			ascent := max(st.ascent(), amount.ascent())
			for i, l := range labels {
				c.text(x, y+ascent+float64(i)*st.height(), l)
			}
			c.textEnd(x+width, y+ascent, value)
		}})
	}
	for _, f := range a.Lines {
		row(f, body, figure, 1.6)
	}
	row(a.Balance, name, total, 2.4)
	return blocks
}

// countersign is the studio's place to sign, on the right.
func (p *quotePaper) countersign(s document.Signature) {
	if s.Party == "" && s.Name == "" {
		return
	}
	width := (p.width - 2*column) / 2
	p.add(beside(9, p.signature(s, p.right()-width, width)))
}
