package book

import (
	"cmp"
	"slices"
	"strings"

	"marchpane/pricing/record"
)

// Diagnose returns everything wrong with a file that is laid over base: what
// could not be read, and what is wrong with the rest all the same. A fault that
// only follows from a value that could not be read is left out.
func Diagnose(base Book, data []byte) record.Faults {
	var file Book
	unread := record.Decode(data, &file)
	if len(unread) > 0 && unread[0].Path == "" {
		return unread // it could not be read at all
	}
	if len(unread) > mostUnread {
		return unread // to be mended first; what follows from each is noise
	}
	merged, m := merge(base, file)
	faults := slices.Clone(unread)
	for _, f := range validate(NewIndex(merged), m.place, damageOf(file, unread)) {
		if !slices.ContainsFunc(unread, func(u record.Fault) bool { return record.Related(u.Path, f.Path) || siblings(u.Path, f.Path) }) {
			faults = append(faults, f)
		}
	}
	order := []string{"format", "studio", "roles", "energy", "equipment", "overhead", "ingredients", "components", "tins", "cakes", "extras"}
	slices.SortStableFunc(faults, func(a, b record.Fault) int {
		return cmp.Compare(slices.Index(order, section(a.Path)), slices.Index(order, section(b.Path)))
	})
	return faults
}

// mostUnread bounds how many values of a file may be unreadable for the rest of it
// to be looked at.
const mostUnread = 200

func section(path string) string {
	if i := strings.IndexAny(path, ".["); i >= 0 {
		return path[:i]
	}
	return path
}

// siblings reports whether b is a value that only means something beside a,
// which could not be read: a rate beside what it grows with, a role beside a
// wait.
func siblings(a, b string) bool {
	for of, beside := range map[string]string{".per": ".rate", ".wait": ".role"} {
		if object, ok := strings.CutSuffix(a, of); ok && b == object+beside {
			return true
		}
	}
	return false
}

// damage says what of a file could not be read.
type damage struct {
	objects map[ID]bool // ingredients and components with an unread value, by id
	ids     bool        // some object may lack its id, so that a name for nothing may mean it
	paths   []string

	sound func(list string, i int) bool // objects that need no look; nil for none
}

// damageOf finds the objects of file that hold one of the faults.
func damageOf(file Book, unread record.Faults) damage {
	d := damage{objects: map[ID]bool{}}
	hit := func(path string) bool {
		return slices.ContainsFunc(unread, func(f record.Fault) bool { return record.Related(path, f.Path) && len(f.Path) >= len(path) })
	}
	note := func(list string, i int, id ID) {
		if path := record.Item(list, i); hit(path) {
			d.ids = d.ids || id == "" || hit(record.Join(path, "id")) || hit(record.Join(path, "parts"))
			d.objects[id] = true
		}
	}
	for i, ing := range file.Ingredients {
		note("ingredients", i, ing.ID)
	}
	for i, c := range file.Components {
		note("components", i, c.ID)
	}
	for i, r := range file.Roles {
		note("roles", i, r.ID)
	}
	for i, a := range file.Equipment {
		note("equipment", i, a.ID)
	}
	for _, f := range unread {
		d.paths = append(d.paths, f.Path)
		d.ids = d.ids || f.Path == section(f.Path) && likeList(f.Path)
	}
	return d
}

// likeList reports whether a key at the top is a list of what other objects
// name, or one misspelt: it begins like it.
func likeList(key string) bool {
	for _, list := range []string{"ingredients", "components", "roles", "equipment"} {
		if len(key) >= 3 && strings.HasPrefix(list, key[:3]) {
			return true
		}
	}
	return false
}

// hit reports whether an item, or the whole that it is part of, was not read
// whole.
func (d damage) hit(it Item) bool {
	return it.Ingredient != nil && d.objects[it.Ingredient.ID] || it.Component != nil && d.objects[it.Component.ID]
}

// under reports whether a value at path or in it was not read.
func (d damage) under(path string) bool {
	return slices.ContainsFunc(d.paths, func(p string) bool { return len(p) >= len(path) && record.Related(path, p) })
}
