package cli

import (
	"context"
	"slices"
	"sync"

	"marchpane/pricing/actual"
	"marchpane/pricing/month"
	"marchpane/store"
)

// workedShelf keeps the orders of spans as they were worked out, those of the
// spans that were asked for last, for an entry to touch one of them alone. All
// are of one book.
type workedShelf struct {
	mu    sync.Mutex
	spans []workedSpan // the latest last
}

type workedSpan struct {
	of     *keptTally               // whose orders they are
	orders map[string]*month.Worked // by number; never written to
}

// mostWorked is how many orders are kept worked out: those of half a brisk year,
// some forty kilobytes each. The latest span is kept whatever it holds.
const mostWorked = 400

// ordersOf returns the orders of a tally, none where they are no longer kept.
func (s *workedShelf) ordersOf(k *keptTally) map[string]*month.Worked {
	s.mu.Lock()
	defer s.mu.Unlock()
	if i := slices.IndexFunc(s.spans, func(w workedSpan) bool { return w.of == k }); i >= 0 {
		return s.spans[i].orders
	}
	return nil
}

func (s *workedShelf) keep(k *keptTally, orders map[string]*month.Worked) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.spans = append(slices.DeleteFunc(s.spans, func(w workedSpan) bool { return w.of == k }), workedSpan{k, orders})
	n, from := 0, len(s.spans)
	for from > 0 {
		if n += len(s.spans[from-1].orders); n > mostWorked && from < len(s.spans) {
			break
		}
		from--
	}
	s.spans = slices.Delete(s.spans, 0, from)
}

// changes reads what changed in the journal of what really happened, once for all
// spans.
type changes struct {
	mu          sync.Mutex
	after, upto int64           // entries
	added       actual.Records  // between the two
	undone      map[string]bool // the ids of all that were
	undoneAt    int64           // how many that was
}

// since returns what was recorded between two editions, and what of known was
// taken back.
func (c *changes) since(ctx context.Context, s *store.Store, after, upto store.Edition, known actual.Records) (added, gone actual.Records, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if after.Undone != upto.Undone {
		if c.undone == nil || c.undoneAt != upto.Undone {
			if c.undone, err = s.Undone(ctx); err != nil {
				return added, gone, err
			}
			c.undoneAt = upto.Undone
		}
		gone = known.Of(c.undone)
	}
	if after.Entries != upto.Entries && (c.after != after.Entries || c.upto != upto.Entries) {
		if c.added, err = s.ActualsBetween(ctx, after, upto); err != nil {
			return added, gone, err
		}
		c.after, c.upto = after.Entries, upto.Entries
	}
	if after.Entries != upto.Entries {
		added = c.added.Without(c.undone)
	}
	return added, gone, nil
}
