package variance

import (
	"errors"
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Blend is the part of one ingredient in a mixture of ingredients that stand
// in for one another. Mix + Yield is the line's usage variance, with what was
// lost of it.
type Blend struct {
	Resource book.ID
	Mix      exact.Number // more or less of it in the same total quantity
	Yield    exact.Number // more or less of the whole mixture
}

// SplitUsage splits the usage variances of ingredients that substitute one
// another, such as two chocolates of one ganache. All lines are in one unit.
func SplitUsage(lines []Line) ([]Blend, error) {
	var standard, actual exact.Number
	for _, l := range lines {
		if faults := l.check(); len(faults) > 0 {
			return nil, fmt.Errorf("mixture: %w", errors.Join(faults...))
		}
		if l.Unit != lines[0].Unit {
			return nil, fmt.Errorf("%s is in %s and %s in %s; a mixture is split in one unit", lines[0].Resource, lines[0].Unit, l.Resource, l.Unit)
		}
		standard = standard.Add(l.StandardQuantity)
		actual = actual.Add(l.work().Quantity.Value)
	}
	if standard.IsZero() {
		return nil, errors.New("the mixture has no standard quantity; name the ingredients that the recipe asks for")
	}
	scale := actual.Quo(standard)
	blends := make([]Blend, len(lines))
	for i, l := range lines {
		// What the actual total would hold of it in standard proportions.
		revised := l.StandardQuantity.Mul(scale)
		blends[i] = Blend{
			Resource: l.Resource,
			Mix:      revised.Sub(l.work().Quantity.Value).Mul(l.StandardPrice),
			Yield:    l.StandardQuantity.Sub(revised).Mul(l.StandardPrice),
		}
	}
	return blends, nil
}
