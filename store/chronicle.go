package store

import (
	"cmp"
	"context"
	"database/sql"
	"slices"
	"sync"
	"sync/atomic"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// chronicle is what happened to the issued quotes, by year and number, as of a
// moment: who asks for a month need not go through all years for what touches
// it. It does not change; the next moment has another, which shares what stayed.
type chronicle struct {
	stamp  int64 // of the last move that it knows
	quotes []*chronicled
}

// chronicled is an issued quote, and its order where it became one.
type chronicled struct {
	id             int64
	number         string
	year, sequence int
	stamp          int64 // of the last move besides money
	trail          []chronicledStep
	validUntil     day.Date // of the newest revision

	accepted   int // the revision that stands as the order; 0: it is none
	choice     sql.Null[int]
	cancelled  bool
	event      day.Date
	acceptedOn day.Date        // that revision
	total      money.Amount    // of the option that was chosen
	payments   []quote.Payment // by day, without notes
	settled    day.Date        // from when on nothing is owed any more; the zero day: something is

	*recalled
}

// recalled is what was read of a quote and may be forgotten again. It stays
// while nothing but money moves.
type recalled struct {
	sold    atomic.Pointer[quote.Order]
	whole   atomic.Pointer[quote.Quote] // in the option that was chosen
	offered atomic.Pointer[offered]
	account atomic.Pointer[quote.Offer] // client, event, currency and instalments
}

type chronicledStep struct {
	quote.Step
	revision int
	choice   sql.Null[int]
	fee      money.Amount
}

// chronicles keeps the chronicle of a store up to date.
type chronicles struct {
	mu      sync.Mutex
	now     *chronicle
	place   map[int64]int // of a quote, by its id
	edition int64         // of the book, up to which it is known whether the file became another
	thawer
	kept [4]shelf
}

// The shelves of what is read of a quote, and how much of it is kept.
const (
	soldShelf = iota
	wholeShelf
	offeredShelf
	accountShelf
)

var mostShelved = [4]int{4000, 300, 20_000, 20_000}

// shelf forgets what it has kept longest when there is more than fits.
type shelf struct {
	mu     sync.Mutex
	forget []func()
	next   int
}

func (s *shelf) put(most int, forget func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.forget) < most {
		s.forget = append(s.forget, forget)
		return
	}
	s.forget[s.next]()
	s.forget[s.next] = forget
	s.next = (s.next + 1) % most
}

// recall keeps what was read of a quote, while it is among the latest of its shelf.
func recall[T any](c *chronicles, of int, at *atomic.Pointer[T], v *T) *T {
	at.Store(v)
	c.kept[of].put(mostShelved[of], func() { at.Store(nil) })
	return v
}

// forget is for a file that became another.
func (c *chronicles) forget() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now, c.place = nil, nil
}

// chronicle returns what is known by now. Only what moved since the last time
// is read.
func (s *Store) chronicle(ctx context.Context) (*chronicle, error) {
	c := &s.chronicles
	c.mu.Lock()
	defer c.mu.Unlock()
	err := s.read(ctx, func(r *reader) error {
		if r.replaced(c.edition) {
			c.now = nil
		}
		c.edition = r.edition()
		var last int64
		r.each(func() {}, `SELECT coalesce(max(stamp), 0) FROM quote_moved`, nil, &last)
		if r.err != nil || c.now != nil && c.now.stamp == last {
			return r.err
		}
		if c.now == nil || c.now.stamp > last {
			c.now, c.place = &chronicle{}, map[int64]int{}
		}
		moved, err := r.chronicled(c.now.stamp)
		if err == nil {
			c.take(last, moved)
		}
		return err
	})
	return c.now, err
}

// replaced reports whether the file became another since an edition of the
// book, as [Store.Restore] notes it: another program may have done that, and what
// moved since is then numbered as what moved before.
func (r *reader) replaced(since int64) (yes bool) {
	r.each(func() { yes = true }, `SELECT number FROM import WHERE number > ? AND file = ? LIMIT 1`, []any{since, restoredFile}, new(int64))
	return yes
}

// take puts what moved in place of what was known of it.
func (c *chronicles) take(stamp int64, moved []*chronicled) {
	next := &chronicle{stamp, slices.Clone(c.now.quotes)}
	added := false
	for _, q := range moved {
		at, there := c.place[q.id]
		if !there {
			next.quotes = append(next.quotes, q)
			added = true
			continue
		}
		if old := next.quotes[at]; q.stamp == 0 { // only money
			q.stamp, q.recalled = old.stamp, old.recalled
		}
		next.quotes[at] = q
	}
	if added {
		slices.SortFunc(next.quotes, func(a, b *chronicled) int {
			return cmp.Or(cmp.Compare(a.year, b.year), cmp.Compare(a.sequence, b.sequence))
		})
		for i, q := range next.quotes {
			c.place[q.id] = i
		}
	}
	c.now = next
}

