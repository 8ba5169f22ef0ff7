package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"runtime"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
)

// counting selects the ids of the accepted orders that count from day ?1 to day
// ?2, as package month has it: delivered, or called off.
const counting = `SELECT q.id FROM quote_revision r JOIN quote q ON r.quote = q.id AND r.revision = q.accepted
		WHERE r.event_date BETWEEN ?1 AND ?2 AND q.state <> 'cancelled'
	UNION ALL
	SELECT q.id FROM quote_trail c JOIN quote q ON q.id = c.quote
		WHERE c.move = 'cancel' AND c.on_day BETWEEN ?1 AND ?2 AND q.accepted IS NOT NULL`

// EachOrder reads every order that counts from one day to another: those
// delivered on these days and those called off on them. See package month. It
// reads what was sold, with the bills and prices, and neither payments nor the
// words of papers: see [Store.Orders] for those.
//
// Several orders are handed to take at the same time; what take returns is
// called one after another, in the order of the events. A few orders are in
// memory at once, however many there are.
func (s *Store) EachOrder(ctx context.Context, from, to day.Date, take func(quote.Order) (add func(), err error)) error {
	return s.read(ctx, func(r *reader) error {
		ctx, stop := context.WithCancel(ctx)
		defer stop()
		r.ctx = ctx
		type taken struct {
			add func()
			err error
		}
		var quotes thawer
		queue := make(chan chan taken, 4*runtime.GOMAXPROCS(0))
		read := make(chan error, 1)
		go func() {
			read <- r.eachAccepted(from, to, func(f frozen) error {
				one := make(chan taken, 1)
				select {
				case queue <- one:
				case <-ctx.Done():
					return ctx.Err()
				}
				go func() {
					var t taken
					var o quote.Order
					if o, t.err = f.order(&quotes); t.err == nil {
						t.add, t.err = take(o)
					}
					one <- t
				}()
				return nil
			})
			close(queue)
		}()
		var fault error
		for one := range queue {
			t := <-one
			switch {
			case fault != nil: // only let those that are under way come to their end
			case t.err != nil:
				fault = t.err
				stop()
			default:
				t.add()
			}
		}
		if err := <-read; fault == nil {
			fault = err
		}
		return fault
	})
}

// frozen is an accepted order as it is kept.
type frozen struct {
	number              string
	snapshot            string
	choice              sql.Null[int]
	accepted, cancelled day.Date
	fee                 sql.Null[string]
}

func (r *reader) eachAccepted(from, to day.Date, keep func(frozen) error) error {
	var f frozen
	return r.eachUntil(func() error { return keep(f) }, `SELECT q.number, r.snapshot, q.choice, a.on_day, c.on_day, c.fee
		FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted
		JOIN quote_trail a ON a.quote = q.id AND a.move = 'accept' AND a.revision = q.accepted
		LEFT JOIN quote_trail c ON c.quote = q.id AND c.move = 'cancel'
		WHERE q.id IN (`+counting+`) ORDER BY r.event_date, q.year, q.sequence`, []any{from.String(), to.String()},
		&f.number, &f.snapshot, &f.choice, text(&f.accepted), text(&f.cancelled), &f.fee)
}

func (f frozen) order(t *thawer) (quote.Order, error) {
	q, err := t.thaw(f.snapshot, f.choice.V)
	if err != nil {
		return quote.Order{}, fmt.Errorf("%s: %w", f.number, err)
	}
	o := quote.Order{Quote: q, Accepted: f.accepted, CancelledOn: f.cancelled}
	if f.fee.Valid {
		err = o.Fee.UnmarshalText([]byte(f.fee.V))
	}
	return o, err
}

