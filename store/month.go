package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"runtime"
	"slices"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
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
// words of papers: see [Store.Orders] for those. They are for reading alone.
//
// Several orders are handed to take at the same time; what take returns is
// called one after another, in the order of the events. A few orders are in
// memory at once besides those that are remembered, however many there are.
func (s *Store) EachOrder(ctx context.Context, from, to day.Date, take func(quote.Order) (add func(), err error)) error {
	c, err := s.chronicle(ctx)
	if err != nil {
		return err
	}
	return s.read(ctx, func(r *reader) error {
		ctx, stop := context.WithCancel(ctx)
		defer stop()
		r.ctx = ctx
		type taken struct {
			add func()
			err error
		}
		queue := make(chan chan taken, 4*runtime.GOMAXPROCS(0))
		read := make(chan error, 1)
		go func() {
			read <- s.eachAccepted(r, c.counting(from, to), func(order func() (quote.Order, error)) error {
				one := make(chan taken, 1)
				select {
				case queue <- one:
				case <-ctx.Done():
					return ctx.Err()
				}
				go func() {
					var t taken
					var o quote.Order
					if o, t.err = order(); t.err == nil {
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

// counting lists the accepted orders that count from one day to another, as
// package month has it, in the order of the events.
func (c *chronicle) counting(from, to day.Date) (list []*chronicled) {
	within := func(d day.Date) bool { return !d.Before(from) && !d.After(to) }
	for _, q := range c.quotes {
		if q.accepted == 0 {
			continue
		}
		if off := q.calledOff(); !q.cancelled && within(q.event) || off != nil && within(off.On) {
			list = append(list, q)
		}
	}
	slices.SortStableFunc(list, byEvent)
	return list
}

// byEvent orders by the day of the event.
func byEvent(a, b *chronicled) int { return b.event.DaysUntil(a.event) }

// eachAccepted hands over what was sold of each order, to be read.
func (s *Store) eachAccepted(r *reader, list []*chronicled, keep func(order func() (quote.Order, error)) error) error {
	for _, q := range list {
		if known := q.sold.Load(); known != nil {
			if err := keep(func() (quote.Order, error) { return *known, nil }); err != nil {
				return err
			}
			continue
		}
		var snapshot string
		r.each(func() {}, `SELECT snapshot FROM quote_revision WHERE quote = ? AND revision = ?`, []any{q.id, q.accepted}, &snapshot)
		if r.err != nil {
			return r.err
		}
		if err := keep(func() (quote.Order, error) {
			o, err := q.order(&s.chronicles.thawer, snapshot)
			if err == nil {
				recall(&s.chronicles, soldShelf, &q.sold, &o)
			}
			return o, err
		}); err != nil {
			return err
		}
	}
	return nil
}

func (q *chronicled) order(t *thawer, snapshot string) (quote.Order, error) {
	sold, err := t.thaw(snapshot, q.choice.V)
	if err != nil {
		return quote.Order{}, fmt.Errorf("%s: %w", q.number, err)
	}
	o := quote.Order{Quote: sold, Accepted: q.acceptedOn}
	if off := q.calledOff(); off != nil {
		o.CancelledOn, o.Fee = off.On, off.fee
	}
	return o, nil
}

// Counting lists which orders count from one day to another, each with a stamp,
// by number: while the stamp of one is the same, [Store.EachOrder] reads the same
// of it. Money that is paid changes nothing of that.
func (s *Store) Counting(ctx context.Context, from, to day.Date) (map[string]int64, error) {
	c, err := s.chronicle(ctx)
	if err != nil {
		return nil, err
	}
	stamps := map[string]int64{}
	for _, q := range c.counting(from, to) {
		stamps[q.number] = q.stamp
	}
	return stamps, nil
}

// bearing selects the ids of what was recorded of the orders that count from day
// ?1 to day ?2, and of what bears on their prices.
const bearing = `WITH span AS MATERIALIZED (
		SELECT q.id, t.on_day AS accepted, v.event_date AS event FROM quote q
		JOIN quote_revision v ON v.quote = q.id AND v.revision = q.accepted
		JOIN quote_trail t ON t.quote = q.id AND t.move = 'accept' AND t.revision = q.accepted
		WHERE q.id IN (` + counting + `)),
	ends AS MATERIALIZED (SELECT min(?1, coalesce(min(accepted), ?1)) AS first, min(?1, coalesce(min(event), ?1)) AS early, max(?2, coalesce(max(event), ?2)) AS last FROM span)
	SELECT id FROM (
		SELECT a.id FROM span JOIN actual a ON a.quote = span.id
		UNION ALL
		SELECT a.id FROM ends JOIN actual a ON kind = 'bought' AND quote IS NULL AND on_day BETWEEN first AND last
		UNION ALL
		SELECT id FROM actual WHERE kind = 'wage'
		UNION ALL
		SELECT a.id FROM ends JOIN actual a ON month BETWEEN substr(early, 1, 7) AND substr(last, 1, 7))`

// ActualsCounting returns what was recorded of every order that counts from one
// day to another, and what bears on their prices: the purchases from the first
// of their acceptances to the last of their events, all wages, and the bills and
// plans of the months that the days and the events touch. What was taken back is
// left out. Put it in order with [actual.NewLedger].
func (s *Store) ActualsCounting(ctx context.Context, from, to day.Date) (found actual.Records, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err = r.actuals(bearing+` WHERE id NOT IN (SELECT entry FROM actual_undone)`, from.String(), to.String())
		return err
	})
	return found, err
}

// ActualsBetween returns what was recorded after one edition and up to another,
// taken back or not.
func (s *Store) ActualsBetween(ctx context.Context, after, upto Edition) (found actual.Records, err error) {
	if after.Entries >= upto.Entries {
		return found, nil
	}
	err = s.read(ctx, func(r *reader) error {
		found, err = r.actuals(`SELECT id FROM actual WHERE id > ?1 AND id <= ?2`, after.Entries, upto.Entries)
		return err
	})
	return found, err
}

// Undone returns the ids of all entries that were ever taken back.
func (s *Store) Undone(ctx context.Context) (ids map[string]bool, err error) {
	ids = map[string]bool{}
	err = s.read(ctx, func(r *reader) error {
		var id int64
		r.each(func() { ids[entryRef(id)] = true }, `SELECT entry FROM actual_undone`, nil, &id)
		return r.err
	})
	return ids, err
}

// EachOffered hands over every quote that was issued or decided in a span, or
// open at its end, as that is known on a day.
func (s *Store) EachOffered(ctx context.Context, span month.Span, today day.Date, keep func(month.Offered)) error {
	c, err := s.chronicle(ctx)
	if err != nil {
		return err
	}
	return s.read(ctx, func(r *reader) error {
		for _, q := range c.quotes {
			if !q.reaches(span, today) {
				continue
			}
			story := q.story(today)
			if !story.Touches(span) {
				continue
			}
			o, err := s.offered(r, q, story)
			if err != nil {
				return fmt.Errorf("quote %s: %w", q.number, err)
			}
			keep(month.Offered{Number: q.number, Story: story.Story, Client: o.client, Event: o.event, Net: o.net, IssuedNet: o.issuedNet})
		}
		return nil
	})
}

// reaches reports whether a quote may touch a span, without its whole story:
// most are over long before it, or were issued after.
func (q *chronicled) reaches(span month.Span, today day.Date) bool {
	before := !q.validUntil.Before(span.From.AddDays(-1)) || !today.After(q.validUntil)
	after := true
	for _, s := range q.trail {
		before = before || !s.On.Before(span.From)
		after = after && s.On.After(span.To)
	}
	return before && !after
}

// story is the story of a quote, and where the revision and option are kept
// that it ended with.
type story struct {
	month.Story
	revision int
	choice   sql.Null[int] // none where it has no options, or none was chosen
}

func (q *chronicled) story(today day.Date) (s story) {
	steps := make([]quote.Step, len(q.trail))
	for i, step := range q.trail {
		steps[i] = step.Step
	}
	s.Story = month.StoryOf(steps, q.validUntil, today)
	for _, step := range q.trail {
		if step.Revision == s.Revision {
			s.revision = step.revision
		}
		if step.Move == quote.Accept && step.Revision == s.Revision {
			s.choice = step.choice
			break
		}
	}
	return s
}

// offered is what a quote offered, in the revision and option of its story.
type offered struct {
	revision       int
	choice         sql.Null[int]
	client         string
	event          day.Date
	net, issuedNet exact.Number
}

func (s *Store) offered(r *reader, q *chronicled, story story) (*offered, error) {
	if known := q.offered.Load(); known != nil && known.revision == story.revision && known.choice == story.choice {
		return known, nil
	}
	o := &offered{revision: story.revision, choice: story.choice}
	var choice any
	if story.choice.Valid {
		choice = story.choice.V
	}
	// Not by the view quote_sale, which would unfold every quote for each.
	r.each(func() {}, `SELECT v.client, v.event_date,
			coalesce(v.snapshot ->> ('$.options[' || (coalesce(?3, 1) - 1) || '].basis.net'), v.snapshot ->> '$.basis.net')
		FROM quote_revision v WHERE v.quote = ?1 AND v.revision = ?2`, []any{q.id, story.revision, choice},
		&o.client, text(&o.event), text(&o.net))
	if o.issuedNet = o.net; story.revision > 1 || story.choice.Valid {
		r.each(func() {}, `SELECT coalesce(snapshot ->> '$.options[0].basis.net', snapshot ->> '$.basis.net')
			FROM quote_revision WHERE quote = ? AND revision = 1`, []any{q.id}, text(&o.issuedNet))
	}
	if r.err != nil {
		return nil, r.err
	}
	return recall(&s.chronicles, offeredShelf, &q.offered, o), nil
}

// EachAccount hands over the accounts that were not settled at the end of a
// day, of orders that were accepted by then: of each its heading, total,
// instalments and payments, and how it was called off by then. A quote that was
// revised since stands in its last accepted revision.
func (s *Store) EachAccount(ctx context.Context, on day.Date, keep func(quote.Order)) error {
	c, err := s.chronicle(ctx)
	if err != nil {
		return err
	}
	return s.read(ctx, func(r *reader) error {
		for _, q := range c.quotes {
			o, open := q.owing(on)
			if !open {
				continue
			}
			heading, err := s.account(r, q)
			if err != nil {
				return fmt.Errorf("order %s: %w", q.number, err)
			}
			total := o.Quote.Offer.Total
			o.Quote.Offer = *heading
			o.Quote.Offer.Total = total
			keep(o)
		}
		return nil
	})
}

// owing returns the account of an order as of a day, and whether more or less
// was received by then than is owed.
func (q *chronicled) owing(on day.Date) (o quote.Order, open bool) {
	if q.accepted == 0 || !q.settled.IsZero() && !on.Before(q.settled) {
		return o, false
	}
	if o.Accepted = q.firstAccepted(); o.Accepted.IsZero() || o.Accepted.After(on) {
		return o, false
	}
	o.Quote.Number, o.Quote.Offer.Total = q.number, q.total
	owed := q.total
	if off := q.calledOff(); off != nil && !off.On.After(on) {
		o.CancelledOn, o.Fee = off.On, off.fee
		owed = off.fee
	}
	by := len(q.payments)
	for by > 0 && q.payments[by-1].On.After(on) {
		by--
	}
	o.Payments = q.payments[:by:by]
	var received money.Amount
	for _, p := range o.Payments {
		received = received.Add(p.Amount)
	}
	return o, !received.Equal(owed)
}

// account returns the heading and the instalments of an order.
func (s *Store) account(r *reader, q *chronicled) (*quote.Offer, error) {
	if known := q.account.Load(); known != nil {
		return known, nil
	}
	offer := &quote.Offer{}
	var instalments string
	r.each(func() {}, `SELECT client, event_date, currency, snapshot -> iif(q.choice IS NULL, '$.offer.instalments', '$.options[' || (q.choice - 1) || '].instalments')
		FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted WHERE q.id = ?`,
		[]any{q.id}, &offer.Client.Name, text(&offer.EventDate), text(&offer.Studio.Currency), &instalments)
	if r.err == nil {
		r.err = json.Unmarshal([]byte(instalments), &offer.Instalments)
	}
	if r.err != nil {
		return nil, r.err
	}
	return recall(&s.chronicles, accountShelf, &q.account, offer), nil
}
