package variance_test

import (
	"fmt"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// The worked figures of the package comment.
func ExampleWork() {
	n := exact.Must
	r, err := variance.Work(variance.Order{
		ID: "2026-0001", Cakes: 1,
		Sales: variance.Sales{Price: n("300"), Discount: n("15"), ActualDiscount: record.Some(n("30"))},
		Lines: []variance.Line{
			{Resource: "butter", Kind: pricing.Ingredient, Unit: "kg", StandardQuantity: n("2"), StandardPrice: n("9"),
				ActualQuantity: record.Some(n("2.2")), ActualPrice: record.Some(n("9.60")), Lost: n("0.1")},
			{Resource: "decorator", Kind: pricing.Role, Unit: "min", StandardQuantity: n("240"), StandardPrice: n("0.40"),
				ActualQuantity: record.Some(n("265"))},
			{Resource: "energy", Kind: pricing.Energy, Unit: "kWh", StandardQuantity: n("3"), StandardPrice: n("0.35")},
			{Resource: "overhead", Kind: pricing.Overhead, Unit: "h", StandardQuantity: n("4"), StandardPrice: n("12.50")},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	eur, err := money.ParseCurrency("EUR")
	if err != nil {
		fmt.Println(err)
		return
	}
	p := r.Bridge.Print(eur)
	fmt.Printf("%-29s %7s\n", "planned margin", p.Planned)
	for _, s := range p.Steps {
		fmt.Println(strings.TrimRight(fmt.Sprintf("%-29s %7s  %-10s %s", s.Key, s.Amount, s.Effect, map[bool]string{false: "as planned"}[s.Recorded]), " "))
	}
	fmt.Printf("%-29s %7s\n", "actual margin", p.Actual)
	// Output:
	// planned margin                 119.95
	// sales-price                      0.00  none       as planned
	// sales-discount                 -15.00  adverse
	// material-price                  -1.32  adverse
	// material-usage                  -0.90  adverse
	// material-waste                  -0.90  adverse
	// labour-rate                      0.00  none       as planned
	// labour-efficiency              -10.00  adverse
	// labour-idle                      0.00  none
	// variable-overhead-spending       0.00  none       as planned
	// variable-overhead-efficiency     0.00  none       as planned
	// actual margin                   91.83
}
