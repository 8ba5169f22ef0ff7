package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/web"
	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/machine"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/document"
)

func quoteCommand(env *Env) *cobra.Command {
	return group("quote", "Price a client's request, issue it and write its PDF",
		`A quote prices a request with the prices in force on its day. Once issued it has a
number, counted by the year without gaps, and never changes: its PDF comes out
the same at any later time. A draft has no number yet and can still be issued.

  draft ── issue ──► issued ── accept ──► accepted ── cancel ──► cancelled
                       │ ▲                    │
             decline ──┤ └────── revise ──────┘
                       └─ (validity ends) ──► lapsed

A quote that is issued or has lapsed can be cancelled too, and one that has lapsed
declined. What was declined or has lapsed can be revised and is then offered anew. A
revision of an accepted order leaves the order standing until the client accepts
it. Every move is kept with its day and reason.`,
		quoteNew(env), quoteIssue(env), quoteRequest(env), quoteRevise(env), quoteAccept(env), quoteDecline(env), quoteCancel(env),
		quoteDrop(env), quoteTrail(env), quoteShow(env), quoteList(env), quotePDF(env), quoteSend(env))
}

func quoteNew(env *Env) *cobra.Command {
	var from, enquiry, client string
	var draft bool
	cmd := &cobra.Command{
		Use:   "new --from REQUEST.json",
		Short: "Price a request and issue the quote",
		Long: `Price a request and issue the quote. A request is a JSON file:

  {"client": {"name": "Zoë Šimková"},
   "event": {"date": "2027-06-12", "venue": "The Old Barn", "km": "24"},
   "on": "2026-11-25",
   "lines": [{"cake": "wedding-three-tier", "quantity": 1}],
   "extras": [{"extra": "delivery", "quantity": 1}],
   "discount": "5 %"}

venue, km, extras and discount may be left out, km only where no extra asks for
it. A client may have an email, phone and address, an event its guests, and the
request a language for the client's papers, such as "fr". A request that cannot
be priced is refused with every reason and takes no number. FILE may be - for
standard input.

To let the client choose, write two to five options in place of lines. Extras
and discount of the request hold for all of them:

   "options": [
     {"name": "Three tiers", "lines": [{"cake": "wedding-three-tier", "quantity": 1}]},
     {"name": "Two tiers and a cutting cake", "lines": [...], "extras": [...]}]`,
		Example: `  marchpane quote new --from request.json
  marchpane quote new --from request.json --draft`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			data, err := env.readFile(from)
			if err != nil {
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			request, err := quote.ReadRequest(data)
			if err != nil {
				if b, errBook := s.Book(cmd.Context()); errBook == nil {
					return quote.Diagnose(book.NewIndex(b), data)
				}
				return err
			}
			if l := request.Language; l.Given && !document.Speaks(l.Value) {
				fmt.Fprintf(env.Err, "marchpane: papers are written in %s, not in %q; this client's will be in the studio's language\n", strings.Join(document.Languages(), ", "), l.Value)
			}
			if err := checkParty(cmd.Context(), s, client, enquiry); err != nil {
				return err
			}
			q, err := env.quoteAndSave(cmd.Context(), s, request, draft)
			if err != nil {
				return err
			}
			if client != "" || enquiry != "" {
				if err := s.LinkQuote(cmd.Context(), q.Ref(), client, enquiry); err != nil {
					return err
				}
			}
			if err := env.showNew(q); err != nil {
				return err
			}
			env.tellLabels(cmd.Context(), s, q)
			env.tellRoom(cmd.Context(), s, q)
			return nil
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "the request `FILE`, or - for standard input")
	cmd.Flags().StringVar(&enquiry, "enquiry", "", "the enquiry that it answers, such as `E3`")
	cmd.Flags().StringVar(&client, "client", "", "the client it is for, such as `C2` (default: that of the enquiry)")
	cmd.Flags().BoolVar(&draft, "draft", false, "keep it a draft, without a number")
	cmd.MarkFlagRequired("from")
	return cmd
}

// checkParty refuses a client or an enquiry that is not there before a number
// is taken.
func checkParty(ctx context.Context, s *store.Store, client, enquiry string) error {
	if client != "" {
		if _, err := s.Client(ctx, client); err != nil {
			return err
		}
	}
	if enquiry != "" {
		e, err := s.Enquiry(ctx, enquiry)
		if err != nil {
			return err
		}
		if client != "" && !strings.EqualFold(client, e.Client) {
			return fmt.Errorf("%s is an enquiry of %s, not of %s; leave --client out", e.Ref, e.Client, client)
		}
	}
	return nil
}

// quoteAndSave prices a request by the book of the store and keeps the quote.
func (e *Env) quoteAndSave(ctx context.Context, s *store.Store, r quote.Request, draft bool) (store.SavedQuote, error) {
	q, err := priceByStore(ctx, s, r)
	if err != nil {
		return store.SavedQuote{}, err
	}
	if draft {
		return s.SaveDraft(ctx, q, e.Now())
	}
	return s.IssueQuote(ctx, q, e.Now())
}

func priceByStore(ctx context.Context, s *store.Store, r quote.Request) (quote.Quote, error) {
	b, err := s.BookOf(ctx, r.Cakes(), true)
	if errors.Is(err, store.ErrNotFound) {
		b, err = s.Book(ctx) // so that the request is refused with all its faults
	}
	if err != nil {
		return quote.Quote{}, err
	}
	return quote.Price(book.NewIndex(b), r)
}

// tellLabels says, below a new quote, whose labels nobody looked at, and what its
// paper cannot print. A quote stands all the same; so nothing here fails it.
func (e *Env) tellLabels(ctx context.Context, s *store.Store, q store.SavedQuote) {
	if e.json {
		return
	}
	b, err := s.BookOf(ctx, q.Quote.Request.Cakes(), true)
	if err != nil {
		fmt.Fprintf(e.Err, "marchpane: the quote stands; whether all labels were looked at could not be told: %v\n", err)
		return
	}
	if note := q.Quote.LabelNote(book.NewIndex(b)); note != "" {
		fmt.Fprintf(e.Out, "note: %s\n", note)
	}
	if note := web.LackingNote(q.Quote); note != "" {
		fmt.Fprintf(e.Out, "note: %s\n", note)
	}
}

func quoteIssue(env *Env) *cobra.Command {
	var on day.Date
	cmd := &cobra.Command{
		Use:   "issue DRAFT",
		Short: "Issue a draft: price it afresh and give it a number",
		Long: `Issue a draft: price its request afresh with the prices in force on the day of
issue (today, or --on), give it the next number and freeze it.`,
		Example: `  marchpane quote issue D1`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			draft, err := s.Quote(cmd.Context(), args[0], "", env.today())
			if err != nil {
				return err
			}
			request := draft.Quote.Request
			request.On = env.orToday(on)
			q, err := priceByStore(cmd.Context(), s, request)
			if err != nil {
				return err
			}
			issued, err := s.IssueDraft(cmd.Context(), args[0], q, env.Now())
			if err != nil {
				return err
			}
			if err := env.showNew(issued); err != nil {
				return err
			}
			env.tellLabels(cmd.Context(), s, issued)
			return nil
		}),
	}
	onFlag(cmd, &on)
	return cmd
}

