package sheet

import (
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shopping"
)

const shoppingSheet = "Shopping list"

// Shopping writes a shopping list as a workbook of one sheet, by supplier. What
// is on hand, how many packs are bought and what a pack costs are inputs; what
// is to buy, to pay and left over follow by live formulas.
func Shopping(out io.Writer, studio book.Studio, list shopping.List) error {
	s := shoppingPaper{List: list, w: newWorkbook(about{title: shoppingSheet, of: ordersOf(list), studio: studio, on: list.On})}
	s.page = s.w.page(shoppingSheet, paper{
		widths: []float64{36, 18, 11, 11, 11, 7, 16, 11, 8, 13, 9, 10, 12, 12, 11, 30, 12, 22},
		freeze: tableHead, repeat: [2]int{tableHead, tableHead},
	})
	s.write()
	return s.w.save(out)
}

// ordersOf names what the list is for.
func ordersOf(list shopping.List) string {
	var refs []string
	for _, o := range list.Orders {
		if o.Ref != "" {
			refs = append(refs, o.Ref)
		}
	}
	if len(refs) == 0 {
		return fmt.Sprintf("%d orders", len(list.Orders))
	}
	return strings.Join(refs, "; ")
}

type shoppingPaper struct {
	shopping.List
	w    *workbook
	page *page
	last int // row of the last pack
}

func (s *shoppingPaper) write() {
	w, p := s.w, s.page
	p.opening(shoppingSheet, "Prices of "+w.date()+". Yellow cells are yours to change: what is on hand, packs, prices. For "+w.about.of)
	p.skip(1)
	p.tall(30, w.heads("Item", "Category", "#Needed", "#On hand", "#To buy", "Unit", "Pack", "#Pack holds", "#Packs", "#Pack price, as paid",
		"#Tax in it", "Tax recovered", "#To pay", "#Cost", "#Left over", "For", "Price since", "Id")...)
	// A group takes a heading, its rows and a subtotal.
	s.last = tableHead
	for _, g := range s.Groups {
		s.last += len(g.Buys) + 2
	}
	for _, g := range s.Groups {
		s.group(g)
	}
	if len(s.Groups) == 0 {
		p.put(w.words(noteCell, "nothing is to buy"))
	} else {
		s.total()
		s.checks()
	}
	s.stocked()
	s.leftovers()
	if len(s.Groups) > 0 {
		p.put(w.words(noteCell, "Read the label of everything that is bought: allergens and traces differ by brand, and the label goes before the book."))
	}
	w.check(w.file.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Area", Scope: shoppingSheet, RefersTo: fmt.Sprintf("%s!$A$1:$Q$%d", quoted(shoppingSheet), p.row),
	}))
	p.close()
}

// group writes what one supplier sells.
func (s *shoppingPaper) group(g shopping.Group) {
	p := s.page
	name := g.Supplier
	if name == "" {
		name = "No supplier named"
	}
	p.section(name, 18)
	first := p.row + 1
	for _, b := range g.Buys {
		s.buy(b)
	}
	s.sum(totalLabel, totalCell, name+", in all", first, p.row, g.Sum.Paid, g.Sum.Cost, "%s")
	p.between("I", first, p.row-1, 0, 1e6, "A number of packs, 0 or more.")
	p.between("J", first, p.row-1, 0, 1e9, "A pack price is a number, 0 or more.")
	p.between("K", first, p.row-1, 0, 10, "The rate of the tax that the price holds, such as 23%.")
}

