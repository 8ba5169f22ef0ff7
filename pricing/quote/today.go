package quote

import (
	"cmp"
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Bill sums the frozen bills of all that is delivered or done for the order.
// Quantities are those of the day of issue, whatever the recipes say now; but
// overhead follows the method that the studio has now, since its price does. A
// resource that has left the book since is an error, as nothing prices it.
func (b Basis) Bill(x *book.Index) (pricing.Bill, error) {
	at := map[book.ID]int{}
	var bill pricing.Bill
	for _, c := range slices.Concat(b.Cakes, b.Extras) {
		times := exact.Int(int64(c.Quantity))
		for _, r := range c.Bill {
			if r.ID == book.OverheadID {
				continue
			}
			i, there := at[r.ID]
			if !there {
				kind, err := pricing.ResourceKind(x, r.ID)
				if err != nil {
					return nil, fmt.Errorf("%s of the quote: %w; bring it back into the book or revise the quote", c.Name, err)
				}
				i = len(bill)
				at[r.ID] = i
				bill = append(bill, pricing.BillLine{Resource: r.ID, Kind: kind, Unit: r.Unit})
			}
			bill[i].Quantity = bill[i].Quantity.Add(r.Quantity.Mul(times))
		}
	}
	if o := x.Book.Overhead; o != nil {
		line := pricing.BillLine{Resource: book.OverheadID, Kind: pricing.Overhead}
		switch o.Method {
		case book.ByLabourHour:
			line.Quantity, line.Unit = bill.Minutes().Mul(exact.Frac(1, 60)), "h"
		case book.ByCake:
			line.Unit = "cake"
			for _, c := range b.Cakes {
				line.Quantity = line.Quantity.Add(exact.Int(int64(c.Quantity)))
			}
		}
		if !line.Quantity.IsZero() {
			bill = append(bill, line)
		}
	}
	slices.SortFunc(bill, func(a, b pricing.BillLine) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Resource, b.Resource))
	})
	return bill, nil
}

// Standing is what an issued quote earns at other prices than those it was
// made with.
type Standing struct {
	Quote     Quote
	Sold      exact.Number // cost frozen on the day of issue
	Now       exact.Number // cost at today's prices
	After     exact.Number // cost after a change
	HasMargin bool         // whether its net total is above 0
	MarginWas exact.Number // as sold
	MarginNow exact.Number
	MarginIs  exact.Number // after the change
}

// Lost is the money that the quote earns less after the change than it was
// sold to earn; negative where it earns more.
func (s Standing) Lost() exact.Number { return s.After.Sub(s.Sold) }

// Position is an issued quote whose frozen bill is costed at the rates of a
// day, from which any number of changes are looked at.
type Position struct {
	bill  pricing.Bill
	now   pricing.Cost
	today Standing // before any change
}

// PositionOf costs a quote's frozen bill.
func PositionOf(x *book.Index, q Quote, rates *pricing.Rates) (Position, error) {
	bill, err := q.Basis.Bill(x)
	if err != nil {
		return Position{}, err
	}
	now, err := pricing.CostOf(bill, rates)
	if err != nil {
		return Position{}, err
	}
	return positionAt(q, bill, now), nil
}

func positionAt(q Quote, bill pricing.Bill, now pricing.Cost) Position {
	s := Standing{Quote: q, Sold: q.Basis.Cost, Now: now.Total(), After: now.Total()}
	if s.MarginWas, s.HasMargin = q.Basis.Margin(); s.HasMargin {
		s.MarginNow, _ = pricing.Margin(q.Basis.Net, s.Now)
		s.MarginIs = s.MarginNow
	}
	return Position{bill, now, s}
}

// Moved is [PositionOf] where a unit of some resources costs more by so much than
// it did; see [pricing.Cost.Moved].
func (p Position) Moved(by map[book.ID]exact.Number, share exact.Number) Position {
	return positionAt(p.today.Quote, p.bill, p.now.Moved(p.bill, by, share))
}

// Stand returns what the quote earns where some of the rates that it was costed
// at, which are given again, are others.
func (p Position) Stand(rates *pricing.Rates, perUnit map[book.ID]exact.Number) (Standing, error) {
	moved, err := p.bill.Moved(rates, perUnit)
	if err != nil {
		return Standing{}, err
	}
	s := p.today
	s.After = s.Now.Add(moved)
	if s.HasMargin {
		s.MarginIs, _ = pricing.Margin(s.Quote.Basis.Net, s.After)
	}
	return s, nil
}

// Uses reports whether what is quoted takes any of some resources.
func (q Quote) Uses(resource func(book.ID) bool) bool {
	for _, c := range slices.Concat(q.Basis.Cakes, q.Basis.Extras) {
		for _, r := range c.Bill {
			if resource(r.ID) {
				return true
			}
		}
	}
	return false
}

// Standings holds those of some quotes that use what changes against the margin
// they were sold at, the greatest loss first.
func Standings(x *book.Index, quotes []Quote, rates *pricing.Rates, changes ...pricing.Change) ([]Standing, error) {
	perUnit, err := pricing.Moves(x, rates, changes...)
	if err != nil {
		return nil, err
	}
	var list []Standing
	for _, q := range quotes {
		if !q.Uses(func(id book.ID) bool { _, moves := perUnit[id]; return moves }) {
			continue
		}
		p, err := PositionOf(x, q, rates)
		if err != nil {
			return nil, fmt.Errorf("quote %s: %w", q.Number, err)
		}
		st, err := p.Stand(rates, perUnit)
		if err != nil {
			return nil, fmt.Errorf("quote %s: %w", q.Number, err)
		}
		list = append(list, st)
	}
	slices.SortStableFunc(list, func(a, b Standing) int { return b.Lost().Cmp(a.Lost()) })
	return list, nil
}
