package money_test

import (
	"encoding/json"
	"math/big"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// The first two rows are joint costs of Saylor, Managerial Accounting (2012),
// section 7.10, by quantity and by sales value (read); the third is its review
// problem, which rounds to the dollar (read). The others are worked by hand.
func TestShare(t *testing.T) {
	for _, c := range []struct {
		currency, total string
		weights         []string
		want            string
	}{
		{"USD", "250000", []string{"600000", "200000"}, "187500.00 62500.00"},
		{"USD", "250000", []string{"240000", "60000"}, "200000.00 50000.00"},
		{"JPY", "4000", []string{"2400", "3500"}, "1627 2373"},
		{"EUR", "10.00", []string{"1", "1", "1"}, "3.34 3.33 3.33"},
		{"EUR", "-10.00", []string{"1", "1", "1"}, "-3.34 -3.33 -3.33"}, // ties go to the earlier, whatever the sign
		{"EUR", "0.05", []string{"1", "1"}, "0.03 0.02"},
		{"EUR", "-0.05", []string{"1", "1"}, "-0.03 -0.02"},
		{"EUR", "1.00", []string{"1", "2"}, "0.33 0.67"}, // largest remainder: 66.67 over 33.33
		{"EUR", "-1.00", []string{"1", "2"}, "-0.33 -0.67"},
		{"EUR", "0.01", []string{"1", "1", "1", "1"}, "0.01 0.00 0.00 0.00"},
		{"EUR", "0.00", []string{"1", "5"}, "0.00 0.00"},
		{"EUR", "7.77", []string{"3"}, "7.77"},
		{"EUR", "7.77", []string{"0", "3"}, "0.00 7.77"},
		{"KWD", "1.000", []string{"1", "1", "1"}, "0.334 0.333 0.333"},
		{"JPY", "100", []string{"1", "1", "1"}, "34 33 33"},
	} {
		cur := currency(t, c.currency)
		total := cur.Amount(decimal.RequireFromString(c.total))
		weights := make([]exact.Number, len(c.weights))
		for i, w := range c.weights {
			weights[i] = exact.Must(w)
		}
		got := make([]string, len(weights))
		for i, a := range money.Share(total, weights) {
			got[i] = a.String()
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("Share(%s %s, %v) = %s, want %s", c.total, c.currency, c.weights, got, c.want)
		}
	}
	if got := money.Share(currency(t, "EUR").Round(exact.Int(5)), nil); got != nil {
		t.Errorf("Share(5.00, none) = %v, want none", got)
	}
}

// Where nothing has a weight the first line takes it all, and the others show
// their places.
func TestShareWithoutWeights(t *testing.T) {
	got := money.Share(currency(t, "EUR").Round(exact.Int(5)), make([]exact.Number, 2))
	if len(got) != 2 || got[0].String() != "5.00" || !got[1].IsZero() {
		t.Errorf("Share(5.00, [0 0]) = %v, want 5.00 and 0.00", got)
	}
}

// TestShareLaw checks conservation, that no share is a minor unit or more away
// from its exact one, and that leftover units sit on the largest remainders.
func TestShareLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cur := draw(t)
		minor := rapid.Int64Range(-1e9, 1e9).Draw(t, "minor units")
		total := cur.Amount(decimal.New(minor, -cur.Places()))
		weights := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) exact.Number {
			return exact.Frac(rapid.Int64Range(0, 1000).Draw(t, "num"), rapid.Int64Range(1, 9).Draw(t, "den"))
		}), 1, 12).Draw(t, "weights")
		shares := money.Share(total, weights)
		if sum := money.Sum(shares...); !sum.Equal(total) || len(shares) != len(weights) {
			t.Fatalf("Share(%s, %d weights) adds up to %s", total, len(weights), sum)
		}
		weight := exact.Sum(weights...)
		if weight.IsZero() {
			return
		}
		checkRemainders(t, total, cur, shares, func(i int) exact.Number { return total.Number().Mul(weights[i]).Quo(weight) })
	})
}

