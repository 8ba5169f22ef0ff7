package web

import (
	"bytes"
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/templates/csvfile"
	"marchpane/templates/page"
)

// moneyPages are what is owed and what came in, over all orders.
func (m *routes) moneyPages() {
	m.get("/payments", m.s.listDue)
	m.get("/payments/coming", m.s.listDue)
	m.get("/payments/received", m.s.listReceived)
	m.get("/payments/export", m.s.exportPage)
	m.get("/payments/entries.csv", m.s.exportEntries)
}

// moneyTabs are the views of what is owed and paid.
func moneyTabs(here string) []page.Link {
	tabs := []page.Link{{Text: "Overdue", Href: "/payments"}, {Text: "Still to come", Href: "/payments/coming"}, {Text: "Received", Href: "/payments/received"}, {Text: "For the book-keeper", Href: "/payments/export"}}
	for i := range tabs {
		tabs[i].Current = tabs[i].Href == here
	}
	return tabs
}

func (s *Server) moneyBoard(here string) page.Board {
	return page.Board{Title: "Payments", Places: orderPlaces("/payments"), Tabs: moneyTabs(here)}
}

// owing is what clients owe, and what that comes to by currency.
type owing struct {
	list []quote.Due
	sums []quote.DueSum
}

// dues lists what is owed on a day, the oldest first: what is late, or what is not
// due yet.
func (s *Server) dues(r *http.Request, on day.Date, coming bool) (owing, error) {
	return remembered(r, fmt.Sprint("dues ", on, coming), func() (owing, error) {
		var open []quote.Order
		if err := s.store(r).EachAccount(r.Context(), on, func(o quote.Order) { open = append(open, o) }); err != nil {
			return owing{}, err
		}
		list := quote.DueList(open, on, coming)
		if coming {
			list = slices.DeleteFunc(list, func(d quote.Due) bool { return d.Late > 0 })
		}
		return owing{list, quote.SumDue(list)}, nil
	})
}

// listDue shows who is late with a payment, or what is still to come.
func (s *Server) listDue(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	on, faults := s.asOf(r)
	coming := r.URL.Path == "/payments/coming"
	owed, err := s.dues(r, on, coming)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	body := s.moneyBoard(r.URL.Path)
	body.AsOf = s.asOfForm(r, on, faults)
	body.AsOf.Field.Label = "As it stands on"
	body.None = "Nobody owes anything that is past its day."
	if coming {
		body.None = "Nothing is still to come. What is to be paid follows from the orders that clients accepted."
	}
	body.Sums = "In all"
	for _, sum := range owed.sums {
		f := page.Figure{Label: "Overdue", Note: plural(sum.Latecomers, "order", "orders"), Value: words.in(sum.Currency).amount(sum.Late), Strong: true, Tone: "bad"}
		if coming {
			f = page.Figure{Label: "Still to come", Value: words.in(sum.Currency).amount(sum.Coming), Strong: true}
		}
		body.Figures = append(body.Figures, f)
	}
	shown, pager := paged(owed.list, r.URL.Query(), r.URL.Path)
	body.Pager = pager
	body.Rows = page.Table{Caption: "What clients owe, the oldest first", Brief: true, Heads: []page.Head{{Text: "Client"}, {Text: "Order", Plain: true}, {Text: "Event"}, {Text: "Due"}, {Text: "Left to pay", Right: true, Key: true}, {Text: "Write", Plain: true}}}
	for _, d := range shown {
		due := page.Cell{Text: words.day(d.Due)}
		if d.Late > 0 {
			due.Note, due.Tone = plural(d.Late, "day late", "days late"), "bad"
		}
		body.Rows.Rows = append(body.Rows.Rows, page.Row{Cells: []page.Cell{
			{Text: d.Client, Href: quoteAt(d.Quote) + "#account"}, {Text: d.Quote}, {Text: words.day(d.Event)}, due, {Text: moneyOf(words, d)}, {Text: "Remind them", Href: quoteAt(d.Quote) + "/letter?kind=reminder"},
		}})
	}
	return s.show(w, r, "board", body.Title, body)
}

// moneyOf writes what is due in the currency that it is due in.
func moneyOf(words words, d quote.Due) string { return words.in(d.Currency).amount(d.Left) }

