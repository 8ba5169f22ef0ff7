package actual

import (
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// Head is what every entry has.
type Head struct {
	ID     string   // A12; "" until it is stored
	At     string   // when it was entered, 2026-11-25T09:30:00Z
	On     day.Date // when it happened
	Note   string
	Undone *Undone // nil while it counts
}

// Undone says that an entry was taken back.
type Undone struct {
	On  day.Date
	Why string
}

// Way is how an entry stands to the plan.
type Way string

// The ways of work and of goods.
const (
	Worked Way = "worked" // minutes instead of the planned ones
	Longer Way = "longer" // minutes on top of the plan
	Idle   Way = "idle"   // minutes paid and not worked
	Used   Way = "used"   // in all, instead of the plan
	More   Way = "more"   // on top of the plan
	Wasted Way = "wasted" // thrown away
)

// Work is time that a role spent on an order.
type Work struct {
	Head
	Order     string // number of its quote
	Way       Way    // Worked, Longer or Idle
	Role      book.ID
	Task      string // a free word; "" if none was said
	Who       string // a free name; "" if none was said
	Minutes   exact.Number
	PerMinute exact.Number // standard price of a minute on the day, for a role that the order does not plan
	Started   string       // by the clock, an instant; "" where entered by hand
	Ended     string
}

// Goods is material that an order took or lost. A component stands as the
// ingredients that it is made of.
type Goods struct {
	Head
	Order   string
	Way     Way              // Used, More or Wasted
	Use     book.ID          // ingredient, part or component, as entered
	Written measure.Quantity // as entered
	Goods   []Good           // each ingredient once
}

// Good is a quantity of an ingredient as purchased.
type Good struct {
	Resource  book.ID
	Packaging bool
	Quantity  exact.Number
	Unit      string       // of bills
	PerUnit   exact.Number // price in force on the day, for goods that the order does not plan
}

// Purchase is packs of one ingredient bought at one price.
type Purchase struct {
	Head
	Order      string // that it was made for; "" for the store room
	Ingredient book.ID
	Packs      measure.Figure
	Pack       measure.Pack
	Price      money.Price // of a pack
	TaxIn      record.Maybe[measure.Percent]
	Supplier   string
	Invoice    string
	Quantity   exact.Number // in all, in base units
	Unit       string
	PerUnit    exact.Number // without the tax that the studio recovers
}

// Wage is what an hour of a role is really paid, from Head.On.
type Wage struct {
	Head
	Role      book.ID
	PerHour   money.Price
	Until     day.Date // last day; the zero day: until a newer one
	PerMinute exact.Number
}

// Cost names what a bill is for.
type Cost string

// The costs that bills are for.
const (
	OverheadCost Cost = "overhead"
	EnergyCost   Cost = "energy"
)

// Bill is money that was paid for a month.
type Bill struct {
	Head
	Month  Month
	Of     Cost
	Amount record.Maybe[money.Amount] // without the tax that the studio recovers
	KWh    record.Maybe[measure.Figure]
}

// Plan is what a month is to bring.
type Plan struct {
	Head
	Month    Month
	Cakes    record.Maybe[int]
	Margin   record.Maybe[money.Amount]   // of all of them, after the overhead they absorb
	Overhead record.Maybe[money.Amount]   // budget of fixed overhead
	Hours    record.Maybe[measure.Figure] // labour hours that it is spread over
}

// Charge is a change of what a client pays, made after accepting.
type Charge struct {
	Head
	Order  string
	Amount money.Amount // of the total; below 0 it was let off
}

// Records are entries of a journal, by kind.
type Records struct {
	Work      []Work
	Goods     []Goods
	Purchases []Purchase
	Wages     []Wage
	Bills     []Bill
	Plans     []Plan
	Charges   []Charge
}

// Len returns how many entries there are.
func (r Records) Len() int {
	return len(r.Work) + len(r.Goods) + len(r.Purchases) + len(r.Wages) + len(r.Bills) + len(r.Plans) + len(r.Charges)
}

// Join returns the entries of r and then those of s.
func (r Records) Join(s Records) Records {
	return Records{
		slices.Concat(r.Work, s.Work), slices.Concat(r.Goods, s.Goods), slices.Concat(r.Purchases, s.Purchases),
		slices.Concat(r.Wages, s.Wages), slices.Concat(r.Bills, s.Bills), slices.Concat(r.Plans, s.Plans), slices.Concat(r.Charges, s.Charges),
	}
}

// Append returns the entries of r and then those of s, which may stand behind
// r's own in memory: r is not appended to again.
func (r Records) Append(s Records) Records {
	return Records{
		append(r.Work, s.Work...), append(r.Goods, s.Goods...), append(r.Purchases, s.Purchases...),
		append(r.Wages, s.Wages...), append(r.Bills, s.Bills...), append(r.Plans, s.Plans...), append(r.Charges, s.Charges...),
	}
}

// Without returns the entries whose ids are not among some.
func (r Records) Without(ids map[string]bool) Records {
	return r.only(func(h Head) bool { return !ids[h.ID] })
}

// Of returns the entries whose ids are among some.
func (r Records) Of(ids map[string]bool) Records {
	return r.only(func(h Head) bool { return ids[h.ID] })
}

func (r Records) only(which func(Head) bool) Records {
	return Records{
		those(r.Work, func(e Work) bool { return which(e.Head) }), those(r.Goods, func(e Goods) bool { return which(e.Head) }),
		those(r.Purchases, func(e Purchase) bool { return which(e.Head) }), those(r.Wages, func(e Wage) bool { return which(e.Head) }),
		those(r.Bills, func(e Bill) bool { return which(e.Head) }), those(r.Plans, func(e Plan) bool { return which(e.Head) }),
		those(r.Charges, func(e Charge) bool { return which(e.Head) }),
	}
}

func those[T any](list []T, which func(T) bool) (kept []T) {
	for _, e := range list {
		if which(e) {
			kept = append(kept, e)
		}
	}
	return kept
}

// IDs returns the ids of the entries.
func (r Records) IDs() map[string]bool {
	ids := make(map[string]bool, r.Len())
	r.only(func(h Head) bool { ids[h.ID] = true; return false })
	return ids
}

// BearOn reports whether any of the entries can change what [Ledger.Apply] makes
// of an order or what is recorded of it, when it is added to a ledger or taken
// out of one: entries of the order itself, goods for the store room bought
// between its acceptance and its event, what anybody is paid, and energy in the
// month of the event.
func (r Records) BearOn(number string, accepted, event day.Date) bool {
	of := MonthOf(event)
	return len(r.Wages) > 0 ||
		slices.ContainsFunc(r.Work, func(e Work) bool { return e.Order == number }) ||
		slices.ContainsFunc(r.Goods, func(e Goods) bool { return e.Order == number }) ||
		slices.ContainsFunc(r.Charges, func(e Charge) bool { return e.Order == number }) ||
		slices.ContainsFunc(r.Purchases, func(e Purchase) bool {
			return e.Order == number || e.Order == "" && !e.On.Before(accepted) && !e.On.After(event)
		}) ||
		slices.ContainsFunc(r.Bills, func(e Bill) bool { return e.Of == EnergyCost && e.Month == of })
}

// BearOnMonths reports whether any of the entries is of the month as a whole, of
// one between two days: a bill or a plan.
func (r Records) BearOnMonths(from, to day.Date) bool {
	within := func(m Month) bool { return !m.Last().Before(from) && !m.First().After(to) }
	return slices.ContainsFunc(r.Bills, func(e Bill) bool { return within(e.Month) }) ||
		slices.ContainsFunc(r.Plans, func(e Plan) bool { return within(e.Month) })
}

// Orders returns the numbers of the orders that entries are of, sorted.
func (r Records) Orders() []string {
	var list []string
	for _, e := range r.Work {
		list = append(list, e.Order)
	}
	for _, e := range r.Goods {
		list = append(list, e.Order)
	}
	for _, e := range r.Charges {
		list = append(list, e.Order)
	}
	for _, e := range r.Purchases {
		if e.Order != "" {
			list = append(list, e.Order)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// Check refuses entries of goods that cannot all be true: two totals of one
// ingredient, or more of it wasted than used.
func (r Records) Check() error {
	type key struct {
		order    string
		resource book.ID
		unit     string
	}
	used := map[key]string{}
	type figures struct{ used, lost exact.Number }
	sums := map[key]figures{}
	for _, e := range r.Goods {
		if e.Undone != nil {
			continue
		}
		for _, g := range e.Goods {
			k := key{e.Order, g.Resource, g.Unit}
			f := sums[k]
			switch e.Way {
			case Used:
				if first, twice := used[k]; twice {
					return fmt.Errorf("%s: %s has a total of %s already%s; take that back with: actual undo, or enter what came on top with --more", e.Order, g.Resource, e.Order, inEntry(first))
				}
				used[k] = e.ID
				f.used = f.used.Add(g.Quantity)
			case More:
				f.used = f.used.Add(g.Quantity)
			case Wasted:
				f.lost = f.lost.Add(g.Quantity)
			}
			sums[k] = f
		}
	}
	for _, e := range r.Goods { // in their order, so that the first is named
		for _, g := range e.Goods {
			k := key{e.Order, g.Resource, g.Unit}
			if _, total := used[k]; total && sums[k].lost.Cmp(sums[k].used) > 0 {
				return fmt.Errorf("%s: more %s was wasted (%s %s) than used in all (%s %s); the total counts what was wasted too, so mend one of them",
					e.Order, g.Resource, sums[k].lost.Round(3), g.Unit, sums[k].used.Round(3), g.Unit)
			}
		}
	}
	return nil
}

func inEntry(id string) string {
	if id == "" {
		return ", entered here twice"
	}
	return " in " + id
}
