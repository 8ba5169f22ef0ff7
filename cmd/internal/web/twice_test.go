package web

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestPressedTwice presses buttons twice in a row, one after the other and both
// at once: what was asked for happens once, and the second press ends on the page
// of the first.
func TestPressedTwice(t *testing.T) {
	now := testNow
	var mu sync.Mutex
	clock := func(o *Options) {
		o.Now = func() time.Time {
			mu.Lock()
			defer mu.Unlock()
			return now
		}
	}
	later := func(by time.Duration) {
		mu.Lock()
		defer mu.Unlock()
		now = now.Add(by)
	}
	v := visitStudio(t, true, clock)
	count := func(path, what string) int { return strings.Count(v.get(path).body, what) }
	asks := []string{"name", "Oona Twice", "guests", "40", "received", "2026-11-25"}

	// Before a visitor has a session, as on the first press of a day.
	first, second := v.post("/enquiries/new", asks...), v.post("/enquiries/new", asks...)
	if first.path != second.path || !strings.HasPrefix(first.path, "/enquiries/E") {
		t.Errorf("pressed twice led to %s and %s, want one enquiry", first.path, second.path)
	}
	if n := count("/clients?q=oona", ">Oona Twice<"); n != 1 {
		t.Errorf("pressed twice made %d clients, want 1", n)
	}

	// Meant, some time later or after something else, it is done again.
	later(twiceTime + time.Second)
	if again := v.post("/enquiries/new", asks...); again.path == first.path {
		t.Errorf("the same asked for later led to %s again, want another enquiry", again.path)
	}
	v.post("/clients/new", "name", "Someone Between")
	if v.post("/enquiries/new", asks...); count("/clients?q=oona", ">Oona Twice<") != 3 {
		t.Errorf("after something else %d clients, want 3", count("/clients?q=oona", ">Oona Twice<"))
	}

	// Faults are no success to lead back to.
	for range 2 {
		if a := v.post("/clients/new", "name", ""); a.status != 422 || !strings.Contains(a.body, "Nothing was saved yet") {
			t.Errorf("a form with faults sent again: %d", a.status)
		}
	}

	// Two presses at once.
	var all sync.WaitGroup
	paths := make([]string, 6)
	for i := range paths {
		all.Go(func() { paths[i] = v.post("/clients/new", "name", "Press Hard").path })
	}
	all.Wait()
	for _, p := range paths {
		if p != paths[0] {
			t.Errorf("pressed at once led to %v, want one client", paths)
			break
		}
	}
	// Another browser with the same words is somebody else.
	other := v.another()
	other.get("/clients/new")
	other.post("/shortcuts", "keys", "on")
	if a := other.post("/clients/new", "name", "Press Hard"); a.path == paths[0] {
		t.Errorf("another browser's client led to %s", a.path)
	}
}

// TestSendingsAreBounded sends from more visitors than are remembered.
func TestSendingsAreBounded(t *testing.T) {
	var s sendings
	now := func() time.Time { return testNow }
	for i := range 3 * mostSendings {
		it, _ := s.begin(fmt.Sprint(i), sending{}, now)
		close(it.ended)
		if len(s.by) > mostSendings {
			t.Fatalf("%d sendings are remembered, want at most %d", len(s.by), mostSendings)
		}
	}
}

// later lets so much time pass that the same form sent again is another.
func (v *visitor) later() {
	v.server.sendings.mu.Lock()
	defer v.server.sendings.mu.Unlock()
	v.server.sendings.by = nil
}
