package cli

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/reference"
)

// figure is one default that was taken over, with its source.
type figure = reference.Figure

// filledIn is the document of `ingredient add` and `ingredient fill`.
type filledIn struct {
	Ingredient book.Ingredient `json:"ingredient"`
	Taken      []figure        `json:"from_reference"`
}

func addedOf(ing book.Ingredient, taken []figure) filledIn {
	if taken == nil {
		taken = []figure{}
	}
	if ing.Prices == nil {
		ing.Prices = []book.Price{}
	}
	return filledIn{ing, taken}
}

// printKnown shows all that the tables hold of a food.
func printKnown(env *Env, e reference.Entry) {
	fmt.Fprintf(env.Out, "%s\n\n", env.bold(e.Name()))
	t := table{heads: []string{"", "", "source"}}
	for _, f := range knownOf(e) {
		t.add(f.What, f.Value, f.Source)
	}
	t.print(env)
	for _, n := range e.Notes {
		fmt.Fprintf(env.Out, "\n%s\n", n)
	}
	if len(e.Contains)+len(e.Often) > 0 {
		fmt.Fprintf(env.Out, "\nYour supplier's label goes before this table, for allergens above all.\n")
	}
}

// knownOf lists what the tables hold of a food, defaults before alternatives.
func knownOf(e reference.Entry) []figure {
	var list []figure
	add := func(what, value, source string) {
		list = append(list, figure{What: what, Value: value, Source: source})
	}
	if d, source := e.Density(); d.Known() {
		add("density", d.String(), source)
	}
	for i, y := range e.Yields {
		what := "usable"
		if i > 0 {
			what = "or usable"
		}
		source := y.Source
		if y.Lost != "" {
			source += ": without " + y.Lost
		}
		add(what, y.Share.String(), source)
	}
	if each, source := e.Each(); each.Given() {
		add("a piece as bought", each.String(), source)
	}
	for _, p := range e.Parts {
		add(p.Name, p.Mass.String(), p.Source)
	}
	for _, w := range e.Weights {
		what := "weighs"
		if w.Language != "" {
			what += " (" + w.Language + ")"
		}
		add(what, w.String(), w.Source)
	}
	for _, p := range e.Pieces {
		what := "a piece"
		if p.Size != "" {
			what = p.Size
		}
		add(what, p.Grams.Fixed(1)+" g usable", p.Source)
	}
	if len(e.Contains) > 0 {
		add("contains", joined(e.Contains), "the food itself")
	}
	if len(e.Often) > 0 {
		add("often", joined(e.Often), "common in recipes of it; read the label")
	}
	if len(e.Flags) > 0 {
		add("flags", joined(e.Flags), "")
	}
	return list
}

// printTaken shows what was taken over, so that nothing is stored in silence.
func printTaken(env *Env, taken []figure, from reference.Entry) {
	if len(taken) == 0 {
		return
	}
	fmt.Fprintf(env.Out, "\nFrom the reference tables, %s:\n", from.Name())
	t := table{heads: []string{"", "", "source"}}
	for _, f := range taken {
		t.add(f.What, f.Value, f.Source)
	}
	t.print(env)
	for i, y := range from.Yields {
		if i > 0 {
			fmt.Fprintf(env.Out, "Another yield: %s (%s).\n", y.Share, y.Source)
		}
	}
	for _, n := range from.Notes {
		fmt.Fprintln(env.Out, n)
	}
	fmt.Fprintln(env.Out, "These are defaults. Weigh and trim your own, read the label, and correct them in a book file.")
}

// offer says what the tables would have given.
func offer(env *Env, ing book.Ingredient, known reference.Entry) {
	_, could := reference.Fill(ing, known, ing.Allergens == nil)
	if len(could) == 0 {
		return
	}
	fmt.Fprintf(env.Out, "The reference tables know more of %s; see it with: marchpane ingredient suggest %q\nand take it over with: marchpane ingredient fill %s --like %q\n", known.Name(), known.Name(), ing.ID, known.Name())
}

// suggestion is one match of `ingredient suggest --json`.
type suggestion struct {
	ID         book.ID  `json:"id"`
	Name       string   `json:"name"`
	Confidence string   `json:"confidence"`
	Figures    []figure `json:"figures"`
	Notes      []string `json:"notes"`
}

type suggestions struct {
	Words   string       `json:"words"`
	Matches []suggestion `json:"matches"`
}

func suggestionsOf(words string, matches []reference.Match) suggestions {
	s := suggestions{Words: words, Matches: []suggestion{}}
	for _, m := range matches {
		notes := m.Entry.Notes
		if notes == nil {
			notes = []string{}
		}
		s.Matches = append(s.Matches, suggestion{m.Entry.ID, m.Entry.Name(), m.Confidence.String(), knownOf(m.Entry), notes})
	}
	return s
}
