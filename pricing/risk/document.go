package risk

import (
	"fmt"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// Document is an outlook, or why there is none, ready to print and for
// scripts: money at the minor unit, shares and chances as fractions at 4
// decimals, all as strings.
type Document struct {
	Today    string `json:"today"`
	Event    string `json:"event"`
	TooShort string `json:"too_short,omitempty"` // why nothing is said
	Outlook  *Sheet `json:"outlook"`             // null where nothing is said
}

// Sheet holds the figures of an outlook.
type Sheet struct {
	Currency       string     `json:"currency"`
	MonthsAhead    int        `json:"months_ahead"`
	HistoryFrom    string     `json:"history_from"` // month of the first change drawn, 2025-07
	HistoryTo      string     `json:"history_to"`
	Changes        int        `json:"monthly_changes"`
	Block          int        `json:"block_months"`
	Paths          int        `json:"paths"`
	Seed           string     `json:"seed"` // it may exceed what a JSON number holds
	Drift          string     `json:"drift"`
	YearlyDrift    string     `json:"yearly_drift"`
	Start          string     `json:"cost_at_book_prices"`
	Median         string     `json:"cost_median"`
	Mean           string     `json:"cost_mean"`
	Band80         [2]string  `json:"cost_80"`
	Band95         [2]string  `json:"cost_95"`
	Net            string     `json:"net_price"`
	StartMargin    string     `json:"margin_at_book_prices"`
	MedianMargin   string     `json:"margin_at_median"`
	Floor          string     `json:"floor_margin"`
	Chance         string     `json:"chance_below_floor"`
	ChanceError    string     `json:"chance_error"`
	Level          string     `json:"level"`
	Surcharge      string     `json:"surcharge_net"`
	SurchargeShown string     `json:"surcharge_shown"`
	OfPrice        string     `json:"surcharge_of_price"`
	OtherDrift     OtherDrift `json:"other_drift"`
	Covered        string     `json:"covered"`
	Unmoved        string     `json:"cost_held"`
	Moving         []MovingOf `json:"moving"`
	Held           []HeldOf   `json:"held"`
	Method         []string   `json:"method"`
	Assumptions    []string   `json:"assumptions"`
}

// OtherDrift is what the figures were had drift been kept where it is removed,
// or removed where it is kept.
type OtherDrift struct {
	Drift          string `json:"drift"`
	Median         string `json:"cost_median"`
	Chance         string `json:"chance_below_floor"`
	SurchargeShown string `json:"surcharge_shown"`
}

// MovingOf is a resource whose price is drawn.
type MovingOf struct {
	Resource    string `json:"resource"`
	Name        string `json:"name"`
	Cost        string `json:"cost"`
	YearlyDrift string `json:"yearly_drift"`
	Spread      string `json:"monthly_spread"`
	Variance    string `json:"variance_share"`
}

// HeldOf is a good whose price is held, and why.
type HeldOf struct {
	Resource string `json:"resource"`
	Name     string `json:"name"`
	Cost     string `json:"cost"`
	Why      string `json:"why"`
}

// DocumentOf returns the document of an outlook.
func DocumentOf(o Outlook) Document {
	show := func(n exact.Number) string { return n.Fixed(places) }
	f := Sheet{
		Currency: o.Currency.Code(), MonthsAhead: o.Months, HistoryFrom: monthOf(o.From).String(), HistoryTo: monthOf(o.To).String(),
		Changes: o.Changes, Block: o.Block, Paths: o.Paths, Seed: fmt.Sprint(o.Seed), Drift: "removed", YearlyDrift: show(o.YearlyDrift),
		Start: o.Start.String(), Median: o.Median.String(), Mean: o.Mean.String(),
		Band80: [2]string{o.Band80.Low.String(), o.Band80.High.String()}, Band95: [2]string{o.Band95.Low.String(), o.Band95.High.String()},
		Net: o.Net.String(), StartMargin: show(o.StartMargin), MedianMargin: show(o.MedianMargin), Floor: show(o.Floor),
		Chance: show(o.Chance), ChanceError: show(o.ChanceError), Level: show(o.Level),
		Surcharge: o.Surcharge.String(), SurchargeShown: o.SurchargeShown.String(), OfPrice: show(o.SurchargeOfPrice),
		Covered: show(o.Covered), Unmoved: o.Unmoved.String(), Moving: []MovingOf{}, Held: []HeldOf{},
		Method: Method(o), Assumptions: Assumptions(o),
	}
	f.OtherDrift = OtherDrift{"kept", o.OtherDrift.Median.String(), show(o.OtherDrift.Chance), o.OtherDrift.SurchargeShown.String()}
	if o.KeptDrift {
		f.Drift, f.OtherDrift.Drift = f.OtherDrift.Drift, f.Drift
	}
	for _, m := range o.Moving {
		f.Moving = append(f.Moving, MovingOf{string(m.Resource), m.Name, m.Cost.String(), show(m.YearlyDrift), show(m.Spread), show(m.Variance)})
	}
	for _, h := range o.Held {
		f.Held = append(f.Held, HeldOf{string(h.Resource), h.Name, h.Cost.String(), h.Why})
	}
	return Document{Today: o.Today.String(), Event: o.Event.String(), Outlook: &f}
}

// RefusalOf returns the document of an order whose history says nothing.
func RefusalOf(in Input, e *TooShort) Document {
	return Document{Today: in.Today.String(), Event: in.Event.String(), TooShort: e.Error()}
}

// Row is a line of a table of two columns.
type Row struct{ Label, Figure string }

// Rows returns the figures of an outlook as people read them: amounts with the
// code of the currency, days as ISO 8601 has them.
func Rows(o Outlook) []Row {
	return RowsIn(o, func(a money.Amount) string { return a.String() + " " + o.Currency.Code() }, day.Date.String)
}

// RowsIn is [Rows] with amounts and days as the caller writes them.
func RowsIn(o Outlook, amount func(money.Amount) string, date func(day.Date) string) []Row {
	band := func(b Band) string { return amount(b.Low) + " to " + amount(b.High) }
	surcharge := "none is needed"
	if o.Surcharge.Sign() > 0 {
		surcharge = fmt.Sprintf("%s as shown, %s net (%s of the price)", amount(o.SurchargeShown), amount(o.Surcharge), percent(o.SurchargeOfPrice))
	}
	chance := chanceOf(o.Figures)
	if !o.ChanceError.IsZero() {
		chance += " ± " + percent(o.ChanceError)
	}
	other := "median cost if the past drift goes on"
	if o.KeptDrift {
		other = "median cost without the past drift"
	}
	return []Row{
		{"cost at the prices in the book", amount(o.Start)},
		{"median cost on " + date(o.Event), amount(o.Median)},
		{"mean cost", amount(o.Mean)},
		{"8 of 10 futures", band(o.Band80)},
		{"95 of 100 futures", band(o.Band95)},
		{other, amount(o.OtherDrift.Median)},
		{"net price", amount(o.Net)},
		{"margin at the prices in the book", percent(o.StartMargin)},
		{"margin at the median cost", percent(o.MedianMargin)},
		{"chance of a margin below " + percent(o.Floor), chance},
		{"surcharge that brings it to " + percent(o.Level), surcharge},
	}
}

// chanceOf prints a chance; one that the futures hardly show is not called
// none.
func chanceOf(f Figures) string {
	if f.Chance.Cmp(exact.Frac(1, 2000)) < 0 {
		return "under 0.1 %"
	}
	return percent(f.Chance)
}
