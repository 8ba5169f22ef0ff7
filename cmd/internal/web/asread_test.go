package web

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
)

// TestHeldTogether against a regular expression that says the same.
func TestHeldTogether(t *testing.T) {
	said := regexp.MustCompile(`([0-9]) (k?g|c?l|ml|[cm]?m|min|h|k?Wh?)\b`)
	parts := []string{"1", "2.5", " ", " ", "g", "kg", "g/ml", "cm", "cm²", "mm", "m", "min", "h", "kWh", "W", "a", "of", ",", "_", "è", "× 3"}
	rng := rand.New(rand.NewPCG(7, 1))
	changed := 0
	for range 20_000 {
		var b strings.Builder
		for range rng.IntN(9) {
			b.WriteString(parts[rng.IntN(len(parts))])
		}
		text := b.String()
		want := said.ReplaceAllString(text, "$1\u00a0$2")
		if got := heldTogether(text); got != want {
			t.Fatalf("heldTogether(%q) = %q, want %q", text, got, want)
		}
		if want != text {
			changed++
		}
	}
	if changed < 100 {
		t.Errorf("only %d of the texts had a unit", changed)
	}
}
