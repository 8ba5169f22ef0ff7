package pdf_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/shopping"
	"marchpane/seed"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
)

// errands is a list with a case of everything that it can say.
const errandsBook = `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "locale": "en-IE", "currency": "EUR", "recovers_tax": true, "target": {"markup": "0 %"}},
"ingredients": [
 {"id": "egg", "name": "Egg", "category": "eggs", "measure": "count", "parts": [{"id": "yolk", "name": "Egg yolk", "mass": "17 g"}, {"id": "white", "name": "Egg white", "mass": "33 g"}],
  "prices": [{"from": "2026-01-01", "supplier": "Farm", "pack": "6 each", "price": "2.10"}]},
 {"id": "sugar", "name": "Sugar", "category": "sugar", "measure": "mass", "prices": [
  {"from": "2026-01-01", "supplier": "Mill", "pack": "10 x 1 kg", "price": "12.00"}, {"from": "2026-01-01", "supplier": "Mill", "pack": "500 g", "price": "0.9050"}]},
 {"id": "milk", "name": "Milk", "category": "dairy", "measure": "volume", "prices": [{"from": "2026-01-01", "pack": "1 l", "price": "1.20"}]},
 {"id": "water", "name": "Water", "measure": "volume", "prices": [{"from": "2026-01-01", "pack": "1000 l", "price": "3.00"}]},
 {"id": "box", "name": "Cake box", "kind": "packaging", "measure": "count", "prices": [{"from": "2026-01-01", "supplier": "Mill", "pack": "10 each", "price": "24.60", "tax_in": "23 %"}]}],
"components": [{"id": "curd", "name": "Curd", "lines": [{"use": "yolk", "qty": "6 each"}, {"use": "sugar", "qty": "200 g"}]},
 {"id": "meringue", "name": "Meringue", "keeps": "14 day", "lines": [{"use": "white", "qty": "100 g"}, {"use": "sugar", "qty": "200 g"}]}],
"cakes": [{"id": "cake", "name": "Cake", "portions": 10, "parts": [{"use": "egg", "qty": "5 each"}, {"use": "curd", "qty": "302 g"}, {"use": "sugar", "qty": "10.2 kg"},
 {"use": "milk", "qty": "250 ml"}, {"use": "water", "qty": "80 ml"}, {"use": "box", "qty": "1 each"}]}]}`

// errands lists what so many cakes of a book take.
func errands(t testing.TB, text string, cakes []book.ID, n int, r shopping.Request) document.Shopping {
	t.Helper()
	b, err := book.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	for i, id := range cakes {
		takeoff, err := pricing.TakeCake(x, id)
		if err != nil {
			t.Fatal(err)
		}
		r.Orders = append(r.Orders, shopping.Order{Ref: fmt.Sprintf("2026-%04d", i+7), Wanted: []shopping.Wanted{{Takeoff: takeoff, Quantity: n}}})
	}
	r.On = day.Must("2026-11-25")
	list, err := shopping.ListOf(x, r)
	if err != nil {
		t.Fatal(err)
	}
	return document.FromShopping(list, b.Studio, document.EnglishShopping())
}

func renderShopping(t testing.TB, d document.Shopping) []byte {
	t.Helper()
	var b bytes.Buffer
	warnings, err := pdf.Shopping(&b, d)
	if err != nil || len(warnings) > 0 {
		t.Fatal(err, warnings)
	}
	return b.Bytes()
}

func errandsList(t testing.TB) document.Shopping {
	return errands(t, errandsBook, []book.ID{"cake"}, 1, shopping.Request{Skip: []book.ID{"water"},
		OnHand: map[book.ID]measure.Quantity{"egg": measure.Must("2 each"), "milk": measure.Must("1 l")}})
}

// Outside check: qpdf reads the structure, poppler the text.
func TestShopping(t *testing.T) {
	d := errandsList(t)
	data := renderShopping(t, d)
	leave(t, "shopping", data)
	tool(t, data, "qpdf", "--check", "FILE")
	golden(t, "shopping.txt", tool(t, data, "pdftotext", "-layout", "FILE", "-"))
	if !bytes.Equal(data, renderShopping(t, d)) {
		t.Error("two papers of one list differ")
	}
}

