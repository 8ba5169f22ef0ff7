package document

import (
	"fmt"
	"slices"
	"strconv"

	"marchpane/pricing/money"
	"marchpane/pricing/month"
)

// months is a row a month of a longer span. Of one of many years the last fit.
func (w monthWriter) months() MonthTable {
	t := MonthTable{Heading: "Month by month", Columns: []string{"", "orders", "net sales", "cost", "margin", "of net", "after overhead paid"}}
	list := w.Report.Months
	if len(list) == 0 {
		return t
	}
	const most = 12
	if len(list) > most {
		t.Heading = fmt.Sprintf("The last %d of %d months", most, len(list))
		list = list[len(list)-most:]
	}
	for _, m := range list {
		t.Rows = append(t.Rows, []string{m.Month, strconv.Itoa(m.Orders), w.money(m.Net), w.money(m.Cost.Total), w.money(m.Margin), w.percent(m.MarginShare), w.money(m.Result)})
	}
	s := w.Report.Orders.Total
	t.Total = []string{"all of " + w.Title, strconv.Itoa(w.Report.Orders.Made), w.money(s.Revenue.Net), w.money(s.Actual.Total), w.money(s.Margin), w.percent(s.MarginShare), w.money(w.Report.Bridge.Actual)}
	return t
}

// orders is a row an order; where there are more than most, those that brought
// most, by day, and the others in a row.
func (w monthWriter) orders(most int) MonthTable {
	all := w.Report.Orders.Rows
	t := MonthTable{Heading: "Orders", Columns: []string{"", "client", "event", "net sales", "planned cost", "cost", "margin", "of net"}, Empty: "no order has its event in these days"}
	shown := all
	if len(all) > most {
		rank := make([]int, len(all))
		for i := range rank {
			rank[i] = i
		}
		slices.SortStableFunc(rank, func(a, b int) int { return all[b].Revenue.Net.Cmp(all[a].Revenue.Net) })
		rank = rank[:most-1]
		slices.Sort(rank)
		shown = nil
		for _, i := range rank {
			shown = append(shown, all[i])
		}
		t.Heading = fmt.Sprintf("Orders: the %d that brought most, of %d", len(shown), len(all))
	}
	rest := w.Report.Orders.Total
	net, planned, cost := rest.Revenue.Net, rest.Standard.Total, rest.Actual.Total
	for _, o := range shown {
		event := o.Event.String()
		if !o.Cancelled.IsZero() {
			event = "called off"
		}
		t.Rows = append(t.Rows, []string{o.Number, o.Client, event, w.money(o.Revenue.Net), w.money(o.Standard.Total), w.money(o.Actual.Total), w.money(o.Margin), w.percent(o.MarginShare)})
		net, planned, cost = net.Sub(o.Revenue.Net), planned.Sub(o.Standard.Total), cost.Sub(o.Actual.Total)
	}
	if more := len(all) - len(shown); more > 0 {
		margin := net.Sub(cost)
		t.Rows = append(t.Rows, []string{"", fmt.Sprintf("%d others", more), "", w.money(net), w.money(planned), w.money(cost), w.money(margin), w.percent(shareOf(margin, net))})
	}
	if len(all) > 0 {
		s := w.Report.Orders.Total
		t.Total = []string{"all", "", "", w.money(s.Revenue.Net), w.money(s.Standard.Total), w.money(s.Actual.Total), w.money(s.Margin), w.percent(s.MarginShare)}
	}
	return t
}

func (w monthWriter) quotes() MonthTable {
	q := w.Report.Quotes
	t := MonthTable{Heading: "Quotes", Columns: []string{"", "number", "value"}}
	for _, line := range []struct {
		label string
		of    month.Tallied
	}{
		{"issued", q.Issued}, {"won", q.Won}, {"lost", q.Lost}, {"of these declined", q.Declined}, {"of these lapsed", q.Lapsed}, {"of these withdrawn", q.Withdrawn}, {"open at the end", q.Open},
	} {
		t.Rows = append(t.Rows, []string{line.label, strconv.Itoa(line.of.Count), w.money(line.of.Value)})
	}
	t.Total = []string{"won of those decided", w.percent(q.Conversion), w.percent(q.ConversionValue)}
	return t
}

// ages is what clients owe on the last day, by how late it is.
func (w monthWriter) ages() MonthTable {
	r := w.Report.Receivables
	t := MonthTable{Heading: "Owed by clients on " + w.Date(r.On), Columns: []string{"with tax", "", "of it"}}
	row := func(label string, a money.Amount) {
		t.Rows = append(t.Rows, []string{label, w.money(a), w.percent(shareOf(a, r.Outstanding))})
	}
	row("not yet due", r.NotDue)
	for _, a := range r.Ages {
		label := fmt.Sprintf("%d to %d days late", a.From, a.To)
		if a.To == 0 {
			label = fmt.Sprintf("%d days late or more", a.From)
		}
		row(label, a.Amount)
	}
	if !r.Credit.IsZero() {
		t.Rows = append(t.Rows, []string{"apart from it, to pay back", w.money(r.Credit), ""})
	}
	t.Total = []string{"outstanding", w.money(r.Outstanding), ""}
	return t
}

// accounts is the oldest debts, and the others in a row.
func (w monthWriter) accounts() MonthTable {
	r := w.Report.Receivables
	var debts []month.Debt
	for _, d := range r.Rows {
		if !d.Outstanding.IsZero() { // one in credit owes nothing
			debts = append(debts, d)
		}
	}
	t := MonthTable{Heading: "Accounts that are not settled", Columns: []string{"", "client", "event", "owed", "received", "outstanding", "of it overdue", "since"}, Empty: "nothing is outstanding"}
	shown := debts
	if len(debts) > mostMonthDebts {
		shown = debts[:mostMonthDebts-1]
		t.Heading = fmt.Sprintf("Accounts that are not settled: the oldest %d debts, of %d", len(shown), len(debts))
	}
	row := func(number, client, event, since string, list []month.Debt) {
		var owed, received, outstanding, late money.Amount
		for _, d := range list {
			owed, received = owed.Add(d.Owed), received.Add(d.Received)
			outstanding, late = outstanding.Add(d.Outstanding), late.Add(d.Outstanding.Sub(d.NotDue))
		}
		t.Rows = append(t.Rows, []string{number, client, event, w.money(owed), w.money(received), w.money(outstanding), w.money(late), since})
	}
	for i, d := range shown {
		event, since := d.Event.String(), ""
		if d.Cancelled {
			event = "called off"
		}
		if !d.Since.IsZero() {
			since = d.Since.String()
		}
		row(d.Number, d.Client, event, since, shown[i:i+1])
	}
	if more := debts[len(shown):]; len(more) > 0 {
		row("", fmt.Sprintf("%d others", len(more)), "", "", more)
	}
	return t
}
