package enquiry

import (
	"fmt"
	"strconv"
)

// Clock is a time of day by the clock where the studio is. The zero value is
// midnight.
type Clock struct{ minutes int }

// ParseClock reads a time of day written as 14:30.
func ParseClock(s string) (Clock, error) {
	if len(s) == len("14:30") && s[2] == ':' {
		hour, errHour := strconv.ParseUint(s[:2], 10, 8)
		minute, errMinute := strconv.ParseUint(s[3:], 10, 8)
		if errHour == nil && errMinute == nil && hour < 24 && minute < 60 {
			return Clock{int(hour*60 + minute)}, nil
		}
	}
	return Clock{}, fmt.Errorf("%.20q is no time of day written as 14:30", s)
}

// Minutes returns the minutes since midnight.
func (c Clock) Minutes() int { return c.minutes }

// String returns c as 14:30.
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", c.minutes/60, c.minutes%60) }

// MarshalText writes c as [Clock.String] does.
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads c as [ParseClock] does.
func (c *Clock) UnmarshalText(text []byte) (err error) {
	*c, err = ParseClock(string(text))
	return err
}
