package catalogue

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"sync"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Moved is what a change does to one cake. Margins are in millionths, exact to
// that digit (those below −2·10¹² stand as that); a cake without a price has
// none.
type Moved struct {
	Cake      int32 // as given to [New]
	HasMargin bool
	Was       int64
	Is        int64
}

// Move returns what new prices do to the cakes that use them, the greatest
// fall of the margin first; of equal ones the earlier cake. Cakes without a
// price come last. perUnit are prices of a unit of the bill.
func (c *Catalogue) Move(perUnit map[book.ID]exact.Number) ([]Moved, error) {
	moved := make(map[book.ID]price, len(perUnit))
	var shifts []shift
	for id, n := range perUnit {
		if r, ok := c.resources[id]; ok {
			p := c.priceOf(id, n)
			moved[id] = p
			shifts = append(shifts, newShift(c.uses[r], c.prices[r], p))
		}
	}
	w := rooms.Get().(*room)
	defer rooms.Put(w)
	var err error
	if len(shifts) == 1 {
		err = c.moveOne(w, shifts[0], moved)
	} else {
		err = c.moveSeveral(w, shifts, moved)
	}
	if err != nil {
		return nil, err
	}
	return w.rank(), nil
}

// Below returns how many margins of a list are below a floor, before the
// change and after it.
func Below(list []Moved, floor exact.Number) (was, is int) {
	// A whole number is below the floor where it is below the floor rounded up.
	least := floor.Mul(exact.Int(million)).Ceil()
	if !least.IsInt64() {
		if least.Sign() < 0 {
			return 0, 0
		}
		least.SetInt64(math.MaxInt64)
	}
	for _, m := range list {
		if m.HasMargin && m.Was < least.Int64() {
			was++
		}
		if m.HasMargin && m.Is < least.Int64() {
			is++
		}
	}
	return was, is
}

// shift is a price's move and the cakes that use it.
type shift struct {
	uses  []use
	by    uint64 // steps
	down  bool
	slack uint64 // that the new price adds to a cost
	rough bool   // the new price does not fit
}

func newShift(uses []use, from, to price) shift {
	s := shift{uses: uses, slack: to.steps/2 + 1, rough: !from.fits || !to.fits}
	if s.down = to.steps < from.steps; s.down {
		s.by = from.steps - to.steps
	} else {
		s.by = to.steps - from.steps
	}
	return s
}

// apply moves the cost of a cake that takes quantity steps.
func (s *shift) apply(e *entry, quantity uint64) {
	if e.rough || s.rough {
		e.rough = true
		return
	}
	if move := product(quantity, s.by); s.down {
		e.cost = e.cost.sub(move)
	} else {
		var fits bool
		e.cost, fits = e.cost.add(move)
		e.rough = !fits
	}
	e.slack = sumOrMost(e.slack, s.slack>>e.shift+1)
}

// room is what a move works in, kept from one to the next.
type room struct {
	now     []entry  // by cake
	touched []uint64 // a bit a cake; none is set between moves
	list    []Moved
	keys    []uint64
}

var rooms = sync.Pool{New: func() any { return new(room) }}

func (c *Catalogue) moveOne(w *room, s shift, moved map[book.ID]price) error {
	w.list = slices.Grow(w.list[:0], len(s.uses))
	for _, u := range s.uses {
		e := c.cakes[u.cake]
		s.apply(&e, u.steps)
		if err := c.moveCake(w, u.cake, &e, moved); err != nil {
			return err
		}
	}
	return nil
}

func (c *Catalogue) moveSeveral(w *room, shifts []shift, moved map[book.ID]price) error {
	if len(w.now) < len(c.cakes) {
		w.now, w.touched = make([]entry, len(c.cakes)), make([]uint64, (len(c.cakes)+63)/64)
	}
	defer clear(w.touched)
	for i := range shifts {
		s := &shifts[i]
		for _, u := range s.uses {
			if bit := uint64(1) << (u.cake & 63); w.touched[u.cake>>6]&bit == 0 {
				w.touched[u.cake>>6] |= bit
				w.now[u.cake] = c.cakes[u.cake]
			}
			s.apply(&w.now[u.cake], u.steps)
		}
	}
	w.list = w.list[:0]
	for at, set := range w.touched {
		for ; set != 0; set &= set - 1 {
			cake := int32(at<<6 | bits.TrailingZeros64(set))
			if err := c.moveCake(w, cake, &w.now[cake], moved); err != nil {
				return err
			}
		}
	}
	return nil
}

// moveCake lists a cake whose cost is now that of e.
func (c *Catalogue) moveCake(w *room, cake int32, e *entry, moved map[book.ID]price) error {
	if e.absent {
		return nil
	}
	is, err := c.margin(int(cake), e, moved)
	w.list = append(w.list, Moved{cake, e.priced, e.margin, is})
	return err
}

// rank returns the list by fall of margin, stably, in memory of its own. The
// falls become unsigned keys that are sorted digit by digit, in as many passes
// as their range needs: for thousands of cakes that takes a tenth of the time
// of comparing them.
func (w *room) rank() []Moved {
	list := w.list
	if len(list) == 0 {
		return nil
	}
	var least, most uint64 = math.MaxUint64, 0 // of those with a price
	for _, m := range list {
		if m.HasMargin {
			least, most = min(least, m.sortKey()), max(most, m.sortKey())
		}
	}
	least = min(least, most) // where none has one
	width := bits.Len64(most - least + 1)
	if width > 32 { // a price has moved by orders of magnitude
		sorted := slices.Clone(list)
		slices.SortStableFunc(sorted, func(a, b Moved) int { return cmp.Compare(a.sortKey(), b.sortKey()) })
		return sorted
	}
	if len(w.keys) < 2*len(list) {
		w.keys = make([]uint64, 2*len(list))
	}
	keys, spare := w.keys[:len(list)], w.keys[len(list):2*len(list)]
	for i, m := range list {
		keys[i] = (min(m.sortKey(), most+1)-least)<<32 | uint64(i)
	}
	const digit = 8
	for low := 32; low < 32+width; low += digit {
		var count [1 << digit]int32
		for _, k := range keys {
			count[k>>low&(1<<digit-1)]++
		}
		var at int32
		for d, n := range count {
			count[d], at = at, at+n
		}
		for _, k := range keys {
			d := k >> low & (1<<digit - 1)
			spare[count[d]] = k
			count[d]++
		}
		keys, spare = spare, keys
	}
	sorted := make([]Moved, len(list))
	for i, k := range keys {
		sorted[i] = list[uint32(k)]
	}
	return sorted
}

// sortKey grows as the fall of the margin shrinks; a cake without a price
// comes after all others.
func (m Moved) sortKey() uint64 {
	if !m.HasMargin {
		return 1<<63 + 1<<62
	}
	return uint64(1<<62 - (m.Was - m.Is))
}
