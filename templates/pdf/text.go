package pdf

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

const (
	mmPerPoint = 25.4 / 72
	substitute = '□' // stands where no face has the character; the text face has it
)

// style is how a text looks.
type style struct {
	face    *face
	size    float64 // pt
	ink     colour
	spacing float64 // between letters, thousandths of an em
	leading float64 // from line to line, as a multiple of the size
}

// height returns what a line takes, in mm.
func (s style) height() float64 { return s.size * mmPerPoint * s.leading }

// ascent returns how far the base line is below the upper edge of a line.
func (s style) ascent() float64 {
	// Letters with ascenders reach about 0.7 em up; the rest of the leading is
	// shared evenly above and below 0.7 + 0.22 em.
	return s.size * mmPerPoint * (0.7 + (s.leading-0.92)/2)
}

// run is a stretch of text in one face.
type run struct {
	face    *face
	text    string
	move    float64 // before it, mm: the kerning to what precedes
	wide    float64 // mm
	spacing float64 // between letters, thousandths of an em
}

// line is a text ready to be drawn.
type line struct {
	style style
	runs  []run
	width float64 // mm
}

// typesetter cuts text into lines and remembers what could not be printed.
type typesetter struct {
	warnings []string
	warned   map[string]bool // texts
}

// line sets s on one line, however long.
func (t *typesetter) line(s string, st style) line {
	return t.set(t.clean(s, st), st)
}

// wrap sets s on lines of at most width mm. It breaks at spaces and after
// hyphens and slashes, inside a word only where the word alone is too long,
// and starts a new line at each line feed. An empty text has no lines.
func (t *typesetter) wrap(s string, st style, width float64) []line {
	var lines []line
	for part := range strings.FieldsFuncSeq(s, func(r rune) bool { return r == '\n' || r == '\r' }) {
		glyphs := t.clean(part, st)
		for len(glyphs) > 0 {
			n := fit(glyphs, st, width)
			lines = append(lines, t.set(trim(glyphs[:n]), st))
			glyphs = glyphs[n:]
			for len(glyphs) > 0 && glyphs[0].r == ' ' {
				glyphs = glyphs[1:]
			}
		}
	}
	return lines
}

// shorten sets s on one line of at most width mm and ends it with an ellipsis
// where it had to be cut.
func (t *typesetter) shorten(s string, st style, width float64) line {
	glyphs := t.clean(s, st)
	if whole := t.set(glyphs, st); whole.width <= width || len(glyphs) == 0 {
		return whole // nothing is no wider for a width that is left below 0
	}
	dots := t.clean("…", st)
	n := fit(glyphs, st, width-float64(dots[0].width)/1000*st.size*mmPerPoint)
	dots[0].level = glyphs[0].level
	for _, g := range glyphs {
		dots[0].level = min(dots[0].level, g.level) // that of the paragraph
	}
	return t.set(append(trim(glyphs[:n:n]), dots...), st)
}

// glyph is a character with the face that has it.
type glyph struct {
	r     rune
	face  *face
	width int   // thousandths of an em
	level uint8 // of embedding: odd ones run from right to left
}

// spacing returns what follows g in style st: letters that join stand close.
func (g glyph) spacing(st style) float64 {
	if g.r >= 0x0600 && unicode.Is(unicode.Arabic, g.r) {
		return 0
	}
	return st.spacing
}

// fit returns how many of glyphs go on a line of width mm, at least one.
func fit(glyphs []glyph, st style, width float64) int {
	limit := width / mmPerPoint / st.size * 1000
	used, chance := 0.0, 0
	for i, g := range glyphs {
		if used += float64(g.width) + g.spacing(st); used > limit && g.r != ' ' && i > 0 {
			if chance > 0 {
				return chance
			}
			return i
		}
		switch g.r {
		case ' ', '-', '–', '—', '/':
			chance = i + 1
		}
	}
	return len(glyphs)
}

func trim(glyphs []glyph) []glyph {
	for len(glyphs) > 0 && glyphs[len(glyphs)-1].r == ' ' {
		glyphs = glyphs[:len(glyphs)-1]
	}
	return glyphs
}

