package pdf_test

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
	"marchpane/seed"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
)

// kitchenBook has a component of each sort that a wall plan and a card tell of.
const kitchenBook = `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "locale": "en-IE", "currency": "EUR", "target": {"markup": "0 %"}},
"roles": [{"id": "baker", "name": "Baker", "wage": []}, {"id": "finisher", "name": "Finisher", "wage": []}], "equipment": [{"id": "oven", "name": "Oven"}],
"ingredients": [{"id": "sugar", "name": "Sugar", "measure": "mass", "density": "0.8 g/ml", "prices": []}, {"id": "flour", "name": "Flour", "measure": "mass", "prices": []},
 {"id": "egg", "name": "Egg", "measure": "count", "parts": [{"id": "yolk", "name": "Egg yolk", "mass": "17 g"}, {"id": "white", "name": "Egg white", "mass": "33 g"}], "prices": []}],
"components": [
 {"id": "sponge", "name": "Sponge", "yield": "1 kg", "keeps": "4 day", "batch_max": "1 kg", "method": "Whisk eggs and sugar until pale.\nFold in the flour; bake at 180 °C.",
  "lines": [{"use": "egg", "qty": "8 each"}, {"use": "sugar", "qty": "250 g"}, {"use": "flour", "qty": "250 g", "note": "sifted"}],
  "tasks": [{"task": "whisk and fold", "role": "baker", "setup": "20 min", "rate": "5 min", "per": "kg"}, {"task": "bake and cool", "wait": "3 h"}],
  "equipment": [{"use": "oven", "setup": "40 min", "per": "batch"}]},
 {"id": "caramel", "name": "Caramel", "yield": "500 g", "keeps": "14 day", "lines": [{"use": "sugar", "qty": "450 g"}], "tasks": [{"task": "cook", "role": "baker", "setup": "30 min"}]},
 {"id": "mousse", "name": "Mousse", "yield": "1.2 kg", "keeps": "2 day", "flags": ["raw-egg"], "method": "Fold.\nSet.",
  "lines": [{"use": "caramel", "qty": "500 g"}, {"use": "egg", "qty": "6 each"}], "tasks": [{"task": "fold", "role": "baker", "setup": "40 min"}, {"task": "set", "wait": "6 h"}]}],
"cakes": [{"id": "cake", "name": "Caramel cake", "tiers": [{"name": "bottom", "shape": "round", "diameter": "20 cm", "height": "8 cm", "portions": 12,
  "parts": [{"use": "mousse", "qty": "900 g"}, {"use": "sponge", "qty": "1.5 kg"}], "tasks": [{"task": "fill", "role": "finisher", "setup": "150 min"}, {"task": "coat", "role": "finisher", "setup": "40 min"}]}],
  "tasks": [{"task": "box", "role": "finisher", "setup": "15 min"}]}]}`

// kitchenPlan plans so many orders of a cake, a day apart, hands limited.
func kitchenPlan(t testing.TB, text string, cake book.ID, n int, hours int) document.Production {
	t.Helper()
	b, err := book.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	c := schedule.Usual()
	c.Roles = map[book.ID]schedule.Hours{}
	for _, r := range b.Roles {
		c.Roles[r.ID] = schedule.EveryDay(hours * 60)
	}
	first := day.Must("2027-06-11")
	var orders []schedule.Order
	for i := range n {
		orders = append(orders, schedule.Order{Ref: fmt.Sprintf("2027-%04d", i+1), Label: "Cake of " + b.Studio.Name, Event: first.AddDays(i % 9),
			Cakes: []quote.CakeWanted{{Cake: cake, Quantity: 1 + i%2}}})
	}
	p, err := schedule.Make(x, c, orders, first.AddDays(-4))
	if err != nil {
		t.Fatal(err)
	}
	cards, err := schedule.Cards(x, p)
	if err != nil {
		t.Fatal(err)
	}
	from, to := first, first
	if len(p.Items) > 0 {
		from, to = p.Items[0].Start.Day, p.Items[len(p.Items)-1].Start.Day
	}
	return document.FromPlan(p, cards, b.Studio, document.EnglishProduction(), from, to, true)
}

func renderPlan(t testing.TB, d document.Production) []byte {
	t.Helper()
	var b bytes.Buffer
	warnings, err := pdf.Production(&b, d)
	if err != nil || len(warnings) > 0 {
		t.Fatal(err, warnings)
	}
	return b.Bytes()
}

