package web

import (
	"bytes"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/risk"
	"marchpane/seed"
)

const wedding = "/cakes/wedding-three-tier"

func demoIndex(t *testing.T) *book.Index {
	t.Helper()
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	return book.NewIndex(b)
}

// TestExplainedFigures: every figure of a cake's page leads to a line that is on
// the page it leads to, from the price to the grams.
func TestExplainedFigures(t *testing.T) {
	v := visitStudio(t, true)
	a := v.get(wedding)
	figures := a.body[strings.Index(a.body, "What it earns"):]
	figures = figures[:strings.Index(figures, "</dl>")]
	links := regexp.MustCompile(`<dt><span class="what"><a href="([^"]+)"`).FindAllStringSubmatch(figures, -1)
	if all := strings.Count(figures, "<dt>"); len(links) != all {
		t.Errorf("%d of %d figures lead to their explanation", len(links), all)
	}
	tables := regexp.MustCompile(`<th scope="row"><span class="v"><a href="([^"]+#[^"]+)"`).FindAllStringSubmatch(a.body, -1)
	if len(tables) < 8 {
		t.Errorf("only %d rows of tiers and classes lead to their explanation", len(tables))
	}
	for _, m := range append(links, tables...) {
		path, line, _ := strings.Cut(unescape(m[1]), "#")
		body := a.body
		if path != "" {
			body = v.get(path).body
		}
		if !strings.Contains(body, `id="`+line+`"`) {
			t.Errorf("%s leads to no line of that page", unescape(m[1]))
		}
	}
	all := v.get(wedding + "?open=all").body
	if tree := all[strings.Index(all, `class="trees"`):]; strings.Contains(tree, "<details") && strings.Count(tree, "<details") != strings.Count(tree, " open>") {
		t.Errorf("%d of %d lines are open", strings.Count(tree, " open>"), strings.Count(tree, "<details"))
	}
	for _, m := range regexp.MustCompile(`href="#(made-\d+)"`).FindAllStringSubmatch(all, -1) {
		if !strings.Contains(all, `id="`+m[1]+`"`) {
			t.Errorf("there is no line %s", m[1])
		}
	}
	v.get(wedding).has(t, "What it earns", "of the price without tax", "your target", "Take care", "Contains")
}

// TestCostsOnAnotherDay: the prices of a day long gone make other figures than
// today's, and a day that is none is refused beside its box.
func TestCostsOnAnotherDay(t *testing.T) {
	v := visitStudio(t, true)
	x := demoIndex(t)
	words := wordsOf(x.Book.Studio)
	for _, on := range []string{"2026-01-15", "2026-11-25"} {
		c, err := pricing.CostCake(x, "wedding-three-tier", pricing.NewRates(x, day.Must(on)))
		if err != nil {
			t.Fatal(err)
		}
		v.get(wedding+"?on="+on).has(t, words.money(c.Cost.Total()))
		v.get("/cakes?on="+on).has(t, words.money(c.Cost.Total()))
	}
	v.get(wedding+"?on=2026-01-15").has(t, "Back to today", wedding+"/cost.xlsx?on=2026-01-15")
	if a := v.get(wedding + "?on=yesterday"); !strings.Contains(a.body, `id="f-asof-on-fault"`) {
		t.Error("a day that is none is not refused")
	}
}

// TestExposurePages: shares and swings are the engine's, the plots can be saved,
// and a step that is none is refused.
func TestExposurePages(t *testing.T) {
	v := visitStudio(t, true)
	x := demoIndex(t)
	words := wordsOf(x.Book.Studio)
	c, err := pricing.CostCake(x, "wedding-three-tier", pricing.NewRates(x, day.Of(testNow)))
	if err != nil {
		t.Fatal(err)
	}
	list, err := pricing.Exposures(c, exact.Frac(1, 5))
	if err != nil {
		t.Fatal(err)
	}
	a := v.get(wedding + "/exposure?step=20")
	for _, e := range list[:10] {
		a.has(t, capital(e.Name), words.money(e.Amount), words.percent(e.Share), "∓"+e.Swing.Mul(exact.Int(100)).Fixed(2)+" points")
	}
	v.get("/what-if/exposure").has(t, "What carries the cost of your cakes", "Cake decorator")
	for _, m := range regexp.MustCompile(`<th scope="row"><span class="v"><a href="([^"]+)"`).FindAllStringSubmatch(a.body, -1) {
		if got := v.get(m[1]); got.status != http.StatusOK {
			t.Errorf("%s = %d", m[1], got.status)
		}
	}
	for path, begin := range map[string]string{
		wedding + "/exposure.svg?step=20": "<svg", wedding + "/exposure.png": "\x89PNG", "/what-if/exposure.svg": "<svg", "/what-if/exposure.png": "\x89PNG",
	} {
		if got := v.get(path); got.status != http.StatusOK || !strings.Contains(got.body[:min(len(got.body), 200)], begin) {
			t.Errorf("%s = %d, %.40q", path, got.status, got.body)
		}
	}
	if a := v.get(wedding + "/exposure?step=x"); !strings.Contains(a.body, `id="f-step-fault"`) {
		t.Error("a step that is none is not refused")
	}
	if a := v.get("/cakes/none/exposure"); a.status != http.StatusNotFound {
		t.Errorf("a cake that is none = %d", a.status)
	}
}

