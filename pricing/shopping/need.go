package shopping

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Split says how pieces of a line are used: whole, and taken apart.
type Split struct {
	Whole  exact.Number // pieces used whole
	Apart  exact.Number // pieces taken apart for the part that takes most
	Pieces exact.Number // both, rounded up once
	Parts  []Part       // in the order of the book
}

// Part is a part of a piece, in grams.
type Part struct {
	ID      book.ID
	Name    string
	InPiece exact.Number
	Needed  exact.Number
	OnHand  exact.Number
	Left    exact.Number
	UsedIn  []Outlet // components that could use what is left, where anything is
}

// Outlet is a component whose recipe has a line of a part.
type Outlet struct {
	Component book.ID
	Name      string
	Grams     exact.Number     // that one batch as written takes
	Keeps     measure.Quantity // how long the component keeps; not given where the book has none
}

// need is what orders take of an ingredient or packaging.
type need struct {
	ing     *book.Ingredient
	kind    pricing.Kind
	whole   exact.Number             // base units as purchased
	parts   map[book.ID]exact.Number // grams
	shares  []Share
	unknown bool
}

// needsOf sums what the orders take, in the order in which they take it.
func needsOf(x *book.Index, orders []Order) ([]*need, error) {
	var list []*need
	at := map[book.ID]*need{}
	var faults []error
	for _, o := range orders {
		for _, w := range o.Wanted {
			if w.Quantity <= 0 {
				faults = append(faults, fmt.Errorf("order %s: %d of %s cannot be made; ask for 1 or more", o.Ref, w.Quantity, cmp.Or(w.Takeoff.Name, "a frozen bill")))
				continue
			}
			times := exact.Int(int64(w.Quantity))
			for _, u := range w.uses(x) {
				it, ok := x.Item(u.Resource)
				if !ok || it.Ingredient == nil {
					faults = append(faults, fmt.Errorf("order %s: %q is no ingredient of the book; bring it back into the book or revise the order", o.Ref, u.Resource))
					continue
				}
				n := at[it.Ingredient.ID]
				if n == nil {
					n = &need{ing: it.Ingredient, kind: u.Kind, parts: map[book.ID]exact.Number{}}
					at[it.Ingredient.ID] = n
					list = append(list, n)
				}
				u.Quantity = u.Quantity.Mul(times)
				if err := n.add(x, o.Ref, u, w.Frozen != nil); err != nil {
					faults = append(faults, fmt.Errorf("order %s: %w", o.Ref, err))
				}
			}
		}
	}
	return list, errors.Join(faults...)
}

// uses returns what is taken of ingredients and packaging: a takeoff's uses of
// what has parts, and of all else the lines of the bill, which are fewer.
func (w Wanted) uses(x *book.Index) []pricing.Use {
	bill := w.Frozen
	if bill == nil {
		bill = w.Takeoff.Bill
	}
	var uses []pricing.Use
	split := false
	for _, l := range bill {
		if l.Kind != pricing.Ingredient && l.Kind != pricing.Packaging {
			continue
		}
		if w.Frozen == nil && hasParts(x, l.Resource) {
			split = true
			continue
		}
		uses = append(uses, pricing.Use{Resource: l.Resource, Kind: l.Kind, Quantity: l.Quantity, Unit: l.Unit})
	}
	if !split {
		return uses
	}
	of := func(list []pricing.Use) {
		for i := range list {
			if u := &list[i]; (u.Kind == pricing.Ingredient || u.Kind == pricing.Packaging) && hasParts(x, u.Resource) {
				uses = append(uses, *u)
			}
		}
	}
	of(w.Takeoff.Uses)
	for i := range w.Takeoff.Makings {
		of(w.Takeoff.Makings[i].Uses)
	}
	return uses
}

func hasParts(x *book.Index, id book.ID) bool {
	it, ok := x.Item(id)
	return ok && it.Ingredient != nil && len(it.Ingredient.Parts) > 0
}

