package web

import (
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

func (m *routes) whatIfPages() {
	m.section(section{name: "What if", path: "/what-if", key: "w"})
	m.get("/what-if", m.s.showWhatIf)
	for _, ending := range []string{".xlsx", ".svg", ".png"} {
		m.get("/what-if/impact"+ending, m.s.impactPaper)
	}
	m.get("/what-if/reprice", m.s.showReprice)
	m.post("/what-if/reprice", m.s.applyReprice)
}

// The boxes of the page: move.butter moves one price by so many per cent,
// move.in:dairy those of a category; also keeps a price on the page that was
// asked for.
const (
	movePrefix     = "move."
	categoryPrefix = "in:"
)

// showWhatIf moves prices, and ranks every cake and open quote by what that
// does to its margin. Nothing is changed.
func (s *Server) showWhatIf(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	query := r.URL.Query()
	f := form{values: query}
	changes, categories, on, faults := s.readChanges(r)
	var result page.Moved
	if len(faults) == 0 && len(changes)+len(categories) > 0 {
		if result, err = s.moved(r, x, query, changes, categories); err != nil {
			return err
		}
	}
	if wantsFragment(r) && result.Title != "" {
		return s.fragment(w, r, "whatif", "moved", result)
	}
	weights, err := s.weights(r, x)
	if err != nil {
		return err
	}
	if result.Title == "" && len(result.Faults)+len(faults) == 0 {
		if result.Exposures, err = exposurePlot(weights); err != nil {
			return err
		}
	}
	if wantsFragment(r) {
		for _, fault := range faults {
			result.Faults = append(result.Faults, sentence(moveLabel(x, strings.TrimPrefix(fault.Path, movePrefix))+": "+fault.Problem))
		}
		return s.fragment(w, r, "whatif", "moved", result)
	}
	more, err := ofBook(r, x, "what moves", func() (page.Field, error) { return moreField(x), nil })
	if err != nil {
		return err
	}
	a := ask(f.values, faults)
	body := page.WhatIf{Moves: movesOf(x, weights, f, a), More: more, Result: result}
	body.Day = fieldOf(a, page.Field{Name: "on", Label: "With prices of", Kind: "date"}, on.String())
	body.Set = newPriceGroup(x, more, a)
	body.Result.Faults = append(body.Result.Faults, a.rest()...)
	return s.show(w, r, "whatif", "What if", body)
}

// readChanges reads all that the address says of what changes, and on which day.
func (s *Server) readChanges(r *http.Request) (changes []pricing.Change, categories []pricing.CategoryChange, on day.Date, faults record.Faults) {
	f := form{values: r.URL.Query()}
	changes, categories, faults = readMoves(f)
	on, wrongDay := s.asOf(r)
	set, wrongSet := readNewPrice(f, changes)
	return append(changes, set...), categories, on, slices.Concat(faults, wrongDay, wrongSet)
}

// readMoves reads the boxes that are filled in.
func readMoves(f form) (changes []pricing.Change, categories []pricing.CategoryChange, faults record.Faults) {
	var names []string
	for name := range f.values {
		if strings.HasPrefix(name, movePrefix) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		what := strings.TrimPrefix(name, movePrefix)
		text := strings.ReplaceAll(strings.TrimSuffix(f.figure(name), "%"), "−", "-")
		if text = strings.TrimSpace(text); text == "" || strings.Trim(text, "+-0.") == "" {
			continue
		}
		factor, err := pricing.ReadFactor(text + " %")
		if err != nil {
			faults.Add(name, "%.30q: %s", text, err)
			continue
		}
		if category, ok := strings.CutPrefix(what, categoryPrefix); ok {
			categories = append(categories, pricing.CategoryChange{Category: category, Factor: factor})
			continue
		}
		changes = append(changes, pricing.Change{Resource: book.ID(what), Factor: factor})
	}
	return changes, categories, faults
}

// weights lists what carries the costs of the studio's cakes, the heaviest
// first. Of a long book the first cakes stand for all.
func (s *Server) weights(r *http.Request, x *book.Index) ([]pricing.Exposure, error) {
	const most = 200
	return ofBook(r, x, "weights "+s.priceDay(r).String(), func() ([]pricing.Exposure, error) {
		return s.exposures(r, x, s.priceDay(r), most, exact.Frac(1, 10))
	})
}

// takeoffs returns those of all cakes, for reading alone.
func (s *Server) takeoffs(r *http.Request) ([]pricing.Takeoff, error) {
	return s.store(r).Takeoffs(r.Context())
}

// movesOf lists the prices that the page offers to move: what was asked for,
// and what weighs most of each kind.
func movesOf(x *book.Index, weights []pricing.Exposure, f form, a *asking) []page.Move {
	var list []page.Move
	seen := map[string]bool{}
	add := func(what, label, note string) {
		if seen[what] || label == "" {
			return
		}
		seen[what] = true
		name := movePrefix + what
		list = append(list, page.Move{Field: a.field(page.Field{Name: name, Label: label, Kind: "number", Unit: "%", Value: f.get(name), Help: note})})
	}
	most := map[pricing.Kind]int{pricing.Ingredient: 5, pricing.Packaging: 1, pricing.Role: 3, pricing.Energy: 1, pricing.Overhead: 1}
	words := wordsOf(x.Book.Studio)
	for _, e := range weights {
		if most[e.Kind] > 0 {
			most[e.Kind]--
			note := words.percent(e.Share)
			add(string(e.Resource), capital(e.Name), note)
		}
	}
	if len(x.Book.Energy) > 0 {
		add(string(book.EnergyID), "Energy", "")
	}
	asked := slices.Clone(f.values["also"])
	for name := range f.values {
		if what, ok := strings.CutPrefix(name, movePrefix); ok && f.get(name) != "" {
			asked = append(asked, what)
		}
	}
	slices.Sort(asked)
	for _, what := range asked {
		was := len(list)
		add(what, moveLabel(x, what), "")
		for i := was; i < len(list); i++ {
			list[i].Kept = what
		}
	}
	return list
}

// moveLabel names what can be moved, and is "" for what cannot.
func moveLabel(x *book.Index, what string) string {
	if category, ok := strings.CutPrefix(what, categoryPrefix); ok {
		if slices.ContainsFunc(x.Book.Ingredients, func(i book.Ingredient) bool { return i.Category.Value == category && category != "" }) {
			return "All of " + category
		}
		return ""
	}
	if _, err := pricing.ResourceKind(x, book.ID(what)); err != nil {
		return ""
	}
	return capital(pricingName(x, book.ID(what)))
}

func pricingName(x *book.Index, id book.ID) string {
	switch id {
	case book.EnergyID:
		return "energy"
	case book.OverheadID:
		return "overhead"
	}
	if role, ok := x.Role(id); ok {
		return role.Name
	}
	if a, ok := x.Appliance(id); ok {
		return a.Name
	}
	if it, ok := x.Item(id); ok {
		return it.Name()
	}
	return string(id)
}

// moreField offers whatever else has a price.
func moreField(x *book.Index) page.Field {
	f := page.Field{Name: "also", Label: "Something else", Kind: "choice", Options: []page.Option{{Value: "", Text: "choose"}}}
	var categories []string
	for _, ing := range x.Book.Ingredients {
		if ing.Category.Value != "" && !slices.Contains(categories, ing.Category.Value) {
			categories = append(categories, ing.Category.Value)
		}
	}
	slices.Sort(categories)
	for _, c := range categories {
		f.Options = append(f.Options, page.Option{Value: categoryPrefix + c, Text: "All of " + c})
	}
	var rest []page.Option
	for _, ing := range x.Book.Ingredients {
		rest = append(rest, page.Option{Value: string(ing.ID), Text: ing.Name})
	}
	byName(rest, func(o page.Option) string { return o.Text }, x.Book.Studio)
	for _, role := range x.Book.Roles {
		f.Options = append(f.Options, page.Option{Value: string(role.ID), Text: role.Name})
	}
	for _, a := range x.Book.Equipment {
		if a.PerHour.Given {
			f.Options = append(f.Options, page.Option{Value: string(a.ID), Text: a.Name})
		}
	}
	if o := x.Book.Overhead; o != nil && o.Method != book.ByPercent {
		f.Options = append(f.Options, page.Option{Value: string(book.OverheadID), Text: "Overhead"})
	}
	f.Options = append(f.Options, rest[:min(len(rest), mostOffered)]...)
	return f
}

// exposurePlot draws which prices matter most.
func exposurePlot(list []pricing.Exposure) (page.Picture, error) {
	var swings []plot.Swing
	for _, e := range list {
		if e.HasSwing {
			points := e.Swing.Mul(exact.Int(100)).Fixed(2)
			swings = append(swings, plot.Swing{Name: e.Name, By: coordinate(e.Swing), Down: "−" + points, Up: "+" + points})
		}
	}
	if len(swings) == 0 {
		return page.Picture{}, nil
	}
	svg, err := drawn(plot.Tornado("What your margins hang on", "percentage points of margin, one of each cake, when a price moves by 10 %: dearer to the left, cheaper to the right", "margin today", swings))
	return page.Picture{SVG: svg}, err
}
