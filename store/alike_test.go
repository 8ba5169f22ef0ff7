package store_test

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
	"marchpane/store"
)

// known makes a client of a name, an address of email and a telephone number.
func known(name, email, phone string) enquiry.Client {
	return enquiry.Client{Name: name, Email: record.Maybe[string]{Value: email, Given: email != ""}, Phone: record.Maybe[string]{Value: phone, Given: phone != ""}}
}

func TestDoubles(t *testing.T) {
	s, _ := fresh(t)
	if none, err := s.Doubles(t.Context()); err != nil || none == nil || len(none) != 0 {
		t.Errorf("Doubles of nobody = %v, %v, want an empty list", none, err)
	}
	for _, c := range []enquiry.Client{
		known("Zoë Šimková", "zoe@example.com", "+353 87 496 0123"),
		known("Simkova, Zoe", "", ""),                            // 2: the words in the other order, no accents
		known("Zoe Simkvoa", "", ""),                             // 3: two letters exchanged
		known("Max Example", "ZOE@example.com", "087 4960123"),   // 4: another name
		known("Ann Ho", "", ""),                                  // too short
		known("Anna Ho", "", ""),                                 //
		known("Zoe Simovka", "", ""),                             // 7: two slips from 1
		known("Katharina Berg", "k@example.com", "123"),          // 8
		known("Katarina Berg", "k2@example.com", "1234"),         // 9: a letter dropped
		known("Zoe Simkova", "other@example.com", "01 555 0199"), // 10
		known("...", "", ""),                                     // signs alone are no name to go by
		known("-", "", ""),
	} {
		addClient(t, s, c)
	}
	list, err := s.Doubles(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"C1-C2 [same name]", "C1-C3 [near name]", "C1-C4 [same email same phone]", "C1-C10 [same name]", "C8-C9 [near name]"}
	if got := told(list); !slices.Equal(got, want) {
		t.Errorf("Doubles = %q, want %q", got, want)
	}
	part, n, err := s.DoublesPage(t.Context(), store.Span{From: 1, Most: 2})
	if err != nil || n != 5 || jsonOf(t, part) != jsonOf(t, list[1:3]) {
		t.Errorf("DoublesPage = %q of %d, %v, want %q of 5", told(part), n, err, want[1:3])
	}
	alike, err := s.Alike(t.Context(), "c2", math.MaxInt32)
	if got, want := told(alike), []string{"C2-C1 [same name]", "C2-C3 [near name]", "C2-C10 [same name]"}; err != nil || !slices.Equal(got, want) {
		t.Errorf("Alike = %q, %v, want %q", got, err, want)
	}
	if alike, err := s.Alike(t.Context(), "C2", 1); err != nil || len(alike) != 1 || alike[0].Second.Name != "Zoë Šimková" {
		t.Errorf("Alike = %+v, %v, want the first alone", alike, err)
	}
	if _, err := s.Alike(t.Context(), "C99", 1); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("Alike of nobody = %v, want ErrNotFound", err)
	}
}

func told(list []store.Double) []string {
	texts := []string{}
	for _, d := range list {
		texts = append(texts, fmt.Sprintf("%s-%s %v", d.First.Ref, d.Second.Ref, d.Why))
	}
	return texts
}

// hostile are names of many scripts and habits, and some that mean harm.
var hostile = []string{
	"Zoë Šimková", "Šimková, Zoë", "Zoe\u0308 SIMKOVA", "O'Brien-Smith, Ann (Annie)", "Łukasz Straße Ørum", "İbrahim Işık-Öztürk", "Αθηνά Παπαδοπούλου", "Мария-Луиза Ковалёва",
	"محمد عبد الرحمن", "יעל בן־דוד כהן", "नेहा चतुर्वेदी", "สมชาย ใจดีมาก", "김민수 박지영 이서연", "山田花子", "山田 花子 ケーキ教室様", "Nguyễn Thị Hồng Nhung", "🎂🎂🎂🎂🎂🎂🎂🎂🎂", "👩‍🍳 Chef Extraordinaire",
	"<script>alert('x')</script>", "Robert'); DROP TABLE client;--", "%_%_%_%_%_", "\u202eevil drawkcab name", "...", "'", "Ann", "Anna Ho", strings.Repeat("long name ", 8), strings.Repeat("ñ", 40), "a\u0301\u0301\u0301\u0301\u0301\u0301\u0301\u0301b",
	"Ǆoni Ĳsbrand ﬁgs", "Jean-François d’Élevage", "Walk in client", "NULL", "0000000000",
}

