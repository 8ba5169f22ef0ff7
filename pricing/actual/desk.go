package actual

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// Desk is where sheets become records: with the book as it stands, on a day.
type Desk struct {
	x     *book.Index
	today day.Date
}

// NewDesk returns a desk.
func NewDesk(x *book.Index, today day.Date) Desk { return Desk{x, today} }

// Read turns a sheet into records of its order. The error is a record.Faults
// with every line that makes no sense.
func (d Desk) Read(s Sheet, o quote.Order) (Records, error) {
	var r Records
	var faults record.Faults
	if s.length() == 0 {
		faults.Add("", "nothing is recorded here; add work, used, more, wasted or bought")
	}
	keep := func(path string, err error) bool {
		var f fieldError
		switch {
		case errors.As(err, &f):
			faults.Add(record.Join(path, f.field), "%s", f.err)
		case err != nil:
			faults.Add(path, "%s", err)
		}
		return err == nil
	}
	for i, line := range s.Work {
		if e, err := d.Work(line, o); keep(record.Item("work", i), err) {
			r.Work = append(r.Work, e)
		}
	}
	for _, list := range []struct {
		name  string
		way   Way
		lines []GoodsTaken
	}{{"used", Used, s.Used}, {"more", More, s.More}, {"wasted", Wasted, s.Wasted}} {
		for i, line := range list.lines {
			if e, err := d.Goods(list.way, line, o); keep(record.Item(list.name, i), err) {
				r.Goods = append(r.Goods, e)
			}
		}
	}
	for i, line := range s.Bought {
		if e, err := d.Purchase(line, o.Quote.Number); keep(record.Item("bought", i), err) {
			r.Purchases = append(r.Purchases, e)
		}
	}
	if len(faults) > 0 {
		return Records{}, faults
	}
	return r, nil
}

// fieldError is about one key of a line.
type fieldError struct {
	field string
	err   error
}

func (f fieldError) Error() string { return f.err.Error() }
func (f fieldError) Unwrap() error { return f.err }

func in(field, format string, args ...any) error {
	return fieldError{field, fmt.Errorf(format, args...)}
}

// head dates an entry: nothing can have happened yet that lies ahead.
func (d Desk) head(on day.Date, note string) (Head, error) {
	if on.IsZero() {
		on = d.today
	}
	if on.After(d.today) {
		return Head{}, in("on", "%s is still to come; record what has happened", on)
	}
	return Head{On: on, Note: strings.TrimSpace(note)}, nil
}

// Work turns a line of work into an entry.
func (d Desk) Work(line WorkDone, o quote.Order) (e Work, err error) {
	e = Work{
		Order: o.Quote.Number, Way: Way(cmp.Or(string(line.As), string(Worked))), Who: strings.TrimSpace(line.Who), Minutes: line.Time.Number(),
	}
	if e.Way != Worked && e.Way != Longer && e.Way != Idle {
		return e, in("as", "%.40q is unknown; use worked, longer or idle", line.As)
	}
	if e.Head, err = d.head(line.On, line.Note); err != nil {
		return e, err
	}
	if e.Role, e.PerMinute, err = d.role(line.Role, e.On, o); err != nil {
		return e, fieldError{"role", err}
	}
	e.Task = d.task(e.Role, line.Task)
	return e, nil
}

// role finds a role by id or name, and what its minute costs by the book on a
// day. A role that has left the book is known from the order's frozen bill.
func (d Desk) role(said book.ID, on day.Date, o quote.Order) (book.ID, exact.Number, error) {
	for _, role := range d.x.Book.Roles {
		if role.ID != said && !strings.EqualFold(role.Name, string(said)) {
			continue
		}
		rate, err := pricing.NewRates(d.x, on).Of(role.ID, pricing.Role)
		if err == nil {
			return role.ID, rate.PerUnit, nil
		}
		if frozen, there := frozenRate(o, role.ID, pricing.Role); there {
			return role.ID, frozen.PerUnit, nil
		}
		return "", exact.Number{}, err
	}
	if frozen, there := frozenRate(o, said, pricing.Role); there {
		return said, frozen.PerUnit, nil
	}
	var known []string
	for _, role := range d.x.Book.Roles {
		known = append(known, string(role.ID))
	}
	if len(known) == 0 {
		return "", exact.Number{}, fmt.Errorf("%.60q is no role: the book has none; add roles to it first", said)
	}
	return "", exact.Number{}, fmt.Errorf("%.60q is no role of the book; use %s", said, strings.Join(known, ", "))
}

