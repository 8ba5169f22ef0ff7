package schedule

import (
	"fmt"

	"marchpane/pricing/day"
)

// DayMinutes is the length of a day. A plan knows no change of the clocks.
const DayMinutes = 24 * 60

// Moment is a minute of a day, by the clock on the studio's wall.
type Moment struct {
	Day    day.Date `json:"day"`
	Minute int      `json:"minute"` // after midnight
}

// At returns the moment on d at a time such as 8, 30.
func At(d day.Date, hour, minute int) Moment { return Moment{d, hour*60 + minute} }

// String returns m as 2026-06-02 08:30.
func (m Moment) String() string {
	return fmt.Sprintf("%s %02d:%02d", m.Day, m.Minute/60, m.Minute%60)
}

// Before reports whether m is earlier than n.
func (m Moment) Before(n Moment) bool { return m.clock() < n.clock() }

// Until returns the minutes from m to n, below 0 where n is earlier.
func (m Moment) Until(n Moment) int { return n.clock() - m.clock() }

// Add returns the moment so many minutes later.
func (m Moment) Add(minutes int) Moment { return moment(m.clock() + minutes) }

// clock counts minutes in one row, so that moments can be added up: 0 is
// midnight at the start of 1970.
func (m Moment) clock() int { return dayNumber(m.Day)*DayMinutes + m.Minute }

func moment(clock int) Moment {
	n := numberOf(clock)
	return Moment{dayOf(n), clock - n*DayMinutes}
}

// numberOf returns the number of the day on which a minute lies.
func numberOf(clock int) int {
	n := clock / DayMinutes
	if clock%DayMinutes < 0 {
		n--
	}
	return n
}

var epoch = day.Must("1970-01-01")

func dayOf(number int) day.Date { return epoch.AddDays(number) }

// dayNumber counts days; Unix seconds of midnight are a multiple of 86400.
func dayNumber(d day.Date) int { return int(d.Time().Unix() / 86400) }
