package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/csvfile"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
)

func paymentCommand(env *Env) *cobra.Command {
	return group("payment", "What clients have paid and still owe",
		`Deposits and instalments of accepted orders: note what comes in, print a receipt,
see who is late, and export it all for the book-keeper. A payment is never changed
or deleted; a mistake is taken back by another entry.`,
		paymentAdd(env), paymentRefund(env), paymentUndo(env), paymentList(env), paymentDue(env), paymentReceipt(env), paymentExport(env))
}

// paymentFlags are what every payment says.
type paymentFlags struct {
	on    day.Date
	means string
	note  string
}

func (f *paymentFlags) add(cmd *cobra.Command) {
	cmd.Flags().Var(dateFlag{&f.on}, "on", "the `DATE` of the money (default: today)")
	cmd.Flags().StringVar(&f.means, "by", "transfer", "`MEANS`: transfer, card, cash, cheque or other")
	cmd.Flags().StringVar(&f.note, "note", "", "a note for yourself and the receipt, in `WORDS`")
}

func (f paymentFlags) check() (quote.Means, error) {
	var names []string
	for _, m := range quote.AllMeans() {
		if string(m) == f.means {
			return m, nil
		}
		names = append(names, string(m))
	}
	return "", fmt.Errorf("--by %s is unknown; use %s", f.means, strings.Join(names, ", "))
}

func paymentAdd(env *Env) *cobra.Command {
	var flags paymentFlags
	cmd := &cobra.Command{
		Use:   "add QUOTE AMOUNT",
		Short: "Note money that came in for an order",
		Example: `  marchpane payment add 2026-0001 180.00
  marchpane payment add 2026-0001 180.00 --on 2026-12-03 --by cash`,
		Args: twoArguments,
		RunE: func(cmd *cobra.Command, args []string) error { return env.receive(cmd, args, flags, false) },
	}
	flags.add(cmd)
	return cmd
}

func paymentRefund(env *Env) *cobra.Command {
	var flags paymentFlags
	cmd := &cobra.Command{
		Use:     "refund QUOTE AMOUNT",
		Short:   "Note money that went back to the client",
		Example: `  marchpane payment refund 2026-0001 90.00 --note "half of the deposit"`,
		Args:    twoArguments,
		RunE:    func(cmd *cobra.Command, args []string) error { return env.receive(cmd, args, flags, true) },
	}
	flags.add(cmd)
	return cmd
}

func twoArguments(cmd *cobra.Command, args []string) error {
	words := strings.Fields(cmd.Use)
	if len(args) != 2 {
		return fmt.Errorf("%s needs %s and %s; see %s --help", cmd.CommandPath(), words[1], words[2], cmd.CommandPath())
	}
	return nil
}

// readAmount reads money in the currency of the store's book, at most as fine
// as its minor unit.
func readAmount(env *Env, cmd *cobra.Command, text string) (money.Amount, error) {
	s, err := env.open(cmd.Context())
	if err != nil {
		return money.Amount{}, err
	}
	defer s.Close()
	return amountOf(cmd, s, text)
}

func amountOf(cmd *cobra.Command, s *store.Store, text string) (money.Amount, error) {
	studio, err := s.Studio(cmd.Context())
	if err != nil {
		return money.Amount{}, err
	}
	price, err := money.ParsePrice(text)
	if err != nil {
		return money.Amount{}, fmt.Errorf("%.40q is no amount; write it plainly, such as 180.00", text)
	}
	amount := studio.Currency.Amount(price.Decimal())
	if !amount.Decimal().Equal(price.Decimal()) {
		return money.Amount{}, fmt.Errorf("%s is finer than the smallest coin of %s; round it", text, studio.Currency.Code())
	}
	return amount, nil
}

// pointOut warns of a day that is still to come, which is mostly a slip.
func (e *Env) pointOut(on day.Date) {
	if on.After(e.today()) {
		fmt.Fprintf(e.Err, "marchpane: note that %s is still to come\n", on)
	}
}

// receive keeps a payment and says where the order stands then.
func (e *Env) receive(cmd *cobra.Command, args []string, flags paymentFlags, refund bool) error {
	means, err := flags.check()
	if err != nil {
		e.started = false
		return err
	}
	s, err := e.open(cmd.Context())
	if err != nil {
		return err
	}
	defer s.Close()
	amount, err := amountOf(cmd, s, args[1])
	if err != nil {
		return err
	}
	p := quote.Payment{Quote: args[0], On: e.orToday(flags.on), Amount: amount, Means: means, Note: flags.note}
	if refund {
		p.Amount = amount.Neg()
	}
	if p, err = s.Receive(cmd.Context(), p, e.Now()); err != nil {
		return err
	}
	return e.showPayment(cmd, s, p)
}

