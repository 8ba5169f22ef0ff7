package sheet

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// trial is a workbook that LibreOffice calculates, and what must come out:
// cell by cell what the engine has for the same book.
type trial struct {
	name string
	data []byte // as written, or with inputs changed
	want []byte // of the book with the same changes
}

// TestLibreOfficeAgrees has LibreOffice calculate workbooks and compares every
// cell of every sheet with what the engine wrote beside the formulas: as
// written, and after inputs were changed in the workbook and in the book.
func TestLibreOfficeAgrees(t *testing.T) {
	if testing.Short() {
		t.Skip("starts LibreOffice")
	}
	trials := slices.Concat(asWritten(t), otherStudios(t), changed(t), impactTrials(t))
	recalculated := convert(t, trials)
	for i, tr := range trials {
		got, want := open(t, recalculated[i]), open(t, tr.want)
		if n := compareCells(t, tr.name, got, want); n < 100 {
			t.Errorf("%s: only %d figures compared", tr.name, n)
		}
	}
}

// asWritten is every cake of the demo studio, and the example book.
func asWritten(t *testing.T) []trial {
	var trials []trial
	b := demoBook(t)
	for _, cake := range b.Cakes {
		data := build(t, b, cake.ID, demoDay)
		trials = append(trials, trial{string(cake.ID), data, data})
	}
	data := build(t, exampleBook(t), "two-tier-lemon", day.Must("2026-11-01"))
	hostile := build(t, hostileBook(t), "two-tier-lemon", day.Must("2026-11-01"))
	dates := build(t, datedIDs(t), "two-tier-lemon", day.Must("2026-11-01"))
	return append(trials, trial{"example", data, data}, trial{"hostile names", hostile, hostile}, trial{"ids like dates", dates, dates})
}

