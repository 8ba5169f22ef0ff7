package pricelist

import (
	"errors"
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
)

// Customary says whose fluid ounces, pints and gallons a list means where it
// does not say.
type Customary string

// UnmarshalText reads "us", "uk" or "".
func (c *Customary) UnmarshalText(text []byte) error {
	switch string(text) {
	case "", "us", "uk":
		*c = Customary(text)
		return nil
	}
	return fmt.Errorf("customary measures %.20q are unknown; use us or uk", text)
}

// ReadPack reads a pack as suppliers write it: "10x250g", "case of 6 x 1L",
// "6/1 l", "15 doz", "2,5 kg", "30 Stück", "Karton à 12 Dosen à 397 g",
// "per kg". What it read is the pack's own String. Decimals follow mark, as
// with [ReadAmount]. Ounces of volume, pints and gallons must say whether they
// are us or uk.
func ReadPack(s string, mark Mark) (measure.Pack, error) {
	p, _, err := readPack(s, mark, "")
	return p, err
}

func readPack(s string, mark Mark, local Customary) (measure.Pack, []Mark, error) {
	if len(s) > maxCell {
		return measure.Pack{}, nil, fmt.Errorf("pack %s is too long; write it as \"10 x 250 g\"", quoted(s))
	}
	l := lexer{text: names.Bare(clean(s)), mark: mark, local: local}
	err := l.run()
	var p measure.Pack
	if err == nil {
		p, err = packOf(l.tokens)
	}
	if err != nil {
		return measure.Pack{}, nil, fmt.Errorf("pack %s: %w", quoted(clean(s)), err)
	}
	return p, l.proven, nil
}

// packOf reads tokens; what stands in brackets or behind an equals sign says
// the same again, and is held against the rest.
func packOf(tokens []token) (measure.Pack, error) {
	main, again, err := apart(tokens)
	if err != nil {
		return measure.Pack{}, err
	}
	if len(again) > 0 && !hasNumber(main) && hasNumber(again[0]) { // case (6 x 1 l)
		main, again = append(main, again[0]...), again[1:]
	}
	p, err := chain(main)
	if err != nil {
		return measure.Pack{}, err
	}
	for _, tokens := range again {
		if !hasNumber(tokens) {
			continue
		}
		q, err := chain(tokens)
		if err != nil {
			return measure.Pack{}, err
		}
		if q.Dimension() != p.Dimension() || !near(p.Size(measure.Metric), q.Size(measure.Metric)) {
			return measure.Pack{}, fmt.Errorf("says both %s and %s; leave one", p, q)
		}
	}
	return p, nil
}

// apart takes brackets and what follows an equals sign out of tokens.
func apart(tokens []token) (main []token, again [][]token, err error) {
	into := -1 // index in again, or main
	for _, t := range tokens {
		switch {
		case t.kind == anEquals && into < 0 || t.kind == anOpen && into < 0:
			again = append(again, nil)
			into = len(again) - 1
		case t.kind == aClose && into >= 0:
			into = -1
		case t.kind == anEquals || t.kind == anOpen || t.kind == aClose:
			return nil, nil, errors.New("has brackets or equals signs that do not match; write it as \"10 x 250 g\"")
		case into >= 0:
			again[into] = append(again[into], t)
		default:
			main = append(main, t)
		}
	}
	return main, again, nil
}

func hasNumber(tokens []token) bool {
	for _, t := range tokens {
		if t.kind == aNumber {
			return true
		}
	}
	return false
}

// near reports whether two statements of one size agree to a hundredth, as
// "1 lb (454 g)" does.
func near(a, b exact.Number) bool {
	difference := a.Sub(b)
	if difference.Sign() < 0 {
		difference = difference.Neg()
	}
	return difference.Mul(exact.Int(100)).Cmp(a) <= 0
}

// join is what stands between two figures.
type join int

const (
	nothing join = iota
	byContainer
	byOf
	byTimes
	bySlash
)

// term is a figure, with its unit where it has one.
type term struct {
	number decimal.Decimal
	unit   unit // zero where none stands beside the figure
	held   bool // a container stands beside the figure
	join   join // to the term before
}

// chain reads figures that multiply: "6 x 1 l", "3 trays of 30".
func chain(tokens []token) (measure.Pack, error) {
	if !hasNumber(tokens) {
		return single(tokens)
	}
	terms, err := termsOf(tokens)
	if err != nil {
		return measure.Pack{}, err
	}
	last := len(terms) - 1
	if last > 0 && reversed(terms) { // 2.5 kg x 4
		terms[0], terms[last] = terms[last], terms[0]
	}
	content := terms[last]
	if content.unit == (unit{}) {
		if !content.held && content.join != byOf && content.join != byContainer {
			return measure.Pack{}, errors.New("has no unit; say of what, such as g, l or pieces")
		}
		content.unit = unit{"each", 1}
	}
	times := decimal.NewFromInt(1)
	for _, t := range terms[:last] {
		switch {
		case t.unit.symbol == "dozen":
			times = times.Mul(decimal.NewFromInt(12))
		case t.unit.symbol == "each":
			times = times.Mul(decimal.NewFromInt(t.unit.times))
		case t.unit != unit{}:
			return measure.Pack{}, errors.New("has two measures; write how many, x and the size of one, such as \"10 x 250 g\"")
		}
		if !t.number.IsInteger() || t.number.IsZero() {
			return measure.Pack{}, fmt.Errorf("%s is not a whole count of units; write it as \"10 x 250 g\"", measure.Plain(t.number))
		}
		times = times.Mul(t.number)
	}
	return written(times, content)
}

