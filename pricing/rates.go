package pricing

import (
	"errors"
	"fmt"
	"maps"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Rate is what a unit of a resource costs, and where that comes from.
type Rate struct {
	PerUnit exact.Number // money per unit of the bill
	Unit    string       // of the bill
	From    day.Date     // when the price came into force; none for wear
	Price   string       // as the book has it: "25.25 for 10 x 250 g"
	Bought  *book.Price  // of an ingredient or packaging
}

// Rates are the prices of resources on one day. They remember what they have
// looked up and belong to one goroutine.
type Rates struct {
	x       *book.Index
	on      day.Date
	known   map[book.ID]Rate
	changed map[book.ID]exact.Number
}

// NewRates returns the rates of a book on a day.
func NewRates(x *book.Index, on day.Date) *Rates {
	return &Rates{x: x, on: on, known: map[book.ID]Rate{}}
}

// On returns the day of the rates.
func (r *Rates) On() day.Date { return r.on }

// Name returns what a resource is called in the user's words.
func (r *Rates) Name(id book.ID) string {
	if it, ok := r.x.Item(id); ok {
		return it.Name()
	}
	if role, ok := r.x.Role(id); ok {
		return role.Name
	}
	if a, ok := r.x.Appliance(id); ok {
		return a.Name
	}
	return string(id) // energy and overhead
}

// With returns rates that differ from r in what a unit of some resources
// costs. r stays as it is.
func (r *Rates) With(perUnit map[book.ID]exact.Number) *Rates {
	changed := make(map[book.ID]exact.Number, len(r.changed)+len(perUnit))
	maps.Copy(changed, r.changed)
	maps.Copy(changed, perUnit)
	return &Rates{x: r.x, on: r.on, known: map[book.ID]Rate{}, changed: changed}
}

// Of returns the rate of a resource. The error names the resource and the day
// where no price is in force.
func (r *Rates) Of(id book.ID, kind Kind) (Rate, error) {
	if rate, ok := r.known[id]; ok {
		return rate, nil
	}
	rate, err := r.lookUp(id, kind)
	if err != nil {
		return Rate{}, err
	}
	if n, ok := r.changed[id]; ok {
		rate.PerUnit = n
	}
	r.known[id] = rate
	return rate, nil
}

func (r *Rates) lookUp(id book.ID, kind Kind) (Rate, error) {
	switch kind {
	case Ingredient, Packaging:
		it, ok := r.x.Item(id)
		if !ok || it.Ingredient == nil || it.Part != nil {
			return Rate{}, fmt.Errorf("%q is no ingredient of the book", id)
		}
		p, err := it.Ingredient.PriceOn(r.on)
		if err != nil {
			return Rate{}, err
		}
		text := fmt.Sprintf("%s for %s", p.Price, p.Pack)
		if p.TaxIn.Given {
			text += fmt.Sprintf(" with %s tax", p.TaxIn.Value)
		}
		return Rate{p.PerBase(r.x.Book.Studio), it.Ingredient.Measure.Base(), p.From, text, &p}, nil
	case Role:
		role, ok := r.x.Role(id)
		if !ok {
			return Rate{}, fmt.Errorf("%q is no role of the book", id)
		}
		w, err := role.WageOn(r.on)
		if err != nil {
			return Rate{}, err
		}
		return Rate{PerUnit: role.PerMinute(w), Unit: "min", From: w.From, Price: fmt.Sprintf("%s an hour", w.PerHour)}, nil
	case Energy:
		e, err := r.x.Book.EnergyOn(r.on)
		if err != nil {
			return Rate{}, err
		}
		return Rate{PerUnit: e.Price.Number(), Unit: "kWh", From: e.From, Price: fmt.Sprintf("%s a kWh", e.Price)}, nil
	case Equipment:
		a, ok := r.x.Appliance(id)
		if !ok {
			return Rate{}, fmt.Errorf("%q is no appliance of the book", id)
		}
		return Rate{PerUnit: a.PerHour.Value.Number().Mul(exact.Frac(1, 60)), Unit: "min", Price: fmt.Sprintf("%s an hour", a.PerHour.Value)}, nil
	}
	return r.overheadRate()
}

func (r *Rates) overheadRate() (Rate, error) {
	o := r.x.Book.Overhead
	if o == nil {
		return Rate{}, errors.New("the studio has no overhead; add one")
	}
	d, err := o.On(r.on)
	if err != nil {
		return Rate{}, err
	}
	if o.Method == book.ByCake {
		return Rate{PerUnit: d.Amount.Value.Number(), Unit: "cake", From: d.From, Price: fmt.Sprintf("%s a cake", d.Amount.Value)}, nil
	}
	hours := o.Hours.Base(measure.Metric).Mul(exact.Frac(1, 60))
	return Rate{
		PerUnit: d.Amount.Value.Number().Quo(hours), Unit: "h", From: d.From,
		Price: fmt.Sprintf("%s for %s a month", d.Amount.Value, o.Hours),
	}, nil
}

// Share returns the overhead as a share of the other costs: 0 unless the
// method is a percentage.
func (r *Rates) Share() (exact.Number, error) {
	o := r.x.Book.Overhead
	if o == nil || o.Method != book.ByPercent {
		return exact.Number{}, nil
	}
	d, err := o.On(r.on)
	return d.Share.Value.Fraction(), err
}
