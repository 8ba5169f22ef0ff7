package cli

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
	"marchpane/store"
	"marchpane/templates/sheet"
)

func costCommand(env *Env) *cobra.Command {
	var on day.Date
	var file string
	cmd := &cobra.Command{
		Use:   "cost CAKE",
		Short: "What a cake costs, by class, and what to charge",
		Long: `What a cake costs, by class, what its target asks for and what it earns at its
price. With --sheet it also writes the cost sheet, a spreadsheet with live
formulas: change a pack price or a wage there and every total follows.`,
		Example: `  marchpane cost wedding-three-tier
  marchpane cost wedding-three-tier --on 2026-10-05 --json
  marchpane cost wedding-three-tier --sheet wedding.xlsx`,
		Args:              oneArgument,
		ValidArgsFunction: completeCakes(env),
		RunE: func(cmd *cobra.Command, args []string) error {
			// The sheet shows every use; without it the compiled bill is enough.
			load := env.compiledCosting
			if file != "" {
				load = env.costing
			}
			x, c, err := load(cmd.Context(), args[0], on)
			if err != nil {
				return err
			}
			if file != "" {
				if err := writeFile(file, func(w io.Writer) error { return sheet.Cost(w, x, c) }); err != nil {
					return err
				}
			}
			if env.json {
				return env.printJSON(machine.CostOf(c))
			}
			printCost(env, x, c)
			if file != "" {
				fmt.Fprintf(env.Out, "\nThe cost sheet is %s.\n", file)
			}
			return nil
		},
	}
	onFlag(cmd, &on)
	cmd.Flags().StringVar(&file, "sheet", "", "also write the cost sheet to this XLSX `FILE`")
	return cmd
}

// costing loads what a cake needs and costs it.
func (e *Env) costing(ctx context.Context, cake string, on day.Date) (*book.Index, pricing.Costing, error) {
	s, err := e.open(ctx)
	if err != nil {
		return nil, pricing.Costing{}, err
	}
	defer s.Close()
	b, err := s.BookOf(ctx, []book.ID{book.ID(cake)}, false)
	if err != nil {
		return nil, pricing.Costing{}, err
	}
	x := book.NewIndex(b)
	c, err := pricing.CostCake(x, book.ID(cake), pricing.NewRates(x, e.orToday(on)))
	return x, c, err
}

// compiledCosting costs a cake from its compiled bill: the same cost, without
// the single uses behind it.
func (e *Env) compiledCosting(ctx context.Context, cake string, on day.Date) (*book.Index, pricing.Costing, error) {
	s, err := e.open(ctx)
	if err != nil {
		return nil, pricing.Costing{}, err
	}
	defer s.Close()
	p, err := compiledOf(s, book.ID(cake))(ctx)
	if err != nil {
		return nil, pricing.Costing{}, err
	}
	x := book.NewIndex(p.Book)
	c, err := p.Takeoffs[0].Costing(x, pricing.NewRates(x, e.orToday(on)))
	return x, c, err
}

// compiledOf loads one cake as compiled.
func compiledOf(s *store.Store, cake book.ID) func(context.Context) (store.Priced, error) {
	return func(ctx context.Context) (store.Priced, error) { return s.Compiled(ctx, []book.ID{cake}) }
}

func printCost(env *Env, x *book.Index, c pricing.Costing) {
	studio := x.Book.Studio
	cur := studio.Currency
	fmt.Fprintf(env.Out, "%s, with prices of %s\n", env.bold(c.Cake.Name), c.Rates.On())
	fmt.Fprintf(env.Out, "%s\n\n", portionsText(c.Takeoff))

	parts := addUp(cur, c.Cost.Ingredients, c.Cost.Packaging, c.Cost.Labour, c.Cost.Equipment, c.Cost.Overhead)
	total := c.Cost.Total()
	t := table{heads: []string{"cost", cur.Code() + ">", "share>"}}
	for i, name := range []string{"ingredients", "packaging", "labour", "equipment and energy", "overhead"} {
		share := ""
		if !total.IsZero() {
			share = percent([]exact.Number{c.Cost.Ingredients, c.Cost.Packaging, c.Cost.Labour, c.Cost.Equipment, c.Cost.Overhead}[i].Quo(total))
		}
		t.add(name, parts[i].String(), share)
	}
	t.foot = []string{"total", cur.Round(total).String(), ""}
	t.print(env)
	if per, ok := pricing.PerPortion(total, c.Takeoff.Served); ok {
		fmt.Fprintf(env.Out, "per portion served: %s\n", cur.Round(per))
	}
	fmt.Fprintf(env.Out, "hands-on time: %s h\n\n", c.Takeoff.Bill.Minutes().Mul(exact.Frac(1, 60)).Fixed(1))

	p := table{heads: []string{"price", cur.Code() + ">"}}
	if c.Offer.HasGoal {
		p.add("the target asks for", cur.Round(c.Offer.Target).String())
	}
	if c.Offer.Listed {
		p.add("list price", cur.Round(c.Offer.Shown).String())
	}
	if c.Offer.HasPrice {
		p.add("without tax", cur.Round(c.Offer.Net).String())
		p.print(env)
	}
	if m, ok := c.Margin(); ok {
		floor := studio.FloorMargin.Or(measure.Percent{}).Fraction()
		note := ""
		if m.Cmp(floor) < 0 {
			note = ", below the floor of " + percent(floor)
		}
		fmt.Fprintf(env.Out, "margin: %s%s\n", percent(m), note)
	}
}

