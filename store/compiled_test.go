package store_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/seed"
	"marchpane/store"
)

// TestCompiledFollowsRecipes edits the demo's book in every respect that a
// bill rests on, one import after another: each time the compiled bills are
// those of the book as it is now.
func TestCompiledFollowsRecipes(t *testing.T) {
	ctx := context.Background()
	s := openStore(t)
	load := func(text string, replace bool) {
		t.Helper()
		b, err := book.Parse([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Import(ctx, b, replace, "test", time.Unix(0, 0)); err != nil {
			t.Fatal(err)
		}
		checkCompiled(t, s)
	}
	text := string(seed.Studio())
	load(text, false)
	first := compiledBills(t, s)
	load(text, false) // again: nothing changes
	if again := compiledBills(t, s); again != first {
		t.Error("an import that changes nothing changed compiled bills")
	}
	for _, change := range []struct{ name, from, to string }{
		{"a price", `"price": "28.95"`, `"price": "38.95"`},
		{"a trim yield", `"trim_yield": "`, `"trim_yield": "0.`},
		{"an egg's parts", `"mass": "`, `"mass": "1`},
		{"a density", `"density": "`, `"density": "1`},
		{"a power", `"power": "`, `"power": "1`},
		{"overhead", `"labour hour"`, `"cake"`},
		{"a loss", `"loss": "`, `"loss": "0.`},
		{"a layer", `"layers": 3`, `"layers": 4`},
	} {
		edited := strings.Replace(text, change.from, change.to, 1)
		if edited == text {
			t.Errorf("%s: nothing was edited", change.name)
		}
		load(edited, true)
		load(text, true)
		if compiledBills(t, s) != first {
			t.Errorf("%s: compiled bills are not what they were after the edit was undone", change.name)
		}
	}
}

func openStore(t *testing.T) *store.Store {
	t.Helper()
	s, err := store.Open(context.Background(), t.TempDir()+"/studio.db")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func checkCompiled(t *testing.T, s *store.Store) {
	t.Helper()
	b, err := s.Book(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	for _, c := range b.Cakes {
		p, err := s.Compiled(context.Background(), []book.ID{c.ID})
		if err != nil {
			t.Fatal(err)
		}
		want, err := pricing.TakeCake(x, c.ID)
		if err != nil {
			t.Fatal(err)
		}
		got := p.Takeoffs[0]
		if billText(t, got.Bill) != billText(t, want.Bill) || got.Made != want.Made || got.Served != want.Served {
			t.Errorf("%s is compiled as\n%s\nwant\n%s", c.ID, billText(t, got.Bill), billText(t, want.Bill))
		}
	}
}

func compiledBills(t *testing.T, s *store.Store) string {
	t.Helper()
	b, err := s.Book(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	var ids []book.ID
	for _, c := range b.Cakes {
		ids = append(ids, c.ID)
	}
	p, err := s.Compiled(context.Background(), ids)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(p.Takeoffs)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func billText(t *testing.T, b pricing.Bill) string {
	t.Helper()
	text, err := b.MarshalText()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestCompiledFollowsAnID passes a part from one ingredient to a new one: the
// recipe that names it stays as it was, and takes something else.
func TestCompiledFollowsAnID(t *testing.T) {
	s := openStore(t)
	b := parse(t, []byte(`{"format":"marchpane-book/1","studio":{"name":"S","currency":"EUR","target":{"margin":"50 %"}},
"ingredients":[{"id":"egg","name":"Egg","measure":"count","parts":[{"id":"yolk","name":"Yolk","mass":"17 g"},{"id":"white","name":"White","mass":"33 g"}],"prices":[]}],
"cakes":[{"id":"curd","name":"Curd","portions":1,"parts":[{"use":"yolk","qty":"85 g"}]}]}`))
	importBook(t, s, b, false)
	checkCompiled(t, s)

	duck := b.Ingredients[0]
	duck.ID, duck.Parts = "duck-egg", duck.Parts[:1]
	b.Ingredients[0].Parts = b.Ingredients[0].Parts[1:]
	b.Ingredients = append(b.Ingredients, duck)
	importBook(t, s, b, true)
	checkCompiled(t, s)
}

// TestPricedOnCostsAsTheWholeHistory costs every cake of the demo on many days.
func TestPricedOnCostsAsTheWholeHistory(t *testing.T) {
	s := openStore(t)
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Import(t.Context(), b, false, "test", time.Unix(0, 0)); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"2025-06-01", "2025-11-02", "2025-11-03", "2026-03-02", "2026-10-04", "2026-10-05", "2026-11-25", "2030-01-01"} {
		on := day.Must(text)
		p, err := s.PricedOn(t.Context(), on)
		if err != nil {
			t.Fatal(err)
		}
		few, whole := book.NewIndex(p.Book), book.NewIndex(b)
		for _, takeoff := range p.Takeoffs {
			got, err := takeoff.Costing(few, pricing.NewRates(few, on))
			if err != nil {
				t.Fatal(err)
			}
			want, err := pricing.CostCake(whole, takeoff.ID, pricing.NewRates(whole, on))
			if err != nil {
				t.Fatal(err)
			}
			if got.Cost.Total().Text() != want.Cost.Total().Text() || got.Offer != want.Offer && !got.Offer.Shown.Equal(want.Offer.Shown) {
				t.Errorf("%s on %s costs %s, want %s", takeoff.ID, on, got.Cost.Total().Fixed(6), want.Cost.Total().Fixed(6))
			}
		}
	}
}
