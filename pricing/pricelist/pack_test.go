package pricelist_test

import (
	"strings"
	"testing"

	"marchpane/pricing/measure"
	"marchpane/pricing/pricelist"
)

// Spellings as price lists have them; common practice, no source.
func TestReadPack(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"10x250g", "10 x 250 g"},
		{"10 × 250 g", "10 x 250 g"},
		{"10*250 g", "10 x 250 g"},
		{"10 X 250GM", "10 x 250 g"},
		{"case of 6 x 1L", "6 x 1 l"},
		{"6 x 1L case", "6 x 1 l"},
		{"case (6 x 1 l)", "6 x 1 l"},
		{"6/1 l", "6 x 1 l"},
		{"24/330ml", "24 x 330 ml"},
		{"15 doz", "15 dozen"},
		{"15 dozen", "15 dozen"},
		{"15dz.", "15 dozen"},
		{"2 gross", "288 each"},
		{"2,5 kg", "2.5 kg"},
		{"2.5kg", "2.5 kg"},
		{"0,75 l", "0.75 l"},
		{"500GR", "500 g"},
		{"500 grs.", "500 g"},
		{"1 ltr", "1 l"},
		{"1 Lt.", "1 l"},
		{"70 cl", "70 cl"},
		{"tray 30", "30 each"},
		{"tray of 30", "30 each"},
		{"30/tray", "30 each"},
		{"12 per case", "12 each"},
		{"30 pcs", "30 each"},
		{"30pcs.", "30 each"},
		{"6-pack", "6 each"},
		{"25kg bag", "25 kg"},
		{"bag 25 kg net", "25 kg"},
		{"25-kg-sack", "25 kg"},
		{"12 x 397 g tins", "12 x 397 g"},
		{"12x397g(tin)", "12 x 397 g"},
		{"2.5 kg x 4", "4 x 2.5 kg"},
		{"5kgx4", "4 x 5 kg"},
		{"kg 25", "25 kg"},
		{"gr. 500", "500 g"},
		{"cf 6 x kg 1", "6 x 1 kg"},
		{"6 bottles of 75 cl", "6 x 75 cl"},
		{"12 Dosen 400g", "12 x 400 g"},
		{"Karton à 12 Dosen à 397 g", "12 x 397 g"},
		{"3 trays of 30", "3 x 30 each"},
		{"3 cartons of 12 x 400 g", "36 x 400 g"},
		{"4 x 6 x 100 g", "24 x 100 g"},
		{"6 x 2 doz", "6 x 2 dozen"},
		{"1 x 25 kg", "25 kg"},
		{"1 lb (454 g)", "1 lb"},
		{"10x250g = 2,5kg", "10 x 250 g"},
		{"500 g/Btl", "500 g"},
		{"6 x 1 l / case", "6 x 1 l"},
		{"per kg", "1 kg"},
		{"kg", "1 kg"},
		{"/kg", "1 kg"},
		{"je Stück", "1 each"},
		{"au kg", ""},
		{"each", "1 each"},
		{"dozen", "1 dozen"},
		{"per 100 g", "100 g"},
		{"Stk", "1 each"},
		{"30 Stück", "30 each"},
		{"30 st.", "30 each"},
		{"10 Blatt", "10 each"},
		{"2 Pfund", "1000 g"},
		{"pièce", "1 each"},
		{"12 pièces", "12 each"},
		{"carton de 12 x 1 l", "12 x 1 l"},
		{"sac de 25 kg", "25 kg"},
		{"1 douzaine", "1 dozen"},
		{"1 pz", "1 each"},
		{"conf. da 6 x 500 gr", "6 x 500 g"},
		{"2 etti", "200 g"},
		{"12 uds", "12 each"},
		{"caja de 6 botellas de 1 litro", "6 x 1 l"},
		{"10 stuks", "10 each"},
		{"doos 12 x 1 kg", "12 x 1 kg"},
		{"6 unidades", "6 each"},
		{"12 us fl oz", "12 us fl oz"},
		{"2 UK pints", "2 uk pint"},
		{"1 US gal.", "1 us gallon"},
		{"1 imperial gallon", "1 uk gallon"},
		{"100 sheets", "100 each"},
		{"roll 25 m", "25 m"},
		{"10 rolls of 25 m", "10 x 25 m"},
		{"10 m²", "10 m2"},
		{"5 sqm", "5 m2"},
		{"1'000 g", "1000 g"},
	} {
		got, err := pricelist.ReadPack(c.in, pricelist.Unknown)
		if c.want == "" {
			if err == nil {
				t.Errorf("ReadPack(%q) = %q, want an error", c.in, got)
			}
			continue
		}
		if err != nil || got.String() != c.want {
			t.Errorf("ReadPack(%q) = %q, %v, want %q", c.in, got, err, c.want)
			continue
		}
		// The book takes the pack as it is written.
		if again, err := measure.ParsePack(got.String()); err != nil || again.String() != got.String() {
			t.Errorf("ParsePack(%q) = %q, %v", got, again, err)
		}
	}
	for mark, want := range map[pricelist.Mark]string{pricelist.Point: "1.000 kg", pricelist.Comma: "1000 kg"} {
		if got, err := pricelist.ReadPack("1.000 kg", mark); err != nil || got.String() != want {
			t.Errorf("ReadPack(1.000 kg, %s) = %q, %v, want %q", mark, got, err, want)
		}
	}
}

