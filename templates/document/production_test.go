package document

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
)

const bench = `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "locale": "en-IE", "currency": "EUR", "target": {"markup": "0 %"}},
"roles": [{"id": "baker", "name": "Baker", "wage": []}, {"id": "finisher", "name": "Finisher", "wage": []}], "equipment": [{"id": "oven", "name": "Oven"}],
"ingredients": [{"id": "sugar", "name": "Sugar", "measure": "mass", "density": "0.8 g/ml", "prices": []},
 {"id": "egg", "name": "Egg", "measure": "count", "parts": [{"id": "yolk", "name": "Egg yolk", "mass": "17 g"}, {"id": "white", "name": "Egg white", "mass": "33 g"}], "prices": []},
 {"id": "salt", "name": "Salt", "measure": "mass", "prices": []}],
"components": [
 {"id": "caramel", "name": "Caramel", "kind": "sugar work", "yield": "500 g", "lines": [{"use": "sugar", "qty": "450 g"}], "tasks": [{"task": "cook", "role": "baker", "setup": "30 min"}]},
 {"id": "mousse", "name": "Mousse", "yield": "1.2 kg", "keeps": "2 day", "flags": ["raw-egg"], "method": "Fold.\nSet.",
  "lines": [{"use": "caramel", "qty": "500 g"}, {"use": "egg", "qty": "6 each", "note": "pasteurised"}, {"use": "salt", "qty": "0.06 g"}, {"use": "sugar", "qty": "40 g"}],
  "tasks": [{"task": "fold", "role": "baker", "setup": "40 min"}, {"task": "set", "wait": "6 h"}], "equipment": [{"use": "oven", "setup": "10 min", "per": "batch"}]}],
"cakes": [{"id": "cake", "name": "Cake", "tiers": [{"name": "bottom", "shape": "round", "diameter": "20 cm", "height": "8 cm", "portions": 12, "parts": [{"use": "mousse", "qty": "900 g"}],
 "tasks": [{"task": "fill", "role": "finisher", "setup": "150 min"}]}]}]}`

// Hand-over Friday 8:00. The finisher has 2 h a day: 150 min of filling are from
// 16:00 on Thursday and, for the rest, from 17:30 on Wednesday; the mousse sets
// for 6 h from 11:30, is folded at 10:50, the caramel cooked at 10:20. 900 g of mousse are 3/4 of the
// recipe: 375 g of caramel, 4.5 eggs of 50 g, 0.045 g of salt, 30 g of sugar or
// 37.5 ml, 2 1/2 tbsp; the caramel 337.5 g of sugar, 421.875 ml, 1.69 cups.
func TestFromPlan(t *testing.T) {
	b, err := book.Parse([]byte(bench))
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	c := schedule.Usual()
	c.Roles = map[book.ID]schedule.Hours{"finisher": schedule.EveryDay(120), "baker": schedule.EveryDay(480)}
	orders := []schedule.Order{{Ref: "2026-0007", Label: "Cake", Event: day.Must("2026-06-12"), Cakes: []quote.CakeWanted{{Cake: "cake", Quantity: 1}}}}
	p, err := schedule.Make(x, c, orders, day.Must("2026-06-11"))
	if err != nil {
		t.Fatal(err)
	}
	cards, err := schedule.Cards(x, p)
	if err != nil {
		t.Fatal(err)
	}
	d := FromPlan(p, cards, x.Book.Studio, EnglishProduction(), day.Must("2026-06-08"), day.Must("2026-06-12"), true)
	if got := productionText(d); got != strings.TrimLeft(wallPlan, "\n") {
		t.Errorf("the wall plan is\n%s\nwant\n%s", got, wallPlan)
	}
	d = FromPlan(p, cards, x.Book.Studio, EnglishProduction(), day.Must("2026-07-01"), day.Must("2026-07-03"), false)
	if d.Empty == "" || len(d.Days)+len(d.Cards)+len(d.Deadlines.Rows) > 0 {
		t.Errorf("days without work give %+v", d)
	}
}

