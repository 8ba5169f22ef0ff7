package actual

import (
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// Clock is work under way, from its start. Each who has one at a time.
type Clock struct {
	Who       string // a person, or the role where nobody was named
	Order     string
	Way       Way // Worked, Longer or Idle
	Role      book.ID
	Task      string
	PerMinute exact.Number
	Started   string   // an instant, 2026-11-25T09:30:00Z
	On        day.Date // of the start, on the studio's calendar
}

// forgottenAfter is how many minutes a clock runs before it must have been
// forgotten. Common practice, no source: nobody decorates for 12 hours.
const forgottenAfter = 12 * 60

// Forgotten reports whether a clock that has run for some seconds was
// forgotten, so that only a person can say how long the work took.
func Forgotten(seconds int64) bool { return seconds > forgottenAfter*60 }

// Measured returns the minutes that a clock shows after some seconds: whole
// ones, half a minute up, and one at least.
func Measured(seconds int64) exact.Number { return exact.Int(max((seconds+30)/60, 1)) }

// Work returns the entry that a stopped clock becomes.
func (c Clock) Work(minutes exact.Number, ended, note string) Work {
	w := Work{
		Head:  Head{On: c.On, Note: note},
		Order: c.Order, Way: c.Way, Role: c.Role, Task: c.Task, Minutes: minutes, PerMinute: c.PerMinute, Started: c.Started, Ended: ended,
	}
	if c.Who != string(c.Role) {
		w.Who = c.Who
	}
	return w
}
