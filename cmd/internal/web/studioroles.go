package web

import (
	"net/http"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
	"marchpane/templates/page"
)

func (m *routes) rolePages() {
	s := m.s
	p := objectPages[book.Role]{
		s: s, kind: roles, title: "Work and wages", one: "a role", lead: "Who does what, and what an hour of it costs you. Each wage has a day from which it holds.",
		empty: page.Empty{Title: "Who works here?", Text: "A role is work of one kind at one wage: decorating, baking, washing up. Pay yourself too: a cake that pays no wage for your hours looks dearer to sell than it is to make."},
		heads: []page.Head{{Text: "Role"}, {Text: "Wage an hour", Right: true}, {Text: "Costs at work", Right: true, Key: true}, {Text: "Since"}},
		row: func(w words, v book.Role) page.Row {
			wage, err := v.WageOn(s.today())
			if err != nil {
				return page.Row{Cells: []page.Cell{{Text: v.Name}, {}, {Text: "no wage yet", Tone: "bad"}, {}}}
			}
			return page.Row{Cells: []page.Cell{{Text: v.Name}, {Text: w.money(wage.PerHour.Number())}, {Text: w.money(v.PerMinute(wage).Mul(exact.Int(60))) + " an hour"}, {Text: w.day(wage.From), Tone: "quiet"}}}
		},
		ask: func(a *asking, v book.Role) []page.Field {
			return []page.Field{
				a.field(page.Field{Name: "name", Label: "Role", Value: v.Name, Required: true}),
				a.field(page.Field{Name: "on_cost", Label: "On top of the wage", Kind: "number", Unit: "%", Value: percentOf(v.OnCost), Help: "Holidays, insurance, employer's share. Empty for none."}),
				a.field(page.Field{Name: "productive", Label: "Of the hours paid, hands are on the work", Kind: "number", Unit: "%", Value: percentOf(v.Productive), Help: "The rest is waiting, cleaning, the telephone. Empty: all of them."}),
			}
		},
		set: func(f form) settings {
			return settings{"name": f.get("name"), "on_cost": f.percent("on_cost"), "productive": f.percent("productive")}
		},
		first: func(f form) (settings, []page.Field) {
			return settings{"wage": []any{map[string]any{"from": f.get("wage[0].from"), "per_hour": f.price("wage[0].per_hour")}}}, wageFields("wage[0].", s.today().String())
		},
		ident: func(f form) string { return f.get("name") },
		more: func(w words, body *page.Part, v book.Role, came returned) {
			if wage, err := v.WageOn(s.today()); err == nil {
				body.Figures = []page.Figure{
					{Label: "An hour's wage today", Note: "since " + w.day(wage.From), Value: w.money(wage.PerHour.Number())},
					{Label: "An hour at work costs", Note: "with what comes on top, by the share of time at work", Value: w.money(v.PerMinute(wage).Mul(exact.Int(60))), Strong: true},
				}
			}
			a := came.of("wage")
			wage := page.Form{Action: roles.at(v.ID) + "/wage", Title: "A new wage", Lead: "Earlier wages stay, so that you can look back.", Button: "Add this wage", Guard: true, Version: a.version(datedVersion(v.Wage))}
			for _, field := range wageFields("", s.today().String()) {
				wage.Fields = append(wage.Fields, a.field(field))
			}
			wage.Faults = a.rest()
			body.Forms = append(body.Forms, wage)
			t := page.Table{Caption: "Wages so far", Shown: true, Brief: true, Heads: []page.Head{{Text: "From"}, {Text: "An hour", Right: true, Key: true}}}
			for _, past := range datedBack(v.Wage, func(a, b book.Wage) int { return b.From.DaysUntil(a.From) }) {
				t.Rows = append(t.Rows, page.Row{Cells: []page.Cell{{Text: w.day(past.From)}, {Text: w.money(past.PerHour.Number())}}})
			}
			body.Tables = []page.Table{t}
		},
	}
	addObjectPages(m, p)
	m.post("/studio/roles/{id}/wage", func(w http.ResponseWriter, r *http.Request) error { return addWage(w, r, p) })
}

