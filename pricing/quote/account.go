package quote

import (
	"slices"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
)

// Payment is money that came from a client, or went back where it is negative.
type Payment struct {
	Number string       `json:"number"` // R2026-0001: of its receipt
	Quote  string       `json:"quote"`
	On     day.Date     `json:"on"`
	Amount money.Amount `json:"amount"`
	Means  Means        `json:"means"`
	Note   string       `json:"note,omitempty"`
	Undoes string       `json:"undoes,omitempty"` // the payment that this one takes back as mistaken
	Undone string       `json:"undone,omitempty"` // the payment that takes this one back
}

// Refund reports whether p went back to the client.
func (p Payment) Refund() bool { return p.Amount.Sign() < 0 }

// Means is how money changes hands.
type Means string

// The means.
const (
	Transfer Means = "transfer"
	Card     Means = "card"
	Cash     Means = "cash"
	Cheque   Means = "cheque"
	Other    Means = "other"
)

// AllMeans lists every means.
func AllMeans() []Means { return []Means{Transfer, Card, Cash, Cheque, Other} }

// Account is what a client owes for an order and has paid, on a day.
type Account struct {
	Owed        money.Amount `json:"owed"` // in all: the total, or what a cancellation costs
	Received    money.Amount `json:"received"`
	Balance     money.Amount `json:"balance"` // owed − received; negative where money has to go back
	Overdue     money.Amount `json:"overdue"`
	Since       day.Date     `json:"overdue_since,omitzero"`
	Instalments []Owing      `json:"instalments"`
}

// Owing is one instalment and what is left of it to pay.
type Owing struct {
	Instalment
	Paid    money.Amount `json:"paid"`
	Left    money.Amount `json:"left"`
	Overdue bool         `json:"overdue,omitempty"`
}

// Account works out what is owed for q, an accepted order of one offer, on a
// day. Payments count towards the instalments in the order in which they fall
// due. An instalment is overdue from the day after it is due.
func (q Quote) Account(payments []Payment, on day.Date) Account {
	return account(q, q.Offer.Total, q.Offer.Instalments, payments, on)
}

// CancelledAccount likewise where the order is cancelled: the fee is due at
// once, and what was received beyond it goes back.
func (q Quote) CancelledAccount(fee money.Amount, cancelled day.Date, payments []Payment, on day.Date) Account {
	var due []Instalment
	if fee.Sign() > 0 {
		due = []Instalment{{Due: cancelled, Amount: fee}}
	}
	return account(q, fee, due, payments, on)
}

func account(q Quote, owed money.Amount, due []Instalment, payments []Payment, on day.Date) Account {
	zero := owed.Sub(owed)
	a := Account{Owed: owed, Received: zero, Overdue: zero, Instalments: []Owing{}}
	for _, p := range payments {
		if !p.On.After(on) {
			a.Received = a.Received.Add(p.Amount)
		}
	}
	a.Balance = owed.Sub(a.Received)
	left := a.Received
	for _, in := range due {
		o := Owing{Instalment: in, Paid: left, Left: zero}
		if left.Sign() < 0 {
			o.Paid = zero
		}
		if o.Paid.Cmp(in.Amount) >= 0 {
			o.Paid = in.Amount
		}
		o.Left = in.Amount.Sub(o.Paid)
		left = left.Sub(o.Paid)
		if o.Left.Sign() > 0 && on.After(in.Due) {
			o.Overdue = true
			a.Overdue = a.Overdue.Add(o.Left)
			if a.Since.IsZero() {
				a.Since = in.Due.AddDays(1)
			}
		}
		a.Instalments = append(a.Instalments, o)
	}
	return a
}

// Account returns what is owed for the order and paid, on a day.
func (o Order) Account(on day.Date) Account {
	if !o.CancelledOn.IsZero() {
		return o.Quote.CancelledAccount(o.Fee, o.CancelledOn, o.Payments, on)
	}
	return o.Quote.Account(o.Payments, on)
}

// AccountAfter returns the account as it stood with a payment counted: on its
// day, without what was entered after it.
func (o Order) AccountAfter(p Payment) Account {
	for i, q := range o.Payments {
		if q.Number == p.Number {
			o.Payments = o.Payments[:i+1]
			break
		}
	}
	return o.Account(p.On)
}

// Next returns the first instalment that something is left of, or nil.
func (a Account) Next() *Owing {
	for i := range a.Instalments {
		if a.Instalments[i].Left.Sign() > 0 {
			return &a.Instalments[i]
		}
	}
	return nil
}

// Due is money that a client owes on a day.
type Due struct {
	Due      day.Date     `json:"due"`
	Late     int          `json:"days_late"` // 0 until it is
	Quote    string       `json:"quote"`
	Client   string       `json:"client"`
	Event    day.Date     `json:"event_date"`
	Left     money.Amount `json:"left"`
	Currency string       `json:"currency"`
}

// DueList lists what is overdue on a day, the oldest first; with coming, what
// is not due yet as well.
func DueList(orders []Order, on day.Date, coming bool) []Due {
	list := []Due{}
	for _, o := range orders {
		h := o.Quote.Offer.Heading
		for _, i := range o.Account(on).Instalments {
			if i.Left.Sign() > 0 && (i.Overdue || coming) {
				list = append(list, Due{i.Due, max(i.Due.DaysUntil(on), 0), o.Quote.Number, h.Client.Name, h.EventDate, i.Left, h.Studio.Currency.Code()})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Due) int { return b.Due.DaysUntil(a.Due) })
	return list
}

// DueSum is what clients owe in one currency.
type DueSum struct {
	Currency     string
	Late, Coming money.Amount // past its day, and not due yet
	Latecomers   int          // orders of which something is late
}

// SumDue adds a list of dues up, by the codes of the currencies: a studio that
// charges in another currency than it used to has orders in both.
func SumDue(list []Due) []DueSum {
	sums := []DueSum{}
	late := map[string]bool{}
	for _, d := range list {
		at, there := slices.BinarySearchFunc(sums, d.Currency, func(s DueSum, code string) int { return strings.Compare(s.Currency, code) })
		if !there {
			zero := d.Left.Sub(d.Left) // in the currency's coins
			sums = slices.Insert(sums, at, DueSum{Currency: d.Currency, Late: zero, Coming: zero})
		}
		sum := &sums[at]
		if d.Late == 0 {
			sum.Coming = sum.Coming.Add(d.Left)
			continue
		}
		sum.Late = sum.Late.Add(d.Left)
		if !late[d.Quote] {
			late[d.Quote] = true
			sum.Latecomers++
		}
	}
	return sums
}
