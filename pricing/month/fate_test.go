package month_test

import (
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
)

// trail reads steps such as "issue 10-01 A, accept 10-05 A".
func trail(text string) (steps []quote.Step) {
	for step := range strings.SplitSeq(text, ", ") {
		words := strings.Fields(step)
		steps = append(steps, quote.Step{Move: quote.Move(words[0]), On: day.Must("2026-" + words[1]), Revision: words[2]})
	}
	return steps
}

// A quote is decided once, by what nothing followed; all on paper.
func TestStory(t *testing.T) {
	for _, c := range []struct{ name, trail, validUntil, today, want string }{
		{"open", "issue 10-01 A", "2026-10-31", "2026-10-31", "open  A"},
		{"lapsed the day after its validity", "issue 10-01 A", "2026-10-31", "2026-11-01", "lapsed 2026-11-01 A"},
		{"won", "issue 10-01 A, accept 10-05 A", "2026-10-31", "2026-12-01", "won 2026-10-05 A"},
		{"declined", "issue 10-01 A, decline 10-05 A", "2026-10-31", "2026-12-01", "declined 2026-10-05 A"},
		{"called off before it was accepted", "issue 10-01 A, cancel 10-05 A", "2026-10-31", "2026-12-01", "withdrawn 2026-10-05 A"},
		{"declined, offered anew and won", "issue 10-01 A, decline 10-05 A, revise 10-20 B, accept 11-03 B", "2026-11-19", "2026-12-01", "won 2026-11-03 B"},
		{"declined, offered anew and open", "issue 10-01 A, decline 10-05 A, revise 10-20 B", "2026-11-19", "2026-11-01", "open  B"},
		{"an order that is changed was won once", "issue 10-01 A, accept 10-05 A, revise 10-20 B, accept 11-03 B", "2026-11-19", "2026-12-01", "won 2026-10-05 A"},
		{"a change that the client declines loses nothing", "issue 10-01 A, accept 10-05 A, revise 10-20 B, decline 11-03 B", "2026-11-19", "2026-12-01", "won 2026-10-05 A"},
		{"an order that is called off was won", "issue 10-01 A, accept 10-05 A, cancel 11-03 A", "2026-10-31", "2026-12-01", "won 2026-10-05 A"},
	} {
		s := month.StoryOf(trail(c.trail), day.Must(c.validUntil), day.Must(c.today))
		if got := fmt.Sprint(s.Fate, " ", s.Decided, " ", s.Revision); got != c.want || s.Issued != day.Must("2026-10-01") {
			t.Errorf("%s: StoryOf(%s) = %s issued %s, want %s", c.name, c.trail, got, s.Issued, c.want)
		}
	}
}

// Five quotes around October: what was decided later was open then.
func TestQuotesOfAMonth(t *testing.T) {
	x := index(t, kitchen)
	offered := func(number, text, validUntil, net string) month.Offered {
		return month.Offered{Number: number, Event: day.Must("2026-12-12"), IssuedNet: exact.Must(net), Net: exact.Must(net), Story: month.StoryOf(trail(text), day.Must(validUntil), day.Must("2026-11-25"))}
	}
	list := []month.Offered{
		offered("1", "issue 09-10 A, accept 10-01 A", "2026-10-10", "100"),  // won in October
		offered("2", "issue 10-02 A, decline 10-31 A", "2026-11-01", "200"), // issued and lost
		offered("3", "issue 10-03 A, accept 11-02 A", "2026-11-02", "400"),  // issued, then open
		offered("4", "issue 09-05 A", "2026-10-05", "800"),                  // lapsed on 6 October
		offered("5", "issue 09-01 A, decline 09-20 A", "2026-10-01", "1600"),
	}
	take := func(span string) month.Report {
		sum := tally(t, x, span, actual.Records{})
		for _, o := range list {
			sum.Quote(o)
		}
		return report(t, sum, nil, nil)
	}
	check(t, take("2026-10"), map[string]string{
		"quotes.issued.count": "2", "quotes.issued.value": "600.00", "quotes.won.count": "1", "quotes.won.value": "100.00",
		"quotes.lost.count": "2", "quotes.lost.value": "1000.00", "quotes.declined.count": "1", "quotes.lapsed.count": "1", "quotes.lapsed.value": "800.00",
		"quotes.open.count": "1", "quotes.open.value": "400.00",
		"quotes.conversion": "0.333333", "quotes.conversion_by_value": "0.090909", // 1 of 3; 100 of 1100
		"quotes.rows.0.number": "4", "quotes.rows.0.decided": "2026-10-06", "quotes.rows.3.fate": "open",
	})
	check(t, take("2026-08"), map[string]string{"quotes.conversion": "", "quotes.open.count": "0", "quotes.issued.count": "0"})
	check(t, take("2026"), map[string]string{
		"quotes.issued.count": "5", "quotes.won.count": "2", "quotes.lost.count": "3", "quotes.conversion": "0.400000",
		"months.8.quotes_issued": "3", "months.8.quotes_lost": "1", "months.9.conversion": "0.333333", "months.10.quotes_won": "1",
	})
}

