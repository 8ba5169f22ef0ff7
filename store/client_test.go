package store_test

import (
	"database/sql"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
	"marchpane/store"
)

// zoe is a client with every field.
func zoe() enquiry.Client {
	return enquiry.Client{
		Name: "Zoë Šimková", Email: record.Some("zoe@example.com"), Phone: record.Some("+353 87 496 0123"), Address: record.Some("12 Mill Lane\nArdmorrow"),
		Language: record.Some("cs"), Dietary: record.Some("no sumac"), Notes: record.Some("met at the fair"),
	}
}

func addClient(t testing.TB, s *store.Store, c enquiry.Client) store.SavedClient {
	t.Helper()
	saved, err := s.AddClient(t.Context(), c, at)
	if err != nil {
		t.Fatalf("AddClient(%s) = %v", c.Name, err)
	}
	return saved
}

// occasion is an enquiry with every field.
func occasion(t testing.TB, client string) enquiry.Enquiry {
	t.Helper()
	e, err := enquiry.ReadEnquiry([]byte(`{"client":"` + client + `","received":"2026-11-25","occasion":"wedding","date":"2027-06-12","venue":"The Old Barn, Ardmorrow","km":"24.50",` +
		`"guests":90,"budget":"850.00","dietary":"two shun tarragon","wishes":"ivory, figs","tasting":{"date":"2027-03-06","time":"14:30"}}`))
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func addEnquiry(t testing.TB, s *store.Store, e enquiry.Enquiry) store.SavedEnquiry {
	t.Helper()
	saved, err := s.AddEnquiry(t.Context(), e)
	if err != nil {
		t.Fatalf("AddEnquiry = %v", err)
	}
	return saved
}

func TestClientReadsBack(t *testing.T) {
	s, db := fresh(t)
	for _, c := range []enquiry.Client{zoe(), {Name: "Max"}} {
		added := addClient(t, s, c)
		got, err := s.Client(t.Context(), strings.ToLower(added.Ref))
		if err != nil || got != added || got.Client != c || got.AddedAt != "2026-11-25T08:30:00Z" {
			t.Errorf("Client(%s) = %+v, %v, want %+v", added.Ref, got, err, added)
		}
	}
	changed, err := s.ChangeClient(t.Context(), "C2", func(c *enquiry.Client) error {
		c.Phone = record.Some("01 496 0199")
		return nil
	}, at.AddDate(0, 0, 1))
	if err != nil || changed.Phone.Value != "01 496 0199" || changed.ChangedAt != "2026-11-26T08:30:00Z" {
		t.Errorf("ChangeClient = %+v, %v", changed, err)
	}
	if found, err := s.Clients(t.Context(), "4960199"); err != nil || len(found) != 1 || found[0].Ref != "C2" {
		t.Errorf("the new number finds %v, %v, want C2", found, err)
	}
	var faults record.Faults
	if _, err := s.ChangeClient(t.Context(), "C2", func(c *enquiry.Client) error { c.Name, c.Email = "", record.Some("?"); return nil }, at); !errors.As(err, &faults) || len(faults) != 2 {
		t.Errorf("ChangeClient to nonsense = %v, want 2 faults", err)
	}
	if got, _ := s.Client(t.Context(), "C2"); got != changed {
		t.Errorf("a refused change made it %+v", got)
	}
	for _, ref := range []string{"C3", "C0", "C-1", "E1", "", "Max", "C1 OR 1=1", "C99999999999999999999"} {
		if _, err := s.Client(t.Context(), ref); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("Client(%q) = %v, want ErrNotFound", ref, err)
		}
	}
	checkFile(t, db)
}

