package document

import (
	"testing"

	"github.com/shopspring/decimal"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
)

// TestInEnglish: a studio's own screens are in English; its figures are written
// as it reads them. Patterns of figures are the CLDR's, see TestCLDR.
func TestInEnglish(t *testing.T) {
	cur, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	var sum money.Amount
	if err := sum.UnmarshalText([]byte("1250.00")); err != nil {
		t.Fatal(err)
	}
	on, err := day.Parse("2027-06-01")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ tag, money, percent, date string }{
		{"", "€1,250.00", "13.5%", "1 June 2027"},
		{"en-IE", "€1,250.00", "13.5%", "1 June 2027"},
		{"en-US", "€1,250.00", "13.5%", "June 1, 2027"},
		{"fr", "1\u202f250,00\u00a0€", "13,5\u00a0%", "1 June 2027"},
		{"fr-CA", "1\u00a0250,00\u00a0€", "13,5\u00a0%", "June 1, 2027"},
		{"de-CH", "€\u00a01'250.00", "13.5%", "1 June 2027"},
		{"es-US", "€1,250.00", "13.5%", "June 1, 2027"},
	} {
		l := InEnglish(c.tag)
		if got := l.Money(sum, cur); got != c.money {
			t.Errorf("%q: money %q, want %q", c.tag, got, c.money)
		}
		if got := l.Percent(decimal.RequireFromString("13.5")); got != c.percent {
			t.Errorf("%q: percent %q, want %q", c.tag, got, c.percent)
		}
		if got := l.Date(on); got != c.date {
			t.Errorf("%q: date %q, want %q", c.tag, got, c.date)
		}
		if got := InEnglish(c.tag).Messages(); got.Months[5] != "June" {
			t.Errorf("%q: June is called %q", c.tag, got.Months[5])
		}
	}
	if got := NewLocale("fr").Messages().Months[5]; got != "juin" {
		t.Errorf("the papers of a French studio have English months: %q", got)
	}
}
