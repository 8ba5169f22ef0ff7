package plot

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"marchpane/templates/typeface"
)

// faces are what words are set in: the second where the first lacks a
// character. A parsed face serves any number of charts at once.
var faces = sync.OnceValue(func() (list [2]*opentype.Font) {
	for i, ttf := range [2][]byte{typeface.SourceSans(), typeface.Wide()} {
		parsed, err := opentype.Parse(ttf)
		if err != nil {
			panic("plot: embedded face: " + err.Error()) // a broken build
		}
		list[i] = parsed
	}
	return list
})

// letter is a glyph of a face at its place, in ems from where the words begin.
type letter struct {
	face  *opentype.Font
	glyph sfnt.GlyphIndex
	x     float64
}

// letters sets text, one letter a character, and returns how wide it comes out,
// in ems.
func letters(text string) (list []letter, width float64) {
	var buf sfnt.Buffer
	for _, r := range text {
		l := letter{face: faces()[0]}
		for _, f := range faces() {
			if g, err := f.GlyphIndex(&buf, r); err == nil && g != 0 {
				l.face, l.glyph = f, g
				break
			}
		}
		em := l.face.UnitsPerEm()
		scale := fixed.Int26_6(em) << 6
		if n := len(list); n > 0 && list[n-1].face == l.face {
			if kern, err := l.face.Kern(&buf, list[n-1].glyph, l.glyph, scale, font.HintingNone); err == nil {
				width += float64(kern) / float64(scale)
			}
		}
		l.x = width
		if advance, err := l.face.GlyphAdvance(&buf, l.glyph, scale, font.HintingNone); err == nil {
			width += float64(advance) / float64(scale)
		}
		list = append(list, l)
	}
	return list, width
}

// The second face is DejaVu Sans at 0.9 of its width, which is as wide as faces
// for screens are; a character that neither has is taken to be as wide as an
// emoji.
const (
	condensed = 0.9
	emoji     = 1.4 // ems
)

// wide returns the room that text needs at a size, whatever face the reader has.
func wide(text string, size float64) float64 {
	w := 0.0
	for _, r := range text {
		w += room(r)
	}
	return w * size
}

// room returns the room that a character needs, in ems.
func room(r rune) float64 {
	switch {
	case 0 <= r && r < latin:
		return rooms()[r]
	case signs <= r && r < beyond:
		return rooms()[latin+r-signs]
	}
	return measured(r)
}

// Most names are written with Latin and all its accents, and beside figures stand
// dashes, arrows and signs of arithmetic.
const latin, signs, beyond = 0x250, 0x2000, 0x2220

// rooms are those of these characters: a plot asks for thousands of them.
var rooms = sync.OnceValue(func() *[latin + beyond - signs]float64 {
	var list [latin + beyond - signs]float64
	for i := range list {
		r := rune(i)
		if r >= latin {
			r += signs - latin
		}
		list[i] = measured(r)
	}
	return &list
})

// measured reads the room of a character from the faces.
func measured(r rune) float64 {
	var buf sfnt.Buffer
	most, known := 0.0, false
	for i, f := range faces() {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil || g == 0 {
			continue
		}
		scale := fixed.Int26_6(f.UnitsPerEm()) << 6
		if advance, err := f.GlyphAdvance(&buf, g, scale, font.HintingNone); err == nil {
			known = true
			most = max(most, float64(advance)/float64(scale)/[2]float64{1, condensed}[i])
		}
	}
	if !known {
		return emoji
	}
	return most
}

// fitted cuts text to a width, with … where something was cut.
func fitted(text string, size, most float64) string {
	const more = "…"
	runes := []rune(text)
	kept := 0 // characters that leave room for …
	w, last := 0.0, most/size-room('…')
	for i, r := range runes {
		if w <= last {
			kept = i
		}
		if w += room(r); w*size > most {
			break
		}
		if i == len(runes)-1 {
			return text
		}
	}
	for kept > 0 && unicode.IsMark(runes[kept]) {
		kept-- // no letter without its accent
	}
	if kept == 0 {
		return ""
	}
	return strings.TrimRight(string(runes[:kept]), " ") + more
}

// clean makes one line of text and drops what has no shape of its own, such as
// marks that turn the direction of writing.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Zl, r), unicode.Is(unicode.Zp, r), r == '\n', r == '\r', r == '\t':
			return ' '
		case unicode.IsControl(r), unicode.In(r, unicode.Cf, unicode.Variation_Selector):
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD"))
}
