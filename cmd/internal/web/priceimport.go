package web

import (
	"cmp"
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

func (s *Server) takeList(w http.ResponseWriter, r *http.Request) error {
	up, err := readUpload(r, "list")
	if err != nil {
		return err
	}
	defer up.drop()
	var faults record.Faults
	if up.file == nil || up.size == 0 {
		faults.Add("list", "choose the file of a price list first")
	}
	if len(faults) > 0 {
		if up.form.get("supplier") == "" {
			faults.Add("supplier", "say whose list it is")
		}
		return s.askForList(w, r, http.StatusUnprocessableEntity, ask(up.form.values, faults))
	}
	if up.form.get("supplier") == "" {
		x, err := s.book(r)
		if err != nil {
			return err
		}
		up.form.values.Set("supplier", supplierOf(x.Book, up.name))
	}
	session := s.session(w, r)
	id, _, err := s.shelf.put(session, up.name, up.file)
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
	skipped []pricelist.Fate   // of rows that are left out
	added   []book.Ingredient  // goods of the list that the studio did not buy before
	means   map[string]book.ID // which of them a row is, by the name of its box
	before  string             // when the very same list was taken in, "" where never
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
	from, err := dayOr(f.get("from"), s.today())
	if err != nil {
		faults.Add("from", "%s", err)
	}
	beyond := cmp.Or(f.percent("suspicious"), pricelist.SuspiciousChange)
	suspicious, err := measure.ParsePercent(beyond)
	if err != nil {
		faults.Add("suspicious", "%s", err)
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
	options := pricelist.Options{Supplier: cmp.Or(supplier, "somebody"), From: from, Suspicious: suspicious, Accept: decided(f, "accept-"), Note: f.get("note")}
	// Once for the names of the items, which what was said of them goes by.
	if t.plan, err = pricelist.NewPlan(x, t.list.Rows, t.mapping, known, options); err != nil {
		return t, err
	}
	t.addNewGoods(f)
	if t.said, err = saidOf(f, t); err != nil {
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
	t.plan, err = pricelist.NewPlan(t.x, rows, t.mapping, append(known, t.said...), options)
	return t, err
}

// addNewGoods puts the goods that somebody says are new into the book that the
// plan is made against. A new ingredient has the name that the list gives it
// and is bought by what its pack is measured in.
func (t *taking) addNewGoods(f form) {
	for _, fate := range t.plan.Fates {
		box := fmt.Sprintf("is-%d", fate.Row.Number)
		said := f.get(box)
		if fate.Verdict != pricelist.UnknownItem || !fate.Read || fate.Item == "" || said != newGoods && (said != "" || !f.ticked("new_all")) {
			continue
		}
		known := slices.IndexFunc(t.added, func(v book.Ingredient) bool { return v.Name == fate.Item })
		if known < 0 {
			id := idFor(fate.Item, func(id book.ID) bool {
				return taken(t.x, id) || slices.ContainsFunc(t.added, func(v book.Ingredient) bool { return v.ID == id })
			})
			t.added = append(t.added, book.Ingredient{ID: id, Name: fate.Item, Measure: fate.Price.Pack.Dimension()})
			known = len(t.added) - 1
		}
		if t.means == nil {
			t.means = map[string]book.ID{}
		}
		t.means[box] = t.added[known].ID
	}
	if len(t.added) > 0 {
		t.book.Ingredients = slices.Concat(t.book.Ingredients, t.added)
		t.x = book.NewIndex(t.book)
	}
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

// notBought is what is chosen for an item that the studio does not buy, and
// newGoods for one that it buys from now on.
const notBought, newGoods = "not bought", "something new"

// saidOf reads what somebody said that the supplier's items are.
func saidOf(f form, t taking) (said []pricelist.Alias, err error) {
	var faults record.Faults
	for _, fate := range t.plan.Fates {
		box := fmt.Sprintf("is-%d", fate.Row.Number)
		text := f.get(box)
		id, isNew := t.means[box]
		if text == "" && !isNew {
			continue
		}
		if text == newGoods && !isNew {
			faults.Add(box, "its pack or its price cannot be read, so it cannot be added from here; add it to your prices first")
			continue
		}
		if text != notBought && !isNew {
			i := slices.IndexFunc(t.x.Book.Ingredients, func(v book.Ingredient) bool { return v.Name == text || string(v.ID) == text })
			if i < 0 {
				faults.Add(box, "you buy nothing of this name; choose one from the list, or add it to your prices first")
				continue
			}
			id = t.x.Book.Ingredients[i].ID
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
	nobody := err == nil && f.get("supplier") == ""
	if nobody {
		err = record.Faults{{Path: "supplier", Problem: "say whose list it is"}}
	}
	faults, faulty := faultsOf(err)
	var own problem
	if err != nil && !faulty && errors.As(err, &own) {
		return err
	}
	status := http.StatusOK
	body := page.Intake{Title: "What each row would do", ID: "rows", Fault: refused}
	switch {
	case err != nil && !faulty:
		status, body.Fault = http.StatusUnprocessableEntity, sentence(err.Error())
		if body.Unclear = true; !strings.Contains(body.Fault, "below") {
			body.Remedy = "Say below how the list is to be read."
		}
	case nobody && refused == "" && r.URL.Path == "/prices/import":
		// A list that was dropped: it is a question, and nothing is wrong.
	case faulty || refused != "":
		status = http.StatusUnprocessableEntity
	case t.before != "":
		body.Fault = "This very list was taken in on " + t.before[:min(len(t.before), 10)] + "."
	}
	a := ask(f.values, faults)
	body.Lead = t.file.name
	if of := f.get("supplier"); of != "" {
		body.Lead += ", of " + of
	}
	body.Lead += ". Nothing is stored yet."
	body.First = body.First || f.get("supplier") == ""
	body.Ask = readingForm(a, t)
	body.Unread = err == nil && t.plan.Count(pricelist.Unreadable) > 0
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
		if t.plan.Count(pricelist.UnknownItem) > 0 || f.ticked("new_all") {
			all := a.field(page.Field{Name: "new_all", Kind: "tick", Label: "Add every item that is not known to what you buy"})
			body.New = &all
		}
		for i := range t.book.Ingredients {
			body.Names = append(body.Names, t.book.Ingredients[i].Name)
		}
	}
	body.Ask.Faults = a.rest()
	if body.First {
		const whose = 3 // the file, its owner, the day
		body.Whose, body.Ask.Fields = body.Ask.Fields[:whose], body.Ask.Fields[whose:]
	}
	return s.showAs(w, r, status, "intake", body.Title, body, page.Link{Text: "Prices", Href: "/prices"}, page.Link{Text: "Price list", Href: "/prices/import"}, page.Link{Text: "Rows", Current: true})
}

// countFates says how many rows have which fate, and how many are not shown.
func countFates(p pricelist.Plan) (count, rest string) {
	var parts []string
	for _, v := range []pricelist.Verdict{pricelist.NewPrice, pricelist.Unchanged, pricelist.UnknownItem, pricelist.Suspicious, pricelist.Unreadable, pricelist.Duplicate, pricelist.PassedOver} {
		if n := p.Count(v); n > 0 {
			one := string(v)
			many := one
			if v == pricelist.NewPrice || v == pricelist.UnknownItem {
				many += "s"
			}
			parts = append(parts, plural(n, one, many))
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
		row.Href = ingredients.at(f.Ingredient)
		if it.Ingredient.Name != row.Item {
			row.Means = it.Ingredient.Name
		}
	}
	if f.Read {
		row.Pack, row.Price = words.pack(f.Price.Pack), words.money(f.Price.Price.Number())
	}
	if f.Compared {
		row.Was, row.Change = words.money(f.OldPrice.Price.Number())+" for "+words.pack(f.OldPrice.Pack), words.change(f.Change)
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

func (s *Server) applyList(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	session := visitOf(r).session
	t, err := s.take(r, session, f)
	if err != nil || f.get("supplier") == "" {
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
	said, to := fmt.Sprintf("%s of %s added.", plural(changes.Prices, "price", "prices"), f.get("supplier")), "/prices?sort=moved"
	if len(t.added) > 0 {
		to = "/prices"
		said += fmt.Sprintf(" New among what you buy: %s. Look at each: whether it is eaten or packaging, and what its label says of allergens.", plural(len(t.added), "item", "items"))
	}
	return s.done(w, r, to, said, withoutPrices(s, st, prices, t.added))
}

// withoutPrices takes dated prices out again, and the goods that came with them,
// all or none.
func withoutPrices(s *Server, st *store.Store, prices []pricelist.Dated, added []book.Ingredient) back {
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
			b.Ingredients = slices.DeleteFunc(list, func(v book.Ingredient) bool {
				i := slices.IndexFunc(added, func(a book.Ingredient) bool { return a.ID == v.ID })
				return i >= 0 && len(v.Prices) == 0 && ingredients.version(v) == ingredients.version(added[i]) && len(usersOf(b, v.ID)) == 0
			})
			return b, nil
		})
		return plural(len(prices), "price is", "prices are") + " gone again.", err
	}
}
