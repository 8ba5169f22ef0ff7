package book_test

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
)

func example(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile("../testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// change returns the example book with the first from in it turned into to.
func change(t testing.TB, from, to string) string {
	t.Helper()
	text := example(t)
	if !strings.Contains(text, from) {
		t.Fatalf("the example book has no %s", from)
	}
	return strings.Replace(text, from, to, 1)
}

// parse parses a book, and turns a panic into an error that says so: no file
// whatever may end the program.
func parse(text string) (b book.Book, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("PANIC: %v", r)
		}
	}()
	return book.Parse([]byte(text))
}

// faultPaths lists the paths of the faults in an error, the file as a whole as
// "-", sorted and joined by blanks.
func faultPaths(err error) string {
	var faults record.Faults
	if err == nil {
		return ""
	}
	if !errors.As(err, &faults) {
		return fmt.Sprint(err)
	}
	paths := make([]string, len(faults))
	for i, f := range faults {
		if paths[i] = f.Path; f.Path == "" {
			paths[i] = "-"
		}
	}
	slices.Sort(paths)
	return strings.Join(paths, " ")
}

// badBook is one change to the example book, and the paths of all faults that
// it causes.
type badBook struct{ from, to, paths string }

func checkBad(t *testing.T, books []badBook) {
	t.Helper()
	for _, c := range books {
		_, err := parse(change(t, c.from, c.to))
		if got := faultPaths(err); got != c.paths {
			t.Errorf("%s → %.120s: faults at %s, want %s\n%v", c.from, c.to, got, c.paths, err)
		}
	}
}

