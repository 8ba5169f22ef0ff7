package month

import (
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// prices tells what resources cost and how much of them was used in the span
// before.
type prices struct {
	known  map[resource]compare              // what was asked for
	before map[resource]variance.ResourceSum // of the span before
	book   *pricing.Rates                    // on its last day
	priced map[resource]int                  // of how many orders a price was recorded
}

func (t *Tally) pricesBefore(before *variance.Month) prices {
	p := prices{map[resource]compare{}, map[resource]variance.ResourceSum{}, pricing.NewRates(t.src.Book, t.span.From.AddDays(-1)), t.priced}
	if before != nil {
		for _, s := range before.Resources {
			p.before[keyOf(s)] = s
		}
	}
	return p
}

func keyOf(s variance.ResourceSum) resource { return resource{s.Resource, s.Kind, s.Unit} }

// average returns what a unit cost on average, absent where none was used.
func average(s variance.ResourceSum) record.Maybe[exact.Number] {
	if s.Quantity.IsZero() {
		return record.Maybe[exact.Number]{}
	}
	return record.Some(s.Actual().Quo(s.Quantity))
}

// compare is the price of a resource beside that of the span before, per unit of
// the bill, and what the change made of the quantity used.
type compare struct {
	shown Prices
	cost  exact.Number
}

// of compares the price of a resource with that of the span before.
func (p prices) of(s variance.ResourceSum) (shown Prices, cost exact.Number) {
	known, there := p.known[keyOf(s)]
	if !there {
		known.shown, known.cost = p.compared(s)
		p.known[keyOf(s)] = known
	}
	return known.shown, known.cost
}

func (p prices) compared(s variance.ResourceSum) (shownPrices Prices, cost exact.Number) {
	_, holds := shown(s.Unit)
	figure := func(m record.Maybe[exact.Number]) record.Maybe[Figure] {
		if !m.Given {
			return record.Maybe[Figure]{}
		}
		return record.Some(Figure{m.Value.Mul(holds), pricePlaces})
	}
	now, before := average(s), average(p.before[keyOf(s)])
	// What was paid compares with the book. A standard does not: it may be of a
	// quote that is older than that price.
	if !before.Given && p.priced[keyOf(s)] > 0 {
		if rate, err := p.book.Of(s.Resource, s.Kind); err == nil && rate.Unit == s.Unit {
			before, shownPrices.FromBook = record.Some(rate.PerUnit), true
		}
	}
	shownPrices.Price, shownPrices.Before = figure(now), figure(before)
	if now.Given && before.Given {
		shownPrices.Change = changeOf(now.Value, before.Value)
		cost = now.Value.Sub(before.Value).Mul(s.Quantity)
	}
	return shownPrices, cost
}

// usageOf returns what was used of the goods of a kind. Values add up to those
// of their class.
func (t *Tally) usageOf(kind pricing.Kind, m variance.Month, p prices, standard, value money.Amount) Usage {
	type used struct {
		variance.ResourceSum
		actual exact.Number
	}
	var sums []used
	for _, s := range m.Resources {
		if s.Kind == kind {
			sums = append(sums, used{s, s.Actual()})
		}
	}
	slices.SortStableFunc(sums, func(a, b used) int { return b.actual.Cmp(a.actual) })
	standards, gaps := make([]exact.Number, len(sums)), make([]exact.Number, len(sums))
	for i, s := range sums {
		standards[i], gaps[i] = s.Standard, s.Split.Total()
	}
	of, off := money.Apportion(standard, standards), money.Apportion(standard.Sub(value), gaps)
	u := Usage{Rows: make([]Use, len(sums)), Standard: standard, Value: value}
	total := m.Kinds[kind].Actual()
	for i, s := range sums {
		unit, holds := shown(s.Unit)
		quantity := func(n exact.Number) Figure { return Figure{n.Quo(holds), quantityPlaces} }
		row := Use{
			Resource: s.Resource, Name: p.book.Name(s.Resource), Unit: unit,
			Planned: quantity(s.StandardQuantity), Used: quantity(s.Quantity),
			Standard: of[i], Value: of[i].Sub(off[i]), OfValue: share(s.actual, total), Recorded: share(s.Costs.Recorded, s.Standard),
		}
		row.Prices, _ = p.of(s.ResourceSum)
		if then, there := p.before[keyOf(s.ResourceSum)]; there {
			row.UsedBefore = record.Some(quantity(then.Quantity))
		}
		u.Rows[i] = row
	}
	return u
}

// mostMovers is how many resources a list of movers holds.
const mostMovers = 10

// moversOf returns the resources that moved the cost most, by price and by
// usage.
func (t *Tally) moversOf(m variance.Month, p prices) Movers {
	type moved struct {
		sum        variance.ResourceSum
		cost, size exact.Number
	}
	top := func(cost func(variance.ResourceSum) exact.Number) []Mover {
		var list []moved
		for _, s := range m.Resources {
			if s.Kind == pricing.Overhead {
				continue
			}
			if c := cost(s); !t.cur.Round(c).IsZero() {
				list = append(list, moved{s, c, magnitude(c)})
			}
		}
		slices.SortStableFunc(list, func(a, b moved) int { return b.size.Cmp(a.size) })
		movers := []Mover{}
		for _, l := range list[:min(mostMovers, len(list))] {
			unit, holds := shown(l.sum.Unit)
			row := Mover{
				Resource: l.sum.Resource, Kind: l.sum.Kind.String(), Name: p.book.Name(l.sum.Resource), Unit: unit, Cost: t.cur.Round(l.cost),
				Planned: Figure{l.sum.StandardQuantity.Quo(holds), quantityPlaces}, Used: Figure{l.sum.Quantity.Quo(holds), quantityPlaces},
			}
			row.Prices, _ = p.of(l.sum)
			movers = append(movers, row)
		}
		return movers
	}
	return Movers{
		Price: top(func(s variance.ResourceSum) exact.Number { _, cost := p.of(s); return cost }),
		Usage: top(func(s variance.ResourceSum) exact.Number { return s.Split.Usage.Add(s.Split.Lost).Neg() }),
	}
}

func magnitude(n exact.Number) exact.Number {
	if n.Sign() < 0 {
		return n.Neg()
	}
	return n
}

// wasteOf returns what was recorded as thrown away.
func (t *Tally) wasteOf(m variance.Month, p prices) Waste {
	var sums []variance.ResourceSum
	for _, s := range m.Resources {
		if (s.Kind == pricing.Ingredient || s.Kind == pricing.Packaging) && !t.lostOf(keyOf(s)).IsZero() {
			sums = append(sums, s)
		}
	}
	slices.SortStableFunc(sums, func(a, b variance.ResourceSum) int { return a.Split.Lost.Cmp(b.Split.Lost) })
	values := make([]exact.Number, len(sums))
	for i, s := range sums {
		values[i] = s.Split.Lost.Neg()
	}
	amounts, total := addUp(t.cur, values...)
	w := Waste{Rows: make([]Wasted, len(sums)), Total: total}
	goods := m.Kinds[pricing.Ingredient].Actual().Add(m.Kinds[pricing.Packaging].Actual())
	w.OfGoods = share(exact.Sum(values...), goods)
	for i, s := range sums {
		unit, holds := shown(s.Unit)
		lost := t.lostOf(keyOf(s))
		w.Rows[i] = Wasted{
			Resource: s.Resource, Kind: s.Kind.String(), Name: p.book.Name(s.Resource), Unit: unit,
			Quantity: Figure{lost.Quo(holds), quantityPlaces}, OfUsed: share(lost, s.Quantity), Value: amounts[i],
		}
	}
	return w
}
