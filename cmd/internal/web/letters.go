package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"

	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// sendingPages are what is written to a client about a quote.
func (m *routes) sendingPages() {
	m.get("/quotes/{ref}/letter", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.sendingPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/quotes/{ref}/letter", m.s.readLetter)
	m.post("/quotes/{ref}/letter/file", m.s.writeLetter)
	m.post("/quotes/{ref}/letter/send", m.s.sendLetter)
	m.get("/orders/calendar.ics", m.s.studioCalendar)
	m.get("/quotes/{ref}/calendar.ics", m.s.quoteCalendar)
	m.get("/quotes/{ref}/client", m.s.keepClientPage)
	m.post("/quotes/{ref}/client", m.s.keepClient)
}

// aboutLetters say what the kinds of letter are for.
var aboutLetters = map[string]string{
	"quote": "the quote, with its paper", "revision": "the revision, with its paper", "receipt": "a receipt", "reminder": "a reminder of what is due", "cancellation": "what calling it off means",
}

func (s *Server) sendingPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	st, ref := s.store(r), r.PathValue("ref")
	q, err := st.Quote(r.Context(), ref, "", s.today())
	if err != nil {
		return err
	}
	at := quoteAt(q.Ref())
	kinds := s.Desk.LetterKinds(q)
	if len(kinds) == 0 {
		return problem{Status: http.StatusConflict, Title: "There is nothing to write about", Text: "No letter fits a quote that stands as this one does. A draft is issued first; what has lapsed is revised.", Actions: []page.Link{{Text: "Go back", Href: at}}}
	}
	kind := kinds[0]
	if wanted := r.URL.Query().Get("kind"); slices.Contains(kinds, wanted) {
		kind = wanted
	}
	var choices []page.Option
	for _, k := range kinds {
		choices = append(choices, page.Option{Value: k, Text: aboutLetters[k]})
	}
	f := page.Form{Action: at + "/letter", Button: "Read the letter", Cancel: at,
		Lead: "The next page shows the whole letter, with the paper that goes with it, in the client's language. Nothing goes out before you say so there.",
		Fields: []page.Field{
			a.field(page.Field{Name: "kind", Label: "About", Kind: "choice", Value: kind, Options: choices}),
			a.field(page.Field{Name: "to", Label: "To", Kind: "email", Value: q.Quote.Offer.Client.Email.Value}),
		}}
	if slices.Contains(kinds, "receipt") {
		order, err := st.Order(r.Context(), ref)
		if err != nil {
			return err
		}
		receipts := []page.Option{{Text: "the last"}}
		for _, p := range slices.Backward(order.Payments) {
			if p.Undone == "" && p.Undoes == "" {
				receipts = append(receipts, page.Option{Value: p.Number, Text: p.Number + ", " + wordsIn(order).amount(p.Amount)})
			}
		}
		f.Fields = append(f.Fields, a.field(page.Field{Name: "payment", Label: "For a receipt: which payment", Kind: "choice", Value: r.URL.Query().Get("payment"), Options: receipts}))
	}
	f.Fields = append(f.Fields, a.field(page.Field{Name: "note", Label: "Your own words in this letter", Kind: "long", Wide: true}),
		a.field(page.Field{Name: "calendar", Label: "Attach its days as a calendar file", Kind: "tick", Wide: true}))
	f.Faults = a.rest()
	body := page.FormPage{Title: "Write to " + q.Quote.Offer.Client.Name, Form: f}
	return s.showAs(w, r, status, "formpage", body.Title, body, orderCrumbs(quoteCrumb(q), page.Link{Text: "Letter"})...)
}

// readLetter shows the letter that was asked for, or goes back to asking.
func (s *Server) readLetter(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if f.ticked("change") {
		return s.sendingPage(w, r, http.StatusOK, ask(f.values, nil))
	}
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), "", s.today())
	if err != nil {
		return err
	}
	return s.orAskAgain(w, r, f, s.readingPage(w, r, http.StatusOK, q, askedLetter(f)))
}

