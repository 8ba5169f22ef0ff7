package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
	"marchpane/store"
)

func capacityCheck(env *Env) *cobra.Command {
	var ref, option string
	var date, on day.Date
	cmd := &cobra.Command{
		Use:   "check --quote QUOTE | --date DATE",
		Short: "Is there room for a quote, or on a day",
		Long: `Tell how full the days are. With --quote, the days on which a quote or a draft would
take hands or ovens, before and with it, beside the accepted orders of three weeks
around its event. With --date, what the accepted orders take of that day.`,
		Example: `  marchpane capacity check --quote D1
  marchpane capacity check --date 2027-06-11`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if (ref == "") == date.IsZero() {
				env.started = false
				return errors.New("say which quote or which day: --quote QUOTE, or --date DATE")
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			if ref == "" {
				room, err := roomOn(cmd.Context(), s, nil, date)
				if err != nil {
					return err
				}
				return env.printRoom(room)
			}
			q, err := s.Quote(cmd.Context(), ref, "", env.orToday(on))
			if err != nil {
				return err
			}
			choices := q.Quote.Choices()
			if option != "" {
				one, err := q.Offer(option)
				if err != nil {
					return err
				}
				choices = []quote.Quote{one}
			}
			k, err := kitchenOf(cmd.Context(), s, nil, q.Quote.Offer.EventDate.AddDays(-around), q.Quote.Offer.EventDate.AddDays(around), false, q.Quote)
			if err != nil {
				return err
			}
			var docs []fittingJSON
			for _, one := range choices {
				f, err := k.fit(q.Ref(), one, env.orToday(on))
				if err != nil {
					return err
				}
				if env.json {
					docs = append(docs, fittingJSON{one.Chosen, f.Document()})
					continue
				}
				env.printFitting(k, f, one.Chosen, true)
				if len(f.Rooms)+len(f.Clashes) == 0 {
					env.nothingLimited(f, k)
				}
			}
			if env.json {
				return env.printJSON(docs)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&ref, "quote", "", "a quote by its `NUMBER`, or a draft such as D1")
	cmd.Flags().StringVar(&option, "option", "", "one of several options: its `NAME` or number (default: each)")
	cmd.Flags().Var(dateFlag{&date}, "date", "a `DATE`")
	asOfFlag(cmd, &on)
	return cmd
}

// fittingJSON is one entry of the document of `capacity check --quote`, one for
// each option.
type fittingJSON struct {
	Option string `json:"option,omitempty"`
	schedule.FittingDocument
}

// fit asks whether a quote of one offer fits between the orders. It is not too
// late where only a batch that it could share began before today: by its latest
// safe start it makes its own.
func (k *kitchen) fit(ref string, q quote.Quote, today day.Date) (schedule.Fitting, error) {
	f, err := k.planner.Fit(k.known(), k.orders, k.orderOf(ref, q), today)
	f.Clashes = slices.DeleteFunc(f.Clashes, func(c schedule.Clash) bool {
		return c.Trouble == schedule.TooLate && slices.Contains(c.Orders, ref) && !f.Order.StartBy.Day.Before(today)
	})
	return f, err
}

// tellRoom says, below a new quote, how full its days are. A quote stands
// whatever the kitchen says; so nothing here fails it.
func (e *Env) tellRoom(ctx context.Context, s *store.Store, q store.SavedQuote) {
	if e.json {
		return
	}
	event := q.Quote.Offer.EventDate
	k, err := kitchenOf(ctx, s, nil, event.AddDays(-around), event.AddDays(around), false, q.Quote)
	for _, one := range q.Quote.Choices() {
		if err != nil {
			break
		}
		var f schedule.Fitting
		if f, err = k.fit(q.Ref(), one, q.Quote.Offer.IssuedOn); err == nil {
			e.printFitting(k, f, one.Chosen, false)
		}
	}
	if err != nil {
		fmt.Fprintf(e.Err, "marchpane: the quote stands; how full its days are could not be told: %v\n", err)
	}
}

// printFitting prints the days that an order changes, and what does not fit. In
// short it leaves out ovens that hold it, and days that it relieves.
func (e *Env) printFitting(k *kitchen, f schedule.Fitting, option string, ovens bool) {
	rooms := slices.DeleteFunc(slices.Clone(f.Rooms), func(r schedule.Room) bool {
		_, role := k.capacity.Roles[r.Of.ID]
		return !ovens && r.Fits() && (!role || r.After < r.Taken)
	})
	if len(rooms)+len(f.Clashes) == 0 {
		return
	}
	title := "room in the kitchen"
	if option != "" {
		title += ", " + option
	}
	if !ovens {
		fmt.Fprintln(e.Out) // below the quote
	}
	fmt.Fprintf(e.Out, "%s (start by %s)\n", e.bold(title), f.Order.StartBy)
	for _, r := range rooms {
		text := fmt.Sprintf("%s: %s %s of %s taken, %s with this one", r.Day, r.Of.Name, hours(r.Taken), hours(r.Capacity), hours(r.After))
		if !r.Fits() {
			text = e.bold(text + fmt.Sprintf(": %s too much", hours(r.After-r.Capacity)))
		}
		fmt.Fprintln(e.Out, text)
	}
	e.printClashes(f.Clashes)
}

// printClashes warns of what does not fit.
func (e *Env) printClashes(list []schedule.Clash) {
	for _, c := range list {
		fmt.Fprintf(e.Out, "%s %s\n", e.bold("warning:"), clashInWords(c))
	}
}

func clashInWords(c schedule.Clash) string {
	refs := strings.Join(c.Orders, ", ")
	switch c.Trouble {
	case schedule.OverCapacity:
		return fmt.Sprintf("%s: %s has %s more to do than the day's %s (%s)", c.Day, c.Of.Name, hours(c.Minutes), hours(c.Capacity), refs)
	case schedule.OutOfHours:
		return fmt.Sprintf("%s: %s of work for %s outside the hours of the studio (%s)", c.Day, hours(c.Minutes), c.Of.Name, refs)
	case schedule.TooFewHands:
		return fmt.Sprintf("%s: %s of work for %s asks for more hands at once than there are (%s)", c.Day, hours(c.Minutes), c.Of.Name, refs)
	case schedule.TooOld:
		return fmt.Sprintf("%s: %s is past its keeping time by %s; change the design or the recipe, do not serve it so (%s)", c.Day, c.Of.Name, longTime(c.Minutes), refs)
	}
	return fmt.Sprintf("%s: work would have had to begin on %s", refs, c.Day)
}

// longTime writes minutes as days where there are some.
func longTime(minutes int) string {
	if minutes < schedule.DayMinutes {
		return hours(minutes)
	}
	text := plural(minutes/schedule.DayMinutes, "day", "days")
	if rest := minutes % schedule.DayMinutes; rest > 0 {
		text += " " + hours(rest)
	}
	return text
}

func (e *Env) nothingLimited(f schedule.Fitting, k *kitchen) {
	fmt.Fprintf(e.Out, "%s fits: work begins by %s.\n", f.Order.Ref, f.Order.StartBy)
	if c := k.known(); len(c.Roles)+len(c.Appliances) == 0 {
		fmt.Fprintln(e.Out, "Nothing that it takes is limited. State the hours of a day with: marchpane capacity set NAME HOURS")
	}
}

// dayRoom is what accepted orders take of one day.
type dayRoom struct {
	date  day.Date
	works bool
	refs  []string // of the orders that take something of it
	rooms []schedule.Room
}

// roomOn works out what accepted orders take of one day.
func roomOn(ctx context.Context, s *store.Store, known *schedule.Known, date day.Date) (dayRoom, error) {
	k, err := kitchenOf(ctx, s, known, date.AddDays(-around), date.AddDays(around), false)
	if err != nil {
		return dayRoom{}, err
	}
	b, err := s.Shared(ctx)
	if err != nil {
		return dayRoom{}, err
	}
	p, err := k.planner.Make(k.known(), k.orders, day.Date{})
	if err != nil {
		return dayRoom{}, err
	}
	// Those of the whole book: a role that no order takes has all its hours left.
	p.Capacity = k.capacity
	room := dayRoom{date: date, works: k.capacity.WorksOn(date)}
	look := func(of schedule.Named) {
		if r := schedule.Free(p, p, of, date, date)[0]; r.Limited || r.Taken > 0 {
			room.rooms = append(room.rooms, r)
		}
	}
	for _, r := range b.Roles {
		look(schedule.Named{ID: r.ID, Name: r.Name})
	}
	for _, a := range b.Equipment {
		look(schedule.Named{ID: a.ID, Name: a.Name})
	}
	for _, l := range p.Loads {
		for _, ref := range l.Orders {
			if l.Day == date && !slices.Contains(room.refs, ref) {
				room.refs = append(room.refs, ref)
			}
		}
	}
	slices.Sort(room.refs)
	return room, nil
}

// heading says who takes something of the day.
func (r dayRoom) heading() string {
	switch {
	case !r.works:
		return fmt.Sprintf("%s: the studio is closed.", r.date)
	case len(r.refs) == 0:
		return fmt.Sprintf("%s: no order takes anything of this day.", r.date)
	}
	return fmt.Sprintf("%s: %s", r.date, strings.Join(r.refs, ", "))
}

// taken says how much of a role or an appliance is taken.
func taken(r schedule.Room) string {
	if !r.Limited {
		return fmt.Sprintf("%s: %s taken", r.Of.Name, hours(r.Taken))
	}
	text := fmt.Sprintf("%s: %s of %s taken", r.Of.Name, hours(r.Taken), hours(r.Capacity))
	if !r.Fits() {
		text += fmt.Sprintf(", %s too much", hours(r.Taken-r.Capacity))
	}
	return text
}

// printRoom prints what accepted orders take of one day.
func (e *Env) printRoom(r dayRoom) error {
	if e.json {
		return e.printJSON(roomDocument(r.date, r.works, r.refs, r.rooms))
	}
	fmt.Fprintln(e.Out, r.heading())
	for _, room := range r.rooms {
		text := taken(room)
		if room.Limited && !room.Fits() {
			text = e.bold(text)
		}
		fmt.Fprintln(e.Out, text)
	}
	return nil
}

// roomJSON is the document of `capacity check --date`.
type roomJSON struct {
	Date   string          `json:"date"`
	Works  bool            `json:"works"`
	Orders []string        `json:"orders"`
	Rooms  []roomEntryJSON `json:"rooms"`
}

type roomEntryJSON struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Taken    int    `json:"taken"`
	Capacity *int   `json:"capacity,omitempty"` // absent where not limited
	Fits     bool   `json:"fits"`
}

func roomDocument(date day.Date, works bool, refs []string, rooms []schedule.Room) roomJSON {
	doc := roomJSON{date.String(), works, append([]string{}, refs...), []roomEntryJSON{}}
	for _, r := range rooms {
		entry := roomEntryJSON{string(r.Of.ID), r.Of.Name, r.Taken, nil, r.Fits()}
		if r.Limited {
			entry.Capacity = &r.Capacity
		}
		doc.Rooms = append(doc.Rooms, entry)
	}
	return doc
}
