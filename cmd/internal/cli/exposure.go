package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
)

func exposureCommand(env *Env) *cobra.Command {
	var on day.Date
	var all bool
	var step, plotFile string
	var top int
	cmd := &cobra.Command{
		Use:   "exposure CAKE|--all",
		Short: "Which prices carry the cost of a cake, and what each does to its margin",
		Long: `Which resources carry the cost of a cake: the share of each, which is also its
elasticity (a price 1 % higher makes the cake that share of 1 % dearer), and by
how much the margin falls or rises when that price alone moves by a step.
--all takes one of every cake together.`,
		Example: `  marchpane exposure wedding-three-tier
  marchpane exposure wedding-three-tier --step 20% --plot tornado.svg
  marchpane exposure --all`,
		Args:              cobra.MaximumNArgs(1),
		ValidArgsFunction: completeCakes(env),
		RunE: func(cmd *cobra.Command, args []string) error {
			factor, err := pricing.ReadFactor(step)
			switch {
			case err != nil:
				err = fmt.Errorf("--step: %w", err)
			case factor.Equal(exact.Int(1)):
				err = errors.New("--step: prices have to move; 10 % is usual")
			case top < 1:
				err = errors.New("--top: print at least 1")
			case all == (len(args) == 1):
				err = errors.New("name one cake, or say --all")
			}
			if err != nil {
				env.started = false
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			load := s.Priced
			if !all {
				load = compiledOf(s, book.ID(args[0]))
			}
			p, err := load(cmd.Context())
			if err != nil {
				return err
			}
			x := book.NewIndex(p.Book)
			rates := pricing.NewRates(x, env.orToday(on))
			var costings []pricing.Costing
			for _, t := range p.Takeoffs {
				c, err := t.Costing(x, rates)
				if err != nil {
					return err
				}
				costings = append(costings, c)
			}
			by := factor.Sub(exact.Int(1))
			list, err := pricing.ExposuresOfAll(costings, by)
			if err != nil {
				return err
			}
			name := "every cake, one of each"
			if !all {
				name = costings[0].Cake.Name
			}
			if plotFile != "" {
				if err := writePlot(plotFile, tornado(name, percent(by), list)); err != nil {
					return err
				}
			}
			if env.json {
				return env.printJSON(machine.ExposuresOf(list))
			}
			printExposures(env, x, name, by, list, top)
			return nil
		},
	}
	onFlag(cmd, &on)
	cmd.Flags().BoolVar(&all, "all", false, "one of every cake together")
	cmd.Flags().StringVar(&step, "step", "10 %", "by how much each price moves, `PERCENT`")
	cmd.Flags().IntVar(&top, "top", 20, "how many resources to print")
	cmd.Flags().StringVar(&plotFile, "plot", "", "also draw a tornado plot to this SVG or PNG `FILE`")
	return cmd
}

func printExposures(env *Env, x *book.Index, name string, by exact.Number, list []pricing.Exposure, top int) {
	cur := x.Book.Studio.Currency
	fmt.Fprintf(env.Out, "%s: what carries the cost\n\n", env.bold(name))
	t := table{heads: []string{"resource", "kind", cur.Code() + ">", "share>", "margin for ±" + percent(by) + ">"}}
	for _, e := range list[:min(top, len(list))] {
		swing := ""
		if e.HasSwing {
			swing = "∓" + e.Swing.Mul(exact.Int(100)).Fixed(2) + " points"
		}
		t.add(string(e.Resource), e.Kind.String(), cur.Round(e.Amount).String(), percent(e.Share), swing)
	}
	t.print(env)
	if len(list) > top {
		fmt.Fprintf(env.Out, "and %d more; see them with --top %d\n", len(list)-top, len(list))
	}
}
