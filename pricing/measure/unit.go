package measure

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/exact"
)

// Dimension is what a quantity measures.
type Dimension int

// The dimensions, each with the base unit in which it is computed.
const (
	None   Dimension = iota
	Mass             // g
	Volume           // ml
	Count            // each
	Length           // mm
	Area             // cm2
	Time             // min
	Energy           // kWh
	Power            // W
)

var dimensionNames = []string{"none", "mass", "volume", "count", "length", "area", "time", "energy", "power"}

// String returns the dimension's name as the book file writes it.
func (d Dimension) String() string { return dimensionNames[d] }

// ParseDimension reads a name such as "mass". Power is not among them: nothing
// is bought or costed by it.
func ParseDimension(s string) (Dimension, error) {
	i := slices.Index(dimensionNames[:Power], s)
	if i <= 0 {
		return None, fmt.Errorf("measure %s is unknown; use one of %s", shown(s), strings.Join(dimensionNames[1:Power], ", "))
	}
	return Dimension(i), nil
}

// Base returns the symbol of d's base unit.
func (d Dimension) Base() string {
	return []string{"", "g", "ml", "each", "mm", "cm2", "min", "kWh", "W"}[d]
}

// Household says how large a kitchen's tsp, tbsp and cup are.
type Household int

// The households.
const (
	Metric Household = iota // tsp 5 ml, tbsp 15 ml, cup 250 ml
	US                      // tsp 4.92892159375 ml, tbsp 3 tsp, cup 48 tsp
)

// String returns the household's name as the book file writes it.
func (h Household) String() string {
	if h == US {
		return "us"
	}
	return "metric"
}

// ParseHousehold reads "metric" or "us".
func ParseHousehold(s string) (Household, error) {
	switch s {
	case "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, fmt.Errorf("household %s is unknown; use metric or us", shown(s))
}

// Unit is a unit of measure, known by its symbol. The zero value is no unit.
type Unit struct {
	index int // into units; 0 is no unit
}

type unitFacts struct {
	symbol    string
	dimension Dimension
	factor    exact.Number // base units in one of it, in a metric household
	us        exact.Number // the same in a US household, where that differs
}

// units lists every unit with its factor to the base unit. Mass and US and
// imperial volume factors are exact by definition: the pound is
// 0.45359237 kg, the inch 25.4 mm, the US gallon 231 cubic inches and the
// imperial gallon 4.54609 l.
var units = []unitFacts{
	{},
	{symbol: "mg", dimension: Mass, factor: exact.Frac(1, 1000)},
	{symbol: "g", dimension: Mass, factor: exact.Int(1)},
	{symbol: "kg", dimension: Mass, factor: exact.Int(1000)},
	{symbol: "oz", dimension: Mass, factor: exact.Must("28.349523125")},
	{symbol: "lb", dimension: Mass, factor: exact.Must("453.59237")},
	{symbol: "ml", dimension: Volume, factor: exact.Int(1)},
	{symbol: "cl", dimension: Volume, factor: exact.Int(10)},
	{symbol: "dl", dimension: Volume, factor: exact.Int(100)},
	{symbol: "l", dimension: Volume, factor: exact.Int(1000)},
	{symbol: "us fl oz", dimension: Volume, factor: exact.Must("29.5735295625")},
	{symbol: "us pint", dimension: Volume, factor: exact.Must("473.176473")},
	{symbol: "us quart", dimension: Volume, factor: exact.Must("946.352946")},
	{symbol: "us gallon", dimension: Volume, factor: exact.Must("3785.411784")},
	{symbol: "uk fl oz", dimension: Volume, factor: exact.Must("28.4130625")},
	{symbol: "uk pint", dimension: Volume, factor: exact.Must("568.26125")},
	{symbol: "uk gallon", dimension: Volume, factor: exact.Must("4546.09")},
	{symbol: "tsp", dimension: Volume, factor: exact.Int(5), us: exact.Must("4.92892159375")},
	{symbol: "tbsp", dimension: Volume, factor: exact.Int(15), us: exact.Must("14.78676478125")},
	{symbol: "cup", dimension: Volume, factor: exact.Int(250), us: exact.Must("236.5882365")},
	{symbol: "each", dimension: Count, factor: exact.Int(1)},
	{symbol: "dozen", dimension: Count, factor: exact.Int(12)},
	{symbol: "mm", dimension: Length, factor: exact.Int(1)},
	{symbol: "cm", dimension: Length, factor: exact.Int(10)},
	{symbol: "m", dimension: Length, factor: exact.Int(1000)},
	{symbol: "in", dimension: Length, factor: exact.Must("25.4")},
	{symbol: "ft", dimension: Length, factor: exact.Must("304.8")},
	{symbol: "mm2", dimension: Area, factor: exact.Frac(1, 100)},
	{symbol: "cm2", dimension: Area, factor: exact.Int(1)},
	{symbol: "m2", dimension: Area, factor: exact.Int(10000)},
	{symbol: "in2", dimension: Area, factor: exact.Must("6.4516")},
	{symbol: "s", dimension: Time, factor: exact.Frac(1, 60)},
	{symbol: "min", dimension: Time, factor: exact.Int(1)},
	{symbol: "h", dimension: Time, factor: exact.Int(60)},
	{symbol: "day", dimension: Time, factor: exact.Int(1440)},
	{symbol: "Wh", dimension: Energy, factor: exact.Frac(1, 1000)},
	{symbol: "kWh", dimension: Energy, factor: exact.Int(1)},
	{symbol: "W", dimension: Power, factor: exact.Int(1)},
	{symbol: "kW", dimension: Power, factor: exact.Int(1000)},
}

// ParseUnit reads a unit's symbol.
func ParseUnit(s string) (Unit, error) {
	for i, u := range units {
		if i > 0 && u.symbol == s {
			return Unit{i}, nil
		}
	}
	return Unit{}, fmt.Errorf("unit %s is unknown; use one of %s", shown(s), strings.Join(Symbols(None), ", "))
}

// Symbols lists the units of a dimension, or of all for None.
func Symbols(d Dimension) []string {
	var list []string
	for _, u := range units[1:] {
		if d == None || u.dimension == d {
			list = append(list, u.symbol)
		}
	}
	return list
}

// String returns the unit's symbol.
func (u Unit) String() string { return units[u.index].symbol }

// Dimension returns what u measures.
func (u Unit) Dimension() Dimension { return units[u.index].dimension }

// Factor returns how many base units one u holds in household h.
func (u Unit) Factor(h Household) exact.Number {
	if facts := units[u.index]; h == US && !facts.us.IsZero() {
		return facts.us
	}
	return units[u.index].factor
}

// MarshalText writes the dimension's name.
func (d Dimension) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads d as [ParseDimension] does.
func (d *Dimension) UnmarshalText(text []byte) (err error) {
	*d, err = ParseDimension(string(text))
	return err
}

// MarshalText writes the household's name.
func (h Household) MarshalText() ([]byte, error) { return []byte(h.String()), nil }

// UnmarshalText reads h as [ParseHousehold] does.
func (h *Household) UnmarshalText(text []byte) (err error) {
	*h, err = ParseHousehold(string(text))
	return err
}
