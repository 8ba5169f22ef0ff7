package sheet

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/templates/document"
)

// workbook is a file of sheets that share styles. The first error sticks, and
// what follows it does nothing; save returns it.
type workbook struct {
	file   *excelize.File
	styles map[look]int
	looks  map[int]look // by style
	money  moneyFormats
	about  about
	err    error
}

// about says what a workbook is and of when; it dates the file too, so that
// the same figures make the same file.
type about struct {
	title  string // "Cost sheet"
	of     string // the cake
	studio book.Studio
	on     day.Date
}

// absent stands where a figure cannot be: a cost per portion of a cake of
// which nothing is served.
const absent = "–"

func newWorkbook(a about) *workbook {
	w := &workbook{
		file:   excelize.NewFile(),
		styles: map[look]int{},
		looks:  map[int]look{},
		money:  newMoneyFormats(a.studio.Locale.Or("en"), a.studio.Currency),
		about:  a,
	}
	w.check(w.file.SetDefaultFont(font))
	stamp := a.on.Time().Format(time.RFC3339)
	w.check(w.file.SetDocProps(&excelize.DocProperties{
		Title: plain(a.title + ": " + a.of), Creator: plain(a.studio.Name), LastModifiedBy: plain(a.studio.Name),
		Created: stamp, Modified: stamp, Language: a.studio.Locale.Or("en"),
	}))
	w.check(w.file.SetAppProps(&excelize.AppProperties{Application: "marchpane"}))
	full := true
	w.check(w.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &full}))
	w.file.SetZipWriter(func(out io.Writer) excelize.ZipWriter { return newSteadyZip(out, a.on.Time()) })
	return w
}

func (w *workbook) check(err error) {
	if w.err == nil && err != nil {
		w.err = fmt.Errorf("workbook: %w", err)
	}
}

// save writes the workbook, or returns the first error there was.
func (w *workbook) save(out io.Writer) error {
	defer w.file.Close()
	if w.err != nil {
		return w.err
	}
	buf, err := w.file.WriteToBuffer()
	if err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	_, err = buf.WriteTo(out)
	return err
}

// name gives a cell a name that formulas, and other programs, know it by.
func (w *workbook) name(name, ref string) {
	w.check(w.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: ref}))
}

// locale returns how the studio writes figures and dates.
func (w *workbook) locale() document.Locale {
	return document.InEnglish(w.about.studio.Locale.Or("en"))
}

// date returns the day of the figures in words.
func (w *workbook) date() string { return w.locale().Date(w.about.on) }

// words returns a cell of text. It stays text whatever it begins with.
func (w *workbook) words(k kind, text string) excelize.Cell {
	return excelize.Cell{StyleID: w.style(look{kind: k}), Value: plain(text)}
}

// figure returns a cell of a number.
func (w *workbook) figure(k kind, format string, n exact.Number) excelize.Cell {
	return excelize.Cell{StyleID: w.style(look{kind: k, format: format}), Value: float(n)}
}

// given is figure for a number that may be missing.
func (w *workbook) given(k kind, format string, n exact.Number, given bool) excelize.Cell {
	if !given {
		return w.blank(k, format)
	}
	return w.figure(k, format, n)
}

// live returns a cell of a formula, along with what the engine has for it, so
// that programs which do not calculate show the figure too.
func (w *workbook) live(k kind, format, formula string, n exact.Number) excelize.Cell {
	return excelize.Cell{StyleID: w.style(look{kind: k, format: format}), Formula: formula, Value: float(n)}
}

// perhaps is live for a figure that may be absent; the formula says so too.
func (w *workbook) perhaps(k kind, format, formula string, n exact.Number, known bool) excelize.Cell {
	cell := w.live(k, format, formula, n)
	if !known {
		cell.Value = absent
	}
	return cell
}

// blank returns an empty cell that looks like the others of its kind.
func (w *workbook) blank(k kind, format string) excelize.Cell {
	return excelize.Cell{StyleID: w.style(look{kind: k, format: format})}
}

// blanks returns n empty cells.
func (w *workbook) blanks(k kind, n int) []any {
	cells := make([]any, n)
	for i := range cells {
		cells[i] = w.blank(k, "")
	}
	return cells
}

// heads returns the cells of a table's heading. A name that begins with # heads
// figures and stands right.
func (w *workbook) heads(names ...string) []any {
	cells := make([]any, len(names))
	for i, name := range names {
		k := headCell
		if figures, ok := strings.CutPrefix(name, "#"); ok {
			k, name = headNumber, figures
		}
		cells[i] = w.words(k, name)
	}
	return cells
}

// float is where exact figures leave for the spreadsheet, which reckons in
// doubles: the nearest one.
func float(n exact.Number) float64 {
	f, _ := n.Rat().Float64()
	return f
}
