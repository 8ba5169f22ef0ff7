package schedule_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
)

// The studio of these examples works from 8:00 to 18:00, Monday to Saturday.
// 12 June 2026 is a Friday. Worked by hand.
const (
	tuesday, wednesday, thursday = "2026-06-09", "2026-06-10", "2026-06-11"
	friday, saturday, monday     = "2026-06-12", "2026-06-13", "2026-06-15"
)

const sponge = `{"id": "sponge", "name": "Sponge", "yield": "1 kg", "lines": [{"use": "flour", "qty": "500 g"}], %s
	"tasks": [{"task": "bake", "role": "baker", "setup": "60 min"}, {"task": "cool", "wait": "3 h"}]}`

const tiered = `{"id": "cake", "name": "Cake", "tiers": [{"name": "tier", "shape": "round", "diameter": "20 cm", "height": "10 cm", "portions": 20,
	"parts": [{"use": "sponge", "qty": "800 g"}],
	"tasks": [{"task": "coat", "role": "finisher", "setup": "90 min"}, {"task": "chill", "wait": "%s"}]}],
	"tasks": [{"task": "finish", "role": "finisher", "setup": "30 min"}]}`

func orders(cake book.ID, events ...string) []schedule.Order {
	var list []schedule.Order
	for i, event := range events {
		list = append(list, schedule.Order{
			Ref: fmt.Sprintf("2026-%04d", i+1), Event: day.Must(event), Cakes: []quote.CakeWanted{{Cake: cake, Quantity: 1}},
		})
	}
	return list
}

