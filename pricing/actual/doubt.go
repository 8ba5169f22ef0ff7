package actual

import (
	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/variance"
)

// Doubt is a recorded quantity so far from the plan that it may be a slip, or
// not be all of it yet. Common practice, no source: five times the plan, or
// less than half of the minutes, or less than a fifth of the goods.
type Doubt struct {
	Line     variance.Line
	Quantity exact.Number // recorded
	Over     bool         // much more than planned; else much less
}

// Doubts lists what looks wrong with an order, line by line.
func Doubts(r variance.Result) []Doubt {
	var list []Doubt
	for _, v := range r.Lines {
		standard := v.Line.StandardQuantity
		if !v.Quantity.Recorded || standard.IsZero() {
			continue
		}
		least := exact.Frac(1, 5)
		if v.Line.Kind == pricing.Role {
			least = exact.Frac(1, 2)
		}
		switch ratio := v.Quantity.Value.Quo(standard); {
		case ratio.Cmp(exact.Int(5)) > 0:
			list = append(list, Doubt{v.Line, v.Quantity.Value, true})
		case ratio.Cmp(least) < 0 && !v.Quantity.Value.IsZero():
			list = append(list, Doubt{v.Line, v.Quantity.Value, false})
		}
	}
	return list
}
