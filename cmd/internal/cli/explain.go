package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
	"marchpane/pricing/money"
)

func explainCommand(env *Env) *cobra.Command {
	var on day.Date
	var by string
	cmd := &cobra.Command{
		Use:   "explain CAKE",
		Short: "Unfold the cost of a cake down to each gram",
		Long: `The cost of a cake as a tree: from the total to each tier, each part, each task
and each gram, with the working of every quantity and the price it was taken at.
Components are made once for the whole cake; they follow the tree of the cost,
unfolded down to what they are made of. Amounts on one level add up to the level
above.`,
		Example: `  marchpane explain wedding-three-tier
  marchpane explain wedding-three-tier --by class`,
		Args:              oneArgument,
		ValidArgsFunction: completeCakes(env),
		RunE: func(cmd *cobra.Command, args []string) error {
			explain := map[string]func(pricing.Costing) (pricing.Explanation, error){"place": pricing.ByPlace, "class": pricing.ByClass}[by]
			if explain == nil {
				env.started = false
				return fmt.Errorf("--by %s is unknown; use place or class", by)
			}
			x, c, err := env.costing(cmd.Context(), args[0], on)
			if err != nil {
				return err
			}
			e, err := explain(c)
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(machine.ExplanationOf(e))
			}
			printExplanation(env, x.Book.Studio.Currency, c, e)
			return nil
		},
	}
	onFlag(cmd, &on)
	cmd.Flags().StringVar(&by, "by", "place", "unfold by `place` (tier by tier) or by class of cost")
	return cmd
}

func printExplanation(env *Env, cur money.Currency, c pricing.Costing, e pricing.Explanation) {
	fmt.Fprintf(env.Out, "%s, with prices of %s, in %s\n\n", env.bold(c.Cake.Name), c.Rates.On(), cur.Code())
	p := treePrinter{env, cur}
	p.node(e.Cost, cur.Round(e.Cost.Amount), "", "")
	if len(e.Made) == 0 {
		return
	}
	fmt.Fprintf(env.Out, "\n%s (their cost stands in the tree above, where they are used)\n", env.bold("Made for it"))
	for _, n := range e.Made {
		fmt.Fprintln(env.Out)
		p.node(n, cur.Round(n.Amount), "", "")
	}
}

type treePrinter struct {
	env *Env
	cur money.Currency
}

// amountColumn is where amounts end on a line that is not too long.
const amountColumn = 12

func (p treePrinter) node(n pricing.Node, amount money.Amount, branch, indent string) {
	fmt.Fprintf(p.env.Out, "%*s  %s%s%s\n", amountColumn, amount, branch, p.label(n), p.env.faint(working(n)))
	amounts := make([]exact.Number, len(n.Children))
	for i, child := range n.Children {
		amounts[i] = child.Amount
	}
	for i, share := range money.Apportion(amount, amounts) {
		b, next := "├─ ", "│  "
		if i == len(n.Children)-1 {
			b, next = "└─ ", "   "
		}
		p.node(n.Children[i], share, indent+b, indent+next)
	}
}

func (p treePrinter) label(n pricing.Node) string {
	if len(n.Children) > 0 {
		return p.env.bold(n.Label)
	}
	return n.Label
}

// working says how a node's amount came about: ": 2 layers … = 412.6 g at
// 0.0101 (25.25 for 10 x 250 g, from 2026-10-05)".
func working(n pricing.Node) string {
	var out strings.Builder
	quantity := pricing.Brief(n.Quantity) + " " + n.Unit
	if said := pricing.Say(n.Working); said != "" && said != quantity {
		out.WriteString(": " + said)
	}
	if n.Unit != "" {
		sign := ": "
		if out.Len() > 0 {
			sign = " = "
		}
		out.WriteString(sign + quantity)
		fmt.Fprintf(&out, " at %s", pricing.Brief(n.PerUnit))
		if n.Price != "" {
			fmt.Fprintf(&out, " a %s (%s)", n.Unit, n.Price)
		}
	}
	return out.String()
}
