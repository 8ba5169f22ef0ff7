package day

import (
	"fmt"
	"time"
)

// Date is a day of the Gregorian calendar. The zero value is no day at all.
// Dates compare with == and order with [Date.Before].
type Date struct {
	year, month, day int
}

// Parse reads a date written as YYYY-MM-DD, the form of ISO 8601.
func Parse(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil || t.Year() < 1 {
		return Date{}, fmt.Errorf("date %.20q is not a day of the calendar written as 2026-10-05", s)
	}
	return Of(t), nil
}

// Must is [Parse] for constants in code and tests; it panics on a bad date.
func Must(s string) Date {
	d, err := Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

// Of returns the calendar day that t shows in its own time zone.
func Of(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, int(m), d}
}

// Time returns midnight UTC of d, for libraries that want a time.
func (d Date) Time() time.Time {
	return time.Date(d.year, time.Month(d.month), d.day, 0, 0, 0, 0, time.UTC)
}

// String returns d as YYYY-MM-DD, and "" for the zero Date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.year, d.month, d.day)
}

// IsZero reports whether d is no day.
func (d Date) IsZero() bool { return d == Date{} }

// Year returns the calendar year.
func (d Date) Year() int { return d.year }

// AddDays returns the day n days after d, or before it where n is negative. It
// stops at the first and last days that four digits of a year can write.
func (d Date) AddDays(n int) Date {
	switch moved := Of(d.Time().AddDate(0, 0, n)); {
	case moved.year > 9999:
		return Date{9999, 12, 31}
	case moved.year < 1:
		return Date{1, 1, 1}
	default:
		return moved
	}
}

// Before reports whether d is an earlier day than e.
func (d Date) Before(e Date) bool { return d.compare(e) < 0 }

// After reports whether d is a later day than e.
func (d Date) After(e Date) bool { return d.compare(e) > 0 }

func (d Date) compare(e Date) int {
	for _, pair := range [3][2]int{{d.year, e.year}, {d.month, e.month}, {d.day, e.day}} {
		if pair[0] != pair[1] {
			return pair[0] - pair[1]
		}
	}
	return 0
}

// DaysUntil returns how many days lie from d to e; negative where e is before d.
func (d Date) DaysUntil(e Date) int {
	const seconds = 24 * 60 * 60
	return int((e.Time().Unix() - d.Time().Unix()) / seconds)
}

// Later returns the later of d and e.
func Later(d, e Date) Date {
	if d.Before(e) {
		return e
	}
	return d
}

// MarshalText writes d as [Date.String] does.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads d as [Parse] does.
func (d *Date) UnmarshalText(text []byte) (err error) {
	*d, err = Parse(string(text))
	return err
}
