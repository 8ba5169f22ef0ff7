package web

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/page"
)

// clientPages are who the studio deals with.
func (m *routes) clientPages() {
	m.get("/clients", m.s.listClients)
	m.get("/clients/new", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.newClientPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/clients/new", m.s.addClient)
	m.get("/clients/doubles", m.s.showDoubles)
	m.get("/clients/{ref}", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.clientPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/clients/{ref}", m.s.saveClient)
	m.get("/clients/{ref}/merge", m.s.mergePage)
	m.post("/clients/{ref}/merge", m.s.mergeClients)
	m.get("/clients/{ref}/export.json", m.s.exportClient)
	m.get("/clients/{ref}/erase", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.erasePage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/clients/{ref}/erase", m.s.eraseClient)
}

func (s *Server) listClients(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	words := query(r)
	from := fromOf(r.URL.Query())
	list, n, err := s.store(r).ClientsPage(r.Context(), words, store.Span{From: from, Most: pageSize})
	if err != nil {
		return err
	}
	body := page.Board{
		Title: "Clients", Places: orderPlaces("/clients"), Actions: []page.Link{{Text: "Add a client", Href: "/clients/new", Current: true}, {Text: "Doubles", Href: "/clients/doubles"}},
		Search: page.Search{Action: "/clients", Label: "Find by name, mail, telephone", Query: words, Live: "list"},
		None:   fmt.Sprintf("No client has %q in their name, e-mail, telephone, address or notes.", words),
	}
	if n == 0 && words == "" {
		body.Empty = &page.Empty{Title: "No clients yet", Text: "Whoever asks for a cake: how to reach them, what they must not eat. Their enquiries, quotes and payments gather on their page.", Actions: []page.Link{{Text: "Add the first", Href: "/clients/new"}}}
	}
	body.Pager = pagerOf(from, len(list), n, r.URL.Query(), "/clients")
	body.Rows = page.Table{Caption: "Clients by name", Brief: true, Heads: []page.Head{{Text: "Name"}, {Text: "E-mail", Plain: true}, {Text: "Telephone", Plain: true}, {Text: "Enquiries", Right: true}, {Text: "Quotes", Right: true}}}
	for _, c := range list {
		body.Rows.Rows = append(body.Rows.Rows, page.Row{Cells: []page.Cell{{Text: c.Name, Href: clientAt(c.Ref)}, {Text: c.Email}, {Text: c.Phone}, {Text: fmt.Sprint(c.Enquiries)}, {Text: fmt.Sprint(c.Quotes)}}})
	}
	if wantsFragment(r) {
		return s.fragment(w, r, "board", "board-list", body)
	}
	return s.show(w, r, "board", body.Title, body)
}

// clientForm asks for what is known of a client.
func clientForm(a *asking, c enquiry.Client, action string) page.Form {
	languages := []page.Option{{Text: "as the studio's"}}
	for _, l := range document.Languages() {
		languages = append(languages, page.Option{Value: l, Text: languageNames[l]})
	}
	if l := c.Language.Value; l != "" && languageNames[l] == "" {
		languages = append(languages, page.Option{Value: l, Text: l})
	}
	f := page.Form{Action: action, Button: "Save", Guard: true}
	f.Fields = []page.Field{
		a.field(page.Field{Name: "name", Label: "Name", Value: c.Name, Required: true, Auto: "off"}),
		a.field(page.Field{Name: "email", Label: "E-mail", Kind: "email", Value: c.Email.Value, Auto: "off"}),
		a.field(page.Field{Name: "phone", Label: "Telephone", Kind: "tel", Value: c.Phone.Value, Auto: "off"}),
		a.field(page.Field{Name: "language", Label: "Papers in", Kind: "choice", Value: c.Language.Value, Options: languages}),
		a.field(page.Field{Name: "address", Label: "Address", Kind: "long", Value: c.Address.Value, Wide: true}),
		a.field(page.Field{Name: "dietary", Label: "Must not or will not eat", Value: c.Dietary.Value, Wide: true, Help: "In their own words. This is health data: note no more than the order needs, and check it against the labels."}),
		a.field(page.Field{Name: "notes", Label: "Notes", Kind: "long", Value: c.Notes.Value, Wide: true, Help: "They may ask to read them."}),
	}
	f.Faults = a.rest()
	return f
}

// reachOf are the ways to a client that a telephone or a mail program opens.
func reachOf(c enquiry.Client) page.Reach {
	return page.Reach{Phone: c.Phone.Value, Email: c.Email.Value, Dial: strings.Map(func(r rune) rune {
		if r == '+' || r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, c.Phone.Value)}
}

func clientSettings(f form) settings {
	set := settings{}
	for _, key := range []string{"name", "email", "phone", "language", "address", "dietary", "notes"} {
		set[key] = f.get(key)
	}
	return set
}

// changedClient is what a form makes of a client, with all that is wrong with it.
func changedClient(c enquiry.Client, f form) (enquiry.Client, record.Faults) {
	now, faults := overlay(c, clientSettings(f))
	if len(faults) == 0 {
		faults = now.Check()
	}
	return now, faults
}

func (s *Server) newClientPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	f := clientForm(a, enquiry.Client{}, "/clients/new")
	f.Button, f.Cancel = "Add them", "/clients"
	body := page.FormPage{Title: "A new client", Form: f}
	return s.showAs(w, r, status, "formpage", body.Title, body, orderCrumbs(page.Link{Text: "Clients", Href: "/clients"}, page.Link{Text: "New"})...)
}

func (s *Server) addClient(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	c, faults := changedClient(enquiry.Client{}, f)
	if len(faults) > 0 {
		return s.newClientPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	saved, err := s.store(r).AddClient(r.Context(), c, s.Now())
	if err != nil {
		return err
	}
	return s.done(w, r, clientAt(saved.Ref), saved.Name+" is added.", nil)
}

// likenessInWords says in what two records are alike.
var likenessInWords = map[enquiry.Likeness]string{
	enquiry.SameEmail: "the same e-mail", enquiry.SamePhone: "the same telephone", enquiry.SameName: "the same name", enquiry.NearName: "nearly the same name",
}

func alikeText(why []enquiry.Likeness) string {
	var parts []string
	for _, l := range why {
		parts = append(parts, likenessInWords[l])
	}
	return capital(strings.Join(parts, ", "))
}

func (s *Server) clientPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	st, ref := s.store(r), r.PathValue("ref")
	c, err := st.Client(r.Context(), ref)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	at := clientAt(c.Ref)
	body := page.Client{
		Title: c.Name, Lead: "Client " + c.Ref + ", known since " + dayText(words, c.AddedAt[:len("2026-11-25")]) + ".",
		Actions: []page.Link{{Text: "Note an enquiry", Href: "/enquiries/new?client=" + c.Ref, Current: true}, {Text: "Make a quote", Href: "/quotes/new?client=" + c.Ref}},
		Details: clientForm(a, c.Client, at),
		Last:    []page.Link{{Text: "All that is held on them", Href: at + "/export.json"}, {Text: "Make two records one", Href: at + "/merge"}, {Text: "Erase their data", Href: at + "/erase"}},
	}
	body.Reach = reachOf(c.Client)
	body.Details.Title, body.Details.Version = "What is known of them", a.version(versionOf(c.Client))
	body.Details.Folded, body.Details.Unroll = true, true
	if c.Dietary.Given {
		body.Lead += " Must not or will not eat: " + strings.TrimSuffix(c.Dietary.Value, ".") + "."
	}
	alike, err := st.Alike(r.Context(), c.Ref, 5)
	if err != nil {
		return err
	}
	for _, d := range alike {
		body.Notes = append(body.Notes, page.Item{Text: d.Second.Name + ", " + d.Second.Ref, Note: alikeText(d.Why), Href: at + "/merge?with=" + d.Second.Ref})
	}
	asked, err := st.EnquiriesOf(r.Context(), c.Ref)
	if err != nil {
		return err
	}
	body.Enquiries = page.Section{ID: "enquiries", Title: "Enquiries", None: "Nothing was asked for yet."}
	for _, e := range asked {
		body.Enquiries.Items = append(body.Enquiries.Items, page.Item{Text: enquiryName(words, e), Href: enquiryAt(e.Ref), Note: e.Ref + ", " + string(e.State)})
	}
	quotes, pager, err := s.quotePage(r, store.QuoteFilter{Client: c.Ref}, at)
	if err != nil {
		return err
	}
	body.Quotes, body.Pager = quoteRows(x.Book.Studio, quotes), pager
	// Whose they are is the page's heading, so the number leads to each.
	body.Quotes.Caption, body.Quotes.Heads = "Their quotes, the newest first", body.Quotes.Heads[1:]
	for i, row := range body.Quotes.Rows {
		row.Cells[1].Href = row.Cells[0].Href
		body.Quotes.Rows[i].Cells = row.Cells[1:]
	}
	body.Payments = page.Table{Caption: "Their payments", Brief: true, Heads: []page.Head{{Text: "Receipt"}, {Text: "Order"}, {Text: "Day", Plain: true}, {Text: "Amount", Right: true, Key: true}}}
	paid, in, err := st.PaymentsFor(r.Context(), quotes)
	if err != nil {
		return err
	}
	for _, p := range paid {
		body.Payments.Rows = append(body.Payments.Rows, page.Row{Cells: []page.Cell{{Text: p.Number, Href: "/payments/" + p.Number + ".pdf"}, {Text: p.Quote, Href: quoteAt(p.Quote) + "#account"}, {Text: words.day(p.On)}, {Text: words.in(in[p.Quote]).amount(p.Amount)}}})
	}
	return s.showAs(w, r, status, "client", c.Name, body, orderCrumbs(page.Link{Text: "Clients", Href: "/clients"}, page.Link{Text: c.Name})...)
}

func (s *Server) saveClient(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st, ref := s.store(r), r.PathValue("ref")
	var old, now enquiry.Client
	saved, err := st.ChangeClient(r.Context(), ref, func(c *enquiry.Client) error {
		old = *c
		var faults record.Faults
		if now, faults = changedClient(old, f); len(faults) > 0 {
			return faults
		}
		if f.version != versionOf(old) && versionOf(old) != versionOf(now) {
			return clash{version: versionOf(old), name: old.Name, stored: flat(old), typed: flat(now)}
		}
		*c = now
		return nil
	}, s.Now())
	if faults, ok := faultsOf(err); ok {
		return s.clientPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	if shown, err := s.showClash(w, r, err, f, clientAt(ref), clientAt(ref)); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, clientAt(saved.Ref), saved.Name+" is saved.", func(ctx context.Context) (string, error) {
		_, err := st.ChangeClient(ctx, ref, func(c *enquiry.Client) error {
			if versionOf(*c) != versionOf(now) {
				return tooLate(now.Name)
			}
			*c = old
			return nil
		}, s.Now())
		return old.Name + " is as it was before.", err
	})
}

// showDoubles lists records that look like one client.
func (s *Server) showDoubles(w http.ResponseWriter, r *http.Request) error {
	from := min(fromOf(r.URL.Query()), store.MostFound)
	list, n, err := s.store(r).DoublesPage(r.Context(), store.Span{From: from, Most: pageSize})
	if err != nil {
		return err
	}
	body := page.Doubles{Title: "Perhaps the same person", Lead: "Records that share an e-mail, a telephone or nearly a name. That is a hint and no proof: two people may share a telephone.", None: "No two records look like one client."}
	if n > 0 {
		body.None = "The list ends before that."
	}
	if body.Pager = pagerOf(from, len(list), n, r.URL.Query(), "/clients/doubles"); n > store.MostFound {
		body.Pager.Text = fmt.Sprintf("%d to %d of more than %d", from+1, from+len(list), store.MostFound)
	}
	for _, d := range list {
		body.Pairs = append(body.Pairs, page.Pair{Why: alikeText(d.Why), Table: pairTable(d.First, d.Second), Merge: []page.Link{
			{Text: "Keep " + d.First.Ref, Href: clientAt(d.Second.Ref) + "/merge?with=" + d.First.Ref}, {Text: "Keep " + d.Second.Ref, Href: clientAt(d.First.Ref) + "/merge?with=" + d.Second.Ref},
		}})
	}
	return s.show(w, r, "doubles", body.Title, body, orderCrumbs(page.Link{Text: "Clients", Href: "/clients"}, page.Link{Text: "Doubles"})...)
}

func pairTable(list ...store.ClientEntry) page.Table {
	t := page.Table{Caption: "The two records", Heads: []page.Head{{Text: "Name"}, {Text: "Client"}, {Text: "E-mail"}, {Text: "Telephone"}}}
	for _, c := range list {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: c.Name, Href: clientAt(c.Ref)}, {Text: c.Ref}, {Text: c.Email}, {Text: c.Phone}}})
	}
	return t
}

