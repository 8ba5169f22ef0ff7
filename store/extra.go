package store

import "marchpane/pricing/book"

// extras reads extras with their parts and work.
func (r *reader) extras(s scope) (list []book.Extra) {
	var v book.Extra
	query, args := s.of(`SELECT id, name, always, hidden, price, price_per_km, tax_rate FROM extra`, "id", "position")
	r.each(func() { list = append(list, v) }, query, args,
		name(&v.ID), &v.Name, maybe(&v.Always), maybe(&v.Hidden), maybe(&v.Price), maybe(&v.PricePerKm), maybe(&v.TaxRate))
	at := byID(list, func(v *book.Extra) book.ID { return v.ID })
	r.parts(s, ofExtra, func(of owner) *[]book.Part {
		if v := at[of.id]; v != nil {
			return &v.Parts
		}
		return nil
	})
	r.work(s, ofExtra, func(of owner) (*[]book.Task, *[]book.EquipmentUse) {
		if v := at[of.id]; v != nil {
			return &v.Tasks, &v.Equipment
		}
		return nil, nil
	})
	return list
}

func (w *writer) putExtra(position int, v book.Extra) {
	w.do(`INSERT INTO extra (id, position, name, always, hidden, price, price_per_km, tax_rate) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
		string(v.ID), position, v.Name, stated(v.Always), stated(v.Hidden), stated(v.Price), stated(v.PricePerKm), stated(v.TaxRate))
	of := owner{id: v.ID}
	w.putParts(ofExtra, of, v.Parts)
	w.putTasks(ofExtra, of, v.Tasks)
	w.putUses(ofExtra, of, v.Equipment)
}
