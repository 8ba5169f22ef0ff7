package quote

import (
	"cmp"
	"fmt"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
)

// ChangeKind is what a revision changed.
type ChangeKind string

// The kinds of change. What Before and After of a [Change] hold: dates as
// 2027-06-12, counts as digits, money as a plain decimal, else words.
const (
	ClientChanged    ChangeKind = "client"     // names
	EventMoved       ChangeKind = "event"      // dates
	VenueChanged     ChangeKind = "venue"      // words, "" for none
	GuestsChanged    ChangeKind = "guests"     // counts, 0 for not said
	OptionAdded      ChangeKind = "option new" // After: its total
	OptionRemoved    ChangeKind = "option out" // Before: its total
	OptionTaken      ChangeKind = "option"     // Option: the one that is gone on with alone
	LineAdded        ChangeKind = "line new"   // After: its quantity
	LineRemoved      ChangeKind = "line out"   // Before: its quantity
	QuantityChanged  ChangeKind = "quantity"   // counts
	UnitPriceChanged ChangeKind = "unit price" // money
	DesignChanged    ChangeKind = "design"     // of a cake: its tiers
	PortionsChanged  ChangeKind = "portions"   // of a cake: served
	DiscountChanged  ChangeKind = "discount"   // money, 0 for none
	MinimumChanged   ChangeKind = "minimum"    // money, 0 for none
	TaxChanged       ChangeKind = "tax"        // money: of prices shown without it
	TermsChanged     ChangeKind = "terms"
	TotalChanged     ChangeKind = "total" // money
)

// Change is one difference between a revision and the one before it.
type Change struct {
	Kind   ChangeKind   `json:"kind"`
	Option string       `json:"option,omitempty"` // that it belongs to
	Name   string       `json:"name,omitempty"`   // of the cake or extra concerned
	Before string       `json:"before,omitempty"`
	After  string       `json:"after,omitempty"`
	Money  money.Amount `json:"money,omitzero"` // what it adds to the total
}

// Compare returns what changed from one revision to the next, in words and in
// money: within an option, the Money of its lines, discount, minimum and tax
// add up to that of its total. Options are the same where their names are.
func Compare(before, after Quote) []Change {
	c := comparison{}
	a, b := before.Offer.Heading, after.Offer.Heading
	c.words(ClientChanged, a.Client.Name, b.Client.Name)
	c.words(EventMoved, a.EventDate.String(), b.EventDate.String())
	c.words(VenueChanged, a.Venue, b.Venue)
	if a.Guests != b.Guests {
		c.add(Change{Kind: GuestsChanged, Before: fmt.Sprint(a.Guests), After: fmt.Sprint(b.Guests)})
	}
	if i, ok := before.goesOn(after); ok {
		c.add(Change{Kind: OptionTaken, Name: before.Options[i].Name})
		before = before.Choose(i)
	}
	was, is := before.Choices(), after.Choices()
	if len(was) == 1 && len(is) == 1 {
		c.sale(was[0].Offer.Sale, is[0].Offer.Sale)
	} else {
		c.options(was, is)
	}
	c.option = ""
	if !slices.Equal(a.Studio.Terms, b.Studio.Terms) || !sameFees(a.Cancellation, b.Cancellation) {
		c.add(Change{Kind: TermsChanged})
	}
	return c.list
}

// goesOn returns the option that a single offer is made of: the one of the same
// cakes.
func (q Quote) goesOn(after Quote) (int, bool) {
	if len(after.Options) > 0 {
		return 0, false
	}
	for i, o := range q.Options {
		if slices.EqualFunc(o.cakes(), after.Offer.cakes(), func(a, b Line) bool { return a.ID == b.ID }) {
			return i, true
		}
	}
	return 0, false
}

func sameFees(a, b []CancellationFee) bool {
	return slices.EqualFunc(a, b, func(x, y CancellationFee) bool {
		return x.WithinDays == y.WithinDays && x.Share.Fraction().Equal(y.Share.Fraction())
	})
}

// comparison gathers changes; option is the one at hand.
type comparison struct {
	list   []Change
	option string
}

func (c *comparison) add(change Change) {
	change.Option = c.option
	c.list = append(c.list, change)
}

func (c *comparison) words(kind ChangeKind, before, after string) {
	if before != after {
		c.add(Change{Kind: kind, Before: before, After: after})
	}
}

func (c *comparison) options(was, is []Quote) {
	find := func(list []Quote, name string) int {
		return slices.IndexFunc(list, func(q Quote) bool { return q.Chosen == name })
	}
	for _, q := range is {
		c.option = q.Chosen
		if i := find(was, q.Chosen); i >= 0 {
			c.sale(was[i].Offer.Sale, q.Offer.Sale)
		} else {
			c.add(Change{Kind: OptionAdded, After: q.Offer.Total.String()})
		}
	}
	for _, q := range was {
		if c.option = q.Chosen; find(is, q.Chosen) < 0 {
			c.add(Change{Kind: OptionRemoved, Before: q.Offer.Total.String()})
		}
	}
}

