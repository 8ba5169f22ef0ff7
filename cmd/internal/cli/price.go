package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/web"
	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/pricelist"
	"marchpane/pricing/record"
	"marchpane/store"
)

func priceCommand(env *Env) *cobra.Command {
	return group("price", "Take in purchase prices, and look back over them",
		`Purchase prices are dated and only ever added: the newest that is in force counts,
and a wrong one is corrected by a later entry that says why.`,
		priceSet(env), priceHistory(env), priceImport(env))
}

func priceSet(env *Env) *cobra.Command {
	var from day.Date
	var pack, price, supplier, taxIn, note string
	cmd := &cobra.Command{
		Use:   "set INGREDIENT",
		Short: "Add a dated purchase price",
		Long: `Add the price of a pack of an ingredient or packaging from a day on. To correct a
price, add it again with the same day and a --note that says why: of two entries
of one day the later counts, and both stay in the history.`,
		Example: `  marchpane price set butter --pack "10 x 250 g" --price 25.25 --from 2026-10-05
  marchpane price set sugarpaste --pack "5 kg" --price 27.06 --tax-in "23 %" --supplier "Dry store"
  marchpane price set butter --pack "10 x 250 g" --price 25.52 --from 2026-10-05 --note "typed the digits the wrong way round"`,
		Args:              oneArgument,
		ValidArgsFunction: completeIngredients(env),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, err := readPrice(pack, price, supplier, taxIn, note)
			if err != nil {
				env.started = false
				return err
			}
			p.From = env.orToday(from)
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			return addPrice(cmd.Context(), env, s, book.ID(args[0]), p)
		},
	}
	cmd.Flags().StringVar(&pack, "pack", "", "what is in the pack, `\"10 x 250 g\"`")
	cmd.Flags().StringVar(&price, "price", "", "what the whole `PACK` costs, 25.25")
	cmd.Flags().Var(dateFlag{&from}, "from", "the `DATE` from which it holds (default: today)")
	cmd.Flags().StringVar(&supplier, "supplier", "", "who sells it (default: the one of the price in force)")
	cmd.Flags().StringVar(&taxIn, "tax-in", "", "the `PERCENT` of tax that the price holds")
	cmd.Flags().StringVar(&note, "note", "", "why, for a correction")
	cmd.MarkFlagRequired("pack")
	cmd.MarkFlagRequired("price")
	return cmd
}

func readPrice(pack, price, supplier, taxIn, note string) (p book.Price, err error) {
	if p.Pack, err = pricelist.ReadPack(pack, pricelist.Point); err != nil {
		return p, fmt.Errorf("--pack: %w", err)
	}
	if p.Price, err = money.ParsePrice(price); err != nil {
		return p, fmt.Errorf("--price: %w", err)
	}
	if taxIn != "" {
		rate, err := measure.ParsePercent(spacedPercent(taxIn))
		if err != nil {
			return p, fmt.Errorf("--tax-in: %w", err)
		}
		p.TaxIn = record.Some(rate)
	}
	if supplier != "" {
		p.Supplier = record.Some(supplier)
	}
	if note != "" {
		p.Note = record.Some(note)
	}
	return p, nil
}

// spacedPercent writes "23%" as "23 %", which is as clear.
func spacedPercent(text string) string {
	if bare, ok := strings.CutSuffix(strings.TrimSpace(text), "%"); ok {
		return strings.TrimSpace(bare) + " %"
	}
	return text
}

func addPrice(ctx context.Context, env *Env, s *store.Store, id book.ID, p book.Price) error {
	b, err := s.Book(ctx)
	if err != nil {
		return err
	}
	x := book.NewIndex(b)
	if _, err := pricing.ResourceKind(x, id); err != nil {
		return err
	}
	it, ok := x.Item(id)
	if !ok {
		return fmt.Errorf("%s is no ingredient or packaging; change wages, energy and overhead in a book file: marchpane book import FILE", id)
	}
	if d := it.Ingredient.Measure; p.Pack.Dimension() != d {
		return fmt.Errorf("%q is a %s, but %s is bought by %s; write the pack in %s", p.Pack, p.Pack.Dimension(), it.Ingredient.Name, d, strings.Join(measure.Symbols(d), ", "))
	}
	before, errBefore := it.Ingredient.PriceOn(p.From)
	if !p.Supplier.Given && errBefore == nil {
		p.Supplier = before.Supplier
	}
	if !p.TaxIn.Given && errBefore == nil {
		p.TaxIn = before.TaxIn
	}
	if err := needsNote(it.Ingredient, p); err != nil {
		return err
	}
	changes, err := s.Import(ctx, pricelist.File(b, []pricelist.Dated{{Ingredient: id, Price: p}}), false, "price set", env.Now())
	if err != nil {
		return err
	}
	n := changes.Prices
	if env.json {
		return env.printJSON(map[string]int{"prices_added": n})
	}
	if n == 0 {
		fmt.Fprintf(env.Out, "%s has that price already; nothing was added.\n", it.Ingredient.Name)
		return nil
	}
	fmt.Fprintf(env.Out, "%s: %s for %s from %s.\n", it.Ingredient.Name, p.Price, p.Pack, p.From)
	if own := it.Ingredient.Supplier; own.Given && p.Supplier.Or("") != own.Value {
		fmt.Fprintf(env.Out, "It does not count while the book buys %s from %s alone.\n", it.Ingredient.Name, own.Value)
		return nil
	}
	ing := *it.Ingredient
	ing.Prices = append(slices.Clone(ing.Prices), p)
	if now, err := ing.PriceOn(env.today()); err == nil && now.From.After(p.From) {
		fmt.Fprintf(env.Out, "A later price counts today: %s for %s from %s.\n", now.Price, now.Pack, now.From)
		return nil
	}
	if errBefore == nil {
		was, is := before.PerBase(b.Studio), p.PerBase(b.Studio)
		if !was.IsZero() {
			fmt.Fprintf(env.Out, "That is %s against %s before (%s).\n", perUsual(is, it.Ingredient.Measure), perUsual(was, it.Ingredient.Measure), signedPercent(is.Quo(was).Sub(exact.Int(1))))
		}
	}
	fmt.Fprintf(env.Out, "See what it does to margins with: marchpane cakes, or marchpane exposure --all\n")
	return nil
}

