package book

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"

	"marchpane/pricing/record"
)

// From outside: the relative luminance and contrast ratio that WCAG 2.2
// defines, worked in floats as it writes them.
func TestContrastFollowsWCAG(t *testing.T) {
	linear := func(v int) float64 {
		c := float64(v) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	for r := 0; r < 256; r += 5 {
		for g := 0; g < 256; g += 3 {
			for b := 0; b < 256; b += 15 {
				contrast := 1.05 / (0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b) + 0.05)
				if math.Abs(contrast-4.5) < 1e-4 {
					continue // within the rounding of the table
				}
				if got := legibleOnWhite(r, g, b); got != (contrast >= 4.5) {
					t.Fatalf("legibleOnWhite(%d, %d, %d) = %t at a contrast of %.4f", r, g, b, got, contrast)
				}
			}
		}
	}
	// Known pairs (from memory): grey #767676 is the lightest that passes on
	// white, #777777 does not.
	if !legibleOnWhite(0x76, 0x76, 0x76) || legibleOnWhite(0x77, 0x77, 0x77) {
		t.Error("#767676 must pass and #777777 must not")
	}
}

func TestAccent(t *testing.T) {
	for text, want := range map[string]string{
		"#6a3f52": "", "#000000": "", "#6A3F52": "",
		"#ffffff": "#767676", "#ff9900": "too light", "#777777": "#767676",
		"6a3f52": "must be # and six digits", "#6a3": "must be #", "#gggggg": "must be #", "plum": "must be #",
	} {
		var a Accent
		err := a.UnmarshalText([]byte(text))
		if err == nil {
			err = a.Check()
		}
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("accent %s: %v, want %q", text, err, want)
		}
	}
	// The darker colour that is suggested is accepted, and no lighter step is.
	for _, a := range []Accent{"#ff9900", "#ffd1dc", "#00ffff", "#fefefe"} {
		text := a.Check().Error()
		if err := Accent(text[len(text)-7:]).Check(); err != nil {
			t.Errorf("suggested for %s: %v", a, err)
		}
	}
}

