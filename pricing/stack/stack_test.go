package stack_test

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
)

func tin(t testing.TB, text string) book.Tin {
	t.Helper()
	b, err := stack.ParseTin(text)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func tins(t testing.TB, list ...string) []book.Tin {
	t.Helper()
	all := make([]book.Tin, len(list))
	for i, text := range list {
		all[i] = tin(t, text)
	}
	return all
}

func fingers(width, depth string) *book.Portion {
	return &book.Portion{Cut: book.Finger, Width: measure.Must(width), Depth: measure.Must(depth)}
}

// pattern is a cake of tiers of these sizes, cut 25 × 50 mm.
func pattern(t testing.TB, sizes ...string) book.Cake {
	t.Helper()
	c := book.Cake{ID: "pattern", Name: "Pattern", Portion: fingers("25 mm", "50 mm")}
	for i, s := range sizes {
		tier := book.Tier{Name: fmt.Sprintf("tier %d", i+1), Form: tin(t, s).Form()}
		if !tier.Height.Given() {
			tier.Height = measure.Must("100 mm")
		}
		c.Tiers = append(c.Tiers, tier)
	}
	return c
}

// sizes writes the tins of a proposal from the bottom up.
func sizes(p stack.Proposal) string {
	words := make([]string, len(p.Tins))
	for i, t := range p.Tins {
		words[i] = strings.TrimSuffix(t.String(), " mm")
	}
	return strings.Join(words, ", ")
}

// Portions of rounds cut 25 × 50 mm, by the formula of package shape: 100 mm 6,
// 150 mm 12 + 1, 200 mm 18 + 6, 250 mm 25 + 12 + 1, 300 mm 31 + 18 + 6; by hand.
func TestPropose(t *testing.T) {
	owned := tins(t, "round 100 mm", "round 150 mm", "round 200 mm x2", "round 250 mm", "round 300 mm", "square 200 mm", "square 250 mm")
	for _, c := range []struct {
		name string
		r    stack.Request
		want string
	}{
		{"one tier serves exactly", stack.Request{Guests: 55, Shape: shape.Round}, "55: round 300"},
		{"two tiers", stack.Request{Guests: 61, Shape: shape.Round}, "61: round 300, round 100"},
		{"the least spare", stack.Request{Guests: 50, Shape: shape.Round}, "51: round 250, round 150"},
		{"the top kept", stack.Request{Guests: 55, Shape: shape.Round, KeepTop: true}, "55: round 300, round 100"},
		{"at least two tiers", stack.Request{Guests: 54, Shape: shape.Round, MinTiers: 2}, "57: round 250, round 150, round 100"},
		{"at most 20 cm high", stack.Request{Guests: 70, Shape: shape.Round, MaxHeight: measure.Must("20 cm")}, "79: round 300, round 200"},
		{"fewer tiers before less volume", stack.Request{Guests: 24, Shape: shape.Round, MaxHeight: measure.Must("30 cm"), Cut: &book.Portion{Cut: book.Wedge, Count: record.Some(24)}}, "24: round 100"},
		{"any shape", stack.Request{Guests: 50}, "50: square 250"},
		{"a step of 50 mm a side", stack.Request{Guests: 62, Shape: shape.Round, Step: measure.Must("50 mm")}, "68: round 300, round 150"},
		{"equal tins without a step", stack.Request{Guests: 48, Shape: shape.Round, Step: measure.Must("0 mm")}, "48: round 200, round 200"},
		{"but only as many as are owned", stack.Request{Guests: 72, Shape: shape.Round, Step: measure.Must("0 mm"), MaxTiers: 3}, "74: round 300, round 150, round 100"},
		{"mixed", stack.Request{Guests: 55, Mixed: true, MinTiers: 2}, "56: square 250, round 100"},
		{"wedges", stack.Request{Guests: 24, Shape: shape.Round, Cut: &book.Portion{Cut: book.Wedge, Count: record.Some(12)}}, "24: round 150, round 100"},
	} {
		c.r.Tins, c.r.Pattern = owned, pattern(t, "round 300 mm", "round 200 mm")
		found, err := stack.Propose(c.r)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := fmt.Sprintf("%d: %s", found[0].Served, sizes(found[0])); got != c.want {
			t.Errorf("%s: Propose = %s, want %s", c.name, got, c.want)
		}
	}
}

// TestProposeAgainstBruteForce lists every sequence of tins, however silly, and
// keeps what the rules allow.
func TestProposeAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := stack.Request{
			Pattern:  book.Cake{Name: "P", Portion: fingers("25 mm", rapid.SampledFrom([]string{"50 mm", "25 mm", "40 mm"}).Draw(t, "depth"))},
			KeepTop:  rapid.Bool().Draw(t, "keep"),
			Step:     measure.Must(rapid.SampledFrom([]string{"0 mm", "10 mm", "25 mm", "33 mm"}).Draw(t, "step")),
			MinTiers: rapid.IntRange(1, 3).Draw(t, "least tiers"),
			Guests:   rapid.IntRange(1, 160).Draw(t, "guests"),
			Show:     rapid.IntRange(1, 5).Draw(t, "show"),
			Shape:    rapid.SampledFrom([]shape.Kind{"", "", shape.Round, shape.Square}).Draw(t, "shape"),
		}
		r.MaxTiers = r.MinTiers + rapid.IntRange(0, 2).Draw(t, "more tiers")
		if rapid.Bool().Draw(t, "limited") {
			r.MaxHeight = measure.Must(rapid.SampledFrom([]string{"15 cm", "25 cm", "33 cm", "45 cm"}).Draw(t, "height"))
		}
		for i := range rapid.IntRange(1, 3).Draw(t, "tiers") {
			tier := book.Tier{Name: fmt.Sprint(i), Form: book.Form{Shape: shape.Round, Diameter: measure.Must("20 cm"), Height: measure.Must(rapid.SampledFrom([]string{"80 mm", "100 mm", "12 cm"}).Draw(t, "high"))}}
			switch rapid.IntRange(0, 5).Draw(t, "tier") {
			case 0:
				tier.Dummy = record.Some(true)
			case 1:
				tier.Portion = fingers("40 mm", "40 mm")
			case 2:
				tier.Portion = &book.Portion{Cut: book.Wedge, Count: record.Some(10)}
			}
			r.Pattern.Tiers = append(r.Pattern.Tiers, tier)
		}
		for range rapid.IntRange(1, 6).Draw(t, "tins") {
			m := book.Mould{Shape: rapid.SampledFrom([]shape.Kind{shape.Round, shape.Square}).Draw(t, "form")}
			size := measure.Must(fmt.Sprintf("%d mm", 5*rapid.IntRange(20, 70).Draw(t, "size")))
			if m.Shape == shape.Round {
				m.Diameter = size
			} else {
				m.Side = size
			}
			b := book.Tin{Mould: m}
			if n := rapid.IntRange(0, 3).Draw(t, "owned"); n != 1 {
				b.Owned = record.Some(n)
			}
			r.Tins = append(r.Tins, b)
		}
		want := plain(t, r)
		found, err := stack.Propose(r)
		if err != nil {
			var none *stack.NoFit
			if !errors.As(err, &none) || len(want) > 0 {
				t.Fatalf("Propose = %v, want %v", err, want)
			}
			return
		}
		var got []string
		for _, p := range found {
			got = append(got, fmt.Sprintf("%d of %d: %s, %s cm3", p.Served, p.Made, sizes(p), p.Volume.Fixed(3)))
		}
		if !slices.Equal(got, want[:min(len(want), r.Show)]) {
			t.Fatalf("Propose =\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want[:min(len(want), r.Show)], "\n"))
		}
	})
}