// Accounts at the end of October, on paper: 1,000.00 each, of which 300.00 is
// due on the day given and 700.00 on 5 December.
func TestReceivables(t *testing.T) {
	x := index(t, kitchen)
	account := func(number, accepted, due string, paid ...string) quote.Order {
		var q quote.Quote
		q.Number = number
		q.Offer.EventDate = day.Must("2026-12-12")
		q.Offer.Total = euros(t, "1000.00")
		q.Offer.Instalments = []quote.Instalment{{Due: day.Must(due), Amount: euros(t, "300.00")}, {Due: day.Must("2026-12-05"), Amount: euros(t, "700.00")}}
		o := quote.Order{Quote: q, Accepted: day.Must(accepted)}
		for i := 0; i < len(paid); i += 2 {
			o.Payments = append(o.Payments, quote.Payment{On: day.Must(paid[i]), Amount: euros(t, paid[i+1])})
		}
		return o
	}
	off := account("7", "2026-08-01", "2026-08-01", "2026-08-01", "300.00")
	off.CancelledOn, off.Fee = day.Must("2026-10-10"), euros(t, "250.00")
	later := account("8", "2026-08-01", "2026-08-01", "2026-08-01", "300.00")
	later.CancelledOn, later.Fee = day.Must("2026-11-01"), euros(t, "250.00")
	unpaid := account("9", "2026-08-01", "2026-08-01")
	unpaid.CancelledOn, unpaid.Fee = day.Must("2026-10-30"), euros(t, "250.00")
	sum := tally(t, x, "2026-10", actual.Records{})
	for _, o := range []quote.Order{
		account("1", "2026-10-20", "2026-10-31"),                         // due on the day itself
		account("2", "2026-10-01", "2026-10-30"),                         // 1 day late
		account("3", "2026-09-01", "2026-10-01"),                         // 30 days late
		account("4", "2026-09-01", "2026-09-30", "2026-10-05", "100.00"), // 31 days late, 200 of it
		account("5", "2026-07-01", "2026-08-02"),                         // 90 days late
		account("6", "2026-07-01", "2026-08-01"),                         // 91 days late
		off, later, unpaid, account("10", "2026-11-01", "2026-11-01"),    // accepted later
		account("11", "2026-08-01", "2026-08-01", "2026-08-01", "1000.00"),                        // settled
		account("12", "2026-08-01", "2026-08-01", "2026-08-01", "300.00", "2026-11-01", "700.00"), // paid later
		account("13", "2026-08-01", "2026-08-01", "2026-08-01", "1000.00", "2026-10-31", "50.00"), // too much
	} {
		sum.Account(o)
	}
	got := report(t, sum, nil, nil)
	check(t, got, map[string]string{
		"receivables.on": "2026-10-31",
		// 1 to 6: 6 × 1000.00; 7: 250.00; 8, 12, 13: 1000.00; 9: 250.00
		"receivables.owed": "9500.00", "receivables.received": "2050.00", // 100 + 300 + 300 + 300 + 1050
		"receivables.not_due": "5900.00", // 300 of 1, and 700 of 1 to 6, 8 and 12
		"receivables.overdue": "1650.00", "receivables.outstanding": "7550.00", "receivables.credit": "100.00",
		"receivables.ages.0.amount": "850.00", // 2, 3 and the fee of 9
		"receivables.ages.1.amount": "200.00", "receivables.ages.2.amount": "300.00", "receivables.ages.3.amount": "300.00",
		"receivables.rows.0.number": "6", "receivables.rows.0.overdue_since": "2026-08-02",
	})
	addsUp(t, got)
}

func TestSpans(t *testing.T) {
	days := func(from, to string) month.Span { return month.Span{From: day.Must(from), To: day.Must(to)} }
	for _, c := range []struct {
		span                     month.Span
		name, before, yearBefore string
		months                   int
	}{
		{spanOf(t, "2026-10"), "2026-10", "2026-09", "2025-10", 1},
		{spanOf(t, "2026-01"), "2026-01", "2025-12", "2025-01", 1},
		{spanOf(t, "2028-02"), "2028-02", "2028-01", "2027-02", 1},
		{spanOf(t, "2025-02"), "2025-02", "2025-01", "2024-02", 1},
		{spanOf(t, "2026"), "2026", "2025", "2025", 12},
		{days("2026-04-01", "2026-06-30"), "2026-04 to 2026-06", "2026-01 to 2026-03", "2025-04 to 2025-06", 3},
		{days("2026-04-01", "2027-03-31"), "2026-04 to 2027-03", "2025-04 to 2026-03", "2025-04 to 2026-03", 12},
		{days("2026-10-05", "2026-10-11"), "2026-10-05 to 2026-10-11", "2026-09-28 to 2026-10-04", "2025-10-05 to 2025-10-11", 0},
		{days("2028-02-29", "2028-02-29"), "2028-02-29 to 2028-02-29", "2028-02-28 to 2028-02-28", "2027-02-28 to 2027-02-28", 0},
	} {
		if got := c.span.String(); got != c.name {
			t.Errorf("%v is called %s, want %s", c.span, got, c.name)
		}
		if got := c.span.Before().String(); got != c.before {
			t.Errorf("%s.Before() = %s, want %s", c.name, got, c.before)
		}
		if got := c.span.YearBefore().String(); got != c.yearBefore {
			t.Errorf("%s.YearBefore() = %s, want %s", c.name, got, c.yearBefore)
		}
		if got := len(c.span.Months()); got != c.months {
			t.Errorf("%s has %d months, want %d", c.name, got, c.months)
		}
	}
	for _, bad := range []string{"", "2026-13", "2026-1", "26", "2026-10-01", "october", "20261", "0000"} {
		if s, err := month.ParseSpan(bad); err == nil {
			t.Errorf("ParseSpan(%q) = %s, want a refusal", bad, s)
		}
	}
}
