package store

import (
	"context"
	"database/sql"
	"time"

	"marchpane/pricing/book"
)

// Edit makes of the book what change makes of it, in one transaction: nobody
// can write between the book that change is given and the one that it returns.
// Where change fails, or what it returns is faulty, the store stays as it was;
// the error of a faulty book is of type record.Faults, with paths in the
// returned book. The zero Book is given where there is none yet. change keeps
// its hands off what it is given and returns lists of its own.
func (s *Store) Edit(ctx context.Context, source string, at time.Time, change func(book.Book) (book.Book, error)) (book.Changes, error) {
	var changes book.Changes
	err := s.update(ctx, func(tx *sql.Tx) error {
		old, err := (&reader{ctx: ctx, tx: tx}).book()
		if err != nil {
			return err
		}
		now, err := change(old)
		if err != nil {
			return err
		}
		if err := book.Validate(now).Err(); err != nil {
			return err
		}
		w := newWriter(ctx, tx)
		var removed int
		changes, removed = w.putBook(old, now)
		w.do(`INSERT INTO import (at, kind, file, added, changed, same, removed, prices) VALUES (?, 'replace', ?, ?, ?, ?, ?, ?)`,
			instant(at), source, changes.Added, changes.Changed, changes.Same, removed, changes.Prices)
		return w.close()
	})
	if err != nil {
		return book.Changes{}, err
	}
	return changes, nil
}

// Edition says whether the store is as it was: of two equal ones nothing was
// written in between.
type Edition struct {
	Book int64 // counts the imports and edits of the book
	File int64 // changes with whatever is written, by any program
}

// A Watch tells when a store changes. It keeps one connection for itself.
type Watch struct{ conn *sql.Conn }

// Watch begins to watch the store. Close the watch before the store.
func (s *Store) Watch(ctx context.Context) (*Watch, error) {
	conn, err := s.reader.Conn(ctx)
	return &Watch{conn}, translate(err)
}

// Edition returns the edition of the store as of now. It takes microseconds.
func (w *Watch) Edition(ctx context.Context) (e Edition, err error) {
	if err = w.conn.QueryRowContext(ctx, `PRAGMA data_version`).Scan(&e.File); err != nil {
		return e, translate(err)
	}
	err = w.conn.QueryRowContext(ctx, `SELECT coalesce(max(number), 0) FROM import`).Scan(&e.Book)
	return e, translate(err)
}

// Close ends the watch.
func (w *Watch) Close() error { return w.conn.Close() }
