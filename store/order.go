package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// choose returns which option of a quote is called name, from 1; 0 where the
// quote has none. A number names an option by its place.
func choose(q SavedQuote, name string) (int, error) {
	options := q.Quote.Options
	switch {
	case len(options) == 0 && name == "":
		return 0, nil
	case len(options) == 0:
		return 0, fmt.Errorf("%s is a single offer; leave the option out", q.Ref())
	}
	names := make([]string, len(options))
	for i, o := range options {
		names[i] = fmt.Sprintf("%d %q", i+1, o.Name)
		if strings.EqualFold(strings.TrimSpace(name), strings.TrimSpace(o.Name)) {
			return i + 1, nil
		}
	}
	if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(options) {
		return n, nil
	}
	if name == "" {
		return 0, fmt.Errorf("%s offers a choice; say which option you mean: %s", q.Ref(), strings.Join(names, ", "))
	}
	return 0, fmt.Errorf("%s has no option %.60q; it has %s", q.Ref(), name, strings.Join(names, ", "))
}

// Offer returns the quote as one offer: its single one, else the option called
// name, or the one that was accepted where name is empty.
func (s SavedQuote) Offer(name string) (quote.Quote, error) {
	if name == "" && s.Life.Order == s.Quote.Revision {
		name = s.Life.Option
	}
	n, err := choose(s, name)
	if err != nil {
		return quote.Quote{}, err
	}
	return s.Quote.Choose(max(n-1, 0)), nil
}

// Choice returns which option is called name, from 1; 0 where the quote is a
// single offer. A number names an option by its place.
func (s SavedQuote) Choice(name string) (int, error) { return choose(s, name) }

// Order returns the order that a quote became when it was accepted: its
// accepted revision, in the option that was chosen, with its payments. The
// error is [ErrNotFound] where it was never accepted.
func (s *Store) Order(ctx context.Context, ref string) (order quote.Order, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err := r.findQuote(ref)
		if err != nil {
			return err
		}
		list, err := r.orders(`q.id = ?`, found.id)
		if err != nil {
			return err
		}
		if len(list) == 0 {
			return fmt.Errorf("an order of %s is %w: it was never accepted", found.ref(), ErrNotFound)
		}
		order = list[0]
		return nil
	})
	return order, err
}

