package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

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

// TakenIn returns when a supplier's price list was taken in, by the digest of
// its file, and "" where it was not.
func (s *Store) TakenIn(ctx context.Context, supplier, digest string) (at string, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.each(func() {}, `SELECT at FROM price_file WHERE supplier = ? AND digest = ?`, []any{supplier, digest}, &at)
		return r.err
	})
	return at, err
}

// SaveSupplier keeps how a supplier writes price lists, that a list was taken
// in, and aliases; one of an item that has one replaces it.
func (s *Store) SaveSupplier(ctx context.Context, supplier string, m pricelist.Mapping, aliases []pricelist.Alias, digest string, at time.Time) error {
	return s.update(ctx, func(tx *sql.Tx) error {
		w := newWriter(ctx, tx)
		w.do(`INSERT OR REPLACE INTO supplier_mapping (supplier, mapping) VALUES (?, ?)`, supplier, m.JSON())
		w.do(`INSERT OR REPLACE INTO price_file (supplier, digest, at) VALUES (?, ?, ?)`, supplier, digest, instant(at))
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
