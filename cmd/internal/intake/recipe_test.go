package intake_test

import (
	"strings"
	"testing"
	"time"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/recipe"
)

// The shapes are those that schema.org defines for Recipe (release 28 of the
// vocabulary, from memory: recipeIngredient takes Text, ItemList or
// PropertyValue; recipeInstructions CreativeWork, ItemList or Text; recipeYield
// QuantitativeValue or Text; times a Duration of ISO 8601) and JSON-LD 1.1 (W3C)
// allows: one value or a list, "@graph", references by "@id", "@value",
// prefixed names. The recipes are of our own invention.
func TestJSONLD(t *testing.T) {
	for _, c := range []struct{ name, in, lines, steps, yield, times string }{
		{"plain", `{"@context":"https://schema.org","@type":"Recipe","name":"Walnut wedge","recipeYield":"8 wedges","totalTime":"PT1H20M",
			"recipeIngredient":["200 g walnuts","3 eggs"],"recipeInstructions":"Mix.\nBake."}`,
			"200 g walnuts|3 eggs", "Mix.|Bake.", "8 wedges", "Total time: 1 h 20 min"},
		{"graph and types in a list", `{"@context":"https://schema.org","@graph":[{"@type":"WebPage","name":"A page"},{"@type":["Thing","Recipe"],"name":"Walnut wedge",
			"recipeYield":["8","8 wedges"],"recipeIngredient":["200 g walnuts"],"recipeInstructions":[{"@type":"HowToStep","text":"Mix."},{"@type":"HowToStep","name":"Bake."}]}]}`,
			"200 g walnuts", "Mix.|Bake.", "8 wedges", ""},
		{"a list at the top", `[{"@type":"Organization","name":"Nobody"},{"@type":"http://schema.org/Recipe","name":"Walnut wedge","ingredients":"200 g walnuts\n3 eggs"}]`,
			"200 g walnuts|3 eggs", "", "", ""},
		{"main entity", `{"@type":"WebPage","mainEntity":{"@type":"Recipe","name":"Walnut wedge","recipeIngredient":"200 g walnuts"}}`, "200 g walnuts", "", "", ""},
		{"sections", `{"@type":"Recipe","name":"Walnut wedge","recipeIngredient":["1 egg"],"recipeInstructions":[
			{"@type":"HowToSection","name":"Filling","itemListElement":[{"@type":"HowToStep","text":"Stir."},{"@type":"HowToStep","text":"Chill."}]},
			{"@type":"HowToSection","name":"Bake","itemListElement":{"@type":"HowToStep","text":"Bake."}}]}`,
			"1 egg", "Filling:|Stir.|Chill.|Bake:|Bake.", "", ""},
		{"quantitative values", `{"@type":"Recipe","name":"Walnut wedge","recipeYield":{"@type":"QuantitativeValue","value":12,"unitText":"pieces"},
			"recipeIngredient":[{"@type":"PropertyValue","name":"walnuts","value":200,"unitText":"g"},{"@type":"PropertyValue","name":"milk","value":"1.5","unitCode":"LTR"}]}`,
			"200 g walnuts|1.5 l milk", "", "12 pieces", ""},
		{"an item list", `{"@type":"Recipe","name":"Walnut wedge","recipeIngredient":{"@type":"ItemList","name":"Base","itemListElement":[{"@type":"ListItem","name":"200 g walnuts"},"3 eggs"]}}`,
			"Base:|200 g walnuts|3 eggs", "", "", ""},
		{"entities and tags", `{"@type":"Recipe","name":"Walnut &amp; honey","recipeIngredient":["&frac12; cup&nbsp;walnuts","1&amp;frac12; tsp salt","<b>3</b> eggs","2 &lt;em&gt;tbsp&lt;/em&gt; oil"],
			"recipeInstructions":"<p>Mix.</p><ol><li>Bake.</li></ol><script>alert(1)</script>"}`,
			"½ cup walnuts|1½ tsp salt|3 eggs|2 tbsp oil", "Mix.|Bake.", "", ""},
		{"references", `{"@graph":[{"@type":"Recipe","name":"Walnut wedge","recipeIngredient":["1 egg"],"recipeInstructions":[{"@id":"#s1"}]},{"@id":"#s1","@type":"HowToStep","text":"Mix."}]}`,
			"1 egg", "Mix.", "", ""},
		{"prefixes and values", `{"@context":{"schema":"http://schema.org/"},"@type":"schema:Recipe","schema:name":{"@value":"Walnut wedge","@language":"en"},"schema:recipeIngredient":{"@list":["1 egg","2 pears"]}}`,
			"1 egg|2 pears", "", "", ""},
		{"bare line breaks", "{\"@type\":\"Recipe\",\"name\":\"Walnut wedge\",\"recipeIngredient\":[\"1 egg\"],\"recipeInstructions\":\"Mix.\nBake.\tWell.\"}", "1 egg", "Mix.|Bake. Well.", "", ""},
		{"a duration that is none", `{"@type":"Recipe","name":"Walnut wedge","recipeIngredient":["1 egg"],"prepTime":"half an hour","cookTime":"PT0M"}`, "1 egg", "", "", "Preparation: half an hour|Cooking: PT0M"},
		{"figures", `{"@type":"Recipe","name":"Walnut wedge","recipeYield":8,"recipeIngredient":["1 egg"]}`, "1 egg", "", "8", ""},
	} {
		found, err := intake.Recipes([]byte(c.in))
		if err != nil || len(found) != 1 {
			t.Errorf("%s: %d recipes, %v", c.name, len(found), err)
			continue
		}
		s := found[0]
		if !strings.HasPrefix(s.Name, "Walnut ") {
			t.Errorf("%s: name %q", c.name, s.Name)
		}
		for what, pair := range map[string][2]string{
			"lines": {strings.Join(s.Lines, "|"), c.lines}, "steps": {strings.Join(s.Steps, "|"), c.steps},
			"yield": {s.Yield, c.yield}, "times": {strings.Join(s.Times, "|"), c.times},
		} {
			if pair[0] != pair[1] {
				t.Errorf("%s: %s = %q, want %q", c.name, what, pair[0], pair[1])
			}
		}
	}
}

