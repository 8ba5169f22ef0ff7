package web

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// movePages are what becomes of a quote.
func (m *routes) movePages() {
	m.post("/quotes/{ref}/accept", m.s.acceptQuote)
	m.post("/quotes/{ref}/decline", m.s.declineQuote)
	m.get("/quotes/{ref}/cancel", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.cancelPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/quotes/{ref}/cancel", m.s.cancelQuote)
	m.get("/quotes/{ref}/issue", m.s.issuePage)
	m.post("/quotes/{ref}/issue", m.s.issueQuote)
	m.get("/quotes/{ref}/drop", m.s.dropPage)
	m.post("/quotes/{ref}/drop", m.s.dropDraft)
}

// moveForms asks for the moves that a quote's state allows, and for no other.
func moveForms(words words, q store.SavedQuote, trail []quote.Step, today day.Date, came returned) []page.Form {
	var forms []page.Form
	at := quoteAt(q.Ref())
	on, until := today, q.Life.ValidUntil
	may := func(m quote.Move, on day.Date) bool {
		return quote.LifeOf(trail, until, on).Check(q.Ref(), m, on) == nil
	}
	if q.Quote.Draft() {
		return nil
	}
	// What has lapsed may still have been accepted in time.
	late := !may(quote.Accept, today) && q.Life.State == quote.Lapsed && may(quote.Accept, until)
	if late {
		on = until
	}
	if may(quote.Accept, on) {
		a := came.of("accept")
		f := page.Form{Action: at + "/accept", Title: "The client accepts", Button: "Make it an order", Lead: "It becomes an order, with what is to be paid and when."}
		if late {
			f.Title, f.Lead = "The client had accepted in time", "It has lapsed since; say on which day the client accepted."
		}
		if q.Life.Pending() {
			f.Lead = "The order then stands as revision " + q.Life.Newest + "."
		}
		if n := len(q.Quote.Options); n > 0 {
			options := []page.Option{{Text: "choose"}}
			for i, o := range q.Quote.Options {
				options = append(options, page.Option{Value: fmt.Sprint(i + 1), Text: o.Name + ", " + words.locale.Money(o.Total, q.Quote.Offer.Studio.Currency)})
			}
			f.Fields = append(f.Fields, a.field(page.Field{Name: "option", Label: "Which option", Kind: "choice", Options: options, Required: true}))
		}
		f.Fields = append(f.Fields, a.field(page.Field{Name: "on", Label: "Accepted on", Kind: "date", Value: on.String(), Required: true}), a.field(page.Field{Name: "reason", Label: "How you know", Help: "Signed paper, e-mail, by telephone."}))
		f.Faults = a.rest()
		forms = append(forms, prefixed(f, "accept"))
	}
	if may(quote.Decline, today) {
		a := came.of("decline")
		f := page.Form{Action: at + "/decline", Title: "The client declines", Button: "Note that it is declined", Quiet: true, Folded: true, Fields: []page.Field{
			a.field(page.Field{Name: "on", Label: "Declined on", Kind: "date", Value: today.String(), Required: true}), a.field(page.Field{Name: "reason", Label: "Why, as far as you know"}),
		}}
		f.Faults = a.rest()
		forms = append(forms, prefixed(f, "decline"))
	}
	if may(quote.Cancel, today) {
		f := page.Form{Action: at + "/cancel", Get: true, Quiet: true, Folded: true, Title: "Call it off", Button: "Go on to calling it off", Lead: "The next page says what the client owes for that. Nothing happens before you confirm it there."}
		forms = append(forms, f)
	}
	return forms
}

// prefixed gives the boxes of one of several forms ids of their own; their
// names stay.
func prefixed(f page.Form, which string) page.Form {
	for i := range f.Fields {
		f.Fields[i].In = which
	}
	return f
}

// moment reads the day of a move.
func moment(f form, faults *record.Faults) day.Date {
	on, err := day.Parse(f.get("on"))
	if err != nil {
		faults.Add("on", "%s", err)
	}
	return on
}

func (s *Server) acceptQuote(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	ref := r.PathValue("ref")
	var faults record.Faults
	on := moment(f, &faults)
	q, err := s.store(r).Quote(r.Context(), ref, "", s.today())
	if err != nil {
		return err
	}
	if _, err := q.Choice(f.get("option")); err != nil && q.Life.Check(q.Ref(), quote.Accept, s.today()) == nil {
		faults.Add("option", "%s", "choose the one that the client wants")
	}
	if len(faults) > 0 {
		return s.quoteWith(w, r, http.StatusUnprocessableEntity, returned{"accept", f.values, faults})
	}
	q, err = s.store(r).Accept(r.Context(), ref, f.get("option"), cmp.Or(f.get("reason"), "accepted by the client"), on, s.Now())
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, quoteAt(q.Ref()), q.Ref()+" is an order now.", nil)
}

