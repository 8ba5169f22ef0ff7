package risk

import (
	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
)

// OfQuote returns what is needed to assess a quote, issued or draft, at its
// quoted price: the bills frozen in it and the prices that the book now has
// for the event date, so that rises already announced count. The caller may
// set seed, paths, block, level and drift.
func OfQuote(x *book.Index, q quote.Quote, today day.Date) (Input, error) {
	bill, err := q.Basis.Bill(x)
	if err != nil {
		return Input{}, err
	}
	in := Input{
		Bill: bill, Rates: pricing.NewRates(x, q.Offer.EventDate), Histories: Histories(x, bill, today),
		Net: q.Basis.Net, Floor: x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction(),
		Currency: q.Offer.Studio.Currency, Today: today, Event: q.Offer.EventDate,
	}
	if q.Offer.Shown == book.Gross && !in.Net.IsZero() {
		// Over several tax rates a surcharge is taken to fall as the price does.
		in.TaxRate = q.Offer.Total.Number().Quo(in.Net).Sub(exact.Int(1))
	}
	return in, nil
}

// OfCake returns what is needed to assess a cake of the book that would be
// ordered for a day at the price it was costed with. The costing is of that
// day, so that rises already announced count.
func OfCake(x *book.Index, c pricing.Costing, today day.Date) Input {
	in := Input{
		Bill: c.Takeoff.Bill, Rates: c.Rates, Histories: Histories(x, c.Takeoff.Bill, today),
		Net: c.Offer.Net, Floor: x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction(),
		Currency: x.Book.Studio.Currency, Today: today, Event: c.Rates.On(),
	}
	if x.Book.Studio.PricesShown.Or(book.Gross) == book.Gross {
		in.TaxRate = c.Offer.TaxRate
	}
	return in
}
