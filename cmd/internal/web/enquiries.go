package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// enquiryPages are what clients ask for.
func (m *routes) enquiryPages() {
	m.get("/enquiries", m.s.listEnquiries)
	m.get("/enquiries/new", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.newEnquiryPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.post("/enquiries/new", m.s.addEnquiry)
	m.get("/enquiries/{ref}", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.enquiryPage(w, r, http.StatusOK, returned{})
	})
	m.post("/enquiries/{ref}", m.s.saveEnquiry)
	m.post("/enquiries/{ref}/close", m.s.closeEnquiry)
	m.post("/enquiries/{ref}/quoted", m.s.answerEnquiry)
	m.post("/enquiries/{ref}/reopen", m.s.reopenEnquiry)
}

func (s *Server) listEnquiries(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	state := r.URL.Query().Get("state")
	states := []struct{ value, text string }{{"", "Open"}, {"quoted", "Quoted"}, {"closed", "Closed"}, {"all", "All"}}
	body := page.Board{Title: "Enquiries", Places: orderPlaces("/enquiries"), Actions: []page.Link{{Text: "Note an enquiry", Href: "/enquiries/new", Current: true}}}
	wanted, known := enquiry.Open, false
	for _, v := range states {
		href := "/enquiries"
		if v.value != "" {
			href += "?state=" + v.value
		}
		body.Tabs = append(body.Tabs, page.Link{Text: v.text, Href: href, Current: v.value == state})
		known = known || v.value == state
	}
	switch {
	case !known:
		return notFound("list of enquiries")
	case state == "all":
		wanted = ""
	case state != "":
		wanted = enquiry.State(state)
	}
	words, from := query(r), fromOf(r.URL.Query())
	list, n, err := s.store(r).EnquiriesPage(r.Context(), wanted, words, store.Span{From: from, Most: pageSize})
	if err != nil {
		return err
	}
	body.Search = page.Search{Action: "/enquiries", Label: "Find by who, what for, where", Query: words, Live: "list"}
	if state != "" {
		body.Search.Kept = []page.Field{{Name: "state", Kind: "hidden", Value: state}}
	}
	body.None = "No enquiry stands here."
	if words != "" {
		body.None = fmt.Sprintf("No enquiry here has %q in who asks, what for, where, or what they wish.", words)
		if state != "all" {
			body.Beyond = &page.Link{Text: "Look through all enquiries", Href: "/enquiries?state=all&q=" + escapeQuery(words)}
		}
	} else if n == 0 && wanted == enquiry.Open {
		_, all, err := s.store(r).EnquiriesPage(r.Context(), "", "", store.Span{})
		if err != nil {
			return err
		}
		body.None = "Every enquiry is answered or closed."
		if all == 0 {
			body.Empty = &page.Empty{Title: "No enquiries yet", Text: "Somebody calls or writes: note who it is, the day and the guests. The rest can follow, and one click makes a quote of it.", Actions: []page.Link{{Text: "Note the first", Href: "/enquiries/new"}}}
		}
	}
	as := wordsOf(x.Book.Studio)
	body.Pager = pagerOf(from, len(list), n, r.URL.Query(), "/enquiries")
	body.Rows = page.Table{Caption: "Enquiries, the next event first", Brief: true, Heads: []page.Head{{Text: "Client"}, {Text: "Event", Plain: true}, {Text: "Day", Plain: true}, {Text: "Guests", Right: true}, {Text: "Stands", Plain: true}}}
	for _, e := range list {
		day, guests := "not said", ""
		if !e.Date.IsZero() {
			day = as.day(e.Date)
		}
		if e.Guests.Given {
			guests = fmt.Sprint(e.Guests.Value)
		}
		stands := page.Cell{Text: string(e.State), Note: e.ClosedWhy}
		if len(e.Quotes) > 0 {
			stands.Note = strings.Join(e.Quotes, ", ")
		}
		body.Rows.Rows = append(body.Rows.Rows, page.Row{Cells: []page.Cell{{Text: e.Name, Href: enquiryAt(e.Ref)}, {Text: e.Occasion.Or("event"), Note: e.Ref}, {Text: day}, {Text: guests}, stands}})
	}
	if wanted == enquiry.Open {
		// All of this list are open.
		body.Rows.Heads = body.Rows.Heads[:4]
		for i := range body.Rows.Rows {
			body.Rows.Rows[i].Cells = body.Rows.Rows[i].Cells[:4]
		}
	}
	if wantsFragment(r) {
		return s.fragment(w, r, "board", "board-list", body)
	}
	return s.show(w, r, "board", body.Title, body)
}

