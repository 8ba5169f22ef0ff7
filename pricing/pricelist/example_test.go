package pricelist_test

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
)

// A list in German with net prices: butter has risen, the eggs have not, and
// the third line is not known by that name.
func ExampleNewPlan() {
	b, err := book.Parse(fmt.Appendf(nil, kitchen, true))
	if err != nil {
		fmt.Println(err)
		return
	}
	list := rows(`
Artikel|Gebinde|Preis netto
Butter, unsalted|10 × 250 g|25,25 €
Egg|15 dtz|36,–
Staubzucker, icing sugar|10 kg Sack|14,90 €`)
	plan, err := pricelist.NewPlan(book.NewIndex(b), list, pricelist.Mapping{}, nil, pricelist.Options{
		Supplier:   "Molen",
		From:       day.Must("2026-10-05"),
		Suspicious: measure.MustPercent(pricelist.SuspiciousChange),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, fate := range plan.Fates {
		fmt.Println(fate.Row.Number, fate.Verdict, fate.Ingredient, fate.Price.Pack, fate.Price.Price)
		for _, s := range fate.Suggestions {
			fmt.Println("  perhaps", s.Ingredient)
		}
	}
	b, changes, err := book.Merge(b, pricelist.File(b, plan.Prices()))
	fmt.Println(changes.Prices, "price added,", len(b.Ingredients[0].Prices), "for butter,", err)
	// Output:
	// 2 new price butter 10 x 250 g 25.25
	// 3 unchanged egg 15 dozen 36
	// 4 unknown item  10 kg 14.90
	//   perhaps icing-sugar
	//   perhaps caster-sugar
	// 1 price added, 3 for butter, <nil>
}
