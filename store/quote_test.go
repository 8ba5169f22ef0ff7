package store_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/seed"
	"marchpane/store"
)

// today is a day on which nothing has lapsed.
var today = day.Must("2026-11-26")

// wedding prices the demo's request on a day.
func wedding(t testing.TB, on string) quote.Quote {
	t.Helper()
	r, err := quote.ReadRequest(seed.WeddingRequest())
	if err != nil {
		t.Fatal(err)
	}
	r.On = day.Must(on)
	q, err := quote.Price(book.NewIndex(demoBook(t)), r)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// shown returns all that a quote says, as text.
func shown(t testing.TB, q quote.Quote) string {
	t.Helper()
	text, err := json.MarshalIndent(q, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(string(text), "null", "[]") // a nil list is an empty one
}

func refs(t testing.TB, s *store.Store) (list []string) {
	t.Helper()
	entries, err := s.Quotes(t.Context(), today)
	if err != nil {
		t.Fatalf("Quotes = %v", err)
	}
	for _, e := range entries {
		list = append(list, e.Ref()+e.Revision)
	}
	return list
}

func TestQuotesAreNumberedByYear(t *testing.T) {
	s, db := fresh(t)
	issue := func(on string) string {
		saved, err := s.IssueQuote(t.Context(), wedding(t, on), at)
		if err != nil {
			t.Fatalf("IssueQuote = %v", err)
		}
		return saved.Quote.Number
	}
	draft := func() string {
		saved, err := s.SaveDraft(t.Context(), wedding(t, "2026-11-25"), at)
		if err != nil {
			t.Fatalf("SaveDraft = %v", err)
		}
		return saved.Draft
	}
	got := []string{issue("2026-11-25"), draft(), issue("2026-12-31"), issue("2027-01-01"), draft(), issue("2026-11-25")}
	if want := []string{"2026-0001", "D1", "2026-0002", "2027-0001", "D2", "2026-0003"}; !reflect.DeepEqual(got, want) {
		t.Errorf("numbers %v, want %v", got, want)
	}

	saved, err := s.IssueDraft(t.Context(), "d1", wedding(t, "2026-11-26"), at.AddDate(0, 0, 1))
	if err != nil || saved.Quote.Number != "2026-0004" || saved.Quote.Revision != "A" || saved.Draft != "" {
		t.Errorf("IssueDraft(d1) = %s%s %q, %v, want 2026-0004A", saved.Quote.Number, saved.Quote.Revision, saved.Draft, err)
	}
	for _, ref := range []string{"D1", "2026-0004"} {
		if q, err := s.Quote(t.Context(), ref, "", today); err != nil || q.Quote.Number != "2026-0004" || q.Quote.Offer.IssuedOn != day.Must("2026-11-26") {
			t.Errorf("Quote(%s) = %s of %s, %v, want 2026-0004 of 2026-11-26", ref, q.Quote.Number, q.Quote.Offer.IssuedOn, err)
		}
	}
	if _, err := s.IssueDraft(t.Context(), "D1", wedding(t, "2026-11-26"), at); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "2026-0004") {
		t.Errorf("IssueDraft twice = %v, want ErrConflict with the number", err)
	}
	if _, err := s.ReviseQuote(t.Context(), "D2", wedding(t, "2026-11-26"), "a reason", at); !errors.Is(err, store.ErrConflict) {
		t.Errorf("ReviseQuote of a draft = %v, want ErrConflict", err)
	}
	if got, want := refs(t, s), []string{"2026-0004A", "2026-0003A", "D2A", "2027-0001A", "2026-0002A", "2026-0001A"}; !reflect.DeepEqual(got, want) {
		t.Errorf("Quotes = %v, want %v", got, want)
	}
	checkFile(t, db)
}

func TestQuoteStays(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	first := wedding(t, "2026-11-25")
	before := shown(t, first)
	issued, err := s.IssueQuote(t.Context(), first, at)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "the quote handed over", shown(t, first), before)
	first.Number, first.Revision = "2026-0001", "A"
	check(t, "the quote issued", shown(t, issued.Quote), shown(t, first))

	importBook(t, s, exampleBook(t), true) // another book altogether
	second := wedding(t, "2026-12-01")
	if _, err := s.ReviseQuote(t.Context(), "2026-0001", second, "a reason", at); err != nil {
		t.Fatal(err)
	}
	second.Number, second.Revision = "2026-0001", "B"
	for _, test := range []struct {
		revision string
		want     quote.Quote
	}{{"A", first}, {"B", second}, {"b", second}, {"", second}} {
		got, err := s.Quote(t.Context(), "2026-0001", test.revision, today)
		if err != nil {
			t.Fatalf("Quote(%q) = %v", test.revision, err)
		}
		check(t, "revision "+test.revision, shown(t, got.Quote), shown(t, test.want))
	}
	if got, want := refs(t, s), []string{"2026-0001B"}; !reflect.DeepEqual(got, want) {
		t.Errorf("Quotes = %v, want %v", got, want)
	}
}

