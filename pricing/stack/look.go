package stack

import (
	"cmp"
	"fmt"
	"slices"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

// roomToSpare is how much of the guests a design may serve on top for the sake
// of its look: a tenth.
const roomToSpare = 10

// Rescale returns the pattern for another number of guests: as many tiers, of
// the same shapes and heights, kept where it keeps them, in sizes from the tins
// so that the proportions between tiers drift least; see the package comment.
// MinTiers, MaxTiers, MaxHeight, Shape and Mixed mean nothing here: the pattern
// says it all. Where nothing serves enough the error is a [NoFit].
func Rescale(r Request) ([]Proposal, error) {
	r, err := likeness(r)
	if err != nil {
		return nil, err
	}
	p, err := newProblem(r)
	if err != nil {
		return nil, err
	}
	p.reflect()
	f := p.fields[0]
	most := f.most(0, -1)
	if most < r.Guests {
		return nil, noFit(r, most, (*problem).reflect)
	}
	if most > mostPortions {
		return nil, fmt.Errorf("the tins make stacks of up to %d portions, which are too small to count; cut larger ones", most)
	}
	spare := 0
	for f.least(0, -1, r.Guests+spare) < 0 {
		spare++ // ends, since most is served by some stack
	}
	return p.proposals(p.likest(f, max(spare, r.Guests/roomToSpare))), nil
}

// likeness sets the limits that the pattern's look implies.
func likeness(r Request) (Request, error) {
	tiers := r.Pattern.Tiers
	r.look, r.MinTiers, r.MaxTiers, r.Shape, r.MaxHeight = true, len(tiers), len(tiers), "", measure.Quantity{}
	for _, t := range tiers {
		if t.Shape == shape.Measured {
			return r, fmt.Errorf("%s, %s: a measured outline cannot be made larger or smaller, since its form is not known; give the tier a shape", r.Pattern.Name, t.Name)
		}
		r.Mixed = r.Mixed || t.Shape != tiers[0].Shape
	}
	return r, nil
}

// kept reports whether tier i of n is made and not served.
func (p *problem) kept(i, n int) bool {
	if p.look && p.cake.Tiers[i].Kept.Or(false) {
		return true
	}
	return p.KeepTop && i == n-1
}

// reflect prepares the one field of the pattern's look.
func (p *problem) reflect() {
	n := len(p.cake.Tiers)
	f := newField(n, p, p.neighbours())
	for i := range n {
		for t := range p.shelf {
			if p.shelf[t].outline.Kind() == p.cake.Tiers[i].Shape {
				f.set(i, t, &p.cells[i][t], p.kept(i, n))
			}
		}
	}
	f.bound()
	p.fields = []*field{f}
}

// ratio is how many times larger a tin is than the tier of the pattern: the
// least and the greatest of its sizes.
type ratio struct {
	least, most   exact.Number
	little, great int64 // the same in millionths, rounded down
}

const millionth = 1_000_000

func (p *problem) ratios() [][]ratio {
	all := make([][]ratio, len(p.cake.Tiers))
	for i := range all {
		was := tin{outline: p.cake.Tiers[i].Solid().Outline}
		was.measure()
		all[i] = make([]ratio, len(p.shelf))
		for t := range p.shelf {
			a, b := p.shelf[t].sizes[0].Quo(was.sizes[0].Number), p.shelf[t].sizes[1].Quo(was.sizes[1].Number)
			if a.Cmp(b) > 0 {
				a, b = b, a
			}
			all[i][t] = ratio{a, b, a.Mul(exact.Int(millionth)).Floor().Int64(), b.Mul(exact.Int(millionth)).Floor().Int64()}
		}
	}
	return all
}

// likest returns the stacks of least drift that serve enough and at most spare
// more.
func (p *problem) likest(f *field, spare int) []candidate {
	ratios := p.ratios()
	var found []candidate
	order := func(a, b candidate) int {
		return cmp.Or(a.drift.Cmp(b.drift), cmp.Compare(a.served, b.served), a.volume.Cmp(b.volume))
	}
	worst := int64(-1) // drift of the last that counts, in millionths, rounded up; -1 while there is room
	var chain []int
	used := make([]int, f.tins)
	var walk func(i, last, served int, little, great int64)
	walk = func(i, last, served int, little, great int64) {
		if i == f.n {
			c := f.candidate(chain, 0)
			c.drift = drift(ratios, chain)
			found = insert(found, c, p.show, order)
			if len(found) == p.show {
				worst = found[p.show-1].drift.Mul(exact.Int(millionth)).Ceil().Int64()
			}
			return
		}
		for _, t := range p.nearest(f, i, last, ratios[i], little, great, used) {
			r := &ratios[i][t]
			lo, hi := r.little, r.great
			if i > 0 {
				lo, hi = min(lo, little), max(hi, great)
			}
			// hi is rounded down and lo + 1 rounded up, so the drift is no less.
			if worst >= 0 && hi*millionth/(lo+1)-millionth > worst {
				continue
			}
			now := served + f.places[i][t].served
			if !f.reach(i+1, t, used[t]+1, p.Guests-now, p.Guests+spare-now) {
				continue
			}
			chain = append(chain, t)
			used[t]++
			walk(i+1, t, now, lo, hi)
			used[t]--
			chain = chain[:len(chain)-1]
		}
	}
	walk(0, -1, 0, 0, 0)
	return found
}

// nearest lists the tins that may stand at tier i on tin last, those first
// whose ratio is nearest to the ratios so far.
func (p *problem) nearest(f *field, i, last int, ratios []ratio, little, great int64, used []int) []int {
	var list []int
	if last >= 0 && used[last] < f.copies[last] && f.places[i][last].open {
		list = append(list, last)
	}
	for _, t := range f.onto(last) {
		if f.places[i][t].open {
			list = append(list, t)
		}
	}
	if i > 0 {
		away := func(t int) int64 { return max(ratios[t].great-great, little-ratios[t].little) }
		slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(away(a), away(b)) })
	}
	return list
}

// reach reports whether tiers i and up can serve from low to high, where the
// tier below is the used-th copy of tin last.
func (f *field) reach(i, last, used, low, high int) bool {
	if i == f.n {
		return low <= 0 && high >= 0
	}
	if used < f.copies[last] && f.places[i][last].open {
		served := f.places[i][last].served
		if f.reach(i+1, last, used+1, low-served, high-served) {
			return true
		}
	}
	at := f.at(i, last)
	if f.upper[at] == none {
		return false
	}
	for r := max(low, f.lower[at]); r <= min(high, f.upper[at]); r++ {
		if f.least(i, last, r) >= 0 {
			return true
		}
	}
	return false
}

func drift(ratios [][]ratio, chain []int) exact.Number {
	lo, hi := ratios[0][chain[0]].least, ratios[0][chain[0]].most
	for i, t := range chain {
		if r := ratios[i][t]; r.least.Cmp(lo) < 0 {
			lo = r.least
		}
		hi = exact.Max(hi, ratios[i][t].most)
	}
	return hi.Quo(lo).Sub(exact.Int(1))
}
