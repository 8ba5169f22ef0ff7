package cli

import (
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
)

// mostRows is how many rows of a long table a screen shows.
const mostRows = 12

// printReport prints a summary of a report.
func printReport(env *Env, r month.Report) {
	none := "no orders with an event in " + r.Title
	if r.Empty() {
		fmt.Fprintf(env.Out, "%s; no quotes were issued or decided, and nobody owes anything.\n", none)
		return
	}
	fmt.Fprintf(env.Out, "%s\n", env.bold(r.Studio+", "+r.Title))
	if note := r.NotOver(); note != "" {
		fmt.Fprintln(env.Out, note)
	}
	if len(r.Orders.Rows) == 0 {
		fmt.Fprintf(env.Out, "%s\n", none)
	}
	printKey(env, r)
	if len(r.Months) > 0 {
		printMonths(env, r)
	}
	if len(r.Orders.Rows) > 0 {
		printOrders(env, r)
		printCosts(env, r)
		printUsage(env, "Ingredients", r, r.Ingredients)
		printUsage(env, "Packaging", r, r.Packaging)
		printMovers(env, r)
		printLabour(env, r)
		printOverhead(env, r)
		printWaste(env, r)
	}
	printQuotes(env, r)
	printReceivables(env, r)
	if len(r.Orders.Rows) > 0 {
		printTax(env, r)
	}
}

func (e *Env) section(name string) { fmt.Fprintf(e.Out, "\n%s\n", e.bold(name)) }

// more says what a table leaves out.
func (e *Env) more(all int) {
	if all > mostRows {
		fmt.Fprintf(e.Out, "and %d more; --json has them all\n", all-mostRows)
	}
}

// maybePercent prints a share, "" where there is none.
func maybePercent(f record.Maybe[month.Figure]) string {
	if !f.Given {
		return ""
	}
	return percent(f.Value.Number)
}

func maybeChange(f record.Maybe[month.Figure]) string {
	if !f.Given {
		return ""
	}
	return signedPercent(f.Value.Number)
}

func printKey(env *Env, r month.Report) {
	t := table{heads: []string{"", r.Title + ">"}}
	if r.Before != "" {
		t.heads = append(t.heads, r.Before+">", "change>")
	}
	if r.YearBefore != "" && r.YearBefore != r.Before {
		t.heads = append(t.heads, r.YearBefore+">", "change>")
	}
	for _, k := range r.Key {
		value := func(f record.Maybe[month.Figure]) string {
			if f.Given && k.Unit == month.Share {
				return percent(f.Value.Number)
			}
			if !f.Given {
				return ""
			}
			return f.Value.String()
		}
		change := func(f record.Maybe[month.Figure]) string {
			if f.Given && k.Unit == month.Share {
				return signed(f.Value.Mul(exact.Int(100)).Fixed(1)) + " points"
			}
			return maybeChange(f)
		}
		label := k.Label
		if k.Unit == month.Money {
			label += ", " + r.Currency.Code()
		}
		row := []string{label, value(k.Now)}
		if r.Before != "" {
			row = append(row, value(k.Before), change(k.Change))
		}
		if r.YearBefore != "" && r.YearBefore != r.Before {
			row = append(row, value(k.YearBefore), change(k.YearChange))
		}
		t.add(row...)
	}
	t.print(env)
}

// signed puts a plus before a figure that has no sign.
func signed(figure string) string {
	if figure[0] == '-' {
		return figure
	}
	return "+" + figure
}

func printMonths(env *Env, r month.Report) {
	env.section("Month by month")
	t := table{heads: []string{"", "orders>", "net " + r.Currency.Code() + ">", "ingredients>", "packaging>", "labour>", "equipment>", "overhead>", "margin>", "of net>", "after overhead paid>", "hours>", "won>", "lost>"}}
	for _, m := range r.Months {
		t.add(m.Month, fmt.Sprint(m.Orders), m.Net.String(), m.Cost.Ingredients.String(), m.Cost.Packaging.String(), m.Cost.Labour.String(),
			m.Cost.Equipment.String(), m.Cost.Overhead.String(), m.Margin.String(), maybePercent(m.MarginShare), m.Result.String(), m.Hours.String(), fmt.Sprint(m.Won), fmt.Sprint(m.Lost))
	}
	s := r.Orders.Total
	t.foot = []string{"", fmt.Sprint(r.Orders.Made), s.Revenue.Net.String(), s.Actual.Ingredients.String(), s.Actual.Packaging.String(), s.Actual.Labour.String(),
		s.Actual.Equipment.String(), s.Actual.Overhead.String(), s.Margin.String(), maybePercent(s.MarginShare), r.Bridge.Actual.String(), r.Labour.Total.Hours.String(), fmt.Sprint(r.Quotes.Won.Count), fmt.Sprint(r.Quotes.Lost.Count)}
	t.print(env)
}

