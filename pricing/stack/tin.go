package stack

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
	"marchpane/pricing/shape"
)

// mostOwned bounds how many of one tin a list may name.
const mostOwned = 99

var copies = regexp.MustCompile(`^(.*\S)\s+[x×]([0-9]{1,4})$`)

// ParseTin reads a tin as one says it: its shape, its sizes and, if known, its
// inner depth, as in "round 200 mm", "rectangle 30 cm x 20 cm x 5 cm" or "heart
// 15 cm x 75 mm". A count may follow: "round 150 mm x2" is owned twice.
func ParseTin(s string) (book.Tin, error) {
	text, owned := strings.Join(strings.Fields(s), " "), 1
	if m := copies.FindStringSubmatch(text); m != nil {
		n, err := strconv.Atoi(m[2])
		if err != nil || n < 1 || n > mostOwned {
			return book.Tin{}, fmt.Errorf("tin %.60q: a tin is owned 1 to %d times", s, mostOwned)
		}
		text, owned = m[1], n
	}
	m, err := ParseMould(text)
	if err != nil {
		return book.Tin{}, fmt.Errorf("tin %.60q: %w", s, err)
	}
	if m.Shape == "" {
		return book.Tin{}, fmt.Errorf("tin %.60q: say its shape and sizes, such as \"round 200 mm\"", s)
	}
	t := book.Tin{Mould: m}
	if owned != 1 {
		t.Owned = record.Some(owned)
	}
	return t, nil
}

// ParseMould reads a mould by its shape and sizes, as [ParseTin] has them, or
// by what it holds: "2.3 l".
func ParseMould(s string) (book.Mould, error) {
	text := strings.Join(strings.Fields(s), " ")
	if q, err := ParseQuantity(text); err == nil {
		if q.Dimension() != measure.Volume || q.Sign() == 0 {
			return book.Mould{}, fmt.Errorf("%q is no volume above 0; say what it holds, such as \"2.3 l\"", text)
		}
		return book.Mould{Holds: q}, nil
	}
	word, rest, _ := strings.Cut(text, " ")
	kind, err := shape.ParseKind(strings.ToLower(strings.TrimSuffix(word, ",")))
	if err != nil {
		return book.Mould{}, fmt.Errorf("%.60q starts with no shape; write for example \"round 200 mm x 75 mm\", \"square 20 cm\" or \"2.3 l\"", text)
	}
	m := book.Mould{Shape: kind}
	slots := sizesOf(kind, &m)
	names := append(slices.Clone(kind.Sizes()), "depth")
	sizes := strings.FieldsFunc(rest, func(r rune) bool { return r == 'x' || r == '×' })
	if len(sizes) < len(slots)-1 || len(sizes) > len(slots) {
		return book.Mould{}, fmt.Errorf("%.60q: a %s has %s and, if known, its depth, with an x between them", text, kind, strings.Join(kind.Sizes(), " and "))
	}
	for i, size := range sizes {
		q, err := ParseQuantity(strings.TrimSpace(size))
		if err == nil {
			err = shape.CheckSize(names[i], q)
		}
		if err != nil {
			return book.Mould{}, err
		}
		*slots[i] = q
	}
	return m, nil
}

// ParseQuantity reads a quantity; the space before the unit may be left out.
func ParseQuantity(s string) (measure.Quantity, error) {
	text := strings.TrimSpace(s)
	if i := strings.IndexFunc(text, func(r rune) bool { return r != '.' && (r < '0' || r > '9') }); i > 0 && text[i] != ' ' {
		text = text[:i] + " " + text[i:]
	}
	return measure.Parse(text)
}

// sizesOf returns where the sizes and the depth of a mould of kind k stand, in
// the order of [shape.Kind.Sizes].
func sizesOf(k shape.Kind, m *book.Mould) []*measure.Quantity {
	switch k {
	case shape.Round:
		return []*measure.Quantity{&m.Diameter, &m.Height}
	case shape.Rectangle:
		return []*measure.Quantity{&m.Length, &m.Width, &m.Height}
	case shape.Measured:
		return []*measure.Quantity{&m.Area, &m.Perimeter, &m.Height}
	}
	return []*measure.Quantity{&m.Side, &m.Height}
}

// The sizes that tins are sold in: every 5 mm from 100 to 450, or every half
// inch from 4 to 18. Common practice, no source.
const (
	leastMM, mostMM, stepMM = 100, 450, 5
	widestMM                = 600 // that a large oven takes
	leastHalf               = 8
)

// AnySize returns tins of the form of like in every usual size, each owned
// once: in inches where like is. A rectangle keeps its proportions to the
// nearest size. A measured outline has no sizes.
func AnySize(like shape.Outline) []book.Tin { return sizesUpTo(like, mostMM) }

// sizesUpTo returns the usual sizes up to a number of mm, or as many half
// inches of 12.5 mm.
func sizesUpTo(like shape.Outline, most int) []book.Tin {
	if !like.Given() || like.Kind() == shape.Measured {
		return nil
	}
	symbol, n, step, places := "mm", leastMM, stepMM, int32(0)
	if s := like.Sizes()[0].Unit().String(); s == "in" || s == "ft" {
		symbol, n, step, places, most = "in", leastHalf*5, 5, 1, most*2/5
	}
	unit, err := measure.ParseUnit(symbol)
	if err != nil {
		return nil // both are units
	}
	var tins []book.Tin
	for ; n <= most; n += step {
		m := book.Mould{Shape: like.Kind()}
		slots := sizesOf(m.Shape, &m)
		*slots[0] = measure.Of(trimmed(decimal.New(int64(n), -places)), unit)
		if m.Shape == shape.Rectangle {
			wide := shape.Centimetres(like.Sizes()[1]).Quo(shape.Centimetres(like.Sizes()[0]))
			nearest := wide.Mul(exact.Frac(int64(n), int64(step))).Round(0).Mul(decimal.NewFromInt(int64(step)))
			if nearest.IsZero() {
				continue
			}
			*slots[1] = measure.Of(trimmed(nearest.Shift(-places)), unit)
		}
		tins = append(tins, book.Tin{Mould: m})
	}
	return tins
}

