package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/schedule"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

func (m *routes) kitchenPages() {
	m.get("/kitchen", m.s.showKitchen)
	m.get("/kitchen/cards", m.s.showCards)
	m.get("/kitchen/{paper}", m.s.kitchenPaper)
}

func readKitchen(q url.Values, s *Server) (KitchenAsk, record.Faults) {
	ask := KitchenAsk{HandOver: listed(q.Get("handover")), With: listed(q.Get("with")), Household: q.Get("household") != "", Hidden: q.Get("hidden") != ""}
	if size := q.Get("paper"); size == "a4" || size == "letter" {
		ask.Letter = size
	}
	on, err := dayOr(strings.TrimSpace(q.Get("on")), s.today())
	if err != nil {
		on = s.today()
	}
	var faults record.Faults
	ask.From, ask.To, faults = readSpan(q, on)
	if err != nil {
		faults.Add("on", "%s", err)
	}
	if on != s.today() {
		ask.On = on
	}
	return ask, faults
}

func (s *Server) showKitchen(w http.ResponseWriter, r *http.Request) error {
	ask, faults := readKitchen(r.URL.Query(), s)
	return s.showKept(w, r, ask.bearing(), "kitchen", func() (shown, error) { return s.kitchenPage(r, ask, faults) })
}

// bearing is what of a store a plan depends on.
func (ask KitchenAsk) bearing() bearing {
	if len(ask.With) > 0 { // drafts too
		return onAnything
	}
	return onQuotes | onHours
}

func (s *Server) kitchenPage(r *http.Request, ask KitchenAsk, faults record.Faults) (shown, error) {
	x, err := s.book(r)
	if err != nil {
		return shown{}, err
	}
	q := r.URL.Query()
	var made Kitchen
	if len(faults) == 0 {
		made, err = s.kitchenPlan(r, ask)
		if own, ok := faultsOf(err); ok {
			faults, err = own, nil
		}
		if err != nil {
			return shown{}, err
		}
	}
	words := wordsOf(x.Book.Studio)
	body := page.Kitchen{Places: monthPlaces("/kitchen"), Form: kitchenForm(q, ask, faults)}
	status := http.StatusOK
	switch {
	case len(faults) > 0:
		status = http.StatusUnprocessableEntity
		body.Empty = &page.Empty{Title: "No plan yet", Text: "Mend what is marked above."}
	case len(made.Plan.Orders) == 0:
		body.Empty = &page.Empty{
			Title: "No cake to make", Actions: []page.Link{{Text: "See the quotes", Href: "/orders"}},
			Text: fmt.Sprintf("No order has its event from %s to %s. Accept a quote, or look at other days.", words.day(ask.From), words.day(ask.To)),
		}
	default:
		fillKitchen(&body, words, made, q, s.today())
	}
	if len(made.Later) > 0 {
		body.Notes = append(body.Notes, page.Notes{Title: "Soon after", Lines: []string{"Work of " + strings.Join(made.Later, ", ") + ", whose event is soon after, may fall on these days too; a later last event plans it along."}})
	}
	return shown{status, "Kitchen plan", body, nil}, nil
}

// kitchenPlan plans once until something is written that bears on it.
func (s *Server) kitchenPlan(r *http.Request, ask KitchenAsk) (Kitchen, error) {
	return rememberedOf(r, ask.bearing(), fmt.Sprintf("kitchen %s %+v", s.today(), ask), func() (Kitchen, error) { return s.Desk.Kitchen(r.Context(), s.store(r), ask) })
}

func kitchenForm(q url.Values, ask KitchenAsk, faults record.Faults) page.Form {
	a := ask0(q, faults)
	more := page.Group{Title: "Hand-over, more quotes, details", Fields: []page.Field{
		a.field(page.Field{Name: "handover", Label: "Handed over at", Value: strings.Join(ask.HandOver, ", "), Help: "10:00, on the day of each event. Empty: when the studio opens. Of one order 2026-0001=16:00, or 2026-0001=2026-11-27 16:00 for an earlier day."}),
		a.field(page.Field{Name: "with", Label: "Open quotes to plan as well", Value: strings.Join(ask.With, ", "), Help: "As if they were accepted: 2026-0012, or D1. With options 2026-0012=name of the option."}),
		a.field(page.Field{Name: "on", Label: "As it stands on", Kind: "date", Value: given(ask.On), Help: "Empty: today. What had to begin before that day is too late."}),
		a.field(page.Field{Name: "paper", Label: "Paper of the PDF", Kind: "choice", Value: ask.Letter, Options: []page.Option{{Value: "", Text: "the studio's"}, {Value: "a4", Text: "A4"}, {Value: "letter", Text: "Letter"}}}),
		a.field(page.Field{Name: "household", Label: "Cups and spoons on the recipe cards", Kind: "tick", Ticked: ask.Household}),
		a.field(page.Field{Name: "hidden", Label: "Plan extras that clients do not see, such as a tasting", Kind: "tick", Ticked: ask.Hidden}),
		a.field(page.Field{Name: "tasks", Label: "Every task and wait, such as cooling and drying", Kind: "tick", Ticked: q.Get("tasks") != ""}),
	}}
	more.Open = chosen(more.Fields)
	return page.Form{Action: "/kitchen", Get: true, Button: "Plan", Fields: []page.Field{
		a.field(page.Field{Name: "from", Label: "First event", Kind: "date", Value: given(ask.From)}),
		a.field(page.Field{Name: "to", Label: "Last event", Kind: "date", Value: given(ask.To)}),
	}, Groups: []page.Group{more}, Faults: a.rest()}
}

