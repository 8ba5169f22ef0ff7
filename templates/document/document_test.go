package document_test

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/shape"
	"marchpane/seed"
	"marchpane/templates/document"
)

var update = flag.Bool("update", false, "rewrite the golden papers")

// Patterns of the Unicode CLDR for these locales, read off its charts through
// their published examples: symbol before or after, marks, spaces.
func TestMoney(t *testing.T) {
	tests := []struct{ locale, code, amount, want string }{
		{"en-IE", "EUR", "1234567.8", "€1,234,567.80"},
		{"en-GB", "GBP", "0.5", "£0.50"},
		{"en-US", "USD", "-27", "−$27.00"},
		{"de-DE", "EUR", "1234.5", "1.234,50\u00a0€"},
		{"fr-FR", "EUR", "1234.5", "1\u202f234,50\u00a0€"},
		{"en-IN", "INR", "1234567.8", "₹12,34,567.80"},
		{"ja-JP", "JPY", "1200", "¥1,200"},
		{"en", "KWD", "1.5", "KWD\u00a01.500"},
		{"", "EUR", "12345678901234567.89", "€12,345,678,901,234,567.89"},
		{"en-IE", "BGN", "1234.5", "BGN\u00a01,234.50"},
		// A bare $ would pass for the reader's own.
		{"es-MX", "MXN", "1234.5", "$1,234.50"},
		{"es-MX", "USD", "1234.5", "USD\u00a01,234.50"},
	}
	for _, tt := range tests {
		currency, err := money.ParseCurrency(tt.code)
		if err != nil {
			t.Fatal(err)
		}
		amount := currency.Round(exact.FromDecimal(decimal.RequireFromString(tt.amount)))
		if got := document.NewLocale(tt.locale).Money(amount, currency); got != tt.want {
			t.Errorf("Money(%s %s) in %s = %q, want %q", tt.amount, tt.code, tt.locale, got, tt.want)
		}
	}
}

// ISO 8601: 12 June 2027 is a Saturday, 29 February 2028 a Tuesday (GNU date).
func TestDates(t *testing.T) {
	tests := []struct{ locale, date, short, long string }{
		{"en-IE", "2027-06-12", "12 June 2027", "Saturday, 12 June 2027"},
		{"en-US", "2027-06-12", "June 12, 2027", "Saturday, June 12, 2027"},
		{"en", "2028-02-29", "29 February 2028", "Tuesday, 29 February 2028"},
		{"xx-nonsense-", "2027-06-12", "12 June 2027", "Saturday, 12 June 2027"},
	}
	for _, tt := range tests {
		l := document.NewLocale(tt.locale)
		if got := l.Date(day.Must(tt.date)); got != tt.short {
			t.Errorf("Date(%s) in %s = %q, want %q", tt.date, tt.locale, got, tt.short)
		}
		if got := l.LongDate(day.Must(tt.date)); got != tt.long {
			t.Errorf("LongDate(%s) in %s = %q, want %q", tt.date, tt.locale, got, tt.long)
		}
	}
}

// number reads a figure.
var number = decimal.RequireFromString

func TestFigures(t *testing.T) {
	irish, german := document.NewLocale("en-IE"), document.NewLocale("de-DE")
	tests := []struct{ name, got, want string }{
		{"percent", irish.Percent(number("13.5")), "13.5%"},
		{"percent, decimal comma", german.Percent(number("13.50")), "13,5\u00a0%"},
		{"percent of nothing", irish.Percent(number("0")), "0%"},
		{"many decimals", irish.Number(number("28.349523125"), 0), "28.349523125"},
		{"whole", irish.Number(number("1200"), 0), "1,200"},
		{"least decimals", irish.Number(number("3"), 2), "3.00"},
		{"no quantity", irish.Quantity(measure.Quantity{}), ""},
		{"quantity", german.Quantity(measure.Must("22.5 cm")), "22,5\u00a0cm"},
		{"area", irish.Quantity(measure.Must("560 cm2")), "560\u00a0cm²"},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("%s = %q, want %q", tt.name, tt.got, tt.want)
		}
	}
}

