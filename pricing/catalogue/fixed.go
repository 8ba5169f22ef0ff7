package catalogue

import (
	"math/big"
	"math/bits"

	"marchpane/pricing/exact"
)

// u128 is an unsigned 128-bit integer.
type u128 struct{ hi, lo uint64 }

func product(a, b uint64) u128 {
	hi, lo := bits.Mul64(a, b)
	return u128{hi, lo}
}

// add returns u + v and whether it fits.
func (u u128) add(v u128) (u128, bool) {
	lo, carry := bits.Add64(u.lo, v.lo, 0)
	hi, over := bits.Add64(u.hi, v.hi, carry)
	return u128{hi, lo}, over == 0
}

// sub returns u − v, for v ≤ u.
func (u u128) sub(v u128) u128 {
	lo, borrow := bits.Sub64(u.lo, v.lo, 0)
	hi, _ := bits.Sub64(u.hi, v.hi, borrow)
	return u128{hi, lo}
}

// quo returns ⌊u ÷ d⌋ and whether it fits 64 bits.
func (u u128) quo(d uint64) (uint64, bool) {
	if u.hi >= d {
		return 0, false
	}
	q, _ := bits.Div64(u.hi, u.lo, d)
	return q, true
}

// shift returns ⌊u ÷ 2^n⌋, for n of 1 to 127.
func (u u128) shift(n uint) u128 {
	if n >= 64 {
		return u128{0, u.hi >> (n - 64)}
	}
	return u128{u.hi >> n, u.lo>>n | u.hi<<(64-n)}
}

// power returns 2^n, for n of 0 to 127.
func power(n uint) u128 {
	if n >= 64 {
		return u128{1 << (n - 64), 0}
	}
	return u128{0, 1 << n}
}

func (u u128) big() *big.Int {
	b := new(big.Int).SetUint64(u.hi)
	return b.Lsh(b, 64).Add(b, new(big.Int).SetUint64(u.lo))
}

// keptPlaces is the scale to which a cost is cut before it is rounded for
// print: it leaves room for costs up to 184,000.
const keptPlaces = 14

// rounded returns a cost in steps of 10^-scale rounded to places decimals, and
// whether an error of at most slack steps leaves it no other choice.
func (u u128) rounded(scale, places int32, slack uint64) (uint64, bool) {
	cut := stepOf(scale - keptPlaces)
	kept, fits := u.quo(cut)
	slack = sumOrMost(slack/cut, 2) // and what was cut off
	step := stepOf(keptPlaces - places)
	whole, part, half := kept/step, kept%step, step/2
	switch {
	case !fits:
		return 0, false
	case part < half && half-part > slack:
		return whole, true
	case part > half && part-half > slack:
		return whole + 1, true
	}
	return 0, false
}

// fixed returns n in steps of 10^-scale, rounded to nearest, and whether n is
// not negative and fits 64 bits.
func fixed(n exact.Number, scale int32) (uint64, bool) {
	if n.Sign() < 0 {
		return 0, false
	}
	steps := n.Round(scale).Shift(scale).BigInt()
	if !steps.IsUint64() {
		return 0, false
	}
	return steps.Uint64(), true
}
