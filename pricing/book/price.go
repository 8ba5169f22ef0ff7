package book

import (
	"fmt"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// PriceOn returns the price of an ingredient in force on a day: of those from
// that day or before, the one with the newest from, and of equal ones the
// later listed. Where the ingredient names a supplier only that supplier's
// prices count.
func (ing *Ingredient) PriceOn(on day.Date) (Price, error) {
	best := newest(ing.Prices, on, func(p Price) (day.Date, bool) {
		return p.From, !ing.Supplier.Given || p.Supplier.Or("") == ing.Supplier.Value
	})
	if best == nil {
		from := ""
		if ing.Supplier.Given {
			from = " from " + ing.Supplier.Value
		}
		return Price{}, fmt.Errorf("%s has no price%s on %s; add one that is in force by then", ing.Name, from, on)
	}
	return *best, nil
}

// PerBase returns what a base unit of the ingredient costs a studio under
// price p: pack price ÷ pack size, without the tax that the studio recovers.
func (p Price) PerBase(s Studio) exact.Number {
	perBase := p.Price.Number().Quo(p.Pack.Size(s.Household.Or(measure.Metric)))
	if p.TaxIn.Given && s.RecoversTax.Or(false) {
		perBase = perBase.Quo(one.Add(p.TaxIn.Value.Fraction()))
	}
	return perBase
}

// ListPriceOn returns a cake's list price on a day, if it has one.
func (c *Cake) ListPriceOn(on day.Date) record.Maybe[money.Price] {
	if dated := newest(c.ListPrices, on, func(p ListPrice) (day.Date, bool) { return p.From, true }); dated != nil {
		return record.Some(dated.Price)
	}
	return c.Price
}

// WageOn returns the wage in force on a day.
func (r *Role) WageOn(on day.Date) (Wage, error) {
	best := newest(r.Wage, on, func(w Wage) (day.Date, bool) { return w.From, true })
	if best == nil {
		return Wage{}, fmt.Errorf("%s has no wage on %s; add one that is in force by then", r.Name, on)
	}
	return *best, nil
}

// PerMinute returns what a hands-on minute costs at wage w:
// per hour ÷ 60 × (1 + on-cost) ÷ productive share.
func (r *Role) PerMinute(w Wage) exact.Number {
	loaded := one.Add(r.OnCost.Or(measure.Percent{}).Fraction())
	if r.Productive.Given {
		loaded = loaded.Quo(r.Productive.Value.Fraction())
	}
	return w.PerHour.Number().Mul(loaded).Mul(exact.Frac(1, 60))
}

// EnergyOn returns the energy price in force on a day.
func (b Book) EnergyOn(on day.Date) (EnergyPrice, error) {
	best := newest(b.Energy, on, func(p EnergyPrice) (day.Date, bool) { return p.From, true })
	if best == nil {
		return EnergyPrice{}, fmt.Errorf("energy has no price on %s; add one per kWh that is in force by then", on)
	}
	return *best, nil
}

// On returns the overhead in force on a day.
func (o *Overhead) On(on day.Date) (DatedOverhead, error) {
	best := newest(o.Dated, on, func(d DatedOverhead) (day.Date, bool) { return d.From, true })
	if best == nil {
		return DatedOverhead{}, fmt.Errorf("overhead has no entry on %s; add one that is in force by then", on)
	}
	return *best, nil
}

// newest returns the entry with the newest day not after on, the last of
// several, or nil. Entries that do not count are passed over.
func newest[T any](list []T, on day.Date, from func(T) (day.Date, bool)) *T {
	var best *T
	var bestFrom day.Date
	for i := range list {
		d, counts := from(list[i])
		if !counts || d.After(on) || best != nil && d.Before(bestFrom) {
			continue
		}
		best, bestFrom = &list[i], d
	}
	return best
}
