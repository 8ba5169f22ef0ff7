package intake_test

import (
	"strings"
	"testing"

	"marchpane/cmd/internal/intake"
)

// FuzzCSV: no text makes the reader panic, and what it read is read the same
// when it is written again with every field quoted.
func FuzzCSV(f *testing.F) {
	for _, s := range []string{
		"Item,Pack,Price\nButter,10 x 250 g,25.25\n", "Artikel;Gebinde;Preis\r\nMehl;25 kg;18,90\r\n", "\ufeffa\tb\rc\td\n\n",
		"sep=;\na;b\n", "\"a \"\"b\"\"\",\"c\nd\"\n", "12\" drum,3\n", "\"never closed", "Cr\xe8me;2\n", "\xff\xfea\x00,\x00b\x00", "a\x00b",
		",,,\n;;;\n|||\n", "\"\",\"\"\n", "  \"x\" y\",z", "a\x1a", "\"a\" ;\"b\"  \nc;d", "PK\x03\x04", "a|b;c,d\te\n", "\u2028,\u0085,\u00a0x\n",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		first, err := read(text, intake.Options{})
		if err != nil || first.Separator == 0 {
			return
		}
		var again strings.Builder
		again.WriteString("first;row\n") // so that no row of the list comes first, where "sep=" means something
		for _, r := range first.Rows {
			for i, c := range r.Cells {
				if i > 0 {
					again.WriteByte(';')
				}
				again.WriteString(`"` + strings.ReplaceAll(c.Text, `"`, `""`) + `"`)
			}
			again.WriteString("\r\n")
		}
		second, err := read(again.String(), intake.Options{Separator: ';', Encoding: "utf-8"})
		if err != nil {
			t.Fatalf("%q was read, but not as it is written again, %q: %v", text, again.String(), err)
		}
		if len(second.Rows) != len(first.Rows)+1 {
			t.Fatalf("%q has %d rows, written again %d", text, len(first.Rows), len(second.Rows)-1)
		}
		for i, r := range first.Rows {
			got := second.Rows[i+1]
			for j := range max(len(r.Cells), len(got.Cells)) {
				if got.Cell(j) != r.Cell(j) {
					t.Fatalf("%q: cell %d of row %d is %q, written again %q", text, j, i, r.Cell(j).Text, got.Cell(j).Text)
				}
			}
		}
	})
}

// FuzzSheet: no sheet makes the reader panic, and it keeps what it promises
// about the rows that it returns.
func FuzzSheet(f *testing.F) {
	parts := withParts(nil)
	for _, s := range []string{
		parts["xl/worksheets/s.xml"],
		`<worksheet><sheetData><row r="3"><c r="XFD3" s="1"><v>1e308</v></c></row></sheetData></worksheet>`,
		`<worksheet><sheetData><row><c r="A1" t="s"><v>-1</v></c></row></sheetData></worksheet>`,
		`<worksheet><sheetData><row><c s="99"><v>NaN</v></c><c r="B"><v> 1.5 </v></c></row><row r="1"/></sheetData></worksheet>`,
		`<row><c t="inlineStr"><is><r><t>a</t></r><rPh><t>b</t></rPh></is></c><c><f>1/0</f></c>`,
		`<row><row><c><c><v>1</v></c></c></row></row>`,
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := readBytes(packed(t, withParts(map[string]string{"xl/worksheets/s.xml": text})), intake.Options{})
		if err != nil {
			return
		}
		before := 0
		for _, r := range got.Rows {
			if r.Number <= before || r.Blank() || len(r.Cells) > intake.MaxColumns || strings.TrimSpace(r.Cells[len(r.Cells)-1].Text) == "" {
				t.Errorf("%q: row %d after %d has cells %v", text, r.Number, before, r.Cells)
			}
			before = r.Number
		}
	})
}
