package pricing_test

import (
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
)

// tall is the example book with its cake's bottom tier stacked n times over.
func tall(t testing.TB, n int) *book.Index {
	b := exampleBook(t).Book
	cake := b.Cakes[0]
	tiers := make([]book.Tier, n)
	for i := range tiers {
		tiers[i] = cake.Tiers[0]
		tiers[i].Name = fmt.Sprintf("tier %d", i+1)
	}
	cake.Tiers = tiers
	b.Cakes = []book.Cake{cake}
	if faults := book.Validate(b); len(faults) > 0 {
		t.Fatal(faults)
	}
	return book.NewIndex(b)
}

// BenchmarkCost costs a cake from the book as it stands in memory: index,
// takeoff, prices, sums.
func BenchmarkCost(b *testing.B) {
	for _, n := range []int{1, 5, 20} {
		b.Run(fmt.Sprintf("%d tiers", n), func(b *testing.B) {
			data := tall(b, n).Book
			id := data.Cakes[0].ID
			b.ReportAllocs()
			for b.Loop() {
				x := book.NewIndex(data)
				if _, err := pricing.CostCake(x, id, pricing.NewRates(x, today)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkCostNested costs a cake whose component stands at the top of 64 that
// use one another.
func BenchmarkCostNested(b *testing.B) {
	x := small(b, `"target": {"markup": "0 %"}`, nested(64, gram("flour")))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := pricing.CostCake(book.NewIndex(x.Book), "cake", pricing.NewRates(x, today)); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkExplain unfolds a costing of 20 tiers by place.
func BenchmarkExplain(b *testing.B) {
	x := tall(b, 20)
	c := costing(b, x, x.Book.Cakes[0].ID)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := pricing.ByPlace(c); err != nil {
			b.Fatal(err)
		}
	}
}

// nested is a chain of n components, each of 2 g of the one before and 1 g of
// flour, under a cake that takes a gram of the last.
func nested(n int, flour string) string {
	list := make([]string, n)
	for i := range list {
		line := ""
		if i > 0 {
			line = fmt.Sprintf(`, {"use": "c-%d", "qty": "2 g"}`, i-1)
		}
		list[i] = fmt.Sprintf(`{"id": "c-%d", "name": "C", "lines": [{"use": "flour", "qty": "1 g"}%s]}`, i, line)
	}
	return fmt.Sprintf(`"ingredients": [%s], "components": [%s], "cakes": [{"id": "cake", "name": "Cake", "portions": 1, "parts": [{"use": "c-%d", "qty": "1 g"}]}]`, flour, strings.Join(list, ","), n-1)
}

// A gram of any depth of recipes without loss takes a gram of flour.
func TestDeepestNesting(t *testing.T) {
	x := small(t, `"target": {"markup": "0 %"}`, nested(64, gram("flour")))
	if got := takes(t, x, "flour"); got.Text() != "1" {
		t.Errorf("a gram through 64 components takes %s g, want 1", got.Text())
	}
}