// ActualsCounting returns what was recorded of every order that counts from one
// day to another, and what bears on their prices: the purchases from the first
// of their acceptances to the last of their events, all wages, and the bills and
// plans of the months that the days and the events touch. What was taken back is
// left out. Put it in order with [actual.NewLedger].
func (s *Store) ActualsCounting(ctx context.Context, from, to day.Date) (found actual.Records, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err = r.actuals(`WITH span AS MATERIALIZED (
				SELECT q.id, t.on_day AS accepted, v.event_date AS event FROM quote q
				JOIN quote_revision v ON v.quote = q.id AND v.revision = q.accepted
				JOIN quote_trail t ON t.quote = q.id AND t.move = 'accept' AND t.revision = q.accepted
				WHERE q.id IN (`+counting+`)),
			ends AS MATERIALIZED (SELECT min(?1, coalesce(min(accepted), ?1)) AS first, min(?1, coalesce(min(event), ?1)) AS early, max(?2, coalesce(max(event), ?2)) AS last FROM span)
			SELECT id FROM (
				SELECT a.id FROM span JOIN actual a ON a.quote = span.id
				UNION ALL
				SELECT a.id FROM ends JOIN actual a ON kind = 'bought' AND quote IS NULL AND on_day BETWEEN first AND last
				UNION ALL
				SELECT id FROM actual WHERE kind = 'wage'
				UNION ALL
				SELECT a.id FROM ends JOIN actual a ON month BETWEEN substr(early, 1, 7) AND substr(last, 1, 7))
			WHERE id NOT IN (SELECT entry FROM actual_undone)`, from.String(), to.String())
		return err
	})
	return found, err
}

// EachOffered hands over every quote that was issued or decided in a span, or
// open at its end, as that is known on a day.
func (s *Store) EachOffered(ctx context.Context, span month.Span, today day.Date, keep func(month.Offered)) error {
	return s.read(ctx, func(r *reader) error {
		stories, err := r.stories(span, today)
		if err != nil {
			return err
		}
		for _, story := range stories {
			o := month.Offered{Number: story.number, Story: story.Story}
			// Not by the view quote_sale, which would unfold every quote for each.
			r.each(func() {}, `SELECT v.client, v.event_date,
					coalesce(v.snapshot ->> ('$.options[' || (coalesce(?3, 1) - 1) || '].basis.net'), v.snapshot ->> '$.basis.net')
				FROM quote_revision v WHERE v.quote = ?1 AND v.revision = ?2`, []any{story.id, story.revision, story.choice},
				&o.Client, text(&o.Event), text(&o.Net))
			if o.IssuedNet = o.Net; story.revision > 1 || story.choice != nil {
				r.each(func() {}, `SELECT coalesce(snapshot ->> '$.options[0].basis.net', snapshot ->> '$.basis.net')
					FROM quote_revision WHERE quote = ? AND revision = 1`, []any{story.id}, text(&o.IssuedNet))
			}
			if r.err != nil {
				return fmt.Errorf("quote %s: %w", story.number, r.err)
			}
			keep(o)
		}
		return nil
	})
}

// story is the story of a quote, and where the revision and option are kept
// that it ended with.
type story struct {
	month.Story
	id       int64
	number   string
	revision int
	choice   any // nil where it has no options, or none was chosen
}

// stories returns the stories of the quotes that touch a span.
func (r *reader) stories(span month.Span, today day.Date) (list []story, err error) {
	var current, next story
	var validUntil, nextValid day.Date
	var trail []quote.Step
	var revisions []int
	var choices []any
	end := func() {
		current.Story = month.StoryOf(trail, validUntil, today)
		if current.id == 0 || !current.Touches(span) {
			return
		}
		for i, s := range trail {
			if s.Revision == current.Revision {
				current.revision = revisions[i]
			}
			if s.Move == quote.Accept && s.Revision == current.Revision {
				current.choice = choices[i]
				break
			}
		}
		list = append(list, current)
	}
	var step quote.Step
	var revision int
	var choice sql.Null[int]
	r.each(func() {
		if next.id != current.id {
			end()
			current, trail, revisions, choices = next, nil, nil, nil
		}
		validUntil = nextValid
		step.Revision = letter(revision)
		var chosen any
		if choice.Valid {
			chosen = choice.V
		}
		trail, revisions, choices = append(trail, step), append(revisions, revision), append(choices, chosen)
	}, `SELECT q.id, q.number, v.valid_until, t.on_day, t.move, t.revision, t.choice
		FROM quote q JOIN quote_trail t ON t.quote = q.id JOIN quote_revision v ON v.quote = q.id AND v.revision = q.newest
		WHERE q.year IS NOT NULL ORDER BY q.year, q.sequence, t.entry`, nil,
		&next.id, &next.number, text(&nextValid), text(&step.On), &step.Move, &revision, &choice)
	end()
	return list, r.err
}

