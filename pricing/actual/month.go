package actual

import (
	"fmt"

	"marchpane/pricing/day"
)

// Month is a month of the calendar. The zero value is none. Months compare
// with ==.
type Month struct{ first day.Date }

// ParseMonth reads "2026-10".
func ParseMonth(s string) (Month, error) {
	first, err := day.Parse(s + "-01")
	if err != nil || len(s) != len("2026-10") {
		return Month{}, fmt.Errorf("month %.20q is not written as 2026-10", s)
	}
	return Month{first}, nil
}

// MonthOf returns the month that a day lies in.
func MonthOf(d day.Date) Month {
	if d.IsZero() {
		return Month{}
	}
	return Month{day.Must(d.String()[:len("2026-10")] + "-01")}
}

// IsZero reports whether m is no month.
func (m Month) IsZero() bool { return m.first.IsZero() }

// First returns the first day.
func (m Month) First() day.Date { return m.first }

// Next returns the month after m.
func (m Month) Next() Month { return MonthOf(m.first.AddDays(31)) }

// Last returns the last day.
func (m Month) Last() day.Date { return m.Next().first.AddDays(-1) }

// Before reports whether m is an earlier month than n.
func (m Month) Before(n Month) bool { return m.first.Before(n.first) }

// Within reports whether the whole month lies between two days.
func (m Month) Within(from, to day.Date) bool { return !m.first.Before(from) && !m.Last().After(to) }

// String returns m as 2026-10, and "" for none.
func (m Month) String() string {
	if m.IsZero() {
		return ""
	}
	return m.first.String()[:len("2026-10")]
}

// MarshalText writes m as [Month.String] does.
func (m Month) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads m as [ParseMonth] does.
func (m *Month) UnmarshalText(text []byte) (err error) {
	*m, err = ParseMonth(string(text))
	return err
}
