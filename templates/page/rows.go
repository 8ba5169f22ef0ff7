package page

import (
	"fmt"
	"html/template"
	"strings"
)

// Written is the table. It is written here and not in a template, since a page
// of a list has hundreds of cells and a template takes longer over them than
// the engine over what they say.
func (t Table) Written() template.HTML {
	b := &box{}
	b.Grow(1024 + 256*len(t.Rows)*len(t.Heads))
	b.WriteString(`<table class="rows`)
	b.either(t.Brief, " brief", "")
	b.WriteString("\">\n<caption")
	b.either(t.Shown, "", ` class="unseen"`)
	b.WriteString(">")
	b.text(t.Caption)
	b.WriteString("</caption>\n<thead><tr>")
	for _, h := range t.Heads {
		b.head(h)
	}
	b.WriteString("</tr></thead>\n<tbody>")
	for _, r := range t.Rows {
		b.WriteString("<tr")
		if r.ID != "" {
			b.attribute("id", r.ID)
		}
		if r.Tone != "" {
			b.attribute("class", r.Tone)
		}
		b.WriteString(">")
		b.cells(t.Heads, r.Cells)
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody>\n")
	if len(t.Foot) > 0 {
		b.WriteString("<tfoot>")
		for _, r := range t.Foot {
			b.WriteString("<tr>")
			b.cells(t.Heads, r.Cells)
			b.WriteString("</tr>")
		}
		b.WriteString("</tfoot>")
	}
	b.WriteString("\n</table>")
	return template.HTML(b.String())
}

func (b *box) head(h Head) {
	b.WriteString(`<th scope="col"`)
	b.either(h.Right, ` class="right"`, "")
	if h.Sort != "" {
		b.attribute("aria-sort", h.Sort)
	}
	b.WriteString(">")
	b.linked(h.Text, h.Href)
	b.WriteString("</th>")
}

// cells writes a row: its first cell heads it, and each other carries the
// heading of its column for a phone, where the row becomes a card.
func (b *box) cells(heads []Head, list []Cell) {
	for i, c := range list {
		if i == 0 {
			b.WriteString(`<th scope="row">`)
			b.cell(c)
			b.WriteString("</th>")
			continue
		}
		var h Head
		if i < len(heads) {
			h = heads[i]
		}
		b.WriteString("<td")
		b.attribute("data-head", h.Text)
		b.WriteString(` class="`)
		b.either(h.Right, "right", "")
		b.either(h.Key, " key", "")
		b.either(h.Plain, " plainly", "")
		if c.Tone != "" {
			b.WriteString(" ")
			b.text(c.Tone)
		}
		b.either(c.Text == "" && c.Bar == nil, " void", "")
		b.WriteString(`">`)
		b.cell(c)
		b.WriteString("</td>")
	}
}

func (b *box) cell(c Cell) {
	b.WriteString(`<span class="v">`)
	b.linked(c.Text, c.Href)
	if c.Note != "" {
		b.WriteString("<small>")
		b.text(c.Note)
		b.WriteString("</small>")
	}
	if c.Bar != nil {
		b.bar(*c.Bar)
	}
	b.WriteString("</span>")
}

// Written is the bar; see [Table.Written].
func (bar Bar) Written() template.HTML {
	b := &box{}
	b.bar(bar)
	return template.HTML(b.String())
}

func (b *box) bar(bar Bar) {
	b.WriteString(`<svg class="bar" viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true"><rect class="bar-ground" width="100" height="4"/><rect class="bar-`)
	b.text(bar.Tone)
	b.WriteString(`" width="`)
	b.text(bar.Share)
	b.WriteString(`" height="4"/></svg>`)
}

// linked writes text, which leads somewhere where there is an address.
func (b *box) linked(text, href string) {
	if href == "" {
		b.text(text)
		return
	}
	b.WriteString("<a")
	b.attribute("href", address(href))
	b.WriteString(">")
	b.text(text)
	b.WriteString("</a>")
}

// address is an address as it may stand in a page, as a template has it: what
// no address is written with is spelt out byte by byte, and a scheme that could
// run something leads nowhere.
func address(href string) string {
	if scheme, _, schemed := strings.Cut(href, ":"); schemed && !strings.ContainsAny(scheme, "/?#") {
		switch strings.ToLower(scheme) {
		case "http", "https", "mailto":
		default:
			return "#"
		}
	}
	plain := func(c byte) bool {
		return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || strings.IndexByte("-._~!#$&*+,/:;=?@[]%", c) >= 0
	}
	var b strings.Builder
	written := 0
	for i := range len(href) {
		if !plain(href[i]) {
			b.WriteString(href[written:i])
			fmt.Fprintf(&b, "%%%02x", href[i])
			written = i + 1
		}
	}
	return b.String() + href[written:]
}

func (b *box) either(is bool, yes, no string) {
	if is {
		b.WriteString(yes)
	} else {
		b.WriteString(no)
	}
}