// in writes money in the currency of a code. An order keeps the currency that it
// was accepted in, whatever the studio charges in since.
func (w words) in(code string) words {
	if c, err := money.ParseCurrency(code); err == nil {
		w.currency = c
	}
	return w
}

// received is what came in and went back in some days, and what currency each
// order is paid in.
type received struct {
	list []quote.Payment
	in   map[string]string
}

// byCurrency parts payments by the currency they were made in, that of the
// studio first.
func (v received) byCurrency(first string) (codes []string, parts map[string][]quote.Payment) {
	parts = map[string][]quote.Payment{}
	if len(v.list) > 0 {
		only := v.in[v.list[0].Quote]
		if !slices.ContainsFunc(v.list, func(p quote.Payment) bool { return v.in[p.Quote] != only }) {
			// As nearly everywhere: thousands of payments need not be copied.
			return []string{only}, map[string][]quote.Payment{only: v.list}
		}
	}
	for _, p := range v.list {
		code := v.in[p.Quote]
		if parts[code] == nil {
			codes = append(codes, code)
		}
		parts[code] = append(parts[code], p)
	}
	slices.SortFunc(codes, func(a, b string) int {
		if (a == first) != (b == first) {
			if a == first {
				return -1
			}
			return 1
		}
		return cmp.Compare(a, b)
	})
	return codes, parts
}

// moneySpan reads the days of a list of payments: this month where none are
// said.
func (s *Server) moneySpan(q url.Values) (from, to day.Date, faults record.Faults) {
	today := s.today()
	return readDays(q, today.AddDays(1-today.Time().Day()), func(from day.Date) day.Date { return day.Later(from, today) })
}

// spanFields ask for the first and the last day.
func spanFields(a *asking, from, to day.Date) []page.Field {
	return []page.Field{
		fieldOf(a, page.Field{Name: "from", Label: "From", Kind: "date", Required: true}, from.String()),
		fieldOf(a, page.Field{Name: "to", Label: "To", Kind: "date", Required: true}, to.String()),
	}
}

// typedIn is what an address says, or nothing where it says none of it.
func typedIn(q url.Values, names ...string) url.Values {
	for _, name := range names {
		if q.Get(name) != "" {
			return q
		}
	}
	return nil
}

// listReceived shows what came in and went back from one day to another.
func (s *Server) listReceived(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	from, to, faults := s.moneySpan(r.URL.Query())
	body := s.moneyBoard("/payments/received")
	a := ask(r.URL.Query(), faults)
	body.Span = &page.Form{Action: "/payments/received", Get: true, Quiet: true, Button: "Show these days", Fields: spanFields(a, from, to)}
	body.Span.Faults = a.rest()
	body.None = "No payment is noted in these days. Note one on the page of its order, under Money."
	if len(faults) > 0 {
		body.None = "Mend the days first."
		return s.showAs(w, r, http.StatusUnprocessableEntity, "board", body.Title, body)
	}
	words := wordsOf(x.Book.Studio)
	came, err := remembered(r, fmt.Sprint("received ", from, to), func() (v received, err error) {
		if v.list, err = s.store(r).Payments(r.Context(), from, to); err != nil {
			return v, err
		}
		slices.Reverse(v.list)
		v.in, err = s.store(r).PaidIn(r.Context(), from, to)
		return v, err
	})
	if err != nil {
		return err
	}
	body.Sums = "In these days"
	codes, parts := came.byCurrency(words.currency.Code())
	for _, code := range codes {
		sums, words := quote.Takings(parts[code]), words.in(code)
		for _, t := range sums.By {
			body.Figures = append(body.Figures, page.Figure{Label: capital(string(t.Means)), Value: words.amount(t.Sum)})
		}
		body.Figures = append(body.Figures, page.Figure{Label: "Received, less what went back", Note: words.day(from) + " to " + words.day(to), Value: words.amount(sums.Sum), Strong: true})
	}
	shown, pager := paged(came.list, r.URL.Query(), "/payments/received")
	body.Pager = pager
	body.Rows = page.Table{Caption: "Payments, the last first", Brief: true, Heads: []page.Head{{Text: "Client"}, {Text: "Receipt", Plain: true}, {Text: "Day", Plain: true}, {Text: "How", Plain: true}, {Text: "Amount", Right: true, Key: true}, {Text: "Write", Plain: true}}}
	for _, p := range shown {
		client, err := s.payer(r, p.Quote)
		if err != nil {
			return err
		}
		how := page.Cell{Text: string(p.Means), Note: p.Note}
		write := page.Cell{Text: "Send the receipt", Href: quoteAt(p.Quote) + "/letter?kind=receipt&payment=" + p.Number}
		switch {
		case p.Undone != "":
			write = page.Cell{Text: "taken back by " + p.Undone, Tone: "quiet"}
		case p.Undoes != "":
			write = page.Cell{Text: "takes " + p.Undoes + " back", Tone: "quiet"}
		}
		body.Rows.Rows = append(body.Rows.Rows, page.Row{Cells: []page.Cell{
			{Text: client, Href: quoteAt(p.Quote) + "#account", Note: p.Quote}, {Text: p.Number, Href: "/payments/" + p.Number + ".pdf"}, {Text: words.day(p.On)}, how, {Text: words.in(came.in[p.Quote]).amount(p.Amount)}, write,
		}})
	}
	return s.show(w, r, "board", body.Title, body)
}

