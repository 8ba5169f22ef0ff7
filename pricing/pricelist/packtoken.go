package pricelist

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/shopspring/decimal"
)

// kind is what a token of a pack does.
type kind int

const (
	aNumber    kind = iota
	aUnit           // kg, Stück, dozen
	aContainer      // bag, Karton
	anOf            // of, à, de
	aPer            // per, je, /
	aTimes          // x, ×, *
	aSlash
	anOpen
	aClose
	anEquals
)

type token struct {
	kind   kind
	text   string
	number decimal.Decimal
	unit   unit
}

// lexer cuts the text of a pack into tokens.
type lexer struct {
	text   string // bare
	at     int
	mark   Mark
	proven []Mark // the marks that the figures prove
	local  Customary
	tokens []token
}

// maxTokens bounds a pack; "3 cartons of 12 x 400 g tins (14.4 kg)" has 12.
const maxTokens = 40

func (l *lexer) run() error {
	for l.at < len(l.text) {
		if len(l.tokens) > maxTokens {
			return errors.New("is too long for a pack; write it as \"10 x 250 g\"")
		}
		r, size := utf8.DecodeRuneInString(l.text[l.at:])
		var err error
		switch {
		case l.digitAt(l.at) || markOf(r) != Unknown && l.digitAt(l.at+1) && !l.afterNumber():
			err = l.number()
		case unicode.IsLetter(r):
			err = l.word()
		default:
			l.at += size
			err = l.symbol(r)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (l *lexer) digitAt(i int) bool {
	return i < len(l.text) && l.text[i] >= '0' && l.text[i] <= '9'
}

func (l *lexer) afterNumber() bool {
	return len(l.tokens) > 0 && l.tokens[len(l.tokens)-1].kind == aNumber
}

func (l *lexer) add(k kind, text string) { l.tokens = append(l.tokens, token{kind: k, text: text}) }

// number takes a figure. A space ends it: "6 330 ml" is more likely six of
// 330 ml than 6330, and neither is read.
func (l *lexer) number() error {
	end := l.at + 1
	for l.digitAt(end) || end < len(l.text) && strings.IndexByte(".,'", l.text[end]) >= 0 && l.digitAt(end+1) {
		end++
	}
	text := l.text[l.at:end]
	n, proven, err := figure(text, l.mark)
	if err != nil {
		return err
	}
	l.at = end
	l.proven = append(l.proven, proven)
	l.tokens = append(l.tokens, token{kind: aNumber, text: text, number: n})
	return nil
}

// word takes a word, or several that make one unit: "us fl oz".
func (l *lexer) word() error {
	word, end := l.letters(l.at)
	switch word {
	case "us", "uk", "imp", "imperial", "fl", "fluid", "sq", "q":
		joined, at := word, end
		for range 2 {
			next, after := l.letters(l.skip(at))
			joined, at = joined+next, after
			if next == "" {
				break
			}
			if l.unit(joined) {
				l.at = at
				return nil
			}
			if advice, ok := l.advice(joined); ok {
				return advice
			}
		}
	case "m", "cm":
		if end < len(l.text) && l.text[end] == '2' && !l.digitAt(end+1) {
			word, end = word+"2", end+1
		}
	case "in":
		// A unit only straight behind a figure that nothing follows; elsewhere
		// it is the preposition.
		if rest := strings.TrimLeft(l.text[end:], " ."); l.afterNumber() && (rest == "" || rest[0] == 'x') {
			word = "inch"
		}
	}
	l.at = end
	if stem := strings.TrimSuffix(word, "x"); stem != word && stem != "" && l.unit(stem) { // 5kgx4
		l.add(aTimes, "x")
		return nil
	}
	switch advice, isVague := l.advice(word); {
	case word == "x":
		l.add(aTimes, word)
	case l.unit(word):
	case isVague:
		return advice
	case approximate[word]:
		return fmt.Errorf("%s means the amount is not exact; write the exact one, or \"per kg\" where it is sold by weight", quoted(word))
	case containers[word]:
		l.add(aContainer, word)
	case ofWords[word]:
		l.add(anOf, word)
	case perWords[word]:
		l.add(aPer, word)
	default:
		return fmt.Errorf("%s is no unit or pack word known here; write it as \"10 x 250 g\"", quoted(word))
	}
	return nil
}

// letters returns the run of letters at i, and where it ends past the stop of
// an abbreviation.
func (l *lexer) letters(i int) (string, int) {
	end := i
	for end < len(l.text) {
		r, size := utf8.DecodeRuneInString(l.text[end:])
		if !unicode.IsLetter(r) {
			break
		}
		end += size
	}
	word := l.text[i:end]
	if word != "" && end < len(l.text) && l.text[end] == '.' {
		end++
	}
	return word, end
}

func (l *lexer) skip(i int) int {
	for i < len(l.text) && l.text[i] == ' ' {
		i++
	}
	return i
}

// unit adds a unit by its word, and reports whether there is one.
func (l *lexer) unit(word string) bool {
	u, ok := unitWords[word]
	if !ok && vague[word] != "" && l.local != "" {
		u, ok = unitWords[string(l.local)+word]
	}
	if ok {
		l.tokens = append(l.tokens, token{kind: aUnit, text: word, unit: u})
	}
	return ok
}

func (l *lexer) advice(word string) (error, bool) {
	what, ok := vague[word]
	return fmt.Errorf("%s is no exact measure by itself; write %s", quoted(word), what), ok
}

func (l *lexer) symbol(r rune) error {
	next := l.skip(l.at)
	switch r {
	case ' ', ',', ';', ':', '.', '|':
	case '×', '*', '✕', '✖':
		l.add(aTimes, "x")
	case '/':
		l.add(aSlash, "/")
	case '@':
		l.add(anOf, "@")
	case '(', '[':
		l.add(anOpen, "(")
	case ')', ']':
		l.add(aClose, ")")
	case '=':
		l.add(anEquals, "=")
	case '"', '”', '″':
		if !l.afterNumber() {
			return errors.New("has a quotation mark where no inches are; take it out")
		}
		l.unit("inch")
	case '-', '‐', '‑', '‒', '–', '—', '−':
		switch {
		case l.digitAt(next) && l.afterNumber():
			return errors.New("is a range; write the exact amount, or \"per kg\" where it is sold by weight")
		case l.digitAt(next) && len(l.tokens) == 0:
			return errors.New("is below zero; a pack holds something")
		}
	default:
		return fmt.Errorf("%q means nothing in a pack; write it as \"10 x 250 g\"", r)
	}
	return nil
}
