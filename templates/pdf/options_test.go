package pdf_test

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/seed"
	"marchpane/templates/document"
	"marchpane/templates/drawing"
	"marchpane/templates/pdf"
)

// fiveOptions are offers from the demo book, the first of three tiers, the
// second and the last of several cakes.
var fiveOptions = []string{
	`{"name": "Meadow", "lines": [{"cake": "wedding-three-tier", "quantity": 1}], "extras": [{"extra": "stand-hire", "quantity": 1}], "discount": "3 %"}`,
	`{"name": "Orchard", "lines": [{"cake": "two-tier-semi-naked", "quantity": 1}, {"cake": "raspberry-heart", "quantity": 2}]}`,
	`{"name": "Patisserie", "lines": [{"cake": "opera-rectangle", "quantity": 1}], "extras": [{"extra": "macaron-box", "quantity": 12}]}`,
	`{"name": "Caramel tower", "lines": [{"cake": "choux-tower", "quantity": 1}]}`,
	`{"name": "The whole table, for those who cannot decide", "lines": [{"cake": "wedding-three-tier", "quantity": 1}, {"cake": "opera-rectangle", "quantity": 1}, {"cake": "raspberry-heart", "quantity": 1}], "extras": [{"extra": "stand-hire", "quantity": 2}]}`,
}

// offered prices the first n of five options for so many guests.
func offered(t testing.TB, language string, n, guests int) quote.Quote {
	t.Helper()
	b, err := book.Parse(seed.Studio())
	if err != nil {
		t.Fatal(err)
	}
	r, err := quote.ReadRequest(fmt.Appendf(nil, `{
		"client": {"name": "Zoë Šimková", "address": "12 Tern Lane\nArdmorrow"},
		"event": {"date": "2027-06-12", "venue": "The Glasshouse", "km": "64", "guests": %d},
		"on": "2026-11-25", "language": %q, "extras": [{"extra": "delivery", "quantity": 1}], "options": [%s]}`,
		guests, language, strings.Join(fiveOptions[:n], ",")))
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.Price(book.NewIndex(b), r)
	if err != nil {
		t.Fatal(err)
	}
	q.Number = "2026-0001"
	q.Offer.Cancellation = []quote.CancellationFee{{Share: percent("25 %")}, {WithinDays: 60, Share: percent("50 %")}, {WithinDays: 14, Share: percent("100 %")}}
	return q
}

func percent(s string) measure.Percent {
	var p measure.Percent
	if err := p.UnmarshalText([]byte(s)); err != nil {
		panic(err)
	}
	return p
}

// revised is revision B of n options: another option, more guests, other terms.
func revised(t testing.TB, language string, n int) quote.Quote {
	t.Helper()
	before, after := offered(t, language, max(n-1, 2), 80), offered(t, language, n, 90)
	before.Offer.Cancellation = nil
	after.Revision = "B"
	after.Changes = quote.Compare(before, after)
	return after
}

func illustrated(q quote.Quote, paper document.Paper) document.Quote {
	d := document.FromQuote(q)
	d.Paper = paper
	return drawing.Illustrate(d, pdf.PictureSize)
}

// shown renders a paper twice, finds both the same and leaves it to look at.
func shown(t *testing.T, name string, q document.Quote) []byte {
	t.Helper()
	data, warnings := render(t, q)
	if len(warnings) > 0 {
		t.Errorf("%s: warnings of plain text: %v", name, warnings)
	}
	if again, _ := render(t, q); !bytes.Equal(data, again) {
		t.Errorf("%s: two papers of one quotation differ", name)
	}
	leave(t, name, data)
	return data
}

// Outside check: the text of a revision with three options as poppler reads it.
func TestGoldenOptions(t *testing.T) {
	data := shown(t, "options", illustrated(revised(t, "en", 3), document.A4))
	tool(t, data, "qpdf", "--check", "FILE")
	golden(t, "options.txt", tool(t, data, "pdftotext", "-layout", "FILE", "-"))
}

