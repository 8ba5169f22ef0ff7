package web

import (
	"context"
	"errors"

	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/letter"
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
	// LookAtLetter says what would go out, and does nothing. The error is a
	// [LetterFault] where the letter lacks something.
	LookAtLetter(ctx context.Context, s *store.Store, q store.SavedQuote, ask LetterAsk) (LetterLook, error)
	// SendLetter hands a letter to the mail server, and notes it on the trail once
	// that has taken it. The error is [ErrLetterChanged] where it is not what was
	// looked at, a [LetterFault], or a [MailFault].
	SendLetter(ctx context.Context, s *store.Store, q store.SavedQuote, ask LetterAsk, version, password string) (LetterLook, error)
	// Mail says how letters leave the house.
	Mail(ctx context.Context, s *store.Store) (MailWay, error)
	// TryMail sends a letter to the studio itself and returns its address.
	TryMail(ctx context.Context, s *store.Store, password string) (string, error)
	// Calendar writes the days of a quote for a calendar program.
	Calendar(ctx context.Context, s *store.Store, ref string) ([]byte, error)
	// StudioCalendar writes the days of every open quote and order, and tastings.
	StudioCalendar(ctx context.Context, s *store.Store) ([]byte, error)
	// QuoteRequest writes what a quote was made from as a request file, and
	// EnquiryRequest the request for a quote that answers an enquiry.
	QuoteRequest(q store.SavedQuote) ([]byte, error)
	EnquiryRequest(e store.SavedEnquiry, c store.SavedClient) ([]byte, error)
	// Room says how full the days of a quote are with it, an entry for each of
	// its choices.
	Room(ctx context.Context, s *store.Store, ref string, q quote.Quote) ([]Room, error)
	// RoomOn says what accepted orders take of one day.
	RoomOn(ctx context.Context, s *store.Store, date day.Date) (DayRoom, error)
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

// LetterLook is a letter as it would go out now.
type LetterLook struct {
	Kind, Language string
	From, To       letter.Address
	Subject, Body  string
	Files          []LetterFile // that go with it
	Version        string       // of all of this, and of how often the quote was written about
}

// ErrLetterChanged says that a letter is not what was looked at.
var ErrLetterChanged = errors.New("the letter is not what was looked at")

// MailWay is how letters leave the house.
type MailWay struct {
	Known      bool // whether there is a mail server
	Host, User string
	Asks       bool // whether a password has to be given
}

// MailFault is why a letter did not go out.
type MailFault struct {
	Err    error
	Unsure bool // it may have gone out all the same
	Gone   bool // it did, and what comes after failed
}

// Error returns the reason.
func (f MailFault) Error() string { return f.Err.Error() }

// Unwrap returns the reason.
func (f MailFault) Unwrap() error { return f.Err }

// Room is what the kitchen says to one choice of a quote.
type Room struct {
	Option  string
	StartBy string   // when the work begins at the latest
	Days    []string // that it makes fuller
	Trouble []string // what does not fit
}

// DayRoom is how full a day is with what is accepted.
type DayRoom struct {
	Heading string   // the day, and which orders take something of it
	Orders  []string // those, by their numbers
	Taken   []string // of each role and appliance
	Over    bool     // more than the day has
}
