package web

import (
	"net/http"
	"net/url"
	"path"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/templates/page"
)

// lookedBack returns the prices of an ingredient between the days that an
// address names, and the form that asks for them.
func lookedBack(studio book.Studio, ing *book.Ingredient, query url.Values, today day.Date) (pricing.History, page.Form) {
	var bounds [2]day.Date
	f := page.Form{Action: ingredients.at(ing.ID), Button: "Look back"}
	for i, name := range []string{"since", "until"} {
		field := page.Field{Name: name, Label: []string{"From", "To"}[i], Kind: "date", Value: query.Get(name)}
		if field.Value != "" {
			d, err := day.Parse(field.Value)
			if err != nil {
				field.Faults = []string{sentence(err.Error())}
			} else {
				bounds[i] = d
			}
			f.Cancel = f.Action
		}
		f.Fields = append(f.Fields, field)
	}
	if len(ing.Prices) < 2 {
		f = page.Form{}
	}
	return pricing.HistoryOf(studio, ing, bounds[0], bounds[1], today), f
}

// historyFigures are the change over the whole span, and who is cheapest now.
func historyFigures(studio book.Studio, ing *book.Ingredient, h pricing.History) (list []page.Figure) {
	words := wordsOf(studio)
	if h.HasSpan && h.First.Before(h.Last) {
		list = append(list, page.Figure{Label: "From " + words.day(h.First) + " to " + words.day(h.Last), Note: words.per(h.FirstPer, ing.Measure) + ", then " + words.per(h.LastPer, ing.Measure), Value: words.change(h.Span)})
	}
	if c := h.Cheapest; c != nil && len(suppliersOf(ing)) > 0 {
		list = append(list, page.Figure{Label: "Cheapest now", Note: words.pack(c.Price.Pack) + ", " + c.Price.Supplier.Or("no supplier named"), Value: words.per(c.PerBase, ing.Measure)})
	}
	return list
}

// historyPaper is the plot of the prices, to save.
func (s *Server) historyPaper(w http.ResponseWriter, r *http.Request) error {
	x, ing, err := ingredients.named(s, r)
	if err != nil {
		return err
	}
	h, _ := lookedBack(x.Book.Studio, &ing, r.URL.Query(), s.today())
	return s.savePlot(w, r, string(ing.ID)+"-prices", path.Ext(r.URL.Path), HistoryPlot(x.Book.Studio, &ing, h, s.today()))
}
