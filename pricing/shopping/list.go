package shopping

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
)

// Request is what to shop for.
type Request struct {
	On     day.Date // the day whose prices count
	Orders []Order
	// OnHand is stock by ingredient, packaging or part of an ingredient, as
	// purchased. What the orders do not take is passed over.
	OnHand map[book.ID]measure.Quantity
	// Skip lists what nobody shops for, such as water from the mains.
	Skip []book.ID
	// OneSupplier keeps each thing to one supplier, even where packs of two
	// would be cheaper.
	OneSupplier bool
}

// Order is a job to shop for.
type Order struct {
	Ref    string // how the studio calls it: its number, its client
	Wanted []Wanted
}

// Wanted is a cake or extra of an order.
type Wanted struct {
	Takeoff  pricing.Takeoff // of today's book
	Frozen   pricing.Bill    // of a quote, in place of a takeoff where the recipe has left the book
	Quantity int
}

// List is all that has to be bought.
type List struct {
	On       day.Date
	Currency money.Currency
	Recovers bool    // whether the studio recovers the tax in prices, so that Cost is less than Paid
	Orders   []Order // what the list is for
	Lines    []Line  // everything the orders take, by category, then name
	Groups   []Group // what is bought, by supplier
	Skipped  []Line  // what was asked to be left out; of these only the need is known
	Sum      Sum
}

// Line is one thing that the orders take.
type Line struct {
	ID       book.ID
	Name     string
	Category string
	Kind     pricing.Kind // Ingredient or Packaging
	Unit     string       // of every quantity here: g, ml, each, mm or cm2, as purchased

	Used   exact.Number // as the recipes take it, before pieces are rounded up
	Needed exact.Number // what has to be there
	OnHand exact.Number
	ToBuy  exact.Number
	Picks  []Pick // empty where nothing is to buy
	Bought exact.Number
	Left   exact.Number // unopened or whole: on hand + bought − needed
	Sum    Sum

	For          []Share
	Split        *Split // of what is used in parts
	PartsUnknown bool   // it has parts, and a frozen bill did not say which are used
}

// Share is what one order takes of a line, before pieces are rounded up; parts
// count under their whole by mass, as they are costed.
type Share struct {
	Ref      string
	Quantity exact.Number
}

// Pick is so many packs of one offer.
type Pick struct {
	Offer
	Packs  exact.Number // a whole number above 0
	Bought exact.Number
	Sum    Sum
}

// Sum is money for packs. The shown amounts of lines add up to those of their
// supplier, and these to those of the list.
type Sum struct {
	Paid, Cost           exact.Number
	PaidShown, CostShown money.Amount
}

// Tax returns the recoverable tax in a sum, as shown.
func (s Sum) Tax() money.Amount { return s.PaidShown.Sub(s.CostShown) }

// Group is what is bought from one supplier.
type Group struct {
	Supplier string // "" where the prices name none
	Buys     []Buy  // by category, then name
	Sum      Sum
}

// Buy is a pick of a line.
type Buy struct {
	Line  Line
	Pick  Pick
	First bool // of the picks of its line in the whole list
}

// ListOf works out the shopping list of a request. Where a price, a mass or the
// like is missing the error names each.
func ListOf(x *book.Index, r Request) (List, error) {
	studio := x.Book.Studio
	list := List{On: r.On, Currency: studio.Currency, Recovers: studio.RecoversTax.Or(false), Orders: r.Orders}
	needs, err := needsOf(x, r.Orders)
	if err != nil {
		return List{}, err
	}
	stock, err := stockOf(x, r.OnHand)
	if err != nil {
		return List{}, err
	}
	var faults []error
	for _, n := range needs {
		line, err := n.line(x, stock)
		switch {
		case err != nil:
			faults = append(faults, err)
			continue
		case slices.Contains(r.Skip, n.ing.ID):
			line.Left = exact.Number{}
			list.Skipped = append(list.Skipped, line)
			continue
		}
		if err := line.pick(x, n.ing, r); err != nil {
			faults = append(faults, err)
		}
		list.Lines = append(list.Lines, line)
	}
	if len(faults) > 0 {
		return List{}, errors.Join(faults...)
	}
	slices.SortFunc(list.Lines, byCategory)
	slices.SortFunc(list.Skipped, byCategory)
	list.group()
	return list, nil
}

// byCategory orders lines by category, those without one last, then by name.
func byCategory(a, b Line) int {
	none := func(l Line) int {
		if l.Category == "" {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(none(a), none(b)), byWords(a.Category, b.Category), byWords(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
}

// byWords orders as readers expect, capitals among small letters.
func byWords(a, b string) int {
	return cmp.Or(cmp.Compare(strings.ToLower(a), strings.ToLower(b)), cmp.Compare(a, b))
}

// group sorts what is bought by supplier, adds up, and rounds what is shown.
func (l *List) group() {
	type place struct{ line, pick int }
	places := map[string][]place{}
	var suppliers []string
	for i, line := range l.Lines {
		for j, p := range line.Picks {
			name := p.Supplier()
			if places[name] == nil {
				suppliers = append(suppliers, name)
			}
			places[name] = append(places[name], place{i, j})
			l.Sum = l.Sum.plus(p.Sum)
		}
	}
	// Prices without a supplier last.
	slices.SortFunc(suppliers, func(a, b string) int {
		if (a == "") != (b == "") {
			return -cmp.Compare(a, b)
		}
		return byWords(a, b)
	})
	l.Sum.PaidShown, l.Sum.CostShown = l.Currency.Round(l.Sum.Paid), l.Currency.Round(l.Sum.Cost)
	sums := make([]*Sum, len(suppliers))
	l.Groups = make([]Group, len(suppliers))
	for g, name := range suppliers {
		l.Groups[g].Supplier = name
		for _, at := range places[name] {
			l.Groups[g].Sum = l.Groups[g].Sum.plus(l.Lines[at.line].Picks[at.pick].Sum)
		}
		sums[g] = &l.Groups[g].Sum
	}
	apportion(l.Sum, sums)
	for g, name := range suppliers {
		sums = sums[:0]
		for _, at := range places[name] {
			sums = append(sums, &l.Lines[at.line].Picks[at.pick].Sum)
		}
		apportion(l.Groups[g].Sum, sums)
	}
	first := map[int]bool{}
	for i := range l.Lines {
		for _, p := range l.Lines[i].Picks {
			l.Lines[i].Sum = l.Lines[i].Sum.plus(p.Sum)
		}
		first[i] = true
	}
	for g, name := range suppliers {
		for _, at := range places[name] {
			l.Groups[g].Buys = append(l.Groups[g].Buys, Buy{l.Lines[at.line], l.Lines[at.line].Picks[at.pick], first[at.line]})
			first[at.line] = false
		}
	}
}

func (s Sum) plus(t Sum) Sum {
	return Sum{s.Paid.Add(t.Paid), s.Cost.Add(t.Cost), s.PaidShown.Add(t.PaidShown), s.CostShown.Add(t.CostShown)}
}

// apportion rounds what sums show so that they add up to what total shows.
func apportion(total Sum, sums []*Sum) {
	paid, cost := make([]exact.Number, len(sums)), make([]exact.Number, len(sums))
	for i, s := range sums {
		paid[i], cost[i] = s.Paid, s.Cost
	}
	paidShown, costShown := money.Apportion(total.PaidShown, paid), money.Apportion(total.CostShown, cost)
	for i, s := range sums {
		s.PaidShown, s.CostShown = paidShown[i], costShown[i]
	}
}
