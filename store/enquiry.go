package store

import (
	"context"
	"database/sql"
	"fmt"
	"strconv"
	"strings"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
)

// SavedEnquiry is an enquiry as the store keeps it. Its json keys are those of
// an enquiry's file and some more.
type SavedEnquiry struct {
	Ref  string `json:"ref"`  // E1
	Name string `json:"name"` // of the client
	enquiry.Enquiry
	State     enquiry.State `json:"state"`
	ClosedOn  day.Date      `json:"closed_on,omitzero"`
	ClosedWhy string        `json:"closed_why,omitempty"`
	Quotes    []string      `json:"quotes"` // that answer it
}

// AddEnquiry keeps a new enquiry of a client that the store has.
func (s *Store) AddEnquiry(ctx context.Context, e enquiry.Enquiry) (saved SavedEnquiry, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		saved, err = addEnquiry(ctx, tx, e)
		return err
	})
	return saved, err
}

// AddFirstEnquiry keeps a new client and what they ask for, or neither.
func (s *Store) AddFirstEnquiry(ctx context.Context, c enquiry.Client, e enquiry.Enquiry, at time.Time) (saved SavedEnquiry, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		client, err := addClient(ctx, tx, c, at)
		if err != nil {
			return err
		}
		e.Client = client.Ref
		saved, err = addEnquiry(ctx, tx, e)
		return err
	})
	return saved, err
}

func addEnquiry(ctx context.Context, tx *sql.Tx, e enquiry.Enquiry) (SavedEnquiry, error) {
	r := &reader{ctx: ctx, tx: tx}
	if err := checkEnquiry(e); err != nil {
		return SavedEnquiry{}, err
	}
	client, _, err := r.client(e.Client)
	if err != nil {
		return SavedEnquiry{}, err
	}
	id, err := nextReference(ctx, tx, "enquiry")
	if err != nil {
		return SavedEnquiry{}, err
	}
	if _, err := tx.ExecContext(ctx, `INSERT INTO enquiry (id, client, received) VALUES (?, ?, ?)`, id, client, e.Received.String()); err != nil {
		return SavedEnquiry{}, err
	}
	if err := putEnquiry(ctx, tx, id, client, e); err != nil {
		return SavedEnquiry{}, err
	}
	return r.enquiry(enquiryRef(id))
}

// checkEnquiry says what is wrong with an enquiry that is to be kept: its file may
// leave out the day on which it came, since that is mostly the day on which it is
// read.
func checkEnquiry(e enquiry.Enquiry) error {
	faults := e.Check()
	if e.Received.IsZero() {
		faults.Add("received", "is missing; say on which day the enquiry came")
	}
	return faults.Err()
}

func enquiryRef(id int64) string { return "E" + strconv.FormatInt(id, 10) }

func putEnquiry(ctx context.Context, tx *sql.Tx, id, client int64, e enquiry.Enquiry) error {
	var tasting enquiry.Tasting
	if e.Tasting != nil {
		tasting = *e.Tasting
	}
	_, err := tx.ExecContext(ctx, `UPDATE enquiry SET client = ?, received = ?, occasion = ?, event_date = ?, venue = ?, km = ?, guests = ?, budget = ?,
		dietary = ?, wishes = ?, tasting_date = ?, tasting_time = ? WHERE id = ?`,
		client, e.Received.String(), stated(e.Occasion), typed(e.Date), stated(e.Venue), stated(e.Km), stated(e.Guests), stated(e.Budget),
		stated(e.Dietary), stated(e.Wishes), typed(tasting.Date), stated(tasting.Time), id)
	return err
}

// Enquiry returns an enquiry by what it is called. One that is not there is
// [ErrNotFound].
func (s *Store) Enquiry(ctx context.Context, ref string) (saved SavedEnquiry, err error) {
	err = s.read(ctx, func(r *reader) error {
		saved, err = r.enquiry(ref)
		return err
	})
	return saved, err
}

func (r *reader) enquiry(ref string) (SavedEnquiry, error) {
	list := r.enquiries(`e.id = ?`, reference("E", ref))
	if len(list) == 0 && r.err == nil {
		r.err = fmt.Errorf("enquiry %.40q is %w; an enquiry is called E1 or the like, see: marchpane enquiry list", ref, ErrNotFound)
	}
	if r.err != nil {
		return SavedEnquiry{}, r.err
	}
	return list[0], nil
}

