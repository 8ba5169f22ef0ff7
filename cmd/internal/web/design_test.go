package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"marchpane/pricing/book"
	"marchpane/seed"
)

// TestDraftRoundTrip: every cake and extra of the demo studio, put into boxes
// and read back, is what it was.
func TestDraftRoundTrip(t *testing.T) {
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	items := itemsOf(book.NewIndex(b))
	for _, c := range b.Cakes {
		d := cakeDraft(items, c)
		d = typedDraft(items, form{values: d.Values})
		if got, faults := d.cake(c); len(faults) > 0 || versionOf(got) != versionOf(c) {
			t.Errorf("%s came back as\n%+v, %v, want\n%+v", c.ID, flat(got), faults, flat(c))
		}
	}
	for _, e := range b.Extras {
		if got, faults := extraDraft(items, e).extra(e); len(faults) > 0 || versionOf(got) != versionOf(e) {
			t.Errorf("%s came back as %+v, %v", e.ID, flat(got), faults)
		}
	}
}

// boxesOf returns every box of a page's main form as name and value pairs, as a
// browser would send them.
func boxesOf(body string) []string {
	start := strings.Index(body, `<form id="design"`)
	body = body[start : start+strings.Index(body[start:], "</form>")]
	var pairs []string
	for _, m := range regexp.MustCompile(`<(input|textarea|select)\b[^>]*?name="([^"]*)"[^>]*>`).FindAllStringSubmatchIndex(body, -1) {
		tag, name := body[m[0]:m[1]], unescape(body[m[4]:m[5]])
		value := ""
		switch body[m[2]:m[3]] {
		case "textarea":
			value = body[m[1] : m[1]+strings.Index(body[m[1]:], "</textarea>")]
		case "select":
			options := body[m[1] : m[1]+strings.Index(body[m[1]:], "</select>")]
			if v := regexp.MustCompile(`value="([^"]*)" selected`).FindStringSubmatch(options); v != nil {
				value = v[1]
			}
		default:
			if strings.Contains(tag, "checkbox") && !strings.Contains(tag, " checked") {
				continue
			}
			if v := regexp.MustCompile(`\bvalue="([^"]*)"`).FindStringSubmatch(tag); v != nil {
				value = v[1]
			}
		}
		pairs = append(pairs, name, unescape(value))
	}
	return pairs
}

func unescape(text string) string {
	return strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&amp;", "&", "&lt;", "<", "&gt;", ">", "&#43;", "+").Replace(text)
}

func with(pairs []string, name, value string) []string {
	list := append([]string(nil), pairs...)
	for i := 0; i+1 < len(list); i += 2 {
		if list[i] == name {
			list[i+1] = value
			return list
		}
	}
	return append(list, name, value)
}

