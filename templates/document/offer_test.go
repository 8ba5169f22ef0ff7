package document_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/templates/document"
)

// Each kind of change in the words of the reader, dates and money too.
func TestChanges(t *testing.T) {
	change := func(kind quote.ChangeKind, name, before, after, money string) quote.Change {
		return quote.Change{Kind: kind, Name: name, Before: before, After: after, Money: euro(money)}
	}
	tests := []struct {
		change quote.Change
		want   document.ChangeLine
	}{
		{change(quote.ClientChanged, "", "A", "B", "0"), document.ChangeLine{Text: "Client: B instead of A"}},
		{change(quote.EventMoved, "", "2027-06-12", "2027-06-19", "0"), document.ChangeLine{Text: "Date of the event: 19 June 2027 instead of 12 June 2027"}},
		{change(quote.VenueChanged, "", "", "The Old Barn", "0"), document.ChangeLine{Text: "Venue: The Old Barn (new)"}},
		{change(quote.VenueChanged, "", "The Old Barn", "", "0"), document.ChangeLine{Text: "Venue: The Old Barn (no longer)"}},
		{change(quote.GuestsChanged, "", "80", "90", "0"), document.ChangeLine{Text: "Guests: 90 instead of 80"}},
		{change(quote.GuestsChanged, "", "0", "90", "0"), document.ChangeLine{Text: "Guests: 90 (new)"}},
		{change(quote.LineAdded, "Posy", "", "1", "35"), document.ChangeLine{Text: "Added: Posy", Money: "+€35.00"}},
		{change(quote.LineRemoved, "Box", "12", "", "-180"), document.ChangeLine{Text: "Removed: 12 × Box", Money: "−€180.00"}},
		{change(quote.QuantityChanged, "Box", "12", "1200", "9"), document.ChangeLine{Text: "Box, quantity: 1,200 instead of 12", Money: "+€9.00"}},
		{change(quote.UnitPriceChanged, "Box", "15.00", "16.50", "18"), document.ChangeLine{Text: "Box, price of each: €16.50 instead of €15.00", Money: "+€18.00"}},
		{change(quote.DesignChanged, "Tower", "", "", "0"), document.ChangeLine{Text: "Tower: tiers changed"}},
		{change(quote.PortionsChanged, "Tower", "80", "90", "0"), document.ChangeLine{Text: "Tower, portions to serve: 90 instead of 80"}},
		{change(quote.DiscountChanged, "", "0.00", "-37.50", "-37.50"), document.ChangeLine{Text: "Discount: −€37.50 (new)", Money: "−€37.50"}},
		{change(quote.MinimumChanged, "", "12.00", "0.00", "-12"), document.ChangeLine{Text: "Addition up to the minimum order: €12.00 (no longer)", Money: "−€12.00"}},
		{change(quote.TaxChanged, "", "10.00", "12.00", "2"), document.ChangeLine{Text: "VAT: €12.00 instead of €10.00", Money: "+€2.00"}},
		{change(quote.TermsChanged, "", "", "", "0"), document.ChangeLine{Text: "Terms changed"}},
		{change(quote.TotalChanged, "", "1120.00", "1240.00", "120"), document.ChangeLine{Text: "Total: €1,240.00 instead of €1,120.00", Money: "+€120.00", Total: true}},
		{quote.Change{Kind: quote.OptionAdded, Option: "Meadow", After: "1240.00"}, document.ChangeLine{Option: "Meadow", Text: "Newly offered: Meadow, for a total of €1,240.00"}},
		{quote.Change{Kind: quote.OptionRemoved, Before: "1120.00"}, document.ChangeLine{Text: "No longer offered: the single offer, for a total of €1,120.00"}},
		{quote.Change{Kind: "flavour", Before: "a", After: "b"}, document.ChangeLine{Text: "flavour: b instead of a"}}, // a kind of later days
	}
	q := priced(t, seed.Studio(), seed.WeddingRequest())
	for _, tt := range tests {
		q.Changes = []quote.Change{tt.change}
		if got := document.FromQuote(q).Changes.Lines; len(got) != 1 || got[0] != tt.want {
			t.Errorf("%s: %v, want %v", tt.change.Kind, got, tt.want)
		}
	}
}

// Whatever two quotes differ in is told, in every language, without a word of
// the kinds' own names.
func TestChangesAreToldInEveryLanguage(t *testing.T) {
	for _, language := range document.Languages() {
		q := revised(t, language)
		d := document.FromQuote(q)
		if len(d.Changes.Lines) != len(q.Changes) || len(q.Changes) < 5 {
			t.Errorf("%s: %d changes are told, of %d", language, len(d.Changes.Lines), len(q.Changes))
		}
		for _, l := range document.FromQuote(q.Choose(0)).Changes.Lines {
			if l.Option == "Patisserie" {
				t.Errorf("%s: the paper of another option tells %q", language, l.Text)
			}
		}
	}
}

