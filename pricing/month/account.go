package month

import (
	"cmp"
	"slices"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// ages returns the bands of days that money is late, without amounts.
func ages() []Age {
	return []Age{{From: 0, To: 30}, {From: 31, To: 60}, {From: 61, To: 90}, {From: 91}}
}

// Account adds the account of an accepted order as it stood at the end of the
// span's last day. Of the quote only its heading, total and instalments are
// read. One that was settled, or accepted later, is passed over; one that was
// called off later stood as if it were not.
func (t *Tally) Account(o quote.Order) {
	on := t.span.To
	if o.Accepted.After(on) {
		return
	}
	if o.CancelledOn.After(on) {
		o.CancelledOn, o.Fee = day.Date{}, money.Amount{}
	}
	a := o.Account(on)
	if a.Balance.IsZero() {
		return
	}
	offer := o.Quote.Offer
	d := Debt{
		Number: o.Quote.Number, Client: offer.Client.Name, Event: offer.EventDate, Cancelled: !o.CancelledOn.IsZero(),
		Owed: a.Owed, Received: a.Received, Outstanding: t.zero(), NotDue: t.zero(), Credit: t.zero(), Since: a.Since,
	}
	if a.Balance.Sign() < 0 {
		d.Credit = a.Balance.Neg()
	}
	for range ages() {
		d.Ages = append(d.Ages, t.zero())
	}
	for _, i := range a.Instalments {
		d.Outstanding = d.Outstanding.Add(i.Left)
		if !i.Overdue {
			d.NotDue = d.NotDue.Add(i.Left)
			continue
		}
		late := i.Due.DaysUntil(on)
		for band, age := range ages() {
			if late >= age.From && (age.To == 0 || late <= age.To) {
				d.Ages[band] = d.Ages[band].Add(i.Left)
			}
		}
	}
	t.known, t.stood = nil, nil
	t.debts = append(t.debts, d)
}

// receivables sums the accounts.
func (t *Tally) receivables() Receivables {
	r := Receivables{
		On: t.span.To, Owed: t.zero(), Received: t.zero(), Outstanding: t.zero(), NotDue: t.zero(),
		Overdue: t.zero(), Ages: ages(), Credit: t.zero(), Rows: slices.Clone(t.debts),
	}
	for i := range r.Ages {
		r.Ages[i].Amount = t.zero()
	}
	for _, d := range t.debts {
		r.Owed, r.Received = r.Owed.Add(d.Owed), r.Received.Add(d.Received)
		r.Outstanding, r.NotDue, r.Credit = r.Outstanding.Add(d.Outstanding), r.NotDue.Add(d.NotDue), r.Credit.Add(d.Credit)
		for i, amount := range d.Ages {
			r.Ages[i].Amount = r.Ages[i].Amount.Add(amount)
			r.Overdue = r.Overdue.Add(amount)
		}
	}
	slices.SortFunc(r.Rows, func(a, b Debt) int {
		return cmp.Or(oldest(a.Since, b.Since), oldest(a.Event, b.Event), cmp.Compare(a.Number, b.Number))
	})
	if r.Rows == nil {
		r.Rows = []Debt{}
	}
	return r
}

// oldest orders days, no day last.
func oldest(a, b day.Date) int {
	switch {
	case a == b:
		return 0
	case a.IsZero():
		return 1
	case b.IsZero():
		return -1
	}
	return b.DaysUntil(a)
}
