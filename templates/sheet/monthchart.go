package sheet

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// bridge leads from the planned margin to the real one, with a chart. What the
// chart stacks stands to the right of the table.
func (m *monthBook) bridge() {
	w, b := m.w, m.Bridge
	plain := w.money.plain
	columns := []tableColumn{words("step", "", 46), m.gain("amount", "Changes the margin by", "", nothing), m.money("end", "Margin after it", "", nothing), words("effect", "", 14), words("recorded", "", 18),
		words("gap", "", 3)}
	chart := []string{"Empty, above 0", "Empty, below 0", "Margin", "Rise, above 0", "Rise, below 0", "Fall, above 0", "Fall, below 0"}
	for range chart {
		columns = append(columns, tableColumn{width: 12, format: plain})
	}
	p := w.page("Bridge", paper{widths: widthsOf(columns), onePage: true})
	p.opening("From the planned margin to the real one", "Above 0 a step raises the margin. The last figure is after the overhead that was paid.")
	p.skip(1)
	heads := []string{"", "#Changes the margin by", "#Margin after it", "", "", ""}
	for _, c := range chart {
		heads = append(heads, "#"+c)
	}
	p.tall(30, w.heads(heads...)...)
	first := p.row + 1
	planned := "Margin as quoted"
	if b.Plan {
		planned = "Margin of the plan"
	}
	at := b.Planned
	p.tall(rowHeight, append([]any{w.words(totalLabel, planned), w.blank(totalCell, plain), w.figure(totalCell, plain, at.Number()), w.blank(totalLabel, ""), w.blank(totalLabel, ""), nil}, m.margin(p.row+1, at)...)...)
	for _, s := range b.Steps {
		row, before := p.row+1, at
		at = at.Add(s.Amount)
		recorded := "nothing recorded"
		if s.Recorded {
			recorded = ""
		}
		effect := excelize.Cell{StyleID: w.style(look{kind: figureCell, inset: true}), Value: string(s.Effect),
			Formula: fmt.Sprintf(`IF(B%d>0,"favourable",IF(B%d<0,"adverse","none"))`, row, row)}
		p.tall(rowHeight, append([]any{
			w.words(labelCell, s.Label), w.figure(figureCell, signed(plain), s.Amount.Number()),
			w.live(figureCell, plain, fmt.Sprintf("C%d+B%d", row-1, row), at.Number()), effect, w.words(noteCell, recorded), nil,
		}, m.stacked(row, before, at)...)...)
		w.judge(p, cellName("B", row), 1)
	}
	last := p.row + 1
	p.tall(20, append([]any{
		w.words(keyLabel, "Margin after overhead paid"), w.live(keyCell, signed(plain), fmt.Sprintf("SUM(B%d:B%d)", first, last-1), at.Sub(b.Planned).Number()),
		w.live(keyCell, plain, fmt.Sprintf("C%d+B%d", first, last), b.Actual.Number()), w.blank(keyLabel, ""), w.blank(keyLabel, ""), nil,
	}, m.margin(last, b.Actual)...)...)
	w.name("margin_planned", p.ref("C", first))
	w.name("margin_after_overhead_paid", p.ref("C", last))
	w.name("bridge_end", p.ref("C", last-1)) // the margin after the last step
	w.bridgeChart(p, cellName("A", last+2), first, last)
	p.printUpTo("E", last+30)
	p.close()
}

// margin are the chart's cells of a margin: a bar from 0.
func (m *monthBook) margin(row int, at money.Amount) []any {
	cells := m.w.blanks(noteCell, 7)
	cells[2] = m.w.live(noteCell, m.w.money.plain, fmt.Sprintf("C%d", row), at.Number())
	return cells
}

// stacked are the chart's cells of a step: an empty bar from 0 to where the step
// begins, and a coloured one as long as the step, each split at 0, since
// spreadsheets stack what is above 0 and what is below it apart.
func (m *monthBook) stacked(row int, before, after money.Amount) []any {
	from, to := before.Number(), after.Number()
	low, high := from, to
	if to.Cmp(from) < 0 {
		low, high = to, from
	}
	zero := exact.Number{}
	least := func(a, b exact.Number) exact.Number { return exact.Max(a.Neg(), b.Neg()).Neg() }
	above, below := exact.Max(zero, low), least(zero, high)
	up, down := exact.Max(zero, high).Sub(above), least(zero, low).Sub(below)
	b, a := fmt.Sprintf("C%d", row-1), fmt.Sprintf("C%d", row)
	lowF, highF := "MIN("+b+","+a+")", "MAX("+b+","+a+")"
	upF, downF := fmt.Sprintf("MAX(0,%s)-G%d", highF, row), fmt.Sprintf("MIN(0,%s)-H%d", lowF, row)
	cell := func(formula string, n exact.Number) any { return m.w.live(noteCell, m.w.money.plain, formula, n) }
	side := func(formula string, n exact.Number, rises bool) any {
		if rises != (to.Cmp(from) >= 0) {
			n = zero
		}
		if rises {
			return cell(fmt.Sprintf("IF(%s>=%s,%s,0)", a, b, formula), n)
		}
		return cell(fmt.Sprintf("IF(%s<%s,%s,0)", a, b, formula), n)
	}
	return []any{
		cell("MAX(0,"+lowF+")", above), cell("MIN(0,"+highF+")", below), m.w.blank(noteCell, ""),
		side(upF, up, true), side(downF, down, true), side(upF, up, false), side(downF, down, false),
	}
}

