package schedule

import (
	"cmp"
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// components makes every component that is needed, each after all that takes
// it is placed; of those that could be next, the one that keeps shortest, since
// it has least choice of days.
func (p *planner) components() error {
	waiting := p.reached()
	users := map[book.ID]int{} // makings still to be planned that may take it
	for _, c := range waiting {
		for _, used := range p.uses(c) {
			users[used.ID]++
		}
	}
	for len(waiting) > 0 {
		next := -1
		for i, c := range waiting {
			if users[c.ID] == 0 && (next < 0 || p.sooner(c, waiting[next])) {
				next = i
			}
		}
		if next < 0 {
			return fmt.Errorf("%s uses itself; mend its lines", waiting[0].Name)
		}
		c := waiting[next]
		waiting = slices.Delete(waiting, next, next+1)
		for _, used := range p.uses(c) {
			users[used.ID]--
		}
		if err := p.component(c); err != nil {
			return fmt.Errorf("%s: %w", c.Name, err)
		}
	}
	return nil
}

// reached lists the components needed, and all that those use.
func (p *planner) reached() []*book.Component {
	var list []*book.Component
	seen := map[book.ID]bool{}
	var visit func(c *book.Component)
	visit = func(c *book.Component) {
		if seen[c.ID] {
			return
		}
		seen[c.ID] = true
		list = append(list, c)
		for _, used := range p.uses(c) {
			visit(used)
		}
	}
	for _, id := range sortedKeys(p.needs) {
		if it, ok := p.x.Item(id); ok && it.Component != nil {
			visit(it.Component)
		}
	}
	return list
}

// uses lists the components on the lines of another, each once.
func (p *planner) uses(c *book.Component) []*book.Component {
	var list []*book.Component
	for _, line := range c.Lines {
		if it, ok := p.x.Item(line.Use); ok && it.Component != nil && !slices.Contains(list, it.Component) {
			list = append(list, it.Component)
		}
	}
	return list
}

func (p *planner) sooner(a, b *book.Component) bool {
	keeps := func(c *book.Component) int {
		if n, ok := p.keeps(c); ok {
			return n
		}
		return Ahead * DayMinutes
	}
	return cmp.Or(cmp.Compare(keeps(a), keeps(b)), cmp.Compare(a.ID, b.ID)) < 0
}

// component plans the makings of a component for all its needs, the earliest
// first; each serves as many of the later ones as keeping, hands and batches
// make worth while.
func (p *planner) component(c *book.Component) error {
	rest := p.needs[c.ID]
	if len(rest) == 0 {
		return nil
	}
	if _, ok := p.keeps(c); !ok {
		p.unstated = append(p.unstated, Named{c.ID, c.Name})
	}
	slices.SortFunc(rest, compareNeeds)
	for len(rest) > 0 {
		g, err := p.group(c, rest[0])
		if err != nil {
			return err
		}
		var left []need
		for _, n := range rest[1:] {
			joined, err := p.join(g, n)
			if err != nil {
				return err
			}
			if joined == nil {
				left = append(left, n)
				continue
			}
			g = *joined
		}
		if err := p.make(g); err != nil {
			return err
		}
		rest = left
	}
	return nil
}

// group is needs that one making serves.
type group struct {
	batch
	needs []need
	by    int // the first of them begins
	until int // the last of them is handed over
	fits  bool
}

func (p *planner) group(c *book.Component, needs ...need) (group, error) {
	g := group{needs: needs, by: needs[0].by, until: needs[0].until}
	var sum exact.Number
	for _, n := range needs {
		g.by, g.until = min(g.by, n.by), max(g.until, n.until)
		sum = sum.Add(n.quantity)
	}
	var err error
	if g.batch, err = p.known.batch(c, sum); err != nil {
		return group{}, err
	}
	mark := len(p.rota.log)
	_, g.fits, err = p.runs(g, false)
	p.rota.undo(mark)
	return g, err
}

// join returns g with one more need, or nil where that would not serve.
func (p *planner) join(g group, n need) (*group, error) {
	by, until := min(g.by, n.by), max(g.until, n.until)
	keeps, stated := p.keeps(g.c)
	switch {
	case !stated && until != min(g.until, n.until):
		return nil, nil // nobody said that it keeps from one hand-over to the next
	case stated && until-by > keeps:
		return nil, nil
	case !g.fits && stated && until-by > keeps-DayMinutes:
		return nil, nil // where work is overbooked, leave a day to do it in
	}
	alone, err := p.known.batch(g.c, n.quantity)
	if err != nil {
		return nil, err
	}
	both, err := p.group(g.c, append(slices.Clone(g.needs), n)...)
	if err != nil || both.batches >= g.batches+alone.batches || g.fits && !both.fits {
		return nil, err
	}
	return &both, nil
}

// planned is some batches of a group with their time.
type planned struct {
	batch
	work
	placed
}

// runs places the batches of a group, as many at once as find room. Where hands
// do not suffice it answers false, or (force) overbooks.
func (p *planner) runs(g group, force bool) ([]planned, bool, error) {
	most, err := g.most(p.x, p.c)
	if err != nil {
		return nil, false, err
	}
	parts := (g.batches + most - 1) / most
	var list []planned
	for i := range parts {
		n := g.batches*(i+1)/parts - g.batches*i/parts
		if list, err = p.run(g, n, force, list); err != nil || list == nil {
			return nil, false, err
		}
	}
	return list, true, nil
}

// halving is the most batches that are tried in smaller runs.
const halving = 16

// run places n batches and adds them to list; nil where they do not fit.
func (p *planner) run(g group, n int, force bool, list []planned) ([]planned, error) {
	b := g.share(n)
	w, err := b.work(p.x, p.c)
	if err != nil {
		return nil, err
	}
	lo := p.earliest(g, w)
	at, ok := p.rota.place(w, lo, g.by, false)
	if !ok && n > 1 && n <= halving {
		if list, err = p.run(g, n/2, force, list); err != nil || list == nil {
			return nil, err
		}
		return p.run(g, n-n/2, force, list)
	}
	if !ok && force {
		at, ok = p.rota.place(w, lo, g.by, true)
	}
	if !ok {
		return nil, nil
	}
	return append(list, planned{b, w, at}), nil
}

// earliest returns the minute from which work on a component may begin for it
// to last.
func (p *planner) earliest(g group, w work) int {
	reach, latest := g.by-w.reach(p.c), g.by-w.net()
	if keeps, stated := p.keeps(g.c); stated {
		if lo := g.until - keeps - w.net(); lo <= latest {
			return max(lo, latest-horizon)
		}
		return reach // it cannot last
	}
	return max(reach, p.lastsFrom(g.c, g.until, latest)) // what is in it has to last as well
}

// make places a group for good and asks for what goes into it.
func (p *planner) make(g group) error {
	runs, _, err := p.runs(g, true)
	if err != nil {
		return err
	}
	keeps, stated := p.keeps(g.c)
	var orders []string
	for _, n := range g.needs {
		orders = union(orders, n.orders)
	}
	of := Named{g.c.ID, g.c.Name}
	for _, r := range runs {
		m := Making{
			Number: len(p.makings) + 1, Component: of, Batches: r.batches, Quantity: r.made, Unit: r.unit,
			Start: moment(r.start), Ready: moment(r.end), KeptFrom: moment(r.keptFrom), Orders: orders,
		}
		share := exact.Frac(int64(r.batches), int64(g.batches))
		for _, n := range g.needs {
			m.Uses = append(m.Uses, Use{moment(n.by), moment(n.until), n.quantity.Mul(share), n.into, n.tier, n.tierNo, n.orders})
		}
		until := g.until
		if stated {
			m.GoodUntil = moment(r.keptFrom + keeps)
			if r.keptFrom+keeps < g.until {
				p.kept = append(p.kept, keptTooLong(m, g.until))
			}
			until = r.keptFrom // from then on, its own keeping time says how long
		}
		p.makings = append(p.makings, m)
		p.write(r.work, r.placed, Item{Part: Component, Of: of, Making: m.Number, Orders: orders})
		for _, in := range r.inputs(p.x) {
			p.needs[in.c.ID] = append(p.needs[in.c.ID], need{by: r.start, until: until, quantity: in.quantity, into: of, orders: orders})
		}
	}
	return nil
}
