package web

import (
	"net/http"
	"slices"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
)

// costings keeps what the cakes cost that were looked at last. Each holds every
// gram of its cake, so few are kept.
type costings struct {
	mu   sync.Mutex
	list []keptCosting // the latest last
}

type keptCosting struct {
	of      *book.Index
	id      book.ID
	on      day.Date
	costing pricing.Costing
}

// mostCostings is how many cakes people go to and fro between.
const mostCostings = 24

// costing returns what a cake of the book costs on a day. It is for reading
// alone.
func (s *Server) costing(r *http.Request, x *book.Index, id book.ID, on day.Date) (pricing.Costing, error) {
	d := &visitOf(r).studio.costings
	d.mu.Lock()
	i := slices.IndexFunc(d.list, func(k keptCosting) bool { return k.of == x && k.id == id && k.on == on })
	if i >= 0 {
		known := d.list[i].costing
		d.mu.Unlock()
		return known, nil
	}
	d.mu.Unlock()
	c, err := pricing.CostCake(x, id, pricing.NewRates(x, on))
	if err != nil {
		return c, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.list = slices.DeleteFunc(d.list, func(k keptCosting) bool { return k.of != x }) // of a book that is no more
	if len(d.list) >= mostCostings {
		d.list = slices.Delete(d.list, 0, 1)
	}
	d.list = append(d.list, keptCosting{x, id, on, c})
	return c, nil
}
