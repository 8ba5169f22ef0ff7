package book

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// deepest is how many components may stand in each other. Four are common.
const deepest = 64

func (c checker) components(list []Component) {
	for i := range list {
		m := &list[i]
		if !c.looksAt("components", i) {
			continue
		}
		path := c.at("components", i)
		c.component(path, m)
		if c.endless[m.ID] || c.damage.objects[m.ID] {
			continue // its output would be asked of itself, or of lines unread
		}
		c.output(path, m)
		c.componentDrivers(path, m)
	}
}

func (c checker) component(path string, m *Component) {
	c.name(path, m.Name)
	c.below100(record.Join(path, "loss"), m.Loss)
	if m.Yield.Given() {
		if m.Loss.Given {
			c.fault(record.Join(path, "loss"), "cannot stand beside yield, which is measured after all losses; remove one")
		}
		if d := m.Yield.Dimension(); d != measure.Mass && d != measure.Count {
			c.fault(record.Join(path, "yield"), "%q must be a mass or a count; weigh one batch", m.Yield)
		}
		c.positive(record.Join(path, "yield"), m.Yield, "lines are scaled by it")
	}
	if m.Mould != nil {
		if m.Density.Known() {
			c.fault(record.Join(path, "density"), "cannot stand beside mould, which gives the density; remove one")
		}
		c.mould(record.Join(path, "mould"), *m.Mould)
	}
	c.dimension(record.Join(path, "keeps"), m.Keeps, measure.Time)
	for i, line := range m.Lines {
		c.use(record.Item(record.Join(path, "lines"), i), "qty", line.Use, line.Qty)
	}
	c.tasks(path, m.Tasks, ComponentDrivers)
	c.equipment(path, m.Equipment, ComponentDrivers)
}

// output checks that one batch gives a known amount, and that batch limits
// are in its measure.
func (c checker) output(path string, m *Component) {
	if !m.Yield.Given() {
		sound := true
		for i, line := range m.Lines {
			it, ok := c.x.Item(line.Use)
			if !ok || c.damage.hit(it) {
				sound = false
				continue
			}
			if _, err := c.x.Charge(it, c.x.Amount(line.Qty)); err != nil {
				sound = false // reported with the line
				continue
			}
			if _, err := c.x.UsableMass(it, c.x.Amount(line.Qty)); err != nil {
				sound = false
				if !errors.Is(err, ErrReported) {
					c.fault(record.Join(record.Item(record.Join(path, "lines"), i), "qty"), "%s", err)
				}
			}
		}
		if !sound {
			return
		}
	}
	if _, err := c.x.Output(m); err != nil {
		if !errors.Is(err, ErrReported) {
			c.fault(record.Join(path, "lines"), "%s", err)
		}
		return
	}
	it := Item{Component: m}
	limit := func(key string, q measure.Quantity) {
		if !q.Given() {
			return
		}
		if _, err := c.x.Charge(it, c.x.Amount(q)); err != nil {
			c.fault(record.Join(path, key), "%s", err)
		}
	}
	limit("batch_min", m.BatchMin)
	limit("batch_max", m.BatchMax)
	c.positive(record.Join(path, "batch_max"), m.BatchMax, "what is made is divided by it")
}

// componentDrivers refuses minutes per kg of a thing made by the piece and the
// other way round.
func (c checker) componentDrivers(path string, m *Component) {
	out, err := c.x.Output(m)
	if err != nil {
		return
	}
	wrong, remedy := PerEach, "kg or batch"
	if out.Dimension == measure.Count {
		wrong, remedy = PerKg, "each or batch"
	}
	check := func(list string, i int, per Driver) {
		if per == wrong {
			c.fault(record.Join(record.Item(record.Join(path, list), i), "per"), "%s is made by %s; use %s", m.Name, out.Dimension, remedy)
		}
	}
	for i, t := range m.Tasks {
		check("tasks", i, t.Per)
	}
	for i, u := range m.Equipment {
		check("equipment", i, u.Per)
	}
}

