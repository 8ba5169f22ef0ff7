package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
)

func monthWorkbook(t testing.TB, b book.Book, r month.Report) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Month(&out, b.Studio, r); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// yen is the demo book in a currency without a minor unit, for a reader of
// Japanese, without a floor margin or tax.
func yen(t testing.TB) book.Book {
	b := demoBook(t)
	if err := b.Studio.Currency.UnmarshalText([]byte("JPY")); err != nil {
		t.Fatal(err)
	}
	b.Studio.Locale, b.Studio.Tax = record.Some("ja-JP"), nil
	b.Studio.FloorMargin = record.Maybe[measure.Percent]{}
	b.Studio.PriceStep = record.Maybe[money.Price]{}
	return b
}

// TestLibreOfficeAgreesOnMonths has LibreOffice calculate reports: every money,
// count and quantity has to be the engine's, and every share the same as far as
// it is shown.
func TestLibreOfficeAgreesOnMonths(t *testing.T) {
	if testing.Short() {
		t.Skip("starts LibreOffice")
	}
	b, other := demoBook(t), yen(t)
	y := yearOf(t, b, 9, 2, 47)
	oct, span := y.report(t, "2026-10"), y.report(t, "2026")
	in := yearOf(t, other, 9, 2, 13).report(t, "2026-10")
	empty := yearOf(t, b, 9, 1, 0).report(t, "2025-03")
	if !empty.Empty() || len(span.Months) != 12 || len(oct.Waste.Rows) == 0 {
		t.Fatal("the reports are not what they are to be")
	}
	var trials []trial
	for _, tr := range []struct {
		name string
		b    book.Book
		r    month.Report
	}{{"month", b, oct}, {"year", b, span}, {"yen", other, in}, {"empty", b, empty}} {
		data := monthWorkbook(t, tr.b, tr.r)
		trials = append(trials, trial{tr.name, data, data})
	}
	// One order brings 100 more than the report says: whatever follows from it has
	// to follow.
	f := open(t, trials[0].data)
	cell := cellName(column(slices.IndexFunc((&monthBook{w: &workbook{}}).orderColumns(), func(c tableColumn) bool { return c.key == "cakes_net" })), tableTop+1)
	before, err := f.GetCellValue("Orders", cell, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	n, err := strconv.ParseFloat(before, 64)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.SetCellValue("Orders", cell, n+100); err != nil {
		t.Fatal(err)
	}
	results := convert(t, append(slices.Clone(trials), trial{name: "100 more", data: save(t, f)}))
	changed := open(t, results[len(trials)])
	s := oct.Orders.Total
	for name, want := range map[string]float64{"orders_net": amount(s.Revenue.Net) + 100, "orders_margin": amount(s.Margin) + 100, "orders_cost": amount(s.Actual.Total)} {
		if got := named(t, changed, name); !sameFigure(got, strconv.FormatFloat(want, 'f', 2, 64), 1e-9) {
			t.Errorf("with 100 more %s = %s, want %.2f", name, got, want)
		}
	}
	keys := slices.IndexFunc(oct.Key, func(k month.KeyFigure) bool { return k.Name == month.KeyMargin })
	if got, err := changed.GetCellValue("Cover", cellName("B", tableTop+keys), excelize.Options{RawCellValue: true}); err != nil || !sameFigure(got, strconv.FormatFloat(amount(s.Margin)+100, 'f', 2, 64), 1e-9) {
		t.Errorf("with 100 more the cover says a margin of %s, want %.2f", got, amount(s.Margin)+100)
	}
	for i, tr := range trials {
		got, unseen := open(t, results[i]), 0.001
		if tr.name == "yen" {
			unseen = 0.01 // its prices are those in euros, so that a yen is much of them
		}
		live, figures := compareReport(t, tr.name, got, open(t, tr.data), unseen)
		t.Logf("%s: %d figures, %d of them formulas", tr.name, figures, live)
		if least := 400; tr.name != "empty" && live < least {
			t.Errorf("%s: only %d formulas compared", tr.name, live)
		}
	}
	// Read back from what LibreOffice calculated, cent by cent.
	for i, r := range []month.Report{oct, span, in, empty} {
		f := open(t, results[i])
		for name, want := range reportNames(r) {
			if got := named(t, f, name); !sameFigure(got, strconv.FormatFloat(float(want), 'f', -1, 64), 1e-12) {
				t.Errorf("%s: %s = %s, want %s", trials[i].name, name, got, want.Text())
			}
		}
	}
}

// reportNames are figures of the engine, by the names of their cells.
func reportNames(r month.Report) map[string]exact.Number {
	s := r.Orders.Total
	count := func(n int) exact.Number { return exact.Int(int64(n)) }
	return map[string]exact.Number{
		"orders_delivered": count(r.Orders.Made), "orders_called_off": count(r.Orders.Off), "orders_cakes": count(r.Orders.Cakes), "orders_portions": count(r.Orders.Portions),
		"orders_net": s.Revenue.Net.Number(), "orders_fees": s.Revenue.Fee.Number(), "orders_cost": s.Actual.Total.Number(), "orders_cost_planned": s.Standard.Total.Number(),
		"orders_margin": s.Margin.Number(), "orders_net_quoted": s.PlannedMargin.Add(s.Standard.Total).Number(),
		"cost_ingredients": s.Actual.Ingredients.Number(), "cost_packaging": s.Actual.Packaging.Number(), "cost_labour": s.Actual.Labour.Number(),
		"cost_equipment": s.Actual.Equipment.Number(), "cost_overhead": s.Actual.Overhead.Number(), "planned_labour": s.Standard.Labour.Number(),
		"ingredients_value": r.Ingredients.Value.Number(), "packaging_value": r.Packaging.Value.Number(), "waste_value": r.Waste.Total.Number(),
		"labour_hours": r.Labour.Total.Hours.Number, "labour_hours_planned": r.Labour.Total.Planned.Number, "labour_cost": r.Labour.Total.Cost.Number(),
		"margin_planned": r.Bridge.Planned.Number(), "margin_after_overhead_paid": r.Bridge.Actual.Number(),
		"overhead_absorption": r.Overhead.Absorption.Number(),
		"quotes_issued":       count(r.Quotes.Issued.Count), "quotes_won": count(r.Quotes.Won.Count), "quotes_lost": count(r.Quotes.Lost.Count), "quotes_open": count(r.Quotes.Open.Count),
		"quotes_won_value": r.Quotes.Won.Value.Number(), "quotes_lost_value": r.Quotes.Lost.Value.Number(),
		"receivables_outstanding": r.Receivables.Outstanding.Number(), "receivables_overdue": r.Receivables.Overdue.Number(),
		"tax_net": r.Tax.Net.Number(), "tax_due": r.Tax.Tax.Number(), "tax_gross": r.Tax.Gross.Number(),
	}
}

// compareReport compares all cells and returns how many figures there are, and
// how many of them are formulas. A share is of exact figures in the one and of
// figures shown in the other: it may differ by what is not shown of it.
func compareReport(t *testing.T, name string, got, want *excelize.File, unseen float64) (live, figures int) {
	t.Helper()
	raw := excelize.Options{RawCellValue: true}
	faults := 0
	for _, sheet := range want.GetSheetList() {
		calculated, err := got.GetRows(sheet, raw)
		if err != nil {
			t.Fatal(err)
		}
		expected, err := want.GetRows(sheet, raw)
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range expected {
			for c, expect := range row {
				cell := cellName(column(c), r+1)
				v := ""
				if r < len(calculated) && c < len(calculated[r]) {
					v = calculated[r][c]
				}
				formula, err := want.GetCellFormula(sheet, cell)
				if err != nil {
					t.Fatal(err)
				}
				if formula == "" && v == expect {
					continue
				}
				figures++
				if formula != "" {
					live++
				}
				if kind, _ := got.GetCellType(sheet, cell); kind == excelize.CellTypeError || strings.HasPrefix(v, "Err:") {
					t.Errorf("%s: %s!%s =%s is the error %s, want %s", name, sheet, cell, formula, v, expect)
					continue
				}
				if !sameFigure(v, expect, 1e-9) && !sameShare(t, want, sheet, cell, v, expect, unseen) {
					if faults++; faults <= 8 {
						t.Errorf("%s: %s!%s =%s is %s, want %s", name, sheet, cell, formula, v, expect)
					}
				}
			}
		}
	}
	return live, figures
}

// sameShare reports whether a cell shows a percentage, and the two figures differ
// by less than what is not seen of it.
func sameShare(t *testing.T, f *excelize.File, sheet, cell, got, want string, unseen float64) bool {
	t.Helper()
	id, err := f.GetCellStyle(sheet, cell)
	if err != nil {
		t.Fatal(err)
	}
	style, err := f.GetStyle(id)
	if err != nil || style.CustomNumFmt == nil {
		return false
	}
	a, err1 := strconv.ParseFloat(got, 64)
	b, err2 := strconv.ParseFloat(want, 64)
	if err1 != nil || err2 != nil {
		return false
	}
	switch format := *style.CustomNumFmt; {
	case strings.Contains(format, "points"):
		return max(a-b, b-a) < 100*unseen
	case strings.Contains(format, "%"):
		return max(a-b, b-a) < unseen
	}
	return false
}

// TestMonthFigures checks what a program shows that does not calculate, and what
// the sheets are read and printed by.
func TestMonthFigures(t *testing.T) {
	b := demoBook(t)
	y := yearOf(t, b, 9, 2, 30)
	r := y.report(t, "2026-10")
	data := monthWorkbook(t, b, r)
	if !bytes.Equal(data, monthWorkbook(t, b, r)) {
		t.Error("two workbooks of one report differ")
	}
	f := open(t, data)
	for name, want := range reportNames(r) {
		if got := named(t, f, name); !sameFigure(got, strconv.FormatFloat(float(want), 'f', -1, 64), 1e-12) {
			t.Errorf("%s = %s, want %s", name, got, want.Text())
		}
	}
	want := []string{"Cover", "Orders", "Bridge", "Ingredients", "Packaging", "Movers", "Labour", "Overhead", "Waste", "Quotes", "Receivables", "Tax"}
	if got := f.GetSheetList(); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("sheets = %v, want %v", got, want)
	}
	areas, filters := map[string]bool{}, map[string]bool{}
	for _, n := range f.GetDefinedName() {
		switch n.Name {
		case "_xlnm.Print_Area":
			areas[n.Scope] = true
		case "_xlnm._FilterDatabase":
			filters[n.Scope] = true
		}
		if strings.ContainsAny(n.RefersTo, "[") {
			t.Errorf("%s = %s leads out of the workbook", n.Name, n.RefersTo)
		}
	}
	for _, sheet := range want {
		if !areas[sheet] {
			t.Errorf("%s has no print area", sheet)
		}
		layout, err := f.GetPageLayout(sheet)
		if err != nil || layout.FitToWidth == nil || *layout.FitToWidth != 1 {
			t.Errorf("%s is not as wide as a page: %+v, %v", sheet, layout, err)
		}
	}
	for _, sheet := range []string{"Orders", "Ingredients", "Packaging", "Waste", "Quotes", "Receivables", "Labour"} {
		if !filters[sheet] {
			t.Errorf("%s has no filter", sheet)
		}
		if panes, err := f.GetPanes(sheet); err != nil || !panes.Freeze {
			t.Errorf("panes of %s = %+v, %v", sheet, panes, err)
		}
	}
	if rules, err := f.GetConditionalFormats("Orders"); err != nil || len(rules) < 4 {
		t.Errorf("conditional formats of the orders = %v, %v", rules, err)
	}
	if got := strings.Count(parts(t, data), "xl/charts/chart"); got != 2 {
		t.Errorf("charts = %d, want 2", got)
	}
	if got := strings.Count(parts(t, monthWorkbook(t, b, y.report(t, "2026"))), "xl/charts/chart"); got != 3 {
		t.Errorf("charts of a year = %d, want 3", got)
	}
}

// parts names the parts of a workbook, and sees that they are well formed.
func parts(t *testing.T, data []byte) string {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, part := range archive.File {
		names = append(names, part.Name)
		wellFormed(t, part)
	}
	return strings.Join(names, " ")
}

func TestMonthPassesOnWriteErrors(t *testing.T) {
	b := demoBook(t)
	r := yearOf(t, b, 10, 1, 5).report(t, "2026-10")
	if err := Month(fullDisk{}, b.Studio, r); err == nil {
		t.Error("Month to a full disk returns no error")
	}
	r.Title = strings.Repeat("x", 300)
	if err := Month(io.Discard, b.Studio, r); err != nil {
		t.Errorf("Month with a long title: %v", err)
	}
}

// TestAmount: the fast way to a double is the nearest one too.
func TestAmount(t *testing.T) {
	cur := demoBook(t).Studio.Currency
	for _, s := range []string{"0", "0.01", "-0.07", "1.15", "99999.99", "-123456789012.35", "9007199254740993.17", "123456789012345678901234567890.12"} {
		a := cur.Round(exact.Must(s))
		if got, want := amount(a), float(a.Number()); got != want {
			t.Errorf("amount(%s) = %v, want %v", s, got, want)
		}
	}
}
