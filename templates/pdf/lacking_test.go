package pdf

import (
	"slices"
	"testing"
)

// The faces have Latin, Greek, Cyrillic, Hebrew and Arabic letters, and neither
// emoji nor Chinese.
func TestLacking(t *testing.T) {
	for in, want := range map[string][]string{
		"Zoë Šimková, Straße 5 — 1 × ½": nil, "Ωμέγα Жук שלום سلام": nil, "": nil,
		"Cake 🎂 for 🎂 and 王": {"🎂", "王"},
		"👩\u200d🍳\ufe0f":     {"👩", "🍳"},
	} {
		if got := Lacking(in); !slices.Equal(got, want) {
			t.Errorf("Lacking(%q) = %q, want %q", in, got, want)
		}
	}
}
