package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

func (s *Server) showIngredient(w http.ResponseWriter, r *http.Request) error {
	return s.ingredientPage(w, r, http.StatusOK, returned{})
}

// returned is a form that comes back with faults, and which of the page's forms
// it is.
type returned struct {
	which  string
	typed  url.Values
	faults record.Faults
}

// of returns what was typed into one of the page's forms and what is wrong with
// it: nothing where another form came back.
func (v returned) of(which string) *asking {
	if v.which != which {
		return ask(nil, nil)
	}
	return ask(v.typed, v.faults)
}

// ingredientPage shows an ingredient, with one of its forms as it came back.
func (s *Server) ingredientPage(w http.ResponseWriter, r *http.Request, status int, came returned) error {
	x, ing, err := ingredients.named(s, r)
	if err != nil {
		return err
	}
	id := ing.ID
	users, err := usedIn(r, x, ids(ing, id)...)
	if err != nil {
		return err
	}
	today := s.today()
	query := r.URL.Query()
	history, span := lookedBack(x.Book.Studio, &ing, query, today)
	body := page.Ingredient{
		Title: ing.Name, Figures: append(ingredientFigures(x.Book.Studio, &ing, today), historyFigures(x.Book.Studio, &ing, history)...),
		Price: priceForm(came.of("price"), &ing, today), Span: span,
		Details: ingredientForm(came.of("details"), ing, ingredients.at(id)), Users: fewUsers(users),
		Remove: ingredients.at(id) + "/remove",
	}
	body.Details.Version = came.of("details").version(ingredients.version(ing))
	body.Past, body.Pager = pastPrices(x.Book.Studio, &ing, history, query)
	knownFor(&body, ing, query.Get("like"))
	if len(history.Entries) > 1 {
		body.Files = plotFiles(ingredients.at(id)+"/history", picked(query, "since", "until"))
		if body.History.SVG, err = drawn(HistoryPlot(x.Book.Studio, &ing, history, today)); err != nil {
			return err
		}
	}
	return s.showAs(w, r, status, "ingredient", ing.Name, body, page.Link{Text: "Prices", Href: "/prices"}, page.Link{Text: ing.Name, Current: true})
}

func ingredientFigures(studio book.Studio, ing *book.Ingredient, today day.Date) []page.Figure {
	words := wordsOf(studio)
	p, err := ing.PriceOn(today)
	if err != nil {
		return []page.Figure{{Label: "In force today", Value: "no price yet", Tone: "bad"}}
	}
	figures := []page.Figure{
		{Label: "In force today", Note: words.pack(p.Pack) + ", since " + words.day(p.From), Value: words.money(p.Price.Number())},
		{Label: "That comes to", Value: words.per(p.PerBase(studio), ing.Measure), Strong: true},
	}
	if ing.TrimYield.Given {
		usable := p.PerBase(studio).Quo(ing.TrimYield.Value.Fraction())
		figures = append(figures, page.Figure{Label: "Once trimmed", Note: words.rate(ing.TrimYield.Value.Fraction()) + " of it is used", Value: words.per(usable, ing.Measure)})
	}
	if change, _, ok := priceChange(studio, ing, today); ok && !change.IsZero() {
		figures = append(figures, page.Figure{Label: "Against a month ago", Value: words.change(change)})
	}
	return figures
}

