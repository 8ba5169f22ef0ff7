package risk_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/risk"
)

// What is too short is refused with its reason, and without a figure.
func TestTooShort(t *testing.T) {
	long, short := normal(24, 0.05), normal(11, 0.05)
	for _, c := range []struct {
		name   string
		things []thing
		want   string
	}{
		{"eleven changes", []thing{{"butter", "100", short}}, "carry 0.0 %"},
		{"eleven changes named", []thing{{"butter", "100", short}}, "butter has 11 of the 12 monthly changes"},
		{"no history", []thing{{"butter", "100", nil}}, "butter has no price history"},
		{"most of the cost unknown", []thing{{"butter", "49", long}, {"cream", "51", short}}, "carry 49.0 %"},
		{"no goods at all", nil, "too short to say anything"},
	} {
		o, err := risk.Assess(order(t, c.things...).Input)
		var tooShort *risk.TooShort
		if !errors.As(err, &tooShort) || !strings.Contains(err.Error(), c.want) || !reflect.DeepEqual(o, risk.Outlook{}) {
			t.Errorf("%s: %v, want a refusal with %q", c.name, err, c.want)
		}
	}
	if o := assess(t, order(t, thing{"butter", "51", long}, thing{"cream", "49", short})); o.Covered.Fixed(2) != "0.51" || len(o.Held) != 1 || o.Held[0].Name != "cream" {
		t.Errorf("covered %s, held %v; want 0.51 and cream", o.Covered.Fixed(2), o.Held)
	}
	// 24 changes are enough for 24 months ahead and not for 25.
	for _, c := range []struct {
		days int
		ok   bool
	}{{730, true}, {732, false}} {
		_, err := risk.Assess(order(t, thing{"butter", "100", long}).with(func(in *risk.Input) { in.Event = today.AddDays(c.days) }).Input)
		if (err == nil) != c.ok {
			t.Errorf("%d days ahead: %v", c.days, err)
		}
	}
}

// A price that was entered twice and then forgotten is unknown, not steady.
func TestForgottenPrice(t *testing.T) {
	in := order(t, thing{"butter", "100", steady(36)})
	months := in.Histories["butter"].Months
	for i := range months {
		months[i].From = months[i/20*20].From
	}
	var tooShort *risk.TooShort
	if _, err := risk.Assess(in.Input); !errors.As(err, &tooShort) || !strings.Contains(err.Error(), "has 2 of the 3 dated prices") {
		t.Errorf("Assess of a forgotten price: %v", err)
	}
}

func TestRefusals(t *testing.T) {
	good := order(t, thing{"butter", "100", normal(24, 0.05)})
	for _, c := range []struct {
		change func(*risk.Input)
		want   string
	}{
		{func(in *risk.Input) { in.Event = today }, "is not after 2026-11-25"},
		{func(in *risk.Input) { in.Event = today.AddDays(-1) }, "is not after 2026-11-25"},
		{func(in *risk.Input) { in.Net = exact.Number{} }, "no net price"},
		{func(in *risk.Input) { in.Floor = exact.Int(1) }, "floor margin 1.0000"},
		{func(in *risk.Input) { in.Floor = exact.Frac(-1, 2) }, "floor margin -0.5000"},
		{func(in *risk.Input) { in.TaxRate = exact.Int(-1) }, "tax rate"},
		{func(in *risk.Input) { in.Paths = 999 }, "999 paths"},
		{func(in *risk.Input) { in.Paths = risk.MaxPaths + 1 }, "100001 paths"},
		{func(in *risk.Input) { in.Level = exact.Int(1) }, "the chance 1.0000"},
		{func(in *risk.Input) { in.Level = exact.Frac(1, 2000) }, "draw more paths"},
		{func(in *risk.Input) { in.Block = -1 }, "a block of -1 months"},
		{func(in *risk.Input) { in.Block = 25 }, "from 1 to the 24 months"},
		{func(in *risk.Input) { in.Bill[0].Unit = "each" }, "the order counts butter in each"},
		{func(in *risk.Input) { in.Bill[0].Resource = "nothing" }, `"nothing" is no ingredient`},
		{func(in *risk.Input) {
			h := in.Histories["butter"]
			h.Months = append(h.Months[:5:5], h.Months[6:]...)
			in.Histories = map[book.ID]risk.History{"butter": h}
		}, "must hold every month once"},
	} {
		_, err := risk.Assess(good.with(c.change).Input)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Assess = %v, want %q", err, c.want)
		}
	}
}

// A price typed with the point in the wrong place cannot make figures of
// nonsense: what overflows is refused.
func TestLeaps(t *testing.T) {
	changes := make([]float64, 24)
	for i := range changes {
		changes[i] = 60 * float64(1-2*(i%2))
	}
	_, err := risk.Assess(order(t, thing{"butter", "100", changes}).with(func(in *risk.Input) { in.Block, in.Event = 1, today.AddDays(700) }).Input)
	if err == nil || !strings.Contains(err.Error(), "leaps too great") {
		t.Errorf("Assess of wild leaps = %v", err)
	}
}
