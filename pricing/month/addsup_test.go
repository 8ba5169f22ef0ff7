package month_test

import (
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
)

// addsUp checks every sum that a report shows, as someone with a pencil would.
func addsUp(t interface {
	Helper()
	Errorf(string, ...any)
}, r month.Report) {
	t.Helper()
	same := func(what string, got, want money.Amount) {
		t.Helper()
		if !got.Equal(want) {
			t.Errorf("%s: %s, but the parts add up to %s", what, want, got)
		}
	}
	cost := func(what string, c month.Cost) {
		t.Helper()
		same(what, money.Sum(c.Ingredients, c.Packaging, c.Labour, c.Equipment, c.Overhead), c.Total)
	}
	addCost := func(a, b month.Cost) month.Cost {
		return month.Cost{
			Ingredients: a.Ingredients.Add(b.Ingredients), Packaging: a.Packaging.Add(b.Packaging), Labour: a.Labour.Add(b.Labour),
			Equipment: a.Equipment.Add(b.Equipment), Overhead: a.Overhead.Add(b.Overhead), Total: a.Total.Add(b.Total),
		}
	}
	sameCost := func(what string, got, want month.Cost) {
		t.Helper()
		same(what+" ingredients", got.Ingredients, want.Ingredients)
		same(what+" packaging", got.Packaging, want.Packaging)
		same(what+" labour", got.Labour, want.Labour)
		same(what+" equipment", got.Equipment, want.Equipment)
		same(what+" overhead", got.Overhead, want.Overhead)
		same(what+" total", got.Total, want.Total)
	}
	revenue := func(v month.Revenue) money.Amount {
		return money.Sum(v.Cakes, v.Extras, v.Discount, v.Minimum, v.Changes, v.Fee)
	}
	var sum month.Sums
	var v month.Revenue
	for _, o := range r.Orders.Rows {
		same(o.Number+" net", revenue(o.Revenue), o.Revenue.Net)
		cost(o.Number+" standard cost", o.Standard)
		cost(o.Number+" cost", o.Actual)
		same(o.Number+" margin", o.Revenue.Net.Sub(o.Actual.Total), o.Margin)
		v = month.Revenue{
			Cakes: v.Cakes.Add(o.Revenue.Cakes), Extras: v.Extras.Add(o.Revenue.Extras), Discount: v.Discount.Add(o.Revenue.Discount),
			Minimum: v.Minimum.Add(o.Revenue.Minimum), Changes: v.Changes.Add(o.Revenue.Changes), Fee: v.Fee.Add(o.Revenue.Fee), Net: v.Net.Add(o.Revenue.Net),
		}
		sum.Standard, sum.Actual = addCost(sum.Standard, o.Standard), addCost(sum.Actual, o.Actual)
		sum.Margin, sum.PlannedMargin = sum.Margin.Add(o.Margin), sum.PlannedMargin.Add(o.PlannedMargin)
		if !o.Recorded.Given { // nothing shows a variance of which nothing is known
			sameCost(o.Number+" as planned,", o.Standard, o.Actual)
		}
	}
	total := r.Orders.Total
	same("net of all orders", revenue(total.Revenue), total.Revenue.Net)
	for i, pair := range [][2]money.Amount{
		{v.Cakes, total.Revenue.Cakes}, {v.Extras, total.Revenue.Extras}, {v.Discount, total.Revenue.Discount}, {v.Minimum, total.Revenue.Minimum},
		{v.Changes, total.Revenue.Changes}, {v.Fee, total.Revenue.Fee}, {v.Net, total.Revenue.Net}, {sum.Margin, total.Margin}, {sum.PlannedMargin, total.PlannedMargin},
	} {
		same("column "+string(rune('a'+i))+" of the orders", pair[0], pair[1])
	}
	sameCost("column standard", sum.Standard, total.Standard)
	sameCost("column cost", sum.Actual, total.Actual)
	same("margin", total.Revenue.Net.Sub(total.Actual.Total), total.Margin)

	var standard, actual money.Amount
	for _, c := range r.Classes {
		standard, actual = standard.Add(c.Standard), actual.Add(c.Actual)
		same(c.Name, c.Standard.Sub(c.Actual), c.Variance)
	}
	same("classes, standard", standard, total.Standard.Total)
	same("classes", actual, total.Actual.Total)

	bridge := r.Bridge.Planned
	for _, s := range r.Bridge.Steps {
		bridge = bridge.Add(s.Amount)
		if !s.Recorded && !s.Amount.IsZero() {
			t.Errorf("step %s is %s with nothing recorded", s.Key, s.Amount)
		}
	}
	same("bridge", bridge, r.Bridge.Actual)

	for _, u := range []struct {
		name             string
		of               month.Usage
		standard, actual money.Amount
	}{{"ingredients", r.Ingredients, total.Standard.Ingredients, total.Actual.Ingredients}, {"packaging", r.Packaging, total.Standard.Packaging, total.Actual.Packaging}} {
		var standard, value money.Amount
		for _, row := range u.of.Rows {
			standard, value = standard.Add(row.Standard), value.Add(row.Value)
		}
		same(u.name+", standard", standard, u.of.Standard)
		same(u.name, value, u.of.Value)
		same(u.name+" of the orders, standard", u.standard, u.of.Standard)
		same(u.name+" of the orders", u.actual, u.of.Value)
	}

	var labour month.RoleTime
	var planned, hours, taskPlanned, taskHours exact.Number
	for _, l := range r.Labour.Roles {
		labour.Standard, labour.Cost, labour.Rate = labour.Standard.Add(l.Standard), labour.Cost.Add(l.Cost), labour.Rate.Add(l.Rate)
		labour.Efficiency, labour.IdleCost = labour.Efficiency.Add(l.Efficiency), labour.IdleCost.Add(l.IdleCost)
		same(string(l.Role)+" cost", l.Standard.Sub(money.Sum(l.Rate, l.Efficiency, l.IdleCost)), l.Cost)
		planned, hours = planned.Add(l.Planned.Number), hours.Add(l.Hours.Number)
	}
	for _, l := range r.Labour.Tasks {
		taskPlanned, taskHours = taskPlanned.Add(l.Planned.Number), taskHours.Add(l.Hours.Number)
	}
	lt := r.Labour.Total
	for _, pair := range [][2]money.Amount{{labour.Standard, lt.Standard}, {labour.Cost, lt.Cost}, {labour.Rate, lt.Rate}, {labour.Efficiency, lt.Efficiency}, {labour.IdleCost, lt.IdleCost}, {total.Standard.Labour, lt.Standard}, {total.Actual.Labour, lt.Cost}} {
		same("labour", pair[0], pair[1])
	}
	for _, pair := range [][2]exact.Number{{planned, lt.Planned.Number}, {hours, lt.Hours.Number}, {taskPlanned, lt.Planned.Number}, {taskHours, lt.Hours.Number}} {
		if !pair[0].Equal(pair[1]) {
			t.Errorf("hours: %s, but the parts add up to %s", pair[1].Fixed(2), pair[0].Fixed(2))
		}
	}

	o := r.Overhead
	same("overhead", o.Absorbed.Sub(o.Paid), o.Absorption)
	same("overhead absorbed", total.Actual.Overhead, o.Absorbed)
	if o.Budget.Given {
		same("overhead variances", o.Spending.Value.Add(o.Volume.Value), o.Absorption)
	}
	if o.Capacity.Given {
		same("volume", money.Sum(o.Capacity.Value, o.Efficiency.Value, o.Rate.Value), o.Volume.Value)
	}
	var waste money.Amount
	for _, w := range r.Waste.Rows {
		waste = waste.Add(w.Value)
	}
	same("waste", waste, r.Waste.Total)

	var tax month.Tax
	for _, row := range r.Tax.Rows {
		same("gross at a rate", row.Net.Add(row.Tax), row.Gross)
		tax.Net, tax.Tax, tax.Gross = tax.Net.Add(row.Net), tax.Tax.Add(row.Tax), tax.Gross.Add(row.Gross)
	}
	same("tax", tax.Tax, r.Tax.Tax)
	same("taxed net", tax.Net, r.Tax.Net)
	same("gross", tax.Gross, r.Tax.Gross)

	d := r.Receivables
	var ages, outstanding money.Amount
	for _, a := range d.Ages {
		ages = ages.Add(a.Amount)
	}
	for _, row := range d.Rows {
		outstanding = outstanding.Add(row.Outstanding)
		same(row.Number+" outstanding", row.NotDue.Add(money.Sum(row.Ages...)), row.Outstanding)
	}
	same("overdue", ages, d.Overdue)
	same("outstanding by account", outstanding, d.Outstanding)
	same("outstanding", d.NotDue.Add(d.Overdue), d.Outstanding)
	same("receivables", d.Owed.Sub(d.Received), d.Outstanding.Sub(d.Credit))

	if len(r.Months) == 0 {
		return
	}
	var months month.MonthRow
	var worked exact.Number
	for _, m := range r.Months {
		cost(m.Month, m.Cost)
		same(m.Month, m.Net.Sub(m.Cost.Total), m.Margin)
		months.Cost, months.Net, months.Margin = addCost(months.Cost, m.Cost), months.Net.Add(m.Net), months.Margin.Add(m.Margin)
		months.Absorption, months.Result = months.Absorption.Add(m.Absorption), months.Result.Add(m.Result)
		months.Orders, months.Cakes, months.Issued = months.Orders+m.Orders, months.Cakes+m.Cakes, months.Issued+m.Issued
		months.Won, months.Lost = months.Won+m.Won, months.Lost+m.Lost
		worked = worked.Add(m.Hours.Number)
	}
	sameCost("months", months.Cost, total.Actual)
	same("months, net", months.Net, total.Revenue.Net)
	same("months, margin", months.Margin, total.Margin)
	same("months, absorption", months.Absorption, r.Overhead.Absorption)
	same("months, after overhead", months.Result, r.Bridge.Actual)
	if months.Orders != r.Orders.Made || months.Cakes != r.Orders.Cakes || months.Issued != r.Quotes.Issued.Count || months.Won != r.Quotes.Won.Count || months.Lost != r.Quotes.Lost.Count {
		t.Errorf("months count %d orders, %d cakes, %d, %d and %d quotes; the whole %d, %d, %d, %d and %d", months.Orders, months.Cakes, months.Issued, months.Won, months.Lost,
			r.Orders.Made, r.Orders.Cakes, r.Quotes.Issued.Count, r.Quotes.Won.Count, r.Quotes.Lost.Count)
	}
	if !worked.Equal(lt.Hours.Number) {
		t.Errorf("months have %s hours, the whole %s", worked.Fixed(2), lt.Hours)
	}
}
