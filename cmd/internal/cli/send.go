package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/cmd/internal/post"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/calendar"
	"marchpane/templates/document"
	"marchpane/templates/letter"
)

// mailPassword names the environment variable that holds the password of the
// mail server: it is kept nowhere.
const mailPassword = "MARCHPANE_MAIL_PASSWORD"

// sending is what the flags of `quote send` say.
type sending struct {
	out, to, kind, payment, note string
	now, invite                  bool
}

func quoteSend(env *Env) *cobra.Command {
	var f sending
	cmd := &cobra.Command{
		Use:   "send QUOTE",
		Short: "Write the e-mail to the client, with the PDF attached; or send it",
		Long: `Write the e-mail that goes with a quote, ready to open in a mail program and send:
an .eml file with the PDF attached, as plain text and HTML, in the client's
language. With --now it goes out through your mail server instead ("mail set").

The letter follows from where the quote stands: a quote, a revision, or what a
cancellation means. --kind reminder asks for what is due; --kind receipt with
--payment sends a receipt. "letter show" prints the wording and "letter set" puts
your own in its place.`,
		Example: `  marchpane quote send 2026-0001 -o letter.eml
  marchpane quote send 2026-0001 --now
  marchpane quote send 2026-0001 --kind receipt --payment R2026-0001 -o receipt.eml
  marchpane quote send 2026-0001 --kind reminder --note "I am in the studio all Tuesday."`,
		Args: oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			return env.send(cmd.Context(), s, args[0], f)
		}),
	}
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "write the e-mail to this `FILE` (default: the quote's number)")
	cmd.Flags().StringVar(&f.to, "to", "", "another `ADDRESS` than the client's")
	cmd.Flags().StringVar(&f.kind, "kind", "", "`KIND` of letter: quote, revision, receipt, reminder or cancellation (default: by its state)")
	cmd.Flags().StringVar(&f.payment, "payment", "", "the `NUMBER` of the payment that a receipt is for (default: the last)")
	cmd.Flags().StringVar(&f.note, "note", "", "your own `WORDS` in this one letter")
	cmd.Flags().BoolVar(&f.now, "now", false, "send it through the mail server now")
	cmd.Flags().BoolVar(&f.invite, "calendar", false, "attach a calendar file with the event and what is due")
	return cmd
}

func (e *Env) send(ctx context.Context, s *store.Store, ref string, f sending) error {
	q, err := s.Quote(ctx, ref, "", e.today())
	if err != nil {
		return err
	}
	if f.now && f.out != "" {
		return errors.New("--now sends the letter and -o writes it to a file; choose one")
	}
	l, err := e.writeLetter(ctx, s, q, f)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := letter.Write(&text, l); err != nil {
		return err
	}
	note := store.Sending{Revision: q.Quote.Revision, Kind: string(l.Kind), How: "file"}
	if f.now {
		settings, err := e.mailSettings(ctx, s)
		if err != nil {
			return err
		}
		if err := post.Send(ctx, settings, text.Bytes()); err != nil {
			return err
		}
		note.How = "server"
		if err := s.NoteSending(ctx, q.Ref(), note, e.Now()); err != nil {
			return err
		}
		if e.json {
			return e.printJSON(map[string]string{"sent": q.Ref(), "kind": note.Kind, "to": l.Envelope.To.Address})
		}
		fmt.Fprintf(e.Out, "The letter (%s) about %s went to %s.\n", note.Kind, q.Ref(), l.Envelope.To.Address)
		return nil
	}
	if f.out == "" {
		f.out = q.Ref() + "-" + q.Quote.Revision + "-" + note.Kind + ".eml"
	}
	if err := writeFile(f.out, func(w io.Writer) error { _, err := text.WriteTo(w); return err }); err != nil {
		return err
	}
	if err := s.NoteSending(ctx, q.Ref(), note, e.Now()); err != nil {
		return err
	}
	if e.json {
		return e.printJSON(map[string]string{"file": f.out, "kind": note.Kind, "to": l.Envelope.To.Address})
	}
	fmt.Fprintf(e.Out, "The letter (%s) to %s is in %s; open it in your mail program to read and send it.\n", note.Kind, l.Envelope.To.Address, f.out)
	return nil
}

