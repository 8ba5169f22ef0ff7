package quote_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/quote"
)

// roundTrip writes a quote as a store freezes it, and reads it back.
func roundTrip(q quote.Quote) (first, second string, err error) {
	text, err := json.Marshal(q)
	if err != nil {
		return "", "", err
	}
	var back quote.Quote
	if err := json.Unmarshal(text, &back); err != nil {
		return string(text), "", err
	}
	again, err := json.Marshal(back)
	return string(text), string(again), err
}

// TestRoundTrip: every frozen quote reads back as it was, to the last digit of
// every fraction.
func TestRoundTrip(t *testing.T) {
	failed := 0
	check := func(seed uint64, _ *book.Index, q quote.Quote) {
		first, second, err := roundTrip(q)
		if err != nil || first != second {
			if failed++; failed < 3 {
				t.Errorf("seed %d: a quote does not read back: %v\n%.300s\n%.300s", seed, err, first, second)
			}
		}
	}
	randomQuotes(t, 60, check)
	check(0, nil, exampleQuote(t))
	if failed > 2 {
		t.Errorf("%d quotes in all do not read back", failed)
	}
}

// A request without anything optional reads back already.
func TestRoundTripOfAPlainRequest(t *testing.T) {
	q := price(t, indexOf(t, `"tax": {"rate": "13.5 %"},`, cakes("1.00", "2.00/0")), ask(t, ``, "c-0 × 3", "c-1 × 1"))
	if first, second, err := roundTrip(q); err != nil || first != second {
		t.Errorf("a quote does not read back: %v\n%s\n%s", err, first, second)
	}
}

// A quote of many ingredients in packs of awkward sizes holds a cost of
// thousands of digits, and reads back.
func TestRoundTripOfALargeOrder(t *testing.T) {
	var ingredients, parts []string
	for i := range 500 {
		id := fmt.Sprintf("i-%d", i)
		ingredients = append(ingredients, fmt.Sprintf(`{"id": %q, "name": "I", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "%d.%d g", "price": "1.00"}]}`, id, 1000+i, 2*i+1))
		parts = append(parts, fmt.Sprintf(`{"use": %q, "qty": "1 g"}`, id))
	}
	x := indexOf(t, ``, `"ingredients": [`+strings.Join(ingredients, ",")+`], "cakes": [{"id": "c-0", "name": "C", "portions": 1, "price": "5", "parts": [`+strings.Join(parts, ",")+`]}]`)
	if _, _, err := roundTrip(price(t, x, ask(t, ``, "c-0 × 1"))); err != nil {
		t.Errorf("an order of 500 ingredients does not read back: %.200v", err)
	}
}

// The last days of the calendar of four digits: what is valid for a month after
// them has to be refused or read back.
func TestRoundTripAtTheEndOfTheCalendar(t *testing.T) {
	r, err := quote.ReadRequest([]byte(`{"client": {"name": "A"}, "event": {"date": "9999-12-31"}, "on": "9999-12-31", "lines": [{"cake": "c-0", "quantity": 1}]}`))
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.Price(indexOf(t, ``, cakes("1.00")), r)
	if err != nil {
		return // refused
	}
	if first, second, err := roundTrip(q); err != nil || first != second {
		t.Errorf("a quote valid until %s does not read back: %v", q.Offer.ValidUntil, err)
	}
}

func FuzzReadRequest(f *testing.F) {
	f.Add([]byte(`{"client": {"name": "A"}, "event": {"date": "2026-12-24", "km": "24", "venue": "V"}, "on": "2026-11-01", "lines": [{"cake": "c-0", "quantity": 2}], "extras": [{"extra": "e", "quantity": 1}], "discount": "5 %"}`))
	f.Add([]byte(`{}`))
	data := `"extras": [{"id": "e", "name": "E", "price": "3", "price_per_km": "0.5"}], ` + cakes("10.00", "20.00/5")
	x := indexOf(f, `"tax": {"rate": "20 %"}, "minimum_order": "15",`, data)
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := quote.ReadRequest(text)
		if err != nil {
			return
		}
		q, err := quote.Price(x, r)
		if err != nil {
			return
		}
		if q.Offer.Total.Sign() < 0 || len(q.Offer.Lines) == 0 {
			t.Errorf("%s is quoted at %s", text, q.Offer.Total)
		}
	})
}
