package store_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/store"
)

// TestEditIsAnImport makes edits at random, sound and faulty ones, of a store
// that remembers its book, and has the same book imported whole into another
// that remembers nothing: both refuse with the same faults, or count the same
// changes, hold the same book and have compiled the same bills; and nobody
// touched the book that an edit was given.
func TestEditIsAnImport(t *testing.T) {
	rounds := 60
	if testing.Short() {
		rounds = 15
	}
	r := rand.New(rand.NewPCG(6, 26))
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), true)
	refused := 0
	for i := range rounds {
		before := asJSON(t, mustBook(t, s))
		var was, is book.Book
		what := ""
		changes, err := s.Edit(t.Context(), "test", at, func(b book.Book) (book.Book, error) {
			was, is = b, b
			for range 1 + r.IntN(3) {
				what += " " + shake(r, &is)
			}
			return is, nil
		})
		if !bytes.Equal(asJSON(t, was), before) {
			t.Fatalf("round %d,%s: the book that the edit was given is not what is stored, or was written to", i, what)
		}
		plain, _ := fresh(t)
		importBook(t, plain, was, true)
		want, errWhole := plain.Import(t.Context(), is, true, "test", at)
		if fmt.Sprint(err) != fmt.Sprint(errWhole) {
			t.Fatalf("round %d,%s: an edit = %v; an import of the whole = %v", i, what, err, errWhole)
		}
		if err != nil {
			var faults record.Faults
			if !errors.As(err, &faults) {
				t.Fatalf("round %d,%s: %v", i, what, err)
			}
			refused++
			if now := asJSON(t, mustBook(t, s)); !bytes.Equal(now, before) {
				t.Fatalf("round %d,%s: a refused edit changed the book", i, what)
			}
			continue
		}
		if changes != want {
			t.Errorf("round %d,%s: changes = %+v, want %+v", i, what, changes, want)
		}
		shared, err := s.Shared(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		stored, whole := asJSON(t, mustBook(t, s)), asJSON(t, mustBook(t, plain))
		if !bytes.Equal(stored, whole) {
			t.Fatalf("round %d,%s: the edited store holds another book than the imported one", i, what)
		}
		if !bytes.Equal(asJSON(t, shared), stored) {
			t.Fatalf("round %d,%s: what is remembered is not what is stored", i, what)
		}
		if compiledBills(t, s) != compiledBills(t, plain) {
			t.Fatalf("round %d,%s: the compiled bills differ", i, what)
		}
	}
	if refused == 0 || refused == rounds {
		t.Errorf("%d of %d edits were refused; the test looks at one kind alone", refused, rounds)
	}
}

