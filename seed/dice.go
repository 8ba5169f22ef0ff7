package seed

import (
	"math/bits"
	"math/rand/v2"
)

// dice decides what chance decides in the demo year. The generator and its
// seed are fixed, and the mapping to a range is our own, so that the year is
// the same with every release of the language.
type dice struct{ from *rand.PCG }

// fixed is the seed of the demo year.
const fixed = 0x5175_696c_6c77_6f72

// newDice returns dice of their own for each stream: one more throw for one
// order changes no other order.
func newDice(stream int) dice { return dice{rand.NewPCG(fixed, uint64(stream))} }

// below returns 0 to n−1.
func (d dice) below(n int) int {
	high, _ := bits.Mul64(d.from.Uint64(), uint64(n))
	return int(high)
}

// between returns from to to, both included.
func (d dice) between(from, to int) int { return from + d.below(to-from+1) }

// chance is true so many times in a hundred.
func (d dice) chance(percent int) bool { return d.below(100) < percent }

// minute returns a minute of the day from one hour to before another.
func (d dice) minute(from, to int) int { return d.between(from*60, to*60-1) }

// pick returns one of list.
func pick[T any](d dice, list []T) T { return list[d.below(len(list))] }

// share is a thing and how often it is drawn.
type share[T any] struct {
	weight int
	of     T
}

// draw returns one of list by weight.
func draw[T any](d dice, list []share[T]) T {
	sum := 0
	for _, s := range list {
		sum += s.weight
	}
	at := d.below(sum)
	for _, s := range list {
		if at -= s.weight; at < 0 {
			return s.of
		}
	}
	return list[len(list)-1].of
}
