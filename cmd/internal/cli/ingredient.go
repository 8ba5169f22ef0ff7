package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/reference"
	"marchpane/store"
)

func ingredientCommand(env *Env) *cobra.Command {
	return group("ingredient", "Add ingredients, with published weights and yields as defaults",
		`Marchpane carries a table of common bakery ingredients: what a cup or a piece
weighs, what is left after trimming, which allergens the food is. Each figure
names its source. They are defaults: weigh your own, read your own labels, and
what you state goes before them.`,
		ingredientSuggest(env), ingredientAdd(env), ingredientFill(env))
}

func ingredientSuggest(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "suggest WORDS",
		Short: "Show what the tables know of a food, and by which source",
		Long: `Show what the reference tables know of a food: its weights by measure and form,
its yields, pieces and allergens, each with its source. WORDS are a name in
English, French or German. Nothing is stored, and no store is needed.

Allergens are those of the food itself; "often" are those that common recipes of
it bring along. The label of what you buy goes before both.`,
		Example: `  marchpane ingredient suggest "plain flour"
  marchpane ingredient suggest fraises`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			words := strings.Join(args, " ")
			matches := reference.Find(words)
			if env.json {
				return env.printJSON(suggestionsOf(words, matches))
			}
			if len(matches) == 0 {
				fmt.Fprintf(env.Out, "The tables have nothing like %q. Weigh a level cup or 100 ml of it and state --density yourself.\n", words)
				return nil
			}
			printKnown(env, matches[0].Entry)
			if matches[0].Confidence < reference.Likely {
				fmt.Fprintf(env.Out, "\nThat is a guess: %q only shares words with it.\n", words)
			}
			if len(matches) > 1 {
				fmt.Fprintf(env.Out, "\nOr did you mean: %s?\n", otherNames(matches[1:]))
			}
			return nil
		},
	}
}

func otherNames(matches []reference.Match) string {
	list := make([]string, len(matches))
	for i, m := range matches {
		list[i] = m.Entry.Name()
	}
	return strings.Join(list, ", ")
}

// stated are the flags that tell of an ingredient.
type stated struct {
	name, like, by, category, density, each, trim, contains, may string
	pack, price, supplier, taxIn                                 string
	from                                                         day.Date
	accept                                                       bool
}

func ingredientAdd(env *Env) *cobra.Command {
	var f stated
	cmd := &cobra.Command{
		Use:   "add ID",
		Short: "Add an ingredient to the book, with a first price",
		Long: `Add an ingredient. With --accept-reference what you do not state is taken from
the reference tables, and each figure is printed with its source; without it
only what you state is stored. Everything can be changed later in a book file.

What common recipes of the food often hold is stored as "may contain" until you
have read the label: correct it with --contains and --may-contain.`,
		Example: `  marchpane ingredient add plain-flour --name "Plain flour" --pack "16 kg" --price 13.80 --accept-reference
  marchpane ingredient add erdbeeren --name "Erdbeeren" --pack "5 x 500 g" --price 14.50 --trim "90 %" --accept-reference
  marchpane ingredient add house-praline --name "House praline" --measure mass --density "1.1 g/ml" --contains hazelnut`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			ing, prices, err := f.read(env, args[0])
			if err != nil {
				env.started = false
				return err
			}
			words := f.like
			if words == "" {
				words = ing.Name
			}
			known, found := likeliest(words)
			if f.accept && !found {
				return nothingLike(words)
			}
			var taken []figure
			if f.accept {
				ing, taken = reference.Fill(ing, known, f.contains == "" && f.may == "")
			}
			ing.Prices = prices
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			b, err := s.Book(cmd.Context())
			if err != nil {
				return err
			}
			if _, there := book.NewIndex(b).Item(ing.ID); there {
				return fmt.Errorf("the book has %s already; give the new one another id, or fill in what %s lacks with: marchpane ingredient fill %s", ing.ID, ing.ID, ing.ID)
			}
			if err := storeIngredient(cmd.Context(), env, s, b, ing, "ingredient add"); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(addedOf(ing, taken))
			}
			fmt.Fprintf(env.Out, "%s was added as %s, bought by %s.\n", ing.Name, ing.ID, ing.Measure)
			printTaken(env, taken, known)
			if !f.accept && found {
				offer(env, ing, known)
			}
			if len(prices) == 0 {
				fmt.Fprintf(env.Out, "It has no price yet; add one with: marchpane price set %s --pack … --price …\n", ing.ID)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&f.name, "name", "", "its `NAME`, as on your papers (needed)")
	cmd.Flags().StringVar(&f.like, "like", "", "the `WORDS` to look up in the reference tables (default: the name)")
	cmd.Flags().BoolVar(&f.accept, "accept-reference", false, "take what you do not state from the reference tables")
	cmd.Flags().StringVar(&f.by, "measure", "", "bought by mass, volume, count, length or area (default: as the pack)")
	cmd.Flags().StringVar(&f.category, "category", "", "a `WORD` to group it by: dairy, sugar")
	cmd.Flags().StringVar(&f.density, "density", "", "`\"0.53 g/ml\"`")
	cmd.Flags().StringVar(&f.each, "each", "", "the mass of a piece as bought, `\"58 g\"`")
	cmd.Flags().StringVar(&f.trim, "trim", "", "the `PERCENT` that can be used of what is bought")
	cmd.Flags().StringVar(&f.contains, "contains", "", "`ALLERGENS` it contains, by comma; none for none")
	cmd.Flags().StringVar(&f.may, "may-contain", "", "`ALLERGENS` it may contain, by comma")
	cmd.Flags().StringVar(&f.pack, "pack", "", "what is in the pack, `\"10 x 250 g\"`")
	cmd.Flags().StringVar(&f.price, "price", "", "what the whole `PACK` costs, 25.25")
	cmd.Flags().Var(dateFlag{&f.from}, "from", "the `DATE` from which the price holds (default: today)")
	cmd.Flags().StringVar(&f.supplier, "supplier", "", "who sells it")
	cmd.Flags().StringVar(&f.taxIn, "tax-in", "", "the `PERCENT` of tax that the price holds")
	cmd.MarkFlagRequired("name")
	cmd.MarkFlagsRequiredTogether("pack", "price")
	cmd.MarkFlagsOneRequired("pack", "measure")
	return cmd
}

