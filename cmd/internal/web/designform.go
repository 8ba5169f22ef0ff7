package web

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
	"marchpane/templates/page"
)

// designer builds the form of a draft. Every box shows what the draft holds.
type designer struct {
	*asking
	d         draft
	x         *book.Index
	to        string // where buttons for more rows send the form
	more      string // the list that is to have more empty rows
	opened    string // the tier or list that a phone is to show unfolded
	fresh     bool   // whether it is added, and all of it is to be filled in
	drivers   []book.Driver
	roles     []page.Option
	equipment []page.Option
}

func newDesigner(e editing, to string) designer {
	x, d := e.x, e.d
	b := designer{asking: ask(d.Values, e.faults).leads("name", e.same), d: d, x: x, to: to, more: e.more, opened: e.opened, fresh: e.fresh}
	b.roles = []page.Option{{Value: "", Text: "nobody"}}
	for _, r := range x.Book.Roles {
		b.roles = append(b.roles, page.Option{Value: string(r.ID), Text: r.Name})
	}
	b.equipment = []page.Option{{Value: "", Text: "none"}}
	for _, a := range x.Book.Equipment {
		b.equipment = append(b.equipment, page.Option{Value: string(a.ID), Text: a.Name})
	}
	return b
}

// cake fills the form of a cake.
func (b designer) cake(f *page.Design) {
	f.Tiered = true
	f.Basics = []page.Field{
		b.field(page.Field{Name: "name", Label: "Name", Required: true, Wide: true}),
		b.field(page.Field{Name: "description", Label: "What the client reads of it", Kind: "long", Wide: true}),
	}
	tiers := b.d.rows("tiers")
	for i, at := range tiers {
		f.Tiers = append(f.Tiers, b.tier(i, at))
	}
	f.Next = record.Item("tiers", len(tiers))
	b.drivers = book.CakeDrivers
	f.Whole = b.uses("", "the whole cake", false)
	f.Wholly = b.isOpened("", f.Whole) || len(tiers) == 0
	f.Cutting = page.Group{
		Title: "Portions", Help: "For every tier that has no rule of its own. What has no tiers, such as a tray of something, has a number of portions instead.",
		Fields: b.portion(""),
	}
	if len(tiers) == 0 || b.d.text("portions") != "" {
		f.Cutting.Fields = append(f.Cutting.Fields, b.field(page.Field{Name: "portions", Label: "Portions, without tiers", Kind: "number"}))
	}
	f.Cutting.Open = len(tiers) == 0 || faulty(f.Cutting.Fields)
	f.Selling = page.Group{
		Title: "What it sells at", Help: "At its list price; without one, at what the target asks for.",
		Fields: []page.Field{
			b.field(page.Field{Name: "price", Label: "List price, as shown", Kind: "number", Unit: b.x.Book.Studio.Currency.Code()}),
			b.field(page.Field{Name: "target.kind", Label: "Aims at", Kind: "choice", Options: []page.Option{
				{Value: "", Text: "what the studio aims at"}, {Value: "margin", Text: "a margin of … %"}, {Value: "markup", Text: "a markup of … %"},
				{Value: "per_portion", Text: "… a portion"}, {Value: "fixed", Text: "a price of …"},
			}}),
			b.field(page.Field{Name: "target.value", Label: "How much", Kind: "number"}),
			b.field(page.Field{Name: "tax_rate", Label: "Tax on it", Kind: "number", Unit: "%", Help: "Empty for the studio’s rate. Which rate is due is for your tax office or adviser to say."}),
		},
	}
	b.finish(f)
}

// extra fills the form of an extra.
func (b designer) extra(f *page.Design) {
	f.Basics = []page.Field{
		b.field(page.Field{Name: "name", Label: "Name", Required: true, Wide: true}),
		b.field(page.Field{Name: "always", Label: "Comes with every quote", Kind: "tick"}),
		b.field(page.Field{Name: "hidden", Label: "Costs us, but is neither shown nor charged", Kind: "tick"}),
	}
	b.drivers = book.ExtraDrivers
	f.Whole = b.uses("", "it", false)
	f.Whole.Parts.Open = b.fresh || len(b.d.rows("parts")) > 0
	f.Whole.Tasks.Open = f.Whole.Tasks.Open || !b.fresh && len(b.d.rows("tasks")) > 0
	f.Selling = page.Group{Title: "What it sells at", Fields: []page.Field{
		b.field(page.Field{Name: "price", Label: "Price, as shown", Kind: "number", Unit: b.x.Book.Studio.Currency.Code()}),
		b.field(page.Field{Name: "price_per_km", Label: "And for each km", Kind: "number", Unit: b.x.Book.Studio.Currency.Code()}),
		b.field(page.Field{Name: "tax_rate", Label: "Tax on it", Kind: "number", Unit: "%", Help: "Empty for the studio’s rate. Which rate is due is for your tax office or adviser to say."}),
	}}
	b.finish(f)
}

