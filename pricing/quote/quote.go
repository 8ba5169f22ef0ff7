package quote

import (
	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// Quote is a priced request. A draft has no number. Its json tags are the form
// in which a store freezes it.
//
// A quote of one offer has it in Offer and Basis. A quote that lets the client
// choose has Options instead; its Offer then holds the heading alone.
// [Quote.Choose] makes the one from the other.
type Quote struct {
	Number   string   `json:"number,omitempty"` // 2026-0001; "" for a draft
	Revision string   `json:"revision"`         // A first
	Request  Request  `json:"request"`
	Offer    Offer    `json:"offer"`
	Basis    Basis    `json:"basis"`
	Options  []Option `json:"options,omitempty"`
	Changes  []Change `json:"changes,omitempty"` // against the revision before
	Chosen   string   `json:"-"`                 // name of the option that [Quote.Choose] took
}

// Draft reports whether q has not been issued.
func (q Quote) Draft() bool { return q.Number == "" }

// Option is one of several offers that a client chooses among.
type Option struct {
	Name string `json:"name"`
	Sale
	Basis Basis `json:"basis"`
}

// Choose returns the quote of option i alone, counted from 0. A quote without
// options is its own only choice.
func (q Quote) Choose(i int) Quote {
	if len(q.Options) == 0 {
		return q
	}
	o := q.Options[i]
	q.Offer.Sale, q.Basis, q.Chosen, q.Options = o.Sale, o.Basis, o.Name, nil
	return q
}

// Choices returns the quote of each option, or the quote itself where it has
// none.
func (q Quote) Choices() []Quote {
	list := make([]Quote, max(len(q.Options), 1))
	for i := range list {
		list[i] = q.Choose(i)
	}
	return list
}

// Offer is all that a client sees.
type Offer struct {
	Heading
	Sale
}

// Heading is what the options of a quote share.
type Heading struct {
	Studio       Sender            `json:"studio"`
	Client       Client            `json:"client"`
	EventDate    day.Date          `json:"event_date"`
	Venue        string            `json:"venue,omitempty"`
	Guests       int               `json:"guests,omitempty"`
	Language     string            `json:"language,omitempty"` // of the client's papers; the studio's where it is empty
	IssuedOn     day.Date          `json:"issued_on"`
	ValidUntil   day.Date          `json:"valid_until"`
	Shown        book.Shown        `json:"prices_shown"`
	Cancellation []CancellationFee `json:"cancellation,omitempty"`
}

// Sale is what is delivered and what it costs the client.
type Sale struct {
	Designs     []Design        `json:"designs"` // each cake of the order once
	Lines       []Line          `json:"lines"`
	Tax         []TaxLine       `json:"tax"` // by rising rate
	Total       money.Amount    `json:"total"`
	Instalments []Instalment    `json:"instalments"`
	Contains    []book.Allergen `json:"contains"`
	MayContain  []book.Allergen `json:"may_contain"`
	Flags       []FlagNote      `json:"flags"`
}

// CancellationFee is the share of the total that a cancellation costs from so
// many days before the event on.
type CancellationFee struct {
	WithinDays int             `json:"within_days,omitempty"` // 0: at any time
	Share      measure.Percent `json:"share"`
}

// Sender is the studio as its papers show it.
type Sender struct {
	Name         string            `json:"name"`
	Address      string            `json:"address,omitempty"`
	Email        string            `json:"email,omitempty"`
	Phone        string            `json:"phone,omitempty"`
	Locale       string            `json:"locale"`
	Currency     money.Currency    `json:"currency"`
	TaxLabel     string            `json:"tax_label,omitempty"`
	TaxNumber    string            `json:"tax_number,omitempty"`
	AllergenList book.AllergenList `json:"allergen_list"`
	Terms        []string          `json:"terms,omitempty"`
	Look         Look              `json:"look,omitzero"`
}

// Look is how the studio's papers look. Logo is the fingerprint of the picture
// that a store keeps.
type Look struct {
	Accent string `json:"accent,omitempty"` // #6a3f52
	Paper  string `json:"paper,omitempty"`  // a4 or letter
	Logo   string `json:"logo,omitempty"`
}

// Design is how a cake looks and is cut.
type Design struct {
	Cake        book.ID `json:"cake"`
	Name        string  `json:"name"`
	Description string  `json:"description,omitempty"`
	Made        int     `json:"portions_made"`
	Served      int     `json:"portions_served"`
	Tiers       []Tier  `json:"tiers,omitempty"` // from the bottom up, as the book lists them
}

// Tier is one storey of a design.
type Tier struct {
	Name     string    `json:"name"`
	Form     book.Form `json:"form"`
	Dummy    bool      `json:"dummy,omitempty"`
	Kept     bool      `json:"kept,omitempty"`
	Portions int       `json:"portions"`
}

// LineKind is what a line of a quote charges.
type LineKind string

// The kinds of line.
const (
	CakeLine     LineKind = "cake"
	ExtraLine    LineKind = "extra"
	DiscountLine LineKind = "discount"
	MinimumLine  LineKind = "minimum"
)

// Line is one priced line. Amounts are in shown terms.
type Line struct {
	Kind      LineKind     `json:"kind"`
	ID        book.ID      `json:"id,omitempty"` // of the cake or extra
	Name      string       `json:"name"`
	Quantity  int          `json:"quantity"`
	UnitPrice money.Amount `json:"unit_price"`
	Amount    money.Amount `json:"amount"`
	TaxRate   exact.Number `json:"tax_rate"`         // of a discount over several rates, 0: see Shares
	Shares    []Share      `json:"shares,omitempty"` // of a discount, by tax rate
}

// Share is the part of a discount that falls on one tax rate.
type Share struct {
	Rate   exact.Number `json:"rate"`
	Amount money.Amount `json:"amount"`
}

// TaxLine is the tax at one rate.
type TaxLine struct {
	Rate exact.Number `json:"rate"` // a fraction: 0.135 for 13.5 %
	Net  money.Amount `json:"net"`
	Tax  money.Amount `json:"tax"`
}

// Instalment is a part of the total and when it falls due.
type Instalment struct {
	Due     day.Date     `json:"due"`
	Amount  money.Amount `json:"amount"`
	Deposit bool         `json:"deposit,omitempty"`
}

// FlagNote is something a client has to be told, and what it is in.
type FlagNote struct {
	Flag book.Flag `json:"flag"`
	In   []string  `json:"in"` // names of ingredients and components, in the order of the book
}

// Basis is what the offer rests on: never shown to a client.
type Basis struct {
	Cakes  []Costed     `json:"cakes"`          // one for each cake line
	Extras []Costed     `json:"extras"`         // hidden ones too
	Rates  []Rate       `json:"rates"`          // the prices used, each resource once
	Share  exact.Number `json:"overhead_share"` // of overhead by percentage
	Net    exact.Number `json:"net"`            // total without tax
	Cost   exact.Number `json:"cost"`           // of the whole order, hidden extras too
}

// Margin returns (net − cost) ÷ net, and false where net is 0.
func (b Basis) Margin() (exact.Number, bool) { return pricing.Margin(b.Net, b.Cost) }

// Costed is one cake or extra of the order with its frozen bill and cost, of a
// single one.
type Costed struct {
	ID       book.ID    `json:"id"`
	Name     string     `json:"name"`
	Quantity int        `json:"quantity"`
	Hidden   bool       `json:"hidden,omitempty"`
	Bill     []Resource `json:"bill"`
	Cost     Classes    `json:"cost"`
}

// Resource is a frozen line of a bill.
type Resource struct {
	ID       book.ID      `json:"resource"`
	Kind     string       `json:"kind"`
	Quantity exact.Number `json:"quantity"`
	Unit     string       `json:"unit"`
}

// Classes is a frozen cost by class.
type Classes struct {
	Ingredients exact.Number `json:"ingredients"`
	Packaging   exact.Number `json:"packaging"`
	Labour      exact.Number `json:"labour"`
	Equipment   exact.Number `json:"equipment"`
	Overhead    exact.Number `json:"overhead"`
}

// Rate is a frozen price: what a unit of a resource cost on the day of issue.
type Rate struct {
	ID       book.ID      `json:"resource"`
	Kind     string       `json:"kind"`
	PerUnit  exact.Number `json:"per_unit"`
	Unit     string       `json:"unit"`
	Price    string       `json:"price"`
	From     day.Date     `json:"from,omitzero"`
	Supplier string       `json:"supplier,omitempty"`
}
