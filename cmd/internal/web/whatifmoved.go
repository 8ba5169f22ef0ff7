package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

// moved works out what changes do: all is ranked, and what the page shows is
// costed to the digit.
func (s *Server) moved(r *http.Request, x *book.Index, query url.Values, changes []pricing.Change, categories []pricing.CategoryChange) (out page.Moved, err error) {
	refuse := func(err error) (page.Moved, error) {
		out.Faults = append(out.Faults, sentence(err.Error()))
		return out, nil
	}
	rates := pricing.NewRates(x, s.priceDay(r))
	if changes, err = pricing.SpellOut(x.Book, changes, categories); err != nil {
		return refuse(err)
	}
	if o := x.Book.Overhead; o != nil && o.Method == book.ByPercent && slices.ContainsFunc(changes, func(c pricing.Change) bool { return c.Resource == book.OverheadID }) {
		return refuse(fmt.Errorf("overhead is a share of all other costs here and has no price of its own"))
	}
	perUnit, err := pricing.Moves(x, rates, changes...)
	if err != nil {
		return refuse(err)
	}
	words := wordsOf(x.Book.Studio)
	var labels []string
	for _, c := range changes {
		labels = append(labels, changeLabel(words, x, c))
	}
	out.Title = strings.Join(labels[:min(len(labels), 6)], ", ")
	if len(labels) > 6 {
		out.Title += fmt.Sprintf(" and %d more", len(labels)-6)
	}
	out.Title = capital(out.Title)
	from := query.Get("from")
	query = moving(query)
	for _, v := range []struct{ ending, text string }{{".xlsx", "Workbook (XLSX)"}, {".svg", "Save the plot (SVG)"}, {".png", "As a picture (PNG)"}} {
		out.Files = append(out.Files, page.Link{Text: v.text, Href: withQuery("/what-if/impact"+v.ending, query)})
	}
	query.Set("from", from)
	if _, err := rates.Share(); err != nil {
		return out, err
	}
	k, err := s.ranking(r, x)
	if err != nil {
		return out, err
	}
	if err := s.movedCakes(r, k, query, rates, perUnit, &out); err != nil {
		return out, err
	}
	return out, s.movedQuotes(r, k, rates, perUnit, &out)
}

