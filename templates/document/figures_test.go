package document

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/bojanz/currency"
	"github.com/shopspring/decimal"

	"marchpane/pricing/money"
)

// cldrLocales are tags of each way in which the CLDR sets figures: by language,
// and by region where that differs.
var cldrLocales = []string{
	"", "en", "en-GB", "en-US", "en-IE", "en-IN", "en-ZA", "en-CH", "en-AT", "en-AU", "en-CA", "en-DE", "en-DK", "en-SE", "en-NL", "en-BE", "en-FI", "en-SI",
	"de", "de-AT", "de-CH", "de-LI", "de-LU", "fr", "fr-BE", "fr-CA", "fr-CH", "fr-LU", "fr-MA", "it", "it-CH", "es", "es-MX", "es-AR", "es-CL", "es-CO", "es-UY", "es-VE", "es-PE", "es-CR", "es-US", "es-419",
	"nl", "nl-BE", "pt", "pt-PT", "pt-BR", "pt-AO", "pt-CH", "pl", "cs", "sk", "hu", "ro", "bg", "el", "tr", "ru", "uk", "sr", "hr", "sl", "mk", "sq", "bs", "et", "lv", "lt", "fi", "sv", "da", "nb", "nn", "is", "ga", "cy", "mt", "ca", "eu", "gl",
	"he", "ar", "ar-AE", "ar-EG", "fa", "ur", "hi", "bn", "mr", "ne", "ta", "te", "gu", "pa", "th", "vi", "id", "ms", "fil", "ja", "ko", "zh", "zh-Hant", "zh-HK", "my", "km", "lo", "ka", "hy", "az", "kk", "uz", "mn", "sw", "zu", "af", "am", "si",
}

// TestFiguresAsTheFormatter: what is written by learnt patterns is what the
// formatter writes, letter for letter, for every locale and currency; and nearly
// all that a studio writes is written so.
func TestFiguresAsTheFormatter(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	some := func(places int32) decimal.Decimal {
		d := decimal.New(random.Int64N([]int64{10, 1000, 100_000, 10_000_000, 1_000_000_000_000, 1 << 62}[random.IntN(6)]), -places)
		if random.IntN(3) == 0 {
			return d.Neg()
		}
		return d
	}
	slow := 0
	for _, tag := range cldrLocales {
		l := LocaleFor(tag, []string{"", "en-GB", "de-CH", "es-AR"}[random.IntN(4)])
		for _, code := range currency.GetCurrencyCodes() {
			var c money.Currency
			if c.UnmarshalText([]byte(code)) != nil {
				continue
			}
			for range 4 {
				a := c.Amount(some(c.Places()))
				if got, want := l.Money(a, c), l.money(a.String(), c); got != want {
					t.Fatalf("%s: Money(%s %s) = %q, want %q", tag, a, code, got, want)
				}
			}
			if p, there := l.patterns.of(patternOf{l.region, code, false}); there && !p.learnt {
				slow++
				t.Logf("%s: %s is left to the formatter", tag, code)
			}
		}
		for i := range 60 {
			d, digits := some(int32(i%9)-1), uint8(random.IntN(5))
			if got, want := l.Number(d, digits), l.number(d, digits); got != want {
				t.Fatalf("%s: Number(%s, %d) = %q, want %q", tag, d, digits, got, want)
			}
		}
	}
	if slow > 0 {
		t.Errorf("%d patterns could not be learnt", slow)
	}
}

// TestLocalesAreKept: a locale asked for again is the same, and tags that
// somebody invents are not kept without end.
func TestLocalesAreKept(t *testing.T) {
	if first, again := NewLocale("de-CH"), NewLocale("de-CH"); first.patterns != again.patterns {
		t.Error("NewLocale(de-CH) made another one")
	}
	for i := range 3 * mostLocales {
		NewLocale(fmt.Sprintf("en-x-a%d", i))
	}
	if n := len(locales.of); n > mostLocales {
		t.Errorf("%d locales are kept, want at most %d", n, mostLocales)
	}
}
