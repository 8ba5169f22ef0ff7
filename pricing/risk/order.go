package risk

import (
	"cmp"
	"fmt"
	"slices"

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
	bill, err := orderBill(x, q.Basis)
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

// orderBill sums the frozen bills of all that is delivered.
func orderBill(x *book.Index, b quote.Basis) (pricing.Bill, error) {
	at := map[book.ID]int{}
	var bill pricing.Bill
	for _, c := range slices.Concat(b.Cakes, b.Extras) {
		times := exact.Int(int64(c.Quantity))
		for _, r := range c.Bill {
			i, there := at[r.ID]
			if !there {
				kind, err := pricing.ResourceKind(x, r.ID)
				if err != nil {
					return nil, fmt.Errorf("%s of the quote: %w; bring it back into the book or revise the quote", c.Name, err)
				}
				i = len(bill)
				at[r.ID] = i
				bill = append(bill, pricing.BillLine{Resource: r.ID, Kind: kind, Unit: r.Unit})
			}
			bill[i].Quantity = bill[i].Quantity.Add(r.Quantity.Mul(times))
		}
	}
	slices.SortFunc(bill, func(a, b pricing.BillLine) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Resource, b.Resource))
	})
	return bill, nil
}
