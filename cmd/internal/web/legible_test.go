package web

import (
	"regexp"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// TestPackWords: what a pack holds, with the signs of the SI brochure (9th
// edition, 5.4: a space before a unit, ² for a square) and × between numbers, as
// people read it.
func TestPackWords(t *testing.T) {
	words := wordsOf(book.Studio{})
	for text, want := range map[string]string{
		"10 x 250 g": "10\u00a0×\u00a0250\u00a0g", "33.75 m2": "33.75\u00a0m²", "50 each": "50\u00a0pieces", "1 each": "1\u00a0piece", "12.5 kg": "12.5\u00a0kg", "2 x 15 each": "2\u00a0×\u00a015\u00a0pieces",
	} {
		p, err := measure.ParsePack(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := words.pack(p); got != want {
			t.Errorf("pack(%q) = %q, want %q", text, got, want)
		}
	}
}

// TestReceivedInItsOwnCurrency: money that came in stays in the currency of its
// order when the studio charges in another since.
func TestReceivedInItsOwnCurrency(t *testing.T) {
	v, number := acceptedStudio(t)
	v.post("/quotes/"+number+"/payments", "way", "in", "amount", "100.50", "on", "2026-11-25", "means", "cash").expect(t, 200)
	pound, err := money.ParseCurrency("GBP")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := v.store.Edit(t.Context(), "a test", testNow, func(b book.Book) (book.Book, error) {
		b.Studio.Currency = pound
		return b, nil
	}); err != nil {
		t.Fatal(err)
	}
	a := v.get("/payments/received").expect(t, 200)
	a.has(t, "€100.50")
	if strings.Contains(a.body, "£100.50") {
		t.Error("a payment in euro is shown in pounds")
	}
	v.get("/payments?on=2028-01-01").expect(t, 200).has(t, "€")
}

// TestFirstSteps: a studio without a cake is led to its first quote.
func TestFirstSteps(t *testing.T) {
	v := visitStudio(t, false)
	v.post("/welcome", "name", "Rook & Larder", "currency", "EUR", "locale", "en-GB", "target.margin", "35").expect(t, 200)
	v.get("/").expect(t, 200).has(t, "The first steps", "not yet")
	v.post("/prices/new", "name", "Butter", "kind", "ingredient", "measure", "mass", "prices[0].pack", "250 g", "prices[0].price", "3,10").expect(t, 200)
	v.get("/").expect(t, 200).has(t, "The first steps", "1 price")
}

// versionIn is the version that the form of an address carries, of a page with
// several.
func (a answer) versionIn(t *testing.T, action string) string {
	t.Helper()
	m := regexp.MustCompile(`(?s)method="post" action="` + regexp.QuoteMeta(action) + `".*?name="version" value="([^"]*)"`).FindStringSubmatch(a.body)
	if m == nil {
		t.Fatalf("%s has no form for %s with a version", a.path, action)
	}
	return m[1]
}