func wageFields(at, today string) []page.Field {
	return []page.Field{
		{Name: at + "per_hour", Label: "Wage an hour", Kind: "number", Required: true},
		{Name: at + "from", Label: "From", Kind: "date", Value: today, Required: true},
	}
}

// datedBack lists what has days, the newest first.
func datedBack[T any](list []T, compare func(a, b T) int) []T {
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, compare)
	slices.Reverse(sorted)
	return sorted
}

func addWage(w http.ResponseWriter, r *http.Request, p objectPages[book.Role]) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	id := book.ID(r.PathValue("id"))
	wage, faults := overlay(book.Wage{}, settings{"from": f.get("from"), "per_hour": f.price("per_hour")})
	var now book.Role
	var undo back
	if len(faults) == 0 {
		var met error
		now, undo, err = saveObject(r, p.s, roles, id, "", func(old book.Role) (book.Role, record.Faults) {
			var faults record.Faults
			if met = later(f, "The wage of "+old.Name, old.Wage, wage); met != nil {
				faults.Add("per_hour", "%s", met)
			}
			old.Wage = append(slices.Clone(old.Wage), wage)
			return old, faults
		})
		if shown, err := p.s.showClash(w, r, met, f, roles.at(id)+"/wage", roles.at(id)); shown {
			return err
		}
		faults, _ = faultsOf(err)
	}
	if len(faults) > 0 {
		return p.page(w, r, http.StatusUnprocessableEntity, returned{"wage", f.values, faults})
	}
	if err != nil {
		return err
	}
	return p.s.done(w, r, roles.at(id), now.Name+" has a new wage.", undo)
}

func percentOf(p record.Maybe[measure.Percent]) string {
	if !p.Given {
		return ""
	}
	return percentFigure(p.Value)
}

func (m *routes) equipmentPages() {
	addObjectPages(m, objectPages[book.Appliance]{
		s: m.s, kind: equipment, title: "Equipment", one: "an appliance", lead: "What draws power and wears: ovens, mixers, the fridge. Recipes and cakes say how long each runs.",
		empty: page.Empty{Title: "What runs in your kitchen?", Text: "With the power on its plate and the price of energy, an oven's hour lands on the cake that it baked."},
		heads: []page.Head{{Text: "Appliance"}, {Text: "Power", Right: true, Key: true}, {Text: "Draws it", Right: true}, {Text: "Wear an hour", Right: true}},
		row: func(w words, v book.Appliance) page.Row {
			duty, wear := "", ""
			if v.Duty.Given {
				duty = w.rate(v.Duty.Value.Fraction()) + " of the time"
			}
			if v.PerHour.Given {
				wear = w.money(v.PerHour.Value.Number())
			}
			return page.Row{Cells: []page.Cell{{Text: v.Name}, {Text: w.quantity(v.Power)}, {Text: duty}, {Text: wear}}}
		},
		ask: func(a *asking, v book.Appliance) []page.Field {
			return []page.Field{
				a.field(page.Field{Name: "name", Label: "Appliance", Value: v.Name, Required: true}),
				a.field(page.Field{Name: "power", Label: "Power", Value: given(v.Power), Help: "From its plate: 2.5 kW, or 800 W."}),
				a.field(page.Field{Name: "duty", Label: "Draws it of the time", Kind: "number", Unit: "%", Value: percentOf(v.Duty), Help: "A thermostat switches an oven on and off. Empty: all the time."}),
				a.field(page.Field{Name: "per_hour", Label: "Wear an hour", Kind: "number", Value: stated(v.PerHour), Help: "What it cost, over the hours it will last. Empty for none."}),
			}
		},
		set: func(f form) settings {
			return settings{"name": f.get("name"), "power": f.figure("power"), "duty": f.percent("duty"), "per_hour": f.price("per_hour")}
		},
		ident: func(f form) string { return f.get("name") },
	})
}

