package document

import (
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/shopping"
)

// Shopping is the list that somebody of the studio takes to the shop, or sends
// to a supplier. It is no paper for clients: it names suppliers and what they
// ask.
type Shopping struct {
	Language string // of the wording, BCP 47
	Title    string // of the file
	Date     day.Date
	Paper    Paper
	Look     Look
	Page     string // pattern of the page number: "Page %d of %d"
	More     string // said in the heading of a table that goes on

	Heading   string
	Studio    string
	Reference []Fact // prices of which day, for which orders
	Columns   ShoppingColumns
	Groups    []ShoppingGroup // by supplier
	Totals    []Fact          // the last one matters most
	Empty     string          // said in place of groups where nothing is to buy
	Stocked   Section         // what is needed and on hand
	Skipped   Section         // what was left out of the list
	Check     Section         // what somebody has to look at
	Leftovers []Section       // by what was taken apart
	Cautions  Section
}

// ShoppingColumns heads the columns of every group.
type ShoppingColumns struct {
	Item, Need, Packs, Price, Amount, Left string
}

// ShoppingGroup is what one supplier sells.
type ShoppingGroup struct {
	Heading  string // the supplier
	Rows     []ShoppingRow
	Subtotal Fact
}

// ShoppingRow is so many packs of one thing.
type ShoppingRow struct {
	Category string // rows of one category stand together; "" for none
	Item     string
	Note     string // "" or what to know beside: how pieces are used, what is on hand
	Need     string // "" where another row of the thing says it
	Packs    string // "2 packs of 250 g"
	Price    string // of a pack, as paid
	Amount   string
	Left     string // of the thing, after all its packs; "" where another row says it
}

// FromShopping writes out a shopping list in a studio's locale.
func FromShopping(list shopping.List, studio book.Studio, words ShoppingWords) Shopping {
	w := shoppingWriter{Locale: InEnglish(studio.Locale.Or("")), m: words, list: list}
	d := Shopping{
		Language: words.Language, Title: sentence(words.FileTitle, w.Date(list.On), studio.Name), Date: list.On, Paper: paperOf(studio, w.Locale), Look: lookOf(studio),
		Page: words.Page, More: words.Continued, Heading: words.Heading, Studio: studio.Name,
		Reference: w.reference(),
		Columns:   words.Columns,
		Stocked:   Section{Heading: words.Stocked},
		Skipped:   Section{Heading: words.Skipped},
		Check:     Section{Heading: words.Check},
		Cautions:  Section{Heading: words.Cautions},
	}
	for _, g := range list.Groups {
		d.Groups = append(d.Groups, w.group(g))
	}
	if len(list.Groups) == 0 {
		d.Empty = words.Nothing
		if len(list.Lines) > 0 {
			d.Empty = words.AllOnHand
		}
	} else {
		d.Totals = w.totals()
		d.Cautions.Lines = append(d.Cautions.Lines, words.LabelCaution)
	}
	for _, line := range list.Skipped {
		d.Skipped.Lines = append(d.Skipped.Lines, sentence(words.Amount, line.Name, w.amount(line.Needed, line.Unit)))
	}
	for _, line := range list.Lines {
		if len(line.Picks) == 0 {
			d.Stocked.Lines = append(d.Stocked.Lines, w.stocked(line))
		}
		if line.PartsUnknown {
			d.Check.Lines = append(d.Check.Lines, sentence(words.PartsUnknown, line.Name))
		}
		if left := w.leftovers(line); len(left.Lines) > 0 {
			d.Leftovers = append(d.Leftovers, left)
		}
	}
	if len(d.Leftovers) > 0 {
		d.Cautions.Lines = append(d.Cautions.Lines, words.LeftoverCaution)
	}
	return d
}

type shoppingWriter struct {
	Locale
	m    ShoppingWords
	list shopping.List
}

func (w shoppingWriter) reference() []Fact {
	facts := []Fact{{w.m.PricesOf, w.Date(w.list.On)}}
	var refs []string
	for _, o := range w.list.Orders {
		if o.Ref != "" {
			refs = append(refs, o.Ref)
		}
	}
	if len(refs) > 0 {
		facts = append(facts, Fact{w.m.ForOrders, strings.Join(refs, "; ")})
	}
	return facts
}

func (w shoppingWriter) group(g shopping.Group) ShoppingGroup {
	heading := g.Supplier
	if heading == "" {
		heading = w.m.AnySupplier
	}
	out := ShoppingGroup{Heading: heading, Subtotal: Fact{sentence(w.m.Subtotal, heading), w.money(g.Sum.PaidShown)}}
	for _, b := range g.Buys {
		out.Rows = append(out.Rows, w.row(b))
	}
	return out
}

func (w shoppingWriter) row(b shopping.Buy) ShoppingRow {
	row := ShoppingRow{
		Category: b.Line.Category, Item: b.Line.Name,
		Packs:  w.packs(b.Pick),
		Price:  w.price(b.Pick.Price.Price),
		Amount: w.money(b.Pick.Sum.PaidShown),
	}
	var notes []string
	if b.First {
		row.Need, row.Left = w.amount(b.Line.Needed, b.Line.Unit), w.amount(b.Line.Left, b.Line.Unit)
		if b.Line.Split != nil {
			notes = append(notes, w.pieces(*b.Line.Split))
		}
		if !b.Line.OnHand.IsZero() {
			notes = append(notes, sentence(w.m.OnHand, w.amount(b.Line.OnHand, b.Line.Unit)))
		}
	}
	if len(b.Line.Picks) > 1 {
		notes = append(notes, sentence(w.m.PartOfNeed, w.amount(b.Line.ToBuy, b.Line.Unit)))
	}
	if tax := b.Pick.Price.TaxIn; tax.Given && !tax.Value.Fraction().IsZero() {
		notes = append(notes, sentence(w.m.TaxIn, w.Percent(tax.Value.Fraction().Mul(exact.Int(100)).Round(4))))
	}
	row.Note = strings.Join(notes, "; ")
	return row
}

