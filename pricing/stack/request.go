package stack

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

// Request is what a stack is wanted for. The zero value of a limit is its
// usual value.
type Request struct {
	Guests    int              // to be served
	Tins      []book.Tin       // to choose from
	Pattern   book.Cake        // lends recipes, heights and cut; it has tiers
	Cut       *book.Portion    // how every tier is cut, in place of what the pattern says
	KeepTop   bool             // whether the top tier is made and not served
	Shape     shape.Kind       // of every tier; "" for any one shape
	Mixed     bool             // whether shapes may stand on each other
	Step      measure.Quantity // least overhang a side; 25 mm
	MinTiers  int              // 1
	MaxTiers  int              // 6
	MaxHeight measure.Quantity // of the stack; any
	Show      int              // how many proposals at most; 1

	look    bool     // whether the pattern's own tiers are wanted; see Rescale
	counted *counted // of a search that asks only how many a stack serves; nil of any other
}

// Proposal is one stack of tins.
type Proposal struct {
	Cake     book.Cake  // the design, made of the pattern's recipes; its id is for the caller to choose
	Tins     []book.Tin // from the bottom up, one a tier
	Portions []int      // made of every tier
	Made     int        // portions
	Served   int
	Spare    int          // served, less the guests
	Height   exact.Number // cm
	Volume   exact.Number // cm3
	Drift    exact.Number // how far the proportions between tiers moved; of [Rescale] alone
}

// Bounds of a request. More guests than this share several cakes.
const (
	mostGuests   = 5_000
	mostTiers    = 12
	usualTiers   = 6
	mostTins     = 400
	mostShown    = 100
	mostPortions = 20_000 // that one stack of a search may be cut into
)

// Propose returns the best stacks for a request, the best first; see the
// package comment for the order. Where nothing serves enough the error is a
// [NoFit].
func Propose(r Request) ([]Proposal, error) {
	p, err := newProblem(r)
	if err != nil {
		return nil, err
	}
	p.spread()
	most := p.serves()
	if most < r.Guests {
		return nil, noFit(r, most, (*problem).spread)
	}
	if most > mostPortions {
		return nil, fmt.Errorf("the tins make stacks of up to %d portions, which are too small to count; cut larger ones", most)
	}
	var found []candidate
	for spare := 0; r.Guests+spare <= most && len(found) < p.show; spare++ {
		for _, f := range p.fields {
			if len(found) < p.show && f.least(0, -1, r.Guests+spare) >= 0 {
				found = append(found, f.lightest(r.Guests+spare, p.show-len(found))...)
			}
		}
	}
	return p.proposals(found), nil
}

// problem is a request made ready for the search.
type problem struct {
	Request
	cake   book.Cake // the pattern with the request's cut
	shelf  []tin
	rule   rule
	show   int
	cells  [][]cell // by tier of the pattern and tin
	fields []*field
}

// baked names a tier of the pattern in a tin.
type baked struct {
	tier int
	tin  string
}

// counted is what searches that ask how many a stack serves share: the limits are
// tried one by one, on the same tins, the same pattern and the same cut.
type counted struct {
	portions map[baked]int
	tins     map[string]tin // measured, by their outline
}

// cell is a tier of the pattern baked in a tin.
type cell struct {
	portions int
	volume   exact.Number // 0 where only portions are counted
	floor    int64        // of the volume, in thousandths of a cm3
}

func newProblem(r Request) (*problem, error) {
	switch {
	case r.Guests < 1:
		return nil, errors.New("say how many guests there are, at least 1")
	case r.Guests > mostGuests:
		return nil, &TooMany{r.Guests, mostGuests}
	case len(r.Pattern.Tiers) == 0:
		return nil, fmt.Errorf("%s has no tiers to take as a pattern; choose a cake with tiers", r.Pattern.Name)
	case len(r.Tins) > mostTins:
		return nil, fmt.Errorf("%d tins are more than the search takes; at most %d", len(r.Tins), mostTins)
	}
	if r.MinTiers == 0 {
		r.MinTiers = 1
	}
	if r.MaxTiers == 0 {
		r.MaxTiers = max(usualTiers, r.MinTiers)
	}
	if r.MinTiers < 1 || r.MaxTiers < r.MinTiers || r.MaxTiers > mostTiers {
		return nil, fmt.Errorf("a stack has from %d to %d tiers; at least 1, at most %d, and the first no more than the second", r.MinTiers, r.MaxTiers, mostTiers)
	}
	if !r.Step.Given() {
		r.Step = usualStep
	}
	if r.Step.Dimension() != measure.Length {
		return nil, fmt.Errorf("step %q is no length; write it as \"25 mm\"", r.Step)
	}
	if r.MaxHeight.Given() && r.MaxHeight.Dimension() != measure.Length {
		return nil, fmt.Errorf("greatest height %q is no length; write it as \"45 cm\"", r.MaxHeight)
	}
	p := &problem{Request: r, rule: rule{shape.Centimetres(r.Step), r.Mixed}, show: min(max(r.Show, 1), mostShown)}
	tins := slices.DeleteFunc(slices.Clone(r.Tins), func(t book.Tin) bool { return r.Shape != "" && t.Shape != r.Shape })
	p.shelf = shelf(tins, r.counted)
	p.cake = cutBy(r.Pattern, r.Cut)
	p.cells = make([][]cell, len(p.cake.Tiers))
	for j := range p.cells {
		cells, err := p.bake(j)
		if err != nil {
			return nil, err
		}
		p.cells[j] = cells
	}
	return p, nil
}