func (n *need) add(x *book.Index, ref string, u pricing.Use, frozen bool) error {
	if unit := n.ing.Measure.Base(); u.Unit != unit {
		return fmt.Errorf("%s was taken in %s and is bought in %s now; revise the order", n.ing.Name, u.Unit, unit)
	}
	// Orders come one after the other, so that only the last can be this one.
	if i := len(n.shares) - 1; i >= 0 && n.shares[i].Ref == ref {
		n.shares[i].Quantity = n.shares[i].Quantity.Add(u.Quantity)
	} else {
		n.shares = append(n.shares, Share{ref, u.Quantity})
	}
	if len(n.ing.Parts) == 0 || frozen || u.For == "" {
		n.whole = n.whole.Add(u.Quantity)
		n.unknown = n.unknown || frozen && len(n.ing.Parts) > 0
		return nil
	}
	part, err := partOf(n.ing, u)
	if err != nil {
		return err
	}
	grams := u.Quantity // of what is bought by mass
	if n.ing.Measure == measure.Count {
		piece, err := pieceMass(x, n.ing)
		if err != nil {
			return err
		}
		grams = grams.Mul(piece)
	}
	n.parts[part.ID] = n.parts[part.ID].Add(grams)
	return nil
}

// partOf returns the part that a use is of. A use has the part's name, and in
// its working the part's mass.
func partOf(ing *book.Ingredient, u pricing.Use) (*book.EggPart, error) {
	var named, weighed []*book.EggPart
	for i := range ing.Parts {
		p := &ing.Parts[i]
		if p.Name != u.For {
			continue
		}
		named = append(named, p)
		if slices.ContainsFunc(u.Working, func(f pricing.Fact) bool {
			return f.Label == "part of "+ing.Name && f.Written == p.Mass.String()
		}) {
			weighed = append(weighed, p)
		}
	}
	switch {
	case len(named) == 1:
		return named[0], nil
	case len(weighed) == 1:
		return weighed[0], nil
	case len(named) == 0:
		return nil, fmt.Errorf("%s has no part called %s; take the order off again from today's book", ing.Name, u.For)
	}
	return nil, fmt.Errorf("%s has several parts called %s; give each its own name", ing.Name, u.For)
}

// pieceMass returns what one piece of an ingredient with parts weighs: as much
// as they do.
func pieceMass(x *book.Index, ing *book.Ingredient) (exact.Number, error) {
	return x.UsableMass(book.Item{Ingredient: ing}, book.Amount{Dimension: measure.Count, Number: exact.Int(1)})
}

