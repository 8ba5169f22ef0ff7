package cli

import (
	"context"
	"errors"
	"slices"
	"sync"

	"marchpane/cmd/internal/web"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/month"
	"marchpane/pricing/schedule"
	"marchpane/store"
)

// tallies keeps what the orders of months came to, of the stores that were asked
// for last: the studio's own, and the demo's. A report after something was
// written, and that of a year, then works out only those months again that it
// bears on. The zero value is empty and ready.
type tallies struct {
	mu sync.Mutex
	of []*keptMonths // the latest last
}

// mostStores and mostTallies bound what is kept: the months of four years, a
// megabyte each where business is brisk.
const mostStores, mostTallies = 2, 48

// keptMonths is what is kept of one store.
type keptMonths struct {
	store *store.Store

	mu    sync.Mutex
	x     *book.Index // nil: nothing is kept yet
	book  int64       // the edition of x
	works *month.Works
	plans *schedule.Known
	kept  map[month.Span]*keptTally
}

// keptTally is the orders of a span.
type keptTally struct {
	mu      sync.Mutex // held while it is worked out, so that it is once
	tally   *month.Tally
	counted string
	at      store.Edition
}

// report makes the report of a span, beside the span before and the same a year
// earlier.
func (k *tallies) report(ctx context.Context, s *store.Store, span month.Span, today day.Date) (month.Report, error) {
	m := k.months(s)
	spans := [3]month.Span{span, span.Before(), span.YearBefore()}
	var made [3]*month.Tally
	var faults [3]error
	var all sync.WaitGroup
	for i := range spans {
		if at := slices.Index(spans[:i], spans[i]); at >= 0 {
			continue
		}
		all.Go(func() { made[i], faults[i] = m.tally(ctx, spans[i], today) })
	}
	all.Wait()
	if err := errors.Join(faults[:]...); err != nil {
		return month.Report{}, err
	}
	for i := range spans {
		made[i] = made[slices.Index(spans[:], spans[i])]
	}
	return made[0].Report(made[1], made[2])
}

func (k *tallies) months(s *store.Store) *keptMonths {
	k.mu.Lock()
	defer k.mu.Unlock()
	at := slices.IndexFunc(k.of, func(m *keptMonths) bool { return m.store == s })
	if at < 0 {
		if len(k.of) == mostStores {
			k.of = slices.Delete(k.of, 0, 1)
		}
		k.of = append(k.of, &keptMonths{store: s})
		at = len(k.of) - 1
	}
	return k.of[at]
}

// tally returns what happened in a span.
func (m *keptMonths) tally(ctx context.Context, span month.Span, today day.Date) (*month.Tally, error) {
	var t *month.Tally
	months := span.Months()
	if len(months) > 1 {
		parts := make([]*month.Tally, len(months))
		for i, of := range months {
			var err error
			if parts[i], err = m.orders(ctx, month.Span{From: of.First(), To: of.Last()}, today); err != nil {
				return nil, err
			}
		}
		var err error
		if t, err = month.Join(span, today, parts); err != nil {
			return nil, err
		}
	} else {
		orders, err := m.orders(ctx, span, today)
		if err != nil {
			return nil, err
		}
		t = orders.Anew(today)
	}
	return t, errors.Join(
		m.store.EachOffered(ctx, span, today, t.Quote),
		m.store.EachAccount(ctx, span.To, t.Account))
}

// orders returns the orders of a span, without its quotes and accounts.
func (m *keptMonths) orders(ctx context.Context, span month.Span, today day.Date) (*month.Tally, error) {
	// First of all, so that whatever is read below is at least as new.
	now, err := m.store.Edition(ctx)
	if err != nil {
		return nil, err
	}
	src, k, err := m.sources(ctx, now, span)
	if err != nil {
		return nil, err
	}
	src.Today = today
	k.mu.Lock()
	defer k.mu.Unlock()
	counted, err := m.store.Counting(ctx, span.From, span.To)
	if err != nil {
		return nil, err
	}
	if k.tally != nil && k.counted == counted {
		since, err := m.store.ActualsCountingSince(ctx, span.From, span.To, k.at)
		if err != nil {
			return nil, err
		}
		if !since {
			k.at = now
			return k.tally, nil
		}
	}
	records, err := m.store.ActualsCounting(ctx, span.From, span.To)
	if err != nil {
		return nil, err
	}
	src.Ledger = actual.NewLedger(records)
	t, err := month.New(span, src)
	if err != nil {
		return nil, err
	}
	if err := m.store.EachOrder(ctx, span.From, span.To, t.Take); err != nil {
		return nil, err
	}
	k.tally, k.counted, k.at = t, counted, now
	return t, nil
}

// sources returns the book that the store has at an edition, or a later one, and
// where the orders of a span are kept.
func (m *keptMonths) sources(ctx context.Context, now store.Edition, span month.Span) (src month.Sources, k *keptTally, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.read(ctx, now); err != nil {
		return src, nil, err
	}
	if k = m.kept[span]; k == nil {
		if len(m.kept) >= mostTallies {
			clear(m.kept)
		}
		k = &keptTally{}
		m.kept[span] = k
	}
	return month.Sources{Book: m.x, Works: m.works}, k, nil
}

// planner returns the book of the store with what is known of it for plans.
func (m *keptMonths) planner(ctx context.Context) (*schedule.Known, error) {
	now, err := m.store.Edition(ctx)
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.read(ctx, now); err != nil {
		return nil, err
	}
	return m.plans, nil
}

// read reads the book unless it is that of an edition, and forgets what follows
// from another. The lock is held.
func (m *keptMonths) read(ctx context.Context, now store.Edition) error {
	if m.x != nil && m.book == now.Book {
		return nil
	}
	b, err := m.store.Shared(ctx)
	if err != nil {
		return err
	}
	m.x, m.book = web.SharedIndex(b), now.Book
	m.works, m.plans, m.kept = month.NewWorks(m.x), schedule.NewKnown(m.x), map[month.Span]*keptTally{}
	return nil
}
