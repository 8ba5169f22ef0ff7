package stack_test

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
)

// A cake doubled in every size has no drift at all.
func TestRescale(t *testing.T) {
	owned := tins(t, "round 100 mm", "round 150 mm", "round 200 mm", "round 250 mm", "round 300 mm", "round 400 mm", "square 200 mm", "hexagon 150 mm")
	for _, c := range []struct {
		pattern book.Cake
		r       stack.Request
		want    string
	}{
		// 400 mm: rings of 43, 31, 18 and 6; with 24 and 6 of 200 mm 122 in all.
		{pattern(t, "round 200 mm", "round 100 mm"), stack.Request{Guests: 115}, "122: round 400, round 200, drift 0.000"},
		// 60 guests leave 6 to spare: 61 by 300 + 100, a ratio of 3 : 2 to 1.
		{pattern(t, "round 200 mm", "round 100 mm"), stack.Request{Guests: 60}, "61: round 300, round 100, drift 0.500"},
		{pattern(t, "round 200 mm", "round 100 mm"), stack.Request{Guests: 63}, "68: round 300, round 150, drift 0.000"},
		// A square on a hexagon stays one; the hexagon's area holds ⌊584.57 ÷ 12.5⌋ = 46.
		{pattern(t, "hexagon 180 mm", "round 150 mm"), stack.Request{Guests: 50}, "52: hexagon 150, round 100, drift 0.250"},
	} {
		c.r.Tins, c.r.Pattern = owned, c.pattern
		found, err := stack.Rescale(c.r)
		if err != nil {
			t.Errorf("%d guests: %v", c.r.Guests, err)
			continue
		}
		if got := fmt.Sprintf("%d: %s, drift %s", found[0].Served, sizes(found[0]), found[0].Drift.Fixed(3)); got != c.want {
			t.Errorf("%d guests: Rescale = %s, want %s", c.r.Guests, got, c.want)
		}
	}
}

// The design keeps what the pattern is made of and loses what is of its size.
func TestDesign(t *testing.T) {
	c := pattern(t, "round 240 mm", "round 180 mm", "round 120 mm")
	c.Description, c.Price.Given = record.Some("For 60."), true
	c.Target = &book.Target{Fixed: c.Price}
	c.Parts = []book.Part{{Use: "board", Qty: measure.Must("1 each")}}
	for i, use := range []book.ID{"plain", "lemon", "fruit"} {
		c.Tiers[i].Parts = []book.Part{{Use: use, Qty: measure.Must("1 g")}}
	}
	c.Tiers[0].Portions = record.Some(99) // of its own size only
	c.Tiers[2].Kept = record.Some(true)
	all := stack.AnySize(c.Tiers[0].Solid().Outline)
	found, err := stack.Rescale(stack.Request{Guests: 80, Pattern: c, Tins: all})
	if err != nil {
		t.Fatal(err)
	}
	got := found[0].Cake
	if !got.Description.Given || got.Price.Given || got.Target != nil || len(got.Parts) != 1 {
		t.Errorf("the design keeps its price or target, or loses its parts or description: %+v", got)
	}
	if !got.Tiers[2].Kept.Or(false) || got.Tiers[1].Kept.Or(false) || got.Tiers[0].Portions.Given {
		t.Errorf("the design keeps the wrong tiers, or a number of portions: %+v", got.Tiers)
	}
	if found[0].Made == found[0].Served || found[0].Served < 80 {
		t.Errorf("made %d, served %d, want more made than served and at least 80", found[0].Made, found[0].Served)
	}
	five, err := stack.Propose(stack.Request{Guests: 150, Pattern: c, Tins: all, MinTiers: 5})
	if err != nil {
		t.Fatal(err)
	}
	if five[0].Cake.Description.Given {
		t.Error("five tiers are described as three")
	}
	var uses, names []string
	for _, tier := range five[0].Cake.Tiers {
		uses, names = append(uses, string(tier.Parts[0].Use)), append(names, tier.Name)
	}
	if strings.Join(uses, " ") != "plain lemon lemon lemon fruit" {
		t.Errorf("five tiers are made of %v", uses)
	}
	if strings.Join(names, ", ") != "tier 1, tier 2, tier 2 2, tier 2 3, tier 3" {
		t.Errorf("five tiers are called %v", names)
	}
	if len(c.Tiers) != 3 || !c.Tiers[0].Portions.Given {
		t.Error("the pattern was changed")
	}
}

