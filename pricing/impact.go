package pricing

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// Impact is what changed prices do to a cake that uses what they are for.
// The shown price stays what it was before the change.
type Impact struct {
	Cake       book.ID
	Served     int          // portions
	Before     exact.Number // cost
	After      exact.Number
	Net        exact.Number // price without tax
	Shown      exact.Number // the price as shown
	HasMargin  bool         // whether the cake has a price other than 0
	MarginWas  exact.Number
	MarginIs   exact.Number
	BelowFloor bool
	// BreakEven is the price of one base unit at which the margin meets the
	// floor; Reachable says whether one at or above 0 does.
	BreakEven exact.Number
	Reachable bool
	single    bool
	// Restoring is the price, as shown, that the cake's target asks for after
	// the change; Restorable says whether the target gives one.
	Restoring  exact.Number
	Restorable bool
}

// HasBreakEven reports whether a break-even price was asked for: where prices
// of several resources move there is none.
func (im Impact) HasBreakEven() bool { return im.single }

// WithBreakEven returns im with its break-even price as an answer.
func (im Impact) WithBreakEven() Impact {
	im.single = true
	return im
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

// ImpactOf returns what new rates, by resource, do to a costed cake, and false
// where the cake uses none of them. A break-even price is that of one
// resource, so there is one only where a single rate moves.
func ImpactOf(s book.Studio, c Costing, perUnit map[book.ID]exact.Number) (Impact, bool, error) {
	var used Bill
	for _, line := range c.Takeoff.Bill {
		if _, moves := perUnit[line.Resource]; moves {
			used = append(used, line)
		}
	}
	if len(used) == 0 {
		return Impact{}, false, nil
	}
	im := Impact{Cake: c.Cake.ID, Served: c.Takeoff.Served, Before: c.total, Net: c.Offer.Net, Shown: c.Offer.Shown}
	moved, err := used.Moved(c.Rates, perUnit)
	if err != nil {
		return Impact{}, false, err
	}
	im.After = im.Before.Add(moved)
	restored := Price(s, c.Cake, c.Rates.On(), im.After, c.Takeoff.Served)
	im.Restoring, im.Restorable = restored.Target, restored.HasGoal
	if im.MarginWas, im.HasMargin = c.Margin(); !im.HasMargin {
		return im, true, nil
	}
	im.MarginIs, _ = Margin(c.Offer.Net, im.After)
	floor := s.FloorMargin.Or(measure.Percent{}).Fraction()
	im.BelowFloor = im.MarginIs.Cmp(floor) < 0
	if im.single = len(perUnit) == 1; im.single {
		err = im.breakEven(c, used[0], floor)
	}
	return im, true, err
}

// Moved returns by how much what a bill costs changes where some rates are
// others: a·(new − old) for each line that moves, × (1 + share) where overhead
// is a percentage. With [CostOf] at the old rates that is the cost at the new
// ones, to the last digit, without a look at what stays.
func (b Bill) Moved(rates *Rates, perUnit map[book.ID]exact.Number) (exact.Number, error) {
	share, err := rates.Share()
	if err != nil {
		return exact.Number{}, err
	}
	var sum exact.Number
	for _, l := range b {
		now, moves := perUnit[l.Resource]
		if !moves {
			continue
		}
		rate, err := rates.Of(l.Resource, l.Kind)
		if err != nil {
			return exact.Number{}, err
		}
		sum = sum.Add(l.Quantity.Mul(now.Sub(rate.PerUnit)))
	}
	return sum.Mul(exact.Int(1).Add(share)), nil
}

// breakEven finds the price of a line's resource at which the margin meets the
// floor. Under a percentage the overhead grows with every other cost, so that
// all of it shares the budget net·(1 − floor).
func (im *Impact) breakEven(c Costing, line BillLine, floor exact.Number) error {
	rate, err := c.Rates.Of(line.Resource, line.Kind)
	if err != nil {
		return err
	}
	share, err := c.Rates.Share()
	if err != nil {
		return err
	}
	loaded := exact.Int(1).Add(share)
	budget := c.Offer.Net.Mul(exact.Int(1).Sub(floor)).Quo(loaded)
	others := im.Before.Quo(loaded).Sub(line.Quantity.Mul(rate.PerUnit))
	im.BreakEven = budget.Sub(others).Quo(line.Quantity)
	im.Reachable = im.BreakEven.Sign() >= 0
	return nil
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

// Moves returns the new rates that changes amount to. A resource named twice
// takes both changes, one on top of the other.
func Moves(x *book.Index, rates *Rates, changes ...Change) (map[book.ID]exact.Number, error) {
	perUnit := make(map[book.ID]exact.Number, len(changes))
	for _, c := range changes {
		kind, err := ResourceKind(x, c.Resource)
		if err != nil {
			return nil, err
		}
		if c.Pack != nil {
			if perUnit[c.Resource], err = PackRate(x, rates, c.Resource, *c.Pack, c.Price); err != nil {
				return nil, err
			}
			continue
		}
		now, moved := perUnit[c.Resource]
		if !moved {
			rate, err := rates.Of(c.Resource, kind)
			if err != nil {
				return nil, err
			}
			now = rate.PerUnit
		}
		perUnit[c.Resource] = now.Mul(c.Factor)
	}
	return perUnit, nil
}

// TakeAll compiles every cake of the book.
func TakeAll(x *book.Index) ([]Takeoff, error) {
	list := make([]Takeoff, len(x.Book.Cakes))
	for i := range list {
		var err error
		if list[i], err = TakeCake(x, x.Book.Cakes[i].ID); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// Impacts returns what changes do to those of cakes that use one of the
// resources, in their order.
func Impacts(x *book.Index, rates *Rates, cakes []Takeoff, changes ...Change) ([]Impact, error) {
	uses := make(map[book.ID]bool, len(changes))
	for _, c := range changes {
		if _, err := ResourceKind(x, c.Resource); err != nil {
			return nil, err
		}
		uses[c.Resource] = true
	}
	var list []Impact
	var perUnit map[book.ID]exact.Number
	for _, takeoff := range cakes {
		if !takeoff.Bill.usesAny(uses) {
			continue // its other prices need not even be known
		}
		if perUnit == nil {
			var err error
			if perUnit, err = Moves(x, rates, changes...); err != nil {
				return nil, err
			}
		}
		costing, err := takeoff.Costing(x, rates)
		if err != nil {
			return nil, err
		}
		im, _, err := ImpactOf(x.Book.Studio, costing, perUnit)
		if err != nil {
			return nil, err
		}
		list = append(list, im)
	}
	return list, nil
}

func (b Bill) usesAny(ids map[book.ID]bool) bool {
	for _, l := range b {
		if ids[l.Resource] {
			return true
		}
	}
	return false
}

// Ranked returns impacts by how much margin is lost, the greatest loss first;
// those of cakes without a price last.
func Ranked(impacts []Impact) []Impact {
	list := slices.Clone(impacts)
	slices.SortStableFunc(list, func(a, b Impact) int {
		if a.HasMargin != b.HasMargin {
			if a.HasMargin {
				return -1
			}
			return 1
		}
		return b.MarginWas.Sub(b.MarginIs).Cmp(a.MarginWas.Sub(a.MarginIs))
	})
	return list
}

// CategoryChange is a change of every ingredient of a category.
type CategoryChange struct {
	Category string
	Factor   exact.Number
}

// SpellOut returns all changes, those of categories spelt out. What is named by
// itself goes before its category.
func SpellOut(b book.Book, changes []Change, categories []CategoryChange) ([]Change, error) {
	changes = slices.Clone(changes)
	for _, c := range categories {
		found, known := false, map[string]bool{}
		for _, ing := range b.Ingredients {
			known[ing.Category.Value] = true
			if ing.Category.Value == c.Category && c.Category != "" {
				found = true
				if !slices.ContainsFunc(changes, func(ch Change) bool { return ch.Resource == ing.ID }) {
					changes = append(changes, Change{Resource: ing.ID, Factor: c.Factor})
				}
			}
		}
		if !found {
			delete(known, "")
			list := strings.Join(slices.Sorted(maps.Keys(known)), ", ")
			if list == "" {
				list = "none: give ingredients a category"
			}
			return nil, fmt.Errorf("no ingredient is in the category %q; the book has %s", c.Category, list)
		}
	}
	return changes, nil
}

// ReadFactor reads a rise or fall: "18 %", "18%", "-5 %".
func ReadFactor(text string) (exact.Number, error) {
	figure, fall := strings.CutPrefix(strings.TrimPrefix(strings.TrimSpace(text), "+"), "-")
	if bare, ok := strings.CutSuffix(strings.TrimSpace(figure), "%"); ok {
		figure = strings.TrimSpace(bare) + " %"
	}
	p, err := measure.ParsePercent(figure)
	if err != nil {
		return exact.Number{}, err
	}
	factor := ByPercent(p, fall)
	if factor.Sign() < 0 {
		return exact.Number{}, errors.New("a price cannot fall by more than 100 %")
	}
	return factor, nil
}
