package naive

import (
	"fmt"
	"math/big"
	"strings"
)

var (
	zero = whole(0)
	one  = whole(1)

	// The two irrational numbers, at the digits the page gives them.
	pi    = decimal("3.14159265358979323846264338327950288")
	sqrt3 = decimal("1.73205080756887729352744634150587237")
)

func whole(n int) *big.Rat       { return new(big.Rat).SetInt64(int64(n)) }
func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func div(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

func add(terms ...*big.Rat) *big.Rat {
	sum := new(big.Rat)
	for _, t := range terms {
		sum.Add(sum, t)
	}
	return sum
}

func mul(factors ...*big.Rat) *big.Rat {
	product := whole(1)
	for _, f := range factors {
		product.Mul(product, f)
	}
	return product
}

func larger(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) >= 0 {
		return a
	}
	return b
}

// floor returns the whole number at or below x.
func floor(x *big.Rat) *big.Rat {
	// Int.Div rounds towards minus infinity for the positive denominators of a Rat.
	return new(big.Rat).SetInt(new(big.Int).Div(x.Num(), x.Denom()))
}

func ceil(x *big.Rat) *big.Rat { return new(big.Rat).Neg(floor(new(big.Rat).Neg(x))) }

// round returns x at the given decimals, halves away from zero.
func round(x *big.Rat, decimals int) *big.Rat {
	scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(decimals)), nil))
	size := div(floor(add(mul(new(big.Rat).Abs(x), scale), div(one, whole(2)))), scale)
	if x.Sign() < 0 {
		return size.Neg(size)
	}
	return size
}

// text prints x rounded to the given decimals; nothing prints as minus zero.
func text(x *big.Rat, decimals int) string { return round(x, decimals).FloatString(decimals) }

// decimal reads a plain decimal; an absent one is an error.
func decimal(s string) *big.Rat {
	x, ok := new(big.Rat).SetString(s)
	if !ok || strings.ContainsAny(s, "/eE+-_xXpP") {
		panic(fmt.Errorf("naive: %q is no plain decimal", s))
	}
	return x
}

// decimalOr reads a plain decimal, or the fallback where none is given.
func decimalOr(s, fallback string) *big.Rat {
	if s == "" {
		return decimal(fallback)
	}
	return decimal(s)
}

// percent reads "12.5 %" as 0.125.
func percent(s string) *big.Rat {
	number, ok := strings.CutSuffix(s, " %")
	if !ok {
		panic(fmt.Errorf("naive: %q is no percentage", s))
	}
	return div(decimal(number), whole(100))
}

// percentOr reads a percentage, or the fallback where none is given.
func percentOr(s, fallback string) *big.Rat {
	if s == "" {
		return percent(fallback)
	}
	return percent(s)
}

// catch turns a panic with an error into that error.
func catch(err *error) {
	switch r := recover().(type) {
	case nil:
	case error:
		*err = r
	default:
		panic(r)
	}
}
