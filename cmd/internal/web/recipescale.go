package web

import (
	"net/http"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/stack"
	"marchpane/templates/page"
)

// scaleRecipe shows a recipe for another mould, or in another amount.
func (s *Server) scaleRecipe(w http.ResponseWriter, r *http.Request) error {
	x, c, err := components.named(s, r)
	if err != nil {
		return err
	}
	id := c.ID
	query := r.URL.Query()
	f := form{values: query}
	body := page.Scaled{Title: c.Name + ", scaled", Result: s.scaled(x, c, f)}
	if wantsFragment(r) {
		return s.fragment(w, r, "scaled", "scaled-recipe", body.Result)
	}
	tinOptions := []page.Option{{Value: "", Text: "none of yours"}}
	for _, t := range x.Book.Tins {
		text := t.String()
		if t.Height.Given() {
			text += ", " + t.Height.String() + " deep"
		}
		tinOptions = append(tinOptions, page.Option{Value: string(t.ID), Text: text})
	}
	field := func(v page.Field) page.Field {
		v.Value = query.Get(v.Name)
		for i := range v.Options {
			v.Options[i].Chosen = v.Options[i].Value == v.Value
		}
		return v
	}
	at := components.at(id) + "/scale"
	body.Form = page.Form{Action: at, Get: true, Live: at, Target: "scaled", Button: "Scale it", Cancel: components.at(id), Lead: "Fill in one: a mould, an amount, or how many batches. Beside a mould, the number says how many of them."}
	if len(x.Book.Tins) > 0 {
		body.Form.Fields = append(body.Form.Fields, field(page.Field{Name: "tin", Label: "Into one of your tins", Kind: "choice", Options: tinOptions}))
	}
	body.Form.Fields = append(body.Form.Fields,
		field(page.Field{Name: "into", Label: "Into a mould", Help: "round 240 mm x 75 mm, or what it holds: 2.3 l"}),
		field(page.Field{Name: "amount", Label: "To an amount", Help: "2.5 kg, or 60 each"}),
		field(page.Field{Name: "batches", Label: "How many", Kind: "number", Help: "1.5 batches, or so many moulds"}))
	return s.show(w, r, "scaled", body.Title, body, page.Link{Text: "Recipes", Href: "/recipes"}, page.Link{Text: c.Name, Href: components.at(id)}, page.Link{Text: "Scaled", Current: true})
}

func (s *Server) scaled(x *book.Index, c book.Component, f form) page.ScaledRecipe {
	words := wordsOf(x.Book.Studio)
	var v page.ScaledRecipe
	times := exact.Int(1)
	into, amount, batches := f.get("into"), f.get("amount"), f.figure("batches")
	if batches != "" {
		n, err := measure.Number(batches)
		if err != nil || n.IsZero() {
			v.Fault = "How many is a number above 0, such as 2 or 1.5."
			return v
		}
		times = exact.FromDecimal(n)
	}
	var mould book.Mould
	switch tin := f.get("tin"); {
	case into != "":
		m, err := stack.ParseMould(mouldWords(into))
		if err != nil {
			v.Fault = sentence(err.Error())
			return v
		}
		mould = m
	case tin != "":
		t, err := tins.find(x.Book, book.ID(tin))
		if err != nil {
			v.Fault = "That tin is not on your shelf any more."
			return v
		}
		mould = t.Mould
	case amount != "":
		q, err := cookQuantity(amount)
		if err == nil {
			var n exact.Number
			if n, err = stack.Times(x, &c, q); err == nil {
				times = times.Mul(n)
			}
		}
		if err != nil {
			v.Fault = sentence(err.Error())
			return v
		}
	}
	var volume exact.Number
	if mould != (book.Mould{}) {
		if volume = mould.Volume(x.Household()); volume.IsZero() {
			v.Fault = "How deep it is is not known, so neither is what it holds: add the depth, such as x 75 mm, or fill it with water and say what it holds."
			return v
		}
	}
	r, err := stack.Scale(x, &c, volume, times)
	if err != nil {
		v.Fault = sentence(err.Error())
		return v
	}
	if volume.Sign() > 0 {
		v.Figures = append(v.Figures,
			page.Figure{Label: "A batch fills", Value: words.locale.Number(r.From.Round(0), 0) + "\u00a0ml"},
			page.Figure{Label: "Wanted", Value: words.locale.Number(r.Into.Round(0), 0) + "\u00a0ml"})
		v.Caution = "The oven’s time and heat do not scale with the amount: watch the depth, and test the core."
	}
	v.Figures = append(v.Figures, page.Figure{Label: "The recipe, times", Value: words.locale.Number(r.Factor.Round(3), 0), Strong: true}, page.Figure{Label: "It makes", Value: words.made(r.Output), Strong: true})
	if r.Batches.Cmp(exact.Int(1)) > 0 {
		v.Figures = append(v.Figures, page.Figure{Label: "Made in", Note: "one is at most " + words.locale.Quantity(c.BatchMax), Value: r.Batches.Fixed(0) + " batches"})
	}
	if b, err := pricing.CostBatch(x, &c, r.Factor, s.rates(x)); err == nil && b.Missing == nil {
		v.Figures = append(v.Figures, page.Figure{Label: "It costs", Value: words.money(b.Cost.Total())}, page.Figure{Label: "That comes to", Value: words.per(b.Per(), b.Output.Dimension)})
	}
	v.Lines = page.Table{Caption: "The lines, scaled", Brief: true, Heads: []page.Head{{Text: "Line"}, {Text: "Takes", Right: true, Key: true}}}
	for _, l := range r.Lines {
		unit := l.Line.Qty.Unit().String()
		v.Lines.Rows = append(v.Lines.Rows, page.Row{Cells: []page.Cell{{Text: l.Name, Note: l.Line.Note.Value}, {Text: words.locale.Number(stack.Weighed(l.Quantity, unit), 0) + "\u00a0" + unit}}})
	}
	v.Method = c.Method.Value
	return v
}
