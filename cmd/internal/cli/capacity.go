package cli

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/schedule"
	"marchpane/store"
)

func capacityCommand(env *Env) *cobra.Command {
	return group("capacity", "What the studio can do in a day: hours, hands, ovens, holidays",
		`Say what the studio can do in a day. The production plan then spreads the work over
days that hold it, and a new quote tells how full its days are.

  marchpane capacity hours 7:30-17:00         when work begins and ends
  marchpane capacity days mon-sat             on which weekdays
  marchpane capacity close 2026-12-24..2027-01-03
  marchpane capacity set decorator 14         two decorators of 7 h, on every working day
  marchpane capacity set decorator --mon 4 --on 2027-06-11=16
  marchpane capacity set oven 6               how long an appliance may run in a day

Hours are hands-on work: what is left of a day for making cakes. Two people of 7
hours have 14. What has no hours stated is not limited. As long as nothing is
stated, the studio works from 8:00 to 18:00, Monday to Saturday.`,
		capacityShow(env), capacitySet(env), capacityHours(env), capacityDays(env), capacityClose(env), capacityOpen(env), capacityReset(env), capacityCheck(env))
}

func capacityShow(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "show",
		Short: "Show what is stated",
		Args:  cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			b, err := s.Book(cmd.Context())
			if err != nil {
				return err
			}
			c, stated, err := s.Capacity(cmd.Context())
			if err != nil {
				return err
			}
			return env.showCapacity(b, c, stated)
		}),
	}
}

type weekday struct {
	day  time.Weekday
	flag string
}

// weekdays are the names of the flags and of the columns, Monday first.
var weekdays = []weekday{
	{time.Monday, "mon"}, {time.Tuesday, "tue"}, {time.Wednesday, "wed"}, {time.Thursday, "thu"}, {time.Friday, "fri"}, {time.Saturday, "sat"}, {time.Sunday, "sun"},
}

// capacityJSON is the document of `capacity show`. Hours are minutes by
// weekday; a role or appliance that is not listed is not limited.
type capacityJSON struct {
	Stated     bool                            `json:"stated"`
	Opens      string                          `json:"opens"`
	Closes     string                          `json:"closes"`
	Works      []string                        `json:"works"`
	Closed     []day.Date                      `json:"closed"`
	Open       []day.Date                      `json:"open"`
	Roles      map[book.ID]capacityMinutesJSON `json:"roles"`
	Appliances map[book.ID]capacityMinutesJSON `json:"appliances"`
}

type capacityMinutesJSON struct {
	Week map[string]int   `json:"week"` // of the days worked
	On   map[day.Date]int `json:"on"`
}

func (e *Env) showCapacity(b book.Book, c schedule.Capacity, stated bool) error {
	if e.json {
		return e.printJSON(capacityDocument(c, stated))
	}
	fmt.Fprintf(e.Out, "The studio works from %s to %s on %s.\n", clockTime(c.Opens), clockTime(c.Closes), workingDays(c))
	if len(c.Closed) > 0 {
		fmt.Fprintf(e.Out, "closed: %s\n", spans(c.Closed))
	}
	if len(c.Open) > 0 {
		fmt.Fprintf(e.Out, "open besides: %s\n", spans(c.Open))
	}
	t := table{heads: []string{"hours a day", ""}}
	for _, d := range weekdays {
		if c.Works[d.day] {
			t.heads = append(t.heads, d.flag+">")
		}
	}
	t.heads = append(t.heads, "on days of their own")
	var free []string
	row := func(id book.ID, name string, list map[book.ID]schedule.Hours) {
		h, limited := list[id]
		if !limited {
			free = append(free, string(id))
			return
		}
		cells := []string{string(id), name}
		for _, d := range weekdays {
			if c.Works[d.day] {
				cells = append(cells, hoursShort(h.Week[d.day]))
			}
		}
		var own []string
		for _, d := range slices.SortedFunc(maps.Keys(h.On), compareDates) {
			own = append(own, d.String()+"="+hoursShort(h.On[d]))
		}
		t.add(append(cells, strings.Join(own, " "))...)
	}
	for _, r := range b.Roles {
		row(r.ID, r.Name, c.Roles)
	}
	for _, a := range b.Equipment {
		row(a.ID, a.Name, c.Appliances)
	}
	if len(t.rows) > 0 {
		fmt.Fprintln(e.Out)
		t.print(e)
	}
	if len(free) > 0 {
		fmt.Fprintf(e.Out, "\nnot limited: %s\n", strings.Join(free, ", "))
	}
	for _, id := range strangers(book.NewIndex(b), c) {
		fmt.Fprintf(e.Out, "note: %s has hours and is no longer in the book; forget them with: marchpane capacity set %s --unlimited\n", id, id)
	}
	if !stated {
		fmt.Fprintln(e.Out, "\nNothing is stated; these are the usual hours. Say your own, for example: marchpane capacity set "+exampleRole(b)+" 7")
	}
	return nil
}

