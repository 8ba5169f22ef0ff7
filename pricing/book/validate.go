package book

import (
	"errors"
	"strings"

	"golang.org/x/text/language"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// Parse reads a book file and checks it on its own. The error is of type
// [record.Faults] and holds every fault.
func Parse(data []byte) (Book, error) {
	b, err := Read(data)
	if err != nil {
		return Book{}, Diagnose(Book{}, data)
	}
	return b, Validate(b).Err()
}

// Read reads a book file without checking what its objects say of each other:
// the file may name what only the store has. See [Merge]. The error holds what
// could not be read; [Diagnose] finds the rest.
func Read(data []byte) (Book, error) {
	var b Book
	if faults := record.Decode(data, &b); len(faults) > 0 {
		return Book{}, faults
	}
	return b, nil
}

// Validate returns everything wrong with a book.
func Validate(b Book) record.Faults { return validate(NewIndex(b), record.Item, damage{}) }

// ValidateBesides is [Validate] for those who know of some objects that they
// were sound, and that neither they nor what they use has changed; or who do not
// ask after their faults. An object goes by the key of its list in the book file
// and its place there.
func ValidateBesides(b Book, sound func(list string, i int) bool) record.Faults {
	return NewIndex(b).ValidateBesides(sound)
}

// ValidateBesides is [ValidateBesides] of the book that is indexed. Where sound is
// nil nothing is known.
func (x *Index) ValidateBesides(sound func(list string, i int) bool) record.Faults {
	return validate(x, record.Item, damage{sound: sound})
}

// validate names the places of faults by at, which turns a list's key and an
// index into a path. What is damaged was not read whole: it is checked as far
// as it was, and what uses it is not held to it.
func validate(x *Index, at func(list string, i int) string, d damage) record.Faults {
	b := x.Book
	c := checker{x: x, at: at, faults: &record.Faults{}, endless: map[ID]bool{}, damage: d}
	if b.Format != Format {
		c.fault("format", "%.40q is unknown; this program reads %q", b.Format, Format)
	}
	c.uniqueIDs(b)
	c.studio(b.Studio)
	for i, r := range b.Roles {
		if c.looksAt("roles", i) {
			c.role(at("roles", i), r)
		}
	}
	for i, a := range b.Equipment {
		if c.looksAt("equipment", i) {
			c.appliance(at("equipment", i), a)
		}
	}
	if b.Overhead != nil {
		c.overhead(*b.Overhead)
	}
	for i := range b.Ingredients {
		if c.looksAt("ingredients", i) {
			c.ingredient(at("ingredients", i), &b.Ingredients[i])
		}
	}
	c.cycles(b.Components)
	c.components(b.Components)
	for i, t := range b.Tins {
		if c.looksAt("tins", i) {
			c.tin(at("tins", i), t)
		}
	}
	for i := range b.Cakes {
		if c.looksAt("cakes", i) {
			c.cake(at("cakes", i), &b.Cakes[i])
		}
	}
	for i := range b.Extras {
		if c.looksAt("extras", i) {
			c.extra(at("extras", i), &b.Extras[i])
		}
	}
	return *c.faults
}

type checker struct {
	x       *Index
	at      func(list string, i int) string
	faults  *record.Faults
	endless map[ID]bool // components that contain themselves, or nest without end
	damage  damage
}

func (c checker) looksAt(list string, i int) bool {
	return c.damage.sound == nil || !c.damage.sound(list, i)
}

func (c checker) fault(path, format string, args ...any) { c.faults.Add(path, format, args...) }

// uniqueIDs refuses an id that stands twice where ids must differ.
func (c checker) uniqueIDs(b Book) {
	shared := make(map[ID]owner, len(b.Roles)+len(b.Equipment)+len(b.Ingredients)+len(b.Components)+2)
	shared[EnergyID], shared[OverheadID] = owner{"the studio's energy", ""}, owner{"the studio's overhead", ""}
	// Books are long and faults are few: a place is put into words where it is told.
	claim := func(seen map[ID]owner, id ID, kind, name string, path func() string) {
		if other, taken := seen[id]; taken {
			c.fault(record.Join(path(), "id"), "%q is the id of %s already; choose another", id, other.kind+other.name)
			return
		}
		seen[id] = owner{kind, name}
	}
	place := func(list string, i int) func() string { return func() string { return c.at(list, i) } }
	for i := range b.Roles {
		claim(shared, b.Roles[i].ID, "the role ", b.Roles[i].Name, place("roles", i))
	}
	for i := range b.Equipment {
		claim(shared, b.Equipment[i].ID, "the appliance ", b.Equipment[i].Name, place("equipment", i))
	}
	for i := range b.Ingredients {
		ing := &b.Ingredients[i]
		claim(shared, ing.ID, "the ingredient ", ing.Name, place("ingredients", i))
		for j, p := range ing.Parts {
			claim(shared, p.ID, "the part ", p.Name, func() string { return record.Item(record.Join(c.at("ingredients", i), "parts"), j) })
		}
	}
	for i := range b.Components {
		claim(shared, b.Components[i].ID, "the component ", b.Components[i].Name, place("components", i))
	}
	tins, extras := map[ID]owner{}, map[ID]owner{}
	for i := range b.Tins {
		claim(tins, b.Tins[i].ID, "the tin ", b.Tins[i].String(), place("tins", i))
	}
	if len(c.x.cakes) < len(b.Cakes) { // else no two of them have one id
		cakes := make(map[ID]owner, len(b.Cakes))
		for i := range b.Cakes {
			claim(cakes, b.Cakes[i].ID, "the cake ", b.Cakes[i].Name, place("cakes", i))
		}
	}
	for i := range b.Extras {
		claim(extras, b.Extras[i].ID, "the extra ", b.Extras[i].Name, place("extras", i))
	}
}

// owner is what an id belongs to, in words: "the cake " and its name.
type owner struct{ kind, name string }

func (c checker) name(path, name string) {
	if strings.TrimSpace(name) == "" {
		c.fault(record.Join(path, "name"), "is empty; give it a name")
	}
}

func (c checker) studio(s Studio) {
	c.name("studio", s.Name)
	if s.Locale.Given {
		if _, err := language.Parse(s.Locale.Value); err != nil {
			c.fault("studio.locale", "%.40q is no language tag of BCP 47; use one such as en-IE or fr", s.Locale.Value)
		}
	}
	c.payable("studio.price_step", s.PriceStep)
	if s.PriceStep.Given && s.PriceStep.Value.IsZero() {
		c.fault("studio.price_step", "is 0; leave it out to round to the minor unit, or name a step such as 5.00")
	}
	c.payable("studio.minimum_order", s.MinimumOrder)
	c.target("studio.target", s.Target)
	c.below100("studio.floor_margin", s.FloorMargin)
	if s.Quote.Given {
		c.quoteTerms("studio.quote", s.Quote.Value)
	}
	c.look("studio.look", s.Look.Value)
}

func (c checker) look(path string, l Look) {
	if l.Accent.Given {
		if err := l.Accent.Value.Check(); err != nil {
			c.fault(record.Join(path, "accent"), "%s", err)
		}
	}
	if l.Logo.Given {
		if err := l.Logo.Value.Check(); err != nil {
			c.fault(record.Join(path, "logo"), "%s", err)
		}
	}
}

func (c checker) quoteTerms(path string, q QuoteTerms) {
	c.atMost100(record.Join(path, "deposit"), q.Deposit)
	due := q.Deposit.Or(measure.Percent{}).Fraction()
	list := record.Join(path, "instalments")
	for i, in := range q.Instalments {
		c.atMost100(record.Join(record.Item(list, i), "share"), record.Some(in.Share))
		// The last takes what is left, whatever its share says.
		if i < len(q.Instalments)-1 {
			due = due.Add(in.Share.Fraction())
		}
	}
	if due.Cmp(exact.Int(1)) > 0 {
		c.fault(list, "with the deposit, more than the whole total falls due before the last; lower the shares")
	}
	c.cancellation(record.Join(path, "cancellation"), q.Cancellation)
}

// cancellation wants the steps from the furthest off to the nearest, each of
// them dearer than the one before or as dear.
func (c checker) cancellation(list string, fees []CancellationFee) {
	var last measure.Percent
	const ever = 1 << 30 // days before the event
	days := ever + 1
	for i, f := range fees {
		path := record.Item(list, i)
		c.atMost100(record.Join(path, "share"), record.Some(f.Share))
		within := f.WithinDays.Or(ever)
		if within == 0 {
			c.fault(record.Join(path, "within_days"), "must be at least 1; leave it out for a cancellation at any time")
		}
		if within >= days {
			c.fault(record.Join(path, "within_days"), "must be fewer days than in the step before; list the steps from the furthest off to the nearest, the one without days first")
		}
		if i > 0 && f.Share.Fraction().Cmp(last.Fraction()) < 0 {
			c.fault(record.Join(path, "share"), "is less than that of a cancellation further off; raise it")
		}
		days, last = within, f.Share
	}
}

func (c checker) target(path string, t Target) {
	stated := 0
	for _, given := range []bool{t.Margin.Given, t.Markup.Given, t.PerPortion.Given, t.Fixed.Given} {
		if given {
			stated++
		}
	}
	if stated != 1 {
		c.fault(path, "needs exactly one of margin, markup, per_portion, fixed")
	}
	c.below100(record.Join(path, "margin"), t.Margin)
}

// payable refuses money finer than the minor unit.
func (c checker) payable(path string, p record.Maybe[money.Price]) {
	if cur := c.x.Book.Studio.Currency; p.Given && !cur.Fits(p.Value) {
		c.fault(path, "%s is finer than the %s can pay; use at most %d decimals", p.Value, cur.Code(), cur.Places())
	}
}

var one = exact.Int(1)

func (c checker) below100(path string, p record.Maybe[measure.Percent]) {
	if p.Given && p.Value.Fraction().Cmp(one) >= 0 {
		c.fault(path, "%s must be below 100 %%", p.Value)
	}
}

func (c checker) atMost100(path string, p record.Maybe[measure.Percent]) {
	if p.Given && p.Value.Fraction().Cmp(one) > 0 {
		c.fault(path, "%s must be at most 100 %%", p.Value)
	}
}

// share checks a percentage above 0 % and at most 100 %.
func (c checker) share(path string, p record.Maybe[measure.Percent]) {
	c.atMost100(path, p)
	if p.Given && p.Value.Fraction().IsZero() {
		c.fault(path, "0 %% leaves nothing; it must be above 0 %% and at most 100 %%")
	}
}

func (c checker) role(path string, r Role) {
	c.name(path, r.Name)
	c.share(record.Join(path, "productive"), r.Productive)
}

func (c checker) appliance(path string, a Appliance) {
	c.name(path, a.Name)
	if a.Power.Given() && a.Power.Dimension() != measure.Power {
		c.fault(record.Join(path, "power"), "%q is not a power; use W or kW", a.Power)
	}
	c.atMost100(record.Join(path, "duty"), a.Duty)
}

func (c checker) overhead(o Overhead) {
	switch {
	case o.Hours.Given():
		c.dimension("overhead.hours", o.Hours, measure.Time)
		c.positive("overhead.hours", o.Hours, "the overhead is divided by it")
	case o.Method == ByLabourHour:
		c.fault("overhead.hours", "is missing; add the labour hours of a month, such as \"140 h\"")
	}
	for i, d := range o.Dated {
		path := record.Item("overhead.dated", i)
		want, got, other := "amount", d.Amount.Given, d.Share.Given
		if o.Method == ByPercent {
			want, got, other = "share", d.Share.Given, d.Amount.Given
		}
		if !got || other {
			c.fault(path, "with the method %q each entry needs from and %s, and nothing else", o.Method, want)
		}
		c.atMost100(record.Join(path, "share"), d.Share)
	}
}

// dimension refuses a quantity of another dimension than want.
func (c checker) dimension(path string, q measure.Quantity, want measure.Dimension) bool {
	if !q.Given() || q.Dimension() == want {
		return true
	}
	c.fault(path, "%q is not a %s; use %s", q, want, strings.Join(measure.Symbols(want), ", "))
	return false
}

func (c checker) positive(path string, q measure.Quantity, why string) {
	if q.Given() && q.Sign() == 0 {
		c.fault(path, "is 0; it must be more, since %s", why)
	}
}

func (c checker) ingredient(path string, ing *Ingredient) {
	c.name(path, ing.Name)
	switch ing.Measure {
	case measure.Mass, measure.Volume, measure.Count, measure.Length, measure.Area:
	default:
		c.fault(record.Join(path, "measure"), "%s buys nothing; use mass, volume, count, length or area", ing.Measure)
	}
	each := record.Join(path, "each")
	if c.dimension(each, ing.Each, measure.Mass) {
		c.positive(each, ing.Each, "masses are divided by it")
	}
	c.share(record.Join(path, "trim_yield"), ing.TrimYield)
	c.eggParts(path, ing)
	for i, p := range ing.Prices {
		if ing.Measure != measure.None && p.Pack.Dimension() != ing.Measure {
			c.fault(record.Join(record.Item(record.Join(path, "prices"), i), "pack"),
				"%q is a %s, but %s is bought by %s; write the pack in %s", p.Pack, p.Pack.Dimension(), ing.Name, ing.Measure, strings.Join(measure.Symbols(ing.Measure), ", "))
		}
	}
}

func (c checker) eggParts(path string, ing *Ingredient) {
	if len(ing.Parts) == 0 {
		return
	}
	parts := record.Join(path, "parts")
	if ing.Each.Given() {
		c.fault(record.Join(path, "each"), "cannot stand beside parts: the whole weighs the sum of its parts; remove one")
	}
	if ing.TrimYield.Given {
		c.fault(record.Join(path, "trim_yield"), "cannot stand beside parts: what is lost is the part that is not used; remove one")
	}
	if ing.Measure != measure.Count && ing.Measure != measure.Mass {
		c.fault(record.Join(path, "measure"), "must be count or mass for an ingredient with parts, not %s", ing.Measure)
	}
	for i, p := range ing.Parts {
		item := record.Item(parts, i)
		c.name(item, p.Name)
		if c.dimension(record.Join(item, "mass"), p.Mass, measure.Mass) {
			c.positive(record.Join(item, "mass"), p.Mass, "masses are divided by it")
		}
	}
}

// use checks that what a line or part names exists and that its amount can be
// turned into what is bought or made.
func (c checker) use(path, key string, id ID, q measure.Quantity) (Item, bool) {
	it, ok := c.x.Item(id)
	if !ok {
		if c.damage.ids {
			return it, false
		}
		c.fault(record.Join(path, "use"), "%q is no ingredient, part or component of the book; add it or mend the id%s", id, c.elsewhere(id))
		return it, false
	}
	if it.Component != nil && c.endless[it.Component.ID] || c.damage.hit(it) {
		return it, false // reported with its lines
	}
	if !q.Given() {
		return it, true
	}
	_, err := c.x.Charge(it, c.x.Amount(q))
	if err != nil && !errors.Is(err, ErrReported) {
		c.fault(record.Join(path, key), "%s", err)
	}
	return it, err == nil
}

// elsewhere hints where an id that was looked for among materials does exist.
func (c checker) elsewhere(id ID) string {
	if _, ok := c.x.Role(id); ok {
		return " (it is a role; put it in a task)"
	}
	if _, ok := c.x.Appliance(id); ok {
		return " (it is an appliance; put it under equipment)"
	}
	return ""
}

// tasks checks tasks whose rates may grow with one of drivers.
func (c checker) tasks(path string, tasks []Task, drivers []Driver) {
	for i, t := range tasks {
		p := record.Item(record.Join(path, "tasks"), i)
		if strings.TrimSpace(t.Name) == "" {
			c.fault(record.Join(p, "task"), "is empty; say what is done")
		}
		if t.Wait.Given() {
			c.dimension(record.Join(p, "wait"), t.Wait, measure.Time)
			if t.Role != "" || t.Setup.Given() || t.Rate.Given() || t.Per != "" {
				c.fault(p, "a wait has no role, setup, rate or per; make the hands-on work a task of its own")
			}
			continue
		}
		switch _, ok := c.x.Role(t.Role); {
		case t.Role == "":
			c.fault(record.Join(p, "role"), "is missing; say who does it, or give the task a wait")
		case !ok && !c.damage.ids:
			c.fault(record.Join(p, "role"), "%q is no role of the book; add it or mend the id", t.Role)
		}
		c.times(p, t.Setup, t.Rate, t.Per, drivers)
	}
}

func (c checker) equipment(path string, uses []EquipmentUse, drivers []Driver) {
	for i, u := range uses {
		p := record.Item(record.Join(path, "equipment"), i)
		if _, ok := c.x.Appliance(u.Use); !ok && !c.damage.ids {
			c.fault(record.Join(p, "use"), "%q is no appliance of the book; add it or mend the id", u.Use)
		}
		c.times(p, u.Setup, u.Rate, u.Per, drivers)
	}
}

func (c checker) times(path string, setup, rate measure.Quantity, per Driver, drivers []Driver) {
	c.dimension(record.Join(path, "setup"), setup, measure.Time)
	c.dimension(record.Join(path, "rate"), rate, measure.Time)
	if rate.Given() && per == "" {
		c.fault(record.Join(path, "rate"), "needs per, what it grows with: %s", joinWords(drivers))
	}
	c.driver(path, per, drivers)
}

func (c checker) driver(path string, per Driver, drivers []Driver) {
	if per == "" {
		return
	}
	for _, d := range drivers {
		if d == per {
			return
		}
	}
	c.fault(record.Join(path, "per"), "the driver %q is unknown here; use one of %s", per, joinWords(drivers))
}