// set joins glyphs into runs, in the order in which they stand on the paper.
func (t *typesetter) set(glyphs []glyph, st style) line {
	l := line{style: st}
	em := st.size * mmPerPoint / 1000
	kerned := st.size >= 12 // below that nobody sees it
	var text strings.Builder
	var current run
	flush := func() {
		if text.Len() > 0 {
			current.text = text.String()
			l.runs = append(l.runs, current)
			l.width += current.move + current.wide
			text.Reset()
		}
	}
	glyphs = visual(glyphs, st)
	for i, g := range glyphs {
		move := 0.0
		if kerned && i > 0 && glyphs[i-1].face == g.face {
			move = float64(g.face.kern(glyphs[i-1].r, g.r)) * em
		}
		spacing := g.spacing(st)
		if i == 0 || g.face != current.face || move != 0 || spacing != current.spacing {
			flush()
			current = run{face: g.face, move: move, spacing: spacing}
		}
		text.WriteRune(g.r)
		current.wide += (float64(g.width) + spacing) * em
	}
	flush()
	l.width = max(l.width-current.spacing*em, 0) // nothing follows the last letter
	return l
}

// clean returns s as characters that can be drawn, each in the form that its
// neighbours give it, in the order of reading.
func (t *typesetter) clean(s string, st style) []glyph {
	runes := letters(s)
	drawn := make([]letter, 0, len(runes))
	if plainASCII(s) {
		for _, r := range runes {
			drawn = append(drawn, letter{r, r})
		}
	} else {
		drawn = join(runes)
	}
	glyphs := make([]glyph, 0, len(drawn))
	forms := make([]rune, 0, len(drawn))
	var lacking []rune
	for _, l := range drawn {
		g, ok := pick(l.form, st.face)
		if !ok {
			g, ok = pick(l.r, st.face)
		}
		if !ok {
			lacking = append(lacking, l.r)
			g, _ = pick(substitute, st.face)
		}
		glyphs = append(glyphs, g)
		forms = append(forms, l.r)
	}
	for i, level := range levels(forms) {
		glyphs[i].level = level
	}
	if len(lacking) > 0 {
		t.warn(s, lacking)
	}
	return glyphs
}

// letters returns the characters of s that mean something on paper, in normal
// form C, with one kind of space. The PDF library fails on malformed UTF-8, so
// nothing else may bring text to it.
func letters(s string) []rune {
	if !plainASCII(s) {
		s = norm.NFC.String(strings.ToValidUTF8(s, string(unicode.ReplacementChar)))
	}
	runes := make([]rune, 0, len(s))
	for _, r := range s {
		if invisible(r) {
			continue
		}
		if unicode.IsSpace(r) || r == '\u2028' || r == '\u2029' {
			if r != '\u00a0' && r != '\u202f' {
				r = ' '
			}
		}
		runes = append(runes, r)
	}
	return runes
}

// pick finds the face for r. The narrow no-break space of French figures and
// the no-break hyphen give way to their common forms before another face steps
// in for them.
func pick(r rune, first *face) (glyph, bool) {
	if unordered(r) {
		return glyph{}, false
	}
	for _, f := range [3]*face{first, sans, wide} {
		for _, form := range [2]rune{r, common(r)} {
			if w, ok := f.advance(form); ok {
				return glyph{r: form, face: f, width: w}, true
			}
		}
	}
	return glyph{}, false
}

func common(r rune) rune {
	switch r {
	case '\u202f':
		return '\u00a0'
	case '\u2011':
		return '-'
	}
	return r
}

// unordered reports whether r belongs to a script from right to left whose
// letters this package cannot join: all but Hebrew and Arabic.
func unordered(r rune) bool {
	return fromRight(r) && !unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Common, unicode.Inherited)
}

// invisible reports whether r has no shape of its own: control characters but
// for white space, direction marks, zero-width characters and variation
// selectors. Joiners shape the letters beside them.
func invisible(r rune) bool {
	switch {
	case r == '\t':
		return false
	case r < 0x20, r >= 0x7F && r < 0xA0:
		return true
	case r < 0xAD, r == joiner, r == nonJoiner:
		return false
	}
	return unicode.In(r, unicode.Cf, unicode.Variation_Selector)
}

func plainASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// warn says, once for each text, which of its characters cannot be printed.
func (t *typesetter) warn(s string, lacking []rune) {
	if t.warned[s] {
		return
	}
	if t.warned == nil {
		t.warned = map[string]bool{}
	}
	t.warned[s] = true
	var names []string
	for _, r := range lacking {
		name := fmt.Sprintf("%c (U+%04X)", r, r)
		if r == unicode.ReplacementChar {
			name = "bytes that are no text"
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	const most = 8
	if more := len(names) - most; more > 0 {
		names = append(names[:most], fmt.Sprintf("%d more", more))
	}
	t.warnings = append(t.warnings, fmt.Sprintf("%.60q: the fonts cannot print %s; %c stands there instead, so add a spelling in Latin letters",
		s, strings.Join(names, ", "), substitute))
}
