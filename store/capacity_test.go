package store_test

import (
	"errors"
	"reflect"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/schedule"
	"marchpane/store"
)

var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

func TestCapacity(t *testing.T) {
	s, db := fresh(t)
	none := func(*book.Index, *schedule.Capacity) error { return nil }
	if _, err := s.ChangeCapacity(t.Context(), noon, none); !errors.Is(err, store.ErrEmpty) {
		t.Errorf("ChangeCapacity without a book = %v, want ErrEmpty", err)
	}
	importBook(t, s, demoBook(t), false)
	if c, stated, err := s.Capacity(t.Context()); err != nil || stated || !reflect.DeepEqual(c, schedule.Usual()) {
		t.Errorf("Capacity() of a studio that stated none = %+v, %v, %v", c, stated, err)
	}
	want := schedule.Capacity{
		Opens: 7*60 + 30, Closes: 17 * 60, Works: [7]bool{1: true, 2: true, 6: true},
		Closed: []day.Date{day.Must("2026-12-24"), day.Must("2026-12-25")}, Open: []day.Date{day.Must("2027-06-06")},
		Roles:      map[book.ID]schedule.Hours{"decorator": {Week: [7]int{0, 240, 480}, On: map[day.Date]int{day.Must("2026-12-23"): 0}}},
		Appliances: map[book.ID]schedule.Hours{"oven": schedule.EveryDay(360)},
	}
	for range 2 { // the second time over the first
		got, err := s.ChangeCapacity(t.Context(), noon, func(_ *book.Index, c *schedule.Capacity) error { *c = want; return nil })
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Fatalf("ChangeCapacity = %+v, %v", got, err)
		}
	}
	stands := func(when string) {
		t.Helper()
		if got, stated, err := s.Capacity(t.Context()); err != nil || !stated || !reflect.DeepEqual(got, want) {
			t.Errorf("Capacity() %s = %+v, %v, %v, want %+v", when, got, stated, err, want)
		}
	}
	stands("once stated")
	for name, change := range map[string]func(c *schedule.Capacity) error{
		"a role that is not there":       func(c *schedule.Capacity) error { c.Roles["nobody"] = schedule.EveryDay(60); return nil },
		"an appliance that is not there": func(c *schedule.Capacity) error { c.Appliances["kiln"] = schedule.EveryDay(60); return nil },
		"no working day":                 func(c *schedule.Capacity) error { c.Works = [7]bool{}; return nil },
		"a day of no length":             func(c *schedule.Capacity) error { c.Opens = c.Closes; return nil },
	} {
		_, err := s.ChangeCapacity(t.Context(), noon, func(_ *book.Index, c *schedule.Capacity) error { return change(c) })
		if !errors.Is(err, store.ErrConflict) {
			t.Errorf("%s: %v, want ErrConflict", name, err)
		}
		stands("after " + name + " was refused")
	}
	own := errors.New("changed my mind")
	if _, err := s.ChangeCapacity(t.Context(), noon, func(_ *book.Index, c *schedule.Capacity) error { c.Opens = 0; return own }); !errors.Is(err, own) {
		t.Errorf("a change that fails = %v", err)
	}
	stands("after a change failed")
	checkFile(t, db)
	if err := s.ForgetCapacity(t.Context()); err != nil {
		t.Fatal(err)
	}
	if c, stated, err := s.Capacity(t.Context()); err != nil || stated || !reflect.DeepEqual(c, schedule.Usual()) {
		t.Errorf("Capacity() once forgotten = %+v, %v, %v", c, stated, err)
	}
}
