package schedule_test

import (
	"fmt"
	"os"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
)

type quantityType = measure.Quantity

func quantity(s string) measure.Quantity { return measure.Must(s) }

// reporter is what plain tests and property tests report to.
type reporter interface {
	Helper()
	Fatalf(format string, args ...any)
}

func parse(t reporter, text []byte) *book.Index {
	t.Helper()
	b, err := book.Parse(text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return book.NewIndex(b)
}

// kitchen is a book of a baker and a finisher with components and cakes.
func kitchen(t *testing.T, components, cakes string) *book.Index {
	t.Helper()
	return parse(t, fmt.Appendf(nil, `{"format": "marchpane-book/1",
		"studio": {"name": "Test kitchen", "currency": "EUR", "target": {"markup": "0 %%"}},
		"roles": [{"id": "baker", "name": "Baker", "wage": [{"from": "2026-01-01", "per_hour": "20"}]},
			{"id": "finisher", "name": "Finisher", "wage": [{"from": "2026-01-01", "per_hour": "20"}]}],
		"equipment": [{"id": "oven", "name": "Oven"}],
		"ingredients": [
			{"id": "flour", "name": "Flour", "measure": "mass", "density": "0.53 g/ml", "prices": []},
			{"id": "milk", "name": "Milk", "measure": "volume", "density": "1.03 g/ml", "prices": []},
			{"id": "egg", "name": "Egg", "measure": "count", "parts": [{"id": "yolk", "name": "Egg yolk", "mass": "17 g"}, {"id": "white", "name": "Egg white", "mass": "33 g"}], "prices": []},
			{"id": "saffron", "name": "Saffron", "measure": "mass", "prices": []}],
		"components": [%s], "cakes": [%s],
		"extras": [{"id": "delivery", "name": "Delivery", "tasks": [{"task": "drive", "role": "baker", "rate": "2 min", "per": "km"}]},
			{"id": "stand", "name": "Stand", "tasks": [{"task": "clean", "role": "baker", "setup": "15 min"}]}]}`, components, cakes))
}

func studio(t testing.TB) *book.Index {
	t.Helper()
	data, err := os.ReadFile("../../seed/studio.json")
	if err != nil {
		t.Fatal(err)
	}
	return parse(t, data)
}