func printOrders(env *Env, r month.Report) {
	env.section("Orders, " + r.Currency.Code() + " without tax")
	t := table{heads: []string{"", "event", "client", "cakes>", "extras>", "discount>", "other>", "net>", "planned cost>", "cost>", "margin>", "of net>", ""}}
	for _, o := range r.Orders.Rows[:min(mostRows, len(r.Orders.Rows))] {
		other := o.Revenue.Minimum.Add(o.Revenue.Changes).Add(o.Revenue.Fee)
		note := ""
		switch {
		case !o.Cancelled.IsZero():
			note = "called off on " + o.Cancelled.String()
		case !o.Recorded.Given:
			note = "as planned"
		}
		t.add(o.Number, o.Event.String(), o.Client, o.Revenue.Cakes.String(), o.Revenue.Extras.String(), o.Revenue.Discount.String(), other.String(),
			o.Revenue.Net.String(), o.Standard.Total.String(), o.Actual.Total.String(), o.Margin.String(), maybePercent(o.MarginShare), note)
	}
	s := r.Orders.Total
	other := s.Revenue.Minimum.Add(s.Revenue.Changes).Add(s.Revenue.Fee)
	t.foot = []string{"all", "", plural(len(r.Orders.Rows), "order", "orders"), s.Revenue.Cakes.String(), s.Revenue.Extras.String(), s.Revenue.Discount.String(), other.String(),
		s.Revenue.Net.String(), s.Standard.Total.String(), s.Actual.Total.String(), s.Margin.String(), maybePercent(s.MarginShare), ""}
	t.print(env)
	env.more(len(r.Orders.Rows))
}

func printCosts(env *Env, r month.Report) {
	env.section("Cost by class, " + r.Currency.Code())
	t := table{heads: []string{"", "planned>", "real>", "variance>", "of net sales>", "recorded>"}}
	for _, c := range r.Classes {
		t.add(c.Name, c.Standard.String(), c.Actual.String(), c.Variance.String(), maybePercent(c.OfNet), maybePercent(c.Recorded))
	}
	s := r.Orders.Total
	t.foot = []string{"cost", s.Standard.Total.String(), s.Actual.Total.String(), s.Standard.Total.Sub(s.Actual.Total).String(), "", ""}
	t.print(env)
	env.section("From the planned margin to the real one")
	planned := "margin as quoted"
	if r.Bridge.Plan {
		planned = "margin of the plan"
	}
	b := table{heads: []string{"", r.Currency.Code() + ">", ""}}
	b.add(planned, r.Bridge.Planned.String(), "")
	for _, step := range r.Bridge.Steps {
		note := string(step.Effect)
		switch {
		case !step.Recorded:
			note = "nothing recorded"
		case step.Amount.IsZero():
			note = ""
		}
		b.add(step.Label, stepMoney(step), note)
	}
	b.foot = []string{"margin after overhead paid", r.Bridge.Actual.String(), ""}
	b.print(env)
}

func stepMoney(s month.Step) string {
	if s.Amount.Sign() > 0 {
		return "+" + s.Amount.String()
	}
	return s.Amount.String()
}

func printUsage(env *Env, name string, r month.Report, u month.Usage) {
	if len(u.Rows) == 0 {
		return
	}
	env.section(name)
	t := table{heads: []string{"", "used>", "", "planned>", r.Currency.Code() + ">", "share>", "a unit>", "before>", "change>"}}
	for _, row := range u.Rows[:min(mostRows, len(u.Rows))] {
		t.add(row.Name, row.Used.Fixed(3), row.Unit, row.Planned.Fixed(3), row.Value.String(), maybePercent(row.OfValue), price(row.Price), price(row.Before), maybeChange(row.Change))
	}
	t.foot = []string{"all", "", "", "", u.Value.String(), "", "", "", ""}
	t.print(env)
	env.more(len(u.Rows))
}

