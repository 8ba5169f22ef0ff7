package exact_test

import (
	"math/big"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"marchpane/pricing/exact"
)

// TestArithmetic compares every operation with math/big.
func TestArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := number().Draw(t, "n"), number().Draw(t, "m")
		a, b := n.Rat(), m.Rat()
		same := func(op string, got exact.Number, want *big.Rat) {
			if got.Rat().Cmp(want) != 0 {
				t.Fatalf("%s %s %s = %s, want %s", a, op, b, got.Text(), want.RatString())
			}
		}
		same("+", n.Add(m), new(big.Rat).Add(a, b))
		same("-", n.Sub(m), new(big.Rat).Sub(a, b))
		same("*", n.Mul(m), new(big.Rat).Mul(a, b))
		if b.Sign() != 0 {
			same("/", n.Quo(m), new(big.Rat).Quo(a, b))
		}
		same("sum with", exact.Sum(n, m, n), new(big.Rat).Add(new(big.Rat).Add(a, a), b))
		if got := n.Cmp(m); got != a.Cmp(b) {
			t.Fatalf("Cmp(%s, %s) = %d, want %d", a, b, got, a.Cmp(b))
		}
		if got := exact.Max(n, m); got.Cmp(n) < 0 || got.Cmp(m) < 0 {
			t.Fatalf("Max(%s, %s) = %s", a, b, got.Text())
		}
		// Operands are values: none has changed.
		same("left of", n, a)
		same("right of", m, b)
	})
}

func TestZeroValue(t *testing.T) {
	var zero exact.Number
	if !zero.IsZero() || zero.Sign() != 0 || zero.Text() != "0" || zero.Fixed(2) != "0.00" {
		t.Errorf("the zero Number is %s, want 0", zero.Text())
	}
	three := exact.Int(3)
	for name, got := range map[string]exact.Number{
		"0 + 3": zero.Add(three), "3 - 0": three.Sub(zero), "3 + 0 × 3": three.Add(zero.Mul(three)), "3 + 0 ÷ 3": three.Add(zero.Quo(three)),
	} {
		if !got.Equal(three) {
			t.Errorf("%s = %s, want 3", name, got.Text())
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("3 ÷ 0 returned; want a panic")
		}
	}()
	three.Quo(zero)
}

// π by Machin's formula of 1706, 16·arctan(1/5) − 4·arctan(1/239), to 60
// places in whole numbers.
func TestPi(t *testing.T) {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(60), nil)
	arctan := func(inverse int64) *big.Int {
		sum, term := new(big.Int), new(big.Int).Quo(scale, big.NewInt(inverse))
		for k, sign := int64(1), int64(1); term.Sign() != 0; k, sign = k+2, -sign {
			part := new(big.Int).Quo(term, big.NewInt(k))
			sum.Add(sum, part.Mul(part, big.NewInt(sign)))
			term.Quo(term, big.NewInt(inverse*inverse))
		}
		return sum
	}
	machin := new(big.Int).Sub(new(big.Int).Mul(big.NewInt(16), arctan(5)), new(big.Int).Mul(big.NewInt(4), arctan(239)))
	want := exact.FromBig(machin).Quo(exact.FromBig(scale)).Fixed(35)
	if got := exact.Pi().Fixed(35); got != want || !exact.Pi().Equal(exact.Must(got)) {
		t.Errorf("Pi() = %s, want %s by Machin's formula", got, want)
	}
}

// √3 is the number whose square is 3: half a unit of the 35th place less is too
// small, half a unit more too large.
func TestSqrt3(t *testing.T) {
	half := exact.Must("0." + strings.Repeat("0", 35) + "5")
	three := exact.Int(3)
	low, high := exact.Sqrt3().Sub(half), exact.Sqrt3().Add(half)
	if low.Mul(low).Cmp(three) >= 0 || high.Mul(high).Cmp(three) <= 0 {
		t.Errorf("Sqrt3() = %s is not the root of 3 to 35 places", exact.Sqrt3().Fixed(35))
	}
}

func TestFromDecimal(t *testing.T) {
	for _, c := range []struct {
		coefficient int64
		exponent    int32
		want        string
	}{{0, 0, "0"}, {5, 0, "5"}, {125, -1, "25/2"}, {-125, -3, "-1/8"}, {3, 4, "30000"}, {0, -5, "0"}, {0, 5, "0"}} {
		if got := exact.FromDecimal(decimal.New(c.coefficient, c.exponent)).Text(); got != c.want {
			t.Errorf("FromDecimal(%de%d) = %s, want %s", c.coefficient, c.exponent, got, c.want)
		}
	}
}

func TestFromText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"0", "0"}, {"12", "12"}, {"-12", "-12"}, {"1/60", "1/60"}, {"-2/6", "-1/3"}, {"0.125", "1/8"}, {"-0.5", "-1/2"},
		{"010", "10"}, {"0010.50", "21/2"},
	} {
		got, ok := exact.FromText(c.in)
		if !ok || got.Text() != c.want {
			t.Errorf("FromText(%q) = %s, %v, want %s", c.in, got.Text(), ok, c.want)
		}
	}
	for _, in := range []string{
		"", " ", "-", ".", "/", "1/", "/2", "1/0", "0/0", "1/2/3", "1.2.3", "1/-2", "--1", "1-", "+1", "1e5", "1E5", "0x10", "0b1", "1_000", "1,5",
		"Inf", "NaN", "١", "1 ", " 1", "½", strings.Repeat("9", 10_000_000),
	} {
		if got, ok := exact.FromText(in); ok {
			t.Errorf("FromText(%.20q) = %s, want a refusal", in, got.Text())
		}
	}
}

// A leading zero is a decimal digit in a fraction too, as it is in a decimal.
func TestFromTextReadsNoOctal(t *testing.T) {
	if got, ok := exact.FromText("010/3"); ok && got.Text() != "10/3" {
		t.Errorf("FromText(010/3) = %s, want 10/3 or a refusal", got.Text())
	}
}

func TestTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := number().Draw(t, "n").Mul(number().Draw(t, "m"))
		text, err := n.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back exact.Number
		if err := back.UnmarshalText(text); err != nil || !back.Equal(n) {
			t.Fatalf("UnmarshalText(%s) = %s, %v", text, back.Text(), err)
		}
	})
}

// What Text writes FromText reads, however long: a cost over many awkward pack
// sizes is a fraction of thousands of digits, and a stored quote holds it.
func TestTextRoundTripOfLongFractions(t *testing.T) {
	sum := exact.Int(0)
	for prime := int64(10_007); prime < 20_000; prime += 2 {
		if big.NewInt(prime).ProbablyPrime(0) {
			sum = sum.Add(exact.Frac(1, prime))
		}
	}
	if back, ok := exact.FromText(sum.Text()); !ok || !back.Equal(sum) {
		t.Errorf("FromText of a fraction of %d characters is refused", len(sum.Text()))
	}
}

func FuzzFromText(f *testing.F) {
	for _, s := range []string{"0", "-1/3", "12.50", "1/0", "1e9", "010/3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, ok := exact.FromText(s)
		if !ok {
			return
		}
		if back, ok := exact.FromText(n.Text()); !ok || !back.Equal(n) {
			t.Errorf("FromText(%q) = %s, which does not read back", s, n.Text())
		}
	})
}