func (s *Server) declineQuote(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var faults record.Faults
	on := moment(f, &faults)
	if len(faults) > 0 {
		return s.quoteWith(w, r, http.StatusUnprocessableEntity, returned{"decline", f.values, faults})
	}
	q, err := s.store(r).Decline(r.Context(), r.PathValue("ref"), cmp.Or(f.get("reason"), "declined by the client"), on, s.Now())
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, quoteAt(q.Ref()), q.Ref()+" is declined. Revise it to offer it anew.", nil)
}

// cancelPage says what calling a quote off costs the client, before it is done.
func (s *Server) cancelPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	st, ref, today := s.store(r), r.PathValue("ref"), s.today()
	q, err := st.Quote(r.Context(), ref, "", today)
	if err != nil {
		return err
	}
	if err := q.Life.Check(q.Ref(), quote.Cancel, today); err != nil {
		return problem{Status: http.StatusConflict, Title: "That cannot be done", Text: sentence(err.Error()), Actions: []page.Link{{Text: "Go back", Href: quoteAt(q.Ref())}}}
	}
	words := wordsOf(x.Book.Studio)
	body := page.Report{Title: "Call off " + q.Ref() + "?", Lead: "A quote that is called off stays so, and cannot be revised. Its paper and its trail stay readable.",
		Form: page.Form{Action: quoteAt(q.Ref()) + "/cancel", Button: "Call it off", Loss: true, Cancel: quoteAt(q.Ref())}}
	on := page.Field{Name: "on", Label: "Called off on", Kind: "date", Value: today.String(), Required: true}
	reason := page.Field{Name: "reason", Label: "Why", Required: true, Help: "The trail keeps it."}
	if q.Life.Order == "" {
		body.Notes = []string{"It was never accepted, so it costs the client nothing."}
		body.Form.Fields = []page.Field{a.field(on), a.field(reason)}
	} else {
		order, err := st.Order(r.Context(), ref)
		if err != nil {
			return err
		}
		cur := order.Quote.Offer.Studio.Currency
		fee, share := order.Quote.CancellationFee(today)
		account := order.Quote.CancelledAccount(fee, today, order.Payments, today)
		body.Figures = []page.Figure{
			{Label: "The order comes to", Value: words.locale.Money(order.Quote.Offer.Total, cur)},
			{Label: "By the terms the client owes today", Note: fmt.Sprintf("%s of it, %s before the event", words.rate(share), plural(today.DaysUntil(order.Quote.Offer.EventDate), "day", "days")), Value: words.locale.Money(fee, cur), Strong: true},
			{Label: "Received so far", Value: words.locale.Money(account.Received, cur)},
		}
		if account.Balance.Sign() < 0 {
			body.Figures = append(body.Figures, page.Figure{Label: "To go back to the client", Value: words.locale.Money(account.Balance.Neg(), cur)})
		} else {
			body.Figures = append(body.Figures, page.Figure{Label: "Still to pay", Value: words.locale.Money(account.Balance, cur)})
		}
		body.Notes = []string{"Whether tax is due on a cancellation fee differs from place to place; ask your accountant."}
		body.Form.Fields = []page.Field{a.field(on), a.field(page.Field{Name: "fee", Label: "Another fee", Kind: "number", Unit: cur.Code(), Help: "Empty: what the terms say on that day. 0 where you waive it."}), a.field(reason)}
	}
	body.Form.Faults = a.rest()
	return s.showAs(w, r, status, "report", body.Title, body, orderCrumbs(quoteCrumb(q), page.Link{Text: "Call it off"})...)
}

