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
	return s.rankingOn(r, x, s.priceDay(r))
}

func (s *Server) rankingOn(r *http.Request, x *book.Index, on day.Date) (*ranking, error) {
	all, err := ofBook(r, x, "rankings", func() (*rankings, error) { return &rankings{}, nil })
	if err != nil {
		return nil, err
	}
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

// rankedCakes are all cakes; the catalogue leaves out those that cannot be costed.
type rankedCakes struct {
	mu      sync.Mutex
	cat     *catalogue.Catalogue // nil until somebody asks
	weights *catalogue.Weights   // of which it is
	takes   []pricing.Takeoff    // as the catalogue has them
	kept    *weighed
	to      *drift
	// shown are the costings of those that a page has shown: the same ones stand
	// first whatever a price moves by.
	shown map[int32]pricing.Costing
}

// rankedCakes returns the cakes of a ranking.
func (s *Server) rankedCakes(r *http.Request, k *ranking) (*rankedCakes, error) {
	takes, err := s.takeoffs(r)
	if err != nil {
		return nil, err
	}
	c := &k.cakes
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.cat != nil {
		return c, nil
	}
	kept := &visitOf(r).studio.weighed
	weights := kept.cakes(takes)
	cat, err := weights.Catalogue(pricing.NewRates(k.x, k.on), k.x.Book.Studio.Currency.Places(), kept.termsOf(k.x, k.on, takes), func(i int) (pricing.Bill, error) { return takes[i].Bill, nil })
	if err != nil {
		return nil, err
	}
	c.cat, c.weights, c.takes, c.kept, c.to, c.shown = cat, weights, takes, kept, driftTo(cat), map[int32]pricing.Costing{}
	return c, nil
}

// exposures lists what carries the cost of the first cakes on a day, one of each,
// as [pricing.ExposuresOfAll] of those that can be costed.
func (s *Server) exposures(r *http.Request, x *book.Index, on day.Date, most int, step exact.Number) ([]pricing.Exposure, error) {
	k, err := s.rankingOn(r, x, on)
	if err != nil {
		return nil, err
	}
	c, err := s.rankedCakes(r, k)
	if err != nil {
		return nil, err
	}
	var bills []pricing.Bill
	var priced []bool
	var net exact.Running
	of := make([]byte, min(most, len(c.takes))) // how each cake counts
	for i := range of {
		if of[i] = '-'; !c.cat.Holds(i) {
			continue
		}
		sells, has := c.cat.Net(i)
		if of[i] = 'c'; has {
			of[i] = 'p'
			net.Add(sells)
		}
		bills, priced = append(bills, c.takes[i].Bill), append(priced, has)
	}
	if len(bills) == 0 {
		return nil, nil
	}
	basket := c.kept.basket(c, string(of), func() pricing.Basket { return pricing.BasketOf(bills, priced) })
	return basket.Exposures(pricing.NewRates(x, on), net.Number(), step)
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
	one, err := c.kept.costing(c.takes[cake], x, rates, c.to)
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
	ranks *quoteRanks
	of    *weighedQuotes // of which ranks are
}

// openQuote is an open quote; it is for reading alone.
type openQuote struct {
	quote.Quote
	lines []catalogue.Line // of its frozen bill; none where that holds what the book has no more
	terms *catalogue.Terms
}

// quoteRanks are open quotes as they stood once.
type quoteRanks struct {
	cat    *catalogue.Catalogue
	quotes []*openQuote // as the catalogue has them
	kept   *weighed
	to     *drift

	mu        sync.Mutex
	positions map[int32]quote.Position // of those that a page has shown
}

// openQuotes returns the open quotes of a ranking as they are now.
func (s *Server) openQuotes(r *http.Request, k *ranking) (*quoteRanks, error) {
	q := &k.quotes
	q.mu.Lock()
	defer q.mu.Unlock()
	kept := &visitOf(r).studio.weighed
	was := kept.openOn(k.on)
	if was == nil {
		was = &weighedQuotes{on: k.on}
	}
	fresh, moved, stamp, err := s.store(r).OpenMoved(r.Context(), k.on, was.stamp)
	if err != nil {
		return nil, err
	}
	if q.ranks != nil && q.of == was && len(fresh)+len(moved) == 0 {
		return q.ranks, nil
	}
	now := was.with(k.x, fresh, moved, stamp)
	kept.keepOpen(now)
	cat, err := now.weights.Catalogue(pricing.NewRates(k.x, k.on), k.x.Book.Studio.Currency.Places(), now.terms, func(i int) (pricing.Bill, error) { return now.listed[i].Basis.Bill(k.x) })
	if err != nil {
		return nil, err
	}
	q.of, q.ranks = now, &quoteRanks{cat: cat, quotes: now.listed, kept: kept, to: driftTo(cat), positions: map[int32]quote.Position{}}
	return q.ranks, nil
}

// with returns open quotes after some moved, of which fresh are open, under the
// book as it is.
func (was *weighedQuotes) with(x *book.Index, fresh []quote.Quote, moved []string, stamp int64) *weighedQuotes {
	now := &weighedQuotes{on: was.on, stamp: stamp}
	if o := x.Book.Overhead; o != nil {
		now.overhead = o.Method
	}
	same := was.weights != nil && now.overhead == was.overhead && priceable(x, was.weights) && len(was.listed) == len(was.open)
	if same && len(fresh)+len(moved) == 0 {
		now.open, now.listed, now.weights, now.terms = was.open, was.listed, was.weights, was.terms
		return now
	}
	now.open = slices.DeleteFunc(slices.Clone(was.open), func(q *openQuote) bool { return slices.Contains(moved, q.Number) })
	if !same {
		for i, q := range now.open {
			now.open[i] = newOpenQuote(x, q.Quote)
		}
	}
	for _, q := range fresh {
		now.open = append(now.open, newOpenQuote(x, q))
	}
	sortBy(now.open, func(a, b *openQuote) int {
		return cmp.Or(b.Offer.EventDate.DaysUntil(a.Offer.EventDate), cmp.Compare(a.Number, b.Number))
	})
	var ids []book.ID
	var lines [][]catalogue.Line
	for _, q := range now.open {
		if len(q.lines) > 0 {
			now.listed, now.terms = append(now.listed, q), append(now.terms, q.terms)
			ids, lines = append(ids, book.ID(q.Number)), append(lines, q.lines)
		}
	}
	now.weights = catalogue.NewWeights(ids, lines)
	return now
}

// priceable reports whether the book still has all that is weighed, each as what
// it was.
func priceable(x *book.Index, w *catalogue.Weights) bool {
	for id, kind := range w.Uses() {
		if now, err := pricing.ResourceKind(x, id); err != nil || now != kind {
			return false
		}
	}
	return true
}

func newOpenQuote(x *book.Index, q quote.Quote) *openQuote {
	one := &openQuote{Quote: q, terms: catalogue.FixedTerms(q.Basis.Net, true)}
	if bill, err := q.Basis.Bill(x); err == nil {
		one.lines = catalogue.LinesOf(bill)
	}
	return one
}

// stand returns where a quote stands, to the digit, when prices move from those
// of the day that the ranking is of.
func (k *quoteRanks) stand(cake int32, x *book.Index, rates *pricing.Rates, perUnit map[book.ID]exact.Number) (quote.Standing, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	p, there := k.positions[cake]
	if !there {
		var err error
		if p, err = k.kept.position(k.quotes[cake], x, rates, k.to); err != nil {
			return quote.Standing{}, err
		}
		k.positions[cake] = p
	}
	return p.Stand(rates, perUnit)
}