func price(f record.Maybe[month.Figure]) string {
	if !f.Given {
		return ""
	}
	return f.Value.Fixed(4)
}

func printMovers(env *Env, r month.Report) {
	if len(r.Movers.Price) > 0 {
		env.section("What price changes cost, against " + beforeText(r))
		t := table{heads: []string{"", "kind", "used>", "", "before>", "now>", "change>", "cost " + r.Currency.Code() + ">"}}
		for _, m := range r.Movers.Price {
			t.add(m.Name, m.Kind, m.Used.Fixed(3), m.Unit, price(m.Before), price(m.Price), maybeChange(m.Change), m.Cost.String())
		}
		t.print(env)
	}
	if len(r.Movers.Usage) > 0 {
		env.section("What using more or less than planned cost")
		t := table{heads: []string{"", "kind", "planned>", "used>", "", "cost " + r.Currency.Code() + ">"}}
		for _, m := range r.Movers.Usage {
			t.add(m.Name, m.Kind, m.Planned.Fixed(3), m.Used.Fixed(3), m.Unit, m.Cost.String())
		}
		t.print(env)
	}
}

func beforeText(r month.Report) string {
	if r.Before == "" {
		return "the book's prices the day before"
	}
	return r.Before
}

func printLabour(env *Env, r month.Report) {
	if len(r.Labour.Roles) == 0 {
		return
	}
	env.section("Hours")
	roles := table{heads: []string{"", "planned>", "paid>", "idle>", "planned " + r.Currency.Code() + ">", "real " + r.Currency.Code() + ">", "pay>", "time>", "idle>"}}
	row := func(name string, l month.RoleTime) []string {
		return []string{name, l.Planned.String(), l.Hours.String(), l.Idle.String(), l.Standard.String(), l.Cost.String(), l.Rate.String(), l.Efficiency.String(), l.IdleCost.String()}
	}
	for _, l := range r.Labour.Roles {
		roles.add(row(l.Name, l)...)
	}
	roles.foot = row("all", r.Labour.Total)
	roles.print(env)

	tasks := slices.Clone(r.Labour.Tasks)
	slices.SortStableFunc(tasks, func(a, b month.TaskTime) int { return b.Hours.Cmp(a.Hours.Number) })
	t := table{heads: []string{"the longest tasks", "", "planned>", "worked>", "recorded>"}}
	for _, l := range tasks[:min(mostRows, len(tasks))] {
		task := l.Task
		if task == "" {
			task = "no task known"
		}
		t.add(task, l.Name, l.Planned.String(), l.Hours.String(), l.Recorded.String())
	}
	fmt.Fprintln(env.Out)
	t.print(env)
	env.more(len(tasks))
}

func printOverhead(env *Env, r month.Report) {
	o := r.Overhead
	env.section("Overhead")
	t := table{heads: []string{"", r.Currency.Code() + ">", ""}}
	t.add("absorbed by the orders", o.Absorbed.String(), "")
	if o.Budget.Given {
		t.add("budget", o.Budget.Value.String(), "")
	}
	paid := "not recorded; the budget stands in"
	switch {
	case o.PaidRecorded:
		paid = ""
	case !o.Budget.Given:
		paid = "not recorded; what was absorbed stands in"
	}
	t.add("paid", o.Paid.String(), paid)
	if o.Budget.Given {
		t.add("budget − paid", o.Spending.Value.String(), "")
		t.add("absorbed − budget", o.Volume.Value.String(), "")
	}
	if o.Capacity.Given {
		t.add("  of it for hours worked", o.Capacity.Value.String(), fmt.Sprintf("%s of %s budgeted", o.Hours, o.BudgetHours.Value))
		t.add("  for what was done in them", o.Efficiency.Value.String(), "")
		t.add("  for the rate quoted", o.Rate.Value.String(), "")
	}
	t.add("absorbed − paid", o.Absorption.String(), "")
	t.print(env)
}

