package page

import (
	"html/template"
	"strings"
)

// Written is a field with its label, its box and what stands beneath. It is
// written here and not in a template, since a form has hundreds of fields and a
// template takes longer over their attributes than the engine over the cake.
// What may be left out by the rules of HTML is: the ends of options, and the
// type of an input of text.
func (f Field) Written() template.HTML {
	b := &box{}
	b.Grow(512)
	switch f.Kind {
	case "hidden":
		b.WriteString(`<input type="hidden"`)
		b.attribute("name", f.Name)
		b.attribute("value", f.Value)
		b.WriteString(">")
	case "tick":
		b.tick(f)
	default:
		b.field(f)
	}
	return template.HTML(b.String())
}

type box struct{ strings.Builder }

func (b *box) begun(class string, f Field) {
	b.WriteString(`<div class="` + class)
	if f.Wide {
		b.WriteString(" wide")
	}
	if len(f.Faults) > 0 {
		b.WriteString(" faulty")
	}
	b.WriteString(`"><label`)
	b.attribute("for", f.ID())
	b.WriteString(">")
}

func (b *box) tick(f Field) {
	b.begun("field tick", f)
	b.WriteString(`<input type="checkbox"`)
	b.attribute("id", f.ID())
	b.attribute("name", f.Name)
	b.WriteString(` value="yes"`)
	if f.Ticked {
		b.WriteString(" checked")
	}
	if by := f.Described(); by != "" {
		b.attribute("aria-describedby", by)
	}
	b.WriteString("> <span>")
	b.text(f.Label)
	b.WriteString("</span></label>")
	b.beneath(f)
	b.WriteString("</div>\n")
}

func (b *box) field(f Field) {
	b.begun("field", f)
	b.text(f.Label)
	if f.Required {
		b.WriteString(` <span class="must">needed</span>`)
	}
	b.WriteString("</label>\n<span class=\"box\">")
	b.box(f)
	if f.Unit != "" {
		b.WriteString(`<span class="unit">`)
		b.text(f.Unit)
		b.WriteString("</span>")
	}
	b.WriteString("</span>")
	if len(f.Options) > 0 && f.Kind != "choice" {
		b.WriteString("<datalist")
		b.attribute("id", f.ID()+"-list")
		b.WriteString(">")
		b.options(f.Options)
		b.WriteString("</datalist>")
	}
	b.beneath(f)
	b.WriteString("</div>\n")
}

// beneath writes what is wrong with a field, and what helps to fill it in.
func (b *box) beneath(f Field) {
	if len(f.Faults) > 0 {
		b.WriteString(`<p class="fault"`)
		b.attribute("id", f.ID()+"-fault")
		b.WriteString(">")
		for _, fault := range f.Faults {
			b.text(fault + " ")
		}
		if f.See != nil {
			b.WriteString("<a")
			b.attribute("href", f.See.Href)
			b.WriteString(">")
			b.text(f.See.Text)
			b.WriteString("</a>")
		}
		b.WriteString("</p>")
	}
	if f.Help != "" {
		b.WriteString(`<p class="help"`)
		b.attribute("id", f.ID()+"-help")
		b.WriteString(">")
		b.text(f.Help)
		b.WriteString("</p>")
	}
}

// box writes what is filled in: an input, a select or a textarea.
func (b *box) box(f Field) {
	switch f.Kind {
	case "long":
		b.open("textarea", f)
		b.attribute("rows", "4")
		b.asked(f)
		b.WriteString(">")
		b.text(f.Value)
		b.WriteString("</textarea>")
	case "choice":
		b.open("select", f)
		b.asked(f)
		b.WriteString(">")
		b.options(f.Options)
		b.WriteString("</select>")
	default:
		b.input(f)
	}
}

// text writes what anybody may have typed.
func (b *box) text(s string) { b.WriteString(template.HTMLEscapeString(s)) }

func (b *box) attribute(name, value string) {
	b.WriteString(" " + name + `="`)
	b.text(value)
	b.WriteString(`"`)
}

func (b *box) open(tag string, f Field) {
	b.WriteString("<" + tag)
	b.attribute("id", f.ID())
	b.attribute("name", f.Name)
}

func (b *box) input(f Field) {
	b.open("input", f)
	switch f.Kind {
	case "", "text":
	case "number":
		b.WriteString(` inputmode="decimal" class="figure"`)
	default:
		b.attribute("type", f.Kind)
	}
	if f.Kind != "file" {
		b.attribute("value", f.Value)
	}
	if f.Accept != "" {
		b.attribute("accept", f.Accept)
	}
	if f.Auto != "" {
		b.attribute("autocomplete", f.Auto)
	}
	switch {
	case len(f.Options) > 0:
		b.attribute("list", f.ID()+"-list")
	case f.List != "":
		b.attribute("list", f.List)
	}
	b.asked(f)
	b.WriteString(">")
}

// asked writes what a box says of itself to those who hear the page.
func (b *box) asked(f Field) {
	if f.Required {
		b.WriteString(" required")
	}
	if len(f.Faults) > 0 {
		b.WriteString(` aria-invalid="true"`)
	}
	if by := f.Described(); by != "" {
		b.attribute("aria-describedby", by)
	}
}

func (b *box) options(list []Option) {
	for _, o := range list {
		b.WriteString("<option")
		b.attribute("value", o.Value)
		if o.Chosen {
			b.WriteString(" selected")
		}
		b.WriteString(">")
		b.text(o.Text)
	}
}
