package actual

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// Goods turns a line of goods into an entry. The quantity is as purchased:
// before peeling or hulling.
func (d Desk) Goods(way Way, line GoodsTaken, o quote.Order) (e Goods, err error) {
	if e.Head, err = d.head(line.On, line.Why); err != nil {
		return e, err
	}
	e.Order, e.Way, e.Written = o.Quote.Number, way, line.Qty
	if !line.Qty.Given() {
		return e, in("qty", "the quantity is missing; write how much, such as \"250 g\"")
	}
	if line.Qty.Sign() == 0 && way != Used {
		return e, in("qty", "%s says nothing; enter how much it was", line.Qty)
	}
	it, err := d.item(line.Use)
	if err != nil {
		// What has left the book is known from the order's frozen bill.
		good, there, errFrozen := d.frozenGood(line, o)
		if !there {
			return e, fieldError{"use", err}
		}
		e.Use, e.Goods = good.Resource, []Good{good}
		if errFrozen != nil {
			return e, fieldError{"qty", errFrozen}
		}
		return e, nil
	}
	switch {
	case it.Component != nil && way == Used:
		return e, in("use", "%s is made here, so its ingredients stand in the plan of the whole order; name what was used of each, or how much more or wasted %s there was", it.Name(), it.Name())
	case it.Component != nil:
		e.Use = it.Component.ID
		e.Goods, err = d.madeOf(it.Component, line.Qty, e.On, o)
	case it.Part != nil:
		e.Use = it.Part.ID
		e.Goods, err = d.asPurchased(it, line.Qty, e.On, o)
	default:
		e.Use = it.Ingredient.ID
		e.Goods, err = d.asPurchased(it, line.Qty, e.On, o)
	}
	if err != nil {
		return e, fieldError{"qty", err}
	}
	return e, nil
}

// item finds what goods are called, by id or name.
func (d Desk) item(said book.ID) (book.Item, error) {
	if it, ok := d.x.Item(said); ok {
		return it, nil
	}
	var named []book.ID
	var near []string
	look := func(id book.ID, name string) {
		if strings.EqualFold(name, string(said)) {
			named = append(named, id)
		} else if said != "" && strings.Contains(strings.ToLower(name+" "+string(id)), strings.ToLower(string(said))) {
			near = append(near, string(id))
		}
	}
	for _, ing := range d.x.Book.Ingredients {
		look(ing.ID, ing.Name)
		for _, p := range ing.Parts {
			look(p.ID, p.Name)
		}
	}
	for _, c := range d.x.Book.Components {
		look(c.ID, c.Name)
	}
	if len(named) == 1 {
		it, _ := d.x.Item(named[0])
		return it, nil
	}
	hint := "; name one as the book does"
	if len(near) > 0 {
		hint = "; did you mean " + strings.Join(near[:min(len(near), 3)], ", ") + "?"
	}
	return book.Item{}, fmt.Errorf("%.60q is no ingredient, packaging or component of the book%s", said, hint)
}

// asPurchased turns a quantity of an ingredient, or of a part of it, into base
// units as purchased.
func (d Desk) asPurchased(it book.Item, q measure.Quantity, on day.Date, o quote.Order) ([]Good, error) {
	ing := *it.Ingredient
	ing.TrimYield = record.Maybe[measure.Percent]{} // weighed before trimming
	n, err := d.x.Charge(book.Item{Ingredient: &ing, Part: it.Part}, d.x.Amount(q))
	if err != nil {
		return nil, err
	}
	good, err := d.good(it.Ingredient, n, on, o)
	return []Good{good}, err
}

