package recipe

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
	"marchpane/pricing/record"
)

// Weights tells what one unit of an ingredient weighs: words are those of the
// line, its state among them ("sifted flour", "large egg"), in its own
// language; unit is "ml" for a density, "each" for a piece, or a word of the
// kitchen such as "pinch" or "sachet". Answers name their source. A nil Weights
// knows nothing.
type Weights func(words, unit string) (grams exact.Number, source string, ok bool)

// Answers are what a person has said of lines, by their numbers.
type Answers struct {
	Use    map[int]book.ID
	Qty    map[int]measure.Quantity
	Skip   map[int]bool // leave the line out
	Accept map[int]bool // what is proposed is right
}

// Draft is a component as a recipe would have it, and what of it is open.
type Draft struct {
	Component book.Component
	Lines     []DraftLine
	Proposed  []book.Ingredient // for lines that the book has nothing for; without prices
}

// DraftLine is a line with what it becomes.
type DraftLine struct {
	Line
	Matches []Match // the surest first
	Use     book.ID // "" where none is proposed
	Given   bool    // a person has said Use
	Qty     measure.Quantity
	Working string // how the quantity came about, with the source of a weight
	Skipped bool
	Open    []string // what stands in the way of saving it
	Stuck   bool     // the book cannot turn the quantity into what is bought
}

// Ready reports whether every line is settled.
func (d Draft) Ready() bool {
	return !slices.ContainsFunc(d.Lines, func(l DraftLine) bool { return len(l.Open) > 0 })
}

// NewDraft proposes a component. Lines that a person has settled stand as they
// said; of the others only what is sure and whole does, and the rest is open.
func NewDraft(x *book.Index, r Recipe, id book.ID, m *Matcher, w Weights, a Answers) Draft {
	d := Draft{Component: book.Component{ID: id, Name: r.Source.Name, Lines: []book.Line{}}}
	if d.Component.Name == "" {
		d.Component.Name = string(id)
	}
	for _, line := range r.Lines {
		l := DraftLine{Line: line}
		if !line.Heading {
			d.settle(x, &l, m, w, a)
		}
		d.Lines = append(d.Lines, l)
		if l.Heading || l.Skipped || l.Use == "" || !l.Qty.Given() {
			continue
		}
		use := book.Line{Use: l.Use, Qty: l.Qty}
		if note := l.noteText(); note != "" {
			use.Note = record.Some(note)
		}
		d.Component.Lines = append(d.Component.Lines, use)
	}
	if method := r.Method(); method != "" {
		d.Component.Method = record.Some(method)
	}
	return d
}

// settle says what a line becomes.
func (d *Draft) settle(x *book.Index, l *DraftLine, m *Matcher, w Weights, a Answers) {
	n := l.Number
	l.Matches = m.Match(l.Line)
	if l.Skipped = a.Skip[n]; l.Skipped {
		return
	}
	if id, said := a.Use[n]; said {
		l.Use, l.Given = id, true
	} else if len(l.Matches) > 0 && l.Matches[0].Confidence >= Proposed {
		l.Use = l.Matches[0].Use
	}
	qty, said := a.Qty[n]
	if said {
		l.Qty, l.Working = qty, "as you said"
	} else if !l.Unmeasured && l.Amount.Given {
		l.quantity(x, w)
	}
	accepted, unsure := a.Accept[n], true
	switch {
	case l.Use == "":
		ing := d.propose(l.Line)
		l.Open = append(l.Open, fmt.Sprintf("the book has nothing like %q; add an ingredient such as %s (%s), or say which it is", l.Words, ing.ID, ing.Measure))
	case !l.Given && l.Matches[0].Confidence < Sure && !accepted:
		l.Open = append(l.Open, fmt.Sprintf("is it %s? that is %s: %s", l.Use, l.Matches[0].Confidence.Word(), l.Matches[0].Why))
	default:
		unsure = false
	}
	if !said {
		for _, f := range l.Faults {
			if !accepted || !l.Qty.Given() {
				l.Open = append(l.Open, f)
			}
		}
		switch {
		case l.Unmeasured || !l.Amount.Given:
			l.Open = append(l.Open, "it has no amount; say one, or leave the line out")
		case accepted:
		default:
			l.Open = append(append(l.Open, l.Doubts...), l.suspicions()...)
		}
	}
	if l.Qty.Given() && l.Qty.Sign() == 0 {
		l.Open = append(l.Open, "its amount is 0; say another, or leave the line out")
	}
	if !unsure {
		l.check(x)
	}
}

