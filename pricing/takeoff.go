package pricing

import (
	"fmt"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Edition counts the changes to how takeoffs are worked out, so that a bill
// that was kept is not mistaken for what this program would make of the recipe.
const Edition = 1

// Takeoff is everything a cake or extra takes, use by use: what its bill sums
// and what its explanation unfolds.
type Takeoff struct {
	ID       book.ID
	Name     string
	Made     int       // portions made
	Served   int       // portions served: made, less those of kept tiers
	Tiers    []Measure // of the cake, in order
	Uses     []Use     // what tiers, the whole cake, and its labour hours take themselves
	Makings  []Making  // components made for it, a user before what it uses
	Bill     Bill      // the sum of all uses
	Overhead book.OverheadMethod
}

// Use is one use of a resource.
type Use struct {
	Resource book.ID
	Kind     Kind
	Name     string // of the resource, in the user's words
	For      string // the task, or the appliance that burns energy; "" where the name says all
	Quantity exact.Number
	Unit     string
	Place    Place
	Working  []Fact
}

// Place is where in the cake something is used: in a tier, in the making of a
// component, or (neither) in the cake as a whole.
type Place struct {
	Number    int    // of the tier, the first being 1; two tiers may share a name
	Tier      string // its name
	Component string
}

// String names the place; the cake as a whole has no name here.
func (p Place) String() string {
	if p.Component != "" {
		return p.Component
	}
	return p.Tier
}

// Fact is one figure of a working, such as "rolled 1,520 cm2".
type Fact struct {
	Label   string       // what the figure is; may be empty
	Written string       // the figure as the book has it; where empty, Figure and Unit
	Figure  exact.Number // computed
	Unit    string
}

// Measure is the geometry of a tier: its drivers.
type Measure struct {
	Name     string
	Portions int // made
	Kept     bool
	drivers  map[book.Driver]exact.Number
}

// Making is a component made once for the whole cake.
type Making struct {
	Component *book.Component
	Needs     []Need       // where it is used
	Need      exact.Number // their sum
	Made      exact.Number // at least the smallest batch
	Batches   exact.Number // a whole number
	Output    exact.Number // of one batch as written
	Unit      string       // g or each
	Uses      []Use        // resources that making it takes itself
	Inputs    []Input      // components that it takes
}

// Need is an amount of a component that one place asks for.
type Need struct {
	Place    Place
	Quantity exact.Number
	Working  []Fact
}

// Input is an amount of another component that a making takes.
type Input struct {
	Component book.ID
	Name      string
	Quantity  exact.Number
	Unit      string
}

// Factor returns made ÷ output: what the lines of the recipe are multiplied by.
func (m Making) Factor() exact.Number { return m.Made.Quo(m.Output) }

// TakeCake compiles a cake of the book.
func TakeCake(x *book.Index, id book.ID) (Takeoff, error) {
	c, ok := x.Cake(id)
	if !ok {
		return Takeoff{}, fmt.Errorf("%q is no cake of the book", id)
	}
	t := taker{x: x, out: Takeoff{ID: c.ID, Name: c.Name}, needs: map[book.ID]*Making{}}
	whole, err := t.measure(c)
	if err != nil {
		return Takeoff{}, err
	}
	for i := range c.Tiers {
		tier := &c.Tiers[i]
		s := site{place: Place{Number: i + 1, Tier: tier.Name}, drivers: t.out.Tiers[i].drivers, tier: tier}
		if err := t.site(s, tier.Parts, tier.Tasks, tier.Equipment); err != nil {
			return Takeoff{}, err
		}
	}
	if err := t.site(site{drivers: whole}, c.Parts, c.Tasks, c.Equipment); err != nil {
		return Takeoff{}, err
	}
	if err := t.makeAll(); err != nil {
		return Takeoff{}, err
	}
	t.overhead(true)
	t.out.Bill = billOf(t.out.AllUses())
	return t.out, nil
}

// TakeExtra compiles an extra of the book for an order to which km are driven,
// there and back.
func TakeExtra(x *book.Index, id book.ID, km exact.Number) (Takeoff, error) {
	e, ok := x.Extra(id)
	if !ok {
		return Takeoff{}, fmt.Errorf("%q is no extra of the book", id)
	}
	t := taker{x: x, out: Takeoff{ID: e.ID, Name: e.Name}, needs: map[book.ID]*Making{}}
	drivers := map[book.Driver]exact.Number{book.PerOrder: exact.Int(1), book.PerKm: km}
	if err := t.site(site{drivers: drivers}, e.Parts, e.Tasks, e.Equipment); err != nil {
		return Takeoff{}, err
	}
	if err := t.makeAll(); err != nil {
		return Takeoff{}, err
	}
	t.overhead(false)
	t.out.Bill = billOf(t.out.AllUses())
	return t.out, nil
}

// AllUses returns the uses of the cake itself and of every making.
func (t Takeoff) AllUses() []Use {
	n := len(t.Uses)
	for _, m := range t.Makings {
		n += len(m.Uses)
	}
	uses := append(make([]Use, 0, n), t.Uses...)
	for _, m := range t.Makings {
		uses = append(uses, m.Uses...)
	}
	return uses
}

// minutes returns the labour minutes of all uses.
func (t Takeoff) minutes() exact.Number {
	var sum exact.Number
	add := func(uses []Use) {
		for i := range uses {
			if uses[i].Kind == Role {
				sum = sum.Add(uses[i].Quantity)
			}
		}
	}
	add(t.Uses)
	for _, m := range t.Makings {
		add(m.Uses)
	}
	return sum
}

// Make works out how a need of a component is made by itself: in how many
// batches, what that takes of its own, and what of other components, which are
// not made here. Need must be above 0.
func Make(x *book.Index, c *book.Component, need exact.Number) (Making, error) {
	m := Making{Component: c, Need: need}
	t := taker{x: x, needs: map[book.ID]*Making{}}
	if err := t.make(&m); err != nil {
		return Making{}, fmt.Errorf("%s: %w", c.Name, err)
	}
	return m, nil
}

type taker struct {
	x     *book.Index
	out   Takeoff
	needs map[book.ID]*Making
	order []book.ID // of needs, as first asked for
}

// site is a place with its drivers where parts, tasks and appliances are used.
type site struct {
	place   Place
	drivers map[book.Driver]exact.Number
	tier    *book.Tier // nil but on a tier
}

func (t *taker) site(s site, parts []book.Part, tasks []book.Task, equipment []book.EquipmentUse) error {
	for i := range parts {
		if err := t.part(s, &parts[i]); err != nil {
			return fmt.Errorf("%s: %w", t.where(s.place, "part", i), err)
		}
	}
	for i := range tasks {
		uses, err := t.task(s, &tasks[i], exact.Int(1))
		if err != nil {
			return fmt.Errorf("%s: %w", t.where(s.place, "task", i), err)
		}
		t.out.Uses = append(t.out.Uses, uses...)
	}
	for i := range equipment {
		uses, err := t.appliance(s, &equipment[i], exact.Int(1))
		if err != nil {
			return fmt.Errorf("%s: %w", t.where(s.place, "appliance", i), err)
		}
		t.out.Uses = append(t.out.Uses, uses...)
	}
	return nil
}

func (t *taker) where(p Place, what string, i int) string {
	if p.String() == "" {
		return fmt.Sprintf("%s, %s %d", t.out.Name, what, i+1)
	}
	return fmt.Sprintf("%s, %s, %s %d", t.out.Name, p, what, i+1)
}

// part books what a part takes: as a use of an ingredient, or as a need of a
// component.
func (t *taker) part(s site, p *book.Part) error {
	it, ok := t.x.Item(p.Use)
	if !ok {
		return fmt.Errorf("%q is no ingredient, part or component of the book", p.Use)
	}
	amount, working, err := t.amount(s, p, it)
	if err != nil {
		return err
	}
	quantity, err := t.x.Charge(it, amount)
	if err != nil {
		return err
	}
	if it.Component == nil {
		if !quantity.IsZero() {
			t.out.Uses = append(t.out.Uses, materialUse(it, quantity, s.place, bridge(it, amount, quantity, working)))
		}
		return nil
	}
	t.need(it.Component, Need{s.place, quantity, working})
	return nil
}

// materialUse is the use of an ingredient, or of the whole that a part comes
// from.
func materialUse(it book.Item, quantity exact.Number, place Place, working []Fact) Use {
	ing := it.Ingredient
	kind := Ingredient
	if ing.Kind.Or(book.Edible) == book.Packaging {
		kind = Packaging
	}
	use := Use{Resource: ing.ID, Kind: kind, Name: ing.Name, Quantity: quantity, Unit: ing.Measure.Base(), Place: place, Working: working}
	if it.Part != nil {
		use.For = it.Part.Name
	}
	return use
}

func (t *taker) need(c *book.Component, n Need) {
	m, ok := t.needs[c.ID]
	if !ok {
		m = &Making{Component: c}
		t.needs[c.ID] = m
		t.order = append(t.order, c.ID)
	}
	m.Needs = append(m.Needs, n)
	m.Need = m.Need.Add(n.Quantity)
}

// makeAll makes every component that is needed, users before what they use, so
// that each need is complete before it is made.
func (t *taker) makeAll() error {
	for _, c := range t.usersFirst() {
		m := t.needs[c.ID]
		if m == nil || m.Need.IsZero() {
			continue
		}
		if err := t.make(m); err != nil {
			return fmt.Errorf("%s: %w", c.Name, err)
		}
		t.out.Makings = append(t.out.Makings, *m)
	}
	return nil
}

// usersFirst lists the components asked for, and all that those use, each
// before every component that it uses.
func (t *taker) usersFirst() []*book.Component {
	var list []*book.Component // used ones first, as a depth-first walk leaves them
	seen := map[book.ID]bool{}
	var visit func(c *book.Component)
	visit = func(c *book.Component) {
		if seen[c.ID] {
			return
		}
		seen[c.ID] = true
		for _, line := range c.Lines {
			if it, ok := t.x.Item(line.Use); ok && it.Component != nil {
				visit(it.Component)
			}
		}
		list = append(list, c)
	}
	for i := len(t.order) - 1; i >= 0; i-- {
		visit(t.needs[t.order[i]].Component)
	}
	for i, j := 0, len(list)-1; i < j; i, j = i+1, j-1 {
		list[i], list[j] = list[j], list[i]
	}
	return list
}

func (t *taker) make(m *Making) error {
	c := m.Component
	it := book.Item{Component: c}
	output, err := t.x.Output(c)
	if err != nil {
		return err
	}
	m.Output, m.Unit = output.Number, output.Dimension.Base()
	m.Made, m.Batches = m.Need, exact.Int(1)
	if c.BatchMin.Given() {
		least, err := t.x.Charge(it, t.x.Amount(c.BatchMin))
		if err != nil {
			return err
		}
		m.Made = exact.Max(m.Made, least)
	}
	if c.BatchMax.Given() {
		most, err := t.x.Charge(it, t.x.Amount(c.BatchMax))
		if err != nil {
			return err
		}
		m.Batches = exact.FromBig(m.Made.Quo(most).Ceil())
	}
	if err := t.lines(m); err != nil {
		return err
	}
	return t.work(m, output.Dimension)
}

// lines books the lines of a recipe, × made ÷ output.
func (t *taker) lines(m *Making) error {
	factor := m.Factor()
	for i, line := range m.Component.Lines {
		it, ok := t.x.Item(line.Use)
		if !ok {
			return fmt.Errorf("line %d: %q is no ingredient, part or component of the book", i+1, line.Use)
		}
		amount := t.x.Amount(line.Qty)
		perBatch, err := t.x.Charge(it, amount)
		if err != nil {
			return fmt.Errorf("line %d: %w", i+1, err)
		}
		quantity := perBatch.Mul(factor)
		if quantity.IsZero() {
			continue
		}
		working := []Fact{{Written: line.Qty.String()}, {Label: "times", Figure: factor}}
		place := Place{Component: m.Component.Name}
		if it.Component == nil {
			m.Uses = append(m.Uses, materialUse(it, quantity, place, bridge(it, amount, perBatch, working)))
			continue
		}
		out, err := t.x.Output(it.Component)
		if err != nil {
			return err
		}
		m.Inputs = append(m.Inputs, Input{it.Component.ID, it.Component.Name, quantity, out.Dimension.Base()})
		t.need(it.Component, Need{place, quantity, working})
	}
	return nil
}

// work books the tasks and appliances of a making: setup for each batch, rate
// for each batch, kilogram or piece made.
func (t *taker) work(m *Making, d measure.Dimension) error {
	s := site{place: Place{Component: m.Component.Name}, drivers: map[book.Driver]exact.Number{book.PerBatch: m.Batches}}
	if d == measure.Mass {
		s.drivers[book.PerKg] = m.Made.Mul(exact.Frac(1, 1000))
	} else {
		s.drivers[book.PerEach] = m.Made
	}
	for i := range m.Component.Tasks {
		uses, err := t.task(s, &m.Component.Tasks[i], m.Batches)
		if err != nil {
			return fmt.Errorf("task %d: %w", i+1, err)
		}
		m.Uses = append(m.Uses, uses...)
	}
	for i := range m.Component.Equipment {
		uses, err := t.appliance(s, &m.Component.Equipment[i], m.Batches)
		if err != nil {
			return fmt.Errorf("appliance %d: %w", i+1, err)
		}
		m.Uses = append(m.Uses, uses...)
	}
	return nil
}

// overhead books the overhead that follows from the design: labour hours, or
// one a cake. A percentage has no quantity.
func (t *taker) overhead(isCake bool) {
	o := t.x.Book.Overhead
	if o == nil {
		return
	}
	t.out.Overhead = o.Method
	use := Use{Resource: book.OverheadID, Kind: Overhead, Name: "overhead"}
	switch {
	case o.Method == book.ByLabourHour:
		minutes := t.out.minutes()
		use.Quantity, use.Unit = minutes.Mul(exact.Frac(1, 60)), "h"
		use.Working = []Fact{{Label: "labour", Figure: minutes, Unit: "min"}}
	case o.Method == book.ByCake && isCake:
		use.Quantity, use.Unit = exact.Int(1), "cake"
	}
	if !use.Quantity.IsZero() {
		t.out.Uses = append(t.out.Uses, use)
	}
}
