package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

func (m *routes) exposurePages() {
	m.get("/cakes/{id}/exposure", m.s.showExposure)
	m.get("/what-if/exposure", m.s.showExposure)
	for _, ending := range []string{".svg", ".png"} {
		m.get("/cakes/{id}/exposure"+ending, m.s.exposurePaper)
		m.get("/what-if/exposure"+ending, m.s.exposurePaper)
	}
}

// mostExposed is how many cakes are taken together before the first stand for
// all.
const mostExposed = 1000

// exposedShown is how many prices are shown until somebody asks for all: what
// follows is small.
const exposedShown = 20

// exposed is what carries a cost, by a step of prices.
type exposed struct {
	name string
	step exact.Number
	on   day.Date
	list []pricing.Exposure
	few  int // how many cakes stand for all; 0 where all are in it
}

// showExposure shows which prices carry the cost of a cake, or of one of every
// cake, and what each does to its margin.
func (s *Server) showExposure(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	e, faults, err := s.exposedTo(r, x)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	query := r.URL.Query()
	at := r.URL.Path
	a := ask(query, faults)
	body := page.Exposed{Title: e.name, Lead: "Which prices carry the cost, and by how much the margin falls or rises when one of them moves while all others stay."}
	crumbs := []page.Link{{Text: "What if", Href: "/what-if"}, {Text: "What carries the cost", Current: true}}
	if id := book.ID(r.PathValue("id")); id != "" {
		body.Places = s.cakePlaces(id, e.on, "exposure")
		crumbs = cakeCrumbs(id, e.name, "What carries its cost")
	}
	body.Form = page.Form{Action: at, Get: true, Button: "Show", Live: at, Target: "exposed", Fields: []page.Field{
		fieldOf(a, page.Field{Name: "step", Label: "Each price moves by", Kind: "number", Unit: "%"}, "10"),
		fieldOf(a, page.Field{Name: "on", Label: "From its price of", Kind: "date"}, e.on.String()),
	}}
	if len(faults) == 0 {
		if body.Result, err = carried(words, e, query, at); err != nil {
			return err
		}
	}
	if wantsFragment(r) {
		for _, fault := range faults {
			body.Result.Faults = append(body.Result.Faults, sentence(fault.Problem))
		}
		return s.fragment(w, r, "exposed", "exposed-result", body.Result)
	}
	return s.show(w, r, "exposed", body.Title, body, crumbs...)
}

// exposedTo works out what the address asks for.
func (s *Server) exposedTo(r *http.Request, x *book.Index) (e exposed, faults record.Faults, err error) {
	f := form{values: r.URL.Query()}
	e.on, faults = s.asOf(r)
	text := f.percent("step")
	if text == "" {
		text = "10 %"
	}
	factor, err := pricing.ReadFactor(text)
	if e.step = factor.Sub(exact.Int(1)); err == nil && e.step.IsZero() {
		err = errors.New("prices have to move; 10 % is usual")
	}
	if err != nil {
		faults.Add("step", "%s", err)
	}
	e.name = "What carries the cost of your cakes"
	id := book.ID(r.PathValue("id"))
	if id != "" {
		c, err := cakes.find(x.Book, id)
		if err != nil {
			return e, nil, err
		}
		e.name = c.Name
	}
	if len(faults) > 0 {
		return e, faults, nil
	}
	if id != "" {
		c, err := s.costing(r, x, id, e.on)
		if err != nil {
			return e, record.Faults{{Problem: err.Error()}}, nil
		}
		e.list, err = pricing.Exposures(c, e.step)
		return e, nil, err
	}
	if len(x.Book.Cakes) > mostExposed {
		e.few = mostExposed
	}
	e.list, err = ofBook(r, x, "exposure "+e.on.String()+" "+e.step.Text(), func() ([]pricing.Exposure, error) {
		return s.exposures(r, x, e.on, mostExposed, e.step)
	})
	return e, nil, err
}

