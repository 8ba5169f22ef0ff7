package schedule

import (
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
)

// Capacity is what the studio can do in a day. Its json tags are the form in
// which a store keeps it.
type Capacity struct {
	Opens      int               `json:"opens"`  // minutes after midnight
	Closes     int               `json:"closes"` // likewise
	Works      [7]bool           `json:"works"`  // by weekday, Sunday first
	Closed     []day.Date        `json:"closed,omitempty"`
	Open       []day.Date        `json:"open,omitempty"` // days worked though their weekday is not
	Roles      map[book.ID]Hours `json:"roles,omitempty"`
	Appliances map[book.ID]Hours `json:"appliances,omitempty"`
}

// Hours are the minutes that a role or an appliance has on each weekday, and
// on days of their own. Two decorators of seven hours have 840 minutes. What
// has no Hours is not limited.
type Hours struct {
	Week [7]int           `json:"week"` // Sunday first
	On   map[day.Date]int `json:"on,omitempty"`
}

// EveryDay returns the same minutes for every weekday.
func EveryDay(minutes int) Hours {
	var h Hours
	for i := range h.Week {
		h.Week[i] = minutes
	}
	return h
}

// Usual returns the capacity of a studio that has stated none: work from 8:00
// to 18:00, Monday to Saturday, nothing else limited. Common practice, no
// source.
func Usual() Capacity {
	return Capacity{Opens: 8 * 60, Closes: 18 * 60, Works: [7]bool{false, true, true, true, true, true, true}}
}

// Check says what is wrong with a capacity for a book.
func (c Capacity) Check(x *book.Index) error {
	if c.Opens < 0 || c.Closes > DayMinutes || c.Closes-c.Opens < 60 {
		return fmt.Errorf("the studio works from minute %d to minute %d of the day; give it at least an hour within one day", c.Opens, c.Closes)
	}
	if !slices.Contains(c.Works[:], true) {
		return fmt.Errorf("the studio works on no weekday; name at least one")
	}
	for _, id := range sortedKeys(c.Roles) {
		if _, ok := x.Role(id); !ok {
			return fmt.Errorf("hours are given for %q, which is no role of the book; mend the id or add the role", id)
		}
		if err := c.Roles[id].check(id); err != nil {
			return err
		}
	}
	for _, id := range sortedKeys(c.Appliances) {
		if _, ok := x.Appliance(id); !ok {
			return fmt.Errorf("hours are given for %q, which is no appliance of the book; mend the id or add it to the equipment", id)
		}
		if err := c.Appliances[id].check(id); err != nil {
			return err
		}
	}
	return nil
}

// most bounds the minutes of a role or appliance on a day: a hundred people.
const most = 100 * DayMinutes

func (h Hours) check(id book.ID) error {
	for _, n := range h.Week {
		if n < 0 || n > most {
			return fmt.Errorf("%s: %d minutes a day must be from 0 to %d", id, n, most)
		}
	}
	for d, n := range h.On {
		if n < 0 || n > most {
			return fmt.Errorf("%s: %d minutes on %s must be from 0 to %d", id, n, d, most)
		}
	}
	return nil
}

// WorksOn reports whether the studio works on a day.
func (c Capacity) WorksOn(d day.Date) bool {
	if slices.Contains(c.Closed, d) {
		return false
	}
	return c.Works[d.Time().Weekday()] || slices.Contains(c.Open, d)
}

// Minutes returns what a role or appliance has on a day, 0 where the studio is
// closed, and false where it is not limited.
func (c Capacity) Minutes(id book.ID, d day.Date) (int, bool) {
	h, ok := c.Roles[id]
	if !ok {
		h, ok = c.Appliances[id]
	}
	switch on, special := h.On[d]; {
	case !ok:
		return 0, false
	case special:
		return on, true
	case !c.WorksOn(d):
		return 0, true
	default:
		return h.Week[d.Time().Weekday()], true
	}
}

// best returns the most minutes a role or appliance has on any weekday.
func (c Capacity) best(id book.ID) (int, bool) {
	h, ok := c.Roles[id]
	if !ok {
		h, ok = c.Appliances[id]
	}
	return slices.Max(h.Week[:]), ok
}

// window is the length of a working day.
func (c Capacity) window() int { return c.Closes - c.Opens }

// hands returns how many people of a role work at once for its minutes to fit
// into the day's hours.
func (c Capacity) hands(minutes int) int { return (minutes + c.window() - 1) / c.window() }
