package document

import (
	"fmt"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// each returns the writer of each option.
func (w quoteWriter) each() []quoteWriter {
	var list []quoteWriter
	for _, q := range w.quote.Choices() {
		list = append(list, quoteWriter{Locale: w.Locale, m: w.m, quote: q, offer: q.Offer})
	}
	return list
}

// options writes out every option in full.
func (w quoteWriter) options() []Option {
	var list []Option
	for i, own := range w.each() {
		o := own.option()
		o.Name = w.optionName(i)
		list = append(list, o)
	}
	return list
}

// optionName is what option i is called, with its number.
func (w quoteWriter) optionName(i int) string {
	if name := w.quote.Options[i].Name; name != "" {
		return sentence(w.m.OptionName, i+1, name)
	}
	return sentence(w.m.OptionPlain, i+1)
}

// choices lists the options to tick.
func (w quoteWriter) choices() []string {
	var list []string
	for i, o := range w.quote.Options {
		list = append(list, sentence(w.m.Choice, w.optionName(i), w.money(o.Total)))
	}
	return list
}

// comparison sets the options side by side.
func (w quoteWriter) comparison() Comparison {
	c := Comparison{Heading: w.m.Compare, Intro: sentence(w.m.CompareIntro, w.countWord(len(w.quote.Options)))}
	cells := map[RowKind][][]string{}
	for i, own := range w.each() {
		cakes := own.cakes()
		c.Columns = append(c.Columns, ComparedOption{Name: w.optionName(i), Cakes: cakes})
		for _, kind := range comparedRows {
			cells[kind] = append(cells[kind], own.compared(kind, cakes))
		}
		for _, cake := range cakes {
			if len(cake.Tiers) > 0 {
				c.Note = w.m.ScaleNote
			}
		}
	}
	for _, kind := range comparedRows {
		if said(cells[kind]) {
			c.Rows = append(c.Rows, ComparedRow{kind, w.rowLabel(kind), cells[kind]})
		}
	}
	return c
}

var comparedRows = [...]RowKind{CakesRow, SizesRow, PortionsRow, ExtrasRow, TotalRow, PerPortionRow, DepositRow, ContainsRow, MayContainRow}

// said reports whether a row has anything to say.
func said(cells [][]string) bool {
	for _, lines := range cells {
		if len(lines) > 0 {
			return true
		}
	}
	return false
}

func (w quoteWriter) rowLabel(kind RowKind) string {
	return map[RowKind]string{
		CakesRow: w.m.CakesRow, SizesRow: w.m.SizesRow, PortionsRow: w.m.PortionsRow, ExtrasRow: w.m.ExtrasRow,
		TotalRow: w.m.Total, PerPortionRow: w.m.PerPortion, DepositRow: w.m.Deposit,
		ContainsRow: w.m.Contains, MayContainRow: w.m.MayContain,
	}[kind]
}

// countWord writes a small count in words.
func (w quoteWriter) countWord(n int) string {
	if i := n - 2; i >= 0 && i < len(w.m.CountWords) {
		return w.m.CountWords[i]
	}
	return fmt.Sprint(n)
}

// compared returns the lines of one cell: what w's option has to say of a kind.
func (w quoteWriter) compared(kind RowKind, cakes []Cake) []string {
	switch kind {
	case CakesRow:
		return w.cakeNames()
	case SizesRow:
		return w.sizes(cakes)
	case PortionsRow:
		return w.portionLines()
	case ExtrasRow:
		return w.extras()
	case TotalRow:
		return []string{w.money(w.offer.Total)}
	case PerPortionRow:
		if each, ok := w.perPortion(); ok {
			return []string{w.money(each)}
		}
	case DepositRow:
		for _, in := range w.offer.Instalments {
			if in.Deposit && !in.Amount.IsZero() {
				return []string{w.money(in.Amount)}
			}
		}
	case ContainsRow:
		if len(w.offer.Contains) == 0 {
			return []string{w.m.NoneDeclared}
		}
		return []string{listed(w.m, string(w.offer.Studio.AllergenList), words(w.offer.Contains))}
	case MayContainRow:
		s := AllergenStatement(w.m, string(w.offer.Studio.AllergenList), words(w.offer.Contains), words(w.offer.MayContain))
		if len(s.Facts) > 1 {
			return []string{s.Facts[1].Value}
		}
	}
	return nil
}

func (w quoteWriter) cakeNames() []string {
	var lines []string
	for _, d := range w.offer.Designs {
		lines = append(lines, w.times(w.ordered(d), d.Name))
	}
	return lines
}

// times puts a count before a name where there are several of it.
func (w quoteWriter) times(n int, name string) string {
	if n == 1 {
		return name
	}
	return w.filled(w.m.Times, n, name)
}

// sizes lists the tiers, under the name of the cake where there are several.
func (w quoteWriter) sizes(cakes []Cake) []string {
	var lines []string
	for _, c := range cakes {
		if len(cakes) > 1 && len(c.Tiers) > 0 {
			lines = append(lines, c.Name)
		}
		for _, t := range c.Tiers {
			lines = append(lines, sentence(w.m.Labelled, t.Name, t.Size))
		}
	}
	return lines
}

// portionLines counts the portions of all the cakes together: that is what
// compares.
func (w quoteWriter) portionLines() []string {
	var all quote.Design
	for _, d := range w.offer.Designs {
		n := w.ordered(d)
		all.Made, all.Served = all.Made+d.Made*n, all.Served+d.Served*n
	}
	return []string{w.portions(all)}
}

func (w quoteWriter) extras() []string {
	var lines []string
	for _, l := range w.offer.Lines {
		if l.Kind == quote.ExtraLine {
			lines = append(lines, w.times(l.Quantity, l.Name))
		}
	}
	return lines
}

// perPortion is the whole total by the portions that are served, as everywhere
// in the program, rounded to what can be paid; false where there are none.
func (w quoteWriter) perPortion() (money.Amount, bool) {
	var served int64
	for _, d := range w.offer.Designs {
		served += int64(d.Served) * int64(w.ordered(d))
	}
	if served == 0 {
		return money.Amount{}, false
	}
	return w.offer.Studio.Currency.Round(w.offer.Total.Number().Quo(exact.Int(served))), true
}
