package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/emblem"
	"marchpane/templates/page"
)

// keepingPages take everything out and bring it back: the whole store as a
// backup, and the book alone as a file.
func (m *routes) keepingPages() {
	m.get("/studio/backup", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.backupPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.get("/studio/backup/studio.db", m.s.sendBackup)
	m.whole("/studio/restore", m.s.examineBackup)
	m.post("/studio/restore/apply", m.s.restore)
	m.get("/studio/book", func(w http.ResponseWriter, r *http.Request) error {
		return m.s.bookPage(w, r, http.StatusOK, ask(nil, nil))
	})
	m.get("/studio/book/studio.json", m.s.sendBook)
	m.get("/studio/book/schema.json", m.s.sendSchema)
	m.upload("/studio/book/import", m.s.examineBook)
	m.post("/studio/book/import/apply", m.s.importBook)
}

// backupLimit is the largest store that is taken back: SQLite's are a few
// hundred bytes a quote.
const backupLimit = 4 << 30

// patient gives a long upload or download its time; the server's own bounds are
// meant for pages.
func patient(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		c := http.NewResponseController(w)
		until := time.Now().Add(30 * time.Minute)
		// A server of tests has no deadlines to set.
		_, _ = c.SetReadDeadline(until), c.SetWriteDeadline(until)
		next.ServeHTTP(w, r)
	})
}

func (s *Server) backupPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	f := page.Form{
		Action: "/studio/restore", Title: "Bring a backup back", Button: "Look at it", Files: true,
		Lead:   "First you see what is in it. Only then it takes the place of what is here, which is kept in a file beside it.",
		Fields: []page.Field{a.field(page.Field{Name: "backup", Label: "Backup", Kind: "file", Accept: ".db,.backup", Required: true, Wide: true})},
	}
	f.Faults = a.rest()
	body := page.Part{
		Title: "Backup and restore", Lead: "One file holds everything: book, clients, quotes, payments. Take a copy often, and keep it on another machine.",
		Links: []page.Link{{Text: "Download a backup", Href: "/studio/backup/studio.db"}}, Forms: []page.Form{f},
		Notes: []string{"A backup holds what your clients told you. Keep it where only you reach it; what you erase here stays in backups made before.", "This store is the file " + s.store(r).Path() + "."},
	}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title)...)
}

// sendBackup sends a whole copy, made at this moment.
func (s *Server) sendBackup(w http.ResponseWriter, r *http.Request) (err error) {
	folder, err := os.MkdirTemp("", "marchpane-backup-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	path := filepath.Join(folder, "studio.db")
	if err := s.store(r).CopyTo(r.Context(), path); err != nil {
		return err
	}
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	h := w.Header()
	h.Set("Content-Type", "application/vnd.sqlite3")
	h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", "marchpane-"+s.today().String()+".db"))
	patient(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { http.ServeContent(w, r, "", s.Now(), file) })).ServeHTTP(w, r)
	return nil
}

// examineBackup says what a backup holds, and asks whether it is meant.
func (s *Server) examineBackup(w http.ResponseWriter, r *http.Request) error {
	up, err := readUpload(r, "backup")
	if err != nil {
		return err
	}
	defer up.drop()
	refuse := func(err error) error {
		return s.backupPage(w, r, http.StatusUnprocessableEntity, ask(up.form.values, record.Faults{{Path: "backup", Problem: err.Error()}}))
	}
	if up.file == nil {
		return refuse(errors.New("choose a backup first"))
	}
	id, held, err := s.shelf.put(s.session(w, r), up.name, up.file)
	if err != nil {
		return err
	}
	figures, err := contents(r.Context(), held.path, s)
	if err != nil {
		s.shelf.drop(id)
		return refuse(err)
	}
	here, err := summary(r.Context(), s.store(r), s)
	if err != nil && !errors.Is(err, store.ErrEmpty) {
		return err
	}
	t := page.Table{Caption: "What is in it, and what is here", Heads: []page.Head{{Text: "What"}, {Text: "In the backup", Right: true}, {Text: "Here now", Right: true}}}
	for i, f := range figures {
		now := page.Cell{Text: "–"}
		if i < len(here) {
			now.Text = here[i].Value
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: f.Label}, {Text: f.Value}, now}})
	}
	body := page.Part{
		Title: "Bring this backup back?", Lead: fmt.Sprintf("%s is whole. It takes the place of everything that is here; what is here now is kept in a file beside the store.", up.name),
		Shows: []page.Table{t},
		Forms: []page.Form{{
			Action: "/studio/restore/apply", Button: "Put it in place", Loss: true, Cancel: "/studio/backup",
			Fields: []page.Field{{Name: "file", Kind: "hidden", Value: id}, {Name: "sure", Kind: "tick", Label: "Yes, take this in place of what is here"}},
		}},
	}
	return s.show(w, r, "part", body.Title, body, studioCrumbs("Bring back", page.Link{Text: "Backup and restore", Href: "/studio/backup"})...)
}

