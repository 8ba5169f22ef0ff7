package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

func (m *routes) quotePages() {
	m.orderPages()
	m.get("/quotes/{ref}", m.s.showQuote)
	m.get("/quotes/{ref}/{paper}", m.s.quotePaper)
}

// quotePaper is the PDF of a revision of a quote: /quotes/2026-0001/A.pdf. A
// draft has one revision, and newest.pdf is the newest of any.
func (s *Server) quotePaper(w http.ResponseWriter, r *http.Request) error {
	revision, ok := strings.CutSuffix(r.PathValue("paper"), ".pdf")
	if !ok {
		return notFound("paper")
	}
	if revision == "newest" {
		revision = ""
	}
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), revision, s.today())
	if err != nil {
		return err
	}
	paper, err := s.Desk.QuotePDF(r.Context(), s.store(r), q, readPaper(r.URL.Query()))
	if err != nil {
		return err
	}
	return sendPDF(w, r, q.Ref()+q.Quote.Revision+".pdf", paper)
}

// stood says whether a quote that is open has lapsed by another day, once one is
// asked for: of where a quote stands only that follows from the day.
func (s *Server) stood(r *http.Request, words words, q store.SavedQuote) (page.AsOf, string, error) {
	if q.Life.State != quote.Issued && q.Life.State != quote.Lapsed && !q.Life.Pending() {
		return page.AsOf{}, "", nil
	}
	on, faults := s.asOf(r)
	f := s.asOfForm(r, on, faults)
	f.Action, f.Field.Label = quoteAt(q.Ref())+"#trail", "Has it lapsed by"
	if len(faults) > 0 || on == s.today() {
		return f, "", nil
	}
	then, err := s.store(r).Quote(r.Context(), q.Ref(), "", on)
	if err != nil {
		return f, "", err
	}
	return f, "On " + words.day(on) + ": " + standing(words, then), nil
}

// readPaper reads how a paper is wanted. What is no size is the studio's.
func readPaper(q url.Values) PaperAsk {
	ask := PaperAsk{Unmarked: q.Get("mark") == "no"}
	if size := q.Get("paper"); slices.ContainsFunc(paperSizes, func(o page.Option) bool { return o.Value == size }) {
		ask.Size = size
	}
	return ask
}

// paperSizes are the sizes on which a paper can be had.
var paperSizes = []page.Option{{Value: "", Text: "the studio’s"}, {Value: "a4", Text: "A4"}, {Value: "letter", Text: "Letter"}}

// paperForm asks for the paper of a quote on another size, or as it was issued
// where something stands across it.
func paperForm(q url.Values, path, mark string) page.Form {
	f := page.Form{Action: path + "#paper", Get: true, Button: "Show it so", Quiet: true}
	for _, key := range []string{"revision", "room"} {
		if v := q.Get(key); v != "" {
			f.Fields = append(f.Fields, page.Field{Name: key, Kind: "hidden", Value: v})
		}
	}
	a, is := ask(nil, nil), readPaper(q)
	f.Fields = append(f.Fields, a.field(page.Field{Name: "paper", Label: "Size of the paper", Kind: "choice", Value: is.Size, Options: slices.Clone(paperSizes)}))
	if mark != "" {
		said := ""
		if is.Unmarked {
			said = "no"
		}
		f.Fields = append(f.Fields, a.field(page.Field{Name: "mark", Label: "Across it", Kind: "choice", Value: said, Options: []page.Option{{Value: "", Text: mark}, {Value: "no", Text: "nothing: as it was issued"}}}))
	}
	return f
}

// sendPDF sends a paper that a page may show in a frame.
func sendPDF(w http.ResponseWriter, r *http.Request, name string, paper []byte) error {
	w.Header().Set("Content-Security-Policy", paperPolicy)
	w.Header().Set("Content-Disposition", fmt.Sprintf("inline; filename=%q", name))
	return send(w, r, http.StatusOK, "application/pdf", paper)
}

func (s *Server) showQuote(w http.ResponseWriter, r *http.Request) error {
	return s.quoteWith(w, r, http.StatusOK, returned{})
}

