package naive

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/internal/randombook"
)

type expectedAnswer struct {
	Command  string          `json:"command"`
	Request  json.RawMessage `json:"request"`
	Expected json.RawMessage `json:"expected"`
}

// TestExample compares every answer on the project's own example book with the
// worked figures that come with it.
func TestExample(t *testing.T) {
	b := load(t, readFile(t, "example-book.json"))
	var expected map[string][]expectedAnswer
	if err := json.Unmarshal(readFile(t, "example-expected.json"), &expected); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, section := range []string{"cost", "bill", "impact", "quote"} {
		for _, e := range expected[section] {
			seen++
			got, err := answer(b, section, e)
			if err != nil {
				t.Errorf("%s: %v", e.Command, err)
				continue
			}
			if got, want := canonical(t, got), canonical(t, e.Expected); got != want {
				t.Errorf("%s = %s, want %s", e.Command, got, want)
			}
		}
	}
	if seen != 7 {
		t.Errorf("example has %d answers, want 7", seen)
	}
}

// answer runs a command as example-expected.json writes it.
func answer(b *Book, section string, e expectedAnswer) (any, error) {
	words := strings.Fields(e.Command)
	switch section {
	case "cost":
		return b.Cost(words[1], words[3])
	case "bill":
		return b.Bill(words[1])
	case "impact":
		value := strings.Split(e.Command, `"`)[1]
		after := strings.Fields(strings.Split(e.Command, `"`)[2])
		return b.Impact(words[1], strings.TrimPrefix(words[2], "--"), value, after[1])
	}
	return b.Quote(e.Request, "2026-0001")
}

// TestRandomBooks costs, bills, moves prices and quotes over random books, and
// checks laws that no formula here states: a change of 0 % changes nothing, a
// new price costs what a book that lists it costs, a quote adds up.
func TestRandomBooks(t *testing.T) {
	books := uint64(300)
	if testing.Short() {
		books = 30
	}
	for seed := range books {
		g := randombook.New(seed)
		book := g.Book()
		b := load(t, book)
		if t.Failed() {
			t.Fatalf("seed %d: %s", seed, book)
		}
		for _, c := range b.Cakes {
			if _, err := b.Cost(c.ID, g.Date()); err != nil {
				t.Errorf("seed %d: Cost(%s): %v", seed, c.ID, err)
			}
			if _, err := b.Bill(c.ID); err != nil {
				t.Errorf("seed %d: Bill(%s): %v", seed, c.ID, err)
			}
		}
		for _, im := range g.Impacts(book, 4) {
			checkImpact(t, fmt.Sprintf("seed %d", seed), b, im)
			checkRelisted(t, fmt.Sprintf("seed %d", seed), book, im)
		}
		for _, request := range g.Requests(book, 3) {
			checkQuote(t, fmt.Sprintf("seed %d", seed), b, request)
		}
	}
}

func checkImpact(t *testing.T, where string, b *Book, im randombook.Impact) {
	t.Helper()
	if _, err := b.Impact(im.Resource, im.Mode, im.Value, im.On); err != nil {
		t.Errorf("%s: Impact(%v): %v", where, im, err)
		return
	}
	same, err := b.Impact(im.Resource, "change", "0 %", im.On)
	if err != nil {
		t.Errorf("%s: Impact(%s, 0 %%): %v", where, im.Resource, err)
	}
	for _, s := range same {
		if s["cost_before"] != s["cost_after"] || s["margin_before"] != s["margin_after"] {
			t.Errorf("%s: Impact(%s, 0 %%) = %v, want no change", where, im.Resource, s)
		}
	}
}

// checkRelisted compares the cost after a new price with the cost by a book in
// which the price in force is that one.
func checkRelisted(t *testing.T, where string, book []byte, im randombook.Impact) {
	t.Helper()
	if im.Mode != "price" {
		return
	}
	b := load(t, book)
	moved, err := b.Impact(im.Resource, im.Mode, im.Value, im.On)
	if err != nil {
		return // checkImpact has said so
	}
	pack, price, _ := strings.Cut(im.Value, "=")
	for i := range b.Roles {
		if r := &b.Roles[i]; r.ID == im.Resource {
			r.Wage = []dated{{From: "2026-01-01", PerHour: price}}
		}
	}
	for i := range b.Equipment {
		if a := &b.Equipment[i]; a.ID == im.Resource {
			a.PerHour = price
		}
	}
	for i := range b.Ingredients {
		if ing := &b.Ingredients[i]; ing.ID == im.Resource {
			p := b.priceInForce(ing, im.On)
			p.Pack, p.Price = pack, price
			ing.Prices = []dated{p}
		}
	}
	switch im.Resource {
	case "energy":
		b.Energy = []dated{{From: "2026-01-01", Price: price}}
	case "overhead":
		b.Overhead.Hours = "1 h"
		b.Overhead.Dated = []dated{{From: "2026-01-01", Amount: price}}
	}
	for _, m := range moved {
		cost, err := b.Cost(m["cake"].(string), im.On)
		if err != nil {
			t.Errorf("%s: Cost(%s): %v", where, m["cake"], err)
			continue
		}
		if got, want := m["cost_after"], cost["cost"].(map[string]any)["total"]; got != want {
			t.Errorf("%s: Impact(%v) of %s costs %s, want %s", where, im, m["cake"], got, want)
		}
	}
}

func checkQuote(t *testing.T, where string, b *Book, request []byte) {
	t.Helper()
	q, err := b.Quote(request, "2026-0001")
	if err != nil {
		t.Errorf("%s: Quote(%s): %v", where, request, err)
		return
	}
	if _, err := b.QuoteCost(request); err != nil {
		t.Errorf("%s: QuoteCost(%s): %v", where, request, err)
	}
	lines, tax, paid := zero, zero, zero
	net := zero
	for _, l := range q["lines"].([]map[string]any) {
		lines = add(lines, signed(l["amount"].(string)))
	}
	for _, x := range q["tax"].([]map[string]any) {
		tax = add(tax, signed(x["tax"].(string)))
		net = add(net, signed(x["net"].(string)))
	}
	for _, p := range q["instalments"].([]map[string]any) {
		paid = add(paid, signed(p["amount"].(string)))
	}
	total := signed(q["total"].(string))
	if paid.Cmp(total) != 0 {
		t.Errorf("%s: instalments of %s = %v, want %v", where, request, paid, total)
	}
	want := lines
	if !b.gross() {
		want = add(lines, tax)
	}
	if total.Cmp(want) != 0 {
		t.Errorf("%s: total of %s = %v, want %v", where, request, total, want)
	}
	if b.Studio.Tax != nil && add(net, tax).Cmp(total) != 0 {
		t.Errorf("%s: net and tax of %s = %v, want %v", where, request, add(net, tax), total)
	}
}
