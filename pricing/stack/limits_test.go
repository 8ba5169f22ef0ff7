package stack_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
	"marchpane/pricing/stack"
)

// reliefs writes what would do, in short.
func reliefs(e *stack.NoFit) string {
	words := make([]string, len(e.Reliefs))
	for i, r := range e.Reliefs {
		words[i] = strings.TrimSpace(fmt.Sprintf("%s %s", r.Limit, r.To))
	}
	return strings.Join(words, ", ")
}

func TestNoFit(t *testing.T) {
	owned := tins(t, "round 100 mm", "round 150 mm", "round 200 mm", "round 240 mm", "square 200 mm", "square 300 mm")
	look := pattern(t, "round 200 mm", "round 150 mm")
	for _, c := range []struct {
		name string
		r    stack.Request
		most int
		want string
	}{
		// 240 mm serves 23 + 11 + 1 = 35 and 150 mm 13; a tin of 160 mm serves 15, and
		// 200 mm, at a step of 20 mm, 24. Squares serve 72 and 32.
		{"step and size", stack.Request{Guests: 50, Shape: shape.Round, MaxTiers: 2}, 48, "tiers 3, step 20 mm, shape square, tin round 160 mm"},
		{"height", stack.Request{Guests: 50, Shape: shape.Round, MaxHeight: measure.Must("20 cm")}, 48, "height 300 mm, step 20 mm, shape square, tin round 160 mm"},
		{"the top kept", stack.Request{Guests: 50, Shape: shape.Round, KeepTop: true}, 48, "step 20 mm, top, shape square, tin round 160 mm"},
		{"no such shape", stack.Request{Guests: 10, Shape: shape.Heart}, -1, "shape round, tin heart 100 mm"},
		{"more than all", stack.Request{Guests: 900}, 104, ""},
	} {
		c.r.Tins, c.r.Pattern = owned, look
		_, err := stack.Propose(c.r)
		var none *stack.NoFit
		if !errors.As(err, &none) {
			t.Errorf("%s: Propose = %v, want a NoFit", c.name, err)
			continue
		}
		if got := reliefs(none); got != c.want || none.Most != c.most {
			t.Errorf("%s: at most %d, and %q would do; want %d and %q", c.name, none.Most, got, c.most, c.want)
		}
	}
}

// A look has its tiers, heights and shapes; what is left to change are the step
// and the tins.
func TestNoFitForALook(t *testing.T) {
	_, err := stack.Rescale(stack.Request{
		Guests: 50, Pattern: pattern(t, "round 200 mm", "round 150 mm"),
		Tins: tins(t, "round 100 mm", "round 150 mm", "round 200 mm", "round 240 mm", "square 300 mm"),
	})
	var none *stack.NoFit
	if !errors.As(err, &none) {
		t.Fatalf("Rescale = %v, want a NoFit", err)
	}
	if got := reliefs(none); none.Most != 48 || got != "step 20 mm, tin round 160 mm" {
		t.Errorf("at most %d, and %q would do; want 48 and a step of 20 mm or a tin of 160 mm", none.Most, got)
	}
	if text := none.Error(); !strings.Contains(text, "nothing serves 50") || !strings.Contains(text, "a step of 20 mm a side instead of 25 mm") {
		t.Errorf("the error says %q", text)
	}
}

// What a relief promises holds: the request with it is answered.
func TestReliefsHold(t *testing.T) {
	owned := tins(t, "round 120 mm", "round 150 mm", "round 180 mm", "round 210 mm", "round 240 mm", "square 260 mm")
	for guests := 20; guests < 200; guests += 3 {
		r := stack.Request{Guests: guests, Tins: owned, Pattern: pattern(t, "round 200 mm", "round 150 mm"), Shape: shape.Round, KeepTop: guests%2 == 0, MaxTiers: 2, MaxHeight: measure.Must("20 cm")}
		_, err := stack.Propose(r)
		var none *stack.NoFit
		if err == nil {
			continue
		}
		if !errors.As(err, &none) {
			t.Fatal(err)
		}
		for _, relief := range none.Reliefs {
			eased, less := r, r
			switch relief.Limit {
			case stack.TiersLimit:
				fmt.Sscan(relief.To, &eased.MaxTiers)
			case stack.HeightLimit:
				eased.MaxHeight = measure.Must(relief.To)
			case stack.StepLimit:
				eased.Step = measure.Must(relief.To)
				mm := 0
				fmt.Sscan(relief.To, &mm)
				less.Step = measure.Must(fmt.Sprintf("%d mm", mm+1))
			case stack.TopLimit:
				eased.KeepTop = false
			case stack.ShapeLimit:
				eased.Shape = shape.Kind(relief.To)
			case stack.MixedLimit:
				eased.Shape, eased.Mixed = "", true
			case stack.TinLimit:
				eased.Tins = append(eased.Tins, tin(t, relief.To))
			}
			if _, err := stack.Propose(eased); err != nil {
				t.Errorf("%d guests: %s does not do: %v", guests, relief.Text, err)
			}
			if _, err := stack.Propose(less); relief.Limit == stack.StepLimit && err == nil {
				t.Errorf("%d guests: a step of more than %s does too", guests, relief.To)
			}
		}
	}
}

// TestRefuses: what no search can mend.
func TestRefuses(t *testing.T) {
	owned, look := tins(t, "round 200 mm"), pattern(t, "round 200 mm")
	measured := pattern(t, "measured 400 cm2 x 80 cm")
	for name, c := range map[string]struct {
		r    stack.Request
		want string
	}{
		"no guests":           {stack.Request{Pattern: look, Tins: owned}, "how many guests"},
		"a town":              {stack.Request{Guests: 50_000, Pattern: look, Tins: owned}, "share them among several"},
		"no tiers":            {stack.Request{Guests: 5, Tins: owned}, "no tiers"},
		"a step in grams":     {stack.Request{Guests: 5, Pattern: look, Tins: owned, Step: measure.Must("5 g")}, "no length"},
		"a height in grams":   {stack.Request{Guests: 5, Pattern: look, Tins: owned, MaxHeight: measure.Must("5 g")}, "no length"},
		"more than it can be": {stack.Request{Guests: 5, Pattern: look, Tins: owned, MinTiers: 3, MaxTiers: 2}, "from 3 to 2 tiers"},
		"crumbs":              {stack.Request{Guests: 5, Pattern: look, Tins: owned, Cut: fingers("1 mm", "1 mm")}, "cut larger ones"},
		"no tins":             {stack.Request{Guests: 5, Pattern: look}, "there are no tins"},
	} {
		if _, err := stack.Propose(c.r); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: Propose = %v, want an error with %q", name, err, c.want)
		}
	}
	if _, err := stack.Rescale(stack.Request{Guests: 5, Pattern: measured, Tins: owned}); err == nil || !strings.Contains(err.Error(), "measured outline") {
		t.Errorf("Rescale of a measured outline = %v, want an error", err)
	}
}
