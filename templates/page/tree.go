package page

import "html/template"

// Unfolded is an explanation as nested lists that open. It is written here and
// not in a template, since one has hundreds of figures.
func (n Node) Unfolded() template.HTML {
	b := &box{}
	b.Grow(4096)
	b.tree(n)
	return template.HTML(b.String())
}

func (b *box) tree(n Node) {
	if len(n.Children) == 0 {
		b.begin(`<div class="leaf"`, n)
		b.WriteString(">")
		b.node(n)
		b.WriteString("</div>")
		return
	}
	b.begin(`<details class="node"`, n)
	if n.Open {
		b.WriteString(" open")
	}
	b.WriteString("><summary>")
	b.node(n)
	b.WriteString("</summary><ul>")
	for _, child := range n.Children {
		b.WriteString("<li>")
		b.tree(child)
	}
	b.WriteString("</ul></details>")
}

func (b *box) begin(tag string, n Node) {
	b.WriteString(tag)
	if n.ID != "" {
		b.attribute("id", n.ID)
	}
}

func (b *box) node(n Node) {
	b.WriteString(`<span class="label">`)
	if n.Href != "" && len(n.Children) == 0 {
		b.WriteString("<a")
		b.attribute("href", n.Href)
		b.WriteString(">")
		b.text(n.Label)
		b.WriteString("</a>")
	} else {
		b.text(n.Label)
	}
	for _, small := range []string{n.Working, n.Price} {
		if small != "" {
			b.WriteString("<small>")
			b.text(small)
			b.WriteString("</small>")
		}
	}
	b.WriteString(`</span><span class="amount">`)
	b.text(n.Amount)
	b.WriteString("</span>")
}
