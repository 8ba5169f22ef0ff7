package web

import (
	"fmt"
	"io"
	"log/slog"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
	"marchpane/store"
)

// listPages are the lists of the large studio and what is found in them.
var listPages = []string{
	"/", "/orders", "/orders?from=1000", "/orders/accepted", "/orders/accepted?from=3000", "/orders/delivered?from=1500", "/orders/lapsed?from=5000", "/orders/all", "/orders/all?from=15000",
	"/orders/all?q=zoe", "/orders/all?q=zoe&from=5000", "/orders/all?q=zo", "/orders/all?q=zoe+777", "/orders/delivered?q=zoe+777", "/orders/all?q=nobody",
	"/quotes/2026-0001", "/clients", "/clients?from=2000", "/clients?q=zoe", "/clients?q=nobody", "/clients/C17", "/clients/doubles", "/enquiries", "/enquiries?state=all", "/enquiries?state=all&from=2000", "/enquiries?state=all&q=zoe+17",
	"/search?q=zoe", "/search?q=zoe+777", "/search?q=winter+42", "/search?q=butter", "/search?q=nothing-has-this-name",
	"/what-if", "/what-if?move.butter=18&move.decorator=5&also=lemon", "/what-if?move.butter=18&from=5000", "/what-if/reprice", "/what-if/reprice?max_rise=8",
}

// BenchmarkLists asks for the lists of a large studio: "warm" again and again,
// "cold" after somebody has written something that is not of the book, as they
// do all day.
//
//	go test -run '^$' -bench Lists -benchtime 100x ./cmd/internal/web
func BenchmarkLists(b *testing.B) {
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
	writer, err := s.AddClient(b.Context(), enquiry.Client{Name: "Who is written about"}, testNow)
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	write := func() {
		n++
		if _, err := s.ChangeClient(b.Context(), writer.Ref, func(c *enquiry.Client) error {
			c.Notes = record.Some(fmt.Sprint("note ", n, time.Now().UnixNano()))
			return nil
		}, testNow); err != nil {
			b.Fatal(err)
		}
	}
	for _, path := range listPages {
		ask := func() time.Duration {
			r, w := httptest.NewRequest("GET", path, nil), httptest.NewRecorder()
			r.Header.Set("Accept-Encoding", "gzip")
			start := time.Now()
			server.ServeHTTP(w, r)
			if w.Code >= 500 {
				b.Fatalf("GET %s = %d", path, w.Code)
			}
			return time.Since(start)
		}
		ask()
		for _, state := range []string{"warm", "cold"} {
			b.Run(state+path, func(b *testing.B) {
				var took []time.Duration
				for b.Loop() {
					if state == "cold" {
						write()
					}
					took = append(took, ask())
				}
				slices.Sort(took)
				at := func(percent int) float64 { return took[len(took)*percent/100].Seconds() * 1000 }
				b.ReportMetric(at(50), "p50-ms")
				b.ReportMetric(at(99), "p99-ms")
				b.ReportMetric(0, "ns/op")
			})
		}
	}
}
