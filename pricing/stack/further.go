package stack

import (
	"marchpane/pricing/book"
)

// below works out for every field how many the tiers up to each place serve; see
// [field.below].
func (p *problem) below() [][][]int {
	all := make([][][]int, len(p.fields))
	for k, f := range p.fields {
		all[k] = f.below()
	}
	return all
}

// servesWith returns how many the largest stack serves that has one more tin in
// it, -1 where there is none. Such a stack is what stands below that tin, the tin,
// and what stands on it, and both are known. A tin that is there already counts as
// another of its form, which makes no difference.
func (p *problem) servesWith(further book.Tin, below [][][]int) int {
	t := tin{Tin: further, owned: 1, outline: further.Outline()}
	t.measured(p.counted)
	t.grow(p.rule)
	under, upon := make([]bool, len(p.shelf)), make([]bool, len(p.shelf))
	for u := range p.shelf {
		if s := &p.shelf[u]; s.order(&t) <= 0 { // it comes last of those that are alike
			under[u] = p.rule.fits(s, &t)
		} else {
			upon[u] = p.rule.fits(&t, s)
		}
	}
	portions := make([]int, len(p.cake.Tiers))
	for j := range portions {
		if cut := p.cutLike(j); cut < j {
			portions[j] = portions[cut]
			continue
		}
		n, err := p.portion(j, &t)
		if err != nil {
			return none
		}
		portions[j] = n
	}
	most := none
	for k, f := range p.fields {
		for i := range f.n {
			j := like(i, f.n, len(p.cake.Tiers))
			if p.look && t.outline.Kind() != p.cake.Tiers[j].Shape {
				continue
			}
			low, high := f.under(i, under, below[k]), f.upon(i+1, upon)
			if low == none || high == none {
				continue
			}
			served := low + high
			if !p.kept(i, f.n) {
				served += portions[j]
			}
			most = max(most, served)
		}
	}
	return most
}

// under returns how many the tiers below i serve at most, the last of them one of
// some tins.
func (f *field) under(i int, tins []bool, below [][]int) int {
	if i == 0 {
		return 0
	}
	most := none
	for t, may := range tins {
		if may {
			most = max(most, below[i-1][t])
		}
	}
	return most
}

// upon returns how many tiers i and up serve at most, the first of them one of
// some tins.
func (f *field) upon(i int, tins []bool) int {
	if i == f.n {
		return 0
	}
	most := none
	for t, may := range tins {
		if !may {
			continue
		}
		served := 0
		for m := 1; m <= f.copies[t] && i+m <= f.n && f.places[i+m-1][t].open; m++ {
			served += f.places[i+m-1][t].served
			if rest := f.upper[f.at(i+m, t)]; rest != none {
				most = max(most, served+rest)
			}
		}
	}
	return most
}
