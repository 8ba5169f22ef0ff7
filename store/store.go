package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"

	_ "modernc.org/sqlite" // the driver "sqlite"
)

// Store is a studio's file. It may be used by several goroutines at once.
type Store struct {
	path   string
	reader *sql.DB // cannot write
	writer *sql.DB // one connection, so that writers wait for one another here
	known  remembered
	taken  taken

	chronicles chronicles // what happened to the quotes, as far as it was read
}

// writerCache is how many KiB of pages a transaction holds in memory before it
// writes them to the log and reads them again: more than an edit of a recipe that
// every cake uses changes.
const writerCache = "-65536"

// readers is how many may read at the same time within one process.
const readers = 4

// Open opens the store at path and brings it up to date. A missing file is
// created, along with the folders it stands in. Close it when done.
func Open(ctx context.Context, path string) (*Store, error) {
	s, err := open(ctx, path)
	if err != nil {
		return nil, fmt.Errorf("store %s: %w", path, translate(err))
	}
	return s, nil
}

func open(ctx context.Context, path string) (*Store, error) {
	fresh, err := isFresh(path)
	if err != nil {
		return nil, err
	}
	s := &Store{path: path}
	// Neither connects before it is first used: a command that only reads
	// should not pay for a writer.
	if s.reader, err = sql.Open("sqlite", dsn(path, "_query_only=1")); err != nil {
		return nil, err
	}
	s.reader.SetMaxOpenConns(readers)
	s.reader.SetMaxIdleConns(readers)
	if s.writer, err = sql.Open("sqlite", dsn(path, "_txlock=immediate&_foreign_keys=1&_journal_mode=WAL&_synchronous=NORMAL&_pragma=cache_size("+writerCache+")")); err != nil {
		return nil, err
	}
	s.writer.SetMaxOpenConns(1)
	if err := s.migrate(ctx, fresh); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// isFresh reports whether there is nothing at path yet, and makes the folder
// that a file there needs.
func isFresh(path string) (bool, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return true, os.MkdirAll(filepath.Dir(path), 0o755)
	case err != nil:
		return false, err
	case info.IsDir():
		return false, errors.New("is a folder; name the file in it")
	}
	return info.Size() == 0, nil
}

// dsn returns the data source name of the file at path. The path is escaped,
// since a folder may have ?, % or # in its name.
func dsn(path, options string) string {
	name := url.URL{Path: filepath.ToSlash(path)}
	return "file:" + name.EscapedPath() + "?_busy_timeout=5000&_dqs=0&_defensive=1&" + options
}

// Close ends all use of the file.
func (s *Store) Close() error { return errors.Join(s.reader.Close(), s.writer.Close()) }

// Path returns where the file is.
func (s *Store) Path() string { return s.path }

// read runs do in a transaction that sees one state of the file throughout.
func (s *Store) read(ctx context.Context, do func(*reader) error) error {
	tx, err := s.reader.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return translate(err)
	}
	defer tx.Rollback() // nothing was written
	r := &reader{ctx: ctx, tx: tx}
	if err := do(r); err != nil {
		return translate(err)
	}
	return translate(r.err)
}

// update runs do in a transaction that holds the write lock from its start, and
// then the upkeep of lists. It is kept whole, or where do fails not at all.
func (s *Store) update(ctx context.Context, do func(*sql.Tx) error) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		if err := do(tx); err != nil {
			return err
		}
		return upkeep(ctx, tx)
	})
}

// change is update without the upkeep.
func (s *Store) change(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := s.writer.BeginTx(ctx, nil)
	if err != nil {
		return translate(err)
	}
	if err := do(tx); err != nil {
		return translate(errors.Join(err, tx.Rollback()))
	}
	return translate(tx.Commit())
}