// In every language, on both papers, with two to five options, some of several
// cakes and long names, the comparison is on one page and large enough to read.
//
// Outside checks: poppler tells the height of each word on that page. What is on
// it of allergens keeps to the least size that Regulation (EU) No 1169/2011,
// article 13(2), sets for labels: an x-height of 1.2 mm. Labels in capitals and
// scale bars are held to 6 pt (common practice, no source).
func TestComparisonIsOnOnePage(t *testing.T) {
	for _, language := range document.Languages() {
		for n := 2; n <= 5; n++ {
			for i, paper := range []document.Paper{document.A4, document.Letter} {
				if n < 5 && i == n%2 {
					continue // the fullest on both
				}
				name := fmt.Sprintf("%s-%d-%s", language, n, paper)
				q := illustrated(revised(t, language, n), paper)
				data, _ := render(t, q)
				leave(t, name, data)
				page, sheet := 0, ""
				for i, s := range strings.Split(tool(t, data, "pdftotext", "-layout", "FILE", "-"), "\f") {
					if strings.Contains(s, q.Comparison.Heading) {
						page, sheet = i+1, s
					}
				}
				for _, r := range q.Comparison.Rows {
					if r.Kind == document.SizesRow {
						continue // named with the cakes
					}
					if !strings.Contains(sheet, strings.ToUpper(r.Label)) {
						t.Errorf("%s: page %d with the comparison lacks %q", name, page, r.Label)
					}
					for _, cell := range r.Cells {
						if r.Kind == document.TotalRow && !strings.Contains(bare(sheet), bare(cell[0])) {
							t.Errorf("%s: page %d with the comparison lacks the total %s", name, page, cell[0])
						}
					}
				}
				if !strings.Contains(sheet, q.Comparison.Note) {
					t.Errorf("%s: page %d with the comparison lacks its end", name, page)
				}
				text, label := smallest(t, data, page)
				if height := text * xHeight * 25.4 / 72; height < 1.2 || label < 6 {
					t.Errorf("%s: on the page with the comparison letters are %.3f mm high, labels have %.2f pt", name, height, label)
				}
			}
		}
	}
}

// smallest is the least size of the words on a page, in pt: of those in small
// letters, and of all.
func smallest(t *testing.T, data []byte, page int) (text, all float64) {
	t.Helper()
	text, all = 100, 100
	at := fmt.Sprint(page)
	for _, m := range wordBox.FindAllStringSubmatch(tool(t, data, "pdftotext", "-bbox", "-f", at, "-l", at, "FILE", "-"), -1) {
		var top, bottom float64
		fmt.Sscan(m[1], &top)
		fmt.Sscan(m[2], &bottom)
		size := (bottom - top) / boxHeight
		if all = min(all, size); len(m[3]) > 3 && strings.ToUpper(m[3]) != m[3] {
			text = min(text, size)
		}
	}
	return text, all + 0.005
}

// Of Source Sans 3, by its file: the height of poppler's box around a word and
// that of a small x, both against the size. The box of EB Garamond is lower, so
// that its sizes come out too small, never too large.
const (
	boxHeight = 1.424
	xHeight   = 0.486
)

var wordBox = regexp.MustCompile(`yMin="([0-9.]+)" xMax="[0-9.]+" yMax="([0-9.]+)">(.*?)</word>`)

// bare leaves out all space: where lines break is another matter.
func bare(s string) string { return strings.Join(strings.FieldsFunc(s, unicode.IsSpace), "") }

// Nothing that the client has to know gets lost between the document and the
// paper. Outside check: poppler's text in the order in which it was drawn.
func TestOptionsSayAll(t *testing.T) {
	for _, language := range []string{"en", "de", "fr"} {
		q := illustrated(revised(t, language, 5), document.A4)
		data, _ := render(t, q)
		text := bare(tool(t, data, "pdftotext", "-raw", "FILE", "-"))
		var all []string
		for _, o := range q.Options {
			all = append(all, o.Name, o.Prices.Total.Value, o.Prices.Note)
			for _, c := range o.Cakes {
				all = append(all, c.Name, c.Quantity, c.Description, c.Portions)
				for _, tier := range c.Tiers {
					all = append(all, tier.Name, tier.Size, tier.Note)
				}
			}
			for _, l := range o.Prices.Lines {
				all = append(all, l.Name, l.Unit, l.Amount)
			}
			for _, l := range o.Tax.Lines {
				all = append(all, l.Rate, l.Net, l.Tax)
			}
			for _, l := range o.Payments.Lines {
				all = append(all, l.Label, l.Due, l.Amount)
			}
			for _, f := range o.Allergens.Facts {
				all = append(all, f.Label, f.Value)
			}
			all = append(all, o.Allergens.Note)
			all = append(all, o.Cautions.Lines...)
		}
		for _, r := range q.Comparison.Rows {
			for _, cell := range r.Cells {
				if r.Kind != document.SizesRow {
					all = append(all, cell...)
				}
			}
		}
		for _, l := range q.Changes.Lines {
			all = append(all, l.Option, l.Text, l.Money)
		}
		all = append(append(all, q.Cancellation.Lines...), q.Acceptance.Choices...)
		for _, s := range all {
			if !strings.Contains(text, bare(s)) {
				t.Errorf("%s: the paper lacks %q", language, s)
			}
		}
		if n := strings.Count(text, bare(q.Comparison.Intro)); n != 1 {
			t.Errorf("%s: the choice is introduced %d times", language, n)
		}
	}
}

