package day_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"marchpane/pricing/day"
)

// Leap years by the Gregorian rule: 2000 is one, 1900 and 2100 are none.
func TestParse(t *testing.T) {
	for _, s := range []string{"2026-10-05", "2024-02-29", "2000-02-29", "0001-01-01", "9999-12-31"} {
		if d, err := day.Parse(s); err != nil || d.String() != s {
			t.Errorf("Parse(%s) = %s, %v", s, d, err)
		}
	}
	for _, s := range []string{
		"", "2026-02-29", "1900-02-29", "2100-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "0000-01-01", "2026-1-5", "26-01-05",
		"2026/01/05", "05.01.2026", "2026-01-05T00:00:00Z", " 2026-01-05", "2026-01-05 ", "-2026-01-05", "+2026-01-05", "12026-01-05", "２０２６-01-05",
	} {
		if d, err := day.Parse(s); err == nil {
			t.Errorf("Parse(%q) = %s, want an error", s, d)
		}
	}
}

func TestAddDays(t *testing.T) {
	for _, c := range []struct {
		from string
		n    int
		want string
	}{
		{"2026-12-31", 1, "2027-01-01"}, {"2024-02-28", 1, "2024-02-29"}, {"2026-03-01", -1, "2026-02-28"},
		{"2027-06-12", -14, "2027-05-29"}, {"2026-01-01", 0, "2026-01-01"}, {"2026-01-01", 365, "2027-01-01"},
	} {
		if got := day.Must(c.from).AddDays(c.n).String(); got != c.want {
			t.Errorf("%s.AddDays(%d) = %s, want %s", c.from, c.n, got, c.want)
		}
	}
}

func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := day.Must("2000-01-01")
		n, m := rapid.IntRange(-9000, 9000).Draw(t, "n"), rapid.IntRange(-9000, 9000).Draw(t, "m")
		d, e := base.AddDays(n), base.AddDays(m)
		if got := d.DaysUntil(e); got != m-n {
			t.Fatalf("%s.DaysUntil(%s) = %d, want %d", d, e, got, m-n)
		}
		if d.Before(e) != (n < m) || d.After(e) != (n > m) || (d == e) != (n == m) || day.Later(d, e) != base.AddDays(max(n, m)) {
			t.Fatalf("%s and %s are out of order", d, e)
		}
	})
}

// A day is what the clock on the wall of a place shows, not its UTC day.
func TestOf(t *testing.T) {
	late := time.Date(2026, 3, 1, 23, 30, 0, 0, time.FixedZone("west", -5*3600))
	if got := day.Of(late).String(); got != "2026-03-01" {
		t.Errorf("Of(%s) = %s, want 2026-03-01", late, got)
	}
}

func TestTextRoundTrip(t *testing.T) {
	var back day.Date
	if err := back.UnmarshalText([]byte("2026-10-05")); err != nil || back != day.Must("2026-10-05") || back.Year() != 2026 {
		t.Errorf("UnmarshalText(2026-10-05) = %s, %v", back, err)
	}
	if got := (day.Date{}).String(); got != "" || !(day.Date{}).IsZero() {
		t.Errorf("the zero Date prints as %q, want nothing", got)
	}
}
