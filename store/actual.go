package store

import (
	"context"
	"database/sql"
	"fmt"
	"strconv"
	"strings"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
)

// Record adds entries to the journal of what really happened: all, or where one
// is refused none. It returns them with their ids. Prices of purchases are for
// the caller to add to the book.
func (s *Store) Record(ctx context.Context, entries actual.Records, at time.Time) (saved actual.Records, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		w := newWriter(ctx, tx)
		saved, err = putRecords(r, w, entries, at)
		if err := w.close(); err != nil {
			return err
		}
		return err
	})
	return saved, err
}

func putRecords(r *reader, w *writer, entries actual.Records, at time.Time) (actual.Records, error) {
	quotes := map[string]any{"": nil}
	for _, number := range entries.Orders() {
		id, err := r.orderID(number)
		if err != nil {
			return actual.Records{}, err
		}
		quotes[number] = id
	}
	saved, err := w.putActuals(r, entries, quotes, at)
	if err != nil {
		return actual.Records{}, err
	}
	for _, number := range entries.Orders() {
		if err := r.checkActuals(quotes[number]); err != nil {
			return actual.Records{}, err
		}
	}
	return saved, nil
}

// orderID finds an accepted order, cancelled ones too.
func (r *reader) orderID(ref string) (int64, error) {
	found, err := r.findQuote(ref)
	if err != nil {
		return 0, err
	}
	accepted := false
	r.each(func() { accepted = true }, `SELECT accepted FROM quote WHERE id = ? AND accepted IS NOT NULL`, []any{found.id}, new(int64))
	if r.err == nil && !accepted {
		return 0, refused("%s was never accepted, so there is no order to record anything of; note its acceptance first", found.ref())
	}
	return found.id, r.err
}

// checkActuals refuses entries of an order that contradict one another.
func (r *reader) checkActuals(quote any) error {
	of, err := r.actuals(`SELECT id FROM actual WHERE quote = ? AND id NOT IN (SELECT entry FROM actual_undone)`, quote)
	if err != nil {
		return err
	}
	if err := of.Check(); err != nil {
		return refusal{err}
	}
	return nil
}

// ActualsOf returns all that was recorded of one order, what was taken back
// too, along with what bears on its prices: the purchases from its acceptance on,
// all wages, and the bills and plans of its month. Put it in order with
// [actual.NewLedger].
func (s *Store) ActualsOf(ctx context.Context, ref string) (found actual.Records, err error) {
	err = s.read(ctx, func(r *reader) error {
		id, err := r.orderID(ref)
		if err != nil {
			return err
		}
		found, err = r.actuals(`WITH this AS (
				SELECT q.id, v.event_date AS event, t.on_day AS accepted FROM quote q JOIN quote_revision v ON v.quote = q.id AND v.revision = q.accepted
				JOIN quote_trail t ON t.quote = q.id AND t.move = 'accept' AND t.revision = q.accepted WHERE q.id = ?1)
			SELECT a.id FROM actual a, this WHERE a.quote = this.id
			UNION ALL
			SELECT a.id FROM actual a, this WHERE kind = 'bought' AND quote IS NULL AND on_day BETWEEN this.accepted AND this.event
			UNION ALL
			SELECT id FROM actual WHERE kind = 'wage'
			UNION ALL
			SELECT a.id FROM actual a, this WHERE month = substr(this.event, 1, 7)`, id)
		return err
	})
	return found, err
}

// ActualsIn returns every entry dated from one day to another, and the bills
// and plans of the months that they touch, what was taken back too.
func (s *Store) ActualsIn(ctx context.Context, from, to day.Date) (found actual.Records, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err = r.actuals(datedActuals, from.String(), to.String())
		return err
	})
	return found, err
}

