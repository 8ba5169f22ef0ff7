package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shopping"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

func (m *routes) shoppingPages() {
	m.get("/shopping", m.s.showShopping)
	m.get("/shopping/{paper}", m.s.shoppingPaper)
}

// daysAhead is how far the shopping list and the kitchen plan look.
const daysAhead = 13

// readDays reads the first and the last day of a span, or what stands in for
// those that are not said.
func readDays(q url.Values, first day.Date, last func(from day.Date) day.Date) (from, to day.Date, faults record.Faults) {
	read := func(name string, otherwise day.Date) day.Date {
		d, err := dayOr(strings.TrimSpace(q.Get(name)), otherwise)
		if err != nil {
			faults.Add(name, "%s", err)
			return otherwise
		}
		return d
	}
	from = read("from", first)
	to = read("to", last(from))
	if len(faults) == 0 && to.Before(from) {
		faults.Add("to", "%s is before %s; name the first day and then the last", to, from)
	}
	return from, to, faults
}

// readSpan reads the days of a list; the coming two weeks where none are said.
func readSpan(q url.Values, today day.Date) (from, to day.Date, faults record.Faults) {
	from, to, faults = readDays(q, today, func(from day.Date) day.Date { return from.AddDays(daysAhead) })
	if len(faults) == 0 && from.DaysUntil(to) > 366 {
		faults.Add("to", "that is more than a year; name fewer days")
	}
	return from, to, faults
}

// readShopping reads what to shop for: the days, and of each thing what is on
// hand, have.butter=2 kg.
func readShopping(x *book.Index, q url.Values, today day.Date) (ShoppingAsk, record.Faults) {
	ask := ShoppingAsk{OneSupplier: q.Get("one") != "", OnHand: map[book.ID]measure.Quantity{}}
	var faults record.Faults
	ask.From, ask.To, faults = readSpan(q, today)
	for name, values := range q {
		id, stock := strings.CutPrefix(name, "have.")
		text := strings.TrimSpace(values[0])
		if !stock || text == "" {
			continue
		}
		qty, err := measure.Parse(amountText(text))
		if err != nil {
			faults.Add(name, "%s", err)
			continue
		}
		ask.OnHand[book.ID(id)] = qty
	}
	for _, text := range strings.FieldsFunc(q.Get("skip"), func(r rune) bool { return r == ',' || r == ';' }) {
		said := strings.TrimSpace(text)
		i := slices.IndexFunc(x.Book.Ingredients, func(v book.Ingredient) bool {
			return strings.EqualFold(v.Name, said) || string(v.ID) == said
		})
		switch {
		case said == "":
		case i < 0:
			faults.Add("skip", "%s is nothing that you buy; write its name as on the list", said)
		default:
			ask.Skip = append(ask.Skip, x.Book.Ingredients[i].ID)
		}
	}
	for _, text := range listed(q.Get("cakes")) {
		wanted, err := wantedCake(x.Book, text)
		if err != nil {
			faults.Add("cakes", "%s", err)
			continue
		}
		ask.Cakes = append(ask.Cakes, wanted)
	}
	ask.Hidden = q.Get("hidden") != ""
	if text := strings.TrimSpace(q.Get("on")); text != "" {
		var err error
		if ask.On, err = day.Parse(text); err != nil {
			faults.Add("on", "%s", err)
		}
	}
	if q.Get("only") != "" {
		if len(ask.Cakes) == 0 && len(faults) == 0 {
			faults.Add("cakes", "name the designs that are to be shopped for without orders")
		}
		ask.CakesOnly = true
	}
	slices.SortFunc(faults, func(a, b record.Fault) int { return strings.Compare(a.Path, b.Path) })
	return ask, faults
}

// wantedCake reads a design by its name or id, with how many: "Lemon drip=2".
func wantedCake(b book.Book, text string) (WantedCake, error) {
	name, number, counted := strings.Cut(text, "=")
	name = strings.TrimSpace(name)
	c := WantedCake{Number: 1}
	if counted {
		n, err := strconv.Atoi(strings.TrimSpace(number))
		if err != nil || n < 1 || n > 10_000 {
			return c, fmt.Errorf("how many of %.60q there are to be is a number from 1 to 10000", name)
		}
		c.Number = n
	}
	for _, v := range b.Cakes {
		if string(v.ID) == name || strings.EqualFold(v.Name, name) {
			c.Cake = v.ID
			return c, nil
		}
	}
	return c, fmt.Errorf("the book has no cake called %.60q; write its name as on the Cakes page", name)
}

