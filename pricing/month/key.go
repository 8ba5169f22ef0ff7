package month

import (
	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// cover lists the key figures in their order.
var cover = []KeyFigure{
	{Name: KeyOrders, Label: "orders delivered", Unit: Count, More: 1},
	{Name: KeyCakes, Label: "cakes", Unit: Count, More: 1},
	{Name: KeyPortions, Label: "portions served", Unit: Count, More: 1},
	{Name: KeyNet, Label: "net sales", Unit: Money, More: 1},
	{Name: KeyPerOrder, Label: "net sales an order", Unit: Money, More: 1},
	{Name: KeyFees, Label: "of which cancellation fees", Unit: Money},
	{Name: KeyCost, Label: "cost of the orders", Unit: Money, More: -1},
	{Name: KeyMargin, Label: "margin of the orders", Unit: Money, More: 1},
	{Name: KeyMarginShare, Label: "margin of net sales", Unit: Share, More: 1},
	{Name: KeyPlannedShare, Label: "margin as quoted", Unit: Share, More: 1},
	{Name: KeyResult, Label: "margin after overhead paid", Unit: Money, More: 1},
	{Name: KeyMaterials, Label: "ingredients and packaging of net sales", Unit: Share, More: -1},
	{Name: KeyLabour, Label: "labour of net sales", Unit: Share, More: -1},
	{Name: KeyHours, Label: "labour hours", Unit: Hours},
	{Name: KeyWaste, Label: "thrown away", Unit: Money, More: -1},
	{Name: KeyIssued, Label: "quotes issued", Unit: Count, More: 1},
	{Name: KeyWon, Label: "quotes won", Unit: Count, More: 1},
	{Name: KeyLost, Label: "quotes lost", Unit: Count, More: -1},
	{Name: KeyConversion, Label: "won of those decided", Unit: Share, More: 1},
	{Name: KeyWonValue, Label: "value of quotes won", Unit: Money, More: 1},
	{Name: KeyReceivable, Label: "owed by clients at the end", Unit: Money},
	{Name: KeyOverdue, Label: "of which overdue", Unit: Money, More: -1},
}

// keyFigures puts the figures of three spans side by side.
func keyFigures(now, before, yearBefore map[string]record.Maybe[Figure]) []KeyFigure {
	list := make([]KeyFigure, len(cover))
	for i, k := range cover {
		k.Now, k.Before, k.YearBefore = now[k.Name], before[k.Name], yearBefore[k.Name]
		k.Change, k.YearChange = k.since(k.Before), k.since(k.YearBefore)
		list[i] = k
	}
	return list
}

// since returns the change since an earlier figure, of the figures as shown.
func (k KeyFigure) since(then record.Maybe[Figure]) record.Maybe[Figure] {
	switch {
	case !k.Now.Given || !then.Given:
		return record.Maybe[Figure]{}
	case k.Unit == Share:
		return record.Some(Figure{k.Now.Value.Sub(then.Value.Number), sharePlaces})
	}
	// Against a loss, or nothing, no percentage says what happened.
	if then.Value.Sign() <= 0 {
		return record.Maybe[Figure]{}
	}
	return changeOf(k.Now.Value.Number, then.Value.Number)
}

// keys returns the key figures of t.
func (t *Tally) keys(known *summed) map[string]record.Maybe[Figure] {
	m, f, q, due := known.month, totals(known.month), known.quotes, known.due
	delivered, cakes, portions, fees := 0, 0, 0, t.zero()
	for _, o := range t.orders {
		if o.shown.Cancelled.IsZero() {
			delivered++
		}
		cakes, portions, fees = cakes+o.shown.Cakes, portions+o.shown.Portions, fees.Add(o.parts.Fee)
	}
	var minutes exact.Number
	for _, s := range m.Resources {
		if s.Kind == pricing.Role {
			minutes = minutes.Add(s.Quantity)
		}
	}
	net, cost := t.cur.Round(f.net), t.cur.Round(f.actual.Total())
	count := func(n int) record.Maybe[Figure] { return record.Some(Figure{exact.Int(int64(n)), 0}) }
	amount := func(a money.Amount) record.Maybe[Figure] { return record.Some(Figure{a.Number(), t.cur.Places()}) }
	wasted := m.Kinds[pricing.Ingredient].Split.Lost.Add(m.Kinds[pricing.Packaging].Split.Lost).Neg()
	keys := map[string]record.Maybe[Figure]{
		KeyOrders: count(delivered), KeyCakes: count(cakes), KeyPortions: count(portions),
		KeyNet: amount(net), KeyFees: amount(fees), KeyCost: amount(cost), KeyMargin: amount(net.Sub(cost)),
		KeyMarginShare:  share(f.net.Sub(f.actual.Total()), f.net),
		KeyPlannedShare: share(f.plannedNet.Sub(f.standard.Total()), f.plannedNet),
		KeyResult:       amount(t.cur.Round(m.Bridge.Actual)),
		KeyMaterials:    share(f.actual.Ingredients.Add(f.actual.Packaging), f.net),
		KeyLabour:       share(f.actual.Labour, f.net),
		KeyHours:        record.Some(Figure{exact.FromDecimal(minutes.Quo(exact.Int(60)).Round(hourPlaces)), hourPlaces}),
		KeyWaste:        amount(t.cur.Round(wasted)),
		KeyIssued:       count(q.Issued.Count), KeyWon: count(q.Won.Count), KeyLost: count(q.Lost.Count),
		KeyConversion: q.Conversion, KeyWonValue: amount(q.Won.Value),
		KeyReceivable: amount(due.Outstanding), KeyOverdue: amount(due.Overdue),
	}
	if delivered > 0 {
		keys[KeyPerOrder] = amount(t.cur.Round(f.net.Sub(fees.Number()).Quo(exact.Int(int64(delivered)))))
	}
	return keys
}

// monthRows returns the months of a longer span. Their money adds up to that
// of the report r.
func (t *Tally) monthRows(r Report) ([]MonthRow, error) {
	var rows []MonthRow
	var costs []compared
	var nets, absorptions, results, minutes []exact.Number
	for _, part := range t.months {
		known, err := part.summed()
		if err != nil {
			return nil, err
		}
		m, keys, q := known.month, known.keys, known.quotes
		f := totals(m)
		rows = append(rows, MonthRow{
			Month: part.span.String(), From: part.span.From, To: part.span.To,
			Cakes: m.Cakes, MarginShare: keys[KeyMarginShare], Conversion: q.Conversion,
			Issued: q.Issued.Count, Won: q.Won.Count, Lost: q.Lost.Count,
		})
		row := &rows[len(rows)-1]
		var worked exact.Number
		for _, o := range part.orders {
			if o.shown.Cancelled.IsZero() {
				row.Orders++
			}
		}
		for _, s := range m.Resources {
			if s.Kind == pricing.Role {
				worked = worked.Add(s.Quantity)
			}
		}
		costs, nets = append(costs, compared{f.standard, f.standard.Less(f.actual)}), append(nets, f.net)
		absorptions, results = append(absorptions, m.Overhead.Total), append(results, m.Bridge.Actual)
		minutes = append(minutes, worked)
	}
	shownCosts, _ := costTable(t.cur, costs)
	shownNets := money.Apportion(r.Orders.Total.Revenue.Net, nets)
	shownAbsorptions := money.Apportion(r.Overhead.Absorption, absorptions)
	shownResults := money.Apportion(r.Bridge.Actual, results)
	shownHours, _ := hoursUp(minutes)
	for i := range rows {
		rows[i].Net, rows[i].Cost = shownNets[i], shownCosts[i].actual
		rows[i].Margin = rows[i].Net.Sub(rows[i].Cost.Total)
		rows[i].Absorption, rows[i].Result, rows[i].Hours = shownAbsorptions[i], shownResults[i], shownHours[i]
	}
	return rows, nil
}
