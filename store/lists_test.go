package store_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
)

// names have accents, letters that are none, apostrophes, other scripts and
// words shorter than the index of letters takes.
var names = []string{
	"Zoë Šimková", "zoe simkova", "Ångström Ltd", "Jürgen Weißmann", "Ó Súilleabháin", "Bo Li", "Søren Kirk", "Nguyễn Thị", `Ann "Annie" O'Neill`, "Łukasz", "Мария Петрова", "A. B.", "Ann Marsh-Reed",
}

// queries are words to look for, some of which nobody has.
var queries = []string{"", "zoe", "SIMK", "simkova zo", "bo", "ß", "ss", "weiss", `"annie"`, "o'n", "петр", "2026-000", "d1", "e1", "wedding", "a", "%", "353 87", "087-123", "nobody", "ann marsh nobody", "-", "*", "NEAR"}

// randomLists fills a store with clients, enquiries and quotes.
func randomLists(t testing.TB, seed uint64, n int) (*store.Store, *sql.DB) {
	t.Helper()
	s, db := fresh(t)
	importBook(t, s, demoBook(t), false)
	rng := rand.New(rand.NewPCG(seed, 11))
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	today := day.Must("2026-11-25")
	template := wedding(t, "2026-11-25")
	for i := range n {
		c := enquiry.Client{Name: names[rng.IntN(len(names))]}
		if rng.IntN(2) == 0 {
			c.Email, c.Phone = record.Some(fmt.Sprintf("c%d@example.com", rng.IntN(n))), record.Some(fmt.Sprintf("+353 87 %d", 1000+rng.IntN(n)))
		}
		if rng.IntN(3) == 0 {
			c.Notes = record.Some("met at a wedding of " + names[rng.IntN(len(names))])
		}
		saved, err := s.AddClient(t.Context(), c, at)
		must(err)
		e := enquiry.Enquiry{Client: saved.Ref, Received: today}
		if rng.IntN(3) > 0 {
			e.Date = today.AddDays(rng.IntN(30))
			e.Occasion = record.Some([]string{"wedding", "Taufe", "40th birthday"}[rng.IntN(3)])
		}
		asked, err := s.AddEnquiry(t.Context(), e)
		must(err)
		if rng.IntN(4) == 0 {
			_, err := s.CloseEnquiry(t.Context(), asked.Ref, "too dear", today)
			must(err)
		}
		if rng.IntN(2) == 0 {
			q := template
			q.Offer.Client.Name = saved.Name
			q.Offer.EventDate = today.AddDays(rng.IntN(60) - 5)
			q.Offer.ValidUntil = today.AddDays(rng.IntN(12))
			made, err := s.IssueQuote(t.Context(), q, at)
			must(err)
			must(s.LinkQuote(t.Context(), made.Quote.Number, saved.Ref, asked.Ref))
			switch rng.IntN(4) {
			case 0:
				_, err = s.Decline(t.Context(), made.Quote.Number, "no", today, at)
				must(err)
			case 1, 2:
				_, err = s.Accept(t.Context(), made.Quote.Number, "", "yes", today, at)
				must(err)
				if rng.IntN(2) == 0 {
					_, err = s.Receive(t.Context(), quote.Payment{Quote: made.Quote.Number, On: today, Amount: q.Offer.Instalments[0].Amount, Means: quote.Cash}, at)
					must(err)
				}
				if rng.IntN(5) == 0 && q.Offer.EventDate.After(today) {
					_, err = s.Cancel(t.Context(), made.Quote.Number, nil, "no", today, at)
					must(err)
				}
			}
		}
		switch rng.IntN(12) {
		case 0: // a name that has become another
			_, err := s.ChangeClient(t.Context(), saved.Ref, func(c *enquiry.Client) error { c.Name = names[rng.IntN(len(names))]; return nil }, at)
			must(err)
		case 1:
			_, err := s.EraseClient(t.Context(), saved.Ref, true, today, at)
			must(err)
		case 2:
			if i > 0 {
				if other := fmt.Sprintf("C%d", 1+rng.IntN(i)); other != saved.Ref {
					_, _ = s.MergeClients(t.Context(), saved.Ref, other, at) // the other may be gone
				}
			}
		}
	}
	return s, db
}

// gather reads a list page by page.
func gather[T any](t testing.TB, want int, page func(store.Span) ([]T, int, error)) []T {
	t.Helper()
	var all []T
	for {
		list, n, err := page(store.Span{From: len(all), Most: 3})
		if err != nil {
			t.Fatal(err)
		}
		if n != want {
			t.Fatalf("the page from %d says that there are %d, want %d", len(all), n, want)
		}
		if all = append(all, list...); len(list) == 0 {
			return all
		}
	}
}

// fits is what a search means: every word stands in the text as it is folded.
func fits(words, folded string) bool {
	for _, t := range enquiry.Terms(words) {
		if !strings.Contains(folded, t.Text) && !strings.Contains(folded, t.Digits) {
			return false
		}
	}
	return true
}

