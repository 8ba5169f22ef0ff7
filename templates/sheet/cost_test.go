package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/seed"
)

// demoDay is a day on which the demo studio has a price for everything.
var demoDay = day.Must("2026-11-25")

func demoBook(t testing.TB) book.Book {
	t.Helper()
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func exampleBook(t testing.TB) book.Book {
	t.Helper()
	data, err := os.ReadFile("../../pricing/testdata/example-book.json")
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func costing(t testing.TB, b book.Book, cake book.ID, on day.Date) (*book.Index, pricing.Costing) {
	t.Helper()
	x := book.NewIndex(b)
	c, err := pricing.CostCake(x, cake, pricing.NewRates(x, on))
	if err != nil {
		t.Fatal(err)
	}
	return x, c
}

func build(t testing.TB, b book.Book, cake book.ID, on day.Date) []byte {
	t.Helper()
	x, c := costing(t, b, cake, on)
	var out bytes.Buffer
	if err := Cost(&out, x, c); err != nil {
		t.Fatalf("Cost(%s) = %v", cake, err)
	}
	return out.Bytes()
}

func open(t testing.TB, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// named returns the raw value of a cell by its name.
func named(t testing.TB, f *excelize.File, name string) string {
	t.Helper()
	sheet, cell := whereNamed(t, f, name)
	v, err := f.GetCellValue(sheet, cell, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func whereNamed(t testing.TB, f *excelize.File, name string) (sheet, cell string) {
	t.Helper()
	for _, n := range f.GetDefinedName() {
		if n.Name == name {
			sheet, cell, _ = strings.Cut(n.RefersTo, "!")
			return strings.Trim(sheet, "'"), strings.ReplaceAll(cell, "$", "")
		}
	}
	t.Fatalf("no cell is named %s", name)
	return "", ""
}

// TestCachedFigures checks what a program shows that does not calculate.
func TestCachedFigures(t *testing.T) {
	b := demoBook(t)
	for _, cake := range b.Cakes {
		_, c := costing(t, b, cake.ID, demoDay)
		f := open(t, build(t, b, cake.ID, demoDay))
		margin, hasMargin := c.Margin()
		each, served := pricing.PerPortion(c.Cost.Total(), c.Takeoff.Served)
		for _, figure := range []struct {
			name  string
			want  exact.Number
			known bool
		}{
			{"cost_ingredients", c.Cost.Ingredients, true},
			{"cost_packaging", c.Cost.Packaging, true},
			{"cost_labour", c.Cost.Labour, true},
			{"cost_equipment", c.Cost.Equipment, true},
			{"cost_overhead", c.Cost.Overhead, true},
			{"cost_total", c.Cost.Total(), true},
			{"cost_per_portion", each, served},
			{"labour_minutes", c.Takeoff.Bill.Minutes(), true},
			{"portions_made", exact.Int(int64(c.Takeoff.Made)), true},
			{"portions_served", exact.Int(int64(c.Takeoff.Served)), true},
			{"target_price", c.Offer.Target, c.Offer.HasGoal},
			{"shown_price", c.Offer.Shown, c.Offer.HasPrice},
			{"net_price", c.Offer.Net, c.Offer.HasPrice},
			{"margin", margin, hasMargin},
		} {
			want, got := absent, named(t, f, figure.name)
			if figure.known {
				want = strconv.FormatFloat(float(figure.want), 'f', -1, 64)
			}
			if !sameFigure(got, want, 1e-9) {
				t.Errorf("%s: %s = %s, want %s", cake.ID, figure.name, got, want)
			}
		}
	}
}

// sameFigure reports whether two cells hold the same text, or numbers within a
// tolerance.
func sameFigure(a, b string, tolerance float64) bool {
	x, errA := strconv.ParseFloat(a, 64)
	y, errB := strconv.ParseFloat(b, 64)
	if errA != nil || errB != nil {
		return a == b
	}
	return math.Abs(x-y) <= tolerance*max(1, math.Abs(x)*1e-3)
}

func TestCostIsTheSameBytes(t *testing.T) {
	b := demoBook(t)
	want := build(t, b, "wedding-three-tier", demoDay)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 3 {
				if got := build(t, b, "wedding-three-tier", demoDay); !bytes.Equal(got, want) {
					t.Errorf("Cost gave %d other bytes for the same costing", len(got))
					return
				}
			}
		})
	}
	wg.Wait()
}

func TestCostParts(t *testing.T) {
	data := build(t, demoBook(t), "wedding-three-tier", demoDay)
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	if first := archive.File[0].Name; first != contentTypes {
		t.Errorf("the first part is %s, want %s", first, contentTypes)
	}
	for i, part := range archive.File {
		if i > 0 && part.Name <= archive.File[i-1].Name {
			t.Errorf("%s stands after %s", part.Name, archive.File[i-1].Name)
		}
		if !part.Modified.Equal(demoDay.Time()) {
			t.Errorf("%s is of %s, want the day of the costing", part.Name, part.Modified)
		}
		wellFormed(t, part)
	}
	props, err := open(t, data).GetDocProps()
	if err != nil {
		t.Fatal(err)
	}
	if props.Created != "2026-11-25T00:00:00Z" || props.Creator != "Quillwort Cake Studio" || !strings.Contains(props.Title, "wedding") {
		t.Errorf("properties = %q of %q, created %s", props.Title, props.Creator, props.Created)
	}
}

func wellFormed(t *testing.T, part *zip.File) {
	t.Helper()
	r, err := part.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	for decoder := xml.NewDecoder(r); ; {
		if _, err := decoder.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Fatalf("%s: %v", part.Name, err)
		}
	}
}

// hostile are names that a spreadsheet might take for something else.
var hostile = []string{
	"=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1:A9)", `say "cheese" it's`, "a*b?~c", "</t></is></c>&amp;", "_x0041_nis",
	"Gâteau 漢字 🎂🎂", "tab\there\nand line", "nul\x00 bell\a", "bad \xff byte", "&L&D&P", strings.Repeat("long 🎂 ", 8000),
}

func hostileBook(t testing.TB) book.Book {
	b := exampleBook(t)
	next := 0
	rename := func(name *string) {
		*name = hostile[next%len(hostile)]
		next++
	}
	for i := range b.Ingredients {
		rename(&b.Ingredients[i].Name)
	}
	for i := range b.Components {
		rename(&b.Components[i].Name)
		for j := range b.Components[i].Tasks {
			rename(&b.Components[i].Tasks[j].Name)
		}
	}
	for i := range b.Roles {
		rename(&b.Roles[i].Name)
	}
	for i := range b.Cakes {
		b.Cakes[i].Name = "=HYPERLINK(\"x\")&" + strings.Repeat("&🎂", 200)
	}
	b.Studio.Name = "@" + strings.Repeat("&", 300)
	return b
}

func TestHostileNamesStayText(t *testing.T) {
	data := build(t, hostileBook(t), "two-tier-lemon", day.Must("2026-11-01"))
	plainBook := open(t, build(t, exampleBook(t), "two-tier-lemon", day.Must("2026-11-01")))
	f := open(t, data)
	if got, want := named(t, f, "cost_total"), named(t, plainBook, "cost_total"); got != want {
		t.Errorf("cost_total = %s under hostile names, want %s", got, want)
	}
	seen := map[string]bool{}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, text := range row {
				seen[text] = true
				cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
				formula, _ := f.GetCellFormula(sheet, cell)
				want, _ := plainBook.GetCellFormula(sheet, cell)
				if formula != want {
					t.Fatalf("%s %s: formula %q under hostile names, want %q", sheet, cell, formula, want)
				}
			}
		}
	}
	for _, name := range hostile[:9] {
		if !seen[name] {
			t.Errorf("%q stands nowhere in the workbook", name)
		}
	}
}