// single reads a unit that stands alone: "per kg", "Stück".
func single(tokens []token) (measure.Pack, error) {
	var units []unit
	for _, t := range tokens {
		switch t.kind {
		case aUnit:
			units = append(units, t.unit)
		case aPer, anOf, aSlash:
		default:
			return measure.Pack{}, errors.New("says no amount; write how much it holds, such as \"25 kg\"")
		}
	}
	if len(units) != 1 {
		return measure.Pack{}, errors.New("says no amount; write how much it holds, such as \"25 kg\"")
	}
	one := decimal.NewFromInt(1)
	return written(one, term{number: one, unit: units[0]})
}

// reversed reports whether the size of one stands first and its count last.
func reversed(terms []term) bool {
	last := len(terms) - 1
	return terms[0].unit != unit{} && terms[0].unit.symbol != "each" && terms[0].unit.symbol != "dozen" &&
		terms[last].unit.times <= 1 && (terms[last].unit.symbol == "" || terms[last].unit.symbol == "each") && terms[last].join == byTimes
}

// written makes a pack of its parts.
func written(times decimal.Decimal, content term) (measure.Pack, error) {
	n := content.number
	if content.unit.times > 1 {
		n = n.Mul(decimal.NewFromInt(content.unit.times))
	}
	text := measure.Plain(n) + " " + content.unit.symbol
	if !times.Equal(decimal.NewFromInt(1)) {
		if times.NumDigits() > 7 {
			return measure.Pack{}, errors.New("holds more units than any pack does")
		}
		text = measure.Plain(times) + " x " + text
	}
	return measure.ParsePack(text)
}

// termsOf gathers figures with the units and containers around them.
func termsOf(tokens []token) ([]term, error) {
	var terms []term
	pending, held, ahead := nothing, false, unit{}
	for i := 0; i < len(tokens); i++ {
		next := func(n int, k kind) bool { return i+n < len(tokens) && tokens[i+n].kind == k }
		switch t := tokens[i]; {
		case t.kind == aNumber:
			if len(terms) > 0 && pending == nothing && ahead == (unit{}) {
				return nil, errors.New("has two figures with nothing that joins them; write it as \"10 x 250 g\"")
			}
			if len(terms) > 0 && pending == nothing {
				return nil, errors.New("has two measures; write one, such as \"10 x 250 g\"")
			}
			n := term{number: t.number, unit: ahead, held: held, join: pending}
			if next(1, aUnit) {
				n.unit = tokens[i+1].unit
				i++
			}
			if len(terms) > 0 && n.join == bySlash && fractionLike(terms[len(terms)-1], n) {
				return nil, errors.New("may be a fraction or a count of units; write it as \"0.5 kg\" or \"1 x 2 kg\"")
			}
			terms = append(terms, n)
			pending, held, ahead = nothing, false, unit{}
		case t.kind == aUnit && next(1, aNumber) && !next(2, aUnit) && pending != bySlash && (len(terms) == 0 || pending != nothing): // kg 25
			ahead = t.unit
		case t.kind == aContainer || t.kind == aUnit && t.unit == unit{"each", 1}:
			held = true
			if len(terms) > 0 {
				terms[len(terms)-1].held = terms[len(terms)-1].held || pending != byTimes
			}
			if pending == nothing || pending == bySlash {
				pending = byContainer
			}
		case t.kind == aUnit:
			return nil, fmt.Errorf("%s has no figure; write how many, such as \"10 x 250 g\"", quoted(t.text))
		case t.kind == anOf:
			if pending == nothing || pending == byContainer {
				pending = byOf
			}
		case t.kind == aSlash || t.kind == aPer:
			if pending == nothing || pending == byContainer {
				pending = bySlash
			}
		case t.kind == aTimes:
			if len(terms) == 0 && !held || pending == byTimes {
				return nil, errors.New("has an x with no count before it; write it as \"10 x 250 g\"")
			}
			pending = byTimes
		}
	}
	if pending == byTimes || pending == bySlash {
		return nil, errors.New("stops in the middle; write it as \"10 x 250 g\"")
	}
	return terms, sizes(terms)
}

// fractionLike reports whether "1/2 kg" may be half a kilogram.
func fractionLike(a, b term) bool {
	if a.unit != (unit{}) || !a.number.IsInteger() || !b.number.IsInteger() || a.number.Cmp(b.number) >= 0 {
		return false
	}
	return a.number.Equal(decimal.NewFromInt(1)) ||
		a.number.LessThan(decimal.NewFromInt(4)) && strings.Contains(" 2 3 4 8 16 ", " "+b.number.String()+" ")
}

// sizes refuses "25 x 35 cm", the size of a thing and not what a pack holds.
func sizes(terms []term) error {
	if len(terms) < 2 {
		return nil
	}
	switch last := terms[len(terms)-1]; last.unit.symbol {
	case "mm", "cm", "in", "ft":
		return errors.New("looks like the size of a thing; write how much a pack holds, such as \"50 each\"")
	case "m":
		if !last.held && !terms[0].held {
			return errors.New("may be the size of a thing; write \"10 rolls of 25 m\" where that is meant")
		}
	}
	return nil
}