// stockOf returns what is on hand in the unit it is bought in, parts in grams.
func stockOf(x *book.Index, onHand map[book.ID]measure.Quantity) (map[book.ID]exact.Number, error) {
	stock := make(map[book.ID]exact.Number, len(onHand))
	ids := make([]book.ID, 0, len(onHand))
	for id := range onHand {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	var faults []error
	for _, id := range ids {
		q := onHand[id]
		it, ok := x.Item(id)
		switch {
		case !ok:
			faults = append(faults, fmt.Errorf("on hand: %q is no ingredient, packaging or part of the book", id))
		case it.Component != nil:
			faults = append(faults, fmt.Errorf("on hand: %s is made and not bought; only ingredients, their parts and packaging are counted", it.Component.Name))
		case it.Part != nil && (q.Dimension() == measure.Mass || q.Dimension() == measure.Count):
			grams, err := x.UsableMass(it, x.Amount(q))
			if err != nil {
				faults = append(faults, fmt.Errorf("on hand: %w", err))
			}
			stock[id] = grams
		case it.Part != nil:
			faults = append(faults, fmt.Errorf("on hand: %s of %s is neither a mass nor a count; write it in g or each", q, it.Part.Name))
		case q.Dimension() != it.Ingredient.Measure:
			faults = append(faults, fmt.Errorf("on hand: %s of %s, which is bought by %s; write it in %s", q, it.Ingredient.Name, it.Ingredient.Measure, it.Ingredient.Measure.Base()))
		default:
			stock[id] = q.Base(x.Household())
		}
	}
	return stock, errors.Join(faults...)
}

// line works out how much of a need has to be bought.
func (n *need) line(x *book.Index, stock map[book.ID]exact.Number) (Line, error) {
	l := Line{
		ID: n.ing.ID, Name: n.ing.Name, Category: n.ing.Category.Or(""), Kind: n.kind, Unit: n.ing.Measure.Base(),
		Used: n.whole, Needed: n.whole, OnHand: stock[n.ing.ID], For: n.shares, PartsUnknown: n.unknown,
	}
	switch {
	case len(n.ing.Parts) > 0:
		if err := n.split(x, &l, stock); err != nil {
			return Line{}, err
		}
	case n.ing.Measure == measure.Count:
		l.Needed = exact.FromBig(n.whole.Ceil())
	}
	l.ToBuy = exact.Max(exact.Number{}, l.Needed.Sub(l.OnHand))
	l.Left = l.OnHand.Sub(l.Needed) // before anything is bought
	return l, nil
}

// split counts the pieces of what is used in parts, and what they leave.
func (n *need) split(x *book.Index, l *Line, stock map[book.ID]exact.Number) error {
	piece, err := pieceMass(x, n.ing)
	if err != nil {
		return err
	}
	if piece.IsZero() {
		return fmt.Errorf("the parts of %s weigh nothing; give them their masses", n.ing.Name)
	}
	perPiece := exact.Int(1) // base units of one piece
	if n.ing.Measure == measure.Mass {
		perPiece = piece
	}
	s := Split{Whole: n.whole.Quo(perPiece)}
	for i := range n.ing.Parts {
		part := &n.ing.Parts[i]
		p := Part{ID: part.ID, Name: part.Name, InPiece: part.Mass.Base(x.Household()), Needed: n.parts[part.ID], OnHand: stock[part.ID]}
		s.Parts = append(s.Parts, p)
		short := p.Needed.Sub(p.OnHand)
		if short.Sign() <= 0 {
			continue
		}
		if p.InPiece.IsZero() {
			return fmt.Errorf("%s of %s weighs nothing; give it its mass", p.Name, n.ing.Name)
		}
		s.Apart = exact.Max(s.Apart, short.Quo(p.InPiece))
	}
	used := s.Whole.Add(s.Apart)
	s.Pieces = exact.FromBig(used.Ceil())
	l.Used, l.Needed = used.Mul(perPiece), s.Pieces.Mul(perPiece)
	if len(n.parts) == 0 {
		return nil // no piece is taken apart
	}
	for i := range s.Parts {
		p := &s.Parts[i]
		apart := s.Pieces.Sub(s.Whole)
		if s.Apart.IsZero() {
			apart = exact.Number{} // the parts on hand do
		}
		if p.Left = apart.Mul(p.InPiece).Add(p.OnHand).Sub(p.Needed); p.Left.Sign() > 0 {
			p.UsedIn = outlets(x, p.ID)
		}
	}
	l.Split = &s
	return nil
}

// outlets returns the components that use a part, in the order of the book.
func outlets(x *book.Index, part book.ID) []Outlet {
	var list []Outlet
	it, _ := x.Item(part)
	for i := range x.Book.Components {
		c := &x.Book.Components[i]
		var grams exact.Number
		for _, line := range c.Lines {
			if line.Use != part {
				continue
			}
			if mass, err := x.UsableMass(it, x.Amount(line.Qty)); err == nil {
				grams = grams.Add(mass)
			}
		}
		if !grams.IsZero() {
			list = append(list, Outlet{c.ID, c.Name, grams, c.Keeps})
		}
	}
	return list
}
