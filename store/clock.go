package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
)

// StartClock starts a clock. It runs in the store, so that it goes on while
// nothing else does. Everyone has one at a time.
func (s *Store) StartClock(ctx context.Context, c actual.Clock, started, at time.Time) (actual.Clock, error) {
	err := s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		id, err := r.orderID(c.Order)
		if err != nil {
			return err
		}
		if started.After(at) {
			return refused("%s is still to come; a clock starts now or has started already", started.Format("2006-01-02 15:04"))
		}
		for _, other := range r.clocks() {
			if strings.EqualFold(other.Who, c.Who) {
				return refused("the clock of %s runs for %s already, since %s; stop it first, or name somebody else with --who", other.Who, other.Order, local(other.Started, at))
			}
		}
		if r.err != nil {
			return r.err
		}
		c.Started = instant(started)
		_, err = tx.ExecContext(ctx, `INSERT INTO clock (who, quote, kind, role, task, per_minute, started_at, on_day) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
			c.Who, id, string(c.Way), string(c.Role), c.Task, c.PerMinute.Text(), c.Started, c.On.String())
		return err
	})
	return c, err
}

// Clocks lists the clocks that run, the earliest first.
func (s *Store) Clocks(ctx context.Context) (list []actual.Clock, err error) {
	err = s.read(ctx, func(r *reader) error {
		list = r.clocks()
		return r.err
	})
	return list, err
}

func (r *reader) clocks() (list []actual.Clock) {
	list = []actual.Clock{}
	var c actual.Clock
	r.each(func() { list = append(list, c) }, `SELECT who, number, kind, role, task, per_minute, started_at, on_day FROM clock JOIN quote ON quote.id = clock.quote
		WHERE stopped_at IS NULL ORDER BY started_at, clock.id`, nil,
		&c.Who, &c.Order, &c.Way, name(&c.Role), &c.Task, text(&c.PerMinute), &c.Started, text(&c.On))
	return list
}

// Stop is how a clock ends.
type Stop struct {
	Who     string                     // "": the only one that runs
	Ended   time.Time                  // the zero time: now
	Minutes record.Maybe[exact.Number] // how long the work took, where the clock does not know
	Drop    bool                       // thrown away: nothing is recorded
	Note    string
}

// StopClock stops a clock and records its work. A clock that was forgotten is
// stopped only by saying when the work ended or how long it took.
func (s *Store) StopClock(ctx context.Context, stop Stop, at time.Time) (c actual.Clock, work actual.Work, err error) {
	err = s.update(ctx, func(tx *sql.Tx) error {
		r := &reader{ctx: ctx, tx: tx}
		if c, err = r.clockOf(stop.Who); err != nil {
			return err
		}
		started, err := time.Parse(time.RFC3339, c.Started)
		if err != nil {
			return fmt.Errorf("the clock of %s: %w", c.Who, err)
		}
		if stop.Drop {
			_, err := tx.ExecContext(ctx, `UPDATE clock SET stopped_at = ? WHERE who = ? AND stopped_at IS NULL`, instant(at), c.Who)
			return err
		}
		ended := stop.Ended
		if ended.IsZero() {
			ended = at
		}
		seconds := int64(ended.Sub(started) / time.Second)
		minutes := actual.Measured(seconds)
		switch {
		case stop.Minutes.Given:
			minutes = stop.Minutes.Value
			ended = started.Add(time.Duration(minutes.Mul(exact.Int(60)).Floor().Int64()) * time.Second)
		case ended.After(at):
			return refused("%s is still to come; say when the work ended", ended.Format("2006-01-02 15:04"))
		case seconds < 0:
			return refused("%s is before the clock of %s was started, %s; mend the time", ended.Format("2006-01-02 15:04"), c.Who, local(c.Started, at))
		case actual.Forgotten(seconds):
			return refused("the clock of %s has run since %s, %s: it was forgotten; say when the work ended with --at, or how long it took with --minutes", c.Who, local(c.Started, at), actual.InHours(minutes))
		}
		w := newWriter(ctx, tx)
		saved, err := putRecords(r, w, actual.Records{Work: []actual.Work{c.Work(minutes, instant(ended), stop.Note)}}, at)
		if err == nil {
			work = saved.Work[0]
			w.do(`UPDATE clock SET stopped_at = ?, entry = ? WHERE who = ? AND stopped_at IS NULL`, instant(ended), strings.TrimPrefix(work.ID, "A"), c.Who)
		}
		if errClose := w.close(); err == nil {
			err = errClose
		}
		return err
	})
	return c, work, err
}

// clockOf finds the clock of someone, or the only one that runs.
func (r *reader) clockOf(who string) (actual.Clock, error) {
	list := r.clocks()
	if r.err != nil {
		return actual.Clock{}, r.err
	}
	var names []string
	for _, c := range list {
		if strings.EqualFold(c.Who, who) || who == "" && len(list) == 1 {
			return c, nil
		}
		names = append(names, c.Who)
	}
	switch {
	case len(list) == 0:
		return actual.Clock{}, fmt.Errorf("no clock runs, so one to stop is %w", ErrNotFound)
	case who == "":
		return actual.Clock{}, refused("%d clocks run; say whose: %s", len(list), strings.Join(names, ", "))
	}
	return actual.Clock{}, fmt.Errorf("a clock of %.60q is %w; those that run are of %s", who, ErrNotFound, strings.Join(names, ", "))
}

// local shows a stored instant on the clock of the one who asks.
func local(stored string, like time.Time) string {
	t, err := time.Parse(time.RFC3339, stored)
	if err != nil {
		return stored
	}
	return t.In(like.Location()).Format("2006-01-02 15:04")
}
