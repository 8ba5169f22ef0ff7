package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
)

func quoteRequest(env *Env) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "request QUOTE",
		Short: "Print the request that a quote was made from, to edit and use again",
		Example: `  marchpane quote request 2026-0001 -o request.json
  marchpane quote revise 2026-0001 --from request.json --reason "a lemon tier instead"`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			q, err := env.loadQuote(cmd.Context(), args[0], "", env.today())
			if err != nil {
				return err
			}
			text, err := quoteRequestFile(q)
			if err != nil {
				return err
			}
			if out == "" {
				_, err = env.Out.Write(text)
				return err
			}
			if err := writeFile(out, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
				return err
			}
			fmt.Fprintf(env.Out, "The request of %s is in %s.\n", q.Ref(), out)
			return nil
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` (default: print it)")
	return cmd
}

// quoteRequestFile is the request that a quote was made from.
func quoteRequestFile(q store.SavedQuote) ([]byte, error) {
	text, err := json.MarshalIndent(q.Quote.Request, "", "  ")
	return append(text, '\n'), err
}

// revision is what the flags of `quote revise` change of a request.
type revision struct {
	from, venue, discount, option string
	date                          day.Date
	guests                        int
	replace                       []string
}

func quoteRevise(env *Env) *cobra.Command {
	var on day.Date
	var reason string
	var r revision
	cmd := &cobra.Command{
		Use:   "revise QUOTE",
		Short: "Offer something else: a new revision, priced afresh",
		Long: `Price a quote's request afresh, with what you change of it, and issue it as the next
revision: B after A. The earlier ones stay readable. The paper of a revision says
what changed, in words and in money. Without --from the last request is taken;
"quote request" prints it for editing. A draft is replaced and stays a draft.

An accepted order stands as it was accepted until the client accepts the revision.`,
		Example: `  marchpane quote revise 2026-0001 --guests 110 --replace wedding-three-tier=wedding-four-tier --reason "twenty more guests"
  marchpane quote revise 2026-0001 --discount "5 %" --reason "a friend of the house"
  marchpane quote revise 2026-0001 --from request.json --reason "a new design"`,
		Args: oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			day := env.orToday(on)
			old, err := s.Quote(cmd.Context(), args[0], "", day)
			if err != nil {
				return err
			}
			if !old.Quote.Draft() && strings.TrimSpace(reason) == "" {
				return errors.New("say why it is revised: --reason \"twenty more guests\"; the trail keeps it")
			}
			if cmd.Flags().Changed("guests") && r.guests < 1 {
				return fmt.Errorf("--guests %d: write how many are coming", r.guests)
			}
			request, err := r.apply(env, old)
			if err != nil {
				return err
			}
			request.On = day
			q, err := priceByStore(cmd.Context(), s, request)
			if err != nil {
				return err
			}
			var saved store.SavedQuote
			if old.Quote.Draft() {
				saved, err = s.ReplaceDraft(cmd.Context(), args[0], q, env.Now())
			} else {
				saved, err = s.ReviseQuote(cmd.Context(), args[0], q, reason, env.Now())
			}
			if err != nil {
				return err
			}
			if err := env.showQuote(saved); err != nil {
				return err
			}
			env.tellLabels(cmd.Context(), s, saved)
			env.tellRoom(cmd.Context(), s, saved)
			return nil
		}),
	}
	onFlag(cmd, &on)
	cmd.Flags().StringVar(&reason, "reason", "", "why, in `WORDS` for the trail")
	cmd.Flags().StringVar(&r.from, "from", "", "the request `FILE` to offer instead, or - for standard input")
	cmd.Flags().IntVar(&r.guests, "guests", 0, "the new `NUMBER` of guests")
	cmd.Flags().Var(dateFlag{&r.date}, "event", "the new `DATE` of the event")
	cmd.Flags().StringVar(&r.venue, "venue", "", "the new `PLACE`")
	cmd.Flags().StringVar(&r.discount, "discount", "", "the new discount, such as `\"5 %\"`")
	cmd.Flags().StringArrayVar(&r.replace, "replace", nil, "put one cake in the place of another: `OLD=NEW`; may be given several times")
	cmd.Flags().StringVar(&r.option, "option", "", "go on with one option alone: its `NAME` or number")
	return cmd
}

