package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/stack"
	"marchpane/store"
)

// tiersFlags is the command line of `tiers`.
type tiersFlags struct {
	guests, minTiers, maxTiers, show, wedges, pick int
	shape, style, cut, tins, like, step, height    string
	keepTop, keepLook, anySize, mixed              bool
	topSaid                                        bool // whether --keep-top was given at all
	on                                             day.Date
	plot, save, name                               string
}

func tiersCommand(env *Env) *cobra.Command {
	var f tiersFlags
	cmd := &cobra.Command{
		Use:   "tiers --guests N",
		Short: "Which tins to stack for so many guests, and what that costs",
		Long: `Propose tiers for a number of guests out of the tins that the studio owns (tins in
the book): enough portions, the least to spare, and a step between tiers. The
search misses nothing: no better stack of these tins is within the limits. Where
nothing serves enough it says which limit is in the way and by how much.

The recipes come from a cake of the book, --like: the bottom tier is made as its
bottom, the top as its top, those between as those between, and the whole is
costed and priced by its target. Quantities that grow with a tier do; fixed ones,
such as a board or a box, stay as that cake has them, so look through them.

With --keep-look the design itself is made for other guests: as many tiers, of the
same shapes and heights, in the sizes whose proportions drift least, with up to a
tenth of the guests to spare.

A step says what looks sound; dowels and boards that make a stack stand are yours
to decide.`,
		Example: `  marchpane tiers --guests 90
  marchpane tiers --guests 90 --shape round --keep-top --show 5 --plot tiers.svg
  marchpane tiers --guests 60 --tins "round 150 mm, round 200 mm x2, round 250 mm"
  marchpane tiers --guests 140 --like wedding-three-tier --keep-look --any-size
  marchpane tiers --guests 90 --like wedding-three-tier --pick 2 --save wedding-90`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			f.topSaid = cmd.Flags().Changed("keep-top")
			return proposeTiers(cmd.Context(), env, f)
		},
	}
	flags := cmd.Flags()
	flags.IntVar(&f.guests, "guests", 0, "how many are to be served")
	flags.StringVar(&f.shape, "shape", "", "the shape of every tier: round, square, rectangle, hexagon, heart (default: any one)")
	flags.BoolVar(&f.keepTop, "keep-top", false, "make the top tier and do not serve it (default: as the cake has it)")
	flags.StringVar(&f.style, "style", "", "how tiers are cut: finger or wedge (default: as the cake has it)")
	flags.StringVar(&f.cut, "cut", "", "the size of a finger, `\"WIDTH x DEPTH\"` (default: as the cake has it, else 25 mm x 50 mm)")
	flags.IntVar(&f.wedges, "wedges", 0, "how many wedges a tier is cut into")
	flags.StringVar(&f.tins, "tins", "", "choose from these `TINS` in place of the book's: \"round 150 mm, round 200 mm x2\", or their ids")
	flags.BoolVar(&f.anySize, "any-size", false, "choose from every usual size: each 5 mm from 100 to 450 mm, or each half inch from 4 to 18")
	flags.StringVar(&f.like, "like", "", "take the recipes of this `CAKE` (default: the first tiered one of the shape)")
	flags.BoolVar(&f.keepLook, "keep-look", false, "keep the tiers, shapes and proportions of --like")
	flags.StringVar(&f.step, "step", "", "how much of a tier is to be seen round the one above, a `LENGTH` a side (default 25 mm)")
	flags.BoolVar(&f.mixed, "mixed", false, "let shapes stand on each other")
	flags.IntVar(&f.minTiers, "min-tiers", 0, "at least so many tiers (default 1)")
	flags.IntVar(&f.maxTiers, "max-tiers", 0, "at most so many tiers (default 6)")
	flags.StringVar(&f.height, "max-height", "", "at most this `HEIGHT`, such as 45 cm")
	flags.IntVar(&f.show, "show", 3, "how many proposals")
	flags.StringVar(&f.plot, "plot", "", "also draw them side by side to this SVG `FILE`")
	flags.StringVar(&f.save, "save", "", "also store a proposal as a new cake with this `ID`")
	flags.IntVar(&f.pick, "pick", 1, "which proposal --save stores")
	flags.StringVar(&f.name, "name", "", "what --save calls it (default: after --like and the guests)")
	onFlag(cmd, &f.on)
	_ = cmd.RegisterFlagCompletionFunc("like", completeCakes(env)) // the flag is there
	return cmd
}

// tiersAnswer is what `tiers` found.
type tiersAnswer struct {
	stack.Question
	book   book.Book
	source string // where the tins come from
	on     day.Date
	list   []stack.Costed
}

