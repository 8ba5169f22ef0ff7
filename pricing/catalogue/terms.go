package catalogue

import (
	"math"
	"math/big"
	"math/bits"

	"marchpane/pricing"
	"marchpane/pricing/exact"
)

// Terms is what a cake sells at: a price, or one that follows from its cost. No
// price of a resource bears on it, so that it is kept while prices change. It is
// for reading alone, and many cakes share one.
type Terms struct {
	sale     pricing.Sale
	net      exact.Number // the price without tax, where it does not follow from the cost
	steps    uint64       // of net
	fits     bool
	hasPrice bool // whether there is one other than 0
	byCost   bool // whether it follows from the cost
	target   times
	unit     ratio // steps of the net price in a step of the target's
}

// TermsOf returns the terms of a sale.
func TermsOf(sale pricing.Sale) *Terms {
	var t *Terms
	if byCost := !sale.Listed && sale.HasGoal && !sale.PerCost.IsZero(); byCost {
		t = &Terms{byCost: true, unit: ratioOf(sale.NetOf(sale.Step).Mul(powerOfTen(netScale)))}
	} else {
		o := sale.At(exact.Number{})
		t = FixedTerms(o.Net, o.HasPrice)
	}
	t.sale = sale
	if sale.HasGoal && !sale.PerCost.IsZero() {
		t.target = timesOf(sale.PerCost.Quo(sale.Step).Quo(powerOfTen(keptPlaces)))
	}
	return t
}

// FixedTerms returns the terms of a price without tax; hasPrice is false where
// there is none.
func FixedTerms(net exact.Number, hasPrice bool) *Terms {
	t := &Terms{net: net, hasPrice: hasPrice && !net.IsZero()}
	t.steps, t.fits = fixed(net, netScale)
	return t
}

// sell sets the net price and the margin of cake i, which is costed.
func (c *Catalogue) sell(i int, e *entry) error {
	t := c.terms[i]
	fits := t.fits
	e.net, e.priced = t.steps, t.hasPrice
	if t.byCost {
		steps, sure := c.targetSteps(i, e)
		if sure {
			e.net, fits = t.unit.times(steps)
			e.priced, c.targets[i] = steps > 0, steps
		} else {
			cost, err := c.exactCost(i, nil)
			if err != nil {
				return err
			}
			net := t.sale.At(cost).Net
			e.net, fits = fixed(net, netScale)
			e.priced, c.nets[int32(i)] = !net.IsZero(), net
		}
	}
	if e.rough = e.rough || !fits || e.net == 0; !e.rough {
		e.shift = uint8(bits.Len64(e.net) - 1)
		e.slack = c.slacks[i] >> e.shift
	}
	var err error
	e.margin, err = c.margin(i, e, nil)
	return err
}

// net returns the price of cake i without tax, exactly.
func (c *Catalogue) net(i int) exact.Number {
	t := c.terms[i]
	if !t.byCost {
		return t.net
	}
	if net, there := c.nets[int32(i)]; there {
		return net
	}
	return t.sale.NetOf(t.sale.Step.Mul(exact.FromBig(new(big.Int).SetUint64(c.targets[i]))))
}

// Net returns the price of cake i without tax, exactly, and whether it has a
// price and is not left out. A price may be 0.
func (c *Catalogue) Net(i int) (exact.Number, bool) {
	if e := &c.cakes[i]; e.absent {
		return exact.Number{}, false
	}
	s := c.terms[i].sale
	return c.net(i), s.Listed || s.HasGoal
}

// Holds reports whether cake i is not left out.
func (c *Catalogue) Holds(i int) bool { return !c.cakes[i].absent }