// Orders returns every accepted order whose event is from one day to another,
// cancelled ones too, in the order of the events. What it lists is for reading
// alone: the next who asks may be given the same.
func (s *Store) Orders(ctx context.Context, from, to day.Date) ([]quote.Order, error) {
	c, err := s.chronicle(ctx)
	if err != nil {
		return nil, err
	}
	var wanted []*chronicled
	for _, q := range c.quotes {
		if q.accepted > 0 && !q.event.Before(from) && !q.event.After(to) {
			wanted = append(wanted, q)
		}
	}
	slices.SortStableFunc(wanted, byEvent)
	list := make([]quote.Order, len(wanted))
	err = s.read(ctx, func(r *reader) error {
		at := map[int64]int{}
		ids := make([]int64, len(wanted))
		for i, q := range wanted {
			whole, err := s.whole(r, q)
			if err != nil {
				return err
			}
			list[i] = quote.Order{Quote: *whole, Accepted: q.acceptedOn}
			if off := q.calledOff(); off != nil {
				list[i].CancelledOn, list[i].Fee = off.On, off.fee
			}
			at[q.id], ids[i] = i, q.id
		}
		those, err := json.Marshal(ids)
		if err != nil {
			return err
		}
		payments, err := r.payments(`p.quote IN (SELECT value FROM json_each(?))`, string(those))
		for _, p := range payments {
			list[at[p.of]].Payments = append(list[at[p.of]].Payments, p.Payment)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}

// whole returns the accepted revision of a quote in the option that was chosen.
func (s *Store) whole(r *reader, q *chronicled) (*quote.Quote, error) {
	if known := q.whole.Load(); known != nil {
		return known, nil
	}
	var snapshot string
	r.each(func() {}, `SELECT snapshot FROM quote_revision WHERE quote = ? AND revision = ?`, []any{q.id, q.accepted}, &snapshot)
	if r.err != nil {
		return nil, r.err
	}
	whole, err := thaw(snapshot)
	if err != nil {
		return nil, err
	}
	if q.choice.Valid {
		whole = whole.Choose(q.choice.V - 1)
	}
	return recall(&s.chronicles, wholeShelf, &q.whole, &whole), nil
}

// AllOrders returns every accepted order, in the order of the events.
func (s *Store) AllOrders(ctx context.Context) (list []quote.Order, err error) {
	err = s.read(ctx, func(r *reader) error {
		list, err = r.orders(`TRUE`)
		return err
	})
	return list, err
}

func (r *reader) orders(where string, args ...any) ([]quote.Order, error) {
	list := []quote.Order{}
	at := map[int64]int{}
	var id int64
	var snapshot string
	var choice sql.Null[int]
	var accepted, cancelled day.Date
	var fee sql.Null[string]
	r.each(func() {
		q, err := thaw(snapshot)
		if err != nil {
			r.err = err
			return
		}
		o := quote.Order{Quote: q, Accepted: accepted, CancelledOn: cancelled}
		if choice.Valid {
			o.Quote = q.Choose(choice.V - 1)
		}
		if fee.Valid {
			r.err = o.Fee.UnmarshalText([]byte(fee.V))
		}
		at[id] = len(list)
		list = append(list, o)
	}, `SELECT q.id, r.snapshot, q.choice, a.on_day, c.on_day, c.fee
		FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted
		JOIN quote_trail a ON a.quote = q.id AND a.move = 'accept' AND a.revision = q.accepted
		LEFT JOIN quote_trail c ON c.quote = q.id AND c.move = 'cancel'
		WHERE `+where+` ORDER BY r.event_date, q.year, q.sequence`, args,
		&id, &snapshot, &choice, text(&accepted), text(&cancelled), &fee)
	if r.err != nil {
		return nil, r.err
	}
	payments, err := r.payments(`p.quote IN (SELECT q.id FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted WHERE `+where+`)`, args...)
	if err != nil {
		return nil, err
	}
	for _, p := range payments {
		if i, there := at[p.of]; there {
			list[i].Payments = append(list[i].Payments, p.Payment)
		}
	}
	return list, nil
}

type ownPayment struct {
	quote.Payment
	of int64
}

func (r *reader) payments(where string, args ...any) ([]ownPayment, error) {
	var list []ownPayment
	var p ownPayment
	r.each(func() { list = append(list, p) }, `SELECT p.quote, p.number, q.number, p.on_day, p.amount, p.means, p.note,
			coalesce((SELECT number FROM payment WHERE id = p.undoes), ''), coalesce((SELECT number FROM payment WHERE undoes = p.id), '')
		FROM payment p JOIN quote q ON q.id = p.quote WHERE `+where+` ORDER BY p.on_day, p.id`, args,
		&p.of, &p.Number, &p.Quote, text(&p.On), text(&p.Amount), &p.Means, &p.Note, &p.Undoes, &p.Undone)
	return list, r.err
}

// Payments returns every payment from one day to another, by day.
func (s *Store) Payments(ctx context.Context, from, to day.Date) (list []quote.Payment, err error) {
	err = s.read(ctx, func(r *reader) error {
		own, err := r.payments(`p.on_day BETWEEN ? AND ?`, from.String(), to.String())
		for _, p := range own {
			list = append(list, p.Payment)
		}
		return err
	})
	return list, err
}

// PaidIn returns in which currency each order is paid that has a payment from one
// day to another, by the number of the order.
func (s *Store) PaidIn(ctx context.Context, from, to day.Date) (map[string]string, error) {
	in := map[string]string{}
	err := s.read(ctx, func(r *reader) error {
		var number, currency string
		r.each(func() { in[number] = currency }, `SELECT DISTINCT q.number, v.currency FROM payment p
			JOIN quote q ON q.id = p.quote JOIN quote_revision v ON v.quote = q.id AND v.revision = q.accepted
			WHERE p.on_day BETWEEN ? AND ?`, []any{from.String(), to.String()}, &number, &currency)
		return r.err
	})
	return in, err
}

// PaymentsFor returns the payments for some quotes of a list, by day, and in which
// currency each that is an order is paid.
func (s *Store) PaymentsFor(ctx context.Context, quotes []QuoteEntry) (list []quote.Payment, in map[string]string, err error) {
	var ids []int64
	for _, q := range quotes {
		ids = append(ids, q.id)
	}
	in = map[string]string{}
	err = s.read(ctx, func(r *reader) error {
		own, err := r.payments(`p.quote IN ` + idList(ids))
		if err != nil {
			return err
		}
		for _, p := range own {
			list = append(list, p.Payment)
		}
		var number, currency string
		r.each(func() { in[number] = currency }, `SELECT q.number, v.currency FROM quote q JOIN quote_revision v ON v.quote = q.id AND v.revision = q.accepted
			WHERE q.id IN `+idList(ids), nil, &number, &currency)
		return r.err
	})
	return list, in, err
}

// Payment returns a payment by the number of its receipt, and its order.
func (s *Store) Payment(ctx context.Context, number string) (order quote.Order, p quote.Payment, err error) {
	err = s.read(ctx, func(r *reader) error {
		own, err := r.payments(`p.number = ?`, strings.ToUpper(number))
		if err != nil {
			return err
		}
		if len(own) == 0 {
			return r.unknown("payment", number, `SELECT number FROM payment ORDER BY id DESC`)
		}
		p = own[0].Payment
		list, err := r.orders(`q.id = ?`, own[0].of)
		if err == nil {
			order = list[0]
		}
		return err
	})
	return order, p, err
}

// Receive keeps a payment for an accepted order, or one that goes back to the
// client, and returns it with the number of its receipt.
func (s *Store) Receive(ctx context.Context, p quote.Payment, at time.Time) (quote.Payment, error) {
	err := s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		found, err := r.findQuote(p.Quote)
		if err != nil {
			return err
		}
		list, err := r.orders(`q.id = ?`, found.id)
		if err != nil {
			return err
		}
		if len(list) == 0 {
			return refused("%s was never accepted; note its acceptance first, then the money", found.ref())
		}
		if err := checkPayment(list[0], p); err != nil {
			return refusal{err}
		}
		p.Quote = found.number
		return savePayment(ctx, tx, found.id, nil, &p, at)
	})
	return p, err
}

// checkPayment refuses sums that can only be mistakes.
func checkPayment(o quote.Order, p quote.Payment) error {
	received := money.Amount{}
	for _, q := range o.Payments {
		if !q.On.After(p.On) {
			received = received.Add(q.Amount)
		}
	}
	cur := o.Quote.Offer.Studio.Currency
	switch {
	case p.Amount.IsZero():
		return fmt.Errorf("a payment of 0 says nothing; name what was paid")
	case p.Amount.Sign() < 0 && received.Add(p.Amount).Sign() < 0:
		return fmt.Errorf("%s was received for %s, so %s cannot go back; refund at most what came in", cur.Round(received.Number()), o.Quote.Number, p.Amount.Neg())
	case p.On.Before(o.Quote.Offer.IssuedOn) && p.On.Before(o.Accepted):
		return fmt.Errorf("%s is before the quote was issued, %s; mend the day", p.On, o.Quote.Offer.IssuedOn)
	}
	return nil
}

// Undo takes a payment back that was entered by mistake, by another of the
// opposite amount on the same account.
func (s *Store) Undo(ctx context.Context, number, note string, on day.Date, at time.Time) (undone quote.Payment, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		own, err := r.payments(`p.number = ?`, strings.ToUpper(number))
		if err != nil {
			return err
		}
		if len(own) == 0 {
			return r.unknown("payment", number, `SELECT number FROM payment ORDER BY id DESC`)
		}
		p := own[0]
		switch {
		case p.Undone != "":
			return refused("%s was taken back by %s already", p.Number, p.Undone)
		case p.Undoes != "":
			return refused("%s itself takes %s back; enter the payment anew instead", p.Number, p.Undoes)
		case on.Before(p.On):
			return refused("%s is before the payment, %s; name a later day", on, p.On)
		}
		undone = quote.Payment{Quote: p.Quote, On: on, Amount: p.Amount.Neg(), Means: p.Means, Note: note, Undoes: p.Number}
		return savePayment(ctx, tx, p.of, p.Number, &undone, at)
	})
	return undone, err
}

// savePayment writes a payment under the next number of its year.
func savePayment(ctx context.Context, tx *sql.Tx, id int64, undoes any, p *quote.Payment, at time.Time) error {
	return tx.QueryRowContext(ctx, `INSERT INTO payment (year, sequence, quote, at, on_day, amount, means, note, undoes)
		SELECT ?1, coalesce(max(sequence), 0) + 1, ?2, ?3, ?4, ?5, ?6, ?7, (SELECT id FROM payment WHERE number = ?8) FROM payment WHERE year = ?1
		RETURNING number`, p.On.Year(), id, instant(at), p.On.String(), p.Amount.String(), string(p.Means), p.Note, undoes).Scan(&p.Number)
}
