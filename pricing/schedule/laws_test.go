package schedule_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
)

// TestLaws checks what holds for every plan, whatever the book, the orders and
// the hours.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rc, ok := drawCase(t)
		if !ok {
			return
		}
		keepingHolds(t, rc)
		precedenceHolds(t, rc)
		everythingIsMade(t, rc)
		clashesAreExact(t, rc)
		orderOfOrdersDecidesNothing(t, rc)
	})
}

// A randomCase is a random book with random orders and capacity. Random books make
// odd cakes: dummies, deep recipes, appliances without end, waits of seconds.
type randomCase struct {
	x      *book.Index
	c      schedule.Capacity
	orders []schedule.Order
	plan   schedule.Plan
}

// drawCase returns false for a case that is refused for its size, and for one
// that would take the checks, which look at every minute, too long.
func drawCase(t *rapid.T) (randomCase, bool) {
	x := parse(t, randombook.New(rapid.Uint64Range(0, 1<<20).Draw(t, "book")).Book())
	// Random books seldom state a keeping time, and only of 3 days.
	b := x.Book
	b.Components = slices.Clone(b.Components)
	for i := range b.Components {
		if keeps := rapid.SampledFrom([]string{"", "2 h", "1 day", "3 day", "7 day", "30 day"}).Draw(t, "keeps"); keeps != "" {
			b.Components[i].Keeps = quantity(keeps)
		}
	}
	rc := randomCase{x: book.NewIndex(b), c: drawCapacity(t, b)}
	for i := range rapid.IntRange(1, 5).Draw(t, "orders") {
		o := schedule.Order{
			Ref: fmt.Sprintf("2026-%04d", i), Event: day.Must("2026-06-08").AddDays(rapid.IntRange(0, 9).Draw(t, "event")),
			Km: exact.Int(int64(rapid.IntRange(0, 80).Draw(t, "km"))),
		}
		if rapid.Bool().Draw(t, "at") {
			o.HandOver = schedule.Moment{Day: o.Event, Minute: rapid.IntRange(0, schedule.DayMinutes-1).Draw(t, "minute")}
		}
		// Each design once an order, so that items can be told apart.
		for _, c := range b.Cakes {
			if rapid.Bool().Draw(t, "cake") {
				o.Cakes = append(o.Cakes, quote.CakeWanted{Cake: c.ID, Quantity: rapid.SampledFrom([]int{1, 1, 2, 7}).Draw(t, "copies")})
			}
		}
		for _, e := range b.Extras {
			if rapid.IntRange(0, 3).Draw(t, "extra") == 0 {
				o.Extras = append(o.Extras, quote.ExtraWanted{Extra: e.ID, Quantity: rapid.IntRange(1, 3).Draw(t, "extras")})
			}
		}
		rc.orders = append(rc.orders, o)
	}
	var err error
	if rc.plan, err = schedule.Make(rc.x, rc.c, rc.orders, day.Date{}); err != nil {
		if !strings.Contains(err.Error(), "at one go") && !strings.Contains(err.Error(), "batches of") {
			t.Fatal(err)
		}
		return rc, false
	}
	minutes := 0
	for _, l := range rc.plan.Loads {
		minutes += l.Minutes
	}
	return rc, minutes < 30_000
}

func drawCapacity(t *rapid.T, b book.Book) schedule.Capacity {
	c := schedule.Usual()
	c.Opens = rapid.SampledFrom([]int{0, 6 * 60, 8 * 60}).Draw(t, "opens")
	c.Closes = rapid.SampledFrom([]int{13 * 60, 17 * 60, 24 * 60}).Draw(t, "closes")
	c.Works[0] = rapid.Bool().Draw(t, "Sundays")
	c.Closed = []day.Date{day.Must("2026-06-05")}
	c.Roles, c.Appliances = map[book.ID]schedule.Hours{}, map[book.ID]schedule.Hours{}
	hours := func(name string) (schedule.Hours, bool) {
		n := rapid.SampledFrom([]int{-1, 0, 60, 240, 480, 1500}).Draw(t, name)
		h := schedule.EveryDay(max(n, 0))
		h.On = map[day.Date]int{day.Must("2026-06-04"): 90}
		return h, n >= 0
	}
	for _, r := range b.Roles {
		if h, ok := hours("role"); ok {
			c.Roles[r.ID] = h
		}
	}
	for _, a := range b.Equipment {
		if h, ok := hours("appliance"); ok {
			c.Appliances[a.ID] = h
		}
	}
	return c
}

