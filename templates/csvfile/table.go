package csvfile

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"unicode"

	"marchpane/pricing/exact"
)

// table writes rows; the first error sticks.
type table struct {
	w *csv.Writer
}

func newTable(out io.Writer, heads ...string) table {
	t := table{csv.NewWriter(out)}
	t.w.UseCRLF = true
	t.row(heads...)
	return t
}

// row writes cells that are safe already: [text] and [figure] make them so.
func (t table) row(cells ...string) {
	// An error stays with the writer, and close returns it.
	_ = t.w.Write(cells)
}

func (t table) close() error {
	t.w.Flush()
	if err := t.w.Error(); err != nil {
		return fmt.Errorf("csv: %w", err)
	}
	return nil
}

// text returns a cell of text that no program takes for a formula.
func text(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case unicode.IsControl(r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	begins := strings.TrimLeftFunc(s, func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) })
	if begins != "" && strings.ContainsRune("=+-@＝＋－＠", []rune(begins)[0]) {
		return "'" + s
	}
	return s
}

// places are the decimals of a quantity; the store's bills have more.
const places = 6

// figure returns a plain decimal, rounded half away from zero to six places,
// without zeros at its end.
func figure(n exact.Number) string {
	s := n.Fixed(places)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
