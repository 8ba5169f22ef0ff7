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

// SavedQuote is a quote as the store keeps it, and where it stands.
type SavedQuote struct {
	Quote quote.Quote
	Draft string // what a draft is called, D1; "" once it is issued
	Life  quote.Life
}

// Ref returns what the quote is called: its number, or D1 and the like.
func (s SavedQuote) Ref() string {
	if s.Quote.Draft() {
		return s.Draft
	}
	return s.Quote.Number
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
		saved = SavedQuote{Quote: q, Draft: "D" + strconv.FormatInt(draft, 10)}
		saved.Life = quote.LifeOf(nil, q.Offer.ValidUntil, q.Offer.IssuedOn)
		return saveRevision(ctx, tx, id, 1, false, &saved.Quote, at)
	})
	return saved, err
}

// Check looks at a quote in the transaction that is about to change it, when
// nobody else can change it any more. Its error stops the change.
type Check struct {
	On day.Date // the quote as it stands on that day
	Of func(SavedQuote) error
}

func (r *reader) allow(found foundQuote, checks []Check) error {
	for _, c := range checks {
		now, err := r.savedQuote(found, "", c.On)
		if err == nil {
			err = c.Of(now)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// ReplaceDraft puts q in place of a draft that passes the checks.
func (s *Store) ReplaceDraft(ctx context.Context, draft string, q quote.Quote, at time.Time, checks ...Check) (saved SavedQuote, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		old, err := findDraft(ctx, tx, draft)
		if err != nil {
			return err
		}
		if err := (&reader{ctx: ctx, tx: tx}).allow(old, checks); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM quote_revision WHERE quote = ?`, old.id); err != nil {
			return err
		}
		q.Number = ""
		saved = SavedQuote{Quote: q, Draft: old.draft, Life: quote.LifeOf(nil, q.Offer.ValidUntil, q.Offer.IssuedOn)}
		return saveRevision(ctx, tx, old.id, 1, false, &saved.Quote, at)
	})
	return saved, err
}

// DropDraft removes a draft for good.
func (s *Store) DropDraft(ctx context.Context, draft string) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		old, err := findDraft(ctx, tx, draft)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `DELETE FROM quote WHERE id = ?`, old.id)
		return err
	})
}

// findDraft finds what has no number yet.
func findDraft(ctx context.Context, tx *sql.Tx, draft string) (foundQuote, error) {
	old, err := (&reader{ctx: ctx, tx: tx}).findQuote(draft)
	switch {
	case err != nil || old.number == "":
	case strings.EqualFold(draft, old.number):
		err = refused("%s is issued already; make a new quote, or revise this one", old.number)
	default:
		err = refused("%s is issued as %s already; make a new quote, or revise that one", draft, old.number)
	}
	return old, err
}

// issued is the reason of a first issue.
const issued = "issued to the client"

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
		return saved.issue(ctx, tx, id, 1, quote.Issue, issued, at)
	})
	return saved, err
}

// IssueDraft issues q in place of a draft that passes the checks, which is D1 or
// the like and gets a number by it. A draft that has one is refused with
// [ErrConflict].
func (s *Store) IssueDraft(ctx context.Context, draft string, q quote.Quote, at time.Time, checks ...Check) (saved SavedQuote, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		old, err := findDraft(ctx, tx, draft)
		if err != nil {
			return err
		}
		if err := (&reader{ctx: ctx, tx: tx}).allow(old, checks); err != nil {
			return err
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
		return saved.issue(ctx, tx, old.id, 1, quote.Issue, issued, at)
	})
	return saved, err
}

// ReviseQuote adds a revision to an issued quote that passes the checks: B after
// A. It tells what changed against the one before, or against the option of it
// that was accepted. The earlier ones stay as they are.
func (s *Store) ReviseQuote(ctx context.Context, number string, q quote.Quote, reason string, at time.Time, checks ...Check) (saved SavedQuote, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		old, err := r.findQuote(number)
		if err != nil {
			return err
		}
		if err := r.allow(old, checks); err != nil {
			return err
		}
		before, err := r.savedQuote(old, "", q.Offer.IssuedOn)
		if err != nil {
			return err
		}
		if err := before.Life.Check(old.ref(), quote.Revise, q.Offer.IssuedOn); err != nil {
			return refusal{err}
		}
		q.Number = old.number
		agreed := before.Quote
		if len(q.Options) == 0 {
			agreed = before.agreed()
		}
		q.Changes = quote.Compare(agreed, q)
		saved = SavedQuote{Quote: q}
		return saved.issue(ctx, tx, old.id, old.revisions+1, quote.Revise, reason, at)
	})
	return saved, err
}

// agreed returns the quote in the option that the client accepted, where its
// newest revision is an accepted one of several.
func (s SavedQuote) agreed() quote.Quote {
	for i, o := range s.Quote.Options {
		if s.Life.Order == s.Quote.Revision && s.Life.Option == o.Name {
			return s.Quote.Choose(i)
		}
	}
	return s.Quote
}

// issue freezes a revision and notes it in the trail.
func (s *SavedQuote) issue(ctx context.Context, tx *sql.Tx, id int64, revision int, move quote.Move, reason string, at time.Time) error {
	if err := saveRevision(ctx, tx, id, revision, true, &s.Quote, at); err != nil {
		return err
	}
	on := s.Quote.Offer.IssuedOn
	if err := saveStep(ctx, tx, id, revision, step{on: on, move: move, reason: reason}, at); err != nil {
		return err
	}
	var err error
	s.Life, err = (&reader{ctx: ctx, tx: tx}).life(id, s.Quote.Offer.ValidUntil, on)
	return err
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
// called, as it stands on a day; a revision of "" is the one that stands: see
// [quote.Life.Stands]. The error is [ErrNotFound] where there is none.
func (s *Store) Quote(ctx context.Context, ref, revision string, on day.Date) (saved SavedQuote, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err := r.findQuote(ref)
		if err != nil {
			return err
		}
		saved, err = r.savedQuote(found, revision, on)
		return err
	})
	return saved, err
}

func (r *reader) savedQuote(found foundQuote, revision string, on day.Date) (saved SavedQuote, err error) {
	var snapshot string
	var validUntil day.Date
	r.each(func() {}, `SELECT valid_until FROM quote_revision WHERE quote = ? AND revision = ?`, []any{found.id, found.revisions}, text(&validUntil))
	if saved.Life, err = r.life(found.id, validUntil, on); err != nil {
		return saved, err
	}
	named := revision
	if named == "" {
		named = saved.Life.Stands()
	}
	r.each(func() {}, `SELECT snapshot FROM quote_revision WHERE quote = ? AND letter = ?`, []any{found.id, strings.ToUpper(named)}, &snapshot)
	switch {
	case r.err != nil:
		return saved, r.err
	case snapshot == "":
		return saved, fmt.Errorf("revision %.20q of %s is %w; it has A to %s", revision, found.ref(), ErrNotFound, letter(found.revisions))
	}
	if saved.Quote, err = thaw(snapshot); err != nil {
		return saved, fmt.Errorf("%s: %w", found.ref(), err)
	}
	if found.number == "" {
		saved.Draft = found.draft
	}
	return saved, nil
}

// OpenQuotes returns the offers whose event is on a day or later and that bind
// the studio that day: each accepted order, in the option that was accepted;
// else the newest revision of each issued quote that has not lapsed, every
// option by itself. They come in the order of the events.
func (s *Store) OpenQuotes(ctx context.Context, from day.Date) (list []SavedQuote, err error) {
	err = s.read(ctx, func(r *reader) error {
		var snapshot string
		var choice sql.Null[int]
		r.each(func() {
			q, err := thaw(snapshot)
			if err != nil && r.err == nil {
				r.err = err
			}
			for i, one := range q.Choices() {
				if !choice.Valid || choice.V == i+1 {
					list = append(list, SavedQuote{Quote: one})
				}
			}
		}, `SELECT snapshot, q.choice FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = coalesce(q.accepted, q.newest)
			WHERE q.state IN ('issued', 'accepted') AND (q.accepted IS NOT NULL OR r.valid_until >= ?1) AND r.event_date >= ?1
			ORDER BY r.event_date, q.number`, []any{from.String()}, &snapshot, &choice)
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

// QuoteEntry is a quote as a list shows it, in the revision that stands. Dates are
// YYYY-MM-DD; totals are in the minor unit.
type QuoteEntry struct {
	Number     *string     `json:"number"` // nil for a draft
	Draft      string      `json:"draft,omitempty"`
	Revision   string      `json:"revision"`
	State      quote.State `json:"state"`
	Client     string      `json:"client"`
	EventDate  string      `json:"event_date"`
	IssuedOn   string      `json:"issued_on"` // of a draft: the day it was priced for
	ValidUntil string      `json:"valid_until"`
	Option     string      `json:"accepted_option,omitempty"`
	Total      string      `json:"total,omitempty"`  // of a single offer
	Totals     []string    `json:"totals,omitempty"` // of each option
	Currency   string      `json:"currency"`
	id         int64
}

// Ref returns what the quote is called: its number, or D1 and the like.
func (e QuoteEntry) Ref() string {
	if e.Number != nil {
		return *e.Number
	}
	return e.Draft
}

// Quotes lists every quote and draft as they stand on a day, the newest first.
func (s *Store) Quotes(ctx context.Context, on day.Date) (list []QuoteEntry, err error) {
	err = s.read(ctx, func(r *reader) error {
		list = r.quoteEntries(on, "TRUE")
		return r.err
	})
	return list, err
}

// quoteEntries lists the quotes q that a condition chooses.
func (r *reader) quoteEntries(on day.Date, where string) []QuoteEntry {
	list := []QuoteEntry{}
	var e QuoteEntry
	var number, draft, totals, option sql.Null[string]
	r.each(func() {
		if e.Number, e.Draft = nil, draft.V; number.Valid {
			issued := number.V
			e.Number, e.Draft = &issued, ""
		}
		e.Option = option.V
		if e.Totals = nil; totals.Valid {
			e.Totals = strings.Split(totals.V, " ")
			if e.Total = ""; len(e.Totals) == 1 {
				e.Total, e.Totals = e.Totals[0], nil
			}
		}
		list = append(list, e)
	}, `WITH stands AS (
			SELECT *, CASE WHEN state <> 'issued' OR until >= ?1 THEN state WHEN accepted IS NULL THEN 'lapsed' ELSE 'accepted' END AS now FROM (
				SELECT q.*, (SELECT valid_until FROM quote_revision WHERE quote = q.id AND revision = coalesce(q.newest, 1)) AS until FROM quote q WHERE `+where+`))
		SELECT stands.id, number, 'D' || draft, letter, client, event_date, issued_on, valid_until, total, currency, now,
			(SELECT group_concat(value ->> 'total', ' ' ORDER BY key) FROM json_each(f.options) WHERE r.revision IS NOT stands.accepted OR key + 1 = stands.choice),
			iif(r.revision IS stands.accepted, f.options ->> ('$[' || (choice - 1) || '].name'), NULL)
		FROM stands JOIN quote_revision r ON r.quote = stands.id
			AND r.revision = iif(now IN ('accepted', 'cancelled') AND accepted IS NOT NULL, accepted, coalesce(newest, 1))
			JOIN quote_face f ON f.quote = r.quote AND f.revision = r.revision
		ORDER BY saved_at DESC, r.quote DESC`, []any{on.String()},
		&e.id, &number, &draft, &e.Revision, &e.Client, &e.EventDate, &e.IssuedOn, &e.ValidUntil, &e.Total, &e.Currency, &e.State, &totals, &option)
	return list
}
