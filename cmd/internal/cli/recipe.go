package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
	"marchpane/pricing/recipe"
	"marchpane/pricing/record"
	"marchpane/pricing/reference"
	"marchpane/store"
)

func recipeCommand(env *Env) *cobra.Command {
	return group("recipe", "Take recipes in",
		`Recipes come as text, as a saved web page, or as a file of schema.org's Recipe.
They become components of the book once every line is settled.`,
		recipeRead(env))
}

// recipeOptions are the flags of `recipe read`.
type recipeOptions struct {
	as, name, kind, language string
	yield                    string
	match, qty               []string
	skip, accept             []int
	pick                     int
	linesOnly, save, replace bool
}

func recipeRead(env *Env) *cobra.Command {
	var o recipeOptions
	cmd := &cobra.Command{
		Use:   "read FILE",
		Short: "Read a recipe, line by line, into a component",
		Long: `Read a recipe from a file, or from standard input for -: plain text, JSON-LD of
schema.org's Recipe, or a saved web page that holds such. English, French and
German are read; the language and the decimal mark are found out.

Each line is shown as it was understood: amount, unit, ingredient, note, and what
of the book it means, with a confidence from 0 to 1. "sure" (0.95 and more) is the
same name; "likely" and "unsure" are proposals. Nothing is decided in silence:
what could not be read, or in one of several ways, is said beside the line.

With --save the component is stored once every line is settled. A line is settled
that is sure and whole, or by:

  --match "3=plain-flour"   line 3 is that ingredient, part or component
  --qty "3=250 g"           so much of it
  --accept 3,5              what is proposed for lines 3 and 5 is right
  --skip 7                  leave line 7 out

At a terminal --save asks line by line. Of a range the upper end is taken. Salt to
taste has no amount: say one, or leave it out. Ingredients that the book lacks are
proposed and never stored; add them with their prices first.`,
		Example: `  marchpane recipe read curd.txt --lines
  marchpane recipe read page.html
  marchpane recipe read page.html --as orange-curd --match "2=caster-sugar" --accept 4 --skip 6 --save`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			return o.run(cmd.Context(), env, args[0])
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.as, "as", "", "the component's `ID` (default: made of the recipe's name)")
	f.StringVar(&o.name, "name", "", "the component's `NAME` (default: the recipe's)")
	f.StringVar(&o.kind, "kind", "", "a free `WORD` for what it is: sponge, filling")
	f.StringVar(&o.language, "language", "", "of the recipe: en, fr or `de` (default: found out)")
	f.IntVar(&o.pick, "pick", 0, "which `RECIPE` of a file that holds several, by its number")
	f.StringVar(&o.yield, "yield", "", "what one batch gives, weighed or counted, such as `1.2 kg` (default: the sum of its lines)")
	f.StringArrayVar(&o.match, "match", nil, "what a line is, `LINE=INGREDIENT`, the line by its number or its words")
	f.StringArrayVar(&o.qty, "qty", nil, "how much a line takes, `LINE=QUANTITY`")
	f.IntSliceVar(&o.accept, "accept", nil, "`LINES` whose proposals are right")
	f.IntSliceVar(&o.skip, "skip", nil, "`LINES` to leave out")
	f.BoolVar(&o.linesOnly, "lines", false, "show only how the lines were read, without the book")
	f.BoolVar(&o.save, "save", false, "store the component")
	f.BoolVar(&o.replace, "replace", false, "let --save take the place of a component that has this id")
	return cmd
}

