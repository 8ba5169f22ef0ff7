package reference_test

import (
	"testing"

	"marchpane/pricing/reference"
)

// A recipe asks for each of its lines; a page of them must not wait.
func BenchmarkWeigh(b *testing.B) {
	for b.Loop() {
		reference.Weigh("sifted flour", "ml")
	}
}

func BenchmarkFindNothing(b *testing.B) {
	for b.Loop() {
		reference.Find("something unheard of")
	}
}
