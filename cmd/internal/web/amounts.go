package web

import (
	"context"
	"fmt"
	"regexp"
	"strings"

	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/pricelist"
)

// price returns what is in a box for money as a plain figure, however it was
// written: "18,50 €", "1.234,50" and "1 234.50" too. Money of another currency,
// and what is no figure, is left alone, to be refused.
func (f form) price(name string) string {
	text := f.get(name)
	if text == "" || strings.HasSuffix(text, "p") || strings.HasSuffix(text, "c") { // pence and cents are for lists
		return f.figure(name)
	}
	a, err := pricelist.ReadAmount(text, pricelist.Unknown)
	if err != nil || a.Per != nil || !a.In(f.currency) {
		return f.figure(name)
	}
	return measure.Plain(a.Figure)
}

// eitherWay is a figure of which nobody can tell whether its mark stands before
// decimals or before thousands.
var eitherWay = regexp.MustCompile(`^[1-9][0-9]{0,2}[.,][0-9]{3}$`)

// oneWay refuses an amount of whole coins that could be a thousand times as much:
// 1.000 is a thousand in half of Europe. A currency whose coins are that small
// has such figures every day.
func oneWay(cur money.Currency, text string) error {
	if cur.Places() >= 3 || !eitherWay.MatchString(text) {
		return nil
	}
	plain := strings.NewReplacer(".", "", ",", "")
	point := strings.Replace(text, ",", ".", 1)
	return fmt.Errorf("%s may be %s or %s; write it without the mark, or with two digits behind it", text, plain.Replace(text), strings.TrimSuffix(point, "0"))
}

var plainNumber = regexp.MustCompile(`^[0-9]+([.][0-9]+)?$`)

// inUnit gives a bare number the unit that its box asks for.
func inUnit(text, unit string) string {
	if number := pointed(text); plainNumber.MatchString(number) {
		return number + " " + unit
	}
	return text
}

// currency is that of the studio's book; none where there is no book yet, or it
// cannot be read, which whoever reads the form finds out by themselves.
func (d *studio) currency(ctx context.Context) money.Currency {
	if d == nil {
		return money.Currency{}
	}
	x, err := d.book(ctx)
	if err != nil {
		return money.Currency{}
	}
	return x.Book.Studio.Currency
}
