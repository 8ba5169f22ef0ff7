package sheet

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
)

// pulled are the formulas of the cover's figures, by their names.
var pulled = map[string]string{
	month.KeyOrders:       "orders_delivered",
	month.KeyCakes:        "orders_cakes",
	month.KeyPortions:     "orders_portions",
	month.KeyNet:          "orders_net",
	month.KeyPerOrder:     `IF(orders_delivered=0,"–",ROUND((orders_net-orders_fees)/orders_delivered,#))`,
	month.KeyFees:         "orders_fees",
	month.KeyCost:         "orders_cost",
	month.KeyMargin:       "orders_net-orders_cost",
	month.KeyMarginShare:  over("(orders_net-orders_cost)", "orders_net"),
	month.KeyPlannedShare: over("(orders_net_quoted-orders_cost_planned)", "orders_net_quoted"),
	month.KeyResult:       "margin_after_overhead_paid",
	month.KeyMaterials:    over("(cost_ingredients+cost_packaging)", "orders_net"),
	month.KeyLabour:       over("cost_labour", "orders_net"),
	month.KeyHours:        "labour_hours",
	month.KeyWaste:        "waste_value",
	month.KeyIssued:       "quotes_issued",
	month.KeyWon:          "quotes_won",
	month.KeyLost:         "quotes_lost",
	month.KeyConversion:   over("quotes_won", "(quotes_won+quotes_lost)"),
	month.KeyWonValue:     "quotes_won_value",
	month.KeyReceivable:   "receivables_outstanding",
	month.KeyOverdue:      "receivables_overdue",
}

const (
	// pointsFormat shows the difference of two shares, in per cent of the whole.
	pointsFormat = `+0.0" points";-0.0" points";0.0" points"`
	// changeFormat shows by how much a figure has changed.
	changeFormat = `+0.0%;-0.0%;0.0%`
)

// cover is the first sheet: the figures that matter, beside those of the span
// before and of a year earlier, and the cost by class with a chart.
func (m *monthBook) cover() {
	w := m.w
	p := w.page("Cover", paper{widths: []float64{40, 15, 15, 14, 15, 14, 12, 10, 3}, onePage: true})
	p.opening(w.about.title+", "+m.span(), m.Studio+". Made on "+w.date()+". Money is in "+m.Currency.Code()+", without tax unless a heading says otherwise.")
	if open := m.NotOver(); open != "" {
		p.put(w.words(noteCell, open))
	} else {
		p.skip(1)
	}
	yearBefore := m.YearBefore
	if yearBefore == m.Before {
		yearBefore = "" // of a year the two are one
	}
	heads := []string{"", "#" + m.Title, "#Span before: nothing known", "#Change"}
	if m.Before != "" {
		heads[2] = "#" + m.Before
	}
	if yearBefore != "" {
		heads = append(heads, "#"+yearBefore, "#Change")
	}
	p.tall(30, w.heads(heads...)...)
	for _, k := range m.Key {
		m.keyFigure(p, k, yearBefore != "")
	}
	p.skip(1)
	m.belowFloor(p)
	p.skip(1)
	first := m.classes(p)
	w.classChart(p, first, first+len(m.Classes)-1)
	p.skip(1)
	m.check(p)
	p.printArea("Q")
	p.close()
}

// keyFigure is a line of the cover.
func (m *monthBook) keyFigure(p *page, k month.KeyFigure, yearBefore bool) {
	w, row := m.w, p.row+1
	format := map[month.Unit]string{month.Money: w.money.plain, month.Share: shareFormat, month.Count: countFormat, month.Hours: hoursFormat}[k.Unit]
	formula := strings.ReplaceAll(pulled[k.Name], "#", fmt.Sprint(w.money.places))
	cells := []any{w.words(labelCell, k.Label), w.perhaps(figureCell, format, formula, k.Now.Value.Number, k.Now.Given)}
	compare := func(column string, then, change record.Maybe[month.Figure]) {
		before := w.blank(figureCell, format)
		before.Value = number(then)
		n, formula, changes := change.Value.Number, `IF(AND(ISNUMBER(B#),N(C#)>0),B#/C#-1,"–")`, changeFormat
		if k.Unit == month.Share {
			n, formula, changes = n.Mul(exact.Int(100)), `IF(AND(ISNUMBER(B#),ISNUMBER(C#)),(B#-C#)*100,"–")`, pointsFormat
		}
		formula = strings.NewReplacer("#", fmt.Sprint(row), "C#", fmt.Sprint(column, row)).Replace(formula)
		cells = append(cells, before, w.perhaps(figureCell, changes, formula, n, change.Given))
	}
	compare("C", k.Before, k.Change)
	judged := []string{"D"}
	if yearBefore {
		compare("E", k.YearBefore, k.YearChange)
		judged = append(judged, "F")
	}
	p.tall(rowHeight, cells...)
	for _, column := range judged {
		w.judge(p, cellName(column, row), k.More)
	}
}

