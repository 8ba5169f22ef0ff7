package month

import (
	"fmt"
	"slices"
	"sync"

	"marchpane/pricing"
	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// Sources is what a report knows besides orders, quotes and accounts.
type Sources struct {
	Book   *book.Index    // as it stands today: names, tasks, and prices before the span
	Ledger *actual.Ledger // what was recorded of the orders and months of the span; nil: nothing
	Today  day.Date       // a quote whose validity ends later has not lapsed
	Works  *Works         // of the book; nil: worked out for this tally alone
}

// Tally takes what happened in a span, one order, quote and account at a time
// and in any order, and makes a [Report] of it. It keeps a few figures of each.
type Tally struct {
	span   Span
	src    Sources
	cur    money.Currency
	months []*Tally // of a span of several months
	closed bool     // to orders: what is known of them is shared

	sum    variance.Tally
	orders []*made
	lost   map[resource]*exact.Running
	priced map[resource]int // of how many orders a price of it was recorded
	tasks  map[task]*taskTimes
	taxes  map[string]taxSum // by rate, "" for none
	quotes []Offered
	debts  []Debt

	mu    sync.Mutex
	known *summed // what it sums up to, once somebody has asked
	stood *stood  // likewise of its quotes and accounts
}

// summed is what the orders, quotes and accounts of a tally sum up to.
type summed struct {
	month variance.Month
	keys  map[string]record.Maybe[Figure]
	*stood
}

// stood is how quotes and accounts stood at the end of a span; nobody writes to
// it.
type stood struct {
	quotes Quotes
	due    Receivables
}

// resource keeps units apart, as package variance does.
type resource struct {
	id   book.ID
	kind pricing.Kind
	unit string
}

// made is one order: what a report shows of it, and the figures whose rounding
// depends on those of the others.
type made struct {
	shown            Order
	parts            Revenue      // without changes
	charged          money.Amount // after accepting, with tax
	plannedNet, net  exact.Number
	standard, actual pricing.Cost
	gap              pricing.Cost // between the two
}

// New returns an empty tally of a span.
func New(span Span, src Sources) (*Tally, error) {
	if span.From.IsZero() || span.To.Before(span.From) {
		return nil, fmt.Errorf("a report from %s to %s has no days; name the first day and then the last", span.From, span.To)
	}
	if src.Ledger == nil {
		src.Ledger = actual.NewLedger(actual.Records{})
	}
	if src.Works == nil {
		src.Works = NewWorks(src.Book)
	}
	return newTally(span, src), nil
}

func newTally(span Span, src Sources) *Tally {
	t := &Tally{
		span: span, src: src, cur: src.Book.Book.Studio.Currency,
		lost: map[resource]*exact.Running{}, priced: map[resource]int{}, tasks: map[task]*taskTimes{}, taxes: map[string]taxSum{},
	}
	if months := span.Months(); len(months) > 1 {
		for _, m := range months {
			t.months = append(t.months, newTally(Span{m.First(), m.Last()}, src))
		}
	}
	return t
}

// Join returns a tally of several months with the orders of their own tallies,
// one of each in their order: what it would be had it taken each order itself. It
// has their quotes and accounts still to take, and no more orders. They stay as
// they are.
func Join(span Span, today day.Date, parts []*Tally) (*Tally, error) {
	months := span.Months()
	if len(months) < 2 || len(parts) != len(months) {
		return nil, fmt.Errorf("%s is not joined of %d months", span, len(parts))
	}
	recorded := map[actual.Month]actual.MonthRecords{}
	for i, part := range parts {
		if part.span != (Span{months[i].First(), months[i].Last()}) || part.src.Book != parts[0].src.Book {
			return nil, fmt.Errorf("%s is joined of %s, and this is %s", span, months[i], part.span)
		}
		recorded[months[i]] = part.src.Ledger.Month(months[i])
	}
	src := parts[0].src
	src.Today, src.Ledger = today, actual.OfMonths(recorded)
	t := newTally(span, src)
	t.closed = true
	for i, part := range parts {
		t.months[i] = part.Anew(today)
		t.sum.Join(&part.sum)
		t.orders = append(t.orders, part.orders...)
		for key, n := range part.lost {
			t.lose(key, n.Number())
		}
		for key, n := range part.priced {
			t.priced[key] += n
		}
		for key, times := range part.tasks {
			t.spend(key, times.sum(), times.orders)
		}
		for key, sum := range part.taxes {
			t.tax(key, sum)
		}
	}
	return t, nil
}

// Anew returns a tally with the orders of t, which has quotes and accounts still
// to take, as they are known on a day, and no more orders. t stays as it is and
// takes no more orders either.
func (t *Tally) Anew(today day.Date) *Tally {
	t.mu.Lock()
	t.close()
	t.mu.Unlock()
	n := &Tally{span: t.span, src: t.src, cur: t.cur, closed: true, sum: t.sum, orders: t.orders, lost: t.lost, priced: t.priced, tasks: t.tasks, taxes: t.taxes}
	n.src.Today = today
	for _, part := range t.months {
		n.months = append(n.months, part.Anew(today))
	}
	return n
}

// close takes no more orders. The lock is held.
func (t *Tally) close() {
	if !t.closed {
		t.closed = true
		t.fold()
	}
}

// fold keeps no more of the orders than what they sum up to.
func (t *Tally) fold() {
	t.sum.Fold()
	for _, n := range t.lost {
		n.Fold()
	}
	for _, times := range t.tasks {
		times.fold()
	}
}

// StandAs takes the quotes and accounts that another tally of the span has taken,
// known on the same day. That one takes no more of them.
func (t *Tally) StandAs(o *Tally) error {
	if t.span != o.span || t.src.Today != o.src.Today || len(t.months) != len(o.months) {
		return fmt.Errorf("%s on %s does not stand as %s did on %s", t.span, t.src.Today, o.span, o.src.Today)
	}
	o.mu.Lock()
	t.quotes, t.debts, t.stood, t.known = slices.Clip(o.quotes), slices.Clip(o.debts), o.stood, nil
	o.mu.Unlock()
	for i, part := range t.months {
		if err := part.StandAs(o.months[i]); err != nil {
			return err
		}
	}
	return nil
}

// Span returns the days that t is of.
func (t *Tally) Span() Span { return t.span }

// CountsOn returns the day that an order counts on: that of its event, or the
// day it was called off.
func CountsOn(o quote.Order) day.Date {
	if !o.CancelledOn.IsZero() {
		return o.CancelledOn
	}
	return o.Quote.Offer.EventDate
}

// Order adds an order that counts in the span.
func (t *Tally) Order(o quote.Order) error {
	w, err := t.Work(o)
	if err != nil {
		return err
	}
	return t.Add(w)
}

// Take is [Tally.Work]; add then adds the order.
func (t *Tally) Take(o quote.Order) (add func(), err error) {
	w, err := t.Work(o)
	if err != nil {
		return nil, err
	}
	return func() { t.add(w) }, nil
}

// Worked is an order that was worked out. It rests on the order, on what the book
// says of its tasks, and on the records that bear on it, see
// [actual.Records.BearOn]; it may be added to any tally of a span that it counts
// in and of those sources. Nothing of it changes any more.
type Worked struct {
	on     day.Date // that it counts on
	made   *made
	result variance.Result
	times  map[task]taskSum
	taxes  []TaxRow
}

// Work works an order out that counts in the span, for [Tally.Add]. Several orders
// may be worked out at the same time, but only one added.
func (t *Tally) Work(o quote.Order) (*Worked, error) {
	on := CountsOn(o)
	if err := t.takes(o.Quote.Number, on); err != nil {
		return nil, err
	}
	if cur := o.Quote.Offer.Studio.Currency; cur.Code() != t.cur.Code() {
		return nil, fmt.Errorf("order %s is in %s and the book in %s; a report is in one currency", o.Quote.Number, cur.Code(), t.cur.Code())
	}
	planned, err := actual.Planned(o)
	if err != nil {
		return nil, err
	}
	result, err := variance.Work(t.src.Ledger.Apply(planned, o))
	if err != nil {
		return nil, err
	}
	records := t.src.Ledger.Order(o.Quote.Number)
	taxes := taxesOf(o)
	m := t.figures(o, result, taxes)
	for _, c := range records.Charges {
		m.charged = m.charged.Add(c.Amount)
	}
	if costs := result.Kinds.Total(); !costs.Recorded.IsZero() || records.Len() > 0 {
		m.shown.Recorded = record.Some(share(costs.Recorded, costs.Standard).Or(Figure{Places: sharePlaces}))
	}
	return &Worked{on, m, result, t.src.Works.times(o, result, records.Work), taxes}, nil
}

// takes refuses an order that is none of the tally's.
func (t *Tally) takes(number string, on day.Date) error {
	switch {
	case t.closed:
		return fmt.Errorf("the orders of %s are all taken", t.span)
	case !t.span.Holds(on):
		return fmt.Errorf("order %s counts on %s, which is not within %s", number, on, t.span)
	}
	return nil
}

// figures works out what a report shows of an order.
func (t *Tally) figures(o quote.Order, r variance.Result, taxes []TaxRow) *made {
	offer := o.Quote.Offer
	m := &made{plannedNet: r.PlannedNet, net: r.Net, standard: r.Kinds.Standard(), actual: r.Kinds.Actual()}
	m.gap = m.standard.Less(m.actual)
	plannedShare, marginShare := share(m.plannedNet.Sub(m.standard.Total()), m.plannedNet), share(m.net.Sub(m.actual.Total()), m.net)
	m.shown = Order{
		Number: o.Quote.Number, Revision: o.Quote.Revision, Client: offer.Client.Name,
		Accepted: o.Accepted, Event: offer.EventDate, Cancelled: o.CancelledOn,
		Cakes: r.Cakes, Tax: t.zero(),
		Sums: Sums{PlannedShare: plannedShare, MarginShare: marginShare},
	}
	if !o.CancelledOn.IsZero() {
		m.shown.Invoiced = o.Fee
		m.parts = Revenue{t.zero(), t.zero(), t.zero(), t.zero(), t.zero(), o.Fee, o.Fee}
		return m
	}
	m.shown.Invoiced, m.shown.Portions = offer.Total, offer.Served()
	m.parts = revenueOf(o.Quote, t.cur)
	for _, row := range taxes {
		m.shown.Tax = m.shown.Tax.Add(row.Tax)
	}
	return m
}

// Add adds an order that counts in the span.
func (t *Tally) Add(w *Worked) error {
	if err := t.takes(w.made.shown.Number, w.on); err != nil {
		return err
	}
	t.add(w)
	return nil
}

func (t *Tally) add(w *Worked) {
	t.known = nil
	t.sum.Add(w.result)
	t.orders = append(t.orders, w.made)
	t.put(w, 1)
	for _, part := range t.months {
		if part.span.Holds(w.on) {
			part.add(w)
		}
	}
}

// put adds what a tally keeps of an order besides its variances, or with a sign
// of −1 takes it out.
func (t *Tally) put(w *Worked, sign int) {
	for i := range w.result.Lines {
		v := &w.result.Lines[i]
		key := resource{v.Line.Resource, v.Line.Kind, v.Line.Unit}
		switch lost := v.Line.Lost; {
		case lost.IsZero():
		case sign < 0:
			t.lose(key, lost.Neg())
		default:
			t.lose(key, lost)
		}
		if v.Price.Recorded {
			t.priced[key] += sign
		}
	}
	for key, time := range w.times {
		if sign < 0 {
			time = taskSum{time.planned.Neg(), time.spent.Neg(), time.recorded.Neg()}
		}
		t.spend(key, time, sign)
	}
	for _, row := range w.taxes {
		key := ""
		if row.Rate.Given {
			key = row.Rate.Value.Text()
		}
		if sign < 0 {
			row.Net, row.Tax, row.Gross = row.Net.Neg(), row.Tax.Neg(), row.Gross.Neg()
		}
		t.tax(key, taxSum{row, sign})
	}
}

// lose adds what was thrown away, or paid and not worked.
func (t *Tally) lose(of resource, n exact.Number) {
	sum := t.lost[of]
	if sum == nil {
		sum = &exact.Running{}
		t.lost[of] = sum
	}
	sum.Add(n)
}

// lostOf returns what was thrown away, or paid and not worked, of a resource.
func (t *Tally) lostOf(of resource) exact.Number {
	if sum := t.lost[of]; sum != nil {
		return sum.Number()
	}
	return exact.Number{}
}

// spend adds the time of a task in a number of orders.
func (t *Tally) spend(on task, s taskSum, orders int) {
	times := t.tasks[on]
	if times == nil {
		times = &taskTimes{}
		t.tasks[on] = times
	}
	times.add(s)
	if times.orders += orders; times.orders == 0 {
		delete(t.tasks, on)
	}
}

// taxSum is the sales at one rate in a number of rows.
type taxSum struct {
	TaxRow
	rows int
}

// tax adds sales at one rate.
func (t *Tally) tax(rate string, s taxSum) {
	sum := t.taxes[rate]
	sum.TaxRow, sum.rows = sum.add(s.TaxRow), sum.rows+s.rows
	if t.taxes[rate] = sum; sum.rows == 0 {
		delete(t.taxes, rate)
	}
}

// add sums sales at one rate.
func (r TaxRow) add(row TaxRow) TaxRow {
	return TaxRow{row.Rate, r.Net.Add(row.Net), r.Tax.Add(row.Tax), r.Gross.Add(row.Gross)}
}

// Quote adds a quote. One that was neither issued nor decided in the span, nor
// open at its end, is passed over.
func (t *Tally) Quote(o Offered) {
	if !o.Touches(t.span) {
		return
	}
	t.known, t.stood = nil, nil
	t.quotes = append(t.quotes, o)
	for _, part := range t.months {
		part.Quote(o)
	}
}

// zero is no money, with the places of the currency.
func (t *Tally) zero() money.Amount { return t.cur.Round(exact.Number{}) }

// summed returns what t sums up to. Several reports may ask a tally that takes no
// more for it.
func (t *Tally) summed() (*summed, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.known == nil {
		m, err := t.month()
		if err != nil {
			return nil, err
		}
		if t.stood == nil {
			t.stood = &stood{t.quoteTable(), t.receivables()}
		}
		t.known = &summed{month: m, stood: t.stood}
		t.known.keys = t.keys(t.known)
	}
	return t.known, nil
}

// month sums the orders with the overhead of their time. A span of several
// months is the sum of its months, each against its own plan and budget.
func (t *Tally) month() (variance.Month, error) {
	if len(t.months) == 0 {
		var overhead variance.Overhead
		var plan record.Maybe[variance.Plan]
		if months := t.span.Months(); len(months) == 1 {
			r := t.src.Ledger.Month(months[0])
			overhead, plan = variance.Overhead{Budget: r.Budget, Actual: r.Overhead}, r.Plan
		}
		m, err := t.sum.Month(overhead, plan)
		if err != nil {
			err = fmt.Errorf("%s: %w", t.span, err)
		}
		return m, err
	}
	whole, err := t.sum.Month(variance.Overhead{}, record.Maybe[variance.Plan]{})
	if err != nil {
		return variance.Month{}, err
	}
	sum := variance.OverheadVariance{Budget: record.Some(exact.Number{}), Actual: variance.Figure{Recorded: true}}
	bridges := make([]variance.Bridge, len(t.months))
	for i, part := range t.months {
		known, err := part.summed()
		if err != nil {
			return variance.Month{}, err
		}
		m := known.month
		o := m.Overhead
		bridges[i] = m.Bridge
		sum.Absorbed, sum.Total = sum.Absorbed.Add(o.Absorbed), sum.Total.Add(o.Total)
		sum.Spending, sum.Volume = sum.Spending.Add(o.Spending), sum.Volume.Add(o.Volume)
		sum.Actual = variance.Figure{Value: sum.Actual.Value.Add(o.Actual.Value), Recorded: sum.Actual.Recorded && o.Actual.Recorded}
		sum.Budget.Given = sum.Budget.Given && o.Budget.Given
		sum.Budget.Value = sum.Budget.Value.Add(o.Budget.Value)
	}
	if !sum.Budget.Given {
		sum.Budget, sum.Spending, sum.Volume = record.Maybe[exact.Number]{}, exact.Number{}, exact.Number{}
	}
	whole.Overhead, whole.Bridge = sum, variance.Sum(bridges...)
	return whole, nil
}
