package month

import (
	"cmp"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// Report makes the report of the span. before and yearBefore are tallies of the
// spans that it is compared with, [Span.Before] and [Span.YearBefore]; nil where
// nothing is known of them. The tally can go on.
func (t *Tally) Report(before, yearBefore *Tally) (Report, error) {
	now, err := t.summed()
	if err != nil {
		return Report{}, err
	}
	m := now.month
	studio := t.src.Book.Book.Studio
	r := Report{
		Title: t.span.String(), From: t.span.From, To: t.span.To, AsOf: t.src.Today,
		Studio: studio.Name, Locale: studio.Locale.Or("en"), Currency: t.cur,
	}
	if studio.Tax != nil {
		r.TaxLabel = studio.Tax.Label.Or("")
	}
	var then *variance.Month
	var keyBefore, keyYearBefore map[string]record.Maybe[Figure]
	if before != nil && !before.empty() {
		b, err := before.summed()
		if err != nil {
			return Report{}, err
		}
		then, r.Before, keyBefore = &b.month, before.span.String(), b.keys
	}
	if yearBefore != nil && !yearBefore.empty() {
		y, err := yearBefore.summed()
		if err != nil {
			return Report{}, err
		}
		r.YearBefore, keyYearBefore = yearBefore.span.String(), y.keys
	}
	p := t.pricesBefore(then)
	r.Key = keyFigures(now.keys, keyBefore, keyYearBefore)
	r.Orders = t.orderTable(totals(m))
	standard, actual := r.Orders.Total.Standard, r.Orders.Total.Actual
	r.Classes = t.classTable(r.Orders.Total, m.Kinds)
	r.Bridge = t.bridge(m.Bridge)
	r.Ingredients = t.usageOf(pricing.Ingredient, m, p, standard.Ingredients, actual.Ingredients)
	r.Packaging = t.usageOf(pricing.Packaging, m, p, standard.Packaging, actual.Packaging)
	r.Movers = t.moversOf(m, p)
	r.Labour = t.labourOf(m, p, standard.Labour, actual.Labour)
	r.Overhead = t.overheadOf(m, r.Labour, actual.Overhead)
	r.Waste = t.wasteOf(m, p)
	r.Quotes = now.quotes
	r.Quotes.Rows = slices.Clone(r.Quotes.Rows)
	r.Receivables = now.due
	r.Receivables.Rows = slices.Clone(r.Receivables.Rows)
	r.Tax = t.taxTable()
	r.Months, err = t.monthRows(r)
	return r, err
}

// empty reports whether t has taken nothing.
func (t *Tally) empty() bool { return len(t.orders)+len(t.quotes)+len(t.debts) == 0 }

// StepLabel says what a step of a bridge is, in trade words.
func StepLabel(k variance.Key) string {
	switch k {
	case variance.SalesQuantity:
		return "more or fewer cakes than planned"
	case variance.SalesMix:
		return "cakes that earn more or less than planned"
	case variance.SalesPrice:
		return "price charged"
	case variance.SalesDiscount:
		return "discount and what was let off"
	case variance.MaterialPrice:
		return "price of ingredients and packaging"
	case variance.MaterialUsage:
		return "quantity of ingredients and packaging"
	case variance.MaterialWaste:
		return "ingredients and packaging thrown away"
	case variance.LabourRate:
		return "pay per hour"
	case variance.LabourEfficiency:
		return "time worked"
	case variance.LabourIdle:
		return "time paid and not worked"
	case variance.VariableSpending:
		return "price of energy"
	case variance.VariableEfficiency:
		return "energy and machine time used"
	case variance.OverheadSpending:
		return "overhead paid, against its budget"
	case variance.OverheadVolume:
		return "overhead absorbed, against its budget"
	case variance.OverheadAbsorption:
		return "overhead absorbed, against what was paid"
	}
	return k.String()
}

func (t *Tally) bridge(b variance.Bridge) Bridge {
	printed := b.Print(t.cur)
	shown := Bridge{Planned: printed.Planned, Actual: printed.Actual, Steps: make([]Step, len(printed.Steps))}
	for i, s := range printed.Steps {
		shown.Steps[i] = Step{s.Key, StepLabel(s.Key), s.Amount, s.Effect, s.Recorded}
		shown.Plan = shown.Plan || s.Key == variance.SalesQuantity
	}
	return shown
}

// quoteTable returns the quotes as they stood at the end of the span.
func (t *Tally) quoteTable() Quotes {
	var q Quotes
	issued, decided := exact.Number{}, map[Fate]exact.Number{}
	counts := map[Fate]int{}
	q.Rows = []QuoteRow{}
	for _, o := range t.quotes {
		row := QuoteRow{Number: o.Number, Client: o.Client, Event: o.Event, Issued: o.Issued, Value: t.cur.Round(o.Net)}
		row.Fate, row.Decided = o.by(t.span.To)
		if t.span.Holds(o.Issued) {
			q.Issued.Count++
			issued = issued.Add(o.IssuedNet)
		}
		if row.Fate == Open || t.span.Holds(row.Decided) {
			counts[row.Fate]++
			decided[row.Fate] = decided[row.Fate].Add(o.Net)
		}
		q.Rows = append(q.Rows, row)
	}
	slices.SortFunc(q.Rows, func(a, b QuoteRow) int {
		return cmp.Or(oldest(a.Issued, b.Issued), cmp.Compare(a.Number, b.Number))
	})
	tallied := func(f Fate) Tallied { return Tallied{counts[f], t.cur.Round(decided[f])} }
	q.Issued.Value = t.cur.Round(issued)
	q.Won, q.Declined, q.Lapsed, q.Withdrawn, q.Open = tallied(Won), tallied(Declined), tallied(Lapsed), tallied(Withdrawn), tallied(Open)
	q.Lost = Tallied{
		q.Declined.Count + q.Lapsed.Count + q.Withdrawn.Count,
		money.Sum(q.Declined.Value, q.Lapsed.Value, q.Withdrawn.Value),
	}
	q.Conversion = share(exact.Int(int64(q.Won.Count)), exact.Int(int64(q.Won.Count+q.Lost.Count)))
	q.ConversionValue = share(q.Won.Value.Number(), q.Won.Value.Add(q.Lost.Value).Number())
	return q
}