// contents examines a store and counts what is in it.
func contents(ctx context.Context, path string, s *Server) (figures []page.Figure, err error) {
	st, err := store.Examine(ctx, path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	return summary(ctx, st, s)
}

func summary(ctx context.Context, st *store.Store, s *Server) ([]page.Figure, error) {
	b, err := st.Book(ctx)
	if err != nil {
		return nil, err
	}
	quotes, err := st.Quotes(ctx, s.today())
	if err != nil {
		return nil, err
	}
	clients, err := st.Clients(ctx, "")
	if err != nil {
		return nil, err
	}
	newest := "–"
	for _, q := range quotes {
		if q.Number != nil && (newest == "–" || *q.Number > newest) { // a draft has none
			newest = *q.Number
		}
	}
	return append(bookFigures(b), page.Figure{Label: "Clients", Value: fmt.Sprint(len(clients))}, page.Figure{Label: "Quotes", Value: fmt.Sprint(len(quotes))}, page.Figure{Label: "Last quote", Value: newest}), nil
}

func (s *Server) restore(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	held, err := s.shelf.find(visitOf(r).session, f.get("file"))
	if err != nil {
		return err
	}
	if !f.ticked("sure") {
		return problem{Status: http.StatusUnprocessableEntity, Title: "Nothing was changed", Text: "Go back and tick the box where you mean it: the backup takes the place of everything that is here."}
	}
	aside, err := s.store(r).Restore(r.Context(), held.path, s.Now())
	if err != nil {
		return err
	}
	s.shelf.drop(f.get("file"))
	return s.done(w, r, "/studio/backup", fmt.Sprintf("%s is in place. What was here before is kept in %s.", held.name, aside), nil)
}

func (s *Server) bookPage(w http.ResponseWriter, r *http.Request, status int, a *asking) error {
	file := a.field(page.Field{Name: "book", Label: "Book file", Kind: "file", Accept: ".json", Required: true, Wide: true})
	f := page.Form{
		Action: "/studio/book/import", Title: "Take a book in", Button: "Show what it would change", Files: true, Lead: "Nothing is stored yet: first you see what would change.",
		Fields: []page.Field{file, a.field(page.Field{Name: "how", Label: "What the file lacks", Kind: "choice", Value: "merge", Options: []page.Option{
			{Value: "merge", Text: "stays as it is"}, {Value: "replace", Text: "is removed: the book becomes exactly the file"},
		}})},
	}
	f.Faults = a.rest()
	body := page.Part{
		Title: "The whole book in a file", Lead: "Prices, recipes, cakes, wages and the studio itself, in one JSON file that other programs can read. Clients and quotes are not in it.",
		Links: []page.Link{{Text: "Download the book", Href: "/studio/book/studio.json"}, {Text: "Its form, for editors and checkers (JSON Schema)", Href: "/studio/book/schema.json"}}, Forms: []page.Form{f},
	}
	return s.showAs(w, r, status, "part", body.Title, body, studioCrumbs(body.Title)...)
}

func (s *Server) sendBook(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	text, err := book.Encode(x.Book)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", "studio-"+s.today().String()+".json"))
	return send(w, r, http.StatusOK, "application/json", text)
}

// sendSchema sends the JSON Schema that a book file follows.
func (s *Server) sendSchema(w http.ResponseWriter, r *http.Request) error {
	text, err := book.Schema()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", `attachment; filename="book.schema.json"`)
	return send(w, r, http.StatusOK, "application/schema+json", text)
}

// readBook reads a book file and what the store's book would become with it.
func (s *Server) readBook(ctx context.Context, st *store.Store, data []byte, replace bool) (old, now, file book.Book, err error) {
	if old, err = st.Book(ctx); err != nil && !errors.Is(err, store.ErrEmpty) {
		return old, now, file, err
	}
	if file, err = book.Read(data); err != nil {
		base := old
		if replace {
			base = book.Book{}
		}
		return old, now, file, book.Diagnose(base, data)
	}
	if logo := file.Studio.Look.Value.Logo; logo.Given && logo.Value.Check() == nil {
		if err := emblem.Check(logo.Value); err != nil {
			return old, now, file, record.Faults{{Path: "studio.look.logo", Problem: err.Error()}}
		}
	}
	if replace {
		return old, file, file, book.Validate(file).Err()
	}
	now, _, err = book.Merge(old, file)
	return old, now, file, err
}

// mostChanges bounds how many changed objects of each list a page names.
const mostChanges = 200

func (s *Server) examineBook(w http.ResponseWriter, r *http.Request) error {
	up, err := readUpload(r, "book")
	if err != nil {
		return err
	}
	defer up.drop()
	data, err := up.bytes()
	if err != nil {
		return err
	}
	refuse := func(faults record.Faults) error {
		for i := range faults {
			if faults[i].Path != "book" {
				faults[i].Problem = faults[i].String()
				faults[i].Path = "book"
			}
		}
		if len(faults) > 30 {
			faults = append(faults[:30:30], record.Fault{Path: "book", Problem: fmt.Sprintf("and %d more", len(faults)-30)})
		}
		return s.bookPage(w, r, http.StatusUnprocessableEntity, ask(up.form.values, faults))
	}
	if len(data) == 0 {
		return refuse(record.Faults{{Path: "book", Problem: "choose a book file first"}})
	}
	replace := up.form.get("how") == "replace"
	old, now, _, err := s.readBook(r.Context(), s.store(r), data, replace)
	if faults, ok := faultsOf(err); ok {
		return refuse(slices.Clone(faults))
	}
	if err != nil {
		return refuse(record.Faults{{Path: "book", Problem: err.Error()}})
	}
	t := bookChanges(old, now)
	body := page.Part{Title: "What this book would change", Lead: up.name + ": nothing is stored yet."}
	if len(t.Rows) == 0 {
		body.Notes = []string{"Nothing: everything in it is here already."}
	} else {
		id, _, err := s.shelf.put(s.session(w, r), up.name, bytes.NewReader(data))
		if err != nil {
			return err
		}
		body.Shows = []page.Table{t}
		body.Forms = []page.Form{{Action: "/studio/book/import/apply", Button: "Take it in", Loss: replace, Cancel: "/studio/book", Version: versionOf(old), Fields: []page.Field{
			{Name: "file", Kind: "hidden", Value: id}, {Name: "how", Kind: "hidden", Value: up.form.get("how")},
		}}}
	}
	return s.show(w, r, "part", body.Title, body, studioCrumbs("Take in", page.Link{Text: "The whole book in a file", Href: "/studio/book"})...)
}

// bookChanges lists what differs between two books, object by object.
func bookChanges(old, now book.Book) page.Table {
	t := page.Table{Caption: "What would change", Heads: []page.Head{{Text: "What"}, {Text: "Is"}, {Text: "Would be"}}}
	if versionOf(old.Studio) != versionOf(now.Studio) {
		was, is := byPath(flat(old.Studio)), byPath(flat(now.Studio))
		for _, p := range paths(flat(old.Studio), flat(now.Studio)) {
			if was[p] != is[p] && p != "look.logo" {
				t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "Studio, " + plainPath(p)}, {Text: shortText(orDash(was[p]))}, {Text: shortText(orDash(is[p]))}}})
			}
		}
		if was["look.logo"] != is["look.logo"] {
			t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "Studio, logo"}, {Text: "–"}, {Text: "another"}}})
		}
	}
	if versionOf(old.Energy) != versionOf(now.Energy) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "Energy"}, {Text: plural(len(old.Energy), "price", "prices")}, {Text: plural(len(now.Energy), "price", "prices")}}})
	}
	if versionOf(old.Overhead) != versionOf(now.Overhead) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "Overhead"}, {Text: "as it stands"}, {Text: "changed"}}})
	}
	listChanges(&t, roles, old, now)
	listChanges(&t, equipment, old, now)
	listChanges(&t, ingredients, old, now)
	listChanges(&t, components, old, now)
	listChanges(&t, tins, old, now)
	listChanges(&t, cakes, old, now)
	listChanges(&t, extras, old, now)
	return t
}

