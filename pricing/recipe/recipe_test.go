package recipe_test

import (
	"os"
	"strings"
	"testing"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/recipe"
)

func text(t *testing.T, name string) recipe.Recipe {
	t.Helper()
	data, err := os.ReadFile("testdata/text/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return recipe.Read(recipe.FromText(string(data)), "", measure.Metric)
}

// shown writes a recipe as one text, a line each.
func shown(r recipe.Recipe) string {
	var b strings.Builder
	for _, l := range r.Lines {
		if l.Heading {
			b.WriteString("[" + l.Words + "]")
			continue
		}
		b.WriteString(" " + l.Amount.Text() + " " + l.Unit.Word + " " + l.Words + ";")
	}
	return strings.TrimSpace(b.String())
}

func TestFromText(t *testing.T) {
	for _, c := range []struct {
		file, name, language, yield, lines string
		steps, times                       int
	}{
		{"plum.txt", "Plum and hazelnut torte", "en", "Serves 10 to 12",
			"150 g ground hazelnuts; 3/2 cup plain flour; 4  eggs; 1 pinch salt;[For the top] 6  plums; 2–3 tbsp apricot jam;", 2, 2},
		{"nuss.txt", "Nusskuchen mit Birnen", "de", "für 12 Stück",
			"250 g Mehl; 1500 g Birnen; 3/2 tsp Zimt; 1 pinch Salz;[Für den Guss] 100 g Puderzucker; 2 tbsp Zitronensaft;", 2, 0},
		{"bare.txt", "", "fr", "", "200 g farine; 1 sachet levure chimique; 3  œufs; 50 cl lait;", 2, 0},
	} {
		r := text(t, c.file)
		if got := shown(r); got != c.lines {
			t.Errorf("%s:\n got %s\nwant %s", c.file, got, c.lines)
		}
		if r.Source.Name != c.name || string(r.Context.Language) != c.language || r.Yield.Text != c.yield || len(r.Source.Steps) != c.steps || len(r.Source.Times) != c.times {
			t.Errorf("%s: name %q, language %q, yield %q, steps %q, times %q", c.file, r.Source.Name, r.Context.Language, r.Yield.Text, r.Source.Steps, r.Source.Times)
		}
	}
}

// TestShapesOfText: what is copied from pages and notes.
func TestShapesOfText(t *testing.T) {
	for name, c := range map[string]struct{ in, lines, steps string }{
		"steps without a word before them": {"Rounds\nMakes 30\n\n115 g butter\n60 g sugar\n\nCream the butter and sugar\nBake for 15 minutes", "115 g butter; 60 g sugar;", "Cream the butter and sugar|Bake for 15 minutes"},
		"goods that sound like an order":   {"Rounds\n\n115 g butter\ncream of tartar\ncream cheese for the top\n", "115 g butter;   cream of tartar;   cream cheese;", ""},
		"two columns":                      {"Syrup\n\nSugar     200 g\nLemons\t2", "200 g Sugar; 2  Lemons;", ""},
		"a table":                          {"Loaf\n\n| Ingredient | Amount |\n|---|---|\n| Flour | 250 g |\n| 3 | eggs |", "250 g Flour; 3  eggs;", ""},
		"amounts on lines of their own":    {"Loaf\nIngredients\n150 g\nbutter\n3\neggs", "150 g butter; 3  eggs;", ""},
		"a numbered list":                  {"Loaf\nIngredients\n1. 100 g flour\n2. 3 eggs", "100 g flour; 3  eggs;", ""},
		"numbered steps":                   {"Loaf\n\n100 g flour\n3 eggs\n1. Beat the eggs well.\n2. Fold in the flour.", "100 g flour; 3  eggs;", "1. Beat the eggs well.|2. Fold in the flour."},
		"one line":                         {"2 eggs", "2  eggs;", ""},
		"bullets and boxes":                {"Loaf\n\n▢ 1 cup milk\n[ ] 2 eggs\n* 3 pears\n– 4 plums", "1 cup milk; 2  eggs; 3  pears; 4  plums;", ""},
		"headings of all kinds":            {"Loaf\n\n## Base\n1 egg\n**Top**\n2 eggs\nFOR THE GLAZE\n3 eggs\nSyrup:\n4 eggs", "", "-"},
	} {
		r := recipe.Read(recipe.FromText(c.in), "", measure.Metric)
		if c.steps == "-" {
			if got, want := shown(r), "[Base] 1  egg;[Top] 2  eggs;[FOR THE GLAZE] 3  eggs;[Syrup] 4  eggs;"; got != want {
				t.Errorf("%s:\n got %s\nwant %s", name, got, want)
			}
			continue
		}
		if got, steps := shown(r), strings.Join(r.Source.Steps, "|"); got != c.lines || steps != c.steps {
			t.Errorf("%s:\n got %s, steps %q\nwant %s, %q", name, got, steps, c.lines, c.steps)
		}
	}
}

// Decimal marks are those of the CLDR: a point in English, a comma in French
// and German. What another line proves goes before custom.
func TestDecimalMark(t *testing.T) {
	for _, c := range []struct {
		lines string
		want  string // of the first line
		doubt bool
		fault bool
	}{
		{"1.500 g Mehl\n2 Eier\n1 Prise Salz", "1500", true, false},
		{"1,500 g flour\n2 eggs\na pinch of salt", "1500", true, false},
		{"1.500 kg flour\n2 eggs\na pinch of salt", "3/2", true, false},
		{"1.500 kg Mehl\n0.5 l Milch\n1 Prise Salz", "3/2", true, false}, // as Swiss German writes
		{"1,500 kg de farine\n3 œufs\n1 pincée de sel", "3/2", true, false},
		{"1.500 g Xyz", "", false, true},
		{"1.5 kg Mehl\n2 Eier", "3/2", false, false},
		{"1'500 g Mehl\n2 Eier", "1500", false, false},
		{"0,125 l Milch\n2 Eier", "1/8", false, false},
	} {
		r := recipe.Read(recipe.Source{Lines: strings.Split(c.lines, "\n")}, "", measure.Metric)
		l := r.Lines[0]
		got := l.Amount.Text()
		if c.fault {
			got = ""
		}
		if got != c.want || len(l.Doubts) > 0 != c.doubt || len(l.Faults) > 0 != c.fault {
			t.Errorf("%q: amount %s, doubts %q, faults %q, want %s", c.lines, l.Amount.Text(), l.Doubts, l.Faults, c.want)
		}
	}
}

func TestLanguage(t *testing.T) {
	for want, lines := range map[recipe.Language][]string{
		recipe.English: {"2 cups flour", "1 tsp salt"},
		recipe.French:  {"200 g de farine", "3 œufs", "1 sachet de levure"},
		recipe.German:  {"250 g Mehl", "1 Pck. Backpulver"},
		"":             {"250 g xyz"},
	} {
		if got := recipe.ContextOf(lines, "", measure.Metric).Language; got != want {
			t.Errorf("ContextOf(%q).Language = %q, want %q", lines, got, want)
		}
	}
	if got := recipe.ContextOf([]string{"250 g Mehl"}, "fr-CH", measure.Metric).Language; got != recipe.French {
		t.Errorf("a stated language is %q, want fr", got)
	}
}

func TestYield(t *testing.T) {
	for in, want := range map[string]recipe.Yield{
		"Serves 8":       {Amount: amount("8", "8")},
		"8–10":           {Amount: amount("8", "10")},
		"Makes 24":       {Amount: amount("24", "24"), Pieces: true},
		"für 12 Stück":   {Amount: amount("12", "12"), Pieces: true},
		"pour 6 à 8":     {Amount: amount("6", "8")},
		"24 biscuits":    {Amount: amount("24", "24"), Pieces: true},
		"a large cake":   {Pieces: true},
		"6 personnes":    {Amount: amount("6", "6")},
		"one 20 cm cake": {Amount: amount("20", "20"), Pieces: true},
	} {
		got := recipe.Read(recipe.Source{Yield: in, Lines: []string{"1 egg"}}, "", measure.Metric).Yield
		if in == "one 20 cm cake" { // the size of a tin is no yield
			want.Amount = recipe.Amount{}
		}
		if got.Text != in || got.Amount.Text() != want.Amount.Text() || got.Pieces != want.Pieces {
			t.Errorf("yield %q = %s, pieces %t, want %s, %t", in, got.Amount.Text(), got.Pieces, want.Amount.Text(), want.Pieces)
		}
	}
}

func amount(low, high string) recipe.Amount {
	return recipe.Amount{Low: exact.Must(low), High: exact.Must(high), Given: true}
}

// Every unit word is a unit of package measure or a word of the kitchen, and
// factors are those of the units' definitions: a Pfund and a livre of the
// kitchen are 500 g (common practice, no source), a dessertspoon 10 ml (GNU
// units: brdessertspoon, two teaspoons of 5 ml).
func TestUnitsThatMultiply(t *testing.T) {
	for in, want := range map[string]string{"2 Pfund Mehl": "1000 g", "½ livre de beurre": "250 g", "2 dessertspoons rum": "20 ml", "1 dozen eggs": "1 dozen"} {
		l := recipe.ParseLine(in, recipe.Context{})
		if got := l.Amount.Text() + " " + l.Unit.Word; got != want {
			t.Errorf("ParseLine(%q) = %s, want %s", in, got, want)
		}
	}
}

func TestWhatIsNotReadIsSaid(t *testing.T) {
	for in, part := range map[string]string{
		"2 eggs + 1 yolk":             "second ingredient",
		strings.Repeat("butter ", 80): "longer than",
		"99999999999999999999 g rice": "too long",
		"250 g":                       "could not be read",
		"12":                          "could not be read",
		"1.2.3 g salt":                "could not be read",
		"()":                          "could not be read",
		"":                            "nothing could be read",
	} {
		l := recipe.ParseLine(in, recipe.Context{Language: recipe.English, Mark: "point"})
		if !strings.Contains(strings.Join(l.Faults, "; "), part) {
			t.Errorf("ParseLine(%.30q): faults %q, amount %s, words %q; want one about %q", in, l.Faults, l.Amount.Text(), l.Words, part)
		}
	}
}

func TestBounds(t *testing.T) {
	long := strings.Repeat("1 egg\n", 5000)
	r := recipe.Read(recipe.FromText(long), "", measure.Metric)
	if len(r.Lines) != recipe.MaxLines || len(r.Faults) < 2 {
		t.Errorf("5000 lines: %d lines, faults %q", len(r.Lines), r.Faults)
	}
	if m := recipe.Read(recipe.Source{Steps: []string{strings.Repeat("stir ", 10_000)}}, "", measure.Metric).Method(); len(m) > 20_000 {
		t.Errorf("a method of %d letters", len(m))
	}
}
