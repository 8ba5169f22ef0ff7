package schedule

import (
	"cmp"
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// Order is what has to be ready, and when. It holds no client: plans hang on
// walls.
type Order struct {
	Ref      string   // number of the quote or order; no two have the same
	Label    string   // what the wall may show, such as the cake's name
	Event    day.Date // the day of the event
	HandOver Moment   // zero: the event day, when the studio opens
	Km       exact.Number
	Cakes    []quote.CakeWanted
	Extras   []quote.ExtraWanted // all that are still to be done; none is added
}

// OrderOf returns the order that a request asks for, hand-over on the morning
// of the event. Of extras it holds those asked for; of those that come with
// every quote the caller knows which are still to be done.
func OrderOf(ref, label string, r quote.Request) Order {
	o := Order{Ref: ref, Label: label, Event: r.Event.Date, Cakes: r.Lines, Extras: r.Extras}
	if r.Event.Km.Given {
		o.Km = r.Event.Km.Value.Number()
	}
	return o
}

// handOver returns the minute at which everything is done.
func (o Order) handOver(c Capacity) int {
	if o.HandOver == (Moment{}) {
		return Moment{o.Event, c.Opens}.clock()
	}
	return o.HandOver.clock()
}

// check says what keeps an order from being planned.
func (o Order) check() error {
	switch {
	case o.Ref == "":
		return fmt.Errorf("an order for %s has no reference; give it the number of its quote", o.Event)
	case o.Event.IsZero():
		return fmt.Errorf("order %s has no day of the event; give it one", o.Ref)
	case o.Event.Year() < firstYear || o.Event.Year() > lastYear:
		return fmt.Errorf("order %s: the event on %s is not between %d and %d; mend the date", o.Ref, o.Event, firstYear, lastYear)
	case o.HandOver == (Moment{}):
		return nil
	case o.HandOver.Day.IsZero() || o.HandOver.Minute < 0 || o.HandOver.Minute >= DayMinutes:
		return fmt.Errorf("order %s: the hand-over is no minute of a day; write it as 2026-06-12 10:30", o.Ref)
	case o.HandOver.Day.After(o.Event) || o.HandOver.Day.Before(o.Event.AddDays(-31)):
		return fmt.Errorf("order %s: the hand-over on %s is not within the month before the event on %s; mend one of them", o.Ref, o.HandOver, o.Event)
	}
	return nil
}

// The years of events that a plan reaches.
const (
	firstYear = 1900
	lastYear  = 9900
)

// sorted returns the orders by hand-over, then by reference, so that the order
// in which they came decides nothing.
func sorted(c Capacity, orders []Order) ([]Order, error) {
	list := slices.Clone(orders)
	for _, o := range list {
		if err := o.check(); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(list, func(a, b Order) int {
		return cmp.Or(cmp.Compare(a.handOver(c), b.handOver(c)), cmp.Compare(a.Ref, b.Ref))
	})
	seen := map[string]bool{}
	for _, o := range list {
		if seen[o.Ref] {
			return nil, fmt.Errorf("two orders have the reference %s; give each its own", o.Ref)
		}
		seen[o.Ref] = true
	}
	return list, nil
}

// travels reports whether an extra goes to the venue with the cakes.
func travels(e *book.Extra) bool {
	return e.PricePerKm.Given && !e.PricePerKm.Value.IsZero() ||
		slices.ContainsFunc(e.Tasks, func(t book.Task) bool { return t.Per == book.PerKm }) ||
		slices.ContainsFunc(e.Equipment, func(u book.EquipmentUse) bool { return u.Per == book.PerKm })
}
