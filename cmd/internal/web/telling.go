package web

import (
	"github.com/shopspring/decimal"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// Telling writes the figures of the journal's sentences as the pages do, by the
// studio's locale. A nil one writes them as commands take them.
type Telling struct{ words words }

// TellingOf returns the telling of a studio's pages.
func TellingOf(s book.Studio) *Telling { return &Telling{wordsOf(s)} }

// Money writes a figure of money, with the decimals that it was typed with.
func (t *Telling) Money(plain string) string {
	var a money.Amount
	if t == nil || a.UnmarshalText([]byte(plain)) != nil {
		return plain
	}
	return t.words.amount(a)
}

// Figure writes a plain number.
func (t *Telling) Figure(f measure.Figure) string {
	if t == nil {
		return f.String()
	}
	return t.words.locale.Number(decimal.RequireFromString(f.String()), 0)
}

// Moved says what something costs now and before, for the amount in which people
// compare prices.
func (t *Telling) Moved(name string, was, is, change exact.Number, d measure.Dimension) string {
	return name + " now costs " + t.words.per(is, d) + ", and was " + t.words.per(was, d) + " (" + t.words.change(change) + ")"
}

// Percent writes a percentage.
func (t *Telling) Percent(p measure.Percent) string {
	if t == nil {
		return p.String()
	}
	return t.words.rate(p.Fraction())
}

// Quantity writes how much of something.
func (t *Telling) Quantity(q measure.Quantity) string {
	if t == nil {
		return q.String()
	}
	return t.words.quantity(q)
}

// Day writes a day.
func (t *Telling) Day(d day.Date) string {
	if t == nil {
		return d.String()
	}
	return t.words.day(d)
}

// Month writes a month.
func (t *Telling) Month(m actual.Month) string {
	if t == nil || m.IsZero() {
		return m.String()
	}
	return t.words.month(m)
}

// Bought says how many packs of something came in, and what a pack cost.
func (t *Telling) Bought(packs measure.Figure, pack measure.Pack, name, price string) string {
	switch {
	case t == nil:
		return "bought " + packs.String() + " × " + pack.String() + " " + name + " at " + price
	case packs.String() == "1":
		return "bought " + name + ", 1 pack of " + t.words.pack(pack) + " for " + t.Money(price)
	}
	return "bought " + name + ", " + t.Figure(packs) + " packs of " + t.words.pack(pack) + " at " + t.Money(price) + " each"
}
