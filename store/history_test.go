package store_test

import (
	"strings"
	"testing"
)

func TestHistoryIsOnlyAddedTo(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, exampleBook(t), false)
	changed := exampleBook(t)
	changed.Ingredients[0].Prices = changed.Ingredients[0].Prices[1:]
	importBook(t, s, changed, true)
	before := one(t, db, `SELECT group_concat(resource || list || price || import, ' ') FROM (SELECT * FROM price ORDER BY resource, list, position)`)

	for _, test := range []struct{ statement, want string }{
		{`UPDATE price SET price = '1.00' WHERE resource = 'butter'`, "never change"},
		{`UPDATE price SET note = 'x'`, "never change"},
		{`DELETE FROM price WHERE resource = 'butter'`, "never deleted"},
		{`DELETE FROM price`, "never deleted"},
		{`INSERT OR REPLACE INTO price (resource, list, position, from_day, pack, price, import) VALUES ('egg', 1, 1, '2026-01-01', '1 each', '0.01', 1)`, "only added"},
		{`INSERT INTO price (resource, list, position, from_day, pack, price, import) VALUES ('butter', 1, 9, '2026-01-01', '1 kg', '0.01', 1)`, "open list"},
		{`UPDATE price_list SET closed_by = NULL WHERE resource = 'butter' AND number = 1`, "only be closed"},
		{`UPDATE price_list SET resource = 'lard' WHERE resource = 'egg'`, "only be closed"},
		{`UPDATE price_list SET closed_by = 1, opened_by = 2 WHERE resource = 'egg'`, "only be closed"},
		{`DELETE FROM price_list`, "never deleted"},
		{`INSERT OR REPLACE INTO price_list (resource, number, kind, opened_by) VALUES ('egg', 1, 'role', 1)`, "one open list"},
		{`UPDATE import SET file = 'x'`, "never changes"},
		{`DELETE FROM import`, "never deleted"},
		{`INSERT OR REPLACE INTO import VALUES (1, '', 'merge', '', 0, 0, 0, 0, 0)`, "never changes"},
	} {
		if _, err := db.Exec(test.statement); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s = %v, want a refusal with %q", test.statement, err, test.want)
		}
	}
	after := one(t, db, `SELECT group_concat(resource || list || price || import, ' ') FROM (SELECT * FROM price ORDER BY resource, list, position)`)
	check(t, "prices", after, before)

	// All three butter entries are still there; one counts.
	if got, want := one(t, db, `SELECT (SELECT count(*) FROM price WHERE resource = 'butter') || ' ' || (SELECT count(*) FROM price_now WHERE resource = 'butter')`), "3 1"; got != want {
		t.Errorf("butter prices ever and now: %s, want %s", got, want)
	}
}

// What leaves the book keeps its history, and starts afresh when it returns.
func TestHistoryOfWhatLeft(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, demoBook(t), false)
	all := one(t, db, `SELECT count(*) FROM price`)
	importBook(t, s, exampleBook(t), true) // it has no assistant
	if got := one(t, db, `SELECT count(*) FROM price WHERE import = 1`); got != all {
		t.Errorf("%s prices of the first book are left, want all %s", got, all)
	}
	importBook(t, s, demoBook(t), false)
	if got, want := one(t, db, `SELECT group_concat(number || ': ' || opened_by || ' to ' || coalesce(closed_by, 'now'), ', ') FROM price_list WHERE resource = 'assistant'`), "1: 1 to 2, 2: 3 to now"; got != want {
		t.Errorf("lists of the assistant's wages by import: %s, want %s", got, want)
	}
}
