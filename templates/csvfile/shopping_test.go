package csvfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shopping"
	"marchpane/seed"
)

func demoList(t *testing.T) shopping.List {
	t.Helper()
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	x := book.NewIndex(b)
	r := shopping.Request{On: day.Must("2026-11-25"), OnHand: map[book.ID]measure.Quantity{"sea-salt": measure.Must("4 kg")}}
	for _, c := range b.Cakes {
		takeoff, err := pricing.TakeCake(x, c.ID)
		if err != nil {
			t.Fatal(err)
		}
		r.Orders = append(r.Orders, shopping.Order{Ref: "=" + string(c.ID), Wanted: []shopping.Wanted{{Takeoff: takeoff, Quantity: 1}}})
	}
	l, err := shopping.ListOf(x, r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestShopping reads the file back, as RFC 4180 has it, and adds up.
func TestShopping(t *testing.T) {
	l := demoList(t)
	var out bytes.Buffer
	if err := Shopping(&out, l); err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(out.String(), "\r\n")
	if strings.Count(out.String(), "\n") != len(lines)-1 || lines[len(lines)-1] != "" {
		t.Error("rows do not all end with CRLF")
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	paid, cost, packs, stocked := decimal.Zero, decimal.Zero, 0, 0
	for _, row := range rows[1:] {
		for _, name := range []string{"needed", "on_hand", "to_buy", "packs", "pack_holds", "pack_price", "paid", "cost", "left_over"} {
			if cell := row[column[name]]; cell != "" && strings.Trim(cell, "0123456789.") != "" {
				t.Errorf("%s of %s is %q, no plain decimal", name, row[column["id"]], cell)
			}
		}
		for _, cell := range row {
			if cell != "" && strings.ContainsAny(cell[:1], "=+-@") {
				t.Errorf("%q would be a formula", cell)
			}
		}
		paid = paid.Add(decimal.RequireFromString(row[column["paid"]]))
		cost = cost.Add(decimal.RequireFromString(row[column["cost"]]))
		if row[column["packs"]] == "0" {
			stocked++
		} else {
			packs++
		}
	}
	if !paid.Equal(l.Sum.PaidShown.Decimal()) || !cost.Equal(l.Sum.CostShown.Decimal()) {
		t.Errorf("rows add up to %s and %s, want %s and %s", paid, cost, l.Sum.PaidShown, l.Sum.CostShown)
	}
	if packs < 40 || stocked != 1 {
		t.Errorf("%d rows of packs and %d of stock, want those of the demo studio and its salt", packs, stocked)
	}
}

// TestText: cells that begin a formula in common spreadsheet programs (common
// practice, as security handbooks describe it; no source).
func TestText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Butter", "Butter"},
		{"", ""},
		{"=1+1", "'=1+1"},
		{"+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"},
		{"-2+3", "'-2+3"},
		{"@SUM(A1)", "'@SUM(A1)"},
		{"  =1", "'  =1"},
		{"\t=1", "' =1"},
		{"\r\n@x", "'  @x"},
		{"\x00=1", "'=1"},
		{"\u200b=1", "'\u200b=1"},
		{"＝1", "'＝1"},
		{"a=1", "a=1"},
		{"bad \xff", "bad \uFFFD"},
	} {
		if got := text(c.in); got != c.want {
			t.Errorf("text(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

func TestFigure(t *testing.T) {
	for in, want := range map[string]string{"12.50": "12.5", "1/3": "0.333333", "100": "100", "0": "0", "0.0000004": "0", "-2.5": "-2.5"} {
		if got := figure(exact.Must(in)); got != want {
			t.Errorf("figure(%s) = %s, want %s", in, got, want)
		}
	}
}

// TestRow: commas, quotes and breaks as RFC 4180, section 2, rules 5 to 7 have them.
func TestRow(t *testing.T) {
	var out bytes.Buffer
	table := newTable(&out, "a", "b")
	table.row(text(`say "cheese"`), text("one, two"))
	if err := table.close(); err != nil {
		t.Fatal(err)
	}
	if got, want := out.String(), "a,b\r\n\"say \"\"cheese\"\"\",\"one, two\"\r\n"; got != want {
		t.Errorf("rows = %q, want %q", got, want)
	}
}

type fullDisk struct{}

var errFull = errors.New("disk full")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestPassesOnWriteErrors(t *testing.T) {
	if err := Shopping(fullDisk{}, demoList(t)); !errors.Is(err, errFull) {
		t.Errorf("Shopping to a full disk = %v, want %v", err, errFull)
	}
}
