package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/pricing/stack"
	"marchpane/templates/page"
)

// recipeDraft is a recipe as somebody has it in the form.
type recipeDraft struct {
	form      form
	component book.Component
	lines     []cookLine
	added     []book.Ingredient
	faults    record.Faults // with paths as the form's boxes have them
	same      page.Link     // to what has its name already
}

// readRecipeForm reads the form over a stored recipe, or over none.
func readRecipeForm(x *book.Index, f form, old book.Component) recipeDraft {
	for _, list := range []string{"tasks", "equipment"} {
		f.values = closeUp(f.values, list)
	}
	d := recipeDraft{form: f}
	d.lines, d.added = readLines(x, old.Lines, f.get("lines"), f.values, func(id book.ID) bool { return taken(x, id) })
	set := settings{
		"name": f.get("name"), "kind": strings.ToLower(f.get("kind")), "loss": f.percent("loss"), "yield": amountText(f.get("yield")),
		"density": f.figure("density"), "keeps": amountText(f.get("keeps")), "batch_min": amountText(f.get("batch_min")), "batch_max": amountText(f.get("batch_max")),
		"method": f.get("method"), "lines": lineRows(d.lines),
		"tasks":     quantities(f.rows("tasks", "task", "role", "setup", "rate", "per", "wait"), "setup", "rate", "wait"),
		"equipment": quantities(f.rows("equipment", "use", "setup", "rate", "per"), "setup", "rate"),
	}
	if density := f.figure("density"); density != "" && !strings.Contains(density, "g") {
		set["density"] = density + " g/ml"
	}
	flags := []any{}
	for _, flag := range book.Flags() {
		if f.ticked("flag." + string(flag)) {
			flags = append(flags, string(flag))
		}
	}
	set["flags"] = flags
	d.faults = setMould(set, f, old)
	var faults record.Faults
	d.component, faults = overlay(old, set)
	d.faults = append(d.faults, faults...)
	if len(d.faults) > 0 { // what can be read is shown all the same
		for path := range set {
			for _, fault := range d.faults {
				if fault.Path == path || strings.HasPrefix(fault.Path, path+".") || strings.HasPrefix(fault.Path, path+"[") {
					delete(set, path)
				}
			}
		}
		d.component, _ = overlay(old, set)
	}
	return d
}

// setMould reads what a batch fills. As it was written it stays as it is, for a
// mould can say more than the boxes hold.
func setMould(set settings, f form, old book.Component) record.Faults {
	text, holds := mouldText(old.Mould)
	if f.get("mould") == text && f.get("mould.holds") == holds {
		return nil
	}
	var m book.Mould
	var faults record.Faults
	if typed := f.get("mould"); typed != "" {
		read, err := stack.ParseMould(mouldWords(typed))
		if err != nil {
			faults.Add("mould", "%s", err)
		}
		m = read
	}
	if typed := f.get("mould.holds"); typed != "" {
		q, err := cookQuantity(typed)
		if err != nil {
			faults.Add("mould.holds", "%s", err)
		}
		m.Holds = q
	}
	switch {
	case len(faults) > 0:
	case m == book.Mould{}:
		set["mould"] = nil
	default:
		set["mould"] = m
	}
	return faults
}

// mouldWords puts a point for the comma of each size.
func mouldWords(text string) string {
	words := strings.Fields(text)
	for i, w := range words {
		words[i] = amountText(w)
	}
	return strings.Join(words, " ")
}

// mouldText writes a mould as its two boxes hold it.
func mouldText(m *book.Mould) (sizes, holds string) {
	if m == nil {
		return "", ""
	}
	if m.Outline().Given() {
		sizes = strings.Replace(m.Outline().String(), ", ", " ", 1)
		if m.Height.Given() {
			sizes += " x " + m.Height.String()
		}
	}
	return sizes, m.Holds.String()
}

// quantities reads quantities in rows as they are typed in a hurry.
func quantities(rows []any, keys ...string) any {
	if len(rows) == 0 {
		return nil
	}
	for _, row := range rows {
		for _, key := range keys {
			if text, ok := row.(map[string]any)[key].(string); ok {
				row.(map[string]any)[key] = inUnit(text, "min")
			}
		}
	}
	return rows
}

// closeUp numbers the rows of a list that hold anything from 0, so that a fault
// in the third of them finds the third row of the form.
func closeUp(values url.Values, list string) url.Values {
	var at []int
	for name, v := range values {
		rest, ok := strings.CutPrefix(name, list+"[")
		number, _, closed := strings.Cut(rest, "]")
		if i, err := strconv.Atoi(number); ok && closed && err == nil && i >= 0 && strings.TrimSpace(v[0]) != "" && !slices.Contains(at, i) {
			at = append(at, i)
		}
	}
	slices.Sort(at)
	out := url.Values{}
	for name, v := range values {
		rest, ok := strings.CutPrefix(name, list+"[")
		if !ok {
			out[name] = v
			continue
		}
		number, key, _ := strings.Cut(rest, "]")
		i, _ := strconv.Atoi(number)
		if to := slices.Index(at, i); to >= 0 {
			out[fmt.Sprintf("%s[%d]%s", list, to, key)] = v
		}
	}
	return out
}

