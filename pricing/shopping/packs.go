package shopping

import (
	"cmp"
	"container/heap"
	"errors"
	"fmt"
	"math/big"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
)

// Offer is a supplier's newest price in force for one size of pack.
type Offer struct {
	Price book.Price
	Size  exact.Number // what a pack holds, in the unit of its line
	Cost  exact.Number // of a pack, without the tax that the studio recovers
}

// Supplier returns who makes the offer, "" where the price does not say.
func (o Offer) Supplier() string { return o.Price.Supplier.Or("") }

// OffersOn returns the offers for an ingredient on a day, by supplier and then
// by size: of the supplier that it names, or of all where it names none.
func OffersOn(x *book.Index, ing *book.Ingredient, on day.Date) []Offer {
	var list []Offer
	for _, p := range ing.Prices {
		if p.From.After(on) || ing.Supplier.Given && p.Supplier.Or("") != ing.Supplier.Value {
			continue
		}
		o := Offer{Price: p, Size: p.Pack.Size(x.Household())}
		o.Cost = p.PerBase(x.Book.Studio).Mul(o.Size)
		i := slices.IndexFunc(list, func(q Offer) bool { return q.Supplier() == o.Supplier() && q.Size.Equal(o.Size) })
		switch {
		case i < 0:
			list = append(list, o)
		case !p.From.Before(list[i].Price.From): // of one day the later listed
			list[i] = o
		}
	}
	slices.SortStableFunc(list, func(a, b Offer) int {
		return cmp.Or(byWords(a.Supplier(), b.Supplier()), a.Size.Cmp(b.Size))
	})
	return list
}

// pick chooses the packs of a line.
func (l *Line) pick(x *book.Index, ing *book.Ingredient, r Request) error {
	if l.ToBuy.IsZero() {
		return nil
	}
	offers := OffersOn(x, ing, r.On)
	if len(offers) == 0 {
		// The engine's own words for a price that is missing.
		_, err := ing.PriceOn(r.On)
		return err
	}
	chosen, err := choose(offers, l.ToBuy, r.OneSupplier)
	if err != nil {
		return fmt.Errorf("%s: %w", ing.Name, err)
	}
	for i, n := range chosen {
		if n.IsZero() {
			continue
		}
		p := Pick{Offer: offers[i], Packs: n, Bought: n.Mul(offers[i].Size)}
		p.Sum.Paid, p.Sum.Cost = n.Mul(p.Price.Price.Number()), n.Mul(p.Cost)
		l.Bought = l.Bought.Add(p.Bought)
		l.Picks = append(l.Picks, p)
	}
	l.Left = l.Left.Add(l.Bought)
	return nil
}

// choose returns how many packs of each offer to buy, of one supplier alone if
// one is wanted.
func choose(offers []Offer, need exact.Number, oneSupplier bool) ([]exact.Number, error) {
	if !oneSupplier {
		counts, _, err := cheapest(offers, need)
		return counts, err
	}
	var best []exact.Number
	var bestScore score
	for first := 0; first < len(offers); { // offers of a supplier stand together
		last := first
		for last < len(offers) && offers[last].Supplier() == offers[first].Supplier() {
			last++
		}
		counts, s, err := cheapest(offers[first:last], need)
		if err != nil {
			return nil, err
		}
		if best == nil || s.less(bestScore) {
			best, bestScore = make([]exact.Number, len(offers)), s
			copy(best[first:], counts)
		}
		first = last
	}
	return best, nil
}

// score is what one choice of packs is better than another by.
type score struct{ cost, amount, packs exact.Number }

func (s score) less(t score) bool {
	return cmp.Or(s.cost.Cmp(t.cost), s.amount.Cmp(t.amount), s.packs.Cmp(t.packs)) < 0
}

// mostSteps bounds the search for the cheapest packs. Books come nowhere near
// it: it takes packs of incommensurable sizes at nearly one price.
const mostSteps = 200_000

var errTooMany = errors.New("its packs can be combined in too many ways to find the cheapest; name its supplier, or leave out prices that are too old to count")