// heap is a stack that plain found.
type heap struct {
	text         string
	tiers, spare int
	volume       exact.Number
	order        []string
}

// plain answers a request by trying everything: every tin at every tier.
func plain(t *rapid.T, r stack.Request) []string {
	type one struct {
		book.Tin
		mm, owned int
	}
	var all []one // one of each form and size
	for _, b := range r.Tins {
		o := one{Tin: b, mm: int(b.Outline().Sizes()[0].Base(measure.Metric).Floor().Int64()), owned: b.Owned.Or(1)}
		if r.Shape != "" && b.Shape != r.Shape {
			continue
		}
		if i := slices.IndexFunc(all, func(p one) bool { return p.mm == o.mm && p.Shape == o.Shape }); i >= 0 {
			if all[i].owned == 0 {
				all[i].Tin = b
			}
			all[i].owned += o.owned
			continue
		}
		all = append(all, o)
	}
	gap := int(r.Step.Base(measure.Metric).Floor().Int64()) * 2
	var heaps []heap
	var stackUp func(chain []one)
	stackUp = func(chain []one) {
		if n := len(chain); n >= r.MinTiers && n <= r.MaxTiers {
			if h, ok := weigh(t, r, func(yield func(book.Tin) bool) {
				for _, o := range chain {
					yield(o.Tin)
				}
			}); ok {
				heaps = append(heaps, h)
			}
		}
		if len(chain) == r.MaxTiers {
			return
		}
		for _, o := range all {
			used := 0
			for _, c := range chain {
				if c.mm == o.mm && c.Shape == o.Shape {
					used++
				}
			}
			if used >= o.owned {
				continue
			}
			if n := len(chain); n > 0 && (chain[n-1].Shape != o.Shape || chain[n-1].mm-o.mm < gap) {
				continue
			}
			stackUp(append(slices.Clone(chain), o))
		}
	}
	stackUp(nil)
	slices.SortFunc(heaps, func(a, b heap) int {
		return cmp.Or(cmp.Compare(a.spare, b.spare), cmp.Compare(a.tiers, b.tiers), a.volume.Cmp(b.volume), -slices.Compare(a.order, b.order))
	})
	texts := make([]string, len(heaps))
	for i, h := range heaps {
		texts[i] = h.text
	}
	return texts
}

