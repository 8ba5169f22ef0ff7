package stack

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// What a further tin makes possible is what the whole search says that is given
// that tin too.
func TestFurtherTinAgainstTheWholeSearch(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	kinds := []string{"round", "square", "rectangle", "hexagon", "heart"}
	any := func(list []string) string { return list[rng.IntN(len(list))] }
	one := func(kind string) book.Tin {
		text := fmt.Sprintf("%s %d mm", kind, 100+rng.IntN(10)*25)
		if kind == "rectangle" {
			text += fmt.Sprintf(" x %d mm", 100+rng.IntN(10)*25)
		}
		if rng.IntN(3) == 0 {
			text += fmt.Sprint(" x", 1+rng.IntN(3))
		}
		tin, err := ParseTin(text)
		if err != nil {
			t.Fatal(err)
		}
		return tin
	}
	gained := 0
	for range 1500 {
		few := kinds[:1+rng.IntN(len(kinds))]
		r := Request{Guests: 1, Mixed: rng.IntN(2) == 0, KeepTop: rng.IntN(3) == 0, MinTiers: 1 + rng.IntN(2), MaxTiers: 2 + rng.IntN(4),
			Step: measure.Must(any([]string{"0 mm", "10 mm", "25 mm", "40 mm"})), Cut: []*book.Portion{UsualFinger(), {Cut: book.Wedge, Count: record.Some(12)}}[rng.IntN(2)]}
		if rng.IntN(3) == 0 {
			r.Shape = shape.Kind(any(few))
		}
		for range rng.IntN(9) {
			r.Tins = append(r.Tins, one(any(few)))
		}
		r.Pattern = book.Cake{Name: "Pattern"}
		for i := range 1 + rng.IntN(3) {
			tier := book.Tier{Name: fmt.Sprint("tier ", i), Form: one(any(few)).Form()}
			tier.Height = measure.Must(any([]string{"100 mm", "120 mm"}))
			tier.Kept = record.Some(rng.IntN(4) == 0)
			r.Pattern.Tiers = append(r.Pattern.Tiers, tier)
		}
		if rng.IntN(4) == 0 {
			r.MaxHeight = measure.Must(any([]string{"150 mm", "250 mm", "400 mm"}))
		}
		fields := (*problem).spread
		if rng.IntN(3) == 0 {
			fields = (*problem).reflect
			var err error
			if r, err = likeness(r); err != nil {
				t.Fatal(err)
			}
		}
		further := one(any(few))
		if r.Shape != "" {
			further = one(string(r.Shape))
		}
		further.Owned = record.Maybe[int]{}

		counting := r
		counting.counted = &counted{map[baked]int{}, map[string]tin{}}
		tr := trial{Request: counting, fields: fields}
		p, ok := tr.problem(counting)
		if !ok {
			t.Fatalf("no problem of %+v", r)
		}
		without := p.serves()
		got := max(without, p.servesWith(further, p.below()))
		r.Tins = append(slices.Clone(r.Tins), further)
		if want := tr.serves(r); got != want {
			t.Fatalf("with one more %s on %v: %d, want %d\n%+v", further, r.Tins, got, want, r)
		}
		if got > without {
			gained++
		}
	}
	if gained < 300 {
		t.Errorf("a further tin makes a difference in %d cases alone", gained)
	}
}
