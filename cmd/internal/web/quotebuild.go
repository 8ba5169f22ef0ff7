package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// buildPages are where a quote is put together: anew, a draft again, and a
// revision.
func (m *routes) buildPages() {
	m.get("/quotes/new", m.s.newQuote)
	m.post("/quotes/new", m.s.buildQuote)
	m.get("/quotes/{ref}/edit", m.s.editQuote)
	m.post("/quotes/{ref}/edit", m.s.buildQuote)
	m.get("/quotes/{ref}/revise", m.s.editQuote)
	m.post("/quotes/{ref}/revise", m.s.buildQuote)
	m.post("/quotes/preview", m.s.previewQuote)
	m.requestPages()
}

// mostChosen is how many things a list to choose from may have; a longer one is
// typed into.
const mostChosen = 100

// A building is a quote that is being put together.
type building struct {
	x      *book.Index
	of     *store.SavedQuote // the draft, or the quote that is revised; nil for a new one
	values url.Values        // what the boxes hold
	faults record.Faults
	notes  []string      // beside the faults
	unread record.Faults // of a request file
}

// revises reports whether a revision is being made.
func (b building) revises() bool { return b.of != nil && !b.of.Quote.Draft() }

// at is where the form goes.
func (b building) at() string {
	switch {
	case b.of == nil:
		return "/quotes/new"
	case b.revises():
		return quoteAt(b.of.Ref()) + "/revise"
	}
	return quoteAt(b.of.Ref()) + "/edit"
}

// base is the request that the form begins with: of an accepted choice the
// option that was taken.
func base(q store.SavedQuote) quote.Request {
	request := q.Quote.Request
	if q.Life.Option != "" && q.Life.Order == q.Quote.Revision {
		if i, err := q.Choice(q.Life.Option); err == nil && i > 0 && i <= len(request.Options) {
			request = request.Only(i - 1)
		}
	}
	return request
}

// version tells the quote that a form was made of from any later one.
func (b building) version() string {
	if b.of == nil {
		return ""
	}
	return versionOf(struct {
		Request quote.Request
		Newest  string
		State   quote.State
	}{base(*b.of), b.of.Life.Newest, b.of.Life.State})
}

// valuesOf fills the boxes of a form from a request.
func valuesOf(r quote.Request) url.Values {
	values := requestBoxes(r, len(r.Options))
	values.Del("on") // made anew, it is made today
	return values
}

// requestBoxes fills boxes from a request with so many options, be it read or still the
// tree of a file.
func requestBoxes(request any, options int) url.Values {
	values := url.Values{}
	for _, p := range flat(request) {
		text := p.value
		if strings.HasSuffix(p.path, "discount") {
			text, _ = cutPercent(text)
		}
		values.Set(p.path, text)
	}
	values.Set("options", strconv.Itoa(options))
	return values
}

func (s *Server) newQuote(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	st, q := s.store(r), r.URL.Query()
	b := building{x: x, values: url.Values{"keep": {"yes"}}}
	var request quote.Request
	switch {
	case q.Get("enquiry") != "":
		e, err := st.Enquiry(r.Context(), q.Get("enquiry"))
		if err != nil {
			return err
		}
		c, err := st.Client(r.Context(), e.Client)
		if err != nil {
			return err
		}
		b.values = valuesOf(e.Request(c.Client, s.today()))
		b.values.Set("client_ref", c.Ref)
		b.values.Set("enquiry_ref", e.Ref)
	case q.Get("like") != "":
		old, err := st.Quote(r.Context(), q.Get("like"), "", s.today())
		if err != nil {
			return err
		}
		request = base(old)
		party, err := st.PartyOf(r.Context(), q.Get("like"))
		if err != nil {
			return err
		}
		b.values = valuesOf(request)
		b.values.Set("client_ref", party.Client)
		b.values.Set("keep", "yes")
		if request.Event.Date.Before(s.today()) {
			b.values.Del("event.date")
		}
	case q.Get("client") != "":
		c, err := st.Client(r.Context(), q.Get("client"))
		if err != nil {
			return err
		}
		b.values = valuesOf(enquiry.Enquiry{}.Request(c.Client, s.today()))
		b.values.Del("event.date")
		b.values.Set("client_ref", c.Ref)
	}
	if cake := q.Get("cake"); cake != "" {
		b.values.Set("lines[0].cake", cake)
		b.values.Set("lines[0].quantity", "1")
	}
	return s.buildPage(w, r, http.StatusOK, b)
}

