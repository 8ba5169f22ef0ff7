package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"marchpane/pricing/enquiry"
)

// SavedClient is a client as the store keeps it. Times are as 2026-11-25T09:30:00Z.
type SavedClient struct {
	Ref string `json:"ref"` // C1
	enquiry.Client
	AddedAt   string `json:"added_at"`
	ChangedAt string `json:"changed_at"`
}

// AddClient keeps a new client. What is wrong with one is the error.
func (s *Store) AddClient(ctx context.Context, c enquiry.Client, at time.Time) (saved SavedClient, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		saved, err = addClient(ctx, tx, c, at)
		return err
	})
	return saved, err
}

// AddClientOf makes a client of whom a quote is for, by what its newest
// revision says of them, mended where needed, and links the quote to it. A quote that belongs to a
// client already is refused with [ErrConflict].
func (s *Store) AddClientOf(ctx context.Context, quoteRef string, at time.Time) (saved SavedClient, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		q, err := r.findQuote(quoteRef)
		if err != nil {
			return err
		}
		switch party, err := r.party(q.id); {
		case err != nil:
			return err
		case party.Client != "":
			return fmt.Errorf("%w: %s belongs to client %s already; see: marchpane client show %s", ErrConflict, q.ref(), party.Client, party.Client)
		}
		var c enquiry.Client
		r.each(func() {}, `SELECT snapshot ->> '$.offer.client.name', snapshot ->> '$.offer.client.email', snapshot ->> '$.offer.client.phone',
			snapshot ->> '$.offer.client.address' FROM quote_revision WHERE quote = ? AND revision = ?`, []any{q.id, q.revisions},
			&c.Name, maybe(&c.Email), maybe(&c.Phone), maybe(&c.Address))
		if r.err != nil {
			return r.err
		}
		if isErased(c.Name) {
			return fmt.Errorf("%w: the client of %s was erased; there is nobody left to make a record of", ErrConflict, q.ref())
		}
		if saved, err = addClient(ctx, tx, c.Mended(), at); err != nil {
			return err
		}
		return link(ctx, tx, q.id, saved.Ref, "")
	})
	return saved, err
}

func addClient(ctx context.Context, tx *sql.Tx, c enquiry.Client, at time.Time) (SavedClient, error) {
	if err := c.Check().Err(); err != nil {
		return SavedClient{}, err
	}
	id, err := nextReference(ctx, tx, "client")
	if err != nil {
		return SavedClient{}, err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO client (id, name, email, phone, address, language, dietary, notes, folded, added_at, changed_at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.Name, stated(c.Email), stated(c.Phone), stated(c.Address), stated(c.Language), stated(c.Dietary), stated(c.Notes), c.Folded(), instant(at), instant(at))
	return SavedClient{clientRef(id), c, instant(at), instant(at)}, err
}

// nextReference takes the next number of a kind.
func nextReference(ctx context.Context, tx *sql.Tx, kind string) (id int64, err error) {
	err = tx.QueryRowContext(ctx, `UPDATE reference SET last = last + 1 WHERE kind = ? RETURNING last`, kind).Scan(&id)
	return id, err
}

func clientRef(id int64) string { return "C" + strconv.FormatInt(id, 10) }

// reference reads what a client or enquiry is called, C1 or E1, and returns 0
// for what is none.
func reference(letter, ref string) int64 {
	digits, ok := strings.CutPrefix(strings.ToUpper(strings.TrimSpace(ref)), letter)
	if !ok {
		return 0
	}
	id, err := strconv.ParseInt(digits, 10, 32)
	if err != nil {
		return 0
	}
	return id
}

// Client returns a client by what it is called. One that is not there is
// [ErrNotFound]; the error says what became of one that was.
func (s *Store) Client(ctx context.Context, ref string) (saved SavedClient, err error) {
	err = s.read(ctx, func(r *reader) error {
		_, saved, err = r.client(ref)
		return err
	})
	return saved, err
}

func (r *reader) client(ref string) (id int64, c SavedClient, err error) {
	wanted := reference("C", ref)
	r.each(func() { c.Ref = clientRef(id) }, `SELECT id, name, email, phone, address, language, dietary, notes, added_at, changed_at FROM client WHERE id = ?`, []any{wanted},
		&id, &c.Name, maybe(&c.Email), maybe(&c.Phone), maybe(&c.Address), maybe(&c.Language), maybe(&c.Dietary), maybe(&c.Notes), &c.AddedAt, &c.ChangedAt)
	if r.err != nil || id != 0 {
		return id, c, r.err
	}
	gone, err := r.gone(wanted)
	switch {
	case err != nil:
		return 0, c, err
	case gone.into != "":
		return 0, c, fmt.Errorf("client %s is %w: it was merged into %s on %s", clientRef(wanted), ErrNotFound, gone.into, gone.on)
	case gone.on != "":
		return 0, c, fmt.Errorf("client %s is %w: its data were erased on %s", clientRef(wanted), ErrNotFound, gone.on)
	}
	return 0, c, fmt.Errorf("client %.40q is %w; a client is called C1 or the like, and found by: marchpane client list WORDS", ref, ErrNotFound)
}

// gone is what became of a client: on is "" where it never was, into is "" where
// it was erased.
type gone struct{ on, into string }

func (r *reader) gone(id int64) (g gone, err error) {
	var into sql.Null[int64]
	r.each(func() {
		if into.Valid {
			g.into = clientRef(into.V)
		}
	}, `SELECT substr(at, 1, 10), merged_into FROM client_gone WHERE id = ?`, []any{id}, &g.on, &into)
	return g, r.err
}

// ChangeClient keeps what change makes of a client.
func (s *Store) ChangeClient(ctx context.Context, ref string, change func(*enquiry.Client) error, at time.Time) (saved SavedClient, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		var id int64
		if id, saved, err = (&reader{ctx: ctx, tx: tx}).client(ref); err != nil {
			return err
		}
		if err := change(&saved.Client); err != nil {
			return err
		}
		saved.ChangedAt = instant(at)
		return putClient(ctx, tx, id, saved)
	})
	return saved, err
}