func (c *comparison) sale(was, is Sale) {
	old, new := was.wanted(), is.wanted()
	for _, l := range new {
		c.line(old, l)
	}
	for _, l := range old {
		if find(new, l) < 0 {
			c.add(Change{Kind: LineRemoved, Name: l.Name, Before: fmt.Sprint(l.Quantity), Money: l.Amount.Neg()})
		}
	}
	for _, d := range is.Designs {
		if i := slices.IndexFunc(was.Designs, func(o Design) bool { return o.Cake == d.Cake }); i >= 0 {
			c.design(was.Designs[i], d)
		}
	}
	c.sums(DiscountChanged, lineSum(was, DiscountLine), lineSum(is, DiscountLine))
	c.sums(MinimumChanged, lineSum(was, MinimumLine), lineSum(is, MinimumLine))
	// Where prices include tax, the lines alone make the total.
	c.sums(TaxChanged, was.Total.Sub(allLines(was)), is.Total.Sub(allLines(is)))
	c.sums(TotalChanged, was.Total, is.Total)
}

// line compares a line of the new revision with its like in the old one.
func (c *comparison) line(old []Line, l Line) {
	i := find(old, l)
	if i < 0 {
		c.add(Change{Kind: LineAdded, Name: l.Name, After: fmt.Sprint(l.Quantity), Money: l.Amount})
		return
	}
	was := old[i]
	// The change of quantity at the old price, then that of the price.
	if was.Quantity != l.Quantity {
		c.add(Change{Kind: QuantityChanged, Name: l.Name, Before: fmt.Sprint(was.Quantity), After: fmt.Sprint(l.Quantity),
			Money: was.UnitPrice.Times(l.Quantity - was.Quantity)})
	}
	if !was.UnitPrice.Equal(l.UnitPrice) {
		c.add(Change{Kind: UnitPriceChanged, Name: l.Name, Before: was.UnitPrice.String(), After: l.UnitPrice.String(),
			Money: l.UnitPrice.Sub(was.UnitPrice).Times(l.Quantity)})
	}
}

func (c *comparison) design(was, is Design) {
	if !slices.EqualFunc(was.Tiers, is.Tiers, sameTier) {
		c.add(Change{Kind: DesignChanged, Name: is.Name})
	}
	if was.Served != is.Served {
		c.add(Change{Kind: PortionsChanged, Name: is.Name, Before: fmt.Sprint(was.Served), After: fmt.Sprint(is.Served)})
	}
}

func sameTier(a, b Tier) bool {
	return a.Name == b.Name && a.Dummy == b.Dummy && a.Kept == b.Kept && a.Form.Shape == b.Form.Shape &&
		sameSolid(a.Form, b.Form)
}

func sameSolid(a, b book.Form) bool {
	x, y := a.Solid(), b.Solid()
	equal := func(p, q exact.Number) bool { return p.Equal(q) }
	return equal(x.Volume(), y.Volume()) && equal(x.Outline.Perimeter(), y.Outline.Perimeter()) && equal(x.Outline.Area(), y.Outline.Area())
}

func (c *comparison) sums(kind ChangeKind, was, is money.Amount) {
	if !was.Equal(is) {
		c.add(Change{Kind: kind, Before: was.String(), After: is.String(), Money: is.Sub(was)})
	}
}

// wanted lists the cakes and extras of a sale, those of several lines added up:
// within a sale one of them has one price.
func (s Sale) wanted() []Line {
	var list []Line
	for _, l := range s.Lines {
		if l.Kind != CakeLine && l.Kind != ExtraLine {
			continue
		}
		if i := find(list, l); i >= 0 {
			list[i].Quantity += l.Quantity
			list[i].Amount = list[i].Amount.Add(l.Amount)
			continue
		}
		list = append(list, l)
	}
	return list
}

// cakes lists the cakes of a sale, each once, by their ids.
func (s Sale) cakes() []Line {
	list := slices.DeleteFunc(s.wanted(), func(l Line) bool { return l.Kind != CakeLine })
	slices.SortFunc(list, func(a, b Line) int { return cmp.Compare(a.ID, b.ID) })
	return list
}

// find returns where the line of the same cake or extra is.
func find(lines []Line, l Line) int {
	return slices.IndexFunc(lines, func(o Line) bool { return o.Kind == l.Kind && o.ID == l.ID })
}

func lineSum(s Sale, kind LineKind) money.Amount {
	var sum money.Amount
	for _, l := range s.Lines {
		if l.Kind == kind {
			sum = sum.Add(l.Amount)
		}
	}
	return sum
}

func allLines(s Sale) money.Amount {
	var sum money.Amount
	for _, l := range s.Lines {
		sum = sum.Add(l.Amount)
	}
	return sum
}
