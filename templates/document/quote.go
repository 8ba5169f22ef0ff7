package document

import (
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/shape"
)

// Quote is the paper a client receives.
//
// A paper of one offer has it in Design, Cakes, Prices, Tax, Payments,
// Allergens and Cautions. A paper that lets the client choose has those of each
// option in Options, and a page that sets them side by side in Comparison; its
// own are empty.
type Quote struct {
	Language string   // of the wording, BCP 47
	Title    string   // of the file
	Subject  string   // of the file
	Date     day.Date // of issue; dates the file
	Paper    Paper

	Draft   string // the mark on every page of a draft, "" once issued
	Heading string // what the paper is: "Quotation"
	Name    string // what it is called elsewhere: "quotation 2026-0001, revision A"
	Page    string // pattern of the page number: "Page %d of %d"
	More    string // said in the heading of a table that goes on: "continued"

	Studio     Studio
	Reference  []Fact // number, revision, dates
	Client     Section
	Event      []Fact
	Design     string // heading over the cakes
	Cakes      []Cake
	Prices     Prices
	Tax        Tax
	Payments   Payments
	Allergens  Statement
	Cautions   Section
	Terms      Section
	Acceptance Acceptance

	Look         Look       `json:",omitzero"`
	Mark         string     `json:",omitzero"` // on every page of one that no longer stands: see [Quote.Marked]
	Changes      Changes    `json:",omitzero"` // against the revision before
	Comparison   Comparison `json:",omitzero"`
	Options      []Option   `json:",omitempty"`
	Cancellation Section    `json:",omitzero"` // what it costs the client to cancel
}

// Look is how the studio wants its papers to look. Its paper is that of
// [Quote.Paper].
type Look struct {
	Accent  string       // a colour: #6a3f52
	Logo    string       // fingerprint of the picture that a store keeps
	Picture book.Picture `json:",omitzero"` // of that fingerprint; whoever has the store sets it
}

// Option is one of several offers to choose from, in full.
type Option struct {
	Name      string // with its number: "Option 1: Meadow"
	Design    string // heading over the cakes
	Cakes     []Cake
	Prices    Prices
	Tax       Tax
	Payments  Payments
	Allergens Statement
	Cautions  Section
}

// Comparison sets the options side by side on one page. Without columns it is
// not printed.
type Comparison struct {
	Heading string
	Intro   string
	Columns []ComparedOption
	Rows    []ComparedRow
	Note    string // that the drawings are to one scale
}

// ComparedOption is one column of a comparison.
type ComparedOption struct {
	Name    string  // as in [Option]
	Cakes   []Cake  // without pictures of their own
	Picture Picture // of its cakes, to one scale throughout the comparison; empty until someone draws it
}

// ComparedRow is one line of a comparison.
type ComparedRow struct {
	Kind  RowKind
	Label string
	Cells [][]string // for each column its lines; none where there is nothing to say
}

// RowKind tells rows apart that look different on paper.
type RowKind string

// The kinds of row, in the order in which they stand.
const (
	CakesRow      RowKind = "cakes"
	SizesRow      RowKind = "sizes"
	PortionsRow   RowKind = "portions"
	ExtrasRow     RowKind = "extras"
	TotalRow      RowKind = "total"
	PerPortionRow RowKind = "per portion"
	DepositRow    RowKind = "deposit"
	ContainsRow   RowKind = "contains"
	MayContainRow RowKind = "may contain"
)

// Changes is what a revision changes. Without lines it is not printed.
type Changes struct {
	Heading string
	Intro   string
	Lines   []ChangeLine
}

// ChangeLine is one change.
type ChangeLine struct {
	Option string // that it belongs to, as the client knows it; "" for none
	Text   string // "Guests: 90 instead of 80"
	Money  string // what it adds to the total, with its sign; "" for nothing
	Total  bool   // whether it is the sum of those above it
}

// Paper is a size of paper.
type Paper string

// The papers; the empty Paper is A4.
const (
	A4     Paper = "A4"
	Letter Paper = "Letter"
)

// Fact is a labelled line.
type Fact struct {
	Label, Value string
}

// Section is a heading with lines or paragraphs under it. One without lines is
// not printed.
type Section struct {
	Heading string
	Lines   []string
}

// Studio is the sender.
type Studio struct {
	Name      string
	Address   []string
	Email     string // an address, to be linked
	Phone     string
	TaxNumber string // with its label: "VAT no. XX 123"
}

// Cake describes one design that is quoted.
type Cake struct {
	Name        string
	Quantity    string // "2 of this design"; "" for one
	Description string
	Portions    string // made, served and kept, in words
	Tiers       []Tier
	Height      string // of the whole stack, as a dimension
	Unit        LengthUnit
	Picture     Picture // empty until someone draws it
}

// LengthUnit is what a drawing's scale bar counts in.
type LengthUnit string

// The units of scale bars.
const (
	Centimetres LengthUnit = "cm"
	Inches      LengthUnit = "in"
)

// Tier is one storey, lowest first in [Cake.Tiers].
type Tier struct {
	Name     string
	Size     string // in words
	Portions string // "24 portions"
	Note     string // what sets it apart, such as being kept; else ""
	Width    string // seen from the front, as a dimension
	Height   string // as a dimension
	Form     shape.Solid
	Dummy    bool
	Kept     bool
}

// Prices is the table of what is charged.
type Prices struct {
	Heading string
	Columns PriceLine // the column headings
	Lines   []PriceLine
	Sums    []Fact // between the lines and the total; where prices are net
	Total   Fact
	Note    string // on tax
}

// LineKind tells lines apart that look different on paper.
type LineKind string

// The kinds of line.
const (
	CakeLine     LineKind = "cake"
	ExtraLine    LineKind = "extra"
	DiscountLine LineKind = "discount"
	MinimumLine  LineKind = "minimum"
)

// PriceLine is one line of the table.
type PriceLine struct {
	Kind     LineKind
	Name     string
	Quantity string
	Unit     string // unit price
	Amount   string
}

// Tax is the tax in the total, rate by rate. Without lines it is not printed.
type Tax struct {
	Heading string
	Columns TaxLine
	Lines   []TaxLine
}

// TaxLine is the tax at one rate.
type TaxLine struct {
	Rate, Net, Tax string
}

// Payments is what falls due when.
type Payments struct {
	Heading string
	Lines   []Payment
}

// Payment is one instalment.
type Payment struct {
	Label, Due, Amount string
}

// Statement is what a client has to know of allergens.
type Statement struct {
	Heading string
	Facts   []Fact // "Contains", "May contain"
	Note    string
}

// Acceptance is the block to sign.
type Acceptance struct {
	Heading    string
	Text       string
	Choices    []string `json:",omitempty"` // each with a box to tick before it; none where there is one offer
	Signatures []Signature
}

// Signature is one party's place to sign.
type Signature struct {
	Party string   // who signs: "For the client"
	Name  string   // "" where it is written by hand
	Lines []string // what to write on each rule: "Signature", "Date"
}