// Each option prices itself: its own discount, its own total, its own deposit.
func TestOptions(t *testing.T) {
	q := revised(t, "en")
	d := document.FromQuote(q)
	if len(d.Options) != 3 || len(d.Comparison.Columns) != 3 || len(d.Acceptance.Choices) != 3 {
		t.Fatalf("%d options, %d columns, %d boxes to tick; want 3 of each", len(d.Options), len(d.Comparison.Columns), len(d.Acceptance.Choices))
	}
	if len(d.Cakes) > 0 || len(d.Prices.Lines) > 0 || d.Prices.Total.Value != "" {
		t.Errorf("beside options the paper has an offer of its own: %v, %v", d.Cakes, d.Prices)
	}
	for i, o := range d.Options {
		alone := document.FromQuote(q.Choose(i))
		if o.Prices.Total != alone.Prices.Total || !slices.Equal(o.Prices.Lines, alone.Prices.Lines) || !slices.Equal(o.Payments.Lines, alone.Payments.Lines) {
			t.Errorf("%s differs from the paper of it alone: %v, %v", o.Name, o.Prices, alone.Prices)
		}
		for _, r := range d.Comparison.Rows {
			if len(r.Cells) != 3 {
				t.Errorf("row %s has %d cells", r.Kind, len(r.Cells))
			}
			if r.Kind == document.TotalRow && !slices.Equal(r.Cells[i], []string{o.Prices.Total.Value}) {
				t.Errorf("%s: compared total %v, want %s", o.Name, r.Cells[i], o.Prices.Total.Value)
			}
		}
		if !strings.Contains(d.Acceptance.Choices[i], o.Name) || !strings.Contains(d.Acceptance.Choices[i], o.Prices.Total.Value) {
			t.Errorf("box %q names neither %q nor %s", d.Acceptance.Choices[i], o.Name, o.Prices.Total.Value)
		}
	}
	has := func(o document.Option) bool {
		return slices.ContainsFunc(o.Prices.Lines, func(l document.PriceLine) bool { return l.Name == "Discount of 3% on the cakes" })
	}
	if !has(d.Options[0]) || has(d.Options[1]) {
		t.Error("the discount of the first option is not its alone")
	}
	// 1133.20 ÷ (55 + 2 × 32) = 9.5227…
	for _, r := range d.Comparison.Rows {
		if r.Kind == document.PerPortionRow && !slices.Equal(r.Cells[1], []string{"€9.52"}) {
			t.Errorf("per portion = %v, want €9.52", r.Cells[1])
		}
	}
}

// An option's basis is no more for clients than that of a single offer.
func TestNothingConfidentialInOptions(t *testing.T) {
	q := revised(t, "en")
	with, err := json.Marshal(document.FromQuote(q))
	if err != nil {
		t.Fatal(err)
	}
	for i := range q.Options {
		q.Options[i].Basis = quote.Basis{}
	}
	without, err := json.Marshal(document.FromQuote(q))
	if err != nil {
		t.Fatal(err)
	}
	if string(with) != string(without) {
		t.Error("the paper changes with the basis of an option")
	}
}

func TestMarked(t *testing.T) {
	d := document.FromQuote(priced(t, seed.Studio(), seed.WeddingRequest()))
	for state, mark := range map[string]string{"lapsed": "LAPSED", "declined": "DECLINED", "cancelled": "CANCELLED", "replaced": "REPLACED"} {
		if got := d.Marked(state); got.Mark != mark || len(got.Acceptance.Signatures) > 0 {
			t.Errorf("Marked(%s) is marked %q with %d places to sign", state, got.Mark, len(got.Acceptance.Signatures))
		}
	}
	if got := d.Marked("accepted"); got.Mark != "" || len(got.Acceptance.Signatures) == 0 {
		t.Errorf("an accepted quote is marked %q, with %d places to sign", got.Mark, len(got.Acceptance.Signatures))
	}
}

// The studio's own look goes before the habits of the locale, and its terms
// before the law's silence.
func TestLookAndCancellation(t *testing.T) {
	q := priced(t, seed.Studio(), seed.WeddingRequest())
	q.Offer.Studio.Look = quote.Look{Accent: "#123456", Paper: "letter", Logo: "abc"}
	q.Offer.Studio.Terms, q.Offer.Cancellation = nil, nil
	d := document.FromQuote(q)
	if d.Paper != document.Letter || d.Look != (document.Look{Accent: "#123456", Logo: "abc"}) {
		t.Errorf("paper %q and look %v are not the studio's", d.Paper, d.Look)
	}
	if len(d.Cancellation.Lines) > 0 || strings.Contains(d.Acceptance.Text, "terms") {
		t.Errorf("without terms the paper speaks of some: %v, %q", d.Cancellation, d.Acceptance.Text)
	}
	q.Offer.Cancellation = []quote.CancellationFee{{WithinDays: 60, Share: share("12.5 %")}}
	d = document.FromQuote(q)
	// 12 June 2027 less 60 days (GNU date).
	if want := "From 13 April 2027 on (60 days before the event): 12.5% of the total."; d.Cancellation.Lines[0] != want {
		t.Errorf("cancellation = %q, want %q", d.Cancellation.Lines[0], want)
	}
	if !strings.Contains(d.Acceptance.Text, "terms") {
		t.Errorf("accepting does not speak of the terms: %q", d.Acceptance.Text)
	}
}
