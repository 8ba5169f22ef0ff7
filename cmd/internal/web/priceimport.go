package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

func (m *routes) listPages() {
	m.get("/prices/import", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.askForList(w, r, http.StatusOK, ask(nil, nil))
	})
	m.upload("/prices/import", m.s.takeList)
	m.post("/prices/import/rows", m.s.showRows)
	m.post("/prices/import/apply", m.s.applyList)
}

// mostFates is how many rows of a list a page shows; those to decide on come
// first.
const mostFates = 250

// askForList asks for a supplier's file.
func (s *Server) askForList(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	var names []page.Option
	for i := range x.Book.Ingredients {
		for _, p := range x.Book.Ingredients[i].Prices {
			if o := (page.Option{Value: p.Supplier.Value}); p.Supplier.Given && !slices.Contains(names, o) {
				names = append(names, o)
			}
		}
	}
	f := page.Form{
		Action: "/prices/import", Button: "Show what each row would do", Files: true,
		Fields: []page.Field{
			a.field(page.Field{Name: "list", Label: "Price list", Kind: "file", Accept: ".csv,.txt,.tsv,.xlsx", Required: true, Wide: true, Help: "CSV or XLSX, as it was sent to you, with its columns in any order. Drop it here or choose it."}),
			a.field(page.Field{Name: "supplier", Label: "Whose list it is", Required: true, Options: names}),
			a.field(page.Field{Name: "from", Label: "Its prices hold from", Kind: "date", Value: s.today().String(), Help: "Where the list itself gives no day."}),
		},
	}
	f.Faults = a.rest()
	body := page.Intake{Title: "Take in a price list", Lead: "Nothing is stored yet: first you see what each row would do.", Ask: f}
	return s.showAs(w, r, status, "intake", body.Title, body, page.Link{Text: "Prices", Href: "/prices"}, page.Link{Text: "Price list", Current: true})
}

func (s *Server) takeList(w http.ResponseWriter, r *http.Request) error {
	up, err := readUpload(r, "list")
	if err != nil {
		return err
	}
	defer up.drop()
	var faults record.Faults
	if up.file == nil {
		faults.Add("list", "choose the file of a price list first")
	}
	if up.form.get("supplier") == "" {
		faults.Add("supplier", "say whose list it is")
	}
	if len(faults) > 0 {
		return s.askForList(w, r, http.StatusUnprocessableEntity, ask(up.form.values, faults))
	}
	session := s.session(w, r)
	id, err := s.shelf.put(session, up.name, up.file)
	if err != nil {
		return err
	}
	up.form.values.Set("file", id)
	up.form.values.Set("from", up.form.get("from"))
	return s.rowsPage(w, r, session, up.form, "")
}

func (s *Server) showRows(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	return s.rowsPage(w, r, visitOf(r).session, f, "")
}

// taking is a price list with what was said of it.
type taking struct {
	file    shelved
	book    book.Book
	x       *book.Index
	mapping pricelist.Mapping
	said    []pricelist.Alias
	list    intake.List
	plan    pricelist.Plan
	skipped []pricelist.Fate // of rows that are left out
	before  string           // when the very same list was taken in, "" where never
}

// readingWords are the choices of how to read a list that is not clear by
// itself, by the names of their boxes.
func readingWords(m *pricelist.Mapping) map[string]interface{ UnmarshalText([]byte) error } {
	return map[string]interface{ UnmarshalText([]byte) error }{"tax": &m.Tax, "decimal": &m.Decimal, "dates": &m.Dates, "price_of": &m.PriceOf, "pints": &m.Customary}
}

func listColumns(m *pricelist.Mapping) map[string]*string {
	c := &m.Columns
	return map[string]*string{"item": &c.Item, "code": &c.Code, "pack": &c.Pack, "count": &c.Count, "unit": &c.Unit, "price": &c.Price, "tax": &c.Tax, "currency": &c.Currency, "from": &c.From}
}

