package exact

import (
	"math/big"

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
	num := new(big.Int).Abs(r.Num())
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil)
	num.Mul(num, scale)
	// Half away from zero is floor(|n| + 1/2): (2·num + den) ÷ (2·den).
	den := r.Denom()
	num.Lsh(num, 1).Add(num, den)
	q := num.Quo(num, new(big.Int).Lsh(den, 1))
	if r.Sign() < 0 {
		q.Neg(q)
	}
	return decimal.NewFromBigInt(q, -places)
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
