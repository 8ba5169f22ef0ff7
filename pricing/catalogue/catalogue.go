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
	priceScale             int32
	share                  exact.Number // 1 + overhead by percentage
	resources              map[book.ID]int
	prices                 []price // by resource
	uses                   [][]use // by resource: the index
	cakes                  []entry // in the order they were given
	ids                    []book.ID
	nets                   []exact.Number
	slacks                 []uint64     // bounds of the errors of the costs, in their steps
	costStep, quantityStep exact.Number // steps in 1 of each
	step                   uint64       // steps of cost ÷ net in a millionth
	inverse                uint64       // ⌊2⁶⁴ ÷ step⌋
	exactly                func(i int) (pricing.Bill, error)
}

// price is what a unit of a resource costs, the overhead share included.
type price struct {
	id    book.ID
	exact exact.Number
	steps uint64
	fits  bool
}

// use is the quantity of a resource that a cake takes.
type use struct {
	cake  int32
	steps uint64
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
}

// New returns the catalogue of cakes under rates. Places are those of the
// currency's minor unit. exactly returns the exact bill of cake i again, for
// the few figures that fixed point leaves open.
func New(rates *pricing.Rates, places int32, cakes []Cake, exactly func(i int) (pricing.Bill, error)) (*Catalogue, error) {
	share, err := rates.Share()
	if err != nil {
		return nil, err
	}
	c := &Catalogue{
		priceScale: 13 + places, share: exact.Int(1).Add(share),
		resources: map[book.ID]int{}, cakes: make([]entry, len(cakes)), nets: make([]exact.Number, len(cakes)), slacks: make([]uint64, len(cakes)), exactly: exactly,
	}
	c.costStep, c.quantityStep = powerOfTen(quantityScale+c.priceScale), powerOfTen(quantityScale)
	c.step = stepOf(c.priceScale - marginScale)
	c.inverse, _ = bits.Div64(1, 0, c.step)
	for i, cake := range cakes {
		if err := c.add(rates, i, cake); err != nil {
			return nil, fmt.Errorf("%s: %w", cake.ID, err)
		}
	}
	return c, nil
}

func (c *Catalogue) add(rates *pricing.Rates, i int, cake Cake) error {
	net, fits := fixed(cake.Net, netScale)
	e := entry{net: net, rough: !fits || net == 0, priced: cake.HasPrice}
	var slack uint64 // of the cost
	for _, line := range cake.Lines {
		r, err := c.resource(rates, line)
		if err != nil {
			return err
		}
		steps, fits := line.Steps, line.Fits
		c.uses[r] = append(c.uses[r], use{int32(i), steps})
		if !fits || !c.prices[r].fits {
			e.rough = true
			continue
		}
		cost, fits := e.cost.add(product(steps, c.prices[r].steps))
		e.cost, e.rough = cost, e.rough || !fits
		slack = sumOrMost(slack, slackOf(steps, c.prices[r].steps))
	}
	if !e.rough {
		e.shift = uint8(bits.Len64(net) - 1)
		e.slack = slack >> e.shift
	}
	c.cakes[i], c.nets[i], c.slacks[i] = e, cake.Net, slack
	c.ids = append(c.ids, cake.ID)
	margin, err := c.margin(i, &e, nil)
	c.cakes[i].margin = margin
	return err
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

func (c *Catalogue) resource(rates *pricing.Rates, line Line) (int, error) {
	if r, ok := c.resources[line.Resource]; ok {
		return r, nil
	}
	rate, err := rates.Of(line.Resource, line.Kind)
	if err != nil {
		return 0, err
	}
	r := len(c.prices)
	c.resources[line.Resource] = r
	c.prices = append(c.prices, c.priceOf(line.Resource, rate.PerUnit))
	c.uses = append(c.uses, nil)
	return r, nil
}

func (c *Catalogue) priceOf(id book.ID, perUnit exact.Number) price {
	p := price{id: id, exact: perUnit.Mul(c.share)}
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
	m, _ := pricing.Margin(c.nets[i], cost)
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