// needsNote refuses to correct an entry of the same day and supplier without a
// reason.
func needsNote(ing *book.Ingredient, p book.Price) error {
	if p.Note.Given {
		return nil
	}
	for _, old := range ing.Prices {
		if old.From == p.From && old.Supplier.Or("") == p.Supplier.Or("") && old.Pack.String() == p.Pack.String() &&
			!old.Price.Decimal().Equal(p.Price.Decimal()) && old.Pack.Dimension() == p.Pack.Dimension() {
			return fmt.Errorf("%s has a price of %s for %s from %s already; say why this one corrects it, with --note", ing.Name, old.Price, old.Pack, old.From)
		}
	}
	return nil
}

// perUsual prints money for the amount in which people compare prices: a kg, a
// litre, a metre, a square metre, a piece.
func perUsual(perBase exact.Number, d measure.Dimension) string {
	times, unit := pricing.Spoken(d)
	return perBase.Mul(times).Fixed(4) + " " + unit
}

func signedPercent(n exact.Number) string {
	if n.Sign() > 0 {
		return "+" + percent(n)
	}
	return percent(n)
}

func priceHistory(env *Env) *cobra.Command {
	var since, until day.Date
	var plotFile string
	cmd := &cobra.Command{
		Use:   "history INGREDIENT",
		Short: "Every price of an ingredient, and how it moved",
		Long: `Every price of an ingredient in the order of its days, what that is for a kg, litre
or piece without recoverable tax, and the change from one to the next of the same
supplier; the change over the whole span; and who is cheapest now.`,
		Example: `  marchpane price history butter
  marchpane price history butter --since 2026-01-01 --plot butter.svg`,
		Args:              oneArgument,
		ValidArgsFunction: completeIngredients(env),
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			p, err := s.Priced(cmd.Context())
			if err != nil {
				return err
			}
			x := book.NewIndex(p.Book)
			if err := checkResource(cmd.Context(), s, x, book.ID(args[0])); err != nil {
				return err
			}
			it, ok := x.Item(book.ID(args[0]))
			if !ok {
				return fmt.Errorf("%s is no ingredient or packaging", args[0])
			}
			h := pricing.HistoryOf(p.Book.Studio, it.Ingredient, since, until, env.today())
			if plotFile != "" && len(h.Entries) > 0 {
				if err := writePlot(plotFile, web.HistoryPlot(p.Book.Studio, it.Ingredient, h, env.today())); err != nil {
					return err
				}
			}
			if env.json {
				return env.printJSON(machine.HistoryOf(h))
			}
			printHistory(env, p.Book.Studio, it.Ingredient, h)
			return nil
		}),
	}
	cmd.Flags().Var(dateFlag{&since}, "since", "from this `DATE` on (default: the first price)")
	cmd.Flags().Var(dateFlag{&until}, "until", "to this `DATE` (default: the last price)")
	cmd.Flags().StringVar(&plotFile, "plot", "", "also draw it to this SVG or PNG `FILE`")
	return cmd
}

func printHistory(env *Env, s book.Studio, ing *book.Ingredient, h pricing.History) {
	if len(h.Entries) == 0 {
		fmt.Fprintf(env.Out, "%s has no price in that time.\n", ing.Name)
		return
	}
	times, unit := pricing.Spoken(ing.Measure)
	fmt.Fprintf(env.Out, "%s\n\n", env.bold(ing.Name))
	t := table{heads: []string{"from", "supplier", "pack", s.Currency.Code() + ">", unit + ">", "change>", "note"}}
	for _, e := range h.Entries {
		change := ""
		if e.HasChange {
			change = signedPercent(e.Change)
		}
		t.add(e.Price.From.String(), e.Price.Supplier.Value, e.Price.Pack.String(), e.Price.Price.String(), e.PerBase.Mul(times).Fixed(4), change, e.Price.Note.Value)
	}
	t.print(env)
	if h.HasSpan {
		fmt.Fprintf(env.Out, "\nfrom %s to %s the price in force went from %s to %s: %s\n", h.First, h.Last, perUsual(h.FirstPer, ing.Measure), perUsual(h.LastPer, ing.Measure), signedPercent(h.Span))
	}
	if h.Cheapest != nil {
		fmt.Fprintf(env.Out, "cheapest now: %s\n", cheapestText(*h.Cheapest, ing))
	}
}

func cheapestText(e pricing.HistoryEntry, ing *book.Ingredient) string {
	who := e.Price.Supplier.Or("the only supplier")
	return fmt.Sprintf("%s, %s for %s, %s", who, e.Price.Price, e.Price.Pack, perUsual(e.PerBase, ing.Measure))
}

// completeIngredients offers the ingredients of the store to the shell.
func completeIngredients(env *Env) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		s, err := env.open(cmd.Context())
		if err != nil || len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		defer s.Close()
		p, err := s.Priced(cmd.Context())
		if err != nil && !errors.Is(err, store.ErrEmpty) {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		var ids []string
		for _, ing := range p.Book.Ingredients {
			ids = append(ids, string(ing.ID)+"\t"+ing.Name)
		}
		slices.Sort(ids)
		return ids, cobra.ShellCompDirectiveNoFileComp
	}
}