// recipeForm asks for a recipe.
func recipeForm(a *asking, x *book.Index, c book.Component, action string) page.RecipeForm {
	f := page.RecipeForm{Action: action, Live: action + "/preview", Button: "Save", Cancel: action}
	percent := ""
	if c.Loss.Given {
		percent = percentFigure(c.Loss.Value)
	}
	sizes, holds := mouldText(c.Mould)
	f.Names = []page.Field{
		a.field(page.Field{Name: "name", Label: "Name", Value: c.Name, Required: true}),
		a.field(page.Field{Name: "kind", Label: "Kind", Value: c.Kind.Value, Options: kindOptions(x.Book), Help: "A word of your own: sponge, filling."}),
	}
	if language := a.typed.Get("language"); language != "" { // as somebody said when it was read in
		f.Names = append(f.Names, page.Field{Name: "language", Kind: "hidden", Value: language})
	}
	f.Lines = a.field(page.Field{Name: "lines", Label: "Lines", Value: linesText(x, c.Lines), Help: "One to a line, in your own words and units: 2 cups sifted flour, 3 large eggs, 500 g crème pâtissière. Another recipe goes in by its name."})
	f.Rows = min(max(strings.Count(f.Lines.Value, "\n")+3, 8), 40)
	f.Amounts = []page.Field{
		a.field(page.Field{Name: "loss", Label: "Lost in the making", Kind: "number", Unit: "%", Value: percent, Help: "Baked off, left in the bowl."}),
		a.field(page.Field{Name: "yield", Label: "Or: a batch weighs", Value: c.Yield.String(), Help: "When you have weighed or counted it: 1.2 kg, 40 each. Then leave the loss empty."}),
		a.field(page.Field{Name: "mould", Label: "A batch fills", Value: sizes, Help: "round 20 cm x 55 mm, or square, rectangle. Scaling starts here."}),
		a.field(page.Field{Name: "keeps", Label: "Keeps", Value: lasting(c.Keeps), Help: "4 days, 12 h. Your own local rules go first."}),
	}
	f.Limits = page.Group{Title: "Volume, density, limits of a batch", Fields: []page.Field{
		a.field(page.Field{Name: "mould.holds", Label: "The mould holds", Value: holds, Help: "Filled with water to the brim: 1850 ml. Goes before its sizes."}),
		a.field(page.Field{Name: "density", Label: "Finished, it weighs", Value: given(c.Density), Help: "For what is spread or poured: 0.85 g/ml. Empty beside a mould."}),
		a.field(page.Field{Name: "batch_min", Label: "Never less than", Value: c.BatchMin.String(), Help: "What your bowl can whip: 400 g."}),
		a.field(page.Field{Name: "batch_max", Label: "At most at once", Value: c.BatchMax.String(), Help: "More is made in several batches: 5 kg."}),
	}}
	for _, limit := range f.Limits.Fields {
		f.Limits.Open = f.Limits.Open || limit.Value != "" || len(limit.Faults) > 0
	}
	f.Work = workRows(a, x, c)
	f.Working = slices.ContainsFunc(f.Work, func(r page.FieldRow) bool { return faulty(r.Fields) })
	if n := len(c.Tasks) + len(c.Equipment); n > 0 {
		f.Worked = plural(n, "line", "lines")
	}
	f.Method = []page.Field{a.field(page.Field{Name: "method", Label: "Method", Kind: "long", Value: c.Method.Value, Wide: true})}
	for _, flag := range book.Flags() {
		f.Method = append(f.Method, a.field(page.Field{Name: "flag." + string(flag), Label: flagWords(flag), Kind: "tick", Ticked: slices.Contains(c.Flags, flag)}))
	}
	f.Faults = a.rest()
	f.Typed = a.typed != nil
	return f
}

// flagWords says what a flag tells clients and the kitchen.
func flagWords(f book.Flag) string {
	switch f {
	case book.Alcohol:
		return "There is alcohol in it"
	case book.RawEgg:
		return "The egg in it stays raw"
	case book.Gelatine:
		return "There is gelatine in it"
	case book.Inedible:
		return "It is not to be eaten"
	case book.FreshFlower:
		return "Fresh flowers are part of it"
	}
	return capital(strings.ReplaceAll(string(f), "-", " "))
}

// kindOptions are the kinds of the recipes that there are.
func kindOptions(b book.Book) []page.Option {
	var kinds []string
	for _, c := range b.Components {
		if k := c.Kind.Or(""); k != "" && !slices.Contains(kinds, k) && len(kinds) < 40 {
			kinds = append(kinds, k)
		}
	}
	if len(kinds) == 0 {
		kinds = []string{"sponge", "filling", "buttercream", "decoration"}
	}
	slices.Sort(kinds)
	options := make([]page.Option, len(kinds))
	for i, k := range kinds {
		options[i] = page.Option{Value: k, Text: k}
	}
	return options
}