// Everything that the list says stands on its paper, with a box for each row.
func TestShoppingSaysAll(t *testing.T) {
	every := []book.ID{"wedding-three-tier", "chocolate-pear", "square-christening", "raspberry-heart", "opera-rectangle", "choux-tower", "winter-fruit", "caramel-drip"}
	lists := map[string]document.Shopping{
		"small": errandsList(t),
		"all":   errands(t, errandsBook, []book.ID{"cake"}, 1, shopping.Request{OnHand: map[book.ID]measure.Quantity{"egg": measure.Must("99 each"), "sugar": measure.Must("50 kg"), "milk": measure.Must("2 l"), "box": measure.Must("9 each"), "water": measure.Must("9 l")}}),
		"none":  errands(t, errandsBook, nil, 1, shopping.Request{}),
		"demo":  errands(t, string(seed.Studio()), every, 40, shopping.Request{}),
	}
	for name, d := range lists {
		for _, d.Paper = range []document.Paper{document.A4, document.Letter} {
			data := renderShopping(t, d)
			leave(t, "shopping-"+name+"-"+string(d.Paper), data)
			tool(t, data, "qpdf", "--check", "FILE")
			text := bare(tool(t, data, "pdftotext", "-raw", "FILE", "-"))
			all := []string{d.Heading, d.Studio, d.Empty}
			for _, g := range d.Groups {
				all = append(all, g.Heading, g.Subtotal.Label, g.Subtotal.Value)
				for _, r := range g.Rows {
					all = append(all, r.Item, r.Note, r.Need, r.Packs, r.Price, r.Amount, r.Left, strings.ToUpper(r.Category))
				}
			}
			for _, f := range slices.Concat(d.Totals, d.Reference) {
				all = append(all, f.Label, f.Value)
			}
			for _, s := range slices.Concat([]document.Section{d.Stocked, d.Skipped, d.Check, d.Cautions}, d.Leftovers) {
				all = append(all, s.Lines...)
				if len(s.Lines) > 0 {
					all = append(all, s.Heading)
				}
			}
			for _, s := range all {
				if !strings.Contains(text, bare(s)) {
					t.Errorf("%s, %s: the paper lacks %q", name, d.Paper, s)
				}
			}
		}
	}
}

func TestAnyShoppingPrints(t *testing.T) {
	checked := 0
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOfN(rapid.Rune(), 0, 300, -1), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }))
		s := func(what string) string { return text.Draw(rt, what) }
		facts := func(what string) (list []document.Fact) {
			for range rapid.IntRange(0, 3).Draw(rt, what) {
				list = append(list, document.Fact{Label: s("label"), Value: s("value")})
			}
			return list
		}
		section := func(what string) document.Section {
			return document.Section{Heading: s(what), Lines: rapid.SliceOfN(text, 0, 3).Draw(rt, what)}
		}
		d := document.Shopping{Page: "%d/%d", Title: s("title"), Heading: s("heading"), Studio: s("studio"), More: s("more"), Empty: s("empty"), Reference: facts("reference"), Totals: facts("totals"),
			Columns: document.ShoppingColumns{Item: s("item"), Need: s("need"), Packs: s("packs"), Price: s("price"), Amount: s("amount"), Left: s("left")},
			Stocked: section("stocked"), Skipped: section("skipped"), Check: section("check"), Cautions: section("cautions"), Leftovers: []document.Section{section("left")}}
		for range rapid.IntRange(0, 3).Draw(rt, "groups") {
			g := document.ShoppingGroup{Heading: s("supplier"), Subtotal: document.Fact{Label: s("label"), Value: s("value")}}
			for range rapid.IntRange(0, 4).Draw(rt, "rows") {
				g.Rows = append(g.Rows, document.ShoppingRow{Category: s("category"), Item: s("item"), Note: s("note"), Need: s("need"), Packs: s("packs"), Price: s("price"), Amount: s("amount"), Left: s("left")})
			}
			d.Groups = append(d.Groups, g)
		}
		var b bytes.Buffer
		if _, err := pdf.Shopping(&b, d); err != nil {
			rt.Fatal(err)
		}
		if checked++; checked%25 == 0 {
			tool(t, b.Bytes(), "qpdf", "--check", "FILE")
		}
	})
}