// take reads the list that a form is about. Faults are those of boxes; any
// other error is about the list.
func (s *Server) take(r *http.Request, session *session, f form) (t taking, err error) {
	if t.file, err = s.shelf.find(session, f.get("file")); err != nil {
		return t, err
	}
	x, err := s.book(r)
	if err != nil {
		return t, err
	}
	t.x, t.book = x, x.Book
	supplier := f.get("supplier")
	st := s.store(r)
	var known []pricelist.Alias
	if t.mapping, known, err = st.Supplier(r.Context(), supplier); err != nil {
		return t, err
	}
	var faults record.Faults
	if supplier == "" {
		faults.Add("supplier", "say whose list it is")
	}
	for name, word := range readingWords(&t.mapping) {
		if text := f.get(name); text != "" {
			if err := word.UnmarshalText([]byte(text)); err != nil {
				faults.Add(name, "%s", err)
			}
		}
	}
	for name, column := range listColumns(&t.mapping) {
		if text := f.get("column." + name); text != "" {
			*column = text
		}
	}
	if text := f.percent("tax_rate"); text != "" {
		rate, err := measure.ParsePercent(text)
		if err != nil {
			faults.Add("tax_rate", "%s", err)
		}
		t.mapping.TaxRate = record.Some(rate)
	}
	from := s.today()
	if text := f.get("from"); text != "" {
		if from, err = day.Parse(text); err != nil {
			faults.Add("from", "%s", err)
		}
	}
	suspicious, err := measure.ParsePercent(pricelist.SuspiciousChange)
	if err != nil {
		return t, err
	}
	if len(faults) > 0 {
		return t, faults
	}
	if t.list, err = readListFile(t.file, intake.Options{Mapping: t.mapping, RecoversTax: x.Book.Studio.RecoversTax.Or(false), Sheet: f.get("sheet"), Encoding: f.get("encoding")}); err != nil {
		return t, err
	}
	if t.before, err = st.TakenIn(r.Context(), supplier, t.list.Digest); err != nil {
		return t, err
	}
	options := pricelist.Options{Supplier: supplier, From: from, Suspicious: suspicious, Accept: decided(f, "accept-")}
	// Once for the names of the items, which what was said of them goes by.
	if t.plan, err = pricelist.NewPlan(x, t.list.Rows, t.mapping, known, options); err != nil {
		return t, err
	}
	if t.said, err = saidOf(f, x, t.plan); err != nil {
		return t, err
	}
	skip := decided(f, "skip-")
	if len(t.said) == 0 && len(skip) == 0 {
		return t, nil
	}
	for _, fate := range t.plan.Fates {
		if skip[fate.Row.Number] {
			t.skipped = append(t.skipped, fate)
		}
	}
	rows := slices.DeleteFunc(slices.Clone(t.list.Rows), func(row pricelist.Row) bool { return skip[row.Number] })
	t.plan, err = pricelist.NewPlan(x, rows, t.mapping, append(known, t.said...), options)
	return t, err
}

func readListFile(file shelved, o intake.Options) (list intake.List, err error) {
	open, err := os.Open(file.path)
	if err != nil {
		return list, err
	}
	defer open.Close()
	info, err := open.Stat()
	if err != nil {
		return list, err
	}
	if list, err = intake.Read(open, info.Size(), o); err != nil {
		err = fmt.Errorf("%s: %w", file.name, err)
	}
	return list, err
}

// decided lists the numbers of the rows whose boxes of a name are ticked.
func decided(f form, prefix string) map[int]bool {
	rows := map[int]bool{}
	for name := range f.values {
		if text, ok := strings.CutPrefix(name, prefix); ok && f.ticked(name) {
			if n, err := strconv.Atoi(text); err == nil {
				rows[n] = true
			}
		}
	}
	return rows
}

// notBought is what is chosen for an item that the studio does not buy.
const notBought = "not bought"

