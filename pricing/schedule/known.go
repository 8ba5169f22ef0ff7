package schedule

import (
	"encoding/json"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// Known is a book with what plans worked out of it: the cakes and extras taken
// off, the batches of components, and when an order has to begin. The next plan
// need not work that out again. Several goroutines may plan by it; the book's
// index is then one that they may share.
type Known struct {
	x *book.Index

	mu      sync.Mutex
	cakes   map[book.ID]pricing.Takeoff
	extras  map[extraKey]pricing.Takeoff
	batches map[batchKey]batch
	starts  map[string]Moment
}

type extraKey struct {
	id book.ID
	km string
}

type batchKey struct {
	component book.ID
	need      string
}

// mostKnown bounds how much of each is remembered.
const mostKnown = 4000

// NewKnown returns a book of which nothing is worked out yet.
func NewKnown(x *book.Index) *Known {
	return &Known{x: x, cakes: map[book.ID]pricing.Takeoff{}, extras: map[extraKey]pricing.Takeoff{}, batches: map[batchKey]batch{}, starts: map[string]Moment{}}
}

// Book returns the book.
func (k *Known) Book() *book.Index { return k.x }

// Cake takes a cake off.
func (k *Known) Cake(id book.ID) (pricing.Takeoff, error) {
	return recall(k, k.cakes, id, func() (pricing.Takeoff, error) { return pricing.TakeCake(k.x, id) })
}

// Extra takes an extra off for an event so many km away.
func (k *Known) Extra(id book.ID, km exact.Number) (pricing.Takeoff, error) {
	return recall(k, k.extras, extraKey{id, km.Text()}, func() (pricing.Takeoff, error) { return pricing.TakeExtra(k.x, id, km) })
}

func (k *Known) batch(c *book.Component, need exact.Number) (batch, error) {
	return recall(k, k.batches, batchKey{c.ID, need.Text()}, func() (batch, error) { return batchOf(k.x, c, need) })
}

// startBy returns when work on an order begins with the studio for it alone.
func (k *Known) startBy(c Capacity, o Order) (Moment, error) {
	asked, err := json.Marshal(struct {
		C Capacity
		O Order
	}{c, o})
	if err != nil {
		return Moment{}, err
	}
	return recall(k, k.starts, string(asked), func() (Moment, error) {
		alone, err := k.makePlan(c, []Order{o})
		if err != nil {
			return Moment{}, err
		}
		return alone.Orders[0].Begins, nil
	})
}

// recall returns what is known, or works it out. Two who ask at once may both
// work it out, to the same end.
func recall[K comparable, V any](k *Known, in map[K]V, key K, work func() (V, error)) (V, error) {
	k.mu.Lock()
	v, there := in[key]
	k.mu.Unlock()
	if there {
		return v, nil
	}
	v, err := work()
	if err != nil {
		return v, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(in) >= mostKnown {
		clear(in)
	}
	in[key] = v
	return v, nil
}

// Make is the function of that name, by a book of which something is known.
func (k *Known) Make(c Capacity, orders []Order, from day.Date) (Plan, error) {
	p, list, err := k.draft(c, orders, from)
	if err != nil {
		return Plan{}, err
	}
	for i, o := range list {
		if p.Orders[i].StartBy, err = k.startBy(c, o); err != nil {
			return Plan{}, err
		}
	}
	return p, nil
}
