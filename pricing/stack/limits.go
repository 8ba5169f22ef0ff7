package stack

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/shape"
)

// NoFit says that no stack within the limits serves enough, and which limits
// are in the way.
type NoFit struct {
	Guests  int
	Most    int // what the largest stack within the limits serves; -1 where there is none
	Tins    int // how many tins there are to choose from
	Reliefs []Relief
	All     int // what the largest stack serves with every limit lifted
}

// TooMany is a party larger than any one cake is asked for.
type TooMany struct{ Guests, Most int }

// Error says what to do instead.
func (e *TooMany) Error() string { return e.In(strconv.Itoa) }

// In is [TooMany.Error] with figures as somebody writes them.
func (e *TooMany) In(write func(int) string) string {
	return fmt.Sprintf("%s guests are more than one cake serves; at most %s: share them among several", write(e.Guests), write(e.Most))
}

// Relief is a change of one limit that would do by itself.
type Relief struct {
	Limit Limit
	Text  string // in words
	To    string // the limit's new value, as a person would write it
}

// Limit names a limit of a request.
type Limit string

// The limits.
const (
	TiersLimit  Limit = "tiers"
	HeightLimit Limit = "height"
	StepLimit   Limit = "step"
	TopLimit    Limit = "top"
	ShapeLimit  Limit = "shape"
	MixedLimit  Limit = "mixed"
	TinLimit    Limit = "tin"
)

// Error says all of it, a line for every relief.
func (e *NoFit) Error() string {
	var b strings.Builder
	switch {
	case e.Tins == 0:
		fmt.Fprintf(&b, "there are no tins to stack for %d guests", e.Guests)
	case e.Most < 0:
		fmt.Fprintf(&b, "no stack at all is within the limits, for %d guests or fewer", e.Guests)
	default:
		fmt.Fprintf(&b, "nothing serves %d: the largest stack of the tins within the limits serves %d", e.Guests, e.Most)
	}
	switch {
	case len(e.Reliefs) > 0:
		b.WriteString("; any one of these would do:")
		for _, r := range e.Reliefs {
			b.WriteString("\n  " + r.Text)
		}
	case e.All >= e.Guests:
		fmt.Fprintf(&b, "; no single change would do, but with every limit lifted the tins serve up to %d", e.All)
	case e.Tins > 0:
		fmt.Fprintf(&b, "; even with every limit lifted the tins serve %d: share the guests among several cakes", max(e.All, 0))
	}
	return b.String()
}

// noFit tries every limit by itself. fields makes a problem ready for its search.
func noFit(r Request, most int, fields func(*problem)) error {
	r.counted = &counted{map[baked]int{}, map[string]tin{}}
	e := &NoFit{Guests: r.Guests, Most: most, Tins: len(shelf(r.Tins, r.counted))}
	t := trial{r, fields, e}
	if !r.look {
		t.tiers()
		t.height()
	}
	t.step()
	t.top()
	t.shapes()
	t.tin()
	free := r
	free.KeepTop, free.Mixed, free.Step = false, true, measure.Must("0 mm")
	if !r.look {
		free.MinTiers, free.MaxTiers, free.MaxHeight, free.Shape = 1, mostTiers, measure.Quantity{}, ""
	}
	e.All = t.serves(free)
	return e
}

// trial changes one limit at a time.
type trial struct {
	Request
	fields func(*problem)
	found  *NoFit
}

// problem makes a request ready for its search; not where it makes no sense.
func (t trial) problem(r Request) (*problem, bool) {
	p, err := newProblem(r)
	if err != nil {
		return nil, false
	}
	t.fields(p)
	return p, true
}

// serves says how many the largest stack for a request serves, -1 where there is
// no stack at all.
func (t trial) serves(r Request) int {
	if p, ok := t.problem(r); ok {
		return p.serves()
	}
	return -1
}

func (t trial) enough(r Request) bool { return t.serves(r) >= t.Guests }

func (t trial) add(limit Limit, to, format string, args ...any) {
	t.found.Reliefs = append(t.found.Reliefs, Relief{limit, fmt.Sprintf(format, args...), to})
}