// somebody makes up a client: one of those names as it is or with slips of the
// keys, and now and then an email or a telephone that others have.
func somebody(rng *rand.Rand, n int) enquiry.Client {
	letters := []rune(hostile[rng.IntN(len(hostile))])
	for range rng.IntN(4) {
		at := rng.IntN(len(letters) + 1)
		switch other := []rune("abñШ漢 -💐")[rng.IntN(8)]; {
		case rng.IntN(3) == 0:
			letters = slices.Insert(letters, at, other)
		case at == len(letters):
		case rng.IntN(3) == 0:
			letters = slices.Delete(letters, at, at+1)
		case rng.IntN(2) == 0:
			letters[at] = other
		case at > 0:
			letters[at], letters[at-1] = letters[at-1], letters[at]
		}
	}
	c := enquiry.Client{Name: string(letters[:min(len(letters), 200)])}
	if strings.TrimSpace(c.Name) == "" {
		c.Name = "?"
	}
	mails, phones := []string{"zoe@example.com", "Zoe@Example.COM"}, []string{"112", "+353 87 496 0123", "087 4960123", "０８７ ４９６ ０１２３"}
	if rng.IntN(10) > 0 {
		mails, phones = []string{fmt.Sprintf("c%d@example.com", rng.IntN(n)), fmt.Sprintf("C%d@Example.com", rng.IntN(n))}, []string{fmt.Sprintf("0%09d", rng.IntN(n)), fmt.Sprintf("+44 %09d", rng.IntN(n))}
	}
	if rng.IntN(3) > 0 {
		c.Email = record.Some(mails[rng.IntN(len(mails))])
	}
	if rng.IntN(3) > 0 {
		c.Phone = record.Some(phones[rng.IntN(len(phones))])
	}
	return c
}

// shared are the likenesses that come of a trait.
var shared = [3]enquiry.Likeness{enquiry.SameEmail, enquiry.SamePhone, enquiry.SameName}

// enumeration holds every client against every other.
type enumeration struct {
	refs   []string
	traits [][3]string // of each of shared
	near   [][]bool    // by their names
}

