package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) todayPages() {
	m.section(section{name: "Today", path: "/", key: "t"})
	m.get("/{$}", m.s.showToday)
}

// How far Today looks: events and quotes that lapse ahead, prices back, and
// how late a payment may be before it is a matter for other lists.
const (
	eventDays  = 14
	lapseDays  = 7
	moveDays   = 30
	lateDays   = 400
	longestRow = 8
)

func (s *Server) showToday(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	today := s.today()
	sections, err := remembered(r, "today "+today.String(), func() ([]page.Section, error) {
		return s.attention(r, x, today)
	})
	if err != nil {
		return err
	}
	n := 0
	for _, section := range sections {
		n += len(section.Items)
	}
	lead := "Nothing needs you right now."
	if n > 0 {
		lead = "What wants looking at, the most pressing first."
	}
	if len(x.Book.Cakes) == 0 {
		lead = "From what you buy to the first quote, step by step."
		sections = slices.DeleteFunc(slices.Clone(sections), func(v page.Section) bool { return len(v.Items) == 0 })
		sections = append([]page.Section{firstSteps(x.Book)}, sections...)
	}
	words := wordsOf(x.Book.Studio)
	return s.show(w, r, "today", "Today", page.Today{Title: capital(words.locale.LongDate(today)), Lead: lead, Sections: sections})
}

// firstSteps leads a studio without a cake to its first quote, and says how far
// it has come.
func firstSteps(b book.Book) page.Section {
	step := func(text, href, note string, n int, one, many string) page.Item {
		v := page.Item{Text: text, Href: href, Note: note, Side: "not yet"}
		if n > 0 {
			v.Side, v.Tone = plural(n, one, many), "good"
		}
		return v
	}
	return page.Section{ID: "steps", Title: "The first steps", Items: []page.Item{
		step("What you buy", "/prices", "Ingredients, boxes and boards, with the pack and its price; a supplier's list does many at once", len(b.Ingredients), "price", "prices"),
		step("Your work and its wage", roles.path, "Your own hours too: unpaid, they make a cake look cheaper than it is", len(b.Roles), "role", "roles"),
		step("A recipe", "/recipes", "As it stands in your notebook: what goes in, and what it makes", len(b.Components), "recipe", "recipes"),
		step("The tins you bake in", tins.path, "So that guests can be turned into tiers", len(b.Tins), "tin", "tins"),
		step("A cake", "/cakes", "Tiers, fillings and the work on them: what it costs and what to ask", len(b.Cakes), "cake", "cakes"),
		{Text: "A quote", Href: "/orders", Note: "For a client, their day and their guests"},
	}}
}

// attention gathers what a maker should look at on a day.
func (s *Server) attention(r *http.Request, x *book.Index, today day.Date) ([]page.Section, error) {
	words := wordsOf(x.Book.Studio)
	ctx, st, few := r.Context(), s.store(r), store.Span{Most: longestRow}

	// Whole orders are read for it, and what is written all day leaves them.
	late, err := rememberedOf(r, onQuotes, "late "+today.String(), func() (page.Section, error) { return lateSection(ctx, st, words, today) })
	if err != nil {
		return nil, err
	}

	events := page.Section{ID: "events", Title: "The next two weeks", None: "No cake leaves the kitchen in the next 14 days."}
	coming, nComing, err := st.OrdersComing(ctx, today, today.AddDays(eventDays), few)
	if err != nil {
		return nil, err
	}
	for _, o := range coming {
		events.Items = append(events.Items, page.Item{
			Text: o.Client, Href: "/quotes/" + o.Quote, Side: inDays(today.DaysUntil(o.Event)),
			Note: fmt.Sprintf("%s, %s", o.Quote, words.locale.LongDate(o.Event)),
		})
	}

	lapsing := page.Section{ID: "lapsing", Title: "Quotes that lapse soon", None: "No offer lapses in the next 7 days."}
	offers, nLapsing, err := st.OffersLapsing(ctx, today, today.AddDays(lapseDays), few)
	if err != nil {
		return nil, err
	}
	for _, q := range offers {
		until, err := day.Parse(q.ValidUntil)
		if err != nil {
			return nil, err
		}
		lapsing.Items = append(lapsing.Items, page.Item{
			Text: q.Client, Href: "/quotes/" + q.Ref(), Side: inDays(today.DaysUntil(until)),
			Note: fmt.Sprintf("%s, stands until %s", q.Ref(), words.day(until)),
			Act:  &page.Link{Text: "Write to them", Href: quoteAt(q.Ref()) + "/letter"},
		})
	}

	moved := page.Section{ID: "moved", Title: "Prices that moved", None: "No price has changed in the last 30 days."}
	moves, err := ofBook(r, x, "moved "+today.String(), func() ([]movedPrice, error) { return movedPrices(x.Book, today), nil })
	if err != nil {
		return nil, err
	}
	for _, m := range moves[:min(len(moves), longestRow)] {
		tone := "good"
		if m.change.Sign() > 0 {
			tone = "bad"
		}
		moved.Items = append(moved.Items, page.Item{
			Text: m.name, Href: ingredients.at(m.id), Tone: tone, Side: words.change(m.change), Note: "now " + words.per(m.now, m.of.Measure),
		})
	}
	return []page.Section{
		late, more(events, nComing, "/orders/accepted", "events"),
		more(lapsing, nLapsing, "/orders", "quotes"), more(moved, len(moves), "/prices?sort=moved", "prices"),
	}, nil
}

