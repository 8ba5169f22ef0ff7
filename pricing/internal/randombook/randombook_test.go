package randombook

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

// TestSeed checks that a seed alone decides everything drawn from it.
func TestSeed(t *testing.T) {
	for seed := range uint64(20) {
		one, other := New(seed), New(seed)
		for range 2 {
			a, b := one.Book(), other.Book()
			if !bytes.Equal(a, b) {
				t.Fatalf("New(%d).Book() differs from itself", seed)
			}
			if x, y := one.Requests(a, 3), other.Requests(b, 3); !bytes.Equal(bytes.Join(x, nil), bytes.Join(y, nil)) {
				t.Errorf("New(%d).Requests() differs from itself", seed)
			}
		}
	}
	if bytes.Equal(New(1).Book(), New(2).Book()) {
		t.Errorf("New(1).Book() and New(2).Book() are the same")
	}
}

// TestCorners checks that some hundred books together visit every corner of the
// format that the costing page names.
func TestCorners(t *testing.T) {
	var all strings.Builder
	for seed := range uint64(150) {
		g := New(seed)
		book := g.Book()
		all.Write(book)
		all.Write(bytes.Join(g.Requests(book, 2), nil))
		for _, im := range g.Impacts(book, 4) {
			all.WriteString(im.Mode + " " + im.Value + "\n")
		}
	}
	text := all.String()
	for _, key := range strings.Fields(`household recovers_tax prices_shown tax by price_step minimum_order floor_margin
		allergen_list deposit instalments valid_days on_cost productive power duty per_hour hours amount share density each
		trim_yield parts supplier tax_in loss yield mould batch_min batch_max keeps tasks equipment wait setup rate dummy kept
		portion portions tax_rate target per layers thick coat on sheet overhang reuse waste always hidden price_per_km km
		discount diameter side length width area perimeter holds owned tins`) {
		if !strings.Contains(text, `"`+key+`":`) {
			t.Errorf("no book has the key %q", key)
		}
	}
	for _, word := range strings.Fields(`gross net document line metric us margin markup per_portion fixed percent cake mass
		volume count length area packaging round square rectangle hexagon heart measured finger wedge top side surface edge
		tier portion order km batch kg each EUR JPY KWD`) {
		if !strings.Contains(text, `"`+word+`"`) {
			t.Errorf("no book has the word %q", word)
		}
	}
	for _, unit := range []string{"mg", "g", "kg", "oz", "lb", "ml", "cl", "dl", "l", "us fl oz", "us pint", "us quart", "us gallon",
		"uk fl oz", "uk pint", "uk gallon", "tsp", "tbsp", "cup", "each", "dozen", "mm", "cm", "m", "in", "ft", "mm2", "cm2", "m2", "in2",
		"s", "min", "h", "day", "W", "kW"} {
		if !strings.Contains(text, " "+unit+`"`) {
			t.Errorf("no book has the unit %q", unit)
		}
	}
}

// TestDepth checks that recipes nest at least three levels deep somewhere.
func TestDepth(t *testing.T) {
	deepest := 0
	for seed := range uint64(60) {
		var book struct {
			Components []struct {
				ID    string
				Lines []struct{ Use string }
			}
		}
		if err := json.Unmarshal(New(seed).Book(), &book); err != nil {
			t.Fatal(err)
		}
		var depth func(id string) int
		depth = func(id string) int {
			for _, c := range book.Components {
				if c.ID != id {
					continue
				}
				below := 0
				for _, l := range c.Lines {
					below = max(below, depth(l.Use))
				}
				return 1 + below
			}
			return 0
		}
		for _, c := range book.Components {
			deepest = max(deepest, depth(c.ID))
		}
	}
	if deepest < 3 {
		t.Errorf("recipes nest %d levels deep, want at least 3", deepest)
	}
}
