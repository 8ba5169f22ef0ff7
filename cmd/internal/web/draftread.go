package web

import (
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// cake returns a cake with what the boxes hold, and every fault at the path of
// its box. What has no box stays as it is in old.
func (d draft) cake(old book.Cake) (book.Cake, record.Faults) {
	var faults record.Faults
	f := form{values: d.Values}
	set := settings{
		"name": f.get("name"), "description": f.get("description"), "price": f.price("price"), "tax_rate": f.percent("tax_rate"),
		"portions": wholeNumber(f.get("portions")), "portion": d.portion(""), "target": d.target(),
	}
	tiers := []any{}
	for _, at := range d.rows("tiers") {
		tier := map[string]any{}
		put := func(key string, value any) {
			if value != nil && value != "" {
				tier[key] = value
			}
		}
		put("name", f.get(at+".name"))
		put("shape", f.get(at+".shape"))
		for _, name := range shape.Kind(f.get(at + ".shape")).Sizes() {
			put(name, f.figure(at+"."+name))
		}
		put("height", f.figure(at+".height"))
		put("portions", wholeNumber(f.get(at+".portions")))
		put("portion", d.portion(at+"."))
		for _, key := range []string{"dummy", "kept"} {
			if f.ticked(at + "." + key) {
				put(key, true)
			}
		}
		for key, rows := range d.uses(at+".", &faults) {
			if len(rows) > 0 {
				put(key, rows)
			}
		}
		tiers = append(tiers, tier)
	}
	set["tiers"] = rowsOrNone(tiers)
	for key, rows := range d.uses("", &faults) {
		set[key] = rowsOrNone(rows)
	}
	c, wrong := overlay(old, set)
	return c, boxed(append(faults, wrong...))
}

// extra is [draft.cake] for an extra.
func (d draft) extra(old book.Extra) (book.Extra, record.Faults) {
	var faults record.Faults
	f := form{values: d.Values}
	set := settings{
		"name": f.get("name"), "price": f.price("price"), "price_per_km": f.price("price_per_km"), "tax_rate": f.percent("tax_rate"),
		"always": nil, "hidden": nil,
	}
	for _, key := range []string{"always", "hidden"} {
		if f.ticked(key) {
			set[key] = true
		}
	}
	for key, rows := range d.uses("", &faults) {
		set[key] = rowsOrNone(rows)
	}
	e, wrong := overlay(old, set)
	return e, boxed(append(faults, wrong...))
}

func rowsOrNone(rows []any) any {
	if len(rows) == 0 {
		return nil
	}
	return rows
}

func (d draft) target() any {
	kind := d.text("target.kind")
	value := form{values: d.Values}.figure("target.value")
	switch kind {
	case "":
		return nil
	case "margin", "markup":
		value = form{values: d.Values}.percent("target.value")
	}
	return map[string]any{kind: value}
}

func (d draft) portion(at string) any {
	cut := d.text(at + "portion.cut")
	if cut == "" {
		return nil
	}
	p := map[string]any{"cut": cut}
	put := func(key string, value any) {
		if value != "" {
			p[key] = value
		}
	}
	f := form{values: d.Values}
	if cut == string(book.Finger) {
		put("width", f.figure(at+"portion.width"))
		put("depth", f.figure(at+"portion.depth"))
	} else {
		put("count", wholeNumber(f.get(at+"portion.count")))
	}
	return p
}

// uses returns the lists of what a tier, a cake or an extra takes.
func (d draft) uses(at string, faults *record.Faults) map[string][]any {
	f := form{values: d.Values}
	take := func(row, key string, keys ...string) map[string]any {
		m := map[string]any{}
		for _, k := range append(keys, key) {
			if text := f.figure(row + "." + k); text != "" {
				m[k] = text
				if k == "setup" || k == "rate" || k == "wait" {
					m[k] = inUnit(text, "min")
				}
			}
		}
		return m
	}
	lists := map[string][]any{"parts": {}, "tasks": {}, "equipment": {}}
	for _, row := range d.rows(at + "parts") {
		lists["parts"] = append(lists["parts"], d.part(row, faults))
	}
	for _, row := range d.rows(at + "tasks") {
		m := take(row, "task", "role", "setup", "rate", "wait")
		if m["task"] != nil {
			m["task"] = f.get(row + ".task") // words, no figure
		}
		if m["rate"] != nil {
			m["per"] = f.get(row + ".per")
		}
		if m["wait"] != nil && m["setup"] == nil && m["rate"] == nil {
			delete(m, "role") // nobody stands by
		}
		lists["tasks"] = append(lists["tasks"], m)
	}
	for _, row := range d.rows(at + "equipment") {
		m := take(row, "use", "setup", "rate")
		if m["rate"] != nil {
			m["per"] = f.get(row + ".per")
		}
		lists["equipment"] = append(lists["equipment"], m)
	}
	return lists
}

func (d draft) part(row string, faults *record.Faults) map[string]any {
	f := form{values: d.Values}
	m := map[string]any{"use": d.items.find(f.get(row + ".use"))}
	put := func(key string, value any) {
		if value != "" {
			m[key] = value
		}
	}
	if used := m["use"].(string); used == "" {
		faults.Add(row+".use", "say what it is of")
	} else if _, known := d.items.name[book.ID(used)]; !known {
		faults.Add(row+".use", "the studio has no ingredient or recipe called %.60q; choose one of the list, or add it under Prices or Recipes first", used)
	}
	amount := f.figure(row + ".amount")
	if amount == "" {
		faults.Add(row+".amount", "say how much")
	}
	switch how, on, _ := strings.Cut(f.get(row+".how"), ":"); how {
	case "layers":
		many, thick, ok := strings.Cut(strings.ReplaceAll(f.get(row+".amount"), "×", "x"), "x")
		n, err := strconv.Atoi(strings.TrimSpace(many))
		if !ok || err != nil {
			if amount != "" {
				faults.Add(row+".amount", "say how many layers and how thick each is, such as 3 x 8 mm")
			}
			break
		}
		m["layers"] = n
		put("thick", amountText(strings.TrimSpace(thick)))
	case "coat":
		put("coat", amount)
		put("on", on)
	case "sheet":
		put("sheet", amount)
		put("overhang", f.figure(row+".overhang"))
		put("reuse", f.percent(row+".reuse"))
	default:
		put("qty", amount)
		put("per", how)
	}
	put("waste", f.percent(row+".waste"))
	return m
}

// boxed gives faults the paths of the boxes that they belong to. Of the same
// box the first is told.
func boxed(faults record.Faults) record.Faults {
	var list record.Faults
	seen := map[string]bool{}
	for _, f := range faults {
		f.Path = boxOf(f.Path)
		if !seen[f.Path] || f.Path == "" {
			list = append(list, f)
		}
		seen[f.Path] = true
	}
	return list
}

func boxOf(path string) string {
	i := strings.LastIndex(path, ".")
	before, key := path[:max(i, 0)], path[i+1:]
	in := func(list string) bool {
		last := before[strings.LastIndex(before, ".")+1:]
		return strings.HasPrefix(last, list+"[")
	}
	switch {
	case in("parts"):
		switch key {
		case "qty", "layers", "thick", "coat", "sheet":
			return before + ".amount"
		case "per", "on":
			return before + ".how"
		}
	case before == "target":
		return "target.value"
	}
	switch name, _, row := strings.Cut(key, "["); {
	case row && name == "parts":
		return path + ".amount"
	case row && name == "tasks":
		return path + ".task"
	case row && name == "equipment":
		return path + ".use"
	case row && name == "tiers":
		return path + ".portion.cut" // nothing says how it is cut
	case key == "portion":
		return path + ".cut"
	case key == "target":
		return "target.value"
	}
	return path
}
