package month

import (
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
	"marchpane/pricing/variance"
)

// Report is the figures of a span of time, ready to show: money in minor units,
// adding up as the package comment says. Its json tags are its document.
type Report struct {
	Title       string         `json:"title"` // 2026-10, 2026, or 2026-10-05 to 2026-10-11
	From        day.Date       `json:"from"`
	To          day.Date       `json:"to"`
	AsOf        day.Date       `json:"as_of"` // the day it was made
	Studio      string         `json:"studio"`
	Locale      string         `json:"locale"`
	Currency    money.Currency `json:"currency"`
	TaxLabel    string         `json:"tax_label,omitempty"`
	Before      string         `json:"before,omitempty"`      // title of the span before that is compared with
	YearBefore  string         `json:"year_before,omitempty"` // of the same span a year earlier
	Key         []KeyFigure    `json:"key_figures"`
	Months      []MonthRow     `json:"months,omitempty"` // of a span of several whole months
	Orders      Orders         `json:"orders"`
	Classes     []Class        `json:"cost_by_class"` // in the order of a cost sheet; they add up to the orders' total
	Bridge      Bridge         `json:"bridge"`
	Ingredients Usage          `json:"ingredients"`
	Packaging   Usage          `json:"packaging"`
	Movers      Movers         `json:"movers"`
	Labour      Labour         `json:"labour"`
	Overhead    Overhead       `json:"overhead"`
	Waste       Waste          `json:"waste"`
	Quotes      Quotes         `json:"quotes"`
	Receivables Receivables    `json:"receivables"`
	Tax         Tax            `json:"tax"`
}

// Empty reports whether nothing at all happened in the span.
func (r Report) Empty() bool {
	return len(r.Orders.Rows) == 0 && r.Quotes.Issued.Count+r.Quotes.Won.Count+r.Quotes.Lost.Count == 0 && len(r.Receivables.Rows) == 0
}

// Unit is what a key figure counts.
type Unit string

// The units of key figures.
const (
	Money Unit = "money"
	Share Unit = "share" // a fraction: 0.25 is 25 %
	Count Unit = "count"
	Hours Unit = "hours"
)

// KeyFigure is a line of the cover. Figures that do not exist are absent: the
// margin of a month without sales, a change against nothing.
type KeyFigure struct {
	Name  string `json:"name"` // such as net-sales; see Key… below
	Label string `json:"label"`
	Unit  Unit   `json:"unit"`
	// More is 1 where more of it is better, −1 where less is, 0 where neither.
	More       int                  `json:"more_is_better,omitempty"`
	Now        record.Maybe[Figure] `json:"now,omitzero"`
	Before     record.Maybe[Figure] `json:"before,omitzero"`
	YearBefore record.Maybe[Figure] `json:"year_before,omitzero"`
	// Changes are fractions of the earlier figure, of shares differences:
	// 0.05 is 5 percentage points.
	Change     record.Maybe[Figure] `json:"change,omitzero"`
	YearChange record.Maybe[Figure] `json:"year_change,omitzero"`
}

// Names of key figures, in their order.
const (
	KeyOrders       = "orders"
	KeyCakes        = "cakes"
	KeyPortions     = "portions"
	KeyNet          = "net-sales" // with cancellation fees
	KeyPerOrder     = "net-per-order"
	KeyFees         = "cancellation-fees"
	KeyCost         = "cost"
	KeyMargin       = "margin"
	KeyMarginShare  = "margin-share"
	KeyPlannedShare = "planned-margin-share"
	KeyResult       = "margin-after-overhead-paid"
	KeyMaterials    = "materials-share" // ingredients and packaging ÷ net sales
	KeyLabour       = "labour-share"
	KeyHours        = "labour-hours"
	KeyWaste        = "waste"
	KeyIssued       = "quotes-issued"
	KeyWon          = "quotes-won"
	KeyLost         = "quotes-lost"
	KeyConversion   = "conversion"
	KeyWonValue     = "quotes-won-value"
	KeyReceivable   = "receivable"
	KeyOverdue      = "overdue"
)

// MonthRow is one month of a longer span. Its money adds up, down each column,
// to the totals of the report.
type MonthRow struct {
	Month       string               `json:"month"` // 2026-10
	From        day.Date             `json:"from"`
	To          day.Date             `json:"to"`
	Orders      int                  `json:"orders"`
	Cakes       int                  `json:"cakes"`
	Net         money.Amount         `json:"net"`
	Cost        Cost                 `json:"cost"`
	Margin      money.Amount         `json:"margin"`
	MarginShare record.Maybe[Figure] `json:"margin_share,omitzero"`
	Absorption  money.Amount         `json:"overhead_absorption"` // over-absorbed above 0
	Result      money.Amount         `json:"margin_after_overhead_paid"`
	Hours       Figure               `json:"labour_hours"`
	Issued      int                  `json:"quotes_issued"`
	Won         int                  `json:"quotes_won"`
	Lost        int                  `json:"quotes_lost"`
	Conversion  record.Maybe[Figure] `json:"conversion,omitzero"`
}

