package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/enquiry"
	"marchpane/pricing/record"
	"marchpane/store"
)

func clientCommand(env *Env) *cobra.Command {
	return group("client", "Keep the studio's clients: who they are, what they asked for and ordered",
		`A client is a person or firm that the studio deals with. Each is called C1, C2 and
so on, and has enquiries (marchpane enquiry) and quotes.

The law of many countries gives people a right to a copy of what a business holds
on them, and to have it erased: "client export" and "client erase" do the one and
the other. What has to be kept all the same, and for how long, is for local law
and licensed advice to say.`,
		clientAdd(env), clientList(env), clientShow(env), clientChange(env), clientLink(env), clientMerge(env), clientExport(env), clientErase(env))
}

// clientKeys are the keys of a client's file and what their flags say of them.
var clientKeys = []keyFlag{
	{"name", "the client's `NAME`"},
	{"email", "the `ADDRESS` for letters, zoe@example.com"},
	{"phone", "the `NUMBER` as it is dialled"},
	{"address", "the postal `ADDRESS`"},
	{"language", "the `TAG` of the language of their papers, fr or pt-BR (default: the studio's)"},
	{"dietary", "`WHAT` they must not or will not eat"},
	{"notes", "anything else worth a `NOTE`"},
}

// keyFlag is a flag that sets the key of the same name in a record.
type keyFlag struct{ key, usage string }

// recordFlags adds flags for the keys of a record, and --from for a file of it.
func recordFlags(cmd *cobra.Command, keys []keyFlag) {
	for _, k := range keys {
		cmd.Flags().String(k.key, "", k.usage)
	}
	cmd.Flags().String("from", "", "take it from this JSON `FILE`, or - for standard input; flags go before what it says")
}

// changesAny reports whether one of the flags of a record, or another of those
// named, is on the command line.
func changesAny(cmd *cobra.Command, keys []keyFlag, others ...string) bool {
	return slices.ContainsFunc(keys, func(k keyFlag) bool { return cmd.Flags().Changed(k.key) }) || slices.ContainsFunc(others, cmd.Flags().Changed)
}

// stated returns a record as JSON: the file that --from names, or else base,
// with what flags and fix set in place of its own. An empty flag takes a key
// out. The file's own faults are found first, but for the lack of a key that a
// flag may bring; like is a record of the kind.
func (e *Env) stated(cmd *cobra.Command, keys []keyFlag, base []byte, like any, brought string, fix func(map[string]any)) ([]byte, error) {
	data := base
	if from, _ := cmd.Flags().GetString("from"); from != "" {
		var err error
		if data, err = e.readFile(from); err != nil {
			return nil, err
		}
		faults := slices.DeleteFunc(record.Decode(data, like), func(f record.Fault) bool { return f.Path == brought })
		if err := faults.Err(); err != nil {
			return nil, err
		}
	}
	var object map[string]any
	decoder := json.NewDecoder(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	decoder.UseNumber()
	if err := decoder.Decode(&object); err != nil {
		return nil, err
	}
	for _, k := range keys {
		if cmd.Flags().Changed(k.key) {
			value, _ := cmd.Flags().GetString(k.key)
			setKey(object, k.key, value, value != "")
		}
	}
	fix(object)
	return json.Marshal(object)
}

// setKey sets a key, or takes it out where nothing is said.
func setKey(object map[string]any, key string, value any, said bool) {
	if !said {
		delete(object, key)
		return
	}
	object[key] = value
}

// readClient reads a client from a command's flags and file, over base.
func (e *Env) readClient(cmd *cobra.Command, base []byte) (enquiry.Client, error) {
	data, err := e.stated(cmd, clientKeys, base, new(enquiry.Client), "name", func(map[string]any) {})
	if err != nil {
		return enquiry.Client{}, err
	}
	return enquiry.ReadClient(data)
}

// added is the document of `client add`.
type added struct {
	store.SavedClient
	LooksLike []store.Double `json:"looks_like"`
}

func clientAdd(env *Env) *cobra.Command {
	var of string
	cmd := &cobra.Command{
		Use:   "add",
		Short: "Add a client",
		Long: `Add a client, by flags or from a JSON file with the same keys:

  {"name": "Zoë Šimková", "email": "zoe@example.com", "phone": "+353 87 496 0123",
   "address": "12 Mill Lane\nArdmorrow", "language": "cs",
   "dietary": "no hazelnuts", "notes": "met at the fair"}

Only the name is needed. With --of QUOTE the client is the one whom a quote was
made for, and the quote becomes theirs: so quotes from before clients were kept
find their owners. Clients who look like the new one are named.

Note of a person's health and faith no more than the order needs. Dietary notes
are no allergen analysis: go by the labels of what goes into the cake.`,
		Example: `  marchpane client add --name "Zoë Šimková" --email zoe@example.com --phone "+353 87 496 0123"
  marchpane client add --from zoe.json
  marchpane client add --of 2026-0001`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if of != "" && changesAny(cmd, clientKeys, "from") {
				env.started = false
				return errors.New("--of takes the client from the quote; give it alone, and change the client afterwards with: marchpane client change")
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			c, err := env.addClient(cmd, s, of)
			if err != nil {
				return err
			}
			alike, err := s.Alike(cmd.Context(), c.Ref, math.MaxInt32)
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(added{c, alike})
			}
			fmt.Fprintf(env.Out, "%s is %s.\n", c.Name, c.Ref)
			for _, d := range alike {
				fmt.Fprintf(env.Out, "%s looks like %s, %s (%s). If they are one: marchpane client merge %s --into %s\n", c.Ref, d.Second.Ref, d.Second.Name, reasons(d.Why), c.Ref, d.Second.Ref)
			}
			return nil
		},
	}
	recordFlags(cmd, clientKeys)
	cmd.Flags().StringVar(&of, "of", "", "the client whom this `QUOTE` was made for")
	return cmd
}