// datedIDs is the example under ids that a spreadsheet might take for dates,
// numbers or truths.
func datedIDs(t *testing.T) book.Book {
	data, err := os.ReadFile("../../pricing/testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.NewReplacer(`"butter"`, `"may-2"`, `"caster-sugar"`, `"1-2"`, `"pastry"`, `"1e5"`, `"decorator"`, `"100000"`,
		`"mixer"`, `"true"`, `"egg"`, `"007"`, `"dowel"`, `"7"`).Replace(string(data))
	b, err := book.Parse([]byte(strings.ReplaceAll(text, `"contains": ["007"]`, `"contains": ["egg"]`)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// otherStudios is the example under other methods, targets and currencies.
func otherStudios(t *testing.T) []trial {
	percent := func(s string) record.Maybe[measure.Percent] { return record.Some(measure.MustPercent(s)) }
	price := func(s string) record.Maybe[money.Price] { return record.Some(moneyPrice(s)) }
	on := day.Must("2026-11-01")
	var trials []trial
	for _, variant := range []struct {
		name   string
		change func(b *book.Book)
	}{
		{"overhead by percent", func(b *book.Book) {
			b.Overhead = &book.Overhead{Method: book.ByPercent, Dated: []book.DatedOverhead{{From: day.Must("2026-01-01"), Share: percent("18.5 %")}}}
		}},
		{"overhead by cake", func(b *book.Book) {
			b.Overhead = &book.Overhead{Method: book.ByCake, Dated: []book.DatedOverhead{{From: day.Must("2026-01-01"), Amount: price("31.25")}}}
		}},
		{"no overhead", func(b *book.Book) { b.Overhead = nil }},
		{"no tax", func(b *book.Book) { b.Studio.Tax = nil }},
		{"tax is not recovered", func(b *book.Book) { b.Studio.RecoversTax = record.Some(false) }},
		{"net prices, no list price", func(b *book.Book) {
			b.Studio.PricesShown = record.Some(book.Net)
			b.Cakes[0].Price = record.Maybe[money.Price]{}
		}},
		{"no step, own tax rate", func(b *book.Book) {
			b.Studio.PriceStep = record.Maybe[money.Price]{}
			b.Cakes[0].Price = record.Maybe[money.Price]{}
			b.Cakes[0].TaxRate = percent("9 %")
		}},
		{"markup, step 0.05", func(b *book.Book) {
			b.Studio.PriceStep = price("0.05")
			b.Cakes[0].Price = record.Maybe[money.Price]{}
			b.Cakes[0].Target = &book.Target{Markup: percent("140 %")}
		}},
		// 26.45 × portions is a multiple of the step that no double holds.
		{"per portion, a multiple of the step", func(b *book.Book) {
			b.Studio.PriceStep = price("0.05")
			b.Cakes[0].Price = record.Maybe[money.Price]{}
			b.Cakes[0].Target = &book.Target{PerPortion: price("26.45")}
		}},
		{"fixed, finer than the minor unit", func(b *book.Book) {
			b.Studio.PriceStep = record.Maybe[money.Price]{}
			b.Cakes[0].Price = record.Maybe[money.Price]{}
			b.Cakes[0].Target = &book.Target{Fixed: price("512.345")}
		}},
		{"nothing served", func(b *book.Book) {
			b.Cakes[0].Price = record.Maybe[money.Price]{}
			b.Cakes[0].Target = &book.Target{PerPortion: price("6.00")}
			for i := range b.Cakes[0].Tiers {
				b.Cakes[0].Tiers[i].Kept = record.Some(true)
			}
		}},
		{"given away", func(b *book.Book) { b.Cakes[0].Price = price("0") }},
		{"below the floor, yen", func(b *book.Book) {
			b.Studio.Currency.UnmarshalText([]byte("JPY"))
			b.Studio.Locale = record.Some("ja-JP")
			b.Cakes[0].Price = price("300")
			b.Studio.PriceStep = record.Maybe[money.Price]{}
		}},
		{"batches", func(b *book.Book) {
			for i := range b.Components {
				b.Components[i].BatchMin, b.Components[i].BatchMax = measure.Must("3 kg"), measure.Must("700 g")
			}
		}},
		{"bought only", func(b *book.Book) {
			b.Cakes[0].Tiers, b.Cakes[0].Tasks = nil, nil
			b.Cakes[0].Portions = record.Some(20)
			b.Cakes[0].Parts = b.Cakes[0].Parts[:1]
		}},
		{"nothing at all", func(b *book.Book) {
			b.Cakes[0].Tiers, b.Cakes[0].Tasks, b.Cakes[0].Parts = nil, nil, nil
			b.Cakes[0].Portions = record.Some(20)
			b.Energy, b.Overhead.Dated = nil, nil
		}},
	} {
		b := exampleBook(t)
		variant.change(&b)
		data := build(t, b, "two-tier-lemon", on)
		trials = append(trials, trial{variant.name, data, data})
	}
	return trials
}

func moneyPrice(s string) money.Price { return money.PriceOf(decimal.RequireFromString(s)) }

// changed is workbooks in which prices, wages and the list price were typed
// over, beside the workbooks of a book with the same changes.
func changed(t *testing.T) []trial {
	type change struct {
		name  string
		sheet func(f *excelize.File)
		book  func(b *book.Book, cake *book.Cake)
	}
	type subject struct {
		cake book.ID
		load func(testing.TB) book.Book
		on   day.Date
		role book.ID
	}
	var trials []trial
	for _, s := range []subject{
		{"wedding-three-tier", demoBook, demoDay, "decorator"},
		{"winter-fruit", demoBook, demoDay, "pastry"},
		{"raspberry-heart", demoBook, demoDay, "pastry"},
		{"caramel-drip", demoBook, demoDay, "pastry"},
		{"two-tier-lemon", exampleBook, day.Must("2026-11-01"), "decorator"},
	} {
		put := func(f *excelize.File, sheet, cell string, v any) {
			if err := f.SetCellValue(sheet, cell, v); err != nil {
				t.Fatal(err)
			}
		}
		for _, c := range []change{
			{"butter at 61.35", func(f *excelize.File) {
				put(f, materialsSheet, cellByID(t, f, materialsSheet, "O", "butter", "G"), 61.35)
			},
				func(b *book.Book, _ *book.Cake) { setPrice(t, b, "butter", s.on, "61.35") }},
			{"wage at 33.10", func(f *excelize.File) {
				put(f, labourSheet, cellByID(t, f, labourSheet, "J", string(s.role), "C"), 33.10)
			},
				func(b *book.Book, _ *book.Cake) { setWage(t, b, s.role, s.on, "33.10") }},
			{"no list price", func(f *excelize.File) {
				sheet, cell := whereNamed(t, f, "list_price")
				put(f, sheet, cell, nil)
			}, func(_ *book.Book, cake *book.Cake) { cake.Price = record.Maybe[money.Price]{} }},
			{"energy at 0.99 and list price 333", func(f *excelize.File) {
				sheet, cell := whereNamed(t, f, "energy_price")
				put(f, sheet, cell, 0.99)
				sheet, cell = whereNamed(t, f, "list_price")
				put(f, sheet, cell, 333)
			}, func(b *book.Book, cake *book.Cake) {
				for i := range b.Energy {
					b.Energy[i].Price = moneyPrice("0.99")
				}
				cake.Price = record.Some(moneyPrice("333"))
			}},
		} {
			f := open(t, build(t, s.load(t), s.cake, s.on))
			c.sheet(f)
			buf, err := f.WriteToBuffer()
			if err != nil {
				t.Fatal(err)
			}
			b := s.load(t)
			i := slices.IndexFunc(b.Cakes, func(k book.Cake) bool { return k.ID == s.cake })
			c.book(&b, &b.Cakes[i])
			trials = append(trials, trial{string(s.cake) + ", " + c.name, buf.Bytes(), build(t, b, s.cake, s.on)})
		}
	}
	return trials
}

// cellByID finds the cell in a column of the row whose id column has id.
func cellByID(t *testing.T, f *excelize.File, sheet, ids, id, column string) string {
	for row := 1; row < 500; row++ {
		if v, _ := f.GetCellValue(sheet, cellName(ids, row)); v == id {
			return cellName(column, row)
		}
	}
	t.Fatalf("%s: no row of %s", sheet, id)
	return ""
}

// setPrice changes what the pack in force costs.
func setPrice(t *testing.T, b *book.Book, id book.ID, on day.Date, price string) {
	for i := range b.Ingredients {
		if b.Ingredients[i].ID != id {
			continue
		}
		now, err := b.Ingredients[i].PriceOn(on)
		if err != nil {
			t.Fatal(err)
		}
		now.Price = moneyPrice(price)
		b.Ingredients[i].Prices = append(slices.Clone(b.Ingredients[i].Prices), now)
	}
}

func setWage(t *testing.T, b *book.Book, id book.ID, on day.Date, wage string) {
	for i := range b.Roles {
		if b.Roles[i].ID != id {
			continue
		}
		now, err := b.Roles[i].WageOn(on)
		if err != nil {
			t.Fatal(err)
		}
		now.PerHour = moneyPrice(wage)
		b.Roles[i].Wage = append(slices.Clone(b.Roles[i].Wage), now)
	}
}

// recalculateAlways is a LibreOffice profile under which no figure that stands
// beside a formula is trusted.
const recalculateAlways = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`

// convert has LibreOffice load, calculate and save all workbooks in one run.
func convert(t *testing.T, trials []trial) [][]byte {
	t.Helper()
	soffice, err := exec.LookPath("soffice")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("soffice is not installed; the workbooks cannot be checked without it")
		}
		t.Skip("soffice is not installed")
	}
	in, out, profile := t.TempDir(), t.TempDir(), t.TempDir()
	if err := os.MkdirAll(filepath.Join(profile, "user"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(profile, "user", "registrymodifications.xcu"), []byte(recalculateAlways), 0o600); err != nil {
		t.Fatal(err)
	}
	args := []string{"-env:UserInstallation=file://" + filepath.ToSlash(profile), "--headless", "--convert-to", "xlsx", "--outdir", out}
	for i, tr := range trials {
		file := filepath.Join(in, fmt.Sprintf("%03d.xlsx", i))
		if err := os.WriteFile(file, tr.data, 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, file)
	}
	if said, err := exec.Command(soffice, args...).CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, said)
	}
	results := make([][]byte, len(trials))
	for i, tr := range trials {
		if results[i], err = os.ReadFile(filepath.Join(out, fmt.Sprintf("%03d.xlsx", i))); err != nil {
			t.Fatalf("%s: LibreOffice made nothing of it: %v", tr.name, err)
		}
	}
	return results
}

// compareCells compares all cells of two workbooks and returns how many
// numbers agreed.
func compareCells(t *testing.T, name string, got, want *excelize.File) int {
	t.Helper()
	raw := excelize.Options{RawCellValue: true}
	figures, faults := 0, 0
	for _, sheet := range want.GetSheetList() {
		rows, err := want.GetRows(sheet, raw)
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, expect := range row {
				cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
				v, err := got.GetCellValue(sheet, cell, raw)
				if err != nil {
					t.Fatal(err)
				}
				kind, _ := got.GetCellType(sheet, cell)
				switch {
				case kind == excelize.CellTypeError, strings.HasPrefix(v, "#") && expect != v, strings.HasPrefix(v, "Err:"):
					t.Errorf("%s: %s!%s is the error %s, want %s", name, sheet, cell, v, expect)
				case !sameFigure(v, expect, 1e-6):
					faults++
					if faults <= 5 {
						t.Errorf("%s: %s!%s = %s, want %s", name, sheet, cell, v, expect)
					}
				case kind == excelize.CellTypeNumber || kind == excelize.CellTypeUnset:
					figures++
				}
			}
		}
	}
	return figures
}