// tiers finds the fewest that do. No number of tiers within the limit does.
func (t trial) tiers() {
	r := t.Request
	was := r.MaxTiers
	if was == 0 {
		was = max(usualTiers, r.MinTiers)
	}
	r.MinTiers, r.MaxTiers = was+1, mostTiers
	p, ok := t.problem(r)
	if was >= mostTiers || !ok {
		return
	}
	for _, f := range p.fields { // the fewest tiers come first
		if f.most(0, -1) >= t.Guests {
			t.add(TiersLimit, fmt.Sprint(f.n), "up to %d tiers instead of %d", f.n, was)
			return
		}
	}
}

func (t trial) height() {
	if !t.MaxHeight.Given() {
		return
	}
	r := t.Request
	r.MaxHeight = measure.Quantity{}
	p, ok := t.problem(r)
	if !ok {
		return
	}
	var least exact.Number
	for _, f := range p.fields {
		if h := p.height(f.n); f.most(0, -1) >= t.Guests && (least.IsZero() || h.Cmp(least) < 0) {
			least = h
		}
	}
	if !least.IsZero() {
		to := millimetres(least)
		t.add(HeightLimit, to, "a height of %s instead of %s", to, t.MaxHeight)
	}
}

// step finds the largest whole millimetre that is small enough: what fits at a
// step fits at every smaller one.
func (t trial) step() {
	r := t.Request
	step := r.Step
	if !step.Given() {
		step = usualStep
	}
	at := func(mm int) Request {
		r.Step = measure.Must(fmt.Sprintf("%d mm", mm))
		return r
	}
	// The least whole millimetre that is no smaller than the step there is.
	below := int(step.Base(measure.Metric).Ceil().Int64()) - 1
	if below < 0 || !t.enough(at(0)) {
		return
	}
	low, high := 0, below+1 // low does, high does not
	for high-low > 1 {
		if mid := (low + high) / 2; t.enough(at(mid)) {
			low = mid
		} else {
			high = mid
		}
	}
	to := at(low).Step.String()
	t.add(StepLimit, to, "a step of %s a side instead of %s", to, step)
}

func (t trial) top() {
	r := t.Request
	if r.KeepTop = false; t.KeepTop && t.enough(r) {
		t.add(TopLimit, "", "the top tier served, not kept")
	}
}

func (t trial) shapes() {
	r := t.Request
	if r.Shape != "" {
		var others []string
		for _, k := range shape.Kinds() {
			if r.Shape = k; k != t.Shape && t.enough(r) {
				others = append(others, string(k))
			}
		}
		if len(others) > 0 {
			t.add(ShapeLimit, others[0], "another shape: %s instead of %s", strings.Join(others, " or "), t.Shape)
			return
		}
		r.Shape = ""
	}
	if r.Mixed = true; !t.Mixed && t.Shape == "" && t.enough(r) {
		t.add(MixedLimit, "", "shapes mixed in one stack")
	}
}

// tin looks for the smallest tin of the shape wanted that would do, among
// the sizes that a large oven takes.
func (t trial) tin() {
	like := t.likeOutline()
	if !like.Given() || like.Kind() == shape.Measured {
		return
	}
	p, ok := t.problem(t.Request)
	if !ok || len(t.Tins) >= mostTins {
		return
	}
	below := p.below()
	for _, size := range sizesUpTo(like, widestMM) {
		if p.servesWith(size, below) >= t.Guests {
			t.add(TinLimit, size.String(), "one more tin: %s", size)
			return
		}
	}
}

// likeOutline is what a further tin would look like: of the shape asked for,
// else as the bottom of the pattern.
func (t trial) likeOutline() shape.Outline {
	bottom := t.Pattern.Tiers[0].Solid().Outline
	if t.Shape == "" || t.Shape == bottom.Kind() {
		return bottom
	}
	for _, tin := range t.Tins {
		if tin.Shape == t.Shape {
			return tin.Outline()
		}
	}
	if len(t.Shape.Sizes()) == 1 {
		if o, err := shape.New(t.Shape, measure.Must("200 mm")); err == nil {
			return o
		}
	}
	return shape.Outline{}
}

// millimetres writes a length in cm as a quantity, rounded up.
func millimetres(cm exact.Number) string {
	return decimal.NewFromBigInt(cm.Mul(exact.Int(10)).Ceil(), 0).String() + " mm"
}
