package cli

import (
	"context"
	"errors"
	"maps"
	"slices"
	"sync"

	"marchpane/cmd/internal/web"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
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

// mostStores and mostTallies bound what is kept: the months of four years, some
// hundred kilobytes each where business is brisk.
const mostStores, mostTallies = 2, 48

// keptMonths is what is kept of one store.
type keptMonths struct {
	store *store.Store

	mu      sync.Mutex
	x       *book.Index // nil: nothing is kept yet
	book    int64       // the edition of x
	works   *month.Works
	plans   *schedule.Known
	kept    map[month.Span]*keptTally
	whole   map[month.Span]*keptWhole
	worked  *workedShelf
	journal *changes
	bills   map[actual.Month]*keptBills
}

// keptTally is the orders of a span.
type keptTally struct {
	mu      sync.Mutex // held while it is worked out, so that it is once
	tally   *month.Tally
	ledger  *actual.Ledger
	orders  map[string]counted // as the tally has them, by number
	stamps  map[string]int64   // of the orders: while it is the same, an order is
	records actual.Records     // that bear on them
	at      store.Edition
}

// counted is what of an order tells which entries bear on it.
type counted struct{ accepted, event day.Date }

// keptWhole is the tally of a span with its quotes and accounts: those that there
// were at an edition, known on a day.
type keptWhole struct {
	orders []*month.Tally // of the span, or of each of its months
	quotes int64
	today  day.Date
	tally  *month.Tally
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
	// First of all, so that whatever is read below is at least as new.
	now, err := m.store.Edition(ctx)
	if err != nil {
		return nil, err
	}
	of := []month.Span{span}
	if months := span.Months(); len(months) > 1 {
		of = of[:0]
		for _, each := range months {
			of = append(of, month.Span{From: each.First(), To: each.Last()})
		}
	}
	orders := make([]*month.Tally, len(of))
	for i, each := range of {
		if orders[i], err = m.orders(ctx, now, each, today); err != nil {
			return nil, err
		}
	}
	m.mu.Lock()
	was := m.whole[span]
	m.mu.Unlock()
	stands := was != nil && was.quotes == now.Quotes && was.today == today
	if stands && slices.Equal(was.orders, orders) {
		return was.tally, nil
	}
	t := orders[0].Anew(today)
	if len(orders) > 1 {
		if t, err = month.Join(span, today, orders); err != nil {
			return nil, err
		}
	}
	if stands {
		err = t.StandAs(was.tally)
	} else {
		err = errors.Join(
			m.store.EachOffered(ctx, span, today, t.Quote),
			m.store.EachAccount(ctx, span.To, t.Account))
	}
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.whole) >= mostTallies {
		clear(m.whole)
	}
	m.whole[span] = &keptWhole{orders, now.Quotes, today, t}
	return t, nil
}

