package exact_test

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/exact"
)

// long draws fractions as sums of costs have them: of many digits, with
// denominators that share some factors, all of them, or none.
func long() *rapid.Generator[exact.Number] {
	return rapid.Custom(func(t *rapid.T) exact.Number {
		n := exact.Int(rapid.Int64().Draw(t, "numerator"))
		if rapid.Bool().Draw(t, "small") {
			n = exact.Int(rapid.Int64Range(-3, 3).Draw(t, "numerator"))
		}
		for _, d := range rapid.SliceOfN(rapid.SampledFrom([]int64{2, 3, 10, 60, 454, 999_983, 1 << 40, 1_000_000_007, 999_999_999_989}), 0, 14).Draw(t, "denominators") {
			n = n.Quo(exact.Int(d))
		}
		return n
	})
}

// TestSumsOfLongFractions compares sums and differences with math/big, which
// brings each to lowest terms by itself.
func TestSumsOfLongFractions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(long(), 0, 150).Draw(t, "terms")
		want, one := new(big.Rat), exact.Number{}
		var running exact.Running
		for i, n := range list {
			was := n.Rat()
			want.Add(want, n.Rat())
			one = one.Add(n)
			running.Add(n)
			if one.Rat().Cmp(want) != 0 {
				t.Fatalf("the first %d of %v one after another = %s, want %s", i+1, list, one.Text(), want.RatString())
			}
			if got := one.Sub(n).Add(n); got.Text() != want.RatString() {
				t.Fatalf("%s − %s + %[2]s = %s", one.Text(), n.Text(), got.Text())
			}
			if n.Rat().Cmp(was) != 0 {
				t.Fatalf("to add %s made %s of it", was, n.Text())
			}
		}
		for what, got := range map[string]exact.Number{"Sum": exact.Sum(list...), "Running": running.Number(), "one after another": one} {
			if got.Text() != want.RatString() || got.IsZero() != (want.Sign() == 0) {
				t.Fatalf("%s of %v = %s, want %s", what, list, got.Text(), want.RatString())
			}
		}
		if one.Sub(one).Sign() != 0 || !one.Sub(one).IsZero() {
			t.Fatalf("%s less itself is %s", one.Text(), one.Sub(one).Text())
		}
		running.Fold()
		if got := running.Number(); !got.Equal(one) {
			t.Fatalf("folded, the sum is %s, want %s", got.Text(), one.Text())
		}
	})
}

// TestRestsCompare holds what rounding down leaves over against the fractions
// themselves.
func TestRestsCompare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := long().Draw(t, "n"), long().Draw(t, "m")
		if rapid.Bool().Draw(t, "near") {
			tiny := exact.Int(1)
			for range rapid.IntRange(1, 30).Draw(t, "places") {
				tiny = tiny.Quo(exact.Int(rapid.SampledFrom([]int64{2, 7, 10, 1009}).Draw(t, "by")))
			}
			m = n.Add(tiny)
		}
		places := rapid.Int32Range(0, 4).Draw(t, "places")
		downN, restN := n.Down(places)
		downM, restM := m.Down(places)
		leftN, leftM := n.Sub(exact.FromDecimal(downN)), m.Sub(exact.FromDecimal(downM))
		if got, want := restN.Cmp(restM), leftN.Cmp(leftM); got != want {
			t.Fatalf("of %s and %s to %d places the rests compare as %d, want %d", n.Text(), m.Text(), places, got, want)
		}
		if restN.Cmp(restN) != 0 || leftN.Sign() < 0 {
			t.Fatalf("%s leaves %s over", n.Text(), leftN.Text())
		}
	})
}

// BenchmarkSums adds sixty costs of orders, beside the same by math/big.
func BenchmarkSums(b *testing.B) {
	var list []exact.Number
	for i := range int64(60) {
		n := exact.Pi().Mul(exact.Int(i + 7)).Quo(exact.Int([]int64{60, 454, 997, 1009, 17}[i%5]))
		list = append(list, n.Mul(n).Quo(exact.Int([]int64{960, 104_729, 1_299_709}[i%3])))
	}
	for _, way := range []struct {
		name string
		sum  func() string
	}{
		{"at once", func() string { return exact.Sum(list...).Text() }},
		{"one after another", func() string {
			var sum exact.Number
			for _, n := range list {
				sum = sum.Add(n)
			}
			return sum.Text()
		}},
		{"math/big", func() string {
			sum := new(big.Rat)
			for _, n := range list {
				sum.Add(sum, n.Rat())
			}
			return sum.RatString()
		}},
	} {
		b.Run(way.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				way.sum()
			}
		})
	}
}
