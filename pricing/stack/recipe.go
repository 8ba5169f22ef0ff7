package stack

import (
	"errors"
	"fmt"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Recipe is a recipe in another amount.
type Recipe struct {
	Component *book.Component
	Factor    exact.Number // what every line is multiplied by
	From      exact.Number // ml that one batch fills; 0 where the factor is a number of batches
	Into      exact.Number // ml that are wanted; likewise
	Output    book.Amount  // of the scaled recipe
	Batches   exact.Number // how often it is made, by its greatest batch: a whole number
	Lines     []ScaledLine
}

// ScaledLine is a line of a recipe, scaled.
type ScaledLine struct {
	Line     book.Line
	Name     string       // of what it uses
	Quantity exact.Number // in the unit of the line
}

// Scale returns a component's recipe for a volume in ml, or with into 0 for so
// many batches as it is written; with both, for so many times the volume.
func Scale(x *book.Index, c *book.Component, into, batches exact.Number) (Recipe, error) {
	r := Recipe{Component: c, Factor: batches}
	output, err := x.Output(c)
	if err != nil {
		return r, err
	}
	if !into.IsZero() {
		if r.From, err = Fills(x, c); err != nil {
			return r, err
		}
		r.Into = into.Mul(batches)
		r.Factor = r.Into.Quo(r.From)
	}
	if r.Factor.Sign() <= 0 {
		return r, errors.New("nothing is wanted; say how much, above 0")
	}
	r.Output = book.Amount{Dimension: output.Dimension, Number: output.Number.Mul(r.Factor)}
	r.Batches = exact.Int(1)
	if c.BatchMax.Given() {
		most, err := x.Charge(book.Item{Component: c}, x.Amount(c.BatchMax))
		if err != nil {
			return r, err
		}
		r.Batches = exact.FromBig(r.Output.Number.Quo(most).Ceil())
	}
	for _, line := range c.Lines {
		it, ok := x.Item(line.Use)
		if !ok {
			return r, fmt.Errorf("%s: %q is no ingredient, part or component of the book", c.Name, line.Use)
		}
		r.Lines = append(r.Lines, ScaledLine{line, it.Name(), exact.FromDecimal(line.Qty.Figure()).Mul(r.Factor)})
	}
	return r, nil
}

// Fills returns how many ml one batch of a component fills: its reference
// mould, or else its output ÷ its density.
func Fills(x *book.Index, c *book.Component) (exact.Number, error) {
	if c.Mould != nil {
		return c.Mould.Volume(x.Household()), nil
	}
	out, err := x.Output(c)
	if err != nil {
		return exact.Number{}, err
	}
	if out.Dimension != measure.Mass {
		return exact.Number{}, fmt.Errorf("%s is made by the piece and fills no mould; scale it by batches", c.Name)
	}
	density, err := x.Density(book.Item{Component: c})
	if err != nil {
		return exact.Number{}, err
	}
	if density.IsZero() {
		return exact.Number{}, fmt.Errorf("nothing says what a batch of %s fills; give it a mould (\"mould\": {\"holds\": \"1850 ml\"}) or a density, or scale it by batches", c.Name)
	}
	return out.Number.Quo(density), nil
}

// Times returns how many batches of a component, as they are written, come to a
// wanted amount of it.
func Times(x *book.Index, c *book.Component, wanted measure.Quantity) (exact.Number, error) {
	out, err := x.Output(c)
	if err != nil {
		return exact.Number{}, err
	}
	n, err := x.Charge(book.Item{Component: c}, x.Amount(wanted))
	if err != nil {
		return exact.Number{}, err
	}
	return n.Quo(out.Number), nil
}

// Weighed rounds an amount as kitchen scales and jugs show it: grams and ml to
// a tenth below 10 and whole from there on, other units to two or three
// decimals. What is more than nothing never becomes nothing.
func Weighed(n exact.Number, unit string) decimal.Decimal {
	places := int32(2)
	switch unit {
	case "g", "ml", "mm":
		if places = 0; n.Cmp(exact.Int(10)) < 0 {
			places = 1
		}
	case "kg", "l":
		places = 3
	}
	d := n.Round(places)
	if d.IsZero() && n.Sign() > 0 { // a pinch is not nothing
		d = n.Round(places + 3)
	}
	return d
}
