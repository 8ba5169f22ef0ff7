package store_test

import (
	"errors"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
)

func TestRoundTrip(t *testing.T) {
	for name, b := range map[string]book.Book{"example": exampleBook(t), "demo": demoBook(t), "corners": parse(t, []byte(cornersBook))} {
		for _, replace := range []bool{false, true} {
			s, db := fresh(t)
			importBook(t, s, b, replace)
			check(t, name, export(t, s), encode(t, b))

			again := importBook(t, s, b, replace)
			if again.Added+again.Changed+again.Prices != 0 {
				t.Errorf("%s imported twice: %+v, want nothing but the same", name, again)
			}
			check(t, name+" imported twice", export(t, s), encode(t, b))
			checkFile(t, db)
		}
	}
}

// cornersBook states what is easily lost: defaults, empty texts, empty lists
// and objects, digits behind the point, repeated days and repeated flags.
const cornersBook = `{"format":"marchpane-book/1",
"studio":{"name":"Corner","currency":"EUR","target":{"markup":"0 %"},"address":"","locale":"en","household":"metric","recovers_tax":false,
 "prices_shown":"gross","tax":{"rate":"0.00 %"},"minimum_order":"0","floor_margin":"0 %","allergen_list":"eu","quote":{}},
"roles":[{"id":"idle","name":"Idle","wage":[]},{"id":"busy","name":"Busy","on_cost":"0 %","productive":"100 %","wage":[{"from":"2026-02-01","per_hour":"10.000"},{"from":"2026-01-01","per_hour":"9"},{"from":"2026-02-01","per_hour":"11"}]}],
"equipment":[{"id":"bowl","name":"Bowl","power":"0 W","duty":"0 %","per_hour":"0.00"},{"id":"board","name":"Board"}],
"overhead":{"method":"percent","dated":[{"from":"2026-01-01","share":"0 %"}]},
"ingredients":[
 {"id":"salt","name":"Salt & pepper <fine> \"\u00e9\" 塩\n2","kind":"ingredient","measure":"mass","allergens":{},"trim_yield":"100 %","prices":[]},
 {"id":"tape","name":"Tape","kind":"packaging","measure":"length","flags":["inedible","inedible"],"prices":[{"from":"0999-12-31","pack":"10 x 25.0 m","price":"0","tax_in":"0 %","note":"","supplier":""}]},
 {"id":"egg","name":"Egg","measure":"count","allergens":{"may_contain":["milk"],"contains":["egg"]},"parts":[{"id":"yolk","name":"Yolk","mass":"17.0 g"}],"prices":[{"from":"2026-01-01","pack":"15 dozen","price":"38.70"}]}],
"components":[{"id":"air","name":"Air","lines":[],"yield":"1 each","flags":["raw-egg"],"keeps":"0 day","method":""},
 {"id":"mix","name":"Mix","kind":"","lines":[{"use":"yolk","qty":"1 lb","note":""}],"loss":"0 %","mould":{"shape":"rectangle","length":"1 in","width":"1 ft","height":"10.0 mm"},"batch_min":"0 g"},
 {"id":"pudding","name":"Pudding","lines":[],"yield":"1 kg","mould":{"holds":"2.50 cup"}},
 {"id":"jelly","name":"Jelly","lines":[],"yield":"1 kg","mould":{"shape":"heart","side":"15 cm","holds":"0.9 l"}}],
"tins":[{"id":"salt","shape":"measured","area":"100.0 cm2","perimeter":"40 cm","owned":0},
 {"id":"heart","shape":"heart","side":"15.0 cm","height":"2 in","holds":"1850 ml","owned":3,"name":"The old one"},
 {"id":"tray","shape":"rectangle","length":"60 cm","width":"40 cm"}],
"cakes":[{"id":"plain","name":"Plain","portions":0,"target":{"fixed":"1.50"},"tax_rate":"0 %","parts":[{"use":"salt","qty":"0 g","per":"cake","waste":"0 %"}]},
 {"id":"tall","name":"Tall","portion":{"cut":"wedge","count":8},"tiers":[
  {"name":"a","shape":"measured","area":"100 cm2","perimeter":"40 cm","height":"1 in","dummy":false,"kept":true,"portions":0},
  {"name":"a","shape":"heart","side":"8 in","height":"1 in","dummy":true,"parts":[{"use":"mix","layers":1,"thick":"0 mm"},{"use":"mix","coat":"1 mm","on":"surface"},{"use":"mix","sheet":"3 mm","overhang":"0 mm","reuse":"0 %"}],
   "tasks":[{"task":"wait","wait":"1 day"},{"task":"stir","role":"busy"}],"equipment":[{"use":"board"}]}]}],
"extras":[{"id":"salt","name":"Salt","always":false,"hidden":false,"price":"0","price_per_km":"0.000"}]}`

