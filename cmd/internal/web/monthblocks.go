package web

import (
	"fmt"
	"net/url"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
	"marchpane/templates/document"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

// besideBlock draws what came in and went out, month by month or beside earlier
// spans.
func besideBlock(words words, r month.Report) (page.Block, error) {
	column := func(name string, values ...exact.Number) plot.Column {
		c := plot.Column{Name: name}
		for _, v := range values {
			c.Values, c.Texts = append(c.Values, coordinate(v)), append(c.Texts, words.money(v))
		}
		return c
	}
	var columns []plot.Column
	b := page.Block{ID: "beside", Title: "Month by month"}
	for _, m := range r.Months {
		columns = append(columns, column(fmt.Sprintf("%.3s", words.spanCalled(m.Month)), m.Net.Number(), m.Cost.Total.Number(), m.Margin.Number()))
	}
	if len(columns) == 0 {
		b.Title = "Beside earlier months"
		columns = besideColumns(words, r, column)
	}
	var err error
	b.Lead = "Each group, from the left: net sales, cost, margin."
	b.Plot.SVG, err = drawn(plot.Columns(b.Title, words.beside(r.Currency.Code()+", without tax"), []string{"net sales", "cost", "margin"}, columns))
	return b, err
}

// bridgeBlock is the way from the planned margin to the real one, drawn and in
// figures.
func bridgeBlock(words words, r month.Report) (page.Block, error) {
	if len(r.Orders.Rows) == 0 && !r.Bridge.Plan {
		return page.Block{}, nil
	}
	planned, real := "margin as quoted", "margin after overhead paid"
	if r.Bridge.Plan {
		planned = "margin of the plan"
	}
	b := page.Block{ID: "bridge", Title: "From the planned margin to the real one", Table: page.Table{Caption: "From the planned margin to the real one", Brief: true, Heads: []page.Head{{Text: "What moved it"}, {Text: r.Currency.Code(), Right: true, Key: true}}}, Side: words.amount(r.Bridge.Actual)}
	add := func(label, note string, cell page.Cell) {
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{{Text: capital(label), Note: note}, cell}})
	}
	var steps []bridgeStep
	add(planned, "", page.Cell{Text: words.amount(r.Bridge.Planned)})
	for _, s := range r.Bridge.Steps {
		steps = append(steps, bridgeStep{s.Label, s.Amount})
		note := ""
		if !s.Recorded {
			note = "nothing recorded"
		}
		add(s.Label, note, page.Cell{Text: words.signed(s.Amount), Tone: toneOf(s.Amount)})
	}
	b.Table.Foot = []page.Row{{Cells: []page.Cell{{Text: capital(real)}, {Text: words.amount(r.Bridge.Actual)}}}}
	var err error
	b.Plot.SVG, err = drawn(bridgePlot(words, planned, r.Bridge.Planned, steps, real, r.Bridge.Actual))
	return b, err
}

// besideColumns are the sales, cost and margin of a span and of those that it is
// compared with.
func besideColumns(words words, r month.Report, column func(string, ...exact.Number) plot.Column) []plot.Column {
	pick := func(of func(month.KeyFigure) record.Maybe[month.Figure]) (values []exact.Number) {
		for _, name := range []string{month.KeyNet, month.KeyCost, month.KeyMargin} {
			i := slices.IndexFunc(r.Key, func(k month.KeyFigure) bool { return k.Name == name })
			if i < 0 || !of(r.Key[i]).Given {
				return nil
			}
			values = append(values, of(r.Key[i]).Value.Number)
		}
		return values
	}
	var list []plot.Column
	for _, span := range []struct {
		title string
		of    func(month.KeyFigure) record.Maybe[month.Figure]
	}{
		{r.YearBefore, func(k month.KeyFigure) record.Maybe[month.Figure] { return k.YearBefore }},
		{r.Before, func(k month.KeyFigure) record.Maybe[month.Figure] { return k.Before }},
		{r.Title, func(k month.KeyFigure) record.Maybe[month.Figure] { return k.Now }},
	} {
		if values := pick(span.of); span.title != "" && values != nil {
			list = append(list, column(words.spanCalled(span.title), values...))
		}
	}
	return list
}

// bridgeStep is one cause for a margin other than planned.
type bridgeStep struct {
	label  string
	amount money.Amount
}

