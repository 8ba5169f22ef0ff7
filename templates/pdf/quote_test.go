package pdf_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"marchpane/templates/document"
	"marchpane/templates/pdf"
)

var (
	keep   = flag.String("keep", "", "directory to leave the rendered papers in, to look at them")
	update = flag.Bool("update", false, "rewrite the golden texts")
)

func render(t testing.TB, q document.Quote) ([]byte, []string) {
	t.Helper()
	var b bytes.Buffer
	warnings, err := pdf.Quote(&b, q)
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), warnings
}

// tool runs an outside tool on data, which it gets as a file in place of
// "FILE". Where the tool is missing the test is skipped, except on a build
// server, which has to have it.
func tool(t *testing.T, data []byte, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	file := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = file
		}
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

// Outside check: qpdf reads the structure, poppler the fonts.
func TestFilesAreSound(t *testing.T) {
	for name, q := range papers() {
		t.Run(name, func(t *testing.T) {
			data, _ := render(t, q)
			if *keep != "" {
				if err := os.WriteFile(filepath.Join(*keep, name+".pdf"), data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			tool(t, data, "qpdf", "--check", "FILE")
			rows := strings.Split(strings.TrimSpace(tool(t, data, "pdffonts", "FILE")), "\n")[2:]
			if len(rows) < 2 || len(rows) > 3 {
				t.Errorf("%d fonts, want 2 or 3:\n%s", len(rows), strings.Join(rows, "\n"))
			}
			for _, row := range rows {
				// Columns from the right: object (2), unicode, subset, embedded. That
				// faces are cut down shows in the size too: whole ones are above 380 KB.
				f := strings.Fields(row)
				if emb, sub, uni := f[len(f)-5], f[len(f)-4], f[len(f)-3]; emb != "yes" || sub != "yes" || uni != "yes" {
					t.Errorf("font is not embedded, cut down, with its characters: %s", row)
				}
			}
			if len(data) > 150_000 {
				t.Errorf("%d bytes: fonts are not cut down to what is used", len(data))
			}
		})
	}
}

// Outside check: the text as poppler reads it from the page.
func TestGoldenText(t *testing.T) {
	for _, name := range []string{"wedding", "small", "scripts", "letter"} {
		t.Run(name, func(t *testing.T) {
			data, _ := render(t, papers()[name])
			got := tool(t, data, "pdftotext", "-layout", "FILE", "-")
			golden(t, name+".txt", got)
		})
	}
}

// golden compares a text with the one that was looked at.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the text differs from %s; compare, then run with -update. Got:\n%s", file, got)
	}
}

func TestPageCounts(t *testing.T) {
	for name, want := range map[string]int{"small": 1, "wedding": 2} {
		data, _ := render(t, papers()[name])
		if got := pages(data); got != want {
			t.Errorf("pages of %s = %d, want %d", name, got, want)
		}
	}
}

func pages(data []byte) int { return bytes.Count(data, []byte("/Type /Page\n")) }

// A table of eighty lines has its heading on each page, every line once, and
// two lines at least on the page of its total.
func TestLongTable(t *testing.T) {
	data, _ := render(t, long(80))
	text := tool(t, data, "pdftotext", "-layout", "FILE", "-")
	sheets := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
	for i := 1; i <= 80; i++ {
		line := fmt.Sprintf("Line %02d, dessert table", i)
		if n := strings.Count(text, line); n != 1 {
			t.Errorf("%q stands %d times", line, n)
		}
	}
	for i, s := range sheets {
		rows := strings.Count(s, ", dessert table")
		headings := strings.Count(s, "Each")
		if rows > 0 && headings != 1 || rows == 0 && headings != 0 {
			t.Errorf("page %d has %d lines and %d headings", i+1, rows, headings)
		}
		if strings.Contains(s, "€1,335.70") && strings.Contains(s, "Total before VAT") && rows < 2 {
			t.Errorf("page %d has the total with %d lines", i+1, rows)
		}
		if want := fmt.Sprintf("Page %d of %d", i+1, len(sheets)); !strings.Contains(s, want) {
			t.Errorf("page %d lacks %q", i+1, want)
		}
		if !strings.Contains(s, "DRAFT") {
			t.Errorf("page %d of a draft is not marked as one", i+1)
		}
	}
	last := sheets[len(sheets)-1]
	for _, want := range []string{"Acceptance", "I accept", "FOR THE CLIENT", "FOR THE STUDIO", "Signature"} {
		if !strings.Contains(last, want) {
			t.Errorf("the last page lacks %q: the block to sign is divided", want)
		}
	}
}