func (s *Server) cancelQuote(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	ref := r.PathValue("ref")
	q, err := s.store(r).Quote(r.Context(), ref, "", s.today())
	if err != nil {
		return err
	}
	var faults record.Faults
	on := moment(f, &faults)
	if f.get("reason") == "" {
		faults.Add("reason", "say why it is called off, for the trail")
	}
	var fee *money.Amount
	if text := f.price("fee"); text != "" {
		amount, err := amountIn(q.Quote.Offer.Studio.Currency, text)
		if err != nil {
			faults.Add("fee", "%s", err)
		}
		fee = &amount
	}
	if len(faults) > 0 {
		return s.cancelPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	q, err = s.store(r).Cancel(r.Context(), ref, fee, f.get("reason"), on, s.Now())
	if faults, ok := faultsOf(err); ok {
		return s.cancelPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, quoteAt(q.Ref()), q.Ref()+" is called off.", nil)
}

// issuePage prices a draft afresh and shows what is about to be issued.
func (s *Server) issuePage(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), "", s.today())
	if err != nil {
		return err
	}
	at := quoteAt(q.Ref())
	if !q.Quote.Draft() {
		return problem{Status: http.StatusConflict, Title: "It is issued already", Text: q.Ref() + " has its number; revise it to offer something else.", Actions: []page.Link{{Text: "Go to it", Href: at}}}
	}
	on, faults := s.asOf(r)
	fresh, err := s.priceAgain(r, q.Quote.Request, on)
	if err != nil {
		return s.cannotPrice(q, err)
	}
	body := page.Report{Title: "Issue " + q.Draft + "?", Lead: "It gets the next number and is frozen: from then on it changes by revisions alone. It is priced with today's prices.",
		Form: page.Form{Action: at + "/issue", Button: "Issue it", Cancel: at, Version: versionOf(q.Quote.Request), Fields: []page.Field{{Name: "on", Kind: "hidden", Value: on.String()}}}}
	body.AsOf = s.asOfForm(r, on, faults)
	body.AsOf.Field.Label = "Issued on"
	if on != s.today() {
		body.Lead = "It gets the next number and is frozen: from then on it changes by revisions alone. It is priced with the prices of the day below, as if issued then."
	}
	words := wordsOf(x.Book.Studio)
	body.Figures = []page.Figure{{Label: "For", Note: words.day(fresh.Offer.EventDate), Value: fresh.Offer.Client.Name}}
	offers, notes := offersOf(x, fresh, s.today(), nil)
	for i, one := range fresh.Choices() {
		label := "Total"
		if one.Chosen != "" {
			label = one.Chosen
		}
		body.Figures = append(body.Figures, page.Figure{Label: label, Value: words.amount(one.Offer.Total), Strong: true})
		if m, ok := one.Basis.Margin(); ok {
			body.Figures = append(body.Figures, page.Figure{Label: "Its margin, for you alone", Value: words.percent(m)})
		}
		body.Notes = append(body.Notes, offers[i].Notes...)
	}
	body.Notes = append(body.Notes, notes...)
	body.Figures = append(body.Figures, page.Figure{Label: "Good until", Value: words.day(fresh.Offer.ValidUntil)})
	body.Table = changeRows(words, withChanges(q.Quote, fresh))
	if len(body.Table.Rows) > 0 {
		body.Table.Caption, body.Table.Shown = "What has changed since the draft was saved", true
	}
	return s.show(w, r, "report", body.Title, body, orderCrumbs(quoteCrumb(q), page.Link{Text: "Issue"})...)
}

// withChanges returns a quote with what it changes against another.
func withChanges(before, after quote.Quote) quote.Quote {
	after.Changes = quote.Compare(before, after)
	return after
}

