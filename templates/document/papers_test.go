package document_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/templates/document"
)

// options prices three options for so many guests, with a third cake.
func options(t *testing.T, language string, guests int, third string) quote.Quote {
	t.Helper()
	q := priced(t, seed.Studio(), fmt.Appendf(nil, `{
		"client": {"name": "Zoë Šimková", "address": "12 Tern Lane\nArdmorrow"},
		"event": {"date": "2027-06-12", "venue": "The Glasshouse", "km": "64", "guests": %d},
		"on": "2026-11-25", "language": %q, "extras": [{"extra": "delivery", "quantity": 1}],
		"options": [
			{"name": "Meadow", "lines": [{"cake": "wedding-three-tier", "quantity": 1}],
			 "extras": [{"extra": "stand-hire", "quantity": 1}], "discount": "3 %%"},
			{"name": "Orchard", "lines": [{"cake": "two-tier-semi-naked", "quantity": 1}, {"cake": "raspberry-heart", "quantity": 2}]},
			{"name": "Patisserie", "lines": [{"cake": %q, "quantity": 1}], "extras": [{"extra": "macaron-box", "quantity": 12}]}
		]}`, guests, language, third))
	q.Offer.Cancellation = []quote.CancellationFee{
		{Share: share("25 %")}, {WithinDays: 60, Share: share("50 %")}, {WithinDays: 1, Share: share("100 %")},
	}
	return q
}

func share(s string) measure.Percent {
	var p measure.Percent
	if err := p.UnmarshalText([]byte(s)); err != nil {
		panic(err)
	}
	return p
}

// revised is revision B of a quote with options: more guests, another cake in
// the third option, and other terms.
func revised(t *testing.T, language string) quote.Quote {
	t.Helper()
	before, after := options(t, language, 80, "choux-tower"), options(t, language, 90, "opera-rectangle")
	before.Offer.Cancellation = nil
	after.Revision = "B"
	after.Changes = quote.Compare(before, after)
	return after
}

// The whole wording of every language, read by eye once and kept since.
func TestPapersInEveryLanguage(t *testing.T) {
	for _, language := range document.Languages() {
		q := revised(t, language)
		text := paperText(document.FromQuote(q))
		chosen := q.Choose(1)
		text += "\n=== one option, chosen\n\n" + paperText(document.FromQuote(chosen).Marked("cancelled"))
		text += "\n=== receipts\n\n"
		payments := []quote.Payment{
			{Number: "R2026-0001", On: day.Must("2026-12-01"), Amount: euro("900"), Means: quote.Transfer, Note: "Ref. 77"},
			{Number: "R2026-0002", On: day.Must("2026-12-02"), Amount: euro("339.96"), Means: quote.Card, Undone: "R2026-0004"},
			{Number: "R2026-0003", On: day.Must("2026-12-03"), Amount: euro("-50"), Means: quote.Cash},
			{Number: "R2026-0004", On: day.Must("2026-12-04"), Amount: euro("-339.96"), Means: quote.Card, Undoes: "R2026-0002"},
		}
		for _, p := range payments {
			text += receiptText(document.ReceiptOf(chosen, p, chosen.Account(payments, p.On))) + "\n"
		}
		cancelled := chosen.CancelledAccount(euro("283.30"), day.Must("2026-12-05"), payments, day.Must("2026-12-05"))
		text += receiptText(document.ReceiptOf(chosen, payments[2], cancelled)) + "\n"
		golden(t, language+".txt", text)
	}
}

func euro(s string) money.Amount {
	c, err := money.ParseCurrency("EUR")
	if err != nil {
		panic(err)
	}
	return c.Round(exact.Must(s))
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the paper differs from %s; compare, then run with -update. Got:\n%s", file, got)
	}
}

// writing is text on its way to a golden file.
type writing struct{ strings.Builder }

// line writes what there is, joined by bars.
func (w *writing) line(parts ...string) {
	var there []string
	for _, p := range parts {
		if p != "" {
			there = append(there, p)
		}
	}
	if len(there) > 0 {
		w.WriteString(strings.Join(there, " | ") + "\n")
	}
}