// TestApportionLaw checks the same of values that add up to a rounded total.
func TestApportionLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cur := draw(t)
		values := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) exact.Number {
			return exact.Frac(rapid.Int64Range(0, 1e7).Draw(t, "num"), rapid.Int64Range(1, 700).Draw(t, "den"))
		}), 1, 12).Draw(t, "values")
		total := cur.Round(exact.Sum(values...))
		shares := money.Apportion(total, values)
		if sum := money.Sum(shares...); !sum.Equal(total) {
			t.Fatalf("Apportion(%s, %d values) adds up to %s", total, len(values), sum)
		}
		checkRemainders(t, total, cur, shares, func(i int) exact.Number { return values[i] })
	})
}

func draw(t *rapid.T) money.Currency {
	c, err := money.ParseCurrency(rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(t, "currency"))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func checkRemainders(t *rapid.T, total money.Amount, cur money.Currency, shares []money.Amount, value func(i int) exact.Number) {
	unit := exact.FromDecimal(decimal.New(1, -cur.Places()))
	over := func(i int) exact.Number { // of a share above its exact value, in minor units and without the sign
		d := shares[i].Number().Sub(value(i)).Quo(unit)
		if total.Sign() < 0 {
			return d.Neg()
		}
		return d
	}
	for i := range shares {
		if !shares[i].Number().Quo(unit).Rat().IsInt() || over(i).Rat().Cmp(big.NewRat(1, 1)) >= 0 || over(i).Rat().Cmp(big.NewRat(-1, 1)) <= 0 {
			t.Fatalf("share %d of %s is %s for %s", i, total, shares[i], value(i).Text())
		}
		for j := range shares {
			// i was rounded up and j was not: i must have the larger remainder, or the same and stand first.
			up, down := over(i), over(j)
			if up.Sign() > 0 && down.Sign() <= 0 {
				remainder := func(up exact.Number, raised bool) exact.Number {
					if raised {
						return exact.Int(1).Sub(up)
					}
					return up.Neg()
				}
				switch remainder(up, true).Cmp(remainder(down, false)) {
				case -1:
					t.Fatalf("of %s a minor unit went to share %d, though share %d has the larger remainder", total, i, j)
				case 0:
					if i > j {
						t.Fatalf("of %s a minor unit went to share %d, though share %d is equal and earlier", total, i, j)
					}
				}
			}
		}
	}
}

func TestAmountText(t *testing.T) {
	for _, s := range []string{"540.00", "-27.00", "0.00", "0", "1234", "0.005", "-0.001", "999999999999999.99"} {
		var a money.Amount
		if err := json.Unmarshal([]byte(`"`+s+`"`), &a); err != nil || a.String() != s {
			t.Errorf("Amount of %s reads as %s, %v", s, a, err)
		}
	}
	for _, s := range []string{"", "-", "--5", "+5", "1e5", "5,00", " 5"} {
		var a money.Amount
		if err := a.UnmarshalText([]byte(s)); err == nil {
			t.Errorf("Amount of %q reads as %s, want an error", s, a)
		}
	}
}

// Ten thousand cakes at the largest list price that a book can hold are an
// amount that is written; it has to be read as well.
func TestLargeAmountReadsBack(t *testing.T) {
	a := currency(t, "EUR").Amount(decimal.RequireFromString("999999999999999.99")).Times(10_000)
	var back money.Amount
	if err := back.UnmarshalText([]byte(a.String())); err != nil || !back.Equal(a) {
		t.Errorf("Amount of %s reads as %s, %v", a, back, err)
	}
}

func TestPrice(t *testing.T) {
	for _, s := range []string{"0", "0.0044", "25.25", "25.250", "0.00"} {
		p, err := money.ParsePrice(s)
		if err != nil || p.String() != s || !p.Number().Equal(exact.Must(s)) || p.IsZero() != p.Number().IsZero() {
			t.Errorf("ParsePrice(%s) = %s, %v", s, p, err)
		}
	}
	for _, s := range []string{"€5", "5 EUR", "5.", ".5", "-5", "+5", "1e2", "1,50", "1 000", ""} {
		if p, err := money.ParsePrice(s); err == nil {
			t.Errorf("ParsePrice(%q) = %s, want an error", s, p)
		}
	}
}
