package cli

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/web"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// ofMonth opens the store for a command whose first argument is a month.
func (e *Env) ofMonth(ctx context.Context, text string, do func(bench, actual.Month) error) error {
	m, err := actual.ParseMonth(text)
	if err != nil {
		e.started = false
		return err
	}
	return e.work(ctx, func(b bench) error { return do(b, m) })
}

// given reads an amount where one was given.
func (b bench) given(cmd *cobra.Command, flag, text string) (m record.Maybe[money.Amount], err error) {
	if text == "" {
		return m, nil
	}
	amount, err := amountOf(cmd, b.Store, text)
	if err != nil {
		return m, fmt.Errorf("%s: %w", flag, err)
	}
	return record.Some(amount), nil
}

func figureOf(flag, text string) (m record.Maybe[measure.Figure], err error) {
	if text == "" {
		return m, nil
	}
	if err := m.Value.UnmarshalText([]byte(text)); err != nil {
		return m, fmt.Errorf("%s: %w", flag, err)
	}
	m.Given = true
	return m, nil
}

func actualOverhead(env *Env) *cobra.Command {
	var note string
	cmd := &cobra.Command{
		Use:   "overhead MONTH AMOUNT",
		Short: "Record overhead that was really paid for a month",
		Long: `Record a bill of overhead that was paid for a month: rent, insurance, telephone. The
bills of a month add up. Leave out the tax that you recover.`,
		Example: `  marchpane actual overhead 2026-10 4180.00
  marchpane actual overhead 2026-10 96.50 --note "knife grinder"`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.ofMonth(cmd.Context(), args[0], func(b bench, m actual.Month) error {
				amount, err := amountOf(cmd, b.Store, args[1])
				if err != nil {
					return err
				}
				if amount.IsZero() {
					return errors.New("a bill of 0 says nothing; enter what was paid")
				}
				bill := actual.Bill{Head: actual.Head{On: env.today(), Note: note}, Month: m, Of: actual.OverheadCost, Amount: record.Some(amount)}
				if err := b.record(cmd.Context(), actual.Records{Bills: []actual.Bill{bill}}, nil); err != nil || env.json {
					return err
				}
				return b.sayMonth(cmd.Context(), m)
			})
		},
	}
	cmd.Flags().StringVar(&note, "note", "", "what it was for, in `WORDS`")
	return cmd
}

func actualEnergy(env *Env) *cobra.Command {
	var kwh, amount, note string
	cmd := &cobra.Command{
		Use:   "energy MONTH",
		Short: "Record the energy bill of a month",
		Long: `Record an energy bill of a month: its kWh, its amount, or both. The bills of a month
add up. Where both are known, a kWh of the orders of that month costs what the bill
makes it; how many kWh an order took stays as planned, since nobody measures that.
Leave out the tax that you recover.`,
		Example: `  marchpane actual energy 2026-10 --kwh 412 --amount 138.40`,
		Args:    arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.ofMonth(cmd.Context(), args[0], func(b bench, m actual.Month) error {
				paid, err := b.given(cmd, "--amount", amount)
				if err != nil {
					return err
				}
				used, err := figureOf("--kwh", kwh)
				if err != nil {
					return err
				}
				if !paid.Given && !used.Given || used.Given && used.Value.Number().IsZero() || paid.Given && paid.Value.IsZero() {
					return errors.New("the bill says nothing; give --kwh, --amount or both, above 0")
				}
				bill := actual.Bill{Head: actual.Head{On: env.today(), Note: note}, Month: m, Of: actual.EnergyCost, Amount: paid, KWh: used}
				if err := b.record(cmd.Context(), actual.Records{Bills: []actual.Bill{bill}}, nil); err != nil || env.json {
					return err
				}
				return b.sayMonth(cmd.Context(), m)
			})
		},
	}
	cmd.Flags().StringVar(&kwh, "kwh", "", "the `NUMBER` of kWh")
	cmd.Flags().StringVar(&amount, "amount", "", "the `MONEY` it cost")
	cmd.Flags().StringVar(&note, "note", "", "a note, in `WORDS`")
	return cmd
}

