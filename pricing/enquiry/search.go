package enquiry

import (
	"strings"

	"golang.org/x/text/collate"
	"golang.org/x/text/language"
	"golang.org/x/text/unicode/norm"

	"marchpane/pricing/names"
)

// Fold returns s as it is searched: in lower case, without accents, with single
// spaces.
func Fold(s string) string { return strings.Join(strings.Fields(names.Bare(s)), " ") }

// Folded returns all of a client that a search looks at, a field a line: name,
// email, phone as it is written and by its digits, address, notes.
func (c Client) Folded() string {
	var lines []string
	for _, field := range []string{c.Name, c.Email.Or(""), c.Phone.Or(""), phoneDigits(c.Phone.Or("")), c.Address.Or(""), c.Notes.Or("")} {
		if field = Fold(field); field != "" {
			lines = append(lines, field)
		}
	}
	return strings.Join(lines, "\n")
}

// Term is a word that a search looks for: as it was typed, or, where it could
// be part of a telephone number, its digits alone: 01/234-567 is 01234567.
type Term struct{ Text, Digits string }

// Terms returns the words of a query, each of which must stand in
// [Client.Folded] for a client to be found.
func Terms(query string) []Term {
	var terms []Term
	for _, word := range strings.Fields(Fold(query)) {
		term := Term{word, word}
		if digits := phoneDigits(word); digits != "" && strings.Trim(word, "0123456789+-/().") == "" {
			term.Digits = digits
		}
		terms = append(terms, term)
	}
	return terms
}

// leastDigits is how many digits make a telephone number.
const leastDigits = 3

// phoneDigits returns the digits of a telephone number, of any script.
func phoneDigits(phone string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, norm.NFKC.String(phone))
}

// Alphabet sorts names as a reader of a language looks for them in a list. It
// is for one goroutine.
type Alphabet struct{ by *collate.Collator }

// AlphabetOf returns the order of names in a language, by its tag of BCP 47: in
// Swedish å stands after z, in English with a. A tag that is none has the order
// common to most languages.
func AlphabetOf(tag string) Alphabet {
	l, err := language.Parse(tag)
	if err != nil {
		l = language.Und
	}
	return Alphabet{collate.New(l)}
}

// Keys returns for each name what sorts it when compared byte by byte.
func (a Alphabet) Keys(names []string) [][]byte {
	var buf collate.Buffer
	keys := make([][]byte, len(names))
	for i, name := range names {
		keys[i] = a.by.KeyFromString(&buf, name)
	}
	return keys
}