// writeLetter gathers all that a letter about a quote is made of.
func (e *Env) writeLetter(ctx context.Context, s *store.Store, q store.SavedQuote, f sending) (letter.Letter, error) {
	h := q.Quote.Offer.Heading
	kind, err := letterKind(q, f.kind)
	if err != nil {
		return letter.Letter{}, err
	}
	to := f.to
	if to == "" {
		to = h.Client.Email.Value
	}
	switch {
	case to == "":
		return letter.Letter{}, fmt.Errorf("%s has no e-mail address; say where the letter goes with --to, or revise the quote with the address in its request", h.Client.Name)
	case h.Studio.Email == "":
		return letter.Letter{}, errors.New("the studio has no e-mail address; add studio.email to the book")
	}
	locale := document.LocaleFor(h.Language, h.Studio.Locale)
	l := letter.Letter{
		Kind: kind, Accent: h.Studio.Look.Accent,
		Envelope: letter.Envelope{
			From: letter.Address{Name: h.Studio.Name, Address: h.Studio.Email}, To: letter.Address{Name: h.Client.Name, Address: to},
			Date: e.Now(), Language: locale.Messages().Language, Draft: !f.now,
		},
	}
	own, there, err := s.Wording(ctx, baseLanguage(l.Envelope.Language), string(kind))
	if err != nil {
		return l, err
	}
	if there {
		l.Wording = own
	}
	w := correspondent{env: e, locale: locale, quote: q}
	if err := w.attach(ctx, s, &l, f); err != nil {
		return l, err
	}
	l.Facts.Note = f.note
	return l, nil
}

// letterKind returns the kind that was asked for, or what fits the state. A
// letter that would say what is not so is refused.
func letterKind(q store.SavedQuote, name string) (letter.Kind, error) {
	ref, l := q.Ref(), q.Life
	kind := letter.Kind(name)
	switch {
	case q.Quote.Draft():
		return "", fmt.Errorf("%s is a draft; issue it before it is sent", ref)
	case name != "":
		var names []string
		for _, k := range letter.Kinds() {
			names = append(names, string(k))
		}
		if !slices.Contains(names, name) {
			return "", fmt.Errorf("--kind %s is unknown; use %s", name, strings.Join(names, ", "))
		}
	case l.State == quote.Cancelled:
		kind = letter.Cancellation
	case q.Quote.Revision != "A":
		kind = letter.Revision
	default:
		kind = letter.Quote
	}
	switch kind {
	case letter.Quote, letter.Revision:
		switch {
		case l.State == quote.Accepted:
			return "", fmt.Errorf("%s is accepted, so there is nothing to offer; send --kind reminder or --kind receipt, or the paper by itself: marchpane quote pdf %s", ref, ref)
		case l.State != quote.Issued:
			return "", fmt.Errorf("%s is %s and can't be accepted; revise it to offer it anew", ref, l.State)
		case kind == letter.Revision && q.Quote.Revision == "A":
			return "", fmt.Errorf("%s was never revised; send it as --kind quote", ref)
		}
	case letter.Cancellation:
		switch {
		case l.State != quote.Cancelled:
			return "", fmt.Errorf("%s is %s, not cancelled; cancel it first", ref, l.State)
		case l.Order == "":
			return "", fmt.Errorf("%s was never an order, and the letter speaks of one; tell the client in your own words", ref)
		}
	default:
		if l.Order == "" {
			return "", fmt.Errorf("%s was never accepted, so nothing was to pay for it", ref)
		}
	}
	return kind, nil
}

// correspondent puts the facts of a quote into the words of its client.
type correspondent struct {
	env    *Env
	locale document.Locale
	quote  store.SavedQuote
}