// Whatever the number of lines, none is lost at a page break.
func TestNoLineIsLost(t *testing.T) {
	for n := 1; n <= 60; n += 7 {
		data, _ := render(t, long(n))
		text := tool(t, data, "pdftotext", "-layout", "FILE", "-")
		if got := strings.Count(text, ", dessert table"); got != n {
			t.Errorf("%d lines printed, want %d", got, n)
		}
	}
}

func TestDescribesItself(t *testing.T) {
	data, _ := render(t, wedding())
	info := tool(t, data, "pdfinfo", "FILE")
	for _, want := range []string{"Quotation 2026-0001, Quillwort Cake Studio", "Prepared for Zoë Šimková", "Quillwort Cake Studio", "595.28 x 841.89 pts (A4)"} {
		if !strings.Contains(info, want) {
			t.Errorf("pdfinfo lacks %q:\n%s", want, info)
		}
	}
	for _, want := range []string{"mailto:orders@quillwort.example", "/Lang (en)"} {
		if !bytes.Contains(data, []byte(want)) {
			t.Errorf("the file lacks %q", want)
		}
	}
	data, _ = render(t, letter())
	if info := tool(t, data, "pdfinfo", "FILE"); !strings.Contains(info, "612 x 792 pts (letter)") {
		t.Errorf("Letter paper is not 612 × 792 pt:\n%s", info)
	}
}

// The same paper gives the same bytes, also where many are made at once.
func TestRepeatable(t *testing.T) {
	want, _ := render(t, scripts())
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			var b bytes.Buffer
			if _, err := pdf.Quote(&b, scripts()); err != nil {
				t.Error(err)
			}
			if !bytes.Equal(b.Bytes(), want) {
				t.Error("two papers of one quotation differ")
			}
		})
	}
	group.Wait()
}

func TestWarnsOfWhatCannotBePrinted(t *testing.T) {
	_, warnings := render(t, scripts())
	all := strings.Join(warnings, "\n")
	for _, r := range []rune{0x7F8E, 0x1F382} {
		if !strings.Contains(all, fmt.Sprintf("U+%04X", r)) {
			t.Errorf("no warning of %c in:\n%s", r, all)
		}
	}
	for _, r := range "ễŁΕЂნԱ½₹₪נل" {
		if strings.Contains(all, fmt.Sprintf("U+%04X", r)) {
			t.Errorf("%c can be printed, yet there is a warning:\n%s", r, all)
		}
	}
	if _, warnings := render(t, wedding()); len(warnings) > 0 {
		t.Errorf("warnings of plain text: %v", warnings)
	}
}

// Any text at any place gives a file; a sample of them is shown to qpdf.
func TestAnyTextPrints(t *testing.T) {
	checked := 0
	rapid.Check(t, func(rt *rapid.T) {
		scripts := rapid.StringOf(rapid.SampledFrom([]rune("אבג־״ש\u05b8 ابلآمـ\u064e\u0651١٢،گچ\u200c\u200d(<«12-,.%€ aZ/\n»>)□𐤀\U0001F382美")))
		text := rapid.OneOf(rapid.String(), scripts, rapid.StringOfN(rapid.Rune(), 0, 400, -1), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }))
		s := func(what string) string { return text.Draw(rt, what) }
		q := wedding()
		q.Title, q.Studio.Name, q.Studio.Email, q.Studio.Address = s("title"), s("studio"), s("email"), []string{s("address")}
		q.Client.Lines, q.Event[1].Value = []string{s("client")}, s("venue")
		q.Cakes[0].Name, q.Cakes[0].Description, q.Cakes[0].Tiers[0].Name = s("cake"), s("description"), s("tier")
		q.Prices.Lines[0].Name, q.Prices.Lines[0].Amount = s("line"), s("amount")
		q.Terms.Lines, q.Draft = []string{s("terms")}, s("draft")
		var b bytes.Buffer
		if _, err := pdf.Quote(&b, q); err != nil {
			rt.Fatal(err)
		}
		if checked++; checked%20 == 0 {
			tool(t, b.Bytes(), "qpdf", "--check", "FILE")
		}
	})
}

// A text longer than a page goes on over pages instead of running off one.
func TestTextLongerThanAPage(t *testing.T) {
	words := make([]string, 3000)
	for i := range words {
		words[i] = fmt.Sprintf("w%04d", i)
	}
	text := strings.Join(words, " ")
	q := wedding()
	q.Client.Lines, q.Cakes[0].Description, q.Prices.Lines[0].Name = []string{text}, text, text
	q.Terms.Lines, q.Allergens.Facts[0].Value, q.Cakes[0].Tiers[1].Size = []string{text}, text, text
	data, _ := render(t, q)
	out := tool(t, data, "pdftotext", "-layout", "FILE", "-")
	for _, w := range words {
		if n := strings.Count(out, w); n != 6 {
			t.Fatalf("%s stands %d times, want 6", w, n)
		}
	}
}
