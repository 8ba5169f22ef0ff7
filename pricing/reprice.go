package pricing

import (
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// Proposal is a new list price for a cake and what it would earn.
type Proposal struct {
	Cake     *book.Cake
	Old      Offer
	New      exact.Number // shown; on the price step where the studio has one
	Cost     exact.Number
	MarginIs exact.Number // at the old price
	Margin   exact.Number // at the new one
	Capped   bool         // held back by the largest rise allowed
	Changes  bool         // whether New differs from the old price
}

// Propose returns the list price that brings a cake to its target at today's
// cost, and false where the target gives none or the cake is not priced.
//
// maxRise, where given, is the largest rise as a fraction of the old price; a
// target beyond it is held to the highest step that stays within it, and never
// below the old price.
func Propose(s book.Studio, c Costing, maxRise *exact.Number) (Proposal, bool) {
	margin, ok := c.Margin()
	if !ok || !c.Offer.HasGoal {
		return Proposal{}, false
	}
	p := Proposal{Cake: c.Cake, Old: c.Offer, Cost: c.total, MarginIs: margin}
	p.New, p.Capped = HeldTo(s, maxRise, c.Offer.Shown, c.Offer.Target)
	p.Changes = !p.New.Equal(c.Offer.Shown)
	p.Margin, _ = Margin(NetOf(s, p.New, c.Offer.TaxRate), p.Cost)
	return p, true
}

// HeldTo returns the shown price that is proposed in place of another where a
// target asks for so much, and whether the largest rise allowed holds it back;
// see [Propose].
func HeldTo(s book.Studio, maxRise *exact.Number, shown, target exact.Number) (price exact.Number, held bool) {
	if maxRise == nil {
		return target, false
	}
	most := shown.Mul(exact.Int(1).Add(*maxRise))
	if target.Cmp(most) <= 0 {
		return target, false
	}
	return exact.Max(highestWithin(s, most), shown), true
}

// ProposeAll returns a proposal for each of some cakes that has one; see
// [Propose].
func ProposeAll(x *book.Index, cakes []Takeoff, rates *Rates, maxRise *exact.Number) ([]Proposal, error) {
	var list []Proposal
	for _, t := range cakes {
		c, err := t.Costing(x, rates)
		if err != nil {
			return nil, err
		}
		if p, ok := Propose(x.Book.Studio, c, maxRise); ok {
			list = append(list, p)
		}
	}
	return list, nil
}

// ListPrice returns what is proposed as the list price from a day on.
func (p Proposal) ListPrice(s book.Studio, from day.Date) book.ListPrice {
	return book.ListPrice{From: from, Price: money.PriceOf(s.Currency.Round(p.New).Decimal())}
}

// Relisted returns a cake with another list price from a day on. Earlier ones
// stay.
func Relisted(c book.Cake, p book.ListPrice) book.Cake {
	if now := c.ListPriceOn(p.From); now.Given && now.Value.Number().Equal(p.Price.Number()) {
		return c
	}
	c.ListPrices = append(slices.Clone(c.ListPrices), p)
	return c
}

// highestWithin returns the highest price not above most that is a multiple of
// the price step, or of the minor unit where there is none.
func highestWithin(s book.Studio, most exact.Number) exact.Number {
	step := minorUnit(s.Currency)
	if s.PriceStep.Given {
		step = s.PriceStep.Value.Number()
	}
	return exact.FromBig(most.Quo(step).Floor()).Mul(step)
}
