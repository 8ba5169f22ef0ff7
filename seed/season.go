package seed

import (
	"time"

	"marchpane/pricing/day"
)

// kind is an occasion that cakes are ordered for.
type kind int

const (
	wedding kind = iota
	christening
	birthday
	firm // a firm's or club's table
	gift // fruit cakes at Christmas
	anniversary
	kinds
)

// The days between which the year is told. The demo's prices begin a little
// before the first enquiry.
var (
	firstDay   = day.Must("2025-06-02")
	firstEvent = day.Must("2025-12-01")
	Today      = day.Must("2026-11-25")
)

// season is how many orders of each kind a month brings in the end. Those of
// the months to come are as far along as they are by today. Common practice,
// no source: weddings from May to September, firms and fruit cakes before
// Christmas, christenings in spring and autumn.
var season = []struct {
	month  string
	orders [kinds]int // wedding, christening, birthday, firm, gift, anniversary
}{
	{"2025-12", [kinds]int{1, 2, 3, 4, 6, 1}},
	{"2026-01", [kinds]int{2, 1, 4, 3, 0, 1}},
	{"2026-02", [kinds]int{2, 1, 5, 3, 0, 1}},
	{"2026-03", [kinds]int{2, 2, 4, 2, 0, 1}},
	{"2026-04", [kinds]int{3, 3, 4, 1, 0, 1}},
	{"2026-05", [kinds]int{6, 3, 3, 2, 0, 1}},
	{"2026-06", [kinds]int{7, 2, 3, 3, 0, 1}},
	{"2026-07", [kinds]int{9, 1, 3, 2, 0, 2}},
	{"2026-08", [kinds]int{10, 1, 3, 2, 0, 1}},
	{"2026-09", [kinds]int{8, 3, 3, 2, 0, 1}},
	{"2026-10", [kinds]int{4, 2, 4, 2, 0, 1}},
	{"2026-11", [kinds]int{2, 2, 5, 3, 1, 1}},
	{"2026-12", [kinds]int{2, 3, 4, 5, 8, 1}},
	{"2027-01", [kinds]int{2, 1, 4, 2, 0, 1}},
	{"2027-02", [kinds]int{2, 1, 5, 2, 0, 1}},
	{"2027-03", [kinds]int{2, 2, 4, 2, 0, 1}},
	{"2027-04", [kinds]int{4, 3, 4, 1, 0, 1}},
	{"2027-05", [kinds]int{6, 3, 3, 1, 0, 1}},
	{"2027-06", [kinds]int{7, 2, 3, 2, 0, 1}},
	{"2027-07", [kinds]int{8, 1, 3, 1, 0, 2}},
	{"2027-08", [kinds]int{9, 1, 3, 1, 0, 1}},
	{"2027-09", [kinds]int{7, 3, 3, 1, 0, 1}},
}

// manners is how an occasion goes about it.
type manners struct {
	called   []string       // the occasion in the enquiry
	days     []time.Weekday // on which it is held
	leadFrom int            // days from enquiry to event
	leadTo   int
	decide   int // days at most from quote to answer
	lost     int // quotes lost for a hundred won
	silent   int // enquiries without a quote for a hundred won
}

var mannersOf = [kinds]manners{
	wedding:     {[]string{"wedding", "wedding reception", "evening wedding"}, []time.Weekday{time.Saturday, time.Saturday, time.Saturday, time.Friday, time.Friday, time.Thursday}, 95, 300, 24, 130, 22},
	christening: {[]string{"christening", "naming day"}, []time.Weekday{time.Sunday, time.Sunday, time.Saturday}, 26, 75, 12, 85, 10},
	birthday:    {[]string{"30th birthday", "40th birthday", "50th birthday", "70th birthday", "1st birthday", "10th birthday", "18th birthday", "21st birthday"}, []time.Weekday{time.Saturday, time.Saturday, time.Sunday, time.Friday}, 15, 42, 7, 80, 15},
	firm:        {[]string{"staff lunch", "annual dinner", "open day", "prize-giving", "retirement do"}, []time.Weekday{time.Tuesday, time.Wednesday, time.Thursday, time.Friday}, 16, 50, 10, 120, 12},
	gift:        {[]string{"Christmas", "Christmas presents"}, []time.Weekday{time.Thursday, time.Friday, time.Saturday}, 22, 55, 9, 55, 6},
	anniversary: {[]string{"25th wedding anniversary", "40th wedding anniversary", "golden wedding"}, []time.Weekday{time.Saturday, time.Sunday}, 20, 60, 10, 85, 10},
}

// eventDay draws a day of a month on which an occasion is held. Fruit cakes
// leave before Christmas Eve, and nothing is held on the holidays after it.
func eventDay(d dice, k kind, month string) day.Date {
	first := day.Must(month + "-01")
	last := first.AddDays(31)
	for last.String()[:7] != month {
		last = last.AddDays(-1)
	}
	if first.Time().Month() == time.December {
		last = first.AddDays(22)
	}
	var days []day.Date
	want := pick(d, mannersOf[k].days)
	for on := first; !on.After(last); on = on.AddDays(1) {
		if on.Time().Weekday() == want {
			days = append(days, on)
		}
	}
	return pick(d, days)
}

// working returns on, or the Monday after it where it is a Sunday.
func working(on day.Date) day.Date {
	if on.Time().Weekday() == time.Sunday {
		return on.AddDays(1)
	}
	return on
}
