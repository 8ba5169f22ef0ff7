package store_test

import (
	"errors"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/store"
)

func drawing(t testing.TB, colour string) book.Picture {
	t.Helper()
	p, err := book.NewPicture([]byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><rect width="10" height="10" fill="` + colour + `"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestLookRoundTrip(t *testing.T) {
	plum := drawing(t, "#6a3f52")
	for name, look := range map[string]record.Maybe[book.Look]{
		"none":  {},
		"empty": record.Some(book.Look{}),
		"paper": record.Some(book.Look{Paper: record.Some(book.Letter)}),
		"all":   record.Some(book.Look{Accent: record.Some(book.Accent("#2f5d62")), Paper: record.Some(book.A4), Logo: record.Some(plum)}),
	} {
		s, db := fresh(t)
		b := exampleBook(t)
		b.Studio.Look = look
		importBook(t, s, b, false)
		importBook(t, s, b, false) // the picture is there already
		check(t, name, export(t, s), encode(t, b))
		part, err := s.BookOf(t.Context(), nil, true)
		if err != nil || part.Studio.Look != look {
			t.Errorf("%s: BookOf has the look %v, %v", name, part.Studio.Look, err)
		}
		checkFile(t, db)
	}
}

// A picture outlives the look that showed it, and nothing can change it.
func TestPicturesStay(t *testing.T) {
	s, db := fresh(t)
	b := exampleBook(t)
	plum, teal := drawing(t, "#6a3f52"), drawing(t, "#2f5d62")
	for _, p := range []book.Picture{plum, teal} {
		b.Studio.Look = record.Some(book.Look{Logo: record.Some(p)})
		importBook(t, s, b, false)
	}
	b.Studio.Look = record.Maybe[book.Look]{}
	importBook(t, s, b, true)
	for _, want := range []book.Picture{plum, teal} {
		if got, err := s.Picture(t.Context(), want.Fingerprint()); err != nil || got != want {
			t.Errorf("Picture(%.8s) = %v, %v", want.Fingerprint(), got.Kind(), err)
		}
	}
	if _, err := s.Picture(t.Context(), strings.Repeat("0", 64)); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("Picture(unknown) = %v, want ErrNotFound", err)
	}
	for _, statement := range []string{
		`UPDATE picture SET bytes = x'00'`, `DELETE FROM picture`,
		`INSERT OR REPLACE INTO picture SELECT fingerprint, type, x'00' FROM picture`,
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("%s: was let through", statement)
		}
	}
	if got := one(t, db, `SELECT count(*) FROM picture`); got != "2" {
		t.Errorf("%s pictures, want 2", got)
	}
}
