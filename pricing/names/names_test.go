package names_test

import (
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/names"
)

// Unicode's own decompositions (UAX 15) decide what is an accent; the letters
// that it does not take apart are read as their usual Latin spelling, common
// practice, no source.
func TestWords(t *testing.T) {
	for in, want := range map[string]string{
		"Crème fraîche":           "creme fraiche",
		"  Mehl,  Type 405 ":      "mehl type 405",
		"Weißwein (süß)":          "weisswein suss",
		"Œufs d’Élevage":          "oeufs d elevage",
		"PÂTE à   sucre":          "pate a sucre",
		"½ Zitrone":               "1 2 zitrone",
		"\u212a-Sugar":            "k sugar",
		"Ｆｕｌｌ width":              "full width",
		"İstanbul Lokumu":         "istanbul lokumu",
		"":                        "",
		" … ":                     "",
		"Smørrebrød & Æbleskiver": "smorrebrod aebleskiver",
	} {
		if got := names.Words(in); got != want {
			t.Errorf("Words(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestFoldingTwiceChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		if once := names.Bare(s); names.Bare(once) != once {
			t.Fatalf("Bare(%q) = %q, and of that %q", s, once, names.Bare(once))
		}
		if once := names.Words(s); names.Words(once) != once {
			t.Fatalf("Words(%q) = %q, and of that %q", s, once, names.Words(once))
		}
	})
}

// The example of kitten and sitting is the usual one of the literature.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"", "egg", 3}, {"flour", "flour", 0}, {"sugar", "suger", 1}, {"müsli", "musli", 1}} {
		if got := names.Distance(c.a, c.b); got != c.want {
			t.Errorf("Distance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
		if got := names.Distance(c.b, c.a); got != c.want {
			t.Errorf("Distance(%q, %q) = %d, want %d", c.b, c.a, got, c.want)
		}
	}
}
