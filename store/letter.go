package store

import (
	"context"
	"database/sql"
	"time"
)

// Wording returns the studio's own wording of a kind of letter in a language,
// and false where it has none.
func (s *Store) Wording(ctx context.Context, language, kind string) (wording string, there bool, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.each(func() { there = true }, `SELECT wording FROM letter WHERE language = ? AND kind = ?`, []any{language, kind}, &wording)
		return r.err
	})
	return wording, there, err
}

// OwnWording is a kind of letter that the studio words itself.
type OwnWording struct {
	Language string `json:"language"`
	Kind     string `json:"kind"`
}

// Wordings lists what the studio words itself.
func (s *Store) Wordings(ctx context.Context) (list []OwnWording, err error) {
	err = s.read(ctx, func(r *reader) error {
		var w OwnWording
		r.each(func() { list = append(list, w) }, `SELECT language, kind FROM letter ORDER BY kind, language`, nil, &w.Language, &w.Kind)
		return r.err
	})
	return list, err
}

// SetWording keeps the studio's own wording; "" goes back to the built-in one.
func (s *Store) SetWording(ctx context.Context, language, kind, wording string) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		if wording == "" {
			_, err := tx.ExecContext(ctx, `DELETE FROM letter WHERE language = ? AND kind = ?`, language, kind)
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO letter (language, kind, wording) VALUES (?, ?, ?)
			ON CONFLICT (language, kind) DO UPDATE SET wording = excluded.wording`, language, kind, wording)
		return err
	})
}

// MailServer is how letters leave the studio. Its password is not kept.
type MailServer struct {
	Host     string `json:"host"`
	Port     int    `json:"port,omitempty"` // 0: the usual one
	User     string `json:"user,omitempty"`
	Security string `json:"security"` // starttls, tls or none
}

// MailServer returns the studio's mail server, and false where it has none.
func (s *Store) MailServer(ctx context.Context) (m MailServer, there bool, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.each(func() { there = true }, `SELECT host, port, user, security FROM mail_server`, nil, &m.Host, &m.Port, &m.User, &m.Security)
		return r.err
	})
	return m, there, err
}

// SetMailServer keeps the studio's mail server; nil forgets it.
func (s *Store) SetMailServer(ctx context.Context, m *MailServer) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM mail_server`); err != nil || m == nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO mail_server (id, host, port, user, security) VALUES (1, ?, ?, ?, ?)`, m.Host, m.Port, m.User, m.Security)
		return err
	})
}

// Sending is a letter that was written, or went out.
type Sending struct {
	At       string `json:"at"`
	Revision string `json:"revision"`
	Kind     string `json:"kind"`
	How      string `json:"how"` // file or server
}

// NoteSending notes that a letter about a quote was written or went out.
func (s *Store) NoteSending(ctx context.Context, ref string, sent Sending, at time.Time) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		found, err := (&reader{ctx: ctx, tx: tx}).findQuote(ref)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO sending (quote, revision, at, kind, how)
			SELECT quote, revision, ?3, ?4, ?5 FROM quote_revision WHERE quote = ?1 AND letter = ?2`, found.id, sent.Revision, instant(at), sent.Kind, sent.How)
		return err
	})
}

// Sendings lists the letters about a quote, the oldest first.
func (s *Store) Sendings(ctx context.Context, ref string) (list []Sending, err error) {
	err = s.read(ctx, func(r *reader) error {
		found, err := r.findQuote(ref)
		if err != nil {
			return err
		}
		var x Sending
		r.each(func() { list = append(list, x) }, `SELECT s.at, r.letter, s.kind, s.how FROM sending s
			JOIN quote_revision r ON r.quote = s.quote AND r.revision = s.revision WHERE s.quote = ? ORDER BY s.id`, []any{found.id},
			&x.At, &x.Revision, &x.Kind, &x.How)
		return r.err
	})
	return list, err
}
