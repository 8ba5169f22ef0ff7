package schedule

import (
	"cmp"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// Plan says what to do when.
type Plan struct {
	Items    []Item     // by start
	Makings  []Making   // by start; their numbers count from 1
	Loads    []Load     // by day, roles first
	Clashes  []Clash    // what does not fit
	Orders   []Deadline // by hand-over
	Unstated []Named    // components made that state no keeping time
	Capacity Capacity
}

// Named is an object of the book by id and name.
type Named struct {
	ID   book.ID `json:"id"`
	Name string  `json:"name"`
}

// Part is what an item works on.
type Part string

// The parts of an order.
const (
	Component Part = "component"
	Tier      Part = "tier"
	Cake      Part = "cake"
	Extra     Part = "extra"
)

// Item is one stretch of work, or of waiting.
type Item struct {
	Start, End Moment
	Part       Part
	Of         Named  // the component, cake or extra
	Tier       string // for a tier, its name
	TierNumber int    // from 1, the bottom one; two tiers may share a name
	Copies     int    // cakes or extras worked on at once
	Making     int    // number of the making, 0 for none
	Task       string // "" where the book names no task
	Wait       bool
	Runs       bool  // a wait until the appliance that Task names has run
	Role       Named // of a wait: none
	Minutes    int   // hands-on
	Piece      int   // 1, 2, … where a task is spread over Pieces stretches
	Pieces     int
	Appliances []Running // those that run on this day for the whole of it
	Orders     []string  // references, sorted
	Fixed      bool      // an appointment: the way to the hand-over
}

// Running is an appliance and its minutes.
type Running struct {
	Named
	Minutes int `json:"minutes"`
}

// Making is a component made in one go.
type Making struct {
	Number    int
	Component Named
	Batches   int
	Quantity  exact.Number // of all batches
	Unit      string       // g or each
	Start     Moment
	Ready     Moment // its last task or wait is over
	KeptFrom  Moment // its keeping clock starts
	GoodUntil Moment // zero where the book states no keeping time
	Uses      []Use  // by when they begin
	Orders    []string
}

// PerBatch returns the quantity of one batch.
func (m Making) PerBatch() exact.Number {
	return m.Quantity.Mul(exact.Frac(1, int64(m.Batches)))
}

// Use is what takes a making.
type Use struct {
	By         Moment // the work that takes it begins
	Until      Moment // it has to keep
	Quantity   exact.Number
	Into       Named  // a component, cake or extra
	Tier       string // of the cake, where it is one
	TierNumber int
	Orders     []string
}

// Deadline is how an order stands.
type Deadline struct {
	Ref, Label string
	Event      day.Date
	HandOver   Moment
	Begins     Moment // its first work in this plan, shared makings too
	Done       Moment // its last work
	StartBy    Moment // the latest safe start: with the studio for this order alone
}

// Make plans orders with what a studio can do. from is the first day on which
// work can still begin; a zero day asks nothing. The order in which orders are
// given does not matter.
func Make(x *book.Index, c Capacity, orders []Order, from day.Date) (Plan, error) {
	return NewKnown(x).Make(c, orders, from)
}

// draft plans orders without their latest starts, and returns them sorted.
func (k *Known) draft(c Capacity, orders []Order, from day.Date) (Plan, []Order, error) {
	if err := c.Check(k.x); err != nil {
		return Plan{}, nil, err
	}
	list, err := sorted(c, orders)
	if err != nil {
		return Plan{}, nil, err
	}
	p, err := k.makePlan(c, list)
	if err != nil {
		return Plan{}, nil, err
	}
	p.Clashes = append(p.Clashes, p.late(from)...)
	return p, list, nil
}

func (k *Known) makePlan(c Capacity, orders []Order) (Plan, error) {
	p := newPlanner(k, c)
	for i := len(orders) - 1; i >= 0; i-- {
		if err := p.order(orders[i]); err != nil {
			return Plan{}, err
		}
	}
	if err := p.components(); err != nil {
		return Plan{}, err
	}
	return p.finish(orders), nil
}

// finish sorts what was planned and draws up loads, clashes and deadlines.
func (p *planner) finish(orders []Order) Plan {
	plan := Plan{Items: p.items, Makings: p.makings, Capacity: p.c}
	slices.SortStableFunc(plan.Items, func(a, b Item) int {
		return cmp.Or(cmp.Compare(a.Start.clock(), b.Start.clock()), cmp.Compare(a.End.clock(), b.End.clock()))
	})
	slices.SortStableFunc(plan.Makings, func(a, b Making) int { return cmp.Compare(a.Start.clock(), b.Start.clock()) })
	now := make([]int, len(plan.Makings)+1) // number by the number it was planned under
	for i := range plan.Makings {
		now[plan.Makings[i].Number] = i + 1
		plan.Makings[i].Number = i + 1
	}
	for i := range plan.Items {
		plan.Items[i].Making = now[plan.Items[i].Making]
	}
	plan.Unstated = p.unstated
	slices.SortFunc(plan.Unstated, func(a, b Named) int { return cmp.Compare(a.ID, b.ID) })
	plan.Loads = p.loads(plan.Items)
	plan.Clashes = slices.Concat(p.overCapacity(plan.Loads), p.outOfHours(plan.Items), p.overlaps(plan.Items, plan.Loads), p.kept)
	for _, o := range orders {
		plan.Orders = append(plan.Orders, deadline(o, p.c, plan.Items))
	}
	return plan
}

// deadline finds when an order's work begins and ends.
func deadline(o Order, c Capacity, items []Item) Deadline {
	over := moment(o.handOver(c))
	d := Deadline{Ref: o.Ref, Label: o.Label, Event: o.Event, HandOver: over, Begins: over, Done: over}
	first := true
	for _, it := range items {
		if !slices.Contains(it.Orders, o.Ref) {
			continue
		}
		if first || it.Start.Before(d.Begins) {
			d.Begins = it.Start
		}
		if first || d.Done.Before(it.End) {
			d.Done = it.End
		}
		first = false
	}
	return d
}