// judge colours a change by whether it is for the better.
func (w *workbook) judge(p *page, cell string, more int) {
	if w.err != nil || more == 0 {
		return
	}
	up, down := goodInk, badInk
	if more < 0 {
		up, down = down, up
	}
	var rules []excelize.ConditionalFormatOptions
	for _, rule := range [][2]string{{">0", up}, {"<0", down}} {
		style, err := w.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: rule[1]}})
		w.check(err)
		rules = append(rules, excelize.ConditionalFormatOptions{Type: "formula", Criteria: fmt.Sprintf("AND(ISNUMBER(%s),N(%s)%s)", cell, cell, rule[0]), Format: &style})
	}
	w.check(w.file.SetConditionalFormat(p.title, cell, rules))
}

// belowFloor is the floor margin, which may be changed, and how many orders
// stay below it.
func (m *monthBook) belowFloor(p *page) {
	w := m.w
	floor := m.floor.Or(measure.Percent{}).Fraction()
	below := 0
	for _, o := range m.Orders.Rows {
		if o.MarginShare.Given && o.MarginShare.Value.Cmp(floor) < 0 {
			below++
		}
	}
	p.tall(rowHeight, w.words(labelCell, "floor margin, yours to change"), w.figure(inputCell, percentFormat, floor))
	w.name("floor_margin", p.ref("B", p.row))
	p.between("B", p.row, p.row, -10, 1, "A share of at most 100%, such as 30%.")
	p.tall(rowHeight, w.words(labelCell, "orders with a margin below it"), w.live(figureCell, countFormat, `COUNTIF(orders_margin_share,"<"&floor_margin)`, exact.Int(int64(below))))
	w.tintAbove(p, cellName("B", p.row))
}

// tintAbove colours a cell that should hold 0.
func (w *workbook) tintAbove(p *page, cell string) {
	if w.err != nil {
		return
	}
	style, err := w.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: badInk}})
	w.check(err)
	w.check(w.file.SetConditionalFormat(p.title, cell, []excelize.ConditionalFormatOptions{{Type: "cell", Criteria: ">", Value: "0", Format: &style}}))
}

// classLabels are the classes in the words of a cost sheet.
var classLabels = map[string]string{
	"ingredients": "Ingredients", "packaging": "Packaging", "labour": "Labour", "equipment": "Equipment and energy", "overhead": "Overhead",
}

// classes writes the cost by class and returns its first row.
func (m *monthBook) classes(p *page) int {
	w, t := m.w, m.Orders.Total
	p.section("Cost by class", 7)
	p.tall(30, w.heads("", "#Planned", "#Actual", "#Difference", "#Of cost", "#Of net sales", "#Recorded")...)
	first := p.row + 1
	last := first + len(m.Classes)
	line := func(words, figures kind, label, planned, actual string, c month.Class) {
		row := fmt.Sprint(p.row + 1)
		recorded := w.blank(figures, shareFormat)
		recorded.Value = number(c.Recorded)
		p.tall(rowHeight, w.words(words, label),
			w.live(figures, w.money.plain, planned, c.Standard.Number()), w.live(figures, w.money.plain, actual, c.Actual.Number()),
			w.live(figures, signed(w.money.plain), "B"+row+"-C"+row, c.Variance.Number()),
			w.perhaps(figures, shareFormat, over("C"+row, fmt.Sprintf("C$%d", last)), c.OfCost.Value.Number, c.OfCost.Given),
			w.perhaps(figures, shareFormat, over("C"+row, "orders_net"), c.OfNet.Value.Number, c.OfNet.Given), recorded)
		w.judge(p, "D"+row, 1)
	}
	for _, c := range m.Classes {
		line(labelCell, figureCell, classLabels[c.Name], "planned_"+c.Name, "cost_"+c.Name, c)
	}
	all := month.Class{Standard: t.Standard.Total, Actual: t.Actual.Total, Variance: t.Standard.Total.Sub(t.Actual.Total)}
	if !t.Actual.Total.IsZero() {
		all.OfCost = record.Some(month.Figure{Number: exact.Int(1)})
	}
	if net := t.Revenue.Net; !net.IsZero() {
		all.OfNet = record.Some(month.Figure{Number: t.Actual.Total.Number().Quo(net.Number())})
	}
	span := func(column string) string { return "SUM(" + rangeOf(column, first, column, last-1) + ")" }
	line(keyLabel, keyCell, "Cost of the orders", span("B"), span("C"), all)
	return first
}

// signed returns a format that shows a sign before every figure but 0.
func signed(format string) string { return "+" + format + ";-" + format + ";" + format }

// check says whether sheets that tell of the same money agree.
func (m *monthBook) check(p *page) {
	w := m.w
	formula := `IF(AND(ABS(ingredients_value-cost_ingredients)<0.0005,ABS(packaging_value-cost_packaging)<0.0005,` +
		`ABS(labour_cost-cost_labour)<0.0005,ABS(margin_after_overhead_paid-bridge_end)<0.0005),"yes","no")`
	p.tall(rowHeight, w.words(labelCell, "the sheets add up to one another"), excelize.Cell{StyleID: w.style(look{kind: labelCell}), Formula: formula, Value: "yes"})
	w.tint(p, cellName("B", p.row), `"no"`, badInk)
	p.put(w.words(noteCell, "Costs are those that were recorded; where nothing was, what the quote planned stands in. \"Recorded\" says of how much of the planned cost anything is."))
	p.put(w.words(noteCell, "Sales by tax rate are for the book-keeper, as the quotes have them; when tax falls due, and on what else, local law says."))
}
