package reference_test

import (
	"fmt"

	"marchpane/pricing/measure"
	"marchpane/pricing/reference"
)

// Two US cups of sifted flour, in grams.
func ExampleWeigh() {
	perMl, source, _ := reference.Weigh("sifted flour", "ml")
	cups := measure.Must("2 cup").Base(measure.US)
	fmt.Println(perMl.Mul(cups).Fixed(0), "g")
	fmt.Println(source)
	// Output:
	// 230 g
	// 1 cup sifted, 115 g: USDA Home and Garden Bulletin 72, Nutritive Value of Foods (public domain), from memory
}

// The yields of a food by different sources, the default first.
func ExampleFind() {
	food := reference.Find("fraises")[0].Entry
	for _, y := range food.Yields {
		fmt.Println(y.Share, y.Source)
	}
	// Output:
	// 94 % USDA SR28, NDB 09316
	// 87 % Bakery and Business Math, chapter 25, an open textbook (read; licence not seen, figure only)
}