func TestQuotesNotThere(t *testing.T) {
	s, _ := fresh(t)
	if list, err := s.Quotes(t.Context(), today); err != nil || list == nil || len(list) != 0 {
		t.Errorf("Quotes of a new store = %v, %v, want an empty list", list, err)
	}
	if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct{ ref, revision, want string }{
		{"2026-0002", "", "did you mean 2026-0001?"},
		{"D7", "", `quote "D7" is not in the store`},
		{"", "", `quote "" is not in the store`},
		{"2026-0001 OR 1=1", "", "not in the store"},
		{"2026-0001", "C", "it has A to A"},
	} {
		if _, err := s.Quote(t.Context(), test.ref, test.revision, today); !errors.Is(err, store.ErrNotFound) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("Quote(%q, %q) = %v, want ErrNotFound with %q", test.ref, test.revision, err, test.want)
		}
	}
}

func TestRevisionLetters(t *testing.T) {
	s, _ := fresh(t)
	q := wedding(t, "2026-11-25")
	if _, err := s.IssueQuote(t.Context(), q, at); err != nil {
		t.Fatal(err)
	}
	var last store.SavedQuote
	for range 27 {
		var err error
		if last, err = s.ReviseQuote(t.Context(), "2026-0001", q, "a reason", at); err != nil {
			t.Fatal(err)
		}
	}
	if got := last.Quote.Revision; got != "AB" {
		t.Errorf("revision 28 is %s, want AB", got)
	}
	if got, err := s.Quote(t.Context(), "2026-0001", "", today); err != nil || got.Quote.Revision != "AB" {
		t.Errorf("the newest revision is %s, %v, want AB", got.Quote.Revision, err)
	}
}

func TestIssuedQuoteIsFrozen(t *testing.T) {
	s, db := fresh(t)
	q := wedding(t, "2026-11-25")
	if _, err := s.IssueQuote(t.Context(), q, at); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SaveDraft(t.Context(), q, at); err != nil {
		t.Fatal(err)
	}
	for _, statement := range []string{
		`UPDATE quote SET sequence = 7 WHERE year = 2026`,
		`UPDATE quote SET year = NULL, sequence = NULL, draft = 9 WHERE year = 2026`,
		`UPDATE quote SET year = 2026, sequence = 5 WHERE draft = 1`,
		`DELETE FROM quote WHERE year = 2026`,
		`INSERT INTO quote (year, sequence) VALUES (2026, 3)`,
		`INSERT INTO quote (year, sequence) VALUES (2027, 0)`,
		`INSERT OR REPLACE INTO quote (id, draft) VALUES (1, 5)`,
		`UPDATE quote_revision SET snapshot = '{}' WHERE quote = 1`,
		`UPDATE quote_revision SET frozen = 0`,
		`DELETE FROM quote_revision WHERE quote = 1`,
		`INSERT OR REPLACE INTO quote_revision (quote, revision, frozen, saved_at, snapshot) VALUES (1, 1, 0, '', '{}')`,
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("%s = nil, want a refusal", statement)
		}
	}
	got, err := s.Quote(t.Context(), "2026-0001", "A", today)
	if err != nil {
		t.Fatal(err)
	}
	q.Number = "2026-0001"
	check(t, "the quote", shown(t, got.Quote), shown(t, q))
}

// Quotes issued at once, also by two processes, take every number once.
func TestNumbersHaveNoGaps(t *testing.T) {
	s, db := fresh(t)
	other := open(t, s.Path())
	q := wedding(t, "2026-11-25")
	var group sync.WaitGroup
	for w := range 4 {
		from := s
		if w%2 == 1 {
			from = other
		}
		group.Go(func() {
			for range 10 {
				if _, err := from.IssueQuote(t.Context(), q, at); err != nil {
					t.Errorf("IssueQuote by goroutine %d = %v", w, err)
				}
			}
		})
	}
	group.Wait()
	if got, want := one(t, db, `SELECT count(*) || ' ' || count(DISTINCT number) || ' ' || min(number) || ' ' || max(number) FROM quote`), "40 40 2026-0001 2026-0040"; got != want {
		t.Errorf("quotes: %s, want %s", got, want)
	}
}

