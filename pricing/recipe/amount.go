package recipe

import (
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// afterFigure reads unit, packs and a second measure, and returns the rest.
func (p *parser) afterFigure(ts []token) []token {
	// "2 x 250 g packs"
	if len(ts) > 1 && (ts[0].text == "x" || ts[0].text == "X" || ts[0].text == "*") {
		if each, n := p.quantity(ts[1:]); n > 0 && each.Unit.Word != "" {
			rest := ts[1+n:]
			container, m := p.unit(rest, 0)
			if m > 0 && !container.known() {
				rest = rest[m:]
			}
			p.packs(p.line.Amount, each, container.Word)
			return rest
		}
		ts = ts[1:] // "2 x eggs"
	}
	if len(ts) > 1 && !ts[0].stop && (ts[0].bare == "a" || ts[0].bare == "an") { // "1/2 a lemon"
		ts = ts[1:]
	}
	// "1 (14 oz) can", "2 large (400 g) tins"
	if each, rest, ok := p.bracket(ts); ok {
		if container, m := p.unit(rest, 0); m > 0 && container.packs {
			p.packs(p.line.Amount, each, container.Word)
			return rest[m:]
		}
		p.line.Also = &each
		return rest
	}
	// "1 14-oz can", "1 400 g tin"
	if len(ts) > 2 && ts[0].kind == figure {
		if each, n := p.quantity(ts); n > 0 && each.Unit.Word != "" {
			if container, m := p.unit(ts[n:], 0); m > 0 && container.packs {
				p.doubt("it was read as %s × %s %s", p.line.Amount.Text(), each.Amount.Text(), each.Unit.Word)
				p.packs(p.line.Amount, each, container.Word)
				return ts[n+m:]
			}
		}
	}
	ts = p.size(ts)
	if len(ts) > 1 && ts[0].text == "-" { // "14-oz"
		if _, n := p.unit(ts, 1); n > 0 {
			ts = ts[1:]
		}
	}
	u, n := p.unit(ts, 0)
	if n > 0 && p.partOfName(ts, u, n) {
		return ts
	}
	if n == 0 {
		return ts
	}
	p.line.Unit = u
	rest := ts[n:]
	if p.line.Amount.Given && u.Times.Sign() > 0 && !u.Times.Equal(exact.Int(1)) {
		p.line.Amount = p.line.Amount.times(u.Times)
		p.line.Unit.Times = exact.Int(1)
	}
	if n := p.andHalf(rest); n > 0 && p.line.Amount.Given { // "1 litre et demi"
		half := exact.Frac(1, 2)
		p.line.Amount.Low, p.line.Amount.High = p.line.Amount.Low.Add(half), p.line.Amount.High.Add(half)
		rest = rest[n:]
	}
	if m, ok := u.Measure(); ok && m.Dimension() == measure.Length && len(rest) > 1 { // "5 cm piece of ginger"
		if piece, n := p.unit(rest, 0); n > 0 && n < len(rest) && !piece.packs {
			rest = rest[n:]
		}
	}
	rest = p.size(rest)
	return p.afterUnit(rest)
}

// partOfName reports whether what looks like a unit is the ingredient itself,
// since nothing else follows: "2 leaves", or a word that is both.
func (p *parser) partOfName(ts []token, u Unit, n int) bool {
	if u.known() && u.Word != "each" {
		return false
	}
	rest := ts[n:]
	if len(rest) == 0 || rest[0].text == "," {
		return true
	}
	// "2 cinnamon sticks" never gets here; "1 Würfel Hefe" does and is a unit.
	if u.Word == "each" && len(rest) > 0 && rest[0].text == "(" {
		return false
	}
	return false
}

// afterUnit reads what may follow a unit: a measure in brackets, a second one
// after "plus" or a slash, what a can holds.
func (p *parser) afterUnit(ts []token) []token {
	for range 3 {
		before := len(ts)
		ts = p.secondMeasure(ts)
		if len(ts) == before {
			break
		}
	}
	return ts
}

func (p *parser) secondMeasure(ts []token) []token {
	if len(ts) == 0 {
		return ts
	}
	if each, rest, ok := p.bracket(ts); ok {
		p.beside(each, ts[:len(ts)-len(rest)])
		return rest
	}
	switch joint := ts[0].bare; {
	case joint == "plus" || joint == "+" || joint == "and" || joint == "et" || joint == "und" || joint == "&":
		if m, n := p.quantity(ts[1:]); n > 0 && m.Unit.Word != "" && p.line.Unit.Word != "" && p.line.Plus == nil && len(ts) > 1+n && ts[1+n].text != ")" {
			if extraWords(ts[1+n:]) {
				return ts
			}
			p.line.Plus = &m
			return ts[1+n:]
		}
	case joint == "/" || joint == "or" || joint == "ou" || joint == "oder" || joint == "=" || joint == "|":
		if m, n := p.quantity(ts[1:]); n > 0 && m.Unit.Word != "" && p.line.Also == nil {
			p.line.Also = &m
			return ts[1+n:]
		}
	case (joint == "a" || joint == "je" || joint == "de" || joint == "of" || joint == "d" || joint == "von" || joint == "mit") && p.line.Unit.packs:
		if m, n := p.quantity(ts[1:]); n > 0 && m.Unit.Word != "" && p.line.Packs == nil {
			p.packs(p.line.Amount, m, p.line.Unit.Word)
			return ts[1+n:]
		}
	}
	if m, n := p.quantity(ts); n > 0 && ts[0].kind == figure && p.line.Plus == nil && p.line.Also == nil && smaller(m.Unit, p.line.Unit) { // "1 lb 2 oz"
		p.line.Plus = &m
		return ts[n:]
	}
	if p.line.Unit.packs && p.line.Packs == nil && ts[0].kind == figure { // "1 Dose 400 g Kirschen"
		if m, n := p.quantity(ts); n > 0 && m.Unit.Word != "" {
			p.packs(p.line.Amount, m, p.line.Unit.Word)
			return ts[n:]
		}
	}
	return ts
}

// smaller reports whether u is a smaller unit of the same dimension as of.
func smaller(u, of Unit) bool {
	a, known := u.Measure()
	b, too := of.Measure()
	return known && too && a.Dimension() == b.Dimension() && a.Factor(measure.Metric).Cmp(b.Factor(measure.Metric)) < 0
}

// extraWords reports whether what follows "plus 2 tbsp" is its own purpose.
func extraWords(ts []token) bool {
	return len(ts) > 0 && (ts[0].bare == "for" || ts[0].bare == "extra" || ts[0].bare == "more" || ts[0].bare == "pour" || ts[0].bare == "fur")
}

// beside takes a measure in brackets: what one pack holds, or the same again.
func (p *parser) beside(m Measured, bracket []token) {
	if p.line.Packs != nil || !p.line.Unit.packs {
		if p.line.Also == nil {
			p.line.Also = &m
		}
		return
	}
	count := p.line.Amount
	if count.Low.Cmp(exact.Int(1)) < 0 { // half a sachet is 3.5 g: the figure is of what is used
		p.doubt("%s %s in brackets was taken for all that is used", m.Amount.Text(), m.Unit.Word)
		p.line.Also = &m
		return
	}
	said := false
	for _, t := range bracket {
		said = said || t.bare == "each" || t.bare == "a" || t.bare == "je" || t.bare == "chacun" || t.bare == "chacune" || t.bare == "piece"
	}
	if !said && !(count.Low.Equal(exact.Int(1)) && !count.Range()) {
		p.doubt("%s %s in brackets was taken for one %s, not for all", m.Amount.Text(), m.Unit.Word, p.line.Unit.Word)
	}
	p.packs(count, m, p.line.Unit.Word)
}

func (p *parser) packs(count Amount, each Measured, container string) {
	p.line.Packs = &Packs{Count: count, Each: each, Word: container}
	p.line.Unit = each.Unit
	a := Amount{Low: count.Low.Mul(each.Amount.Low), High: count.High.Mul(each.Amount.High), Given: true, About: count.About}
	p.line.Amount = a
}

// bracket reads a measure that stands alone in brackets: "(400 g)", "(ca. 120
// g each)", "(14 oz / 400 g)".
func (p *parser) bracket(ts []token) (Measured, []token, bool) {
	if len(ts) < 3 || ts[0].text != "(" && ts[0].text != "[" {
		return Measured{}, ts, false
	}
	end := 1
	for end < len(ts) && ts[end].text != ")" && ts[end].text != "]" {
		end++
	}
	inside := ts[1:min(end, len(ts))]
	for len(inside) > 0 && (roughly[inside[0].bare] || inside[0].text == "~" || inside[0].bare == "a" || inside[0].bare == "je" || inside[0].text == "=" || inside[0].bare == "soit" || inside[0].bare == "de") {
		inside = inside[1:]
	}
	if len(inside) == 0 || inside[0].kind != figure {
		return Measured{}, ts, false
	}
	m, n := p.quantity(inside)
	if n == 0 || m.Unit.Word == "" {
		return Measured{}, ts, false
	}
	if unit, ok := m.Unit.Measure(); ok && unit.Dimension() == measure.Length {
		return Measured{}, ts, false // of a tin or case
	}
	rest := inside[n:]
	if len(rest) > 1 && (rest[0].text == "/" || rest[0].text == "," || rest[0].text == ";" || rest[0].bare == "or" || rest[0].text == "=") {
		if other, k := p.quantity(rest[1:]); k > 0 && other.Unit.Word != "" {
			if metric(other.Unit) && !metric(m.Unit) {
				m = other
			}
			rest = rest[1+k:]
		}
	}
	for len(rest) > 0 && (rest[0].bare == "each" || rest[0].bare == "chacun" || rest[0].bare == "chacune" || rest[0].bare == "total" || rest[0].bare == "piece" || rest[0].bare == "in") {
		rest = rest[1:]
	}
	if len(rest) > 0 {
		return Measured{}, ts, false
	}
	return m, ts[min(end+1, len(ts)):], true
}

func metric(u Unit) bool {
	switch u.Word {
	case "mg", "g", "kg", "ml", "cl", "dl", "l":
		return true
	}
	return false
}

// quantity reads a figure and its unit.
func (p *parser) quantity(ts []token) (Measured, int) {
	skip := 0
	for skip < len(ts) && skip < 2 && roughly[ts[skip].bare] {
		skip++
	}
	if skip == len(ts) || ts[skip].kind != figure && numberWords[ts[skip].bare].IsZero() {
		return Measured{}, 0
	}
	scratch := Line{}
	q := parser{context: p.context, line: &scratch, text: p.text}
	a, n := q.figures(ts[skip:])
	if n == 0 {
		return Measured{}, 0
	}
	n += skip
	if n < len(ts) && ts[n].text == "-" {
		if _, m := p.unit(ts, n+1); m > 0 {
			n++
		}
	}
	for n < len(ts) && sizes[ts[n].bare] != "" {
		n++
	}
	u, m := p.unit(ts, n)
	if m == 0 {
		return Measured{}, 0
	}
	p.line.Faults = append(p.line.Faults, scratch.Faults...)
	p.line.Doubts = append(p.line.Doubts, scratch.Doubts...)
	if u.Times.Sign() > 0 && !u.Times.Equal(exact.Int(1)) {
		a, u.Times = a.times(u.Times), exact.Int(1)
	}
	return Measured{a, u}, n + m
}

// size cuts a word for the size from the head of ts.
func (p *parser) size(ts []token) []token {
	for len(ts) > 1 {
		t := ts[0]
		s := sizes[t.bare]
		if t.bare == "extra" && sizes[ts[1].bare] == "large" {
			p.line.Size = "extra large"
			ts = ts[2:]
			continue
		}
		if roughly[t.bare] && t.bare != "a" {
			if _, n := p.unit(ts, 1); n > 0 {
				p.line.Amount.About = true
				ts = ts[1:]
				continue
			}
		}
		if s == "" || len(t.bare) == 1 {
			return ts
		}
		if s == "whole" {
			if p.line.Unit.Word != "" { // whole milk
				return ts
			}
			p.note(t.text)
			ts = ts[1:]
			continue
		}
		if p.line.Size == "" {
			p.line.Size = s
		}
		ts = ts[1:]
		if len(ts) > 1 && ts[0].text == "," {
			return ts
		}
	}
	return ts
}
