package recipe

import (
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/names"
)

// withoutFigure reads a line that begins with no figure: a trailing amount,
// "pinch of salt", "salt to taste".
func (p *parser) withoutFigure(ts []token) {
	if len(ts) > 1 {
		two := ts[0].bare + " " + ts[1].bare
		for w, n := range map[string]int{two: 2, ts[0].bare: 1} {
			if vague[w] && len(ts) > n {
				p.line.Unmeasured = true
				p.doubt("%q says no amount", p.between(ts[:n]))
				rest := ts[n:]
				if u, m := p.unit(rest, 0); m > 0 && m < len(rest) {
					p.line.Unit = u
					rest = rest[m:]
				}
				p.ingredient(rest)
				return
			}
		}
	}
	if ts[0].bare == "couple" && len(ts) > 1 {
		p.keep(one(exact.Int(2)))
		p.doubt("“couple” was read as 2")
		p.ingredient(p.afterFigure(p.skipOf(ts[1:])))
		return
	}
	// "Pinch of salt", "Prise Salz", "heaped tsp baking powder"
	rest := p.size(ts)
	if u, n := p.unit(rest, 0); n > 0 && n < len(rest) && rest[n].text != "," && !(u.known() && u.Word != "tsp" && u.Word != "tbsp" && u.Word != "cup") && len(rest[0].text) > 1 {
		p.keep(one(exact.Int(1)))
		p.line.Unit = u
		if u.known() || u.packs {
			p.doubt("no figure stands there; it was read as 1 %s", u.Word)
		}
		p.ingredient(p.afterUnit(rest[n:]))
		return
	}
	p.line.Size = ""
	if p.trailing(ts) {
		return
	}
	p.ingredient(ts)
}

// beforeNumber are words whose number is part of a name: "Type 55".
var beforeNumber = set("type t size no nr numero taille grosse")

func (p *parser) skipOf(ts []token) []token {
	if len(ts) > 1 && ofWords[ts[0].bare] {
		return ts[1:]
	}
	return ts
}

// trailing reads "Butter: 125 g", "flour – 200 g, sifted", "Zucker (200 g)".
func (p *parser) trailing(ts []token) bool {
	for i := 1; i < len(ts); i++ {
		if ts[i].kind != figure || ts[i-1].text == "(" && i < 2 {
			continue
		}
		bracketed := ts[i-1].text == "("
		sep := ts[i-1].text == ":" || ts[i-1].text == "-" || ts[i-1].text == "," || bracketed || ts[i-1].text == "=" || ts[i-1].text == "|"
		m, n := p.quantity(ts[i:])
		if n == 0 || m.Unit.Word == "" {
			a, k := p.probe(ts[i:])
			if last := len(ts) - 1; i == last && i < 3 && !sep && k == 1 && ts[i-1].kind == word && len(ts[i].text) < 3 && !beforeNumber[ts[i-1].bare] { // "Lemons 2"
				sep = true
				p.doubt("the figure at the end was read as the amount")
			}
			if k == 0 || !sep || bracketed || i+k != len(ts) || ts[i-1].text == "," {
				continue
			}
			m, n = Measured{Amount: a}, k // "Eggs: 3"
		}
		end := i + n
		if end < len(ts) && ts[end].text != "," && ts[end].text != ")" && ts[end].text != "(" && ts[end].text != ";" && !tailAt(ts, end) {
			continue
		}
		if !sep && m.Unit.Word != "" && !m.Unit.known() {
			continue // "eggs 2 leaves"
		}
		last := i
		for last > 0 && (ts[last-1].kind == sign && ts[last-1].text != ")" && ts[last-1].text != "%") {
			last--
		}
		if last == 0 {
			return false
		}
		if _, k := p.unit(ts, i-1); k > 0 && !sep {
			continue
		}
		p.keep(m.Amount)
		p.line.Unit = m.Unit
		var rest []token
		if end < len(ts) {
			rest = ts[end:]
			if bracketed && rest[0].text == ")" {
				rest = rest[1:]
			}
		}
		p.ingredient(ts[:last])
		if len(rest) > 0 {
			p.note(strings.Trim(p.between(rest), " ,;()"))
		}
		return true
	}
	return false
}

