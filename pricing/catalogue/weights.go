package catalogue

import (
	"fmt"
	"iter"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Weights is how much cakes take of each resource: all of a catalogue that no
// price bears on, so that it is kept while prices change. It is for reading
// alone.
type Weights struct {
	ids       []book.ID
	resources map[book.ID]int
	named     []resource // in the order in which cakes first take them
	uses      [][]use    // by resource: the index
	designs   []design   // what cakes take, each way once
	design    []int32    // by cake: its design; -1 for one that takes nothing
}

// design is what some cakes take.
type design struct {
	lines []Line
	at    []int32 // the resource of each line
}

type resource struct {
	id   book.ID
	kind pricing.Kind
}

// use is the quantity of a resource that a cake takes.
type use struct {
	cake  int32
	fits  bool
	steps uint64
}

// NewWeights returns what cakes take: of each its id and the lines of its bill.
func NewWeights(ids []book.ID, lines [][]Line) *Weights {
	w := &Weights{ids: ids, resources: map[book.ID]int{}, design: make([]int32, len(ids))}
	known := map[*Line]int32{}
	for i, list := range lines {
		if w.design[i] = -1; len(list) == 0 {
			continue
		}
		d, there := known[&list[0]]
		if !there {
			d = int32(len(w.designs))
			known[&list[0]] = d
			w.designs = append(w.designs, design{list, w.resourcesOf(list)})
		}
		w.design[i] = d
		for n, r := range w.designs[d].at {
			w.uses[r] = append(w.uses[r], use{int32(i), list[n].Fits, list[n].Steps})
		}
	}
	return w
}

func (w *Weights) resourcesOf(list []Line) []int32 {
	at := make([]int32, len(list))
	for n, l := range list {
		at[n] = int32(w.resource(l))
	}
	return at
}

func (w *Weights) resource(l Line) int {
	r, there := w.resources[l.Resource]
	if !there {
		r = len(w.named)
		w.resources[l.Resource] = r
		w.named, w.uses = append(w.named, resource{l.Resource, l.Kind}), append(w.uses, nil)
	}
	return r
}

// Lines returns what cake i takes, for reading alone.
func (w *Weights) Lines(i int) []Line {
	if w.design[i] < 0 {
		return nil
	}
	return w.designs[w.design[i]].lines
}

// Uses lists the resources that cakes take.
func (w *Weights) Uses() iter.Seq2[book.ID, pricing.Kind] {
	return func(yield func(book.ID, pricing.Kind) bool) {
		for _, n := range w.named {
			if !yield(n.id, n.kind) {
				return
			}
		}
	}
}

// Catalogue returns the catalogue of the cakes under rates: each is sold on its
// terms, and one without any is left out, as one is that takes what has no price.
// Places are those of the currency's minor unit. exactly returns the exact bill of
// cake i again, for the few figures that fixed point leaves open.
func (w *Weights) Catalogue(rates *pricing.Rates, places int32, terms []*Terms, exactly func(i int) (pricing.Bill, error)) (*Catalogue, error) {
	c, err := w.under(rates, places, terms, exactly)
	if err != nil { // no overhead on that day, so that nothing can be costed
		c = newCatalogue(w, places, exact.Number{}, terms, exactly)
		for i := range c.cakes {
			c.cakes[i].absent = true
		}
		return c, nil
	}
	for r, n := range w.named {
		c.prices[r].unknown = c.price(rates, r, n) != nil
	}
	return c, c.sum()
}

// under returns a catalogue without prices yet.
func (w *Weights) under(rates *pricing.Rates, places int32, terms []*Terms, exactly func(i int) (pricing.Bill, error)) (*Catalogue, error) {
	share, err := rates.Share()
	if err != nil {
		return nil, err
	}
	c := newCatalogue(w, places, share, terms, exactly)
	for i, t := range terms {
		c.cakes[i].absent = t == nil
	}
	return c, nil
}

// price looks up what a resource costs.
func (c *Catalogue) price(rates *pricing.Rates, r int, n resource) error {
	rate, err := rates.Of(n.id, n.kind)
	if err == nil {
		c.prices[r] = c.priceOf(n.id, rate.PerUnit)
	}
	return err
}

// Prices returns what a unit of each resource costs that has a price on the day.
func (c *Catalogue) Prices() map[book.ID]exact.Number {
	list := make(map[book.ID]exact.Number, len(c.prices))
	for r, p := range c.prices {
		if !p.unknown {
			list[c.named[r].id] = p.perUnit
		}
	}
	return list
}

// Share returns overhead as a share of the other costs, as [pricing.Rates.Share].
func (c *Catalogue) Share() exact.Number { return c.share.Sub(exact.Int(1)) }

// sum costs every design, and takes the margin of every cake.
func (c *Catalogue) sum() error {
	costed := make([]costed, len(c.designs))
	for i, d := range c.designs {
		costed[i] = c.cost(d)
	}
	for i := range c.cakes {
		e := &c.cakes[i]
		if d := c.design[i]; d >= 0 {
			of := &costed[d]
			e.cost, e.rough, e.absent, c.slacks[i] = of.cost, of.rough, e.absent || of.absent, of.slack
		}
		if e.absent {
			continue
		}
		if err := c.sell(i, e); err != nil {
			return fmt.Errorf("%s: %w", c.ids[i], err)
		}
	}
	return nil
}

// costed is what a design costs.
type costed struct {
	cost   u128
	slack  uint64 // bound of the error, in its steps
	rough  bool   // does not fit
	absent bool   // a price is missing
}

func (c *Catalogue) cost(d design) (of costed) {
	for n, r := range d.at {
		l, p := &d.lines[n], &c.prices[r]
		of.absent = of.absent || p.unknown
		if !l.Fits || !p.fits {
			of.rough = true
			continue
		}
		cost, fits := of.cost.add(product(l.Steps, p.steps))
		of.cost, of.rough = cost, of.rough || !fits
		of.slack = sumOrMost(of.slack, slackOf(l.Steps, p.steps))
	}
	return of
}
