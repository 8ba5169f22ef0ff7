package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
	"marchpane/seed"
	"marchpane/store"
	"marchpane/templates/sheet"
)

// demoCake is the design that the demo's request asks for.
const demoCake book.ID = "wedding-three-tier"

func demoCommand(env *Env) *cobra.Command {
	var fresh, year bool
	cmd := &cobra.Command{
		Use:   "demo FOLDER",
		Short: "Make a store of the demo studio, with a wedding quote and its cost sheet",
		Long: `Load the demo studio, a studio of our own invention, into a store in FOLDER; issue
the quote for a three-tier wedding cake; and write its PDF, the cake's cost sheet
and a summary beside it. Look around there freely: your own store is not touched.

With --year the store first gets twelve months of the studio's life, up to
2026-11-25, so that every list and report has something to show: clients and
enquiries, quotes and what became of them, payments, work and goods recorded, bills
and plans. It is the same year every time. The wedding's quote takes the next number.`,
		Example: `  marchpane demo ./demo
  marchpane demo ./demo --year
  marchpane cakes --store ./demo/studio.db`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			return makeDemo(cmd.Context(), env, args[0], fresh, year)
		},
	}
	cmd.Flags().BoolVar(&fresh, "fresh", false, "start the demo's store afresh where there is one already")
	cmd.Flags().BoolVar(&year, "year", false, "fill it with twelve months of clients, quotes, orders and payments")
	return cmd
}

type demoFiles struct {
	Store   string `json:"store"`
	Quote   string `json:"quote"`
	Sheet   string `json:"sheet"`
	Summary string `json:"summary"`
}

func makeDemo(ctx context.Context, env *Env, folder string, fresh, year bool) error {
	files := demoFiles{
		Store: filepath.Join(folder, "studio.db"), Quote: filepath.Join(folder, "wedding-quote.pdf"),
		Sheet: filepath.Join(folder, "wedding-cost-sheet.xlsx"), Summary: filepath.Join(folder, "summary.txt"),
	}
	if _, err := os.Stat(files.Store); err == nil {
		if !fresh {
			return fmt.Errorf("%s is there already; say --fresh to start it afresh, or name another folder", files.Store)
		}
		for _, name := range []string{files.Store, files.Store + "-wal", files.Store + "-shm"} {
			if err := os.Remove(name); err != nil && !errors.Is(err, os.ErrNotExist) {
				return err
			}
		}
	}
	s, err := store.Open(ctx, files.Store)
	if err != nil {
		return err
	}
	defer s.Close()
	file, err := book.Parse(seed.Studio())
	if err != nil {
		return err
	}
	if _, err := s.Import(ctx, file, false, "the demo studio", env.Now()); err != nil {
		return err
	}
	if _, err := s.ChangeCapacity(ctx, env.Now(), func(_ *book.Index, c *schedule.Capacity) error { *c = seed.Capacity(); return nil }); err != nil {
		return err
	}
	request, err := quote.ReadRequest(seed.WeddingRequest())
	if err != nil {
		return err
	}
	var q store.SavedQuote
	if year {
		q, err = liveDemoYear(ctx, s, seed.Move{}, func(_ float64, month string) {
			if env.Colour { // somebody sits there
				fmt.Fprintf(env.Err, "\r%s", month)
			}
		})
		if env.Colour {
			fmt.Fprint(env.Err, "\r       \r")
		}
	} else {
		q, err = env.quoteAndSave(ctx, s, request, false)
	}
	if err != nil {
		return err
	}
	if err := env.writeQuotePDF(ctx, s, files.Quote, q, "", false); err != nil {
		return err
	}
	x := book.NewIndex(file)
	costing, err := pricing.CostCake(x, demoCake, pricing.NewRates(x, request.On))
	if err != nil {
		return err
	}
	if err := writeFile(files.Sheet, func(w io.Writer) error { return sheet.Cost(w, x, costing) }); err != nil {
		return err
	}
	if err := writeSummary(env, files.Summary, x, costing, q); err != nil {
		return err
	}
	if env.json {
		return env.printJSON(files)
	}
	if year {
		fmt.Fprintf(env.Out, "Twelve months of the demo studio are in its store, up to %s; the wedding's quote is %s.\n", seed.Today, q.Ref())
	}
	fmt.Fprintf(env.Out, "The demo studio is priced. Look at\n  %s\n  %s\n  %s\nand ask its store, for example:\n  marchpane cakes --store %s\n", files.Quote, files.Sheet, files.Summary, files.Store)
	return nil
}

// writeSummary puts what the commands would print into one text file.
func writeSummary(env *Env, path string, x *book.Index, c pricing.Costing, q store.SavedQuote) error {
	var text bytes.Buffer
	paper := *env
	paper.Out, paper.Colour, paper.json = &text, false, false
	if err := listCakes(&paper, x.Book, c.Rates.On()); err != nil {
		return err
	}
	fmt.Fprintf(&text, "\n\n")
	printCost(&paper, x, c)
	fmt.Fprintf(&text, "\n\n")
	printQuote(&paper, q)
	return writeFile(path, func(w io.Writer) error { _, err := text.WriteTo(w); return err })
}
