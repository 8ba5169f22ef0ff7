package pricelist

import (
	"strconv"
	"strings"
)

// Kind says what a cell holds.
type Kind int

// The kinds of cell. A file of text has only Text; a workbook tells numbers
// and dates from text, so that there a 1.234 is not ambiguous.
const (
	Text   Kind = iota
	Number      // Text is a plain decimal with a point, and what its style shows beside it: "12.5 €", "25 kg", "7 %"
	Date        // Text is a day as 2026-10-05
)

// Cell is one cell of a list.
type Cell struct {
	Text string
	Kind Kind
}

// Row is one row of a list.
type Row struct {
	Number int // line of the file or row of the sheet, from 1
	Cells  []Cell
}

// Cell returns cell i, empty where the row ends before it or i is negative.
func (r Row) Cell(i int) Cell {
	if i < 0 || i >= len(r.Cells) {
		return Cell{}
	}
	return r.Cells[i]
}

// At returns the address of cell i as spreadsheets write it: "C7".
func (r Row) At(i int) string { return Letters(i) + strconv.Itoa(r.Number) }

// Blank reports whether no cell holds anything.
func (r Row) Blank() bool {
	for _, c := range r.Cells {
		if strings.TrimSpace(c.Text) != "" {
			return false
		}
	}
	return true
}

// Letters returns the name of column i, counted from 0: A, B, … Z, AA.
func Letters(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

// ColumnOf is the inverse of [Letters]; it returns -1 for what is no column.
func ColumnOf(letters string) int {
	if letters == "" || len(letters) > 3 {
		return -1
	}
	n := 0
	for _, r := range letters {
		if r < 'A' || r > 'Z' {
			return -1
		}
		n = n*26 + int(r-'A') + 1
	}
	return n - 1
}
