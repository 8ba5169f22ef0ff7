package document_test

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/seed"
	"marchpane/templates/document"
)

// sourced reads a table of testdata, one map a row.
func sourced(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{"from": r[len(r)-3] + " (" + r[len(r)-1] + ")"}
		for i, name := range rows[0] {
			m[name] = r[i]
		}
		list = append(list, m)
	}
	return list
}

// The legal lists: every entry under its official name, in the official order.
// Where ours differs, the row says why.
func TestLegalLists(t *testing.T) {
	m := document.MessagesFor("en")
	all := make([]string, 0, len(book.Allergens()))
	for _, a := range book.Allergens() {
		all = append(all, string(a))
	}
	want := map[string][]string{}
	source := map[string]string{}
	for _, r := range sourced(t, "testdata/allergens.csv") {
		if r["ours"] != r["official_name"] && r["reason"] == "" {
			t.Errorf("%s, %s: ours is %s, without a reason", r["lists"], r["official_name"], r["ours"])
		}
		for list := range strings.FieldsSeq(r["lists"]) {
			want[list] = append(want[list], strings.Split(r["ours"], ", ")...)
			source[list] = r["from"]
			// Each food of the entry is printed under it, and under no other name.
			for word := range strings.FieldsSeq(r["words"]) {
				got := entryNames(document.AllergenStatement(m, list, []string{word}, nil).Facts[0].Value)
				under := false
				for _, name := range got {
					under = under || slices.Contains(strings.Split(r["ours"], ", "), name)
				}
				if !under {
					t.Errorf("%s: %s is printed under %q, want %s by %s", list, word, got, r["ours"], r["from"])
				}
			}
		}
	}
	if len(want) != len(book.AllergenLists()) {
		t.Errorf("%d lists have a source, want %d", len(want), len(book.AllergenLists()))
	}
	for list, names := range want {
		got := entryNames(document.AllergenStatement(m, list, all, nil).Facts[0].Value)
		// Canada's crustaceans and molluscs, gluten sources beside wheat: in the
		// order of the rows.
		if !slices.Equal(got, names) {
			t.Errorf("%s: the list reads\n%q, want\n%q by %s", list, got, names, source[list])
		}
	}
}

// entryNames takes the foods in brackets and what is outside the list off a
// statement.
func entryNames(statement string) []string {
	statement, _, _ = strings.Cut(statement, "; also: ")
	if strings.HasPrefix(statement, "also: ") {
		return nil
	}
	var names []string
	depth := 0
	name := ""
	for _, r := range statement + "," {
		switch {
		case r == '(':
			depth++
		case r == ')':
			depth--
		case r == ',' && depth == 0:
			names = append(names, strings.TrimSpace(name))
			name = ""
		case depth == 0:
			name += string(r)
		}
	}
	return names
}

// The only figures of food safety that are printed are those of a source; the
// cautions of a quotation print none and send the reader on.
func TestFoodSafetyFigures(t *testing.T) {
	note := document.EnglishProduction().ColdNote
	printed := 0
	for _, r := range sourced(t, "testdata/food_safety.csv") {
		if r["printed"] == "" {
			continue
		}
		printed++
		if !strings.Contains(note, r["printed"]) {
			t.Errorf("the note on the cold does not say %s, want it by %s: %s", r["printed"], r["from"], note)
		}
		note = strings.ReplaceAll(note, r["printed"], "")
	}
	if printed != 2 || strings.ContainsAny(note, "0123456789") {
		t.Errorf("the note on the cold has figures without a source: %s", note)
	}
	words := document.EnglishProduction()
	for _, text := range []string{words.HotSugar, words.RawEgg, words.KeepingNote} {
		if strings.ContainsAny(text, "0123456789") {
			t.Errorf("a caution has a figure without a source: %s", text)
		}
	}
	for _, language := range document.Languages() {
		for flag, text := range document.MessagesFor(language).Caution {
			if strings.ContainsAny(text, "0123456789") {
				t.Errorf("%s: the caution on %s has a figure without a source: %s", language, flag, text)
			}
		}
	}
}

// What the law wants of a VAT invoice is the nearest published list of what a
// quotation should hold; none is about quotations.
func TestInvoiceContents(t *testing.T) {
	d := document.FromQuote(priced(t, seed.Studio(), seed.WeddingRequest()))
	whole, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	text := paperText(d) + string(whole)
	holds := map[string][]string{
		"number":      {"2026-0001"},
		"date":        {"25 November 2026"},
		"event date":  {"12 June 2027"},
		"studio":      {"Quillwort Cake Studio", "Unit 4, The Old Saltworks", "VAT no. IE0000000XX"},
		"tax number":  {"VAT no. IE0000000XX"},
		"client":      {"Zoë Šimková and Cormac Devane"},
		"lines":       {"Three-tier wedding cake", "Delivery and set-up"},
		"quantities":  {"| 1 |"},
		"rate":        {"13.5%"},
		"net by rate": {d.Tax.Lines[0].Net},
		"tax by rate": {d.Tax.Lines[0].Tax},
		"net tax and total": {d.Tax.Lines[0].Net, d.Tax.Lines[0].Tax,
			d.Prices.Total.Value},
	}
	for _, r := range sourced(t, "testdata/invoice.csv") {
		where := r["on_a_quotation"]
		if strings.HasPrefix(where, "left out: ") {
			continue
		}
		parts, ok := []string{where}, true
		if where == "studio client" || where == "lines quantities" {
			parts = strings.Fields(where)
		}
		for _, part := range parts {
			var wanted []string
			if wanted, ok = holds[part]; !ok {
				t.Errorf("%s: nothing checks %q", r["content"], part)
			}
			for _, w := range wanted {
				if w == "" || !strings.Contains(text, w) {
					t.Errorf("the quotation does not hold %q: %s (%s, point %s, by %s)", w, r["content"], r["jurisdiction"], r["order"], r["from"])
				}
			}
		}
	}
}