// Listed returns the list price of cake i, as shown, and the price that its
// target asks for, both exactly. It returns false where the cake is left out, or
// has no price, no list price or no target.
func (c *Catalogue) Listed(i int) (list, target exact.Number, ok bool, err error) {
	e, t := &c.cakes[i], c.terms[i]
	if e.absent || !e.priced || !t.sale.Listed || !t.sale.HasGoal {
		return list, target, false, nil
	}
	if t.sale.PerCost.IsZero() {
		return t.sale.List, t.sale.Target(exact.Number{}), true, nil
	}
	if steps, sure := c.targetSteps(i, e); sure {
		return t.sale.List, t.sale.Step.Mul(exact.FromBig(new(big.Int).SetUint64(steps))), true, nil
	}
	cost, err := c.exactCost(i, nil)
	if err != nil {
		return list, target, false, err
	}
	return t.sale.List, t.sale.Target(cost), true, nil
}

// HasTarget reports whether cake i has a price and a target that gives one.
func (c *Catalogue) HasTarget(i int) bool {
	return !c.cakes[i].absent && c.cakes[i].priced && c.terms[i].sale.HasGoal
}

// targetSteps returns the price that the target of cake i asks for at the cost of
// e, in its steps, and whether the bound of the cost leaves no other. The price
// does not fall as the cost rises, so that it is asked for at the least cost there
// may be and at the greatest.
func (c *Catalogue) targetSteps(i int, e *entry) (uint64, bool) {
	t := c.terms[i]
	cut := stepOf(quantityScale + c.priceScale - keptPlaces)
	kept, fits := e.cost.quo(cut)
	off := c.slacks[i]/cut + 2 // and what was cut off
	if e.rough || !fits || !t.target.fits || off > math.MaxUint64-kept {
		return 0, false
	}
	least, fits1 := t.target.down(kept-min(kept, off), t.sale.Up)
	most, fits2 := t.target.up(kept+off, t.sale.Up)
	return least, fits1 && fits2 && least == most
}

// times is a factor in fixed point: within m and m+1, in 2^-e.
type times struct {
	m    uint64
	e    uint
	fits bool
}

// timesOf returns a factor above 0.
func timesOf(n exact.Number) times {
	r := n.Rat()
	// 62 bits of n, so that m+1 and the sum with a half fit: n = m ÷ 2^e.
	e := 62 - (r.Num().BitLen() - r.Denom().BitLen())
	if e < 1 || e > 126 {
		return times{}
	}
	num := new(big.Int).Lsh(r.Num(), uint(e))
	m := num.Quo(num, r.Denom())
	return times{m: m.Uint64(), e: uint(e), fits: m.BitLen() <= 63}
}

// down returns the whole steps of the least that kept × n may be, up that of the
// greatest: the next whole number, else the nearest one.
func (t times) down(kept uint64, toNext bool) (uint64, bool) { return t.whole(kept, t.m, toNext) }
func (t times) up(kept uint64, toNext bool) (uint64, bool)   { return t.whole(kept, t.m+1, toNext) }

func (t times) whole(kept, m uint64, toNext bool) (uint64, bool) {
	p := product(kept, m)
	one := power(t.e)
	more := power(t.e - 1)
	if toNext {
		more = one.sub(u128{0, 1})
	}
	p, fits := p.add(more)
	whole := p.shift(t.e)
	return whole.lo, fits && whole.hi == 0
}

// ratio is a factor as a fraction of two whole numbers that fit.
type ratio struct {
	num, den uint64
	fits     bool
}

func ratioOf(n exact.Number) ratio {
	r := n.Rat()
	if n.Sign() < 0 || !r.Num().IsUint64() || !r.Denom().IsUint64() || r.Denom().BitLen() > 63 {
		return ratio{}
	}
	return ratio{r.Num().Uint64(), r.Denom().Uint64(), true}
}

// times returns n × the fraction, rounded half away from zero, and whether it
// fits.
func (r ratio) times(n uint64) (uint64, bool) {
	hi, lo := bits.Mul64(n, r.num)
	if !r.fits || hi >= r.den {
		return 0, false
	}
	whole, rest := bits.Div64(hi, lo, r.den)
	if rest >= r.den-rest {
		if whole == math.MaxUint64 {
			return 0, false
		}
		whole++
	}
	return whole, true
}