// saidOf reads what somebody said that the supplier's items are.
func saidOf(f form, x *book.Index, plan pricelist.Plan) (said []pricelist.Alias, err error) {
	var faults record.Faults
	for _, fate := range plan.Fates {
		box := fmt.Sprintf("is-%d", fate.Row.Number)
		text := f.get(box)
		if text == "" {
			continue
		}
		var id book.ID
		if text != notBought {
			i := slices.IndexFunc(x.Book.Ingredients, func(v book.Ingredient) bool { return v.Name == text || string(v.ID) == text })
			if i < 0 {
				faults.Add(box, "you buy nothing of this name; choose one from the list, or add it to your prices first")
				continue
			}
			id = x.Book.Ingredients[i].ID
		}
		if fate.Item != "" {
			said = append(said, pricelist.Alias{Name: fate.Item, Ingredient: id})
		}
		if fate.Code != "" {
			said = append(said, pricelist.Alias{Code: fate.Code, Ingredient: id})
		}
	}
	return said, faults.Err()
}

// rowsPage shows what each row would do. problem is why it was not done.
func (s *Server) rowsPage(w http.ResponseWriter, r *http.Request, session *session, f form, refused string) error {
	t, err := s.take(r, session, f)
	faults, faulty := faultsOf(err)
	var own problem
	if err != nil && !faulty && errors.As(err, &own) {
		return err
	}
	status := http.StatusOK
	body := page.Intake{Title: "What each row would do", ID: "rows", Fault: refused}
	switch {
	case err != nil && !faulty:
		status, body.Fault, body.Remedy = http.StatusUnprocessableEntity, sentence(err.Error()), "Say below how the list is to be read."
	case faulty || refused != "":
		status = http.StatusUnprocessableEntity
	case t.before != "":
		body.Fault = "This very list was taken in on " + t.before[:min(len(t.before), 10)] + "."
	}
	a := ask(f.values, faults)
	body.Lead = fmt.Sprintf("%s, of %s. Nothing is stored yet.", t.file.name, f.get("supplier"))
	body.Ask = readingForm(a, t)
	if err == nil || faulty && len(t.plan.Fates) > 0 {
		words := wordsOf(t.book.Studio)
		body.Count, body.Pager = countFates(t.plan)
		for _, fate := range shownFates(t.plan) {
			body.Fates = append(body.Fates, fateRow(words, t.x, fate, a))
		}
		for _, fate := range t.skipped {
			n := strconv.Itoa(fate.Row.Number)
			body.Fates = append(body.Fates, page.Fate{Row: n, Verdict: "left out", Tone: "quiet", Item: orDash(fate.Item + fate.Code), Fields: []page.Field{a.field(page.Field{Name: "skip-" + n, Label: "Leave it out", Kind: "tick"})}})
		}
		body.Apply = page.Form{Button: "Take the new prices"}
		body.Apply.Fields = append(body.Apply.Fields, a.field(page.Field{Name: "skip_all", Kind: "tick", Label: "Leave out every row that cannot be read or looks wrong"}))
		if len(t.plan.Prices()) == 0 {
			body.Apply.Button = ""
		}
		for i := range t.book.Ingredients {
			body.Names = append(body.Names, t.book.Ingredients[i].Name)
		}
	}
	body.Ask.Faults = a.rest()
	return s.showAs(w, r, status, "intake", body.Title, body, page.Link{Text: "Prices", Href: "/prices"}, page.Link{Text: "Price list", Href: "/prices/import"}, page.Link{Text: "Rows", Current: true})
}