// TestPagesAgreeWithTheWholeLists holds what pages of random stores show against
// all of it, sorted and searched here.
func TestPagesAgreeWithTheWholeLists(t *testing.T) {
	for seed := range uint64(3) {
		s, db := randomLists(t, seed, 60)
		ctx := t.Context()

		var clients []store.SavedClient
		for _, ref := range column(t, db, `SELECT 'C' || id FROM client ORDER BY id`) {
			c, err := s.Client(ctx, ref)
			if err != nil {
				t.Fatal(err)
			}
			clients = append(clients, c)
		}
		var texts []string
		for _, c := range clients {
			texts = append(texts, c.Name)
		}
		keys := map[string]string{}
		for i, key := range enquiry.AlphabetOf("en-IE").Keys(texts) {
			keys[clients[i].Name] = string(key)
		}
		slices.SortStableFunc(clients, func(a, b store.SavedClient) int { return strings.Compare(keys[a.Name], keys[b.Name]) })
		all, err := s.Enquiries(ctx, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, words := range queries {
			var want []string
			for _, c := range clients {
				if fits(words, c.Folded()) {
					want = append(want, c.Ref)
				}
			}
			var got []string
			for _, c := range gather(t, len(want), func(p store.Span) ([]store.ClientEntry, int, error) { return s.ClientsPage(ctx, words, p) }) {
				got = append(got, c.Ref)
			}
			if !slices.Equal(got, want) {
				t.Errorf("ClientsPage(%q) = %v, want %v", words, got, want)
			}
			for _, state := range []enquiry.State{"", enquiry.Open, enquiry.Quoted, enquiry.Closed} {
				want, got = nil, nil
				for _, e := range all {
					date := ""
					if !e.Date.IsZero() {
						date = e.Date.String()
					}
					text := strings.Join([]string{e.Ref, e.Name, e.Occasion.Value, date, e.Venue.Value, e.Wishes.Value, e.Dietary.Value, e.ClosedWhy}, "\n")
					folded := ""
					for line := range strings.SplitSeq(text, "\n") {
						folded += enquiry.Fold(line) + "\n"
					}
					if (state == "" || e.State == state) && fits(words, folded) {
						want = append(want, e.Ref)
					}
				}
				for _, e := range gather(t, len(want), func(p store.Span) ([]store.SavedEnquiry, int, error) { return s.EnquiriesPage(ctx, state, words, p) }) {
					got = append(got, e.Ref)
				}
				if !slices.Equal(got, want) {
					t.Errorf("EnquiriesPage(%q, %q) = %v, want %v", state, words, got, want)
				}
			}
		}
		attention(t, s)
		checkFile(t, db)
	}
}

// attention holds what Today lists against every order and quote.
func attention(t *testing.T, s *store.Store) {
	t.Helper()
	ctx := t.Context()
	orders, err := s.AllOrders(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, on := range []day.Date{day.Must("2026-11-25"), day.Must("2026-12-09"), day.Must("2027-02-01")} {
		var want, got []string
		for _, d := range quote.DueList(orders, on, false) {
			if !d.Due.Before(on.AddDays(-400)) && !slices.Contains(want, d.Quote) {
				want = append(want, d.Quote)
			}
		}
		for _, o := range gather(t, len(want), func(p store.Span) ([]quote.Order, int, error) { return s.OrdersLate(ctx, on.AddDays(-400), on, p) }) {
			got = append(got, o.Quote.Number)
		}
		slices.Sort(want)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("OrdersLate on %s = %v, want %v", on, got, want)
		}
		want, got = nil, nil
		for _, o := range orders {
			if e := o.Quote.Offer.EventDate; o.CancelledOn.IsZero() && !e.Before(on) && !e.After(on.AddDays(14)) {
				want = append(want, o.Quote.Number)
			}
		}
		for _, o := range gather(t, len(want), func(p store.Span) ([]store.Coming, int, error) { return s.OrdersComing(ctx, on, on.AddDays(14), p) }) {
			got = append(got, o.Quote)
		}
		if !slices.Equal(got, want) {
			t.Errorf("OrdersComing from %s = %v, want %v", on, got, want)
		}
		all, err := s.Quotes(ctx, on)
		if err != nil {
			t.Fatal(err)
		}
		want, got = nil, nil
		for _, q := range all {
			if q.State == quote.Issued && q.ValidUntil >= on.String() && q.ValidUntil <= on.AddDays(7).String() {
				want = append(want, q.Ref())
			}
		}
		last := ""
		for _, q := range gather(t, len(want), func(p store.Span) ([]store.QuoteEntry, int, error) {
			return s.OffersLapsing(ctx, on, on.AddDays(7), p)
		}) {
			got = append(got, q.Ref())
			if q.ValidUntil < last {
				t.Errorf("%s lapses on %s and stands after one of %s", q.Ref(), q.ValidUntil, last)
			}
			last = q.ValidUntil
		}
		slices.Sort(want)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("OffersLapsing from %s = %v, want %v", on, got, want)
		}
	}
}

