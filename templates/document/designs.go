package document

import (
	"unicode"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/quote"
	"marchpane/pricing/shape"
)

// cakes describes every design of the order.
func (w quoteWriter) cakes() []Cake {
	var cakes []Cake
	for _, d := range w.offer.Designs {
		c := Cake{Name: d.Name, Description: d.Description, Portions: w.portions(d), Unit: Centimetres}
		if n := w.ordered(d); n > 1 {
			c.Quantity = w.filled(w.m.Copies, n)
			if d.Made > 0 {
				c.Portions = sentence(w.m.PortionsEach, c.Portions)
			}
		}
		for _, t := range d.Tiers {
			c.Tiers = append(c.Tiers, w.tier(t))
		}
		c.Height = w.stackHeight(c.Tiers)
		if len(c.Tiers) > 0 && imperial(c.Tiers[0].Form.Height) {
			c.Unit = Inches
		}
		cakes = append(cakes, c)
	}
	return cakes
}

// ordered counts how many of a design are ordered, over all lines.
func (w quoteWriter) ordered(d quote.Design) int {
	n := 0
	for _, l := range w.offer.Lines {
		if l.Kind == quote.CakeLine && l.ID == d.Cake {
			n += l.Quantity
		}
	}
	return n
}

// portions says how many portions a design makes and how many are served.
func (w quoteWriter) portions(d quote.Design) string {
	made := w.m.Count(w.Locale, w.m.Portions, d.Made)
	switch {
	case d.Made == 0:
		return w.m.NoPortions
	case d.Served == d.Made:
		return made
	case d.Served == 0:
		return sentence(w.m.AllKept, made)
	}
	return w.filled(w.m.ServedAndKept, made, d.Served, d.Made-d.Served)
}

func (w quoteWriter) tier(t quote.Tier) Tier {
	out := Tier{Name: capital(t.Name), Form: t.Form.Solid(), Dummy: t.Dummy, Kept: t.Kept && !t.Dummy}
	out.Size = w.Size(out.Form)
	out.Width = w.frontWidth(out.Form.Outline)
	out.Height = w.Quantity(out.Form.Height)
	switch {
	case t.Dummy:
		out.Note = w.m.DummyNote
	case t.Kept:
		out.Note = w.m.KeptNote
	}
	if !t.Dummy {
		out.Portions = w.m.Count(w.Locale, w.m.Portions, t.Portions)
	}
	return out
}

// frontWidth is the dimension of an outline seen from the front, in the unit
// that its size was typed in; "" where an area and a perimeter leave it open.
// See package drawing for the formulas.
func (w quoteWriter) frontWidth(o shape.Outline) string {
	sizes := o.Sizes()
	switch o.Kind() {
	case shape.Rectangle:
		if sizes[1].Base(measure.Metric).Cmp(sizes[0].Base(measure.Metric)) > 0 {
			return w.Quantity(sizes[1])
		}
	case shape.Hexagon:
		return w.Quantity(measure.Of(sizes[0].Figure().Mul(decimal.NewFromInt(2)), sizes[0].Unit()))
	case shape.Heart:
		// 1 + √2⁄2, to more places than a cake has millimetres.
		wide := exact.FromDecimal(sizes[0].Figure()).Mul(exact.Must("1.70710678"))
		places := int32(0)
		if sizes[0].Unit().Factor(measure.Metric).Cmp(exact.Int(1)) > 0 {
			places = 1 // of anything longer than a millimetre
		}
		return "≈\u00a0" + w.Quantity(measure.Of(wide.Round(places), sizes[0].Unit()))
	case shape.Measured:
		return ""
	}
	return w.Quantity(sizes[0])
}

// stackHeight adds up the heights in their common unit, or in millimetres.
func (w quoteWriter) stackHeight(tiers []Tier) string {
	if len(tiers) == 0 {
		return ""
	}
	unit, common := tiers[0].Form.Height.Unit(), true
	var sum decimal.Decimal
	var mm exact.Number
	for _, t := range tiers {
		common = common && t.Form.Height.Unit() == unit
		sum = sum.Add(t.Form.Height.Figure())
		mm = mm.Add(t.Form.Height.Base(measure.Metric))
	}
	if common {
		return w.Quantity(measure.Of(sum, unit))
	}
	millimetre, err := measure.ParseUnit("mm")
	if err != nil {
		return ""
	}
	return w.Quantity(measure.Of(mm.Round(0), millimetre))
}

// capital starts a label with a capital letter: books call tiers "top".
func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if first == utf8.RuneError {
		return s
	}
	return string(unicode.ToTitle(first)) + s[size:]
}

func imperial(q measure.Quantity) bool {
	symbol := q.Unit().String()
	return symbol == "in" || symbol == "ft"
}
