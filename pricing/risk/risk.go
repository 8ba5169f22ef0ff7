package risk

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// What is drawn where an [Input] does not say, and the most that it may ask
// for.
const (
	DefaultPaths = 10_000
	MaxPaths     = 100_000
)

// DefaultLevel is the chance of a margin below the floor that the surcharge
// aims at where an [Input] does not say: 10 %.
func DefaultLevel() exact.Number { return exact.Frac(1, 10) }

// Input is an order and what its cost may rest on.
type Input struct {
	Bill      pricing.Bill        // of the whole order
	Rates     *pricing.Rates      // where paths start: the prices that the book has for the event date
	Histories map[book.ID]History // of its ingredients and packaging; see [Histories]
	Net       exact.Number        // price of the order without tax
	Floor     exact.Number        // least margin, as a fraction
	TaxRate   exact.Number        // of the tax that shown prices hold; 0 where they are shown net
	Currency  money.Currency
	Today     day.Date
	Event     day.Date
	KeepDrift bool         // whether the mean change of the window goes on
	Level     exact.Number // chance that the surcharge aims at; 0: [DefaultLevel]
	Seed      uint64
	Paths     int // 0: [DefaultPaths]
	Block     int // months; 0: by the length of the window
}

// Outlook is the distribution of the cost of an order on its event date.
// Shares, margins and chances are fractions rounded to 4 decimals.
type Outlook struct {
	Figures
	OtherDrift      Figures // what they were with drift kept where it is removed, or removed where it is kept
	Today, Event    day.Date
	Currency        money.Currency
	Months          int      // ahead, a begun one in full
	From, To        day.Date // ends of the first and last month whose change is drawn
	Changes         int      // monthly changes in the window
	Block           int      // months
	Paths           int
	Seed            uint64
	KeptDrift       bool
	PercentOverhead bool         // whether overhead moves with the other costs
	Start           money.Amount // cost at the prices of the book
	StartMargin     exact.Number
	Net             money.Amount // price without tax
	Floor           exact.Number
	Level           exact.Number
	Moving          []Moving     // by falling share of the variance
	Held            []Held       // by falling cost
	Covered         exact.Number // share of the cost of ingredients and packaging that moves
	Unmoved         money.Amount // part of Start that is held: goods, labour, energy, wear, overhead
	YearlyDrift     exact.Number // of the prices that move, weighted by cost; + 0.05 is a rise of 5 % a year
}

// Figures sum up the costs of the paths.
type Figures struct {
	Median, Mean     money.Amount
	Band80, Band95   Band         // 10 to 90 % and 2.5 to 97.5 % of the paths
	MedianMargin     exact.Number // at the median cost
	Chance           exact.Number // that the margin is below the floor
	ChanceError      exact.Number // its Monte-Carlo standard error, √(c·(1 − c) ÷ paths)
	Surcharge        money.Amount // without tax, rounded up; 0 where the chance is at the level or below
	SurchargeShown   money.Amount // as prices are shown, rounded up
	SurchargeOfPrice exact.Number // as a share of the net price
}

// Band is a lowest and a highest cost.
type Band struct{ Low, High money.Amount }

// Moving is a resource whose price is drawn.
type Moving struct {
	Resource    book.ID
	Name        string
	Cost        money.Amount // of the order at the price of the book
	YearlyDrift exact.Number // in the window
	Spread      exact.Number // standard deviation of its monthly changes
	// Variance is cov(cost of the resource, whole cost) ÷ variance of the whole
	// cost; over all resources these add up to 1. Below 0 the resource
	// steadies the cost. All are 0 where the cost does not vary.
	Variance exact.Number
}

// Held is an ingredient or packaging whose price is held.
type Held struct {
	Resource book.ID
	Name     string
	Cost     money.Amount // of the order at the price of the book
	Why      string
}