func TestPage(t *testing.T) {
	page := `<!doctype html><html lang="de-CH"><head><script>var x = "<script type='application/ld+json'>";</script>
<script type="application/ld+json">{"@type":"BreadcrumbList"}</script>
<script type="application/ld+json; charset=utf-8">{ broken</script>
<SCRIPT TYPE='application/LD+JSON'>
//<![CDATA[
{"@type":"Recipe","name":"Nusswürfel","recipeIngredient":["200 g Nüsse"]}
//]]>
</SCRIPT>
<script type="application/ld+json">[{"@type":"Recipe","name":"Nusswürfel","recipeIngredient":["200 g Nüsse"]},{"@type":"Recipe","name":"Guss","inLanguage":"fr","recipeIngredient":["1 œuf"]}]</script>
</head><body><p>3 eggs</p></body></html>`
	found, err := intake.Recipes([]byte(page))
	if err != nil || len(found) != 2 {
		t.Fatalf("%d recipes, %v", len(found), err)
	}
	if found[0].Name != "Nusswürfel" || found[0].Language != "de-CH" || found[1].Language != "fr" {
		t.Errorf("found %+v", found)
	}
	if len(found[0].Faults) != 1 || !strings.Contains(found[0].Faults[0], "script 2") {
		t.Errorf("faults %q, want the broken script named", found[0].Faults)
	}
	latin := "<html><head><meta charset=\"iso-8859-1\"><script type=\"application/ld+json\">{\"@type\":\"Recipe\",\"name\":\"N\xfcsse\",\"recipeIngredient\":[\"1 Ei\"]}</script></head></html>"
	if found, err = intake.Recipes([]byte(latin)); err != nil || found[0].Name != "Nüsse" {
		t.Errorf("an ISO 8859-1 page: %+v, %v", found, err)
	}
}

func TestRecipeText(t *testing.T) {
	for name, in := range map[string]string{"utf-8": "\xef\xbb\xbfWedge\n\n200 g walnuts\n3 œufs", "utf-16": utf16le("Wedge\n\n200 g walnuts\n3 œufs"), "windows-1252": "Wedge\r\n\r\n200 g walnuts\r\n3 \x9cufs"} {
		found, err := intake.Recipes([]byte(in))
		if err != nil || len(found) != 1 || found[0].Name != "Wedge" || strings.Join(found[0].Lines, "|") != "200 g walnuts|3 œufs" {
			t.Errorf("%s: %+v, %v", name, found, err)
		}
	}
}

