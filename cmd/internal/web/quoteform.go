package web

import (
	"fmt"
	"net/http"
	"strconv"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

// buildPage shows the form in which a quote is put together, beside what it
// comes to.
func (s *Server) buildPage(w http.ResponseWriter, r *http.Request, status int, b building) (err error) {
	a := ask(b.values, wordsOf(b.x.Book.Studio).allDated(b.faults))
	v := page.QuoteForm{
		Title: "A new quote", Lead: "Priced with today's prices as you fill it in. It is a draft until you issue it.", Action: b.at(), Version: a.version(b.version()), Typed: r.Method == http.MethodPost, Live: "/quotes/preview", Cancel: "/orders",
		Buttons: []page.FormButton{{Text: "Save the draft", Name: "then", Value: "draft", Main: true}, {Text: "Save it and go on to issue", Name: "then", Value: "issue"}},
	}
	crumb := page.Link{Text: "New quote"}
	if b.of != nil {
		at := quoteAt(b.of.Ref())
		v.Title, v.Cancel, crumb = "Draft "+b.of.Draft, at, quoteCrumb(*b.of)
		v.Kept = append(v.Kept, page.Field{Name: "of", Kind: "hidden", Value: b.of.Ref()})
	}
	if b.revises() {
		v.Title = "Revise " + b.of.Ref()
		v.Lead = "What you change here is offered as the next revision, with today's prices. The earlier ones stay readable."
		if b.of.Life.Order != "" {
			v.Lead += " The order stands as it was accepted until the client accepts the revision."
		}
		v.Buttons = []page.FormButton{{Text: "Issue the revision", Name: "then", Value: "issue", Main: true}}
		v.Last = []page.Field{a.field(page.Field{Name: "reason", Label: "Why it is revised", Required: true, Wide: true, Help: "The trail keeps it; the client sees what changed, and not why."})}
	}
	if b.of != nil {
		for i, o := range base(*b.of).Options {
			v.Only = append(v.Only, page.Link{Text: "Go on with “" + o.Name + "” alone", Href: fmt.Sprintf("%s?only=%d", b.at(), i+1)})
		}
	}
	if v.Asked, err = s.askedFor(r, b); err != nil {
		return err
	}
	v.Client, v.Papers = b.clientFields(a)
	v.PapersOpen = filledIn(v.Papers)
	v.Event = b.eventFields(a)
	n, _ := strconv.Atoi(b.values.Get("options"))
	v.Kept = append(v.Kept, page.Field{Name: "count", Kind: "hidden", Value: strconv.Itoa(n)}, page.Field{Name: "spare", Kind: "hidden", Value: b.values.Get("spare")},
		page.Field{Name: "client_ref", Kind: "hidden", Value: b.values.Get("client_ref")}, page.Field{Name: "enquiry_ref", Kind: "hidden", Value: b.values.Get("enquiry_ref")})
	if n == 0 {
		v.Wants = []page.Want{{Title: "What they get", Cakes: b.wantRows(a, "lines", "cake"), Extras: b.wantRows(a, "extras", "extra"), Discount: []page.Field{discountField(a, "discount", "A share of the cakes.")}}}
	} else {
		for i := range n {
			at := record.Item("options", i)
			v.Wants = append(v.Wants, page.Want{
				Title: fmt.Sprintf("Option %d", i+1), Name: []page.Field{a.field(page.Field{Name: at + ".name", Label: "What the client knows it by", Required: true, Help: "Two tiers and a cutting cake."})},
				Cakes: b.wantRows(a, at+".lines", "cake"), Extras: b.wantRows(a, at+".extras", "extra"), Discount: []page.Field{discountField(a, at+".discount", "Goes before that of all options.")},
			})
		}
		v.Wants = append(v.Wants, page.Want{Title: "With every option", Extras: b.wantRows(a, "extras", "extra"), Discount: []page.Field{discountField(a, "discount", "")}})
	}
	v.ChoicesNote = "Let the client choose among two to five offers. What you have filled in stays."
	v.Made = []page.Field{a.field(page.Field{Name: "on", Label: "Made on", Kind: "date", Value: s.today().String(), Help: "The prices of this day hold. Issuing a draft prices it again."})}
	v.MadeOpen = len(v.Made[0].Faults) > 0 || v.Made[0].Value != "" && v.Made[0].Value != s.today().String()
	for i, text := range []string{"One offer", "", "2 options", "3 options", "4 options", "5 options"} {
		if text != "" {
			v.Choices = append(v.Choices, page.Link{Text: text, Href: strconv.Itoa(i), Current: i == n})
		}
	}
	v.File = fileForm(ask(nil, b.unread), b.at()+"/file")
	v.Faults = append(a.rest(), b.notes...)
	v.Bad = len(b.faults)
	v.Preview = s.firstPreview(b)
	return s.showAs(w, r, status, "quoteform", v.Title, v, orderCrumbs(crumb)...)
}

// firstPreview is what stands beside the form before anything is typed.
func (s *Server) firstPreview(b building) page.QuotePreview {
	if b.values.Get("lines[0].cake") == "" && b.values.Get("options[0].lines[0].cake") == "" {
		return page.QuotePreview{Text: "Choose a cake and say when the event is: then the total stands here, with your margin, the portions for the guests and the room in the kitchen."}
	}
	values := make(map[string][]string, len(b.values)+1)
	for name, v := range b.values {
		values[name] = v
	}
	values["count"] = []string{b.values.Get("options")}
	again := building{x: b.x, of: b.of}
	q, faults := s.priced(&again, form{values: values})
	return s.previewOf(again, q, faults)
}

// clientFields ask whom a quote is for, and what only their papers need.
func (b building) clientFields(a *asking) (who, papers []page.Field) {
	name := page.Field{Name: "client.name", Label: "Client", Required: true, Auto: "off"}
	if ref := b.values.Get("client_ref"); ref != "" {
		name.Help = "Client " + ref + " of yours."
		if e := b.values.Get("enquiry_ref"); e != "" {
			name.Help = "Client " + ref + " of yours; it answers enquiry " + e + "."
		}
	}
	languages := []page.Option{{Text: "as the studio's"}}
	for _, l := range document.Languages() {
		languages = append(languages, page.Option{Value: l, Text: languageNames[l]})
	}
	if l := b.values.Get("language"); l != "" && languageNames[l] == "" {
		languages = append(languages, page.Option{Value: l, Text: l})
	}
	who = []page.Field{
		a.field(name), a.field(page.Field{Name: "client.email", Label: "E-mail", Kind: "email", Auto: "off"}), a.field(page.Field{Name: "client.phone", Label: "Telephone", Kind: "tel", Auto: "off"}),
	}
	papers = []page.Field{
		a.field(page.Field{Name: "language", Label: "Papers in", Kind: "choice", Options: languages}),
		a.field(page.Field{Name: "client.address", Label: "Address", Kind: "long", Wide: true}),
	}
	if b.of == nil && b.values.Get("client_ref") == "" {
		who = append(who, a.field(page.Field{Name: "keep", Label: "Keep them among your clients", Kind: "tick", Wide: true}))
	}
	return who, papers
}

func (b building) eventFields(a *asking) []page.Field {
	return []page.Field{
		a.field(page.Field{Name: "event.date", Label: "Day", Kind: "date", Required: true}),
		a.field(page.Field{Name: "event.guests", Label: "Guests", Kind: "number", Help: "Tells whether the portions are enough."}),
		a.field(page.Field{Name: "event.venue", Label: "Place"}),
		a.field(page.Field{Name: "event.km", Label: "There and back", Kind: "number", Unit: "km", Help: "Where something is charged by the km."}),
	}
}

// askedFor is what the enquiry says that is no part of a quote, to have at hand.
func (s *Server) askedFor(r *http.Request, b building) ([]page.Figure, error) {
	ref := b.values.Get("enquiry_ref")
	if ref == "" && b.of != nil {
		party, err := s.store(r).PartyOf(r.Context(), b.of.Ref())
		if err != nil {
			return nil, err
		}
		ref = party.Enquiry
	}
	if ref == "" {
		return nil, nil
	}
	e, err := s.store(r).Enquiry(r.Context(), ref)
	if err != nil {
		return nil, err
	}
	c, err := s.store(r).Client(r.Context(), e.Client)
	if err != nil {
		return nil, err
	}
	words := wordsOf(b.x.Book.Studio)
	list := []page.Figure{{Label: "Enquiry", Value: e.Ref, Href: enquiryAt(e.Ref)}}
	add := func(label, value string) {
		if value != "" {
			list = append(list, page.Figure{Label: label, Value: value})
		}
	}
	add("What for", e.Occasion.Value)
	if e.Budget.Given {
		add("May cost at most", words.money(e.Budget.Value.Number()))
	}
	add("Wishes", e.Wishes.Value)
	add("Guests must not eat", e.Dietary.Value)
	add("The client must not eat", c.Dietary.Value)
	if e.Guests.Given {
		list = append(list, page.Figure{Label: "Which tiers serve them", Value: fmt.Sprintf("for %d", e.Guests.Value), Href: fmt.Sprintf("/cakes/tiers?guests=%d", e.Guests.Value)})
	}
	return list, nil
}

func discountField(a *asking, name, help string) page.Field {
	return a.field(page.Field{Name: name, Label: "Discount", Kind: "number", Unit: "%", Help: help})
}

// wantRows are rows for cakes or extras: those that are filled in and some more.
func (b building) wantRows(a *asking, list, key string) []page.WantRow {
	what, more := "cake", 2
	few := len(b.x.Book.Cakes) <= mostChosen
	var options []page.Option
	if key == "extra" {
		what = "extra"
		for _, e := range b.x.Book.Extras {
			if e.Hidden.Or(false) && e.Always.Or(false) {
				continue // it comes with every quote, and nobody chooses it
			}
			options = append(options, extraOption(e))
		}
		few = len(options) <= mostChosen
	} else if few {
		for _, c := range b.x.Book.Cakes {
			options = append(options, page.Option{Value: string(c.ID), Text: c.Name})
		}
	}
	n := 0
	for b.values.Get(record.Join(record.Item(list, n), key)) != "" {
		n++
	}
	if n > 0 {
		more = 1
	}
	spare, _ := strconv.Atoi(b.values.Get("spare"))
	var rows []page.WantRow
	for i := range n + more + spare {
		at := record.Item(list, i)
		label := fmt.Sprintf("%s %d", capital(what), i+1)
		pick := page.Field{Name: record.Join(at, key), Label: capital(what), Help: "Part of its name is enough."}
		if few {
			pick.Kind, pick.Help = "choice", ""
			pick.Options = append([]page.Option{{Text: "none"}}, options...)
		}
		if i >= n {
			b.values.Set(record.Join(at, "quantity"), "1")
		}
		rows = append(rows, page.WantRow{Label: label, Fields: []page.Field{
			a.field(pick), a.field(page.Field{Name: record.Join(at, "quantity"), Label: "How many", Kind: "number"}),
		}})
	}
	return rows
}

func extraOption(e book.Extra) page.Option {
	o := page.Option{Value: string(e.ID), Text: e.Name}
	if e.Always.Or(false) {
		o.Text += " (comes with every quote)"
	}
	return o
}
