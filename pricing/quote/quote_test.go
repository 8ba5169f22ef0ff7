package quote_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// indexOf indexes a book of a studio with some keys of its own, and some lists.
func indexOf(t testing.TB, studio, lists string) *book.Index {
	t.Helper()
	text := fmt.Sprintf(`{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", %s "target": {"fixed": "1"}}, %s}`, studio, lists)
	b, err := book.Parse([]byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return book.NewIndex(b)
}

// cakes lists cakes c-0, c-1… of a list price and, after a slash, a tax rate.
func cakes(prices ...string) string {
	list := make([]string, len(prices))
	for i, p := range prices {
		price, rate, own := strings.Cut(p, "/")
		if own {
			rate = fmt.Sprintf(`, "tax_rate": "%s %%"`, rate)
		}
		list[i] = fmt.Sprintf(`{"id": "c-%d", "name": "C", "portions": 8, "price": %q%s}`, i, price, rate)
	}
	return `"cakes": [` + strings.Join(list, ",") + "]"
}

// ask is a request on 2026-11-01 for an event on 2026-12-24, with lines "c-0 × 2"
// and further keys.
func ask(t testing.TB, more string, lines ...string) quote.Request {
	t.Helper()
	list := make([]string, len(lines))
	for i, l := range lines {
		cake, quantity, _ := strings.Cut(l, " × ")
		list[i] = fmt.Sprintf(`{"cake": %q, "quantity": %s}`, cake, quantity)
	}
	if !strings.Contains(more, `"event"`) {
		more = `"event": {"date": "2026-12-24"},` + more
	}
	r, err := quote.ReadRequest(fmt.Appendf(nil, `{"client": {"name": "A. Client"}, "on": "2026-11-01", %s "lines": [%s]}`, more, strings.Join(list, ",")))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func price(t testing.TB, x *book.Index, r quote.Request) quote.Quote {
	t.Helper()
	q, err := quote.Price(x, r)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// say puts an offer in one line: its lines, its tax by rate, its total and what
// falls due.
func say(o quote.Offer) string {
	var words []string
	for _, l := range o.Lines {
		words = append(words, fmt.Sprintf("%s %d × %s = %s", l.Kind, l.Quantity, l.UnitPrice, l.Amount))
	}
	for _, tax := range o.Tax {
		words = append(words, fmt.Sprintf("tax %s of %s = %s", tax.Rate.Fixed(3), tax.Net, tax.Tax))
	}
	words = append(words, "total "+o.Total.String())
	for _, in := range o.Instalments {
		words = append(words, fmt.Sprintf("%s on %s", in.Amount, in.Due))
	}
	return strings.Join(words, "; ")
}

// TestOffers prices small orders whole. Worked by hand from costing.md, "From
// cost to price".
func TestOffers(t *testing.T) {
	for _, c := range []struct {
		name, studio, lists, more string
		lines                     []string
		want                      string
	}{
		{"without tax", ``, cakes("100.00"), ``, []string{"c-0 × 3"}, "cake 3 × 100.00 = 300.00; total 300.00; 300.00 on 2026-12-24"},
		{"gross", `"tax": {"rate": "20 %"},`, cakes("12.00"), ``, []string{"c-0 × 1"}, "cake 1 × 12.00 = 12.00; tax 0.200 of 10.00 = 2.00; total 12.00; 12.00 on 2026-12-24"},
		{"net", `"prices_shown": "net", "tax": {"rate": "20 %"},`, cakes("10.00"), ``, []string{"c-0 × 1"}, "cake 1 × 10.00 = 10.00; tax 0.200 of 10.00 = 2.00; total 12.00; 12.00 on 2026-12-24"},
		{"a rate of 0 has its entry", `"tax": {"rate": "20 %"},`, cakes("12.00", "5.00/0"), ``, []string{"c-0 × 1", "c-1 × 1"},
			"cake 1 × 12.00 = 12.00; cake 1 × 5.00 = 5.00; tax 0.000 of 5.00 = 0.00; tax 0.200 of 10.00 = 2.00; total 17.00; 17.00 on 2026-12-24"},
		{"a cake's own rate means nothing without tax", ``, cakes("5.00/23"), ``, []string{"c-0 × 1"}, "cake 1 × 5.00 = 5.00; total 5.00; 5.00 on 2026-12-24"},
		// 9.99·0.23 ÷ 1.23 = 1.868: 1.87 a line, 5.604 on the sum.
		{"tax by document", `"tax": {"rate": "23 %", "by": "document"},`, cakes("9.99"), ``, []string{"c-0 × 1", "c-0 × 1", "c-0 × 1"},
			"cake 1 × 9.99 = 9.99; cake 1 × 9.99 = 9.99; cake 1 × 9.99 = 9.99; tax 0.230 of 24.37 = 5.60; total 29.97; 29.97 on 2026-12-24"},
		{"tax by line", `"tax": {"rate": "23 %", "by": "line"},`, cakes("9.99"), ``, []string{"c-0 × 1", "c-0 × 1", "c-0 × 1"},
			"cake 1 × 9.99 = 9.99; cake 1 × 9.99 = 9.99; cake 1 × 9.99 = 9.99; tax 0.230 of 24.36 = 5.61; total 29.97; 29.97 on 2026-12-24"},
		{"a line of three is one line", `"tax": {"rate": "23 %", "by": "line"},`, cakes("9.99"), ``, []string{"c-0 × 3"},
			"cake 3 × 9.99 = 29.97; tax 0.230 of 24.37 = 5.60; total 29.97; 29.97 on 2026-12-24"},
		// Net 0.10 at 5 %: a half cent away from zero on each line, and back again for the discount.
		{"a discount by line", `"prices_shown": "net", "tax": {"rate": "5 %", "by": "line"},`, cakes("0.10"), `"discount": "100 %",`, []string{"c-0 × 1"},
			"cake 1 × 0.10 = 0.10; discount 1 × -0.10 = -0.10; tax 0.050 of 0.00 = 0.00; total 0.00; 0.00 on 2026-12-24"},
		{"a discount of 0 % has no line", ``, cakes("10.00"), `"discount": "0 %",`, []string{"c-0 × 1"}, "cake 1 × 10.00 = 10.00; total 10.00; 10.00 on 2026-12-24"},
		{"a discount is rounded once, on the sum", ``, cakes("0.10"), `"discount": "5 %",`, []string{"c-0 × 1", "c-0 × 1", "c-0 × 1"},
			"cake 1 × 0.10 = 0.10; cake 1 × 0.10 = 0.10; cake 1 × 0.10 = 0.10; discount 1 × -0.02 = -0.02; total 0.28; 0.28 on 2026-12-24"},
		// 33.33 % of 30.00 is 10.00: 3.34 at the lowest rate, 3.33 at the others, whatever the order of the lines.
		{"a discount over three rates", `"prices_shown": "net", "tax": {"rate": "20 %"},`, cakes("10.00/20", "10.00/5", "10.00/10"), `"discount": "33.33 %",`, []string{"c-0 × 1", "c-1 × 1", "c-2 × 1"},
			"cake 1 × 10.00 = 10.00; cake 1 × 10.00 = 10.00; cake 1 × 10.00 = 10.00; discount 1 × -10.00 = -10.00; tax 0.050 of 6.66 = 0.33; tax 0.100 of 6.67 = 0.67; tax 0.200 of 6.67 = 1.33; total 22.33; 22.33 on 2026-12-24"},
		// 10 % of 100.05: 10.01; by 100 : 0.05 it is 10.005 and 0.005, and the minor unit goes to the lower rate.
		{"equal remainders", `"tax": {"rate": "20 %"},`, cakes("100.00/20", "0.05/5"), `"discount": "10 %",`, []string{"c-0 × 1", "c-1 × 1"},
			"cake 1 × 100.00 = 100.00; cake 1 × 0.05 = 0.05; discount 1 × -10.01 = -10.01; tax 0.050 of 0.04 = 0.00; tax 0.200 of 75.00 = 15.00; total 90.04; 90.04 on 2026-12-24"},
		{"a minimum order", `"minimum_order": "90.00", "tax": {"rate": "20 %"},`, cakes("60.00/5"), `"discount": "10 %",`, []string{"c-0 × 1"},
			"cake 1 × 60.00 = 60.00; discount 1 × -6.00 = -6.00; minimum 1 × 36.00 = 36.00; tax 0.050 of 51.43 = 2.57; tax 0.200 of 30.00 = 6.00; total 90.00; 90.00 on 2026-12-24"},
		{"a minimum order in net terms", `"minimum_order": "90.00", "prices_shown": "net", "tax": {"rate": "20 %"},`, cakes("60.00"), ``, []string{"c-0 × 1"},
			"cake 1 × 60.00 = 60.00; minimum 1 × 30.00 = 30.00; tax 0.200 of 90.00 = 18.00; total 108.00; 108.00 on 2026-12-24"},
		{"a minimum order met to the cent", `"minimum_order": "90.00",`, cakes("90.00"), ``, []string{"c-0 × 1"}, "cake 1 × 90.00 = 90.00; total 90.00; 90.00 on 2026-12-24"},
		{"a minimum order missed by a cent", `"minimum_order": "90",`, cakes("89.99"), ``, []string{"c-0 × 1"}, "cake 1 × 89.99 = 89.99; minimum 1 × 0.01 = 0.01; total 90.00; 90.00 on 2026-12-24"},
		{"extras", `"minimum_order": "100.00",`, cakes("60.00") + `, "extras": [{"id": "late", "name": "L", "always": true, "price": "2.00"}, {"id": "drive", "name": "D", "price": "10.005", "price_per_km": "0.4"}, {"id": "secret", "name": "S", "always": true, "hidden": true, "price": "500"}, {"id": "first", "name": "F", "always": true, "price": "1.00"}]`,
			`"event": {"date": "2026-12-24", "km": "12.5"}, "discount": "50 %", "extras": [{"extra": "drive", "quantity": 2}, {"extra": "first", "quantity": 3}],`, []string{"c-0 × 1"},
			// 10.005 + 0.4·12.5 = 15.005: rounded 15.01. Requested first, then other always ones in the order of the book; the discount is on cakes alone.
			"cake 1 × 60.00 = 60.00; extra 2 × 15.01 = 30.02; extra 3 × 1.00 = 3.00; extra 1 × 2.00 = 2.00; discount 1 × -30.00 = -30.00; minimum 1 × 34.98 = 34.98; total 100.00; 100.00 on 2026-12-24"},
		{"a requested extra that is hidden", ``, cakes("60.00") + `, "extras": [{"id": "secret", "name": "S", "hidden": true, "price": "5"}]`, `"extras": [{"extra": "secret", "quantity": 1}],`, []string{"c-0 × 1"},
			"cake 1 × 60.00 = 60.00; total 60.00; 60.00 on 2026-12-24"},
		{"a deposit alone", `"quote": {"deposit": "25 %"},`, cakes("574.41"), ``, []string{"c-0 × 1"}, "cake 1 × 574.41 = 574.41; total 574.41; 143.60 on 2026-11-01; 430.81 on 2026-12-24"},
		{"a deposit of half a cent", `"quote": {"deposit": "50 %"},`, cakes("0.01"), ``, []string{"c-0 × 1"}, "cake 1 × 0.01 = 0.01; total 0.01; 0.01 on 2026-11-01; 0.00 on 2026-12-24"},
		{"a deposit of 0 %", `"quote": {"deposit": "0 %", "instalments": [{"share": "100 %", "days_before": 14}]},`, cakes("10.00"), ``, []string{"c-0 × 1"}, "cake 1 × 10.00 = 10.00; total 10.00; 10.00 on 2026-12-10"},
		{"the last takes what is left", `"quote": {"deposit": "33.3 %", "instalments": [{"share": "33.3 %", "days_before": 20}, {"share": "1 %", "days_before": 3}]},`, cakes("100.00"), ``, []string{"c-0 × 1"},
			"cake 1 × 100.00 = 100.00; total 100.00; 33.30 on 2026-11-01; 33.30 on 2026-12-04; 33.40 on 2026-12-21"},
		{"nothing is due before the day of issue", `"quote": {"deposit": "10 %", "instalments": [{"share": "40 %", "days_before": 60}, {"share": "50 %", "days_before": 53}]},`, cakes("100.00"), ``, []string{"c-0 × 1"},
			"cake 1 × 100.00 = 100.00; total 100.00; 10.00 on 2026-11-01; 40.00 on 2026-11-01; 50.00 on 2026-11-01"},
		{"an event on the day", `"quote": {"deposit": "10 %"},`, cakes("100.00"), `"event": {"date": "2026-11-01"},`, []string{"c-0 × 1"}, "cake 1 × 100.00 = 100.00; total 100.00; 10.00 on 2026-11-01; 90.00 on 2026-11-01"},
		{"a target price and its step", `"price_step": "5.00",`, `"cakes": [{"id": "c-0", "name": "C", "portions": 8, "target": {"per_portion": "7.10"}}]`, ``, []string{"c-0 × 2"}, "cake 2 × 60.00 = 120.00; total 120.00; 120.00 on 2026-12-24"},
	} {
		if got := say(price(t, indexOf(t, c.studio, c.lists), ask(t, c.more, c.lines...)).Offer); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
}

// A hidden extra costs, and a quantity of n costs n times.
func TestBasis(t *testing.T) {
	const lists = `"ingredients": [{"id": "i", "name": "I", "measure": "mass", "prices": [{"from": "2026-01-01", "supplier": "Mill", "pack": "1 g", "price": "2"}]}],
		"cakes": [{"id": "c-0", "name": "C", "portions": 1, "price": "100", "parts": [{"use": "i", "qty": "3 g"}]}],
		"extras": [{"id": "e", "name": "E", "always": true, "hidden": true, "parts": [{"use": "i", "qty": "1 g", "per": "order"}]}, {"id": "drive", "name": "D", "parts": [{"use": "i", "qty": "1 g", "per": "km"}]}]`
	q := price(t, indexOf(t, `"tax": {"rate": "25 %"},`, lists), ask(t, `"event": {"date": "2026-12-24", "km": "4"}, "extras": [{"extra": "drive", "quantity": 2}],`, "c-0 × 3"))
	if got := q.Basis.Cost.Text(); got != "36" { // 3·6 + 2·8 + 2
		t.Errorf("the order costs %s, want 36", got)
	}
	margin, ok := q.Basis.Margin()
	if q.Basis.Net.Text() != "240" || !ok || margin.Text() != "17/20" {
		t.Errorf("net %s, margin %s, want 240 and 17/20", q.Basis.Net.Text(), margin.Text())
	}
	if len(q.Basis.Rates) != 1 || q.Basis.Rates[0].Supplier != "Mill" || q.Basis.Rates[0].PerUnit.Text() != "2" || !q.Draft() || q.Revision != "A" {
		t.Errorf("the basis holds the rates %+v", q.Basis.Rates)
	}
}

// TestRefused: requests that cannot be priced, with the paths of all faults.
func TestRefused(t *testing.T) {
	x := indexOf(t, ``, cakes("10.00")+`, "extras": [{"id": "drive", "name": "Delivery", "price_per_km": "1"}, {"id": "hire", "name": "Hire"}]`)
	for _, c := range []struct{ request, paths string }{
		{`{}`, "client event lines on"},
		{`{"client": {}, "event": {}, "on": "x", "lines": [{}], "extras": [{}]}`, "client.name event.date extras[0].extra extras[0].quantity lines[0].cake lines[0].quantity on"},
		{`{"client": {"name": "A"}, "event": {"date": "2026-12-24"}, "on": "2026-11-01", "lines": [], "rush": true}`, "rush"},
		{`{"client": {"name": "A"}, "event": {"date": "2026-12-24", "km": "-3"}, "on": "2026-11-01", "lines": [{"cake": "c-0", "quantity": 1.5}], "discount": "5"}`, "discount event.km lines[0].quantity"},
		{`{"client": {"name": "A"}, "event": {"date": "2026-12-24"}, "on": "2026-11-01", "lines": []}`, "lines"},
		{`{"client": {"name": ""}, "event": {"date": "2026-10-31"}, "on": "2026-11-01", "lines": [{"cake": "none", "quantity": 0}, {"cake": "c-0", "quantity": 10001}], "extras": [{"extra": "drive", "quantity": 1}, {"extra": "none", "quantity": 0}], "discount": "101 %"}`,
			"client.name discount event.date event.km extras[1].extra extras[1].quantity lines[0].cake lines[0].quantity lines[1].quantity"},
		{`{"client": {"name": "A"}, "event": {"date": "2026-12-24"}, "on": "2026-11-01", "lines": [{"cake": "c-0", "quantity": 1}], "extras": [{"extra": "drive", "quantity": 1}]}`, "event.km"},
		{`{"client": {"name": "A"}, "event": {"date": "2026-12-24"}, "on": "2026-11-01", "lines": [{"cake": "c-0", "quantity": 1}], "extras": [{"extra": "hire", "quantity": 1}]}`, ""},
	} {
		r, err := quote.ReadRequest([]byte(c.request))
		if err == nil {
			_, err = quote.Price(x, r)
		}
		var faults record.Faults
		errors.As(err, &faults)
		var paths []string
		for _, f := range faults {
			paths = append(paths, f.Path)
		}
		slices.Sort(paths)
		if got := strings.Join(paths, " "); got != c.paths || (err == nil) != (c.paths == "") {
			t.Errorf("%s: faults at %s, want %s\n%v", c.request, got, c.paths, err)
		}
	}
}

// A client's name of blanks alone is none.
func TestBlankClientIsRefused(t *testing.T) {
	r := ask(t, ``, "c-0 × 1")
	r.Client.Name = " \t"
	if _, err := quote.Price(indexOf(t, ``, cakes("1")), r); err == nil {
		t.Error("a quote for nobody is priced")
	}
}

// What always comes, seen or not, may ask for the distance.
func TestKmOfAlwaysExtras(t *testing.T) {
	x := indexOf(t, ``, cakes("10.00")+`, "roles": [{"id": "r", "name": "R", "wage": [{"from": "2026-01-01", "per_hour": "1"}]}], "extras": [{"id": "drive", "name": "Delivery", "always": true, "hidden": true, "tasks": [{"task": "drive", "role": "r", "rate": "1 min", "per": "km"}]}]`)
	if _, err := quote.Price(x, ask(t, ``, "c-0 × 1")); err == nil || !strings.Contains(err.Error(), "event.km") {
		t.Errorf("a hidden extra by the km without km: %v, want a fault at event.km", err)
	}
	if _, err := quote.Price(x, ask(t, `"event": {"date": "2026-12-24", "km": "0"},`, "c-0 × 1")); err != nil {
		t.Errorf("0 km: %v", err)
	}
}

func TestCakeWithoutPriceIsRefused(t *testing.T) {
	x := indexOf(t, ``, `"cakes": [{"id": "c-0", "name": "Show piece", "portions": 0, "target": {"per_portion": "5"}}]`)
	if q, err := quote.Price(x, ask(t, ``, "c-0 × 1")); err == nil || !strings.Contains(err.Error(), "Show piece") {
		t.Errorf("a cake without a price is quoted at %s, %v", q.Offer.Total, err)
	}
}

func TestMissingPriceIsRefused(t *testing.T) {
	x := indexOf(t, ``, `"ingredients": [{"id": "i", "name": "Fine flour", "measure": "mass", "prices": []}], "cakes": [{"id": "c-0", "name": "C", "portions": 1, "price": "5", "parts": [{"use": "i", "qty": "1 g"}]}]`)
	if _, err := quote.Price(x, ask(t, ``, "c-0 × 1")); err == nil || !strings.Contains(err.Error(), "Fine flour") || !strings.Contains(err.Error(), "2026-11-01") {
		t.Errorf("an ingredient without a price: %v, want an error that names it and the day", err)
	}
}

func exampleQuote(t testing.TB) quote.Quote {
	t.Helper()
	data, err := os.ReadFile("../testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	return price(t, book.NewIndex(b), ask(t, `"event": {"date": "2027-06-12", "km": "24"}, "extras": [{"extra": "delivery", "quantity": 1}], "discount": "5 %",`, "two-tier-lemon × 1"))
}

// The heading of an offer, and its papers' words.
func TestHeading(t *testing.T) {
	o := exampleQuote(t).Offer
	if o.ValidUntil != day.Must("2026-12-01") || o.Studio.Locale != "en-IE" || o.Studio.Currency.Code() != "EUR" || o.Studio.TaxLabel != "VAT" || len(o.Studio.Terms) != 1 || o.Shown != book.Gross {
		t.Errorf("the offer is headed %+v, valid until %s", o.Studio, o.ValidUntil)
	}
	if len(o.Designs) != 1 || o.Designs[0].Served != 43 || len(o.Designs[0].Tiers) != 2 || o.Designs[0].Tiers[0].Portions != 30 {
		t.Errorf("the offer has the designs %+v", o.Designs)
	}
	bare := price(t, indexOf(t, ``, cakes("1")), ask(t, ``, "c-0 × 1", "c-0 × 2")).Offer
	if bare.ValidUntil != day.Must("2026-12-01") || bare.Studio.Locale != "en" || bare.Studio.AllergenList != "eu" || len(bare.Designs) != 1 {
		t.Errorf("an offer of a bare studio is headed %+v, valid until %s, with %d designs", bare.Studio, bare.ValidUntil, len(bare.Designs))
	}
}

// What a client receives never carries a cost, a margin, a wage, a supplier or
// a recipe quantity: neither a key that says so nor a word of the book's own.
func TestOfferKeepsSecrets(t *testing.T) {
	text, err := json.Marshal(exampleQuote(t).Offer)
	if err != nil {
		t.Fatal(err)
	}
	for _, secret := range []string{"cost", "margin", "wage", "supplier", "per_unit", "bill", "Dairy round", "Dry store", "Pastry cook", "16.50", "223.5", "225.5", "Caster", "160 ml", "Consultation"} {
		if strings.Contains(string(text), secret) {
			t.Errorf("the offer holds %q: %s", secret, text)
		}
	}
}

// TestQuoteLaws: of random orders the papers add up.
func TestQuoteLaws(t *testing.T) {
	randomQuotes(t, 120, func(seed uint64, x *book.Index, q quote.Quote) {
		o := q.Offer
		var lines, nets, taxes, due, shares exact.Number
		var discount *quote.Line
		for i, l := range o.Lines {
			if !l.UnitPrice.Times(l.Quantity).Equal(l.Amount) {
				t.Fatalf("seed %d: %d × %s is not %s", seed, l.Quantity, l.UnitPrice, l.Amount)
			}
			lines = lines.Add(l.Amount.Number())
			if l.Kind == quote.DiscountLine {
				discount = &o.Lines[i]
			}
		}
		for i, tax := range o.Tax {
			nets, taxes = nets.Add(tax.Net.Number()), taxes.Add(tax.Tax.Number())
			if i > 0 && o.Tax[i-1].Rate.Cmp(tax.Rate) >= 0 {
				t.Fatalf("seed %d: tax rates do not rise", seed)
			}
		}
		for _, in := range o.Instalments {
			due = due.Add(in.Amount.Number())
			if in.Due.Before(o.IssuedOn) || in.Due.After(day.Later(o.EventDate, o.IssuedOn)) {
				t.Fatalf("seed %d: an instalment is due on %s", seed, in.Due)
			}
		}
		total := o.Total.Number()
		switch {
		case !due.Equal(total):
			t.Fatalf("seed %d: instalments add up to %s of %s", seed, due.Text(), total.Text())
		case len(o.Tax) > 0 && !nets.Add(taxes).Equal(total):
			t.Fatalf("seed %d: nets and taxes add up to %s of %s", seed, nets.Add(taxes).Text(), total.Text())
		case o.Shown == book.Gross && !lines.Equal(total), o.Shown == book.Net && !lines.Add(taxes).Equal(total):
			t.Fatalf("seed %d: lines add up to %s of %s", seed, lines.Text(), total.Text())
		case !q.Basis.Net.Equal(total.Sub(taxes)):
			t.Fatalf("seed %d: net %s of %s", seed, q.Basis.Net.Text(), total.Text())
		}
		if least := x.Book.Studio.MinimumOrder; least.Given && lines.Cmp(least.Value.Number()) < 0 {
			t.Fatalf("seed %d: %s is below the minimum order", seed, lines.Text())
		}
		if discount != nil {
			for _, s := range discount.Shares {
				shares = shares.Add(s.Amount.Number())
			}
			if !shares.Equal(discount.Amount.Number()) {
				t.Fatalf("seed %d: a discount of %s is shared as %s", seed, discount.Amount, shares.Text())
			}
		}
	})
}

// randomQuotes calls f with random orders.
func randomQuotes(t *testing.T, books uint64, f func(seed uint64, x *book.Index, q quote.Quote)) {
	t.Helper()
	if testing.Short() {
		books = min(books, 10)
	}
	for seed := range books {
		g := randombook.New(seed)
		data := g.Book()
		b, err := book.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		x := book.NewIndex(b)
		for _, text := range g.Requests(data, 3) {
			r, err := quote.ReadRequest(text)
			if err != nil {
				t.Fatal(err)
			}
			f(seed, x, price(t, x, r))
		}
	}
}
