package store

import (
	"context"
	"database/sql"
	"time"
)

// Passphrase returns the hash of the passphrase that the pages ask for, and
// false where none is set.
func (s *Store) Passphrase(ctx context.Context) (hash string, there bool, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.each(func() { there = true }, `SELECT passphrase FROM web_access`, nil, &hash)
		return r.err
	})
	return hash, there, err
}

// SetPassphrase keeps the hash of the passphrase that the pages ask for; ""
// forgets it.
func (s *Store) SetPassphrase(ctx context.Context, hash string, at time.Time) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		if hash == "" {
			_, err := tx.ExecContext(ctx, `DELETE FROM web_access`)
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO web_access (id, passphrase, set_at) VALUES (1, ?, ?)
			ON CONFLICT (id) DO UPDATE SET passphrase = excluded.passphrase, set_at = excluded.set_at`, hash, instant(at))
		return err
	})
}