// suspicions are what a line that reads well may still mean otherwise.
func (l *DraftLine) suspicions() (list []string) {
	text := strings.ToLower(strings.TrimSpace(l.Text))
	if len(text) > 1 && text[0] == '-' && text[1] >= '0' && text[1] <= '9' {
		list = append(list, "it begins with a minus, which was taken for the mark of a list")
	}
	for _, word := range []string{" or ", " oder ", " ou "} {
		if strings.Contains(text, word) {
			list = append(list, "it names a choice; the first was taken")
			break
		}
	}
	return list
}

// check makes sure that what the book would be told can be costed.
func (l *DraftLine) check(x *book.Index) {
	if l.Use == "" || !l.Qty.Given() {
		return
	}
	it, ok := x.Item(l.Use)
	if !ok {
		l.Open = append(l.Open, fmt.Sprintf("%s is no ingredient, part or component of the book", l.Use))
		return
	}
	if _, err := x.Charge(it, x.Amount(l.Qty)); err != nil && !errors.Is(err, book.ErrReported) {
		l.Stuck = true
		l.Open = append(l.Open, err.Error()+"; or say the quantity in another measure")
	}
}

// quantity turns a line's amount into one that the book holds. The upper end of
// a range is taken.
func (l *DraftLine) quantity(x *book.Index, w Weights) {
	it, known := x.Item(l.Use)
	amount, unit, working := l.Amount.High, l.Unit, ""
	if l.Amount.Range() {
		working = "the upper of " + l.Amount.Text()
		l.Doubts = addNew(l.Doubts, fmt.Sprintf("of %s the upper was taken", l.Amount.Text()))
	}
	if l.Packs != nil {
		working = joinNotes(working, fmt.Sprintf("%s × %s %s", l.Packs.Count.High.Text(), l.Packs.Each.Amount.High.Text(), l.Packs.Each.Unit.Word))
	}
	// A weight that the recipe gives beside a measure is the better of the two.
	if l.Also != nil && l.Plus == nil && better(l.Also.Unit, unit) {
		amount, unit = l.Also.Amount.High, l.Also.Unit
		working = "the weight given beside it"
	}
	unit, doubt := localUnit(unit, l.Unit, x.Household())
	if doubt != "" {
		l.Doubts = addNew(l.Doubts, doubt)
	}
	if unit.Word == "stick" && butter(l.Words) {
		amount, unit.Word = amount.Mul(exact.Frac(1, 4)), "lb"
		working = joinNotes(working, "a stick of butter is a quarter of a pound (GNU units: stickbutter)")
	}
	m, measured := unit.Measure()
	if unit.Word == "" {
		m, measured = mustUnit("each"), true
	}
	if !measured {
		l.weigh(w, amount, unit.Word, working)
		return
	}
	if m.Dimension() == measure.Length && known && it.Ingredient != nil && it.Ingredient.Measure != measure.Length {
		l.Open = append(l.Open, fmt.Sprintf("what %s %s of it weighs is not known; say the quantity", amount.Text(), m))
		return
	}
	qty, rounded := quantityOf(amount, m, x.Household())
	if l.Plus != nil {
		var err error
		if qty, err = l.sum(x, amount, m); err != nil {
			l.Open = append(l.Open, err.Error())
			return
		}
		working = joinNotes(working, "both amounts together")
	}
	if rounded {
		working = joinNotes(working, fmt.Sprintf("%s %s, rounded to a thousandth", amount.Text(), m))
	}
	l.Qty, l.Working = qty, working
	l.weighMeasure(x, w, it, known, qty)
}

