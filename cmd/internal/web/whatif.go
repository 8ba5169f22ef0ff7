package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
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
	a := ask(f.values, faults)
	body := page.WhatIf{Moves: movesOf(x, weights, f, a), More: moreField(x), Result: result}
	body.Day = fieldOf(a, page.Field{Name: "on", Label: "With prices of", Kind: "date"}, on.String())
	body.Set = newPriceGroup(x, a)
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
		takeoffs, err := s.takeoffs(r)
		if err != nil {
			return nil, err
		}
		rates := pricing.NewRates(x, s.priceDay(r))
		var costings []pricing.Costing
		for _, t := range takeoffs[:min(len(takeoffs), most)] {
			if c, err := t.Costing(x, rates); err == nil {
				costings = append(costings, c)
			}
		}
		if len(costings) == 0 {
			return nil, nil
		}
		return pricing.ExposuresOfAll(costings, exact.Frac(1, 10))
	})
}

func (s *Server) takeoffs(r *http.Request) ([]pricing.Takeoff, error) {
	x, err := s.book(r)
	if err != nil {
		return nil, err
	}
	return ofBook(r, x, "takeoffs", func() ([]pricing.Takeoff, error) {
		p, err := s.store(r).PricedOn(r.Context(), s.today())
		return p.Takeoffs, err
	})
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
			note := words.percent(e.Share) + " of what cakes cost"
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

// ranking ranks cakes or quotes by what a change does to their margins.
type ranking struct {
	mu  sync.Mutex // a catalogue looks up rates, which belong to one request
	cat *catalogue.Catalogue
	at  []int // of each in the list that it was made of
}

func (k *ranking) move(perUnit map[book.ID]exact.Number) ([]catalogue.Moved, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.cat.Move(perUnit)
}

// cakeRanking ranks every cake that can be costed today.
func (s *Server) cakeRanking(r *http.Request, x *book.Index) (*ranking, error) {
	return ofBook(r, x, "cake ranking "+s.priceDay(r).String(), func() (*ranking, error) {
		takeoffs, err := s.takeoffs(r)
		if err != nil {
			return nil, err
		}
		rates := pricing.NewRates(x, s.priceDay(r))
		k := &ranking{}
		var list []catalogue.Cake
		for i, t := range takeoffs {
			c, err := t.Costing(x, rates)
			if err != nil {
				continue // a price is missing; its own page says which
			}
			k.at = append(k.at, i)
			list = append(list, catalogue.Cake{ID: t.ID, Lines: catalogue.LinesOf(t.Bill), Net: c.Offer.Net, HasPrice: c.Offer.HasPrice && !c.Offer.Net.IsZero()})
		}
		k.cat, err = catalogue.New(rates, x.Book.Studio.Currency.Places(), list, func(i int) (pricing.Bill, error) { return takeoffs[k.at[i]].Bill, nil })
		return k, err
	})
}

// openQuotes are the offers and orders that bind the studio on a day, and their
// ranking by a book. Of what is kept only the quotes that moved are read again:
// they are long, and a studio has many.
type openQuotes struct {
	mu    sync.Mutex
	on    day.Date
	stamp int64
	open  []openQuote
	rank  *ranking
}

type openQuote struct {
	quote.Quote
	lines []catalogue.Line // of its frozen bill; none where that holds what the book has no more
}

// openQuotes returns the open quotes in the order of their events, ranked.
func (s *Server) openQuotes(r *http.Request, x *book.Index) ([]openQuote, *ranking, error) {
	k, err := ofBook(r, x, "open quotes", func() (*openQuotes, error) { return &openQuotes{}, nil })
	if err != nil {
		return nil, nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	on := s.priceDay(r)
	if k.on != on {
		k.on, k.stamp, k.open, k.rank = on, 0, nil, nil
	}
	fresh, moved, stamp, err := s.store(r).OpenMoved(r.Context(), on, k.stamp)
	if err != nil {
		return nil, nil, err
	}
	if k.rank != nil && len(fresh)+len(moved) == 0 {
		k.stamp = stamp
		return k.open, k.rank, nil
	}
	open := slices.DeleteFunc(slices.Clone(k.open), func(q openQuote) bool { return slices.Contains(moved, q.Number) })
	for _, q := range fresh {
		one := openQuote{Quote: q}
		if bill, err := q.Basis.Bill(x); err == nil {
			one.lines = catalogue.LinesOf(bill)
		}
		open = append(open, one)
	}
	sortBy(open, func(a, b openQuote) int {
		return cmp.Or(b.Offer.EventDate.DaysUntil(a.Offer.EventDate), cmp.Compare(a.Number, b.Number))
	})
	rank, err := rankQuotes(x, pricing.NewRates(x, on), open)
	if err != nil {
		return nil, nil, err
	}
	k.stamp, k.open, k.rank = stamp, open, rank
	return open, rank, nil
}

// rankQuotes ranks quotes by their frozen bills.
func rankQuotes(x *book.Index, rates *pricing.Rates, open []openQuote) (*ranking, error) {
	k := &ranking{}
	priced := map[book.ID]bool{}
	hasPrice := func(l catalogue.Line) bool {
		known, asked := priced[l.Resource]
		if !asked {
			_, err := rates.Of(l.Resource, l.Kind)
			known = err == nil
			priced[l.Resource] = known
		}
		return known
	}
	var list []catalogue.Cake
	for i, q := range open {
		if len(q.lines) == 0 || slices.ContainsFunc(q.lines, func(l catalogue.Line) bool { return !hasPrice(l) }) {
			continue // of something that has no price any more
		}
		k.at = append(k.at, i)
		list = append(list, catalogue.Cake{ID: book.ID(q.Number), Lines: q.lines, Net: q.Basis.Net, HasPrice: !q.Basis.Net.IsZero()})
	}
	var err error
	k.cat, err = catalogue.New(rates, x.Book.Studio.Currency.Places(), list, func(i int) (pricing.Bill, error) { return open[k.at[i]].Basis.Bill(x) })
	return k, err
}

// moved works out what changes do: all is ranked, and what the page shows is
// costed to the digit.
func (s *Server) moved(r *http.Request, x *book.Index, query url.Values, changes []pricing.Change, categories []pricing.CategoryChange) (out page.Moved, err error) {
	refuse := func(err error) (page.Moved, error) {
		out.Faults = append(out.Faults, sentence(err.Error()))
		return out, nil
	}
	rates := pricing.NewRates(x, s.priceDay(r))
	if changes, err = pricing.SpellOut(x.Book, changes, categories); err != nil {
		return refuse(err)
	}
	if o := x.Book.Overhead; o != nil && o.Method == book.ByPercent && slices.ContainsFunc(changes, func(c pricing.Change) bool { return c.Resource == book.OverheadID }) {
		return refuse(fmt.Errorf("overhead is a share of all other costs here and has no price of its own"))
	}
	perUnit, err := pricing.Moves(x, rates, changes...)
	if err != nil {
		return refuse(err)
	}
	words := wordsOf(x.Book.Studio)
	var labels []string
	for _, c := range changes {
		labels = append(labels, changeLabel(words, x, c))
	}
	out.Title = strings.Join(labels[:min(len(labels), 6)], ", ")
	if len(labels) > 6 {
		out.Title += fmt.Sprintf(" and %d more", len(labels)-6)
	}
	out.Title = capital(out.Title)
	query = moving(query)
	for _, v := range []struct{ ending, text string }{{".xlsx", "Workbook (XLSX)"}, {".svg", "Save the plot (SVG)"}, {".png", "As a picture (PNG)"}} {
		out.Files = append(out.Files, page.Link{Text: v.text, Href: withQuery("/what-if/impact"+v.ending, query)})
	}
	if err := s.movedCakes(r, x, query, rates, perUnit, &out); err != nil {
		return out, err
	}
	return out, s.movedQuotes(r, x, rates, perUnit, &out)
}

func (s *Server) movedCakes(r *http.Request, x *book.Index, query url.Values, rates *pricing.Rates, perUnit map[book.ID]exact.Number, out *page.Moved) error {
	words := wordsOf(x.Book.Studio)
	k, err := s.cakeRanking(r, x)
	if err != nil {
		return err
	}
	order, err := k.move(perUnit)
	if err != nil {
		return err
	}
	if len(order) == 0 {
		out.Text = "No cake uses any of it."
		return nil
	}
	takeoffs, err := s.takeoffs(r)
	if err != nil {
		return err
	}
	floor := x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction()
	least := floor.Mul(exact.Int(1_000_000))
	was, is := 0, 0
	for _, m := range order {
		if m.HasMargin && exact.Int(m.Was).Cmp(least) < 0 {
			was++
		}
		if m.HasMargin && exact.Int(m.Is).Cmp(least) < 0 {
			is++
		}
	}
	out.Figures = []page.Figure{{Label: "Cakes it touches", Value: fmt.Sprint(len(order))}}
	if !floor.IsZero() {
		f := page.Figure{Label: "Below your floor of " + words.percent(floor), Value: fmt.Sprintf("%d, today %d", is, was)}
		if is > was {
			f.Tone = "bad"
		}
		out.Figures = append(out.Figures, f)
	}
	shown, pager := paged(order, query, "/what-if")
	out.Pager = pager
	out.Cakes = page.Table{Caption: "Cakes, the greatest loss first", Heads: []page.Head{
		{Text: "Cake"}, {Text: "Costs now", Right: true}, {Text: "Then", Right: true}, {Text: "Sells at", Right: true}, {Text: "Margin now", Right: true}, {Text: "Then", Right: true}, {Text: "Price to restore it", Right: true},
	}}
	breakEven, unit := breakEvenUnit(x, rates, perUnit)
	if unit != "" {
		out.Cakes.Heads = append(out.Cakes.Heads, page.Head{Text: "Meets the floor at", Right: true})
	}
	var pairs []plot.Pair
	for _, m := range shown {
		c, err := takeoffs[k.at[m.Cake]].Costing(x, rates)
		if err != nil {
			return err
		}
		im, _, err := pricing.ImpactOf(x.Book.Studio, c, perUnit)
		if err != nil {
			return err
		}
		row := []page.Cell{{Text: c.Cake.Name, Href: cakes.at(c.Cake.ID)}, {Text: words.money(im.Before)}, {Text: words.money(im.After)}, {}, {}, {}, {}}
		if im.HasMargin {
			row[3].Text, row[4].Text, row[5].Text = words.money(im.Shown), words.percent(im.MarginWas), words.percent(im.MarginIs)
			if im.BelowFloor {
				row[5].Tone, row[5].Note = "bad", "below your floor"
			}
			pairs = append(pairs, plot.Pair{Name: c.Cake.Name, Before: coordinate(im.MarginWas), After: coordinate(im.MarginIs), Alarm: im.BelowFloor, Text: words.percent(im.MarginWas) + " → " + words.percent(im.MarginIs)})
		}
		if im.Restorable {
			row[6].Text = words.money(im.Restoring)
		}
		if unit != "" {
			row = append(row, page.Cell{})
			if im.HasMargin && im.Reachable {
				row[7].Text = words.money(im.BreakEven.Mul(breakEven)) + " " + unit
			} else if im.HasMargin {
				row[7].Text = "no price"
			}
		}
		out.Cakes.Rows = append(out.Cakes.Rows, page.Row{Cells: row})
	}
	if len(pairs) == 0 {
		return nil
	}
	text := ""
	if !floor.IsZero() {
		text = "floor " + words.percent(floor)
	}
	out.Plot.SVG, err = drawn(plot.Pairs(out.Title, "margin before (pale) and after, the greatest loss first", coordinate(floor), text, pairs))
	return err
}

func (s *Server) movedQuotes(r *http.Request, x *book.Index, rates *pricing.Rates, perUnit map[book.ID]exact.Number, out *page.Moved) error {
	words := wordsOf(x.Book.Studio)
	out.QuotesNo = "No open quote or order uses any of it."
	quotes, k, err := s.openQuotes(r, x)
	if err != nil {
		return err
	}
	order, err := k.move(perUnit)
	if err != nil {
		return err
	}
	const most = 30
	out.Quotes = page.Table{Caption: "Quotes and orders, the greatest loss first", Heads: []page.Head{
		{Text: "Quote"}, {Text: "Event"}, {Text: "Sold at", Right: true}, {Text: "Today", Right: true}, {Text: "Then", Right: true}, {Text: "Less earned", Right: true},
	}}
	after := rates.With(perUnit)
	for _, m := range order[:min(len(order), most)] {
		q := quotes[k.at[m.Cake]]
		st, err := quote.Stand(x, q.Quote, rates, after)
		if err != nil {
			return err
		}
		row := []page.Cell{{Text: q.Offer.Client.Name, Href: "/quotes/" + q.Number, Note: q.Number}, {Text: words.day(q.Offer.EventDate)}, {}, {}, {}, {Text: words.money(st.Lost())}}
		if st.HasMargin {
			row[2].Text, row[3].Text, row[4].Text = words.percent(st.MarginWas), words.percent(st.MarginNow), words.percent(st.MarginIs)
		}
		out.Quotes.Rows = append(out.Quotes.Rows, page.Row{Cells: row})
	}
	if len(order) > most {
		out.Quotes.Caption += fmt.Sprintf(": the first %d of %d", most, len(order))
		out.Quotes.Shown = true
	}
	if len(order) > 0 {
		out.Figures = append(out.Figures, page.Figure{Label: "Open quotes and orders", Value: fmt.Sprint(len(order))})
	}
	return nil
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
