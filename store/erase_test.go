package store_test

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/seed"
	"marchpane/store"
)

// Words that stand nowhere but in what is known of a client.
var private = []string{"Šimková", "simkova", "zoe@example", "496 0123", "4960123", "Mill Lane", "sumac", "Old Barn", "Glasshouse", "tarragon", "fair", "godmother", "sortcode", "beekeeper", "lighthouse"}

// priced is a quote for a client at a venue.
func priced(t testing.TB, c enquiry.Client, venue, on string) quote.Quote {
	t.Helper()
	r, err := quote.ReadRequest(seed.WeddingRequest())
	if err != nil {
		t.Fatal(err)
	}
	r.Client = quote.Client{Name: c.Name, Email: c.Email, Phone: c.Phone, Address: c.Address}
	r.Event.Venue, r.On = record.Some(venue), day.Must(on)
	q, err := quote.Price(book.NewIndex(demoBook(t)), r)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// withOrder is a store with a client who has an enquiry, a draft, a quote of
// two revisions that became an order with a payment, a quote of two options, and
// a quote of somebody else.
func withOrder(t testing.TB) (*store.Store, *sql.DB) {
	t.Helper()
	s, db := fresh(t)
	addClient(t, s, zoe())
	addClient(t, s, enquiry.Client{Name: "Max Example", Email: record.Some("max@example.com")})
	addEnquiry(t, s, occasion(t, "C1"))
	must := func(what string, err error) {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
	}
	on := day.Must("2026-11-26")
	_, err := s.IssueQuote(t.Context(), priced(t, zoe(), "The Old Barn, Ardmorrow", "2026-11-25"), at)
	must("issue", err)
	renamed := zoe()
	renamed.Name = "Zoë Šimková-Devane"
	_, err = s.ReviseQuote(t.Context(), "2026-0001", priced(t, renamed, "The Glasshouse", "2026-11-26"), "her godmother asked", at)
	must("revise", err)
	_, err = s.Accept(t.Context(), "2026-0001", "", "Zoë Šimková rang", on, at)
	must("accept", err)
	deposit, err := money.ParsePrice("300.00")
	must("money", err)
	var amount money.Amount
	must("money", amount.UnmarshalText([]byte(deposit.String())))
	_, err = s.Receive(t.Context(), quote.Payment{Quote: "2026-0001", On: on, Amount: amount, Means: "transfer", Note: "from Zoë Šimková, sortcode 99"}, at)
	must("receive", err)
	_, err = s.SaveDraft(t.Context(), priced(t, zoe(), "The Old Barn, Ardmorrow", "2026-11-25"), at)
	must("draft", err)
	_, err = s.IssueQuote(t.Context(), priced(t, enquiry.Client{Name: "Max Example"}, "Town Hall", "2026-11-25"), at)
	must("issue", err)
	for _, statement := range []string{
		`INSERT INTO actual (id, at, on_day, kind, quote, note, amount) VALUES (1, '2026-11-27T09:00:00Z', '2026-11-27', 'charge', 1, 'the beekeeper rang', '5.00')`,
		`INSERT INTO actual_undone (entry, at, on_day, why) VALUES (1, '2026-11-28T09:00:00Z', '2026-11-28', 'the lighthouse did not want it')`,
	} {
		_, err = db.Exec(statement)
		must("actual", err)
	}
	must("letter", s.NoteSending(t.Context(), "2026-0001", store.Sending{Revision: "B", Kind: "quote", How: "file"}, at))
	choice := priced(t, zoe(), "The Old Barn, Ardmorrow", "2026-11-25").Request
	choice.Options = []quote.OptionWanted{{Name: "As wished", Wanted: quote.Wanted{Lines: choice.Lines}}, {Name: "Two of them", Wanted: quote.Wanted{Lines: []quote.CakeWanted{{Cake: choice.Lines[0].Cake, Quantity: 2}}}}}
	choice.Lines = nil
	q, err := quote.Price(book.NewIndex(demoBook(t)), choice)
	must("price options", err)
	_, err = s.IssueQuote(t.Context(), q, at)
	must("issue options", err)
	must("link", s.LinkQuote(t.Context(), "2026-0003", "C1", ""))
	must("link", s.LinkQuote(t.Context(), "2026-0001", "", "E1"))
	must("link", s.LinkQuote(t.Context(), "D1", "C1", ""))
	must("link", s.LinkQuote(t.Context(), "2026-0002", "C2", ""))
	return s, db
}

// figures returns everything in the file but what names a client: the frozen
// snapshots without the places of personal data, and every row of every view
// and table without its columns of personal data.
func figures(t testing.TB, db *sql.DB) string {
	t.Helper()
	personal := []string{"client", "name", "snapshot", "sale", "basis", "reason", "note", "why", "folded"}
	var text strings.Builder
	tables := column(t, db, `SELECT name FROM sqlite_schema WHERE type IN ('table', 'view') AND name NOT LIKE 'sqlite%'
		AND name NOT IN (SELECT name FROM pragma_table_list WHERE type IN ('virtual', 'shadow'))
		AND name NOT IN ('client', 'client_gone', 'client_written', 'client_trait', 'client_remainder', 'client_double', 'enquiry', 'enquiry_now', 'enquiry_board', 'enquiry_board_now', 'quote_moved', 'quote_party', 'quote_forgotten') ORDER BY name`)
	if len(tables) < 30 {
		t.Fatalf("only %d tables and views", len(tables))
	}
	for _, table := range tables {
		rows, err := db.Query(`SELECT * FROM "` + table + `" ORDER BY 1, 2`)
		if err != nil {
			t.Fatalf("%s: %v", table, err)
		}
		names, err := rows.Columns()
		if err != nil {
			t.Fatal(err)
		}
		values, into := make([]any, len(names)), make([]any, len(names))
		for i := range values {
			into[i] = &values[i]
		}
		for rows.Next() {
			if err := rows.Scan(into...); err != nil {
				t.Fatal(err)
			}
			fmt.Fprint(&text, table)
			for i, name := range names {
				switch v, isText := values[i].(string); {
				case isText && (name == "snapshot" || name == "sale" || name == "basis"):
					fmt.Fprintf(&text, "|%s=%s", name, impersonal(t, v))
				case !slices.Contains(personal, name):
					fmt.Fprintf(&text, "|%s=%v", name, values[i])
				}
			}
			fmt.Fprintln(&text)
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
		rows.Close()
	}
	return text.String()
}

// impersonal returns a document without the places where personal data stand,
// by means other than those of the store.
func impersonal(t testing.TB, document string) string {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal([]byte(document), &v); err != nil {
		t.Fatal(err)
	}
	inner := func(keys ...string) map[string]any {
		m := v
		for _, key := range keys {
			m, _ = m[key].(map[string]any)
		}
		return m
	}
	delete(v, "client") // of a sale, which is an offer by itself
	delete(v, "venue")
	delete(inner("offer"), "client")
	delete(inner("offer"), "venue")
	delete(inner("request"), "client")
	delete(inner("request", "event"), "venue")
	changes, _ := v["changes"].([]any)
	for _, c := range changes {
		if m := c.(map[string]any); m["kind"] == "client" || m["kind"] == "venue" {
			delete(m, "before")
			delete(m, "after")
		}
	}
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func column(t testing.TB, db *sql.DB, query string) (list []string) {
	t.Helper()
	rows, err := db.Query(query)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	return list
}

// found lists the private words whose bytes stand in the store's files.
func found(t testing.TB, path string) (list []string) {
	t.Helper()
	for _, name := range []string{path, path + "-wal", path + "-journal"} {
		data, err := os.ReadFile(name)
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			t.Fatal(err)
		}
		for _, word := range private {
			if bytes.Contains(data, []byte(word)) {
				list = append(list, word)
			}
		}
	}
	return list
}

func TestEraseLeavesTheAccounts(t *testing.T) {
	s, db := withOrder(t)
	importBook(t, s, demoBook(t), false)
	today := day.Must("2027-06-13") // the day after the event
	// What a draft said before it was written over lies in a free page.
	if _, err := s.ReplaceDraft(t.Context(), "D1", priced(t, zoe(), "The Glasshouse", "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	before := figures(t, db)
	if missing := len(private) - len(unique(found(t, s.Path()))); missing > 0 {
		t.Fatalf("%d private words are not in the file to begin with: %v", missing, found(t, s.Path()))
	}
	plan, err := s.Erasable(t.Context(), "C1", today)
	if err != nil || plan.Done || plan.Revisions != 4 || plan.Texts != 5 {
		t.Errorf("Erasable = %+v, %v, want 4 revisions and 5 texts", plan, err)
	}
	if got := figures(t, db); got != before {
		t.Error("Erasable changed something")
	}

	e, err := s.EraseClient(t.Context(), "C1", false, today, at)
	if err != nil {
		t.Fatalf("EraseClient = %v", err)
	}
	if !e.Done || e.Already || !e.Swept || !reflect.DeepEqual(e.Enquiries, []string{"E1"}) || !reflect.DeepEqual(e.Quotes, []string{"2026-0001", "D1", "2026-0003"}) || len(e.Ahead) > 0 || len(e.Others) > 0 {
		t.Errorf("EraseClient = %+v", e)
	}
	check(t, "figures after the erasure", figures(t, db), before)
	if left := found(t, s.Path()); len(left) > 0 {
		t.Errorf("in the files there are still %v", left)
	}
	for _, revision := range []string{"A", "B"} {
		q, err := s.Quote(t.Context(), "2026-0001", revision, today)
		if err != nil {
			t.Fatal(err)
		}
		if got := q.Quote.Offer.Client; got != (quote.Client{Name: "erased client C1"}) || q.Quote.Request.Client != got || q.Quote.Offer.Venue != "" || q.Quote.Request.Event.Venue.Given {
			t.Errorf("revision %s is for %+v at %q", revision, got, q.Quote.Offer.Venue)
		}
		for _, c := range q.Quote.Changes {
			if (c.Kind == quote.ClientChanged || c.Kind == quote.VenueChanged) && (c.Before != "erased" || c.After != "erased") {
				t.Errorf("revision %s changes %s from %q to %q", revision, c.Kind, c.Before, c.After)
			}
		}
	}
	if other, err := s.Quote(t.Context(), "2026-0002", "", today); err != nil || other.Quote.Offer.Client.Name != "Max Example" || other.Quote.Offer.Venue != "Town Hall" {
		t.Errorf("somebody else's quote is for %s at %s, %v", other.Quote.Offer.Client.Name, other.Quote.Offer.Venue, err)
	}
	if order, err := s.Order(t.Context(), "2026-0001"); err != nil || len(order.Payments) != 1 || order.Payments[0].Amount.String() != "300.00" || order.Payments[0].Note != "erased" {
		t.Errorf("the order has the payments %+v, %v", order.Payments, err)
	}
	if got := strings.Join(column(t, db, `SELECT DISTINCT reason FROM quote_trail WHERE quote = 1 AND move <> 'issue'`), "|"); got != "erased" {
		t.Errorf("reasons: %s, want erased", got)
	}
	if _, err := s.Client(t.Context(), "C1"); !errors.Is(err, store.ErrNotFound) || !strings.Contains(err.Error(), "erased on 2026-11-25") {
		t.Errorf("Client(C1) = %v, want ErrNotFound and that it was erased", err)
	}
	if _, err := s.AddClientOf(t.Context(), "2026-0001", at); !errors.Is(err, store.ErrConflict) {
		t.Errorf("AddClientOf an erased one = %v, want ErrConflict", err)
	}
	if c := addClient(t, s, enquiry.Client{Name: "New"}); c.Ref != "C3" {
		t.Errorf("the next client is %s, want C3", c.Ref)
	}
	if again, err := s.EraseClient(t.Context(), "C1", false, today, at); err != nil || !again.Done || !again.Already || !again.Swept || len(again.Quotes) > 0 {
		t.Errorf("EraseClient again = %+v, %v, want nothing but a sweep", again, err)
	}
	checkFile(t, db)
}

// Whatever letters a client's words are made of, they go, and what is not
// theirs stays to the last byte.
func TestEraseOfAnyWords(t *testing.T) {
	s, db := fresh(t)
	words := rapid.StringOfN(rapid.RuneFrom([]rune(`ab "'\\/{}[]:,<>&%_$.*?-`+"\nä\u2028\u200fשλ漢😀")), 1, 40, -1)
	base := wedding(t, "2026-11-25")
	for seed := range 12 {
		secret := fmt.Sprintf("secret%02dword", seed)
		draw := func(n int) string { return secret + words.Example(100*seed+n) }
		c := enquiry.Client{Name: draw(1), Email: record.Some(draw(2)), Phone: record.Some(draw(3)), Address: record.Some(draw(4))}.Mended()
		saved := addClient(t, s, c)
		q := base
		q.Request.Client = quote.Client{Name: draw(1), Email: record.Some(draw(2)), Phone: record.Some(draw(3)), Address: record.Some(draw(4))}
		q.Request.Event.Venue = record.Some(draw(5))
		q.Offer.Client, q.Offer.Venue = q.Request.Client, draw(5)
		if seed%3 == 0 { // somebody who gave no more than a name
			q.Request.Client = quote.Client{Name: draw(1)}
			q.Offer.Client, q.Offer.Venue, q.Request.Event.Venue = q.Request.Client, "", record.Maybe[string]{}
		}
		issued, err := s.IssueQuote(t.Context(), q, at)
		if err != nil {
			t.Fatal(err)
		}
		q.Offer.Venue = draw(6)
		if _, err := s.ReviseQuote(t.Context(), issued.Quote.Number, q, draw(7), at); err != nil {
			t.Fatal(err)
		}
		if err := s.LinkQuote(t.Context(), issued.Quote.Number, saved.Ref, ""); err != nil {
			t.Fatal(err)
		}
		query := `SELECT snapshot FROM quote_revision WHERE quote = (SELECT id FROM quote WHERE number = '` + issued.Quote.Number + `') ORDER BY revision`
		before := column(t, db, query)
		if e, err := s.EraseClient(t.Context(), saved.Ref, false, day.Must("2026-11-26"), at); err != nil || !e.Swept {
			t.Fatalf("EraseClient(%+v) = %+v, %v", c, e, err)
		}
		for i, after := range column(t, db, query) {
			check(t, fmt.Sprintf("revision %d for %q", i+1, c.Name), impersonal(t, after), impersonal(t, before[i]))
		}
		data, err := os.ReadFile(s.Path())
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(data, []byte(secret)) {
			t.Errorf("%s is still in the file", secret)
		}
	}
}

func unique(list []string) []string {
	list = slices.Clone(list)
	slices.Sort(list)
	return slices.Compact(list)
}

func TestEraseWaitsForOrders(t *testing.T) {
	s, db := withOrder(t)
	before := figures(t, db)
	for _, today := range []string{"2026-11-26", "2027-06-12"} { // the event's own day too
		_, err := s.EraseClient(t.Context(), "C1", false, day.Must(today), at)
		if !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "2026-0001") || !strings.Contains(err.Error(), "--open-orders-too") {
			t.Errorf("EraseClient on %s = %v, want ErrConflict with the order and the remedy", today, err)
		}
	}
	if c, err := s.Client(t.Context(), "C1"); err != nil || c.Client != zoe() || figures(t, db) != before {
		t.Errorf("a refused erasure left %+v, %v", c, err)
	}
	// Who has no order has nothing to wait for.
	if e, err := s.EraseClient(t.Context(), "C2", false, day.Must("2026-11-26"), at); err != nil || !e.Done {
		t.Errorf("EraseClient(C2) = %+v, %v", e, err)
	}
	if e, err := s.EraseClient(t.Context(), "C1", true, day.Must("2026-11-26"), at); err != nil || !e.Done || !reflect.DeepEqual(e.Ahead, []string{"2026-0001"}) {
		t.Errorf("EraseClient with orders too = %+v, %v", e, err)
	}
}

// Quotes that name a client but were never linked are told of: the erasure
// cannot know whose they are.
func TestEraseTellsOfQuotesOfNobody(t *testing.T) {
	s, _ := withOrder(t)
	for _, c := range []enquiry.Client{{Name: "ZOE SIMKOVA"}, {Name: "Somebody", Email: record.Some("Zoe@Example.com")}, {Name: "Somebody"}} {
		if _, err := s.IssueQuote(t.Context(), priced(t, c, "Hall", "2026-11-25"), at); err != nil {
			t.Fatal(err)
		}
	}
	plan, err := s.Erasable(t.Context(), "C1", day.Must("2027-06-13"))
	if err != nil || !reflect.DeepEqual(plan.Others, []string{"2026-0004", "2026-0005"}) {
		t.Errorf("Erasable tells of %v, %v, want 2026-0004 and 2026-0005", plan.Others, err)
	}
}

// A reader that holds the file keeps old pages alive; the erasure says so, and
// doing it again makes up for it.
func TestEraseBesideAReader(t *testing.T) {
	if testing.Short() {
		t.Skip("waits for the reader as long as the store does")
	}
	s, db := withOrder(t)
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	var name string
	if err := tx.QueryRow(`SELECT name FROM client WHERE id = 1`).Scan(&name); err != nil {
		t.Fatal(err)
	}
	today := day.Must("2027-06-13")
	e, err := s.EraseClient(t.Context(), "C1", false, today, at)
	if err != nil || !e.Done || e.Swept {
		t.Fatalf("EraseClient beside a reader = %+v, %v, want done and not swept", e, err)
	}
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	if e, err = s.EraseClient(t.Context(), "C1", false, today, at); err != nil || !e.Swept {
		t.Errorf("EraseClient afterwards = %+v, %v, want swept", e, err)
	}
	if left := found(t, s.Path()); len(left) > 0 {
		t.Errorf("in the files there are still %v", left)
	}
}

// The one change that a frozen revision takes is to forget its own client,
// whole and nothing besides.
func TestOnlyForgettingChangesAFrozenQuote(t *testing.T) {
	s, db := withOrder(t)
	if _, err := s.IssueQuote(t.Context(), priced(t, zoe(), "Hall", "2026-11-25"), at); err != nil { // 2026-0004, of nobody
		t.Fatal(err)
	}
	const forgotten = `(SELECT f.snapshot FROM quote_forgotten f WHERE f.quote = 1 AND f.revision = 2)`
	before := column(t, db, `SELECT snapshot FROM quote_revision ORDER BY quote, revision`)
	for _, set := range []string{
		`snapshot = '{}'`,
		`snapshot = json(snapshot)`,
		`snapshot = json_replace(snapshot, '$.offer.client.name', 'erased client C1')`,                                                       // the rest is left
		`snapshot = json_replace(` + forgotten + `, '$.offer.client.name', 'erased client C2', '$.request.client.name', 'erased client C2')`, // another's name
		`snapshot = json_replace(` + forgotten + `, '$.offer.client.name', 'Max')`,                                                           //
		`snapshot = json_replace(` + forgotten + `, '$.offer.total', '1.00')`,                                                                // a figure
		`snapshot = json_replace(` + forgotten + `, '$.offer.lines[0].name', 'Another cake')`,                                                //
		`snapshot = json_set(` + forgotten + `, '$.offer.venue', 'Elsewhere')`,                                                               //
		`snapshot = json_remove(` + forgotten + `, '$.changes')`,                                                                             //
		`snapshot = json_set(` + forgotten + `, '$.changes[#]', json('{"kind":"client"}'))`,                                                  //
		`snapshot = json_remove(` + forgotten + `, '$.basis')`,                                                                               //
		`snapshot = ` + forgotten + `, frozen = 0`,                                                                                           //
		`snapshot = ` + forgotten + `, saved_at = ''`,                                                                                        //
		`snapshot = ` + forgotten + `, revision = 7`,                                                                                         //
	} {
		if _, err := db.Exec(`UPDATE quote_revision SET ` + set + ` WHERE quote = 1 AND revision = 2`); err == nil {
			t.Errorf("SET %s = nil, want a refusal", set)
		}
	}
	for _, statement := range []string{
		`UPDATE quote_revision SET snapshot = ` + forgotten + ` WHERE quote = 1 AND revision = 1`, // the other revision's
		`UPDATE quote_revision SET snapshot = json_replace(snapshot, '$.offer.client.name', 'erased client C1') WHERE quote = (SELECT id FROM quote WHERE number = '2026-0004')`,
		`UPDATE quote_trail SET reason = 'better' WHERE quote = 1`,
		`UPDATE quote_trail SET reason = 'erased', on_day = '2020-01-01' WHERE quote = 1`,
		`UPDATE payment SET note = 'better'`,
		`UPDATE payment SET note = 'erased', amount = '1.00'`,
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("%s = nil, want a refusal", statement)
		}
	}
	if after := column(t, db, `SELECT snapshot FROM quote_revision ORDER BY quote, revision`); !reflect.DeepEqual(after, before) {
		t.Error("a snapshot changed")
	}
	if _, err := db.Exec(`UPDATE quote_revision SET snapshot = ` + forgotten + ` WHERE quote = 1 AND revision = 2`); err != nil {
		t.Errorf("forgetting the client = %v", err)
	}
}

func TestClientFileHoldsAll(t *testing.T) {
	s, _ := withOrder(t)
	addClient(t, s, enquiry.Client{Name: "Z. Šimková"})
	if _, err := s.MergeClients(t.Context(), "C3", "C1", at); err != nil {
		t.Fatal(err)
	}
	f, err := s.ClientFile(t.Context(), "C1")
	if err != nil {
		t.Fatalf("ClientFile = %v", err)
	}
	data, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"Zoë Šimková", "Šimková-Devane", "zoe@example.com", "+353 87 496 0123", "12 Mill Lane", "sumac", "The Old Barn", "The Glasshouse", "tarragon", "fair", "godmother", "sortcode", "beekeeper", "lighthouse", `"how":"file"`, "300.00", `"merged":["C3"]`, "Two of them"} {
		if !strings.Contains(string(data), word) {
			t.Errorf("the client's file lacks %s", word)
		}
	}
	for _, word := range []string{"basis", "per_unit", "overhead", "Max Example", "Town Hall"} {
		if strings.Contains(string(data), word) {
			t.Errorf("the client's file tells of %s", word)
		}
	}
	if len(f.Quotes) != 3 || len(f.Quotes[0].Revisions) != 2 || len(f.Quotes[0].Trail) != 3 || len(f.Quotes[0].Payments) != 1 || f.Quotes[0].Enquiry != "E1" || f.Quotes[1].Ref != "D1" {
		t.Errorf("the client's file has the quotes %+v", f.Quotes)
	}
	if empty, err := s.ClientFile(t.Context(), "C2"); err != nil || empty.Enquiries == nil || empty.Merged == nil {
		t.Errorf("ClientFile of another = %+v, %v", empty, err)
	}
}

// TestEraseKnowsEveryTable fails for a new table that hangs on a quote, client
// or enquiry: what becomes of its texts when a client is erased must be decided,
// in EraseClient and ClientFile, before it is listed here.
func TestEraseKnowsEveryTable(t *testing.T) {
	_, db := fresh(t)
	got := strings.Join(column(t, db, `SELECT DISTINCT m.name FROM sqlite_schema m, pragma_foreign_key_list(m.name) f
		WHERE m.type = 'table' AND f."table" IN ('quote', 'quote_revision', 'client', 'enquiry', 'payment') ORDER BY m.name`), " ")
	if want := "actual clock enquiry enquiry_board order_due payment quote_board quote_face quote_moved quote_party quote_revision quote_trail sending"; got != want {
		t.Errorf("tables of quotes and clients: %s, want %s", got, want)
	}
}
