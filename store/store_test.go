package store_test

import (
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/seed"
	"marchpane/store"
)

var at = time.Date(2026, 11, 25, 9, 30, 0, 0, time.FixedZone("CET", 3600))

// open opens the store at path for the length of a test.
func open(t testing.TB, path string) *store.Store {
	t.Helper()
	s, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatalf("Open(%s) = %v", path, err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// fresh opens a new store and returns it with a way to look at its file as
// another program would.
func fresh(t testing.TB) (*store.Store, *sql.DB) {
	t.Helper()
	s := open(t, filepath.Join(t.TempDir(), "studio.db"))
	return s, raw(t, s.Path())
}

// raw opens a file with no settings of ours but foreign keys.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+path+"?_foreign_keys=1&_busy_timeout=5000")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

// one returns what a query of one value gives, as text.
func one(t testing.TB, db *sql.DB, query string, args ...any) string {
	t.Helper()
	var v any
	if err := db.QueryRow(query, args...).Scan(&v); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return fmt.Sprint(v)
}

func exampleBook(t testing.TB) book.Book {
	t.Helper()
	data, err := os.ReadFile("../pricing/testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	return parse(t, data)
}

func demoBook(t testing.TB) book.Book { return parse(t, seed.Studio()) }

func parse(t testing.TB, data []byte) book.Book {
	t.Helper()
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func encode(t testing.TB, b book.Book) string {
	t.Helper()
	text, err := book.Encode(b)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func importBook(t testing.TB, s *store.Store, b book.Book, replace bool) book.Changes {
	t.Helper()
	changes, err := s.Import(t.Context(), b, replace, "test.json", at)
	if err != nil {
		t.Fatalf("Import = %v", err)
	}
	return changes
}

func export(t testing.TB, s *store.Store) string {
	t.Helper()
	b, err := s.Book(t.Context())
	if err != nil {
		t.Fatalf("Book = %v", err)
	}
	return encode(t, b)
}

// check compares two texts and shows where they part.
func check(t testing.TB, what, got, want string) {
	t.Helper()
	if got == want {
		return
	}
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			t.Fatalf("%s: line %d is %s, want %s", what, i+1, g[i], w[i])
		}
	}
	t.Fatalf("%s: %d lines, want %d", what, len(g), len(w))
}

func TestOpenMakesFileAndFolders(t *testing.T) {
	// A path is not a URL: these letters must not be taken for one's parts.
	path := filepath.Join(t.TempDir(), "50% off? #1", "a b", "studio.db")
	s := open(t, path)
	if _, err := os.Stat(path); err != nil {
		t.Fatalf("Open(%s) made no file: %v", path, err)
	}
	if _, err := s.Book(t.Context()); !errors.Is(err, store.ErrEmpty) {
		t.Errorf("Book of a new store = %v, want ErrEmpty", err)
	}
	if _, err := s.BookOf(t.Context(), []book.ID{"x"}, true); !errors.Is(err, store.ErrEmpty) {
		t.Errorf("BookOf of a new store = %v, want ErrEmpty", err)
	}
	importBook(t, s, exampleBook(t), false)
	s.Close()

	again := open(t, path)
	check(t, "book after reopening", export(t, again), encode(t, exampleBook(t)))
}

func TestOpenRefuses(t *testing.T) {
	foreign := func(t *testing.T, path string) {
		if _, err := raw(t, path).Exec(`CREATE TABLE letter (body TEXT)`); err != nil {
			t.Fatal(err)
		}
	}
	for _, test := range []struct {
		name string
		make func(t *testing.T, path string)
		want string
	}{
		{"another program's database", foreign, "database of another program"},
		{"another program's application id", func(t *testing.T, path string) {
			if _, err := raw(t, path).Exec(`PRAGMA application_id = -7; PRAGMA user_version = 1`); err != nil {
				t.Fatal(err)
			}
		}, "database of another program"},
		{"a newer store", func(t *testing.T, path string) {
			open(t, path).Close()
			if _, err := raw(t, path).Exec(`PRAGMA user_version = 900`); err != nil {
				t.Fatal(err)
			}
		}, "newer marchpane (schema 900"},
		{"a text file", func(t *testing.T, path string) {
			if err := os.WriteFile(path, []byte(strings.Repeat("butter 250 g\n", 500)), 0o644); err != nil {
				t.Fatal(err)
			}
		}, "is not a store of marchpane"},
		{"a folder", func(t *testing.T, path string) {
			if err := os.Mkdir(path, 0o755); err != nil {
				t.Fatal(err)
			}
		}, "is a folder"},
		{"a file in place of a folder", func(t *testing.T, path string) {
			if err := os.WriteFile(filepath.Dir(path)+"/file", nil, 0o644); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink("file/studio.db", path); err != nil {
				t.Fatal(err)
			}
		}, "not a directory"},
	} {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "studio.db")
			test.make(t, path)
			before, _ := os.ReadFile(path)
			s, err := store.Open(t.Context(), path)
			if err == nil {
				s.Close()
				t.Fatalf("Open = nil, want an error with %q", test.want)
			}
			if !strings.Contains(err.Error(), test.want) || !strings.Contains(err.Error(), path) {
				t.Errorf("Open = %v, want the path and %q", err, test.want)
			}
			if after, _ := os.ReadFile(path); string(after) != string(before) {
				t.Error("Open changed a file that it refused")
			}
		})
	}
}

func TestConcurrentUse(t *testing.T) {
	s, db := fresh(t)
	other := open(t, s.Path()) // as another process would be
	whole := exampleBook(t)
	importBook(t, s, whole, false)

	cakes := func(w, i int) book.Book {
		b := whole
		c := whole.Cakes[0]
		c.ID = book.ID(fmt.Sprintf("cake-%d-%d", w, i))
		b.Cakes = []book.Cake{c}
		return b
	}
	var group sync.WaitGroup
	for w := range 4 {
		into := s
		if w%2 == 1 {
			into = other
		}
		group.Go(func() {
			for i := range 8 {
				if _, err := into.Import(t.Context(), cakes(w, i), false, "test.json", at); err != nil {
					t.Errorf("Import by goroutine %d = %v", w, err)
				}
				b, err := into.Book(t.Context())
				if err != nil {
					t.Errorf("Book by goroutine %d = %v", w, err)
				} else if err := book.Validate(b).Err(); err != nil {
					t.Errorf("goroutine %d read half an import: %v", w, err)
				}
			}
		})
	}
	group.Wait()
	if got, want := one(t, db, `SELECT count(*) FROM cake`), "33"; got != want {
		t.Errorf("%s cakes after 4 × 8 imports, want %s", got, want)
	}
	if got, want := one(t, db, `SELECT max(number) FROM import`), "33"; got != want {
		t.Errorf("%s imports, want %s", got, want)
	}
}
