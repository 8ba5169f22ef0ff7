package store

import (
	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// cakes reads cakes with their tiers, parts and work.
func (r *reader) cakes(s scope) []book.Cake {
	list := r.cakeHeads(s)
	at := byID(list, func(v *book.Cake) book.ID { return v.ID })

	var of book.ID
	var t book.Tier
	var cut cutColumns
	query, args := s.of(`SELECT cake, name, shape, diameter, side, length, width, area, perimeter, height, dummy, kept,
		portion_cut, portion_width, portion_depth, portion_count, portions FROM tier`, "cake", "cake, position")
	portions := map[cutColumns]*book.Portion{}
	r.each(func() {
		t.Portion = shared(portions, cut)
		if v := at[of]; v != nil {
			v.Tiers = append(v.Tiers, t)
		}
	}, query, args,
		name(&of), said(&t.Name), text(&t.Shape), text(&t.Diameter), text(&t.Side), text(&t.Length), text(&t.Width),
		text(&t.Area), text(&t.Perimeter), text(&t.Height), maybe(&t.Dummy), maybe(&t.Kept),
		maybe(&cut.cut), text(&cut.width), text(&cut.depth), maybe(&cut.count), maybe(&t.Portions))

	// on returns the cake or its tier that owns a row.
	on := func(of owner) (*book.Cake, *book.Tier) {
		v := at[of.id]
		if v == nil || of.tier < 1 || of.tier > len(v.Tiers) {
			return v, nil
		}
		return v, &v.Tiers[of.tier-1]
	}
	r.parts(s, ofCake, func(of owner) *[]book.Part {
		v, tier := on(of)
		switch {
		case tier != nil:
			return &tier.Parts
		case v != nil:
			return &v.Parts
		}
		return nil
	})
	r.work(s, ofCake, func(of owner) (*[]book.Task, *[]book.EquipmentUse) {
		v, tier := on(of)
		switch {
		case tier != nil:
			return &tier.Tasks, &tier.Equipment
		case v != nil:
			return &v.Tasks, &v.Equipment
		}
		return nil, nil
	})
	return list
}

// cutColumns is a portion rule as columns.
type cutColumns struct {
	cut          record.Maybe[book.Cut]
	width, depth measure.Quantity
	count        record.Maybe[int]
}

func (c cutColumns) portion() *book.Portion {
	if !c.cut.Given {
		return nil
	}
	return &book.Portion{Cut: c.cut.Value, Width: c.width, Depth: c.depth, Count: c.count}
}

// shared returns the rule that columns say. A few rules serve all cakes.
func shared(known map[cutColumns]*book.Portion, cut cutColumns) *book.Portion {
	p, there := known[cut]
	if !there {
		p = cut.portion()
		known[cut] = p
	}
	return p
}

func columnsOf(p *book.Portion) (cut, width, depth, count any) {
	if p == nil {
		return nil, nil, nil, nil
	}
	return string(p.Cut), typed(p.Width), typed(p.Depth), stated(p.Count)
}

func (w *writer) putCake(position int, v book.Cake) {
	var target book.Target
	if v.Target != nil {
		target = *v.Target
	}
	cut, width, depth, count := columnsOf(v.Portion)
	w.do(`INSERT INTO cake (id, position, name, description, price, target_margin, target_markup, target_per_portion, target_fixed, tax_rate,
		portion_cut, portion_width, portion_depth, portion_count, portions) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		string(v.ID), position, v.Name, stated(v.Description), stated(v.Price),
		stated(target.Margin), stated(target.Markup), stated(target.PerPortion), stated(target.Fixed), stated(v.TaxRate),
		cut, width, depth, count, stated(v.Portions))
	for i := range v.Tiers {
		w.putTier(v.ID, i+1, &v.Tiers[i])
	}
	of := owner{id: v.ID}
	w.putParts(ofCake, of, v.Parts)
	w.putTasks(ofCake, of, v.Tasks)
	w.putUses(ofCake, of, v.Equipment)
}

func (w *writer) putTier(cake book.ID, position int, t *book.Tier) {
	cut, width, depth, count := columnsOf(t.Portion)
	w.do(`INSERT INTO tier (cake, position, name, shape, diameter, side, length, width, area, perimeter, height, dummy, kept,
		portion_cut, portion_width, portion_depth, portion_count, portions) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		string(cake), position, t.Name, string(t.Shape), typed(t.Diameter), typed(t.Side), typed(t.Length), typed(t.Width),
		typed(t.Area), typed(t.Perimeter), typed(t.Height), stated(t.Dummy), stated(t.Kept),
		cut, width, depth, count, stated(t.Portions))
	of := owner{id: cake, tier: position}
	w.putParts(ofCake, of, t.Parts)
	w.putTasks(ofCake, of, t.Tasks)
	w.putUses(ofCake, of, t.Equipment)
}

// cakeHeads reads cakes as far as they stand in one row: what they are called,
// priced and cut by.
func (r *reader) cakeHeads(s scope) (list []book.Cake) {
	var v book.Cake
	var target book.Target
	var cut cutColumns
	portions := map[cutColumns]*book.Portion{}
	query, args := s.of(`SELECT id, name, description, price, target_margin, target_markup, target_per_portion, target_fixed, tax_rate,
		portion_cut, portion_width, portion_depth, portion_count, portions FROM cake`, "id", "position")
	r.each(func() {
		if v.Target = nil; target != (book.Target{}) {
			own := target
			v.Target = &own
		}
		v.Portion = shared(portions, cut)
		list = append(list, v)
	}, query, args,
		name(&v.ID), &v.Name, maybe(&v.Description), maybe(&v.Price),
		maybe(&target.Margin), maybe(&target.Markup), maybe(&target.PerPortion), maybe(&target.Fixed), maybe(&v.TaxRate),
		maybe(&cut.cut), text(&cut.width), text(&cut.depth), maybe(&cut.count), maybe(&v.Portions))
	return list
}