// TestEditCake: what is not touched stays; a larger tier costs more; faults
// stand beside their boxes; rows and tiers come and go without script.
func TestEditCake(t *testing.T) {
	v := visitStudio(t, true)
	at := "/cakes/wedding-three-tier"
	stored := func() book.Cake {
		b, err := v.store.Book(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		c, err := cakes.find(b, "wedding-three-tier")
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	before := stored()
	page := v.get(at + "/edit")
	boxes := boxesOf(page.body)
	if a := v.post(at, boxes...); a.status != http.StatusOK || versionOf(stored()) != versionOf(before) {
		t.Fatalf("saved as it was: %d, and it is\n%v, want\n%v", a.status, flat(stored()), flat(before))
	}

	// The panel as it is, and with a larger tier.
	small, large := v.post(at+"/preview", boxes...), v.post(at+"/preview", with(boxes, "tiers[0].diameter", "36 cm")...)
	small.has(t, "Costs", "Margin", "€1,250.00")
	if figure(small.body, "Costs") == figure(large.body, "Costs") || !strings.Contains(large.body, "<svg") {
		t.Errorf("a larger tier costs %q as the smaller does, or is not drawn", figure(large.body, "Costs"))
	}
	v.post(at+"/preview", with(boxes, "tiers[0].diameter", "3 kg")...).has(t, "There is no cost yet", "Tier 1, across", `href="#f-tiers[0].diameter"`)

	// Faults stand beside their boxes, and nothing is saved.
	for box, typed := range map[string]string{
		"tiers[0].parts[0].amount": "3 x", "tiers[0].parts[1].use": "unicorn dust", "tiers[1].height": "-4 cm", "target.value": "x", "price": "12.345.6",
		"tiers[2].parts[0].how": "nonsense",
	} {
		list := with(boxes, box, typed)
		if box == "target.value" {
			list = with(list, "target.kind", "margin")
		}
		a := v.post(at, list...)
		if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-`+box+`-fault"`) {
			t.Errorf("%s = %q: %d, without a fault beside it: %s", box, typed, a.status, plainText(a.body))
		}
	}
	if versionOf(stored()) != versionOf(before) {
		t.Error("a refused form changed the cake")
	}

	// Another tier on top, moved down, and what was typed is still there.
	typed := with(boxes, "name", `Torte <script>alert(1)</script> 🎂`)
	a := v.post(at+"/edit", append(typed, "do", "copy tiers[2]")...)
	a.has(t, "Tier 4, at the top", `Torte <script>`)
	if strings.Contains(a.body, "<script>alert") {
		t.Error("a name is not escaped")
	}
	a = v.post(at, boxesOf(a.body)...)
	a.has(t, "is saved", "Undo")
	if c := stored(); len(c.Tiers) != 4 || len(c.Tiers[3].Parts) != len(before.Tiers[2].Parts) {
		t.Errorf("the cake has %d tiers", len(c.Tiers))
	}
	undo := v.post("/undo", "token", a.value(t, "token"))
	undo.has(t, "as it was before")
	if versionOf(stored()) != versionOf(before) {
		t.Error("Undo did not bring the cake back")
	}
	a = v.post(at+"/edit", append(boxes, "do", "more tiers[0].parts")...)
	if n := strings.Count(a.body, `name="tiers[0].parts[`); n != 6*(len(before.Tiers[0].Parts)+4) {
		t.Errorf("more rows: %d boxes", n)
	}
	a = v.post(at+"/edit", append(boxes, "do", "drop tiers[1]")...)
	if strings.Contains(a.body, "tiers[2].name") || !strings.Contains(a.body, "Tier 2, at the top") {
		t.Error("a tier taken out is still there")
	}

	// A form that is out of date.
	v.post(at, with(boxes, "name", "Another name")...)
	if a := v.another().post(at, with(boxes, "name", "A third name")...); a.status != http.StatusConflict {
		t.Errorf("a form that is out of date: %d, want 409", a.status)
	}
}

func figure(body, label string) string {
	m := regexp.MustCompile(`<dt>` + label + `</dt><dd>([^<]*)</dd>`).FindStringSubmatch(body)
	if m == nil {
		return ""
	}
	return m[1]
}

// TestAddCopyAndRemoveCake: a cake is added as a copy, removed, and brought
// back.
func TestAddCopyAndRemoveCake(t *testing.T) {
	v := visitStudio(t, true)
	a := v.post("/cakes/new", boxesOf(v.get("/cakes/new?like=raspberry-heart").body)...)
	a.has(t, "is added", "Undo", ", copy")
	at := a.path
	a = v.post(at + "/remove")
	a.has(t, "was removed", "Undo")
	if v.get(at).status != http.StatusNotFound {
		t.Error("the copy is still there")
	}
	v.post("/undo", "token", a.value(t, "token")).has(t, "is back")
	if v.get(at).status != http.StatusOK {
		t.Error("the copy is not back")
	}
	if a := v.post("/cakes/new", "name", "Nothing in it"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("a cake without tiers or portions: %d, want 422", a.status)
	}
	v.post("/cakes/new", "name", "New", "portions", "12", "parts[0].use", "butter", "parts[0].amount", "250g").has(t, "New is added")
}

// TestListPriceFrom: a list price holds from its day on and not from days gone
// by.
func TestListPriceFrom(t *testing.T) {
	v := visitStudio(t, true)
	at := "/cakes/raspberry-heart"
	if a := v.post(at+"/price", "list_price", "99", "from", "2026-11-01"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("a price of days gone by: %d, want 422", a.status)
	}
	a := v.post(at+"/price", "list_price", "199,50", "from", "2026-11-25")
	a.has(t, "€199.50", "Undo")
	v.post("/undo", "token", a.value(t, "token"))
	if strings.Contains(v.get(at).body, "199.50") {
		t.Error("Undo left the price")
	}
}

// TestExtras: an extra is added, costed and removed.
func TestExtras(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/studio/extras").has(t, "Delivery and set-up", "comes with every quote")
	boxes := boxesOf(v.get("/studio/extras/delivery").body)
	v.post("/studio/extras/delivery/preview", boxes...).has(t, "Costs", "with 20 km driven")
	a := v.post("/studio/extras/delivery", with(boxes, "price", "44")...)
	a.has(t, "is saved", "Undo")
	a = v.post("/studio/extras/new", "name", "Candles", "price", "3", "parts[0].use", "Adhesive label", "parts[0].amount", "1 each")
	if a.status == http.StatusUnprocessableEntity {
		a = v.post("/studio/extras/new", "name", "Candles", "price", "3", "parts[0].use", "label", "parts[0].amount", "1 each")
	}
	a.has(t, "Candles is added")
	v.post("/studio/extras/candles/remove").has(t, "was removed")
}

// TestTiersForGuests: stacks that serve enough, or what is in the way; one of
// them becomes a cake.
func TestTiersForGuests(t *testing.T) {
	v := visitStudio(t, true)
	a := v.get("/cakes/tiers?guests=90")
	a.has(t, "to spare", "Use this one", "Margin")
	if n := strings.Count(a.body, "<svg"); n != stacksShown {
		t.Errorf("%d drawings, want %d", n, stacksShown)
	}
	v.get("/cakes/tiers?guests=9000").has(t, "9000")
	v.get("/cakes/tiers?guests=many").has(t, "no number of guests")
	v.get("/cakes/tiers?guests=140&like=wedding-three-tier&keep_look=yes&any_size=yes").has(t, "Use this one")
	a = v.post("/cakes/tiers", "guests", "90", "pick", "1", "name", "Ninety")
	a.has(t, "Ninety is a cake of its own now", "Undo")
	if a.path != "/cakes/ninety" {
		t.Errorf("it is at %s", a.path)
	}
}

// TestLiveCake: with script the panel and the ranking follow what is typed.
func TestLiveCake(t *testing.T) {
	ctx := browser(t)
	v := visitStudio(t, true)
	set := func(box, value string) chromedp.Action[chromedp.Void] {
		return until(`(() => { const b = document.querySelector("` + box + `"); b.value = "` + value + `"; b.dispatchEvent(new Event("input", {bubbles: true})); return true })()`)
	}
	cost := `document.querySelector(".tally dd").textContent`
	if err := chromedp.Do(ctx, screen(390, "light"), chromedp.Navigate(v.url+"/cakes/wedding-three-tier/edit"), until(cost+` === "€537.71"`),
		set(`[name='tiers[0].diameter']`, "360 mm"), until(cost+` !== "€537.71" && `+cost+`.startsWith("€")`)); err != nil {
		t.Fatalf("the panel while a size is typed: %v", err)
	}
	// It stays in view however far down one is.
	if err := chromedp.Do(ctx, until(`scrollTo(0, 3000), true`), until(`document.querySelector(".tally").getBoundingClientRect().top === 0`)); err != nil {
		t.Errorf("the panel in view: %v", err)
	}
	if err := chromedp.Do(ctx, until(`document.querySelectorAll("form[data-guard]").forEach(f => f.remove()), true`), chromedp.Navigate(v.url+"/what-if"),
		set(`[aria-label^='Unsalted butter'][type=range]`, "18"), until(`document.querySelector("[name='move.butter']").value === "18"`),
		until(`document.querySelector("#moved h2")?.textContent.includes("+18")`), until(`location.search.includes("move.butter=18")`)); err != nil {
		t.Errorf("the ranking while a slider moves: %v", err)
	}
}
