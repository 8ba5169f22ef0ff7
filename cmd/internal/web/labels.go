package web

import (
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/pricing/reference"
	"marchpane/templates/page"
)

// What a label says of an allergen.
const (
	labelContains = "contains"
	labelTraces   = "may"
)

// labelGroups ask what the label of an ingredient says: its allergens, and what
// clients and the kitchen are warned of. Nothing said and nothing in it are two
// things: only what was looked up counts as none.
func labelGroups(a *asking, ing book.Ingredient) []page.Group {
	said := ""
	var notes book.AllergenNotes
	if ing.Allergens != nil {
		said, notes = "yes", *ing.Allergens
	}
	allergens := page.Group{Title: "Allergens on its label", Short: true, Fields: []page.Field{
		a.field(page.Field{Name: "allergens_said", Label: "Its label", Kind: "choice", Wide: true, Value: said, Options: []page.Option{{Value: "", Text: "was not looked at yet"}, {Value: "yes", Text: "says what is marked here, and no more"}}, Help: "The label goes before every table; read it at every delivery."}),
	}}
	allergens.Open = len(allergens.Fields[0].Faults) > 0 || a.typed != nil && allergens.Fields[0].Value != said
	allergens.Title += labelSummary(ing.Allergens)
	for _, allergen := range book.Allergens() {
		value := ""
		switch {
		case slices.Contains(notes.Contains, allergen):
			value = labelContains
		case slices.Contains(notes.MayContain, allergen):
			value = labelTraces
		}
		f := a.field(page.Field{Name: "allergen." + string(allergen), Label: capital(allergenWord(allergen)), Kind: "choice", Value: value, Options: []page.Option{{Text: "no"}, {Value: labelContains, Text: "contains"}, {Value: labelTraces, Text: "may contain"}}})
		allergens.Open = allergens.Open || f.Value != value && a.typed != nil || len(f.Faults) > 0
		allergens.Fields = append(allergens.Fields, f)
	}
	cautions := page.Group{Title: "What to warn of", Help: "Clients read it on their quote; the kitchen on its cards."}
	for _, flag := range book.Flags() {
		f := a.field(page.Field{Name: "flag." + string(flag), Label: labelFlagWords(flag), Kind: "tick", Ticked: slices.Contains(ing.Flags, flag)})
		cautions.Open = cautions.Open || f.Ticked
		cautions.Fields = append(cautions.Fields, f)
	}
	return []page.Group{allergens, cautions}
}

// labelSummary says what is known of a label, so that its boxes may stay folded.
func labelSummary(notes *book.AllergenNotes) string {
	if notes == nil {
		return ": not looked at yet"
	}
	var parts []string
	for _, v := range notes.Contains {
		parts = append(parts, allergenWord(v))
	}
	if len(notes.MayContain) > 0 {
		var may []string
		for _, v := range notes.MayContain {
			may = append(may, allergenWord(v))
		}
		parts = append(parts, "perhaps "+strings.Join(may, ", "))
	}
	if len(parts) == 0 {
		return ": none"
	}
	return ": " + strings.Join(parts, ", ")
}

func allergenWord(a book.Allergen) string { return strings.ReplaceAll(string(a), "-", " ") }

// labelFlagWords says what a flag tells of something that is bought.
func labelFlagWords(f book.Flag) string {
	switch f {
	case book.Alcohol:
		return "It is alcohol, or holds some"
	case book.RawEgg:
		return "It is raw egg where it is used as it is"
	case book.Gelatine:
		return "It is gelatine, or holds some"
	case book.FreshFlower:
		return "It is a fresh flower"
	}
	return flagWords(f)
}

// labelSettings is what [labelGroups] asked for. A form without those boxes
// leaves the label as it is.
func labelSettings(f form, set settings) {
	if !f.values.Has("allergens_said") {
		return
	}
	var contains, may []any
	for _, allergen := range book.Allergens() {
		switch f.get("allergen." + string(allergen)) {
		case labelContains:
			contains = append(contains, string(allergen))
		case labelTraces:
			may = append(may, string(allergen))
		}
	}
	set["allergens"] = nil
	if f.get("allergens_said") != "" || len(contains)+len(may) > 0 {
		notes := map[string]any{}
		if len(contains) > 0 {
			notes["contains"] = contains
		}
		if len(may) > 0 {
			notes["may_contain"] = may
		}
		set["allergens"] = notes
	}
	set["flags"] = nil
	var flags []any
	for _, flag := range book.Flags() {
		if f.ticked("flag." + string(flag)) {
			flags = append(flags, string(flag))
		}
	}
	if len(flags) > 0 {
		set["flags"] = flags
	}
}

// knownFor offers what the tables would fill in of an ingredient that lacks it.
func knownFor(body *page.Ingredient, ing book.Ingredient, like string) {
	f := form{values: map[string][]string{"name": {ing.Name}, "like": {like}}}
	entry, matches, found := likeOf(f)
	if !found {
		return
	}
	if _, figures := reference.Fill(ing, entry, true); len(figures) == 0 {
		return
	}
	body.Known = knownTable(ing, entry, matches, found)
	for _, m := range matches {
		is := m.Entry.ID == entry.ID
		body.Known.Others = append(body.Known.Others, page.Link{Text: "As for " + m.Entry.Name(), Href: ingredients.at(ing.ID) + "?like=" + escapeQuery(string(m.Entry.ID)) + "#known", Current: is})
	}
	body.Known.Pick = &page.Field{Name: "like", Kind: "hidden", Value: string(entry.ID)}
	body.Fill, body.Version = ingredients.at(ing.ID)+"/fill", ingredients.version(ing)
}

// fillIngredient takes from the tables what an ingredient lacks.
func (s *Server) fillIngredient(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	var figures []reference.Figure
	_, undo, err := saveObject(r, s, ingredients, id, f.version, func(old book.Ingredient) (book.Ingredient, record.Faults) {
		entry, _, found := likeOf(form{values: map[string][]string{"name": {old.Name}, "like": {f.get("like")}}})
		if !found {
			return old, nil
		}
		old, figures = reference.Fill(old, entry, true)
		return old, nil
	})
	if shown, err := s.showClash(w, r, err, f, ingredients.at(id), ingredients.at(id)); shown {
		return err
	}
	if err != nil {
		return err
	}
	if len(figures) == 0 {
		return s.done(w, r, ingredients.at(id), "Nothing was left to fill in.", nil)
	}
	var what []string
	for _, v := range figures {
		what = append(what, v.What+" "+v.Value)
	}
	return s.done(w, r, ingredients.at(id), "Filled in from the tables: "+strings.Join(what, "; ")+". Your label goes first.", undo)
}
