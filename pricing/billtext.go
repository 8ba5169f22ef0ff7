package pricing

import (
	"bytes"
	"fmt"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// billPlaces are the decimals in which a written bill shows quantities, for
// people and for arithmetic that needs no more.
const billPlaces = 12

// MarshalText writes a bill a line each: kind, resource, unit, the quantity at
// 12 decimals, and the quantity exactly where it has more, separated by tabs.
// Such text keeps a bill in a store.
func (b Bill) MarshalText() ([]byte, error) {
	var out bytes.Buffer
	for _, l := range b {
		fixed := l.Quantity.Fixed(billPlaces)
		fmt.Fprintf(&out, "%s\t%s\t%s\t%s\t", l.Kind, l.Resource, l.Unit, fixed)
		if near, ok := exact.FromText(fixed); !ok || !near.Equal(l.Quantity) {
			out.WriteString(l.Quantity.Text())
		}
		out.WriteByte('\n')
	}
	return out.Bytes(), nil
}

// UnmarshalText reads what MarshalText wrote.
func (b *Bill) UnmarshalText(text []byte) error {
	lines, err := ReadBillLines(string(text))
	if err != nil {
		return err
	}
	*b = make(Bill, len(lines))
	for i, l := range lines {
		quantity, ok := exact.FromText(l.Exact)
		if !ok {
			return fmt.Errorf("bill, line %d: %.40q is no quantity", i+1, l.Exact)
		}
		(*b)[i] = BillLine{l.Resource, l.Kind, quantity, l.Unit}
	}
	return nil
}

// WrittenLine is a line of a written bill whose figures have not been read.
type WrittenLine struct {
	Kind     Kind
	Resource book.ID
	Unit     string
	Rounded  string // at 12 decimals
	Exact    string // a decimal or a fraction
}

// ReadBillLines splits a written bill into lines without reading the figures,
// for those who need only a few of them exactly.
func ReadBillLines(text string) ([]WrittenLine, error) {
	lines := make([]WrittenLine, 0, strings.Count(text, "\n"))
	for text != "" {
		var row string
		row, text, _ = strings.Cut(text, "\n")
		var cells [5]string
		for i := range cells {
			cells[i], row, _ = strings.Cut(row, "\t")
		}
		kind, ok := parseKind(cells[0])
		if !ok {
			return nil, fmt.Errorf("bill, line %d: %.40q is no kind of resource", len(lines)+1, cells[0])
		}
		if cells[4] == "" {
			cells[4] = cells[3]
		}
		lines = append(lines, WrittenLine{kind, book.ID(cells[1]), cells[2], cells[3], cells[4]})
	}
	return lines, nil
}

func parseKind(s string) (Kind, bool) {
	for k := Ingredient; k <= Overhead; k++ {
		if k.String() == s {
			return k, true
		}
	}
	return 0, false
}
