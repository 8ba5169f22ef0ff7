package web

import (
	"net/http"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/templates/page"
)

func (m *routes) extraPages() {
	m.get("/studio/extras", m.s.listExtras)
	m.get("/studio/extras/new", m.s.editExtra)
	m.post("/studio/extras/new", m.s.saveExtra)
	m.post("/studio/extras/new/edit", m.s.draftExtra)
	m.post("/studio/extras/new/preview", m.s.previewExtra)
	m.get("/studio/extras/{id}", m.s.editExtra)
	m.post("/studio/extras/{id}", m.s.saveExtra)
	m.post("/studio/extras/{id}/edit", m.s.draftExtra)
	m.post("/studio/extras/{id}/preview", m.s.previewExtra)
	m.get("/studio/extras/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return confirmRemoval(w, r, m.s, extras) })
	m.post("/studio/extras/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return remove(w, r, m.s, extras) })
}

// listExtras shows what is sold beside cakes, with what each costs an order to
// which nothing is driven.
func (s *Server) listExtras(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	body := page.List{}
	if len(x.Book.Extras) == 0 {
		body.Empty = &page.Empty{
			Title: "No extras yet", Text: "Delivery, a stand for hire, a box of favours: what is sold beside cakes, and what it costs you to give.",
			Actions: []page.Link{{Text: "Add the first", Href: extras.path + "/new"}},
		}
		return s.show(w, r, "extras", "Extras", body, studioCrumbs("Extras")...)
	}
	rates := s.rates(x)
	body.Rows = page.Table{Caption: "Extras at today's prices", Brief: true, Heads: []page.Head{{Text: "Extra"}, {Text: "Costs", Right: true}, {Text: "Price", Right: true, Key: true}, {Text: "And a km", Right: true}, {Text: "Margin", Right: true}}}
	shown, pager := paged(x.Book.Extras, r.URL.Query(), extras.path)
	body.Pager = pager
	for i := range shown {
		e := &shown[i]
		note := ""
		switch {
		case e.Hidden.Or(false):
			note = "never shown or charged"
		case e.Always.Or(false):
			note = "comes with every quote"
		}
		price, perKm, cost, margin := page.Cell{}, page.Cell{}, page.Cell{Text: "a price is missing", Tone: "bad"}, page.Cell{}
		if e.Price.Given {
			price.Text = words.money(e.Price.Value.Number())
		}
		if e.PricePerKm.Given {
			perKm.Text = words.money(e.PricePerKm.Value.Number())
		}
		if c, err := extraCost(x, rates, e, exact.Int(0)); err == nil {
			cost = page.Cell{Text: words.money(c.Total())}
			if m, ok := extraMargin(x, e, c); ok {
				margin.Text = words.percent(m)
			}
		}
		body.Rows.Rows = append(body.Rows.Rows, page.Row{Cells: []page.Cell{{Text: e.Name, Href: extras.at(e.ID), Note: note}, cost, price, perKm, margin}})
	}
	return s.show(w, r, "extras", "Extras", body, studioCrumbs("Extras")...)
}

func extraCost(x *book.Index, rates *pricing.Rates, e *book.Extra, km exact.Number) (pricing.Cost, error) {
	t, err := pricing.TakeExtra(x, e.ID, km)
	if err != nil {
		return pricing.Cost{}, err
	}
	return pricing.CostOf(t.Bill, rates)
}

// extraMargin is what an extra earns where nothing is driven for it.
func extraMargin(x *book.Index, e *book.Extra, c pricing.Cost) (exact.Number, bool) {
	if !e.Price.Given {
		return exact.Number{}, false
	}
	return pricing.Margin(pricing.NetOf(x.Book.Studio, e.Price.Value.Number(), pricing.ExtraTaxRate(x.Book.Studio, e)), c.Total())
}

func (s *Server) editExtra(w http.ResponseWriter, r *http.Request) error {
	x, t, err := s.beginDraft(r)
	if err != nil {
		return err
	}
	e := editing{x: x, d: extraDraft(t, book.Extra{})}
	if id := book.ID(r.PathValue("id")); id != "" {
		v, err := extras.find(x.Book, id)
		if err != nil {
			return err
		}
		e.d, e.version = extraDraft(t, v), extras.version(v)
	}
	return s.extraForm(w, r, http.StatusOK, e)
}

// extraForm shows the form of an extra of the book, or of a new one.
func (s *Server) extraForm(w http.ResponseWriter, r *http.Request, status int, e editing) error {
	id := book.ID(r.PathValue("id"))
	at := extras.path + "/new"
	body := page.Design{Title: "A new extra", Lead: "What is sold beside cakes, or always comes with them.", Action: at, Cancel: extras.path, Button: "Add it", Typed: e.typed}
	var old book.Extra
	if id != "" {
		var err error
		if old, err = extras.find(e.x.Book, id); err != nil {
			return err
		}
		at = extras.at(id)
		body.Title, body.Lead, body.Action, body.Button, body.Version, body.Remove = old.Name, "", at, "Save", e.version, at+"/remove"
	}
	body.Draft, body.Live = at+"/edit", at+"/preview"
	e.fresh = id == ""
	newDesigner(e, body.Draft).extra(&body)
	if body.Panel = s.extraPanel(e.x, e.d, old); e.fresh && !e.typed {
		body.Panel.Wanted, body.Panel.Faults = nil, nil
		body.Panel.Text = "Say what it takes, and see here what it costs as you type."
	}
	return s.showAs(w, r, status, "design", body.Title, body, studioCrumbs(body.Title, page.Link{Text: "Extras", Href: extras.path})...)
}

// extraPanel costs a draft as far as it goes: for an order close by, and for
// one at a distance.
func (s *Server) extraPanel(x *book.Index, d draft, old book.Extra) page.Panel {
	words := wordsOf(x.Book.Studio)
	if old.ID == "" {
		old.ID = "draft" // it gets its own with its name
	}
	e, faults := d.extra(old)
	p := page.Panel{Tally: []page.Figure{{Label: "Costs", Value: "–"}, {Label: "Price", Value: "–"}, {Label: "Margin", Value: "–"}}}
	if len(faults) == 0 {
		alone := x.Book
		alone.Cakes, alone.Extras = nil, []book.Extra{e}
		if faults = boxed(withinFirst(book.ValidateBesides(alone, func(list string, _ int) bool { return list != "extras" }), "extras")); len(faults) == 0 {
			y := book.NewIndex(alone)
			rates := s.rates(y)
			near, err := extraCost(y, rates, &e, exact.Int(0))
			if err != nil {
				p.Faults = remedies(x, err)
				return p
			}
			p.Tally[0].Value = words.money(near.Total())
			if e.Price.Given {
				p.Tally[1].Value = words.money(e.Price.Value.Number())
			}
			if m, ok := extraMargin(y, &e, near); ok {
				p.Tally[2].Value = words.percent(m)
			}
			p.Text = "For an order that is fetched."
			if far, err := extraCost(y, rates, &e, exact.Int(20)); err == nil && !far.Total().Equal(near.Total()) {
				p.Rest = []page.Figure{{Label: "Costs, with 20 km driven", Value: words.money(far.Total())}}
			}
			return p
		}
	}
	tell(&p, faults)
	return p
}

func (s *Server) previewExtra(w http.ResponseWriter, r *http.Request) error {
	e, _, err := s.typing(r)
	if err != nil {
		return err
	}
	var old book.Extra
	if id := book.ID(r.PathValue("id")); id != "" {
		if old, err = extras.find(e.x.Book, id); err != nil {
			return err
		}
	}
	return s.fragment(w, r, "design", "panel", s.extraPanel(e.x, e.d, old))
}

func (s *Server) draftExtra(w http.ResponseWriter, r *http.Request) error {
	e, f, err := s.typing(r)
	if err != nil {
		return err
	}
	e.more, e.opened = e.d.do(f.get("do"))
	return s.extraForm(w, r, http.StatusOK, e)
}

func (s *Server) saveExtra(w http.ResponseWriter, r *http.Request) error {
	e, f, err := s.typing(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	if id == "" {
		return s.addExtra(w, r, e, f)
	}
	now, undo, err := saveObject(r, s, extras, id, f.version, e.d.extra)
	if faults, ok := faultsOf(err); ok {
		e.faults = boxed(faults)
		return s.extraForm(w, r, http.StatusUnprocessableEntity, e)
	}
	if shown, err := s.showClash(w, r, err, f, extras.at(id), extras.at(id)); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, extras.at(id), now.Name+" is saved.", undo)
}

func (s *Server) addExtra(w http.ResponseWriter, r *http.Request, e editing, f form) error {
	id := idFor(f.get("name"), func(id book.ID) bool { return id == "new" || taken(e.x, id) })
	v, faults := e.d.extra(book.Extra{ID: id})
	if len(faults) == 0 {
		faults, e.same = extras.likeNamed(e.x.Book.Extras, v)
	}
	if len(faults) == 0 {
		undo, err := addObject(r, s, extras, v)
		if err == nil {
			return s.added(w, r, extras.at(id), extras.path, v.Name+" is added.", undo)
		}
		var ok bool
		if faults, ok = faultsOf(err); !ok {
			return err
		}
	}
	e.faults = boxed(faults)
	return s.extraForm(w, r, http.StatusUnprocessableEntity, e)
}
