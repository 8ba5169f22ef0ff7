package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
)

func enquiryCommand(env *Env) *cobra.Command {
	return group("enquiry", "Keep what clients ask for, until a quote answers it",
		`An enquiry is one occasion that a client asks about: its day, place, guests, budget
and wishes, and a tasting. Each is called E1, E2 and so on. It is open until a
quote answers it (then it is quoted) or it is closed with a reason.

From enquiry to quote it is one edit: "enquiry request" prints the quote's request,
to which only the cakes are added.`,
		enquiryAdd(env), enquiryList(env), enquiryShow(env), enquiryChange(env), enquiryRequest(env), enquiryQuoted(env), enquiryClose(env))
}

// enquiryKeys are the keys of an enquiry's file that hold text, and what their
// flags say of them.
var enquiryKeys = []keyFlag{
	{"received", "the `DATE` on which it came (default: today)"},
	{"occasion", "`WHAT` is celebrated"},
	{"date", "the `DATE` of the event, such as 2027-06-12"},
	{"venue", "`WHERE` it is"},
	{"km", "the `NUMBER` of km driven there and back"},
	{"budget", "`MONEY` that it may cost at most, in the studio's currency: 850.00"},
	{"dietary", "`WHAT` guests must not or will not eat"},
	{"wishes", "design, flavours and whatever else is `WISHED` for"},
}

// enquiryFlags adds the flags of an enquiry: those whose value is no text by
// themselves.
func enquiryFlags(cmd *cobra.Command) {
	recordFlags(cmd, enquiryKeys)
	cmd.Flags().String("guests", "", "the `NUMBER` of guests")
	cmd.Flags().String("tasting", "", "the `DAY` and time of a tasting: 2027-03-06 or \"2027-03-06 14:30\"")
}

// readEnquiry reads an enquiry from a command's flags and file, over base.
func (e *Env) readEnquiry(cmd *cobra.Command, base []byte, fix func(map[string]any)) (enquiry.Enquiry, error) {
	data, err := e.stated(cmd, enquiryKeys, base, new(enquiry.Enquiry), "client", func(object map[string]any) {
		if cmd.Flags().Changed("guests") {
			text, _ := cmd.Flags().GetString("guests")
			setKey(object, "guests", guestCount(text), text != "")
		}
		if cmd.Flags().Changed("tasting") {
			text, _ := cmd.Flags().GetString("tasting")
			setKey(object, "tasting", tasting(text), text != "")
		}
		fix(object)
	})
	if err != nil {
		return enquiry.Enquiry{}, err
	}
	return enquiry.ReadEnquiry(data)
}

// guestCount is a count in a record, or what stands in its place, to be refused
// where it is read.
func guestCount(text string) any {
	if n, err := strconv.Atoi(text); err == nil {
		return n
	}
	return text
}

// tasting is a tasting in a record: a day, and a time or none.
func tasting(text string) any {
	day, clock, timed := strings.Cut(strings.TrimSpace(text), " ")
	if timed {
		return map[string]any{"date": day, "time": strings.TrimSpace(clock)}
	}
	return map[string]any{"date": day}
}

func enquiryAdd(env *Env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "add CLIENT",
		Short: "Add what a client asks for",
		Long: `Add what a client asks for, by flags or from a JSON file with the same keys:

  {"client": "C1", "received": "2026-11-25", "occasion": "wedding",
   "date": "2027-06-12", "venue": "The Old Barn", "km": "24", "guests": 90,
   "budget": "850.00", "dietary": "two coeliacs", "wishes": "ivory, figs",
   "tasting": {"date": "2027-03-06", "time": "14:30"}}

Nothing but the client is needed at first; add the rest with "enquiry change" as it
becomes known. CLIENT may be left out where the file names it.`,
		Example: `  marchpane enquiry add C1 --date 2027-06-12 --venue "The Old Barn" --km 24 --guests 90 --budget 850
  marchpane enquiry add --from enquiry.json`,
		Args: func(cmd *cobra.Command, args []string) error {
			if from, _ := cmd.Flags().GetString("from"); len(args) == 0 && from != "" {
				return nil
			}
			return oneArgument(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := env.readEnquiry(cmd, []byte("{}"), func(object map[string]any) {
				if len(args) > 0 {
					object["client"] = args[0]
				}
				if object["received"] == nil {
					object["received"] = env.today().String()
				}
			})
			if err != nil {
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			saved, err := s.AddEnquiry(cmd.Context(), e)
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(saved)
			}
			fmt.Fprintf(env.Out, "%s: %s asks%s.\n", saved.Ref, saved.Name, about(saved))
			fmt.Fprintf(env.Out, "Quote it with: marchpane enquiry request %s -o request.json\n", saved.Ref)
			return nil
		},
	}
	enquiryFlags(cmd)
	return cmd
}