func exampleRole(b book.Book) string {
	if len(b.Roles) > 0 {
		return string(b.Roles[0].ID)
	}
	return "ROLE"
}

// strangers lists what has hours and is not in the book.
func strangers(x *book.Index, c schedule.Capacity) []book.ID {
	var list []book.ID
	for id := range c.Roles {
		if _, ok := x.Role(id); !ok {
			list = append(list, id)
		}
	}
	for id := range c.Appliances {
		if _, ok := x.Appliance(id); !ok {
			list = append(list, id)
		}
	}
	slices.Sort(list)
	return list
}

func capacityDocument(c schedule.Capacity, stated bool) capacityJSON {
	doc := capacityJSON{
		Stated: stated, Opens: clockTime(c.Opens), Closes: clockTime(c.Closes), Works: []string{},
		Closed: append([]day.Date{}, c.Closed...), Open: append([]day.Date{}, c.Open...),
		Roles: map[book.ID]capacityMinutesJSON{}, Appliances: map[book.ID]capacityMinutesJSON{},
	}
	put := func(into map[book.ID]capacityMinutesJSON, from map[book.ID]schedule.Hours) {
		for id, h := range from {
			m := capacityMinutesJSON{Week: map[string]int{}, On: map[day.Date]int{}}
			for _, d := range weekdays {
				if c.Works[d.day] {
					m.Week[d.flag] = h.Week[d.day]
				}
			}
			maps.Copy(m.On, h.On)
			into[id] = m
		}
	}
	put(doc.Roles, c.Roles)
	put(doc.Appliances, c.Appliances)
	for _, d := range weekdays {
		if c.Works[d.day] {
			doc.Works = append(doc.Works, d.flag)
		}
	}
	return doc
}

func capacitySet(env *Env) *cobra.Command {
	var unlimited bool
	var on []string
	byDay := make([]string, len(weekdays))
	cmd := &cobra.Command{
		Use:   "set NAME [HOURS]",
		Short: "State the hours of a role or an appliance",
		Long: `State the hands-on hours that a role has in a day, or for how long an appliance may
run. HOURS alone holds for every day worked; --mon to --sun change one weekday, and
--on a single day. Write them as 7, 7.5 or 7:30. Two people of 7 hours have 14.`,
		Example: `  marchpane capacity set decorator 14
  marchpane capacity set decorator --mon 4 --tue 8
  marchpane capacity set decorator --on 2027-06-11=16 --on 2027-06-12=usual
  marchpane capacity set oven 6
  marchpane capacity set oven --unlimited`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return fmt.Errorf("%s needs the id of a role or an appliance, and may take HOURS; see %s --help", cmd.CommandPath(), cmd.CommandPath())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			id := book.ID(args[0])
			return env.changeCapacity(cmd.Context(), func(x *book.Index, c *schedule.Capacity) error {
				list, err := hoursOf(x, c, id, unlimited)
				if err != nil {
					return err
				}
				if unlimited {
					delete(list, id)
					return nil
				}
				h, there := list[id]
				switch {
				case len(args) == 2:
					n, err := parseHours(args[1])
					if err != nil {
						return err
					}
					h.Week = schedule.EveryDay(n).Week
				case !there && !anyFlag(cmd):
					return fmt.Errorf("say how many hours %s has, such as: marchpane capacity set %s 7", id, id)
				case !there && !slices.ContainsFunc(byDay, func(s string) bool { return s != "" }):
					return fmt.Errorf("%s has no hours yet; state those of its usual days first, such as: marchpane capacity set %s 7", id, id)
				}
				for i, d := range weekdays {
					if byDay[i] == "" {
						continue
					}
					if h.Week[d.day], err = parseHours(byDay[i]); err != nil {
						return fmt.Errorf("--%s: %w", d.flag, err)
					}
				}
				if h, err = onDays(h, on); err != nil {
					return err
				}
				list[id] = h
				return nil
			})
		},
	}
	for i, d := range weekdays {
		cmd.Flags().StringVar(&byDay[i], d.flag, "", "`HOURS` on "+d.day.String())
	}
	cmd.Flags().StringArrayVar(&on, "on", nil, "`DATE=HOURS` of a single day, or DATE=usual to take that back; may be given several times")
	cmd.Flags().BoolVar(&unlimited, "unlimited", false, "forget the hours: it is not limited")
	return cmd
}

func anyFlag(cmd *cobra.Command) bool {
	return slices.ContainsFunc(weekdays, func(d weekday) bool { return cmd.Flags().Changed(d.flag) }) || cmd.Flags().Changed("on")
}

