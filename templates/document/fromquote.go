package document

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// FromQuote writes out the paper of a quote in the locale of its studio. Of q
// it reads the number, the revision, the discount asked for and the offer;
// never the basis, which is not for clients. A draft has a mark on it and
// nothing to sign.
func FromQuote(q quote.Quote) Quote {
	l := NewLocale(q.Offer.Studio.Locale)
	w := quoteWriter{Locale: l, m: l.messages, quote: q, offer: q.Offer}
	name := w.name()
	d := Quote{
		Language: w.m.Language, Title: sentence(w.m.FileTitle, name, q.Offer.Studio.Name),
		Subject: sentence(w.m.PreparedForWhom, q.Offer.Client.Name), Date: q.Offer.IssuedOn, Paper: l.Paper(),
		Heading: w.m.Quotation, Name: name, Page: w.m.Page, More: w.m.Continued,
		Studio:     w.studio(),
		Reference:  w.reference(),
		Client:     w.client(),
		Event:      w.event(),
		Design:     w.m.YourCake[0],
		Cakes:      w.cakes(),
		Prices:     w.prices(),
		Tax:        w.tax(),
		Payments:   w.payments(),
		Allergens:  AllergenStatement(w.m, string(q.Offer.Studio.AllergenList), words(q.Offer.Contains), words(q.Offer.MayContain)),
		Cautions:   w.cautions(),
		Terms:      Section{w.m.Terms, q.Offer.Studio.Terms},
		Acceptance: w.acceptance(name),
	}
	if len(d.Cakes) > 1 {
		d.Design = w.m.YourCake[1]
	}
	if q.Draft() {
		d.Draft = w.m.DraftMark
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

// name is what the paper is called in a sentence.
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
	return []Fact{
		{w.m.Number, number},
		{w.m.Revision, w.quote.Revision},
		{w.m.Issued, w.Date(w.offer.IssuedOn)},
		{w.m.ValidUntil, w.Date(w.offer.ValidUntil)},
	}
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
	return facts
}

func (w quoteWriter) prices() Prices {
	m := w.m
	p := Prices{
		Heading: m.Prices,
		Columns: PriceLine{Name: m.Item, Quantity: m.Quantity, Unit: m.UnitPrice, Amount: m.Amount},
		Total:   Fact{m.Total, w.Money(w.offer.Total, w.offer.Studio.Currency)},
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
			{sentence(m.NetTotal, w.taxLabel()), w.Money(net, w.offer.Studio.Currency)},
			{sentence(m.TaxTotal, w.taxLabel()), w.Money(tax, w.offer.Studio.Currency)},
		}
	}
	return p
}

// priceLine names the lines of our own making; a discount and a minimum have
// no quantity or unit price to speak of.
func (w quoteWriter) priceLine(l quote.Line) PriceLine {
	line := PriceLine{Kind: LineKind(l.Kind), Name: l.Name, Amount: w.Money(l.Amount, w.offer.Studio.Currency)}
	switch l.Kind {
	case quote.DiscountLine:
		line.Name = w.m.DiscountPlain
		if d := w.quote.Request.Discount; d.Given {
			line.Name = sentence(w.m.Discount, w.percent(d.Value.Fraction()))
		}
	case quote.MinimumLine:
		line.Name = w.m.MinimumOrder
	default:
		line.Quantity = fmt.Sprint(l.Quantity)
		line.Unit = w.Money(l.UnitPrice, w.offer.Studio.Currency)
	}
	return line
}

func (w quoteWriter) tax() Tax {
	t := Tax{
		Heading: sentence(w.m.TaxHeading, w.taxLabel()),
		Columns: TaxLine{Rate: w.m.TaxRate, Net: w.m.TaxNet, Tax: w.taxLabel()},
	}
	for _, line := range w.offer.Tax {
		t.Lines = append(t.Lines, TaxLine{w.percent(line.Rate),
			w.Money(line.Net, w.offer.Studio.Currency), w.Money(line.Tax, w.offer.Studio.Currency)})
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
			Amount: w.Money(in.Amount, w.offer.Studio.Currency),
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

func (w quoteWriter) acceptance(name string) Acceptance {
	if w.quote.Draft() {
		return Acceptance{}
	}
	text := w.m.AcceptText
	if len(w.offer.Studio.Terms) > 0 {
		text = w.m.AcceptTerms
	}
	return Acceptance{
		Heading: w.m.Accept,
		Text:    sentence(text, name, w.Money(w.offer.Total, w.offer.Studio.Currency)),
		Signatures: []Signature{
			{Party: w.m.ForClient, Name: w.offer.Client.Name, Lines: []string{w.m.SignHere, w.m.SignDate}},
			{Party: w.m.ForStudio, Name: w.offer.Studio.Name, Lines: []string{w.m.SignHere, w.m.SignDate}},
		},
	}
}

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
