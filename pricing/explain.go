package pricing

import (
	"fmt"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Node is one figure of an explanation and what it is made of. Where a node
// has children its amount is their sum, exactly.
type Node struct {
	Label    string
	Working  []Fact       // how the quantity came about
	Quantity exact.Number // in Unit; no quantity where Unit is ""
	Unit     string
	PerUnit  exact.Number // money
	Price    string       // where PerUnit comes from, as the book has it
	Amount   exact.Number // money
	Children []Node
}

// Explanation unfolds a costing: first the cost, then the components that it
// mentions. It is read off the same takeoff and rates as the cost.
type Explanation struct {
	Cost Node
	// Made has a node for each component made. Its amount is contained in
	// Cost already, at every place that uses the component, by the share of
	// the need that the place has.
	Made []Node
}

// ByPlace explains a costing by where in the cake the cost arises: each tier,
// the cake as a whole, the overhead.
func ByPlace(c Costing) (Explanation, error) {
	e := explainer{c: c}
	made := e.makings()
	root := Node{Label: c.Cake.Name}
	for i, tier := range c.Takeoff.Tiers {
		root.add(e.place("tier "+tier.Name, Place{Number: i + 1, Tier: tier.Name}))
	}
	root.add(e.place("the cake as a whole", Place{}))
	root.add(e.overhead())
	return Explanation{root, made}, e.err
}

// ByClass explains a costing by class of cost, then by resource, then by use.
func ByClass(c Costing) (Explanation, error) {
	e := explainer{c: c}
	made := e.makings()
	root := Node{Label: c.Cake.Name}
	classes := []struct {
		label string
		kinds []Kind
	}{
		{"ingredients", []Kind{Ingredient}}, {"packaging", []Kind{Packaging}},
		{"labour", []Kind{Role}}, {"equipment and energy", []Kind{Energy, Equipment}},
	}
	uses := c.Takeoff.AllUses()
	for _, class := range classes {
		node := Node{Label: class.label}
		for _, line := range c.Takeoff.Bill {
			for _, kind := range class.kinds {
				if line.Kind == kind {
					node.add(e.resource(line, uses))
				}
			}
		}
		root.add(node)
	}
	root.add(e.overhead())
	return Explanation{root, made}, e.err
}

// add appends a child that has something to say and counts its amount.
func (n *Node) add(child Node) {
	if child.Amount.IsZero() && len(child.Children) == 0 && child.Unit == "" {
		return
	}
	n.Children = append(n.Children, child)
	n.Amount = n.Amount.Add(child.Amount)
}

type explainer struct {
	c       Costing
	perUnit map[book.ID]exact.Number // what a needed gram or piece of a component costs
	err     error                    // the first rate that was missing
}

// makings explains every component made, in the takeoff's order, and learns
// what a unit of each costs. A surplus is charged to what is needed.
func (e *explainer) makings() []Node {
	made := make([]Node, len(e.c.Takeoff.Makings))
	e.perUnit = map[book.ID]exact.Number{}
	// Used components come last in the takeoff and are costed first.
	for i := len(made) - 1; i >= 0; i-- {
		m := &e.c.Takeoff.Makings[i]
		node := Node{Label: m.Component.Name, Quantity: m.Need, Unit: m.Unit, Working: making(m)}
		for _, in := range m.Inputs {
			node.add(e.component(in.Component, in.Name, in.Quantity, in.Unit, nil))
		}
		for _, u := range m.Uses {
			node.add(e.use(u))
		}
		e.perUnit[m.Component.ID] = node.Amount.Quo(m.Need)
		node.PerUnit = e.perUnit[m.Component.ID]
		made[i] = node
	}
	return made
}

// making says how much of a component is made, and in how many batches.
func making(m *Making) []Fact {
	facts := []Fact{{Label: "needed", Figure: m.Need, Unit: m.Unit}}
	if !m.Made.Equal(m.Need) {
		facts = append(facts, Fact{Label: "made", Figure: m.Made, Unit: m.Unit})
	}
	facts = append(facts, Fact{Label: "in batches", Figure: m.Batches})
	return append(facts, Fact{Label: "the recipe gives", Figure: m.Output, Unit: m.Unit}, Fact{Label: "so lines are taken times", Figure: m.Factor()})
}

// place explains what one place takes itself.
func (e *explainer) place(label string, p Place) Node {
	node := Node{Label: label}
	for _, m := range e.c.Takeoff.Makings {
		for _, n := range m.Needs {
			if n.Place == p {
				node.add(e.component(m.Component.ID, m.Component.Name, n.Quantity, m.Unit, n.Working))
			}
		}
	}
	for _, u := range e.c.Takeoff.Uses {
		if u.Place == p && u.Kind != Overhead {
			node.add(e.use(u))
		}
	}
	return node
}

func (e *explainer) component(id book.ID, name string, quantity exact.Number, unit string, working []Fact) Node {
	per := e.perUnit[id]
	return Node{Label: name, Working: working, Quantity: quantity, Unit: unit, PerUnit: per, Price: "made as below", Amount: quantity.Mul(per)}
}

func (e *explainer) use(u Use) Node {
	rate, err := e.c.Rates.Of(u.Resource, u.Kind)
	if err != nil && e.err == nil {
		e.err = err
	}
	return Node{
		Label: useLabel(u), Working: u.Working, Quantity: u.Quantity, Unit: u.Unit,
		PerUnit: rate.PerUnit, Price: priceText(rate), Amount: u.Quantity.Mul(rate.PerUnit),
	}
}

func useLabel(u Use) string {
	switch u.Kind {
	case Role:
		return fmt.Sprintf("%s (%s)", u.For, u.Name)
	case Energy:
		return "energy for " + u.For
	}
	if u.For != "" {
		return u.For
	}
	return u.Name
}

func priceText(r Rate) string {
	if r.From.IsZero() {
		return r.Price
	}
	return fmt.Sprintf("%s, from %s", r.Price, r.From)
}

// resource explains one line of the bill by its uses, which are among those of
// the whole cake.
func (e *explainer) resource(line BillLine, uses []Use) Node {
	rate, err := e.c.Rates.Of(line.Resource, line.Kind)
	if err != nil && e.err == nil {
		e.err = err
	}
	node := Node{Quantity: line.Quantity, Unit: line.Unit, PerUnit: rate.PerUnit, Price: priceText(rate)}
	for _, u := range uses {
		if u.Resource != line.Resource {
			continue
		}
		node.Label = u.Name
		child := e.use(u)
		place := u.Place.String()
		if place == "" {
			place = "the cake as a whole"
		}
		child.Label = place
		if u.For != "" {
			child.Label += ", " + u.For
		}
		node.add(child)
	}
	return node
}

// overhead explains the overhead: hours or a cake at its rate, or a share of
// all other costs.
func (e *explainer) overhead() Node {
	for _, u := range e.c.Takeoff.Uses {
		if u.Kind == Overhead {
			return e.use(u)
		}
	}
	share, err := e.c.Rates.Share()
	if err != nil && e.err == nil {
		e.err = err
	}
	if share.IsZero() {
		return Node{}
	}
	others := e.c.Cost.Total().Sub(e.c.Cost.Overhead)
	return Node{
		Label: "overhead", Amount: e.c.Cost.Overhead,
		Working: []Fact{{Label: "share", Figure: share.Mul(exact.Int(100)), Unit: "%"}, {Label: "of all other costs", Figure: others}},
	}
}

// Say puts a working in words: "rolled 1,520 cm2, covered 1,175 cm2, offcuts
// reused 60 %, by 4 mm, of 1.35 g/ml".
func Say(working []Fact) string {
	words := make([]string, len(working))
	for i, f := range working {
		words[i] = f.String()
	}
	return strings.Join(words, ", ")
}

// String puts a fact in words.
func (f Fact) String() string {
	text := f.Written
	if text == "" {
		text = strings.TrimSpace(Brief(f.Figure) + " " + f.Unit)
	}
	return strings.TrimSpace(f.Label + " " + text)
}

// Brief prints n for reading, not for reckoning: about four significant
// digits, thousands marked by a comma.
func Brief(n exact.Number) string {
	if n.Sign() < 0 {
		return "-" + Brief(n.Neg())
	}
	places := int32(3)
	for i := 1; places > 0 && n.Cmp(tenfold[i]) >= 0; i++ {
		places--
	}
	for i := 0; places < 12 && n.Sign() > 0 && n.Cmp(tenths[i]) < 0; i++ {
		places++
	}
	whole, fraction, _ := strings.Cut(n.Fixed(places), ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if fraction = strings.TrimRight(fraction, "0"); fraction != "" {
		return whole + "." + fraction
	}
	return whole
}

// tenfold and tenths are 1, 10, 100, 1000 and 1, 1/10, 1/100 and so on.
var (
	tenfold = []exact.Number{exact.Int(1), exact.Int(10), exact.Int(100), exact.Int(1000)}
	tenths  = func() (list []exact.Number) {
		for i, limit := 0, exact.Int(1); i < 10; i, limit = i+1, limit.Mul(exact.Frac(1, 10)) {
			list = append(list, limit)
		}
		return list
	}()
)
