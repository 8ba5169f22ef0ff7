package actual_test

import (
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/internal/randombook"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

func n(text string) exact.Number { return exact.Must(text) }

func on(text string) actual.Head { return actual.Head{On: day.Must(text)} }

// order is an accepted order that needs no book: accepted on 1 October 2026
// for an event on the 24th.
func order() quote.Order {
	o := quote.Order{Quote: quote.Quote{Number: "2026-0001"}, Accepted: day.Must("2026-10-01")}
	o.Quote.Offer.EventDate = day.Must("2026-10-24")
	return o
}

func goods(way actual.Way, quantity string) actual.Goods {
	return actual.Goods{Head: on("2026-10-20"), Order: "2026-0001", Way: way, Use: "butter", Goods: []actual.Good{{Resource: "butter", Quantity: n(quantity), Unit: "kg", PerUnit: n("9")}}}
}

func bought(day, quantity, perUnit, order string) actual.Purchase {
	return actual.Purchase{Head: on(day), Order: order, Ingredient: "butter", Quantity: n(quantity), Unit: "kg", PerUnit: n(perUnit)}
}

func work(way actual.Way, day, minutes string) actual.Work {
	return actual.Work{Head: on(day), Order: "2026-0001", Way: way, Role: "decorator", Minutes: n(minutes), PerMinute: n("0.40")}
}

func wage(from, until, perMinute string) actual.Wage {
	w := actual.Wage{Head: on(from), Role: "decorator", PerMinute: n(perMinute)}
	if until != "" {
		w.Until = day.Must(until)
	}
	return w
}

// Each table row is one line of butter, planned at 2 kg for 9.00, or of a
// decorator, planned at 240 minutes for 0.40. Worked by hand from the formulas
// of the package comment.
func TestApplyByHand(t *testing.T) {
	may := func(text string) record.Maybe[exact.Number] {
		if text == "" {
			return record.Maybe[exact.Number]{}
		}
		return record.Some(n(text))
	}
	undone := goods(actual.Used, "9")
	undone.Undone = &actual.Undone{}
	for name, c := range map[string]struct {
		records               actual.Records
		quantity, price, lost string
		role                  bool
	}{
		"nothing":                        {},
		"a total":                        {records: actual.Records{Goods: []actual.Goods{goods(actual.Used, "2.2")}}, quantity: "2.2"},
		"a total and more":               {records: actual.Records{Goods: []actual.Goods{goods(actual.Used, "2.2"), goods(actual.More, "0.3")}}, quantity: "2.5"},
		"a total with waste in it":       {records: actual.Records{Goods: []actual.Goods{goods(actual.Used, "2.2"), goods(actual.Wasted, "0.1")}}, quantity: "2.2", lost: "0.1"},
		"more":                           {records: actual.Records{Goods: []actual.Goods{goods(actual.More, "0.3"), goods(actual.More, "0.1")}}, quantity: "2.4"},
		"more and waste on top":          {records: actual.Records{Goods: []actual.Goods{goods(actual.More, "0.3"), goods(actual.Wasted, "0.1")}}, quantity: "2.4", lost: "0.1"},
		"waste alone":                    {records: actual.Records{Goods: []actual.Goods{goods(actual.Wasted, "0.1")}}, lost: "0.1"},
		"none used":                      {records: actual.Records{Goods: []actual.Goods{goods(actual.Used, "0")}}, quantity: "0"},
		"taken back":                     {records: actual.Records{Goods: []actual.Goods{undone}}},
		"bought in the span":             {records: actual.Records{Purchases: []actual.Purchase{bought("2026-10-01", "10", "9.60", ""), bought("2026-10-24", "5", "9", "")}}, price: "9.40"}, // (96 + 45) ÷ 15
		"bought outside it":              {records: actual.Records{Purchases: []actual.Purchase{bought("2026-09-30", "10", "9.60", ""), bought("2026-10-25", "5", "9", "")}}},
		"bought for it, whenever":        {records: actual.Records{Purchases: []actual.Purchase{bought("2026-09-01", "1", "12", "2026-0001"), bought("2026-10-10", "5", "9", "")}}, price: "12"},
		"bought for another":             {records: actual.Records{Purchases: []actual.Purchase{bought("2026-10-10", "5", "12", "2026-0002")}}},
		"minutes":                        {role: true, records: actual.Records{Work: []actual.Work{work(actual.Worked, "2026-10-20", "200"), work(actual.Worked, "2026-10-21", "65")}}, quantity: "265"},
		"minutes and idle ones":          {role: true, records: actual.Records{Work: []actual.Work{work(actual.Worked, "2026-10-20", "200"), work(actual.Idle, "2026-10-21", "20")}}, quantity: "220", lost: "20"},
		"longer":                         {role: true, records: actual.Records{Work: []actual.Work{work(actual.Longer, "2026-10-20", "70")}}, quantity: "310"},
		"idle alone":                     {role: true, records: actual.Records{Work: []actual.Work{work(actual.Idle, "2026-10-20", "20")}}, lost: "20"},
		"a wage and no minutes":          {role: true, records: actual.Records{Wages: []actual.Wage{wage("2026-10-01", "", "0.45")}}, price: "0.45"},
		"a wage that ended":              {role: true, records: actual.Records{Wages: []actual.Wage{wage("2026-10-01", "2026-10-23", "0.45")}}},
		"a newer wage":                   {role: true, records: actual.Records{Wages: []actual.Wage{wage("2026-10-20", "", "0.50"), wage("2026-10-01", "", "0.45")}}, price: "0.50"},
		"a raise between two days":       {role: true, records: actual.Records{Work: []actual.Work{work(actual.Worked, "2026-10-19", "100"), work(actual.Worked, "2026-10-20", "300")}, Wages: []actual.Wage{wage("2026-10-20", "", "0.50")}}, quantity: "400", price: "0.475"}, // (100 × 0.40 + 300 × 0.50) ÷ 400
		"longer, before and after raise": {role: true, records: actual.Records{Work: []actual.Work{work(actual.Longer, "2026-10-19", "60")}, Wages: []actual.Wage{wage("2026-10-20", "", "0.50")}}, quantity: "300", price: "0.48"},                                             // (60 × 0.40 + 240 × 0.50) ÷ 300
	} {
		line := variance.Line{Resource: "butter", Kind: pricing.Ingredient, Unit: "kg", StandardQuantity: n("2"), StandardPrice: n("9")}
		if c.role {
			line = variance.Line{Resource: "decorator", Kind: pricing.Role, Unit: "min", StandardQuantity: n("240"), StandardPrice: n("0.40")}
		}
		got := actual.NewLedger(c.records).Apply(variance.Order{ID: "2026-0001", Lines: []variance.Line{line}}, order())
		if len(got.Lines) != 1 {
			t.Errorf("%s: %d lines, want 1", name, len(got.Lines))
			continue
		}
		l := got.Lines[0]
		lost := may(c.lost).Value
		for what, pair := range map[string][2]record.Maybe[exact.Number]{"quantity": {l.ActualQuantity, may(c.quantity)}, "price": {l.ActualPrice, may(c.price)}, "lost": {record.Some(l.Lost), record.Some(lost)}} {
			if pair[0].Given != pair[1].Given || !pair[0].Value.Equal(pair[1].Value) {
				t.Errorf("%s: %s = %s (%v), want %s (%v)", name, what, pair[0].Value.Text(), pair[0].Given, pair[1].Value.Text(), pair[1].Given)
			}
		}
		if _, err := variance.Work(got); err != nil {
			t.Errorf("%s: Work = %v", name, err)
		}
	}
}

// Textbook figures through records: OpenStax, Principles of Accounting Volume 2,
// material variances (VM05 of the reference vectors: 0.5 at 9 against 0.25 at 7)
// and labour variances (VL04: 0.2 at 9.50 against 0.1 at 8). What costs more is
// adverse, below 0.
func TestTextbook(t *testing.T) {
	r := actual.Records{
		Goods:     []actual.Goods{goods(actual.Used, "0.5")},
		Purchases: []actual.Purchase{bought("2026-10-02", "4", "9", "")},
		Work:      []actual.Work{work(actual.Worked, "2026-10-20", "0.2")},
		Wages:     []actual.Wage{wage("2026-10-01", "", "9.5")},
	}
	planned := variance.Order{ID: "2026-0001", Cakes: 1, Sales: variance.Sales{Price: n("100")}, Lines: []variance.Line{
		{Resource: "butter", Kind: pricing.Ingredient, Unit: "kg", StandardQuantity: n("0.25"), StandardPrice: n("7")},
		{Resource: "decorator", Kind: pricing.Role, Unit: "min", StandardQuantity: n("0.1"), StandardPrice: n("8")},
	}}
	got, err := variance.Work(actual.NewLedger(r).Apply(planned, order()))
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[variance.Key]string{variance.MaterialPrice: "1", variance.MaterialUsage: "1.75", variance.LabourRate: "0.3", variance.LabourEfficiency: "0.8"} {
		if amount := got.Bridge.Amount(key).Neg(); !amount.Equal(n(want)) {
			t.Errorf("%s = %s adverse, want %s", key, amount.Fixed(4), want)
		}
	}
	if total := got.Bridge.Variance().Neg(); !total.Equal(n("3.85")) { // 2.75 + 1.10
		t.Errorf("the margin falls by %s, want 3.85", total.Fixed(4))
	}
	if planned.Lines[0].ActualQuantity.Given {
		t.Error("Apply changed the plan that it was given")
	}
}

// What nobody planned costs what was paid for it, or else its price of the day.
func TestUnplanned(t *testing.T) {
	r := actual.Records{
		Goods: []actual.Goods{goods(actual.Used, "0.5"), goods(actual.Wasted, "0.1")},
		Work:  []actual.Work{work(actual.Worked, "2026-10-20", "30"), work(actual.Idle, "2026-10-20", "10")},
	}
	for name, c := range map[string]struct {
		purchases []actual.Purchase
		want      string
	}{
		"at the price of the day": {nil, "20.5"}, // 0.5 × 9 + 40 × 0.40
		"at the price paid":       {[]actual.Purchase{bought("2026-10-20", "1", "12", "")}, "22"},
	} {
		r.Purchases = c.purchases
		got, err := variance.Work(actual.NewLedger(r).Apply(variance.Order{ID: "2026-0001"}, order()))
		if err != nil || len(got.Lines) != 2 {
			t.Errorf("%s: %d lines, %v, want 2", name, len(got.Lines), err)
			continue
		}
		if cost := got.Kinds.Total().Actual(); !cost.Equal(n(c.want)) || !got.Bridge.Variance().Equal(n(c.want).Neg()) {
			t.Errorf("%s: costs %s, want %s", name, cost.Fixed(4), c.want)
		}
		if waste := got.Bridge.Amount(variance.MaterialWaste); waste.Sign() >= 0 {
			t.Errorf("%s: waste %s, want it adverse", name, waste.Fixed(4))
		}
	}
}

// Nothing recorded: every order of random books earns what was planned, and
// nothing is marked as recorded.
func TestNothingRecorded(t *testing.T) {
	ledger := actual.NewLedger(actual.Records{})
	for seed := range uint64(40) {
		for _, o := range randomOrders(t, seed) {
			plan, err := actual.Planned(o)
			if err != nil {
				t.Fatal(err)
			}
			r, err := variance.Work(ledger.Apply(plan, o))
			if err != nil {
				t.Fatal(err)
			}
			if !r.Bridge.Variance().IsZero() || len(actual.Doubts(r)) > 0 {
				t.Errorf("seed %d: margin moves by %s", seed, r.Bridge.Variance().Fixed(6))
			}
			for _, s := range r.Bridge.Steps {
				if s.Recorded || !s.Amount.IsZero() {
					t.Errorf("seed %d: %s is %s, recorded %v", seed, s.Key, s.Amount.Fixed(6), s.Recorded)
				}
			}
		}
	}
}

// The standard, recorded as what was really used, moves no margin either: every
// line of random orders is written down as planned, bought at the price planned.
func TestStandardRecorded(t *testing.T) {
	for seed := range uint64(20) {
		for _, o := range randomOrders(t, seed) {
			plan, err := actual.Planned(o)
			if err != nil {
				t.Fatal(err)
			}
			var r actual.Records
			for _, l := range plan.Lines {
				head := actual.Head{On: o.Quote.Offer.EventDate}
				switch l.Kind {
				case pricing.Ingredient, pricing.Packaging:
					r.Goods = append(r.Goods, actual.Goods{Head: head, Order: o.Quote.Number, Way: actual.Used, Use: l.Resource,
						Goods: []actual.Good{{Resource: l.Resource, Packaging: l.Kind == pricing.Packaging, Quantity: l.StandardQuantity, Unit: l.Unit, PerUnit: l.StandardPrice}}})
					r.Purchases = append(r.Purchases, actual.Purchase{Head: head, Ingredient: l.Resource, Quantity: n("7"), Unit: l.Unit, PerUnit: l.StandardPrice})
				case pricing.Role:
					r.Work = append(r.Work, actual.Work{Head: head, Order: o.Quote.Number, Way: actual.Worked, Role: l.Resource, Minutes: l.StandardQuantity, PerMinute: n("99")})
					r.Wages = append(r.Wages, actual.Wage{Head: head, Role: l.Resource, PerMinute: l.StandardPrice})
				}
			}
			got, err := variance.Work(actual.NewLedger(r).Apply(plan, o))
			if err != nil {
				t.Fatal(err)
			}
			if !got.Bridge.Variance().IsZero() {
				t.Errorf("seed %d: margin moves by %s", seed, got.Bridge.Variance().Fixed(6))
			}
			for _, v := range got.Lines {
				if measured := v.Line.Kind < pricing.Energy; v.Recorded() != measured || !v.Split.Total().IsZero() {
					t.Errorf("seed %d: %s is recorded %v, moved by %s", seed, v.Line.Resource, v.Recorded(), v.Split.Total().Fixed(6))
				}
			}
		}
	}
}

// randomOrders prices random requests of a random book, accepted as they are.
func randomOrders(t *testing.T, seed uint64) (list []quote.Order) {
	t.Helper()
	g := randombook.New(seed)
	data := g.Book()
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range g.Requests(data, 3) {
		req, err := quote.ReadRequest(text)
		if err != nil {
			t.Fatal(err)
		}
		q, err := quote.Price(book.NewIndex(b), req)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, quote.Order{Quote: q.Choose(0), Accepted: q.Offer.IssuedOn})
	}
	return list
}