func (w *workbook) bridgeChart(p *page, corner string, first, last int) {
	var series []excelize.ChartSeries
	for i, colour := range []string{"", "", accent, goodInk, goodInk, badInk, badInk} {
		letter := column(6 + i)
		s := excelize.ChartSeries{
			Name: p.ref(letter, first-1), Categories: columnOf(p.title, "A", first, last), Values: columnOf(p.title, letter, first, last),
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}},
		}
		if colour == "" {
			s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFFFFF"}, Transparency: 100}
		}
		series = append(series, s)
	}
	w.draw(p, corner, chart{kind: excelize.BarStacked, title: "From the planned margin to the real one", series: series, width: 735, height: 440, reverse: true, gap: 45,
		alt: "Bars that lead from the planned margin to the margin after overhead paid, as in the table above"})
}

// classChart draws the planned and the actual cost by class, in rows first to
// last of the cover.
func (w *workbook) classChart(p *page, first, last int) {
	var series []excelize.ChartSeries
	for _, s := range [][2]string{{"B", rule}, {"C", accent}} {
		series = append(series, excelize.ChartSeries{
			Name: p.ref(s[0], first-1), Categories: columnOf(p.title, "A", first, last), Values: columnOf(p.title, s[0], first, last),
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s[1]}},
		})
	}
	w.draw(p, "J4", chart{kind: excelize.Bar, title: "Cost by class", series: series, width: 520, height: 420, reverse: true, gap: 60, legend: "bottom",
		alt: "Bar chart of the planned and the actual cost by class, as in the table on this sheet"})
}

// monthsChart draws sales, cost and the margin after overhead paid by month.
func (w *workbook) monthsChart(t *table, corner string) {
	var series []excelize.ChartSeries
	for _, s := range [][2]string{{"net", accent}, {"cost", rule}, {"result", goodInk}} {
		series = append(series, excelize.ChartSeries{
			Name: t.p.ref(t.letters[s[0]], t.head), Categories: t.far("month"), Values: t.far(s[0]),
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s[1]}},
		})
	}
	w.draw(t.p, corner, chart{kind: excelize.Col, title: "Month by month", series: series, width: 1100, height: 420, gap: 60, legend: "bottom",
		alt: "Column chart of net sales, cost and the margin after overhead paid by month, as in the table above"})
}

// chart is what charts of a report differ in.
type chart struct {
	kind          excelize.ChartType
	title, alt    string
	series        []excelize.ChartSeries
	width, height uint
	gap           uint
	legend        string
	reverse       bool // the first row on top
}

func (w *workbook) draw(p *page, corner string, c chart) {
	if w.err != nil {
		return
	}
	words := excelize.Font{Family: font, Size: 9, Color: ink}
	legend := excelize.ChartLegend{Position: "none"}
	if c.legend != "" {
		legend = excelize.ChartLegend{Position: c.legend, Font: &words}
	}
	whole := w.money.with(0)
	w.check(w.file.AddChart(p.title, corner, &excelize.Chart{
		Type: c.kind, Series: c.series,
		Title:     excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: c.title, Font: &excelize.Font{Family: font, Size: 12, Bold: true, Color: accent}}}},
		Legend:    legend,
		XAxis:     excelize.ChartAxis{ReverseOrder: c.reverse, Font: words, TickLabelPosition: excelize.ChartTickLabelLow},
		YAxis:     excelize.ChartAxis{Font: words, MajorGridLines: true, NumFmt: excelize.ChartNumFmt{CustomNumFmt: whole}},
		Dimension: excelize.ChartDimension{Width: c.width, Height: c.height},
		Border:    excelize.LineOptions{Type: excelize.LineNone},
		GapWidth:  &c.gap,
		Format:    excelize.GraphicOptions{AltText: c.alt, Name: c.title},
	}))
}
