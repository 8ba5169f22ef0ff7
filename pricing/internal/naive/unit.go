package naive

import (
	"fmt"
	"math/big"
	"strings"
)

// dimensions lists the units of each dimension, in its base unit.
var dimensions = map[string]map[string]string{
	"mass": {"mg": "0.001", "g": "1", "kg": "1000", "oz": "28.349523125", "lb": "453.59237"},
	"volume": {"ml": "1", "cl": "10", "dl": "100", "l": "1000",
		"us fl oz": "29.5735295625", "us pint": "473.176473", "us quart": "946.352946", "us gallon": "3785.411784",
		"uk fl oz": "28.4130625", "uk pint": "568.26125", "uk gallon": "4546.09"},
	"count":  {"each": "1", "dozen": "12"},
	"length": {"mm": "1", "cm": "10", "m": "1000", "in": "25.4", "ft": "304.8"},
	"area":   {"mm2": "0.01", "cm2": "1", "m2": "10000", "in2": "6.4516"},
	"energy": {"Wh": "0.001", "kWh": "1"},
	"power":  {"W": "0.001", "kW": "1"},
	"time":   {"min": "1", "h": "60", "day": "1440"}, // and s, which is no decimal
}

// households lists the spoons and cups, in ml.
var households = map[string]map[string]string{
	"metric": {"tsp": "5", "tbsp": "15", "cup": "250"},
	"us":     {"tsp": "4.92892159375", "tbsp": "14.78676478125", "cup": "236.5882365"},
}

// baseUnits names the unit in which a bill counts each dimension.
var baseUnits = map[string]string{"mass": "g", "volume": "ml", "count": "each", "length": "mm", "area": "cm2"}

// quantity reads "number unit" and returns it in the base unit, with its dimension.
func (b *Book) quantity(s string) (*big.Rat, string) {
	number, unit, _ := strings.Cut(s, " ")
	n := decimal(number)
	if unit == "s" {
		return div(n, whole(60)), "time"
	}
	household := b.Studio.Household
	if household == "" {
		household = "metric"
	}
	if factor, ok := households[household][unit]; ok {
		return mul(n, decimal(factor)), "volume"
	}
	for dimension, units := range dimensions {
		if factor, ok := units[unit]; ok {
			return mul(n, decimal(factor)), dimension
		}
	}
	panic(fmt.Errorf("naive: %q has no known unit", s))
}

// in reads a quantity that must have the given dimension; absent means zero.
func (b *Book) in(dimension, s string) *big.Rat {
	if s == "" {
		return zero
	}
	q, d := b.quantity(s)
	if d != dimension {
		panic(fmt.Errorf("naive: %q is no %s", s, dimension))
	}
	return q
}

// cm reads a length in centimetres.
func (b *Book) cm(s string) *big.Rat { return div(b.in("length", s), whole(10)) }

// pack reads "12.5 kg" or "10 x 250 g" in the base unit of the dimension.
func (b *Book) pack(dimension, s string) *big.Rat {
	if number, rest, ok := strings.Cut(s, " x "); ok {
		return mul(decimal(number), b.in(dimension, rest))
	}
	return b.in(dimension, s)
}

// density reads "0.9 g/ml".
func density(s string) *big.Rat {
	number, ok := strings.CutSuffix(s, " g/ml")
	if !ok {
		panic(fmt.Errorf("naive: %q is no density", s))
	}
	return decimal(number)
}

// minorUnits returns the decimals of a currency: those of ISO 4217 (list one)
// that are not two.
func minorUnits(currency string) int {
	switch currency {
	case "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF":
		return 0
	case "BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND":
		return 3
	case "CLF", "UYW":
		return 4
	}
	return 2
}
