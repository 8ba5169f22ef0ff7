package store

import (
	"context"
	"database/sql"
	"fmt"
	"strconv"
	"strings"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/quote"
)

// SavedQuote is a quote as the store keeps it.
type SavedQuote struct {
	Quote quote.Quote
	Draft string // what a draft is called, D1; "" once it is issued
}

// SaveDraft keeps a quote as a new draft, which takes no number.
func (s *Store) SaveDraft(ctx context.Context, q quote.Quote, at time.Time) (saved SavedQuote, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		var id, draft int64
		err := tx.QueryRowContext(ctx, `INSERT INTO quote (draft) SELECT coalesce(max(draft), 0) + 1 FROM quote RETURNING id, draft`).Scan(&id, &draft)
		if err != nil {
			return err
		}
		q.Number = ""
		saved = SavedQuote{q, "D" + strconv.FormatInt(draft, 10)}
		return saveRevision(ctx, tx, id, 1, false, &saved.Quote, at)
	})
	return saved, err
}

// IssueQuote gives a quote the next number of its year of issue and freezes it.
func (s *Store) IssueQuote(ctx context.Context, q quote.Quote, at time.Time) (saved SavedQuote, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		var id int64
		err := tx.QueryRowContext(ctx, `INSERT INTO quote (year, sequence)
			SELECT ?1, coalesce(max(sequence), 0) + 1 FROM quote WHERE year = ?1 RETURNING id, number`, q.Offer.IssuedOn.Year()).Scan(&id, &q.Number)
		if err != nil {
			return err
		}
		saved = SavedQuote{Quote: q}
		return saveRevision(ctx, tx, id, 1, true, &saved.Quote, at)
	})
	return saved, err
}

// IssueDraft issues q in place of a draft, which is D1 or the like and gets a
// number by it. A draft that has one is refused with [ErrConflict].
func (s *Store) IssueDraft(ctx context.Context, draft string, q quote.Quote, at time.Time) (saved SavedQuote, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		old, err := (&reader{ctx: ctx, tx: tx}).findQuote(draft)
		if err != nil {
			return err
		}
		if old.number != "" {
			return fmt.Errorf("%w: %s is issued as %s already; make a new quote, or revise that one", ErrConflict, draft, old.number)
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM quote_revision WHERE quote = ?`, old.id); err != nil {
			return err
		}
		year := q.Offer.IssuedOn.Year()
		err = tx.QueryRowContext(ctx, `UPDATE quote SET year = ?1, sequence = (SELECT coalesce(max(sequence), 0) + 1 FROM quote WHERE year = ?1)
			WHERE id = ?2 RETURNING number`, year, old.id).Scan(&q.Number)
		if err != nil {
			return err
		}
		saved = SavedQuote{Quote: q}
		return saveRevision(ctx, tx, old.id, 1, true, &saved.Quote, at)
	})
	return saved, err
}

// ReviseQuote adds a revision to an issued quote: B after A. The earlier ones
// stay as they are.
func (s *Store) ReviseQuote(ctx context.Context, number string, q quote.Quote, at time.Time) (saved SavedQuote, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		old, err := (&reader{ctx: ctx, tx: tx}).findQuote(number)
		if err != nil {
			return err
		}
		if old.number == "" {
			return fmt.Errorf("%w: %s is a draft; issue it before it is revised", ErrConflict, number)
		}
		q.Number = old.number
		saved = SavedQuote{Quote: q}
		return saveRevision(ctx, tx, old.id, old.revisions+1, true, &saved.Quote, at)
	})
	return saved, err
}

// saveRevision writes q as a revision of a quote, setting its letter.
func saveRevision(ctx context.Context, tx *sql.Tx, id int64, revision int, frozen bool, q *quote.Quote, at time.Time) error {
	q.Revision = letter(revision)
	snapshot, err := freeze(*q)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO quote_revision (quote, revision, frozen, saved_at, snapshot) VALUES (?, ?, ?, ?, ?)`,
		id, revision, frozen, instant(at), snapshot)
	return err
}

// letter returns what revision n is called: A, B … Z, AA, AB …
func letter(n int) string {
	var s string
	for ; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}

