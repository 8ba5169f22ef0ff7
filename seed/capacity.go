package seed

import (
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/schedule"
)

// Capacity is what the demo studio can do in a day: a pastry cook and two
// decorators, Tuesday to Saturday, closed over Christmas.
func Capacity() schedule.Capacity {
	c := schedule.Usual()
	c.Opens, c.Closes = 7*60+30, 18*60
	c.Works = [7]bool{2: true, 3: true, 4: true, 5: true, 6: true} // Sunday first
	for d := day.Must("2026-12-25"); !d.After(day.Must("2027-01-02")); d = d.AddDays(1) {
		c.Closed = append(c.Closed, d)
	}
	c.Roles = map[book.ID]schedule.Hours{
		"pastry": schedule.EveryDay(8 * 60), "decorator": schedule.EveryDay(14 * 60), "assistant": schedule.EveryDay(5 * 60),
	}
	c.Appliances = map[book.ID]schedule.Hours{"oven": schedule.EveryDay(9 * 60)}
	return c
}