// A cancelled order plans nothing: it costs what was recorded and brings its
// fee. Worked by hand: 100.00 − 30 × 0.40 − 0.5 × 9.
func TestCancelled(t *testing.T) {
	o := order()
	o.CancelledOn = day.Must("2026-10-22")
	eur, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	o.Fee = eur.Round(n("100"))
	o.Quote.Basis = quote.Basis{
		Net: n("500"), Cost: n("200"), Share: n("0.1"),
		Cakes: []quote.Costed{{Name: "Cake", Quantity: 2, Bill: []quote.Resource{
			{ID: "butter", Kind: "ingredient", Quantity: n("2"), Unit: "kg"}, {ID: "sugar", Kind: "ingredient", Quantity: n("1"), Unit: "kg"},
			{ID: "decorator", Kind: "role", Quantity: n("240"), Unit: "min"}, {ID: "overhead", Kind: "overhead", Quantity: n("4"), Unit: "h"}}}},
		Rates: []quote.Rate{{ID: "butter", PerUnit: n("9")}, {ID: "sugar", PerUnit: n("2")}, {ID: "decorator", PerUnit: n("0.40")}, {ID: "overhead", PerUnit: n("12")}},
	}
	plan, err := actual.Planned(o)
	if err != nil {
		t.Fatal(err)
	}
	r := actual.Records{Work: []actual.Work{work(actual.Worked, "2026-10-20", "30")}, Goods: []actual.Goods{goods(actual.Used, "0.5")}}
	got, err := variance.Work(actual.NewLedger(r).Apply(plan, o))
	if err != nil {
		t.Fatal(err)
	}
	if !got.Bridge.Planned.IsZero() || !got.Bridge.Actual.Equal(n("83.5")) || got.Cakes != 0 {
		t.Errorf("planned margin %s, actual %s, %d cakes, want 0, 83.5 and none", got.Bridge.Planned.Fixed(2), got.Bridge.Actual.Fixed(2), got.Cakes)
	}
}