// lateSection lists the payments that are past their day.
func lateSection(ctx context.Context, st *store.Store, words words, today day.Date) (page.Section, error) {
	late := page.Section{ID: "late", Title: "Payments that are late", None: "Nobody owes you anything that is past its day."}
	owing, n, err := st.OrdersLate(ctx, today.AddDays(-lateDays), today, store.Span{Most: longestRow})
	if err != nil {
		return late, err
	}
	// An order may be late with several instalments: the oldest come first.
	dues := quote.DueList(owing, today, false)
	for _, d := range dues[:min(len(dues), longestRow)] {
		late.Items = append(late.Items, page.Item{
			Text: d.Client, Href: "/quotes/" + d.Quote, Tone: "bad", Side: moneyOf(words, d),
			Note: fmt.Sprintf("%s, due %s, %s late", d.Quote, words.day(d.Due), plural(d.Late, "day", "days")),
			Act:  &page.Link{Text: "Remind them", Href: quoteAt(d.Quote) + "/letter?kind=reminder"},
		})
	}
	return more(late, n, "/payments", "orders that are late to pay"), nil
}

// more says of how many a section shows the first.
func more(v page.Section, n int, href, what string) page.Section {
	if n > longestRow {
		v.More = &page.Link{Text: fmt.Sprintf("All %d %s", n, what), Href: href}
	}
	return v
}

type movedPrice struct {
	id          book.ID
	name        string
	of          *book.Ingredient
	now, change exact.Number
}

// movedPrices lists whose price in force is another than a month ago, the
// greatest move first.
func movedPrices(b book.Book, today day.Date) []movedPrice {
	var list []movedPrice
	for i := range b.Ingredients {
		ing := &b.Ingredients[i]
		change, now, ok := priceChange(b.Studio, ing, today)
		if ok && !change.IsZero() {
			list = append(list, movedPrice{ing.ID, ing.Name, ing, now, change})
		}
	}
	sortBy(list, func(a, b movedPrice) int { return magnitude(b.change).Cmp(magnitude(a.change)) })
	return list
}

// priceChange returns by how much a price has moved within a month, and false
// where it had none then.
func priceChange(s book.Studio, ing *book.Ingredient, today day.Date) (change, now exact.Number, ok bool) {
	is, err := ing.PriceOn(today)
	if err != nil {
		return change, now, false
	}
	if is.From.Before(today.AddDays(-moveDays)) {
		return change, is.PerBase(s), true
	}
	h := pricing.HistoryOf(s, ing, today.AddDays(-moveDays), today, today)
	if !h.HasSpan {
		return change, is.PerBase(s), false
	}
	return h.Span, h.LastPer, true
}

func magnitude(n exact.Number) exact.Number {
	if n.Sign() < 0 {
		return n.Neg()
	}
	return n
}

// inDays says how far off a day is.
func inDays(n int) string {
	switch n {
	case 0:
		return "today"
	case 1:
		return "tomorrow"
	}
	return fmt.Sprintf("in %d days", n)
}
