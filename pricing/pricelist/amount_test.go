package pricelist_test

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/bojanz/currency"
	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"marchpane/pricing/pricelist"
)

// Spellings as price lists have them; common practice, no source.
func TestReadAmount(t *testing.T) {
	for _, c := range []struct {
		in   string
		mark pricelist.Mark
		want string
	}{
		{"25.25", "", "25.25"},
		{"25,25", "", "25.25"},
		{"1234", "", "1234"},
		{" 12.5 ", "", "12.5"},
		{"1.234,50", "", "1234.50"},
		{"1,234.50", "", "1234.50"},
		{"1.234.567", "", "1234567"},
		{"1,234,567.89", "", "1234567.89"},
		{"12,34,567.80", "", "1234567.80"}, // South Asian
		{"1 234,50", "", "1234.50"},
		{"1\u00a0234,50 €", "", "1234.50 EUR"},
		{"1\u202f234,50 €", "", "1234.50 EUR"}, // French
		{"1\u2009234,50", "", "1234.50"},
		{"1'234.50", "", "1234.50"}, // Swiss
		{"1’234.50 CHF", "", "1234.50 CHF"},
		{"CHF 1'250.-", "", "1250 CHF"},
		{"12,-", "", "12"},
		{"12.--", "", "12"},
		{"12,– €", "", "12 EUR"},
		{"1.250,-", "", "1250"},
		{"0,125", "", "0.125"},
		{"0.125", "", "0.125"},
		{"1234.567", "", "1234.567"}, // no thousands mark would stand so
		{"12.3456", "", "12.3456"},
		{".50", "", "0.50"},
		{"€.50", "", "0.50 EUR"},
		{"Fr.50", "", "50 CHF"},
		{"00012", "", "12"},
		{"0", "", "0"},
		{"1.234", pricelist.Point, "1.234"},
		{"1.234", pricelist.Comma, "1234"},
		{"1,234", pricelist.Point, "1234"},
		{"1,234", pricelist.Comma, "1.234"},
		{"12.50", pricelist.Comma, "12.50"}, // nothing else it could be
		{"£12.50", "", "12.50 £"},
		{"£ 12.50", "", "12.50 £"},
		{"12.50 GBP", "", "12.50 GBP"},
		{"eur 12,50", "", "12.50 EUR"},
		{"12,50 Euro", "", "12.50 EUR"},
		{"$1,234.5", "", "1234.5 $"},
		{"US$ 3", "", "3 USD"},
		{"R$ 5,00", "", "5.00 BRL"},
		{"149,00 kr", "", "149.00 kr"},
		{"149,00 kr.", "", "149.00 kr"},
		{"Rs. 1,20,000.00", "", "120000.00 rs"},
		{"45,90 zł", "", "45.90 PLN"},
		{"95p", "", "0.95"},
		{"95 ct", "", "0.95"},
		{"１２．５０", "", "12.50"}, // full width
		{"3,20 €/kg", "", "3.20 EUR per 1 kg"},
		{"3.20 / kg", "", "3.20 per 1 kg"},
		{"12.50 per 100 g", "", "12.50 per 100 g"},
		{"12,50 € je Stück", "", "12.50 EUR per 1 each"},
		{"2,10 € le kilo", "", "2.10 EUR per 1 kg"},
		{"4,80 pro Dutzend", "", "4.80 per 1 dozen"},
	} {
		got, err := pricelist.ReadAmount(c.in, c.mark)
		if err != nil || got.String() != c.want {
			t.Errorf("ReadAmount(%q, %q) = %q, %v, want %q", c.in, c.mark, got, err, c.want)
		}
	}
}

func TestReadAmountRefuses(t *testing.T) {
	for _, c := range []struct {
		in   string
		mark pricelist.Mark
		want string // in the reason
	}{
		{"1.234", "", "1234 or 1.234"},
		{"1,234", "", "1234 or 1.234"},
		{"-5", "", "below zero"},
		{"5-", "", "below zero"},
		{"12,50-", "", "below zero"},
		{"−5.00", "", "below zero"},
		{"(5.00)", "", "below zero"},
		{"€ -5", "", "below zero"},
		{"", "", "no figure"},
		{"n/a", "", "no figure"},
		{"on request", "", "no figure"},
		{"5%", "", "no currency"},
		{"1e5", "", "no currency"},
		{"12.50 - 13", "", "range"},
		{"12 50", "", "odd places"},
		{"1.2.3", "", "odd places"},
		{"1,23,45", "", "odd places"},
		{"1.234 567", "", "odd places"},
		{"1'234'56", "", "odd places"},
		{"0.123.456", "", "odd places"},
		{"12 or 13", "", "no currency"},
		{"12.50 foo", "", "no currency"},
		{"EUR.50", "", "no currency"},
		{"€ 12.50 $", "", "both sides"},
		{"12.50 / mystery", "", "mystery"},
		{"12.50 per pint", "", "us pint or uk pint"},
		{"1234567890123456", "", "too many digits"},
		{strings.Repeat("1", 300), "", "too long"},
	} {
		got, err := pricelist.ReadAmount(c.in, c.mark)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("ReadAmount(%q, %q) = %q, %v, want an error with %q", c.in, c.mark, got, err, c.want)
		}
	}
	if _, err := pricelist.ReadAmount("1.234", pricelist.Unknown); !errors.Is(err, pricelist.ErrAmbiguous) {
		t.Errorf("ReadAmount(1.234) = %v, want ErrAmbiguous", err)
	}
}

// What the formatter of Unicode's CLDR (by bojanz/currency) writes in a
// language is read back to the digit, given that language's decimal mark.
func TestReadAmountReadsCLDR(t *testing.T) {
	locales := map[string]pricelist.Mark{
		"en": pricelist.Point, "en-IN": pricelist.Point, "de-CH": pricelist.Point, "ja": pricelist.Point, "es-MX": pricelist.Point,
		"de": pricelist.Comma, "de-AT": pricelist.Comma, "fr": pricelist.Comma, "es": pricelist.Comma, "it": pricelist.Comma,
		"nl": pricelist.Comma, "pt": pricelist.Comma, "pt-BR": pricelist.Comma, "sv": pricelist.Comma, "da": pricelist.Comma, "pl": pricelist.Comma,
	}
	names := slices.Sorted(maps.Keys(locales))
	rapid.Check(t, func(t *rapid.T) {
		figure := fmt.Sprintf("%d.%02d", rapid.Int64Range(0, 1<<40).Draw(t, "whole"), rapid.IntRange(0, 99).Draw(t, "minor"))
		code := rapid.SampledFrom([]string{"EUR", "GBP", "USD", "CHF", "SEK", "PLN", "INR", "JPY"}).Draw(t, "currency")
		if code == "JPY" {
			figure, _, _ = strings.Cut(figure, ".")
		}
		money, err := currency.NewAmount(figure, code)
		if err != nil {
			t.Fatal(err)
		}
		locale := rapid.SampledFrom(names).Draw(t, "locale")
		f := currency.NewFormatter(currency.NewLocale(locale))
		f.CurrencyDisplay = rapid.SampledFrom([]currency.Display{currency.DisplaySymbol, currency.DisplayCode, currency.DisplayNone}).Draw(t, "display")
		text := f.Format(money)
		got, err := pricelist.ReadAmount(text, locales[locale])
		if err != nil || !got.Figure.Equal(decimal.RequireFromString(figure)) {
			t.Fatalf("ReadAmount(%q of %s, %s) = %q, %v, want %s", text, locale, locales[locale], got, err, figure)
		}
	})
}
