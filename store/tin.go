package store

import "marchpane/pricing/book"

// tins reads the tins that the studio owns.
func (r *reader) tins(s scope) (list []book.Tin) {
	var v book.Tin
	query, args := s.of(`SELECT id, shape, diameter, side, length, width, area, perimeter, height, holds, owned, name FROM tin`, "id", "position")
	r.each(func() { list = append(list, v) }, query, args,
		name(&v.ID), text(&v.Shape), text(&v.Diameter), text(&v.Side), text(&v.Length), text(&v.Width),
		text(&v.Area), text(&v.Perimeter), text(&v.Height), text(&v.Holds), maybe(&v.Owned), maybe(&v.Name))
	return list
}

func (w *writer) putTin(position int, v book.Tin) {
	w.do(`INSERT INTO tin (id, position, shape, diameter, side, length, width, area, perimeter, height, holds, owned, name)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		string(v.ID), position, string(v.Shape), typed(v.Diameter), typed(v.Side), typed(v.Length), typed(v.Width),
		typed(v.Area), typed(v.Perimeter), typed(v.Height), typed(v.Holds), stated(v.Owned), stated(v.Name))
}
