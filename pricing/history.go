package pricing

import (
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// History is the prices of an ingredient over time.
type History struct {
	Entries []HistoryEntry // by day; of one day as they were listed
	// The price in force at both ends of the span, and the change as a
	// fraction; no span where there was none in force at its start.
	HasSpan           bool
	First, Last       day.Date
	FirstPer, LastPer exact.Number // a base unit
	Span              exact.Number
	Cheapest          *HistoryEntry // of all suppliers' prices in force now
}

// HistoryEntry is one price.
type HistoryEntry struct {
	Price     book.Price
	PerBase   exact.Number // what a base unit costs the studio
	HasChange bool
	Change    exact.Number // from the same supplier's price before, a fraction
}

// HistoryOf returns the prices of an ingredient between two days, either of
// which may be the zero day for no bound. Cheapest is as of now, by the price
// of a base unit over all packs and suppliers.
func HistoryOf(s book.Studio, ing *book.Ingredient, since, until, now day.Date) History {
	sorted := slices.Clone(ing.Prices)
	slices.SortStableFunc(sorted, func(a, b book.Price) int {
		switch {
		case a.From.Before(b.From):
			return -1
		case b.From.Before(a.From):
			return 1
		}
		return 0
	})
	var h History
	last := map[string]exact.Number{} // by supplier
	inForce := map[string]HistoryEntry{}
	for _, p := range sorted {
		e := HistoryEntry{Price: p, PerBase: p.PerBase(s)}
		supplier := p.Supplier.Value
		if before, there := last[supplier]; there && !before.IsZero() {
			e.HasChange, e.Change = true, e.PerBase.Quo(before).Sub(exact.Int(1))
		}
		last[supplier] = e.PerBase
		if !p.From.After(now) {
			inForce[supplier] = e
		}
		if p.From.Before(since) || !until.IsZero() && p.From.After(until) {
			continue
		}
		h.Entries = append(h.Entries, e)
	}
	for _, supplier := range sortedSuppliers(inForce) {
		if e := inForce[supplier]; h.Cheapest == nil || e.PerBase.Cmp(h.Cheapest.PerBase) < 0 {
			h.Cheapest = &e
		}
	}
	h.span(s, ing, since, until)
	return h
}

func sortedSuppliers(m map[string]HistoryEntry) []string {
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// span compares the price in force at both ends.
func (h *History) span(s book.Studio, ing *book.Ingredient, since, until day.Date) {
	if len(h.Entries) == 0 {
		return
	}
	h.First, h.Last = since, until
	if h.First.IsZero() {
		h.First = h.Entries[0].Price.From
	}
	if h.Last.IsZero() {
		h.Last = h.Entries[len(h.Entries)-1].Price.From
	}
	first, errFirst := ing.PriceOn(h.First)
	last, errLast := ing.PriceOn(h.Last)
	if errFirst != nil || errLast != nil {
		return // none was in force yet
	}
	h.FirstPer, h.LastPer = first.PerBase(s), last.PerBase(s)
	if h.HasSpan = !h.FirstPer.IsZero(); h.HasSpan {
		h.Span = h.LastPer.Quo(h.FirstPer).Sub(exact.Int(1))
	}
}
