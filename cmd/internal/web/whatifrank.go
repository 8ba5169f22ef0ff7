package web

import (
	"cmp"
	"net/http"
	"slices"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
)

// rankings are what every cake and open quote of a book costs at the prices of
// a day, ready for prices to move. That is megabytes a day in a large studio,
// so that only the days asked for last are kept.
type rankings struct {
	mu   sync.Mutex
	days []*ranking // the last asked for first
}

const rankedDays = 4

// ranking is that of one day.
type ranking struct {
	x      *book.Index
	on     day.Date
	cakes  rankedCakes
	quotes rankedQuotes
}

// ranking returns that of the day whose prices the address asks for.
func (s *Server) ranking(r *http.Request, x *book.Index) (*ranking, error) {
	all, err := ofBook(r, x, "rankings", func() (*rankings, error) { return &rankings{}, nil })
	if err != nil {
		return nil, err
	}
	on := s.priceDay(r)
	all.mu.Lock()
	defer all.mu.Unlock()
	k := &ranking{x: x, on: on}
	if i := slices.IndexFunc(all.days, func(k *ranking) bool { return k.on == on }); i >= 0 {
		k = all.days[i]
		all.days = slices.Delete(all.days, i, i+1)
	}
	all.days = slices.Insert(all.days, 0, k)
	all.days = all.days[:min(len(all.days), rankedDays)]
	return k, nil
}

// rankedCakes are all cakes that can be costed.
type rankedCakes struct {
	mu    sync.Mutex
	cat   *catalogue.Catalogue // nil until somebody asks
	takes []pricing.Takeoff    // as the catalogue has them
	// shown are the costings of those that a page has shown: the same ones stand
	// first whatever a price moves by.
	shown map[int32]pricing.Costing
}

// rankedCakes returns the cakes of a ranking.
func (s *Server) rankedCakes(r *http.Request, k *ranking) (*rankedCakes, error) {
	takeoffs, err := s.takeoffs(r)
	if err != nil {
		return nil, err
	}
	c := &k.cakes
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.cat != nil {
		return c, nil
	}
	var list []catalogue.Cake
	var takes []pricing.Takeoff
	rates := pricing.NewRates(k.x, k.on)
	for _, t := range takeoffs {
		one, err := t.Costing(k.x, rates)
		if err != nil {
			continue // a price is missing; its own page says which
		}
		takes = append(takes, t)
		list = append(list, catalogue.Cake{ID: t.ID, Lines: catalogue.LinesOf(t.Bill), Net: one.Offer.Net, HasPrice: one.Offer.HasPrice && !one.Offer.Net.IsZero()})
	}
	cat, err := catalogue.New(rates, k.x.Book.Studio.Currency.Places(), list, func(i int) (pricing.Bill, error) { return takes[i].Bill, nil })
	if err != nil {
		return nil, err
	}
	c.cat, c.takes, c.shown = cat, takes, map[int32]pricing.Costing{}
	return c, nil
}

// costing returns a cake costed to the digit, at the rates of the day, which are
// the caller's own: rates remember what they look up, and belong to one request.
func (c *rankedCakes) costing(cake int32, x *book.Index, rates *pricing.Rates) (pricing.Costing, error) {
	c.mu.Lock()
	one, there := c.shown[cake]
	c.mu.Unlock()
	if there {
		one.Rates = rates
		return one, nil
	}
	one, err := c.takes[cake].Costing(x, rates)
	if err != nil {
		return one, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.shown[cake] = one
	return one, nil
}

// rankedQuotes are the offers and orders that bind the studio on the day. Of
// what is kept only the quotes that moved are read again: they are long, and a
// studio has many.
type rankedQuotes struct {
	mu    sync.Mutex
	stamp int64
	open  []*openQuote // in the order of their events
	ranks *quoteRanks
}

type openQuote struct {
	quote.Quote
	lines []catalogue.Line // of its frozen bill; none where that holds what the book has no more

	mu       sync.Mutex
	position *quote.Position // once a page has shown it
}

// quoteRanks are open quotes as they stood once; nothing in it changes any more.
type quoteRanks struct {
	cat    *catalogue.Catalogue
	quotes []*openQuote // as the catalogue has them
}

// openQuotes returns the open quotes of a ranking as they are now.
func (s *Server) openQuotes(r *http.Request, k *ranking) (*quoteRanks, error) {
	q := &k.quotes
	q.mu.Lock()
	defer q.mu.Unlock()
	fresh, moved, stamp, err := s.store(r).OpenMoved(r.Context(), k.on, q.stamp)
	if err != nil {
		return nil, err
	}
	if q.ranks != nil && len(fresh)+len(moved) == 0 {
		q.stamp = stamp
		return q.ranks, nil
	}
	open := slices.DeleteFunc(slices.Clone(q.open), func(q *openQuote) bool { return slices.Contains(moved, q.Number) })
	for _, q := range fresh {
		one := &openQuote{Quote: q}
		if bill, err := q.Basis.Bill(k.x); err == nil {
			one.lines = catalogue.LinesOf(bill)
		}
		open = append(open, one)
	}
	sortBy(open, func(a, b *openQuote) int {
		return cmp.Or(b.Offer.EventDate.DaysUntil(a.Offer.EventDate), cmp.Compare(a.Number, b.Number))
	})
	ranks, err := rankQuotes(k.x, pricing.NewRates(k.x, k.on), open)
	if err != nil {
		return nil, err
	}
	q.stamp, q.open, q.ranks = stamp, open, ranks
	return ranks, nil
}

// rankQuotes ranks quotes by their frozen bills.
func rankQuotes(x *book.Index, rates *pricing.Rates, open []*openQuote) (*quoteRanks, error) {
	k := &quoteRanks{}
	priced := map[book.ID]bool{}
	hasPrice := func(l catalogue.Line) bool {
		known, asked := priced[l.Resource]
		if !asked {
			_, err := rates.Of(l.Resource, l.Kind)
			known = err == nil
			priced[l.Resource] = known
		}
		return known
	}
	var list []catalogue.Cake
	for _, q := range open {
		if len(q.lines) == 0 || slices.ContainsFunc(q.lines, func(l catalogue.Line) bool { return !hasPrice(l) }) {
			continue // of something that has no price any more
		}
		k.quotes = append(k.quotes, q)
		list = append(list, catalogue.Cake{ID: book.ID(q.Number), Lines: q.lines, Net: q.Basis.Net, HasPrice: !q.Basis.Net.IsZero()})
	}
	var err error
	k.cat, err = catalogue.New(rates, x.Book.Studio.Currency.Places(), list, func(i int) (pricing.Bill, error) { return k.quotes[i].Basis.Bill(x) })
	return k, err
}

// stand returns where a quote stands, to the digit, when prices move from those
// of the day that the ranking is of.
func (q *openQuote) stand(x *book.Index, rates *pricing.Rates, perUnit map[book.ID]exact.Number) (quote.Standing, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.position == nil {
		p, err := quote.PositionOf(x, q.Quote, rates)
		if err != nil {
			return quote.Standing{}, err
		}
		q.position = &p
	}
	return q.position.Stand(rates, perUnit)
}
