package actual

import (
	"cmp"
	"maps"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// Planned returns the plan of an order, as [variance.FromQuote] has it. A
// cancelled order plans nothing any more: what was recorded before it was
// called off is all that it cost, and its fee all that it brings.
func Planned(o quote.Order) (variance.Order, error) {
	p, err := variance.FromQuote(o.Quote)
	if err != nil || o.CancelledOn.IsZero() {
		return p, err
	}
	p.Cakes, p.Share = 0, exact.Number{}
	p.Sales = variance.Sales{ActualPrice: record.Some(o.Net())}
	p.Lines = slices.DeleteFunc(p.Lines, func(l variance.Line) bool { return l.Kind == pricing.Overhead })
	for i := range p.Lines {
		p.Lines[i].StandardQuantity = exact.Number{}
	}
	return p, nil
}

// Ledger is records in order: by order, by month, and purchases and wages by
// day. Entries that were taken back are not in it. It is read only, so that
// several goroutines may use it.
type Ledger struct {
	orders map[string]*Records
	shelf  map[goodsKey]*shelf // bought for no order in particular
	wages  map[book.ID][]Wage  // by first day
	months map[Month]MonthRecords
}

// shelf is what was bought of an ingredient, by day, with running sums, so
// that any span of days is one subtraction.
type shelf struct {
	purchases       []Purchase
	money, quantity []exact.Number // of the first so many purchases
}

// between returns what was paid and bought from one day to another.
func (s *shelf) between(from, to day.Date) (money, quantity exact.Number) {
	find := func(d day.Date) int {
		i, _ := slices.BinarySearchFunc(s.purchases, d, func(p Purchase, d day.Date) int { return byDay(p.On, d) })
		return i
	}
	first, end := find(from), find(to.AddDays(1))
	if first >= end {
		return exact.Number{}, exact.Number{}
	}
	return s.money[end].Sub(s.money[first]), s.quantity[end].Sub(s.quantity[first])
}

// add sets the running sums.
func (s *shelf) add() {
	slices.SortStableFunc(s.purchases, func(a, b Purchase) int { return byDay(a.On, b.On) })
	s.money, s.quantity = make([]exact.Number, 1, len(s.purchases)+1), make([]exact.Number, 1, len(s.purchases)+1)
	for i, p := range s.purchases {
		s.money = append(s.money, s.money[i].Add(p.Quantity.Mul(p.PerUnit)))
		s.quantity = append(s.quantity, s.quantity[i].Add(p.Quantity))
	}
}

// NewLedger puts records in order.
func NewLedger(r Records) *Ledger {
	return (&Ledger{orders: map[string]*Records{}, shelf: map[goodsKey]*shelf{}, wages: map[book.ID][]Wage{}, months: map[Month]MonthRecords{}}).With(r)
}

// With returns a ledger of l's records and of later ones, as if all had been put
// in order together. l stays as it is.
func (l *Ledger) With(r Records) *Ledger {
	l = &Ledger{maps.Clone(l.orders), maps.Clone(l.shelf), maps.Clone(l.wages), maps.Clone(l.months)}
	own := map[string]bool{} // orders whose records are l's own
	order := func(number string) *Records {
		of := l.orders[number]
		switch {
		case of == nil:
			of = &Records{}
		case !own[number]:
			// Of its own, and clipped, so that what is appended moves away.
			of = &Records{Work: slices.Clip(of.Work), Goods: slices.Clip(of.Goods), Purchases: slices.Clip(of.Purchases), Charges: slices.Clip(of.Charges)}
		}
		l.orders[number], own[number] = of, true
		return of
	}
	shelves, paid := map[goodsKey]*shelf{}, map[book.ID]bool{} // what is added to
	for _, e := range r.Work {
		if e.Undone == nil {
			of := order(e.Order)
			of.Work = append(of.Work, e)
		}
	}
	for _, e := range r.Goods {
		if e.Undone == nil {
			of := order(e.Order)
			of.Goods = append(of.Goods, e)
		}
	}
	for _, e := range r.Charges {
		if e.Undone == nil {
			of := order(e.Order)
			of.Charges = append(of.Charges, e)
		}
	}
	for _, e := range r.Purchases {
		switch {
		case e.Undone != nil:
		case e.Order != "":
			of := order(e.Order)
			of.Purchases = append(of.Purchases, e)
		default:
			key := goodsKey{e.Ingredient, e.Unit}
			if shelves[key] == nil {
				shelves[key] = &shelf{}
				if was := l.shelf[key]; was != nil {
					shelves[key].purchases = slices.Clone(was.purchases)
				}
			}
			shelves[key].purchases = append(shelves[key].purchases, e)
		}
	}
	for key, s := range shelves {
		s.add()
		l.shelf[key] = s
	}
	for _, e := range r.Wages {
		if e.Undone == nil {
			l.wages[e.Role] = append(slices.Clip(l.wages[e.Role]), e)
			paid[e.Role] = true
		}
	}
	for role := range paid {
		slices.SortStableFunc(l.wages[role], func(a, b Wage) int { return byDay(a.On, b.On) })
	}
	for _, e := range r.Bills {
		if e.Undone == nil {
			l.months[e.Month] = l.months[e.Month].withBill(e)
		}
	}
	for _, e := range r.Plans {
		if e.Undone == nil {
			l.months[e.Month] = l.months[e.Month].withPlan(e)
		}
	}
	return l
}

func byDay(a, b day.Date) int {
	switch {
	case a.Before(b):
		return -1
	case b.Before(a):
		return 1
	}
	return 0
}

// Order returns the records of one order: its work, goods, charges and the
// purchases made for it.
func (l *Ledger) Order(number string) Records {
	if r := l.orders[number]; r != nil {
		return *r
	}
	return Records{}
}

// Apply returns the plan p of order o with what was recorded of it, as the
// package comment has it. Lines of what nobody planned come last, by kind and
// resource. p stays as it is.
func (l *Ledger) Apply(p variance.Order, o quote.Order) variance.Order {
	r := l.Order(o.Quote.Number)
	p.Lines = slices.Clone(p.Lines)
	goods, work := goodsOf(r.Goods), workOf(r.Work)
	for i := range p.Lines {
		line := &p.Lines[i]
		switch line.Kind {
		case pricing.Ingredient, pricing.Packaging:
			key := goodsKey{line.Resource, line.Unit}
			if t := goods[key]; t != nil {
				line.ActualQuantity, line.Lost = t.quantity(line.StandardQuantity)
				delete(goods, key)
			}
			l.priceGoods(line, r.Purchases, o)
		case pricing.Role:
			t := work[line.Resource]
			if t != nil {
				line.ActualQuantity, line.Lost = t.minutes(line.StandardQuantity)
				delete(work, line.Resource)
			}
			l.priceWork(line, t, o)
		case pricing.Energy:
			if perKWh, known := l.Month(MonthOf(o.Quote.Offer.EventDate)).PerKWh(); known && !line.StandardQuantity.IsZero() {
				line.ActualPrice = record.Some(perKWh)
			}
		}
	}
	p.Lines = append(p.Lines, l.unplanned(goods, work, r, o)...)
	l.charge(&p.Sales, r.Charges, o)
	return p
}

// unplanned returns lines for what was used though no standard asks for it.
func (l *Ledger) unplanned(goods map[goodsKey]*goodsTotal, work map[book.ID]*workTotal, r Records, o quote.Order) []variance.Line {
	var lines []variance.Line
	for key, t := range goods {
		kind := pricing.Ingredient
		if t.packaging {
			kind = pricing.Packaging
		}
		quantity, lost := t.quantity(exact.Number{})
		line := variance.Line{Resource: key.resource, Kind: kind, Unit: key.unit, StandardPrice: t.price(), ActualQuantity: quantity, Lost: lost}
		l.priceGoods(&line, r.Purchases, o)
		line = variance.Unplanned(line.Resource, kind, line.Unit, quantity.Or(lost), line.ActualPrice.Or(line.StandardPrice))
		line.Lost = lost
		lines = append(lines, line)
	}
	for role, t := range work {
		quantity, lost := t.minutes(exact.Number{})
		line := variance.Line{Resource: role, Kind: pricing.Role, Unit: "min", StandardPrice: t.price(), ActualQuantity: quantity, Lost: lost}
		l.priceWork(&line, t, o)
		line = variance.Unplanned(role, pricing.Role, line.Unit, quantity.Or(lost), line.ActualPrice.Or(line.StandardPrice))
		line.Lost = lost
		lines = append(lines, line)
	}
	slices.SortFunc(lines, func(a, b variance.Line) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Resource, b.Resource), cmp.Compare(a.Unit, b.Unit))
	})
	return lines
}

