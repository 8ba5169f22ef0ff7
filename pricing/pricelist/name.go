package pricelist

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// letters that Unicode does not take apart into a letter and an accent.
var letters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i")

// fold brings a name to the form in which names are compared: lower case,
// without accents, its words parted by single spaces.
func fold(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range bare(s) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte(' ')
		}
		gap = false
		b.WriteRune(r)
	}
	return b.String()
}

// bare returns s in lower case, without accents.
func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFKD.String(letters.Replace(strings.ToLower(s))))
}

// Distance returns how many letters must be added, removed or exchanged to
// make a of b (Levenshtein, 1965).
func Distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	var short [48]int // spares most words an allocation
	row := short[:]
	if len(y) >= len(row) {
		row = make([]int, len(y)+1)
	}
	row = row[:len(y)+1]
	for j := range row {
		row[j] = j
	}
	for i := range x {
		corner := row[0]
		row[0] = i + 1
		for j := range y {
			exchange := corner
			if x[i] != y[j] {
				exchange++
			}
			corner = row[j+1]
			row[j+1] = min(exchange, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(y)]
}
