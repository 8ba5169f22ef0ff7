package cli

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
	"marchpane/store"
	"marchpane/templates/calendar"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
)

// planFlags is what the flags of `plan` say.
type planFlags struct {
	from, to, on day.Date
	with, over   []string
	out, paper   string
	household    bool
	hidden       bool
	tasks        bool
}

func planCommand(env *Env) *cobra.Command {
	var f planFlags
	cmd := &cobra.Command{
		Use:   "plan [--from DATE --to DATE]",
		Short: "What to make on which day for the orders between two dates",
		Long: `Plan the kitchen backwards from the hand-over of the accepted orders with an event
between two dates: what to make on which day, batches shared where keeping times
allow it, the load of hands and ovens against their hours (see marchpane capacity),
what does not fit, and for each order the latest safe start.

Nothing is used past its keeping time and nothing begun before what it needs is
done; where that leaves no room the plan says so. Everything of an order is done
when the studio opens on the day of its event, or at the time of --handover.

The end of -o FILE says the form: .pdf for the wall, with a recipe card for each
component, or .ics for a calendar. Recipe cards state quantities for one batch in
grams, with --household in cups and spoons besides.`,
		Example: `  marchpane plan
  marchpane plan --from 2027-06-07 --to 2027-06-13 -o plan.pdf
  marchpane plan --from 2027-06-12 --to 2027-06-12 --with D1 --handover 10:00
  marchpane plan --handover 2026-0001="2027-06-11 16:00" -o plan.ics`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := f.complete(env.orToday(f.on)); err != nil {
				env.started = false
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			made, err := env.makePlan(cmd.Context(), s, nil, f)
			if err != nil {
				return err
			}
			if f.out != "" {
				if err := env.writePlan(f, made); err != nil {
					return err
				}
			}
			env.warn(made.k.gone)
			if env.json {
				return env.printJSON(made.plan.Document())
			}
			if f.out != "" {
				fmt.Fprintf(env.Out, "The plan of %s is in %s.\n", plural(len(made.plan.Orders), "order", "orders"), f.out)
				env.printClashes(made.plan.Clashes)
				return nil
			}
			env.printPlan(f, made)
			return nil
		},
	}
	cmd.Flags().Var(dateFlag{&f.from}, "from", "the `DATE` of the first event (default: today)")
	cmd.Flags().Var(dateFlag{&f.to}, "to", "the `DATE` of the last event (default: 14 days from the first)")
	cmd.Flags().StringArrayVar(&f.with, "with", nil, "plan an open `QUOTE` or draft too, as if it were accepted, QUOTE=OPTION where it has several; may be given several times")
	cmd.Flags().StringArrayVar(&f.over, "handover", nil, "when everything is done on the day of the event, such as 10:00; of one order `ORDER=TIME`, or ORDER=\"DATE TIME\" for an earlier day")
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "write to this `FILE`: .pdf or .ics")
	cmd.Flags().StringVar(&f.paper, "paper", "", "`SIZE` of the paper: a4 or letter (default: the studio's)")
	cmd.Flags().BoolVar(&f.household, "household", false, "cups and spoons beside the grams of the recipe cards")
	cmd.Flags().BoolVar(&f.hidden, "hidden", false, "plan extras too that come with every quote unseen, such as a tasting; else they count as done")
	cmd.Flags().BoolVar(&f.tasks, "tasks", false, "list every task and wait, such as cooling and drying, with the appliances that run")
	asOfFlag(cmd, &f.on)
	return cmd
}

// complete fills in the days that were not said.
func (f *planFlags) complete(today day.Date) error {
	f.on = today
	if f.from.IsZero() {
		f.from = today
		if !f.to.IsZero() && f.to.Before(today) {
			return fmt.Errorf("--to %s has gone by; say --from too", f.to)
		}
	}
	if f.to.IsZero() {
		f.to = f.from.AddDays(13)
	}
	switch end := strings.ToLower(filepath.Ext(f.out)); {
	case f.to.Before(f.from):
		return fmt.Errorf("--to %s is before --from %s", f.to, f.from)
	case f.from.DaysUntil(f.to) > 366:
		return fmt.Errorf("from %s to %s is more than a year; plan a shorter span", f.from, f.to)
	case f.out != "" && end != ".pdf" && end != ".ics":
		return fmt.Errorf("%s: the plan is written as .pdf or .ics; end the name of the file so", f.out)
	}
	_, err := paperSize(f.paper)
	return err
}

// madePlan is a plan with what there is to say of it.
type madePlan struct {
	k     *kitchen
	plan  schedule.Plan
	paper document.Production
	later []string // orders soon after the span, whose work may fall into it
}