// buy writes the row of some packs.
func (s *shoppingPaper) buy(b shopping.Buy) {
	w, row, l, pick := s.w, s.page.row+1, b.Line, b.Pick
	recovered := "no"
	if s.Recovers {
		recovered = "yes"
	}
	cells := []any{w.words(labelCell, l.Name), w.words(labelCell, l.Category)}
	left := w.blank(figureCell, "")
	if b.First {
		cells = append(cells, s.amounts(row, l)...)
		bought := fmt.Sprintf("SUMPRODUCT(($R$%[1]d:$R$%[2]d=R%[3]d)*1,$H$%[1]d:$H$%[2]d,$I$%[1]d:$I$%[2]d)", tableFirst, s.last, row)
		left = w.live(figureCell, quantityFormat(l.Left, l.Unit), fmt.Sprintf("D%d+%s-C%d", row, bought, row), l.Left)
	} else {
		cells = append(cells, w.blanks(figureCell, 3)...)
	}
	cells = append(cells,
		w.words(labelCell, l.Unit),
		w.words(labelCell, pick.Price.Pack.String()),
		w.figure(figureCell, exactly(pick.Size), pick.Size),
		w.figure(inputCell, countFormat, pick.Packs),
		w.figure(inputCell, w.money.of(pick.Price.Price.Decimal()), pick.Price.Price.Number()),
		w.given(inputCell, percentFormat, pick.Price.TaxIn.Value.Fraction(), pick.Price.TaxIn.Given),
		w.words(labelCell, recovered),
		w.live(figureCell, w.money.plain, fmt.Sprintf("I%d*J%d", row, row), pick.Sum.Paid),
		w.live(figureCell, w.money.plain, fmt.Sprintf(`M%d/IF(L%d="yes",1+K%d,1)`, row, row, row), pick.Sum.Cost),
		left,
		w.words(wrapCell, sharesOf(l)),
		w.words(labelCell, pick.Price.From.String()),
		w.words(labelCell, string(l.ID)),
	)
	s.page.put(cells...)
}

// amounts returns the cells of what is needed, on hand and to buy.
func (s *shoppingPaper) amounts(row int, l shopping.Line) []any {
	format := quantityFormat(l.Needed, l.Unit)
	return []any{
		s.w.figure(figureCell, format, l.Needed),
		s.w.given(inputCell, format, l.OnHand, !l.OnHand.IsZero()),
		s.w.live(figureCell, format, fmt.Sprintf("MAX(0,C%d-D%d)", row, row), l.ToBuy),
	}
}

// mostRefs is how many orders a row names before it counts the rest.
const mostRefs = 3

// sharesOf names the orders that take a line.
func sharesOf(l shopping.Line) string {
	var refs []string
	for i, share := range l.For {
		if i == mostRefs-1 && len(l.For) > mostRefs {
			return fmt.Sprintf("%s and %d more", strings.Join(refs, "; "), len(l.For)-i)
		}
		refs = append(refs, share.Ref)
	}
	return strings.Join(refs, "; ")
}

// sum writes a row that adds up To pay and Cost. SUBTOTAL passes over the
// subtotals in its range.
func (s *shoppingPaper) sum(label, figures kind, words string, first, last int, paid, cost exact.Number, pattern string) {
	w := s.w
	sum := func(column string) string {
		return fmt.Sprintf(pattern, fmt.Sprintf("SUBTOTAL(9,%s)", rangeOf(column, first, column, last)))
	}
	cells := append([]any{w.words(label, words)}, w.blanks(label, 11)...)
	s.page.put(append(cells, w.live(figures, w.money.plain, sum("M"), paid), w.live(figures, w.money.plain, sum("N"), cost))...)
}

func (s *shoppingPaper) total() {
	w, p := s.w, s.page
	p.skip(1)
	round := fmt.Sprintf("ROUND(%%s,%d)", w.money.places)
	s.sum(keyLabel, keyCell, "To pay in all, and what of it is cost", tableFirst, s.last, s.Sum.PaidShown.Number(), s.Sum.CostShown.Number(), round)
	w.name("shopping_paid", p.ref("M", p.row))
	w.name("shopping_cost", p.ref("N", p.row))
	cells := append([]any{w.words(labelCell, "Recoverable tax in it")}, w.blanks(labelCell, 11)...)
	p.put(append(cells, w.live(figureCell, w.money.plain, "shopping_paid-shopping_cost", s.Sum.Tax().Number()))...)
	w.name("shopping_tax", p.ref("M", p.row))
}

