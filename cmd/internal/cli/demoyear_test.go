package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/store"
)

// inDemo runs a command as a user would and returns what it prints.
func inDemo(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	env := System()
	env.Out, env.Err, env.Colour, env.Asks = &out, &errs, false, false
	env.Now = func() time.Time { return seed.Today.Time().Add(12 * time.Hour) }
	if code := Main(args, env); code != 0 {
		t.Fatalf("marchpane %s = %d: %s", strings.Join(args, " "), code, errs.String())
	}
	return out.String()
}

// TestDemoYear lives the demo year once and looks at it from all sides.
func TestDemoYear(t *testing.T) {
	if testing.Short() {
		t.Skip("lives a year; the script of it runs all the same")
	}
	folder := t.TempDir()
	start := time.Now()
	inDemo(t, "demo", folder, "--year")
	t.Logf("the year took %s", time.Since(start).Round(time.Millisecond))
	path := filepath.Join(folder, "studio.db")
	s, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	orders, err := s.AllOrders(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	quotes, err := s.Quotes(t.Context(), seed.Today)
	if err != nil {
		t.Fatal(err)
	}
	t.Run("figures", func(t *testing.T) {
		for _, o := range orders {
			checkFigures(t, o)
		}
	})
	t.Run("months", func(t *testing.T) { checkMonths(t, orders, quotes) })
	t.Run("trails", func(t *testing.T) {
		for _, q := range quotes {
			checkTrail(t, s, q.Ref())
		}
	})
	t.Run("numbers", func(t *testing.T) { checkNumbers(t, quotes) })
	t.Run("reports", func(t *testing.T) {
		for _, month := range []string{"2025-12", "2026-04", "2026-08", "2026-11"} {
			checkReport(t, path, month)
		}
	})
}

// checkFigures adds an order up afresh.
func checkFigures(t *testing.T, o quote.Order) {
	t.Helper()
	offer := o.Quote.Offer
	var lines, taxed, due, paid []money.Amount
	var net exact.Number
	for _, l := range offer.Lines {
		lines = append(lines, l.Amount)
	}
	for _, x := range offer.Tax {
		taxed = append(taxed, x.Net, x.Tax)
		net = net.Add(x.Net.Number())
	}
	for _, i := range offer.Instalments {
		due = append(due, i.Amount)
	}
	for _, p := range o.Payments {
		paid = append(paid, p.Amount)
	}
	for what, sum := range map[string]money.Amount{"lines": money.Sum(lines...), "net and tax": money.Sum(taxed...), "instalments": money.Sum(due...)} {
		if sum.Cmp(offer.Total) != 0 {
			t.Errorf("%s: the %s add up to %s, the total is %s", o.Quote.Number, what, sum, offer.Total)
		}
	}
	account := o.Account(seed.Today)
	if sum := money.Sum(paid...); account.Received.Cmp(sum) != 0 || account.Balance.Cmp(account.Owed.Sub(sum)) != 0 {
		t.Errorf("%s: payments of %s; the account has %s received and %s of %s left", o.Quote.Number, sum, account.Received, account.Balance, account.Owed)
	}
	if !o.CancelledOn.IsZero() {
		return
	}
	if account.Balance.Sign() < 0 {
		t.Errorf("%s: %s more was paid than is owed", o.Quote.Number, account.Balance.Neg())
	}
	if net.Cmp(o.Quote.Basis.Net) != 0 {
		t.Errorf("%s: net %s by tax, %s in the basis", o.Quote.Number, net.Text(), o.Quote.Basis.Net.Text())
	}
	margin, ok := o.Margin()
	if low, high := exact.Frac(1, 10), exact.Frac(7, 10); !ok || margin.Cmp(low) < 0 || margin.Cmp(high) > 0 {
		t.Errorf("%s: sold at a margin of %s", o.Quote.Number, percent(margin))
	}
}

// checkMonths holds the studio's months against what is believable.
func checkMonths(t *testing.T, orders []quote.Order, quotes []store.QuoteEntry) {
	delivered, revenue, ahead := map[string]int{}, map[string]exact.Number{}, 0
	for _, o := range orders {
		if !o.CancelledOn.IsZero() {
			continue
		}
		event := o.Quote.Offer.EventDate
		month := event.String()[:7]
		delivered[month]++
		revenue[month] = revenue[month].Add(o.Net())
		if event.After(seed.Today) {
			ahead++
		}
	}
	if overdue := len(quote.DueList(orders, seed.Today, false)); overdue < 3 || overdue > 20 {
		t.Errorf("%d instalments are overdue on %s, want a few", overdue, seed.Today)
	}
	if ahead < 15 {
		t.Errorf("%d orders lie ahead, want 15 at least", ahead)
	}
	won, decided, states := map[string]int{}, map[string]int{}, map[quote.State]int{}
	for _, q := range quotes {
		states[q.State]++
		month := q.IssuedOn[:7]
		switch q.State {
		case quote.Accepted, quote.Cancelled:
			won[month]++
			decided[month]++
		case quote.Declined, quote.Lapsed:
			decided[month]++
		}
	}
	for on := day.Must("2025-12-15"); on.Before(seed.Today); on = on.AddDays(30) {
		month := on.String()[:7]
		if n := delivered[month]; n < 8 || n > 18 {
			t.Errorf("%s: %d orders, want 8 to 18", month, n)
		}
		if r := revenue[month]; r.Cmp(exact.Int(4000)) < 0 || r.Cmp(exact.Int(30000)) > 0 {
			t.Errorf("%s: revenue of %s, want 4000 to 30000", month, r.Round(2))
		}
		if share := 100 * won[month] / max(1, decided[month]); share < 35 || share > 65 {
			t.Errorf("%s: %d of %d decided quotes were won, %d %%", month, won[month], decided[month], share)
		}
	}
	if revenue["2026-07"].Cmp(revenue["2026-01"].Mul(exact.Frac(3, 2))) < 0 {
		t.Errorf("revenue of %s in July and %s in January; weddings are in summer", revenue["2026-07"].Round(2), revenue["2026-01"].Round(2))
	}
	for state, span := range map[quote.State][2]int{
		quote.Accepted: {130, 260}, quote.Declined: {60, 150}, quote.Lapsed: {30, 120}, quote.Cancelled: {5, 25}, quote.Issued: {5, 40}, quote.DraftState: {1, 6},
	} {
		if n := states[state]; n < span[0] || n > span[1] {
			t.Errorf("%d quotes are %s, want %d to %d", n, state, span[0], span[1])
		}
	}
}

// checkTrail sees that moves were recorded on the day on which they happened.
func checkTrail(t *testing.T, s *store.Store, ref string) {
	t.Helper()
	trail, err := s.Trail(t.Context(), ref)
	if err != nil {
		t.Fatal(err)
	}
	for i, step := range trail {
		if step.At[:len("2026-11-25")] != step.On.String() || step.Reason == "" || i > 0 && step.At < trail[i-1].At {
			t.Errorf("%s: %s of %s recorded at %s, %q", ref, step.Move, step.On, step.At, step.Reason)
		}
	}
}

// checkNumbers sees that the numbers of each year run from 1 without a gap, and
// that the last is the wedding's.
func checkNumbers(t *testing.T, quotes []store.QuoteEntry) {
	client := map[string]string{}
	years := map[string]int{}
	for _, q := range quotes {
		if q.Number != nil {
			client[*q.Number] = q.Client
			years[(*q.Number)[:4]]++
		}
	}
	for year, n := range years {
		for i := 1; i <= n; i++ {
			if number := fmt.Sprintf("%s-%04d", year, i); client[number] == "" {
				t.Errorf("%s is missing of the %d quotes of that year", number, n)
			}
		}
	}
	if last := fmt.Sprintf("2026-%04d", years["2026"]); client[last] != "Zoë Šimková and Cormac Devane" {
		t.Errorf("%s, the last, is for %s", last, client[last])
	}
}

// checkReport sees that every part of a month's report has something in it.
func checkReport(t *testing.T, path, month string) {
	t.Helper()
	var r map[string]json.RawMessage
	if err := json.Unmarshal([]byte(inDemo(t, "report", month, "--json", "--store", path)), &r); err != nil {
		t.Fatal(err)
	}
	var orders struct {
		Rows []any
	}
	var goods struct{ Rows []any }
	var bridge struct {
		Actual string
		Steps  []any
	}
	for key, into := range map[string]any{"orders": &orders, "ingredients": &goods, "bridge": &bridge} {
		if err := json.Unmarshal(r[key], into); err != nil {
			t.Fatalf("report %s: %s: %v", month, key, err)
		}
	}
	if len(orders.Rows) < 8 || len(goods.Rows) < 20 || len(bridge.Steps) < 5 || bridge.Actual == "" {
		t.Errorf("report %s: %d orders, %d ingredients, %d steps to %q", month, len(orders.Rows), len(goods.Rows), len(bridge.Steps), bridge.Actual)
	}
}
