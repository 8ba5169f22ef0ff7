package sheet

import (
	"marchpane/pricing/exact"
	"marchpane/pricing/month"
)

// quantities is a column of quantities of many units.
func quantities(key, head, formula string) tableColumn {
	return tableColumn{key: key, head: head, width: 12, format: "#,##0.000", formula: formula}
}

// priceColumns are what a unit cost now and before, and the change.
func (m *monthBook) priceColumns() []tableColumn {
	fine := m.w.money.with(m.w.money.places + 2)
	return []tableColumn{
		{key: "before", head: "Price of a unit before", width: 14, format: fine}, {key: "price", head: "Price of a unit", width: 14, format: fine},
		{key: "change", head: "Change", width: 10, format: changeFormat, formula: `IF(AND(ISNUMBER({price}),N({before})<>0),{price}/{before}-1,"–")`},
		words("source", "Price before is", 16),
	}
}

// priceCells are the values of priceColumns.
func (m *monthBook) priceCells(p month.Prices) []any {
	source := "of " + m.Before
	switch {
	case !p.Before.Given:
		source = ""
	case p.FromBook:
		source = "of the book"
	}
	return []any{number(p.Before), number(p.Price), fraction(p.Change), source}
}

// goods is what was used of ingredients or of packaging.
func (m *monthBook) goods(title, name string, u month.Usage) {
	columns := append([]tableColumn{
		words("name", "Name", 36), words("unit", "Unit", 7), quantities("planned", "Planned", ""), quantities("used", "Used", ""), quantities("more", "More than planned", "{used}-{planned}"),
		m.money("standard", "Planned value", "", summed), m.money("value", "Value", "", summed), shares("share", "Of the value", "{value}", "${value_all}", likewise), recordedShare(),
	}, m.priceColumns()...)
	columns = append(columns, quantities("was", "Used in the span before", ""), words("id", "Id", 24))
	p := m.sheetOf(title, columns, tableTop, 1)
	p.opening(title, "As purchased: what recipes plan to lose is in the quantities. A price is the average of what the orders used; it stands beside that of the span before.")
	p.skip(1)
	t := p.table(columns, len(u.Rows), tableTop-1)
	sums := map[string]any{"standard": amount(u.Standard), "value": amount(u.Value), "share": quotient(u.Value.Number(), u.Value.Number())}
	t.sums("All", sums)
	t.heads()
	for _, r := range u.Rows {
		cells := []any{
			r.Name, r.Unit, float(r.Planned.Number), float(r.Used.Number), float(r.Used.Sub(r.Planned.Number)),
			amount(r.Standard), amount(r.Value), fraction(r.OfValue), number(r.Recorded),
		}
		t.add(append(append(cells, m.priceCells(r.Prices)...), number(r.UsedBefore), string(r.Resource))...)
	}
	if len(u.Rows) == 0 {
		t.none("nothing was used")
	}
	t.filter()
	t.bars("share")
	t.signs(false, "change")
	t.named(name+"_planned_value", "standard")
	t.named(name+"_value", "value")
	p.printArea(t.letters["source"])
	p.close()
}

// movers is what moved the cost most: by price, and by usage.
func (m *monthBook) movers() {
	w := m.w
	columns := append([]tableColumn{
		words("name", "Name", 36), words("kind", "Kind", 12), words("unit", "Unit", 7),
		quantities("planned", "Planned", ""), quantities("used", "Used", ""),
	}, m.priceColumns()...)
	columns = append(columns, m.gain("cost", "Cost of it", "", nothing), words("id", "Id", 24))
	p := w.page("Movers", paper{widths: widthsOf(columns), freeze: 2, onePage: true})
	p.opening("What moved the cost most", "Above 0 the orders cost more by it. Prices are those of the span before, or of the book where nothing was used then.")
	write := func(title, formula string, list []month.Mover) {
		p.skip(1)
		p.section(title, len(columns)-1)
		columns[len(columns)-2].formula = formula
		t := p.table(columns, len(list), 0)
		t.heads()
		for _, r := range list {
			cells := append([]any{r.Name, r.Kind, r.Unit, float(r.Planned.Number), float(r.Used.Number)}, m.priceCells(r.Prices)...)
			t.add(append(cells, amount(r.Cost), string(r.Resource))...)
		}
		if len(list) == 0 {
			t.none("nothing")
		}
		t.signs(false, "cost", "change")
	}
	places := exact.Int(int64(w.money.places)).Text()
	// Twice, as a double may lie a hair below the half of a minor unit.
	write("By price: what its change since the span before cost", "ROUND(ROUND(({price}-{before})*{used},9),"+places+")", m.Movers.Price)
	write("By usage: what using more or less than planned cost, waste too", "", m.Movers.Usage)
	p.printArea(column(len(columns) - 2))
	p.close()
}

// waste is what was recorded as thrown away.
func (m *monthBook) waste() {
	w := m.w
	columns := []tableColumn{
		words("name", "Name", 36), words("kind", "Kind", 12), words("unit", "Unit", 7), quantities("quantity", "Thrown away", ""),
		{key: "of_used", head: "Of what was used", width: 11, format: shareFormat},
		m.money("value", "Value", "", summed), shares("share", "Of the value", "{value}", "${value_all}", likewise), words("id", "Id", 24),
	}
	p := m.sheetOf("Waste", columns, tableTop+1, 1)
	p.opening("Waste", "What was recorded as thrown away, at planned prices. What recipes plan to lose is in their quantities and not here.")
	share := w.perhaps(figureCell, shareFormat, over("waste_value", "(cost_ingredients+cost_packaging)"), m.Waste.OfGoods.Value.Number, m.Waste.OfGoods.Given)
	p.put(append(append([]any{w.words(labelCell, "Of the cost of ingredients and packaging")}, w.blanks(figureCell, 4)...), share)...)
	p.skip(1)
	t := p.table(columns, len(m.Waste.Rows), tableTop)
	t.sums("All", map[string]any{"value": amount(m.Waste.Total), "share": quotient(m.Waste.Total.Number(), m.Waste.Total.Number())})
	t.heads()
	for _, r := range m.Waste.Rows {
		t.add(r.Name, r.Kind, r.Unit, float(r.Quantity.Number), number(r.OfUsed), amount(r.Value), quotient(r.Value.Number(), m.Waste.Total.Number()), string(r.Resource))
	}
	if len(m.Waste.Rows) == 0 {
		t.none("nothing was recorded as thrown away")
	}
	t.filter()
	t.bars("share")
	t.named("waste_value", "value")
	p.printArea(t.letters["share"])
	p.close()
}