// enumerate reads all clients of a file, without the store.
func enumerate(t testing.TB, db *sql.DB) (e enumeration) {
	t.Helper()
	rows, err := db.Query(`SELECT 'C' || id, name, coalesce(email, ''), coalesce(phone, '') FROM client ORDER BY id`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var ref, name, email, phone string
	for rows.Next() {
		if err := rows.Scan(&ref, &name, &email, &phone); err != nil {
			t.Fatal(err)
		}
		of := known(name, email, phone).Traits()
		e.refs, e.traits = append(e.refs, ref), append(e.traits, [3]string{of[shared[0]], of[shared[1]], of[shared[2]]})
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	letters := make([][]rune, len(e.refs))
	e.near = make([][]bool, len(e.refs))
	for i := range e.refs {
		letters[i], e.near[i] = []rune(e.traits[i][2]), make([]bool, len(e.refs))
		for j := range i {
			a, b := letters[i], letters[j]
			if min(len(a), len(b)) >= 8 && max(len(a), len(b))-min(len(a), len(b)) <= 1 && distance(a, b) == 1 {
				e.near[i][j], e.near[j][i] = true, true
			}
		}
	}
	return e
}

// distance counts the letters added, dropped, exchanged or swapped with their
// neighbour (optimal string alignment), by the table that defines it; it gives up
// where two would be needed all along the diagonal.
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for i := range len(a) + 1 {
		for j := range len(b) + 1 {
			switch {
			case i == 0 || j == 0:
				row[j] = i + j
			default:
				row[j] = last[j-1]
				if a[i-1] != b[j-1] {
					row[j]++
				}
				row[j] = min(row[j], last[j]+1, row[j-1]+1)
				if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
					row[j] = min(row[j], before[j-2]+1)
				}
			}
		}
		if slices.Min(row) > 2 {
			return 3
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// between tells in what two clients are alike.
func (e enumeration) between(i, j int) (why []enquiry.Likeness) {
	for k, l := range shared {
		if e.traits[i][k] != "" && e.traits[i][k] == e.traits[j][k] {
			why = append(why, l)
		}
	}
	if e.near[i][j] {
		why = append(why, enquiry.NearName)
	}
	return why
}

func (e enumeration) alike(i int) []string {
	list := []string{}
	for j := range e.refs {
		if why := e.between(i, j); j != i && len(why) > 0 {
			list = append(list, fmt.Sprintf("%s-%s %v", e.refs[i], e.refs[j], why))
		}
	}
	return list
}

// doubles pairs those who are alike where the earlier is the first who has what
// they share, and where names are near the later is so too.
func (e enumeration) doubles() []string {
	firsts := map[enquiry.Likeness][]bool{}
	for k, l := range shared {
		for i := range e.refs {
			firsts[l] = append(firsts[l], !slices.ContainsFunc(e.traits[:i], func(t [3]string) bool { return t[k] == e.traits[i][k] }))
		}
	}
	list := []string{}
	for i := range e.refs {
		for j := i + 1; j < len(e.refs); j++ {
			var why []enquiry.Likeness
			for _, l := range e.between(i, j) {
				if l == enquiry.NearName && firsts[enquiry.SameName][i] && firsts[enquiry.SameName][j] || l != enquiry.NearName && firsts[l][i] {
					why = append(why, l)
				}
			}
			if len(why) > 0 {
				list = append(list, fmt.Sprintf("%s-%s %v", e.refs[i], e.refs[j], why))
			}
		}
	}
	return list
}

// agree holds what the store says against the enumeration, of some of the clients.
func (e enumeration) agree(t testing.TB, s *store.Store, rng *rand.Rand, some int) (pairs int) {
	t.Helper()
	list, err := s.Doubles(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got, want := told(list), e.doubles(); !slices.Equal(got, want) {
		t.Fatalf("Doubles = %.2000q\nwant %.2000q", got, want)
	}
	for range some {
		i := rng.IntN(len(e.refs))
		alike, err := s.Alike(t.Context(), e.refs[i], math.MaxInt32)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := told(alike), e.alike(i); !slices.Equal(got, want) {
			t.Fatalf("Alike(%s) = %.2000q\nwant %.2000q", e.refs[i], got, want)
		}
	}
	return len(list)
}

// TestAlikeAgainstEveryPair takes thousands of clients, and what becomes of them:
// the store pairs whom the enumeration of every pair finds.
func TestAlikeAgainstEveryPair(t *testing.T) {
	n := 2000
	if testing.Short() {
		n = 500
	}
	s, db := fresh(t)
	rng := rand.New(rand.NewPCG(13, 5))
	write := func(statement string, args ...any) { // as another program would
		t.Helper()
		if _, err := db.Exec(statement, args...); err != nil {
			t.Fatal(err)
		}
	}
	write(`BEGIN`)
	for range n {
		c := somebody(rng, n)
		write(`INSERT INTO client (name, email, phone, folded, added_at, changed_at) VALUES (?, nullif(?, ''), nullif(?, ''), ?, '', '')`, c.Name, c.Email.Or(""), c.Phone.Or(""), c.Folded())
	}
	write(`INSERT INTO client (name, folded, added_at, changed_at) VALUES (?1, '', '', ''), (?2, '', '', '')`, strings.Repeat("ñ", 200), strings.Repeat("ñ", 199))
	write(`COMMIT`)
	write(`UPDATE reference SET last = ? WHERE kind = 'client'`, n+2)
	if pairs := enumerate(t, db).agree(t, s, rng, n/4); pairs < n/4 {
		t.Errorf("only %d pairs; the test no longer looks at anything", pairs)
	}
	for range 3 {
		for range 50 {
			refs := column(t, db, `SELECT 'C' || id FROM client ORDER BY random() LIMIT 2`)
			refs = append(refs, column(t, db, `SELECT 'C' || first FROM client_double WHERE first IN (SELECT id FROM client) ORDER BY random() LIMIT 1`)...) // who leads others, and was not deleted just now
			ref := refs[rng.IntN(2)*2]
			var err error
			switch rng.IntN(7) {
			case 0, 1:
				_, err = s.AddClient(t.Context(), somebody(rng, n), at)
			case 2:
				_, err = s.ChangeClient(t.Context(), ref, func(c *enquiry.Client) error { *c = somebody(rng, n); return nil }, at)
			case 3:
				if refs[1] != ref {
					_, err = s.MergeClients(t.Context(), ref, refs[1], at)
				}
			case 4:
				if rng.IntN(4) == 0 {
					_, err = s.EraseClient(t.Context(), ref, true, day.Must("2026-11-25"), at)
				}
			case 5:
				write(`UPDATE client SET name = (SELECT name FROM client ORDER BY random() LIMIT 1), phone = NULL WHERE 'C' || id = ?`, ref)
			case 6:
				write(`DELETE FROM client WHERE 'C' || id = ?`, ref)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		enumerate(t, db).agree(t, s, rng, 60)
	}
	// Nothing stays of who is gone, and nothing but what is needed.
	for _, left := range []string{
		`SELECT count(*) FROM client_written`,
		`SELECT count(*) FROM client_trait WHERE client NOT IN (SELECT id FROM client)`,
		`SELECT count(*) FROM client_remainder WHERE client NOT IN (SELECT min(client) FROM client_trait WHERE why = 'same name' GROUP BY trait)`,
	} {
		if got := one(t, db, left); got != "0" {
			t.Errorf("%s = %s, want 0", left, got)
		}
	}
	checkFile(t, db)
}

// TestEraseForgetsTraits: what a client is recognised by goes with them.
func TestEraseForgetsTraits(t *testing.T) {
	s, _ := fresh(t)
	addClient(t, s, known("Xanthippe Quillfeather", "Xanthippe@Example.com", "+353 87 111 2223"))
	addClient(t, s, known("Xanthipe Quillfeather", "", ""))
	if _, err := s.EraseClient(t.Context(), "C1", false, day.Must("2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"xanthippe", "871112223"} {
		if bytes.Contains(data, []byte(word)) {
			t.Errorf("%s is still in the file", word)
		}
	}
	if !bytes.Contains(data, []byte("quillfeather xanthipe")) {
		t.Error("the other's name is not in the file either; the test no longer looks at anything")
	}
}

// TestUpgradeComparesClients takes a store of schema 12 with clients to the
// newest: they are paired as in one that had them one by one, and a copy of the
// store as it was is left beside it.
func TestUpgradeComparesClients(t *testing.T) {
	path := filepath.Join(t.TempDir(), "old.db")
	old := older(t, path, 12)
	rng := rand.New(rand.NewPCG(12, 13))
	for range 300 {
		c := somebody(rng, 300)
		if _, err := old.Exec(`INSERT INTO client (name, email, phone, folded, added_at, changed_at) VALUES (?, nullif(?, ''), nullif(?, ''), ?, '', '')`, c.Name, c.Email.Or(""), c.Phone.Or(""), c.Folded()); err != nil {
			t.Fatal(err)
		}
	}
	before := column(t, old, `SELECT concat_ws('|', id, name, email, phone, folded) FROM client ORDER BY id`)
	up := open(t, path)
	if got := one(t, old, `SELECT count(*) FROM client_written`); got != "0" {
		t.Errorf("the upgrade left %s clients to compare", got)
	}
	if pairs := enumerate(t, old).agree(t, up, rng, 300); pairs < 30 {
		t.Errorf("only %d pairs; the test no longer looks at anything", pairs)
	}
	if after := column(t, old, `SELECT concat_ws('|', id, name, email, phone, folded) FROM client ORDER BY id`); !slices.Equal(after, before) {
		t.Error("the upgrade changed clients")
	}
	backup := raw(t, path+".schema-12.backup")
	if kept := column(t, backup, `SELECT concat_ws('|', id, name, email, phone, folded) FROM client ORDER BY id`); !slices.Equal(kept, before) || one(t, backup, `PRAGMA user_version`) != "12" {
		t.Error("the copy is not the store as it was")
	}
	checkFile(t, old)
}

// TestComparisonPlans sees that a client is compared by indexes: no statement of
// alike.go reads all clients, or all that is kept of them.
func TestComparisonPlans(t *testing.T) {
	_, db := fresh(t)
	file, err := parser.ParseFile(token.NewFileSet(), "alike.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	ast.Inspect(file, func(n ast.Node) bool {
		e, ok := n.(ast.Expr)
		if !ok {
			return true
		}
		statement, ok := literal(e)
		if !ok || !strings.Contains(statement, "?") {
			return true
		}
		seen++
		args := make([]any, strings.Count(statement, "?"))
		for i := range args {
			args[i] = 1
		}
		for i := range 3 {
			if strings.Contains(statement, fmt.Sprintf("?%d", i+1)) {
				args = args[:i+1]
			}
		}
		for _, step := range plan(t, db, statement, args) {
			if growing.MatchString(step) {
				t.Errorf("%s in\n%s", step, statement)
			}
		}
		return false
	})
	if seen < 15 {
		t.Errorf("%d statements; the test no longer finds them", seen)
	}
}

// BenchmarkAlike asks who looks like one of 20,000 clients, and writes one; the
// baseline reads one.
func BenchmarkAlike(b *testing.B) {
	s, db := fresh(b)
	fillClients(b, db, 20_000)
	if _, err := s.Doubles(b.Context()); err != nil {
		b.Fatal(err)
	}
	at := at
	b.Run("alike", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			if _, err := s.Alike(b.Context(), fmt.Sprintf("C%d", i%20_000+1), 5); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("a page of doubles", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := s.DoublesPage(b.Context(), store.Span{Most: 50}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("write one", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			_, err := s.ChangeClient(b.Context(), fmt.Sprintf("C%d", i%20_000+1), func(c *enquiry.Client) error { c.Name += "x"; return nil }, at)
			if err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("baseline: read one", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			if _, err := s.Client(b.Context(), fmt.Sprintf("C%d", i%20_000+1)); err != nil {
				b.Fatal(err)
			}
		}
	})
}
