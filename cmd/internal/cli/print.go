package cli

import (
	"encoding/json"
	"fmt"
	"strings"

	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/width"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// printJSON prints one document.
func (e *Env) printJSON(doc any) error {
	enc := json.NewEncoder(e.Out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(doc)
}

// table prints rows in columns that align. Columns whose heading ends in ">"
// hold figures and stand to the right.
type table struct {
	heads []string
	rows  [][]string
	foot  []string
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

func (t table) print(e *Env) {
	right := make([]bool, len(t.heads))
	heads := make([]string, len(t.heads))
	for i, h := range t.heads {
		heads[i], right[i] = strings.CutSuffix(h, ">")
	}
	all := append([][]string{heads}, t.rows...)
	if t.foot != nil {
		all = append(all, t.foot)
	}
	widths := make([]int, len(heads))
	for _, row := range all {
		for i, cell := range row {
			widths[i] = max(widths[i], columns(cell))
		}
	}
	for r, row := range all {
		var line strings.Builder
		for i, cell := range row {
			gap := strings.Repeat(" ", widths[i]-columns(cell))
			if right[i] {
				line.WriteString(gap + cell)
			} else {
				line.WriteString(cell + gap)
			}
			if i < len(row)-1 {
				line.WriteString("  ")
			}
		}
		text := strings.TrimRight(line.String(), " ")
		if r == 0 || t.foot != nil && r == len(all)-1 {
			text = e.bold(text)
		}
		fmt.Fprintln(e.Out, text)
	}
}

// columns counts the columns that s takes on a terminal: two for wide
// characters, none for combining marks.
func columns(s string) int {
	n := 0
	for _, r := range norm.NFC.String(s) {
		switch width.LookupRune(r).Kind() {
		case width.EastAsianWide, width.EastAsianFullwidth:
			n += 2
		default:
			n++
		}
	}
	return n
}

// percent prints a fraction as a percentage with one decimal.
func percent(n exact.Number) string {
	return n.Mul(exact.Int(100)).Fixed(1) + " %"
}

// addUp rounds parts to the minor unit so that they add up to their rounded
// sum.
func addUp(c money.Currency, parts ...exact.Number) []money.Amount {
	return money.Apportion(c.Round(exact.Sum(parts...)), parts)
}

// plural counts things: "1 cake", "3 cakes".
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
