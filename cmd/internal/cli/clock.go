package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
)

func clockCommand(env *Env) *cobra.Command {
	return group("clock", "Time work on an order from start to stop",
		`Start a clock when work on an order begins and stop it when it ends; the time is
recorded as "actual work" would. Clocks run in the store: close the program, switch
the machine off, they go on. Everyone has one at a time, by name or else by role.`,
		clockStart(env), clockStop(env), clockShow(env), clockDrop(env))
}

// moment reads a time of day, today or the day before where it is still to
// come today, or a day with a time.
func (e *Env) moment(text string) (time.Time, error) {
	now := e.Now()
	if text == "" {
		return time.Time{}, nil
	}
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(layout, text, now.Location()); err == nil {
			return t, nil
		}
	}
	t, err := time.ParseInLocation("15:04", text, now.Location())
	if err != nil {
		return time.Time{}, fmt.Errorf("--at %.40q is no time; write 17:30, or a day with it: 2026-11-25T17:30", text)
	}
	at := time.Date(now.Year(), now.Month(), now.Day(), t.Hour(), t.Minute(), 0, 0, now.Location())
	if at.After(now) {
		at = at.AddDate(0, 0, -1)
	}
	return at, nil
}

func clockStart(env *Env) *cobra.Command {
	var task, who, at string
	var idle, more bool
	cmd := &cobra.Command{
		Use:   "start ORDER ROLE",
		Short: "Start a clock",
		Long: `Start a clock for a role on an order. The work counts on the day of the start. With
--more it comes on top of the planned minutes, with --idle it is paid and not worked,
as for "actual work".`,
		Example: `  marchpane clock start 2026-0001 decorator
  marchpane clock start 2026-0001 decorator --who Ann --task "sugar flowers"
  marchpane clock start 2026-0001 pastry --at 08:15`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			started, err := env.moment(at)
			if err == nil && idle && more {
				err = errors.New("--idle and --more exclude one another: idle time comes on top by itself")
			}
			if err != nil {
				env.started = false
				return err
			}
			if started.IsZero() {
				started = env.Now()
			}
			return env.work(cmd.Context(), func(b bench) error {
				o, err := b.Order(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				way := actual.Worked
				if idle {
					way = actual.Idle
				} else if more {
					way = actual.Longer
				}
				c, err := b.startClock(cmd.Context(), actual.WorkDone{Role: book.ID(args[1]), As: way, Task: task, Who: who}, o, started)
				if err != nil {
					return err
				}
				if env.json {
					return env.printJSON(env.clockDoc(c))
				}
				fmt.Fprintf(env.Out, "The clock of %s runs for %s%s since %s.\n", c.Who, c.Order, forTask(c.Task), started.Format("15:04"))
				if !o.CancelledOn.IsZero() {
					fmt.Fprintf(env.Out, "%s was cancelled on %s.\n", o.Quote.Number, o.CancelledOn)
				}
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&task, "task", "", "what is done, a `TASK` of the book or a free word")
	cmd.Flags().StringVar(&who, "who", "", "`NAME` of the person (default: the role)")
	cmd.Flags().StringVar(&at, "at", "", "the `TIME` it began, 08:15 (default: now)")
	cmd.Flags().BoolVar(&idle, "idle", false, "paid and not worked")
	cmd.Flags().BoolVar(&more, "more", false, "on top of the planned time")
	return cmd
}

// startClock starts a clock for work that begins.
func (b bench) startClock(ctx context.Context, line actual.WorkDone, o quote.Order, started time.Time) (actual.Clock, error) {
	// Read as an entry, so that it is known before the work whether it can be
	// recorded after.
	line.On = day.Of(started)
	w, err := b.desk.Work(line, o)
	if err != nil {
		return actual.Clock{}, err
	}
	c := actual.Clock{Who: firstOf(w.Who, string(w.Role)), Order: w.Order, Way: w.Way, Role: w.Role, Task: w.Task, PerMinute: w.PerMinute, On: w.On}
	return b.StartClock(ctx, c, started, b.env.Now())
}

func forTask(task string) string {
	if task == "" {
		return ""
	}
	return " (" + task + ")"
}

func clockStop(env *Env) *cobra.Command {
	var at, minutes, note string
	cmd := &cobra.Command{
		Use:   "stop [WHO]",
		Short: "Stop a clock and record its time",
		Long: `Stop a clock and record its time, in whole minutes. Where several run, say whose. A
clock that has run for more than 12 hours was forgotten: say when the work ended with
--at, or how long it took with --minutes.`,
		Example: `  marchpane clock stop
  marchpane clock stop Ann --at 17:30
  marchpane clock stop decorator --minutes "2 h 10 min"`,
		Args: upToOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			st := store.Stop{Who: strings.Join(args, ""), Note: note}
			var err error
			if st.Ended, err = env.moment(at); err == nil && minutes != "" {
				var m actual.Minutes
				m, err = actual.ParseMinutes(minutes)
				st.Minutes = record.Some(m.Number())
				if err == nil && at != "" {
					err = errors.New("--at and --minutes say the same thing twice; give one of them")
				}
			}
			if err != nil {
				env.started = false
				return err
			}
			return env.work(cmd.Context(), func(b bench) error {
				_, work, err := b.StopClock(cmd.Context(), st, env.Now())
				if err != nil {
					return err
				}
				o, err := b.Order(cmd.Context(), work.Order)
				if err != nil {
					return err
				}
				entries := actual.Records{Work: []actual.Work{work}}
				doubts, err := b.doubts(cmd.Context(), &o, entries)
				if err != nil {
					return err
				}
				docs := b.entryDocs(entries)
				if env.json {
					return env.printJSON(recordedDoc{Entries: docs, Doubts: append([]string{}, doubts...)})
				}
				fmt.Fprintf(env.Out, "%s: %s\n", docs[0].ID, docs[0].Says)
				for _, d := range doubts {
					fmt.Fprintf(env.Out, "look: %s\n", d)
				}
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&at, "at", "", "the `TIME` the work ended, 17:30 or 2026-11-25T17:30 (default: now)")
	cmd.Flags().StringVar(&minutes, "minutes", "", "how long it took, in place of what the clock says: 95, 1:35 or `\"1 h 35 min\"`")
	cmd.Flags().StringVar(&note, "note", "", "a note, in `WORDS`")
	return cmd
}

func upToOne(cmd *cobra.Command, args []string) error {
	if len(args) > 1 {
		return fmt.Errorf("%s takes one name; put a name with spaces in quotes", cmd.CommandPath())
	}
	return nil
}

func clockDrop(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:     "drop [WHO]",
		Short:   "Throw a clock away that was started by mistake",
		Example: `  marchpane clock drop Ann`,
		Args:    upToOne,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			c, _, err := s.StopClock(cmd.Context(), store.Stop{Who: strings.Join(args, ""), Drop: true}, env.Now())
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(env.clockDoc(c))
			}
			fmt.Fprintf(env.Out, "The clock of %s for %s is stopped; nothing was recorded.\n", c.Who, c.Order)
			return nil
		}),
	}
}

func clockShow(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "show",
		Short: "The clocks that run",
		Args:  cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			list, err := s.Clocks(cmd.Context())
			if err != nil {
				return err
			}
			docs := make([]clockDoc, len(list))
			for i, c := range list {
				docs[i] = env.clockDoc(c)
			}
			if env.json {
				return env.printJSON(docs)
			}
			if len(docs) == 0 {
				fmt.Fprintln(env.Out, "No clock runs. Start one with: marchpane clock start ORDER ROLE")
				return nil
			}
			t := table{heads: []string{"who", "order", "role", "task", "since", "for>", ""}}
			for _, d := range docs {
				look := ""
				if d.Forgotten {
					look = "forgotten? stop it with --at or --minutes"
				}
				t.add(d.Who, d.Order, d.Role, d.Task, d.Since, d.So, look)
			}
			t.print(env)
			return nil
		}),
	}
}

// clockDoc is the document of a clock.
type clockDoc struct {
	Who       string `json:"who"`
	Order     string `json:"order"`
	Role      string `json:"role"`
	As        string `json:"as"`
	Task      string `json:"task,omitempty"`
	Started   string `json:"started"`
	Minutes   string `json:"minutes"`
	Forgotten bool   `json:"forgotten"`
	Since     string `json:"-"`
	So        string `json:"-"`
}

func (e *Env) clockDoc(c actual.Clock) clockDoc {
	d := clockDoc{Who: c.Who, Order: c.Order, Role: string(c.Role), As: string(c.Way), Task: c.Task, Started: c.Started, Since: c.Started}
	started, err := time.Parse(time.RFC3339, c.Started)
	if err != nil {
		return d
	}
	seconds := int64(e.Now().Sub(started) / time.Second)
	d.Minutes, d.Forgotten = actual.Measured(seconds).Text(), actual.Forgotten(seconds)
	d.Since, d.So = started.In(e.Now().Location()).Format("2006-01-02 15:04"), actual.InHours(actual.Measured(seconds))
	return d
}
