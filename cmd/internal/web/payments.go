package web

import (
	"context"
	"fmt"
	"net/http"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

// paymentPages are what clients pay and get back.
func (m *routes) paymentPages() {
	m.post("/quotes/{ref}/payments", m.s.addPayment)
	m.get("/payments/{number}/undo", m.s.undoPage)
	m.post("/payments/{number}/undo", m.s.undoPayment)
	m.get("/payments/{paper}", m.s.receiptPaper)
}

// accountOf shows what is owed for an order and what was paid.
func accountOf(words words, o quote.Order, today day.Date, came returned) *page.Account {
	cur := o.Quote.Offer.Studio.Currency
	words.currency = cur
	a := o.Account(today)
	owed := page.Figure{Label: "The order comes to", Value: words.amount(a.Owed)}
	if !o.CancelledOn.IsZero() {
		owed.Label = "Owed for calling it off"
	}
	v := &page.Account{Figures: []page.Figure{owed, {Label: "Received", Value: words.amount(a.Received)}}}
	switch {
	case a.Balance.Sign() > 0:
		v.Figures = append(v.Figures, page.Figure{Label: "Still to pay", Value: words.amount(a.Balance), Strong: true})
	case a.Balance.IsZero():
		v.Figures = append(v.Figures, page.Figure{Label: "Settled", Value: "nothing left to pay", Tone: "good"})
	default:
		v.Figures = append(v.Figures, page.Figure{Label: "To go back to the client", Value: words.amount(a.Balance.Neg()), Strong: true, Tone: "bad"})
	}
	if !a.Overdue.IsZero() {
		v.Figures = append(v.Figures, page.Figure{Label: "Of that late", Note: "since " + words.day(a.Since), Value: words.amount(a.Overdue), Tone: "bad"})
	}
	v.Instalments = page.Table{Caption: "What falls due", Brief: true, Heads: []page.Head{{Text: "Due"}, {Text: "Amount", Right: true, Key: true}, {Text: "Stands", Right: true, Plain: true}}}
	for _, i := range a.Instalments {
		if i.Amount.IsZero() {
			continue
		}
		left := page.Cell{Text: words.amount(i.Left) + " left"}
		if i.Left.IsZero() {
			left = page.Cell{Text: "paid", Tone: "good"}
		} else if i.Overdue {
			left.Tone, left.Note = "bad", "late"
		}
		due := page.Cell{Text: words.day(i.Due)}
		if i.Deposit {
			due.Note = "deposit"
		}
		v.Instalments.Rows = append(v.Instalments.Rows, page.Row{Cells: []page.Cell{due, {Text: words.amount(i.Amount)}, left}})
	}
	if next := a.Next(); next != nil && a.Balance.Sign() > 0 {
		v.Remind = &page.Link{Text: "Remind them of " + words.amount(next.Left), Href: quoteAt(o.Quote.Number) + "/letter?kind=reminder", Current: next.Overdue}
	}
	v.Payments = page.Table{Caption: "Payments, the last first", Brief: true, Heads: []page.Head{{Text: "Receipt"}, {Text: "Amount", Right: true, Key: true}, {Text: "Write", Plain: true}, {Text: "Mistaken?", Plain: true}}}
	for i := len(o.Payments) - 1; i >= 0; i-- {
		p := o.Payments[i]
		undo := page.Cell{Text: "Take it back", Href: "/payments/" + p.Number + "/undo"}
		note := words.day(p.On) + ", " + string(p.Means)
		if p.Note != "" {
			note += ", " + p.Note
		}
		write := page.Cell{Text: "Send the receipt", Href: quoteAt(o.Quote.Number) + "/letter?kind=receipt&payment=" + p.Number}
		if p.Undone != "" || p.Undoes != "" {
			write = page.Cell{}
		}
		switch {
		case p.Undone != "":
			undo = page.Cell{Text: "taken back by " + p.Undone, Tone: "quiet"}
		case p.Undoes != "":
			undo = page.Cell{Text: "takes " + p.Undoes + " back", Tone: "quiet"}
		}
		v.Payments.Rows = append(v.Payments.Rows, page.Row{Cells: []page.Cell{
			{Text: p.Number, Href: "/payments/" + p.Number + ".pdf", Note: note}, {Text: words.amount(p.Amount)}, write, undo,
		}})
	}
	ask := came.of("payment")
	var means []page.Option
	for _, m := range quote.AllMeans() {
		means = append(means, page.Option{Value: string(m), Text: string(m)})
	}
	value := ""
	if next := a.Next(); next != nil && a.Balance.Sign() > 0 {
		value = next.Left.String()
	}
	direction := "in"
	if a.Balance.Sign() < 0 {
		direction, value = "back", a.Balance.Neg().String()
	}
	v.Add = page.Form{Action: quoteAt(o.Quote.Number) + "/payments", Title: "Money in or back", Button: "Note it", Folded: a.Balance.IsZero(), Fields: []page.Field{
		ask.field(page.Field{Name: "way", Label: "Which way", Kind: "choice", Value: direction, Options: []page.Option{{Value: "in", Text: "came in"}, {Value: "back", Text: "went back to the client"}}}),
		ask.field(page.Field{Name: "amount", Label: "Amount", Kind: "number", Unit: cur.Code(), Value: value, Required: true}),
		ask.field(page.Field{Name: "on", Label: "On", Kind: "date", Value: today.String(), Required: true}),
		ask.field(page.Field{Name: "means", Label: "How", Kind: "choice", Value: string(quote.Transfer), Options: means}),
		ask.field(page.Field{Name: "note", Label: "Note", Help: "It stands on the receipt too."}),
	}}
	v.Add.Faults = ask.rest()
	v.Add = prefixed(v.Add, "payment")
	return v
}

func (s *Server) addPayment(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st, ref := s.store(r), r.PathValue("ref")
	order, err := st.Order(r.Context(), ref)
	if err != nil {
		return err
	}
	var faults record.Faults
	p := quote.Payment{Quote: order.Quote.Number, On: moment(f, &faults), Means: quote.Means(f.get("means")), Note: f.get("note")}
	if p.Amount, err = amountIn(order.Quote.Offer.Studio.Currency, f.price("amount")); err != nil {
		faults.Add("amount", "%s", err)
	}
	if f.get("way") == "back" {
		p.Amount = p.Amount.Neg()
	}
	known := false
	for _, m := range quote.AllMeans() {
		known = known || m == p.Means
	}
	if !known {
		faults.Add("means", "is none that is known here; choose one of the list")
	}
	if len(faults) == 0 {
		kept, err := st.Receive(r.Context(), p, s.Now())
		if err == nil {
			what := "came in"
			if kept.Refund() {
				what = "went back"
			}
			text := fmt.Sprintf("%s %s: receipt %s.", wordsIn(order).amount(p.Amount), what, kept.Number)
			if kept.On.After(s.today()) {
				text += " Its day is still to come."
			}
			return s.done(w, r, quoteAt(order.Quote.Number)+"#account", text, func(ctx context.Context) (string, error) {
				undone, err := st.Undo(ctx, kept.Number, "noted by mistake", day.Later(kept.On, s.today()), s.Now())
				return fmt.Sprintf("%s is taken back by %s; both stay on the account.", kept.Number, undone.Number), err
			})
		}
		var refused problem
		if p, ok := refusedText(err).(problem); ok {
			refused = p
		} else {
			return err
		}
		faults.Add("amount", "%s", strings.TrimSuffix(refused.Text, "."))
	}
	return s.quoteWith(w, r, http.StatusUnprocessableEntity, returned{"payment", f.values, faults})
}

// wordsIn writes the figures of an order.
func wordsIn(o quote.Order) words {
	sender := o.Quote.Offer.Studio
	return words{document.InEnglish(sender.Locale), sender.Currency}
}

func (s *Server) undoPage(w http.ResponseWriter, r *http.Request) error {
	o, p, err := s.store(r).Payment(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	at := quoteAt(o.Quote.Number)
	if p.Undone != "" || p.Undoes != "" {
		return problem{Status: http.StatusConflict, Title: "That cannot be taken back", Text: p.Number + " was taken back already, or takes another back.", Actions: []page.Link{{Text: "Go to the order", Href: at}}}
	}
	words := wordsIn(o)
	body := page.Report{
		Title: "Take " + p.Number + " back?", Lead: "For a payment that was noted by mistake. It stays on the account, with another entry that takes it back, so that the numbers of receipts have no gaps.",
		Figures: []page.Figure{{Label: "From", Value: o.Quote.Offer.Client.Name}, {Label: "On", Value: words.day(p.On)}, {Label: "Amount", Value: words.amount(p.Amount), Strong: true}},
		Form: page.Form{Action: "/payments/" + p.Number + "/undo", Button: "Take it back", Loss: true, Cancel: at + "#account", Fields: []page.Field{
			{Name: "on", Label: "Taken back on", Kind: "date", Value: day.Later(p.On, s.today()).String(), Required: true},
			{Name: "note", Label: "What was wrong", Help: "Noted twice, for another order."},
		}},
	}
	return s.show(w, r, "report", body.Title, body, orderCrumbs(page.Link{Text: "Quote " + o.Quote.Number, Href: at}, page.Link{Text: p.Number})...)
}

func (s *Server) undoPayment(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	_, p, err := s.store(r).Payment(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	on, err := dayOr(f.get("on"), day.Later(p.On, s.today()))
	if err != nil {
		return wrong("%s", sentence(err.Error()))
	}
	undone, err := s.store(r).Undo(r.Context(), p.Number, f.get("note"), on, s.Now())
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, quoteAt(p.Quote)+"#account", fmt.Sprintf("%s is taken back by %s.", p.Number, undone.Number), nil)
}

// receiptPaper is the receipt of a payment: /payments/R2026-0001.pdf.
func (s *Server) receiptPaper(w http.ResponseWriter, r *http.Request) error {
	number, ok := strings.CutSuffix(r.PathValue("paper"), ".pdf")
	if !ok {
		return notFound("receipt")
	}
	o, p, err := s.store(r).Payment(r.Context(), number)
	if err != nil {
		return err
	}
	paper, err := s.Desk.ReceiptPDF(r.Context(), s.store(r), o, p)
	if err != nil {
		return err
	}
	return sendPDF(w, r, p.Number+".pdf", paper)
}