// ingredient reads the words for the ingredient, and the note.
func (p *parser) ingredient(ts []token) {
	if len(ts) > 2 && (ts[0].bare == "each" || ts[0].bare == "jeweils" || ts[0].bare == "je" || ts[0].bare == "chacun") {
		p.each(ts[1:])
		p.note(ts[0].text)
		ts = ts[1:]
	}
	if len(ts) > 2 && ts[0].kind == figure && ts[1].text == "%" { // "75 g 70% dark chocolate"
		p.note(p.between(ts[:2]))
		ts = ts[2:]
	}
	for len(ts) > 1 && (ofWords[ts[0].bare] || ts[0].bare == "d" || ts[0].text == "," || ts[0].text == "-" || ts[0].text == ":" || ts[0].text == "." || ts[0].text == "x") {
		ts = ts[1:]
	}
	ts = p.withoutBrackets(ts)
	ts = p.size(ts)
	ts = p.cutTail(ts)
	ts = p.cutStates(ts)
	for len(ts) > 1 && (ofWords[ts[0].bare] || ts[0].bare == "d") {
		ts = ts[1:]
	}
	p.line.Words = joinNotes("", p.spell(ts))
}

// each refuses an amount that holds for several ingredients at once.
func (p *parser) each(ts []token) {
	for _, t := range ts {
		if t.text == "," || t.text == "&" || t.bare == "and" || t.bare == "und" || t.bare == "et" {
			p.fault("the amount is of each of several ingredients; give each a line of its own")
			return
		}
	}
}

// spell writes tokens as they stood, without what was cut from between them.
func (p *parser) spell(ts []token) string {
	var b strings.Builder
	for i, t := range ts {
		switch {
		case i == 0:
		case ts[i-1].to+1 == t.from && p.text[ts[i-1].to] == '-':
			b.WriteByte('-')
		case t.spaced || ts[i-1].to != t.from:
			b.WriteByte(' ')
		}
		b.WriteString(p.text[t.from:t.to])
	}
	return strings.TrimSpace(b.String())
}

// withoutBrackets takes what stands in brackets into the note.
func (p *parser) withoutBrackets(ts []token) []token {
	var out []token
	for i := 0; i < len(ts); i++ {
		if ts[i].text != "(" && ts[i].text != "[" {
			if ts[i].text != ")" && ts[i].text != "]" {
				out = append(out, ts[i])
			}
			continue
		}
		end, depth := i+1, 1
		for end < len(ts) && depth > 0 {
			switch ts[end].text {
			case "(", "[":
				depth++
			case ")", "]":
				depth--
			}
			end++
		}
		inside := ts[i+1 : end]
		if depth == 0 {
			inside = inside[:len(inside)-1]
		}
		if m, _, ok := p.bracket(ts[i:end]); ok && p.line.Also == nil && p.line.Packs == nil && p.line.Amount.Given {
			p.beside(m, ts[i:end])
		} else if size := sizeIn(inside); size != "" {
			p.line.Size = size
		} else if !plural(inside) {
			if len(inside) > 1 && (inside[0].text == "+" || inside[0].bare == "plus") {
				p.extra(p.between(inside))
			}
			p.note(p.between(inside))
		}
		i = end - 1
	}
	return out
}

// plural reports whether brackets hold but the ending of a plural: "sachet(s)".
func plural(ts []token) bool {
	return len(ts) == 1 && !ts[0].spaced && (ts[0].bare == "s" || ts[0].bare == "n" || ts[0].bare == "en" || ts[0].bare == "x" || ts[0].bare == "es" || ts[0].bare == "e")
}

// sizeIn reads a size in brackets: "(Größe M)", "(large)".
func sizeIn(ts []token) string {
	if len(ts) > 1 && (ts[0].bare == "grosse" || ts[0].bare == "gr" || ts[0].bare == "size" || ts[0].bare == "taille" || ts[0].bare == "calibre") {
		ts = ts[1:]
	}
	if len(ts) == 1 {
		return sizes[ts[0].bare]
	}
	return ""
}

