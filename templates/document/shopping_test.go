package document

import (
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/shopping"
	"marchpane/seed"
)

// errands is a small book with a case of everything that the list says.
const errands = `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "locale": "en-IE", "currency": "EUR", "recovers_tax": true, "target": {"markup": "0 %"}},
"ingredients": [
 {"id": "egg", "name": "Egg", "category": "eggs", "measure": "count",
  "parts": [{"id": "yolk", "name": "Egg yolk", "mass": "17 g"}, {"id": "white", "name": "Egg white", "mass": "33 g"}],
  "prices": [{"from": "2026-01-01", "supplier": "Farm", "pack": "6 each", "price": "2.10"}]},
 {"id": "sugar", "name": "Sugar", "category": "sugar", "measure": "mass", "prices": [
  {"from": "2026-01-01", "supplier": "Mill", "pack": "10 x 1 kg", "price": "12.00"}, {"from": "2026-01-01", "supplier": "Mill", "pack": "500 g", "price": "0.9050"}]},
 {"id": "milk", "name": "Milk", "category": "dairy", "measure": "volume", "prices": [{"from": "2026-01-01", "pack": "1 l", "price": "1.20"}]},
 {"id": "water", "name": "Water", "measure": "volume", "prices": [{"from": "2026-01-01", "pack": "1000 l", "price": "3.00"}]},
 {"id": "box", "name": "Cake box", "kind": "packaging", "measure": "count", "prices": [{"from": "2026-01-01", "supplier": "Mill", "pack": "10 each", "price": "24.60", "tax_in": "23 %"}]}
],
"components": [
 {"id": "curd", "name": "Curd", "lines": [{"use": "yolk", "qty": "6 each"}, {"use": "sugar", "qty": "200 g"}]},
 {"id": "meringue", "name": "Meringue", "keeps": "14 day", "lines": [{"use": "white", "qty": "100 g"}, {"use": "sugar", "qty": "200 g"}]}
],
"cakes": [{"id": "cake", "name": "Cake", "portions": 10, "parts": [{"use": "egg", "qty": "5 each"}, {"use": "curd", "qty": "302 g"}, {"use": "sugar", "qty": "10.2 kg"},
 {"use": "milk", "qty": "250 ml"}, {"use": "water", "qty": "80 ml"}, {"use": "box", "qty": "1 each"}]}]}`

func errandsFor(t *testing.T, x *book.Index, r shopping.Request) Shopping {
	t.Helper()
	r.On = day.Must("2026-11-25")
	l, err := shopping.ListOf(x, r)
	if err != nil {
		t.Fatal(err)
	}
	return FromShopping(l, x.Book.Studio, EnglishShopping())
}