func (o *recipeOptions) run(ctx context.Context, env *Env, path string) error {
	language, err := recipeLanguage(o.language)
	if err != nil {
		return err
	}
	data, err := env.readFile(path)
	if err != nil {
		return err
	}
	sources, err := intake.Recipes(data)
	if err != nil {
		return err
	}
	source, err := o.choose(sources)
	if err != nil {
		return err
	}
	if o.name != "" {
		source.Name = o.name
	}
	if o.linesOnly {
		if o.save {
			return errors.New("--lines looks at no book, so that --save has nothing to store into; leave one of them out")
		}
		return o.showLines(env, recipe.Read(source, language, measure.Metric))
	}
	s, err := env.open(ctx)
	if err != nil {
		return err
	}
	defer s.Close()
	b, err := s.Book(ctx)
	if errors.Is(err, store.ErrEmpty) && !o.save {
		fmt.Fprintln(env.Err, "The store holds no book yet, so that no ingredient could be looked up in it.")
		return o.showLines(env, recipe.Read(source, language, measure.Metric))
	}
	if err != nil {
		return err
	}
	x := book.NewIndex(b)
	r := recipe.Read(source, language, x.Household())
	id, err := o.id(r)
	if err != nil {
		return err
	}
	answers, err := o.answers(x, r)
	if err != nil {
		return err
	}
	matcher := recipe.NewMatcher(b, nil)
	draft := func() recipe.Draft { return recipe.NewDraft(x, r, id, matcher, reference.Weigh, answers) }
	d := draft()
	if o.save && env.Asks && path != "-" && !d.Ready() {
		if err := askLines(env, x, d, answers); err != nil {
			return err
		}
		d = draft()
	}
	saved := false
	if o.save {
		if err := o.store(ctx, env, s, b, &d); err != nil {
			if !env.json {
				printDraft(env, r, d)
			}
			return err
		}
		saved = true
	}
	if env.json {
		return env.printJSON(draftDocOf(r, d, saved))
	}
	printDraft(env, r, d)
	o.closeRead(env, d, saved)
	return nil
}

func recipeLanguage(tag string) (recipe.Language, error) {
	switch l := recipe.Language(tag); l {
	case "", recipe.English, recipe.French, recipe.German:
		return l, nil
	}
	return "", fmt.Errorf("--language: %.20q is not read; use en, fr or de", tag)
}

// choose takes the recipe that is meant of a file with several.
func (o *recipeOptions) choose(sources []recipe.Source) (recipe.Source, error) {
	switch {
	case o.pick > len(sources) || o.pick < 0:
		return recipe.Source{}, fmt.Errorf("--pick %d: the file holds %s", o.pick, plural(len(sources), "recipe", "recipes"))
	case o.pick > 0:
		return sources[o.pick-1], nil
	case len(sources) == 1:
		return sources[0], nil
	}
	var list strings.Builder
	for i, s := range sources {
		fmt.Fprintf(&list, "\n  %d  %s (%s)", i+1, s.Name, plural(len(s.Lines), "line", "lines"))
	}
	return recipe.Source{}, fmt.Errorf("the file holds %d recipes; say which with --pick:%s", len(sources), list.String())
}

func (o *recipeOptions) id(r recipe.Recipe) (book.ID, error) {
	if o.as == "" {
		return recipe.IDOf(firstOf(r.Source.Name, "recipe")), nil
	}
	var id book.ID
	if err := id.UnmarshalText([]byte(o.as)); err != nil {
		return "", fmt.Errorf("--as: %w", err)
	}
	return id, nil
}

// answers reads what the flags say of lines.
func (o *recipeOptions) answers(x *book.Index, r recipe.Recipe) (recipe.Answers, error) {
	a := recipe.Answers{Use: map[int]book.ID{}, Qty: map[int]measure.Quantity{}, Skip: map[int]bool{}, Accept: map[int]bool{}}
	for _, list := range []struct {
		flag  string
		lines []int
		into  map[int]bool
	}{{"skip", o.skip, a.Skip}, {"accept", o.accept, a.Accept}} {
		for _, n := range list.lines {
			if _, err := lineOf(r, strconv.Itoa(n)); err != nil {
				return a, fmt.Errorf("--%s: %w", list.flag, err)
			}
			list.into[n] = true
		}
	}
	for _, text := range o.match {
		n, what, err := lineSays(r, text)
		if err != nil {
			return a, fmt.Errorf("--match: %w", err)
		}
		id := book.ID(what)
		if err := usable(x, id); err != nil {
			return a, fmt.Errorf("--match %q: %w", text, err)
		}
		a.Use[n] = id
	}
	for _, text := range o.qty {
		n, what, err := lineSays(r, text)
		if err != nil {
			return a, fmt.Errorf("--qty: %w", err)
		}
		q, err := measure.Parse(spacedQuantity(what))
		if err != nil {
			return a, fmt.Errorf("--qty %q: %w", text, err)
		}
		a.Qty[n] = q
	}
	return a, nil
}

func usable(x *book.Index, id book.ID) error {
	if _, ok := x.Item(id); !ok {
		return fmt.Errorf("%.90q is no ingredient, part or component of the book", string(id))
	}
	return nil
}