func carried(words words, e exposed, query url.Values, at string) (out page.Carried, err error) {
	if len(e.list) == 0 {
		out.Text = "There is no cake yet that has a cost on that day."
		return out, nil
	}
	if e.few > 0 {
		out.Text = fmt.Sprintf("The first %d cakes stand for all.", e.few)
	}
	f := e.plot(words)
	if out.Plot.SVG, err = drawn(f); err != nil {
		return out, err
	}
	kept := picked(query, "step", "on")
	out.Files = plotFiles(at, kept)
	out.Rows = page.Table{Caption: "What carries the cost, the heaviest first", Brief: true, Heads: []page.Head{
		{Text: "What"}, {Text: "Costs", Right: true, Key: true}, {Text: "Share of the cost", Right: true, Plain: true}, {Text: "Margin for ±" + words.rate(e.step), Right: true},
	}}
	shown := e.list
	if len(shown) > exposedShown && query.Get("all") == "" {
		shown = shown[:exposedShown]
		kept.Set("all", "yes")
		out.All = &page.Link{Text: fmt.Sprintf("All %d", len(e.list)), Href: withQuery(at, kept)}
	}
	for _, v := range shown {
		cell := page.Cell{Text: capital(v.Name), Href: resourceAt(v.Resource, v.Kind)}
		switch v.Kind {
		case pricing.Energy, pricing.Overhead: // are called so
		case pricing.Role:
			cell.Note = "work"
		default:
			cell.Note = v.Kind.String()
		}
		swing := page.Cell{}
		if v.HasSwing {
			swing.Text = "∓" + v.Swing.Mul(exact.Int(100)).Fixed(2) + " points"
		}
		out.Rows.Rows = append(out.Rows.Rows, page.Row{Cells: []page.Cell{
			cell, {Text: words.money(v.Amount)}, {Text: words.percent(v.Share), Bar: &page.Bar{Share: share(v.Share), Tone: "1"}}, swing,
		}})
	}
	return out, nil
}

// plot draws what the margin hangs on.
func (e exposed) plot(words words) plot.Figure {
	var swings []plot.Swing
	for _, v := range e.list {
		if v.HasSwing {
			points := v.Swing.Mul(exact.Int(100)).Fixed(2)
			swings = append(swings, plot.Swing{Name: v.Name, By: coordinate(v.Swing), Down: "−" + points, Up: "+" + points})
		}
	}
	return plot.Tornado(e.name, "percentage points of margin when a price moves by "+words.rate(e.step)+": dearer to the left, cheaper to the right", "margin today", swings)
}

// exposurePaper is the plot to save.
func (s *Server) exposurePaper(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	e, faults, err := s.exposedTo(r, x)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return faults
	}
	name := "exposure"
	if id := r.PathValue("id"); id != "" {
		name = id + "-exposure"
	}
	return s.savePlot(w, r, name, path.Ext(r.URL.Path), e.plot(wordsOf(x.Book.Studio)))
}

// resourceAt is the page of what has a price, "" where it has none of its own.
func resourceAt(id book.ID, kind pricing.Kind) string {
	switch kind {
	case pricing.Ingredient, pricing.Packaging:
		return ingredients.at(id)
	case pricing.Role:
		return "/studio/roles/" + string(id)
	case pricing.Equipment:
		return "/studio/equipment/" + string(id)
	case pricing.Energy:
		return "/studio/energy"
	case pricing.Overhead:
		return "/studio/overhead"
	}
	return ""
}

// cakePlaces leads to what there is to see of a cake.
func (s *Server) cakePlaces(id book.ID, on day.Date, here string) []page.Link {
	var list []page.Link
	for _, v := range []struct {
		name, path, text string
		query            url.Values // of those that rest on the prices of a day
	}{
		{"", "", "The cake", s.onDay(on)}, {"bill", "/bill", "What it takes", nil},
		{"exposure", "/exposure", "What carries its cost", s.onDay(on)}, {"outlook", "/outlook", "On a day ahead", nil},
	} {
		list = append(list, page.Link{Text: v.text, Href: withQuery(cakes.at(id)+v.path, v.query), Current: v.name == here})
	}
	return list
}

func cakeCrumbs(id book.ID, name, here string) []page.Link {
	return []page.Link{{Text: "Cakes", Href: "/cakes"}, {Text: name, Href: cakes.at(id)}, {Text: here, Current: true}}
}
