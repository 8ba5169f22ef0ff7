package pdf

import (
	"strings"

	"marchpane/templates/document"
)

// Sizes of a comparison, in mm.
const (
	comparedGap     = 4.0 // between the columns
	tallestPictures = 62.0
	leastPictures   = 22.0
	openingPictures = 40.0 // least of those that share the first page
	leastText       = 6.0  // pt
)

// textScales are those of the text of a comparison against its usual size, from
// the most comfortable to the smallest that can be read. The first of them are
// good enough for the first page.
var textScales = [...]float64{1, 0.94, 0.88, 0.83, 0.79, 0.75}

const openingScales = 2

// comparison sets the options side by side, on one page: the first, or else one
// of its own.
func (p *quotePaper) comparison() {
	c := p.Comparison
	if len(c.Columns) == 0 {
		return
	}
	page := p.pageHeight - bottomMargin
	rest := page - firstTop - height(p.blocks, true)
	if blocks, ok := p.fitted(c, rest, false, textScales[:openingScales], openingPictures); ok {
		p.add(blocks...)
		return
	}
	p.choice()
	c.Intro = ""
	blocks, _ := p.fitted(c, page-nextTop, true, textScales[:], leastPictures)
	blocks[0].room = page - nextTop
	p.add(blocks...)
}

// fitted sets the comparison as large as a height lets it be, first its text and
// then its pictures, at the head of a page or below other things. It reports
// false where it does not fit at all.
func (p *quotePaper) fitted(c document.Comparison, within float64, head bool, scales []float64, pictures float64) (blocks []block, ok bool) {
	for _, text := range scales {
		blocks = p.compared(c, text, pictures)
		if spare := within - height(blocks, head) - 0.01; spare >= 0 {
			return p.compared(c, text, min(pictures+spare, tallestPictures)), true
		}
	}
	return blocks, false
}

// choice names the options and their totals on the first page.
func (p *quotePaper) choice() {
	p.paragraph(p.left, p.wrap(p.Comparison.Intro, body, p.width), 9, true)
	for i, o := range p.Options {
		amount := p.shorten(o.Prices.Total.Value, total, p.width*0.4)
		label := p.shorten(o.Name, cakeName, p.width-amount.width-column)
		b := block{height: cakeName.height() + 3.2, keep: i < len(p.Options)-1, draw: func(c *canvas, y float64) {
			c.rule(p.left, y, p.width, rule)
			c.text(p.left, y+1.6+cakeName.ascent(), label)
			c.textEnd(p.right(), y+1.6+cakeName.ascent(), amount)
		}}
		if i == 0 {
			b.above = 3
		}
		p.add(b)
	}
}

// compared sets the comparison with its text at a scale and its pictures of a
// height at most, as blocks that stay together.
func (p *quotePaper) compared(c document.Comparison, text, pictures float64) []block {
	w := comparedPaper{quotePaper: p, text: text, pictures: pictures, columns: c.Columns}
	n := float64(len(c.Columns))
	w.wide = (p.width - comparedGap*(n-1)) / n
	from := len(p.blocks)
	p.section(c.Heading, 8)
	p.paragraph(p.left, p.wrap(c.Intro, body, p.width), 0, true)
	blocks := append([]block(nil), p.blocks[from:]...)
	p.blocks = p.blocks[:from]
	blocks = append(append(blocks, w.names()...), w.drawings())
	for _, r := range c.Rows {
		switch r.Kind {
		case document.CakesRow:
			blocks = append(blocks, w.row(r, w.cakes)...)
		case document.SizesRow: // named with the cakes
		case document.TotalRow:
			blocks = append(blocks, w.row(r, w.total)...)
		default:
			blocks = append(blocks, w.row(r, w.plain)...)
		}
	}
	for i := range blocks {
		blocks[i].keep = true
	}
	note := p.wrap(c.Note, w.scaled(small), p.width)
	for i, l := range note {
		b := textBlock(p.left, l)
		if b.keep = true; i == 0 {
			b.above = 2
		}
		blocks = append(blocks, b)
	}
	blocks[len(blocks)-1].keep = false
	return blocks
}

// comparedPaper is a comparison on its way to paper.
type comparedPaper struct {
	*quotePaper
	text     float64 // its scale
	pictures float64 // their height at most
	columns  []document.ComparedOption
	wide     float64 // a column
}

// at is the left edge of a column.
func (w comparedPaper) at(i int) float64 { return w.left + float64(i)*(w.wide+comparedGap) }

// scaled makes st smaller, but not too small to be read.
func (w comparedPaper) scaled(st style) style {
	st.size = max(st.size*w.text, leastText)
	return st
}

// names heads the columns.
func (w comparedPaper) names() []block {
	st := w.scaled(style{face: serif, size: 13, ink: accent, leading: 1.2})
	cells := make([][]line, len(w.columns))
	for i, c := range w.columns {
		cells[i] = w.wrap(c.Name, st, w.wide)
	}
	return w.band(cells, line{}, 2.2, 1.2)
}