// mergePage asks into which record one goes, and whether that is meant.
func (s *Server) mergePage(w http.ResponseWriter, r *http.Request) error {
	st := s.store(r)
	from, err := st.Client(r.Context(), r.PathValue("ref"))
	if err != nil {
		return err
	}
	at, with := clientAt(from.Ref), strings.TrimSpace(r.URL.Query().Get("with"))
	crumbs := orderCrumbs(page.Link{Text: "Clients", Href: "/clients"}, page.Link{Text: from.Name, Href: at}, page.Link{Text: "Make two records one"})
	if with == "" {
		body := page.FormPage{Title: "Into which record?", Form: page.Form{Action: at + "/merge", Get: true, Button: "Look at both", Cancel: at,
			Lead:   from.Name + " (" + from.Ref + ") becomes part of another record, which stays.",
			Fields: []page.Field{{Name: "with", Label: "The record that stays", Required: true, Help: "What it is called: C2. It stands on the client's page."}}}}
		return s.show(w, r, "formpage", body.Title, body, crumbs...)
	}
	into, err := st.Client(r.Context(), with)
	if err != nil {
		return err
	}
	_, left := into.Absorb(from.Client)
	body := page.Report{
		Title: "Make " + from.Ref + " part of " + into.Ref + "?",
		Lead:  fmt.Sprintf("%s keeps all that it says and takes what it lacks. Enquiries and quotes of %s move over. What stands in issued quotes does not change. This cannot be undone.", into.Ref, from.Ref),
		Table: page.Table{Caption: "The two records", Heads: []page.Head{{Text: "What"}, {Text: into.Ref + ", stays"}, {Text: from.Ref + ", becomes part of it"}}},
		Form:  page.Form{Action: at + "/merge", Button: "Make them one", Loss: true, Cancel: at, Fields: []page.Field{{Name: "with", Kind: "hidden", Value: into.Ref}}},
	}
	stays, goes := byPath(flat(into.Client)), byPath(flat(from.Client))
	rank := []string{"name", "email", "phone"}
	differing := paths(flat(into.Client), flat(from.Client))
	slices.SortStableFunc(differing, func(a, b string) int {
		return cmp.Compare(uint(slices.Index(rank, a)), uint(slices.Index(rank, b))) // the others behind
	})
	for _, p := range differing {
		body.Table.Rows = append(body.Table.Rows, page.Row{Cells: []page.Cell{{Text: capital(plainPath(p))}, {Text: orDash(stays[p])}, {Text: orDash(goes[p])}}})
	}
	for _, text := range left {
		body.Notes = append(body.Notes, "Goes into the notes: "+text)
	}
	return s.show(w, r, "report", body.Title, body, crumbs...)
}

