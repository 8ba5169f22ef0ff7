package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/pricelist"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// buyFlags are the command line of `actual bought`.
type buyFlags struct {
	packs, pack, price, supplier, invoice, taxIn, note, order, from string
	on                                                              day.Date
}

func actualBought(env *Env) *cobra.Command {
	var f buyFlags
	cmd := &cobra.Command{
		Use:   "bought INGREDIENT",
		Short: "Record a purchase at the price of its invoice",
		Long: `Record packs that were bought, at the price of the invoice. The price of a pack goes
into the price history as "price set" would put it there, unless the price in force
says the same already.

The actual price of an ingredient in an order is the average of what was bought of it
for that order (--for), or else of all that was bought for the store room from the
day the order was accepted to the day of its event. Where nothing was, the price of
the quote stands in.

A whole invoice comes from a CSV or XLSX file with --from. Its first row names the
columns: ingredient (id, name, or what the supplier calls it, once "price import" was
told), packs, pack, price, and where needed tax_in, order and note. Either all of it
is recorded or nothing:

  ingredient,packs,pack,price
  butter,2,5 kg,41.20
  lemon,1,5 kg,12.90`,
		Example: `  marchpane actual bought butter --packs 2 --pack "5 kg" --price 41.20 --supplier "Dairy round" --invoice 123
  marchpane actual bought gold-leaf --pack "25 each" --price 38.00 --for 2026-0001 --tax-in "23 %"
  marchpane actual bought --from invoice.csv --supplier "Dry store" --invoice 2026/881 --on 2026-11-20`,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.from == "" {
				return oneArgument(cmd, args)
			}
			if len(args) > 0 {
				return fmt.Errorf("%s takes what was bought from %s; leave %q out", cmd.CommandPath(), f.from, args[0])
			}
			return nil
		},
		ValidArgsFunction: completeIngredients(env),
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx := cmd.Context()
			if f.from == "" {
				line, err := f.line(args[0])
				if err != nil {
					env.started = false
					return err
				}
				return env.work(ctx, func(b bench) error {
					o, err := b.orderOf(ctx, f.order)
					if err != nil {
						return err
					}
					e, err := b.desk.Purchase(line, orderNumber(o))
					if err != nil {
						return err
					}
					return b.record(ctx, actual.Records{Purchases: []actual.Purchase{e}}, o)
				})
			}
			return env.work(ctx, func(b bench) error { return b.invoice(ctx, f) })
		},
	}
	fl := cmd.Flags()
	fl.StringVar(&f.packs, "packs", "1", "how many packs, `NUMBER`")
	fl.StringVar(&f.pack, "pack", "", "what is in a pack, `\"10 x 250 g\"`")
	fl.StringVar(&f.price, "price", "", "what one `PACK` cost, 41.20")
	fl.StringVar(&f.supplier, "supplier", "", "who sold it (default: the one of the price in force)")
	fl.StringVar(&f.invoice, "invoice", "", "`NUMBER` of the invoice")
	fl.StringVar(&f.taxIn, "tax-in", "", "the `PERCENT` of tax that the price holds (default: that of the price in force)")
	fl.StringVar(&f.order, "for", "", "the `ORDER` that it was bought for (default: the store room)")
	fl.Var(dateFlag{&f.on}, "on", "the `DATE` of the purchase (default: today)")
	fl.StringVar(&f.note, "note", "", "a note, in `WORDS`")
	fl.StringVar(&f.from, "from", "", "record a whole invoice from a CSV or XLSX `FILE`")
	return cmd
}

func (f buyFlags) line(ingredient string) (line actual.GoodsBought, err error) {
	for flag, text := range map[string]string{"--pack": f.pack, "--price": f.price} {
		if text == "" {
			return line, fmt.Errorf("%s is missing; a purchase needs --pack \"5 kg\" and --price 41.20", flag)
		}
	}
	p, err := readPrice(f.pack, f.price, f.supplier, f.taxIn, f.note)
	if err != nil {
		return line, err
	}
	line = actual.GoodsBought{Use: book.ID(ingredient), Pack: p.Pack, Price: p.Price, TaxIn: p.TaxIn, Supplier: f.supplier, Invoice: f.invoice, On: f.on, Note: f.note}
	if err := line.Packs.UnmarshalText([]byte(f.packs)); err != nil {
		return line, fmt.Errorf("--packs: %w", err)
	}
	return line, nil
}