// chosen reports whether any of some choices is other than the usual.
func chosen(fields []page.Field) bool {
	return filledIn(fields) || slices.ContainsFunc(fields, func(f page.Field) bool { return f.Ticked })
}

func fillKitchen(body *page.Kitchen, words words, made Kitchen, q url.Values, today day.Date) {
	paper := made.Paper
	query := queryOf(q)
	body.Lead = paper.Span + ", planned backwards from each hand-over."
	body.Papers = []page.Link{{Text: fmt.Sprintf("Recipe cards: %d", len(paper.Cards)), Href: "/kitchen/cards" + query}, {Text: "For the wall, with recipe cards (PDF)", Href: "/kitchen/plan.pdf" + query}, {Text: "For a calendar (ICS)", Href: "/kitchen/plan.ics" + query}}
	orders := page.Table{Caption: "Orders and when to begin", Brief: true, Heads: []page.Head{{Text: "Order"}, {Text: "Handed over"}, {Text: "Latest safe start"}, {Text: "Begins in this plan"}}}
	for _, o := range made.Plan.Orders {
		start := words.moment(o.StartBy)
		orders.Rows = append(orders.Rows, page.Row{Cells: []page.Cell{{Text: o.Ref, Href: actualsAt(o.Ref), Note: o.Label}, words.moment(o.HandOver), start, words.moment(o.Begins)}})
	}
	body.Orders = page.Block{ID: "orders", Title: "Orders and when to begin", Table: orders, Short: true, Side: fmt.Sprint(len(orders.Rows)), Lead: "Nothing begins before what it needs is done, and nothing is used past its keeping time."}
	body.Clash = page.Notes{Title: "What does not fit", Lines: paper.Clashes.Lines, Bad: true, More: []page.Link{{Text: "Change the hours", Href: "/kitchen/hours"}}}
	body.Days = kitchenDays(made, q.Get("tasks") != "", today)
	body.Notes = append(body.Notes, page.Notes{Title: paper.Notes.Heading, Lines: paper.Notes.Lines})
}

// listed are the entries of a box that holds several, with commas.
func listed(text string) (list []string) {
	for entry := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		if entry = strings.TrimSpace(entry); entry != "" {
			list = append(list, entry)
		}
	}
	return list
}

// moment writes a moment of a plan: the day, and the time beneath.
func (w words) moment(m schedule.Moment) page.Cell {
	return page.Cell{Text: w.day(m.Day), Note: fmt.Sprintf("%s %02d:%02d", m.Day.Time().Weekday(), m.Minute/60, m.Minute%60)}
}

// queryOf is a query as it stands in an address.
func queryOf(q url.Values) string {
	if text := q.Encode(); text != "" {
		return "?" + text
	}
	return ""
}

// showCards shows the recipe cards of a plan, to be printed.
func (s *Server) showCards(w http.ResponseWriter, r *http.Request) error {
	ask, faults := readKitchen(r.URL.Query(), s)
	if len(faults) > 0 {
		return faults
	}
	return s.showKept(w, r, ask.bearing(), "recipecards", func() (shown, error) { return s.cardsPage(r, ask) })
}

func (s *Server) cardsPage(r *http.Request, ask KitchenAsk) (shown, error) {
	made, err := s.kitchenPlan(r, ask)
	if err != nil {
		return shown{}, err
	}
	query := queryOf(r.URL.Query())
	body := page.Cards{Places: monthPlaces(""), Lead: "One batch each, in grams. Print this page, or take them from the PDF of the plan.", Papers: []page.Link{{Text: "Plan and cards (PDF)", Href: "/kitchen/plan.pdf" + query}}}
	for i, c := range made.Paper.Cards {
		body.Cards = append(body.Cards, recipeCard(i, c))
	}
	if len(body.Cards) == 0 {
		body.Empty = &page.Empty{Title: "No recipe to make", Text: "No order of these days takes a recipe.", Actions: []page.Link{{Text: "Choose other days", Href: "/kitchen"}}}
	}
	crumbs := []page.Link{{Text: "Month", Href: "/month"}, {Text: "Kitchen plan", Href: "/kitchen" + query}, {Text: "Recipe cards", Current: true}}
	return shown{http.StatusOK, "Recipe cards", body, crumbs}, nil
}