// hoursOf returns the list in which the hours of a role or appliance stand.
// What has left the book can still be forgotten.
func hoursOf(x *book.Index, c *schedule.Capacity, id book.ID, forget bool) (map[book.ID]schedule.Hours, error) {
	if c.Roles == nil {
		c.Roles = map[book.ID]schedule.Hours{}
	}
	if c.Appliances == nil {
		c.Appliances = map[book.ID]schedule.Hours{}
	}
	_, role := x.Role(id)
	_, appliance := x.Appliance(id)
	_, hadRole := c.Roles[id]
	_, hadAppliance := c.Appliances[id]
	switch {
	case role || forget && hadRole:
		return c.Roles, nil
	case appliance || forget && hadAppliance:
		return c.Appliances, nil
	}
	var known []string
	for _, r := range x.Book.Roles {
		known = append(known, string(r.ID))
	}
	for _, a := range x.Book.Equipment {
		known = append(known, string(a.ID))
	}
	if len(known) == 0 {
		return nil, fmt.Errorf("%q is no role or appliance of the book, which has none", id)
	}
	return nil, fmt.Errorf("%q is no role or appliance of the book; it has %s", id, strings.Join(known, ", "))
}

// onDays sets the hours of single days.
func onDays(h schedule.Hours, pairs []string) (schedule.Hours, error) {
	for _, pair := range pairs {
		text, hours, ok := strings.Cut(pair, "=")
		d, err := day.Parse(text)
		if !ok || err != nil {
			return h, fmt.Errorf("--on %q: write a day and its hours, such as 2027-06-11=16", pair)
		}
		on := maps.Clone(h.On)
		if on == nil {
			on = map[day.Date]int{}
		}
		if hours == "usual" {
			delete(on, d)
		} else if on[d], err = parseHours(hours); err != nil {
			return h, fmt.Errorf("--on %s: %w", pair, err)
		}
		h.On = on
	}
	return h, nil
}

func capacityHours(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:     "hours FROM-TO",
		Short:   "State when work begins and ends",
		Example: `  marchpane capacity hours 7:30-17:00`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			from, to, ok := strings.Cut(strings.ReplaceAll(args[0], "–", "-"), "-")
			opens, err1 := parseClock(from)
			closes, err2 := parseClock(to)
			if !ok || err1 != nil || err2 != nil {
				return fmt.Errorf("%q are no hours of a day; write them as 8:00-18:00", args[0])
			}
			return env.changeCapacity(cmd.Context(), func(_ *book.Index, c *schedule.Capacity) error {
				c.Opens, c.Closes = opens, closes
				return nil
			})
		},
	}
}

func capacityDays(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "days WEEKDAYS",
		Short: "State on which weekdays the studio works",
		Example: `  marchpane capacity days mon-sat
  marchpane capacity days tue,thu-sat`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			works, err := parseWeekdays(args[0])
			if err != nil {
				return err
			}
			return env.changeCapacity(cmd.Context(), func(_ *book.Index, c *schedule.Capacity) error {
				c.Works = works
				return nil
			})
		},
	}
}

func capacityClose(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "close DATE[..DATE] …",
		Short: "Close the studio on days, such as holidays",
		Example: `  marchpane capacity close 2026-12-24..2027-01-03
  marchpane capacity close 2027-03-17 2027-04-05`,
		Args: someDays,
		RunE: func(cmd *cobra.Command, args []string) error {
			days, err := parseDays(args)
			if err != nil {
				return err
			}
			return env.changeCapacity(cmd.Context(), func(_ *book.Index, c *schedule.Capacity) error {
				c.Open = without(c.Open, days)
				c.Closed = with(c.Closed, days)
				return nil
			})
		},
	}
}

func capacityOpen(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "open DATE[..DATE] …",
		Short: "Work on days that are closed, or on a weekday that is not worked",
		Example: `  marchpane capacity open 2027-01-02
  marchpane capacity open 2027-06-13`,
		Args: someDays,
		RunE: func(cmd *cobra.Command, args []string) error {
			days, err := parseDays(args)
			if err != nil {
				return err
			}
			return env.changeCapacity(cmd.Context(), func(_ *book.Index, c *schedule.Capacity) error {
				c.Closed = without(c.Closed, days)
				for _, d := range days {
					if !c.WorksOn(d) {
						c.Open = with(c.Open, []day.Date{d})
					}
				}
				return nil
			})
		},
	}
}

func someDays(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("%s needs days, such as 2026-12-24..2027-01-03", cmd.CommandPath())
	}
	return nil
}

func capacityReset(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "reset",
		Short: "Forget everything stated and go back to the usual hours",
		Args:  cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			if err := s.ForgetCapacity(cmd.Context()); err != nil {
				return err
			}
			b, err := s.Book(cmd.Context())
			if err != nil {
				return err
			}
			return env.showCapacity(b, schedule.Usual(), false)
		}),
	}
}

// changeCapacity changes what is stated and shows it.
func (e *Env) changeCapacity(ctx context.Context, change func(*book.Index, *schedule.Capacity) error) error {
	s, err := e.open(ctx)
	if err != nil {
		return err
	}
	defer s.Close()
	var b book.Book
	c, err := s.ChangeCapacity(ctx, e.Now(), func(x *book.Index, c *schedule.Capacity) error {
		b = x.Book
		return change(x, c)
	})
	if err != nil {
		return err
	}
	return e.showCapacity(b, c, true)
}
