package plot

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// SVG writes the figure as an SVG image with a title and a description. It has
// no script and no identifiers, so several may stand in one page.
func (f Figure) SVG(w io.Writer) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="plot" viewBox="0 0 %s %s" role="img" font-family="'Source Sans 3', system-ui, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif">`, num(f.Width), num(f.Height))
	fmt.Fprintf(&b, "\n<title>%s</title>\n<desc>%s</desc>\n<style>%s</style>\n", escaped(f.Title), escaped(f.Description), stylesheet())
	fmt.Fprintf(&b, "<rect width=\"%s\" height=\"%s\" %s/>\n", num(f.Width), num(f.Height), filled(paper))
	for _, m := range f.marks {
		m.svg(&b)
	}
	b.WriteString("</svg>\n")
	_, err := b.WriteTo(w)
	return err
}

func (m mark) svg(b *bytes.Buffer) {
	at := m.points[0]
	switch {
	case m.kind == line:
		dash := ` stroke-linecap="square"`
		if len(m.dash) > 0 {
			dash = fmt.Sprintf(` stroke-dasharray="%s"`, nums(m.dash...))
		}
		s := shades[m.tone]
		fmt.Fprintf(b, "<polyline points=\"%s\" fill=\"none\" class=\"s-%s\" stroke=\"%s\" stroke-width=\"%s\"%s/>\n", corners(m.points), s.name, s.light, num(m.width), dash)
	case m.kind == area:
		fmt.Fprintf(b, "<polygon points=\"%s\" %s/>\n", corners(m.points), filled(m.tone))
	case m.kind == dot && m.shape == disc:
		fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\" %s/>\n", num(at.x), num(at.y), num(m.width), filled(m.tone))
	case m.kind == dot:
		fmt.Fprintf(b, "<polygon points=\"%s\" %s/>\n", corners(m.outline()), filled(m.tone))
	case m.kind == words:
		fmt.Fprintf(b, "<text x=\"%s\" y=\"%s\" font-size=\"%s\"", num(at.x), num(at.y), num(m.size))
		if m.anchor != start {
			fmt.Fprintf(b, " text-anchor=\"%s\"", [...]string{middle: "middle", end: "end"}[m.anchor])
		}
		fmt.Fprintf(b, " %s>%s</text>\n", filled(m.tone), escaped(m.words))
	}
}

// filled returns the class of a tone and, for readers without styles, its
// colour on a light screen.
func filled(t tone) string {
	return fmt.Sprintf(`class="f-%s" fill="%s"`, shades[t].name, shades[t].light)
}

func corners(points []point) string {
	parts := make([]string, len(points))
	for i, p := range points {
		parts[i] = num(p.x) + "," + num(p.y)
	}
	return strings.Join(parts, " ")
}

func nums(list ...float64) string {
	parts := make([]string, len(list))
	for i, n := range list {
		parts[i] = num(n)
	}
	return strings.Join(parts, " ")
}

func num(f float64) string {
	return strconv.FormatFloat(math.Round(f*100)/100+0, 'f', -1, 64) // + 0: no −0
}

// escaped returns text as XML has it; what XML forbids becomes U+FFFD.
func escaped(text string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(text)) // a buffer takes all it is given
	return b.String()
}
