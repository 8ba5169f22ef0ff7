package measure_test

import (
	"strings"
	"testing"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// badNumbers are no plain numbers, each for one reason.
var badNumbers = []string{
	"", ".", "5.", ".5", "1e5", "1E5", "1e999999", "+5", "-5", "−5", "1,5", "1,000", "1.000.000", "1_000", "1'000", "0x10", "Inf", "NaN", "five",
	"½", "٣", "５", "1.5.", "1..5", "\t5", "5\n", "1\u00a0000", "\u00a05", "5\u200b",
	strings.Repeat("9", 16), "0." + strings.Repeat("1", 19), strings.Repeat("1", 1_000_000),
}

func TestNumber(t *testing.T) {
	for _, s := range []string{"0", "5", "0.5", "12.50", "0.000", "999999999999999", "0.000000000000000001", "123456789012345.123456789012345678"} {
		d, err := measure.Number(s)
		if err != nil || measure.Plain(d) != s || !exact.FromDecimal(d).Equal(exact.Must(s)) {
			t.Errorf("Number(%s) = %s, %v", s, measure.Plain(d), err)
		}
	}
	for _, s := range append([]string{" 5", "5 "}, badNumbers...) {
		if d, err := measure.Number(s); err == nil {
			t.Errorf("Number(%.40q) = %s, want an error", s, d)
		} else if len(err.Error()) > 300 {
			t.Errorf("Number(%.40q): an error of %d characters repeats too much", s, len(err.Error()))
		}
	}
	if d, err := measure.Number("007.50"); err != nil || !exact.FromDecimal(d).Equal(exact.Must("7.5")) {
		t.Errorf("Number(007.50) = %s, %v, want 7.50 and no octal", d, err)
	}
}

func TestParse(t *testing.T) {
	for _, symbol := range measure.Symbols(measure.None) {
		for _, figure := range []string{"0", "1", "0.5", "12.50"} {
			s := figure + " " + symbol
			q, err := measure.Parse(s)
			if err != nil || q.String() != s || q.Unit().String() != symbol || !q.Given() || q.IsZero() || (q.Sign() == 0) != (figure == "0") {
				t.Errorf("Parse(%s) = %s, %v", s, q, err)
			}
		}
	}
	bad := []string{"250g", "250  g", " 250 g", "250 g ", "250\u00a0g", "250\tg", "g", "g 250", "250", "250 grams", "10 x 250 g", "1 1/2 cup", "5 % g", "250 g/ml", "1 us  pint"}
	for _, n := range badNumbers {
		bad = append(bad, n+" g")
	}
	for _, s := range bad {
		if q, err := measure.Parse(s); err == nil {
			t.Errorf("Parse(%.40q) = %s, want an error", s, q)
		}
	}
	var none measure.Quantity
	if none.Given() || !none.IsZero() || none.String() != "" || none.Dimension() != measure.None {
		t.Errorf("the zero Quantity is %q, want none", none)
	}
}

// Worked by hand from the factors of testdata/units.csv.
func TestBase(t *testing.T) {
	for _, c := range []struct {
		q           string
		metric, us  string
		inDimension measure.Dimension
	}{
		{"1 lb", "453.59237", "453.59237", measure.Mass}, {"2.5 kg", "2500", "2500", measure.Mass}, {"250 mg", "0.25", "0.25", measure.Mass},
		{"2 tbsp", "30", "29.5735295625", measure.Volume}, {"0.5 cup", "125", "118.29411825", measure.Volume},
		{"15 dozen", "180", "180", measure.Count}, {"25 m", "25000", "25000", measure.Length}, {"0.04 m2", "400", "400", measure.Area},
		{"90 s", "1.5", "1.5", measure.Time}, {"0.5 day", "720", "720", measure.Time}, {"6 kW", "6000", "6000", measure.Power},
	} {
		q := measure.Must(c.q)
		if got := q.Base(measure.Metric); !got.Equal(exact.Must(c.metric)) {
			t.Errorf("%s.Base(metric) = %s, want %s", c.q, got.Text(), c.metric)
		}
		if got := q.Base(measure.US); !got.Equal(exact.Must(c.us)) || q.Dimension() != c.inDimension {
			t.Errorf("%s.Base(us) = %s %s, want %s %s", c.q, got.Text(), q.Dimension(), c.us, c.inDimension)
		}
	}
}

func TestPercent(t *testing.T) {
	for in, want := range map[string]string{"0 %": "0", "12.5 %": "1/8", "13.5 %": "27/200", "100 %": "1", "8.875 %": "71/800", "250 %": "5/2", "0.00 %": "0"} {
		p, err := measure.ParsePercent(in)
		if err != nil || !p.Fraction().Equal(exact.Must(want)) || p.String() != in {
			t.Errorf("ParsePercent(%s) = %s = %s, %v, want %s", in, p, p.Fraction().Text(), err, want)
		}
	}
	bad := []string{"12.5%", "12.5  %", "12.5", "%", " %", "12.5 percent", "0.125", "12.5\u00a0%", "12.5 % ", "12.5 ٪", "12.5 % %"}
	for _, n := range badNumbers {
		bad = append(bad, n+" %")
	}
	for _, s := range bad {
		if p, err := measure.ParsePercent(s); err == nil {
			t.Errorf("ParsePercent(%.40q) = %s, want an error", s, p)
		}
	}
}

func TestDensity(t *testing.T) {
	d, err := measure.ParseDensity("0.911 g/ml")
	if err != nil || !d.Known() || d.String() != "0.911 g/ml" || !d.GramsPerMl().Equal(exact.Must("0.911")) {
		t.Errorf("ParseDensity(0.911 g/ml) = %s, %v", d, err)
	}
	for _, s := range []string{"0 g/ml", "0.00 g/ml", "0.911", "0.911 kg/l", "0.911g/ml", "0.911 g / ml", "-1 g/ml", "1e3 g/ml", "911 kg/m3", " g/ml", "0.911 g/ml "} {
		if d, err := measure.ParseDensity(s); err == nil {
			t.Errorf("ParseDensity(%q) = %s, want an error", s, d)
		}
	}
	if (measure.Density{}).Known() || !(measure.Density{}).IsZero() {
		t.Error("the zero Density is known, want none")
	}
}

func TestPack(t *testing.T) {
	for _, c := range []struct {
		in, size string
		of       measure.Dimension
	}{
		{"12.5 kg", "12500", measure.Mass}, {"30 each", "30", measure.Count}, {"10 x 250 g", "2500", measure.Mass}, {"15 dozen", "180", measure.Count},
		{"6 x 1.5 l", "9000", measure.Volume}, {"1 x 1 g", "1", measure.Mass}, {"25 m", "25000", measure.Length}, {"12 x 330 ml", "3960", measure.Volume},
		{"1000000 x 1 mg", "1000", measure.Mass}, {"2 x 1 dozen", "24", measure.Count}, {"010 x 250 g", "2500", measure.Mass},
	} {
		p, err := measure.ParsePack(c.in)
		if err != nil || p.String() != c.in || p.Dimension() != c.of || !p.Size(measure.Metric).Equal(exact.Must(c.size)) {
			t.Errorf("ParsePack(%s) = %s of %s, %v, want %s", c.in, p, p.Size(measure.Metric).Text(), err, c.size)
		}
	}
	if p, err := measure.ParsePack("4 x 1 cup"); err != nil || !p.Size(measure.US).Equal(exact.Must("946.352946")) {
		t.Errorf("ParsePack(4 x 1 cup) in a us household = %s, %v, want 946.352946", p, err)
	}
	bad := []string{
		"0 g", "0.00 kg", "10 x 0 g", "0 x 250 g", "00 x 250 g", "1.5 x 250 g", "-10 x 250 g", "+10 x 250 g", "1e3 x 250 g", "1e999999 x 250 g", "1000001 x 1 g", "99999999 x 1 g",
		"10x250 g", "10 X 250 g", "10 × 250 g", "10  x  250 g", "10 x", "x 250 g", " x 250 g", "10 x 250", "10 x 5 x 3 g", "10 * 250 g", "250g", "250 g x 10", "12", "", "10 x 250g",
	}
	for _, n := range badNumbers {
		bad = append(bad, n+" g", "2 x "+n+" g")
	}
	for _, s := range bad {
		if p, err := measure.ParsePack(s); err == nil {
			t.Errorf("ParsePack(%.40q) = %s, want an error", s, p)
		}
	}
}

func TestErrorsShowWhatWasTyped(t *testing.T) {
	for in, part := range map[string]string{"2.5O kg": "2.5O", "250 grms": "grms", "250g": "250g"} {
		if _, err := measure.Parse(in); err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("Parse(%s): %v, want an error that shows %s", in, err, part)
		}
	}
}
