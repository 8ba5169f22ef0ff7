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
// its hands off what it is given, which others read, and returns lists of its
// own.
func (s *Store) Edit(ctx context.Context, source string, at time.Time, change func(book.Book) (book.Book, error)) (book.Changes, error) {
	var changes book.Changes
	var made book.Book
	var number int64
	var compiled []book.ID
	err := s.update(ctx, func(tx *sql.Tx) error {
		old, sound, err := s.current(&reader{ctx: ctx, tx: tx})
		if err != nil {
			return err
		}
		now, err := change(old)
		if err != nil {
			return err
		}
		w := newWriter(ctx, tx)
		d := w.differences(old, now)
		if err := d.check(sound); err != nil {
			return err
		}
		var removed int
		number = w.nextImport()
		changes, removed = w.putBook(d, !sound)
		compiled = w.compiled
		w.do(`INSERT INTO import (at, kind, file, added, changed, same, removed, prices) VALUES (?, 'replace', ?, ?, ?, ?, ?, ?)`,
			instant(at), source, changes.Added, changes.Changed, changes.Same, removed, changes.Prices)
		if err := w.close(); err != nil {
			return err
		}
		made, err = (&reader{ctx: ctx, tx: tx}).reread(old, now, d.touched())
		return err
	})
	if err != nil {
		return book.Changes{}, err
	}
	s.known.keep(number, made, true)
	s.taken.edited(number, compiled)
	return changes, nil
}

// check is book.Validate of the book as it is to be. Where the book was sound
// as it was, only cakes are looked at again that were edited, or that use what
// was, through every level.
func (d difference) check(wasSound bool) error {
	old, now := d.old, d.now
	if !wasSound || old.Format != now.Format || old.Studio.Currency != now.Studio.Currency || old.Studio.Household != now.Studio.Household {
		return d.x.ValidateBesides(nil).Err()
	}
	r := d.reachOfFaults()
	seen, twins := map[string]bool{}, false
	sound := func(list string, i int) bool {
		if list != "cakes" || !d.cakes.kept[i] {
			return false
		}
		if !r.cake(&now.Cakes[i]) {
			return true
		}
		// Many cakes are one design under several names, which stand as they stood:
		// of these one tells.
		design := designOf(now.Cakes[i])
		twin := seen[design]
		seen[design], twins = true, twins || twin
		return twin
	}
	faults := d.x.ValidateBesides(sound)
	if len(faults) > 0 && twins { // each is to be told
		faults = d.x.ValidateBesides(func(list string, i int) bool {
			return list == "cakes" && d.cakes.kept[i] && !r.cake(&now.Cakes[i])
		})
	}
	return faults.Err()
}

// Edition says whether the store is as it was: of two equal ones nothing was
// written in between. Of two that differ, what did not change tells what was
// not written.
type Edition struct {
	File int64 // changes with whatever is written, by any program
	Book int64 // counts the imports and edits of the book
	// Changes with whatever happens to issued quotes: moves, payments, and
	// what is erased of them.
	Quotes int64
	// The journal of what really happened: how many entries there ever were, and
	// were taken back. The words of notes may be erased without a trace here.
	Entries, Undone int64
	Hours           string // what the studio can do in a day, as it is stated
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
	err = w.conn.QueryRowContext(ctx, editionNow).Scan(e.columns()...)
	return e, translate(err)
}

// Edition returns the edition of the store as of now, as far as one connection
// can tell: without File.
func (s *Store) Edition(ctx context.Context) (e Edition, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.each(func() {}, editionNow, nil, e.columns()...)
		return r.err
	})
	return e, err
}

// editionNow selects an edition without its file.
const editionNow = `SELECT (SELECT coalesce(max(number), 0) FROM import), (SELECT coalesce(max(stamp), 0) FROM quote_moved),
	(SELECT coalesce(max(id), 0) FROM actual), (SELECT count(*) FROM actual_undone), coalesce((SELECT stated FROM capacity), '')`

func (e *Edition) columns() []any { return []any{&e.Book, &e.Quotes, &e.Entries, &e.Undone, &e.Hours} }

// Close ends the watch.
func (w *Watch) Close() error { return w.conn.Close() }
