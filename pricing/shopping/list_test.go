package shopping

import (
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/seed"
)

var today = day.Must("2026-11-25")

// kitchen is a book of eggs and what is made of them. The masses are those of a
// large egg: 50 g without its shell, white 33 g, yolk 17 g (USDA National
// Nutrient Database for Standard Reference, Release 28, NDB 01123, 01124 and
// 01125).
const kitchen = `{"format": "marchpane-book/1", "studio": {"name": "Test kitchen", "currency": "EUR", "recovers_tax": true, "target": {"markup": "0 %"}},
"ingredients": [
 {"id": "egg", "name": "Egg", "category": "eggs", "measure": "count",
  "parts": [{"id": "yolk", "name": "Egg yolk", "mass": "17 g"}, {"id": "white", "name": "Egg white", "mass": "33 g"}],
  "prices": [{"from": "2026-01-01", "supplier": "Farm", "pack": "6 each", "price": "2.10"}, {"from": "2026-01-01", "supplier": "Farm", "pack": "30 each", "price": "8.40"}]},
 {"id": "sugar", "name": "Sugar", "category": "sugar", "measure": "mass",
  "prices": [{"from": "2026-01-01", "supplier": "Mill", "pack": "10 kg", "price": "11.00"},
             {"from": "2026-02-01", "supplier": "Mill", "pack": "10 kg", "price": "12.00"},
             {"from": "2026-01-01", "supplier": "Mill", "pack": "1 kg", "price": "1.50"},
             {"from": "2026-03-01", "supplier": "Corner shop", "pack": "1 kg", "price": "1.40"},
             {"from": "2027-01-01", "supplier": "Corner shop", "pack": "1 kg", "price": "0.10"}]},
 {"id": "butter", "name": "Butter", "category": "dairy", "measure": "mass", "supplier": "Farm",
  "prices": [{"from": "2026-01-01", "supplier": "Farm", "pack": "250 g", "price": "3.00"}, {"from": "2026-01-01", "supplier": "Corner shop", "pack": "250 g", "price": "1.00"}]},
 {"id": "box", "name": "Cake box", "kind": "packaging", "measure": "count",
  "prices": [{"from": "2026-01-01", "pack": "10 each", "price": "24.60", "tax_in": "23 %"}]},
 {"id": "saffron", "name": "Saffron", "measure": "mass", "prices": [{"from": "2027-01-01", "pack": "1 g", "price": "9.00"}]}
],
"components": [
 {"id": "sponge", "name": "Sponge", "lines": [{"use": "egg", "qty": "5 each"}, {"use": "sugar", "qty": "250 g"}]},
 {"id": "curd", "name": "Curd", "keeps": "10 day", "lines": [{"use": "yolk", "qty": "6 each"}, {"use": "sugar", "qty": "200 g"}]},
 {"id": "meringue", "name": "Meringue", "keeps": "14 day", "lines": [{"use": "white", "qty": "100 g"}, {"use": "sugar", "qty": "200 g"}]},
 {"id": "glaze", "name": "Glaze", "lines": [{"use": "white", "qty": "66 g"}, {"use": "sugar", "qty": "34 g"}]}
],
"cakes": [
 {"id": "cake", "name": "Cake", "portions": 10, "parts": [{"use": "sponge", "qty": "500 g"}, {"use": "curd", "qty": "302 g"}, {"use": "glaze", "qty": "100 g"}, {"use": "box", "qty": "1 each"}]},
 {"id": "custard", "name": "Custard", "portions": 1, "parts": [{"use": "yolk", "qty": "20 g"}]},
 {"id": "omelette", "name": "Omelette", "portions": 1, "parts": [{"use": "egg", "qty": "225 g"}, {"use": "yolk", "qty": "1 each"}]},
 {"id": "buttered", "name": "Buttered", "portions": 1, "parts": [{"use": "butter", "qty": "300 g"}, {"use": "box", "qty": "0.3 each"}]},
 {"id": "sweet", "name": "Sweet", "portions": 1, "parts": [{"use": "sugar", "qty": "7.4 kg"}]},
 {"id": "golden", "name": "Golden", "portions": 1, "parts": [{"use": "saffron", "qty": "1 g"}]}
]}`

func indexOf(t testing.TB, text string) *book.Index {
	t.Helper()
	b, err := book.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return book.NewIndex(b)
}

func take(t testing.TB, x *book.Index, cake book.ID) pricing.Takeoff {
	t.Helper()
	takeoff, err := pricing.TakeCake(x, cake)
	if err != nil {
		t.Fatal(err)
	}
	return takeoff
}