// A component is never used past its keeping time, but where the design itself
// stands longer than it keeps; and then the plan says so.
func keepingHolds(t *rapid.T, rc randomCase) {
	reported := map[string]int{}
	for _, c := range rc.plan.Clashes {
		if c.Trouble == schedule.TooOld {
			reported[fmt.Sprint(c.Of.ID, c.Minutes, c.Orders)]++
		}
	}
	for _, m := range rc.plan.Makings {
		checkClock(t, rc, m)
		it, _ := rc.x.Item(m.Component.ID)
		if !it.Component.Keeps.Given() {
			if m.GoodUntil != (schedule.Moment{}) {
				t.Fatalf("%s states no keeping time and is good until %s", m.Component.ID, m.GoodUntil)
			}
			continue
		}
		keeps := int(it.Component.Keeps.Base(rc.x.Household()).Floor().Int64())
		if got := m.KeptFrom.Until(m.GoodUntil); got != keeps {
			t.Fatalf("%s is good for %d minutes, keeps %d", m.Component.ID, got, keeps)
		}
		late := 0
		for _, u := range m.Uses {
			if over := m.GoodUntil.Until(u.Until); over > 0 {
				late = max(late, over)
				if stands := standing(rc, u); stands >= 0 && stands <= keeps {
					t.Fatalf("%s, kept from %s for %d minutes, goes into %s %s at %s until %s, which stands no more than %d by design",
						m.Component.ID, m.KeptFrom, keeps, u.Into.ID, u.Tier, u.By, u.Until, stands)
				}
			}
		}
		if late == 0 {
			continue
		}
		key := fmt.Sprint(m.Component.ID, late, m.Orders)
		if reported[key]--; reported[key] < 0 {
			t.Fatalf("%s is %d minutes too old and no clash says so", m.Component.ID, late)
		}
	}
	for key, n := range reported {
		if n > 0 {
			t.Fatalf("a keeping clash without its reason: %s", key)
		}
	}
}

// checkClock works out anew when the keeping clock of a making starts: after
// all its minutes and waits, from its first task on.
func checkClock(t *rapid.T, rc randomCase, m schedule.Making) {
	sum, start := 0, m.Ready
	for _, it := range rc.plan.Items {
		if it.Making != m.Number {
			continue
		}
		sum += it.Start.Until(it.End)
		if it.Start.Before(start) {
			start = it.Start
		}
	}
	if start != m.Start || m.Start.Until(m.KeptFrom) != sum || m.Ready.Before(m.KeptFrom) {
		t.Fatalf("%s from %s (first task %s) takes %d minutes: kept from %s, ready %s", m.Component.ID, m.Start, start, sum, m.KeptFrom, m.Ready)
	}
}

// standing returns for how long what takes a component stands at the least:
// its own work, and for a tier that of the cake and the way to the hand-over;
// -1 where that cannot be told.
func standing(rc randomCase, u schedule.Use) int {
	if it, ok := rc.x.Item(u.Into.ID); ok && it.Component != nil {
		if !it.Component.Keeps.Given() {
			return -1
		}
		return u.By.Until(u.Until) // until its own clock starts: its work without a pause
	}
	sum := 0
	for _, it := range rc.plan.Items {
		if !slices.Equal(it.Orders, u.Orders) || it.Part == schedule.Component {
			continue
		}
		if it.Fixed || it.Of == u.Into && (it.Part != schedule.Tier || it.TierNumber == u.TierNumber) {
			sum += it.Start.Until(it.End)
		}
	}
	return sum
}

