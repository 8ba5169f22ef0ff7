package recipe_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/recipe"
	"marchpane/pricing/record"
)

// TestBakersAgainstWorksheets works the formulas in weights of
// pricing/testdata/vectors.csv, topic bakers_percent: worksheets and handouts of
// bakery classes, each row with its source.
func TestBakersAgainstWorksheets(t *testing.T) {
	f, err := os.Open("../testdata/vectors.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	worked := 0
	for _, row := range rows {
		if row[1] != "bakers_percent" {
			continue
		}
		worked++
		t.Run(row[0], func(t *testing.T) {
			var given, want map[string]json.Number
			if err := json.Unmarshal([]byte(row[2]), &given); err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal([]byte(row[3]), &want); err != nil {
				t.Fatal(err)
			}
			unit := "oz"
			if _, ok := given["flour_lb"]; ok {
				unit = "lb"
			}
			var foods, lines []string
			for key, n := range given {
				id := strings.ReplaceAll(strings.TrimSuffix(key, "_"+unit), "_", "-")
				foods = append(foods, fmt.Sprintf(`{"id": %q, "name": %q, "measure": "mass", "prices": []}`, id, strings.ReplaceAll(id, "-", " ")))
				lines = append(lines, fmt.Sprintf(`{"use": %q, "qty": "%s %s"}`, id, n, unit))
			}
			x := bakersBook(t, foods, lines)
			got, _ := recipe.Bakers(x, &x.Book.Components[0], recipe.IsFlour)
			tolerance := exact.Must(row[4])
			checked := 0
			for _, l := range got {
				key := strings.ReplaceAll(string(l.Item.Ingredient.ID), "-", "_") + "_pct"
				if want[key] == "" {
					continue
				}
				checked++
				off := l.Share.Mul(exact.Int(100)).Sub(exact.Must(want[key].String()))
				if off.Sign() < 0 {
					off = off.Neg()
				}
				if off.Cmp(tolerance) > 0 {
					t.Errorf("%s = %s, want %s (%s)", key, l.Share.Mul(exact.Int(100)).Fixed(4), want[key], row[5])
				}
			}
			if checked == 0 {
				t.Error("no percentage of the row was compared")
			}
		})
	}
	if worked < 4 {
		t.Errorf("%d worksheets were worked, want 4 and more", worked)
	}
}

// Several flours are 100 % together: 50, 20 and 30 % of them, as in row BP10.
func TestBakersOfSeveralFlours(t *testing.T) {
	x := bakersBook(t, []string{
		`{"id": "white", "name": "White flour", "measure": "mass", "prices": []}`,
		`{"id": "whole", "name": "Wholemeal", "measure": "mass", "prices": []}`,
		`{"id": "durum", "name": "Durum semolina", "measure": "mass", "prices": []}`,
		`{"id": "water", "name": "Water", "measure": "mass", "prices": []}`,
		`{"id": "board", "name": "Flour sack", "kind": "packaging", "measure": "count", "prices": []}`,
	}, []string{`{"use": "white", "qty": "500 g"}`, `{"use": "whole", "qty": "200 g"}`, `{"use": "durum", "qty": "300 g"}`, `{"use": "water", "qty": "700 g"}`, `{"use": "board", "qty": "1 each"}`})
	lines, total := recipe.Bakers(x, &x.Book.Components[0], recipe.IsFlour)
	for i, want := range []string{"50", "20", "30", "70"} {
		if got := lines[i].Share.Mul(exact.Int(100)).Text(); got != want {
			t.Errorf("%s = %s %%, want %s", lines[i].Item.Name(), got, want)
		}
	}
	if lines[4].Known || !lines[4].Share.IsZero() {
		t.Errorf("packaging has a share: %+v", lines[4])
	}
	if got := total.Mul(exact.Int(100)).Text(); got != "170" {
		t.Errorf("all of it = %s %%, want 170", got)
	}
	if _, total := recipe.Bakers(x, &x.Book.Components[0], func(book.Item) bool { return false }); !total.IsZero() {
		t.Errorf("without flour the total is %s, want 0", total.Text())
	}
}

// What bakers call flour and what only has the word in its name: common practice,
// no source.
func TestIsFlour(t *testing.T) {
	// Studios keep raising agents in the cupboard of the flours.
	if powder := (book.Ingredient{ID: "x", Name: "Baking powder", Measure: measure.Mass, Category: record.Some("flour")}); recipe.IsFlour(book.Item{Ingredient: &powder}) {
		t.Error("baking powder counts as flour by its category")
	}
	for name, want := range map[string]bool{
		"Plain flour": true, "Farine T55": true, "Weizenmehl Type 405": true, "Wholemeal": true, "Rice flour": true, "Semolina": true,
		"Cornflour": false, "Ground almonds": false, "Almond flour": false, "Speisestärke": false, "Caster sugar": false, "Flower wire": false, "Kartoffelmehl": false,
	} {
		ing := book.Ingredient{ID: "x", Name: name, Measure: measure.Mass}
		if got := recipe.IsFlour(book.Item{Ingredient: &ing}); got != want {
			t.Errorf("IsFlour(%s) = %t, want %t", name, got, want)
		}
	}
}

func bakersBook(t *testing.T, foods, lines []string) *book.Index {
	t.Helper()
	b, err := book.Parse(fmt.Appendf(nil, `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "target": {"markup": "0 %%"}},
		"ingredients": [%s], "components": [{"id": "dough", "name": "Dough", "yield": "1 kg", "lines": [%s]}]}`, strings.Join(foods, ","), strings.Join(lines, ",")))
	if err != nil {
		t.Fatal(err)
	}
	return book.NewIndex(b)
}