// ingredientForm asks for what is true of an ingredient whatever it costs.
func ingredientForm(a *asking, ing book.Ingredient, action string) page.Form {
	measures := []page.Option{{Value: "mass", Text: "weight"}, {Value: "volume", Text: "volume"}, {Value: "count", Text: "the piece"}, {Value: "length", Text: "length"}, {Value: "area", Text: "area"}}
	f := page.Form{Action: action, Title: "What it is", Button: "Save", Guard: true}
	trim := ""
	if ing.TrimYield.Given {
		trim = percentFigure(ing.TrimYield.Value)
	}
	kind := string(ing.Kind.Or(book.Edible))
	dimension := ""
	if ing.Measure != 0 {
		dimension = ing.Measure.String()
	}
	f.Fields = []page.Field{
		a.field(page.Field{Name: "name", Label: "Name", Value: ing.Name, Required: true}),
		a.field(page.Field{Name: "kind", Label: "For eating or for packing", Kind: "choice", Value: kind, Options: []page.Option{{Value: string(book.Edible), Text: "eaten"}, {Value: string(book.Packaging), Text: "packaging"}}}),
		a.field(page.Field{Name: "category", Label: "Category", Value: ing.Category.Value, Help: "A word of your own: dairy, sugar, boxes."}),
		a.field(page.Field{Name: "measure", Label: "Bought by", Kind: "choice", Value: dimension, Options: measures}),
		a.field(page.Field{Name: "density", Label: "Weighs", Value: given(ing.Density), Help: "For recipes that pour or spoon it: 1.03 g/ml, or 0.53 g/ml for flour."}),
		a.field(page.Field{Name: "each", Label: "One piece weighs", Value: given(ing.Each), Help: "As you buy it, shell and all: 60 g."}),
		a.field(page.Field{Name: "trim_yield", Label: "What is left after trimming", Kind: "number", Unit: "%", Value: trim, Help: "Empty where all of it is used."}),
		a.field(page.Field{Name: "supplier", Label: "Only from", Value: ing.Supplier.Value, Help: "Name a supplier, and only their prices count."}),
	}
	f.Groups = labelGroups(a, ing)
	f.Faults = a.rest()
	return f
}

// folded is a group of boxes that are wanted now and then: it stands open where
// one of them is filled in or wants mending.
func folded(title string, fields ...page.Field) page.Group {
	g := page.Group{Title: title, Fields: fields}
	for _, f := range fields {
		g.Open = g.Open || f.Ticked || len(f.Faults) > 0 || f.Kind != "choice" && f.Kind != "tick" && f.Value != ""
	}
	return g
}

// ingredientSettings is what [ingredientForm] asked for.
func ingredientSettings(f form) settings {
	set := settings{
		"name": f.get("name"), "kind": f.get("kind"), "category": f.get("category"), "measure": f.get("measure"),
		"density": inUnit(f.get("density"), "g/ml"), "each": f.figure("each"), "trim_yield": f.percent("trim_yield"), "supplier": f.get("supplier"),
	}
	labelSettings(f, set)
	return set
}

func (s *Server) saveIngredient(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	now, undo, err := saveObject(r, s, ingredients, id, f.version, func(old book.Ingredient) (book.Ingredient, record.Faults) {
		return overlay(old, ingredientSettings(f))
	})
	if faults, ok := faultsOf(err); ok {
		return s.ingredientPage(w, r, http.StatusUnprocessableEntity, returned{"details", f.values, faults})
	}
	if shown, err := s.showClash(w, r, err, f, ingredients.at(id), ingredients.at(id)); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, ingredients.at(id), now.Name+" is saved.", undo)
}

// taken reports whether an id names anything of the book.
func taken(x *book.Index, id book.ID) bool {
	_, item := x.Item(id)
	_, role := x.Role(id)
	_, appliance := x.Appliance(id)
	_, cake := x.Cake(id)
	_, extra := x.Extra(id)
	return item || role || appliance || cake || extra || id == book.EnergyID || id == book.OverheadID
}

// priceForm asks for a new price.
func priceForm(a *asking, ing *book.Ingredient, today day.Date) page.Form {
	before, _ := ing.PriceOn(today)
	tax := ""
	if before.TaxIn.Given {
		tax = percentFigure(before.TaxIn.Value)
	}
	pack := ""
	if len(ing.Prices) > 0 && before.Pack.Dimension() == ing.Measure {
		pack = before.Pack.String()
	}
	f := page.Form{
		Action: ingredients.at(ing.ID) + "/price", Title: "A new price", Button: "Add this price", Guard: true, Version: a.version(datedVersion(ing.Prices)),
		Lead: "Earlier prices stay, so that you can look back.",
		Live: ingredients.at(ing.ID) + "/price/preview", Target: "effect",
		Fields: []page.Field{
			a.field(page.Field{Name: "price", Label: "A pack costs", Kind: "number", Required: true}),
			a.field(page.Field{Name: "pack", Label: "A pack holds", Value: pack, Required: true, Help: "5 kg, or 10 x 250 g."}),
			a.field(page.Field{Name: "from", Label: "From", Kind: "date", Value: today.String(), Required: true}),
			a.field(page.Field{Name: "new_supplier", Label: "Supplier", Value: before.Supplier.Value}),
		},
	}
	// Only where a first pack asks for it: beside that pack.
	if box := a.field(page.Field{Name: "density", Label: "Weighs", Help: "1.03 g/ml; weigh 100 ml and divide by 100."}); len(box.Faults) > 0 || box.Value != "" {
		f.Fields = slices.Insert(f.Fields, 2, box)
	}
	if box := a.field(page.Field{Name: "each", Label: "One piece weighs"}); len(box.Faults) > 0 || box.Value != "" {
		f.Fields = slices.Insert(f.Fields, 2, box)
	}
	f.Groups = []page.Group{folded("Tax in it, or a correction",
		a.field(page.Field{Name: "tax_in", Label: "Tax in this price", Kind: "number", Unit: "%", Value: tax, Help: "Empty where it holds none."}),
		a.field(page.Field{Name: "note", Label: "Why, for a correction"}),
	)}
	f.Faults = a.rest()
	return f
}

