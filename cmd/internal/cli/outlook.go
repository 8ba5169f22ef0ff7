package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/risk"
)

func outlookCommand(env *Env) *cobra.Command {
	var today day.Date
	var level, option string
	var seed uint64
	var keepDrift bool
	cmd := &cobra.Command{
		Use:   "outlook QUOTE",
		Short: "What a quoted order may cost on its day, and the surcharge that covers it",
		Long: `What a quote or draft may cost on the day of its event, from the way its prices
have moved month by month: the median, the bands that hold 8 of 10 and 95 of 100
futures, the chance that its margin falls below the floor, and the surcharge that
brings that chance to a chosen level.

The futures are drawn from the price history with a fixed seed, so that a run
can be repeated. Where the history is too short to say anything, it says so and
gives no figure.`,
		Example: `  marchpane outlook 2026-0001
  marchpane outlook D1 --level 5% --seed 7`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			aim, err := readLevel(level)
			if err != nil {
				env.started = false
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			q, err := s.Quote(cmd.Context(), args[0], "", env.orToday(today))
			if err != nil {
				return err
			}
			if q.Quote, err = q.Offer(option); err != nil {
				return err
			}
			p, err := s.Priced(cmd.Context())
			if err != nil {
				return err
			}
			in, err := risk.OfQuote(book.NewIndex(p.Book), q.Quote, env.orToday(today))
			if err != nil {
				return err
			}
			in.Level, in.Seed, in.KeepDrift = aim, seed, keepDrift
			o, err := risk.Assess(in)
			var short *risk.TooShort
			switch {
			case errors.As(err, &short):
				if env.json {
					return env.printJSON(risk.RefusalOf(in, short))
				}
				fmt.Fprintln(env.Out, short)
				return nil
			case err != nil:
				return err
			case env.json:
				return env.printJSON(risk.DocumentOf(o))
			}
			printOutlook(env, quoteName(q)+" for "+q.Quote.Offer.Client.Name, o)
			return nil
		},
	}
	cmd.Flags().Var(dateFlag{&today}, "on", "as seen on this `DATE` (default: today)")
	cmd.Flags().StringVar(&option, "option", "", "which of several options: its `NAME` or number (default: the accepted one)")
	cmd.Flags().StringVar(&level, "level", "10 %", "the chance of a margin below the floor that the surcharge aims at, `PERCENT`")
	cmd.Flags().Uint64Var(&seed, "seed", 1, "of the drawing; the same gives the same figures")
	cmd.Flags().BoolVar(&keepDrift, "keep-drift", false, "let the average rise or fall of the past go on")
	return cmd
}

func readLevel(text string) (exact.Number, error) {
	factor, err := pricing.ReadFactor(text)
	level := factor.Sub(exact.Int(1))
	if err == nil && (level.Sign() <= 0 || level.Cmp(exact.Int(1)) >= 0) {
		err = errors.New("must be above 0 % and below 100 %")
	}
	if err != nil {
		return level, fmt.Errorf("--level: %w", err)
	}
	return level, nil
}

func printOutlook(env *Env, name string, o risk.Outlook) {
	fmt.Fprintf(env.Out, "%s\n\n", env.bold(name))
	t := table{heads: []string{"on the day of the event", ">"}}
	for _, row := range risk.Rows(o) {
		t.add(row.Label, row.Figure)
	}
	t.print(env)
	fmt.Fprintf(env.Out, "\n%s\n", env.bold("What moves the cost"))
	m := table{heads: []string{"", o.Currency.Code() + ">", "a year>", "of the spread>"}}
	for _, mv := range o.Moving {
		m.add(mv.Name, mv.Cost.String(), signedPercent(mv.YearlyDrift), percent(mv.Variance))
	}
	m.print(env)
	for _, part := range []struct {
		heading string
		lines   []string
	}{{"How it was reached", risk.Method(o)}, {"What it takes for granted", risk.Assumptions(o)}} {
		fmt.Fprintf(env.Out, "\n%s\n", env.bold(part.heading))
		for _, line := range part.lines {
			fmt.Fprintf(env.Out, "  %s\n", line)
		}
	}
}
