package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/record"
	"marchpane/templates/page"
)

// proposals are list prices that meet the targets at the costs of a day.
type proposals struct {
	cakes   *rankedCakes
	some    bool       // whether any cake has both a price and a target that gives one
	changes []proposal // of those whose price would be another
}

// proposal is a list price for a cake; its margins and what it costs are worked
// out where they are shown, by [pricing.Propose].
type proposal struct {
	cake  int32
	id    book.ID
	price exact.Number // as shown
}

// proposals are list prices that meet the targets at today's costs. Cakes that
// cannot be costed have none.
func (s *Server) proposals(r *http.Request, x *book.Index, limit *exact.Number) (proposals, error) {
	key := "proposals " + s.priceDay(r).String()
	if limit != nil {
		key += " " + limit.Text()
	}
	return ofBook(r, x, key, func() (list proposals, err error) {
		k, err := s.ranking(r, x)
		if err != nil {
			return list, err
		}
		if list.cakes, err = s.rankedCakes(r, k); err != nil {
			return list, err
		}
		cat := list.cakes.cat
		for i, t := range list.cakes.takes {
			list.some = list.some || cat.HasTarget(i)
			// One that has no list price is sold at its target.
			shown, target, listed, err := cat.Listed(i)
			if err != nil {
				return list, err
			}
			if !listed {
				continue
			}
			if price, _ := pricing.HeldTo(x.Book.Studio, limit, shown, target); !price.Equal(shown) {
				list.changes = append(list.changes, proposal{int32(i), t.ID, price})
			}
		}
		return list, nil
	})
}

// riseLimit reads the largest rise allowed; nil for any.
func riseLimit(f form) (*exact.Number, record.Faults) {
	text := f.percent("max_rise")
	if text == "" {
		return nil, nil
	}
	factor, err := pricing.ReadFactor(text)
	limit := factor.Sub(exact.Int(1))
	if err == nil && limit.Sign() < 0 {
		err = fmt.Errorf("a rise is above 0")
	}
	if err != nil {
		var faults record.Faults
		faults.Add("max_rise", "%s", err)
		return nil, faults
	}
	return &limit, nil
}

func (s *Server) showReprice(w http.ResponseWriter, r *http.Request) error {
	return s.repricePage(w, r, http.StatusOK, form{values: r.URL.Query()}, nil)
}

func (s *Server) repricePage(w http.ResponseWriter, r *http.Request, status int, f form, faults record.Faults) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	limit, wrongLimit := riseLimit(f)
	on, wrongDay := s.asOf(r)
	wrongLimit = append(wrongLimit, wrongDay...)
	a := ask(f.values, append(faults, wrongLimit...))
	body := page.Reprice{Ask: page.Form{
		Action: "/what-if/reprice", Get: true, Button: "Show", Live: "/what-if/reprice", Target: "repriced",
		Fields: []page.Field{a.field(page.Field{Name: "max_rise", Label: "No rise by more than", Kind: "number", Unit: "%", Help: "Empty for as far as the target asks."}),
			fieldOf(a, page.Field{Name: "on", Label: "At the costs of", Kind: "date"}, on.String()),
		},
	}}
	if len(wrongLimit) == 0 {
		list, err := s.proposals(r, x, limit)
		if err != nil {
			return err
		}
		if body.Result, err = repriced(x, on, list, limit, f); err != nil {
			return err
		}
		if body.Result.Apply != nil {
			from := f.get("day")
			if from == "" {
				from = s.today().String()
			}
			body.Result.Apply.Fields = []page.Field{
				fieldOf(a, page.Field{Name: "day", Label: "From", Kind: "date", Required: true}, from),
				{Name: "max_rise", Kind: "hidden", Value: f.get("max_rise")},
			}
			body.Result.Apply.Action = withQuery(body.Result.Apply.Action, s.onDay(on))
		}
	} else if wantsFragment(r) {
		body.Result.Faults = []string{sentence(wrongLimit[0].Problem)}
	}
	if wantsFragment(r) {
		return s.fragment(w, r, "reprice", "repriced", body.Result)
	}
	return s.showAs(w, r, status, "reprice", "New list prices", body, page.Link{Text: "What if", Href: "/what-if"}, page.Link{Text: "New list prices", Current: true})
}

// fieldOf is a box with a value of its own where nothing was typed.
func fieldOf(a *asking, f page.Field, value string) page.Field {
	f = a.field(f)
	if f.Value == "" {
		f.Value = value
	}
	return f
}

