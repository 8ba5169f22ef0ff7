package exact_test

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/exact"
)

// Half away from zero: IEEE 754-2019, section 4.3.1, roundTiesToAway (from
// memory). 9.675 and 17.125 are sales-tax answers of OpenStax, Prealgebra 2e,
// module m81307 (read), where both go up.
func TestRound(t *testing.T) {
	for _, c := range []struct {
		n      string
		places int32
		want   string
	}{
		{"0", 2, "0.00"},
		{"0.5", 0, "1"}, {"1.5", 0, "2"}, {"2.5", 0, "3"}, {"-0.5", 0, "-1"}, {"-2.5", 0, "-3"},
		{"0.125", 2, "0.13"}, {"-0.125", 2, "-0.13"}, {"0.135", 2, "0.14"}, {"0.1249999999", 2, "0.12"},
		{"9.675", 2, "9.68"}, {"17.125", 2, "17.13"},
		{"1/3", 6, "0.333333"}, {"2/3", 6, "0.666667"}, {"-2/3", 6, "-0.666667"}, {"1/6", 0, "0"},
		{"999.9995", 3, "1000.000"}, {"-1/10000000", 6, "0.000000"}, {"12", 3, "12.000"},
	} {
		if got := exact.Must(c.n).Fixed(c.places); got != c.want {
			t.Errorf("Must(%s).Fixed(%d) = %s, want %s", c.n, c.places, got, c.want)
		}
	}
}

func TestFloorAndCeil(t *testing.T) {
	for _, c := range []struct {
		n           string
		floor, ceil int64
	}{
		{"0", 0, 0}, {"3", 3, 3}, {"-3", -3, -3}, {"7/2", 3, 4}, {"-7/2", -4, -3}, {"1/1000", 0, 1}, {"-1/1000", -1, 0},
	} {
		n := exact.Must(c.n)
		if got := n.Floor().Int64(); got != c.floor {
			t.Errorf("Must(%s).Floor() = %d, want %d", c.n, got, c.floor)
		}
		if got := n.Ceil().Int64(); got != c.ceil {
			t.Errorf("Must(%s).Ceil() = %d, want %d", c.n, got, c.ceil)
		}
	}
}

// Up to the next multiple; a multiple stays. Worked by hand.
func TestRoundUpTo(t *testing.T) {
	for _, c := range []struct{ n, step, want string }{
		{"560.01", "5", "565"}, {"565", "5", "565"}, {"565.000000001", "5", "570"}, {"0", "5", "0"}, {"0.01", "5", "5"},
		{"1.01", "0.99", "1.98"}, {"1/3", "0.05", "7/20"}, {"0.006", "0.005", "0.01"}, {"8", "7", "14"}, {"7", "7", "7"},
	} {
		if got := exact.Must(c.n).RoundUpTo(exact.Must(c.step)); !got.Equal(exact.Must(c.want)) {
			t.Errorf("Must(%s).RoundUpTo(%s) = %s, want %s", c.n, c.step, got.Text(), c.want)
		}
	}
}

// TestRoundLaw checks rounding by its meaning: no multiple of the last place
// is nearer, and of two equally near ones the one further from zero is taken.
func TestRoundLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := number().Draw(t, "n")
		places := rapid.Int32Range(0, 12).Draw(t, "places")
		scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil))
		got := exact.FromDecimal(n.Round(places)).Rat()
		scaled := new(big.Rat).Mul(got, scale)
		if !scaled.IsInt() {
			t.Fatalf("%s.Round(%d) = %s has more places", n.Text(), places, got)
		}
		off := new(big.Rat).Mul(new(big.Rat).Sub(got, n.Rat()), scale)
		if half := big.NewRat(1, 2); off.Abs(off).Cmp(half) > 0 {
			t.Fatalf("%s.Round(%d) = %s is not the nearest", n.Text(), places, got)
		} else if off.Cmp(half) == 0 && new(big.Rat).Abs(got).Cmp(new(big.Rat).Abs(n.Rat())) < 0 {
			t.Fatalf("%s.Round(%d) = %s rounds a half towards zero", n.Text(), places, got)
		}
	})
}

// TestRoundUpToLaw checks that the result is a multiple, not below, and less
// than a step above.
func TestRoundUpToLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := number().Draw(t, "n")
		step := exact.Frac(rapid.Int64Range(1, 1e9).Draw(t, "num"), rapid.Int64Range(1, 1e6).Draw(t, "den"))
		got := n.RoundUpTo(step)
		if !got.Quo(step).Rat().IsInt() {
			t.Fatalf("%s.RoundUpTo(%s) = %s is no multiple", n.Text(), step.Text(), got.Text())
		}
		if over := got.Sub(n); over.Sign() < 0 || over.Cmp(step) >= 0 {
			t.Fatalf("%s.RoundUpTo(%s) = %s is not the next multiple", n.Text(), step.Text(), got.Text())
		}
	})
}

// number draws rationals, halves of small places among them.
func number() *rapid.Generator[exact.Number] {
	return rapid.Custom(func(t *rapid.T) exact.Number {
		num := rapid.Int64().Draw(t, "num")
		if rapid.Bool().Draw(t, "tie") {
			return exact.Frac(num%1e9, 2*[]int64{1, 10, 100, 1000}[rapid.IntRange(0, 3).Draw(t, "places")])
		}
		return exact.Frac(num, rapid.Int64Range(1, 1<<40).Draw(t, "den"))
	})
}
