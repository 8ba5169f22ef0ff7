package measure

import (
	"testing"

	"marchpane/pricing/exact"
)

// TestHandy: the prefixes of the SI Brochure, 9th edition (2019), table 7, and
// 1 l = 1 dm³ of its table 8.
func TestHandy(t *testing.T) {
	for _, c := range []struct {
		n    exact.Number
		unit string
		want string
	}{
		{exact.Int(999), "g", "999 g"}, {exact.Int(1000), "g", "1 kg"}, {exact.Int(1250), "g", "1.25 kg"},
		{exact.Int(2500), "ml", "2.5 l"}, {exact.Int(1350), "mm", "1.35 m"},
		{exact.Int(9999), "cm2", "9999 cm2"}, {exact.Int(20_000), "cm2", "2 m2"},
		{exact.Int(5000), "each", "5000 each"}, {exact.Int(-3000), "g", "-3000 g"},
	} {
		n, unit := Handy(c.n, c.unit)
		if got := n.Round(3).String() + " " + unit; got != c.want {
			t.Errorf("Handy(%s, %s) = %s, want %s", c.n.Text(), c.unit, got, c.want)
		}
	}
}
