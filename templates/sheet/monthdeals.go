package sheet

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/month"
)

// quotes is what became of offers: a short table, and a row a quote.
func (m *monthBook) quotes() {
	w, q := m.w, m.Quotes
	columns := []tableColumn{
		words("number", "Quote", 12), words("client", "Client", 32), dates("issued", "Issued"), dates("event", "Event"), words("state", "State", 12), dates("decided", "Decided"),
		m.money("value", "Value without tax", "", nothing), {key: "days", head: "Days until decided", width: 11, format: countFormat, formula: `IF(ISNUMBER({decided}),{decided}-{issued},"–")`},
	}
	const heads = 9
	p := w.page("Quotes", paper{widths: append(widthsOf(columns), 13, 13), freeze: heads, side: 0, repeat: [2]int{heads, heads}})
	p.opening("Quotes", "Issued or decided in the span, or open at its end. Won of those decided is won ÷ (won + lost); lost are declined, lapsed and withdrawn.")
	p.skip(1)
	p.tall(30, w.heads("", "", "#Issued", "#Won", "#Lost", "#Declined", "#Lapsed", "#Withdrawn", "#Open", "#Won of decided")...)
	// The table begins below its sums, which count its rows.
	p.row += 4
	t := p.table(columns, len(q.Rows), 0)
	p.row -= 4
	m.tallies(p, t)
	p.skip(1)
	t.heads()
	for _, r := range q.Rows {
		days := any(absent)
		if !r.Decided.IsZero() {
			days = float64(r.Issued.DaysUntil(r.Decided))
		}
		t.add(r.Number, r.Client, serial(r.Issued), serial(r.Event), string(r.Fate), serial(r.Decided), amount(r.Value), days)
	}
	if len(q.Rows) == 0 {
		t.none("no quote was issued or decided in this span, or open at its end")
	}
	t.filter()
	t.paint("state", `{state}="`+string(month.Won)+`"`, goodInk)
	t.paint("state", `AND({state}<>"`+string(month.Won)+`",{state}<>"`+string(month.Open)+`")`, badInk)
	p.printArea("J")
	p.close()
}

// tallies counts the rows of the quotes and sums their value.
func (m *monthBook) tallies(p *page, t *table) {
	w, q := m.w, m.Quotes
	row := p.row + 1
	counts := []any{w.words(totalLabel, "Quotes"), w.blank(totalLabel, "")}
	values := []any{w.words(figureCell, "Value without tax"), w.blank(figureCell, "")}
	count := func(formula string, n month.Tallied) {
		counts = append(counts, w.live(totalCell, countFormat, formula, exact.Int(int64(n.Count))))
	}
	value := func(formula string, n month.Tallied) {
		values = append(values, w.live(figureCell, w.money.plain, formula, n.Value.Number()))
	}
	of := func(f month.Fate, n month.Tallied) {
		count(fmt.Sprintf(`COUNTIF(%s,"%s")`, t.stretch("state"), f), n)
		value(fmt.Sprintf(`SUMIF(%s,"%s",%s)`, t.stretch("state"), f, t.stretch("value")), n)
	}
	count(fmt.Sprintf(`COUNTIFS(%s,">="&span_first,%s,"<="&span_last)`, t.stretch("issued"), t.stretch("issued")), q.Issued)
	// What a quote was worth when it was issued may not be what it is worth now.
	values = append(values, w.figure(figureCell, w.money.plain, q.Issued.Value.Number()))
	of(month.Won, q.Won)
	count(fmt.Sprintf("SUM(F%d:H%d)", row, row), q.Lost)
	value(fmt.Sprintf("SUM(F%d:H%d)", row+1, row+1), q.Lost)
	of(month.Declined, q.Declined)
	of(month.Lapsed, q.Lapsed)
	of(month.Withdrawn, q.Withdrawn)
	of(month.Open, q.Open)
	conversion := func(k kind, row int, f any) any {
		cell := w.blank(k, shareFormat)
		cell.Formula, cell.Value = over(fmt.Sprintf("D%d", row), fmt.Sprintf("(D%d+E%d)", row, row)), f
		return cell
	}
	p.tall(18, append(counts, conversion(totalCell, row, fraction(q.Conversion)))...)
	p.tall(18, append(values, conversion(figureCell, row+1, fraction(q.ConversionValue)))...)
	for i, name := range []string{"issued", "won", "lost", "declined", "lapsed", "withdrawn", "open"} {
		w.name("quotes_"+name, p.ref(column(2+i), row))
		w.name("quotes_"+name+"_value", p.ref(column(2+i), row+1))
	}
	// The days of the report, for the count of those issued.
	p.put(w.words(noteCell, "Days of the report"), nil, w.day(m.From), w.day(m.To))
	w.name("span_first", p.ref("C", p.row))
	w.name("span_last", p.ref("D", p.row))
}

