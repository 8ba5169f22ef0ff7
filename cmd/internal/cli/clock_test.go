package cli

import (
	"testing"
	"time"
)

// A time of day is the last one that has been; a day with it is taken at its
// word.
func TestMoment(t *testing.T) {
	zone := time.FixedZone("CET", 3600)
	env := &Env{Now: func() time.Time { return time.Date(2026, 11, 25, 14, 30, 5, 0, zone) }}
	for text, want := range map[string]string{
		"14:30": "2026-11-25 14:30", "00:05": "2026-11-25 00:05", "14:31": "2026-11-24 14:31", "23:59": "2026-11-24 23:59",
		"2026-11-20T09:10": "2026-11-20 09:10", "2026-11-26 08:00": "2026-11-26 08:00",
	} {
		got, err := env.moment(text)
		if err != nil || got.Format("2006-01-02 15:04") != want || got.Location() != zone {
			t.Errorf("moment(%q) = %s, %v, want %s", text, got, err, want)
		}
	}
	for _, text := range []string{"noon", "25:00", "14.30", "2026-11-20"} {
		if got, err := env.moment(text); err == nil {
			t.Errorf("moment(%q) = %s, want a refusal", text, got)
		}
	}
	if got, err := env.moment(""); err != nil || !got.IsZero() {
		t.Errorf("moment of nothing = %s, %v, want none", got, err)
	}
}

func TestSpacedQuantity(t *testing.T) {
	for text, want := range map[string]string{"200g": "200 g", " 1.2 kg": "1.2 kg", "1.5us cup": "1.5 us cup", "g": "g", "12": "12", "-5 g": "-5 g"} {
		if got := spacedQuantity(text); got != want {
			t.Errorf("spacedQuantity(%q) = %q, want %q", text, got, want)
		}
	}
}
