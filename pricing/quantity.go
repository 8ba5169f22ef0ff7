package pricing

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

// measure works out the geometry and portions of every tier, and returns the
// drivers of the cake as a whole.
func (t *taker) measure(c *book.Cake) (map[book.Driver]exact.Number, error) {
	whole := map[book.Driver]exact.Number{book.PerCake: exact.Int(1)}
	if len(c.Tiers) == 0 {
		t.out.Made, t.out.Served = c.Portions.Value, c.Portions.Value
		whole[book.PerPortion] = exact.Int(int64(c.Portions.Value))
		return whole, nil
	}
	for i := range c.Tiers {
		tier := &c.Tiers[i]
		portions, err := Portions(c, tier)
		if err != nil {
			return nil, fmt.Errorf("%s, %s: %w", c.Name, tier.Name, err)
		}
		m := Measure{Name: tier.Name, Portions: portions, Kept: tier.Kept.Or(false), drivers: drivers(tier.Solid())}
		m.drivers[book.PerTier] = exact.Int(1)
		m.drivers[book.PerPortion] = exact.Int(int64(portions))
		for d, n := range m.drivers {
			whole[d] = whole[d].Add(n)
		}
		t.out.Tiers = append(t.out.Tiers, m)
		t.out.Made += portions
		if !m.Kept {
			t.out.Served += portions
		}
	}
	return whole, nil
}

func drivers(s shape.Solid) map[book.Driver]exact.Number {
	top, edge, height := s.Outline.Area(), s.Outline.Perimeter(), shape.Centimetres(s.Height)
	side := edge.Mul(height)
	return map[book.Driver]exact.Number{
		book.PerTop:     top,
		book.PerSide:    side,
		book.PerSurface: top.Add(side),
		book.PerEdge:    edge,
		book.PerVolume:  top.Mul(height),
	}
}

// Portions returns how many portions a tier is cut into. A dummy yields none
// whatever it states; a tier's own portions go before its rule, and its rule
// before the cake's.
func Portions(c *book.Cake, tier *book.Tier) (int, error) {
	if tier.Dummy.Or(false) {
		return 0, nil
	}
	if tier.Portions.Given {
		return tier.Portions.Value, nil
	}
	rule := tier.Portion
	if rule == nil {
		rule = c.Portion
	}
	switch {
	case rule == nil:
		return 0, fmt.Errorf("nothing says how it is cut; give the tier or the cake a portion")
	case rule.Cut == book.Wedge:
		return rule.Count.Value, nil
	}
	return tier.Solid().Outline.Fingers(rule.Width, rule.Depth)
}

// amount returns how much of an item a part takes, before it is turned into
// what is bought or made.
func (t *taker) amount(s site, p *book.Part, it book.Item) (book.Amount, []Fact, error) {
	var amount book.Amount
	var working []Fact
	switch {
	case p.Qty.Given():
		amount = t.x.Amount(p.Qty)
		working = append(working, Fact{Written: p.Qty.String()})
		if p.Per != "" {
			n := s.drivers[p.Per]
			amount.Number = amount.Number.Mul(n)
			working = append(working, driverFact(p.Per, n))
		}
	default:
		volume, facts := coveredVolume(s, p)
		density, err := t.x.Density(it)
		if err != nil {
			return amount, nil, err
		}
		if density.IsZero() {
			return amount, nil, fmt.Errorf("%s has no density; add one in g/ml", it.Name())
		}
		amount = book.Grams(volume.Mul(density))
		working = append(facts, Fact{Label: "of", Figure: density, Unit: "g/ml"})
	}
	if p.Waste.Given {
		amount.Number = amount.Number.Mul(exact.Int(1).Add(p.Waste.Value.Fraction()))
		working = append(working, Fact{Label: "waste on top", Written: p.Waste.Value.String()})
	}
	return amount, working, nil
}

func driverFact(d book.Driver, n exact.Number) Fact {
	return Fact{Label: "for each of", Figure: n, Unit: driverUnit(d)}
}

// driverUnit says what a driver counts: "cm2 of surface", "portions".
func driverUnit(d book.Driver) string {
	switch d {
	case book.PerCake:
		return "cake"
	case book.PerOrder:
		return "order"
	case book.PerTier, book.PerPortion:
		return string(d) + "s"
	case book.PerBatch:
		return "batches"
	case book.PerKg:
		return "kg made"
	case book.PerEach:
		return "pieces made"
	case book.PerKm:
		return "km"
	case book.PerVolume:
		return "cm3"
	}
	return d.Unit() + " of " + string(d)
}