// TestOutlookPages: the figures are the engine's for the same seed, of a quote
// and of a cake; where nothing can be said, none is shown.
func TestOutlookPages(t *testing.T) {
	v := visitStudio(t, true)
	x := demoIndex(t)
	today := day.Of(testNow)
	request, err := quote.ReadRequest(seed.WeddingRequest())
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.Price(x, request)
	if err != nil {
		t.Fatal(err)
	}
	in, err := risk.OfQuote(x, q, today)
	if err != nil {
		t.Fatal(err)
	}
	in.Level, in.Seed = exact.Frac(1, 20), 7
	c, err := pricing.CostCake(x, "wedding-three-tier", pricing.NewRates(x, today))
	if err != nil {
		t.Fatal(err)
	}
	c.Rates = pricing.NewRates(x, day.Must("2027-06-26"))
	cake := risk.OfCake(x, c, today)
	cake.Level, cake.Seed = in.Level, in.Seed
	if !cake.Net.Equal(c.Offer.Net) || cake.Event != day.Must("2027-06-26") || cake.TaxRate.IsZero() {
		t.Errorf("OfCake = net %s, event %s, tax %s", cake.Net.Text(), cake.Event, cake.TaxRate.Text())
	}
	for path, in := range map[string]risk.Input{"/quotes/2026-0001/outlook?level=5&seed=7": in, wedding + "/outlook?event=2027-06-26&level=5&seed=7": cake} {
		o, err := risk.Assess(in)
		if err != nil {
			t.Fatal(err)
		}
		a := v.get(path)
		words := wordsOf(x.Book.Studio)
		for _, row := range risk.RowsIn(o, words.amount, words.day) {
			a.has(t, words.percents(capital(row.Label)), words.percents(row.Figure))
		}
	}
	if a := v.get(wedding + "/outlook?event=2020-01-01&seed=x&level=0"); strings.Count(a.body, `-fault"`) < 3 || strings.Contains(a.body, "On the day") {
		t.Error("what cannot be looked ahead to is not refused")
	}
	v.get("/quotes/2026-0001").has(t, "/quotes/2026-0001/outlook")
}

// TestBillPage: the bill is the engine's, in units that scales show, and the
// cost sheet holds what the engine reckoned.
func TestBillPage(t *testing.T) {
	v := visitStudio(t, true)
	x := demoIndex(t)
	takeoff, err := pricing.TakeCake(x, "wedding-three-tier")
	if err != nil {
		t.Fatal(err)
	}
	a := v.get(wedding + "/bill")
	words := wordsOf(x.Book.Studio)
	rates := pricing.NewRates(x, day.Of(testNow))
	for _, l := range takeoff.Bill {
		a.has(t, capital(rates.Name(l.Resource)), words.taken(l))
	}
	for _, m := range regexp.MustCompile(`<dt><span class="what"><a href="([^"]+)"`).FindAllStringSubmatch(a.body, -1) {
		if got := v.get(m[1]); got.status != http.StatusOK {
			t.Errorf("%s = %d", m[1], got.status)
		}
	}
	file := v.get(wedding + "/cost.xlsx?on=2026-10-05")
	book, err := excelize.OpenReader(bytes.NewReader([]byte(file.body)))
	if err != nil || !strings.Contains(file.header.Get("Content-Disposition"), "wedding-three-tier-cost-2026-10-05.xlsx") {
		t.Fatalf("the cost sheet: %v, %v", err, file.header)
	}
	if len(book.GetSheetList()) < 3 {
		t.Errorf("the cost sheet has the sheets %v", book.GetSheetList())
	}
}

