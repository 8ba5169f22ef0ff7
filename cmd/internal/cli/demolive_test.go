package cli

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/month"
	"marchpane/seed"
	"marchpane/store"
)

// Whenever someone looks around in the demo, there are cakes to make in the next
// weeks and nothing has happened that is still to come.
func TestLiveDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("lives two years")
	}
	for _, text := range []string{"2027-03-01", "2028-02-29"} {
		now := day.Must(text)
		at := now.Time().Add(9 * time.Hour)
		path := filepath.Join(t.TempDir(), "studio.db")
		if err := makeDemoYear(t.Context(), path, at, seed.MoveTo(now), func(float64) {}); err != nil {
			t.Fatalf("at %s: %v", now, err)
		}
		s, err := store.Open(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		soon, err := s.Orders(t.Context(), now, now.AddDays(13))
		if err != nil || len(soon) < 3 {
			t.Errorf("at %s: %d orders in the next two weeks (%v), want some", now, len(soon), err)
		}
		quotes, err := s.Quotes(t.Context(), now)
		if err != nil || len(quotes) < 200 {
			t.Errorf("at %s: %d quotes (%v), want a year of them", now, len(quotes), err)
		}
		for _, q := range quotes {
			if q.IssuedOn > now.String() {
				t.Errorf("at %s: %s was issued on %s", now, q.Ref(), q.IssuedOn)
			}
		}
		capacity, _, err := s.Capacity(t.Context())
		if err != nil || len(capacity.Roles) == 0 {
			t.Errorf("at %s: no hours are stated (%v)", now, err)
		}
		env := System()
		env.Now = func() time.Time { return at }
		r, err := NewDesk(env).Report(t.Context(), s, monthBefore(t, now.AddDays(-45)), now)
		if err != nil || r.Empty() || !strings.HasPrefix(r.Title, now.AddDays(-45).String()[:7]) {
			t.Errorf("at %s: the report is %q (%v)", now, r.Title, err)
		}
	}
}

func monthBefore(t *testing.T, on day.Date) month.Span {
	t.Helper()
	span, err := month.ParseSpan(on.String()[:len("2027-01")])
	if err != nil {
		t.Fatal(err)
	}
	return span
}
