package schedule

import (
	"slices"

	"marchpane/pricing/book"
)

// rota is who is busy when. Times are minutes of one row, see [Moment.clock].
type rota struct {
	c     Capacity
	lanes map[slot][][]span // of each pair of hands, by start
	load  map[slot]int      // minutes booked
	log   []booking         // in the order made, to be undone
}

// slot is a role or appliance on a day.
type slot struct {
	id  book.ID
	day int
}

// span is a stretch of time, its end not included.
type span struct{ start, end int }

func (s span) minutes() int { return s.end - s.start }

// lastDay is the number of the day of its last minute.
func (s span) lastDay() int { return numberOf(max(s.start, s.end-1)) }

type booking struct {
	at      slot
	lane    int // -1: only minutes
	span    span
	minutes int
}

func newRota(c Capacity) *rota {
	return &rota{c: c, lanes: map[slot][][]span{}, load: map[slot]int{}}
}

// free is a stretch in which a pair of hands has nothing to do.
type free struct {
	span
	lane int
}

// gap finds the latest stretch of at least need minutes within [lo, hi] on a
// working day in which a role is free and has as many minutes left.
func (r *rota) gap(role book.ID, dayNo, need, lo, hi int) (free, bool) {
	lo, hi = max(lo, dayNo*DayMinutes+r.c.Opens), min(hi, dayNo*DayMinutes+r.c.Closes)
	d := dayOf(dayNo)
	if hi-lo < need {
		return free{}, false
	}
	capacity, limited := r.c.Minutes(role, d)
	if !limited {
		return free{span{lo, hi}, -1}, r.c.WorksOn(d)
	}
	at := slot{role, dayNo}
	left := capacity - r.load[at]
	if left < need || left <= 0 {
		return free{}, false
	}
	found := free{lane: -1}
	for lane := range r.c.hands(capacity) {
		if g, ok := lastGap(r.lane(at, lane), need, lo, hi); ok && (found.lane < 0 || g.end > found.end) {
			found = free{g, lane}
		}
	}
	found.start = max(found.start, found.end-left)
	return found, found.lane >= 0
}

func (r *rota) lane(at slot, n int) []span {
	if lanes := r.lanes[at]; n < len(lanes) {
		return lanes[n]
	}
	return nil
}

// lastGap finds the latest stretch of need minutes in [lo, hi] that no span of
// a lane takes.
func lastGap(busy []span, need, lo, hi int) (span, bool) {
	for i := len(busy) - 1; i >= 0; i-- {
		b := busy[i]
		if b.start >= hi {
			continue
		}
		if start := max(b.end, lo); hi-start >= need {
			return span{start, hi}, true
		}
		if hi = min(hi, b.start); hi-lo < need {
			return span{}, false
		}
	}
	return span{lo, hi}, hi-lo >= need
}

// book takes a stretch of a role's time, on a lane or (-1) over and above them.
func (r *rota) book(role book.ID, lane int, s span) {
	if lane >= 0 {
		at := slot{role, numberOf(s.start)}
		for len(r.lanes[at]) <= lane {
			r.lanes[at] = append(r.lanes[at], nil)
		}
		busy := append(r.lanes[at][lane], s)
		slices.SortFunc(busy, func(a, b span) int { return a.start - b.start })
		r.lanes[at][lane] = busy
		r.add(booking{at, lane, s, s.minutes()})
		return
	}
	for _, part := range byDay(s) {
		r.add(booking{slot{role, numberOf(part.start)}, -1, part, part.minutes()})
	}
}

// run books minutes of an appliance on a day.
func (r *rota) run(appliance book.ID, dayNo, minutes int) {
	r.add(booking{slot{appliance, dayNo}, -1, span{}, minutes})
}

func (r *rota) add(b booking) {
	r.load[b.at] += b.minutes
	r.log = append(r.log, b)
}

// undo takes back every booking since the log had a length.
func (r *rota) undo(length int) {
	for i := len(r.log) - 1; i >= length; i-- {
		b := r.log[i]
		r.load[b.at] -= b.minutes
		if b.lane >= 0 {
			lane := r.lanes[b.at][b.lane]
			j := slices.Index(lane, b.span)
			r.lanes[b.at][b.lane] = slices.Delete(lane, j, j+1)
		}
	}
	r.log = r.log[:length]
}

// room reports whether appliances have their minutes left on a day.
func (r *rota) room(dayNo int, runs []run) bool {
	for _, a := range runs {
		if capacity, limited := r.c.Minutes(a.id, dayOf(dayNo)); limited && r.load[slot{a.id, dayNo}]+a.minutes > capacity {
			return false
		}
	}
	return true
}

// byDay cuts a stretch at midnight.
func byDay(s span) []span {
	var parts []span
	for s.start < s.end {
		end := min(s.end, (numberOf(s.start)+1)*DayMinutes)
		parts = append(parts, span{s.start, end})
		s.start = end
	}
	return parts
}
