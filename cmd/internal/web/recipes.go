package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

func (m *routes) recipePages() {
	m.section(section{name: "Recipes", path: "/recipes", key: "r"})
	m.get("/recipes", m.s.listRecipes)
	m.get("/recipes/new", m.s.newRecipe)
	m.post("/recipes/new", m.s.addRecipe)
	m.post("/recipes/new/preview", m.s.previewRecipe)
	m.get("/recipes/read", m.s.askRecipe)
	m.upload("/recipes/read", m.s.readRecipe)
	m.get("/recipes/{id}", m.s.showRecipe)
	m.post("/recipes/{id}", m.s.saveRecipe)
	m.post("/recipes/{id}/preview", m.s.previewRecipe)
	m.post("/recipes/{id}/copy", m.s.copyRecipe)
	m.get("/recipes/{id}/scale", m.s.scaleRecipe)
	m.get("/recipes/{id}/bakers", m.s.previewBakers)
	m.get("/recipes/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return confirmRemoval(w, r, m.s, components) })
	m.post("/recipes/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return remove(w, r, m.s, components) })
}

// listRecipes shows what is made, with what a batch costs today. Only those on
// the page are costed.
func (s *Server) listRecipes(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	query := r.URL.Query()
	sorted, err := ofBook(r, x, "recipes", func() ([]*book.Component, error) {
		list := make([]*book.Component, len(x.Book.Components))
		for i := range x.Book.Components {
			list[i] = &x.Book.Components[i]
		}
		byName(list, func(c *book.Component) string { return c.Name }, x.Book.Studio)
		return list, nil
	})
	if err != nil {
		return err
	}
	body := page.Recipes{List: page.List{Search: page.Search{Action: "/recipes", Label: "Find by name, kind or ingredient", Query: query.Get("q"), Live: "list"}}}
	if len(sorted) == 0 {
		body.Empty = &page.Empty{
			Title: "What do you make?", Text: "A recipe is anything that cakes are put together from: a sponge, a filling, a coat, sugar flowers. Write its lines as you would on a card; each is costed from your prices. A recipe can use another.",
			Actions: []page.Link{{Text: "Write the first", Href: "/recipes/new"}, {Text: "Read one in", Href: "/recipes/read"}},
		}
		return s.show(w, r, "recipes", "Recipes", body)
	}
	body.Kinds = kindLinks(sorted, query.Get("kind"))
	matching, err := found(r, x, "recipes", sorted, query.Get("q"), func(c *book.Component) string {
		words := []string{c.Name, string(c.ID), c.Kind.Value}
		for _, l := range c.Lines {
			if it, ok := x.Item(l.Use); ok {
				words = append(words, it.Name())
			}
		}
		return strings.Join(words, " ")
	})
	if err != nil {
		return err
	}
	if kind := query.Get("kind"); kind != "" {
		matching = slices.DeleteFunc(slices.Clone(matching), func(c *book.Component) bool { return c.Kind.Or("") != kind })
	}
	body.None = fmt.Sprintf("No recipe has %q in its name, its kind or its ingredients.", query.Get("q"))
	shown, pager := paged(matching, query, "/recipes")
	body.Pager = pager
	body.Rows, err = ofBook(r, x, "recipe rows "+s.today().String()+" "+query.Encode(), func() (page.Table, error) { return s.recipeRows(x, shown), nil })
	if err != nil {
		return err
	}
	if wantsFragment(r) {
		return s.fragment(w, r, "recipes", "recipes-list", body)
	}
	return s.show(w, r, "recipes", "Recipes", body)
}

// kindLinks leads to the recipes of each kind, the commonest kinds first.
func kindLinks(list []*book.Component, chosen string) []page.Link {
	count := map[string]int{}
	var kinds []string
	for _, c := range list {
		if k := c.Kind.Or(""); k != "" {
			if count[k]++; count[k] == 1 {
				kinds = append(kinds, k)
			}
		}
	}
	if len(kinds) < 2 {
		return nil
	}
	sortBy(kinds, func(a, b string) int { return count[b] - count[a] })
	links := []page.Link{{Text: "All", Href: "/recipes", Current: chosen == ""}}
	for _, k := range kinds[:min(len(kinds), 12)] {
		links = append(links, page.Link{Text: capital(k), Href: "/recipes?kind=" + escapeQuery(k), Current: k == chosen})
	}
	return links
}

func (s *Server) recipeRows(x *book.Index, list []*book.Component) page.Table {
	words := wordsOf(x.Book.Studio)
	rates := s.rates(x)
	t := page.Table{Caption: "Recipes at today’s prices", Brief: true, Heads: []page.Head{{Text: "Recipe"}, {Text: "Makes", Right: true}, {Text: "A batch", Right: true}, {Text: "Comes to", Right: true, Key: true}, {Text: "Keeps", Right: true}}}
	for _, c := range list {
		row := page.Row{Cells: []page.Cell{{Text: c.Name, Href: components.at(c.ID), Note: c.Kind.Value}}}
		b, err := pricing.CostBatch(x, c, exact.Int(1), rates)
		switch {
		case err != nil:
			row.Cells = append(row.Cells, page.Cell{}, page.Cell{Text: "is not finished", Tone: "bad"}, page.Cell{})
		case b.Missing != nil:
			row.Cells = append(row.Cells, page.Cell{Text: words.made(b.Output)}, page.Cell{Text: "a price is missing", Tone: "bad"}, page.Cell{})
		default:
			row.Cells = append(row.Cells, page.Cell{Text: words.made(b.Output)}, page.Cell{Text: words.money(b.Cost.Total())}, page.Cell{Text: words.per(b.Per(), b.Output.Dimension)})
		}
		row.Cells = append(row.Cells, page.Cell{Text: words.lasts(c.Keeps), Tone: "quiet"})
		t.Rows = append(t.Rows, row)
	}
	return t
}

// made writes what a recipe gives, as scales show it: "1.23 kg", "40 pieces".
func (w words) made(a book.Amount) string {
	switch a.Dimension {
	case measure.Count:
		if a.Number.Equal(exact.Int(1)) {
			return "1 piece"
		}
		return w.locale.Number(a.Number.Round(1), 0) + " pieces"
	case measure.Mass:
		n, unit := measure.Handy(a.Number, "g")
		places := int32(0)
		if unit == "kg" {
			places = 2
		}
		return w.locale.Number(n.Round(places), 0) + "\u00a0" + unit
	}
	return w.locale.Number(a.Number.Round(1), 0) + "\u00a0" + a.Dimension.Base()
}

// lasts writes a time: "4 days".
func (w words) lasts(q measure.Quantity) string {
	text := w.locale.Quantity(q)
	if strings.HasSuffix(text, "day") && q.String() != "1 day" {
		text += "s"
	}
	return text
}

// lasting writes a time as its box holds it.
func lasting(q measure.Quantity) string {
	text := q.String()
	if strings.HasSuffix(text, " day") && text != "1 day" {
		text += "s"
	}
	return text
}

// draftIndex is the book with a recipe in the place of the one of its id, and
// with new ingredients. What does not bear on recipes is left out.
func draftIndex(b book.Book, c book.Component, added []book.Ingredient) *book.Index {
	b.Cakes, b.Extras, b.Tins = nil, nil, nil
	b.Ingredients = slices.Concat(b.Ingredients, added)
	b.Components = slices.Clone(b.Components)
	if i := slices.IndexFunc(b.Components, func(o book.Component) bool { return o.ID == c.ID }); i >= 0 {
		b.Components[i] = c
	} else {
		b.Components = append(b.Components, c)
	}
	return book.NewIndex(b)
}

// draftFaults lists what keeps a draft from being worked out, in the words of
// the book's own checks.
func draftFaults(x *book.Index, id book.ID) record.Faults {
	i := slices.IndexFunc(x.Book.Components, func(c book.Component) bool { return c.ID == id })
	prefix := record.Item("components", i)
	var own record.Faults
	others := func(list string, at int) bool { return list != "components" || at != i }
	for _, f := range x.ValidateBesides(others) {
		if strings.HasPrefix(f.Path, prefix+".") {
			f.Path = strings.TrimPrefix(f.Path, prefix+".")
			own = append(own, f)
		}
	}
	return own
}

// readingOf is [Server.reading] of a draft. What comes with it has no page yet:
// where it has to be mended leads to where it is added with what is wanted, and
// the draft takes it from there by its name.
func (s *Server) readingOf(x *book.Index, d *recipeDraft) page.Reading {
	v := s.reading(draftIndex(x.Book, d.component, d.added), d.component, d.lines, d.form.values)
	instead := map[string]string{}
	for _, ing := range d.added {
		instead[ingredients.at(ing.ID)] = "/prices/new?name=" + escapeQuery(ing.Name) + "&weigh=yes"
	}
	if components.index(x.Book.Components, d.component.ID) < 0 {
		instead[components.at(d.component.ID)] = ""
	}
	for i := range v.Questions {
		if q := v.Questions[i].Mend; q != nil {
			if to, ok := instead[q.Href]; ok {
				v.Questions[i].Mend = &page.Link{Text: "Add " + q.Text, Href: to}
			}
		}
	}
	for i, note := range v.Notes {
		if to, ok := instead[note.Href]; ok {
			v.Notes[i].Href = to
		}
	}
	for _, row := range v.Lines.Rows {
		if _, ok := instead[row.Cells[0].Href]; ok {
			row.Cells[0].Href = ""
		}
	}
	return v
}

// reading says what a recipe comes to. lines are those that it was written in;
// nil where it stands as it is stored.
func (s *Server) reading(x *book.Index, c book.Component, lines []cookLine, picked url.Values) page.Reading {
	words := wordsOf(x.Book.Studio)
	v := page.Reading{Questions: questions(words, x, lines, picked)}
	if len(c.Lines) == 0 {
		if len(v.Questions) == 0 {
			v.Empty = "Write a line, such as “250 g butter” or “2 cups sifted flour”, and see here what it costs."
		}
		return v
	}
	if lines != nil {
		if faults := draftFaults(x, c.ID); len(faults) > 0 {
			v.Notes = remedies(x, errors.New(faults[0].Problem))
			return v
		}
	}
	b, err := pricing.CostBatch(x, &c, exact.Int(1), s.rates(x))
	if err != nil {
		v.Notes = remedies(x, err)
		return v
	}
	whole := b.Missing == nil
	v.Figures = append(v.Figures, page.Figure{Label: "A batch makes", Value: words.made(b.Output)})
	if whole {
		v.Figures = append(v.Figures,
			page.Figure{Label: "A batch costs", Value: words.money(b.Cost.Total()), Strong: true},
			page.Figure{Label: "That comes to", Value: words.per(b.Per(), b.Output.Dimension), Strong: true},
			page.Figure{Label: "Bought goods alone", Value: words.money(b.Cost.Ingredients.Add(b.Cost.Packaging))})
	} else {
		v.Notes = remedies(x, b.Missing)
	}
	if minutes := b.Takeoff.Bill.Minutes(); !minutes.IsZero() {
		v.Figures = append(v.Figures, page.Figure{Label: "Hands-on", Note: "with what is made for it", Value: words.locale.Number(minutes.Round(0), 0) + "\u00a0min"})
	}
	v.Lines = costRows(words, c, b, lines)
	v.Allergens, v.Caution = s.allergenLines(x, b.Takeoff)
	v.Cautions = cautionsOf(x, b.Takeoff)
	return v
}

// costRows is each line with what it costs. The parts add up to the rounded
// total.
func costRows(words words, c book.Component, b pricing.Batch, written []cookLine) page.Table {
	t := page.Table{Caption: "What each line costs, in one batch", Brief: true, Heads: []page.Head{{Text: "Line"}, {Text: "Takes", Right: true, Plain: true}, {Text: "Costs", Right: true, Key: true}}}
	settled := slices.DeleteFunc(slices.Clone(written), func(l cookLine) bool { return !l.settled })
	total := b.Cost.Total()
	parts := make([]exact.Number, 0, len(b.Lines)+2)
	for _, l := range b.Lines {
		parts = append(parts, l.Amount)
	}
	parts = append(parts, b.Labour, b.Equipment)
	amounts := money.Apportion(words.currency.Round(total), parts)
	cost := func(i int) page.Cell {
		cell := page.Cell{Text: words.amount(amounts[i])}
		if !total.IsZero() {
			cell.Bar = &page.Bar{Share: share(parts[i].Quo(total)), Tone: "1"}
		}
		return cell
	}
	for i, l := range b.Lines {
		name := page.Cell{Text: l.Item.Name(), Note: c.Lines[i].Note.Value}
		switch {
		case l.Item.Component != nil:
			name.Href = components.at(l.Item.Component.ID)
		default:
			name.Href = ingredients.at(l.Item.Ingredient.ID)
		}
		if i < len(settled) && settled[i].as != "" {
			name.Note = strings.TrimPrefix(name.Note+"; "+settled[i].as, "; ")
		}
		price := cost(i)
		if !l.Priced {
			price = page.Cell{Text: "no price yet", Tone: "bad"}
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{name, {Text: words.quantity(c.Lines[i].Qty)}, price}})
	}
	if !b.Labour.IsZero() {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "Work on it"}, {}, cost(len(b.Lines))}})
	}
	if !b.Equipment.IsZero() {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "Appliances and energy"}, {}, cost(len(b.Lines) + 1)}})
	}
	if b.Missing == nil {
		t.Foot = []page.Row{{Cells: []page.Cell{{Text: "A batch"}, {}, {Text: words.money(total)}}}}
	}
	return t
}