func (s *Server) showShopping(w http.ResponseWriter, r *http.Request) error {
	return s.showKept(w, r, onQuotes, "shopping", func() (shown, error) { return s.shoppingPage(r) })
}

func (s *Server) shoppingPage(r *http.Request) (shown, error) {
	x, err := s.book(r)
	if err != nil {
		return shown{}, err
	}
	q := r.URL.Query()
	ask, faults := readShopping(x, q, s.today())
	words := wordsOf(x.Book.Studio)
	body := page.Shopping{Places: monthPlaces("/shopping"), Title: "Shopping list"}
	var list shopping.List
	if len(faults) == 0 {
		list, err = rememberedOf(r, onQuotes, "shopping "+s.today().String()+" "+q.Encode(), func() (shopping.List, error) {
			_, list, err := s.Desk.Shopping(r.Context(), s.store(r), ask)
			return list, err
		})
		if err != nil {
			// A price or a mass is missing, or what is on hand makes no sense.
			own, ok := faultsOf(err)
			if !ok {
				own = record.Faults{{Problem: err.Error()}}
			}
			faults = own
		}
	}
	status := http.StatusOK
	if len(faults) > 0 {
		status = http.StatusUnprocessableEntity
	}
	body.Form = s.shoppingForm(x, q, ask, list, faults)
	switch {
	case len(faults) > 0:
	case len(list.Orders) == 0:
		body.Empty = &page.Empty{
			Title: "No order to shop for", Actions: []page.Link{{Text: "See the quotes", Href: "/orders"}},
			Text: fmt.Sprintf("No order has its event from %s to %s. Accept a quote, or look at other days.", words.day(ask.From), words.day(ask.To)),
		}
	default:
		s.fillShopping(&body, x.Book.Studio, words, list, q)
	}
	return shown{status, "Shopping list", body, nil}, nil
}

func (s *Server) shoppingForm(x *book.Index, q url.Values, ask ShoppingAsk, list shopping.List, faults record.Faults) page.Form {
	a := ask0(q, faults)
	f := page.Form{Action: "/shopping", Get: true, Button: "Make the list", Fields: []page.Field{
		a.field(page.Field{Name: "from", Label: "First event", Kind: "date", Value: given(ask.From)}),
		a.field(page.Field{Name: "to", Label: "Last event", Kind: "date", Value: given(ask.To)}),
	}}
	more := page.Group{Title: "Leave out, add, other prices", Fields: []page.Field{
		a.field(page.Field{Name: "skip", Label: "Leave out", Value: q.Get("skip"), Help: "What nobody shops for, with commas: water, salt."}),
		a.field(page.Field{Name: "cakes", Label: "Cakes besides the orders", Value: q.Get("cakes"), Help: "By name, with how many: Lemon drip=2. Commas between them."}),
		a.field(page.Field{Name: "on", Label: "With the prices of", Kind: "date", Value: given(ask.On), Help: "Empty: today's."}),
		a.field(page.Field{Name: "one", Label: "Keep each thing to one supplier", Kind: "tick", Ticked: ask.OneSupplier}),
		a.field(page.Field{Name: "only", Label: "Only those cakes, and no orders", Kind: "tick", Ticked: ask.CakesOnly}),
		a.field(page.Field{Name: "hidden", Label: "Extras too that clients do not see, such as a tasting", Kind: "tick", Ticked: ask.Hidden}),
	}}
	more.Open = chosen(more.Fields)
	// What is on hand is asked of everything on the list, and kept of what
	// has left it.
	asked := map[book.ID]bool{}
	stock := page.Group{Title: "On hand", Help: "2 kg, 12 each. What is left empty is bought.", Open: true}
	box := func(id book.ID, name string) {
		if !asked[id] {
			asked[id] = true
			stock.Fields = append(stock.Fields, a.field(page.Field{Name: "have." + string(id), Label: name, Value: q.Get("have." + string(id))}))
		}
	}
	if q.Get("stock") != "" {
		for _, l := range list.Lines {
			box(l.ID, l.Name)
		}
	}
	var kept []book.ID
	for name := range q {
		if id, stock := strings.CutPrefix(name, "have."); stock && strings.TrimSpace(q.Get(name)) != "" {
			kept = append(kept, book.ID(id))
		}
	}
	slices.Sort(kept)
	for _, id := range kept {
		name := string(id)
		if item, ok := x.Item(id); ok && item.Ingredient != nil {
			name = item.Ingredient.Name
		}
		box(id, name)
	}
	f.Fields = append(f.Fields, a.field(page.Field{Name: "stock", Label: "Ask what is on hand", Kind: "tick", Ticked: q.Get("stock") != "", Help: "A box for each thing of the list."}))
	f.Groups = []page.Group{more}
	if len(stock.Fields) > 0 {
		f.Groups = append(f.Groups, stock)
	}
	f.Faults = a.rest()
	return f
}

