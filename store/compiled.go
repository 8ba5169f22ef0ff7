package store

import (
	"context"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// compile works out afresh the bills of the cakes that edits reach: those that
// were put, and those that use, through every level, what was changed or
// dropped, or what is new: the id of a part may have passed to it. With gaps it
// does so for cakes that have no bill, too.
func (w *writer) compile(d difference, gaps bool) {
	if w.err != nil {
		return
	}
	now := d.now
	all := billBase(d.old) != billBase(now)
	x := d.x
	known := map[book.ID]bool{}
	if gaps {
		known = w.compiledCakes()
	}
	put := map[book.ID]bool{}
	for _, id := range slices.Concat(d.cakes.adds, d.cakes.drops) {
		put[id] = true
	}
	r := d.reach()
	taken := map[string]compiledCake{}
	for i := range now.Cakes {
		c := &now.Cakes[i]
		if (!gaps || known[c.ID]) && !all && !put[c.ID] && !r.cake(c) {
			continue
		}
		// Many cakes are one design under several names; it is taken off once.
		design := designOf(*c)
		k, there := taken[design]
		if !there {
			if k, w.err = compileCake(x, c.ID); w.err != nil {
				return
			}
			taken[design] = k
		}
		w.compiled = append(w.compiled, c.ID)
		// A row is written over where it stands, which moves next to no pages.
		w.do(`INSERT INTO compiled (cake, portions_made, portions_served, engine, bill) VALUES (?, ?, ?, ?, ?)
			ON CONFLICT (cake) DO UPDATE SET portions_made = excluded.portions_made, portions_served = excluded.portions_served, engine = excluded.engine, bill = excluded.bill`,
			string(c.ID), k.made, k.served, pricing.Edition, k.bill)
	}
}

// compiledCake is a cake as table compiled has it.
type compiledCake struct {
	made, served int
	bill         string
}

func compileCake(x *book.Index, id book.ID) (k compiledCake, err error) {
	t, err := pricing.TakeCake(x, id)
	if err != nil {
		return k, err
	}
	bill, err := t.Bill.MarshalText()
	return compiledCake{t.Made, t.Served, string(bill)}, err
}

// designOf is the same for two cakes of a book only where they differ in nothing
// but what they are called and sold at, on which no bill rests. It is worth as
// much as the lists that they share; see [gather].
func designOf(c book.Cake) string {
	c.ID, c.Name, c.Description = "", "", record.Maybe[string]{}
	c.Price, c.ListPrices, c.Target, c.TaxRate = record.Maybe[money.Price]{}, nil, nil, record.Maybe[measure.Percent]{}
	tiers := c.Tiers
	c.Tiers = nil
	key := slices.Clone(bits(&c))
	for i := range tiers {
		key = append(key, bits(&tiers[i])...)
	}
	return string(key)
}

// billBase is what every bill of a book rests on besides its recipes.
func billBase(b book.Book) (base struct{ household, overhead string }) {
	base.household = b.Studio.Household.Value.String()
	if b.Overhead != nil {
		base.overhead = string(b.Overhead.Method)
	}
	return base
}

func (w *writer) compiledCakes() map[book.ID]bool {
	known := map[book.ID]bool{}
	r := &reader{ctx: w.ctx, tx: w.tx}
	var id book.ID
	r.each(func() { known[id] = true }, `SELECT cake FROM compiled`, nil, name(&id))
	w.err = r.err
	return known
}

// reach finds what an edit reaches. known grows with what it has looked at.
type reach struct {
	x     *book.Index
	known map[book.ID]bool
	none  bool // nothing was edited that a cake could use
	roles bool // whether it matters who does the work
}

// reach finds which cakes take something else since an edit.
func (d difference) reach() reach {
	r := d.reachOfItems()
	for _, id := range d.equipment.reach {
		r.known[id], r.none = true, false
	}
	return r
}

// reachOfFaults finds which cakes an edit can have put out of order. Of a role
// or an appliance nothing matters but that it is there.
func (d difference) reachOfFaults() reach {
	r := d.reachOfItems()
	r.roles = true
	for _, id := range d.roles.drops {
		if _, there := d.x.Role(id); !there {
			r.known[id], r.none = true, false
		}
	}
	for _, id := range d.equipment.drops {
		if _, there := d.x.Appliance(id); !there {
			r.known[id], r.none = true, false
		}
	}
	return r
}

func (d difference) reachOfItems() reach {
	r := reach{x: d.x, known: map[book.ID]bool{}, none: true}
	for _, l := range []edits{d.ingredients, d.components} {
		for _, id := range l.reach {
			r.known[id], r.none = true, false
		}
	}
	for i := range d.old.Ingredients {
		if ing := &d.old.Ingredients[i]; r.known[ing.ID] {
			for _, p := range ing.Parts {
				r.known[p.ID] = true // it may be gone
			}
		}
	}
	return r
}

func (r reach) cake(c *book.Cake) bool {
	if r.none {
		return false
	}
	if r.parts(c.Parts) || r.equipment(c.Equipment) || r.tasks(c.Tasks) {
		return true
	}
	for i := range c.Tiers {
		t := &c.Tiers[i]
		if r.parts(t.Parts) || r.equipment(t.Equipment) || r.tasks(t.Tasks) {
			return true
		}
	}
	return false
}

func (r reach) tasks(tasks []book.Task) bool {
	if !r.roles {
		return false
	}
	for i := range tasks {
		if r.known[tasks[i].Role] {
			return true
		}
	}
	return false
}

func (r reach) parts(parts []book.Part) bool {
	for i := range parts {
		if r.item(parts[i].Use) {
			return true
		}
	}
	return false
}

func (r reach) equipment(uses []book.EquipmentUse) bool {
	for _, u := range uses {
		if r.known[u.Use] {
			return true
		}
	}
	return false
}

// item reports whether an ingredient, a part's whole, or a component or
// anything in it was edited.
func (r reach) item(id book.ID) bool {
	if hit, asked := r.known[id]; asked {
		return hit
	}
	it, _ := r.x.Item(id)
	hit := it.Part != nil && r.known[it.Ingredient.ID]
	r.known[id] = hit // of a component that contains itself, which is refused
	if it.Component != nil {
		hit = r.equipment(it.Component.Equipment) || r.tasks(it.Component.Tasks)
		for _, line := range it.Component.Lines {
			hit = hit || r.item(line.Use)
		}
	}
	r.known[id] = hit
	return hit
}

// Priced is as much of a book as costing compiled cakes takes: the studio, the
// cakes without their tiers, and what their bills are priced by.
type Priced struct {
	Book     book.Book
	Takeoffs []pricing.Takeoff // of the cakes, in their order; bills without single uses
}

// Compiled returns cakes as the last import compiled them. It reads no recipe,
// and costs a cake as [Store.BookOf] does. The error is [ErrEmpty] or
// [ErrNotFound].
func (s *Store) Compiled(ctx context.Context, cakes []book.ID) (p Priced, err error) {
	err = s.read(ctx, func(r *reader) error {
		if p, err = r.compiled(only(cakes)); err != nil {
			return err
		}
		return r.missing(cakes, p.Book.Cakes)
	})
	return p, err
}

// Priced returns every cake likewise, with all that has a price, used by a cake
// or not, and the whole of its price history.
func (s *Store) Priced(ctx context.Context) (p Priced, err error) {
	return s.PricedOn(ctx, day.Date{})
}

// PricedOn is [Store.Priced] with the prices alone that are in force on a day.
// It costs as the whole history does on that day, and on no other.
func (s *Store) PricedOn(ctx context.Context, on day.Date) (p Priced, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.on = on
		p, err = r.compiled(whole)
		return err
	})
	return p, err
}

