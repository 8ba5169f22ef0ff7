package catalogue

import (
	"fmt"
	"math"
	"math/bits"
	"strconv"

	"github.com/shopspring/decimal"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Scales of the stored figures, in decimals. A price has as many more as the
// currency has fewer minor units, so that yen and euro both fit.
const (
	quantityScale = 12
	netScale      = 12
	marginScale   = 6 // of printed margins
)

// Cake is a cake as the catalogue takes it in.
type Cake struct {
	ID       book.ID
	Lines    []Line
	Net      exact.Number // its price without tax
	HasPrice bool         // whether it has a price other than 0
}

// Line is the quantity of a resource in steps of 10⁻¹² of a base unit.
type Line struct {
	Resource book.ID
	Kind     pricing.Kind
	Steps    uint64
	Fits     bool // whether the quantity fits Steps
}

// LinesOf returns the lines of a bill.
func LinesOf(bill pricing.Bill) []Line {
	lines := make([]Line, len(bill))
	for i, l := range bill {
		steps, fits := fixed(l.Quantity, quantityScale)
		lines[i] = Line{l.Resource, l.Kind, steps, fits}
	}
	return lines
}

// ReadLines returns the lines of a written bill, reading of each quantity no
// more than the decimals that a line keeps.
func ReadLines(text string) ([]Line, error) {
	written, err := pricing.ReadBillLines(text)
	if err != nil {
		return nil, err
	}
	lines := make([]Line, len(written))
	for i, w := range written {
		steps, fits := stepsOf(w.Rounded)
		lines[i] = Line{w.Resource, w.Kind, steps, fits}
	}
	return lines, nil
}

// stepsOf reads a decimal of exactly quantityScale places.
func stepsOf(decimal string) (uint64, bool) {
	point := len(decimal) - quantityScale - 1
	if point < 1 || decimal[point] != '.' {
		return 0, false
	}
	steps, err := strconv.ParseUint(decimal[:point]+decimal[point+1:], 10, 64)
	return steps, err == nil
}

// Catalogue is every cake of a studio, ready to be costed again. It is safe
// for use by several goroutines as long as none of them writes.
type Catalogue struct {
	*Weights
	priceScale             int32
	share                  exact.Number // 1 + overhead by percentage
	prices                 []price      // by resource
	cakes                  []entry      // in the order they were given
	terms                  []*Terms
	targets                []uint64               // by cake: the steps of the target that gives its price
	nets                   map[int32]exact.Number // the price without tax, of those whose targets do not fit
	slacks                 []uint64               // bounds of the errors of the costs, in their steps
	costStep, quantityStep exact.Number           // steps in 1 of each
	step                   uint64                 // steps of cost ÷ net in a millionth
	inverse                uint64                 // ⌊2⁶⁴ ÷ step⌋
	exactly                func(i int) (pricing.Bill, error)
}

// price is what a unit of a resource costs, the overhead share included.
type price struct {
	id      book.ID
	perUnit exact.Number // without the share
	exact   exact.Number
	steps   uint64
	fits    bool
	// unknown says that there is none on that day.
	unknown bool
}

// entry is what is read of a cake whenever a price moves: kept small, since
// thousands are read in a row.
type entry struct {
	cost   u128   // in steps of quantity × price
	net    uint64 // price without tax, in steps
	slack  uint64 // bound of the error of cost ÷ net, in its steps
	margin int64  // in millionths, exact
	shift  uint8  // x >> shift is at least x ÷ net
	rough  bool   // does not fit: always costed exactly
	priced bool   // has a margin
	absent bool   // is left out
}

// New returns the catalogue of cakes under rates. Places are those of the
// currency's minor unit. exactly returns the exact bill of cake i again, for
// the few figures that fixed point leaves open.
func New(rates *pricing.Rates, places int32, cakes []Cake, exactly func(i int) (pricing.Bill, error)) (*Catalogue, error) {
	ids, lines, terms := make([]book.ID, len(cakes)), make([][]Line, len(cakes)), make([]*Terms, len(cakes))
	for i, cake := range cakes {
		ids[i], lines[i], terms[i] = cake.ID, cake.Lines, FixedTerms(cake.Net, cake.HasPrice)
	}
	w := NewWeights(ids, lines)
	c, err := w.under(rates, places, terms, exactly)
	if err != nil {
		return nil, err
	}
	for r, n := range w.named {
		if err := c.price(rates, r, n); err != nil {
			return nil, fmt.Errorf("%s: %w", ids[w.uses[r][0].cake], err)
		}
	}
	return c, c.sum()
}

func newCatalogue(w *Weights, places int32, share exact.Number, terms []*Terms, exactly func(i int) (pricing.Bill, error)) *Catalogue {
	n := len(w.ids)
	c := &Catalogue{
		Weights: w, priceScale: 13 + places, share: exact.Int(1).Add(share), terms: terms, exactly: exactly,
		prices: make([]price, len(w.named)), cakes: make([]entry, n), targets: make([]uint64, n), nets: map[int32]exact.Number{}, slacks: make([]uint64, n),
	}
	c.costStep, c.quantityStep = powerOfTen(quantityScale+c.priceScale), powerOfTen(quantityScale)
	c.step = stepOf(c.priceScale - marginScale)
	c.inverse, _ = bits.Div64(1, 0, c.step)
	return c
}

// slackOf is the bound of a product's error: half a step of each factor times
// the other, and one for the product of the two errors.
func slackOf(quantity, price uint64) uint64 {
	return sumOrMost(quantity/2+1, price/2+1)
}

// sumOrMost adds and stays at the largest figure where the sum does not fit; a
// bound so large leaves everything to exact arithmetic.
func sumOrMost(a, b uint64) uint64 {
	if a > math.MaxUint64-b {
		return math.MaxUint64
	}
	return a + b
}

func (c *Catalogue) priceOf(id book.ID, perUnit exact.Number) price {
	p := price{id: id, perUnit: perUnit, exact: perUnit.Mul(c.share)}
	p.steps, p.fits = fixed(p.exact, c.priceScale)
	return p
}

// margin returns the margin of cake i with the cost of e, in millionths,
// rounded half away from zero. moved are the prices that differ.
func (c *Catalogue) margin(i int, e *entry, moved map[book.ID]price) (int64, error) {
	if !e.priced {
		return 0, nil
	}
	if !e.rough {
		if m, sure := c.roughMargin(e); sure && m > worst {
			return m, nil
		}
	}
	cost, err := c.exactCost(i, moved)
	if err != nil {
		return 0, err
	}
	m, _ := pricing.Margin(c.net(i), cost)
	millionths := m.Round(marginScale).Shift(marginScale).BigInt()
	if !millionths.IsInt64() || millionths.Int64() < worst {
		return worst, nil
	}
	return millionths.Int64(), nil
}

// worst is the margin of whatever costs some trillion times what it sells for:
// small enough that two of them can be subtracted. No margin is above 1.
const worst = -1 << 61

const million = 1_000_000

// roughMargin takes cost ÷ net at the scale of prices and rounds it, and says
// whether the bound leaves no doubt of the result.
func (c *Catalogue) roughMargin(e *entry) (int64, bool) {
	// A cost is in steps of 10^-(quantityScale+priceScale); divided by a net
	// price in 10^-netScale that leaves 10^-priceScale.
	ratio, fits := e.cost.quo(e.net)
	if !fits || ratio > math.MaxInt64 {
		return 0, false
	}
	whole, _ := bits.Mul64(ratio, c.inverse) // ⌊ratio ÷ step⌋, or one less
	part := ratio - whole*c.step
	if part >= c.step {
		whole, part = whole+1, part-c.step
	}
	// The cost's own error ÷ net; half a step of the net price, which weighs
	// ratio ÷ net; one step of the division.
	slack := sumOrMost(e.slack, ratio>>e.shift+2)
	half := c.step / 2
	switch {
	case part < half && half-part > slack:
		return million - int64(whole), true
	case part > half && part-half > slack:
		return million - int64(whole) - 1, true
	}
	return 0, false
}

func powerOfTen(n int32) exact.Number { return exact.FromDecimal(decimal.New(1, n)) }

// stepOf returns 10^n.
func stepOf(n int32) uint64 {
	s := uint64(1)
	for range n {
		s *= 10
	}
	return s
}

// exactCost costs cake i in exact rationals.
func (c *Catalogue) exactCost(i int, moved map[book.ID]price) (exact.Number, error) {
	bill, err := c.exactly(i)
	if err != nil {
		return exact.Number{}, err
	}
	var sum exact.Number
	for _, line := range bill {
		p, ok := moved[line.Resource]
		if !ok {
			p = c.prices[c.resources[line.Resource]]
		}
		sum = sum.Add(line.Quantity.Mul(p.exact))
	}
	return sum, nil
}
