package cli

import (
	"context"
	"fmt"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/store"
)

// demoYear notes what happens in the demo year as the commands would, each
// thing at its own instant. It remembers what the store calls things.
type demoYear struct {
	s         *store.Store
	x         *book.Index
	clients   map[seed.ClientKey]string
	enquiries map[seed.EnquiryKey]string
	quotes    map[seed.QuoteKey]string
	orders    map[seed.QuoteKey]quote.Order // as far as it is known here, so that none is read again
	priced    <-chan priced
	newest    store.SavedQuote
}

// priced is what pricing a request gave.
type priced struct {
	quote quote.Quote
	err   error
}

// liveDemoYear notes everything that happened in the demo year, moved as the book
// of the store is, and returns the quote that it ends with: the wedding's. It
// tells how far it is, from 0 to 1, and which month it is in.
func liveDemoYear(ctx context.Context, s *store.Store, by seed.Move, progress func(share float64, month string)) (store.SavedQuote, error) {
	b, err := s.Book(ctx)
	if err != nil {
		return store.SavedQuote{}, err
	}
	happened, err := seed.Year()
	if err != nil {
		return store.SavedQuote{}, err
	}
	happened = by.Year(happened)
	y := demoYear{
		s: s, x: book.NewIndex(b), clients: map[seed.ClientKey]string{}, enquiries: map[seed.EnquiryKey]string{},
		quotes: map[seed.QuoteKey]string{}, orders: map[seed.QuoteKey]quote.Order{},
	}
	ahead, stop := context.WithCancel(ctx)
	defer stop()
	y.priced = priceAhead(ahead, b, happened)
	month := ""
	for i, h := range happened {
		if m := h.On.String()[:len("2026-11")]; m != month {
			month = m
			progress(float64(i)/float64(len(happened)), month)
		}
		if err := y.note(ctx, h); err != nil {
			return store.SavedQuote{}, fmt.Errorf("the demo year, %s, %T: %w", h.On, h.Deed, err)
		}
	}
	return y.newest, nil
}

// priceAhead prices the requests of the year in their order, beside the store's
// work on the ones before, by an index of their own.
func priceAhead(ctx context.Context, b book.Book, happened []seed.Happening) <-chan priced {
	const most = 16 // that wait
	ahead := make(chan priced, most)
	x := book.NewIndex(b)
	price := func(r quote.Request) {
		q, err := quote.Price(x, r)
		select {
		case ahead <- priced{q, err}:
		case <-ctx.Done():
		}
	}
	go func() {
		defer close(ahead)
		for _, h := range happened {
			switch d := h.Deed.(type) {
			case seed.Quoted:
				price(d.Request)
			case seed.Revised:
				price(d.Request)
			}
			if ctx.Err() != nil {
				return
			}
		}
	}()
	return ahead
}

func (y *demoYear) note(ctx context.Context, h seed.Happening) (err error) {
	s, at := y.s, h.At()
	switch d := h.Deed.(type) {
	case seed.ClientCame:
		saved, err := s.AddClient(ctx, d.Client, at)
		y.clients[d.Key] = saved.Ref
		return err
	case seed.Asked:
		d.Enquiry.Client = y.clients[d.Client]
		saved, err := s.AddEnquiry(ctx, d.Enquiry)
		y.enquiries[d.Key] = saved.Ref
		return err
	case seed.Closed:
		_, err = s.CloseEnquiry(ctx, y.enquiries[d.Enquiry], d.Why, h.On)
		return err
	case seed.Quoted:
		return y.quote(ctx, h, d)
	case seed.Revised:
		p := <-y.priced
		if p.err != nil {
			return p.err
		}
		_, err = s.ReviseQuote(ctx, y.quotes[d.Quote], p.quote, d.Reason, at)
		return err
	case seed.Accepted:
		saved, err := s.Accept(ctx, y.quotes[d.Quote], d.Option, d.Reason, h.On, at)
		if err != nil {
			return err
		}
		o := y.orders[d.Quote]
		o.Accepted = h.On
		o.Quote, err = saved.Offer("")
		y.orders[d.Quote] = o
		return err
	case seed.Declined:
		_, err = s.Decline(ctx, y.quotes[d.Quote], d.Reason, h.On, at)
		return err
	case seed.Cancelled:
		var fee *money.Amount
		if d.Waived {
			none := y.x.Book.Studio.Currency.Round(exact.Int(0))
			fee = &none
		}
		if _, err = s.Cancel(ctx, y.quotes[d.Quote], fee, d.Reason, h.On, at); err != nil {
			return err
		}
		if o, accepted := y.orders[d.Quote]; accepted {
			o.CancelledOn = h.On
			if o.Fee, _ = o.Quote.CancellationFee(h.On); fee != nil {
				o.Fee = *fee
			}
			y.orders[d.Quote] = o
		}
		return nil
	case seed.Paid, seed.PaidAgain, seed.Undone, seed.Refunded:
		return y.money(ctx, h)
	default:
		return y.actual(ctx, h)
	}
}

