package quote

import (
	"cmp"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// Ledger is an account of a book-keeper's ledger.
type Ledger string

// The accounts that entries are made on.
const (
	BankLedger         Ledger = "bank"         // transfers, cards and cheques
	CashLedger         Ledger = "cash"         // banknotes and coins
	ClientsLedger      Ledger = "clients"      // owed by clients; payments in advance stand on the credit side
	SalesLedger        Ledger = "sales"        // without tax
	TaxLedger          Ledger = "tax"          // charged to clients and due to the state
	CancellationLedger Ledger = "cancellation" // income from cancelled orders
)

// Ledgers lists every account in the order of a chart of accounts.
func Ledgers() []Ledger {
	return []Ledger{CashLedger, BankLedger, ClientsLedger, TaxLedger, SalesLedger, CancellationLedger}
}

// Posting is one line of a double entry: a debit or a credit.
type Posting struct {
	On     day.Date
	Entry  string // postings of one entry share it; their debits equal their credits
	Ledger Ledger
	Debit  money.Amount
	Credit money.Amount
	Rate   exact.Number // of tax, on sales and tax
	Taxed  bool         // whether Rate says something
	What   EntryKind
	Quote  string
	Client string
}

// EntryKind is what an entry records.
type EntryKind string

// The kinds of entry.
const (
	SaleEntry         EntryKind = "sale"
	ReceiptEntry      EntryKind = "receipt"
	RefundEntry       EntryKind = "refund"
	CorrectionEntry   EntryKind = "correction"
	CancellationEntry EntryKind = "cancellation fee"
)

// Order is an accepted quote, reduced to the option that was accepted, with
// what became of it.
type Order struct {
	Quote       Quote
	Accepted    day.Date
	CancelledOn day.Date // the zero day where it was not
	Fee         money.Amount
	Payments    []Payment
}

// Journal returns the double entries of an order, by day: its sale on the day
// of the event, unless it was cancelled; its payments; what a cancellation
// costs. Within an entry debits equal credits.
//
// A payment in advance is a debt to the client until the day of the event. In
// some places tax falls due when it is received; that is for the book-keeper
// to say, and the tax of a quote by rate is on the entry of its sale.
func (o Order) Journal() []Posting {
	var list []Posting
	post := func(on day.Date, entry string, what EntryKind, ledger Ledger, debit money.Amount, rate exact.Number, taxed bool) {
		p := Posting{On: on, Entry: entry, What: what, Ledger: ledger, Rate: rate, Taxed: taxed, Quote: o.Quote.Number, Client: o.Quote.Offer.Client.Name}
		p.Debit, p.Credit = debit, debit.Sub(debit)
		if debit.Sign() < 0 {
			p.Debit, p.Credit = p.Credit, debit.Neg()
		}
		if !debit.IsZero() {
			list = append(list, p)
		}
	}
	offer, none := o.Quote.Offer, exact.Number{}
	for _, p := range o.Payments {
		what := ReceiptEntry
		switch {
		case p.Undoes != "":
			what = CorrectionEntry
		case p.Refund():
			what = RefundEntry
		}
		ledger := BankLedger
		if p.Means == Cash {
			ledger = CashLedger
		}
		post(p.On, p.Number, what, ledger, p.Amount, none, false)
		post(p.On, p.Number, what, ClientsLedger, p.Amount.Neg(), none, false)
	}
	switch {
	case !o.CancelledOn.IsZero():
		entry := o.Quote.Number + "-X"
		post(o.CancelledOn, entry, CancellationEntry, ClientsLedger, o.Fee, none, false)
		post(o.CancelledOn, entry, CancellationEntry, CancellationLedger, o.Fee.Neg(), none, false)
	default:
		entry := o.Quote.Number + "-" + o.Quote.Revision
		post(offer.EventDate, entry, SaleEntry, ClientsLedger, offer.Total, none, false)
		if len(offer.Tax) == 0 {
			post(offer.EventDate, entry, SaleEntry, SalesLedger, offer.Total.Neg(), none, false)
		}
		for _, t := range offer.Tax {
			post(offer.EventDate, entry, SaleEntry, SalesLedger, t.Net.Neg(), t.Rate, true)
			post(offer.EventDate, entry, SaleEntry, TaxLedger, t.Tax.Neg(), t.Rate, true)
		}
	}
	return list
}

// Net returns what the order brings without tax: its net total, or what the
// cancellation costs the client.
func (o Order) Net() exact.Number {
	if !o.CancelledOn.IsZero() {
		return o.Fee.Number()
	}
	return o.Quote.Basis.Net
}

// Margin returns the margin that the order was sold at.
func (o Order) Margin() (exact.Number, bool) {
	return pricing.Margin(o.Quote.Basis.Net, o.Quote.Basis.Cost)
}

// Served returns how many portions the order serves.
func (s Sale) Served() int {
	served := map[book.ID]int{}
	for _, d := range s.Designs {
		served[d.Cake] = d.Served
	}
	n := 0
	for _, l := range s.Lines {
		if l.Kind == CakeLine {
			n += served[l.ID] * l.Quantity
		}
	}
	return n
}

// Journal returns the entries of orders from one day to another, by day.
func Journal(orders []Order, from, to day.Date) []Posting {
	var list []Posting
	for _, o := range orders {
		for _, p := range o.Journal() {
			if !p.On.Before(from) && !p.On.After(to) {
				list = append(list, p)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Posting) int {
		return cmp.Or(b.On.DaysUntil(a.On), cmp.Compare(a.Entry, b.Entry))
	})
	return list
}
