package pdf_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/month"
	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
)

// reported is the report of a span in which the demo studio had so many orders
// in each of the months from first on: some called off, some paid in part, with
// minutes recorded of some.
func reported(t testing.TB, b book.Book, span string, first, months, each int) month.Report {
	t.Helper()
	x := book.NewIndex(b)
	s, err := month.ParseSpan(span)
	if err != nil {
		t.Fatal(err)
	}
	var orders []quote.Order
	var records actual.Records
	for i := range months * each {
		c := b.Cakes[i%len(b.Cakes)]
		q := quote.Quote{}
		if i < len(b.Cakes) {
			r, err := quote.ReadRequest(fmt.Appendf(nil, `{"client": {"name": "Client %d, of the Old Saltworks"}, "event": {"date": "2026-12-01", "km": "12"}, "on": "2026-08-01",
				"lines": [{"cake": %q, "quantity": 1}], "extras": [{"extra": "delivery", "quantity": 1}], "discount": "%d %%"}`, i, c.ID, i%3))
			if err != nil {
				t.Fatal(err)
			}
			if q, err = quote.Price(x, r); err != nil {
				t.Fatal(err)
			}
			q = q.Choose(0)
		} else {
			q = orders[i%len(b.Cakes)].Quote
		}
		from := day.Must(fmt.Sprintf("2026-%02d-01", first+i%months))
		q.Number, q.Revision = fmt.Sprintf("2026-%04d", i+1), "A"
		q.Offer.EventDate = from.AddDays(i % 28)
		o := quote.Order{Quote: q, Accepted: from.AddDays(-40)}
		if i%9 == 5 {
			o.CancelledOn, o.Fee = from.AddDays(i%20), b.Studio.Currency.Round(exact.Int(95))
		}
		if i%3 == 0 {
			records.Work = append(records.Work, actual.Work{Head: actual.Head{On: from}, Order: q.Number, Way: actual.Worked, Role: "decorator", Minutes: exact.Int(int64(200 + i%90))})
		}
		o.Payments = []quote.Payment{{Quote: q.Number, On: o.Accepted, Amount: b.Studio.Currency.Round(q.Offer.Total.Number().Mul(exact.Frac(int64(1+i%4), 4)))}}
		orders = append(orders, o)
	}
	tally, err := month.New(s, month.Sources{Book: x, Ledger: actual.NewLedger(records), Today: seed.Today})
	if err != nil {
		t.Fatal(err)
	}
	fates := []month.Fate{month.Won, month.Won, month.Open, month.Declined, month.Lapsed}
	for i, o := range orders {
		if s.Holds(month.CountsOn(o)) {
			if err := tally.Order(o); err != nil {
				t.Fatal(err)
			}
		}
		tally.Account(o)
		q := o.Quote
		story := month.Story{Issued: q.Offer.EventDate, Fate: fates[i%len(fates)], Decided: q.Offer.EventDate}
		if story.Fate == month.Open {
			story.Decided = day.Date{}
		}
		tally.Quote(month.Offered{Number: q.Number, Client: q.Offer.Client.Name, Event: q.Offer.EventDate, IssuedNet: q.Basis.Net, Net: q.Basis.Net, Story: story})
	}
	r, err := tally.Report(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func studioBook(t testing.TB) book.Book {
	t.Helper()
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func renderMonth(t testing.TB, d document.Month) []byte {
	t.Helper()
	var out bytes.Buffer
	if _, err := pdf.Month(&out, d); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Outside check: qpdf reads the structure, poppler the text.
func TestMonth(t *testing.T) {
	b := studioBook(t)
	d := document.FromMonth(reported(t, b, "2026-10", 10, 1, 40), b.Studio)
	data := renderMonth(t, d)
	leave(t, "month", data)
	tool(t, data, "qpdf", "--check", "FILE")
	golden(t, "month.txt", tool(t, data, "pdftotext", "-layout", "FILE", "-"))
	if !bytes.Equal(data, renderMonth(t, d)) {
		t.Error("two papers of one report differ")
	}
	info := tool(t, data, "pdfinfo", "FILE")
	for _, want := range []string{"Monthly cost report, October 2026, Quillwort Cake Studio", "595.28 x 841.89 pts (A4)", "Pages:           2"} {
		if !strings.Contains(info, want) {
			t.Errorf("pdfinfo lacks %q:\n%s", want, info)
		}
	}
}

// Whatever happened takes two pages, and nothing on them stands below the foot.
func TestMonthIsTwoPages(t *testing.T) {
	b := studioBook(t)
	american := b
	american.Studio.Locale.Value = "en-US"
	odd := reported(t, b, "2026-10", 10, 1, 30)
	for i := range odd.Orders.Rows {
		odd.Orders.Rows[i].Client = strings.Repeat("Ελένη 🎂 نועה ", i)
	}
	odd.Studio = strings.Repeat("Long name ", 30)
	for i := range 20 {
		odd.Tax.Rows = append(odd.Tax.Rows, odd.Tax.Rows[i%2])
	}
	for name, r := range map[string]struct {
		b book.Book
		r month.Report
	}{
		"5,000 orders": {b, reported(t, b, "2026-10", 10, 1, 5000)}, "a year": {b, reported(t, b, "2026", 1, 12, 40)},
		"letter": {american, reported(t, american, "2026", 1, 12, 40)}, "nothing": {b, reported(t, b, "2026-10", 10, 1, 0)}, "odd": {b, odd},
	} {
		d := document.FromMonth(r.r, r.b.Studio)
		data := renderMonth(t, d)
		leave(t, "month "+name, data)
		if got := pages(data); got != 2 {
			t.Errorf("%s: %d pages, want 2", name, got)
		}
		high := 841.89
		if d.Paper == document.Letter {
			high = 792
		}
		boxes := tool(t, data, "pdftotext", "-bbox", "FILE", "-")
		for _, word := range strings.Split(boxes, "<word ")[1:] {
			var x0, y0, x1, y1 float64
			if _, err := fmt.Sscanf(word, `xMin="%f" yMin="%f" xMax="%f" yMax="%f"`, &x0, &y0, &x1, &y1); err != nil {
				t.Fatal(err)
			}
			// The foot begins 15.2 mm, 43 points, above the edge.
			if y1 > high-43 && y0 < high-43 || x1 > 620 || x0 < 50 {
				t.Errorf("%s: %.40q runs off the page", name, word)
				break
			}
		}
	}
}
