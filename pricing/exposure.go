package pricing

import (
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Exposure is how much a cake depends on the price of one resource.
type Exposure struct {
	Resource book.ID
	Kind     Kind
	Name     string
	Amount   exact.Number // money spent on it, with the overhead it draws by percentage
	// Share of the cost, which is the elasticity of the cost too: a price 1 %
	// higher makes the cake Share × 1 % dearer.
	Share exact.Number
	// Swing is by how much the margin moves when the price moves by the step
	// asked for: up by it, the margin falls; down by it, it rises as much.
	Swing    exact.Number
	HasSwing bool // whether the cake has a margin
}

// Exposures lists what carries the cost of a cake, the largest share first, of
// equal ones in the order of the bill. step is a fraction: 1/10 for ±10 %.
// Where overhead is a percentage it has no line of its own; its money stands
// with the costs that draw it.
func Exposures(c Costing, step exact.Number) ([]Exposure, error) {
	share, err := c.Rates.Share()
	if err != nil {
		return nil, err
	}
	loaded, total := exact.Int(1).Add(share), c.total
	_, priced := c.Margin()
	var list []Exposure
	for _, line := range c.Takeoff.Bill {
		rate, err := c.Rates.Of(line.Resource, line.Kind)
		if err != nil {
			return nil, err
		}
		e := Exposure{Resource: line.Resource, Kind: line.Kind, Name: c.Rates.Name(line.Resource), HasSwing: priced}
		e.Amount = line.Quantity.Mul(rate.PerUnit).Mul(loaded)
		if !total.IsZero() {
			e.Share = e.Amount.Quo(total)
		}
		if priced {
			e.Swing = e.Amount.Mul(step).Quo(c.Offer.Net)
		}
		list = append(list, e)
	}
	slices.SortStableFunc(list, func(a, b Exposure) int { return b.Amount.Cmp(a.Amount) })
	return list, nil
}

// ExposuresOfAll lists what carries the cost of several cakes, one of each,
// together. The margin that swings is that of the cakes that have a price.
func ExposuresOfAll(costings []Costing, step exact.Number) ([]Exposure, error) {
	var total, net exact.Number
	at := map[book.ID]int{}
	var sum []Exposure
	var priced []exact.Number // the part of each amount that stands in priced cakes
	for _, c := range costings {
		list, err := Exposures(c, step)
		if err != nil {
			return nil, err
		}
		total = total.Add(c.total)
		if c.Offer.HasPrice {
			net = net.Add(c.Offer.Net)
		}
		for _, e := range list {
			i, there := at[e.Resource]
			if !there {
				i = len(sum)
				at[e.Resource] = i
				sum = append(sum, Exposure{Resource: e.Resource, Kind: e.Kind, Name: e.Name})
				priced = append(priced, exact.Number{})
			}
			sum[i].Amount = sum[i].Amount.Add(e.Amount)
			if c.Offer.HasPrice {
				priced[i] = priced[i].Add(e.Amount)
			}
		}
	}
	for i := range sum {
		e := &sum[i]
		if !total.IsZero() {
			e.Share = e.Amount.Quo(total)
		}
		if e.HasSwing = !net.IsZero(); e.HasSwing {
			e.Swing = priced[i].Mul(step).Quo(net)
		}
	}
	slices.SortStableFunc(sum, func(a, b Exposure) int { return b.Amount.Cmp(a.Amount) })
	return sum, nil
}
