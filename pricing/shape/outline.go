package shape

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Kind is the form of an outline, by the name the book file gives it.
type Kind string

// The kinds of outline.
const (
	Round     Kind = "round"
	Square    Kind = "square"
	Rectangle Kind = "rectangle"
	Hexagon   Kind = "hexagon"
	Heart     Kind = "heart"
	Measured  Kind = "measured"
)

// Kinds lists every kind.
func Kinds() []Kind { return []Kind{Round, Square, Rectangle, Hexagon, Heart, Measured} }

// ParseKind reads a kind's name.
func ParseKind(s string) (Kind, error) {
	if slices.Contains(Kinds(), Kind(s)) {
		return Kind(s), nil
	}
	names := make([]string, len(Kinds()))
	for i, k := range Kinds() {
		names[i] = string(k)
	}
	return "", fmt.Errorf("shape %.20q is unknown; use one of %s", s, strings.Join(names, ", "))
}

// Sizes names the sizes that an outline of kind k needs, as the book file
// writes them, in order.
func (k Kind) Sizes() []string {
	switch k {
	case Round:
		return []string{"diameter"}
	case Square, Hexagon, Heart:
		return []string{"side"}
	case Rectangle:
		return []string{"length", "width"}
	case Measured:
		return []string{"area", "perimeter"}
	}
	return nil
}

// Outline is the plan of a mould or tier. The zero value is no outline.
type Outline struct {
	kind  Kind
	sizes [2]measure.Quantity // in the order of Kind.Sizes
}

// New returns an outline of kind k with the sizes that k.Sizes names, in that
// order. Sizes must be above zero and lengths, but for a measured area.
func New(k Kind, sizes ...measure.Quantity) (Outline, error) {
	names := k.Sizes()
	if len(sizes) != len(names) {
		return Outline{}, fmt.Errorf("a %s outline needs %s", k, strings.Join(names, " and "))
	}
	o := Outline{kind: k}
	for i, q := range sizes {
		if err := CheckSize(names[i], q); err != nil {
			return Outline{}, err
		}
		o.sizes[i] = q
	}
	return o, nil
}

// The largest size of a tier or mould, well beyond any cake: 20 m, 400 m2.
var (
	longest = exact.Int(20_000)
	widest  = exact.Int(4_000_000)
)

// CheckSize says what is wrong with a size called name ("diameter", "area",
// "height"), if anything.
func CheckSize(name string, q measure.Quantity) error {
	want, most := measure.Length, longest
	if name == "area" {
		want, most = measure.Area, widest
	}
	switch {
	case q.Dimension() != want:
		return fmt.Errorf("%s %q is not a %s; use %s", name, q, want, strings.Join(measure.Symbols(want), ", "))
	case q.Sign() == 0:
		return fmt.Errorf("%s is 0; measure it and write how large it is", name)
	case q.Base(measure.Metric).Cmp(most) > 0:
		return fmt.Errorf("%s %q is larger than any cake; at most 20 m", name, q)
	}
	return nil
}

// Kind returns the form of o.
func (o Outline) Kind() Kind { return o.kind }

// Given reports whether o is an outline at all.
func (o Outline) Given() bool { return o.kind != "" }

// Sizes returns o's sizes in the order of [Kind.Sizes].
func (o Outline) Sizes() []measure.Quantity { return o.sizes[:len(o.kind.Sizes())] }

// String says the outline in words: "round, 225 mm" or "rectangle, 30 cm × 20 cm".
func (o Outline) String() string {
	parts := make([]string, 0, 2)
	for _, q := range o.Sizes() {
		parts = append(parts, q.String())
	}
	return string(o.kind) + ", " + strings.Join(parts, " × ")
}

// cm returns the i-th size in cm.
func (o Outline) cm(i int) exact.Number { return Centimetres(o.sizes[i]) }

// Centimetres returns a length in cm.
func Centimetres(q measure.Quantity) exact.Number {
	return q.Base(measure.Metric).Mul(exact.Frac(1, 10))
}

// Area returns A, the footprint in cm2.
func (o Outline) Area() exact.Number {
	a := o.cm(0)
	switch o.kind {
	case Round:
		return exact.Pi().Mul(a).Mul(a).Mul(exact.Frac(1, 4))
	case Square:
		return a.Mul(a)
	case Rectangle:
		return a.Mul(o.cm(1))
	case Hexagon:
		return exact.Sqrt3().Mul(exact.Frac(3, 2)).Mul(a).Mul(a)
	case Heart:
		return a.Mul(a).Mul(exact.Int(1).Add(exact.Pi().Mul(exact.Frac(1, 4))))
	case Measured:
		return o.sizes[0].Base(measure.Metric)
	}
	return exact.Number{}
}

// Perimeter returns P, the length of the edge in cm.
func (o Outline) Perimeter() exact.Number {
	a := o.cm(0)
	switch o.kind {
	case Round:
		return exact.Pi().Mul(a)
	case Square:
		return exact.Int(4).Mul(a)
	case Rectangle:
		return exact.Int(2).Mul(a.Add(o.cm(1)))
	case Hexagon:
		return exact.Int(6).Mul(a)
	case Heart:
		return a.Mul(exact.Int(2).Add(exact.Pi()))
	case Measured:
		return o.cm(1)
	}
	return exact.Number{}
}

// Solid is a tier or a mould: an outline with a height.
type Solid struct {
	Outline Outline
	Height  measure.Quantity
}

// Volume returns A·H in cm3, which are ml.
func (s Solid) Volume() exact.Number { return s.Outline.Area().Mul(Centimetres(s.Height)) }

// Side returns P·H in cm2.
func (s Solid) Side() exact.Number { return s.Outline.Perimeter().Mul(Centimetres(s.Height)) }

// Surface returns A + P·H in cm2: the top and the side.
func (s Solid) Surface() exact.Number { return s.Outline.Area().Add(s.Side()) }

// Rolled returns the area in cm2 of a sheet that covers s with overhang to
// spare all round.
func (s Solid) Rolled(overhang measure.Quantity) exact.Number {
	x := Centimetres(s.Height).Add(Centimetres(overhang))
	return s.Outline.Area().Add(s.Outline.Perimeter().Mul(x)).Add(exact.Pi().Mul(x).Mul(x))
}

// MarshalText writes the kind's name.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k), nil }

// UnmarshalText reads k as [ParseKind] does.
func (k *Kind) UnmarshalText(text []byte) (err error) {
	*k, err = ParseKind(string(text))
	return err
}
