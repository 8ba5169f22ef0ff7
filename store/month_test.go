package store_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"math/big"
	"os"
	"os/exec"
	"strings"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/store"
)

// reportOf makes a report from a store.
func reportOf(t testing.TB, s *store.Store, x *book.Index, span month.Span, today day.Date) month.Report {
	t.Helper()
	sum := tallyOf(t, s, x, span, today)
	r, err := sum.Report(tallyOf(t, s, x, span.Before(), today), tallyOf(t, s, x, span.YearBefore(), today))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func tallyOf(t testing.TB, s *store.Store, x *book.Index, span month.Span, today day.Date) *month.Tally {
	t.Helper()
	records, err := s.ActualsCounting(t.Context(), span.From, span.To)
	if err != nil {
		t.Fatal(err)
	}
	sum, err := month.New(span, month.Sources{Book: x, Ledger: actual.NewLedger(records), Today: today})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.EachOrder(t.Context(), span.From, span.To, sum.Take); err != nil {
		t.Fatal(err)
	}
	if err := s.EachOffered(t.Context(), span, today, sum.Quote); err != nil {
		t.Fatal(err)
	}
	if err := s.EachAccount(t.Context(), span.To, sum.Account); err != nil {
		t.Fatal(err)
	}
	return sum
}

// trade issues quotes over half a year and lets every fate befall them: by the
// number of the quote, so that it is the same each time. Events are between
// August and December 2026.
func trade(t testing.TB, s *store.Store, x *book.Index, n int) {
	t.Helper()
	cakes, extras := x.Book.Cakes, x.Book.Extras
	last := day.Must("2026-07-10")
	for i := range n {
		last = last.AddDays(i % 3)
		r := quote.Request{On: last}
		r.Client.Name = fmt.Sprintf("Client %d", i)
		r.Event.Date = day.Later(last.AddDays(20), day.Must("2026-08-01").AddDays(i*37%150))
		if err := r.Event.Km.Value.UnmarshalText([]byte("12")); err != nil {
			t.Fatal(err)
		}
		r.Event.Km.Given = true
		r.Lines = []quote.CakeWanted{{Cake: cakes[i%len(cakes)].ID, Quantity: 1 + i%3}, {Cake: cakes[(i+1)%len(cakes)].ID, Quantity: 1}}
		if i%2 == 0 {
			for _, e := range extras {
				if !e.Always.Or(false) {
					r.Extras = append(r.Extras, quote.ExtraWanted{Extra: e.ID, Quantity: 1})
				}
			}
		}
		if i%5 == 0 {
			if err := r.Discount.Value.UnmarshalText([]byte("7.5 %")); err != nil {
				t.Fatal(err)
			}
			r.Discount.Given = true
		}
		if i%7 == 3 {
			less := r.Wanted
			less.Lines = less.Lines[:1]
			r.Options = []quote.OptionWanted{{Name: "Both", Wanted: r.Wanted}, {Name: "One", Wanted: less}}
			r.Wanted = quote.Wanted{}
		}
		q, err := quote.Price(x, r)
		if err != nil {
			t.Fatal(err)
		}
		saved, err := s.IssueQuote(t.Context(), q, at)
		if err != nil {
			t.Fatal(err)
		}
		befall(t, s, saved.Quote, i)
	}
}

// befall lets a fate befall a quote.
func befall(t testing.TB, s *store.Store, q quote.Quote, i int) {
	t.Helper()
	ctx, on, number := t.Context(), q.Offer.IssuedOn, q.Number
	do := func(_ any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	option := ""
	if len(q.Options) > 0 {
		option = "One"
	}
	switch i % 11 {
	case 1:
		do(s.Decline(ctx, number, "too dear", on.AddDays(5), at))
		return
	case 2:
		return // lapses
	case 3:
		if i%2 == 1 {
			do(s.Cancel(ctx, number, nil, "another date", on.AddDays(2), at))
			return
		}
	case 4: // declined, offered anew, accepted
		do(s.Decline(ctx, number, "too dear", on.AddDays(3), at))
		again := q
		again.Offer.IssuedOn = on.AddDays(6)
		do(s.ReviseQuote(ctx, number, again, "as before", at))
		on = on.AddDays(6)
	}
	do(s.Accept(ctx, number, option, "", on.AddDays(1), at))
	order, err := s.Order(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	cur := order.Quote.Offer.Studio.Currency
	pay := func(share int64, on day.Date) {
		amount := cur.Round(order.Quote.Offer.Total.Number().Mul(exact.Frac(share, 100)))
		do(s.Receive(ctx, quote.Payment{Quote: number, On: on, Amount: amount, Means: quote.Transfer}, at))
	}
	if i%4 != 0 {
		pay(25, on.AddDays(4))
	}
	if i%3 == 1 {
		pay(80, on.AddDays(20)) // with the deposit a little too much, or too little
	}
	if i%11 == 5 {
		do(s.Cancel(ctx, number, nil, "called off", on.AddDays(15), at))
	}
	if i%6 == 0 {
		do(s.Record(ctx, actual.Records{Work: []actual.Work{{Head: actual.Head{On: on.AddDays(5)}, Order: number, Way: actual.Longer, Role: "decorator", Minutes: exact.Int(35), PerMinute: exact.Int(1)}}}, at))
	}
}

// sqlite3 asks the sqlite3 shell, which knows nothing of this program.
func sqlite3(t testing.TB, path, query string) [][]string {
	t.Helper()
	shell, err := exec.LookPath("sqlite3")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("sqlite3 is not installed")
		}
		t.Skip("sqlite3 is not installed")
	}
	out, err := exec.Command(shell, "-readonly", "-json", path, query).CombinedOutput()
	if err != nil {
		t.Fatalf("sqlite3: %v\n%s", err, out)
	}
	if len(strings.TrimSpace(string(out))) == 0 {
		return nil
	}
	dec := json.NewDecoder(strings.NewReader(string(out)))
	dec.UseNumber()
	var rows []json.RawMessage
	if err := dec.Decode(&rows); err != nil {
		t.Fatalf("sqlite3: %v\n%s", err, out)
	}
	var list [][]string
	for _, row := range rows {
		dec := json.NewDecoder(strings.NewReader(string(row)))
		dec.UseNumber()
		var cells []string
		for {
			token, err := dec.Token()
			if err != nil {
				break
			}
			if _, delim := token.(json.Delim); !delim {
				cells = append(cells, fmt.Sprint(token))
			}
		}
		var values []string
		for i := 1; i < len(cells); i += 2 { // key, value, key, value …
			values = append(values, cells[i])
		}
		list = append(list, values)
	}
	return list
}

// cents reads a sum of minor units as SQL counts them.
func cents(t testing.TB, text string) string {
	t.Helper()
	n, ok := new(big.Rat).SetString(text)
	if !ok {
		t.Fatalf("%q is no number", text)
	}
	return n.Quo(n, big.NewRat(100, 1)).FloatString(2)
}

// The figures of a report against plain SQL over the store's views, asked
// through the sqlite3 shell. The queries are written from costing.md: revenue
// is the total without tax, "(net total − cost)"; tax per rate is that of the
// quote; a discount is a line of its own; cancellation is a fee. Money has two
// decimals here and is summed in whole cents.
func TestReportAgainstSQL(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	x := book.NewIndex(demoBook(t))
	trade(t, s, x, 110)
	today := day.Must("2026-11-25")
	for _, text := range []string{"2026-10", "2026"} {
		span, err := month.ParseSpan(text)
		if err != nil {
			t.Fatal(err)
		}
		againstSQL(t, s, reportOf(t, s, x, span, today))
	}
}

// A report of orders as EachOrder reads them, several at once and only what was
// sold, is the report of the whole orders.
func TestEachOrderTellsAll(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	x := book.NewIndex(demoBook(t))
	trade(t, s, x, 40)
	year := month.Span{From: day.Must("2026-01-01"), To: day.Must("2026-12-31")}
	tell := func(take func(*month.Tally) error) string {
		records, err := s.ActualsCounting(t.Context(), year.From, year.To)
		if err != nil {
			t.Fatal(err)
		}
		sum, err := month.New(year, month.Sources{Book: x, Ledger: actual.NewLedger(records), Today: day.Must("2026-11-25")})
		if err != nil {
			t.Fatal(err)
		}
		if err := take(sum); err != nil {
			t.Fatal(err)
		}
		r, err := sum.Report(nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	got := tell(func(sum *month.Tally) error { return s.EachOrder(t.Context(), year.From, year.To, sum.Take) })
	want := tell(func(sum *month.Tally) error {
		all, err := s.AllOrders(t.Context())
		for _, o := range all {
			if err == nil && year.Holds(month.CountsOn(o)) {
				err = sum.Order(o)
			}
		}
		return err
	})
	if got != want || len(got) < 10_000 {
		t.Errorf("of orders read at once the report is\n%s\nwant\n%s", got, want)
	}

	// The first that take refuses ends the reading.
	added := 0
	err := s.EachOrder(t.Context(), year.From, year.To, func(o quote.Order) (func(), error) {
		if o.Quote.Offer.EventDate.After(day.Must("2026-09-01")) {
			return nil, fmt.Errorf("%s is too late", o.Quote.Number)
		}
		return func() { added++ }, nil
	})
	if err == nil || !strings.Contains(err.Error(), "is too late") || added == 0 {
		t.Errorf("EachOrder = %v after %d orders, want the refusal after those before", err, added)
	}
}

const cent = `CAST(round(replace(%s, ',', '') * 100) AS INTEGER)`

func againstSQL(t *testing.T, s *store.Store, r month.Report) {
	t.Helper()
	path := s.Path()
	between := fmt.Sprintf("BETWEEN '%s' AND '%s'", r.From, r.To)
	end, today := r.To.String(), r.AsOf.String()
	in := func(column string) string { return fmt.Sprintf(cent, column) }
	same := func(what, got, want string) {
		t.Helper()
		if got != want {
			t.Errorf("%s: the report has %s of %s, SQL says %s", r.Title, got, what, want)
		}
	}

	delivered := `(SELECT * FROM order_now WHERE state <> 'cancelled' AND event_date ` + between + `)`
	row := sqlite3(t, path, `SELECT count(*), coalesce(sum(`+in("total")+`), 0),
		coalesce((SELECT sum(`+in("tax")+`) FROM quote_tax x JOIN `+delivered+` o USING (quote, revision, choice)), 0),
		coalesce((SELECT sum(quantity) FROM quote_line l JOIN `+delivered+` o USING (quote, revision, choice) WHERE kind = 'cake'), 0) FROM `+delivered)[0]
	fees := sqlite3(t, path, `SELECT coalesce(sum(`+in("fee")+`), 0), count(*) FROM quote_trail c JOIN quote q ON q.id = c.quote WHERE move = 'cancel' AND q.accepted IS NOT NULL AND on_day `+between)[0]
	same("orders delivered", fmt.Sprint(r.Orders.Made), row[0])
	same("orders called off", fmt.Sprint(r.Orders.Off), fees[1])
	same("gross sales", r.Tax.Gross.String(), cents(t, row[1]))
	same("tax", r.Tax.Tax.String(), cents(t, row[2]))
	same("cakes", fmt.Sprint(r.Orders.Cakes), row[3])
	same("cancellation fees", r.Tax.Fees.String(), cents(t, fees[0]))
	total, _ := new(big.Int).SetString(row[1], 10)
	tax, _ := new(big.Int).SetString(row[2], 10)
	fee, _ := new(big.Int).SetString(fees[0], 10)
	net := total.Sub(total, tax)
	same("net sales", r.Orders.Total.Revenue.Net.String(), cents(t, net.Add(net, fee).String()))
	byRate := sqlite3(t, path, `SELECT rate, sum(`+in("x.net")+`), sum(`+in("tax")+`) FROM quote_tax x JOIN `+delivered+` o USING (quote, revision, choice) GROUP BY rate ORDER BY rate`)
	rates := map[string]string{}
	for _, line := range byRate {
		n, _ := new(big.Rat).SetString(line[0])
		rates[n.FloatString(6)] = cents(t, line[1]) + " " + cents(t, line[2])
	}
	for _, line := range r.Tax.Rows {
		same("sales at "+line.Rate.Value.String(), line.Net.String()+" "+line.Tax.String(), rates[line.Rate.Value.String()])
	}
	same("tax rates", fmt.Sprint(len(r.Tax.Rows)), fmt.Sprint(len(rates)))
	// Net by kind of line, within the cents that the rounding of tax moves.
	for kind, got := range map[string]money.Amount{"cake": r.Orders.Total.Revenue.Cakes, "extra": r.Orders.Total.Revenue.Extras, "minimum": r.Orders.Total.Revenue.Minimum} {
		sum := new(big.Rat)
		for _, line := range sqlite3(t, path, `SELECT `+in("amount")+`, tax_rate FROM quote_line l JOIN `+delivered+` o USING (quote, revision, choice) WHERE kind = '`+kind+`'`) {
			amount, _ := new(big.Rat).SetString(line[0])
			rate, _ := new(big.Rat).SetString(line[1])
			sum.Add(sum, amount.Quo(amount, rate.Add(rate, big.NewRat(1, 1))))
		}
		apart := new(big.Rat).Sub(got.Number().Rat(), sum.Quo(sum, big.NewRat(100, 1)))
		if apart.Abs(apart).Cmp(big.NewRat(int64(r.Orders.Made)*2, 100)) > 0 {
			t.Errorf("%s: the report has %s of %s lines, SQL says %s", r.Title, got, kind, sum.FloatString(4))
		}
	}

	// The frozen cost of the orders: "the cost with that of all extras".
	cost := new(big.Rat)
	for _, line := range sqlite3(t, path, `SELECT cost FROM `+delivered) {
		n, ok := new(big.Rat).SetString(line[0])
		if !ok {
			t.Fatalf("cost %q", line[0])
		}
		cost.Add(cost, n)
	}
	same("standard cost", r.Orders.Total.Standard.Total.String(), cost.FloatString(2))

	// Quotes by their trails.
	decided := sqlite3(t, path, `WITH
		won AS (SELECT quote, min(on_day) AS day FROM quote_trail WHERE move = 'accept' GROUP BY quote),
		ended AS (SELECT quote, move, on_day AS day FROM quote_trail t
			WHERE entry = (SELECT max(entry) FROM quote_trail WHERE quote = t.quote) AND quote NOT IN (SELECT quote FROM won)),
		fate AS (
			SELECT quote, 'won' AS fate, day FROM won
			UNION ALL SELECT quote, 'declined', day FROM ended WHERE move = 'decline'
			UNION ALL SELECT quote, 'withdrawn', day FROM ended WHERE move = 'cancel'
			UNION ALL SELECT e.quote, 'lapsed', date(valid_until, '+1 day') FROM ended e JOIN quote_now n USING (quote)
				WHERE move IN ('issue', 'revise') AND n.newest AND valid_until < '`+today+`')
		SELECT (SELECT count(*) FROM quote_trail WHERE move = 'issue' AND on_day `+between+`),
			count(*) FILTER (WHERE fate = 'won'), count(*) FILTER (WHERE fate = 'declined'), count(*) FILTER (WHERE fate = 'lapsed'), count(*) FILTER (WHERE fate = 'withdrawn'),
			(SELECT count(*) FROM quote_trail i WHERE move = 'issue' AND on_day <= '`+end+`' AND NOT EXISTS (SELECT 1 FROM fate f WHERE f.quote = i.quote AND f.day <= '`+end+`'))
		FROM fate WHERE day `+between)[0]
	q := r.Quotes
	same("quotes issued, won, declined, lapsed, withdrawn, open",
		fmt.Sprint(q.Issued.Count, q.Won.Count, q.Declined.Count, q.Lapsed.Count, q.Withdrawn.Count, q.Open.Count), strings.Join(decided, " "))
	won := sqlite3(t, path, `SELECT s.net FROM quote_trail a JOIN quote_sale s ON s.quote = a.quote AND s.revision = a.revision AND s.choice = coalesce(a.choice, 0)
		WHERE a.move = 'accept' AND a.on_day `+between+` AND NOT EXISTS (SELECT 1 FROM quote_trail b WHERE b.quote = a.quote AND b.move = 'accept' AND b.entry < a.entry)`)
	value := new(big.Rat)
	for _, line := range won {
		n, _ := new(big.Rat).SetString(line[0])
		value.Add(value, n)
	}
	same("value won", q.Won.Value.String(), value.FloatString(2))

	// Accounts: what is owed in all against what came in by the last day.
	accounts := `(SELECT o.quote, o.revision, o.choice,
			(SELECT on_day FROM quote_trail c WHERE c.quote = o.quote AND move = 'cancel' AND on_day <= '` + end + `') AS off,
			(SELECT ` + in("fee") + ` FROM quote_trail c WHERE c.quote = o.quote AND move = 'cancel' AND on_day <= '` + end + `') AS fee, ` + in("total") + ` AS total,
			coalesce((SELECT sum(` + in("amount") + `) FROM payment p WHERE p.quote = o.quote AND p.on_day <= '` + end + `'), 0) AS paid
		FROM order_now o WHERE (SELECT min(on_day) FROM quote_trail a WHERE a.quote = o.quote AND move = 'accept') <= '` + end + `')`
	due := sqlite3(t, path, `WITH account AS (SELECT *, coalesce(fee, total) AS owed FROM `+accounts+`),
		part AS (
			SELECT quote, due, `+in("amount")+` AS amount, sum(`+in("amount")+`) OVER (PARTITION BY quote ORDER BY position) AS upto, paid
			FROM quote_instalment JOIN account USING (quote, revision, choice) WHERE off IS NULL
			UNION ALL SELECT quote, off, fee, fee, paid FROM account WHERE off IS NOT NULL)
		SELECT (SELECT coalesce(sum(max(owed - paid, 0)), 0) FROM account), (SELECT coalesce(sum(max(paid - owed, 0)), 0) FROM account),
			(SELECT coalesce(sum(min(amount, max(upto - paid, 0))), 0) FROM part WHERE due < '`+end+`'),
			(SELECT coalesce(sum(min(amount, max(upto - paid, 0))), 0) FROM part WHERE julianday('`+end+`') - julianday(due) BETWEEN 31 AND 60)`)[0]
	d := r.Receivables
	same("outstanding", d.Outstanding.String(), cents(t, due[0]))
	same("credit", d.Credit.String(), cents(t, due[1]))
	same("overdue", d.Overdue.String(), cents(t, due[2]))
	same("overdue for 31 to 60 days", d.Ages[1].Amount.String(), cents(t, due[3]))
	if r.Title == "2026-10" && (r.Orders.Made < 10 || r.Orders.Off == 0 || q.Declined.Count == 0 || q.Lapsed.Count == 0 || d.Overdue.IsZero() || d.Credit.IsZero()) {
		t.Errorf("%s says too little to prove anything: %d orders, %d called off, %+v, overdue %s, credit %s", r.Title, r.Orders.Made, r.Orders.Off, q.Declined, d.Overdue, d.Credit)
	}
}

// fillOrders writes n accepted orders with events in October 2026 fast: copies
// of a few quotes of the demo studio under numbers of their own.
func fillOrders(t testing.TB, s *store.Store, db *sql.DB, n int) {
	t.Helper()
	x := book.NewIndex(demoBook(t))
	trade(t, s, x, 12)
	var models []string
	rows, err := db.Query(`SELECT r.snapshot FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted WHERE q.choice IS NULL ORDER BY q.id`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var text string
		if err := rows.Scan(&text); err != nil {
			t.Fatal(err)
		}
		models = append(models, text)
	}
	rows.Close()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	exec := func(query string, args ...any) {
		t.Helper()
		if _, err := tx.Exec(query, args...); err != nil {
			t.Fatal(err)
		}
	}
	for i := range n {
		id, event := 1000+i, day.Must("2026-10-01").AddDays(i%31).String()
		exec(`INSERT INTO quote (id, year, sequence) SELECT ?, 2026, max(sequence) + 1 FROM quote WHERE year = 2026`, id)
		exec(`INSERT INTO quote_revision (quote, revision, frozen, saved_at, snapshot)
			SELECT id, 1, 1, '2026-09-01T09:00:00Z', json_set(?2, '$.number', number, '$.offer.event_date', ?3, '$.request.event.date', ?3) FROM quote WHERE id = ?1`, id, models[i%len(models)], event)
		for entry, move := range []string{"issue", "accept"} {
			exec(`INSERT INTO quote_trail (quote, entry, at, on_day, move, revision, reason) VALUES (?, ?, '2026-09-01T09:00:00Z', '2026-09-10', ?, 1, '')`, id, entry+1, move)
		}
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
}

// BenchmarkMonth makes the figures of a month of 5,000 orders, none of them
// paid. The baseline only reads the quotes.
func BenchmarkMonth(b *testing.B) {
	s, db := fresh(b)
	importBook(b, s, demoBook(b), false)
	fillOrders(b, s, db, 5000)
	x := book.NewIndex(demoBook(b))
	october := month.Span{From: day.Must("2026-10-01"), To: day.Must("2026-10-31")}
	b.Run("read only", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			n := 0
			if err := s.EachOrder(b.Context(), october.From, october.To, func(quote.Order) (func(), error) { return func() { n++ }, nil }); err != nil || n < 5000 {
				b.Fatal(n, err)
			}
		}
	})
	b.Run("report", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if r := reportOf(b, s, x, october, day.Must("2026-11-25")); r.Orders.Made < 5000 || len(r.Receivables.Rows) < 5000 {
				b.Fatal(r.Orders.Made, len(r.Receivables.Rows))
			}
		}
	})
}
