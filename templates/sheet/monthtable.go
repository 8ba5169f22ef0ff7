package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
)

// dateFormat shows days alike wherever the workbook is read.
const dateFormat = `yyyy\-mm\-dd`

// below says what a table shows above a column for all of its rows.
type below int

const (
	nothing below = iota
	summed
	likewise // the column's own formula, of the sums
)

// tableColumn is a column of a long table.
type tableColumn struct {
	key    string // that formulas know it by
	head   string
	width  float64
	format string // "" for words
	// formula works a row out from its other columns: {net}-{cost}; {net_all} is
	// the sum above one. A column without one holds what it is given.
	formula string
	all     below
}

// table is a long table: a row for all, headings, rows. Styles, cells and the
// fixed parts of formulas are made once, since there may be thousands of rows.
type table struct {
	p           *page
	columns     []tableColumn
	letters     map[string]string
	formulas    [][]string // parts between which row numbers stand
	styles      []int
	cells       []excelize.Cell
	row         []any // pointers to cells
	all, head   int   // rows; all is 0 where there is none
	first, last int
}

// widthsOf returns the widths that a page of these columns has.
func widthsOf(columns []tableColumn) []float64 {
	widths := make([]float64, len(columns))
	for i, c := range columns {
		widths[i] = c.width
	}
	return widths
}

// table lays out a table of n rows whose row for all is that of all, or which has
// none and begins with the next row where all is 0. Where n is 0 there is one row,
// that says so.
func (p *page) table(columns []tableColumn, n, all int) *table {
	t := &table{
		p: p, columns: columns, letters: map[string]string{}, formulas: make([][]string, len(columns)),
		styles: make([]int, len(columns)), cells: make([]excelize.Cell, len(columns)), row: make([]any, len(columns)),
		all: all, head: p.row + 1,
	}
	if all > 0 {
		t.head = all + 1
	}
	t.first = t.head + 1
	t.last = t.first + max(n, 1) - 1
	var names []string
	for i, c := range columns {
		t.letters[c.key] = column(i)
		names = append(names, "{"+c.key+"}", column(i)+"#", "{"+c.key+"_all}", fmt.Sprint(column(i), "$", all))
	}
	places := strings.NewReplacer(names...)
	for i, c := range columns {
		t.styles[i] = p.w.style(look{kind: figureCell, format: c.format, inset: i > 0 && c.format == ""})
		t.row[i] = &t.cells[i]
		if c.formula != "" {
			t.formulas[i] = strings.Split(places.Replace(c.formula), "#")
		}
	}
	return t
}

// rowHeight of a table, whose words take one line.
const tableRow = 15

// sums writes the row for all: words at its beginning, and above each column
// that sums the engine's sum. Values stand by column; nil leaves one out.
func (t *table) sums(words string, values map[string]any) {
	w, row := t.p.w, strconv.Itoa(t.all)
	cells := make([]any, len(t.columns))
	for i, c := range t.columns {
		k := totalCell
		if c.format == "" {
			k = totalLabel
		}
		cell := excelize.Cell{StyleID: w.style(look{kind: k, format: c.format}), Value: values[c.key]}
		made, isMade := values[c.key].(excelize.Cell)
		switch {
		case i == 0:
			cell = w.words(totalLabel, words)
		case isMade:
			cell = made
		case c.all == summed:
			cell.Formula = "SUM(" + t.stretch(c.key) + ")"
		case c.all == likewise:
			cell.Formula = strings.Join(t.formulas[i], row)
		default:
			cell.Value = nil
		}
		cells[i] = cell
	}
	t.p.tall(18, cells...)
}

// heads writes the headings.
func (t *table) heads() {
	w := t.p.w
	cells := make([]any, len(t.columns))
	for i, c := range t.columns {
		l := look{kind: headNumber}
		if c.format == "" {
			l = look{kind: headCell, inset: i > 0}
		}
		cells[i] = excelize.Cell{StyleID: w.style(l), Value: plain(c.head)}
	}
	t.p.tall(30, cells...)
}

// add writes a row. Values stand in the order of the columns: text, numbers, or
// nil for none; of a column with a formula what the engine has for it.
func (t *table) add(values ...any) {
	p := t.p
	p.row++
	row := strconv.Itoa(p.row)
	for i, v := range values {
		cell := &t.cells[i]
		cell.StyleID, cell.Value, cell.Formula = t.styles[i], v, ""
		switch text, isText := v.(string); {
		case t.formulas[i] != nil:
			cell.Formula = strings.Join(t.formulas[i], row)
		case isText:
			cell.Value = plain(text)
		}
	}
	if p.w.err == nil {
		p.w.check(p.stream.SetRow("A"+row, t.row, excelize.RowOpts{Height: tableRow}))
	}
}

