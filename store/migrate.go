package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
)

//go:embed migrations/*.sql
var migrations embed.FS

// applicationID marks a SQLite file as ours: "MPAN" in ASCII.
const applicationID = 0x4d50414e

// mark is what a SQLite file says of itself.
type mark struct {
	application, version int
	tables               int // counted only where there is no application id
}

func readMark(ctx context.Context, q interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
}) (m mark, err error) {
	if err = q.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&m.application); err != nil {
		return m, err
	}
	if err = q.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&m.version); err != nil || m.application != 0 {
		return m, err
	}
	err = q.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema`).Scan(&m.tables)
	return m, err
}

// migrate brings the file to the newest schema. fresh says that there is no
// file yet.
func (s *Store) migrate(ctx context.Context, fresh bool) error {
	scripts, err := readMigrations()
	if err != nil {
		return err
	}
	if !fresh {
		m, err := readMark(ctx, s.reader)
		if err != nil {
			return err
		}
		if err := m.check(len(scripts)); err != nil {
			return err
		}
		if m.version == len(scripts) {
			return nil
		}
		if m.version > 0 {
			if err := s.backup(ctx, m.version); err != nil {
				return fmt.Errorf("no copy could be made before the upgrade, so it was left as it is: %w", err)
			}
		}
	}
	for i, script := range scripts {
		if err := s.step(ctx, i+1, len(scripts), script); err != nil {
			return fmt.Errorf("migration %d: %w", i+1, err)
		}
	}
	return s.catchUp(ctx)
}

// check refuses a file that is not a store, or a newer one than this program
// knows.
func (m mark) check(newest int) error {
	switch {
	case m.application != applicationID && m != (mark{}):
		return errors.New("is a database of another program; name a store of marchpane, or a new file")
	case m.version > newest:
		return fmt.Errorf("was written by a newer marchpane (schema %d, this one knows up to %d); update the program", m.version, newest)
	}
	return nil
}

// step applies migration number unless the file has it already: another
// process may have been first.
func (s *Store) step(ctx context.Context, number, newest int, script string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		m, err := readMark(ctx, tx)
		if err != nil {
			return err
		}
		if err := m.check(newest); err != nil || m.version >= number {
			return err
		}
		// The version goes with its schema: both, or neither.
		_, err = tx.ExecContext(ctx, fmt.Sprintf("%s;\nPRAGMA application_id = %d;\nPRAGMA user_version = %d", script, applicationID, number))
		return err
	})
}

// backup copies the file as it is to "….schema-N.backup" beside it. A copy
// that is there already is an earlier one of the same schema and stays; the
// new one gets a number.
func (s *Store) backup(ctx context.Context, version int) error {
	name := fmt.Sprintf("%s.schema-%d.backup", s.path, version)
	for n := 2; ; n++ {
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			break
		} else if err != nil {
			return err
		}
		name = fmt.Sprintf("%s.schema-%d.backup-%d", s.path, version, n)
	}
	// Written under another name first, so that a copy cut short is never
	// taken for a whole one.
	part := name + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := s.writer.ExecContext(ctx, "VACUUM INTO ?", part); err != nil {
		return err
	}
	return os.Rename(part, name)
}

// readMigrations returns the scripts in order; the first has number 1.
func readMigrations() ([]string, error) {
	names, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		return nil, err
	}
	scripts := make([]string, len(names))
	for i, name := range names {
		if want := fmt.Sprintf("migrations/%04d_", i+1); !strings.HasPrefix(name, want) {
			return nil, fmt.Errorf("%s: the next migration must be named %s….sql", name, want)
		}
		data, err := migrations.ReadFile(name)
		if err != nil {
			return nil, err
		}
		scripts[i] = string(data)
	}
	return scripts, nil
}