// quote issues what a request was priced at, or keeps it a draft.
func (y *demoYear) quote(ctx context.Context, h seed.Happening, d seed.Quoted) (err error) {
	p := <-y.priced
	if p.err != nil {
		return p.err
	}
	save := y.s.IssueQuote
	if d.Draft {
		save = y.s.SaveDraft
	}
	if y.newest, err = save(ctx, p.quote, h.At()); err != nil {
		return err
	}
	y.quotes[d.Key] = y.newest.Ref()
	return y.s.LinkQuote(ctx, y.newest.Ref(), "", y.enquiries[d.Enquiry])
}

// money notes what came in and what went back. Where nothing is left to pay,
// nobody pays.
func (y *demoYear) money(ctx context.Context, h seed.Happening) (err error) {
	keep := func(key seed.QuoteKey, p quote.Payment) {
		o := y.orders[key]
		o.Payments = append(o.Payments, p)
		y.orders[key] = o
	}
	receive := func(key seed.QuoteKey, amount money.Amount, means quote.Means, note string) error {
		if amount.IsZero() {
			return nil
		}
		p := quote.Payment{Quote: y.quotes[key], On: h.On, Amount: amount, Means: means, Note: note}
		if p, err = y.s.Receive(ctx, p, h.At()); err == nil {
			keep(key, p)
		}
		return err
	}
	last := func(key seed.QuoteKey) quote.Payment {
		list := y.orders[key].Payments
		return list[len(list)-1]
	}
	switch d := h.Deed.(type) {
	case seed.Paid:
		sum := money.Sum()
		for i, o := range y.orders[d.Quote].Account(h.On).Instalments {
			if i < d.Instalments {
				sum = sum.Add(o.Left)
			}
		}
		return receive(d.Quote, sum, d.Means, d.Note)
	case seed.PaidAgain:
		p := last(d.Quote)
		return receive(d.Quote, p.Amount, p.Means, p.Note)
	case seed.Undone:
		p, err := y.s.Undo(ctx, last(d.Quote).Number, d.Note, h.On, h.At())
		if err == nil {
			keep(d.Quote, p)
		}
		return err
	case seed.Refunded:
		if balance := y.orders[d.Quote].Account(h.On).Balance; balance.Sign() < 0 {
			return receive(d.Quote, balance, d.Means, d.Note)
		}
	}
	return nil
}

// actual notes work, goods, invoices, bills and plans.
func (y *demoYear) actual(ctx context.Context, h seed.Happening) (err error) {
	desk := actual.NewDesk(y.x, h.On)
	var r actual.Records
	switch d := h.Deed.(type) {
	case seed.Recorded:
		d.Sheet.Order = y.quotes[d.Quote]
		if r, err = desk.Read(d.Sheet, y.orders[d.Quote]); err != nil {
			return err
		}
	case seed.Charged:
		c := actual.Charge{Order: y.quotes[d.Quote], Amount: d.Amount}
		c.On, c.Note = h.On, d.Note
		r.Charges = []actual.Charge{c}
	case seed.Bought:
		for _, line := range d.Lines {
			p, err := desk.Purchase(line, "")
			if err != nil {
				return err
			}
			r.Purchases = append(r.Purchases, p)
		}
	case seed.Paying:
		w, err := desk.Wage(d.Role, d.PerHour, h.On, d.Until, d.Note)
		if err != nil {
			return err
		}
		r.Wages = []actual.Wage{w}
	case seed.Billed:
		r.Bills = []actual.Bill{d.Bill}
	case seed.Planned:
		r.Plans = []actual.Plan{d.Plan}
	default:
		return fmt.Errorf("nothing is known of %T", d)
	}
	_, err = y.s.Record(ctx, r, h.At())
	return err
}
