package store

import (
	"context"
	"database/sql"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// Import brings a book file into the store: whole or, where it is refused, not
// at all. It adds what is new, changes what differs and removes nothing, as
// [book.Merge] has it; with replace the book becomes exactly the file. source
// is the file's name for the journal, and at the time. It returns what changed;
// the error of a faulty file is of type record.Faults. Quotes stay as they are
// either way.
func (s *Store) Import(ctx context.Context, file book.Book, replace bool, source string, at time.Time) (book.Changes, error) {
	var changes book.Changes
	err := s.update(ctx, func(tx *sql.Tx) error {
		old, _, err := s.current(&reader{ctx: ctx, tx: tx})
		if err != nil {
			return err
		}
		now, kind := file, "replace"
		if replace {
			err = book.Validate(file).Err()
		} else {
			kind = "merge"
			now, changes, err = book.Merge(old, file)
		}
		if err != nil {
			return err
		}
		w := newWriter(ctx, tx)
		written, removed := w.putBook(w.differences(old, now), true)
		if replace {
			changes = written
		}
		changes.Prices = written.Prices // those of new objects too
		w.do(`INSERT INTO import (at, kind, file, added, changed, same, removed, prices) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
			instant(at), kind, source, changes.Added, changes.Changed, changes.Same, removed, changes.Prices)
		return w.close()
	})
	if err != nil {
		return book.Changes{}, err
	}
	return changes, nil
}

// difference is what makes the book of the store, which is old, the book now.
type difference struct {
	old, now                                          book.Book
	x                                                 *book.Index // of the book now
	roles, equipment, ingredients, components, extras edits
	tins, cakes                                       edits
}

func (d difference) lists() []edits {
	return []edits{d.roles, d.equipment, d.ingredients, d.components, d.tins, d.cakes, d.extras}
}

func (d difference) touched() touched {
	return touched{ingredients: d.ingredients.touched, components: d.components.touched, cakes: d.cakes.touched}
}

func (w *writer) differences(old, now book.Book) difference {
	return difference{
		old: old, now: now, x: book.NewIndex(now),
		roles: compare(old.Roles, now.Roles, table[book.Role]{
			id:   func(v *book.Role) book.ID { return v.ID },
			bare: func(v book.Role) book.Role { v.Wage = nil; return v },
			drop: dropItem, move: `UPDATE role SET position = ? WHERE id = ?`, put: w.putRole,
		}),
		equipment: compare(old.Equipment, now.Equipment, table[book.Appliance]{
			id:   func(v *book.Appliance) book.ID { return v.ID },
			drop: dropItem, move: `UPDATE equipment SET position = ? WHERE id = ?`, put: w.putAppliance,
		}),
		ingredients: compare(old.Ingredients, now.Ingredients, table[book.Ingredient]{
			id:   func(v *book.Ingredient) book.ID { return v.ID },
			bare: func(v book.Ingredient) book.Ingredient { v.Prices = nil; return v },
			used: func(v book.Ingredient) book.Ingredient {
				v.Prices, v.Name, v.Category, v.Allergens, v.Flags, v.Supplier = nil, "", record.Maybe[string]{}, nil, nil, record.Maybe[string]{}
				return v
			},
			drop: dropItem, move: `UPDATE ingredient SET position = ? WHERE id = ?`, put: w.putIngredient,
		}),
		components: compare(old.Components, now.Components, table[book.Component]{
			id: func(v *book.Component) book.ID { return v.ID },
			used: func(v book.Component) book.Component {
				v.Name, v.Kind, v.Keeps, v.Method, v.Flags = "", record.Maybe[string]{}, measure.Quantity{}, record.Maybe[string]{}, nil
				return v
			},
			drop: dropItem, move: `UPDATE component SET position = ? WHERE id = ?`, put: w.putComponent,
		}),
		tins: compare(old.Tins, now.Tins, table[book.Tin]{
			id:   func(v *book.Tin) book.ID { return v.ID },
			drop: `DELETE FROM tin WHERE id = ?`, move: `UPDATE tin SET position = ? WHERE id = ?`, put: w.putTin,
		}),
		cakes: compare(old.Cakes, now.Cakes, table[book.Cake]{
			id:   func(v *book.Cake) book.ID { return v.ID },
			bare: func(v book.Cake) book.Cake { v.ListPrices = nil; return v },
			drop: `DELETE FROM cake WHERE id = ?`, move: `UPDATE cake SET position = ? WHERE id = ?`, put: w.putCake,
		}),
		extras: compare(old.Extras, now.Extras, table[book.Extra]{
			id:   func(v *book.Extra) book.ID { return v.ID },
			drop: `DELETE FROM extra WHERE id = ?`, move: `UPDATE extra SET position = ? WHERE id = ?`, put: w.putExtra,
		}),
	}
}

// putBook writes what differs, and returns what that was and how many objects
// it removed. With gaps it looks for cakes that were never compiled too.
func (w *writer) putBook(d difference, gaps bool) (changes book.Changes, removed int) {
	// A changed object is dropped and put afresh, and an id may pass from one
	// list to another: what names it is checked when all is done.
	w.do(`PRAGMA defer_foreign_keys = ON`)
	for _, l := range d.lists() {
		for _, id := range l.drops {
			w.do(l.drop, string(id))
		}
	}
	for _, l := range d.lists() {
		for _, put := range l.puts {
			put()
		}
		for _, m := range l.moves {
			w.do(l.move, m.position, string(m.id))
		}
		changes.Added += l.added
		changes.Changed += l.changed
		changes.Same += l.same
		removed += l.removed
	}
	w.putStudio(d.now.Studio)
	w.putOverhead(d.now.Overhead)
	changes.Prices = w.putPrices(d, w.nextImport())
	w.compile(d, gaps)
	return changes, removed
}

// instant returns a moment as a column, which sorts as time does.
func instant(t time.Time) string { return t.UTC().Format(time.RFC3339) }
