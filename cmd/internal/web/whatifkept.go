package web

import (
	"slices"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/catalogue"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
)

// weighed is what of cakes and open quotes no price of a resource bears on: what
// they take, and on which terms they are sold. It is kept from book to book, so
// that the page after a price was saved multiplies and does not begin anew. There
// is one of each, but for the quotes that are open on a few days.
type weighed struct {
	mu      sync.Mutex
	takes   []pricing.Takeoff // of which weights are
	weights *catalogue.Weights
	baskets map[string]pricing.Basket // of the first of the cakes
	selling string                    // the studio's own terms
	keys    []saleKey                 // how the cakes of the last catalogue are sold, and
	terms   []*catalogue.Terms        // on which terms that is
	quotes  []*weighedQuotes          // of the day asked for last first

	// What was shown, costed at the prices of then: what moved since is added.
	costs     map[*pricing.BillLine]costAt // by bill
	positions map[*openQuote]positionAt
}

// mostCosts bounds how many cakes and how many quotes stay costed.
const mostCosts = 500

type costAt struct {
	cost pricing.Cost
	at   *unitPrices
}

type positionAt struct {
	quote.Position
	at *unitPrices
}

// unitPrices are what a unit of each resource cost on a day.
type unitPrices struct {
	per   map[book.ID]exact.Number
	share exact.Number // of overhead by percentage
}

// drift is how prices differ from earlier ones.
type drift struct {
	now *unitPrices

	mu         sync.Mutex
	was        *unitPrices // those asked for last
	by         map[book.ID]exact.Number
	comparable bool
}

func driftTo(c *catalogue.Catalogue) *drift {
	return &drift{now: &unitPrices{c.Prices(), c.Share()}}
}

// since returns by how much more a unit of each resource costs than it did, and
// false where the share of overhead is another.
func (d *drift) since(was *unitPrices) (by map[book.ID]exact.Number, comparable bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.was == was {
		return d.by, d.comparable
	}
	by = map[book.ID]exact.Number{}
	for id, now := range d.now.per {
		if old, there := was.per[id]; there && !old.Equal(now) {
			by[id] = now.Sub(old)
		}
	}
	d.was, d.by, d.comparable = was, by, was.share.Equal(d.now.share)
	return d.by, d.comparable
}

// costing costs a cake by what is kept of its bill, else anew.
func (k *weighed) costing(t pricing.Takeoff, x *book.Index, rates *pricing.Rates, to *drift) (pricing.Costing, error) {
	if len(t.Bill) == 0 {
		return t.Costing(x, rates)
	}
	k.mu.Lock()
	was, there := k.costs[&t.Bill[0]]
	k.mu.Unlock()
	cost := was.cost
	if there && was.at != to.now {
		var by map[book.ID]exact.Number
		if by, there = to.since(was.at); there {
			cost = cost.Moved(t.Bill, by, to.now.share)
		}
	}
	if !there {
		c, err := t.Costing(x, rates)
		if err == nil {
			k.keepCost(t.Bill, costAt{c.Cost, to.now})
		}
		return c, err
	}
	k.keepCost(t.Bill, costAt{cost, to.now})
	return t.Costs(x, rates, cost)
}

func (k *weighed) keepCost(bill pricing.Bill, c costAt) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.costs == nil || len(k.costs) >= mostCosts {
		k.costs = map[*pricing.BillLine]costAt{}
	}
	k.costs[&bill[0]] = c
}

