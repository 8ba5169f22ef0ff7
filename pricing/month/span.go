package month

import (
	"fmt"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
)

// Span is a span of days, both included.
type Span struct{ From, To day.Date }

// ParseSpan reads a month, 2026-10, or a year, 2026.
func ParseSpan(s string) (Span, error) {
	if m, err := actual.ParseMonth(s); err == nil {
		return Span{m.First(), m.Last()}, nil
	}
	first, err := day.Parse(s + "-01-01")
	if err != nil || len(s) != len("2026") {
		return Span{}, fmt.Errorf("%.20q is neither a month, 2026-10, nor a year, 2026", s)
	}
	return Span{first, day.Must(s + "-12-31")}, nil
}

// Months lists the months that s is made of, and none where it is not made of
// whole months.
func (s Span) Months() []actual.Month {
	first, last := actual.MonthOf(s.From), actual.MonthOf(s.To)
	if s.From.IsZero() || first.First() != s.From || last.Last() != s.To || s.To.Before(s.From) {
		return nil
	}
	list := []actual.Month{first}
	for m := first; m != last; {
		m = m.Next()
		list = append(list, m)
	}
	return list
}

// String names s: 2026-10, 2026, or its first and last day.
func (s Span) String() string {
	months := s.Months()
	switch year := fmt.Sprintf("%04d", s.From.Year()); {
	case len(months) == 1:
		return months[0].String()
	case len(months) == 12 && s.From == day.Must(year+"-01-01"):
		return year
	case len(months) > 0:
		return months[0].String() + " to " + months[len(months)-1].String()
	}
	return s.From.String() + " to " + s.To.String()
}

// Before returns the span before s that it is compared with: as many months
// where s is made of whole months, else as many days.
func (s Span) Before() Span {
	months := s.Months()
	if months == nil {
		return Span{s.From.AddDays(-1 - s.From.DaysUntil(s.To)), s.From.AddDays(-1)}
	}
	first := months[0]
	for range months {
		first = actual.MonthOf(first.First().AddDays(-1))
	}
	return Span{first.First(), s.From.AddDays(-1)}
}

// YearBefore returns the same span a year earlier.
func (s Span) YearBefore() Span {
	if months := s.Months(); months != nil {
		return Span{yearEarlier(s.From), actual.MonthOf(yearEarlier(months[len(months)-1].First())).Last()}
	}
	return Span{yearEarlier(s.From), yearEarlier(s.To)}
}

// yearEarlier returns the same day a year before, of 29 February the 28th. In
// the first year there is none before.
func yearEarlier(d day.Date) day.Date {
	rest := d.String()[len("2026"):]
	if rest == "-02-29" {
		rest = "-02-28"
	}
	return day.Must(fmt.Sprintf("%04d", max(d.Year()-1, 1)) + rest)
}

// Holds reports whether a day lies in s.
func (s Span) Holds(d day.Date) bool { return !d.Before(s.From) && !d.After(s.To) }