// apply returns the request of a quote with what is changed of it.
func (r revision) apply(env *Env, old store.SavedQuote) (quote.Request, error) {
	request := old.Quote.Request
	if r.from != "" {
		data, err := env.readFile(r.from)
		if err != nil {
			return request, err
		}
		if request, err = quote.ReadRequest(data); err != nil {
			return request, err
		}
	}
	if r.option != "" {
		i, err := old.Choice(r.option)
		if err != nil {
			return request, err
		}
		if i > len(request.Options) {
			return request, fmt.Errorf("%s has no option %q any more; leave --option out", r.from, r.option)
		}
		if i > 0 {
			request = request.Only(i - 1)
		}
	}
	if r.guests != 0 {
		request.Event.Guests = record.Some(r.guests)
	}
	if !r.date.IsZero() {
		request.Event.Date = r.date
	}
	if r.venue != "" {
		request.Event.Venue = record.Some(r.venue)
	}
	if r.discount != "" {
		percent, err := measure.ParsePercent(r.discount)
		if err != nil {
			return request, fmt.Errorf("--discount %q: %w", r.discount, err)
		}
		request.Discount = record.Some(percent)
	}
	for _, pair := range r.replace {
		before, after, ok := strings.Cut(pair, "=")
		if !ok {
			return request, fmt.Errorf("--replace %q: write the cake to replace and the one to put in its place, OLD=NEW", pair)
		}
		var n int
		if request, n = request.Replace(book.ID(before), book.ID(after)); n == 0 {
			return request, fmt.Errorf("--replace %q: the request has no cake %s", pair, before)
		}
	}
	return request, nil
}

// What the trail says where nothing else is said.
const (
	accepted = "accepted by the client"
	declined = "declined by the client"
)

func orElse(reason, usual string) string {
	if strings.TrimSpace(reason) == "" {
		return usual
	}
	return reason
}

func quoteAccept(env *Env) *cobra.Command {
	var on day.Date
	var option, reason string
	cmd := &cobra.Command{
		Use:   "accept QUOTE",
		Short: "Note that the client accepts; the quote becomes an order",
		Example: `  marchpane quote accept 2026-0001
  marchpane quote accept 2026-0002 --option "Two tiers" --on 2026-12-03 --reason "signed paper by post"`,
		Args: oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.move(cmd, args[0], on, func(s *store.Store, on day.Date) (store.SavedQuote, error) {
				return s.Accept(cmd.Context(), args[0], option, orElse(reason, accepted), on, env.Now())
			})
		},
	}
	moveFlags(cmd, &on, &reason, accepted)
	cmd.Flags().StringVar(&option, "option", "", "which of several options: its `NAME` or number")
	return cmd
}

func quoteDecline(env *Env) *cobra.Command {
	var on day.Date
	var reason string
	cmd := &cobra.Command{
		Use:     "decline QUOTE",
		Short:   "Note that the client declines",
		Example: `  marchpane quote decline 2026-0003 --reason "went for a smaller cake elsewhere"`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			return env.move(cmd, args[0], on, func(s *store.Store, on day.Date) (store.SavedQuote, error) {
				return s.Decline(cmd.Context(), args[0], orElse(reason, declined), on, env.Now())
			})
		},
	}
	moveFlags(cmd, &on, &reason, declined)
	return cmd
}

func quoteCancel(env *Env) *cobra.Command {
	var on day.Date
	var reason, fee string
	var yes bool
	cmd := &cobra.Command{
		Use:   "cancel QUOTE",
		Short: "Call a quote or an order off, for good",
		Long: `Call a quote or an order off. What the client owes for an order follows from the
cancellation terms that were quoted and the days left to the event; --fee sets
another sum, such as 0 where you waive it. What was paid beyond it is to go back:
see "payment list". Whether tax is due on a cancellation fee differs from place to
place; ask your accountant.`,
		Example: `  marchpane quote cancel 2026-0001 --reason "wedding called off"`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			if strings.TrimSpace(reason) == "" {
				return errors.New("say why it is cancelled: --reason \"wedding called off\"; the trail keeps it")
			}
			var owed *money.Amount
			if fee != "" {
				amount, err := readAmount(env, cmd, fee)
				if err != nil {
					return fmt.Errorf("--fee %s: %w", fee, err)
				}
				owed = &amount
			}
			if env.Asks {
				if err := env.sure(yes, args[0]+" is cancelled for good."); err != nil {
					return err
				}
			}
			return env.move(cmd, args[0], on, func(s *store.Store, on day.Date) (store.SavedQuote, error) {
				return s.Cancel(cmd.Context(), args[0], owed, reason, on, env.Now())
			})
		},
	}
	moveFlags(cmd, &on, &reason, "")
	cmd.Flags().StringVar(&fee, "fee", "", "what the client owes, an `AMOUNT` (default: by the cancellation terms)")
	cmd.Flags().BoolVar(&yes, "yes", false, "do not ask first")
	return cmd
}