// attach fills in the facts of a letter and adds the papers that go with it.
func (w correspondent) attach(ctx context.Context, s *store.Store, l *letter.Letter, f sending) error {
	w.offerFacts(l)
	switch l.Kind {
	case letter.Quote, letter.Revision:
		pdf, err := w.env.quotePDF(ctx, s, w.quote, "", false)
		if err != nil {
			return err
		}
		l.Attachments = append(l.Attachments, letter.Attachment{Name: w.quote.Ref() + "-" + w.quote.Quote.Revision + ".pdf", Type: "application/pdf", Data: pdf})
	default:
		order, err := s.Order(ctx, w.quote.Ref())
		if err != nil {
			return err
		}
		if err := w.orderFacts(ctx, s, l, order, f.payment); err != nil {
			return err
		}
	}
	if f.invite {
		trail, err := s.Trail(ctx, w.quote.Ref())
		if err != nil {
			return err
		}
		studio := w.quote.Quote.Offer.Studio
		c := quoteCalendar(w.env, w.quote, len(trail), studio.Name, w.locale.Messages())
		c.Organizer = calendar.Organizer{Name: studio.Name, Address: studio.Email}
		var text bytes.Buffer
		if err := calendar.Write(&text, c); err != nil {
			return err
		}
		l.Attachments = append(l.Attachments, letter.Attachment{Name: w.quote.Ref() + ".ics", Type: c.MediaType(), Data: text.Bytes()})
	}
	return nil
}

// shortName is a quote's number, with its revision where there are several:
// 2026-0001, 2026-0001 B.
func shortName(q quote.Quote) string {
	if q.Revision == "A" {
		return q.Number
	}
	return q.Number + " " + q.Revision
}

// offerFacts says what is offered.
func (w correspondent) offerFacts(l *letter.Letter) {
	q := w.quote.Quote
	h, cur := q.Offer.Heading, q.Offer.Studio.Currency
	l.Facts = letter.Facts{
		Studio: h.Studio.Name, Client: h.Client.Name, QuoteName: shortName(q),
		EventDate: w.locale.LongDate(h.EventDate), Venue: h.Venue, ValidUntil: w.locale.Date(h.ValidUntil),
	}
	for _, line := range strings.Split(h.Studio.Address+"\n"+h.Studio.Phone, "\n") {
		if strings.TrimSpace(line) != "" {
			l.Facts.Contact = append(l.Facts.Contact, line)
		}
	}
	if len(q.Options) == 0 {
		l.Facts.Total = w.locale.Money(q.Offer.Total, cur)
		for _, i := range q.Offer.Instalments {
			if i.Deposit && !i.Amount.IsZero() {
				l.Facts.Deposit, l.Facts.DepositDue = w.locale.Money(i.Amount, cur), w.locale.Date(i.Due)
			}
		}
	}
	for _, o := range q.Options {
		l.Facts.Options = append(l.Facts.Options, letter.Option{Name: o.Name, Total: w.locale.Money(o.Total, cur)})
	}
	if l.Kind == letter.Revision {
		d := document.FromQuote(q)
		for _, c := range d.Changes.Lines {
			l.Facts.Changes = append(l.Facts.Changes, c.Text)
		}
	}
}

