package sheet

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/exact"
	"marchpane/pricing/month"
)

// What an order has become, in its column.
const (
	delivered = "delivered"
	calledOff = "called off"
)

// tableTop is the row of the headings of a sheet's table, which stand below a
// title, a note, an empty row and the row for all.
const tableTop = 5

// orderColumns are those of the orders: the printed ones, and to the right of
// them what they are made of.
func (m *monthBook) orderColumns() []tableColumn {
	return []tableColumn{
		words("number", "Order", 12), words("client", "Client", 32), dates("event", "Event"), words("state", "State", 11),
		m.money("net", "Net sales", "SUM({cakes_net}:{fee})", summed),
		m.money("planned", "Planned cost", "SUM({p1}:{p5})", summed), m.money("cost", "Cost", "SUM({a1}:{a5})", summed),
		m.gain("gain", "Difference", "{planned}-{cost}", summed),
		m.money("planned_margin", "Planned margin", "{quoted}-{planned}", summed), shares("planned_share", "Of net", "({quoted}-{planned})", "{quoted}", likewise),
		m.money("margin", "Margin", "{net}-{cost}", summed), shares("share", "Of net", "({net}-{cost})", "{net}", likewise), recordedShare(),
		dates("accepted", "Accepted"), dates("called", "Called off"), counts("cakes", "Cakes", summed), counts("portions", "Portions served", summed),
		m.money("cakes_net", "Cakes", "", summed), m.money("extras", "Extras", "", summed), m.money("discount", "Discount", "", summed),
		m.money("minimum", "Up to minimum", "", summed), m.money("changes", "Changes after accepting", "", summed), m.money("fee", "Cancellation fee", "", summed),
		m.money("quoted", "Net as quoted", "", summed), m.money("invoiced", "Invoiced, with tax", "", summed), m.money("tax", "Tax in it", "", summed),
		m.money("p1", "Ingredients", "", summed), m.money("p2", "Packaging", "", summed), m.money("p3", "Labour", "", summed), m.money("p4", "Equipment, energy", "", summed), m.money("p5", "Overhead", "", summed),
		m.money("a1", "Ingredients", "", summed), m.money("a2", "Packaging", "", summed), m.money("a3", "Labour", "", summed), m.money("a4", "Equipment, energy", "", summed), m.money("a5", "Overhead", "", summed),
	}
}

func (m *monthBook) orders() {
	w, rows := m.w, m.Orders.Rows
	columns := m.orderColumns()
	p := m.sheetOf("Orders", columns, tableTop, 2)
	p.opening("Orders", "By the day of the event, or the day on which one was called off. Without tax. To the right of what is printed: what sales and costs are made of.")
	t := p.table(columns, len(rows), tableTop-1)
	t.groups(map[string]string{"accepted": "Details", "cakes_net": "Net sales", "quoted": "As quoted", "p1": "Planned cost", "a1": "Cost, recorded or else as planned"})
	sums := orderFigures(m.Orders.Total)
	for key, v := range map[string]any{"cakes": float64(m.Orders.Cakes), "portions": float64(m.Orders.Portions)} {
		sums[key] = v
	}
	invoiced, tax := exact.Number{}, exact.Number{}
	for _, o := range rows {
		invoiced, tax = invoiced.Add(o.Invoiced.Number()), tax.Add(o.Tax.Number())
	}
	sums["invoiced"], sums["tax"] = float(invoiced), float(tax)
	sums["state"] = w.live(totalCell, countFormat, fmt.Sprintf(`COUNTIF(%s,"%s")`, t.stretch("state"), delivered), exact.Int(int64(m.Orders.Made)))
	sums["called"] = w.live(totalCell, countFormat, fmt.Sprintf("COUNT(%s)", t.stretch("called")), exact.Int(int64(m.Orders.Off)))
	t.sums("All", sums)
	t.heads()
	for _, o := range rows {
		state := delivered
		if !o.Cancelled.IsZero() {
			state = calledOff
		}
		r, s, a := o.Revenue, o.Standard, o.Actual
		t.add(o.Number, o.Client, serial(o.Event), state,
			amount(r.Net), amount(s.Total), amount(a.Total), amount(s.Total.Sub(a.Total)),
			amount(o.PlannedMargin), fraction(o.PlannedShare), amount(o.Margin), fraction(o.MarginShare), number(o.Recorded),
			serial(o.Accepted), serial(o.Cancelled), float64(o.Cakes), float64(o.Portions),
			amount(r.Cakes), amount(r.Extras), amount(r.Discount), amount(r.Minimum), amount(r.Changes), amount(r.Fee),
			amount(o.PlannedMargin.Add(s.Total)), amount(o.Invoiced), amount(o.Tax),
			amount(s.Ingredients), amount(s.Packaging), amount(s.Labour), amount(s.Equipment), amount(s.Overhead),
			amount(a.Ingredients), amount(a.Packaging), amount(a.Labour), amount(a.Equipment), amount(a.Overhead))
	}
	if len(rows) == 0 {
		t.none("no order has its event in this span, and none was called off in it")
	}
	t.filter()
	t.signs(true, "gain")
	t.paint("share", "AND(ISNUMBER({share}),{share}<floor_margin)", badInk)
	t.paint("planned_share", "AND(ISNUMBER({planned_share}),{planned_share}<floor_margin)", badInk)
	t.paint("state", `{state}="`+calledOff+`"`, badInk)
	p.printArea(t.letters["recorded"])
	t.named("orders_delivered", "state", "orders_called_off", "called", "orders_cakes", "cakes", "orders_portions", "portions",
		"orders_net", "net", "orders_fees", "fee", "orders_cost", "cost", "orders_cost_planned", "planned", "orders_net_quoted", "quoted", "orders_margin", "margin",
		"planned_ingredients", "p1", "planned_packaging", "p2", "planned_labour", "p3", "planned_equipment", "p4", "planned_overhead", "p5",
		"cost_ingredients", "a1", "cost_packaging", "a2", "cost_labour", "a3", "cost_equipment", "a4", "cost_overhead", "a5")
	w.name("orders_margin_share", t.far("share"))
	p.close()
}