func moveFlags(cmd *cobra.Command, on *day.Date, reason *string, usual string) {
	cmd.Flags().Var(dateFlag{on}, "on", "the `DATE` it happened (default: today)")
	cmd.Flags().StringVar(reason, "reason", usual, "why, in `WORDS` for the trail")
}

// move makes a move with a quote and says where it stands then.
func (e *Env) move(cmd *cobra.Command, ref string, on day.Date, make func(*store.Store, day.Date) (store.SavedQuote, error)) error {
	s, err := e.open(cmd.Context())
	if err != nil {
		return err
	}
	defer s.Close()
	q, err := make(s, e.orToday(on))
	if err != nil {
		return err
	}
	if e.json {
		return e.showQuote(q)
	}
	fmt.Fprintf(e.Out, "%s for %s: %s.\n", quoteName(q), q.Quote.Offer.Client.Name, stateInWords(q))
	e.pointOut(e.orToday(on))
	if q.Life.Order == "" {
		return nil
	}
	order, err := s.Order(cmd.Context(), ref)
	if err != nil {
		return err
	}
	printAccount(e, order, e.orToday(on))
	return nil
}

func quoteDrop(env *Env) *cobra.Command {
	var yes bool
	cmd := &cobra.Command{
		Use:     "drop DRAFT",
		Short:   "Remove a draft for good",
		Example: `  marchpane quote drop D2`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := env.sure(yes, "The draft "+args[0]+" is removed for good."); err != nil {
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			if err := s.DropDraft(cmd.Context(), args[0]); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(map[string]string{"dropped": args[0]})
			}
			fmt.Fprintf(env.Out, "%s is gone.\n", args[0])
			return nil
		},
	}
	cmd.Flags().BoolVar(&yes, "yes", false, "do not ask first")
	return cmd
}

func quoteTrail(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:   "trail QUOTE",
		Short: "Everything that was done with a quote, with day and reason",
		Long: `Everything that was done with a quote, with day and reason. The store refuses to
change or remove an entry.`,
		Example: `  marchpane quote trail 2026-0001`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			trail, err := s.Trail(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(trail)
			}
			if len(trail) == 0 {
				fmt.Fprintf(env.Out, "%s is a draft; nothing was done with it yet.\n", args[0])
				return nil
			}
			sent, err := s.Sendings(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			t := table{heads: []string{"day", "move", "revision", "reason", "recorded"}}
			for _, s := range trail {
				move := string(s.Move) + inOption(s.Option)
				if s.Move == quote.Cancel {
					move += ", fee " + s.Fee.String()
				}
				t.add(s.On.String(), move, s.Revision, s.Reason, s.At)
			}
			t.print(env)
			for _, s := range sent {
				how := map[string]string{"file": "written", "server": "sent"}[s.How]
				fmt.Fprintf(env.Out, "letter (%s) about revision %s %s %s\n", s.Kind, s.Revision, how, s.At)
			}
			return nil
		}),
	}
}

// printChanges says what a revision changed, in words and in money.
func printChanges(env *Env, q quote.Quote) {
	if len(q.Changes) == 0 {
		return
	}
	fmt.Fprintf(env.Out, "\n%s\n", env.bold("changed against the revision before"))
	t := table{heads: []string{"what", "before", "after", q.Offer.Studio.Currency.Code() + ">"}}
	for _, c := range q.Changes {
		what := changeInWords[c.Kind]
		if c.Name != "" {
			what = c.Name + ": " + what
		}
		if c.Option != "" {
			what = c.Option + ": " + what
		}
		sum := ""
		if c.Money.Sign() > 0 {
			sum = "+" + c.Money.String()
		} else if c.Money.Sign() < 0 {
			sum = c.Money.String()
		}
		before, after := c.Before, c.After
		if c.Kind == quote.GuestsChanged && before == "0" {
			before = "not said"
		}
		if c.Kind == quote.OptionTaken {
			what, after = changeInWords[c.Kind], c.Name
		}
		t.add(what, before, after, sum)
	}
	t.print(env)
}

var changeInWords = map[quote.ChangeKind]string{
	quote.ClientChanged: "client", quote.EventMoved: "date of the event", quote.VenueChanged: "place", quote.GuestsChanged: "guests",
	quote.OptionAdded: "new option", quote.OptionRemoved: "option left out", quote.OptionTaken: "going on with", quote.LineAdded: "added", quote.LineRemoved: "left out",
	quote.QuantityChanged: "quantity", quote.UnitPriceChanged: "price of one", quote.DesignChanged: "another design of its tiers",
	quote.PortionsChanged: "portions", quote.DiscountChanged: "discount", quote.MinimumChanged: "addition up to the minimum order",
	quote.TaxChanged: "tax", quote.TermsChanged: "terms", quote.TotalChanged: "total",
}