// movedCakes ranks the cakes, and fills in what the page shows of them.
func (s *Server) movedCakes(r *http.Request, ranking *ranking, query url.Values, rates *pricing.Rates, perUnit map[book.ID]exact.Number, out *page.Moved) error {
	x := ranking.x
	words := wordsOf(x.Book.Studio)
	k, err := s.rankedCakes(r, ranking)
	if err != nil {
		return err
	}
	order, err := k.cat.Move(perUnit)
	if err != nil {
		return err
	}
	if len(order) == 0 {
		out.Text = "No cake uses any of it."
		return nil
	}
	floor := x.Book.Studio.FloorMargin.Or(measure.Percent{}).Fraction()
	was, is := catalogue.Below(order, floor)
	out.Figures = []page.Figure{{Label: "Cakes it touches", Value: fmt.Sprint(len(order))}}
	if !floor.IsZero() {
		f := page.Figure{Label: "Below your floor of " + words.rate(floor), Value: fmt.Sprintf("%d, today %d", is, was)}
		if is > was {
			f.Tone = "bad"
		}
		out.Figures = append(out.Figures, f)
	}
	shown, pager := paged(order, query, "/what-if")
	out.Pager = pager
	out.Cakes = page.Table{Brief: true, Caption: "Cakes, the greatest loss first", Heads: []page.Head{
		{Text: "Cake"}, {Text: "Costs now", Right: true}, {Text: "Costs then", Right: true}, {Text: "Sells at", Right: true}, {Text: "Margin now", Right: true}, {Text: "Margin then", Right: true, Key: true}, {Text: "To restore it", Right: true},
	}}
	breakEven, unit := breakEvenUnit(x, rates, perUnit)
	if unit != "" {
		out.Cakes.Heads = append(out.Cakes.Heads, page.Head{Text: "Meets the floor at", Right: true})
	}
	var pairs []plot.Pair
	for _, m := range shown {
		c, err := k.costing(m.Cake, x, rates)
		if err != nil {
			return err
		}
		im, _, err := pricing.ImpactOf(x.Book.Studio, c, perUnit)
		if err != nil {
			return err
		}
		row := []page.Cell{{Text: c.Cake.Name, Href: cakes.at(c.Cake.ID)}, {Text: words.money(im.Before)}, {Text: words.money(im.After)}, {}, {}, {}, {}}
		if im.HasMargin {
			was, is := words.percent(im.MarginWas), words.percent(im.MarginIs)
			row[3].Text, row[4].Text, row[5].Text = words.money(im.Shown), was, is
			if im.BelowFloor {
				row[5].Tone, row[5].Note = "bad", "below your floor"
			}
			pairs = append(pairs, plot.Pair{Name: c.Cake.Name, Before: coordinate(im.MarginWas), After: coordinate(im.MarginIs), Alarm: im.BelowFloor, Text: was + " → " + is})
		}
		if im.Restorable {
			row[6].Text = words.money(im.Restoring)
		}
		if unit != "" {
			row = append(row, page.Cell{})
			if im.HasMargin && im.Reachable {
				row[7].Text = words.money(im.BreakEven.Mul(breakEven)) + " " + unit
			} else if im.HasMargin {
				row[7].Text = "no price"
			}
		}
		out.Cakes.Rows = append(out.Cakes.Rows, page.Row{Cells: row})
	}
	if len(pairs) == 0 {
		return nil
	}
	text := ""
	if !floor.IsZero() {
		text = "floor " + words.rate(floor)
	}
	out.Plot.SVG, err = drawn(plot.Pairs(out.Title, "margin before (pale) and after, the greatest loss first", coordinate(floor), text, pairs))
	return err
}

// movedQuotes ranks the open quotes, and fills in the first of them.
func (s *Server) movedQuotes(r *http.Request, ranking *ranking, rates *pricing.Rates, perUnit map[book.ID]exact.Number, out *page.Moved) error {
	x := ranking.x
	words := wordsOf(x.Book.Studio)
	out.QuotesNo = "No open quote or order uses any of it."
	k, err := s.openQuotes(r, ranking)
	if err != nil {
		return err
	}
	order, err := k.cat.Move(perUnit)
	if err != nil {
		return err
	}
	const most = 30
	out.QuotesIn = words.count(len(order))
	out.Quotes = page.Table{Brief: true, Caption: "Quotes and orders, the greatest loss first", Heads: []page.Head{
		{Text: "Quote"}, {Text: "Event"}, {Text: "Margin sold at", Right: true}, {Text: "Today", Right: true}, {Text: "Then", Right: true, Key: true}, {Text: "Less earned", Right: true},
	}}
	for _, m := range order[:min(len(order), most)] {
		q := k.quotes[m.Cake]
		st, err := k.stand(m.Cake, x, rates, perUnit)
		if err != nil {
			return err
		}
		row := []page.Cell{{Text: q.Offer.Client.Name, Href: "/quotes/" + q.Number, Note: q.Number}, {Text: words.day(q.Offer.EventDate)}, {}, {}, {}, {Text: words.money(st.Lost())}}
		if st.HasMargin {
			row[2].Text, row[3].Text, row[4].Text = words.percent(st.MarginWas), words.percent(st.MarginNow), words.percent(st.MarginIs)
		}
		out.Quotes.Rows = append(out.Quotes.Rows, page.Row{Cells: row})
	}
	if len(order) > most {
		out.Quotes.Caption += fmt.Sprintf(": the first %d of %d", most, len(order))
		out.Quotes.Shown = true
	}
	if len(order) > 0 {
		out.Figures = append(out.Figures, page.Figure{Label: "Open quotes and orders", Value: fmt.Sprint(len(order))})
	}
	return nil
}