const wallPlan = `
Production plan, 8 June 2026 to 12 June 2026, Production plan, 2026-06-08 to 2026-06-12, Test kitchen
# Wednesday, 10 June 2026
10:20 | Caramel: cook | 1 batch of 375 g | Baker | 30 min | 2026-0007 | false
10:50 | Mousse: fold | 1 batch of 900 g; Oven 10 min | Baker | 40 min | 2026-0007 | false
11:30 | Mousse: set, until 17:30 |  |  |  | 2026-0007 | true
17:30 | Cake, bottom: fill (part 1 of 2) |  | Finisher | 30 min | 2026-0007 | false
Baker: 1 h 10 min of 8 h taken false
Finisher: 30 min of 2 h taken false
# Thursday, 11 June 2026
16:00 | Cake, bottom: fill (part 2 of 2) |  | Finisher | 2 h | 2026-0007 | false
Finisher: 2 h of 2 h taken false
2026-0007, Cake | hand-over 08:00 on Friday, 12 June 2026 | start by 10:20 on Wednesday, 10 June 2026 | begins 10:20 on Wednesday, 10 June 2026
- 2026-0007: had to be begun on Wednesday, 10 June 2026, before the first day of this plan.
- No keeping time is stated for: Caramel. They are made for each hand-over alone; state how long they keep in the recipe, and check these days by hand.
- Keeping times are those of the studio's own recipes, counted to the hand-over. The labels of what you buy, your local food code and the advice of your food safety officer go before this plan. When in doubt, throw it out.
- A keeping time counts only for food held as its recipe says. Food that needs the cold is usually held at or below 5 °C (41 °F); some places allow 8 °C. Time at room temperature while you work counts against it.
# Caramel, Wednesday, 10 June 2026 | 1 batch of 375 g | Steps: cook | [] | [] | 2026-0007
338 g Sugar (about 1¾ cup) 
! Hot sugar sticks and burns deeply. Long 
# Mousse, Wednesday, 10 June 2026 | 1 batch of 900 g | Steps: fold; set | ["Fold." "Set."] | ["keeps 2 days" "use up by 17:30 on Friday, 12 June 2026"] | 2026-0007
375 g Caramel () 
225 g Egg (4.5 pieces) pasteurised
0.05 g Salt () 
30 g Sugar (about 2½ tbsp) 
! Holds egg that is raw or only lightly co
`

func productionText(d Production) string {
	var s strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&s, format+"\n", args...) }
	p("%s, %s, %s", d.Heading, d.Span, d.Title)
	for _, day := range d.Days {
		p("# %s", day.Heading)
		for _, r := range day.Rows {
			p("%s | %s | %s | %s | %s | %s | %v", r.Time, r.What, r.Note, r.Who, r.Minutes, r.Orders, r.Wait)
		}
		for _, l := range day.Loads {
			p("%s %v", l.Text, l.Over)
		}
	}
	for _, o := range d.Deadlines.Rows {
		p("%s | %s | %s | %s", o.Name, o.HandOver, o.StartBy, o.Begins)
	}
	for _, line := range slices.Concat(d.Clashes.Lines, d.Notes.Lines) {
		p("- %s", line)
	}
	for _, c := range d.Cards {
		p("# %s | %s | %s | %q | %q | %s", c.Title, c.Batches, c.Steps, c.Method, c.Facts, c.Orders)
		for _, l := range c.Lines {
			p("%s %s (%s) %s", l.Amount, l.Name, l.Beside, l.Note)
		}
		for _, caution := range c.Cautions {
			p("! %.40s", caution)
		}
	}
	return strings.NewReplacer("\u00a0", " ", `\u00a0`, " ").Replace(s.String())
}

// A quote asks for the room on a date.
func TestTaken(t *testing.T) {
	room := schedule.Room{Of: schedule.Named{ID: "decorator", Name: "Decorator"}, Taken: 660, Capacity: 840, Limited: true}
	if got := EnglishProduction().Taken(room); got != "Decorator: 11 h of 14 h taken" {
		t.Errorf("Taken(%+v) = %q", room, got)
	}
}
