package web

import (
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
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
	for _, path := range monthBench {
		get := func() int { return asked(server, "GET", path, "").Code }
		b.Run("warm"+path, func(b *testing.B) { clocked(b, get) })
		b.Run("noted"+path, func(b *testing.B) { clockedAfter(b, noted, get) })
		b.Run("billed"+path, func(b *testing.B) { clockedAfter(b, billed, get) })
	}
}
