package reference_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
	"marchpane/pricing/record"
	"marchpane/pricing/reference"
)

// row is a line of testdata/sr28.csv, a household measure as the USDA has it.
type row struct{ ndb, food, amount, measure, grams, refuse string }

func sr28(t *testing.T) map[string][]row {
	t.Helper()
	rows := map[string][]row{}
	for _, r := range table(t, "testdata/sr28.csv") {
		rows[r[0]] = append(rows[r[0]], row{r[0], r[1], r[2], r[3], r[4], r[5]})
	}
	return rows
}

func table(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// ndb returns the number of the food in SR28 that a source names.
func ndb(source string) (string, bool) { return strings.CutPrefix(source, "USDA SR28, NDB ") }

// Every figure that is said to be of SR28 stands there: the same food, measure
// and grams, and the same refuse.
func TestAgainstSR28(t *testing.T) {
	rows := sr28(t)
	checked := 0
	for _, e := range reference.All() {
		for _, w := range e.Weights {
			number, ok := ndb(w.Source)
			if !ok {
				continue
			}
			checked++
			if !weighed(rows[number], w) {
				t.Errorf("%s: %s is not in SR28 under NDB %s, which has %v", e.ID, w, number, rows[number])
			}
		}
		for _, p := range e.Pieces {
			number, _ := ndb(p.Source)
			checked++
			found := false
			for _, r := range rows[number] {
				found = found || r.grams != "" && exact.Must(r.grams).Equal(p.Grams.Mul(exact.Must(r.amount))) && says(r.measure, p.Size)
			}
			if !found {
				t.Errorf("%s: a %s piece of %s g is not in SR28 under NDB %s, which has %v", e.ID, p.Size, p.Grams.Text(), number, rows[number])
			}
		}
		for _, y := range e.Yields {
			number, ok := ndb(y.Source)
			if !ok {
				continue
			}
			checked++
			want := ""
			if len(rows[number]) > 0 {
				want = exact.Int(100).Sub(exact.Must(rows[number][0].refuse)).Text() + " %"
			}
			if e.ID == "lemons" && number == "09152" {
				want = juiceOfLemon(t, rows)
			}
			if y.Share.String() != want {
				t.Errorf("%s: a yield of %s, want %s by SR28, NDB %s", e.ID, y.Share, want, number)
			}
		}
		for _, p := range e.Parts {
			number, _ := ndb(p.Source)
			if len(rows[number]) == 0 || rows[number][0].measure != "large" || p.Mass.String() != rows[number][0].grams+" g" {
				t.Errorf("%s: %s of %s is not in SR28 under NDB %s", e.ID, p.Name, p.Mass, number)
			}
		}
	}
	if checked < 300 || len(reference.All()) < 120 {
		t.Errorf("%d figures of %d foods were checked, want 300 of 120", checked, len(reference.All()))
	}
}

// juiceOfLemon is 48 g of juice of a lemon that has 58 g without its peel and
// seeds, and so 109 g as bought: rounded to the per cent.
func juiceOfLemon(t *testing.T, rows map[string][]row) string {
	t.Helper()
	var juice, flesh exact.Number
	for _, r := range rows["09152"] {
		if r.measure == "lemon yields" {
			juice = exact.Must(r.grams)
		}
	}
	for _, r := range rows["09150"] {
		if r.measure == `fruit, (2-1/8" dia)` {
			flesh = exact.Must(r.grams)
		}
	}
	if juice.IsZero() || flesh.IsZero() {
		t.Fatal("SR28's lemon is missing from testdata")
	}
	usable := exact.Int(100).Sub(exact.Must(rows["09150"][0].refuse))
	return juice.Mul(usable).Quo(flesh).Fixed(0) + " %"
}

// weighed reports whether one of the rows is the weight: its grams, its
// measure, and the words of its form in the measure or the name of the food.
func weighed(rows []row, w reference.Weight) bool {
	unit := map[string]string{"us fl oz": "fl oz", "sachet": "packet envelope"}[w.Unit]
	if unit == "" {
		unit = w.Unit
	}
	for _, r := range rows {
		if r.grams == "" || !exact.Must(r.grams).Equal(w.Grams) || !exact.Must(r.amount).Equal(w.Amount) {
			continue
		}
		m := strings.ReplaceAll(r.measure, "tablespoon", "tbsp")
		first := strings.Fields(names.Words(m) + " -")[0]
		if (strings.Contains(unit, first) || strings.Contains(m, unit)) && says(m+" "+r.food, w.Form) {
			return true
		}
	}
	return false
}

func says(text, words string) bool {
	for w := range strings.FieldsSeq(words) {
		if !strings.Contains(strings.ToLower(text), w) {
			return false
		}
	}
	return true
}

// Yields by other sources stand beside SR28's as those have them, and are never
// the default.
func TestOtherSources(t *testing.T) {
	figures := map[string]bool{}
	for _, r := range table(t, "testdata/others.csv") {
		figures[r[0]+" "+strings.ToLower(r[1])+" "+r[2]] = true
	}
	// What the sources call a food.
	called := map[book.ID]string{"beetroot": "beets, no tops", "courgettes": "zucchini", "avocados": "avocado", "carrots": "carrots, no tops"}
	differ := 0
	for _, e := range reference.All() {
		for i, y := range e.Yields {
			code := map[bool]string{true: "oer", false: "lane"}[strings.HasPrefix(y.Source, "Bakery")]
			if _, ok := ndb(y.Source); ok {
				continue
			}
			differ++
			share := strings.TrimSuffix(y.Share.String(), " %")
			name := string(e.ID)
			if n := called[e.ID]; n != "" && code == "oer" {
				name = n
			}
			if !figures[code+" "+name+" "+share] {
				t.Errorf("%s: %s is not a yield by %s", e.ID, y.Share, y.Source)
			}
			if i == 0 {
				t.Errorf("%s: the default yield is of %s, want one of SR28", e.ID, y.Source)
			}
		}
		for _, w := range e.Weights {
			if pack := fmt.Sprintf("trade %s, %s, %s %s", e.Name(), w.Unit, w.Language, w.Grams.Fixed(1)); strings.HasPrefix(w.Source, "common practice") && !figures[pack] && !figures[strings.TrimSuffix(pack, ".0")] {
				t.Errorf("%s: %s in packs of %s is not in testdata/others.csv (common practice, no source)", e.ID, w, w.Language)
			}
			if strings.Contains(w.Source, "Bulletin 72") && !figures["hb72 wheat flour, "+map[book.ID]string{"plain-flour": "all-purpose", "cake-flour": "cake or pastry"}[e.ID]+", sifted, spooned, 1 cup "+w.Grams.Text()] {
				t.Errorf("%s: %s is not a weight of %s", e.ID, w, w.Source)
			}
		}
	}
	if differ < 10 {
		t.Errorf("%d yields of other sources, want the ten that differ", differ)
	}
}

// program finds a general-purpose tool; it must be there where everything is
// tested.
func program(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

// asked has GNU units convert pairs of expressions, all in one run.
func asked(t *testing.T, pairs [][2]string) []exact.Number {
	t.Helper()
	var in strings.Builder
	for _, p := range pairs {
		in.WriteString(p[0] + "\n" + p[1] + "\n")
	}
	cmd := exec.Command(program(t, "units"), "--terse", "--output-format", "%.12g")
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("units: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(pairs) {
		t.Fatalf("units answered %d of %d: %s", len(lines), len(pairs), out)
	}
	list := make([]exact.Number, len(lines))
	for i, line := range lines {
		n, ok := exact.FromText(line)
		if !ok {
			t.Fatalf("units %q %q = %q", pairs[i][0], pairs[i][1], line)
		}
		list[i] = n
	}
	return list
}

// Every density, by GNU units: grams per US cup, spoon or fluid ounce in g/ml.
func TestDensitiesByGNUUnits(t *testing.T) {
	call := map[string]string{"cup": "uscup", "tbsp": "ustbsp", "tsp": "ustsp", "us fl oz": "usfloz"}
	var pairs [][2]string
	var got []exact.Number
	var what []string
	for _, e := range reference.All() {
		for _, w := range e.Weights {
			d, ok := w.Density()
			if !ok {
				continue
			}
			pairs = append(pairs, [2]string{w.Grams.Fixed(3) + " g/(" + w.Amount.Fixed(3) + " " + call[w.Unit] + ")", "g/ml"})
			got = append(got, d)
			what = append(what, fmt.Sprintf("%s, %s", e.ID, w))
		}
	}
	for i, want := range asked(t, pairs) {
		if off := got[i].Sub(want).Quo(want); off.Cmp(exact.Must("0.0000000001")) > 0 || off.Neg().Cmp(exact.Must("0.0000000001")) > 0 {
			t.Errorf("%s: %s g/ml, want %s by GNU units", what[i], got[i].Fixed(10), want.Fixed(10))
		}
	}
}

// GNU units knows densities of its own, from a cookbook. The two differ, as two
// people's cups do; a tenth apart is taken as the same food. It is the only
// check of what is from memory, which is held to 4 %.
func TestNearGNUUnits(t *testing.T) {
	near := []struct{ food, unit, theirs, within string }{
		{"sifted plain flour", "ml", "flour_sifted", "0.04"}, {"plain flour", "ml", "flour_spooned", "0.1"}, {"sifted cake flour", "ml", "cakeflour_sifted", "0.04"},
		{"bread flour", "ml", "breadflour_spooned", "0.1"}, {"cornflour", "ml", "cornstarch", "0.1"}, {"cocoa", "ml", "cocoa_spooned", "0.1"},
		{"butter", "ml", "butter", "0.1"}, {"shortening", "ml", "shortening", "0.1"}, {"vegetable oil", "ml", "oil", "0.1"}, {"ghee", "ml", "butter_clarified", "0.1"},
		{"whole milk", "ml", "milk", "0.1"}, {"double cream", "ml", "heavycream", "0.1"}, {"sour cream", "ml", "sourcream", "0.1"},
		{"sugar", "ml", "sugar", "0.1"}, {"icing sugar", "ml", "powdered_sugar", "0.1"}, {"packed brown sugar", "ml", "brownsugar_light", "0.1"},
		{"honey", "ml", "honey", "0.1"}, {"molasses", "ml", "molasses", "0.1"}, {"corn syrup", "ml", "cornsyrup", "0.1"},
		{"baking powder", "ml", "baking_powder", "0.1"}, {"salt", "ml", "salt", "0.1"},
		{"large egg", "each", "egg", "0.1"}, {"egg white", "each", "eggwhite", "0.1"}, {"egg yolk", "each", "eggyolk", "0.1"},
	}
	pairs := make([][2]string, len(near))
	for i, n := range near {
		pairs[i] = [2]string{n.theirs, map[string]string{"ml": "g/ml", "each": "g"}[n.unit]}
	}
	for i, theirs := range asked(t, pairs) {
		got, source, ok := reference.Weigh(near[i].food, near[i].unit)
		if !ok {
			t.Errorf("Weigh(%s, %s) knows nothing", near[i].food, near[i].unit)
			continue
		}
		off, within := got.Sub(theirs).Quo(theirs), exact.Must(near[i].within)
		if off.Cmp(within) > 0 || off.Neg().Cmp(within) > 0 {
			t.Errorf("Weigh(%s, %s) = %s by %s, want within %s of %s by GNU units", near[i].food, near[i].unit, got.Fixed(4), source, within.Fixed(2), theirs.Fixed(4))
		}
	}
}

// Every name means its own food and no other.
func TestNames(t *testing.T) {
	owner := map[string]book.ID{}
	for _, e := range reference.All() {
		if len(e.Names.English) == 0 || len(e.Names.French) == 0 || len(e.Names.German) == 0 {
			t.Errorf("%s has no name in one of the languages", e.ID)
		}
		for _, list := range [][]string{e.Names.English, e.Names.French, e.Names.German} {
			for _, name := range list {
				w := names.Words(name)
				if other, taken := owner[w]; taken && other != e.ID {
					t.Errorf("%q means both %s and %s", name, other, e.ID)
				}
				owner[w] = e.ID
				if got := reference.Find(name); len(got) == 0 || got[0].Entry.ID != e.ID || got[0].Confidence < reference.Sure {
					t.Errorf("Find(%q) = %v, want %s", name, got, e.ID)
				}
			}
		}
	}
}

func TestFind(t *testing.T) {
	for _, c := range []struct {
		words string
		want  book.ID
		least reference.Confidence
		most  reference.Confidence
	}{
		{"Plain flour", "plain-flour", reference.Sure, 1000}, {"FARINE", "plain-flour", reference.Sure, 1000}, {"Weizenmehl Type 405", "plain-flour", reference.Sure, 1000},
		{"Œufs", "egg", reference.Sure, 1000}, {"organic eggs", "egg", reference.Sure, 1000}, {"sucre glace", "icing-sugar", reference.Sure, 1000}, {"Puderzucker", "icing-sugar", reference.Sure, 1000},
		{"citron vert", "limes", reference.Sure, 1000}, {"fresh strawberries", "strawberries", reference.Sure, 1000}, {"crème liquide", "whipping-cream", reference.Sure, 1000},
		{"strawbery", "strawberries", reference.Likely, 999}, {"flour, plain", "plain-flour", reference.Sure, 1000},
		// Another food that holds the name is never more than a guess.
		{"coconut flour", "plain-flour", 350, reference.Likely - 1}, {"butter beans", "butter", 350, reference.Likely - 1},
	} {
		got := reference.Find(c.words)
		if len(got) == 0 || got[0].Entry.ID != c.want || got[0].Confidence < c.least || got[0].Confidence > c.most {
			t.Errorf("Find(%q) = %v, want %s from %s to %s", c.words, got, c.want, c.least, c.most)
		}
	}
	for _, words := range []string{"", " ", "xyzzy", "½", strings.Repeat("flour ", 100), "ribbon"} {
		if got := reference.Find(words); len(got) != 0 {
			t.Errorf("Find(%.20q) = %s, want nothing", words, got[0].Entry.ID)
		}
	}
}

// Household measures in grams: SR28's own, and by density in another cup.
func TestWeigh(t *testing.T) {
	cup := func(h measure.Household) exact.Number { return measure.Must("1 cup").Base(h) }
	for _, c := range []struct {
		words, unit string
		times       exact.Number
		want        string
	}{
		{"flour", "ml", cup(measure.US), "125"}, {"flour", "ml", cup(measure.Metric), "132.086"}, // 125 × 250 ÷ 236.5882365
		{"sifted flour", "ml", cup(measure.US).Mul(exact.Int(2)), "230"}, {"sifted icing sugar", "ml", cup(measure.US), "100"}, {"icing sugar", "ml", cup(measure.US), "120"},
		{"packed brown sugar", "ml", cup(measure.US), "220"}, {"chopped walnuts", "ml", cup(measure.US), "117"}, {"mashed bananas", "ml", cup(measure.US), "225"}, {"sliced strawberries", "ml", cup(measure.US), "166"},
		{"ground almonds", "ml", cup(measure.US), "95"}, {"whole milk", "ml", cup(measure.US), "244"}, {"whipped cream", "ml", cup(measure.US), "120"},
		{"egg", "each", exact.Int(1), "50"}, {"medium eggs", "each", exact.Int(3), "132"}, {"extra large egg", "each", exact.Int(1), "56"}, {"large bananas", "each", exact.Int(1), "136"},
		{"salt", "dash", exact.Int(1), "0.4"}, {"salt", "pinch", exact.Int(16), "6"}, {"Trockenhefe", "sachet", exact.Int(1), "7.2"}, {"Backpulver", "sachet", exact.Int(1), "16"}, {"levure chimique", "sachet", exact.Int(1), "11"},
		{"gélatine en poudre", "sachet", exact.Int(2), "14"},
	} {
		n, source, ok := reference.Weigh(c.words, c.unit)
		if got := n.Mul(c.times); !ok || exact.FromDecimal(got.Round(3)).Cmp(exact.Must(c.want)) != 0 || source == "" {
			t.Errorf("%s %s of %s = %s g (%s), want %s", c.times.Text(), c.unit, c.words, got.Fixed(3), source, c.want)
		}
	}
	for _, c := range [][2]string{{"coconut flour", "ml"}, {"sifted cocoa", "ml"}, {"ribbon", "each"}, {"flour", "each"}, {"baking powder", "sachet"}, {"mascarpone", "ml"}, {"flour", "handful"}, {"", "ml"}, {"sifted", "ml"}} {
		if n, source, ok := reference.Weigh(c[0], c[1]); ok {
			t.Errorf("Weigh(%q, %q) = %s by %s, want nothing", c[0], c[1], n.Text(), source)
		}
	}
}

// A piece as bought is the usable part over the yield (SR28 documentation, page
// 5): 118 g of a banana that is 64 % usable.
func TestEach(t *testing.T) {
	for id, want := range map[book.ID]string{"bananas": "184.4 g", "strawberries": "12.8 g", "oranges": "179.5 g", "lemons": "109.4 g", "egg": "", "lemon-juice": ""} {
		for _, e := range reference.All() {
			if e.ID == id {
				if got, source := e.Each(); got.String() != want || want != "" && source == "" {
					t.Errorf("%s: a piece of %s (%s), want %s", id, got, source, want)
				}
			}
		}
	}
}

// Every entry makes an ingredient that a book holds, by mass and by the piece.
func TestIngredients(t *testing.T) {
	b, err := book.Parse([]byte(`{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "target": {"markup": "0 %"}}}`))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range reference.All() {
		b.Ingredients = append(b.Ingredients, e.Ingredient(e.ID+"-x", e.Name(), measure.Mass))
		b.Ingredients = append(b.Ingredients, e.Ingredient(e.ID+"-y", e.Name(), measure.Count))
	}
	if err := book.Validate(b).Err(); err != nil {
		t.Error(err)
	}
	if got := b.Ingredients[0]; got.Density.String() != "0.5283 g/ml" || got.Category != record.Some("flour") || got.Allergens.Contains[0] != "wheat" {
		t.Errorf("plain flour is %+v", got)
	}
}
