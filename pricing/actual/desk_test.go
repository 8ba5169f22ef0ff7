package actual_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

func desk(t testing.TB) actual.Desk {
	t.Helper()
	data, err := os.ReadFile("../testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	return actual.NewDesk(book.NewIndex(b), day.Must("2026-11-28"))
}

// Quantities in base units as purchased. Worked by hand from the figures of the
// example book: butter 0.911 g/ml; an egg of 17 g yolk and 33 g white; a vanilla
// pod of 4 g, whatever its seeds weigh; lemons by mass, weighed before juicing.
func TestGoodsAsPurchased(t *testing.T) {
	for _, c := range []struct{ use, qty, want, unit string }{
		{"butter", "1.2 kg", "1200", "g"},
		{"Unsalted BUTTER", "100 ml", "91.1", "g"},
		{"lemon", "500 g", "500", "g"},
		{"egg-white", "99 g", "1.98", "each"},
		{"egg", "2 each", "2", "each"},
		{"vanilla-pod", "2 g", "0.5", "each"},
		{"ribbon", "1.5 m", "1500", "mm"},
	} {
		e, err := desk(t).Goods(actual.Used, actual.GoodsTaken{Use: book.ID(c.use), Qty: measure.Must(c.qty)}, order())
		if err != nil || len(e.Goods) != 1 {
			t.Errorf("Goods(%s of %s) = %v, %v", c.qty, c.use, e.Goods, err)
			continue
		}
		if g := e.Goods[0]; !g.Quantity.Equal(n(c.want)) || g.Unit != c.unit || e.On != day.Must("2026-11-28") {
			t.Errorf("Goods(%s of %s) = %s %s on %s, want %s %s today", c.qty, c.use, g.Quantity.Text(), g.Unit, e.On, c.want, c.unit)
		}
	}
}

// 400 g of lemon curd, and 100 g, which is less than the least batch. By hand,
// from the recipe: 160 ml lemon juice at 1.03 g/ml (164.8 g), 200 g sugar, 6 yolks
// of 17 g (102 g), 120 g butter; less 6 % that is 551.592 g. The lemons bought for
// 160 ml at a yield of 43 % weigh 160 × 1.03 ÷ 0.43 g; a yolk takes 17 ÷ 50 of an egg.
func TestComponentsAreExploded(t *testing.T) {
	for _, grams := range []string{"400", "100"} {
		e, err := desk(t).Goods(actual.Wasted, actual.GoodsTaken{Use: "lemon-curd", Qty: measure.Must(grams + " g")}, order())
		if err != nil {
			t.Fatal(err)
		}
		factor := n(grams).Quo(n("551.592"))
		want := map[book.ID]exact.Number{
			"butter": n("120").Mul(factor), "caster-sugar": n("200").Mul(factor),
			"lemon": n("164.8").Quo(n("0.43")).Mul(factor), "egg": n("2.04").Mul(factor),
		}
		for _, g := range e.Goods {
			if !g.Quantity.Equal(want[g.Resource]) {
				t.Errorf("%s g of curd hold %s of %s, want %s", grams, g.Quantity.Fixed(6), g.Resource, want[g.Resource].Fixed(6))
			}
		}
		if len(e.Goods) != len(want) || e.Use != "lemon-curd" || e.Written.String() != grams+" g" {
			t.Errorf("%s g of curd are %d ingredients of %s, want %d", grams, len(e.Goods), e.Use, len(want))
		}
	}
}

// Every refusal names its place in the sheet, and what to do.
func TestSheetRefused(t *testing.T) {
	text := `{"order": "2026-0001",
		"work": [{"role": "baker", "time": "95"}, {"role": "decorator", "time": "95", "as": "slept"}, {"role": "decorator", "time": "95", "on": "2026-11-29"}],
		"used": [{"use": "meringue-buttercream", "qty": "1 kg"}, {"use": "tall-box", "qty": "20 g"}, {"use": "buter", "qty": "20 g"}, {"use": "butter", "qty": "2000 kg"}],
		"more": [{"use": "butter", "qty": "0 g"}, {"use": "lemon-curd", "qty": "2 each"}],
		"bought": [{"use": "egg-white", "packs": "1", "pack": "1 kg", "price": "5"}, {"use": "butter", "packs": "0", "pack": "1 kg", "price": "5"},
			{"use": "butter", "packs": "1", "pack": "1 l", "price": "5"}, {"use": "lemon-curd", "packs": "1", "pack": "1 kg", "price": "5"}]}`
	sheet, err := actual.DecodeSheet([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	_, err = desk(t).Read(sheet, order())
	var faults record.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("Read = %v, want faults", err)
	}
	want := []string{
		`work[0].role: "baker" is no role of the book; use pastry, decorator`,
		`work[1].as: "slept" is unknown; use worked, longer or idle`,
		`work[2].on: 2026-11-29 is still to come`,
		`used[0].use: Meringue buttercream is made here`,
		`used[1].qty: 20 g of Tall tier box has no mass of one piece; add each`,
		`used[2].use: "buter" is no ingredient, packaging or component of the book`,
		`used[3].qty: 2000000 g is more than any order takes`,
		`more[0].qty: 0 g says nothing`,
		`more[1].qty: Lemon curd is made by mass; write a mass`,
		`bought[0].use: Egg white is bought as Egg, medium; name "egg"`,
		`bought[1].packs: 0 packs say nothing`,
		`bought[2].pack: "1 l" is a volume, but Unsalted butter is bought by mass`,
		`bought[3].use: Lemon curd is made, not bought`,
	}
	if len(faults) != len(want) {
		t.Errorf("%d faults, want %d:\n%s", len(faults), len(want), faults)
	}
	for i := range min(len(want), len(faults)) {
		if !strings.HasPrefix(faults[i].String(), want[i]) {
			t.Errorf("fault %d = %s\nwant %s…", i+1, faults[i], want[i])
		}
	}
	for text, want := range map[string]string{
		`{"order": "2026-0001"}`:                                             "nothing is recorded here",
		`{"order": "2026-0001", "work": [{"role": "decorator"}]}`:            "work[0].time: ",
		`{"order": "2026-0001", "used": [{"use": "butter", "qty": "lots"}]}`: "used[0].qty: ",
		`{"order": "2026-0001", "usd": []}`:                                  "usd: ",
	} {
		sheet, err := actual.DecodeSheet([]byte(text))
		if err == nil {
			_, err = desk(t).Read(sheet, order())
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s = %v, want %q", text, err, want)
		}
	}
}

// What has left the book is known from the order's frozen bill.
func TestFrozenBill(t *testing.T) {
	o := order()
	o.Quote.Basis.Rates = []quote.Rate{{ID: "gold-leaf", Kind: "packaging", PerUnit: n("1.52"), Unit: "each"}, {ID: "sculptor", Kind: "role", PerUnit: n("0.9"), Unit: "min"}}
	e, err := desk(t).Goods(actual.Used, actual.GoodsTaken{Use: "gold-leaf", Qty: measure.Must("1 dozen")}, o)
	if err != nil || len(e.Goods) != 1 || !e.Goods[0].Packaging || !e.Goods[0].Quantity.Equal(exact.Int(12)) || !e.Goods[0].PerUnit.Equal(n("1.52")) {
		t.Errorf("Goods(gold-leaf) = %+v, %v, want 12 at 1.52", e.Goods, err)
	}
	if _, err := desk(t).Goods(actual.Used, actual.GoodsTaken{Use: "gold-leaf", Qty: measure.Must("1 g")}, o); err == nil || !strings.Contains(err.Error(), "has left the book") {
		t.Errorf("Goods(1 g of gold-leaf) = %v, want a refusal", err)
	}
	w, err := desk(t).Work(actual.WorkDone{Role: "sculptor", Time: actual.MinutesOf(n("30"))}, o)
	if err != nil || !w.PerMinute.Equal(n("0.9")) {
		t.Errorf("Work(sculptor) = %s, %v, want 0.9 a minute", w.PerMinute.Text(), err)
	}
}

// A purchase takes supplier and tax from the price in force where it names
// none. By hand: the studio recovers tax, so 27.06 ÷ 1.23 ÷ 5000 g; 2 packs are
// 10 kg. A wage of 24.00 with 11.05 % on-cost at 75 % productive is
// 24 × 1.1105 ÷ 0.75 ÷ 60 a minute.
func TestPurchaseAndWage(t *testing.T) {
	line := actual.GoodsBought{Use: "sugarpaste"}
	for into, text := range map[interface{ UnmarshalText([]byte) error }]string{&line.Packs: "2", &line.Pack: "5 kg", &line.Price: "27.06"} {
		if err := into.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	p, err := desk(t).Purchase(line, "")
	if err != nil || !p.Quantity.Equal(n("10000")) || !p.PerUnit.Equal(n("0.0044")) || p.Supplier != "Dry store" || p.TaxIn.Value.String() != "23 %" {
		t.Errorf("Purchase = %s at %s from %s with %s, %v", p.Quantity.Text(), p.PerUnit.Text(), p.Supplier, p.TaxIn.Value, err)
	}
	price := line.Price
	if err := price.UnmarshalText([]byte("24.00")); err != nil {
		t.Fatal(err)
	}
	w, err := desk(t).Wage("decorator", price, day.Must("2026-12-01"), day.Date{}, "")
	if err != nil || !w.PerMinute.Equal(n("24").Mul(n("1.1105")).Quo(n("0.75")).Quo(n("60"))) {
		t.Errorf("Wage = %s a minute, %v", w.PerMinute.Text(), err)
	}
	if _, err := desk(t).Wage("decorator", price, day.Must("2026-12-01"), day.Must("2026-11-30"), ""); err == nil {
		t.Error("a wage that ends before it begins = nil, want a refusal")
	}
}

// Tasks are spelt as the book spells them.
func TestTaskSpelling(t *testing.T) {
	for said, want := range map[string]string{" Fill  and COAT": "fill and coat", "sugar flowers": "sugar flowers", "": ""} {
		w, err := desk(t).Work(actual.WorkDone{Role: "decorator", Time: actual.MinutesOf(n("5")), Task: said}, order())
		if err != nil || w.Task != want {
			t.Errorf("Work(task %q) = %q, %v, want %q", said, w.Task, err, want)
		}
	}
}
