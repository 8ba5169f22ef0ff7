package store

import (
	"context"
	"slices"

	"marchpane/pricing/book"
)

// Book returns the whole book, or [ErrEmpty]. It takes a fixed number of
// queries, however long the book.
func (s *Store) Book(ctx context.Context) (b book.Book, err error) {
	err = s.read(ctx, func(r *reader) error {
		b, err = r.book()
		if err == nil && b.Format == "" {
			return ErrEmpty
		}
		return err
	})
	return b, err
}

// BookOf returns as much of the book as costing some cakes takes, and with
// extras all the extras: what those use through every level of recipes, and
// the prices of that. Costing one of the cakes, or an extra, gives what it
// gives with the whole book. It takes a fixed number of queries. The error is
// [ErrEmpty], or [ErrNotFound] with the ids that come closest.
func (s *Store) BookOf(ctx context.Context, cakes []book.ID, extras bool) (b book.Book, err error) {
	err = s.read(ctx, func(r *reader) error {
		b, err = r.bookOf(cakes, extras)
		return err
	})
	return b, err
}

// book reads the whole book; an empty store gives the zero Book.
func (r *reader) book() (book.Book, error) {
	studio, there := r.studio()
	if !there {
		return book.Book{}, r.err
	}
	b := book.Book{
		Format:      book.Format,
		Studio:      studio,
		Roles:       r.roles(whole),
		Equipment:   r.appliances(whole),
		Overhead:    r.overhead(),
		Ingredients: r.ingredients(whole),
		Components:  r.components(whole),
		Tins:        r.tins(whole),
		Cakes:       r.cakes(whole),
		Extras:      r.extras(whole),
	}
	r.flags(whole, b.Ingredients, b.Components)
	r.prices(whole, &b)
	clip(&b)
	return b, r.err
}

// clip leaves no room behind the lists of a book, so that two who add to the
// same one do not write to the same place.
func clip(b *book.Book) {
	b.Roles, b.Energy, b.Equipment, b.Ingredients = slices.Clip(b.Roles), slices.Clip(b.Energy), slices.Clip(b.Equipment), slices.Clip(b.Ingredients)
	b.Components, b.Tins, b.Cakes, b.Extras = slices.Clip(b.Components), slices.Clip(b.Tins), slices.Clip(b.Cakes), slices.Clip(b.Extras)
	for i := range b.Roles {
		b.Roles[i].Wage = slices.Clip(b.Roles[i].Wage)
	}
	for i := range b.Ingredients {
		v := &b.Ingredients[i]
		v.Parts, v.Flags, v.Prices = slices.Clip(v.Parts), slices.Clip(v.Flags), slices.Clip(v.Prices)
	}
	for i := range b.Components {
		v := &b.Components[i]
		v.Lines, v.Flags = slices.Clip(v.Lines), slices.Clip(v.Flags)
	}
	for i := range b.Cakes {
		v := &b.Cakes[i]
		v.ListPrices, v.Tiers = slices.Clip(v.ListPrices), slices.Clip(v.Tiers)
	}
}

func (r *reader) bookOf(cakes []book.ID, extras bool) (book.Book, error) {
	studio, there := r.studio()
	if !there && r.err == nil {
		return book.Book{}, ErrEmpty
	}
	b := book.Book{Format: book.Format, Studio: studio, Overhead: r.overhead()}
	b.Cakes = r.cakes(only(cakes))
	if err := r.missing(cakes, b.Cakes); err != nil {
		return book.Book{}, err
	}
	if extras {
		b.Extras = r.extras(whole)
	}

	// What the cakes use says which components are needed; those say which
	// roles and equipment are.
	need := r.needs(used(b))
	b.Components = r.components(only(need.components))
	b.Ingredients = r.ingredients(only(need.ingredients))
	roles, equipment := workers(b)
	b.Roles = r.roles(only(roles))
	b.Equipment = r.appliances(only(equipment))
	r.flags(only(slices.Concat(need.components, need.ingredients)), b.Ingredients, b.Components)
	r.prices(only(slices.Concat(need.ingredients, roles, lists(cakes), []book.ID{book.EnergyID, book.OverheadID})), &b)
	return b, r.err
}

// lists returns where the dated list prices of cakes stand.
func lists(cakes []book.ID) []book.ID {
	ids := make([]book.ID, len(cakes))
	for i, id := range cakes {
		ids[i] = listOf(id)
	}
	return ids
}

// missing is the error where not all of the cakes that were asked for are
// there.
func (r *reader) missing(asked []book.ID, found []book.Cake) error {
	for _, id := range asked {
		if !slices.ContainsFunc(found, func(c book.Cake) bool { return c.ID == id }) && r.err == nil {
			return r.unknown("cake", string(id), `SELECT id FROM cake ORDER BY position`)
		}
	}
	return nil
}

// need is what lines and parts use, through every level.
type need struct{ ingredients, components []book.ID }

// needs follows what is used through the recipes. A part of an ingredient
// needs the whole.
func (r *reader) needs(used []book.ID) (n need) {
	var id book.ID
	var component bool
	in, args := only(used).in()
	r.each(func() {
		if component {
			n.components = append(n.components, id)
		} else {
			n.ingredients = append(n.ingredients, id)
		}
	}, `WITH RECURSIVE need (id) AS (
			SELECT id FROM item WHERE id IN `+in+`
			UNION
			SELECT use FROM need CROSS JOIN line ON component = need.id
		)
		SELECT DISTINCT coalesce(ingredient, need.id), kind = 'component'
		FROM need JOIN item USING (id) LEFT JOIN ingredient_part USING (id)`, args,
		name(&id), &component)
	return n
}

// used lists what the cakes and extras of b use directly.
func used(b book.Book) []book.ID {
	var ids []book.ID
	add := func(parts []book.Part) {
		for _, p := range parts {
			ids = append(ids, p.Use)
		}
	}
	for _, c := range b.Cakes {
		add(c.Parts)
		for _, t := range c.Tiers {
			add(t.Parts)
		}
	}
	for _, e := range b.Extras {
		add(e.Parts)
	}
	return distinct(ids)
}

// workers lists the roles and the equipment that b puts to work.
func workers(b book.Book) (roles, equipment []book.ID) {
	add := func(tasks []book.Task, uses []book.EquipmentUse) {
		for _, t := range tasks {
			if t.Role != "" {
				roles = append(roles, t.Role)
			}
		}
		for _, u := range uses {
			equipment = append(equipment, u.Use)
		}
	}
	for _, c := range b.Components {
		add(c.Tasks, c.Equipment)
	}
	for _, c := range b.Cakes {
		add(c.Tasks, c.Equipment)
		for _, t := range c.Tiers {
			add(t.Tasks, t.Equipment)
		}
	}
	for _, e := range b.Extras {
		add(e.Tasks, e.Equipment)
	}
	return distinct(roles), distinct(equipment)
}

func distinct(ids []book.ID) []book.ID {
	slices.Sort(ids)
	return slices.Compact(ids)
}
