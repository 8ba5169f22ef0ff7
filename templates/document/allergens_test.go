package document_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/templates/document"
)

// The lists: Regulation (EU) No 1169/2011 Annex II; FALCPA 2004 with the
// FASTER Act 2021; Health Canada's priority allergens (2017); the National
// Allergy Council's page for Australia and New Zealand.
func TestAllergenStatement(t *testing.T) {
	words := func(s string) []string { return strings.Fields(s) }
	tests := []struct{ list, contains, may, wantContains, wantMay string }{
		{"eu", "milk wheat rye egg", "", "Cereals containing gluten (wheat, rye), Eggs, Milk", ""},
		{"uk", "spelt", "sesame peanut", "Cereals containing gluten (spelt wheat)", "Peanuts, Sesame seeds"},
		{"eu", "hazelnut almond sulphites", "almond", "Nuts (almonds, hazelnuts), Sulphur dioxide and sulphites", ""},
		{"eu", "pine-nut milk", "", "Milk; also: pine nuts", ""},
		{"us", "soy wheat milk pine-nut", "", "Milk, Tree nuts (pine nuts), Wheat, Soybeans", ""},
		{"us", "spelt barley sulphites", "", "Wheat (spelt wheat); also: barley, sulphites", ""},
		{"ca", "egg mustard oats wheat", "", "Eggs, Wheat, Gluten sources (oats), Mustard", ""},
		{"anz", "wheat almond egg", "lupin", "Almond, Egg, Wheat, Gluten (wheat)", "Lupin"},
		{"anz", "rye celery", "", "Gluten (rye); also: celery", ""},
		{"ca", "celery", "", "also: celery", ""},
		{"eu", "", "milk", "none of the listed allergens is declared by the ingredients", "Milk"},
		{"eu", "tonka-bean milk", "", "Milk; also: tonka-bean", ""},
	}
	for _, tt := range tests {
		s := document.AllergenStatement(document.MessagesFor("en"), tt.list, words(tt.contains), words(tt.may))
		if s.Facts[0].Value != tt.wantContains {
			t.Errorf("%s: %s: contains %q, want %q", tt.list, tt.contains, s.Facts[0].Value, tt.wantContains)
		}
		may := ""
		if len(s.Facts) > 1 {
			may = s.Facts[1].Value
		}
		if may != tt.wantMay {
			t.Errorf("%s: may contain %s = %q, want %q", tt.list, tt.may, may, tt.wantMay)
		}
	}
}

// Every word of a book is printed under its own name on every list, alone and
// in company.
func TestNoAllergenIsLost(t *testing.T) {
	m := document.MessagesFor("en")
	alone := map[string]map[string]string{} // list, word, text
	for _, list := range book.AllergenLists() {
		alone[string(list)] = map[string]string{}
		texts := map[string]string{}
		for _, a := range book.Allergens() {
			text := document.AllergenStatement(m, string(list), []string{string(a)}, nil).Facts[0].Value
			if text == m.NoneDeclared || text == "" {
				t.Errorf("%s: %s is lost", list, a)
			}
			if other, ok := texts[text]; ok {
				t.Errorf("%s: %s and %s print alike: %q", list, a, other, text)
			}
			texts[text] = string(a)
			alone[string(list)][string(a)] = text
		}
	}
	words := make([]string, len(book.Allergens()))
	for i, a := range book.Allergens() {
		words[i] = string(a)
	}
	rapid.Check(t, func(rt *rapid.T) {
		list := rapid.SampledFrom(book.AllergenLists()).Draw(rt, "list")
		contains := rapid.SliceOfDistinct(rapid.SampledFrom(words), rapid.ID[string]).Draw(rt, "contains")
		may := rapid.SliceOfDistinct(rapid.SampledFrom(words), rapid.ID[string]).Draw(rt, "may")
		s := document.AllergenStatement(m, string(list), contains, may)
		for _, w := range contains {
			if !names(s.Facts[0].Value, alone[string(list)][w], m.AllergenName[w]) {
				rt.Fatalf("%s: %s is lost from %q", list, w, s.Facts[0].Value)
			}
		}
		for _, w := range may {
			if slices.Contains(contains, w) {
				continue
			}
			if len(s.Facts) < 2 || !names(s.Facts[1].Value, alone[string(list)][w], m.AllergenName[w]) {
				rt.Fatalf("%s: trace of %s is lost from %v", list, w, s.Facts)
			}
		}
	})
}

// names reports whether a statement names a food: as it does alone, or by its
// own word beside others of its entry.
func names(statement, alone, word string) bool {
	return strings.Contains(statement, alone) || strings.Contains(strings.ToLower(statement), strings.ToLower(word))
}