func TestSearch(t *testing.T) {
	s, _ := fresh(t)
	if list, err := s.Clients(t.Context(), ""); err != nil || list == nil || len(list) != 0 {
		t.Errorf("Clients of a new store = %v, %v, want an empty list", list, err)
	}
	for _, name := range []string{"Åsa Berg", "Zoë Šimková", "Adam 100% Cake_Fan", "zoe b"} {
		addClient(t, s, enquiry.Client{Name: name})
	}
	names := func(words string) string {
		list, err := s.Clients(t.Context(), words)
		if err != nil {
			t.Fatalf("Clients(%q) = %v", words, err)
		}
		var names []string
		for _, c := range list {
			names = append(names, c.Name)
		}
		return strings.Join(names, "|")
	}
	for words, want := range map[string]string{
		"": "Adam 100% Cake_Fan|Åsa Berg|zoe b|Zoë Šimková", "ZOE": "zoe b|Zoë Šimková", "šimk zoe": "Zoë Šimková", "asa": "Åsa Berg",
		"100%": "Adam 100% Cake_Fan", "e_f": "Adam 100% Cake_Fan", "a%n": "", "' OR 1=1 --": "",
	} {
		if got := names(words); got != want {
			t.Errorf("Clients(%q) = %s, want %s", words, got, want)
		}
	}
	if _, err := s.Clients(t.Context(), strings.Repeat("a ", 51)); err == nil {
		t.Error("a search of 51 words = nil, want a refusal")
	}
	// A studio in Sweden has å after z.
	swedish := demoBook(t)
	swedish.Studio.Locale = record.Some("sv-SE")
	importBook(t, s, swedish, false)
	if got, want := names(""), "Adam 100% Cake_Fan|zoe b|Zoë Šimková|Åsa Berg"; got != want {
		t.Errorf("Clients in Swedish = %s, want %s", got, want)
	}
}

func TestEnquiryReadsBack(t *testing.T) {
	s, db := fresh(t)
	addClient(t, s, zoe())
	whole := addEnquiry(t, s, occasion(t, "c1"))
	bare := addEnquiry(t, s, enquiry.Enquiry{Client: "C1", Received: day.Must("2026-11-25")})
	for _, want := range []store.SavedEnquiry{whole, bare} {
		got, err := s.Enquiry(t.Context(), want.Ref)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("Enquiry(%s) = %+v, %v, want %+v", want.Ref, got, err, want)
		}
	}
	want := occasion(t, "C1")
	if !reflect.DeepEqual(whole.Enquiry, want) || whole.Name != "Zoë Šimková" || whole.State != enquiry.Open {
		t.Errorf("the enquiry is kept as %+v, want %+v", whole, want)
	}
	if _, err := s.AddEnquiry(t.Context(), occasion(t, "C7")); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("AddEnquiry of C7 = %v, want ErrNotFound", err)
	}

	closed, err := s.CloseEnquiry(t.Context(), "e2", "chose another studio", day.Must("2026-12-01"))
	if err != nil || closed.State != enquiry.Closed || closed.ClosedWhy != "chose another studio" || closed.ClosedOn != day.Must("2026-12-01") {
		t.Errorf("CloseEnquiry = %+v, %v", closed, err)
	}
	if _, err := s.CloseEnquiry(t.Context(), "E2", "again", day.Must("2026-12-02")); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "chose another studio") {
		t.Errorf("CloseEnquiry twice = %v, want ErrConflict with the reason", err)
	}
	for state, want := range map[enquiry.State]string{"": "E1 E2", enquiry.Open: "E1", enquiry.Closed: "E2", enquiry.Quoted: ""} {
		list, err := s.Enquiries(t.Context(), state)
		if err != nil {
			t.Fatal(err)
		}
		var refs []string
		for _, e := range list {
			refs = append(refs, e.Ref)
		}
		if got := strings.Join(refs, " "); got != want {
			t.Errorf("Enquiries(%q) = %s, want %s", state, got, want)
		}
	}
	if open, err := s.ReopenEnquiry(t.Context(), "E2"); err != nil || open.State != enquiry.Open {
		t.Errorf("ReopenEnquiry = %s, %v, want open", open.State, err)
	}
	if _, err := s.ReopenEnquiry(t.Context(), "E2"); !errors.Is(err, store.ErrConflict) {
		t.Errorf("ReopenEnquiry twice = %v, want ErrConflict", err)
	}
	checkFile(t, db)
}

