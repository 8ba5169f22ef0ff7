package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"modernc.org/sqlite"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
)

// erasedName begins what stands in place of an erased client's name.
const erasedName = "erased client C"

func isErased(name string) bool { return strings.HasPrefix(name, erasedName) }

// ClientFile is all that the store holds on one client, for the client. Of
// quotes it has what the client asked for and was offered; what they cost the
// studio is no data on the client.
type ClientFile struct {
	Format    string         `json:"format"` // marchpane-client/1
	Client    SavedClient    `json:"client"`
	Merged    []string       `json:"merged"` // other records that became this one
	Enquiries []SavedEnquiry `json:"enquiries"`
	Quotes    []HeldQuote    `json:"quotes"`
}

// HeldQuote is a quote in a client's file.
type HeldQuote struct {
	Ref       string          `json:"ref"`
	State     string          `json:"state"`
	Enquiry   string          `json:"enquiry,omitempty"`
	Revisions []HeldRevision  `json:"revisions"`
	Trail     []quote.Step    `json:"trail"`
	Payments  []quote.Payment `json:"payments"`
	Letters   []Sending       `json:"letters"`
	Notes     []HeldNote      `json:"notes"` // of work and goods
}

// HeldRevision is a revision of a quote as it was saved, key by key.
type HeldRevision struct {
	Revision string          `json:"revision"`
	SavedAt  string          `json:"saved_at"`
	Request  json.RawMessage `json:"request"`
	Offer    json.RawMessage `json:"offer"`
	Options  json.RawMessage `json:"options"` // without their basis
	Changes  json.RawMessage `json:"changes"`
}

// HeldNote is what was noted of the work on an order.
type HeldNote struct {
	At   string `json:"at"`
	On   string `json:"on"`
	Note string `json:"note"`
}

// ClientFile returns all that the store holds on a client.
func (s *Store) ClientFile(ctx context.Context, ref string) (f ClientFile, err error) {
	err = s.read(ctx, func(r *reader) error {
		id, c, err := r.client(ref)
		if err != nil {
			return err
		}
		f = ClientFile{
			Format: "marchpane-client/1", Client: c, Merged: []string{}, Quotes: []HeldQuote{},
			Enquiries: r.enquiries(`e.client = ?`, id),
		}
		var merged int64
		r.each(func() { f.Merged = append(f.Merged, clientRef(merged)) }, `SELECT id FROM client_gone WHERE merged_into = ? ORDER BY id`, []any{id}, &merged)
		var ids []int64
		var own int64
		var q HeldQuote
		r.each(func() { ids, f.Quotes = append(ids, own), append(f.Quotes, q) },
			`SELECT quote.id, coalesce(number, 'D' || draft), state, coalesce('E' || enquiry, '') FROM quote_party JOIN quote ON quote.id = quote WHERE client = ? ORDER BY quote.id`, []any{id},
			&own, &q.Ref, &q.State, &q.Enquiry)
		for i, id := range ids {
			r.hold(id, &f.Quotes[i])
		}
		return r.err
	})
	return f, err
}