// about says what an enquiry is about: " about a wedding on …", or nothing.
func about(e store.SavedEnquiry) string {
	var text string
	if e.Occasion.Given {
		text = " about: " + e.Occasion.Value
	}
	if !e.Date.IsZero() {
		text += ", on " + e.Date.String()
	}
	if e.Guests.Given {
		text += ", " + plural(e.Guests.Value, "guest", "guests")
	}
	if e.Occasion.Given || text == "" {
		return text
	}
	return " about an event" + text
}

func enquiryList(env *Env) *cobra.Command {
	var state string
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List enquiries, the next event first",
		Long: `List enquiries, the next event first: those that are open or quoted, or with --state
those of one state (open, quoted, closed) or all.`,
		Example: `  marchpane enquiry list
  marchpane enquiry list --state open`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			wanted := enquiry.State(state)
			switch wanted {
			case "", enquiry.Open, enquiry.Quoted, enquiry.Closed:
			case "all":
				wanted = ""
			default:
				env.started = false
				return fmt.Errorf("--state %.40s is unknown; use open, quoted, closed or all", state)
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			all, err := s.Enquiries(cmd.Context(), wanted)
			if err != nil {
				return err
			}
			list := []store.SavedEnquiry{}
			for _, e := range all {
				if state != "" || e.State != enquiry.Closed {
					list = append(list, e)
				}
			}
			if env.json {
				return env.printJSON(list)
			}
			switch {
			case len(list) > 0:
				printEnquiries(env, list)
			case len(all) > 0:
				fmt.Fprintln(env.Out, "Every enquiry is closed. See them with: marchpane enquiry list --state all")
			case state == "" || state == "all":
				fmt.Fprintln(env.Out, "There are no enquiries yet. Add a client, then what they ask for:\n  marchpane client add --name NAME\n  marchpane enquiry add CLIENT --date DATE --guests NUMBER")
			default:
				fmt.Fprintf(env.Out, "No enquiry is %s.\n", state)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&state, "state", "", "`STATE` to list: open, quoted, closed or all (default: open and quoted)")
	return cmd
}

func printEnquiries(env *Env, list []store.SavedEnquiry) {
	t := table{heads: []string{"enquiry", "client", "name", "event", "occasion", "guests>", "budget>", "tasting", "state"}}
	for _, e := range list {
		guests, taste := "", ""
		if e.Guests.Given {
			guests = strconv.Itoa(e.Guests.Value)
		}
		if e.Tasting != nil {
			taste = tastingText(*e.Tasting)
		}
		t.add(e.Ref, e.Client, e.Name, e.Date.String(), e.Occasion.Value, guests, budgetText(e), taste, stateText(e))
	}
	t.print(env)
}

func budgetText(e store.SavedEnquiry) string {
	if !e.Budget.Given {
		return ""
	}
	return e.Budget.Value.String()
}

func tastingText(t enquiry.Tasting) string {
	if t.Time.Given {
		return t.Date.String() + " " + t.Time.Value.String()
	}
	return t.Date.String()
}

// stateText is an enquiry's state, with the quotes or the reason.
func stateText(e store.SavedEnquiry) string {
	switch e.State {
	case enquiry.Quoted:
		return "quoted: " + strings.Join(e.Quotes, ", ")
	case enquiry.Closed:
		return "closed: " + e.ClosedWhy
	}
	return string(e.State)
}

func enquiryShow(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:     "show ENQUIRY",
		Short:   "Show all that is known of an enquiry",
		Example: `  marchpane enquiry show E1`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			e, err := s.Enquiry(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(e)
			}
			fmt.Fprintf(env.Out, "%s of %s %s, %s\n", env.bold(e.Ref), e.Client, e.Name, stateText(e))
			known := func(text string) record.Maybe[string] { return record.Maybe[string]{Value: text, Given: text != ""} }
			guests, taste, km := "", "", ""
			if e.Guests.Given {
				guests = strconv.Itoa(e.Guests.Value)
			}
			if e.Tasting != nil {
				taste = tastingText(*e.Tasting)
			}
			if e.Km.Given {
				km = e.Km.Value.String() + " km there and back"
			}
			env.facts([]fact{{"received", known(e.Received.String())}, {"occasion", e.Occasion}, {"event", known(e.Date.String())}, {"venue", e.Venue}, {"distance", known(km)},
				{"guests", known(guests)}, {"budget", known(budgetText(e))}, {"dietary", e.Dietary}, {"wishes", e.Wishes}, {"tasting", known(taste)}})
			return nil
		}),
	}
}