// TestWhatIfMore: a new price for a pack does what the change it comes to does;
// the price at which a cake just meets the floor is the engine's; workbook and
// plots can be saved.
func TestWhatIfMore(t *testing.T) {
	v := visitStudio(t, true)
	x := demoIndex(t)
	words := wordsOf(x.Book.Studio)
	rates := pricing.NewRates(x, day.Of(testNow))
	takeoffs, err := pricing.TakeAll(x)
	if err != nil {
		t.Fatal(err)
	}
	size, err := measure.ParsePack("10 x 250 g")
	if err != nil {
		t.Fatal(err)
	}
	price, err := money.ParsePrice("34.20")
	if err != nil {
		t.Fatal(err)
	}
	impacts, err := pricing.Impacts(x, rates, takeoffs, pricing.Change{Resource: "butter", Pack: &size, Price: price})
	if err != nil {
		t.Fatal(err)
	}
	a := v.get("/what-if?set=butter&set_pack=10+x+250+g&set_price=34,20")
	a.has(t, "€34.20 for 10 x 250 g", "Meets the floor at")
	for _, im := range impacts {
		a.has(t, words.money(im.After), words.money(im.BreakEven.Mul(exact.Int(1000)))+" a kg")
	}
	if !strings.Contains(v.get("/what-if?set=butter&set_pack=10+x+250+g&set_price=34,20&move.butter=3").body, "f-set-fault") {
		t.Error("butter that is changed twice is not refused")
	}
	if !strings.Contains(v.get("/what-if?set=decorator&set_pack=1+h&set_price=24").body, "an hour") {
		t.Error("a wage has no break-even by the hour")
	}
	for ending, begin := range map[string]string{".xlsx": "PK", ".svg": "<svg", ".png": "\x89PNG"} {
		got := v.get("/what-if/impact" + ending + "?move.butter=18&on=2026-10-05")
		if got.status != http.StatusOK || !strings.HasPrefix(got.body, begin) || !strings.Contains(got.header.Get("Content-Disposition"), "what-if-2026-10-05"+ending) {
			t.Errorf("impact%s = %d, %.40q", ending, got.status, got.body)
		}
	}
	if got := v.get("/what-if/impact.xlsx"); got.status != http.StatusBadRequest {
		t.Errorf("a workbook of nothing = %d", got.status)
	}
	was, now := v.get("/what-if?move.butter=18&on=2025-09-01").body, v.get("/what-if?move.butter=18").body
	if was[strings.Index(was, "<caption"):] == now[strings.Index(now, "<caption"):] {
		t.Error("the prices of last year do what today's do")
	}
}

