package stack

import (
	"cmp"
	"slices"

	"marchpane/pricing/exact"
)

// field is the search among stacks of one number of tiers.
type field struct {
	n, tins int
	places  [][]place // by tier, bottom first, and tin
	next    [][]int   // by tin, and last the table: what may stand on it
	copies  []int     // how many of a tin may stand on each other
	upper   []int     // most(i, last)
	lower   []int     // fewest(i, last)
	memo    [][]int64 // least(i, last, r)
}

// place is a tin at a tier of the stack.
type place struct {
	open   bool // whether the tin may stand here
	served int
	cell   *cell
}

// none marks what cannot be, unknown what was not asked yet.
const none, unknown = -1, -2

// candidate is a stack that was found.
type candidate struct {
	tins   []int // from the bottom up
	served int
	volume exact.Number
	floor  int64
	drift  exact.Number
}

func newField(n int, p *problem, next [][]int) *field {
	f := &field{n: n, tins: len(p.shelf), next: next, places: make([][]place, n), copies: make([]int, len(p.shelf))}
	for i := range f.places {
		f.places[i] = make([]place, f.tins)
	}
	for t := range p.shelf {
		f.copies[t] = 1
		if p.rule.fits(&p.shelf[t], &p.shelf[t]) { // with a step of 0
			f.copies[t] = min(p.shelf[t].owned, n)
		}
	}
	return f
}

// set says what tin t comes to at tier i.
func (f *field) set(i, t int, c *cell, kept bool) {
	f.places[i][t] = place{open: true, served: c.portions, cell: c}
	if kept {
		f.places[i][t].served = 0
	}
}

func (f *field) at(i, last int) int { return i*(f.tins+1) + last + 1 }

// onto lists what may stand on a tin, or with -1 on the table.
func (f *field) onto(last int) []int {
	if last < 0 {
		return f.next[f.tins]
	}
	return f.next[last]
}

// bound works out for all stacks from every tier up how many they serve at
// most and at least.
func (f *field) bound() {
	size := (f.n + 1) * (f.tins + 1)
	f.upper, f.lower, f.memo = make([]int, size), make([]int, size), make([][]int64, size)
	for i := f.n - 1; i >= 0; i-- {
		for last := -1; last < f.tins; last++ {
			hi, lo := none, none
			for _, t := range f.onto(last) {
				served := 0
				for m := 1; m <= f.copies[t] && i+m <= f.n && f.places[i+m-1][t].open; m++ {
					served += f.places[i+m-1][t].served
					at := f.at(i+m, t)
					if f.upper[at] == none {
						continue
					}
					hi = max(hi, served+f.upper[at])
					if least := served + f.lower[at]; lo == none || least < lo {
						lo = least
					}
				}
			}
			f.upper[f.at(i, last)], f.lower[f.at(i, last)] = hi, lo
		}
	}
}

// below works out for every tier and tin how many the tiers up to that one serve
// at most where it stands on them: below[i][t] of the tiers 0 to i, the last of
// which is tin t; none where it cannot be.
func (f *field) below() [][]int {
	to := make([][]int, f.n)
	for i := range to {
		to[i] = slices.Repeat([]int{none}, f.tins)
	}
	for i := range f.n {
		for last := -1; last < f.tins; last++ {
			before := 0
			if i > 0 {
				if last < 0 || to[i-1][last] == none {
					continue
				}
				before = to[i-1][last]
			} else if last >= 0 {
				break
			}
			for _, t := range f.onto(last) {
				served := before
				for m := 1; m <= f.copies[t] && i+m <= f.n && f.places[i+m-1][t].open; m++ {
					served += f.places[i+m-1][t].served
					to[i+m-1][t] = max(to[i+m-1][t], served)
				}
			}
		}
	}
	return to
}

// most returns how many tiers i and up on tin last serve at most.
func (f *field) most(i, last int) int { return f.upper[f.at(i, last)] }

