package stack_test

import (
	"fmt"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
)

// sixty tins of one shape, from 100 to 395 mm, two of each.
func sixty(b *testing.B) []book.Tin {
	var all []book.Tin
	for mm := 100; mm < 400; mm += 5 {
		all = append(all, tin(b, fmt.Sprintf("round %d mm x2", mm)))
	}
	return all
}

func BenchmarkPropose60Tins(b *testing.B) {
	three := pattern(b, "round 300 mm", "round 240 mm", "round 180 mm")
	for name, r := range map[string]stack.Request{
		"90 guests":               {Guests: 90, Show: 5},
		"240 guests, top kept":    {Guests: 240, Show: 5, KeepTop: true},
		"400 guests, no step":     {Guests: 400, Show: 10, Step: measure.Must("0 mm")},
		"12 tiers, no step":       {Guests: 700, Show: 10, Step: measure.Must("0 mm"), MinTiers: 12, MaxTiers: 12},
		"nothing fits 900 guests": {Guests: 900, Shape: shape.Round},
	} {
		b.Run(name, func(b *testing.B) {
			r.Tins, r.Pattern = sixty(b), three
			for b.Loop() {
				if _, err := stack.Propose(r); err != nil && r.Guests != 900 {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkProposeAnySize chooses from every usual size, as the page of tiers for
// guests does where no tins are owned.
func BenchmarkProposeAnySize(b *testing.B) {
	three := pattern(b, "round 300 mm", "round 240 mm", "round 180 mm")
	for name, r := range map[string]stack.Request{
		"60 guests, wedges":   {Guests: 60, Cut: &book.Portion{Cut: book.Wedge, Count: record.Some(12)}},
		"90 guests, fingers":  {Guests: 90},
		"90 guests, mixed":    {Guests: 90, Mixed: true},
		"300 guests, fingers": {Guests: 300},
	} {
		b.Run(name, func(b *testing.B) {
			r.Pattern, r.Show = three, 4
			r.Tins = stack.AnySize(three.Tiers[0].Solid().Outline)
			if r.Mixed {
				r.Tins = append(r.Tins, stack.AnySize(tin(b, "square 200 mm").Outline())...)
			}
			for b.Loop() {
				if _, err := stack.Propose(r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkRescaleAnySize(b *testing.B) {
	for _, sizes := range [][]string{
		{"round 300 mm", "round 240 mm", "round 180 mm"},
		{"round 400 mm", "round 340 mm", "round 280 mm", "round 220 mm", "round 160 mm", "round 100 mm"},
	} {
		b.Run(fmt.Sprintf("%d tiers", len(sizes)), func(b *testing.B) {
			p := pattern(b, sizes...)
			r := stack.Request{Guests: 150, Pattern: p, Tins: stack.AnySize(p.Tiers[0].Solid().Outline), Show: 5, Step: measure.Must("20 mm")}
			for b.Loop() {
				if _, err := stack.Rescale(r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