// receivables is what clients owe on the last day, by how late it is.
func (m *monthBook) receivables() {
	w, r := m.w, m.Receivables
	columns := []tableColumn{
		words("number", "Order", 12), words("client", "Client", 32), dates("event", "Event"), words("state", "State", 11),
		m.money("owed", "Owed", "", summed), m.money("received", "Received", "", summed),
	}
	lateFrom, lateTo := "late0", fmt.Sprint("late", len(r.Ages)-1)
	columns = append(columns, m.money("outstanding", "Outstanding", "{not_due}+{overdue}", summed), m.money("not_due", "Not yet due", "", summed),
		m.money("overdue", "Overdue", "SUM({"+lateFrom+"}:{"+lateTo+"})", summed))
	for i, a := range r.Ages {
		head := fmt.Sprintf("%d to %d days late", a.From, a.To)
		if a.To == 0 {
			head = fmt.Sprintf("%d days late or more", a.From)
		}
		columns = append(columns, m.money(fmt.Sprint("late", i), head, "", summed))
	}
	columns = append(columns, m.money("credit", "To pay back", "", summed), dates("since", "Overdue since"),
		tableColumn{key: "days", head: "Days late", width: 9, format: countFormat, formula: `IF(ISNUMBER({since}),span_last-{since},"–")`})
	const heads = tableTop + 1
	p := m.sheetOf("Receivables", columns, heads, 2)
	p.opening("Receivables", "Accounts of accepted orders that are not settled on "+w.locale().Date(r.On)+", with tax, the oldest debt first. Late since the instalment fell due.")
	p.skip(1)
	// The shares stand over the sums of the row below them.
	t := p.table(columns, len(r.Rows), tableTop)
	parts := w.blanks(noteCell, len(columns))
	parts[0] = w.words(noteCell, "Of what is outstanding")
	sums := map[string]any{"owed": amount(r.Owed), "received": amount(r.Received), "outstanding": amount(r.Outstanding), "not_due": amount(r.NotDue), "overdue": amount(r.Overdue), "credit": amount(r.Credit)}
	for i, a := range r.Ages {
		sums[fmt.Sprint("late", i)] = amount(a.Amount)
	}
	whole := fmt.Sprint(t.letters["outstanding"], tableTop)
	for i, c := range columns {
		if v, there := sums[c.key]; there && i > 6 && c.key != "credit" {
			share := w.blank(noteCell, shareFormat)
			share.Formula, share.Value = over(fmt.Sprint(column(i), tableTop), whole), absent
			if !r.Outstanding.IsZero() {
				share.Value = v.(float64) / amount(r.Outstanding)
			}
			parts[i] = share
		}
	}
	p.put(parts...)
	t.sums("All", sums)
	t.heads()
	for _, d := range r.Rows {
		state := "accepted"
		if d.Cancelled {
			state = calledOff
		}
		days := any(absent)
		if !d.Since.IsZero() {
			days = float64(d.Since.DaysUntil(m.To))
		}
		cells := []any{d.Number, d.Client, serial(d.Event), state, amount(d.Owed), amount(d.Received), amount(d.Outstanding), amount(d.NotDue), amount(d.Outstanding.Sub(d.NotDue))}
		for _, a := range d.Ages {
			cells = append(cells, amount(a))
		}
		t.add(append(cells, amount(d.Credit), serial(d.Since), days)...)
	}
	if len(r.Rows) == 0 {
		t.none("every account is settled")
	}
	t.filter()
	t.paint("overdue", "{overdue}>0", badInk)
	t.paint("days", "AND(ISNUMBER({days}),{days}>60)", badInk)
	t.named("receivables_outstanding", "outstanding")
	t.named("receivables_overdue", "overdue")
	p.printArea(column(len(columns) - 1))
	p.close()
}

// tax is the sales by tax rate.
func (m *monthBook) tax() {
	w, x := m.w, m.Tax
	label := m.TaxLabel
	if label == "" {
		label = "Tax"
	}
	columns := []tableColumn{
		{key: "rate", head: "Rate", width: 26, format: percentFormat}, m.money("net", "Net", "", summed), m.money("tax", label, "", summed), m.money("gross", "Gross", "{net}+{tax}", summed),
		shares("share", "Of net", "{net}", "${net_all}", likewise),
	}
	for i := range columns {
		columns[i].width = max(columns[i].width, 16)
	}
	p := m.sheetOf("Tax", columns, tableTop, 0)
	p.opening("Sales by tax rate", "Of what was delivered, by the day of the event, as quoted. For the book-keeper.")
	p.skip(1)
	t := p.table(columns, len(x.Rows), tableTop-1)
	t.sums("All", map[string]any{"net": amount(x.Net), "tax": amount(x.Tax), "gross": amount(x.Gross), "share": quotient(x.Net.Number(), x.Net.Number())})
	t.heads()
	for _, r := range x.Rows {
		rate := any("no tax line")
		if r.Rate.Given {
			rate = float(r.Rate.Value.Number)
		}
		t.add(rate, amount(r.Net), amount(r.Tax), amount(r.Gross), quotient(r.Net.Number(), x.Net.Number()))
	}
	if len(x.Rows) == 0 {
		t.none("no sales")
	}
	t.named("tax_net", "net", "tax_due", "tax", "tax_gross", "gross")
	p.skip(1)
	p.put(w.words(noteCell, "Not in the table; whether they bear tax, and when, is for the book-keeper to say:"))
	p.put(w.words(labelCell, "Cancellation fees"), w.live(figureCell, w.money.plain, "orders_fees", x.Fees.Number()))
	p.put(w.words(labelCell, "Charged after accepting"), w.figure(figureCell, signed(w.money.plain), x.Changes.Number()), w.words(noteCell, "or let off below 0, tax included, without a revision of the quote"))
	p.put(w.words(noteCell, "When tax falls due, and on what else, is for the book-keeper and local law to say. This is no tax return."))
	p.printArea("H")
	p.close()
}

// day returns a cell of a day.
func (w *workbook) day(d day.Date) excelize.Cell {
	return excelize.Cell{StyleID: w.style(look{kind: noteCell, format: dateFormat}), Value: serial(d)}
}
