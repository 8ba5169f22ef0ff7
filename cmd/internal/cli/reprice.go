package cli

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
	"marchpane/store"
)

func repriceCommand(env *Env) *cobra.Command {
	var on, from day.Date
	var toTarget, apply bool
	var maxRise string
	cmd := &cobra.Command{
		Use:   "reprice --to-target",
		Short: "Propose list prices that meet the targets at today's costs",
		Long: `Propose a list price for every cake that meets its target at today's cost, on the
studio's price step. --max-rise holds each rise to a share of the old price.
Nothing is changed unless --apply is said: then each new price becomes the list
price from a day on (--from, else the day of the costs). Earlier list prices
stay, so that reports of past months stay true.`,
		Example: `  marchpane reprice --to-target
  marchpane reprice --to-target --max-rise 8%
  marchpane reprice --to-target --max-rise 8% --apply --from 2027-01-01`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			limit, err := riseLimit(maxRise)
			if err == nil && !toTarget {
				err = errors.New("say what the prices are to meet: --to-target")
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
			p, err := s.Priced(cmd.Context())
			if err != nil {
				return err
			}
			day := env.orToday(on)
			if from.IsZero() {
				from = day
			}
			if apply && from.Before(env.today()) {
				return fmt.Errorf("--from %s is past: list prices of days gone by stay as they were, so that reports of them stay true; name today or a later day", from)
			}
			x := book.NewIndex(p.Book)
			proposals, err := pricing.ProposeAll(x, p.Takeoffs, pricing.NewRates(x, day), limit)
			if err != nil {
				return err
			}
			if apply {
				if err := applyPrices(cmd.Context(), env, s, proposals, from); err != nil {
					return err
				}
			}
			if env.json {
				docs := []machine.Proposal{}
				for _, pr := range proposals {
					docs = append(docs, machine.ProposalOf(pr))
				}
				return env.printJSON(docs)
			}
			printProposals(env, x, proposals, apply, from)
			return nil
		},
	}
	onFlag(cmd, &on)
	cmd.Flags().BoolVar(&toTarget, "to-target", false, "meet each cake's target, or the studio's")
	cmd.Flags().StringVar(&maxRise, "max-rise", "", "hold each rise to this `PERCENT` of the old price")
	cmd.Flags().BoolVar(&apply, "apply", false, "make the proposals the list prices")
	cmd.Flags().Var(dateFlag{&from}, "from", "with --apply: the `DATE` from which they hold")
	return cmd
}

func riseLimit(text string) (*exact.Number, error) {
	if text == "" {
		return nil, nil
	}
	factor, err := pricing.ReadFactor(text)
	if err != nil {
		return nil, fmt.Errorf("--max-rise: %w", err)
	}
	limit := factor.Sub(exact.Int(1))
	if limit.Sign() < 0 {
		return nil, errors.New("--max-rise must not be negative")
	}
	return &limit, nil
}

// applyPrices adds the new list prices to the book, from a day on.
func applyPrices(ctx context.Context, env *Env, s *store.Store, proposals []pricing.Proposal, from day.Date) error {
	b, err := s.Book(ctx)
	if err != nil {
		return err
	}
	whole := book.NewIndex(b)
	file := book.Book{Format: book.Format, Studio: b.Studio}
	for _, p := range proposals {
		if !p.Changes {
			continue
		}
		cake, _ := whole.Cake(p.Cake.ID)
		changed := *cake
		changed.ListPrices = []book.ListPrice{p.ListPrice(b.Studio, from)}
		file.Cakes = append(file.Cakes, changed)
	}
	_, err = s.Import(ctx, file, false, "reprice", env.Now())
	return err
}

func printProposals(env *Env, x *book.Index, proposals []pricing.Proposal, applied bool, from day.Date) {
	cur := x.Book.Studio.Currency
	t := table{heads: []string{"cake", "cost>", "old price>", "margin>", "new price>", "margin>", "rise>", ""}}
	changes := 0
	for _, p := range proposals {
		rise, note := "", ""
		if p.Changes {
			changes++
			if !p.Old.Shown.IsZero() {
				rise = percent(p.New.Sub(p.Old.Shown).Quo(p.Old.Shown))
			}
		}
		if p.Capped {
			note = "held to the largest rise"
		}
		t.add(string(p.Cake.ID), cur.Round(p.Cost).String(), cur.Round(p.Old.Shown).String(), percent(p.MarginIs), cur.Round(p.New).String(), percent(p.Margin), rise, note)
	}
	t.print(env)
	switch {
	case changes == 0:
		fmt.Fprintln(env.Out, "\nEvery cake is at its target already.")
	case applied:
		fmt.Fprintf(env.Out, "\n%s from %s on.\n", plural(changes, "new list price holds", "new list prices hold"), from)
	default:
		fmt.Fprintf(env.Out, "\n%s. Nothing is changed yet; add --apply to make them the list prices.\n", plural(changes, "price would change", "prices would change"))
	}
}
