package schedule

import (
	"cmp"
	"maps"
	"slices"

	"marchpane/pricing/day"
)

// Load is what a role or appliance has to do on a day.
type Load struct {
	Day       day.Date
	Of        Named
	Appliance bool
	Minutes   int
	Capacity  int
	Limited   bool // Capacity is stated
	Orders    []string
}

// Over returns the minutes over capacity, 0 where there are none.
func (l Load) Over() int {
	if !l.Limited {
		return 0
	}
	return max(0, l.Minutes-l.Capacity)
}

// Trouble is the kind of a clash.
type Trouble string

// The clashes.
const (
	OverCapacity Trouble = "capacity" // a role or appliance has more to do than its day holds
	OutOfHours   Trouble = "hours"    // work before opening, after closing or on a closed day
	TooFewHands  Trouble = "hands"    // more at once than there are people, on a day that would hold it
	TooOld       Trouble = "keeping"  // a component is past its keeping time by the hand-over
	TooLate      Trouble = "late"     // work would have had to begin before the first day of the plan
)

// Clash is something that does not fit, and what it concerns.
type Clash struct {
	Trouble  Trouble
	Day      day.Date // on which it shows
	Of       Named    // the role, appliance or component; of a late start: none
	Minutes  int      // over; of a late start 0
	Capacity int      // of the day, in minutes
	Orders   []string
}

// loads sums up what the rota holds.
func (p *planner) loads(items []Item) []Load {
	at := map[slot]*Load{}
	put := func(of Named, dayNo int, appliance bool, orders []string) {
		s := slot{of.ID, dayNo}
		if at[s] == nil {
			capacity, limited := p.c.Minutes(of.ID, dayOf(dayNo))
			at[s] = &Load{Day: dayOf(dayNo), Of: of, Appliance: appliance, Minutes: p.rota.load[s], Capacity: capacity, Limited: limited}
		}
		at[s].Orders = union(at[s].Orders, orders)
	}
	for _, it := range items {
		if it.Minutes > 0 {
			for _, part := range byDay(span{it.Start.clock(), it.End.clock()}) {
				put(it.Role, numberOf(part.start), false, it.Orders)
			}
		}
		for _, a := range it.Appliances {
			put(a.Named, span{it.Start.clock(), it.End.clock()}.lastDay(), true, it.Orders)
		}
	}
	var list []Load
	for l := range maps.Values(at) {
		list = append(list, *l)
	}
	slices.SortFunc(list, compareLoads)
	return list
}

// compareLoads orders by day, roles before appliances, then by id.
func compareLoads(a, b Load) int {
	rank := func(l Load) int {
		if l.Appliance {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(dayNumber(a.Day), dayNumber(b.Day)), cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Of.ID, b.Of.ID))
}

func (p *planner) overCapacity(loads []Load) []Clash {
	var list []Clash
	for _, l := range loads {
		if l.Over() > 0 {
			list = append(list, Clash{OverCapacity, l.Day, l.Of, l.Over(), l.Capacity, l.Orders})
		}
	}
	return list
}

// outOfHours reports work outside the studio's hours, save for the way to a
// hand-over, and for a closed day of a limited role, which is over capacity.
func (p *planner) outOfHours(items []Item) []Clash {
	sums := map[slot]*Clash{}
	for _, it := range items {
		if it.Minutes == 0 || it.Fixed {
			continue
		}
		for _, part := range byDay(span{it.Start.clock(), it.End.clock()}) {
			n := numberOf(part.start)
			d := dayOf(n)
			capacity, limited := p.c.Minutes(it.Role.ID, d)
			outside := part.minutes()
			switch hours := (span{max(part.start, n*DayMinutes+p.c.Opens), min(part.end, n*DayMinutes+p.c.Closes)}); {
			case !p.c.WorksOn(d) && limited:
				continue
			case p.c.WorksOn(d) && hours.minutes() > 0:
				outside -= hours.minutes()
			}
			if outside == 0 {
				continue
			}
			s := slot{it.Role.ID, n}
			if sums[s] == nil {
				sums[s] = &Clash{Trouble: OutOfHours, Day: d, Of: it.Role, Capacity: capacity}
			}
			sums[s].Minutes += outside
			sums[s].Orders = union(sums[s].Orders, it.Orders)
		}
	}
	return inOrder(sums)
}

// overlaps reports days that hold a role's minutes and yet ask for more hands
// at once than there are.
func (p *planner) overlaps(items []Item, loads []Load) []Clash {
	fits := map[slot]int{} // hands
	for _, l := range loads {
		if !l.Appliance && l.Limited && l.Over() == 0 {
			fits[slot{l.Of.ID, dayNumber(l.Day)}] = p.c.hands(l.Capacity)
		}
	}
	busy := map[slot][]span{}
	who := map[slot]*Clash{}
	for _, it := range items {
		if it.Minutes == 0 {
			continue
		}
		for _, part := range byDay(span{it.Start.clock(), it.End.clock()}) {
			s := slot{it.Role.ID, numberOf(part.start)}
			if _, ok := fits[s]; !ok {
				continue
			}
			busy[s] = append(busy[s], part)
			if who[s] == nil {
				capacity, _ := p.c.Minutes(it.Role.ID, dayOf(s.day))
				who[s] = &Clash{Trouble: TooFewHands, Day: dayOf(s.day), Of: it.Role, Capacity: capacity}
			}
			who[s].Orders = union(who[s].Orders, it.Orders)
		}
	}
	for s, spans := range busy {
		if who[s].Minutes = beyond(spans, fits[s]); who[s].Minutes == 0 {
			delete(who, s)
		}
	}
	return inOrder(who)
}

// beyond returns the minutes of work that more than so many hands would have
// to do at once.
func beyond(spans []span, hands int) int {
	type turn struct{ at, change int }
	var turns []turn
	for _, s := range spans {
		turns = append(turns, turn{s.start, 1}, turn{s.end, -1})
	}
	slices.SortFunc(turns, func(a, b turn) int { return cmp.Compare(a.at, b.at) })
	sum, at, since := 0, 0, 0
	for _, t := range turns {
		sum += max(0, at-hands) * (t.at - since)
		at, since = at+t.change, t.at
	}
	return sum
}

func inOrder(sums map[slot]*Clash) []Clash {
	var list []Clash
	for c := range maps.Values(sums) {
		list = append(list, *c)
	}
	slices.SortFunc(list, func(a, b Clash) int {
		return cmp.Or(cmp.Compare(dayNumber(a.Day), dayNumber(b.Day)), cmp.Compare(a.Of.ID, b.Of.ID))
	})
	return list
}

func keptTooLong(m Making, until int) Clash {
	return Clash{Trouble: TooOld, Day: moment(until).Day, Of: m.Component, Minutes: until - m.GoodUntil.clock(), Orders: m.Orders}
}

// late reports orders whose work begins before a day.
func (p Plan) late(from day.Date) []Clash {
	var list []Clash
	for _, o := range p.Orders {
		if o.Begins.Day.Before(from) {
			list = append(list, Clash{Trouble: TooLate, Day: o.Begins.Day, Orders: []string{o.Ref}})
		}
	}
	return list
}
