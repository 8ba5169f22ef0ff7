package sheet

import (
	"fmt"
	"io"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
)

// Month writes the cost report of a span of time as a workbook: a cover, and a
// sheet for each of its tables. What follows from other figures of the workbook
// is a live formula, and the cover takes its figures from the sheets by name.
//
// Shares stand in the cells as the engine has them, of exact figures. A program
// that calculates them anew divides the figures shown, which is the same as far
// as a share is shown.
func Month(out io.Writer, studio book.Studio, r month.Report) error {
	m := monthBook{Report: r, floor: studio.FloorMargin, w: newWorkbook(about{title: reportTitle(r), of: r.Title, studio: studio, on: r.AsOf})}
	m.cover()
	if len(r.Months) > 0 {
		m.monthly()
	}
	m.orders()
	m.bridge()
	m.goods("Ingredients", "ingredients", r.Ingredients)
	m.goods("Packaging", "packaging", r.Packaging)
	m.movers()
	m.labour()
	m.overhead()
	m.waste()
	m.quotes()
	m.receivables()
	m.tax()
	return m.w.save(out)
}

// monthBook is a report on its way to a workbook.
type monthBook struct {
	month.Report
	floor record.Maybe[measure.Percent]
	w     *workbook
}

func reportTitle(r month.Report) string {
	if len(r.Title) == len("2026-10") {
		return "Monthly cost report"
	}
	return "Cost report"
}

// span names the days of the report in words.
func (m *monthBook) span() string {
	l := m.w.locale()
	switch len(m.Title) {
	case len("2026-10"):
		return fmt.Sprintf("%s %d", l.Messages().Months[m.From.Time().Month()-1], m.From.Year())
	case len("2026"):
		return m.Title
	}
	return l.Date(m.From) + " to " + l.Date(m.To)
}

// money returns a column of money.
func (m *monthBook) money(key, head, formula string, all below) tableColumn {
	return tableColumn{key, head, 13, m.w.money.plain, formula, all}
}

// gain is money with its sign.
func (m *monthBook) gain(key, head, formula string, all below) tableColumn {
	return tableColumn{key, head, 13, signed(m.w.money.plain), formula, all}
}

func words(key, head string, width float64) tableColumn {
	return tableColumn{key: key, head: head, width: width}
}

// dates is as wide as a date, or a month's name over it, needs.
func dates(key, head string) tableColumn {
	return tableColumn{key: key, head: head, width: 11, format: dateFormat}
}

func counts(key, head string, all below) tableColumn {
	return tableColumn{key: key, head: head, width: 9, format: countFormat, all: all}
}

// shares is a column of one figure over another.
func shares(key, head, part, whole string, all below) tableColumn {
	return tableColumn{key, head, 10, shareFormat, over(part, whole), all}
}

// recordedShare says of how much of a standard cost anything is recorded.
func recordedShare() tableColumn {
	return tableColumn{key: "recorded", head: "Recorded", width: 10, format: shareFormat}
}

// sheetOf opens a page for a table with these columns; heads is the row of its
// headings.
func (m *monthBook) sheetOf(title string, columns []tableColumn, heads, side int) *page {
	return m.w.page(title, paper{widths: widthsOf(columns), freeze: heads, side: side, repeat: [2]int{heads, heads}})
}