// shake changes something about a book, in lists of its own, and says what.
func shake(r *rand.Rand, b *book.Book) string {
	some := func(n int) int { return r.IntN(max(n, 1)) }
	b.Roles, b.Equipment, b.Ingredients = slices.Clone(b.Roles), slices.Clone(b.Equipment), slices.Clone(b.Ingredients)
	b.Components, b.Cakes, b.Extras, b.Tins = slices.Clone(b.Components), slices.Clone(b.Cakes), slices.Clone(b.Extras), slices.Clone(b.Tins)
	ing, made, cake := &b.Ingredients[some(len(b.Ingredients))], &b.Components[some(len(b.Components))], &b.Cakes[some(len(b.Cakes))]
	fresh := book.ID(fmt.Sprintf("fresh-%d", r.Uint32()))
	switch r.IntN(22) {
	case 0:
		p := book.Price{From: day.Must("2026-11-20"), Pack: sure(measure.ParsePack("3 x 1 kg")), Price: sure(money.ParsePrice("12.34"))}
		if len(ing.Prices) > 0 {
			p.Pack = ing.Prices[0].Pack
		}
		ing.Prices = append(slices.Clone(ing.Prices), p)
		return "a price of " + string(ing.ID)
	case 1:
		ing.Prices = slices.Clone(ing.Prices)[:len(ing.Prices)/2]
		return "prices taken from " + string(ing.ID)
	case 2:
		ing.Name += "!"
		return "a name of " + string(ing.ID)
	case 3:
		ing.Density = measure.Density{}
		return "no density of " + string(ing.ID)
	case 4:
		id := ing.ID
		b.Ingredients = slices.DeleteFunc(b.Ingredients, func(v book.Ingredient) bool { return v.ID == id })
		return "without " + string(id)
	case 5:
		c := *ing
		c.ID, c.Parts = fresh, nil
		b.Ingredients = slices.Insert(b.Ingredients, some(len(b.Ingredients)), c)
		return "another " + string(ing.ID)
	case 6:
		ing.Parts = nil
		return "no parts of " + string(ing.ID)
	case 7:
		made.Loss = record.Some(measure.MustPercent("7 %"))
		return "a loss of " + string(made.ID)
	case 8:
		made.Lines = slices.Clone(made.Lines)[1:]
		return "a line less in " + string(made.ID)
	case 9:
		made.Lines = append(slices.Clone(made.Lines), book.Line{Use: b.Components[some(len(b.Components))].ID, Qty: measure.Must("10 g")})
		return "a line more in " + string(made.ID)
	case 10:
		id := made.ID
		b.Components = slices.DeleteFunc(b.Components, func(v book.Component) bool { return v.ID == id })
		return "without " + string(id)
	case 11:
		made.Mould, made.Density = nil, measure.Density{}
		return "no density of " + string(made.ID)
	case 12:
		cake.Name += "!"
		return "a name of " + string(cake.ID)
	case 13:
		c := *cake
		c.ID = fresh
		b.Cakes = slices.Insert(b.Cakes, some(len(b.Cakes)), c)
		return "another " + string(cake.ID)
	case 14:
		b.Cakes = slices.Delete(b.Cakes, 0, 1)
		return "without the first cake"
	case 15:
		i, j := some(len(b.Cakes)), some(len(b.Cakes))
		b.Cakes[i], b.Cakes[j] = b.Cakes[j], b.Cakes[i]
		return "two cakes in each other's place"
	case 16:
		cake.Parts = append(slices.Clone(cake.Parts), book.Part{Use: ing.ID, Qty: measure.Must("5 g")})
		return "a part more of " + string(cake.ID)
	case 17:
		cake.ListPrices = append(slices.Clone(cake.ListPrices), book.ListPrice{From: day.Must("2026-12-01"), Price: sure(money.ParsePrice("99.50"))})
		return "a list price of " + string(cake.ID)
	case 18:
		role := b.Roles[some(len(b.Roles))]
		switch r.IntN(3) {
		case 0:
			b.Roles = slices.DeleteFunc(b.Roles, func(v book.Role) bool { return v.ID == role.ID })
			return "without the role " + string(role.ID)
		case 1:
			b.Roles = slices.DeleteFunc(b.Roles, func(v book.Role) bool { return v.ID == role.ID })
			b.Equipment = append(b.Equipment, book.Appliance{ID: role.ID, Name: role.Name})
			return "an appliance in place of the role " + string(role.ID)
		}
		b.Roles[0].Name += "!"
		return "a role's name"
	case 19:
		i := some(len(b.Equipment))
		if r.IntN(3) == 0 {
			b.Equipment = slices.Delete(b.Equipment, i, i+1)
			return "an appliance less"
		}
		b.Equipment[i].Power = measure.Must("1234 W")
		return "another power"
	case 20:
		if r.IntN(3) == 0 {
			b.Studio.Currency = sure(money.ParseCurrency("JPY"))
			return "another currency"
		}
		b.Studio.Phone = record.Some(time.Unix(int64(r.Uint32()), 0).UTC().String())
		return "a telephone"
	}
	b.Components[0].ID = ing.ID
	return "two things of one id"
}

func sure[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func mustBook(t *testing.T, s *store.Store) book.Book {
	t.Helper()
	b, err := s.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func asJSON(t *testing.T, b book.Book) []byte {
	t.Helper()
	text, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
