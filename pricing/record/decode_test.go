package record_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// shelf is a record with one of every kind of value.
type shelf struct {
	Name   string                        `json:"name"`
	Qty    measure.Quantity              `json:"qty,omitzero"`
	Share  record.Maybe[measure.Percent] `json:"share,omitzero"`
	Note   record.Maybe[string]          `json:"note,omitzero"`
	Open   record.Maybe[bool]            `json:"open,omitzero"`
	Count  record.Maybe[int]             `json:"count,omitzero"`
	Box    *box                          `json:"box,omitempty"`
	Lines  []line                        `json:"lines,omitempty"`
	Words  []string                      `json:"words,omitempty"`
	Hidden string                        `json:"-"`
	Embedded
}

type box struct {
	Size measure.Quantity `json:"size"`
}

type line struct {
	Use string `json:"use"`
	N   int    `json:"n,omitzero"`
}

// Embedded adds its keys to those of the record that embeds it.
type Embedded struct {
	Side measure.Quantity `json:"side,omitzero"`
}

func decode(text string) (shelf, record.Faults) {
	var s shelf
	faults := record.Decode([]byte(text), &s)
	return s, faults
}

func TestDecode(t *testing.T) {
	s, faults := decode("\ufeff" + `{"name": "A", "qty": "2.50 kg", "share": "0 %", "note": "", "open": false, "count": 0, "box": {"size": "1 l"},
		"lines": [{"use": "a", "n": 3}, {"use": "b"}], "words": [], "side": "3 cm"}`)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	if s.Name != "A" || s.Qty.String() != "2.50 kg" || !s.Share.Given || !s.Note.Given || !s.Open.Given || s.Open.Value || !s.Count.Given || s.Box.Size.String() != "1 l" ||
		len(s.Lines) != 2 || s.Lines[0].N != 3 || s.Words == nil || s.Side.String() != "3 cm" {
		t.Errorf("Decode = %+v", s)
	}
	if s, faults = decode(`{"name": "A"}`); len(faults) > 0 || s.Share.Given || s.Qty.Given() || s.Box != nil || s.Count.Or(7) != 7 {
		t.Errorf("Decode of a name alone = %+v, %v", s, faults)
	}
}

// TestNormalises: an accent typed in two ways is one text (Unicode Standard
// Annex 15, form C), and other spaces stay what they are.
func TestNormalises(t *testing.T) {
	for in, want := range map[string]string{"Cre\u0301me": "Cr\u00e9me", "a\u00a0b": "a\u00a0b", "line\\nbreak\\ttab": "line\nbreak\ttab"} {
		if s, faults := decode(`{"name": "` + in + `"}`); len(faults) > 0 || s.Name != want {
			t.Errorf("Decode(%q) = %q, %v, want %q", in, s.Name, faults, want)
		}
	}
}

