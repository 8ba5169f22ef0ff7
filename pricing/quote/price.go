package quote

import (
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// Price prices a request by the book, with the prices in force on its day. The
// quote is a draft until a store gives it a number. A request that cannot be
// priced is refused with every reason.
func Price(x *book.Index, r Request) (Quote, error) {
	if faults := r.check(x); len(faults) > 0 {
		return Quote{}, faults
	}
	q := Quote{Revision: "A", Request: r}
	q.Offer.Heading = heading(x.Book.Studio, r)
	rates := pricing.NewRates(x, r.On)
	for _, order := range r.orders() {
		p := pricer{x: x, studio: x.Book.Studio, event: r.Event, on: r.On, order: order.Wanted, rates: rates}
		if err := p.price(); err != nil {
			if order.Name != "" {
				err = fmt.Errorf("%s: %w", order.Name, err)
			}
			return Quote{}, err
		}
		if len(r.Options) == 0 {
			q.Offer.Sale, q.Basis = p.offer, p.frozen
			break
		}
		q.Options = append(q.Options, Option{Name: order.Name, Sale: p.offer, Basis: p.frozen})
	}
	return q, nil
}

// heading is what all options share.
func heading(s book.Studio, r Request) Heading {
	tax := book.Tax{}
	if s.Tax != nil {
		tax = *s.Tax
	}
	terms := s.Quote.Value
	h := Heading{
		Studio: Sender{
			Name: s.Name, Address: s.Address.Value, Email: s.Email.Value, Phone: s.Phone.Value,
			Locale: s.Locale.Or("en"), Currency: s.Currency, TaxLabel: tax.Label.Value, TaxNumber: tax.Number.Value,
			AllergenList: s.AllergenList.Or("eu"), Terms: terms.Terms, Look: look(s.Look.Value),
		},
		Client: r.Client, EventDate: r.Event.Date, Venue: r.Event.Venue.Value, Guests: r.Event.Guests.Value, Language: r.Language.Value,
		IssuedOn: r.On, ValidUntil: r.On.AddDays(terms.ValidDays.Or(30)),
		Shown: s.PricesShown.Or(book.Gross),
	}
	if h.ValidUntil.After(h.EventDate) {
		h.ValidUntil = h.EventDate // nobody accepts a cake that is eaten
	}
	for _, f := range terms.Cancellation {
		h.Cancellation = append(h.Cancellation, CancellationFee{f.WithinDays.Value, f.Share})
	}
	return h
}

// look freezes what the papers look like; the picture by its fingerprint.
func look(l book.Look) Look {
	frozen := Look{Accent: string(l.Accent.Value), Paper: string(l.Paper.Value)}
	if l.Logo.Given {
		frozen.Logo = l.Logo.Value.Fingerprint()
	}
	return frozen
}

// pricer prices one order.
type pricer struct {
	x      *book.Index
	studio book.Studio
	event  Event
	on     day.Date
	order  Wanted
	rates  *pricing.Rates
	offer  Sale
	frozen Basis
	taken  []taken // all that is delivered, for allergens and cautions
	net    money.Amount
}

type taken struct {
	takeoff pricing.Takeoff
	hidden  bool
}

func (p *pricer) price() error {
	if err := p.cakes(); err != nil {
		return err
	}
	if err := p.extras(); err != nil {
		return err
	}
	p.discount()
	p.minimum()
	p.tax()
	p.instalments()
	p.notes()
	return p.basis()
}

func (p *pricer) cakes() error {
	for _, l := range p.order.Lines {
		c, err := pricing.CostCake(p.x, l.Cake, p.rates)
		if err != nil {
			return err
		}
		if !c.Offer.HasPrice {
			return fmt.Errorf("%s has no price: its target is per portion and none of it is served; give it a list price or another target", c.Cake.Name)
		}
		unit := p.studio.Currency.Round(c.Offer.Shown)
		p.offer.Lines = append(p.offer.Lines, Line{
			Kind: CakeLine, ID: c.Cake.ID, Name: c.Cake.Name, Quantity: l.Quantity,
			UnitPrice: unit, Amount: unit.Times(l.Quantity), TaxRate: c.Offer.TaxRate,
		})
		p.design(c)
		p.frozen.Cakes = append(p.frozen.Cakes, costed(c.Takeoff, c.Cost, l.Quantity, false))
		p.taken = append(p.taken, taken{c.Takeoff, false})
	}
	return nil
}

// design adds how a cake looks, once for each design.
func (p *pricer) design(c pricing.Costing) {
	for _, d := range p.offer.Designs {
		if d.Cake == c.Cake.ID {
			return
		}
	}
	d := Design{
		Cake: c.Cake.ID, Name: c.Cake.Name, Description: c.Cake.Description.Value,
		Made: c.Takeoff.Made, Served: c.Takeoff.Served,
	}
	for i, t := range c.Cake.Tiers {
		d.Tiers = append(d.Tiers, Tier{t.Name, t.Form, t.Dummy.Or(false), t.Kept.Or(false), c.Takeoff.Tiers[i].Portions})
	}
	p.offer.Designs = append(p.offer.Designs, d)
}

func (p *pricer) extras() error {
	km := p.event.Km.Value.Number()
	for _, e := range p.order.extras(p.x) {
		takeoff, err := pricing.TakeExtra(p.x, e.extra.ID, km)
		if err != nil {
			return err
		}
		cost, err := pricing.CostOf(takeoff.Bill, p.rates)
		if err != nil {
			return err
		}
		hidden := e.extra.Hidden.Or(false)
		p.frozen.Extras = append(p.frozen.Extras, costed(takeoff, cost, e.quantity, hidden))
		p.taken = append(p.taken, taken{takeoff, hidden})
		if hidden {
			continue
		}
		price := e.extra.Price.Value.Number().Add(e.extra.PricePerKm.Value.Number().Mul(km))
		unit := p.studio.Currency.Round(price)
		p.offer.Lines = append(p.offer.Lines, Line{
			Kind: ExtraLine, ID: e.extra.ID, Name: e.extra.Name, Quantity: e.quantity,
			UnitPrice: unit, Amount: unit.Times(e.quantity), TaxRate: pricing.ExtraTaxRate(p.studio, e.extra),
		})
	}
	return nil
}

// discount takes a percentage off the cake lines, shared among their tax rates.
func (p *pricer) discount() {
	percent := p.order.Discount.Or(measure.Percent{}).Fraction()
	if percent.IsZero() {
		return
	}
	var rates []exact.Number // of the cakes, rising
	var amounts []exact.Number
	var sum exact.Number
	for _, l := range p.offer.Lines {
		if l.Kind != CakeLine {
			continue
		}
		sum = sum.Add(l.Amount.Number())
		i, there := slices.BinarySearchFunc(rates, l.TaxRate, exact.Number.Cmp)
		if !there {
			rates = slices.Insert(rates, i, l.TaxRate)
			amounts = slices.Insert(amounts, i, exact.Number{})
		}
		amounts[i] = amounts[i].Add(l.Amount.Number())
	}
	off := p.studio.Currency.Round(sum.Mul(percent)).Neg()
	line := Line{Kind: DiscountLine, Name: "discount", Quantity: 1, UnitPrice: off, Amount: off}
	for i, share := range money.Share(off, amounts) {
		line.Shares = append(line.Shares, Share{rates[i], share})
	}
	if len(rates) == 1 {
		line.TaxRate = rates[0]
	}
	p.offer.Lines = append(p.offer.Lines, line)
}

// minimum makes up what the lines fall short of the smallest order.
func (p *pricer) minimum() {
	least := p.studio.MinimumOrder
	if !least.Given {
		return
	}
	short := p.studio.Currency.Amount(least.Value.Decimal()).Sub(p.sum())
	if short.Sign() <= 0 {
		return
	}
	p.offer.Lines = append(p.offer.Lines, Line{
		Kind: MinimumLine, Name: "minimum order", Quantity: 1, UnitPrice: short, Amount: short,
		TaxRate: pricing.TaxRate(p.studio, nil),
	})
}

func (p *pricer) sum() money.Amount {
	sum := p.studio.Currency.Round(exact.Number{})
	for _, l := range p.offer.Lines {
		sum = sum.Add(l.Amount)
	}
	return sum
}

// tax works out the tax of each rate, the total and the net total.
func (p *pricer) tax() {
	sum := p.sum()
	p.offer.Total, p.net = sum, sum
	if p.studio.Tax == nil {
		return
	}
	for _, s := range p.taxed() {
		i, there := slices.BinarySearchFunc(p.offer.Tax, s.Rate, func(t TaxLine, r exact.Number) int { return t.Rate.Cmp(r) })
		if !there {
			zero := p.studio.Currency.Round(exact.Number{})
			p.offer.Tax = slices.Insert(p.offer.Tax, i, TaxLine{s.Rate, zero, zero})
		}
		t := &p.offer.Tax[i]
		t.Net = t.Net.Add(s.Amount) // shown terms, until the tax is known
		if p.studio.Tax.By.Or(book.ByDocument) == book.ByLine {
			t.Tax = t.Tax.Add(p.taxOn(s.Amount, s.Rate))
		}
	}
	gross := p.studio.PricesShown.Or(book.Gross) == book.Gross
	for i := range p.offer.Tax {
		t := &p.offer.Tax[i]
		if p.studio.Tax.By.Or(book.ByDocument) == book.ByDocument {
			t.Tax = p.taxOn(t.Net, t.Rate)
		}
		if gross {
			t.Net = t.Net.Sub(t.Tax)
			p.net = p.net.Sub(t.Tax)
		} else {
			p.offer.Total = p.offer.Total.Add(t.Tax)
		}
	}
}

// taxed lists the amounts that bear tax: every line, a discount by its shares.
func (p *pricer) taxed() []Share {
	var list []Share
	for _, l := range p.offer.Lines {
		if l.Kind == DiscountLine {
			list = append(list, l.Shares...)
			continue
		}
		list = append(list, Share{l.TaxRate, l.Amount})
	}
	return list
}

// taxOn returns the tax that a shown amount holds, or bears on top, rounded.
func (p *pricer) taxOn(shown money.Amount, rate exact.Number) money.Amount {
	tax := shown.Number().Mul(rate)
	if p.studio.PricesShown.Or(book.Gross) == book.Gross {
		tax = tax.Quo(exact.Int(1).Add(rate))
	}
	return p.studio.Currency.Round(tax)
}

func (p *pricer) instalments() {
	terms := p.studio.Quote.Value
	total, cur := p.offer.Total, p.studio.Currency
	left := total
	add := func(i Instalment) {
		p.offer.Instalments = append(p.offer.Instalments, i)
		left = left.Sub(i.Amount)
	}
	if share := terms.Deposit.Or(measure.Percent{}).Fraction(); !share.IsZero() {
		add(Instalment{Due: p.on, Amount: cur.Round(total.Number().Mul(share)), Deposit: true})
	}
	for i, in := range terms.Instalments {
		due := p.event.Date.AddDays(-in.DaysBefore)
		if due.Before(p.on) {
			due = p.on
		}
		amount := cur.Round(total.Number().Mul(in.Share.Fraction()))
		if i == len(terms.Instalments)-1 {
			amount = left
		}
		add(Instalment{Due: due, Amount: amount})
	}
	if len(terms.Instalments) == 0 {
		add(Instalment{Due: p.event.Date, Amount: left})
	}
}
