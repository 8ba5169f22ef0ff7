package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/page"
)

// orderPages are what clients ask for, are offered and have ordered.
func (m *routes) orderPages() {
	m.section(section{name: "Orders", path: "/orders", key: "o", also: []string{"/quotes", "/clients", "/enquiries", "/payments"}})
	m.get("/orders", m.s.listQuotes)
	m.get("/orders/{shelf}", m.s.listQuotes)
	m.buildPages()
	m.movePages()
	m.paymentPages()
	m.moneyPages()
	m.sendingPages()
	m.clientPages()
	m.enquiryPages()
}

// orderPlaces are the lists of this section.
func orderPlaces(here string) []page.Link {
	places := []page.Link{{Text: "Quotes", Href: "/orders"}, {Text: "Enquiries", Href: "/enquiries"}, {Text: "Clients", Href: "/clients"}, {Text: "Payments", Href: "/payments"}}
	for i := range places {
		places[i].Current = places[i].Href == here
	}
	return places
}

// shelfNames are what the shelves are called on their tabs.
var shelfNames = map[store.Shelf]string{
	store.OpenOffers: "Open", store.OrdersAhead: "Accepted", store.OrdersPast: "Delivered", store.Drafts: "Drafts",
	store.LapsedOffers: "Lapsed", store.DeclinedOffers: "Declined", store.CalledOff: "Cancelled", store.EveryQuote: "All",
}

// emptyShelf says what would be on a shelf that holds nothing.
var emptyShelf = map[store.Shelf]string{
	store.OpenOffers: "No client has an offer to decide on.", store.OrdersAhead: "No order is ahead.", store.OrdersPast: "No order was delivered yet.",
	store.Drafts: "No draft waits to be issued.", store.LapsedOffers: "No offer has lapsed.", store.DeclinedOffers: "No client has declined.",
	store.CalledOff: "Nothing was called off.", store.EveryQuote: "There are no quotes.",
}

func shelfPath(v store.Shelf) string {
	if v == store.OpenOffers {
		return "/orders"
	}
	return "/orders/" + string(v)
}

// listQuotes shows one shelf of the board. Only what is on the page is read.
func (s *Server) listQuotes(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	shelf := store.Shelf(r.PathValue("shelf"))
	if shelf == "" {
		shelf = store.OpenOffers
	}
	name, there := shelfNames[shelf]
	if !there {
		return notFound("list of quotes")
	}
	words := query(r)
	path := shelfPath(shelf)
	body := page.Board{
		Title: "Quotes and orders", Places: orderPlaces("/orders"), Actions: []page.Link{{Text: "New quote", Href: "/quotes/new", Current: true}}, Last: []page.Link{{Text: "All days for a calendar", Href: "/orders/calendar.ics"}},
		Search: page.Search{Action: path, Label: "Find by client or number", Query: words, Live: "list"},
		None:   emptyShelf[shelf],
	}
	for _, v := range store.Shelves() {
		body.Tabs = append(body.Tabs, page.Link{Text: shelfNames[v], Href: shelfPath(v), Current: v == shelf})
	}
	if words != "" {
		body.None = fmt.Sprintf("Nothing under %q has %q in its client's name or number.", name, words)
		if shelf != store.EveryQuote {
			body.Beyond = &page.Link{Text: "Look through all quotes", Href: shelfPath(store.EveryQuote) + "?q=" + escapeQuery(words)}
		}
	}
	list, pager, err := s.quotePage(r, store.QuoteFilter{Shelf: shelf, Words: words}, path)
	if err != nil {
		return err
	}
	body.Rows, body.Pager = shelfRows(x.Book.Studio, shelf, list, s.today()), pager
	body.Rows.Caption = "Quotes: " + strings.ToLower(name)
	if len(list) == 0 && words == "" {
		any, _, err := s.quotePage(r, store.QuoteFilter{}, "/orders")
		if err != nil {
			return err
		}
		if len(any) == 0 {
			body.Empty = &page.Empty{
				Title: "No quotes yet", Text: "A quote prices what a client asks for with today's prices, as a paper for them and a margin for you. Begin with who asks and what for, or quote a cake right away.",
				Actions: []page.Link{{Text: "Note an enquiry", Href: "/enquiries/new"}, {Text: "Make a quote", Href: "/quotes/new"}},
			}
		}
	}
	if wantsFragment(r) {
		return s.fragment(w, r, "board", "board-list", body)
	}
	return s.show(w, r, "board", body.Title, body)
}

// query is what somebody looks for.
func query(r *http.Request) string {
	text := strings.TrimSpace(r.URL.Query().Get("q"))
	if len(text) > 200 {
		text = strings.ToValidUTF8(text[:200], "")
	}
	return text
}

// quotePage reads the quotes that a page of a list shows.
func (s *Server) quotePage(r *http.Request, f store.QuoteFilter, path string) ([]store.QuoteEntry, page.Pager, error) {
	f.On = s.today()
	from := fromOf(r.URL.Query())
	list, n, err := s.store(r).QuotesPage(r.Context(), f, store.Span{From: from, Most: pageSize})
	return list, pagerOf(from, len(list), n, r.URL.Query(), path), err
}