// No task starts before what it needs is done, and all is done by the hand-over.
func precedenceHolds(t *rapid.T, rc randomCase) {
	for _, m := range rc.plan.Makings {
		checkOrder(t, rc, func(it schedule.Item) bool { return it.Making == m.Number }, componentTasks(rc, m))
		for _, u := range m.Uses {
			if u.By.Before(m.Ready) || u.Until.Before(u.By) {
				t.Fatalf("%s is ready at %s, needed by %s, kept until %s", m.Component.ID, m.Ready, u.By, u.Until)
			}
			for _, it := range rc.plan.Items {
				if it.Of == u.Into && it.TierNumber == u.TierNumber && it.Making == 0 && slices.Equal(it.Orders, u.Orders) && it.Start.Before(m.Ready) {
					t.Fatalf("%s %s begins at %s, before its %s is ready at %s", it.Of.ID, it.Tier, it.Start, m.Component.ID, m.Ready)
				}
			}
			if into, _ := rc.x.Item(u.Into.ID); into.Component != nil && !slices.ContainsFunc(rc.plan.Makings, func(k schedule.Making) bool {
				return k.Component == u.Into && k.Start == u.By && slices.Equal(k.Orders, u.Orders)
			}) {
				t.Fatalf("%s is made for %s at %s, which is not made then", m.Component.ID, u.Into.ID, u.By)
			}
		}
	}
	for _, o := range rc.plan.Orders {
		checkOneOrder(t, rc, o)
	}
}

// checkOneOrder checks: tiers, then the whole cake, then the way, then the hand-over.
func checkOneOrder(t *rapid.T, rc randomCase, o schedule.Deadline) {
	order := rc.orders[slices.IndexFunc(rc.orders, func(r schedule.Order) bool { return r.Ref == o.Ref })]
	mine := func(it schedule.Item) bool { return it.Making == 0 && slices.Contains(it.Orders, o.Ref) }
	for _, a := range rc.plan.Items {
		if slices.Contains(a.Orders, o.Ref) && (a.Start.Before(o.Begins) || o.Done.Before(a.End) || o.HandOver.Before(a.End)) {
			t.Fatalf("order %s from %s to %s, hand-over %s: %s at %s is outside", o.Ref, o.Begins, o.Done, o.HandOver, a.Of.ID, a.Start)
		}
		if !mine(a) {
			continue
		}
		for _, b := range rc.plan.Items {
			after := a.Part == schedule.Tier && b.Part == schedule.Cake && a.Of == b.Of || !a.Fixed && b.Fixed
			if mine(b) && after && b.Start.Before(a.End) {
				t.Fatalf("order %s: %s %s at %s begins before %s %s is done at %s", o.Ref, b.Part, b.Of.ID, b.Start, a.Part, a.Of.ID, a.End)
			}
		}
	}
	for _, w := range order.Cakes {
		c, _ := rc.x.Cake(w.Cake)
		checkOrder(t, rc, func(it schedule.Item) bool { return mine(it) && it.Part == schedule.Cake && it.Of.ID == c.ID }, names(c.Tasks))
	}
}

func componentTasks(rc randomCase, m schedule.Making) []string {
	it, _ := rc.x.Item(m.Component.ID)
	return names(it.Component.Tasks)
}

func names(tasks []book.Task) []string {
	var list []string
	for _, t := range tasks {
		list = append(list, t.Name)
	}
	return list
}

// checkOrder checks that chosen items follow one another without overlap, in
// the order of the tasks of the book.
func checkOrder(t *rapid.T, rc randomCase, chosen func(schedule.Item) bool, tasks []string) {
	var before schedule.Item
	at, any := 0, false
	for _, it := range rc.plan.Items {
		if !chosen(it) {
			continue
		}
		if any && it.Start.Before(before.End) {
			t.Fatalf("%s: %q at %s begins before %q ends at %s", it.Of.ID, it.Task, it.Start, before.Task, before.End)
		}
		if it.Task != "" && !it.Runs && it.Piece <= 1 {
			for at < len(tasks) && tasks[at] != it.Task {
				at++
			}
			if at == len(tasks) {
				t.Fatalf("%s: %q is out of the order %q", it.Of.ID, it.Task, tasks)
			}
			at++
		}
		before, any = it, true
	}
}