// weighMeasure weighs a volume or a number of pieces by a table where the book
// does not say what they weigh, or where the state of the goods changes it: a
// cup of sifted flour holds less than one of flour as bought.
func (l *DraftLine) weighMeasure(x *book.Index, w Weights, it book.Item, known bool, qty measure.Quantity) {
	dimension := qty.Dimension()
	if dimension != measure.Volume && dimension != measure.Count {
		return
	}
	bridged := false
	if known {
		_, err := x.Charge(it, x.Amount(qty))
		bridged = err == nil
	}
	state := dimension == measure.Volume && changesDensity(l.State)
	if bridged && !state {
		return
	}
	words := joinWords(l.Size, l.Words)
	if state {
		words = joinWords(packing(l.State), l.Words)
	}
	var grams exact.Number
	var source string
	ok := false
	if w != nil {
		grams, source, ok = w(words, dimension.Base())
	}
	if !ok {
		if state && bridged {
			l.Doubts = addNew(l.Doubts, fmt.Sprintf("%s changes what a measure holds; the density of the book was used", packing(l.State)))
		}
		return
	}
	if dimension == measure.Count && known && it.Ingredient != nil && it.Ingredient.TrimYield.Given {
		l.Doubts = addNew(l.Doubts, fmt.Sprintf("a table weighs a piece without what is thrown away, and the trim yield of %s (%s) is reckoned on top", it.Ingredient.ID, it.Ingredient.TrimYield.Value))
	}
	weight := qty.Base(x.Household()).Mul(grams)
	l.Qty = measure.Of(short(weight, 3), mustUnit("g"))
	l.Working = joinNotes(l.Working, fmt.Sprintf("%s at %s g per %s: %s", qty, grams.Fixed(3), dimension.Base(), source))
}

// weigh asks what a word of the kitchen holds.
func (l *DraftLine) weigh(w Weights, amount exact.Number, unit, working string) {
	if w != nil {
		if grams, source, ok := w(joinWords(l.Size, l.Words), unit); ok {
			l.Qty = measure.Of(short(amount.Mul(grams), 3), mustUnit("g"))
			l.Working = joinNotes(working, fmt.Sprintf("%s g per %s: %s", grams.Fixed(3), unit, source))
			l.Doubts = addNew(l.Doubts, fmt.Sprintf("a %s is no exact measure; %s was taken", unit, l.Qty))
			return
		}
	}
	l.Open = append(l.Open, fmt.Sprintf("how much a %s holds is not known; say the quantity, or leave the line out", unit))
}

// sum adds the second of two amounts, "1 cup plus 2 tbsp".
func (l *DraftLine) sum(x *book.Index, amount exact.Number, m measure.Unit) (measure.Quantity, error) {
	second, _ := localUnit(l.Plus.Unit, l.Plus.Unit, x.Household())
	n, ok := second.Measure()
	if !ok || n.Dimension() != m.Dimension() {
		return measure.Quantity{}, fmt.Errorf("%s %s and %s %s cannot be added; say the quantity", amount.Text(), m, l.Plus.Amount.High.Text(), l.Plus.Unit.Word)
	}
	total := amount.Mul(m.Factor(x.Household())).Add(l.Plus.Amount.High.Mul(n.Factor(x.Household())))
	return measure.Of(short(total, 3), mustUnit(m.Dimension().Base())), nil
}

// better reports whether a measure beside another is the one to take: grams
// before ounces before volumes before words.
func better(other, than Unit) bool { return rank(other) > rank(than) }

func rank(u Unit) int {
	m, ok := u.Measure()
	switch {
	case !ok:
		return 0
	case m.Dimension() == measure.Mass && metric(u):
		return 4
	case m.Dimension() == measure.Mass:
		return 3
	case metric(u):
		return 2
	}
	return 1
}

// localUnit settles pints and fluid ounces, which the United States and Britain
// measure differently, by the kitchen's household, with a doubt.
func localUnit(u, said Unit, h measure.Household) (Unit, string) {
	if u.open == "" {
		return u, ""
	}
	country := "uk"
	if h == measure.US {
		country = "us"
	}
	local := country + " " + u.open
	if u.open == "quart" {
		local = "us quart"
	}
	u.Word = local
	if h == measure.US {
		return u, ""
	}
	return u, fmt.Sprintf("a %s is larger or smaller by country; it was read as a %s", said.open, local)
}