func listChanges[T any](t *page.Table, k kind[T], old, now book.Book) {
	before := map[book.ID]T{}
	for _, v := range *k.list(&old) {
		before[k.id(v)] = v
	}
	n := 0
	add := func(name, was, is string) {
		if n++; n == mostChanges+1 {
			t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: "and more of the same kind"}, {}, {}}})
		}
		if n <= mostChanges {
			t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: name, Note: k.word}, {Text: was}, {Text: is}}})
		}
	}
	for _, v := range *k.list(&now) {
		was, there := before[k.id(v)]
		delete(before, k.id(v))
		switch {
		case !there:
			add(k.name(v), "–", "new")
		case versionOf(was) != versionOf(v):
			a, b := byPath(flat(was)), byPath(flat(v))
			changed := 0
			one := ""
			for _, p := range paths(flat(was), flat(v)) {
				if a[p] != b[p] {
					changed++
					one = p
				}
			}
			if changed == 1 {
				add(k.name(v)+", "+plainPath(one), shortText(orDash(a[one])), shortText(orDash(b[one])))
			} else {
				add(k.name(v), "as it stands", plural(changed, "value changed", "values changed"))
			}
		}
	}
	for _, v := range *k.list(&old) {
		if _, gone := before[k.id(v)]; gone {
			add(k.name(v), "here", "removed")
		}
	}
}

