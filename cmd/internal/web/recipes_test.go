package web

import (
	"bytes"
	"html"
	"mime/multipart"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"marchpane/pricing/book"
)

// filledIn returns every box of a page's form that is sent when nothing is
// changed, with changes.
func (a answer) filledIn(t *testing.T, action string, changes ...string) []string {
	t.Helper()
	_, form, found := strings.Cut(a.body, `action="`+action+`"`)
	if !found {
		t.Fatalf("%s has no form for %s", a.path, action)
	}
	form, _, _ = strings.Cut(form, "</form>")
	values := map[string]string{}
	for _, m := range regexp.MustCompile(`<input([^>]*)>`).FindAllStringSubmatch(form, -1) {
		name, value := attribute(m[1], "name"), attribute(m[1], "value")
		if name == "" || strings.Contains(m[1], `type="checkbox"`) && !strings.Contains(m[1], " checked") {
			continue
		}
		values[name] = value
	}
	for _, m := range regexp.MustCompile(`(?s)<textarea([^>]*)>(.*?)</textarea>`).FindAllStringSubmatch(form, -1) {
		values[attribute(m[1], "name")] = html.UnescapeString(m[2])
	}
	for _, m := range regexp.MustCompile(`(?s)<select([^>]*)>(.*?)</select>`).FindAllStringSubmatch(form, -1) {
		name := attribute(m[1], "name")
		if chosen := regexp.MustCompile(`value="([^"]*)" selected`).FindStringSubmatch(m[2]); chosen != nil {
			values[name] = html.UnescapeString(chosen[1])
		} else if first := regexp.MustCompile(`value="([^"]*)"`).FindStringSubmatch(m[2]); first != nil {
			values[name] = html.UnescapeString(first[1])
		}
	}
	for i := 0; i+1 < len(changes); i += 2 {
		values[changes[i]] = changes[i+1]
	}
	var pairs []string
	for name, value := range values {
		pairs = append(pairs, name, value)
	}
	return pairs
}

func attribute(tag, name string) string {
	if m := regexp.MustCompile(` ` + name + `="([^"]*)"`).FindStringSubmatch(tag); m != nil {
		return html.UnescapeString(m[1])
	}
	return ""
}

func (v *visitor) component(id string) book.Component {
	v.t.Helper()
	b, err := v.store.Book(v.t.Context())
	if err != nil {
		v.t.Fatal(err)
	}
	c, err := components.find(b, book.ID(id))
	if err != nil {
		v.t.Fatalf("%s: %v", id, err)
	}
	return c
}

// Every recipe of the demo studio comes back from its form as it was: nothing is
// lost by being looked at and saved.
func TestRecipesSurviveTheirForm(t *testing.T) {
	v := visitStudio(t, true)
	b, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range b.Components {
		at := components.at(c.ID)
		a := v.get(at)
		if a.status != http.StatusOK {
			t.Fatalf("%s: %d", at, a.status)
		}
		if a = v.post(at, a.filledIn(t, at)...); a.status != http.StatusOK {
			t.Fatalf("saving %s unchanged: %d %s", at, a.status, plainText(a.body))
		}
		if got := v.component(string(c.ID)); versionOf(got) != versionOf(c) {
			t.Errorf("%s was changed by saving it as it was:\n%v\n%v", c.Name, flat(got), flat(c))
		}
	}
}