// priceGoods prices goods by what was bought for the order, or else between
// its acceptance and its event.
func (l *Ledger) priceGoods(line *variance.Line, own []Purchase, o quote.Order) {
	if line.StandardQuantity.IsZero() && !line.ActualQuantity.Given && line.Lost.IsZero() {
		return
	}
	var money, quantity exact.Number
	for _, p := range own {
		if p.Ingredient == line.Resource && p.Unit == line.Unit {
			money, quantity = money.Add(p.Quantity.Mul(p.PerUnit)), quantity.Add(p.Quantity)
		}
	}
	if s := l.shelf[goodsKey{line.Resource, line.Unit}]; quantity.IsZero() && s != nil {
		money, quantity = s.between(o.Accepted, o.Quote.Offer.EventDate)
	}
	if !quantity.IsZero() {
		line.ActualPrice = record.Some(money.Quo(quantity))
	}
}

// priceWork prices minutes by the wages really paid on their days. Minutes
// that no entry dates are those of the day of the event.
func (l *Ledger) priceWork(line *variance.Line, t *workTotal, o quote.Order) {
	event := o.Quote.Offer.EventDate
	minutes := line.ActualQuantity.Or(line.StandardQuantity.Add(line.Lost))
	if minutes.IsZero() {
		return
	}
	paid := false
	rate := func(on day.Date) exact.Number {
		if w, there := l.WageOn(line.Resource, on); there {
			paid = true
			return w.PerMinute
		}
		return line.StandardPrice
	}
	var cost exact.Number
	rest := minutes
	if t != nil {
		for _, e := range t.entries {
			cost = cost.Add(e.Minutes.Mul(rate(e.On)))
			rest = rest.Sub(e.Minutes)
		}
	}
	if !rest.IsZero() {
		cost = cost.Add(rest.Mul(rate(event)))
	}
	if paid {
		line.ActualPrice = record.Some(cost.Quo(minutes))
	}
}

