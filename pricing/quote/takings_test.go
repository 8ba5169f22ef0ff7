package quote_test

import (
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
