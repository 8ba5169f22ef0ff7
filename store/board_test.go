package store_test

import (
	"database/sql"
	"fmt"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
	"marchpane/store"
)

// shelfOf says on which shelf a quote of the plain list belongs: what the
// board has to agree with on every day.
func shelfOf(e store.QuoteEntry, on day.Date) store.Shelf {
	switch e.State {
	case quote.DraftState:
		return store.Drafts
	case quote.Issued:
		return store.OpenOffers
	case quote.Accepted:
		if e.EventDate < on.String() {
			return store.OrdersPast
		}
		return store.OrdersAhead
	case quote.Declined:
		return store.DeclinedOffers
	case quote.Lapsed:
		return store.LapsedOffers
	}
	return store.CalledOff
}

func TestQuotesPageAgreesWithTheWholeList(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, demoBook(t), false)
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	today := day.Must("2026-11-25")
	next := 0
	made := func() quote.Quote {
		next++
		q := wedding(t, "2026-11-25")
		q.Offer.Client.Name = []string{"Zoë Šimková", "Ann Marsh", "Bo"}[next%3]
		q.Offer.EventDate = day.Must("2027-01-01").AddDays(next * 37 % 400)
		return q
	}
	issue := func() string {
		saved, err := s.IssueQuote(t.Context(), made(), at)
		must(err)
		return saved.Quote.Number
	}
	for range 3 {
		_, err := s.SaveDraft(t.Context(), made(), at)
		must(err)
		issue()
		_, err = s.Decline(t.Context(), issue(), "no", today, at)
		must(err)
		_, err = s.Cancel(t.Context(), issue(), nil, "no", today, at)
		must(err)
		order := issue()
		_, err = s.Accept(t.Context(), order, "", "yes", today, at)
		must(err)
		revised := issue() // a change that is on the table lapses and leaves the order
		_, err = s.Accept(t.Context(), revised, "", "yes", today, at)
		must(err)
		change := made() // on another day, for the same client
		before, err := s.Quote(t.Context(), revised, "", today)
		must(err)
		change.Offer.Client = before.Quote.Offer.Client
		_, err = s.ReviseQuote(t.Context(), revised, change, "more guests", at)
		must(err)
	}
	draft, err := s.SaveDraft(t.Context(), made(), at)
	must(err)
	_, err = s.IssueDraft(t.Context(), draft.Draft, made(), at)
	must(err)
	dropped, err := s.SaveDraft(t.Context(), made(), at)
	must(err)
	must(s.DropDraft(t.Context(), dropped.Draft))

	for _, on := range []day.Date{today, today.AddDays(40), today.AddDays(200), today.AddDays(2000)} {
		all, err := s.Quotes(t.Context(), on)
		must(err)
		for _, words := range []string{"", "simkova zoe", "MARSH", "2026-000", "nobody"} {
			for _, shelf := range store.Shelves() {
				var want []string
				for _, e := range all {
					fits := shelf == store.EveryQuote || shelfOf(e, on) == shelf
					for _, w := range strings.Fields(strings.ToLower(words)) {
						fits = fits && strings.Contains(enquiry.Fold(e.Client)+" "+strings.ToLower(e.Ref()), w)
					}
					if fits {
						want = append(want, e.Ref())
					}
				}
				var got []string
				for from := 0; ; from += 2 {
					page, n, err := s.QuotesPage(t.Context(), store.QuoteFilter{On: on, Shelf: shelf, Words: words}, store.Span{From: from, Most: 2})
					must(err)
					if n != len(want) {
						t.Errorf("%s, %s, %q: %d quotes, want %d", on, shelf, words, n, len(want))
					}
					for _, e := range page {
						got = append(got, e.Ref())
						i := slices.IndexFunc(all, func(a store.QuoteEntry) bool { return a.Ref() == e.Ref() })
						if fmt.Sprint(all[i].State, all[i].Client, all[i].Total, all[i].EventDate) != fmt.Sprint(e.State, e.Client, e.Total, e.EventDate) {
							t.Errorf("%s: the page has %+v, the list %+v", on, e, all[i])
						}
					}
					if len(page) == 0 {
						break
					}
				}
				if len(got) > 1 && (shelf == store.OpenOffers || shelf == store.OrdersAhead) {
					dates := map[string]string{}
					for _, e := range all {
						dates[e.Ref()] = e.EventDate
					}
					if !slices.IsSortedFunc(got, func(a, b string) int { return strings.Compare(dates[a], dates[b]) }) {
						t.Errorf("%s, %s: not the next event first: %v", on, shelf, got)
					}
				}
				slices.Sort(got)
				slices.Sort(want)
				if !slices.Equal(got, want) {
					t.Errorf("QuotesPage(%s, %s, %q) = %v, want %v", on, shelf, words, got, want)
				}
			}
		}
	}
	if _, _, err := s.QuotesPage(t.Context(), store.QuoteFilter{On: today, Shelf: "attic"}, store.Span{Most: 1}); err == nil {
		t.Error("a shelf that there is not was let through")
	}
	checkFile(t, db)
}