// editQuote shows a draft, or what is to be revised, in the boxes of the form.
func (s *Server) editQuote(w http.ResponseWriter, r *http.Request) error {
	b, err := s.building(r)
	if err != nil {
		return err
	}
	request := base(*b.of)
	// Going on with one option alone: the client has made up half their mind.
	if n, err := strconv.Atoi(r.URL.Query().Get("only")); err == nil && n > 0 && n <= len(request.Options) {
		request = request.Only(n - 1)
	}
	b.values = valuesOf(request)
	return s.buildPage(w, r, http.StatusOK, b)
}

// building begins with the quote of the address, and refuses what its state does
// not allow.
func (s *Server) building(r *http.Request) (building, error) {
	x, err := s.book(r)
	if err != nil {
		return building{}, err
	}
	b := building{x: x}
	ref := r.PathValue("ref")
	if ref == "" {
		return b, nil
	}
	q, err := s.store(r).Quote(r.Context(), ref, "", s.today())
	if err != nil {
		return b, err
	}
	b.of = &q
	at := []page.Link{{Text: "Go to it", Href: quoteAt(q.Ref())}}
	revise := strings.HasSuffix(r.URL.Path, "/revise")
	switch {
	case revise && q.Quote.Draft():
		return b, problem{Status: http.StatusConflict, Title: "That cannot be done", Text: q.Draft + " is a draft: edit it instead.", Actions: at}
	case !revise && !q.Quote.Draft():
		return b, problem{Status: http.StatusConflict, Title: "What was issued stays as it is", Text: q.Ref() + " is issued: revise it instead.", Actions: at}
	}
	if revise {
		if err := q.Life.Check(q.Ref(), quote.Revise, s.today()); err != nil {
			return b, problem{Status: http.StatusConflict, Title: "That cannot be done", Text: sentence(err.Error()), Actions: at}
		}
	}
	return b, nil
}

// read takes what was typed. Rows in which nothing is chosen are dropped, and
// the others move up, so that faults find their boxes.
func (b *building) read(f form) ([]byte, record.Faults) {
	values := url.Values{}
	tree := map[string]any{}
	var faults record.Faults
	text := func(path, value string) {
		values.Set(path, f.get(path))
		if value != "" {
			put(tree, strings.Split(path, "."), value)
		}
	}
	for _, path := range []string{"client.name", "client.email", "client.phone", "client.address", "event.date", "event.venue", "language"} {
		text(path, f.get(path))
	}
	text("event.km", f.figure("event.km"))
	text("discount", f.percent("discount"))
	text("on", f.get("on"))
	text("event.guests", "")
	if guests := f.get("event.guests"); guests != "" {
		put(tree, []string{"event", "guests"}, wholeNumber(guests))
	}
	for _, name := range []string{"client_ref", "enquiry_ref", "keep", "reason", "spare", "version"} {
		values.Set(name, f.get(name))
	}
	rows := func(from, to, key string, find func(string) (book.ID, error)) []any {
		list := []any{}
		for _, row := range f.rows(from, key, "quantity") {
			cells := row.(map[string]any)
			typed, _ := cells[key].(string)
			if typed == "" {
				continue
			}
			at := record.Item(to, len(list))
			values.Set(record.Join(at, key), typed)
			id, err := find(typed)
			if err != nil {
				faults.Add(record.Join(at, key), "%s", err)
				id = book.ID(typed)
			}
			n, _ := cells["quantity"].(string)
			if n == "" {
				n = "1"
			}
			values.Set(record.Join(at, "quantity"), n)
			list = append(list, map[string]any{key: string(id), "quantity": wholeNumber(n)})
		}
		return list
	}
	n := optionCount(f)
	values.Set("options", strconv.Itoa(n))
	if extras := rows("extras", "extras", "extra", b.extra); len(extras) > 0 {
		tree["extras"] = extras
	}
	if n == 0 {
		tree["lines"] = rows("lines", "lines", "cake", b.cake)
	} else {
		options := []any{}
		for i := range n {
			at := record.Item("options", i)
			option := map[string]any{"name": f.get(at + ".name"), "lines": rows(at+".lines", at+".lines", "cake", b.cake)}
			values.Set(at+".name", f.get(at+".name"))
			if extras := rows(at+".extras", at+".extras", "extra", b.extra); len(extras) > 0 {
				option["extras"] = extras
			}
			values.Set(at+".discount", f.get(at+".discount"))
			if d := f.percent(at + ".discount"); d != "" {
				option["discount"] = d
			}
			options = append(options, option)
		}
		tree["options"] = options
	}
	b.values = values
	data, err := json.Marshal(tree)
	if err != nil {
		faults.Add("", "%s", err)
	}
	return data, faults
}