// cheapest returns how many packs of each offer cover a need at the least
// cost, of equal costs with the least left over, then with the fewest packs.
//
// Amounts are counted in the greatest measure that all packs are multiples of,
// and the need is rounded up to it, which loses nothing. The pack that is
// cheapest for a measure, the largest of several, is the staple: whatever else
// is bought, staples cover the rest, and a division says how many. So only the
// other packs are searched, sets of them by rising cost. A set is passed over
// where a better one was seen:
//
//   - one that costs less and holds as much, on its own or in staples;
//   - one that with some staples holds the same, costs no more and is no more
//     packs. There are no more remainders by the staple than measures in it,
//     so that there is an end to the sets, however much is needed.
//
// A set is passed over, too, where it could not end below the best cost known,
// were the rest bought at the staple's price for a measure.
func cheapest(offers []Offer, need exact.Number) ([]exact.Number, score, error) {
	w := newPacking(offers, need)
	best, err := w.search()
	if err != nil {
		return nil, score{}, err
	}
	counts := make([]exact.Number, len(offers))
	counts[w.staple.offer] = exact.FromBig(best.staples)
	for at := best.set; at.from != nil; at = at.from {
		counts[at.last] = counts[at.last].Add(exact.Int(1))
	}
	var s score
	for i, n := range counts {
		s.cost = s.cost.Add(n.Mul(offers[i].Cost))
		s.amount = s.amount.Add(n.Mul(offers[i].Size))
		s.packs = s.packs.Add(n)
	}
	return counts, s, nil
}

// packing is a need and packs in whole numbers.
type packing struct {
	goal   *big.Int // measures to cover
	staple pack
	others []pack
}

type pack struct {
	offer      int
	size, cost *big.Int
}

func newPacking(offers []Offer, need exact.Number) packing {
	sizes, costs := make([]exact.Number, len(offers)), make([]exact.Number, len(offers))
	for i, o := range offers {
		sizes[i], costs[i] = o.Size, o.Cost
	}
	measure, coin := common(sizes), common(costs)
	if coin.IsZero() {
		coin = exact.Int(1)
	}
	packs := make([]pack, len(offers))
	for i := range offers {
		packs[i] = pack{i, sizes[i].Quo(measure).Floor(), costs[i].Quo(coin).Floor()}
	}
	w := packing{goal: need.Quo(measure).Ceil(), staple: packs[0]}
	for _, p := range packs[1:] {
		c := times(p.cost, w.staple.size).Cmp(times(w.staple.cost, p.size))
		if d := p.size.Cmp(w.staple.size); c < 0 || c == 0 && d > 0 {
			w.staple = p
		}
	}
	for _, p := range packs {
		if p.offer != w.staple.offer && !slices.ContainsFunc(packs, func(q pack) bool { return q.beats(p) }) {
			w.others = append(w.others, p)
		}
	}
	return w
}

func times(a, b *big.Int) *big.Int { return new(big.Int).Mul(a, b) }

// beats reports whether p is never worth buying where q is to be had: q holds
// as much for less, or the same for the same and is offered before.
func (q pack) beats(p pack) bool {
	switch size, cost := q.size.Cmp(p.size), q.cost.Cmp(p.cost); {
	case cost < 0:
		return size >= 0
	case cost == 0 && size == 0:
		return q.offer < p.offer
	}
	return false
}

// common returns the greatest number that all of ns are whole multiples of, 0
// where all are 0.
func common(ns []exact.Number) exact.Number {
	den := big.NewInt(1)
	for _, n := range ns {
		d := n.Rat().Denom()
		den.Mul(den, new(big.Int).Quo(d, new(big.Int).GCD(nil, nil, den, d)))
	}
	num := new(big.Int)
	for _, n := range ns {
		r := n.Rat()
		scaled := new(big.Int).Mul(r.Num(), new(big.Int).Quo(den, r.Denom()))
		num.GCD(nil, nil, num, scaled)
	}
	return exact.FromBig(num).Quo(exact.FromBig(den))
}

// set is some packs besides staples.
type set struct {
	amount, cost *big.Int
	excess       *big.Int // what it costs above as many measures in staples, × the staple's size
	packs        int
	from         *set // without the last pack; nil for none at all
	last         int  // offer
}

// purchase is a set made up with staples.
type purchase struct {
	set          *set
	staples      *big.Int
	cost, amount *big.Int
	packs        *big.Int
}

