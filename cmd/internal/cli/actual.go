package cli

import (
	"context"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/web"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
	"marchpane/pricing/quote"
	"marchpane/store"
)

func actualCommand(env *Env) *cobra.Command {
	var from string
	c := group("actual", "Record what really happened, and see what it did to the margin",
		`Record what an accepted order really took: minutes, goods, waste, purchases; and what
a month really cost. All of it is optional: where nothing is recorded the plan of the
quote stands in, and is marked so. An order is called by the number of its quote.

An entry is never changed or deleted. A mistake is taken back with "actual undo",
and both stay in the journal.

Several entries of one order at once come from a JSON file, with --from:

  {"order": "2026-0001",
   "work":   [{"role": "decorator", "time": "3 h 20 min", "task": "sugar flowers",
               "on": "2026-11-27", "who": "Ann", "as": "worked", "note": ""}],
   "used":   [{"use": "butter", "qty": "1.2 kg", "on": "2026-11-27", "why": ""}],
   "more":   [{"use": "butter", "qty": "200 g"}],
   "wasted": [{"use": "lemon-curd", "qty": "400 g", "why": "split"}],
   "bought": [{"use": "butter", "packs": "2", "pack": "5 kg", "price": "41.20",
               "tax_in": "5 %", "supplier": "Dairy round", "invoice": "123"}]}

Only "order" is required, and of each line what it is and how much. "as" is worked
(instead of the planned minutes of that role), longer (on top of them) or idle (paid,
not worked). "used" is all that was used of something, instead of the plan; "more"
comes on top of the plan; "wasted" was thrown away. Either all of a file is recorded
or nothing.`,
		actualWork(env), actualUsed(env), actualWasted(env), actualBought(env), actualCharge(env), actualShow(env), actualUndo(env),
		actualMonth(env), actualOverhead(env), actualEnergy(env), actualWage(env), actualPlan(env))
	c.Example = `  marchpane actual work 2026-0001 decorator "3 h 20 min" --task "sugar flowers"
  marchpane actual used 2026-0001 butter "1.2 kg"
  marchpane actual wasted 2026-0001 cream "300 g" --why "turned to butter"
  marchpane actual bought butter --packs 2 --pack "5 kg" --price 41.20 --invoice 123
  marchpane actual --from cake.json
  marchpane actual show 2026-0001`
	c.Flags().StringVar(&from, "from", "", "record all that a JSON `FILE` says of one order")
	c.RunE = func(cmd *cobra.Command, _ []string) error {
		if from == "" {
			return cmd.Help()
		}
		return recordSheet(cmd.Context(), env, from)
	}
	return c
}

// arguments is for commands that take exactly what the words in capitals of
// their usage name.
func arguments(cmd *cobra.Command, args []string) error {
	var names []string
	for _, w := range strings.Fields(cmd.Use)[1:] {
		if strings.HasPrefix(w, "-") || strings.HasPrefix(w, "[") {
			break
		}
		names = append(names, w)
	}
	switch {
	case len(args) < len(names):
		return fmt.Errorf("%s needs %s; see %s --help", cmd.CommandPath(), strings.Join(names[len(args):], " and "), cmd.CommandPath())
	case len(args) > len(names):
		return fmt.Errorf("%s takes %s and no more; put words with spaces in quotes", cmd.CommandPath(), strings.Join(names, ", "))
	}
	return nil
}

// bench is an open store with what records are read against.
type bench struct {
	*store.Store
	env  *Env
	book book.Book
	desk actual.Desk
	x    *book.Index  // of book
	say  *web.Telling // how figures of entries are written; nil: as commands take them
}

// work opens the store and its book for a command.
func (e *Env) work(ctx context.Context, do func(bench) error) error {
	s, err := e.open(ctx)
	if err != nil {
		return err
	}
	defer s.Close()
	b, err := s.Shared(ctx)
	if err != nil {
		return err
	}
	x := book.NewIndex(b)
	return do(bench{s, e, b, actual.NewDesk(x, e.today()), x, nil})
}

func recordSheet(ctx context.Context, env *Env, path string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	sheet, err := actual.DecodeSheet(data)
	if err != nil {
		return err
	}
	return env.work(ctx, func(b bench) error {
		o, err := b.Order(ctx, sheet.Order)
		if err != nil {
			return err
		}
		records, err := b.desk.Read(sheet, o)
		if err != nil {
			return err
		}
		return b.record(ctx, records, &o)
	})
}

// whenFlags are what every entry of an order may say.
type whenFlags struct {
	on   day.Date
	note string
}