// makePlan plans by a book of which something is known; nil: by the store's.
func (e *Env) makePlan(ctx context.Context, s *store.Store, known *schedule.Known, f planFlags) (madePlan, error) {
	m := madePlan{}
	k, err := gather(ctx, s, known, f)
	if err != nil {
		return m, err
	}
	if err := k.handOver(f.over); err != nil {
		return m, err
	}
	m.k = k
	m.plan, err = k.planner.Make(k.known(), k.orders, f.on)
	if err != nil {
		return m, err
	}
	m.plan.Clashes = slices.DeleteFunc(m.plan.Clashes, func(c schedule.Clash) bool { return c.Trouble == schedule.TooLate && m.begun(c, f.on) })
	cards, err := schedule.Cards(k.x, m.plan)
	if err != nil {
		return m, err
	}
	first, last := f.from, f.to
	if n := len(m.plan.Items); n > 0 {
		first, last = m.plan.Items[0].Start.Day, day.Later(m.plan.Items[n-1].Start.Day, m.plan.Orders[len(m.plan.Orders)-1].HandOver.Day)
	}
	m.paper = document.FromPlan(m.plan, cards, k.x.Book.Studio, document.EnglishProduction(), first, last, f.household)
	m.paper.Notes.Lines = slices.Concat(k.notes(), m.paper.Notes.Lines)
	if size, err := paperSize(f.paper); err == nil && size != "" {
		m.paper.Paper = size
	}
	later, err := s.Orders(ctx, f.to.AddDays(1), f.to.AddDays(around))
	for _, o := range later {
		planned := slices.ContainsFunc(k.orders, func(p schedule.Order) bool { return p.Ref == o.Quote.Number })
		if o.CancelledOn.IsZero() && !planned {
			m.later = append(m.later, o.Quote.Number)
		}
	}
	return m, err
}

// begun reports whether no order of a late start is late: its latest safe start
// was still ahead when it was accepted, so that its work is under way by now; or,
// of an open quote, it still is ahead, and only a batch shared with others began
// before.
func (m madePlan) begun(c schedule.Clash, today day.Date) bool {
	return !slices.ContainsFunc(m.plan.Orders, func(o schedule.Deadline) bool {
		on := m.k.accepted[o.Ref]
		if on.IsZero() {
			on = today
		}
		return slices.Contains(c.Orders, o.Ref) && o.StartBy.Day.Before(on)
	})
}

// notes says what the plan leaves out.
func (k *kitchen) notes() []string {
	notes := slices.Clone(k.gone)
	if len(k.done) > 0 {
		notes = append(notes, "Not planned, since it was done when the order came: "+strings.Join(k.done, "; ")+".")
	}
	return notes
}

// gather gathers the orders of the span, and open quotes besides.
func gather(ctx context.Context, s *store.Store, known *schedule.Known, f planFlags) (*kitchen, error) {
	var refs []string
	var open []quote.Quote
	for _, text := range f.with {
		ref, option, _ := strings.Cut(text, "=")
		q, err := s.Quote(ctx, ref, "", f.on)
		if err != nil {
			return nil, err
		}
		one, err := q.Offer(option)
		if err != nil {
			return nil, fmt.Errorf("--with %s: %w; write --with %s=OPTION", text, err, ref)
		}
		if slices.Contains(refs, q.Ref()) {
			return nil, fmt.Errorf("--with %s is given twice; give it once", ref)
		}
		refs, open = append(refs, q.Ref()), append(open, one)
	}
	k, err := kitchenOf(ctx, s, known, f.from, f.to, f.hidden, open...)
	if err != nil {
		return nil, err
	}
	for i, ref := range refs {
		k.add(k.orderOf(ref, open[i]), day.Date{})
	}
	return k, nil
}

// handOver sets when orders are handed over.
func (k *kitchen) handOver(texts []string) error {
	for _, text := range texts {
		ref, when, one := strings.Cut(text, "=")
		if !one {
			ref, when = "", text
		}
		date, clock, earlier := strings.Cut(strings.Replace(strings.TrimSpace(when), "T", " ", 1), " ")
		if !earlier {
			date, clock = "", date
		}
		minute, err := parseClock(clock)
		if err == nil && minute == schedule.DayMinutes {
			err = fmt.Errorf("%q is the end of the day; write 0:00 of the next one", clock)
		}
		if err != nil {
			return fmt.Errorf("--handover %s: %w", text, err)
		}
		if earlier && !one {
			return fmt.Errorf("--handover %s: a day holds for one order; write ORDER=\"%s\"", text, when)
		}
		found := false
		for i := range k.orders {
			o := &k.orders[i]
			if one && !strings.EqualFold(o.Ref, ref) {
				continue
			}
			found = true
			o.HandOver = schedule.Moment{Day: o.Event, Minute: minute}
			if earlier {
				if o.HandOver.Day, err = day.Parse(date); err != nil {
					return fmt.Errorf("--handover %s: %w", text, err)
				}
			}
		}
		if one && !found {
			return fmt.Errorf("--handover %s: %s is none of the orders of the plan%s", text, ref, k.refs())
		}
	}
	return nil
}

