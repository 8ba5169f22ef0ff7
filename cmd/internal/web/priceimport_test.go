package web

import (
	"net/http"
	"strings"
	"testing"
)

// A list as a supplier might send it, made for this test: semicolons, decimal
// commas, a price that leaps, goods that nobody knows.
const supplierList = "Article;Pack;Price excl. VAT\nbutter;10 x 250 g;30,90\nMystery paste;1 kg;4,20\nplain flour;25 kg;999,00\ncaster sugar;some;12,00\n"

func TestPriceListRowByRow(t *testing.T) {
	v := visitStudio(t, true)
	before := versionOf(v.book())
	if a := v.sendFile("/prices/import", "list", "list.csv", nil, "supplier", ""); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `id="f-supplier-fault"`) {
		t.Errorf("a list of nobody = %d", a.status)
	}
	list := supplierList
	for _, ing := range v.book().Ingredients { // the demo's own names stand for those of the list
		switch ing.ID {
		case "butter":
			list = strings.Replace(list, "\nbutter;", "\n"+ing.Name+";", 1)
		case "plain-flour":
			list = strings.Replace(list, "plain flour;", ing.Name+";", 1)
		case "caster-sugar":
			list = strings.Replace(list, "caster sugar;", ing.Name+";", 1)
		}
	}
	a := v.sendFile("/prices/import", "list", "list.csv", []byte(list), "supplier", "Marsh & Daughter", "from", "2026-11-25")
	if a.status != http.StatusOK {
		t.Fatalf("the rows = %d: %s", a.status, plainText(a.body))
	}
	a.has(t, "1 new price", "1 unknown item", "€30.90", "Mystery paste", "unreadable", "suspicious")
	if versionOf(v.book()) != before {
		t.Fatal("a dry run changed the book")
	}
	pairs := a.filled(t, "from", "2026-11-25")
	b := v.post("/prices/import/apply", pairs...)
	if b.status != http.StatusUnprocessableEntity || versionOf(v.book()) != before {
		t.Errorf("with rows undecided = %d", b.status)
	}
	b.has(t, "rows are to be decided on")
	if c := v.post("/prices/import/apply", a.filled(t, "from", "2026-11-25", "is-3", "no such thing")...); c.status != http.StatusUnprocessableEntity || !strings.Contains(c.body, `id="f-is-3-fault"`) {
		t.Errorf("an unknown ingredient = %d", c.status)
	}
	c := v.post("/prices/import/rows", append(a.filled(t, "from", "2026-11-25", "is-3", notBought), "accept-4", "yes", "skip-5", "yes")...)
	c.has(t, "2 new price", "passed over", "left out")
	d := v.post("/prices/import/apply", c.filled(t)...)
	d.has(t, "2 prices of Marsh & Daughter added.")
	v.get("/prices/butter").has(t, "€30.90")
	v.post("/undo", "token", d.value(t, "token")).has(t, "2 prices are gone again.")
	if versionOf(v.book()) != before {
		t.Error("undo did not bring the book back")
	}
	v.sendFile("/prices/import", "list", "list.csv", []byte(list), "supplier", "Marsh & Daughter").has(t, "This very list was taken in on 2026-11-25.")
}

func TestPriceListThatSaysTooLittle(t *testing.T) {
	v := visitStudio(t, true)
	a := v.sendFile("/prices/import", "list", "list.csv", []byte("Article;Pack;Price\nbutter;250 g;3,20\n"), "supplier", "Corner <shop>")
	if a.status != http.StatusUnprocessableEntity {
		t.Fatalf("a list that does not say whether it holds tax = %d", a.status)
	}
	a.has(t, `say it below, under "Its prices"`, "Corner <shop>")
	pairs := a.filled(t, "from", "2026-11-25", "tax", "out", "decimal", "comma")
	if a := v.post("/prices/import/rows", pairs...); a.status != http.StatusOK {
		t.Errorf("once said = %d: %s", a.status, plainText(a.body))
	}
	if a := v.sendFile("/prices/import", "list", "list.xlsx", []byte("PK\x03\x04nonsense"), "supplier", "X"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("a broken workbook = %d", a.status)
	}
	if a := v.post("/prices/import/rows", "file", "guessed", "supplier", "X"); a.status != http.StatusConflict {
		t.Errorf("a file that is not there = %d, want 409", a.status)
	}
}

// TestFirstPriceList: a studio that buys nothing yet takes in what it buys from
// a list, and Undo takes it out again.
func TestFirstPriceList(t *testing.T) {
	v := visitStudio(t, false)
	v.post("/welcome", "name", "Rook & Larder", "currency", "EUR", "locale", "en-IE", "target.margin", "35")
	before := versionOf(v.book())
	a := v.sendFile("/prices/import", "list", "list.csv", []byte("Article;Pack;Price excl. VAT\nButter;10 x 250 g;22,00\nEggs;30 each;7,50\nSalt;some;1,00\n"), "supplier", "Millstream Dairy", "from", "2026-11-25")
	a.has(t, "Add every item that is not known to what you buy")
	b := v.post("/prices/import/rows", a.filled(t, "from", "2026-11-25", "tax_rate", "0", "is-4", newGoods)...)
	b.has(t, "cannot be added from here")
	c := v.post("/prices/import/rows", append(a.filled(t, "from", "2026-11-25", "tax_rate", "0"), "new_all", "yes")...)
	c.has(t, "2 new price")
	if versionOf(v.book()) != before {
		t.Fatal("a dry run changed the book")
	}
	d := v.post("/prices/import/apply", append(c.filled(t), "new_all", "yes", "skip_all", "yes")...)
	d.has(t, "2 prices of Millstream Dairy added.", "New among what you buy: 2 items.", "Butter", "€8.80 a kg", "Eggs", "€0.25 each")
	v.post("/undo", "token", d.value(t, "token")).has(t, "2 prices are gone again.")
	if versionOf(v.book()) != before {
		t.Errorf("undo left %d ingredients", len(v.book().Ingredients))
	}
}
