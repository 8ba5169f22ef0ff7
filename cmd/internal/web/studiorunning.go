package web

import (
	"context"
	"net/http"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// runningPages are what a kitchen costs whether or not a cake is made: energy
// by the kWh, and the month's overhead.
func (m *routes) runningPages() {
	m.get("/studio/energy", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.energyPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/studio/energy", m.s.addEnergy)
	m.get("/studio/overhead", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.overheadPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/studio/overhead", m.s.saveOverhead)
}

// saveShare is [saveStudio] for another part of the book that is one of its
// kind.
func saveShare[T any](r *http.Request, s *Server, name, prefix, version string, share func(*book.Book) *T, change func(T) (T, record.Faults)) (back, error) {
	var old, now T
	st := s.store(r)
	_, err := st.Edit(r.Context(), "the pages", s.Now(), func(b book.Book) (book.Book, error) {
		old = *share(&b)
		var faults record.Faults
		if now, faults = change(old); len(faults) > 0 {
			return b, faults
		}
		if version != "" && versionOf(old) != version && versionOf(old) != versionOf(now) {
			return b, clash{version: versionOf(old), name: name, stored: flat(old), typed: flat(now)}
		}
		*share(&b) = now
		return b, nil
	})
	if err != nil {
		return nil, under(err, prefix)
	}
	if versionOf(old) == versionOf(now) {
		return nil, nil
	}
	return func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			if versionOf(*share(&b)) != versionOf(now) {
				return b, tooLate(name)
			}
			*share(&b) = old
			return b, nil
		})
		return name + " is as it was before.", err
	}, nil
}

func (s *Server) energyPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	f := page.Form{Action: "/studio/energy", Title: "A new price", Lead: "From the bill: what a kWh costs with all that is charged for it.", Button: "Add this price", Guard: true, Version: a.version(datedVersion(x.Book.Energy)), Fields: []page.Field{
		a.field(page.Field{Name: "price", Label: "A kWh costs", Kind: "number", Required: true}),
		a.field(page.Field{Name: "from", Label: "From", Kind: "date", Value: s.today().String(), Required: true}),
	}}
	f.Faults = a.rest()
	body := page.Part{Title: "Energy", Lead: "With the power of your equipment, it is what an oven's hour costs.", Forms: []page.Form{f}}
	if now, err := x.Book.EnergyOn(s.today()); err == nil {
		body.Figures = []page.Figure{{Label: "A kWh today", Note: "since " + words.day(now.From), Value: words.price(now.Price), Strong: true}}
	}
	t := page.Table{Caption: "Prices so far", Shown: true, Brief: true, Heads: []page.Head{{Text: "From"}, {Text: "A kWh", Right: true, Key: true}}}
	for _, p := range datedBack(x.Book.Energy, func(a, b book.EnergyPrice) int { return b.From.DaysUntil(a.From) }) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: words.day(p.From)}, {Text: words.price(p.Price)}}})
	}
	if len(t.Rows) > 0 {
		body.Tables = []page.Table{t}
	}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title)...)
}