// pieces says how pieces are used: "5 whole, 6 apart for 102 g of egg yolk and
// 66 g of egg white".
func (w shoppingWriter) pieces(s shopping.Split) string {
	var parts []string
	for _, p := range s.Parts {
		if !p.Needed.IsZero() {
			parts = append(parts, sentence(w.m.Amount, p.Name, w.amount(p.Needed, "g")))
		}
	}
	apart := sentence(w.m.Apart, w.plain(s.Apart, 2), strings.Join(parts, ", "))
	if s.Whole.IsZero() {
		return apart
	}
	return sentence(w.m.Whole, w.plain(s.Whole, 2)) + ", " + apart
}

func (w shoppingWriter) totals() []Fact {
	s := w.list.Sum
	if !w.list.Recovers || s.Tax().IsZero() {
		return []Fact{{w.m.Total, w.money(s.PaidShown)}}
	}
	return []Fact{{w.m.Cost, w.money(s.CostShown)}, {w.m.Tax, w.money(s.Tax())}, {w.m.Total, w.money(s.PaidShown)}}
}

func (w shoppingWriter) stocked(l shopping.Line) string {
	if l.Split != nil && l.Needed.IsZero() {
		return sentence(w.m.PartsOnHand, l.Name, w.pieces(*l.Split))
	}
	return sentence(w.m.StockedLine, l.Name, w.amount(l.Needed, l.Unit), w.amount(l.OnHand, l.Unit))
}

// leftovers says what is left of the parts of a line, and what could use it.
func (w shoppingWriter) leftovers(l shopping.Line) Section {
	s := Section{Heading: sentence(w.m.Leftovers, l.Name)}
	if l.Split == nil {
		return s
	}
	for _, p := range l.Split.Parts {
		if p.Left.Sign() <= 0 {
			continue
		}
		var outlets []string
		for _, o := range p.UsedIn {
			batch := sentence(w.m.Batch, w.amount(o.Grams, "g"))
			if o.Keeps.Given() {
				batch += ", " + sentence(w.m.Keeps, w.span(o.Keeps))
			}
			outlets = append(outlets, sentence(w.m.Outlet, o.Name, batch))
		}
		left := sentence(w.m.Amount, p.Name, w.amount(p.Left, "g"))
		if len(outlets) == 0 {
			s.Lines = append(s.Lines, sentence(w.m.NoOutlet, left))
		} else {
			s.Lines = append(s.Lines, sentence(w.m.CouldGoInto, left, strings.Join(outlets, "; ")))
		}
	}
	return s
}

func (w shoppingWriter) money(a money.Amount) string { return w.Money(a, w.list.Currency) }

// price writes a pack price as it was typed, which may be finer than money is.
func (w shoppingWriter) price(p money.Price) string {
	if w.list.Currency.Fits(p) {
		return w.money(w.list.Currency.Amount(p.Decimal()))
	}
	return w.list.Currency.Code() + "\u00a0" + w.Number(p.Decimal(), 0)
}

// packs writes "2 packs of 10 × 250 g".
func (w shoppingWriter) packs(p shopping.Pick) string {
	pattern := w.m.Packs[1]
	if p.Packs.Equal(exact.Int(1)) {
		pattern = w.m.Packs[0]
	}
	return sentence(pattern, w.plain(p.Packs, 0), w.pack(p.Price.Pack))
}

// pack writes a pack in the locale's figures: "10 × 250 g".
func (w shoppingWriter) pack(p measure.Pack) string {
	text := p.String()
	times, each, several := strings.Cut(text, " x ")
	if !several {
		times, each = "", text
	}
	if q, err := measure.Parse(each); err == nil {
		each = w.quantity(w.Number(q.Figure(), 0), q.Unit().String())
	}
	if several {
		return sentence(w.m.Times, times, each)
	}
	return each
}

// span writes a keeping time: "10 days".
func (w shoppingWriter) span(q measure.Quantity) string {
	figure, unit := w.Number(q.Figure(), 0), q.Unit().String()
	if words, ok := w.m.Spans[unit]; ok {
		unit = words[1]
		if q.Figure().Equal(decimal.NewFromInt(1)) {
			unit = words[0]
		}
	}
	return figure + "\u00a0" + unit
}

// amount writes a number of base units: kilograms by the gram, grams by the
// tenth, and what is below ten by the hundredth.
func (w shoppingWriter) amount(n exact.Number, unit string) string {
	if large, in := measure.Handy(n, unit); in != unit {
		return w.quantity(w.plain(large, 3), in)
	}
	places := int32(1)
	if n.Cmp(exact.Int(10)) < 0 || unit == "each" {
		places = 2
	}
	return w.quantity(w.plain(n, places), unit)
}

// quantity joins a figure and a unit; pieces need none.
func (w shoppingWriter) quantity(figure, unit string) string {
	if unit == "each" {
		return figure
	}
	return figure + "\u00a0" + strings.Replace(unit, "2", "²", 1)
}

// plain writes a number rounded to places, without zeros at its end.
func (w shoppingWriter) plain(n exact.Number, places int32) string {
	text := n.Fixed(places)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	d, err := decimal.NewFromString(text)
	if err != nil {
		return text
	}
	return w.Number(d, 0)
}
