package schedule

import (
	"cmp"
	"slices"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Card is a recipe scaled to one batch of a day's making.
type Card struct {
	Day       day.Date
	Component Named
	Kind      string // the book's free word
	Batches   int    // to make of this size
	PerBatch  exact.Number
	Unit      string // of PerBatch: g or each
	Lines     []CardLine
	Tasks     []string // in order, waits too
	Method    string
	Keeps     measure.Quantity // as the book states it, or not given
	GoodUntil Moment           // of the making that is good for the shortest
	HotSugar  bool
	RawEgg    []string // names of what holds raw egg, the component itself first
	Makings   []int    // numbers in the plan
	Orders    []string
}

// CardLine is how much of one thing goes into a batch.
type CardLine struct {
	Name    string
	Note    string
	Grams   exact.Number // usable: after trimming
	Weighed bool         // Grams is known
	Amount  exact.Number // as the recipe measures it, where that is not by mass
	Unit    string       // of Amount: ml, each, mm, cm2; "" where it is by mass
	Spoons  Spoons       // zero where no density leads to a volume
}

// Spoons is a volume in the household's cups and spoons, to a quarter.
type Spoons struct {
	Quarters int
	Unit     string // cup, tbsp, tsp
}

// Cards returns a recipe card for each component and day of a plan; batches of
// one size share a card.
func Cards(x *book.Index, p Plan) ([]Card, error) {
	var cards []Card
	for _, m := range p.Makings {
		it, ok := x.Item(m.Component.ID)
		if !ok || it.Component == nil {
			continue // a book other than that of the plan
		}
		same := func(c Card) bool {
			return c.Day == m.Start.Day && c.Component == m.Component && c.PerBatch.Equal(m.PerBatch())
		}
		if i := slices.IndexFunc(cards, same); i >= 0 {
			cards[i].add(m)
			continue
		}
		card, err := cardOf(x, it.Component, m)
		if err != nil {
			return nil, err
		}
		cards = append(cards, card)
	}
	slices.SortStableFunc(cards, func(a, b Card) int { return cmp.Compare(dayNumber(a.Day), dayNumber(b.Day)) })
	return cards, nil
}

func (c *Card) add(m Making) {
	c.Batches += m.Batches
	c.Makings = append(c.Makings, m.Number)
	c.Orders = union(c.Orders, m.Orders)
	if c.GoodUntil != (Moment{}) && m.GoodUntil.Before(c.GoodUntil) {
		c.GoodUntil = m.GoodUntil
	}
}

func cardOf(x *book.Index, c *book.Component, m Making) (Card, error) {
	out, err := x.Output(c)
	if err != nil {
		return Card{}, err
	}
	card := Card{
		Day: m.Start.Day, Component: m.Component, Kind: c.Kind.Or(""), Batches: m.Batches, PerBatch: m.PerBatch(), Unit: m.Unit,
		Method: c.Method.Or(""), Keeps: c.Keeps, GoodUntil: m.GoodUntil, HotSugar: HotSugar(c), RawEgg: rawEgg(x, c),
		Makings: []int{m.Number}, Orders: m.Orders,
	}
	for _, t := range c.Tasks {
		card.Tasks = append(card.Tasks, t.Name)
	}
	factor := m.PerBatch().Quo(out.Number)
	for _, line := range c.Lines {
		if it, ok := x.Item(line.Use); ok {
			card.Lines = append(card.Lines, cardLine(x, it, line, factor))
		}
	}
	return card, nil
}

func cardLine(x *book.Index, it book.Item, line book.Line, factor exact.Number) CardLine {
	amount := x.Amount(line.Qty)
	amount.Number = amount.Number.Mul(factor)
	l := CardLine{Name: it.Name(), Note: line.Note.Or("")}
	if amount.Dimension != measure.Mass {
		l.Amount, l.Unit = amount.Number, amount.Dimension.Base()
	}
	if grams, err := x.UsableMass(it, amount); err == nil {
		l.Grams, l.Weighed = grams, true
	}
	switch density, err := x.Density(it); {
	case amount.Dimension == measure.Volume:
		l.Spoons = spoons(amount.Number, x.Household())
	case amount.Dimension == measure.Mass && err == nil && !density.IsZero():
		l.Spoons = spoons(amount.Number.Quo(density), x.Household())
	}
	return l
}

// spoons returns ml in the largest measure of which there is enough: cups from
// a quarter, tablespoons from one, else teaspoons, each to the nearest quarter.
// Less than an eighth of a teaspoon is none.
func spoons(ml exact.Number, h measure.Household) Spoons {
	for _, s := range []struct{ unit, least string }{{"cup", "0.25 cup"}, {"tbsp", "1 tbsp"}, {"tsp", "0.125 tsp"}} {
		if least := measure.Must(s.least).Base(h); ml.Cmp(least) < 0 {
			continue
		}
		quarter := measure.Must("0.25 " + s.unit).Base(h)
		n := ml.Quo(quarter).Add(exact.Frac(1, 2)).Floor() // halves go up
		if !n.IsInt64() || n.Int64() > 1<<30 {
			return Spoons{}
		}
		return Spoons{int(n.Int64()), s.unit}
	}
	return Spoons{}
}

// rawEgg names what brings raw egg into a component: itself, by its flag, and
// everything flagged that goes into it, at any depth.
func rawEgg(x *book.Index, c *book.Component) []string {
	var names []string
	seen := map[book.ID]bool{}
	var visit func(c *book.Component)
	visit = func(c *book.Component) {
		if seen[c.ID] {
			return
		}
		seen[c.ID] = true
		if slices.Contains(c.Flags, book.RawEgg) {
			names = append(names, c.Name)
		}
		for _, line := range c.Lines {
			switch it, ok := x.Item(line.Use); {
			case !ok:
			case it.Component != nil:
				visit(it.Component)
			case slices.Contains(it.Ingredient.Flags, book.RawEgg) && !seen[it.Ingredient.ID]:
				seen[it.Ingredient.ID] = true
				names = append(names, it.Name())
			}
		}
	}
	visit(c)
	return names
}