// enquiryName says what an enquiry is about.
func enquiryName(words words, e store.SavedEnquiry) string {
	text := capital(e.Occasion.Or("event"))
	if !e.Date.IsZero() {
		text += ", " + words.day(e.Date)
	}
	return text
}

// enquiryForm asks for what a client wants.
func enquiryForm(a *asking, e enquiry.Enquiry, action string) page.Form {
	f := page.Form{Action: action, Button: "Save", Guard: true}
	date := func(v interface {
		IsZero() bool
		String() string
	}) string {
		if v.IsZero() {
			return ""
		}
		return v.String()
	}
	guests, budget, km, tasted, at := "", "", "", "", ""
	if e.Guests.Given {
		guests = strconv.Itoa(e.Guests.Value)
	}
	if e.Budget.Given {
		budget = e.Budget.Value.String()
	}
	if e.Km.Given {
		km = e.Km.Value.String()
	}
	if e.Tasting != nil {
		tasted = e.Tasting.Date.String()
		if e.Tasting.Time.Given {
			at = e.Tasting.Time.Value.String()
		}
	}
	f.Fields = []page.Field{
		a.field(page.Field{Name: "occasion", Label: "What for", Value: e.Occasion.Value, Help: "A wedding, a 40th birthday."}),
		a.field(page.Field{Name: "date", Label: "Day of the event", Kind: "date", Value: date(e.Date)}),
		a.field(page.Field{Name: "guests", Label: "Guests", Kind: "number", Value: guests}),
		a.field(page.Field{Name: "budget", Label: "May cost at most", Kind: "number", Value: budget}),
		a.field(page.Field{Name: "wishes", Label: "Wishes", Kind: "long", Value: e.Wishes.Value, Wide: true, Help: "Design, flavours, colours."}),
		a.field(page.Field{Name: "dietary", Label: "What guests must not eat", Value: e.Dietary.Value, Wide: true, Help: "In the client's words. Check it against the labels of what goes into the cake."}),
	}
	where := page.Group{Title: "Place, tasting, and when they asked", Fields: []page.Field{
		a.field(page.Field{Name: "venue", Label: "Place", Value: e.Venue.Value}),
		a.field(page.Field{Name: "km", Label: "There and back", Kind: "number", Unit: "km", Value: km}),
		a.field(page.Field{Name: "tasting.date", Label: "Tasting on", Kind: "date", Value: tasted}),
		a.field(page.Field{Name: "tasting.time", Label: "Tasting at", Value: at, Help: "14:30"}),
		a.field(page.Field{Name: "received", Label: "Asked on", Kind: "date", Value: date(e.Received)}),
	}}
	where.Open = filledIn(where.Fields[:4])
	f.Groups = []page.Group{where}
	f.Faults = a.rest()
	return f
}

// filledIn reports whether any of some boxes holds something, or is marked.
func filledIn(fields []page.Field) bool {
	return slices.ContainsFunc(fields, func(f page.Field) bool { return f.Value != "" || len(f.Faults) > 0 })
}

