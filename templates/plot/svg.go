package plot

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// SVG writes the figure as an SVG image with a title and a description.
func (f Figure) SVG(w io.Writer) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" aria-labelledby="title desc" font-family="'Source Sans 3', 'Source Sans Pro', system-ui, sans-serif">`, num(f.Width), num(f.Height))
	fmt.Fprintf(&b, "\n<title id=\"title\">%s</title>\n<desc id=\"desc\">%s</desc>\n", escaped(f.Title), escaped(f.Description))
	fmt.Fprintf(&b, "<rect width=\"%s\" height=\"%s\" fill=\"#ffffff\"/>\n", num(f.Width), num(f.Height))
	for _, m := range f.marks {
		m.svg(&b)
	}
	b.WriteString("</svg>\n")
	_, err := b.WriteTo(w)
	return err
}

func (m mark) svg(b *bytes.Buffer) {
	switch m.kind {
	case line:
		var points []string
		for _, p := range m.points {
			points = append(points, num(p.x)+","+num(p.y))
		}
		dash := ""
		if len(m.dash) > 0 {
			var parts []string
			for _, d := range m.dash {
				parts = append(parts, num(d))
			}
			dash = fmt.Sprintf(` stroke-dasharray="%s"`, strings.Join(parts, " "))
		}
		fmt.Fprintf(b, "<polyline points=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"%s\"%s/>\n", strings.Join(points, " "), m.tone, num(m.width), dash)
	case bar:
		fmt.Fprintf(b, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" fill=\"%s\"/>\n", num(m.points[0].x), num(m.points[0].y), num(m.points[1].x), num(m.points[1].y), m.tone)
	case dot:
		fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\" fill=\"%s\"/>\n", num(m.points[0].x), num(m.points[0].y), num(m.width), m.tone)
	case words:
		fmt.Fprintf(b, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" text-anchor=\"%s\" fill=\"%s\">%s</text>\n",
			num(m.points[0].x), num(m.points[0].y), num(m.size), []string{"start", "middle", "end"}[m.anchor], m.tone, escaped(m.text))
	}
}

// String returns the colour as SVG has it.
func (t tone) String() string { return fmt.Sprintf("#%02x%02x%02x", t[0], t[1], t[2]) }

func num(f float64) string {
	return strconv.FormatFloat(float64(int64(f*100+0.5))/100, 'f', -1, 64)
}

func escaped(text string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(text)); err != nil {
		return ""
	}
	return b.String()
}
