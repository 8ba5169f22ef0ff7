package risk_test

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"marchpane/pricing/exact"
	"marchpane/pricing/risk"
)

// Every figure of the document is a string of fixed places; no list is null,
// and the seed keeps all of its digits.
func TestDocument(t *testing.T) {
	in := order(t, thing{"butter", "90", normal(24, 0.05)}, thing{"cream", "10", nil}).with(func(in *risk.Input) {
		in.Seed, in.Net = 1<<63+1, exact.Int(205)
	})
	text, err := json.Marshal(risk.DocumentOf(assess(t, in)))
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Outlook map[string]any `json:"outlook"`
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	euro, share := regexp.MustCompile(`^-?\d+\.\d{2}$`), regexp.MustCompile(`^-?\d+\.\d{4}$`)
	for form, keys := range map[*regexp.Regexp][]string{
		euro:  {"cost_at_book_prices", "cost_median", "cost_mean", "net_price", "surcharge_net", "surcharge_shown", "cost_held"},
		share: {"margin_at_book_prices", "margin_at_median", "floor_margin", "chance_below_floor", "chance_error", "level", "surcharge_of_price", "covered", "yearly_drift"},
	} {
		for _, key := range keys {
			if s, ok := doc.Outlook[key].(string); !ok || !form.MatchString(s) {
				t.Errorf("%s = %v, want the form %s", key, doc.Outlook[key], form)
			}
		}
	}
	for key, want := range map[string]any{"seed": "9223372036854775809", "drift": "removed", "months_ahead": 8.0, "history_from": "2024-11", "history_to": "2026-10", "covered": "0.9000", "cost_held": "10.00"} {
		if doc.Outlook[key] != want {
			t.Errorf("%s = %v, want %v", key, doc.Outlook[key], want)
		}
	}
	if len(doc.Outlook["moving"].([]any)) != 1 || len(doc.Outlook["held"].([]any)) != 1 || strings.Contains(string(text), "null") {
		t.Errorf("document: %s", text)
	}
}

// The texts tell what was done: the drift either way, what is held, overhead.
func TestWords(t *testing.T) {
	in := order(t, thing{"butter", "90", normal(24, 0.05)}, thing{"cream", "10", nil})
	for _, c := range []struct {
		keep bool
		want []string
	}{
		{false, []string{"24 changes from month to month of 2024-11 to 2026-10", "8 months to the event", "blocks of 3", "is taken off", "seed 7", "Were it to go on", "held at the price in the book", "90.0 % of the cost"}},
		{true, []string{"is taken to go on", "Without it"}},
	} {
		o := assess(t, in.with(func(in *risk.Input) { in.KeepDrift = c.keep }))
		text := strings.Join(append(risk.Method(o), risk.Assumptions(o)...), "\n")
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("drift kept %v: %q is missing from\n%s", c.keep, want, text)
			}
		}
	}
}
