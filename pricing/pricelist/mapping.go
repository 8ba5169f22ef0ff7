package pricelist

import (
	"encoding/json"
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// Mapping says how one supplier writes price lists. The zero Mapping leaves
// all to what the list itself shows. Its JSON is what a store keeps.
type Mapping struct {
	Columns   Columns                       `json:"columns,omitzero"`
	Decimal   Mark                          `json:"decimal,omitempty"`   // before the decimals; else as the list proves
	Dates     Order                         `json:"dates,omitempty"`     // of day and month in 5/10/2026; else as the list proves
	Tax       Side                          `json:"tax,omitempty"`       // whether prices hold tax; else as the heading says
	TaxRate   record.Maybe[measure.Percent] `json:"tax_rate,omitzero"`   // of every row; else the tax column's
	Currency  record.Maybe[money.Currency]  `json:"currency,omitzero"`   // of every row; else the book's
	PriceOf   Priced                        `json:"price_of,omitempty"`  // where a case holds several units
	Customary Customary                     `json:"customary,omitempty"` // whose pints, where the list does not say
}

// Columns names the columns of a list, each by the text of its heading or by
// its letter. An empty name leaves the column to be recognised.
type Columns struct {
	Item     string `json:"item,omitempty"`     // name of the goods
	Code     string `json:"code,omitempty"`     // the supplier's number for them
	Pack     string `json:"pack,omitempty"`     // what one price buys
	Count    string `json:"count,omitempty"`    // how many units of Pack a case holds
	Unit     string `json:"unit,omitempty"`     // unit of a Pack that is a bare figure
	Price    string `json:"price,omitempty"`    //
	Tax      string `json:"tax,omitempty"`      // rate of the tax
	Currency string `json:"currency,omitempty"` //
	From     string `json:"from,omitempty"`     // day the price holds from
}

// named returns the name of a role's column.
func (c Columns) named(r role) string {
	return [roles]string{c.Item, c.Code, c.Pack, c.Count, c.Unit, c.Price, c.Tax, c.Currency, c.From}[r]
}

// Side says whether a price holds tax.
type Side string

// The sides. Unstated is refused in the end: a guess would be wrong by the
// whole tax.
const (
	Unstated Side = ""
	TaxIn    Side = "in"
	TaxOut   Side = "out"
)

// UnmarshalText reads "in", "out" or "".
func (s *Side) UnmarshalText(text []byte) error {
	switch Side(text) {
	case Unstated, TaxIn, TaxOut:
		*s = Side(text)
		return nil
	}
	return fmt.Errorf("tax %.20q is unknown; use in where prices hold tax, out where they do not", text)
}

// Priced says what a price buys where one column has the size of a unit and
// another how many units a case holds.
type Priced string

// A price is of the whole case or of one unit.
const (
	ByPack Priced = "pack"
	ByUnit Priced = "unit"
)

// UnmarshalText reads "pack", "unit" or "".
func (p *Priced) UnmarshalText(text []byte) error {
	switch Priced(text) {
	case "", ByPack, ByUnit:
		*p = Priced(text)
		return nil
	}
	return fmt.Errorf("price_of %.20q is unknown; use pack or unit", text)
}

// Alias is what a studio has said about one of a supplier's items: which
// ingredient it is, or that the studio does not buy it. An alias goes by the
// supplier's code, and where it has none by the name.
type Alias struct {
	Code       string  `json:"code,omitempty"`
	Name       string  `json:"name,omitempty"`
	Ingredient book.ID `json:"ingredient,omitempty"` // "": not bought
}

// ParseMapping reads what [Mapping.JSON] wrote, or what a user has written by
// hand; the error is a record.Faults.
func ParseMapping(data []byte) (Mapping, error) {
	var m Mapping
	if faults := record.Decode(data, &m); len(faults) > 0 {
		return Mapping{}, faults
	}
	return m, nil
}

// JSON writes m on one line, without what is not stated.
func (m Mapping) JSON() string {
	text, err := json.Marshal(m)
	if err != nil {
		panic(fmt.Sprintf("pricelist: a mapping cannot be written: %v", err))
	}
	return string(text)
}
