package store

import "marchpane/pricing/book"

// ingredients reads ingredients without their flags and prices.
func (r *reader) ingredients(s scope) []book.Ingredient {
	list := r.ingredientHeads(s)
	at := byID(list, func(v *book.Ingredient) book.ID { return v.ID })

	var of book.ID
	var p book.EggPart
	query, args := s.of(`SELECT ingredient, id, name, mass FROM ingredient_part`, "ingredient", "ingredient, position")
	r.each(func() {
		if v := at[of]; v != nil {
			v.Parts = append(v.Parts, p)
		}
	}, query, args, name(&of), name(&p.ID), &p.Name, text(&p.Mass))

	var degree string
	var allergen book.Allergen
	query, args = s.of(`SELECT ingredient, degree, allergen FROM allergen`, "ingredient", "ingredient, degree, position")
	r.each(func() {
		v := at[of]
		switch {
		case v == nil || v.Allergens == nil:
		case degree == mayContain:
			v.Allergens.MayContain = append(v.Allergens.MayContain, allergen)
		default:
			v.Allergens.Contains = append(v.Allergens.Contains, allergen)
		}
	}, query, args, name(&of), &degree, text(&allergen))
	return list
}

// ingredientHeads reads ingredients as far as they stand in one row.
func (r *reader) ingredientHeads(s scope) (list []book.Ingredient) {
	var v book.Ingredient
	var notes bool
	query, args := s.of(`SELECT id, name, kind, category, measure, density, each, trim_yield, supplier, allergens_stated FROM ingredient`, "id", "position")
	r.each(func() {
		if v.Allergens = nil; notes {
			v.Allergens = &book.AllergenNotes{}
		}
		list = append(list, v)
	}, query, args,
		name(&v.ID), &v.Name, maybe(&v.Kind), maybe(&v.Category), text(&v.Measure), text(&v.Density), text(&v.Each), maybe(&v.TrimYield), maybe(&v.Supplier), &notes)
	return list
}

// The degrees of table allergen.
const (
	contains   = "contains"
	mayContain = "may contain"
)

// putIngredient writes an ingredient without its prices.
func (w *writer) putIngredient(position int, v book.Ingredient) {
	w.claim(v.ID, "ingredient")
	w.do(`INSERT INTO ingredient (id, position, name, kind, category, measure, density, each, trim_yield, supplier, allergens_stated)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		string(v.ID), position, v.Name, stated(v.Kind), stated(v.Category), v.Measure.String(), typed(v.Density), typed(v.Each), stated(v.TrimYield), stated(v.Supplier), v.Allergens != nil)
	for i, p := range v.Parts {
		w.claim(p.ID, "part")
		w.do(`INSERT INTO ingredient_part (ingredient, position, id, name, mass) VALUES (?, ?, ?, ?, ?)`,
			string(v.ID), i+1, string(p.ID), p.Name, typed(p.Mass))
	}
	if v.Allergens != nil {
		w.putAllergens(v.ID, contains, v.Allergens.Contains)
		w.putAllergens(v.ID, mayContain, v.Allergens.MayContain)
	}
	w.putFlags(v.ID, v.Flags)
}

func (w *writer) putAllergens(ingredient book.ID, degree string, list []book.Allergen) {
	for i, a := range list {
		w.do(`INSERT INTO allergen (ingredient, degree, position, allergen) VALUES (?, ?, ?, ?)`, string(ingredient), degree, i+1, string(a))
	}
}

// flags reads the flags of ingredients and components.
func (r *reader) flags(s scope, ingredients []book.Ingredient, components []book.Component) {
	at := make(map[book.ID]*[]book.Flag, len(ingredients)+len(components))
	for i := range ingredients {
		at[ingredients[i].ID] = &ingredients[i].Flags
	}
	for i := range components {
		at[components[i].ID] = &components[i].Flags
	}
	var of book.ID
	var flag book.Flag
	query, args := s.of(`SELECT item, flag FROM flag`, "item", "item, position")
	r.each(func() {
		if list := at[of]; list != nil {
			*list = append(*list, flag)
		}
	}, query, args, name(&of), text(&flag))
}

func (w *writer) putFlags(item book.ID, flags []book.Flag) {
	for i, f := range flags {
		w.do(`INSERT INTO flag (item, position, flag) VALUES (?, ?, ?)`, string(item), i+1, string(f))
	}
}

// byID finds the elements of a list by id.
func byID[T any](list []T, id func(*T) book.ID) map[book.ID]*T {
	at := make(map[book.ID]*T, len(list))
	for i := range list {
		at[id(&list[i])] = &list[i]
	}
	return at
}
