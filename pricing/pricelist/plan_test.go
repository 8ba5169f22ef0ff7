package pricelist_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
)

// The suppliers here are invented.
const kitchen = `{"format":"marchpane-book/1","studio":{"name":"S","currency":"EUR","recovers_tax":%t,"target":{"margin":"50 %%"}},"ingredients":[
 {"id":"butter","name":"Butter, unsalted","measure":"mass","prices":[
   {"from":"2026-01-01","supplier":"Molen","pack":"10 x 250 g","price":"22.50"},
   {"from":"2026-01-01","supplier":"Hafer","pack":"5 kg","price":"40.00"}]},
 {"id":"egg","name":"Egg","measure":"count","prices":[{"from":"2026-01-01","supplier":"Molen","pack":"15 dozen","price":"36.00"}]},
 {"id":"whipping-cream","name":"Whipping cream 35 %%","measure":"volume","prices":[{"from":"2026-01-01","supplier":"Hafer","pack":"1 l","price":"4.00"}]},
 {"id":"plain-flour","name":"Plain flour","measure":"mass","prices":[]},
 {"id":"caster-sugar","name":"Caster sugar","measure":"mass","prices":[]},
 {"id":"icing-sugar","name":"Icing sugar","measure":"mass","prices":[]},
 {"id":"creme-fraiche","name":"Crème fraîche","measure":"mass","prices":[]},
 {"id":"almond","name":"Ground almonds","measure":"mass","prices":[]},
 {"id":"box-250","name":"Cake box","kind":"packaging","measure":"count","prices":[]},
 {"id":"box-300","name":"Cake box","kind":"packaging","measure":"count","prices":[]}]}`

func index(t interface{ Fatal(...any) }, recovers bool) *book.Index {
	b, err := book.Parse(fmt.Appendf(nil, kitchen, recovers))
	if err != nil {
		t.Fatal(err)
	}
	return book.NewIndex(b)
}

// rows cuts a list into rows at line ends and cells at bars.
func rows(list string) []pricelist.Row {
	var rs []pricelist.Row
	for i, line := range strings.Split(strings.Trim(list, "\n"), "\n") {
		r := pricelist.Row{Number: i + 1}
		for cell := range strings.SplitSeq(line, "|") {
			r.Cells = append(r.Cells, pricelist.Cell{Text: strings.TrimSpace(cell)})
		}
		rs = append(rs, r)
	}
	return rs
}

func options() pricelist.Options {
	return pricelist.Options{Supplier: "Molen", From: day.Must("2026-10-05"), Suspicious: measure.MustPercent(pricelist.SuspiciousChange)}
}