func TestFromShopping(t *testing.T) {
	b, err := book.Parse([]byte(errands))
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	takeoff, err := pricing.TakeCake(x, "cake")
	if err != nil {
		t.Fatal(err)
	}
	order := shopping.Order{Ref: "2026-0007", Wanted: []shopping.Wanted{{Takeoff: takeoff, Quantity: 1}}}
	frozen := shopping.Order{Ref: "2026-0003", Wanted: []shopping.Wanted{{Frozen: takeoff.Bill, Quantity: 1}}}
	plenty := map[book.ID]measure.Quantity{"egg": measure.Must("5 dozen"), "sugar": measure.Must("50 kg"), "milk": measure.Must("2 l"), "box": measure.Must("9 each")}
	for _, c := range []struct {
		name string
		r    shopping.Request
		want string
	}{
		{"everything", shopping.Request{Orders: []shopping.Order{order}, Skip: []book.ID{"water"}, OnHand: map[book.ID]measure.Quantity{"egg": measure.Must("2 each"), "milk": measure.Must("1 l")}},
			`Shopping list · Test kitchen
Prices of: 25 November 2026
For: 2026-0007
# Farm
eggs | Egg | 5 whole, 6 taken apart (Egg yolk, 102 g); 2 on hand | 11 | 2 packs of 6 | €2.10 | €4.20 | 3
Farm in all: €4.20
# Mill
sugar | Sugar | 10.4 kg to buy in several packs | 10.4 kg | 1 pack of 500 g | EUR 0.905 | €0.91 | 100 g
sugar | Sugar | 10.4 kg to buy in several packs |  | 1 pack of 10 × 1 kg | €12.00 | €12.00 | 
 | Cake box | price holds 23% tax | 1 | 1 pack of 10 | €24.60 | €24.60 | 9
Mill in all: €37.51
Without recoverable tax: €37.11
Recoverable tax: €4.60
To pay: €41.71
## On hand, nothing to buy
Milk: 250 ml needed, 1 l on hand
## Not on this list
Water, 80 ml
## Left over when pieces are taken apart: Egg
Egg white, 198 g: could go into Meringue (100 g a batch, keeps 14 days)
## Please note
Read the label
Chill what is left
`},
		{"frozen, all on hand", shopping.Request{Orders: []shopping.Order{frozen}, Skip: []book.ID{"water"}, OnHand: plenty},
			`Shopping list · Test kitchen
Prices of: 25 November 2026
For: 2026-0003
Nothing is to buy: all that is needed is on hand.
## On hand, nothing to buy
Milk: 250 ml needed, 2 l on hand
Egg: 8 needed, 60 on hand
Sugar: 10.4 kg needed, 50 kg on hand
Cake box: 1 needed, 9 on hand
## Not on this list
Water, 80 ml
## Please check
Egg: the quantities of an earlier quote do not say which of its parts are used. Pieces are counted by weight and may be too few.
`},
		{"nothing", shopping.Request{}, `Shopping list · Test kitchen
Prices of: 25 November 2026
Nothing is needed: no order of these days takes an ingredient or packaging.
`},
	} {
		if got := shoppingText(errandsFor(t, x, c.r)); got != c.want {
			t.Errorf("%s:\n%s\nwant:\n%s", c.name, got, c.want)
		}
	}
}

// shoppingText writes a list out, cautions by their first words.
func shoppingText(d Shopping) string {
	var s strings.Builder
	line := func(words ...string) {
		s.WriteString(strings.ReplaceAll(strings.Join(words, " | "), "\u00a0", " ") + "\n")
	}
	line(d.Heading + " · " + d.Studio)
	for _, f := range d.Reference {
		line(f.Label + ": " + f.Value)
	}
	for _, g := range d.Groups {
		line("# " + g.Heading)
		for _, r := range g.Rows {
			line(r.Category, r.Item, r.Note, r.Need, r.Packs, r.Price, r.Amount, r.Left)
		}
		line(g.Subtotal.Label + ": " + g.Subtotal.Value)
	}
	for _, f := range d.Totals {
		line(f.Label + ": " + f.Value)
	}
	if d.Empty != "" {
		line(d.Empty)
	}
	for _, section := range append([]Section{d.Stocked, d.Skipped, d.Check}, d.Leftovers...) {
		if len(section.Lines) > 0 {
			line("## " + section.Heading)
		}
		for _, l := range section.Lines {
			line(l)
		}
	}
	if len(d.Cautions.Lines) > 0 {
		line("## " + d.Cautions.Heading)
	}
	for _, l := range d.Cautions.Lines {
		if before, _, cut := strings.Cut(l, " label of"); cut {
			l = before + " label"
		}
		l, _, _ = strings.Cut(l, " over at once")
		line(l)
	}
	return s.String()
}

// TestDemoShopping writes out every cake of the demo studio, in figures of
// several locales.
func TestDemoShopping(t *testing.T) {
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	var o shopping.Order
	for _, c := range b.Cakes {
		takeoff, err := pricing.TakeCake(x, c.ID)
		if err != nil {
			t.Fatal(err)
		}
		o.Wanted = append(o.Wanted, shopping.Wanted{Takeoff: takeoff, Quantity: 1})
	}
	d := errandsFor(t, x, shopping.Request{Orders: []shopping.Order{o}})
	rows := 0
	for _, g := range d.Groups {
		for _, r := range g.Rows {
			rows++
			for _, s := range []string{r.Item, r.Packs, r.Price, r.Amount} {
				if s == "" || strings.Contains(s, "%!") {
					t.Errorf("%s: a row says %q", r.Item, s)
				}
			}
		}
	}
	if rows < 40 || len(d.Leftovers) != 1 {
		t.Errorf("%d rows and %d sections of leftovers, want the demo studio's and its eggs", rows, len(d.Leftovers))
	}
	t.Log("\n" + shoppingText(d))
}