func TestBookThatIsMerged(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, exampleBook(t), false)

	file := exampleBook(t)
	butter := &file.Ingredients[0]
	butter.Name = "Butter, salted"
	old := butter.Prices
	butter.Prices = []book.Price{old[0]}
	butter.Prices[0].Price = old[1].Price // a price never seen
	file.Ingredients = file.Ingredients[:1]
	plain := file.Cakes[0]
	plain.ID, plain.Tiers = "one-tier-lemon", plain.Tiers[:1]
	file.Cakes = []book.Cake{plain}
	file.Components, file.Extras = nil, nil

	changes := importBook(t, s, file, false)
	if want := (book.Changes{Added: 1, Changed: 1, Same: 4, Prices: 1}); changes != want {
		t.Errorf("Import = %+v, want %+v", changes, want)
	}
	got, err := s.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if n := len(got.Ingredients); n != 12 {
		t.Errorf("%d ingredients, want the 12 there were", n)
	}
	if name := got.Ingredients[0].Name; name != "Butter, salted" {
		t.Errorf("the butter is %q, want the new name in the old place", name)
	}
	var prices []string
	for _, p := range got.Ingredients[0].Prices {
		prices = append(prices, p.From.String()+" "+p.Price.String())
	}
	if got, want := strings.Join(prices, ", "), "2026-01-10 21.40, 2026-10-05 25.25, 2026-01-10 25.25"; got != want {
		t.Errorf("butter has prices %s, want %s", got, want)
	}
	if n := len(got.Cakes); n != 2 || got.Cakes[1].ID != "one-tier-lemon" {
		t.Errorf("%d cakes, want 2 with the new one last", n)
	}
	if got, want := one(t, db, `SELECT at || ' ' || kind || ' ' || file || ' ' || added || changed || same || removed || prices FROM import WHERE number = 2`), "2026-11-25T08:30:00Z merge test.json 11401"; got != want {
		t.Errorf("the journal says %s, want %s", got, want)
	}
	checkFile(t, db)
}

func TestBookThatIsReplaced(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, demoBook(t), false)

	// Another studio altogether, and one where ids change their kind.
	importBook(t, s, exampleBook(t), true)
	check(t, "replaced", export(t, s), encode(t, exampleBook(t)))

	swapped := parse(t, []byte(cornersBook))
	swapped.Roles[0].ID, swapped.Equipment[0].ID = "butter", "egg-yolk"
	swapped.Roles[0].Wage = swapped.Roles[1].Wage
	importBook(t, s, swapped, true)
	check(t, "ids of other kinds", export(t, s), encode(t, swapped))

	importBook(t, s, demoBook(t), true)
	check(t, "back again", export(t, s), encode(t, demoBook(t)))

	reordered := demoBook(t)
	last := len(reordered.Cakes) - 1
	reordered.Cakes[0], reordered.Cakes[last] = reordered.Cakes[last], reordered.Cakes[0]
	prices := reordered.Ingredients[0].Prices
	prices[0], prices[1] = prices[1], prices[0]
	changes := importBook(t, s, reordered, true)
	check(t, "reordered", export(t, s), encode(t, reordered))
	if want := (book.Changes{Added: 0, Changed: 1, Same: objects(reordered) - 1, Prices: len(prices)}); changes != want {
		t.Errorf("Import = %+v, want %+v", changes, want)
	}
	checkFile(t, db)
}

func objects(b book.Book) int {
	return len(b.Roles) + len(b.Equipment) + len(b.Ingredients) + len(b.Components) + len(b.Tins) + len(b.Cakes) + len(b.Extras)
}

func TestOverheadByAnotherMethod(t *testing.T) {
	s, db := fresh(t)
	b := exampleBook(t)
	importBook(t, s, b, false)
	b.Overhead = parse(t, []byte(cornersBook)).Overhead
	importBook(t, s, b, false)
	check(t, "overhead by percent", export(t, s), encode(t, b))
	if got, want := one(t, db, `SELECT group_concat(coalesce(price, share) || ' by import ' || import || coalesce(' until ' || closed_by, ''), ', ')
		FROM price JOIN price_list USING (resource) WHERE resource = 'overhead' AND list = number`), "2380.00 by import 1 until 2, 0 % by import 2"; got != want {
		t.Errorf("the overhead's history is %s, want %s", got, want)
	}
}

func TestImportIsAllOrNothing(t *testing.T) {
	s, db := fresh(t)
	importBook(t, s, exampleBook(t), false)
	before := export(t, s)

	file := exampleBook(t)
	file.Studio.Name = "Somebody else"
	file.Cakes[0].Tiers[1].Parts[0].Use = "no-such-thing"
	for _, replace := range []bool{false, true} {
		_, err := s.Import(t.Context(), file, replace, "bad.json", at)
		var faults record.Faults
		if !errors.As(err, &faults) || !strings.Contains(err.Error(), "cakes[0].tiers[1].parts[0].use") {
			t.Errorf("Import(replace %v) = %v, want a fault with its path", replace, err)
		}
	}

	// The disk of the database may fail when the file is sound.
	if _, err := db.Exec(`CREATE TRIGGER fails BEFORE INSERT ON extra BEGIN SELECT RAISE(ABORT, 'no room'); END`); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Import(t.Context(), demoBook(t), false, "demo.json", at); err == nil {
		t.Error("Import = nil where a row cannot be written")
	}
	check(t, "book after refused imports", export(t, s), before)
	if got := one(t, db, `SELECT count(*) FROM import`); got != "1" {
		t.Errorf("%s imports in the journal, want 1", got)
	}
}