func (f *whenFlags) add(cmd *cobra.Command, note string) {
	cmd.Flags().Var(dateFlag{&f.on}, "on", "the `DATE` it happened (default: today)")
	cmd.Flags().StringVar(&f.note, note, "", "a note, in `WORDS`")
}

func actualWork(env *Env) *cobra.Command {
	var when whenFlags
	var task, who string
	var idle, more bool
	cmd := &cobra.Command{
		Use:   "work ORDER ROLE TIME",
		Short: "Record the time that a role took",
		Long: `Record the time that a role took for an order, as 95, 1:35 or "1 h 35 min". Entries
of one role add up, and stand instead of the minutes that the quote planned for it.
Where only part of the work is written down, record what came on top of the plan
with --more instead: what is missing would count as saved.

Time that was paid and not worked (an oven that would not heat) is --idle; beyond the
usual unproductive time, which the price of every minute holds already.`,
		Example: `  marchpane actual work 2026-0001 decorator "3 h 20 min" --task "sugar flowers"
  marchpane actual work 2026-0001 pastry 95 --on 2026-11-27 --who Ann
  marchpane actual work 2026-0001 decorator 1:10 --more --note "the lace tore"
  marchpane actual work 2026-0001 pastry 40 --idle --note "power cut"`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			time, err := actual.ParseMinutes(args[2])
			if err != nil || idle && more {
				env.started = false
				if err == nil {
					err = fmt.Errorf("--idle and --more exclude one another: idle time comes on top by itself")
				}
				return err
			}
			return env.work(cmd.Context(), func(b bench) error {
				o, err := b.Order(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				way := actual.Worked
				if idle {
					way = actual.Idle
				} else if more {
					way = actual.Longer
				}
				e, err := b.desk.Work(actual.WorkDone{Role: book.ID(args[1]), Time: time, As: way, Task: task, Who: who, On: when.on, Note: when.note}, o)
				if err != nil {
					return err
				}
				return b.record(cmd.Context(), actual.Records{Work: []actual.Work{e}}, &o)
			})
		},
	}
	when.add(cmd, "note")
	cmd.Flags().StringVar(&task, "task", "", "what was done, a `TASK` of the book or a free word")
	cmd.Flags().StringVar(&who, "who", "", "`NAME` of the person")
	cmd.Flags().BoolVar(&idle, "idle", false, "paid and not worked")
	cmd.Flags().BoolVar(&more, "more", false, "on top of the planned time")
	return cmd
}

func actualUsed(env *Env) *cobra.Command {
	var when whenFlags
	var more string
	cmd := &cobra.Command{
		Use:   "used ORDER GOODS [QUANTITY]",
		Short: "Record what was used of an ingredient or packaging",
		Long: `Record all that was used of an ingredient or packaging for an order, instead of what
the quote planned; or with --more what was used on top of the plan. Quantities are as
purchased, before peeling or hulling, in any unit that the book can turn into the one
it is bought by. A total counts what was wasted too. 0 says that it was not used.

What a component such as a buttercream took more of is recorded with --more as its
ingredients.`,
		Example: `  marchpane actual used 2026-0001 butter "1.2 kg"
  marchpane actual used 2026-0001 egg "2 each" --more
  marchpane actual used 2026-0001 meringue-buttercream --more "300 g"
  marchpane actual used 2026-0001 ribbon "0 m" --why "fresh flowers instead"`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 2 && more != "" {
				return nil
			}
			if len(args) != 3 {
				return fmt.Errorf("%s needs an order, what was used and how much: actual used 2026-0001 butter \"1.2 kg\", or --more \"200 g\" for what came on top", cmd.CommandPath())
			}
			if more != "" {
				return fmt.Errorf("%s: the quantity stands twice, %q and --more %q; give the total, or what came on top", cmd.CommandPath(), args[2], more)
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if more != "" {
				return recordGoods(cmd.Context(), env, actual.More, append(args, more), when)
			}
			return recordGoods(cmd.Context(), env, actual.Used, args, when)
		},
	}
	when.add(cmd, "why")
	cmd.Flags().StringVar(&more, "more", "", "a `QUANTITY` on top of the plan, in place of the total")
	return cmd
}

func actualWasted(env *Env) *cobra.Command {
	var when whenFlags
	cmd := &cobra.Command{
		Use:   "wasted ORDER GOODS QUANTITY",
		Short: "Record what was thrown away",
		Long: `Record what was thrown away for an order: an ingredient or packaging, as purchased, or
a component such as a curd, which is recorded as the ingredients that it is made of.
The loss and waste that a recipe plans for are in the plan already. Where a total is
recorded with "actual used", it counts what was wasted too; else waste comes on top
of the plan. Record the time lost with it as work.`,
		Example: `  marchpane actual wasted 2026-0001 cream "300 g" --why "turned to butter"
  marchpane actual wasted 2026-0001 lemon-curd "400 g" --why split`,
		Args: arguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			return recordGoods(cmd.Context(), env, actual.Wasted, args, when)
		},
	}
	when.add(cmd, "why")
	return cmd
}