func TestSize(t *testing.T) {
	tests := []struct {
		kind  shape.Kind
		sizes []string
		want  string
	}{
		{shape.Round, []string{"225 mm"}, "Round, 225\u00a0mm across, 4\u00a0in high"},
		{shape.Square, []string{"9 in"}, "Square, 9\u00a0in across, 4\u00a0in high"},
		{shape.Rectangle, []string{"300 mm", "20 cm"}, "Rectangular, 300\u00a0mm × 20\u00a0cm, 4\u00a0in high"},
		{shape.Hexagon, []string{"130 mm"}, "Hexagonal, sides of 130\u00a0mm, 4\u00a0in high"},
		{shape.Heart, []string{"150 mm"}, "Heart, sides of 150\u00a0mm, 4\u00a0in high"},
		{shape.Measured, []string{"560 cm2", "1.2 m"}, "Shaped, covering 560\u00a0cm², 4\u00a0in high"},
	}
	for _, tt := range tests {
		var sizes []measure.Quantity
		for _, s := range tt.sizes {
			sizes = append(sizes, measure.Must(s))
		}
		outline, err := shape.New(tt.kind, sizes...)
		if err != nil {
			t.Fatal(err)
		}
		got := document.NewLocale("en").Size(shape.Solid{Outline: outline, Height: measure.Must("4 in")})
		if got != tt.want {
			t.Errorf("Size(%s) = %q, want %q", outline, got, tt.want)
		}
	}
}

// priced prices a request by a book and numbers it.
func priced(t *testing.T, bookFile, request []byte) quote.Quote {
	t.Helper()
	b, err := book.Parse(bookFile)
	if err != nil {
		t.Fatal(err)
	}
	r, err := quote.ReadRequest(request)
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.Price(book.NewIndex(b), r)
	if err != nil {
		t.Fatal(err)
	}
	q.Number = "2026-0001"
	return q
}