// fromOf is where a page of a list begins, counted from 0.
func fromOf(q url.Values) int {
	from := 0
	fmt.Sscanf(q.Get("from"), "%d", &from)
	return min(max(from, 0), 10_000_000)
}

// pagerOf leads through a list of n of which some from one on are shown.
func pagerOf(from, shown, n int, query url.Values, path string) page.Pager {
	if n <= pageSize && from == 0 {
		return page.Pager{}
	}
	at := func(from int) string { return partAt(path, query, from) }
	p := page.Pager{Text: fmt.Sprintf("%d to %d of %d", min(from+1, n), from+shown, n)}
	if n > store.MostFound && query.Get("q") != "" {
		p.Text = fmt.Sprintf("%d to %d of more than %d; another word finds fewer", min(from+1, n), from+shown, store.MostFound)
		n = store.MostFound
	}
	if from > 0 {
		p.Previous = at(max(from-pageSize, 0))
	}
	if from+shown < n {
		p.Next = at(from + shown)
	}
	return p
}

// shelfRows are the quotes of one shelf. All of a shelf stand alike, so a column
// tells what is asked of them there: until when, how soon.
func shelfRows(studio book.Studio, shelf store.Shelf, list []store.QuoteEntry, today day.Date) page.Table {
	t := quoteRows(studio, list)
	words := wordsOf(studio)
	const stands = 3
	column := func(head string, text func(store.QuoteEntry) string) {
		t.Heads[stands].Text, t.Heads[stands].Plain = head, false
		for i, q := range list {
			t.Rows[i].Cells[stands] = page.Cell{Text: text(q)}
		}
	}
	switch shelf {
	case store.OpenOffers:
		column("Open until", func(q store.QuoteEntry) string { return dayText(words, q.ValidUntil) })
	case store.LapsedOffers:
		column("Was open until", func(q store.QuoteEntry) string { return dayText(words, q.ValidUntil) })
	case store.OrdersAhead:
		column("When", func(q store.QuoteEntry) string {
			on, err := day.Parse(q.EventDate)
			if err != nil {
				return ""
			}
			return inDays(today.DaysUntil(on))
		})
		t.Heads[stands].Plain = true
	case store.EveryQuote:
	default:
		t.Heads = slices.Delete(t.Heads, stands, stands+1)
		for i := range t.Rows {
			t.Rows[i].Cells = slices.Delete(t.Rows[i].Cells, stands, stands+1)
		}
	}
	return t
}

func quoteRows(studio book.Studio, list []store.QuoteEntry) page.Table {
	words := wordsOf(studio)
	t := page.Table{Brief: true, Heads: []page.Head{{Text: "Client"}, {Text: "Quote", Plain: true}, {Text: "Event"}, {Text: "Stands", Plain: true}, {Text: "Total", Right: true, Key: true}}}
	for _, q := range list {
		number := q.Ref()
		if q.Number == nil {
			number = "draft " + number
		} else if q.Revision != "A" {
			number += ", " + q.Revision
		}
		stands := page.Cell{Text: string(q.State)}
		switch q.State {
		case quote.Issued:
			stands.Text, stands.Note = "open", "until "+dayText(words, q.ValidUntil)
		case quote.Declined, quote.Lapsed, quote.Cancelled:
			stands.Tone = "quiet"
		}
		total := page.Cell{Text: totalText(studio, q)}
		if len(q.Totals) > 0 {
			total.Note = plural(len(q.Totals), "option", "options")
		} else if q.Option != "" {
			total.Note = q.Option
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: q.Client, Href: quoteAt(q.Ref())}, {Text: number}, {Text: dayText(words, q.EventDate)}, stands, total}})
	}
	return t
}

// totalText writes what a quote comes to, or from what to what its options do.
func totalText(studio book.Studio, q store.QuoteEntry) string {
	cur, err := money.ParseCurrency(q.Currency)
	if err != nil {
		cur = studio.Currency
	}
	words := wordsOf(studio)
	var sums []money.Amount
	for _, text := range slices.Concat(q.Totals, []string{q.Total}) {
		var a money.Amount
		if text != "" && a.UnmarshalText([]byte(text)) == nil {
			sums = append(sums, a)
		}
	}
	if len(sums) == 0 {
		return ""
	}
	least, most := slices.MinFunc(sums, money.Amount.Cmp), slices.MaxFunc(sums, money.Amount.Cmp)
	if least.Equal(most) {
		return words.locale.Money(least, cur)
	}
	return words.locale.Money(least, cur) + " to " + words.locale.Money(most, cur)
}

func dayText(words words, date string) string {
	d, err := day.Parse(date)
	if err != nil {
		return date
	}
	return words.day(d)
}

func quoteAt(ref string) string   { return "/quotes/" + ref }
func clientAt(ref string) string  { return "/clients/" + ref }
func enquiryAt(ref string) string { return "/enquiries/" + ref }

// orderCrumbs lead back to the lists.
func orderCrumbs(links ...page.Link) []page.Link {
	links = append([]page.Link{{Text: "Orders", Href: "/orders"}}, links...)
	links[len(links)-1].Current = true
	return links
}