// cycles reports components that contain themselves, each cycle once, and
// nesting beyond all cooking. It marks the components whose output cannot be
// worked out because of it as endless.
func (c checker) cycles(list []Component) {
	depth := map[ID]int{} // of finished ones
	bad := c.endless
	position := map[ID]int{}
	for i, m := range list {
		position[m.ID] = i
	}
	var chain []ID
	var visit func(m *Component) int
	visit = func(m *Component) int {
		if d, done := depth[m.ID]; done {
			return d
		}
		if start := slices.Index(chain, m.ID); start >= 0 {
			loop := append(slices.Clone(chain[start:]), m.ID)
			for _, id := range loop {
				bad[id] = true
			}
			c.fault(record.Join(c.at("components", position[m.ID]), "lines"), "a component cannot contain itself: %s; remove one of these lines", strings.Join(words(loop), " → "))
			return 0
		}
		chain = append(chain, m.ID)
		deep := 0
		if len(chain) > deepest {
			deep = deepest
		} else {
			for _, line := range m.Lines {
				if it, ok := c.x.Item(line.Use); ok && it.Component != nil {
					deep = max(deep, 1+visit(it.Component))
					bad[m.ID] = bad[m.ID] || bad[it.Component.ID]
				}
			}
		}
		if deep >= deepest && !bad[m.ID] {
			bad[m.ID] = true
			c.fault(record.Join(c.at("components", position[m.ID]), "lines"), "components stand more than %d deep in each other; flatten some", deepest)
		}
		chain = chain[:len(chain)-1]
		depth[m.ID] = deep
		return deep
	}
	for i := range list {
		visit(&list[i])
	}
}

func words(ids []ID) []string {
	list := make([]string, len(ids))
	for i, id := range ids {
		list[i] = string(id)
	}
	return list
}

// form checks the sizes of a mould or tier.
func (c checker) form(path string, f Form) {
	if f.Shape == "" {
		return // reported when read
	}
	wanted := f.Shape.Sizes()
	for _, name := range sizeNames {
		q, want := f.size(name), slices.Contains(wanted, name)
		p := record.Join(path, name)
		switch {
		case want && !q.Given():
			c.fault(p, "is missing; a %s shape needs %s", f.Shape, strings.Join(wanted, " and "))
		case !want && q.Given():
			c.fault(p, "does not belong to a %s shape, which has %s", f.Shape, strings.Join(wanted, " and "))
		case want:
			if err := shape.CheckSize(name, q); err != nil {
				c.fault(p, "%s", err)
			}
		}
	}
	if f.Height.Given() {
		if err := shape.CheckSize("height", f.Height); err != nil {
			c.fault(record.Join(path, "height"), "%s", err)
		}
	}
}

func (c checker) cake(path string, k *Cake) {
	c.name(path, k.Name)
	c.payable(record.Join(path, "price"), k.Price)
	for i, p := range k.ListPrices {
		c.payable(record.Join(record.Item(record.Join(path, "list_prices"), i), "price"), record.Some(p.Price))
	}
	if k.Target != nil {
		c.target(record.Join(path, "target"), *k.Target)
	}
	if k.Portion != nil {
		c.portion(record.Join(path, "portion"), *k.Portion)
	}
	switch {
	case len(k.Tiers) == 0 && !k.Portions.Given && !c.damage.under(path):
		c.fault(path, "a cake needs tiers, or portions where it has none")
	case len(k.Tiers) > 0 && k.Portions.Given:
		c.fault(record.Join(path, "portions"), "cannot stand beside tiers, which are cut into portions; remove one")
	}
	for i := range k.Tiers {
		c.tier(record.Item(record.Join(path, "tiers"), i), k, &k.Tiers[i])
	}
	c.parts(path, k.Parts, CakeDrivers, false)
	c.tasks(path, k.Tasks, CakeDrivers)
	c.equipment(path, k.Equipment, CakeDrivers)
}

func (c checker) tier(path string, k *Cake, t *Tier) {
	c.name(path, t.Name)
	before := len(*c.faults)
	c.form(path, t.Form)
	sound := len(*c.faults) == before
	if t.Portion != nil {
		c.portion(record.Join(path, "portion"), *t.Portion)
	}
	sound = sound && len(*c.faults) == before
	if !t.Dummy.Or(false) && !t.Portions.Given {
		switch rule := t.portionRule(k); {
		case rule == nil:
			c.fault(path, "nothing says how it is cut; give the tier or the cake a portion, or the tier its portions")
		case sound && rule.Cut == Finger && rule.Width.Dimension() == measure.Length && rule.Depth.Dimension() == measure.Length && rule.Width.Sign()*rule.Depth.Sign() > 0:
			if _, err := t.Solid().Outline.Fingers(rule.Width, rule.Depth); err != nil {
				c.fault(path, "%s", err)
			}
		}
	}
	c.parts(path, t.Parts, TierDrivers, true)
	c.tasks(path, t.Tasks, TierDrivers)
	c.equipment(path, t.Equipment, TierDrivers)
}

// portionRule returns how the tier is cut: its own rule, else the cake's.
func (t *Tier) portionRule(k *Cake) *Portion {
	if t.Portion != nil {
		return t.Portion
	}
	return k.Portion
}