// WageOn returns what is recorded as really paid to a role on a day: the
// newest wage in force, of equal ones the later entry.
func (l *Ledger) WageOn(role book.ID, on day.Date) (w Wage, there bool) {
	for _, e := range l.wages[role] {
		if !e.On.After(on) && (e.Until.IsZero() || !e.Until.Before(on)) {
			w, there = e, true
		}
	}
	return w, there
}

// charge turns what a client was let off, or charged on top, into net terms.
func (l *Ledger) charge(s *variance.Sales, charges []Charge, o quote.Order) {
	if len(charges) == 0 {
		return
	}
	var off, more exact.Number
	share := exact.Int(1)
	if total := o.Quote.Offer.Total; !total.IsZero() && o.CancelledOn.IsZero() {
		share = o.Quote.Basis.Net.Quo(total.Number())
	}
	for _, c := range charges {
		if net := c.Amount.Number().Mul(share); net.Sign() < 0 {
			off = off.Sub(net)
		} else {
			more = more.Add(net)
		}
	}
	if !off.IsZero() {
		s.ActualDiscount = record.Some(s.ActualDiscount.Or(s.Discount).Add(off))
	}
	if !more.IsZero() {
		s.ActualPrice = record.Some(s.ActualPrice.Or(s.Price).Add(more))
	}
}
