package store

import (
	"context"
	"sync"

	"marchpane/pricing/book"
)

// remembered is the book as this process last read or wrote it: a large one
// takes seconds to read, and an edit of one price should not.
type remembered struct {
	loading sync.Mutex // held while the book is read, so that it is read once

	mu     sync.Mutex
	number int64 // of the import that made the book this; 0: nothing is remembered
	book   book.Book
	sound  bool // whether the whole book was checked by this program
}

func (k *remembered) at(number int64) (b book.Book, sound, there bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if number == 0 || k.number != number {
		return book.Book{}, false, false
	}
	return k.book, k.sound, true
}

// keep remembers a book, unless a later one is.
func (k *remembered) keep(number int64, b book.Book, sound bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if number > k.number || number == k.number && sound {
		k.number, k.book, k.sound = number, b, sound
	}
}

func (k *remembered) forget() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.number, k.book, k.sound = 0, book.Book{}, false
}

// Shared is [Store.Book] for those who only read and write to no list of it:
// it is read once until it changes, by whichever program, and everybody is
// given the same.
func (s *Store) Shared(ctx context.Context) (b book.Book, err error) {
	err = s.read(ctx, func(r *reader) error {
		b, _, err = s.current(r)
		if err == nil && b.Format == "" {
			return ErrEmpty
		}
		return err
	})
	return b, err
}

// current returns the book that a transaction sees, and whether the whole of it
// was checked by this program.
func (s *Store) current(r *reader) (book.Book, bool, error) {
	number := r.edition()
	if r.err != nil {
		return book.Book{}, false, r.err
	}
	if b, sound, there := s.known.at(number); there {
		return b, sound, nil
	}
	s.known.loading.Lock()
	defer s.known.loading.Unlock()
	if b, sound, there := s.known.at(number); there {
		return b, sound, nil
	}
	b, err := r.book()
	if err == nil && b.Format != "" {
		s.known.keep(number, b, false)
	}
	return b, false, err
}

// edition counts the imports and edits of the book.
func (r *reader) edition() (number int64) {
	r.each(func() {}, `SELECT coalesce(max(number), 0) FROM import`, nil, &number)
	return number
}

// reread returns the book that a transaction has made of old by edits of its
// lists. What was not touched is taken from old; the rest is read as
// [Store.Book] reads it, so that what is remembered is what is stored.
func (r *reader) reread(old, now book.Book, touched touched) (book.Book, error) {
	studio, _ := r.studio()
	b := book.Book{
		Format: book.Format, Studio: studio, Overhead: r.overhead(),
		Roles: r.roles(whole), Equipment: r.appliances(whole), Tins: r.tins(whole), Extras: r.extras(whole),
		Ingredients: r.ingredients(only(touched.ingredients)), Components: r.components(only(touched.components)), Cakes: r.cakes(only(touched.cakes)),
	}
	r.flags(only(append(append([]book.ID{}, touched.ingredients...), touched.components...)), b.Ingredients, b.Components)
	priced := append([]book.ID{book.EnergyID, book.OverheadID}, touched.ingredients...)
	for _, v := range b.Roles {
		priced = append(priced, v.ID)
	}
	r.prices(only(append(priced, lists(touched.cakes)...)), &b)
	clip(&b)
	b.Ingredients = fill(now.Ingredients, old.Ingredients, b.Ingredients, func(v *book.Ingredient) book.ID { return v.ID })
	b.Components = fill(now.Components, old.Components, b.Components, func(v *book.Component) book.ID { return v.ID })
	b.Cakes = fill(now.Cakes, old.Cakes, b.Cakes, func(v *book.Cake) book.ID { return v.ID })
	return b, r.err
}

// touched lists what an edit added or changed, down to a dated price.
type touched struct{ ingredients, components, cakes []book.ID }

// fill returns a list in the order of now: of each object what was read of it
// since, else what it was.
func fill[T any](now, old, read []T, id func(*T) book.ID) []T {
	if len(now) == 0 {
		return nil
	}
	if len(read) == 0 && len(now) == len(old) && sameIDs(now, old, id) {
		return old
	}
	fresh, was := byID(read, id), map[book.ID]*T(nil)
	list := make([]T, len(now))
	for i := range now {
		of := id(&now[i])
		switch v := fresh[of]; {
		case v != nil:
			list[i] = *v
		case i < len(old) && id(&old[i]) == of:
			list[i] = old[i]
		default:
			if was == nil {
				was = byID(old, id)
			}
			list[i] = *was[of]
		}
	}
	return list
}

// sameIDs reports whether two lists as long name the same objects in one order.
func sameIDs[T any](a, b []T, id func(*T) book.ID) bool {
	for i := range a {
		if id(&a[i]) != id(&b[i]) {
			return false
		}
	}
	return true
}