// frozenRate finds the price that an order was quoted with.
func frozenRate(o quote.Order, id book.ID, kinds ...pricing.Kind) (quote.Rate, bool) {
	for _, r := range o.Quote.Basis.Rates {
		if r.ID == id && slices.ContainsFunc(kinds, func(k pricing.Kind) bool { return k.String() == r.Kind }) {
			return r, true
		}
	}
	return quote.Rate{}, false
}

// task writes a task as the book spells it, so that reports find it.
func (d Desk) task(role book.ID, said string) string {
	said = strings.Join(strings.Fields(said), " ")
	for _, t := range d.Tasks(role) {
		if strings.EqualFold(t, said) {
			return t
		}
	}
	return said
}

// Tasks lists the tasks that the book gives a role, each once, sorted.
func (d Desk) Tasks(role book.ID) []string {
	var list []string
	add := func(tasks []book.Task) {
		for _, t := range tasks {
			if t.Role == role {
				list = append(list, t.Name)
			}
		}
	}
	for _, c := range d.x.Book.Components {
		add(c.Tasks)
	}
	for _, c := range d.x.Book.Cakes {
		add(c.Tasks)
		for _, t := range c.Tiers {
			add(t.Tasks)
		}
	}
	for _, e := range d.x.Book.Extras {
		add(e.Tasks)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// Purchase turns a line of an invoice into an entry; order is "" for the store
// room.
func (d Desk) Purchase(line GoodsBought, order string) (e Purchase, err error) {
	if e.Head, err = d.head(line.On, line.Note); err != nil {
		return e, err
	}
	it, err := d.item(line.Use)
	if err != nil {
		return e, fieldError{"use", err}
	}
	ing := it.Ingredient
	switch {
	case it.Component != nil:
		return e, in("use", "%s is made, not bought; name what it is made of", it.Name())
	case it.Part != nil:
		return e, in("use", "%s is bought as %s; name %q", it.Part.Name, ing.Name, ing.ID)
	case line.Pack.Dimension() != ing.Measure:
		return e, in("pack", "%q is a %s, but %s is bought by %s; write the pack in %s", line.Pack, line.Pack.Dimension(), ing.Name, ing.Measure, strings.Join(measure.Symbols(ing.Measure), ", "))
	case line.Packs.Number().IsZero():
		return e, in("packs", "0 packs say nothing; enter how many were bought")
	case line.Price.IsZero():
		return e, in("price", "the price of a pack is 0; leave gifts and samples out")
	}
	e = Purchase{
		Head: e.Head, Order: order, Ingredient: ing.ID, Packs: line.Packs, Pack: line.Pack, Price: line.Price, TaxIn: line.TaxIn,
		Supplier: strings.TrimSpace(line.Supplier), Invoice: strings.TrimSpace(line.Invoice), Unit: ing.Measure.Base(),
	}
	standing, errPrice := ing.PriceOn(e.On)
	if e.Supplier == "" && errPrice == nil {
		e.Supplier = standing.Supplier.Or("")
	}
	if !e.TaxIn.Given && errPrice == nil {
		e.TaxIn = standing.TaxIn
	}
	e.Quantity = line.Packs.Number().Mul(line.Pack.Size(d.x.Household()))
	e.PerUnit = e.Dated().PerBase(d.x.Book.Studio)
	if err := sane(e.Quantity, ing.Measure); err != nil {
		return e, fieldError{"packs", err}
	}
	return e, nil
}

// Dated returns the price of a purchase as an entry of the price history.
func (p Purchase) Dated() book.Price {
	dated := book.Price{From: p.On, Pack: p.Pack, Price: p.Price, TaxIn: p.TaxIn}
	if p.Supplier != "" {
		dated.Supplier = record.Some(p.Supplier)
	}
	switch {
	case p.Invoice != "":
		dated.Note = record.Some("invoice " + p.Invoice)
	case p.Note != "":
		dated.Note = record.Some(p.Note)
	}
	return dated
}

// Wage returns an entry of what an hour of a role is really paid.
func (d Desk) Wage(role book.ID, perHour money.Price, from, until day.Date, note string) (e Wage, err error) {
	if e.On = from; e.On.IsZero() {
		e.On = d.today
	}
	switch {
	case perHour.IsZero():
		return e, in("per_hour", "a wage of 0 says nothing; enter what an hour is paid")
	case !until.IsZero() && until.Before(e.On):
		return e, in("until", "%s is before the wage begins, %s; mend one of them", until, e.On)
	}
	id, _, err := d.role(role, e.On, quote.Order{})
	if err != nil {
		return e, fieldError{"role", err}
	}
	own, _ := d.x.Role(id)
	e.Role, e.PerHour, e.Until, e.Note = id, perHour, until, strings.TrimSpace(note)
	e.PerMinute = own.PerMinute(book.Wage{From: e.On, PerHour: perHour})
	return e, nil
}