// quantityOf writes an amount in its unit where its decimals end within six
// places, else in base units rounded at three.
func quantityOf(amount exact.Number, m measure.Unit, h measure.Household) (measure.Quantity, bool) {
	if exact.FromDecimal(amount.Round(6)).Equal(amount) {
		return measure.Of(short(amount, 6), m), false
	}
	base := amount.Mul(m.Factor(h))
	d := short(base, 3)
	return measure.Of(d, mustUnit(m.Dimension().Base())), !exact.FromDecimal(d).Equal(base)
}

// short rounds a number at so many places and leaves out the zeros behind.
func short(n exact.Number, places int32) decimal.Decimal {
	d := n.Round(places)
	for p := range places {
		if s := n.Round(p); s.Equal(d) {
			return s
		}
	}
	return d
}

func mustUnit(symbol string) measure.Unit {
	u, err := measure.ParseUnit(symbol)
	if err != nil {
		panic(err) // a symbol of this file
	}
	return u
}

// packings are states that change what a measure holds, folded, with the word
// that tables use.
var packings = map[string]string{
	"sifted": "sifted", "sieved": "sifted", "tamise": "sifted", "tamisee": "sifted", "gesiebt": "sifted", "gesiebte": "sifted", "gesiebter": "sifted", "gesiebtes": "sifted", "gesiebten": "sifted",
	"packed": "packed", "gepackt": "packed", "tasse": "packed", "tassee": "packed", "spooned": "spooned", "scooped": "scooped", "unsifted": "unsifted",
	"chopped": "chopped", "hache": "chopped", "hachee": "chopped", "haches": "chopped", "hachees": "chopped", "gehackt": "chopped", "gehackte": "chopped", "gehackten": "chopped", "sliced": "sliced", "mashed": "mashed", "grated": "grated", "shredded": "shredded", "melted": "melted",
}

// packing returns the word for how a measure is filled. In "1 cup flour, sifted"
// the flour is sifted after it is measured, and has no such state.
func packing(state string) string {
	for w := range strings.FieldsSeq(names.Words(state)) {
		if p := packings[w]; p != "" {
			return p
		}
	}
	return ""
}

func changesDensity(state string) bool { return packing(state) != "" }

func joinWords(a, b string) string { return strings.TrimSpace(a + " " + b) }

// butter reports whether a stick of it is the quarter pound of the American
// trade.
func butter(words string) bool {
	c := conceptOf(words)
	return c != "" && (c == conceptOf("butter") || c == conceptOf("salted butter") || c == conceptOf("margarine"))
}

// noteText is what goes with the line into the book.
func (l DraftLine) noteText() string {
	note := l.Note
	if l.Part != "" {
		note = joinNotes(strings.TrimRight(l.Part, ": "), note)
	}
	const most = 300
	if runes := []rune(note); len(runes) > most {
		note = string(runes[:most]) + "…"
	}
	return note
}

// propose makes a new ingredient of a line, without prices: it is offered, and
// never saved unasked.
func (d *Draft) propose(l Line) book.Ingredient {
	id := idOf(l.Words)
	for _, ing := range d.Proposed {
		if ing.ID == id {
			return ing
		}
	}
	ing := book.Ingredient{ID: id, Name: l.Words, Measure: measure.Mass, Prices: []book.Price{}}
	if l.Unit.Word == "" && l.Amount.Given || l.Unit.Word == "each" || l.Unit.Word == "dozen" {
		ing.Measure = measure.Count
	} else if m, ok := l.Unit.Measure(); ok && m.Dimension() == measure.Volume && (metric(l.Unit)) {
		ing.Measure = measure.Volume
	}
	d.Proposed = append(d.Proposed, ing)
	return ing
}

// idOf writes words as an id.
func idOf(words string) book.ID {
	words = strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return ' '
	}, names.Words(words))
	id := strings.Join(strings.Fields(words), "-")
	if len(id) > 80 {
		id = strings.TrimRight(id[:80], "-")
	}
	if id == "" {
		id = "new-ingredient"
	}
	return book.ID(id)
}

// IDOf returns the id that a recipe's name makes.
func IDOf(name string) book.ID { return idOf(name) }