// orderFacts says what was paid, is due, or goes back.
func (w correspondent) orderFacts(ctx context.Context, s *store.Store, l *letter.Letter, o quote.Order, number string) error {
	cur, today := o.Quote.Offer.Studio.Currency, w.env.today()
	facts := &l.Facts
	facts.QuoteName = shortName(o.Quote)
	account := o.Account(today)
	switch l.Kind {
	case letter.Receipt:
		p, err := findPayment(o, number)
		if err != nil {
			return err
		}
		account = o.AccountAfter(p)
		pdf, err := w.env.receiptPDF(ctx, s, o, p)
		if err != nil {
			return err
		}
		l.Attachments = append(l.Attachments, letter.Attachment{Name: p.Number + ".pdf", Type: "application/pdf", Data: pdf})
		facts.Receipt, facts.Received, facts.ReceivedOn = p.Number, w.locale.Money(p.Amount, cur), w.locale.Date(p.On)
		facts.PaidInFull = account.Balance.Sign() <= 0
	case letter.Reminder:
		next := account.Next()
		if next == nil {
			return fmt.Errorf("nothing is left to pay for %s, so there is nothing to remind of", o.Quote.Number)
		}
		facts.Due, facts.DueOn, facts.Overdue = w.locale.Money(next.Left, cur), w.locale.Date(next.Due), next.Overdue
		facts.DueFor = w.instalmentName(o, *next)
	case letter.Cancellation:
		facts.Cancelled = w.locale.Date(o.CancelledOn)
		kept := account.Owed
		if account.Received.Cmp(kept) < 0 {
			kept = account.Received
		}
		if kept.Sign() > 0 {
			facts.Kept = w.locale.Money(kept, cur)
		}
		if account.Balance.Sign() < 0 {
			facts.Refund = w.locale.Money(account.Balance.Neg(), cur)
		}
	}
	next := account.Next()
	switch {
	case next == nil || account.Balance.Sign() <= 0:
	case next.Left.Equal(account.Balance):
		facts.Balance, facts.BalanceDue = w.locale.Money(account.Balance, cur), w.locale.Date(next.Due)
	default:
		facts.Balance = w.locale.Money(account.Balance, cur)
		if l.Kind == letter.Receipt { // a part of it comes first
			facts.Due, facts.DueOn = w.locale.Money(next.Left, cur), w.locale.Date(next.Due)
		}
	}
	return nil
}

// instalmentName is what an instalment is called on the quote's paper.
func (w correspondent) instalmentName(o quote.Order, owing quote.Owing) string {
	for i, in := range o.Quote.Offer.Instalments {
		if in.Due == owing.Due && in.Amount.Equal(owing.Amount) {
			if lines := document.FromQuote(o.Quote).Payments.Lines; i < len(lines) {
				return lines[i].Label
			}
		}
	}
	return ""
}

// findPayment returns the payment of an order that is called number, or the
// last that was not taken back.
func findPayment(o quote.Order, number string) (quote.Payment, error) {
	for i := len(o.Payments) - 1; i >= 0; i-- {
		p := o.Payments[i]
		if strings.EqualFold(p.Number, number) || number == "" && p.Undoes == "" && p.Undone == "" {
			return p, nil
		}
	}
	if number == "" {
		return quote.Payment{}, fmt.Errorf("nothing was paid for %s yet", o.Quote.Number)
	}
	return quote.Payment{}, fmt.Errorf("%s has no payment %s; see: marchpane payment list %s", o.Quote.Number, number, o.Quote.Number)
}

// mailSettings returns how to reach the studio's mail server.
func (e *Env) mailSettings(ctx context.Context, s *store.Store) (post.Settings, error) {
	m, there, err := s.MailServer(ctx)
	if err != nil {
		return post.Settings{}, err
	}
	if !there {
		return post.Settings{}, errors.New("no mail server is known; name it once with: marchpane mail set --host mail.example.org --user you@example.org\nwithout --now the letter is written to a file that your mail program opens")
	}
	password := e.Getenv(mailPassword)
	if m.User != "" && password == "" {
		return post.Settings{}, fmt.Errorf("the mail server wants a password for %s; put it into the environment variable %s, since it is never stored", m.User, mailPassword)
	}
	return post.Settings{Host: m.Host, Port: m.Port, User: m.User, Password: password, Security: post.Security(m.Security)}, nil
}

func mailCommand(env *Env) *cobra.Command {
	return group("mail", "The mail server that letters leave through",
		`Letters are files that your mail program opens. With a mail server named here they
can also go out directly ("quote send --now"). Its password is never stored: put it
into the environment variable `+mailPassword+`.`,
		mailShow(env), mailSet(env), mailForget(env))
}