func putClient(ctx context.Context, tx *sql.Tx, id int64, c SavedClient) error {
	if err := c.Check().Err(); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, `UPDATE client SET name = ?, email = ?, phone = ?, address = ?, language = ?, dietary = ?, notes = ?, folded = ?, changed_at = ? WHERE id = ?`,
		c.Name, stated(c.Email), stated(c.Phone), stated(c.Address), stated(c.Language), stated(c.Dietary), stated(c.Notes), c.Folded(), c.ChangedAt, id)
	return err
}

// ClientEntry is a client as a list shows it.
type ClientEntry struct {
	Ref       string `json:"ref"`
	Name      string `json:"name"`
	Email     string `json:"email,omitempty"`
	Phone     string `json:"phone,omitempty"`
	Enquiries int    `json:"enquiries"`
	Quotes    int    `json:"quotes"`
}

// Clients lists the clients in whose name, email, phone, address or notes every
// word of a search stands, case and accents aside; all for "". They are sorted
// by name as in the studio's language; of one name the earlier record stands
// first.
func (s *Store) Clients(ctx context.Context, words string) ([]ClientEntry, error) {
	list, _, err := s.ClientsPage(ctx, words, Span{Most: math.MaxInt32})
	return list, err
}

// ClientsPage lists part of the same list, and how many clients are in it, up to
// [MostFound] in a search. It reads those alone that it returns.
//
// The index of letters keeps what was deleted from it for a while; an erasure
// has it made afresh.
func (s *Store) ClientsPage(ctx context.Context, words string, part Span) (list []ClientEntry, n int, err error) {
	if err := s.catchUp(ctx); err != nil {
		return nil, 0, err
	}
	list = []ClientEntry{}
	err = s.read(ctx, func(r *reader) error {
		found, err := r.find("client_words", words)
		if err != nil {
			return err
		}
		args := []any{}
		more := found.where("id", &args)
		ids, count := r.listed(`client`, `id`, []arm{{`sorted >= ''`, `sorted`}}, false, more, found, args, part)
		n = count
		var id int64
		var e ClientEntry
		r.each(func() {
			e.Ref = clientRef(id)
			list = append(list, e)
		}, `SELECT id, name, coalesce(email, ''), coalesce(phone, ''), (SELECT count(*) FROM enquiry WHERE client = c.id),
			(SELECT count(*) FROM quote_party WHERE client = c.id) FROM client c WHERE id IN `+idList(ids)+` ORDER BY sorted, id`, nil,
			&id, &e.Name, &e.Email, &e.Phone, &e.Enquiries, &e.Quotes)
		return r.err
	})
	return list, n, err
}

// Merged is what a merge of two clients did.
type Merged struct {
	Client    SavedClient `json:"client"`
	From      string      `json:"from"`
	Enquiries int         `json:"enquiries_moved"`
	Quotes    int         `json:"quotes_moved"`
	Left      []string    `json:"left"` // what the other record said differently, now in the notes
}

// MergeClients makes two records of one client one: into keeps what it says,
// takes what it lacks from the other, and notes what that said differently. The
// other's enquiries and quotes become its own. What a frozen quote says stays.
func (s *Store) MergeClients(ctx context.Context, from, into string, at time.Time) (m Merged, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		fromID, other, err := r.client(from)
		if err != nil {
			return err
		}
		intoID, kept, err := r.client(into)
		if err != nil {
			return err
		}
		if fromID == intoID {
			return fmt.Errorf("%w: %s cannot be merged into itself", ErrConflict, kept.Ref)
		}
		m = Merged{From: other.Ref, Left: []string{}}
		kept.Client, m.Left = kept.Absorb(other.Client)
		if m.Left == nil {
			m.Left = []string{}
		}
		note := fmt.Sprintf("%s: %s merged into this record", instant(at)[:len("2026-11-25")], other.Ref)
		if len(m.Left) > 0 {
			note += ", which said " + strings.Join(m.Left, "; ")
		}
		kept.Notes.Value, kept.Notes.Given = strings.TrimLeft(kept.Notes.Or("")+"\n"+note, "\n"), true
		kept.ChangedAt = instant(at)
		if err := putClient(ctx, tx, intoID, kept); err != nil {
			return err
		}
		m.Client = kept
		m.Enquiries, err = affected(tx.ExecContext(ctx, `UPDATE enquiry SET client = ? WHERE client = ?`, intoID, fromID))
		if err != nil {
			return err
		}
		m.Quotes, err = affected(tx.ExecContext(ctx, `UPDATE quote_party SET client = ? WHERE client = ?`, intoID, fromID))
		if err != nil {
			return err
		}
		_, errDelete := tx.ExecContext(ctx, `DELETE FROM client WHERE id = ?`, fromID)
		_, errGone := tx.ExecContext(ctx, `INSERT INTO client_gone (id, at, merged_into) VALUES (?, ?, ?)`, fromID, instant(at), intoID)
		return errors.Join(errDelete, errGone)
	})
	return m, err
}

func affected(result sql.Result, err error) (int, error) {
	if err != nil {
		return 0, err
	}
	n, err := result.RowsAffected()
	return int(n), err
}