// cutTail takes what begins a note off the words.
func (p *parser) cutTail(ts []token) []token {
	for i := range ts {
		t := ts[i]
		cut := false
		switch {
		case i == 0:
			continue
		case t.text == "," && i+1 < len(ts) && allStates(ts[:i]) && states[ts[i+1].bare]: // "zerlassene, abgekühlte Butter"
		case (t.text == "," || t.text == ";") && !(i+1 < len(ts) && ts[i+1].kind == figure && !ts[i+1].spaced):
			cut = true
		case t.text == "-" && t.spaced && i+1 < len(ts) && ts[i+1].spaced:
			cut = true
		case t.text == "*" && i == len(ts)-1, t.text == "+":
			cut = true
		case tailAt(ts, i):
			cut = true
		case t.kind == figure && i+1 < len(ts) && ts[i+1].text == "%":
			cut = true
		case t.kind == word && (t.bare == "at" || t.bare == "a" || t.bare == "mit") && i+1 < len(ts) && ts[i+1].kind == figure:
			cut = true
		case sizeIn(ts[i:]) != "" && (t.bare == "grosse" || t.bare == "gr" || t.bare == "taille" || t.bare == "size" || t.bare == "calibre"):
			p.line.Size = sizeIn(ts[i:])
			return ts[:i]
		}
		if second := p.second(ts, i); second {
			p.fault("%q looks like a second ingredient; give it a line of its own", p.between(ts[i:]))
			return ts[:i]
		}
		if cut {
			rest := ts[i:]
			for j := range rest {
				if p.second(rest, j) {
					p.fault("%q looks like a second ingredient; give it a line of its own", p.between(rest[j:]))
					rest = rest[:j]
					break
				}
			}
			if len(rest) > 1 && (rest[0].text == "+" || rest[0].bare == "plus") {
				p.extra(p.between(rest))
			}
			p.listed(rest)
			p.note(p.spell(rest))
			return ts[:i]
		}
	}
	return ts
}

func allStates(ts []token) bool {
	for _, t := range ts {
		if !states[t.bare] {
			return false
		}
	}
	return true
}

// extra doubts what stands beside the amount and has none of its own.
func (p *parser) extra(what string) {
	const said = "what is said to be extra"
	for _, d := range p.line.Doubts {
		if strings.HasPrefix(d, said) {
			return
		}
	}
	if what != "" {
		what = " (" + what + ")"
	}
	p.doubt(said+"%s is left out", what)
}

// listed doubts that a comma parts note from name where it parts ingredients:
// "salt, pepper".
func (p *parser) listed(rest []token) {
	if len(rest) > 0 && rest[0].text == "," && len(rest) > 2 {
		if a, n := p.probe(rest[1:]); n > 0 && a.Given && rest[1].kind == figure {
			if u, m := p.unit(rest[1:], n); m > 0 && u.known() && len(rest) > 1+n+m && ofOrWord(rest[1+n+m:]) {
				p.fault("%q looks like a second ingredient; give it a line of its own", p.between(rest[1:]))
			}
		}
	}
}

func ofOrWord(ts []token) bool { return ts[0].kind == word && !tailAt(ts, 0) && !states[ts[0].bare] }

// second reports whether another amount begins at ts[i]: "2 eggs + 1 yolk".
func (p *parser) second(ts []token, i int) bool {
	switch ts[i].bare {
	case "+", "plus", "and", "et", "und", "&":
	default:
		return false
	}
	if i+2 >= len(ts) || ts[i+1].kind != figure {
		return false
	}
	_, n := p.probe(ts[i+1:])
	rest := ts[i+1+n:]
	if _, m := p.unit(rest, 0); m > 0 {
		rest = rest[m:]
	}
	return n > 0 && len(rest) > 0 && !extraWords(rest)
}

