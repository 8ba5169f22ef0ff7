package book

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"marchpane/pricing/record"
)

// Changes counts what a merge did.
type Changes struct {
	Added, Changed, Same int // objects: roles, appliances, ingredients, components, tins, cakes, extras
	Prices               int // dated entries added: prices, wages, energy, overhead
}

// Merge lays a file over a book: an object replaces the one of its id whole,
// except that dated entries are only added; a dated entry equal in every key
// is not added again; the studio is replaced; new objects go last; nothing is
// removed. A use may name what the file or base has.
//
// The merged book is checked whole. A fault in an object that the file holds
// has its path in the file; one that the file causes in an object of base says
// so. Neither argument is changed.
func Merge(base, file Book) (Book, Changes, error) {
	b, m := merge(base, file)
	faults := validate(NewIndex(b), m.place, damage{})
	return b, m.changes, faults.Err()
}

func merge(base, file Book) (Book, *merger) {
	m := merger{origin: map[string]map[int]int{}}
	b := Book{Format: file.Format, Studio: file.Studio}
	b.Roles = mergeList(&m, "roles", base.Roles, file.Roles, func(r Role) ID { return r.ID }, func(old, new Role) Role {
		new.Wage = addDated(&m, old.Wage, new.Wage)
		return new
	})
	b.Energy = addDated(&m, base.Energy, file.Energy)
	b.Equipment = mergeList(&m, "equipment", base.Equipment, file.Equipment, func(a Appliance) ID { return a.ID }, nil)
	b.Overhead = m.overhead(base.Overhead, file.Overhead)
	b.Ingredients = mergeList(&m, "ingredients", base.Ingredients, file.Ingredients, func(i Ingredient) ID { return i.ID }, func(old, new Ingredient) Ingredient {
		new.Prices = addDated(&m, old.Prices, new.Prices)
		return new
	})
	b.Components = mergeList(&m, "components", base.Components, file.Components, func(c Component) ID { return c.ID }, nil)
	b.Tins = mergeList(&m, "tins", base.Tins, file.Tins, func(t Tin) ID { return t.ID }, nil)
	b.Cakes = mergeList(&m, "cakes", base.Cakes, file.Cakes, func(c Cake) ID { return c.ID }, func(old, new Cake) Cake {
		new.ListPrices = addDated(&m, old.ListPrices, new.ListPrices)
		return new
	})
	b.Extras = mergeList(&m, "extras", base.Extras, file.Extras, func(e Extra) ID { return e.ID }, nil)

	return b, &m
}

type merger struct {
	changes Changes
	origin  map[string]map[int]int // list → index in the merged book → index in the file
}

// place names element i of a merged list: by its path in the file, or as part
// of the store.
func (m *merger) place(list string, i int) string {
	if j, ok := m.origin[list][i]; ok {
		return record.Item(list, j)
	}
	return "store:" + record.Item(list, i)
}

func mergeList[T any](m *merger, list string, base, file []T, id func(T) ID, combine func(old, new T) T) []T {
	merged := slices.Clone(base)
	m.origin[list] = map[int]int{}
	at := make(map[ID]int, len(base)+len(file))
	for i, old := range base {
		at[id(old)] = i
	}
	claimed := map[ID]bool{}
	for j, new := range file {
		i, there := at[id(new)]
		switch {
		case !there || claimed[id(new)]: // a second of one id in the file is left for validation to refuse
			at[id(new)] = len(merged)
			m.origin[list][len(merged)] = j
			merged = append(merged, new)
			m.changes.Added++
		default:
			if combine != nil {
				new = combine(merged[i], new)
			}
			if sameRecord(merged[i], new) {
				m.changes.Same++
			} else {
				m.changes.Changed++
			}
			merged[i] = new
			m.origin[list][i] = j
		}
		claimed[id(new)] = true
	}
	return merged
}

// addDated adds to old the entries of new that it lacks.
func addDated[T any](m *merger, old, new []T) []T {
	merged := slices.Clone(old)
	seen := map[string]bool{}
	for _, e := range old {
		seen[recordText(e)] = true
	}
	for _, e := range new {
		if key := recordText(e); !seen[key] {
			seen[key] = true
			merged = append(merged, e)
			m.changes.Prices++
		}
	}
	return merged
}

// overhead adds dated entries where the method stays; amounts under one method
// mean nothing under another, so a new method starts afresh.
func (m *merger) overhead(old, new *Overhead) *Overhead {
	if new == nil {
		return old
	}
	if old == nil || old.Method != new.Method {
		return new
	}
	merged := *new
	merged.Dated = addDated(m, old.Dated, new.Dated)
	return &merged
}

// sameRecord reports whether a and b would be written the same.
func sameRecord(a, b any) bool { return recordText(a) == recordText(b) }

// recordText is how a record stands in a file, by which records are compared.
func recordText(v any) string {
	text, err := marshal(v)
	if err != nil {
		panic(fmt.Sprintf("book: a record cannot be written: %v", err))
	}
	return string(text)
}

// marshal writes v as compact JSON with letters such as & as they are.
func marshal(v any) ([]byte, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSuffix(buf.Bytes(), []byte("\n")), err
}