func (b designer) finish(f *page.Design) {
	for _, name := range b.d.items.list[:min(len(b.d.items.list), mostOffered)] {
		f.Items = append(f.Items, page.Option{Value: name})
	}
	f.Faults = b.rest()
	f.Count = len(b.faults)
}

var shapeWords = map[shape.Kind]string{
	shape.Round: "round", shape.Square: "square", shape.Rectangle: "rectangle", shape.Hexagon: "hexagon", shape.Heart: "heart", shape.Measured: "any other, measured",
}

func (b designer) tier(i int, at string) page.TierForm {
	t := page.TierForm{
		At: at, Above: record.Item("tiers", i+1), Below: record.Item("tiers", max(i-1, 0)), Number: i + 1, Title: fmt.Sprintf("Tier %d", i+1), First: i == 0, Side: b.size(at),
	}
	switch {
	case i == 0:
		t.Title += ", at the bottom"
	case i == len(b.d.rows("tiers"))-1:
		t.Title += ", at the top"
	}
	var shapes []page.Option
	for _, k := range shape.Kinds() {
		shapes = append(shapes, page.Option{Value: string(k), Text: shapeWords[k]})
	}
	labels := map[string]string{"diameter": "Across", "side": "Side", "length": "Long", "width": "Wide", "area": "Top area", "perimeter": "Round the edge"}
	t.Basics = []page.Field{
		b.field(page.Field{Name: at + ".name", Label: "Name"}),
		b.field(page.Field{Name: at + ".shape", Label: "Shape", Kind: "choice", Options: shapes}),
	}
	for _, name := range sizeBoxes {
		help := ""
		switch name {
		case "area":
			help = "Such as 450 cm2."
		case "diameter", "side":
			help = "Such as 200 mm, or 8 in."
		}
		t.Basics = append(t.Basics, b.field(page.Field{Name: at + "." + name, Label: labels[name], Kind: "number", Help: help}))
	}
	t.Basics = append(t.Basics,
		b.field(page.Field{Name: at + ".height", Label: "High", Kind: "number"}),
		b.field(page.Field{Name: at + ".kept", Label: "Kept for another day, not served", Kind: "tick"}),
		b.field(page.Field{Name: at + ".dummy", Label: "A dummy, not to be eaten", Kind: "tick"}),
	)
	t.Cutting = append(b.portion(at+"."), b.field(page.Field{Name: at + ".portions", Label: "Or so many portions", Kind: "number", Help: "Goes before any rule."}))
	for _, f := range t.Cutting {
		t.Cut = t.Cut || f.Value != "" || len(f.Faults) > 0
	}
	b.drivers = book.TierDrivers
	name := b.d.text(at + ".name")
	if name == "" {
		name = fmt.Sprintf("tier %d", i+1)
	}
	t.Uses = b.uses(at+".", name, true)
	t.Open = b.fresh || b.isOpened(at, t.Uses) || faulty(t.Basics) || faulty(t.Cutting)
	return t
}

// size is what a tier measures, as its boxes hold it: "300 × 110 mm".
func (b designer) size(at string) string {
	var sizes []string
	for _, name := range append(shape.Kind(b.d.text(at+".shape")).Sizes(), "height") {
		if text := b.d.text(at + "." + name); text != "" && name != "perimeter" {
			sizes = append(sizes, amountText(text))
		}
	}
	for i := range len(sizes) - 1 { // one unit for all is told once
		if number, unit, _ := strings.Cut(sizes[i], " "); strings.HasSuffix(sizes[i+1], " "+unit) {
			sizes[i] = number
		}
	}
	return strings.ReplaceAll(strings.Join(sizes, " × "), " ", "\u00a0")
}

// isOpened reports whether a phone is to show a tier, or the whole, unfolded:
// somebody asked for something in it, or something in it has to be mended.
func (b designer) isOpened(at string, u page.Uses) bool {
	if at != "" && b.opened == at {
		return true
	}
	for _, l := range []page.Lines{u.Parts, u.Tasks, u.Equipment} {
		if b.opened == l.At {
			return true
		}
		for _, row := range l.Rows {
			if faulty(row.Fields) {
				return true
			}
		}
	}
	return false
}

func faulty(fields []page.Field) bool {
	return slices.ContainsFunc(fields, func(f page.Field) bool { return len(f.Faults) > 0 })
}

func (b designer) portion(at string) []page.Field {
	none := "by the cake's rule"
	if at == "" {
		none = "each tier says"
	}
	return []page.Field{
		b.field(page.Field{Name: at + "portion.cut", Label: "Cut into", Kind: "choice", Options: []page.Option{
			{Value: "", Text: none}, {Value: string(book.Finger), Text: "fingers"}, {Value: string(book.Wedge), Text: "wedges"},
		}}),
		b.field(page.Field{Name: at + "portion.width", Label: "A finger is wide", Kind: "number"}),
		b.field(page.Field{Name: at + "portion.depth", Label: "And deep", Kind: "number", Help: "As cut, seen from above: 25 mm by 50 mm."}),
		b.field(page.Field{Name: at + "portion.count", Label: "Wedges a tier", Kind: "number"}),
	}
}