func TestReadPackRefuses(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"", "no amount"},
		{"bag", "no amount"},
		{"x", "no amount"},
		{"kg bag", "no amount"},
		{"25", "no unit"},
		{"10 x 12", "no unit"},
		{"10 kg x", "stops in the middle"},
		{"x 250 g", "no count before"},
		{"10 x x 250 g", "no count before"},
		{"6 330 ml", "nothing that joins"},
		{"1.000 g", "1000 or 1.000"},
		{"1/2 kg", "fraction"},
		{"3/4 l", "fraction"},
		{"½ kg", "means nothing"},
		{"2.5 x 1 kg", "whole count"},
		{"0 x 1 kg", "whole count"},
		{"0 kg", "holds nothing"},
		{"-5 kg", "below zero"},
		{"2-3 kg", "range"},
		{"ca. 2 kg", "not exact"},
		{"approx 250 g", "not exact"},
		{"~2 kg", "means nothing"},
		{"12 fl oz", "us fl oz or uk fl oz"},
		{"1 pint", "us pint or uk pint"},
		{"2 gal", "us gallon or uk gallon"},
		{"2 bunches", "no exact measure"},
		{"25 x 35 cm", "size of a thing"},
		{"10 x 10 in", "size of a thing"},
		{"2 x 5 m", "10 rolls of 25 m"},
		{"1 l (5 kg)", "both"},
		{"10 x 250 g (3 kg)", "both"},
		{"10 x 250 g (2.5 kg", ""}, // an open bracket is but a slip
		{"10 x 250 g) 3", "do not match"},
		{"kg 5 kg", "no figure"},
		{"5 kg 3 l", "nothing that joins"},
		{"5 kg x 3 l", "two measures"},
		{"25 kg gross", "no figure"},
		{"10 blobs", "blobs"},
		{"9999999 x 1 g", "is not a count"},
		{"12345678901234567 g", "too many digits"},
		{strings.Repeat("1 x ", 60) + "1 g", "too long"},
		{strings.Repeat("(", 50), "too long"},
		{"((5 kg))", "do not match"},
	} {
		got, err := pricelist.ReadPack(c.in, pricelist.Unknown)
		if c.want == "" {
			if err != nil {
				t.Errorf("ReadPack(%q): %v", c.in, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("ReadPack(%q) = %q, %v, want an error with %q", c.in, got, err, c.want)
		}
	}
}

func TestReadDate(t *testing.T) {
	for _, c := range []struct {
		in    string
		order pricelist.Order
		want  string // "" for an error
	}{
		{"2026-10-05", "", "2026-10-05"},
		{"2026-10-05 00:00:00", "", "2026-10-05"},
		{"5.10.2026", "", "2026-10-05"},
		{"05.10.26", "", "2026-10-05"},
		{"5.10.2026", "mdy", "2026-10-05"}, // a date with points has its day first
		{"25/12/2026", "", "2026-12-25"},
		{"12/25/2026", "", "2026-12-25"},
		{"5/10/2026", "dmy", "2026-10-05"},
		{"5/10/2026", "mdy", "2026-05-10"},
		{"10/10/2026", "", "2026-10-10"},
		{"2026/10/05", "", "2026-10-05"},
		{"5/10/2026", "", ""},
		{"31.2.2026", "", ""},
		{"1 October 2026", "", ""},
		{"46300", "", ""},
		{"", "", ""},
		{"1/1/1/1", "", ""},
		{"1/1/20266", "", ""},
	} {
		got, err := pricelist.ReadDate(c.in, c.order)
		if got.String() != c.want || (err == nil) != (c.want != "") {
			t.Errorf("ReadDate(%q, %q) = %q, %v, want %q", c.in, c.order, got, err, c.want)
		}
	}
}
