package sheet

import (
	"bytes"
	"io"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shopping"
)

// weekOf is a shopping list of every cake of the demo studio, as changed.
func weekOf(t testing.TB, b book.Book, change func(*shopping.Request)) shopping.List {
	t.Helper()
	x := book.NewIndex(b)
	r := shopping.Request{On: demoDay, Skip: []book.ID{"water"}, OnHand: map[book.ID]measure.Quantity{
		"butter": measure.Must("1.2 kg"), "sea-salt": measure.Must("4 kg"), "egg": measure.Must("30 each"),
	}}
	for i, c := range b.Cakes {
		takeoff, err := pricing.TakeCake(x, c.ID)
		if err != nil {
			t.Fatal(err)
		}
		r.Orders = append(r.Orders, shopping.Order{Ref: "2026-01" + strconv.Itoa(10+i), Wanted: []shopping.Wanted{{Takeoff: takeoff, Quantity: 1 + i%2}}})
	}
	if change != nil {
		change(&r)
	}
	l, err := shopping.ListOf(x, r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func shoppingWorkbook(t testing.TB, b book.Book, l shopping.List) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Shopping(&out, b.Studio, l); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestLibreOfficeAgreesOnShopping has LibreOffice calculate lists: as written,
// and with stock, packs and prices typed in.
func TestLibreOfficeAgreesOnShopping(t *testing.T) {
	if testing.Short() {
		t.Skip("starts LibreOffice")
	}
	b := demoBook(t)
	plainList := weekOf(t, b, nil)
	written := shoppingWorkbook(t, b, plainList)
	unrecovered := b
	unrecovered.Studio.RecoversTax = record.Some(false)
	other := shoppingWorkbook(t, unrecovered, weekOf(t, unrecovered, func(r *shopping.Request) { r.OneSupplier = true }))
	empty := shoppingWorkbook(t, b, weekOf(t, b, func(r *shopping.Request) { r.Orders = nil }))

	// 250 g more butter on hand change no pack; one more pack of one thing and a
	// price change what is paid.
	more := weekOf(t, b, func(r *shopping.Request) { r.OnHand["butter"] = measure.Must("1.45 kg") })
	f := open(t, written)
	row := func(id string) int {
		_, n, err := excelize.SplitCellName(cellByID(t, f, shoppingSheet, "R", id, "A"))
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	if err := f.SetCellValue(shoppingSheet, cellName("D", row("butter")), 1450); err != nil {
		t.Fatal(err)
	}
	typed := save(t, f)
	f = open(t, written)
	if err := f.SetCellValue(shoppingSheet, cellName("I", row("butter")), 0); err != nil {
		t.Fatal(err)
	}
	forgot := save(t, f)

	trials := []trial{{"list", written, written}, {"no tax recovered, one supplier", other, other}, {"nothing", empty, empty},
		{"stock typed in", typed, shoppingWorkbook(t, b, more)}, {"no butter bought", forgot, nil}}
	results := convert(t, trials)
	for i, tr := range trials[:4] {
		if n := compareCells(t, tr.name, open(t, results[i]), open(t, tr.want)); n < 100 && i != 2 {
			t.Errorf("%s: only %d figures compared", tr.name, n)
		}
	}
	// Without its butter the list runs short by what was to buy.
	var butter shopping.Line
	for _, l := range plainList.Lines {
		if l.ID == "butter" {
			butter = l
		}
	}
	got, err := open(t, results[4]).GetCellValue(shoppingSheet, cellName("O", row("butter")), excelize.Options{RawCellValue: true})
	if want := strconv.FormatFloat(-float(butter.ToBuy), 'f', -1, 64); err != nil || !sameFigure(got, want, 1e-6) {
		t.Errorf("left of butter that is not bought = %s, %v, want %s", got, err, want)
	}
}

func save(t *testing.T, f *excelize.File) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestShoppingFigures checks what a program shows that does not calculate, and
// the things that a sheet is printed and read by.
func TestShoppingFigures(t *testing.T) {
	b := demoBook(t)
	l := weekOf(t, b, nil)
	data := shoppingWorkbook(t, b, l)
	if !bytes.Equal(data, shoppingWorkbook(t, b, l)) {
		t.Error("two workbooks of one list differ")
	}
	f := open(t, data)
	for name, want := range map[string]exact.Number{
		"shopping_paid": l.Sum.PaidShown.Number(), "shopping_cost": l.Sum.CostShown.Number(), "shopping_tax": l.Sum.Tax().Number(),
	} {
		if got := named(t, f, name); !sameFigure(got, strconv.FormatFloat(float(want), 'f', -1, 64), 1e-9) {
			t.Errorf("%s = %s, want %s", name, got, want.Text())
		}
	}
	if panes, err := f.GetPanes(shoppingSheet); err != nil || !panes.Freeze || panes.YSplit != tableHead {
		t.Errorf("panes = %+v, %v, want %d frozen rows", panes, err, tableHead)
	}
	found := map[string]bool{}
	for _, n := range f.GetDefinedName() {
		found[n.Name] = true
	}
	if !found["_xlnm.Print_Area"] || !found["_xlnm.Print_Titles"] {
		t.Errorf("names = %v, want a print area and titles", found)
	}
}

func TestShoppingPassesOnWriteErrors(t *testing.T) {
	b := demoBook(t)
	l := weekOf(t, b, nil)
	if err := Shopping(fullDisk{}, b.Studio, l); err == nil {
		t.Error("Shopping to a full disk returns no error")
	}
	for i := range l.Groups {
		for j := range l.Groups[i].Buys {
			l.Groups[i].Buys[j].Line.Name = hostile[j%len(hostile)]
		}
	}
	if err := Shopping(io.Discard, b.Studio, l); err != nil {
		t.Errorf("Shopping with hostile names: %v", err)
	}
}
