package store_test

import (
	"database/sql"
	"database/sql/driver"
	"regexp"
	"strings"
	"testing"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/store"
)

// growing is a step that reads all of a table which has a row or more for every
// quote, client, payment and so on, for as long as the studio is open.
var growing = regexp.MustCompile(`^SCAN (quote|quote_\w+|payment|client|client_(trait|remainder|double|written)|enquiry|enquiry_\w+|order_due|actual|actual_\w+|import|[a-z])\b`)

// marked are the indexes of what upkeep has yet to make, and what is found by the
// index of letters: of the first there is next to nothing, of the second no more
// than was asked for.
var marked = regexp.MustCompile(`USING (COVERING )?INDEX \w+_(unfolded|unknown|unsorted)\b|^SCAN client_written\b|VIRTUAL TABLE INDEX 0:M`)

// bounded are questions whose rows are few whatever the studio has sold, so that
// they may be sorted.
var bounded = regexp.MustCompile(`\bIN \(\d+(, \d+)*\)` + // the rows of a page are named
	`|stamp > \?1` + // what has changed since it was last read
	`|WHERE q\.id = \?\) ORDER BY p\.on_day` + // the payments of one order
	`|p\.quote IN \(SELECT value FROM json_each\(\?\)\)` + // those of the orders that were asked for
	`|e\.client = \?` + // what one client asked for
	`|FROM client_trait WHERE client = \?1` + // who looks like one client
	`|state = 'issued' AND until >= \?1` + // offers that can still be accepted
	`|FROM \(SELECT id FROM actual WHERE kind .*on_day BETWEEN` + // what was recorded in the days asked for
	`|FROM clock\b` + // one a person
	`|state = 'draft'` + // those in hand
	`|r\.event_date >= \?1\s+ORDER BY r\.event_date`) // offers that still bind

// TestPlans asks SQLite how it will find what the pages ask for, and sees that it
// neither reads a table that grows from end to end nor sorts what an index has in
// order.
func TestPlans(t *testing.T) {
	s, db := randomLists(t, 7, 40)
	ctx := t.Context()
	on, soon := day.Must("2026-11-25"), day.Must("2026-12-05")
	order := column(t, db, `SELECT number FROM quote WHERE accepted IS NOT NULL LIMIT 1`)[0]
	client := column(t, db, `SELECT 'C' || client FROM quote_party WHERE client IS NOT NULL LIMIT 1`)[0]
	part := store.Span{Most: 20}

	lists := map[string]func(*store.Store) error{
		"clients":          func(s *store.Store) error { _, _, err := s.ClientsPage(ctx, "", part); return err },
		"clients searched": func(s *store.Store) error { _, _, err := s.ClientsPage(ctx, "zoe", part); return err },
		"a client":         func(s *store.Store) error { _, err := s.Client(ctx, client); return err },
		"alike":            func(s *store.Store) error { _, err := s.Alike(ctx, client, 5); return err },
		"doubles":          func(s *store.Store) error { _, _, err := s.DoublesPage(ctx, part); return err },
		"lapsing":          func(s *store.Store) error { _, _, err := s.OffersLapsing(ctx, on, soon, part); return err },
		"coming":           func(s *store.Store) error { _, _, err := s.OrdersComing(ctx, on, soon, part); return err },
		"late":             func(s *store.Store) error { _, _, err := s.OrdersLate(ctx, on.AddDays(-365), on, part); return err },
		"a quote":          func(s *store.Store) error { _, err := s.Quote(ctx, order, "", on); return err },
		"an order":         func(s *store.Store) error { _, err := s.Order(ctx, order); return err },
		"a trail":          func(s *store.Store) error { _, err := s.Trail(ctx, order); return err },
		"a party":          func(s *store.Store) error { _, err := s.PartyOf(ctx, order); return err },
		"its letters":      func(s *store.Store) error { _, err := s.Sendings(ctx, order); return err },
		"its records":      func(s *store.Store) error { _, err := s.ActualsOf(ctx, order); return err },
		"payments":         func(s *store.Store) error { _, err := s.Payments(ctx, on, soon); return err },
		"payments for": func(s *store.Store) error {
			list, _, err := s.QuotesPage(ctx, store.QuoteFilter{On: on}, part)
			if err == nil {
				_, _, err = s.PaymentsFor(ctx, list)
			}
			return err
		},
		"records":          func(s *store.Store) error { _, err := s.ActualsIn(ctx, on, soon); return err },
		"page of records":  func(s *store.Store) error { _, _, err := s.ActualsPage(ctx, on, soon, part); return err },
		"purchases":        func(s *store.Store) error { _, _, err := s.PurchasesPage(ctx, on, soon, part); return err },
		"clocks":           func(s *store.Store) error { _, err := s.Clocks(ctx); return err },
		"open quotes":      func(s *store.Store) error { _, err := s.OpenQuotes(ctx, on); return err },
		"client's quotes":  func(s *store.Store) error { _, err := s.QuotesOf(ctx, client, on); return err },
		"client's wishes":  func(s *store.Store) error { _, err := s.EnquiriesOf(ctx, client); return err },
		"orders of a span": func(s *store.Store) error { _, err := s.Orders(ctx, on, soon); return err },
	}
	for _, shelf := range append(store.Shelves(), "") {
		for _, words := range []string{"", "zoe simk", "bo"} {
			lists["quotes "+string(shelf)+" "+words] = func(s *store.Store) error {
				_, _, err := s.QuotesPage(ctx, store.QuoteFilter{On: on, Shelf: shelf, Words: words}, part)
				return err
			}
		}
	}
	for _, state := range []enquiry.State{"", enquiry.Open, enquiry.Quoted, enquiry.Closed} {
		for _, words := range []string{"", "wedding"} {
			lists["enquiries "+string(state)+" "+words] = func(s *store.Store) error {
				_, _, err := s.EnquiriesPage(ctx, state, words, part)
				return err
			}
		}
	}

	told := map[string]bool{}
	for name, ask := range lists {
		type question struct {
			query string
			args  []any
		}
		var asked []question
		listening := store.Overhear(s, func(query string, args []driver.NamedValue) {
			q := question{query: query}
			for _, a := range args {
				q.args = append(q.args, a.Value)
			}
			asked = append(asked, q)
		})
		if err := ask(listening); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if len(asked) == 0 {
			t.Errorf("%s asks nothing", name)
		}
		for _, q := range asked {
			for _, step := range plan(t, db, q.query, q.args) {
				if (growing.MatchString(step) && !marked.MatchString(step) || strings.Contains(step, "TEMP B-TREE") && !bounded.MatchString(q.query)) && !told[step+q.query] {
					told[step+q.query] = true
					t.Errorf("%s: %s in\n%s", name, step, q.query)
				}
			}
		}
	}
}

// plan returns how SQLite goes about a question.
func plan(t *testing.T, db *sql.DB, query string, args []any) (steps []string) {
	t.Helper()
	rows, err := db.Query("EXPLAIN QUERY PLAN "+query, args...)
	if err != nil {
		t.Fatalf("%v in %s", err, query)
	}
	defer rows.Close()
	for rows.Next() {
		var id, parent, unused int
		var step string
		if err := rows.Scan(&id, &parent, &unused, &step); err != nil {
			t.Fatal(err)
		}
		steps = append(steps, step)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return steps
}