func actualWage(env *Env) *cobra.Command {
	var from, until day.Date
	var note string
	cmd := &cobra.Command{
		Use:   "wage ROLE PER-HOUR",
		Short: "Record what an hour of a role is really paid",
		Long: `Record what an hour of a role is really paid from a day on, where that differs from
the wage that quotes were costed with. It is the wage itself: on-costs and the
productive share of the book go on top as they do there. It holds until the next
such entry, or to --until. Quotes are costed with the wages of the book; when a raise
is there to stay, change it there too.`,
		Example: `  marchpane actual wage decorator 24.10 --from 2026-10-01
  marchpane actual wage pastry 19.00 --from 2026-12-20 --until 2027-01-06 --note "holiday rate"`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			perHour, err := money.ParsePrice(args[1])
			if err != nil {
				env.started = false
				return err
			}
			return env.work(cmd.Context(), func(b bench) error {
				e, err := b.desk.Wage(book.ID(args[0]), perHour, from, until, note)
				if err != nil {
					return err
				}
				return b.record(cmd.Context(), actual.Records{Wages: []actual.Wage{e}}, nil)
			})
		},
	}
	cmd.Flags().Var(dateFlag{&from}, "from", "the first `DATE` (default: today)")
	cmd.Flags().Var(dateFlag{&until}, "until", "the last `DATE` (default: until a newer one)")
	cmd.Flags().StringVar(&note, "note", "", "a note, in `WORDS`")
	return cmd
}

func actualPlan(env *Env) *cobra.Command {
	var margin, overhead, hours, note string
	var cakes int
	cmd := &cobra.Command{
		Use:   "plan MONTH",
		Short: "Set what a month is to bring: cakes, margin, overhead",
		Long: `Set the plan of a month: how many cakes it counts on and the margin of all of them in
money, after the overhead that they absorb; the budget of overhead, and the labour
hours that it is spread over. What a later entry says stands instead of what an
earlier one said.`,
		Example: `  marchpane actual plan 2026-10 --cakes 14 --margin 5200
  marchpane actual plan 2026-10 --overhead 4200 --hours 320`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.ofMonth(cmd.Context(), args[0], func(b bench, m actual.Month) (err error) {
				p := actual.Plan{Head: actual.Head{On: env.today(), Note: note}, Month: m}
				if p.Margin, err = b.given(cmd, "--margin", margin); err != nil {
					return err
				}
				if p.Overhead, err = b.given(cmd, "--overhead", overhead); err != nil {
					return err
				}
				if p.Hours, err = figureOf("--hours", hours); err != nil {
					return err
				}
				if cmd.Flags().Changed("cakes") {
					p.Cakes = record.Some(cakes)
				}
				switch {
				case p.Cakes.Given != p.Margin.Given:
					return errors.New("--cakes and --margin go together: the margin is that of so many cakes")
				case p.Cakes.Given && (cakes < 1 || cakes > 100_000):
					return fmt.Errorf("--cakes %d: plan at least one, and no more than anyone bakes in a month", cakes)
				case p.Hours.Given && p.Hours.Value.Number().IsZero():
					return errors.New("--hours 0: overhead cannot be spread over no hours")
				case !p.Cakes.Given && !p.Overhead.Given && !p.Hours.Given:
					return errors.New("the plan says nothing; give --cakes and --margin, --overhead or --hours")
				}
				return b.record(cmd.Context(), actual.Records{Plans: []actual.Plan{p}}, nil)
			})
		},
	}
	cmd.Flags().IntVar(&cakes, "cakes", 0, "the `NUMBER` of cakes")
	cmd.Flags().StringVar(&margin, "margin", "", "the `MONEY` that all of them are to earn")
	cmd.Flags().StringVar(&overhead, "overhead", "", "the `MONEY` that fixed overhead is to cost")
	cmd.Flags().StringVar(&hours, "hours", "", "the `NUMBER` of labour hours that overhead is spread over")
	cmd.Flags().StringVar(&note, "note", "", "a note, in `WORDS`")
	return cmd
}

func actualCharge(env *Env) *cobra.Command {
	var when whenFlags
	var less, more string
	cmd := &cobra.Command{
		Use:   "charge ORDER",
		Short: "Record what a client was let off, or charged on top",
		Long: `Record what a client of an accepted order was let off in the end, or charged on top,
tax included. Of the net price it is the same share as of the total. What the client
still owes by "payment list" does not change: revise the quote for that.`,
		Example: `  marchpane actual charge 2026-0001 --less 20.00 --why "an hour late"
  marchpane actual charge 2026-0001 --more 15.00 --why "two more boxes"`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			if (less == "") == (more == "") {
				env.started = false
				return errors.New("give either --less or --more, such as --less 20.00")
			}
			return env.work(cmd.Context(), func(b bench) error {
				o, err := b.Order(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				amount, err := amountOf(cmd, b.Store, less+more)
				switch {
				case err != nil:
					return err
				case amount.IsZero():
					return errors.New("0 says nothing; enter how much it was")
				case less != "" && amount.Cmp(o.Quote.Offer.Total) > 0:
					return fmt.Errorf("%s is more than the total of %s, %s; nobody can be let off more", amount, o.Quote.Number, o.Quote.Offer.Total)
				case less != "":
					amount = amount.Neg()
				}
				if when.on.After(env.today()) {
					return fmt.Errorf("%s is still to come; record what has happened", when.on)
				}
				c := actual.Charge{Head: actual.Head{On: env.orToday(when.on), Note: when.note}, Order: o.Quote.Number, Amount: amount}
				return b.record(cmd.Context(), actual.Records{Charges: []actual.Charge{c}}, &o)
			})
		},
	}
	when.add(cmd, "why")
	cmd.Flags().StringVar(&less, "less", "", "the `MONEY` let off")
	cmd.Flags().StringVar(&more, "more", "", "the `MONEY` charged on top")
	return cmd
}