// Orders are the orders of the span, by the day they count on.
type Orders struct {
	Rows     []Order `json:"rows"`
	Total    Sums    `json:"total"`
	Made     int     `json:"delivered"`
	Off      int     `json:"cancelled"`
	Recorded int     `json:"recorded"` // of which anything was recorded
	Cakes    int     `json:"cakes"`
	Portions int     `json:"portions"`
}

// Order is an order that was delivered in the span, or called off in it.
type Order struct {
	Number    string               `json:"number"`
	Revision  string               `json:"revision"`
	Client    string               `json:"client"`
	Accepted  day.Date             `json:"accepted"`
	Event     day.Date             `json:"event_date"`
	Cancelled day.Date             `json:"cancelled,omitzero"`
	Cakes     int                  `json:"cakes"`    // 0 where it was cancelled
	Portions  int                  `json:"portions"` // served
	Invoiced  money.Amount         `json:"invoiced"` // total with tax, as quoted; the fee where it was cancelled
	Tax       money.Amount         `json:"tax"`
	Recorded  record.Maybe[Figure] `json:"recorded,omitzero"` // share of its standard cost of which anything is recorded; absent where nothing is
	Sums
}

// countsOn returns the day that o counts on.
func (o Order) countsOn() day.Date {
	if !o.Cancelled.IsZero() {
		return o.Cancelled
	}
	return o.Event
}

// Sums are the figures of an order, or of all of them.
type Sums struct {
	Revenue       Revenue              `json:"revenue"`
	Standard      Cost                 `json:"standard_cost"`
	Actual        Cost                 `json:"cost"` // the standard stands in for what is not recorded
	PlannedMargin money.Amount         `json:"planned_margin"`
	PlannedShare  record.Maybe[Figure] `json:"planned_margin_share,omitzero"`
	Margin        money.Amount         `json:"margin"` // revenue.net − cost.total
	MarginShare   record.Maybe[Figure] `json:"margin_share,omitzero"`
}

// Revenue is without tax. The parts add up to Net.
type Revenue struct {
	Cakes    money.Amount `json:"cakes"`
	Extras   money.Amount `json:"extras"`
	Discount money.Amount `json:"discount"` // not above 0
	Minimum  money.Amount `json:"minimum_order"`
	Changes  money.Amount `json:"changes"` // charged or let off after accepting
	Fee      money.Amount `json:"cancellation_fee"`
	Net      money.Amount `json:"net"`
}

// Cost is a cost by class; the classes add up to Total. Energy is with
// equipment, and overhead is what orders absorb.
type Cost struct {
	Ingredients money.Amount `json:"ingredients"`
	Packaging   money.Amount `json:"packaging"`
	Labour      money.Amount `json:"labour"`
	Equipment   money.Amount `json:"equipment"`
	Overhead    money.Amount `json:"overhead"`
	Total       money.Amount `json:"total"`
}

// Class is one class of cost.
type Class struct {
	Name     string               `json:"class"` // ingredients, packaging, labour, equipment, overhead
	Standard money.Amount         `json:"standard"`
	Actual   money.Amount         `json:"actual"`
	Variance money.Amount         `json:"variance"`         // standard − actual: above 0 is favourable
	OfCost   record.Maybe[Figure] `json:"of_cost,omitzero"` // share of the actual cost
	OfNet    record.Maybe[Figure] `json:"of_net,omitzero"`  // share of net sales
	Recorded record.Maybe[Figure] `json:"recorded,omitzero"`
}

// Bridge leads from the planned margin to the real one, after overhead paid:
// Planned plus all steps is Actual.
type Bridge struct {
	Planned money.Amount `json:"planned"`
	Plan    bool         `json:"against_a_plan"` // whether Planned is of a plan of the month; else of the accepted quotes
	Steps   []Step       `json:"steps"`
	Actual  money.Amount `json:"actual"`
}

// Step is one variance of a bridge.
type Step struct {
	Key      variance.Key    `json:"step"`
	Label    string          `json:"label"`
	Amount   money.Amount    `json:"amount"` // above 0 raises the margin
	Effect   variance.Effect `json:"effect"`
	Recorded bool            `json:"recorded"`
}

// Usage is what was used of the goods of one kind, the greatest value first.
type Usage struct {
	Rows     []Use        `json:"rows"`
	Standard money.Amount `json:"standard_value"`
	Value    money.Amount `json:"value"`
}