// A caution that stands with every option is printed once.
func TestSharedCautionsAreSaidOnce(t *testing.T) {
	q := illustrated(offered(t, "en", 3, 90), document.A4)
	const shared, own = "Keep everything in the fridge.", "Only the second has nuts on top."
	for i := range q.Options {
		q.Options[i].Cautions.Lines = []string{shared}
	}
	q.Options[1].Cautions.Lines = []string{own, shared}
	data, _ := render(t, q)
	text := tool(t, data, "pdftotext", "-layout", "FILE", "-")
	for _, s := range []string{shared, own} {
		if n := strings.Count(text, s); n != 1 {
			t.Errorf("%q stands %d times, want once", s, n)
		}
	}
	if strings.Index(text, shared) < strings.Index(text, "Option 3: Patisserie\n") {
		t.Error("what holds for all options stands before the last of them")
	}
}

// What no longer stands says so on every page, however long the word.
func TestMarkIsOnEveryPage(t *testing.T) {
	for _, language := range document.Languages() {
		for _, state := range []string{document.MarkDeclined, document.MarkLapsed, document.MarkCancelled, document.MarkReplaced} {
			q := illustrated(revised(t, language, 3).Choose(0), document.A4).Marked(state)
			data, _ := render(t, q)
			sheets := strings.Split(strings.TrimSuffix(tool(t, data, "pdftotext", "-raw", "FILE", "-"), "\f"), "\f")
			for i, s := range sheets {
				// Once across the page, once at its foot.
				if n := strings.Count(s, q.Mark); n < 1 || q.Mark == "" {
					t.Errorf("%s, %s: page %d of %d is marked %q %d times", language, state, i+1, len(sheets), q.Mark, n)
				}
			}
		}
	}
}

// Any text in what is new gives a file, and one longer than a page goes on.
func TestAnyOptionPrints(t *testing.T) {
	base := illustrated(offered(t, "en", 5, 90), document.Letter)
	checked := 0
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOfN(rapid.Rune(), 0, 400, -1), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }))
		s := func(what string) string { return text.Draw(rt, what) }
		n := rapid.IntRange(1, 5).Draw(rt, "options")
		q := base
		q.Options = slices.Clone(base.Options[:n])
		q.Comparison.Columns = slices.Clone(base.Comparison.Columns[:rapid.IntRange(1, 5).Draw(rt, "columns")])
		q.Options[0].Name, q.Options[0].Prices.Total.Value = s("name"), s("total")
		q.Options[0].Cautions.Lines, q.Options[0].Payments.Lines = []string{s("caution")}, []document.Payment{{Label: s("label"), Due: s("due"), Amount: s("amount")}}
		q.Options[0].Tax.Lines = []document.TaxLine{{Rate: s("rate"), Net: s("net"), Tax: s("tax")}}
		q.Comparison.Columns[0].Name, q.Comparison.Note = s("column"), s("note")
		q.Comparison.Rows = []document.ComparedRow{{Kind: document.CakesRow, Label: s("row"), Cells: [][]string{{s("cake"), s("cake")}, nil}},
			{Kind: document.TotalRow, Label: s("row"), Cells: [][]string{nil, {s("sum")}}}, {Kind: document.ExtrasRow, Cells: [][]string{{s("extra")}}}}
		q.Changes = document.Changes{Heading: s("heading"), Intro: s("intro"), Lines: []document.ChangeLine{{Option: s("option"), Text: s("text"), Money: s("money")}, {Total: true}}}
		q.Cancellation.Lines, q.Acceptance.Choices, q.Mark = []string{s("fee")}, []string{s("choice"), ""}, s("mark")
		var b bytes.Buffer
		if _, err := pdf.Quote(&b, q); err != nil {
			rt.Fatal(err)
		}
		if checked++; checked%25 == 0 {
			tool(t, b.Bytes(), "qpdf", "--check", "FILE")
		}
	})
}

func TestComparisonLongerThanAPage(t *testing.T) {
	words := make([]string, 2000)
	for i := range words {
		words[i] = fmt.Sprintf("w%04d", i)
	}
	text := strings.Join(words, " ")
	q := illustrated(offered(t, "en", 3, 90), document.A4)
	for i, r := range q.Comparison.Rows {
		if r.Kind == document.ExtrasRow {
			q.Comparison.Rows[i].Cells[1] = []string{text}
		}
	}
	q.Changes = document.Changes{Heading: "Changes", Lines: []document.ChangeLine{{Text: text, Money: "+€1.00"}}}
	data, _ := render(t, q)
	out := tool(t, data, "pdftotext", "-layout", "FILE", "-")
	for _, w := range words {
		if n := strings.Count(out, w); n != 2 {
			t.Fatalf("%s stands %d times, want twice", w, n)
		}
	}
}