// bridgePlot draws the way from one margin to another; steps of nothing are left
// out.
func bridgePlot(words words, from string, planned money.Amount, steps []bridgeStep, to string, real money.Amount) plot.Figure {
	list := []plot.Pier{{Name: from, By: coordinate(planned.Number()), Text: words.amount(planned), Whole: true}}
	for _, s := range steps {
		if !s.amount.IsZero() {
			list = append(list, plot.Pier{Name: s.label, By: coordinate(s.amount.Number()), Text: words.signed(s.amount)})
		}
	}
	list = append(list, plot.Pier{Name: to, By: coordinate(real.Number()), Text: words.amount(real), Whole: true})
	return plot.Bridge("From the planned margin to the real one", words.currency.Code()+", without tax", list)
}

// signed writes an amount with its sign.
func (w words) signed(a money.Amount) string {
	if a.Sign() > 0 {
		return "+" + w.amount(a)
	}
	return w.amount(a)
}

// monthBlocks are the tables of a report, in the order in which one asks.
func monthBlocks(words words, query url.Values, at string, r month.Report, paper document.Month) ([]page.Block, error) {
	var list []page.Block
	add := func(b page.Block) {
		if len(b.Table.Rows) > 0 || b.None != "" {
			b.Short = !b.Closed
			list = append(list, b)
		}
	}
	closed := func(b page.Block) {
		b.Closed = true
		add(b)
	}
	bridge, err := bridgeBlock(words, r)
	if err != nil {
		return nil, err
	}
	add(page.Block{ID: "months", Title: paper.Months.Heading, Table: linkedFirst(plainTable(paper.Months), func(text string) string {
		if _, err := month.ParseSpan(text); err != nil {
			return ""
		}
		return "/month/" + text
	})})
	for i := range list {
		for _, row := range list[i].Table.Rows { // the months, so far
			row.Cells[0].Text = words.spanCalled(row.Cells[0].Text)
		}
	}
	if len(r.Orders.Rows) > 0 {
		costs := plainTable(paper.Costs)
		costs.Heads[2].Key, costs.Heads[len(costs.Heads)-1].Key = true, false
		for i, c := range r.Classes {
			if i < len(costs.Rows) && c.OfCost.Given {
				costs.Rows[i].Cells[2].Bar = &page.Bar{Share: share(c.OfCost.Value.Number), Tone: fmt.Sprint(i%6 + 1)}
				costs.Rows[i].Cells[3].Tone = toneOf(c.Variance)
			}
		}
		add(page.Block{ID: "costs", Title: paper.Costs.Heading, Lead: "A difference above 0 is in your favour. Bars are shares of the cost.", Table: costs, Side: costs.Foot[0].Cells[2].Text})
	}
	add(bridge)
	add(ordersBlock(words, query, at, r))
	add(moversBlock(words, r))
	closed(usageBlock(words, "goods-off-plan", "What using more or less than planned cost", r))
	closed(goodsBlock(words, "ingredients", "Ingredients used", r.Ingredients))
	closed(goodsBlock(words, "packaging", "Packaging used", r.Packaging))
	closed(labourBlock(words, r))
	closed(overheadBlock(words, r))
	closed(wasteBlock(words, r))
	add(page.Block{ID: "quotes", Title: paper.Quotes.Heading, Lead: "Quotes issued, won and lost in these days, by value without tax.", Table: plainTable(paper.Quotes), More: &page.Link{Text: "All quotes", Href: "/orders"}})
	add(page.Block{ID: "owed", Title: paper.Ages.Heading, Table: plainTable(paper.Ages)})
	add(accountsBlock(words, r))
	if len(r.Orders.Rows) > 0 {
		closed(page.Block{ID: "sales", Title: paper.Sales.Heading, Table: plainTable(paper.Sales)})
		closed(page.Block{ID: "tax", Title: paper.Tax.Heading, Lead: "For your book-keeper, as the quotes have them.", Table: plainTable(paper.Tax), None: paper.Tax.Empty})
	}
	return list, nil
}