// quoteWith shows a quote, with one of its forms as it came back.
func (s *Server) quoteWith(w http.ResponseWriter, r *http.Request, status int, came returned) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	st, ref, today := s.store(r), r.PathValue("ref"), s.today()
	q, err := st.Quote(r.Context(), ref, r.URL.Query().Get("revision"), today)
	if err != nil {
		return err
	}
	if q.Ref() != ref && r.Method == http.MethodGet {
		http.Redirect(w, r, quoteAt(q.Ref()), http.StatusSeeOther) // a draft that has a number by now
		return nil
	}
	trail, err := st.Trail(r.Context(), ref)
	if err != nil {
		return err
	}
	sent, err := st.Sendings(r.Context(), ref)
	if err != nil {
		return err
	}
	party, err := st.PartyOf(r.Context(), ref)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	name := quoteName(q)
	body := page.Quote{
		Title: name, Lead: standing(words, q), Paper: withQuery(quoteAt(q.Ref())+"/"+q.Quote.Revision+".pdf", picked(r.URL.Query(), "paper", "mark")),
		PaperAs: paperForm(r.URL.Query(), quoteAt(q.Ref()), s.Desk.Mark(q)),
		Changes: changeRows(words, q.Quote), Trail: trailRows(words, q, trail, sent),
	}
	body.Offers, body.Notes = offersOf(x, q.Quote, today, func(one quote.Quote) bool {
		return q.Life.Order != q.Quote.Revision || q.Life.Option == "" || one.Chosen == q.Life.Option
	})
	body.Facts = quoteFacts(words, q, party)
	body.Revisions = revisionTabs(q, trail)
	if body.StoodAs, body.Stood, err = s.stood(r, words, q); err != nil {
		return err
	}
	current := q.Quote.Revision == q.Life.Stands() || q.Quote.Revision == q.Life.Newest
	if !current {
		body.Notes = append(body.Notes, fmt.Sprintf("This is revision %s. What stands is revision %s.", q.Quote.Revision, q.Life.Stands()))
	}
	if current {
		body.Moves = moveForms(words, q, trail, today, came)
	}
	if q.Life.Order != "" {
		order, err := st.Order(r.Context(), ref)
		if err != nil {
			return err
		}
		body.Account = accountOf(words, order, today, came)
		left := body.Account.Figures[2]
		left.Href = "#account"
		body.Facts = append(body.Facts, left)
	}
	s.quoteActions(&body, q, party)
	if q.Life.State == quote.DraftState || q.Life.State == quote.Issued {
		// Planning three weeks around the event takes longer than all the rest of
		// the page, so it is done when somebody asks.
		body.RoomAt = quoteAt(q.Ref()) + "?room=yes#room"
		if r.URL.Query().Get("room") != "" {
			body.RoomAt = ""
			body.Room = s.roomFor(r, words, q.Ref(), q.Quote)
		}
	}
	return s.showAs(w, r, status, "quote", name, body, orderCrumbs(page.Link{Text: name})...)
}

// quoteName is what a quote is called: its number, or its draft.
func quoteName(q store.SavedQuote) string {
	if q.Quote.Draft() {
		return "Draft " + q.Draft + " for " + q.Quote.Offer.Client.Name
	}
	return "Quote " + q.Quote.Number + " for " + q.Quote.Offer.Client.Name
}

// quoteCrumb leads back to a quote from what is done with it.
func quoteCrumb(q store.SavedQuote) page.Link {
	name, _, _ := strings.Cut(quoteName(q), " for ")
	return page.Link{Text: name, Href: quoteAt(q.Ref())}
}

// standing says where a quote stands.
func standing(words words, q store.SavedQuote) string {
	l := q.Life
	switch {
	case l.State == quote.DraftState:
		return "A draft: it has no number, and nobody has seen it. Issue it when it is right."
	case l.Pending():
		return fmt.Sprintf("Revision %s is offered to change the order, until %s. The order stands as revision %s until the client accepts.", l.Newest, words.day(l.ValidUntil), l.Order)
	case l.State == quote.Accepted && l.Option != "":
		return fmt.Sprintf("Accepted in revision %s, option “%s”.", l.Order, l.Option)
	case l.State == quote.Accepted:
		return fmt.Sprintf("Accepted in revision %s.", l.Order)
	case l.State == quote.Issued:
		return "Open: the client may accept until " + words.day(l.ValidUntil) + "."
	case l.State == quote.Lapsed:
		return "Lapsed: it was good until " + words.day(l.ValidUntil) + ". Revise it to offer it anew."
	case l.State == quote.Declined:
		return "Declined by the client. Revise it to offer it anew."
	}
	return "Called off. It cannot be taken up again; another like it can be made."
}