func ingredientFill(env *Env) *cobra.Command {
	var like string
	cmd := &cobra.Command{
		Use:   "fill INGREDIENT",
		Short: "Fill in what an ingredient of the book lacks from the reference tables",
		Long: `Fill in the density, mass of a piece, yield, category and allergens of an
ingredient that states none. What the book states stays as it is.`,
		Example: `  marchpane ingredient fill strawberries
  marchpane ingredient fill farine-t55 --like "farine"`,
		Args:              oneArgument,
		ValidArgsFunction: completeIngredients(env),
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			b, err := s.Book(cmd.Context())
			if err != nil {
				return err
			}
			it, ok := book.NewIndex(b).Item(book.ID(args[0]))
			if !ok || it.Ingredient == nil || it.Part != nil {
				return fmt.Errorf("%s is no ingredient of the book; add it with: marchpane ingredient add %s", args[0], args[0])
			}
			words := like
			if words == "" {
				words = it.Ingredient.Name
			}
			known, found := likeliest(words)
			if !found {
				return nothingLike(words)
			}
			ing, taken := reference.Fill(*it.Ingredient, known, it.Ingredient.Allergens == nil)
			ing.Prices = nil // those of the book stay
			if len(taken) > 0 {
				if err := storeIngredient(cmd.Context(), env, s, b, ing, "ingredient fill"); err != nil {
					return err
				}
			}
			if env.json {
				return env.printJSON(addedOf(ing, taken))
			}
			if len(taken) == 0 {
				fmt.Fprintf(env.Out, "%s states all that the tables know; nothing was changed.\n", ing.Name)
				return nil
			}
			fmt.Fprintf(env.Out, "%s was filled in from %s.\n", ing.Name, known.Name())
			printTaken(env, taken, known)
			return nil
		}),
	}
	cmd.Flags().StringVar(&like, "like", "", "the `WORDS` to look up in the reference tables (default: the name)")
	return cmd
}

// read makes an ingredient of what was stated, and its first price.
func (f stated) read(env *Env, id string) (ing book.Ingredient, prices []book.Price, err error) {
	if err := ing.ID.UnmarshalText([]byte(id)); err != nil {
		return ing, nil, err
	}
	ing.Name, prices = f.name, []book.Price{}
	if f.pack != "" {
		p, err := readPrice(f.pack, f.price, f.supplier, f.taxIn, "")
		if err != nil {
			return ing, nil, err
		}
		p.From = env.orToday(f.from)
		ing.Measure, prices = p.Pack.Dimension(), append(prices, p)
	}
	read := func(flag, text string, into interface{ UnmarshalText([]byte) error }) {
		if text == "" || err != nil {
			return
		}
		if err = into.UnmarshalText([]byte(text)); err != nil {
			err = fmt.Errorf("--%s: %w", flag, err)
		}
	}
	read("measure", f.by, &ing.Measure)
	read("density", f.density, &ing.Density)
	read("each", f.each, &ing.Each)
	var trim measure.Percent
	read("trim", spacedPercent(f.trim), &trim)
	if f.trim != "" {
		ing.TrimYield = record.Some(trim)
	}
	if f.category != "" {
		ing.Category = record.Some(f.category)
	}
	if f.contains != "" || f.may != "" {
		ing.Allergens = &book.AllergenNotes{}
		for flag, to := range map[string]*[]book.Allergen{"contains": &ing.Allergens.Contains, "may-contain": &ing.Allergens.MayContain} {
			text := map[string]string{"contains": f.contains, "may-contain": f.may}[flag]
			if text == "" || text == "none" {
				continue
			}
			for word := range strings.SplitSeq(text, ",") {
				var a book.Allergen
				read(flag, strings.TrimSpace(word), &a)
				*to = append(*to, a)
			}
		}
	}
	return ing, prices, err
}

// likeliest looks words up; a mere guess is none.
func likeliest(words string) (reference.Entry, bool) {
	if list := reference.Find(words); len(list) > 0 && list[0].Confidence >= reference.Likely {
		return list[0].Entry, true
	}
	return reference.Entry{}, false
}

func nothingLike(words string) error {
	text := fmt.Sprintf("the tables have nothing that is surely %q", words)
	if list := reference.Find(words); len(list) > 0 {
		text += "; is it one of these? " + otherNames(list)
	}
	return errors.New(text + "; say which with --like, or state the figures yourself")
}

func storeIngredient(ctx context.Context, env *Env, s *store.Store, b book.Book, ing book.Ingredient, source string) error {
	file := book.Book{Format: b.Format, Studio: b.Studio, Ingredients: []book.Ingredient{ing}}
	_, err := s.Import(ctx, file, false, source, env.Now())
	return err
}

func joined[T ~string](words []T) string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	return strings.Join(list, ", ")
}
