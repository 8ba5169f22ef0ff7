package document

import (
	"slices"
	"strconv"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/month"
	"marchpane/pricing/record"
)

// Month is the cost report that a book-keeper gets on paper: two pages, however
// much happened.
type Month struct {
	Language string // as in [Quote], and so on to Page
	Title    string
	Date     day.Date // on which it was made; dates the file
	Paper    Paper
	Look     Look
	Page     string

	Heading   string // what it is: "Monthly cost report"
	Span      string // of when: "October 2026"
	Studio    string
	Reference string // when it was made, and in which money

	// On the first page.
	Key    MonthTable
	Sales  MonthTable // by kind
	Tax    MonthTable // by rate
	Costs  MonthTable // by class
	Bridge MonthBridge
	// On the second.
	Months   MonthTable // of a longer span; else without rows
	Orders   MonthTable
	Quotes   MonthTable
	Ages     MonthTable // of what clients owe
	Accounts MonthTable
	Notes    []string
}

// MonthTable is a table of ready words and figures.
type MonthTable struct {
	Heading string
	Columns []string
	Rows    [][]string
	Total   []string // nil for none
	Empty   string   // said where there are no rows
}

// MonthBridge is the way from one margin to another.
type MonthBridge struct {
	Heading string
	Zero    float64 // where 0 stands, as a share of the width of the drawing
	Steps   []MonthStep
}

// MonthStep is a bar of the bridge, from and to shares of its width.
type MonthStep struct {
	Label, Amount string
	From, To      float64
	End           float64 // the one of the two that the next bar begins at
	Margin        bool    // a margin, at one of its ends
	Rise          bool    // a step that raises the margin
}

// How many rows there are room for on the second page: of months and orders, and
// of accounts that are not settled.
const (
	mostMonthRows  = 22
	mostMonthDebts = 8
)

// FromMonth writes out the cost report of a span of time in a studio's locale,
// in English.
func FromMonth(r month.Report, studio book.Studio) Month {
	d := BriefMonth(r, studio)
	w := monthWriter{Locale: InEnglish(r.Locale), Report: r}
	d.Accounts, d.Orders = w.accounts(), w.orders(mostMonthRows-len(d.Months.Rows))
	return d
}

// BriefMonth is [FromMonth] without its longest tables, which list every order
// and every account.
func BriefMonth(r month.Report, studio book.Studio) Month {
	w := monthWriter{Locale: InEnglish(r.Locale), Report: r}
	heading := "Monthly cost report"
	if len(r.Title) != len("2026-10") {
		heading = "Cost report"
	}
	d := Month{
		Language: "en", Date: r.AsOf, Paper: paperOf(studio, w.Locale), Look: lookOf(studio), Page: "Page %d of %d",
		Heading: heading, Span: w.span(), Studio: r.Studio,
		Reference: "made on " + w.Date(r.AsOf) + ", in " + r.Currency.Code() + " without tax unless it says otherwise",
		Key:       w.key(), Sales: w.sales(), Tax: w.tax(), Costs: w.costs(), Bridge: w.bridge(),
		Months: w.months(), Quotes: w.quotes(), Ages: w.ages(),
		Notes: []string{
			"Costs are those that were recorded; where nothing was, what the quote planned stands in. An order counts by the day of its event, one that was called off by the day on which it was.",
			"Sales by tax rate are as quoted. When tax falls due, and on what else, such as cancellation fees and what was charged later, is for the book-keeper and local law to say.",
		},
	}
	if open := r.NotOver(); open != "" {
		d.Reference = "made on " + w.Date(r.AsOf) + ", before the span was over, in " + r.Currency.Code() + " without tax"
		d.Notes = slices.Insert(d.Notes, 0, open)
	}
	d.Title = heading + ", " + d.Span + ", " + r.Studio
	return d
}

type monthWriter struct {
	Locale
	month.Report
}