// readingForm asks how a list is to be read, where it does not tell.
func readingForm(a *asking, t taking) page.Form {
	m := t.mapping
	choice := func(name, label, value string, options ...page.Option) page.Field {
		return a.field(page.Field{Name: name, Label: label, Kind: "choice", Value: value, Options: append([]page.Option{{Text: "as the list shows"}}, options...)})
	}
	f := page.Form{Action: "/prices/import/rows", Button: "Read it again", Title: "How the list is read", Fields: []page.Field{
		a.field(page.Field{Name: "file", Kind: "hidden"}),
		a.field(page.Field{Name: "supplier", Label: "Whose list it is", Required: true}),
		a.field(page.Field{Name: "from", Label: "Its prices hold from", Kind: "date"}),
		choice("tax", "Its prices", string(m.Tax), page.Option{Value: "in", Text: "hold tax"}, page.Option{Value: "out", Text: "hold no tax"}),
		a.field(page.Field{Name: "tax_rate", Label: "Rate of that tax", Kind: "number", Unit: "%", Value: percentOf(m.TaxRate)}),
		choice("decimal", "Before decimals stands", string(m.Decimal), page.Option{Value: "comma", Text: "a comma"}, page.Option{Value: "point", Text: "a point"}),
		choice("dates", "In 5/10/2026 first comes", string(m.Dates), page.Option{Value: "dmy", Text: "the day"}, page.Option{Value: "mdy", Text: "the month"}),
		choice("price_of", "Where a case holds several, a price buys", string(m.PriceOf), page.Option{Value: "pack", Text: "the case"}, page.Option{Value: "unit", Text: "one of them"}),
		choice("pints", "Pints and ounces are", string(m.Customary), page.Option{Value: "uk", Text: "British"}, page.Option{Value: "us", Text: "American"}),
		a.field(page.Field{Name: "sheet", Label: "Sheet of the workbook"}),
	}}
	for _, c := range []struct{ name, label, value string }{
		{"item", "Column of the goods", m.Columns.Item}, {"code", "of their numbers", m.Columns.Code}, {"pack", "of the packs", m.Columns.Pack}, {"count", "of how many a case holds", m.Columns.Count},
		{"unit", "of the units", m.Columns.Unit}, {"price", "of the prices", m.Columns.Price}, {"tax", "of the tax", m.Columns.Tax}, {"from", "of the days", m.Columns.From},
	} {
		field := page.Field{Name: "column." + c.name, Label: c.label, Value: c.value}
		if c.name == "item" {
			field.Help = "By its heading, or by its letter. Empty: found by itself."
		}
		f.Fields = append(f.Fields, a.field(field))
	}
	return f
}

// countFates says how many rows have which fate, and how many are not shown.
func countFates(p pricelist.Plan) (count, rest string) {
	var parts []string
	for _, v := range []pricelist.Verdict{pricelist.NewPrice, pricelist.Unchanged, pricelist.UnknownItem, pricelist.Suspicious, pricelist.Unreadable, pricelist.Duplicate, pricelist.PassedOver} {
		if n := p.Count(v); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, v))
		}
	}
	if n := len(p.Fates) - mostFates; n > 0 {
		rest = fmt.Sprintf("and %s that are not shown, those that change nothing first left out", plural(n, "row", "rows"))
	}
	return strings.Join(parts, ", "), rest
}

// shownFates lists the rows of a page: all that fit, those to decide on before
// the others.
func shownFates(p pricelist.Plan) []pricelist.Fate {
	if len(p.Fates) <= mostFates {
		return p.Fates
	}
	rank := func(f pricelist.Fate) int {
		switch {
		case f.Open():
			return 0
		case f.Verdict == pricelist.UnknownItem:
			return 1
		case f.Verdict == pricelist.NewPrice:
			return 2
		}
		return 3
	}
	list := slices.Clone(p.Fates)
	sortBy(list, func(a, b pricelist.Fate) int { return rank(a) - rank(b) })
	return list[:mostFates]
}

