package store_test

import (
	"database/sql"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestUpgrade opens files of every earlier schema: each is copied first, and
// becomes what a new file is.
func TestUpgrade(t *testing.T) {
	scripts, err := filepath.Glob("migrations/*.sql")
	if err != nil {
		t.Fatal(err)
	}
	_, newest := fresh(t)
	want := schema(t, newest)
	for version := 1; version < len(scripts); version++ {
		path := filepath.Join(t.TempDir(), "studio.db")
		db := older(t, path, version)
		if _, err := db.Exec(`INSERT INTO studio_term (position, text) VALUES (1, 'A date is held once the deposit is paid.')`); err != nil {
			t.Fatal(err)
		}
		old := schema(t, db)

		s := open(t, path)
		check(t, "upgraded schema", schema(t, db), want)
		if got := one(t, db, `SELECT text FROM studio_term`); got != "A date is held once the deposit is paid." {
			t.Errorf("the upgrade kept %q", got)
		}
		importBook(t, s, exampleBook(t), false)
		check(t, "book in an upgraded store", export(t, s), encode(t, exampleBook(t)))

		backup := raw(t, path+".schema-"+strconv.Itoa(version)+".backup")
		check(t, "schema of the copy", sorted(schema(t, backup)), sorted(old)) // VACUUM writes indexes last
		if got := one(t, backup, `SELECT text FROM studio_term`); got != "A date is held once the deposit is paid." {
			t.Errorf("the copy holds %q", got)
		}
		left, err := filepath.Glob(path + "*.part")
		if err != nil || len(left) > 0 {
			t.Errorf("left behind: %v %v", left, err)
		}
	}
}

// older makes a store of an earlier schema, empty, and leaves it open.
func older(t testing.TB, path string, version int) *sql.DB {
	t.Helper()
	scripts, err := filepath.Glob("migrations/*.sql")
	if err != nil {
		t.Fatal(err)
	}
	db := raw(t, path)
	for i, script := range scripts[:version] {
		text, err := os.ReadFile(script)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := db.Exec(string(text)); err != nil {
			t.Fatalf("migration %d: %v", i+1, err)
		}
	}
	if _, err := db.Exec(`PRAGMA application_id = 0x4d50414e; PRAGMA user_version = ` + strconv.Itoa(version)); err != nil {
		t.Fatal(err)
	}
	return db
}

// sorted returns statements in the order of their text.
func sorted(schema string) string {
	statements := strings.SplitAfter(schema, ";\n")
	slices.Sort(statements)
	return strings.Join(statements, "")
}

func TestUpgradeKeepsEarlierCopies(t *testing.T) {
	path := filepath.Join(t.TempDir(), "studio.db")
	older(t, path, 1)
	earlier := path + ".schema-1.backup"
	if err := os.WriteFile(earlier, []byte("an earlier copy"), 0o644); err != nil {
		t.Fatal(err)
	}
	open(t, path)
	if got, err := os.ReadFile(earlier); err != nil || string(got) != "an earlier copy" {
		t.Errorf("the earlier copy is now %.30q, %v", got, err)
	}
	if got := one(t, raw(t, earlier+"-2"), `PRAGMA user_version`); got != "1" {
		t.Errorf("the new copy has schema %s, want 1", got)
	}
}