// TestBadForm: files that are no book by their form alone.
func TestBadForm(t *testing.T) {
	checkBad(t, []badBook{
		// Unknown and missing keys, on every level.
		{`"household"`, `"houshold"`, "studio.houshold"},
		{`"roles"`, `"rolls"`, "rolls"},
		{`"wage": [{"from": "2026-01-01", "per_hour": "16.50"}]`, `"wages": []`, "roles[0].wage roles[0].wages"},
		{`"allergens": {"contains": ["milk"]}`, `"allergens": {"contain": ["milk"]}`, "ingredients[0].allergens.contain"},
		{`"pack": "10 x 250 g", "price": "21.40"`, `"pack": "10 x 250 g"`, "ingredients[0].prices[0].price"},
		{`"pack": "10 x 250 g", "price": "21.40"`, `"price": "21.40"`, "ingredients[0].prices[0].pack"},
		{`"name": "Lemon curd", `, ``, "components[0].name"},
		{`{"use": "lemon", "qty": "160 ml"}`, `{"use": "lemon"}`, "components[0].lines[0].qty"},
		{`{"use": "lemon", "qty": "160 ml"}`, `{"qty": "160 ml"}`, "components[0].lines[0].use"},
		{`"diameter": "225 mm", "height": "110 mm"`, `"diameter": "225 mm"`, "cakes[0].tiers[0].height"},
		{`"name": "bottom", `, ``, "cakes[0].tiers[0].name"},
		{`"format": "marchpane-book/1",`, ``, "format"},
		{`"currency": "EUR",`, ``, "studio.currency"},
		{`"target": {"margin": "55 %"},`, ``, "studio.target"},
		{`"name": "Harrowgate Lane Cakes (example)",`, ``, "studio.name"},
		{`"rate": "13.5 %", `, ``, "studio.tax.rate"},
		{`"share": "75 %", `, ``, "studio.quote.instalments[0].share"},
		{`"measure": "mass", `, ``, "ingredients[0].measure"},
		{`"method": "labour hour", `, ``, "overhead.method"},
		{`"task": "set up", `, ``, "extras[0].tasks[1].task"},
		{`{"use": "mixer", "setup": "20 min"}`, `{"setup": "20 min"}`, "components[2].equipment[0].use"},
		{`"cut": "finger", `, ``, "cakes[0].portion.cut"},
		// A key that stands twice.
		{`"locale": "en-IE"`, `"locale": "en-IE", "locale": "de"`, "studio.locale"},
		{`"coat": "4 mm"`, `"coat": "4 mm", "coat": "5 mm"`, "cakes[0].tiers[0].parts[2].coat"},
		// Quantities.
		{`"160 ml"`, `"160ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"160 mls"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"-160 ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"+160 ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"1,6 ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"1e2 ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"1e999999 ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `".5 ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"5. ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, "\"160\u00a0ml\"", "components[0].lines[0].qty"},
		{`"160 ml"`, `"160  ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `160`, "components[0].lines[0].qty"},
		{`"160 ml"`, `"` + strings.Repeat("9", 100_000) + ` ml"`, "components[0].lines[0].qty"},
		{`"160 ml"`, `""`, "components[0].lines[0].qty"},
		{`"160 ml"`, `null`, "components[0].lines[0].qty"},
		{`"0.911 g/ml"`, `"0 g/ml"`, "ingredients[0].density"},
		{`"0.911 g/ml"`, `"0.911"`, "ingredients[0].density"},
		{`"trim_yield": "43 %"`, `"trim_yield": "43"`, "ingredients[4].trim_yield"},
		{`"trim_yield": "43 %"`, `"trim_yield": "-43 %"`, "ingredients[4].trim_yield"},
		// Dates.
		{`"2026-01-10"`, `"10.1.2026"`, "ingredients[0].prices[0].from"},
		{`"2026-01-10"`, `"2026-02-30"`, "ingredients[0].prices[0].from"},
		{`"2026-01-10"`, `"2026-1-10"`, "ingredients[0].prices[0].from"},
		{`"2026-01-10"`, `"2026-01-10T00:00:00Z"`, "ingredients[0].prices[0].from"},
		{`"energy": [{"from": "2026-01-01"`, `"energy": [{"from": "soon"`, "energy[0].from"},
		// Money.
		{`"21.40"`, `"€21.40"`, "ingredients[0].prices[0].price"},
		{`"21.40"`, `"21,40"`, "ingredients[0].prices[0].price"},
		{`"21.40"`, `"-21.40"`, "ingredients[0].prices[0].price"},
		{`"21.40"`, `"1e999999"`, "ingredients[0].prices[0].price"},
		{`"21.40"`, `21.40`, "ingredients[0].prices[0].price"},
		{`"21.40"`, `"1 000.00"`, "ingredients[0].prices[0].price"},
		// Packs.
		{`"10 x 250 g"`, `"0 g"`, "ingredients[0].prices[0].pack"},
		{`"10 x 250 g"`, `"0 x 250 g"`, "ingredients[0].prices[0].pack"},
		{`"10 x 250 g"`, `"10 x 0 g"`, "ingredients[0].prices[0].pack"},
		{`"10 x 250 g"`, `"-10 x 250 g"`, "ingredients[0].prices[0].pack"},
		{`"10 x 250 g"`, `"10 x -250 g"`, "ingredients[0].prices[0].pack"},
		{`"10 x 250 g"`, `"1e9 x 250 g"`, "ingredients[0].prices[0].pack"},
		{`"10 x 250 g"`, `"250 g x 10"`, "ingredients[0].prices[0].pack"},
		// Words.
		{`"currency": "EUR"`, `"currency": "Euro"`, "studio.currency"},
		{`"household": "metric"`, `"household": "imperial"`, "studio.household"},
		{`"prices_shown": "gross"`, `"prices_shown": "both"`, "studio.prices_shown"},
		{`"by": "document"`, `"by": "page"`, "studio.tax.by"},
		{`"allergen_list": "eu"`, `"allergen_list": "mars"`, "studio.allergen_list"},
		{`"method": "labour hour"`, `"method": "per hour"`, "overhead.method"},
		{`"measure": "mass"`, `"measure": "weight"`, "ingredients[0].measure"},
		{`"kind": "packaging"`, `"kind": "box"`, "ingredients[7].kind"},
		{`["milk"]`, `["dairy"]`, "ingredients[0].allergens.contains[0]"},
		{`["milk"]`, `["milk", "Egg"]`, "ingredients[0].allergens.contains[1]"},
		{`"flags": ["inedible"]`, `"flags": ["poison"]`, "ingredients[7].flags[0]"},
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "oval", "diameter": "225 mm"`, "cakes[0].tiers[0].shape"},
		{`"cut": "finger"`, `"cut": "slice"`, "cakes[0].portion.cut"},
		{`"per": "edge"`, `"per": "rim"`, "cakes[0].tiers[0].parts[4].per"},
		{`"per": "batch"`, `"per": "oven"`, "components[1].equipment[0].per"},
		{`"id": "butter"`, `"id": "Butter"`, "ingredients[0].id"},
		{`"id": "butter"`, `"id": "unsalted butter"`, "ingredients[0].id"},
		{`"id": "butter"`, `"id": "-butter"`, "ingredients[0].id"},
		{`"id": "butter"`, `"id": "salt--butter"`, "ingredients[0].id"},
		{`"id": "butter"`, `"id": ""`, "ingredients[0].id"},
		{`"id": "butter"`, `"id": "crème"`, "ingredients[0].id"},
		{`"id": "butter"`, `"id": "` + strings.Repeat("a", 81) + `"`, "ingredients[0].id"},
		// Counts and flags.
		{`"layers": 3`, `"layers": "3"`, "cakes[0].tiers[0].parts[0].layers"},
		{`"layers": 3`, `"layers": 2.5`, "cakes[0].tiers[0].parts[0].layers"},
		{`"layers": 3`, `"layers": -3`, "cakes[0].tiers[0].parts[0].layers"},
		{`"layers": 3`, `"layers": 1e3`, "cakes[0].tiers[0].parts[0].layers"},
		{`"layers": 3`, `"layers": 1e999999`, "cakes[0].tiers[0].parts[0].layers"},
		{`"layers": 3`, `"layers": 1000001`, "cakes[0].tiers[0].parts[0].layers"},
		{`"valid_days": 30`, `"valid_days": 99999999999`, "studio.quote.valid_days"},
		{`"days_before": 14`, `"days_before": -1`, "studio.quote.instalments[0].days_before"},
		{`"always": true`, `"always": "yes"`, "extras[1].always"},
		{`"recovers_tax": true`, `"recovers_tax": 1`, "studio.recovers_tax"},
		{`"terms": ["A date is held once the deposit is paid."]`, `"terms": "none"`, "studio.quote.terms"},
		{`"terms": ["A date`, `"terms": ["A\u0007 date`, "studio.quote.terms[0]"},
		// Not one JSON value.
		{`"extras": [`, `"extras": `, "-"},
		{`"format"`, `format`, "-"},
		{`"format": "marchpane-book/1",`, strings.Repeat("[", 40), "-"},
	})
	text := example(t)
	for _, cut := range []int{0, 1, len(text) / 3, len(text) / 2, len(text) - 3} {
		if _, err := parse(text[:cut]); faultPaths(err) != "-" {
			t.Errorf("a book cut off after %d bytes: %v, want one fault of the file", cut, err)
		}
	}
}

// TestBadFacts: books whose objects do not fit each other, or that hold figures
// beyond their range.
func TestBadFacts(t *testing.T) {
	checkBad(t, []badBook{
		{`"marchpane-book/1"`, `"marchpane-book/2"`, "format"},
		// Ids.
		{`"id": "caster-sugar"`, `"id": "butter"`, "components[0].lines[1].use components[1].lines[1].use components[2].lines[1].use ingredients[1].id"},
		{`"id": "egg-white"`, `"id": "egg-yolk"`, "components[2].lines[2].use ingredients[3].parts[1].id"},
		{`"id": "mixer"`, `"id": "deck-oven"`, "components[1].equipment[1].use components[2].equipment[0].use equipment[1].id"},
		{`"id": "decorator", "name"`, `"id": "energy", "name"`, "cakes[0].tasks[0].role cakes[0].tiers[0].tasks[0].role cakes[0].tiers[1].tasks[0].role extras[0].tasks[1].role extras[1].tasks[0].role roles[1].id"},
		{`"id": "card-150"`, `"id": "overhead"`, "cakes[0].parts[1].use ingredients[9].id"},
		{`"id": "card-150"`, `"id": "lemon-curd"`, "cakes[0].parts[1].use cakes[0].tiers[0].parts[1].use cakes[0].tiers[1].parts[1].use components[0].id"},
		{`"id": "consultation"`, `"id": "delivery"`, "extras[1].id"},
		// Empty names.
		{`"Unsalted butter"`, `"  "`, "ingredients[0].name"},
		{`"Deck oven"`, `""`, "equipment[0].name"},
		{`"Pastry cook"`, `""`, "roles[0].name"},
		{`"name": "bottom"`, `"name": ""`, "cakes[0].tiers[0].name"},
		{`"task": "set up"`, `"task": ""`, "extras[0].tasks[1].task"},
		// Uses that name nothing, or a thing of another kind.
		{`{"use": "lemon", "qty"`, `{"use": "lime", "qty"`, "components[0].lines[0].use"},
		{`{"use": "board-300"`, `{"use": "board-400"`, "cakes[0].parts[0].use"},
		{`{"use": "board-300"`, `{"use": "pastry"`, "cakes[0].parts[0].use"},
		{`{"use": "board-300"`, `{"use": "mixer"`, "cakes[0].parts[0].use"},
		{`{"use": "board-300"`, `{"use": "energy"`, "cakes[0].parts[0].use"},
		{`"role": "pastry", "setup": "8 min"`, `"role": "baker", "setup": "8 min"`, "components[0].tasks[0].role"},
		{`"role": "pastry", "setup": "8 min"`, `"role": "mixer", "setup": "8 min"`, "components[0].tasks[0].role"},
		{`"role": "pastry", "setup": "8 min"`, `"setup": "8 min"`, "components[0].tasks[0].role"},
		{`{"use": "deck-oven", "setup"`, `{"use": "stove", "setup"`, "components[1].equipment[0].use"},
		{`{"use": "deck-oven", "setup"`, `{"use": "butter", "setup"`, "components[1].equipment[0].use"},
		// Missing bridges.
		{`"measure": "mass", "density": "1.03 g/ml", "trim_yield"`, `"measure": "mass", "trim_yield"`, "components[0].lines[0].qty"},
		{`"measure": "mass", "density": "1.35 g/ml"`, `"measure": "mass"`, "cakes[0].tiers[0].parts[3].use cakes[0].tiers[1].parts[3].use"},
		{`"qty": "1 lb"`, `"qty": "1 each"`, "components[2].lines[0].qty"},
		{`{"use": "egg-yolk", "qty": "6 each"}`, `{"use": "egg-yolk", "qty": "60 ml"}`, "components[0].lines[2].qty"},
		{`"qty": "11 mm", "per": "edge"`, `"qty": "11 g", "per": "edge"`, "cakes[0].tiers[0].parts[4].qty"},
		{`"loss": "6 %", "density": "1.1 g/ml"`, `"loss": "6 %"`, "cakes[0].tiers[0].parts[1].use cakes[0].tiers[1].parts[1].use"},
		{`"loss": "4 %", "density": "0.8 g/ml"`, `"yield": "12 each"`, "cakes[0].parts[4].qty cakes[0].tiers[0].parts[2].use cakes[0].tiers[1].parts[2].use components[2].tasks[0].per"},
		{`"loss": "4 %", "density": "0.8 g/ml"`, `"yield": "800 ml"`, "cakes[0].parts[4].qty cakes[0].tiers[0].parts[2].use cakes[0].tiers[1].parts[2].use components[2].yield"},
		{`{"use": "meringue-buttercream", "qty": "4 g"`, `{"use": "meringue-buttercream", "qty": "4 each"`, "cakes[0].parts[4].qty"},
		{`{"use": "meringue-buttercream", "qty": "4 g"`, `{"use": "meringue-buttercream", "qty": "4 cm"`, "cakes[0].parts[4].qty"},
		{`"pack": "10 x 250 g", "price": "21.40"`, `"pack": "2 l", "price": "21.40"`, "ingredients[0].prices[0].pack"},
		{`"each": "4 g"`, `"each": "4 ml"`, "ingredients[5].each"},
		// Ranges.
		{`"target": {"margin": "55 %"}`, `"target": {"margin": "100 %"}`, "studio.target.margin"},
		{`"target": {"margin": "55 %"}`, `"target": {"margin": "250 %"}`, "studio.target.margin"},
		{`"floor_margin": "50 %"`, `"floor_margin": "100 %"`, "studio.floor_margin"},
		{`"loss": "6 %"`, `"loss": "100 %"`, "components[0].lines components[0].loss"},
		{`"loss": "6 %"`, `"loss": "160 %"`, "components[0].lines components[0].loss"},
		{`"trim_yield": "43 %"`, `"trim_yield": "100.1 %"`, "ingredients[4].trim_yield"},
		{`"trim_yield": "15 %"`, `"trim_yield": "0 %"`, "ingredients[5].trim_yield"},
		{`"productive": "80 %"`, `"productive": "0 %"`, "roles[0].productive"},
		{`"productive": "80 %"`, `"productive": "101 %"`, "roles[0].productive"},
		{`"duty": "55 %"`, `"duty": "101 %"`, "equipment[0].duty"},
		{`"reuse": "60 %"`, `"reuse": "101 %"`, "cakes[0].tiers[0].parts[3].reuse"},
		{`"deposit": "25 %", "instalments": [{"share": "75 %"`, `"deposit": "101 %", "instalments": [{"share": "75 %"`, "studio.quote.deposit studio.quote.instalments"},
		{`"share": "75 %"`, `"share": "101 %"`, "studio.quote.instalments[0].share"},
		{`[{"share": "75 %", "days_before": 14}]`, `[{"share": "80 %", "days_before": 14}, {"share": "20 %", "days_before": 7}]`, "studio.quote.instalments"},
		{`"locale": "en-IE"`, `"locale": "English please"`, "studio.locale"},
		{`"price_step": "5.00"`, `"price_step": "0"`, "studio.price_step"},
		{`"price_step": "5.00"`, `"price_step": "0.005"`, "studio.price_step"},
		{`"minimum_order": "90.00"`, `"minimum_order": "90.001"`, "studio.minimum_order"},
		{`"price": "540.00"`, `"price": "540.005"`, "cakes[0].price"},
		{`"currency": "EUR"`, `"currency": "JPY"`, ""}, // whole figures fit, whatever zeros they end in
		// Zero divisors.
		{`"hours": "140 h"`, `"hours": "0 h"`, "overhead.hours"},
		{`"hours": "140 h", `, ``, "overhead.hours"},
		{`"hours": "140 h"`, `"hours": "140 kg"`, "overhead.hours"},
		{`"each": "4 g"`, `"each": "0 g"`, "ingredients[5].each"},
		{`"mass": "17 g"`, `"mass": "0 g"`, "ingredients[3].parts[0].mass"},
		{`"mass": "17 g"`, `"mass": "17 ml"`, "ingredients[3].parts[0].mass"},
		{`"batch_max": "2.4 kg"`, `"batch_max": "0 kg"`, "components[1].batch_max"},
		{`"batch_max": "2.4 kg"`, `"batch_max": "24 each"`, "components[1].batch_max"},
		{`"batch_min": "300 g"`, `"batch_min": "3 h"`, "components[0].batch_min"},
		{`"loss": "4 %"`, `"yield": "0 g"`, "components[2].yield"},
		{`"lines": [{"use": "butter", "qty": "1 lb"}, {"use": "caster-sugar", "qty": "300 g"}, {"use": "egg-white", "qty": "180 g"}]`, `"lines": []`, "components[2].lines"},
		{`"width": "25 mm"`, `"width": "0 mm"`, "cakes[0].portion.width"},
		{`"width": "25 mm"`, `"width": "25 g"`, "cakes[0].portion.width"},
		{`"width": "25 mm", `, ``, "cakes[0].portion.width"},
		{`"width": "25 mm", "depth": "50 mm"`, `"count": 12`, "cakes[0].portion.count cakes[0].portion.depth cakes[0].portion.width"},
		{`"cut": "finger", "width": "25 mm", "depth": "50 mm"`, `"cut": "wedge"`, "cakes[0].portion.count"},
		{`"cut": "finger", "width": "25 mm", "depth": "50 mm"`, `"cut": "wedge", "count": 0`, "cakes[0].portion.count"},
		{`"cut": "finger", "width": "25 mm", "depth": "50 mm"`, `"cut": "wedge", "count": 12, "width": "25 mm"`, "cakes[0].portion"},
		{`"width": "25 mm"`, `"width": "0.000001 mm"`, "cakes[0].tiers[0] cakes[0].tiers[1]"},
		// What cannot stand beside each other.
		{`"loss": "6 %"`, `"loss": "6 %", "yield": "500 g"`, "components[0].loss"},
		{`"loss": "11 %"`, `"loss": "11 %", "density": "0.4 g/ml"`, "components[1].density"},
		{`"measure": "count", "parts"`, `"measure": "count", "each": "50 g", "parts"`, "ingredients[3].each"},
		{`"measure": "count", "parts"`, `"measure": "count", "trim_yield": "88 %", "parts"`, "ingredients[3].trim_yield"},
		{`"target": {"margin": "55 %"}`, `"target": {}`, "studio.target"},
		{`"target": {"margin": "55 %"}`, `"target": {"margin": "55 %", "markup": "0 %"}`, "studio.target"},
		{`"price": "540.00"`, `"target": {"fixed": "1", "per_portion": "1"}`, "cakes[0].target"},
		{`"description"`, `"portions": 40, "description"`, "cakes[0].portions"},
		{`"dated": [{"from": "2026-01-01", "amount": "2380.00"}]`, `"dated": [{"from": "2026-01-01", "share": "15 %"}]`, "overhead.dated[0]"},
		{`"dated": [{"from": "2026-01-01", "amount": "2380.00"}]`, `"dated": [{"from": "2026-01-01"}]`, "overhead.dated[0]"},
		{`"method": "labour hour", "hours": "140 h"`, `"method": "percent"`, "overhead.dated[0]"},
		{`{"task": "chill", "wait": "2 h"}`, `{"task": "chill", "wait": "2 h", "role": "pastry"}`, "components[0].tasks[1]"},
		{`{"task": "chill", "wait": "2 h"}`, `{"task": "chill", "wait": "2 kg"}`, "components[0].tasks[1].wait"},
		{`{"task": "chill", "wait": "2 h"}`, `{"task": "chill"}`, "components[0].tasks[1].role"},
		// Times and drivers.
		{`"rate": "12 min", "per": "kg"`, `"rate": "12 min"`, "components[0].tasks[0].rate"},
		{`"rate": "12 min", "per": "kg"`, `"rate": "12 g", "per": "kg"`, "components[0].tasks[0].rate"},
		{`"setup": "8 min"`, `"setup": "8 kg"`, "components[0].tasks[0].setup"},
		{`"rate": "12 min", "per": "kg"`, `"rate": "12 min", "per": "each"`, "components[0].tasks[0].per"},
		{`"rate": "12 min", "per": "kg"`, `"rate": "12 min", "per": "portion"`, "components[0].tasks[0].per"},
		{`"rate": "0.02 min", "per": "surface"`, `"rate": "0.02 min", "per": "cake"`, "cakes[0].tiers[0].tasks[0].per"},
		{`"rate": "0.02 min", "per": "surface"`, `"rate": "0.02 min", "per": "batch"`, "cakes[0].tiers[0].tasks[0].per"},
		{`"rate": "35 min", "per": "tier"`, `"rate": "35 min", "per": "km"`, "cakes[0].tasks[0].per"},
		{`"rate": "1.5 min", "per": "km"`, `"rate": "1.5 min", "per": "portion"`, "extras[0].tasks[0].per"},
		{`"qty": "11 mm", "per": "edge"`, `"qty": "11 mm", "per": "order"`, "cakes[0].tiers[0].parts[4].per"},
		{`"power": "6 kW"`, `"power": "6 kWh"`, "equipment[0].power"},
		// Shapes.
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "round", "side": "225 mm"`, "cakes[0].tiers[0].diameter cakes[0].tiers[0].side"},
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "hexagon", "diameter": "225 mm"`, "cakes[0].tiers[0].diameter cakes[0].tiers[0].side"},
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "heart"`, "cakes[0].tiers[0].side"},
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "heart", "side": "20 cm", "width": "20 cm"`, "cakes[0].tiers[0].width"},
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "rectangle", "length": "20 cm"`, "cakes[0].tiers[0].width"},
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "measured", "area": "400 cm2"`, "cakes[0].tiers[0].perimeter"},
		{`"shape": "round", "diameter": "225 mm"`, `"shape": "measured", "area": "40 cm", "perimeter": "80 cm2"`, "cakes[0].tiers[0].area cakes[0].tiers[0].perimeter"},
		{`"diameter": "225 mm"`, `"diameter": "0 mm"`, "cakes[0].tiers[0].diameter"},
		{`"diameter": "225 mm"`, `"diameter": "225 g"`, "cakes[0].tiers[0].diameter"},
		{`"diameter": "225 mm"`, `"diameter": "225 m"`, "cakes[0].tiers[0].diameter"},
		{`"height": "110 mm"`, `"height": "0 mm"`, "cakes[0].tiers[0].height"},
		{`"height": "110 mm"`, `"height": "110 ml"`, "cakes[0].tiers[0].height"},
		// Portions.
		{`"portion": {"cut": "finger", "width": "25 mm", "depth": "50 mm"},`, ``, "cakes[0].tiers[0] cakes[0].tiers[1]"},
		{`"name": "top", "shape"`, `"name": "top", "portion": {"cut": "finger"}, "shape"`, "cakes[0].tiers[1].portion.depth cakes[0].tiers[1].portion.width"},
		// Parts.
		{`{"use": "board-300", "qty": "1 each"}`, `{"use": "board-300"}`, "cakes[0].parts[0]"},
		{`"coat": "4 mm"`, `"coat": "4 mm", "qty": "4 g"`, "cakes[0].tiers[0].parts[2]"},
		{`"coat": "4 mm"`, `"coat": "4 mm", "sheet": "4 mm", "overhang": "1 mm"`, "cakes[0].tiers[0].parts[2]"},
		{`"coat": "4 mm"`, `"coat": "4 g"`, "cakes[0].tiers[0].parts[2].coat"},
		{`"coat": "4 mm"`, `"coat": "4 mm", "on": "edge"`, "cakes[0].tiers[0].parts[2].on"},
		{`"coat": "4 mm"`, `"coat": "4 mm", "per": "tier"`, "cakes[0].tiers[0].parts[2].per"},
		{`"coat": "4 mm"`, `"coat": "4 mm", "thick": "4 mm"`, "cakes[0].tiers[0].parts[2].thick"},
		{`"layers": 3, "thick": "28 mm"`, `"layers": 3`, "cakes[0].tiers[0].parts[0].thick"},
		{`"layers": 3, "thick": "28 mm"`, `"layers": 0, "thick": "28 mm"`, "cakes[0].tiers[0].parts[0].layers"},
		{`"layers": 3, "thick": "28 mm"`, `"layers": 3, "thick": "28 ml"`, "cakes[0].tiers[0].parts[0].thick"},
		{`"layers": 3, "thick": "28 mm"`, `"layers": 3, "thick": "28 mm", "on": "top"`, "cakes[0].tiers[0].parts[0].on"},
		{`"overhang": "25 mm", `, ``, "cakes[0].tiers[0].parts[3].overhang"},
		{`"overhang": "25 mm"`, `"overhang": "25 g"`, "cakes[0].tiers[0].parts[3].overhang"},
		{`{"use": "ribbon", "qty": "11 mm"`, `{"use": "ribbon", "reuse": "5 %", "qty": "11 mm"`, "cakes[0].tiers[0].parts[4].reuse"},
		{`{"use": "board-300", "qty": "1 each"}`, `{"use": "sugarpaste", "coat": "4 mm"}`, "cakes[0].parts[0]"},
		{`{"use": "board-300", "qty": "1 each"}`, `{"use": "vanilla-sponge", "layers": 1, "thick": "4 mm"}`, "cakes[0].parts[0]"},
		{`{"use": "ribbon", "qty": "11 mm", "per": "edge"}`, `{"use": "ribbon", "coat": "1 mm"}`, "cakes[0].tiers[0].parts[4].use"},
		{`{"use": "ribbon", "qty": "11 mm", "per": "edge"}`, `{"use": "egg-white", "coat": "1 mm"}`, "cakes[0].tiers[0].parts[4].use"},
		// Cycles.
		{`{"use": "lemon", "qty": "160 ml"}`, `{"use": "lemon-curd", "qty": "160 g"}`, "components[0].lines"},
		{`{"use": "lemon", "qty": "160 ml"}`, `{"use": "vanilla-sponge", "qty": "1 g"}, {"use": "lemon-curd", "qty": "160 g"}`, "components[0].lines"},
	})
}

// Divisions by what a bad book states as 0, each where something is divided by
// it while the book is checked.
func TestZeroDivisorsAreFaults(t *testing.T) {
	checkBad(t, []badBook{
		{`"trim_yield": "43 %"`, `"trim_yield": "0 %"`, "ingredients[4].trim_yield"},
		{`"mass": "17 g"}, {"id": "egg-white", "name": "Egg white", "mass": "33 g"`, `"mass": "0 g"}, {"id": "egg-white", "name": "Egg white", "mass": "0 g"`, "ingredients[3].parts[0].mass ingredients[3].parts[1].mass"},
		{`"diameter": "20 cm", "height": "50 mm"`, `"diameter": "20 g", "height": "50 mm"`, "components[1].mould.diameter"},
		{`"diameter": "20 cm", "height": "50 mm"`, `"diameter": "20 cm"`, "components[1].mould.height"},
		{`"shape": "round", "diameter": "20 cm", "height": "50 mm"`, ``, "components[1].mould"},
		{`"shape": "round", "diameter": "20 cm", "height": "50 mm"`, `"holds": "0 ml"`, "components[1].mould.holds"},
		{`"shape": "round", "diameter": "20 cm", "height": "50 mm"`, `"holds": "1850 g"`, "components[1].mould.holds"},
		{`"shape": "round", "diameter": "20 cm", "height": "50 mm"`, `"holds": "99999 l"`, "components[1].mould.holds"},
		{`"shape": "round", "diameter": "20 cm", "height": "50 mm"`, `"holds": "1 l", "diameter": "20 cm", "height": "50 mm"`, "components[1].mould.diameter components[1].mould.height"},
		{`"cakes": [`, `"tins": [{"id": "a", "holds": "1 l"}], "cakes": [`, "tins[0].shape"},
		{`"cakes": [`, `"tins": [{"id": "a", "shape": "round"}], "cakes": [`, "tins[0].diameter"},
		{`"cakes": [`, `"tins": [{"id": "a", "shape": "round", "diameter": "20 cm", "height": "0 cm", "name": " "}], "cakes": [`, "tins[0].height tins[0].name"},
		{`"cakes": [`, `"tins": [{"id": "a", "shape": "square", "side": "20 cm"}, {"id": "a", "shape": "square", "side": "25 cm"}], "cakes": [`, "tins[1].id"},
		{`"diameter": "20 cm", "height": "50 mm"`, `"height": "50 mm"`, "components[1].mould.diameter"},
		{`"diameter": "20 cm", "height": "50 mm"`, `"diameter": "0 cm", "height": "50 mm"`, "components[1].mould.diameter"},
		{`"diameter": "20 cm", "height": "50 mm"`, `"diameter": "20 cm", "height": "0 mm"`, "components[1].mould.height"},
	})
	text := strings.Replace(change(t, `"each": "4 g"`, `"each": "0 g"`), `{"use": "vanilla-pod", "qty": "1 each"}`, `{"use": "vanilla-pod", "qty": "2 g"}`, 1)
	if _, err := parse(text); faultPaths(err) != "ingredients[5].each" {
		t.Errorf("2 g of pods of 0 g each: %v, want a fault at ingredients[5].each", err)
	}
}

// A fault in a line of a component stands in the report once, not again at
// every part of a cake that uses it.
func TestFaultsAreReportedOnce(t *testing.T) {
	checkBad(t, []badBook{
		{`"each": "4 g", `, ``, "components[1].lines[4].qty"},
		{`{"use": "vanilla-pod", "qty": "1 each"}`, `{"use": "vanilla-pod", "qty": "1 ml"}`, "components[1].lines[4].qty"},
		{`{"use": "vanilla-pod", "qty": "1 each"}`, `{"use": "vanilla-pod", "qty": "1 cm"}`, "components[1].lines[4].qty"},
		{`{"use": "vanilla-pod", "qty": "1 each"}`, `{"use": "vanilla-pod", "qty": "4 cm2"}`, "components[1].lines[4].qty"},
	})
}

// A cycle is printed, once, from where it starts.
func TestCyclesArePrinted(t *testing.T) {
	text := strings.Replace(change(t, `{"use": "lemon", "qty": "160 ml"}`, `{"use": "vanilla-sponge", "qty": "1 g"}`),
		`{"use": "plain-flour", "qty": "225 g"}`, `{"use": "meringue-buttercream", "qty": "1 g"}`, 1)
	text = strings.Replace(text, `{"use": "egg-white", "qty": "180 g"}`, `{"use": "lemon-curd", "qty": "1 g"}`, 1)
	_, err := parse(text)
	if err == nil || strings.Count(err.Error(), "→") != 3 || !strings.Contains(err.Error(), "lemon-curd → vanilla-sponge → meringue-buttercream → lemon-curd") {
		t.Errorf("a cycle of three: %v, want it printed once", err)
	}
}

// TestAllFaultsAtOnce reads a file with many faults of facts, and one with many
// faults of form.
func TestAllFaultsAtOnce(t *testing.T) {
	replace := func(pairs ...string) string {
		text := example(t)
		for i := 0; i < len(pairs); i += 2 {
			if !strings.Contains(text, pairs[i]) {
				t.Fatalf("the example book has no %s", pairs[i])
			}
			text = strings.Replace(text, pairs[i], pairs[i+1], 1)
		}
		return text
	}
	for _, c := range []struct{ text, paths string }{
		{replace(`"floor_margin": "50 %"`, `"floor_margin": "100 %"`, `"productive": "80 %"`, `"productive": "0 %"`, `"power": "6 kW"`, `"power": "6 h"`, `"hours": "140 h"`, `"hours": "0 h"`,
			`"pack": "10 kg"`, `"pack": "10 l"`, `"qty": "120 g"`, `"qty": "120 cm"`, `"thick": "28 mm"`, `"thick": "28 g"`, `"per": "km"`, `"per": "kg"`, `"use": "dowel"`, `"use": "dowels"`),
			"cakes[0].parts[2].use cakes[0].tiers[0].parts[0].thick components[0].lines[3].qty equipment[0].power extras[0].tasks[0].per ingredients[1].prices[0].pack overhead.hours roles[0].productive studio.floor_margin"},
		{replace(`"floor_margin": "50 %"`, `"floor_margin": 50`, `"productive": "80 %"`, `"productive": "x"`, `"power": "6 kW"`, `"powr": "6 kW"`, `"hours": "140 h"`, `"hours": ""`,
			`"pack": "10 kg"`, `"pack": "0 kg"`, `"qty": "120 g"`, `"qty": "1e9 g"`, `"thick": "28 mm"`, `"thick": "28mm"`, `"per": "km"`, `"per": "mile"`, `"use": "dowel"`, `"use": "Dowel"`),
			"cakes[0].parts[2].use cakes[0].tiers[0].parts[0].thick components[0].lines[3].qty equipment[0].powr extras[0].tasks[0].per ingredients[1].prices[0].pack overhead.hours roles[0].productive studio.floor_margin"},
	} {
		if _, err := parse(c.text); faultPaths(err) != c.paths {
			t.Errorf("faults at %s\nwant %s\n%v", faultPaths(err), c.paths, err)
		}
	}
}

// Faults of form do not hide faults of fact: book.md wants all in one report.
func TestFormAndFactsAtOnce(t *testing.T) {
	text := strings.Replace(change(t, `"floor_margin": "50 %"`, `"floor_margin": "100 %"`), `"2026-01-10"`, `"10.1.2026"`, 1)
	text = strings.Replace(text, `{"use": "dowel"`, `{"use": "dowels"`, 1)
	if _, err := parse(text); faultPaths(err) != "cakes[0].parts[2].use ingredients[0].prices[0].from studio.floor_margin" {
		t.Errorf("faults at %s, want cakes[0].parts[2].use ingredients[0].prices[0].from studio.floor_margin", faultPaths(err))
	}
}
