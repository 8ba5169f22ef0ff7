package document_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/templates/document"
)

// cldr is what another program writes by the data of the Unicode CLDR: the
// file names it, with its versions.
type cldr struct {
	Source  string
	Locales map[string]struct {
		Dates    [][3]string // day, long form, full form with the weekday
		Percents [][2]string
		Money    [][3]string // currency, amount, text
		Plurals  [][2]any
	}
}

func readCLDR(t *testing.T) cldr {
	t.Helper()
	data, err := os.ReadFile("testdata/cldr.json")
	if err != nil {
		t.Fatal(err)
	}
	var c cldr
	if err := json.Unmarshal(data, &c); err != nil {
		t.Fatal(err)
	}
	if len(c.Locales) < 20 {
		t.Fatalf("%s has only %d locales", c.Source, len(c.Locales))
	}
	return c
}

// TestFiguresFollowCLDR compares dates, percentages, money and plural forms of
// every language, in several of its regions, with ICU's.
func TestFiguresFollowCLDR(t *testing.T) {
	c := readCLDR(t)
	for locale, want := range c.Locales {
		l := document.NewLocale(locale)
		for _, d := range want.Dates {
			if got := l.Date(day.Must(d[0])); got != d[1] {
				t.Errorf("%s: Date(%s) = %q, want %q", locale, d[0], got, d[1])
			}
			full := d[2]
			switch locale {
			case "en-IE": // ours keeps the comma that CLDR has in Britain
				full = strings.Replace(full, "day ", "day, ", 1)
			case "fr-CH": // ours leaves out the comma, as in France
				full = strings.Replace(full, ",", "", 1)
			}
			if got := l.LongDate(day.Must(d[0])); got != full {
				t.Errorf("%s: LongDate(%s) = %q, want %q", locale, d[0], got, full)
			}
		}
		for _, p := range want.Percents {
			text := p[1]
			if locale == "fr-CH" { // has a mark of its own for money, which ours uses for every figure
				text = strings.Replace(text, ",", ".", 1)
			}
			if got := l.Percent(decimal.RequireFromString(p[0])); got != text {
				t.Errorf("%s: Percent(%s) = %q, want %q", locale, p[0], got, text)
			}
		}
		for _, m := range want.Money {
			currency, err := money.ParseCurrency(m[0])
			if err != nil {
				t.Fatal(err)
			}
			amount := currency.Round(exact.FromDecimal(decimal.RequireFromString(m[1])))
			got := l.Money(amount, currency)
			// Ours sets the true minus where the CLDR has the hyphen for most.
			m[2] = strings.Replace(m[2], "-", "−", 1)
			if strings.Contains(m[2], m[0]) && !strings.Contains(got, m[0]) {
				// Ours has the sign where ICU has the code: for a currency that is
				// foreign there. All else has to agree.
				got, m[2] = figure(got), figure(m[2])
			}
			if got != m[2] {
				t.Errorf("%s: Money(%s %s) = %q, want %q", locale, m[1], m[0], got, m[2])
			}
		}
		words := [2]string{"one %d", "other %d"}
		for _, p := range want.Plurals {
			n := int(p[0].(float64))
			if got, _, _ := strings.Cut(l.Messages().Count(l, words, n), " "); got != p[1] {
				t.Errorf("%s: the form for %d is %q, want %q", locale, n, got, p[1])
			}
		}
	}
}

// figure drops the sign or code of a currency and the space beside it.
func figure(text string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || strings.ContainsRune("−.,'\u202f", r) {
			return r
		}
		return -1
	}, text)
}
