package store

import (
	"marchpane/pricing/book"
)

// components reads components with their lines and work, without their flags.
func (r *reader) components(s scope) (list []book.Component) {
	var v book.Component
	var mould book.Mould
	query, args := s.of(`SELECT id, name, kind, loss, yield, density, batch_min, batch_max, keeps, method,
		shape, diameter, side, length, width, area, perimeter, height, holds
		FROM component LEFT JOIN mould ON component = id`, "id", "position")
	r.each(func() {
		v.Lines = []book.Line{}
		if v.Mould = nil; mould != (book.Mould{}) {
			own := mould
			v.Mould = &own
		}
		list = append(list, v)
	}, query, args,
		name(&v.ID), &v.Name, maybe(&v.Kind), maybe(&v.Loss), text(&v.Yield), text(&v.Density),
		text(&v.BatchMin), text(&v.BatchMax), text(&v.Keeps), maybe(&v.Method),
		text(&mould.Shape), text(&mould.Diameter), text(&mould.Side), text(&mould.Length), text(&mould.Width),
		text(&mould.Area), text(&mould.Perimeter), text(&mould.Height), text(&mould.Holds))
	at := byID(list, func(v *book.Component) book.ID { return v.ID })

	var of book.ID
	var line book.Line
	query, args = s.of(`SELECT component, use, qty, note FROM line`, "component", "component, position")
	r.each(func() {
		if v := at[of]; v != nil {
			v.Lines = append(v.Lines, line)
		}
	}, query, args, name(&of), name(&line.Use), text(&line.Qty), maybe(&line.Note))

	r.work(s, ofComponent, func(of owner) (*[]book.Task, *[]book.EquipmentUse) {
		if v := at[of.id]; v != nil {
			return &v.Tasks, &v.Equipment
		}
		return nil, nil
	})
	return list
}

func (w *writer) putComponent(position int, v book.Component) {
	w.claim(v.ID, "component")
	w.do(`INSERT INTO component (id, position, name, kind, loss, yield, density, batch_min, batch_max, keeps, method)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		string(v.ID), position, v.Name, stated(v.Kind), stated(v.Loss), typed(v.Yield), typed(v.Density),
		typed(v.BatchMin), typed(v.BatchMax), typed(v.Keeps), stated(v.Method))
	if f := v.Mould; f != nil {
		w.do(`INSERT INTO mould (component, shape, diameter, side, length, width, area, perimeter, height, holds)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			string(v.ID), word(f.Shape), typed(f.Diameter), typed(f.Side), typed(f.Length), typed(f.Width),
			typed(f.Area), typed(f.Perimeter), typed(f.Height), typed(f.Holds))
	}
	for i, l := range v.Lines {
		w.do(`INSERT INTO line (component, position, use, qty, note) VALUES (?, ?, ?, ?, ?)`,
			string(v.ID), i+1, string(l.Use), typed(l.Qty), stated(l.Note))
	}
	of := owner{id: v.ID}
	w.putTasks(ofComponent, of, v.Tasks)
	w.putUses(ofComponent, of, v.Equipment)
	w.putFlags(v.ID, v.Flags)
}
