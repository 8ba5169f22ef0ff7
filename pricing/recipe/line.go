package recipe

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"marchpane/pricing/names"
)

// Line is one line of a recipe taken apart.
type Line struct {
	Number  int    // from 1, in the recipe
	Text    string // as it was found
	Heading bool   // parts the recipe: "For the filling:"
	Part    string // the heading that the line stands under

	Amount Amount
	Unit   Unit   // zero: pieces, or nothing where no amount is given
	Size   string // "large" for eggs, "heaped" for spoons
	Packs  *Packs // where the amount is of so many packs
	Also   *Measured
	Plus   *Measured // "1 cup plus 2 tbsp"

	Words      string // for the ingredient
	Of         string // the part of it that is meant: juice, zest
	State      string // what is done to it before it is measured: "sifted"; in Note too
	Note       string
	Optional   bool
	Unmeasured bool // to taste, for dusting

	Faults []string // what could not be read
	Doubts []string // what was read, and is to be confirmed
}

// Packs are so many packs of a measure each.
type Packs struct {
	Count Amount
	Each  Measured
	Word  string // can, sachet
}

// Measured is an amount with its unit.
type Measured struct {
	Amount Amount
	Unit   Unit
}

// longestLine is the most letters that a line of a recipe has; a longer one is
// prose.
const longestLine = 400

type parser struct {
	context Context
	line    *Line
	text    string // tidied
}

func (p *parser) fault(format string, args ...any) {
	p.line.Faults = addNew(p.line.Faults, fmt.Sprintf(format, args...))
}

func (p *parser) doubt(format string, args ...any) {
	p.line.Doubts = addNew(p.line.Doubts, fmt.Sprintf(format, args...))
}

func addNew(list []string, s string) []string {
	for _, old := range list {
		if old == s {
			return list
		}
	}
	return append(list, s)
}

// ParseLine takes one line of a recipe apart.
func ParseLine(text string, c Context) Line {
	line := Line{Text: strings.TrimSpace(text)}
	p := &parser{context: c, line: &line}
	if utf8.RuneCountInString(text) > longestLine {
		runes := []rune(strings.ToValidUTF8(text, " "))
		line.Text = string(runes[:longestLine]) + "…"
		p.fault("the line is longer than %d letters; it was not read", longestLine)
		return line
	}
	p.text = tidy(text)
	if !strings.HasPrefix(p.text, "**") || !strings.HasSuffix(strings.TrimRight(p.text, ": "), "**") { // marked as a heading
		p.text = withoutBullet(p.text)
	}
	if heading, ok := headingOf(p.text, p.context); ok {
		line.Heading, line.Words = true, heading
		return line
	}
	p.read()
	return line
}

// read takes the tidied line apart.
func (p *parser) read() {
	ts := tokens(p.text)
	ts = p.label(ts)
	ts = p.leading(ts)
	if len(ts) == 0 {
		p.fault("nothing could be read in it")
		return
	}
	switch {
	case p.partOf(ts):
	default:
		p.measured(ts)
	}
	p.finish()
}

// label cuts a purpose in front: "For the tin: butter".
func (p *parser) label(ts []token) []token {
	for i, t := range ts {
		if t.text != ":" {
			continue
		}
		if i > 0 && i+1 < len(ts) && (ts[0].bare == "for" || ts[0].bare == "pour" || ts[0].bare == "fur" || ts[0].bare == "zum" || ts[0].bare == "optional" || ts[0].bare == "facultatif") {
			p.note(p.between(ts[:i]))
			return ts[i+1:]
		}
		break
	}
	return ts
}

// maybe begins a line that may be left out.
var maybe = set("evtl eventuell optional optionally facultatif facultativement ggf gegebenenfalls")

// leading cuts what is said before a figure: "about", "~".
func (p *parser) leading(ts []token) []token {
	for n := 0; n < 3 && len(ts) > 1; n++ {
		t := ts[0]
		if maybe[t.bare] { // "evtl. etwas Milch"
			ts = ts[1:]
			continue
		}
		if _, figure := p.mixed(ts[1:]); (t.bare == "je" || t.bare == "jeweils") && figure > 0 {
			p.note(t.text)
			p.each(ts[1:])
			ts = ts[1:]
			continue
		}
		if len(ts) > 2 && t.bare == "a" && ts[1].bare == "couple" {
			return ts[1:]
		}
		first := t.bare
		about := t.text == "~" || t.text == "≈" || roughly[first]
		if !about {
			break
		}
		if first == "gut" || first == "good" || roughly[first] || t.text == "~" {
			if _, m := p.mixed(ts[1:]); m == 0 && !roughly[ts[1].bare] {
				break
			}
		}
		p.line.Amount.About = true
		ts = ts[1:]
	}
	return ts
}

// partOf reads "juice and zest of 2 lemons" and its like.
func (p *parser) partOf(ts []token) bool {
	i := 0
	var parts []string
	from := -1
	for i < len(ts) && i < 8 {
		t := ts[i]
		name := partWords[t.bare]
		switch {
		case name != "":
			parts = append(parts, name)
			if from < 0 {
				from = i
			}
		case len(parts) > 0 && i > 0 && (ofWords[t.bare] || t.bare == "d"):
			j := i + 1
			for j < len(ts) && (ofWords[ts[j].bare]) {
				j++
			}
			if j < len(ts) && partWords[ts[j].bare] != "" { // "le zeste et le jus"
				break
			}
			if j < len(ts) {
				if _, n := p.probe(ts[j:]); n > 0 {
					return p.partOfAmount(parts, ts[:i], ts[j:])
				}
				if half := halfWords[ts[j].bare]; half {
					return p.partOfAmount(parts, ts[:i], ts[j:])
				}
			}
			return false
		case len(parts) > 0 && (numberWords[t.bare].Sign() > 0) && t.kind == word && p.context.Language == German: // "Saft einer Zitrone"
			return p.partOfAmount(parts, ts[:i], ts[i:])
		case t.bare == "and" || t.bare == "et" || t.bare == "und" || t.bare == "&" || t.bare == "/" || t.text == "," || t.bare == "the" || t.bare == "le" || t.bare == "der" || t.bare == "die" || t.bare == "l" || t.bare == "les" || t.bare == "la" || t.bare == "sowie" || t.bare == "plus" || t.bare == "+":
		case states[t.bare] || t.bare == "fresh" || t.bare == "only":
		case i == 0 && t.kind == word && len(ts) > 1 && partWords[ts[1].bare] != "": // "lemon juice of 2 lemons"
		default:
			return false
		}
		i++
	}
	return false
}