// orders returns the orders of a span at an edition or a later one, without its
// quotes and accounts. Of those that it has tallied before it works out again
// those alone that moved, or that an entry bears on.
func (m *keptMonths) orders(ctx context.Context, now store.Edition, span month.Span, today day.Date) (*month.Tally, error) {
	src, k, worked, journal, err := m.sources(ctx, now, span)
	if err != nil {
		return nil, err
	}
	src.Today = today
	k.mu.Lock()
	defer k.mu.Unlock()
	stamps, same := k.stamps, k.tally != nil && k.at.Quotes == now.Quotes
	if same && k.at.Entries == now.Entries && k.at.Undone == now.Undone {
		return k.tally, nil
	}
	if !same {
		if stamps, err = m.store.Counting(ctx, span.From, span.To); err != nil {
			return nil, err
		}
		same = k.tally != nil && maps.Equal(k.stamps, stamps)
	}
	records, changed, ledger := k.records, actual.Records{}, k.ledger
	if same {
		added, gone, err := journal.since(ctx, m.store, k.at, now, records)
		if err != nil {
			return nil, err
		}
		if changed = added.Join(gone); !k.touched(changed, span) {
			k.at = now
			return k.tally, nil
		}
		if gone.Len() > 0 {
			records, ledger = records.Without(gone.IDs()), nil
		}
		added = added.Without(records.IDs())
		if records = records.Append(added); ledger != nil {
			ledger = ledger.With(added)
		}
	} else {
		if records, err = m.store.ActualsCounting(ctx, span.From, span.To); err != nil {
			return nil, err
		}
		is, was := records.IDs(), k.records.IDs()
		changed, ledger = records.Without(was).Join(k.records.Without(is)), nil
	}
	if ledger == nil {
		ledger = actual.NewLedger(records)
	}
	src.Ledger = ledger
	t, err := month.New(span, src)
	if err != nil {
		return nil, err
	}
	known, orders := worked.ordersOf(k), make(map[string]counted, len(stamps))
	fresh := make(map[string]*month.Worked, len(stamps))
	if same && !k.bears(changed) {
		// A bill or a plan of the month, and every order stays as it is.
		if t, err = k.tally.Revised(ledger); err == nil {
			k.tally, k.ledger, k.records, k.at = t, ledger, records, now
		}
		return t, err
	}
	if err := m.store.EachOrder(ctx, span.From, span.To, func(o quote.Order) (func(), error) {
		number, event := o.Quote.Number, o.Quote.Offer.EventDate
		w := known[number]
		if w == nil || k.stamps[number] != stamps[number] || changed.BearOn(number, o.Accepted, event) {
			var err error
			if w, err = t.Work(o); err != nil {
				return nil, err
			}
		}
		return func() {
			orders[number], fresh[number] = counted{o.Accepted, event}, w
		}, nil
	}); err != nil {
		return nil, err
	}
	if t, err = k.revised(t, ledger, known, fresh); err != nil {
		return nil, err
	}
	worked.keep(k, fresh)
	k.tally, k.ledger, k.orders, k.stamps, k.records, k.at = t, ledger, orders, stamps, records, now
	return t, nil
}

// revised returns the tally of the orders as they are now: the kept one where
// what is known of it tells the few that are another, else all of them added to an
// empty one.
func (k *keptTally) revised(empty *month.Tally, ledger *actual.Ledger, known, fresh map[string]*month.Worked) (*month.Tally, error) {
	var revisions []month.Revision
	for number, is := range fresh {
		if was := known[number]; was != is {
			revisions = append(revisions, month.Revision{Was: was, Is: is})
		}
	}
	for number, was := range known {
		if fresh[number] == nil {
			revisions = append(revisions, month.Revision{Was: was})
		}
	}
	if k.tally != nil && len(known) == len(k.orders) && 2*len(revisions) <= len(fresh) {
		return k.tally.Revised(ledger, revisions...)
	}
	for _, w := range fresh {
		if err := empty.Add(w); err != nil {
			return nil, err
		}
	}
	return empty, nil
}

// touched reports whether changed entries bear on the orders or on the span.
func (k *keptTally) touched(changed actual.Records, span month.Span) bool {
	if changed.Len() == 0 {
		return false
	}
	return changed.BearOnMonths(span.From, span.To) || k.bears(changed)
}

// bears reports whether changed entries bear on any of the orders.
func (k *keptTally) bears(changed actual.Records) bool {
	for number, o := range k.orders {
		if changed.BearOn(number, o.accepted, o.event) {
			return true
		}
	}
	return false
}

// sources returns the book that the store has at an edition, or a later one, and
// where the orders of a span are kept.
func (m *keptMonths) sources(ctx context.Context, now store.Edition, span month.Span) (src month.Sources, k *keptTally, worked *workedShelf, journal *changes, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.read(ctx, now); err != nil {
		return src, nil, nil, nil, err
	}
	if k = m.kept[span]; k == nil {
		if len(m.kept) >= mostTallies {
			clear(m.kept)
		}
		k = &keptTally{}
		m.kept[span] = k
	}
	return month.Sources{Book: m.x, Works: m.works}, k, m.worked, m.journal, nil
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
	m.whole, m.worked, m.journal = map[month.Span]*keptWhole{}, &workedShelf{}, &changes{}
	m.bills = map[actual.Month]*keptBills{}
	return nil
}