func plan(t *testing.T, x *book.Index, c schedule.Capacity, orders []schedule.Order) schedule.Plan {
	t.Helper()
	p, err := schedule.Make(x, c, orders, day.Date{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func wantText(t *testing.T, what string, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\n%s\nwant\n%s", what, strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func items(p schedule.Plan) []string {
	var list []string
	for _, it := range p.Items {
		list = append(list, fmt.Sprintf("%s–%02d:%02d %s %s", it.Start, it.End.Minute/60, it.End.Minute%60, it.Task, it.Role.ID))
	}
	return list
}

func clashes(p schedule.Plan) []string {
	var list []string
	for _, c := range p.Clashes {
		list = append(list, fmt.Sprintf("%s %s %s %d of %d %v", c.Trouble, c.Day, c.Of.ID, c.Minutes, c.Capacity, c.Orders))
	}
	return list
}

func makings(p schedule.Plan) []string {
	var list []string
	for _, m := range p.Makings {
		list = append(list, fmt.Sprintf("%s %s %d × %s %s %v", m.Start.Day, m.Component.ID, m.Batches, m.PerBatch().Text(), m.Unit, m.Orders))
	}
	return list
}

// Hand-over Friday 8:00, so all is done on Thursday: finished 17:30 to 18:00,
// chilled for 2 h before, coated for 90 min before, the sponge cooled for 3 h
// before that. It keeps 4 days from Thursday 14:00.
func TestBackwardsFromTheHandOver(t *testing.T) {
	x := kitchen(t, fmt.Sprintf(sponge, `"keeps": "4 day",`), fmt.Sprintf(tiered, "2 h"))
	p := plan(t, x, schedule.Usual(), orders("cake", friday))
	wantText(t, "items", items(p),
		"2026-06-11 10:00–11:00 bake baker", "2026-06-11 11:00–14:00 cool ", "2026-06-11 14:00–15:30 coat finisher",
		"2026-06-11 15:30–17:30 chill ", "2026-06-11 17:30–18:00 finish finisher")
	wantText(t, "clashes", clashes(p))
	m, o := p.Makings[0], p.Orders[0]
	if m.KeptFrom.String() != "2026-06-11 14:00" || m.GoodUntil.String() != "2026-06-15 14:00" || o.StartBy.String() != "2026-06-11 10:00" || o.Done.String() != "2026-06-11 18:00" {
		t.Errorf("kept from %s, good until %s, start by %s, done %s", m.KeptFrom, m.GoodUntil, o.StartBy, o.Done)
	}
}

// With the way of 30 km at 2 min before a hand-over at 11:00, the cake leaves
// at 10:00 on Friday and is finished just before.
func TestTheWayToTheHandOver(t *testing.T) {
	x := kitchen(t, fmt.Sprintf(sponge, `"keeps": "4 day",`), fmt.Sprintf(tiered, "2 h"))
	list := orders("cake", friday)
	list[0].HandOver, list[0].Km = schedule.At(day.Must(friday), 11, 0), exact.Int(30)
	list[0].Extras = []quote.ExtraWanted{{Extra: "stand", Quantity: 2}, {Extra: "delivery", Quantity: 1}}
	p := plan(t, x, schedule.Usual(), list)
	wantText(t, "items", items(p)[2:],
		"2026-06-11 16:30–18:00 coat finisher", "2026-06-11 18:00–20:00 chill ", "2026-06-12 09:30–10:00 finish finisher",
		"2026-06-12 09:30–10:00 clean baker", "2026-06-12 10:00–11:00 drive baker")
}

// A baker with an hour a day bakes for one order on Thursday. The other sponge
// keeps 4 days and moves to Wednesday; one that keeps 20 hours until
// 8:00 on Friday must have cooled on Thursday at 12:00 or later, so it is begun
// at 8:00 on Thursday at the earliest: 60 minutes over. They share no making: the batches hold
// one cake.
func TestAFullDayMovesWorkEarlier(t *testing.T) {
	c := schedule.Usual()
	c.Roles = map[book.ID]schedule.Hours{"baker": schedule.EveryDay(60)}
	x := kitchen(t, fmt.Sprintf(sponge, `"batch_max": "1 kg", "keeps": "4 day",`), fmt.Sprintf(tiered, "2 h"))
	p := plan(t, x, c, orders("cake", friday, friday))
	wantText(t, "makings", makings(p), "2026-06-10 sponge 1 × 800 g [2026-0002]", "2026-06-11 sponge 1 × 800 g [2026-0001]")
	wantText(t, "clashes", clashes(p))

	x = kitchen(t, fmt.Sprintf(sponge, `"batch_max": "1 kg", "keeps": "20 h",`), fmt.Sprintf(tiered, "2 h"))
	p = plan(t, x, c, orders("cake", friday, friday))
	wantText(t, "clashes", clashes(p), "capacity 2026-06-11 baker 60 of 60 [2026-0001 2026-0002]")
}

// Two orders of 800 g, Friday and Saturday: one batch of 1.6 kg where it keeps
// for both, two makings where it does not, or where batches hold one cake
// anyway; a batch of at least 2 kg is made once.
func TestSharing(t *testing.T) {
	for _, c := range []struct {
		keys string
		want []string
	}{
		{`"keeps": "4 day",`, []string{"2026-06-11 sponge 1 × 1600 g [2026-0001 2026-0002]"}},
		{`"keeps": "1 day",`, []string{"2026-06-11 sponge 1 × 800 g [2026-0001]", "2026-06-12 sponge 1 × 800 g [2026-0002]"}},
		{`"keeps": "4 day", "batch_max": "1 kg",`, []string{"2026-06-11 sponge 1 × 800 g [2026-0001]", "2026-06-12 sponge 1 × 800 g [2026-0002]"}},
		{`"keeps": "4 day", "batch_max": "1.2 kg", "batch_min": "1.6 kg",`, []string{"2026-06-11 sponge 2 × 800 g [2026-0001 2026-0002]"}},
		{`"keeps": "4 day", "batch_min": "2 kg",`, []string{"2026-06-11 sponge 1 × 2000 g [2026-0001 2026-0002]"}},
		// No keeping time: never from one hand-over to the next.
		{``, []string{"2026-06-11 sponge 1 × 800 g [2026-0001]", "2026-06-12 sponge 1 × 800 g [2026-0002]"}},
	} {
		x := kitchen(t, fmt.Sprintf(sponge, c.keys), fmt.Sprintf(tiered, "2 h"))
		p := plan(t, x, schedule.Usual(), orders("cake", friday, saturday))
		wantText(t, c.keys, makings(p), c.want...)
		if unstated := len(p.Unstated) == 1; unstated != (c.keys == "") {
			t.Errorf("%s: without a keeping time are %v", c.keys, p.Unstated)
		}
	}
}

// A cake for Monday 8:00 is finished on Saturday, since nobody works on
// Sunday. Where the sponge keeps a day, its tier has to be built on Sunday, and
// that is said.
func TestAClosedDay(t *testing.T) {
	x := kitchen(t, fmt.Sprintf(sponge, `"keeps": "4 day",`), fmt.Sprintf(tiered, "2 h"))
	p := plan(t, x, schedule.Usual(), orders("cake", monday))
	if got := p.Orders[0].Begins.String(); got != "2026-06-13 10:00" || len(p.Clashes) > 0 {
		t.Errorf("the cake for Monday begins %s, clashes %v", got, clashes(p))
	}
	x = kitchen(t, fmt.Sprintf(sponge, `"keeps": "1 day",`), fmt.Sprintf(tiered, "2 h"))
	p = plan(t, x, schedule.Usual(), orders("cake", monday))
	if len(p.Clashes) == 0 || p.Clashes[0].Trouble != schedule.OutOfHours || p.Clashes[0].Day != day.Must("2026-06-14") {
		t.Errorf("clashes %v, want work on Sunday", clashes(p))
	}
	for _, m := range p.Makings {
		if m.GoodUntil.Before(p.Orders[0].HandOver) {
			t.Errorf("the sponge is good until %s, the hand-over is at %s", m.GoodUntil, p.Orders[0].HandOver)
		}
	}
}

// A tier that dries for 3 days outlives a sponge that keeps 2: coated from
// Monday 16:00 to 17:30, the sponge is done at 16:00, good until Wednesday
// 16:00 and handed over on Friday 8:00, 40 h later.
func TestADesignThatOutlivesItsParts(t *testing.T) {
	x := kitchen(t, fmt.Sprintf(sponge, `"keeps": "2 day",`), fmt.Sprintf(tiered, "3 day"))
	p := plan(t, x, schedule.Usual(), orders("cake", friday))
	wantText(t, "clashes", clashes(p), "keeping 2026-06-12 sponge 2400 of 0 [2026-0001]")
}

// A component in another with a keeping time of its own has to last until that
// one's clock starts; in one without, to the hand-over.
func TestKeepingThroughAnother(t *testing.T) {
	cream := `{"id": "cream", "name": "Cream", "keeps": "2 h", "yield": "1 kg", "lines": [{"use": "milk", "qty": "1 l"}],
		"tasks": [{"task": "whip", "role": "baker", "setup": "10 min"}]}`
	mousse := `{"id": "sponge", "name": "Mousse", %s "yield": "1 kg", "lines": [{"use": "cream", "qty": "500 g"}],
		"tasks": [{"task": "fold", "role": "baker", "setup": "20 min"}]}`
	for keys, want := range map[string]string{`"keeps": "2 day",`: "2026-06-11 14:00", ``: "2026-06-12 08:00"} {
		x := kitchen(t, cream+","+fmt.Sprintf(mousse, keys), fmt.Sprintf(tiered, "2 h"))
		p := plan(t, x, schedule.Usual(), orders("cake", friday))
		m := p.Makings[0]
		if m.Component.ID != "cream" || m.Uses[0].Until.String() != want || m.Ready.String() > m.Uses[0].By.String() {
			t.Errorf("%s: cream is made %s, to keep until %s; want %s", keys, m.Start, m.Uses[0].Until, want)
		}
		if late := len(p.Clashes) > 0; late != (keys == "") {
			t.Errorf("%s: clashes %v", keys, clashes(p))
		}
	}
}

// An oven of 2 h a day takes two batches of 50 min. Four batches are parted
// over two days; the last of a day's two leaves the oven 100 min after the
// panning, the 3 h of cooling are longer.
func TestTheOven(t *testing.T) {
	c := schedule.Usual()
	c.Appliances = map[book.ID]schedule.Hours{"oven": schedule.EveryDay(120)}
	baked := strings.TrimSuffix(fmt.Sprintf(sponge, `"batch_max": "200 g", "keeps": "4 day",`), "}") +
		`, "equipment": [{"use": "oven", "setup": "50 min", "per": "batch"}]}`
	x := kitchen(t, baked, fmt.Sprintf(tiered, "2 h"))
	p := plan(t, x, c, orders("cake", friday))
	wantText(t, "makings", makings(p), "2026-06-10 sponge 2 × 200 g [2026-0001]", "2026-06-11 sponge 2 × 200 g [2026-0001]")
	wantText(t, "clashes", clashes(p))
	if got := p.Taken("oven", day.Must(thursday)); got != 100 {
		t.Errorf("the oven runs %d minutes on Thursday, want 100", got)
	}
	// Without any wait in the recipe, a batch still has to come out of the oven.
	x = kitchen(t, strings.Replace(baked, `, {"task": "cool", "wait": "3 h"}`, "", 1), fmt.Sprintf(tiered, "2 h"))
	p = plan(t, x, schedule.Usual(), orders("cake", friday))
	if m := p.Makings[0]; m.Ready.String() != "2026-06-11 14:00" || m.Start.String() != "2026-06-11 09:10" {
		t.Errorf("four batches are begun at %s and ready at %s; want 4 h of work, 50 min of oven, ready at 14:00", m.Start, m.Ready)
	}
}

// Thirty hours for a finisher of seven hours a day are spread over days.
func TestWorkOfManyHours(t *testing.T) {
	c := schedule.Usual()
	c.Roles = map[book.ID]schedule.Hours{"finisher": schedule.EveryDay(420)}
	x := kitchen(t, fmt.Sprintf(sponge, `"keeps": "30 day",`), fmt.Sprintf(strings.Replace(tiered, `"90 min"`, `"30 h"`, 1), "2 h"))
	p := plan(t, x, c, orders("cake", saturday))
	sum, days := 0, map[day.Date]bool{}
	for _, it := range p.Items {
		if it.Task == "coat" {
			sum += it.Minutes
			days[it.Start.Day] = true
		}
	}
	// 1800 min: 390 on Friday beside the finishing, then 420 a day.
	if sum != 1800 || len(days) != 5 || len(p.Clashes) > 0 {
		t.Errorf("coat takes %d minutes on %d days, clashes %v", sum, len(days), clashes(p))
	}
}

// Finishers have 14 h a day. Five cakes of 120 min and one hour of finishing
// for the sixth are 11 h on Thursday; one more order makes it 13.
func TestFit(t *testing.T) {
	c := schedule.Usual()
	c.Roles = map[book.ID]schedule.Hours{"finisher": schedule.EveryDay(14 * 60)}
	x := kitchen(t, fmt.Sprintf(sponge, `"keeps": "4 day",`), fmt.Sprintf(tiered, "2 h")+","+
		`{"id": "hour", "name": "Hour", "portions": 1, "tasks": [{"task": "pipe", "role": "finisher", "setup": "60 min"}]}`)
	accepted := append(orders("cake", friday, friday, friday, friday, friday), orders("hour", friday)...)
	accepted[5].Ref = "2026-0006"
	asked := orders("cake", friday)[0]
	asked.Ref = "draft"
	f, err := schedule.Fit(x, c, accepted, asked, day.Must(tuesday))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Rooms) != 1 || f.Rooms[0].Taken != 660 || f.Rooms[0].After != 780 || f.Rooms[0].Capacity != 840 || !f.Rooms[0].Fits() || f.Rooms[0].Day != day.Must(thursday) {
		t.Errorf("rooms %+v, want 660 of 840 on Thursday, 780 after", f.Rooms)
	}
	if f.Order.Ref != "draft" || len(f.Clashes) > 0 {
		t.Errorf("order %+v, clashes %v", f.Order, f.Clashes)
	}
	doc, err := json.Marshal(f.Document())
	if err != nil || !strings.Contains(string(doc), `"days":[{"day":"2026-06-11","id":"finisher","name":"Finisher","taken":660,"capacity":840,"after":780,"fits":true}],"clashes":[]`) {
		t.Errorf("document %s, %v", doc, err)
	}
	// Its sponge has to begin on Thursday; on Friday that is too late.
	if f, err = schedule.Fit(x, c, accepted, asked, day.Must(friday)); err != nil || len(f.Clashes) != 1 || f.Clashes[0].Trouble != schedule.TooLate || f.Clashes[0].Orders[0] != "draft" {
		t.Errorf("clashes %v, %v; want the draft too late, and nothing that was there before", f.Clashes, err)
	}
	p := plan(t, x, c, accepted)
	week := schedule.Free(p, p, schedule.Named{ID: "finisher"}, day.Must(wednesday), day.Must(friday))
	if len(week) != 3 || week[0].Taken != 0 || week[1].Taken != 660 || !week[2].Limited {
		t.Errorf("the week has %+v", week)
	}
}

// What a studio has on a day: by weekday, by exception, nothing where closed.
func TestMinutes(t *testing.T) {
	c := schedule.Usual()
	c.Closed, c.Open = []day.Date{day.Must(tuesday)}, []day.Date{day.Must("2026-06-14")}
	h := schedule.EveryDay(420)
	h.On = map[day.Date]int{day.Must(wednesday): 90}
	c.Roles = map[book.ID]schedule.Hours{"baker": h}
	for d, want := range map[string]int{tuesday: 0, wednesday: 90, thursday: 420, "2026-06-14": 420, "2026-06-21": 0} {
		if got, limited := c.Minutes("baker", day.Must(d)); got != want || !limited {
			t.Errorf("Minutes(baker, %s) = %d, %v, want %d", d, got, limited, want)
		}
	}
	if _, limited := c.Minutes("finisher", day.Must(thursday)); limited {
		t.Error("a finisher without hours is limited")
	}
}

// A request becomes an order without its client.
func TestOrderOf(t *testing.T) {
	r, err := quote.ReadRequest([]byte(`{"client": {"name": "Somebody"}, "event": {"date": "2026-06-12", "km": "24"}, "on": "2026-05-01",
		"lines": [{"cake": "cake", "quantity": 2}], "extras": [{"extra": "delivery", "quantity": 1}]}`))
	if err != nil {
		t.Fatal(err)
	}
	o := schedule.OrderOf("2026-0001", "Cake", r)
	if o.Event != day.Must(friday) || !o.Km.Equal(exact.Int(24)) || o.Cakes[0].Quantity != 2 || len(o.Extras) != 1 || strings.Contains(fmt.Sprintf("%+v", o), "Somebody") {
		t.Errorf("OrderOf = %+v", o)
	}
}

func TestRefusals(t *testing.T) {
	x := kitchen(t, fmt.Sprintf(sponge, ""), fmt.Sprintf(tiered, "2 h"))
	two := append(orders("cake", friday), orders("cake", friday)...)
	late := orders("cake", friday)
	late[0].HandOver = schedule.At(day.Must(saturday), 9, 0)
	many := orders("cake", friday)
	many[0].Cakes[0].Quantity = 0
	huge := orders("cake", friday)
	huge[0].Cakes[0].Quantity = 1_000_000
	for _, c := range []struct {
		c      schedule.Capacity
		orders []schedule.Order
		want   string
	}{
		{schedule.Usual(), two, "reference 2026-0001"},
		{schedule.Usual(), late, "hand-over"},
		{schedule.Usual(), many, "at least 1"},
		{schedule.Usual(), huge, "hours of work"},
		{schedule.Usual(), orders("no-cake", friday), "no cake of the book"},
		{schedule.Usual(), []schedule.Order{{Event: day.Must(friday)}}, "no reference"},
		{schedule.Usual(), []schedule.Order{{Ref: "1"}}, "no day"},
		{schedule.Capacity{}, nil, "at least an hour"},
		{schedule.Capacity{Opens: 0, Closes: 600}, nil, "no weekday"},
		{func() schedule.Capacity {
			c := schedule.Usual()
			c.Roles = map[book.ID]schedule.Hours{"oven": {}}
			return c
		}(), nil, "no role"},
	} {
		if _, err := schedule.Make(x, c.c, c.orders, day.Date{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Make: %v, want an error with %q", err, c.want)
		}
	}
	if p := plan(t, x, schedule.Usual(), nil); len(p.Items) != 0 || len(p.Document().Days) != 0 {
		t.Errorf("a plan of nothing is %+v", p)
	}
}