// readPrice reads what [priceForm] asked for.
func readPrice(f form, ing *book.Ingredient) (book.Price, record.Faults) {
	var p book.Price
	var faults record.Faults
	check := func(path string, err error) {
		switch {
		case err != nil && f.get(path) == "":
			faults.Add(path, record.Missing)
		case err != nil:
			faults.Add(path, "%s", err)
		}
	}
	var err error
	p.Pack, err = f.readPack("pack", ing.Measure == measure.Count, packsOf(ing)...)
	check("pack", err)
	if err == nil && p.Pack.Dimension() != ing.Measure {
		faults = append(faults, boughtOtherwise(f, ing, p.Pack)...)
	}
	if p.Price, err = money.ParsePrice(f.price("price")); err == nil {
		err = oneWay(f.currency, f.get("price"))
	}
	check("price", err)
	p.From, err = day.Parse(f.get("from"))
	check("from", err)
	if text := f.percent("tax_in"); text != "" {
		p.TaxIn.Value, err = measure.ParsePercent(text)
		p.TaxIn.Given = true
		check("tax_in", err)
	}
	if text := f.get("new_supplier"); text != "" {
		p.Supplier = record.Some(text)
	}
	if text := f.get("note"); text != "" {
		p.Note = record.Some(text)
	}
	if len(faults) == 0 && !p.Note.Given {
		for _, old := range ing.Prices {
			if old.From == p.From && old.Supplier.Or("") == p.Supplier.Or("") && old.Pack.String() == p.Pack.String() && !old.Price.Number().Equal(p.Price.Number()) {
				faults.Add("note", "there is a price of %s from that day already; say why this one corrects it", old.Price)
				break
			}
		}
	}
	return p, faults
}

// packsOf lists the packs that an ingredient was bought in, as a box may show them.
func packsOf(ing *book.Ingredient) []string {
	var packs []string
	for _, p := range ing.Prices {
		packs = append(packs, p.Pack.String())
	}
	return packs
}

// boughtOtherwise makes of an ingredient without a price one that is bought as its
// first pack is: cream that recipes weigh, by the litre. What ties the two
// together has to be known, and is asked for where it is not.
func boughtOtherwise(f form, ing *book.Ingredient, pack measure.Pack) record.Faults {
	var faults record.Faults
	to := pack.Dimension()
	tied := func(d measure.Dimension) bool {
		return d == measure.Mass || d == measure.Volume || d == measure.Count
	}
	if len(ing.Prices) > 0 || len(ing.Parts) > 0 || !tied(to) || !tied(ing.Measure) {
		faults.Add("pack", "%s is bought by %s, which %s does not say; write it in %s", ing.Name, boughtBy(ing.Measure), pack, strings.Join(measure.Symbols(ing.Measure), ", "))
		return faults
	}
	asked := func(box, unit string, known bool, read func(text string) error, problem string) {
		if text := inUnit(f.get(box), unit); text != "" && text != " "+unit {
			if err := read(text); err != nil {
				faults.Add(box, "%s", err)
			}
		} else if !known {
			faults.Add(box, problem, pack)
		}
	}
	if to == measure.Volume || ing.Measure == measure.Volume {
		asked("density", "g/ml", ing.Density.Known(), func(text string) error { return ing.Density.UnmarshalText([]byte(text)) },
			"recipes may weigh it and %s is a volume: say what a millilitre weighs, such as 1.03 g/ml")
	}
	if to == measure.Count || ing.Measure == measure.Count {
		asked("each", "g", ing.Each.Given(), func(text string) error { return ing.Each.UnmarshalText([]byte(text)) },
			"recipes may count it or weigh it, and the pack holds %s: say what one piece weighs, such as 60 g")
	}
	if len(faults) == 0 {
		ing.Measure = to
	}
	return faults
}

