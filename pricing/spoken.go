package pricing

import (
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Spoken returns the quantity, in base units of a dimension, that a price is
// said for, and its words: 1000 g is "a kg".
func Spoken(d measure.Dimension) (exact.Number, string) {
	switch d {
	case measure.Mass:
		return exact.Int(1000), "a kg"
	case measure.Volume:
		return exact.Int(1000), "a litre"
	case measure.Length:
		return exact.Int(1000), "a metre"
	case measure.Area:
		return exact.Int(10_000), "a square metre"
	}
	return exact.Int(1), "each"
}
