package store_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/store"
)

// TestRestore: a copy brings back what was, quotes too, to whoever has the
// store open; what it replaces is kept.
func TestRestore(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-25"), at); err != nil {
		t.Fatal(err)
	}
	watch, err := s.Watch(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { watch.Close() })
	another := open(t, s.Path())
	backup := filepath.Join(t.TempDir(), "backup.db")
	if err := s.CopyTo(t.Context(), backup); err != nil {
		t.Fatal(err)
	}
	want := encoded(t, s)

	if _, err := s.Edit(t.Context(), "test", at, func(b book.Book) (book.Book, error) { b.Studio.Name = "Another name"; return b, nil }); err != nil {
		t.Fatal(err)
	}
	if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-26"), at); err != nil {
		t.Fatal(err)
	}
	before, err := watch.Edition(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	aside, err := s.Restore(t.Context(), backup, at)
	if err != nil {
		t.Fatalf("Restore = %v", err)
	}
	for who, of := range map[string]*store.Store{"who restored": s, "who had it open too": another} {
		if encoded(t, of) != want {
			t.Errorf("%s does not see the book of the backup", who)
		}
		quotes, err := of.Quotes(t.Context(), day.Must("2026-11-25"))
		if err != nil || len(quotes) != 1 {
			t.Errorf("%s sees %d quotes, %v, want 1", who, len(quotes), err)
		}
	}
	if now, err := watch.Edition(t.Context()); err != nil || now.Book <= before.Book {
		t.Errorf("the edition went from %v to %v, %v; it has to rise", before, now, err)
	}
	if got := one(t, raw(t, s.Path()), `PRAGMA journal_mode`); got != "wal" {
		t.Errorf("journal_mode = %s after a restore, want wal", got)
	}
	kept := open(t, aside)
	if b, err := kept.Book(t.Context()); err != nil || b.Studio.Name != "Another name" {
		t.Errorf("what was kept aside is of %q, %v", b.Studio.Name, err)
	}
	if _, err := s.IssueQuote(t.Context(), wedding(t, "2026-11-27"), at); err != nil {
		t.Errorf("a quote after the restore: %v", err)
	}
}

func encoded(t *testing.T, s *store.Store) string {
	t.Helper()
	b, err := s.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	text, err := book.Encode(b)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestRestoreRefuses: what is no sound store of ours changes nothing.
func TestRestoreRefuses(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	want := encoded(t, s)
	folder := t.TempDir()
	copied := func(name string) string {
		path := filepath.Join(folder, name)
		if err := s.CopyTo(t.Context(), path); err != nil {
			t.Fatal(err)
		}
		return path
	}
	written := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	changed := func(name, query string) string {
		path := copied(name)
		if _, err := raw(t, path).Exec(query); err != nil {
			t.Fatal(err)
		}
		return path
	}
	damaged := copied("damaged.db")
	data, err := os.ReadFile(damaged)
	if err != nil {
		t.Fatal(err)
	}
	for i := len(data) / 2; i < len(data)*3/4; i++ {
		data[i] = 0xa5
	}
	for _, c := range []struct{ path, want string }{
		{written("empty.db", ""), "no store of marchpane"},
		{written("text.db", strings.Repeat("a price list\n", 100)), "no store of marchpane"},
		{changed("other.db", `PRAGMA application_id = 7`), "no store of marchpane"},
		{changed("newer.db", `PRAGMA user_version = 9999`), "newer marchpane"},
		{changed("trigger.db", `CREATE TRIGGER late AFTER INSERT ON import BEGIN DELETE FROM price; END`), "trigger late"},
		{changed("lacks.db", `DROP TABLE letter`), "lacks table letter"},
		{changed("orphan.db", `PRAGMA foreign_keys = OFF; PRAGMA defer_foreign_keys = ON; DELETE FROM ingredient WHERE id = 'butter'`), "damaged"},
		{written("damaged2.db", string(data)), ""},
		{filepath.Join(folder, "missing.db"), ""},
	} {
		_, err := s.Restore(t.Context(), c.path, at)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Restore(%s) = %v, want an error with %q", filepath.Base(c.path), err, c.want)
		}
	}
	if encoded(t, s) != want {
		t.Error("a refused backup changed the store")
	}
	if found, _ := filepath.Glob(s.Path() + ".before-restore*"); len(found) > 0 {
		t.Errorf("a refused backup left %v", found)
	}
	if _, err := os.Stat(s.Path()); errors.Is(err, os.ErrNotExist) {
		t.Error("the store is gone")
	}
}

// TestRestoreKeepsThePassphrase: whoever could open the pages before can after,
// and nobody else, whatever the backup was made with.
func TestRestoreKeepsThePassphrase(t *testing.T) {
	const early, late = "$argon2id$v=19$m=8,t=1,p=1$early", "$argon2id$v=19$m=8,t=1,p=1$late"
	s, _ := fresh(t)
	importBook(t, s, exampleBook(t), false)
	for _, c := range []struct{ name, inBackup, here string }{
		{"another was set since", early, late}, {"none was asked then", "", late}, {"none is asked now", early, ""},
	} {
		set := func(hash string) {
			t.Helper()
			if err := s.SetPassphrase(t.Context(), hash, at); err != nil {
				t.Fatal(err)
			}
		}
		set(c.inBackup)
		backup := filepath.Join(t.TempDir(), "backup.db")
		if err := s.CopyTo(t.Context(), backup); err != nil {
			t.Fatal(err)
		}
		set(c.here)
		if _, err := s.Restore(t.Context(), backup, at); err != nil {
			t.Fatalf("%s: Restore = %v", c.name, err)
		}
		if got, there, err := s.Passphrase(t.Context()); err != nil || got != c.here || there != (c.here != "") {
			t.Errorf("%s: the passphrase is %q, %v, want %q", c.name, got, err, c.here)
		}
		if left, _ := filepath.Glob(backup + ".*"); len(left) > 0 {
			t.Errorf("%s: %v is left over", c.name, left)
		}
	}
}

// TestExamineOlder: a backup of an earlier schema is brought up to date; one that
// holds what no store ever had runs nothing of it while it is looked at.
func TestExamineOlder(t *testing.T) {
	written := func(more string) string {
		path := filepath.Join(t.TempDir(), "older.db")
		if _, err := older(t, path, 1).Exec(more); err != nil {
			t.Fatal(err)
		}
		return path
	}
	s, err := store.Examine(t.Context(), written(`INSERT INTO studio_term (position, text) VALUES (1, 'Paid in full before the day.')`))
	if err != nil {
		t.Fatalf("Examine of an older store = %v", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	// Counting to the end of this would take years.
	path := written(`INSERT INTO studio_term (position, text) VALUES (1, 'x');
		CREATE TABLE ours (n); CREATE TRIGGER late AFTER UPDATE ON studio_term BEGIN INSERT INTO ours VALUES (1); END;
		CREATE VIEW endless AS WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT count(*) AS many FROM n`)
	if _, err := store.Examine(t.Context(), path); err == nil || !strings.Contains(err.Error(), "which no store of this program has") {
		t.Errorf("Examine of an older store with more in it = %v, want a refusal", err)
	}
	if left, _ := filepath.Glob(path + ".*"); len(left) > 0 {
		t.Errorf("it was brought up to date first: %v", left)
	}
}
