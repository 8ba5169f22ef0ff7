package pricing

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
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
	return SaleOf(s, c, on, served).At(cost)
}

// Sale is how a cake is sold on a day, whatever it costs: [Price] as a function
// of the cost.
type Sale struct {
	TaxRate exact.Number
	Listed  bool
	List    exact.Number // the list price, as shown
	HasGoal bool         // whether its target gives a price
	// PerCost is the price, as shown and before it is rounded, that the target asks
	// for a unit of cost; 0 where it does not ask by the cost, but for Goal.
	PerCost exact.Number
	Goal    exact.Number
	// Step is what the target's price is rounded to: Up to the next multiple, else to
	// the nearest one, half away from zero.
	Step exact.Number
	Up   bool
	net  bool // prices are shown without tax
}

// SaleOf returns how a cake is sold on a day, of which so many portions are
// served.
func SaleOf(s book.Studio, c *book.Cake, on day.Date, served int) Sale {
	v := Sale{TaxRate: CakeTaxRate(s, c), HasGoal: true, net: s.PricesShown.Or(book.Gross) == book.Net}
	if v.Up = s.PriceStep.Given; v.Up {
		v.Step = s.PriceStep.Value.Number()
	} else {
		v.Step = minorUnit(s.Currency)
	}
	t, one := s.Target, exact.Int(1)
	if c.Target != nil {
		t = *c.Target
	}
	switch {
	case t.PerPortion.Given:
		v.HasGoal = served > 0
		v.Goal = t.PerPortion.Value.Number().Mul(exact.Int(int64(served)))
	case t.Fixed.Given:
		v.Goal = t.Fixed.Value.Number()
	case t.Markup.Given:
		v.PerCost = ShownOf(s, one.Add(t.Markup.Value.Fraction()), v.TaxRate)
	default:
		v.PerCost = ShownOf(s, one.Quo(one.Sub(t.Margin.Value.Fraction())), v.TaxRate)
	}
	if list := c.ListPriceOn(on); list.Given {
		v.List, v.Listed = list.Value.Number(), true
	}
	return v
}

// At returns what the cake is sold at where it costs so much.
func (v Sale) At(cost exact.Number) Offer {
	o := Offer{TaxRate: v.TaxRate, HasPrice: v.HasGoal || v.Listed, HasGoal: v.HasGoal, Listed: v.Listed}
	if v.HasGoal {
		o.Target = v.Target(cost)
	}
	if o.Shown = o.Target; v.Listed {
		o.Shown = v.List
	}
	o.Net = v.NetOf(o.Shown)
	return o
}

// Target returns the shown price that the target asks for at a cost, rounded up
// to the price step, or rounded to the minor unit where there is none.
func (v Sale) Target(cost exact.Number) exact.Number {
	shown := v.Goal.Add(cost.Mul(v.PerCost))
	if v.Up {
		return shown.RoundUpTo(v.Step)
	}
	return exact.FromBig(shown.Quo(v.Step).Round(0).BigInt()).Mul(v.Step)
}

// NetOf returns a shown price without tax, exactly.
func (v Sale) NetOf(shown exact.Number) exact.Number {
	if v.net {
		return shown
	}
	return shown.Quo(exact.Int(1).Add(v.TaxRate))
}

// minorUnit returns the least that can be paid in a currency.
func minorUnit(c money.Currency) exact.Number {
	unit := exact.Int(1)
	for range c.Places() {
		unit = unit.Mul(exact.Frac(1, 10))
	}
	return unit
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
	return t.costs(x, cake, rates, cost), nil
}

// Costs is [Takeoff.Costing] where it is known what the cake costs at the rates.
func (t Takeoff) Costs(x *book.Index, rates *Rates, cost Cost) (Costing, error) {
	cake, ok := x.Cake(t.ID)
	if !ok {
		return Costing{}, fmt.Errorf("%q is no cake of the book", t.ID)
	}
	return t.costs(x, cake, rates, cost), nil
}

func (t Takeoff) costs(x *book.Index, cake *book.Cake, rates *Rates, cost Cost) Costing {
	total := cost.Total()
	return Costing{cake, t, rates, cost, Price(x.Book.Studio, cake, rates.On(), total, t.Served), total}
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