// The cook's own words: what is sure is taken with its source, the rest asks.
func TestLinesInTheCooksWords(t *testing.T) {
	v := visitStudio(t, true)
	const lines = "250g unsalted butter\n2 cups sifted plain flour\n3 eggs\n0,5 kg Crème pâtissière\n1.8 m Floral tape (green)\na pinch of moon dust"
	a := v.post("/recipes/new/preview", "name", "Trial", "lines", lines, "yield", "1 kg")
	if strings.Contains(a.body, "<html") {
		t.Fatal("a preview is a whole page")
	}
	a.has(t, "To be settled", "moon dust", "1 cup sifted, 115 g", "A batch makes", "A batch costs", "Contains", "left out")

	a = v.post("/recipes/new", "name", "Trial", "lines", lines, "yield", "1 kg")
	if a.status != http.StatusUnprocessableEntity {
		t.Fatalf("lines that ask were saved: %d", a.status)
	}
	a.has(t, "Nothing was saved yet.", "moon dust")
	if got := html.UnescapeString(a.body); !strings.Contains(got, "a pinch of moon dust</textarea>") {
		t.Error("what was typed is gone")
	}
	pairs := a.filledIn(t, "/recipes/new")
	for i := 0; i < len(pairs); i += 2 {
		if strings.HasPrefix(pairs[i], "pick.") {
			pairs[i+1] = firstPick(t, a, pairs[i])
		}
	}
	a = v.post("/recipes/new", pairs...)
	if a.path != "/recipes/trial" {
		t.Fatalf("a settled recipe led to %s: %s", a.path, plainText(a.body))
	}
	c := v.component("trial")
	want := map[book.ID]string{"butter": "250 g", "creme-patissiere": "0.5 kg", "floral-tape": "1.8 m"}
	for _, l := range c.Lines {
		if q := want[l.Use]; q != "" && l.Qty.String() != q {
			t.Errorf("%s = %s, want %s", l.Use, l.Qty, q)
		}
		delete(want, l.Use)
	}
	if len(want) > 0 {
		t.Errorf("the recipe lacks %v: %v", want, c.Lines)
	}
	v.post("/undo", "token", a.value(t, "token")).has(t, "Trial is gone again.")
}

// firstPick is the first answer that a question offers, or to leave the line out.
func firstPick(t *testing.T, a answer, name string) string {
	t.Helper()
	_, rest, found := strings.Cut(a.body, `name="`+name+`"`)
	if !found {
		t.Fatalf("no question %s", name)
	}
	rest, _, _ = strings.Cut(rest, "</select>")
	if strings.Contains(plainText(rest), "moon dust") {
		return pickSkip
	}
	for _, m := range regexp.MustCompile(`value="([^"]+)"`).FindAllStringSubmatch(rest, -1) {
		return m[1]
	}
	return pickSkip
}

// A cycle, a mould beside a density, nonsense in a box: each fault stands where it
// belongs and nothing is changed.
func TestRecipeFaults(t *testing.T) {
	v := visitStudio(t, true)
	before := v.component("sugar-syrup")
	page := v.get("/recipes/sugar-syrup")
	send := func(changes ...string) answer {
		return v.post("/recipes/sugar-syrup", page.filledIn(t, "/recipes/sugar-syrup", changes...)...)
	}
	tests := []struct{ name, box, value, at, says string }{
		{"contains itself", "lines", "500 g Elderflower syrup", "lines", "cannot contain itself"},
		{"no lines", "lines", "", "lines", "at least one line"},
		{"no name", "name", "", "name", ""},
		{"loss beyond all", "loss", "140", "loss", ""},
		{"a mould beside a density", "mould", "round 20 cm x 50 mm", "density", "Cannot stand beside"},
		{"a mould of no shape", "mould", "oval 20 cm", "mould", "no shape"},
		{"minutes that are none", "tasks[0].setup", "soon", "tasks[0].setup", ""},
		{"keeps for a weight", "keeps", "4 kg", "keeps", ""},
	}
	for _, test := range tests {
		a := send(test.box, test.value)
		if a.status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d, want 422", test.name, a.status)
			continue
		}
		if !strings.Contains(a.body, `id="f-`+test.at+`-fault"`) {
			t.Errorf("%s: no fault beside %s: %s", test.name, test.at, plainText(a.body))
		}
		a.has(t, test.says)
	}
	if versionOf(v.component("sugar-syrup")) != versionOf(before) {
		t.Error("a refused form changed the recipe")
	}
	a := send("keeps", "3 weeks")
	if a.status != http.StatusUnprocessableEntity {
		t.Errorf("weeks: %d", a.status)
	}
	a = send("keeps", "12 days", "loss", "4,5", "kind", "Syrup")
	if c := v.component("sugar-syrup"); c.Keeps.String() != "12 day" || c.Loss.Value.String() != "4.5 %" {
		t.Errorf("keeps %s, loss %s; want 12 day, 4.5 %%: %s", c.Keeps, c.Loss.Value, plainText(a.body))
	}
	// The first form is out of date now.
	if a := send("keeps", "2 days"); a.status != http.StatusConflict {
		t.Errorf("a form that is out of date: %d, want 409", a.status)
	}
}

