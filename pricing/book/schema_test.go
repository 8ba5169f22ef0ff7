package book_test

import (
	"bytes"
	"os"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"marchpane/pricing/book"
)

// TestSchemaAgrees holds the schema against a general-purpose validator of
// JSON Schema (draft 2020-12): it accepts the example book, and refuses what
// the program refuses for its form.
func TestSchemaAgrees(t *testing.T) {
	text, err := book.Schema()
	if err != nil {
		t.Fatal(err)
	}
	schema := compile(t, text)
	example, err := os.ReadFile("../testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := check(t, schema, example); err != nil {
		t.Errorf("the example book is refused by the schema: %v", err)
	}
	for _, change := range []struct{ name, from, to string }{
		{"unknown key", `"household"`, `"houshold"`},
		{"missing key", `"name": "Lemon curd", `, ``},
		{"exponent in a price", `"21.40"`, `"1e999999"`},
		{"unknown unit", `"160 ml"`, `"160 mls"`},
		{"figure without quotes", `"valid_days": 30`, `"valid_days": "30"`},
		{"two targets", `{"margin": "55 %"}`, `{"margin": "55 %", "fixed": "10"}`},
		{"loss with yield", `"loss": "6 %"`, `"loss": "6 %", "yield": "500 g"`},
		{"two ways", `"coat": "4 mm"`, `"coat": "4 mm", "qty": "4 g"`},
		{"unknown shape", `"shape": "round"`, `"shape": "oval"`},
		{"size of another shape", `"diameter": "225 mm"`, `"side": "225 mm"`},
		{"unknown allergen", `["milk"]`, `["dairy"]`},
		{"a mould of nothing", `"mould": {"shape": "round", "diameter": "20 cm", "height": "50 mm"}`, `"mould": {"shape": "round", "diameter": "20 cm"}`},
		{"a tin without a shape", `"cakes": [`, `"tins": [{"id": "a", "holds": "1 l"}], "cakes": [`},
		{"a tin without its size", `"cakes": [`, `"tins": [{"id": "a", "shape": "round", "side": "20 cm"}], "cakes": [`},
		{"bad date", `"2026-01-10"`, `"10.1.2026"`},
	} {
		changed := bytes.Replace(example, []byte(change.from), []byte(change.to), 1)
		if bytes.Equal(changed, example) {
			t.Errorf("%s: nothing changed", change.name)
		}
		if check(t, schema, changed) == nil {
			t.Errorf("%s: the schema accepts it", change.name)
		}
		if _, err := book.Parse(changed); err == nil {
			t.Errorf("%s: the program accepts it", change.name)
		}
	}
}

func compile(t *testing.T, text []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("book.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("book.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func check(t *testing.T, s *jsonschema.Schema, data []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(doc)
}
