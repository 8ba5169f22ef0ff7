package pdf

import (
	"slices"

	"golang.org/x/text/unicode/bidi"
)

// levels returns how deeply each character of a paragraph is embedded, by the
// Unicode Bidirectional Algorithm (UAX #9): odd levels run from right to left.
// It is nil where all runs from left to right. Direction marks were taken out
// before, so no explicit levels arise.
//
// The classes of characters come from golang.org/x/text. Its own ordering pairs
// no brackets and says which way a run goes, not how deeply it is embedded; so
// the rules are worked here.
func levels(runes []rune) []uint8 {
	if !slices.ContainsFunc(runes, fromRight) {
		return nil
	}
	p := paragraph{runes: runes, base: baseLevel(runes), types: make([]bidi.Class, len(runes))}
	for i, r := range runes {
		p.types[i] = class(r)
	}
	p.weak()
	p.brackets()
	p.neutrals()
	out := make([]uint8, len(runes))
	for i, t := range p.types { // rules I1 and I2
		out[i] = p.base
		switch {
		case t == bidi.R && p.base == 0, t == bidi.L && p.base == 1, t == bidi.EN && p.base == 1, t == bidi.AN && p.base == 1:
			out[i]++
		case t == bidi.EN, t == bidi.AN:
			out[i] += 2
		}
	}
	// Spaces at the end stand where the line ends (rule L1).
	for i := len(out) - 1; i >= 0 && class(runes[i]) == bidi.WS; i-- {
		out[i] = p.base
	}
	return out
}

// paragraph is a paragraph on its way to levels.
type paragraph struct {
	runes []rune
	types []bidi.Class
	base  uint8
}

func class(r rune) bidi.Class {
	p, _ := bidi.LookupRune(r)
	return p.Class()
}

// fromRight reports whether r makes a paragraph one that has to be ordered.
func fromRight(r rune) bool {
	if r < 0x0590 {
		return false
	}
	switch class(r) {
	case bidi.R, bidi.AL, bidi.AN:
		return true
	}
	return false
}

// baseLevel is that of the first letter (rules P2 and P3).
func baseLevel(runes []rune) uint8 {
	for _, r := range runes {
		switch class(r) {
		case bidi.L:
			return 0
		case bidi.R, bidi.AL:
			return 1
		}
	}
	return 0
}

// direction is that of the paragraph, as a class.
func (p *paragraph) direction() bidi.Class {
	if p.base == 1 {
		return bidi.R
	}
	return bidi.L
}

// weak resolves marks, numbers and the signs that go with numbers (rules W1 to
// W7); what is left over is neutral.
func (p *paragraph) weak() {
	t := p.types
	before, strong := p.direction(), p.direction()
	for i := range t {
		if t[i] == bidi.NSM { // W1
			t[i] = before
		}
		before = t[i]
		switch t[i] {
		case bidi.L, bidi.R, bidi.AL:
			strong = t[i]
		case bidi.EN:
			if strong == bidi.AL { // W2
				t[i] = bidi.AN
			}
		}
	}
	for i := range t { // W3
		if t[i] == bidi.AL {
			t[i] = bidi.R
		}
	}
	for i := 1; i+1 < len(t); i++ { // W4
		a := t[i-1]
		if a == t[i+1] && (a == bidi.EN && (t[i] == bidi.ES || t[i] == bidi.CS) || a == bidi.AN && t[i] == bidi.CS) {
			t[i] = a
		}
	}
	stretches(t, func(c bidi.Class) bool { return c == bidi.ET }, func(from, to int) { // W5
		if p.at(from-1) == bidi.EN || p.at(to) == bidi.EN {
			fill(t[from:to], bidi.EN)
		}
	})
	strong = p.direction()
	for i := range t {
		switch t[i] {
		case bidi.L, bidi.R:
			strong = t[i]
		case bidi.EN:
			if strong == bidi.L { // W7
				t[i] = bidi.L
			}
		case bidi.AN:
		default: // W6
			t[i] = bidi.ON
		}
	}
}

// at returns the type at i; before and behind the paragraph it is that of the
// paragraph.
func (p *paragraph) at(i int) bidi.Class {
	if i < 0 || i >= len(p.types) {
		return p.direction()
	}
	return p.types[i]
}

