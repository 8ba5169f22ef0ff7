package variance

import (
	"errors"

	"marchpane/pricing/exact"
	"marchpane/pricing/record"
)

// Overhead is the fixed overhead of a span of time.
type Overhead struct {
	Budget record.Maybe[exact.Number]
	Actual record.Maybe[exact.Number] // paid
}

// OverheadVariance is fixed overhead paid against that absorbed by orders.
// Where there is a budget, Spending + Volume is Total. Above 0 is favourable.
type OverheadVariance struct {
	Absorbed exact.Number
	Budget   record.Maybe[exact.Number]
	Actual   Figure
	Spending exact.Number // budget − actual
	Volume   exact.Number // absorbed − budget
	Total    exact.Number // absorbed − actual: above 0 over-absorbed, below 0 under-absorbed
}

// Against compares the overhead with what orders absorbed of it. Where nothing
// was recorded as paid the budget stands in, and without a budget what was
// absorbed.
func (o Overhead) Against(absorbed exact.Number) (OverheadVariance, error) {
	v := OverheadVariance{Absorbed: absorbed, Budget: o.Budget}
	v.Actual = Figure{o.Actual.Or(o.Budget.Or(absorbed)), o.Actual.Given}
	switch {
	case absorbed.Sign() < 0:
		return OverheadVariance{}, errors.New("the overhead absorbed is below zero; it is a sum of costs")
	case o.Budget.Given && o.Budget.Value.Sign() < 0:
		return OverheadVariance{}, errors.New("the overhead budget is below zero; enter it without a sign")
	case v.Actual.Value.Sign() < 0:
		return OverheadVariance{}, errors.New("the overhead paid is below zero; enter it without a sign")
	}
	v.Total = absorbed.Sub(v.Actual.Value)
	if o.Budget.Given {
		v.Spending, v.Volume = o.Budget.Value.Sub(v.Actual.Value), absorbed.Sub(o.Budget.Value)
	}
	return v, nil
}

// Hours are the labour hours of a span of time.
type Hours struct {
	Budget   exact.Number // that the budget of overhead is spread over
	Actual   exact.Number // worked
	Standard exact.Number // that the work done should have taken
}

// VolumeSplit says why overhead was over- or under-absorbed by labour hours.
// Its parts add up to the volume variance.
type VolumeSplit struct {
	Capacity   exact.Number // more or fewer hours worked than budgeted
	Efficiency exact.Number // more or less done in those hours
	Rate       exact.Number // orders quoted at another overhead rate than the budget's
}

// Split splits the volume variance of overhead absorbed by the labour hour.
func (v OverheadVariance) Split(h Hours) (VolumeSplit, error) {
	if !v.Budget.Given {
		return VolumeSplit{}, errors.New("without a budget of overhead there is no volume variance to split; enter the budget")
	}
	if h.Budget.Sign() <= 0 {
		return VolumeSplit{}, errors.New("the budgeted labour hours are not above zero; enter the hours of the month")
	}
	if h.Actual.Sign() < 0 || h.Standard.Sign() < 0 {
		return VolumeSplit{}, errors.New("labour hours are below zero; enter them without a sign")
	}
	rate := v.Budget.Value.Quo(h.Budget)
	return VolumeSplit{
		Capacity:   h.Actual.Sub(h.Budget).Mul(rate),
		Efficiency: h.Standard.Sub(h.Actual).Mul(rate),
		Rate:       v.Absorbed.Sub(h.Standard.Mul(rate)),
	}, nil
}