// hold reads what belongs to a quote.
func (r *reader) hold(id int64, q *HeldQuote) {
	q.Revisions, q.Trail, q.Payments, q.Letters, q.Notes = []HeldRevision{}, []quote.Step{}, []quote.Payment{}, []Sending{}, []HeldNote{}
	var v HeldRevision
	var request, offer, options, changes string
	r.each(func() {
		v.Request, v.Offer, v.Options, v.Changes = json.RawMessage(request), json.RawMessage(offer), json.RawMessage(options), json.RawMessage(changes)
		q.Revisions = append(q.Revisions, v)
	}, `SELECT letter, saved_at, snapshot -> '$.request', snapshot -> '$.offer',
		(SELECT json_group_array(json(json_remove(value, '$.basis'))) FROM (SELECT value FROM json_each(snapshot, '$.options') ORDER BY key)),
		coalesce(snapshot -> '$.changes', '[]') FROM quote_revision WHERE quote = ? ORDER BY revision`, []any{id},
		&v.Revision, &v.SavedAt, &request, &offer, &options, &changes)
	trail, err := r.trail(id)
	if err != nil {
		r.err = err
		return
	}
	payments, err := r.payments(`quote = ?`, id)
	if err != nil {
		r.err = err
		return
	}
	q.Trail = trail
	var sent Sending
	r.each(func() { q.Letters = append(q.Letters, sent) }, `SELECT s.at, r.letter, s.kind, s.how FROM sending s
		JOIN quote_revision r ON r.quote = s.quote AND r.revision = s.revision WHERE s.quote = ? ORDER BY s.id`, []any{id},
		&sent.At, &sent.Revision, &sent.Kind, &sent.How)
	var note HeldNote
	r.each(func() { q.Notes = append(q.Notes, note) }, `SELECT at, on_day, note FROM actual WHERE quote = ?1 AND note <> ''
		UNION ALL SELECT u.at, u.on_day, why FROM actual_undone u JOIN actual ON id = entry WHERE quote = ?1 AND why <> '' ORDER BY 1`, []any{id},
		&note.At, &note.On, &note.Note)
	for _, p := range payments {
		q.Payments = append(q.Payments, p.Payment)
	}
}

// Erasure is what erasing a client takes away, or took.
type Erasure struct {
	Client    string   `json:"client"`
	Name      string   `json:"-"`              // nobody is to read it afterwards
	Enquiries []string `json:"enquiries"`      // deleted
	Quotes    []string `json:"quotes"`         // whose client was overwritten, in every revision
	Revisions int      `json:"revisions"`      // of those
	Texts     int      `json:"texts"`          // reasons and notes overwritten
	Ahead     []string `json:"orders_ahead"`   // accepted, their event still to come
	Others    []string `json:"quotes_of_none"` // that bear the client's name or email and belong to no client: they stay
	Copies    []string `json:"copies"`         // backups of the store beside it, which are not reached
	Done      bool     `json:"done"`
	Already   bool     `json:"already"` // done an earlier time
	Swept     bool     `json:"swept"`   // whether the bytes are gone from the file too
}

// Erasable returns what erasing a client would take away.
func (s *Store) Erasable(ctx context.Context, ref string, today day.Date) (e Erasure, err error) {
	err = s.read(ctx, func(r *reader) error {
		_, e, err = r.erasable(ref, today)
		return err
	})
	return e, err
}

func (r *reader) erasable(ref string, today day.Date) (int64, Erasure, error) {
	id, c, err := r.client(ref)
	if err != nil {
		return 0, Erasure{}, err
	}
	e := Erasure{Client: c.Ref, Name: c.Name, Copies: []string{}}
	e.Enquiries = r.list(`SELECT 'E' || id FROM enquiry WHERE client = ? ORDER BY id`, id)
	e.Quotes = r.list(`SELECT coalesce(number, 'D' || draft) FROM quote_party JOIN quote ON quote.id = quote WHERE client = ? ORDER BY quote.id`, id)
	r.each(func() {}, `SELECT count(*) FROM quote_revision WHERE quote IN (SELECT quote FROM quote_party WHERE client = ?)`, []any{id}, &e.Revisions)
	r.each(func() {}, `WITH own AS (SELECT quote FROM quote_party WHERE client = ?1)
		SELECT (SELECT count(*) FROM quote_trail WHERE move <> 'issue' AND reason NOT IN ('', 'erased') AND quote IN own)
			+ (SELECT count(*) FROM payment WHERE note NOT IN ('', 'erased') AND quote IN own)
			+ (SELECT count(*) FROM actual WHERE note NOT IN ('', 'erased') AND quote IN own)
			+ (SELECT count(*) FROM actual_undone WHERE why NOT IN ('', 'erased') AND entry IN (SELECT id FROM actual WHERE quote IN own))`, []any{id}, &e.Texts)
	// An order that is being revised stands until the client accepts another.
	e.Ahead = r.list(`SELECT number FROM order_now WHERE state <> 'cancelled' AND event_date >= ?2 AND quote IN (SELECT quote FROM quote_party WHERE client = ?1) ORDER BY event_date, number`, id, today.String())
	e.Others = r.strangers(c)
	return id, e, r.err
}

