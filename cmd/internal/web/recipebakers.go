package web

import (
	"net/http"
	"net/url"

	"marchpane/pricing/book"
	"marchpane/pricing/recipe"
	"marchpane/templates/page"
)

// bakersOf shows a recipe in baker's percentages. What counts as flour is what
// was ticked, or else what is called so.
func bakersOf(x *book.Index, c *book.Component, query url.Values) *page.Bakers {
	words := wordsOf(x.Book.Studio)
	at := components.at(c.ID)
	chosen := query.Get("bakers") != ""
	flour := recipe.IsFlour
	if chosen {
		flour = func(it book.Item) bool { return query.Get("flour."+string(itemID(it))) != "" }
	}
	lines, total := recipe.Bakers(x, c, flour)
	v := &page.Bakers{Action: at, Live: at + "/bakers", Open: chosen || !total.IsZero()}
	offered := map[book.ID]bool{}
	for _, l := range lines {
		id := itemID(l.Item)
		if !l.Known || offered[id] {
			continue
		}
		offered[id] = true
		v.Flours = append(v.Flours, page.Field{Name: "flour." + string(id), Kind: "tick", Label: l.Item.Name(), Ticked: l.Flour})
	}
	if len(v.Flours) == 0 {
		return nil
	}
	if total.IsZero() {
		v.None = "Nothing counts as flour here. Tick what does, and the rest is measured against it."
		return v
	}
	v.Table = page.Table{Caption: "Baker’s percentages", Brief: true, Heads: []page.Head{{Text: "Line"}, {Text: "Weighs", Right: true, Plain: true}, {Text: "Of the flour", Right: true, Key: true}}}
	for _, l := range lines {
		row := page.Row{Cells: []page.Cell{{Text: l.Item.Name()}, {}, {}}}
		if l.Flour {
			row.Cells[0].Note = "flour"
		}
		if l.Known {
			row.Cells[1].Text = words.locale.Number(l.Grams.Round(1), 0) + "\u00a0g"
			row.Cells[2].Text = words.percent(l.Share)
		}
		v.Table.Rows = append(v.Table.Rows, row)
	}
	v.Table.Foot = []page.Row{{Cells: []page.Cell{{Text: "All of it"}, {}, {Text: words.percent(total)}}}}
	return v
}

// itemID is the id of what a line uses.
func itemID(it book.Item) book.ID {
	switch {
	case it.Part != nil:
		return it.Part.ID
	case it.Component != nil:
		return it.Component.ID
	}
	return it.Ingredient.ID
}

// previewBakers answers while somebody ticks what counts as flour.
func (s *Server) previewBakers(w http.ResponseWriter, r *http.Request) error {
	x, c, err := components.named(s, r)
	if err != nil {
		return err
	}
	v := bakersOf(x, &c, r.URL.Query())
	if v == nil {
		v = &page.Bakers{None: "No line of this recipe has a weight."}
	}
	return s.fragment(w, r, "recipe", "recipe-bakers", v)
}
