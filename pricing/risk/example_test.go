package risk_test

import (
	"fmt"
	"strings"
	"time"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/risk"
)

// Two years of butter, of which an order takes 10 kg; 60.00 of its cost
// is work, which is held. The figures stay what they are as long as the seed does.
func ExampleAssess() {
	var prices []string
	for i, price := range []string{
		"18.20", "18.20", "18.90", "19.60", "19.60", "19.60", "20.40", "21.10", "21.10", "20.70", "20.30", "20.30",
		"19.80", "19.80", "20.50", "21.40", "22.30", "22.30", "22.30", "21.60", "21.60", "20.90", "20.90", "21.50", "22.00",
	} {
		from := day.Of(time.Date(2024, time.October+time.Month(i), 5, 0, 0, 0, 0, time.UTC))
		prices = append(prices, fmt.Sprintf(`{"from": "%s", "pack": "10 x 250 g", "price": "%s"}`, from, price))
	}
	b, err := book.Parse([]byte(`{"format": "marchpane-book/1", "studio": {"name": "Studio", "currency": "EUR", "target": {"margin": "50 %"}},
		"roles": [{"id": "pastry", "name": "Pastry cook", "wage": [{"from": "2024-01-01", "per_hour": "20.00"}]}],
		"ingredients": [{"id": "butter", "name": "Butter", "measure": "mass", "prices": [` + strings.Join(prices, ",") + `]}]}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	x := book.NewIndex(b)
	bill := pricing.Bill{
		{Resource: "butter", Kind: pricing.Ingredient, Quantity: exact.Int(10_000), Unit: "g"},
		{Resource: "pastry", Kind: pricing.Role, Quantity: exact.Int(180), Unit: "min"},
	}
	eur, _ := money.ParseCurrency("EUR")
	now, then := day.Must("2026-11-25"), day.Must("2027-06-26")
	o, err := risk.Assess(risk.Input{
		Bill: bill, Rates: pricing.NewRates(x, then), Histories: risk.Histories(x, bill, now),
		Net: exact.Int(305), Floor: exact.Must("0.5"), TaxRate: exact.Must("0.2"), Currency: eur,
		Today: now, Event: then, Seed: 1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range risk.Rows(o) {
		fmt.Printf("%-38s %s\n", row.Label, row.Figure)
	}
	for _, text := range risk.Assumptions(o)[:3] {
		fmt.Println(text)
	}
	// Output:
	// cost at the prices in the book         148.00 EUR
	// median cost on 2027-06-26              148.08 EUR
	// mean cost                              148.22 EUR
	// 8 of 10 futures                        138.69 EUR to 158.10 EUR
	// 95 of 100 futures                      134.57 EUR to 163.51 EUR
	// median cost if the past drift goes on  153.83 EUR
	// net price                              305.00 EUR
	// margin at the prices in the book       51.5 %
	// margin at the median cost              51.5 %
	// chance of a margin below 50.0 %        28.7 % ± 0.5 %
	// surcharge that brings it to 10.0 %     13.44 EUR as shown, 11.20 EUR net (3.7 % of the price)
	// Prices move as they did in these months, and no more than they did; the seasons of the year are not followed.
	// 24 changes are few: how far prices spread is itself known only to about ± 14.7 %, and that is not in the bands.
	// In these months the prices that move rose by 10.0 % a year, weighted by cost; this is left out, since so short a history can hardly tell a lasting rise or fall from chance. Were it to go on, the median cost would be 153.83 EUR and the chance 56.5 %.
}
