package store

import (
	"strconv"
	"time"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// entryRef returns what an entry of the journal is called: A12.
func entryRef(id int64) string { return "A" + strconv.FormatInt(id, 10) }

// actualRow is what an entry has besides its head; nil is NULL.
type actualRow struct {
	kind                                                         string
	quote, subject, task, who, minutes, perMinute, started, over any
	written, packs, pack, price, taxIn, supplier, invoice        any
	quantity, unit, perUnit, until, month, amount, kwh           any
	cakes, overhead, hours                                       any
}

// putActuals adds entries and returns them as they were stored.
func (w *writer) putActuals(r *reader, e actual.Records, quotes map[string]any, at time.Time) (actual.Records, error) {
	var next int64
	r.each(func() {}, `SELECT coalesce(max(id), 0) + 1 FROM actual`, nil, &next)
	put := func(h *actual.Head, row actualRow) {
		h.ID, h.At, h.Undone = entryRef(next), instant(at), nil
		w.do(`INSERT INTO actual (id, at, on_day, note, kind, quote, subject, task, who, minutes, per_minute, started_at, ended_at,
				written, packs, pack, price, tax_in, supplier, invoice, quantity, unit, per_unit, until_day, month, amount, kwh, cakes, overhead, hours)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			next, h.At, h.On.String(), h.Note, row.kind, row.quote, row.subject, row.task, row.who, row.minutes, row.perMinute, row.started, row.over,
			row.written, row.packs, row.pack, row.price, row.taxIn, row.supplier, row.invoice, row.quantity, row.unit, row.perUnit, row.until, row.month, row.amount, row.kwh, row.cakes, row.overhead, row.hours)
		next++
	}
	e = e.Join(actual.Records{}) // a copy of the lists, to write ids into
	for i := range e.Work {
		v := &e.Work[i]
		put(&v.Head, actualRow{kind: string(v.Way), quote: quotes[v.Order], subject: string(v.Role), task: word(v.Task), who: word(v.Who),
			minutes: v.Minutes.Text(), perMinute: v.PerMinute.Text(), started: word(v.Started), over: word(v.Ended)})
	}
	for i := range e.Goods {
		v := &e.Goods[i]
		id := next
		put(&v.Head, actualRow{kind: string(v.Way), quote: quotes[v.Order], subject: string(v.Use), written: v.Written.String()})
		for _, g := range v.Goods {
			w.do(`INSERT INTO actual_good (entry, resource, packaging, quantity, unit, per_unit) VALUES (?, ?, ?, ?, ?, ?)`,
				id, string(g.Resource), g.Packaging, g.Quantity.Text(), g.Unit, g.PerUnit.Text())
		}
	}
	for i := range e.Purchases {
		v := &e.Purchases[i]
		put(&v.Head, actualRow{kind: "bought", quote: quotes[v.Order], subject: string(v.Ingredient), packs: v.Packs.String(), pack: v.Pack.String(), price: v.Price.String(),
			taxIn: stated(v.TaxIn), supplier: word(v.Supplier), invoice: word(v.Invoice), quantity: v.Quantity.Text(), unit: v.Unit, perUnit: v.PerUnit.Text()})
	}
	for i := range e.Wages {
		v := &e.Wages[i]
		put(&v.Head, actualRow{kind: "wage", subject: string(v.Role), price: v.PerHour.String(), until: typed(v.Until), perMinute: v.PerMinute.Text()})
	}
	for i := range e.Bills {
		v := &e.Bills[i]
		put(&v.Head, actualRow{kind: string(v.Of), month: v.Month.String(), amount: stated(v.Amount), kwh: stated(v.KWh)})
	}
	for i := range e.Plans {
		v := &e.Plans[i]
		put(&v.Head, actualRow{kind: "plan", month: v.Month.String(), cakes: stated(v.Cakes), amount: stated(v.Margin), overhead: stated(v.Overhead), hours: stated(v.Hours)})
	}
	for i := range e.Charges {
		v := &e.Charges[i]
		put(&v.Head, actualRow{kind: "charge", quote: quotes[v.Order], amount: v.Amount.String()})
	}
	if w.err == nil {
		w.err = r.err
	}
	return e, w.err
}

// actuals reads the entries whose ids a query gives, in their order.
func (r *reader) actuals(ids string, args ...any) (found actual.Records, err error) {
	goods := map[int64][]actual.Good{}
	var id int64
	var g actual.Good
	r.each(func() { goods[id] = append(goods[id], g) },
		`SELECT entry, resource, packaging, quantity, unit, per_unit FROM actual_good WHERE entry IN (`+ids+`) ORDER BY entry, resource`, args,
		&id, name(&g.Resource), &g.Packaging, text(&g.Quantity), &g.Unit, text(&g.PerUnit))

	var head actual.Head
	var kind, order string
	var subject book.ID
	var task, who, started, ended, supplier, invoice, unit string
	var minutes, perMinute, quantity, perUnit exact.Number
	var written measure.Quantity
	var packs measure.Figure
	var pack measure.Pack
	var price money.Price
	var taxIn record.Maybe[measure.Percent]
	var until day.Date
	var month actual.Month
	var amount, overhead record.Maybe[money.Amount]
	var kwh, hours record.Maybe[measure.Figure]
	var cakes record.Maybe[int]
	var undoneOn day.Date
	var why string
	r.each(func() {
		h := head
		h.ID = entryRef(id)
		if !undoneOn.IsZero() {
			h.Undone = &actual.Undone{On: undoneOn, Why: why}
		}
		switch kind {
		case string(actual.Worked), string(actual.Longer), string(actual.Idle):
			found.Work = append(found.Work, actual.Work{Head: h, Order: order, Way: actual.Way(kind), Role: subject, Task: task, Who: who,
				Minutes: minutes, PerMinute: perMinute, Started: started, Ended: ended})
		case string(actual.Used), string(actual.More), string(actual.Wasted):
			found.Goods = append(found.Goods, actual.Goods{Head: h, Order: order, Way: actual.Way(kind), Use: subject, Written: written, Goods: goods[id]})
		case "bought":
			found.Purchases = append(found.Purchases, actual.Purchase{Head: h, Order: order, Ingredient: subject, Packs: packs, Pack: pack, Price: price,
				TaxIn: taxIn, Supplier: supplier, Invoice: invoice, Quantity: quantity, Unit: unit, PerUnit: perUnit})
		case "wage":
			found.Wages = append(found.Wages, actual.Wage{Head: h, Role: subject, PerHour: price, Until: until, PerMinute: perMinute})
		case string(actual.OverheadCost), string(actual.EnergyCost):
			found.Bills = append(found.Bills, actual.Bill{Head: h, Month: month, Of: actual.Cost(kind), Amount: amount, KWh: kwh})
		case "plan":
			found.Plans = append(found.Plans, actual.Plan{Head: h, Month: month, Cakes: cakes, Margin: amount, Overhead: overhead, Hours: hours})
		case "charge":
			found.Charges = append(found.Charges, actual.Charge{Head: h, Order: order, Amount: amount.Value})
		}
	}, `SELECT a.id, a.at, a.on_day, a.note, kind, coalesce(q.number, ''), coalesce(subject, ''), coalesce(task, ''), coalesce(who, ''), minutes, per_minute,
			coalesce(started_at, ''), coalesce(ended_at, ''), written, packs, pack, price, tax_in, coalesce(supplier, ''), coalesce(invoice, ''),
			quantity, coalesce(unit, ''), per_unit, until_day, month, amount, kwh, cakes, overhead, hours, u.on_day, coalesce(u.why, '')
		FROM actual a LEFT JOIN quote q ON q.id = a.quote LEFT JOIN actual_undone u ON u.entry = a.id
		WHERE a.id IN (`+ids+`) ORDER BY a.id`, args,
		&id, &head.At, text(&head.On), &head.Note, &kind, &order, name(&subject), &task, &who, text(&minutes), text(&perMinute),
		&started, &ended, text(&written), text(&packs), text(&pack), text(&price), maybe(&taxIn), &supplier, &invoice,
		text(&quantity), &unit, text(&perUnit), text(&until), text(&month), maybe(&amount), maybe(&kwh), maybe(&cakes), maybe(&overhead), maybe(&hours),
		text(&undoneOn), &why)
	return found, r.err
}