func enquiryChange(env *Env) *cobra.Command {
	var client string
	var reopen bool
	cmd := &cobra.Command{
		Use:   "change ENQUIRY",
		Short: "Change what is known of an enquiry",
		Long: `Change what is known of an enquiry. Each flag replaces what stood there; an empty
one, --tasting "", takes it away. With --from FILE the enquiry becomes what the file
says. --reopen takes a closing back.`,
		Example: `  marchpane enquiry change E1 --guests 110 --tasting "2027-03-06 14:30"`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			if !changesAny(cmd, enquiryKeys, "from", "guests", "tasting", "client", "reopen") {
				env.started = false
				return fmt.Errorf("%s needs to know what to change; see %s --help", cmd.CommandPath(), cmd.CommandPath())
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			e, err := s.ChangeEnquiry(cmd.Context(), args[0], func(e *enquiry.Enquiry) error {
				base, err := json.Marshal(e)
				if err != nil {
					return err
				}
				owner, received := e.Client, e.Received.String()
				*e, err = env.readEnquiry(cmd, base, func(object map[string]any) {
					if client != "" {
						object["client"] = client
					}
					if object["client"] == nil {
						object["client"] = owner
					}
					if object["received"] == nil {
						object["received"] = received
					}
				})
				return err
			})
			if err != nil {
				return err
			}
			if reopen {
				if e, err = s.ReopenEnquiry(cmd.Context(), args[0]); err != nil {
					return err
				}
			}
			return env.tell(e, "%s of %s is changed.\n", e.Ref, e.Name)
		},
	}
	enquiryFlags(cmd)
	cmd.Flags().StringVar(&client, "client", "", "the `CLIENT` whose enquiry it really is; its quotes go along")
	cmd.Flags().BoolVar(&reopen, "reopen", false, "take back that it is closed")
	return cmd
}

// tell prints a document as JSON, or words.
func (e *Env) tell(doc any, format string, args ...any) error {
	if e.json {
		return e.printJSON(doc)
	}
	_, err := fmt.Fprintf(e.Out, format, args...)
	return err
}

// requestToFill is a request that shows where its cakes go.
type requestToFill struct {
	quote.Request
	Lines []quote.CakeWanted `json:"lines"`
}

// writeEnquiryRequest writes the request for a quote that answers an enquiry.
func writeEnquiryRequest(w io.Writer, e store.SavedEnquiry, c store.SavedClient, today day.Date) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(requestToFill{e.Request(c.Client, today), []quote.CakeWanted{}})
}

