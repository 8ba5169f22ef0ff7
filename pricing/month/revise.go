package month

import (
	"fmt"
	"maps"
	"slices"

	"marchpane/pricing/actual"
	"marchpane/pricing/exact"
)

// Revision is an order as a tally has it and as it is now; nil where the tally
// has it not yet, or is to have it no more.
type Revision struct{ Was, Is *Worked }

// Revised returns a tally of the orders of t of which some are revised, with what
// is recorded now: what it would be had it taken each order as it is now. It has
// quotes and accounts still to take. t stays as it is and takes no more orders. A
// tally of several months is not revised but joined anew, see [Join].
func (t *Tally) Revised(ledger *actual.Ledger, revisions ...Revision) (*Tally, error) {
	if len(t.months) > 0 {
		return nil, fmt.Errorf("%s is of several months; join it anew of those that changed", t.span)
	}
	t.mu.Lock()
	t.close()
	t.mu.Unlock()
	n := t.copied()
	n.src.Ledger = ledger
	place := make(map[*made]int, len(n.orders))
	for i, m := range n.orders {
		place[m] = i
	}
	for _, r := range revisions {
		if r.Was != nil {
			if _, there := place[r.Was.made]; !there {
				return nil, fmt.Errorf("order %s is not in %s as it is said to be", r.Was.made.shown.Number, t.span)
			}
		}
		if r.Is != nil {
			if err := n.takes(r.Is.made.shown.Number, r.Is.on); err != nil {
				return nil, err
			}
		}
		switch {
		case r.Was == nil && r.Is == nil:
		case r.Was == nil:
			n.add(r.Is)
		case r.Is == nil:
			n.sum.Remove(r.Was.result)
			n.put(r.Was, -1)
			n.orders[place[r.Was.made]] = nil
		default:
			n.sum.Replace(r.Was.result, r.Is.result)
			n.put(r.Is, 1) // first, so that what stays is not forgotten
			n.put(r.Was, -1)
			n.orders[place[r.Was.made]] = r.Is.made
		}
	}
	n.orders = slices.DeleteFunc(n.orders, func(m *made) bool { return m == nil })
	return n, nil
}

// copied returns a tally of its own with the orders of t, for more of them.
func (t *Tally) copied() *Tally {
	n := &Tally{
		span: t.span, src: t.src, cur: t.cur, sum: *t.sum.Copy(), orders: slices.Clone(t.orders),
		lost: make(map[resource]*exact.Running, len(t.lost)), priced: maps.Clone(t.priced), tasks: make(map[task]*taskTimes, len(t.tasks)), taxes: maps.Clone(t.taxes),
	}
	for key, sum := range t.lost {
		own := sum.Copy()
		n.lost[key] = &own
	}
	for key, times := range t.tasks {
		n.tasks[key] = &taskTimes{times.planned.Copy(), times.spent.Copy(), times.recorded.Copy(), times.orders}
	}
	return n
}
