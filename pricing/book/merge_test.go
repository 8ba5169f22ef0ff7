package book_test

import (
	"bytes"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/internal/randombook"
)

func read(t testing.TB, text string) book.Book {
	t.Helper()
	b, err := book.Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func encode(t testing.TB, b book.Book) string {
	t.Helper()
	text, err := book.Encode(b)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

const (
	butterOld = `{"id": "butter", "name": "Butter", "measure": "mass", "density": "0.911 g/ml", "prices": [{"from": "2026-01-01", "pack": "1 kg", "price": "8.00"}]}`
	sugar     = `{"id": "sugar", "name": "Sugar", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 kg", "price": "1.20"}]}`
)

// TestMerge lays one file over a base and compares the whole book.
func TestMerge(t *testing.T) {
	base := with(`"ingredients": [` + butterOld + `,` + sugar + `], "roles": [{"id": "r", "name": "R", "on_cost": "5 %", "wage": [{"from": "2026-01-01", "per_hour": "16"}]}],
		"overhead": {"method": "labour hour", "hours": "100 h", "dated": [{"from": "2026-01-01", "amount": "900"}]}, "energy": [{"from": "2026-01-01", "price": "0.3"}],
		"components": [{"id": "c", "name": "C", "lines": [{"use": "butter", "qty": "1 g"}]}], "cakes": [{"id": "k", "name": "K", "portions": 1, "parts": [{"use": "c", "qty": "1 g"}]}], "extras": [{"id": "e", "name": "E", "price": "5"}]`)
	for _, c := range []struct {
		name, file, want string
		changes          book.Changes
	}{
		{"an empty file changes the studio alone", strings.Replace(bare, `"name": "S"`, `"name": "New"`, 1), strings.Replace(base, `"name": "S"`, `"name": "New"`, 1), book.Changes{}},
		{"new objects go last", with(`"ingredients": [` + strings.Replace(sugar, "sugar", "treacle", 1) + `]`),
			strings.Replace(base, sugar, sugar+","+strings.Replace(sugar, "sugar", "treacle", 1), 1), book.Changes{Added: 1}},
		{"an object is replaced whole where it stands; its prices are added to",
			with(`"ingredients": [{"id": "butter", "name": "Salted butter", "measure": "mass", "prices": [{"from": "2026-09-01", "pack": "1 kg", "price": "9.50"}]}]`),
			strings.Replace(base, butterOld, `{"id": "butter", "name": "Salted butter", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 kg", "price": "8.00"}, {"from": "2026-09-01", "pack": "1 kg", "price": "9.50"}]}`, 1),
			book.Changes{Changed: 1, Prices: 1}},
		{"a price equal in every key is not added again", with(`"ingredients": [` + sugar + `]`), base, book.Changes{Same: 1}},
		{"a price that differs in one key is added", with(`"ingredients": [` + strings.Replace(sugar, `"price": "1.20"`, `"price": "1.20", "note": "n"`, 1) + `]`),
			strings.Replace(base, sugar, strings.Replace(sugar, `"1.20"}`, `"1.20"}, {"from": "2026-01-01", "pack": "1 kg", "price": "1.20", "note": "n"}`, 1), 1), book.Changes{Changed: 1, Prices: 1}},
		{"an object without prices keeps those of the book", with(`"ingredients": [` + strings.Replace(sugar, `{"from": "2026-01-01", "pack": "1 kg", "price": "1.20"}`, "", 1) + `]`), base, book.Changes{Same: 1}},
		{"wages are added, the rest of a role replaced", with(`"roles": [{"id": "r", "name": "R", "wage": [{"from": "2026-09-01", "per_hour": "17"}]}]`),
			strings.Replace(base, `"on_cost": "5 %", "wage": [{"from": "2026-01-01", "per_hour": "16"}]`, `"wage": [{"from": "2026-01-01", "per_hour": "16"}, {"from": "2026-09-01", "per_hour": "17"}]`, 1), book.Changes{Changed: 1, Prices: 1}},
		{"energy is added to", with(`"energy": [{"from": "2026-01-01", "price": "0.3"}, {"from": "2026-09-01", "price": "0.4"}]`),
			strings.Replace(base, `"price": "0.3"}`, `"price": "0.3"}, {"from": "2026-09-01", "price": "0.4"}`, 1), book.Changes{Prices: 1}},
		{"overhead of one method is added to and its hours replaced", with(`"overhead": {"method": "labour hour", "hours": "120 h", "dated": [{"from": "2026-09-01", "amount": "950"}]}`),
			strings.Replace(base, `"hours": "100 h", "dated": [{"from": "2026-01-01", "amount": "900"}]`, `"hours": "120 h", "dated": [{"from": "2026-01-01", "amount": "900"}, {"from": "2026-09-01", "amount": "950"}]`, 1), book.Changes{Prices: 1}},
		{"overhead of another method starts afresh", with(`"overhead": {"method": "cake", "dated": [{"from": "2026-01-01", "amount": "9"}]}`),
			strings.Replace(base, `{"method": "labour hour", "hours": "100 h", "dated": [{"from": "2026-01-01", "amount": "900"}]}`, `{"method": "cake", "dated": [{"from": "2026-01-01", "amount": "9"}]}`, 1), book.Changes{}},
		{"a use may name what only the book has", with(`"cakes": [{"id": "k", "name": "K2", "portions": 1, "parts": [{"use": "sugar", "qty": "1 g"}, {"use": "c", "qty": "2 g"}]}]`),
			strings.Replace(base, `{"id": "k", "name": "K", "portions": 1, "parts": [{"use": "c", "qty": "1 g"}]}`, `{"id": "k", "name": "K2", "portions": 1, "parts": [{"use": "sugar", "qty": "1 g"}, {"use": "c", "qty": "2 g"}]}`, 1), book.Changes{Changed: 1}},
		{"an extra loses what its file leaves out", with(`"extras": [{"id": "e", "name": "E"}]`), strings.Replace(base, `"name": "E", "price": "5"`, `"name": "E"`, 1), book.Changes{Changed: 1}},
	} {
		old, file := read(t, base), read(t, c.file)
		oldText, fileText := encode(t, old), encode(t, file)
		merged, changes, err := book.Merge(old, file)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got, want := encode(t, merged), encode(t, read(t, c.want)); got != want {
			t.Errorf("%s: Merge = %s\nwant %s", c.name, got, want)
		}
		if changes != c.changes {
			t.Errorf("%s: %+v, want %+v", c.name, changes, c.changes)
		}
		if encode(t, old) != oldText || encode(t, file) != fileText {
			t.Errorf("%s: Merge changed its arguments", c.name)
		}
	}
}

// A fault has its path in the file; one that the file causes in an object that
// only the book has says so.
func TestMergeFaults(t *testing.T) {
	base := with(`"ingredients": [` + butterOld + `,` + sugar + `], "cakes": [{"id": "k", "name": "K", "portions": 1, "parts": [{"use": "butter", "qty": "1 ml"}]}]`)
	for _, c := range []struct{ name, file, paths string }{
		{"a dangling use", with(`"cakes": [{"id": "new", "name": "N", "portions": 1, "parts": [{"use": "butter", "qty": "1 g"}, {"use": "none", "qty": "1 g"}]}]`), "cakes[0].parts[1].use"},
		{"a bad object that replaces one", with(`"ingredients": [` + strings.Replace(sugar, `"Sugar"`, `""`, 1) + `]`), "ingredients[0].name"},
		{"a density that goes from under a cake", with(`"ingredients": [` + strings.Replace(butterOld, `"density": "0.911 g/ml", `, "", 1) + `]`), "store:cakes[0].parts[0].qty"},
		{"one id twice in the file", with(`"ingredients": [` + sugar + "," + sugar + `]`), "ingredients[1].id"},
		{"an id of another kind in the book", with(`"components": [{"id": "sugar", "name": "S", "lines": [], "yield": "1 g"}]`), "components[0].id"},
		{"another format", strings.Replace(bare, "book/1", "book/9", 1), "format"},
	} {
		if _, _, err := book.Merge(read(t, base), read(t, c.file)); faultPaths(err) != c.paths {
			t.Errorf("%s: faults at %s, want %s\n%v", c.name, faultPaths(err), c.paths, err)
		}
	}
}

// A component of the file and one of the book can close a cycle together.
func TestMergeClosesACycle(t *testing.T) {
	base := with(`"ingredients": [` + sugar + `], "components": [{"id": "a", "name": "A", "lines": [{"use": "sugar", "qty": "1 g"}]}, {"id": "b", "name": "B", "lines": [{"use": "a", "qty": "1 g"}]}]`)
	_, _, err := book.Merge(read(t, base), read(t, with(`"components": [{"id": "a", "name": "A", "lines": [{"use": "b", "qty": "1 g"}]}]`)))
	if err == nil || !strings.Contains(err.Error(), "a → b → a") {
		t.Errorf("a cycle through the book: %v, want it printed", err)
	}
}

// TestMergeLaws: a book laid over itself, and over nothing, is the book.
func TestMergeLaws(t *testing.T) {
	empty := read(t, bare)
	for seed := range uint64(40) {
		text := randombook.New(seed).Book()
		b := read(t, string(text))
		same, changes, err := book.Merge(b, b)
		if err != nil || encode(t, same) != encode(t, b) || changes.Added+changes.Changed+changes.Prices > 0 {
			t.Fatalf("seed %d: a book laid over itself changes: %+v, %v", seed, changes, err)
		}
		whole, changes, err := book.Merge(empty, b)
		if err != nil || !bytes.Equal([]byte(encode(t, whole)), []byte(encode(t, b))) || changes.Changed+changes.Same > 0 {
			t.Fatalf("seed %d: a book laid over nothing is another: %+v, %v", seed, changes, err)
		}
	}
}