func (s *Server) mergeClients(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	m, err := s.store(r).MergeClients(r.Context(), r.PathValue("ref"), f.get("with"), s.Now())
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, clientAt(m.Client.Ref), fmt.Sprintf("%s is now part of %s: %s and %s moved.", m.From, m.Client.Ref, plural(m.Enquiries, "enquiry", "enquiries"), plural(m.Quotes, "quote", "quotes")), nil)
}

// exportClient sends all that is held on a client.
func (s *Server) exportClient(w http.ResponseWriter, r *http.Request) error {
	f, err := s.store(r).ClientFile(r.Context(), r.PathValue("ref"))
	if err != nil {
		return err
	}
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(f); err != nil {
		return err
	}
	return attach(w, r, "client-"+f.Client.Ref+".json", "application/json; charset=utf-8", text.Bytes())
}

// erasePage says what erasing a client takes away, before it is done.
func (s *Server) erasePage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	plan, err := s.store(r).Erasable(r.Context(), r.PathValue("ref"), s.today())
	if err != nil {
		return err
	}
	if plan.Already {
		return problem{Status: http.StatusNotFound, Title: "Their data are erased already", Text: plan.Client + " is only a number now.", Actions: []page.Link{{Text: "Go to the clients", Href: "/clients"}}}
	}
	at := clientAt(plan.Client)
	body := page.Report{
		Title: "Erase the data of " + plan.Name + "?", Lead: "It cannot be undone. Every figure, number and date stays, so that accounts and reports add up as before; what names the client goes. Write all that is held on them into a file first if they asked for it.",
		Figures: []page.Figure{
			{Label: "Deleted: the record, and enquiries", Value: fmt.Sprint(len(plan.Enquiries))},
			{Label: "Their name overwritten in quotes", Note: strings.Join(plan.Quotes, ", "), Value: fmt.Sprint(len(plan.Quotes))},
			{Label: "Reasons and notes overwritten", Value: fmt.Sprint(plan.Texts)},
		},
		Form: page.Form{Action: at + "/erase", Button: "Erase the data", Loss: true, Cancel: at},
	}
	body.Form.Fields = []page.Field{a.field(page.Field{Name: "client", Label: "To confirm, write " + plan.Client, Required: true, Auto: "off"})}
	if len(plan.Ahead) > 0 {
		body.Notes = append(body.Notes, "Orders that are still to come: "+strings.Join(plan.Ahead, ", ")+". Without the name they can hardly be delivered.")
		body.Form.Fields = append(body.Form.Fields, a.field(page.Field{Name: "ahead", Label: "Erase all the same, though orders are to come", Kind: "tick", Wide: true}))
	}
	if len(plan.Others) > 0 {
		body.Notes = append(body.Notes, "Quotes that belong to no client bear this name or e-mail, and stay as they are: "+strings.Join(plan.Others, ", ")+".")
	}
	if len(plan.Copies) > 0 {
		body.Notes = append(body.Notes, "Backups beside the store hold the data too, and are not reached: "+strings.Join(plan.Copies, ", ")+".")
	}
	body.Notes = append(body.Notes, "The law says how long accounts have to be kept, and what of them; ask whoever does your accounts.")
	body.Form.Faults = a.rest()
	return s.showAs(w, r, status, "report", body.Title, body, orderCrumbs(page.Link{Text: "Clients", Href: "/clients"}, page.Link{Text: plan.Name, Href: at}, page.Link{Text: "Erase"})...)
}

func (s *Server) eraseClient(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	ref := r.PathValue("ref")
	if !strings.EqualFold(f.get("client"), ref) {
		return s.erasePage(w, r, http.StatusUnprocessableEntity, ask(f.values, record.Faults{{Path: "client", Problem: "write " + ref + " to confirm that it is meant"}}))
	}
	plan, err := s.store(r).Erasable(r.Context(), ref, s.today())
	if err != nil {
		return err
	}
	if len(plan.Ahead) > 0 && !f.ticked("ahead") {
		return s.erasePage(w, r, http.StatusUnprocessableEntity, ask(f.values, record.Faults{{Path: "ahead", Problem: "an order is still to come; tick this if it is meant all the same"}}))
	}
	e, err := s.store(r).EraseClient(r.Context(), ref, f.ticked("ahead"), s.today(), s.Now())
	if err != nil {
		return refusedText(err)
	}
	text := "The data of " + e.Client + " are erased."
	if !e.Swept {
		text += " The file could not be swept while another program reads it; erase " + e.Client + " again later."
	}
	return s.done(w, r, "/clients", text, nil)
}
