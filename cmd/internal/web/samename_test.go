package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// TestSecondOfAName adds to the demo studio what it has by that name: the page
// asks back, leads to what is there, and stores nothing; another name goes in.
func TestSecondOfAName(t *testing.T) {
	v := visitStudio(t, true)
	b, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	tin := b.Tins[0]
	shout := func(name string) string { return "  " + strings.ToUpper(strings.ReplaceAll(name, " ", "   ")) }
	bottom := []string{"tiers[0].name", "bottom", "tiers[0].shape", "round", "tiers[0].diameter", "20 cm", "tiers[0].height", "10 cm", "portion.cut", "finger", "portion.width", "25 mm", "portion.depth", "50 mm"}
	for _, c := range []struct {
		what, path, name, leads string
		form                    []string
	}{
		{"ingredient", "/prices/new", b.Ingredients[0].Name, ingredients.at(b.Ingredients[0].ID), []string{"measure", "mass", "kind", "ingredient"}},
		{"recipe", "/recipes/new", b.Components[0].Name, components.at(b.Components[0].ID), []string{"lines", "500 g caster sugar"}},
		{"cake", "/cakes/new", b.Cakes[0].Name, cakes.at(b.Cakes[0].ID), bottom},
		{"extra", "/studio/extras/new", b.Extras[0].Name, extras.at(b.Extras[0].ID), []string{"price", "12"}},
		{"role", "/studio/roles/new", b.Roles[0].Name, roles.at(b.Roles[0].ID), []string{"wage[0].per_hour", "14", "wage[0].from", "2026-11-01"}},
		{"appliance", "/studio/equipment/new", b.Equipment[0].Name, equipment.at(b.Equipment[0].ID), []string{"power", "2 kW"}},
	} {
		a := v.post(c.path, append([]string{"name", shout(c.name)}, c.form...)...)
		if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, "is there already: open it, or give this one a name of its own") || !strings.Contains(a.body, `<a href="`+c.leads+`">Open `) {
			t.Errorf("a second %s %q: %d at %s, and no question", c.what, c.name, a.status, a.path)
		}
		if a = v.post(c.path, append([]string{"name", c.name + " of another sort"}, c.form...)...); a.status != http.StatusOK || a.path == c.path {
			t.Errorf("a %s of another name: %d at %s: %s", c.what, a.status, a.path, plainText(a.body))
		}
	}
	sizes := []string{"shape", string(tin.Shape), "diameter", given(tin.Diameter), "side", given(tin.Side), "length", given(tin.Length), "width", given(tin.Width), "holds", given(tin.Holds), "name", tin.Name.Value}
	if a := v.post("/studio/tins/new", append(sizes, "height", given(tin.Height))...); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `href="`+tins.at(tin.ID)+`"`) {
		t.Errorf("a second %s: %d", tins.name(tin), a.status)
	}
	if a := v.post("/studio/tins/new", append(sizes, "height", "123 mm", "name", "")...); !tin.Name.Given && a.status != http.StatusOK {
		t.Errorf("a tin of another depth: %d %s", a.status, plainText(a.body))
	}
	after, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got, want := len(after.Ingredients)+len(after.Components)+len(after.Cakes)+len(after.Extras)+len(after.Roles)+len(after.Equipment), len(b.Ingredients)+len(b.Components)+len(b.Cakes)+len(b.Extras)+len(b.Roles)+len(b.Equipment)+6; got != want {
		t.Errorf("the book holds %d objects, want %d", got, want)
	}
	// Accents make no other name either, and a line that asks for a new food of a
	// name that is bought takes the one that is.
	if a := v.post("/prices/new", "name", "crème Fraîche du matin", "measure", "mass", "kind", "ingredient"); a.status != http.StatusOK {
		t.Fatalf("a first: %d", a.status)
	}
	if a := v.post("/prices/new", "name", "Creme fraiche du Matin", "measure", "mass", "kind", "ingredient"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("the same without accents: %d", a.status)
	}
}

// TestLineOfWhatIsNotYetBought asks for a new ingredient by the cup, of which
// nobody knows what a cup weighs: the page says so in its own words, and what it
// leads to is there and settles the line.
func TestLineOfWhatIsNotYetBought(t *testing.T) {
	v := visitStudio(t, true)
	const line = "2 cups moon petals"
	form := []string{"name", "Moon syrup", "lines", "500 g caster sugar\n" + line, "yield", "500 g", "pick." + lineKey(line), pickNew}
	a := v.post("/recipes/new/preview", form...)
	for _, jargon := range []string{"add each", "add one in g/ml", "has no density"} {
		if strings.Contains(a.body, jargon) {
			t.Errorf("a page says %q", jargon)
		}
	}
	a.has(t, "What a millilitre of Moon petals weighs is not known", "Add Moon petals")
	for _, link := range regexp.MustCompile(`href="(/[^"]*)"`).FindAllStringSubmatch(a.body, -1) {
		if to := v.get(strings.ReplaceAll(link[1], "&amp;", "&")); to.status != http.StatusOK {
			t.Errorf("%s: %d", link[1], to.status)
		}
	}
	to := v.get("/prices/new?name=Moon+petals&weigh=yes")
	if !strings.Contains(to.body, `value="Moon petals"`) {
		t.Error("the name is not carried over")
	}
	if a := v.post("/prices/new", "name", "Moon petals", "measure", "mass", "kind", "ingredient", "density", "0.2 g/ml"); a.status != http.StatusOK {
		t.Fatalf("adding it: %d", a.status)
	}
	if a = v.post("/recipes/new", form...); a.status != http.StatusOK {
		t.Errorf("with what it weighs: %d %s", a.status, plainText(a.body))
	}
	b, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, ing := range b.Ingredients {
		if ing.Name == "Moon petals" {
			n++
		}
	}
	if n != 1 {
		t.Errorf("%d ingredients are called Moon petals", n)
	}
}
