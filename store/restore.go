package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"modernc.org/sqlite"
)

// CopyTo writes a whole and consistent copy of the store to a new file at
// path, while others read and write. The copy is packed and stands alone.
func (s *Store) CopyTo(ctx context.Context, path string) error {
	// Written under another name first, so that a copy cut short is never
	// taken for a whole one.
	part := path + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := s.writer.ExecContext(ctx, "VACUUM INTO ?", part); err != nil {
		return translate(err)
	}
	return os.Rename(part, path)
}

// Examine opens the file at path and refuses it unless it is a whole store of
// ours: marked as one, with nothing in its schema that a store of this program has
// not, and sound in SQLite's eyes. An older one is brought up to date, so path is
// best a copy. The caller closes what it returns.
func Examine(ctx context.Context, path string) (s *Store, err error) {
	if err := isStore(ctx, path); err != nil {
		return nil, err
	}
	if s, err = Open(ctx, path); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, s.Close())
		}
	}()
	var verdict string
	if err := s.reader.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&verdict); err != nil {
		return s, translate(err)
	}
	if verdict != "ok" {
		return s, fmt.Errorf("the file is damaged (%.200s); take another copy", verdict)
	}
	var table string
	err = s.reader.QueryRowContext(ctx, `SELECT "table" FROM pragma_foreign_key_check LIMIT 1`).Scan(&table)
	switch {
	case err == nil:
		return s, fmt.Errorf("the file is damaged: what table %q refers to is missing; take another copy", table)
	case !errors.Is(err, sql.ErrNoRows):
		return s, translate(err)
	}
	return s, nil
}

// isStore refuses a file that is no store before anything is done with it.
func isStore(ctx context.Context, path string) error {
	notOurs := errors.New("the file is no store of marchpane; choose a backup that this program made")
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	head := make([]byte, 16)
	_, err = file.Read(head)
	if closing := file.Close(); closing != nil {
		return closing
	}
	if err != nil || string(head) != "SQLite format 3\x00" {
		return notOurs
	}
	db, err := sql.Open("sqlite", dsn(path, "_query_only=1"))
	if err != nil {
		return err
	}
	defer db.Close()
	m, err := readMark(ctx, db)
	if err != nil || m.application != applicationID {
		return notOurs
	}
	scripts, err := readMigrations()
	if err != nil {
		return err
	}
	if err := m.check(len(scripts)); err != nil {
		return fmt.Errorf("the file %w", err)
	}
	return sameSchema(ctx, db, scripts[:max(0, m.version)])
}

