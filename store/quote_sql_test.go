package store_test

import (
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/quote"
	"marchpane/store"
)

// Quotes of every kind, with its totals worked out anew by the sqlite3
// shell: in whole cents, from the lines of the quote and from the tables of the
// book. The queries are written from costing.md by hand and share nothing with
// the engine. The demo studio shows prices with tax and rounds tax once a rate.
func TestQuotesAgainstSQL(t *testing.T) {
	s, _ := fresh(t)
	importBook(t, s, demoBook(t), false)
	offers(t, s, book.NewIndex(demoBook(t)), 60)
	in := func(column string) string { return fmt.Sprintf(cent, column) }
	none := func(what, query string) {
		t.Helper()
		if rows := sqlite3(t, s.Path(), query); len(rows) > 0 {
			t.Errorf("%s: SQL finds %d that differ, the first %v", what, len(rows), rows[0])
		}
	}
	count := func(least int, what, query string) {
		t.Helper()
		var n int
		if rows := sqlite3(t, s.Path(), query); len(rows) != 1 || len(rows[0]) != 1 {
			t.Fatalf("%s: %v", what, rows)
		} else if _, err := fmt.Sscan(rows[0][0], &n); err != nil || n < least {
			t.Errorf("%d %s, want %d to check", n, what, least)
		}
	}
	count(60, "offers", `SELECT count(*) FROM quote_sale`)
	count(150, "lines", `SELECT count(*) FROM quote_line WHERE kind = 'cake'`)
	count(10, "discounts", `SELECT count(*) FROM quote_line WHERE kind = 'discount'`)

	none("amounts of lines", `SELECT quote, position, amount FROM quote_line
		WHERE kind IN ('cake', 'extra') AND `+in("amount")+` <> quantity * `+in("unit_price"))
	none("totals", `SELECT quote, choice, total, sum(`+in("amount")+`) AS lines FROM quote_line JOIN quote_sale USING (quote, revision, choice)
		GROUP BY quote, revision, choice HAVING lines <> `+in("total"))
	// 7.5 % of the cakes, half a cent away from zero: 3/40 of the cents.
	none("discounts", `SELECT quote, choice, amount, cakes FROM quote_line d
		JOIN (SELECT quote, revision, choice, sum(`+in("amount")+`) AS cakes FROM quote_line WHERE kind = 'cake' GROUP BY quote, revision, choice) USING (quote, revision, choice)
		WHERE kind = 'discount' AND -`+in("amount")+` <> (cakes * 75 * 2 + 1000) / 2000`)
	// Prices of the book's own tables: of extras, and of cakes that have one and
	// were quoted before any other list price held.
	count(50, "lines of extras and cakes with a price in the book", `SELECT count(*) FROM quote_line l LEFT JOIN cake c ON c.id = l.id WHERE l.kind = 'extra' OR c.price IS NOT NULL`)
	none("prices of extras", `SELECT quote, l.id, unit_price FROM quote_line l JOIN extra e ON e.id = l.id
		WHERE l.kind = 'extra' AND `+in("unit_price")+` <> coalesce(`+in("e.price")+`, 0) + 12 * coalesce(`+in("e.price_per_km")+`, 0)`)
	none("prices of cakes", `SELECT quote, l.id, unit_price FROM quote_line l JOIN cake c ON c.id = l.id
		WHERE l.kind = 'cake' AND c.price IS NOT NULL AND `+in("unit_price")+` <> `+in("c.price"))

	// Tax: gross × rate ÷ (1 + rate), to the cent, a half away from zero. A rate
	// is a fraction, n/d, so that the tax in it is gross × n ÷ (d + n). What a
	// discount takes off is of the rate that its line says.
	const gross = `(SELECT quote, revision, choice, tax_rate AS rate, sum(CAST(round(amount * 100) AS INTEGER)) AS gross FROM quote_line GROUP BY quote, revision, choice, tax_rate)`
	const n, d = `CAST(substr(rate, 1, instr(rate, '/') - 1) AS INTEGER)`, `CAST(substr(rate, instr(rate, '/') + 1) AS INTEGER)`
	taxed := `SELECT quote, choice, rate, gross, net, tax FROM ` + gross + ` JOIN quote_tax USING (quote, revision, choice, rate)`
	count(70, "sums of tax", `SELECT count(*) FROM (`+taxed+`)`)
	none("tax", taxed+` WHERE `+in("tax")+` <> (2 * gross * `+n+` + (`+d+` + `+n+`)) / (2 * (`+d+` + `+n+`))`)
	none("net and tax", taxed+` WHERE `+in("net")+` + `+in("tax")+` <> gross`)
	none("rates without tax", `SELECT quote, choice, rate FROM `+gross+` LEFT JOIN quote_tax x USING (quote, revision, choice, rate) WHERE x.tax IS NULL`)

	// Payments: shares of the total, the rest last.
	none("instalments", `SELECT quote, choice, total, sum(`+in("amount")+`) AS paid FROM quote_instalment JOIN quote_sale USING (quote, revision, choice)
		GROUP BY quote, revision, choice HAVING paid <> `+in("total"))
	none("deposits", `SELECT i.quote, i.amount, total FROM quote_instalment i JOIN quote_sale USING (quote, revision, choice), studio
		WHERE i.deposit AND `+in("i.amount")+` <> CAST(round(`+in("total")+` * CAST(substr(quote_deposit, 1, instr(quote_deposit, ' ') - 1) AS REAL) / 100) AS INTEGER)`)
}

// offers issues quotes of one to three cakes with and without extras, a
// discount of 7.5 %, and two options.
func offers(t *testing.T, s *store.Store, x *book.Index, n int) {
	t.Helper()
	cakes := x.Book.Cakes
	for i := range n {
		lines := fmt.Sprintf(`{"cake": %q, "quantity": %d}, {"cake": %q, "quantity": 1}, {"cake": %q, "quantity": 2}`, cakes[i%len(cakes)].ID, 1+i%3, cakes[(i+1)%len(cakes)].ID, cakes[(i+3)%len(cakes)].ID)
		wanted := `"lines": [` + lines + `]`
		var extras []string
		for _, e := range x.Book.Extras {
			if i%2 == 0 && !e.Always.Or(false) {
				extras = append(extras, fmt.Sprintf(`{"extra": %q, "quantity": %d}`, e.ID, 1+i%2))
			}
		}
		wanted += `, "extras": [` + strings.Join(extras, ", ") + `]`
		if i%5 == 0 {
			wanted += `, "discount": "7.5 %"`
		}
		if i%7 == 3 {
			wanted = `"options": [{"name": "All", ` + wanted + `}, {"name": "One", "lines": [` + lines[:strings.Index(lines, "}")+1] + `]}]`
		}
		r, err := quote.ReadRequest(fmt.Appendf(nil, `{"client": {"name": "Client %d"}, "event": {"date": "2026-12-24", "km": "12"}, "on": "2026-11-25", %s}`, i, wanted))
		if err != nil {
			t.Fatal(err)
		}
		q, err := quote.Price(x, r)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.IssueQuote(t.Context(), q, at); err != nil {
			t.Fatal(err)
		}
	}
}
