package measure

import (
	"errors"
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
)

// Digits that a figure may have before and after its point. A cake studio
// needs few; the bound keeps a hostile file from asking for a number that
// fills the memory.
const (
	maxWhole    = 15
	maxFraction = 18
)

// Number reads a plain decimal: digits with an optional point between digits,
// no sign, exponent or thousands mark.
func Number(s string) (decimal.Decimal, error) {
	whole, fraction, point := strings.Cut(s, ".")
	if !digits(whole) || point && !digits(fraction) {
		return decimal.Decimal{}, fmt.Errorf("%s is not a plain number; write digits with an optional point, such as 12.5", shown(s))
	}
	if len(whole) > maxWhole || len(fraction) > maxFraction {
		return decimal.Decimal{}, fmt.Errorf("%s has too many digits; at most %d before the point and %d after it", shown(s), maxWhole, maxFraction)
	}
	d, err := decimal.NewFromString(s)
	if err != nil {
		return decimal.Decimal{}, fmt.Errorf("%s is not a plain number", shown(s))
	}
	return d, nil
}

func digits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// shown quotes what was typed, cut where it is too long to repeat.
func shown(s string) string {
	const most = 40
	if runes := []rune(s); len(runes) > most {
		s = string(runes[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}

// Plain prints d with the digits it was typed with: "2.50" stays "2.50".
func Plain(d decimal.Decimal) string {
	if d.Exponent() < 0 {
		return d.StringFixed(-d.Exponent())
	}
	return d.String()
}

// Percent is a share written "12.5 %". The zero value is 0 %.
type Percent struct {
	figure decimal.Decimal
}

// ParsePercent reads "12.5 %": a plain number, one space, a percent sign.
func ParsePercent(s string) (Percent, error) {
	figure, ok := strings.CutSuffix(s, " %")
	if !ok {
		return Percent{}, fmt.Errorf("%s is not a percentage; write a number, a space and %%, such as \"12.5 %%\"", shown(s))
	}
	d, err := Number(figure)
	return Percent{d}, err
}

// MustPercent is [ParsePercent] for constants; it panics on a bad text.
func MustPercent(s string) Percent {
	p, err := ParsePercent(s)
	if err != nil {
		panic(err)
	}
	return p
}

// Fraction returns the share as a fraction: 12.5 % is 1/8.
func (p Percent) Fraction() exact.Number {
	return exact.FromDecimal(p.figure.Shift(-2))
}

// String returns p as it was written.
func (p Percent) String() string { return Plain(p.figure) + " %" }

// Density is a mass per volume in g/ml. The zero value means none is known.
type Density struct {
	figure decimal.Decimal
}

// ParseDensity reads "0.911 g/ml". Zero is refused: it would make a mass
// infinite in volume.
func ParseDensity(s string) (Density, error) {
	figure, ok := strings.CutSuffix(s, " g/ml")
	if !ok {
		return Density{}, fmt.Errorf("%s is not a density; write it in g/ml, such as \"0.911 g/ml\"", shown(s))
	}
	d, err := Number(figure)
	if err == nil && d.IsZero() {
		err = errors.New("a density of 0 g/ml cannot be; weigh 100 ml and divide the grams by 100")
	}
	if err != nil {
		return Density{}, err
	}
	return Density{d}, nil
}

// GramsPerMl returns the density as a number.
func (d Density) GramsPerMl() exact.Number { return exact.FromDecimal(d.figure) }

// Known reports whether a density was given.
func (d Density) Known() bool { return !d.figure.IsZero() }

// String returns d as it was written.
func (d Density) String() string { return Plain(d.figure) + " g/ml" }

// IsZero reports whether no density is known.
func (d Density) IsZero() bool { return !d.Known() }

// MarshalText writes d as [Density.String] does.
func (d Density) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads d as [ParseDensity] does.
func (d *Density) UnmarshalText(text []byte) (err error) {
	*d, err = ParseDensity(string(text))
	return err
}

// MarshalText writes p as [Percent.String] does.
func (p Percent) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads p as [ParsePercent] does.
func (p *Percent) UnmarshalText(text []byte) (err error) {
	*p, err = ParsePercent(string(text))
	return err
}

// Figure is a plain number without a unit, kept as it was typed.
type Figure struct {
	figure decimal.Decimal
}

// Number returns f as an exact number.
func (f Figure) Number() exact.Number { return exact.FromDecimal(f.figure) }

// String returns f as it was written.
func (f Figure) String() string { return Plain(f.figure) }

// MarshalText writes f as [Figure.String] does.
func (f Figure) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// UnmarshalText reads f as [Number] does.
func (f *Figure) UnmarshalText(text []byte) (err error) {
	f.figure, err = Number(string(text))
	return err
}