// workRows are the tasks and appliances, each with empty rows behind.
func workRows(a *asking, x *book.Index, c book.Component) []page.FieldRow {
	roleOptions := []page.Option{{Value: "", Text: "nobody"}}
	for _, role := range x.Book.Roles {
		roleOptions = append(roleOptions, page.Option{Value: string(role.ID), Text: role.Name})
	}
	applianceOptions := []page.Option{{Value: "", Text: "none"}}
	for _, e := range x.Book.Equipment {
		applianceOptions = append(applianceOptions, page.Option{Value: string(e.ID), Text: e.Name})
	}
	perOptions := []page.Option{{Value: "", Text: "nothing"}, {Value: "batch", Text: "batch"}, {Value: "kg", Text: "kg"}, {Value: "each", Text: "piece"}}
	count := func(list string, stored int) int {
		if a.typed == nil {
			return stored + 1
		}
		n := 0
		for name := range a.typed {
			var i int
			if got, _ := fmt.Sscanf(name, list+"[%d]", &i); got == 1 && i < 200 {
				n = max(n, i+1)
			}
		}
		return n + 1
	}
	var rows []page.FieldRow
	for i := range count("tasks", len(c.Tasks)) {
		var t book.Task
		if i < len(c.Tasks) {
			t = c.Tasks[i]
		}
		at := record.Item("tasks", i) + "."
		rows = append(rows, page.FieldRow{Legend: fmt.Sprintf("Task %d", i+1), Fields: []page.Field{
			a.field(page.Field{Name: at + "task", Label: "What is done", Value: t.Name}),
			a.field(page.Field{Name: at + "role", Label: "By", Kind: "choice", Value: string(t.Role), Options: slices.Clone(roleOptions)}),
			a.field(page.Field{Name: at + "setup", Label: "A batch takes", Value: t.Setup.String()}),
			a.field(page.Field{Name: at + "rate", Label: "And more", Value: t.Rate.String()}),
			a.field(page.Field{Name: at + "per", Label: "For each", Kind: "choice", Value: string(t.Per), Options: slices.Clone(perOptions)}),
			a.field(page.Field{Name: at + "wait", Label: "Or waits", Value: t.Wait.String()}),
		}})
	}
	if len(x.Book.Equipment) == 0 {
		return rows
	}
	for i := range count("equipment", len(c.Equipment)) {
		var u book.EquipmentUse
		if i < len(c.Equipment) {
			u = c.Equipment[i]
		}
		at := record.Item("equipment", i) + "."
		rows = append(rows, page.FieldRow{Legend: fmt.Sprintf("Appliance %d", i+1), Fields: []page.Field{
			a.field(page.Field{Name: at + "use", Label: "Which", Kind: "choice", Value: string(u.Use), Options: slices.Clone(applianceOptions)}),
			a.field(page.Field{Name: at + "setup", Label: "Runs for", Value: u.Setup.String()}),
			a.field(page.Field{Name: at + "rate", Label: "And more", Value: u.Rate.String()}),
			a.field(page.Field{Name: at + "per", Label: "For each", Kind: "choice", Value: string(u.Per), Options: slices.Clone(perOptions)}),
		}})
	}
	return rows
}

// questions asks what lines mean that are not settled, and shows what was picked
// for those that were.
func questions(words words, x *book.Index, lines []cookLine, picked url.Values) []page.Question {
	var list []page.Question
	for i, l := range lines {
		name := "pick." + l.key
		pick := picked.Get(name)
		if l.heading || l.settled && pick == "" {
			continue
		}
		q := page.Question{Text: l.text}
		for _, why := range l.open {
			q.Why = append(q.Why, sentence(why))
		}
		f := page.Field{Name: name, Label: fmt.Sprintf("Line %d is", i+1), Kind: "choice", Wide: true, Options: []page.Option{{Value: "", Text: "not said yet"}}}
		option := func(value, text string) {
			f.Options = append(f.Options, page.Option{Value: value, Text: text, Chosen: value == pick})
		}
		offered := map[string]bool{}
		offer := func(id book.ID, text string) {
			if it, ok := x.Item(id); ok && !offered[string(id)] && id != "" {
				offered[string(id)] = true
				option(string(id), it.Name()+text)
			}
		}
		amount := ""
		if l.line.Qty.Given() {
			amount = ", " + words.quantity(l.line.Qty)
		}
		if l.guess != "" && pick != pickNew {
			offer(l.guess, amount)
		}
		for _, m := range l.matches {
			offer(m.Use, "")
		}
		if l.words != "" {
			option(pickNew, fmt.Sprintf("new: buy “%s”, price to follow", l.words))
		}
		option(pickSkip, "left out")
		if !l.offer && !l.settled && !l.skipped {
			q.Why = append(q.Why, "Say how much in the line itself, or leave it out.")
		}
		if it, ok := x.Item(l.guess); ok && it.Ingredient != nil && slices.ContainsFunc(l.open, func(why string) bool { return strings.Contains(why, " has no ") }) {
			q.Mend = &page.Link{Text: it.Ingredient.Name + ", in a tab of its own", Href: ingredients.at(it.Ingredient.ID)}
		}
		q.Field = &f
		list = append(list, q)
	}
	return list
}
