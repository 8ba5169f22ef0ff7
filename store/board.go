package store

import (
	"context"
	"fmt"
	"strings"

	"marchpane/pricing/day"
)

// Shelf is one part of the board of quotes, as whoever runs the studio looks
// for them.
type Shelf string

// The shelves, each in the order in which it is worked through.
const (
	EveryQuote     Shelf = "all"       // the newest first
	OpenOffers     Shelf = "open"      // the client has yet to decide, the next event first
	OrdersAhead    Shelf = "accepted"  // their event is still to come, the next first
	OrdersPast     Shelf = "delivered" // their event is over, the last first
	Drafts         Shelf = "drafts"    // the newest first
	LapsedOffers   Shelf = "lapsed"    // the latest event first, as are the next two
	DeclinedOffers Shelf = "declined"
	CalledOff      Shelf = "cancelled"
)

// Shelves lists every shelf in the order of a quote's life.
func Shelves() []Shelf {
	return []Shelf{OpenOffers, OrdersAhead, OrdersPast, Drafts, LapsedOffers, DeclinedOffers, CalledOff, EveryQuote}
}

// QuoteFilter says which quotes a list shows, as they stand on a day.
type QuoteFilter struct {
	On     day.Date
	Shelf  Shelf  // "": all
	Words  string // each stands in the client's name or in what the quote is called
	Client string // C1: only theirs
}

// Span is a part of a list.
type Span struct{ From, Most int }

// QuotesPage lists part of the quotes that a filter lets through, and how many
// there are of them, up to [MostFound] in a search. It reads in full those alone
// that it returns, and walks to them along an index.
func (s *Store) QuotesPage(ctx context.Context, f QuoteFilter, part Span) (list []QuoteEntry, n int, err error) {
	if err := s.catchUp(ctx); err != nil {
		return nil, 0, err
	}
	arms, err := f.arms()
	if err != nil {
		return nil, 0, err
	}
	err = s.read(ctx, func(r *reader) error {
		args := []any{f.On.String()}
		more := ` AND ?1 <> ''`
		found, err := r.find("quote_words", f.Words)
		if err != nil {
			return err
		}
		if more += found.where("quote", &args); f.Client != "" {
			own := r.list(`SELECT quote FROM quote_party WHERE client = ?`, reference("C", f.Client))
			more += ` AND quote IN (` + strings.Join(own, ", ") + `)`
			found.few = true
		}
		ids, count := r.listed(`quote_board`, `quote`, arms, f.descending(), more, found, args, part)
		n, list = count, r.entriesOf(f.On, ids)
		return r.err
	})
	return list, n, err
}

// entriesOf reads quotes as they stand on a day, in the order of ids.
func (r *reader) entriesOf(on day.Date, ids []int64) []QuoteEntry {
	place := map[int64]int{}
	for i, id := range ids {
		place[id] = i
	}
	list := make([]QuoteEntry, len(ids))
	for _, e := range r.quoteEntries(on, `q.id IN `+idList(ids)) {
		list[place[e.id]] = e
	}
	return list
}

// arms are the parts of the board that make a shelf: by what the board says of
// a quote itself, and by the order that stands while a change of it is pending.
// ?1 is today.
func (f QuoteFilter) arms() ([]arm, error) {
	switch f.Shelf {
	case "", EveryQuote:
		return []arm{{`quote > 0`, `quote`}}, nil
	case OpenOffers:
		return []arm{{`state = 'issued' AND until >= ?1`, `event_date`}, {`state = 'pending' AND until >= ?1`, `event_date`}}, nil
	case OrdersAhead: // a change that was offered and lapsed leaves the order standing
		return []arm{{`state = 'accepted' AND event_date >= ?1`, `event_date`}, {`state = 'pending' AND order_date >= ?1 AND until < ?1`, `order_date`}}, nil
	case OrdersPast:
		return []arm{{`state = 'accepted' AND event_date < ?1`, `event_date`}, {`state = 'pending' AND order_date < ?1 AND until < ?1`, `order_date`}}, nil
	case LapsedOffers: // by +until SQLite cannot find them: it walks to them in order
		return []arm{{`state = 'issued' AND +until < ?1`, `event_date`}}, nil
	case Drafts:
		return []arm{{`state = 'draft'`, `quote`}}, nil
	case DeclinedOffers:
		return []arm{{`state = 'declined'`, `event_date`}}, nil
	case CalledOff:
		return []arm{{`state = 'cancelled'`, `event_date`}}, nil
	}
	return nil, fmt.Errorf("there is no shelf %.40q of quotes; use one of %v", f.Shelf, Shelves())
}

// descending reports whether the last comes first.
func (f QuoteFilter) descending() bool { return f.Shelf != OpenOffers && f.Shelf != OrdersAhead }