// ask0 begins the boxes of a form that is sent by its address: empty boxes show
// what stands in for them.
func ask0(q url.Values, faults record.Faults) *asking {
	if len(faults) > 0 {
		return ask(q, faults)
	}
	return ask(nil, nil)
}

func (s *Server) fillShopping(body *page.Shopping, studio book.Studio, words words, list shopping.List, q url.Values) {
	paper := document.FromShopping(list, studio, document.EnglishShopping())
	body.Lead = "Whole packs, by supplier, at the prices in force on " + words.day(list.On) + "."
	query := queryOf(q)
	body.Papers = []page.Link{{Text: "For the shop (PDF)", Href: "/shopping/list.pdf" + query}, {Text: "Spreadsheet (XLSX)", Href: "/shopping/list.xlsx" + query}, {Text: "Plain (CSV)", Href: "/shopping/list.csv" + query}}
	for _, f := range paper.Totals {
		body.Figures = append(body.Figures, page.Figure{Label: f.Label, Value: f.Value})
	}
	if n := len(body.Figures); n > 0 && len(paper.Totals) > 0 {
		body.Figures[n-1].Strong = true
	}
	if paper.Empty != "" {
		body.Notes = append(body.Notes, page.Notes{Title: "Nothing to buy", Lines: []string{paper.Empty}})
	}
	for i, g := range paper.Groups {
		t := page.Table{Caption: g.Heading, Brief: true, Heads: []page.Head{{Text: paper.Columns.Item}, {Text: paper.Columns.Need, Right: true}, {Text: paper.Columns.Packs}, {Text: paper.Columns.Price, Right: true}, {Text: paper.Columns.Amount, Right: true, Key: true}, {Text: paper.Columns.Left, Right: true}}}
		for k, row := range g.Rows {
			item := page.Cell{Text: row.Item, Note: row.Note}
			if i < len(list.Groups) && k < len(list.Groups[i].Buys) {
				item.Href = ingredients.at(list.Groups[i].Buys[k].Line.ID)
			}
			t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{item, {Text: row.Need}, {Text: row.Packs}, {Text: row.Price}, {Text: row.Amount}, {Text: row.Left}}})
		}
		t.Foot = []page.Row{{Cells: []page.Cell{{Text: g.Subtotal.Label}, {}, {}, {}, {Text: g.Subtotal.Value}, {}}}}
		body.Groups = append(body.Groups, page.Block{Title: g.Heading, Table: t, Short: true, Open: len(paper.Groups) == 1, Side: g.Subtotal.Value})
	}
	for _, f := range paper.Reference[min(1, len(paper.Reference)):] {
		body.Notes = append(body.Notes, page.Notes{Title: "What it is for", Lines: []string{f.Value}})
	}
	for _, section := range slices.Concat([]document.Section{paper.Check, paper.Stocked, paper.Skipped}, paper.Leftovers, []document.Section{paper.Cautions}) {
		body.Notes = append(body.Notes, page.Notes{Title: section.Heading, Lines: section.Lines})
	}
}

// shoppingPaper is a list to save: /shopping/list.pdf.
func (s *Server) shoppingPaper(w http.ResponseWriter, r *http.Request) error {
	ending, named := strings.CutPrefix(r.PathValue("paper"), "list")
	if !named {
		return notFound("paper")
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	ask, faults := readShopping(x, r.URL.Query(), s.today())
	if len(faults) > 0 {
		return faults
	}
	studio, list, err := s.Desk.Shopping(r.Context(), s.store(r), ask)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := s.Desk.ShoppingPaper(&b, ending, studio, list); err != nil {
		return err
	}
	return s.save(w, r, fmt.Sprintf("shopping-%s-to-%s%s", ask.From, ask.To, ending), b.Bytes())
}
