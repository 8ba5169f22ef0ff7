package catalogue

import (
	"slices"

	"github.com/shopspring/decimal"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Places that an [Impact] is exact to.
const (
	costPlaces      = 6
	breakEvenPlaces = 12
)

// Impacts returns what new prices do to the cakes that use them, in the order
// they were given, as [pricing.ImpactOf] has it: costs and margins rounded to
// 6 decimals and a break-even price to 12, each digit that of exact arithmetic.
// What a target asks for is not worked out. floor is the studio's least margin.
func (c *Catalogue) Impacts(perUnit map[book.ID]exact.Number, floor exact.Number) ([]pricing.Impact, error) {
	moved := make(map[book.ID]price, len(perUnit))
	quantities := map[int32][]int{} // of each cake that is touched: resources
	for id, n := range perUnit {
		if r, ok := c.resources[id]; ok {
			moved[id] = c.priceOf(id, n)
			for _, u := range c.uses[r] {
				if c.cakes[u.cake].absent {
					continue
				}
				quantities[u.cake] = append(quantities[u.cake], r)
			}
		}
	}
	shifts := map[int]shift{}
	steps := map[int]map[int32]uint64{} // by resource, by cake
	for id, p := range moved {
		r := c.resources[id]
		shifts[r] = newShift(c.uses[r], c.prices[r], p)
		steps[r] = make(map[int32]uint64, len(c.uses[r]))
		for _, u := range c.uses[r] {
			steps[r][u.cake] = u.steps
		}
	}
	touched := make([]int32, 0, len(quantities))
	for cake := range quantities {
		touched = append(touched, cake)
	}
	slices.Sort(touched)
	list := make([]pricing.Impact, 0, len(touched))
	for _, cake := range touched {
		q := question{c: c, cake: int(cake), before: c.cakes[cake], after: c.cakes[cake], slack: c.slacks[cake], slackAfter: c.slacks[cake], moved: moved, floor: floor}
		for _, r := range quantities[cake] {
			s := shifts[r]
			s.apply(&q.after, steps[r][cake])
			q.slackAfter = sumOrMost(q.slackAfter, s.slack)
			q.resource, q.steps = r, steps[r][cake]
		}
		im, err := q.answer(len(perUnit) == 1)
		if err != nil {
			return nil, err
		}
		list = append(list, im)
	}
	return list, nil
}

// question is one cake under a change. Its answers come from fixed point, or
// where that leaves a digit open from exact rationals, worked out once.
type question struct {
	c                 *Catalogue
	cake              int
	before, after     entry
	slack, slackAfter uint64 // of the costs
	moved             map[book.ID]price
	floor             exact.Number
	resource          int // the one that moves, where a single one does
	steps             uint64
	exactBefore       *exact.Number
	exactAfter        *exact.Number
	err               error
}

func (q *question) answer(single bool) (pricing.Impact, error) {
	im := pricing.Impact{Cake: q.c.ids[q.cake]}
	im.Before = q.cost(&q.before, q.slack, nil, &q.exactBefore)
	im.After = q.cost(&q.after, q.slackAfter, q.moved, &q.exactAfter)
	if im.HasMargin = q.before.priced; im.HasMargin && q.err == nil {
		var is int64
		is, q.err = q.c.margin(q.cake, &q.after, q.moved)
		im.MarginWas, im.MarginIs = q.margin(q.before.margin, nil, &q.exactBefore), q.margin(is, q.moved, &q.exactAfter)
		im.BelowFloor = q.belowFloor(is)
		if single {
			im.BreakEven, im.Reachable = q.breakEven()
			im = im.WithBreakEven()
		}
	}
	return im, q.err
}

// cost returns a cost at 6 decimals.
func (q *question) cost(e *entry, slack uint64, moved map[book.ID]price, known **exact.Number) exact.Number {
	if !e.rough {
		if micro, sure := e.cost.rounded(quantityScale+q.c.priceScale, costPlaces, slack); sure {
			return exact.FromDecimal(decimal.NewFromUint64(micro).Shift(-costPlaces))
		}
	}
	return exact.FromDecimal(q.exactly(moved, known).Round(costPlaces))
}

// margin returns a margin given in millionths, at 6 decimals.
func (q *question) margin(millionths int64, moved map[book.ID]price, known **exact.Number) exact.Number {
	if millionths > worst {
		return exact.Frac(millionths, million)
	}
	m, _ := pricing.Margin(q.c.net(q.cake), q.exactly(moved, known))
	return exact.FromDecimal(m.Round(marginScale))
}

// exactly costs the cake in exact rationals, once.
func (q *question) exactly(moved map[book.ID]price, known **exact.Number) exact.Number {
	if *known == nil && q.err == nil {
		var n exact.Number
		n, q.err = q.c.exactCost(q.cake, moved)
		*known = &n
	}
	if *known == nil {
		return exact.Number{}
	}
	return **known
}

// belowFloor compares a margin with the floor: by its millionths, and where
// those are the floor's own exactly.
func (q *question) belowFloor(margin int64) bool {
	floor := q.floor.Mul(exact.Int(million))
	switch m := exact.Int(margin); {
	case m.Sub(floor).Cmp(exact.Int(1)) > 0:
		return false
	case floor.Sub(m).Cmp(exact.Int(1)) > 0:
		return true
	}
	exactly, _ := pricing.Margin(q.c.net(q.cake), q.exactly(q.moved, &q.exactAfter))
	return exactly.Cmp(q.floor) < 0
}

// breakEven returns the price of the resource at which the margin meets the
// floor, at 12 decimals, and whether it is not below 0.
func (q *question) breakEven() (exact.Number, bool) {
	c := q.c
	line := c.prices[q.resource]
	net := c.net(q.cake).Mul(exact.Int(1).Sub(q.floor)) // may be spent
	if !q.before.rough && line.fits && q.steps > 0 {
		// (net·(1 − f) − cost) ÷ (a·(1 + share)) + p, in exact steps of the stored
		// figures; the bounds of cost and quantity say how far that may be off.
		cost := exact.FromBig(q.before.cost.big()).Quo(c.costStep)
		quantity := exact.Int(int64(q.steps)).Quo(c.quantityStep)
		if q.steps > 1<<62 {
			quantity = exact.Number{}
		}
		if !quantity.IsZero() {
			slack := exact.FromBig(u128{0, q.slack}.big()).Quo(c.costStep)
			half := exact.Frac(1, 2).Quo(c.quantityStep)
			least, most := q.solve(net.Sub(cost.Add(slack)), quantity, half), q.solve(net.Sub(cost.Sub(slack)), quantity, half.Neg())
			if a, b := least.Round(breakEvenPlaces), most.Round(breakEvenPlaces); a.Equal(b) && least.Sign() == most.Sign() {
				return exact.FromDecimal(a), least.Sign() >= 0
			}
		}
	}
	bill, err := c.exactly(q.cake)
	if err != nil {
		q.err = err
		return exact.Number{}, false
	}
	l, _ := bill.Line(line.id)
	cost := q.exactly(nil, &q.exactBefore)
	even := net.Sub(cost).Quo(l.Quantity).Quo(c.share).Add(line.exact.Quo(c.share))
	return exact.FromDecimal(even.Round(breakEvenPlaces)), even.Sign() >= 0
}

// solve returns the break-even price where left may be spent on a quantity:
// the least one for an error of the quantity of half a step, the greatest for
// one of minus half.
func (q *question) solve(left, quantity, half exact.Number) exact.Number {
	if left.Sign() < 0 {
		half = half.Neg() // a loss weighs more on a smaller quantity
	}
	return left.Quo(q.c.share.Mul(quantity.Add(half))).Add(q.c.prices[q.resource].exact.Quo(q.c.share))
}