func (w *writing) head(s string) {
	if s != "" {
		w.WriteString("# " + s + "\n")
	}
}

func (w *writing) facts(facts []document.Fact) {
	for _, f := range facts {
		w.line(f.Label, f.Value)
	}
}

func (w *writing) section(s document.Section) {
	if len(s.Lines) == 0 {
		return
	}
	w.head(s.Heading)
	for _, l := range s.Lines {
		w.line(l)
	}
}

func (w *writing) offer(o document.Option) {
	w.head(o.Name)
	w.head(o.Design)
	for _, c := range o.Cakes {
		w.line(c.Name, c.Quantity, c.Portions, c.Height)
		for _, t := range c.Tiers {
			w.line("  "+t.Name, t.Size, t.Portions, t.Note)
		}
	}
	w.head(o.Prices.Heading)
	for _, l := range append([]document.PriceLine{o.Prices.Columns}, o.Prices.Lines...) {
		w.line(l.Name, l.Quantity, l.Unit, l.Amount)
	}
	w.facts(append(o.Prices.Sums, o.Prices.Total))
	w.line(o.Prices.Note)
	if len(o.Tax.Lines) > 0 {
		w.head(o.Tax.Heading)
		for _, l := range append([]document.TaxLine{o.Tax.Columns}, o.Tax.Lines...) {
			w.line(l.Rate, l.Net, l.Tax)
		}
	}
	w.head(o.Payments.Heading)
	for _, l := range o.Payments.Lines {
		w.line(l.Label, l.Due, l.Amount)
	}
	w.head(o.Allergens.Heading)
	w.facts(o.Allergens.Facts)
	w.line(o.Allergens.Note)
	w.section(o.Cautions)
}

func paperText(d document.Quote) string {
	var w writing
	w.line(d.Heading, d.Name, d.Title, d.Subject, d.Draft, d.Mark, d.Page, d.More, string(d.Paper), d.Language)
	w.line(d.Studio.TaxNumber)
	w.facts(d.Reference)
	w.section(d.Client)
	w.facts(d.Event)
	w.head(d.Changes.Heading)
	w.line(d.Changes.Intro)
	for _, l := range d.Changes.Lines {
		w.line(l.Option, l.Text, l.Money)
	}
	w.head(d.Comparison.Heading)
	w.line(d.Comparison.Intro)
	for i, c := range d.Comparison.Columns {
		w.line("column", c.Name)
		for _, r := range d.Comparison.Rows {
			w.line("  "+r.Label, strings.Join(r.Cells[i], " / "))
		}
	}
	w.line(d.Comparison.Note)
	for _, o := range d.Options {
		w.offer(o)
	}
	if len(d.Options) == 0 {
		w.offer(document.Option{Design: d.Design, Cakes: d.Cakes, Prices: d.Prices, Tax: d.Tax, Payments: d.Payments,
			Allergens: d.Allergens, Cautions: d.Cautions})
	}
	w.section(d.Cancellation)
	w.head(d.Terms.Heading)
	w.head(d.Acceptance.Heading)
	w.line(d.Acceptance.Text)
	for _, c := range d.Acceptance.Choices {
		w.line("[ ] " + c)
	}
	for _, s := range d.Acceptance.Signatures {
		w.line(append([]string{s.Party, s.Name}, s.Lines...)...)
	}
	return w.String()
}

func receiptText(r document.Receipt) string {
	var w writing
	w.line(r.Heading, r.Name, r.Title, r.Subject, r.Mark, r.Page, string(r.Paper), r.Language)
	w.facts(r.Reference)
	w.section(r.Client)
	w.line(r.Text)
	w.facts(append([]document.Fact{r.Amount}, r.Details...))
	w.head(r.Account.Heading)
	w.facts(append(r.Account.Lines, r.Account.Balance))
	w.line(r.Note)
	w.line(append([]string{r.Signature.Party, r.Signature.Name}, r.Signature.Lines...)...)
	return w.String()
}