// changedEnquiry is what a form makes of an enquiry, with all that is wrong
// with it.
func changedEnquiry(e enquiry.Enquiry, f form) (enquiry.Enquiry, record.Faults) {
	set := settings{"km": strings.TrimSpace(strings.TrimSuffix(f.figure("km"), "km")), "budget": f.price("budget"), "guests": nil, "tasting": nil}
	for _, key := range []string{"occasion", "date", "venue", "dietary", "wishes"} {
		set[key] = f.get(key)
	}
	if on := f.get("received"); on != "" { // an enquiry came on some day
		set["received"] = on
	}
	if g := f.get("guests"); g != "" {
		set["guests"] = wholeNumber(g)
	}
	if f.get("tasting.date") != "" || f.get("tasting.time") != "" {
		set["tasting"] = map[string]any{"date": f.get("tasting.date")}
		if t := f.get("tasting.time"); t != "" {
			set["tasting"] = map[string]any{"date": f.get("tasting.date"), "time": t}
		}
	}
	if c := f.get("client"); c != "" {
		set["client"] = c
	}
	now, faults := overlay(e, set)
	if err := oneWay(f.currency, f.get("budget")); err != nil {
		faults.Add("budget", "%s", err)
	}
	if len(faults) == 0 {
		faults = now.Check()
	}
	return now, faults
}

func (s *Server) newEnquiryPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	if _, err := s.book(r); err != nil {
		return err
	}
	ref := r.URL.Query().Get("client")
	if a.typed != nil {
		ref = a.typed.Get("client")
	}
	body := page.FormPage{Title: "What they ask for"}
	who := []page.Field{}
	var known enquiry.Client
	if ref != "" {
		c, err := s.store(r).Client(r.Context(), ref)
		if err != nil {
			return err
		}
		known = c.Client
		body.Title = "What " + c.Name + " asks for"
		who = append(who, page.Field{Name: "client", Kind: "hidden", Value: c.Ref})
	} else {
		body.Lead = "Somebody new: their name is enough to begin with. Somebody you know: begin on their page, under Clients."
		who = append(who, a.field(page.Field{Name: "name", Label: "Who asks", Required: true, Auto: "off"}), a.field(page.Field{Name: "email", Label: "E-mail", Kind: "email", Auto: "off"}), a.field(page.Field{Name: "phone", Label: "Telephone", Kind: "tel", Auto: "off"}))
	}
	f := enquiryForm(a, enquiry.Enquiry{Received: s.today(), Dietary: known.Dietary}, "/enquiries/new")
	f.Fields = append(who, f.Fields...)
	f.Button, f.Cancel = "Note it", "/enquiries"
	f.Faults = a.rest()
	body.Form = f
	return s.showAs(w, r, status, "formpage", body.Title, body, orderCrumbs(page.Link{Text: "Enquiries", Href: "/enquiries"}, page.Link{Text: "New"})...)
}

func (s *Server) addEnquiry(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st := s.store(r)
	ref := f.get("client")
	owner := enquiry.Enquiry{Client: ref, Received: s.today()}
	var c enquiry.Client
	var faults record.Faults
	if ref == "" {
		owner.Client = "C1" // stands in until there is one, for the check
		if c, faults = overlay(enquiry.Client{}, settings{"name": f.get("name"), "email": f.get("email"), "phone": f.get("phone")}); len(faults) == 0 {
			faults = c.Check()
		}
	}
	e, more := changedEnquiry(owner, f)
	if faults = append(faults, more...); len(faults) > 0 {
		return s.newEnquiryPage(w, r, http.StatusUnprocessableEntity, ask(f.values, faults))
	}
	var saved store.SavedEnquiry
	if ref == "" {
		saved, err = st.AddFirstEnquiry(r.Context(), c, e, s.Now())
	} else {
		saved, err = st.AddEnquiry(r.Context(), e)
	}
	if err != nil {
		return err
	}
	return s.done(w, r, enquiryAt(saved.Ref), "The enquiry of "+saved.Name+" is noted as "+saved.Ref+".", nil)
}