// Outside check: qpdf reads the structure, poppler the text and the sizes.
func TestProduction(t *testing.T) {
	for _, c := range []struct {
		paper                document.Paper
		lying, standing, all string
	}{
		{document.A4, "841.89 x 595.28 pts", "595.28 x 841.89 pts", "production.txt"},
		{document.Letter, "792 x 612 pts", "612 x 792 pts", ""},
	} {
		d := kitchenPlan(t, kitchenBook, "cake", 2, 4)
		d.Paper = c.paper
		data := renderPlan(t, d)
		leave(t, "production-"+string(c.paper), data)
		tool(t, data, "qpdf", "--check", "FILE")
		if c.all != "" {
			golden(t, c.all, tool(t, data, "pdftotext", "-layout", "FILE", "-"))
		}
		if !bytes.Equal(data, renderPlan(t, d)) {
			t.Errorf("%s: two papers of one plan differ", c.paper)
		}
		info := tool(t, data, "pdfinfo", "-l", "99", "FILE")
		for _, want := range []string{d.Title, `Page +1 size: +` + c.lying, `Page +2 size: +` + c.standing} {
			if !regexp.MustCompile(want).MatchString(info) {
				t.Errorf("%s: pdfinfo lacks %q:\n%s", c.paper, want, info)
			}
		}
	}
}

// Everything that the plan says stands on its paper, and each job on the wall.
func TestProductionSaysAll(t *testing.T) {
	plans := map[string]document.Production{
		"one":   kitchenPlan(t, kitchenBook, "cake", 1, 8),
		"busy":  kitchenPlan(t, kitchenBook, "cake", 16, 5),
		"short": kitchenPlan(t, kitchenBook, "cake", 6, 1), // nothing fits
	}
	for _, cake := range []book.ID{"wedding-three-tier", "choux-tower"} {
		plans["demo-"+string(cake)] = kitchenPlan(t, string(seed.Studio()), cake, 3, 7)
	}
	for name, d := range plans {
		for _, d.Paper = range []document.Paper{document.A4, document.Letter} {
			data := renderPlan(t, d)
			leave(t, "plan-"+name+"-"+string(d.Paper), data)
			n := lying(t, data)
			wall := bare(tool(t, data, "pdftotext", "-raw", "-l", strconv.Itoa(n), "FILE", "-"))
			rest := bare(tool(t, data, "pdftotext", "-raw", "-f", strconv.Itoa(n+1), "FILE", "-"))
			jobs, rows := 0, 0
			for _, day := range d.Days {
				rows += len(day.Rows)
				for _, lane := range day.Lanes {
					for _, j := range lane.Jobs {
						jobs++
						if !strings.Contains(wall, bare(j.Time+j.Minutes)) {
							t.Errorf("%s, %s: the wall lacks %s, %s", name, d.Paper, j.Time, j.What)
						}
					}
				}
			}
			if got := len(regexp.MustCompile(`\d\d:\d\d(\d+h)?(\d+min)?`).FindAllString(wall, -1)); got < jobs {
				t.Errorf("%s, %s: the wall has %d times, want %d or more", name, d.Paper, got, jobs)
			}
			for _, s := range said(d) {
				if !strings.Contains(rest, bare(s)) {
					t.Errorf("%s, %s: the paper lacks %q", name, d.Paper, s)
				}
			}
			if small, _ := smallest(t, data, 1); small < 7.5 {
				t.Errorf("%s, %s: the wall has type of %.1f pt", name, d.Paper, small)
			}
			tool(t, data, "qpdf", "--check", "FILE")
		}
	}
}

// said lists the texts of the standing pages.
func said(d document.Production) (all []string) {
	for _, day := range d.Days {
		all = append(all, day.Heading)
		for _, l := range day.Loads {
			all = append(all, l.Text)
		}
		for _, r := range day.Rows {
			all = append(all, r.Time, r.Minutes)
		}
	}
	for _, c := range d.Cards {
		all = append(all, c.Batches, c.Steps)
		all = slices.Concat(all, c.Method, c.Facts, c.Cautions)
		for _, l := range c.Lines {
			all = append(all, l.Amount+l.Name)
		}
	}
	for _, o := range d.Deadlines.Rows {
		all = append(all, o.Name, o.HandOver, o.StartBy, o.Begins)
	}
	return slices.Concat(all, d.Clashes.Lines, d.Notes.Lines)
}

// lying counts the leading pages that lie on their side.
func lying(t *testing.T, data []byte) (n int) {
	t.Helper()
	for _, m := range regexp.MustCompile(`Page +\d+ size: +([\d.]+) x ([\d.]+)`).FindAllStringSubmatch(tool(t, data, "pdfinfo", "-l", "9999", "FILE"), -1) {
		w, _ := strconv.ParseFloat(m[1], 64)
		h, _ := strconv.ParseFloat(m[2], 64)
		if w < h {
			break
		}
		n++
	}
	return n
}