// Written is a compiled cake whose bill has not been read; see
// [pricing.ReadBillLines].
type Written struct {
	Takeoff pricing.Takeoff // without its bill
	Bill    string
}

// Read returns the takeoff with its bill.
func (w Written) Read() (pricing.Takeoff, error) {
	t := w.Takeoff
	err := t.Bill.UnmarshalText([]byte(w.Bill))
	return t, err
}

// WrittenOn is [Store.PricedOn] with bills as they are written, in the order of
// the cakes, for those who need few of their figures exactly.
func (s *Store) WrittenOn(ctx context.Context, on day.Date) (b book.Book, cakes []Written, err error) {
	err = s.read(ctx, func(r *reader) error {
		r.on, r.unread = on, true
		p, err := r.compiled(whole)
		if err != nil {
			return err
		}
		b, cakes = p.Book, make([]Written, len(p.Book.Cakes))
		at := make(map[book.ID]int, len(cakes))
		for i, c := range b.Cakes {
			at[c.ID] = i
		}
		var t pricing.Takeoff
		var bill string
		r.each(func() {
			if i, there := at[t.ID]; there {
				t.Name = b.Cakes[i].Name
				cakes[i] = Written{t, bill}
			}
		}, `SELECT cake, portions_made, portions_served, bill FROM compiled WHERE engine = ?`, []any{pricing.Edition},
			name(&t.ID), &t.Made, &t.Served, &bill)
		for i := range cakes {
			if cakes[i].Takeoff.ID != "" || r.err != nil {
				continue
			}
			t, err := r.takeAfresh(b.Cakes[i].ID)
			if err != nil {
				return err
			}
			text, err := t.Bill.MarshalText()
			if err != nil {
				return err
			}
			t.Bill = nil
			cakes[i] = Written{t, string(text)}
		}
		return r.err
	})
	return b, cakes, err
}