// checks colours what would run short.
func (s *shoppingPaper) checks() {
	if s.w.err != nil {
		return
	}
	style, err := s.w.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: badInk}})
	s.w.check(err)
	s.w.check(s.w.file.SetConditionalFormat(shoppingSheet, rangeOf("O", tableFirst, "O", s.last), []excelize.ConditionalFormatOptions{
		{Type: "cell", Criteria: "<", Value: "0", Format: &style},
	}))
}

// stocked writes what is needed and on hand, and what was left out of the list.
func (s *shoppingPaper) stocked() {
	w, p := s.w, s.page
	begun := false
	for _, l := range s.Lines {
		if len(l.Picks) > 0 {
			continue
		}
		if !begun {
			p.skip(1)
			p.section("On hand, nothing to buy", 18)
			begun = true
		}
		row := p.row + 1
		cells := append([]any{w.words(labelCell, l.Name), w.words(labelCell, l.Category)}, s.amounts(row, l)...)
		cells = append(append(cells, w.words(labelCell, l.Unit)), w.blanks(figureCell, 8)...)
		p.put(append(cells, w.live(figureCell, quantityFormat(l.Left, l.Unit), fmt.Sprintf("D%d-C%d", row, row), l.Left),
			w.words(wrapCell, sharesOf(l)), w.blank(labelCell, ""), w.words(labelCell, string(l.ID)))...)
	}
	if len(s.Skipped) == 0 {
		return
	}
	p.skip(1)
	p.section("Not on this list", 18)
	for _, l := range s.Skipped {
		p.put(w.words(labelCell, l.Name), w.words(labelCell, l.Category), w.figure(figureCell, quantityFormat(l.Needed, l.Unit), l.Needed),
			w.blank(figureCell, ""), w.blank(figureCell, ""), w.words(labelCell, l.Unit))
	}
}

// keeping writes a keeping time in words.
func keeping(q measure.Quantity) string {
	if q.Unit().String() == "day" && !q.Base(measure.Metric).Equal(exact.Int(24*60)) {
		return q.String() + "s"
	}
	return q.String()
}

// leftovers writes what is left of pieces that are taken apart, and what to
// look at.
func (s *shoppingPaper) leftovers() {
	w, p := s.w, s.page
	begun := false
	for _, l := range s.Lines {
		if l.Split == nil {
			continue
		}
		for _, part := range l.Split.Parts {
			if part.Left.Sign() <= 0 {
				continue
			}
			if !begun {
				p.skip(1)
				p.section("Left over when pieces are taken apart", 18)
				begun = true
			}
			var outlets []string
			for _, o := range part.UsedIn {
				text := fmt.Sprintf("%s (%s g a batch", o.Name, o.Grams.Round(1))
				if o.Keeps.Given() {
					text += ", keeps " + keeping(o.Keeps)
				}
				outlets = append(outlets, text+")")
			}
			could := "no component of the book uses it"
			if len(outlets) > 0 {
				could = "could go into " + strings.Join(outlets, "; ")
			}
			p.put(w.words(labelCell, part.Name), w.words(labelCell, "of "+l.Name), w.figure(figureCell, quantityFormat(part.Left, "g"), part.Left),
				w.blank(figureCell, ""), w.blank(figureCell, ""), w.words(labelCell, "g"), w.words(noteCell, shortened(could, 160)))
		}
	}
	if begun {
		p.put(w.words(noteCell, "Chill what is left over at once, date it, and follow its label and the food safety advice of your country."))
	}
	for _, l := range s.Lines {
		if l.PartsUnknown {
			p.put(w.words(noteCell, shortened(l.Name, 60)+": counted by weight from a frozen bill, which does not say which parts are used; check the number of pieces."))
		}
	}
}