// TestAlphabetFollowsTheStudio sorts names anew when the studio's language
// becomes another: in Swedish Å stands after Z.
func TestAlphabetFollowsTheStudio(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, demoBook(t), false)
	for _, name := range []string{"Zoë", "Åsa", "Bo"} {
		if _, err := s.AddClient(t.Context(), enquiry.Client{Name: name}, at); err != nil {
			t.Fatal(err)
		}
	}
	for _, v := range []struct{ locale, want string }{{"en-IE", "Åsa Bo Zoë"}, {"sv", "Bo Zoë Åsa"}} {
		if _, err := db.Exec(`UPDATE studio SET locale = ?`, v.locale); err != nil {
			t.Fatal(err)
		}
		list, _, err := s.ClientsPage(t.Context(), "", store.Span{Most: 9})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, c := range list {
			got = append(got, c.Name)
		}
		if strings.Join(got, " ") != v.want {
			t.Errorf("in %s the names are %v, want %s", v.locale, got, v.want)
		}
	}
}

// TestUpgradeFillsTheLists takes a store of schema 10 with clients, enquiries,
// quotes and orders to the newest: what is looked for is found as in a store
// that was filled afresh.
func TestUpgradeFillsTheLists(t *testing.T) {
	s, _ := randomLists(t, 5, 25)
	path := filepath.Join(t.TempDir(), "old.db")
	old := older(t, path, 10)
	if _, err := old.Exec(`ATTACH '` + s.Path() + `' AS new;
		INSERT INTO studio SELECT * FROM new.studio;
		INSERT INTO client SELECT id, name, email, phone, address, language, dietary, notes, folded, added_at, changed_at FROM new.client;
		INSERT INTO enquiry SELECT * FROM new.enquiry;
		INSERT INTO quote (id, draft, year, sequence) SELECT id, draft, year, sequence FROM new.quote ORDER BY id;
		INSERT INTO quote_revision (quote, revision, frozen, saved_at, snapshot) SELECT quote, revision, frozen, saved_at, snapshot FROM new.quote_revision;
		INSERT INTO quote_trail SELECT * FROM new.quote_trail ORDER BY quote, entry;
		INSERT INTO quote_party SELECT * FROM new.quote_party;
		INSERT INTO payment (id, year, sequence, quote, at, on_day, amount, means, note, undoes) SELECT id, year, sequence, quote, at, on_day, amount, means, note, undoes FROM new.payment ORDER BY id;
		DETACH new`); err != nil {
		t.Fatal(err)
	}
	up := open(t, path)
	today := day.Must("2026-11-25")
	seen := 0
	for _, words := range queries {
		for _, list := range []func(*store.Store) (any, int, error){
			func(s *store.Store) (any, int, error) { return s.ClientsPage(t.Context(), words, store.Span{Most: 99}) },
			func(s *store.Store) (any, int, error) {
				return s.EnquiriesPage(t.Context(), "", words, store.Span{Most: 99})
			},
			func(s *store.Store) (any, int, error) {
				return s.QuotesPage(t.Context(), store.QuoteFilter{On: today, Words: words}, store.Span{Most: 99})
			},
			func(s *store.Store) (any, int, error) {
				orders, n, err := s.OrdersLate(t.Context(), today, today.AddDays(100), store.Span{Most: 99})
				var numbers []string
				for _, o := range orders {
					numbers = append(numbers, o.Quote.Number)
				}
				return numbers, n, err
			},
		} {
			want, n, err := list(s)
			if err != nil {
				t.Fatal(err)
			}
			got, m, err := list(up)
			if err != nil {
				t.Fatal(err)
			}
			if seen += n; m != n || jsonOf(t, got) != jsonOf(t, want) {
				t.Errorf("%q: after the upgrade there are %d: %s\nwant %d: %s", words, m, jsonOf(t, got), n, jsonOf(t, want))
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d were found; the test no longer looks at anything", seen)
	}
	checkFile(t, old)
}

func jsonOf(t testing.TB, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestSearchCountsUpToMostFound looks for a word that more have than anybody
// reads through.
func TestSearchCountsUpToMostFound(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, demoBook(t), false)
	fillQuotes(t, s, db, store.MostFound+200)
	filter := store.QuoteFilter{On: day.Must("2026-11-25"), Words: "zoe"}
	start := time.Now()
	list, n, err := s.QuotesPage(t.Context(), filter, store.Span{From: 950, Most: 50})
	if err != nil || n != store.MostFound+1 || len(list) != 50 {
		t.Errorf("%d quotes of %d, %v; want 50 of %d", len(list), n, err, store.MostFound+1)
	}
	t.Log(time.Since(start))
	filter.Words = "zoe 777"
	if list, n, err := s.QuotesPage(t.Context(), filter, store.Span{Most: 50}); err != nil || n != 1 || len(list) != 1 {
		t.Errorf("%d quotes of %d, %v; want Client 777 alone", len(list), n, err)
	}
}
