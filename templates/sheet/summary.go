package sheet

import (
	"fmt"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// summary writes the first sheet: what the cake costs, what it sells at, and
// what is left.
func (s *costSheet) summary(p *page) {
	w := s.w
	p.opening(s.c.Cake.Name, "Cost sheet of "+w.date()+", "+s.x.Book.Studio.Name)
	p.skip(1)
	s.portions(p)
	p.skip(1)
	first := s.classes(p)
	p.skip(1)
	s.price(p)
	p.skip(1)
	p.put(w.words(inputCell, "yours to change"), w.words(noteCell, "Cells like this one, on every sheet, are yours to change: prices, wages, shares. All else follows."))
	p.put(nil, w.words(noteCell, "Quantities and minutes come from the design and the recipes; to change those, change the book."))
	w.chart(p, "F4", first, first+4)
	p.close()
}

// rowHeight gives the rows of the summary some air.
const rowHeight = 17

// row writes a label, its figure and a remark.
func (s *costSheet) row(p *page, label string, figure any, remark string) {
	w := s.w
	p.tall(rowHeight, w.words(labelCell, label), figure, w.words(noteCell, remark))
}

func (s *costSheet) portions(p *page) {
	w := s.w
	t := s.c.Takeoff
	p.section("Portions", 4)
	s.row(p, "Portions made", w.figure(figureCell, countFormat, exact.Int(int64(t.Made))), "")
	w.name("portions_made", p.ref("B", p.row))
	remark := ""
	if t.Served != t.Made {
		remark = "a tier is kept for later"
	}
	s.row(p, "Portions served", w.figure(figureCell, countFormat, exact.Int(int64(t.Served))), remark)
	w.name("portions_served", p.ref("B", p.row))
}

// classes writes the cost by class and returns the first row of it.
func (s *costSheet) classes(p *page) int {
	w := s.w
	cost := s.c.Cost
	total := cost.Total()
	p.section("Cost", 4)
	p.put(w.heads("Class", "#Cost", "#Share", "#Per portion served")...)
	first := p.row + 1
	line := func(label, name string, words, figures kind, formula string, n exact.Number) {
		row := p.row + 1
		each, served := pricing.PerPortion(n, s.c.Takeoff.Served)
		p.tall(rowHeight,
			w.words(words, label),
			w.live(figures, w.money.plain, formula, n),
			w.live(figures, shareFormat, shareOf(fmt.Sprintf("B%d", row), fmt.Sprintf("$B$%d", first+5)), share(n, total)),
			w.perhaps(figures, w.money.plain, fmt.Sprintf(`IF(portions_served>0,B%d/portions_served,"%s")`, row, absent), each, served),
		)
		w.name(name, p.ref("B", row))
	}
	line("Ingredients", "cost_ingredients", labelCell, figureCell, s.cost.ingredients, cost.Ingredients)
	line("Packaging", "cost_packaging", labelCell, figureCell, s.cost.packaging, cost.Packaging)
	line("Labour", "cost_labour", labelCell, figureCell, s.cost.labour, cost.Labour)
	line("Equipment and energy", "cost_equipment", labelCell, figureCell, s.cost.equipment, cost.Equipment)
	line("Overhead", "cost_overhead", labelCell, figureCell, s.cost.overhead, cost.Overhead)
	line("Total", "cost_total", keyLabel, keyCell, fmt.Sprintf("SUM(B%d:B%d)", first, first+4), total)
	w.name("cost_per_portion", p.ref("D", p.row))
	return first
}

// price writes how the price comes about and what it leaves. Where a figure
// cannot be, a formula says so by a dash, which is no number to those below.
func (s *costSheet) price(p *page) {
	w := s.w
	studio := s.x.Book.Studio
	offer := s.c.Offer
	total := s.c.Cost.Total()
	gross := studio.PricesShown.Or(book.Gross) == book.Gross
	p.section("Target", 4)
	s.tax(p)
	s.target(p)
	places := fmt.Sprint(studio.Currency.Places())
	step := "none: to the minor unit"
	if studio.PriceStep.Given {
		step = "up to a multiple of it"
	}
	s.row(p, "Price step", w.given(inputCell, w.money.plain, studio.PriceStep.Value.Number(), studio.PriceStep.Given), step)
	p.between("B", p.row, p.row, 0, 1e9, "A step is a number above 0, or empty for none.")
	w.name("price_step", p.ref("B", p.row))
	s.row(p, "Target price, as shown", w.perhaps(figureCell, w.money.plain,
		`IF(ISNUMBER(target_before_rounding),IF(N(price_step)>0,CEILING(ROUND(target_before_rounding,6),price_step),ROUND(ROUND(target_before_rounding,9),`+places+`)),"`+absent+`")`,
		offer.Target, offer.HasGoal), "")
	w.name("target_price", p.ref("B", p.row))
	p.skip(1)
	p.section("Price and margin", 4)
	s.row(p, "List price, as shown", w.given(inputCell, w.money.plain, s.c.Offer.Shown, s.c.Offer.Listed), "instead of the target; may be empty")
	p.between("B", p.row, p.row, 0, 1e12, "A price is a number, 0 or more, or empty for none.")
	w.name("list_price", p.ref("B", p.row))

	money := func(k kind, formula string, n exact.Number, known bool) any {
		return w.perhaps(k, w.money.plain, formula, n, known)
	}
	known := offer.HasPrice
	shown := "with " + s.taxLabel()
	if !gross {
		shown = "before " + s.taxLabel()
	}
	if studio.Tax == nil {
		shown = ""
	}
	p.tall(rowHeight, w.words(keyLabel, "Shown price"), money(keyCell, "IF(ISNUMBER(list_price),list_price,target_price)", offer.Shown, known), w.words(noteCell, shown))
	w.name("shown_price", p.ref("B", p.row))
	each, served := pricing.PerPortion(offer.Shown, s.c.Takeoff.Served)
	s.row(p, "Shown price per portion served", money(figureCell, whereNumber("shown_price", `IF(portions_served>0,shown_price/portions_served,"`+absent+`")`), each, known && served), "")
	netRow := p.row + 2
	if gross {
		s.row(p, s.taxLabel()+" in it", money(figureCell, whereNumber("shown_price", fmt.Sprintf("shown_price-B%d", netRow)), offer.Shown.Sub(offer.Net), known), "")
	} else {
		s.row(p, s.taxLabel()+" on top", money(figureCell, whereNumber("shown_price", "shown_price*tax_rate"), offer.Shown.Mul(offer.TaxRate), known), "")
	}
	net := "shown_price"
	if gross {
		net = "shown_price/(1+tax_rate)"
	}
	s.row(p, "Net price", money(figureCell, whereNumber("shown_price", net), offer.Net, known), "without "+s.taxLabel())
	w.name("net_price", p.ref("B", p.row))
	s.row(p, "Left over when all costs are paid", money(figureCell, whereNumber("net_price", "net_price-cost_total"), offer.Net.Sub(total), known), "")
	margin, has := s.c.Margin()
	p.tall(rowHeight, w.words(keyLabel, "Margin"), w.perhaps(keyCell, percentFormat, `IF(N(net_price)<>0,(net_price-cost_total)/net_price,"`+absent+`")`, margin, has), w.words(noteCell, "of the net price"))
	w.name("margin", p.ref("B", p.row))
	s.floor(p, margin, has)
}

// floor writes whether the margin is as high as the studio wants it at least.
func (s *costSheet) floor(p *page, margin exact.Number, has bool) {
	w := s.w
	studio := s.x.Book.Studio
	floor := studio.FloorMargin.Or(measure.Percent{}).Fraction()
	s.row(p, "Floor margin", w.figure(inputCell, percentFormat, floor), "")
	p.between("B", p.row, p.row, 0, 0.9999, "A margin is from 0% to below 100%.")
	w.name("floor_margin", p.ref("B", p.row))
	met := w.words(figureCell, absent)
	met.StyleID = w.style(look{kind: keyCell, format: "@"})
	met.Formula = `IF(ISNUMBER(margin),IF(ROUND(margin-floor_margin,9)>=0,"yes","no"),"` + absent + `")`
	switch {
	case has && margin.Cmp(floor) >= 0:
		met.Value = "yes"
	case has:
		met.Value = "no"
	}
	p.tall(rowHeight, w.words(keyLabel, "Floor met"), met)
	w.name("floor_met", p.ref("B", p.row))
	w.tint(p, cellName("B", p.row), `"yes"`, goodInk)
	w.tint(p, cellName("B", p.row), `"no"`, badInk)
	lowest := s.c.Cost.Total().Quo(exact.Int(1).Sub(floor))
	formula := "cost_total/(1-floor_margin)"
	if studio.PricesShown.Or(book.Gross) == book.Gross {
		formula += "*(1+tax_rate)"
	}
	s.row(p, "Shown price at the floor", w.live(figureCell, w.money.plain, formula, pricing.ShownOf(studio, lowest, s.c.Offer.TaxRate)), "below it the margin is under the floor")
}

// tax writes the rate of tax.
func (s *costSheet) tax(p *page) {
	w := s.w
	remark := "the studio charges none"
	switch {
	case s.x.Book.Studio.Tax != nil && s.c.Cake.TaxRate.Given:
		remark = "of this cake; have it confirmed"
	case s.x.Book.Studio.Tax != nil:
		remark = "of the studio; have it confirmed"
	}
	s.row(p, s.taxLabel()+" rate", w.figure(inputCell, percentFormat, s.c.Offer.TaxRate), remark)
	p.between("B", p.row, p.row, 0, 10, "A tax rate, such as 13.5%.")
	w.name("tax_rate", p.ref("B", p.row))
}

func (s *costSheet) taxLabel() string {
	if tax := s.x.Book.Studio.Tax; tax != nil && tax.Label.Or("") != "" {
		return tax.Label.Value
	}
	return "Tax"
}

// target writes what the price aims at and what that asks for, before it is
// rounded.
func (s *costSheet) target(p *page) {
	w := s.w
	studio := s.x.Book.Studio
	cost, rate := s.c.Cost.Total(), s.c.Offer.TaxRate
	t, whose := studio.Target, "of the studio"
	if s.c.Cake.Target != nil {
		t, whose = *s.c.Cake.Target, "of this cake"
	}
	one := exact.Int(1)
	goal := func(label, format string, n exact.Number, most float64, remark string) {
		s.row(p, label, w.figure(inputCell, format, n), remark+", "+whose)
		p.between("B", p.row, p.row, 0, most, "This target is from 0 to "+fmt.Sprint(most)+".")
		w.name("target", p.ref("B", p.row))
	}
	before := func(formula string, n exact.Number, known bool, remark string) {
		s.row(p, "Target before rounding, as shown", w.perhaps(figureCell, w.money.plain, formula, n, known), remark)
		w.name("target_before_rounding", p.ref("B", p.row))
	}
	fromNet := func(formula string, net exact.Number, remark string) {
		s.row(p, "Net price that it asks for", w.live(figureCell, w.money.plain, formula, net), remark)
		cell := fmt.Sprintf("B%d", p.row)
		if studio.PricesShown.Or(book.Gross) == book.Gross {
			before(cell+"*(1+tax_rate)", pricing.ShownOf(studio, net, rate), true, "net price × (1 + tax rate)")
		} else {
			before(cell, net, true, "prices are shown without tax")
		}
	}
	switch {
	case t.PerPortion.Given:
		goal("Target price per portion", w.money.of(t.PerPortion.Value.Decimal()), t.PerPortion.Value.Number(), 1e9, "as shown")
		served := exact.Int(int64(s.c.Takeoff.Served))
		before(`IF(portions_served>0,target*portions_served,"`+absent+`")`, t.PerPortion.Value.Number().Mul(served), s.c.Takeoff.Served > 0, "× portions served")
	case t.Fixed.Given:
		goal("Target price, fixed", w.money.of(t.Fixed.Value.Decimal()), t.Fixed.Value.Number(), 1e12, "as shown")
		before("target", t.Fixed.Value.Number(), true, "")
	case t.Markup.Given:
		goal("Target markup", percentFormat, t.Markup.Value.Fraction(), 1e6, "on cost")
		fromNet("cost_total*(1+target)", cost.Mul(one.Add(t.Markup.Value.Fraction())), "cost × (1 + markup)")
	default:
		goal("Target margin", percentFormat, t.Margin.Value.Fraction(), 0.9999, "of the net price")
		fromNet("cost_total/(1-target)", cost.Quo(one.Sub(t.Margin.Value.Fraction())), "cost ÷ (1 − margin)")
	}
}

// whereNumber is the formula of a figure that depends on another one, and is
// absent where that is.
func whereNumber(name, formula string) string {
	return fmt.Sprintf(`IF(ISNUMBER(%s),%s,"%s")`, name, formula, absent)
}
