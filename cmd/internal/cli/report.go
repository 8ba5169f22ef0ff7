package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/month"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
	"marchpane/templates/sheet"
)

// reportPapers are the forms that a report is written in, by the ending of the
// file's name.
var reportPapers = map[string]func(*Env, io.Writer, book.Studio, month.Report) error{
	".xlsx": func(_ *Env, w io.Writer, studio book.Studio, r month.Report) error { return sheet.Month(w, studio, r) },
	".pdf": func(env *Env, w io.Writer, studio book.Studio, r month.Report) error {
		warnings, err := pdf.Month(w, document.FromMonth(r, studio))
		env.warn(warnings)
		return err
	},
	".json": func(_ *Env, w io.Writer, _ book.Studio, r month.Report) error {
		enc := json.NewEncoder(w)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		return enc.Encode(r)
	},
}

func reportCommand(env *Env) *cobra.Command {
	var from, to day.Date
	var out string
	cmd := &cobra.Command{
		Use:   "report MONTH|YEAR",
		Short: "The monthly cost report: sales, costs, margins and why they moved",
		Long: `The figures of a month, or of a year with a row a month: orders with their revenue,
cost and margin; the bridge from the planned margin to the real one; what was used
and what its price did since the month before; hours by role and task; overhead;
waste; quotes won and lost; what clients owe on the last day; sales by tax rate.
Each is set beside the month before and the same month a year earlier.

An order counts in the month of its event, one that was called off brings its fee
in the month in which it was. Sales are without tax. Costs are those that were
recorded (marchpane actual); where nothing was, what the quote planned stands in,
and the report says of how much of the cost anything is recorded.

With -o it is written as a workbook (.xlsx) with live formulas, as two pages for the
book-keeper (.pdf), or as .json.

The sales by tax rate are for your book-keeper, as the quotes have them; when tax
falls due, and on what else, is for them and local law to say.`,
		Example: `  marchpane report 2026-10
  marchpane report 2026
  marchpane report --from 2026-10-05 --to 2026-10-11
  marchpane report 2026-10 -o october.xlsx
  marchpane report 2026-10 -o october.pdf
  marchpane report 2026-10 --json`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			span, err := reportSpan(args, from, to)
			paper := reportPapers[strings.ToLower(filepath.Ext(out))]
			if err == nil && out != "" && paper == nil {
				err = fmt.Errorf("%s: a report is written as %s; name the file so", out, strings.Join(slices.Sorted(maps.Keys(reportPapers)), ", "))
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
			r, err := reportOf(cmd.Context(), s, span, env.today())
			if err != nil {
				return err
			}
			if out != "" {
				b, err := s.Book(cmd.Context())
				if err != nil {
					return err
				}
				if err := writeFile(out, func(w io.Writer) error { return paper(env, w, b.Studio, r) }); err != nil {
					return err
				}
				if env.json {
					return env.printJSON(map[string]string{"file": out})
				}
				fmt.Fprintf(env.Out, "The report of %s is in %s.\n", r.Title, out)
				return nil
			}
			if env.json {
				return env.printJSON(r)
			}
			printReport(env, r)
			return nil
		},
	}
	cmd.Flags().Var(dateFlag{&from}, "from", "the first `DATE` of another span of days")
	cmd.Flags().Var(dateFlag{&to}, "to", "its last `DATE`")
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE`; its ending says as what")
	return cmd
}

func reportSpan(args []string, from, to day.Date) (month.Span, error) {
	switch days := !from.IsZero() || !to.IsZero(); {
	case len(args) == 0 && !days:
		return month.Span{}, errors.New("say which month or year: marchpane report 2026-10; or name days with --from and --to")
	case len(args) == 1 && days:
		return month.Span{}, errors.New("name a month or year, or days with --from and --to, not both")
	case len(args) == 1:
		return month.ParseSpan(args[0])
	case from.IsZero() || to.IsZero():
		return month.Span{}, errors.New("give both --from and --to")
	case to.Before(from):
		return month.Span{}, fmt.Errorf("--to %s is before --from %s", to, from)
	}
	return month.Span{From: from, To: to}, nil
}

// reportOf makes the report of a span, beside the span before and the same a
// year earlier.
func reportOf(ctx context.Context, s *store.Store, span month.Span, today day.Date) (month.Report, error) {
	return new(tallies).report(ctx, s, span, today)
}
