package risk_test

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/risk"
)

// The price of a base unit at each month's end, worked by hand: 25.00 for
// 2.5 kg is 0.01 a gram, 12.30 for 1 kg with 23 % tax that the studio recovers
// again 0.01, and of two suppliers the newest price counts.
func TestHistories(t *testing.T) {
	x := index(t, `"ingredients": [
		{"id": "butter", "name": "Butter", "measure": "mass", "prices": [
			{"from": "2026-06-30", "supplier": "Dairy", "pack": "10 x 250 g", "price": "25.00"},
			{"from": "2026-08-01", "supplier": "Market", "pack": "1 kg", "price": "12.30", "tax_in": "23 %"},
			{"from": "2026-10-01", "supplier": "Dairy", "pack": "10 x 250 g", "price": "30.00"},
			{"from": "2026-11-02", "supplier": "Dairy", "pack": "10 x 250 g", "price": "99.00"}]},
		{"id": "egg", "name": "Egg", "measure": "count", "supplier": "Farm", "prices": [
			{"from": "2026-06-01", "supplier": "Market", "pack": "1 each", "price": "1.00"},
			{"from": "2026-08-15", "supplier": "Farm", "pack": "15 dozen", "price": "36.00"}]},
		{"id": "gold", "name": "Gold leaf", "measure": "count", "prices": []},
		{"id": "box", "name": "Box", "kind": "packaging", "measure": "count", "prices": [{"from": "2027-01-01", "pack": "1 each", "price": "1.00"}]}]`)
	bill := pricing.Bill{
		{Resource: "butter", Kind: pricing.Ingredient}, {Resource: "egg", Kind: pricing.Ingredient}, {Resource: "gold", Kind: pricing.Ingredient},
		{Resource: "box", Kind: pricing.Packaging}, {Resource: "energy", Kind: pricing.Energy},
	}
	got := map[book.ID]string{}
	for id, h := range risk.Histories(x, bill, day.Must("2026-11-25")) {
		parts := []string{h.Name}
		for _, m := range h.Months {
			parts = append(parts, m.End.String()+"="+m.PerUnit.Text()+" from "+m.From.String())
		}
		got[id] = strings.Join(parts, "; ")
	}
	want := map[book.ID]string{
		"butter": "Butter; 2026-06-30=1/100 from 2026-06-30; 2026-07-31=1/100 from 2026-06-30; 2026-08-31=1/100 from 2026-08-01; 2026-09-30=1/100 from 2026-08-01; 2026-10-31=3/250 from 2026-10-01",
		"egg":    "Egg; 2026-08-31=1/5 from 2026-08-15; 2026-09-30=1/5 from 2026-08-15; 2026-10-31=1/5 from 2026-08-15",
		"gold":   "Gold leaf", "box": "Box",
	}
	if len(got) != len(want) {
		t.Errorf("Histories of %d resources, want %d", len(got), len(want))
	}
	for id := range want {
		if got[id] != want[id] {
			t.Errorf("history of %s = %s\nwant %s", id, got[id], want[id])
		}
	}
	// The last day of a month counts in that month.
	if h := risk.Histories(x, bill, day.Must("2026-11-30"))["butter"].Months; h[len(h)-1].End != day.Must("2026-11-30") {
		t.Errorf("history to 30 November ends on %s", h[len(h)-1].End)
	}
}

// A begun month counts in full; the day of the month of a shorter one is its
// last.
func TestMonthsAhead(t *testing.T) {
	for _, c := range []struct {
		today, event string
		want         int
	}{
		{"2026-11-25", "2026-11-26", 1}, {"2026-11-25", "2026-12-25", 1}, {"2026-11-25", "2026-12-26", 2},
		{"2026-11-25", "2027-06-25", 7}, {"2026-11-25", "2027-06-26", 8}, {"2026-11-25", "2027-11-25", 12},
		{"2027-01-31", "2027-02-28", 1}, {"2027-01-31", "2027-03-01", 2}, {"2027-01-30", "2027-02-27", 1},
		{"2027-02-28", "2027-03-28", 1}, {"2027-02-28", "2027-03-31", 2}, {"2026-12-01", "2027-01-01", 1},
	} {
		in := order(t, thing{"butter", "100", normal(24, 0.05)})
		in.Today, in.Event = day.Must(c.today), day.Must(c.event)
		if got := assess(t, in).Months; got != c.want {
			t.Errorf("months from %s to %s = %d, want %d", c.today, c.event, got, c.want)
		}
	}
}

// OfQuote starts from the order that was quoted and the prices that the book
// has for the event date.
func TestOfQuote(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "testdata", "example-book.json"))
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	cake := b.Cakes[0].ID
	q, err := quote.Price(x, request(t, cake))
	if err != nil {
		t.Fatal(err)
	}
	in, err := risk.OfQuote(x, q, today)
	if err != nil {
		t.Fatal(err)
	}
	cost, err := pricing.CostOf(in.Bill, in.Rates)
	if err != nil || !cost.Total().Equal(q.Basis.Cost) {
		t.Errorf("cost of the order = %s, %v, want %s of the quote", cost.Total().Fixed(6), err, q.Basis.Cost.Fixed(6))
	}
	if !in.Net.Equal(q.Basis.Net) || in.Floor.Fixed(2) != "0.50" || in.TaxRate.Fixed(3) != "0.135" || in.Event != event || in.Rates.On() != event {
		t.Errorf("OfQuote: net %s, floor %s, tax %s, event %s", in.Net.Fixed(2), in.Floor.Fixed(2), in.TaxRate.Fixed(4), in.Event)
	}
	// The example's prices date from this year alone.
	var tooShort *risk.TooShort
	if _, err := risk.Assess(in); !errors.As(err, &tooShort) {
		t.Fatalf("Assess of the example = %v, want a refusal", err)
	}
	text, err := json.Marshal(risk.RefusalOf(in, tooShort))
	if err != nil || !strings.Contains(string(text), `"outlook":null`) || !strings.Contains(string(text), `"too_short":"the history is too short`) {
		t.Errorf("document of a refusal: %s, %v", text, err)
	}
}

func request(t *testing.T, cake book.ID) quote.Request {
	t.Helper()
	r, err := quote.ReadRequest([]byte(`{"client": {"name": "Client"}, "event": {"date": "2027-06-26", "km": "20"}, "on": "2026-11-25", "lines": [{"cake": "` + string(cake) + `", "quantity": 2}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return r
}
