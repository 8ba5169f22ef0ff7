package pricelist

import (
	"fmt"
	"testing"
)

func TestTry(t *testing.T) {
	for _, s := range []string{"10x250g", "10 × 250 g", "case of 6 x 1L", "6/1 l", "15 doz", "15 dozen", "2,5 kg", "500GR", "1 ltr", "70 cl", "tray 30", "30 pcs", "25kg bag", "12 x 397 g tins", "per kg", "30 Stück", "Stk", "pièce", "1 pz", "12 uds", "30 st.", "2.5 kg x 4", "kg 25", "6 bottles of 75 cl", "Karton à 12 Dosen à 397 g", "3 trays of 30", "1 lb (454 g)", "10x250g = 2,5kg", "25 x 35 cm", "1/2 kg", "6 330 ml", "1.000 g", "12 fl oz", "12 us fl oz", "ca. 2 kg", "100 sheets", "5kgx4", "4 x 6 x 100 g", "12\" ", "case (6 x 1 l)", "30/tray", "500 g/Btl", "10 m²", "cf 6 x kg 1", "6 Pfund", "-5 kg", "2-3 kg", "", "x", "bag", "25", "1 x 25 kg", "6 x 2 doz", "2 gross", "25 kg gross", "0 kg", "10 in", "12 x 10 in", "roll 25 m", "7-pack", "1 etto", "3.5", "bag 25 kg net", "12 per case", "6 x 1 l / case", "1,5 L Flasche", "12 Dosen 400g"} {
		p, err := ReadPack(s, Unknown)
		fmt.Printf("%-30q %-16v %v\n", s, p, err)
	}
	for _, s := range []string{"1.234,50 €", "£ 12.50", "CHF 1'250.-", "95p", "3,20 €/kg", "€.50", "Fr.50", "EUR.50", "-5", "5-", "(5.00)", "1.234", "1,234", "0,125", "12,-", "1 234,50", "1\u202f234,50 €", "12,34,567.80", "$1,234.5", "25.25 EUR", "12,50 kr", "5%", "12.50 per 100 g", "12 50", "1.2.3", "", "n/a", "12.50 - 13", "R$ 5,00", "1.250,-", "US$ 3", "12,5", "1e5", "12,50 € je Stück", ".5", "5.", "0", "00012", "1,23,45"} {
		p, err := ReadAmount(s, Unknown)
		fmt.Printf("%-30q %-16v %v\n", s, p, err)
	}
}
