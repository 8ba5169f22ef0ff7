package book_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/record"
)

// TestValidateBesides takes away from random books, one at a time, what their
// cakes may use. Of the cakes whose faults nobody asks after it finds none, and
// of all else it finds what [book.Validate] finds.
func TestValidateBesides(t *testing.T) {
	faulty := 0
	for seed := range uint64(30) {
		whole, err := book.Parse(randombook.New(seed).Book())
		if err != nil {
			t.Fatal(err)
		}
		for i := range whole.Components {
			b := whole
			b.Components = slices.Delete(slices.Clone(whole.Components), i, i+1)
			all := book.Validate(b)
			for _, list := range []string{"cakes", "extras"} {
				got := book.ValidateBesides(b, func(of string, at int) bool { return of == list && at%2 == 0 })
				want := record.Faults{}
				for _, f := range all {
					var at int
					if n, _ := fmt.Sscanf(f.Path, list+"[%d]", &at); n == 1 && at%2 == 0 && !strings.HasSuffix(f.Path, "].id") {
						faulty++
						continue
					}
					want = append(want, f)
				}
				if fmt.Sprint(got) != fmt.Sprint(want) {
					t.Errorf("book %d without %s, besides %s: %v, want %v", seed, whole.Components[i].ID, list, got, want)
				}
			}
		}
	}
	if faulty == 0 {
		t.Error("nothing that was taken away was missed by a cake; the test looks at nothing")
	}
}