func proposeTiers(ctx context.Context, env *Env, f tiersFlags) error {
	s, err := env.open(ctx)
	if err != nil {
		return err
	}
	defer s.Close()
	b, err := s.Book(ctx)
	if errors.Is(err, store.ErrEmpty) && (f.tins != "" || f.anySize) && f.like == "" && f.save == "" {
		err = nil // tins alone are enough for portions
	}
	if err != nil {
		return err
	}
	a := tiersAnswer{book: b, on: env.orToday(f.on)}
	if err := a.ask(f); err != nil {
		return err
	}
	found, err := a.Answer()
	if err != nil {
		return withFlags(err)
	}
	a.list = a.Cost(b, found, a.on)
	for _, p := range a.list {
		if p.Err != nil {
			return p.Err
		}
	}
	saved, err := a.keep(ctx, env, s, f)
	if err != nil {
		return err
	}
	if f.plot != "" {
		if err := plotTiers(f.plot, a); err != nil {
			return err
		}
	}
	if env.json {
		return env.printJSON(tiersDoc(a, saved))
	}
	printTiers(env, a)
	if f.plot != "" {
		fmt.Fprintf(env.Out, "\nThe drawing is %s.\n", f.plot)
	}
	if saved != "" {
		fmt.Fprintf(env.Out, "\nStored as %s. See what it costs: marchpane cost %s\n", saved, saved)
	}
	return nil
}

// ask turns the command line into a question.
func (a *tiersAnswer) ask(f tiersFlags) error {
	switch {
	case f.guests < 1:
		return errors.New("say how many guests are to be served: --guests 90")
	case f.keepLook && f.like == "":
		return errors.New("--keep-look needs the cake whose look is kept: --like CAKE")
	case f.pick < 1 || f.show < 1:
		return errors.New("--show and --pick count from 1")
	case f.wedges < 0:
		return errors.New("--wedges must be above 0")
	}
	q, faults := stack.Wish{
		Guests: f.guests, MinTiers: f.minTiers, MaxTiers: f.maxTiers, Show: max(f.show, f.pick), Like: f.like, KeepLook: f.keepLook,
		KeepTop: record.Maybe[bool]{Value: f.keepTop, Given: f.topSaid}, Shape: f.shape, Mixed: f.mixed, Step: f.step, MaxHeight: f.height,
		Cutting: stack.Cutting{Style: book.Cut(f.style), Finger: f.cut, Wedges: f.wedges}, Tins: f.tins, AnySize: f.anySize,
	}.Ask(book.NewIndex(a.book))
	for i := range faults {
		faults[i].Path = "--" + strings.ReplaceAll(faults[i].Path, "_", "-")
	}
	switch a.Question = q; {
	case f.anySize:
		a.source = "tins of any usual size"
	case f.tins == "":
		a.source = plural(len(q.Tins), "tin of the book", "tins of the book")
	default:
		a.source = plural(len(q.Tins), "tin named", "tins named")
	}
	return faults.Err()
}

// keep stores a proposal as a cake of the book.
func (a *tiersAnswer) keep(ctx context.Context, env *Env, s *store.Store, f tiersFlags) (book.ID, error) {
	if f.save == "" {
		return "", nil
	}
	var id book.ID
	if err := id.UnmarshalText([]byte(f.save)); err != nil {
		return "", fmt.Errorf("--save: %w", err)
	}
	switch {
	case a.Lender == nil:
		return "", errors.New("--save: the book has no recipes for such a cake; name one with --like")
	case f.pick > len(a.list):
		return "", fmt.Errorf("--pick %d: there are only %s", f.pick, plural(len(a.list), "proposal", "proposals"))
	case slices.ContainsFunc(a.book.Cakes, func(c book.Cake) bool { return c.ID == id }):
		return "", fmt.Errorf("--save: the book has a cake %q already; choose another id", id)
	}
	cake := a.list[f.pick-1].Cake
	cake.ID = id
	if f.name != "" {
		cake.Name = f.name
	}
	file := book.Book{Format: book.Format, Studio: a.book.Studio, Cakes: []book.Cake{cake}}
	if _, err := s.Import(ctx, file, false, "tiers for "+fmt.Sprint(f.guests), env.Now()); err != nil {
		return "", err
	}
	return id, nil
}

// withFlags says of every change that would do by which flag it is asked for.
func withFlags(err error) error {
	var none *stack.NoFit
	if !errors.As(err, &none) {
		return err
	}
	said := *none
	said.Reliefs = slices.Clone(none.Reliefs)
	for i, r := range said.Reliefs {
		switch r.Limit {
		case stack.TiersLimit:
			said.Reliefs[i].Text += " (--max-tiers " + r.To + ")"
		case stack.HeightLimit:
			said.Reliefs[i].Text += fmt.Sprintf(" (--max-height %q)", r.To)
		case stack.StepLimit:
			said.Reliefs[i].Text += fmt.Sprintf(" (--step %q)", r.To)
		case stack.TopLimit:
			said.Reliefs[i].Text += " (--keep-top=false)"
		case stack.ShapeLimit:
			said.Reliefs[i].Text += " (--shape " + r.To + ")"
		case stack.MixedLimit:
			said.Reliefs[i].Text += " (--mixed)"
		}
	}
	if said.Tins == 0 {
		return fmt.Errorf("%w\nlist the tins you own as \"tins\" in the book, name some with --tins \"round 150 mm, round 200 mm\", or say --any-size", &said)
	}
	return &said
}

// perPortion returns the shown price of a portion served.
func perPortion(p stack.Costed) (exact.Number, bool) {
	if p.Costing == nil || !p.Costing.Offer.HasPrice {
		return exact.Number{}, false
	}
	return pricing.PerPortion(p.Costing.Offer.Shown, p.Served)
}
