package store

import "marchpane/pricing/book"

// roles reads roles without their wages.
func (r *reader) roles(s scope) (list []book.Role) {
	var v book.Role
	query, args := s.of(`SELECT id, name, on_cost, productive FROM role`, "id", "position")
	r.each(func() { list = append(list, v) }, query, args,
		name(&v.ID), &v.Name, maybe(&v.OnCost), maybe(&v.Productive))
	return list
}

// putRole writes a role without its wages.
func (w *writer) putRole(position int, v book.Role) {
	w.claim(v.ID, "role")
	w.do(`INSERT INTO role (id, position, name, on_cost, productive) VALUES (?, ?, ?, ?, ?)`,
		string(v.ID), position, v.Name, stated(v.OnCost), stated(v.Productive))
}

// appliances reads the equipment.
func (r *reader) appliances(s scope) (list []book.Appliance) {
	var v book.Appliance
	query, args := s.of(`SELECT id, name, power, duty, per_hour FROM equipment`, "id", "position")
	r.each(func() { list = append(list, v) }, query, args,
		name(&v.ID), &v.Name, text(&v.Power), maybe(&v.Duty), maybe(&v.PerHour))
	return list
}

func (w *writer) putAppliance(position int, v book.Appliance) {
	w.claim(v.ID, "equipment")
	w.do(`INSERT INTO equipment (id, position, name, power, duty, per_hour) VALUES (?, ?, ?, ?, ?, ?)`,
		string(v.ID), position, v.Name, typed(v.Power), stated(v.Duty), stated(v.PerHour))
}