func enquiryRequest(env *Env) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "request ENQUIRY",
		Short: "Print the request for a quote that answers an enquiry",
		Long: `Print the request for a quote that answers an enquiry: client, language, event, place,
distance and guests are filled in. Add the cakes to its list of lines, and extras,
options or a discount as wished (marchpane quote new --help shows how), then quote
it and say which enquiry it answers.`,
		Example: `  marchpane enquiry request E1 -o request.json
  marchpane quote new --from request.json
  marchpane enquiry quoted E1 2026-0001`,
		Args: oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			e, err := s.Enquiry(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			if needs := e.Needs(); len(needs) > 0 {
				return fmt.Errorf("%s: %w; add it with: marchpane enquiry change %s --date DATE", e.Ref, needs, e.Ref)
			}
			c, err := s.Client(cmd.Context(), e.Client)
			if err != nil {
				return err
			}
			write := func(w io.Writer) error { return writeEnquiryRequest(w, e, c, env.today()) }
			if out == "" || out == "-" {
				err = write(env.Out)
			} else {
				err = writeFile(out, write)
			}
			if err != nil {
				return err
			}
			env.adviseRequest(e, c.Client)
			if env.json && out != "" && out != "-" {
				return env.printJSON(map[string]string{"file": out})
			}
			return nil
		}),
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` instead of standard output")
	return cmd
}

// adviseRequest says what is left to do with a request, and what of the
// enquiry is not in it.
func (e *Env) adviseRequest(q store.SavedEnquiry, c enquiry.Client) {
	fmt.Fprintln(e.Err, `Add the cakes to "lines", such as {"cake": "wedding-three-tier", "quantity": 1}; see them with: marchpane cakes`)
	if q.Budget.Given {
		fmt.Fprintf(e.Err, "budget: %s\n", q.Budget.Value)
	}
	for _, f := range []fact{{"dietary", q.Dietary}, {"dietary, the client", c.Dietary}, {"wishes", q.Wishes}} {
		if f.text.Given {
			fmt.Fprintf(e.Err, "%s: %s\n", f.name, f.text.Value)
		}
	}
	if q.Dietary.Given || c.Dietary.Given {
		fmt.Fprintln(e.Err, "Dietary needs are the client's words. Check them against the labels of what goes into the cake.")
	}
	fmt.Fprintf(e.Err, "Once it is quoted: marchpane enquiry quoted %s QUOTE\n", q.Ref)
}

func enquiryQuoted(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:     "quoted ENQUIRY QUOTE",
		Short:   "Say that a quote answers an enquiry",
		Long:    `Say that a quote or draft answers an enquiry. The quote is then the client's, too.`,
		Example: `  marchpane enquiry quoted E1 2026-0001`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("%s needs ENQUIRY and QUOTE; see %s --help", cmd.CommandPath(), cmd.CommandPath())
			}
			return nil
		},
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			if err := s.LinkQuote(cmd.Context(), args[1], "", args[0]); err != nil {
				return err
			}
			e, err := s.Enquiry(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			return env.tell(e, "%s of %s is quoted: %s.\n", e.Ref, e.Name, strings.Join(e.Quotes, ", "))
		}),
	}
}

func enquiryClose(env *Env) *cobra.Command {
	var why string
	cmd := &cobra.Command{
		Use:     "close ENQUIRY --why REASON",
		Short:   "Close an enquiry of which no order comes",
		Long:    `Close an enquiry of which no order comes, with the reason. "enquiry change --reopen" takes it back.`,
		Example: `  marchpane enquiry close E1 --why "the date was taken"`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			if strings.TrimSpace(why) == "" {
				env.started = false
				return errors.New("--why is empty; say why no order comes of it")
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			e, err := s.CloseEnquiry(cmd.Context(), args[0], why, env.today())
			if err != nil {
				return err
			}
			return env.tell(e, "%s of %s is closed: %s.\n", e.Ref, e.Name, e.ClosedWhy)
		},
	}
	cmd.Flags().StringVar(&why, "why", "", "the `REASON`")
	cmd.MarkFlagRequired("why")
	return cmd
}