func (s *Server) enquiryPage(w http.ResponseWriter, r *http.Request, status int, came returned) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	e, err := s.store(r).Enquiry(r.Context(), r.PathValue("ref"))
	if err != nil {
		return err
	}
	c, err := s.store(r).Client(r.Context(), e.Client)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	at := enquiryAt(e.Ref)
	body := page.Enquiry{Title: enquiryName(words, e), Lead: "Enquiry " + e.Ref + ", " + string(e.State) + ".", Details: enquiryForm(came.of("details"), e.Enquiry, at)}
	body.Details.Title, body.Details.Version, body.Details.Folded, body.Details.Unroll = "Change it", versionOf(e.Enquiry), true, true
	body.Details.Groups[0].Fields = append(body.Details.Groups[0].Fields, came.of("details").field(page.Field{Name: "client", Label: "Whose it is", Value: e.Client, Help: "What the client is called: C2. Its quotes go along."}))
	figure := func(label, value string) {
		if value != "" {
			body.Figures = append(body.Figures, page.Figure{Label: label, Value: value})
		}
	}
	body.Reach = reachOf(c.Client)
	body.Figures = []page.Figure{{Label: "Client", Value: e.Name, Leads: clientAt(e.Client)}}
	if !e.Date.IsZero() {
		figure("Event", words.locale.LongDate(e.Date))
	}
	if e.Guests.Given {
		body.Figures = append(body.Figures, page.Figure{Label: "Guests", Value: fmt.Sprint(e.Guests.Value)})
		body.Actions = []page.Link{{Text: "Which tiers serve " + fmt.Sprint(e.Guests.Value), Href: fmt.Sprintf("/cakes/tiers?guests=%d", e.Guests.Value)}}
	}
	if !e.Date.IsZero() && !e.Date.Before(s.today()) {
		body.Actions = append(body.Actions, page.Link{Text: "Is there room that day?", Href: roomAt(e.Date)})
	}
	figure("Place", e.Venue.Value)
	if e.Km.Given {
		figure("There and back", e.Km.Value.String()+" km")
	}
	if e.Budget.Given {
		figure("May cost at most", words.money(e.Budget.Value.Number()))
	}
	if e.Tasting != nil {
		text := words.day(e.Tasting.Date)
		if e.Tasting.Time.Given {
			text += ", " + e.Tasting.Time.Value.String()
		}
		figure("Tasting", text)
	}
	figure("Wishes", e.Wishes.Value)
	figure("Guests must not eat", e.Dietary.Value)
	figure("The client must not eat", c.Dietary.Value)
	if e.Dietary.Given || c.Dietary.Given {
		body.Caution = "Dietary needs are the client's words. Check them against the labels of what goes into the cake."
	}
	for _, q := range e.Quotes {
		body.Quotes = append(body.Quotes, page.Item{Text: q, Href: quoteAt(q)})
	}
	answer := came.of("quoted")
	f := page.Form{Action: at + "/quoted", Title: "A quote answers it already", Button: "Note it", Quiet: true, Folded: true, Fields: []page.Field{answer.field(page.Field{Name: "quote", Label: "Its number", Required: true, Help: "2026-0001, or of a draft D1."})}}
	f.Faults = answer.rest()
	body.Answer = &f
	if e.State == enquiry.Closed {
		body.Lead = fmt.Sprintf("Enquiry %s, closed on %s: %s.", e.Ref, words.day(e.ClosedOn), strings.TrimSuffix(e.ClosedWhy, "."))
		body.Buttons = []page.Button{{Action: at + "/reopen", Text: "Open it again", Quiet: true}}
	} else {
		if len(e.Needs()) == 0 {
			body.Actions = append(body.Actions, page.Link{Text: "Its request as a file (JSON)", Href: at + "/request.json"})
		}
		body.Actions = append([]page.Link{{Text: "Make a quote of it", Href: "/quotes/new?enquiry=" + e.Ref, Current: true}}, body.Actions...)
		a := came.of("close")
		f := page.Form{Action: at + "/close", Title: "No order comes of it", Button: "Close it", Quiet: true, Folded: true, Fields: []page.Field{a.field(page.Field{Name: "why", Label: "Why", Required: true, Wide: true, Help: "The date was taken, it was too dear, they never wrote back."})}}
		f.Faults = a.rest()
		body.Close = &f
	}
	return s.showAs(w, r, status, "enquiry", body.Title, body, orderCrumbs(page.Link{Text: "Enquiries", Href: "/enquiries"}, page.Link{Text: e.Ref + " " + e.Name})...)
}