func actualMonth(env *Env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "month MONTH",
		Short:   "All that was recorded in a month, entry by entry",
		Example: `  marchpane actual month 2026-10`,
		Args:    arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.ofMonth(cmd.Context(), args[0], func(b bench, m actual.Month) error {
				found, err := b.ActualsIn(cmd.Context(), m.First(), m.Last())
				if err != nil {
					return err
				}
				docs := b.entryDocs(found)
				if env.json {
					return env.printJSON(monthDoc{m.String(), b.monthFigures(actual.NewLedger(found).Month(m)), docs})
				}
				if len(docs) == 0 {
					fmt.Fprintf(env.Out, "Nothing is recorded in %s. See how with: marchpane actual --help\n", m)
					return nil
				}
				printEntries(env, docs)
				return b.sayMonth(cmd.Context(), m)
			})
		},
	}
	return cmd
}

// monthDoc is the document of `actual month`.
type monthDoc struct {
	Month string `json:"month"`
	monthFigures
	Entries []entryDoc `json:"entries"`
}

// monthFigures are the sums of a month; what is not recorded is left out.
type monthFigures struct {
	Overhead string `json:"overhead_paid,omitempty"`
	Budget   string `json:"overhead_budget,omitempty"`
	Hours    string `json:"budgeted_hours,omitempty"`
	Energy   string `json:"energy_paid,omitempty"`
	KWh      string `json:"kwh,omitempty"`
	PerKWh   string `json:"per_kwh,omitempty"`
	Cakes    int    `json:"planned_cakes,omitempty"`
	Margin   string `json:"planned_margin,omitempty"`
}

func (b bench) monthFigures(m actual.MonthRecords) (f monthFigures) {
	cur := b.book.Studio.Currency
	if m.Overhead.Given {
		f.Overhead = cur.Round(m.Overhead.Value).String()
	}
	if m.Budget.Given {
		f.Budget = cur.Round(m.Budget.Value).String()
	}
	if m.Hours.Given {
		f.Hours = m.Hours.Value.Round(2).String()
	}
	if m.Energy.Given {
		f.Energy = cur.Round(m.Energy.Value).String()
	}
	if m.KWh.Given {
		f.KWh = m.KWh.Value.Round(3).String()
	}
	if per, known := m.PerKWh(); known {
		f.PerKWh = per.Fixed(4)
	}
	if m.Plan.Given {
		f.Cakes, f.Margin = m.Plan.Value.Cakes, cur.Round(m.Plan.Value.Margin).String()
	}
	return f
}

// sayMonth prints what the entries of a month come to.
func (b bench) sayMonth(ctx context.Context, m actual.Month) error {
	found, err := b.ActualsIn(ctx, m.First(), m.Last())
	if err != nil {
		return err
	}
	for _, s := range b.monthSums(actual.NewLedger(found).Month(m)) {
		fmt.Fprintf(b.env.Out, "%s: %s %s\n", m, s.Label, s.Text)
	}
	return nil
}

// monthSums puts what the entries of a month come to into words.
func (b bench) monthSums(m actual.MonthRecords) (list []web.Sum) {
	f := b.monthFigures(m)
	for _, line := range []struct {
		what, figure, unit string
		money              bool
	}{
		{"overhead paid", f.Overhead, "", true}, {"budget of overhead", f.Budget, "", true}, {"labour hours it is spread over", f.Hours, " h", false},
		{"energy paid", f.Energy, "", true}, {"energy used", f.KWh, " kWh", false}, {"a kWh cost", f.PerKWh, "", false}, // finer than money
	} {
		if line.figure != "" {
			list = append(list, web.Sum{Label: line.what, Text: line.figure + line.unit, Money: line.money})
		}
	}
	if f.Margin != "" {
		cakes := plural(f.Cakes, "cake", "cakes")
		list = append(list, web.Sum{Label: "planned are", Text: cakes + " with a margin of " + f.Margin, Planned: cakes, Margin: f.Margin})
	}
	return list
}
