package actual

import (
	"slices"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// MonthRecords is what is recorded of a month.
type MonthRecords struct {
	Overhead record.Maybe[exact.Number] // paid
	Energy   record.Maybe[exact.Number] // paid
	KWh      record.Maybe[exact.Number]
	Plan     record.Maybe[variance.Plan]
	Budget   record.Maybe[exact.Number] // of overhead
	Hours    record.Maybe[exact.Number] // labour hours that the budget is spread over
	priced   struct{ money, kwh exact.Number }
}

// withBill adds a bill: those of a month add up.
func (m MonthRecords) withBill(b Bill) MonthRecords {
	add := func(sum *record.Maybe[exact.Number], n exact.Number) { *sum = record.Some(sum.Value.Add(n)) }
	switch {
	case b.Of == OverheadCost:
		add(&m.Overhead, b.Amount.Value.Number())
		return m
	case b.Amount.Given && b.KWh.Given:
		m.priced.money = m.priced.money.Add(b.Amount.Value.Number())
		m.priced.kwh = m.priced.kwh.Add(b.KWh.Value.Number())
	}
	if b.Amount.Given {
		add(&m.Energy, b.Amount.Value.Number())
	}
	if b.KWh.Given {
		add(&m.KWh, b.KWh.Value.Number())
	}
	return m
}

// withPlan sets what an entry says of the plan; a newer entry stands instead
// of an older one, key by key.
func (m MonthRecords) withPlan(p Plan) MonthRecords {
	if p.Cakes.Given && p.Margin.Given {
		m.Plan = record.Some(variance.Plan{Cakes: p.Cakes.Value, Margin: p.Margin.Value.Number()})
	}
	if p.Overhead.Given {
		m.Budget = record.Some(p.Overhead.Value.Number())
	}
	if p.Hours.Given {
		m.Hours = record.Some(p.Hours.Value.Number())
	}
	return m
}

// PerKWh returns what a kWh cost by the bills that state both money and kWh.
func (m MonthRecords) PerKWh() (exact.Number, bool) {
	if m.priced.kwh.IsZero() {
		return exact.Number{}, false
	}
	return m.priced.money.Quo(m.priced.kwh), true
}

// Fixed returns the overhead of the month, for [variance.Tally.Month].
func (m MonthRecords) Fixed() variance.Overhead {
	return variance.Overhead{Budget: m.Budget, Actual: m.Overhead}
}

// OfMonths returns a ledger that knows what is recorded of months, and nothing
// of orders.
func OfMonths(months map[Month]MonthRecords) *Ledger { return &Ledger{months: months} }

// Month returns what is recorded of a month.
func (l *Ledger) Month(m Month) MonthRecords { return l.months[m] }

// Months lists the months of which anything is recorded, the earliest first.
func (l *Ledger) Months() []Month {
	var list []Month
	for m := range l.months {
		list = append(list, m)
	}
	slices.SortFunc(list, func(a, b Month) int { return byDay(a.first, b.first) })
	return list
}

// Span returns the sum of the months that lie wholly between two days. A
// figure is given only where each of those months has it and they fill the
// span, so that a year is never compared with the plan of eleven months.
func (l *Ledger) Span(from, to day.Date) MonthRecords {
	first := MonthOf(from)
	if first.First() != from || to.Before(from) || MonthOf(to).Last() != to {
		return MonthRecords{}
	}
	sum := l.months[first]
	for m := first.Next(); m.Within(from, to); m = m.Next() {
		next := l.months[m]
		both(&sum.Overhead, next.Overhead)
		both(&sum.Energy, next.Energy)
		both(&sum.KWh, next.KWh)
		both(&sum.Budget, next.Budget)
		both(&sum.Hours, next.Hours)
		sum.Plan.Given = sum.Plan.Given && next.Plan.Given
		sum.Plan.Value.Cakes += next.Plan.Value.Cakes
		sum.Plan.Value.Margin = sum.Plan.Value.Margin.Add(next.Plan.Value.Margin)
		if !sum.Plan.Given {
			sum.Plan.Value = variance.Plan{}
		}
		sum.priced.money = sum.priced.money.Add(next.priced.money)
		sum.priced.kwh = sum.priced.kwh.Add(next.priced.kwh)
	}
	return sum
}

// both adds m to the sum, which is unknown once a month is.
func both(sum *record.Maybe[exact.Number], m record.Maybe[exact.Number]) {
	if sum.Given = sum.Given && m.Given; !sum.Given {
		sum.Value = exact.Number{}
		return
	}
	sum.Value = sum.Value.Add(m.Value)
}