func TestPlain(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{"=1+1", "=1+1"},
		{"two\nlines\tand a tab", "two lines and a tab"},
		{"nul\x00bell\a", "nulbell"},
		{"bad \xff", "bad \uFFFD"},
	} {
		if got := plain(tc.in); got != tc.want {
			t.Errorf("plain(%q) = %q, want %q", tc.in, got, tc.want)
		}
	}
	for _, long := range []string{strings.Repeat("a", maxText+1), strings.Repeat("🎂", maxText)} {
		got := plain(long)
		if n := len(utf16.Encode([]rune(got))); n > maxText || n < maxText-1 || !strings.HasSuffix(got, "…") {
			t.Errorf("plain of %d bytes has %d units, want %d and an ellipsis", len(long), n, maxText)
		}
	}
	if fits := strings.Repeat("a", maxText); plain(fits) != fits {
		t.Error("text that just fits is cut")
	}
}

func TestCostRefusesWhatIf(t *testing.T) {
	x := book.NewIndex(demoBook(t))
	rates := pricing.NewRates(x, demoDay).With(map[book.ID]exact.Number{"butter": exact.Int(1)})
	c, err := pricing.CostCake(x, "wedding-three-tier", rates)
	if err != nil {
		t.Fatal(err)
	}
	err = Cost(io.Discard, x, c)
	if err == nil || !strings.Contains(err.Error(), "butter") {
		t.Errorf("Cost at a butter price of no book = %v, want an error that names it", err)
	}
}

type fullDisk struct{}

var errFull = errors.New("disk full")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestCostPassesOnWriteErrors(t *testing.T) {
	x, c := costing(t, demoBook(t), "choux-tower", demoDay)
	if err := Cost(fullDisk{}, x, c); !errors.Is(err, errFull) {
		t.Errorf("Cost to a full disk = %v, want %v", err, errFull)
	}
}

func TestMoneyFormats(t *testing.T) {
	b := demoBook(t)
	for _, tc := range []struct{ locale, currency, plain, fine string }{
		{"en-IE", "EUR", `[$€-1809]#,##0.00`, `[$€-1809]#,##0.000000`},
		{"de-DE", "EUR", `#,##0.00\ [$€-407]`, `#,##0.000000\ [$€-407]`},
		{"en-GB", "GBP", `[$£-809]#,##0.00`, `[$£-809]#,##0.000000`},
		{"ja-JP", "JPY", `[$¥-411]#,##0`, `[$¥-411]#,##0.0000`},
		{"en", "KWD", `[$KWD]\ #,##0.000`, `[$KWD]\ #,##0.0000000`},
		{"de-CH", "CHF", `[$CHF-807]\ #,##0.00`, `[$CHF-807]\ #,##0.000000`},
	} {
		if err := b.Studio.Currency.UnmarshalText([]byte(tc.currency)); err != nil {
			t.Fatal(err)
		}
		m := newMoneyFormats(tc.locale, b.Studio.Currency)
		if m.plain != tc.plain || m.fine != tc.fine {
			t.Errorf("newMoneyFormats(%s, %s) = %s and %s, want %s and %s", tc.locale, tc.currency, m.plain, m.fine, tc.plain, tc.fine)
		}
	}
}

func BenchmarkCostSheet(b *testing.B) {
	x, c := costing(b, demoBook(b), "wedding-three-tier", demoDay)
	b.ReportAllocs()
	for b.Loop() {
		if err := Cost(io.Discard, x, c); err != nil {
			b.Fatal(err)
		}
	}
}
