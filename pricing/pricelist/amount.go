package pricelist

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/names"
)

// Amount is a price as a list states it.
type Amount struct {
	Figure   decimal.Decimal
	Currency string        // ISO 4217 code or sign, "" where none stands there
	Per      *measure.Pack // what it buys where the cell says so: "3.20 / kg"
}

// String returns a in one spelling: "1234.50 EUR per 1 kg".
func (a Amount) String() string {
	s := measure.Plain(a.Figure)
	if a.Currency != "" {
		s += " " + a.Currency
	}
	if a.Per != nil {
		s += " per " + a.Per.String()
	}
	return s
}

// In reports whether a can be in currency c: it says so, or says nothing.
func (a Amount) In(c money.Currency) bool {
	return a.Currency == "" || isCurrency(a.Currency, c)
}

// ReadAmount reads a price as suppliers write it: "1.234,50 €", "£ 12.50",
// "CHF 1'250.-", "95p", "3,20 €/kg". Decimals follow mark; where it is Unknown
// a figure that can be read two ways is refused with [ErrAmbiguous].
func ReadAmount(s string, mark Mark) (Amount, error) {
	a, _, err := amount(s, mark)
	return a, err
}

// amount is [ReadAmount]; it returns also the mark that the cell proves.
func amount(s string, mark Mark) (Amount, Mark, error) {
	if len(s) > maxCell {
		return Amount{}, Unknown, fmt.Errorf("%s is too long for a price", quoted(s))
	}
	text := clean(s)
	before, core, after := around(text)
	switch {
	case core == "":
		return Amount{}, Unknown, fmt.Errorf("%s holds no figure; write the price in digits, such as 12.50", quoted(text))
	case strings.ContainsAny(after, "0123456789") && strings.ContainsAny(string([]rune(after)[:1]), dashes):
		return Amount{}, Unknown, fmt.Errorf("%s is a range, not a price; enter the one you pay", quoted(text))
	case negative(before, after):
		return Amount{}, Unknown, fmt.Errorf("%s is below zero; a price cannot be, so enter a credit or discount by hand", quoted(text))
	}
	after, noCents := cutNoCents(after)
	if noCents != Unknown {
		for _, r := range core {
			if markOf(r) == noCents {
				return Amount{}, Unknown, notFigure(text)
			}
		}
		mark = noCents
	}
	n, proven, err := figure(core, mark)
	if err != nil {
		return Amount{}, Unknown, err
	}
	if noCents != Unknown {
		proven = noCents
	}
	a := Amount{Figure: n}
	after, a.Per, err = cutPer(after, mark)
	if err != nil {
		return Amount{}, Unknown, fmt.Errorf("price %s: %w", quoted(text), err)
	}
	if err := a.money(before, after); err != nil {
		return Amount{}, Unknown, fmt.Errorf("price %s: %w", quoted(text), err)
	}
	return a, proven, nil
}

// around finds the first figure of a text, and what stands around it.
func around(s string) (before, core, after string) {
	start := strings.IndexAny(s, "0123456789")
	if start < 0 {
		return s, "", ""
	}
	end := start
	for i := start; i < len(s); i++ {
		switch {
		case s[i] >= '0' && s[i] <= '9':
			end = i + 1
			continue
		case strings.IndexByte(".,' ", s[i]) >= 0:
			continue
		}
		break
	}
	// ".50" and "€.50" have their mark in front; "Fr.50" has the stop of an
	// abbreviation.
	if start > 0 && (s[start-1] == '.' || s[start-1] == ',') {
		if r, _ := utf8.DecodeLastRuneInString(s[:start-1]); !unicode.IsLetter(r) {
			start--
		}
	}
	return strings.TrimSpace(s[:start]), s[start:end], strings.TrimSpace(s[end:])
}

const dashes = "-\u2010\u2011\u2012\u2013\u2014\u2212"

// negative reports whether a figure is marked as below zero, in front, in
// brackets, or behind as old tills print it.
func negative(before, after string) bool {
	return strings.ContainsAny(before, dashes+"(") || after != "" && strings.ContainsAny(string([]rune(after)[:1]), dashes+")") ||
		strings.HasSuffix(after, "-") && !strings.HasPrefix(after, ".") && !strings.HasPrefix(after, ",")
}

// cutNoCents cuts the dash that stands for no cents: "12,-" and "12.--".
func cutNoCents(after string) (string, Mark) {
	if after == "" || markOf(rune(after[0])) == Unknown {
		return after, Unknown
	}
	rest := strings.TrimLeft(after[1:], dashes)
	if rest == after[1:] {
		return after, Unknown
	}
	return strings.TrimSpace(rest), markOf(rune(after[0]))
}

// cutPer cuts what the price buys: "/kg", "per 100 g", "je Stück".
func cutPer(after string, mark Mark) (string, *measure.Pack, error) {
	start, rest := len(after), ""
	if i := strings.IndexByte(after, '/'); i >= 0 {
		start, rest = i, after[i+1:]
	} else {
		position := 0
		for word := range strings.SplitSeq(after, " ") {
			if next := position + len(word); perWords[names.Words(word)] && next < len(after) {
				start, rest = position, after[next:]
				break
			}
			position += len(word) + 1
		}
	}
	if start == len(after) {
		return after, nil, nil
	}
	pack, err := ReadPack(rest, mark)
	if err != nil {
		return "", nil, err
	}
	return strings.TrimSpace(after[:start]), &pack, nil
}

// money takes the currency that stands before or after the figure.
func (a *Amount) money(before, after string) error {
	if before != "" && after != "" && before != after {
		// "EUR 12.50 €" says the same twice, but so rarely that a slip is likelier.
		return errors.New("text stands on both sides of the figure; leave one currency")
	}
	word := before + after
	if before == after {
		word = before
	}
	if word == "" {
		return nil
	}
	if before == "" && slices.Contains([]string{"p", "ct", "cts", "cent", "cents", "¢"}, strings.ToLower(strings.TrimSuffix(word, "."))) {
		a.Figure = a.Figure.Shift(-2)
		return nil
	}
	currency, ok := currencyOf(word)
	if !ok {
		return fmt.Errorf("%s beside the figure is no currency that is known here", quoted(word))
	}
	a.Currency = currency
	return nil
}
