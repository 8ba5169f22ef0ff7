package web

import (
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/store"
)

// BenchmarkPages answers every sample page of a large studio again and again,
// and reports the middle and the 99th of a hundred. MARCHPANE_BENCH_STORE names
// a file to keep the large studio in between runs.
//
//	go test -run '^$' -bench Pages -benchtime 200x ./cmd/internal/web
func BenchmarkPages(b *testing.B) {
	_, server := largeServer(b)
	for _, path := range append(slices.Clone(samplePages), "/cakes?from=5000", "/cakes?q=winter+42", "/search?q=winter+42", "/search?q=zoe",
		"/what-if?move.butter=18", "/what-if?move.in:dairy=10&from=5000", "/what-if?move.energy=30", "/what-if?move.decorator=5&move.pastry=5&move.overhead=-3") {
		b.Run(path, func(b *testing.B) {
			clocked(b, func() int { return asked(server, "GET", path, "").Code })
		})
	}
}

// BenchmarkPreviews types a letter in the largest forms again and again: what a
// cake or a recipe comes to is shown beside it all the while.
func BenchmarkPreviews(b *testing.B) {
	_, server := largeServer(b)
	for _, at := range []string{"/cakes/wedding-three-tier", "/recipes/vanilla-sponge"} {
		form := at
		if strings.HasPrefix(at, "/cakes") {
			form += "/edit"
		}
		b.Run(at, func(b *testing.B) {
			boxes := boxesIn(b, asked(server, "GET", form, ""))
			n := 0
			clocked(b, func() int {
				n++
				boxes.Set("name", fmt.Sprint("A name, ", n))
				return asked(server, "POST", at+"/preview", boxes.Encode()).Code
			})
		})
	}
}

// BenchmarkWhatIf moves prices to and fro as a visitor does who types: another
// figure each time, so that nothing but what rests on the book alone is kept.
func BenchmarkWhatIf(b *testing.B) {
	s, server := largeServer(b)
	n := 0
	for _, page := range []string{"/what-if?move.butter=18", "/what-if", "/what-if/reprice", "/what-if/exposure", "/cakes"} {
		b.Run("after a price was saved: "+page, func(b *testing.B) {
			clockedAfter(b, func() {
				n++
				if _, err := s.Edit(b.Context(), "bench", testNow, func(bk book.Book) (book.Book, error) { return butterAt(bk, n), nil }); err != nil {
					b.Fatal(err)
				}
			}, func() int { return asked(server, "GET", page, "").Code })
		})
	}
	for _, moves := range []string{"move.butter=%d", "move.in:dairy=%d", "move.decorator=%d&move.energy=7&move.overhead=2"} {
		b.Run(moves, func(b *testing.B) {
			n := 0
			clocked(b, func() int {
				n++
				return asked(server, "GET", fmt.Sprintf("/what-if?"+moves, n%400-99), "").Code
			})
		})
	}
}

// BenchmarkSave saves one thing of the large studio and asks for the page that
// follows, which has to see it.
func BenchmarkSave(b *testing.B) {
	s, server := largeServer(b)
	for _, save := range []struct {
		name, page string
		change     func(*book.Book, int)
	}{
		{"price", "/prices/butter", func(bk *book.Book, n int) { *bk = butterAt(*bk, n) }},
		{"recipe's method", "/recipes/vanilla-sponge", func(bk *book.Book, n int) {
			bk.Components = slices.Clone(bk.Components)
			m := &bk.Components[components.index(bk.Components, "vanilla-sponge")].Method
			m.Given, m.Value = true, fmt.Sprint(time.Now().UnixNano(), n)
		}},
		{"recipe's lines, in a fifth of all cakes", "/recipes/vanilla-sponge", func(bk *book.Book, n int) {
			bk.Components = slices.Clone(bk.Components)
			c := &bk.Components[components.index(bk.Components, "vanilla-sponge")]
			c.Lines = slices.Clone(c.Lines)
			c.Lines[0].Qty = measure.Must(fmt.Sprint(300+time.Now().UnixNano()%100, " g"))
		}},
		{"cake", "/cakes/wedding-three-tier", func(bk *book.Book, n int) {
			bk.Cakes = slices.Clone(bk.Cakes)
			c := &bk.Cakes[cakes.index(bk.Cakes, "wedding-three-tier")]
			c.Description.Given, c.Description.Value = true, fmt.Sprint(time.Now().UnixNano(), n)
		}},
		{"cake, then the list", "/cakes", func(bk *book.Book, n int) {
			bk.Cakes = slices.Clone(bk.Cakes)
			c := &bk.Cakes[cakes.index(bk.Cakes, "wedding-three-tier")]
			c.Description.Given, c.Description.Value = true, fmt.Sprint(time.Now().UnixNano(), n)
		}},
	} {
		b.Run(save.name, func(b *testing.B) {
			n := 0
			clocked(b, func() int {
				n++
				if _, err := s.Edit(b.Context(), "bench", testNow, func(bk book.Book) (book.Book, error) {
					save.change(&bk, n)
					return bk, nil
				}); err != nil {
					b.Fatal(err)
				}
				return asked(server, "GET", save.page, "").Code
			})
		})
	}
}

