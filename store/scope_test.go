package store_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/store"
)

func TestBookOfCostsAsTheWholeBook(t *testing.T) {
	for name, b := range map[string]book.Book{"example": exampleBook(t), "demo": demoBook(t), "corners": parse(t, []byte(cornersBook))} {
		s, _ := fresh(t)
		importBook(t, s, b, false)
		on := day.Must("2026-11-20")
		for _, cake := range b.Cakes {
			part, err := s.BookOf(t.Context(), []book.ID{cake.ID}, false)
			if err != nil {
				t.Fatalf("%s: BookOf(%s) = %v", name, cake.ID, err)
			}
			got, want := costed(part, cake.ID, on), costed(b, cake.ID, on)
			check(t, fmt.Sprintf("%s: %s costed by BookOf", name, cake.ID), got, want)
			if len(part.Extras) > 0 || len(part.Cakes) != 1 {
				t.Errorf("%s: BookOf(%s) holds %d cakes and %d extras, want 1 and none", name, cake.ID, len(part.Cakes), len(part.Extras))
			}
		}
		part, err := s.BookOf(t.Context(), nil, true)
		if err != nil {
			t.Fatalf("%s: BookOf(extras) = %v", name, err)
		}
		for _, extra := range b.Extras {
			check(t, fmt.Sprintf("%s: extra %s taken by BookOf", name, extra.ID), taken(part, extra.ID), taken(b, extra.ID))
		}
	}
}

// costed returns the working, cost and price of a cake, or why it has none.
func costed(b book.Book, id book.ID, on day.Date) string {
	x := book.NewIndex(b)
	c, err := pricing.CostCake(x, id, pricing.NewRates(x, on))
	if err != nil {
		return "no cost: " + err.Error()
	}
	return fmt.Sprintf("cost %s, shown %s, net %s\n%s", c.Cost.Total().Text(), c.Offer.Shown.Text(), c.Offer.Net.Text(), lines(c.Takeoff.Bill))
}

func lines(bill pricing.Bill) (text string) {
	for _, l := range bill {
		text += fmt.Sprintf("%s %s %s\n", l.Resource, l.Quantity.Text(), l.Unit)
	}
	return text
}

// taken returns the bill and cost of an extra, or why it has none.
func taken(b book.Book, id book.ID) string {
	x := book.NewIndex(b)
	takeoff, err := pricing.TakeExtra(x, id, exact.Int(24))
	if err != nil {
		return "no bill: " + err.Error()
	}
	cost, err := pricing.CostOf(takeoff.Bill, pricing.NewRates(x, day.Must("2026-11-20")))
	if err != nil {
		return "no cost: " + err.Error()
	}
	return fmt.Sprintf("cost %s\n%s", cost.Total().Text(), lines(takeoff.Bill))
}

// TestBookOfHoldsNoMore checks that a cake brings only what it uses, at every
// level, and each of that as the whole book has it.
func TestBookOfHoldsNoMore(t *testing.T) {
	s, _ := fresh(t)
	b := exampleBook(t)
	b.Cakes = append(b.Cakes, book.Cake{ID: "sponge-only", Name: "Sponge", Portions: b.Cakes[0].Portions})
	c := &b.Cakes[1]
	c.Portions.Value, c.Portions.Given = 8, true
	c.Parts = []book.Part{{Use: "lemon-curd", Qty: b.Components[0].BatchMin}}
	importBook(t, s, b, false)
	part, err := s.BookOf(t.Context(), []book.ID{"sponge-only"}, false)
	if err != nil {
		t.Fatal(err)
	}
	want := book.Book{
		Format: b.Format, Studio: b.Studio, Energy: b.Energy, Overhead: b.Overhead,
		Roles: b.Roles[:1], Ingredients: []book.Ingredient{b.Ingredients[0], b.Ingredients[1], b.Ingredients[3], b.Ingredients[4]},
		Components: b.Components[:1], Cakes: b.Cakes[1:],
	}
	check(t, "BookOf", encode(t, part), encode(t, want))
}

func TestBookOfUnknownCake(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	for _, test := range []struct {
		id   book.ID
		want string
	}{
		{"wedding-tree-tier", "did you mean wedding-three-tier"},
		{"chocolate", "did you mean chocolate-pear?"},
		{"xyzzy", `cake "xyzzy" is not in the store`},
		{"", `cake "" is not in the store`},
		{book.ID(strings.Repeat("lemon-", 50_000)), `lemon-lemon-`},
	} {
		_, err := s.BookOf(t.Context(), []book.ID{"winter-fruit", test.id}, true)
		if !errors.Is(err, store.ErrNotFound) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("BookOf(%.40s) = %v, want ErrNotFound with %q", test.id, err, test.want)
		}
		if len(fmt.Sprint(err)) > 300 {
			t.Errorf("BookOf(%.40s) = an error of %d letters", test.id, len(fmt.Sprint(err)))
		}
	}
}
