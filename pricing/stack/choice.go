package stack

import (
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

// PatternIn returns the cake of a book that lends its recipes where none is
// named: the first with tiers of a shape, or of any, rather one with several,
// and one that says how it is cut.
func PatternIn(b book.Book, kind shape.Kind) (*book.Cake, bool) {
	for _, least := range []int{2, 1} {
		for i := range b.Cakes {
			if c := &b.Cakes[i]; len(c.Tiers) >= least && SaysCut(*c) && !slices.ContainsFunc(c.Tiers, func(t book.Tier) bool {
				return t.Dummy.Or(false) || kind != "" && t.Shape != kind
			}) {
				return c, true
			}
		}
	}
	return nil, false
}

// BarePattern returns what stands in where a book has no such cake: a tier of
// 100 mm, of which nothing can be costed.
func BarePattern(kind shape.Kind) book.Cake {
	if kind == "" {
		kind = shape.Round
	}
	tier := book.Tier{Name: "tier", Form: book.Form{Shape: kind, Height: measure.Must("100 mm")}}
	return book.Cake{Name: "Cake", Portion: UsualFinger(), Tiers: []book.Tier{tier}}
}

// SaysCut reports whether a cake has a rule for every tier that is eaten.
func SaysCut(c book.Cake) bool {
	return c.Portion != nil || !slices.ContainsFunc(c.Tiers, func(t book.Tier) bool { return t.Portion == nil && !t.Dummy.Or(false) })
}

// UsualFinger is the portion where nothing says another: common practice, no
// source.
func UsualFinger() *book.Portion {
	return &book.Portion{Cut: book.Finger, Width: measure.Must("25 mm"), Depth: measure.Must("50 mm")}
}

// UsualTins returns tins of every usual size of a shape, or where that is ""
// of the shapes of a pattern, whose proportions they keep. A shape that the
// pattern lacks is that of a tin of 200 mm or 8 in, by the household.
func UsualTins(pattern book.Cake, kind shape.Kind, household measure.Household) ([]book.Tin, error) {
	var tins []book.Tin
	var seen []shape.Kind
	for _, t := range pattern.Tiers {
		like := t.Solid().Outline
		if kind != "" && t.Shape != kind || !like.Given() {
			size := measure.Must("200 mm")
			if household == measure.US {
				size = measure.Must("8 in")
			}
			wanted := t.Shape
			if kind != "" {
				wanted = kind
			}
			var err error
			if like, err = shape.New(wanted, size); err != nil {
				return nil, fmt.Errorf("no cake says the proportions of a %s, so its usual sizes are not known; choose from tins", wanted)
			}
		}
		if !slices.Contains(seen, like.Kind()) {
			seen = append(seen, like.Kind())
			tins = append(tins, AnySize(like)...)
		}
	}
	return tins, nil
}
