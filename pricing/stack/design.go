package stack

import (
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
)

// like returns the tier of a pattern of m that tier i of n resembles: bottom
// and bottom, top and top, and those between by their place between. The top
// is like nothing else, since it is often another cake.
func like(i, n, m int) int {
	switch {
	case i == 0 || m == 1:
		return 0
	case i == n-1:
		return m - 1
	case m == 2:
		return 0
	}
	// The nearest place, the lower of two; not the bottom and not the top.
	nearest := (2*i*(m-1) + n - 2) / (2 * (n - 1))
	return min(max(nearest, 1), m-2)
}

// cutBy returns the pattern with every tier cut as the request has it. The
// number of portions that a tier states holds for its own size only, and goes.
func cutBy(c book.Cake, cut *book.Portion) book.Cake {
	c.Tiers = slices.Clone(c.Tiers)
	if cut != nil {
		c.Portion = cut
	}
	for j := range c.Tiers {
		c.Tiers[j].Portions = record.Maybe[int]{}
		if cut != nil {
			c.Tiers[j].Portion = nil
		}
	}
	return c
}

// bakedIn returns a tier in the size of a tin.
func bakedIn(tier *book.Tier, t book.Tin) book.Tier {
	baked := *tier
	baked.Form = t.Form()
	baked.Form.Height = tier.Height
	return baked
}

// design returns the cake that a stack of tins makes of the pattern. A list
// price and a fixed target are of another size and stay behind, and where the
// number of tiers may differ so does the description, which may tell of them.
func (p *problem) design(tins []book.Tin) book.Cake {
	c := p.cake
	c.Name = fmt.Sprintf("%s, for %d", p.Pattern.Name, p.Guests)
	if !p.look {
		c.Description = record.Maybe[string]{}
	}
	c.Price, c.ListPrices = book.Cake{}.Price, nil
	if c.Target != nil && c.Target.Fixed.Given {
		c.Target = nil
	}
	c.Tiers = nil
	named := map[string]int{}
	for i, t := range tins {
		tier := bakedIn(&p.cake.Tiers[like(i, len(tins), len(p.cake.Tiers))], t)
		tier.Kept = record.Maybe[bool]{}
		if p.kept(i, len(tins)) {
			tier.Kept = record.Some(true)
		}
		if named[tier.Name]++; named[tier.Name] > 1 {
			tier.Name = fmt.Sprintf("%s %d", tier.Name, named[tier.Name])
		}
		c.Tiers = append(c.Tiers, tier)
	}
	return c
}
