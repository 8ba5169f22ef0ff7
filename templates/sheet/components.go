package sheet

import (
	"fmt"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// recipeColumns is how many columns the sheet of components has.
const recipeColumns = 12

// block is where the recipe of one component stands, and what it comes to.
type block struct {
	name  string
	facts int // the row of what is needed, made and scaled
	node  pricing.Node
}

func (b block) cell(column string) string { return fmt.Sprintf("$%s$%d", column, b.facts) }

// recipes writes the sheet of components: how much of each is needed and made,
// its recipe scaled to that, its work, and what it costs; and at the end what
// goes onto the cake without being made.
func (s *costSheet) recipes(p *page) {
	w := s.w
	explained, err := pricing.ByPlace(s.c)
	w.check(err)
	if err != nil {
		return
	}
	p.opening("Components", "Every recipe, scaled to what this cake needs. Prices stand on the other sheets; follow a cost to its cell there.")
	p.skip(1)

	makings := s.c.Takeoff.Makings
	blocks := make(map[book.ID]block, len(makings))
	row := tableHead + len(makings) + 2 // the overview, its note and an empty row
	for i, m := range makings {
		row += 2
		blocks[m.Component.ID] = block{name: m.Component.Name, facts: row, node: explained.Made[i]}
		row += s.blockRows(m)
	}
	s.overview(p, blocks)
	askedBy := map[book.ID][]string{} // cells in which a component asks for another
	p.skip(1)
	for i, m := range makings {
		s.making(p, i, m, blocks, askedBy)
	}
	s.straight(p)
	s.lastRecipe = p.row
	p.close()
}

// overview lists the components with what each costs.
func (s *costSheet) overview(p *page, blocks map[book.ID]block) {
	w := s.w
	p.tall(30, w.heads("Component", "Kind", "#Needed", "#Made", "Unit", "", "#Batches", "#One batch gives", "#Factor", "#Costs in all", "#Cost per kg or piece", "")...)
	for _, m := range s.c.Takeoff.Makings {
		b := blocks[m.Component.ID]
		size := quantityFormat(m.Made, m.Unit)
		p.put(
			w.words(labelCell, m.Component.Name),
			w.words(labelCell, m.Component.Kind.Or("")),
			w.live(figureCell, size, b.cell("C"), m.Need),
			w.live(figureCell, size, b.cell("D"), m.Made),
			w.words(labelCell, m.Unit),
			w.blank(labelCell, ""),
			w.live(figureCell, countFormat, b.cell("G"), m.Batches),
			w.live(figureCell, size, b.cell("H"), m.Output),
			w.live(figureCell, factorFormat, b.cell("I"), m.Factor()),
			w.live(figureCell, w.money.plain, b.cell("J"), b.node.Amount),
			w.live(figureCell, w.money.plain, b.cell("K"), perKgOrPiece(b.node, m.Unit)),
			w.blank(labelCell, ""),
		)
	}
	note := "A component that another one uses is counted in both, so this column is not to be added up."
	if len(blocks) == 0 {
		note = "Nothing is made for this cake."
	}
	p.put(w.words(noteCell, note))
}

// perKgOrPiece returns what a kilogram or a piece of a component costs.
func perKgOrPiece(n pricing.Node, unit string) exact.Number {
	if unit == "g" {
		return n.PerUnit.Mul(exact.Int(1000))
	}
	return n.PerUnit
}

// blockRows returns how many rows making writes below its facts.
func (s *costSheet) blockRows(m pricing.Making) int {
	rows := 1 + len(m.Needs) + 1 // headings of needs and lines
	rows += len(s.linesOf(m))
	for _, u := range m.Uses {
		if u.Kind == pricing.Role || u.Kind == pricing.Equipment {
			rows++
		}
	}
	return rows + 2 // the total and an empty row
}

// making writes the block of one component.
func (s *costSheet) making(p *page, i int, m pricing.Making, blocks map[book.ID]block, askedBy map[book.ID][]string) {
	w := s.w
	b := blocks[m.Component.ID]
	perUnit := "#Cost per piece"
	if m.Unit == "g" {
		perUnit = "#Cost per kg"
	}
	p.tall(30, append([]any{w.words(sectionCell, m.Component.Name)},
		w.heads("#Smallest batch", "#Needed", "#Made", "Unit", "#Largest batch", "#Batches", "#One batch gives", "#Factor", "#Costs in all", perUnit, "")...)...)
	s.facts(p, m, b)
	if p.row != b.facts {
		w.check(fmt.Errorf("%s stands in row %d instead of %d", m.Component.Name, p.row, b.facts))
	}
	p.put(w.heads("Needed by", "", "", "#Amount", "Unit", "", "", "", "", "", "", "How it arises")...)
	asked := askedBy[m.Component.ID]
	for _, n := range m.Needs {
		amount := w.figure(figureCell, quantityFormat(n.Quantity, m.Unit), n.Quantity)
		if n.Place.Component != "" && len(asked) > 0 {
			amount.Formula, asked = asked[0], asked[1:]
		}
		p.put(append(append([]any{w.words(labelCell, where(n.Place)), w.blank(labelCell, ""), w.blank(labelCell, ""), amount, w.words(labelCell, m.Unit)},
			w.blanks(labelCell, 6)...), w.words(wrapCell, pricing.Say(n.Working)))...)
	}
	p.put(w.heads("Recipe", "As written", "#One batch", "#× factor", "Unit", "#Bought for one", "#As bought", "Unit", "#Price per unit", "#Cost", "Id", "Remarks")...)
	first := p.row + 1
	for _, line := range s.linesOf(m) {
		if line.component != "" {
			s.nested(p, m, line, b, blocks[line.component], askedBy)
		} else {
			s.line(p, m, line, b)
		}
	}
	for j, u := range m.Uses {
		s.work(p, spot{i, j}, u)
	}
	p.put(append(append([]any{w.words(totalLabel, "In all")}, w.blanks(totalLabel, 8)...),
		w.live(totalCell, w.money.plain, fmt.Sprintf("SUM(J%d:J%d)", first, p.row), b.node.Amount), w.blank(totalLabel, ""), w.blank(totalLabel, ""))...)
	p.skip(1)
}

// facts writes what is needed of a component, what is made, and the factor of
// its lines. Needs stand two rows below, the total at the end of the block.
func (s *costSheet) facts(p *page, m pricing.Making, b block) {
	w := s.w
	c := m.Component
	size := quantityFormat(m.Made, m.Unit)
	row := b.facts
	needs := rangeOf("D", row+2, "D", row+1+len(m.Needs))
	total := row + s.blockRows(m) - 1
	perUnit := fmt.Sprintf("J%d/C%d", row, row)
	if m.Unit == "g" {
		perUnit += "*1000"
	}
	p.put(
		w.words(labelCell, c.Kind.Or("")),
		s.batch(c, c.BatchMin, size),
		w.live(figureCell, size, fmt.Sprintf("SUM(%s)", needs), m.Need),
		w.live(figureCell, size, fmt.Sprintf("MAX(C%d,B%d)", row, row), m.Made),
		w.words(labelCell, m.Unit),
		s.batch(c, c.BatchMax, size),
		// A hair above a whole number of batches is that number.
		w.live(figureCell, countFormat, fmt.Sprintf("IF(N(F%d)>0,ROUNDUP(ROUND(D%d/F%d,9),0),1)", row, row, row), m.Batches),
		w.figure(figureCell, size, m.Output),
		w.live(figureCell, factorFormat, fmt.Sprintf("D%d/H%d", row, row), m.Factor()),
		w.live(figureCell, w.money.plain, fmt.Sprintf("J%d", total), b.node.Amount),
		w.live(figureCell, w.money.plain, perUnit, perKgOrPiece(b.node, m.Unit)),
		w.blank(labelCell, ""),
	)
}

// batch returns the cell of a component's smallest or largest batch, empty
// where it has none.
func (s *costSheet) batch(c *book.Component, q measure.Quantity, format string) any {
	if !q.Given() {
		return s.w.blank(figureCell, format)
	}
	n, err := s.x.Charge(book.Item{Component: c}, s.x.Amount(q))
	s.w.check(err)
	return s.w.figure(figureCell, format, n)
}

// recipeLine is a line of a recipe with what it takes in all: of another
// component, or as a use of what is bought.
type recipeLine struct {
	written   book.Line
	item      book.Item
	component book.ID // "" where it is bought
	inAll     exact.Number
	unit      string
	use       pricing.Use
}

// linesOf pairs the lines of a recipe with what the takeoff made of them. A
// line of 0 takes nothing and is left out there too.
func (s *costSheet) linesOf(m pricing.Making) []recipeLine {
	var lines []recipeLine
	inputs, uses := m.Inputs, m.Uses
	for _, written := range m.Component.Lines {
		it, ok := s.x.Item(written.Use)
		if !ok || written.Qty.Sign() == 0 {
			continue
		}
		line := recipeLine{written: written, item: it}
		switch {
		case it.Component != nil && len(inputs) > 0:
			line.component, line.inAll, line.unit = inputs[0].Component, inputs[0].Quantity, inputs[0].Unit
			inputs = inputs[1:]
		case it.Component == nil && len(uses) > 0:
			line.use, uses = uses[0], uses[1:]
		default:
			s.w.check(fmt.Errorf("%s: the costing has no line for %s", m.Component.Name, it.Name()))
			continue
		}
		lines = append(lines, line)
	}
	return lines
}

// line writes a line that is bought. The kitchen's amount is what the scales
// show, in g or pieces; what is bought for it may be more, or counted
// otherwise.
func (s *costSheet) line(p *page, m pricing.Making, l recipeLine, b block) {
	w := s.w
	row := p.row + 1
	amount, unit := s.weighed(l)
	inAll := amount.Mul(m.Factor())
	rate := s.rate(l.use.Resource, l.use.Kind)
	remarks := []string{}
	if len(l.use.Working) > 2 {
		remarks = append(remarks, pricing.Say(l.use.Working[2:])) // after the amount and the factor
	}
	if l.written.Note.Given {
		remarks = append(remarks, l.written.Note.Value)
	}
	p.put(
		w.words(labelCell, l.item.Name()),
		w.words(labelCell, l.written.Qty.String()),
		w.figure(figureCell, quantityFormat(amount, unit), amount),
		w.live(figureCell, quantityFormat(inAll, unit), fmt.Sprintf("C%d*%s", row, b.cell("I")), inAll),
		w.words(labelCell, unit),
		w.figure(figureCell, factorFormat, l.use.Quantity.Quo(inAll)),
		w.live(figureCell, quantityFormat(l.use.Quantity, l.use.Unit), fmt.Sprintf("D%d*F%d", row, row), l.use.Quantity),
		w.words(labelCell, l.use.Unit),
		w.live(figureCell, w.money.fine, cellOf(materialsSheet, "J", s.thingRow[l.use.Resource]), rate.PerUnit),
		w.live(figureCell, w.money.plain, fmt.Sprintf("G%d*I%d", row, row), l.use.Quantity.Mul(rate.PerUnit)),
		w.words(wrapCell, string(l.use.Resource)),
		w.words(wrapCell, strings.Join(remarks, "; ")),
	)
}

// weighed returns a line's amount as the kitchen measures it: grams where a
// mass is known, else what was written, in base units.
func (s *costSheet) weighed(l recipeLine) (exact.Number, string) {
	amount := s.x.Amount(l.written.Qty)
	if amount.Dimension == measure.Volume {
		if grams, err := s.x.UsableMass(l.item, amount); err == nil {
			return grams, measure.Mass.Base()
		}
	}
	return amount.Number, amount.Dimension.Base()
}

// nested writes a line that is another component, at what a unit of that
// costs.
func (s *costSheet) nested(p *page, m pricing.Making, l recipeLine, b, other block, askedBy map[book.ID][]string) {
	w := s.w
	row := p.row + 1
	askedBy[l.component] = append(askedBy[l.component], fmt.Sprintf("$D$%d", row))
	size := quantityFormat(l.inAll, l.unit)
	p.put(
		w.words(labelCell, l.item.Name()),
		w.words(labelCell, l.written.Qty.String()),
		w.figure(figureCell, size, l.inAll.Quo(m.Factor())),
		w.live(figureCell, size, fmt.Sprintf("C%d*%s", row, b.cell("I")), l.inAll),
		w.words(labelCell, l.unit),
		w.blank(labelCell, ""), w.blank(labelCell, ""), w.blank(labelCell, ""),
		w.live(figureCell, w.money.fine, other.cell("J")+"/"+other.cell("C"), other.node.PerUnit),
		w.live(figureCell, w.money.plain, fmt.Sprintf("D%d*I%d", row, row), l.inAll.Mul(other.node.PerUnit)),
		w.words(wrapCell, ""),
		w.words(wrapCell, strings.TrimPrefix(l.written.Note.Or("")+"; made as below", "; ")),
	)
}

// work writes a task or an appliance of a making, at its cost on the sheets of
// those. Energy stands with its appliance.
func (s *costSheet) work(p *page, at spot, u pricing.Use) {
	w := s.w
	var name, price, cost string
	var perUnit, amount exact.Number
	switch u.Kind {
	case pricing.Role:
		row := s.taskRow[at]
		perUnit = s.rate(u.Resource, u.Kind).PerUnit
		name, amount = u.For+" ("+u.Name+")", u.Quantity.Mul(perUnit)
		price, cost = cellOf(labourSheet, "F", row), cellOf(labourSheet, "H", row)
	case pricing.Equipment:
		row := s.runRow[at]
		run := s.runs[row-s.runFirst]
		amount = run.Quantity.Mul(s.rate(u.Resource, u.Kind).PerUnit).Add(run.kWh.Mul(s.perKWh()))
		perUnit = amount.Quo(u.Quantity)
		name = u.Name + ", with energy"
		cost = cellOf(equipmentSheet, "J", row)
		price = cost + "/" + cellOf(equipmentSheet, "F", row)
	default:
		return
	}
	minutes := cellOf(labourSheet, "G", s.taskRow[at])
	if u.Kind == pricing.Equipment {
		minutes = cellOf(equipmentSheet, "F", s.runRow[at])
	}
	p.put(
		w.words(labelCell, name),
		w.blank(labelCell, ""), w.blank(labelCell, ""),
		w.live(figureCell, minutesFormat, minutes, u.Quantity),
		w.words(labelCell, u.Unit),
		w.blank(labelCell, ""), w.blank(labelCell, ""), w.blank(labelCell, ""),
		w.live(figureCell, w.money.fine, price, perUnit),
		w.live(figureCell, w.money.plain, cost, amount),
		w.words(wrapCell, ""),
		w.words(wrapCell, pricing.Say(u.Working)),
	)
}

// straight writes what is bought and goes onto the cake as it is.
func (s *costSheet) straight(p *page) {
	w := s.w
	p.section("Straight onto the cake", recipeColumns)
	p.tall(30, w.heads("Item", "Place", "", "", "", "", "#As bought", "Unit", "#Price per unit", "#Cost", "Id", "How it arises")...)
	first := p.row + 1
	var sum exact.Number
	for _, u := range s.c.Takeoff.Uses {
		if u.Kind != pricing.Ingredient && u.Kind != pricing.Packaging {
			continue
		}
		row := p.row + 1
		rate := s.rate(u.Resource, u.Kind)
		cost := u.Quantity.Mul(rate.PerUnit)
		sum = sum.Add(cost)
		name := u.Name
		if u.For != "" {
			name = u.For
		}
		p.put(
			w.words(labelCell, name),
			w.words(labelCell, where(u.Place)),
			w.blank(labelCell, ""), w.blank(labelCell, ""), w.blank(labelCell, ""), w.blank(labelCell, ""),
			w.figure(figureCell, quantityFormat(u.Quantity, u.Unit), u.Quantity),
			w.words(labelCell, u.Unit),
			w.live(figureCell, w.money.fine, cellOf(materialsSheet, "J", s.thingRow[u.Resource]), rate.PerUnit),
			w.live(figureCell, w.money.plain, fmt.Sprintf("G%d*I%d", row, row), cost),
			w.words(wrapCell, string(u.Resource)),
			w.words(wrapCell, pricing.Say(u.Working)),
		)
	}
	if p.row < first {
		p.put(append([]any{w.words(labelCell, "nothing")}, w.blanks(labelCell, recipeColumns-1)...)...)
	}
	p.put(append(append([]any{w.words(totalLabel, "In all")}, w.blanks(totalLabel, 8)...),
		w.live(totalCell, w.money.plain, fmt.Sprintf("SUM(J%d:J%d)", first, p.row), sum), w.blank(totalLabel, ""), w.blank(totalLabel, ""))...)
}