// least returns the least volume, rounded down tier by tier, with which tiers
// i and up on tin last serve exactly r; none where they cannot.
func (f *field) least(i, last, r int) int64 {
	at := f.at(i, last)
	switch {
	case i == f.n && r == 0:
		return 0
	case i == f.n || f.upper[at] == none || r < f.lower[at] || r > f.upper[at]:
		return none
	}
	memo := f.memo[at]
	for len(memo) <= r-f.lower[at] {
		memo = append(memo, unknown)
	}
	f.memo[at] = memo
	known := &memo[r-f.lower[at]]
	if *known != unknown {
		return *known
	}
	best := int64(none)
	for _, t := range f.onto(last) {
		served, volume := 0, int64(0)
		for m := 1; m <= f.copies[t] && i+m <= f.n && f.places[i+m-1][t].open; m++ {
			p := &f.places[i+m-1][t]
			served, volume = served+p.served, volume+p.cell.floor
			if rest := f.least(i+m, t, r-served); rest >= 0 && (best < 0 || volume+rest < best) {
				best = volume + rest
			}
		}
	}
	// Deeper tiers have their own lists, so this one was not moved meanwhile.
	*known = best
	return best
}

// lightest returns the k stacks of least volume that serve exactly r.
func (f *field) lightest(r, k int) []candidate {
	var found []candidate
	var chain []int
	var walk func(i, last, r int, floor int64)
	walk = func(i, last, r int, floor int64) {
		rest := f.least(i, last, r)
		// Rounding down loses less than one a tier, of this stack as of the worst.
		if rest < 0 || len(found) == k && floor+rest > found[k-1].floor+int64(f.n) {
			return
		}
		if i == f.n {
			found = insert(found, f.candidate(chain, floor), k, func(a, b candidate) int { return a.volume.Cmp(b.volume) })
			return
		}
		for _, s := range f.steps(i, last, r) {
			depth := len(chain)
			for range s.copies {
				chain = append(chain, s.tin)
			}
			walk(i+s.copies, s.tin, r-s.served, floor+s.volume)
			chain = chain[:depth]
		}
	}
	walk(0, -1, r, 0)
	return found
}

// onward is a way on from a tier: so many copies of a tin, what they serve and
// come to, and what the lightest stack that goes this way comes to.
type onward struct {
	tin, copies, served int
	volume, least       int64
}

// steps lists the ways on from tier i on tin last that end in a stack which serves
// exactly r, those first that lead to the lightest: so the best are found early,
// and the others are known to be none of them.
func (f *field) steps(i, last, r int) []onward {
	var list []onward
	for _, t := range f.onto(last) {
		s := onward{tin: t}
		for m := 1; m <= f.copies[t] && i+m <= f.n && f.places[i+m-1][t].open; m++ {
			p := &f.places[i+m-1][t]
			s.copies, s.served, s.volume = m, s.served+p.served, s.volume+p.cell.floor
			if rest := f.least(i+m, t, r-s.served); rest >= 0 {
				s.least = s.volume + rest
				list = append(list, s)
			}
		}
	}
	slices.SortFunc(list, func(a, b onward) int { return cmp.Compare(a.least, b.least) })
	return list
}

func (f *field) candidate(chain []int, floor int64) candidate {
	c := candidate{tins: slices.Clone(chain), floor: floor}
	for i, t := range chain {
		c.served += f.places[i][t].served
		c.volume = c.volume.Add(f.places[i][t].cell.volume)
	}
	return c
}

// insert puts c where order has it, larger lower tiers first among equals, and
// keeps the first k.
func insert(list []candidate, c candidate, k int, order func(a, b candidate) int) []candidate {
	at, _ := slices.BinarySearchFunc(list, c, func(a, b candidate) int { return cmp.Or(order(a, b), slices.Compare(a.tins, b.tins)) })
	list = slices.Insert(list, at, c)
	return list[:min(len(list), k)]
}
