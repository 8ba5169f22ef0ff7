package store

import (
	"context"
	"database/sql"
	"encoding"
	"encoding/json"
	"fmt"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/record"
)

// reader reads rows. Its first error stays and ends all later reading, so that
// a whole book is read before anyone asks for it.
type reader struct {
	ctx context.Context
	tx  *sql.Tx
	on  day.Date // the only day that prices are wanted for; the zero day for all
	// unread says that bills are not wanted as figures.
	unread bool
	err    error
}

// each reads every row of a query into columns, the same for all rows, and
// runs keep after each.
func (r *reader) each(keep func(), query string, args []any, columns ...any) {
	if r.err == nil {
		r.err = r.ctx.Err()
	}
	if r.err != nil {
		return
	}
	// The driver watches a context that can end with a goroutine a query, at
	// more than most of these queries cost. It is enough to ask in between.
	rows, err := r.tx.QueryContext(context.WithoutCancel(r.ctx), query, args...)
	if err != nil {
		r.err = err
		return
	}
	defer rows.Close()
	for rows.Next() {
		if r.err = rows.Scan(columns...); r.err != nil {
			return
		}
		if keep(); r.err != nil {
			return // keep may refuse what it was given
		}
	}
	r.err = rows.Err()
}

// scope is which rows of a table are wanted: all, or those of some ids.
type scope struct {
	whole bool
	ids   []book.ID
}

var whole = scope{whole: true}

func only(ids []book.ID) scope { return scope{ids: ids} }

// of completes a query to the rows whose column has an id in scope. It returns
// the query's arguments along with it.
func (s scope) of(query, column, order string) (string, []any) {
	if s.whole {
		return query + " WHERE " + column + " IS NOT NULL ORDER BY " + order, nil
	}
	in, args := s.in()
	return query + " WHERE " + column + " IN " + in + " ORDER BY " + order, args
}

// mostParameters is how many parameters SQLite takes in one statement.
const mostParameters = 32766

// in returns the ids as the right side of an IN, with its arguments.
func (s scope) in() (string, []any) {
	if len(s.ids) > mostParameters {
		list, err := json.Marshal(s.ids)
		if err != nil {
			panic(fmt.Sprintf("store: a list of ids cannot be written: %v", err))
		}
		return "(SELECT value FROM json_each(?))", []any{string(list)}
	}
	args := make([]any, len(s.ids))
	for i, id := range s.ids {
		args[i] = string(id)
	}
	return "(" + strings.TrimSuffix(strings.Repeat("?,", len(args)), ",") + ")", args
}

// seen holds what the texts of a column meant, so that "250 g" is read once and
// stands in memory once however many rows say it. Long texts are no figures and
// seldom come again.
type seen[T any] map[string]T

const longestSeen = 40

func (s *seen[T]) read(into *T, text string, read func(*T, string) error) error {
	if v, there := (*s)[text]; there {
		*into = v
		return nil
	}
	if err := read(into, text); err != nil || len(text) > longestSeen {
		return err
	}
	if *s == nil {
		*s = seen[T]{}
	}
	(*s)[text] = *into
	return nil
}

// text is a column for a value that reads itself; NULL leaves it not stated.
func text[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](into P) sql.Scanner {
	return &textColumn[T, P]{into: into}
}

type textColumn[T any, P interface {
	*T
	encoding.TextUnmarshaler
}] struct {
	into P
	seen seen[T]
}

// Scan reads the column.
func (c *textColumn[T, P]) Scan(column any) error {
	if column == nil {
		var none T
		*c.into = none
		return nil
	}
	var s string
	if err := scanAs(&s, column); err != nil {
		return err
	}
	return c.seen.read(c.into, s, func(into *T, s string) error { return P(into).UnmarshalText([]byte(s)) })
}

// name is a column for an id, which was checked when it was stored.
func name(into *book.ID) sql.Scanner { return &nameColumn{into: into} }

type nameColumn struct {
	into *book.ID
	seen seen[book.ID]
}

// Scan reads the column.
func (c *nameColumn) Scan(column any) error {
	if column == nil {
		*c.into = ""
		return nil
	}
	var s string
	if err := scanAs(&s, column); err != nil {
		return err
	}
	return c.seen.read(c.into, s, func(into *book.ID, s string) error { *into = book.ID(s); return nil })
}

// said is a column for words that many rows have.
func said(into *string) sql.Scanner { return name((*book.ID)(into)) }

// maybe is a column for a value that may not be stated, which is NULL.
func maybe[T any](into *record.Maybe[T]) sql.Scanner { return &maybeColumn[T]{into: into} }

type maybeColumn[T any] struct {
	into *record.Maybe[T]
	seen seen[T]
}

// Scan reads the column.
func (c *maybeColumn[T]) Scan(column any) error {
	if column == nil {
		*c.into = record.Maybe[T]{}
		return nil
	}
	c.into.Given = true
	switch into := any(&c.into.Value).(type) {
	case encoding.TextUnmarshaler, *string:
		var s string
		if err := scanAs(&s, column); err != nil {
			return err
		}
		return c.seen.read(&c.into.Value, s, func(into *T, s string) error {
			if word, ok := any(into).(*string); ok {
				*word = s
				return nil
			}
			return any(into).(encoding.TextUnmarshaler).UnmarshalText([]byte(s))
		})
	case *int:
		var n int64
		err := scanAs(&n, column)
		*into = int(n)
		return err
	case *bool:
		var n int64
		err := scanAs(&n, column)
		*into = n != 0
		return err
	}
	return fmt.Errorf("no rule to read a %T", c.into.Value)
}

func scanAs[T any](into *T, column any) error {
	v, ok := column.(T)
	if !ok {
		return fmt.Errorf("a %T stands where a %T belongs", column, *into)
	}
	*into = v
	return nil
}

// figure is a value that prints as it was typed and knows whether it was
// stated.
type figure interface {
	String() string
	IsZero() bool
}

// typed returns a figure as a column: its text, or NULL.
func typed(f figure) any {
	if f.IsZero() {
		return nil
	}
	return f.String()
}

// word returns a word as a column: its text, or NULL where it is empty.
func word[T ~string](w T) any {
	if w == "" {
		return nil
	}
	return string(w)
}

// stated returns a value that may not be stated as a column.
func stated[T any](m record.Maybe[T]) any {
	if !m.Given {
		return nil
	}
	switch v := any(m.Value).(type) {
	case int:
		return v
	case bool:
		return v
	}
	return fmt.Sprint(m.Value)
}