// The week of one wedding is one page on the wall, and two cards are a page.
func TestWeekIsOnePage(t *testing.T) {
	d := kitchenPlan(t, string(seed.Studio()), "wedding-three-tier", 1, 7)
	for _, d.Paper = range []document.Paper{document.A4, document.Letter} {
		data := renderPlan(t, d)
		if n := lying(t, data); n != 1 {
			t.Errorf("%s: the wall has %d pages, want 1", d.Paper, n)
		}
		without := d
		without.Cards = nil
		if got, want := pages(data)-pages(renderPlan(t, without)), (len(d.Cards)+1)/2; got != want {
			t.Errorf("%s: %d cards fill %d pages, want %d", d.Paper, len(d.Cards), got, want)
		}
	}
}

func TestEmptyPlan(t *testing.T) {
	d := kitchenPlan(t, kitchenBook, "cake", 0, 7)
	data := renderPlan(t, d)
	if text := tool(t, data, "pdftotext", "-layout", "FILE", "-"); !strings.Contains(text, d.Empty) || pages(data) != 1 {
		t.Errorf("a plan of nothing has %d pages and says\n%s", pages(data), text)
	}
}

// A recipe longer than a page goes on over pages instead of running off one.
func TestLongRecipe(t *testing.T) {
	d := kitchenPlan(t, kitchenBook, "cake", 1, 7)
	words := make([]string, 3000)
	for i := range words {
		words[i] = fmt.Sprintf("w%04d", i)
	}
	d.Cards[0].Method = []string{strings.Join(words, " ")}
	d.Clashes.Lines = []string{strings.Join(words[:900], " ")}
	out := tool(t, renderPlan(t, d), "pdftotext", "-layout", "FILE", "-")
	for i, w := range words {
		if n := strings.Count(out, w); n == 0 || i >= 900 && n != 1 {
			t.Fatalf("%s stands %d times", w, n)
		}
	}
}

func TestAnyPlanPrints(t *testing.T) {
	checked := 0
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOfN(rapid.Rune(), 0, 300, -1), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }))
		s := func(what string) string { return text.Draw(rt, what) }
		some := func(what string) []string { return rapid.SliceOfN(text, 0, 3).Draw(rt, what) }
		d := document.Production{Page: "%d/%d", Title: s("title"), Heading: s("heading"), Studio: s("studio"), Span: s("span"), Empty: s("empty"), More: s("more"),
			Columns:   document.ProductionColumns{Time: s("time"), What: s("what"), Who: s("who"), Minutes: s("minutes"), Orders: s("orders")},
			Deadlines: document.ProductionOrders{Heading: s("deadlines"), Rows: []document.ProductionOrder{{Name: s("name"), HandOver: s("over"), StartBy: s("by"), Begins: s("begins")}}},
			Clashes:   document.Section{Heading: s("clash"), Lines: some("clashes")}, Notes: document.Section{Heading: s("note"), Lines: some("notes")}}
		for range rapid.IntRange(0, 3).Draw(rt, "days") {
			day := document.ProductionDay{Heading: s("day")}
			for range rapid.IntRange(0, 3).Draw(rt, "lanes") {
				lane := document.ProductionLane{Who: s("who"), Load: document.ProductionLoad{Text: s("load"), Over: true}}
				for range rapid.IntRange(0, 3).Draw(rt, "jobs") {
					lane.Jobs = append(lane.Jobs, document.ProductionJob{Time: s("time"), What: s("what"), Tier: s("tier"), How: s("how"), Minutes: s("minutes"), Cautions: some("cautions"), Orders: s("orders")})
				}
				day.Lanes = append(day.Lanes, lane)
				day.Loads = append(day.Loads, lane.Load)
				day.Rows = append(day.Rows, document.ProductionRow{Time: s("time"), What: s("what"), Note: s("note"), Who: s("who"), Minutes: s("minutes"), Orders: s("orders")})
			}
			d.Days = append(d.Days, day)
		}
		for range rapid.IntRange(0, 3).Draw(rt, "cards") {
			d.Cards = append(d.Cards, document.RecipeCard{Title: s("card"), Batches: s("batches"), Steps: s("steps"), Method: some("method"), Facts: some("facts"), Cautions: some("cautions"), Orders: s("for"),
				Lines: []document.RecipeLine{{Amount: s("amount"), Name: s("of"), Beside: s("beside"), Note: s("note")}}})
		}
		var b bytes.Buffer
		if _, err := pdf.Production(&b, d); err != nil {
			rt.Fatal(err)
		}
		if checked++; checked%25 == 0 {
			tool(t, b.Bytes(), "qpdf", "--check", "FILE")
		}
	})
}