// driverWords are what comes behind "for each".
var driverWords = map[book.Driver]string{
	book.PerCake: "cake", book.PerTier: "tier", book.PerPortion: "portion", book.PerTop: "cm² of top", book.PerSide: "cm² of side",
	book.PerSurface: "cm² of top and side", book.PerEdge: "cm of edge", book.PerVolume: "cm³", book.PerOrder: "order", book.PerKm: "km",
}

func (b designer) driverOptions(none, before string) []page.Option {
	list := []page.Option{{Value: "", Text: none}}
	for _, d := range b.drivers {
		list = append(list, page.Option{Value: string(d), Text: before + driverWords[d]})
	}
	return list
}

// perField asks what the figure before it is for each of.
func (b designer) perField(at string) page.Field {
	return b.field(page.Field{Name: at + ".per", Label: "For each", Kind: "choice", Options: b.driverOptions("nothing", "")})
}

// uses builds the rows of what a tier, a cake or an extra takes, each list with
// an empty row to add to it.
func (b designer) uses(at, of string, onTier bool) page.Uses {
	lines := func(list, kind, title, help, more string, row func(at string) []page.Field) page.Lines {
		l := page.Lines{At: at + list, Kind: kind, Title: title, Help: help, More: more, Draft: b.to}
		rows := b.d.rows(at + list)
		empty := 1
		if b.more == l.At {
			empty = 4
		}
		for n := range empty {
			rows = append(rows, record.Item(at+list, len(b.d.rows(at+list))+n))
		}
		for i, at := range rows {
			l.Rows = append(l.Rows, page.BoxRow{Label: fmt.Sprintf("%s %d of %s", kind, i+1, of), Fields: row(at)})
			l.Open = l.Open || faulty(l.Rows[i].Fields)
		}
		l.Open = l.Open || list == "parts" || b.opened == l.At
		l.Count = "none yet"
		if n := len(b.d.rows(l.At)); n > 0 {
			l.Count = plural(n, "line", "lines")
		}
		return l
	}
	help := "So much in all, or for each of something that grows with it."
	if onTier {
		help = "So much in all, or for each of something; or as layers (3 x 8 mm), a coat or a rolled sheet, which follow the size of the tier."
	}
	return page.Uses{
		Parts: lines("parts", "part", "Made of", help, "More rows", func(at string) []page.Field {
			fields := []page.Field{
				b.field(page.Field{Name: at + ".use", Label: "What", List: "items"}),
				b.field(page.Field{Name: at + ".how", Label: "Counted", Kind: "choice", Options: b.howOptions(at, onTier)}),
				b.field(page.Field{Name: at + ".amount", Label: "How much", Kind: "number"}),
			}
			if onTier {
				fields = append(fields,
					b.field(page.Field{Name: at + ".overhang", Label: "Reaches beyond", Kind: "number"}),
					b.field(page.Field{Name: at + ".reuse", Label: "Offcuts reused", Kind: "number", Unit: "%"}))
			}
			return append(fields, b.field(page.Field{Name: at + ".waste", Label: "Waste on top", Kind: "number", Unit: "%"}))
		}),
		Tasks: lines("tasks", "task", "Work", "Minutes whatever the size, and more for each of something. Waiting is planned and not charged.", "More rows", func(at string) []page.Field {
			return []page.Field{
				b.field(page.Field{Name: at + ".task", Label: "What is done"}),
				b.field(page.Field{Name: at + ".role", Label: "By", Kind: "choice", Options: slices.Clone(b.roles)}),
				b.field(page.Field{Name: at + ".setup", Label: "Takes", Kind: "number"}),
				b.field(page.Field{Name: at + ".rate", Label: "And more", Kind: "number"}),
				b.perField(at),
				b.field(page.Field{Name: at + ".wait", Label: "Or waits", Kind: "number"}),
			}
		}),
		Equipment: lines("equipment", "appliance", "Appliances", "", "More rows", func(at string) []page.Field {
			return []page.Field{
				b.field(page.Field{Name: at + ".use", Label: "Which", Kind: "choice", Options: slices.Clone(b.equipment)}),
				b.field(page.Field{Name: at + ".setup", Label: "Runs for", Kind: "number"}),
				b.field(page.Field{Name: at + ".rate", Label: "And more", Kind: "number"}),
				b.perField(at),
			}
		}),
	}
}

// howOptions are the ways in which a part can be stated.
func (b designer) howOptions(at string, onTier bool) []page.Option {
	list := b.driverOptions("in all", "for each ")
	if !onTier {
		return list
	}
	list = append(list, page.Option{Value: "layers", Text: "as layers"}, page.Option{Value: "coat:", Text: "as a coat, top and side"},
		page.Option{Value: "coat:top", Text: "as a coat on top"}, page.Option{Value: "coat:side", Text: "as a coat on the side"}, page.Option{Value: "sheet", Text: "as a rolled sheet"})
	if how := b.d.text(at + ".how"); strings.HasPrefix(how, "coat:surface") {
		list = append(list, page.Option{Value: "coat:surface", Text: "as a coat on all of it"})
	}
	return list
}
