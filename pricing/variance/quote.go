package variance

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// FromQuote returns the order that an accepted quote plans: its frozen bills,
// each resource once, at its frozen prices. Nothing is recorded yet. The plan
// for the discount is the discount of the quote.
func FromQuote(q quote.Quote) (Order, error) {
	if len(q.Options) > 0 {
		return Order{}, fmt.Errorf("quote %s offers several options; choose the one that was accepted", q.Number)
	}
	o := Order{ID: q.Number, Share: q.Basis.Share, Sales: Sales{Price: q.Basis.Net, Discount: discount(q)}}
	o.Sales.Price = o.Sales.Price.Add(o.Sales.Discount)
	for _, c := range q.Basis.Cakes {
		o.Cakes += c.Quantity
	}
	price := make(map[book.ID]exact.Number, len(q.Basis.Rates))
	for _, r := range q.Basis.Rates {
		price[r.ID] = r.PerUnit
	}
	at := map[book.ID]int{}
	var faults []error
	for _, c := range slices.Concat(q.Basis.Cakes, q.Basis.Extras) {
		times := exact.Int(int64(c.Quantity))
		for _, r := range c.Bill {
			i, there := at[r.ID]
			if !there {
				kind, known := kindOf(r.Kind)
				perUnit, priced := price[r.ID]
				if !known || !priced {
					faults = append(faults, fmt.Errorf("quote %s: %s: %s has no frozen price as %q; issue the quote again", q.Number, c.Name, r.ID, r.Kind))
					continue
				}
				i = len(o.Lines)
				at[r.ID] = i
				o.Lines = append(o.Lines, Line{Resource: r.ID, Kind: kind, Unit: r.Unit, StandardPrice: perUnit})
			}
			o.Lines[i].StandardQuantity = o.Lines[i].StandardQuantity.Add(r.Quantity.Mul(times))
		}
	}
	if len(faults) > 0 {
		return Order{}, errors.Join(faults...)
	}
	slices.SortFunc(o.Lines, func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Resource, b.Resource))
	})
	return o, nil
}

// discount returns the discount of a quote without tax, not below 0.
func discount(q quote.Quote) exact.Number {
	var sum exact.Number
	for _, l := range q.Offer.Lines {
		if l.Kind != quote.DiscountLine {
			continue
		}
		for _, s := range l.Shares {
			net := s.Amount.Number().Neg()
			if q.Offer.Shown == book.Gross {
				net = net.Quo(exact.Int(1).Add(s.Rate))
			}
			sum = sum.Add(net)
		}
	}
	return sum
}

// kindOf reads the name of a kind of resource.
func kindOf(name string) (pricing.Kind, bool) {
	for k := pricing.Ingredient; k <= pricing.Overhead; k++ {
		if k.String() == name {
			return k, true
		}
	}
	return 0, false
}
