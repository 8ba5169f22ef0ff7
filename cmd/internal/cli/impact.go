package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

func impactCommand(env *Env) *cobra.Command {
	var on day.Date
	var change, price string
	cmd := &cobra.Command{
		Use:   "impact RESOURCE",
		Short: "What a changed price does to the margin of every cake",
		Long: `What a changed price of one resource does to every cake that uses it: cost and
margin before and after at the price the cake has today, whether it falls below
the floor, and the break-even price of a base unit at which it would just meet
the floor.

The resource is an ingredient, packaging, a role, an appliance, energy or
overhead. Name the new price for a pack, "10 x 250 g=25.25", for an hour of work
or wear, "1 h=19.50", for energy "1 kWh=0.41"; or a change in per cent, which
may be negative.`,
		Example: `  marchpane impact butter --change "18 %"
  marchpane impact butter --price "10 x 250 g=25.25" --on 2026-10-05
  marchpane impact decorator --price "1 h=24.00"`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			c, err := readChange(args[0], change, price)
			if err != nil {
				env.started = false
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			b, err := s.Book(cmd.Context())
			if err != nil {
				return err
			}
			x := book.NewIndex(b)
			impacts, err := pricing.Impacts(x, pricing.NewRates(x, env.orToday(on)), c)
			if err != nil {
				return err
			}
			return printImpacts(env, b, c.Resource, impacts)
		},
	}
	onFlag(cmd, &on)
	cmd.Flags().StringVar(&change, "change", "", "a rise or fall, such as `\"18 %\"` or \"-5 %\"")
	cmd.Flags().StringVar(&price, "price", "", "a new price for a pack, such as `\"10 x 250 g=25.25\"`")
	cmd.MarkFlagsOneRequired("change", "price")
	cmd.MarkFlagsMutuallyExclusive("change", "price")
	return cmd
}

func readChange(resource, change, price string) (pricing.Change, error) {
	c := pricing.Change{Resource: book.ID(resource)}
	if change != "" {
		figure, fall := strings.CutPrefix(strings.TrimPrefix(change, "+"), "-")
		if bare, ok := strings.CutSuffix(figure, "%"); ok {
			figure = strings.TrimSpace(bare) + " %" // "18%" is as clear
		}
		p, err := measure.ParsePercent(figure)
		if err != nil {
			return c, fmt.Errorf("--change: %w", err)
		}
		c.Factor = pricing.ByPercent(p, fall)
		if c.Factor.Sign() < 0 {
			return c, errors.New("--change: a price cannot fall by more than 100 %")
		}
		return c, nil
	}
	i := strings.LastIndex(price, "=")
	if i < 0 {
		return c, fmt.Errorf("--price %q needs a pack, = and a price, such as \"10 x 250 g=25.25\"", price)
	}
	text := strings.TrimSpace(price[:i])
	if text == "1 cake" { // flat overhead is priced by the cake
		text = "1 each"
	}
	pack, err := measure.ParsePack(text)
	if err != nil {
		return c, fmt.Errorf("--price: %w", err)
	}
	figure, err := money.ParsePrice(strings.TrimSpace(price[i+1:]))
	if err != nil {
		return c, fmt.Errorf("--price: %w", err)
	}
	c.Pack, c.Price = &pack, figure
	return c, nil
}

func printImpacts(env *Env, b book.Book, resource book.ID, impacts []pricing.Impact) error {
	docs := []machine.Impact{}
	cur := b.Studio.Currency
	t := table{heads: []string{"cake", "cost before>", "after>", "margin before>", "after>", "break-even>", ""}}
	for _, im := range impacts {
		doc := machine.ImpactOf(im)
		docs = append(docs, doc)
		was, is, even, note := "", "", "", ""
		if im.HasMargin {
			was, is, even = percent(im.MarginWas), percent(im.MarginIs), "none"
			if im.Reachable {
				even = pricing.Brief(im.BreakEven)
			}
			if im.BelowFloor {
				note = "below floor"
			}
		}
		t.add(string(im.Cake), cur.Round(im.Before).String(), cur.Round(im.After).String(), was, is, even, note)
	}
	if env.json {
		return env.printJSON(docs)
	}
	if len(impacts) == 0 {
		fmt.Fprintf(env.Out, "No cake uses %s.\n", resource)
		return nil
	}
	t.print(env)
	return nil
}
