package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/store"
)

func bookCommand(env *Env) *cobra.Command {
	return group("book", "Load, save and check the studio's book",
		`A book is everything a studio prices with, in one JSON file: the studio, wages,
appliances, overhead, ingredients with dated prices, recipes, cakes and extras.`,
		bookImport(env), bookExport(env), bookCheck(env), bookSchema(env))
}

func bookImport(env *Env) *cobra.Command {
	var replace, yes bool
	cmd := &cobra.Command{
		Use:   "import FILE",
		Short: "Load a book file into the store",
		Long: `Load a book file into the store. What is new is added, what differs is changed,
nothing is removed; dated prices are only ever added. With --replace the store's
book becomes exactly the file. Quotes stay either way.

All or nothing: a file with faults is refused with every one of them, each with
its path, and the store stays as it was. FILE may be - for standard input.`,
		Example: `  marchpane book import studio.json
  marchpane book import studio.json --replace --yes`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			data, err := env.readFile(args[0])
			if err != nil {
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			file, err := book.Read(data)
			if err != nil {
				return diagnose(cmd.Context(), s, data, replace)
			}
			if err := checkLogo(file); err != nil {
				return err
			}
			if replace && !yes && env.Asks {
				if old, err := s.Book(cmd.Context()); err == nil && !env.confirmed(fmt.Sprintf("%s takes the place of the book of %q, which holds %s.", args[0], old.Studio.Name, bookSize(old))) {
					return errors.New("nothing was changed; save the old book first with: marchpane book export -o FILE")
				}
			}
			if size := len(file.Ingredients) + len(file.Components) + len(file.Cakes); size > 1000 && env.Asks {
				fmt.Fprintf(env.Err, "Checking and storing %d objects; a large book takes some seconds …\n", size)
			}
			changes, err := s.Import(cmd.Context(), file, replace, sourceName(args[0]), env.Now())
			if err != nil {
				return err
			}
			return env.imported(file, changes)
		},
	}
	cmd.Flags().BoolVar(&replace, "replace", false, "make the store's book exactly the file, removing what the file lacks")
	cmd.Flags().BoolVar(&yes, "yes", false, "at a terminal: do not ask whether --replace is meant")
	return cmd
}

// confirmed asks the person at the terminal whether a loss is meant.
func (e *Env) confirmed(what string) bool {
	fmt.Fprintf(e.Err, "%s\nType yes to go on: ", what)
	var answer string
	fmt.Fscanln(e.In, &answer)
	return answer == "yes"
}

// counts is the document of `book import`: what the file held, object by
// object, and what that did to the store.
type counts struct {
	Roles       int `json:"roles"`
	Energy      int `json:"energy"`
	Equipment   int `json:"equipment"`
	Overhead    int `json:"overhead"`
	Ingredients int `json:"ingredients"`
	Prices      int `json:"prices"`
	Components  int `json:"components"`
	Cakes       int `json:"cakes"`
	Extras      int `json:"extras"`
	Tins        int `json:"tins"`
	Added       int `json:"added"`
	Changed     int `json:"changed"`
	Same        int `json:"same"`
	PricesAdded int `json:"prices_added"`
}

func countsOf(b book.Book, ch book.Changes) counts {
	c := counts{
		Roles: len(b.Roles), Energy: len(b.Energy), Equipment: len(b.Equipment), Ingredients: len(b.Ingredients),
		Components: len(b.Components), Cakes: len(b.Cakes), Extras: len(b.Extras), Tins: len(b.Tins),
		Added: ch.Added, Changed: ch.Changed, Same: ch.Same, PricesAdded: ch.Prices,
	}
	if b.Overhead != nil {
		c.Overhead = len(b.Overhead.Dated)
	}
	for _, ing := range b.Ingredients {
		c.Prices += len(ing.Prices)
	}
	return c
}

func (e *Env) imported(file book.Book, changes book.Changes) error {
	if e.json {
		return e.printJSON(countsOf(file, changes))
	}
	fmt.Fprintf(e.Out, "%s: %s.\n", file.Studio.Name, bookSize(file))
	fmt.Fprintf(e.Out, "%d added, %d changed, %d as they were; %s added.\n", changes.Added, changes.Changed, changes.Same, plural(changes.Prices, "dated price", "dated prices"))
	return nil
}

func bookSize(b book.Book) string {
	return fmt.Sprintf("%s, %s, %s, %s",
		plural(len(b.Ingredients), "ingredient", "ingredients"), plural(len(b.Components), "component", "components"),
		plural(len(b.Cakes), "cake", "cakes"), plural(len(b.Extras), "extra", "extras"))
}

// diagnose says all that is wrong with a file that could not be read: laid
// over the store's book, whose objects it may name, or by itself.
func diagnose(ctx context.Context, s *store.Store, data []byte, alone bool) error {
	base, err := s.Book(ctx)
	if alone || errors.Is(err, store.ErrEmpty) {
		base, err = book.Book{}, nil
	}
	if err != nil {
		return err
	}
	return book.Diagnose(base, data)
}

// readFile reads a file, or standard input for "-", and no more of it than a
// record may hold.
func (e *Env) readFile(path string) ([]byte, error) {
	in := e.In
	if path != "-" {
		f, err := os.Open(path)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, record.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", path, err)
	}
	return data, nil
}

func sourceName(path string) string {
	if path == "-" {
		return "standard input"
	}
	return filepath.Base(path)
}

func bookExport(env *Env) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:     "export",
		Short:   "Print the store's book as a book file",
		Long:    `Print the whole book of the store. Importing it again changes nothing.`,
		Example: `  marchpane book export -o studio.json`,
		Args:    cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			b, err := s.Book(cmd.Context())
			if err != nil {
				return err
			}
			text, err := book.Encode(b)
			if err != nil {
				return err
			}
			return env.deliver(out, text)
		}),
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` instead of standard output")
	return cmd
}

// deliver writes text to a file, or prints it where none is named.
func (e *Env) deliver(path string, text []byte) error {
	if path == "" || path == "-" {
		_, err := e.Out.Write(text)
		return err
	}
	return writeFile(path, func(w io.Writer) error { _, err := w.Write(text); return err })
}

func bookCheck(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "check FILE",
		Short: "Say all that is wrong with a book file, storing nothing",
		Long: `Check a book file on its own. Every fault is reported with its path. Nothing is
stored, and what the store holds is not looked at.`,
		Example: `  marchpane book check studio.json`,
		Args:    oneArgument,
		RunE: func(_ *cobra.Command, args []string) error {
			data, err := env.readFile(args[0])
			if err != nil {
				return err
			}
			b, err := book.Parse(data)
			if err == nil {
				err = checkLogo(b)
			}
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(countsOf(b, book.Changes{}))
			}
			fmt.Fprintf(env.Out, "%s: %s. Nothing is wrong with it.\n", b.Studio.Name, bookSize(b))
			return nil
		},
	}
}

func bookSchema(env *Env) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:     "schema",
		Short:   "Print the JSON Schema of the book file",
		Long:    `Print the JSON Schema (draft 2020-12) of the book file, for editors and checkers.`,
		Example: `  marchpane book schema -o book.schema.json`,
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			text, err := book.Schema()
			if err != nil {
				return err
			}
			return env.deliver(out, text)
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` instead of standard output")
	return cmd
}