func mailShow(env *Env) *cobra.Command {
	return &cobra.Command{
		Use: "show", Short: "The mail server that is known", Args: cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			m, there, err := s.MailServer(cmd.Context())
			switch {
			case err != nil:
				return err
			case !there && env.json:
				return env.printJSON(nil)
			case !there:
				fmt.Fprintln(env.Out, "No mail server is known. Name it with: marchpane mail set --host mail.example.org --user you@example.org")
				return nil
			case env.json:
				return env.printJSON(m)
			}
			port := "its usual port"
			if m.Port != 0 {
				port = fmt.Sprintf("port %d", m.Port)
			}
			fmt.Fprintf(env.Out, "%s, %s, %s, as %q\n", m.Host, port, m.Security, m.User)
			return nil
		}),
	}
}

func mailSet(env *Env) *cobra.Command {
	m := store.MailServer{Security: string(post.StartTLS)}
	cmd := &cobra.Command{
		Use: "set --host SERVER", Short: "Name the mail server", Args: cobra.NoArgs,
		Example: `  marchpane mail set --host mail.example.org --user you@example.org
  marchpane mail set --host mail.example.org --security tls --port 465 --user you`,
		RunE: func(cmd *cobra.Command, _ []string) error {
			settings := post.Settings{Host: m.Host, Port: m.Port, User: m.User, Security: post.Security(m.Security)}
			if m.User != "" {
				settings.Password = "not stored" // so that the rest is checked
			}
			if err := settings.Check(); err != nil {
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			if err := s.SetMailServer(cmd.Context(), &m); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(m)
			}
			fmt.Fprintf(env.Out, "Letters leave through %s. Put its password into %s when you send.\n", m.Host, mailPassword)
			return nil
		},
	}
	cmd.Flags().StringVar(&m.Host, "host", "", "the `SERVER`")
	cmd.Flags().IntVar(&m.Port, "port", 0, "its `PORT` (default: the usual one)")
	cmd.Flags().StringVar(&m.User, "user", "", "the `NAME` to log in with")
	cmd.Flags().StringVar(&m.Security, "security", m.Security, "how the line is kept private: starttls, tls, or none on this machine only")
	cmd.MarkFlagRequired("host")
	return cmd
}

func mailForget(env *Env) *cobra.Command {
	return &cobra.Command{
		Use: "forget", Short: "Forget the mail server", Args: cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			if err := s.SetMailServer(cmd.Context(), nil); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(nil)
			}
			fmt.Fprintln(env.Out, "No mail server is known any more; letters are written to files.")
			return nil
		}),
	}
}

// quoteCalendar gathers the days of one quote: the event, what is due, and the
// end of its validity while it is open. Its entries change with every move;
// title is what they are called, by the client's name or the studio's.
func quoteCalendar(env *Env, q store.SavedQuote, moves int, title string, m document.Messages) calendar.Calendar {
	h := q.Quote.Offer.Heading
	c := calendar.Calendar{Name: h.Studio.Name, Language: m.Language, Stamp: env.Now()}
	over := q.Life.State != quote.Issued && q.Life.State != quote.Accepted
	name := fmt.Sprintf(m.QuoteName, q.Ref(), q.Quote.Revision)
	add := func(what, title, place string, on day.Date, gone bool) {
		c.Entries = append(c.Entries, calendar.Entry{
			UID: calendar.UID(h.Studio.Name, q.Ref(), what), Title: title, Day: on, Place: place, Text: name,
			Category: strings.Fields(what)[0], Cancelled: gone || over, Tentative: q.Life.State == quote.Issued && q.Life.Order == "", Sequence: moves,
		})
	}
	add("event", title, h.Venue, h.EventDate, false)
	add("validity", m.ValidUntil+": "+title, "", h.ValidUntil, q.Life.State != quote.Issued)
	for _, one := range q.Quote.Choices() {
		if len(q.Quote.Options) > 0 && (q.Life.Order != q.Quote.Revision || one.Chosen != q.Life.Option) {
			continue // what is due is not known before the client has chosen
		}
		lines := document.FromQuote(one).Payments.Lines
		n := 0
		for i, in := range one.Offer.Instalments {
			if in.Amount.IsZero() || n >= len(lines) {
				continue
			}
			add(fmt.Sprintf("instalment %d", i+1), lines[n].Label+", "+lines[n].Amount+": "+title, "", in.Due, false)
			n++
		}
	}
	return c
}