// boughtBy is what something is bought by, as [ingredientForm] calls it.
func boughtBy(d measure.Dimension) string {
	switch d {
	case measure.Mass:
		return "weight"
	case measure.Count:
		return "the piece"
	}
	return d.String()
}

func (s *Server) addPrice(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	x, err := s.book(r)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	var added book.Price
	var met error
	var before, otherwise measure.Dimension
	now, undo, err := saveObject(r, s, ingredients, id, "", func(old book.Ingredient) (book.Ingredient, record.Faults) {
		before = old.Measure
		p, faults := readPrice(f, &old)
		added, otherwise = p, old.Measure
		if slices.ContainsFunc(old.Prices, func(there book.Price) bool { return versionOf(there) == versionOf(p) }) {
			return old, faults
		}
		if met = nil; len(faults) == 0 {
			if met = later(f, "The price of "+old.Name, old.Prices, p); met != nil {
				faults.Add("price", "%s", met)
			}
		}
		old.Prices = append(slices.Clone(old.Prices), p)
		return old, faults
	})
	if shown, err := s.showClash(w, r, met, f, ingredients.at(id)+"/price", ingredients.at(id)); shown {
		return err
	}
	if faults, ok := faultsOf(err); ok {
		if slices.ContainsFunc(faults, func(v record.Fault) bool { return v.Path == "note" }) {
			f.values.Del("version") // it names the price that is there, so that is known from here on
		}
		return s.ingredientPage(w, r, http.StatusUnprocessableEntity, returned{"price", f.values, faults})
	}
	if err != nil {
		return err
	}
	what := "is added"
	if undo == nil {
		what = "stands there already"
	}
	said := fmt.Sprintf("%s for %s from %s %s.", words.money(added.Price.Number()), words.pack(added.Pack), words.day(added.From), what)
	if otherwise != before {
		said += " " + now.Name + " is bought by " + boughtBy(otherwise) + " from here on."
	}
	return s.done(w, r, ingredients.at(id), said, undo)
}

// previewPrice says what the price that is being typed would do.
func (s *Server) previewPrice(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, ing, err := ingredients.named(s, r)
	if err != nil {
		return err
	}
	var effect page.Effect
	if p, faults := readPrice(f, &ing); len(faults) == 0 {
		if effect, err = s.effectOf(r.Context(), s.rates(x), r, x, &ing, p); err != nil {
			return err
		}
	}
	return s.fragment(w, r, "ingredient", "effect", effect)
}

