package measure

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
)

// Quantity is a figure in a unit, such as 250 g. The zero value has no unit
// and stands for "not given".
type Quantity struct {
	figure decimal.Decimal
	unit   Unit
}

// Of returns figure in unit.
func Of(figure decimal.Decimal, unit Unit) Quantity { return Quantity{figure, unit} }

// Parse reads "250 g": a plain number, one space, a unit.
func Parse(s string) (Quantity, error) {
	figure, symbol, ok := strings.Cut(s, " ")
	if !ok {
		return Quantity{}, fmt.Errorf("%s is not a quantity; write a number, a space and a unit, such as \"250 g\"", shown(s))
	}
	d, err := Number(figure)
	if err != nil {
		return Quantity{}, err
	}
	u, err := ParseUnit(symbol)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{d, u}, nil
}

// Must is [Parse] for constants and tests; it panics on a bad text.
func Must(s string) Quantity {
	q, err := Parse(s)
	if err != nil {
		panic(err)
	}
	return q
}

// Given reports whether q was stated at all; 0 g is given.
func (q Quantity) Given() bool { return q.unit != Unit{} }

// Figure returns the number as it was typed.
func (q Quantity) Figure() decimal.Decimal { return q.figure }

// Unit returns the unit.
func (q Quantity) Unit() Unit { return q.unit }

// Dimension returns what q measures.
func (q Quantity) Dimension() Dimension { return q.unit.Dimension() }

// Base returns q in the base unit of its dimension. Household measures are
// taken as household h has them.
func (q Quantity) Base(h Household) exact.Number {
	return exact.FromDecimal(q.figure).Mul(q.unit.Factor(h))
}

// IsZero reports whether no quantity was given at all; 0 g is one. It lets
// encoding/json leave out what nobody stated.
func (q Quantity) IsZero() bool { return !q.Given() }

// Sign returns 0 where the figure is 0 and 1 where it is more.
func (q Quantity) Sign() int { return q.figure.Sign() }

// MarshalText writes q as [Quantity.String] does.
func (q Quantity) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads q as [Parse] does.
func (q *Quantity) UnmarshalText(text []byte) (err error) {
	*q, err = Parse(string(text))
	return err
}

// String returns q as it was written, and "" where none was given.
func (q Quantity) String() string {
	if !q.Given() {
		return ""
	}
	return Plain(q.figure) + " " + q.unit.String()
}

// Pack is the amount a supplier sells for one price: "12.5 kg", or units that
// come several together, "10 x 250 g".
type Pack struct {
	times string // as written, "" where the pack is a single quantity
	each  Quantity
}

// maxTimes bounds how many units a pack holds.
const maxTimes = 1_000_000

// ParsePack reads a pack. Its amount must be above zero: a price is divided by
// it.
func ParsePack(s string) (Pack, error) {
	p := Pack{}
	rest := s
	if times, each, ok := strings.Cut(s, " x "); ok {
		n, err := decimal.NewFromString(times)
		if !digits(times) || err != nil || len(times) > 7 || n.IsZero() || n.GreaterThan(decimal.NewFromInt(maxTimes)) {
			return Pack{}, fmt.Errorf("pack %s: %s is not a count from 1 to %d; write it as \"10 x 250 g\"", shown(s), shown(times), maxTimes)
		}
		p.times, rest = times, each
	}
	q, err := Parse(rest)
	if err != nil {
		return Pack{}, fmt.Errorf("pack: %w", err)
	}
	if q.Sign() == 0 {
		return Pack{}, fmt.Errorf("pack %s holds nothing; write what is in it, such as \"10 x 250 g\"", shown(s))
	}
	p.each = q
	return p, nil
}

// Dimension returns what the pack is measured in.
func (p Pack) Dimension() Dimension { return p.each.Dimension() }

// Size returns all that the pack holds, in the base unit of its dimension.
func (p Pack) Size(h Household) exact.Number {
	size := p.each.Base(h)
	if p.times != "" {
		size = size.Mul(exact.Must(p.times))
	}
	return size
}

// String returns p as it was written.
func (p Pack) String() string {
	if p.times == "" {
		return p.each.String()
	}
	return p.times + " x " + p.each.String()
}

// MarshalText writes p as [Pack.String] does.
func (p Pack) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads p as [ParsePack] does.
func (p *Pack) UnmarshalText(text []byte) (err error) {
	*p, err = ParsePack(string(text))
	return err
}
