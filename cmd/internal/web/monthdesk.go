package web

import (
	"context"
	"io"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/schedule"
	"marchpane/pricing/shopping"
	"marchpane/store"
	"marchpane/templates/document"
)

// A MonthDesk is the part of a [Desk] that reports, shops, plans the kitchen and
// keeps the journal of what really happened.
type MonthDesk interface {
	// Report makes the report of a span, beside the spans that it is compared with.
	Report(ctx context.Context, s *store.Store, span month.Span, today day.Date) (month.Report, error)
	// ReportPaper writes a report as what an ending says: ".xlsx", ".pdf", ".json".
	ReportPaper(w io.Writer, ending string, studio book.Studio, r month.Report) error

	// Shopping works out what to buy.
	Shopping(ctx context.Context, s *store.Store, ask ShoppingAsk) (book.Studio, shopping.List, error)
	// ShoppingPaper writes a list as what an ending says: ".pdf", ".xlsx", ".csv".
	ShoppingPaper(w io.Writer, ending string, studio book.Studio, list shopping.List) error

	// Kitchen plans the work of the orders between two days.
	Kitchen(ctx context.Context, s *store.Store, ask KitchenAsk) (Kitchen, error)
	// KitchenPaper writes that plan as what an ending says: ".pdf", ".ics".
	KitchenPaper(ctx context.Context, w io.Writer, ending string, s *store.Store, ask KitchenAsk) error
	// Hours writes a capacity as people write it, and ReadHours reads that again;
	// what was stated before stands where nothing is said of it.
	Hours(c schedule.Capacity) Hours
	ReadHours(x *book.Index, h Hours) (schedule.Capacity, record.Faults)

	// Actuals sets what is recorded of an order beside its plan.
	Actuals(ctx context.Context, s *store.Store, o quote.Order) (Actuals, error)
	// Journal says what entries are, in the order in which they were made, and
	// what the bills and plans of a month come to where a month is given.
	Journal(ctx context.Context, s *store.Store, entries actual.Records, of actual.Month) (Journal, error)
	// Record keeps entries and adds the prices of purchases to the book. o is the
	// order of the entries, nil where they have none.
	Record(ctx context.Context, s *store.Store, entries actual.Records, o *quote.Order) (Kept, error)
	// Invoice reads the file of an invoice, each fault at its row.
	Invoice(ctx context.Context, s *store.Store, file InvoiceFile) (actual.Records, error)
	// Moment reads a time as people write it, "17:30" or with a day before it; the
	// zero time where nothing is said.
	Moment(text string) (time.Time, error)
	// StartClock starts a clock for work that begins.
	StartClock(ctx context.Context, s *store.Store, line actual.WorkDone, o quote.Order, started time.Time) (actual.Clock, error)
	// StopClock stops one, and records its work unless it is thrown away.
	StopClock(ctx context.Context, s *store.Store, stop store.Stop) (actual.Clock, Kept, error)
}

// ShoppingAsk is what to shop for.
type ShoppingAsk struct {
	From, To    day.Date // of the events
	OnHand      map[book.ID]measure.Quantity
	Skip        []book.ID // what nobody shops for
	OneSupplier bool
	Cakes       []WantedCake // besides the orders,
	CakesOnly   bool         // or instead of them
	Hidden      bool         // extras too that no client is shown, such as a tasting
	On          day.Date     // whose prices; the zero day: today
}

// WantedCake is a design that is shopped for without an order.
type WantedCake struct {
	Cake   book.ID
	Number int
}

// KitchenAsk is what to plan.
type KitchenAsk struct {
	From, To  day.Date // of the events
	HandOver  []string // "10:00", or of one order "2026-0001=10:00"; none: when the studio opens
	With      []string // open quotes and drafts besides, "D1" or "D1=OPTION"
	Household bool     // cups and spoons beside the grams of the recipe cards
	Hidden    bool     // extras too that come with every quote unseen
	Letter    string   // size of the paper, "a4" or "letter"; "": the studio's
	On        day.Date // as it stands on that day; the zero day: today
}

// Kitchen is a plan with what there is to say of it.
type Kitchen struct {
	Plan  schedule.Plan
	Paper document.Production
	Later []string // orders soon after the span, whose work may fall into it
}

// InvoiceFile is an invoice in a CSV or XLSX file, with what holds for all of its
// rows that do not say otherwise.
type InvoiceFile struct {
	Path, Name       string
	Supplier, Number string
	On               day.Date // the zero day: today
	Order            string   // "": the store room
	TaxIn            string   // "5 %"
}

// Hours are what a studio can do in a day, as people write it.
type Hours struct {
	Opens, Closes string
	Works         [7]bool // Sunday first
	Closed, Open  string  // days of their own: "2026-12-24..2027-01-03, 2027-03-17"
	Of            map[book.ID]HoursOf
}

// HoursOf are those of a role or an appliance. It is not limited where none is
// filled in.
type HoursOf struct {
	Week [7]string // Sunday first
	On   string    // days of their own: "2027-06-11=16 2027-06-12=8"
}

// Actuals are an order as planned and as it went.
type Actuals struct {
	Lines           []ActualLine
	Planned, Actual money.Amount // margin
	Steps           []ActualStep // from the one to the other
	// What share of the net price they are.
	MarginWas, MarginIs record.Maybe[exact.Number]
	Journal             Journal
}

// ActualLine is one thing that an order took. A text is "" where the plan stands
// in for what is not recorded.
type ActualLine struct {
	Name            string
	Planned, Took   string
	PlannedAt, Paid string
	Difference      money.Amount // above 0 raises the margin
	Recorded        bool
}

// ActualStep is one cause for a margin other than planned.
type ActualStep struct {
	Label    string
	Amount   money.Amount // above 0 raises the margin
	Recorded bool
}

// Journal is entries in words.
type Journal struct {
	Entries []Entry
	Sums    []Sum // of a month
}

// Entry is one entry of the journal.
type Entry struct {
	ID, On, Kind, Order, Says string
	Undone, Why               string // the day on which it was taken back
}

// Sum is what the entries of a month come to.
type Sum struct {
	Label, Text string
	Money       bool   // whether Text is an amount of the studio's money
	Planned     string // how many cakes a month is to have,
	Margin      string // and their margin, where Text says both
}

// Kept is what became of entries.
type Kept struct {
	Entries []Entry
	Prices  int      // that were added to the book
	Doubts  []string // what looks wrong
}