// Quote returns a revision of a quote by its number, or a draft by what it is
// called; a revision of "" is the newest. The error is [ErrNotFound] where there
// is none.
func (s *Store) Quote(ctx context.Context, ref, revision string) (saved SavedQuote, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err := r.findQuote(ref)
		if err != nil {
			return err
		}
		var snapshot string
		r.each(func() {}, `SELECT snapshot FROM quote_revision
			WHERE quote = ?1 AND (letter = ?2 OR ?2 = '' AND revision = ?3)`, []any{found.id, strings.ToUpper(revision), found.revisions}, &snapshot)
		switch {
		case r.err != nil:
			return r.err
		case snapshot == "":
			return fmt.Errorf("revision %.20q of %s is %w; it has A to %s", revision, found.ref(), ErrNotFound, letter(found.revisions))
		}
		if saved.Quote, err = thaw(snapshot); err != nil {
			return fmt.Errorf("%s: %w", found.ref(), err)
		}
		if found.number == "" {
			saved.Draft = found.draft
		}
		return nil
	})
	return saved, err
}

// OpenQuotes returns the newest revision of every issued quote whose event is on
// a day or later, in the order of the events.
func (s *Store) OpenQuotes(ctx context.Context, from day.Date) (list []SavedQuote, err error) {
	err = s.read(ctx, func(r *reader) error {
		var snapshot string
		r.each(func() {
			q, err := thaw(snapshot)
			if err != nil && r.err == nil {
				r.err = err
			}
			list = append(list, SavedQuote{Quote: q})
		}, `SELECT snapshot FROM quote_revision JOIN quote_now USING (quote, revision)
			WHERE newest AND state = 'issued' AND quote_revision.event_date >= ? ORDER BY quote_revision.event_date, number`, []any{from.String()}, &snapshot)
		return r.err
	})
	return list, err
}

// foundQuote is where a quote stands.
type foundQuote struct {
	id            int64
	number, draft string
	revisions     int
}

func (f foundQuote) ref() string {
	if f.number != "" {
		return f.number
	}
	return f.draft
}

// findQuote finds a quote by number, or by what its draft is called even when
// that has been issued.
func (r *reader) findQuote(ref string) (found foundQuote, err error) {
	const columns = `SELECT id, coalesce(number, ''), coalesce('D' || draft, ''), (SELECT max(revision) FROM quote_revision WHERE quote = id) FROM quote`
	into := []any{&found.id, &found.number, &found.draft, &found.revisions}
	if draft, ok := strings.CutPrefix(strings.ToUpper(ref), "D"); ok {
		if n, err := strconv.Atoi(draft); err == nil {
			r.each(func() {}, columns+` WHERE draft = ?`, []any{n}, into...)
		}
	} else if y, s, ok := strings.Cut(ref, "-"); ok {
		year, errY := strconv.Atoi(y)
		sequence, errS := strconv.Atoi(s)
		if errY == nil && errS == nil {
			r.each(func() {}, columns+` WHERE year = ? AND sequence = ?`, []any{year, sequence}, into...)
		}
	}
	if found.id == 0 && r.err == nil {
		r.err = r.unknown("quote", ref, `SELECT coalesce(number, 'D' || draft) FROM quote ORDER BY id DESC`)
	}
	return found, r.err
}

// QuoteEntry is a quote as a list shows it, in its newest revision. Dates are
// YYYY-MM-DD; the total is in the minor unit.
type QuoteEntry struct {
	Number     *string `json:"number"` // nil for a draft
	Draft      string  `json:"draft,omitempty"`
	Revision   string  `json:"revision"`
	Client     string  `json:"client"`
	EventDate  string  `json:"event_date"`
	IssuedOn   string  `json:"issued_on"` // of a draft: the day it was priced for
	ValidUntil string  `json:"valid_until"`
	Total      string  `json:"total"`
	Currency   string  `json:"currency"`
}

// Ref returns what the quote is called: its number, or D1 and the like.
func (e QuoteEntry) Ref() string {
	if e.Number != nil {
		return *e.Number
	}
	return e.Draft
}

// Quotes lists every quote and draft, the newest first.
func (s *Store) Quotes(ctx context.Context) (list []QuoteEntry, err error) {
	list = []QuoteEntry{}
	err = s.read(ctx, func(r *reader) error {
		var e QuoteEntry
		var number, draft sql.Null[string]
		r.each(func() {
			if e.Number, e.Draft = nil, draft.V; number.Valid {
				issued := number.V
				e.Number, e.Draft = &issued, ""
			}
			list = append(list, e)
		}, `SELECT number, draft, letter, client, event_date, issued_on, valid_until, total, currency
			FROM quote_now WHERE newest ORDER BY saved_at DESC, quote DESC`, nil,
			&number, &draft, &e.Revision, &e.Client, &e.EventDate, &e.IssuedOn, &e.ValidUntil, &e.Total, &e.Currency)
		return nil
	})
	return list, err
}