func TestQuoteAnswersAnEnquiry(t *testing.T) {
	s, db := fresh(t)
	addClient(t, s, zoe())
	addClient(t, s, enquiry.Client{Name: "Max"})
	addEnquiry(t, s, occasion(t, "C1"))
	if _, err := s.SaveDraft(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	if p, err := s.PartyOf(t.Context(), "D1"); err != nil || p != (store.Party{}) {
		t.Errorf("PartyOf a quote of nobody = %v, %v", p, err)
	}
	if err := s.LinkQuote(t.Context(), "D1", "C2", "E1"); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "E1 is an enquiry of C1") {
		t.Errorf("LinkQuote with another's enquiry = %v, want ErrConflict", err)
	}
	for _, test := range []struct{ quote, client, enquiry string }{{"D9", "C1", ""}, {"D1", "C9", ""}, {"D1", "", "E9"}, {"D1", "", ""}} {
		if err := s.LinkQuote(t.Context(), test.quote, test.client, test.enquiry); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("LinkQuote(%v) = %v, want ErrNotFound", test, err)
		}
	}
	if err := s.LinkQuote(t.Context(), "D1", "", "E1"); err != nil {
		t.Fatalf("LinkQuote = %v", err)
	}
	if p, err := s.PartyOf(t.Context(), "D1"); err != nil || p != (store.Party{Client: "C1", Enquiry: "E1"}) {
		t.Errorf("PartyOf = %v, %v, want C1 and E1", p, err)
	}
	if e, err := s.Enquiry(t.Context(), "E1"); err != nil || e.State != enquiry.Quoted || !reflect.DeepEqual(e.Quotes, []string{"D1"}) {
		t.Errorf("Enquiry = %s with %v, %v, want quoted with D1", e.State, e.Quotes, err)
	}
	// The enquiry was another's: its quotes go along.
	if _, err := s.ChangeEnquiry(t.Context(), "E1", func(e *enquiry.Enquiry) error { e.Client = "c2"; return nil }); err != nil {
		t.Fatal(err)
	}
	if p, err := s.PartyOf(t.Context(), "D1"); err != nil || p.Client != "C2" {
		t.Errorf("PartyOf after the enquiry moved = %v, %v, want C2", p, err)
	}
	checkFile(t, db)
}

// An enquiry is kept with the day on which it came, or not at all.
func TestEnquiryOfNoDay(t *testing.T) {
	s, _ := fresh(t)
	addClient(t, s, zoe())
	var faults record.Faults
	if _, err := s.AddEnquiry(t.Context(), enquiry.Enquiry{Client: "C1"}); !errors.As(err, &faults) || faults[0].Path != "received" {
		t.Errorf("AddEnquiry = %v, want what is wrong at received", err)
	}
	if saved := addEnquiry(t, s, occasion(t, "C1")); saved.Ref != "E1" {
		t.Errorf("the first that is kept is %s, want E1: a refusal takes no number", saved.Ref)
	}
	if _, err := s.ChangeEnquiry(t.Context(), "E1", func(e *enquiry.Enquiry) error { e.Received = day.Date{}; return nil }); !errors.As(err, &faults) {
		t.Errorf("ChangeEnquiry = %v, want what is wrong at received", err)
	}
	if e, err := s.Enquiry(t.Context(), "E1"); err != nil || e.Received != day.Must("2026-11-25") {
		t.Errorf("Enquiry came on %s, %v, want the day it had", e.Received, err)
	}
}

