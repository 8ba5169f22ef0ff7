package naive

import (
	"fmt"
	"math/big"
	"sort"
)

// kinds in the order of a bill.
var kinds = []string{"ingredient", "packaging", "role", "energy", "equipment", "overhead"}

// entry is one line of a bill.
type entry struct {
	resource, kind, unit string
	quantity             *big.Rat
}

// bill gathers quantities while a cake or an extra is compiled.
type bill struct {
	book    *Book
	entries map[string]entry
	direct  map[string]*big.Rat // what parts need of each component, in its output unit
	made    map[string]*big.Rat // what is made of each component, once known
}

// Bill answers `bill CAKE`: the resources of one cake, by kind and id.
func (b *Book) Bill(cakeID string) (answer []map[string]any, err error) {
	defer catch(&err)
	answer = []map[string]any{}
	for _, e := range b.cakeBill(b.cake(cakeID)) {
		answer = append(answer, map[string]any{
			"resource": e.resource, "kind": e.kind, "quantity": text(e.quantity, 6), "unit": e.unit,
		})
	}
	return answer, nil
}

// cakeBill returns the bill of one cake.
func (b *Book) cakeBill(c *cake) []entry {
	bl := b.newBill()
	for i := range c.Tiers {
		t := &c.Tiers[i]
		bl.take(t.Parts, t.Tasks, t.Equipment, b.tierDrivers(c, *t), t)
	}
	bl.take(c.Parts, c.Tasks, c.Equipment, b.cakeDrivers(c), nil)
	bl.makeComponents()
	bl.addOverhead(true)
	return bl.sorted()
}

// extraBill returns the bill of one extra on an order with so many km.
func (b *Book) extraBill(x *extra, km *big.Rat) []entry {
	bl := b.newBill()
	bl.take(x.Parts, x.Tasks, x.Equipment, drivers{"order": one, "km": km}, nil)
	bl.makeComponents()
	bl.addOverhead(false)
	return bl.sorted()
}

func (b *Book) newBill() *bill {
	return &bill{book: b, entries: map[string]entry{}, direct: map[string]*big.Rat{}, made: map[string]*big.Rat{}}
}

// take adds what one level (a tier, the cake, an extra) uses.
func (bl *bill) take(parts []part, tasks []task, equipment []usage, d drivers, t *tier) {
	for _, p := range parts {
		q, dimension := bl.partQuantity(p, d, t)
		bl.use(p.Use, q, dimension)
	}
	bl.work(tasks, equipment, d, one)
}

// work adds tasks and equipment: setup × batches + rate × driver.
func (bl *bill) work(tasks []task, equipment []usage, d drivers, batches *big.Rat) {
	b := bl.book
	minutes := func(setup, rate, per string) *big.Rat {
		fixed := mul(b.in("time", setup), batches)
		if rate == "" {
			return fixed
		}
		driver, ok := d[per]
		if !ok {
			panic(fmt.Errorf("naive: no driver %q here", per))
		}
		return add(fixed, mul(b.in("time", rate), driver))
	}
	for _, t := range tasks {
		if t.Wait != "" {
			continue // scheduled, not charged
		}
		bl.add(t.Role, "role", minutes(t.Setup, t.Rate, t.Per), "min")
	}
	for _, u := range equipment {
		m := minutes(u.Setup, u.Rate, u.Per)
		bl.add(u.Use, "equipment", m, "min")
		a := b.appliance(u.Use)
		kWh := mul(b.in("power", a.Power), percentOr(a.Duty, "100 %"), div(m, whole(60)))
		bl.add("energy", "energy", kWh, "kWh")
	}
}

// partQuantity returns how much a part uses, and in which dimension.
func (bl *bill) partQuantity(p part, d drivers, t *tier) (*big.Rat, string) {
	b := bl.book
	withWaste := add(one, percentOr(p.Waste, "0 %"))
	switch {
	case p.Qty != "":
		q, dimension := b.quantity(p.Qty)
		if p.Per != "" {
			driver, ok := d[p.Per]
			if !ok {
				panic(fmt.Errorf("naive: no driver %q here", p.Per))
			}
			q = mul(q, driver)
		}
		return mul(q, withWaste), dimension
	case p.Layers != 0:
		return mul(whole(p.Layers), d["top"], b.cm(p.Thick), b.densityOf(p.Use), withWaste), "mass"
	case p.Coat != "":
		on := p.On
		if on == "" {
			on = "surface"
		}
		return mul(d[on], b.cm(p.Coat), b.densityOf(p.Use), withWaste), "mass"
	case p.Sheet != "":
		A, P, H := b.area(t.shape), b.perimeter(t.shape), b.cm(t.Height)
		x := add(H, b.cm(p.Overhang))
		rolled := add(A, mul(P, x), mul(pi, x, x))
		covered := add(A, mul(P, H))
		charged := add(covered, mul(sub(rolled, covered), sub(one, percentOr(p.Reuse, "0 %"))))
		return mul(charged, b.cm(p.Sheet), b.densityOf(p.Use), withWaste), "mass"
	}
	panic(fmt.Errorf("naive: part %q says no quantity", p.Use))
}

