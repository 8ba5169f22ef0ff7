package pdf

import (
	"bytes"
	"math"
	"sync"
	"sync/atomic"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"marchpane/templates/typeface"
)

// A face is a typeface in one weight, with what has been looked up in it so
// far. It serves any number of documents at once.
type face struct {
	family string // as the library has it
	name   string // as the file has it, see [nameSubsets]
	ttf    []byte

	once  sync.Once
	font  *sfnt.Font
	pages [256]atomic.Pointer[page] // by the upper byte of a character
	kerns sync.Map                  // pair of characters → thousandths of an em
}

// page holds the advances of 256 characters in thousandths of an em, plus one;
// 0 is a character that the face lacks.
type page [256]uint16

// The faces. A paper embeds those it uses.
var (
	serif = &face{family: "em+ebgaramond-medium", name: "GARMND+EBGaramond-Medium", ttf: typeface.Garamond()}       // headings, names and sums
	sans  = &face{family: "sr+sourcesans3-regular", name: "SOURCE+SourceSans3-Regular", ttf: typeface.SourceSans()} // all else
	wide  = &face{family: "dc+dejavusanscondensed", name: "DEJAVU+DejaVuSansCondensed", ttf: typeface.Wide()}       // what the others lack
)

// nameSubsets gives the faces in a file the names that PDF asks for where only
// part of a face is embedded: six capitals and a plus before its own name (ISO
// 32000-1, 9.6.4). The library names each "utf8" and its family; the new names
// are as long, so that nothing in the file moves.
func nameSubsets(file []byte) []byte {
	for _, f := range [3]*face{serif, sans, wide} {
		file = bytes.ReplaceAll(file, []byte("/utf8"+f.family), []byte("/"+f.name))
	}
	return file
}

// advance returns the width of r in thousandths of an em, rounded as the PDF
// library does, and whether the face has r at all.
func (f *face) advance(r rune) (int, bool) {
	if r < 0 || r > 0xFFFF {
		return 0, false
	}
	p := f.pages[r>>8].Load()
	if p == nil {
		p = f.read(r &^ 0xFF)
		f.pages[r>>8].Store(p)
	}
	w := p[r&0xFF]
	return int(w) - 1, w > 0
}

// read looks up the 256 characters from first on.
func (f *face) read(first rune) *page {
	parsed := f.parse()
	var buf sfnt.Buffer
	p := new(page)
	for i := range p {
		glyph, err := parsed.GlyphIndex(&buf, first+rune(i))
		if err != nil || glyph == 0 {
			continue
		}
		units := fixed.Int26_6(parsed.UnitsPerEm()) << 6
		w, err := parsed.GlyphAdvance(&buf, glyph, units, font.HintingNone)
		if err != nil {
			continue
		}
		p[i] = uint16(math.Round(float64(w)/float64(units)*1000)) + 1
	}
	return p
}

// kern returns by how much b moves towards or away from a that stands before
// it, in thousandths of an em.
func (f *face) kern(a, b rune) int {
	pair := [2]rune{a, b}
	if k, ok := f.kerns.Load(pair); ok {
		return k.(int)
	}
	parsed := f.parse()
	var buf sfnt.Buffer
	k := 0
	left, err1 := parsed.GlyphIndex(&buf, a)
	right, err2 := parsed.GlyphIndex(&buf, b)
	if err1 == nil && err2 == nil {
		units := fixed.Int26_6(parsed.UnitsPerEm()) << 6
		if w, err := parsed.Kern(&buf, left, right, units, font.HintingNone); err == nil {
			k = int(math.Round(float64(w) / float64(units) * 1000))
		}
	}
	f.kerns.Store(pair, k)
	return k
}

func (f *face) parse() *sfnt.Font {
	f.once.Do(func() {
		parsed, err := sfnt.Parse(f.ttf)
		if err != nil {
			panic("embedded face " + f.family + ": " + err.Error()) // a broken build
		}
		f.font = parsed
	})
	return f.font
}
