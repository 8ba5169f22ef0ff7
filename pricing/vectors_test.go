package pricing_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"marchpane/pricing/exact"
)

// vector is a worked example from outside the project; see testdata/vectors.csv
// for its source, licence and whether it was read or remembered. Vectors marked
// COMPUTED have an answer of our own and bear out a rule, not the engine.
type vector struct {
	t         *testing.T
	id        string
	figures   map[string]any
	tolerance exact.Number
	source    string
}

// TestVectors works every example of testdata/vectors.csv through the engine.
func TestVectors(t *testing.T) {
	f, err := os.Open("testdata/vectors.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checks := map[string]func(vector){}
	for _, group := range []map[string]func(vector){kitchenVectors, foodVectors, priceVectors, ledgerVectors, geometryVectors} {
		for topic, check := range group {
			checks[topic] = check
		}
	}
	worked := map[string]bool{}
	for _, r := range rows[1:] {
		t.Run(r[0], func(t *testing.T) {
			v := vector{t: t, id: r[0], figures: map[string]any{}, tolerance: exact.Must(r[4]), source: fmt.Sprintf("%s (%s)", r[5], r[7])}
			for _, text := range r[2:4] {
				dec := json.NewDecoder(bytes.NewReader([]byte(text)))
				dec.UseNumber()
				if err := dec.Decode(&v.figures); err != nil {
					t.Fatal(err)
				}
			}
			check, ok := checks[r[1]]
			if !ok {
				t.Fatalf("nothing checks the topic %s", r[1])
			}
			worked[r[1]] = true
			check(v)
		})
	}
	for topic := range checks {
		if !worked[topic] {
			t.Errorf("no vector has the topic %s", topic)
		}
	}
}

// has reports whether the vector states a figure.
func (v vector) has(key string) bool { _, ok := v.figures[key]; return ok }

// text returns a figure as it is written.
func (v vector) text(key string) string {
	v.t.Helper()
	n, ok := v.figures[key].(json.Number)
	if !ok {
		v.t.Fatalf("%s has no figure %s", v.id, key)
	}
	return strings.TrimSuffix(n.String(), ".0")
}

func (v vector) number(key string) exact.Number { v.t.Helper(); return exact.Must(v.text(key)) }

// list returns a list of figures.
func (v vector) list(key string) []string {
	v.t.Helper()
	items, ok := v.figures[key].([]any)
	if !ok {
		v.t.Fatalf("%s has no list %s", v.id, key)
	}
	texts := make([]string, len(items))
	for i, item := range items {
		texts[i] = item.(json.Number).String()
	}
	return texts
}

// near compares a result with the figure under a key.
func (v vector) near(what string, got exact.Number, key string) {
	v.t.Helper()
	v.nearBy(what, got, v.number(key), v.tolerance)
}

func (v vector) nearBy(what string, got, want, tolerance exact.Number) {
	v.t.Helper()
	if off := got.Sub(want); off.Cmp(tolerance) > 0 || off.Neg().Cmp(tolerance) > 0 {
		v.t.Errorf("%s: %s = %s, want %s ± %s by %s", v.id, what, got.Fixed(9), want.Fixed(9), tolerance.Fixed(9), v.source)
	}
}
