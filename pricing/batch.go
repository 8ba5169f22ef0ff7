package pricing

import (
	"errors"
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Batch is a component made once from its recipe, and what that costs under
// some rates. The overhead is not part of it: that is a cake's.
type Batch struct {
	Takeoff   Takeoff     // of the making and of every component it uses
	Output    book.Amount // what is made
	Lines     []BatchLine
	Labour    exact.Number // of the recipe's own tasks
	Equipment exact.Number // of its own appliances, with their energy
	Cost      Cost         // of all, without overhead: the lines, Labour and Equipment
	Made      []Node       // the batch itself first, then what is made for it
	// Missing names each price that is not known; Cost and Made hold what there
	// is without them.
	Missing error
}

// BatchLine is what a line of a recipe takes and costs.
type BatchLine struct {
	Item     book.Item
	Quantity exact.Number // as purchased, or of the component
	Unit     string
	Amount   exact.Number // money
	Priced   bool         // whether every price in it is known
}

// Per returns what a base unit of what the batch gives costs: a gram, or a
// piece.
func (b Batch) Per() exact.Number { return b.Cost.Total().Quo(b.Output.Number) }

// CostBatch costs so many times the batch that a component's recipe gives: 1 is
// the batch as written. The smallest batch is left aside; the greatest parts the
// making as ever. The error says what of the recipe cannot be worked out.
func CostBatch(x *book.Index, c *book.Component, times exact.Number, rates *Rates) (Batch, error) {
	if times.Sign() <= 0 {
		return Batch{}, fmt.Errorf("%s: nothing is made; say how much, above 0", c.Name)
	}
	written := *c
	written.BatchMin = book.Component{}.BatchMin
	output, err := x.Output(&written)
	if err != nil {
		return Batch{}, err
	}
	output.Number = output.Number.Mul(times)
	t := taker{x: x, out: Takeoff{ID: c.ID, Name: c.Name}, needs: map[book.ID]*Making{}}
	t.need(&written, Need{Quantity: output.Number})
	if err := t.makeAll(); err != nil {
		return Batch{}, err
	}
	t.out.Bill = billOf(t.out.AllUses())
	b := Batch{Takeoff: t.out, Output: output}
	known := make(Bill, 0, len(t.out.Bill))
	var missing []error
	for _, line := range t.out.Bill {
		if _, err := rates.Of(line.Resource, line.Kind); err != nil {
			missing = append(missing, err)
			continue
		}
		known = append(known, line)
	}
	if b.Cost, err = CostOf(known, rates); err != nil {
		missing = append(missing, err) // of the overhead's share alone
	}
	b.Missing = errors.Join(missing...)
	b.Cost.Overhead = exact.Number{}
	e := explainer{c: Costing{Takeoff: t.out, Rates: rates}}
	b.Made = e.makings()
	open := unpriced(t.out, rates)
	for i, line := range written.Lines {
		it, ok := x.Item(line.Use)
		if !ok {
			return Batch{}, fmt.Errorf("%s, line %d: %q is no ingredient, part or component of the book", c.Name, i+1, line.Use)
		}
		amount := x.Amount(line.Qty)
		quantity, err := x.Charge(it, amount)
		if err != nil {
			return Batch{}, fmt.Errorf("%s, line %d: %w", c.Name, i+1, err)
		}
		quantity = quantity.Mul(times)
		l := BatchLine{Item: it, Quantity: quantity, Priced: true}
		switch {
		case it.Component != nil:
			out, err := x.Output(it.Component)
			if err != nil {
				return Batch{}, err
			}
			l.Unit = out.Dimension.Base()
			l.Amount = e.component(it.Component.ID, it.Component.Name, quantity, l.Unit, nil).Amount
			l.Priced = !open[it.Component.ID]
		default:
			use := materialUse(it, quantity, Place{Component: c.Name}, nil)
			_, err := rates.Of(use.Resource, use.Kind)
			l.Unit, l.Priced = use.Unit, err == nil
			l.Amount = e.use(use).Amount
		}
		b.Lines = append(b.Lines, l)
	}
	for _, u := range t.out.Makings[0].Uses {
		switch u.Kind {
		case Role:
			b.Labour = b.Labour.Add(e.use(u).Amount)
		case Equipment, Energy:
			b.Equipment = b.Equipment.Add(e.use(u).Amount)
		}
	}
	return b, nil
}

// unpriced tells which components of a takeoff take anything that has no price,
// themselves or through others. Users stand before what they use.
func unpriced(t Takeoff, rates *Rates) map[book.ID]bool {
	open := map[book.ID]bool{}
	for i := len(t.Makings) - 1; i >= 0; i-- {
		m := &t.Makings[i]
		for _, u := range m.Uses {
			if _, err := rates.Of(u.Resource, u.Kind); err != nil {
				open[m.Component.ID] = true
			}
		}
		for _, in := range m.Inputs {
			if open[in.Component] {
				open[m.Component.ID] = true
			}
		}
	}
	return open
}
