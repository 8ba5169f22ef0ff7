package exact

import (
	"cmp"
	"fmt"
	"math/big"
	"strings"

	"github.com/shopspring/decimal"
)

// Number is an exact rational number. The zero value is 0. Numbers are
// values: no method changes its receiver.
type Number struct {
	rat *big.Rat // nil means 0; never written after it is stored
}

// Pi is π to 35 places, the figure by which every round measure is taken.
func Pi() Number { return pi }

// Sqrt3 is √3 to 35 places, for hexagons.
func Sqrt3() Number { return sqrt3 }

var (
	pi    = Must("3.14159265358979323846264338327950288")
	sqrt3 = Must("1.73205080756887729352744634150587237")
	zero  = new(big.Rat)
)

// Int returns n as a Number.
func Int(n int64) Number {
	if n >= 0 && n < int64(len(smallInts)) {
		return smallInts[n]
	}
	return Number{new(big.Rat).SetInt64(n)}
}

// The numbers and powers of ten that are asked for all the time, made once:
// nobody writes to them.
var (
	smallInts = made(101, func(n int64) Number { return Number{new(big.Rat).SetInt64(n)} })
	tens      = made(41, func(n int64) *big.Int { return new(big.Int).Exp(big.NewInt(10), big.NewInt(n), nil) })
)

func made[T any](n int, one func(int64) T) []T {
	list := make([]T, n)
	for i := range list {
		list[i] = one(int64(i))
	}
	return list
}

// ten returns 10 to the power n, for reading alone.
func ten(n int64) *big.Int {
	if n >= 0 && n < int64(len(tens)) {
		return tens[n]
	}
	return new(big.Int).Exp(big.NewInt(10), big.NewInt(n), nil)
}

// Frac returns the fraction n ÷ d. It panics if d is 0.
func Frac(n, d int64) Number { return Number{big.NewRat(n, d)} }

// FromDecimal returns d as a Number.
func FromDecimal(d decimal.Decimal) Number {
	r := new(big.Rat).SetInt(d.Coefficient())
	exp := d.Exponent()
	if exp == 0 {
		return Number{r}
	}
	scale := ten(abs(int64(exp)))
	if exp > 0 {
		return Number{r.Mul(r, new(big.Rat).SetInt(scale))}
	}
	return Number{r.SetFrac(r.Num(), scale)}
}

// Must reads a plain decimal or a fraction such as "1/60" and panics if it is
// neither. It is for constants in code; users' figures are read by package
// measure and package money.
func Must(s string) Number {
	n, ok := FromText(s)
	if !ok {
		panic("exact: not a number: " + s)
	}
	return n
}

// FromText reads what [Number.Text] wrote: a fraction "n/d", a whole number or
// a plain decimal.
func FromText(s string) (Number, bool) {
	if len(s) > maxText {
		return Number{}, false
	}
	for _, c := range s {
		// SetString would also take exponents, signs and other bases.
		if (c < '0' || c > '9') && c != '.' && c != '/' && c != '-' {
			return Number{}, false
		}
	}
	n, d, fraction := strings.Cut(s, "/")
	if !fraction {
		r, ok := new(big.Rat).SetString(s)
		return Number{r}, ok
	}
	// Rat.SetString would take the 0 of 010/3 for the mark of an octal number.
	num, okN := new(big.Int).SetString(n, 10)
	den, okD := new(big.Int).SetString(d, 10)
	if !okN || !okD || den.Sign() <= 0 {
		return Number{}, false
	}
	return Number{new(big.Rat).SetFrac(num, den)}, true
}

// maxText bounds what [FromText] reads; the cost of an order of thousands of
// ingredients has some ten thousand digits.
const maxText = 1 << 20

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}

func (n Number) get() *big.Rat {
	if n.rat == nil {
		return zero
	}
	return n.rat
}

// Add returns n + m.
func (n Number) Add(m Number) Number {
	switch {
	case n.IsZero():
		return m
	case m.IsZero():
		return n
	}
	return Number{new(big.Rat).Add(n.rat, m.rat)}
}

// Sub returns n − m.
func (n Number) Sub(m Number) Number {
	switch {
	case m.IsZero():
		return n
	case n.IsZero():
		return m.Neg()
	}
	return Number{new(big.Rat).Sub(n.rat, m.rat)}
}

// Neg returns −n.
func (n Number) Neg() Number {
	if n.IsZero() {
		return n
	}
	return Number{new(big.Rat).Neg(n.rat)}
}

// Mul returns n × m.
func (n Number) Mul(m Number) Number {
	switch {
	case n.IsZero() || m.IsZero():
		return Number{}
	case n.isOne():
		return m
	case m.isOne():
		return n
	}
	return Number{new(big.Rat).Mul(n.rat, m.rat)}
}

// Quo returns n ÷ m. It panics if m is 0: a caller checks first, because only
// it knows which figure of whose is missing.
func (n Number) Quo(m Number) Number {
	if m.IsZero() {
		panic("exact: division by zero")
	}
	if n.IsZero() || m.isOne() {
		return n
	}
	return Number{new(big.Rat).Quo(n.rat, m.rat)}
}

// Max returns the greater of n and m.
func Max(n, m Number) Number {
	if n.Cmp(m) < 0 {
		return m
	}
	return n
}

// Cmp returns −1, 0 or 1 as n is less than, equal to or greater than m.
func (n Number) Cmp(m Number) int {
	a, b := n.get(), m.get()
	sign := a.Sign()
	switch other := b.Sign(); {
	case sign != other:
		return cmp.Compare(sign, other)
	case sign == 0:
		return 0
	case a.IsInt() && b.IsInt():
		return a.Num().Cmp(b.Num())
	}
	// a/b and c/d compare as a·d and c·b, and a product has as many bits as its
	// factors together or one fewer: mostly that says it, and no product is made.
	ad, cb := a.Num().BitLen()+denomBits(b), b.Num().BitLen()+denomBits(a)
	switch {
	case ad-1 > cb:
		return sign
	case cb-1 > ad:
		return -sign
	}
	return a.Cmp(b)
}

// denomBits is how many bits a denominator has.
func denomBits(r *big.Rat) int {
	if r.IsInt() {
		return 1 // to ask for it would make one
	}
	return r.Denom().BitLen()
}

// Equal reports whether n and m are the same number.
func (n Number) Equal(m Number) bool { return n.Cmp(m) == 0 }

// Sign returns −1, 0 or 1.
func (n Number) Sign() int { return n.get().Sign() }

// IsZero reports whether n is 0.
func (n Number) IsZero() bool { return n.rat == nil || n.rat.Sign() == 0 }

func (n Number) isOne() bool {
	return n.rat.IsInt() && n.rat.Num().IsInt64() && n.rat.Num().Int64() == 1
}

// Rat returns n as a new big.Rat.
func (n Number) Rat() *big.Rat { return new(big.Rat).Set(n.get()) }

// Text returns n as an exact fraction in lowest terms, "n/d", or as a whole
// number where d is 1. [FromText] reads it back.
func (n Number) Text() string { return n.get().RatString() }

// MarshalText writes n as [Number.Text] does.
func (n Number) MarshalText() ([]byte, error) { return []byte(n.Text()), nil }

// UnmarshalText reads n as [FromText] does.
func (n *Number) UnmarshalText(text []byte) error {
	read, ok := FromText(string(text))
	if !ok {
		return fmt.Errorf("%.40q is no exact number", text)
	}
	*n = read
	return nil
}
