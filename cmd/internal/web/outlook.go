package web

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/pricing/risk"
	"marchpane/templates/page"
	"marchpane/templates/plot"
)

func (m *routes) outlookPages() {
	m.get("/quotes/{ref}/outlook", m.s.quoteOutlook)
	m.get("/cakes/{id}/outlook", m.s.cakeOutlook)
}

// quoteOutlook shows what a quote or draft may cost on its day, and the
// surcharge that covers it.
func (s *Server) quoteOutlook(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	f := form{values: r.URL.Query()}
	seen, faults := s.asOf(r)
	q, err := s.store(r).Quote(r.Context(), r.PathValue("ref"), "", seen)
	if err != nil {
		return err
	}
	in, more := outlookInput(f)
	faults = append(faults, more...)
	at := quoteAt(q.Ref())
	a := ask(r.URL.Query(), faults)
	body := page.Ahead{
		Title:  "What " + quoteName(q) + " may cost",
		Lead:   "The prices of your ingredients have moved month by month. This draws many futures from those movements, up to the day of the event.",
		Places: []page.Link{{Text: "The quote", Href: at}, {Text: "On its day", Href: at + "/outlook", Current: true}},
	}
	fields := []page.Field{}
	choices := q.Quote.Choices()
	option := f.get("option")
	if len(choices) > 1 {
		field := page.Field{Name: "option", Label: "Which option", Kind: "choice", Value: option}
		for _, c := range choices {
			field.Options = append(field.Options, page.Option{Value: c.Chosen, Text: c.Chosen})
		}
		fields = append(fields, a.field(field))
		option = cmp.Or(option, choices[0].Chosen)
	}
	body.Form = outlookForm(a, at+"/outlook", fields, seen, "As seen on")
	if len(faults) == 0 {
		one := q.Quote
		if len(choices) > 1 {
			if one, err = q.Offer(option); err != nil {
				return wrong("%s", sentence(err.Error()))
			}
		}
		input, err := risk.OfQuote(x, one, seen)
		if err != nil {
			body.Result.None = sentence(err.Error())
		} else {
			input.Level, input.Seed, input.KeepDrift = in.Level, in.Seed, in.KeepDrift
			key := "outlook " + q.Ref() + " " + q.Quote.Revision + " " + option
			if body.Result, err = s.future(r, x, key, q.Quote.Draft(), input); err != nil {
				return err
			}
		}
	}
	crumbs := orderCrumbs(quoteCrumb(q), page.Link{Text: "On its day"})
	return s.show(w, r, "ahead", body.Title, body, crumbs...)
}

// usualAhead is how many days ahead a cake is looked at where nobody says.
const usualAhead = 182

// cakeOutlook shows what a cake of the book may cost when it is ordered now for
// a day ahead, at the price it has today.
func (s *Server) cakeOutlook(w http.ResponseWriter, r *http.Request) error {
	x, c, err := cakes.named(s, r)
	if err != nil {
		return err
	}
	id := c.ID
	f := form{values: r.URL.Query()}
	today := s.today()
	event := today.AddDays(usualAhead)
	in, faults := outlookInput(f)
	if text := f.get("event"); text != "" {
		if event, err = day.Parse(text); err != nil {
			faults.Add("event", "%s", err)
		} else if !event.After(today) {
			faults.Add("event", "choose a day after today")
		}
	}
	a := ask(r.URL.Query(), faults)
	at := cakes.at(id) + "/outlook"
	body := page.Ahead{
		Title: c.Name, Places: s.cakePlaces(id, today, "outlook"),
		Lead: "What it may cost when you promise it today, at today’s price, for a day ahead. The prices of your ingredients have moved month by month; this draws many futures from those movements.",
	}
	body.Form = outlookForm(a, at, []page.Field{fieldOf(a, page.Field{Name: "event", Label: "Day of the event", Kind: "date", Required: true}, event.String())}, day.Date{}, "")
	if len(faults) == 0 {
		// Sold at today's price, made at the prices of the day.
		sold, err := s.costing(r, x, id, today)
		if err == nil {
			sold.Rates = pricing.NewRates(x, event)
			input := risk.OfCake(x, sold, today)
			input.Level, input.Seed, input.KeepDrift = in.Level, in.Seed, in.KeepDrift
			body.Result, err = s.future(r, x, "outlook cake "+string(id), false, input)
			if err != nil {
				return err
			}
		} else {
			body.Result.None = sentence(err.Error())
		}
	}
	return s.show(w, r, "ahead", body.Title, body, cakeCrumbs(id, c.Name, "On a day ahead")...)
}

// outlookForm asks how to look ahead. first are the questions of a page's own;
// seen is the day from which it is looked, asked for where it has a label.
func outlookForm(a *asking, at string, first []page.Field, seen day.Date, label string) page.Form {
	level := fieldOf(a, page.Field{Name: "level", Label: "A margin below the floor in at most", Kind: "number", Unit: "% of futures"}, "10")
	f := page.Form{Action: at, Get: true, Button: "Show", Fields: append(first, level)}
	if label != "" {
		f.Fields = append(f.Fields, fieldOf(a, page.Field{Name: "on", Label: label, Kind: "date"}, seen.String()))
	}
	drift := a.field(page.Field{Name: "drift", Label: "Let the average rise or fall of the past go on", Kind: "tick"})
	seed := fieldOf(a, page.Field{Name: "seed", Label: "Seed of the drawing", Kind: "number", Help: "The same seed gives the same figures."}, "1")
	f.Groups = []page.Group{{Title: "How futures are drawn", Open: drift.Ticked || seed.Value != "1", Fields: []page.Field{drift, seed}}}
	f.Faults = a.rest()
	return f
}

