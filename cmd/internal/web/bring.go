package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/page"
)

// bringPages open a studio with what somebody has of one already: a backup, or
// the book in a file.
func (m *routes) bringPages() {
	m.whole("/welcome/file", m.s.examineFile)
	m.post("/welcome/file/apply", m.s.bringFile)
}

func bringForm(a *asking) page.Form {
	f := page.Form{
		Title: "Bring your studio along", Action: "/welcome/file", Button: "Look at it", Files: true, Folded: true,
		Lead:   "A backup from another machine, or a book in a file. First you see what is in it.",
		Fields: []page.Field{a.field(page.Field{Name: "file", Label: "Backup or book", Kind: "file", Accept: ".db,.backup,.json", Required: true, Wide: true})},
	}
	f.Faults = a.rest()
	return f
}

// sqliteHead begins every backup; a book is text.
var sqliteHead = []byte("SQLite format 3\x00")

// begun refuses what is for an empty store alone, where it is that no more.
func (s *Server) begun(r *http.Request) error {
	_, err := s.book(r)
	if err == nil {
		return problem{Status: http.StatusConflict, Title: "The studio has begun already", Text: "Nothing was changed. Bring a backup or a book in on its Studio pages.", Actions: []page.Link{{Text: "Go to Studio", Href: "/studio"}}}
	}
	if errors.Is(err, store.ErrEmpty) {
		return nil
	}
	return err
}

// examineFile says what is in a file, and asks whether it is the right one.
func (s *Server) examineFile(w http.ResponseWriter, r *http.Request) error {
	if err := s.begun(r); err != nil {
		return err
	}
	up, err := readUpload(r, "file")
	if err != nil {
		return err
	}
	defer up.drop()
	refuse := func(err error) error {
		faults, ok := faultsOf(err)
		if !ok {
			faults = record.Faults{{Problem: err.Error()}}
		}
		return s.welcomeWith(w, r, http.StatusUnprocessableEntity, ask(nil, nil), ask(nil, ofFile(faults)))
	}
	if up.file == nil {
		return refuse(errors.New("choose a backup or a book first"))
	}
	head := make([]byte, len(sqliteHead))
	n, err := up.file.ReadAt(head, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	whole := bytes.Equal(head[:n], sqliteHead)
	if !whole && up.size > uploadLimit {
		return refuse(fmt.Errorf("the file has %d MB, more than a book may have, and is no backup", up.size>>20))
	}
	id, held, err := s.shelf.put(s.session(w, r), up.name, up.file)
	if err != nil {
		return err
	}
	what, figures := "book", []page.Figure(nil)
	if whole {
		what = "backup"
		figures, err = contents(r.Context(), held.path, s)
	} else {
		figures, err = s.bookContents(r.Context(), s.store(r), held.path)
	}
	if err != nil {
		s.shelf.drop(id)
		return refuse(err)
	}
	t := page.Table{Caption: "What is in it", Heads: []page.Head{{Text: "What"}, {Text: "In the " + what, Right: true}}}
	for _, f := range figures {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: f.Label}, {Text: f.Value}}})
	}
	body := page.Part{
		Title: "Begin with this " + what + "?", Lead: up.name + ": nothing is stored yet.", Shows: []page.Table{t},
		Forms: []page.Form{{Action: "/welcome/file/apply", Button: "Begin with it", Cancel: "/welcome", Fields: []page.Field{
			{Name: "file", Kind: "hidden", Value: id}, {Name: "what", Kind: "hidden", Value: what},
		}}},
	}
	if !whole {
		body.Notes = []string{"Clients and quotes are not part of a book; they come with a backup."}
	}
	return s.show(w, r, "part", body.Title, body)
}

// bookContents counts what is in the file of a book.
func (s *Server) bookContents(ctx context.Context, st *store.Store, path string) ([]page.Figure, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	_, b, _, err := s.readBook(ctx, st, data, false)
	return bookFigures(b), err
}

// bookFigures counts what is in a book.
func bookFigures(b book.Book) []page.Figure {
	count := func(label string, n int) page.Figure { return page.Figure{Label: label, Value: fmt.Sprint(n)} }
	return []page.Figure{
		{Label: "Studio", Value: b.Studio.Name}, count("Things you buy", len(b.Ingredients)), count("Recipes", len(b.Components)), count("Cakes", len(b.Cakes)),
	}
}

// bringFile opens the studio with a file that was looked at.
func (s *Server) bringFile(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if err := s.begun(r); err != nil {
		return err
	}
	held, err := s.shelf.find(visitOf(r).session, f.get("file"))
	if err != nil {
		return err
	}
	st := s.store(r)
	if f.get("what") == "backup" {
		if _, err := st.Restore(r.Context(), held.path, s.Now()); err != nil {
			return err
		}
	} else {
		data, err := os.ReadFile(held.path)
		if err != nil {
			return err
		}
		_, _, file, err := s.readBook(r.Context(), st, data, false)
		if err != nil {
			return err
		}
		if _, err := st.Import(r.Context(), file, false, held.name, s.Now()); err != nil {
			return err
		}
	}
	s.shelf.drop(f.get("file"))
	b, err := st.Book(r.Context())
	if err != nil {
		return err
	}
	return s.done(w, r, "/", b.Studio.Name+" is open, with all that was in "+held.name+".", nil)
}
