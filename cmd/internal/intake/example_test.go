package intake_test

import (
	"fmt"
	"log"
	"os"
	"path/filepath"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
)

const studio = `{"format": "marchpane-book/1",
	"studio": {"name": "S", "currency": "EUR", "recovers_tax": true, "target": {"markup": "0 %"}},
	"ingredients": [
		{"id": "butter", "name": "Butter", "measure": "mass", "prices": [{"from": "2026-01-05", "supplier": "North Mill", "pack": "10 x 250 g", "price": "22.80"}]},
		{"id": "flour", "name": "Plain flour", "measure": "mass", "prices": [{"from": "2026-01-05", "supplier": "North Mill", "pack": "25 kg", "price": "18.90"}]},
		{"id": "eggs", "name": "Eggs", "measure": "count", "prices": []}]}`

const list = "North Mill;;;\r\nArt.-Nr.;Artikel;Gebinde;Preis netto\r\n" +
	"100;Butter;10x250g;25,25 €\r\n" +
	"101;Mehl Type 405;25kg Sack;18,90 €\r\n" +
	"102;Eier;15 Dtzd;9,60 €\r\n" +
	"103;Sahne;12 Fl. à 1l;39,60 €\r\n"

// A price list goes from its file through a dry run into the book, and taken
// again changes nothing.
func Example() {
	b, err := book.Parse([]byte(studio))
	if err != nil {
		log.Fatal(err)
	}
	path := filepath.Join(os.TempDir(), fmt.Sprintf("example-list-%d.csv", os.Getpid()))
	if err := os.WriteFile(path, []byte(list), 0o600); err != nil {
		log.Fatal(err)
	}
	defer os.Remove(path)

	// What a store keeps of a supplier.
	mapping, err := pricelist.ParseMapping([]byte(`{"decimal": "comma"}`))
	if err != nil {
		log.Fatal(err)
	}
	aliases := []pricelist.Alias{
		{Code: "101", Name: "Mehl Type 405", Ingredient: "flour"},
		{Code: "102", Ingredient: "eggs"},
	}
	for range 2 {
		rows, err := intake.Open(path, intake.Options{Mapping: mapping, RecoversTax: b.Studio.RecoversTax.Or(false)})
		if err != nil {
			log.Fatal(err)
		}
		plan, err := pricelist.NewPlan(book.NewIndex(b), rows.Rows, mapping, aliases, pricelist.Options{
			Supplier:   "North Mill",
			From:       day.Must("2026-10-05"),
			Suspicious: measure.MustPercent(pricelist.SuspiciousChange),
		})
		if err != nil {
			log.Fatal(err)
		}
		for _, f := range plan.Fates {
			fmt.Println(f.Row.Number, f.Verdict, f.Ingredient, f.Price.Pack, f.Price.Price)
		}
		// With --apply, all or nothing.
		merged, changes, err := book.Merge(b, pricelist.File(b, plan.Prices()))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println("added", changes.Prices)
		b = merged
	}
	// Output:
	// 3 new price butter 10 x 250 g 25.25
	// 4 unchanged flour 25 kg 18.90
	// 5 new price eggs 15 dozen 9.60
	// 6 unknown item  12 x 1 l 39.60
	// added 2
	// 3 unchanged butter 10 x 250 g 25.25
	// 4 unchanged flour 25 kg 18.90
	// 5 unchanged eggs 15 dozen 9.60
	// 6 unknown item  12 x 1 l 39.60
	// added 0
}
