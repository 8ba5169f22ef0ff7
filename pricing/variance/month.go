package variance

import (
	"cmp"
	"errors"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
)

// Plan is what a month was to sell.
type Plan struct {
	Cakes  int
	Margin exact.Number // of all of them, in money, after the overhead they absorb
}

// ResourceSum is one resource over many orders.
type ResourceSum struct {
	Resource         book.ID
	Kind             pricing.Kind
	Unit             string
	StandardQuantity exact.Number
	Quantity         exact.Number // used
	Costs
}

// Month is the sum of a month's orders, or of any other span of time, with its
// overhead.
type Month struct {
	Orders     int
	Cakes      int
	PlannedNet exact.Number // of the orders, whatever the plan was
	Net        exact.Number
	Kinds      Kinds
	Resources  []ResourceSum // by kind, then by resource
	Overhead   OverheadVariance
	Bridge     Bridge
}

// Tally sums orders one at a time, so that a month of any size fits in memory.
// The zero Tally is empty and ready.
type Tally struct {
	orders, cakes   int
	plannedNet, net exact.Running
	kinds           [len(Kinds{})]runningCosts
	resources       map[resourceKey]*running
	span            span
}

// running is the sum of a resource so far.
type running struct {
	standardQuantity exact.Running
	beyond           exact.Running // used beyond the standard; only what is recorded adds to it
	costs            runningCosts
}

// runningCosts are [Costs] under way.
type runningCosts struct{ standard, price, usage, lost, recorded exact.Running }

func (r *runningCosts) add(c Costs) {
	r.standard.Add(c.Standard)
	r.price.Add(c.Split.Price)
	r.usage.Add(c.Split.Usage)
	r.lost.Add(c.Split.Lost)
	r.recorded.Add(c.Recorded)
}

func (r *runningCosts) costs() Costs {
	return Costs{r.standard.Number(), Split{r.price.Number(), r.usage.Number(), r.lost.Number()}, r.recorded.Number()}
}

func (r *runningCosts) fold() {
	for _, s := range []*exact.Running{&r.standard, &r.price, &r.usage, &r.lost, &r.recorded} {
		s.Fold()
	}
}

// resourceKey keeps units apart: overhead is in hours or cakes by the method
// that was in force when an order was quoted.
type resourceKey struct {
	id   book.ID
	kind pricing.Kind
	unit string
}

// Add adds an order.
func (t *Tally) Add(r Result) {
	t.orders++
	t.cakes += r.Cakes
	t.plannedNet.Add(r.PlannedNet)
	t.net.Add(r.Net)
	for kind, c := range r.Kinds {
		t.kinds[kind].add(c)
	}
	t.span.add(r.Bridge)
	if t.resources == nil {
		t.resources = map[resourceKey]*running{}
	}
	for _, v := range r.Lines {
		key := resourceKey{v.Line.Resource, v.Line.Kind, v.Line.Unit}
		sum := t.resources[key]
		if sum == nil {
			sum = &running{}
			t.resources[key] = sum
		}
		sum.standardQuantity.Add(v.Line.StandardQuantity)
		if v.Quantity.Recorded {
			sum.beyond.Add(v.Quantity.Value.Sub(v.Line.StandardQuantity))
		}
		sum.costs.add(v.Costs)
	}
}

// Join adds the orders of another tally, which stays as it is.
func (t *Tally) Join(o *Tally) {
	t.orders += o.orders
	t.cakes += o.cakes
	t.plannedNet.Add(o.plannedNet.Number())
	t.net.Add(o.net.Number())
	for kind := range o.kinds {
		t.kinds[kind].add(o.kinds[kind].costs())
	}
	t.span.add(o.span.bridge())
	if t.resources == nil {
		t.resources = map[resourceKey]*running{}
	}
	for key, v := range o.resources {
		sum := t.resources[key]
		if sum == nil {
			sum = &running{}
			t.resources[key] = sum
		}
		sum.standardQuantity.Add(v.standardQuantity.Number())
		sum.beyond.Add(v.beyond.Number())
		sum.costs.add(v.costs.costs())
	}
}

// Fold adds up what there is so far, so that no more of the orders is kept in
// memory than their sums.
func (t *Tally) Fold() {
	t.plannedNet.Fold()
	t.net.Fold()
	for kind := range t.kinds {
		t.kinds[kind].fold()
	}
	for _, sum := range t.resources {
		sum.standardQuantity.Fold()
		sum.beyond.Fold()
		sum.costs.fold()
	}
}

// Month returns the orders so far with the overhead of their time and, where
// there was one, against a plan. The tally can go on.
func (t *Tally) Month(o Overhead, plan record.Maybe[Plan]) (Month, error) {
	overhead, err := o.Against(t.kinds[pricing.Overhead].standard.Number())
	if err != nil {
		return Month{}, err
	}
	m := Month{Orders: t.orders, Cakes: t.cakes, PlannedNet: t.plannedNet.Number(), Net: t.net.Number(), Overhead: overhead}
	for kind := range t.kinds {
		m.Kinds[kind] = t.kinds[kind].costs()
	}
	// The orders bear what they absorbed; the month bears what was paid. Without
	// a budget all of the difference stands as volume.
	m.Kinds[pricing.Overhead].Split = Split{Price: overhead.Spending, Usage: overhead.Total.Sub(overhead.Spending)}
	for key, sum := range t.resources {
		shown := ResourceSum{Resource: key.id, Kind: key.kind, Unit: key.unit, StandardQuantity: sum.standardQuantity.Number(), Costs: sum.costs.costs()}
		shown.Quantity = shown.StandardQuantity.Add(sum.beyond.Number())
		m.Resources = append(m.Resources, shown)
	}
	slices.SortFunc(m.Resources, func(a, b ResourceSum) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Resource, b.Resource), cmp.Compare(a.Unit, b.Unit))
	})
	s := t.span
	if plan.Given {
		if err := s.plan(plan.Value, t.cakes); err != nil {
			return Month{}, err
		}
	}
	if o.Budget.Given {
		s.step(OverheadSpending, overhead.Spending, o.Actual.Given)
		s.step(OverheadVolume, overhead.Volume, true)
	} else {
		s.step(OverheadAbsorption, overhead.Total, o.Actual.Given)
	}
	s.actual = s.actual.Add(overhead.Total)
	m.Bridge = s.bridge()
	return m, nil
}

// plan puts the plan of a month before the plans of its orders.
func (s *span) plan(p Plan, cakes int) error {
	if p.Cakes < 0 || p.Cakes == 0 && !p.Margin.IsZero() {
		return errors.New("the plan has a margin and no cakes to earn it; enter how many it counts on")
	}
	quantity := s.planned // of a plan without cakes: every one is beyond it
	if p.Cakes > 0 {
		quantity = p.Margin.Mul(exact.Frac(int64(cakes-p.Cakes), int64(p.Cakes)))
	}
	s.step(SalesQuantity, quantity, true)
	s.step(SalesMix, s.planned.Sub(p.Margin).Sub(quantity), true)
	s.planned = p.Margin
	return nil
}
