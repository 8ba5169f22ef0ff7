package cli

import (
	"context"

	"marchpane/pricing/actual"
	"marchpane/store"
)

// keptBills is what the bills and plans of a month come to at an edition.
type keptBills struct {
	ledger *actual.Ledger
	at     store.Edition
}

// recorded returns what the bills and plans of a month come to. Of one that was
// asked for before, those alone are read that are new since; where one was taken
// back, all are.
func (m *keptMonths) recorded(ctx context.Context, of actual.Month) (actual.MonthRecords, error) {
	// First of all, so that whatever is read below is at least as new.
	now, err := m.store.Edition(ctx)
	if err != nil {
		return actual.MonthRecords{}, err
	}
	m.mu.Lock()
	if err := m.read(ctx, now); err != nil {
		m.mu.Unlock()
		return actual.MonthRecords{}, err
	}
	was, kept := m.bills[of], m.bills
	m.mu.Unlock()
	k := &keptBills{at: now}
	switch {
	case was != nil && was.at.Undone == now.Undone && was.at.Entries == now.Entries:
		return was.ledger.Month(of), nil
	case was != nil && was.at.Undone == now.Undone && was.at.Entries <= now.Entries:
		found, err := m.store.ActualsBetween(ctx, was.at, now)
		if err != nil {
			return actual.MonthRecords{}, err
		}
		k.ledger = was.ledger.With(ofMonth(found, of))
	default:
		// Up to the edition alone: what came meanwhile is to be added later, once.
		found, err := m.store.MonthActuals(ctx, of, now)
		if err != nil {
			return actual.MonthRecords{}, err
		}
		k.ledger = actual.NewLedger(found)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(kept) >= mostTallies {
		clear(kept)
	}
	kept[of] = k // which nobody asks any more where the book has become another
	return k.ledger.Month(of), nil
}

// ofMonth returns the bills and plans of a month.
func ofMonth(r actual.Records, of actual.Month) (found actual.Records) {
	for _, e := range r.Bills {
		if e.Month == of {
			found.Bills = append(found.Bills, e)
		}
	}
	for _, e := range r.Plans {
		if e.Month == of {
			found.Plans = append(found.Plans, e)
		}
	}
	return found
}
