package exact

import (
	"math"
	"math/big"
	"math/bits"

	"github.com/shopspring/decimal"
)

// Floor returns the greatest whole number that is not above n.
func (n Number) Floor() *big.Int {
	r := n.get()
	// Euclidean division floors for a positive divisor, and a denominator is
	// always positive.
	return new(big.Int).Div(r.Num(), r.Denom())
}

// Ceil returns the least whole number that is not below n.
func (n Number) Ceil() *big.Int {
	return new(big.Int).Neg(n.Neg().Floor())
}

// FromBig returns the whole number i as a Number.
func FromBig(i *big.Int) Number { return Number{new(big.Rat).SetInt(i)} }

// Round returns n rounded to places decimals, half away from zero.
func (n Number) Round(places int32) decimal.Decimal {
	r := n.get()
	num := new(big.Int).Mul(r.Num(), ten(int64(places)))
	if r.IsInt() {
		return fromBig(num, places)
	}
	negative := num.Sign() < 0
	// Half away from zero is floor(|n| + 1/2): up where twice the rest is no less
	// than the denominator.
	den := r.Denom()
	q, rest := num.QuoRem(num.Abs(num), den, new(big.Int))
	if rest.Lsh(rest, 1).Cmp(den) >= 0 {
		q.Add(q, oneInt)
	}
	if negative {
		q.Neg(q)
	}
	return fromBig(q, places)
}

var oneInt = big.NewInt(1)

// fromBig returns i ÷ 10^places.
func fromBig(i *big.Int, places int32) decimal.Decimal {
	if i.IsInt64() {
		return decimal.New(i.Int64(), -places) // which copies less
	}
	return decimal.NewFromBigInt(i, -places)
}

// Down returns n rounded down to places decimals, and what is left over. Down
// and what is left over add up to n.
func (n Number) Down(places int32) (decimal.Decimal, Rest) {
	r := n.get()
	down, rest := new(big.Int).Mul(r.Num(), ten(int64(places))), new(big.Int)
	if r.IsInt() {
		return fromBig(down, places), Rest{rest, oneInt, 0}
	}
	den := r.Denom()
	down.DivMod(down, den, rest)
	return fromBig(down, places), Rest{rest, den, near(rest, den)}
}

// Rest is what rounding left over, as a share of the last place: from 0 to below
// 1. It is for comparing alone.
type Rest struct {
	num, den *big.Int
	near     uint64 // num ÷ den in steps of 2⁻⁶⁴, at most nearSlack off
}

// nearSlack is the error that [near] stays well below.
const nearSlack = 8

// near returns num ÷ den, which is below 1, in steps of 2⁻⁶⁴. Of both it takes
// the bits at the places of the first 64 of den; what is cut off is less than one
// of 2⁶³ and more, which moves the quotient by less than 2⁻⁶².
func near(num, den *big.Int) uint64 {
	cut := den.BitLen() - 64
	n, d := bitsFrom(num, cut), bitsFrom(den, cut)
	if n >= d {
		return math.MaxUint64
	}
	q, _ := bits.Div64(n, 0, d)
	return q
}

// bitsFrom returns 64 bits of a number that is not negative, the lowest of them
// that of 2^from; those below 2⁰ are 0.
func bitsFrom(i *big.Int, from int) uint64 {
	if from <= 0 {
		return i.Uint64() << -from
	}
	if bits.UintSize == 32 {
		return new(big.Int).Rsh(i, uint(from)).Uint64()
	}
	words := i.Bits()
	var low, high uint64
	if at := from / bits.UintSize; at < len(words) {
		low = uint64(words[at])
		if at+1 < len(words) {
			high = uint64(words[at+1])
		}
	}
	shift := from % 64
	return low>>shift | high<<(64-shift)
}

// Cmp returns −1, 0 or 1 as a is less than, equal to or greater than b.
func (a Rest) Cmp(b Rest) int {
	switch {
	case a.near > b.near && a.near-b.near > 2*nearSlack:
		return 1
	case b.near > a.near && b.near-a.near > 2*nearSlack:
		return -1
	case a.den.Cmp(b.den) == 0:
		return a.num.Cmp(b.num)
	}
	return new(big.Int).Mul(a.num, b.den).Cmp(new(big.Int).Mul(b.num, a.den))
}

// RoundUpTo returns the least multiple of step that is not below n. A multiple
// stays as it is. step must be above 0.
func (n Number) RoundUpTo(step Number) Number {
	return FromBig(n.Quo(step).Ceil()).Mul(step)
}

// Fixed prints n with exactly places decimals, rounded half away from zero.
func (n Number) Fixed(places int32) string {
	return n.Round(places).StringFixed(places)
}