func (e *Env) addClient(cmd *cobra.Command, s *store.Store, of string) (store.SavedClient, error) {
	if of != "" {
		return s.AddClientOf(cmd.Context(), of, e.Now())
	}
	c, err := e.readClient(cmd, []byte("{}"))
	if err != nil {
		return store.SavedClient{}, err
	}
	return s.AddClient(cmd.Context(), c, e.Now())
}

func reasons(why []enquiry.Likeness) string {
	words := make([]string, len(why))
	for i, w := range why {
		words[i] = string(w)
	}
	return strings.Join(words, ", ")
}

func clientList(env *Env) *cobra.Command {
	var doubles bool
	cmd := &cobra.Command{
		Use:   "list [WORDS]",
		Short: "Find clients, or list them all",
		Long: `List the clients in whose name, email, phone, address or notes all the words stand,
or every client. Capitals and accents do not matter, parts of words are enough, and
a telephone number is found however its digits are spaced. Names are sorted as in
the studio's language.

With --doubles, list the records that look like one client, and why: the same email
or telephone number, the same name in another order of its words, or a name with
one slip of the keys. It is a hint; two people may share a telephone.`,
		Example: `  marchpane client list
  marchpane client list simkova ardmorrow
  marchpane client list --doubles`,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			if doubles {
				return env.listDoubles(cmd.Context(), s)
			}
			words := strings.Join(args, " ")
			list, err := s.Clients(cmd.Context(), words)
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(list)
			}
			switch {
			case len(list) == 0 && words == "":
				fmt.Fprintln(env.Out, "There are no clients yet. Add one with: marchpane client add --name NAME\nor from a quote: marchpane client add --of QUOTE")
				return nil
			case len(list) == 0:
				fmt.Fprintf(env.Out, "No client has all of %q in name, email, phone, address or notes. Try fewer words, or parts of them.\n", words)
				return nil
			}
			t := table{heads: []string{"client", "name", "email", "phone", "enquiries>", "quotes>"}}
			for _, c := range list {
				t.add(c.Ref, c.Name, c.Email, c.Phone, fmt.Sprint(c.Enquiries), fmt.Sprint(c.Quotes))
			}
			t.print(env)
			return nil
		}),
	}
	cmd.Flags().BoolVar(&doubles, "doubles", false, "list records that look like one client, and why")
	return cmd
}

func (e *Env) listDoubles(ctx context.Context, s *store.Store) error {
	list, err := s.Doubles(ctx)
	if err != nil {
		return err
	}
	if e.json {
		return e.printJSON(list)
	}
	if len(list) == 0 {
		fmt.Fprintln(e.Out, "No two clients look like one.")
		return nil
	}
	t := table{heads: []string{"client", "name", "looks like", "name", "why"}}
	for _, d := range list {
		t.add(d.First.Ref, d.First.Name, d.Second.Ref, d.Second.Name, reasons(d.Why))
	}
	t.print(e)
	fmt.Fprintf(e.Out, "\nMake two into one with: marchpane client merge %s --into %s\n", list[0].Second.Ref, list[0].First.Ref)
	return nil
}

// shownClient is the document of `client show`.
type shownClient struct {
	store.SavedClient
	Enquiries []store.SavedEnquiry `json:"enquiries"`
	Quotes    []store.QuoteEntry   `json:"quotes"`
}

