package risk

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// What a history has to hold before anything is said from it.
const (
	MinChanges = 12 // monthly changes, and at least as many as months ahead
	MinPrices  = 3  // dated prices: two moves are the least that shows how a price moves
)

// MinCovered is the share of the cost of ingredients and packaging that prices
// with enough history must carry: one half.
func MinCovered() exact.Number { return exact.Frac(1, 2) }

// reach is the share of the cost with enough history that has to reach back to
// the beginning of the window.
func reach() exact.Number { return exact.Frac(9, 10) }

// TooShort is the answer where the history is too short to say anything.
type TooShort struct {
	Covered exact.Number // share of the cost of ingredients and packaging with enough history, to 4 decimals
	Needed  int          // monthly changes that a history must hold
	Held    []Held       // the others, by falling cost
}

// Error says so, and what is missing.
func (e *TooShort) Error() string {
	text := fmt.Sprintf("the history is too short to say anything: prices with at least %d monthly changes from at least %d dated prices carry %s of the cost of ingredients and packaging, and %s are needed",
		e.Needed, MinPrices, percent(e.Covered), percent(MinCovered()))
	const most = 5
	reasons := make([]string, 0, most+1)
	for _, h := range e.Held[:min(most, len(e.Held))] {
		reasons = append(reasons, h.Name+" "+h.Why)
	}
	if more := len(e.Held) - most; more > 0 {
		reasons = append(reasons, fmt.Sprintf("%d more likewise", more))
	}
	if len(reasons) > 0 {
		text += " (" + strings.Join(reasons, "; ") + ")"
	}
	return text + "; enter past prices with their dates"
}

// percent prints a fraction as 12.5 %.
func percent(n exact.Number) string {
	return n.Mul(exact.Int(100)).Fixed(1) + " %"
}

// window is the run of months that changes are drawn from.
type window struct {
	first, last month // whose changes are drawn
	months      int
	goods       []good       // that move
	moves       exact.Number // what they cost
	covered     exact.Number // share of the cost of ingredients and packaging
	held        []Held
}

// good is an ingredient or packaging of the order.
type good struct {
	id      book.ID
	name    string
	cost    exact.Number
	last    month
	changes []float64 // monthly, oldest first; within a window, of its months alone
}

// windowOf chooses the window and which prices move.
func windowOf(in Input, ahead int, goodsCost exact.Number) (window, error) {
	needed := max(MinChanges, ahead)
	var w window
	var enough []good
	for _, l := range in.Bill {
		if l.Kind != pricing.Ingredient && l.Kind != pricing.Packaging {
			continue
		}
		rate, err := in.Rates.Of(l.Resource, l.Kind)
		if err != nil {
			return window{}, err
		}
		h := in.Histories[l.Resource]
		g := good{id: l.Resource, name: cmp.Or(h.Name, string(l.Resource)), cost: l.Quantity.Mul(rate.PerUnit)}
		why, err := g.take(h, needed)
		if err != nil {
			return window{}, err
		}
		if why != "" {
			w.hold(in, g, why)
			continue
		}
		enough = append(enough, g)
	}
	w.choose(in, enough)
	slices.SortStableFunc(w.held, func(a, b Held) int { return cmp.Or(b.Cost.Cmp(a.Cost), cmp.Compare(a.Resource, b.Resource)) })
	if !goodsCost.IsZero() {
		w.covered = w.moves.Quo(goodsCost)
	}
	if len(w.goods) == 0 || w.covered.Cmp(MinCovered()) < 0 {
		return window{}, &TooShort{Covered: fraction(w.covered), Needed: needed, Held: w.held}
	}
	for _, g := range w.goods {
		if g.last != w.last {
			return window{}, fmt.Errorf("the history of %s ends in %s, that of %s in %s; take both to the same month", w.goods[0].name, w.last, g.name, g.last)
		}
	}
	return w, nil
}

// take reads the monthly changes of a history; why tells what they lack.
func (g *good) take(h History, needed int) (why string, err error) {
	switch n := len(h.Months) - 1; {
	case n < 0:
		return "has no price history", nil
	case n < needed:
		return fmt.Sprintf("has %d of the %d monthly changes that it takes", n, needed), nil
	}
	if n := h.prices(); n < MinPrices {
		return fmt.Sprintf("has %d of the %d dated prices that it takes", n, MinPrices), nil
	}
	for i, m := range h.Months {
		if m.PerUnit.Sign() <= 0 {
			return fmt.Sprintf("costs nothing in %s, and from nothing no change can be reckoned", monthOf(m.End)), nil
		}
		if i == 0 {
			continue
		}
		before := h.Months[i-1]
		if monthOf(m.End) != monthOf(before.End)+1 {
			return "", fmt.Errorf("the history of %s goes from %s to %s; it must hold every month once", g.name, monthOf(before.End), monthOf(m.End))
		}
		g.changes = append(g.changes, math.Log(float(m.PerUnit.Quo(before.PerUnit))))
	}
	g.last = monthOf(h.Months[len(h.Months)-1].End)
	return "", nil
}

func (w *window) hold(in Input, g good, why string) {
	w.held = append(w.held, Held{g.id, g.name, in.Currency.Round(g.cost), why})
}

// choose takes the longest window to whose beginning enough of the cost
// reaches back, and holds what does not reach.
func (w *window) choose(in Input, enough []good) {
	if len(enough) == 0 {
		return
	}
	var all, reaching exact.Number
	for _, g := range enough {
		all = all.Add(g.cost)
	}
	byLength := slices.SortedStableFunc(slices.Values(enough), func(a, b good) int { return len(b.changes) - len(a.changes) })
	for _, g := range byLength {
		w.months = len(g.changes)
		reaching = reaching.Add(g.cost)
		if reaching.Cmp(all.Mul(reach())) >= 0 {
			break
		}
	}
	for _, g := range enough {
		if n := len(g.changes); n < w.months {
			w.hold(in, g, fmt.Sprintf("has %d monthly changes, too few beside the %d that are drawn from", n, w.months))
			continue
		}
		g.changes = g.changes[len(g.changes)-w.months:]
		w.goods = append(w.goods, g)
		w.moves = w.moves.Add(g.cost)
	}
	w.last = w.goods[0].last
	w.first = w.last - month(w.months) + 1
}

// yearlyDrift returns the mean change of the prices that move, by cost, as a
// rise a year.
func (w window) yearlyDrift() exact.Number {
	means, costs := make([]float64, len(w.goods)), make([]float64, len(w.goods))
	for i, g := range w.goods {
		means[i], costs[i] = stat.Mean(g.changes, nil), float(g.cost)
	}
	return rounded(math.Expm1(12 * stat.Mean(means, costs)))
}