// datedActuals selects the ids of the entries dated from day ?1 to day ?2, and of
// the bills and plans of the months that they touch. The kinds that have no month
// are named, since the index of days has them first.
const datedActuals = `SELECT id FROM actual WHERE kind IN ('worked', 'longer', 'idle', 'used', 'more', 'wasted', 'bought', 'wage', 'charge') AND month IS NULL AND on_day BETWEEN ?1 AND ?2
	UNION ALL
	SELECT id FROM actual WHERE month BETWEEN substr(?1, 1, 7) AND substr(?2, 1, 7)`

// ActualsPage returns part of what [Store.ActualsIn] does, counted from the last
// entry back, and how many there are in all. A part beyond the first entry is the
// first part.
func (s *Store) ActualsPage(ctx context.Context, from, to day.Date, part Span) (actual.Records, int, error) {
	return s.actualsPage(ctx, datedActuals, from, to, part)
}

// PurchasesPage is [Store.ActualsPage] of purchases alone.
func (s *Store) PurchasesPage(ctx context.Context, from, to day.Date, part Span) (actual.Records, int, error) {
	return s.actualsPage(ctx, `SELECT id FROM actual WHERE kind = 'bought' AND on_day BETWEEN ?1 AND ?2`, from, to, part)
}

func (s *Store) actualsPage(ctx context.Context, ids string, from, to day.Date, part Span) (found actual.Records, n int, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.each(func() {}, pick+` count(*) FROM (`+ids+`)`, []any{from.String(), to.String()}, &n)
		if r.err != nil {
			return r.err
		}
		if part.From >= n {
			part.From = 0
		}
		found, err = r.actuals(pick+` id FROM (`+ids+`) ORDER BY id DESC LIMIT ?3 OFFSET ?4`, from.String(), to.String(), part.Most, part.From)
		return err
	})
	return found, n, err
}

// MonthActuals returns the bills and plans of a month that were recorded up to an
// edition, what was taken back too.
func (s *Store) MonthActuals(ctx context.Context, of actual.Month, upto Edition) (found actual.Records, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err = r.actuals(`SELECT id FROM actual WHERE month = ?1 AND id <= ?2`, of.String(), upto.Entries)
		return err
	})
	return found, err
}

// Actual returns an entry of the journal that counts. One that was taken back is
// refused with [ErrConflict].
func (s *Store) Actual(ctx context.Context, ref string) (found actual.Records, err error) {
	err = s.read(ctx, func(r *reader) error {
		_, found, err = r.standing(ref)
		return err
	})
	return found, err
}

// standing finds an entry that was not taken back.
func (r *reader) standing(ref string) (number int64, found actual.Records, err error) {
	number, errNumber := strconv.ParseInt(strings.TrimPrefix(strings.ToUpper(ref), "A"), 10, 64)
	if errNumber == nil {
		if found, err = r.actuals(`SELECT ?`, number); err != nil {
			return 0, found, err
		}
	}
	if found.Len() == 0 {
		return 0, found, r.unknown("entry", ref, `SELECT 'A' || id FROM actual ORDER BY id DESC`)
	}
	var before, reason string
	r.each(func() {}, `SELECT on_day, why FROM actual_undone WHERE entry = ?`, []any{number}, &before, &reason)
	if before != "" {
		return 0, found, refused("A%d was taken back on %s already%s", number, before, because(reason))
	}
	return number, found, r.err
}

// UndoActual takes an entry back that was made by mistake. It stays in the
// journal and counts for nothing. The entry is returned as it was.
func (s *Store) UndoActual(ctx context.Context, ref, why string, on day.Date, at time.Time) (undone actual.Records, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		number, found, err := r.standing(ref)
		if err != nil {
			return err
		}
		undone = found
		if _, err := tx.ExecContext(ctx, `INSERT INTO actual_undone (entry, at, on_day, why) VALUES (?, ?, ?, ?)`, number, instant(at), on.String(), why); err != nil {
			return err
		}
		for _, order := range undone.Orders() {
			id, err := r.orderID(order)
			if err != nil {
				return err
			}
			if err := r.checkActuals(id); err != nil {
				return fmt.Errorf("without A%d the rest would not add up: %w", number, err)
			}
		}
		return r.err
	})
	return undone, err
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + why
}