func quoteShow(env *Env) *cobra.Command {
	var revision string
	var on day.Date
	cmd := &cobra.Command{
		Use:   "show QUOTE",
		Short: "Show a quote, and what it earns",
		Long: `Show a quote by its number, 2026-0001, or a draft by what it is called, D1: the
lines, tax, total and instalments, and for the studio's eyes the cost and margin.`,
		Example: `  marchpane quote show 2026-0001`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			q, err := env.loadQuote(cmd.Context(), args[0], revision, env.orToday(on))
			if err != nil {
				return err
			}
			return env.showQuote(q)
		},
	}
	cmd.Flags().StringVar(&revision, "revision", "", "another `LETTER` (default: the one that stands)")
	asOfFlag(cmd, &on)
	return cmd
}

// asOfFlag adds --on to a command that shows how something stands.
func asOfFlag(cmd *cobra.Command, on *day.Date) {
	cmd.Flags().Var(dateFlag{on}, "on", "as it stands on this `DATE` (default: today)")
}

func (e *Env) loadQuote(ctx context.Context, ref, revision string, on day.Date) (store.SavedQuote, error) {
	s, err := e.open(ctx)
	if err != nil {
		return store.SavedQuote{}, err
	}
	defer s.Close()
	return s.Quote(ctx, ref, revision, on)
}

