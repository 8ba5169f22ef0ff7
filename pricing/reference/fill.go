package reference

import (
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
)

// Figure is one default that was taken over, with its source.
type Figure struct {
	What   string `json:"what"`
	Value  string `json:"value"`
	Source string `json:"source,omitempty"`
}

// Fill takes over what an ingredient of a book lacks from what is known of the
// food, and says what that was. What the book states stays. Figures that its
// measure or its parts leave no room for are left out. Allergens are taken only
// where the ingredient may be told them.
func Fill(ing book.Ingredient, known Entry, allergens bool) (book.Ingredient, []Figure) {
	from := known.Ingredient(ing.ID, ing.Name, ing.Measure)
	var taken []Figure
	take := func(what, value, source string) { taken = append(taken, Figure{what, value, source}) }
	if len(ing.Parts) == 0 && len(from.Parts) > 0 && (ing.Measure == measure.Count || ing.Measure == measure.Mass) && !ing.Each.Given() && !ing.TrimYield.Given {
		ing.Parts = from.Parts
		for _, p := range known.Parts {
			take(strings.ToLower(p.Name), p.Mass.String(), p.Source)
		}
	}
	if _, source := known.Density(); !ing.Density.Known() && from.Density.Known() {
		ing.Density = from.Density
		take("density", from.Density.String(), source)
	}
	if _, source := known.Each(); !ing.Each.Given() && from.Each.Given() && len(ing.Parts) == 0 {
		ing.Each = from.Each
		take("a piece as bought", from.Each.String(), source)
	}
	if _, source := known.TrimYield(); !ing.TrimYield.Given && from.TrimYield.Given && len(ing.Parts) == 0 {
		ing.TrimYield = from.TrimYield
		take("usable", from.TrimYield.Value.String(), source)
	}
	if !ing.Category.Given && from.Category.Given {
		ing.Category = from.Category
		take("category", from.Category.Value, "")
	}
	if allergens && from.Allergens != nil {
		ing.Allergens = from.Allergens
		if len(known.Contains) > 0 {
			take("contains", joined(known.Contains), "the food itself; your label goes first")
		}
		if len(known.Often) > 0 {
			take("may contain", joined(known.Often), "common in recipes of it; read your label")
		}
	}
	if len(ing.Flags) == 0 && len(from.Flags) > 0 {
		ing.Flags = from.Flags
		take("flags", joined(from.Flags), "")
	}
	return ing, taken
}

func joined[T ~string](words []T) string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	return strings.Join(list, ", ")
}