func (e *Env) showPayment(cmd *cobra.Command, s *store.Store, p quote.Payment) error {
	if e.json {
		return e.printJSON(p)
	}
	order, err := s.Order(cmd.Context(), p.Quote)
	if err != nil {
		return err
	}
	what := "received from"
	if p.Refund() {
		what = "returned to"
	}
	if p.Undoes != "" {
		fmt.Fprintf(e.Out, "%s takes back %s, %s, on %s.\n", p.Number, p.Undoes, money.Abs(p.Amount), p.On)
	} else {
		fmt.Fprintf(e.Out, "%s: %s %s %s for %s on %s.\n", p.Number, money.Abs(p.Amount), what, order.Quote.Offer.Client.Name, p.Quote, p.On)
	}
	e.pointOut(p.On)
	printAccount(e, order, p.On)
	return nil
}

// printAccount prints what is owed, what was paid and what comes next.
func printAccount(env *Env, o quote.Order, on day.Date) {
	a := o.Account(on)
	label := "total"
	if !o.CancelledOn.IsZero() {
		label = "cancellation fee"
	}
	fmt.Fprintf(env.Out, "%s %s, received %s, ", label, a.Owed, a.Received)
	switch a.Balance.Sign() {
	case 1:
		fmt.Fprintf(env.Out, "%s still to pay\n", a.Balance)
	case 0:
		fmt.Fprintln(env.Out, "settled")
	default:
		fmt.Fprintf(env.Out, "%s to go back to the client: marchpane payment refund %s %s\n", a.Balance.Neg(), o.Quote.Number, a.Balance.Neg())
	}
	for _, i := range a.Instalments {
		if i.Left.Sign() <= 0 {
			continue
		}
		late := ""
		if i.Overdue {
			late = ", overdue"
		}
		fmt.Fprintf(env.Out, "  %s due %s%s\n", i.Left, i.Due, late)
	}
}

func paymentUndo(env *Env) *cobra.Command {
	var on day.Date
	var note string
	cmd := &cobra.Command{
		Use:     "undo PAYMENT",
		Short:   "Take back a payment that was entered by mistake",
		Example: `  marchpane payment undo R2026-0003 --note "entered twice"`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			p, err := s.Undo(cmd.Context(), args[0], note, env.orToday(on), env.Now())
			if err != nil {
				return err
			}
			return env.showPayment(cmd, s, p)
		}),
	}
	cmd.Flags().Var(dateFlag{&on}, "on", "the `DATE` of the correction (default: today)")
	cmd.Flags().StringVar(&note, "note", "", "why, in `WORDS`")
	return cmd
}

// accountDocument is the document of an order's account.
type accountDocument struct {
	Quote    string          `json:"quote"`
	Revision string          `json:"revision"`
	Option   string          `json:"option,omitempty"`
	Client   string          `json:"client"`
	Event    string          `json:"event_date"`
	Currency string          `json:"currency"`
	Payments []quote.Payment `json:"payments"`
	quote.Account
}

func documentOf(o quote.Order, on day.Date) accountDocument {
	d := accountDocument{
		Quote: o.Quote.Number, Revision: o.Quote.Revision, Option: o.Quote.Chosen, Client: o.Quote.Offer.Client.Name,
		Event: o.Quote.Offer.EventDate.String(), Currency: o.Quote.Offer.Studio.Currency.Code(), Payments: o.Payments, Account: o.Account(on),
	}
	if d.Payments == nil {
		d.Payments = []quote.Payment{}
	}
	return d
}

func paymentList(env *Env) *cobra.Command {
	var on day.Date
	cmd := &cobra.Command{
		Use:     "list QUOTE",
		Short:   "An order's payments, its instalments and what is left",
		Example: `  marchpane payment list 2026-0001`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			o, err := s.Order(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			asOf := env.orToday(on)
			if env.json {
				return env.printJSON(documentOf(o, asOf))
			}
			fmt.Fprintf(env.Out, "%s for %s, event %s\n", env.bold(o.Quote.Number), o.Quote.Offer.Client.Name, o.Quote.Offer.EventDate)
			if len(o.Payments) == 0 {
				fmt.Fprintf(env.Out, "no payment yet; note one with: marchpane payment add %s AMOUNT\n", o.Quote.Number)
			} else {
				t := table{heads: []string{"receipt", "day", "amount>", "by", "note"}}
				for _, p := range o.Payments {
					note := p.Note
					if p.Undone != "" {
						note = strings.TrimSpace(note + " (taken back by " + p.Undone + ")")
					}
					if p.Undoes != "" {
						note = strings.TrimSpace(note + " (takes back " + p.Undoes + ")")
					}
					if p.On.After(asOf) {
						note = strings.TrimSpace(note + " (still to come)")
					}
					t.add(p.Number, p.On.String(), p.Amount.String(), string(p.Means), note)
				}
				t.print(env)
			}
			printAccount(env, o, asOf)
			return nil
		}),
	}
	asOfFlag(cmd, &on)
	return cmd
}