// told writes a plan as one line a row: number, verdict, ingredient, what
// would stand, and the reason.
func told(p pricelist.Plan) string {
	var b strings.Builder
	for _, f := range p.Fates {
		fmt.Fprintf(&b, "%d %s", f.Row.Number, f.Verdict)
		if f.Ingredient != "" {
			fmt.Fprintf(&b, " %s", f.Ingredient)
		}
		if f.Read {
			fmt.Fprintf(&b, " %s=%s", f.Price.Pack, f.Price.Price)
			if f.Price.TaxIn.Given {
				fmt.Fprintf(&b, " incl %s", f.Price.TaxIn.Value)
			}
		}
		if f.Compared {
			fmt.Fprintf(&b, " %s→%s", f.Old.Text(), f.New.Text())
		}
		for _, s := range f.Suggestions {
			fmt.Fprintf(&b, " ?%s", s.Ingredient)
		}
		if f.At != "" {
			fmt.Fprintf(&b, " @%s", f.At)
		}
		if f.Reason != "" {
			fmt.Fprintf(&b, ": %s", f.Reason)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func compare(t *testing.T, what, got, want string) {
	t.Helper()
	if got = strings.TrimSpace(got); got != strings.TrimSpace(want) {
		t.Errorf("%s:\ngot\n%s\nwant\n%s", what, got, strings.TrimSpace(want))
	}
}

// Every fate once. 22.50 ÷ 2500 g is 9/1000, 25.25 ÷ 2500 g is 101/10000.
func TestNewPlan(t *testing.T) {
	p, err := pricelist.NewPlan(index(t, true), rows(`
Molen Groothandel
Prijslijst oktober
Art.nr | Description | Pack size | Price ex VAT
Dairy
101 | BUTTER UNSALTED | 10x250g | 25.25
102 | egg | 15 doz | 36.00
103 | Whipping cream 35 % | case of 6 x 1L | 60.00
104 | Plain  Flour | 25 kg | on request
105 | Castor sugar | 25kg bag | 31.00
106 | Icing sugar | 10 kg | 15.00
107 | icing sugar | 10000 g | 15.00
108 | Creme Fraiche | 2 l | 8.00
109 | Cake box | 50 pcs | 20.00
110 | Smoked eel | 1 kg | 44.00
Art.nr | Description | Pack size | Price ex VAT
111 | Ground almonds | a lot | 9.00
112 | Plain flour | 1 kg |
 | | 1 kg | 3.00
`), pricelist.Mapping{}, nil, options())
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "NewPlan", told(p), `
4 passed over: has no price; taken for a title
5 new price butter 10 x 250 g=25.25 9/1000→101/10000
6 unchanged egg 15 dozen=36.00 1/5→1/5
7 suspicious whipping-cream 6 x 1 l=60.00 1/250→1/100 @D7: the price per ml changes by +150.0 %, more than 25 %; look at pack and price
8 unreadable plain-flour @D8: "on request" holds no figure; write the price in digits, such as 12.50
9 unknown item 25 kg=31.00 ?caster-sugar ?icing-sugar @B9: "Castor sugar" is no ingredient of the book; save which one it is, or that it is not bought
10 new price icing-sugar 10 kg=15.00
11 duplicate icing-sugar 10000 g=15.00: says the same as row 10
12 suspicious creme-fraiche 2 l=8.00 @C12: 2 l is a volume, but Crème fraîche is bought by mass; it cannot be taken like this
13 unknown item 50 each=20.00 ?box-250 ?box-300: several ingredients go by the name "Cake box"; save which one it is
14 unknown item 1 kg=44.00 @B14: "Smoked eel" is no ingredient of the book; save which one it is, or that it is not bought
15 passed over: the heading again
16 unreadable almond @C16: pack "a lot": "lot" is no unit or pack word known here; write it as "10 x 250 g"
17 unreadable plain-flour @D17: there is no price
18 unreadable @B18: a price without goods; write what it is for`)
	if n := p.Count(pricelist.NewPrice); n != 2 || len(p.Prices()) != n {
		t.Errorf("Count(new price) = %d, Prices() has %d, want 2", n, len(p.Prices()))
	}
	if got := p.Fates[1].Change.Text(); got != "11/90" { // 2.75 ÷ 22.50
		t.Errorf("Change = %s, want 11/90", got)
	}
	if got := p.Fates[3].Remarks; len(got) != 1 || got[0] != "compared with the price of Hafer" {
		t.Errorf("Remarks = %q", got)
	}
}

// merged returns the index of a book with a plan's prices added.
func merged(t interface{ Fatal(...any) }, x *book.Index, p pricelist.Plan) *book.Index {
	b, changes, err := book.Merge(x.Book, pricelist.File(x.Book, p.Prices()))
	if err != nil {
		t.Fatal(err)
	}
	if changes.Prices != len(p.Prices()) || changes.Added > 0 {
		t.Fatal(fmt.Sprintf("Merge added %d prices and %d objects, want %d and none", changes.Prices, changes.Added, len(p.Prices())))
	}
	return book.NewIndex(b)
}

// A list that was taken changes nothing when it comes again, on the day or
// later.
func TestTwice(t *testing.T) {
	names := []string{"butter", "Egg", "whipping-cream", "Plain flour", "caster sugar", "Icing Sugar", "ground almonds", "nothing known"}
	packs := []string{"10x250g", "2,5 kg", "25 kg", "15 doz", "30 Stück", "6/1 l", "1 ltr", "per kg", "???"}
	prices := []string{"25,25", "22,50", "1.234,50", "1.234", "40", "36,-", "0", "9,999", "", "-3"}
	days := []string{"", "5.10.2026", "1.11.2026", "2026-10-05", "31.12.2025"}
	rapid.Check(t, func(t *rapid.T) {
		list := "Artikel | Inhalt | Preis netto | Gültig ab"
		for range rapid.IntRange(0, 12).Draw(t, "rows") {
			list += "\n" + strings.Join([]string{
				rapid.SampledFrom(names).Draw(t, "item"), rapid.SampledFrom(packs).Draw(t, "pack"),
				rapid.SampledFrom(prices).Draw(t, "price"), rapid.SampledFrom(days).Draw(t, "from"),
			}, "|")
		}
		o := options()
		o.Accept = map[int]bool{}
		for n := range 14 {
			o.Accept[n] = rapid.Bool().Draw(t, "accept")
		}
		x := index(t, true)
		before, err := pricelist.NewPlan(x, rows(list), pricelist.Mapping{}, nil, o)
		if err != nil {
			t.Fatal(err)
		}
		x = merged(t, x, before)
		o.From = o.From.AddDays(rapid.IntRange(0, 20).Draw(t, "days later"))
		after, err := pricelist.NewPlan(x, rows(list), pricelist.Mapping{}, nil, o)
		if err != nil {
			t.Fatal(err)
		}
		for i, was := range before.Fates {
			is := after.Fates[i]
			if was.Verdict == pricelist.NewPrice && is.Verdict != pricelist.Unchanged && is.Verdict != pricelist.Duplicate {
				t.Fatalf("row %d was a new price and is %s the second time\n%s\n%s", was.Row.Number, is.Verdict, told(before), told(after))
			}
		}
	})
}

// A row that comes again after its price was corrected does not bring the
// wrong price back, unless a note says why.
func TestCorrected(t *testing.T) {
	x := index(t, true)
	list := rows("item|pack|net price\nbutter|10x250g|25.25")
	o := options()
	p, err := pricelist.NewPlan(x, list, pricelist.Mapping{}, nil, o)
	if err != nil {
		t.Fatal(err)
	}
	x = merged(t, x, p)
	if p, err = pricelist.NewPlan(x, rows("item|pack|net price\nbutter|10x250g|24.25"), pricelist.Mapping{}, nil, o); err != nil {
		t.Fatal(err)
	}
	x = merged(t, x, p)
	if p, err = pricelist.NewPlan(x, list, pricelist.Mapping{}, nil, o); err != nil {
		t.Fatal(err)
	}
	if f := p.Fates[0]; f.Verdict != pricelist.Suspicious || !strings.Contains(f.Reason, "a later one corrected it") || f.Acceptable {
		t.Errorf("the list of before the correction is %s (%s), want suspicious", f.Verdict, f.Reason)
	}
	o.Note = "the correction was wrong"
	if p, err = pricelist.NewPlan(x, list, pricelist.Mapping{}, nil, o); err != nil || p.Fates[0].Verdict != pricelist.NewPrice {
		t.Errorf("with a note: %s, %v, want a new price", told(p), err)
	}
	now := merged(t, x, p)
	item, _ := now.Item("butter")
	if price, err := item.Ingredient.PriceOn(day.Must("2026-12-01")); err != nil || price.Price.String() != "25.25" || price.Note.Value != o.Note {
		t.Errorf("PriceOn = %v, %v", price, err)
	}
}

// Two packs of the same goods contradict one another until the studio says
// which it buys.
func TestTwoPacks(t *testing.T) {
	x := index(t, true)
	list := rows("code|item|pack|net price\nF1|Plain flour|1 kg|1.60\nF25|Plain flour|25 kg|22.00\nF1|Plain flour|1 kg|1.60")
	p, err := pricelist.NewPlan(x, list, pricelist.Mapping{}, nil, options())
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "two packs", told(p), `
2 duplicate plain-flour 1 kg=1.60: row 3 has another pack or price for plain-flour; save which of them the studio does not buy
3 duplicate plain-flour 25 kg=22.00: row 2 has another pack or price for plain-flour; save which of them the studio does not buy
4 duplicate plain-flour 1 kg=1.60: says the same as row 2`)
	for i, want := range []bool{true, true, false} {
		if got := p.Fates[i].Contradicts; got != want {
			t.Errorf("row %d contradicts another: %t, want %t", p.Fates[i].Row.Number, got, want)
		}
	}
	p, err = pricelist.NewPlan(x, list, pricelist.Mapping{}, []pricelist.Alias{{Code: "f1"}}, options())
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "one of two packs", told(p), `
2 passed over: the studio does not buy it
3 new price plain-flour 25 kg=22.00
4 passed over: the studio does not buy it`)
}