// optionCount is how many options the form shows, 0 for a single offer.
func optionCount(f form) int {
	n, _ := strconv.Atoi(f.get("count"))
	return min(max(n, 0), mostOptions)
}

// mostOptions is how many offers a client may have to choose from.
const mostOptions = 5

// cake finds the design that somebody chose or typed.
func (b *building) cake(text string) (book.ID, error) {
	return sought(b.x.Book.Cakes, text, func(c book.Cake) (book.ID, string) { return c.ID, c.Name }, "cake")
}

func (b *building) extra(text string) (book.ID, error) {
	return sought(b.x.Book.Extras, text, func(e book.Extra) (book.ID, string) { return e.ID, e.Name }, "extra")
}

// sought finds one thing by its id, its name, or words that stand in one name
// alone.
func sought[T any](list []T, text string, named func(T) (book.ID, string), what string) (book.ID, error) {
	folded := enquiry.Fold(text)
	var part []T
	for _, v := range list {
		id, name := named(v)
		if string(id) == text || enquiry.Fold(name) == folded {
			return id, nil
		}
		if strings.Contains(enquiry.Fold(name), folded) {
			part = append(part, v)
		}
	}
	switch len(part) {
	case 0:
		return "", fmt.Errorf("no %s is called %.60q", what, text)
	case 1:
		id, _ := named(part[0])
		return id, nil
	}
	var names []string
	for _, v := range part[:min(len(part), 4)] {
		_, name := named(v)
		names = append(names, name)
	}
	return "", fmt.Errorf("is in several names: %s; write more of it", strings.Join(names, ", "))
}

// priced reads a form and prices it, with everything that is wrong with it.
func (s *Server) priced(b *building, f form) (quote.Quote, record.Faults) {
	data, faults := b.read(f)
	var tree map[string]any
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	if err := dec.Decode(&tree); err != nil {
		return quote.Quote{}, append(faults, record.Fault{Problem: err.Error()})
	}
	if tree["on"] == nil {
		tree["on"] = s.today().String()
	}
	for _, key := range []string{"client", "event"} {
		if tree[key] == nil {
			tree[key] = map[string]any{}
		}
	}
	data, _ = json.Marshal(tree) // it was read from JSON
	for _, more := range quote.Diagnose(b.x, data) {
		if !slices.ContainsFunc(faults, func(known record.Fault) bool { return known.Path == more.Path }) {
			faults = append(faults, more)
		}
	}
	if len(faults) > 0 {
		return quote.Quote{}, faults
	}
	request, err := quote.ReadRequest(data)
	if err == nil {
		var q quote.Quote
		if q, err = quote.Price(b.x, request); err == nil {
			return q, nil
		}
	}
	if list, ok := faultsOf(err); ok {
		return quote.Quote{}, list
	}
	return quote.Quote{}, record.Faults{{Problem: err.Error()}}
}

// buildQuote saves what was put together, or shows the form again with more
// rows or another number of options.
func (s *Server) buildQuote(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	b, err := s.building(r)
	if err != nil {
		return err
	}
	if change := f.get("options"); change != "" {
		b.read(f)
		b.reshape(change)
		return s.buildPage(w, r, http.StatusOK, b)
	}
	q, faults := s.priced(&b, f)
	if b.revises() && f.get("reason") == "" {
		faults.Add("reason", "say why it is revised; the trail keeps it")
	}
	if len(faults) > 0 {
		b.faults = faults
		return s.buildPage(w, r, http.StatusUnprocessableEntity, b)
	}
	return s.keepQuote(w, r, b, q, f)
}

