package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/schedule"
)

// Capacity returns what the studio can do in a day, and false with
// [schedule.Usual] where it has not said. A role or an appliance that it gives
// hours to may have left the book since.
func (s *Store) Capacity(ctx context.Context) (c schedule.Capacity, stated bool, err error) {
	err = s.read(ctx, func(r *reader) error {
		c, stated, err = r.capacity()
		return err
	})
	return c, stated, err
}

func (r *reader) capacity() (c schedule.Capacity, stated bool, err error) {
	var text string
	r.each(func() { stated = true }, `SELECT stated FROM capacity`, nil, &text)
	if r.err != nil || !stated {
		return schedule.Usual(), false, r.err
	}
	if err := json.Unmarshal([]byte(text), &c); err != nil {
		return schedule.Usual(), false, fmt.Errorf("the capacity cannot be read; state it afresh: %w", err)
	}
	return c, true, nil
}

// ChangeCapacity changes what the studio can do in a day, or nothing where
// change fails or its result does not fit the book.
func (s *Store) ChangeCapacity(ctx context.Context, at time.Time, change func(*book.Index, *schedule.Capacity) error) (c schedule.Capacity, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		b, err := r.book()
		switch {
		case err != nil:
			return err
		case b.Format == "":
			return ErrEmpty
		}
		if c, _, err = r.capacity(); err != nil {
			return err
		}
		x := book.NewIndex(b)
		if err := change(x, &c); err != nil {
			return err
		}
		if err := c.Check(x); err != nil {
			return refusal{err}
		}
		text, err := json.Marshal(c)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO capacity (id, stated, set_at) VALUES (1, ?, ?)
			ON CONFLICT (id) DO UPDATE SET stated = excluded.stated, set_at = excluded.set_at`, string(text), instant(at))
		return err
	})
	return c, err
}

// ForgetCapacity goes back to what is usual.
func (s *Store) ForgetCapacity(ctx context.Context) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM capacity`)
		return err
	})
}