// sameSchema refuses a file whose tables or triggers are not those that some
// scripts make: a trigger of somebody else's would run while the file is brought
// up to date, and in the studio's store after that.
func sameSchema(ctx context.Context, file *sql.DB, scripts []string) (err error) {
	folder, err := os.MkdirTemp("", "marchpane-schema-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	model, err := sql.Open("sqlite", dsn(filepath.Join(folder, "model.db"), ""))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, model.Close()) }()
	for _, script := range scripts {
		if _, err := model.ExecContext(ctx, script); err != nil {
			return translate(err)
		}
	}
	want, err := schemaOf(ctx, model)
	if err != nil {
		return err
	}
	has, err := schemaOf(ctx, file)
	if err != nil {
		return err
	}
	for name, text := range has {
		if want[name] != text {
			return fmt.Errorf("the file has %s, which no store of this program has; it was left alone", name)
		}
	}
	for name := range want {
		if _, there := has[name]; !there {
			return fmt.Errorf("the file lacks %s; it was left alone", name)
		}
	}
	return nil
}

// schemaOf returns what makes each table, index and trigger. SQLite's own tables
// of statistics come and go.
func schemaOf(ctx context.Context, db *sql.DB) (map[string]string, error) {
	rows, err := db.QueryContext(ctx, `SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite\_%' ESCAPE '\'`)
	if err != nil {
		return nil, translate(err)
	}
	defer rows.Close()
	all := map[string]string{}
	for rows.Next() {
		var name, text string
		if err := rows.Scan(&name, &text); err != nil {
			return nil, translate(err)
		}
		all[name] = strings.Join(strings.Fields(text), " ")
	}
	return all, translate(rows.Err())
}

// Restore makes the store what the file at path is, once [Examine] has found no
// fault with it; the file is brought up to date by that. What the store was is
// kept beside it, and aside says where. All or nothing, whoever else has the
// store open. The passphrase of the pages stays that of this store, or none: it
// belongs to where the studio is kept, and a backup from before it was set, or
// from elsewhere, opens the pages to nobody else and locks nobody out.
func (s *Store) Restore(ctx context.Context, path string, at time.Time) (aside string, err error) {
	from, err := Examine(ctx, path)
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	// Packed into one file, without a log beside it.
	whole := path + ".whole"
	if err := from.CopyTo(ctx, whole); err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, os.Remove(whole)) }()
	if err := s.lendPassphrase(ctx, whole); err != nil {
		return "", err
	}

	if aside, err = s.putAside(ctx, at); err != nil {
		return "", fmt.Errorf("no copy of the store as it is could be made, so it was left as it is: %w", err)
	}
	edition := int64(0)
	if err := s.reader.QueryRowContext(ctx, `SELECT coalesce(max(number), 0) FROM import`).Scan(&edition); err != nil {
		return "", translate(err)
	}
	err = s.overwrite(ctx, whole)
	s.known.forget()
	s.taken.forget()
	s.chronicles.forget()
	if err != nil {
		return "", translate(err)
	}
	// Whoever remembers the book as it was has to see that it is another.
	return aside, s.update(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO import (number, at, kind, file, added, changed, same, removed, prices)
			SELECT max(?, coalesce(max(number), 0)) + 1, ?, 'replace', ?, 0, 0, 0, 0, 0 FROM import`, edition, instant(at), restoredFile)
		return err
	})
}

// restoredFile stands for the file of an import where the whole store became
// another.
const restoredFile = "a backup"

// lendPassphrase puts the passphrase of this store into the copy at path, so that
// both arrive in one transaction.
func (s *Store) lendPassphrase(ctx context.Context, path string) (err error) {
	db, err := sql.Open("sqlite", dsn(path, ""))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if _, err := db.ExecContext(ctx, `DELETE FROM web_access`); err != nil {
		return translate(err)
	}
	var hash, set string
	switch err := s.reader.QueryRowContext(ctx, `SELECT passphrase, set_at FROM web_access`).Scan(&hash, &set); {
	case errors.Is(err, sql.ErrNoRows):
		return nil
	case err != nil:
		return translate(err)
	}
	_, err = db.ExecContext(ctx, `INSERT INTO web_access (id, passphrase, set_at) VALUES (1, ?, ?)`, hash, set)
	return translate(err)
}

// putAside copies the store to "….before-restore-20261125-093000.backup" beside
// it; one that is there already stays.
func (s *Store) putAside(ctx context.Context, at time.Time) (string, error) {
	base := fmt.Sprintf("%s.before-restore-%s", s.path, at.Format("20060102-150405"))
	name := base + ".backup"
	for n := 2; ; n++ {
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name, s.CopyTo(ctx, name)
		} else if err != nil {
			return "", err
		}
		name = fmt.Sprintf("%s-%d.backup", base, n)
	}
}

// overwrite copies another database over this one, in one transaction.
func (s *Store) overwrite(ctx context.Context, path string) error {
	conn, err := s.writer.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(c any) error {
		into, ok := c.(interface {
			NewRestore(string) (*sqlite.Backup, error)
		})
		if !ok {
			return fmt.Errorf("%T cannot restore", c)
		}
		b, err := into.NewRestore(dsn(path, "_query_only=1"))
		if err != nil {
			return err
		}
		const patience = 100 // of a tenth of a second, while somebody else writes
		for try := 0; ; try++ {
			more, err := b.Step(-1)
			if err == nil && !more {
				return b.Finish()
			}
			if err != nil && try >= patience {
				return errors.Join(err, b.Finish())
			}
			select {
			case <-ctx.Done():
				return errors.Join(ctx.Err(), b.Finish())
			case <-time.After(100 * time.Millisecond):
			}
		}
	})
}
