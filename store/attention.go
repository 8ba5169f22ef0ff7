package store

import (
	"context"
	"database/sql"

	"marchpane/pricing/day"
	"marchpane/pricing/quote"
)

// Coming is an order whose event is near.
type Coming struct {
	Quote, Client string
	Event         day.Date
}

// OrdersComing lists the orders whose event is from one day to another, the next
// first, and how many there are; cancelled ones are none.
func (s *Store) OrdersComing(ctx context.Context, from, to day.Date, part Span) (list []Coming, n int, err error) {
	err = s.read(ctx, func(r *reader) error {
		ids, count := r.listed(`quote_board`, `quote`, []arm{
			{`state = 'accepted' AND event_date BETWEEN ?1 AND ?2`, `event_date`},
			{`state = 'pending' AND order_date BETWEEN ?1 AND ?2`, `order_date`}, // stands until its change is accepted
		}, false, "", search{}, []any{from.String(), to.String()}, part)
		n = count
		var c Coming
		r.each(func() { list = append(list, c) }, `SELECT number, client, event_date FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted
			WHERE q.id IN `+idList(ids)+` ORDER BY event_date, q.id`, nil, &c.Quote, &c.Client, text(&c.Event))
		return r.err
	})
	return list, n, err
}

// OffersLapsing lists the open offers that lapse from one day to another, the
// first of them first, as they stand on the first day, and how many there are.
func (s *Store) OffersLapsing(ctx context.Context, from, to day.Date, part Span) (list []QuoteEntry, n int, err error) {
	err = s.read(ctx, func(r *reader) error {
		ids, count := r.listed(`quote_board`, `quote`, []arm{
			{`state = 'issued' AND until BETWEEN ?1 AND ?2`, `until`}, {`state = 'pending' AND until BETWEEN ?1 AND ?2`, `until`},
		}, false, "", search{}, []any{from.String(), to.String()}, part)
		n, list = count, r.entriesOf(from, ids)
		return r.err
	})
	return list, n, err
}

// OrdersLate lists the orders of which something is late on a day that fell due
// on another or since, the longest late first, and how many there are.
func (s *Store) OrdersLate(ctx context.Context, since, on day.Date, part Span) (list []quote.Order, n int, err error) {
	if err := s.catchUp(ctx); err != nil {
		return nil, 0, err
	}
	err = s.read(ctx, func(r *reader) error {
		ids, count := r.listed(`order_due`, `quote`, []arm{{`due >= ?1 AND due < ?2`, `due`}}, false, "", search{}, []any{since.String(), on.String()}, part)
		n = count
		list, err = r.orders(`q.id IN ` + idList(ids))
		return err
	})
	return list, n, err
}

// OpenMoved returns what [Store.OpenQuotes] does of the quotes that moved after
// a stamp, 0 for all, as much of each as sums take; the numbers of all that
// moved; and the stamp of the last move. Money moves no quote.
func (s *Store) OpenMoved(ctx context.Context, from day.Date, after int64) (open []quote.Quote, moved []string, stamp int64, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.each(func() {}, `SELECT coalesce(max(stamp), 0) FROM quote_moved`, nil, &stamp)
		if r.err != nil || stamp == after {
			return r.err
		}
		if after > 0 {
			moved = r.list(`SELECT DISTINCT number FROM quote_moved m JOIN quote q ON q.id = m.quote WHERE m.stamp > ? AND NOT paid`, after)
		}
		var snapshot, number string
		var choice, options sql.Null[int]
		r.each(func() {
			first, last := choice.V, choice.V // 0: a single offer
			if !choice.Valid && options.V > 0 {
				first, last = 1, options.V
			}
			for i := first; i <= last && r.err == nil; i++ {
				var q quote.Quote
				if q, r.err = s.chronicles.thaw(snapshot, i); r.err == nil {
					open = append(open, q)
				}
			}
		}, `SELECT q.number, snapshot, q.choice, r.options FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = coalesce(q.accepted, q.newest)
			WHERE q.state IN ('issued', 'accepted') AND (q.accepted IS NOT NULL OR r.valid_until >= ?1) AND r.event_date >= ?1
				AND (?2 = 0 OR q.id IN (SELECT quote FROM quote_moved WHERE stamp > ?2 AND NOT paid))`, []any{from.String(), after}, &number, &snapshot, &choice, &options)
		return r.err
	})
	return open, moved, stamp, err
}