// Assess draws the paths of an order's prices to its event and returns the
// distribution of its cost. Where the history is too short to say anything
// the error is a [*TooShort], and there are no figures.
func Assess(in Input) (Outlook, error) {
	if err := in.complete(); err != nil {
		return Outlook{}, err
	}
	cost, err := pricing.CostOf(in.Bill, in.Rates)
	if err != nil {
		return Outlook{}, err
	}
	share, err := in.Rates.Share()
	if err != nil {
		return Outlook{}, err
	}
	ahead := monthsAhead(in.Today, in.Event)
	w, err := windowOf(in, ahead, cost.Ingredients.Add(cost.Packaging))
	if err != nil {
		return Outlook{}, err
	}
	block, err := in.block(w.months)
	if err != nil {
		return Outlook{}, err
	}

	onCost := exact.Int(1).Add(share)
	start := cost.Total()
	held := start.Sub(w.moves.Mul(onCost))
	weights := make([]float64, len(w.goods))
	for i, g := range w.goods {
		weights[i] = float(g.cost.Mul(onCost))
	}
	draw := func(keepDrift bool) (costs [][]float64, totals []float64, err error) {
		// The second word of the generator's state only has to be fixed.
		rng := rand.New(rand.NewPCG(in.Seed, 1))
		costs = futures(rng, changesIn(w, keepDrift), plan{ahead, block, in.Paths}, weights)
		totals, err = totalsOf(costs, float(held))
		return costs, totals, err
	}
	costs, totals, err := draw(in.KeepDrift)
	if err != nil {
		return Outlook{}, err
	}
	_, otherwise, err := draw(!in.KeepDrift)
	if err != nil {
		return Outlook{}, err
	}

	margin, _ := pricing.Margin(in.Net, start)
	o := Outlook{
		Today: in.Today, Event: in.Event, Currency: in.Currency, Months: ahead,
		From: w.first.end(), To: w.last.end(), Changes: w.months, Block: block, Paths: in.Paths, Seed: in.Seed,
		KeptDrift: in.KeepDrift, PercentOverhead: !share.IsZero(),
		Start: in.Currency.Round(start), StartMargin: fraction(margin), Net: in.Currency.Round(in.Net), Floor: fraction(in.Floor), Level: fraction(in.Level),
		Moving: movingOf(w, costs, totals, in.Currency), Held: w.held,
		Covered: fraction(w.covered), Unmoved: in.Currency.Round(held), YearlyDrift: w.yearlyDrift(),
	}
	o.Figures = figuresOf(in, totals)
	o.OtherDrift = figuresOf(in, otherwise)
	return o, nil
}

// complete puts the defaults in and refuses what cannot be assessed.
func (in *Input) complete() error {
	one := exact.Int(1)
	if in.Paths == 0 {
		in.Paths = DefaultPaths
	}
	if in.Level.IsZero() {
		in.Level = DefaultLevel()
	}
	switch {
	case !in.Event.After(in.Today):
		return fmt.Errorf("the event on %s is not after %s; risk looks ahead only", in.Event, in.Today)
	case in.Net.Sign() <= 0:
		return errors.New("the order has no net price, so it has no margin to watch; give it a price")
	case in.Floor.Sign() < 0 || in.Floor.Cmp(one) >= 0:
		return fmt.Errorf("the floor margin %s must be from 0 to below 1", in.Floor.Fixed(places))
	case in.TaxRate.Sign() < 0:
		return fmt.Errorf("the tax rate %s must not be below 0", in.TaxRate.Fixed(places))
	case in.Paths < minPaths || in.Paths > MaxPaths:
		return fmt.Errorf("%d paths: draw from %d to %d", in.Paths, minPaths, MaxPaths)
	case in.Level.Sign() < 0 || in.Level.Cmp(one) >= 0:
		return fmt.Errorf("the chance %s to bring the risk to must be above 0 and below 1", in.Level.Fixed(places))
	case in.Level.Mul(exact.Int(int64(in.Paths))).Cmp(exact.Int(minTail)) < 0:
		return fmt.Errorf("a chance of %s is told from fewer than %d of %d paths; draw more paths or take a greater chance", in.Level.Fixed(places), minTail, in.Paths)
	}
	for _, l := range in.Bill {
		rate, err := in.Rates.Of(l.Resource, l.Kind)
		if err != nil {
			return err
		}
		if rate.Unit != l.Unit {
			return fmt.Errorf("the order counts %s in %s, the book now prices it by %s; revise the quote", l.Resource, l.Unit, rate.Unit)
		}
	}
	return nil
}