// orderFigures are the sums of all orders, by column.
func orderFigures(s month.Sums) map[string]any {
	r, p, a := s.Revenue, s.Standard, s.Actual
	return map[string]any{
		"net": amount(r.Net), "planned": amount(p.Total), "cost": amount(a.Total), "gain": amount(p.Total.Sub(a.Total)),
		"planned_margin": amount(s.PlannedMargin), "planned_share": fraction(s.PlannedShare), "margin": amount(s.Margin), "share": fraction(s.MarginShare),
		"cakes_net": amount(r.Cakes), "extras": amount(r.Extras), "discount": amount(r.Discount), "minimum": amount(r.Minimum), "changes": amount(r.Changes), "fee": amount(r.Fee),
		"quoted": amount(s.PlannedMargin.Add(p.Total)),
		"p1":     amount(p.Ingredients), "p2": amount(p.Packaging), "p3": amount(p.Labour), "p4": amount(p.Equipment), "p5": amount(p.Overhead),
		"a1": amount(a.Ingredients), "a2": amount(a.Packaging), "a3": amount(a.Labour), "a4": amount(a.Equipment), "a5": amount(a.Overhead),
	}
}

// monthly is a row a month, with a chart.
func (m *monthBook) monthly() {
	w, rows := m.w, m.Months
	columns := []tableColumn{
		words("month", "Month", 11), counts("orders", "Orders", summed), counts("cakes", "Cakes", summed),
		m.money("net", "Net sales", "", summed),
		m.money("a1", "Ingredients", "", summed), m.money("a2", "Packaging", "", summed), m.money("a3", "Labour", "", summed), m.money("a4", "Equipment, energy", "", summed), m.money("a5", "Overhead", "", summed),
		m.money("cost", "Cost", "SUM({a1}:{a5})", summed), m.money("margin", "Margin", "{net}-{cost}", summed), shares("share", "Of net", "({net}-{cost})", "{net}", likewise),
		m.gain("absorption", "Overhead absorbed less paid", "", summed), m.money("result", "Margin after overhead paid", "", summed),
		{key: "hours", head: "Labour hours", width: 10, format: hoursFormat, all: summed},
		counts("issued", "Quotes issued", summed), counts("won", "Won", summed), counts("lost", "Lost", summed),
		shares("conversion", "Won of decided", "{won}", "({won}+{lost})", likewise),
	}
	p := m.sheetOf("Months", columns, tableTop, 1)
	p.opening("Month by month", "Sales and costs of the orders whose event is in the month; the overhead paid is set against what they absorb.")
	p.skip(1)
	t := p.table(columns, len(rows), tableTop-1)
	s, q := m.Orders.Total, m.Quotes
	t.sums("All", map[string]any{
		"orders": float64(m.Orders.Made), "cakes": float64(m.Orders.Cakes), "net": amount(s.Revenue.Net),
		"a1": amount(s.Actual.Ingredients), "a2": amount(s.Actual.Packaging), "a3": amount(s.Actual.Labour), "a4": amount(s.Actual.Equipment), "a5": amount(s.Actual.Overhead),
		"cost": amount(s.Actual.Total), "margin": amount(s.Margin), "share": fraction(s.MarginShare),
		"absorption": amount(m.Overhead.Absorption), "result": amount(m.Bridge.Actual), "hours": float(m.Labour.Total.Hours.Number),
		"issued": float64(q.Issued.Count), "won": float64(q.Won.Count), "lost": float64(q.Lost.Count), "conversion": fraction(q.Conversion),
	})
	t.heads()
	for _, r := range rows {
		c := r.Cost
		t.add(r.Month, float64(r.Orders), float64(r.Cakes), amount(r.Net),
			amount(c.Ingredients), amount(c.Packaging), amount(c.Labour), amount(c.Equipment), amount(c.Overhead), amount(c.Total),
			amount(r.Margin), fraction(r.MarginShare), amount(r.Absorption), amount(r.Result), float(r.Hours.Number),
			float64(r.Issued), float64(r.Won), float64(r.Lost), fraction(r.Conversion))
	}
	t.filter()
	t.signs(true, "absorption")
	t.paint("share", "AND(ISNUMBER({share}),{share}<floor_margin)", badInk)
	t.paint("result", "{result}<0", badInk)
	w.monthsChart(t, cellName("A", t.last+2))
	p.printUpTo(t.letters["conversion"], t.last+26)
	p.close()
}

// groups writes a row of words that head several columns each, from the column
// named on.
func (t *table) groups(heads map[string]string) {
	cells := make([]any, len(t.columns))
	for i, c := range t.columns {
		if head, there := heads[c.key]; there {
			cells[i] = excelize.Cell{StyleID: t.p.w.style(look{kind: noteCell}), Value: head}
		}
	}
	t.p.put(cells...)
}
