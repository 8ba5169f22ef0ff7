package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/stack"
)

func scaleCommand(env *Env) *cobra.Command {
	var into, batches string
	cmd := &cobra.Command{
		Use:   "scale COMPONENT",
		Short: "A recipe for another mould, or in another amount",
		Long: `Scale a recipe from the mould that one batch fills to any other, by volume. Where
the recipe has no mould its yield and density say what a batch fills. --into takes
the shape and sizes of a mould with its depth, what it holds when filled with
water, or the id of a tin of the book. --batches multiplies: by itself the recipe
as written, beside --into the number of moulds.

Amounts are exact and shown as scales show them. The oven's time and heat do not
scale with the amount: watch the depth and test the core.`,
		Example: `  marchpane scale vanilla-sponge --into "round 240 mm x 75 mm"
  marchpane scale vanilla-sponge --into "2.3 l"
  marchpane scale vanilla-sponge --into round-240 --batches 2
  marchpane scale lemon-curd --batches 1.5 --json`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			if into == "" && batches == "" {
				return errors.New("say for which mould or how often: --into \"round 200 mm x 75 mm\", --into \"2.3 l\" or --batches 2")
			}
			times := exact.Int(1)
			if batches != "" {
				n, err := measure.Number(batches)
				if err != nil || n.IsZero() {
					return fmt.Errorf("--batches %.40q is no number above 0; write for example 2 or 1.5", batches)
				}
				times = exact.FromDecimal(n)
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
			it, ok := x.Item(book.ID(args[0]))
			if !ok || it.Component == nil {
				return noComponent(b, args[0], it.Name())
			}
			mould, err := mouldOf(b, into)
			if err != nil {
				return err
			}
			var volume exact.Number
			if into != "" {
				if volume = mould.Volume(x.Household()); volume.IsZero() {
					return fmt.Errorf("--into %.60q: its depth is not known, so neither is what it holds; add the depth, such as %q, or fill it with water and say what it holds, such as \"2.3 l\"", into, strings.Replace(mould.Outline().String(), ", ", " ", 1)+" x 75 mm")
				}
			}
			r, err := stack.Scale(x, it.Component, volume, times)
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(scaleDoc(r))
			}
			printScaled(env, r, into)
			return nil
		},
	}
	cmd.Flags().StringVar(&into, "into", "", "the `MOULD`: \"round 200 mm x 75 mm\", what it holds, \"2.3 l\", or the id of a tin")
	cmd.Flags().StringVar(&batches, "batches", "", "how many batches, or with --into how many moulds")
	return cmd
}

// noComponent says that there is no such recipe, and which are called alike.
func noComponent(b book.Book, id, other string) error {
	if other != "" {
		return fmt.Errorf("%s is bought, not made; name a component with a recipe", other)
	}
	var near []string
	for _, c := range b.Components {
		if slices.ContainsFunc(strings.Split(string(c.ID), "-"), func(w string) bool { return slices.Contains(strings.Split(id, "-"), w) }) && len(near) < 5 {
			near = append(near, string(c.ID))
		}
	}
	hint := "; the components of the book have their ids in: marchpane book export"
	if len(near) > 0 {
		hint = "; did you mean " + strings.Join(near, ", ") + "?"
	}
	return fmt.Errorf("the book has no component %.60q%s", id, hint)
}

// mouldOf reads --into: a tin of the book, or a mould in words.
func mouldOf(b book.Book, into string) (book.Mould, error) {
	if into == "" {
		return book.Mould{}, nil
	}
	for _, t := range b.Tins {
		if string(t.ID) == into {
			return t.Mould, nil
		}
	}
	m, err := stack.ParseMould(into)
	if err != nil {
		return m, fmt.Errorf("--into: no tin of the book has this id, and %w", err)
	}
	return m, nil
}

func printScaled(env *Env, r stack.Recipe, into string) {
	factor := r.Factor.Fixed(4)
	if into == "" {
		fmt.Fprintf(env.Out, "%s, × %s\n\n", env.bold(r.Component.Name), factor)
	} else {
		from := "what a batch fills by its density"
		if m := r.Component.Mould; m != nil && m.Outline().Given() {
			from = strings.Replace(m.Outline().String(), ", ", " ", 1)
			if m.Height.Given() {
				from += " x " + m.Height.String()
			}
		} else if m != nil {
			from = "its mould"
		}
		fmt.Fprintf(env.Out, "%s, from %s (%s ml) into %s (%s ml): × %s\n\n", env.bold(r.Component.Name), from, r.From.Fixed(0), into, r.Into.Fixed(0), factor)
	}
	t := table{heads: []string{"amount>", "", "of", ""}}
	for _, l := range r.Lines {
		t.add(weighed(l.Quantity, l.Line.Qty.Unit().String()), l.Line.Qty.Unit().String(), l.Name, l.Line.Note.Or(""))
	}
	t.print(env)
	unit := r.Output.Dimension.Base()
	fmt.Fprintf(env.Out, "\nmakes %s %s", weighed(r.Output.Number, unit), unit)
	if r.Batches.Cmp(exact.Int(1)) > 0 {
		fmt.Fprintf(env.Out, ", in %s batches: one is at most %s", r.Batches.Fixed(0), r.Component.BatchMax)
	}
	fmt.Fprintln(env.Out)
	if into != "" {
		fmt.Fprintln(env.Out, "The oven's time and heat do not scale with the amount: watch the depth, and test the core.")
	}
}

// weighed writes an amount as kitchen scales and jugs show it.
func weighed(n exact.Number, unit string) string { return trimZeros(stack.Weighed(n, unit)) }

// trimZeros writes 2.50 as 2.5 and 3.00 as 3.
func trimZeros(d decimal.Decimal) string {
	s := d.String()
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// scaleDocument is the document of `scale`. Amounts are exact, as fractions
// where they are no decimals.
type scaleDocument struct {
	Component book.ID         `json:"component"`
	Factor    exact.Number    `json:"factor"`
	FromML    *exact.Number   `json:"from_ml,omitempty"`
	IntoML    *exact.Number   `json:"into_ml,omitempty"`
	Output    scaledAmount    `json:"output"`
	Batches   string          `json:"batches"`
	Lines     []scaledLineDoc `json:"lines"`
}

type scaledAmount struct {
	Amount exact.Number `json:"amount"`
	Unit   string       `json:"unit"`
	Shown  string       `json:"shown"`
}

type scaledLineDoc struct {
	Use  book.ID `json:"use"`
	Name string  `json:"name"`
	scaledAmount
	Note string `json:"note,omitempty"`
}

func scaleDoc(r stack.Recipe) scaleDocument {
	amount := func(n exact.Number, unit string) scaledAmount { return scaledAmount{n, unit, weighed(n, unit)} }
	doc := scaleDocument{Component: r.Component.ID, Factor: r.Factor, Output: amount(r.Output.Number, r.Output.Dimension.Base()), Batches: r.Batches.Fixed(0), Lines: []scaledLineDoc{}}
	if !r.Into.IsZero() {
		doc.FromML, doc.IntoML = &r.From, &r.Into
	}
	for _, l := range r.Lines {
		doc.Lines = append(doc.Lines, scaledLineDoc{l.Line.Use, l.Name, amount(l.Quantity, l.Line.Qty.Unit().String()), l.Line.Note.Or("")})
	}
	return doc
}