func quoteFacts(words words, q store.SavedQuote, party store.Party) []page.Figure {
	h := q.Quote.Offer.Heading
	client := page.Figure{Label: "Client", Value: h.Client.Name}
	if party.Client != "" {
		client.Leads = clientAt(party.Client)
	}
	facts := []page.Figure{client, {Label: "Event", Value: words.locale.LongDate(h.EventDate)}}
	if h.Venue != "" {
		facts = append(facts, page.Figure{Label: "Place", Value: h.Venue})
	}
	if h.Guests > 0 {
		facts = append(facts, page.Figure{Label: "Guests", Value: fmt.Sprint(h.Guests)})
	}
	if party.Enquiry != "" {
		facts = append(facts, page.Figure{Label: "Answers enquiry", Value: party.Enquiry, Leads: enquiryAt(party.Enquiry)})
	}
	made := "Made"
	if !q.Quote.Draft() {
		made = "Issued"
	}
	facts = append(facts, page.Figure{Label: made, Value: words.day(h.IssuedOn)})
	if q.Life.Order == "" {
		facts = append(facts, page.Figure{Label: "Good until", Value: words.day(h.ValidUntil)})
	}
	return append(facts, totalFigure(words, q))
}

// totalFigure is what a quote comes to, or from what to what.
func totalFigure(words words, q store.SavedQuote) page.Figure {
	words.currency = q.Quote.Offer.Studio.Currency
	var least, most money.Amount
	for i, one := range q.Quote.Choices() {
		if q.Life.Order == q.Quote.Revision && q.Life.Option != "" && one.Chosen != q.Life.Option {
			continue
		}
		total := one.Offer.Total
		if i == 0 || least.IsZero() || total.Cmp(least) < 0 {
			least = total
		}
		if total.Cmp(most) > 0 {
			most = total
		}
	}
	f := page.Figure{Label: "Total", Value: words.amount(most), Strong: true}
	if !least.Equal(most) {
		f.Value = words.amount(least) + " to " + words.amount(most)
	}
	return f
}

// revisionTabs leads to each revision that was issued.
func revisionTabs(q store.SavedQuote, trail []quote.Step) []page.Link {
	var tabs []page.Link
	for _, step := range trail {
		if step.Move == quote.Issue || step.Move == quote.Revise {
			tabs = append(tabs, page.Link{Text: "Revision " + step.Revision, Href: quoteAt(q.Ref()) + "?revision=" + step.Revision, Current: step.Revision == q.Quote.Revision})
		}
	}
	if len(tabs) < 2 {
		return nil
	}
	return tabs
}

func (s *Server) quoteActions(body *page.Quote, q store.SavedQuote, party store.Party) {
	at := quoteAt(q.Ref())
	add := func(text, href string, main bool) {
		body.Actions = append(body.Actions, page.Link{Text: text, Href: href, Current: main})
	}
	more := func(text, href string) {
		body.More = append(body.More, page.Link{Text: text, Href: href})
	}
	past := !q.Quote.Offer.EventDate.After(s.today())
	if q.Quote.Draft() {
		add("Issue it", at+"/issue", true)
		add("Edit", at+"/edit", false)
	} else {
		if a := body.Account; a != nil && len(a.Add.Fields) > 0 && !a.Add.Folded {
			add("Note a payment", "#payment", false)
		}
		if len(s.Desk.LetterKinds(q)) > 0 {
			text := "Write to the client"
			if days := s.today().DaysUntil(q.Life.ValidUntil); q.Life.State == quote.Issued && days <= lapseDays {
				text = "Remind the client: it lapses " + inDays(days)
			}
			add(text, at+"/letter", q.Life.State == quote.Issued)
		}
		if q.Life.State == quote.Issued && len(body.Moves) > 0 {
			add("The client decides", "#moves", false)
		}
		if q.Life.Check(q.Ref(), quote.Revise, s.today()) == nil {
			add("Revise", at+"/revise", q.Life.State == quote.Lapsed || q.Life.State == quote.Declined)
		}
		if q.Life.Order != "" && q.Life.State != quote.Cancelled {
			if past {
				add("How it really went", "/orders/"+q.Ref()+"/actuals", false)
			} else {
				more("How it really went", "/orders/"+q.Ref()+"/actuals")
			}
		}
		body.Files = append(body.Files, page.Link{Text: "Its days for a calendar", Href: at + "/calendar.ics"})
	}
	body.Files = append(body.Files, page.Link{Text: "Its request as a file (JSON)", Href: withQuery(at+"/request.json", url.Values{"revision": {q.Quote.Revision}})})
	if party.Client == "" {
		more("Keep the client", at+"/client")
	}
	if !past {
		more("What it may cost on its day", at+"/outlook")
	}
	if q.Life.State == quote.Cancelled {
		add("Another like it", "/quotes/new?like="+q.Ref(), false)
	} else {
		more("Another like it", "/quotes/new?like="+q.Ref())
	}
	if q.Quote.Draft() {
		more("Throw it away", at+"/drop")
	}
}

