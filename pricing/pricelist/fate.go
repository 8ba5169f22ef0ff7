package pricelist

import (
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// Verdict is what becomes of a row.
type Verdict string

// The verdicts.
const (
	NewPrice    Verdict = "new price"
	Unchanged   Verdict = "unchanged" // that supplier's pack and price are in force already
	UnknownItem Verdict = "unknown item"
	Unreadable  Verdict = "unreadable"  // At and Reason say where and why
	Suspicious  Verdict = "suspicious"  // readable, but look at it first; Reason says why
	Duplicate   Verdict = "duplicate"   // another row of the file prices the same ingredient on the same day
	PassedOver  Verdict = "passed over" // a title, a repeated heading, or goods the studio does not buy
)

// Fate is a row of a list and what becomes of it.
type Fate struct {
	Verdict     Verdict
	Row         Row
	At          string   // address of the cell that Reason is about, where there is one
	Reason      string   // why; "" for a new or unchanged price
	Remarks     []string // what the reader had to decide, and what is worth a look
	Item, Code  string   // as the row names the goods
	Ingredient  book.ID  // "" where it is not known
	Suggestions []Suggestion
	Read        bool         // whether Price was read whole
	Price       book.Price   // the reading: supplier, day, pack, price, tax and note
	New         exact.Number // money per base unit of the ingredient, where Compared or a new price
	Compared    bool         // whether a price stood before: Old and Change are set
	OldPrice    book.Price
	Old         exact.Number // money per base unit
	Change      exact.Number // New ÷ Old − 1
	Acceptable  bool         // a suspicious row that Options.Accept may let through
	OtherRow    int          // of a duplicate: the number of the row it repeats or contradicts
	Contradicts bool         // whether a duplicate says something else than OtherRow does, so that neither is taken
}

// Dated is a price to add to an ingredient.
type Dated struct {
	Ingredient book.ID
	Price      book.Price
}

// Plan is what a list would do to a book.
type Plan struct {
	Layout Layout
	Fates  []Fate // in the order of the rows
}

// Count returns how many rows have a verdict.
func (p Plan) Count(v Verdict) int {
	n := 0
	for _, f := range p.Fates {
		if f.Verdict == v {
			n++
		}
	}
	return n
}

// Prices returns the dated prices that the plan adds, in the order of the rows.
func (p Plan) Prices() []Dated {
	var list []Dated
	for _, f := range p.Fates {
		if f.Verdict == NewPrice {
			list = append(list, Dated{f.Ingredient, f.Price})
		}
	}
	return list
}

// File returns the additions as a book file to merge: b's studio and the
// ingredients that get a price, each with its new prices only. book.Merge adds
// them to those that stand.
func File(b book.Book, additions []Dated) book.Book {
	file := book.Book{Format: b.Format, Studio: b.Studio}
	added := map[book.ID][]book.Price{}
	for _, d := range additions {
		added[d.Ingredient] = append(added[d.Ingredient], d.Price)
	}
	for _, ing := range b.Ingredients {
		if list, ok := added[ing.ID]; ok {
			ing.Prices = list
			file.Ingredients = append(file.Ingredients, ing)
		}
	}
	return file
}

// Open lists the numbers of the rows that somebody has to decide on before the
// plan can be applied: those that cannot be read, look wrong, or contradict one
// another.
func (p Plan) Open() []int {
	var rows []int
	for _, f := range p.Fates {
		if f.Open() {
			rows = append(rows, f.Row.Number)
		}
	}
	return rows
}

// Open reports whether somebody has to decide on the row.
func (f Fate) Open() bool {
	return f.Verdict == Unreadable || f.Verdict == Suspicious || f.Verdict == Duplicate && f.Contradicts
}
