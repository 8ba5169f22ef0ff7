package quote_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/day"
	"marchpane/pricing/quote"
)

var moves = []quote.Move{quote.Issue, quote.Revise, quote.Accept, quote.Decline, quote.Cancel}

// The table of legal moves, written out by hand: state by state what may be
// done, whatever else is refused with what to do instead.
func TestLegalMoves(t *testing.T) {
	first, valid := day.Must("2026-11-01"), day.Must("2026-11-30")
	step := func(m quote.Move, revision string) quote.Step {
		return quote.Step{On: first, Move: m, Revision: revision}
	}
	issue, reviseB := step(quote.Issue, "A"), step(quote.Revise, "B")
	accept, acceptB := step(quote.Accept, "A"), step(quote.Accept, "B")
	decline, cancel := step(quote.Decline, "A"), step(quote.Cancel, "A")
	for _, c := range []struct {
		name  string
		trail []quote.Step
		on    string
		state quote.State
		order string
		legal []quote.Move
	}{
		{"draft", nil, "2026-11-10", quote.DraftState, "", []quote.Move{quote.Issue}},
		{"issued", []quote.Step{issue}, "2026-11-30", quote.Issued, "", []quote.Move{quote.Revise, quote.Accept, quote.Decline, quote.Cancel}},
		{"lapsed", []quote.Step{issue}, "2026-12-01", quote.Lapsed, "", []quote.Move{quote.Revise, quote.Decline, quote.Cancel}},
		{"accepted", []quote.Step{issue, accept}, "2027-03-01", quote.Accepted, "A", []quote.Move{quote.Revise, quote.Cancel}},
		{"declined", []quote.Step{issue, decline}, "2026-11-10", quote.Declined, "", []quote.Move{quote.Revise}},
		{"declined, then revised", []quote.Step{issue, decline, reviseB}, "2026-11-10", quote.Issued, "", []quote.Move{quote.Revise, quote.Accept, quote.Decline, quote.Cancel}},
		{"cancelled", []quote.Step{issue, accept, cancel}, "2026-11-10", quote.Cancelled, "A", nil},
		{"order under revision", []quote.Step{issue, accept, reviseB}, "2026-11-10", quote.Issued, "A", []quote.Move{quote.Revise, quote.Accept, quote.Decline, quote.Cancel}},
		{"order whose revision lapsed", []quote.Step{issue, accept, reviseB}, "2026-12-01", quote.Accepted, "A", []quote.Move{quote.Revise, quote.Cancel}},
		{"order whose revision was declined", []quote.Step{issue, accept, reviseB, decline}, "2026-11-10", quote.Accepted, "A", []quote.Move{quote.Revise, quote.Cancel}},
		{"order in its revision", []quote.Step{issue, accept, reviseB, acceptB}, "2026-11-10", quote.Accepted, "B", []quote.Move{quote.Revise, quote.Cancel}},
	} {
		on := day.Must(c.on)
		l := quote.LifeOf(c.trail, valid, on)
		if l.State != c.state || l.Order != c.order {
			t.Errorf("%s: LifeOf = %s with order %q, want %s with %q", c.name, l.State, l.Order, c.state, c.order)
		}
		for _, m := range moves {
			err := l.Check("2026-0001", m, on)
			if legal := slices.Contains(c.legal, m); legal != (err == nil) {
				t.Errorf("%s: Check(%s) = %v, want legal %v", c.name, m, err, legal)
			}
			if err != nil && !strings.HasPrefix(err.Error(), "2026-0001 ") {
				t.Errorf("%s: Check(%s) = %v, which does not name the quote", c.name, m, err)
			}
		}
		if err := l.Check("2026-0001", quote.Revise, first.AddDays(-1)); len(c.trail) > 0 && err == nil {
			t.Errorf("%s: a move on a day before the last one is allowed", c.name)
		}
	}
}

// Whatever legal moves are made: a cancelled quote stays so, an accepted order
// is never lost but by cancelling, and what a move promises holds after it.
func TestLifeKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var trail []quote.Step
		on, valid := day.Must("2026-01-01"), day.Must("2026-01-31")
		revision := 0
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			on = on.AddDays(rapid.IntRange(0, 40).Draw(t, "days"))
			before := quote.LifeOf(trail, valid, on)
			m := rapid.SampledFrom(moves).Draw(t, "move")
			if before.Check("Q", m, on) != nil {
				if before.State == quote.Cancelled {
					return
				}
				continue
			}
			if m == quote.Issue || m == quote.Revise {
				revision++
				valid = on.AddDays(30)
			}
			trail = append(trail, quote.Step{On: on, Move: m, Revision: string(rune('A' + revision - 1))})
			after := quote.LifeOf(trail, valid, on)
			if before.Order != "" && after.Order == "" {
				t.Fatalf("%s loses the order", m)
			}
			want := map[quote.Move]quote.State{quote.Issue: quote.Issued, quote.Revise: quote.Issued, quote.Accept: quote.Accepted, quote.Cancel: quote.Cancelled, quote.Decline: quote.Declined}[m]
			if m == quote.Decline && before.Order != "" {
				want = quote.Accepted
			}
			if after.State != want {
				t.Fatalf("%s leads to %s, want %s", m, after.State, want)
			}
		}
	})
}