// EachAccount hands over the accounts that were not settled at the end of a
// day, of orders that were accepted by then: of each its heading, total,
// instalments and payments, and how it was called off by then. A quote that was
// revised since stands in its last accepted revision.
func (s *Store) EachAccount(ctx context.Context, on day.Date, keep func(quote.Order)) error {
	return s.read(ctx, func(r *reader) error {
		payments, err := r.payments(`p.on_day <= ?`, on.String())
		if err != nil {
			return err
		}
		paid := map[int64][]quote.Payment{}
		for _, p := range payments {
			paid[p.of] = append(paid[p.of], p.Payment)
		}
		open, err := r.unsettled(on, paid)
		if err != nil {
			return err
		}
		for _, o := range open {
			order := quote.Order{Accepted: o.accepted, CancelledOn: o.cancelled, Fee: o.fee, Payments: paid[o.id]}
			offer := &order.Quote.Offer
			order.Quote.Number, offer.Total = o.number, o.total
			var instalments string
			r.each(func() {}, `SELECT client, event_date, currency, snapshot -> iif(q.choice IS NULL, '$.offer.instalments', '$.options[' || (q.choice - 1) || '].instalments')
				FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted WHERE q.id = ?`,
				[]any{o.id}, &offer.Client.Name, text(&offer.EventDate), text(&offer.Studio.Currency), &instalments)
			if r.err == nil {
				r.err = json.Unmarshal([]byte(instalments), &offer.Instalments)
			}
			if r.err != nil {
				return fmt.Errorf("order %s: %w", o.number, r.err)
			}
			keep(order)
		}
		return nil
	})
}

// owing is what an account comes to.
type owing struct {
	id                  int64
	number              string
	accepted, cancelled day.Date
	total, fee          money.Amount
}

// unsettled returns the orders, accepted by a day, of which more or less was
// received by then than is owed.
func (r *reader) unsettled(on day.Date, paid map[int64][]quote.Payment) (list []owing, err error) {
	var o owing
	var cancelled, fee sql.Null[string]
	err = r.eachUntil(func() error {
		o.cancelled, o.fee = day.Date{}, money.Amount{}
		owed := o.total
		if cancelled.Valid {
			if err := errors.Join(o.cancelled.UnmarshalText([]byte(cancelled.V)), o.fee.UnmarshalText([]byte(fee.V))); err != nil {
				return err
			}
			owed = o.fee
		}
		var received money.Amount
		for _, p := range paid[o.id] {
			received = received.Add(p.Amount)
		}
		if !received.Equal(owed) {
			list = append(list, o)
		}
		return nil
	}, `SELECT q.id, q.number, min(a.on_day), c.on_day, c.fee,
			iif(q.choice IS NULL, r.total, r.snapshot ->> ('$.options[' || (q.choice - 1) || '].total'))
		FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted
		JOIN quote_trail a ON a.quote = q.id AND a.move = 'accept'
		LEFT JOIN quote_trail c ON c.quote = q.id AND c.move = 'cancel' AND c.on_day <= ?1
		GROUP BY q.id HAVING min(a.on_day) <= ?1 ORDER BY q.year, q.sequence`, []any{on.String()},
		&o.id, &o.number, text(&o.accepted), &cancelled, &fee, text(&o.total))
	return list, err
}

// eachUntil reads every row of a query into columns until keep has had enough,
// which is its error.
func (r *reader) eachUntil(keep func() error, query string, args []any, columns ...any) error {
	rows, err := r.tx.QueryContext(r.ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := rows.Scan(columns...); err != nil {
			return err
		}
		if err := keep(); err != nil {
			return err
		}
	}
	return rows.Err()
}