func pngOf(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	m.Set(0, 0, color.NRGBA{200, 10, 20, 255})
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func jpegOf(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, w, h)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const smallDrawing = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>`

func TestPictureRoundTrip(t *testing.T) {
	for _, data := range [][]byte{pngOf(t, 8, 8), jpegOf(t, 8, 8), []byte(smallDrawing)} {
		p, err := NewPicture(data)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Check(); err != nil {
			t.Errorf("Check(%s) = %v", p.Kind(), err)
		}
		var back Picture
		if err := back.UnmarshalText([]byte(p.String())); err != nil || back != p {
			t.Errorf("UnmarshalText(%.40s) = %v, %v", p, back.Kind(), err)
		}
		if len(p.Fingerprint()) != 64 || p.Fingerprint() != back.Fingerprint() {
			t.Errorf("fingerprints of %s: %s, %s", p.Kind(), p.Fingerprint(), back.Fingerprint())
		}
	}
}

// RFC 2397: parameters, escapes and base64 in any of the ways it allows.
func TestDataURL(t *testing.T) {
	plain, _ := NewPicture([]byte(smallDrawing))
	escaped := strings.NewReplacer("<", "%3C", ">", "%3E", " ", "%20", "\"", "%22", "#", "%23").Replace(smallDrawing)
	for _, text := range []string{
		"data:image/svg+xml," + escaped, "data:image/svg+xml;charset=utf-8," + escaped, "data:IMAGE/SVG+XML," + smallDrawing,
		strings.TrimRight(plain.String(), "="), strings.ReplaceAll(plain.String(), "+", "%2B"),
	} {
		// The plus of the type is no escape.
		text = strings.Replace(text, "svg%2Bxml", "svg+xml", 1)
		var p Picture
		if err := p.UnmarshalText([]byte(text)); err != nil || p != plain {
			t.Errorf("UnmarshalText(%.50s) = %q, %v", text, p.data, err)
		}
	}
	for text, want := range map[string]string{
		"logo.png": "no data URL", "data:image/png;base64": "no data URL", "data:image/gif;base64,R0lG": "type \"image/gif\" is unknown",
		"data:image/png;base64,***": "not in base64", "data:image/png,%zz": "begins no escape", "data:,x": "is unknown",
	} {
		var p Picture
		if err := p.UnmarshalText([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("UnmarshalText(%s) = %v, want %q", text, err, want)
		}
	}
}

func TestPictureThatNoPaperCanShow(t *testing.T) {
	bomb := pngOf(t, 8, 8)
	copy(bomb[16:], []byte{0, 0, 0xff, 0xff, 0, 0, 0xff, 0xff}) // says it is 65535 × 65535
	photo := jpegOf(t, 64, 64)
	scan := bytes.Index(photo, []byte("\xff\xda"))
	passes := append(photo[:scan:scan], bytes.Repeat(photo[scan:len(photo)-2], 200)...)
	for name, test := range map[string]struct {
		data []byte
		want string
	}{
		"text":      {[]byte("hello"), "no picture"},
		"gif":       {[]byte("GIF89a..."), "no picture"},
		"empty":     {nil, "no picture"},
		"cut short": {pngOf(t, 300, 300)[:80], "cut short"},
		"bomb":      {bomb, "that can be read"}, // its checksum is wrong first
		"large":     {pngOf(t, 4001, 2), "4001 × 2 pixels"},
		"many":      {pngOf(t, 3000, 3000), "3000 × 3000 pixels"},
		"passes":    {passes, "too many passes"},
		"heavy":     {append([]byte(smallDrawing), bytes.Repeat([]byte(" "), MaxPictureBytes)...), "at most 512"},
		"html":      {[]byte("<html></html>"), "outermost element is \"html\""},
		"broken":    {[]byte("<svg><g></svg>"), "no SVG that can be read"},
		"entities":  {[]byte(`<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>`), "entities"},
		"comment":   {[]byte("<!-- nothing -->"), "no SVG that can be read"},
	} {
		p, err := NewPicture(test.data)
		if err == nil {
			err = p.Check()
		}
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", name, err, test.want)
		}
	}
}

func TestLookInABook(t *testing.T) {
	file := func(look string) []byte {
		return fmt.Appendf(nil, `{"format": "marchpane-book/1", "studio": {"name": "S", "currency": "EUR", "target": {"margin": "10 %%"}, "look": %s}}`, look)
	}
	p, _ := NewPicture(pngOf(t, 120, 120))
	look := `{"accent": "#2f5d62", "paper": "letter", "logo": "` + p.String() + `"}`
	b, err := Parse(file(look))
	if err != nil {
		t.Fatal(err)
	}
	text, err := Encode(b)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Parse(text)
	if err != nil || again.Studio.Look != b.Studio.Look || again.Studio.Look.Value.Logo.Value != p {
		t.Errorf("the look came back as %v, %v", again.Studio.Look, err)
	}
	// A picture longer than any other text may be.
	long := Picture{SVG, smallDrawing + "<!--" + strings.Repeat("x", 200_000) + "-->"}
	if _, err := Parse(file(`{"logo": "` + long.String() + `"}`)); err != nil {
		t.Errorf("a picture of 200 KB: %v", err)
	}
	for look, want := range map[string]string{
		`{"accent": "#ffeecc"}`:                       "studio.look.accent: #ffeecc is too light",
		`{"accent": "red"}`:                           "studio.look.accent: colour \"red\"",
		`{"paper": "a3"}`:                             "studio.look.paper: paper \"a3\" is unknown; use one of a4, letter",
		`{"logo": "x.png"}`:                           "studio.look.logo: \"x.png\" is no data URL",
		`{"logo": "data:image/png;base64,aGVsbG8="}`:  "studio.look.logo: is no PNG",
		`{"logo": "data:image/svg+xml,<p/>"}`:         "studio.look.logo: is XML",
		`{"colour": "#2f5d62"}`:                       "studio.look.colour",
		`{"logo": "data:image/jpeg;base64,iVBORw0K"}`: "studio.look.logo: is no JPEG",
	} {
		_, err := Parse(file(look))
		faults, ok := err.(record.Faults)
		if !ok || !strings.Contains(faults.Error(), want) {
			t.Errorf("look %s: %v, want %q", look, err, want)
		}
	}
}