// TestFaults reads one bad file each and wants the faults at these paths, all
// of them and no others.
func TestFaults(t *testing.T) {
	for _, c := range []struct{ text, paths string }{
		{`{}`, "name"},
		{`{"name": 5}`, "name"},
		{`{"name": null}`, "name"},
		{`{"name": ["A"]}`, "name"},
		{`{"name": "A", "nmae": "B"}`, "nmae"},
		{`{"name": "A", "Name": "B"}`, "Name"},
		{`{"name": "A", "Hidden": "B"}`, "Hidden"},
		{`{"name": "A", "-": "B"}`, "-"},
		{`{"name": "A", "": "B"}`, `""`},
		{`{"name": "A", "a b": "B"}`, `"a b"`},
		{`{"name": "A", "name": "B"}`, "name"},
		{`{"name": "A", "box": {"size": "1 l", "size": "1 l"}}`, "box.size"},
		{`{"name": "A", "qty": "2.5kg"}`, "qty"},
		{`{"name": "A", "qty": 2.5}`, "qty"},
		{`{"name": "A", "qty": ""}`, "qty"},
		{`{"name": "A", "qty": null}`, "qty"},
		{`{"name": "A", "share": "5"}`, "share"},
		{`{"name": "A", "share": 5}`, "share"},
		{`{"name": "A", "share": {"Value": "5 %"}}`, "share"},
		{`{"name": "A", "open": "true"}`, "open"},
		{`{"name": "A", "open": 1}`, "open"},
		{`{"name": "A", "count": "3"}`, "count"},
		{`{"name": "A", "count": 3.0}`, "count"},
		{`{"name": "A", "count": 3.5}`, "count"},
		{`{"name": "A", "count": -1}`, "count"},
		{`{"name": "A", "count": -0}`, "count"},
		{`{"name": "A", "count": 1e3}`, "count"},
		{`{"name": "A", "count": 1e999999}`, "count"},
		{`{"name": "A", "count": 1000001}`, "count"},
		{`{"name": "A", "count": 99999999999999999999999}`, "count"},
		{`{"name": "A", "box": []}`, "box"},
		{`{"name": "A", "box": null}`, "box"},
		{`{"name": "A", "box": {}}`, "box.size"},
		{`{"name": "A", "lines": {}}`, "lines"},
		{`{"name": "A", "lines": null}`, "lines"},
		{`{"name": "A", "lines": ["a"]}`, "lines[0]"},
		{`{"name": "A", "lines": [{"use": "a"}, {"n": "x", "m": 1}]}`, "lines[1].n lines[1].m lines[1].use"},
		{`{"name": "A", "words": ["a", 2, "c", true]}`, "words[1] words[3]"},
		{`{"name": "a\u0000b"}`, "name"},
		{`{"name": "a\u001bb", "note": "a\u0085b"}`, "name note"},
		{`{"name": "` + strings.Repeat("x", 20_001) + `"}`, "name"},
		// Everything at once.
		{`{"nmae": 1, "qty": "x", "share": "y", "open": 0, "count": "z", "box": {"siez": 1}, "lines": [{}, 3], "words": 4, "side": "5"}`,
			"nmae qty share open count box.siez box.size lines[0].use lines[1] words side name"},
		// The file as a whole.
		{``, "-"}, {`   `, "-"}, {`{`, "-"}, {`{"name": "A"`, "-"}, {`{"name": "A",}`, "-"}, {`{'name': "A"}`, "-"}, {`{name: "A"}`, "-"}, {`{"name": "A"} {}`, "-"}, {`{"name": "A"}]`, "-"},
		{`{"name": "A" "qty": "1 g"}`, "-"}, {`// a note` + "\n" + `{"name": "A"}`, "-"}, {`{"name": tru}`, "-"}, {`{"name": NaN}`, "-"}, {"{\"name\": \"\xff\"}", "-"}, {"\xff\xfe{\x00}\x00", "-"},
		{`[]`, "-"}, {`"A"`, "-"}, {`5`, "-"}, {`null`, "-"}, {`{"name": "a` + "\n" + `b"}`, "-"},
	} {
		_, faults := decode(c.text)
		paths := make([]string, len(faults))
		for i, f := range faults {
			if paths[i] = f.Path; f.Path == "" {
				paths[i] = "-"
			}
			if f.Problem == "" || strings.HasPrefix(f.Problem, "json:") || len(f.String()) > 600 {
				t.Errorf("Decode(%.60q): the fault at %q says %.80q", c.text, f.Path, f.Problem)
			}
		}
		if got := strings.Join(paths, " "); got != c.paths {
			t.Errorf("Decode(%.80q) has faults at %s, want %s\n%s", c.text, got, c.paths, faults)
		}
	}
}

// A fault of syntax has its line and column; of a file cut off, those of the
// last thing that stands in it.
func TestSyntaxPosition(t *testing.T) {
	for text, want := range map[string]string{"{\n  \"name\": \"A\",\n  oops\n}": "line 3, column ", "{\n  \"name\": \"A\",\n": "line 2, column ", "": "line 1, column 1: the file ends"} {
		if _, faults := decode(text); len(faults) != 1 || !strings.HasPrefix(faults[0].Problem, want) {
			t.Errorf("Decode(%q): %v, want one fault at %s", text, faults, want)
		}
	}
}

