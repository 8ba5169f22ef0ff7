package web

import (
	"context"

	"marchpane/pricing/quote"
	"marchpane/store"
)

// An OrderDesk is the part of a [Desk] that writes to clients and looks into the
// kitchen for a quote.
type OrderDesk interface {
	// ReceiptPDF writes the receipt of a payment.
	ReceiptPDF(ctx context.Context, s *store.Store, o quote.Order, p quote.Payment) ([]byte, error)
	// LetterKinds lists the letters that can be written about a quote as it
	// stands, the most fitting first.
	LetterKinds(q store.SavedQuote) []string
	// Letter writes the e-mail that a mail program opens, and notes that it was
	// written. The error is a [LetterFault] where it lacks something.
	Letter(ctx context.Context, s *store.Store, q store.SavedQuote, ask LetterAsk) (LetterFile, error)
	// Calendar writes the days of a quote for a calendar program.
	Calendar(ctx context.Context, s *store.Store, ref string) ([]byte, error)
	// Room says how full the days of a quote are with it, an entry for each of
	// its choices.
	Room(ctx context.Context, s *store.Store, ref string, q quote.Quote) ([]Room, error)
}

// LetterAsk says which letter is wanted.
type LetterAsk struct {
	Kind, To, Payment, Note string // "": what fits; the client's address; the last payment
	Calendar                bool   // with the days as a calendar file
}

// LetterFile is a letter as a file.
type LetterFile struct {
	Name string
	Data []byte
}

// LetterFault is why a letter cannot be written.
type LetterFault struct{ Err error }

// Error returns the reason.
func (f LetterFault) Error() string { return f.Err.Error() }

// Room is what the kitchen says to one choice of a quote.
type Room struct {
	Option  string
	StartBy string   // when the work begins at the latest
	Days    []string // that it makes fuller
	Trouble []string // what does not fit
}