func TestRecipeCopyScaleBakers(t *testing.T) {
	v := visitStudio(t, true)
	a := v.post("/recipes/vanilla-sponge/copy")
	if a.path != "/recipes/vanilla-butter-sponge-copy" {
		t.Fatalf("the copy is at %s", a.path)
	}
	token := a.value(t, "token")
	v.post("/undo", "token", token).has(t, "is gone again")

	// From a tin 20 cm across and 55 mm deep into 24 cm and 75 mm: (24/20)² × 75/55
	// = 1.9636.
	v.get("/recipes/vanilla-sponge/scale?into=round+240+mm+x+75+mm").has(t, "1.964", "442", "watch the depth")
	v.get("/recipes/vanilla-sponge/scale?batches=1,5").has(t, "338", "1.5")
	v.get("/recipes/sugar-rose/scale?amount=30+each").has(t, "30 pieces", "2.5")
	v.get("/recipes/vanilla-sponge/scale?into=cloud").has(t, "starts with no shape")
	v.get("/recipes/vanilla-sponge/scale?batches=none").has(t, "number above 0")

	v.get("/recipes/vanilla-sponge").has(t, "Baker’s percentages", "100.0%", "20.6%")
	none := v.get("/recipes/vanilla-sponge/bakers?bakers=chosen")
	none.has(t, "Nothing counts as flour")
	v.get("/recipes/vanilla-sponge/bakers?bakers=chosen&flour.butter=yes").has(t, "100.0%")
}