// 20.00 off a total of 120.00, of which 100.00 are net, is 16.67 net; what was
// charged on top likewise. Worked by hand.
func TestCharges(t *testing.T) {
	o := order()
	eur, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	o.Quote.Offer.Total, o.Quote.Basis.Net = eur.Round(n("120")), n("100")
	r := actual.Records{Charges: []actual.Charge{
		{Head: on("2026-10-24"), Order: "2026-0001", Amount: eur.Round(n("20")).Neg()}, {Head: on("2026-10-24"), Order: "2026-0001", Amount: eur.Round(n("6"))}}}
	s := actual.NewLedger(r).Apply(variance.Order{Sales: variance.Sales{Price: n("110"), Discount: n("10")}}, o).Sales
	if !s.ActualDiscount.Value.Equal(n("80/3")) || !s.ActualPrice.Value.Equal(n("115")) {
		t.Errorf("discount %s, price %s, want 80/3 and 115", s.ActualDiscount.Value.Text(), s.ActualPrice.Value.Text())
	}
}

// A kWh of October's orders costs what October's bill makes it.
func TestEnergy(t *testing.T) {
	eur, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	bill := actual.Bill{Month: actual.MonthOf(day.Must("2026-10-01")), Of: actual.EnergyCost, Amount: record.Some(eur.Round(n("120")))}
	bill.KWh.Given = true
	if err := bill.KWh.Value.UnmarshalText([]byte("400")); err != nil {
		t.Fatal(err)
	}
	plan := variance.Order{Lines: []variance.Line{{Resource: "energy", Kind: pricing.Energy, Unit: "kWh", StandardQuantity: n("3"), StandardPrice: n("0.35")}}}
	for month, want := range map[string]string{"2026-10": "0.30", "2026-11": "0.35"} {
		if bill.Month, err = actual.ParseMonth(month); err != nil {
			t.Fatal(err)
		}
		l := actual.NewLedger(actual.Records{Bills: []actual.Bill{bill}}).Apply(plan, order()).Lines[0]
		if got := l.ActualPrice.Or(l.StandardPrice); !got.Equal(n(want)) {
			t.Errorf("with the bill of %s a kWh costs %s, want %s", month, got.Fixed(4), want)
		}
	}
}
