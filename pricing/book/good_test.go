package book_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/internal/randombook"
)

// bare is the least that is a book.
const bare = `{"format": "marchpane-book/1", "studio": {"name": "S", "currency": "EUR", "target": {"markup": "0 %"}}}`

// with adds lists to the bare book.
func with(lists string) string { return strings.TrimSuffix(bare, "}") + ", " + lists + "}" }

const flour = `{"id": "flour", "name": "Flour", "measure": "mass", "prices": []}`

// TestSmallPrint: what costing.md and book.md allow, though it looks odd.
func TestSmallPrint(t *testing.T) {
	for name, text := range map[string]string{
		"only format and studio":              bare,
		"empty lists":                         with(`"roles": [], "energy": [], "equipment": [], "ingredients": [], "components": [], "cakes": [], "extras": []`),
		"empty required lists":                with(`"roles": [{"id": "r", "name": "R", "wage": []}], "overhead": {"method": "cake", "dated": []}, "ingredients": [` + flour + `], "components": [{"id": "c", "name": "C", "lines": [], "yield": "1 kg"}]`),
		"a cake without tiers":                with(`"cakes": [{"id": "c", "name": "C", "portions": 0, "tiers": []}]`),
		"a dummy tier without portions":       with(`"cakes": [{"id": "c", "name": "C", "tiers": [{"name": "t", "shape": "round", "diameter": "20 cm", "height": "10 cm", "dummy": true}]}]`),
		"a tier with portions and a portion":  with(`"cakes": [{"id": "c", "name": "C", "tiers": [{"name": "t", "shape": "heart", "side": "20 cm", "height": "10 cm", "portions": 3, "portion": {"cut": "wedge", "count": 2}}]}]`),
		"hexagon, rectangle, measured":        with(`"cakes": [{"id": "c", "name": "C", "portion": {"cut": "finger", "width": "1 in", "depth": "2 in"}, "tiers": [{"name": "a", "shape": "hexagon", "side": "8 in", "height": "4 in"}, {"name": "b", "shape": "rectangle", "length": "30 cm", "width": "20 cm", "height": "10 cm"}, {"name": "c", "shape": "measured", "area": "400 cm2", "perimeter": "1 m", "height": "10 cm"}]}]`),
		"two tiers of one name":               with(`"cakes": [{"id": "c", "name": "C", "tiers": [{"name": "t", "shape": "square", "side": "20 cm", "height": "10 cm", "portions": 1}, {"name": "t", "shape": "square", "side": "20 cm", "height": "10 cm", "portions": 1}]}]`),
		"a cake and an extra of one id":       with(`"cakes": [{"id": "flour", "name": "C", "portions": 1}], "extras": [{"id": "flour", "name": "C"}], "ingredients": [` + flour + `]`),
		"flags on a component":                with(`"components": [{"id": "c", "name": "C", "lines": [], "yield": "1 kg", "flags": ["raw-egg"]}]`),
		"an ingredient with parts by mass":    with(`"ingredients": [{"id": "egg", "name": "Egg", "measure": "mass", "prices": [], "parts": [{"id": "yolk", "name": "Yolk", "mass": "17 g"}]}]`),
		"trim and productive of 100 %":        with(`"ingredients": [{"id": "a", "name": "A", "measure": "mass", "trim_yield": "100 %", "prices": []}], "roles": [{"id": "r", "name": "R", "productive": "100 %", "wage": []}]`),
		"trim of a hair":                      with(`"ingredients": [{"id": "a", "name": "A", "measure": "mass", "trim_yield": "0.000001 %", "prices": []}]`),
		"a line in length with a trim":        with(`"ingredients": [{"id": "a", "name": "A", "measure": "length", "trim_yield": "50 %", "prices": []}], "cakes": [{"id": "c", "name": "C", "portions": 1, "parts": [{"use": "a", "qty": "1 m"}]}]`),
		"per without rate":                    with(`"roles": [{"id": "r", "name": "R", "wage": []}], "cakes": [{"id": "c", "name": "C", "portions": 1, "tasks": [{"task": "t", "role": "r", "setup": "1 min", "per": "portion"}]}]`),
		"a task without any time":             with(`"roles": [{"id": "r", "name": "R", "wage": []}], "cakes": [{"id": "c", "name": "C", "portions": 1, "tasks": [{"task": "t", "role": "r"}]}]`),
		"figures of 0":                        with(`"equipment": [{"id": "e", "name": "E", "power": "0 W", "duty": "0 %", "per_hour": "0"}], "ingredients": [{"id": "a", "name": "A", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 g", "price": "0", "tax_in": "0 %"}]}], "cakes": [{"id": "c", "name": "C", "portions": 1, "price": "0", "parts": [{"use": "a", "qty": "0 g", "waste": "0 %"}]}]`),
		"waste over 100 %":                    with(`"ingredients": [` + flour + `], "cakes": [{"id": "c", "name": "C", "portions": 1, "parts": [{"use": "flour", "qty": "1 g", "waste": "150 %"}]}]`),
		"a line without a mass under a yield": with(`"ingredients": [{"id": "a", "name": "A", "measure": "count", "prices": []}], "components": [{"id": "c", "name": "C", "lines": [{"use": "a", "qty": "1 each"}], "yield": "12 each"}]`),
		"a mould by the water it holds":       with(`"components": [{"id": "c", "name": "C", "lines": [], "yield": "1 kg", "mould": {"holds": "1850 ml"}}]`),
		"a mould by both":                     with(`"components": [{"id": "c", "name": "C", "lines": [], "yield": "1 kg", "mould": {"shape": "heart", "side": "15 cm", "holds": "8 cup"}}]`),
		"tins":                                with(`"tins": [{"id": "c", "shape": "round", "diameter": "20 cm"}, {"id": "d", "shape": "square", "side": "20 cm", "height": "75 mm", "owned": 0, "holds": "2.9 l", "name": "Old"}]`),
		"a markup of 300 %":                   strings.Replace(bare, "0 %", "300 %", 1),
		"a price finer than the minor unit":   with(`"ingredients": [{"id": "a", "name": "A", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 g", "price": "0.00444"}]}], "extras": [{"id": "e", "name": "E", "price": "0.005", "price_per_km": "0.0001"}]`),
		"two prices of one day":               with(`"ingredients": [{"id": "a", "name": "A", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "1 g", "price": "1"}, {"from": "2026-01-01", "pack": "1 g", "price": "2"}]}]`),
		"shares that leave the last nothing":  strings.Replace(bare, `"target"`, `"quote": {"deposit": "50 %", "instalments": [{"share": "50 %", "days_before": 3}, {"share": "100 %", "days_before": 0}]}, "target"`, 1),
		"a sheet without overhang":            with(`"ingredients": [{"id": "a", "name": "A", "measure": "mass", "density": "1 g/ml", "prices": []}], "cakes": [{"id": "c", "name": "C", "tiers": [{"name": "t", "shape": "round", "diameter": "20 cm", "height": "10 cm", "portions": 1, "parts": [{"use": "a", "sheet": "0 mm", "overhang": "0 mm"}]}]}]`),
	} {
		if _, err := parse(text); err != nil {
			t.Errorf("%s is refused: %v", name, err)
		}
	}
}

