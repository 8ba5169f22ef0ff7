package pricelist_test

import (
	"testing"

	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
)

// marks are the ways to read a list's decimals.
var marks = []pricelist.Mark{pricelist.Unknown, pricelist.Point, pricelist.Comma}

// A pack that is read is one the book takes, has a size, and reads the same
// again from its own spelling.
func FuzzPack(f *testing.F) {
	for _, s := range []string{
		"10x250g", "case of 6 x 1L", "6/1 l", "15 doz", "2,5 kg", "1.000 g", "tray 30", "per kg", "12 x 397 g tins", "1 lb (454 g)",
		"Karton à 12 Dosen à 397 g", "5kgx4", "kg 25", "10 m²", "12\"", "½ kg", "1/2 kg", "x", "((", "=1", "fl oz", "2 etti", "\x00", "６ｘ１ｌ",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, mark := range marks {
			p, err := pricelist.ReadPack(s, mark)
			if err != nil {
				continue
			}
			if p.Size(measure.Metric).Sign() <= 0 {
				t.Errorf("ReadPack(%q, %q) = %s, which holds nothing", s, mark, p)
			}
			if again, err := measure.ParsePack(p.String()); err != nil || again.String() != p.String() {
				t.Errorf("ReadPack(%q, %q) = %s, which the book reads as %s, %v", s, mark, p, again, err)
			}
			again, err := pricelist.ReadPack(p.String(), pricelist.Point)
			if err != nil && (p.Dimension() == measure.Length || p.Dimension() == measure.Area) {
				continue // "10 x 25 m" alone may be the size of a thing
			}
			if err != nil || !again.Size(measure.Metric).Equal(p.Size(measure.Metric)) {
				t.Errorf("ReadPack(%q, %q) = %s, which reads again as %s, %v", s, mark, p, again, err)
			}
		}
	})
}

// An amount that is read is not below zero and reads the same again from its
// own spelling. Without a mark it is what both marks agree on, or what only
// one reading of the text allows.
func FuzzAmount(f *testing.F) {
	for _, s := range []string{
		"1.234,50 €", "£ 12.50", "CHF 1'250.-", "95p", "3,20 €/kg", "€.50", "Fr.50", "-5", "5-", "(5)", "1.234", "1,234", "12,-", "1 234,50",
		"12,34,567.80", "US$ 3", "12 50", "1e5", "٣", "12.50 per 100 g", ".", ",5", "1\u202f234,50", "NaN", "0x10", "+5",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, mark := range marks {
			a, err := pricelist.ReadAmount(s, mark)
			if err != nil {
				continue
			}
			if a.Figure.Sign() < 0 {
				t.Errorf("ReadAmount(%q, %q) = %s, below zero", s, mark, a)
			}
			again, err := pricelist.ReadAmount(a.String(), pricelist.Point)
			if err != nil && a.Per != nil {
				continue // a pack of its own may be refused, as FuzzPack says
			}
			if err != nil || again.String() != a.String() {
				t.Errorf("ReadAmount(%q, %q) = %s, which reads again as %s, %v", s, mark, a, again, err)
			}
			if mark == pricelist.Unknown {
				for _, known := range marks[1:] {
					if same, err := pricelist.ReadAmount(s, known); err != nil || !same.Figure.Equal(a.Figure) {
						t.Errorf("ReadAmount(%q) = %s, but under %s %s, %v", s, a, known, same, err)
					}
				}
			}
		}
	})
}

// Whatever stands in a list, each of its rows has a fate, what is taken is
// sound, and the book takes it.
func FuzzPlan(f *testing.F) {
	f.Add("item|pack|price ex VAT\nbutter|10x250g|25.25\negg|15 doz|1.234", "")
	f.Add("Artikel|Stück/Karton|Inhalt|Einheit|Preis brutto|MwSt|Gültig ab\nbutter|10|250|g|25,25|7|5/10/2026", "comma")
	f.Add("a|b\nc", "point")
	f.Add("item|price per kg net\nButter, unsalted 5 kg|-,-\n||\n|x|", "")
	f.Fuzz(func(t *testing.T, list, mark string) {
		m := pricelist.Mapping{}
		if m.Decimal.UnmarshalText([]byte(mark)) != nil {
			return
		}
		x := index(t, len(list)%2 == 0)
		p, err := pricelist.NewPlan(x, rows(list), m, nil, options())
		if err != nil {
			return
		}
		blank := 0
		for _, r := range rows(list)[p.Layout.Head+1:] {
			if r.Blank() {
				blank++
			}
		}
		if got, want := len(p.Fates), len(rows(list))-p.Layout.Head-1-blank; got != want {
			t.Errorf("%d rows have a fate, want %d", got, want)
		}
		for _, fate := range p.Fates {
			if (fate.Verdict == pricelist.NewPrice) != (fate.Reason == "") && fate.Verdict != pricelist.Unchanged {
				t.Errorf("row %d is %s for the reason %q", fate.Row.Number, fate.Verdict, fate.Reason)
			}
		}
		merged(t, x, p)
	})
}
