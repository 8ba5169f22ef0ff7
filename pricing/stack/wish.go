package stack

import (
	"errors"
	"fmt"
	"slices"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// Wish is how somebody asks for a stack, in the words that they typed. What is
// left out is as the book has it, or as is usual.
type Wish struct {
	Guests             int
	MinTiers, MaxTiers int
	Show               int
	Like               string // the cake that lends its recipes; "": one that fits
	KeepLook           bool   // that cake for other guests; see [Rescale]
	KeepTop            record.Maybe[bool]
	Shape              string
	Mixed              bool
	Step, MaxHeight    string
	Cutting
	UsualCut bool   // whether a pattern that says no rule is cut as is usual
	Tins     string // to choose from in place of those that are owned
	AnySize  bool   // every usual size
}

// Question is a wish made ready for a book.
type Question struct {
	Request
	Lender *book.Cake // lends its recipes; nil: no cake of the book does, and nothing is costed
	Found  bool       // whether it was found and not named
	look   bool
}

// Ask makes a wish ready. What is wrong with it is told at the name of the box it
// was typed into: guests, like, shape, step, max_height, style, cut, wedges, tins,
// any_size.
func (w Wish) Ask(x *book.Index) (q Question, faults record.Faults) {
	r := &q.Request
	*r = Request{Guests: w.Guests, MinTiers: w.MinTiers, MaxTiers: w.MaxTiers, Show: w.Show, Mixed: w.Mixed, Tins: x.Book.Tins}
	q.look = w.KeepLook
	if w.Guests < 1 {
		faults.Add("guests", "say how many guests are to be served")
	}
	r.Step, r.MaxHeight = length(&faults, "step", w.Step), length(&faults, "max_height", w.MaxHeight)
	var err error
	if w.Shape != "" {
		if r.Shape, err = shape.ParseKind(w.Shape); err != nil {
			faults.Add("shape", "%s", err)
		}
	}
	q.lend(&faults, x, w)
	if len(faults) > 0 {
		return q, faults
	}
	q.keepTop(w)
	q.cut(&faults, w)
	switch {
	case w.Tins != "" && w.AnySize:
		faults.Add("tins", "name tins, or take every usual size; not both")
	case w.Tins != "":
		if r.Tins, err = ReadTins(w.Tins, x.Book.Tins); err != nil {
			faults.Add("tins", "%s", err)
		}
	case w.AnySize:
		if r.Tins, err = UsualTins(r.Pattern, r.Shape, x.Book.Studio.Household.Or(measure.Metric)); err != nil {
			faults.Add("any_size", "%s", err)
		}
	}
	return q, faults
}

// length reads a length; none where nothing is typed.
func length(faults *record.Faults, path, text string) measure.Quantity {
	if text == "" {
		return measure.Quantity{}
	}
	q, err := ParseQuantity(text)
	switch {
	case err != nil:
		faults.Add(path, "%s", err)
	case q.Dimension() != measure.Length:
		faults.Add(path, "%.40q is no length; write it as 25 mm", text)
	}
	return q
}

// lend finds the cake that lends its recipes: the one named, or one that fits.
// Where there is none, tiers of 100 mm stand in.
func (q *Question) lend(faults *record.Faults, x *book.Index, w Wish) {
	if w.Like != "" {
		c, there := x.Cake(book.ID(w.Like))
		switch {
		case !there:
			faults.Add("like", "the book has no cake %.60q; choose another", w.Like)
		case len(c.Tiers) == 0:
			faults.Add("like", "%s has no tiers to take as a pattern; choose a cake with tiers", c.Name)
		default:
			q.Lender, q.Pattern = c, *c
		}
		return
	}
	if w.KeepLook {
		faults.Add("like", "keeping a look needs the cake whose look is kept; say which")
		return
	}
	if q.Lender, q.Found = PatternIn(x.Book, q.Shape); q.Found {
		q.Pattern = *q.Lender
		return
	}
	q.Lender, q.Pattern = nil, BarePattern(q.Shape)
}

// keepTop decides whether the top tier is made and not served: as somebody says,
// else as the pattern has it. What keeps its look keeps its top too, unless
// somebody says that it is served.
func (q *Question) keepTop(w Wish) {
	top := len(q.Pattern.Tiers) - 1
	switch {
	case w.KeepTop.Given:
		if q.KeepTop = w.KeepTop.Value; w.KeepLook && !q.KeepTop {
			q.Pattern.Tiers = slices.Clone(q.Pattern.Tiers)
			q.Pattern.Tiers[top].Kept = record.Maybe[bool]{}
		}
	case !w.KeepLook:
		q.KeepTop = q.Pattern.Tiers[top].Kept.Or(false)
	}
}

// cut finds the rule by which every tier is cut.
func (q *Question) cut(faults *record.Faults, w Wish) {
	var err error
	switch q.Cut, err = w.Rule(q.Pattern); {
	case err == nil:
	case errors.Is(err, ErrNoRule) && w.UsualCut:
		q.Cut = UsualFinger()
	case errors.Is(err, ErrNoRule):
		faults.Add("style", "%s states its portions as a number, which holds for its own size only; say how others are cut: finger or wedge", q.Pattern.Name)
	case errors.Is(err, ErrNoWedges):
		faults.Add("wedges", "%s says no number of wedges; say how many a tier is cut into", q.Pattern.Name)
	case w.Finger != "" && !errors.Is(err, ErrTwoCuts):
		faults.Add("cut", "%s", err)
	default:
		faults.Add("style", "%s", err)
	}
}

// Answer returns the stacks for a question, the best first; see [Propose] and
// [Rescale].
func (q Question) Answer() ([]Proposal, error) {
	if q.look {
		return Rescale(q.Request)
	}
	return Propose(q.Request)
}

// Costed is a proposal and what it costs.
type Costed struct {
	Proposal
	Costing *pricing.Costing // nil where no cake lends recipes, or Err says why
	Err     error
}

// Cost gives each proposal an id and costs it by the recipes of the cake that
// lends them, with the prices of a day.
func (q Question) Cost(b book.Book, found []Proposal, on day.Date) []Costed {
	list := make([]Costed, len(found))
	b.Cakes = nil
	for i := range found {
		found[i].Cake.ID = book.ID(fmt.Sprintf("proposal-%d", i+1))
		b.Cakes = append(b.Cakes, found[i].Cake)
		list[i].Proposal = found[i]
	}
	if q.Lender == nil {
		return list
	}
	x := book.NewIndex(b)
	rates := pricing.NewRates(x, on)
	for i := range list {
		c, err := pricing.CostCake(x, list[i].Cake.ID, rates)
		if list[i].Err = err; err == nil {
			list[i].Costing = &c
		}
	}
	return list
}
