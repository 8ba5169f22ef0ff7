package sheet

import (
	"fmt"

	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
)

// hourly is a column of hours.
func hourly(key, head, formula string, all below) tableColumn {
	return tableColumn{key, head, 12, hoursFormat, formula, all}
}

// labour is the hours by role, with what they cost, and by task.
func (m *monthBook) labour() {
	l := m.Labour
	columns := []tableColumn{
		words("role", "Role", 30), words("task", "", 40), hourly("planned", "Planned hours", "", summed), hourly("hours", "Hours", "", summed), hourly("more", "More than planned", "{hours}-{planned}", summed),
		hourly("idle", "Of it idle", "", summed), m.money("standard", "Planned cost", "", summed), m.gain("rate", "By pay per hour", "", summed), m.gain("efficiency", "By time worked", "", summed), m.gain("idle_cost", "By idle time", "", summed),
		m.money("cost", "Cost", "{standard}-{rate}-{efficiency}-{idle_cost}", summed), m.money("per_hour", "Cost of an hour", over("{cost}", "{hours}"), likewise), recordedShare(),
	}
	tasksHead := 9 + max(len(l.Roles), 1) // the row; the title, its note, the roles and a section stand above
	p := m.w.page("Labour", paper{widths: widthsOf(columns), freeze: 2, repeat: [2]int{tasksHead, tasksHead}})
	p.opening("Labour", "Planned: as quoted. Differences above 0 are favourable. Hours of which nothing was recorded went as planned.")
	p.skip(1)
	t := p.table(columns, len(l.Roles), p.row+1)
	line := func(r month.RoleTime) []any {
		return []any{r.Name, "", float(r.Planned.Number), float(r.Hours.Number), float(r.Hours.Sub(r.Planned.Number)), float(r.Idle.Number),
			amount(r.Standard), amount(r.Rate), amount(r.Efficiency), amount(r.IdleCost), amount(r.Cost), quotient(r.Cost.Number(), r.Hours.Number), number(r.Recorded)}
	}
	sums := map[string]any{}
	for i, v := range line(l.Total) {
		sums[columns[i].key] = v
	}
	t.sums("All", sums)
	t.heads()
	for _, r := range l.Roles {
		t.add(line(r)...)
	}
	if len(l.Roles) == 0 {
		t.none("no work")
	}
	t.signs(true, "rate", "efficiency", "idle_cost")
	t.signs(false, "more")
	t.named("labour_hours", "hours", "labour_hours_planned", "planned", "labour_cost", "cost")
	p.skip(1)
	p.section("By task", 8)
	tasks := []tableColumn{words("role", "Role", 30), words("task", "Task", 40), hourly("planned", "Planned hours", "", summed), hourly("hours", "Hours", "", summed),
		hourly("more", "More than planned", "{hours}-{planned}", summed), hourly("recorded", "Of them recorded", "", summed), shares("share", "Recorded", "{recorded}", "{hours}", likewise)}
	t = p.table(tasks, len(l.Tasks), p.row+1)
	var planned, spent, recorded exact.Number
	for _, r := range l.Tasks {
		planned, spent, recorded = planned.Add(r.Planned.Number), spent.Add(r.Hours.Number), recorded.Add(r.Recorded.Number)
	}
	t.sums("All", map[string]any{"planned": float(planned), "hours": float(spent), "more": float(spent.Sub(planned)), "recorded": float(recorded), "share": quotient(recorded, spent)})
	t.heads()
	for _, r := range l.Tasks {
		task := r.Task
		if task == "" {
			task = "no task known"
		}
		t.add(r.Name, task, float(r.Planned.Number), float(r.Hours.Number), float(r.Hours.Sub(r.Planned.Number)), float(r.Recorded.Number), quotient(r.Recorded.Number, r.Hours.Number))
	}
	if len(l.Tasks) == 0 {
		t.none("no work")
	}
	t.filter()
	t.signs(false, "more")
	p.printArea(column(len(columns) - 1))
	p.close()
}

// overhead is the budget against what orders absorbed and what was paid.
func (m *monthBook) overhead() {
	w, o := m.w, m.Overhead
	p := w.page("Overhead", paper{widths: []float64{52, 16, 70}, onePage: true})
	p.opening("Overhead", "Fixed overhead: what was planned, what the orders absorbed by their hours, and what was paid. Differences above 0 are favourable.")
	p.skip(1)
	row := func(label, name string, figure any, remark string) {
		p.tall(rowHeight, w.words(labelCell, label), figure, w.words(noteCell, remark))
		if name != "" {
			w.name(name, p.ref("B", p.row))
		}
	}
	gain := signed(w.money.plain)
	given := func(v record.Maybe[money.Amount]) any {
		cell := w.blank(figureCell, w.money.plain)
		cell.Value = sum(v)
		return cell
	}
	variance := func(formula string, v record.Maybe[money.Amount]) any {
		return w.perhaps(figureCell, gain, formula, v.Value.Number(), v.Given)
	}
	paid := "as recorded"
	switch {
	case !o.PaidRecorded && o.Budget.Given:
		paid = "nothing recorded of some or all of it: the budget stands in"
	case !o.PaidRecorded:
		paid = "nothing recorded of some or all of it: budget or what was absorbed stands in"
	}
	p.section("Money", 3)
	budget := ""
	if !o.Budget.Given {
		budget = "none for all of these days"
	}
	row("Budget", "overhead_budget", given(o.Budget), budget)
	row("Absorbed by orders", "overhead_absorbed", w.figure(figureCell, w.money.plain, o.Absorbed.Number()), "")
	row("Paid", "overhead_paid", w.figure(figureCell, w.money.plain, o.Paid.Number()), paid)
	row("Budget less paid: spending", "overhead_spending", variance(`IF(ISNUMBER(overhead_budget),overhead_budget-overhead_paid,"–")`, o.Spending), "")
	row("Absorbed less budget: volume", "overhead_volume", variance(`IF(ISNUMBER(overhead_budget),overhead_absorbed-overhead_budget,"–")`, o.Volume), "")
	row("Absorbed less paid", "overhead_absorption", w.live(keyCell, gain, "overhead_absorbed-overhead_paid", o.Absorption.Number()), "above 0 over-absorbed, below 0 under-absorbed")
	first := p.row - 2
	p.skip(1)
	p.section("Hours", 3)
	row("Hours planned by the budget", "", w.given(figureCell, hoursFormat, o.BudgetHours.Value.Number, o.BudgetHours.Given), "")
	row("Hours planned by the quotes", "", w.live(figureCell, hoursFormat, "labour_hours_planned", o.Planned.Number), "")
	row("Hours worked", "", w.live(figureCell, hoursFormat, "labour_hours", o.Hours.Number), "")
	if o.Capacity.Given {
		p.skip(1)
		p.section("The volume variance in its parts", 3)
		from := p.row + 1
		row("Capacity: hours worked against the budget's", "", w.figure(figureCell, gain, o.Capacity.Value.Number()), "")
		row("Efficiency: hours planned by the quotes against hours worked", "", w.figure(figureCell, gain, o.Efficiency.Value.Number()), "")
		row("Rate absorbed against the budget's", "", w.figure(figureCell, gain, o.Rate.Value.Number()), "")
		row("All: the volume variance", "", w.live(keyCell, gain, fmt.Sprintf("SUM(B%d:B%d)", from, p.row), o.Volume.Value.Number()), "")
	}
	for row := first; row <= first+2; row++ {
		w.judge(p, cellName("B", row), 1)
	}
	p.printArea("C")
	p.close()
}
