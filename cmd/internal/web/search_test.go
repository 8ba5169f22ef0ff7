package web

import "testing"

// TestPlaces: what a search leads to is there, under words of the trade.
func TestPlaces(t *testing.T) {
	v := visitStudio(t, true)
	for _, p := range places {
		if code := v.get(p.path).status; code != 200 {
			t.Errorf("GET %s (%s) = %d", p.path, p.name, code)
		}
	}
	for query, want := range map[string]string{"rent": "Overhead", "VAT": "Prices, tax and margins", "what buy": "Shopping"} {
		if got := placesFor(query); len(got) != 1 || got[0].Text != want {
			t.Errorf("placesFor(%q) = %v, want %s", query, got, want)
		}
	}
}