// offerOf shows one offer, and what the studio should know of it on a day: the
// labels of what is eaten by then are nobody's question any more.
func offerOf(x *book.Index, q quote.Quote, on day.Date) page.Offer {
	o, studio := q.Offer, x.Book.Studio
	words := words{document.InEnglish(studio.Locale.Or("en")), o.Studio.Currency}
	out := page.Offer{Title: q.Chosen, Lines: page.Table{Caption: "What is offered", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Amount", Right: true, Key: true}}}}
	for _, l := range o.Lines {
		cell := page.Cell{Text: capital(l.Name)}
		if _, there := x.Cake(l.ID); there && l.Kind == quote.CakeLine {
			cell.Href = cakes.at(l.ID)
		}
		if l.Quantity != 1 && l.Kind != quote.DiscountLine && l.Kind != quote.MinimumLine {
			cell.Note = fmt.Sprintf("%d at %s each", l.Quantity, words.amount(l.UnitPrice))
		}
		out.Lines.Rows = append(out.Lines.Rows, page.Row{Cells: []page.Cell{cell, {Text: words.amount(l.Amount)}}})
	}
	label := o.Studio.TaxLabel
	if label == "" {
		label = "tax"
	}
	for _, t := range o.Tax {
		name := fmt.Sprintf("%s %s on %s", label, words.rate(t.Rate), words.amount(t.Net))
		if o.Shown == book.Gross {
			// It is within the total, and no line that adds up to it.
			out.Figures = append(out.Figures, page.Figure{Label: "Of which " + name, Value: words.amount(t.Tax)})
			continue
		}
		out.Lines.Rows = append(out.Lines.Rows, page.Row{Cells: []page.Cell{{Text: capital(name)}, {Text: words.amount(t.Tax)}}})
	}
	out.Lines.Foot = []page.Row{{Cells: []page.Cell{{Text: "Total"}, {Text: words.amount(o.Total)}}}}
	for _, i := range o.Instalments {
		if i.Amount.IsZero() {
			continue
		}
		name := "Due "
		if i.Deposit {
			name = "Deposit, due "
		}
		out.Figures = append(out.Figures, page.Figure{Label: name + words.day(i.Due), Value: words.amount(i.Amount)})
	}
	out.Own = []page.Figure{{Label: "Comes in without tax", Value: words.money(q.Basis.Net)}, {Label: "Costs", Value: words.money(q.Basis.Cost)}}
	if m, ok := q.Basis.Margin(); ok {
		f := page.Figure{Label: "Margin", Value: words.percent(m), Strong: true}
		if floor := studio.FloorMargin.Or(measure.Percent{}).Fraction(); m.Cmp(floor) < 0 {
			f.Tone = "bad"
			out.Notes = append(out.Notes, "The margin is below your floor of "+words.rate(floor)+".")
		}
		out.Own = append(out.Own, f)
	}
	served := page.Figure{Label: "Portions", Value: words.count(o.Sale.Served())}
	if o.Guests > 0 {
		served.Label, served.Value = "Portions for guests", words.count(o.Sale.Served())+" for "+words.count(o.Guests)
		if o.Sale.Served() < o.Guests {
			served.Tone = "bad"
			out.Notes = append(out.Notes, fmt.Sprintf("It serves %s, and %s are expected.", words.counted(o.Sale.Served(), "portion", "portions"), words.counted(o.Guests, "guest", "guests")))
		}
	}
	out.Own = append(out.Own, served)
	return out
}

// offersOf is [offerOf] for each option of a quote, and what wants looking at in
// all of them, which is told once.
func offersOf(x *book.Index, q quote.Quote, on day.Date, shown func(quote.Quote) bool) (offers []page.Offer, notes []string) {
	for _, one := range q.Choices() {
		if shown == nil || shown(one) {
			offers = append(offers, offerOf(x, one, on))
		}
	}
	if note := q.LabelNote(x); note != "" && !q.Offer.EventDate.Before(on) {
		notes = append(notes, sentence(note))
	}
	if note := LackingNote(q); note != "" {
		notes = append(notes, sentence(note))
	}
	if len(offers) == 1 {
		offers[0].Notes, notes = append(offers[0].Notes, notes...), nil
	}
	return offers, notes
}

// changeRows says what a revision changes, in words and in money.
func changeRows(words words, q quote.Quote) page.Table {
	t := page.Table{Caption: "Against the revision before", Brief: true, Heads: []page.Head{{Text: "What changes"}, {Text: "Of the total", Right: true, Key: true}}}
	for _, c := range changesOf(q) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: minus(c.Text), Note: c.Option}, {Text: minus(c.Money)}}})
	}
	return t
}

