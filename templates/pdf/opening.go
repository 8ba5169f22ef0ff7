package pdf

import (
	"strings"

	"marchpane/templates/document"
)

// masthead is the studio's logo, or else its name, over the ways to reach it.
// Beneath a logo the name comes first of these: a client has to read with whom
// they deal.
func (p *quotePaper) masthead() {
	middle := p.left + p.width/2
	contacts := p.Studio.Address
	if mark, ok := p.logo(); ok {
		p.add(mark)
		contacts = append([]string{p.Studio.Name}, contacts...)
	} else {
		for _, l := range p.wrap(p.Studio.Name, p.nameStyle(), p.width) {
			p.add(block{height: l.style.height(), draw: func(c *canvas, y float64) {
				c.textMiddle(middle, y+l.style.ascent(), l)
			}})
		}
	}
	p.add(block{height: 5, draw: func(c *canvas, y float64) {
		y += 2.2
		c.rule(middle-22, y, 19, rule)
		c.rule(middle+3, y, 19, rule)
		c.diamond(middle, y, 1, accent)
	}})
	for _, l := range p.wrap(strings.Join(contacts, ", "), contact, p.width) {
		p.add(block{height: contact.height(), draw: func(c *canvas, y float64) {
			c.textMiddle(middle, y+contact.ascent(), l)
		}})
	}
	p.reach(middle)
}

// nameStyle makes a long name smaller before it takes a second line.
func (p *quotePaper) nameStyle() style {
	st := studioName
	for st.size > 17 && p.line(p.Studio.Name, st).width > p.width {
		st.size--
	}
	return st
}

// reach is the line with telephone and electronic mail, which is a link.
func (p *quotePaper) reach(middle float64) {
	var parts []line
	for _, s := range []string{p.Studio.Phone, p.Studio.Email, p.Studio.TaxNumber} {
		if s != "" {
			parts = append(parts, p.shorten(s, contact, p.width))
		}
	}
	if len(parts) == 0 {
		return
	}
	dot := p.line("  ·  ", contact)
	total := dot.width * float64(len(parts)-1)
	for _, l := range parts {
		total += l.width
	}
	if total > p.width { // one below another
		for _, l := range parts {
			p.add(p.reachBlock([]line{l}, dot, middle, l.width))
		}
		return
	}
	p.add(p.reachBlock(parts, dot, middle, total))
}

func (p *quotePaper) reachBlock(parts []line, dot line, middle, total float64) block {
	mail := p.plain(p.Studio.Email)
	return block{height: contact.height(), draw: func(c *canvas, y float64) {
		x := middle - total/2
		for i, l := range parts {
			if i > 0 {
				c.text(x, y+contact.ascent(), dot)
				x += dot.width
			}
			c.text(x, y+contact.ascent(), l)
			if mail != "" && l.text() == mail {
				c.mail(x, y, l.width, contact.height(), mail)
			}
			x += l.width
		}
	}}
}

// text returns what l shows.
func (l line) text() string {
	var b strings.Builder
	for _, r := range l.runs {
		b.WriteString(r.text)
	}
	return b.String()
}

// opening says whom the paper is for and which it is, side by side. A side too
// long for that follows the other.
func (p *quotePaper) opening() {
	rightWidth := 62.0
	leftWidth := p.width - rightWidth - 2*column
	left := p.recipient(leftWidth)
	right := p.reference(rightWidth)
	const most = 120
	above := 7.5
	if l, r := height(left, true), height(right, true); l <= most && r <= most {
		p.add(beside(above, left, right))
		return
	}
	left[0].above, right[0].above = above, above
	p.add(left...)
	p.add(right...)
}

// beside joins two columns of blocks into one block.
func beside(above float64, columns ...[]block) block {
	b := block{above: above}
	for _, col := range columns {
		b.height = max(b.height, height(col, true))
	}
	b.draw = func(c *canvas, y float64) {
		for _, col := range columns {
			at := y
			for i, inner := range col {
				if i > 0 {
					at += inner.above
				}
				inner.draw(c, at)
				at += inner.height
			}
		}
	}
	return b
}

// recipient is the client and the event.
func (p *quotePaper) recipient(width float64) []block {
	blocks := []block{textBlock(p.left, p.label(p.Client.Heading))}
	for i, s := range p.Client.Lines {
		st := bodyQuiet
		if i == 0 {
			st = clientName
		}
		for _, l := range p.wrap(s, st, width) {
			blocks = append(blocks, textBlock(p.left, l))
		}
	}
	for _, f := range p.Event {
		b := textBlock(p.left, p.label(f.Label))
		b.above = 2.2
		blocks = append(blocks, b)
		for _, l := range p.wrap(f.Value, name, width) {
			blocks = append(blocks, textBlock(p.left, l))
		}
	}
	return blocks
}

// reference is what the paper is, with its number and dates.
func (p *quotePaper) reference(width float64) []block {
	x := p.right() - width
	title := p.shorten(p.Heading, paperName, width)
	blocks := []block{{height: paperName.height() + 1.5, draw: func(c *canvas, y float64) {
		c.text(x, y+paperName.ascent(), title)
	}}}
	return append(blocks, p.factTable(p.Reference, x, width, width*0.42)...)
}

// factTable sets labels and values in two columns over hairlines.
func (p *quotePaper) factTable(facts []document.Fact, x, width, labels float64) []block {
	var blocks []block
	for _, f := range facts {
		label := p.shorten(f.Label, small, labels-2)
		values := p.wrap(f.Value, body, width-labels)
		h := max(float64(len(values)), 1)*body.height() + 1.6
		blocks = append(blocks, block{height: h, draw: func(c *canvas, y float64) {
			c.rule(x, y, width, rule)
			base := y + 0.8 + body.ascent()
			c.text(x, base, label)
			for i, l := range values {
				c.text(x+labels, base+float64(i)*body.height(), l)
			}
		}})
	}
	return blocks
}
