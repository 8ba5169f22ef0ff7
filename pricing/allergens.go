package pricing

import (
	"fmt"
	"strings"

	"marchpane/pricing/book"
)

// Allergens gathers what is contained, and what may be, in all that was taken:
// see [Labels.Allergens].
func Allergens(x *book.Index, taken ...Takeoff) (contains, may []book.Allergen, silent []*book.Ingredient) {
	used := Labels{}
	for _, t := range taken {
		for _, line := range t.Bill {
			used[line.Resource] = true
		}
	}
	return used.Allergens(x)
}

// Labels are the ids of what is used, whose labels are to be read.
type Labels map[book.ID]bool

// Allergens gathers what the labels say, in the order of [book.Allergens]. What
// is contained is not repeated among the traces. Silent lists, in the order of
// the book, what is eaten and whose label nobody looked at, so that nobody takes
// silence for none.
func (l Labels) Allergens(x *book.Index) (contains, may []book.Allergen, silent []*book.Ingredient) {
	in, traces := map[book.Allergen]bool{}, map[book.Allergen]bool{}
	for i := range x.Book.Ingredients {
		ing := &x.Book.Ingredients[i]
		switch {
		case !l[ing.ID]:
		case ing.Allergens != nil:
			for _, a := range ing.Allergens.Contains {
				in[a] = true
			}
			for _, a := range ing.Allergens.MayContain {
				traces[a] = true
			}
		case ing.Kind.Or(book.Edible) == book.Edible:
			silent = append(silent, ing)
		}
	}
	for _, a := range book.Allergens() {
		switch {
		case in[a]:
			contains = append(contains, a)
		case traces[a]:
			may = append(may, a)
		}
	}
	return contains, may, silent
}

// NamesOf names ingredients in a sentence, the first dozen of them: "Caster
// sugar, Glycerine and 3 more".
func NamesOf(list []*book.Ingredient) string {
	const most = 12
	names := make([]string, 0, most)
	for _, ing := range list[:min(len(list), most)] {
		names = append(names, ing.Name)
	}
	text := strings.Join(names, ", ")
	if len(list) > most {
		text += fmt.Sprintf(" and %d more", len(list)-most)
	}
	return text
}