func fateRow(words words, x *book.Index, f pricelist.Fate, a *asking) page.Fate {
	row := page.Fate{Row: strconv.Itoa(f.Row.Number), Verdict: string(f.Verdict), Item: f.Item, Why: whyOf(x, f)}
	if row.Item == "" {
		row.Item = f.Code
	}
	switch {
	case f.Open():
		row.Tone = "bad"
	case f.Verdict == pricelist.NewPrice:
		row.Tone = "good"
	case f.Verdict != pricelist.UnknownItem:
		row.Tone = "quiet"
	}
	if it, ok := x.Item(f.Ingredient); ok && f.Ingredient != "" && it.Ingredient != nil {
		row.Means, row.Href = it.Ingredient.Name, ingredients.at(f.Ingredient)
	}
	if f.Read {
		row.Pack, row.Price = f.Price.Pack.String(), words.money(f.Price.Price.Number())
	}
	if f.Compared {
		row.Was, row.Change = words.money(f.OldPrice.Price.Number())+" for "+f.OldPrice.Pack.String(), words.change(f.Change)
	}
	n := strconv.Itoa(f.Row.Number)
	tick := func(name, label string) {
		row.Fields = append(row.Fields, a.field(page.Field{Name: name + n, Label: label, Kind: "tick"}))
	}
	// What was decided stays to be seen, and to be taken back.
	switch {
	case a.typed.Get("accept-"+n) != "" || f.Verdict == pricelist.Suspicious && f.Acceptable:
		tick("accept-", "It is right: take it")
		tick("skip-", "Leave it out")
	case f.Open():
		tick("skip-", "Leave it out")
	case f.Verdict == pricelist.UnknownItem || a.typed.Get("is-"+n) != "":
		row.Fields = append(row.Fields, a.field(page.Field{Name: "is-" + n, Label: "It is"}))
	}
	return row
}

// whyOf says why, where, and what an unknown item may be.
func whyOf(x *book.Index, f pricelist.Fate) string {
	var parts []string
	if f.Reason != "" {
		reason := f.Reason
		if f.At != "" {
			reason = f.At + ": " + reason
		}
		parts = append(parts, reason)
	}
	var names []string
	for _, s := range f.Suggestions {
		names = append(names, s.Name)
	}
	if len(names) > 0 {
		parts = append(parts, "perhaps "+strings.Join(names, ", or "))
	}
	return strings.Join(append(parts, f.Remarks...), "; ")
}

func (s *Server) applyList(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	session := visitOf(r).session
	t, err := s.take(r, session, f)
	if err != nil {
		return s.rowsPage(w, r, session, f, "")
	}
	if open := t.plan.Open(); len(open) > 0 && !f.ticked("skip_all") {
		return s.rowsPage(w, r, session, f, fmt.Sprintf("Nothing was added: %s to be decided on. Take what is right, leave out what is not, or leave out all of them.", plural(len(open), "row is", "rows are")))
	}
	prices := t.plan.Prices()
	if len(prices) == 0 {
		return s.rowsPage(w, r, session, f, "There is no new price in it.")
	}
	st := s.store(r)
	changes, err := st.Import(r.Context(), pricelist.File(t.book, prices), false, t.file.name, s.Now())
	if err != nil {
		return err
	}
	if err := st.SaveSupplier(r.Context(), f.get("supplier"), t.mapping, t.said, t.list.Digest, s.Now()); err != nil {
		return err
	}
	s.shelf.drop(f.get("file"))
	return s.done(w, r, "/prices?sort=moved", fmt.Sprintf("%s of %s added.", plural(changes.Prices, "price", "prices"), f.get("supplier")), withoutPrices(s, st, prices))
}

// withoutPrices takes dated prices out again, all or none.
func withoutPrices(s *Server, st *store.Store, prices []pricelist.Dated) back {
	return func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			list := slices.Clone(b.Ingredients)
			for _, p := range prices {
				i := slices.IndexFunc(list, func(v book.Ingredient) bool { return v.ID == p.Ingredient })
				if i < 0 {
					return b, tooLate("The price list")
				}
				at := slices.IndexFunc(list[i].Prices, func(v book.Price) bool { return versionOf(v) == versionOf(p.Price) })
				if at < 0 {
					return b, tooLate("The price list")
				}
				list[i].Prices = slices.Delete(slices.Clone(list[i].Prices), at, at+1)
			}
			b.Ingredients = list
			return b, nil
		})
		return plural(len(prices), "price is", "prices are") + " gone again.", err
	}
}
