package store_test

import (
	"database/sql"
	"path/filepath"
	"testing"

	"marchpane/pricing/book"
	"marchpane/store"
)

// demoStore returns the path of a store that holds the demo book.
func demoStore(b *testing.B) string {
	s, _ := fresh(b)
	importBook(b, s, demoBook(b), false)
	return s.Path()
}

const weddingCake book.ID = "wedding-three-tier"

// BenchmarkOpenAndBookOf is what costing one cake takes of the store;
// BenchmarkOpenAndOneRow is the least that any program pays to look into it.
func BenchmarkOpenAndBookOf(b *testing.B) {
	path := demoStore(b)
	b.ReportAllocs()
	for b.Loop() {
		s, err := store.Open(b.Context(), path)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.BookOf(b.Context(), []book.ID{weddingCake}, false); err != nil {
			b.Fatal(err)
		}
		s.Close()
	}
}

func BenchmarkOpenAndOneRow(b *testing.B) {
	path := demoStore(b)
	for b.Loop() {
		db, err := sql.Open("sqlite", path)
		if err != nil {
			b.Fatal(err)
		}
		var name string
		if err := db.QueryRow(`SELECT name FROM studio`).Scan(&name); err != nil {
			b.Fatal(err)
		}
		db.Close()
	}
}

func BenchmarkBook(b *testing.B) {
	s := open(b, demoStore(b))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Book(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBookOf(b *testing.B) {
	s := open(b, demoStore(b))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.BookOf(b.Context(), []book.ID{weddingCake}, false); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkImport(b *testing.B) {
	file, folder := demoBook(b), b.TempDir()
	for i := 0; b.Loop(); i++ {
		s, err := store.Open(b.Context(), filepath.Join(folder, string(rune('a'+i%26)), "studio.db"))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.Import(b.Context(), file, true, "demo.json", at); err != nil {
			b.Fatal(err)
		}
		s.Close()
	}
}

func BenchmarkIssueQuote(b *testing.B) {
	s := open(b, demoStore(b))
	q := wedding(b, "2026-11-25")
	for b.Loop() {
		if _, err := s.IssueQuote(b.Context(), q, at); err != nil {
			b.Fatal(err)
		}
	}
}
