package variance

import (
	"errors"
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
)

// Order is what was planned for an order and what is known of how it went.
type Order struct {
	ID    string // as errors call it: the number of its quote
	Cakes int    // delivered; a month's plan counts them
	Sales Sales
	Lines []Line
	Share exact.Number // of overhead by percentage of the other standard costs; else 0
}

// Sales is what an order was to bring and what it brought, without tax.
type Sales struct {
	Price          exact.Number // planned, before discount
	Discount       exact.Number // planned, not below 0
	ActualPrice    record.Maybe[exact.Number]
	ActualDiscount record.Maybe[exact.Number] // granted, not below 0
}

// Planned returns the planned net price.
func (s Sales) Planned() exact.Number { return s.Price.Sub(s.Discount) }

// Actual returns the net price charged; the plan stands in for what is not
// recorded.
func (s Sales) Actual() exact.Number {
	return s.ActualPrice.Or(s.Price).Sub(s.ActualDiscount.Or(s.Discount))
}

// Line is one resource of an order: its standard, and what is recorded of what
// was really used. A resource that came from two purchases may stand on two
// lines, the standard quantity on one of them.
type Line struct {
	Resource         book.ID
	Kind             pricing.Kind
	Unit             string // of the bill
	StandardQuantity exact.Number
	StandardPrice    exact.Number               // money per unit
	ActualQuantity   record.Maybe[exact.Number] // all that was used or paid for, what was lost too
	ActualPrice      record.Maybe[exact.Number] // money per unit
	// Lost is what was thrown away of goods, or paid and not worked of labour:
	// part of ActualQuantity where that is given, else on top of the standard.
	Lost exact.Number
}

// Unplanned returns the line of something used that no standard asked for. It
// has no standard price to compare with, so that all of its cost is usage.
func Unplanned(id book.ID, kind pricing.Kind, unit string, quantity, price exact.Number) Line {
	return Line{
		Resource: id, Kind: kind, Unit: unit, StandardPrice: price,
		ActualQuantity: record.Some(quantity), ActualPrice: record.Some(price),
	}
}

// Figure is an actual figure, or the standard in its place.
type Figure struct {
	Value    exact.Number
	Recorded bool // false: nothing was recorded and the standard stands in
}

// Split is what lies between a standard and an actual cost. Above 0 is
// favourable.
type Split struct {
	Price exact.Number // rate of labour; spending of energy, wear and fixed overhead
	Usage exact.Number // efficiency of labour, energy and wear; volume of fixed overhead
	Lost  exact.Number // waste of goods, idle time of labour
}

// Total returns the whole difference: standard cost − actual cost.
func (s Split) Total() exact.Number { return exact.Sum(s.Price, s.Usage, s.Lost) }

// Add returns s + t.
func (s Split) Add(t Split) Split {
	return Split{s.Price.Add(t.Price), s.Usage.Add(t.Usage), s.Lost.Add(t.Lost)}
}

// Costs compares the standard and the actual cost of something.
type Costs struct {
	Standard exact.Number
	Split    Split
	Recorded exact.Number // standard cost of the lines of which something is recorded
}

// Actual returns the actual cost, which the standard and the split determine.
func (c Costs) Actual() exact.Number { return c.Standard.Sub(c.Split.Total()) }

// Add returns c + d.
func (c Costs) Add(d Costs) Costs {
	return Costs{c.Standard.Add(d.Standard), c.Split.Add(d.Split), c.Recorded.Add(d.Recorded)}
}

// Variance is a line with its variances.
type Variance struct {
	Line     Line
	Quantity Figure // used
	Price    Figure // per unit
	Costs
}

// Recorded reports whether anything is recorded of the line.
func (v Variance) Recorded() bool { return v.Quantity.Recorded || v.Price.Recorded }

// Kinds are costs by kind of resource. Fixed overhead costs in an order what
// its standard absorbs.
type Kinds [pricing.Overhead + 1]Costs

// Add returns k + l.
func (k Kinds) Add(l Kinds) Kinds {
	for i := range k {
		k[i] = k[i].Add(l[i])
	}
	return k
}

// Total returns the sum of all kinds.
func (k Kinds) Total() Costs {
	var sum Costs
	for _, c := range k {
		sum = sum.Add(c)
	}
	return sum
}

// Standard returns the standard cost by class.
func (k Kinds) Standard() pricing.Cost {
	return k.classes(func(c Costs) exact.Number { return c.Standard })
}

// Actual returns the actual cost by class.
func (k Kinds) Actual() pricing.Cost {
	return k.classes(Costs.Actual)
}

func (k Kinds) classes(of func(Costs) exact.Number) pricing.Cost {
	return pricing.Cost{
		Ingredients: of(k[pricing.Ingredient]), Packaging: of(k[pricing.Packaging]), Labour: of(k[pricing.Role]),
		Equipment: of(k[pricing.Energy]).Add(of(k[pricing.Equipment])), Overhead: of(k[pricing.Overhead]),
	}
}

// Result is an order with its variances.
type Result struct {
	ID         string
	Cakes      int
	PlannedNet exact.Number
	Net        exact.Number
	Lines      []Variance
	Kinds      Kinds
	Bridge     Bridge
}

