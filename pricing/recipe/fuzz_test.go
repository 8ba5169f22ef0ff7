package recipe_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"marchpane/pricing/measure"
	"marchpane/pricing/recipe"
)

func FuzzParseLine(f *testing.F) {
	for _, s := range []string{"1 ½ cups flour, sifted", "100–120 g dark chocolate (70 %)", "2 x 250 g packs", "juice of 2 lemons", "c. à s.", "1/0 g", "((((", "1 1 1 1/2 1", "½½½", "d'd'd'", "1 (1 (1", "demi-demi-demi", "0/0", "1,5,5", "+ + 1 g"} {
		f.Add(s, "en")
		f.Add(s, "")
	}
	f.Fuzz(func(t *testing.T, s, tag string) {
		l := recipe.ParseLine(s, recipe.ContextOf([]string{s}, tag, measure.US))
		if l.Amount.Given && (l.Amount.Low.Sign() < 0 || l.Amount.High.Cmp(l.Amount.Low) < 0) {
			t.Errorf("ParseLine(%q): amount %s", s, l.Amount.Text())
		}
		if !l.Heading && l.Words == "" && len(l.Faults) == 0 {
			t.Errorf("ParseLine(%q) names no ingredient and no fault", s)
		}
		if !l.Heading && !l.Amount.Given && !l.Unmeasured && len(l.Faults) == 0 {
			t.Errorf("ParseLine(%q) has no amount and does not say so", s)
		}
		for _, text := range append([]string{l.Words, l.Note}, append(l.Faults, l.Doubts...)...) {
			if !utf8.ValidString(text) || len(text) > 8000 {
				t.Errorf("ParseLine(%q): %q", s, text)
			}
		}
	})
}

func FuzzFromText(f *testing.F) {
	f.Add("Cake\n\nIngredients\n2 eggs\n\nMethod\nBeat.")
	f.Add(strings.Repeat("1. a\n", 50))
	f.Fuzz(func(t *testing.T, s string) {
		r := recipe.Read(recipe.FromText(s), "", measure.Metric)
		if len(r.Lines) > recipe.MaxLines || len(r.Method()) > 20_000 {
			t.Errorf("%d lines, a method of %d", len(r.Lines), len(r.Method()))
		}
	})
}
