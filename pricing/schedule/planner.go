package schedule

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// planner goes through the work once, from the last hand-over to the first bowl.
type planner struct {
	x        *book.Index
	c        Capacity
	rota     *rota
	known    *Known
	needs    map[book.ID][]need
	items    []Item
	makings  []Making
	kept     []Clash
	unstated []Named
	lasting  map[book.ID][]int // see lasts
}

// need is so much of a component that something takes.
type need struct {
	by       int // what takes it begins
	until    int // it has to keep
	quantity exact.Number
	into     Named
	tier     string
	tierNo   int
	orders   []string
}

func newPlanner(k *Known, c Capacity) *planner {
	return &planner{x: k.x, c: c, rota: newRota(c), known: k, needs: map[book.ID][]need{}, lasting: map[book.ID][]int{}}
}

// order plans the tasks of an order, last ones first, and notes what they need.
func (p *planner) order(o Order) error {
	over := o.handOver(p.c)
	leaves := over // when the cakes have to be done
	var beside []quote.ExtraWanted
	for _, w := range o.Extras {
		e, ok := p.x.Extra(w.Extra)
		switch {
		case !ok:
			return fmt.Errorf("order %s: %q is no extra of the book", o.Ref, w.Extra)
		case w.Quantity < 1:
			return fmt.Errorf("order %s: %s: the quantity must be at least 1, not %d", o.Ref, e.Name, w.Quantity)
		case !travels(e):
			beside = append(beside, w)
			continue
		}
		start, err := p.extra(o, e, w.Quantity, leaves, over)
		if err != nil {
			return fmt.Errorf("order %s: %w", o.Ref, err)
		}
		leaves = start
	}
	for _, w := range o.Cakes {
		if err := p.cake(o, w, leaves, over); err != nil {
			return fmt.Errorf("order %s: %w", o.Ref, err)
		}
	}
	for _, w := range beside {
		e, _ := p.x.Extra(w.Extra)
		if _, err := p.extra(o, e, w.Quantity, leaves, over); err != nil {
			return fmt.Errorf("order %s: %w", o.Ref, err)
		}
	}
	return nil
}

// extra plans an extra to be done by a minute, and returns when it begins. One
// that travels is an appointment.
func (p *planner) extra(o Order, e *book.Extra, copies, by, over int) (int, error) {
	t, err := p.known.Extra(e.ID, o.Km)
	if err != nil {
		return 0, err
	}
	w := siteWork(p.x, e.Tasks, t.Uses, copies)
	if err := w.check(e.Name); err != nil {
		return 0, err
	}
	needs := p.direct(t, 0, copies, over)
	var at placed
	fixed := travels(e)
	if fixed {
		at, _ = p.rota.place(w, by-w.net(), by, true)
	} else {
		at = p.site(w, p.bound(needs, by-w.net()), by)
	}
	item := Item{Part: Extra, Of: Named{e.ID, e.Name}, Copies: copies, Orders: []string{o.Ref}, Fixed: fixed}
	p.write(w, at, item)
	p.ask(needs, at.start, item)
	return at.start, nil
}

// cake plans a cake of an order: its own tasks, and before them those of its
// tiers.
func (p *planner) cake(o Order, wanted quote.CakeWanted, by, over int) error {
	c, ok := p.x.Cake(wanted.Cake)
	if !ok {
		return fmt.Errorf("%q is no cake of the book", wanted.Cake)
	}
	if wanted.Quantity < 1 {
		return fmt.Errorf("%s: the quantity must be at least 1, not %d", c.Name, wanted.Quantity)
	}
	t, err := p.known.Cake(c.ID)
	if err != nil {
		return err
	}
	n := wanted.Quantity
	whole := siteWork(p.x, c.Tasks, usesAt(t, 0), n)
	if err := whole.check(c.Name); err != nil {
		return err
	}
	needs := p.direct(t, 0, n, over)
	latest := by - whole.net()
	lo := p.bound(needs, latest)
	tiers := make([]work, len(c.Tiers))
	tierNeeds := make([]map[book.ID]need, len(c.Tiers))
	for i, tier := range c.Tiers {
		tiers[i] = siteWork(p.x, tier.Tasks, usesAt(t, i+1), n)
		if err := tiers[i].check(c.Name + ", " + tier.Name); err != nil {
			return err
		}
		tierNeeds[i] = p.direct(t, i+1, n, over)
		// The whole must not begin so early that a tier would have to be built
		// before its components can last to the hand-over.
		net := tiers[i].net()
		lo = max(lo, p.bound(tierNeeds[i], latest-net)+net)
	}
	item := Item{Part: Cake, Of: Named{c.ID, c.Name}, Copies: n, Orders: []string{o.Ref}}
	at := p.site(whole, lo, by)
	p.write(whole, at, item)
	p.ask(needs, at.start, item)
	for i := len(tiers) - 1; i >= 0; i-- {
		item.Part, item.Tier, item.TierNumber = Tier, c.Tiers[i].Name, i+1
		built := p.site(tiers[i], p.bound(tierNeeds[i], at.start-tiers[i].net()), at.start)
		p.write(tiers[i], built, item)
		p.ask(tierNeeds[i], built.start, item)
	}
	return nil
}

