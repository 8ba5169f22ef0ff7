package pdf

import (
	"bytes"
	"io"
	"testing"
	"time"

	"github.com/go-pdf/fpdf"

	"marchpane/pricing/day"
	"marchpane/templates/document"
)

// typical is a quotation of usual length.
func typical() document.Quote {
	m := document.MessagesFor("en")
	q := document.Quote{
		Language: "en", Title: "Quotation", Date: day.Must("2026-11-25"), Heading: "Quotation", Name: "Quotation 2026-0001, revision A",
		Page: m.Page, More: m.Continued, Design: "Your cake",
		Studio:    document.Studio{Name: "Quillwort Cake Studio", Address: []string{"Unit 4, The Old Saltworks"}, Email: "orders@quillwort.example", Phone: "+353 20 910 0142"},
		Reference: []document.Fact{{Label: "Number", Value: "2026-0001"}, {Label: "Date", Value: "25 November 2026"}},
		Client:    document.Section{Heading: "Prepared for", Lines: []string{"Zoë Šimková and Cormac Devane"}},
		Event:     []document.Fact{{Label: "Date of the event", Value: "Saturday, 12 June 2027"}},
		Cakes:     []document.Cake{{Name: "Three-tier wedding cake", Description: "Vanilla sponge with lemon curd.", Portions: "110 portions"}},
		Prices: document.Prices{Heading: "Prices", Columns: document.PriceLine{Name: "Item", Quantity: "Qty", Unit: "Each", Amount: "Amount"},
			Total: document.Fact{Label: "Total", Value: "€1,335.70"}, Note: "All prices include VAT."},
		Allergens: document.AllergenStatement(m, "eu", []string{"wheat", "egg", "milk"}, []string{"soy"}),
		Terms: document.Section{Heading: "Terms", Lines: []string{"A date is held once the deposit is paid.",
			"The cake stays on a firm, level table and is not moved once it has been set up. From then on it is in the care of the venue."}},
	}
	for range 14 {
		q.Prices.Lines = append(q.Prices.Lines, document.PriceLine{Kind: document.ExtraLine, Name: "Dessert table, lemon and raspberry", Quantity: "12", Unit: "€3.50", Amount: "€42.00"})
	}
	return q
}

// bare writes as many texts with the same faces and nothing else.
func bare(w io.Writer, texts, pages int) error {
	p := fpdf.New("P", "mm", "A4", "")
	for _, f := range []*face{serif, sans} {
		p.AddUTF8FontFromBytes(f.family, "", f.ttf)
	}
	for page := range pages {
		p.AddPage()
		for i := range texts / pages {
			f := serif
			if i%4 > 0 {
				f = sans
			}
			p.SetFont(f.family, "", 9.5)
			p.Text(20, 20+float64(i)*2, "Dessert table, lemon and raspberry "+string(rune('0'+page)))
		}
	}
	return p.Output(w)
}

// texts counts the texts on the paper of q, and its pages.
func texts(t testing.TB, q document.Quote) (texts, pages int) {
	c := newCanvas(q.Paper, q.Look)
	c.pdf.SetCompression(false)
	p := &quotePaper{Quote: q, left: margin, width: c.width - 2*margin, pageHeight: c.height}
	placed := p.layOut()
	p.draw(c, placed)
	var b bytes.Buffer
	if err := c.pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	return bytes.Count(b.Bytes(), []byte(") Tj ET")), len(placed)
}

// BenchmarkQuotePDF reports beside its own time how many times that of the
// bare library it takes. The bar is 1.5.
func BenchmarkQuotePDF(b *testing.B) {
	q := typical()
	n, pages := texts(b, q)
	var ours, theirs time.Duration
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		if _, err := Quote(io.Discard, q); err != nil {
			b.Fatal(err)
		}
		ours += time.Since(start)
		b.StopTimer()
		start = time.Now()
		if err := bare(io.Discard, n, pages); err != nil {
			b.Fatal(err)
		}
		theirs += time.Since(start)
		b.StartTimer()
	}
	b.ReportMetric(float64(ours)/float64(theirs), "x-bare")
}

func BenchmarkBareLibrary(b *testing.B) {
	n, pages := texts(b, typical())
	b.ReportAllocs()
	for b.Loop() {
		if err := bare(io.Discard, n, pages); err != nil {
			b.Fatal(err)
		}
	}
}