func portionsText(t pricing.Takeoff) string {
	if t.Made == t.Served {
		return plural(t.Served, "portion", "portions")
	}
	return fmt.Sprintf("%s served, %d made", plural(t.Served, "portion", "portions"), t.Made)
}

func billCommand(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "bill CAKE",
		Short: "Everything a cake takes, in the units it is bought in",
		Long: `The bill of a cake: how much of every ingredient, packaging, role, appliance and
of overhead it takes. Quantities come from the design alone, so that the bill
stays the same whatever prices do.`,
		Example:           `  marchpane bill wedding-three-tier`,
		Args:              oneArgument,
		ValidArgsFunction: completeCakes(env),
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			b, err := s.BookOf(cmd.Context(), []book.ID{book.ID(args[0])}, false)
			if err != nil {
				return err
			}
			takeoff, err := pricing.TakeCake(book.NewIndex(b), book.ID(args[0]))
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(machine.BillOf(takeoff.Bill))
			}
			t := table{heads: []string{"resource", "kind", "quantity>", "unit"}}
			for _, l := range takeoff.Bill {
				t.add(string(l.Resource), l.Kind.String(), l.Quantity.Fixed(2), l.Unit)
			}
			t.print(env)
			return nil
		}),
	}
}

func cakesCommand(env *Env) *cobra.Command {
	var on day.Date
	cmd := &cobra.Command{
		Use:     "cakes",
		Short:   "Every cake with its portions, cost, price and margin",
		Example: `  marchpane cakes --on 2026-10-05`,
		Args:    cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			b, err := s.Book(cmd.Context())
			if err != nil {
				return err
			}
			return listCakes(env, b, env.orToday(on))
		}),
	}
	onFlag(cmd, &on)
	return cmd
}

func listCakes(env *Env, b book.Book, on day.Date) error {
	x := book.NewIndex(b)
	rates := pricing.NewRates(x, on)
	cur := b.Studio.Currency
	floor := b.Studio.FloorMargin.Or(measure.Percent{}).Fraction()
	t := table{heads: []string{"cake", "name", "portions>", "cost>", "price>", "margin>", ""}}
	docs := []machine.Cost{}
	for _, k := range b.Cakes {
		c, err := pricing.CostCake(x, k.ID, rates)
		if err != nil {
			return err
		}
		docs = append(docs, machine.CostOf(c))
		price, margin, note := "", "", ""
		if c.Offer.HasPrice {
			price = cur.Round(c.Offer.Shown).String()
		}
		if m, ok := c.Margin(); ok {
			margin = percent(m)
			if m.Cmp(floor) < 0 {
				note = "below floor"
			}
		}
		t.add(string(k.ID), k.Name, fmt.Sprint(c.Takeoff.Served), cur.Round(c.Cost.Total()).String(), price, margin, note)
	}
	if env.json {
		return env.printJSON(docs)
	}
	if len(b.Cakes) == 0 {
		fmt.Fprintln(env.Out, "The store holds no cakes yet. Add some to a book file and load it with: marchpane book import FILE")
		return nil
	}
	fmt.Fprintf(env.Out, "Prices of %s in %s\n\n", on, cur.Code())
	t.print(env)
	return nil
}

// completeCakes offers the cakes of the store for completion in the shell.
func completeCakes(env *Env) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		s, err := env.open(cmd.Context())
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		defer s.Close()
		b, err := s.Book(cmd.Context())
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		var ids []string
		for _, k := range b.Cakes {
			ids = append(ids, string(k.ID)+"\t"+k.Name)
		}
		return ids, cobra.ShellCompDirectiveNoFileComp
	}
}
