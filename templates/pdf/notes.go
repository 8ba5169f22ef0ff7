package pdf

import (
	"fmt"

	"marchpane/templates/document"
)

// allergens is a tinted panel: what it says must not be overlooked.
func (p *quotePaper) allergens() {
	if len(p.Allergens.Facts) == 0 {
		return
	}
	const pad = 5.0
	labels := 30.0
	inner := p.width - 2*pad
	var rows []block
	title := p.shorten(p.Allergens.Heading, heading, inner)
	rows = append(rows, block{height: heading.height() + 1.5, keep: true, draw: func(c *canvas, y float64) {
		c.text(p.left+pad, y+heading.ascent(), title)
	}})
	for _, f := range p.Allergens.Facts {
		label := p.shorten(f.Label, name, labels-2)
		lines := p.wrap(f.Value, body, inner-labels)
		for i, l := range lines {
			b := block{height: body.height(), keep: i == 0 || len(lines) <= 12 && i < len(lines)-1, draw: func(c *canvas, y float64) {
				if i == 0 {
					c.text(p.left+pad, y+body.ascent(), label)
				}
				c.text(p.left+pad+labels, y+body.ascent(), l)
			}}
			if i == len(lines)-1 {
				b.height += 1.2
			}
			rows = append(rows, b)
		}
	}
	for i, l := range p.wrap(p.Allergens.Note, small, inner) {
		b := textBlock(p.left+pad, l)
		if i == 0 {
			draw := b.draw
			b.height += 1.4
			b.draw = func(c *canvas, y float64) { draw(c, y+1.4) }
		}
		b.keep = true
		rows = append(rows, b)
	}
	if len(rows) <= 14 {
		for i := range rows {
			rows[i].keep = true
		}
	}
	p.panel(rows, pad, 7)
}

// panel adds rows on a tinted ground. Each row paints its own part, so that a
// panel may go on to the next page.
func (p *quotePaper) panel(rows []block, pad, above float64) {
	rows[len(rows)-1].keep = false
	for i, b := range rows {
		inner, over, under := b.draw, 0.0, 0.0
		if i == 0 {
			over = pad - 1
			b.above = above
		}
		if i == len(rows)-1 {
			under = pad - 1
		}
		b.height += over + under
		h := b.height
		b.draw = func(c *canvas, y float64) {
			// A hair's breadth more, or viewers show a seam between rows.
			c.fill(p.left, y, p.width, h+0.08, cream)
			c.fill(p.left, y, 0.8, h+0.08, accent)
			inner(c, y+over)
		}
		p.add(b)
	}
}

// notes adds a section of paragraphs, numbered by pattern or, without one,
// behind a mark.
func (p *quotePaper) notes(s document.Section, pattern string, st style) {
	if len(s.Lines) == 0 {
		return
	}
	p.section(s.Heading, 6.5)
	p.list(s.Lines, pattern, st)
}

// list sets paragraphs, numbered by pattern or, without one, behind a mark.
func (p *quotePaper) list(paragraphs []string, pattern string, st style) {
	const indent = 6.0
	for i, text := range paragraphs {
		lines := p.wrap(text, st, p.width-indent)
		if len(lines) == 0 {
			continue
		}
		n := len(p.blocks)
		p.paragraph(p.left+indent, lines, 1.2, false)
		first := &p.blocks[n]
		inner := first.draw
		if pattern == "" {
			first.draw = func(c *canvas, y float64) {
				c.diamond(p.left+1.2, y+st.ascent()-1.1, 0.8, accent)
				inner(c, y)
			}
			continue
		}
		counted := st
		counted.ink = quiet
		number := p.line(fmt.Sprintf(pattern, i+1), counted)
		first.draw = func(c *canvas, y float64) {
			c.text(p.left, y+st.ascent(), number)
			inner(c, y)
		}
	}
}

// acceptance is the block to sign, never divided.
func (p *quotePaper) acceptance() {
	if len(p.Acceptance.Signatures) == 0 {
		return
	}
	p.section(p.Acceptance.Heading, 6)
	lines := p.wrap(p.Acceptance.Text, body, p.width)
	p.paragraph(p.left, lines, 0.6, len(lines) <= 6 || len(p.Acceptance.Choices) > 0)
	p.choices()
	gap := 2 * column
	n := float64(len(p.Acceptance.Signatures))
	width := (p.width - gap*(n-1)) / n
	var columns [][]block
	for i, s := range p.Acceptance.Signatures {
		columns = append(columns, p.signature(s, p.left+float64(i)*(width+gap), width))
	}
	above := 2.5
	if len(p.Acceptance.Choices) > 0 {
		above = 6
	}
	p.add(beside(above, columns...))
}

// choices are the options with a box to tick before each, kept with the place
// to sign.
func (p *quotePaper) choices() {
	const box, indent = 3.4, 7.0
	for i, s := range p.Acceptance.Choices {
		lines := p.wrap(s, name, p.width-indent)
		for j, l := range lines {
			b := textBlock(p.left+indent, l)
			if b.keep = len(lines) <= 6 || j == 0; j == 0 {
				b.above = 1.6
				if i == 0 {
					b.above = 2.4
				}
				text := b.draw
				b.draw = func(c *canvas, y float64) {
					c.box(p.left+0.4, y+name.ascent()-box+0.5, box)
					text(c, y)
				}
			}
			p.add(b)
		}
	}
}

// box draws the outline of a square to tick.
func (c *canvas) box(x, y, side float64) {
	c.drawIn(ink)
	c.pdf.SetLineWidth(0.25)
	c.pdf.Rect(x, y, side, side, "D")
}

// cancellation says what it costs to cancel, step by step, on one page.
func (p *quotePaper) cancellation() {
	from := len(p.blocks)
	p.notes(p.Cancellation, "", smallInk)
	if n := len(p.blocks) - from; n > 0 && n <= 14 {
		for i := range n - 1 {
			p.blocks[from+i].keep = true
		}
	}
}

// signature is one party's column: who signs, then a rule for each thing to
// write, the first twice as wide as the others.
func (p *quotePaper) signature(s document.Signature, x, width float64) []block {
	signer := p.shorten(s.Name, name, width)
	blocks := []block{
		textBlock(x, p.label(s.Party)),
		{height: name.height(), draw: func(c *canvas, y float64) { c.text(x, y+name.ascent(), signer) }},
	}
	if len(s.Lines) == 0 {
		return blocks
	}
	const gap = 4.0
	part := (width - gap*float64(len(s.Lines)-1)) / float64(len(s.Lines)+1)
	labels := make([]line, len(s.Lines))
	for i, what := range s.Lines {
		labels[i] = p.shorten(what, small, part)
	}
	return append(blocks, block{height: 10.1 + small.height(), draw: func(c *canvas, y float64) {
		at, w := x, 2*part
		for _, l := range labels {
			c.rule(at, y+9.5, w, quiet)
			c.text(at, y+9.9+small.ascent(), l)
			at, w = at+w+gap, part
		}
	}})
}