// list reads a column of texts.
func (r *reader) list(query string, args ...any) []string {
	list := []string{}
	var s string
	r.each(func() { list = append(list, s) }, query, args, &s)
	return list
}

// strangers lists the quotes that belong to no client and name this one.
func (r *reader) strangers(c SavedClient) []string {
	list := []string{}
	var ref, name, email string
	r.each(func() {
		same := enquiry.Fold(name) == enquiry.Fold(c.Name) || email != "" && strings.EqualFold(email, c.Email.Or(""))
		if same && (len(list) == 0 || list[len(list)-1] != ref) {
			list = append(list, ref)
		}
	}, `SELECT coalesce(number, 'D' || draft), coalesce(client, ''), coalesce(snapshot ->> '$.offer.client.email', '') FROM quote_revision JOIN quote ON id = quote
		WHERE quote NOT IN (SELECT quote FROM quote_party) ORDER BY quote, revision`, nil, &ref, &name, &email)
	return list
}

// EraseClient deletes a client's record and enquiries, and overwrites what
// names the client in quotes, trails and payments. Every figure, number and
// date stays, so that accounts and reports add up as before. A client with an
// accepted order still to come is refused with [ErrConflict] unless ordersToo.
//
// The bytes leave the file as well: what is deleted is overwritten, what
// earlier changes left in free pages goes when the file is written afresh, and
// the log beside the file is emptied. Where another program is reading the
// store that has to wait; erasing the same client again then makes up for it.
// Copies of the file are beyond reach.
func (s *Store) EraseClient(ctx context.Context, ref string, ordersToo bool, today day.Date, at time.Time) (e Erasure, err error) {
	// A connection's own setting, which a transaction cannot make.
	if _, err := s.writer.ExecContext(ctx, `PRAGMA secure_delete = 1`); err != nil {
		return e, translate(err)
	}
	err = s.update(ctx, func(tx *sql.Tx) error {
		e = Erasure{}
		r := &reader{ctx: ctx, tx: tx}
		wanted := reference("C", ref)
		switch gone, err := r.gone(wanted); {
		case err != nil:
			return err
		case gone.on != "" && gone.into == "":
			// Nothing is left but to sweep.
			e = Erasure{Client: clientRef(wanted), Already: true, Enquiries: []string{}, Quotes: []string{}, Ahead: []string{}, Others: []string{}}
			return nil
		}
		id, found, err := r.erasable(ref, today)
		if err != nil {
			return err
		}
		if e = found; len(e.Ahead) > 0 && !ordersToo {
			return fmt.Errorf("%w: %s has an order still to come: %s; deliver or cancel it first, or erase all the same with --open-orders-too", ErrConflict, e.Client, strings.Join(e.Ahead, ", "))
		}
		w := newWriter(ctx, tx)
		w.do(`UPDATE quote_revision SET snapshot = (SELECT f.snapshot FROM quote_forgotten f WHERE f.quote = quote_revision.quote AND f.revision = quote_revision.revision)
			WHERE quote IN (SELECT quote FROM quote_party WHERE client = ?)`, id)
		// The reason of an issue is ours, and the same for everybody.
		w.do(`UPDATE quote_trail SET reason = 'erased' WHERE move <> 'issue' AND reason NOT IN ('', 'erased') AND quote IN (SELECT quote FROM quote_party WHERE client = ?)`, id)
		w.do(`UPDATE payment SET note = 'erased' WHERE note NOT IN ('', 'erased') AND quote IN (SELECT quote FROM quote_party WHERE client = ?)`, id)
		w.do(`UPDATE actual SET note = 'erased' WHERE note NOT IN ('', 'erased') AND quote IN (SELECT quote FROM quote_party WHERE client = ?)`, id)
		w.do(`UPDATE actual_undone SET why = 'erased' WHERE why NOT IN ('', 'erased')
			AND entry IN (SELECT id FROM actual WHERE quote IN (SELECT quote FROM quote_party WHERE client = ?))`, id)
		w.do(`DELETE FROM client WHERE id = ?`, id) // with enquiries and links
		w.do(`INSERT INTO client_gone (id, at) VALUES (?, ?)`, id, instant(at))
		if err := errors.Join(w.close(), upkeep(ctx, tx), reindex(ctx, tx)); err != nil {
			return err
		}
		return r.readable(e.Quotes)
	})
	if err != nil {
		return Erasure{}, err
	}
	e.Done = true
	if e.Copies, err = s.copies(); err != nil {
		return e, err
	}
	if e.Swept, err = s.sweep(ctx); err != nil {
		err = fmt.Errorf("%s is erased, but what was deleted could not be swept out of the file; erase %s again to try once more: %w", e.Client, e.Client, err)
	}
	return e, err
}