func (r *reader) compiled(s scope) (p Priced, err error) {
	studio, there := r.studioHead()
	if !there && r.err == nil {
		return p, ErrEmpty
	}
	p.Book = book.Book{Format: book.Format, Studio: studio, Overhead: r.overhead()}
	p.Book.Cakes = r.cakeHeads(s)
	if s.whole {
		p.Book.Ingredients, p.Book.Roles, p.Book.Equipment = r.ingredientHeads(s), r.roles(s), r.appliances(s)
		r.prices(s, &p.Book)
	}
	if r.unread {
		return p, r.err
	}
	if p.Takeoffs, err = r.takeoffs(p.Book, r.bills(s)); err != nil {
		return p, err
	}
	if s.whole {
		return p, r.err
	}
	materials, roles, equipment := billed(p.Takeoffs)
	p.Book.Ingredients = r.ingredientHeads(only(materials))
	p.Book.Roles = r.roles(only(roles))
	p.Book.Equipment = r.appliances(only(equipment))
	r.prices(only(slices.Concat(materials, roles, lists(s.ids), []book.ID{book.EnergyID, book.OverheadID})), &p.Book)
	return p, r.err
}

// billed lists what bills hold of each kind that has an id of its own.
func billed(takeoffs []pricing.Takeoff) (materials, roles, equipment []book.ID) {
	for _, t := range takeoffs {
		for _, l := range t.Bill {
			switch l.Kind {
			case pricing.Ingredient, pricing.Packaging:
				materials = append(materials, l.Resource)
			case pricing.Role:
				roles = append(roles, l.Resource)
			case pricing.Equipment:
				equipment = append(equipment, l.Resource)
			}
		}
	}
	return distinct(materials), distinct(roles), distinct(equipment)
}

func (r *reader) takeAfresh(cake book.ID) (pricing.Takeoff, error) {
	b, err := r.bookOf([]book.ID{cake}, false)
	if err != nil {
		return pricing.Takeoff{}, err
	}
	return pricing.TakeCake(book.NewIndex(b), cake)
}