// The views say what the snapshot says.
func TestQuoteReports(t *testing.T) {
	s, db := fresh(t)
	saved, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at)
	if err != nil {
		t.Fatal(err)
	}
	o, b := saved.Quote.Offer, saved.Quote.Basis
	bill := 0
	for _, c := range append(b.Cakes, b.Extras...) {
		bill += len(c.Bill)
	}
	last := o.Instalments[len(o.Instalments)-1]
	line, tax, rate := o.Lines[0], o.Tax[len(o.Tax)-1], b.Rates[0]
	for query, want := range map[string]string{
		`SELECT count(*) FROM quote_line`:       fmt.Sprint(len(o.Lines)),
		`SELECT count(*) FROM quote_tax`:        fmt.Sprint(len(o.Tax)),
		`SELECT count(*) FROM quote_instalment`: fmt.Sprint(len(o.Instalments)),
		`SELECT count(*) FROM quote_bill`:       fmt.Sprint(bill),
		`SELECT count(*) FROM quote_rate`:       fmt.Sprint(len(b.Rates)),

		`SELECT concat_ws('|', kind, id, name, quantity, unit_price, amount, tax_rate) FROM quote_line WHERE position = 1`: fmt.Sprintf("%s|%s|%s|%d|%s|%s|%s", line.Kind, line.ID, line.Name, line.Quantity, line.UnitPrice, line.Amount, line.TaxRate.Text()),
		`SELECT concat_ws('|', rate, net, tax) FROM quote_tax ORDER BY position DESC LIMIT 1`:                              fmt.Sprintf("%s|%s|%s", tax.Rate.Text(), tax.Net, tax.Tax),
		`SELECT concat_ws('|', due, amount, deposit) FROM quote_instalment ORDER BY position DESC LIMIT 1`:                 fmt.Sprintf("%s|%s|0", last.Due, last.Amount),
		`SELECT concat_ws('|', of_kind, of_id, resource, quantity, unit) FROM quote_bill LIMIT 1`:                          fmt.Sprintf("cake|%s|%s|%s|%s", b.Cakes[0].ID, b.Cakes[0].Bill[0].ID, b.Cakes[0].Bill[0].Quantity.Text(), b.Cakes[0].Bill[0].Unit),
		`SELECT concat_ws('|', resource, kind, per_unit, unit, price) FROM quote_rate LIMIT 1`:                             fmt.Sprintf("%s|%s|%s|%s|%s", rate.ID, rate.Kind, rate.PerUnit.Text(), rate.Unit, rate.Price),
		`SELECT concat_ws('|', number, state, letter, client, event_date, total, newest) FROM quote_now`:                   fmt.Sprintf("2026-0001|issued|A|%s|%s|%s|1", o.Client.Name, o.EventDate, o.Total),
		`SELECT group_concat(DISTINCT typeof(amount)) FROM quote_line`:                                                     "text",
	} {
		if got := one(t, db, query); got != want {
			t.Errorf("%s = %s, want %s", query, got, want)
		}
	}
}

// TestChecksHoldWhileWriting has several writers replace a draft, issue and revise
// a quote, each from what all of them read: one of them does, and each other is
// told what it is now.
func TestChecksHoldWhileWriting(t *testing.T) {
	s, _ := fresh(t)
	if _, err := s.SaveDraft(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	on := day.Must("2026-11-25")
	other := errors.New("not as it was read")
	// One connection writes, so that two who ask at once take turns; with a store
	// of its own each is as another program.
	second := open(t, s.Path())
	for name, write := range map[string]func(*store.Store, quote.Quote, store.Check) error{
		"ReplaceDraft": func(s *store.Store, q quote.Quote, c store.Check) error {
			_, err := s.ReplaceDraft(t.Context(), "D1", q, at, c)
			return err
		},
		"ReviseQuote": func(s *store.Store, q quote.Quote, c store.Check) error {
			_, err := s.ReviseQuote(t.Context(), "2026-0001", q, "a reason", at, c)
			return err
		},
		"IssueDraft": func(s *store.Store, q quote.Quote, c store.Check) error {
			_, err := s.IssueDraft(t.Context(), "D2", q, at, c)
			return err
		},
	} {
		ref := "D1"
		switch name {
		case "ReviseQuote":
			if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
				t.Fatal(err)
			}
			ref = "2026-0001"
		case "IssueDraft":
			if _, err := s.SaveDraft(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
				t.Fatal(err)
			}
			ref = "D2"
		}
		for round := range 8 {
			read, err := s.Quote(t.Context(), ref, "", on)
			if err != nil {
				t.Fatal(err)
			}
			as := func(q store.SavedQuote) string { return fmt.Sprint(q.Quote.Revision, q.Quote.Request.Event.Guests) }
			version, done := as(read), make(chan error)
			const writers = 6
			for w := range writers {
				q := wedding(t, "2026-11-25")
				q.Request.Event.Guests = record.Some(1000 + round*writers + w)
				go func() {
					done <- write([]*store.Store{s, second}[w%2], q, store.Check{On: on, Of: func(is store.SavedQuote) error {
						if as(is) != version {
							return other
						}
						return nil
					}})
				}()
			}
			wrote := 0
			for range writers {
				switch err := <-done; {
				case err == nil:
					wrote++
				case errors.Is(err, other) || name == "IssueDraft" && errors.Is(err, store.ErrConflict):
				default:
					t.Errorf("%s: %v", name, err)
				}
			}
			if wrote != 1 {
				t.Fatalf("%s: %d of %d writers wrote over the same quote, want 1", name, wrote, writers)
			}
			if name == "IssueDraft" {
				break // it is issued
			}
		}
	}
}
