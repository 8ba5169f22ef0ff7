package month_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// A kitchen whose figures are easy to work out by hand: butter is 8.00 a kg
// until September and 9.00 from October, a box 2.00, a minute 0.40, an hour of
// overhead 12.50, tax 20 % within the prices shown.
const kitchen = `{"format": "marchpane-book/1",
 "studio": {"name": "Test kitchen", "currency": "EUR", "prices_shown": "gross", "tax": {"label": "VAT", "rate": "20 %"}, "target": {"fixed": "1"}},
 "roles": [{"id": "decorator", "name": "Decorator", "wage": [{"from": "2026-01-01", "per_hour": "24.00"}]}],
 "overhead": {"method": "labour hour", "hours": "160 h", "dated": [{"from": "2026-01-01", "amount": "2000.00"}]},
 "ingredients": [
  {"id": "butter", "name": "Butter", "measure": "mass", "prices": [{"from": "2026-01-01", "pack": "10 kg", "price": "80.00"}, {"from": "2026-10-01", "pack": "10 kg", "price": "90.00"}]},
  {"id": "box", "name": "Box", "kind": "packaging", "measure": "count", "prices": [{"from": "2026-01-01", "pack": "10 each", "price": "20.00"}]}],
 "cakes": [{"id": "plain", "name": "Plain cake", "portions": 20, "price": "360.00",
  "parts": [{"use": "butter", "qty": "2 kg"}, {"use": "box", "qty": "1 each"}],
  "tasks": [{"task": "bake", "role": "decorator", "setup": "60 min"}, {"task": "decorate", "role": "decorator", "setup": "180 min"}]}],
 "extras": [{"id": "delivery", "name": "Delivery", "price": "24.00", "tasks": [{"task": "drive", "role": "decorator", "setup": "30 min"}]}]}`

func index(t testing.TB, text string) *book.Index {
	t.Helper()
	b, err := book.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return book.NewIndex(b)
}

// order prices an order on 1 October 2026 that was accepted the day after.
func order(t testing.TB, x *book.Index, number, event, wanted string) quote.Order {
	t.Helper()
	r, err := quote.ReadRequest(fmt.Appendf(nil, `{"client": {"name": "Client of %s"}, "event": {"date": %q}, "on": "2026-10-01", %s}`, number, event, wanted))
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.Price(x, r)
	if err != nil {
		t.Fatal(err)
	}
	q.Number, q.Revision = number, "A"
	return quote.Order{Quote: q, Accepted: day.Must("2026-10-02")}
}

func euros(t testing.TB, s string) money.Amount {
	t.Helper()
	var a money.Amount
	if err := a.UnmarshalText([]byte(s)); err != nil {
		t.Fatal(err)
	}
	return a
}

func on(d string) actual.Head { return actual.Head{On: day.Must(d)} }

// october is the month that the tests below work out.
func october(t testing.TB) (*book.Index, []quote.Order, actual.Records) {
	x := index(t, kitchen)
	called := order(t, x, "2026-0003", "2026-12-12", `"lines": [{"cake": "plain", "quantity": 1}]`)
	called.CancelledOn, called.Fee = day.Must("2026-10-20"), euros(t, "90.00")
	orders := []quote.Order{
		order(t, x, "2026-0001", "2026-10-03", `"lines": [{"cake": "plain", "quantity": 1}], "extras": [{"extra": "delivery", "quantity": 1}], "discount": "5 %"`),
		order(t, x, "2026-0002", "2026-10-31", `"lines": [{"cake": "plain", "quantity": 2}]`),
		called,
	}
	var hours measure.Figure
	if err := hours.UnmarshalText([]byte("16")); err != nil {
		t.Fatal(err)
	}
	m := actual.MonthOf(day.Must("2026-10-01"))
	work := func(order string, way actual.Way, task string, minutes int64) actual.Work {
		return actual.Work{Head: on("2026-10-03"), Order: order, Way: way, Role: "decorator", Task: task, Minutes: exact.Int(minutes), PerMinute: exact.Must("0.40")}
	}
	goods := func(way actual.Way, grams int64) actual.Goods {
		return actual.Goods{Head: on("2026-10-03"), Order: "2026-0001", Way: way, Use: "butter", Goods: []actual.Good{{Resource: "butter", Quantity: exact.Int(grams), Unit: "g", PerUnit: exact.Must("0.009")}}}
	}
	return x, orders, actual.Records{
		Work: []actual.Work{
			work("2026-0001", actual.Worked, "decorate", 200), work("2026-0001", actual.Worked, "bake", 55), work("2026-0001", actual.Idle, "", 10),
			work("2026-0003", actual.Worked, "bake", 30),
		},
		Goods:     []actual.Goods{goods(actual.Used, 2200), goods(actual.Wasted, 100)},
		Purchases: []actual.Purchase{{Head: on("2026-10-02"), Order: "2026-0001", Ingredient: "butter", Quantity: exact.Int(5000), Unit: "g", PerUnit: exact.Must("0.0096")}},
		Bills:     []actual.Bill{{Head: on("2026-10-31"), Month: m, Of: actual.OverheadCost, Amount: record.Some(euros(t, "210.00"))}},
		Plans:     []actual.Plan{{Head: on("2026-10-01"), Month: m, Overhead: record.Some(euros(t, "200.00")), Hours: record.Some(hours)}},
	}
}

func tally(t testing.TB, x *book.Index, span string, r actual.Records, orders ...quote.Order) *month.Tally {
	t.Helper()
	s, err := month.ParseSpan(span)
	if err != nil {
		t.Fatal(err)
	}
	sum, err := month.New(s, month.Sources{Book: x, Ledger: actual.NewLedger(r), Today: day.Must("2026-11-25")})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range orders {
		if s.Holds(month.CountsOn(o)) {
			if err := sum.Order(o); err != nil {
				t.Fatal(err)
			}
		}
	}
	return sum
}

func report(t testing.TB, sum, before, yearBefore *month.Tally) month.Report {
	t.Helper()
	r, err := sum.Report(before, yearBefore)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The month of October, worked out with pencil and paper.
//
//	              2026-0001             2026-0002     2026-0003, called off
//	cakes         360.00 ÷ 1.2 = 300.00   600.00
//	extras         24.00 ÷ 1.2 =  20.00
//	discount      −18.00 ÷ 1.2 = −15.00
//	fee                                               90.00
//	net                          305.00   600.00      90.00     995.00
//
//	butter        2 kg × 9.00 =   18.00    36.00
//	  really      2.2 kg × 9.60 = 21.12
//	box                            2.00     4.00
//	labour        270 × 0.40 =   108.00   192.00
//	  really      265 × 0.40 =   106.00               30 × 0.40 = 12.00
//	overhead      4.5 × 12.50 =   56.25   100.00
//	standard                     184.25   332.00                516.25
//	cost                         185.37   332.00      12.00     529.37
//	margin                       119.63   268.00      78.00     465.63
//
// Overhead absorbed is 156.25, its budget 200.00, paid 210.00.
func TestOctober(t *testing.T) {
	x, orders, records := october(t)
	r := report(t, tally(t, x, "2026-10", records, orders...), nil, nil)
	check(t, r, map[string]string{
		"title": "2026-10", "orders.delivered": "2", "orders.cancelled": "1", "orders.cakes": "3", "orders.portions": "60", "orders.recorded": "2",
		"orders.total.revenue.cakes": "900.00", "orders.total.revenue.extras": "20.00", "orders.total.revenue.discount": "-15.00",
		"orders.total.revenue.minimum_order": "0.00", "orders.total.revenue.changes": "0.00", "orders.total.revenue.cancellation_fee": "90.00",
		"orders.total.revenue.net":         "995.00",
		"orders.total.standard_cost.total": "516.25", "orders.total.standard_cost.ingredients": "54.00", "orders.total.standard_cost.labour": "300.00",
		"orders.total.cost.ingredients": "57.12", "orders.total.cost.packaging": "6.00", "orders.total.cost.labour": "310.00",
		"orders.total.cost.equipment": "0.00", "orders.total.cost.overhead": "156.25", "orders.total.cost.total": "529.37",
		"orders.total.planned_margin": "388.75", "orders.total.margin": "465.63",
		"orders.total.margin_share": "0.467970", // 465.63 ÷ 995
		"orders.rows.0.number":      "2026-0001", "orders.rows.0.margin": "119.63", "orders.rows.0.invoiced": "366.00", "orders.rows.0.tax": "61.00",
		"orders.rows.1.number": "2026-0003", "orders.rows.1.margin": "78.00", "orders.rows.1.cancelled": "2026-10-20", "orders.rows.1.cakes": "0",
		"orders.rows.2.number": "2026-0002", "orders.rows.2.margin": "268.00", "orders.rows.2.recorded": "",

		"bridge.planned": "388.75", "bridge.actual": "411.88", "bridge.against_a_plan": "false",

		"ingredients.rows.0.name": "Butter", "ingredients.rows.0.unit": "kg", "ingredients.rows.0.standard_quantity": "6.000000",
		"ingredients.rows.0.quantity": "6.200000", "ingredients.rows.0.value": "57.12", "ingredients.rows.0.share": "1.000000",
		"ingredients.rows.0.price":        "9.212903", // 57.12 ÷ 6.2
		"ingredients.rows.0.price_before": "8.000000", "ingredients.rows.0.price_change": "0.151613", "ingredients.rows.0.before_from_book": "true",
		"movers.by_price.0.resource": "butter", "movers.by_price.0.cost": "7.52", // 57.12 − 6.2 × 8
		"movers.by_usage.0.resource": "decorator", "movers.by_usage.0.cost": "10.00", // 12.00 − 6.00 saved + 4.00 idle
		"movers.by_usage.1.resource": "butter", "movers.by_usage.1.cost": "1.80",

		"labour.total.standard_hours": "12.50", "labour.total.hours": "12.92", "labour.total.idle_hours": "0.17",
		"labour.total.standard_cost": "300.00", "labour.total.cost": "310.00", "labour.total.efficiency_variance": "-6.00", "labour.total.idle_variance": "-4.00",
		"labour.tasks.0.task": "bake", "labour.tasks.0.standard_hours": "3.00", "labour.tasks.0.hours": "3.42", "labour.tasks.0.recorded_hours": "1.42", // 205 and 85 min
		"labour.tasks.1.task": "decorate", "labour.tasks.1.standard_hours": "9.00", "labour.tasks.1.hours": "9.33",
		"labour.tasks.2.task": "drive", "labour.tasks.2.standard_hours": "0.50", "labour.tasks.2.hours": "0.00",
		"labour.tasks.3.task": "", "labour.tasks.3.hours": "0.17",

		"overhead.absorbed": "156.25", "overhead.budget": "200.00", "overhead.paid": "210.00", "overhead.paid_recorded": "true",
		"overhead.spending_variance": "-10.00", "overhead.volume_variance": "-43.75", "overhead.absorption": "-53.75",
		"overhead.capacity_variance": "-38.54", "overhead.efficiency_variance": "-5.21", "overhead.rate_variance": "0.00", // (12.92 − 16) × 12.50, (12.50 − 12.92) × 12.50

		"waste.total": "0.90", "waste.rows.0.quantity": "0.100000", "waste.rows.0.of_used": "0.016129", // 0.1 ÷ 6.2
		"tax.net": "905.00", "tax.tax": "181.00", "tax.gross": "1086.00", "tax.rows.0.rate": "0.200000", "tax.cancellation_fees": "90.00",
	})
	want := map[variance.Key]string{
		variance.SalesPrice: "90.00", variance.MaterialPrice: "-1.32", variance.MaterialUsage: "-0.90", variance.MaterialWaste: "-0.90",
		variance.LabourEfficiency: "-6.00", variance.LabourIdle: "-4.00", variance.OverheadSpending: "-10.00", variance.OverheadVolume: "-43.75",
	}
	for _, s := range r.Bridge.Steps {
		amount := want[s.Key]
		if amount == "" {
			amount = "0.00"
		}
		if s.Amount.String() != amount {
			t.Errorf("step %s = %s, want %s", s.Key, s.Amount, amount)
		}
	}
	addsUp(t, r)
}

// A year shows the same October beside eleven empty months; a plan of October
// alone counts in October's row, and the year has none.
func TestYearOfOneMonth(t *testing.T) {
	x, orders, records := october(t)
	year := report(t, tally(t, x, "2026", records, orders...), nil, nil)
	check(t, year, map[string]string{
		"title": "2026", "months.9.month": "2026-10", "months.9.net": "995.00", "months.9.cost.total": "529.37", "months.9.margin": "465.63",
		"months.9.margin_after_overhead_paid": "411.88", "months.9.overhead_absorption": "-53.75", "months.9.labour_hours": "12.92", "months.9.orders": "2",
		"months.8.net": "0.00", "months.8.margin_share": "", "bridge.actual": "411.88",
		"overhead.budget": "", "overhead.paid": "210.00", "overhead.absorption": "-53.75", "overhead.paid_recorded": "false",
	})
	addsUp(t, year)
}

// What October is beside September, in which one more plain cake was made.
func TestAgainstTheMonthBefore(t *testing.T) {
	x, orders, records := october(t)
	r, err := quote.ReadRequest([]byte(`{"client": {"name": "S"}, "event": {"date": "2026-09-20"}, "on": "2026-09-01", "lines": [{"cake": "plain", "quantity": 1}]}`))
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.Price(x, r)
	if err != nil {
		t.Fatal(err)
	}
	q.Number = "2026-0000"
	before := tally(t, x, "2026-09", actual.Records{}, quote.Order{Quote: q, Accepted: day.Must("2026-09-02")})
	got := report(t, tally(t, x, "2026-10", records, orders...), before, tally(t, x, "2025-10", actual.Records{}))
	check(t, got, map[string]string{
		"before": "2026-09", "year_before": "",
		"ingredients.rows.0.price_before": "8.000000", "ingredients.rows.0.before_from_book": "", "ingredients.rows.0.quantity_before": "2.000000",
	})
	for _, k := range got.Key {
		text := fmt.Sprint(k.Now.Value, " ", k.Before.Value, " ", k.Change.Value)
		want := map[string]string{
			month.KeyOrders:      "2 1 1.000000",
			month.KeyNet:         "995.00 300.00 2.316667", // 695 ÷ 300
			month.KeyMarginShare: "0.467970 0.453333 0.014637",
			month.KeyPerOrder:    "452.50 300.00 0.508333",
			month.KeyHours:       "12.92 4.00 2.230000",
		}[k.Name]
		if want != "" && text != want {
			t.Errorf("%s = %s, want %s", k.Name, text, want)
		}
	}
}

// A cake whose recipe takes other minutes today tells no tasks: its hours stand
// without one, and add up all the same.
func TestChangedCakeTellsNoTasks(t *testing.T) {
	_, orders, _ := october(t)
	changed := index(t, strings.Replace(kitchen, `"setup": "180 min"`, `"setup": "175 min"`, 1))
	got := report(t, tally(t, changed, "2026-10", actual.Records{}, orders[:2]...), nil, nil)
	check(t, got, map[string]string{
		"labour.tasks.0.task": "drive", "labour.tasks.0.standard_hours": "0.50",
		"labour.tasks.1.task": "", "labour.tasks.1.standard_hours": "12.00", "labour.tasks.1.hours": "12.00", "labour.tasks.1.recorded_hours": "0.00",
		"ingredients.rows.0.price": "9.000000", "ingredients.rows.0.price_before": "", // a planned price compares with no book
	})
	addsUp(t, got)
}

// A year has the budget of its months, 12 × 200.00, where each has one.
func TestBudgetOfAYear(t *testing.T) {
	x, orders, records := october(t)
	var all, but actual.Records
	for m := actual.MonthOf(day.Must("2026-01-01")); m.First().Year() == 2026; m = m.Next() {
		plan := actual.Plan{Month: m, Overhead: records.Plans[0].Overhead, Hours: records.Plans[0].Hours}
		all.Plans = append(all.Plans, plan)
		if m.First() != day.Must("2026-01-01") {
			but.Plans = append(but.Plans, plan)
		}
	}
	check(t, report(t, tally(t, x, "2026", all, orders[:2]...), nil, nil), map[string]string{
		"overhead.budget": "2400.00", "overhead.paid": "2400.00", "overhead.paid_recorded": "false", "overhead.absorbed": "156.25",
		"overhead.spending_variance": "0.00", "overhead.volume_variance": "-2243.75", "overhead.budget_hours": "192.00",
	})
	check(t, report(t, tally(t, x, "2026", but, orders[:2]...), nil, nil), map[string]string{"overhead.budget": "", "overhead.budget_hours": "", "overhead.volume_variance": ""})
}

// An order let off 20.00 of 366.00 brings 305 ÷ 366 of it less; its tax stays
// as quoted.
func TestLetOff(t *testing.T) {
	x, orders, _ := october(t)
	off := actual.Records{Charges: []actual.Charge{{Head: on("2026-10-04"), Order: "2026-0001", Amount: euros(t, "-20.00")}}}
	got := report(t, tally(t, x, "2026-10", off, orders[0]), nil, nil)
	check(t, got, map[string]string{
		"orders.total.revenue.net": "288.33", "orders.total.revenue.changes": "-16.67", // 20 ÷ 1.2
		"tax.net": "305.00", "tax.changes": "-20.00",
	})
	addsUp(t, got)
}

func TestRefused(t *testing.T) {
	x, orders, _ := october(t)
	sum := tally(t, x, "2026-09", actual.Records{})
	if err := sum.Order(orders[0]); err == nil || !strings.Contains(err.Error(), "2026-0001 counts on 2026-10-03, which is not within 2026-09") {
		t.Errorf("Order of another month = %v, want a refusal", err)
	}
	foreign := orders[0]
	if err := foreign.Quote.Offer.Studio.Currency.UnmarshalText([]byte("JPY")); err != nil {
		t.Fatal(err)
	}
	if err := tally(t, x, "2026-10", actual.Records{}).Order(foreign); err == nil || !strings.Contains(err.Error(), "is in JPY and the book in EUR") {
		t.Errorf("Order in another currency = %v, want a refusal", err)
	}
	if _, err := month.New(month.Span{From: day.Must("2026-10-02"), To: day.Must("2026-10-01")}, month.Sources{Book: x}); err == nil {
		t.Error("New of a span that ends before it begins succeeds, want a refusal")
	}
}

// check compares figures of a report's document by their paths.
func check(t *testing.T, r month.Report, want map[string]string) {
	t.Helper()
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var doc any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	for path, w := range want {
		at := doc
		for step := range strings.SplitSeq(path, ".") {
			switch v := at.(type) {
			case map[string]any:
				at = v[step]
			case []any:
				var i int
				if _, err := fmt.Sscan(step, &i); err != nil || i >= len(v) {
					t.Fatalf("%s: no entry %s of %d", path, step, len(v))
				}
				at = v[i]
			default:
				t.Fatalf("%s: nothing at %s", path, step)
			}
		}
		got := ""
		if at != nil {
			got = fmt.Sprint(at)
		}
		if got != w {
			t.Errorf("%s = %s, want %s", path, got, w)
		}
	}
	var back month.Report
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatalf("the document does not read back: %v", err)
	}
	again, err := json.Marshal(back)
	if err != nil {
		t.Fatal(err)
	}
	if string(again) != string(text) {
		t.Errorf("the document does not read back as it was written")
	}
	if strings.Contains(string(text), "null") {
		t.Errorf("the document has a null:\n%s", text)
	}
}
