package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/enquiry"
	"marchpane/templates/page"
)

func (m *routes) pricePages() {
	m.section(section{name: "Prices", path: "/prices", key: "p"})
	m.get("/prices", m.s.listPrices)
	m.listPages()
	m.get("/prices/new", m.s.newIngredient)
	m.post("/prices/new", m.s.addIngredient)
	m.post("/prices/new/known", m.s.previewKnown)
	m.get("/prices/{id}", m.s.showIngredient)
	m.post("/prices/{id}", m.s.saveIngredient)
	m.post("/prices/{id}/price", m.s.addPrice)
	m.post("/prices/{id}/price/preview", m.s.previewPrice)
	m.post("/prices/{id}/fill", m.s.fillIngredient)
	m.get("/prices/{id}/history.svg", m.s.historyPaper)
	m.get("/prices/{id}/history.png", m.s.historyPaper)
	m.get("/prices/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return confirmRemoval(w, r, m.s, ingredients) })
	m.post("/prices/{id}/remove", func(w http.ResponseWriter, r *http.Request) error { return remove(w, r, m.s, ingredients) })
}

// listPrices shows everything that is bought, with the price in force.
func (s *Server) listPrices(w http.ResponseWriter, r *http.Request) error {
	x, err := s.book(r)
	if err != nil {
		return err
	}
	today := s.today()
	query := r.URL.Query()
	rows, err := ofBook(r, x, "prices "+today.String()+" "+query.Get("sort"), func() ([]*book.Ingredient, error) {
		return sortedIngredients(x.Book, query.Get("sort"), today), nil
	})
	if err != nil {
		return err
	}
	body := page.List{Search: page.Search{Action: "/prices", Label: "Find by name, category or supplier", Query: query.Get("q"), Live: "list"}}
	if len(rows) == 0 {
		body.Empty = &page.Empty{
			Title: "What do you buy?", Text: "Flour, butter, boxes, ribbon: everything with a pack and a price. Each price has a date, so that yesterday's quotes keep yesterday's figures.",
			Actions: []page.Link{{Text: "Add the first", Href: "/prices/new"}},
		}
		return s.show(w, r, "prices", "Prices", body)
	}
	matching, err := found(r, x, "prices "+query.Get("sort")+today.String(), rows, query.Get("q"), func(ing *book.Ingredient) string {
		return strings.Join([]string{ing.Name, string(ing.ID), ing.Category.Value, suppliersOf(ing)}, " ")
	})
	if err != nil {
		return err
	}
	body.None = fmt.Sprintf("Nothing that you buy has %q in its name, category or supplier.", query.Get("q"))
	var shown []*book.Ingredient
	shown, body.Pager = paged(matching, query, "/prices")
	body.Rows = s.priceRows(x.Book.Studio, shown, query, today)
	body.Drop = dropForm(x.Book)
	if wantsFragment(r) {
		return s.fragment(w, r, "prices", "prices-list", body)
	}
	return s.show(w, r, "prices", "Prices", body)
}

func sortedIngredients(b book.Book, by string, today day.Date) []*book.Ingredient {
	list := make([]*book.Ingredient, len(b.Ingredients))
	for i := range b.Ingredients {
		list[i] = &b.Ingredients[i]
	}
	byName(list, func(v *book.Ingredient) string { return v.Name }, b.Studio)
	if by == "moved" {
		at := map[book.ID]int{}
		for i, m := range movedPrices(b, today) {
			at[m.id] = i + 1
		}
		rank := func(v *book.Ingredient) int {
			if n := at[v.ID]; n > 0 {
				return n
			}
			return len(at) + 1
		}
		sortBy(list, func(a, b *book.Ingredient) int { return rank(a) - rank(b) })
	}
	return list
}

func (s *Server) priceRows(studio book.Studio, list []*book.Ingredient, query url.Values, today day.Date) page.Table {
	words := wordsOf(studio)
	sorted := func(by, direction string) page.Head {
		q := url.Values{}
		if by != "" {
			q.Set("sort", by)
		}
		if query.Get("q") != "" {
			q.Set("q", query.Get("q"))
		}
		h := page.Head{Href: "/prices"}
		if len(q) > 0 {
			h.Href += "?" + q.Encode()
		}
		if query.Get("sort") == by {
			h.Sort = direction
		}
		return h
	}
	name, moved := sorted("", "ascending"), sorted("moved", "descending")
	name.Text, moved.Text, moved.Right = "What", "In a month", true
	t := page.Table{Caption: "What is bought, with the price in force today", Brief: true, Heads: []page.Head{
		name, {Text: "Pack", Plain: true}, {Text: "Price", Right: true}, {Text: "Comes to", Right: true, Key: true}, moved, {Text: "Since"},
	}}
	for _, ing := range list {
		row := page.Row{Cells: []page.Cell{{Text: ing.Name, Href: ingredients.at(ing.ID), Note: ing.Category.Value}}}
		p, err := ing.PriceOn(today)
		if err != nil {
			row.Cells = append(row.Cells, page.Cell{}, page.Cell{}, page.Cell{Text: "no price yet", Tone: "bad"}, page.Cell{}, page.Cell{})
			t.Rows = append(t.Rows, row)
			continue
		}
		change := page.Cell{}
		if c, _, ok := priceChange(studio, ing, today); ok && !c.IsZero() {
			change = page.Cell{Text: words.change(c), Tone: "good"}
			if c.Sign() > 0 {
				change.Tone = "bad"
			}
		}
		row.Cells = append(row.Cells,
			page.Cell{Text: words.pack(p.Pack), Note: p.Supplier.Value}, page.Cell{Text: words.money(p.Price.Number())},
			page.Cell{Text: words.per(p.PerBase(studio), ing.Measure)}, change, page.Cell{Text: words.day(p.From), Tone: "quiet"})
		t.Rows = append(t.Rows, row)
	}
	return t
}

// suppliersOf names who sells an ingredient.
func suppliersOf(ing *book.Ingredient) string {
	var names []string
	for _, p := range ing.Prices {
		if p.Supplier.Given && !slices.Contains(names, p.Supplier.Value) {
			names = append(names, p.Supplier.Value)
		}
	}
	return strings.Join(names, " ")
}

// holds reports whether every word of a search stands in a text without accents.
func holds(folded string, terms []enquiry.Term) bool {
	return !slices.ContainsFunc(terms, func(t enquiry.Term) bool { return !strings.Contains(folded, t.Text) })
}

// found keeps what has every word of a search in it, case and accents aside.
// The key names the list; how its texts are searched is worked out once.
func found[T any](r *http.Request, x *book.Index, key string, list []T, query string, text func(T) string) ([]T, error) {
	if len(enquiry.Terms(query)) == 0 {
		return list, nil
	}
	places, err := placesOf(r, x, key, len(list), query, func(i int) string { return text(list[i]) })
	var kept []T
	for _, i := range places {
		kept = append(kept, list[i])
	}
	return kept, err
}

// placesOf is [found] by the places in a list of n, so that of a thousand cakes
// none is copied.
func placesOf(r *http.Request, x *book.Index, key string, n int, query string, text func(i int) string) ([]int, error) {
	terms := enquiry.Terms(query)
	folded, err := ofBook(r, x, "folded "+key, func() (texts, error) {
		return visitOf(r).studio.folded.texts(key, n, text), nil
	})
	if err != nil {
		return nil, err
	}
	return folded.with(terms), nil
}

// foldings are the texts of lists as they are searched, so that an edit of the book
// folds those alone that it changed.
type foldings struct {
	mu    sync.Mutex
	known map[string]map[string]string // by the list's key and the text
}

// mostFolded bounds the lists whose texts are kept.
const mostFolded = 16

// texts folds the texts of a list of n.
func (f *foldings) texts(key string, n int, text func(i int) string) (t texts) {
	f.mu.Lock()
	defer f.mu.Unlock()
	was, is := f.known[key], make(map[string]string, n)
	var all strings.Builder
	for i := range n {
		plain := text(i)
		folded, there := was[plain]
		if !there {
			folded = enquiry.Fold(plain)
		}
		is[plain] = folded
		all.WriteString(folded)
		all.WriteByte('\n')
		t.ends = append(t.ends, all.Len())
	}
	t.all = all.String()
	if f.known == nil || len(f.known) >= mostFolded {
		f.known = map[string]map[string]string{}
	}
	f.known[key] = is // of the list as it is now, and no more of it as it was
	return t
}

// texts are many, one after another, so that a search for a word that few of them
// have runs through them all in one go.
type texts struct {
	all  string
	ends []int
}

// with lists the places of the texts in which every word of a search stands.
func (t texts) with(terms []enquiry.Term) (places []int) {
	longest := ""
	for _, term := range terms {
		if len(term.Text) > len(longest) {
			longest = term.Text
		}
	}
	begin := 0
	for i := 0; i < len(t.ends); i++ {
		at := strings.Index(t.all[begin:], longest)
		if at < 0 {
			break
		}
		for ; t.ends[i] <= begin+at; i++ { // to the text that has it
		}
		start := 0
		if i > 0 {
			start = t.ends[i-1]
		}
		if holds(t.all[start:t.ends[i]], terms) {
			places = append(places, i)
		}
		begin = t.ends[i]
	}
	return places
}
