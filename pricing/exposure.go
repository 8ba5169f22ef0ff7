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
// together, all costed at the same rates; of equal amounts the one that a cake
// takes first. The margin that swings is that of the cakes that have a price.
func ExposuresOfAll(costings []Costing, step exact.Number) ([]Exposure, error) {
	if len(costings) == 0 {
		return nil, nil
	}
	bills, priced := make([]Bill, len(costings)), make([]bool, len(costings))
	var net exact.Running
	for i, c := range costings {
		bills[i], priced[i] = c.Takeoff.Bill, c.Offer.HasPrice
		if priced[i] {
			net.Add(c.Offer.Net)
		}
	}
	return BasketOf(bills, priced).Exposures(costings[0].Rates, net.Number(), step)
}

// Basket is what several cakes take together, one of each, whatever that costs.
type Basket []BasketLine

// BasketLine is one resource of a basket.
type BasketLine struct {
	Resource book.ID
	Kind     Kind
	All      exact.Number // the quantity
	Priced   exact.Number // that of the cakes that have a price
}

// BasketOf sums the bills of cakes, and says apart what those take that have a
// price.
func BasketOf(bills []Bill, priced []bool) Basket {
	// Cakes of one design have the same bill, which is looked at once.
	type design struct {
		bill        Bill
		all, priced int64
	}
	var designs []*design
	known := map[*BillLine]*design{}
	for i, bill := range bills {
		if len(bill) == 0 {
			continue
		}
		d := known[&bill[0]]
		if d == nil || len(d.bill) != len(bill) {
			d = &design{bill: bill}
			known[&bill[0]] = d
			designs = append(designs, d)
		}
		if d.all++; priced[i] {
			d.priced++
		}
	}
	var basket Basket
	var sums []struct{ all, priced exact.Running }
	at := map[book.ID]int{}
	for _, d := range designs {
		for _, l := range d.bill {
			i, there := at[l.Resource]
			if !there {
				i = len(basket)
				at[l.Resource] = i
				basket, sums = append(basket, BasketLine{Resource: l.Resource, Kind: l.Kind}), append(sums, struct{ all, priced exact.Running }{})
			}
			sums[i].all.Add(l.Quantity.Mul(exact.Int(d.all)))
			sums[i].priced.Add(l.Quantity.Mul(exact.Int(d.priced)))
		}
	}
	for i := range basket {
		basket[i].All, basket[i].Priced = sums[i].all.Number(), sums[i].priced.Number()
	}
	return basket
}

// Exposures is [ExposuresOfAll] of the cakes of a basket at some rates, where
// those that have a price sell for net without tax.
func (b Basket) Exposures(rates *Rates, net, step exact.Number) ([]Exposure, error) {
	share, err := rates.Share()
	if err != nil {
		return nil, err
	}
	loaded := exact.Int(1).Add(share)
	list := make([]Exposure, len(b))
	var total exact.Running
	for i, l := range b {
		rate, err := rates.Of(l.Resource, l.Kind)
		if err != nil {
			return nil, err
		}
		per := rate.PerUnit.Mul(loaded)
		e := Exposure{Resource: l.Resource, Kind: l.Kind, Name: rates.Name(l.Resource), Amount: l.All.Mul(per)}
		if e.HasSwing = !net.IsZero(); e.HasSwing {
			e.Swing = l.Priced.Mul(per).Mul(step).Quo(net)
		}
		total.Add(e.Amount)
		list[i] = e
	}
	if whole := total.Number(); !whole.IsZero() {
		for i := range list {
			list[i].Share = list[i].Amount.Quo(whole)
		}
	}
	slices.SortStableFunc(list, func(a, b Exposure) int { return b.Amount.Cmp(a.Amount) })
	return list, nil
}
