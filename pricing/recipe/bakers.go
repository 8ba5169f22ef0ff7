package recipe

import (
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
)

// BakersLine is a line of a recipe in baker's percentages: its usable mass for
// each hundred of flour.
type BakersLine struct {
	Item  book.Item
	Flour bool
	Grams exact.Number // usable
	Known bool         // whether the line has a mass; ribbon by the metre has none
	Share exact.Number // grams ÷ all flour, as a fraction
}

// Bakers returns the lines of a component in baker's percentages, where all
// that counts as flour is 100 % together, and the sum of them. Without flour
// there are no percentages, and every share is 0. A component that a line uses
// counts by its mass, as if it were bought.
func Bakers(x *book.Index, c *book.Component, flour func(book.Item) bool) (lines []BakersLine, total exact.Number) {
	var sum exact.Number
	for _, line := range c.Lines {
		it, ok := x.Item(line.Use)
		if !ok {
			continue
		}
		l := BakersLine{Item: it, Flour: flour(it)}
		if it.Ingredient == nil || it.Ingredient.Kind.Or(book.Edible) == book.Edible {
			grams, err := x.UsableMass(it, x.Amount(line.Qty))
			l.Grams, l.Known = grams, err == nil
		}
		if l.Flour && l.Known {
			sum = sum.Add(l.Grams)
		}
		lines = append(lines, l)
	}
	if sum.IsZero() {
		return lines, exact.Number{}
	}
	for i := range lines {
		if lines[i].Known {
			lines[i].Share = lines[i].Grams.Quo(sum)
			total = total.Add(lines[i].Share)
		}
	}
	return lines, total
}

// IsFlour reports whether an ingredient counts as flour unless somebody says
// otherwise: by its category or by a word of its name. Starches and ground nuts
// do not: they bind no dough. Common practice of bakers, no source.
func IsFlour(it book.Item) bool {
	if it.Ingredient == nil || it.Part != nil || it.Ingredient.Measure != measure.Mass {
		return false
	}
	for _, text := range []string{it.Ingredient.Category.Value, it.Ingredient.Name} {
		for word := range strings.FieldsSeq(names.Words(text)) {
			if flourWords[word] || strings.HasSuffix(word, "mehl") && !noFlour[word] {
				return !holdsAny(it.Ingredient.Name, noFlour)
			}
		}
	}
	return false
}

var (
	flourWords = set("flour flours farine farines mehl semolina semoule griess wholemeal")
	noFlour    = set("cornflour starch starke fecule maizena speisestarke kartoffelmehl paniermehl almond almonds mandel mandelmehl mandeln amande amandes hazelnut coconut nut nuts baking bicarbonate soda powder backpulver natron yeast hefe levure")
)

func holdsAny(text string, words map[string]bool) bool {
	for word := range strings.FieldsSeq(names.Words(text)) {
		if words[word] {
			return true
		}
	}
	return false
}
