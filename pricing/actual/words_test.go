package actual_test

import (
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

func TestParseMinutes(t *testing.T) {
	for text, want := range map[string]string{
		"95": "95", "95 min": "95", " 95min ": "95", "1:35": "95", "0:05": "5", "12:00": "720", "1 h 35 min": "95", "1h35min": "95", "1 h": "60",
		"1.5 h": "90", "2.5": "2.5", "3 hours 20 minutes": "200", "24 h": "1440",
	} {
		if m, err := actual.ParseMinutes(text); err != nil || !m.Number().Equal(n(want)) {
			t.Errorf("ParseMinutes(%q) = %s, %v, want %s", text, m.Number().Text(), err, want)
		}
	}
	for _, text := range []string{"", "0", "0:00", "-5", "1:5", "1:60", "1:", ":30", "1.5:30", "an hour", "1 min 2 h", "1 h 2 h", "25 h", "1441", "1 d", "1 h 35", "1,5 h", "1 h 2 min 3 s"} {
		if m, err := actual.ParseMinutes(text); err == nil {
			t.Errorf("ParseMinutes(%q) = %s, want a refusal", text, m)
		}
	}
}

// Printed minutes read back as themselves.
func TestMinutesPrint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenths := rapid.Int64Range(1, 14400).Draw(t, "tenths of a minute")
		m := actual.MinutesOf(exact.Frac(tenths, 10))
		back, err := actual.ParseMinutes(m.String())
		if err != nil || !back.Number().Equal(m.Number()) {
			t.Fatalf("%s reads back as %s, %v", m, back, err)
		}
	})
	for minutes, want := range map[string]string{"95": "1 h 35 min", "60": "1 h", "0": "0 min", "-95": "-1 h 35 min", "59.96": "1 h"} {
		if got := actual.InHours(n(minutes)); got != want {
			t.Errorf("InHours(%s) = %q, want %q", minutes, got, want)
		}
	}
}

func TestMeasured(t *testing.T) {
	for seconds, want := range map[int64]string{0: "1", 29: "1", 90: "2", 89: "1", 5700: "95", 5729: "95", 5730: "96"} {
		if got := actual.Measured(seconds); !got.Equal(n(want)) {
			t.Errorf("Measured(%d) = %s, want %s", seconds, got.Text(), want)
		}
	}
	if actual.Forgotten(12*3600) || !actual.Forgotten(12*3600+1) {
		t.Error("a clock is forgotten beyond 12 hours, and not at them")
	}
}

func TestMonths(t *testing.T) {
	for _, bad := range []string{"", "2026", "2026-1", "2026-13", "2026-10-01", "10-2026"} {
		if m, err := actual.ParseMonth(bad); err == nil {
			t.Errorf("ParseMonth(%q) = %s, want a refusal", bad, m)
		}
	}
	feb, err := actual.ParseMonth("2028-02")
	if err != nil || feb.Last() != day.Must("2028-02-29") || feb.Next().String() != "2028-03" || actual.MonthOf(day.Must("2028-02-29")) != feb {
		t.Errorf("February 2028 ends on %s, then comes %s (%v)", feb.Last(), feb.Next(), err)
	}
	if dec := actual.MonthOf(day.Must("2026-12-31")); dec.Next().String() != "2027-01" || !dec.Within(day.Must("2026-12-01"), day.Must("2026-12-31")) || dec.Within(day.Must("2026-12-02"), day.Must("2027-12-31")) {
		t.Error("December 2026 is followed by January, and lies within itself alone")
	}
}

// Bills add up; what a later plan says stands. A span is known where all of its
// months are.
func TestMonthRecords(t *testing.T) {
	eur, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	oct := actual.MonthOf(day.Must("2026-10-01"))
	sum := func(s string) record.Maybe[money.Amount] { return record.Some(eur.Round(n(s))) }
	l := actual.NewLedger(actual.Records{
		Bills: []actual.Bill{{Month: oct, Of: actual.OverheadCost, Amount: sum("4000")}, {Month: oct, Of: actual.OverheadCost, Amount: sum("180")},
			{Month: oct.Next(), Of: actual.OverheadCost, Amount: sum("4100")}, {Month: oct, Of: actual.OverheadCost, Amount: sum("9"), Head: actual.Head{Undone: &actual.Undone{}}}},
		Plans: []actual.Plan{{Month: oct, Cakes: record.Some(14), Margin: sum("5200")}, {Month: oct, Overhead: sum("4200")}, {Month: oct, Cakes: record.Some(15), Margin: sum("5500")}},
	})
	m := l.Month(oct)
	if !m.Overhead.Value.Equal(n("4180")) || m.Plan.Value.Cakes != 15 || !m.Budget.Value.Equal(n("4200")) || m.Hours.Given {
		t.Errorf("October: overhead %s, %d cakes, budget %s, want 4180, 15 and 4200", m.Overhead.Value.Text(), m.Plan.Value.Cakes, m.Budget.Value.Text())
	}
	both := l.Span(day.Must("2026-10-01"), day.Must("2026-11-30"))
	if !both.Overhead.Value.Equal(n("8280")) || both.Plan.Given || both.Budget.Given {
		t.Errorf("October and November: overhead %s, plan %v, want 8280 and none", both.Overhead.Value.Text(), both.Plan.Given)
	}
	if l.Span(day.Must("2026-10-02"), day.Must("2026-10-31")).Overhead.Given {
		t.Error("part of a month has no overhead of its own")
	}
	if list := l.Months(); len(list) != 2 || list[0] != oct {
		t.Errorf("Months = %v, want October and November", list)
	}
}
