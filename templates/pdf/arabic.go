package pdf

import (
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// letter is a character to be drawn in one of its forms.
type letter struct {
	r    rune // as written
	form rune // as its neighbours make it
}

const (
	tatweel   = '\u0640' // a stroke that lengthens a join
	joiner    = '\u200d'
	nonJoiner = '\u200c'
	lam       = '\u0644'
)

// join gives Arabic letters the forms that their neighbours make them take, and
// drops the joiners that have done their work. The PDF library draws characters
// and not glyphs, so the forms are those that Unicode has as characters of their
// own (Arabic Presentation Forms A and B): all of Arabic, Persian and Urdu. Letters
// of other languages that have none stand unjoined.
func join(runes []rune) []letter {
	out := make([]letter, 0, len(runes))
	joins := false // the letter before reaches on to this one
	for i := 0; i < len(runes); i++ {
		r := runes[i]
		switch {
		case r == joiner || r == nonJoiner:
			joins = r == joiner
			continue
		case transparent(r):
			out = append(out, letter{r, r})
			continue
		case r == tatweel:
			out = append(out, letter{r, r})
			joins = true
			continue
		}
		f, arabic := shapes()[r]
		if !arabic {
			out = append(out, letter{r, r})
			joins = false
			continue
		}
		next := following(runes, i)
		if r == lam && next < len(runes) {
			if both, ok := ligatures()[runes[next]]; ok {
				form := both[0]
				if joins {
					form = both[1]
				}
				out = append(out, letter{r, form})
				for _, mark := range runes[i+1 : next] {
					out = append(out, letter{mark, mark})
				}
				i, joins = next, false
				continue
			}
		}
		on := f.dual() && next < len(runes) && takesJoin(runes[next])
		out = append(out, letter{r, f.of(joins, on)})
		joins = f.dual()
	}
	return out
}

// following returns where the next character stands that is no mark.
func following(runes []rune, i int) int {
	for i++; i < len(runes) && transparent(runes[i]); i++ {
	}
	return i
}

func transparent(r rune) bool { return r >= 0x0300 && unicode.In(r, unicode.Mn, unicode.Me) }

// takesJoin reports whether r reaches back to the letter before it.
func takesJoin(r rune) bool {
	f, arabic := shapes()[r]
	return r == tatweel || r == joiner || arabic && f[1] != 0
}

// forms are the shapes of a letter: alone, at the end, at the beginning and in
// the middle of what is joined. Those that it lacks are 0.
type forms [4]rune

// dual reports whether the letter joins on both sides.
func (f forms) dual() bool { return f[2] != 0 }

// of returns the form by what the letter joins: the one before, the one after.
func (f forms) of(before, after bool) rune {
	i := 0
	if after {
		i = 2
	}
	if before {
		i++
	}
	switch {
	case i == 3 && f[3] == 0, i == 1 && f[1] == 0:
		return f[0]
	}
	return f[i]
}

// shapes and ligatures are read off the compatibility decompositions of the
// Unicode data: the blocks list the forms of each letter in the order alone, end,
// beginning, middle, and lam with an alef as alone, end.
var (
	shapes = sync.OnceValue(func() map[rune]forms {
		found := map[rune]forms{}
		count := map[rune]int{}
		// Forms B first: Forms A only add a beginning and middle to one of its letters.
		for _, block := range [][2]rune{{0xFE80, 0xFEF4}, {0xFB50, 0xFBB1}, {0xFBD3, 0xFBE9}, {0xFBFC, 0xFBFF}} {
			for r := block[0]; r <= block[1]; r++ {
				plain := []rune(norm.NFKC.String(string(r)))
				if len(plain) != 1 || plain[0] == r || count[plain[0]] == len(forms{}) {
					continue
				}
				f := found[plain[0]]
				f[count[plain[0]]] = r
				count[plain[0]]++
				found[plain[0]] = f
			}
		}
		return found
	})
	ligatures = sync.OnceValue(func() map[rune][2]rune {
		found := map[rune][2]rune{}
		for r := rune(0xFEF5); r <= 0xFEFB; r += 2 {
			plain := []rune(norm.NFKC.String(string(r)))
			found[plain[1]] = [2]rune{r, r + 1}
		}
		return found
	})
)
