package document

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
)

// FromQuote writes out the paper of a quote in the language of its client. Of q
// it reads the number, the revision and what it changes, the discount asked for
// and the offers; never a basis, which is not for clients. A draft has a mark on
// it and nothing to sign.
func FromQuote(q quote.Quote) Quote {
	w := newWriter(q)
	m := w.m
	d := Quote{
		Language: m.Language, Title: sentence(m.FileTitle, w.name(), q.Offer.Studio.Name),
		Subject: sentence(m.PreparedForWhom, q.Offer.Client.Name), Date: q.Offer.IssuedOn, Paper: w.paper(), Look: w.look(),
		Heading: m.Quotation, Name: w.name(), Page: m.Page, More: m.Continued,
		Studio:       w.studio(),
		Reference:    w.reference(),
		Client:       w.client(),
		Event:        w.event(),
		Changes:      w.changes(),
		Cancellation: w.cancellation(),
		Terms:        Section{m.Terms, q.Offer.Studio.Terms},
		Acceptance:   w.acceptance(),
	}
	if len(q.Options) > 0 {
		d.Options = w.options()
		d.Comparison = w.comparison()
	} else {
		only := w.option()
		d.Design, d.Cakes, d.Prices, d.Tax = only.Design, only.Cakes, only.Prices, only.Tax
		d.Payments, d.Allergens, d.Cautions = only.Payments, only.Allergens, only.Cautions
	}
	if q.Draft() {
		d.Draft = m.DraftMark
	}
	return d
}

// The marks of a quote that no longer stands; the first three are states.
const (
	MarkDeclined  = string(quote.Declined)
	MarkLapsed    = string(quote.Lapsed)
	MarkCancelled = string(quote.Cancelled)
	MarkReplaced  = "replaced" // by a later revision
	MarkVoid      = "void"     // of a receipt
)

// Marked returns the paper of a quote that no longer stands, marked with why
// and with nothing to sign. What is no mark, such as the state of an accepted
// quote, leaves it as it is.
func (d Quote) Marked(why string) Quote {
	if mark, ok := MessagesFor(d.Language).Marks[why]; ok {
		d.Mark, d.Acceptance = mark, Acceptance{}
	}
	return d
}

// quoteWriter writes the parts of a quote's paper.
type quoteWriter struct {
	Locale
	m     Messages
	quote quote.Quote
	offer quote.Offer
}

func newWriter(q quote.Quote) quoteWriter {
	l := LocaleFor(q.Offer.Language, q.Offer.Studio.Locale)
	return quoteWriter{Locale: l, m: *l.messages, quote: q, offer: q.Offer}
}

// option writes out the only offer of a quote, as if it were one of several.
func (w quoteWriter) option() Option {
	o := Option{
		Design:    w.m.YourCake[0],
		Cakes:     w.cakes(),
		Prices:    w.prices(),
		Tax:       w.tax(),
		Payments:  w.payments(),
		Allergens: AllergenStatement(w.m, string(w.offer.Studio.AllergenList), words(w.offer.Contains), words(w.offer.MayContain)),
		Cautions:  w.cautions(),
	}
	if len(o.Cakes) > 1 {
		o.Design = w.m.YourCake[1]
	}
	return o
}

// paper is the one that the studio wants, or that of the locale.
func (w quoteWriter) paper() Paper {
	switch w.offer.Studio.Look.Paper {
	case "a4":
		return A4
	case "letter":
		return Letter
	}
	return w.Paper()
}

func (w quoteWriter) look() Look {
	return Look{Accent: w.offer.Studio.Look.Accent, Logo: w.offer.Studio.Look.Logo}
}

// name is what the paper is called at its head.
func (w quoteWriter) name() string {
	if w.quote.Draft() {
		return w.m.DraftName
	}
	return sentence(w.m.QuoteName, w.quote.Number, w.quote.Revision)
}

func (w quoteWriter) studio() Studio {
	s := w.offer.Studio
	out := Studio{Name: s.Name, Address: paragraphs(s.Address), Email: s.Email, Phone: s.Phone}
	if s.TaxNumber != "" {
		out.TaxNumber = sentence(w.m.TaxNumber, w.taxLabel(), s.TaxNumber)
	}
	return out
}