const (
	minPaths = 1000 // so that 2.5 % of them are 25
	minTail  = 10   // paths beyond the level, or its chance is noise
	places   = 4    // of printed fractions
)

func (in Input) block(months int) (int, error) {
	switch {
	case in.Block == 0:
		return blockFor(months), nil
	case in.Block < 1 || in.Block > months:
		return 0, fmt.Errorf("a block of %d months: take from 1 to the %d months of the history", in.Block, months)
	}
	return in.Block, nil
}

// totalsOf adds up the cost of each path.
func totalsOf(costs [][]float64, held float64) ([]float64, error) {
	totals := make([]float64, len(costs[0]))
	for path := range totals {
		totals[path] = held
	}
	for _, resource := range costs {
		for path, c := range resource {
			totals[path] += c
		}
	}
	if math.IsInf(slices.Max(totals), 1) {
		return nil, errors.New("the history holds leaps too great to reckon with; look for a price with a wrong pack or point and correct it")
	}
	return totals, nil
}

// movingOf returns what each price that moves does.
func movingOf(w window, costs [][]float64, totals []float64, cur money.Currency) []Moving {
	mean, variance := stat.MeanVariance(totals, nil)
	list := make([]Moving, len(w.goods))
	for i, g := range w.goods {
		drift, spread := stat.MeanStdDev(g.changes, nil)
		list[i] = Moving{
			Resource: g.id, Name: g.name, Cost: cur.Round(g.cost),
			YearlyDrift: rounded(math.Expm1(12 * drift)), Spread: rounded(spread),
		}
		// What is left of a constant history is the noise of float64.
		if noise := 1e-9 * mean; variance > noise*noise {
			list[i].Variance = rounded(stat.Covariance(costs[i], totals, nil) / variance)
		}
	}
	slices.SortStableFunc(list, func(a, b Moving) int {
		return cmp.Or(b.Variance.Cmp(a.Variance), b.Cost.Cmp(a.Cost), cmp.Compare(a.Resource, b.Resource))
	})
	return list
}

// figuresOf returns the distribution, the chance and the surcharge. It sorts
// totals.
func figuresOf(in Input, totals []float64) Figures {
	var f Figures
	f.Mean = amount(in.Currency, stat.Mean(totals, nil))
	slices.Sort(totals)
	at := func(p float64) money.Amount {
		return amount(in.Currency, stat.Quantile(p, stat.Empirical, totals, nil))
	}
	median := fromFloat(stat.Quantile(0.5, stat.Empirical, totals, nil))
	f.Median, f.Band80, f.Band95 = in.Currency.Round(median), Band{at(0.1), at(0.9)}, Band{at(0.025), at(0.975)}
	margin, _ := pricing.Margin(in.Net, median)
	f.MedianMargin = fraction(margin)

	afford := exact.Int(1).Sub(in.Floor)
	// A cost that meets the floor exactly is not below it, whatever the noise
	// of float64 in the last of its digits.
	limit := float(in.Net.Mul(afford)) * (1 + 1e-12)
	met, _ := slices.BinarySearchFunc(totals, limit, func(total, limit float64) int {
		if total <= limit {
			return -1
		}
		return 1
	})
	chance := float64(len(totals)-met) / float64(len(totals))
	f.Chance, f.ChanceError = rounded(chance), rounded(math.Sqrt(chance*(1-chance)/float64(len(totals))))

	needed := exact.Number{}
	if over := int64(len(totals) - met); exact.Int(over).Cmp(in.Level.Mul(exact.Int(int64(len(totals))))) > 0 {
		cost := stat.Quantile(float(exact.Int(1).Sub(in.Level)), stat.Empirical, totals, nil)
		needed = exact.Max(needed, fromFloat(cost).Quo(afford).Sub(in.Net))
	}
	f.Surcharge = roundUp(in.Currency, needed)
	f.SurchargeShown = roundUp(in.Currency, needed.Mul(exact.Int(1).Add(in.TaxRate)))
	f.SurchargeOfPrice = fraction(needed.Quo(in.Net))
	return f
}
