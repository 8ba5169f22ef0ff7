package seed_test

import (
	"reflect"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/seed"
)

// The demo lives in the week of whoever looks at it, weekdays stay, and months
// keep bills and plans of their own. The calendar is the only source.
func TestMove(t *testing.T) {
	file, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	year, err := seed.Year()
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct{ now, today string }{
		{"2026-11-25", "2026-11-25"}, {"2026-12-01", "2026-11-25"}, {"2026-12-02", "2026-12-02"},
		{"2027-03-01", "2027-02-24"}, {"2028-02-29", "2028-02-23"}, {"2025-01-01", "2025-01-01"}, {"2031-12-31", "2031-12-31"},
	} {
		now := day.Must(test.now)
		m := seed.MoveTo(now)
		if got := m.Today().String(); got != test.today {
			t.Errorf("MoveTo(%s).Today() = %s, want %s", now, got, test.today)
		}
		if problems := book.Validate(m.Book(file)); len(problems) > 0 {
			t.Errorf("the book at %s: %v", now, problems)
		}
		energy, planned := map[actual.Month]bool{}, map[actual.Month]bool{}
		for i, h := range m.Year(year) {
			was := year[i]
			if h.On.After(now) || h.On.Time().Weekday() != was.On.Time().Weekday() {
				t.Fatalf("at %s: %T of %s is on %s", now, h.Deed, was.On, h.On)
			}
			switch d := h.Deed.(type) {
			case seed.Quoted:
				old := was.Deed.(seed.Quoted).Request
				if got, want := h.On.DaysUntil(d.Request.Event.Date), was.On.DaysUntil(old.Event.Date); got != want {
					t.Fatalf("at %s: an event is %d days ahead, want %d", now, got, want)
				}
			case seed.Billed:
				if d.Bill.Of == actual.EnergyCost {
					if energy[d.Bill.Month] {
						t.Errorf("at %s: %s has two bills of energy", now, d.Bill.Month)
					}
					energy[d.Bill.Month] = true
				}
			case seed.Planned:
				if planned[d.Plan.Month] {
					t.Errorf("at %s: %s has two plans", now, d.Plan.Month)
				}
				planned[d.Plan.Month] = true
			}
		}
	}
	if !reflect.DeepEqual(seed.MoveTo(seed.Today).Year(year), year) {
		t.Error("moved to its own day, the year is another")
	}
	if closed := seed.MoveTo(day.Must("2027-03-01")).Capacity(seed.Capacity()).Closed; len(closed) == 0 || closed[0] != day.Must("2027-03-26") {
		t.Errorf("closed on %v, want from 2027-03-26", closed)
	}
}