// Enquiries lists the enquiries in a state, or all for "": the next event
// first, and those of no day yet at the end in the order in which they came.
func (s *Store) Enquiries(ctx context.Context, state enquiry.State) (list []SavedEnquiry, err error) {
	err = s.read(ctx, func(r *reader) error {
		list = r.enquiries(`state = ?1 OR ?1 = ''`, string(state))
		return r.err
	})
	return list, err
}

// EnquiriesPage lists part of the same list, of those enquiries in which every
// word of a search stands (who asks, what for, when, where, wishes), and how many
// there are, up to [MostFound] in a search. It reads those alone that it returns.
func (s *Store) EnquiriesPage(ctx context.Context, state enquiry.State, words string, part Span) (list []SavedEnquiry, n int, err error) {
	if err := s.catchUp(ctx); err != nil {
		return nil, 0, err
	}
	list = []SavedEnquiry{}
	err = s.read(ctx, func(r *reader) error {
		found, err := r.find("enquiry_words", words)
		if err != nil {
			return err
		}
		args := []any{string(state)}
		one := arm{`state = ?1`, `day`}
		if state == "" {
			one.where = `day >= ?1`
		}
		ids, count := r.listed(`enquiry_board`, `enquiry`, []arm{one}, false, found.where("enquiry", &args), found, args, part)
		n, list = count, r.enquiries(`e.id IN `+idList(ids), nil)
		return r.err
	})
	return list, n, err
}

// EnquiriesOf lists the enquiries of a client, in the same order.
func (s *Store) EnquiriesOf(ctx context.Context, client string) (list []SavedEnquiry, err error) {
	err = s.read(ctx, func(r *reader) error {
		list = r.enquiries(`e.client = ?`, reference("C", client))
		return r.err
	})
	return list, err
}

// QuotesOf lists the quotes and drafts of a client as they stand on a day, the
// newest first.
func (s *Store) QuotesOf(ctx context.Context, client string, on day.Date) (list []QuoteEntry, err error) {
	err = s.read(ctx, func(r *reader) error {
		own := r.list(`SELECT quote FROM quote_party WHERE client = ?`, reference("C", client))
		list = r.quoteEntries(on, `q.id IN (`+strings.Join(own, ", ")+`)`)
		return r.err
	})
	return list, err
}

// enquiries reads those that a condition of one argument, or of none, chooses.
func (r *reader) enquiries(where string, arg any) []SavedEnquiry {
	var args []any
	if arg != nil {
		args = []any{arg}
	}
	list := []SavedEnquiry{}
	var e SavedEnquiry
	var tasting enquiry.Tasting
	var taste bool
	var state string
	var id int64
	var ids []int64
	r.each(func() {
		e.State, e.Quotes, e.Tasting = enquiry.State(state), []string{}, nil
		if taste {
			when := tasting
			e.Tasting = &when
		}
		list, ids = append(list, e), append(ids, id)
	}, `SELECT e.id, 'E' || e.id, 'C' || client, name, state, received, occasion, event_date, venue, km, guests, budget, e.dietary, wishes,
		tasting_date IS NOT NULL, tasting_date, tasting_time, closed_on, coalesce(closed_why, '')
		FROM enquiry e JOIN enquiry_board ON enquiry = e.id JOIN client c ON c.id = client WHERE `+where+`
		ORDER BY event_date IS NULL, event_date, e.id`, args,
		&id, &e.Ref, &e.Client, &e.Name, &state, text(&e.Received), maybe(&e.Occasion), text(&e.Date), maybe(&e.Venue), maybe(&e.Km), maybe(&e.Guests), maybe(&e.Budget), maybe(&e.Dietary), maybe(&e.Wishes),
		&taste, text(&tasting.Date), maybe(&tasting.Time), text(&e.ClosedOn), &e.ClosedWhy)

	at := map[int64]int{}
	for i, id := range ids {
		at[id] = i
	}
	var answered int64
	var quote string
	r.each(func() {
		i := at[answered]
		list[i].Quotes = append(list[i].Quotes, quote)
	}, `SELECT enquiry, coalesce(number, 'D' || draft) FROM quote_party JOIN quote ON quote.id = quote WHERE enquiry IN `+idList(ids)+` ORDER BY quote.id`, nil, &answered, &quote)
	return list
}

