package pricelist_test

import (
	"fmt"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
)

// A wholesaler's whole range, 20,000 rows, against 2,000 ingredients of which
// it has a tenth by name; for all others the closest are sought.
func BenchmarkNewPlan(b *testing.B) {
	x := index(b, true)
	stems := []string{"sugar", "flour", "butter", "almond", "chocolate", "vanilla", "cream", "fondant", "cocoa", "ribbon", "raspberry", "pistachio", "marzipan"}
	kinds := []string{"fine", "dark", "white", "organic", "ground", "roasted", "salted", "frozen", "dried", "icing", "golden"}
	file := book.Book{Format: x.Book.Format, Studio: x.Book.Studio}
	for i := range 2000 {
		name := fmt.Sprintf("%s %s grade%c%c", kinds[i%11], stems[i%13], 'a'+i/26%26, 'a'+i%26)
		file.Ingredients = append(file.Ingredients, book.Ingredient{ID: book.ID(fmt.Sprintf("i-%d", i)), Name: name, Measure: measure.Mass})
	}
	list := rows("item|pack|price ex VAT")
	for i := range 20_000 {
		name := fmt.Sprintf("%s %s brand%d", stems[i%13], kinds[i%7], i)
		if i%10 == 0 {
			name = file.Ingredients[i/10%2000].Name
		}
		list = append(list, pricelist.Row{Number: i + 2, Cells: []pricelist.Cell{{Text: name}, {Text: "10 x 250 g"}, {Text: fmt.Sprintf("%d,50", i%90)}}})
	}
	big := book.NewIndex(file)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := pricelist.NewPlan(big, list, pricelist.Mapping{}, nil, options()); err != nil {
			b.Fatal(err)
		}
	}
}
