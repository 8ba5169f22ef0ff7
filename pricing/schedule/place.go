package schedule

import (
	"fmt"
	"slices"

	"marchpane/pricing/book"
)

// How far work is shifted before it is spread or overbooked: common practice,
// no source.
const (
	Ahead      = 4  // days earlier than needed, for what states no keeping time
	wholeDays  = 3  // days back to look for one stretch before work is spread
	spreadOver = 60 // work of more minutes may be spread
	leastPiece = 30 // minutes of the least stretch
)

// work is the tasks and waits of one making, tier, cake or extra, in order, and
// the appliances that it runs.
type work struct {
	steps []step
	runs  []run
}

// step is hands-on work of a role, or a wait.
type step struct {
	name     string
	role     book.ID
	roleName string
	minutes  int
	wait     bool
	runs     bool // a wait for the appliance that name says
}

// run is the time an appliance runs.
type run struct {
	id      book.ID
	name    string
	minutes int
}

// net is how long work takes without a pause.
func (w work) net() int {
	hands, waits := w.sums()
	return hands + waits
}

// horizon bounds how much earlier than needed anything is made, however long it
// keeps or takes.
const horizon = 400 * DayMinutes

// What one piece of work may take: an order for 10,000 cakes fits well, a slip
// of the pen does not send the plan through the centuries.
const (
	mostHands = 600_000           // minutes
	mostWait  = 3660 * DayMinutes // ten years
)

// check refuses work that no plan could hold.
func (w work) check(name string) error {
	hands, waits := w.sums()
	if hands > mostHands || waits > mostWait {
		return fmt.Errorf("%s takes %d hours of work and %d days of waiting at one go; mend its tasks or the quantity ordered", name, hands/60, waits/DayMinutes)
	}
	return nil
}

// sums returns the hands-on and the waiting minutes.
func (w work) sums() (hands, waits int) {
	for _, s := range w.steps {
		if s.wait {
			waits += s.minutes
		} else {
			hands += s.minutes
		}
	}
	return hands, waits
}

// reach is how long before it is needed work may begin where no keeping time
// bounds it: its waits, twice the days that its hands-on minutes fill, and some
// days more.
func (w work) reach(c Capacity) int {
	hands, waits := w.sums()
	reach := waits + 2*hands*DayMinutes/c.window() + Ahead*DayMinutes
	return max(waits+hands, min(reach, horizon))
}

// placed is when work is done: the stretches of each step.
type placed struct {
	spans    [][]span
	start    int // of the first step
	end      int // of the last
	runsOn   int // the day on which its appliances run
	keptFrom int // start + net: when it would have been done without a pause
}

// place books work to end by a minute, as late as free hands allow, and
// beginning at lo or later. Where hands do not suffice, it books nothing and
// answers false, or (force) books them all the same.
func (r *rota) place(w work, lo, by int, force bool) (placed, bool) {
	mark := len(r.log)
	p := placed{spans: make([][]span, len(w.steps)), start: by, end: by, runsOn: numberOf(by)}
	first := slices.IndexFunc(w.steps, func(s step) bool { return !s.wait })
	before := w.net() // what is still to be done before the step, without a pause
	for i := len(w.steps) - 1; i >= 0; i-- {
		s := w.steps[i]
		before -= s.minutes
		if s.wait {
			p.start -= s.minutes
			if p.start < lo+before && !force {
				r.undo(mark)
				return placed{}, false
			}
			continue
		}
		var runs []run
		if i == first {
			runs = w.runs
		}
		spans, ok := r.hands(s, lo+before, p.start, runs, force)
		if !ok {
			r.undo(mark)
			return placed{}, false
		}
		p.spans[i], p.start = spans, spans[0].start
		if i == first {
			p.runsOn = spans[len(spans)-1].lastDay()
		}
	}
	p.keptFrom = p.start + w.net()
	for _, a := range w.runs {
		r.run(a.id, p.runsOn, a.minutes)
	}
	p.settleWaits(w)
	return p, true
}

// settleWaits lets each wait begin when what stands before it ends, and works
// out the end of the whole.
func (p *placed) settleWaits(w work) {
	at := p.start
	for i, s := range w.steps {
		if s.wait {
			p.spans[i] = []span{{at, at + s.minutes}}
		}
		at = p.spans[i][len(p.spans[i])-1].end
	}
	if len(w.steps) > 0 {
		p.end = at
	}
}

