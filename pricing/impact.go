package pricing

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// Impact is what a changed price of one resource does to a cake that uses it.
// The shown price stays what it was before the change.
type Impact struct {
	Cake       book.ID
	Before     exact.Number // cost
	After      exact.Number
	HasMargin  bool // whether the cake has a price other than 0
	MarginWas  exact.Number
	MarginIs   exact.Number
	BelowFloor bool
	// BreakEven is the price of one base unit at which the margin meets the
	// floor; Reachable says whether one at or above 0 does.
	BreakEven exact.Number
	Reachable bool
}

// ResourceKind finds what kind of resource an id names. Parts and components
// are no resources.
func ResourceKind(x *book.Index, id book.ID) (Kind, error) {
	switch {
	case id == book.EnergyID:
		return Energy, nil
	case id == book.OverheadID:
		return Overhead, nil
	}
	if _, ok := x.Role(id); ok {
		return Role, nil
	}
	if _, ok := x.Appliance(id); ok {
		return Equipment, nil
	}
	it, ok := x.Item(id)
	switch {
	case !ok:
		return 0, fmt.Errorf("%q is no resource of the book: no ingredient, packaging, role, appliance, energy or overhead", id)
	case it.Part != nil:
		return 0, fmt.Errorf("%s is part of %s and has no price of its own; name %q", it.Part.Name, it.Ingredient.Name, it.Ingredient.ID)
	case it.Component != nil:
		return 0, fmt.Errorf("%s is made, not bought; name what it is made of", it.Component.Name)
	case it.Ingredient.Kind.Or(book.Edible) == book.Packaging:
		return Packaging, nil
	}
	return Ingredient, nil
}

// PackRate returns what a unit of a resource costs at a price for a pack: for
// an ingredient a pack of its own measure, under the tax in force; for a role,
// an appliance or hourly overhead "1 h"; for energy "1 kWh"; for overhead by
// the cake "1 each".
func PackRate(x *book.Index, rates *Rates, id book.ID, pack measure.Pack, price money.Price) (exact.Number, error) {
	kind, err := ResourceKind(x, id)
	if err != nil {
		return exact.Number{}, err
	}
	want := measure.Time
	switch kind {
	case Ingredient, Packaging:
		it, _ := x.Item(id)
		want = it.Ingredient.Measure
	case Energy:
		want = measure.Energy
	case Overhead:
		if o := x.Book.Overhead; o != nil && o.Method == book.ByCake {
			want = measure.Count
		}
	}
	if pack.Dimension() != want {
		return exact.Number{}, fmt.Errorf("%q is a %s, but %s is priced by %s (%s)", pack, pack.Dimension(), id, want, want.Base())
	}
	size := pack.Size(x.Household())
	switch kind {
	case Ingredient, Packaging:
		rate, err := rates.Of(id, kind)
		if err != nil {
			return exact.Number{}, err
		}
		changed := *rate.Bought
		changed.Pack, changed.Price = pack, price
		return changed.PerBase(x.Book.Studio), nil
	case Role:
		role, _ := x.Role(id)
		return role.PerMinute(book.Wage{PerHour: price}).Mul(exact.Int(60)).Quo(size), nil
	case Overhead:
		if want == measure.Time {
			size = size.Mul(exact.Frac(1, 60)) // overhead goes by the hour
		}
	}
	return price.Number().Quo(size), nil
}

// ImpactOf returns what a new rate of a resource does to a costed cake, and
// false where the cake does not use it.
func ImpactOf(s book.Studio, c Costing, id book.ID, perUnit exact.Number) (Impact, bool, error) {
	line, ok := c.Takeoff.Bill.Line(id)
	if !ok {
		return Impact{}, false, nil
	}
	after, err := CostOf(c.Takeoff.Bill, c.Rates.With(map[book.ID]exact.Number{id: perUnit}))
	if err != nil {
		return Impact{}, false, err
	}
	im := Impact{Cake: c.Cake.ID, Before: c.Cost.Total(), After: after.Total()}
	if im.MarginWas, im.HasMargin = c.Margin(); !im.HasMargin {
		return im, true, nil
	}
	im.MarginIs, _ = Margin(c.Offer.Net, im.After)
	floor := s.FloorMargin.Or(measure.Percent{}).Fraction()
	im.BelowFloor = im.MarginIs.Cmp(floor) < 0

	rate, err := c.Rates.Of(id, line.Kind)
	if err != nil {
		return Impact{}, false, err
	}
	share, err := c.Rates.Share()
	if err != nil {
		return Impact{}, false, err
	}
	// Under a percentage the overhead grows with every other cost, so that all
	// of it shares the budget net·(1 − floor).
	budget := c.Offer.Net.Mul(exact.Int(1).Sub(floor)).Quo(exact.Int(1).Add(share))
	others := im.Before.Quo(exact.Int(1).Add(share)).Sub(line.Quantity.Mul(rate.PerUnit))
	im.BreakEven = budget.Sub(others).Quo(line.Quantity)
	im.Reachable = im.BreakEven.Sign() >= 0
	return im, true, nil
}

// Change is a new price of a resource: a factor on the one in force, or a
// price for a pack.
type Change struct {
	Resource book.ID
	Factor   exact.Number // used where Pack is nil
	Pack     *measure.Pack
	Price    money.Price
}

// ByPercent returns the factor of a rise by p, or of a fall.
func ByPercent(p measure.Percent, fall bool) exact.Number {
	if fall {
		return exact.Int(1).Sub(p.Fraction())
	}
	return exact.Int(1).Add(p.Fraction())
}

// Impacts returns what a change does to every cake of the book that uses the
// resource, in the order of the book.
func Impacts(x *book.Index, rates *Rates, change Change) ([]Impact, error) {
	kind, err := ResourceKind(x, change.Resource)
	if err != nil {
		return nil, err
	}
	var list []Impact
	for i := range x.Book.Cakes {
		costing, err := CostCake(x, x.Book.Cakes[i].ID, rates)
		if err != nil {
			return nil, err
		}
		if _, uses := costing.Takeoff.Bill.Line(change.Resource); !uses {
			continue
		}
		perUnit, err := change.rate(x, rates, kind)
		if err != nil {
			return nil, err
		}
		im, _, err := ImpactOf(x.Book.Studio, costing, change.Resource, perUnit)
		if err != nil {
			return nil, err
		}
		list = append(list, im)
	}
	return list, nil
}

func (c Change) rate(x *book.Index, rates *Rates, kind Kind) (exact.Number, error) {
	if c.Pack != nil {
		return PackRate(x, rates, c.Resource, *c.Pack, c.Price)
	}
	rate, err := rates.Of(c.Resource, kind)
	return rate.PerUnit.Mul(c.Factor), err
}
