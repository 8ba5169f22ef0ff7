package store_test

import (
	"path/filepath"
	"testing"
)

// A store of schema 2 keeps the sizes of its moulds, and then takes moulds that
// are measured with water. No mould is left without either.
func TestMouldsOfAnOlderStore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "studio.db")
	db := older(t, path, 2)
	if _, err := db.Exec(`INSERT INTO item (id, kind) VALUES ('sponge', 'component'), ('water', 'component');
		INSERT INTO component (id, position, name, yield) VALUES ('sponge', 1, 'Sponge', '1 kg'), ('water', 2, 'Water', '1 kg');
		INSERT INTO mould (component, shape, length, width, height) VALUES ('sponge', 'rectangle', '30 cm', '12 in', '10.0 mm')`); err != nil {
		t.Fatal(err)
	}
	open(t, path)
	want := "rectangle 30 cm 12 in 10.0 mm"
	if got := one(t, db, `SELECT shape || ' ' || length || ' ' || width || ' ' || height FROM mould WHERE holds IS NULL`); got != want {
		t.Errorf("the mould of an older store is %q, want %q", got, want)
	}
	if _, err := db.Exec(`INSERT INTO mould (component, holds) VALUES ('water', '1850 ml')`); err != nil {
		t.Errorf("a mould measured with water is refused: %v", err)
	}
	if _, err := db.Exec(`UPDATE mould SET holds = NULL WHERE component = 'water'`); err == nil {
		t.Error("a mould without sizes and without what it holds is stored")
	}
	if _, err := db.Exec(`PRAGMA foreign_keys = ON; DELETE FROM item WHERE id = 'sponge'`); err != nil {
		t.Fatal(err)
	}
	if got := one(t, db, `SELECT count(*) FROM mould`); got != "1" {
		t.Errorf("of two moulds %s are left when a component goes, want 1", got)
	}
}