// allergenLines gathers allergens through every recipe within, in the words of
// the studio's list.
func (s *Server) allergenLines(x *book.Index, t pricing.Takeoff) ([]page.Figure, string) {
	contains, may, silent := pricing.Allergens(x, t)
	words := func(list []book.Allergen) []string {
		texts := make([]string, len(list))
		for i, a := range list {
			texts[i] = string(a)
		}
		return texts
	}
	statement := document.AllergenStatement(document.MessagesFor("en"), string(x.Book.Studio.AllergenList.Or("eu")), words(contains), words(may))
	var figures []page.Figure
	for _, f := range statement.Facts {
		figures = append(figures, page.Figure{Label: f.Label, Value: f.Value})
	}
	if len(silent) > 0 {
		figures = append(figures, page.Figure{Label: "Nothing is said of", Value: pricing.NamesOf(silent)})
	}
	return figures, "Gathered from what your ingredients state, through every recipe within. The label of what you bought goes first; read it at every delivery."
}

// copyRecipe adds the same recipe under another name.
func (s *Server) copyRecipe(w http.ResponseWriter, r *http.Request) error {
	x, c, err := components.named(s, r)
	if err != nil {
		return err
	}
	c.Name = copyName(x.Book, c.Name)
	c.ID = idFor(c.Name, func(id book.ID) bool { return taken(x, id) })
	undo, err := addObject(r, s, components, c)
	if err != nil {
		return err
	}
	return s.added(w, r, components.at(c.ID), components.path, c.Name+" is added. Give it a name of its own.", undo)
}

// copyName puts a word behind a name, and a number where that is taken too.
func copyName(b book.Book, name string) string {
	for n := 1; ; n++ {
		text := name + ", copy"
		if n > 1 {
			text = fmt.Sprintf("%s, copy %d", name, n)
		}
		if !slices.ContainsFunc(b.Components, func(c book.Component) bool { return c.Name == text }) {
			return text
		}
	}
}

// errNoLines says that a recipe has none.
var errNoLines = errors.New("write at least one line, such as “250 g butter”")