func printWaste(env *Env, r month.Report) {
	if len(r.Waste.Rows) == 0 {
		fmt.Fprint(env.Out, "\nNothing was recorded as thrown away.\n")
		return
	}
	env.section("Thrown away")
	t := table{heads: []string{"", "quantity>", "", "of what was used>", r.Currency.Code() + ">"}}
	for _, w := range r.Waste.Rows[:min(mostRows, len(r.Waste.Rows))] {
		t.add(w.Name, w.Quantity.Fixed(3), w.Unit, maybePercent(w.OfUsed), w.Value.String())
	}
	t.foot = []string{"all", "", "", "", r.Waste.Total.String()}
	t.print(env)
	env.more(len(r.Waste.Rows))
}

func printQuotes(env *Env, r month.Report) {
	env.section("Quotes")
	t := table{heads: []string{"", "quotes>", r.Currency.Code() + " without tax>"}}
	for _, row := range []struct {
		name string
		of   month.Tallied
	}{{"issued", r.Quotes.Issued}, {"won", r.Quotes.Won}, {"declined", r.Quotes.Declined}, {"lapsed", r.Quotes.Lapsed}, {"withdrawn", r.Quotes.Withdrawn}, {"open on " + r.To.String(), r.Quotes.Open}} {
		t.add(row.name, fmt.Sprint(row.of.Count), row.of.Value.String())
	}
	t.print(env)
	if r.Quotes.Conversion.Given {
		fmt.Fprintf(env.Out, "won of those decided: %s", maybePercent(r.Quotes.Conversion))
		if r.Quotes.ConversionValue.Given {
			fmt.Fprintf(env.Out, ", by value %s", maybePercent(r.Quotes.ConversionValue))
		}
		fmt.Fprintln(env.Out)
	}
}

func printReceivables(env *Env, r month.Report) {
	d := r.Receivables
	if len(d.Rows) == 0 {
		fmt.Fprintf(env.Out, "\nNobody owed anything on %s.\n", d.On)
		return
	}
	env.section("Owed by clients on " + d.On.String() + ", " + r.Currency.Code())
	t := table{heads: []string{"", "client", "event", "owed>", "received>", "not due>", "overdue>", "to go back>", ""}}
	for _, row := range d.Rows[:min(mostRows, len(d.Rows))] {
		since := ""
		if !row.Since.IsZero() {
			since = "since " + row.Since.String()
		}
		t.add(row.Number, row.Client, row.Event.String(), row.Owed.String(), row.Received.String(), row.NotDue.String(), row.Outstanding.Sub(row.NotDue).String(), row.Credit.String(), since)
	}
	t.foot = []string{"all", "", "", d.Owed.String(), d.Received.String(), d.NotDue.String(), d.Overdue.String(), d.Credit.String(), ""}
	t.print(env)
	env.more(len(d.Rows))
	if !d.Overdue.IsZero() {
		a := table{heads: []string{"days overdue", r.Currency.Code() + ">"}}
		for _, age := range d.Ages {
			band := fmt.Sprintf("%d to %d", age.From, age.To)
			if age.To == 0 {
				band = fmt.Sprintf("over %d", age.From-1)
			}
			a.add(band, age.Amount.String())
		}
		fmt.Fprintln(env.Out)
		a.print(env)
	}
}

func printTax(env *Env, r month.Report) {
	label := r.TaxLabel
	if label == "" {
		label = "tax"
	}
	env.section("Sales by rate of tax, " + r.Currency.Code() + ", as quoted")
	t := table{heads: []string{"rate", "net>", label + ">", "gross>"}}
	for _, row := range r.Tax.Rows {
		rate := "none"
		if row.Rate.Given {
			rate = pricing.Brief(row.Rate.Value.Mul(exact.Int(100))) + " %"
		}
		t.add(rate, row.Net.String(), row.Tax.String(), row.Gross.String())
	}
	t.foot = []string{"all", r.Tax.Net.String(), r.Tax.Tax.String(), r.Tax.Gross.String()}
	t.print(env)
	if !r.Tax.Fees.IsZero() || !r.Tax.Changes.IsZero() {
		fmt.Fprintf(env.Out, "not in these: cancellation fees of %s, and %s charged or let off after accepting\n", r.Tax.Fees, r.Tax.Changes)
	}
}