// keepQuote stores what was put together, unless the quote is not any more what
// the form was made of.
func (s *Server) keepQuote(w http.ResponseWriter, r *http.Request, b building, q quote.Quote, f form) error {
	st := s.store(r)
	same := store.Check{On: s.today(), Of: func(is store.SavedQuote) error {
		now := building{of: &is}
		if f.version == now.version() {
			return nil
		}
		return clash{version: now.version(), name: is.Ref(), stored: flat(base(is)), typed: flat(q.Request)}
	}}
	switch {
	case b.revises():
		saved, err := st.ReviseQuote(r.Context(), b.of.Ref(), q, f.get("reason"), s.Now(), same)
		if shown, err := s.showClash(w, r, err, f, b.at(), quoteAt(b.of.Ref())); shown {
			return err
		}
		if err != nil {
			return refusedText(err)
		}
		return s.done(w, r, quoteAt(saved.Ref())+"?revision="+saved.Quote.Revision, fmt.Sprintf("Revision %s of %s is issued.", saved.Quote.Revision, saved.Ref()), nil)
	case b.of != nil:
		old := *b.of
		saved, err := st.ReplaceDraft(r.Context(), old.Draft, q, s.Now(), same)
		if shown, err := s.showClash(w, r, err, f, b.at(), quoteAt(old.Draft)); shown {
			return err
		}
		if err != nil {
			return refusedText(err)
		}
		now := versionOf(q.Request)
		return s.done(w, r, afterSaving(saved, f), saved.Draft+" is saved.", func(ctx context.Context) (string, error) {
			_, err := st.ReplaceDraft(ctx, old.Draft, old.Quote, s.Now(), store.Check{On: s.today(), Of: func(is store.SavedQuote) error {
				if versionOf(is.Quote.Request) != now {
					return tooLate(old.Draft)
				}
				return nil
			}})
			if errors.Is(err, store.ErrConflict) { // it was issued meanwhile
				err = tooLate(old.Draft)
			}
			return old.Draft + " is as it was before.", err
		})
	}
	client, asked := f.get("client_ref"), f.get("enquiry_ref")
	if asked != "" {
		if _, err := st.Enquiry(r.Context(), asked); err != nil {
			return err
		}
	} else if client != "" {
		if _, err := st.Client(r.Context(), client); err != nil {
			return err
		}
	}
	saved, err := st.SaveDraft(r.Context(), q, s.Now())
	if err != nil {
		return err
	}
	switch {
	case client != "" || asked != "":
		err = st.LinkQuote(r.Context(), saved.Draft, client, asked)
	case f.ticked("keep"):
		_, err = st.AddClientOf(r.Context(), saved.Draft, s.Now())
	}
	if err != nil {
		return errors.Join(refusedText(err), st.DropDraft(r.Context(), saved.Draft))
	}
	return s.added(w, r, afterSaving(saved, f), shelfPath(store.Drafts), saved.Draft+" is saved as a draft.", func(ctx context.Context) (string, error) {
		return saved.Draft + " is gone again.", st.DropDraft(ctx, saved.Draft)
	})
}

func afterSaving(q store.SavedQuote, f form) string {
	if f.get("then") == "issue" {
		return quoteAt(q.Ref()) + "/issue"
	}
	return quoteAt(q.Ref())
}

// reshape makes the form another: a single offer, so many options, more rows.
func (b *building) reshape(to string) {
	if to == "rows" {
		n, _ := strconv.Atoi(b.values.Get("spare"))
		b.values.Set("spare", strconv.Itoa(min(n+3, 30)))
		return
	}
	was, _ := strconv.Atoi(b.values.Get("options"))
	n, _ := strconv.Atoi(to)
	n = min(max(n, 0), 5)
	move := func(from, to string) {
		for name := range b.values {
			if rest, ok := strings.CutPrefix(name, from); ok {
				b.values.Set(to+rest, b.values.Get(name))
				b.values.Del(name)
			}
		}
	}
	switch {
	case was == 0 && n > 0:
		move("lines[", "options[0].lines[")
	case was > 0 && n == 0:
		move("options[0].lines[", "lines[")
		if b.values.Get("extras[0].extra") == "" {
			move("options[0].extras[", "extras[")
		}
	}
	b.values.Set("options", strconv.Itoa(n))
}
