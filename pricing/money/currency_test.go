package money_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	second "github.com/bojanz/currency"
	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// TestMinorUnits holds every currency against ISO 4217, list one of 2024-06-25.
func TestMinorUnits(t *testing.T) {
	f, err := os.Open("testdata/currencies.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	known := 0
	for _, r := range rows[1:] {
		code, source := r[0], r[2]
		want, err := strconv.Atoi(r[1])
		if err != nil {
			t.Fatalf("%s: %v", code, err)
		}
		c, err := money.ParseCurrency(code)
		if err != nil {
			t.Errorf("ParseCurrency(%s): %v, want %d places by %s", code, err, want, source)
			continue
		}
		known++
		if c.Code() != code || int(c.Places()) != want {
			t.Errorf("ParseCurrency(%s) = %s with %d places, want %d by %s", code, c.Code(), c.Places(), want, source)
		}
	}
	if known < 160 {
		t.Errorf("%d currencies are known, want all of ISO 4217", known)
	}
	for _, code := range []string{"", "eur", "Eur", "EURO", "EU", "€", "XXY", " EUR", "EUR ", "978"} {
		if c, err := money.ParseCurrency(code); err == nil {
			t.Errorf("ParseCurrency(%q) = %s, want an error", code, c.Code())
		}
	}
}

// TestSecondList holds the table of ISO 4217 against a second list, the CLDR
// data of github.com/bojanz/currency: every code of either, with its digits.
// The library is what ParseCurrency asks, so that the two lists check each
// other and the test above checks both.
func TestSecondList(t *testing.T) {
	f, err := os.Open("testdata/currencies.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	iso := map[string]string{}
	for _, r := range rows[1:] {
		iso[r[0]] = r[1]
	}
	// Newer than the ISO list of 2024: the Caribbean guilder of 2025 and the Arab
	// accounting dinar. Gone from the CLDR since: what they replaced, the lev and
	// the convertible peso.
	newer := map[string]bool{"XCG": true, "XAD": true}
	gone := map[string]bool{"ANG": true, "BGN": true, "CUC": true}
	listed := map[string]bool{}
	for _, code := range second.GetCurrencyCodes() {
		listed[code] = true
		digits, ok := second.GetDigits(code)
		if want, there := iso[code]; !ok || there == newer[code] || there && want != strconv.Itoa(int(digits)) {
			t.Errorf("%s has %d digits by the CLDR, %q by ISO 4217 (2024-06-25)", code, digits, want)
		}
		if c, err := money.ParseCurrency(code); err != nil || int(c.Places()) != int(digits) {
			t.Errorf("ParseCurrency(%s) has %d places, %v, want %d", code, c.Places(), err, digits)
		}
	}
	for code := range iso {
		if listed[code] == gone[code] {
			t.Errorf("%s is listed by ISO 4217: %v by the CLDR, want %v", code, listed[code], !gone[code])
		}
	}
	if len(listed) < 150 {
		t.Errorf("the second list has %d codes", len(listed))
	}
}

func currency(t testing.TB, code string) money.Currency {
	t.Helper()
	c, err := money.ParseCurrency(code)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Half away from zero to the minor unit. 9.675 to 9.68 is the sales-tax answer
// of OpenStax, Prealgebra 2e, module m81307 (read); 0.124, 0.125 and 0.1249
// follow the rule of the Streamlined Sales and Use Tax Agreement, section 324
// (rule read, values worked by hand).
func TestRound(t *testing.T) {
	for _, c := range []struct{ currency, n, want string }{
		{"USD", "9.675", "9.68"}, {"USD", "17.125", "17.13"}, {"USD", "0.124", "0.12"}, {"USD", "0.125", "0.13"}, {"USD", "0.1249", "0.12"},
		{"EUR", "-0.005", "-0.01"}, {"EUR", "2/3", "0.67"}, {"EUR", "540", "540.00"},
		{"JPY", "0.5", "1"}, {"JPY", "1234.49", "1234"}, {"KWD", "0.0005", "0.001"}, {"KWD", "1/3", "0.333"}, {"CLF", "1.00005", "1.0001"},
	} {
		if got := currency(t, c.currency).Round(exact.Must(c.n)).String(); got != c.want {
			t.Errorf("%s.Round(%s) = %s, want %s", c.currency, c.n, got, c.want)
		}
	}
}

func TestFits(t *testing.T) {
	for _, c := range []struct {
		currency, price string
		want            bool
	}{{"EUR", "25.25", true}, {"EUR", "25.250", true}, {"EUR", "25.255", false}, {"JPY", "100", true}, {"JPY", "100.5", false}, {"KWD", "0.005", true}, {"KWD", "0.0055", false}} {
		p, err := money.ParsePrice(c.price)
		if err != nil {
			t.Fatal(err)
		}
		if got := currency(t, c.currency).Fits(p); got != c.want {
			t.Errorf("%s.Fits(%s) = %v, want %v", c.currency, c.price, got, c.want)
		}
	}
}

func TestAmountArithmetic(t *testing.T) {
	eur := currency(t, "EUR")
	a, b := eur.Amount(decimal.RequireFromString("540.00")), eur.Amount(decimal.RequireFromString("61.4"))
	for name, c := range map[string]struct {
		got  money.Amount
		want string
	}{
		"540 + 61.40": {a.Add(b), "601.40"}, "61.40 - 540": {b.Sub(a), "-478.60"}, "61.40 × 3": {b.Times(3), "184.20"}, "sum": {money.Sum(a, b, b), "662.80"},
		"0 + 61.40": {money.Amount{}.Add(b), "61.40"}, "-61.40": {b.Neg(), "-61.40"}, "540 × 0": {a.Times(0), "0.00"},
	} {
		if c.got.String() != c.want {
			t.Errorf("%s = %s, want %s", name, c.got, c.want)
		}
	}
	if got := a.MinorUnits().Int64(); got != 54000 || a.Cmp(b) != 1 || !a.Equal(a.Add(money.Amount{})) || a.Sign() != 1 || !(money.Amount{}).IsZero() {
		t.Errorf("540.00 has %d minor units, want 54000", got)
	}
}