// payer is whose order it is.
func (s *Server) payer(r *http.Request, number string) (string, error) {
	return remembered(r, "payer "+number, func() (string, error) {
		q, err := s.store(r).Quote(r.Context(), number, "", s.today())
		return q.Quote.Offer.Client.Name, err
	})
}

// ledgerWords say what stands on each account.
var ledgerWords = map[quote.Ledger]string{
	quote.CashLedger: "Cash", quote.BankLedger: "Bank: transfers, cards, cheques", quote.ClientsLedger: "Owed by clients, and paid in advance",
	quote.TaxLedger: "Tax charged", quote.SalesLedger: "Sales without tax", quote.CancellationLedger: "Fees for orders called off",
}

// exportPage asks which days the book-keeper wants, and what the accounts are
// called there.
func (s *Server) exportPage(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	return s.exportForm(w, r, http.StatusOK, nil)
}

func (s *Server) exportForm(w http.ResponseWriter, r *http.Request, status int, faults record.Faults) error {
	from, to, _ := s.moneySpan(r.URL.Query())
	names := []string{"from", "to"}
	for _, l := range quote.Ledgers() {
		names = append(names, "account."+string(l))
	}
	a := ask(typedIn(r.URL.Query(), names...), faults)
	body := s.moneyBoard("/payments/export")
	f := &page.Form{Action: "/payments/entries.csv", Get: true, Title: "Entries for the book-keeper", Button: "Save the entries (CSV)",
		Lead: "Double entries of sales on the day of the event, of payments and of fees for orders called off. Money paid in advance stands on the clients' account until the day of the event. Where tax falls due on an advance already, your book-keeper will want to know: this is no tax advice."}
	f.Fields = spanFields(a, from, to)
	var accounts []page.Field
	for _, l := range quote.Ledgers() {
		accounts = append(accounts, a.field(page.Field{Name: "account." + string(l), Label: ledgerWords[l], Value: string(l)}))
	}
	called := page.Group{Title: "What the accounts are called in their books", Fields: accounts, Open: page.Form{Fields: accounts}.Count() > 0 || typedIn(r.URL.Query(), names[2:]...) != nil}
	f.Groups = []page.Group{called}
	f.Faults = a.rest()
	body.Span = f
	return s.showAs(w, r, status, "board", body.Title, body)
}

// exportEntries gives the double entries of a span as a file.
func (s *Server) exportEntries(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	q := r.URL.Query()
	from, to, faults := s.moneySpan(q)
	if len(faults) > 0 {
		return s.exportForm(w, r, http.StatusUnprocessableEntity, faults)
	}
	names := map[quote.Ledger]string{}
	for _, l := range quote.Ledgers() {
		names[l] = cmp.Or(q.Get("account."+string(l)), string(l))
	}
	orders, err := s.store(r).AllOrders(r.Context())
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := csvfile.Journal(&text, orders, quote.Journal(orders, from, to), names); err != nil {
		return err
	}
	return attach(w, r, fmt.Sprintf("entries-%s-to-%s.csv", from, to), "text/csv; charset=utf-8", text.Bytes())
}