// side returns the direction that a type counts as among neutrals, where numbers
// run from right to left; [bidi.ON] for a neutral.
func side(t bidi.Class) bidi.Class {
	switch t {
	case bidi.EN, bidi.AN:
		return bidi.R
	}
	return t
}

// brackets gives pairs of brackets the direction of what is in them (rule N0).
func (p *paragraph) brackets() {
	for _, pair := range p.pairs() {
		inside := bidi.ON
		for i := pair[0] + 1; i < pair[1]; i++ {
			if s := side(p.types[i]); s == p.direction() {
				inside = s
				break
			} else if s != bidi.ON {
				inside = s
			}
		}
		if inside == bidi.ON {
			continue
		}
		if inside != p.direction() {
			i := pair[0] - 1
			for i >= 0 && side(p.types[i]) == bidi.ON {
				i--
			}
			inside = side(p.at(i))
		}
		for _, at := range pair {
			p.types[at] = inside
			for i := at + 1; i < len(p.runes) && class(p.runes[i]) == bidi.NSM; i++ {
				p.types[i] = inside
			}
		}
	}
}

// pairs finds brackets that belong together, in the order in which they open
// (definition BD16).
func (p *paragraph) pairs() (pairs [][2]int) {
	var open []int
	for i, r := range p.runes {
		props, _ := bidi.LookupRune(r)
		switch {
		case !props.IsBracket() || p.types[i] != bidi.ON:
		case props.IsOpeningBracket():
			if len(open) == 63 {
				return nil
			}
			open = append(open, i)
		default:
			for j := len(open) - 1; j >= 0; j-- {
				if mirror(p.runes[open[j]]) == r {
					pairs = append(pairs, [2]int{open[j], i})
					open = open[:j]
					break
				}
			}
		}
	}
	slices.SortFunc(pairs, func(a, b [2]int) int { return a[0] - b[0] })
	return pairs
}

// neutrals gives what is left the direction of its neighbours where they agree,
// else that of the paragraph (rules N1 and N2).
func (p *paragraph) neutrals() {
	stretches(p.types, func(c bidi.Class) bool { return c == bidi.ON }, func(from, to int) {
		way := p.direction()
		if before := side(p.at(from - 1)); before == side(p.at(to)) {
			way = before
		}
		fill(p.types[from:to], way)
	})
}

// stretches calls do for every longest stretch whose types all are wanted.
func stretches(types []bidi.Class, wanted func(bidi.Class) bool, do func(from, to int)) {
	for from := 0; from < len(types); from++ {
		to := from
		for to < len(types) && wanted(types[to]) {
			to++
		}
		if to > from {
			do(from, to)
			from = to - 1
		}
	}
}

func fill(types []bidi.Class, with bidi.Class) {
	for i := range types {
		types[i] = with
	}
}

// visual returns glyphs in the order in which they stand on a line (rule L2),
// with brackets turned where they run from right to left (rule L4).
func visual(glyphs []glyph, st style) []glyph {
	var deepest uint8
	for _, g := range glyphs {
		deepest = max(deepest, g.level)
	}
	if deepest == 0 {
		return glyphs
	}
	out := slices.Clone(glyphs)
	for level := deepest; level > 0; level-- {
		for i := 0; i < len(out); i++ {
			end := i
			for end < len(out) && out[end].level >= level {
				end++
			}
			slices.Reverse(out[i:end])
			i = max(i, end-1)
		}
	}
	for i, g := range out {
		if g.level%2 == 0 {
			continue
		}
		if r := mirror(g.r); r != g.r {
			if turned, ok := pick(r, st.face); ok {
				turned.level = g.level
				out[i] = turned
			}
		}
	}
	return out
}

// mirror returns the counterpart of a bracket or quotation mark.
func mirror(r rune) rune {
	switch r {
	case '<':
		return '>'
	case '>':
		return '<'
	case '«':
		return '»'
	case '»':
		return '«'
	case '‹':
		return '›'
	case '›':
		return '‹'
	}
	return []rune(bidi.ReverseString(string(r)))[0]
}
