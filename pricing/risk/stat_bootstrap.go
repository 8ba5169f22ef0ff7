package risk

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// plan is how much is drawn.
type plan struct {
	ahead int // months to the event
	block int // months
	paths int
}

// blockFor returns the length of a block for a window: the least L with L³ at
// or above its months, and at least 3.
func blockFor(months int) int {
	length := 3
	for length*length*length < months {
		length++
	}
	return length
}

// changesIn returns the changes of each month of the window, one for each
// price, with the mean of each price taken off unless drift is kept.
func changesIn(w window, keepDrift bool) [][]float64 {
	byMonth := make([][]float64, w.months)
	for m := range byMonth {
		byMonth[m] = make([]float64, len(w.goods))
	}
	for i, g := range w.goods {
		mean := 0.0
		if !keepDrift {
			mean = stat.Mean(g.changes, nil)
		}
		for m, change := range g.changes {
			byMonth[m][i] = change - mean
		}
	}
	return byMonth
}

// futures draws paths: for each price its cost on the event date, weight ×
// exp(sum of the changes drawn), on every path. The months drawn are the same
// for all prices of a path.
func futures(rng *rand.Rand, changes [][]float64, p plan, weights []float64) [][]float64 {
	whole, last := blockSums(changes, p.block), blockSums(changes, p.ahead%p.block)
	costs := make([][]float64, len(weights))
	for i := range costs {
		costs[i] = make([]float64, p.paths)
	}
	sums := make([]float64, len(weights))
	for path := range p.paths {
		clear(sums)
		for range p.ahead / p.block {
			floats.Add(sums, whole[rng.IntN(len(changes))])
		}
		if p.ahead%p.block > 0 {
			floats.Add(sums, last[rng.IntN(len(changes))])
		}
		for i, s := range sums {
			costs[i][path] = weights[i] * math.Exp(s)
		}
	}
	return costs
}

// blockSums returns, for every month that a block of a length may start with,
// the sums of the changes of its months. Blocks run round from the end of the
// window to its beginning.
func blockSums(changes [][]float64, length int) [][]float64 {
	sums := make([][]float64, len(changes))
	for start := range changes {
		sums[start] = make([]float64, len(changes[start]))
		for k := range length {
			floats.Add(sums[start], changes[(start+k)%len(changes)])
		}
	}
	return sums
}
