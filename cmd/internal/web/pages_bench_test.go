package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/store"
)

// How large the studio of the benchmark is: more than one kitchen sells in a
// lifetime.
const benchCakes, benchQuotes = 10_000, 20_000

// BenchmarkPages answers every sample page of a large studio again and again,
// and reports the middle and the 99th of a hundred. MARCHPANE_BENCH_STORE names
// a file to keep the large studio in between runs.
//
//	go test -run '^$' -bench Pages -benchtime 200x ./cmd/internal/web
func BenchmarkPages(b *testing.B) {
	s, err := store.Open(b.Context(), largeStudio(b))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	server, err := New(b.Context(), Options{
		Store: s, Desk: testDesk{realDesk}, Now: func() time.Time { return testNow }, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Hosts: []string{"example.com"},
	})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { server.Close() })
	for _, path := range append(slices.Clone(samplePages), "/cakes?from=5000", "/cakes?q=winter+42", "/search?q=winter+42", "/search?q=zoe") {
		ask := func() (int, time.Duration) {
			r, w := httptest.NewRequest("GET", path, nil), httptest.NewRecorder()
			r.Header.Set("Accept-Encoding", "gzip")
			start := time.Now()
			server.ServeHTTP(w, r)
			return w.Code, time.Since(start)
		}
		if code, _ := ask(); code >= 500 {
			b.Errorf("GET %s = %d", path, code)
		}
		b.Run(path, func(b *testing.B) {
			var took []time.Duration
			for b.Loop() {
				_, d := ask()
				took = append(took, d)
			}
			slices.Sort(took)
			at := func(percent int) float64 { return took[len(took)*percent/100].Seconds() * 1000 }
			b.ReportMetric(at(50), "p50-ms")
			b.ReportMetric(at(99), "p99-ms")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// BenchmarkSave saves a price in the large studio and asks for the page that
// follows, which has to see it.
func BenchmarkSave(b *testing.B) {
	s, err := store.Open(b.Context(), largeStudio(b))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	server, err := New(b.Context(), Options{
		Store: s, Desk: testDesk{realDesk}, Now: func() time.Time { return testNow }, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Hosts: []string{"example.com"},
	})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { server.Close() })
	for b.Loop() {
		if _, err := s.Edit(b.Context(), "bench", testNow, func(bk book.Book) (book.Book, error) {
			bk.Studio.Phone.Given, bk.Studio.Phone.Value = true, fmt.Sprint(time.Now().UnixNano())
			return bk, nil
		}); err != nil {
			b.Fatal(err)
		}
		r, w := httptest.NewRequest("GET", "/prices/butter", nil), httptest.NewRecorder()
		server.ServeHTTP(w, r)
		if w.Code != 200 {
			b.Fatalf("the page after a save = %d", w.Code)
		}
	}
}

// largeStudio returns the path of a store with many cakes and quotes.
func largeStudio(b *testing.B) string {
	b.Helper()
	path := os.Getenv("MARCHPANE_BENCH_STORE")
	if path == "" {
		path = filepath.Join(b.TempDir(), "large.db")
	}
	if _, err := os.Stat(path); err == nil {
		return path
	}
	part := path + ".part" // so that one cut short is not taken for a whole one
	if err := os.RemoveAll(part); err != nil {
		b.Fatal(err)
	}
	s, err := store.Open(b.Context(), part)
	if err != nil {
		b.Fatal(err)
	}
	if err := errors.Join(enlarge(b.Context(), s), s.Close(), os.Rename(part, path)); err != nil {
		b.Fatal(err)
	}
	return path
}

func enlarge(ctx context.Context, s *store.Store) error {
	file, err := book.Parse(seed.Studio())
	if err != nil {
		return err
	}
	own := file.Cakes
	for i := len(own); i < benchCakes; i++ {
		c := own[i%len(own)]
		c.ID, c.Name = book.ID(fmt.Sprintf("%s-%d", c.ID, i)), fmt.Sprintf("%s %d", c.Name, i)
		file.Cakes = append(file.Cakes, c)
	}
	if _, err := s.Import(ctx, file, false, "bench", testNow); err != nil {
		return err
	}
	request, err := quote.ReadRequest(seed.WeddingRequest())
	if err != nil {
		return err
	}
	small := file
	small.Cakes = own
	q, err := quote.Price(book.NewIndex(small), request)
	if err != nil {
		return err
	}
	day := q.Offer.Heading.IssuedOn
	for i := range benchQuotes {
		// The year before today, with events up to a year ahead; two in five
		// become orders.
		next := q
		at := testNow.AddDate(0, 0, i*365/benchQuotes-365)
		next.Offer.Heading.IssuedOn = day.AddDays(i*365/benchQuotes - 365)
		next.Offer.Heading.ValidUntil = next.Offer.Heading.IssuedOn.AddDays(30)
		next.Offer.Heading.EventDate = next.Offer.Heading.IssuedOn.AddDays(20 + i%400)
		next.Offer.Heading.Client.Name = fmt.Sprintf("Zoë Šimková %d", i)
		saved, err := s.IssueQuote(ctx, next, at)
		if err != nil {
			return err
		}
		if i%5 < 2 {
			if _, err := s.Accept(ctx, saved.Ref(), "", "", next.Offer.Heading.IssuedOn, at); err != nil {
				return err
			}
		}
	}
	return nil
}
