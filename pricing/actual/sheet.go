package actual

import (
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// Sheet is what someone writes down about one order. Everything but the order
// is optional; days that are left out are the day of writing. Its json tags are
// the keys of a file.
type Sheet struct {
	Order  string        `json:"order"`
	Work   []WorkDone    `json:"work,omitempty"`
	Used   []GoodsTaken  `json:"used,omitempty"`   // in all, instead of the plan
	More   []GoodsTaken  `json:"more,omitempty"`   // on top of the plan
	Wasted []GoodsTaken  `json:"wasted,omitempty"` // thrown away
	Bought []GoodsBought `json:"bought,omitempty"` // for this order alone
}

// WorkDone is a line of work.
type WorkDone struct {
	Role book.ID  `json:"role"`
	Time Minutes  `json:"time"`
	As   Way      `json:"as,omitempty"` // worked
	Task string   `json:"task,omitempty"`
	Who  string   `json:"who,omitempty"`
	On   day.Date `json:"on,omitzero"`
	Note string   `json:"note,omitempty"`
}

// GoodsTaken is a line of goods.
type GoodsTaken struct {
	Use book.ID          `json:"use"`
	Qty measure.Quantity `json:"qty"`
	On  day.Date         `json:"on,omitzero"`
	Why string           `json:"why,omitempty"`
}

// GoodsBought is a line of an invoice.
type GoodsBought struct {
	Use      book.ID                       `json:"use"`
	Packs    measure.Figure                `json:"packs"`
	Pack     measure.Pack                  `json:"pack"`
	Price    money.Price                   `json:"price"` // of one pack
	TaxIn    record.Maybe[measure.Percent] `json:"tax_in,omitzero"`
	Supplier string                        `json:"supplier,omitempty"`
	Invoice  string                        `json:"invoice,omitempty"`
	On       day.Date                      `json:"on,omitzero"`
	Note     string                        `json:"note,omitempty"`
}

// DecodeSheet reads a sheet from JSON. The error is a record.Faults.
func DecodeSheet(data []byte) (Sheet, error) {
	var s Sheet
	if err := record.Decode(data, &s).Err(); err != nil {
		return Sheet{}, err
	}
	return s, nil
}

// length of a sheet, in lines.
func (s Sheet) length() int {
	return len(s.Work) + len(s.Used) + len(s.More) + len(s.Wasted) + len(s.Bought)
}
