package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/reference"
	"marchpane/templates/page"
)

func (s *Server) newIngredient(w http.ResponseWriter, r *http.Request) error {
	name := r.URL.Query().Get("name")
	return s.newIngredientPage(w, r, http.StatusOK, ask(nil, nil), form{values: map[string][]string{"name": {name}, "measure": {"mass"}, "weigh": {r.URL.Query().Get("weigh")}}})
}

// newIngredientPage asks for something that is bought, and offers what the
// tables know of it.
func (s *Server) newIngredientPage(w http.ResponseWriter, r *http.Request, status int, a *asking, f form) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	details := ingredientForm(a, book.Ingredient{Name: f.get("name"), Measure: measure.Mass}, "/prices/new")
	details.Fields = slices.DeleteFunc(details.Fields, func(f page.Field) bool { return f.Name == "supplier" })
	price := []page.Field{
		a.field(page.Field{Name: "prices[0].pack", Label: "A pack holds", Help: "5 kg, or 10 x 250 g, or 1 case of 12."}),
		a.field(page.Field{Name: "prices[0].price", Label: "A pack costs", Kind: "number", Help: "You can add this later."}),
	}
	details.Fields = slices.Insert(details.Fields, 1, price...)
	// What tables often know is asked for where somebody wants to say it.
	measured := []string{"density", "each", "trim_yield"}
	var known []page.Field
	for _, f := range details.Fields {
		if slices.Contains(measured, f.Name) {
			known = append(known, f)
		}
	}
	details.Fields = slices.DeleteFunc(details.Fields, func(f page.Field) bool { return slices.Contains(measured, f.Name) })
	known = append(known, a.field(page.Field{Name: "lookup", Label: "In the tables it is called", Help: "Where that is not its name: raspberry, plain flour."}))
	weighs := folded("What it weighs, and what is trimmed", known...)
	weighs.Open = weighs.Open || f.get("weigh") != "" // a line of a recipe waits for it
	bought := folded("Supplier, from when, tax in it",
		a.field(page.Field{Name: "prices[0].supplier", Label: "Supplier", Options: supplierOptions(x.Book)}),
		a.field(page.Field{Name: "prices[0].from", Label: "The price holds from", Kind: "date", Help: "Today where empty."}),
		a.field(page.Field{Name: "prices[0].tax_in", Label: "Tax in this price", Kind: "number", Unit: "%", Help: "Empty where it holds none."}),
	)
	details.Groups = append([]page.Group{bought, weighs}, details.Groups...)
	details.Title, details.Button, details.Cancel, details.Faults = "", "Add it", "/prices", a.rest()
	details.Live, details.Target = "/prices/new/known", "known"
	body := page.NewIngredient{Title: "Something you buy", Form: details, Known: knownOf(f), Lookup: "/prices/new", Name: f.get("name")}
	return s.showAs(w, r, status, "newingredient", body.Title, body, page.Link{Text: "Prices", Href: "/prices"}, page.Link{Text: "New", Current: true})
}

// previewKnown looks up the name that is being typed.
func (s *Server) previewKnown(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	return s.fragment(w, r, "newingredient", "known", knownOf(f))
}

// onlyMine is the choice to take nothing from the tables.
const onlyMine = "-"

// likeOf returns the food of the tables that was chosen, or the likeliest until
// somebody chooses. A mere guess is offered, never taken.
func likeOf(f form) (entry reference.Entry, matches []reference.Match, found bool) {
	matches = reference.Find(cmp.Or(f.get("lookup"), f.get("name")))
	pick := f.get("like")
	for _, m := range matches {
		if pick == string(m.Entry.ID) {
			return m.Entry, matches, true
		}
	}
	if pick != onlyMine && len(matches) > 0 && matches[0].Confidence >= reference.Likely {
		return matches[0].Entry, matches, true
	}
	return entry, matches, false
}

