package web

import (
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// draft is a cake or an extra as boxes hold it, saved or not. A box has the path
// of its value, but for the ways in which a part can be stated: they share the
// boxes "amount" and "how".
//
//	how      amount           in the record
//	         250 g            qty
//	portion  4 g              qty, per portion
//	layers   3 x 8 mm         layers, thick
//	coat:    4 mm             coat
//	coat:top 4 mm             coat, on top
//	sheet    4 mm             sheet, with overhang and reuse
type draft struct {
	url.Values
	items items
}

// items are what parts can be of, by the names that people type.
type items struct {
	name map[book.ID]string
	id   map[string]book.ID // by the name in small letters
	list []string           // names, sorted
}

// mostOffered bounds how many names a page offers while somebody types. Any
// other is understood all the same.
const mostOffered = 700

func itemsOf(x *book.Index) items {
	t := items{map[book.ID]string{}, map[string]book.ID{}, nil}
	add := func(id book.ID, name string) {
		if _, taken := t.id[strings.ToLower(name)]; taken {
			name += " (" + string(id) + ")"
		}
		t.name[id], t.id[strings.ToLower(name)] = name, id
		t.list = append(t.list, name)
	}
	for _, c := range x.Book.Components {
		add(c.ID, c.Name)
	}
	for _, ing := range x.Book.Ingredients {
		add(ing.ID, ing.Name)
		for _, p := range ing.Parts {
			add(p.ID, p.Name)
		}
	}
	byName(t.list, func(s string) string { return s }, x.Book.Studio)
	return t
}

// find returns what a typed name means: a name, else an id. What it does not
// know it returns as it is, to be refused by its name.
func (t items) find(typed string) string {
	if id, ok := t.id[strings.ToLower(typed)]; ok {
		return string(id)
	}
	return typed
}

func (t items) called(id book.ID) string {
	if name, ok := t.name[id]; ok {
		return name
	}
	return string(id)
}

// cakeDraft returns the boxes of a cake.
func cakeDraft(t items, c book.Cake) draft {
	d := draft{url.Values{}, t}
	d.put("name", c.Name)
	d.put("description", c.Description.Value)
	d.put("price", maybe(c.Price))
	d.put("tax_rate", maybePercent(c.TaxRate))
	d.put("portions", maybe(c.Portions))
	if c.Target != nil {
		for kind, value := range map[string]string{
			"margin": maybePercent(c.Target.Margin), "markup": maybePercent(c.Target.Markup),
			"per_portion": maybe(c.Target.PerPortion), "fixed": maybe(c.Target.Fixed),
		} {
			if value != "" {
				d.put("target.kind", kind)
				d.put("target.value", value)
			}
		}
	}
	d.putPortion("", c.Portion)
	for i, tier := range c.Tiers {
		at := record.Item("tiers", i) + "."
		d.put(at+"name", tier.Name)
		d.put(at+"shape", string(tier.Shape))
		for _, name := range sizeBoxes {
			d.put(at+name, given(sizeOf(tier.Form, name)))
		}
		d.put(at+"height", given(tier.Height))
		d.put(at+"dummy", tick(tier.Dummy))
		d.put(at+"kept", tick(tier.Kept))
		d.put(at+"portions", maybe(tier.Portions))
		d.putPortion(at, tier.Portion)
		d.putUses(at, tier.Parts, tier.Tasks, tier.Equipment)
	}
	d.putUses("", c.Parts, c.Tasks, c.Equipment)
	return d
}

// extraDraft returns the boxes of an extra.
func extraDraft(t items, e book.Extra) draft {
	d := draft{url.Values{}, t}
	d.put("name", e.Name)
	d.put("always", tick(e.Always))
	d.put("hidden", tick(e.Hidden))
	d.put("price", maybe(e.Price))
	d.put("price_per_km", maybe(e.PricePerKm))
	d.put("tax_rate", maybePercent(e.TaxRate))
	d.putUses("", e.Parts, e.Tasks, e.Equipment)
	return d
}

// sizeBoxes are the sizes of all shapes; [shape.Kind.Sizes] says which a shape
// has.
var sizeBoxes = []string{"diameter", "side", "length", "width", "area", "perimeter"}

func sizeOf(f book.Form, name string) measure.Quantity {
	return map[string]measure.Quantity{
		"diameter": f.Diameter, "side": f.Side, "length": f.Length, "width": f.Width, "area": f.Area, "perimeter": f.Perimeter,
	}[name]
}

func maybe[T any](v record.Maybe[T]) string {
	if !v.Given {
		return ""
	}
	return fmt.Sprint(v.Value)
}

func maybePercent(v record.Maybe[measure.Percent]) string {
	if !v.Given {
		return ""
	}
	return percentFigure(v.Value)
}

func tick(v record.Maybe[bool]) string {
	if v.Or(false) {
		return "yes"
	}
	return ""
}

func (d draft) put(name, value string) {
	if value != "" {
		d.Set(name, value)
	}
}

func (d draft) putPortion(at string, p *book.Portion) {
	if p == nil {
		return
	}
	d.put(at+"portion.cut", string(p.Cut))
	d.put(at+"portion.width", given(p.Width))
	d.put(at+"portion.depth", given(p.Depth))
	d.put(at+"portion.count", maybe(p.Count))
}

func (d draft) putUses(at string, parts []book.Part, tasks []book.Task, equipment []book.EquipmentUse) {
	for i, p := range parts {
		at := record.Item(at+"parts", i) + "."
		d.put(at+"use", d.items.called(p.Use))
		amount, how := "", string(p.Per)
		switch {
		case p.Layers.Given:
			amount, how = fmt.Sprintf("%d x %s", p.Layers.Value, given(p.Thick)), "layers"
		case p.Coat.Given():
			amount, how = given(p.Coat), "coat:"+string(p.On)
		case p.Sheet.Given():
			amount, how = given(p.Sheet), "sheet"
		default:
			amount = given(p.Qty)
		}
		d.put(at+"amount", amount)
		d.put(at+"how", how)
		d.put(at+"overhang", given(p.Overhang))
		d.put(at+"reuse", maybePercent(p.Reuse))
		d.put(at+"waste", maybePercent(p.Waste))
	}
	for i, t := range tasks {
		at := record.Item(at+"tasks", i) + "."
		d.put(at+"task", t.Name)
		d.put(at+"role", string(t.Role))
		d.put(at+"setup", given(t.Setup))
		d.put(at+"rate", given(t.Rate))
		d.put(at+"per", string(t.Per))
		d.put(at+"wait", given(t.Wait))
	}
	for i, u := range equipment {
		at := record.Item(at+"equipment", i) + "."
		d.put(at+"use", string(u.Use))
		d.put(at+"setup", given(u.Setup))
		d.put(at+"rate", given(u.Rate))
		d.put(at+"per", string(u.Per))
	}
}

// typedDraft returns what somebody typed, without rows in which nothing is
// filled in, so that a row has the number that it has in the record.
func typedDraft(t items, f form) draft {
	d := draft{maps.Clone(f.values), t}
	d.close("tiers", func(at string) bool {
		return d.empty(at, append(sizeBoxes, "name", "height")...) && !d.any(at+".parts[")
	})
	for _, at := range append(d.rows("tiers"), "") {
		if at != "" {
			at += "."
		}
		d.close(at+"parts", func(at string) bool { return d.empty(at, "use", "amount", "overhang", "reuse", "waste") })
		d.close(at+"tasks", func(at string) bool { return d.empty(at, "task", "setup", "rate", "wait") })
		d.close(at+"equipment", func(at string) bool { return d.empty(at, "use", "setup", "rate") })
	}
	return d
}

// rows lists the rows of a list: tiers[0], tiers[1].
func (d draft) rows(list string) []string {
	var at []int
	for name := range d.Values {
		rest, ok := strings.CutPrefix(name, list)
		if !ok || !strings.HasPrefix(rest, "[") {
			continue
		}
		number, _, closed := strings.Cut(rest[1:], "]")
		if i, err := strconv.Atoi(number); closed && err == nil && i >= 0 && !slices.Contains(at, i) {
			at = append(at, i)
		}
	}
	slices.Sort(at)
	rows := make([]string, len(at))
	for i, n := range at {
		rows[i] = record.Item(list, n)
	}
	return rows
}

// close leaves out the rows of a list that drop says, and numbers the others
// without gaps.
func (d draft) close(list string, drop func(at string) bool) {
	rows := slices.DeleteFunc(d.rows(list), drop)
	d.arrange(list, rows)
}

// arrange makes a list of the given rows of it, in their order. A row may stand
// there twice.
func (d draft) arrange(list string, rows []string) {
	made := url.Values{}
	for i, row := range rows {
		for name, values := range d.Values {
			if rest, ok := strings.CutPrefix(name, row+"."); ok {
				made[record.Item(list, i)+"."+rest] = values
			}
		}
	}
	maps.DeleteFunc(d.Values, func(name string, _ []string) bool { return strings.HasPrefix(name, list+"[") })
	maps.Copy(d.Values, made)
}

func (d draft) text(name string) string { return form{values: d.Values}.get(name) }

func (d draft) empty(at string, keys ...string) bool {
	return !slices.ContainsFunc(keys, func(key string) bool { return d.text(at+"."+key) != "" })
}

func (d draft) any(prefix string) bool {
	for name := range d.Values {
		if strings.HasPrefix(name, prefix) {
			return true
		}
	}
	return false
}

// do is what a button of the form asks for besides saving it: another row or
// tier. more says which list is to have more empty rows, opened which tier or
// list that was asked for is now.
func (d draft) do(what string) (more, opened string) {
	verb, at, _ := strings.Cut(what, " ")
	tiers := d.rows("tiers")
	i := slices.Index(tiers, at)
	switch {
	case verb == "more":
		return at, at
	case verb == "tier":
		return "", d.rise(len(tiers))
	case i < 0:
	case verb == "copy":
		d.arrange("tiers", slices.Insert(tiers, i+1, at))
		return "", d.rise(i + 1)
	case verb == "drop":
		d.arrange("tiers", slices.Delete(tiers, i, i+1))
	case verb == "down" && i > 0:
		tiers[i-1], tiers[i] = tiers[i], tiers[i-1]
		d.arrange("tiers", tiers)
		return "", tiers[i-1]
	}
	return "", ""
}

// rise names the tier that has come to stand at i, and the one that was the top
// until then, as the trade does.
func (d draft) rise(i int) string {
	at := record.Item("tiers", i)
	tiers := d.rows("tiers")
	used := map[string]bool{}
	for _, other := range tiers {
		if other != at {
			used[strings.ToLower(d.text(other+".name"))] = true
		}
	}
	between := func(i int) string {
		name := "middle"
		for n := i + 1; used[name]; n++ {
			name = fmt.Sprintf("tier %d", n)
		}
		used[name] = true
		return name
	}
	switch {
	case i == 0:
		d.Set(at+".name", "bottom")
	case i < len(tiers)-1:
		d.Set(at+".name", between(i))
	default:
		if below := record.Item("tiers", i-1); i > 1 && strings.EqualFold(d.text(below+".name"), "top") {
			d.Set(below+".name", between(i-1))
			delete(used, "top")
		}
		name := "top"
		if used[name] {
			name = between(i)
		}
		d.Set(at+".name", name)
	}
	return at
}