// Hostile files end soon, with one fault.
func TestHostile(t *testing.T) {
	deep := func(open, shut string, n int) string { return strings.Repeat(open, n) + strings.Repeat(shut, n) }
	for name, text := range map[string]string{
		"5 MB of [":             strings.Repeat("[", 5<<20),
		"5 MB of {\"a\":":       strings.Repeat(`{"a":`, 1<<20),
		"lists 100,000 deep":    deep("[", "]", 100_000),
		"40 lists in an object": `{"name": "A", "x": ` + deep("[", "]", 40) + `}`,
		"65 MB":                 `{"name": "` + strings.Repeat("x", 65<<20) + `"}`,
		"1e999999 as a file":    "1e999999",
	} {
		start := time.Now()
		if _, faults := decode(text); len(faults) != 1 {
			t.Errorf("%s: %d faults, want 1", name, len(faults))
		}
		if took := time.Since(start); took > 3*time.Second {
			t.Errorf("%s took %s", name, took)
		}
	}
	_, faults := decode(`{"name": "A", "words": [` + strings.TrimSuffix(strings.Repeat(`1,`, 50_000), ",") + `]}`)
	if n := len(faults); n < 1000 || n > 10_001 {
		t.Errorf("50,000 bad words have %d faults, want the first ten thousand and a word about the others", n)
	}
	if _, faults := decode(`{"name": "A", "words": [` + strings.TrimSuffix(strings.Repeat(`"",`, 200_001), ",") + `]}`); len(faults) != 1 || faults[0].Path != "words" {
		t.Errorf("a list of 200,001 has %d faults, want one at words", len(faults))
	}
}

// TestWrittenBack: what Decode read encoding/json writes as it was, so that a
// stated default stays stated.
func TestWrittenBack(t *testing.T) {
	for _, text := range []string{`{"name":"A"}`, `{"name":"A","qty":"2.50 kg","share":"0 %","note":"","open":false,"count":0,"box":{"size":"1 l"},"lines":[{"use":"a"}],"words":["b"],"side":"3 cm"}`} {
		s, faults := decode(text)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got, err := json.Marshal(s); err != nil || string(got) != text {
			t.Errorf("%s is written back as %s, %v", text, got, err)
		}
	}
}

// TestMaybeReadsBack: a Maybe that encoding/json wrote encoding/json reads.
func TestMaybeReadsBack(t *testing.T) {
	first := record.Some("12")
	text, err := json.Marshal(first)
	if err != nil {
		t.Fatal(err)
	}
	var back record.Maybe[string]
	if err := json.Unmarshal(text, &back); err != nil || back != first {
		t.Errorf("json.Unmarshal(%s) = %+v, %v", text, back, err)
	}
}

func TestPaths(t *testing.T) {
	for got, want := range map[string]string{
		record.Join("", "studio"): "studio", record.Join("studio", "tax"): "studio.tax", record.Item("lines", 3): "lines[3]",
		record.Join(record.Item("components", 2), "lines"): "components[2].lines", record.Join("a", "b c"): `a."b c"`, record.Join("a", "x.y"): `a."x.y"`,
	} {
		if got != want {
			t.Errorf("path %s, want %s", got, want)
		}
	}
	long := record.Join("", strings.Repeat("k", 10_000))
	if len(long) > 100 {
		t.Errorf("a key of 10,000 letters makes a path of %d", len(long))
	}
}

func TestErr(t *testing.T) {
	var none record.Faults
	if none.Err() != nil {
		t.Errorf("no faults are the error %v, want nil", none.Err())
	}
	none.Add("a.b", "must be %d", 3)
	none.Add("", "the end")
	if got := none.Error(); got != "a.b: must be 3\nthe end" {
		t.Errorf("two faults read %q", got)
	}
}

func TestSchemaOfARecord(t *testing.T) {
	s := record.Schema(reflect.TypeFor[shelf](), func(t reflect.Type) (map[string]any, bool) {
		if t == reflect.TypeFor[measure.Quantity]() || t == reflect.TypeFor[measure.Percent]() {
			return map[string]any{"type": "string"}, true
		}
		return nil, false
	})
	text := fmt.Sprint(s["required"], s["additionalProperties"])
	if text != "[name] false" {
		t.Errorf("Schema(shelf) requires and allows %s, want [name] false", text)
	}
	if p := s["properties"].(map[string]any); len(p) != 10 || p["side"] == nil || p["Hidden"] != nil {
		t.Errorf("Schema(shelf) has the properties %v", p)
	}
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{`{"name": "A"}`, `{"name": 1e999999}`, `[[[`, `{"name": "A", "lines": [{"use": "a", "n": 3}]}`, "\ufeff{}", `{"a":{"b":[1,2,{"c":null}]}}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var s shelf
		if faults := record.Decode(data, &s); len(faults) > 0 {
			return
		}
		text, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var back shelf
		if faults := record.Decode(text, &back); len(faults) > 0 {
			t.Fatalf("%q decodes, but %q, which is written back, does not: %v", data, text, faults)
		}
		if again, err := json.Marshal(back); err != nil || string(again) != string(text) {
			t.Errorf("%q is written as %s and then as %s", data, text, again)
		}
	})
}