// knownOf says what the tables would fill in, with the source of each figure.
func knownOf(f form) page.Known {
	if len([]rune(cmp.Or(f.get("lookup"), f.get("name")))) < 3 {
		return page.Known{}
	}
	entry, matches, found := likeOf(f)
	if len(matches) == 0 {
		return page.Known{None: "The tables know nothing by this name. Weigh a level cup or 100 ml of it, and say above what it weighs, where recipes pour or spoon it."}
	}
	ing, faults := overlay(book.Ingredient{}, ingredientSettings(f))
	if len(faults) > 0 || ing.Measure == 0 {
		ing = book.Ingredient{Measure: measure.Mass}
	}
	return knownTable(ing, entry, matches, found)
}

// knownTable shows what the tables would fill in of an ingredient that is as
// likely one of their foods as another.
func knownTable(ing book.Ingredient, entry reference.Entry, matches []reference.Match, found bool) page.Known {
	pick := page.Field{Name: "like", Label: "Fill in what is left empty", Kind: "choice", Wide: true}
	for _, m := range matches {
		pick.Options = append(pick.Options, page.Option{Value: string(m.Entry.ID), Text: "as for " + m.Entry.Name(), Chosen: found && m.Entry.ID == entry.ID})
	}
	pick.Options = append(pick.Options, page.Option{Value: onlyMine, Text: "no, only what I say", Chosen: !found})
	v := page.Known{Pick: &pick}
	if !found {
		return v
	}
	_, taken := reference.Fill(ing, entry, true)
	v.Figures = page.Table{Caption: "What would be filled in", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Figure", Key: true}, {Text: "Source", Plain: true}}}
	for _, t := range taken {
		v.Figures.Rows = append(v.Figures.Rows, page.Row{Cells: []page.Cell{{Text: capital(t.What)}, {Text: t.Value}, {Text: t.Source, Tone: "quiet"}}})
	}
	v.Notes = slices.Clone(entry.Notes)
	return v
}

func (s *Server) addIngredient(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	set := ingredientSettings(f)
	// The choice stands at weight until somebody touches it.
	pack, unread := f.readPack("prices[0].pack", f.get("measure") == measure.Count.String())
	if unread == nil && f.get("measure") == measure.Mass.String() {
		set["measure"] = pack.Dimension().String() // whoever buys litres buys by volume
	}
	set["id"] = string(idFor(f.get("name"), func(id book.ID) bool { return taken(x, id) }))
	if rows := f.rows("prices", "pack", "price", "supplier", "from", "tax_in"); len(rows) > 0 {
		row := map[string]any{"from": cmp.Or(f.get("prices[0].from"), s.today().String())} // what is not filled in is missing, and no bad figure
		if text := f.get("prices[0].supplier"); text != "" {
			row["supplier"] = text
		}
		if text := f.percent("prices[0].tax_in"); text != "" {
			row["tax_in"] = text
		}
		if unread == nil {
			row["pack"] = pack.String()
		} else if text := f.get("prices[0].pack"); text != "" {
			row["pack"] = text
		}
		if text := f.price("prices[0].price"); text != "" {
			row["price"] = text
		}
		set["prices"] = []any{row}
	}
	ing, faults := overlay(book.Ingredient{}, set)
	if unread != nil && f.get("prices[0].pack") != "" {
		faults = retold(faults, "prices[0].pack", unread)
	}
	if err := oneWay(f.currency, f.get("prices[0].price")); err != nil && len(faults) == 0 {
		faults.Add("prices[0].price", "%s", err)
	}
	var same page.Link
	if len(faults) == 0 {
		faults, same = ingredients.likeNamed(x.Book.Ingredients, ing)
	}
	if len(faults) == 0 {
		said := ing.Name + " is added."
		// Only what was shown and chosen is taken: without the box nothing was.
		if f.get("like") != "" {
			if entry, _, found := likeOf(f); found {
				var figures []reference.Figure
				if ing, figures = reference.Fill(ing, entry, true); len(figures) > 0 {
					said += fmt.Sprintf(" %s came from the tables; your label goes first.", plural(len(figures), "figure", "figures"))
				}
			}
		}
		var undo back
		undo, err = addObject(r, s, ingredients, ing)
		if err == nil {
			return s.added(w, r, ingredients.at(ing.ID), ingredients.path, said, undo)
		}
		var ok bool
		if faults, ok = faultsOf(err); !ok {
			return err
		}
	}
	return s.newIngredientPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults).leads("name", same), f)
}