// TestRescaleAgainstBruteForce tries every tin at every tier.
func TestRescaleAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3).Draw(t, "tiers")
		c := book.Cake{Name: "P", Portion: fingers("25 mm", "50 mm")}
		was := make([]int, n)
		kinds := make([]shape.Kind, n)
		for i := range was {
			was[i] = 5 * rapid.IntRange(20, 60).Draw(t, "was")
			kinds[i] = rapid.SampledFrom([]shape.Kind{shape.Round, shape.Square}).Draw(t, "form")
			if i > 0 {
				kinds[i] = kinds[0]
			}
			c.Tiers = append(c.Tiers, book.Tier{Name: fmt.Sprint(i), Form: form(kinds[i], was[i])})
		}
		c.Tiers[n-1].Kept.Given = n > 1
		c.Tiers[n-1].Kept.Value = rapid.Bool().Draw(t, "kept")
		gap := rapid.SampledFrom([]int{0, 10, 25}).Draw(t, "step")
		r := stack.Request{Guests: rapid.IntRange(5, 120).Draw(t, "guests"), Pattern: c, Show: rapid.IntRange(1, 4).Draw(t, "show"), Step: measure.Must(fmt.Sprintf("%d mm", gap))}
		var mm []int
		for range rapid.IntRange(1, 9).Draw(t, "tins") {
			size := 5 * rapid.IntRange(20, 70).Draw(t, "size")
			if !slices.Contains(mm, size) {
				mm = append(mm, size)
				f := form(kinds[0], size)
				r.Tins = append(r.Tins, book.Tin{Mould: book.Mould{Shape: f.Shape, Diameter: f.Diameter, Side: f.Side}})
			}
		}
		want := plainLook(t, r, kinds[0], was, mm, gap)
		found, err := stack.Rescale(r)
		if err != nil {
			var none *stack.NoFit
			if !errors.As(err, &none) || len(want) > 0 {
				t.Fatalf("Rescale = %v, want %v", err, want)
			}
			return
		}
		var got []string
		for _, p := range found {
			got = append(got, fmt.Sprintf("%s, %d", sizes(p), p.Served))
		}
		if !slices.Equal(got, want[:min(len(want), r.Show)]) {
			t.Fatalf("Rescale = %v, want %v", got, want[:min(len(want), r.Show)])
		}
	})
}

func form(kind shape.Kind, mm int) book.Form {
	f := book.Form{Shape: kind, Height: measure.Must("10 cm")}
	if size := measure.Must(fmt.Sprintf("%d mm", mm)); kind == shape.Round {
		f.Diameter = size
	} else {
		f.Side = size
	}
	return f
}

func plainLook(t *rapid.T, r stack.Request, kind shape.Kind, was, mm []int, gap int) []string {
	type look struct {
		chain          []int
		served, square int // square: the sum of the squared sizes, as the volume grows
		drift          exact.Number
	}
	var all []look
	var try func(chain []int)
	try = func(chain []int) {
		if len(chain) < len(was) {
			for _, size := range mm {
				if n := len(chain); n == 0 || chain[n-1]-size >= 2*gap && chain[n-1] != size {
					try(append(slices.Clone(chain), size))
				}
			}
			return
		}
		l := look{chain: chain}
		lo, hi := exact.Frac(int64(chain[0]), int64(was[0])), exact.Frac(int64(chain[0]), int64(was[0]))
		for i, size := range chain {
			n, err := form(kind, size).Solid().Outline.Fingers(measure.Must("25 mm"), measure.Must("50 mm"))
			if err != nil {
				t.Fatal(err)
			}
			if !r.Pattern.Tiers[i].Kept.Or(false) {
				l.served += n
			}
			l.square += size * size
			ratio := exact.Frac(int64(size), int64(was[i]))
			hi = exact.Max(hi, ratio)
			if ratio.Cmp(lo) < 0 {
				lo = ratio
			}
		}
		l.drift = hi.Quo(lo)
		all = append(all, l)
	}
	try(nil)
	spare := -1
	for _, l := range all {
		if s := l.served - r.Guests; s >= 0 && (spare < 0 || s < spare) {
			spare = s
		}
	}
	all = slices.DeleteFunc(all, func(l look) bool {
		s := l.served - r.Guests
		return s < 0 || s > max(spare, r.Guests/10)
	})
	slices.SortFunc(all, func(a, b look) int {
		return cmp.Or(a.drift.Cmp(b.drift), cmp.Compare(a.served, b.served), cmp.Compare(a.square, b.square), -slices.Compare(a.chain, b.chain))
	})
	texts := make([]string, len(all))
	for k, l := range all {
		words := make([]string, len(l.chain))
		for i, size := range l.chain {
			words[i] = fmt.Sprintf("%s %d", kind, size)
		}
		texts[k] = fmt.Sprintf("%s, %d", strings.Join(words, ", "), l.served)
	}
	return texts
}