func (k *kitchen) refs() string {
	var list []string
	for _, o := range k.orders {
		list = append(list, o.Ref)
	}
	if len(list) == 0 {
		return ", which has none"
	}
	return ": " + strings.Join(list, ", ")
}

func (e *Env) writePlan(f planFlags, m madePlan) error {
	return writeFile(f.out, func(w io.Writer) error { return e.planPaper(w, strings.ToLower(filepath.Ext(f.out)), f, m) })
}

// planPaper writes a plan as what an ending says.
func (e *Env) planPaper(w io.Writer, ending string, f planFlags, m madePlan) error {
	if ending == ".ics" {
		if len(m.plan.Items) == 0 {
			return fmt.Errorf("no order has its event from %s to %s, so there is nothing to write; see marchpane plan --help", f.from, f.to)
		}
		return calendar.Write(w, e.planCalendar(m))
	}
	warnings, err := pdf.Production(w, m.paper)
	e.warn(warnings)
	return err
}

// printPlan prints the plan day by day.
func (e *Env) printPlan(f planFlags, m madePlan) {
	if len(m.plan.Orders) == 0 {
		fmt.Fprintf(e.Out, "No order has its event from %s to %s. Accepted quotes are orders: marchpane quote accept QUOTE\nOpen ones are planned with --with QUOTE.\n", f.from, f.to)
		e.printLater(m)
		return
	}
	fmt.Fprintf(e.Out, "%s for events from %s to %s\n", e.bold("Production plan"), f.from, f.to)
	t := table{heads: []string{"order", "hand-over", "start by", "begins", "cakes"}}
	for _, o := range m.plan.Orders {
		t.add(o.Ref, o.HandOver.String(), o.StartBy.String(), o.Begins.String(), o.Label)
	}
	fmt.Fprintln(e.Out)
	t.print(e)
	for _, d := range m.paper.Days {
		fmt.Fprintf(e.Out, "\n%s  %s\n", e.bold(d.Date.String()), e.bold(d.Date.Time().Weekday().String()))
		if f.tasks {
			taskTable(d).print(e)
		} else if jobs := jobTable(d); len(jobs.rows) > 0 {
			jobs.print(e)
		}
		for _, l := range d.Loads {
			text := "load: " + plain(l.Text)
			if l.Over {
				text = e.bold(text)
			}
			fmt.Fprintln(e.Out, text)
		}
	}
	if len(m.plan.Clashes) > 0 {
		fmt.Fprintf(e.Out, "\n%s\n", e.bold("What does not fit"))
		e.printClashes(m.plan.Clashes)
	}
	fmt.Fprintln(e.Out)
	for _, note := range m.paper.Notes.Lines {
		fmt.Fprintf(e.Out, "note: %s\n", plain(note))
	}
	e.printLater(m)
}

// jobTable lists a day's work in few words.
func jobTable(d document.ProductionDay) table {
	t := table{heads: []string{"time", "make", "", "who", "hands-on>", "for"}}
	for _, lane := range d.Lanes {
		for _, j := range lane.Jobs {
			what := j.What
			if j.Tier != "" {
				what += ", " + j.Tier
			}
			if len(j.Cautions) > 0 {
				what += " (" + strings.Join(j.Cautions, ", ") + "!)"
			}
			t.add(j.Time, what, plain(j.How), lane.Who, plain(j.Minutes), j.Orders)
		}
	}
	slices.SortStableFunc(t.rows, func(a, b []string) int { return strings.Compare(a[0], b[0]) })
	return t
}

// taskTable lists every task and wait of a day.
func taskTable(d document.ProductionDay) table {
	t := table{heads: []string{"time", "what", "", "who", "hands-on>", "for"}}
	for _, r := range d.Rows {
		t.add(r.Time, plain(r.What), plain(r.Note), r.Who, plain(r.Minutes), r.Orders)
	}
	return t
}

func (e *Env) printLater(m madePlan) {
	if len(m.later) > 0 {
		fmt.Fprintf(e.Out, "note: work of %s, whose event is soon after, may fall on these days too; a later --to plans it along\n", strings.Join(m.later, ", "))
	}
}

// plain puts common blanks for those that hold a figure and its unit together.
func plain(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }
