package actual_test

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// A ledger that entries are added to as they come tells what one tells that has
// them all at once; what it was before it still tells.
func TestLedgerWithLaterEntries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := day.Must("2026-09-01")
		date := func() day.Date { return start.AddDays(rapid.IntRange(0, 60).Draw(t, "day")) }
		some := func(of int64) exact.Number { return exact.Frac(rapid.Int64Range(1, 900).Draw(t, "figure"), of) }
		orders := []string{"2026-0001", "2026-0002", "2026-0003"}
		number := func() string { return rapid.SampledFrom(orders).Draw(t, "order") }
		cur := order().Quote.Offer.Studio.Currency
		draw := func() (r actual.Records) {
			for range rapid.IntRange(0, 6).Draw(t, "entries") {
				h := actual.Head{On: date()}
				if rapid.IntRange(0, 6).Draw(t, "undone") == 0 {
					h.Undone = &actual.Undone{}
				}
				switch rapid.IntRange(0, 6).Draw(t, "kind") {
				case 0:
					r.Work = append(r.Work, actual.Work{Head: h, Order: number(), Way: actual.Longer, Role: "baker", Minutes: some(7), PerMinute: exact.Frac(1, 2)})
				case 1:
					r.Goods = append(r.Goods, actual.Goods{Head: h, Order: number(), Way: actual.More, Use: "butter", Goods: []actual.Good{{Resource: "butter", Quantity: some(9), Unit: "kg", PerUnit: exact.Int(9)}}})
				case 2:
					p := bought("2026-09-01", "1", "1", rapid.SampledFrom(append([]string{""}, orders...)).Draw(t, "bought for"))
					p.Head, p.Quantity, p.PerUnit = h, some(7), some(123)
					r.Purchases = append(r.Purchases, p)
				case 3:
					r.Wages = append(r.Wages, actual.Wage{Head: h, Role: rapid.SampledFrom([]book.ID{"baker", "decorator"}).Draw(t, "role"), PerMinute: some(60)})
				case 4:
					r.Bills = append(r.Bills, actual.Bill{Head: h, Month: actual.MonthOf(h.On), Of: actual.OverheadCost, Amount: record.Some(cur.Round(some(3)))})
				case 5:
					r.Plans = append(r.Plans, actual.Plan{Head: h, Month: actual.MonthOf(h.On), Overhead: record.Some(cur.Round(some(3)))})
				case 6:
					r.Charges = append(r.Charges, actual.Charge{Head: h, Order: number(), Amount: cur.Round(some(11))})
				}
			}
			return r
		}
		plan := variance.Order{Lines: []variance.Line{
			{Resource: "butter", Kind: pricing.Ingredient, Unit: "kg", StandardQuantity: n("2"), StandardPrice: n("9")},
			{Resource: "baker", Kind: pricing.Role, Unit: "min", StandardQuantity: n("60"), StandardPrice: n("1")},
			{Resource: "decorator", Kind: pricing.Role, Unit: "min", StandardQuantity: n("30"), StandardPrice: n("1")},
		}}
		written := func(v any) string {
			text, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			return string(text) + "\n"
		}
		tells := func(l *actual.Ledger) (text string) {
			for i, number := range orders {
				o := order()
				o.Quote.Number, o.Accepted = number, start.AddDays(7*i)
				o.Quote.Offer.EventDate = start.AddDays(20 + 10*i)
				text += written(l.Apply(plan, o)) + written(l.Order(number))
			}
			for _, m := range l.Months() {
				text += m.String() + written(l.Month(m))
			}
			return text
		}
		var all actual.Records
		ledgers := []*actual.Ledger{actual.NewLedger(all)}
		told := []string{tells(ledgers[0])}
		for range rapid.IntRange(1, 5).Draw(t, "times") {
			// Now and then to one of before, as another reader of it would.
			later := draw()
			ledgers[len(ledgers)-1].With(draw())
			all = all.Append(later)
			ledgers = append(ledgers, ledgers[len(ledgers)-1].With(later))
			told = append(told, tells(actual.NewLedger(all)))
		}
		for i, l := range ledgers {
			if got := tells(l); got != told[i] {
				t.Fatalf("after %d times the ledger tells\n%s\nwant\n%s", i, got, told[i])
			}
		}
	})
}
