package pricing_test

import (
	"fmt"
	"os"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// openExample reads the example book of the format's own page.
func openExample() *book.Index {
	data, err := os.ReadFile("testdata/example-book.json")
	if err != nil {
		panic(err)
	}
	b, err := book.Parse(data)
	if err != nil {
		panic(err)
	}
	return book.NewIndex(b)
}

// The example book's cake, costed and priced on a day. Every figure is that of
// example-expected.json.
func ExampleCostCake() {
	x := openExample()
	c, err := pricing.CostCake(x, "two-tier-lemon", pricing.NewRates(x, day.Must("2026-09-15")))
	if err != nil {
		fmt.Println(err)
		return
	}
	margin, _ := c.Margin()
	fmt.Println("portions:", c.Takeoff.Served)
	fmt.Println("cost:    ", c.Cost.Total().Fixed(6))
	fmt.Println("target:  ", c.Offer.Target.Fixed(2))
	fmt.Println("shown:   ", c.Offer.Shown.Fixed(2))
	fmt.Println("margin:  ", margin.Fixed(6))
	// Output:
	// portions: 43
	// cost:     223.565903
	// target:   565.00
	// shown:    540.00
	// margin:   0.530098
}

// The lemons for the curd: 160 ml at 1.03 g/ml and a trim yield of 43 %, as
// package book's comment works it.
func ExampleTakeCake() {
	x := openExample()
	t, err := pricing.TakeCake(x, "two-tier-lemon")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range t.Makings {
		if m.Component.ID != "lemon-curd" {
			continue
		}
		for _, u := range m.Uses {
			if u.Resource == "lemon" {
				fmt.Println("per batch:", u.Quantity.Quo(m.Factor()).Fixed(2), u.Unit)
				fmt.Println("all told: ", u.Quantity.Fixed(6), u.Unit)
				fmt.Println(pricing.Say(u.Working))
			}
		}
	}
	// Output:
	// per batch: 383.26 g
	// all told:  438.954230 g
	// 160 ml, times 1.145, of 1.03 g/ml, usable 43 %
}

// What butter at 18 % more does to the cake, and the price of a gram at which
// its margin would fall to the floor.
func ExampleImpacts() {
	x := openExample()
	list, err := pricing.Impacts(x, pricing.NewRates(x, day.Must("2026-11-01")), takeAll(x), pricing.Change{Resource: "butter", Factor: exact.Must("1.18")})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, im := range list {
		fmt.Println(im.Cake, im.Before.Fixed(6), "to", im.After.Fixed(6))
		fmt.Println("margin", im.MarginWas.Fixed(6), "to", im.MarginIs.Fixed(6), "below the floor:", im.BelowFloor)
		fmt.Println("break-even", im.BreakEven.Fixed(12), "a gram")
	}
	// Output:
	// two-tier-lemon 225.523214 to 227.833857
	// margin 0.525984 to 0.521127 below the floor: false
	// break-even 0.019826543223 a gram
}

// Where the money goes, by place.
func ExampleByPlace() {
	x := openExample()
	c, err := pricing.CostCake(x, "two-tier-lemon", pricing.NewRates(x, day.Must("2026-09-15")))
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := pricing.ByPlace(c)
	if err != nil {
		fmt.Println(err)
		return
	}
	var sum exact.Number
	for _, n := range e.Cost.Children {
		fmt.Println(n.Label)
		sum = sum.Add(n.Amount)
	}
	fmt.Println("in all", sum.Fixed(6))
	// Output:
	// tier bottom
	// tier top
	// the cake as a whole
	// overhead
	// in all 223.565903
}