func clientShow(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:     "show CLIENT",
		Short:   "Show a client with their enquiries and quotes",
		Example: `  marchpane client show C1`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			return env.showClient(cmd.Context(), s, args[0])
		}),
	}
}

func (e *Env) showClient(ctx context.Context, s *store.Store, ref string) error {
	c, err := s.Client(ctx, ref)
	if err != nil {
		return err
	}
	doc := shownClient{SavedClient: c}
	if doc.Enquiries, err = s.EnquiriesOf(ctx, c.Ref); err != nil {
		return err
	}
	if doc.Quotes, err = s.QuotesOf(ctx, c.Ref, e.today()); err != nil {
		return err
	}
	if e.json {
		return e.printJSON(doc)
	}
	fmt.Fprintf(e.Out, "%s\n", e.bold(c.Ref+" "+c.Name))
	e.facts([]fact{{"email", c.Email}, {"phone", c.Phone}, {"address", c.Address}, {"language", c.Language}, {"dietary", c.Dietary}, {"notes", c.Notes}})
	fmt.Fprintln(e.Out)
	if len(doc.Enquiries) == 0 {
		fmt.Fprintf(e.Out, "No enquiries yet. Add one with: marchpane enquiry add %s --date DATE\n", c.Ref)
	} else {
		printEnquiries(e, doc.Enquiries)
	}
	if len(doc.Quotes) > 0 {
		fmt.Fprintln(e.Out)
		t := table{heads: []string{"quote", "revision", "state", "event", "total>"}}
		for _, q := range doc.Quotes {
			total := q.Total
			if len(q.Totals) > 0 {
				total = strings.Join(q.Totals, " or ")
			}
			t.add(q.Ref(), q.Revision, string(q.State), q.EventDate, total+" "+q.Currency)
		}
		t.print(e)
	}
	return nil
}

// fact is a line of what is known.
type fact struct {
	name string
	text record.Maybe[string]
}

// facts prints what is known, further lines of a text under its first.
func (e *Env) facts(list []fact) {
	widest := 0
	for _, f := range list {
		if f.text.Given {
			widest = max(widest, len(f.name))
		}
	}
	for _, f := range list {
		if f.text.Given {
			pad := strings.Repeat(" ", widest-len(f.name)+2)
			fmt.Fprintf(e.Out, "%s%s%s\n", f.name, pad, strings.ReplaceAll(f.text.Value, "\n", "\n"+strings.Repeat(" ", widest+2)))
		}
	}
}

func clientChange(env *Env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "change CLIENT",
		Short: "Change what is noted of a client",
		Long: `Change what is noted of a client. Each flag replaces what stood there; an empty one,
--phone "", takes it away. With --from FILE the record becomes what the file says.
Quotes keep the name and address that they were issued with.`,
		Example: `  marchpane client change C1 --phone "01 496 0199" --notes ""`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			if !changesAny(cmd, clientKeys, "from") {
				env.started = false
				return fmt.Errorf("%s needs to know what to change; see %s --help", cmd.CommandPath(), cmd.CommandPath())
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			c, err := s.ChangeClient(cmd.Context(), args[0], func(c *enquiry.Client) error {
				base, err := json.Marshal(c)
				if err != nil {
					return err
				}
				*c, err = env.readClient(cmd, base)
				return err
			}, env.Now())
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(c)
			}
			fmt.Fprintf(env.Out, "%s %s is changed.\n", c.Ref, c.Name)
			return nil
		},
	}
	recordFlags(cmd, clientKeys)
	return cmd
}

func clientLink(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "link CLIENT QUOTE...",
		Short: "Say that quotes are a client's",
		Long: `Say that quotes or drafts are a client's, in place of what was said before. The words
and figures of the quotes stay as they are. Where an enquiry is behind a quote, use
"marchpane enquiry quoted" instead.`,
		Example: `  marchpane client link C1 2026-0001 D3`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) < 2 {
				return fmt.Errorf("%s needs CLIENT and QUOTE; see %s --help", cmd.CommandPath(), cmd.CommandPath())
			}
			return nil
		},
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			c, err := s.Client(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			for _, ref := range args[1:] {
				if err := s.LinkQuote(cmd.Context(), ref, c.Ref, ""); err != nil {
					return err
				}
			}
			if env.json {
				return env.showClient(cmd.Context(), s, c.Ref)
			}
			fmt.Fprintf(env.Out, "%s belongs to %s %s.\n", strings.Join(args[1:], ", "), c.Ref, c.Name)
			return nil
		}),
	}
}