// TestLabels: what a label says is kept, in the words of the book; nothing said
// and nothing in it are two things; tables fill in what is left empty, with undo.
func TestLabels(t *testing.T) {
	v := visitStudio(t, true)
	stored := func(id book.ID) book.Ingredient {
		b, err := v.store.Book(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		ing, err := ingredients.find(b, id)
		if err != nil {
			t.Fatal(err)
		}
		return ing
	}
	before := stored("butter")
	send := func(pairs ...string) answer {
		page := v.get("/prices/butter")
		return v.post("/prices/butter", append([]string{"version", page.versionIn(t, "/prices/butter"), "name", before.Name, "measure", "mass", "density", "0.96 g/ml", "kind", "ingredient", "category", "dairy", "supplier", "Thornfold Dairy"}, pairs...)...)
	}
	send("allergens_said", "yes", "allergen.milk", "contains", "allergen.soy", "may", "flag.alcohol", "yes").has(t, "is saved")
	now := stored("butter")
	if now.Allergens == nil || len(now.Allergens.Contains) != 1 || now.Allergens.Contains[0] != "milk" || len(now.Allergens.MayContain) != 1 || now.Allergens.MayContain[0] != "soy" || len(now.Flags) != 1 || now.Flags[0] != book.Alcohol {
		t.Errorf("the label is kept as %+v, %v", now.Allergens, now.Flags)
	}
	send().has(t, "is saved")
	if again := stored("butter"); again.Allergens == nil || len(again.Flags) != 1 {
		t.Error("a form without those boxes wiped the label")
	}
	offer := func() answer {
		return v.post("/quotes/preview", "client.name", "A. Client", "event.date", "2027-06-12", "count", "0", "lines[0].cake", "wedding-three-tier", "lines[0].quantity", "1")
	}
	send("allergens_said", "yes")
	if text := plainText(offer().body); strings.Contains(text, "No label was looked at") {
		t.Errorf("with every label looked at, the studio is warned: %s", text)
	}
	if none := stored("butter"); none.Allergens == nil || len(none.Allergens.Contains) != 0 || len(none.Flags) != 0 {
		t.Errorf("nothing in it is kept as %+v", none.Allergens)
	}
	send("allergens_said", "")
	if unknown := stored("butter"); unknown.Allergens != nil {
		t.Errorf("nothing said is kept as %+v", unknown.Allergens)
	}
	offer().has(t, "No label was looked at yet for "+before.Name, "the paper says of allergens may lack")

	v.post("/prices/new", "name", "Strawberries", "measure", "mass", "kind", "ingredient", "like", "-").has(t, "What the tables know", "Fill in what is left empty")
	page := v.get("/prices/strawberries")
	fill := page.body[strings.Index(page.body, `action="/prices/strawberries/fill"`):]
	like := regexp.MustCompile(`name="like" value="([^"]+)"`).FindStringSubmatch(fill)
	version := regexp.MustCompile(`name="version" value="([^"]+)"`).FindStringSubmatch(fill)
	if like == nil || version == nil {
		t.Fatalf("the tables offer nothing: %.300s", fill)
	}
	empty := stored("strawberries")
	if a := v.post("/prices/strawberries/fill", "like", like[1], "version", "stale"); a.status != http.StatusConflict {
		t.Errorf("filling in what somebody else changed = %d", a.status)
	}
	a := v.post("/prices/strawberries/fill", "like", like[1], "version", version[1])
	a.has(t, "Filled in from the tables")
	if filled := stored("strawberries"); !filled.TrimYield.Given && filled.Density.IsZero() {
		t.Errorf("nothing was filled in: %+v", filled)
	}
	v.post("/undo", "token", a.value(t, "token"))
	if back := stored("strawberries"); versionOf(back) != versionOf(empty) {
		t.Error("undo leaves what was filled in")
	}
}

// TestPriceHistoryPage: the page looks back between days, and its plot can be
// saved.
func TestPriceHistoryPage(t *testing.T) {
	v := visitStudio(t, true)
	a := v.get("/prices/butter?since=2026-06-01&until=2026-09-30")
	a.has(t, "6 July 2026", "All of them")
	past := a.body[strings.Index(a.body, `id="past"`):]
	if strings.Contains(past[:strings.Index(past, "</table>")], "12 January 2026") {
		t.Error("a price before those days is shown")
	}
	if !strings.Contains(v.get("/prices/butter?since=soon").body, "f-since-fault") {
		t.Error("a day that is none is not refused")
	}
	for ending, begin := range map[string]string{".svg": "<svg", ".png": "\x89PNG"} {
		if got := v.get("/prices/butter/history" + ending); got.status != http.StatusOK || !strings.HasPrefix(got.body, begin) {
			t.Errorf("history%s = %d, %.40q", ending, got.status, got.body)
		}
	}
}

// TestDroppedList: a list that is dropped shows its rows before anybody says
// whose it is; a file that names its supplier says so itself.
func TestDroppedList(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/prices").has(t, "Drop it anywhere on this page")
	list := []byte("Article;Pack;Price\nUnsalted butter, 82 % fat;10 x 250 g;31,20\n")
	a := v.sendFile("/prices/import", "list", "november.csv", list, "supplier", "", "tax", "out")
	a.has(t, "What each row would do", "new price", "Say whose list it is")
	if a.status != http.StatusOK {
		t.Errorf("a dropped list = %d", a.status)
	}
	file := a.value(t, "file")
	if got := v.post("/prices/import/apply", "file", file, "supplier", ""); got.status != http.StatusUnprocessableEntity || got.path != "/prices/import/apply" {
		t.Errorf("the prices of nobody are taken: %d %s", got.status, got.path)
	}
	v.post("/prices/import/apply", "file", file, "supplier", "Thornfold Dairy", "note", "by post", "tax", "out").has(t, "1 price of Thornfold Dairy added")
	v.get("/prices/butter").has(t, "€31.20", "by post")
	if got := v.sendFile("/prices/import", "list", "THORNFOLD-dairy 2026-12.csv", list, "supplier", "").value(t, "supplier"); got != "Thornfold Dairy" {
		t.Errorf("the file of Thornfold Dairy is taken as that of %q", got)
	}
}

// TestTiersMore: limits, cuts and tins of the command line's tiers.
func TestTiersMore(t *testing.T) {
	v := visitStudio(t, true)
	v.get("/cakes/tiers?guests=30&tins=round+150+mm,+round+200+mm+x2,+round+250+mm&show=2&min_tiers=2&keep_top=no").has(t, "Stack 1, 2 tiers", "24 portions", "Stack 2, 2 tiers")
	fingers, wedges := v.get("/cakes/tiers?guests=60&any_size=yes&shape=round&cut=40+mm+x+60+mm").body, v.get("/cakes/tiers?guests=60&any_size=yes&shape=round&wedges=12").body
	if fingers == wedges {
		t.Error("however it is cut, the stacks are the same")
	}
	for _, bad := range []string{"cut=40", "wedges=12&cut=40+mm+x+50+mm", "tins=triangle", "tins=round+150+mm&any_size=yes", "min_tiers=x"} {
		if a := v.get("/cakes/tiers?guests=60&" + bad); !strings.Contains(a.body, `-fault"`) {
			t.Errorf("%s is not refused", bad)
		}
	}
}

// TestTakenInWords: each unit of a bill as scales and clocks show it.
func TestTakenInWords(t *testing.T) {
	words := wordsOf(book.Studio{})
	for _, v := range []struct {
		n    string
		unit string
		want string
	}{
		{"94.66", "g", "94.7 g"}, {"2921.96", "g", "2.922 kg"}, {"999.99", "g", "1,000 g"}, {"1350", "mm", "1.35 m"}, {"1", "each", "1 piece"}, {"35.24", "each", "35.2 pieces"},
		{"419.25", "min", "6.99 h"}, {"41", "min", "41 min"}, {"21.013", "kWh", "21.01 kWh"}, {"3358.99", "cm2", "3,359 cm²"}, {"12000", "cm2", "1.2 m²"}, {"1500", "ml", "1.5 l"},
	} {
		if got := strings.ReplaceAll(words.taken(pricing.BillLine{Quantity: exact.Must(v.n), Unit: v.unit}), "\u00a0", " "); got != v.want {
			t.Errorf("taken(%s %s) = %q, want %q", v.n, v.unit, got, v.want)
		}
	}
}

// Of two options the page says once whose labels nobody looked at, where it is
// issued too; and what is not filled in is asked for, not found fault with.
func TestToldOnce(t *testing.T) {
	v := visitStudio(t, true)
	b, err := v.store.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for i := range b.Ingredients {
		b.Ingredients[i].Allergens = nil
	}
	if _, err := v.store.Edit(t.Context(), "a test", testNow, func(book.Book) (book.Book, error) { return b, nil }); err != nil {
		t.Fatal(err)
	}
	form := []string{"client.name", "Ann", "event.date", "2027-06-12", "event.km", "24", "count", "2", "then", "draft", "options[0].name", "Large", "options[0].lines[0].cake", "wedding-three-tier", "options[0].lines[0].quantity", "2",
		"options[1].name", "Small", "options[1].lines[0].cake", "wedding-three-tier", "options[1].lines[0].quantity", "1"}
	const said = "No label was looked at yet for"
	for what, a := range map[string]answer{"the preview": v.post("/quotes/preview", form...), "the draft": v.post("/quotes/new", form...), "before it is issued": v.get("/quotes/D1/issue")} {
		if n := strings.Count(plainText(a.body), said); n != 1 {
			t.Errorf("%s says %d times %q", what, n, said)
		}
	}
	a := v.post("/prices/new", "name", "Moon salt", "measure", "mass", "kind", "ingredient", "prices[0].price", "3")
	if !strings.Contains(a.body, "Fill this in") || strings.Contains(plainText(a.body), "is not a quantity") {
		t.Errorf("a price without its pack: %d %s", a.status, plainText(a.body))
	}
}
