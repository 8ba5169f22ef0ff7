package store

import (
	"context"
	"database/sql"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// step is what a move adds to a quote's trail.
type step struct {
	on     day.Date
	move   quote.Move
	choice int // option that is accepted, from 1; 0 where there are none
	fee    *money.Amount
	reason string
}

func saveStep(ctx context.Context, tx *sql.Tx, id int64, revision int, s step, at time.Time) error {
	var choice, fee any
	if s.choice > 0 {
		choice = s.choice
	}
	if s.fee != nil {
		fee = s.fee.String()
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO quote_trail (quote, entry, at, on_day, move, revision, choice, fee, reason)
		SELECT ?1, coalesce(max(entry), 0) + 1, ?2, ?3, ?4, ?5, ?6, ?7, ?8 FROM quote_trail WHERE quote = ?1`,
		id, instant(at), s.on.String(), string(s.move), revision, choice, fee, s.reason)
	return err
}

// Trail returns everything that was done with a quote, the oldest first.
func (s *Store) Trail(ctx context.Context, ref string) (trail []quote.Step, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err := r.findQuote(ref)
		if err != nil {
			return err
		}
		trail, err = r.trail(found.id)
		return err
	})
	return trail, err
}

func (r *reader) trail(id int64) ([]quote.Step, error) {
	trail := []quote.Step{}
	var s quote.Step
	var option, fee sql.Null[string]
	r.each(func() {
		s.Option, s.Fee = option.V, money.Amount{}
		if fee.Valid && r.err == nil {
			r.err = s.Fee.UnmarshalText([]byte(fee.V))
		}
		trail = append(trail, s)
	}, `SELECT at, on_day, move, letter, snapshot ->> ('$.options[' || (choice - 1) || '].name'), fee, reason
		FROM quote_trail t JOIN quote_revision v ON v.quote = t.quote AND v.revision = t.revision
		WHERE t.quote = ? ORDER BY entry`, []any{id},
		&s.At, text(&s.On), &s.Move, &s.Revision, &option, &fee, &s.Reason)
	return trail, r.err
}

func (r *reader) life(id int64, validUntil, on day.Date) (quote.Life, error) {
	trail, err := r.trail(id)
	return quote.LifeOf(trail, validUntil, on), err
}

// Accept notes that the client accepts the newest revision of a quote on a day:
// of several options the one called option.
func (s *Store) Accept(ctx context.Context, ref, option, reason string, on day.Date, at time.Time) (SavedQuote, error) {
	return s.move(ctx, ref, on, at, func(q SavedQuote) (step, error) {
		choice, err := choose(q, option)
		return step{on: on, move: quote.Accept, choice: choice, reason: reason}, err
	})
}

// Decline notes that the client declines the newest revision of a quote.
func (s *Store) Decline(ctx context.Context, ref, reason string, on day.Date, at time.Time) (SavedQuote, error) {
	return s.move(ctx, ref, on, at, func(SavedQuote) (step, error) {
		return step{on: on, move: quote.Decline, reason: reason}, nil
	})
}

// Cancel calls a quote or the order made of it off. The fee is what the client
// owes for it; nil leaves it to the cancellation terms of the order that was
// accepted. It is 0 for a quote that was not. What is wrong with a fee is the
// error, at "fee".
func (s *Store) Cancel(ctx context.Context, ref string, fee *money.Amount, reason string, on day.Date, at time.Time) (SavedQuote, error) {
	return s.move(ctx, ref, on, at, func(q SavedQuote) (step, error) {
		var faults record.Faults
		owed := q.Quote.Offer.Studio.Currency.Amount(money.Amount{}.Decimal())
		if fee != nil && fee.Sign() < 0 {
			faults.Add("fee", "%s is less than nothing; name what the client owes for cancelling %s, 0 where it is waived. What was paid beyond it goes back as a payment", *fee, q.Ref())
		}
		if q.Life.Order != "" {
			order, err := s.Order(ctx, ref)
			if err != nil {
				return step{}, err
			}
			if on.After(order.Quote.Offer.EventDate) {
				return step{}, refused("the event of %s was on %s; an order that was delivered is not cancelled, but money can go back: payment refund", q.Ref(), order.Quote.Offer.EventDate)
			}
			if owed, _ = order.Quote.CancellationFee(on); fee != nil {
				owed = *fee
			}
			if owed.Cmp(order.Quote.Offer.Total) > 0 {
				faults.Add("fee", "%s is more than the order comes to, %s for %s; name at most that, or leave the fee out: then the terms of the order say it", owed, order.Quote.Offer.Total, q.Ref())
			}
		} else if fee != nil && fee.Sign() > 0 {
			faults.Add("fee", "%s was never accepted, so cancelling it costs the client nothing; leave the fee out", q.Ref())
		}
		return step{on: on, move: quote.Cancel, fee: &owed, reason: reason}, faults.Err()
	})
}

// move checks a step against where the quote stands and adds it to the trail.
func (s *Store) move(ctx context.Context, ref string, on day.Date, at time.Time, plan func(SavedQuote) (step, error)) (saved SavedQuote, err error) {
	before, err := s.Quote(ctx, ref, "", on)
	if err != nil {
		return saved, err
	}
	next, err := plan(before)
	if err != nil {
		return saved, err
	}
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		found, err := r.findQuote(ref)
		if err != nil {
			return err
		}
		// Read again: another may have moved it in between.
		if saved, err = r.savedQuote(found, "", on); err != nil {
			return err
		}
		if err := saved.Life.Check(found.ref(), next.move, on); err != nil {
			return refusal{err}
		}
		if saved.Quote.Revision != before.Quote.Revision || saved.Life.State != before.Life.State {
			return refused("%s was changed meanwhile; look at it again", found.ref())
		}
		if err := saveStep(ctx, tx, found.id, found.revisions, next, at); err != nil {
			return err
		}
		saved.Life, err = r.life(found.id, saved.Life.ValidUntil, on)
		return err
	})
	return saved, err
}