// kitchenDays are the days of a plan, each with how full it is; with every task
// and wait, or in few words.
func kitchenDays(made Kitchen, tasks bool, today day.Date) []page.KitchenDay {
	list := plannedDays(made, tasks)
	opened := false
	for i, d := range made.Paper.Days {
		// On a phone today stands open, or the next day on which there is work.
		list[i].Open = !opened && !d.Date.Before(today)
		opened = opened || list[i].Open
		list[i].Side = plural(len(list[i].Work.Rows), "job", "jobs")
	}
	return list
}

func plannedDays(made Kitchen, tasks bool) []page.KitchenDay {
	var list []page.KitchenDay
	for _, d := range made.Paper.Days {
		out := page.KitchenDay{ID: "d" + d.Date.String(), Title: d.Heading, Short: fmt.Sprintf("%.3s %d", d.Date.Time().Weekday(), d.Date.Time().Day()), Work: page.Table{Caption: "Work of " + d.Heading, Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "From", Right: true, Key: true}, {Text: "Who", Plain: true}, {Text: "Hands-on", Right: true, Plain: true}, {Text: "For"}}}}
		var loads []schedule.Load
		for _, l := range made.Plan.Loads {
			if l.Day == d.Date && (!l.Appliance || l.Limited) {
				loads = append(loads, l)
			}
		}
		for i, l := range d.Loads {
			load := page.Load{Text: l.Text, Over: l.Over}
			if i < len(loads) && len(loads) == len(d.Loads) {
				load.Bar = loadBar(loads[i])
			}
			out.Loads = append(out.Loads, load)
		}
		if tasks {
			for _, t := range d.Rows {
				row := page.Row{Cells: []page.Cell{{Text: t.What, Note: t.Note}, {Text: t.Time}, {Text: t.Who}, {Text: t.Minutes}, {Text: t.Orders}}}
				if t.Wait {
					row.Cells[0].Tone = "quiet"
				}
				out.Work.Rows = append(out.Work.Rows, row)
			}
			list = append(list, out)
			continue
		}
		for _, lane := range d.Lanes {
			for _, job := range lane.Jobs {
				what := job.What
				if job.Tier != "" {
					what += ", " + job.Tier
				}
				note := job.How
				if len(job.Cautions) > 0 {
					note = strings.Trim(note+"; "+strings.Join(job.Cautions, ", "), "; ")
				}
				row := page.Row{Cells: []page.Cell{{Text: what, Note: note}, {Text: job.Time}, {Text: lane.Who}, {Text: job.Minutes}, {Text: job.Orders}}}
				if len(job.Cautions) > 0 {
					row.Tone = "caution"
				}
				out.Work.Rows = append(out.Work.Rows, row)
			}
		}
		slices.SortStableFunc(out.Work.Rows, func(a, b page.Row) int { return strings.Compare(a.Cells[1].Text, b.Cells[1].Text) })
		list = append(list, out)
	}
	return list
}

// loadBar shows how much of a day's hours is taken, where they are stated.
func loadBar(l schedule.Load) *page.Bar {
	if !l.Limited || l.Capacity == 0 {
		return nil
	}
	b := &page.Bar{Share: share(exact.Int(int64(l.Minutes)).Quo(exact.Int(int64(l.Capacity)))), Tone: "2"}
	if l.Over() > 0 {
		b.Tone = "5"
	}
	return b
}

func recipeCard(i int, c document.RecipeCard) page.Card {
	card := page.Card{ID: fmt.Sprintf("card-%d", i), Title: c.Title, Batches: c.Batches, Steps: c.Steps, Method: c.Method, Facts: c.Facts, Cautions: c.Cautions, Orders: c.Orders,
		Lines: page.Table{Caption: c.Title, Heads: []page.Head{{Text: "What"}, {Text: "How much", Right: true}}}}
	for _, l := range c.Lines {
		card.Lines.Rows = append(card.Lines.Rows, page.Row{Cells: []page.Cell{{Text: l.Name, Note: l.Note}, {Text: l.Amount, Note: l.Beside}}})
	}
	return card
}

// kitchenPaper is a plan to save: /kitchen/plan.pdf.
func (s *Server) kitchenPaper(w http.ResponseWriter, r *http.Request) error {
	ending, named := strings.CutPrefix(r.PathValue("paper"), "plan")
	if !named {
		return notFound("paper")
	}
	ask, faults := readKitchen(r.URL.Query(), s)
	if len(faults) > 0 {
		return faults
	}
	var b bytes.Buffer
	if err := s.Desk.KitchenPaper(r.Context(), &b, ending, s.store(r), ask); err != nil {
		return err
	}
	return s.save(w, r, fmt.Sprintf("plan-%s-to-%s%s", ask.From, ask.To, ending), b.Bytes())
}