// bake works out what tier j of the pattern comes to in every tin. Most cakes have
// one rule of cutting and one height, so that an earlier tier tells.
func (p *problem) bake(j int) ([]cell, error) {
	tier := &p.cake.Tiers[j]
	cut := p.cutLike(j)
	high := shape.Centimetres(tier.Height)
	if cut < j && shape.Centimetres(p.cake.Tiers[cut].Height).Equal(high) {
		return p.cells[cut], nil
	}
	cells := make([]cell, len(p.shelf))
	for t := range cells {
		c := &cells[t]
		if cut < j {
			c.portions = p.cells[cut][t].portions
		} else {
			var err error
			if c.portions, err = p.portion(j, &p.shelf[t]); err != nil {
				return nil, err
			}
		}
		if p.counted != nil {
			continue
		}
		c.volume = p.shelf[t].area.Mul(high)
		c.floor = c.volume.Mul(exact.Int(1000)).Floor().Int64() // at most 400 m2 × 20 m
	}
	return cells, nil
}

// portion works out into how many portions tier j of the pattern is cut in a tin.
func (p *problem) portion(j int, t *tin) (int, error) {
	name := baked{j, t.outline.String()}
	if p.counted != nil {
		if known, there := p.counted.portions[name]; there {
			return known, nil
		}
	}
	tier := bakedIn(&p.cake.Tiers[j], t.Tin)
	n, err := pricing.Portions(&p.cake, &tier)
	if err != nil {
		return 0, fmt.Errorf("%s, %s, in the tin %s: %w", p.cake.Name, tier.Name, t, err)
	}
	if p.counted != nil {
		p.counted.portions[name] = n
	}
	return n, nil
}

// cutLike returns the first tier of the pattern that is cut as tier j is.
func (p *problem) cutLike(j int) int {
	return slices.IndexFunc(p.cake.Tiers, func(t book.Tier) bool { return p.sameCut(&t, &p.cake.Tiers[j]) })
}

// sameCut reports whether two tiers in one tin are cut into as many portions.
func (p *problem) sameCut(a, b *book.Tier) bool {
	if a.Dummy.Or(false) || b.Dummy.Or(false) {
		return a.Dummy.Or(false) == b.Dummy.Or(false)
	}
	cutA, cutB := cmp.Or(a.Portion, p.cake.Portion), cmp.Or(b.Portion, p.cake.Portion)
	if cutA == cutB {
		return true
	}
	return cutA != nil && cutB != nil && cutA.Cut == cutB.Cut && cutA.Count == cutB.Count && cutA.Width.String() == cutB.Width.String() && cutA.Depth.String() == cutB.Depth.String()
}

// spread prepares a field for every number of tiers that the limits allow.
func (p *problem) spread() {
	next := p.neighbours()
	for n := p.MinTiers; n <= p.MaxTiers; n++ {
		if p.MaxHeight.Given() && p.height(n).Cmp(shape.Centimetres(p.MaxHeight)) > 0 {
			continue
		}
		f := newField(n, p, next)
		for i := range n {
			j := like(i, n, len(p.cake.Tiers))
			for t := range p.shelf {
				f.set(i, t, &p.cells[j][t], p.kept(i, n))
			}
		}
		f.bound()
		p.fields = append(p.fields, f)
	}
}

// neighbours lists for every tin those that may stand on it; the last list is
// of those that may stand on the table: all. A smaller tin never comes before
// a larger one, and equal ones are counted as copies.
func (p *problem) neighbours() [][]int {
	for t := range p.shelf {
		p.shelf[t].grow(p.rule)
	}
	next := make([][]int, len(p.shelf)+1)
	for l := range p.shelf {
		for u := l + 1; u < len(p.shelf); u++ {
			if p.rule.fits(&p.shelf[l], &p.shelf[u]) {
				next[l] = append(next[l], u)
			}
		}
		next[len(p.shelf)] = append(next[len(p.shelf)], l)
	}
	return next
}

// serves returns how many the largest stack within the limits serves, -1 where
// there is no stack at all.
func (p *problem) serves() int {
	most := -1
	for _, f := range p.fields {
		most = max(most, f.most(0, -1))
	}
	return most
}

// height returns how high n tiers stand, in cm.
func (p *problem) height(n int) (h exact.Number) {
	for i := range n {
		h = h.Add(shape.Centimetres(p.cake.Tiers[like(i, n, len(p.cake.Tiers))].Height))
	}
	return h
}

// proposals turns what was found into designs.
func (p *problem) proposals(found []candidate) []Proposal {
	list := make([]Proposal, len(found))
	for k, c := range found {
		pr := Proposal{Served: c.served, Spare: c.served - p.Guests, Volume: c.volume, Height: p.height(len(c.tins)), Drift: c.drift}
		for i, t := range c.tins {
			pr.Tins = append(pr.Tins, p.shelf[t].Tin)
			n := p.cells[like(i, len(c.tins), len(p.cake.Tiers))][t].portions
			pr.Portions = append(pr.Portions, n)
			pr.Made += n
		}
		pr.Cake = p.design(pr.Tins)
		list[k] = pr
	}
	return list
}
