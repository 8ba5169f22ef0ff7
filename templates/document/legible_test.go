package document

import (
	"testing"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// TestMoneyIsLegible writes money of many currencies in many locales: never
// with a sign or digit that the faces of the papers lack.
func TestMoneyIsLegible(t *testing.T) {
	for _, c := range []struct{ tag, code, want string }{
		{"ja", "JPY", "¥61,750"}, {"zh", "CNY", "¥61,750.00"}, {"en", "GEL", ""}, {"ka", "GEL", ""}, {"hy", "AMD", ""}, {"ar", "AED", ""},
		{"ar-EG", "EGP", ""}, {"fa", "IRR", ""}, {"bn", "BDT", ""}, {"ne", "NPR", ""}, {"my", "MMK", ""}, {"hi", "INR", ""}, {"th", "THB", ""},
		{"de", "EUR", "61.750,00\u00a0€"}, {"en-IE", "EUR", "€61,750.00"},
	} {
		cur, err := money.ParseCurrency(c.code)
		if err != nil {
			t.Fatal(err)
		}
		got := NewLocale(c.tag).Money(cur.Round(exact.Int(61750)), cur)
		if !legible(got) {
			t.Errorf("%s in %s is %q", c.code, c.tag, got)
		}
		if c.want != "" && got != c.want {
			t.Errorf("%s in %s = %q, want %q", c.code, c.tag, got, c.want)
		}
	}
}