// reindex makes the indexes of letters afresh: they keep what was deleted from
// them for a while.
func reindex(ctx context.Context, tx *sql.Tx) error {
	w := newWriter(ctx, tx)
	w.do(`INSERT INTO quote_words (quote_words) VALUES ('delete-all')`)
	w.do(`INSERT INTO quote_words (rowid, folded) SELECT quote, folded FROM quote_board WHERE folded IS NOT NULL`)
	w.do(`INSERT INTO client_words (client_words) VALUES ('delete-all')`)
	w.do(`INSERT INTO client_words (rowid, folded) SELECT id, folded FROM client`)
	w.do(`INSERT INTO enquiry_words (enquiry_words) VALUES ('delete-all')`)
	w.do(`INSERT INTO enquiry_words (rowid, folded) SELECT enquiry, folded FROM enquiry_board WHERE folded IS NOT NULL`)
	return w.close()
}

// copies lists the backups that were made of the store before upgrades.
func (s *Store) copies() ([]string, error) {
	folder, name := filepath.Split(s.path)
	entries, err := os.ReadDir(filepath.Clean(folder))
	if err != nil {
		return nil, err
	}
	list := []string{}
	for _, entry := range entries {
		if strings.HasPrefix(entry.Name(), name+".schema-") {
			list = append(list, entry.Name())
		}
	}
	return list, nil
}

// readable makes sure that quotes read back after their clients were
// overwritten.
func (r *reader) readable(quotes []string) error {
	for _, ref := range quotes {
		found, err := r.findQuote(ref)
		if err != nil {
			return err
		}
		var snapshot string
		r.each(func() {
			if _, err := thaw(snapshot); err != nil && r.err == nil {
				r.err = fmt.Errorf("%s: %w", ref, err)
			}
		}, `SELECT snapshot FROM quote_revision WHERE quote = ?`, []any{found.id}, &snapshot)
	}
	return r.err
}

// sweep writes the file afresh, so that nothing deleted is left in it, and
// empties the log beside it. It reports false where another program kept it
// from doing so.
func (s *Store) sweep(ctx context.Context) (bool, error) {
	if _, err := s.writer.ExecContext(ctx, `VACUUM`); err != nil {
		return false, stillBusy(err)
	}
	var busy, logged, moved int
	if err := s.writer.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &logged, &moved); err != nil {
		return false, stillBusy(err)
	}
	return busy == 0, nil
}

// stillBusy returns nil for the error that another program uses the file.
func stillBusy(err error) error {
	var e *sqlite.Error
	if errors.As(err, &e) && e.Code()&0xff == codeBusy {
		return nil
	}
	return translate(err)
}