func (c checker) portion(path string, p Portion) {
	if p.Cut == Wedge {
		if !p.Count.Given || p.Count.Value == 0 {
			c.fault(record.Join(path, "count"), "wedges need a count of at least 1")
		}
		if p.Width.Given() || p.Depth.Given() {
			c.fault(path, "wedges have a count and no width or depth")
		}
		return
	}
	if p.Count.Given {
		c.fault(record.Join(path, "count"), "fingers have a width and a depth and no count")
	}
	side := func(name string, q measure.Quantity) {
		switch {
		case !q.Given():
			c.fault(record.Join(path, name), "is missing; fingers need a width and a depth")
		case c.dimension(record.Join(path, name), q, measure.Length):
			c.positive(record.Join(path, name), q, "the tier is divided by it")
		}
	}
	side("width", p.Width)
	side("depth", p.Depth)
}

// parts checks parts whose amounts may grow with one of drivers. onTier says
// whether there is a tier to layer and cover.
func (c checker) parts(path string, parts []Part, drivers []Driver, onTier bool) {
	for i := range parts {
		c.part(record.Item(record.Join(path, "parts"), i), &parts[i], drivers, onTier)
	}
}

func (c checker) part(path string, p *Part, drivers []Driver, onTier bool) {
	ways := 0
	for _, given := range []bool{p.Qty.Given(), p.Layers.Given, p.Coat.Given(), p.Sheet.Given()} {
		if given {
			ways++
		}
	}
	if ways != 1 {
		c.fault(path, "needs exactly one of qty, layers, coat, sheet")
		return
	}
	belongs := func(key string, given, fits bool, to string) {
		if given && !fits {
			c.fault(record.Join(path, key), "belongs to a part with %s", to)
		}
	}
	belongs("per", p.Per != "", p.Qty.Given(), "qty")
	belongs("thick", p.Thick.Given(), p.Layers.Given, "layers")
	belongs("on", p.On != "", p.Coat.Given(), "coat")
	belongs("overhang", p.Overhang.Given(), p.Sheet.Given(), "sheet")
	belongs("reuse", p.Reuse.Given, p.Sheet.Given(), "sheet")
	c.atMost100(record.Join(path, "reuse"), p.Reuse)

	it, ok := c.use(path, "qty", p.Use, p.Qty)
	if p.Qty.Given() {
		c.driver(path, p.Per, drivers)
		return
	}
	if !onTier {
		c.fault(path, "layers, coats and sheets belong to tiers; use qty here")
		return
	}
	thickness, key := p.thickness()
	if !thickness.Given() {
		c.fault(record.Join(path, key), "is missing; layers need how thick each is")
	}
	c.dimension(record.Join(path, key), thickness, measure.Length)
	if p.Layers.Given && p.Layers.Value == 0 {
		c.fault(record.Join(path, "layers"), "is 0; remove the part or give it layers")
	}
	if p.Sheet.Given() {
		if !p.Overhang.Given() {
			c.fault(record.Join(path, "overhang"), "is missing; say how far the sheet reaches beyond the tier, \"0 mm\" for not at all")
		}
		c.dimension(record.Join(path, "overhang"), p.Overhang, measure.Length)
	}
	if p.On != "" && p.On != PerTop && p.On != PerSide && p.On != PerSurface {
		c.fault(record.Join(path, "on"), "%q cannot be coated; use surface, top or side", p.On)
	}
	if ok {
		c.covering(path, it)
	}
}

// covering checks that an item laid on a tier has a density and can be bought
// or made by the mass that results.
func (c checker) covering(path string, it Item) {
	density, err := c.x.Density(it)
	if err == nil && density.IsZero() {
		err = fmt.Errorf("%s has no density, which a layer, coat or sheet needs; %s", it.Name(), densityRemedy(it))
	}
	if err == nil {
		_, err = c.x.Charge(it, Grams(exact.Int(1)))
	}
	if err != nil && !errors.Is(err, ErrReported) {
		c.fault(record.Join(path, "use"), "%s", err)
	}
}

// densityRemedy says how an item comes by a density.
func densityRemedy(it Item) string {
	switch {
	case it.Part != nil:
		return "a part has none of its own; use qty"
	case it.Component != nil:
		return "add one in g/ml, or the mould that a batch fills"
	}
	return "add one in g/ml"
}

// thickness returns how thick a layer, coat or sheet is, and its key.
func (p *Part) thickness() (measure.Quantity, string) {
	switch {
	case p.Coat.Given():
		return p.Coat, "coat"
	case p.Sheet.Given():
		return p.Sheet, "sheet"
	}
	return p.Thick, "thick"
}

func (c checker) extra(path string, e *Extra) {
	c.name(path, e.Name)
	c.parts(path, e.Parts, ExtraDrivers, false)
	c.tasks(path, e.Tasks, ExtraDrivers)
	c.equipment(path, e.Equipment, ExtraDrivers)
}
