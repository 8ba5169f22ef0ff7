package sheet

import (
	"fmt"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// mostRolesInView is how many roles may stay in view above the tasks; more
// would leave no room for these.
const mostRolesInView = 6

func (s *costSheet) frozenLabour() int {
	if len(s.roles) > mostRolesInView {
		return 0
	}
	return s.taskHead
}

// labour writes the sheet of work: what a minute of each role costs, and the
// minutes that every task takes.
func (s *costSheet) labour(p *page) {
	w := s.w
	p.opening("Labour", "A minute costs the wage ÷ 60 × (1 + on-cost) ÷ the productive share. Yellow cells are yours to change.")
	p.skip(1)
	p.tall(30, w.heads("Role", "Wage in force since", "#Wage per hour", "#On-cost", "#Productive share", "#Cost per minute", "#Minutes", "#Cost", "#Share", "Id")...)

	first, last := s.taskFirst, s.taskFirst+max(len(s.tasks), 1)-1
	total := tableFirst + max(len(s.roles), 1)
	if len(s.roles) == 0 {
		p.put(append([]any{w.words(labelCell, "no hands-on work")}, w.blanks(labelCell, 9)...)...)
	}
	for i, line := range s.roles {
		s.role(p, tableFirst+i, line, first, last, total)
	}
	p.between("C", tableFirst, total-1, 0, 1e9, "A wage is a number, 0 or more.")
	p.between("D", tableFirst, total-1, 0, 10, "What employing costs on top of the wage, such as 11.05%.")
	p.between("E", tableFirst, total-1, 0.01, 1, "The share of paid time that goes into cakes, from 1% to 100%.")

	minutes := s.c.Takeoff.Bill.Minutes()
	cells := append([]any{w.words(totalLabel, "Labour")}, w.blanks(totalLabel, 5)...)
	cells = append(cells,
		w.live(totalCell, minutesFormat, fmt.Sprintf("SUM(%s)", rangeOf("G", tableFirst, "G", total-1)), minutes),
		w.live(totalCell, w.money.plain, fmt.Sprintf("SUM(%s)", rangeOf("H", tableFirst, "H", total-1)), s.c.Cost.Labour),
		w.blank(totalLabel, ""))
	p.put(cells...)
	s.cost.labour = p.ref("H", p.row)
	w.name("labour_minutes", p.ref("G", p.row))

	p.skip(2)
	p.tall(30, w.heads("Place", "Task", "Role", "Role id", "", "#Cost per minute", "#Minutes", "#Cost", "#Share", "How the time arises")...)
	if len(s.tasks) == 0 {
		p.put(append([]any{w.words(labelCell, "no tasks")}, w.blanks(labelCell, 9)...)...)
	}
	for i, task := range s.tasks {
		s.task(p, first+i, task, total)
	}
	if len(s.tasks) > 0 {
		p.filter("A", "J", s.taskHead, last)
	}
	p.skip(1)
	cells = append([]any{w.words(totalLabel, "Of the rows in view")}, w.blanks(totalLabel, 5)...)
	p.put(append(cells,
		w.live(totalCell, minutesFormat, fmt.Sprintf("SUBTOTAL(109,%s)", rangeOf("G", first, "G", last)), minutes),
		w.live(totalCell, w.money.plain, fmt.Sprintf("SUBTOTAL(109,%s)", rangeOf("H", first, "H", last)), s.c.Cost.Labour),
		w.blank(totalLabel, ""))...)
	p.close()
}

// role writes what a minute of a role costs and what it does in all. Tasks
// stand in rows first to last, the total of the roles in row total.
func (s *costSheet) role(p *page, row int, line pricing.BillLine, first, last, total int) {
	w := s.w
	role, ok := s.x.Role(line.Resource)
	if !ok {
		w.check(fmt.Errorf("%q is no role of the book", line.Resource))
		return
	}
	wage, err := role.WageOn(s.c.Rates.On())
	w.check(err)
	whole := measure.MustPercent("100 %")
	rate := s.rate(line.Resource, line.Kind)
	cost := line.Quantity.Mul(rate.PerUnit)
	sum := func(column string) string {
		return sumOf(fixedRange(column, first, last), fixedRange("D", first, last), fmt.Sprintf("J%d", row))
	}
	p.put(
		w.words(labelCell, role.Name),
		w.words(labelCell, rate.From.String()),
		w.figure(inputCell, w.money.of(wage.PerHour.Decimal()), wage.PerHour.Number()),
		w.figure(inputCell, percentFormat, role.OnCost.Or(measure.Percent{}).Fraction()),
		w.figure(inputCell, percentFormat, role.Productive.Or(whole).Fraction()),
		w.live(figureCell, w.money.fine, fmt.Sprintf("C%d/60*(1+D%d)/E%d", row, row, row), rate.PerUnit),
		w.live(figureCell, minutesFormat, sum("G"), line.Quantity),
		w.live(figureCell, w.money.plain, sum("H"), cost),
		w.live(figureCell, shareFormat, shareOf(fmt.Sprintf("H%d", row), fmt.Sprintf("$H$%d", total)), share(cost, s.c.Cost.Labour)),
		w.words(wrapCell, string(line.Resource)),
	)
}

// task writes the row of one task in one place.
func (s *costSheet) task(p *page, row int, task placed, total int) {
	w := s.w
	perMinute := s.rate(task.Resource, task.Kind).PerUnit
	cost := task.Quantity.Mul(perMinute)
	p.put(
		w.words(labelCell, where(task.Place)),
		w.words(labelCell, task.For),
		w.words(labelCell, task.Name),
		w.words(labelCell, string(task.Resource)),
		w.blank(labelCell, ""),
		w.live(figureCell, w.money.fine, fmt.Sprintf("$F$%d", s.roleRow[task.Resource]), perMinute),
		w.figure(figureCell, minutesFormat, task.Quantity),
		w.live(figureCell, w.money.plain, fmt.Sprintf("F%d*G%d", row, row), cost),
		w.live(figureCell, shareFormat, shareOf(fmt.Sprintf("H%d", row), fmt.Sprintf("$H$%d", total)), share(cost, s.c.Cost.Labour)),
		w.words(wrapCell, pricing.Say(task.Working)),
	)
}

// hours returns minutes as hours.
func hours(minutes exact.Number) exact.Number { return minutes.Mul(exact.Frac(1, 60)) }

// fixedRange is a stretch of a column on the same sheet, fixed against copying.
func fixedRange(column string, first, last int) string {
	return fmt.Sprintf("$%s$%d:$%s$%d", column, first, column, last)
}