// span names the days of the report.
func (w monthWriter) span() string {
	switch len(w.Title) {
	case len("2026-10"):
		return w.messages.Months[w.From.Time().Month()-1] + " " + strconv.Itoa(w.From.Year())
	case len("2026"):
		return w.Title
	}
	return w.Date(w.From) + " to " + w.Date(w.To)
}

func (w monthWriter) money(a money.Amount) string { return w.Money(a, w.Currency) }

// percent writes a share by the tenth of a per cent, "" where there is none.
func (w monthWriter) percent(f record.Maybe[month.Figure]) string {
	if !f.Given {
		return ""
	}
	return sentence(w.messages.Percent, w.Number(f.Value.Mul(exact.Int(100)).Round(1), 1))
}

// plus puts a plus before a figure above 0.
func plus(n exact.Number, text string) string {
	if n.Sign() > 0 {
		return "+" + text
	}
	return text
}

// mainKeys are the key figures on the first page; the others stand in its tables.
var mainKeys = []string{
	month.KeyOrders, month.KeyCakes, month.KeyNet, month.KeyPerOrder, month.KeyCost, month.KeyMargin, month.KeyMarginShare, month.KeyPlannedShare,
	month.KeyResult, month.KeyHours, month.KeyWaste, month.KeyConversion, month.KeyReceivable, month.KeyOverdue,
}

