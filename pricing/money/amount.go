package money

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Amount is money that can be paid: a whole number of minor units of one
// currency. The zero Amount is 0 of any currency.
type Amount struct {
	figure decimal.Decimal
	places int32
}

// Add returns a + b. Both are of one currency; the program knows no other
// case, since a studio keeps its book in one.
func (a Amount) Add(b Amount) Amount {
	return Amount{a.figure.Add(b.figure), max(a.places, b.places)}
}

// Sub returns a − b.
func (a Amount) Sub(b Amount) Amount { return a.Add(b.Neg()) }

// Neg returns −a.
func (a Amount) Neg() Amount { return Amount{a.figure.Neg(), a.places} }

// Abs returns a without its sign.
func Abs(a Amount) Amount { return Amount{a.figure.Abs(), a.places} }

// Times returns a × n.
func (a Amount) Times(n int) Amount {
	return Amount{a.figure.Mul(decimal.NewFromInt(int64(n))), a.places}
}

// Number returns a as an exact number.
func (a Amount) Number() exact.Number { return exact.FromDecimal(a.figure) }

// Decimal returns a as a decimal.
func (a Amount) Decimal() decimal.Decimal { return a.figure }

// Sign returns −1, 0 or 1.
func (a Amount) Sign() int { return a.figure.Sign() }

// IsZero reports whether a is 0.
func (a Amount) IsZero() bool { return a.figure.IsZero() }

// Cmp compares a and b as numbers.
func (a Amount) Cmp(b Amount) int { return a.figure.Cmp(b.figure) }

// Equal reports whether a and b are the same sum of money.
func (a Amount) Equal(b Amount) bool { return a.figure.Equal(b.figure) }

// String prints a with all the places of its minor unit: "540.00".
func (a Amount) String() string { return a.figure.StringFixed(a.places) }

// Sum adds up amounts.
func Sum(amounts ...Amount) Amount {
	var total Amount
	for _, a := range amounts {
		total = total.Add(a)
	}
	return total
}

// Apportion rounds values so that they add up to total, as the package comment
// says. The values' own sum must lie within rounding of total; a negative
// total wants values of its own sign.
func Apportion(total Amount, values []exact.Number) []Amount {
	shares := make([]Amount, len(values))
	remainders := make([]exact.Rest, len(values))
	left := total.figure
	for i, v := range values {
		shares[i].figure, remainders[i] = v.Down(total.places)
		shares[i].places = total.places
		left = left.Sub(shares[i].figure)
	}
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return remainders[j].Cmp(remainders[i]) })
	step := decimal.New(1, -total.places)
	for _, i := range order {
		if left.Sign() <= 0 {
			break
		}
		shares[i].figure = shares[i].figure.Add(step)
		left = left.Sub(step)
	}
	return shares
}

// Share divides total among lines in proportion to weights, to the minor unit,
// the shares adding up to total. Where all weights are 0 the first line takes
// it all. Equal remainders go to the earlier line, whatever total's sign.
func Share(total Amount, weights []exact.Number) []Amount {
	if len(weights) == 0 {
		return nil
	}
	if total.Sign() < 0 {
		shares := Share(total.Neg(), weights)
		for i := range shares {
			shares[i] = shares[i].Neg()
		}
		return shares
	}
	sum := exact.Sum(weights...)
	if sum.IsZero() {
		shares := make([]Amount, len(weights))
		shares[0] = total
		return shares
	}
	values := make([]exact.Number, len(weights))
	for i, w := range weights {
		values[i] = total.Number().Mul(w).Quo(sum)
	}
	return Apportion(total, values)
}

// Price is a figure of money as it was typed, which may be finer than the
// minor unit: 0.0044 a gram.
type Price struct {
	figure decimal.Decimal
}

// ParsePrice reads a plain decimal such as "25.25".
func ParsePrice(s string) (Price, error) {
	d, err := measure.Number(s)
	return Price{d}, err
}

// PriceOf returns d as a price.
func PriceOf(d decimal.Decimal) Price { return Price{d} }

// Number returns p as an exact number.
func (p Price) Number() exact.Number { return exact.FromDecimal(p.figure) }

// Decimal returns p as a decimal.
func (p Price) Decimal() decimal.Decimal { return p.figure }

// IsZero reports whether p is 0.
func (p Price) IsZero() bool { return p.figure.IsZero() }

// String returns p with the digits it was typed with.
func (p Price) String() string { return measure.Plain(p.figure) }

// MinorUnits returns a as a count of minor units: 5.40 is 540.
func (a Amount) MinorUnits() *big.Int { return a.figure.Shift(a.places).BigInt() }

// MarshalText writes p as [Price.String] does.
func (p Price) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads p as [ParsePrice] does.
func (p *Price) UnmarshalText(text []byte) (err error) {
	*p, err = ParsePrice(string(text))
	return err
}

// MarshalText writes a as [Amount.String] does.
func (a Amount) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what MarshalText wrote: a decimal, with a minus sign
// where it is below 0, whose places are those of the currency.
func (a *Amount) UnmarshalText(text []byte) error {
	if strings.Trim(string(text), "-.0123456789") != "" {
		return fmt.Errorf("%.40q is no amount of money", text)
	}
	d, err := decimal.NewFromString(string(text))
	if err != nil {
		return fmt.Errorf("%.40q is no amount of money", text)
	}
	*a = Amount{d, max(0, -d.Exponent())}
	return nil
}
