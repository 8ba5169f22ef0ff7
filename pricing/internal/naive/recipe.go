package naive

import (
	"fmt"
	"math/big"
)

// output returns what one batch of a component as written gives, in g or each.
func (b *Book) output(c *component) (*big.Rat, string) {
	if c.Yield != "" {
		return b.quantity(c.Yield)
	}
	sum := zero
	for _, l := range c.Lines {
		sum = add(sum, b.usableMass(l))
	}
	return mul(sum, sub(one, percentOr(c.Loss, "0 %"))), "mass"
}

// usableMass returns the grams a recipe line puts into the bowl.
func (b *Book) usableMass(l line) *big.Rat {
	q, dimension := b.quantity(l.Qty)
	if dimension == "mass" {
		return q
	}
	if c := b.component(l.Use); c != nil {
		if dimension == "volume" {
			return mul(q, b.densityOf(l.Use))
		}
		panic(fmt.Errorf("naive: the mass of %q of %q is not known", l.Qty, l.Use))
	}
	ing, partMass := b.ingredientOf(l.Use)
	switch {
	case dimension == "volume":
		return mul(q, b.densityOf(l.Use))
	case dimension == "count" && partMass != "":
		return mul(q, b.in("mass", partMass))
	case dimension == "count" && len(ing.Parts) > 0:
		return mul(q, b.sumOfParts(ing))
	case dimension == "count" && ing.Each != "":
		return mul(q, b.in("mass", ing.Each), percentOr(ing.TrimYield, "100 %"))
	}
	panic(fmt.Errorf("naive: the mass of %q of %q is not known", l.Qty, l.Use))
}

// densityOf returns the g/ml of an ingredient, or the finished density of a component.
func (b *Book) densityOf(id string) *big.Rat {
	if c := b.component(id); c != nil {
		if c.Density != "" {
			return density(c.Density)
		}
		if c.Mould == nil {
			panic(fmt.Errorf("naive: component %q has no density", id))
		}
		output, dimension := b.output(c)
		if dimension != "mass" {
			panic(fmt.Errorf("naive: component %q is made by the piece and has no density", id))
		}
		return div(output, b.volume(*c.Mould))
	}
	ing, partMass := b.ingredientOf(id)
	if partMass != "" || ing.Density == "" {
		panic(fmt.Errorf("naive: %q has no density", id))
	}
	return density(ing.Density)
}

// inOutputUnit brings a quantity of a component to the unit of its output.
func (b *Book) inOutputUnit(c *component, q *big.Rat, dimension string) *big.Rat {
	_, outputDimension := b.output(c)
	switch {
	case dimension == outputDimension:
		return q
	case dimension == "volume" && outputDimension == "mass":
		return mul(q, b.densityOf(c.ID))
	}
	panic(fmt.Errorf("naive: component %q is not made by %s", c.ID, dimension))
}

func (b *Book) inOutputUnitText(c *component, s string) *big.Rat {
	q, dimension := b.quantity(s)
	return b.inOutputUnit(c, q, dimension)
}

// purchased brings a quantity as a line states it to the base unit of the
// ingredient's measure, as purchased.
func (b *Book) purchased(id string, q *big.Rat, dimension string) *big.Rat {
	ing, partMass := b.ingredientOf(id)
	if len(ing.Parts) > 0 {
		return b.purchasedWhole(ing, partMass, q, dimension)
	}
	trim := percentOr(ing.TrimYield, "100 %")

	// As purchased, still in the dimension of the line: pieces are counted as
	// purchased, everything else is the usable quantity.
	if dimension != "count" {
		q = div(q, trim)
	}
	if dimension == ing.Measure {
		return q
	}
	var grams *big.Rat
	switch dimension {
	case "mass":
		grams = q
	case "volume":
		grams = mul(q, b.densityOf(id))
	case "count":
		grams = mul(q, b.eachOf(ing))
	default:
		panic(fmt.Errorf("naive: %q is not measured by %s", id, dimension))
	}
	switch ing.Measure {
	case "mass":
		return grams
	case "volume":
		return div(grams, b.densityOf(id))
	case "count":
		return div(grams, b.eachOf(ing))
	}
	panic(fmt.Errorf("naive: %q is not measured by %s", id, dimension))
}

// purchasedWhole does so for an ingredient with parts: a gram of any part, or
// of the whole, takes 1 ÷ the sum of the parts of a piece.
func (b *Book) purchasedWhole(ing *ingredient, partMass string, q *big.Rat, dimension string) *big.Rat {
	sum := b.sumOfParts(ing)
	var pieces *big.Rat
	switch {
	case dimension == "mass":
		pieces = div(q, sum)
	case dimension == "count" && partMass == "":
		pieces = q
	case dimension == "count":
		pieces = div(mul(q, b.in("mass", partMass)), sum)
	case dimension == "volume" && partMass == "":
		pieces = div(mul(q, b.densityOf(ing.ID)), sum)
	default:
		panic(fmt.Errorf("naive: a part of %q is not measured by %s", ing.ID, dimension))
	}
	switch ing.Measure {
	case "count":
		return pieces
	case "mass":
		return mul(pieces, sum)
	}
	panic(fmt.Errorf("naive: %q has parts and is measured by %s", ing.ID, ing.Measure))
}

func (b *Book) sumOfParts(ing *ingredient) *big.Rat {
	sum := zero
	for _, p := range ing.Parts {
		sum = add(sum, b.in("mass", p.Mass))
	}
	return sum
}

func (b *Book) eachOf(ing *ingredient) *big.Rat {
	if ing.Each == "" {
		panic(fmt.Errorf("naive: %q has no each", ing.ID))
	}
	return b.in("mass", ing.Each)
}
