package reference

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

// Entry is one food.
type Entry struct {
	ID       book.ID
	Names    Names
	Category string // a free word for the book
	Contains []book.Allergen
	Often    []book.Allergen // by common recipes; the label decides
	Flags    []book.Flag
	Weights  []Weight
	Pieces   []Piece
	Yields   []Yield
	Parts    []Part // what one piece is split into
	Notes    []string
}

// Names are what a food is called, the usual name first.
type Names struct{ English, French, German []string }

// Weight is what a measure of a food weighs.
type Weight struct {
	Grams    exact.Number
	Amount   exact.Number
	Unit     string // a US measure of volume, or a word of the kitchen: "sachet"
	Form     string // "sifted"; "" where nothing is said of it
	Source   string
	Language string // of the packs that hold so much, "" for all
	code     string
	word     string // what the source calls the measure, where it is another word
}

// Piece is what one piece weighs, without what is thrown away.
type Piece struct {
	Grams  exact.Number
	Size   string // "medium"
	Source string
	code   string
}

// Yield is the share of a food as bought that can be used.
type Yield struct {
	Share  measure.Percent
	Lost   string // what is thrown away
	Source string
	code   string
}

// Part is a part of one piece, an egg's yolk.
type Part struct {
	book.EggPart
	Source string
	code   string
}

// All returns every entry, by group.
func All() []Entry { return table() }

// table is read from its text once: the text never changes.
var table = sync.OnceValue(func() []Entry {
	var list []Entry
	for _, text := range []string{dryFoods, dairyFoods, nutFoods, fruitFoods} {
		list = append(list, parse(text)...)
	}
	return list
})

// Density returns what ml of the weight's measure weighs, exactly; false for a
// word of the kitchen, which has no volume.
func (w Weight) Density() (exact.Number, bool) {
	u, err := measure.ParseUnit(w.Unit)
	if err != nil || u.Dimension() != measure.Volume {
		return exact.Number{}, false
	}
	return w.Grams.Quo(w.Amount.Mul(u.Factor(measure.US))), true
}

// String says what is weighed: "1 cup sifted, 115 g".
func (w Weight) String() string {
	return strings.Join(strings.Fields(w.Amount.Fixed(places(w.Amount))+" "+w.Unit+" "+w.Form), " ") + ", " + w.Grams.Fixed(places(w.Grams)) + " g"
}

func places(n exact.Number) int32 {
	for p := range int32(3) {
		if exact.FromDecimal(n.Round(p)).Equal(n) {
			return p
		}
	}
	return 3
}

// Density returns the food's usual density in g/ml, rounded at four decimals,
// and where it comes from; zero where none is known.
func (e Entry) Density() (measure.Density, string) {
	for _, w := range e.Weights {
		if d, ok := w.Density(); ok {
			density, err := measure.ParseDensity(plain(d.Round(4)) + " g/ml")
			if err != nil {
				panic(err) // of a weight above zero
			}
			return density, w.String() + ": " + w.Source
		}
	}
	return measure.Density{}, ""
}

// Each returns the mass of a usual piece as purchased, rounded at one decimal,
// and where it comes from. A piece that is only part of what is bought, such as
// the juice of a lemon, has none.
func (e Entry) Each() (measure.Quantity, string) {
	if len(e.Pieces) == 0 || len(e.Parts) > 0 || strings.HasSuffix(e.Pieces[0].Size, "yields") {
		return measure.Quantity{}, ""
	}
	p := e.Pieces[0]
	grams, source := p.Grams, p.Source
	// The piece is weighed without what the yield of its own source takes off.
	for _, y := range e.Yields {
		if y.code == p.code {
			grams = grams.Quo(y.Share.Fraction())
			source = fmt.Sprintf("%s, %s g usable ÷ %s", source, p.Grams.Fixed(places(p.Grams)), y.Share)
			break
		}
	}
	q := measure.Must(plain(grams.Round(1)) + " g")
	return q, strings.TrimSpace(p.Size + " piece as bought: " + source)
}

// TrimYield returns the food's usual yield and where it comes from.
func (e Entry) TrimYield() (record.Maybe[measure.Percent], string) {
	if len(e.Yields) == 0 || len(e.Parts) > 0 {
		return record.Maybe[measure.Percent]{}, ""
	}
	return record.Some(e.Yields[0].Share), e.Yields[0].Source
}

// Name returns the food's usual English name.
func (e Entry) Name() string { return e.Names.English[0] }

// Ingredient returns a book's ingredient with what is known of the food as its
// figures, without prices. What common recipes of the food often hold stands
// among the traces until someone has read the label.
func (e Entry) Ingredient(id book.ID, name string, by measure.Dimension) book.Ingredient {
	ing := book.Ingredient{ID: id, Name: name, Measure: by, Prices: []book.Price{}, Flags: slices.Clone(e.Flags)}
	if e.Category != "" {
		ing.Category = record.Some(e.Category)
	}
	ing.Density, _ = e.Density()
	ing.Each, _ = e.Each()
	ing.TrimYield, _ = e.TrimYield()
	for _, p := range e.Parts {
		part := p.EggPart
		if rest, ok := strings.CutPrefix(string(part.ID), string(e.ID)+"-"); ok {
			part.ID = id + "-" + book.ID(rest) // a book may hold several kinds of egg
		}
		ing.Parts = append(ing.Parts, part)
	}
	// That a table names none does not make a food free of allergens: then
	// nothing is stated.
	if len(e.Contains)+len(e.Often) > 0 {
		ing.Allergens = &book.AllergenNotes{Contains: slices.Clone(e.Contains), MayContain: slices.Clone(e.Often)}
	}
	return ing
}

func plain(d decimal.Decimal) string { return measure.Plain(d) }
