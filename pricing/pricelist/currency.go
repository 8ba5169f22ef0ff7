package pricelist

import (
	"slices"
	"strings"

	"marchpane/pricing/money"
)

// signs lists the signs that lists put for a currency, with the currencies of
// ISO 4217 that go by them. Common practice, no source.
var signs = map[string][]string{
	"€": {"EUR"}, "euro": {"EUR"}, "euros": {"EUR"},
	"£":   {"GBP", "EGP", "GIP", "FKP", "SHP"},
	"$":   {"USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN", "CLP", "COP", "ARS", "TWD", "BBD", "JMD", "TTD"},
	"us$": {"USD"}, "ca$": {"CAD"}, "c$": {"CAD"}, "a$": {"AUD"}, "au$": {"AUD"}, "nz$": {"NZD"}, "s$": {"SGD"}, "hk$": {"HKD"},
	"$us": {"USD"}, "$ca": {"CAD"}, "$au": {"AUD"}, "$nz": {"NZD"}, "£gb": {"GBP"}, "gb£": {"GBP"}, "jp¥": {"JPY"}, "¥jp": {"JPY"}, "cn¥": {"CNY"},
	"fr": {"CHF"}, "sfr": {"CHF"}, "kr": {"SEK", "NOK", "DKK", "ISK"}, "dkr": {"DKK"}, "skr": {"SEK"}, "nkr": {"NOK"},
	"¥": {"JPY", "CNY"}, "円": {"JPY"}, "元": {"CNY"}, "₹": {"INR"}, "rs": {"INR", "PKR", "LKR", "NPR", "MUR"}, "₩": {"KRW"},
	"zł": {"PLN"}, "kč": {"CZK"}, "ft": {"HUF"}, "lei": {"RON", "MDL"}, "лв": {"BGN"}, "₺": {"TRY"}, "tl": {"TRY"}, "₴": {"UAH"},
	"₪": {"ILS"}, "r$": {"BRL"}, "r": {"ZAR"}, "₱": {"PHP"}, "฿": {"THB"}, "₫": {"VND"}, "₦": {"NGN"}, "rm": {"MYR"}, "rp": {"IDR"},
}

// currencyOf reads a code or sign: it returns the code of ISO 4217, or the
// sign where several currencies go by it.
func currencyOf(word string) (string, bool) {
	word = strings.TrimSpace(word)
	if c, err := money.ParseCurrency(strings.ToUpper(word)); err == nil && len(word) == 3 {
		return c.Code(), true
	}
	sign := strings.TrimSpace(strings.TrimSuffix(strings.ToLower(word), "."))
	switch codes := signs[sign]; len(codes) {
	case 0:
		return "", false
	case 1:
		return codes[0], true
	}
	return sign, true
}

// isCurrency reports whether a code or sign as [currencyOf] returns it can
// stand for currency c.
func isCurrency(word string, c money.Currency) bool {
	return word == c.Code() || slices.Contains(signs[word], c.Code())
}