// An erased client's name leaves the board too.
func TestBoardForgetsTheErased(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, demoBook(t), false)
	saved, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at)
	if err != nil {
		t.Fatal(err)
	}
	name := saved.Quote.Offer.Client.Name
	c, err := s.AddClientOf(t.Context(), saved.Quote.Number, at)
	if err != nil {
		t.Fatal(err)
	}
	filter := store.QuoteFilter{On: day.Must("2026-11-25"), Words: name}
	if _, n, err := s.QuotesPage(t.Context(), filter, store.Span{Most: 9}); err != nil || n != 1 {
		t.Fatalf("%d quotes of %s, %v; want 1", n, name, err)
	}
	if _, err := s.EraseClient(t.Context(), c.Ref, true, day.Must("2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	if got := one(t, db, `SELECT folded FROM quote_board`); got != "erased client c1\n"+strings.ToLower(saved.Quote.Number) {
		t.Errorf("the board has %q of the erased", got)
	}
	if got := one(t, db, `SELECT count(*) FROM quote_words WHERE quote_words MATCH '"'||'`+enquiry.Fold(name)[:3]+`'||'"'`); got != "0" {
		t.Errorf("the index of letters finds %s quotes of the erased", got)
	}
	if _, n, err := s.QuotesPage(t.Context(), filter, store.Span{Most: 9}); err != nil || n != 0 {
		t.Errorf("%d quotes of the erased %s, %v; want none", n, name, err)
	}
}

// fillQuotes adds n issued quotes over some years to a store that has one, of
// which two in three were accepted.
func fillQuotes(t testing.TB, s *store.Store, db *sql.DB, n int) {
	t.Helper()
	if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	defer tx.Rollback()
	do := func(statement string, args ...any) {
		if _, err := tx.Exec(statement, args...); err != nil {
			t.Fatal(err)
		}
	}
	for i := 2; i <= n; i++ {
		event := day.Must("2018-01-01").AddDays(i * 4000 / n)
		made := event.AddDays(-90)
		do(`INSERT INTO quote (id, year, sequence) VALUES (?, 2026, ?)`, i, i)
		do(`INSERT INTO quote_revision (quote, revision, frozen, saved_at, snapshot)
			SELECT ?1, 1, 1, saved_at, json_set(snapshot, '$.number', printf('2026-%04d', ?1), '$.offer.client.name', ?2, '$.offer.event_date', ?3, '$.offer.issued_on', ?4, '$.offer.valid_until', ?5)
			FROM quote_revision WHERE quote = 1`, i, fmt.Sprintf("Zoë Client %d", i), event.String(), made.String(), made.AddDays(30).String())
		do(`INSERT INTO quote_trail (quote, entry, at, on_day, move, revision, reason) VALUES (?, 1, '2026-11-25T09:30:00Z', ?, 'issue', 1, '')`, i, made.String())
		if i%3 > 0 {
			do(`INSERT INTO quote_trail (quote, entry, at, on_day, move, revision, reason) VALUES (?, 2, '2026-11-25T09:30:00Z', ?, 'accept', 1, '')`, i, made.String())
		}
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
}

// BenchmarkQuotesPage is what a page of a board of 20,000 quotes takes;
// BenchmarkQuotesPage/whole is reading all of them, as a baseline.
func BenchmarkQuotesPage(b *testing.B) {
	s, db := fresh(b)
	importBook(b, s, demoBook(b), false)
	fillQuotes(b, s, db, 20_000)
	today := day.Must("2026-11-25")
	look := func(name string, f store.QuoteFilter, from int) {
		f.On = today
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				list, _, err := s.QuotesPage(b.Context(), f, store.Span{From: from, Most: 50})
				if err != nil || len(list) == 0 {
					b.Fatal(len(list), err)
				}
			}
		})
	}
	for _, shelf := range []store.Shelf{store.EveryQuote, store.OpenOffers, store.OrdersAhead, store.OrdersPast, store.LapsedOffers} {
		look(string(shelf), store.QuoteFilter{Shelf: shelf}, 0)
	}
	look("delivered, far in", store.QuoteFilter{Shelf: store.OrdersPast}, 9000)
	look("all, found", store.QuoteFilter{Words: "zoe 777"}, 0)
	look("delivered, found", store.QuoteFilter{Shelf: store.OrdersPast, Words: "zoe 777"}, 0)
	b.Run("whole", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Quotes(b.Context(), today); err != nil {
				b.Fatal(err)
			}
		}
	})
}