// Use is one ingredient or piece of packaging, as purchased.
type Use struct {
	Resource book.ID              `json:"resource"`
	Name     string               `json:"name"`
	Unit     string               `json:"unit"` // kg, l, m, m2 or each
	Planned  Figure               `json:"standard_quantity"`
	Used     Figure               `json:"quantity"`
	Standard money.Amount         `json:"standard_value"`
	Value    money.Amount         `json:"value"`
	OfValue  record.Maybe[Figure] `json:"share,omitzero"` // of the value of all rows
	Recorded record.Maybe[Figure] `json:"recorded,omitzero"`
	Prices
	UsedBefore record.Maybe[Figure] `json:"quantity_before,omitzero"`
}

// Prices is what a unit cost in the span and in the span before, on average.
type Prices struct {
	Price  record.Maybe[Figure] `json:"price,omitzero"`
	Before record.Maybe[Figure] `json:"price_before,omitzero"`
	Change record.Maybe[Figure] `json:"price_change,omitzero"` // as a fraction of the price before
	// FromBook says that no order of the span before used it and that a price was
	// recorded in this one, so that Before is the book's price on the last day
	// of the span before.
	FromBook bool `json:"before_from_book,omitempty"`
}

// Movers are the resources that moved the month's cost most, the dearest first.
type Movers struct {
	Price []Mover `json:"by_price"` // by what their price change against the span before cost
	Usage []Mover `json:"by_usage"` // by what using more or less than planned cost, waste too
}

// Mover is one resource that moved the cost.
type Mover struct {
	Resource book.ID `json:"resource"`
	Kind     string  `json:"kind"`
	Name     string  `json:"name"`
	Unit     string  `json:"unit"` // of a role and of wear: h
	Planned  Figure  `json:"standard_quantity"`
	Used     Figure  `json:"quantity"`
	Prices
	Cost money.Amount `json:"cost"` // above 0 the month's orders cost more by it
}

// Labour is time worked. Columns add up.
type Labour struct {
	Roles []RoleTime `json:"roles"`
	Tasks []TaskTime `json:"tasks"`
	Total RoleTime   `json:"total"`
}

// RoleTime is the hours of one role.
type RoleTime struct {
	Role       book.ID              `json:"role,omitempty"`
	Name       string               `json:"name,omitempty"`
	Planned    Figure               `json:"standard_hours"`
	Hours      Figure               `json:"hours"` // paid; idle ones too
	Idle       Figure               `json:"idle_hours"`
	Standard   money.Amount         `json:"standard_cost"`
	Cost       money.Amount         `json:"cost"`
	Rate       money.Amount         `json:"rate_variance"`
	Efficiency money.Amount         `json:"efficiency_variance"`
	IdleCost   money.Amount         `json:"idle_variance"`
	Recorded   record.Maybe[Figure] `json:"recorded,omitzero"`
}

// TaskTime is the hours of one task of a role. Task is "" for hours of which no
// task is known.
type TaskTime struct {
	Role     book.ID `json:"role"`
	Name     string  `json:"name"` // of the role
	Task     string  `json:"task"`
	Planned  Figure  `json:"standard_hours"`
	Hours    Figure  `json:"hours"`
	Recorded Figure  `json:"recorded_hours"` // of Hours
}

// Overhead is fixed overhead: budget against absorbed and paid.
type Overhead struct {
	Absorbed     money.Amount               `json:"absorbed"`
	Budget       record.Maybe[money.Amount] `json:"budget,omitzero"`
	Paid         money.Amount               `json:"paid"`
	PaidRecorded bool                       `json:"paid_recorded"` // else the budget stands in, or what was absorbed
	Spending     record.Maybe[money.Amount] `json:"spending_variance,omitzero"`
	Volume       record.Maybe[money.Amount] `json:"volume_variance,omitzero"`
	Absorption   money.Amount               `json:"absorption"` // absorbed − paid
	BudgetHours  record.Maybe[Figure]       `json:"budget_hours,omitzero"`
	Hours        Figure                     `json:"hours"`
	Planned      Figure                     `json:"standard_hours"`
	// Parts of the volume variance, where there is a budget with hours.
	Capacity   record.Maybe[money.Amount] `json:"capacity_variance,omitzero"`
	Efficiency record.Maybe[money.Amount] `json:"efficiency_variance,omitzero"`
	Rate       record.Maybe[money.Amount] `json:"rate_variance,omitzero"`
}

// Waste is what was recorded as thrown away, at standard prices, the greatest
// value first. What recipes plan to lose is not in it.
type Waste struct {
	Rows    []Wasted             `json:"rows"`
	Total   money.Amount         `json:"total"`
	OfGoods record.Maybe[Figure] `json:"of_goods,omitzero"` // share of the actual cost of ingredients and packaging
}

