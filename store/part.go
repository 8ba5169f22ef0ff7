package store

import (
	"encoding/binary"
	"slices"

	"marchpane/pricing/book"
)

// Parts, tasks and equipment uses stand in one table each, whoever owns them.
// An ownership is the column that names the owner.
type ownership struct {
	column string
	order  string // as an index has it
}

var (
	ofComponent = ownership{"component", "component, position"}
	ofCake      = ownership{"cake", "cake, coalesce(tier, 0), position"}
	ofExtra     = ownership{"extra", "extra, position"}
)

// owner is whose a row is: a component's, an extra's, a cake's as a whole
// (tier 0), or that of one of its tiers, counted from 1.
type owner struct {
	id   book.ID
	tier int
}

// columns returns the owner as the columns component, cake, tier, extra.
func (o ownership) columns(of owner) (component, cake, tier, extra any) {
	switch o {
	case ofComponent:
		return string(of.id), nil, nil, nil
	case ofExtra:
		return nil, nil, nil, string(of.id)
	}
	if of.tier > 0 {
		tier = of.tier
	}
	return nil, string(of.id), tier, nil
}

// parts reads the parts of owners in scope into the lists that to returns; nil
// is for nobody.
func (r *reader) parts(s scope, o ownership, to func(owner) *[]book.Part) {
	var of owner
	var p book.Part
	query, args := s.of(`SELECT coalesce(cake, extra), coalesce(tier, 0), use, qty, per, layers, thick, coat, coat_on, sheet, overhang, reuse, waste FROM part`, o.column, o.order)
	lists := gather[book.Part]{}
	defer lists.close()
	r.each(func() { lists.add(of, p, to) }, query, args,
		name(&of.id), &of.tier, name(&p.Use), text(&p.Qty), text(&p.Per), maybe(&p.Layers), text(&p.Thick),
		text(&p.Coat), text(&p.On), text(&p.Sheet), text(&p.Overhang), maybe(&p.Reuse), maybe(&p.Waste))
}

// work reads tasks and equipment uses likewise.
func (r *reader) work(s scope, o ownership, to func(owner) (*[]book.Task, *[]book.EquipmentUse)) {
	var of owner
	var t book.Task
	query, args := s.of(`SELECT coalesce(component, cake, extra), coalesce(tier, 0), task, role, setup, rate, per, wait FROM task`, o.column, o.order)
	tasks := gather[book.Task]{}
	defer tasks.close()
	r.each(func() { tasks.add(of, t, func(of owner) *[]book.Task { list, _ := to(of); return list }) }, query, args,
		name(&of.id), &of.tier, said(&t.Name), name(&t.Role), text(&t.Setup), text(&t.Rate), text(&t.Per), text(&t.Wait))

	var u book.EquipmentUse
	query, args = s.of(`SELECT coalesce(component, cake, extra), coalesce(tier, 0), use, setup, rate, per FROM equipment_use`, o.column, o.order)
	uses := gather[book.EquipmentUse]{}
	defer uses.close()
	r.each(func() { uses.add(of, u, func(of owner) *[]book.EquipmentUse { _, list := to(of); return list }) }, query, args,
		name(&of.id), &of.tier, name(&u.Use), text(&u.Setup), text(&u.Rate), text(&u.Per))
}

// gather makes lists of rows that come owner by owner. Many designs are made
// from one another, so that the same list comes again and again; it stands in
// memory once, and nobody adds to it in place.
type gather[T comparable] struct {
	of      owner
	into    *[]T
	pending []T
	number  map[T]uint32   // of each row that differs
	known   map[string][]T // lists, by the numbers of their rows
	key     []byte
}

func (g *gather[T]) add(of owner, row T, to func(owner) *[]T) {
	if g.into == nil || g.of != of {
		g.close()
		g.of, g.into = of, to(of)
		if g.into == nil {
			return // nobody's
		}
	}
	if g.number == nil {
		g.number, g.known = map[T]uint32{}, map[string][]T{}
	}
	n, there := g.number[row]
	if !there {
		n = uint32(len(g.number))
		g.number[row] = n
	}
	g.key = binary.LittleEndian.AppendUint32(g.key, n)
	g.pending = append(g.pending, row)
}

// close hands over the list of the last owner.
func (g *gather[T]) close() {
	if len(g.pending) > 0 {
		list, there := g.known[string(g.key)]
		if !there {
			list = slices.Clip(slices.Clone(g.pending))
			g.known[string(g.key)] = list
		}
		*g.into = list
	}
	g.pending, g.key, g.into = g.pending[:0], g.key[:0], nil
}

func (w *writer) putParts(o ownership, of owner, list []book.Part) {
	_, cake, tier, extra := o.columns(of)
	for i, p := range list {
		w.do(`INSERT INTO part (cake, tier, extra, position, use, qty, per, layers, thick, coat, coat_on, sheet, overhang, reuse, waste)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			cake, tier, extra, i+1, string(p.Use), typed(p.Qty), word(p.Per), stated(p.Layers), typed(p.Thick),
			typed(p.Coat), word(p.On), typed(p.Sheet), typed(p.Overhang), stated(p.Reuse), stated(p.Waste))
	}
}

func (w *writer) putTasks(o ownership, of owner, list []book.Task) {
	component, cake, tier, extra := o.columns(of)
	for i, t := range list {
		w.do(`INSERT INTO task (component, cake, tier, extra, position, task, role, setup, rate, per, wait)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			component, cake, tier, extra, i+1, t.Name, word(t.Role), typed(t.Setup), typed(t.Rate), word(t.Per), typed(t.Wait))
	}
}

func (w *writer) putUses(o ownership, of owner, list []book.EquipmentUse) {
	component, cake, tier, extra := o.columns(of)
	for i, u := range list {
		w.do(`INSERT INTO equipment_use (component, cake, tier, extra, position, use, setup, rate, per)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			component, cake, tier, extra, i+1, string(u.Use), typed(u.Setup), typed(u.Rate), word(u.Per))
	}
}