func (m *routes) tinPages() {
	shapes := []page.Option{
		{Value: string(shape.Round), Text: "round"}, {Value: string(shape.Square), Text: "square"}, {Value: string(shape.Rectangle), Text: "rectangle"},
		{Value: string(shape.Hexagon), Text: "hexagon"}, {Value: string(shape.Heart), Text: "heart"}, {Value: string(shape.Measured), Text: "another shape, measured"},
	}
	addObjectPages(m, objectPages[book.Tin]{
		s: m.s, kind: tins, title: "Tins you own", one: "a tin", lead: "Tiers for a number of guests are found among these, and recipes scale to what a tin holds.",
		empty: page.Empty{Title: "What is on your shelf?", Text: "Enter the tins that you bake in, by their inner sizes. Then guests can be turned into tiers that you can really bake."},
		heads: []page.Head{{Text: "Tin"}, {Text: "Depth", Right: true}, {Text: "Holds", Right: true}, {Text: "You own", Right: true}},
		row: func(w words, v book.Tin) page.Row {
			tin := page.Cell{Text: capital(v.String())}
			if v.Name.Given {
				tin.Note = v.Outline().String()
			}
			return page.Row{Cells: []page.Cell{tin, {Text: w.quantity(v.Height)}, {Text: w.quantity(v.Holds)}, {Text: w.locale.Number(exact.Int(int64(v.Owned.Or(1))).Round(0), 0)}}}
		},
		ask: func(a *asking, v book.Tin) []page.Field {
			owned := ""
			if v.Owned.Given {
				owned = exact.Int(int64(v.Owned.Value)).Fixed(0)
			}
			kind := string(v.Shape)
			if kind == "" {
				kind = string(shape.Round)
			}
			return []page.Field{
				a.field(page.Field{Name: "shape", Label: "Shape", Kind: "choice", Value: kind, Options: shapes}),
				a.field(page.Field{Name: "diameter", Label: "Diameter, of a round one", Value: given(v.Diameter), Help: "Inside: 20 cm, or 8 in."}),
				a.field(page.Field{Name: "side", Label: "Side, of a square, hexagon or heart", Value: given(v.Side)}),
				a.field(page.Field{Name: "length", Label: "Length, of a rectangle", Value: given(v.Length)}),
				a.field(page.Field{Name: "width", Label: "Width, of a rectangle", Value: given(v.Width)}),
				a.field(page.Field{Name: "area", Label: "Area, of another shape", Value: given(v.Area), Help: "300 cm2"}),
				a.field(page.Field{Name: "perimeter", Label: "Way round, of another shape", Value: given(v.Perimeter)}),
				a.field(page.Field{Name: "height", Label: "Depth inside", Value: given(v.Height)}),
				a.field(page.Field{Name: "holds", Label: "Holds", Value: given(v.Holds), Help: "Where you filled it with water and know: 1850 ml. It goes before the sizes."}),
				a.field(page.Field{Name: "owned", Label: "How many you own", Kind: "number", Value: owned, Help: "1 where you leave it empty; 0 for one that is gone."}),
				a.field(page.Field{Name: "name", Label: "What you call it", Value: v.Name.Value}),
			}
		},
		set: func(f form) settings {
			set := settings{"shape": f.get("shape"), "owned": wholeNumber(f.get("owned")), "name": f.get("name")}
			for _, size := range []string{"diameter", "side", "length", "width", "area", "perimeter", "height", "holds"} {
				set[size] = f.figure(size)
			}
			return set
		},
		ident: func(f form) string {
			if name := f.get("name"); name != "" {
				return name
			}
			text := f.get("shape")
			for _, size := range []string{"diameter", "side", "length", "width", "height"} {
				if f.get(size) != "" {
					text += " " + f.get(size)
				}
			}
			return text
		},
	})
}