// outlookInput reads what [outlookForm] asks for.
func outlookInput(f form) (in risk.Input, faults record.Faults) {
	in.Level, in.Seed, in.KeepDrift = risk.DefaultLevel(), 1, f.ticked("drift")
	if text := f.percent("level"); text != "" {
		factor, err := pricing.ReadFactor(text)
		in.Level = factor.Sub(exact.Int(1))
		if err == nil && (in.Level.Cmp(exact.Frac(1, 100)) < 0 || in.Level.Cmp(exact.Frac(99, 100)) > 0) {
			err = errors.New("choose from 1 % to 99 %")
		}
		if err != nil {
			faults.Add("level", "%s", err)
		}
	}
	if text := f.get("seed"); text != "" {
		seed, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			faults.Add("seed", "%.20q is no whole number", text)
		}
		in.Seed = seed
	}
	return in, faults
}

// future assesses an order, once until the book is another: a cake of it, or a
// revision that was issued and stays as it is. A draft is once until something is
// written.
func (s *Server) future(r *http.Request, x *book.Index, key string, draft bool, in risk.Input) (page.Future, error) {
	key = fmt.Sprintf("%s %s %s %s %d %t", key, in.Today, in.Event, in.Level.Text(), in.Seed, in.KeepDrift)
	assess := func() (out page.Future, err error) {
		o, err := risk.Assess(in)
		if err != nil {
			out.None = sentence(err.Error())
			return out, nil
		}
		words := wordsOf(x.Book.Studio)
		for _, row := range risk.RowsIn(o, words.amount, words.day) {
			f := page.Figure{Label: words.percents(capital(row.Label)), Value: words.percents(row.Figure)}
			out.Figures = append(out.Figures, f)
		}
		out.Figures[len(out.Figures)-1].Strong = true
		out.Moving = page.Table{Caption: "What moves the cost", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Costs", Right: true, Key: true}, {Text: "In a year", Right: true}, {Text: "Of the spread", Right: true}}}
		for _, m := range o.Moving {
			out.Moving.Rows = append(out.Moving.Rows, page.Row{Cells: []page.Cell{
				{Text: capital(m.Name), Href: ingredients.at(m.Resource)}, {Text: words.amount(m.Cost)}, {Text: words.change(m.YearlyDrift)},
				{Text: words.percent(m.Variance), Bar: &page.Bar{Share: share(m.Variance), Tone: "1"}},
			}})
		}
		out.Held = page.Table{Caption: "Held at the price of the book", Brief: true, Heads: []page.Head{{Text: "What"}, {Text: "Costs", Right: true, Key: true}, {Text: "Why", Plain: true}}}
		for _, h := range o.Held {
			out.Held.Rows = append(out.Held.Rows, page.Row{Cells: []page.Cell{{Text: capital(h.Name), Href: ingredients.at(h.Resource)}, {Text: words.amount(h.Cost)}, {Text: h.Why, Tone: "quiet"}}})
		}
		for _, text := range risk.Method(o) {
			out.Method = append(out.Method, words.percents(text))
		}
		for _, text := range risk.Assumptions(o) {
			out.Assumptions = append(out.Assumptions, words.percents(text))
		}
		out.Plot.SVG, err = drawn(aheadPlot(words, x, in, o))
		return out, err
	}
	if draft {
		return remembered(r, key, assess)
	}
	return ofBook(r, x, key, assess)
}

// fewPaths are enough for the days between, whose bounds are drawn and not
// written.
const fewPaths = 2000

// aheadPlot draws within what bounds the cost may lie on days up to the event.
func aheadPlot(words words, x *book.Index, in risk.Input, o risk.Outlook) plot.Figure {
	at := func(on day.Date) risk.Input {
		in.Rates, in.Event, in.Paths = pricing.NewRates(x, on), on, fewPaths
		return in
	}
	place := func(on day.Date, o risk.Outlook) plot.Outlook {
		return plot.Outlook{
			Day: on.Time(), Median: coordinate(o.Median.Number()),
			Low80: coordinate(o.Band80.Low.Number()), High80: coordinate(o.Band80.High.Number()), Low95: coordinate(o.Band95.Low.Number()), High95: coordinate(o.Band95.High.Number()),
		}
	}
	var list []plot.Outlook
	if now, err := pricing.CostOf(in.Bill, at(o.Today).Rates); err == nil {
		is := coordinate(now.Total())
		list = append(list, plot.Outlook{Day: o.Today.Time(), Median: is, Low80: is, High80: is, Low95: is, High95: is})
	}
	const between = 3
	days := o.Today.DaysUntil(o.Event)
	for i := 1; i < between; i++ {
		on := o.Today.AddDays(days * i / between)
		if one, err := risk.Assess(at(on)); err == nil && on.After(o.Today) {
			list = append(list, place(on, one))
		}
	}
	list = append(list, place(o.Event, o))
	return plot.Band("From today to the day", words.beside("cost in "+o.Currency.Code()), list, plot.Said{
		Median: words.amount(o.Median), In80: words.amount(o.Band80.Low) + " to " + words.amount(o.Band80.High), In95: words.amount(o.Band95.Low) + " to " + words.amount(o.Band95.High),
	})
}