// orderOf is an order of one of each cake.
func orderOf(t testing.TB, x *book.Index, ref string, cakes ...book.ID) Order {
	t.Helper()
	o := Order{Ref: ref}
	for _, c := range cakes {
		o.Wanted = append(o.Wanted, Wanted{Takeoff: take(t, x, c), Quantity: 1})
	}
	return o
}

func listOf(t testing.TB, x *book.Index, r Request) List {
	t.Helper()
	r.On = today
	l, err := ListOf(x, r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func lineOf(t testing.TB, l List, id book.ID) Line {
	t.Helper()
	for _, line := range l.Lines {
		if line.ID == id {
			return line
		}
	}
	t.Fatalf("the list has no %s", id)
	return Line{}
}

// inWords says what a line holds, for comparison.
func inWords(l Line) string {
	s := fmt.Sprintf("used %s, needed %s, to buy %s", l.Used.Text(), l.Needed.Text(), l.ToBuy.Text())
	for _, p := range l.Picks {
		s += fmt.Sprintf(", %s × %s of %s", p.Packs.Text(), p.Price.Pack, p.Supplier())
	}
	s += ", left " + l.Left.Text()
	if l.Split != nil {
		for _, p := range l.Split.Parts {
			s += fmt.Sprintf(", %s %s g left", p.ID, p.Left.Text())
		}
	}
	return s
}

// TestEggs counts eggs by hand: common practice, no source. Masses as at
// kitchen.
func TestEggs(t *testing.T) {
	x := indexOf(t, kitchen)
	for _, c := range []struct {
		name   string
		orders []Order
		onHand map[book.ID]measure.Quantity
		want   string
	}{
		// 5 whole; 6 yolks = 102 g; 66 g of white are 2. 5 + max(6, 2) = 11: a
		// pack of 6 twice at 4.20 is cheaper than one of 30 at 8.40.
		{"whole, yolks and whites", []Order{orderOf(t, x, "A", "cake")}, nil,
			"used 11, needed 11, to buy 11, 2 × 6 each of Farm, left 1, yolk 0 g left, white 132 g left"},
		// 20 g of yolk are 1.18 eggs, two times 2.35: 3 eggs and not 2 + 2.
		{"rounded up once", []Order{orderOf(t, x, "A", "custard"), orderOf(t, x, "B", "custard")}, nil,
			"used 40/17, needed 3, to buy 3, 1 × 6 each of Farm, left 3, yolk 11 g left, white 99 g left"},
		// 225 g are 4.5 eggs and one yolk takes another: 5.5, so 6. The 1.5 not
		// used whole give 25.5 g of yolk, 17 of them used, and 49.5 g of white.
		{"whole by mass", []Order{orderOf(t, x, "A", "omelette")}, nil,
			"used 11/2, needed 6, to buy 6, 1 × 6 each of Farm, left 0, yolk 17/2 g left, white 99/2 g left"},
		// Yolks of order A and whites of order B come from the same eggs.
		{"parts of two orders", []Order{orderOf(t, x, "A", "custard"), {Ref: "B", Wanted: []Wanted{{Takeoff: take(t, x, "cake"), Quantity: 2}}}}, nil,
			// whole 10; yolk 204 + 20 = 224 g are 13.18; white 132 g are 4
			"used 394/17, needed 24, to buy 24, 4 × 6 each of Farm, left 0, yolk 14 g left, white 330 g left"},
		// 51 g of yolk on hand are 3: 3 more to take apart, 99 g of white, 66 used.
		{"yolks on hand", []Order{orderOf(t, x, "A", "cake")}, map[book.ID]measure.Quantity{"yolk": measure.Must("3 each"), "egg": measure.Must("1 dozen")},
			"used 8, needed 8, to buy 0, left 4, yolk 0 g left, white 33 g left"},
		{"parts on hand do", []Order{orderOf(t, x, "A", "custard")}, map[book.ID]measure.Quantity{"yolk": measure.Must("30 g")},
			"used 0, needed 0, to buy 0, left 0, yolk 10 g left, white 0 g left"},
	} {
		l := listOf(t, x, Request{Orders: c.orders, OnHand: c.onHand})
		if got := inWords(lineOf(t, l, "egg")); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

// TestOutlets: what could use the whites that are left.
func TestOutlets(t *testing.T) {
	x := indexOf(t, kitchen)
	l := listOf(t, x, Request{Orders: []Order{orderOf(t, x, "A", "cake")}})
	white := lineOf(t, l, "egg").Split.Parts[1]
	var got []string
	for _, o := range white.UsedIn {
		got = append(got, strings.TrimSpace(fmt.Sprintf("%s %s g %s", o.Name, o.Grams.Text(), o.Keeps)))
	}
	if want := "Meringue 100 g 14 day, Glaze 66 g"; strings.Join(got, ", ") != want {
		t.Errorf("whites could go into %s, want %s", strings.Join(got, ", "), want)
	}
	if yolk := lineOf(t, l, "egg").Split.Parts[0]; len(yolk.UsedIn) != 0 {
		t.Errorf("no yolk is left, and it could go into %v", yolk.UsedIn)
	}
}

// TestSuppliers chooses among offers by hand.
func TestSuppliers(t *testing.T) {
	x := indexOf(t, kitchen)
	for _, c := range []struct {
		name string
		cake book.ID
		id   book.ID
		r    Request
		want string
	}{
		// 7.4 kg: 8 of the corner shop are 11.20, one of 10 kg is 12.00, as the
		// price of January is superseded and that of 2027 not yet in force.
		{"newest in force", "sweet", "sugar", Request{}, "used 7400, needed 7400, to buy 7400, 8 × 1 kg of Corner shop, left 600"},
		{"on hand", "sweet", "sugar", Request{OnHand: map[book.ID]measure.Quantity{"sugar": measure.Must("5.4 kg")}},
			"used 7400, needed 7400, to buy 2000, 2 × 1 kg of Corner shop, left 0"},
		// The corner shop asks a third of it, but the book buys butter of the farm.
		{"preferred", "buttered", "butter", Request{}, "used 300, needed 300, to buy 300, 2 × 250 g of Farm, left 200"},
		{"a part of a piece", "buttered", "box", Request{}, "used 3/10, needed 1, to buy 1, 1 × 10 each of , left 9"},
	} {
		c.r.Orders = []Order{orderOf(t, x, "A", c.cake)}
		if got := inWords(lineOf(t, listOf(t, x, c.r), c.id)); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
	// 18 kg: 10 kg of the mill and 8 × 1 kg of the corner shop are 23.20; the
	// mill alone, 10 + 8 × 1.50 or 2 × 10 kg, 24.00; the corner shop 25.20.
	var wanted []Wanted
	wanted = append(wanted, Wanted{Takeoff: take(t, x, "sweet"), Quantity: 2})
	r := Request{Orders: []Order{{"A", wanted}}, OnHand: map[book.ID]measure.Quantity{}}
	r.Orders[0].Wanted[0].Quantity = 3 // 22.2 kg, of which 4.2 are there
	r.OnHand["sugar"] = measure.Must("4200 g")
	both := inWords(lineOf(t, listOf(t, x, r), "sugar"))
	if want := "used 22200, needed 22200, to buy 18000, 8 × 1 kg of Corner shop, 1 × 10 kg of Mill, left 0"; both != want {
		t.Errorf("of both:\n got %s\nwant %s", both, want)
	}
	r.OneSupplier = true
	one := inWords(lineOf(t, listOf(t, x, r), "sugar"))
	if want := "used 22200, needed 22200, to buy 18000, 8 × 1 kg of Mill, 1 × 10 kg of Mill, left 0"; one != want {
		t.Errorf("of one:\n got %s\nwant %s", one, want)
	}
}

// TestSums checks money and order by hand.
func TestSums(t *testing.T) {
	x := indexOf(t, kitchen)
	l := listOf(t, x, Request{Orders: []Order{orderOf(t, x, "A", "cake", "buttered")}, Skip: []book.ID{"sugar"}})
	var got []string
	for _, g := range l.Groups {
		got = append(got, fmt.Sprintf("[%s %s %s]", g.Supplier, g.Sum.PaidShown, g.Sum.CostShown))
		for _, b := range g.Buys {
			got = append(got, fmt.Sprintf("%s %s %s", b.Line.ID, b.Pick.Sum.PaidShown, b.Pick.Sum.CostShown))
		}
	}
	// A box of 1.3 is 2 of a pack of 10 at 24.60 with 23 % of tax in it, 20.00 without.
	want := "[Farm 10.20 10.20] butter 6.00 6.00 egg 4.20 4.20 [ 24.60 20.00] box 24.60 20.00"
	if strings.Join(got, " ") != want {
		t.Errorf("groups:\n got %s\nwant %s", strings.Join(got, " "), want)
	}
	if l.Sum.PaidShown.String() != "34.80" || l.Sum.CostShown.String() != "30.20" || l.Sum.Tax().String() != "4.60" {
		t.Errorf("total %s, cost %s, tax %s, want 34.80, 30.20, 4.60", l.Sum.PaidShown, l.Sum.CostShown, l.Sum.Tax())
	}
	if len(l.Skipped) != 1 || l.Skipped[0].ID != "sugar" || l.Skipped[0].Needed.Text() != "484" {
		t.Errorf("skipped %v, want 484 g of sugar", l.Skipped)
	}
}

// TestFrozen: a bill cannot say how many eggs to take apart, and the line says so.
func TestFrozen(t *testing.T) {
	x := indexOf(t, kitchen)
	l := listOf(t, x, Request{Orders: []Order{{Ref: "A", Wanted: []Wanted{{Frozen: take(t, x, "cake").Bill, Quantity: 1}}}}})
	// 5 + (102 + 66) ÷ 50 are 8.36.
	egg := lineOf(t, l, "egg")
	if got, want := inWords(egg), "used 209/25, needed 9, to buy 9, 2 × 6 each of Farm, left 3"; got != want || !egg.PartsUnknown {
		t.Errorf("of a frozen bill:\n got %s, unknown %t\nwant %s, unknown true", got, egg.PartsUnknown, want)
	}
	if sugar := lineOf(t, l, "sugar"); sugar.PartsUnknown || sugar.Needed.Text() != "484" {
		t.Errorf("sugar of a frozen bill is %s, want 484", inWords(sugar))
	}
}

func TestNothing(t *testing.T) {
	l := listOf(t, indexOf(t, kitchen), Request{})
	if len(l.Lines) != 0 || len(l.Groups) != 0 || l.Sum.PaidShown.String() != "0.00" {
		t.Errorf("the list of no orders is %+v", l)
	}
}

func TestRefused(t *testing.T) {
	x := indexOf(t, kitchen)
	hand := func(id book.ID, q string) Request {
		return Request{Orders: []Order{orderOf(t, x, "A", "cake")}, OnHand: map[book.ID]measure.Quantity{id: measure.Must(q)}}
	}
	twins := indexOf(t, strings.ReplaceAll(strings.ReplaceAll(kitchen, `"Egg white", "mass": "33 g"`, `"Egg yolk", "mass": "17 g"`), `"Egg white"`, `"Egg yolk"`))
	for _, c := range []struct {
		name string
		x    *book.Index
		r    Request
		want []string
	}{
		{"no price", x, Request{Orders: []Order{orderOf(t, x, "A", "golden")}}, []string{"Saffron has no price on 2026-11-25"}},
		{"none wanted", x, Request{Orders: []Order{{"A", []Wanted{{Takeoff: take(t, x, "cake")}}}}}, []string{"order A: 0 of Cake", "1 or more"}},
		{"unknown", x, hand("flour", "1 kg"), []string{`"flour" is no ingredient`}},
		{"made", x, hand("curd", "1 kg"), []string{"Curd is made and not bought"}},
		{"other measure", x, hand("sugar", "1 l"), []string{"1 l of Sugar, which is bought by mass; write it in g"}},
		{"part by volume", x, hand("white", "1 l"), []string{"Egg white", "write it in g or each"}},
		{"left the book", x, Request{Orders: []Order{{"A", []Wanted{{Frozen: pricing.Bill{{Resource: "gone", Unit: "g", Quantity: exact.Int(1)}}, Quantity: 1}}}}},
			[]string{`order A: "gone" is no ingredient of the book`}},
		{"other unit", x, Request{Orders: []Order{{"A", []Wanted{{Frozen: pricing.Bill{{Resource: "sugar", Unit: "ml", Quantity: exact.Int(1)}}, Quantity: 1}}}}},
			[]string{"Sugar was taken in ml and is bought in g now"}},
		{"twin parts", twins, Request{Orders: []Order{orderOf(t, twins, "A", "cake")}}, []string{"Egg has several parts called Egg yolk; give each its own name"}},
	} {
		c.r.On = today
		_, err := ListOf(c.x, c.r)
		for _, want := range c.want {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: ListOf = %v, want %q in it", c.name, err, want)
			}
		}
	}
}

// BenchmarkListOf is the list of a month of 5,000 orders of the demo studio.
func BenchmarkListOf(b *testing.B) {
	x := indexOf(b, string(seed.Studio()))
	r := Request{On: today}
	for i := range 5000 {
		r.Orders = append(r.Orders, orderOf(b, x, fmt.Sprint(i), x.Book.Cakes[i%len(x.Book.Cakes)].ID))
	}
	for b.Loop() {
		if _, err := ListOf(x, r); err != nil {
			b.Fatal(err)
		}
	}
}
