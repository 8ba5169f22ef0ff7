package seed

import (
	"cmp"
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
)

// takeoff is what one cake or extra takes.
type takeoff struct {
	bill  pricing.Bill
	tasks []task
	made  map[book.ID]exact.Number // components, in their unit
}

// task is the work of a role on a task.
type task struct {
	role    book.ID
	name    string
	minutes exact.Number
}

// take returns the takeoffs of an order with how many there are of each, the
// extras that come with every order among them.
func (y *year) take(r quote.Request) (list []share[takeoff], err error) {
	add := func(n int, key string, make func() (pricing.Takeoff, error)) {
		t, known := y.bills[key]
		if !known && err == nil {
			var whole pricing.Takeoff
			if whole, err = make(); err == nil {
				t = reduce(whole)
				y.bills[key] = t
			}
		}
		list = append(list, share[takeoff]{n, t})
	}
	for _, l := range r.Lines {
		add(l.Quantity, string(l.Cake), func() (pricing.Takeoff, error) { return pricing.TakeCake(y.x, l.Cake) })
	}
	wanted := r.Extras
	for _, e := range y.x.Book.Extras {
		if e.Always.Or(false) {
			wanted = append(slices.Clip(wanted), extras(1, e.ID))
		}
	}
	km := r.Event.Km.Value.Number()
	for _, e := range wanted {
		add(e.Quantity, string(e.Extra)+" "+km.Text(), func() (pricing.Takeoff, error) { return pricing.TakeExtra(y.x, e.Extra, km) })
	}
	return list, err
}

// reduce keeps of a takeoff what the year needs.
func reduce(t pricing.Takeoff) takeoff {
	small := takeoff{bill: t.Bill, made: map[book.ID]exact.Number{}}
	add := func(uses []pricing.Use) {
		for _, u := range uses {
			if u.Kind != pricing.Role {
				continue
			}
			at := slices.IndexFunc(small.tasks, func(k task) bool { return k.role == u.Resource && k.name == u.For })
			if at < 0 {
				at = len(small.tasks)
				small.tasks = append(small.tasks, task{role: u.Resource, name: u.For})
			}
			small.tasks[at].minutes = small.tasks[at].minutes.Add(u.Quantity)
		}
	}
	add(t.Uses)
	for _, m := range t.Makings {
		small.made[m.Component.ID] = small.made[m.Component.ID].Add(m.Made)
		add(m.Uses)
	}
	return small
}

// order is the sum of an order's takeoffs.
type order struct {
	tasks    []task
	made     map[book.ID]exact.Number
	quantity map[book.ID]exact.Number // of goods, in base units
	kWh      exact.Number
}

func (y *year) orderOf(r quote.Request) (order, error) {
	o := order{made: map[book.ID]exact.Number{}, quantity: map[book.ID]exact.Number{}}
	list, err := y.take(r)
	for _, t := range list {
		n := exact.Int(int64(t.weight))
		for _, k := range t.of.tasks {
			at := slices.IndexFunc(o.tasks, func(have task) bool { return have.role == k.role && have.name == k.name })
			if at < 0 {
				at = len(o.tasks)
				o.tasks = append(o.tasks, task{role: k.role, name: k.name})
			}
			o.tasks[at].minutes = o.tasks[at].minutes.Add(k.minutes.Mul(n))
		}
		for id, q := range t.of.made {
			o.made[id] = o.made[id].Add(q.Mul(n))
		}
		for _, l := range t.of.bill {
			switch l.Kind {
			case pricing.Ingredient, pricing.Packaging:
				o.quantity[l.Resource] = o.quantity[l.Resource].Add(l.Quantity.Mul(n))
			case pricing.Energy:
				o.kWh = o.kWh.Add(l.Quantity.Mul(n))
			}
		}
	}
	return o, err
}

// delivered reports whether a deal became an order that was made by today.
func (d *deal) delivered() bool {
	return !d.accepted.IsZero() && d.called.IsZero() && d.event.Before(Today)
}