// showNew shows a quote that was just made. Its document says nothing of where
// it stands, which is plain.
func (e *Env) showNew(q store.SavedQuote) error {
	if e.json {
		return e.printJSON(machine.QuoteOf(q.Quote, q.Draft))
	}
	return e.showQuote(q)
}

func (e *Env) showQuote(q store.SavedQuote) error {
	if e.json {
		return e.printJSON(machine.QuoteStanding(q.Quote, q.Draft, q.Life))
	}
	printQuote(e, q)
	return nil
}

// quoteName is what a quote is called: its number and revision, or its draft.
func quoteName(q store.SavedQuote) string {
	if q.Quote.Draft() {
		return "Draft " + q.Draft
	}
	return "Quote " + q.Quote.Number + ", revision " + q.Quote.Revision
}

func printQuote(env *Env, q store.SavedQuote) {
	o := q.Quote.Offer
	fmt.Fprintf(env.Out, "%s for %s, %s\n", env.bold(quoteName(q)), o.Client.Name, stateInWords(q))
	fmt.Fprintf(env.Out, "event %s%s%s, made %s, valid until %s\n", o.EventDate, at(o.Venue), guests(o.Guests), o.IssuedOn, o.ValidUntil)
	for _, c := range q.Quote.Choices() {
		fmt.Fprintln(env.Out)
		if c.Chosen != "" {
			fmt.Fprintln(env.Out, env.bold(c.Chosen))
		}
		printOffer(env, c)
	}
	printChanges(env, q.Quote)
}

// printOffer prints one offer, and what the studio should know of it.
func printOffer(env *Env, q quote.Quote) {
	o := q.Offer
	t := table{heads: []string{"item", "qty>", "each>", o.Studio.Currency.Code() + ">"}}
	for _, l := range o.Lines {
		t.add(l.Name, fmt.Sprint(l.Quantity), l.UnitPrice.String(), l.Amount.String())
	}
	for _, tax := range o.Tax {
		name := "tax"
		if o.Studio.TaxLabel != "" {
			name = o.Studio.TaxLabel
		}
		if o.Shown == book.Gross {
			name = "of which " + name
		}
		rate := pricing.Brief(tax.Rate.Mul(exact.Int(100)))
		t.add(fmt.Sprintf("%s %s %% on %s", name, rate, tax.Net), "", "", tax.Tax.String())
	}
	t.foot = []string{"total", "", "", o.Total.String()}
	t.print(env)
	fmt.Fprintln(env.Out)
	for _, i := range o.Instalments {
		name := "due"
		if i.Deposit {
			name = "deposit due"
		}
		fmt.Fprintf(env.Out, "%s %s: %s\n", name, i.Due, i.Amount)
	}
	cur := o.Studio.Currency
	fmt.Fprintf(env.Out, "\nfor the studio only: net %s, cost %s", cur.Round(q.Basis.Net), cur.Round(q.Basis.Cost))
	if m, ok := q.Basis.Margin(); ok {
		fmt.Fprintf(env.Out, ", margin %s", percent(m))
	}
	fmt.Fprintln(env.Out)
	if served := o.Sale.Served(); served < o.Guests {
		fmt.Fprintf(env.Out, "note: %s for %s; see marchpane tiers --guests %d\n", plural(served, "portion", "portions"), plural(o.Guests, "guest", "guests"), o.Guests)
	}
}

