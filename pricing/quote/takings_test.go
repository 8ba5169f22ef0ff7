package quote_test

import (
	"fmt"
	"slices"
	"testing"

	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// The sums are worked by hand.
func TestTakings(t *testing.T) {
	amount := func(text string) (a money.Amount) {
		t.Helper()
		if err := a.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		return a
	}
	pay := func(means quote.Means, text string) quote.Payment {
		return quote.Payment{Means: means, Amount: amount(text)}
	}
	got := quote.Takings([]quote.Payment{pay(quote.Cash, "100.50"), pay(quote.Transfer, "180.00"), pay(quote.Cash, "-100.50"), pay(quote.Transfer, "19.99")})
	if len(got.By) != 2 || got.By[0].Means != quote.Transfer || !got.By[0].Sum.Equal(amount("199.99")) || got.By[1].Means != quote.Cash || !got.By[1].Sum.IsZero() {
		t.Errorf("Takings by means = %v, want transfer 199.99, cash 0.00", got.By)
	}
	if !got.Sum.Equal(amount("199.99")) {
		t.Errorf("Takings = %s, want 199.99", got.Sum)
	}
	if none := quote.Takings(nil); len(none.By) != 0 || !none.Sum.IsZero() {
		t.Errorf("Takings(nil) = %v, want nothing", none)
	}
}

// Sums by hand.
func TestSumDue(t *testing.T) {
	due := func(ref string, late int, left, currency string) quote.Due {
		d := quote.Due{Quote: ref, Late: late, Currency: currency}
		if err := d.Left.UnmarshalText([]byte(left)); err != nil {
			t.Fatal(err)
		}
		return d
	}
	list := []quote.Due{due("1", 9, "100.50", "EUR"), due("2", 3, "20", "CZK"), due("1", 2, "0.75", "EUR"), due("3", 1, "1.00", "EUR"), due("3", 0, "7.00", "EUR"), due("4", 0, "9.10", "GBP")}
	var got []string
	for _, s := range quote.SumDue(list) {
		got = append(got, fmt.Sprint(s.Currency, " late ", s.Late, " of ", s.Latecomers, ", coming ", s.Coming))
	}
	if want := []string{"CZK late 20 of 1, coming 0", "EUR late 102.25 of 2, coming 7.00", "GBP late 0.00 of 0, coming 9.10"}; !slices.Equal(got, want) {
		t.Errorf("SumDue = %q, want %q", got, want)
	}
	if none := quote.SumDue(nil); len(none) != 0 {
		t.Errorf("SumDue of nothing = %v", none)
	}
}