// make tells what was written down of the orders that were made: of most of
// them. Where nothing is, the standard stands in.
func (y *year) make(list []*deal) error {
	for _, d := range list {
		if !d.delivered() || d.event.Before(firstEvent) || d.dice.chance(11) {
			continue
		}
		o, err := y.orderOf(d.made)
		if err != nil {
			return err
		}
		var s actual.Sheet
		s.Work = worked(d, o)
		s.Wasted, s.More, s.Used = mishaps(d, o)
		if s.Bought, err = y.flowers(d, o); err != nil {
			return err
		}
		written := working(d.event.AddDays(d.dice.between(0, 3)))
		if written.After(Today) {
			written = Today
		}
		y.note(written, d.dice.minute(18, 19), Recorded{QuoteKey(d.key), s})
		if d.dice.chance(2) {
			c := pick(d.dice, []struct {
				amount int64
				why    string
			}{{-25, "a sugar rose broke on the way; let off"}, {-40, "came forty minutes late; let off"}, {35, "a second set-up, the table was not ready"}})
			y.note(written, d.dice.minute(19, 20), Charged{QuoteKey(d.key), y.x.Book.Studio.Currency.Round(exact.Int(c.amount)), c.why})
		}
	}
	return nil
}

// Who works in the studio; the learner joined in February.
const (
	decorator = "Brona"
	cook      = "Teodor"
	learner   = "Ines"
	assistant = "Rufus"
)

var learnerCame = day.Must("2026-02-02")

// worked draws the minutes of an order around its plan: in percent, by role.
// Decorators tire over the weddings of the summer and before Christmas; the
// learner is slow at first, and a little better every month.
func worked(d *deal, o order) []actual.WorkDone {
	var lines []actual.WorkDone
	for _, role := range []book.ID{"pastry", "decorator", "assistant"} {
		var own []task
		for _, k := range o.tasks {
			if k.role == role {
				own = append(own, k)
			}
		}
		if len(own) == 0 || d.dice.chance(6) {
			continue // nobody wrote it down
		}
		pace := 100 + d.dice.between(-8, 9)
		who := map[book.ID]string{"pastry": cook, "decorator": decorator, "assistant": assistant}[role]
		switch month := d.event.Time().Month(); {
		case role == "decorator" && month >= 6 && month <= 9:
			pace += d.dice.between(1, 7)
		case month == 12:
			pace += d.dice.between(2, 9)
		case month <= 2:
			pace -= d.dice.between(0, 4)
		}
		if days := learnerCame.DaysUntil(d.event); role == "pastry" && days > 0 && d.dice.chance(38) {
			who = learner
			pace += max(2, 26-days/12)
		}
		if d.dice.chance(22) { // the role's hours in one figure
			var sum exact.Number
			for _, k := range own {
				sum = sum.Add(k.minutes)
			}
			own = []task{{role: role, minutes: sum}}
		}
		slices.SortStableFunc(own, func(a, b task) int { return b.minutes.Cmp(a.minutes) })
		var rest exact.Number // what is too short to write down by itself
		for _, k := range own {
			minutes := k.minutes.Mul(exact.Frac(int64(pace+d.dice.between(-4, 4)), 100))
			if minutes.Cmp(exact.Int(3)) < 0 {
				rest = rest.Add(minutes)
				continue
			}
			lines = append(lines, work(role, minutes, k.name, who, d.event.AddDays(-d.dice.between(0, 2))))
		}
		if rest.Cmp(exact.Int(1)) >= 0 {
			lines = append(lines, work(role, rest, "", who, d.event.AddDays(-1)))
		}
	}
	if d.dice.chance(4) {
		l := work("decorator", exact.Int(int64(5*d.dice.between(3, 8))), "", decorator, d.event)
		l.As, l.Note = actual.Longer, pick(d.dice, []string{"mended at the venue", "the colour was changed on the day", "more blossom asked for at the last moment"})
		lines = append(lines, l)
	}
	if d.dice.chance(4) {
		l := work("pastry", exact.Int(int64(5*d.dice.between(4, 10))), "", cook, d.event.AddDays(-2))
		l.As, l.Note = actual.Idle, pick(d.dice, []string{"waited for the engineer, the oven was down", "waited for the dairy", "power cut in the yard"})
		lines = append(lines, l)
	}
	return lines
}

// work is a line of work, to whole minutes, and to five where it is longer.
func work(role book.ID, minutes exact.Number, task, who string, on day.Date) actual.WorkDone {
	if minutes.Cmp(exact.Int(30)) > 0 {
		minutes = exact.FromDecimal(minutes.Quo(exact.Int(5)).Round(0)).Mul(exact.Int(5))
	}
	minutes = exact.FromDecimal(minutes.Round(0))
	return actual.WorkDone{Role: role, Time: actual.MinutesOf(minutes), Task: task, Who: who, On: on}
}