// orderOf finds an order, nil where none is named.
func (b bench) orderOf(ctx context.Context, ref string) (*quote.Order, error) {
	if ref == "" {
		return nil, nil
	}
	o, err := b.Order(ctx, ref)
	return &o, err
}

func orderNumber(o *quote.Order) string {
	if o == nil {
		return ""
	}
	return o.Quote.Number
}

// columns of an invoice file.
var invoiceColumns = []string{"ingredient", "packs", "pack", "price", "tax_in", "order", "note"}

// invoice records every row of an invoice file.
func (b bench) invoice(ctx context.Context, f buyFlags) error {
	list, err := intake.Open(f.from, intake.Options{RecoversTax: b.book.Studio.RecoversTax.Or(false)})
	if err != nil {
		return err
	}
	entries, err := b.invoiceEntries(ctx, f, list)
	if err != nil {
		return err
	}
	return b.record(ctx, entries, nil)
}

// invoiceEntries reads every row of an invoice file, with the fault of each.
func (b bench) invoiceEntries(ctx context.Context, f buyFlags, list intake.List) (entries actual.Records, err error) {
	if len(list.Rows) == 0 {
		return entries, fmt.Errorf("%s is empty; its first row names the columns: %s", f.from, strings.Join(invoiceColumns, ", "))
	}
	at, err := columnsOf(list.Rows[0])
	if err != nil {
		return entries, fmt.Errorf("%s: %w", f.from, err)
	}
	_, aliases, err := b.Supplier(ctx, f.supplier)
	if err != nil {
		return entries, err
	}
	var faults record.Faults
	for _, row := range list.Rows[1:] {
		e, err := b.invoiceRow(ctx, f, row, at, aliases)
		if err != nil {
			faults.Add(fmt.Sprintf("%s row %d", f.from, row.Number), "%s", err)
			continue
		}
		entries.Purchases = append(entries.Purchases, e)
	}
	if len(faults) > 0 {
		return actual.Records{}, faults
	}
	if len(entries.Purchases) == 0 {
		return entries, fmt.Errorf("%s has a heading and no rows; nothing was recorded", f.from)
	}
	return entries, nil
}

// columnsOf finds the columns of an invoice by their names.
func columnsOf(head pricelist.Row) (map[string]int, error) {
	at := map[string]int{}
	for i, c := range head.Cells {
		name := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(c.Text)), " ", "_")
		for _, known := range invoiceColumns {
			if name == known {
				at[known] = i
			}
		}
	}
	for _, name := range invoiceColumns[:4] {
		if _, there := at[name]; !there {
			return nil, fmt.Errorf("row %d names no column %q; the first row names ingredient, packs, pack and price", head.Number, name)
		}
	}
	return at, nil
}

func (b bench) invoiceRow(ctx context.Context, f buyFlags, row pricelist.Row, at map[string]int, aliases []pricelist.Alias) (e actual.Purchase, err error) {
	cell := func(name string) string {
		if i, there := at[name]; there {
			return strings.TrimSpace(row.Cell(i).Text)
		}
		return ""
	}
	said := cell("ingredient")
	line := actual.GoodsBought{Use: book.ID(said), Supplier: f.supplier, Invoice: f.invoice, On: f.on, Note: cell("note")}
	for _, a := range aliases {
		if a.Ingredient != "" && (strings.EqualFold(a.Name, said) || strings.EqualFold(a.Code, said)) && said != "" {
			line.Use = a.Ingredient
		}
	}
	if err := line.Packs.UnmarshalText([]byte(firstOf(cell("packs"), "1"))); err != nil {
		return e, fmt.Errorf("packs: %w", err)
	}
	if line.Pack, err = pricelist.ReadPack(cell("pack"), pricelist.Unknown); err != nil {
		return e, fmt.Errorf("pack: %w", err)
	}
	mark := pricelist.Unknown
	if row.Cell(at["price"]).Kind == pricelist.Number {
		mark = pricelist.Point // a workbook's number means one thing
	}
	price, err := pricelist.ReadAmount(cell("price"), mark)
	switch cur := b.book.Studio.Currency.Code(); {
	case err != nil:
		return e, fmt.Errorf("price: %w", err)
	case price.Currency != "" && price.Currency != cur:
		return e, fmt.Errorf("price: %s is in %s and the book in %s; enter what you paid in %s", cell("price"), price.Currency, cur, cur)
	case price.Per != nil:
		return e, fmt.Errorf("price: %q is for an amount; enter what a whole pack cost", cell("price"))
	}
	line.Price = money.PriceOf(price.Figure)
	if tax := firstOf(cell("tax_in"), f.taxIn); tax != "" {
		rate, err := measure.ParsePercent(spacedPercent(tax))
		if err != nil {
			return e, fmt.Errorf("tax_in: %w", err)
		}
		line.TaxIn = record.Some(rate)
	}
	o, err := b.orderOf(ctx, firstOf(cell("order"), f.order))
	if err != nil {
		return e, err
	}
	return b.desk.Purchase(line, orderNumber(o))
}