func (v *visitor) sendRecipe(path, name, content string, pairs ...string) answer {
	v.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for i := 0; i+1 < len(pairs); i += 2 {
		w.WriteField(pairs[i], pairs[i+1])
	}
	part, err := w.CreateFormFile("file", name)
	if err != nil {
		v.t.Fatal(err)
	}
	part.Write([]byte(content))
	w.Close()
	r, err := http.NewRequest("POST", v.url+path, &b)
	if err != nil {
		v.t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	r.Header.Set("Origin", v.url)
	return v.do(r)
}

// A recipe read in becomes a draft, and what the studio does not buy comes along
// only where that was said.
func TestReadARecipe(t *testing.T) {
	v := visitStudio(t, true)
	const page = `<html><script type="application/ld+json">{"@context": "https://schema.org", "@type": "Recipe", "name": "Hazel <b>loaf</b>",
		"recipeIngredient": ["225 g caster sugar", "150 g buckwheat flour", "3 large eggs", "salt to taste"], "recipeInstructions": "Beat and bake."}</script></html>`
	a := v.sendRecipe("/recipes/read", "page.html", page)
	a.has(t, "This is a draft", "225 g caster sugar", "buckwheat flour", "Beat and bake.")
	pairs := a.filledIn(t, "/recipes/new")
	answers := map[string]string{"buckwheat": pickNew, "salt": pickSkip}
	for i := 0; i < len(pairs); i += 2 {
		if !strings.HasPrefix(pairs[i], "pick.") {
			continue
		}
		pairs[i+1] = firstPick(t, a, pairs[i])
		for word, pick := range answers {
			if pairs[i] == "pick."+lineKey(map[string]string{"buckwheat": "150 g buckwheat flour", "salt": "salt to taste"}[word]) {
				pairs[i+1] = pick
			}
		}
	}
	a = v.post("/recipes/new", pairs...)
	if a.status != http.StatusOK || !strings.HasPrefix(a.path, "/recipes/hazel") {
		t.Fatalf("the draft led to %s: %s", a.path, plainText(a.body))
	}
	a.has(t, "Buckwheat flour", "still without a price")
	if strings.Contains(a.body, "<b>loaf") {
		t.Error("the name is not escaped")
	}
	v.get("/prices/buckwheat-flour").has(t, "no price yet")
	v.post("/undo", "token", a.value(t, "token"))
	if a := v.get("/prices/buckwheat-flour"); a.status != http.StatusNotFound {
		t.Errorf("the ingredient stayed after the undo: %d", a.status)
	}
	for _, content := range []string{"", "%PDF-1.4 nothing", strings.Repeat("<div>", 100)} {
		if a := v.sendRecipe("/recipes/read", "x.html", content); a.status != http.StatusUnprocessableEntity {
			t.Errorf("a file of %.12q: %d, want 422", content, a.status)
		}
	}
	v.sendRecipe("/recipes/read", "", "", "text", "Sponge\n\n100 g butter\n100 g sugar\n\nMix.").has(t, "100 g butter", "Sponge")
}

// What the tables know is shown with its source and taken only where it was.
func TestNewIngredientFromTheTables(t *testing.T) {
	v := visitStudio(t, true)
	v.post("/prices/new/known", "name", "strawberries", "measure", "mass").has(t, "as for strawberries", "NDB", "Source")
	v.post("/prices/new/known", "name", "qqqxyz", "measure", "mass").has(t, "know nothing by this name")
	v.get("/prices/new?name=strawberries").has(t, "NDB")
	a := v.post("/prices/new", "name", "Ripe strawberries", "kind", "ingredient", "measure", "mass", "like", "strawberries")
	if a.status != http.StatusOK || !strings.Contains(a.body, "came from the tables") {
		t.Fatalf("%d %s", a.status, plainText(a.body))
	}
	b, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	ing, err := ingredients.find(b, "ripe-strawberries")
	if err != nil || !ing.TrimYield.Given || !ing.Density.Known() {
		t.Errorf("nothing was filled in: %+v, %v", ing, err)
	}
	v.post("/prices/new", "name", "Plain strawberries", "kind", "ingredient", "measure", "mass", "trim_yield", "91", "like", "strawberries")
	v.post("/prices/new", "name", "Bare strawberries", "kind", "ingredient", "measure", "mass", "like", onlyMine)
	if b, err = v.store.Book(t.Context()); err != nil {
		t.Fatal(err)
	}
	if mine, _ := ingredients.find(b, "plain-strawberries"); mine.TrimYield.Value.String() != "91 %" {
		t.Errorf("the tables went before what was typed: %s", mine.TrimYield.Value)
	}
	if bare, _ := ingredients.find(b, "bare-strawberries"); bare.TrimYield.Given || bare.Density.Known() {
		t.Errorf("the tables were taken unasked: %+v", bare)
	}
}

func TestHostileRecipe(t *testing.T) {
	v := visitStudio(t, true)
	hostile := `<img src=x onerror=alert(1)> ` + strings.Repeat("長い", 60) + " \u202eabc 🎂"
	a := v.post("/recipes/new", "name", hostile, "lines", "100 g Unsalted butter, 82 % fat ("+hostile+")")
	if strings.Contains(a.body, "<img src=x") {
		t.Error("a name is not escaped")
	}
	v.get("/recipes?q=" + escapeQuery(hostile))
}

// The cost follows while someone types, and a question that is answered with the
// keyboard keeps the keyboard.
func TestRecipeLiveInTheBrowser(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	if err := chromedp.Do(ctx, screen(1440, "light"), chromedp.Navigate(v.url+"/recipes/new"),
		chromedp.SendKeys(chromedp.ID("f-lines"), "500 g butter\n200 g almond"), until(`document.querySelectorAll("#reading select").length * document.querySelectorAll("#reading table").length > 0`)); err != nil {
		t.Fatalf("the reading never came: %v", err)
	}
	if err := chromedp.Do(ctx, until(`(() => { const s = document.querySelector("#reading select"); s.focus(); s.selectedIndex = 1; s.dispatchEvent(new Event("input", {bubbles: true})); return true })()`),
		until(`document.querySelectorAll("#reading tbody tr").length === 2`)); err != nil {
		t.Fatalf("the answer settled nothing: %v", err)
	}
	if at, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.activeElement.name`)); err != nil || !strings.HasPrefix(at, "pick.") {
		t.Errorf("the keyboard is at %q after an answer, %v", at, err)
	}
}
