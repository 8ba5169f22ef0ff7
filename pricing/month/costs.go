package month

import (
	"cmp"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/variance"
)

// compared is a standard cost by class, and what of it the actual one is less.
type compared struct{ standard, gap pricing.Cost }

// costRow is a compared cost as it is shown.
type costRow struct{ standard, actual Cost }

// classes of a cost, in the order of a cost sheet.
var classNames = [...]string{"ingredients", "packaging", "labour", "equipment", "overhead"}

func classesOf(c pricing.Cost) [len(classNames)]exact.Number {
	return [...]exact.Number{c.Ingredients, c.Packaging, c.Labour, c.Equipment, c.Overhead}
}

func (c *Cost) classes() [len(classNames)]*money.Amount {
	return [...]*money.Amount{&c.Ingredients, &c.Packaging, &c.Labour, &c.Equipment, &c.Overhead}
}

// costTable rounds costs so that rows and columns add up: the total is rounded,
// classes share it, rows share each class, and a row's total is the sum of its
// classes. What lies between standard and actual is shared in the same way, so
// that where the two are equal they are shown equal.
func costTable(cur money.Currency, list []compared) (rows []costRow, total costRow) {
	var standard, gap [len(classNames)][]exact.Number
	var standards, gaps [len(classNames)]exact.Number
	for class := range classNames {
		for _, c := range list {
			standard[class], gap[class] = append(standard[class], classesOf(c.standard)[class]), append(gap[class], classesOf(c.gap)[class])
		}
		standards[class], gaps[class] = exact.Sum(standard[class]...), exact.Sum(gap[class]...)
	}
	classes, whole := addUp(cur, standards[:]...)
	between := whole.Sub(cur.Round(exact.Sum(standards[:]...).Sub(exact.Sum(gaps[:]...))))
	classGaps := money.Apportion(between, gaps[:])
	rows = make([]costRow, len(list))
	for class := range classNames {
		of := money.Apportion(classes[class], standard[class])
		off := money.Apportion(classGaps[class], gap[class])
		for i := range rows {
			rows[i].put(class, of[i], of[i].Sub(off[i]))
		}
		total.put(class, classes[class], classes[class].Sub(classGaps[class]))
	}
	return rows, total
}

func (r *costRow) put(class int, standard, actual money.Amount) {
	*r.standard.classes()[class], *r.actual.classes()[class] = standard, actual
	r.standard.Total, r.actual.Total = r.standard.Total.Add(standard), r.actual.Total.Add(actual)
}

// orderTable returns the orders of the span with their sums, of which f are the
// exact ones.
func (t *Tally) orderTable(f made) Orders {
	orders := slices.Clone(t.orders)
	slices.SortFunc(orders, func(a, b *made) int {
		return cmp.Or(oldest(a.shown.countsOn(), b.shown.countsOn()), cmp.Compare(a.shown.Number, b.shown.Number))
	})
	costs, nets := make([]compared, len(orders)), make([]exact.Number, len(orders))
	for i, m := range orders {
		costs[i], nets[i] = compared{m.standard, m.gap}, m.net
	}
	rows, total := costTable(t.cur, costs)
	shownNets, net := addUp(t.cur, nets...)
	list := Orders{Rows: make([]Order, len(orders))}
	list.Total = Sums{Revenue: Revenue{t.zero(), t.zero(), t.zero(), t.zero(), t.zero(), t.zero(), net}, Standard: total.standard, Actual: total.actual}
	sum := &list.Total
	for i, m := range orders {
		o := m.shown
		o.Revenue = m.parts
		o.Revenue.Net = shownNets[i]
		o.Revenue.Changes = shownNets[i].Sub(m.parts.Net)
		o.Standard, o.Actual = rows[i].standard, rows[i].actual
		o.PlannedMargin = t.cur.Round(m.plannedNet).Sub(o.Standard.Total)
		o.Margin = o.Revenue.Net.Sub(o.Actual.Total)
		list.Rows[i] = o
		r := &sum.Revenue
		r.Cakes, r.Extras, r.Discount = r.Cakes.Add(o.Revenue.Cakes), r.Extras.Add(o.Revenue.Extras), r.Discount.Add(o.Revenue.Discount)
		r.Minimum, r.Changes, r.Fee = r.Minimum.Add(o.Revenue.Minimum), r.Changes.Add(o.Revenue.Changes), r.Fee.Add(o.Revenue.Fee)
		if o.Cancelled.IsZero() {
			list.Made++
		} else {
			list.Off++
		}
		if o.Recorded.Given {
			list.Recorded++
		}
		list.Cakes, list.Portions = list.Cakes+o.Cakes, list.Portions+o.Portions
	}
	sum.PlannedMargin = t.cur.Round(f.plannedNet).Sub(sum.Standard.Total)
	sum.PlannedShare = share(f.plannedNet.Sub(f.standard.Total()), f.plannedNet)
	sum.Margin = net.Sub(sum.Actual.Total)
	sum.MarginShare = share(f.net.Sub(f.actual.Total()), f.net)
	return list
}

// totals are the exact sums of the orders of a month that was summed.
func totals(m variance.Month) made {
	sum := made{plannedNet: m.PlannedNet, net: m.Net, standard: m.Kinds.Standard(), actual: m.Kinds.Actual()}
	// Of the overhead a month's split is that of what was paid, and an order bears
	// what it absorbs.
	sum.actual.Overhead = sum.standard.Overhead
	return sum
}

// classTable returns the cost of the orders by class.
func (t *Tally) classTable(total Sums, kinds variance.Kinds) []Class {
	list := make([]Class, len(classNames))
	standard, actual := total.Standard.classes(), total.Actual.classes()
	recorded, of := classesOf(recordedOf(kinds)), classesOf(kinds.Standard())
	for i, name := range classNames {
		s, a := *standard[i], *actual[i]
		list[i] = Class{
			Name: name, Standard: s, Actual: a, Variance: s.Sub(a), Recorded: share(recorded[i], of[i]),
			OfCost: share(a.Number(), total.Actual.Total.Number()), OfNet: share(a.Number(), total.Revenue.Net.Number()),
		}
	}
	return list
}

// recordedOf returns the standard cost of the lines of which something is
// recorded, by class.
func recordedOf(k variance.Kinds) pricing.Cost {
	for i := range k {
		k[i] = variance.Costs{Standard: k[i].Recorded}
	}
	return k.Standard()
}