// notTwice refuses a line of an invoice that is recorded already.
func (b bench) notTwice(ctx context.Context, purchases []actual.Purchase) error {
	for _, p := range purchases {
		if p.Invoice == "" {
			continue
		}
		standing, err := b.ActualsIn(ctx, p.On, p.On)
		if err != nil {
			return err
		}
		for _, q := range standing.Purchases {
			if q.Undone == nil && q.Ingredient == p.Ingredient && q.Supplier == p.Supplier && q.Invoice == p.Invoice && q.Packs.String() == p.Packs.String() &&
				q.Pack.String() == p.Pack.String() && q.Price.String() == p.Price.String() {
				return fmt.Errorf("%s × %s of %s at %s on invoice %s is recorded already in %s; where the invoice has it twice, enter the packs of both as one", p.Packs, p.Pack, p.Ingredient, p.Price, p.Invoice, q.ID)
			}
		}
	}
	return nil
}

// newPrices returns the prices of purchases that the book does not say
// already.
func newPrices(b book.Book, purchases []actual.Purchase) ([]pricelist.Dated, error) {
	var list []pricelist.Dated
	if len(purchases) == 0 {
		return nil, nil
	}
	x := book.NewIndex(b)
	known := map[book.ID]*book.Ingredient{}
	for _, p := range purchases {
		ing := known[p.Ingredient]
		if ing == nil {
			it, _ := x.Item(p.Ingredient)
			own := *it.Ingredient
			own.Prices = append([]book.Price{}, own.Prices...)
			ing = &own
			known[p.Ingredient] = ing
		}
		price := p.Dated()
		theirs := *ing
		if price.Supplier.Given {
			theirs.Supplier = price.Supplier
		}
		if standing, err := theirs.PriceOn(p.On); err == nil && sameOffer(standing, price, x.Household()) {
			continue
		}
		if err := needsNote(ing, price); err != nil {
			return nil, err
		}
		ing.Prices = append(ing.Prices, price)
		list = append(list, pricelist.Dated{Ingredient: p.Ingredient, Price: price})
	}
	return list, nil
}

// moves says which prices are so far from those in force before that pack or
// price may be a slip.
func (b bench) moves(prices []pricelist.Dated) (list []string) {
	x := b.x
	most := measure.MustPercent(pricelist.SuspiciousChange).Fraction()
	for _, d := range prices {
		it, _ := x.Item(d.Ingredient)
		before, err := it.Ingredient.PriceOn(d.Price.From)
		if err != nil {
			continue
		}
		was, is := before.PerBase(b.book.Studio), d.Price.PerBase(b.book.Studio)
		if was.IsZero() {
			continue
		}
		change := is.Quo(was).Sub(exact.Int(1))
		if change.Cmp(most) > 0 || change.Neg().Cmp(most) > 0 {
			list = append(list, b.moved(it.Ingredient, was, is, change))
		}
	}
	return list
}

// moved asks about a price that may be a slip.
func (b bench) moved(ing *book.Ingredient, was, is, change exact.Number) string {
	if b.say != nil {
		return b.say.Moved(ing.Name, was, is, change, ing.Measure) + "; was that the pack and its price?"
	}
	return fmt.Sprintf("%s at %s against %s before (%s); was that the pack and its price?", ing.Name, perUsual(is, ing.Measure), perUsual(was, ing.Measure), signedPercent(change))
}

// sameOffer reports whether two prices say the same, however the pack is
// written.
func sameOffer(a, b book.Price, h measure.Household) bool {
	return a.Pack.Dimension() == b.Pack.Dimension() && a.Pack.Size(h).Equal(b.Pack.Size(h)) && a.Price.Decimal().Equal(b.Price.Decimal()) &&
		a.TaxIn.Or(measure.Percent{}).Fraction().Equal(b.TaxIn.Or(measure.Percent{}).Fraction())
}
