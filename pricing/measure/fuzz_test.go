package measure_test

import (
	"testing"

	"marchpane/pricing/measure"
)

var seeds = []string{"250 g", "0 g", "007.50 kg", "1 us fl oz", "10 x 250 g", "1e5 g", "12.5 %", "0.911 g/ml", "5. g", ".5 g", "1\u00a0g", "0 x 1 g", "010 x 1 g", "999999999999999.000000000000000001 ml"}

func FuzzParse(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		q, err := measure.Parse(s)
		if err != nil {
			return
		}
		back, err := measure.Parse(q.String())
		if err != nil || back.String() != q.String() || !back.Base(measure.US).Equal(q.Base(measure.US)) || back.Unit() != q.Unit() {
			t.Errorf("Parse(%q) = %s, which reads back as %s, %v", s, q, back, err)
		}
		if q.Sign() < 0 || q.Base(measure.Metric).Sign() < 0 {
			t.Errorf("Parse(%q) = %s is below 0", s, q)
		}
	})
}

func FuzzParsePack(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := measure.ParsePack(s)
		if err != nil {
			return
		}
		back, err := measure.ParsePack(p.String())
		if err != nil || back.String() != p.String() || !back.Size(measure.US).Equal(p.Size(measure.US)) {
			t.Errorf("ParsePack(%q) = %s, which reads back as %s, %v", s, p, back, err)
		}
		if p.Size(measure.Metric).Sign() <= 0 {
			t.Errorf("ParsePack(%q) holds %s; a price is divided by it", s, p.Size(measure.Metric).Text())
		}
	})
}

func FuzzParsePercent(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := measure.ParsePercent(s)
		if err != nil {
			return
		}
		if back, err := measure.ParsePercent(p.String()); err != nil || !back.Fraction().Equal(p.Fraction()) || back.String() != p.String() {
			t.Errorf("ParsePercent(%q) = %s, which reads back as %s, %v", s, p, back, err)
		}
	})
}
