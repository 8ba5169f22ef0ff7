package web

import (
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/store"
)

// monthBench are the pages of the month, and what is worked out as they are.
var monthBench = []string{
	"/month/2026-11", "/month/2026-10", "/month/2026", "/kitchen", "/kitchen/cards", "/kitchen?from=2026-11-25&to=2026-12-24", "/shopping", "/shopping?from=2026-11-25&to=2026-12-24",
	"/records/2026-11", "/records/2026-10", "/purchases", "/cakes/wedding-three-tier/outlook", "/",
}

// BenchmarkMonths asks for the pages of the month of a large studio: "warm"
// again and again, "noted" after somebody wrote what does not bear on them, as
// they do all day, and "billed" after a bill of this month.
//
//	go test -run '^$' -bench Months -benchtime 30x ./cmd/internal/web
func BenchmarkMonths(b *testing.B) {
	s, server := largeServer(b)
	var euro money.Amount
	if err := euro.UnmarshalText([]byte("1.00")); err != nil {
		b.Fatal(err)
	}
	noted := noteWriter(b, s)
	billed := func() {
		today := day.Of(testNow)
		bill := actual.Bill{Head: actual.Head{On: today}, Month: actual.MonthOf(today), Of: actual.OverheadCost, Amount: record.Some(euro)}
		if _, err := s.Record(b.Context(), actual.Records{Bills: []actual.Bill{bill}}, testNow); err != nil {
			b.Fatal(err)
		}
	}
	for _, w := range entriesOf(b, s) {
		for _, path := range []string{"/month/2026-11", "/month/2026"} {
			b.Run(w.what+path, func(b *testing.B) {
				clockedAfter(b, w.write, func() int { return asked(server, "GET", path, "").Code })
			})
		}
	}
	for _, path := range monthBench {
		get := func() int { return asked(server, "GET", path, "").Code }
		b.Run("warm"+path, func(b *testing.B) { clocked(b, get) })
		b.Run("noted"+path, func(b *testing.B) { clockedAfter(b, noted, get) })
		b.Run("billed"+path, func(b *testing.B) { clockedAfter(b, billed, get) })
	}
}

// entry is a kind of write that bears on the report of this month.
type entry struct {
	what  string
	write func()
}

// entriesOf are the entries that are made all day for an order of this month, or
// that bear on its prices.
func entriesOf(b *testing.B, s *store.Store) []entry {
	today := day.Of(testNow)
	of := actual.MonthOf(today)
	var order string
	if err := s.EachOrder(b.Context(), of.First(), of.Last(), func(o quote.Order) (func(), error) {
		return func() { order = o.Quote.Number }, nil
	}); err != nil || order == "" {
		b.Fatal("no order of this month", err)
	}
	note := func(r actual.Records) func() {
		return func() {
			if _, err := s.Record(b.Context(), r, testNow); err != nil {
				b.Fatal(err)
			}
		}
	}
	var packs measure.Figure
	var pack measure.Pack
	var paid money.Price
	for _, err := range []error{packs.UnmarshalText([]byte("4")), pack.UnmarshalText([]byte("5 kg")), paid.UnmarshalText([]byte("70.00"))} {
		if err != nil {
			b.Fatal(err)
		}
	}
	head := actual.Head{On: today}
	return []entry{
		{"worked", note(actual.Records{Work: []actual.Work{{Head: head, Order: order, Way: actual.Longer, Role: "decorator", Minutes: exact.Int(5), PerMinute: exact.Frac(1, 2)}}})},
		{"bought", note(actual.Records{Purchases: []actual.Purchase{{Head: head, Ingredient: "butter", Packs: packs, Pack: pack, Price: paid, Quantity: exact.Int(20_000), Unit: "g", PerUnit: exact.Frac(14, 1000)}}})},
	}
}
