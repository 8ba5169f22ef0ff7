package reference

import (
	"strings"
	"sync"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
)

// Weigh tells what one unit of a food weighs, and its source. words name the
// food as a recipe does, its form among them: "sifted flour", "large egg". unit
// is "ml" for a density, "each" for a piece without what is thrown away, or a
// word of the kitchen: "pinch", "dash", "sachet", "cube". It answers only for
// names that are likely, and not for a form that no source has weighed.
func Weigh(words, unit string) (grams exact.Number, source string, ok bool) {
	e, form, language, ok := meant(words)
	if !ok {
		return exact.Number{}, "", false
	}
	switch unit {
	case "ml":
		return e.perMl(form)
	case "each":
		return e.piece(form)
	case "pinch":
		return e.pinch()
	}
	for _, w := range e.Weights {
		if w.Unit == unit && (w.Language == "" || w.Language == language) {
			return w.Grams.Quo(w.Amount), w.Source, true
		}
	}
	return exact.Number{}, "", false
}

// meant finds the food and the form that words name. Form words belong to the
// name where a food is called by them: ground almonds, whole milk.
func meant(words string) (e Entry, form, language string, ok bool) {
	q := names.Words(words)
	rest, form := q, ""
	for {
		if list := Find(rest); len(list) > 0 && list[0].Confidence >= Likely {
			return list[0].Entry, form, list[0].Language, true
		}
		first, more := firstForm(rest)
		if first == "" {
			return Entry{}, "", "", false
		}
		form, rest = strings.TrimSpace(form+" "+first), more
	}
}

// firstForm takes the first word for a form or a size off the words.
func firstForm(s string) (form, rest string) {
	list := strings.Fields(s)
	for i, w := range list {
		if formWords()[w] {
			return w, strings.Join(append(append([]string{}, list[:i]...), list[i+1:]...), " ")
		}
	}
	return "", s
}

var formWords = sync.OnceValue(func() map[string]bool {
	set := wordSet("small medium large extra sifted packed spooned scooped unsifted unpacked chopped sliced mashed grated shredded melted level heaped")
	for _, e := range table() {
		for _, w := range e.Weights {
			for f := range strings.FieldsSeq(w.Form) {
				set[f] = true
			}
		}
	}
	return set
})

// perMl returns the density of a food in a form; of the usual one where none is
// named.
func (e Entry) perMl(form string) (exact.Number, string, bool) {
	form = withoutSizes(form)
	for _, w := range e.Weights {
		if d, ok := w.Density(); ok && (form == "" || sameForm(form, w.Form)) {
			return d, w.String() + ": " + w.Source, true
		}
	}
	return exact.Number{}, "", false
}

// sameForm takes sliced, slices and slice for one another.
func sameForm(a, b string) bool {
	stem := func(s string) string {
		return strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(s, "s"), "d"), "e")
	}
	return stem(a) == stem(b)
}

func withoutSizes(form string) string {
	return without(form, wordSet("small medium large extra level heaped"))
}

// piece returns what a piece of a size weighs, the usual size where none is
// said.
func (e Entry) piece(form string) (exact.Number, string, bool) {
	size := ""
	for _, s := range []string{"small", "medium", "large"} {
		if strings.Contains(" "+form+" ", " "+s+" ") {
			size = s
		}
	}
	if strings.Contains(form, "extra") && size == "large" {
		size = "extra large"
	}
	for _, p := range e.Pieces {
		if size == "" || p.Size == size || p.Size == "" {
			what := strings.TrimSpace(p.Size + " piece")
			return p.Grams, "what can be used of a " + what + ": " + p.Source, true
		}
	}
	return exact.Number{}, "", false
}

// pinch takes a pinch as a sixteenth of a teaspoon.
func (e Entry) pinch() (exact.Number, string, bool) {
	d, source, ok := e.perMl("")
	if !ok {
		return exact.Number{}, "", false
	}
	spoon := measure.Must("1 tsp").Base(measure.US)
	return d.Mul(spoon).Mul(exact.Frac(1, 16)), "a pinch taken as 1/16 teaspoon (common practice, no source); " + source, true
}
