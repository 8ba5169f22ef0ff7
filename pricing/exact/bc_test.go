package exact_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"marchpane/pricing/exact"
)

// A sum is built both ways at once: as the text of an expression for bc, and
// from Numbers.
type sum struct {
	text  string
	value exact.Number
}

// drawn makes a random sum: decimals as people type them, joined by the four
// rules. Divisors are kept away from 0, as bc's are.
func drawn(r *rand.Rand, depth int) sum {
	if depth == 0 {
		text := fmt.Sprintf("%d.%0*d", r.IntN(10_000), 1+r.IntN(6), r.IntN(10))
		return sum{text, exact.Must(text)}
	}
	a, b := drawn(r, depth-1), drawn(r, r.IntN(depth))
	switch r.IntN(4) {
	case 0:
		return sum{"(" + a.text + " + " + b.text + ")", a.value.Add(b.value)}
	case 1:
		return sum{"(" + a.text + " - " + b.text + ")", a.value.Sub(b.value)}
	case 2:
		return sum{"(" + a.text + " * " + b.text + ")", a.value.Mul(b.value)}
	}
	text := fmt.Sprintf("%d.%d", 1+r.IntN(500), r.IntN(100))
	return sum{"(" + a.text + " / " + text + ")", a.value.Quo(exact.Must(text))}
}

// TestAgainstBC works random sums with the program bc at 120 places, and holds
// the exact results against it to 40; and every rounding to 2 places, done in
// bc by hand: half a cent away from zero, then cut off.
func TestAgainstBC(t *testing.T) {
	program, err := exec.LookPath("bc")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("bc is missing; install the package bc")
		}
		t.Skip("bc is not installed")
	}
	r := rand.New(rand.NewPCG(20261125, 1))
	const n = 2000
	sums := make([]sum, n)
	var in strings.Builder
	in.WriteString("scale = 120\ndefine r(x) {\n auto s\n if (x < 0) return (-r(-x))\n x += 0.005\n s = scale\n scale = 2\n x /= 1\n scale = s\n return (x)\n}\n")
	for i := range sums {
		sums[i] = drawn(r, 1+r.IntN(5))
		fmt.Fprintf(&in, "x = %s\nx\nr(x)\n", sums[i].text)
	}
	// Halves of a cent are what rounding is about.
	halves := []string{"0.005", "0.015", "0.025", "9.675", "17.125", "1234567890.995", "0.0049999999999999999999", "0.0050000000000000000001"}
	for _, h := range halves {
		for _, text := range []string{h, "-" + h} {
			sums = append(sums, sum{text, exact.Must(text)})
			fmt.Fprintf(&in, "x = %s\nx\nr(x)\n", text)
		}
	}
	cmd := exec.Command(program, "-q")
	cmd.Stdin = strings.NewReader(in.String())
	cmd.Env = append(os.Environ(), "BC_LINE_LENGTH=0")
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Fields(string(out))
	if len(lines) != 2*len(sums) {
		t.Fatalf("bc answered %d lines, want %d: %.200s", len(lines), 2*len(sums), out)
	}
	tolerance := exact.Must("0." + strings.Repeat("0", 39) + "1")
	for i, s := range sums {
		want := printed(lines[2*i])
		if off := s.value.Sub(want); off.Cmp(tolerance) > 0 || off.Neg().Cmp(tolerance) > 0 {
			t.Errorf("%s = %s, want %s by bc", s.text, s.value.Fixed(50), lines[2*i])
		}
		if got, want := exact.FromDecimal(s.value.Round(2)), printed(lines[2*i+1]); !got.Equal(want) {
			t.Errorf("%s rounded = %s, want %s by bc", s.text, got.Fixed(2), want.Fixed(2))
		}
	}
}

// printed reads a number as bc writes it, without a 0 before the point.
func printed(s string) exact.Number {
	if sign, rest, ok := strings.Cut(s, "."); ok && (sign == "" || sign == "-") {
		s = sign + "0." + rest
	}
	return exact.Must(s)
}
