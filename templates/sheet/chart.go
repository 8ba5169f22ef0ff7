package sheet

import (
	"github.com/xuri/excelize/v2"
)

// chart draws the cost by class, which stands in rows first to last of columns
// A and B, as bars.
func (w *workbook) chart(p *page, corner string, first, last int) {
	if w.err != nil {
		return
	}
	words := excelize.Font{Family: font, Size: 10, Color: ink}
	noLine := excelize.LineOptions{Type: excelize.LineNone}
	gap := uint(55)
	w.check(w.file.AddChart(p.title, corner, &excelize.Chart{
		Type: excelize.Bar,
		Series: []excelize.ChartSeries{{
			Name:              "Cost by class",
			Categories:        columnOf(p.title, "A", first, last),
			Values:            columnOf(p.title, "B", first, last),
			Fill:              excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{accent}},
			DataLabelPosition: excelize.ChartDataLabelsPositionOutsideEnd,
		}},
		Title:     excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: "Cost by class", Font: &excelize.Font{Family: font, Size: 12, Bold: true, Color: accent}}}},
		Legend:    excelize.ChartLegend{Position: "none"},
		XAxis:     excelize.ChartAxis{ReverseOrder: true, Font: words},
		YAxis:     excelize.ChartAxis{None: true},
		PlotArea:  excelize.ChartPlotArea{ShowVal: true, NumFmt: excelize.ChartNumFmt{CustomNumFmt: w.money.plain}},
		Dimension: excelize.ChartDimension{Width: 520, Height: 290},
		Border:    noLine,
		GapWidth:  &gap,
		Format:    excelize.GraphicOptions{AltText: "Bar chart of the cost by class, as in the table beside it", Name: "Cost by class"},
	}))
}

// tint gives a cell another colour where it equals a value.
func (w *workbook) tint(p *page, cell, value, colour string) {
	if w.err != nil {
		return
	}
	style, err := w.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: colour}})
	w.check(err)
	w.check(w.file.SetConditionalFormat(p.title, cell, []excelize.ConditionalFormatOptions{
		{Type: "cell", Criteria: "==", Value: value, Format: &style},
	}))
}