// Work works out the variances of an order. An order that makes no sense is
// refused with every reason.
func Work(o Order) (Result, error) {
	if err := o.check(); err != nil {
		return Result{}, err
	}
	r := Result{ID: o.ID, Cakes: o.Cakes, PlannedNet: o.Sales.Planned(), Net: o.Sales.Actual()}
	var s span
	s.step(SalesPrice, o.Sales.ActualPrice.Or(o.Sales.Price).Sub(o.Sales.Price), o.Sales.ActualPrice.Given)
	s.step(SalesDiscount, o.Sales.Discount.Sub(o.Sales.ActualDiscount.Or(o.Sales.Discount)), o.Sales.ActualDiscount.Given)
	for _, l := range o.Lines {
		v := l.work()
		r.Lines = append(r.Lines, v)
		r.Kinds[l.Kind] = r.Kinds[l.Kind].Add(v.Costs)
		if price, usage, lost, ok := Keys(l.Kind); ok {
			s.step(price, exact.Number{}, v.Price.Recorded)
			s.step(usage, exact.Number{}, v.Quantity.Recorded)
			s.step(lost, exact.Number{}, v.Quantity.Recorded)
		}
	}
	for kind, c := range r.Kinds {
		if price, usage, lost, ok := Keys(pricing.Kind(kind)); ok {
			s.step(price, c.Split.Price, false)
			s.step(usage, c.Split.Usage, false)
			s.step(lost, c.Split.Lost, false)
		}
	}
	total := r.Kinds.Total()
	if !o.Share.IsZero() {
		absorbed := Costs{Standard: total.Standard.Mul(o.Share)}
		r.Kinds[pricing.Overhead] = r.Kinds[pricing.Overhead].Add(absorbed)
		total = total.Add(absorbed)
	}
	s.planned, s.actual = r.PlannedNet.Sub(total.Standard), r.Net.Sub(total.Actual())
	r.Bridge = s.bridge()
	return r, nil
}

// work compares a line's standard with what was recorded, in price first on
// what was really used, then in quantity at standard prices.
func (l Line) work() Variance {
	v := Variance{Line: l, Price: Figure{l.ActualPrice.Or(l.StandardPrice), l.ActualPrice.Given}}
	v.Quantity = Figure{l.ActualQuantity.Or(l.StandardQuantity.Add(l.Lost)), l.ActualQuantity.Given || !l.Lost.IsZero()}
	v.Standard = l.StandardQuantity.Mul(l.StandardPrice)
	if v.Price.Recorded {
		v.Split.Price = l.StandardPrice.Sub(v.Price.Value).Mul(v.Quantity.Value)
	}
	if v.Quantity.Recorded {
		v.Split.Usage = l.StandardQuantity.Sub(v.Quantity.Value.Sub(l.Lost)).Mul(l.StandardPrice)
		v.Split.Lost = l.Lost.Mul(l.StandardPrice).Neg()
	}
	if v.Recorded() {
		v.Costs.Recorded = v.Standard
	}
	return v
}

// check refuses what cannot have happened.
func (o Order) check() error {
	faults := slices.Concat(
		unsigned("the planned price", o.Sales.Price), unsigned("the planned discount", o.Sales.Discount),
		unsigned("the price charged", o.Sales.ActualPrice.Value), unsigned("the discount granted", o.Sales.ActualDiscount.Value),
		unsigned("the share of overhead", o.Share))
	if o.Cakes < 0 {
		faults = append(faults, fmt.Errorf("%d cakes; count those delivered, 0 or more", o.Cakes))
	}
	for _, l := range o.Lines {
		faults = append(faults, l.check()...)
	}
	for i, f := range faults {
		faults[i] = fmt.Errorf("order %s: %w", o.ID, f)
	}
	return errors.Join(faults...)
}

func (l Line) check() []error {
	if l.Kind < pricing.Ingredient || l.Kind > pricing.Overhead {
		return []error{fmt.Errorf("%s: the kind of resource %d is unknown; use one of the bill's", l.Resource, int(l.Kind))}
	}
	faults := slices.Concat(
		unsigned("the standard quantity", l.StandardQuantity), unsigned("the standard price", l.StandardPrice),
		unsigned("the quantity used", l.ActualQuantity.Value), unsigned("the price paid", l.ActualPrice.Value),
		unsigned("the quantity lost", l.Lost))
	if l.ActualQuantity.Given && l.Lost.Cmp(l.ActualQuantity.Value) > 0 {
		faults = append(faults, errors.New("more was lost than used; the quantity used counts what was lost too"))
	}
	switch _, usage, lost, ok := Keys(l.Kind); {
	case !ok && (l.ActualQuantity.Given || l.ActualPrice.Given || !l.Lost.IsZero()):
		faults = append(faults, errors.New("an order absorbs overhead at its standard; enter what was paid for the month instead"))
	case ok && usage == lost && !l.Lost.IsZero():
		faults = append(faults, errors.New("only goods are wasted and only labour is idle; enter the quantity used instead"))
	}
	for i, f := range faults {
		faults[i] = fmt.Errorf("%s: %w", l.Resource, f)
	}
	return faults
}

// unsigned refuses a figure below zero.
func unsigned(what string, n exact.Number) []error {
	if n.Sign() < 0 {
		return []error{fmt.Errorf("%s is below zero; enter it without a sign", what)}
	}
	return nil
}