// orAskAgain shows the form of a letter again where it lacks something.
func (s *Server) orAskAgain(w http.ResponseWriter, r *http.Request, f form, err error) error {
	var fault LetterFault
	if !errors.As(err, &fault) {
		return err
	}
	return s.sendingPage(w, r, http.StatusUnprocessableEntity, ask(f.values, record.Faults{{Problem: plainly(fault.Error())}}))
}

// writeLetter gives the letter as a file.
func (s *Server) writeLetter(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), "", s.today())
	if err != nil {
		return err
	}
	made, err := s.Desk.Letter(r.Context(), s.store(r), q, askedLetter(f))
	if err != nil {
		return s.orAskAgain(w, r, f, err)
	}
	return attach(w, r, made.Name, "message/rfc822", made.Data)
}

// attach sends a file that is to be kept.
func attach(w http.ResponseWriter, r *http.Request, name, kind string, data []byte) error {
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	return send(w, r, http.StatusOK, kind, data)
}

func (s *Server) quoteCalendar(w http.ResponseWriter, r *http.Request) error {
	ref := r.PathValue("ref")
	q, err := s.store(r).Quote(r.Context(), ref, "", s.today())
	if err != nil {
		return err
	}
	if q.Quote.Draft() {
		return problem{Status: http.StatusConflict, Title: "A draft binds nobody", Text: "Issue it, and its days can go into a calendar.", Actions: []page.Link{{Text: "Go back", Href: quoteAt(q.Ref())}}}
	}
	data, err := s.Desk.Calendar(r.Context(), s.store(r), ref)
	if err != nil {
		return err
	}
	return attach(w, r, q.Ref()+".ics", "text/calendar; charset=utf-8", data)
}

// studioCalendar is every day that the studio should know of, in one file.
func (s *Server) studioCalendar(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	data, err := s.Desk.StudioCalendar(r.Context(), s.store(r))
	if err != nil {
		return err
	}
	return attach(w, r, "studio.ics", "text/calendar; charset=utf-8", data)
}

// keepClientPage asks whom of the clients a quote is for.
func (s *Server) keepClientPage(w http.ResponseWriter, r *http.Request) error {
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), "", s.today())
	if err != nil {
		return err
	}
	at, name := quoteAt(q.Ref()), q.Quote.Offer.Client.Name
	known, err := s.store(r).Clients(r.Context(), name)
	if err != nil {
		return err
	}
	options := []page.Option{{Value: "new", Text: "a new client: " + name}}
	for _, c := range known[:min(len(known), 20)] {
		options = append(options, page.Option{Value: c.Ref, Text: c.Ref + " " + c.Name + " " + c.Email})
	}
	a := ask(nil, nil)
	body := page.FormPage{Title: "Whose is " + q.Ref() + "?", Form: page.Form{Action: at + "/client", Button: "Keep it so", Cancel: at,
		Lead:   "A quote that belongs to a client stands on the client's page, with all that they asked for and paid.",
		Fields: []page.Field{a.field(page.Field{Name: "client", Label: "It is for", Kind: "choice", Value: "new", Options: options})}}}
	return s.show(w, r, "formpage", body.Title, body, orderCrumbs(quoteCrumb(q), page.Link{Text: "Client"})...)
}

func (s *Server) keepClient(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st, ref := s.store(r), r.PathValue("ref")
	if c := f.get("client"); c != "new" {
		if err := st.LinkQuote(r.Context(), ref, c, ""); err != nil {
			return refusedText(err)
		}
		return s.done(w, r, quoteAt(ref), ref+" belongs to "+c+".", nil)
	}
	c, err := st.AddClientOf(r.Context(), ref, s.Now())
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, quoteAt(ref), c.Name+" is kept as client "+c.Ref+".", nil)
}
