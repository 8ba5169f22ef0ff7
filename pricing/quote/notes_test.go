package quote_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/quote"
)

// TestNotes: what a client is told of all that is delivered. What is contained
// is not said again as a trace; a part carries its whole's allergens; a hidden
// extra delivers nothing. Nothing said of what is eaten is not none, and is told
// to the studio; what is only wrapped or stuck in has no such label.
func TestNotes(t *testing.T) {
	ing := func(id, more string) string {
		return fmt.Sprintf(`{"id": %q, "name": %q, "measure": "mass", %s "prices": [{"from": "2026-01-01", "pack": "1 g", "price": "1"}]}`, id, strings.ToUpper(id), more)
	}
	x := indexOf(t, ``, `"ingredients": [`+strings.Join([]string{
		ing("almonds", `"allergens": {"contains": ["almond"], "may_contain": ["hazelnut", "milk"]},`), ing("butter", `"allergens": {"contains": ["milk"]},`),
		ing("egg", `"parts": [{"id": "white", "name": "White", "mass": "33 g"}], "allergens": {"contains": ["egg"]},`),
		ing("rum", `"flags": ["alcohol"],`), ing("wine", `"flags": ["alcohol"], "allergens": {"contains": ["sulphites"]},`), ing("wire", `"kind": "packaging", "flags": ["inedible"],`),
		ing("unused", `"flags": ["gelatine"], "allergens": {"contains": ["fish"]},`), ing("sesame", `"allergens": {"contains": ["sesame"]},`), ing("lupin", `"allergens": {"contains": ["lupin"]},`),
	}, ",")+`],
		"components": [{"id": "paste", "name": "Almond paste", "lines": [{"use": "almonds", "qty": "1 g"}]}, {"id": "mousse", "name": "Mousse", "flags": ["raw-egg"], "lines": [{"use": "white", "qty": "1 g"}, {"use": "paste", "qty": "1 g"}]},
			{"id": "idle", "name": "Idle", "flags": ["fresh-flower"], "lines": [{"use": "unused", "qty": "1 g"}]}],
		"cakes": [{"id": "c-0", "name": "C", "price": "5", "tiers": [{"name": "t", "shape": "square", "side": "1 cm", "height": "1 cm", "dummy": true, "parts": [{"use": "mousse", "qty": "1 g"}, {"use": "idle", "qty": "0 g"}]}], "parts": [{"use": "butter", "qty": "1 g"}, {"use": "wire", "qty": "1 g"}, {"use": "wine", "qty": "1 g"}, {"use": "rum", "qty": "1 g"}]}],
		"extras": [{"id": "hidden", "name": "H", "always": true, "hidden": true, "parts": [{"use": "lupin", "qty": "1 g"}]}, {"id": "seen", "name": "S", "always": true, "parts": [{"use": "sesame", "qty": "1 g"}]}]`)
	q := price(t, x, ask(t, ``, "c-0 × 1"))
	o := q.Offer
	if got := fmt.Sprint(o.Contains, o.MayContain); got != "[egg milk almond sesame sulphites] [hazelnut]" {
		t.Errorf("the offer contains %s", got)
	}
	if got := fmt.Sprint(o.Flags); got != "[{alcohol [RUM WINE]} {raw-egg [Mousse]} {inedible [WIRE]}]" {
		t.Errorf("the offer has the flags %s", got)
	}
	if got, want := q.LabelNote(x), "no label was looked at yet for RUM; what the paper says of allergens may lack what is in them"; got != want {
		t.Errorf("the studio is told %q, want %q", got, want)
	}
	for i := range x.Book.Ingredients {
		if ing := &x.Book.Ingredients[i]; ing.Allergens == nil {
			ing.Allergens = &book.AllergenNotes{}
		}
	}
	if got := q.LabelNote(x); got != "" {
		t.Errorf("with every label looked at, the studio is told %q", got)
	}
}

// TestAllergensAreNeverLost walks from every cake and shown extra of random
// orders down to ingredients, by the book alone, and wants every allergen on
// the offer, as contained or as a trace. The book is given allergens first.
func TestAllergensAreNeverLost(t *testing.T) {
	told := 0
	randomQuotes(t, 80, func(seed uint64, x *book.Index, q quote.Quote) {
		b := x.Book
		words := book.Allergens()
		b.Ingredients = slices.Clone(b.Ingredients)
		for i := range b.Ingredients {
			b.Ingredients[i].Allergens = &book.AllergenNotes{Contains: words[i%len(words) : i%len(words)+1], MayContain: words[(i+5)%len(words) : (i+5)%len(words)+1]}
		}
		x = book.NewIndex(b)
		o := price(t, x, q.Request).Offer
		for id := range delivered(x, q.Request) {
			ing := ingredientOf(x, id)
			for _, a := range ing.Allergens.Contains {
				told++
				if !slices.Contains(o.Contains, a) {
					t.Fatalf("seed %d: %s contains %s; the offer says %v", seed, id, a, o.Contains)
				}
			}
			for _, a := range ing.Allergens.MayContain {
				if !slices.Contains(o.Contains, a) && !slices.Contains(o.MayContain, a) {
					t.Fatalf("seed %d: %s may contain %s; the offer says %v", seed, id, a, o.MayContain)
				}
			}
		}
	})
	if told < 100 {
		t.Errorf("only %d allergens were looked for", told)
	}
}

func ingredientOf(x *book.Index, id book.ID) *book.Ingredient {
	it, _ := x.Item(id)
	return it.Ingredient
}

// delivered collects the ids of all ingredients under an order whose amount is
// above 0, by the written lines alone.
func delivered(x *book.Index, r quote.Request) map[book.ID]bool {
	found := map[book.ID]bool{}
	var visit func(id book.ID)
	visit = func(id book.ID) {
		it, ok := x.Item(id)
		switch {
		case !ok:
		case it.Ingredient != nil:
			found[it.Ingredient.ID] = true
		default:
			for _, line := range it.Component.Lines {
				if line.Qty.Sign() > 0 {
					visit(line.Use)
				}
			}
		}
	}
	parts := func(list []book.Part) {
		for _, p := range list {
			// Parts that grow with a driver may come to nothing: no portions, no
			// tiers, no km.
			if p.Qty.Sign() > 0 && (p.Per == "" || p.Per == book.PerCake || p.Per == book.PerOrder) || p.Layers.Given || p.Coat.Sign() > 0 || p.Sheet.Sign() > 0 {
				visit(p.Use)
			}
		}
	}
	for _, id := range r.Cakes() {
		cake, _ := x.Cake(id)
		parts(cake.Parts)
		for _, tier := range cake.Tiers {
			parts(tier.Parts)
		}
	}
	for _, wanted := range r.Extras {
		if e, _ := x.Extra(wanted.Extra); !e.Hidden.Or(false) {
			parts(e.Parts)
		}
	}
	for _, e := range x.Book.Extras {
		if e.Always.Or(false) && !e.Hidden.Or(false) {
			parts(e.Parts)
		}
	}
	return found
}
