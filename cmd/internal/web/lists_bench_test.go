package web

import (
	"fmt"
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
	s, server := largeServer(b)
	write := noteWriter(b, s)
	for _, path := range listPages {
		get := func() int { return asked(server, "GET", path, "").Code }
		b.Run("warm"+path, func(b *testing.B) { clocked(b, get) })
		b.Run("cold"+path, func(b *testing.B) { clockedAfter(b, write, get) })
	}
	rename := renamer(b, s)
	for _, path := range []string{"/clients", "/clients/C17", "/clients/doubles"} {
		b.Run("renamed"+path, func(b *testing.B) {
			clockedAfter(b, rename, func() int { return asked(server, "GET", path, "").Code })
		})
	}
}

// renamer returns what writes a client's name: who looks like whom follows.
func renamer(b *testing.B, s *store.Store) func() {
	b.Helper()
	return clientWriter(b, s, func(c *enquiry.Client, n int) { c.Name = fmt.Sprint("Zoë Šimková ", n) })
}

// noteWriter returns what writes a note about a client: a write that bears on
// next to nothing.
func noteWriter(b *testing.B, s *store.Store) func() {
	b.Helper()
	return clientWriter(b, s, func(c *enquiry.Client, n int) { c.Notes = record.Some(fmt.Sprint("note ", n, time.Now().UnixNano())) })
}

// clientWriter returns what changes a client of its own, each time anew.
func clientWriter(b *testing.B, s *store.Store, change func(c *enquiry.Client, n int)) func() {
	b.Helper()
	client, err := s.AddClient(b.Context(), enquiry.Client{Name: "Who is written about"}, testNow)
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	return func() {
		n++
		if _, err := s.ChangeClient(b.Context(), client.Ref, func(c *enquiry.Client) error {
			change(c, n)
			return nil
		}, testNow); err != nil {
			b.Fatal(err)
		}
	}
}