func (w monthWriter) key() MonthTable {
	t := MonthTable{Heading: "Key figures", Columns: []string{"", w.Title, w.Before, "change", w.YearBefore, "change"}}
	if w.Before == "" {
		t.Columns[3] = ""
	}
	yearBefore := w.YearBefore != "" && w.YearBefore != w.Before
	if !yearBefore {
		t.Columns[4], t.Columns[5] = "", ""
	}
	for _, k := range w.Key {
		if !slices.Contains(mainKeys, k.Name) {
			continue
		}
		row := []string{k.Label, w.figure(k.Unit, k.Now), w.figure(k.Unit, k.Before), w.change(k.Unit, k.Change), "", ""}
		if yearBefore {
			row[4], row[5] = w.figure(k.Unit, k.YearBefore), w.change(k.Unit, k.YearChange)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (w monthWriter) figure(unit month.Unit, f record.Maybe[month.Figure]) string {
	switch {
	case !f.Given:
		return ""
	case unit == month.Money:
		return w.money(w.Currency.Round(f.Value.Number))
	case unit == month.Share:
		return w.percent(f)
	}
	return w.Number(f.Value.Round(f.Value.Places), uint8(f.Value.Places))
}

func (w monthWriter) change(unit month.Unit, f record.Maybe[month.Figure]) string {
	switch {
	case !f.Given:
		return ""
	case unit == month.Share:
		n := f.Value.Mul(exact.Int(100))
		return plus(n, w.Number(n.Round(1), 1)) + " points"
	}
	return plus(f.Value.Number, w.percent(f))
}

// sales is what was sold, by kind.
func (w monthWriter) sales() MonthTable {
	r := w.Report.Orders.Total.Revenue
	t := MonthTable{Heading: "Net sales by kind", Columns: []string{"", "net"}, Total: []string{"net sales", w.money(r.Net)}}
	for _, line := range []struct {
		label  string
		amount money.Amount
		always bool
	}{
		{"cakes", r.Cakes, true}, {"extras", r.Extras, true}, {"discounts", r.Discount, true}, {"up to the minimum order", r.Minimum, false},
		{"changed after accepting", r.Changes, false}, {"cancellation fees", r.Fee, true},
	} {
		if line.always || !line.amount.IsZero() {
			t.Rows = append(t.Rows, []string{line.label, w.money(line.amount)})
		}
	}
	return t
}

// mostRates is how many tax rates there is room for; no country has as many.
const mostRates = 6

func (w monthWriter) tax() MonthTable {
	x, label := w.Report.Tax, w.TaxLabel
	if label == "" {
		label = "tax"
	}
	t := MonthTable{Heading: "Sales by tax rate", Columns: []string{"rate", "net", label, "gross"}, Total: []string{"all", w.money(x.Net), w.money(x.Tax), w.money(x.Gross)}, Empty: "no sales"}
	var rest month.TaxRow
	for i, r := range x.Rows {
		if i >= mostRates-1 && len(x.Rows) > mostRates {
			rest.Net, rest.Tax, rest.Gross = rest.Net.Add(r.Net), rest.Tax.Add(r.Tax), rest.Gross.Add(r.Gross)
			continue
		}
		rate := "no tax line"
		if r.Rate.Given {
			rate = sentence(w.messages.Percent, w.Number(r.Rate.Value.Mul(exact.Int(100)).Round(4).Truncate(4), 0))
		}
		t.Rows = append(t.Rows, []string{rate, w.money(r.Net), w.money(r.Tax), w.money(r.Gross)})
	}
	if len(x.Rows) > mostRates {
		t.Rows = append(t.Rows, []string{"other rates", w.money(rest.Net), w.money(rest.Tax), w.money(rest.Gross)})
	}
	return t
}

func (w monthWriter) costs() MonthTable {
	t := MonthTable{Heading: "Cost by class", Columns: []string{"", "planned", "actual", "difference", "of net sales", "recorded"}}
	labels := map[string]string{"equipment": "equipment and energy"}
	for _, c := range w.Classes {
		label := c.Name
		if l, ok := labels[c.Name]; ok {
			label = l
		}
		t.Rows = append(t.Rows, []string{label, w.money(c.Standard), w.money(c.Actual), w.Signed(c.Variance, w.Currency), w.percent(c.OfNet), w.percent(c.Recorded)})
	}
	s := w.Report.Orders.Total
	t.Total = []string{"cost of the orders", w.money(s.Standard.Total), w.money(s.Actual.Total), w.Signed(s.Standard.Total.Sub(s.Actual.Total), w.Currency), w.percent(shareOf(s.Actual.Total, s.Revenue.Net)), ""}
	return t
}

// shareOf is a ÷ b, absent where b is nothing.
func shareOf(a, b money.Amount) record.Maybe[month.Figure] {
	if b.IsZero() {
		return record.Maybe[month.Figure]{}
	}
	return record.Some(month.Figure{Number: a.Number().Quo(b.Number()), Places: 6})
}

// bridge leads from the planned margin to the real one. Steps of nothing are
// left out.
func (w monthWriter) bridge() MonthBridge {
	b := w.Report.Bridge
	planned := "margin as quoted"
	if b.Plan {
		planned = "margin of the plan"
	}
	type bar struct {
		label          string
		shown          string
		from, to       exact.Number
		margin, raises bool
	}
	zero := exact.Number{}
	bars := []bar{{planned, w.money(b.Planned), zero, b.Planned.Number(), true, false}}
	at := b.Planned
	for _, s := range b.Steps {
		if s.Amount.IsZero() {
			continue
		}
		next := at.Add(s.Amount)
		bars = append(bars, bar{s.Label, w.Signed(s.Amount, w.Currency), at.Number(), next.Number(), false, s.Amount.Sign() > 0})
		at = next
	}
	bars = append(bars, bar{"margin after overhead paid", w.money(b.Actual), zero, b.Actual.Number(), true, false})
	low, high := zero, zero
	for _, s := range bars {
		high = exact.Max(high, exact.Max(s.from, s.to))
		low = exact.Max(low, exact.Max(s.from.Neg(), s.to.Neg())) // below 0, turned round
	}
	width := high.Add(low)
	place := func(n exact.Number) float64 {
		if width.IsZero() {
			return 0
		}
		f, _ := n.Add(low).Quo(width).Rat().Float64()
		return f
	}
	out := MonthBridge{Heading: "From the planned margin to the real one", Zero: place(zero)}
	for _, s := range bars {
		from, to := place(s.from), place(s.to)
		out.Steps = append(out.Steps, MonthStep{s.label, s.shown, min(from, to), max(from, to), to, s.margin, s.raises})
	}
	return out
}
