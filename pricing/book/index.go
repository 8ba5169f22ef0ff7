package book

import (
	"errors"
	"fmt"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Index finds the objects of a book by id and answers what they weigh and
// yield. It belongs to one goroutine, since it remembers its answers.
type Index struct {
	Book       Book
	household  measure.Household
	items      map[ID]Item
	roles      map[ID]*Role
	equipment  map[ID]*Appliance
	cakes      map[ID]*Cake
	extras     map[ID]*Extra
	outputs    map[ID]output
	beingAsked map[ID]bool // components whose output is being worked out
}

// Item is what a line or part uses: an ingredient, a part of one, or a
// component. Exactly one of Ingredient and Component is set; Part is set along
// with its Ingredient.
type Item struct {
	Ingredient *Ingredient
	Part       *EggPart
	Component  *Component
}

// Name returns the item's name in the user's words.
func (it Item) Name() string {
	switch {
	case it.Part != nil:
		return it.Part.Name
	case it.Ingredient != nil:
		return it.Ingredient.Name
	case it.Component != nil:
		return it.Component.Name
	}
	return ""
}

type output struct {
	amount Amount
	err    error
}

// Amount is a number of base units of a dimension: grams, ml, pieces, mm, cm2.
type Amount struct {
	Dimension measure.Dimension
	Number    exact.Number
}

// Grams returns n g.
func Grams(n exact.Number) Amount { return Amount{measure.Mass, n} }

// NewIndex indexes a book. Of objects with one id the first is found.
func NewIndex(b Book) *Index {
	x := &Index{
		Book:       b,
		household:  b.Studio.Household.Or(measure.Metric),
		items:      make(map[ID]Item, len(b.Ingredients)+len(b.Components)),
		roles:      make(map[ID]*Role, len(b.Roles)),
		equipment:  make(map[ID]*Appliance, len(b.Equipment)),
		cakes:      make(map[ID]*Cake, len(b.Cakes)),
		extras:     make(map[ID]*Extra, len(b.Extras)),
		outputs:    map[ID]output{},
		beingAsked: map[ID]bool{},
	}
	for i := range b.Ingredients {
		ing := &b.Ingredients[i]
		putNew(x.items, ing.ID, Item{Ingredient: ing})
		for j := range ing.Parts {
			putNew(x.items, ing.Parts[j].ID, Item{Ingredient: ing, Part: &ing.Parts[j]})
		}
	}
	for i := range b.Components {
		putNew(x.items, b.Components[i].ID, Item{Component: &b.Components[i]})
	}
	for i := range b.Roles {
		putNew(x.roles, b.Roles[i].ID, &b.Roles[i])
	}
	for i := range b.Equipment {
		putNew(x.equipment, b.Equipment[i].ID, &b.Equipment[i])
	}
	for i := range b.Cakes {
		putNew(x.cakes, b.Cakes[i].ID, &b.Cakes[i])
	}
	for i := range b.Extras {
		putNew(x.extras, b.Extras[i].ID, &b.Extras[i])
	}
	return x
}

func putNew[V any](m map[ID]V, id ID, v V) {
	if _, there := m[id]; !there {
		m[id] = v
	}
}

// Household returns the studio's household measures.
func (x *Index) Household() measure.Household { return x.household }

// Item finds what a line or part uses.
func (x *Index) Item(id ID) (Item, bool) { it, ok := x.items[id]; return it, ok }

// Role finds a role.
func (x *Index) Role(id ID) (*Role, bool) { r, ok := x.roles[id]; return r, ok }

// Appliance finds a piece of equipment.
func (x *Index) Appliance(id ID) (*Appliance, bool) { a, ok := x.equipment[id]; return a, ok }

// Cake finds a cake.
func (x *Index) Cake(id ID) (*Cake, bool) { c, ok := x.cakes[id]; return c, ok }

// Extra finds an extra.
func (x *Index) Extra(id ID) (*Extra, bool) { e, ok := x.extras[id]; return e, ok }

// Amount returns a written quantity in base units.
func (x *Index) Amount(q measure.Quantity) Amount {
	return Amount{q.Dimension(), q.Base(x.household)}
}

// ErrReported marks a fault that stands in the report already, at the place
// where it arises.
var ErrReported = errors.New("a component it uses has a fault of its own")

// missing says which figure would bridge two dimensions.
func missing(amount Amount, name, figure, remedy string) error {
	return fmt.Errorf("%s %s of %s has no %s; %s", amount.Number.Round(3).String(), amount.Dimension.Base(), name, figure, remedy)
}

// UsableMass returns the usable grams of an amount of it, as a recipe counts
// them towards its output.
func (x *Index) UsableMass(it Item, amount Amount) (exact.Number, error) {
	n := amount.Number
	switch amount.Dimension {
	case measure.Mass:
		return n, nil
	case measure.Volume:
		density, err := x.Density(it)
		if err == nil && density.IsZero() {
			err = x.noDensity(it, amount)
		}
		return n.Mul(density), err
	case measure.Count:
		switch {
		case it.Part != nil:
			return n.Mul(it.Part.Mass.Base(x.household)), nil
		case it.Component != nil:
			return exact.Number{}, fmt.Errorf("%s is made by the piece and has no mass; give the recipe that uses it a yield", it.Component.Name)
		case len(it.Ingredient.Parts) > 0:
			return n.Mul(x.wholeMass(it.Ingredient)), nil
		case it.Ingredient.Each.Given():
			return n.Mul(it.Ingredient.Each.Base(x.household)).Mul(trim(it.Ingredient)), nil
		}
		return exact.Number{}, missing(amount, it.Name(), "mass", "add each, the mass of one piece, or give the recipe a yield")
	}
	return exact.Number{}, fmt.Errorf("the mass of %s %s of %s cannot be known; give the recipe a yield", n.Round(3), amount.Dimension.Base(), it.Name())
}

func trim(ing *Ingredient) exact.Number {
	if ing.TrimYield.Given {
		return ing.TrimYield.Value.Fraction()
	}
	return exact.Int(1)
}

// wholeMass returns the mass of one piece of an ingredient that has parts.
func (x *Index) wholeMass(ing *Ingredient) exact.Number {
	var sum exact.Number
	for _, p := range ing.Parts {
		sum = sum.Add(p.Mass.Base(x.household))
	}
	return sum
}

func (x *Index) noDensity(it Item, amount Amount) error {
	switch {
	case it.Part != nil:
		return missing(amount, it.Name(), "density", "a part has none of its own; write its mass in g or its count")
	case it.Component != nil:
		return missing(amount, it.Name(), "density", "add one in g/ml, or the mould that a batch fills")
	}
	return missing(amount, it.Name(), "density", "add one in g/ml")
}

// Density returns an item's density in g/ml, 0 where none is known: of a
// component when finished, of an ingredient as bought.
func (x *Index) Density(it Item) (exact.Number, error) {
	switch {
	case it.Part != nil:
		return exact.Number{}, nil
	case it.Ingredient != nil:
		return it.Ingredient.Density.GramsPerMl(), nil
	case it.Component.Density.Known():
		return it.Component.Density.GramsPerMl(), nil
	case it.Component.Mould == nil:
		return exact.Number{}, nil
	}
	out, err := x.Output(it.Component)
	if err != nil {
		return exact.Number{}, ErrReported
	}
	if out.Dimension != measure.Mass {
		return exact.Number{}, nil
	}
	return divide(out.Number, it.Component.Mould.Volume(x.household))
}

// Output returns what one batch of a component gives as written: its yield,
// or the usable masses of its lines less the loss. Errors name the line.
func (x *Index) Output(c *Component) (Amount, error) {
	if known, ok := x.outputs[c.ID]; ok {
		return known.amount, known.err
	}
	if x.beingAsked[c.ID] {
		return Amount{}, fmt.Errorf("%s uses itself", c.Name)
	}
	x.beingAsked[c.ID] = true
	amount, err := x.output(c)
	delete(x.beingAsked, c.ID)
	x.outputs[c.ID] = output{amount, err}
	return amount, err
}

func (x *Index) output(c *Component) (Amount, error) {
	if c.Yield.Given() {
		return x.Amount(c.Yield), nil
	}
	var sum exact.Number
	for i, line := range c.Lines {
		it, ok := x.items[line.Use]
		if !ok {
			return Amount{}, ErrReported
		}
		mass, err := x.UsableMass(it, x.Amount(line.Qty))
		if err != nil {
			return Amount{}, fmt.Errorf("%s, line %d: %w", c.Name, i+1, err)
		}
		sum = sum.Add(mass)
	}
	kept := exact.Int(1).Sub(c.Loss.Or(measure.Percent{}).Fraction())
	if out := sum.Mul(kept); out.Sign() > 0 {
		return Grams(out), nil
	}
	return Amount{}, fmt.Errorf("%s: its lines weigh nothing; give it a yield", c.Name)
}

// Charge returns what an amount of an item takes: for an ingredient or part,
// base units of the ingredient as purchased; for a component, its mass or
// count. Errors name the missing figure.
func (x *Index) Charge(it Item, amount Amount) (exact.Number, error) {
	if it.Component != nil {
		return x.need(it, amount)
	}
	ing := it.Ingredient
	if len(ing.Parts) > 0 {
		return x.chargeWhole(it, amount)
	}
	if amount.Dimension == ing.Measure && ing.Measure == measure.Count {
		return amount.Number, nil // pieces as purchased
	}
	if amount.Dimension == measure.Count {
		if !ing.Each.Given() {
			return exact.Number{}, missing(amount, ing.Name, "mass", "add each, the mass of one piece")
		}
		// Pieces as purchased: their mass needs no trim.
		return x.bought(it, Grams(amount.Number.Mul(ing.Each.Base(x.household))), exact.Int(1))
	}
	return x.bought(it, amount, trim(ing))
}

// divide returns n ÷ by. A divisor of 0 is a fault of the book that stands in
// the report with the figure that is 0.
func divide(n, by exact.Number) (exact.Number, error) {
	if by.IsZero() {
		return exact.Number{}, ErrReported
	}
	return n.Quo(by), nil
}

// bought turns a mass, volume, length or area into the ingredient's measure,
// and divides it by the trim yield.
func (x *Index) bought(it Item, amount Amount, yield exact.Number) (exact.Number, error) {
	ing := it.Ingredient
	n, err := divide(amount.Number, yield)
	if err != nil {
		return n, err
	}
	if amount.Dimension == ing.Measure {
		return n, nil
	}
	massOrVolume := func(d measure.Dimension) bool { return d == measure.Mass || d == measure.Volume }
	if !massOrVolume(amount.Dimension) || !massOrVolume(ing.Measure) && ing.Measure != measure.Count {
		return exact.Number{}, fmt.Errorf("%s is bought by %s (%s); %s cannot be turned into that", ing.Name, ing.Measure, ing.Measure.Base(), amount.Dimension)
	}
	if amount.Dimension == measure.Volume || ing.Measure == measure.Volume {
		density := ing.Density.GramsPerMl()
		if density.IsZero() {
			return exact.Number{}, x.noDensity(it, amount)
		}
		if ing.Measure == measure.Volume {
			return n.Quo(density), nil
		}
		n = n.Mul(density)
	}
	if ing.Measure == measure.Count {
		if !ing.Each.Given() {
			return exact.Number{}, missing(amount, ing.Name, "mass of one piece", "add each")
		}
		return divide(n, ing.Each.Base(x.household))
	}
	return n, nil
}

// chargeWhole charges an ingredient that has parts, or a part of it: grams ÷
// the sum of the parts' masses are pieces.
func (x *Index) chargeWhole(it Item, amount Amount) (exact.Number, error) {
	if amount.Dimension == measure.Count && it.Part == nil && it.Ingredient.Measure == measure.Count {
		return amount.Number, nil
	}
	grams, err := x.UsableMass(it, amount)
	if err != nil {
		return exact.Number{}, err
	}
	switch it.Ingredient.Measure {
	case measure.Count:
		return divide(grams, x.wholeMass(it.Ingredient))
	default: // Mass; Validate lets no other by
		return grams, nil
	}
}

// need returns an amount of a component in the dimension of its output.
func (x *Index) need(it Item, amount Amount) (exact.Number, error) {
	out, err := x.Output(it.Component)
	if err != nil {
		return exact.Number{}, ErrReported
	}
	switch {
	case amount.Dimension == out.Dimension:
		return amount.Number, nil
	case out.Dimension == measure.Count:
		return exact.Number{}, fmt.Errorf("%s is made by the piece; write how many, such as \"12 each\"", it.Component.Name)
	case amount.Dimension == measure.Volume:
		return x.UsableMass(it, amount)
	}
	return exact.Number{}, fmt.Errorf("%s is made by mass; write a mass such as \"250 g\", not a %s", it.Component.Name, amount.Dimension)
}
