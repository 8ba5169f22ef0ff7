package intake

import (
	"encoding/xml"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/day"
	"marchpane/pricing/pricelist"
)

// The size of a sheet in the file format.
const (
	sheetRows    = 1 << 20
	sheetColumns = 1 << 14
)

// errEnough ends the walk of a sheet that has been read far enough.
var errEnough = errors.New("enough rows were read")

// rows reads the rows of a sheet that hold anything, the first most of them.
func (w *workbook) rows(s sheet, most int) ([]pricelist.Row, error) {
	var k keeper
	var cells []pricelist.Cell
	number := 0
	err := w.walk(s.part, func(x *walker, e xml.StartElement) error {
		if e.Name.Local != "row" {
			return nil
		}
		at, err := counted(attr(e, "r"), number+1, sheetRows)
		if err != nil || at <= number {
			return errors.New("its rows are out of order; open the workbook and save it anew")
		}
		number = at
		if cells, err = w.row(x, number, cells[:0]); err != nil {
			return err
		}
		if err := k.keep(number, cells); err != nil {
			return err
		}
		if len(k.rows) >= most {
			return errEnough
		}
		return nil
	})
	if err != nil && !errors.Is(err, errEnough) {
		return nil, fmt.Errorf("sheet %.60q: %w", s.name, err)
	}
	return k.rows, nil
}

// row appends to cells those of the row that has just begun.
func (w *workbook) row(x *walker, number int, cells []pricelist.Cell) ([]pricelist.Cell, error) {
	next := 0 // column of a cell without an address
	for outside := x.depth - 1; x.depth > outside; {
		token, err := x.next()
		if err != nil {
			return cells, unexpected(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok || e.Name.Local != "c" {
			continue
		}
		at := next
		if address := attr(e, "r"); address != "" {
			at = pricelist.ColumnOf(strings.TrimRight(address, "0123456789"))
		}
		if at < next {
			return cells, fmt.Errorf("the cells of row %d are out of order; open the workbook and save it anew", number)
		}
		if next = at + 1; next > sheetColumns {
			return cells, fmt.Errorf("row %d has more than %d columns; delete those that are no part of the list", number, MaxColumns)
		}
		cell, err := w.cell(x, e)
		if err != nil {
			return cells, fmt.Errorf("cell %s%d: %w", pricelist.Letters(at), number, err)
		}
		if cell.Text == "" {
			continue
		}
		for len(cells) < at {
			cells = append(cells, pricelist.Cell{})
		}
		cells = append(cells, cell)
	}
	return cells, nil
}

// cell reads the cell that has just begun. A formula counts by the value that
// it had when the file was saved.
func (w *workbook) cell(x *walker, e xml.StartElement) (pricelist.Cell, error) {
	value, inline, formula := "", "", false
	for outside := x.depth - 1; x.depth > outside; {
		token, err := x.next()
		if err != nil {
			return pricelist.Cell{}, unexpected(err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch start.Name.Local {
		case "v":
			value, err = x.plain()
		case "is":
			inline, err = x.text()
		case "f":
			formula = true
		}
		if err != nil {
			return pricelist.Cell{}, err
		}
	}
	kind := attr(e, "t")
	if kind == "inlineStr" {
		return pricelist.Cell{Text: unescaped(inline)}, nil
	}
	if strings.TrimSpace(value) == "" {
		if formula && kind != "str" {
			return pricelist.Cell{Text: "formula never calculated"}, nil
		}
		return pricelist.Cell{}, nil
	}
	switch kind {
	case "s":
		i, err := counted(value, -1, len(w.strings)-1)
		if err != nil {
			return pricelist.Cell{}, errors.New("its text is missing from the workbook; open it and save it anew")
		}
		return pricelist.Cell{Text: unescaped(w.strings[i])}, nil
	case "str", "e":
		return pricelist.Cell{Text: unescaped(value)}, nil
	case "b":
		return pricelist.Cell{Text: map[string]string{"1": "TRUE", "0": "FALSE"}[value]}, nil
	case "d":
		date, _, _ := strings.Cut(value, "T")
		if _, err := day.Parse(date); err != nil {
			return pricelist.Cell{Text: value}, nil
		}
		return pricelist.Cell{Text: date, Kind: pricelist.Date}, nil
	}
	style, err := counted(attr(e, "s"), 0, len(w.formats)-1)
	if err != nil || len(w.formats) == 0 {
		return w.number(value, format{}), nil
	}
	return w.number(value, w.formats[style]), nil
}

// unescaped turns the escapes by which workbooks write control characters,
// such as _x000D_, into spaces: they only part words.
func unescaped(s string) string {
	if !strings.Contains(s, "_x00") {
		return s
	}
	return strings.NewReplacer("_x000D_", " ", "_x000A_", " ", "_x0009_", " ", "_x000d_", " ", "_x000a_", " ").Replace(s)
}

// number returns the cell of a number. Spreadsheets compute with binary
// fractions and show 15 digits at most: 0.1 + 0.2 is stored as
// 0.30000000000000004 and is 0.3 to whoever made the list.
func (w *workbook) number(value string, f format) pricelist.Cell {
	n, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
	if err != nil || math.IsNaN(n) || math.Abs(n) >= 1e15 || n != 0 && math.Abs(n) < 1e-12 {
		return pricelist.Cell{Text: value}
	}
	shown, err := decimal.NewFromString(strconv.FormatFloat(n, 'e', 14, 64))
	if err != nil {
		return pricelist.Cell{Text: value}
	}
	return f.show(shown, w.from04)
}

// counted reads a whole number from 0 to most, or gives otherwise for "".
func counted(s string, otherwise, most int) (int, error) {
	if s == "" {
		return otherwise, nil
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > most {
		return 0, fmt.Errorf("%.20q is no number from 0 to %d", s, most)
	}
	return n, nil
}
