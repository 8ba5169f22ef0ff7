package sheet

import (
	"bytes"
	"fmt"
	"testing"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// changeOf is what new prices of a unit do to the demo studio, its cakes in the
// order of the book and one quote of the first of them.
func changeOf(t testing.TB, b book.Book, ids []book.ID, factor exact.Number) Change {
	t.Helper()
	x := book.NewIndex(b)
	rates := pricing.NewRates(x, demoDay)
	share, err := rates.Share()
	if err != nil {
		t.Fatal(err)
	}
	c := Change{Studio: b.Studio, On: demoDay, Title: fmt.Sprint(ids), Share: share}
	perUnit := map[book.ID]exact.Number{}
	for _, id := range ids {
		kind, err := pricing.ResourceKind(x, id)
		if err != nil {
			t.Fatal(err)
		}
		rate, err := rates.Of(id, kind)
		if err != nil {
			t.Fatal(err)
		}
		// Rounded to what a workbook's cell shows, so that an edit can be exact.
		perUnit[id] = exact.FromDecimal(rate.PerUnit.Mul(factor).Round(8))
		c.Moved = append(c.Moved, Moved{id, rate.Unit, rate.PerUnit, perUnit[id]})
	}
	for _, k := range b.Cakes {
		costing, err := pricing.CostCake(x, k.ID, rates)
		if err != nil {
			t.Fatal(err)
		}
		im, uses, err := pricing.ImpactOf(b.Studio, costing, perUnit)
		if err != nil {
			t.Fatal(err)
		}
		if !uses {
			continue
		}
		row := ChangedCake{Impact: im, Name: k.Name}
		for _, id := range ids {
			line, _ := costing.Takeoff.Bill.Line(id)
			row.Quantity = append(row.Quantity, line.Quantity)
		}
		c.Cakes = append(c.Cakes, row)
		if len(c.Quotes) == 0 {
			c.Quotes = []ChangedQuote{{
				Number: "2026-0001", Client: "=A. Client", Event: day.Must("2027-06-12"), Net: costing.Offer.Net,
				Sold: im.Before.Mul(exact.Frac(9, 10)), Now: im.Before, After: im.After, Quantity: row.Quantity,
			}}
		}
	}
	return c
}

func impactWorkbook(t testing.TB, c Change) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Impact(&out, c); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// impactTrials are workbooks as written, and with a new price typed into one.
func impactTrials(t *testing.T) []trial {
	b := demoBook(t)
	one := impactWorkbook(t, changeOf(t, b, []book.ID{"butter"}, exact.Must("1.18")))
	several := impactWorkbook(t, changeOf(t, b, []book.ID{"butter", "egg", "decorator", "energy", "overhead"}, exact.Must("0.9")))
	flat := b
	flat.Overhead = &book.Overhead{Method: book.ByPercent, Dated: []book.DatedOverhead{{From: day.Must("2025-01-01"), Share: record.Some(measure.MustPercent("18.5 %"))}}}
	share := impactWorkbook(t, changeOf(t, flat, []book.ID{"butter"}, exact.Must("1.5")))

	dearer := changeOf(t, b, []book.ID{"butter"}, exact.Must("3"))
	f := open(t, one)
	price := float(dearer.Moved[0].New)
	if err := f.SetCellValue("Prices", "D5", price); err != nil {
		t.Fatal(err)
	}
	var typed bytes.Buffer
	if err := f.Write(&typed); err != nil {
		t.Fatal(err)
	}
	want := dearer
	want.Title = fmt.Sprint([]book.ID{"butter"})
	return []trial{{"impact", one, one}, {"impact of several", several, several}, {"impact under a percentage", share, share},
		{"impact, a price typed in", typed.Bytes(), impactWorkbook(t, want)}}
}

func TestImpactIsTheSameBytes(t *testing.T) {
	c := changeOf(t, demoBook(t), []book.ID{"butter", "egg"}, exact.Must("1.1"))
	if !bytes.Equal(impactWorkbook(t, c), impactWorkbook(t, c)) {
		t.Error("two workbooks of one change differ")
	}
}

func TestImpactRefusesTooMany(t *testing.T) {
	c := changeOf(t, demoBook(t), []book.ID{"butter"}, exact.Must("1.1"))
	for range mostMoved {
		c.Moved = append(c.Moved, c.Moved[0])
	}
	if err := Impact(&bytes.Buffer{}, c); err == nil {
		t.Error("Impact takes more resources than it has columns for")
	}
}
