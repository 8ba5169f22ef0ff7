package recipe_test

import (
	"os"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/recipe"
)

func exampleBook(t *testing.T) book.Book {
	t.Helper()
	data, err := os.ReadFile("../testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestMatch(t *testing.T) {
	b := exampleBook(t)
	b.Ingredients = append(b.Ingredients,
		book.Ingredient{ID: "raspberry", Name: "Raspberries, fresh", Measure: measure.Mass},
		book.Ingredient{ID: "frozen-raspberry", Name: "Raspberries, frozen", Measure: measure.Mass},
		book.Ingredient{ID: "creme-fraiche", Name: "Crème fraîche", Measure: measure.Mass},
		book.Ingredient{ID: "gelatine-leaf", Name: "Gelatine leaf", Measure: measure.Count},
	)
	m := recipe.NewMatcher(b, []recipe.Alias{{Name: "Feinster Zucker", Use: "caster-sugar"}})
	for _, c := range []struct{ line, use, word string }{
		// The same name, but for case, accents, plural and order.
		{"200 g caster sugar", "caster-sugar", "sure"},
		{"200 g CASTER SUGAR", "caster-sugar", "sure"},
		{"200 g sugar, caster", "caster-sugar", "likely"},
		{"2 Lemons", "lemon", "sure"},
		{"4 eggs", "egg", "sure"},
		{"4 medium eggs", "egg", "sure"},
		{"3 egg yolks", "egg-yolk", "sure"},
		{"200 g unsalted butter, soft", "butter", "sure"},
		{"2 vanilla pods", "vanilla-pod", "sure"},
		{"200 ml creme fraiche", "creme-fraiche", "sure"},
		{"4 gelatine leaves", "gelatine-leaf", "sure"},
		{"4 leaves gelatine", "gelatine-leaf", "sure"},
		{"100 g lemon curd", "lemon-curd", "sure"},
		{"100 g feinster Zucker", "caster-sugar", "sure"},
		{"100 g frozen raspberries", "frozen-raspberry", "sure"},
		// What has to be asked.
		{"3 large eggs", "egg", "likely"},
		{"200 g flour", "plain-flour", "likely"},
		{"200 g Mehl", "plain-flour", "likely"},
		{"200 g de farine", "plain-flour", "likely"},
		{"100 g sucre en poudre", "caster-sugar", "likely"},
		{"3 œufs", "egg", "likely"},
		{"3 Eigelb", "egg-yolk", "likely"},
		{"1 gousse de vanille", "vanilla-pod", "likely"},
		{"100 g raspberries", "raspberry", "likely"},
		{"100 g castor sugar", "caster-sugar", "unsure"},
		{"1 tsp vanilla extract", "vanilla-pod", "unsure"},
		// What is something else.
		{"100 g peanut butter", "butter", "unsure"},
		{"2 tbsp saffron", "", "none"},
		{"1 Satin ribbon 15 mm", "", "none"}, // packaging is no ingredient
	} {
		found := m.Match(recipe.ParseLine(c.line, recipe.Context{}))
		use, word := book.ID(""), "none"
		if len(found) > 0 {
			use, word = found[0].Use, found[0].Confidence.Word()
		}
		if string(use) != c.use || word != c.word {
			t.Errorf("Match(%s) = %v, want %s %s", c.line, found, c.use, c.word)
		}
	}
}

// Two of one name are never chosen between.
func TestMatchOfTwins(t *testing.T) {
	b := exampleBook(t)
	b.Ingredients = append(b.Ingredients, book.Ingredient{ID: "caster-2", Name: "Caster sugar", Measure: measure.Mass})
	found := recipe.NewMatcher(b, nil).Match(recipe.ParseLine("200 g caster sugar", recipe.Context{}))
	if len(found) < 2 || found[0].Confidence >= recipe.Likely {
		t.Errorf("Match among twins = %v, want none that is likely", found)
	}
}

func TestConfidenceWords(t *testing.T) {
	for c, want := range map[recipe.Confidence]string{1000: "1.00 sure", 950: "0.95 sure", 949: "0.94 likely", 750: "0.75 likely", 749: "0.74 unsure", 350: "0.35 unsure", 349: "0.34 none", 0: "0.00 none"} {
		if got := c.String() + " " + c.Word(); got != want {
			t.Errorf("Confidence %d = %s, want %s", c, got, want)
		}
	}
}

// Densities are those of USDA's National Nutrient Database, Release 28, by its
// household weights and the US cup of 236.5882365 ml: NDB 20081 gives 125 g for
// a cup of all-purpose flour; GNU units (cookery section) 4 oz for one sifted.
// A large egg without its shell is 50 g (NDB 01123).
func weights(words, unit string) (exact.Number, string, bool) {
	switch words + "/" + unit {
	case "sifted plain flour/ml", "sifted Mehl/ml":
		return exact.Must("113.398").Quo(exact.Must("236.5882365")), "GNU units: flour_sifted", true
	case "lemon/each", "lemons/each":
		return exact.Must("58"), "USDA SR28, NDB 09150", true
	case "salt/pinch":
		return exact.Must("0.36"), "a test", true
	}
	return exact.Number{}, "", false
}

func draftOf(t *testing.T, lines string, household measure.Household, a recipe.Answers) recipe.Draft {
	t.Helper()
	b := exampleBook(t)
	b.Studio.Household.Value, b.Studio.Household.Given = household, true
	r := recipe.Read(recipe.Source{Name: "Test", Lines: strings.Split(lines, "\n")}, recipe.English, household)
	return recipe.NewDraft(book.NewIndex(b), r, "test", recipe.NewMatcher(b, nil), weights, a)
}

func TestDraftQuantities(t *testing.T) {
	for _, c := range []struct {
		line, qty string
		us        bool
		open      string // a part of what is open, "" for nothing
		working   string
	}{
		{"250 g caster sugar", "250 g", false, "", ""},
		{"1.50 kg caster sugar", "1.5 kg", false, "", ""},
		{"1 1/2 cups caster sugar", "1.5 cup", false, "", ""},
		// A third of a metric cup of 250 ml, and of a US cup, which is 16 tsp.
		{"1/3 cup caster sugar", "83.333 ml", false, "", "1/3 cup, rounded"},
		{"1/3 cup caster sugar", "78.863 ml", true, "", "1/3 cup, rounded"},
		{"1/3 kg caster sugar", "333.333 g", false, "", "rounded"},
		{"1/8 tsp caster sugar", "0.125 tsp", false, "", ""},
		// 1 lb = 453.59237 g and 1 oz = 28.349523125 g by definition.
		{"1 lb 2 oz caster sugar", "510.291 g", false, "", "both amounts"},
		{"1 cup plus 2 tbsp caster sugar", "280 ml", false, "", "both amounts"},
		{"1 cup (200 g) caster sugar", "200 g", false, "", "given beside it"},
		{"8 oz (225 g) caster sugar", "225 g", false, "", "given beside it"},
		{"225 g/8 oz caster sugar", "225 g", false, "", ""},
		{"2 x 250 g packs unsalted butter", "500 g", false, "", "2 × 250 g"},
		{"2 sticks unsalted butter", "0.5 lb", false, "", "quarter of a pound"},
		{"3 tins (400 g) caster sugar", "1200 g", false, "not for all", ""},
		{"100–120 g caster sugar", "120 g", false, "the upper was taken", "upper"},
		{"1 heaped tbsp caster sugar", "1 tbsp", false, "read as level", ""},
		{"4 eggs", "4 each", false, "", ""},
		{"1 dozen eggs", "1 dozen", false, "", ""},
		{"2 cups sifted plain flour", "239.653 g", false, "", "GNU units"},
		{"1 cup plain wheat flour, sifted", "1 cup", false, "", ""}, // sifted after it was measured
		{"1 cup sifted caster sugar", "1 cup", false, "changes what a measure holds", ""},
		{"juice of 2 lemons", "116 g", false, "trim yield of lemon (43 %)", "USDA"},
		{"a pinch of salt", "0.36 g", false, "nothing like", "per pinch"},
		{"1 sachet caster sugar", "", false, "how much a sachet holds", ""},
		{"1 cup caster sugar (optional)", "1 cup", false, "optional", ""},
		{"1 pint caster sugar", "1 uk pint", false, "larger or smaller", ""},
		{"1 pint caster sugar", "1 us pint", true, "", ""},
		{"2 fl oz caster sugar", "2 us fl oz", true, "", ""},
		{"caster sugar, for dusting", "", false, "no amount", ""},
		{"caster sugar", "", false, "no amount", ""},
		{"2 eggs + 1 yolk", "2 each", false, "second ingredient", ""},
		{"5 cm piece caster sugar", "", false, "weighs is not known", ""},
		{"100 g saffron", "100 g", false, "the book has nothing like", ""},
		{"3 caster sugar", "3 each", false, "has no mass", ""},
	} {
		h := measure.Metric
		if c.us {
			h = measure.US
		}
		l := draftOf(t, c.line, h, recipe.Answers{}).Lines[0]
		open := strings.Join(l.Open, "; ")
		if l.Qty.String() != c.qty || (c.open == "") != (open == "") || !strings.Contains(open, c.open) || !strings.Contains(l.Working, c.working) {
			t.Errorf("%s (%s): %s, working %q, open %q; want %s, %q, %q", c.line, h, l.Qty, l.Working, open, c.qty, c.working, c.open)
		}
	}
}

func TestAnswersSettleLines(t *testing.T) {
	lines := "100–120 g caster sugar\nsalt to taste\n3 large eggs\n2 cups saffron water\n1 pinch salt"
	d := draftOf(t, lines, measure.Metric, recipe.Answers{})
	if d.Ready() {
		t.Fatal("a draft with open lines is ready")
	}
	a := recipe.Answers{
		Accept: map[int]bool{1: true, 3: true}, Skip: map[int]bool{2: true},
		Use: map[int]book.ID{4: "lemon", 5: "caster-sugar"}, Qty: map[int]measure.Quantity{5: measure.Must("2 g")},
	}
	d = draftOf(t, lines, measure.Metric, a)
	for _, l := range d.Lines {
		if len(l.Open) > 0 {
			t.Errorf("line %d is open: %q", l.Number, l.Open)
		}
	}
	var got []string
	for _, l := range d.Component.Lines {
		got = append(got, string(l.Use)+" "+l.Qty.String())
	}
	if want := "caster-sugar 120 g|egg 3 each|lemon 2 cup|caster-sugar 2 g"; strings.Join(got, "|") != want {
		t.Errorf("lines %q, want %s", got, want)
	}
	// The book takes it as it stands.
	b := exampleBook(t)
	if _, _, err := book.Merge(b, book.Book{Format: b.Format, Studio: b.Studio, Components: []book.Component{d.Component}}); err != nil {
		t.Error(err)
	}
}

// What is not sure is never settled by itself, whatever the line.
func TestNothingUnsureIsReady(t *testing.T) {
	for _, line := range strings.Split("200 g flour\n3 large eggs\n100 g raspberries\n2 tbsp saffron\nsalt\n1 (400 g) can of it\n2 tins (400 g) butter", "\n") {
		if d := draftOf(t, line, measure.Metric, recipe.Answers{}); d.Ready() {
			t.Errorf("%q is ready: %+v", line, d.Lines[0])
		}
	}
}

func TestProposed(t *testing.T) {
	d := draftOf(t, "100 g saffron threads\n2 tbsp saffron threads\n4 quinces\n200 ml rose water", measure.Metric, recipe.Answers{})
	var got []string
	for _, ing := range d.Proposed {
		got = append(got, string(ing.ID)+" "+ing.Measure.String())
		if len(ing.Prices) > 0 {
			t.Errorf("%s has prices", ing.ID)
		}
	}
	if want := "saffron-threads mass|quinces count|rose-water volume"; strings.Join(got, "|") != want {
		t.Errorf("proposed %q, want %s", got, want)
	}
}
