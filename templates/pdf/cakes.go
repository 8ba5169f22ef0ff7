package pdf

import (
	"marchpane/templates/document"
)

// cakes describes the designs, each with its picture beside its tiers.
func (p *quotePaper) cakes() {
	for i, cake := range p.Cakes {
		if i == 0 && p.Design != "" {
			p.section(p.Design, 6.5)
		}
		p.cake(cake, i > 0)
	}
}

func (p *quotePaper) cake(cake document.Cake, further bool) {
	above := 1.0
	if further {
		above = 7
	}
	p.paragraph(p.left, p.wrap(cake.Name, cakeName, p.width), above, true)
	for _, s := range []string{cake.Quantity, cake.Description} {
		lines := p.wrap(s, bodyQuiet, p.width*0.86)
		p.paragraph(p.left, lines, 0, len(lines) <= 6)
	}
	p.paragraph(p.left, p.wrap(cake.Portions, body, p.width), 1, len(cake.Tiers) > 0)
	p.design(cake)
}

// design puts the picture beside the list of tiers, or above it where there
// are many.
func (p *quotePaper) design(cake document.Cake) {
	listLeft := p.left + pictureWidth + column
	picture := p.pictureBlock(cake.Picture, len(cake.Tiers))
	list := p.tierList(cake.Tiers, listLeft, p.right()-listLeft)
	h := height(list, true)
	if picture.draw != nil && len(cake.Tiers) <= besideTiers && h <= 1.2*pictureHeight {
		shift := max(picture.height-h, 0) / 2 // the shorter stands in the middle
		lowered := append([]block{{height: shift, draw: func(*canvas, float64) {}}}, list...)
		p.add(beside(3, []block{picture}, lowered))
		return
	}
	if picture.draw != nil {
		picture.above = 3
		p.add(picture)
	}
	p.tierTable(cake.Tiers)
}

// pictureBlock makes room for a picture; without one its draw is nil.
func (p *quotePaper) pictureBlock(picture document.Picture, tiers int) block {
	if picture.Empty() || picture.Width <= 0 || picture.Height <= 0 {
		return block{}
	}
	width, height := PictureSize(tiers)
	k := min(1, width/picture.Width, height/picture.Height)
	labels := p.pictureLabels(picture, k, 0)
	x := p.left + (width-k*picture.Width)/2
	return block{height: k * picture.Height, draw: func(c *canvas, y float64) {
		c.picture(x, y, k, picture, labels)
	}}
}

// pictureLabels sets the labels of a picture that is scaled by k, in least pt
// at least.
func (p *quotePaper) pictureLabels(picture document.Picture, k, least float64) map[int]line {
	labels := map[int]line{}
	for i, s := range picture.Shapes {
		if l, ok := s.(document.Label); ok {
			labels[i] = p.line(l.Text, style{face: sans, size: max(l.Size*k, least), ink: tones[l.Tone], leading: 1})
		}
	}
	return labels
}

// tierList names the tiers from the top down, as they stand in the picture.
func (p *quotePaper) tierList(tiers []document.Tier, x, width float64) []block {
	var blocks []block
	for i := len(tiers) - 1; i >= 0; i-- {
		t := tiers[i]
		var lines []line
		lines = append(lines, p.wrap(t.Name, name, width)...)
		lines = append(lines, p.wrap(t.Size, smallInk, width)...)
		lines = append(lines, p.wrap(about(t), small, width)...)
		top := i == len(tiers)-1
		for j, l := range lines {
			b := textBlock(x, l)
			b.keep = j < len(lines)-1 && len(lines) <= 12
			if j == 0 && !top {
				b.above = 3.6
				inner := b.draw
				b.draw = func(c *canvas, y float64) {
					c.rule(x, y-1.8, width, rule)
					inner(c, y)
				}
			}
			blocks = append(blocks, b)
		}
	}
	return blocks
}

// about says how many portions a tier holds and what sets it apart.
func about(t document.Tier) string {
	if t.Portions == "" || t.Note == "" {
		return t.Portions + t.Note
	}
	return t.Portions + " · " + t.Note
}

// tierTable lists the tiers over the full width, one line each where that
// suffices.
func (p *quotePaper) tierTable(tiers []document.Tier) {
	names, portions := 42.0, 44.0
	sizes := p.width - names - portions
	for i := len(tiers) - 1; i >= 0; i-- {
		t := tiers[i]
		columns := [3][]line{p.wrap(t.Name, name, names-2), p.wrap(t.Size, body, sizes-2), p.wrap(about(t), body, portions)}
		rows := max(len(columns[0]), len(columns[1]), len(columns[2]))
		for row := range rows {
			last := row == rows-1
			b := block{height: name.height(), keep: !last && rows <= 12}
			if row == 0 {
				b.above = 1.8
			}
			b.draw = func(c *canvas, y float64) {
				x := p.left
				for col, width := range [3]float64{names, sizes, portions} {
					if row < len(columns[col]) {
						c.text(x, y+name.ascent(), columns[col][row])
					}
					x += width
				}
				if last {
					c.rule(p.left, y+b.height+0.9, p.width, rule)
				}
			}
			p.add(b)
		}
	}
}