// shortText cuts what would fill a page.
func shortText(text string) string {
	const most = 120
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

func (s *Server) importBook(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	held, err := s.shelf.find(visitOf(r).session, f.get("file"))
	if err != nil {
		return err
	}
	data, err := os.ReadFile(held.path)
	if err != nil {
		return err
	}
	st, replace := s.store(r), f.get("how") == "replace"
	old, now, file, err := s.readBook(r.Context(), st, data, replace)
	if err != nil {
		return err
	}
	if versionOf(old) != f.version {
		return problem{Status: http.StatusConflict, Title: "The book has changed in the meantime", Text: "Nothing was taken in. Choose the file again to see what it would change now.", Actions: []page.Link{{Text: "Choose it again", Href: "/studio/book"}}}
	}
	changes, err := st.Import(r.Context(), file, replace, held.name, s.Now())
	if err != nil {
		return err
	}
	s.shelf.drop(f.get("file"))
	said := fmt.Sprintf("%s is taken in: %d added, %d changed, %s added.", held.name, changes.Added, changes.Changed, plural(changes.Prices, "dated price", "dated prices"))
	if old.Format == "" {
		return s.done(w, r, "/studio/book", said, nil)
	}
	return s.done(w, r, "/studio/book", said, func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "the pages", s.Now(), func(b book.Book) (book.Book, error) {
			if versionOf(b) != versionOf(now) {
				return b, tooLate("The book")
			}
			return old, nil
		})
		return "The book is as it was before.", err
	})
}