func TestFromQuote(t *testing.T) {
	got, err := json.MarshalIndent(document.FromQuote(priced(t, seed.Studio(), seed.WeddingRequest())), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join("testdata", "wedding.json")
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != string(want) {
		t.Errorf("the paper differs from %s; compare, then run with -update. Got:\n%s", file, got)
	}
}

// The worked example beside the rules of costing: its published figures.
func TestFromQuoteWorkedExample(t *testing.T) {
	bookFile, err := os.ReadFile("../../pricing/testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	d := document.FromQuote(priced(t, bookFile, []byte(`{"client":{"name":"A. Client"},
		"event":{"date":"2027-06-12","venue":"The Old Barn","km":"24"},"on":"2026-11-01",
		"lines":[{"cake":"two-tier-lemon","quantity":1}],"extras":[{"extra":"delivery","quantity":1}],"discount":"5 %"}`)))
	var amounts []string
	for _, l := range d.Prices.Lines {
		amounts = append(amounts, l.Name+" "+l.Amount)
	}
	if want := []string{"Two-tier lemon cake €540.00", "Delivery and set-up €61.40", "Discount of 5% on the cakes −€27.00"}; !slices.Equal(amounts, want) {
		t.Errorf("lines = %q, want %q", amounts, want)
	}
	if want := (document.Fact{Label: "Total", Value: "€574.40"}); d.Prices.Total != want {
		t.Errorf("total = %v, want %v", d.Prices.Total, want)
	}
	if want := []document.TaxLine{{Rate: "13.5%", Net: "€451.98", Tax: "€61.02"}, {Rate: "23%", Net: "€49.92", Tax: "€11.48"}}; !slices.Equal(d.Tax.Lines, want) {
		t.Errorf("tax = %v, want %v", d.Tax.Lines, want)
	}
	want := []document.Payment{{Label: "Deposit", Due: "due 1 November 2026", Amount: "€143.60"}, {Label: "Balance", Due: "due 29 May 2027", Amount: "€430.80"}}
	if !slices.Equal(d.Payments.Lines, want) {
		t.Errorf("payments = %v, want %v", d.Payments.Lines, want)
	}
	if want := "Cereals containing gluten (wheat), Eggs, Milk"; d.Allergens.Facts[0].Value != want {
		t.Errorf("contains %q, want %q", d.Allergens.Facts[0].Value, want)
	}
}

func TestNetPricesAndNoTax(t *testing.T) {
	q := priced(t, seed.Studio(), seed.WeddingRequest())
	q.Offer.Shown = book.Net
	d := document.FromQuote(q)
	// 1068.28 + 136.75 and 144.22 + 31.45: the tax lines of the golden paper.
	if want := []document.Fact{{Label: "Total before VAT", Value: "€1,205.03"}, {Label: "VAT", Value: "€175.67"}}; !slices.Equal(d.Prices.Sums, want) {
		t.Errorf("sums of net prices = %v, want %v", d.Prices.Sums, want)
	}
	q.Offer.Tax = nil
	if d := document.FromQuote(q); d.Prices.Note != "" || len(d.Tax.Lines) > 0 || len(d.Prices.Sums) > 0 {
		t.Errorf("without tax the paper speaks of it: %q, %v, %v", d.Prices.Note, d.Tax, d.Prices.Sums)
	}
}

func TestDraft(t *testing.T) {
	q := priced(t, seed.Studio(), seed.WeddingRequest())
	q.Number = ""
	d := document.FromQuote(q)
	if d.Draft == "" || len(d.Acceptance.Signatures) > 0 || d.Reference[0].Value != "not yet numbered" {
		t.Errorf("a draft is marked %q, numbered %q, with %d places to sign", d.Draft, d.Reference[0].Value, len(d.Acceptance.Signatures))
	}
}

func TestPaymentsOmitNothingDue(t *testing.T) {
	q := priced(t, seed.Studio(), seed.WeddingRequest())
	q.Offer.Instalments[1].Amount = money.Amount{}
	if got := document.FromQuote(q).Payments.Lines; len(got) != 2 {
		t.Errorf("payments = %v, want the two that are due", got)
	}
	q.Offer.Instalments = q.Offer.Instalments[2:]
	if got := document.FromQuote(q).Payments.Lines; len(got) != 1 || got[0].Label != "Payment in full" {
		t.Errorf("payments = %v, want one in full", got)
	}
}

// No field of the paper could hold what is not for clients, and nothing of the
// basis reaches it.
func TestNothingConfidential(t *testing.T) {
	var walk func(typ reflect.Type, seen map[reflect.Type]bool)
	walk = func(typ reflect.Type, seen map[reflect.Type]bool) {
		for typ.Kind() == reflect.Slice || typ.Kind() == reflect.Pointer {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || seen[typ] {
			return
		}
		seen[typ] = true
		for i := range typ.NumField() {
			f := typ.Field(i)
			for _, word := range []string{"cost", "margin", "wage", "supplier", "bill", "overhead", "labour"} {
				if strings.Contains(strings.ToLower(f.Name+f.Type.String()), word) {
					t.Errorf("%s.%s (%s) could hold a %s", typ, f.Name, f.Type, word)
				}
			}
			walk(f.Type, seen)
		}
	}
	walk(reflect.TypeFor[document.Quote](), map[reflect.Type]bool{})
	walk(reflect.TypeFor[document.Receipt](), map[reflect.Type]bool{})

	q := priced(t, seed.Studio(), seed.WeddingRequest())
	with, err := json.Marshal(document.FromQuote(q))
	if err != nil {
		t.Fatal(err)
	}
	q.Basis = quote.Basis{}
	without, err := json.Marshal(document.FromQuote(q))
	if err != nil {
		t.Fatal(err)
	}
	if string(with) != string(without) {
		t.Error("the paper changes with the basis")
	}
}