// none writes the row of a table that has none.
func (t *table) none(words string) { t.p.put(t.p.w.words(noteCell, words)) }

// stretch names the rows of a column for formulas on the same sheet.
func (t *table) stretch(key string) string {
	return rangeOf("$"+t.letters[key]+"$", t.first, "$"+t.letters[key]+"$", t.last)
}

// far names them for other sheets.
func (t *table) far(key string) string {
	return columnOf(t.p.title, t.letters[key], t.first, t.last)
}

// named gives cells above columns names: a name and its column in turns.
func (t *table) named(pairs ...string) {
	for i := 0; i < len(pairs); i += 2 {
		t.p.w.name(pairs[i], t.p.ref(t.letters[pairs[i+1]], t.all))
	}
}

// filter lets the reader filter the rows.
func (t *table) filter() { t.p.filter("A", column(len(t.columns)-1), t.head, t.last) }

// paint colours a column's rows where a formula of the first row holds.
func (t *table) paint(key, formula, colour string) {
	w := t.p.w
	if w.err != nil {
		return
	}
	style, err := w.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: colour, Bold: true}})
	w.check(err)
	var names []string
	for i, c := range t.columns {
		names = append(names, "{"+c.key+"}", "$"+column(i)+strconv.Itoa(t.first))
	}
	rule := strings.NewReplacer(names...).Replace(formula)
	w.check(w.file.SetConditionalFormat(t.p.title, rangeOf(t.letters[key], t.first, t.letters[key], t.last), []excelize.ConditionalFormatOptions{
		{Type: "formula", Criteria: rule, Format: &style},
	}))
}

// signs colours the figures of a column by their sign; good says whether more
// is better.
func (t *table) signs(good bool, keys ...string) {
	up, down := goodInk, badInk
	if !good {
		up, down = down, up
	}
	for _, key := range keys {
		t.paint(key, "AND(ISNUMBER({"+key+"}),{"+key+"}>=0.0005)", up)
		t.paint(key, "AND(ISNUMBER({"+key+"}),{"+key+"}<=-0.0005)", down)
	}
}

// bars draws a bar behind each figure of a column, as long as it is great.
func (t *table) bars(key string) {
	w := t.p.w
	if w.err != nil {
		return
	}
	w.check(w.file.SetConditionalFormat(t.p.title, rangeOf(t.letters[key], t.first, t.letters[key], t.last), []excelize.ConditionalFormatOptions{
		{Type: "data_bar", Criteria: "=", MinType: "num", MinValue: "0", MaxType: "max", BarColor: "#" + rule},
	}))
}

// printArea prints the rows written so far, up to a column.
func (p *page) printArea(lastColumn string) { p.printUpTo(lastColumn, p.row) }

// printUpTo prints what is above and left of a cell, such as a chart's corner.
func (p *page) printUpTo(lastColumn string, lastRow int) {
	p.w.check(p.w.file.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Area", Scope: p.title, RefersTo: fmt.Sprintf("%s!$A$1:$%s$%d", quoted(p.title), lastColumn, lastRow),
	}))
}

// amount is an amount as a double: the nearest one.
func amount(a money.Amount) float64 {
	// Below 2^53 both the digits and the power of ten are exact, and a division
	// of doubles rounds to the nearest; of all else the slow way takes care.
	d := a.Decimal()
	if e := -d.Exponent(); e >= 0 && e <= 6 && d.NumDigits() <= 15 {
		return float64(d.CoefficientInt64()) / tens[e]
	}
	return float(a.Number())
}

var tens = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6}

// fraction is a figure that may be missing, shown by a dash.
func fraction(m record.Maybe[month.Figure]) any {
	if !m.Given {
		return absent
	}
	return float(m.Value.Number)
}

// number is a figure that may be missing; then its cell is empty.
func number(m record.Maybe[month.Figure]) any {
	if !m.Given {
		return nil
	}
	return float(m.Value.Number)
}

// sum is an amount that may be missing; then its cell is empty.
func sum(m record.Maybe[money.Amount]) any {
	if !m.Given {
		return nil
	}
	return amount(m.Value)
}

// quotient is a ÷ b as a formula over both has it.
func quotient(a, b exact.Number) any {
	if b.IsZero() {
		return absent
	}
	return float(a.Quo(b))
}

// serial is a day as spreadsheets count them, from the last but one of 1899; a
// day that is not known leaves its cell empty.
func serial(d day.Date) any {
	if d.IsZero() {
		return nil
	}
	return float64(dayZero.DaysUntil(d))
}

var dayZero = day.Must("1899-12-30")

// over is the formula of a share: of nothing there is none.
func over(part, whole string) string {
	return "IF(" + whole + "=0,\"" + absent + "\"," + part + "/" + whole + ")"
}
