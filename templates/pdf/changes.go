package pdf

// changes says what the revision changes, in words and in money.
func (p *quotePaper) changes() {
	c := p.Changes
	if len(c.Lines) == 0 {
		return
	}
	p.section(c.Heading, 6.5)
	intro := p.wrap(c.Intro, small, p.width)
	p.paragraph(p.left, intro, 0, len(intro) <= 6)
	option := ""
	for _, l := range c.Lines {
		if l.Option != "" && l.Option != option {
			b := textBlock(p.left, p.shorten(l.Option, name, p.width))
			b.above, b.keep = 1.2, true
			p.add(b)
		}
		option = l.Option
		st, amount := smallInk, p.figure(l.Money, moneyWidth)
		if l.Total {
			st = name
		}
		lines := p.wrap(l.Text, st, p.width-moneyWidth-figureGap)
		for i, text := range lines {
			ends := i == len(lines)-1
			b := block{height: st.height(), keep: !ends && len(lines) <= 12}
			if ends {
				b.height += 0.9
			}
			b.draw = func(cv *canvas, y float64) {
				cv.text(p.left, y+st.ascent(), text)
				if i == 0 {
					cv.textEnd(p.right(), y+st.ascent(), amount)
				}
				if ends {
					cv.rule(p.left, y+b.height, p.width, rule)
				}
			}
			p.add(b)
		}
	}
}