func (s *Server) addEnergy(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var met error
	undo, err := saveShare(r, s, "Energy", "energy.", "", func(b *book.Book) *[]book.EnergyPrice { return &b.Energy }, func(old []book.EnergyPrice) ([]book.EnergyPrice, record.Faults) {
		p, faults := overlay(book.EnergyPrice{}, settings{"from": f.get("from"), "price": f.price("price")})
		if met = nil; len(faults) == 0 {
			if met = later(f, "The price of energy", old, p); met != nil {
				faults.Add("price", "%s", met)
			}
		}
		return append(slices.Clone(old), p), faults
	})
	if shown, err := s.showClash(w, r, met, f, "/studio/energy", "/studio/energy"); shown {
		return err
	}
	if faults, ok := faultsOf(err); ok {
		return s.energyPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	if err != nil {
		return err
	}
	return s.done(w, r, "/studio/energy", "Energy has a new price.", undo)
}

// overheadFigure says what is in force, and by what it reaches a cake.
func overheadFigure(words words, o book.Overhead, d book.DatedOverhead) string {
	switch o.Method {
	case book.ByPercent:
		return words.rate(d.Share.Value.Fraction()) + " on top"
	case book.ByCake:
		return words.money(d.Amount.Value.Number()) + " a cake"
	}
	return words.money(d.Amount.Value.Number()) + " a month"
}

func (s *Server) overheadPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	o := book.Overhead{Method: book.ByLabourHour}
	if x.Book.Overhead != nil {
		o = *x.Book.Overhead
	}
	f := page.Form{
		Action: "/studio/overhead", Title: "What holds from a day on", Button: "Save", Guard: true, Version: a.version(versionOf(x.Book.Overhead)),
		Lead: "Another way of spreading it takes the place of all that was entered before; another amount is added with its day.",
		Fields: []page.Field{
			a.field(page.Field{Name: "method", Label: "It reaches a cake", Kind: "choice", Value: string(o.Method), Wide: true, Help: "By the hour worked: the month's overhead over the month's hours.", Options: []page.Option{
				{Value: string(book.ByLabourHour), Text: "by the hour worked"}, {Value: string(book.ByPercent), Text: "as a share of all other cost"}, {Value: string(book.ByCake), Text: "as a flat amount a cake"},
			}}),
			a.field(page.Field{Name: "hours", Label: "Hours worked in a month", Value: given(o.Hours), Help: "Needed where it goes by the hour: 140 h."}),
			a.field(page.Field{Name: "amount", Label: "Amount", Kind: "number", Unit: x.Book.Studio.Currency.Code(), Help: "Of the month, or for each cake."}),
			a.field(page.Field{Name: "share", Label: "Or a share", Kind: "number", Unit: "%"}),
			a.field(page.Field{Name: "from", Label: "From", Kind: "date", Value: s.today().String()}),
		},
	}
	f.Faults = a.rest()
	body := page.Part{Title: "Overhead", Lead: "Rent, insurance, the telephone, the van: what is to be paid whether or not a cake is made.", Forms: []page.Form{f}}
	if d, err := o.On(s.today()); err == nil {
		body.Figures = []page.Figure{{Label: "In force today", Note: "since " + words.day(d.From), Value: overheadFigure(words, o, d), Strong: true}}
	}
	t := page.Table{Caption: "Overhead so far", Shown: true, Brief: true, Heads: []page.Head{{Text: "From"}, {Text: "Overhead", Right: true, Key: true}}}
	for _, d := range datedBack(o.Dated, func(a, b book.DatedOverhead) int { return b.From.DaysUntil(a.From) }) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: words.day(d.From)}, {Text: overheadFigure(words, o, d)}}})
	}
	if len(t.Rows) > 0 {
		body.Tables = []page.Table{t}
	}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title)...)
}

func (s *Server) saveOverhead(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	at := 0
	undo, err := saveShare(r, s, "The overhead", "overhead.", f.version, func(b *book.Book) **book.Overhead { return &b.Overhead }, func(old *book.Overhead) (*book.Overhead, record.Faults) {
		return readOverhead(f, old, &at)
	})
	if faults, ok := faultsOf(err); ok {
		for i := range faults {
			if faults[i].Path == record.Item("dated", at) {
				faults[i] = record.Fault{Path: "amount", Problem: "needs the amount, or of a share the percentage, and not both"}
			}
		}
		return s.overheadPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	if shown, err := s.showClash(w, r, err, f, "/studio/overhead", "/studio/overhead"); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, "/studio/overhead", "The overhead is saved.", undo)
}

// readOverhead adds what the form asked for to what there is; at is where.
func readOverhead(f form, old *book.Overhead, at *int) (*book.Overhead, record.Faults) {
	var now book.Overhead
	if old != nil {
		now = *old
	}
	now, faults := overlay(now, settings{"method": f.get("method"), "hours": inUnit(f.figure("hours"), "h")})
	entry, more := overlay(book.DatedOverhead{}, settings{"from": f.get("from"), "amount": f.price("amount"), "share": f.percent("share")})
	same := old != nil && old.Method == now.Method
	unsaid := !entry.Amount.Given && !entry.Share.Given && f.get("amount") == "" && f.get("share") == ""
	if !same {
		now.Dated = nil
	}
	*at = len(now.Dated)
	if !same || !unsaid {
		now.Dated = append(slices.Clone(now.Dated), entry)
		faults = append(faults, more...)
	}
	return &now, faults
}