func utf16le(s string) string {
	b := []byte{0xff, 0xfe}
	for _, r := range s {
		b = append(b, byte(r), byte(r>>8))
	}
	return string(b)
}

// What is refused says what it is and what to do instead.
func TestRecipesRefused(t *testing.T) {
	for in, part := range map[string]string{
		"":                               "empty",
		" \n ":                           "empty",
		"%PDF-1.7":                       "PDF",
		"PK\x03\x04":                     "office document",
		`{"@type":"Product","name":"x"}`: "no schema.org Recipe",
		`{"@type":"Recipe"`:              "ends in the middle",
		`{"@type":"Recipe"} trailing`:    "follows after its end",
		`{"@type" "Recipe"}`:             "no JSON",
		"<html><p>2 eggs</p></html>":     "holds no schema.org Recipe",
		"<html><script type=application/ld+json>{</script></html>":                   "ends in the middle",
		`<html><script type="application/ld+json">{"@type":"Event"}</script></html>`: "no schema.org Recipe in it",
		"We went to the sea. It was a long day and nobody baked.":                    "",
	} {
		found, err := intake.Recipes([]byte(in))
		if part == "" {
			continue
		}
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("Recipes(%.40q) = %+v, %v, want an error about %q", in, found, err, part)
		}
	}
}

// Files that mean harm are refused or bounded, and quickly.
func TestHostileRecipes(t *testing.T) {
	for name, in := range map[string]string{
		"deep lists":       strings.Repeat("[", 1_000_000),
		"deep objects":     strings.Repeat(`{"a":`, 500_000) + "1" + strings.Repeat("}", 500_000),
		"deep tags":        strings.Repeat("<div>", 1_000_000),
		"many scripts":     strings.Repeat(`<script type="application/ld+json">{"@type":"Recipe","name":"a","recipeIngredient":["1 egg"]}</script>`, 5000),
		"many values":      `{"@type":"ItemList","itemListElement":[` + strings.Repeat("1,", 300_000) + `1]}`,
		"many recipes":     `[` + strings.Repeat(`{"@type":"Recipe","name":"a"},`, 20_000) + `1]`,
		"many lines":       `{"@type":"Recipe","name":"a","recipeIngredient":[` + strings.Repeat(`"1 egg",`, 100_000) + `"1 egg"]}`,
		"a loop of ids":    `{"@graph":[{"@type":"Recipe","name":"a","recipeIngredient":{"@id":"#x"}},{"@id":"#x","item":{"@id":"#x"}},{"@id":"#x","itemListElement":[{"@id":"#x"},{"@id":"#x"}]}]}`,
		"an unclosed tag":  `<script type="application/ld+json">` + strings.Repeat("a", 1_000_000),
		"a huge attribute": `<html lang="` + strings.Repeat("x", 1_000_000) + `">`,
		"a huge number":    `{"@type":"Recipe","name":"a","recipeYield":1e999999999,"recipeIngredient":["1e999999 g salt"]}`,
		"one long line":    "Cake\n1 egg\n" + strings.Repeat("a", 4_000_000),
		"too large":        strings.Repeat("a", intake.MaxRecipe+1),
	} {
		begun := time.Now()
		found, err := intake.Recipes([]byte(in))
		if took := time.Since(begun); took > 10*time.Second {
			t.Errorf("%s took %s", name, took)
		}
		for _, s := range found {
			if len(s.Lines) > recipe.MaxLines || len(s.Steps) > recipe.MaxSteps || len(s.Name) > 1000 {
				t.Errorf("%s: %d lines, %d steps, %v", name, len(s.Lines), len(s.Steps), err)
			}
		}
		if len(found) > 200 {
			t.Errorf("%s: %d recipes", name, len(found))
		}
	}
}

func FuzzRecipes(f *testing.F) {
	f.Add([]byte(`{"@type":"Recipe","recipeIngredient":["1 egg"]}`))
	f.Add([]byte(`<script type="application/ld+json">[{"@graph":{"@type":"Recipe"}}]</script>`))
	f.Add([]byte("Cake\n2 eggs\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		found, err := intake.Recipes(data)
		if err == nil && len(found) == 0 {
			t.Errorf("Recipes(%q) found nothing and no error", data)
		}
	})
}
