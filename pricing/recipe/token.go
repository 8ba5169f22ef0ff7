package recipe

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"marchpane/pricing/names"
)

// token is a word, a figure or a sign of a line.
type token struct {
	text     string // as written, without the stop of an abbreviation
	bare     string // folded
	kind     kind
	from, to int  // bytes of the tidied line, with that stop
	spaced   bool // a space stands before it
	stop     bool // of an abbreviation: "Msp."
}

type kind int

const (
	word   kind = iota
	figure      // digits, with points, commas and apostrophes between them
	sign        // one character
)

// vulgar are the fractions that have a character of their own (Unicode, Number
// Forms, and Latin-1).
var vulgar = func() *strings.Replacer {
	var pairs []string
	for char, text := range map[string]string{
		"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
		"⅙": "1/6", "⅚": "5/6", "⅐": "1/7", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅑": "1/9", "⅒": "1/10",
	} {
		pairs = append(pairs, char, " "+text+" ")
	}
	return strings.NewReplacer(pairs...)
}()

// oneSpelling turns the many dashes, quotes, signs and spaces into one of each.
var oneSpelling = strings.NewReplacer(
	"\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2013", "-", "\u2014", "-", "\u2015", "-", "\u2212", "-",
	"\u2018", "'", "\u2019", "'", "\u02bc", "'", "\u00b4", "'", "`", "'",
	"\u2044", "/", "\u2215", "/", "\u00d7", "x", "\u2715", "x",
	"\u200b", "", "\u200c", "", "\u200d", "", "\u2060", "", "\ufeff", "", "\u00ad", "", "\ufe0f", "",
	"°C", "°C", "№", "no ",
)

// superscripts stand before a fraction slash in "1¹⁄₂".
var superscripts = strings.NewReplacer("¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9", "⁰", "0")

// tidy brings a line to one spelling of its signs, spaces and fractions.
func tidy(s string) string {
	s = strings.ToValidUTF8(s, " ")
	s = vulgar.Replace(s)
	s = splitSuperscripts(s)
	s = norm.NFKC.String(s)
	s = oneSpelling.Replace(s)
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.IsSpace(r) {
			return ' '
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

func splitSuperscripts(s string) string {
	if !strings.ContainsAny(s, "⁄/") || !strings.ContainsAny(s, "¹²³⁴⁵⁶⁷⁸⁹⁰") {
		return s
	}
	var b strings.Builder
	inside := false
	for _, r := range s {
		above := strings.ContainsRune("¹²³⁴⁵⁶⁷⁸⁹⁰", r)
		if above && !inside {
			b.WriteByte(' ')
		}
		inside = above
		if above {
			b.WriteString(superscripts.Replace(string(r)))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// tokens cuts a tidied line.
func tokens(s string) []token {
	var list []token
	spaced := true
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == ' ' || r == '-' && len(list) > 0 && list[len(list)-1].to == i && list[len(list)-1].kind == word && halfWords[list[len(list)-1].bare] {
			spaced = true
			i += n
			continue
		}
		t := token{from: i, spaced: spaced}
		spaced = false
		switch {
		case digit(s, i) || (r == '.' || r == ',') && digit(s, i+1) && t.spaced:
			t.kind = figure
			i += n
			for i < len(s) && (digit(s, i) || strings.IndexByte(".,'", s[i]) >= 0 && digit(s, i+1) && !listing(s, i)) {
				i++
			}
		case unicode.IsLetter(r):
			t.kind = word
			i += n
			for i < len(s) {
				if s[i] == '-' && halfWords[names.Words(s[t.from:i])] { // "demi-cuillère"
					break
				}
				r, n := utf8.DecodeRuneInString(s[i:])
				next, _ := utf8.DecodeRuneInString(s[i+n:])
				if unicode.IsLetter(r) || unicode.Is(unicode.Mn, r) || r == '-' && unicode.IsLetter(next) {
					i += n
					continue
				}
				break
			}
			// "d'œufs" is two words, "baker's" one.
			if i < len(s) && s[i] == '\'' {
				next, _ := utf8.DecodeRuneInString(s[i+1:])
				switch elided := strings.ToLower(s[t.from:i]); {
				case elided == "d" || elided == "l" || elided == "qu":
					i++
				case unicode.IsLetter(next):
					i++
					for i < len(s) {
						r, n := utf8.DecodeRuneInString(s[i:])
						if !unicode.IsLetter(r) {
							break
						}
						i += n
					}
				}
			}
		default:
			t.kind = sign
			i += n
		}
		t.text = s[t.from:i]
		if t.kind == word && i < len(s) && s[i] == '.' {
			t.stop = true
			i++
		}
		t.to = i
		t.bare = names.Words(t.text)
		if t.kind != word {
			t.bare = t.text
		}
		list = append(list, t)
	}
	return list
}

func digit(s string, i int) bool { return i < len(s) && s[i] >= '0' && s[i] <= '9' }

// listing reports whether a comma at i parts two figures rather than decimals:
// a fraction follows it, as in "1,1/2".
func listing(s string, i int) bool {
	j := i + 1
	for digit(s, j) {
		j++
	}
	return j < len(s) && s[j] == '/'
}
