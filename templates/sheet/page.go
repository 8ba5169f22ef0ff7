package sheet

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"marchpane/templates/document"
)

// page is a sheet that is written from the top down.
type page struct {
	w      *workbook
	stream *excelize.StreamWriter
	title  string // of the sheet's tab
	widths []float64
	row    int // the last one written
}

// paper is how a page looks before its first row is written.
type paper struct {
	widths  []float64 // of the columns from A, in letters
	freeze  int       // rows that stay in view
	side    int       // columns that do; only along with rows
	onePage bool      // in print; else as many as it takes
	repeat  [2]int    // rows that head every printed page; none where 0
}

// page adds a sheet. Sheets stand in the order in which they were added.
func (w *workbook) page(title string, look paper) *page {
	p := &page{w: w, title: title, widths: look.widths}
	if w.err != nil {
		return p
	}
	if w.file.GetSheetName(0) == "Sheet1" {
		w.check(w.file.SetSheetName("Sheet1", title))
	} else {
		_, err := w.file.NewSheet(title)
		w.check(err)
	}
	// Both have to be set before the stream begins; the dimension that an
	// empty sheet comes with would tell some readers that it stays empty.
	fit, no := true, false
	w.check(w.file.SetSheetProps(title, &excelize.SheetPropsOptions{FitToPage: &fit}))
	w.check(w.file.SetSheetDimension(title, ""))
	stream, err := w.file.NewStreamWriter(title)
	w.check(err)
	if w.err != nil {
		return p
	}
	p.stream = stream
	w.check(w.file.SetSheetView(title, 0, &excelize.ViewOptions{ShowGridLines: &no}))
	for i, width := range look.widths {
		w.check(stream.SetColWidth(i+1, i+1, width))
	}
	if look.freeze > 0 {
		corner, pane := cellName(column(look.side), look.freeze+1), "bottomLeft"
		if look.side > 0 {
			pane = "bottomRight"
		}
		w.check(stream.SetPanes(&excelize.Panes{
			Freeze: true, XSplit: look.side, YSplit: look.freeze, TopLeftCell: corner, ActivePane: pane,
			Selection: []excelize.Selection{{SQRef: corner, ActiveCell: corner, Pane: pane}},
		}))
	}
	p.print(look)
	return p
}

func (p *page) print(look paper) {
	f, w := p.w.file, p.w
	a4, wide, one, many := 9, "landscape", 1, 0
	if w.locale().Paper() == document.Letter {
		a4 = 1
	}
	high := &many
	if look.onePage {
		high = &one
	}
	w.check(f.SetPageLayout(p.title, &excelize.PageLayoutOptions{Size: &a4, Orientation: &wide, FitToWidth: &one, FitToHeight: high}))
	side, end, edge := 0.5, 0.7, 0.3
	w.check(f.SetPageMargins(p.title, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &end, Bottom: &end, Header: &edge, Footer: &edge,
	}))
	w.check(f.SetHeaderFooter(p.title, &excelize.HeaderFooterOptions{
		OddHeader: "&L" + printed(w.about.of) + "&R" + printed(w.about.title+", "+w.date()),
		OddFooter: "&L" + printed(w.about.studio.Name) + "&C&A&RPage &P of &N",
	}))
	if look.repeat[0] > 0 {
		w.check(f.SetDefinedName(&excelize.DefinedName{
			Name: "_xlnm.Print_Titles", Scope: p.title,
			RefersTo: fmt.Sprintf("%s!$%d:$%d", quoted(p.title), look.repeat[0], look.repeat[1]),
		}))
	}
}

// put writes the next row, from column A on; nil leaves a cell out. The row is
// as high as its words take.
func (p *page) put(cells ...any) { p.tall(p.height(cells), cells...) }

// tall is put for a row of a height in points.
func (p *page) tall(height float64, cells ...any) {
	p.row++
	for i, c := range cells {
		cell, ok := c.(excelize.Cell)
		if l := p.w.looks[cell.StyleID]; ok && i > 0 && l.insets() {
			l.inset = true
			cell.StyleID = p.w.style(l)
			cells[i] = cell
		}
	}
	if p.w.err == nil {
		p.w.check(p.stream.SetRow(cellName("A", p.row), cells, excelize.RowOpts{Height: height}))
	}
}

// height returns how high a row is, in points, with words wrapped in the width
// of their columns. Programs differ in whether they work that out themselves.
func (p *page) height(cells []any) float64 {
	most := 1
	for i, c := range cells {
		cell, _ := c.(excelize.Cell)
		text, isText := cell.Value.(string)
		l := p.w.looks[cell.StyleID]
		if isText && i < len(p.widths) && l.wraps() {
			most = max(most, wrapped(text, (p.widths[i]-1.5)/l.letter()))
		}
	}
	return 4 + 12*float64(min(most, mostLines))
}

// mostLines is how many lines a row shows of a name that nobody meant.
const mostLines = 8

// wrapped returns on how many lines words stand in a width given in letters;
// a sign of East Asian scripts and an emoji take two.
func wrapped(text string, width float64) int {
	lines, used := 1, 0.0
	for _, word := range strings.Fields(text) {
		length := 0.0
		for _, r := range word {
			length++
			if r >= 0x1100 {
				length++
			}
		}
		switch {
		case used > 0 && used+1+length <= width:
			used += 1 + length
		case used == 0 && length <= width:
			used = length
		default:
			if used > 0 {
				lines++
			}
			lines += int(length / width)
			used = length - width*float64(int(length/width))
		}
	}
	return lines
}

// skip leaves rows empty.
func (p *page) skip(n int) { p.row += n }

// close ends the page; nothing may be written to it after.
func (p *page) close() {
	if p.w.err == nil {
		p.w.check(p.stream.Flush())
	}
}

// ref names a cell of the page from any sheet.
func (p *page) ref(column string, row int) string { return cellOf(p.title, column, row) }

// filter lets the reader filter a table by its headings in row head.
func (p *page) filter(from, to string, head, last int) {
	if p.w.err == nil {
		p.w.check(p.w.file.AutoFilter(p.title, rangeOf(from, head, to, last), nil))
	}
}

// between makes the program refuse anything but a number from least to most in
// a column of inputs.
func (p *page) between(column string, first, last int, least, most float64, what string) {
	if p.w.err != nil {
		return
	}
	rule := excelize.NewDataValidation(true)
	rule.SetSqref(rangeOf(column, first, column, last))
	p.w.check(rule.SetRange(least, most, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween))
	rule.SetError(excelize.DataValidationErrorStyleStop, "Not possible here", what)
	p.w.check(p.w.file.AddDataValidation(p.title, rule))
}

// section writes a row that heads a block over n columns.
func (p *page) section(title string, n int) {
	p.tall(20, append([]any{p.w.words(sectionCell, title)}, p.w.blanks(sectionCell, n-1)...)...)
}

// opening writes the rows that every page begins with: its title and a note,
// no longer than a page is wide.
func (p *page) opening(title, note string) {
	p.tall(26, p.w.words(titleCell, shortened(title, 90)))
	p.put(p.w.words(noteCell, shortened(note, 160)))
}