// What goes wrong with what, in hundredths of what was made.
var mishap = []struct {
	use       book.ID
	way       actual.Way
	hundreds  [2]int
	unit, why string
}{
	{"vanilla-sponge", actual.Wasted, [2]int{10, 24}, "g", "a sheet tore when it was turned out"},
	{"vanilla-sponge", actual.More, [2]int{5, 9}, "g", "trimmed lower, the layers had domed"},
	{"chocolate-sponge", actual.Wasted, [2]int{12, 25}, "g", "sank, the oven door was opened"},
	{"joconde", actual.Wasted, [2]int{12, 30}, "g", "baked too dry to bend"},
	{"dark-ganache", actual.Wasted, [2]int{20, 60}, "g", "split"},
	{"white-ganache", actual.Wasted, [2]int{20, 60}, "g", "split"},
	{"italian-buttercream", actual.More, [2]int{6, 14}, "g", "coated twice, the first had air in it"},
	{"swiss-buttercream", actual.More, [2]int{6, 14}, "g", "coated twice, the first had air in it"},
	{"sugar-paste", actual.Wasted, [2]int{8, 20}, "g", "tore at the edge and was rolled anew"},
	{"caramel", actual.Wasted, [2]int{15, 40}, "g", "burnt; let it cool and harden before it is thrown away"},
	{"salted-caramel", actual.More, [2]int{6, 15}, "g", "the drip was poured twice"},
	{"macaron-shell", actual.Wasted, [2]int{5, 16}, "each", "cracked"},
	{"sugar-rose", actual.Wasted, [2]int{8, 20}, "each", "broke on the way"},
	{"mirror-glaze", actual.More, [2]int{8, 18}, "g", "the first pour was too cold"},
}

// mishaps draws what was wasted, what was used on top, and what was weighed.
func mishaps(d *deal, o order) (wasted, more, used []actual.GoodsTaken) {
	if d.dice.chance(48) {
		start := d.dice.below(len(mishap))
		for i := range mishap {
			m := mishap[(start+i)%len(mishap)]
			made, there := o.made[m.use]
			if !there {
				continue
			}
			n := exact.FromDecimal(made.Mul(exact.Frac(int64(d.dice.between(m.hundreds[0], m.hundreds[1])), 100)).Round(0))
			if m.unit == "g" {
				n = exact.FromDecimal(n.Quo(exact.Int(10)).Round(0)).Mul(exact.Int(10))
			}
			if n.IsZero() {
				continue
			}
			line := actual.GoodsTaken{Use: m.use, Qty: measure.Must(n.Text() + " " + m.unit), On: d.event.AddDays(-1), Why: m.why}
			if m.way == actual.Wasted {
				wasted = append(wasted, line)
			} else {
				more = append(more, line)
			}
			break
		}
	}
	if d.dice.chance(16) {
		for _, id := range []book.ID{"dark-couverture", "butter", "caster-sugar", "white-couverture", "icing-sugar", "ground-almond"} {
			n, there := o.quantity[id]
			if !there || n.Cmp(exact.Int(200)) < 0 || d.dice.chance(45) {
				continue
			}
			n = n.Mul(exact.Frac(int64(d.dice.between(95, 111)), 100)).Quo(exact.Int(10))
			grams := exact.FromDecimal(n.Round(0)).Mul(exact.Int(10))
			used = append(used, actual.GoodsTaken{Use: id, Qty: measure.Must(grams.Text() + " g"), On: d.event.AddDays(-1), Why: "weighed back"})
		}
	}
	if len(used) > 0 && len(wasted) > 0 {
		used = nil // a total would have to count the waste too
	}
	return wasted, more, used
}

// flowers are bought for an order alone, fresh, at what the market asks.
func (y *year) flowers(d *deal, o order) ([]actual.GoodsBought, error) {
	var lines []actual.GoodsBought
	for _, id := range fresh {
		n, there := o.quantity[id]
		if !there {
			continue
		}
		on := d.event.AddDays(-d.dice.between(1, 2))
		percent := map[bool]int{true: 100 + d.dice.between(8, 24), false: 100 + d.dice.between(-10, 6)}[on.Time().Month() == 2 || on.Time().Month() == 5]
		line, err := y.invoiced(id, n, on, percent*10)
		if err != nil {
			return nil, err
		}
		line.Invoice = fmt.Sprintf("F%d", 300+d.key)
		lines = append(lines, line)
	}
	return lines, nil
}

var fresh = []book.ID{"rose-stem", "eucalyptus"}

// byID sorts the goods of an order, so that nothing hangs on the order of a
// map.
func byID(quantity map[book.ID]exact.Number) []book.ID {
	list := make([]book.ID, 0, len(quantity))
	for id := range quantity {
		list = append(list, id)
	}
	slices.SortFunc(list, func(a, b book.ID) int { return cmp.Compare(a, b) })
	return list
}
