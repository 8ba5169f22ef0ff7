package store_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"marchpane/pricing/book"
	"marchpane/store"
)

// TestTakeoffsAreNeverOld makes edits at random, by the process that remembers the
// takeoffs and by another: what is remembered is what a store reads that was only
// just opened, whatever was asked for in between.
func TestTakeoffsAreNeverOld(t *testing.T) {
	rounds := 60
	if testing.Short() {
		rounds = 20
	}
	r := rand.New(rand.NewPCG(7, 27))
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), true)
	other, err := store.Open(t.Context(), s.Path())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { other.Close() })
	for i := range rounds {
		by, who := s, "this process"
		if r.IntN(4) == 0 {
			by, who = other, "another process"
		}
		what := ""
		if _, err := by.Edit(t.Context(), "test", at, func(b book.Book) (book.Book, error) {
			what = shake(r, &b)
			return b, nil
		}); err != nil {
			continue // refused: all stays as it was
		}
		if r.IntN(3) == 0 {
			continue // so that several edits come together
		}
		if got, want := takeoffsOf(t, s), freshTakeoffsOf(t, s.Path()); got != want {
			t.Fatalf("round %d, after %s by %s: takeoffs are\n%s\nwant\n%s", i, what, who, got, want)
		}
	}
	if got, want := takeoffsOf(t, s), compiledBills(t, s); got != want {
		t.Fatalf("takeoffs are\n%s\nwant\n%s", got, want)
	}
}

func takeoffsOf(t *testing.T, s *store.Store) string {
	t.Helper()
	list, err := s.Takeoffs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(list)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func freshTakeoffsOf(t *testing.T, path string) string {
	t.Helper()
	s, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	return takeoffsOf(t, s)
}