func paymentDue(env *Env) *cobra.Command {
	var on day.Date
	var all bool
	cmd := &cobra.Command{
		Use:   "due",
		Short: "Who is late with a payment, the oldest first",
		Example: `  marchpane payment due
  marchpane payment due --all            what is still to come too`,
		Args: cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			orders, err := s.AllOrders(cmd.Context())
			if err != nil {
				return err
			}
			list := quote.DueList(orders, env.orToday(on), all)
			if env.json {
				return env.printJSON(list)
			}
			if len(list) == 0 {
				fmt.Fprintln(env.Out, "Nothing is overdue.")
				return nil
			}
			t := table{heads: []string{"due", "days late>", "quote", "client", "event", "left>"}}
			for _, d := range list {
				late := ""
				if d.Late > 0 {
					late = fmt.Sprint(d.Late)
				}
				t.add(d.Due.String(), late, d.Quote, d.Client, d.Event.String(), d.Left.String()+" "+d.Currency)
			}
			t.print(env)
			for _, sum := range quote.SumDue(list) {
				if sum.Latecomers > 0 {
					fmt.Fprintf(env.Out, "overdue in all: %s %s, of %s\n", sum.Late, sum.Currency, plural(sum.Latecomers, "order", "orders"))
				}
				if all {
					fmt.Fprintf(env.Out, "still to come: %s %s\n", sum.Coming, sum.Currency)
				}
			}
			return nil
		}),
	}
	asOfFlag(cmd, &on)
	cmd.Flags().BoolVar(&all, "all", false, "list what is not due yet too")
	return cmd
}

func paymentExport(env *Env) *cobra.Command {
	var from, to day.Date
	var out string
	var names []string
	cmd := &cobra.Command{
		Use:   "export --from DATE --to DATE",
		Short: "Double entries of sales and payments, as CSV for the book-keeper",
		Long: `Write the double entries of a span of time as CSV (RFC 4180, UTF-8): sales on the
day of the event, receipts, refunds and cancellation fees. The debits of each entry
equal its credits. Money paid in advance stands on the clients' account until the
day of the event; where tax falls due on an advance already, your book-keeper will
want to know: this is no tax advice.

Accounts are called cash, bank, clients, tax, sales and cancellation; give them the
numbers of your chart of accounts with --account.`,
		Example: `  marchpane payment export --from 2026-10-01 --to 2026-10-31 -o october.csv
  marchpane payment export --from 2026-10-01 --to 2026-10-31 --account bank=1200 --account sales=4000`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			accounts, err := accountNames(names)
			if err != nil {
				env.started = false
				return err
			}
			if to.Before(from) {
				env.started = false
				return fmt.Errorf("--to %s is before --from %s", to, from)
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			orders, err := s.AllOrders(cmd.Context())
			if err != nil {
				return err
			}
			postings := quote.Journal(orders, from, to)
			write := func(w io.Writer) error { return csvfile.Journal(w, orders, postings, accounts) }
			if out == "" {
				return write(env.Out)
			}
			if err := writeFile(out, write); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(map[string]any{"file": out, "postings": len(postings)})
			}
			fmt.Fprintf(env.Out, "%s in %s.\n", plural(len(postings), "posting is", "postings are"), out)
			return nil
		},
	}
	cmd.Flags().Var(dateFlag{&from}, "from", "the first `DATE`")
	cmd.Flags().Var(dateFlag{&to}, "to", "the last `DATE`")
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` (default: print it)")
	cmd.Flags().StringArrayVar(&names, "account", nil, "what an account is called in your books, such as `bank=1200`; may be given several times")
	cmd.MarkFlagRequired("from")
	cmd.MarkFlagRequired("to")
	return cmd
}

func accountNames(pairs []string) (map[quote.Ledger]string, error) {
	names := map[quote.Ledger]string{}
	var known []string
	for _, l := range quote.Ledgers() {
		names[l] = string(l)
		known = append(known, string(l))
	}
	for _, pair := range pairs {
		account, name, ok := strings.Cut(pair, "=")
		if _, there := names[quote.Ledger(account)]; !ok || !there || name == "" {
			return nil, fmt.Errorf("--account %q: write one of %s, then = and what it is called in your books", pair, strings.Join(known, ", "))
		}
		names[quote.Ledger(account)] = name
	}
	return names, nil
}

func paymentReceipt(env *Env) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:     "receipt PAYMENT",
		Short:   "Write the receipt of a payment as a PDF for the client",
		Example: `  marchpane payment receipt R2026-0001 -o receipt.pdf`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			order, p, err := s.Payment(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			paper, err := env.receiptPDF(cmd.Context(), s, order, p)
			if err != nil {
				return err
			}
			if out == "" {
				out = p.Number + ".pdf"
			}
			if err := writeFile(out, func(w io.Writer) error { _, err := w.Write(paper); return err }); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(map[string]string{"file": out})
			}
			fmt.Fprintf(env.Out, "The receipt %s is in %s.\n", p.Number, out)
			return nil
		}),
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` (default: the receipt's number)")
	return cmd
}

// receiptPDF writes the receipt of a payment.
func (e *Env) receiptPDF(ctx context.Context, s *store.Store, o quote.Order, p quote.Payment) ([]byte, error) {
	d := document.ReceiptOf(o.Quote, p, o.AccountAfter(p))
	var err error
	if d.Look, err = withLogo(ctx, s, d.Look); err != nil {
		return nil, err
	}
	var text bytes.Buffer
	warnings, err := pdf.Receipt(&text, d)
	e.warn(warnings)
	return text.Bytes(), err
}
