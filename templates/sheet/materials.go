package sheet

import (
	"fmt"

	"marchpane/pricing"
	"marchpane/pricing/exact"
)

// materials writes the sheet of ingredients and packaging: what is bought, at
// what price, and what of it this cake takes.
func (s *costSheet) materials(p *page) {
	w := s.w
	p.opening("Ingredients and packaging, as purchased",
		"Quantities are summed from the sheet of components. Yellow cells are prices as paid, in force on "+w.date()+": change them and every cost follows.")
	p.skip(1)
	p.tall(30, w.heads("Name", "Kind", "#Quantity", "Unit", "Pack", "#Pack holds", "#Pack price, as paid", "#Tax in it", "Tax recovered",
		"#Price per unit", "#Cost", "#Share", "Price since", "Supplier", "Id")...)

	first, last := tableFirst, tableFirst+max(len(s.things), 1)-1
	total := s.c.Cost.Ingredients.Add(s.c.Cost.Packaging)
	costs := rangeOf("K", first, "K", last)
	if len(s.things) == 0 {
		p.put(append([]any{w.words(labelCell, "nothing is bought for this cake")}, w.blanks(labelCell, 14)...)...)
	}
	for i, line := range s.things {
		s.thing(p, first+i, line, total, fmt.Sprintf("$K$%d", last+4))
	}
	p.between("G", first, last, 0, 1e9, "A pack price is a number, 0 or more.")
	p.between("H", first, last, 0, 10, "The rate of the tax that the price holds, such as 23%.")
	if len(s.things) > 0 {
		p.filter("A", "O", tableHead, last)
	}

	p.skip(1)
	kinds := rangeOf("B", first, "B", last)
	s.cost.ingredients = s.materialTotal(p, "Ingredients", fmt.Sprintf(`SUMIFS(%s,%s,"ingredient")`, costs, kinds), s.c.Cost.Ingredients)
	s.cost.packaging = s.materialTotal(p, "Packaging", fmt.Sprintf(`SUMIFS(%s,%s,"packaging")`, costs, kinds), s.c.Cost.Packaging)
	s.materialTotal(p, "Ingredients and packaging", fmt.Sprintf("SUM(%s)", costs), total)
	s.materialTotal(p, "Of the rows in view", fmt.Sprintf("SUBTOTAL(109,%s)", costs), total)
	p.close()
}

// thing writes the row of one ingredient or piece of packaging.
func (s *costSheet) thing(p *page, row int, line pricing.BillLine, total exact.Number, totalCell string) {
	w := s.w
	rate := s.rate(line.Resource, line.Kind)
	if rate.Bought == nil {
		return // its error is kept
	}
	it, _ := s.x.Item(line.Resource)
	recovers := "no"
	if s.x.Book.Studio.RecoversTax.Or(false) {
		recovers = "yes"
	}
	size := rate.Bought.Pack.Size(s.x.Household())
	cost := line.Quantity.Mul(rate.PerUnit)
	p.put(
		w.words(labelCell, it.Name()),
		w.words(labelCell, line.Kind.String()),
		w.live(figureCell, quantityFormat(line.Quantity, line.Unit), sumOf(
			columnOf(recipesSheet, "G", 1, s.lastRecipe), columnOf(recipesSheet, "K", 1, s.lastRecipe), fmt.Sprintf("O%d", row)), line.Quantity),
		w.words(labelCell, line.Unit),
		w.words(labelCell, rate.Bought.Pack.String()),
		w.figure(figureCell, exactly(size), size),
		w.figure(inputCell, w.money.of(rate.Bought.Price.Decimal()), rate.Bought.Price.Number()),
		w.given(inputCell, percentFormat, rate.Bought.TaxIn.Value.Fraction(), rate.Bought.TaxIn.Given),
		w.words(labelCell, recovers),
		w.live(figureCell, w.money.fine, fmt.Sprintf(`G%d/F%d/IF(I%d="yes",1+H%d,1)`, row, row, row, row), rate.PerUnit),
		w.live(figureCell, w.money.plain, fmt.Sprintf("C%d*J%d", row, row), cost),
		w.live(figureCell, shareFormat, shareOf(fmt.Sprintf("K%d", row), totalCell), share(cost, total)),
		w.words(labelCell, rate.From.String()),
		w.words(labelCell, rate.Bought.Supplier.Or("")),
		w.words(labelCell, string(line.Resource)),
	)
}

// materialTotal writes a total below the table and returns its cell.
func (s *costSheet) materialTotal(p *page, label, formula string, n exact.Number) string {
	w := s.w
	cells := append([]any{w.words(totalLabel, label)}, w.blanks(totalLabel, 9)...)
	p.put(append(cells, w.live(totalCell, w.money.plain, formula, n))...)
	return p.ref("K", p.row)
}