func TestAliases(t *testing.T) {
	p, err := pricelist.NewPlan(index(t, true), rows(`
code|item|pack|net price
A-1|Mehl Type 405|25 kg|20.00
A1|Puderzucker|10 kg|15.00
A-3|Kristallzucker fein|10 kg|9.00
A-4|Mandeln|1 kg|9.00
A-5|butter|10 x 250 g|23.00
A-6|Krabben|1 kg|30.00
`), pricelist.Mapping{}, []pricelist.Alias{
		{Code: "a-1", Name: "Mehl 405", Ingredient: "plain-flour"},
		{Name: "puderzucker", Ingredient: "caster-sugar"},
		{Name: "Puderzucker", Ingredient: "icing-sugar"}, // corrects the one before
		{Code: "A-3", Ingredient: "sugar-that-was"},
		{Code: "A-5", Ingredient: "creme-fraiche"}, // said by the studio, so it goes before the name
		{Name: "KRABBEN"},
	}, options())
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "aliases", told(p), `
2 new price plain-flour 25 kg=20.00
3 new price icing-sugar 10 kg=15.00
4 unknown item 10 kg=9.00 @B4: "Kristallzucker fein" is no ingredient of the book; save which one it is, or that it is not bought
5 unknown item 1 kg=9.00 @B5: "Mandeln" is no ingredient of the book; save which one it is, or that it is not bought
6 new price creme-fraiche 10 x 250 g=23.00
7 passed over: the studio does not buy it`)
	if got := p.Fates[0].Remarks; len(got) != 1 || !strings.Contains(got[0], `"Mehl 405"`) {
		t.Errorf("Remarks = %q, want the name of when the code was saved", got)
	}
	if got := p.Fates[2].Remarks; len(got) != 1 || !strings.Contains(got[0], "sugar-that-was") {
		t.Errorf("Remarks = %q, want the ingredient that is gone", got)
	}
}