// cutStates takes words for what is done to the ingredient off both ends.
func (p *parser) cutStates(ts []token) []token {
	n := 0
	for n < len(ts)-1 && (states[ts[n].bare] || n > 0 && (ts[n].bare == "and" || ts[n].bare == "und" || ts[n].bare == "et" || ts[n].text == ",") && states[ts[n+1].bare] ||
		n > 0 && ts[n].bare == "ground" && ts[n-1].bare == "freshly" || n > 0 && ts[n].bare == "gemahlen" && ts[n-1].bare == "frisch") {
		n++
	}
	// "soft brown sugar", "clear boiling": what is left has to name something.
	if n > 0 && !boundState(ts[:n], ts[n:]) {
		p.line.State = joinNotes(p.line.State, p.spell(ts[:n]))
		p.line.Note = joinNotes(p.spell(ts[:n]), p.line.Note)
		ts = ts[n:]
	}
	if n := len(ts); n > 1 && p.line.Size == "" && len(ts[n-1].bare) > 2 && p.context.Language == French {
		if size := sizes[ts[n-1].bare]; size != "" && size != "whole" { // "œufs moyens"
			p.line.Size, ts = size, ts[:n-1]
		}
	}
	m := len(ts)
	for m > 1 && (states[ts[m-1].bare] || m < len(ts) && (ts[m-1].bare == "and" || ts[m-1].bare == "et" || ts[m-1].bare == "und")) {
		m--
	}
	if m < len(ts) {
		p.line.State = joinNotes(p.line.State, p.spell(ts[m:]))
		p.line.Note = joinNotes(p.spell(ts[m:]), p.line.Note)
		ts = ts[:m]
	}
	return ts
}

// boundState reports whether a state is part of a name of its own: soft brown
// sugar, soft cheese, hot chocolate are goods.
func boundState(states, rest []token) bool {
	last := states[len(states)-1].bare
	next := rest[0].bare
	return last == "soft" && (strings.Contains(next, "brown") || next == "cheese" || next == "light" || next == "dark") || last == "crushed" && next == "ice" || last == "hot" && next == "chocolate" ||
		last == "well" && next == "water" || last == "frisch" && strings.HasPrefix(next, "kase") || last == "feine" && next == "speisestarke"
}

// finish settles what the whole of the line says.
func (p *parser) finish() {
	l := p.line
	all := " " + names.Words(p.text) + " "
	for _, w := range optionalWords {
		if strings.Contains(all, " "+w+" ") && !(w == "nach belieben" && !l.Amount.Given) {
			l.Optional = true
		}
	}
	if !l.Amount.Given {
		for _, w := range unmeasured {
			if strings.Contains(all, " "+w+" ") {
				l.Unmeasured = true
			}
		}
		if !l.Unmeasured && len(l.Faults) == 0 {
			l.Unmeasured = true
			p.doubt("no amount stands there")
		}
	} else {
		for _, w := range []string{"plus extra", "plus more", "plus some", "plus a little", "extra for", "more for", "et un peu pour", "plus un peu", "etwas mehr", "plus etwas", "plus mehr", "et pour le moule", "mehr zum", "und etwas fur", "etwas fur"} {
			if strings.Contains(all, " "+w+" ") {
				p.extra("")
				break
			}
		}
	}
	if l.Size == "heaped" || l.Size == "scant" {
		p.doubt("%s is no exact measure; it was read as level", l.Size)
	}
	if l.Optional {
		p.doubt("it is optional")
	}
	if l.Words == "" {
		p.fault("what it is an amount of could not be read")
	}
	p.leftovers()
}

// leftovers doubts a name that still holds a measure.
func (p *parser) leftovers() {
	ts := tokens(p.line.Words)
	for i, t := range ts {
		if t.kind != figure || i == 0 && len(ts) == 1 {
			continue
		}
		q := parser{context: p.context, line: &Line{}, text: p.line.Words}
		if m, n := q.quantity(ts[i:]); n > 0 && m.Unit.known() {
			p.doubt("%q in the name was not read as an amount", q.between(ts[i:i+n]))
		}
	}
}