// plainTable is a table of a paper on the screen: words, then figures.
func plainTable(t document.MonthTable) page.Table {
	p := page.Table{Caption: t.Heading, Brief: true}
	for i, c := range t.Columns {
		p.Heads = append(p.Heads, page.Head{Text: capital(c), Right: i > 0})
	}
	if len(p.Heads) > 0 && p.Heads[0].Text == "" {
		p.Heads[0].Text = "What"
	}
	for i := range p.Heads {
		if p.Heads[i].Text == "" {
			p.Heads[i].Text = "Amount"
		}
		p.Heads[i].Key = i > 0 && i == len(p.Heads)-1
	}
	row := func(texts []string) page.Row {
		var r page.Row
		for i, text := range texts {
			if i == 0 {
				text = capital(text)
			}
			r.Cells = append(r.Cells, page.Cell{Text: minus(text)})
		}
		return r
	}
	for _, texts := range t.Rows {
		p.Rows = append(p.Rows, row(texts))
	}
	if len(t.Total) > 0 && len(t.Rows) > 0 {
		p.Foot = []page.Row{row(t.Total)}
	}
	return p
}

func linkedFirst(t page.Table, to func(string) string) page.Table {
	for i := range t.Rows {
		t.Rows[i].Cells[0].Href = to(t.Rows[i].Cells[0].Text)
	}
	return t
}

// toneOf marks what raises the margin, and what lowers it.
func toneOf(a money.Amount) string {
	switch a.Sign() {
	case 1:
		return "good"
	case -1:
		return "bad"
	}
	return ""
}

// perhaps writes a share where there is one.
func (w words) perhaps(f record.Maybe[month.Figure]) string {
	if !f.Given {
		return ""
	}
	return w.percent(f.Value.Number)
}

func (w words) perhapsChange(f record.Maybe[month.Figure]) string {
	if !f.Given {
		return ""
	}
	return w.change(f.Value.Number)
}

// hours writes hours.
func (w words) hours(f month.Figure) string {
	return w.locale.Number(f.Round(f.Places), uint8(f.Places)) + " h"
}

// much writes a quantity with its unit.
func (w words) much(n exact.Number, unit string) string {
	if unit == "each" {
		unit = "pieces"
	}
	return w.locale.Number(n.Round(3), 0) + " " + unit
}

func ordersBlock(words words, query url.Values, at string, r month.Report) page.Block {
	b := page.Block{ID: "orders", Title: "Orders", Table: page.Table{Caption: "Orders", Brief: true, Heads: []page.Head{
		{Text: "Order"}, {Text: "Event", Plain: true}, {Text: "Net sales", Right: true}, {Text: "Planned cost", Right: true}, {Text: "Cost", Right: true}, {Text: "Margin", Right: true, Key: true}, {Text: "Of net", Right: true}}}}
	if len(r.Orders.Rows) == 0 {
		b.None = "No order has its event in these days."
		return b
	}
	var shown []month.Order
	shown, b.Pager = paged(r.Orders.Rows, query, at)
	for _, o := range shown {
		event := page.Cell{Text: words.day(o.Event)}
		switch {
		case !o.Cancelled.IsZero():
			event.Note = "called off on " + words.day(o.Cancelled)
		case !o.Recorded.Given:
			event.Note = "cost as planned"
		default:
			event.Note = words.percent(o.Recorded.Value.Number) + " of the cost recorded"
		}
		margin := page.Cell{Text: words.amount(o.Margin)}
		if o.Margin.Sign() < 0 {
			margin.Tone = "bad"
		}
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{
			{Text: o.Number, Href: "/orders/" + o.Number + "/actuals", Note: o.Client}, event, {Text: words.amount(o.Revenue.Net)}, {Text: words.amount(o.Standard.Total)},
			{Text: words.amount(o.Actual.Total)}, margin, {Text: words.perhaps(o.MarginShare)}}})
	}
	s := r.Orders.Total
	b.Side = fmt.Sprint(len(r.Orders.Rows))
	b.Table.Foot = []page.Row{{Cells: []page.Cell{{Text: "All " + plural(len(r.Orders.Rows), "order", "orders")}, {}, {Text: words.amount(s.Revenue.Net)}, {Text: words.amount(s.Standard.Total)},
		{Text: words.amount(s.Actual.Total)}, {Text: words.amount(s.Margin)}, {Text: words.perhaps(s.MarginShare)}}}}
	return b
}

// hrefOf leads to where a resource is kept.
func hrefOf(kind string, id book.ID) string {
	switch kind {
	case pricing.Ingredient.String(), pricing.Packaging.String():
		return ingredients.at(id)
	}
	return ""
}