func TestSuggestions(t *testing.T) {
	x := index(t, true)
	for _, c := range []struct {
		item string
		want []book.ID
	}{
		{"Unsalted butter", []book.ID{"butter"}},
		{"Buter unsalted 10 x 250 g", []book.ID{"butter"}},
		{"Organic plain flour 00", []book.ID{"plain-flour"}},
		{"Cream, whipping", []book.ID{"whipping-cream"}},
		{"Almonds ground blanched", []book.ID{"almond"}},
		{"Eggs", []book.ID{"egg"}},
		{"Creme fraiche 30%", []book.ID{"creme-fraiche"}},
		{"Sugar", []book.ID{"caster-sugar", "icing-sugar"}},
		{"Halibut", nil},
		{"12345", nil},
	} {
		p, err := pricelist.NewPlan(x, rows("item|pack|net price\n"+c.item+"|1 kg|5.00"), pricelist.Mapping{}, nil, options())
		if err != nil {
			t.Fatal(err)
		}
		f := p.Fates[0]
		var got []book.ID
		for _, s := range f.Suggestions {
			got = append(got, s.Ingredient)
		}
		if f.Verdict != pricelist.UnknownItem || !slices.Equal(got, c.want) {
			t.Errorf("%q is %s with %v, want unknown with %v", c.item, f.Verdict, got, c.want)
		}
	}
}

func TestAccept(t *testing.T) {
	list := rows("item|pack|net price\nbutter|10x250g|45\negg|15 doz|0\nplain flour|1 l|2")
	for _, c := range []struct {
		accept map[int]bool
		want   []pricelist.Verdict
	}{
		{nil, []pricelist.Verdict{pricelist.Suspicious, pricelist.Suspicious, pricelist.Suspicious}},
		{map[int]bool{2: true}, []pricelist.Verdict{pricelist.NewPrice, pricelist.Suspicious, pricelist.Suspicious}},
		{map[int]bool{2: true, 3: true, 4: true}, []pricelist.Verdict{pricelist.NewPrice, pricelist.NewPrice, pricelist.Suspicious}},
	} {
		o := options()
		o.Accept = c.accept
		p, err := pricelist.NewPlan(index(t, true), list, pricelist.Mapping{}, nil, o)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range p.Fates {
			if f.Verdict != c.want[i] {
				t.Errorf("accepting %v, row %d is %s, want %s", c.accept, f.Row.Number, f.Verdict, c.want[i])
			}
		}
	}
	// The set percentage itself is not beyond it: 22.50 × 1.25 = 28.125.
	for price, want := range map[string]pricelist.Verdict{"28.125": pricelist.NewPrice, "28.1250001": pricelist.Suspicious, "16.875": pricelist.NewPrice, "16.87": pricelist.Suspicious} {
		m := pricelist.Mapping{Decimal: pricelist.Point}
		p, err := pricelist.NewPlan(index(t, true), rows("item|pack|net price\nbutter|10x250g|"+price), m, nil, options())
		if err != nil || p.Fates[0].Verdict != want {
			t.Errorf("butter at %s is %s, %v, want %s", price, told(p), err, want)
		}
	}
}
