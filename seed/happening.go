package seed

import (
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// Happening is one thing that was noted in the studio, and when.
type Happening struct {
	On     day.Date
	Minute int // since midnight UTC
	Deed   Deed
}

// At returns the instant of h.
func (h Happening) At() time.Time { return h.On.Time().Add(time.Duration(h.Minute) * time.Minute) }

// Deed is what happened: one of the types below. Clients, enquiries and quotes
// are told apart by keys that only the happenings know; what they are called in
// a store is for the store to say.
type Deed interface{ deed() }

// Keys of a client, of an enquiry and of a quote.
type (
	ClientKey  int
	EnquiryKey int
	QuoteKey   int
)

// ClientCame is a new client.
type ClientCame struct {
	Key    ClientKey
	Client enquiry.Client
}

// Asked is a client's enquiry, without the name that a store gives the client.
type Asked struct {
	Key     EnquiryKey
	Client  ClientKey
	Enquiry enquiry.Enquiry
}

// Closed is an enquiry that came to nothing.
type Closed struct {
	Enquiry EnquiryKey
	Why     string
}

// Quoted is a quote that answers an enquiry, or a draft of one.
type Quoted struct {
	Key     QuoteKey
	Enquiry EnquiryKey
	Request quote.Request
	Draft   bool
}

// Revised is something else offered.
type Revised struct {
	Quote   QuoteKey
	Request quote.Request
	Reason  string
}

// Accepted is a client's yes, to an option where there are several.
type Accepted struct {
	Quote  QuoteKey
	Option string
	Reason string
}

// Declined is a client's no.
type Declined struct {
	Quote  QuoteKey
	Reason string
}

// Cancelled is a quote or an order called off. Waived forgives the fee.
type Cancelled struct {
	Quote  QuoteKey
	Waived bool
	Reason string
}

// Paid is all that is left to pay of an order's first instalments.
type Paid struct {
	Quote       QuoteKey
	Instalments int
	Means       quote.Means
	Note        string
}

// PaidAgain is the last payment of an order entered once more, by mistake.
type PaidAgain struct{ Quote QuoteKey }

// Undone takes the last payment of an order back.
type Undone struct {
	Quote QuoteKey
	Note  string
}

// Refunded is all that an order's client has paid too much.
type Refunded struct {
	Quote QuoteKey
	Means quote.Means
	Note  string
}

// Recorded is what was written down of an order that was made, without the
// number that a store gives it.
type Recorded struct {
	Quote QuoteKey
	Sheet actual.Sheet
}

// Charged is what a client was let off after accepting, or charged on top.
type Charged struct {
	Quote  QuoteKey
	Amount money.Amount // below 0: let off
	Note   string
}

// Bought is an invoice of goods for the store room.
type Bought struct{ Lines []actual.GoodsBought }

// Paying is what an hour of a role is really paid.
type Paying struct {
	Role    book.ID
	PerHour money.Price
	Until   day.Date // last day
	Note    string
}

// Billed is overhead or energy paid for a month.
type Billed struct{ Bill actual.Bill }

// Planned is what a month is to bring.
type Planned struct{ Plan actual.Plan }

func (ClientCame) deed() {}
func (Asked) deed()      {}
func (Closed) deed()     {}
func (Quoted) deed()     {}
func (Revised) deed()    {}
func (Accepted) deed()   {}
func (Declined) deed()   {}
func (Cancelled) deed()  {}
func (Paid) deed()       {}
func (PaidAgain) deed()  {}
func (Undone) deed()     {}
func (Refunded) deed()   {}
func (Recorded) deed()   {}
func (Charged) deed()    {}
func (Bought) deed()     {}
func (Paying) deed()     {}
func (Billed) deed()     {}
func (Planned) deed()    {}