func moversBlock(words words, r month.Report) page.Block {
	before := r.Before
	if before == "" {
		before = "the prices of the day before"
	}
	before = words.spanCalled(before)
	b := page.Block{ID: "movers", Title: "Prices that moved the cost most", Lead: "What the change of a price against " + before + " cost these orders, the dearest first.",
		Table: page.Table{Caption: "Prices that moved the cost most", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Used", Right: true}, {Text: "Before", Right: true}, {Text: "Now", Right: true}, {Text: "Change", Right: true}, {Text: "Cost more by", Right: true, Key: true}}}}
	widest := exact.Number{}
	for _, m := range r.Movers.Price {
		widest = exact.Max(widest, magnitude(m.Cost.Number()))
	}
	for _, m := range r.Movers.Price {
		tone := toneOf(m.Cost.Neg())
		series := "2"
		if m.Cost.Sign() > 0 {
			series = "5"
		}
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{
			{Text: capital(m.Name), Href: hrefOf(m.Kind, m.Resource), Note: m.Kind}, {Text: words.much(m.Used.Number, m.Unit)}, {Text: words.unitPrice(m.Before)}, {Text: words.unitPrice(m.Price)},
			{Text: words.perhapsChange(m.Change)}, {Text: words.signed(m.Cost), Tone: tone, Bar: barOf(m.Cost.Number(), widest, series)}}})
	}
	return b
}

// barOf is a length out of the widest.
func barOf(n, widest exact.Number, tone string) *page.Bar {
	if widest.IsZero() {
		return nil
	}
	return &page.Bar{Share: share(magnitude(n).Quo(widest)), Tone: tone}
}

// unitPrice writes what a unit cost.
func (w words) unitPrice(f record.Maybe[month.Figure]) string {
	if !f.Given {
		return ""
	}
	return w.money(f.Value.Number)
}

func usageBlock(words words, id, title string, r month.Report) page.Block {
	b := page.Block{ID: id, Title: title, Table: page.Table{Caption: title, Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Planned", Right: true}, {Text: "Used", Right: true}, {Text: "Cost more by", Right: true, Key: true}}}}
	for _, m := range r.Movers.Usage {
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{{Text: capital(m.Name), Href: hrefOf(m.Kind, m.Resource), Note: m.Kind}, {Text: words.much(m.Planned.Number, m.Unit)}, {Text: words.much(m.Used.Number, m.Unit)},
			{Text: words.signed(m.Cost), Tone: toneOf(m.Cost.Neg())}}})
	}
	return b
}

// mostGoods is how many rows of goods or of accounts a page shows; the
// spreadsheet has all.
const mostGoods = 15

func goodsBlock(words words, id, title string, u month.Usage) page.Block {
	b := page.Block{ID: id, Title: title, Table: page.Table{Caption: title, Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Planned", Right: true}, {Text: "Used", Right: true}, {Text: "A unit", Right: true}, {Text: "Change", Right: true}, {Text: "Value", Right: true, Key: true}}}}
	for _, row := range u.Rows[:min(mostGoods, len(u.Rows))] {
		value := page.Cell{Text: words.amount(row.Value), Note: words.perhaps(row.OfValue)}
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{{Text: row.Name, Href: ingredients.at(row.Resource)}, {Text: words.much(row.Planned.Number, row.Unit)}, {Text: words.much(row.Used.Number, row.Unit)},
			{Text: words.unitPrice(row.Price)}, {Text: words.perhapsChange(row.Change)}, value}})
	}
	if len(u.Rows) > 0 {
		b.Table.Foot = []page.Row{{Cells: []page.Cell{{Text: "All"}, {}, {}, {}, {}, {Text: words.amount(u.Value)}}}}
	}
	if more := len(u.Rows) - mostGoods; more > 0 {
		b.Lead = fmt.Sprintf("Those of the greatest value; the spreadsheet has %d more.", more)
	}
	return b
}