// chronicled reads the quotes that moved after a stamp. The stamp of one that
// was only paid is 0.
func (r *reader) chronicled(after int64) ([]*chronicled, error) {
	var list []*chronicled
	at := map[int64]*chronicled{}
	const moved = `(SELECT quote FROM quote_moved WHERE stamp > ?1)`
	var q chronicled
	var accepted sql.Null[int]
	var event, total sql.Null[string]
	r.each(func() {
		one := &chronicled{id: q.id, number: q.number, year: q.year, sequence: q.sequence, stamp: q.stamp, validUntil: q.validUntil, accepted: accepted.V, choice: q.choice, cancelled: q.cancelled, recalled: &recalled{}}
		if accepted.Valid && r.err == nil {
			if r.err = one.event.UnmarshalText([]byte(event.V)); r.err == nil {
				r.err = one.total.UnmarshalText([]byte(total.V))
			}
		}
		at[one.id] = one
		list = append(list, one)
	}, `SELECT q.id, q.number, q.year, q.sequence, (SELECT coalesce(max(stamp) FILTER (WHERE NOT paid), 0) FROM quote_moved WHERE quote = q.id AND stamp > ?1),
			v.valid_until, q.accepted, q.choice, q.state = 'cancelled', a.event_date, iif(q.choice IS NULL, a.total, f.options ->> ('$[' || (q.choice - 1) || '].total'))
		FROM quote q JOIN quote_revision v ON v.quote = q.id AND v.revision = q.newest
		LEFT JOIN quote_revision a ON a.quote = q.id AND a.revision = q.accepted
		LEFT JOIN quote_face f ON f.quote = q.id AND f.revision = q.accepted
		WHERE q.year IS NOT NULL AND q.id IN `+moved, []any{after},
		&q.id, &q.number, &q.year, &q.sequence, &q.stamp, text(&q.validUntil), &accepted, &q.choice, &q.cancelled, &event, &total)
	var id int64
	var step chronicledStep
	var fee sql.Null[string]
	r.each(func() {
		one := at[id]
		if one == nil {
			return
		}
		next := step
		next.Revision, next.fee = letter(step.revision), money.Amount{}
		if fee.Valid && r.err == nil {
			r.err = next.fee.UnmarshalText([]byte(fee.V))
		}
		if next.Move == quote.Accept && next.revision == one.accepted {
			one.acceptedOn = next.On
		}
		one.trail = append(one.trail, next)
	}, `SELECT quote, on_day, move, revision, choice, fee FROM quote_trail WHERE quote IN `+moved+` ORDER BY quote, entry`, []any{after},
		&id, text(&step.On), &step.Move, &step.revision, &step.choice, &fee)
	payments, err := r.payments(`p.quote IN `+moved, after)
	if err != nil {
		return nil, err
	}
	for _, p := range payments {
		if one := at[p.of]; one != nil {
			p.Note = ""
			one.payments = append(one.payments, p.Payment)
		}
	}
	for _, one := range list {
		one.settle()
	}
	return list, r.err
}

// settle notes from when on nothing is owed of an order any more. Most orders of
// all years are so.
func (q *chronicled) settle() {
	if q.accepted == 0 {
		return
	}
	last := q.firstAccepted()
	if off := q.calledOff(); off != nil {
		last = day.Later(last, off.On)
	}
	if n := len(q.payments); n > 0 {
		last = day.Later(last, q.payments[n-1].On)
	}
	if _, open := q.owing(last); !open {
		q.settled = last
	}
}

// firstAccepted returns the day on which the quote first became an order; the
// zero day where it never did.
func (q *chronicled) firstAccepted() (first day.Date) {
	for _, s := range q.trail {
		if s.Move == quote.Accept && (first.IsZero() || s.On.Before(first)) {
			first = s.On
		}
	}
	return first
}

// calledOff returns the step by which the quote was called off, nil where it was
// not.
func (q *chronicled) calledOff() *chronicledStep {
	for i := range q.trail {
		if q.trail[i].Move == quote.Cancel {
			return &q.trail[i]
		}
	}
	return nil
}