// ChangeEnquiry keeps what change makes of an enquiry. It may give it to
// another client.
func (s *Store) ChangeEnquiry(ctx context.Context, ref string, change func(*enquiry.Enquiry) error) (saved SavedEnquiry, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		if saved, err = r.enquiry(ref); err != nil {
			return err
		}
		if err := change(&saved.Enquiry); err != nil {
			return err
		}
		if err := checkEnquiry(saved.Enquiry); err != nil {
			return err
		}
		client, owner, err := r.client(saved.Client)
		if err != nil {
			return err
		}
		id := reference("E", ref)
		if err := putEnquiry(ctx, tx, id, client, saved.Enquiry); err != nil {
			return err
		}
		// Its quotes go with it: they are for whoever asked.
		if _, err := tx.ExecContext(ctx, `UPDATE quote_party SET client = ? WHERE enquiry = ?`, client, id); err != nil {
			return err
		}
		saved.Client, saved.Name = owner.Ref, owner.Name
		return nil
	})
	return saved, err
}

// CloseEnquiry closes an enquiry with the reason why no order comes of it.
func (s *Store) CloseEnquiry(ctx context.Context, ref, why string, on day.Date) (SavedEnquiry, error) {
	return s.setClosed(ctx, ref, on.String(), why)
}

// ReopenEnquiry takes the closing of an enquiry back.
func (s *Store) ReopenEnquiry(ctx context.Context, ref string) (SavedEnquiry, error) {
	return s.setClosed(ctx, ref, nil, nil)
}

func (s *Store) setClosed(ctx context.Context, ref string, on, why any) (saved SavedEnquiry, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		if saved, err = r.enquiry(ref); err != nil {
			return err
		}
		switch closed := saved.State == enquiry.Closed; {
		case closed && on != nil:
			return fmt.Errorf("%w: %s was closed on %s: %s", ErrConflict, saved.Ref, saved.ClosedOn, saved.ClosedWhy)
		case !closed && on == nil:
			return fmt.Errorf("%w: %s is not closed", ErrConflict, saved.Ref)
		}
		if _, err := tx.ExecContext(ctx, `UPDATE enquiry SET closed_on = ?, closed_why = ? WHERE id = ?`, on, why, reference("E", ref)); err != nil {
			return err
		}
		saved, err = r.enquiry(ref)
		return err
	})
	return saved, err
}

// Party is whom a quote is for: a client, and the enquiry that it answers. Each
// is "" where it is not known.
type Party struct {
	Client  string `json:"client,omitempty"`
	Enquiry string `json:"enquiry,omitempty"`
}

// PartyOf returns whom a quote or draft is for.
func (s *Store) PartyOf(ctx context.Context, quoteRef string) (p Party, err error) {
	err = s.read(ctx, func(r *reader) error {
		q, err := r.findQuote(quoteRef)
		if err != nil {
			return err
		}
		p, err = r.party(q.id)
		return err
	})
	return p, err
}

func (r *reader) party(quote int64) (p Party, err error) {
	r.each(func() {}, `SELECT 'C' || client, coalesce('E' || enquiry, '') FROM quote_party WHERE quote = ?`, []any{quote}, &p.Client, &p.Enquiry)
	return p, r.err
}

// LinkQuote says whom a quote or draft is for, in place of what was said
// before: a client, and the enquiry that it answers or "". The client may be ""
// where there is an enquiry, which knows whose it is.
func (s *Store) LinkQuote(ctx context.Context, quoteRef, client, enquiry string) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		q, err := (&reader{ctx: ctx, tx: tx}).findQuote(quoteRef)
		if err != nil {
			return err
		}
		return link(ctx, tx, q.id, client, enquiry)
	})
}

func link(ctx context.Context, tx *sql.Tx, quote int64, client, enquiry string) error {
	r := &reader{ctx: ctx, tx: tx}
	var answers any
	if enquiry != "" {
		e, err := r.enquiry(enquiry)
		if err != nil {
			return err
		}
		if client != "" && reference("C", client) != reference("C", e.Client) {
			return fmt.Errorf("%w: %s is an enquiry of %s (%s), not of %s", ErrConflict, e.Ref, e.Client, e.Name, client)
		}
		client, answers = e.Client, reference("E", e.Ref)
	}
	id, _, err := r.client(client)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO quote_party (quote, client, enquiry) VALUES (?1, ?2, ?3) ON CONFLICT (quote) DO UPDATE SET client = ?2, enquiry = ?3`, quote, id, answers)
	return err
}