func labourBlock(words words, r month.Report) page.Block {
	b := page.Block{ID: "labour", Title: "Hours", Table: page.Table{Caption: "Hours", Brief: true, Heads: []page.Head{{Text: "Role"}, {Text: "Planned", Right: true}, {Text: "Paid", Right: true}, {Text: "Idle", Right: true}, {Text: "Planned cost", Right: true}, {Text: "Cost", Right: true, Key: true}, {Text: "By pay", Right: true}, {Text: "By time", Right: true}}}}
	row := func(name string, l month.RoleTime) page.Row {
		return page.Row{Cells: []page.Cell{{Text: name}, {Text: words.hours(l.Planned)}, {Text: words.hours(l.Hours)}, {Text: words.hours(l.Idle)}, {Text: words.amount(l.Standard)}, {Text: words.amount(l.Cost)},
			{Text: words.signed(l.Rate), Tone: toneOf(l.Rate)}, {Text: words.signed(l.Efficiency), Tone: toneOf(l.Efficiency)}}}
	}
	for _, l := range r.Labour.Roles {
		b.Table.Rows = append(b.Table.Rows, row(l.Name, l))
	}
	if len(r.Labour.Roles) > 0 {
		b.Table.Foot = []page.Row{row("All", r.Labour.Total)}
	}
	return b
}

func overheadBlock(words words, r month.Report) page.Block {
	o := r.Overhead
	if len(r.Orders.Rows) == 0 && !o.PaidRecorded && !o.Budget.Given {
		return page.Block{}
	}
	b := page.Block{ID: "overhead", Title: "Overhead", Table: page.Table{Caption: "Overhead", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Amount", Right: true, Key: true}}},
		More: &page.Link{Text: "Record what was paid", Href: "/records"}}
	add := func(label string, a money.Amount, note string) {
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{{Text: label, Note: note}, {Text: words.amount(a)}}})
	}
	add("Carried by the orders", o.Absorbed, "")
	if o.Budget.Given {
		add("Budget", o.Budget.Value, "")
	}
	note := ""
	if !o.PaidRecorded {
		note = "nothing is recorded; this stands in"
	}
	add("Paid", o.Paid, note)
	if o.Spending.Given {
		add("Paid less than the budget", o.Spending.Value, "below 0, more")
	}
	if o.Volume.Given {
		add("By how full the studio was", o.Volume.Value, "")
	}
	add("Carried less paid", o.Absorption, "")
	return b
}

func wasteBlock(words words, r month.Report) page.Block {
	b := page.Block{ID: "waste", Title: "Thrown away", Table: page.Table{Caption: "Thrown away", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "How much", Right: true, Plain: true}, {Text: "Of all used", Right: true}, {Text: "Value", Right: true, Key: true}}}}
	for _, row := range r.Waste.Rows {
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{{Text: row.Name, Href: hrefOf(row.Kind, row.Resource)}, {Text: words.much(row.Quantity.Number, row.Unit)}, {Text: words.perhaps(row.OfUsed)}, {Text: words.amount(row.Value)}}})
	}
	if len(r.Waste.Rows) > 0 {
		b.Table.Foot = []page.Row{{Cells: []page.Cell{{Text: "All"}, {}, {Text: words.perhaps(r.Waste.OfGoods)}, {Text: words.amount(r.Waste.Total)}}}}
	}
	return b
}

func accountsBlock(words words, r month.Report) page.Block {
	b := page.Block{ID: "accounts", Title: "Accounts that are not settled", None: "Nobody owes you anything on " + words.day(r.Receivables.On) + ".",
		Table: page.Table{Caption: "Accounts that are not settled", Brief: true, Heads: []page.Head{{Text: "Client"}, {Text: "Event", Right: true}, {Text: "Owed", Right: true}, {Text: "Received", Right: true}, {Text: "Outstanding", Right: true, Key: true}, {Text: "Not yet due", Right: true}}}}
	if n := len(r.Receivables.Rows); n > 0 {
		b.Side = fmt.Sprint(n)
	}
	rows := r.Receivables.Rows
	for _, d := range rows[:min(mostGoods, len(rows))] {
		left := page.Cell{Text: words.amount(d.Outstanding)}
		if !d.Since.IsZero() {
			left.Note, left.Tone = "overdue since "+words.day(d.Since), "bad"
		}
		b.Table.Rows = append(b.Table.Rows, page.Row{Cells: []page.Cell{{Text: d.Client, Href: "/quotes/" + d.Number, Note: d.Number}, {Text: words.day(d.Event)}, {Text: words.amount(d.Owed)}, {Text: words.amount(d.Received)}, left, {Text: words.amount(d.NotDue)}}})
	}
	if more := len(rows) - mostGoods; more > 0 {
		b.Lead = fmt.Sprintf("Those that are owed longest; %d more are in the spreadsheet.", more)
	}
	return b
}