// weigh takes the pattern's tiers in the sizes of some tins.
func weigh(t *rapid.T, r stack.Request, tins func(func(book.Tin) bool)) (heap, bool) {
	var chain []book.Tin
	tins(func(b book.Tin) bool { chain = append(chain, b); return true })
	h := heap{tiers: len(chain)}
	made, served := 0, 0
	var words []string
	var height exact.Number
	for i, b := range chain {
		// Bottom as bottom, top as top, the middle as the middle where there is one.
		like := r.Pattern.Tiers[0]
		last := len(r.Pattern.Tiers) - 1
		switch {
		case i > 0 && i == len(chain)-1:
			like = r.Pattern.Tiers[last]
		case i > 0 && last == 2:
			like = r.Pattern.Tiers[1]
		}
		like.Shape, like.Diameter, like.Side = b.Shape, b.Diameter, b.Side
		n, err := pricing.Portions(&r.Pattern, &like)
		if err != nil {
			t.Fatal(err)
		}
		made += n
		if !(r.KeepTop && i == len(chain)-1) {
			served += n
		}
		h.volume = h.volume.Add(like.Solid().Volume())
		height = height.Add(like.Height.Base(measure.Metric))
		words = append(words, strings.TrimSuffix(b.String(), " mm"))
		h.order = append(h.order, fmt.Sprintf("%30s", b.Outline().Area().Fixed(6)))
	}
	if r.MaxHeight.Given() && height.Cmp(r.MaxHeight.Base(measure.Metric)) > 0 {
		return h, false
	}
	h.spare = served - r.Guests
	h.text = fmt.Sprintf("%d of %d: %s, %s cm3", served, made, strings.Join(words, ", "), h.volume.Fixed(3))
	return h, h.spare >= 0
}
