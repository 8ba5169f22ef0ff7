package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
	"marchpane/templates/page"
)

func (m *routes) cakeEditPages() {
	m.get("/cakes/tiers", m.s.proposeTiers)
	m.get("/cakes/tiers/stacks.svg", m.s.drawStacks)
	m.post("/cakes/tiers", m.s.keepTiers)
	m.get("/cakes/new", m.s.newCake)
	m.post("/cakes/new", m.s.addCake)
	m.post("/cakes/new/edit", m.s.draftNewCake)
	m.post("/cakes/new/preview", m.s.previewCake)
	m.get("/cakes/{id}/edit", m.s.editCake)
	m.post("/cakes/{id}/edit", m.s.draftCake)
	m.post("/cakes/{id}", m.s.saveCake)
	m.post("/cakes/{id}/preview", m.s.previewCake)
	m.post("/cakes/{id}/price", m.s.addListPrice)
	m.get("/cakes/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return confirmRemoval(w, r, m.s, cakes) })
	m.post("/cakes/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return remove(w, r, m.s, cakes) })
}

// items returns what parts can be of, worked out once until something changes.
func (s *Server) items(r *http.Request, x *book.Index) (items, error) {
	return ofBook(r, x, "items", func() (items, error) { return itemsOf(x), nil })
}

// editing is a form of a cake or an extra on its way to the visitor.
type editing struct {
	x       *book.Index
	d       draft
	faults  record.Faults
	version string
	typed   bool      // whether it holds what is not saved
	more    string    // the list that is to have more empty rows
	opened  string    // the tier or list that a phone is to show unfolded
	fresh   bool      // whether it is added, and all of it is to be filled in
	same    page.Link // to what has its name already
}

// beginDraft reads what a form of a cake or an extra needs.
func (s *Server) beginDraft(r *http.Request) (*book.Index, items, error) {
	x, err := s.book(r)
	if err != nil {
		return nil, items{}, err
	}
	t, err := s.items(r, x)
	return x, t, err
}

// typing reads a form that somebody sent.
func (s *Server) typing(r *http.Request) (e editing, f form, err error) {
	if f, err = readForm(r); err != nil {
		return e, f, err
	}
	x, t, err := s.beginDraft(r)
	if err != nil {
		return e, f, err
	}
	return editing{x: x, d: typedDraft(t, f), version: f.version, typed: true}, f, nil
}

func (s *Server) editCake(w http.ResponseWriter, r *http.Request) error {
	x, t, err := s.beginDraft(r)
	if err != nil {
		return err
	}
	c, err := cakes.find(x.Book, book.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	return s.cakeForm(w, r, http.StatusOK, editing{x: x, d: cakeDraft(t, c), version: cakes.version(c)})
}

// cakeForm shows the form of a cake of the book, or of a new one.
func (s *Server) cakeForm(w http.ResponseWriter, r *http.Request, status int, e editing) error {
	id := book.ID(r.PathValue("id"))
	body := page.Design{
		Title: "A new cake", Action: "/cakes/new", Draft: "/cakes/new/edit", Live: "/cakes/new/preview", Cancel: "/cakes", Button: "Add it",
		Lead: "Begin at the bottom tier. What a cake is made of are recipes and what you buy.", Typed: e.typed,
	}
	crumbs := []page.Link{{Text: "Cakes", Href: "/cakes"}, {Text: "New", Current: true}}
	var old book.Cake
	if id != "" {
		var err error
		if old, err = cakes.find(e.x.Book, id); err != nil {
			return err
		}
		at := cakes.at(id)
		body.Title, body.Lead, body.Action, body.Draft, body.Live, body.Cancel, body.Button = old.Name, "", at, at+"/edit", at+"/preview", at, "Save"
		body.Version, body.Remove = e.version, at+"/remove"
		crumbs = []page.Link{{Text: "Cakes", Href: "/cakes"}, {Text: old.Name, Href: at}, {Text: "Change it", Current: true}}
	}
	e.fresh = id == ""
	newDesigner(e, body.Draft).cake(&body)
	var panel page.Panel
	var err error
	switch {
	case e.typed:
		panel, err = s.cakePanel(e.x, e.d, old)
	case e.fresh:
		panel = page.Panel{Tally: emptyTally(), Text: "Give the tier its size and say what it is made of: it is drawn here to scale, and costed as you type."}
	default:
		panel, err = s.storedPanel(r, e.x, old)
	}
	if err != nil {
		return err
	}
	body.Panel = panel
	return s.showAs(w, r, status, "design", body.Title, body, crumbs...)
}

// storedPanel is the panel of a cake as it is stored.
func (s *Server) storedPanel(r *http.Request, x *book.Index, c book.Cake) (p page.Panel, err error) {
	words := wordsOf(x.Book.Studio)
	if p.Drawing, err = cakeDrawing(words, c); err != nil {
		return p, err
	}
	p.Explain = cakes.at(c.ID) + "#explain"
	costing, err := s.costing(r, x, c.ID, s.today())
	if err != nil {
		p.Tally, p.Faults = emptyTally(), remedies(x, err)
		return p, nil
	}
	fillPanel(&p, words, x.Book.Studio, costing)
	return p, nil
}

// cakePanel costs a draft as far as it goes.
func (s *Server) cakePanel(x *book.Index, d draft, old book.Cake) (page.Panel, error) {
	words := wordsOf(x.Book.Studio)
	c, faults := d.cake(old)
	// The id is made of the name when the cake is added; nobody types one.
	faults = slices.DeleteFunc(faults, func(f record.Fault) bool { return f.Path == "id" })
	var p page.Panel
	drawn := c
	drawn.Tiers = slices.DeleteFunc(slices.Clone(c.Tiers), func(t book.Tier) bool { return !sound(t.Form) })
	var err error
	if p.Drawing, err = cakeDrawing(words, drawn); err != nil {
		return p, err
	}
	if c.ID == "" {
		c.ID = "draft"
	}
	if old.ID != "" {
		p.Explain = cakes.at(old.ID) + "#explain"
	}
	if len(faults) == 0 {
		alone := x.Book
		alone.Cakes, alone.Extras = []book.Cake{c}, nil
		others := func(list string, _ int) bool { return list != "cakes" } // they are as they are stored
		faults = boxed(withinFirst(book.ValidateBesides(alone, others), "cakes"))
		if len(faults) == 0 {
			y := book.NewIndex(alone)
			costing, err := pricing.CostCake(y, c.ID, s.rates(y))
			if err == nil {
				fillPanel(&p, words, x.Book.Studio, costing)
				return p, nil
			}
			p.Faults = remedies(x, err)
		}
	}
	p.Tally = emptyTally()
	tell(&p, faults)
	return p, nil
}

// toldAtMost bounds how much of each kind a panel tells at once.
const toldAtMost = 5

// tell says why there is no cost yet: what is still to be filled in, apart from
// what is wrong.
func tell(p *page.Panel, faults record.Faults) {
	for _, f := range faults {
		l := page.Link{Text: capital(boxWords(f.Path)), Href: "#" + page.Field{Name: f.Path}.ID()}
		if f.Problem == record.Missing {
			p.Wanted = append(p.Wanted, l)
		} else {
			l.Text = sentence(l.Text + ": " + f.Problem)
			p.Faults = append(p.Faults, l)
		}
	}
	p.Wanted, p.Faults = fewest(p.Wanted), fewest(p.Faults)
}

// boxWords writes the path of a box by the words that stand above it: "tier 2,
// part 1, how much".
func boxWords(path string) string {
	before, key := "", path
	if i := strings.LastIndex(path, ".") + 1; i > 0 {
		before, key = path[:i], path[i:]
	}
	words := map[string]string{
		"use": "what", "how": "counted", "amount": "how much", "task": "what is done", "role": "by", "setup": "takes", "rate": "and more", "per": "for each", "wait": "or waits",
		"diameter": "across", "length": "long", "width": "wide", "perimeter": "round the edge",
	}
	if word, ok := words[key]; ok && before != "" && !strings.HasSuffix(before, "portion.") {
		return plainPath(before + word)
	}
	return plainPath(path)
}

// remedies says line by line why something cannot be worked out. Each leads to
// what it names, where that is of the book: that is where it is mended.
func remedies(x *book.Index, err error) []page.Link {
	var list []page.Link
	for line := range strings.SplitSeq(wordsOf(x.Book.Studio).daysIn(err.Error()), "\n") {
		list = append(list, page.Link{Text: sentence(line), Href: namedIn(x, line)})
	}
	return fewest(list)
}

// namedIn is the page of the ingredient or recipe that a text names; of several
// that of the longest name.
func namedIn(x *book.Index, text string) (at string) {
	longest := 0
	try := func(name, path string) {
		if len(name) > longest && strings.Contains(text, name) {
			longest, at = len(name), path
		}
	}
	for i := range x.Book.Ingredients {
		try(x.Book.Ingredients[i].Name, ingredients.at(x.Book.Ingredients[i].ID))
	}
	for i := range x.Book.Components {
		try(x.Book.Components[i].Name, components.at(x.Book.Components[i].ID))
	}
	return at
}

func fewest(list []page.Link) []page.Link {
	if len(list) <= toldAtMost {
		return list
	}
	return append(list[:toldAtMost:toldAtMost], page.Link{Text: fmt.Sprintf("and %d more", len(list)-toldAtMost)})
}

// sound reports whether a tier has all its sizes, each of which is one.
func sound(f book.Form) bool {
	if f.Shape == "" || shape.CheckSize("height", f.Height) != nil {
		return false
	}
	for _, name := range f.Shape.Sizes() {
		if q := sizeOf(f, name); !q.Given() || shape.CheckSize(name, q) != nil {
			return false
		}
	}
	return f.Solid().Outline.Given()
}

// withinFirst keeps the faults of the first object of a list, with their paths
// in it. Others were there before.
func withinFirst(faults record.Faults, list string) record.Faults {
	var own record.Faults
	for _, f := range faults {
		if record.Related(f.Path, record.Item(list, 0)) {
			own = append(own, f)
		}
	}
	own, _ = faultsOf(within(own, list, 0))
	return own
}

func emptyTally() []page.Figure {
	return []page.Figure{{Label: "Costs", Value: "–"}, {Label: "Serves", Value: "–"}, {Label: "Sells at", Value: "–"}, {Label: "Margin", Value: "–"}}
}

func fillPanel(p *page.Panel, words words, studio book.Studio, c pricing.Costing) {
	figures, warning := cakeFigures(words, studio, c)
	p.Warning = warning
	p.Tally = emptyTally()
	p.Tally[0].Value = words.money(c.Cost.Total())
	p.Tally[1].Value = words.count(c.Takeoff.Served)
	if c.Offer.HasPrice {
		p.Tally[2].Value = words.money(c.Offer.Shown)
	}
	if m, ok := c.Margin(); ok {
		p.Tally[3].Value = words.percent(m)
		if warning != "" {
			p.Tally[3].Tone = "bad"
		}
	}
	for _, f := range figures {
		if f.Label != "Costs" && f.Label != "Margin" {
			f.Strong, f.Href = false, ""
			p.Rest = append(p.Rest, f)
		}
	}
}

// previewCake answers with the panel while somebody types.
func (s *Server) previewCake(w http.ResponseWriter, r *http.Request) error {
	e, _, err := s.typing(r)
	if err != nil {
		return err
	}
	var old book.Cake
	if id := book.ID(r.PathValue("id")); id != "" {
		if old, err = cakes.find(e.x.Book, id); err != nil {
			return err
		}
	}
	panel, err := s.cakePanel(e.x, e.d, old)
	if err != nil {
		return err
	}
	return s.fragment(w, r, "design", "panel", panel)
}

// draftCake shows the form again with another row or tier. Nothing is saved.
func (s *Server) draftCake(w http.ResponseWriter, r *http.Request) error {
	e, f, err := s.typing(r)
	if err != nil {
		return err
	}
	e.more, e.opened = e.d.do(f.get("do"))
	return s.cakeForm(w, r, http.StatusOK, e)
}

func (s *Server) draftNewCake(w http.ResponseWriter, r *http.Request) error { return s.draftCake(w, r) }

func (s *Server) saveCake(w http.ResponseWriter, r *http.Request) error {
	e, f, err := s.typing(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	now, undo, err := saveObject(r, s, cakes, id, f.version, e.d.cake)
	if faults, ok := faultsOf(err); ok {
		e.faults = boxed(faults)
		return s.cakeForm(w, r, http.StatusUnprocessableEntity, e)
	}
	if shown, err := s.showClash(w, r, err, f, cakes.at(id), cakes.at(id)); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, cakes.at(id), now.Name+" is saved.", undo)
}

// newCake shows the form of a new cake, empty or like another.
func (s *Server) newCake(w http.ResponseWriter, r *http.Request) error {
	x, t, err := s.beginDraft(r)
	if err != nil {
		return err
	}
	c := book.Cake{
		Portion: stack.UsualFinger(),
		Tiers:   []book.Tier{{Name: "bottom", Form: book.Form{Shape: shape.Round}}},
	}
	if like := r.URL.Query().Get("like"); like != "" {
		if c, err = cakes.find(x.Book, book.ID(like)); err != nil {
			return err
		}
		c.Name += ", copy"
	}
	return s.cakeForm(w, r, http.StatusOK, editing{x: x, d: cakeDraft(t, c), typed: r.URL.Query().Get("like") != ""})
}

func (s *Server) addCake(w http.ResponseWriter, r *http.Request) error {
	e, f, err := s.typing(r)
	if err != nil {
		return err
	}
	c, faults := e.d.cake(book.Cake{ID: cakeID(e.x, f.get("name"))})
	if len(faults) == 0 {
		faults, e.same = cakes.likeNamed(e.x.Book.Cakes, c)
	}
	if len(faults) == 0 {
		undo, err := addObject(r, s, cakes, c)
		if err == nil {
			return s.added(w, r, cakes.at(c.ID), cakes.path, c.Name+" is added.", undo)
		}
		var ok bool
		if faults, ok = faultsOf(err); !ok {
			return err
		}
	}
	e.faults = boxed(faults)
	return s.cakeForm(w, r, http.StatusUnprocessableEntity, e)
}

// cakeID makes an id of a cake's name that no page has for itself.
func cakeID(x *book.Index, name string) book.ID {
	return idFor(name, func(id book.ID) bool { return id == "new" || id == "tiers" || taken(x, id) })
}

// addListPrice sells a cake at another price from a day on.
func (s *Server) addListPrice(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	var p book.ListPrice
	var met error
	now, undo, err := saveObject(r, s, cakes, id, "", func(old book.Cake) (book.Cake, record.Faults) {
		var faults record.Faults
		p, faults = readListPrice(f, s.today())
		if met = nil; len(faults) == 0 {
			if met = later(f, "The list price of "+old.Name, old.ListPrices, p); met != nil {
				faults.Add("list_price", "%s", met)
			}
		}
		return pricing.Relisted(old, p), faults
	})
	if shown, err := s.showClash(w, r, met, f, cakes.at(id)+"/price", cakes.at(id)); shown {
		return err
	}
	if faults, ok := faultsOf(err); ok {
		p, err := s.cakePage(r, http.StatusUnprocessableEntity, ask(f.values, faults))
		if err != nil {
			return err
		}
		return s.showAs(w, r, p.status, "cake", p.title, p.body, p.crumbs...)
	}
	if err != nil {
		return err
	}
	words, err := s.studioWords(r)
	if err != nil {
		return err
	}
	return s.done(w, r, cakes.at(id), fmt.Sprintf("%s sells at %s from %s on.", now.Name, words.money(p.Price.Number()), words.day(p.From)), undo)
}

func (s *Server) studioWords(r *http.Request) (words, error) {
	x, err := s.book(r)
	if err != nil {
		return words{}, err
	}
	return wordsOf(x.Book.Studio), nil
}

var errPast = errors.New("list prices of days gone by stay as they were, so that reports of them stay true; choose today or a later day")

func readListPrice(f form, today day.Date) (p book.ListPrice, faults record.Faults) {
	var err error
	if p.Price, err = money.ParsePrice(f.price("list_price")); err != nil {
		faults.Add("list_price", "%s", err)
	}
	if p.From, err = day.Parse(f.get("from")); err == nil && p.From.Before(today) {
		err = errPast
	}
	if err != nil {
		faults.Add("from", "%s", err)
	}
	return p, faults
}

func listPriceForm(a *asking, words words, c book.Cake, today day.Date) page.Form {
	f := page.Form{
		Action: cakes.at(c.ID) + "/price", Title: "Sell it at another price", Button: "Set this price", Guard: true, Version: a.version(datedVersion(c.ListPrices)),
		Lead: "Earlier prices stay, so that quotes and reports of the past stay true.",
		Fields: []page.Field{
			a.field(page.Field{Name: "list_price", Label: "List price, as shown", Kind: "number", Unit: words.currency.Code(), Required: true}),
			a.field(page.Field{Name: "from", Label: "From", Kind: "date", Value: today.String(), Required: true}),
		},
	}
	f.Faults = a.rest()
	return f
}

// listPriceRows are the list prices of a cake, the newest first.
func listPriceRows(words words, c book.Cake) page.Table {
	t := page.Table{Caption: "List prices so far", Heads: []page.Head{{Text: "From"}, {Text: "Price", Right: true}}}
	list := slices.Clone(c.ListPrices)
	slices.SortStableFunc(list, func(a, b book.ListPrice) int { return a.From.DaysUntil(b.From) })
	for _, p := range list {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: words.day(p.From)}, {Text: words.money(p.Price.Number())}}})
	}
	if c.Price.Given {
		first := "always"
		if len(list) > 0 {
			first = "before"
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: first}, {Text: words.money(c.Price.Value.Number())}}})
	}
	return t
}
