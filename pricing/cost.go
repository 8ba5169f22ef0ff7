package pricing

import (
	"errors"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Cost is what something costs, by class. Energy stands with equipment.
type Cost struct {
	Ingredients exact.Number
	Packaging   exact.Number
	Labour      exact.Number
	Equipment   exact.Number
	Overhead    exact.Number
}

// CostOf sums bill × rates. Where prices are missing the error names each.
func CostOf(bill Bill, rates *Rates) (Cost, error) {
	var c Cost
	var classes [Overhead + 1][]exact.Number // by kind
	var missing []error
	for _, l := range bill {
		rate, err := rates.Of(l.Resource, l.Kind)
		if err != nil {
			missing = append(missing, err)
			continue
		}
		classes[l.Kind] = append(classes[l.Kind], l.Quantity.Mul(rate.PerUnit))
	}
	for kind, amounts := range classes {
		class := c.class(Kind(kind))
		*class = class.Add(exact.Sum(amounts...))
	}
	share, err := rates.Share()
	if err != nil {
		missing = append(missing, err)
	}
	if len(missing) > 0 {
		return Cost{}, errors.Join(missing...)
	}
	if !share.IsZero() {
		c.Overhead = c.Total().Mul(share)
	}
	return c, nil
}

// Moved returns what a bill that cost c costs where a unit of some resources costs
// more by so much: [CostOf] at those rates, to the last digit, without a look at
// what stays. share is that of overhead by percentage, before and after.
func (c Cost) Moved(bill Bill, by map[book.ID]exact.Number, share exact.Number) Cost {
	var sum exact.Number
	for _, l := range bill {
		if more, moves := by[l.Resource]; moves {
			more = l.Quantity.Mul(more)
			class := c.class(l.Kind)
			*class, sum = class.Add(more), sum.Add(more)
		}
	}
	c.Overhead = c.Overhead.Add(sum.Mul(share))
	return c
}

// class returns where costs of a kind are summed.
func (c *Cost) class(k Kind) *exact.Number {
	switch k {
	case Ingredient:
		return &c.Ingredients
	case Packaging:
		return &c.Packaging
	case Role:
		return &c.Labour
	case Energy, Equipment:
		return &c.Equipment
	}
	return &c.Overhead
}

// Total returns the sum of the classes.
func (c Cost) Total() exact.Number {
	return exact.Sum(c.Ingredients, c.Packaging, c.Labour, c.Equipment, c.Overhead)
}

// Add returns c + d, class by class.
func (c Cost) Add(d Cost) Cost {
	return Cost{
		c.Ingredients.Add(d.Ingredients), c.Packaging.Add(d.Packaging), c.Labour.Add(d.Labour),
		c.Equipment.Add(d.Equipment), c.Overhead.Add(d.Overhead),
	}
}

// Less returns c − d, class by class.
func (c Cost) Less(d Cost) Cost {
	return Cost{
		c.Ingredients.Sub(d.Ingredients), c.Packaging.Sub(d.Packaging), c.Labour.Sub(d.Labour),
		c.Equipment.Sub(d.Equipment), c.Overhead.Sub(d.Overhead),
	}
}

// Times returns c × n, class by class.
func (c Cost) Times(n exact.Number) Cost {
	return Cost{c.Ingredients.Mul(n), c.Packaging.Mul(n), c.Labour.Mul(n), c.Equipment.Mul(n), c.Overhead.Mul(n)}
}

// PerPortion returns what a served portion costs, and false where none is
// served.
func PerPortion(total exact.Number, served int) (exact.Number, bool) {
	if served == 0 {
		return exact.Number{}, false
	}
	return total.Quo(exact.Int(int64(served))), true
}

// Margin returns (net − cost) ÷ net, and false where net is 0.
func Margin(net, cost exact.Number) (exact.Number, bool) {
	if net.IsZero() {
		return exact.Number{}, false
	}
	return net.Sub(cost).Quo(net), true
}
