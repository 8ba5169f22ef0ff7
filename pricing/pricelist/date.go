package pricelist

import (
	"fmt"
	"strings"

	"marchpane/pricing/day"
)

// Order is the order of day and month in a date such as 5/10/2026.
type Order string

// The orders. A date with points has its day first everywhere.
const (
	DayFirst   Order = "dmy"
	MonthFirst Order = "mdy"
)

// UnmarshalText reads "dmy", "mdy" or "".
func (o *Order) UnmarshalText(text []byte) error {
	switch Order(text) {
	case "", DayFirst, MonthFirst:
		*o = Order(text)
		return nil
	}
	return fmt.Errorf("order of dates %.20q is unknown; use dmy or mdy", text)
}

// ReadDate reads a date in figures: "2026-10-05", "5.10.2026", "05/10/26". Two
// figures for the year are of this century. Where the order is "" a date that
// can be two days is refused with [ErrAmbiguous].
func ReadDate(s string, order Order) (day.Date, error) {
	d, _, err := date(s, order)
	return d, err
}

// date is [ReadDate]; it returns also the order that the date proves.
func date(s string, order Order) (day.Date, Order, error) {
	text, _, _ := strings.Cut(clean(s), " ") // a time of day may follow
	if d, err := day.Parse(text); err == nil {
		return d, "", nil
	}
	refused := fmt.Errorf("%s is not a date that can be read; write it as 2026-10-05", quoted(s))
	parts := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("./-", r) })
	if len(parts) != 3 || len(text) > 10 {
		return day.Date{}, "", refused
	}
	for i, p := range parts {
		if strings.Trim(p, "0123456789") != "" || len(p) > 2 && i < 2 && !(i == 0 && len(p) == 4) {
			return day.Date{}, "", refused
		}
		if len(p) == 1 {
			parts[i] = "0" + p
		}
	}
	build := func(year, month, dayOfMonth string) (day.Date, bool) {
		if len(year) == 2 {
			year = "20" + year
		}
		d, err := day.Parse(year + "-" + month + "-" + dayOfMonth)
		return d, err == nil
	}
	if len(parts[0]) == 4 { // 2026/10/05
		if d, ok := build(parts[0], parts[1], parts[2]); ok {
			return d, "", nil
		}
		return day.Date{}, "", refused
	}
	dmy, okDMY := build(parts[2], parts[1], parts[0])
	mdy, okMDY := build(parts[2], parts[0], parts[1])
	okMDY = okMDY && !strings.Contains(text, ".")
	switch {
	case okDMY && (!okMDY || dmy == mdy || order == DayFirst):
		if okMDY {
			return dmy, "", nil
		}
		return dmy, DayFirst, nil
	case okMDY && (!okDMY || order == MonthFirst):
		if okDMY {
			return mdy, "", nil
		}
		return mdy, MonthFirst, nil
	case okDMY:
		return day.Date{}, "", fmt.Errorf("%s is %s or %s: %w; say whether the day or the month comes first", quoted(s), dmy, mdy, ErrAmbiguous)
	}
	return day.Date{}, "", refused
}