// probe reads an amount without leaving a trace on the line.
func (p *parser) probe(ts []token) (Amount, int) {
	scratch := Line{}
	q := parser{context: p.context, line: &scratch, text: p.text}
	return q.figures(ts)
}

func (p *parser) partOfAmount(parts []string, before, rest []token) bool {
	a, n := p.figures(rest)
	if n == 0 || n >= len(rest) {
		return false
	}
	rest = rest[n:]
	for len(rest) > 1 && (ofWords[rest[0].bare] || rest[0].bare == "a" || rest[0].bare == "an") {
		rest = rest[1:]
	}
	if u, m := p.unit(rest, 0); m > 0 && u.known() && m < len(rest) {
		p.line.Unit = u
		rest = rest[m:]
	}
	p.keep(a)
	p.line.Of = strings.Join(parts, " and ")
	if p.line.Of == "yolk" || p.line.Of == "white" {
		p.line.Of = ""
		p.ingredient(rest)
		p.line.Words = p.line.Words + " " + parts[0]
		if parts[0] != "yolk" && parts[0] != "white" {
			return true
		}
		if strings.HasPrefix(names.Words(p.line.Words), "egg") {
			p.line.Words = "egg " + parts[0]
		}
		return true
	}
	p.ingredient(rest)
	p.line.Note = joinNotes(p.between(before), p.line.Note)
	return true
}

func (p *parser) keep(a Amount) {
	a.About = a.About || p.line.Amount.About
	p.line.Amount = a
}

// measured reads an amount, its unit and what follows.
func (p *parser) measured(ts []token) {
	a, n := p.figures(ts)
	if n == 0 {
		p.withoutFigure(ts)
		return
	}
	ts = ts[n:]
	p.keep(a)
	if percent(ts) {
		p.line.Amount = Amount{About: p.line.Amount.About}
		p.fault("it begins with a share; write the amount first")
		p.ingredient(ts[1:])
		return
	}
	ts = p.afterFigure(ts)
	p.ingredient(ts)
}

func percent(ts []token) bool { return len(ts) > 0 && ts[0].text == "%" }

// between returns the text that ts covers.
func (p *parser) between(ts []token) string {
	if len(ts) == 0 {
		return ""
	}
	return strings.TrimSpace(p.text[ts[0].from:ts[len(ts)-1].to])
}

func (p *parser) note(s string) { p.line.Note = joinNotes(p.line.Note, s) }

func joinNotes(a, b string) string {
	b = strings.Trim(b, " ,;-–.:")
	switch {
	case a == "":
		return b
	case b == "" || strings.Contains(a, b):
		return a
	}
	return a + ", " + b
}

// withoutBullet cuts what lists put before an entry.
func withoutBullet(s string) string {
	for {
		was := s
		s = strings.TrimLeft(s, " •*▢□☐■▪▸►‣◦·●○✓✔–—+>")
		s = strings.TrimPrefix(s, "[ ]")
		s = strings.TrimPrefix(s, "[x]")
		if rest, ok := strings.CutPrefix(s, "-"); ok {
			s = rest
		}
		if s == was {
			return s
		}
	}
}

// headingOf tells a heading: "For the filling:", "## Teig", "FILLING".
func headingOf(s string, c Context) (string, bool) {
	bare := strings.Trim(s, "#*_= :")
	if bare == "" || utf8.RuneCountInString(bare) > 60 {
		return "", false
	}
	marked := strings.HasPrefix(s, "#") || strings.HasPrefix(s, "**") && strings.HasSuffix(strings.TrimRight(s, ":"), "**")
	ts := tokens(bare)
	for _, t := range ts {
		if t.kind == figure && !marked && !strings.HasSuffix(s, ":") {
			return "", false
		}
	}
	if len(ts) == 0 {
		return "", false
	}
	p := parser{context: c, line: &Line{}, text: bare}
	if _, n := p.figures(ts); n > 0 && ts[0].kind == figure && !marked {
		return "", false
	}
	words := names.Words(bare)
	first, _, _ := strings.Cut(words, " ")
	purpose := first == "for" || first == "pour" || first == "fur" || strings.HasPrefix(words, "zum ") || first == "zur"
	if purpose && !strings.Contains(bare, ",") && !strings.Contains(bare, ":") && len(ts) <= 6 {
		return bare, true
	}
	if marked || strings.HasSuffix(s, ":") {
		return bare, true
	}
	if len(ts) > 1 && bare == strings.ToUpper(bare) && strings.IndexFunc(bare, unicode.IsLower) < 0 && strings.IndexFunc(bare, unicode.IsLetter) >= 0 && !strings.ContainsAny(bare, ",(") {
		return bare, c.capitals()
	}
	return "", false
}

// capitals reports whether a line in capitals is a heading; not where the whole
// text is written so, which the caller knows.
func (c Context) capitals() bool { return !c.AllCapitals }
