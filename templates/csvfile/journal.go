package csvfile

import (
	"io"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// Journal writes double entries: a row for each debit or credit. names says what
// each account is called in the book-keeper's books; the orders give each quote
// its currency.
func Journal(out io.Writer, orders []quote.Order, postings []quote.Posting, names map[quote.Ledger]string) error {
	currency := map[string]string{}
	for _, o := range orders {
		currency[o.Quote.Number] = o.Quote.Offer.Studio.Currency.Code()
	}
	t := newTable(out, "date", "entry", "account", "debit", "credit", "currency", "tax_rate", "kind", "quote", "client")
	for _, p := range postings {
		rate := ""
		if p.Taxed {
			rate = pricing.Brief(p.Rate.Mul(exact.Int(100))) + " %"
		}
		t.row(p.On.String(), p.Entry, text(names[p.Ledger]), sum(p.Debit), sum(p.Credit), currency[p.Quote], rate, string(p.What), p.Quote, text(p.Client))
	}
	return t.close()
}

// sum returns an amount, or an empty cell for none.
func sum(a money.Amount) string {
	if a.IsZero() {
		return ""
	}
	return a.String()
}
