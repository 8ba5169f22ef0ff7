package schedule

import (
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
)

// Room is what a role or appliance has on a day, without and with an order
// that is not yet accepted.
type Room struct {
	Day      day.Date
	Of       Named
	Taken    int // minutes
	Capacity int
	After    int
	Limited  bool // Capacity is stated
}

// Fits reports whether the day holds everything.
func (r Room) Fits() bool { return !r.Limited || r.After <= r.Capacity }

// Free returns the room of a role or appliance for every day from first to
// last: what the plan now takes, and what the plan with one more order would.
// For the plan alone, pass it twice.
func Free(now, with Plan, of Named, first, last day.Date) []Room {
	var rooms []Room
	for d := first; !d.After(last); d = d.AddDays(1) {
		capacity, limited := now.Capacity.Minutes(of.ID, d)
		rooms = append(rooms, Room{d, of, now.Taken(of.ID, d), capacity, with.Taken(of.ID, d), limited})
		if d == d.AddDays(1) {
			break // the last day that can be written
		}
	}
	return rooms
}

// Taken returns the minutes that a role or appliance works on a day.
func (p Plan) Taken(id book.ID, d day.Date) int {
	for _, l := range p.Loads {
		if l.Day == d && l.Of.ID == id {
			return l.Minutes
		}
	}
	return 0
}

// Fitting says whether one more order fits between those accepted.
type Fitting struct {
	Order   Deadline
	Rooms   []Room  // limited roles and appliances, on each day that the order changes
	Clashes []Clash // those that are new, or greater, with the order
}

// Fit plans accepted orders without and with one that is asked for. What it
// would take on each day stands in the answer's rooms; a clash that was there
// before is not held against it.
func Fit(x *book.Index, c Capacity, accepted []Order, asked Order, from day.Date) (Fitting, error) {
	return NewKnown(x).Fit(c, accepted, asked, from)
}

// Fit is the function of that name, by a book of which something is known.
func (k *Known) Fit(c Capacity, accepted []Order, asked Order, from day.Date) (Fitting, error) {
	now, _, err := k.draft(c, accepted, from)
	if err != nil {
		return Fitting{}, err
	}
	with, list, err := k.draft(c, append(slices.Clone(accepted), asked), from)
	if err != nil {
		return Fitting{}, err
	}
	var f Fitting
	for i, o := range list {
		if o.Ref == asked.Ref {
			f.Order = with.Orders[i]
			if f.Order.StartBy, err = k.startBy(c, o); err != nil {
				return Fitting{}, err
			}
		}
	}
	// Days that the order relieves, since a batch is shared elsewhere, count too.
	for _, l := range both(now.Loads, with.Loads) {
		if r := Free(now, with, l.Of, l.Day, l.Day)[0]; r.Limited && r.Taken != r.After {
			f.Rooms = append(f.Rooms, r)
		}
	}
	for _, clash := range with.Clashes {
		known := func(old Clash) bool {
			return old.Trouble == clash.Trouble && old.Day == clash.Day && old.Of == clash.Of && old.Minutes >= clash.Minutes &&
				(clash.Trouble != TooLate || slices.Equal(old.Orders, clash.Orders))
		}
		if !slices.ContainsFunc(now.Clashes, known) {
			f.Clashes = append(f.Clashes, clash)
		}
	}
	return f, nil
}

// both merges the loads of two plans, each day and role once.
func both(a, b []Load) []Load {
	list := slices.Clone(b)
	for _, l := range a {
		if !slices.ContainsFunc(b, func(m Load) bool { return m.Day == l.Day && m.Of == l.Of }) {
			list = append(list, l)
		}
	}
	slices.SortStableFunc(list, compareLoads)
	return list
}
