package web

import (
	"context"
	"fmt"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/seed"
	"marchpane/store"
)

// How large the studio of the benchmarks is: more than one kitchen sells in a
// lifetime. Its quotes are spread evenly over ten years.
const benchCakes, benchQuotes, benchClients, benchDays = 10_000, 20_000, 5_000, 3652

// enlarge fills a store with what a busy studio has after ten years: the cakes
// of the demo a thousand times over, and its year of quotes again and again, at
// seven times the pace. Two in five are accepted and paid, some are declined,
// the rest lapse; of half the orders of the past it is written down what they
// took, and every Monday goods are bought. Fewer quotes are the newest of them.
func enlarge(ctx context.Context, s *store.Store, quotes int) error {
	file, err := book.Parse(seed.Studio())
	if err != nil {
		return err
	}
	own := file.Cakes
	for i := len(own); i < benchCakes; i++ {
		c := own[i%len(own)]
		c.ID, c.Name = book.ID(fmt.Sprintf("%s-%d", c.ID, i)), fmt.Sprintf("%s %d", c.Name, i)
		file.Cakes = append(file.Cakes, c)
	}
	if _, err := s.Import(ctx, file, false, "bench", testNow); err != nil {
		return err
	}
	file.Cakes = own
	l := larger{s: s, x: book.NewIndex(file), today: day.Of(testNow), start: day.Of(testNow).AddDays(-benchDays)}
	if err := l.learn(); err != nil {
		return err
	}
	for i := range benchClients {
		c, err := s.AddClient(ctx, enquiry.Client{Name: fmt.Sprintf("Zoë Šimková %d", i), Email: record.Some(fmt.Sprintf("client-%d@mail.example", i))}, l.at(l.start.AddDays(i*benchDays/benchClients)))
		if err != nil {
			return err
		}
		l.clients = append(l.clients, c.Ref)
	}
	for i := benchQuotes - quotes; i < benchQuotes; i++ {
		if err := l.quote(ctx, i); err != nil {
			return err
		}
	}
	for on := l.start; !on.After(l.today); on = on.AddDays(1) {
		if err := l.books(ctx, on); err != nil {
			return err
		}
	}
	return nil
}

// larger fills a store with the demo's year again and again.
type larger struct {
	s            *store.Store
	x            *book.Index
	today, start day.Date
	clients      []string
	sold         []sample
	bought       [][]actual.GoodsBought // an invoice each
	bills        []actual.Bill
	plans        []actual.Plan
}

// sample is a quote of the demo's year, and what was written down of it.
type sample struct {
	quote quote.Quote
	sheet actual.Sheet
}

// learn gathers what the demo's year has to repeat.
func (l *larger) learn() error {
	happened, err := seed.Year()
	if err != nil {
		return err
	}
	place := map[seed.QuoteKey]int{}
	for _, h := range happened {
		switch d := h.Deed.(type) {
		case seed.Quoted:
			q, err := quote.Price(l.x, d.Request)
			if err != nil {
				return err
			}
			place[d.Key] = len(l.sold)
			l.sold = append(l.sold, sample{quote: q})
		case seed.Recorded:
			l.sold[place[d.Quote]].sheet = d.Sheet
		case seed.Bought:
			l.bought = append(l.bought, d.Lines)
		case seed.Billed:
			l.bills = append(l.bills, d.Bill)
		case seed.Planned:
			l.plans = append(l.plans, d.Plan)
		}
	}
	return nil
}

// at is an instant of a day at which something is noted.
func (l *larger) at(on day.Date) time.Time { return on.Time().Add(9 * time.Hour) }

