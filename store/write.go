package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"unsafe"

	"marchpane/pricing/book"
)

// writer writes rows in one transaction, preparing each statement once. Its
// first error stays and ends all later writing; close returns it.
type writer struct {
	ctx   context.Context
	tx    *sql.Tx
	stmts map[string]*sql.Stmt
	err   error

	compiled []book.ID // cakes whose bills were worked out afresh
}

func newWriter(ctx context.Context, tx *sql.Tx) *writer {
	return &writer{ctx: ctx, tx: tx, stmts: map[string]*sql.Stmt{}}
}

// do runs a statement.
func (w *writer) do(query string, args ...any) {
	if stmt := w.prepared(query); stmt != nil {
		_, w.err = stmt.ExecContext(w.ctx, args...)
	}
}

// each reads every row of a query into columns, the same for all rows, and runs
// keep after each, as [reader.each] does. What is written in between is seen.
func (w *writer) each(keep func(), query string, args []any, columns ...any) {
	stmt := w.prepared(query)
	if stmt == nil {
		return
	}
	rows, err := stmt.QueryContext(context.WithoutCancel(w.ctx), args...)
	if err != nil {
		w.err = err
		return
	}
	defer rows.Close()
	for rows.Next() {
		if w.err = rows.Scan(columns...); w.err != nil {
			return
		}
		keep()
	}
	w.err = rows.Err()
}

// prepared returns a statement, nil after an error.
func (w *writer) prepared(query string) *sql.Stmt {
	if w.err == nil {
		w.err = w.ctx.Err()
	}
	if w.err != nil {
		return nil
	}
	stmt, there := w.stmts[query]
	if !there {
		if stmt, w.err = w.tx.PrepareContext(w.ctx, query); w.err != nil {
			return nil
		}
		w.stmts[query] = stmt
	}
	return stmt
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
	id   func(*T) book.ID
	bare func(T) T // the object without what other tables keep for it; nil where there is nothing
	used func(T) T // the object as far as those who use it depend on it; nil: on all but prices
	drop string    // deletes one with all that belongs to it
	move string    // sets its position
	put  func(position int, v T)
}

// edits are what makes the objects of one list those of another.
type edits struct {
	drop, move                    string
	adds, drops                   []book.ID
	touched                       []book.ID // added or changed, down to a dated price
	reach                         []book.ID // added, removed or changed in what their users depend on
	kept                          []bool    // of each object now, whether it is what it was
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
	e := edits{drop: t.drop, move: t.move, kept: make([]bool, len(now))}
	// Most of a list stays as and where it is.
	stays := func(i int) bool { return i < len(old) && i < len(now) && identical(&old[i], &now[i]) }
	was := map[book.ID]int{}
	for i := range old {
		if !stays(i) {
			was[t.id(&old[i])] = i
		}
	}
	for i := range now {
		if stays(i) {
			e.same++
			e.kept[i] = true
			continue
		}
		v, id, position := &now[i], t.id(&now[i]), i+1
		put := func() { t.put(position, *v) }
		at, there := was[id]
		if !there {
			e.added++
			e.adds = append(e.adds, id)
			e.touched = append(e.touched, id)
			e.reach = append(e.reach, id)
			e.puts = append(e.puts, put)
			continue
		}
		delete(was, id)
		kept := alike(&old[at], v)
		if e.kept[i] = kept; kept {
			e.same++
		} else {
			e.changed++
			e.touched = append(e.touched, id)
			kept = t.bare != nil && alikeAs(t.bare, old[at], *v)
		}
		switch {
		case !kept:
			e.drops = append(e.drops, id)
			e.puts = append(e.puts, put)
			if t.used == nil || !alikeAs(t.used, old[at], *v) {
				e.reach = append(e.reach, id)
			}
		case at != i:
			e.moves = append(e.moves, place{id, position})
		}
	}
	for i := range old {
		if at, left := was[t.id(&old[i])]; left && at == i {
			e.drops = append(e.drops, t.id(&old[i]))
			e.reach = append(e.reach, t.id(&old[i]))
			e.removed++
		}
	}
	return e
}

func alikeAs[T any](as func(T) T, a, b T) bool {
	a, b = as(a), as(b)
	return alike(&a, &b)
}

// alike reports whether two records would be written the same.
func alike[T any](a, b *T) bool {
	if identical(a, b) {
		return true
	}
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	// What cannot be written is like nothing, and is refused when checked.
	return errX == nil && errY == nil && bytes.Equal(x, y)
}

// identical reports whether two records are the same bits: copies of one
// another, with the same lists behind them. It says no of many that are alike,
// and is a thousand times as fast as finding that out.
func identical[T any](a, b *T) bool { return bytes.Equal(bits(a), bits(b)) }

// bits is a record as it stands in memory, for comparing alone.
func bits[T any](v *T) []byte { return unsafe.Slice((*byte)(unsafe.Pointer(v)), unsafe.Sizeof(*v)) }