// A new client and what they ask for are kept together, or neither is: a refusal
// takes no number, and leaves nobody behind.
func TestFirstEnquiry(t *testing.T) {
	s, db := fresh(t)
	var faults record.Faults
	if _, err := s.AddFirstEnquiry(t.Context(), zoe(), enquiry.Enquiry{}, at); !errors.As(err, &faults) {
		t.Errorf("AddFirstEnquiry of no day = %v, want what is wrong", err)
	}
	if _, err := s.AddFirstEnquiry(t.Context(), enquiry.Client{}, occasion(t, "C1"), at); !errors.As(err, &faults) {
		t.Errorf("AddFirstEnquiry of nobody = %v, want what is wrong", err)
	}
	if list, err := s.Clients(t.Context(), ""); err != nil || len(list) != 0 {
		t.Errorf("after refusals there are %d clients, %v", len(list), err)
	}
	saved, err := s.AddFirstEnquiry(t.Context(), zoe(), occasion(t, "C1"), at)
	if err != nil || saved.Ref != "E1" || saved.Client != "C1" || saved.Name != zoe().Name {
		t.Errorf("AddFirstEnquiry = %s of %s, %s, %v; want E1 of C1", saved.Ref, saved.Client, saved.Name, err)
	}
	checkFile(t, db)
}

func TestClientOfAQuote(t *testing.T) {
	s, _ := fresh(t)
	q := wedding(t, "2026-11-25")
	if _, err := s.IssueQuote(t.Context(), q, at); err != nil {
		t.Fatal(err)
	}
	c, err := s.AddClientOf(t.Context(), "2026-0001", at)
	if err != nil || c.Ref != "C1" || c.Name != q.Offer.Client.Name || c.Email != q.Offer.Client.Email {
		t.Errorf("AddClientOf = %+v, %v, want %+v", c, err, q.Offer.Client)
	}
	if p, err := s.PartyOf(t.Context(), "2026-0001"); err != nil || p.Client != "C1" {
		t.Errorf("PartyOf = %v, %v, want C1", p, err)
	}
	if _, err := s.AddClientOf(t.Context(), "2026-0001", at); !errors.Is(err, store.ErrConflict) || !strings.Contains(err.Error(), "C1") {
		t.Errorf("AddClientOf twice = %v, want ErrConflict naming C1", err)
	}
	if list, _ := s.Clients(t.Context(), ""); len(list) != 1 {
		t.Errorf("a refusal left %d clients, want 1", len(list))
	}
}