func usesAt(t pricing.Takeoff, tier int) []pricing.Use {
	var list []pricing.Use
	for _, u := range t.Uses {
		if u.Place.Number == tier && u.Place.Component == "" && u.Kind != pricing.Overhead {
			list = append(list, u)
		}
	}
	return list
}

// direct sums what a tier (by its number) or the whole (0) takes of each
// component itself.
func (p *planner) direct(t pricing.Takeoff, tier, copies, over int) map[book.ID]need {
	needs := map[book.ID]need{}
	for _, m := range t.Makings {
		for _, n := range m.Needs {
			if n.Place.Component != "" || n.Place.Number != tier || n.Quantity.IsZero() {
				continue
			}
			sum := needs[m.Component.ID]
			sum.until = over
			sum.quantity = sum.quantity.Add(n.Quantity.Mul(exact.Int(int64(copies))))
			needs[m.Component.ID] = sum
		}
	}
	return needs
}

// longAgo stands for no bound.
const longAgo = -1 << 50

// bound returns the minute before which work must not take its components, for
// them to last to the hand-over. One that cannot, even where the work begins at
// the latest possible minute, bounds nothing: see the keeping clashes.
func (p *planner) bound(needs map[book.ID]need, latest int) int {
	lo := longAgo
	for id, n := range needs {
		it, _ := p.x.Item(id)
		lo = max(lo, p.lastsFrom(it.Component, n.until, latest))
	}
	return lo
}

// lastsFrom returns the earliest minute, up to latest, from which a component
// lasts until another.
func (p *planner) lastsFrom(c *book.Component, until, latest int) int {
	lo := longAgo
	for _, minutes := range p.lasts(c) {
		if from := until - minutes; from <= latest {
			lo = max(lo, from)
		}
	}
	return lo
}

// lasts returns the keeping times that bound the use of a component: its own,
// or where it states none, those of what is in it.
func (p *planner) lasts(c *book.Component) []int {
	if keeps, ok := p.keeps(c); ok {
		return []int{keeps}
	}
	if list, ok := p.lasting[c.ID]; ok {
		return list
	}
	var list []int
	for _, used := range p.uses(c) {
		list = append(list, p.lasts(used)...)
	}
	slices.Sort(list)
	list = slices.Compact(list)
	p.lasting[c.ID] = list
	return list
}

// keeps returns the keeping time of a component in whole minutes, rounded down.
func (p *planner) keeps(c *book.Component) (int, bool) {
	if !c.Keeps.Given() {
		return 0, false
	}
	n := c.Keeps.Base(p.x.Household()).Floor()
	if !n.IsInt64() || n.Int64() > -longAgo/4 {
		return -longAgo / 4, true
	}
	return int(n.Int64()), true
}

// site places the work of a tier, cake or extra, from lo on where it can be. A
// day is left for making what must not be made earlier, where there is one.
func (p *planner) site(w work, lo, by int) placed {
	reach := by - w.reach(p.c)
	if by-w.net() >= lo+DayMinutes {
		if at, ok := p.rota.place(w, max(lo+DayMinutes, reach), by, false); ok {
			return at
		}
	}
	if at, ok := p.rota.place(w, max(lo, reach), by, false); ok {
		return at
	}
	at, _ := p.rota.place(w, max(lo, reach), by, true)
	return at
}

// write notes the items of placed work.
func (p *planner) write(w work, at placed, it Item) {
	first := true
	for i, s := range w.steps {
		for j, taken := range at.spans[i] {
			item := it
			item.Start, item.End = moment(taken.start), moment(taken.end)
			item.Task, item.Wait, item.Runs = s.name, s.wait, s.runs
			if !s.wait {
				item.Role, item.Minutes = Named{s.role, s.roleName}, taken.minutes()
				item.Piece, item.Pieces = j+1, len(at.spans[i])
				if first && j == len(at.spans[i])-1 {
					for _, a := range w.runs {
						item.Appliances = append(item.Appliances, Running{Named{a.id, a.name}, a.minutes})
					}
					first = false
				}
			}
			p.items = append(p.items, item)
		}
	}
}

// ask notes what work that begins at a minute needs.
func (p *planner) ask(needs map[book.ID]need, by int, it Item) {
	for _, id := range slices.Sorted(maps.Keys(needs)) {
		n := needs[id]
		n.by, n.into, n.tier, n.tierNo, n.orders = by, it.Of, it.Tier, it.TierNumber, it.Orders
		p.needs[id] = append(p.needs[id], n)
	}
}

func sortedKeys[V any](m map[book.ID]V) []book.ID { return slices.Sorted(maps.Keys(m)) }

// union merges sorted references.
func union(a, b []string) []string {
	all := slices.Concat(a, b)
	slices.Sort(all)
	return slices.Compact(all)
}

func compareNeeds(a, b need) int {
	return cmp.Or(cmp.Compare(a.by, b.by), cmp.Compare(a.until, b.until), slices.Compare(a.orders, b.orders),
		cmp.Compare(a.into.ID, b.into.ID), cmp.Compare(a.tierNo, b.tierNo), a.quantity.Cmp(b.quantity))
}