// changesOf puts what a revision changes into words, in the language of these
// pages whatever the client's paper is written in.
func changesOf(q quote.Quote) []document.ChangeLine {
	q.Offer.Language = "en"
	return document.FromQuote(q).Changes.Lines
}

// moveInWords is what somebody did.
var moveInWords = map[quote.Move]string{
	quote.Issue: "Issued", quote.Revise: "Revised", quote.Accept: "Accepted", quote.Decline: "Declined", quote.Cancel: "Cancelled",
}

func trailRows(words words, q store.SavedQuote, trail []quote.Step, sent []store.Sending) page.Table {
	t := page.Table{Caption: "What was done, the last first", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Day", Key: true}, {Text: "Revision"}, {Text: "Why", Plain: true}}}
	if len(trail) == 0 {
		return t
	}
	cur := q.Quote.Offer.Studio.Currency
	for i := len(trail) - 1; i >= 0; i-- {
		step := trail[i]
		what := page.Cell{Text: moveInWords[step.Move], Note: step.Option}
		if step.Move == quote.Cancel && !step.Fee.IsZero() {
			what.Note = "fee " + words.locale.Money(step.Fee, cur)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{what, {Text: words.day(step.On), Note: recorded(step.At, step.On.String())}, {Text: step.Revision}, {Text: step.Reason}}})
	}
	for i := len(sent) - 1; i >= 0; i-- {
		l := sent[i]
		how := map[string]string{"file": "written as a file", "server": "sent"}[l.How]
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "Letter: " + l.Kind, Note: how}, {Text: dayText(words, l.At[:len("2026-11-25")])}, {Text: l.Revision}, {}}})
	}
	return t
}

// recorded says when something was noted, where that was on another day.
func recorded(at, on string) string {
	if strings.HasPrefix(at, on) || len(at) < len(on) {
		return ""
	}
	return "noted " + at[:len("2026-11-25")]
}

// roomFor says how full the days of a quote are. A quote stands whatever the
// kitchen says, so nothing here fails it.
func (s *Server) roomFor(r *http.Request, words words, ref string, q quote.Quote) []page.Notes {
	rooms, err := s.Desk.Room(r.Context(), s.store(r), ref, q)
	if err != nil {
		return []page.Notes{{Title: "Room in the kitchen", Lines: []string{"How full the days are could not be told: " + sentence(err.Error())}}}
	}
	hours := []page.Link{{Text: "Change the hours", Href: "/kitchen/hours"}}
	var list []page.Notes
	for _, room := range rooms {
		v := page.Notes{Title: "Room in the kitchen", Bad: len(room.Trouble) > 0}
		if v.Bad {
			v.Title, v.More = "Room in the kitchen: too little", hours
		}
		if room.Option != "" {
			v.Title += ", " + room.Option
		}
		for _, text := range room.Trouble {
			v.Lines = append(v.Lines, words.daysIn(capital(text)))
		}
		begins := "Work begins by " + words.daysIn(room.StartBy) + "."
		switch {
		case len(room.Days) == 0 && !v.Bad:
			v.Lines, v.More = append(v.Lines, begins+" Nothing that it takes is limited: say how many hours a day has, and it is told whether they are enough."), hours
		case v.Bad:
			v.Lines = append(v.Lines, begins)
		default:
			v.Lines = append(v.Lines, "There is room on every day. "+begins)
		}
		v.Shown = len(v.Lines)
		for _, text := range room.Days {
			v.Lines = append(v.Lines, words.daysIn(capital(text)))
		}
		list = append(list, v)
	}
	return list
}

// refusedText puts the store's refusals into words of these pages.
func refusedText(err error) error {
	if errors.Is(err, store.ErrConflict) {
		return problem{Status: http.StatusConflict, Title: "That cannot be done", Text: sentence(err.Error())}
	}
	return err
}

// amountIn reads money as finely as the currency has coins for it.
func amountIn(cur money.Currency, text string) (money.Amount, error) {
	if err := oneWay(cur, text); err != nil {
		return money.Amount{}, err
	}
	price, err := money.ParsePrice(text)
	if err != nil {
		return money.Amount{}, fmt.Errorf("%.40q is no amount; write it plainly, such as 180.00", text)
	}
	if !cur.Fits(price) {
		return money.Amount{}, fmt.Errorf("%s is finer than the smallest coin of %s; round it", text, cur.Code())
	}
	return cur.Round(price.Number()), nil
}