// Every quantity that is needed is made, and every minute is planned.
func everythingIsMade(t *rapid.T, rc randomCase) {
	used := map[string]exact.Number{} // by order, cake or extra, tier name and component
	for _, m := range rc.plan.Makings {
		var sum exact.Number
		for _, u := range m.Uses {
			sum = sum.Add(u.Quantity)
			if it, _ := rc.x.Item(u.Into.ID); it.Component == nil {
				key := fmt.Sprint(u.Orders, u.Into.ID, u.TierNumber, m.Component.ID)
				used[key] = used[key].Add(u.Quantity)
			}
		}
		it, _ := rc.x.Item(m.Component.ID)
		if m.Quantity.Cmp(sum) < 0 {
			t.Fatalf("%s of %s are made and %s used", m.Quantity.Text(), m.Component.ID, sum.Text())
		}
		if c := it.Component; c.BatchMax.Given() && m.PerBatch().Cmp(inOwnUnits(rc.x, c, c.BatchMax)) > 0 {
			t.Fatalf("a batch of %s is %s, more than %s", c.ID, m.PerBatch().Text(), c.BatchMax)
		}
		checkInputs(t, rc, m)
	}
	for _, o := range rc.orders {
		for _, w := range o.Cakes {
			take, err := pricing.TakeCake(rc.x, w.Cake)
			if err != nil {
				t.Fatal(err)
			}
			checkTakeoff(t, rc, o, take, w.Quantity, used)
		}
		for _, w := range o.Extras {
			take, err := pricing.TakeExtra(rc.x, w.Extra, o.Km)
			if err != nil {
				t.Fatal(err)
			}
			checkTakeoff(t, rc, o, take, w.Quantity, used)
		}
	}
	for key, n := range used {
		if !n.IsZero() {
			t.Fatalf("%s: %s are made that nobody takes", key, n.Text())
		}
	}
}

func inOwnUnits(x *book.Index, c *book.Component, q quantityType) exact.Number {
	n, err := x.Charge(book.Item{Component: c}, x.Amount(q))
	if err != nil {
		panic(err) // the book is valid
	}
	return n
}

// checkInputs: what a making takes of others is among their uses.
func checkInputs(t *rapid.T, rc randomCase, m schedule.Making) {
	it, _ := rc.x.Item(m.Component.ID)
	out, err := rc.x.Output(it.Component)
	if err != nil {
		t.Fatal(err)
	}
	want := map[book.ID]exact.Number{}
	for _, line := range it.Component.Lines {
		if in, _ := rc.x.Item(line.Use); in.Component != nil {
			n := inOwnUnits(rc.x, in.Component, line.Qty)
			want[line.Use] = want[line.Use].Add(n.Mul(m.Quantity).Quo(out.Number))
		}
	}
	for id, n := range want {
		// Several makings of one component may begin at the same minute.
		var made, taken exact.Number
		for _, k := range rc.plan.Makings {
			if k.Component == m.Component && k.Start == m.Start {
				made = made.Add(k.Quantity)
			}
			if k.Component.ID != id {
				continue
			}
			for _, u := range k.Uses {
				if u.Into == m.Component && u.By == m.Start {
					taken = taken.Add(u.Quantity)
				}
			}
		}
		if want := n.Mul(made).Quo(m.Quantity); !taken.Equal(want) {
			t.Fatalf("%s takes %s of %s, and %s are made for it", m.Component.ID, want.Text(), id, taken.Text())
		}
	}
}

// checkTakeoff compares needs and minutes of a cake or extra with the takeoff
// from which it is costed, and strikes the needs off.
func checkTakeoff(t *rapid.T, rc randomCase, o schedule.Order, take pricing.Takeoff, copies int, used map[string]exact.Number) {
	n := exact.Int(int64(copies))
	for _, m := range take.Makings {
		for _, need := range m.Needs {
			if need.Place.Component == "" {
				key := fmt.Sprint([]string{o.Ref}, take.ID, need.Place.Number, m.Component.ID)
				used[key] = used[key].Sub(need.Quantity.Mul(n))
			}
		}
	}
	want, got := map[book.ID]int{}, map[book.ID]int{}
	for _, u := range take.Uses {
		if u.Kind == pricing.Role {
			want[u.Resource] += int(u.Quantity.Mul(n).Ceil().Int64())
		}
	}
	for _, it := range rc.plan.Items {
		if it.Making == 0 && it.Of.ID == take.ID && slices.Contains(it.Orders, o.Ref) && it.Minutes > 0 {
			got[it.Role.ID] += it.Minutes
		}
	}
	for id, minutes := range want {
		if got[id] != minutes {
			t.Fatalf("order %s: %s plans %d minutes of %s, takes %d", o.Ref, take.ID, got[id], id, minutes)
		}
	}
}

