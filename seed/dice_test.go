package seed

import (
	"slices"
	"testing"
)

// The first throws are pinned: the year must not change with a release of the
// language.
func TestDiceStayTheSame(t *testing.T) {
	for stream, want := range map[int][]int{
		0:  {238, 934, 550, 619, 103, 720},
		1:  {10, 356, 609, 164, 99, 268},
		-2: {533, 38, 585, 192, 261, 27},
	} {
		d := newDice(stream)
		var got []int
		for range 6 {
			got = append(got, d.below(1000))
		}
		if !slices.Equal(got, want) {
			t.Errorf("newDice(%d): throws %v, want %v", stream, got, want)
		}
	}
}

func TestDiceStayInRange(t *testing.T) {
	d := newDice(7)
	seen := map[int]int{}
	for range 6000 {
		seen[d.between(-2, 3)]++
	}
	for n := -2; n <= 3; n++ {
		if seen[n] < 800 || seen[n] > 1200 { // 1000 expected; 7 standard deviations
			t.Errorf("between(-2, 3) gave %d %d times of 6000, want about 1000", n, seen[n])
		}
	}
	if len(seen) != 6 {
		t.Errorf("between(-2, 3) gave %v, want −2 to 3", seen)
	}
	drawn := map[string]int{}
	for range 6000 {
		drawn[draw(d, []share[string]{{1, "a"}, {0, "b"}, {5, "c"}})]++
	}
	if drawn["b"] != 0 || drawn["a"] < 800 || drawn["a"] > 1200 {
		t.Errorf("draw by 1 : 0 : 5 gave %v of 6000", drawn)
	}
}
