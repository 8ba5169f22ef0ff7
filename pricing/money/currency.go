package money

import (
	"fmt"

	"github.com/bojanz/currency"
	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
)

// Currency is a currency of ISO 4217. The zero value has no code and no minor
// unit.
type Currency struct {
	code   string
	places int32
}

// ParseCurrency looks up an ISO 4217 code such as "EUR".
func ParseCurrency(code string) (Currency, error) {
	if digits, ok := currency.GetDigits(code); ok {
		return Currency{code, int32(digits)}, nil
	}
	switch code {
	// Withdrawn in 2025 and 2026 and gone from the library's list; books
	// priced in them still have to open. Two places each by ISO 4217.
	case "ANG", "BGN", "CUC":
		return Currency{code, 2}, nil
	}
	return Currency{}, fmt.Errorf("currency %.12q is unknown; use a code of ISO 4217 such as EUR, GBP or USD", code)
}

// Code returns the ISO 4217 code.
func (c Currency) Code() string { return c.code }

// Places returns the decimals of the minor unit: 2 for EUR, 0 for JPY.
func (c Currency) Places() int32 { return c.places }

// Round rounds n half away from zero to the minor unit.
func (c Currency) Round(n exact.Number) Amount {
	return Amount{n.Round(c.places), c.places}
}

// Fits reports whether p can be paid exactly: whether it is no finer than the
// minor unit.
func (c Currency) Fits(p Price) bool {
	return p.figure.Equal(p.figure.Truncate(c.places))
}

// Amount returns d, which must fit the minor unit, as an amount.
func (c Currency) Amount(d decimal.Decimal) Amount {
	return Amount{d.Truncate(c.places), c.places}
}

// MarshalText writes the code.
func (c Currency) MarshalText() ([]byte, error) { return []byte(c.code), nil }

// UnmarshalText reads c as [ParseCurrency] does.
func (c *Currency) UnmarshalText(text []byte) (err error) {
	*c, err = ParseCurrency(string(text))
	return err
}
