package store_test

import (
	"database/sql"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write schema.sql afresh from the migrations")

// TestSchema keeps schema.sql what the migrations make.
func TestSchema(t *testing.T) {
	_, db := fresh(t)
	got := schema(t, db)
	if *update {
		if err := os.WriteFile("schema.sql", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("schema.sql")
	if err != nil {
		t.Fatal(err)
	}
	check(t, "schema.sql (-update writes it afresh)", got, string(want))
}

// schema returns the statements that make a file's schema, in the order in
// which they were run.
func schema(t *testing.T, db *sql.DB) string {
	t.Helper()
	text := "-- The schema that the migrations make. Written by the tests with -update; change it by adding a migration.\n"
	text += "PRAGMA application_id = " + one(t, db, `PRAGMA application_id`) + ";\nPRAGMA user_version = " + one(t, db, `PRAGMA user_version`) + ";\n"
	rows, err := db.Query(`SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY rowid`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var statement string
		if err := rows.Scan(&statement); err != nil {
			t.Fatal(err)
		}
		text += "\n" + statement + ";\n"
	}
	return text
}

// TestTables checks what every table promises: strict types, and none that
// would turn a figure into a floating number. The indexes of letters are kept in
// tables of SQLite's own making.
func TestTables(t *testing.T) {
	_, db := fresh(t)
	if got := one(t, db, `SELECT coalesce(group_concat(name), '') FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND NOT strict AND name NOT LIKE 'sqlite%'`); got != "" {
		t.Errorf("tables that are not STRICT: %s", got)
	}
	if got := one(t, db, `SELECT coalesce(group_concat(m.name || '.' || c.name || ' ' || c.type), '') FROM sqlite_schema m, pragma_table_info(m.name) c
		WHERE m.type = 'table' AND m.name NOT IN (SELECT name FROM pragma_table_list WHERE type IN ('virtual', 'shadow')) AND c.type NOT IN ('TEXT', 'INTEGER') AND (m.name, c.name) <> ('picture', 'bytes')`); got != "" {
		t.Errorf("columns that are neither TEXT nor INTEGER, but for the bytes of pictures: %s", got)
	}
}

// TestStatements prepares every statement in the package's source against a
// migrated file, so that none waits for its first use to fail.
func TestStatements(t *testing.T) {
	_, db := fresh(t)
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	verb := regexp.MustCompile(`^\s*(SELECT|INSERT|UPDATE|DELETE|WITH) `)
	prepared := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			e, ok := n.(ast.Expr)
			if !ok {
				return true
			}
			statement, ok := literal(e)
			if !ok {
				return true
			}
			if verb.MatchString(statement) {
				prepared++
				stmt, err := db.Prepare(statement)
				if err != nil {
					t.Errorf("%s: %s: %v", name, statement, err)
				} else {
					stmt.Close()
				}
			}
			return false
		})
	}
	if prepared < 40 {
		t.Errorf("found %d statements; the test no longer finds them", prepared)
	}
}

// literal returns the text of a string literal, or of a sum that begins with
// one; what is put in at run time is a list of ids.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		s, err := strconv.Unquote(e.Value)
		return s, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		left, ok := literal(e.X)
		if !ok || e.Op != token.ADD {
			return "", false
		}
		right, ok := literal(e.Y)
		if !ok {
			right = "(NULL)"
		}
		return left + right, true
	}
	return "", false
}

// checkFile asks SQLite whether the file is sound, through the driver and,
// where it is installed, through the sqlite3 program.
func checkFile(t testing.TB, db *sql.DB) {
	t.Helper()
	if got := one(t, db, `PRAGMA integrity_check`); got != "ok" {
		t.Errorf("integrity_check: %s", got)
	}
	rows, err := db.Query(`PRAGMA foreign_key_check`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	if rows.Next() {
		t.Error("foreign_key_check finds rows that name what is not there")
	}
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		return
	}
	var path string
	if err := db.QueryRow(`SELECT file FROM pragma_database_list WHERE name = 'main'`).Scan(&path); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "-readonly", path, "PRAGMA integrity_check; PRAGMA foreign_key_check").CombinedOutput()
	if err != nil || string(out) != "ok\n" {
		t.Errorf("sqlite3 finds %s (%v)", out, err)
	}
}
