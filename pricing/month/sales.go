package month

import (
	"maps"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// revenueOf splits what an order brings without tax by kind of line. Where tax
// is taken out of shown prices, what its rounding leaves goes to the greatest
// part, so that the parts add up to the net total of the quote.
func revenueOf(q quote.Quote, cur money.Currency) Revenue {
	net := func(amount money.Amount, rate exact.Number) exact.Number {
		if q.Offer.Shown == book.Gross {
			return amount.Number().Quo(exact.Int(1).Add(rate))
		}
		return amount.Number()
	}
	var sums [4]exact.Number
	for _, l := range q.Offer.Lines {
		at := slices.Index([]quote.LineKind{quote.CakeLine, quote.ExtraLine, quote.DiscountLine, quote.MinimumLine}, l.Kind)
		if at < 0 {
			at = 1
		}
		if len(l.Shares) == 0 {
			sums[at] = sums[at].Add(net(l.Amount, l.TaxRate))
		}
		for _, s := range l.Shares {
			sums[at] = sums[at].Add(net(s.Amount, s.Rate))
		}
	}
	r := Revenue{Changes: cur.Round(exact.Number{}), Fee: cur.Round(exact.Number{}), Net: cur.Round(q.Basis.Net)}
	parts := []*money.Amount{&r.Cakes, &r.Extras, &r.Discount, &r.Minimum}
	rest, greatest := r.Net, 0
	for i, p := range parts {
		*p = cur.Round(sums[i])
		rest = rest.Sub(*p)
		if money.Abs(*p).Cmp(money.Abs(*parts[greatest])) > 0 {
			greatest = i
		}
	}
	*parts[greatest] = parts[greatest].Add(rest)
	return r
}

// taxesOf returns the sale of an order by tax rate, as quoted. A cancelled
// order sells nothing.
func taxesOf(o quote.Order) []TaxRow {
	if !o.CancelledOn.IsZero() {
		return nil
	}
	offer := o.Quote.Offer
	if len(offer.Tax) == 0 {
		return []TaxRow{{Net: offer.Total, Tax: offer.Total.Sub(offer.Total), Gross: offer.Total}}
	}
	rows := make([]TaxRow, len(offer.Tax))
	for i, t := range offer.Tax {
		rows[i] = TaxRow{record.Some(Figure{t.Rate, sharePlaces}), t.Net, t.Tax, t.Net.Add(t.Tax)}
	}
	return rows
}

// taxTable returns the sales of the span by tax rate.
func (t *Tally) taxTable() Tax {
	sum := Tax{Rows: []TaxRow{}, Net: t.zero(), Tax: t.zero(), Gross: t.zero(), Fees: t.zero(), Changes: t.zero()}
	for _, row := range slices.SortedFunc(maps.Values(t.taxes), func(a, b taxSum) int {
		switch {
		case a.Rate.Given && b.Rate.Given:
			return a.Rate.Value.Cmp(b.Rate.Value.Number)
		case a.Rate.Given:
			return 1
		}
		return -1
	}) {
		sum.Rows = append(sum.Rows, row.TaxRow)
		sum.Net, sum.Tax, sum.Gross = sum.Net.Add(row.Net), sum.Tax.Add(row.Tax), sum.Gross.Add(row.Gross)
	}
	for _, m := range t.orders {
		sum.Fees, sum.Changes = sum.Fees.Add(m.parts.Fee), sum.Changes.Add(m.charged)
	}
	return sum
}