// TestEncode: a book is written as the same book, key by key.
func TestEncode(t *testing.T) {
	texts := []string{bare, example(t)}
	for seed := range uint64(40) {
		texts = append(texts, string(randombook.New(seed).Book()))
	}
	for _, text := range texts {
		b, err := parse(text)
		if err != nil {
			t.Fatal(err)
		}
		first, err := book.Encode(b)
		if err != nil {
			t.Fatal(err)
		}
		again, err := parse(string(first))
		if err != nil {
			t.Fatalf("what Encode wrote is refused: %v\n%s", err, first)
		}
		if second, err := book.Encode(again); err != nil || !bytes.Equal(first, second) {
			t.Fatalf("Encode(Parse(Encode(b))) differs from Encode(b): %v\n%s", err, first)
		}
		if !reflect.DeepEqual(facts(t, []byte(text)), facts(t, first)) {
			t.Fatalf("Encode = %s\nwant what the file says: %s", first, text)
		}
	}
}

// facts returns what a file says, without its empty lists, which may be left
// out.
func facts(t *testing.T, text []byte) any {
	t.Helper()
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	return pruned(v)
}

func pruned(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for key, value := range v {
			if list, ok := value.([]any); ok && len(list) == 0 {
				delete(v, key)
			} else {
				v[key] = pruned(value)
			}
		}
	case []any:
		for i := range v {
			v[i] = pruned(v[i])
		}
	}
	return v
}

