package quote

import (
	"errors"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// notes gathers what a client has to be told of all that is delivered:
// allergens, and what carries a flag. A hidden extra delivers nothing.
func (p *pricer) notes() {
	var taken []pricing.Takeoff
	for _, t := range p.taken {
		if !t.hidden {
			taken = append(taken, t.takeoff)
		}
	}
	p.offer.Contains, p.offer.MayContain, _ = pricing.Allergens(p.x, taken...)
	for _, f := range pricing.Flagged(p.x, taken...) {
		p.offer.Flags = append(p.offer.Flags, FlagNote(f))
	}
}

// LabelNote names what is eaten in all that is offered and whose label nobody
// looked at, by the book of today: what the paper says of allergens may lack
// what is in it. It is "" where every label was looked at. A hidden extra
// delivers nothing.
func (q Quote) LabelNote(x *book.Index) string {
	used := pricing.Labels{}
	for _, one := range q.Choices() {
		for _, c := range slices.Concat(one.Basis.Cakes, one.Basis.Extras) {
			if c.Hidden {
				continue
			}
			for _, line := range c.Bill {
				used[line.ID] = true
			}
		}
	}
	_, _, silent := used.Allergens(x)
	if len(silent) == 0 {
		return ""
	}
	return "no label was looked at yet for " + pricing.NamesOf(silent) + "; what the paper says of allergens may lack what is in them"
}

// basis freezes the prices used and sums the cost of the order.
func (p *pricer) basis() error {
	var faults []error
	seen := map[book.ID]bool{}
	for _, t := range p.taken {
		for _, l := range t.takeoff.Bill {
			if seen[l.Resource] {
				continue
			}
			seen[l.Resource] = true
			rate, err := p.rates.Of(l.Resource, l.Kind)
			if err != nil {
				faults = append(faults, err)
				continue
			}
			frozen := Rate{ID: l.Resource, Kind: l.Kind.String(), PerUnit: rate.PerUnit, Unit: rate.Unit, Price: rate.Price, From: rate.From}
			if rate.Bought != nil {
				frozen.Supplier = rate.Bought.Supplier.Value
			}
			p.frozen.Rates = append(p.frozen.Rates, frozen)
		}
	}
	slices.SortFunc(p.frozen.Rates, func(a, b Rate) int {
		if a.ID < b.ID {
			return -1
		}
		return 1
	})
	share, err := p.rates.Share()
	if err != nil {
		faults = append(faults, err)
	}
	p.frozen.Share = share
	for _, c := range slices.Concat(p.frozen.Cakes, p.frozen.Extras) {
		p.frozen.Cost = p.frozen.Cost.Add(c.Cost.Total().Mul(exact.Int(int64(c.Quantity))))
	}
	p.frozen.Net = p.net.Number()
	return errors.Join(faults...)
}

func costed(t pricing.Takeoff, cost pricing.Cost, quantity int, hidden bool) Costed {
	c := Costed{ID: t.ID, Name: t.Name, Quantity: quantity, Hidden: hidden, Cost: Classes(cost)}
	for _, l := range t.Bill {
		c.Bill = append(c.Bill, Resource{l.Resource, l.Kind.String(), l.Quantity, l.Unit})
	}
	return c
}

// Total returns the sum of the classes.
func (c Classes) Total() exact.Number { return pricing.Cost(c).Total() }