// priceAgain prices a request with the prices of a day.
func (s *Server) priceAgain(r *http.Request, request quote.Request, on day.Date) (quote.Quote, error) {
	x, err := s.book(r)
	if err != nil {
		return quote.Quote{}, err
	}
	request.On = on
	return quote.Price(x, request)
}

// cannotPrice says why a saved request has no price any more, and where it is
// mended.
func (s *Server) cannotPrice(q store.SavedQuote, err error) error {
	faults, ok := faultsOf(err)
	if !ok {
		return err
	}
	p := problem{Status: http.StatusConflict, Title: q.Ref() + " cannot be priced as it is", Text: "Something has changed since it was saved. Mend this first:", Actions: []page.Link{{Text: "Edit it", Href: quoteAt(q.Ref()) + "/edit"}}}
	for _, f := range faults {
		p.Details = append(p.Details, sentence(f.String()))
	}
	return p
}

func (s *Server) issueQuote(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), "", s.today())
	if err != nil {
		return err
	}
	same := store.Check{On: s.today(), Of: func(is store.SavedQuote) error {
		// What is issued is priced of the request as it was read here.
		if now := versionOf(is.Quote.Request); now == versionOf(q.Quote.Request) && (f.version == "" || f.version == now) {
			return nil
		}
		return problem{Status: http.StatusConflict, Title: "Somebody else was here", Text: "The draft was changed while you looked at it. Nothing was issued: look at it again.", Actions: []page.Link{{Text: "Look at it", Href: quoteAt(q.Ref()) + "/issue"}}}
	}}
	if q.Quote.Draft() { // of what is issued already the store says so
		if err := same.Of(q); err != nil {
			return err
		}
	}
	on, err := dayOr(f.get("on"), s.today())
	if err != nil {
		return wrong("%s", sentence(err.Error()))
	}
	fresh, err := s.priceAgain(r, q.Quote.Request, on)
	if err != nil {
		return s.cannotPrice(q, err)
	}
	issued, err := s.store(r).IssueDraft(r.Context(), r.PathValue("ref"), fresh, s.Now(), same)
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, quoteAt(issued.Ref()), "It is issued as "+issued.Ref()+".", nil)
}

func (s *Server) dropPage(w http.ResponseWriter, r *http.Request) error {
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), "", s.today())
	if err != nil {
		return err
	}
	at := quoteAt(q.Ref())
	if !q.Quote.Draft() {
		return problem{Status: http.StatusConflict, Title: "What was issued stays", Text: q.Ref() + " has a number, and numbers have no gaps. Call it off instead.", Actions: []page.Link{{Text: "Go back", Href: at}}}
	}
	body := page.Confirm{Title: "Throw " + q.Draft + " away?", Text: "It has no number, so none is missing afterwards. You can take this back with Undo on the next page.",
		Form: page.Form{Action: at + "/drop", Button: "Throw it away", Loss: true, Cancel: at}}
	return s.show(w, r, "confirm", body.Title, body, orderCrumbs(quoteCrumb(q), page.Link{Text: "Throw away"})...)
}

func (s *Server) dropDraft(w http.ResponseWriter, r *http.Request) error {
	st, ref := s.store(r), r.PathValue("ref")
	q, err := st.Quote(r.Context(), ref, "", s.today())
	if err != nil {
		return err
	}
	party, err := st.PartyOf(r.Context(), ref)
	if err != nil {
		return err
	}
	if err := st.DropDraft(r.Context(), ref); err != nil {
		return refusedText(err)
	}
	return s.done(w, r, shelfPath(store.Drafts), q.Draft+" for "+q.Quote.Offer.Client.Name+" is gone.", func(ctx context.Context) (string, error) {
		again, err := st.SaveDraft(ctx, q.Quote, s.Now())
		if err == nil && party.Client != "" {
			err = st.LinkQuote(ctx, again.Draft, party.Client, party.Enquiry)
		}
		return fmt.Sprintf("%s is back, as %s.", strings.TrimSpace(q.Draft), again.Draft), err
	})
}
