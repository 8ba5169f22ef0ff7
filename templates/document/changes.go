package document

import (
	"strconv"

	"github.com/shopspring/decimal"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// changes says what the revision changes, in words and in money. The paper of
// a chosen option leaves out what changed in the others.
func (w quoteWriter) changes() Changes {
	c := Changes{Heading: w.m.Changes, Intro: w.m.ChangesIntro}
	for _, change := range w.quote.Changes {
		if w.quote.Chosen != "" && change.Option != "" && change.Option != w.quote.Chosen {
			continue
		}
		line := ChangeLine{Option: change.Option, Text: w.change(change), Total: change.Kind == quote.TotalChanged}
		if !change.Money.IsZero() {
			line.Money = w.Signed(change.Money, w.offer.Studio.Currency)
		}
		c.Lines = append(c.Lines, line)
	}
	if len(c.Lines) == 0 {
		return Changes{}
	}
	return c
}

// change puts one change into words.
func (w quoteWriter) change(c quote.Change) string {
	m := w.m
	label := m.ChangeNames[string(c.Kind)]
	switch c.Kind {
	case quote.OptionAdded:
		return sentence(m.Labelled, label, w.priced(c.Option, c.After))
	case quote.OptionTaken:
		return sentence(m.Labelled, label, c.Name)
	case quote.OptionRemoved:
		return sentence(m.Labelled, label, w.priced(c.Option, c.Before))
	case quote.LineAdded:
		return sentence(m.Labelled, label, w.counted(c.After, c.Name))
	case quote.LineRemoved:
		return sentence(m.Labelled, label, w.counted(c.Before, c.Name))
	case quote.DesignChanged:
		return sentence(m.Labelled, c.Name, label)
	case quote.TermsChanged:
		return label
	case quote.TaxChanged:
		label = w.taxLabel()
	}
	if label == "" {
		label = string(c.Kind) // better plain than lost
	}
	if c.Name != "" {
		label = sentence(m.ChangeOf, c.Name, label)
	}
	return sentence(m.Labelled, label, w.instead(c))
}

// priced names an option with its total.
func (w quoteWriter) priced(name, total string) string {
	if name == "" {
		name = w.m.SingleOffer
	}
	return sentence(w.m.Choice, name, w.changed(quote.TotalChanged, total))
}

func (w quoteWriter) counted(count, name string) string {
	n, err := strconv.Atoi(count)
	if err != nil {
		return name
	}
	return w.times(n, name)
}

// instead sets what is now against what was, either of which may be nothing.
func (w quoteWriter) instead(c quote.Change) string {
	before, after := w.changed(c.Kind, c.Before), w.changed(c.Kind, c.After)
	switch {
	case before == "" && after == "":
		return ""
	case before == "":
		return sentence(w.m.Added, after)
	case after == "":
		return sentence(w.m.Removed, before)
	}
	return sentence(w.m.Instead, after, before)
}

// changed writes one side of a change for the reader: "" for nothing, in the
// kinds where there may be none. A side that is not of its kind stands as it is.
func (w quoteWriter) changed(kind quote.ChangeKind, s string) string {
	switch kind {
	case quote.EventMoved:
		if d, err := day.Parse(s); err == nil {
			return w.Date(d)
		}
	case quote.GuestsChanged, quote.QuantityChanged, quote.PortionsChanged:
		n, err := strconv.Atoi(s)
		if err == nil && n == 0 && kind == quote.GuestsChanged {
			return ""
		}
		if err == nil {
			return w.Number(decimal.NewFromInt(int64(n)), 0)
		}
	case quote.UnitPriceChanged, quote.DiscountChanged, quote.MinimumChanged, quote.TaxChanged, quote.TotalChanged:
		d, err := decimal.NewFromString(s)
		if err != nil {
			return s
		}
		if d.IsZero() && (kind == quote.DiscountChanged || kind == quote.MinimumChanged || kind == quote.TaxChanged) {
			return ""
		}
		return w.money(w.offer.Studio.Currency.Round(exact.FromDecimal(d)))
	}
	return s
}