func (w quoteWriter) reference() []Fact {
	number := w.quote.Number
	if w.quote.Draft() {
		number = w.m.NotNumbered
	}
	facts := []Fact{
		{w.m.Number, number},
		{w.m.Revision, w.quote.Revision},
		{w.m.Issued, w.Date(w.offer.IssuedOn)},
		{w.m.ValidUntil, w.Date(w.offer.ValidUntil)},
	}
	if w.quote.Chosen != "" {
		facts = append(facts, Fact{w.m.Option, w.quote.Chosen})
	}
	return facts
}

func (w quoteWriter) client() Section {
	c := w.offer.Client
	lines := append([]string{c.Name}, paragraphs(c.Address.Value)...)
	for _, s := range []string{c.Email.Value, c.Phone.Value} {
		if s != "" {
			lines = append(lines, s)
		}
	}
	return Section{w.m.PreparedFor, lines}
}

func (w quoteWriter) event() []Fact {
	facts := []Fact{{w.m.EventDate, w.LongDate(w.offer.EventDate)}}
	if w.offer.Venue != "" {
		facts = append(facts, Fact{w.m.Venue, w.offer.Venue})
	}
	if w.offer.Guests > 0 {
		facts = append(facts, Fact{w.m.Guests, w.Number(decimal.NewFromInt(int64(w.offer.Guests)), 0)})
	}
	return facts
}

func (w quoteWriter) prices() Prices {
	m := w.m
	p := Prices{
		Heading: m.Prices,
		Columns: PriceLine{Name: m.Item, Quantity: m.Quantity, Unit: m.UnitPrice, Amount: m.Amount},
		Total:   Fact{m.Total, w.money(w.offer.Total)},
	}
	for _, l := range w.offer.Lines {
		p.Lines = append(p.Lines, w.priceLine(l))
	}
	if len(w.offer.Tax) == 0 {
		return p
	}
	p.Note = sentence(m.GrossNote, w.taxLabel())
	if w.offer.Shown == book.Net {
		p.Note = sentence(m.NetNote, w.taxLabel())
		net, tax := w.offer.Tax[0].Net, w.offer.Tax[0].Tax
		for _, t := range w.offer.Tax[1:] {
			net, tax = net.Add(t.Net), tax.Add(t.Tax)
		}
		p.Sums = []Fact{
			{sentence(m.NetTotal, w.taxLabel()), w.money(net)},
			{sentence(m.TaxTotal, w.taxLabel()), w.money(tax)},
		}
	}
	return p
}

// priceLine names the lines of our own making; a discount and a minimum have
// no quantity or unit price to speak of.
func (w quoteWriter) priceLine(l quote.Line) PriceLine {
	line := PriceLine{Kind: LineKind(l.Kind), Name: l.Name, Amount: w.money(l.Amount)}
	switch l.Kind {
	case quote.DiscountLine:
		line.Name = w.m.DiscountPlain
		if share, ok := w.discount(); ok {
			line.Name = sentence(w.m.Discount, w.percent(share))
		}
	case quote.MinimumLine:
		line.Name = w.m.MinimumOrder
	default:
		line.Quantity = w.filled("%d", l.Quantity)
		line.Unit = w.money(l.UnitPrice)
	}
	return line
}

// discount returns the share that was to be taken off: an option's own goes
// before that of the whole request.
func (w quoteWriter) discount() (share exact.Number, ok bool) {
	d := w.quote.Request.Discount
	for _, o := range w.quote.Request.Options {
		if o.Name == w.quote.Chosen && o.Discount.Given {
			d = o.Discount
		}
	}
	return d.Value.Fraction(), d.Given
}

func (w quoteWriter) tax() Tax {
	t := Tax{
		Heading: sentence(w.m.TaxHeading, w.taxLabel()),
		Columns: TaxLine{Rate: w.m.TaxRate, Net: w.m.TaxNet, Tax: w.taxLabel()},
	}
	for _, line := range w.offer.Tax {
		t.Lines = append(t.Lines, TaxLine{w.percent(line.Rate),
			w.money(line.Net), w.money(line.Tax)})
	}
	return t
}

