package store

import (
	"context"
	"database/sql"
	"fmt"

	"marchpane/pricing/pricelist"
)

// Supplier returns how a supplier writes price lists and what the studio has
// said about its items: nothing for one that is new.
func (s *Store) Supplier(ctx context.Context, supplier string) (m pricelist.Mapping, aliases []pricelist.Alias, err error) {
	err = s.read(ctx, func(r *reader) error {
		var text string
		r.each(func() {}, `SELECT mapping FROM supplier_mapping WHERE supplier = ?`, []any{supplier}, &text)
		if text != "" && r.err == nil {
			if m, err = pricelist.ParseMapping([]byte(text)); err != nil {
				return fmt.Errorf("the mapping of %s: %w", supplier, err)
			}
		}
		var a pricelist.Alias
		r.each(func() { aliases = append(aliases, a) },
			`SELECT code, name, ingredient FROM supplier_alias WHERE supplier = ? ORDER BY code, name`, []any{supplier},
			&a.Code, &a.Name, name(&a.Ingredient))
		return r.err
	})
	return m, aliases, err
}

// SaveSupplier keeps how a supplier writes price lists, and adds aliases; one
// of an item that has one replaces it.
func (s *Store) SaveSupplier(ctx context.Context, supplier string, m pricelist.Mapping, aliases []pricelist.Alias) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		w := newWriter(ctx, tx)
		w.do(`INSERT OR REPLACE INTO supplier_mapping (supplier, mapping) VALUES (?, ?)`, supplier, m.JSON())
		for _, a := range aliases {
			var ingredient any
			if a.Ingredient != "" {
				ingredient = string(a.Ingredient)
			}
			w.do(`INSERT OR REPLACE INTO supplier_alias (supplier, code, name, ingredient) VALUES (?, ?, ?, ?)`, supplier, a.Code, a.Name, ingredient)
		}
		return w.close()
	})
}