// coveredVolume returns the ml that layers, a coat or a sheet fill on a tier.
func coveredVolume(s site, p *book.Part) (exact.Number, []Fact) {
	if p.Layers.Given {
		n, thick := exact.Int(int64(p.Layers.Value)), shape.Centimetres(p.Thick)
		area := s.drivers[book.PerTop]
		return n.Mul(area).Mul(thick), []Fact{
			{Label: "layers", Figure: n}, {Label: "each", Figure: area, Unit: "cm2"}, {Label: "by", Written: p.Thick.String()},
		}
	}
	if p.Coat.Given() {
		on := p.On
		if on == "" {
			on = book.PerSurface
		}
		area := s.drivers[on]
		return area.Mul(shape.Centimetres(p.Coat)), []Fact{
			{Label: string(on), Figure: area, Unit: "cm2"}, {Label: "by", Written: p.Coat.String()},
		}
	}
	covered := s.drivers[book.PerSurface]
	rolled := s.tier.Solid().Rolled(p.Overhang)
	reuse := p.Reuse.Or(measure.Percent{})
	charged := covered.Add(rolled.Sub(covered).Mul(exact.Int(1).Sub(reuse.Fraction())))
	return charged.Mul(shape.Centimetres(p.Sheet)), []Fact{
		{Label: "rolled", Figure: rolled, Unit: "cm2"},
		{Label: "covered", Figure: covered, Unit: "cm2"},
		{Label: "offcuts reused", Written: reuse.String()},
		{Label: "by", Written: p.Sheet.String()},
	}
}

// bridge adds to a working how an amount became what is bought: by density,
// piece, part or trim. quantity is amount as purchased.
func bridge(it book.Item, amount book.Amount, quantity exact.Number, working []Fact) []Fact {
	ing := it.Ingredient
	switch {
	case it.Part != nil:
		working = append(working, Fact{Label: "part of " + ing.Name, Written: it.Part.Mass.String()})
	case len(ing.Parts) > 0:
	case amount.Dimension != ing.Measure || ing.TrimYield.Given:
		if ing.Density.Known() && (amount.Dimension == measure.Volume) != (ing.Measure == measure.Volume) {
			working = append(working, Fact{Label: "of", Written: ing.Density.String()})
		}
		if ing.Each.Given() && (amount.Dimension == measure.Count) != (ing.Measure == measure.Count) {
			working = append(working, Fact{Label: "a piece", Written: ing.Each.String()})
		}
		if ing.TrimYield.Given && amount.Dimension != measure.Count {
			working = append(working, Fact{Label: "usable", Written: ing.TrimYield.Value.String()})
		}
	}
	return working
}

// task returns the minutes of a task: setup × setups + rate × driver. A wait
// takes none.
func (t *taker) task(s site, task *book.Task, setups exact.Number) ([]Use, error) {
	if task.Wait.Given() {
		return nil, nil
	}
	role, ok := t.x.Role(task.Role)
	if !ok {
		return nil, fmt.Errorf("%q is no role of the book", task.Role)
	}
	minutes, working := t.minutes(s, task.Setup, task.Rate, task.Per, setups)
	if minutes.IsZero() {
		return nil, nil
	}
	return []Use{{Resource: role.ID, Kind: Role, Name: role.Name, For: task.Name, Quantity: minutes, Unit: "min", Place: s.place, Working: working}}, nil
}

func (t *taker) minutes(s site, setup, rate measure.Quantity, per book.Driver, setups exact.Number) (exact.Number, []Fact) {
	var total exact.Number
	var working []Fact
	if setup.Given() {
		total = setup.Base(t.x.Household()).Mul(setups)
		working = append(working, Fact{Written: setup.String()})
		if !setups.Equal(exact.Int(1)) {
			working = append(working, driverFact(book.PerBatch, setups))
		}
	}
	if rate.Given() {
		n := s.drivers[per]
		total = total.Add(rate.Base(t.x.Household()).Mul(n))
		label := ""
		if setup.Given() {
			label = "and"
		}
		working = append(working, Fact{Label: label, Written: rate.String()}, driverFact(per, n))
	}
	return total, working
}

// appliance returns the minutes an appliance runs and the kWh it burns:
// power × duty × time.
func (t *taker) appliance(s site, u *book.EquipmentUse, setups exact.Number) ([]Use, error) {
	a, ok := t.x.Appliance(u.Use)
	if !ok {
		return nil, fmt.Errorf("%q is no appliance of the book", u.Use)
	}
	minutes, working := t.minutes(s, u.Setup, u.Rate, u.Per, setups)
	if minutes.IsZero() {
		return nil, nil
	}
	uses := []Use{{Resource: a.ID, Kind: Equipment, Name: a.Name, Quantity: minutes, Unit: "min", Place: s.place, Working: working}}
	if !a.Power.Given() {
		return uses, nil
	}
	kW := a.Power.Base(t.x.Household()).Mul(exact.Frac(1, 1000))
	kWh := kW.Mul(minutes).Mul(exact.Frac(1, 60))
	facts := []Fact{{Written: a.Power.String()}}
	if a.Duty.Given {
		kWh = kWh.Mul(a.Duty.Value.Fraction())
		facts = append(facts, Fact{Label: "running", Written: a.Duty.Value.String()})
	}
	facts = append(facts, Fact{Label: "for", Figure: minutes, Unit: "min"})
	if kWh.IsZero() {
		return uses, nil
	}
	return append(uses, Use{Resource: book.EnergyID, Kind: Energy, Name: "energy", For: a.Name, Quantity: kWh, Unit: "kWh", Place: s.place, Working: facts}), nil
}
