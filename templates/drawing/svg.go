package drawing

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"

	"marchpane/templates/document"
)

// palette gives every tone its colour on a screen.
var palette = map[document.Tone]string{
	document.InkTone:   "#2f2a2b",
	document.QuietTone: "#8b8078",
	document.CakeTone:  "#fbf6ef",
	document.ShadeTone: "#f0e6da",
	document.HalfTone:  "#f6eee4",
	document.BoardTone: "#e4d9cc",
	document.KeptTone:  "#7a4456",
	document.DummyTone: "#c9bcae",
}

// SVG writes p as an SVG image that stands alone or inside a page. Colours are
// attributes, not styles, and every shape carries its tone as a class, so a
// page may restyle it. It needs no style that a strict content policy forbids.
func SVG(w io.Writer, p document.Picture) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img"><title>`, num(p.Width), num(p.Height))
	escape(&b, p.Alt)
	b.WriteString("</title>\n")
	for _, s := range p.Shapes {
		switch s := s.(type) {
		case document.Path:
			writePath(&b, s)
		case document.Label:
			writeLabel(&b, s)
		}
	}
	b.WriteString("</svg>\n")
	_, err := w.Write(b.Bytes())
	return err
}

func writePath(b *bytes.Buffer, p document.Path) {
	fmt.Fprintf(b, `<path class="%s" d="M%s %s`, class(p.Fill, p.Stroke), num(p.Start.X), num(p.Start.Y))
	for _, s := range p.Segments {
		if s.Curved {
			fmt.Fprintf(b, "C%s %s %s %s %s %s", num(s.First.X), num(s.First.Y), num(s.Second.X), num(s.Second.Y), num(s.To.X), num(s.To.Y))
		} else {
			fmt.Fprintf(b, "L%s %s", num(s.To.X), num(s.To.Y))
		}
	}
	if p.Closed {
		b.WriteByte('Z')
	}
	fmt.Fprintf(b, `" fill="%s"`, colour(p.Fill))
	if p.Stroke != "" {
		fmt.Fprintf(b, ` stroke="%s" stroke-width="%s"`, colour(p.Stroke), num(p.Weight))
	}
	if p.Dashed {
		b.WriteString(` stroke-dasharray="1.2 0.9"`)
	}
	b.WriteString("/>\n")
}

func writeLabel(b *bytes.Buffer, l document.Label) {
	anchor := l.Anchor
	if anchor == "" {
		anchor = document.Start
	}
	// 1 pt is 0.3528 mm, the unit of the view box.
	fmt.Fprintf(b, `<text class="%s" x="%s" y="%s" font-size="%s" text-anchor="%s" fill="%s"`,
		class(l.Tone, ""), num(l.At.X), num(l.At.Y), num(l.Size*0.3528), anchor, colour(l.Tone))
	b.WriteByte('>')
	escape(b, l.Text)
	b.WriteString("</text>\n")
}

func class(fill, stroke document.Tone) string {
	if fill != "" {
		return "tone-" + string(fill)
	}
	return "tone-" + string(stroke)
}

func colour(t document.Tone) string {
	if c, ok := palette[t]; ok {
		return c
	}
	return "none"
}

func num(f float64) string { return strconv.FormatFloat(math.Round(f*100)/100, 'f', -1, 64) }

// escape writes text for XML; characters that XML forbids become U+FFFD.
func escape(b *bytes.Buffer, s string) {
	// A bytes.Buffer never fails to take what it is given.
	_ = xml.EscapeText(b, []byte(s))
}