// stateInWords says where a quote stands.
func stateInWords(q store.SavedQuote) string {
	l := q.Life
	switch {
	case l.Pending():
		return fmt.Sprintf("issued to change the order, which stands as revision %s until then", l.Order)
	case l.State == quote.Accepted && l.Order != l.Newest:
		return fmt.Sprintf("accepted in revision %s%s", l.Order, inOption(l.Option))
	case l.State == quote.Accepted:
		return "accepted" + inOption(l.Option)
	}
	return string(l.State)
}

func inOption(name string) string {
	if name == "" {
		return ""
	}
	return fmt.Sprintf(", option %q", name)
}

func guests(n int) string {
	if n == 0 {
		return ""
	}
	return " for " + plural(n, "guest", "guests")
}

func at(venue string) string {
	if venue == "" {
		return ""
	}
	return " at " + venue
}

func quoteList(env *Env) *cobra.Command {
	var on day.Date
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "Every quote and draft, the newest first",
		Example: `  marchpane quote list`,
		Args:    cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			list, err := s.Quotes(cmd.Context(), env.orToday(on))
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(list)
			}
			if len(list) == 0 {
				fmt.Fprintln(env.Out, "There are no quotes yet. Make one with: marchpane quote new --from REQUEST.json")
				return nil
			}
			t := table{heads: []string{"quote", "revision", "state", "client", "event", "made", "valid until", "total>"}}
			for _, q := range list {
				total := q.Total
				if len(q.Totals) > 0 {
					total = strings.Join(q.Totals, " / ")
				}
				t.add(q.Ref(), q.Revision, string(q.State), q.Client, q.EventDate, q.IssuedOn, q.ValidUntil, total+" "+q.Currency)
			}
			t.print(env)
			return nil
		}),
	}
	cmd.Flags().Var(dateFlag{&on}, "on", "tell what has lapsed by this `DATE` (default: today)")
	return cmd
}

func quotePDF(env *Env) *cobra.Command {
	var out, revision, paper string
	var marked bool
	cmd := &cobra.Command{
		Use:   "pdf QUOTE",
		Short: "Write a quote as a PDF for the client",
		Long: `Write a quote as a PDF for the client. It shows no cost, margin, wage, supplier or
recipe quantity. An issued quote gives the same bytes at any time. Characters
that no typeface of the program has are shown as □ and named in a warning.`,
		Example: `  marchpane quote pdf 2026-0001 -o quote.pdf`,
		Args:    oneArgument,
		RunE: func(cmd *cobra.Command, args []string) error {
			size, err := paperSize(paper)
			if err != nil {
				env.started = false
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			q, err := s.Quote(cmd.Context(), args[0], revision, env.today())
			if err != nil {
				return err
			}
			if out == "" {
				out = args[0] + ".pdf"
				if !q.Quote.Draft() {
					out = q.Quote.Number + "-" + q.Quote.Revision + ".pdf"
				}
			}
			if err := env.writeQuotePDF(cmd.Context(), s, out, q, size, marked); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(map[string]string{"file": out})
			}
			fmt.Fprintf(env.Out, "%s is in %s.\n", quoteName(q), out)
			return nil
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` (default: the quote's number)")
	cmd.Flags().StringVar(&revision, "revision", "", "an earlier `LETTER` (default: the one that stands)")
	cmd.Flags().BoolVar(&marked, "mark", false, "say on it that it is replaced, declined, lapsed or cancelled where it is")
	cmd.Flags().StringVar(&paper, "paper", "", "`SIZE` of the paper: a4 or letter (default: the studio's)")
	return cmd
}

func paperSize(name string) (document.Paper, error) {
	switch name {
	case "":
		return "", nil
	case "a4", "A4":
		return document.A4, nil
	case "letter", "Letter":
		return document.Letter, nil
	}
	return "", fmt.Errorf("--paper %s is unknown; use a4 or letter", name)
}
