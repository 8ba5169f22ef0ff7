package sheet

import (
	"strings"
	"unicode"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/templates/document"
)

// The number formats that hold no money.
const (
	percentFormat = `0.0#%` // as typed
	shareFormat   = `0.0%`
	countFormat   = `#,##0`
	factorFormat  = `0.000`
	hoursFormat   = `#,##0.00`
	minutesFormat = `#,##0.0`
	energyFormat  = `0.000`
)

// moneyFormats are the number formats of one currency.
type moneyFormats struct {
	plain  string // to the minor unit
	fine   string // of a gram or minute: four places more
	before string // sign and gap, either before the digits or after
	after  string
	places int32 // of the minor unit
}

// newMoneyFormats returns formats that show a currency as the locale writes
// it: sign before or after, and its places.
func newMoneyFormats(tag string, c money.Currency) moneyFormats {
	sample := document.NewLocale(tag).Money(c.Round(exact.Int(1)), c)
	before, after := aroundDigits(sample)
	m := moneyFormats{places: c.Places()}
	if before != "" || after == "" {
		m.before = sign(before, tag, c) + gap(before)
	} else {
		m.after = gap(after) + sign(after, tag, c)
	}
	m.plain, m.fine = m.with(m.places), m.with(m.places+4)
	return m
}

// with returns the format that shows places decimals.
func (m moneyFormats) with(places int32) string {
	digits := "#,##0"
	if places > 0 {
		digits += "." + strings.Repeat("0", int(places))
	}
	return m.before + digits + m.after
}

// of returns the format for a price as it was typed, which may be finer than
// the minor unit.
func (m moneyFormats) of(typed decimal.Decimal) string {
	if -typed.Exponent() > m.places {
		return m.with(min(-typed.Exponent(), 10))
	}
	return m.plain
}

// aroundDigits returns what stands before the first digit and after the last.
func aroundDigits(s string) (before, after string) {
	first := strings.IndexFunc(s, unicode.IsDigit)
	last := strings.LastIndexFunc(s, unicode.IsDigit)
	if first < 0 {
		return "", ""
	}
	_, after, _ = strings.Cut(s[last:], string([]rune(s[last:])[0]))
	return s[:first], after
}

// sign writes a currency sign with the locale it belongs to, as a number
// format holds it: [$€-1809].
func sign(text, tag string, c money.Currency) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, text)
	if text == "" || strings.ContainsAny(text, "[]-;\"") {
		text = c.Code()
	}
	if id := localeIDs[tag]; id != "" {
		return "[$" + text + "-" + id + "]"
	}
	return "[$" + text + "]"
}

// gap returns the space that a format keeps between sign and digits where the
// locale has one.
func gap(text string) string {
	if strings.ContainsFunc(text, unicode.IsSpace) {
		return `\ `
	}
	return ""
}

// localeIDs are the language codes that number formats name a locale by, of
// Microsoft's open specification MS-LCID (from memory). A locale that is not
// among them is left unnamed, which changes nothing that is seen.
var localeIDs = map[string]string{
	"en-US": "409", "en-GB": "809", "en-IE": "1809", "en-CA": "1009", "en-AU": "C09", "en-NZ": "1409", "en-ZA": "1C09", "en-IN": "4009",
	"de-DE": "407", "de-AT": "C07", "de-CH": "807", "fr-FR": "40C", "fr-BE": "80C", "fr-CA": "C0C", "fr-CH": "100C",
	"nl-NL": "413", "nl-BE": "813", "it-IT": "410", "es-ES": "C0A", "pt-PT": "816", "pt-BR": "416", "da-DK": "406", "sv-SE": "41D",
	"fi-FI": "40B", "pl-PL": "415", "cs-CZ": "405", "ja-JP": "411",
}

// quantityFormat returns how a quantity of the bill is shown: pieces by the
// hundredth, all else by the tenth, and what is below 1 by the thousandth.
func quantityFormat(n exact.Number, unit string) string {
	switch {
	case !n.IsZero() && n.Cmp(exact.Int(1)) < 0:
		return "0.000"
	case unit == "each":
		return "#,##0.00"
	}
	return "#,##0.0"
}

// exactly returns a format with the decimals that n needs, up to three.
func exactly(n exact.Number) string {
	_, fraction, _ := strings.Cut(strings.TrimRight(n.Fixed(3), "0"), ".")
	if fraction == "" {
		return "#,##0"
	}
	return "#,##0." + strings.Repeat("0", len(fraction))
}
