package store

import (
	"database/sql"
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// prices reads the dated prices that count now into the roles, ingredients,
// energy and overhead of b.
func (r *reader) prices(s scope, b *book.Book) {
	roles := byID(b.Roles, func(v *book.Role) book.ID { return v.ID })
	for _, v := range roles {
		v.Wage = []book.Wage{}
	}
	ingredients := byID(b.Ingredients, func(v *book.Ingredient) book.ID { return v.ID })
	for _, v := range ingredients {
		v.Prices = []book.Price{}
	}
	if b.Overhead != nil {
		b.Overhead.Dated = []book.DatedOverhead{}
	}
	cakes := byID(b.Cakes, func(v *book.Cake) book.ID { return listOf(v.ID) })
	var kind string
	var resource book.ID
	var p book.Price
	var price record.Maybe[money.Price]
	var share record.Maybe[measure.Percent]
	query, args := s.of(`SELECT kind, resource, from_day, supplier, pack, price, share, tax_in, note FROM price_now`, "resource", "resource, position")
	if !r.on.IsZero() {
		// The newest day, and of equal ones the later listed; of an ingredient
		// that names its supplier, of that supplier: what PriceOn would choose.
		query = `SELECT l.kind, p.resource, p.from_day, p.supplier, p.pack, p.price, p.share, p.tax_in, p.note
			FROM (SELECT l.kind, resource, number, (
					SELECT position FROM price q
					WHERE q.resource = l.resource AND q.list = l.number AND q.from_day <= ?1
						AND (i.supplier IS NULL OR q.supplier = i.supplier)
					ORDER BY from_day DESC, position DESC LIMIT 1) AS newest
				FROM price_list l LEFT JOIN ingredient i ON i.id = l.resource WHERE closed_by IS NULL) l
			CROSS JOIN price p ON p.resource = l.resource AND p.list = l.number AND p.position = l.newest
			ORDER BY p.resource`
		args = []any{r.on.String()}
	}
	r.each(func() {
		p.Price = price.Value
		role, ingredient := roles[resource], ingredients[resource]
		switch {
		case kind == kindRole && role != nil:
			role.Wage = append(role.Wage, book.Wage{From: p.From, PerHour: p.Price})
		case kind == kindIngredient && ingredient != nil:
			ingredient.Prices = append(ingredient.Prices, p)
		case kind == kindCake && cakes[resource] != nil:
			c := cakes[resource]
			c.ListPrices = append(c.ListPrices, book.ListPrice{From: p.From, Price: p.Price})
		case kind == kindEnergy:
			b.Energy = append(b.Energy, book.EnergyPrice{From: p.From, Price: p.Price})
		case kind == kindOverhead && b.Overhead != nil:
			b.Overhead.Dated = append(b.Overhead.Dated, book.DatedOverhead{From: p.From, Amount: price, Share: share})
		}
	}, query, args,
		&kind, name(&resource), text(&p.From), maybe(&p.Supplier), text(&p.Pack), maybe(&price), maybe(&share), maybe(&p.TaxIn), maybe(&p.Note))
}

// The kinds of resource that have dated prices.
const (
	kindIngredient = "ingredient"
	kindRole       = "role"
	kindEnergy     = "energy"
	kindOverhead   = "overhead"
	kindCake       = "cake"
)

// listOf is the resource under which the dated list prices of a cake stand: no
// id has a space, so it is that of no other resource.
func listOf(cake book.ID) book.ID { return "cake " + cake }

// priceList is all the dated prices that a resource has in a book.
type priceList struct {
	kind    string
	entries []entry
}

// entry is a dated price as a row. Equal entries say the same in every key.
type entry struct {
	from                                      string
	supplier, pack, price, share, taxIn, note sql.Null[string]
}

// priceLists returns the dated prices of a book by resource: those of the studio,
// and those of some others.
func priceLists(b book.Book, of map[book.ID]bool) map[book.ID]priceList {
	lists := map[book.ID]priceList{}
	add := func(id book.ID, kind string, e entry) {
		lists[id] = priceList{kind, append(lists[id].entries, e)}
	}
	for _, v := range b.Roles {
		if !of[v.ID] {
			continue
		}
		for _, w := range v.Wage {
			add(v.ID, kindRole, entry{from: w.From.String(), price: column(record.Some(w.PerHour))})
		}
	}
	for _, p := range b.Energy {
		add(book.EnergyID, kindEnergy, entry{from: p.From.String(), price: column(record.Some(p.Price))})
	}
	if b.Overhead != nil {
		for _, d := range b.Overhead.Dated {
			add(book.OverheadID, kindOverhead, entry{from: d.From.String(), price: column(d.Amount), share: column(d.Share)})
		}
	}
	for i := range b.Ingredients {
		v := &b.Ingredients[i]
		if !of[v.ID] {
			continue
		}
		for _, p := range v.Prices {
			add(v.ID, kindIngredient, entry{
				from: p.From.String(), supplier: column(p.Supplier), pack: column(record.Some(p.Pack)),
				price: column(record.Some(p.Price)), taxIn: column(p.TaxIn), note: column(p.Note),
			})
		}
	}
	for i := range b.Cakes {
		v := &b.Cakes[i]
		if len(v.ListPrices) == 0 || !of[listOf(v.ID)] {
			continue
		}
		for _, p := range v.ListPrices {
			add(listOf(v.ID), kindCake, entry{from: p.From.String(), price: column(record.Some(p.Price))})
		}
	}
	return lists
}

func column[T any](m record.Maybe[T]) sql.Null[string] {
	if !m.Given {
		return sql.Null[string]{}
	}
	return sql.Null[string]{V: fmt.Sprint(m.Value), Valid: true}
}

// startsWith reports whether l begins with all that old has, so that the rest
// can be added to it.
func (l priceList) startsWith(old priceList) bool {
	if l.kind != old.kind || len(l.entries) < len(old.entries) {
		return false
	}
	for i, e := range old.entries {
		if l.entries[i] != e {
			return false
		}
	}
	return true
}

// putPrices makes the dated prices of the store those of the book now, which were
// those of the old: what is new is added, and a list that says something else is
// closed and opened afresh. It returns how many were added.
func (w *writer) putPrices(d difference, number int64) int {
	of := d.priced()
	was, is := priceLists(d.old, of), priceLists(d.now, of)
	for id, list := range was {
		if now, there := is[id]; !there || !now.startsWith(list) {
			w.do(`UPDATE price_list SET closed_by = ? WHERE resource = ? AND closed_by IS NULL`, number, string(id))
			delete(was, id)
		}
	}
	added := 0
	// In the order of the book, so that equal imports make equal files.
	for _, id := range resources(d.now, of) {
		list := is[id]
		if len(list.entries) == 0 {
			continue
		}
		begun, open := was[id]
		if !open {
			w.do(`INSERT INTO price_list (resource, number, kind, opened_by)
				SELECT ?1, coalesce(max(number), 0) + 1, ?2, ?3 FROM price_list WHERE resource = ?1`, string(id), list.kind, number)
		}
		for i := len(begun.entries); i < len(list.entries); i++ {
			e := list.entries[i]
			w.do(`INSERT INTO price (resource, list, position, from_day, supplier, pack, price, share, tax_in, note, import)
				SELECT resource, number, ?, ?, ?, ?, ?, ?, ?, ?, ? FROM price_list WHERE resource = ? AND closed_by IS NULL`,
				i+1, e.from, e.supplier, e.pack, e.price, e.share, e.taxIn, e.note, number, string(id))
			added++
		}
	}
	return added
}

// priced lists what may have other dated prices than it had.
func (d difference) priced() map[book.ID]bool {
	of := map[book.ID]bool{}
	for _, l := range []edits{d.roles, d.ingredients} {
		for _, id := range slices.Concat(l.touched, l.drops) {
			of[id] = true
		}
	}
	for _, id := range slices.Concat(d.cakes.touched, d.cakes.drops) {
		of[listOf(id)] = true
	}
	return of
}

// resources lists what of that may have dated prices now, and the studio, in the
// order of the book.
func resources(b book.Book, of map[book.ID]bool) []book.ID {
	ids := make([]book.ID, 0, len(of)+2)
	add := func(id book.ID) {
		if of[id] {
			ids = append(ids, id)
		}
	}
	for i := range b.Roles {
		add(b.Roles[i].ID)
	}
	ids = append(ids, book.EnergyID, book.OverheadID)
	for i := range b.Ingredients {
		add(b.Ingredients[i].ID)
	}
	for i := range b.Cakes {
		if len(b.Cakes[i].ListPrices) > 0 {
			add(listOf(b.Cakes[i].ID))
		}
	}
	return ids
}
