package intake

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"marchpane/pricing/pricelist"
)

// Workbooks are read here, by zip and XML readers that stream, and not through
// the library that writes ours: its iterator over rows gives every cell as
// text, so that the number 1.234 and the text "1.234" become one, and it holds
// styles and shared texts whole, however many a file declares.

// workbook is what the parts of an .xlsx file (ECMA-376, SpreadsheetML) say
// before a sheet is read.
type workbook struct {
	parts   map[string]*zip.File
	left    int // bytes that may still be unpacked
	sheets  []sheet
	strings []string // shared by the sheets
	formats []format // by cell style
	from04  bool     // days count from 1904
}

// sheet is a sheet of a workbook.
type sheet struct {
	name, part string
	hidden     bool
}

// maxSheets bounds the sheets of a workbook, and maxStyles its styles.
const (
	maxSheets = 200
	maxStyles = 65_536
)

func readWorkbook(r io.ReaderAt, size int64, o Options) (List, error) {
	if size > MaxZip {
		return List{}, fmt.Errorf("the workbook has %d MB, more than the %d MB that a price list may have; delete its pictures or save the sheet as CSV", size>>20, MaxZip>>20)
	}
	archive, err := zip.NewReader(r, size)
	if err != nil {
		return List{}, fmt.Errorf("the workbook is damaged (%w); ask for it again, or open it and save it anew", err)
	}
	w := &workbook{parts: map[string]*zip.File{}, left: MaxUnpacked}
	for _, f := range archive.File {
		w.parts[strings.TrimPrefix(strings.ReplaceAll(f.Name, `\`, "/"), "/")] = f
	}
	if err := w.open(); err != nil {
		return List{}, err
	}
	s, err := w.choose(o)
	if err != nil {
		return List{}, err
	}
	rows, err := w.rows(s, MaxRows+1)
	return List{Rows: rows, Sheet: s.name}, err
}

// open reads all parts but the sheets.
func (w *workbook) open() error {
	document := ""
	if err := w.related("_rels/.rels", "", func(_, kind, target string) {
		if kind == "officeDocument" {
			document = target
		}
	}); err != nil {
		return err
	}
	if err := w.isWorkbook(document); err != nil {
		return err
	}
	targets, shared, styles := map[string]string{}, "", ""
	folder, base := path.Split(document)
	if err := w.related(folder+"_rels/"+base+".rels", folder, func(id, kind, target string) {
		switch kind {
		case "worksheet":
			targets[id] = target
		case "sharedStrings":
			shared = target
		case "styles":
			styles = target
		}
	}); err != nil {
		return err
	}
	if err := w.readDocument(document, targets); err != nil {
		return err
	}
	if w.parts[shared] != nil {
		if err := w.readStrings(shared); err != nil {
			return err
		}
	}
	if w.parts[styles] != nil {
		return w.readStyles(styles)
	}
	return nil
}

// related calls each for the parts that a part refers to.
func (w *workbook) related(relations, folder string, each func(id, kind, target string)) error {
	if w.parts[relations] == nil {
		return nil
	}
	return w.walk(relations, func(x *walker, e xml.StartElement) error {
		if e.Name.Local == "Relationship" {
			target := strings.ReplaceAll(attr(e, "Target"), `\`, "/")
			if !strings.HasPrefix(target, "/") {
				target = path.Join(folder, target)
			}
			each(attr(e, "Id"), path.Base(attr(e, "Type")), strings.TrimPrefix(target, "/"))
		}
		return nil
	})
}

// isWorkbook refuses other things that come packed.
func (w *workbook) isWorkbook(document string) error {
	const remedy = "open it in a spreadsheet and save it as .xlsx or CSV"
	switch {
	case w.parts["content.xml"] != nil:
		return errors.New("the file is an OpenDocument; " + remedy)
	case w.parts["word/document.xml"] != nil:
		return errors.New("the file is a word processor's; copy the table into a spreadsheet and save that as .xlsx or CSV")
	case strings.HasSuffix(document, ".bin"):
		return errors.New("the file is a binary workbook (.xlsb); " + remedy)
	case document == "" || w.parts[document] == nil:
		return errors.New("the file is packed but no workbook; unpack it, or ask for .xlsx or CSV")
	}
	return nil
}

// readDocument reads which sheets there are; parts gives theirs by id.
func (w *workbook) readDocument(name string, parts map[string]string) error {
	err := w.walk(name, func(x *walker, e xml.StartElement) error {
		switch e.Name.Local {
		case "workbookPr":
			on := attr(e, "date1904")
			w.from04 = on == "1" || on == "true"
		case "sheet":
			part := parts[attr(e, "id")]
			if w.parts[part] == nil { // a chart, or lost
				return nil
			}
			if len(w.sheets) == maxSheets {
				return fmt.Errorf("the workbook has more than %d sheets; save the one with the prices by itself", maxSheets)
			}
			state := attr(e, "state")
			w.sheets = append(w.sheets, sheet{attr(e, "name"), part, state == "hidden" || state == "veryHidden"})
		}
		return nil
	})
	if err == nil && len(w.sheets) == 0 {
		err = errors.New("the workbook has no sheets; ask for it again, or open it and save it anew")
	}
	return err
}

// readStrings reads the texts that cells refer to.
func (w *workbook) readStrings(name string) error {
	kept := 0
	return w.walk(name, func(x *walker, e xml.StartElement) error {
		if e.Name.Local != "si" {
			return nil
		}
		text, err := x.text()
		if err != nil {
			return err
		}
		const header = 16 // bytes that a string takes beside its text
		if kept += len(text) + header; kept > MaxText {
			return errors.New("the workbook holds more text than any price list; save the sheet with the prices by itself")
		}
		w.strings = append(w.strings, text)
		return nil
	})
}

// readStyles reads what the cell styles show of a number.
func (w *workbook) readStyles(name string) error {
	own := map[string]format{}
	inCells := false
	return w.walk(name, func(x *walker, e xml.StartElement) error {
		switch e.Name.Local {
		case "numFmt":
			if len(own) < maxStyles {
				own[attr(e, "numFmtId")] = formatOf(attr(e, "formatCode"))
			}
		case "cellStyleXfs", "cellStyles", "dxfs":
			inCells = false
		case "cellXfs":
			inCells = true
		case "xf":
			if inCells && len(w.formats) < maxStyles {
				id := attr(e, "numFmtId")
				f, ok := own[id]
				if !ok {
					f = builtIn[id]
				}
				w.formats = append(w.formats, f)
			}
		}
		return nil
	})
}

// choose returns the sheet that is named, else the one that has a heading,
// else the only one that holds anything.
func (w *workbook) choose(o Options) (sheet, error) {
	if o.Sheet != "" {
		i := slices.IndexFunc(w.sheets, func(s sheet) bool { return strings.EqualFold(s.name, o.Sheet) })
		if i < 0 {
			return sheet{}, fmt.Errorf("there is no sheet %.60q; there are %s", o.Sheet, names(w.sheets))
		}
		return w.sheets[i], nil
	}
	visible := slices.DeleteFunc(slices.Clone(w.sheets), func(s sheet) bool { return s.hidden })
	switch len(visible) {
	case 0:
		return sheet{}, fmt.Errorf("no sheet of the workbook can be seen; name one of %s", names(w.sheets))
	case 1:
		return visible[0], nil
	}
	var filled, headed []sheet
	for _, s := range visible {
		start, err := w.rows(s, pricelist.HeadRows)
		if err != nil {
			return sheet{}, err
		}
		if len(start) > 0 {
			filled = append(filled, s)
		}
		if l, err := pricelist.FindLayout(start, o.Mapping, o.RecoversTax); err == nil && l.Head >= 0 {
			headed = append(headed, s)
		}
	}
	switch {
	case len(headed) == 1:
		return headed[0], nil
	case len(headed) > 1:
		return sheet{}, fmt.Errorf("several sheets look like price lists; name one of %s", names(headed))
	case len(filled) == 1:
		return filled[0], nil
	case len(filled) > 1:
		return sheet{}, fmt.Errorf("no sheet has a heading with a price and an item or code; name the sheet with the list, of %s", names(filled))
	}
	return visible[0], nil
}

func names(sheets []sheet) string {
	var list []string
	for _, s := range sheets[:min(len(sheets), 20)] {
		list = append(list, fmt.Sprintf("%.60q", s.name))
	}
	return strings.Join(list, ", ")
}
