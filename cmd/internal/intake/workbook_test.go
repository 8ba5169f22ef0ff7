package intake_test

import (
	"archive/zip"
	"bytes"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"marchpane/cmd/internal/intake"
	"marchpane/pricing/pricelist"
)

// saved returns the bytes of a workbook that excelize writes: an outside
// writer of the format that is read here.
func saved(t *testing.T, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// put sets rows of cells, from row 1.
func put(t *testing.T, f *excelize.File, sheet string, rows ...[]any) {
	t.Helper()
	for i, row := range rows {
		at, err := excelize.CoordinatesToCellName(1, i+1)
		if err == nil {
			err = f.SetSheetRow(sheet, at, &row)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

func style(t *testing.T, f *excelize.File, cell, code string) {
	t.Helper()
	id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
	if err == nil {
		err = f.SetCellStyle("Sheet1", cell, cell, id)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func readBytes(data []byte, o intake.Options) (intake.List, error) {
	return intake.Read(bytes.NewReader(data), int64(len(data)), o)
}

func TestWorkbook(t *testing.T) {
	data := saved(t, func(f *excelize.File) {
		put(t, f, "Sheet1",
			[]any{"Our price list"},
			nil,
			[]any{"Item", "Pack", "Price", "From", "VAT"},
			[]any{"Butter", "10 x 250 g", 25.25, time.Date(2026, 10, 5, 0, 0, 0, 0, time.UTC), 0.07},
			[]any{"Flour", 25, 0.1 + 0.2, "5.10.2026", "7 %"},
			[]any{"Sugar", "1.234", 1.234, nil, nil},
			[]any{"Salt", true, -2, nil, nil, nil, " "},
			[]any{" Yeast\nfresh ", "42 g", "n/a"},
		)
		style(t, f, "E4", "0.0%")
		style(t, f, "C4", `#,##0.00\ [$€-407];[Red]\-#,##0.00\ [$€-407]`)
		style(t, f, "B5", `0" kg"`)
		style(t, f, "C5", `_-"£"* #,##0.00_-`)
	})
	got, err := readBytes(data, intake.Options{})
	want := []string{
		"1: Our price list",
		"3: Item|Pack|Price|From|VAT",
		"4: Butter|10 x 250 g|25.25 €#|2026-10-05@|7 %#",
		"5: Flour|25 kg#|£ 0.3#|5.10.2026|7 %",
		"6: Sugar|1.234|1.234#",
		"7: Salt|TRUE|-2#",
		"8: Yeast⏎fresh|42 g|n/a",
	}
	if err != nil || got.Sheet != "Sheet1" || !reflect.DeepEqual(table(got.Rows), want) {
		t.Errorf("Read = %q %q, %v, want %q", got.Sheet, table(got.Rows), err, want)
	}
}

// TestFormulas: a formula counts by the value that was saved, and is never run.
func TestFormulas(t *testing.T) {
	data := saved(t, func(f *excelize.File) {
		w, err := f.NewStreamWriter("Sheet1") // the writer that saves values beside formulas
		if err != nil {
			t.Fatal(err)
		}
		for at, row := range [][]any{
			{"Item", "Price", "Pack"},
			{"Butter", excelize.Cell{Formula: "10*2.5", Value: 25.25}, excelize.Cell{Formula: `"2 "&"kg"`, Value: "2 kg"}},
		} {
			cell, _ := excelize.CoordinatesToCellName(1, at+1)
			if err := w.SetRow(cell, row); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Flush(); err != nil {
			t.Fatal(err)
		}
	})
	got, err := readBytes(data, intake.Options{})
	want := []string{"1: Item|Price|Pack", "2: Butter|25.25#|2 kg"}
	if err != nil || !reflect.DeepEqual(table(got.Rows), want) {
		t.Errorf("Read = %q, %v, want %q", table(got.Rows), err, want)
	}
}

// TestDays: serial numbers as ECMA-376 part 1, 18.17.4.1 has them: 1900-03-01 is
// 61, and under the other way of counting 1904-01-01 is 0.
func TestDays(t *testing.T) {
	for _, c := range []struct {
		from1904 bool
		serial   float64
		code     string
		want     string
	}{
		{false, 61, "yyyy-mm-dd", "1900-03-01@"},
		{false, 46300, "dd/mm/yyyy", "2026-10-05@"},
		{false, 46300.75, "d mmm yy h:mm", "2026-10-05@"},
		{true, 44838, "d.m.yy", "2026-10-05@"},
		{true, 0, "d.m.yy", "1904-01-01@"},
		{false, 46300, `0 "day"`, "46300 day#"},
		{false, 46300, `"dd"0`, "dd 46300#"},
		{false, 46300, "[Red]0.00", "46300#"},
		{false, 46300, `General "pcs"`, "46300 pcs#"},
		{false, -1, "yyyy", "-1#"},
	} {
		data := saved(t, func(f *excelize.File) {
			if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &c.from1904}); err != nil {
				t.Fatal(err)
			}
			put(t, f, "Sheet1", []any{c.serial})
			style(t, f, "A1", c.code)
		})
		got, err := readBytes(data, intake.Options{})
		if err != nil || len(got.Rows) != 1 || table(got.Rows)[0] != "1: "+c.want {
			t.Errorf("serial %v as %s (1904: %t) = %q, %v, want %q", c.serial, c.code, c.from1904, table(got.Rows), err, c.want)
		}
	}
}

// TestSheets: which sheet is read.
func TestSheets(t *testing.T) {
	heading, goods := []any{"Item", "Pack", "Price"}, []any{"Salt", "1 kg", 0.6}
	book := func(sheets map[string][][]any, hidden ...string) []byte {
		return saved(t, func(f *excelize.File) {
			for _, name := range []string{"Cover", "Prices", "More"} {
				rows, ok := sheets[name]
				if !ok {
					continue
				}
				if _, err := f.NewSheet(name); err != nil {
					t.Fatal(err)
				}
				put(t, f, name, rows...)
			}
			if err := f.DeleteSheet("Sheet1"); err != nil {
				t.Fatal(err)
			}
			for _, name := range hidden {
				if err := f.SetSheetVisible(name, false); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
	cover := [][]any{{"Welcome"}}
	list := [][]any{heading, goods}
	for _, c := range []struct {
		name   string
		data   []byte
		o      intake.Options
		want   string
		refuse string
	}{
		{"the one with a heading", book(map[string][][]any{"Cover": cover, "Prices": list}), intake.Options{}, "Prices", ""},
		{"the one that is named", book(map[string][][]any{"Cover": cover, "Prices": list}), intake.Options{Sheet: "cover"}, "Cover", ""},
		{"two with headings", book(map[string][][]any{"Prices": list, "More": list}), intake.Options{}, "", `name one of "Prices", "More"`},
		{"two, one hidden", book(map[string][][]any{"Prices": list, "More": list}, "More"), intake.Options{}, "Prices", ""},
		{"none with a heading", book(map[string][][]any{"Cover": cover, "More": cover}), intake.Options{}, "", `"Cover", "More"`},
		{"none with a heading, one filled", book(map[string][][]any{"Cover": nil, "More": cover}), intake.Options{}, "More", ""},
		{"a heading in the mapping's words", book(map[string][][]any{"Cover": list, "More": {{"Zboží", "Price"}, {"Sůl", 2}}}), intake.Options{Mapping: pricelist.Mapping{Columns: pricelist.Columns{Item: "Zboží", Price: "Price"}}}, "More", ""},
		{"no such sheet", book(map[string][][]any{"Prices": list}), intake.Options{Sheet: "Prizes"}, "", `no sheet "Prizes"; there are "Prices"`},
	} {
		got, err := readBytes(c.data, c.o)
		if got.Sheet != c.want || (c.refuse == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), c.refuse) {
			t.Errorf("%s: Read = %q, %v, want %q %q", c.name, got.Sheet, err, c.want, c.refuse)
		}
	}
}

// packed returns a zip of parts.
func packed(t *testing.T, parts map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range parts {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withParts returns the least workbook with the given parts in place of, or
// beside, its own.
func withParts(extra map[string]string) map[string]string {
	const relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	parts := map[string]string{
		"_rels/.rels":                `<Relationships><Relationship Id="r1" Type="` + relation + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml":            `<workbook xmlns:r="` + relation + `"><sheets><sheet name="S" sheetId="1" r:id="r1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="r1" Type="` + relation + `/worksheet" Target="worksheets/s.xml"/><Relationship Id="r2" Type="` + relation + `/sharedStrings" Target="/xl/shared.xml"/><Relationship Id="r3" Type="` + relation + `/styles" Target="styles.xml"/></Relationships>`,
		"xl/shared.xml":              `<sst><si><t>Salt</t></si><si><r><t>Su</t></r><r><t>gar</t></r><rPh sb="0" eb="1"><t>shu</t></rPh></si></sst>`,
		"xl/styles.xml":              `<styleSheet><cellStyleXfs><xf numFmtId="9"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs></styleSheet>`,
		"xl/worksheets/s.xml":        `<worksheet><sheetData><row><c t="s"><v>0</v></c><c t="s"><v>1</v></c><c/><c s="1"><v>46300</v></c></row><row r="4"><c r="B4" t="inlineStr"><is><t>a_x000D_b</t></is></c><c r="D4" t="d"><v>2026-10-05T00:00:00</v></c><c t="e"><v>#REF!</v></c></row><row><c><f>1+1</f></c><c t="str"><f>""</f><v></v></c><c><f>1+1</f><v>2</v></c></row></sheetData></worksheet>`,
	}
	for name, text := range extra {
		parts[name] = text
	}
	return parts
}

// TestLooseWorkbook: cells without addresses, texts in pieces, and other
// things that the format allows though spreadsheets seldom write them.
func TestLooseWorkbook(t *testing.T) {
	got, err := readBytes(packed(t, withParts(nil)), intake.Options{})
	want := []string{"1: Salt|Sugar||2026-10-05@", "4: |a b||2026-10-05@|#REF!", "5: formula never calculated||2#"}
	if err != nil || !reflect.DeepEqual(table(got.Rows), want) {
		t.Errorf("Read = %q, %v, want %q", table(got.Rows), err, want)
	}
}
