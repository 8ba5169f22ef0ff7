package web

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/enquiry"
)

// A search through all texts at once finds what one through each of them does.
func TestTextsWithEveryWord(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	word := func(most int) string {
		b := make([]byte, rng.IntN(most+1))
		for i := range b {
			b[i] = "ab"[rng.IntN(2)]
		}
		return string(b)
	}
	found := 0
	for range 3000 {
		var list []string
		var all texts
		for range rng.IntN(12) {
			list = append(list, word(4)+" "+word(4))
			all.all += list[len(list)-1] + "\n"
			all.ends = append(all.ends, len(all.all))
		}
		var terms []enquiry.Term
		for range rng.IntN(3) {
			terms = append(terms, enquiry.Terms(word(2)+"a")...)
		}
		var want []int
		for i, text := range list {
			if !slices.ContainsFunc(terms, func(term enquiry.Term) bool { return !strings.Contains(text, term.Text) }) {
				want = append(want, i)
			}
		}
		if got := all.with(terms); !slices.Equal(got, want) {
			t.Fatalf("%q with %v = %v, want %v", list, terms, got, want)
		}
		found += len(want)
	}
	if found < 1000 {
		t.Errorf("only %d were to be found", found)
	}
}

// TestFoldings: whatever was folded before, texts come out as they are now.
func TestFoldings(t *testing.T) {
	var f foldings
	for _, list := range [][]string{{"Crème", "Zest"}, {"Zest", "CRÈME", "Crème"}, {}, {"Brûlée"}} {
		for _, key := range []string{"cakes", "recipes"} {
			got := f.texts(key, len(list), func(i int) string { return list[i] })
			want := ""
			for i, text := range list {
				if want += enquiry.Fold(text) + "\n"; got.ends[i] != len(want) {
					t.Errorf("%q of %q ends at %d, want %d", text, list, got.ends[i], len(want))
				}
			}
			if got.all != want {
				t.Errorf("%q = %q, want %q", list, got.all, want)
			}
		}
	}
	for i := range 3 * mostFolded {
		f.texts(string(rune('a'+i)), 1, func(int) string { return "Zest" })
	}
	if len(f.known) > mostFolded {
		t.Errorf("%d lists are kept", len(f.known))
	}
}