func (w packing) search() (purchase, error) {
	none := &set{amount: new(big.Int), cost: new(big.Int), excess: new(big.Int)}
	best := w.complete(none)
	leastExcess := map[string]*set{} // of those seen, by remainder
	held, heldCost := new(big.Int), new(big.Int)
	var cheaper *big.Int // the most held by any set of less cost than the one looked at
	road := &sets{none}
	for steps := 0; road.Len() > 0; {
		at := heap.Pop(road).(*set)
		if heldCost.Cmp(at.cost) < 0 {
			cheaper = new(big.Int).Set(held)
			heldCost.Set(at.cost)
		}
		if cheaper != nil && at.amount.Cmp(cheaper) <= 0 || w.staplesBeat(at) {
			continue
		}
		remainder := string(new(big.Int).Rem(at.amount, w.staple.size).Bytes())
		if seen := leastExcess[remainder]; seen != nil && w.replaces(seen, at) {
			continue
		} else if seen == nil || at.excess.Cmp(seen.excess) < 0 {
			leastExcess[remainder] = at
		}
		if at.amount.Cmp(held) > 0 {
			held.Set(at.amount)
		}
		if p := w.complete(at); p.less(best) {
			best = p
		}
		if at.amount.Cmp(w.goal) >= 0 {
			continue
		}
		slack := times(best.cost, w.staple.size)
		slack.Sub(slack, times(w.goal, w.staple.cost))
		for _, p := range w.others {
			if steps++; steps > mostSteps {
				return purchase{}, errTooMany
			}
			next := &set{amount: new(big.Int).Add(at.amount, p.size), cost: new(big.Int).Add(at.cost, p.cost), packs: at.packs + 1, from: at, last: p.offer}
			next.excess = times(next.cost, w.staple.size)
			next.excess.Sub(next.excess, times(next.amount, w.staple.cost))
			// What holds more than the goal is dearer than its excess says.
			if next.excess.Cmp(slack) <= 0 && next.cost.Cmp(best.cost) <= 0 {
				heap.Push(road, next)
			}
		}
	}
	return best, nil
}

// complete makes a set up to the goal.
func (w packing) complete(s *set) purchase {
	n := new(big.Int).Sub(w.goal, s.amount)
	if n.Sign() <= 0 {
		n.SetInt64(0)
	} else {
		n.Add(n, w.staple.size).Sub(n, big.NewInt(1)).Quo(n, w.staple.size)
	}
	cost, amount := times(n, w.staple.cost), times(n, w.staple.size)
	return purchase{s, n, cost.Add(cost, s.cost), amount.Add(amount, s.amount), new(big.Int).Add(n, big.NewInt(int64(s.packs)))}
}

func (p purchase) less(q purchase) bool {
	return cmp.Or(p.cost.Cmp(q.cost), p.amount.Cmp(q.amount), p.packs.Cmp(q.packs)) < 0
}

// staplesBeat reports whether staples that cost less than a set hold as much.
func (w packing) staplesBeat(s *set) bool {
	if w.staple.cost.Sign() == 0 {
		return s.cost.Sign() > 0
	}
	if s.cost.Sign() == 0 {
		return false
	}
	n := new(big.Int).Sub(s.cost, big.NewInt(1))
	n.Quo(n, w.staple.cost)
	return n.Mul(n, w.staple.size).Cmp(s.amount) >= 0
}

// replaces reports whether a set that was seen and staples hold what s does,
// for no more money and in no more packs. The remainders are the same.
func (w packing) replaces(seen, s *set) bool {
	n := new(big.Int).Sub(s.amount, seen.amount)
	if n.Sign() < 0 {
		return false
	}
	n.Quo(n, w.staple.size)
	switch c := seen.excess.Cmp(s.excess); {
	case c > 0:
		return false
	case c < 0:
		return true
	}
	return n.Add(n, big.NewInt(int64(seen.packs-s.packs))).Sign() <= 0
}

// sets is a heap by cost, then by packs, then by amount.
type sets []*set

func (s sets) Len() int { return len(s) }
func (s sets) Less(i, j int) bool {
	return cmp.Or(s[i].cost.Cmp(s[j].cost), cmp.Compare(s[i].packs, s[j].packs), s[i].amount.Cmp(s[j].amount)) < 0
}
func (s sets) Swap(i, j int) { s[i], s[j] = s[j], s[i] }

// Push adds a set.
func (s *sets) Push(x any) { *s = append(*s, x.(*set)) }

// Pop takes the last one off.
func (s *sets) Pop() any {
	old := *s
	last := old[len(old)-1]
	*s = old[:len(old)-1]
	return last
}
