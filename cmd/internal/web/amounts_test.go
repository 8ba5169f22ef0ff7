package web

import (
	"net/url"
	"strings"
	"testing"

	"marchpane/pricing/money"
)

// TestPrice reads money as people write it. The spellings with a mark between
// thousands are those of CLDR for en, de, fr and de-CH.
func TestPrice(t *testing.T) {
	euro, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	for in, want := range map[string]string{
		"": "", "18.50": "18.50", "18,50": "18.50", "18,50 €": "18.50", "€18.50": "18.50", "18.50 EUR": "18.50", "1.234,50": "1234.50",
		"1,234.50": "1234.50", "1\u202f234,50": "1234.50", "1’234.50": "1234.50", "0.324": "0.324", "12.125": "12.125",
		// What is not this money, or no amount, is left to be refused.
		"£5": "£5", "5 GBP": "5 GBP", "-3": "-3", "95p": "95p", "3 €/kg": "3 €/kg", "1.000": "1.000", "much": "much",
	} {
		if got := (form{values: url.Values{"a": {in}}, currency: euro}).price("a"); got != want {
			t.Errorf("price of %q = %q, want %q", in, got, want)
		}
	}
	for in, bad := range map[string]bool{"1.000": true, "1,500": true, "12.125": true, "0.324": false, "1000": false, "1.50": false, "1234.500": false} {
		if err := oneWay(euro, in); (err != nil) != bad {
			t.Errorf("oneWay(%q) = %v", in, err)
		}
	}
	dinar, err := money.ParseCurrency("KWD")
	if err != nil {
		t.Skip("no currency of three places is known")
	}
	if err := oneWay(dinar, "1.000"); err != nil {
		t.Errorf("oneWay in KWD = %v", err)
	}
	for in, want := range map[string]string{"20": "20 min", "7,5": "7.5 min", "20 min": "20 min", "1 h": "1 h", "": "", "x": "x"} {
		if got := inUnit(in, "min"); got != want {
			t.Errorf("inUnit(%q) = %q, want %q", in, got, want)
		}
	}
}

// TestFiguresAsPeopleWriteThem fills forms in as a newcomer does, through the
// pages.
func TestFiguresAsPeopleWriteThem(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/prices")
	for _, c := range []struct {
		what, path string
		form       []string
		says       string
	}{
		{"a price with its sign", "/prices/new", []string{"name", "Marigold petals", "measure", "mass", "kind", "ingredient", "prices[0].pack", "100 g", "prices[0].price", "6,50 €"}, "€6.50"},
		{"litres, and weight left as it stood", "/prices/new", []string{"name", "Rose water", "measure", "mass", "kind", "ingredient", "prices[0].pack", "1 l", "prices[0].price", "9"}, "€9.00 a litre"},
		{"an overhead with both marks", "/studio/overhead", []string{"method", "labour hour", "hours", "140", "amount", "1.234,50", "from", "2026-11-25"}, "€1,234.50 a month"},
		{"a thousand, or one", "/enquiries/new", []string{"name", "Ada", "budget", "1.500", "km", "24 km"}, "may be 1500 or 1.50"},
		{"a wage with its sign", "/studio/roles/new", []string{"name", "Washer-up", "wage[0].per_hour", "14,20 €", "wage[0].from", "2026-11-25"}, "€14.20"},
		{"minutes without the word", "/recipes/new", []string{"name", "Plain syrup", "lines", "500 g caster sugar", "tasks[0].task", "Boil", "tasks[0].role", "decorator", "tasks[0].setup", "20"}, "20 min"},
	} {
		if a := v.post(c.path, c.form...); !strings.Contains(a.body, c.says) {
			t.Errorf("%s: %d at %s lacks %q", c.what, a.status, a.path, c.says)
		}
	}
}