// effectOf compares a price with the one in force, and lists the cakes whose
// margins it moves most.
func (s *Server) effectOf(ctx context.Context, rates *pricing.Rates, r *http.Request, x *book.Index, ing *book.Ingredient, p book.Price) (page.Effect, error) {
	words := wordsOf(x.Book.Studio)
	is := p.PerBase(x.Book.Studio)
	effect := page.Effect{Text: "That comes to " + words.per(is, ing.Measure) + "."}
	before, err := ing.PriceOn(s.today())
	if err != nil {
		return effect, nil // the first price changes none
	}
	was := before.PerBase(x.Book.Studio)
	if was.IsZero() || was.Equal(is) {
		return effect, nil
	}
	effect.Text = fmt.Sprintf("That comes to %s, %s against %s now.", words.per(is, ing.Measure), words.change(is.Quo(was).Sub(exact.Int(1))), words.per(was, ing.Measure))
	priced, err := s.takeoffs(r)
	if err != nil {
		return effect, err
	}
	pack, price := p.Pack, p.Price
	if p.TaxIn.Given || before.TaxIn.Given {
		// The change below is read under the tax in force; a factor says the same
		// whatever tax either price holds.
		pack = measure.Pack{}
	}
	change := pricing.Change{Resource: ing.ID, Factor: is.Quo(was)}
	if pack != (measure.Pack{}) {
		change = pricing.Change{Resource: ing.ID, Pack: &pack, Price: price}
	}
	impacts, err := pricing.Impacts(x, rates, priced, change)
	if err != nil {
		return effect, nil // some other price is missing; the first part holds
	}
	impacts = slices.DeleteFunc(impacts, func(im pricing.Impact) bool { return !im.HasMargin })
	sortBy(impacts, func(a, b pricing.Impact) int {
		return magnitude(b.MarginWas.Sub(b.MarginIs)).Cmp(magnitude(a.MarginWas.Sub(a.MarginIs)))
	})
	const most = 5
	if len(impacts) > most {
		impacts = impacts[:most]
	}
	effect.Cakes = page.Table{Caption: "What it does to margins", Shown: true, Heads: []page.Head{{Text: "Cake"}, {Text: "Margin now", Right: true}, {Text: "Then", Right: true}}}
	for _, im := range impacts {
		c, _ := x.Cake(im.Cake)
		then := page.Cell{Text: words.percent(im.MarginIs)}
		if im.BelowFloor {
			then.Tone, then.Note = "bad", "below your floor"
		}
		effect.Cakes.Rows = append(effect.Cakes.Rows, page.Row{Cells: []page.Cell{{Text: c.Name, Href: cakes.at(c.ID)}, {Text: words.percent(im.MarginWas)}, then}})
	}
	return effect, nil
}

func pastPrices(studio book.Studio, ing *book.Ingredient, h pricing.History, query url.Values) (page.Table, page.Pager) {
	words := wordsOf(studio)
	t := page.Table{Caption: "Prices so far", Brief: true, Heads: []page.Head{{Text: "From"}, {Text: "Pack", Plain: true}, {Text: "Price", Right: true}, {Text: "Comes to", Right: true, Key: true}, {Text: "Change", Right: true}}}
	newest := slices.Clone(h.Entries)
	slices.Reverse(newest)
	shown, pager := paged(newest, query, ingredients.at(ing.ID))
	for _, e := range shown {
		change := page.Cell{}
		if e.HasChange && !e.Change.IsZero() {
			change = page.Cell{Text: words.change(e.Change), Tone: "good"}
			if e.Change.Sign() > 0 {
				change.Tone = "bad"
			}
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{
			{Text: words.day(e.Price.From), Note: e.Price.Note.Value}, {Text: words.pack(e.Price.Pack), Note: e.Price.Supplier.Value},
			{Text: words.money(e.Price.Price.Number())}, {Text: words.per(e.PerBase, ing.Measure)}, change,
		}})
	}
	return t, pager
}

// HistoryPlot draws the prices of each supplier over time.
func HistoryPlot(studio book.Studio, ing *book.Ingredient, h pricing.History, today day.Date) plot.Figure {
	words := wordsOf(studio)
	times, unit := pricing.Spoken(ing.Measure)
	at := map[string]int{}
	var list []plot.Series
	until := today
	for _, e := range h.Entries {
		name := e.Price.Supplier.Or("price")
		i, there := at[name]
		if !there {
			i = len(list)
			at[name] = i
			list = append(list, plot.Series{Name: name})
		}
		value := e.PerBase.Mul(times)
		list[i].Points = append(list[i].Points, plot.Point{Day: e.Price.From.Time(), Value: coordinate(value)})
		list[i].Last = words.per(e.PerBase, ing.Measure)
		until = day.Later(until, e.Price.From)
	}
	return plot.Steps(ing.Name, words.scale(studio.Currency.Code()+" "+unit+", without recoverable tax"), until.Time(), list)
}

// coordinate is where exact figures become lengths on a canvas.
func coordinate(n exact.Number) float64 {
	f, _ := n.Rat().Float64()
	return f
}

// given writes a value, and nothing where there is none.
func given[T interface {
	IsZero() bool
	fmt.Stringer
}](v T) string {
	if v.IsZero() {
		return ""
	}
	return v.String()
}

// percentFigure is a percentage as the box before a % holds it.
func percentFigure(p measure.Percent) string {
	text, _ := cutPercent(p.String())
	return text
}

func cutPercent(text string) (string, bool) {
	if n := len(text); n > 2 && text[n-2:] == " %" {
		return text[:n-2], true
	}
	return text, false
}