// Wasted is one thing that was thrown away.
type Wasted struct {
	Resource book.ID              `json:"resource"`
	Kind     string               `json:"kind"`
	Name     string               `json:"name"`
	Unit     string               `json:"unit"`
	Quantity Figure               `json:"quantity"`
	OfUsed   record.Maybe[Figure] `json:"of_used,omitzero"` // share of what was used of it in all
	Value    money.Amount         `json:"value"`
}

// Quotes is what became of offers.
type Quotes struct {
	Issued          Tallied              `json:"issued"`
	Won             Tallied              `json:"won"`
	Lost            Tallied              `json:"lost"`      // declined, lapsed and withdrawn
	Declined        Tallied              `json:"declined"`  // of Lost
	Lapsed          Tallied              `json:"lapsed"`    // of Lost
	Withdrawn       Tallied              `json:"withdrawn"` // of Lost: called off before it was accepted
	Open            Tallied              `json:"open"`      // issued and undecided at the end of the span
	Conversion      record.Maybe[Figure] `json:"conversion,omitzero"`
	ConversionValue record.Maybe[Figure] `json:"conversion_by_value,omitzero"`
	Rows            []QuoteRow           `json:"rows"` // issued or decided in the span, or open at its end
}

// Tallied is how many there are and what they are worth without tax.
type Tallied struct {
	Count int          `json:"count"`
	Value money.Amount `json:"value"`
}

// QuoteRow is one quote.
type QuoteRow struct {
	Number  string       `json:"number"`
	Client  string       `json:"client"`
	Event   day.Date     `json:"event_date"`
	Issued  day.Date     `json:"issued"`
	Fate    Fate         `json:"fate"`
	Decided day.Date     `json:"decided,omitzero"`
	Value   money.Amount `json:"value"`
}

// Receivables is what clients owe on the last day of the span.
type Receivables struct {
	On          day.Date     `json:"on"`
	Owed        money.Amount `json:"owed"`        // in all, by the clients below
	Received    money.Amount `json:"received"`    // from them
	Outstanding money.Amount `json:"outstanding"` // not due + overdue
	NotDue      money.Amount `json:"not_due"`
	Overdue     money.Amount `json:"overdue"`
	Ages        []Age        `json:"ages"`   // of Overdue
	Credit      money.Amount `json:"credit"` // has to go back; owed − received = outstanding − credit
	Rows        []Debt       `json:"rows"`   // accounts that are not settled, the oldest debt first
}

// Age is a band of days that money is late.
type Age struct {
	From   int          `json:"from_days"`
	To     int          `json:"to_days,omitempty"` // 0: no end
	Amount money.Amount `json:"amount"`
}

// Debt is the account of one order that is not settled.
type Debt struct {
	Number      string         `json:"number"`
	Client      string         `json:"client"`
	Event       day.Date       `json:"event_date"`
	Cancelled   bool           `json:"cancelled,omitempty"`
	Owed        money.Amount   `json:"owed"`
	Received    money.Amount   `json:"received"`
	Outstanding money.Amount   `json:"outstanding"`
	NotDue      money.Amount   `json:"not_due"`
	Ages        []money.Amount `json:"ages"` // as the bands of the total
	Credit      money.Amount   `json:"credit"`
	Since       day.Date       `json:"overdue_since,omitzero"`
}

// Tax is the sales of the span by tax rate, for the book-keeper: of what was
// delivered, by the day of the event, as quoted.
type Tax struct {
	Rows  []TaxRow     `json:"rows"` // by rising rate; sales without any tax first
	Net   money.Amount `json:"net"`
	Tax   money.Amount `json:"tax"`
	Gross money.Amount `json:"gross"`
	// Not in the rows, since whether they bear tax, and when, is for the
	// book-keeper to say: cancellation fees, and what was charged or let off
	// after accepting, tax included, without a revision of the quote.
	Fees    money.Amount `json:"cancellation_fees"`
	Changes money.Amount `json:"changes"`
}

// TaxRow is the sales at one rate. Rate is absent for orders that bear no tax
// line at all.
type TaxRow struct {
	Rate  record.Maybe[Figure] `json:"rate,omitzero"` // a fraction
	Net   money.Amount         `json:"net"`
	Tax   money.Amount         `json:"tax"`
	Gross money.Amount         `json:"gross"`
}

// NotOver says what has to be known of a report whose span runs past the day it
// was made; "" where the span is over.
func (r Report) NotOver() string {
	if !r.To.After(r.AsOf) {
		return ""
	}
	return "The span is not over: what is still to come stands as it was booked, and accounts as if nothing more were paid."
}
