package store

import (
	"context"
	"database/sql"
	"fmt"
	"strconv"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
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
// there are of them. It reads in full those alone that it returns.
func (s *Store) QuotesPage(ctx context.Context, f QuoteFilter, part Span) (list []QuoteEntry, n int, err error) {
	if f.Words != "" {
		if err := s.foldBoard(ctx); err != nil {
			return nil, 0, err
		}
	}
	first, second, args, err := f.where()
	if err != nil {
		return nil, 0, err
	}
	err = s.read(ctx, func(r *reader) error {
		r.each(func() {}, `SELECT count(*) FROM quote_board WHERE ?1 <> '' AND (`+first+` OR `+second+`)`, args, &n)
		var id int64
		var ids []string
		place := map[int64]int{}
		r.each(func() {
			place[id] = len(ids)
			ids = append(ids, strconv.FormatInt(id, 10))
		}, `SELECT quote FROM (SELECT quote, event_date AS event FROM quote_board WHERE ?1 <> '' AND `+first+`
			UNION ALL SELECT quote, order_date FROM quote_board WHERE `+second+`) ORDER BY `+f.order()+` LIMIT `+strconv.Itoa(max(part.Most, 0))+` OFFSET `+strconv.Itoa(max(part.From, 0)),
			args, &id)
		list = make([]QuoteEntry, len(ids))
		for _, e := range r.quoteEntries(f.On, `q.id IN (`+strings.Join(ids, ", ")+`)`) {
			list[place[e.id]] = e
		}
		return r.err
	})
	return list, n, err
}

// where returns what chooses from the board by what it says itself, and by the
// order that stands while a change of it is pending. ?1 is today.
func (f QuoteFilter) where() (first, second string, args []any, err error) {
	args = []any{f.On.String()}
	second = `FALSE`
	switch f.Shelf {
	case "", EveryQuote:
		first = `TRUE`
	case OpenOffers:
		first = `state IN ('issued', 'pending') AND until >= ?1`
	case OrdersAhead: // a change that was offered and lapsed leaves the order standing
		first, second = `state = 'accepted' AND event_date >= ?1`, `state = 'pending' AND order_date >= ?1 AND until < ?1`
	case OrdersPast:
		first, second = `state = 'accepted' AND event_date < ?1`, `state = 'pending' AND order_date < ?1 AND until < ?1`
	case LapsedOffers:
		first = `state = 'issued' AND until < ?1`
	case Drafts:
		first = `state = 'draft'`
	case DeclinedOffers:
		first = `state = 'declined'`
	case CalledOff:
		first = `state = 'cancelled'`
	default:
		return "", "", nil, fmt.Errorf("there is no shelf %.40q of quotes; use one of %v", f.Shelf, Shelves())
	}
	terms := enquiry.Terms(f.Words)
	if len(terms) > mostTerms {
		return "", "", nil, fmt.Errorf("a search of %d words; give %d at most", len(terms), mostTerms)
	}
	var more strings.Builder
	for _, t := range terms {
		args = append(args, t.Text)
		fmt.Fprintf(&more, ` AND instr(folded, ?%d) > 0`, len(args))
	}
	if f.Client != "" {
		args = append(args, reference("C", f.Client))
		fmt.Fprintf(&more, ` AND quote IN (SELECT quote FROM quote_party WHERE client = ?%d)`, len(args))
	}
	return first + more.String(), second + more.String(), args, nil
}

func (f QuoteFilter) order() string {
	switch f.Shelf {
	case OpenOffers, OrdersAhead:
		return `event, quote`
	case OrdersPast, LapsedOffers, DeclinedOffers, CalledOff:
		return `event DESC, quote DESC`
	}
	return `quote DESC`
}

// foldBoard makes what searches look at for quotes that changed since: folding
// letters is not a matter of SQL.
func (s *Store) foldBoard(ctx context.Context) error {
	type unfolded struct {
		id          int64
		client, ref string
	}
	find := func(r *reader) (list []unfolded) {
		var u unfolded
		r.each(func() { list = append(list, u) }, `SELECT b.quote, coalesce(number || ' D' || draft, number, 'D' || draft),
			(SELECT group_concat(client, ' ') FROM quote_revision WHERE quote = q.id AND revision IN (coalesce(q.newest, 1), q.accepted))
			FROM quote_board b JOIN quote q ON q.id = b.quote WHERE folded IS NULL`, nil, &u.id, &u.ref, &u.client)
		return list
	}
	none := false
	if err := s.read(ctx, func(r *reader) error { none = len(find(r)) == 0; return r.err }); err != nil || none {
		return err
	}
	return s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		for _, u := range find(r) {
			if _, err := tx.ExecContext(ctx, `UPDATE quote_board SET folded = ? WHERE quote = ?`, enquiry.Fold(u.client)+"\n"+strings.ToLower(u.ref), u.id); err != nil {
				return err
			}
		}
		return r.err
	})
}
