package risk

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// float takes an exact number into the statistics.
func float(n exact.Number) float64 {
	f, _ := n.Rat().Float64()
	return f
}

// fromFloat takes a finite figure out of the statistics, unrounded.
func fromFloat(f float64) exact.Number {
	return exact.Must(strconv.FormatFloat(f, 'f', -1, 64))
}

// amount rounds a cost to the minor unit.
func amount(cur money.Currency, f float64) money.Amount { return cur.Round(fromFloat(f)) }

// roundUp rounds money up to the minor unit.
func roundUp(cur money.Currency, n exact.Number) money.Amount {
	return cur.Round(n.RoundUpTo(exact.FromDecimal(decimal.New(1, -cur.Places()))))
}

// fraction rounds a share or a chance for print.
func fraction(n exact.Number) exact.Number { return exact.FromDecimal(n.Round(places)) }

func rounded(f float64) exact.Number { return fraction(fromFloat(f)) }

// spreadError is how well n changes tell their standard deviation, as a share
// of it: 1 ÷ √(2(n − 1)), of a normal sample (from memory).
func spreadError(n int) exact.Number { return rounded(1 / math.Sqrt(2*float64(n-1))) }
