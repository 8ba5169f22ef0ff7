package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/day"
	"marchpane/pricing/record"
	"marchpane/store"
)

// Main runs a command line and returns its exit status.
func Main(args []string, env *Env) int {
	// A command lives for milliseconds; collecting garbage in so small a heap
	// costs more of them than the memory is worth. A large job does collect.
	debug.SetGCPercent(2000)
	debug.SetMemoryLimit(768 << 20)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	root := newRoot(env)
	root.SetArgs(args)
	root.SetIn(env.In)
	root.SetOut(env.Out)
	root.SetErr(env.Err)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return 0
	}
	report(env, err)
	if !env.started {
		return 2
	}
	return 1
}

// report prints an error for the user: every fault of a file on its own line.
func report(env *Env, err error) {
	var faults record.Faults
	if errors.As(err, &faults) && len(faults) > 1 {
		fmt.Fprintf(env.Err, "marchpane: %d faults; nothing was stored\n", len(faults))
		for _, f := range faults {
			fmt.Fprintf(env.Err, "  %s\n", f)
		}
		return
	}
	if errors.Is(err, store.ErrEmpty) {
		fmt.Fprintln(env.Err, "marchpane: the store holds no book yet; load one with: marchpane book import FILE\nmarchpane: or look around in the demo studio first: marchpane demo FOLDER")
		return
	}
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintf(env.Err, "marchpane: %s\n", line)
	}
}

func newRoot(env *Env) *cobra.Command {
	root := &cobra.Command{
		Use:   "marchpane",
		Short: "Cost and quote special-occasion cakes",
		Long: `Marchpane costs special-occasion cakes to the gram and quotes them to clients.

A studio keeps one store: its recipes, prices, cakes and quotes. Load a book of
them, ask what a cake costs, write a quote as a PDF, and see what a dearer pack
of butter does to every margin.`,
		Example: `  marchpane book import studio.json      load recipes, prices and cakes
  marchpane cakes                        what every cake costs and earns today
  marchpane cost wedding --sheet wedding.xlsx
  marchpane explain wedding              unfold the cost down to the gram
  marchpane quote new --from request.json
  marchpane quote pdf 2026-0001 -o quote.pdf
  marchpane impact butter --change "18 %"`,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			env.started = true
			return cmd.Help()
		},
	}
	root.PersistentFlags().StringVar(&env.storePath, "store", "", "the studio's store `FILE` (default: MARCHPANE_STORE, else studio.db in your data folder)")
	root.PersistentFlags().BoolVar(&env.json, "json", false, "print one JSON document, for scripts")
	root.AddCommand(
		bookCommand(env), cakesCommand(env), costCommand(env), billCommand(env), explainCommand(env),
		ingredientCommand(env), priceCommand(env), impactCommand(env), exposureCommand(env), repriceCommand(env), clientCommand(env), enquiryCommand(env), quoteCommand(env), paymentCommand(env), actualCommand(env), clockCommand(env), letterCommand(env), mailCommand(env), calendarCommand(env), shoppingCommand(env), planCommand(env), capacityCommand(env), studioCommand(env), tiersCommand(env), scaleCommand(env), recipeCommand(env), outlookCommand(env), reportCommand(env), demoCommand(env), serveCommand(env),
	)
	root.SetHelpCommand(helpCommand(root))
	sortIntoGroups(root)
	for _, c := range root.Commands() {
		markStart(env, c)
	}
	return root
}

// groups lists the commands under what they are for, in the order of the help.
var groups = []struct{ title, commands string }{
	{"Cakes and recipes", "book cakes cost bill explain scale tiers recipe ingredient"},
	{"Prices and margins", "price impact exposure reprice outlook"},
	{"From enquiry to paid order", "client enquiry quote payment letter mail calendar"},
	{"The kitchen and the month", "shopping plan capacity actual clock report"},
	{"The studio", "studio serve demo"},
}

func sortIntoGroups(root *cobra.Command) {
	of := map[string]string{}
	for _, g := range groups {
		root.AddGroup(&cobra.Group{ID: g.title, Title: g.title + ":"})
		for name := range strings.FieldsSeq(g.commands) {
			of[name] = g.title
		}
	}
	for _, c := range root.Commands() {
		c.GroupID = of[c.Name()]
	}
}

// helpCommand is cobra's own, but a word that is no command is a wrong command
// line and not a success.
func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [command]",
		Short: "Help about any command",
		RunE: func(_ *cobra.Command, args []string) error {
			cmd, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 && cmd.HasSubCommands() || len(args) > 0 && cmd == root {
				return fmt.Errorf("there is no command %q; see %s --help", strings.Join(args, " "), root.Name())
			}
			return cmd.Help()
		},
	}
}

// markStart makes every command note that its command line was right before
// it runs.
func markStart(env *Env, c *cobra.Command) {
	if run := c.RunE; run != nil {
		c.RunE = func(cmd *cobra.Command, args []string) error {
			env.started = true
			return run(cmd, args)
		}
	}
	for _, sub := range c.Commands() {
		markStart(env, sub)
	}
}

// group is a command that only holds others: by itself it shows its help, and
// a word that is none of them is a wrong command line.
func group(use, short, long string, subs ...*cobra.Command) *cobra.Command {
	c := &cobra.Command{
		Use: use, Short: short, Long: long,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("%s has no command %q; see %s --help", cmd.CommandPath(), args[0], cmd.CommandPath())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.AddCommand(subs...)
	return c
}

// dateFlag is a flag that holds a day; the zero day where it is not given.
type dateFlag struct{ date *day.Date }

func (f dateFlag) String() string {
	if f.date == nil {
		return ""
	}
	return f.date.String()
}

func (f dateFlag) Type() string { return "DATE" }

func (f dateFlag) Set(s string) (err error) {
	*f.date, err = day.Parse(s)
	return err
}

// onFlag adds --on to a command.
func onFlag(cmd *cobra.Command, on *day.Date) {
	cmd.Flags().Var(dateFlag{on}, "on", "with the prices in force on this `DATE`, such as 2026-10-05 (default: today)")
}

func (e *Env) orToday(on day.Date) day.Date {
	if on.IsZero() {
		return e.today()
	}
	return on
}

// oneArgument is for commands that take exactly what the second word of their
// usage names.
func oneArgument(cmd *cobra.Command, args []string) error {
	name := strings.Fields(cmd.Use)[1]
	switch {
	case len(args) == 0:
		return fmt.Errorf("%s needs %s; see %s --help", cmd.CommandPath(), name, cmd.CommandPath())
	case len(args) > 1:
		return fmt.Errorf("%s takes one %s, not %d; put a name with spaces in quotes", cmd.CommandPath(), name, len(args))
	}
	return nil
}
