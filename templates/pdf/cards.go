package pdf

import (
	"slices"

	"marchpane/templates/document"
)

// Recipe cards fill half a page each, so that the sheet can be cut.
const (
	cardTop = 11.0 // of the first one
	cardPad = 6.0  // to the cut
)

// cards sets the recipe cards, two to a page. A longer one has a page of its
// own; what is longer still goes on.
func (p *productionPaper) cards() [][]placed {
	room := p.pageHeight - bottomMargin - cardTop
	half := room/2 - cardPad
	var pages [][]placed
	upper := false // the lower half of the last page is free
	for _, card := range p.d.Cards {
		blocks, ok := p.fitting(card, half)
		switch {
		case ok && upper:
			last := len(pages) - 1
			pages[last] = append(pages[last], placed{block{draw: func(c *canvas, y float64) { c.cut(y) }}, cardTop + room/2})
			pages[last] = append(pages[last], stacked(blocks, cardTop+room/2+cardPad)...)
			upper = false
			continue
		case ok:
			pages = append(pages, stacked(blocks, cardTop))
			upper = true
			continue
		}
		upper = false
		if blocks, ok = p.fitting(card, room); ok {
			pages = append(pages, stacked(blocks, cardTop))
			continue
		}
		pages = append(pages, sheet{first: cardTop, top: cardTop, bottom: p.pageHeight - bottomMargin}.paginate(p.plainCard(card))...)
	}
	return pages
}

// cut is the line along which the sheet is cut.
func (c *canvas) cut(y float64) {
	c.drawIn(rule)
	c.pdf.SetLineWidth(0.2)
	c.pdf.SetDashPattern([]float64{2, 1.6}, 0)
	c.pdf.Line(0, y, c.width, y)
	c.pdf.SetDashPattern(nil, 0)
}

func stacked(blocks []block, y float64) (list []placed) {
	for i, b := range blocks {
		if i > 0 {
			y += b.above
		}
		list = append(list, placed{b, y})
		y += b.height
	}
	return list
}

// fitting sets a card as large as a height allows, and reports whether it fits
// at all.
func (p *productionPaper) fitting(card document.RecipeCard, most float64) ([]block, bool) {
	for _, k := range []float64{1.45, 1.3, 1.2, 1.1, 1, 0.92, 0.85} {
		head := p.cardHead(card, k)
		left, right := p.ingredients(card, k), p.method(card, k)
		blocks := append(head, beside(3, left, right))
		if height(blocks, true) <= most {
			return blocks, true
		}
	}
	return nil, false
}

// plainCard sets a card in one column, over pages.
func (p *productionPaper) plainCard(card document.RecipeCard) []block {
	return slices.Concat(p.cardHead(card, 1), p.ingredients(card, 1), p.methodAt(card, 1, p.left, p.width))
}

// cardHead is what a card is for, how much of it, and its cautions.
func (p *productionPaper) cardHead(card document.RecipeCard, k float64) []block {
	orders := p.shorten(card.Orders, small.scaled(k), p.width*0.3)
	var blocks []block
	for i, l := range p.wrap(card.Title, cakeName.scaled(k), p.width-orders.width-column) {
		b := textBlock(p.left, l)
		if i == 0 {
			b.draw = func(c *canvas, y float64) {
				c.text(p.left, y+l.style.ascent(), l)
				c.textEnd(p.right(), y+l.style.ascent(), orders)
			}
		}
		blocks = append(blocks, b)
	}
	amount := p.shorten(card.Batches, style{face: serif, size: 14 * k, ink: accent, leading: 1.3}, p.width)
	blocks = append(blocks, block{height: amount.style.height() + 2, draw: func(c *canvas, y float64) {
		c.text(p.left, y+amount.style.ascent(), amount)
		c.rule(p.left, y+amount.style.height()+1.2, p.width, accent)
	}})
	return append(blocks, p.warnings(card.Cautions, k)...)
}

// warnings are tinted panels behind the sign that warns.
func (p *productionPaper) warnings(texts []string, k float64) []block {
	const pad, indent = 2.2, 12.0
	st := style{face: sans, size: 9.5 * k, ink: ink, leading: 1.3}
	var blocks []block
	for _, s := range texts {
		lines := p.wrap(s, st, p.width-indent-pad)
		h := max(float64(len(lines))*st.height()+2*pad, 10.5)
		blocks = append(blocks, block{above: 1.2, height: h, draw: func(c *canvas, y float64) {
			c.fill(p.left, y, p.width, h, cream)
			c.fill(p.left, y, 0.8, h, accent)
			c.caution(p.left+2.8, y+pad, 7)
			for i, l := range lines {
				c.text(p.left+indent, y+pad+st.ascent()+float64(i)*st.height(), l)
			}
		}})
	}
	return blocks
}

// ingredients is the list of what goes into a batch, amounts first.
func (p *productionPaper) ingredients(card document.RecipeCard, k float64) []block {
	width := p.width*0.5 - column
	amounts := max(23*k, 23)
	large, note := name.scaled(k*1.05), small.scaled(k)
	var blocks []block
	for _, l := range card.Lines {
		figure := p.line(l.Amount, large)
		if figure.width > amounts { // smaller, never cut
			figure = p.line(l.Amount, large.scaled(amounts/figure.width))
		}
		about := l.Beside
		if l.Note != "" {
			if about != "" {
				about += "; "
			}
			about += l.Note
		}
		names := p.wrap(l.Name, large, width-amounts-3)
		notes := p.wrap(about, note, width-amounts-3)
		h := float64(len(names))*large.height() + float64(len(notes))*note.height() + 0.8
		blocks = append(blocks, block{height: h, draw: func(c *canvas, y float64) {
			c.textEnd(p.left+amounts, y+large.ascent(), figure)
			for i, l := range names {
				c.text(p.left+amounts+3, y+large.ascent()+float64(i)*large.height(), l)
			}
			at := y + float64(len(names))*large.height()
			for i, l := range notes {
				c.text(p.left+amounts+3, at+note.ascent()+float64(i)*note.height(), l)
			}
			c.rule(p.left, y+h-0.2, width, rule)
		}})
	}
	return blocks
}

// method is how it is done and how long it keeps, beside the ingredients.
func (p *productionPaper) method(card document.RecipeCard, k float64) []block {
	return p.methodAt(card, k, p.left+p.width*0.5, p.width*0.5)
}

func (p *productionPaper) methodAt(card document.RecipeCard, k, x, width float64) []block {
	text, quietly := body.scaled(k*1.05), small.scaled(k*1.05)
	var blocks []block
	add := func(s string, st style, above float64) {
		for i, l := range p.wrap(s, st, width) {
			b := textBlock(x, l)
			if i == 0 && len(blocks) > 0 {
				b.above = above
			}
			blocks = append(blocks, b)
		}
	}
	add(card.Steps, quietly, 0)
	for _, s := range card.Method {
		add(s, text, 1.6)
	}
	for i, s := range card.Facts {
		above := 0.4
		if i == 0 {
			above = 2.4
		}
		add(s, style{face: sans, size: 9.5 * k * 1.05, ink: accent, leading: 1.42}, above)
	}
	return blocks
}