// repriced shows the part of the proposals that the address asks for, each worked
// out to the digit.
func repriced(x *book.Index, on day.Date, list proposals, limit *exact.Number, f form) (page.Repriced, error) {
	if len(list.changes) == 0 {
		if !list.some {
			return page.Repriced{Text: "No cake has both a cost and a target to meet yet."}, nil
		}
		return page.Repriced{Text: "Every cake is at its target already."}, nil
	}
	words := wordsOf(x.Book.Studio)
	out := page.Repriced{Text: plural(len(list.changes), "price would change.", "prices would change.") + " Nothing is changed yet."}
	query := picked(f.values, "max_rise", "on")
	query.Set("from", f.values.Get("from"))
	var shown []proposal
	shown, out.Pager = paged(list.changes, query, "/what-if/reprice")
	rates := pricing.NewRates(x, on)
	out.Rows = page.Table{Caption: "List prices that meet the targets at these costs", Brief: true, Heads: []page.Head{
		{Text: "Cake"}, {Text: "Costs", Right: true}, {Text: "Sells at", Right: true}, {Text: "Margin", Right: true}, {Text: "New price", Right: true, Key: true}, {Text: "Margin then", Right: true}, {Text: "Change", Right: true},
	}}
	for _, of := range shown {
		c, err := list.cakes.costing(of.cake, x, rates)
		if err != nil {
			return out, err
		}
		p, _ := pricing.Propose(x.Book.Studio, c, limit)
		change := page.Cell{}
		if !p.Old.Shown.IsZero() {
			change.Text = words.change(p.New.Sub(p.Old.Shown).Quo(p.Old.Shown))
		}
		if p.Capped {
			change.Note = "held to the largest rise"
		}
		out.Rows.Rows = append(out.Rows.Rows, page.Row{Cells: []page.Cell{
			{Text: p.Cake.Name, Href: cakes.at(p.Cake.ID)}, {Text: words.money(p.Cost)}, {Text: words.money(p.Old.Shown)}, {Text: words.percent(p.MarginIs)},
			{Text: words.money(p.New)}, {Text: words.percent(p.Margin)}, change,
		}})
	}
	out.Apply = &page.Form{Action: "/what-if/reprice", Title: "Make them the list prices", Lead: "Earlier prices stay as they were, and so do quotes that were issued. You will be asked once more.", Button: "Set these prices"}
	return out, nil
}

// applyReprice asks once more, and then makes the proposals the list prices
// from a day on.
func (s *Server) applyReprice(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	x, err := s.book(r)
	if err != nil {
		return err
	}
	limit, faults := riseLimit(f)
	from, err := day.Parse(f.get("day"))
	if err == nil && from.Before(s.today()) {
		err = errPast
	}
	if err != nil {
		faults.Add("day", "%s", err)
	}
	if len(faults) > 0 {
		return s.repricePage(w, r, http.StatusUnprocessableEntity, f, faults)
	}
	list, err := s.proposals(r, x, limit)
	if err != nil {
		return err
	}
	words := wordsOf(x.Book.Studio)
	prices := map[book.ID]book.ListPrice{}
	for _, p := range list.changes {
		prices[p.id] = pricing.Proposal{New: p.price}.ListPrice(x.Book.Studio, from)
	}
	if len(prices) == 0 {
		return s.done(w, r, "/what-if/reprice", "Every cake is at its target already; nothing was changed.", nil)
	}
	if f.version != versionOf(prices) {
		body := page.Confirm{
			Title: fmt.Sprintf("Set %s from %s on?", plural(len(prices), "new list price", "new list prices"), words.day(from)),
			Text:  "Quotes that were issued stay as they are. You can take this back with Undo on the next page.",
			Form: page.Form{Action: r.URL.RequestURI(), Button: "Set them", Cancel: "/what-if/reprice", Version: versionOf(prices), Fields: []page.Field{
				{Name: "day", Kind: "hidden", Value: from.String()}, {Name: "max_rise", Kind: "hidden", Value: f.get("max_rise")},
			}},
		}
		return s.show(w, r, "confirm", body.Title, body, page.Link{Text: "What if", Href: "/what-if"}, page.Link{Text: "New list prices", Href: "/what-if/reprice"}, page.Link{Text: "Set them", Current: true})
	}
	undo, err := s.relist(r, prices)
	if err != nil {
		return err
	}
	return s.done(w, r, "/what-if/reprice", fmt.Sprintf("%s from %s on.", plural(len(prices), "new list price holds", "new list prices hold"), words.day(from)), undo)
}

// relist gives cakes new list prices, all of them or none.
func (s *Server) relist(r *http.Request, prices map[book.ID]book.ListPrice) (back, error) {
	st := s.store(r)
	before, after := map[book.ID]book.Cake{}, map[book.ID]book.Cake{}
	_, err := st.Edit(r.Context(), "reprice", s.Now(), func(b book.Book) (book.Book, error) {
		b.Cakes = slices.Clone(b.Cakes)
		for i, c := range b.Cakes {
			if p, there := prices[c.ID]; there {
				b.Cakes[i] = pricing.Relisted(c, p)
				before[c.ID], after[c.ID] = c, b.Cakes[i]
			}
		}
		if len(before) < len(prices) {
			return b, problem{Status: http.StatusConflict, Title: "The cakes have changed", Text: "Some of them are gone since the prices were proposed. Nothing was changed; look at the proposals again."}
		}
		return b, nil
	})
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context) (string, error) {
		_, err := st.Edit(ctx, "reprice", s.Now(), func(b book.Book) (book.Book, error) {
			b.Cakes = slices.Clone(b.Cakes)
			for i, c := range b.Cakes {
				old, there := before[c.ID]
				if !there {
					continue
				}
				if versionOf(c.ListPrices) != versionOf(after[c.ID].ListPrices) {
					return b, tooLate(c.Name)
				}
				b.Cakes[i].ListPrices = old.ListPrices
			}
			return b, nil
		})
		return "The list prices are as they were before.", err
	}, nil
}