func (s *Server) saveEnquiry(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st, ref := s.store(r), r.PathValue("ref")
	var old, now enquiry.Enquiry
	saved, err := st.ChangeEnquiry(r.Context(), ref, func(e *enquiry.Enquiry) error {
		old = *e
		var faults record.Faults
		if now, faults = changedEnquiry(old, f); len(faults) > 0 {
			return faults
		}
		if f.version != versionOf(old) && versionOf(old) != versionOf(now) {
			return clash{version: versionOf(old), name: "Enquiry " + ref, stored: flat(old), typed: flat(now)}
		}
		*e = now
		return nil
	})
	if faults, ok := faultsOf(err); ok {
		return s.enquiryPage(w, r, http.StatusUnprocessableEntity, returned{"details", f.values, faults})
	}
	if shown, err := s.showClash(w, r, err, f, enquiryAt(ref), enquiryAt(ref)); shown {
		return err
	}
	if err != nil {
		return err
	}
	return s.done(w, r, enquiryAt(saved.Ref), saved.Ref+" is saved.", func(ctx context.Context) (string, error) {
		_, err := st.ChangeEnquiry(ctx, ref, func(e *enquiry.Enquiry) error {
			if versionOf(*e) != versionOf(now) {
				return tooLate(ref)
			}
			*e = old
			return nil
		})
		return ref + " is as it was before.", err
	})
}

func (s *Server) closeEnquiry(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st, ref := s.store(r), r.PathValue("ref")
	if f.get("why") == "" {
		return s.enquiryPage(w, r, http.StatusUnprocessableEntity, returned{"close", f.values, record.Faults{{Path: "why", Problem: "say why no order comes of it"}}})
	}
	e, err := st.CloseEnquiry(r.Context(), ref, f.get("why"), s.today())
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, enquiryAt(e.Ref), e.Ref+" is closed.", func(ctx context.Context) (string, error) {
		_, err := st.ReopenEnquiry(ctx, ref)
		return ref + " is open again.", err
	})
}

// answerEnquiry says that a quote, which was made by itself, answers an enquiry.
func (s *Server) answerEnquiry(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	st, ref, number := s.store(r), r.PathValue("ref"), f.get("quote")
	again := func(problem string) error {
		return s.enquiryPage(w, r, http.StatusUnprocessableEntity, returned{"quoted", f.values, record.Faults{{Path: "quote", Problem: problem}}})
	}
	if number == "" {
		return again("write the number of the quote")
	}
	before, err := st.PartyOf(r.Context(), number)
	if errors.Is(err, store.ErrNotFound) {
		return again(plainly(err.Error()))
	}
	if err != nil {
		return err
	}
	if err := st.LinkQuote(r.Context(), number, "", ref); err != nil {
		return refusedText(err)
	}
	var undo back
	if before.Client != "" {
		undo = func(ctx context.Context) (string, error) {
			return number + " is as it was before.", st.LinkQuote(ctx, number, before.Client, before.Enquiry)
		}
	}
	return s.done(w, r, enquiryAt(ref), number+" answers "+ref+".", undo)
}

func (s *Server) reopenEnquiry(w http.ResponseWriter, r *http.Request) error {
	e, err := s.store(r).ReopenEnquiry(r.Context(), r.PathValue("ref"))
	if err != nil {
		return refusedText(err)
	}
	return s.done(w, r, enquiryAt(e.Ref), e.Ref+" is open again.", nil)
}
