package document

import (
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// Receipt is the paper that confirms one payment, or one paid back. It shows no
// tax: whether a payment calls for an invoice, and which tax it then shows, is
// for the law of the studio's country and its accountant to say.
type Receipt struct {
	Language string // as in [Quote], and so on to Page
	Title    string
	Subject  string
	Date     day.Date // of the payment; dates the file
	Paper    Paper
	Look     Look
	Heading  string // "Receipt", "Refund", "Correction"
	Name     string // "Receipt R2026-0001"
	Page     string // pattern of the page number
	Mark     string // of one that was taken back; else ""

	Studio    Studio
	Reference []Fact  // number, day
	Client    Section // from whom, or to whom
	Text      string  // what is confirmed, in a sentence
	Amount    Fact    // to stand out
	Details   []Fact  // means, order, event, note
	Account   Account
	Note      string // that it is no invoice
	Signature Signature
}

// Account is where an order stands after a payment.
type Account struct {
	Heading string
	Lines   []Fact // owed, received so far
	Balance Fact   // what is left, to stand out
}

// ReceiptOf writes out the receipt of a payment for q, an order of one offer.
// The account is that on the day of the payment, with it counted.
func ReceiptOf(q quote.Quote, p quote.Payment, a quote.Account) Receipt {
	w := newWriter(q)
	m := w.m
	amount := p.Amount
	if p.Refund() {
		amount = amount.Neg()
	}
	r := Receipt{
		Language: m.Language, Subject: sentence(m.PreparedForWhom, q.Offer.Client.Name), Date: p.On,
		Paper: w.paper(), Look: w.look(), Page: m.Page,
		Studio: w.studio(), Client: w.client(), Account: w.account(a), Note: m.ReceiptNote,
		Signature: Signature{Party: m.ForStudio, Name: q.Offer.Studio.Name, Lines: []string{m.SignHere, m.SignDate}},
	}
	on := m.ReceivedOn
	switch {
	case p.Undoes != "":
		r.Heading, r.Text, on = m.Correction, sentence(m.CorrectedText, w.money(amount), p.Undoes), m.Issued
		r.Amount = Fact{m.Amount, w.money(p.Amount)}
		r.Client.Heading = m.PreparedFor
	case p.Refund():
		r.Heading, r.Text, on = m.Refund, sentence(m.PaidBackText, w.money(amount), q.Offer.Client.Name), m.PaidBackOn
		r.Amount = Fact{m.PaidBack, w.money(amount)}
		r.Client.Heading = m.PaidBackTo
	default:
		r.Heading, r.Text = m.Receipt, sentence(m.ReceivedText, w.money(amount), q.Offer.Client.Name)
		r.Amount = Fact{m.Received, w.money(amount)}
		r.Client.Heading = m.ReceivedFrom
	}
	if p.Undone != "" {
		r.Mark = m.Marks[MarkVoid]
	}
	r.Name = sentence(m.PaperName, r.Heading, p.Number)
	r.Title = sentence(m.FileTitle, r.Name, q.Offer.Studio.Name)
	r.Reference = []Fact{{m.Number, p.Number}, {on, w.Date(p.On)}}
	r.Details = w.paymentDetails(p)
	return r
}

func (w quoteWriter) paymentDetails(p quote.Payment) []Fact {
	order := w.name()
	if w.quote.Chosen != "" {
		order = sentence(w.m.ChangeOf, order, w.quote.Chosen)
	}
	means, ok := w.m.MeansNames[string(p.Means)]
	if !ok {
		means = string(p.Means)
	}
	facts := []Fact{{w.m.ForOrder, order}, {w.m.EventDate, w.LongDate(w.offer.EventDate)}, {w.m.Means, means}}
	if p.Note != "" {
		facts = append(facts, Fact{w.m.Remark, p.Note})
	}
	return facts
}

// account says where the order stands. What is owed differs from the total
// where the order was cancelled.
func (w quoteWriter) account(a quote.Account) Account {
	owed := Fact{w.m.OrderTotal, w.money(a.Owed)}
	if !a.Owed.Equal(w.offer.Total) {
		owed.Label = w.m.CancelledDue
	}
	return Account{
		Heading: w.m.Account,
		Lines:   []Fact{owed, {w.m.ReceivedSoFar, w.money(a.Received)}},
		Balance: w.balance(a.Balance),
	}
}

func (w quoteWriter) balance(left money.Amount) Fact {
	if left.Sign() < 0 {
		return Fact{w.m.InYourFavour, w.money(left.Neg())}
	}
	return Fact{w.m.StillToPay, w.money(left)}
}
