package month

import (
	"cmp"
	"maps"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// labourOf returns the hours of the span by role and by task. Money adds up to
// that of its class.
func (t *Tally) labourOf(m variance.Month, p prices, standard, cost money.Amount) Labour {
	var sums []variance.ResourceSum
	var planned, spent, idle, costs []exact.Number
	var steps [3][]exact.Number // rate, efficiency, idle
	for _, s := range m.Resources {
		if s.Kind != pricing.Role {
			continue
		}
		sums = append(sums, s)
		planned, spent, idle = append(planned, s.StandardQuantity), append(spent, s.Quantity), append(idle, t.lostOf(keyOf(s)))
		costs = append(costs, s.Standard)
		for i, n := range []exact.Number{s.Split.Price, s.Split.Usage, s.Split.Lost} {
			steps[i] = append(steps[i], n)
		}
	}
	l := Labour{Roles: make([]RoleTime, len(sums)), Tasks: []TaskTime{}}
	split := m.Kinds[pricing.Role].Split
	stepSums := money.Apportion(standard.Sub(cost), []exact.Number{split.Price, split.Usage, split.Lost})
	l.Total = RoleTime{
		Standard: standard, Cost: cost, Rate: stepSums[0], Efficiency: stepSums[1], IdleCost: stepSums[2],
		Recorded: share(m.Kinds[pricing.Role].Recorded, m.Kinds[pricing.Role].Standard),
	}
	var plannedH, spentH, idleH []Figure
	plannedH, l.Total.Planned = hoursUp(planned)
	spentH, l.Total.Hours = hoursUp(spent)
	idleH, l.Total.Idle = hoursUp(idle)
	costShown := money.Apportion(standard, costs)
	var shownSteps [3][]money.Amount
	for i := range steps {
		shownSteps[i] = money.Apportion(stepSums[i], steps[i])
	}
	for i, s := range sums {
		row := RoleTime{
			Role: s.Resource, Name: p.book.Name(s.Resource), Planned: plannedH[i], Hours: spentH[i], Idle: idleH[i], Standard: costShown[i],
			Rate: shownSteps[0][i], Efficiency: shownSteps[1][i], IdleCost: shownSteps[2][i], Recorded: share(s.Costs.Recorded, s.Standard),
		}
		row.Cost = row.Standard.Sub(money.Sum(row.Rate, row.Efficiency, row.IdleCost))
		l.Roles[i] = row
	}
	l.Tasks = t.taskTable(p)
	return l
}

// taskTable returns the hours by role and task, those without a task last of
// their role.
func (t *Tally) taskTable(p prices) []TaskTime {
	keys := slices.SortedFunc(maps.Keys(t.tasks), func(a, b task) int {
		unknown := func(k task) int {
			if k.name == "" {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(a.role, b.role), cmp.Compare(unknown(a), unknown(b)), cmp.Compare(a.name, b.name))
	})
	var planned, spent, recorded []exact.Number
	for _, k := range keys {
		s := t.tasks[k].sum()
		planned, spent, recorded = append(planned, s.planned), append(spent, s.spent), append(recorded, s.recorded)
	}
	plannedH, _ := hoursUp(planned)
	spentH, _ := hoursUp(spent)
	recordedH, _ := hoursUp(recorded)
	rows := make([]TaskTime, len(keys))
	for i, k := range keys {
		rows[i] = TaskTime{Role: k.role, Name: p.book.Name(k.role), Task: k.name, Planned: plannedH[i], Hours: spentH[i], Recorded: recordedH[i]}
	}
	return rows
}

// overheadOf returns the fixed overhead of the span; absorbed is what the orders
// show of it.
func (t *Tally) overheadOf(m variance.Month, l Labour, absorbed money.Amount) Overhead {
	v := m.Overhead
	o := Overhead{
		Absorbed: absorbed, Paid: t.cur.Round(v.Actual.Value), PaidRecorded: v.Actual.Recorded,
		Hours: l.Total.Hours, Planned: l.Total.Planned,
	}
	if !o.Paid.Number().Equal(v.Actual.Value) {
		// What was absorbed stands in, and is shown as it is there.
		o.Paid = absorbed.Sub(t.cur.Round(v.Total))
	}
	o.Absorption = o.Absorbed.Sub(o.Paid)
	if v.Budget.Given {
		budget := t.cur.Round(v.Budget.Value)
		o.Budget = record.Some(budget)
		o.Spending, o.Volume = record.Some(budget.Sub(o.Paid)), record.Some(o.Absorbed.Sub(budget))
	}
	hours := t.src.Ledger.Span(t.span.From, t.span.To).Hours
	if !hours.Given {
		return o
	}
	o.BudgetHours = record.Some(Figure{hours.Value, hourPlaces})
	var worked, standard exact.Number
	for _, s := range m.Resources {
		if s.Kind == pricing.Role {
			worked, standard = worked.Add(s.Quantity), standard.Add(s.StandardQuantity)
		}
	}
	sixty := exact.Int(60)
	split, err := v.Split(variance.Hours{Budget: hours.Value, Actual: worked.Quo(sixty), Standard: standard.Quo(sixty)})
	if err != nil { // no budget to split
		return o
	}
	parts := money.Apportion(o.Volume.Value, []exact.Number{split.Capacity, split.Efficiency, split.Rate})
	o.Capacity, o.Efficiency, o.Rate = record.Some(parts[0]), record.Some(parts[1]), record.Some(parts[2])
	return o
}
