package pdf_test

import (
	"bytes"
	"fmt"
	"html"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"marchpane/pricing/book"
	"marchpane/templates/document"
)

// quill is the logo of the made-up studio: a ring cut out by the even-odd rule,
// a stroke with round ends, a part used twice, and a clipped corner.
const quill = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 100">
<style>.leaf{fill:#2f5d62}.line{fill:none;stroke:#d98c5f;stroke-width:6;stroke-linecap:round}</style>
<defs><path id="leaf" d="M0 30C0 10 20 0 40 0C40 20 20 30 0 30z"/></defs>
<path fill-rule="evenodd" fill="#2f5d62" d="M50 10a40 40 0 1 1 0 80a40 40 0 1 1 0-80zM50 30a20 20 0 1 0 0 40a20 20 0 1 0 0-40z"/>
<use href="#leaf" class="leaf" x="110" y="20"/><use href="#leaf" class="leaf" opacity=".5" transform="translate(170 20) scale(1.5)"/>
<path class="line" stroke-dasharray="30 12" d="M115 80H285"/>
<clipPath id="c"><circle cx="260" cy="40" r="20"/></clipPath><g clip-path="url(#c)"><rect x="240" y="20" width="40" height="20" fill="#8a2846"/></g>
</svg>`

func pictureOf(t testing.TB, data []byte) book.Picture {
	t.Helper()
	p, err := book.NewPicture(data)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func branded(t testing.TB, logo []byte) document.Quote {
	q := wedding()
	q.Look = document.Look{Accent: "#2f5d62", Picture: pictureOf(t, logo)}
	return q
}

// halves is a picture whose left half is red and whose right half is clear, but
// for a white line at its edge, which keeps that from being cut off.
func halves(w, h int) image.Image {
	m := image.NewNRGBA64(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA64{0xcc00, 0x1000, 0x2000, 0xffff}
			switch {
			case x == w-1:
				c = color.NRGBA64{0xffff, 0xffff, 0xffff, 0xffff}
			case x >= w/2:
				c.A = 0
			}
			m.Set(x, y, c)
		}
	}
	return m
}

func encoded(t testing.TB, m image.Image, kind string) []byte {
	t.Helper()
	var b bytes.Buffer
	err := png.Encode(&b, m)
	if kind == "jpeg" {
		b.Reset()
		err = jpeg.Encode(&b, m, nil)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// dots renders the first page at 72 dots to the inch with poppler.
func dots(t *testing.T, data []byte) image.Image {
	t.Helper()
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("pdftoppm is not installed")
		}
		t.Skip("pdftoppm is not installed")
	}
	file := filepath.Join(t.TempDir(), "paper")
	tool(t, data, "pdftoppm", "-png", "-r", "72", "-singlefile", "FILE", file)
	f, err := os.Open(file + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// at returns the colour at a place in mm.
func at(m image.Image, x, y float64) string {
	r, g, b, _ := m.At(int(x/25.4*72), int(y/25.4*72)).RGBA()
	return fmt.Sprintf("#%02x%02x%02x", r>>8, g>>8, b>>8)
}

// Outside check: poppler draws what the drawing says. The logo is 72 mm wide
// and 24 high, in the middle of the head of an A4 page, so a unit of it is
// 0.24 mm and its corner is at 69, 13.
func TestDrawnLogo(t *testing.T) {
	data, warnings := render(t, branded(t, []byte(quill)))
	if len(warnings) > 0 {
		t.Errorf("warnings: %v", warnings)
	}
	tool(t, data, "qpdf", "--check", "FILE")
	m := dots(t, data)
	for _, spot := range []struct {
		x, y float64
		want string
		what string
	}{
		{50, 20, "#2f5d62", "ring"}, {50, 50, "#ffffff", "its hole"}, {50, 4, "#ffffff", "above it"},
		{125, 35, "#2f5d62", "leaf"}, {195, 42, "#97aeb0", "leaf at half its strength"}, {130, 80, "#d98c5f", "dash"}, {151, 80, "#ffffff", "gap"},
		{260, 30, "#8a2846", "what is left of the rectangle"}, {243, 22, "#ffffff", "its corner, cut off"}, {260, 50, "#ffffff", "below it"},
	} {
		if got := at(m, 69+0.24*spot.x, 13+0.24*spot.y); got != spot.want {
			t.Errorf("%s is %s, want %s", spot.what, got, spot.want)
		}
	}
}

func TestBitmapLogos(t *testing.T) {
	for name, logo := range map[string][]byte{
		"16 bits with transparency": encoded(t, halves(300, 100), "png"),
		"too fine":                  encoded(t, halves(2400, 800), "png"),
		"few":                       encoded(t, halves(30, 10), "png"),
	} {
		data, warnings := render(t, branded(t, logo))
		if len(warnings) > 0 {
			t.Errorf("%s: warnings %v", name, warnings)
		}
		tool(t, data, "qpdf", "--check", "FILE")
		m := dots(t, data)
		if l, r := at(m, 85, 25), at(m, 130, 25); l[:2] != "#c" || l[3:] != "1020" || r != "#ffffff" {
			t.Errorf("%s: left half is %s and right half %s, want #cc1020 or nearly so, and white", name, l, r)
		}
		if len(data) > 120_000 {
			t.Errorf("%s: the file has %d bytes", name, len(data))
		}
	}
	// A tall one keeps its shape.
	m := dots(t, func() []byte { data, _ := render(t, branded(t, encoded(t, halves(100, 200), "png"))); return data }())
	if l, out := at(m, 101, 30), at(m, 97, 30); l[3:] != "1020" || out != "#ffffff" {
		t.Errorf("a tall logo: %s inside and %s outside", l, out)
	}
	data, _ := render(t, branded(t, encoded(t, image.NewGray(image.Rect(0, 0, 300, 100)), "jpeg")))
	tool(t, data, "qpdf", "--check", "FILE")
	if got := at(dots(t, data), 105, 25); got != "#000000" {
		t.Errorf("a black JPEG is %s", got)
	}
}

// The name of the studio stays on the paper under a logo, and stands in for one
// that cannot be shown.
func TestNameAndLogo(t *testing.T) {
	data, _ := render(t, branded(t, []byte(quill)))
	text := tool(t, data, "pdftotext", "-layout", "FILE", "-")
	if !strings.Contains(text, "Quillwort Cake Studio, Unit 4, The Old Saltworks, Inishcorran") {
		t.Errorf("the head lacks the studio's name:\n%.600s", text)
	}
	data, warnings := render(t, branded(t, []byte(`<svg viewBox="0 0 9 9"><text>Q</text></svg>`)))
	if len(warnings) != 1 || !strings.Contains(warnings[0], "turn text into paths") {
		t.Errorf("warnings of a logo with text: %v", warnings)
	}
	plain := wedding()
	plain.Look.Accent = "#2f5d62"
	if want, _ := render(t, plain); !bytes.Equal(data, want) {
		t.Error("a logo that cannot be shown leaves another paper than none")
	}
}

// The accent colours headings, and what is tinted follows it; the words do not
// change with the look.
func TestAccent(t *testing.T) {
	q := wedding()
	q.Draft = "DRAFT"
	house, _ := render(t, q)
	for accent, want := range map[string]string{"": "0.416 0.247 0.322", "#2f5d62": "0.184 0.365 0.384", "#000000": "0.000 0.000 0.000"} {
		q.Look.Accent = accent
		data, _ := render(t, q)
		content := tool(t, data, "qpdf", "--qdf", "--object-streams=disable", "FILE", "-")
		if n := strings.Count(content, want+" rg"); n < 4 && accent != "#000000" {
			t.Errorf("accent %s colours %d things", accent, n)
		}
		if accent != "" && strings.Contains(content, "0.416 0.247 0.322") {
			t.Errorf("with the accent %s the house's own is left somewhere", accent)
		}
		if got, want := tool(t, data, "pdftotext", "-layout", "FILE", "-"), tool(t, house, "pdftotext", "-layout", "FILE", "-"); got != want {
			t.Errorf("the accent %s changes the text", accent)
		}
	}
}

func TestLookRepeats(t *testing.T) {
	for _, logo := range [][]byte{[]byte(quill), encoded(t, halves(300, 100), "png"), encoded(t, halves(300, 100), "jpeg")} {
		a, _ := render(t, branded(t, logo))
		b, _ := render(t, branded(t, logo))
		if !bytes.Equal(a, b) {
			t.Error("two papers with one logo differ")
		}
	}
}

// Outside check: where poppler sees the letters of names of right-to-left
// scripts, from left to right. Worked by hand, but for the Arabic ones, which are
// their letters from the last to the first; a lam with its alef is one letter.
// Letters come in the forms that are drawn: all is compared in normal form KC.
// Reading the text out, poppler puts the letters of each word back in order.
func TestNamesFromRightToLeft(t *testing.T) {
	for name, want := range map[string]string{
		"שרה כהן (לוי)":      "(יול) ןהכ הרש",
		"נועה בן־דוד":        "דוד־ןב העונ",
		"עוגה ל־120 אורחים":  "םיחרוא 120־ל הגוע",
		"Cohen (כהן) & Sons": "Cohen (ןהכ) & Sons",
		"כהן, Tel Aviv 12":   "Tel Aviv 12 ,ןהכ",
		"A. שרה 3-4, B":      "A. 3-4 הרש, B",
		"ليلى عبد الله":      backwards("ليلى عبد الله"),
		"محمد الإدريسي":      strings.Replace(backwards("محمد الإدريسي"), "إل", "لإ", 1),
		"گلاب خانم پژمان":    strings.Replace(backwards("گلاب خانم پژمان"), "ال", "لا", 1),
		"محمد 123 شارع ٤٥":   "٤٥ " + backwards("شارع") + " 123 " + backwards("محمد"),
	} {
		q := small()
		q.Client.Lines = []string{name}
		data, warnings := render(t, q)
		if len(warnings) > 0 {
			t.Errorf("%s: %v", name, warnings)
		}
		boxes := tool(t, data, "pdftotext", "-bbox", "-enc", "UTF-8", "FILE", "-")
		if got := norm.NFKC.String(words(boxes, "FOR", "DATE", "Number")); got != norm.NFKC.String(want) {
			t.Errorf("%s stands as %q, want %q", name, got, want)
		}
		text := norm.NFKC.String(tool(t, data, "pdftotext", "FILE", "-"))
		for word := range strings.FieldsFuncSeq(norm.NFKC.String(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsMark(r) }) {
			if !strings.Contains(text, word) {
				t.Errorf("%s: the word %s is not in the text", name, word)
			}
		}
	}
}

func backwards(s string) string {
	runes := []rune(s)
	slices.Reverse(runes)
	return string(runes)
}

// words returns the words of poppler's list from one word on, up to the first of
// others, in its order: from left to right on a line.
func words(boxes, after string, until ...string) string {
	var list []string
	found := false
	for line := range strings.Lines(boxes) {
		_, rest, ok := strings.Cut(line, "\">")
		word, _, ends := strings.Cut(rest, "</word>")
		switch {
		case !ok || !ends || word == "Quotation":
		case !found:
			found = word == after
		case slices.Contains(until, word):
			return strings.Join(list, " ")
		default:
			list = append(list, html.UnescapeString(word))
		}
	}
	return ""
}