// trimmed writes 4.0 as 4.
func trimmed(d decimal.Decimal) decimal.Decimal {
	if whole := d.Truncate(0); whole.Equal(d) {
		return whole
	}
	return d
}

// tin is a tin as the search sees it; those of one outline are one.
type tin struct {
	book.Tin
	owned   int
	outline shape.Outline
	area    extent
	sizes   [2]extent // in cm, the longer first
	grown   [2]extent // the sizes with a step more on every side
	room2   extent    // the square of the radius of the circle within, less a step, in cm; less than 0 where nothing is left
	around2 extent    // the square of the radius of the circle round it
}

// extent is a measure of a tin that is mostly compared. Its floor settles nearly
// every comparison; what the floor leaves open is compared exactly.
type extent struct {
	exact.Number
	floor int64 // in millionths; the largest there is where it is larger
}

func extentOf(n exact.Number) extent {
	floor := n.Mul(exact.Int(millionth)).Floor()
	if !floor.IsInt64() {
		if floor.Sign() < 0 {
			return extent{n, math.MinInt64}
		}
		return extent{n, math.MaxInt64}
	}
	return extent{n, floor.Int64()}
}

// Cmp compares two extents.
func (e extent) Cmp(f extent) int {
	if e.floor != f.floor {
		return cmp.Compare(e.floor, f.floor)
	}
	return e.Number.Cmp(f.Number)
}

// shelf sorts tins, the largest first, and joins those of one outline. What is
// counted of them stays known where k is not nil.
func shelf(list []book.Tin, k *counted) []tin {
	var tins []tin
	for _, b := range list {
		t := tin{Tin: b, owned: b.Owned.Or(1), outline: b.Outline()}
		if t.owned < 1 || !t.outline.Given() {
			continue
		}
		t.measured(k)
		there := false
		for i := range tins {
			if there = t.same(&tins[i]); there {
				tins[i].owned += t.owned
				break
			}
		}
		if !there {
			tins = append(tins, t)
		}
	}
	slices.SortStableFunc(tins, func(a, b tin) int { return a.order(&b) })
	return tins
}

// order compares the places of two tins on the shelf.
func (t *tin) order(u *tin) int {
	if c := u.area.Cmp(t.area); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(slices.Index(shape.Kinds(), t.outline.Kind()), slices.Index(shape.Kinds(), u.outline.Kind())), u.sizes[0].Cmp(t.sizes[0]))
}

// measured is measure for those who may have measured the like before.
func (t *tin) measured(k *counted) {
	if k == nil {
		t.measure()
		return
	}
	name := t.outline.String()
	known, there := k.tins[name]
	if !there {
		t.measure()
		k.tins[name] = *t
		return
	}
	t.area, t.sizes = known.area, known.sizes
}

func (t *tin) measure() {
	o := t.outline
	t.area = extentOf(o.Area())
	if o.Kind() == shape.Measured {
		t.sizes = [2]extent{t.area, extentOf(o.Perimeter())}
		return
	}
	a := shape.Centimetres(o.Sizes()[0])
	b := a
	if o.Kind() == shape.Rectangle {
		b = shape.Centimetres(o.Sizes()[1])
		if a.Cmp(b) < 0 {
			a, b = b, a
		}
	}
	t.sizes = [2]extent{extentOf(a), extentOf(b)}
}

// grow works out what t needs of the tin below, and leaves for the tin above,
// with a step to be seen on every side.
func (t *tin) grow(r rule) {
	if t.outline.Kind() == shape.Measured {
		return
	}
	both := exact.Int(2).Mul(r.step)
	if t.outline.Kind() == shape.Hexagon {
		both = both.Quo(exact.Sqrt3()) // (S − s)·√3/2 is the step
	}
	a, b := t.sizes[0].Number, t.sizes[1].Number
	t.grown = [2]extent{extentOf(a.Add(both)), extentOf(b.Add(both))}
	if !r.mixed {
		return
	}
	half, quarter := exact.Frac(1, 2), exact.Frac(1, 4)
	var inside, around2 exact.Number
	switch inside = b.Mul(half); t.outline.Kind() {
	case shape.Round:
		around2 = a.Mul(a).Mul(quarter)
	case shape.Square, shape.Rectangle:
		around2 = a.Mul(a).Add(b.Mul(b)).Mul(quarter)
	case shape.Hexagon: // apothem s·√3/2; corners at s
		inside, around2 = a.Mul(exact.Sqrt3()).Mul(half), a.Mul(a)
	case shape.Heart: // about the middle of its square: lobes reach s/2 + s/2
		around2 = a.Mul(a)
	}
	t.around2 = extentOf(around2)
	room := inside.Sub(r.step)
	if t.room2 = extentOf(room.Mul(room)); room.Sign() < 0 {
		t.room2 = extentOf(exact.Int(-1))
	}
}

func (t *tin) same(u *tin) bool {
	return t.outline.Kind() == u.outline.Kind() && t.sizes[0].Cmp(u.sizes[0]) == 0 && t.sizes[1].Cmp(u.sizes[1]) == 0
}