// drawings are the pictures, all on one ground and scaled alike.
func (w comparedPaper) drawings() block {
	k, tallest := 1.15, 0.0
	for _, c := range w.columns {
		if !c.Picture.Empty() && c.Picture.Width > 0 && c.Picture.Height > 0 {
			k = min(k, w.wide/c.Picture.Width, w.pictures/c.Picture.Height)
			tallest = max(tallest, c.Picture.Height)
		}
	}
	labels := make([]map[int]line, len(w.columns))
	for i, c := range w.columns {
		labels[i] = w.pictureLabels(c.Picture, k, leastText)
	}
	h := k * tallest
	if h > 0 {
		h += 2
	}
	return block{height: h, draw: func(c *canvas, y float64) {
		w.divide(c, y, h, line{})
		for i, o := range w.columns {
			x := w.at(i) + (w.wide-k*o.Picture.Width)/2
			c.picture(x, y+1+k*(tallest-o.Picture.Height), k, o.Picture, labels[i])
		}
	}}
}

// row is one line of the comparison, its label small above the cells, which set
// makes of their column and its entries.
func (w comparedPaper) row(r document.ComparedRow, set func(column int, entries []string) []line) []block {
	label := w.shorten(strings.ToUpper(r.Label), w.scaled(eyebrow), w.width)
	cells := make([][]line, len(w.columns))
	for i := range cells {
		if i < len(r.Cells) {
			cells[i] = set(i, r.Cells[i])
		}
		if len(cells[i]) == 0 {
			cells[i] = []line{w.line("–", w.scaled(small))} // none, not forgotten
		}
	}
	blocks := w.band(cells, label, label.style.height()+0.8, 1.2)
	first := &blocks[0]
	inner, h := first.draw, first.height
	first.draw = func(c *canvas, y float64) {
		if r.Kind == document.TotalRow {
			c.fill(w.left-2, y, w.width+4, h, cream)
		}
		c.rule(w.left, y, w.width, rule)
		c.text(w.left, y+0.7+label.style.ascent(), label)
		inner(c, y)
	}
	return blocks
}

func (w comparedPaper) plain(_ int, entries []string) []line {
	var lines []line
	for _, s := range entries {
		lines = append(lines, w.wrap(s, w.scaled(smallInk), w.wide)...)
	}
	return lines
}

// cakes names each cake over its tiers, from the top down.
func (w comparedPaper) cakes(column int, entries []string) []line {
	named, sized := w.scaled(style{face: serif, size: 10.5, ink: ink, leading: 1.3}), w.scaled(small)
	var lines []line
	for i, s := range entries {
		if i > 0 {
			lines = append(lines, line{style: style{size: 3, leading: 1}}) // a little space
		}
		lines = append(lines, w.wrap(s, named, w.wide)...)
		if i >= len(w.columns[column].Cakes) {
			continue
		}
		tiers := w.columns[column].Cakes[i].Tiers
		for j := len(tiers) - 1; j >= 0; j-- {
			t := tiers[j]
			text := t.Name + " · " + t.Size
			if t.Note != "" {
				text += " · " + t.Note
			}
			lines = append(lines, w.wrap(text, sized, w.wide)...)
		}
	}
	return lines
}

// total keeps each sum on one line.
func (w comparedPaper) total(_ int, entries []string) []line {
	var lines []line
	for _, s := range entries {
		st := w.scaled(total)
		l := w.line(s, st)
		if l.width > w.wide {
			st.size *= w.wide / l.width
			l = w.line(s, st)
		}
		lines = append(lines, l)
	}
	return lines
}

// band sets the cells of a row beside one another, with space over them, which
// may hold a label, and under them. It is one block unless a cell is as long as
// a page.
func (w comparedPaper) band(cells [][]line, label line, over, under float64) []block {
	const most = 30
	longest := 0
	for _, lines := range cells {
		longest = max(longest, len(lines))
	}
	var blocks []block
	for from := 0; from == 0 || from < longest; from += most {
		part := make([][]line, len(cells))
		for i, lines := range cells {
			part[i] = lines[min(from, len(lines)):min(from+most, len(lines))]
		}
		below := 0.0
		if from+most >= longest {
			below = under
		}
		blocks = append(blocks, w.strip(part, label, over, below))
		label, over = line{}, 0
	}
	return blocks
}

// strip is a part of a band.
func (w comparedPaper) strip(cells [][]line, label line, over, under float64) block {
	most := 0.0
	for _, lines := range cells {
		h := 0.0
		for _, l := range lines {
			h += l.style.height()
		}
		most = max(most, h)
	}
	h := over + most + under
	return block{height: h, draw: func(c *canvas, y float64) {
		w.divide(c, y, h, label)
		for i, lines := range cells {
			at := y + over
			for _, l := range lines {
				c.text(w.at(i), at+l.style.ascent(), l)
				at += l.style.height()
			}
		}
	}}
}

// divide draws the rules between the columns, clear of the label over them.
func (w comparedPaper) divide(c *canvas, y, h float64, label line) {
	c.drawIn(rule)
	c.pdf.SetLineWidth(0.2)
	for i := 1; i < len(w.columns); i++ {
		x, from := w.at(i)-comparedGap/2, y
		if x < w.left+label.width+1 && label.width > 0 {
			from += label.style.height() + 0.7
		}
		c.pdf.Line(x, from, x, y+h)
	}
}
