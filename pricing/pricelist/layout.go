package pricelist

import (
	"errors"
	"fmt"
	"strings"

	"marchpane/pricing/measure"
	"marchpane/pricing/names"
)

// HeadRows is how many rows may stand above the heading: a letterhead, a
// title, a note on delivery.
const HeadRows = 60

// Layout is where a list has what.
type Layout struct {
	Head    int // index of the heading row, -1 where there is none
	columns [roles]int
	side    Side          // what the price's heading says of tax
	units   bool          // the price's heading says it is of one unit
	per     *measure.Pack // what the price's heading says it buys
}

// Column returns the index of the column that [Columns] calls name, such as
// "price", or -1.
func (l Layout) Column(name string) int {
	for r, n := range roleNames {
		if n == name {
			return l.columns[r]
		}
	}
	return -1
}

// Worth counts the columns that were found, to choose among sheets.
func (l Layout) Worth() int {
	n := 0
	for _, c := range l.columns {
		if c >= 0 {
			n++
		}
	}
	return n
}

// FindLayout finds the heading row among the first [HeadRows] rows and the
// column of each role. A column that the mapping names is taken as it says.
// Of a price without and one with tax it takes the one that the studio costs
// at.
func FindLayout(rows []Row, m Mapping, recoversTax bool) (Layout, error) {
	best, found := Layout{Head: -1}, false
	for i, row := range rows[:min(len(rows), HeadRows)] {
		l, ok := layoutOf(i, row, m, recoversTax)
		if ok && (!found || l.Worth() > best.Worth()) {
			best, found = l, true
		}
	}
	if !found {
		return headless(rows, m)
	}
	if best.columns[asPrice] == clash {
		return Layout{}, fmt.Errorf("row %d: several columns could be the price (%s); say which by its letter, or its heading where that stands once", rows[best.Head].Number, prices(rows[best.Head], m))
	}
	return best, nil
}

const (
	absent = -1
	clash  = -2 // several columns, none surer than the others
)

// layoutOf takes a row as the heading; it must have a price, and goods by name
// or code.
func layoutOf(index int, row Row, m Mapping, recoversTax bool) (Layout, bool) {
	l := Layout{Head: index}
	var worth [roles]int
	var heads [roles]heading
	for r := range roles {
		l.columns[r] = absent
	}
	taken := map[int]bool{}
	words := 0 // cells that read as headings
	for r := range roles {
		name := m.Columns.named(r)
		if name == "" {
			continue
		}
		at, alike := columnNamed(row, name)
		if at < 0 {
			return l, false
		}
		l.columns[r], worth[r], heads[r], taken[at] = at, 1<<20, readHeading(row.Cell(at).Text), true
		if alike > 1 && r == asPrice {
			l.columns[r] = clash
		}
		if alike > 0 || heads[r].worth > 0 {
			words++
		}
	}
	for i, c := range row.Cells {
		if c.Kind != Text || strings.TrimSpace(c.Text) == "" {
			continue
		}
		h := readHeading(c.Text)
		if h.worth == 0 || taken[i] {
			continue
		}
		words++
		if h.role == asPrice && h.side != Unstated {
			// A studio that recovers tax costs at the price without it.
			wanted := TaxIn
			if recoversTax {
				wanted = TaxOut
			}
			if m.Tax != Unstated {
				wanted = m.Tax
			}
			h.worth += map[bool]int{true: 5000, false: -200}[h.side == wanted]
		}
		if h.role == asPrice && h.per != "" {
			h.worth -= 500 // a comparison beside the price of the pack
		}
		switch was := l.columns[h.role]; {
		case was == absent || h.worth > worth[h.role]:
			l.columns[h.role], worth[h.role], heads[h.role] = i, h.worth, h
		case h.role == asPrice && h.worth == worth[asPrice]:
			l.columns[asPrice] = clash
		}
	}
	l.side, l.units = heads[asPrice].side, heads[asPrice].units
	if p, err := ReadPack(heads[asPrice].per, Point); err == nil {
		l.per = &p
	}
	byHand := m.Columns.Price != "" && (m.Columns.Item != "" || m.Columns.Code != "")
	return l, l.columns[asPrice] != absent && (l.columns[asItem] >= 0 || l.columns[asCode] >= 0) && (words > 1 || byHand && words > 0)
}

// columnNamed finds a column by the text of its heading, or else by its
// letter. It returns how many columns are headed so; the first is taken.
func columnNamed(row Row, name string) (at, alike int) {
	at = ColumnOf(name)
	for i, c := range row.Cells {
		if c.Text != "" && (clean(c.Text) == clean(name) || names.Words(name) != "" && names.Words(c.Text) == names.Words(name)) {
			if alike++; alike == 1 {
				at = i
			}
		}
	}
	return at, alike
}

// headless takes a list that has no heading row, whose columns the mapping
// names by their letters.
func headless(rows []Row, m Mapping) (Layout, error) {
	l := Layout{Head: -1}
	for r := range roles {
		name := m.Columns.named(r)
		if l.columns[r] = ColumnOf(name); l.columns[r] < 0 && name != "" {
			return Layout{}, fmt.Errorf("no column is headed %s among the first %d rows; the mapping names it for %s, so correct it or name the column's letter",
				quoted(name), HeadRows, roleNames[r])
		}
	}
	if l.columns[asPrice] < 0 || l.columns[asItem] < 0 && l.columns[asCode] < 0 {
		return Layout{}, errors.New("no heading row was found with a price and an item or code; say which columns they are, by heading or letter" + firstRow(rows))
	}
	return l, nil
}

// firstRow shows where the user may look.
func firstRow(rows []Row) string {
	for _, row := range rows {
		if row.Blank() {
			continue
		}
		var cells []string
		for i, c := range row.Cells[:min(len(row.Cells), 8)] {
			if c.Text != "" {
				cells = append(cells, Letters(i)+" "+quoted(c.Text))
			}
		}
		return fmt.Sprintf(" (row %d has %s)", row.Number, strings.Join(cells, ", "))
	}
	return " (the list is empty)"
}

// prices lists the columns that could be the price.
func prices(row Row, m Mapping) string {
	var list []string
	for i, c := range row.Cells {
		named := m.Columns.Price != "" && names.Words(c.Text) == names.Words(m.Columns.Price)
		if h := readHeading(c.Text); named || m.Columns.Price == "" && h.worth > 0 && h.role == asPrice {
			list = append(list, Letters(i)+" "+quoted(c.Text))
		}
	}
	return strings.Join(list, ", ")
}