// chain is a book of n components, each of which uses the next, or the one
// before where backwards.
func chain(n int, backwards bool) string {
	list := make([]string, n)
	for i := range list {
		use := fmt.Sprintf("c-%d", i+1)
		if backwards {
			use = fmt.Sprintf("c-%d", i-1)
		}
		if !backwards && i == n-1 || backwards && i == 0 {
			use = "flour"
		}
		list[i] = fmt.Sprintf(`{"id": "c-%d", "name": "C", "lines": [{"use": %q, "qty": "1 g"}]}`, i, use)
	}
	return with(`"ingredients": [` + flour + `], "components": [` + strings.Join(list, ",") + `]`)
}

// 64 components may stand in each other and 65 may not, in whatever order the
// file lists them.
func TestNesting(t *testing.T) {
	for _, backwards := range []bool{false, true} {
		if _, err := parse(chain(64, backwards)); err != nil {
			t.Errorf("64 components in each other (backwards: %v): %v", backwards, err)
		}
		if _, err := parse(chain(65, backwards)); err == nil || !strings.Contains(err.Error(), "64 deep") {
			t.Errorf("65 components in each other (backwards: %v): %v, want a fault", backwards, err)
		}
	}
}

// TestHostileSizes: files made to take long do not.
func TestHostileSizes(t *testing.T) {
	ring := func(n int) string {
		text := chain(n, false)
		return strings.Replace(text, `"use": "flour"`, `"use": "c-0"`, 1)
	}
	fan := func(n int) string { // every component uses the next one a hundred times
		list := make([]string, n)
		for i := range list {
			use := fmt.Sprintf(`{"use": "c-%d", "qty": "1 g"}`, i+1)
			if i == n-1 {
				use = `{"use": "flour", "qty": "1 g"}`
			}
			list[i] = fmt.Sprintf(`{"id": "c-%d", "name": "C", "lines": [%s]}`, i, strings.TrimSuffix(strings.Repeat(use+",", 100), ","))
		}
		return with(`"ingredients": [` + flour + `], "components": [` + strings.Join(list, ",") + `]`)
	}
	for name, c := range map[string]struct {
		text string
		good bool
	}{
		"a chain of 100,000":              {chain(100_000, false), false},
		"a chain of 100,000 backwards":    {chain(100_000, true), false},
		"a ring of 64":                    {ring(64), false},
		"a ring of 20,000":                {ring(20_000), false},
		"64 that each use the next 100 ×": {fan(64), true},
		"5 MB of [":                       {strings.Repeat("[", 5<<20), false},
		"100,000 ids of one name":         {with(`"ingredients": [` + strings.TrimSuffix(strings.Repeat(flour+",", 100_000), ",") + `]`), false},
		"the smallest portions":           {with(`"cakes": [{"id": "c", "name": "C", "portion": {"cut": "finger", "width": "20 m", "depth": "0.000000000000000001 mm"}, "tiers": [{"name": "t", "shape": "round", "diameter": "20 m", "height": "20 m"}]}]`), false},
		"300,000 unknown keys":            {with(`"x": {` + manyKeys(300_000) + `}`), false},
	} {
		start := time.Now()
		_, err := parse(c.text)
		// No measure of speed, which differs from machine to machine: it tells
		// work that grows with the square of what is read.
		if took := time.Since(start); took > 2*time.Minute {
			t.Errorf("%s took %s", name, took)
		}
		if (err == nil) != c.good || err != nil && strings.Contains(err.Error(), "PANIC") {
			t.Errorf("%s: %.200v, want good: %v", name, err, c.good)
		}
	}
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `"k%d": 1,`, i)
	}
	return strings.TrimSuffix(b.String(), ",")
}

// FuzzParse: no file ends the program, and a book that parses is written and
// read as the same book.
func FuzzParse(f *testing.F) {
	data, err := os.ReadFile("../testdata/example-book.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte(bare))
	f.Add([]byte(chain(3, true)))
	f.Add(randombook.New(1).Book())
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := book.Parse(data)
		if err != nil {
			return
		}
		first, err := book.Encode(b)
		if err != nil {
			t.Fatal(err)
		}
		again, err := book.Parse(first)
		if err != nil {
			t.Fatalf("what Encode wrote is refused: %v\n%s", err, first)
		}
		if second, err := book.Encode(again); err != nil || !bytes.Equal(first, second) {
			t.Errorf("Encode(Parse(Encode(b))) differs from Encode(b): %v\n%s\n%s", err, first, second)
		}
	})
}
