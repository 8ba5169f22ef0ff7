package measure_test

import (
	"encoding/csv"
	"math/big"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// unitRow is a line of testdata/units.csv: what one unit is by an outside
// source, and what GNU units calls it.
type unitRow struct {
	unit, household, value, base, gnu, source string
}

func unitRows(t *testing.T) []unitRow {
	t.Helper()
	f, err := os.Open("testdata/units.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []unitRow
	for _, r := range records[1:] {
		rows = append(rows, unitRow{r[0], r[1], r[2], r[3], r[4], r[6] + " (" + r[7] + ")"})
	}
	return rows
}

func (r unitRow) factor(t *testing.T) (measure.Unit, exact.Number) {
	t.Helper()
	u, err := measure.ParseUnit(r.unit)
	if err != nil {
		t.Fatal(err)
	}
	h, err := measure.ParseHousehold(r.household)
	if err != nil {
		t.Fatal(err)
	}
	return u, u.Factor(h)
}

// TestFactors holds every factor against its source, exactly.
func TestFactors(t *testing.T) {
	listed := map[string]bool{}
	for _, r := range unitRows(t) {
		listed[r.unit] = true
		u, got := r.factor(t)
		if !got.Equal(exact.Must(r.value)) || u.Dimension().Base() != r.base {
			t.Errorf("1 %s (%s) = %s %s, want %s %s by %s", r.unit, r.household, got.Text(), u.Dimension().Base(), r.value, r.base, r.source)
		}
	}
	for _, symbol := range measure.Symbols(measure.None) {
		if !listed[symbol] {
			t.Errorf("testdata/units.csv has no source for %s", symbol)
		}
	}
}

// The household measures are the only ones that differ from one kitchen to the
// next.
func TestHouseholds(t *testing.T) {
	for _, symbol := range measure.Symbols(measure.None) {
		u, err := measure.ParseUnit(symbol)
		if err != nil {
			t.Fatal(err)
		}
		differs := !u.Factor(measure.Metric).Equal(u.Factor(measure.US))
		if want := slices.Contains([]string{"tsp", "tbsp", "cup"}, symbol); differs != want {
			t.Errorf("%s differs between households: %v, want %v", symbol, differs, want)
		}
	}
}

// TestFactorsByGNUUnits asks the program GNU units, which reckons in doubles,
// for every factor.
func TestFactorsByGNUUnits(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("GNU units is missing; install the package units")
		}
		t.Skip("GNU units is not installed")
	}
	base := map[string]string{"g": "g", "ml": "ml", "each": "1", "mm": "mm", "cm2": "cm^2", "min": "minute", "kWh": "kW hour", "W": "W"}
	tolerance := big.NewRat(1, 1e14) // of a double, a few units in the last place
	for _, r := range unitRows(t) {
		_, got := r.factor(t)
		out, err := exec.Command(program, "--terse", "--output-format", "%.17g", r.gnu, base[r.base]).Output()
		if err != nil {
			t.Fatalf("units %q %q: %v", r.gnu, base[r.base], err)
		}
		want, ok := new(big.Rat).SetString(strings.TrimSpace(string(out)))
		if !ok {
			t.Fatalf("units %q %q = %q", r.gnu, base[r.base], out)
		}
		off := new(big.Rat).Sub(got.Rat(), want)
		if off.Abs(off.Quo(off, want)).Cmp(tolerance) > 0 {
			t.Errorf("1 %s (%s) = %s %s, want %s by GNU units", r.unit, r.household, got.Fixed(14), r.base, strings.TrimSpace(string(out)))
		}
	}
}

// Whole numbers of one unit in another: OpenStax, Prealgebra 2e, module m81330
// (read), and the imperial 20 fl oz to the pint and 8 pints to the gallon (GNU
// units 2.22, read).
func TestRelations(t *testing.T) {
	for _, c := range []struct {
		whole string
		n     int64
		part  string
		house measure.Household
	}{
		{"tbsp", 3, "tsp", measure.Metric}, {"tbsp", 3, "tsp", measure.US}, {"cup", 16, "tbsp", measure.US}, {"cup", 48, "tsp", measure.US},
		{"cup", 8, "us fl oz", measure.US}, {"us pint", 2, "cup", measure.US}, {"us quart", 2, "us pint", measure.Metric},
		{"us gallon", 4, "us quart", measure.Metric}, {"us gallon", 128, "us fl oz", measure.Metric}, {"us gallon", 16, "cup", measure.US},
		{"uk pint", 20, "uk fl oz", measure.Metric}, {"uk gallon", 8, "uk pint", measure.Metric},
		{"lb", 16, "oz", measure.Metric}, {"ft", 12, "in", measure.Metric}, {"h", 60, "min", measure.Metric}, {"day", 24, "h", measure.Metric},
		{"min", 60, "s", measure.Metric}, {"kWh", 1000, "Wh", measure.Metric}, {"m2", 10_000, "cm2", measure.Metric}, {"cm2", 100, "mm2", measure.Metric},
	} {
		whole, part := measure.Must("1 "+c.whole).Base(c.house), measure.Must("1 "+c.part).Base(c.house)
		if !whole.Equal(part.Mul(exact.Int(c.n))) {
			t.Errorf("1 %s = %s %s in a %s household, want %d", c.whole, whole.Quo(part).Text(), c.part, c.house, c.n)
		}
	}
	inch := measure.Must("1 in").Base(measure.Metric).Mul(exact.Frac(1, 10)) // cm
	if got, want := measure.Must("1 us gallon").Base(measure.Metric), exact.Int(231).Mul(inch).Mul(inch).Mul(inch); !got.Equal(want) {
		t.Errorf("1 us gallon = %s ml, want 231 cubic inches, %s ml (UCUM [gal_us], read)", got.Text(), want.Text())
	}
	if got, want := measure.Must("1 in2").Base(measure.Metric), inch.Mul(inch); !got.Equal(want) {
		t.Errorf("1 in2 = %s cm2, want a square inch, %s cm2", got.Text(), want.Text())
	}
}

func TestUnitNames(t *testing.T) {
	for _, s := range []string{"", "G", "grams", "KG", "Kg", "µg", "ozs", "fl oz", "us  fl oz", "US fl oz", "pint", "gal", "teaspoon", "cups", "Each", "hour", "hr", "kwh", "Ml", "L", "cm²", "g ", " g", "none"} {
		if u, err := measure.ParseUnit(s); err == nil {
			t.Errorf("ParseUnit(%q) = %s, want an error", s, u)
		}
	}
	for _, s := range []string{"mass", "volume", "count", "length", "area", "time", "energy"} {
		if d, err := measure.ParseDimension(s); err != nil || d.String() != s || len(measure.Symbols(d)) < 2 {
			t.Errorf("ParseDimension(%s) = %s, %v", s, d, err)
		}
	}
	for _, s := range []string{"", "none", "power", "Mass", "weight"} {
		if d, err := measure.ParseDimension(s); err == nil {
			t.Errorf("ParseDimension(%q) = %s, want an error", s, d)
		}
	}
	for _, s := range []string{"", "US", "uk", "Metric"} {
		if h, err := measure.ParseHousehold(s); err == nil {
			t.Errorf("ParseHousehold(%q) = %s, want an error", s, h)
		}
	}
}