func (w quoteWriter) payments() Payments {
	var due []quote.Instalment // what there is to pay
	for _, in := range w.offer.Instalments {
		if !in.Amount.IsZero() {
			due = append(due, in)
		}
	}
	p := Payments{Heading: w.m.Payments}
	for i, in := range due {
		p.Lines = append(p.Lines, Payment{
			Label: w.paymentLabel(in, i, len(due)), Due: sentence(w.m.DueOn, w.Date(in.Due)),
			Amount: w.money(in.Amount),
		})
	}
	return p
}

func (w quoteWriter) paymentLabel(in quote.Instalment, i, n int) string {
	switch {
	case in.Deposit && n > 1:
		return w.m.Deposit
	case n == 1:
		return w.m.PaidInFull
	case i == n-1:
		return w.m.Balance
	}
	return fmt.Sprintf(w.m.Instalment, i+1)
}

func (w quoteWriter) cautions() Section {
	cautions := make([]Caution, len(w.offer.Flags))
	for i, f := range w.offer.Flags {
		cautions[i] = Caution{string(f.Flag), f.In}
	}
	return Cautions(w.m, cautions...)
}

// cancellation says what it costs to cancel, from the day of acceptance to the
// event, each step with its date.
func (w quoteWriter) cancellation() Section {
	s := Section{Heading: w.m.Cancellation}
	for _, f := range w.offer.Cancellation {
		share := w.percent(f.Share.Fraction())
		if f.WithinDays == 0 {
			s.Lines = append(s.Lines, sentence(w.m.CancelEver, share))
			continue
		}
		from := w.Date(w.offer.EventDate.AddDays(-f.WithinDays))
		s.Lines = append(s.Lines, sentence(w.m.form(w.m.CancelFrom, f.WithinDays), from, f.WithinDays, share))
	}
	if len(s.Lines) == 0 {
		return Section{}
	}
	s.Lines = append(s.Lines, w.m.CancelNote)
	return s
}

func (w quoteWriter) acceptance() Acceptance {
	if w.quote.Draft() {
		return Acceptance{}
	}
	cited := sentence(w.m.QuoteCited, w.quote.Number, w.quote.Revision)
	onTerms := len(w.offer.Studio.Terms) > 0 || len(w.offer.Cancellation) > 0
	a := Acceptance{
		Heading: w.m.Accept,
		Signatures: []Signature{
			{Party: w.m.ForClient, Name: w.offer.Client.Name, Lines: []string{w.m.SignHere, w.m.SignDate}},
			{Party: w.m.ForStudio, Name: w.offer.Studio.Name, Lines: []string{w.m.SignHere, w.m.SignDate}},
		},
	}
	if len(w.quote.Options) > 0 {
		text := w.m.ChooseText
		if onTerms {
			text = w.m.ChooseTerms
		}
		a.Text, a.Choices = sentence(text, cited), w.choices()
		return a
	}
	text := w.m.AcceptText
	if onTerms {
		text = w.m.AcceptTerms
	}
	a.Text = sentence(text, cited, w.money(w.offer.Total))
	return a
}

// money writes an amount in the currency of the studio.
func (w quoteWriter) money(a money.Amount) string { return w.Money(a, w.offer.Studio.Currency) }

func (w quoteWriter) taxLabel() string {
	if w.offer.Studio.TaxLabel != "" {
		return w.offer.Studio.TaxLabel
	}
	return w.m.TaxLabel
}

// percent writes a fraction as a percentage, to six decimals at most.
func (w quoteWriter) percent(fraction exact.Number) string {
	return w.Percent(fraction.Mul(exact.Int(100)).Round(6))
}

// paragraphs splits a text at line feeds and drops empty lines.
func paragraphs(s string) []string {
	lines := strings.FieldsFunc(s, func(r rune) bool { return r == '\n' || r == '\r' })
	return slices.DeleteFunc(lines, func(line string) bool { return strings.TrimSpace(line) == "" })
}

func words(allergens []book.Allergen) []string {
	out := make([]string, len(allergens))
	for i, a := range allergens {
		out[i] = string(a)
	}
	return out
}