// quote issues the quote number i, and notes what became of it.
func (l *larger) quote(ctx context.Context, i int) error {
	of := l.sold[i*7919%len(l.sold)] // a prime: neighbours differ
	q := of.quote
	issued := l.start.AddDays(i * benchDays / benchQuotes)
	days := q.Offer.IssuedOn.DaysUntil(issued)
	later := func(d *day.Date) { *d = d.AddDays(days) }
	later(&q.Request.On)
	later(&q.Request.Event.Date)
	later(&q.Offer.IssuedOn)
	later(&q.Offer.ValidUntil)
	later(&q.Offer.EventDate)
	due := func(list []quote.Instalment) []quote.Instalment {
		moved := make([]quote.Instalment, len(list))
		for i, v := range list {
			later(&v.Due)
			moved[i] = v
		}
		return moved
	}
	q.Offer.Instalments = due(q.Offer.Instalments)
	options := q.Options
	q.Options = nil
	for _, o := range options {
		o.Instalments = due(o.Instalments)
		q.Options = append(q.Options, o)
	}
	client := i % benchClients
	q.Offer.Client.Name = fmt.Sprintf("Zoë Šimková %d", client)
	q.Request.Client.Name = q.Offer.Client.Name
	saved, err := l.s.IssueQuote(ctx, q, l.at(issued))
	if err != nil {
		return err
	}
	if err := l.s.LinkQuote(ctx, saved.Ref(), l.clients[client], ""); err != nil {
		return err
	}
	decided := issued.AddDays(3)
	if decided.After(l.today) {
		decided = l.today
	}
	switch i % 5 {
	case 0, 1:
		option := ""
		if len(q.Options) > 0 {
			option = "1"
		}
		if saved, err = l.s.Accept(ctx, saved.Ref(), option, "", decided, l.at(decided)); err != nil {
			return err
		}
		return l.order(ctx, i, saved, of.sheet, decided)
	case 2:
		_, err = l.s.Decline(ctx, saved.Ref(), "too dear", decided, l.at(decided))
	}
	return err
}

// order notes what was paid for an order, and what it took.
func (l *larger) order(ctx context.Context, i int, saved store.SavedQuote, sheet actual.Sheet, accepted day.Date) error {
	one, err := saved.Offer("")
	if err != nil {
		return err
	}
	o := quote.Order{Quote: one, Accepted: accepted}
	for n, v := range one.Offer.Instalments {
		on := day.Later(v.Due, o.Accepted)
		if on.After(l.today) || v.Amount.IsZero() || n > 0 && i%50 == 0 { // a few pay late or never
			continue
		}
		if _, err := l.s.Receive(ctx, quote.Payment{Quote: one.Number, On: on, Amount: v.Amount, Means: quote.Transfer}, l.at(on)); err != nil {
			return err
		}
	}
	event := one.Offer.EventDate
	if event.After(l.today) || i%2 > 0 {
		return nil
	}
	moved := actual.Sheet{Order: one.Number}
	for _, v := range sheet.Work {
		v.On = event
		moved.Work = append(moved.Work, v)
	}
	for _, v := range sheet.Wasted {
		v.On = event
		moved.Wasted = append(moved.Wasted, v)
	}
	if len(moved.Work)+len(moved.Wasted) == 0 {
		return nil
	}
	r, err := actual.NewDesk(l.x, event).Read(moved, o)
	if err != nil {
		return err
	}
	_, err = l.s.Record(ctx, r, l.at(event))
	return err
}

// books keeps the books of a day: on Mondays an invoice or two, at the end of a
// month its bills, at the beginning its plan.
func (l *larger) books(ctx context.Context, on day.Date) error {
	var r actual.Records
	desk := actual.NewDesk(l.x, on)
	if week := l.start.DaysUntil(on) / 7; on.Time().Weekday() == time.Monday {
		for n, line := range l.bought[week%len(l.bought)] {
			line.On, line.Invoice = on, fmt.Sprintf("%s-%d", on, n/12)
			p, err := desk.Purchase(line, "")
			if err != nil {
				return err
			}
			r.Purchases = append(r.Purchases, p)
		}
	}
	m := actual.MonthOf(on)
	again := func(of actual.Month) bool { return of.First().Time().Month() == on.Time().Month() }
	if m.First() == on {
		for _, v := range l.plans {
			if again(v.Month) {
				v.On, v.Month = on, m
				r.Plans = append(r.Plans, v)
			}
		}
	}
	if m.Last() == on {
		for _, v := range l.bills {
			if again(v.Month) {
				v.On, v.Month = on, m
				r.Bills = append(r.Bills, v)
			}
		}
	}
	if r.Len() == 0 {
		return nil
	}
	_, err := l.s.Record(ctx, r, l.at(on))
	return err
}