// good prices a quantity of an ingredient, for the case that the order did not
// plan it.
func (d Desk) good(ing *book.Ingredient, n exact.Number, on day.Date, o quote.Order) (Good, error) {
	kind := pricing.Ingredient
	if ing.Kind.Or(book.Edible) == book.Packaging {
		kind = pricing.Packaging
	}
	g := Good{Resource: ing.ID, Packaging: kind == pricing.Packaging, Quantity: n, Unit: ing.Measure.Base()}
	if err := sane(n, ing.Measure); err != nil {
		return g, err
	}
	frozen, planned := frozenRate(o, ing.ID, pricing.Ingredient, pricing.Packaging)
	if planned && frozen.Unit != g.Unit {
		return g, fmt.Errorf("%s was quoted with %s in %s, and the book has it in %s now; the two cannot be compared", o.Quote.Number, ing.Name, frozen.Unit, g.Unit)
	}
	rate, err := pricing.NewRates(d.x, on).Of(ing.ID, kind)
	switch {
	case err == nil:
		g.PerUnit = rate.PerUnit
	case planned:
		g.PerUnit = frozen.PerUnit
	default:
		return g, err
	}
	return g, nil
}

// frozenGood finds goods that only the order's bill still knows.
func (d Desk) frozenGood(line GoodsTaken, o quote.Order) (Good, bool, error) {
	rate, there := frozenRate(o, line.Use, pricing.Ingredient, pricing.Packaging)
	if !there {
		return Good{}, false, nil
	}
	g := Good{Resource: rate.ID, Packaging: rate.Kind == pricing.Packaging.String(), Unit: rate.Unit, PerUnit: rate.PerUnit}
	if line.Qty.Dimension().Base() != rate.Unit {
		return g, true, fmt.Errorf("%s has left the book, so %s cannot be turned into %s; write the quantity in a unit of that kind", rate.ID, line.Qty, rate.Unit)
	}
	g.Quantity = line.Qty.Base(d.x.Household())
	return g, true, sane(g.Quantity, line.Qty.Dimension())
}

// madeOf explodes a quantity of a component into what it is made of. It is
// taken off as a cake would be that holds only that, out of a book without
// least batches or work: 400 g that were dropped are 400 g, whatever a batch
// is, and the work on them shows in the minutes.
func (d Desk) madeOf(c *book.Component, q measure.Quantity, on day.Date, o quote.Order) ([]Good, error) {
	if _, err := d.x.Charge(book.Item{Component: c}, d.x.Amount(q)); err != nil {
		return nil, err // before it is told as a part of a cake that nobody wrote
	}
	const cake = "goods"
	b := d.x.Book
	b.Overhead = nil
	b.Components = slices.Clone(b.Components)
	for i := range b.Components {
		b.Components[i].BatchMin, b.Components[i].Tasks, b.Components[i].Equipment = measure.Quantity{}, nil, nil
	}
	b.Cakes = []book.Cake{{ID: cake, Name: c.Name, Portions: record.Some(1), Parts: []book.Part{{Use: c.ID, Qty: q}}}}
	take, err := pricing.TakeCake(book.NewIndex(b), cake)
	if err != nil {
		return nil, err
	}
	var list []Good
	for _, l := range take.Bill {
		it, ok := d.x.Item(l.Resource)
		if !ok {
			return nil, fmt.Errorf("%q is no ingredient of the book", l.Resource)
		}
		g, err := d.good(it.Ingredient, l.Quantity, on, o)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", c.Name, err)
		}
		list = append(list, g)
	}
	if len(list) == 0 {
		return nil, errors.New(c.Name + " is made of nothing; give it lines in the book")
	}
	return list, nil
}

// The most that one entry can hold; more of anything is a slip of the unit.
var most = map[measure.Dimension]exact.Number{
	measure.Mass:   exact.Int(1_000_000),   // 1 t
	measure.Volume: exact.Int(1_000_000),   // 1000 l
	measure.Count:  exact.Int(100_000),     // pieces
	measure.Length: exact.Int(100_000_000), // 100 km
	measure.Area:   exact.Int(100_000_000), // 1 ha
}

func sane(n exact.Number, d measure.Dimension) error {
	if limit, ok := most[d]; ok && n.Cmp(limit) > 0 {
		return fmt.Errorf("%s %s is more than any order takes; look at figure and unit", n.Round(0), d.Base())
	}
	return nil
}