// use adds a quantity of an ingredient or a part to the bill, or of a component
// to the needs.
func (bl *bill) use(id string, q *big.Rat, dimension string) {
	b := bl.book
	if c := b.component(id); c != nil {
		if bl.direct[id] == nil {
			bl.direct[id] = zero
		}
		bl.direct[id] = add(bl.direct[id], b.inOutputUnit(c, q, dimension))
		return
	}
	ing, _ := b.ingredientOf(id)
	kind := ing.Kind
	if kind == "" {
		kind = "ingredient"
	}
	bl.add(ing.ID, kind, b.purchased(id, q, dimension), baseUnits[ing.Measure])
}

// makeComponents adds what making the needs takes, once each.
func (bl *bill) makeComponents() {
	b := bl.book
	for i := range b.Components {
		c := &b.Components[i]
		made := bl.madeOf(c)
		if made.Sign() == 0 {
			continue
		}
		output, dimension := b.output(c)
		for _, l := range c.Lines {
			if b.component(l.Use) != nil {
				continue // its own need holds it
			}
			q, d := b.quantity(l.Qty)
			bl.use(l.Use, mul(q, div(made, output)), d)
		}
		batches := one
		if c.BatchMax != "" {
			batches = ceil(div(made, b.inOutputUnitText(c, c.BatchMax)))
		}
		d := drivers{"batch": batches}
		if dimension == "mass" {
			d["kg"] = div(made, whole(1000))
		} else {
			d["each"] = made
		}
		bl.work(c.Tasks, c.Equipment, d, batches)
	}
}

// madeOf returns how much of a component is made: max(need, batch_min), or
// nothing where nothing is needed.
func (bl *bill) madeOf(c *component) *big.Rat {
	if known := bl.made[c.ID]; known != nil {
		return known
	}
	made := bl.needOf(c)
	if made.Sign() > 0 && c.BatchMin != "" {
		made = larger(made, bl.book.inOutputUnitText(c, c.BatchMin))
	}
	bl.made[c.ID] = made
	return made
}

// needOf sums a component's need over the parts and over all other components
// that are made with it.
func (bl *bill) needOf(c *component) *big.Rat {
	b := bl.book
	need := zero
	if bl.direct[c.ID] != nil {
		need = bl.direct[c.ID]
	}
	for i := range b.Components {
		other := &b.Components[i]
		for _, l := range other.Lines {
			if l.Use != c.ID {
				continue
			}
			output, _ := b.output(other)
			scale := div(bl.madeOf(other), output)
			need = add(need, mul(b.inOutputUnitText(c, l.Qty), scale))
		}
	}
	return need
}

// addOverhead adds the overhead line of the studio's method, if it has one.
func (bl *bill) addOverhead(isCake bool) {
	switch bl.book.Overhead.Method {
	case "labour hour":
		bl.add("overhead", "overhead", div(labourMinutes(bl.sorted()), whole(60)), "h")
	case "cake":
		if isCake {
			bl.add("overhead", "overhead", one, "cake")
		}
	}
}

// labourMinutes sums the minutes of all roles.
func labourMinutes(entries []entry) *big.Rat {
	sum := zero
	for _, e := range entries {
		if e.kind == "role" {
			sum = add(sum, e.quantity)
		}
	}
	return sum
}

func (bl *bill) add(resource, kind string, q *big.Rat, unit string) {
	e, ok := bl.entries[resource]
	if !ok {
		e = entry{resource: resource, kind: kind, unit: unit, quantity: zero}
	}
	e.quantity = add(e.quantity, q)
	bl.entries[resource] = e
}

// sorted returns the entries that are not zero, by kind and then by id.
func (bl *bill) sorted() []entry {
	var sorted []entry
	for _, kind := range kinds {
		var ofKind []entry
		for _, e := range bl.entries {
			if e.kind == kind && e.quantity.Sign() != 0 {
				ofKind = append(ofKind, e)
			}
		}
		sort.Slice(ofKind, func(i, j int) bool { return ofKind[i].resource < ofKind[j].resource })
		sorted = append(sorted, ofKind...)
	}
	return sorted
}