// lineSays takes "3=plain-flour" or "flour=plain-flour" apart.
func lineSays(r recipe.Recipe, text string) (int, string, error) {
	i := strings.LastIndex(text, "=")
	if i <= 0 || i == len(text)-1 {
		return 0, "", fmt.Errorf("%q needs a line, = and what it is", text)
	}
	n, err := lineOf(r, strings.TrimSpace(text[:i]))
	return n, strings.TrimSpace(text[i+1:]), err
}

// lineOf finds a line by its number, its text, or its words for the ingredient.
func lineOf(r recipe.Recipe, name string) (int, error) {
	folded := names.Words(name)
	var found []int
	for _, l := range r.Lines {
		if l.Heading {
			continue
		}
		if strconv.Itoa(l.Number) == name {
			return l.Number, nil
		}
		if folded != "" && (names.Words(l.Text) == folded || names.Words(l.Words) == folded) {
			found = append(found, l.Number)
		}
	}
	switch len(found) {
	case 0:
		return 0, fmt.Errorf("the recipe has no line of ingredients %.60q; look at the numbers without --save", name)
	case 1:
		return found[0], nil
	}
	return 0, fmt.Errorf("%q is on lines %s; say which by its number", name, joinInts(found, ", "))
}

func joinInts(list []int, by string) string {
	texts := make([]string, len(list))
	for i, n := range list {
		texts[i] = strconv.Itoa(n)
	}
	return strings.Join(texts, by)
}

// store brings the component into the book, or says what stands in the way.
func (o *recipeOptions) store(ctx context.Context, env *Env, s *store.Store, b book.Book, d *recipe.Draft) error {
	if open := openText(*d); open != "" {
		return errors.New("nothing was stored: some lines are not settled" + open)
	}
	c := &d.Component
	if len(c.Lines) == 0 {
		return errors.New("nothing was stored: no line of the recipe is left")
	}
	if slices.ContainsFunc(b.Components, func(other book.Component) bool { return other.ID == c.ID }) && !o.replace {
		return fmt.Errorf("nothing was stored: the book has a component %s already; choose another id with --as, or say --replace", c.ID)
	}
	if o.kind != "" {
		c.Kind = record.Some(o.kind)
	}
	if o.yield != "" {
		q, err := measure.Parse(spacedQuantity(o.yield))
		if err != nil {
			return fmt.Errorf("--yield: %w", err)
		}
		c.Yield = q
	}
	file := book.Book{Format: b.Format, Studio: b.Studio, Components: []book.Component{*c}}
	_, err := s.Import(ctx, file, false, "recipe read", env.Now())
	return err
}

// openText names every open line with what is open and the flag that settles
// it.
func openText(d recipe.Draft) string {
	var b strings.Builder
	for _, l := range d.Lines {
		if len(l.Open) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\nline %d, %q: %s (%s)", l.Number, l.Text, strings.Join(l.Open, "; "), remedy(l))
	}
	return b.String()
}

// remedy is the flags that would settle a line.
func remedy(l recipe.DraftLine) string {
	if l.Use == "" {
		return fmt.Sprintf("--match \"%d=INGREDIENT\" or --skip %d", l.Number, l.Number)
	}
	if !l.Qty.Given() || l.Stuck {
		return fmt.Sprintf("--qty \"%d=QUANTITY\" or --skip %d", l.Number, l.Number)
	}
	return fmt.Sprintf("--accept %d, --match \"%d=INGREDIENT\", --qty \"%d=QUANTITY\" or --skip %d", l.Number, l.Number, l.Number, l.Number)
}

func (o *recipeOptions) closeRead(env *Env, d recipe.Draft, saved bool) {
	switch open := openLines(d); {
	case saved:
		fmt.Fprintf(env.Out, "\nStored as %s, with %s.\n", d.Component.ID, plural(len(d.Component.Lines), "line", "lines"))
	case len(open) == 0:
		fmt.Fprintf(env.Out, "\nEvery line is settled. Nothing is stored yet; add --save to store it as %s.\n", d.Component.ID)
	default:
		fmt.Fprintf(env.Out, "\nNothing is stored. To be settled before --save: %s (see --help: --match, --qty, --accept, --skip).\n", "line "+joinInts(open, ", "))
	}
}

func openLines(d recipe.Draft) []int {
	var list []int
	for _, l := range d.Lines {
		if len(l.Open) > 0 {
			list = append(list, l.Number)
		}
	}
	return list
}
