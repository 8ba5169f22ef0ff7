package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"marchpane/pricing/book"
)

// writer writes rows in one transaction, preparing each statement once. Its
// first error stays and ends all later writing; close returns it.
type writer struct {
	ctx   context.Context
	tx    *sql.Tx
	stmts map[string]*sql.Stmt
	err   error
}

func newWriter(ctx context.Context, tx *sql.Tx) *writer {
	return &writer{ctx: ctx, tx: tx, stmts: map[string]*sql.Stmt{}}
}

// do runs a statement.
func (w *writer) do(query string, args ...any) {
	if w.err != nil {
		return
	}
	stmt, there := w.stmts[query]
	if !there {
		if stmt, w.err = w.tx.PrepareContext(w.ctx, query); w.err != nil {
			return
		}
		w.stmts[query] = stmt
	}
	_, w.err = stmt.ExecContext(w.ctx, args...)
}

func (w *writer) close() error {
	errs := []error{w.err}
	for _, stmt := range w.stmts {
		errs = append(errs, stmt.Close())
	}
	return errors.Join(errs...)
}

// nextImport returns the number that the import under way will have.
func (w *writer) nextImport() (number int64) {
	if w.err == nil {
		w.err = w.tx.QueryRowContext(w.ctx, `SELECT coalesce(max(number), 0) + 1 FROM import`).Scan(&number)
	}
	return number
}

// claim takes an id in the space that ingredients, parts, components, roles
// and equipment share.
func (w *writer) claim(id book.ID, kind string) {
	w.do(`INSERT INTO item (id, kind) VALUES (?, ?)`, string(id), kind)
}

// dropItem deletes an object of that space, all that belongs to it, and the ids
// of an ingredient's parts.
const dropItem = `DELETE FROM item WHERE id = ?1 OR id IN (SELECT id FROM ingredient_part WHERE ingredient = ?1)`

// table says how the objects of one list are kept.
type table[T any] struct {
	id   func(T) book.ID
	bare func(T) T // the object without what other tables keep for it; nil where there is nothing
	drop string    // deletes one with all that belongs to it
	move string    // sets its position
	put  func(position int, v T)
}

// edits are what makes the objects of one list those of another.
type edits struct {
	drop, move                    string
	adds, drops                   []book.ID
	puts                          []func()
	moves                         []place
	added, changed, same, removed int
}

type place struct {
	id       book.ID
	position int
}

// compare returns the edits that make old the list now.
func compare[T any](old, now []T, t table[T]) edits {
	e := edits{drop: t.drop, move: t.move}
	was := make(map[book.ID]int, len(old))
	for i, v := range old {
		was[t.id(v)] = i
	}
	for i, v := range now {
		id, position := t.id(v), i+1
		at, there := was[id]
		if !there {
			e.added++
			e.adds = append(e.adds, id)
			e.puts = append(e.puts, func() { t.put(position, v) })
			continue
		}
		delete(was, id)
		kept := alike(old[at], v)
		if kept {
			e.same++
		} else {
			e.changed++
			kept = t.bare != nil && alike(t.bare(old[at]), t.bare(v))
		}
		switch {
		case !kept:
			e.drops = append(e.drops, id)
			e.puts = append(e.puts, func() { t.put(position, v) })
		case at != i:
			e.moves = append(e.moves, place{id, position})
		}
	}
	for _, v := range old {
		if _, left := was[t.id(v)]; left {
			e.drops = append(e.drops, t.id(v))
			e.removed++
		}
	}
	return e
}

// alike reports whether two records would be written the same.
func alike(a, b any) bool {
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	if err := errors.Join(errX, errY); err != nil {
		panic(fmt.Sprintf("store: a record cannot be written: %v", err))
	}
	return bytes.Equal(x, y)
}