// hands books the minutes of a step within [lo, hi]: in one stretch close to
// hi, else in several, else in one further back, else (force) overbooked.
func (r *rota) hands(s step, lo, hi int, runs []run, force bool) ([]span, bool) {
	near := max(lo, hi-wholeDays*DayMinutes)
	if spans, ok := r.whole(s, near, hi, runs); ok {
		return spans, true
	}
	if s.minutes > spreadOver {
		if spans, ok := r.spread(s, lo, hi, runs); ok {
			return spans, true
		}
	}
	if spans, ok := r.whole(s, lo, hi, runs); ok {
		return spans, true
	}
	switch {
	case !force:
		return nil, false
	case len(runs) > 0:
		return r.hands(s, lo, hi, nil, true) // the appliances are over anyway; the hands need not be
	}
	return r.overbook(s, lo, hi), true
}

func (r *rota) whole(s step, lo, hi int, runs []run) ([]span, bool) {
	for d := numberOf(hi); d >= numberOf(lo); d-- {
		g, ok := r.gap(s.role, d, s.minutes, lo, hi)
		if !ok || !r.room(d, runs) {
			continue
		}
		taken := span{g.end - s.minutes, g.end}
		r.book(s.role, g.lane, taken)
		return []span{taken}, true
	}
	return nil, false
}

func (r *rota) spread(s step, lo, hi int, runs []run) ([]span, bool) {
	mark := len(r.log)
	var spans []span
	rest := s.minutes
	for d := numberOf(hi); d >= numberOf(lo) && rest > 0; {
		g, ok := r.gap(s.role, d, min(rest, leastPiece), lo, hi)
		// The appliances run on the day of the last stretch, which is booked first.
		if !ok || len(spans) == 0 && !r.room(d, runs) {
			d--
			continue
		}
		taken := span{max(g.start, g.end-rest), g.end}
		r.book(s.role, g.lane, taken)
		spans = append(spans, taken)
		rest -= taken.minutes()
		hi = taken.start
	}
	if rest > 0 {
		r.undo(mark)
		return nil, false
	}
	slices.Reverse(spans)
	return spans, true
}

// overbook books a step over and above the free hands: on the working day
// within reach that has most minutes left, else on a closed day, else over
// several days, else at whatever hour there is.
func (r *rota) overbook(s step, lo, hi int) []span {
	days := r.hours(lo, hi, true)
	spans, ok := r.roomiest(s, days)
	if !ok {
		spans, ok = r.roomiest(s, r.hours(lo, hi, false))
	}
	if !ok {
		spans = acrossDays(s.minutes, hi, days)
	}
	for _, taken := range spans {
		r.book(s.role, -1, taken)
	}
	return spans
}

// hours lists the studio's hours within [lo, hi], latest first: of the days on
// which it works, or of the others.
func (r *rota) hours(lo, hi int, works bool) []span {
	var days []span
	for d := numberOf(hi); d >= numberOf(lo); d-- {
		s := span{max(lo, d*DayMinutes+r.c.Opens), min(hi, d*DayMinutes+r.c.Closes)}
		if s.minutes() > 0 && r.c.WorksOn(dayOf(d)) == works {
			days = append(days, s)
		}
	}
	return days
}

// roomiest finds the day with most minutes of a role left, the latest of
// several.
func (r *rota) roomiest(s step, days []span) ([]span, bool) {
	best, left := span{}, 0
	for _, hours := range days {
		n := numberOf(hours.start)
		capacity, _ := r.c.Minutes(s.role, dayOf(n))
		spare := capacity - r.load[slot{s.role, n}]
		if hours.minutes() >= s.minutes && (best == span{} || spare > left) {
			best, left = span{hours.end - s.minutes, hours.end}, spare
		}
	}
	return []span{best}, best != span{}
}

// acrossDays fills whole days from the last one back, and what is left over
// in one stretch, at night where need be.
func acrossDays(minutes, hi int, days []span) []span {
	sum := 0
	for _, d := range days {
		sum += d.minutes()
	}
	if sum < minutes || minutes == 0 {
		return []span{{hi - minutes, hi}}
	}
	var spans []span
	for _, d := range days {
		taken := min(minutes, d.minutes())
		if minutes -= taken; taken > 0 {
			spans = append(spans, span{d.end - taken, d.end})
		}
	}
	slices.Reverse(spans)
	return spans
}