func recordGoods(ctx context.Context, env *Env, way actual.Way, args []string, when whenFlags) error {
	qty, err := measure.Parse(spacedQuantity(args[2]))
	if err != nil {
		env.started = false
		return err
	}
	return env.work(ctx, func(b bench) error {
		o, err := b.Order(ctx, args[0])
		if err != nil {
			return err
		}
		e, err := b.desk.Goods(way, actual.GoodsTaken{Use: book.ID(args[1]), Qty: qty, On: when.on, Why: when.note}, o)
		if err != nil {
			return err
		}
		return b.record(ctx, actual.Records{Goods: []actual.Goods{e}}, &o)
	})
}

// spacedQuantity writes "1.2kg" as "1.2 kg", which is as clear.
func spacedQuantity(text string) string {
	text = strings.TrimSpace(text)
	if i := strings.IndexFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != '.' }); i > 0 && text[i] != ' ' {
		return text[:i] + " " + text[i:]
	}
	return text
}

// kept is what became of entries: as they are stored, the prices that their
// purchases brought into the book, and what looks wrong with them.
type kept struct {
	entries actual.Records
	prices  []pricelist.Dated
	added   int
	doubts  []string
}

// keep keeps entries and adds the prices of purchases to the book. o is the
// order of the entries, nil where they have none.
func (b bench) keep(ctx context.Context, entries actual.Records, o *quote.Order) (k kept, err error) {
	if o != nil {
		// Refused before prices are added; the store looks again.
		standing, err := b.ActualsOf(ctx, o.Quote.Number)
		if err != nil {
			return k, err
		}
		if err := standing.Join(entries).Check(); err != nil {
			return k, err
		}
	}
	if err := b.notTwice(ctx, entries.Purchases); err != nil {
		return k, err
	}
	if k.prices, err = newPrices(b.book, entries.Purchases); err != nil {
		return k, err
	}
	if len(k.prices) > 0 {
		// Prices first: should the entries fail after all, what the history
		// then holds was really paid, and is not added twice.
		changes, err := b.Import(ctx, pricelist.File(b.book, k.prices), false, "actual bought", b.env.Now())
		if err != nil {
			return k, err
		}
		k.added = changes.Prices
	}
	if k.entries, err = b.Record(ctx, entries, b.env.Now()); err != nil {
		return k, err
	}
	if k.doubts, err = b.doubts(ctx, o, k.entries); err != nil {
		return k, err
	}
	k.doubts = append(k.doubts, b.moves(k.prices)...)
	return k, nil
}

// record keeps entries and says what was done.
func (b bench) record(ctx context.Context, entries actual.Records, o *quote.Order) error {
	k, err := b.keep(ctx, entries, o)
	if err != nil {
		return err
	}
	if b.env.json {
		return b.env.printJSON(recordedDoc{Entries: b.entryDocs(k.entries), PricesAdded: k.added, Doubts: append([]string{}, k.doubts...)})
	}
	for _, d := range b.entryDocs(k.entries) {
		fmt.Fprintf(b.env.Out, "%s: %s\n", d.ID, d.Says)
	}
	if k.added > 0 {
		fmt.Fprintf(b.env.Out, "%s to the price history.\n", plural(k.added, "price was added", "prices were added"))
		for _, p := range k.prices {
			it, _ := b.x.Item(p.Ingredient)
			if own := it.Ingredient.Supplier; own.Given && p.Price.Supplier.Or("") != own.Value {
				fmt.Fprintf(b.env.Out, "The price of %s does not count for quotes while the book buys it from %s alone.\n", it.Ingredient.Name, own.Value)
			}
		}
	}
	if o != nil && !o.CancelledOn.IsZero() {
		fmt.Fprintf(b.env.Out, "%s was cancelled on %s; this counts as what it had cost by then.\n", o.Quote.Number, o.CancelledOn)
	}
	for _, d := range k.doubts {
		fmt.Fprintf(b.env.Out, "look: %s\n", d)
	}
	return nil
}

// recordedDoc is the document of whatever records.
type recordedDoc struct {
	Entries     []entryDoc `json:"entries"`
	PricesAdded int        `json:"prices_added"`
	Doubts      []string   `json:"doubts"`
}
