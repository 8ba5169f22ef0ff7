package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
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

// proposed is a proposal, costed where there are recipes.
type proposed struct {
	stack.Proposal
	costing *pricing.Costing
}

// tiersAnswer is what `tiers` found.
type tiersAnswer struct {
	request stack.Request
	book    book.Book
	pattern *book.Cake // nil: none was there, and nothing is costed
	chosen  bool       // whether the pattern was found and not named
	source  string     // where the tins come from
	on      day.Date
	list    []proposed
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
	search := stack.Propose
	if f.keepLook {
		search = stack.Rescale
	}
	found, err := search(a.request)
	if err != nil {
		return withFlags(err)
	}
	if err := a.cost(found); err != nil {
		return err
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

// ask turns the command line into a request.
func (a *tiersAnswer) ask(f tiersFlags) (err error) {
	r := &a.request
	*r = stack.Request{Guests: f.guests, Mixed: f.mixed, MinTiers: f.minTiers, MaxTiers: f.maxTiers, Show: f.show}
	if f.guests < 1 {
		return errors.New("say how many guests are to be served: --guests 90")
	}
	if f.keepLook && f.like == "" {
		return errors.New("--keep-look needs the cake whose look is kept: --like CAKE")
	}
	if f.pick < 1 || f.show < 1 {
		return errors.New("--show and --pick count from 1")
	}
	r.Show = max(f.show, f.pick)
	if f.shape != "" {
		if r.Shape, err = shape.ParseKind(f.shape); err != nil {
			return err
		}
	}
	if r.Step, err = lengthFlag("--step", f.step); err != nil {
		return err
	}
	if r.MaxHeight, err = lengthFlag("--max-height", f.height); err != nil {
		return err
	}
	if err := a.findPattern(f); err != nil {
		return err
	}
	if r.Cut, err = cutOf(f, r.Pattern); err != nil {
		return err
	}
	if !f.keepLook {
		r.KeepTop = f.keepTop
		if top := r.Pattern.Tiers[len(r.Pattern.Tiers)-1]; !f.topSaid {
			r.KeepTop = top.Kept.Or(false)
		}
	} else if r.KeepTop = f.keepTop; f.topSaid && !f.keepTop {
		r.Pattern.Tiers = slices.Clone(r.Pattern.Tiers)
		r.Pattern.Tiers[len(r.Pattern.Tiers)-1].Kept = record.Maybe[bool]{}
	}
	return a.findTins(f)
}

// lengthFlag reads a flag that holds a length; none where it is not given.
func lengthFlag(flag, text string) (measure.Quantity, error) {
	if text == "" {
		return measure.Quantity{}, nil
	}
	q, err := stack.ParseQuantity(text)
	if err != nil {
		return q, fmt.Errorf("%s: %w", flag, err)
	}
	if q.Dimension() != measure.Length {
		return q, fmt.Errorf("%s: %q is no length; write it as \"25 mm\"", flag, text)
	}
	return q, nil
}

// findPattern finds the cake that lends its recipes: the one named, or the
// first of the book with tiers of the shape, rather one with several. Where
// there is none, tiers of 100 mm stand in, and nothing is costed.
func (a *tiersAnswer) findPattern(f tiersFlags) error {
	if f.like != "" {
		i := slices.IndexFunc(a.book.Cakes, func(c book.Cake) bool { return string(c.ID) == f.like })
		if i < 0 {
			return fmt.Errorf("the book has no cake %.60q; marchpane cakes lists them", f.like)
		}
		a.pattern = &a.book.Cakes[i]
		a.request.Pattern = *a.pattern
		if len(a.pattern.Tiers) == 0 {
			return fmt.Errorf("%s has no tiers to take as a pattern; name a cake with tiers", a.pattern.ID)
		}
		return nil
	}
	if c, there := stack.PatternIn(a.book, a.request.Shape); there {
		a.pattern, a.chosen = c, true
		a.request.Pattern = *c
		return nil
	}
	a.request.Pattern = stack.BarePattern(a.request.Shape)
	return nil
}

// cutOf returns how every tier is to be cut; nil for as the pattern has it.
func cutOf(f tiersFlags, pattern book.Cake) (*book.Portion, error) {
	if f.wedges < 0 {
		return nil, errors.New("--wedges must be above 0")
	}
	style := book.Cut(f.style)
	rule, err := stack.Cutting{Style: style, Finger: f.cut, Wedges: f.wedges}.Rule(pattern)
	switch {
	case err == nil:
		return rule, nil
	case errors.Is(err, stack.ErrTwoCuts):
		return nil, errors.New("fingers have a --cut and wedges a number, --wedges; use one of them")
	case errors.Is(err, stack.ErrNoRule):
		return nil, fmt.Errorf("%s states its portions as a number, which holds for its own size only; say how others are cut: --style finger, or --wedges 12", pattern.Name)
	case errors.Is(err, stack.ErrNoWedges):
		return nil, fmt.Errorf("%s says no number of wedges; say how many a tier is cut into: --wedges 12", pattern.Name)
	case style != "" && style != book.Finger && style != book.Wedge:
		return nil, fmt.Errorf("--style %w", err)
	}
	return nil, fmt.Errorf("--cut %w", err)
}

// findTins finds the tins to choose from: those named, every usual size, or
// the book's.
func (a *tiersAnswer) findTins(f tiersFlags) error {
	r := &a.request
	switch {
	case f.tins != "" && f.anySize:
		return errors.New("--tins and --any-size exclude each other; use one of them")
	case f.anySize:
		a.source = "tins of any usual size"
		return a.anySize()
	case f.tins == "":
		a.source = plural(len(a.book.Tins), "tin of the book", "tins of the book")
		r.Tins = a.book.Tins
		return nil
	}
	tins, err := stack.ReadTins(f.tins, a.book.Tins)
	if err != nil {
		return fmt.Errorf("--tins: %w", err)
	}
	r.Tins = tins
	a.source = plural(len(r.Tins), "tin named", "tins named")
	return nil
}

// anySize offers every usual size of the shape asked for, or of the shapes of
// the pattern.
func (a *tiersAnswer) anySize() (err error) {
	r := &a.request
	r.Tins, err = stack.UsualTins(r.Pattern, r.Shape, a.book.Studio.Household.Or(measure.Metric))
	if err != nil {
		return fmt.Errorf("--any-size: %w with --tins", err)
	}
	return nil
}

// cost costs and prices what was found by the recipes of the pattern.
func (a *tiersAnswer) cost(found []stack.Proposal) error {
	designs := a.book
	designs.Cakes = nil
	for i := range found {
		found[i].Cake.ID = book.ID(fmt.Sprintf("proposal-%d", i+1))
		designs.Cakes = append(designs.Cakes, found[i].Cake)
		a.list = append(a.list, proposed{Proposal: found[i]})
	}
	if a.pattern == nil {
		return nil
	}
	x := book.NewIndex(designs)
	rates := pricing.NewRates(x, a.on)
	for i := range a.list {
		c, err := pricing.CostCake(x, a.list[i].Cake.ID, rates)
		if err != nil {
			return err
		}
		a.list[i].costing = &c
	}
	return nil
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
	case a.pattern == nil:
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
func (p proposed) perPortion() (exact.Number, bool) {
	if p.costing == nil || !p.costing.Offer.HasPrice {
		return exact.Number{}, false
	}
	return pricing.PerPortion(p.costing.Offer.Shown, p.Served)
}
