package reference_test

import (
	"testing"

	"marchpane/pricing/reference"
)

// FuzzWeigh: whatever a recipe says, a weight is above zero and has a source.
func FuzzWeigh(f *testing.F) {
	for _, words := range []string{"sifted flour", "large eggs", "2 % milk", "Œufs (taille M)", "", "   ", "sifted", "large large large", "\xff", "½", "crème fraîche épaisse"} {
		for _, unit := range []string{"ml", "each", "pinch", "sachet", ""} {
			f.Add(words, unit)
		}
	}
	f.Fuzz(func(t *testing.T, words, unit string) {
		if grams, source, ok := reference.Weigh(words, unit); ok && (grams.Sign() <= 0 || source == "") {
			t.Errorf("Weigh(%q, %q) = %s by %q", words, unit, grams.Text(), source)
		}
		last := reference.Confidence(1000)
		for _, m := range reference.Find(words) {
			if m.Confidence > last || m.Confidence <= 0 {
				t.Errorf("Find(%q) is out of order: %s after %s", words, m.Confidence, last)
			}
			last = m.Confidence
		}
	})
}