// Clashes are reported exactly where a day does not hold what is planned: for
// its capacity, its hours, or its hands.
func clashesAreExact(t *rapid.T, rc randomCase) {
	type key struct {
		trouble schedule.Trouble
		id      book.ID
		day     day.Date
	}
	want := map[key]int{}
	loads := map[key]int{}
	minutes := map[key]map[int]int{} // of a role's day: people at work
	outside := map[key]int{}
	for _, it := range rc.plan.Items {
		for _, a := range it.Appliances {
			last := it.End
			if it.Minutes > 0 {
				last = last.Add(-1)
			}
			loads[key{"", a.ID, last.Day}] += a.Minutes
		}
		for n := range it.Minutes {
			m := it.Start.Add(n)
			k := key{"", it.Role.ID, m.Day}
			loads[k]++
			if minutes[k] == nil {
				minutes[k] = map[int]int{}
			}
			minutes[k][m.Minute]++
			if !it.Fixed && (m.Minute < rc.c.Opens || m.Minute >= rc.c.Closes || !rc.c.WorksOn(m.Day)) {
				outside[k]++
			}
		}
	}
	for k, sum := range loads {
		capacity, limited := rc.c.Minutes(k.id, k.day)
		if limited && sum > capacity {
			want[key{schedule.OverCapacity, k.id, k.day}] = sum - capacity
		}
		if outside[k] > 0 && (!limited || rc.c.WorksOn(k.day)) {
			want[key{schedule.OutOfHours, k.id, k.day}] = outside[k]
		}
		if limited && sum <= capacity {
			window := rc.c.Closes - rc.c.Opens
			hands, over := (capacity+window-1)/window, 0
			for _, people := range minutes[k] {
				over += max(0, people-hands)
			}
			if over > 0 {
				want[key{schedule.TooFewHands, k.id, k.day}] = over
			}
		}
	}
	got := map[key]int{}
	for _, c := range rc.plan.Clashes {
		if c.Trouble != schedule.TooOld {
			got[key{c.Trouble, c.Of.ID, c.Day}] += c.Minutes
		}
	}
	for k, n := range want {
		if got[k] != n {
			t.Fatalf("clash %v: %d minutes are reported, want %d", k, got[k], n)
		}
	}
	if len(got) != len(want) {
		t.Fatalf("%d clashes %v, want %d %v", len(got), got, len(want), want)
	}
	for _, l := range rc.plan.Loads {
		if loads[key{"", l.Of.ID, l.Day}] != l.Minutes {
			t.Fatalf("load of %s on %s is %d, want %d", l.Of.ID, l.Day, l.Minutes, loads[key{"", l.Of.ID, l.Day}])
		}
	}
}

// The order in which orders are given decides nothing.
func orderOfOrdersDecidesNothing(t *rapid.T, rc randomCase) {
	again, err := schedule.Make(rc.x, rc.c, rapid.Permutation(rc.orders).Draw(t, "permutation"), day.Date{})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := document(t, rc.plan), document(t, again); a != b {
		t.Fatalf("one order of orders gives\n%s\nanother\n%s", a, b)
	}
}

func document(t rapid.TB, p schedule.Plan) string {
	text, err := json.Marshal(p.Document())
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// What earlier plans worked out changes none that comes after them.
func TestKnownPlansAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rc, ok := drawCase(t)
		if !ok {
			return
		}
		known := schedule.NewKnown(rc.x)
		other, from := drawCapacity(t, rc.x.Book), day.Must("2026-06-02")
		for i, c := range []schedule.Capacity{rc.c, other, rc.c} {
			for n := range rc.orders {
				orders := slices.Clone(rc.orders[:len(rc.orders)-n])
				orders[0].Km = orders[0].Km.Add(exact.Int(int64(i % 2)))
				want, errWant := schedule.Make(rc.x, c, orders, from)
				got, errGot := known.Make(c, orders, from)
				if fmt.Sprint(errGot) != fmt.Sprint(errWant) || errWant == nil && document(t, got) != document(t, want) {
					t.Fatalf("known Make = %v, %v, want %v, %v", got, errGot, want, errWant)
				}
			}
			accepted, asked := rc.orders[1:], rc.orders[0]
			want, errWant := schedule.Fit(rc.x, c, accepted, asked, from)
			got, errGot := known.Fit(c, accepted, asked, from)
			if fmt.Sprint(errGot) != fmt.Sprint(errWant) || fmt.Sprint(got) != fmt.Sprint(want) {
				t.Fatalf("known Fit = %v, %v, want %v, %v", got, errGot, want, errWant)
			}
		}
	})
}
