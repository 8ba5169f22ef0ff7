// Package names compares names as people write them: without regard to case,
// accents, signs and double spaces.
//
// [Bare] takes away case and accents, [Words] signs as well, and [Distance]
// says how many slips of the keys part two texts. What is the same under
// [Words] is the same name to a reader; what is only near is for a person to
// decide.
package names

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// letters that Unicode does not take apart into a letter and an accent.
var letters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i")

// Bare returns s in lower case, without accents.
func Bare(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, letters.Replace(strings.ToLower(norm.NFKD.String(s))))
}

// Words returns the bare words of s, parted by single spaces: letters and
// digits, no signs.
func Words(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range Bare(s) {
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