func TestMerge(t *testing.T) {
	s, db := fresh(t)
	addClient(t, s, enquiry.Client{Name: "Zoe Simkova", Phone: record.Some("087 496 0123"), Notes: record.Some("likes figs")})
	addClient(t, s, zoe())
	addEnquiry(t, s, occasion(t, "C2"))
	if _, err := s.SaveDraft(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	if err := s.LinkQuote(t.Context(), "D1", "C2", "E1"); err != nil {
		t.Fatal(err)
	}
	doubles, err := s.Doubles(t.Context())
	if err != nil || len(doubles) != 1 || doubles[0].First.Ref != "C1" || doubles[0].Second.Ref != "C2" || fmt.Sprint(doubles[0].Why) != "[same phone same name]" {
		t.Errorf("Doubles = %+v, %v, want C1 and C2 by phone and name", doubles, err)
	}
	if alike, err := s.Alike(t.Context(), "C2", 9); err != nil || len(alike) != 1 || alike[0].First.Ref != "C2" || alike[0].Second.Ref != "C1" || !reflect.DeepEqual(alike[0].Why, doubles[0].Why) {
		t.Errorf("Alike(C2) = %+v, %v, want C1 by phone and name", alike, err)
	}
	if _, err := s.MergeClients(t.Context(), "C1", "c1", at); !errors.Is(err, store.ErrConflict) {
		t.Errorf("MergeClients of one = %v, want ErrConflict", err)
	}
	m, err := s.MergeClients(t.Context(), "C2", "C1", at)
	if err != nil {
		t.Fatalf("MergeClients = %v", err)
	}
	if m.From != "C2" || m.Enquiries != 1 || m.Quotes != 1 {
		t.Errorf("MergeClients moved %d enquiries and %d quotes of %s, want 1 and 1 of C2", m.Enquiries, m.Quotes, m.From)
	}
	got, err := s.Client(t.Context(), "C1")
	want := zoe()
	want.Name, want.Phone = "Zoe Simkova", record.Some("087 496 0123") // what was there stays
	want.Notes = record.Some("likes figs\n2026-11-25: C2 merged into this record, which said phone: +353 87 496 0123; notes: met at the fair")
	if err != nil || got.Client != want {
		t.Errorf("the merged client is %+v, %v, want %+v", got.Client, err, want)
	}
	if p, err := s.PartyOf(t.Context(), "D1"); err != nil || p != (store.Party{Client: "C1", Enquiry: "E1"}) {
		t.Errorf("PartyOf = %v, %v, want C1 and E1", p, err)
	}
	if _, err := s.Client(t.Context(), "C2"); !errors.Is(err, store.ErrNotFound) || !strings.Contains(err.Error(), "merged into C1 on 2026-11-25") {
		t.Errorf("Client(C2) = %v, want ErrNotFound and where it went", err)
	}
	if next := addClient(t, s, enquiry.Client{Name: "Max"}); next.Ref != "C3" {
		t.Errorf("the next client is %s, want C3", next.Ref)
	}
	checkFile(t, db)
}

// fillClients writes many clients fast.
func fillClients(t testing.TB, db *sql.DB, n int) {
	t.Helper()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	given := []string{"Zoë", "Maximilian", "Ørjan", "Anabel"}
	syllables := strings.Fields("bar cor dil fen gus ham jor kel lim mon nas pur quo ris sel tov ums ven wik zad")
	for i := range n {
		family := syllables[i%20] + syllables[i/20%20] + syllables[i/400%20]
		c := enquiry.Client{
			Name:  given[i/5000%4] + " " + family,
			Email: record.Some(fmt.Sprintf("client%d@example.com", i)), Phone: record.Some(fmt.Sprintf("+353 1 %03d %04d", i/10_000, i%10_000)),
			Address: record.Some(fmt.Sprintf("%d Long Lane\nArdmorrow\nCounty", i)), Notes: record.Some(strings.Repeat("some notes of a usual length ", 5)),
		}
		if _, err := tx.Exec(`INSERT INTO client (id, name, email, phone, address, notes, folded, added_at, changed_at) VALUES (?, ?, ?, ?, ?, ?, ?, '', '')`,
			i+1, c.Name, c.Email.Value, c.Phone.Value, c.Address.Value, c.Notes.Value, c.Folded()); err != nil {
			t.Fatal(err)
		}
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
}

// BenchmarkSearch looks for two words among 20,000 clients; the baseline reads
// the names of all with no search.
func BenchmarkSearch(b *testing.B) {
	s, db := fresh(b)
	fillClients(b, db, 20_000)
	b.Run("two words", func(b *testing.B) {
		for b.Loop() {
			if list, err := s.Clients(b.Context(), "zoe 4710"); err != nil || len(list) == 0 {
				b.Fatal(len(list), err)
			}
		}
	})
	b.Run("none found", func(b *testing.B) {
		for b.Loop() {
			if list, err := s.Clients(b.Context(), "nobody"); err != nil || len(list) != 0 {
				b.Fatal(len(list), err)
			}
		}
	})
	b.Run("all, sorted", func(b *testing.B) {
		for b.Loop() {
			if list, err := s.Clients(b.Context(), ""); err != nil || len(list) != 20_000 {
				b.Fatal(len(list), err)
			}
		}
	})
	b.Run("doubles", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Doubles(b.Context()); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("baseline: names alone", func(b *testing.B) {
		for b.Loop() {
			rows, err := db.Query(`SELECT name FROM client`)
			if err != nil {
				b.Fatal(err)
			}
			var name string
			for rows.Next() {
				if err := rows.Scan(&name); err != nil {
					b.Fatal(err)
				}
			}
			rows.Close()
		}
	})
}
