package pricing

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// Offer is what a cake is sold at.
type Offer struct {
	Target   exact.Number // as shown, from the target and the price step
	HasPrice bool         // whether there is a shown price at all
	Shown    exact.Number // the list price, else the target
	Net      exact.Number // shown, without tax
	TaxRate  exact.Number
	HasGoal  bool // whether the target gives a price
	Listed   bool // whether Shown is a list price
}

// TaxRate returns the tax rate of a cake or extra that may state its own: 0
// where the studio charges no tax.
func TaxRate(s book.Studio, own *exact.Number) exact.Number {
	switch {
	case s.Tax == nil:
		return exact.Number{}
	case own != nil:
		return *own
	}
	return s.Tax.Rate.Fraction()
}

// CakeTaxRate returns the tax rate of a cake.
func CakeTaxRate(s book.Studio, c *book.Cake) exact.Number {
	if c.TaxRate.Given {
		own := c.TaxRate.Value.Fraction()
		return TaxRate(s, &own)
	}
	return TaxRate(s, nil)
}

// ExtraTaxRate returns the tax rate of an extra.
func ExtraTaxRate(s book.Studio, e *book.Extra) exact.Number {
	if e.TaxRate.Given {
		own := e.TaxRate.Value.Fraction()
		return TaxRate(s, &own)
	}
	return TaxRate(s, nil)
}

// Price returns what a cake of a given cost and number of served portions is
// sold at on a day: its list price, else the price its target (its own, or the
// studio's) asks for. A target per portion of a cake of which nothing is
// served gives no price.
func Price(s book.Studio, c *book.Cake, on day.Date, cost exact.Number, served int) Offer {
	o := Offer{TaxRate: CakeTaxRate(s, c)}
	target := s.Target
	if c.Target != nil {
		target = *c.Target
	}
	o.Target, o.HasGoal = aim(s, target, cost, served, o.TaxRate)
	o.Shown, o.HasPrice = o.Target, o.HasGoal
	if list := c.ListPriceOn(on); list.Given {
		o.Shown, o.HasPrice, o.Listed = list.Value.Number(), true, true
	}
	o.Net = NetOf(s, o.Shown, o.TaxRate)
	return o
}

// aim returns the shown price that a target asks for, rounded up to the price
// step, or rounded to the minor unit where there is none.
func aim(s book.Studio, t book.Target, cost exact.Number, served int, rate exact.Number) (exact.Number, bool) {
	var shown exact.Number
	one := exact.Int(1)
	switch {
	case t.PerPortion.Given:
		if served == 0 {
			return exact.Number{}, false
		}
		shown = t.PerPortion.Value.Number().Mul(exact.Int(int64(served)))
	case t.Fixed.Given:
		shown = t.Fixed.Value.Number()
	case t.Markup.Given:
		shown = ShownOf(s, cost.Mul(one.Add(t.Markup.Value.Fraction())), rate)
	default:
		shown = ShownOf(s, cost.Quo(one.Sub(t.Margin.Value.Fraction())), rate)
	}
	if s.PriceStep.Given {
		return shown.RoundUpTo(s.PriceStep.Value.Number()), true
	}
	return s.Currency.Round(shown).Number(), true
}

// ShownOf returns a net price as the studio shows it.
func ShownOf(s book.Studio, net, rate exact.Number) exact.Number {
	if s.PricesShown.Or(book.Gross) == book.Net {
		return net
	}
	return net.Mul(exact.Int(1).Add(rate))
}

// NetOf returns a shown price without tax, exactly.
func NetOf(s book.Studio, shown, rate exact.Number) exact.Number {
	if s.PricesShown.Or(book.Gross) == book.Net {
		return shown
	}
	return shown.Quo(exact.Int(1).Add(rate))
}

// Costing is a cake costed and priced on a day.
type Costing struct {
	Cake    *book.Cake
	Takeoff Takeoff
	Rates   *Rates
	Cost    Cost
	Offer   Offer
	total   exact.Number // of Cost
}

// CostCake costs and prices a cake under rates.
func CostCake(x *book.Index, id book.ID, rates *Rates) (Costing, error) {
	takeoff, err := TakeCake(x, id)
	if err != nil {
		return Costing{}, err
	}
	return takeoff.Costing(x, rates)
}

// Costing costs and prices the takeoff of a cake of the book.
func (t Takeoff) Costing(x *book.Index, rates *Rates) (Costing, error) {
	cake, ok := x.Cake(t.ID)
	if !ok {
		return Costing{}, fmt.Errorf("%q is no cake of the book", t.ID)
	}
	cost, err := CostOf(t.Bill, rates)
	if err != nil {
		return Costing{}, fmt.Errorf("%s: %w", t.Name, err)
	}
	total := cost.Total()
	return Costing{cake, t, rates, cost, Price(x.Book.Studio, cake, rates.On(), total, t.Served), total}, nil
}

// Margin returns the margin at the shown price, and false where there is no
// price or it is 0.
func (c Costing) Margin() (exact.Number, bool) {
	if !c.Offer.HasPrice {
		return exact.Number{}, false
	}
	return Margin(c.Offer.Net, c.total)
}

// Split returns what the shown price is made of besides the cost: the tax in
// it, 0 where prices are shown without, and what is earned, below 0 where the
// cake is sold at a loss. With the cost they add up to the shown price.
func (c Costing) Split() (tax, earned exact.Number) {
	return c.Offer.Shown.Sub(c.Offer.Net), c.Offer.Net.Sub(c.total)
}