// butterAt is a book in which somebody wrote another price of butter.
func butterAt(bk book.Book, n int) book.Book {
	bk.Ingredients = slices.Clone(bk.Ingredients)
	i := ingredients.index(bk.Ingredients, "butter")
	p := slices.Clone(bk.Ingredients[i].Prices)
	next := p[len(p)-1]
	next.Note.Given, next.Note.Value = true, fmt.Sprint(time.Now().UnixNano(), n)
	bk.Ingredients[i].Prices = append(p, next)
	return bk
}

// clocked does something again and again, the first time aside, and reports the
// middle and the 99th of a hundred.
func clocked(b *testing.B, do func() int) { clockedAfter(b, func() {}, do) }

// clockedAfter is clocked, with something before each that takes no time.
func clockedAfter(b *testing.B, before func(), do func() int) {
	defer debug.SetGCPercent(debug.SetGCPercent(GCPercent))
	if code := do(); code >= 500 {
		b.Errorf("%s = %d", b.Name(), code)
	}
	b.ReportAllocs()
	var took []time.Duration
	for b.Loop() {
		before()
		start := time.Now()
		code := do()
		took = append(took, time.Since(start))
		if code >= 500 {
			b.Errorf("%s = %d", b.Name(), code)
		}
	}
	slices.Sort(took)
	at := func(percent int) float64 { return took[len(took)*percent/100].Seconds() * 1000 }
	b.ReportMetric(at(50), "p50-ms")
	b.ReportMetric(at(99), "p99-ms")
	b.ReportMetric(0, "ns/op")
}

func asked(server *Server, method, path, body string) *httptest.ResponseRecorder {
	r, w := httptest.NewRequest(method, path, strings.NewReader(body)), httptest.NewRecorder()
	if method == "POST" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("X-Fragment", "yes")
	}
	r.Header.Set("Accept-Encoding", "gzip")
	server.ServeHTTP(w, r)
	return w
}

// boxesIn is what is in the boxes of a page's main form.
func boxesIn(b *testing.B, page *httptest.ResponseRecorder) url.Values {
	z, err := gzip.NewReader(page.Body)
	if err != nil {
		b.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		b.Fatal(err)
	}
	boxes := url.Values{}
	form := regexp.MustCompile(`<form\b[^>]*data-live="[^"]*/preview"`).ReplaceAllLiteralString(string(text), `<form id="design"`)
	list := boxesOf(form)
	for i := 0; i < len(list); i += 2 {
		boxes.Set(list[i], list[i+1])
	}
	return boxes
}

// largeServer serves the pages of a studio with many cakes and quotes.
func largeServer(b *testing.B) (*store.Store, *Server) {
	b.Helper()
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
	return s, server
}

// largeStudio returns the path of a store with many cakes and quotes, which may be
// written to: one that is kept is copied first, so that what is measured next is
// the same studio again.
func largeStudio(b *testing.B) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "large.db")
	kept := os.Getenv("MARCHPANE_BENCH_STORE")
	if kept == "" {
		// To issue 20,000 quotes takes half an hour, which is for a store that is kept.
		makeStudio(b, path, benchQuotes/20)
		return path
	}
	if _, err := os.Stat(kept); err != nil {
		part := kept + ".part" // so that one cut short is not taken for a whole one
		if err := os.RemoveAll(part); err != nil {
			b.Fatal(err)
		}
		makeStudio(b, part, benchQuotes)
		if err := os.Rename(part, kept); err != nil {
			b.Fatal(err)
		}
	}
	from, err := os.Open(kept)
	if err != nil {
		b.Fatal(err)
	}
	defer from.Close()
	to, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := io.Copy(to, from); err != nil {
		b.Fatal(err)
	}
	if err := to.Close(); err != nil {
		b.Fatal(err)
	}
	return path
}

// makeStudio fills a new store.
func makeStudio(b *testing.B, path string, quotes int) {
	b.Helper()
	s, err := store.Open(b.Context(), path)
	if err != nil {
		b.Fatal(err)
	}
	if err := errors.Join(enlarge(b.Context(), s, quotes), s.Close()); err != nil {
		b.Fatal(err)
	}
}