// position returns where a quote stands by what is kept of it, else anew.
func (k *weighed) position(q *openQuote, x *book.Index, rates *pricing.Rates, to *drift) (quote.Position, error) {
	k.mu.Lock()
	was, there := k.positions[q]
	k.mu.Unlock()
	p := was.Position
	if there && was.at != to.now {
		var by map[book.ID]exact.Number
		if by, there = to.since(was.at); there {
			p = p.Moved(by, to.now.share)
		}
	}
	if !there {
		var err error
		if p, err = quote.PositionOf(x, q.Quote, rates); err != nil {
			return p, err
		}
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.positions == nil || len(k.positions) >= mostCosts {
		k.positions = map[*openQuote]positionAt{}
	}
	k.positions[q] = positionAt{p, to.now}
	return p, nil
}

// mostBaskets bounds how many are kept of the same cakes: one a number of cakes,
// as long as the same ones can be costed.
const mostBaskets = 4

// cakes returns what cakes take.
func (k *weighed) cakes(takes []pricing.Takeoff) *catalogue.Weights {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.weights != nil && slices.EqualFunc(k.takes, takes, sameBill) {
		return k.weights
	}
	known := map[*pricing.BillLine][]catalogue.Line{}
	if k.weights != nil {
		for i, t := range k.takes {
			if len(t.Bill) > 0 {
				known[&t.Bill[0]] = k.weights.Lines(i)
			}
		}
	}
	ids, lines := make([]book.ID, len(takes)), make([][]catalogue.Line, len(takes))
	for i, t := range takes {
		if ids[i] = t.ID; len(t.Bill) == 0 {
			continue
		}
		of, there := known[&t.Bill[0]]
		if !there {
			of = catalogue.LinesOf(t.Bill)
			known[&t.Bill[0]] = of
		}
		lines[i] = of
	}
	k.takes, k.baskets = takes, map[string]pricing.Basket{}
	k.weights = catalogue.NewWeights(ids, lines)
	return k.weights
}

// sameBill reports whether two takeoffs are of one cake that takes the same: a
// bill that was compiled again is another one.
func sameBill(a, b pricing.Takeoff) bool {
	return a.ID == b.ID && len(a.Bill) == len(b.Bill) && (len(a.Bill) == 0 || &a.Bill[0] == &b.Bill[0])
}

// saleKey is all of a cake that says how it is sold on a day, as the book holds
// it: what was read again is taken for another.
type saleKey struct {
	list   record.Maybe[money.Price]
	target *book.Target
	tax    record.Maybe[measure.Percent]
	served int
}

// termsOf returns the terms of cakes on a day; none of those that are not in the
// book.
func (k *weighed) termsOf(x *book.Index, on day.Date, takes []pricing.Takeoff) []*catalogue.Terms {
	k.mu.Lock()
	defer k.mu.Unlock()
	studio := x.Book.Studio
	selling := versionOf(book.Studio{Currency: studio.Currency, PricesShown: studio.PricesShown, Tax: studio.Tax, PriceStep: studio.PriceStep, Target: studio.Target})
	if k.selling != selling {
		k.selling, k.keys, k.terms = selling, nil, nil
	}
	keys, list := make([]saleKey, len(takes)), make([]*catalogue.Terms, len(takes))
	made := map[saleKey]*catalogue.Terms{}
	for i := range takes {
		t := &takes[i]
		var c *book.Cake
		if i < len(x.Book.Cakes) && x.Book.Cakes[i].ID == t.ID {
			c = &x.Book.Cakes[i]
		} else if of, there := x.Cake(t.ID); there {
			c = of
		} else {
			continue
		}
		keys[i] = saleKey{c.ListPriceOn(on), c.Target, c.TaxRate, t.Served}
		if i < len(k.keys) && k.keys[i] == keys[i] && k.terms[i] != nil {
			list[i] = k.terms[i]
			continue
		}
		terms := made[keys[i]]
		if terms == nil {
			terms = catalogue.TermsOf(pricing.SaleOf(studio, c, on, t.Served))
			made[keys[i]] = terms
		}
		list[i] = terms
	}
	k.keys, k.terms = keys, list
	return list
}

// basket returns what the first cakes take together: those of them that can be
// costed, and of these again those that have a price. of says which, a letter a
// cake.
func (k *weighed) basket(c *rankedCakes, of string, make func() pricing.Basket) pricing.Basket {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.weights != c.weights { // of a book that is no more
		return make()
	}
	b, there := k.baskets[of]
	if !there {
		if len(k.baskets) >= mostBaskets {
			clear(k.baskets)
		}
		b = make()
		k.baskets[of] = b
	}
	return b
}

// weighedQuotes are the quotes that are open on a day.
type weighedQuotes struct {
	on       day.Date
	stamp    int64
	overhead book.OverheadMethod // of the studio, by which its share goes
	open     []*openQuote        // in the order of their events
	listed   []*openQuote        // those of them that take what the book has
	weights  *catalogue.Weights
	terms    []*catalogue.Terms
}

// openOn returns what is kept of the quotes that are open on a day; nil where
// nothing is.
func (k *weighed) openOn(on day.Date) *weighedQuotes {
	k.mu.Lock()
	defer k.mu.Unlock()
	if i := slices.IndexFunc(k.quotes, func(q *weighedQuotes) bool { return q.on == on }); i >= 0 {
		return k.quotes[i]
	}
	return nil
}

// keepOpen keeps quotes in place of those of the same day.
func (k *weighed) keepOpen(q *weighedQuotes) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.quotes = slices.DeleteFunc(k.quotes, func(old *weighedQuotes) bool { return old.on == q.on })
	k.quotes = slices.Insert(k.quotes, 0, q)
	k.quotes = k.quotes[:min(len(k.quotes), rankedDays)]
}
