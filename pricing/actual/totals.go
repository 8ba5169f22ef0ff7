package actual

import (
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
)

// goodsKey keeps units apart: an ingredient may be bought by another measure
// than when an order was quoted.
type goodsKey struct {
	resource book.ID
	unit     string
}

// goodsTotal is all that is recorded of an ingredient in one order.
type goodsTotal struct {
	packaging   bool
	used        record.Maybe[exact.Number]
	more, lost  exact.Number
	cost, taken exact.Number // at the prices of the entries' days
}

func goodsOf(entries []Goods) map[goodsKey]*goodsTotal {
	totals := map[goodsKey]*goodsTotal{}
	for _, e := range entries {
		for _, g := range e.Goods {
			key := goodsKey{g.Resource, g.Unit}
			t := totals[key]
			if t == nil {
				t = &goodsTotal{packaging: g.Packaging}
				totals[key] = t
			}
			switch e.Way {
			case Used:
				t.used = record.Some(t.used.Value.Add(g.Quantity))
			case More:
				t.more = t.more.Add(g.Quantity)
			case Wasted:
				t.lost = t.lost.Add(g.Quantity)
			}
			t.cost, t.taken = t.cost.Add(g.Quantity.Mul(g.PerUnit)), t.taken.Add(g.Quantity)
		}
	}
	return totals
}

// quantity returns all that was used of a standard, as a variance line has it,
// and what was lost of it.
func (t *goodsTotal) quantity(standard exact.Number) (all record.Maybe[exact.Number], lost exact.Number) {
	switch {
	case t.used.Given:
		return record.Some(t.used.Value.Add(t.more)), t.lost
	case !t.more.IsZero():
		return record.Some(exact.Sum(standard, t.more, t.lost)), t.lost
	}
	return record.Maybe[exact.Number]{}, t.lost
}

// price returns the average price of the entries.
func (t *goodsTotal) price() exact.Number {
	if t.taken.IsZero() {
		return exact.Number{}
	}
	return t.cost.Quo(t.taken)
}

// workTotal is all that is recorded of a role in one order.
type workTotal struct {
	entries      []Work
	worked       record.Maybe[exact.Number]
	longer, idle exact.Number
	cost         exact.Number
}

func workOf(entries []Work) map[book.ID]*workTotal {
	totals := map[book.ID]*workTotal{}
	for _, e := range entries {
		t := totals[e.Role]
		if t == nil {
			t = &workTotal{}
			totals[e.Role] = t
		}
		switch e.Way {
		case Worked:
			t.worked = record.Some(t.worked.Value.Add(e.Minutes))
		case Longer:
			t.longer = t.longer.Add(e.Minutes)
		case Idle:
			t.idle = t.idle.Add(e.Minutes)
		}
		t.entries = append(t.entries, e)
		t.cost = t.cost.Add(e.Minutes.Mul(e.PerMinute))
	}
	return totals
}

// minutes likewise; idle minutes come on top of those worked.
func (t *workTotal) minutes(standard exact.Number) (all record.Maybe[exact.Number], idle exact.Number) {
	if !t.worked.Given && t.longer.IsZero() {
		return record.Maybe[exact.Number]{}, t.idle
	}
	return record.Some(exact.Sum(t.worked.Or(standard), t.longer, t.idle)), t.idle
}

// price returns the average standard price of the entries' days.
func (t *workTotal) price() exact.Number {
	var minutes exact.Number
	for _, e := range t.entries {
		minutes = minutes.Add(e.Minutes)
	}
	if minutes.IsZero() {
		return exact.Number{}
	}
	return t.cost.Quo(minutes)
}
