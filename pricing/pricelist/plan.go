package pricelist

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
	"marchpane/pricing/names"
	"marchpane/pricing/record"
)

// SuspiciousChange is the change of a price per base unit, up or down, beyond
// which a studio that has not said otherwise wants to look first.
const SuspiciousChange = "25 %"

// Options say whose list it is and how to take it.
type Options struct {
	Supplier   string
	From       day.Date        // the day the prices hold from, where a row gives none
	Suspicious measure.Percent // a greater change is suspicious
	Accept     map[int]bool    // numbers of suspicious rows to take all the same
	Note       string          // goes with every new price
}

// NewPlan says what the rows of a list would do to a book: each row's fate, in
// order. Nothing is changed. The error is about the list as a whole; what is
// wrong with a row is its fate.
func NewPlan(x *book.Index, rows []Row, m Mapping, aliases []Alias, o Options) (Plan, error) {
	studio := x.Book.Studio
	recovers := studio.RecoversTax.Or(false)
	switch {
	case strings.TrimSpace(o.Supplier) == "":
		return Plan{}, errors.New("the supplier is missing; say whose price list it is")
	case o.From.IsZero():
		return Plan{}, errors.New("the day is missing; say from when the prices hold")
	case m.Currency.Given && m.Currency.Value != studio.Currency:
		return Plan{}, fmt.Errorf("the list is in %s and the book in %s; enter what you pay in %s", m.Currency.Value.Code(), studio.Currency.Code(), studio.Currency.Code())
	}
	layout, err := FindLayout(rows, m, recovers)
	if err != nil {
		return Plan{}, err
	}
	if layout.side, err = side(layout, rows, m); err != nil {
		return Plan{}, err
	}
	if layout.units && layout.columns[asCount] >= 0 && m.PriceOf == "" {
		return Plan{}, fmt.Errorf("column %s may price a unit or the whole case of column %s; say by price_of: unit or pack",
			Letters(layout.columns[asPrice]), Letters(layout.columns[asCount]))
	}
	body := rows[layout.Head+1:]
	p := planner{
		reader:    newReader(layout, body, m, studio.Currency, recovers),
		finder:    newFinder(x.Book.Ingredients, aliases),
		studio:    studio,
		household: x.Household(),
		options:   o,
	}
	plan := Plan{Layout: layout}
	for _, row := range body {
		if !row.Blank() {
			plan.Fates = append(plan.Fates, p.fate(row, rows[max(layout.Head, 0)]))
		}
	}
	settle(plan.Fates, x.Household())
	return plan, nil
}

// side returns whether prices hold tax, which the mapping or the heading says.
func side(l Layout, rows []Row, m Mapping) (Side, error) {
	if m.Tax != Unstated {
		return m.Tax, nil
	}
	if l.side != Unstated {
		return l.side, nil
	}
	where := "column " + Letters(l.columns[asPrice])
	if l.Head >= 0 {
		where += " " + quoted(rows[l.Head].Cell(l.columns[asPrice]).Text)
	}
	return Unstated, fmt.Errorf("nothing says whether the prices in %s hold tax; say tax in or out", where)
}

type planner struct {
	*reader
	*finder
	studio    book.Studio
	household measure.Household
	options   Options
}

func (p *planner) fate(row, head Row) Fate {
	f := Fate{
		Row:  row,
		Item: clean(row.Cell(p.columns[asItem]).Text),
		Code: clean(row.Cell(p.columns[asCode]).Text),
	}
	priced := strings.TrimSpace(row.Cell(p.columns[asPrice]).Text) != ""
	switch {
	case p.Head >= 0 && row.Number != head.Number && sameCells(row, head):
		return f.end(PassedOver, "", "the heading again")
	case f.Item == "" && f.Code == "" && !priced:
		return f.end(PassedOver, "", "names no goods and no price")
	case f.Item == "" && f.Code == "":
		return f.end(Unreadable, row.At(max(p.columns[asItem], p.columns[asCode])), "a price without goods; write what it is for")
	}
	m := p.find(f.Code, f.Item)
	if m.index < 0 && !m.ignored && m.twice == nil {
		// "Butter 10 x 250 g" with its pack in the name.
		if _, pack, ok := packInName(f.Item, p.packIn.value, p.mapping.Customary); ok {
			if bare := p.find("", strings.Replace(f.Item, pack, "", 1)); bare.index >= 0 || bare.twice != nil {
				m = bare
			}
		}
	}
	switch {
	case m.ignored:
		return f.end(PassedOver, "", "the studio does not buy it")
	case m.index < 0 && !priced:
		return f.end(PassedOver, "", "has no price; taken for a title")
	}
	if m.remark != "" {
		f.Remarks = append(f.Remarks, m.remark)
	}
	got, err := p.read(row)
	var fault *unreadable
	if errors.As(err, &fault) {
		f.At, f.Reason = fault.at, fault.err.Error()
	} else {
		f.Remarks, f.Read = append(f.Remarks, got.remarks...), true
		f.Price = p.price(got)
	}
	if m.index < 0 {
		return p.unknown(f, m)
	}
	ing := &p.ingredients[m.index]
	f.Ingredient = ing.ID
	if !f.Read {
		return f.end(Unreadable, f.At, f.Reason)
	}
	return p.judged(f, ing)
}

func (f Fate) end(v Verdict, at, reason string) Fate {
	f.Verdict, f.At, f.Reason = v, at, reason
	return f
}

func sameCells(a, b Row) bool {
	for i := range max(len(a.Cells), len(b.Cells)) {
		if names.Words(a.Cell(i).Text) != names.Words(b.Cell(i).Text) {
			return false
		}
	}
	return true
}

// price makes the dated price of a reading.
func (p *planner) price(got reading) book.Price {
	d := book.Price{From: p.options.From, Supplier: record.Some(p.options.Supplier), Pack: got.pack, Price: got.price, TaxIn: got.taxIn}
	if !got.from.IsZero() {
		d.From = got.from
	}
	if p.options.Note != "" {
		d.Note = record.Some(p.options.Note)
	}
	return d
}

func (p *planner) unknown(f Fate, m match) Fate {
	name := f.Item
	if name == "" {
		name = f.Code
	}
	for _, i := range m.twice {
		f.Suggestions = append(f.Suggestions, Suggestion{p.ingredients[i].ID, p.ingredients[i].Name, 1000})
	}
	if m.twice != nil {
		return f.end(UnknownItem, "", fmt.Sprintf("several ingredients go by the name %s; save which one it is", quoted(name)))
	}
	f.Suggestions = p.suggest(name)
	column := p.columns[asItem]
	if column < 0 {
		column = p.columns[asCode]
	}
	return f.end(UnknownItem, f.Row.At(column), fmt.Sprintf("%s is no ingredient of the book; save which one it is, or that it is not bought", quoted(name)))
}

// judged compares a reading with what stands.
func (p *planner) judged(f Fate, ing *book.Ingredient) Fate {
	packAt := ""
	if c := p.columns[asPack]; c >= 0 {
		packAt = f.Row.At(c)
	}
	if f.Price.Pack.Dimension() != ing.Measure {
		return f.end(Suspicious, packAt, fmt.Sprintf("%s is a %s, but %s is bought by %s; it cannot be taken like this",
			f.Price.Pack, f.Price.Pack.Dimension(), ing.Name, ing.Measure))
	}
	f.New = f.Price.PerBase(p.studio)
	own := *ing
	own.Supplier = record.Some(p.options.Supplier)
	standing, err := own.PriceOn(f.Price.From)
	if err == nil && same(standing, f.Price, p.household) {
		f.compare(standing, p.studio)
		return f.end(Unchanged, "", "")
	}
	if err != nil { // nothing from this supplier yet
		if standing, err = ing.PriceOn(f.Price.From); err == nil {
			f.Remarks = append(f.Remarks, "compared with the price of "+standing.Supplier.Or("an unnamed supplier"))
		}
	}
	if err == nil {
		f.compare(standing, p.studio)
	}
	if slices.ContainsFunc(ing.Prices, func(q book.Price) bool { return equal(q, f.Price) }) {
		return f.end(Suspicious, "", "the very same entry stood already and a later one corrected it; add a note that says why it holds again")
	}
	if slices.ContainsFunc(ing.Prices, func(q book.Price) bool {
		return q.From.After(f.Price.From) && q.Supplier.Or("") == p.options.Supplier
	}) {
		f.Remarks = append(f.Remarks, "a price from a later day stands already")
	}
	priceAt := f.Row.At(p.columns[asPrice])
	if f.Price.Price.IsZero() {
		f.Acceptable = true
		f.At, f.Reason = priceAt, "the price is 0; some lists write that for \"on request\""
	} else if f.Compared && beyond(f.Change, p.options.Suspicious.Fraction()) {
		f.Acceptable = true
		f.At, f.Reason = priceAt, fmt.Sprintf("the price per %s changes by %s %%, more than %s; look at pack and price", ing.Measure.Base(), signed(f.Change), p.options.Suspicious)
	}
	switch {
	case f.Acceptable && !p.options.Accept[f.Row.Number]:
		return f.end(Suspicious, f.At, f.Reason)
	case f.Acceptable:
		f.Remarks = append(f.Remarks, "accepted: "+f.Reason)
	}
	return f.end(NewPrice, "", "")
}

// compare sets the old price per base unit and the change from it.
func (f *Fate) compare(standing book.Price, s book.Studio) {
	f.OldPrice, f.Old = standing, standing.PerBase(s)
	if f.Old.Sign() > 0 {
		f.Compared = true
		f.Change = f.New.Quo(f.Old).Sub(exact.Int(1))
	}
}

func beyond(change, most exact.Number) bool {
	if change.Sign() < 0 {
		change = change.Neg()
	}
	return change.Cmp(most) > 0
}

// signed prints a change as a percentage: "+12.5".
func signed(change exact.Number) string {
	s := change.Mul(exact.Int(100)).Fixed(1)
	if change.Sign() > 0 {
		s = "+" + s
	}
	return s
}

// same reports whether two prices say the same of the same amount, however the
// pack is written: 10 x 250 g is 2.5 kg.
func same(a, b book.Price, h measure.Household) bool {
	return a.Pack.Dimension() == b.Pack.Dimension() && a.Pack.Size(h).Equal(b.Pack.Size(h)) &&
		a.Price.Decimal().Equal(b.Price.Decimal()) && rate(a).Equal(rate(b))
}

func rate(p book.Price) exact.Number { return p.TaxIn.Or(measure.Percent{}).Fraction() }

// equal reports whether two entries are equal in every key, so that a merge
// would not add the second.
func equal(a, b book.Price) bool {
	return a.From == b.From && a.Supplier == b.Supplier && a.Pack.String() == b.Pack.String() && a.Price.String() == b.Price.String() &&
		a.TaxIn.Given == b.TaxIn.Given && a.TaxIn.Value.String() == b.TaxIn.Value.String() && a.Note == b.Note
}

// settle leaves one price for an ingredient and a day. Rows that repeat one
// are duplicates of the first; where rows contradict one another, as a small
// and a large pack of the same goods do, none is taken.
func settle(fates []Fate, h measure.Household) {
	type key struct {
		ingredient book.ID
		from       day.Date
	}
	first := map[key]int{}
	var contradicted []int
	for i := range fates {
		f := &fates[i]
		if !f.Read || f.Verdict != NewPrice && f.Verdict != Unchanged && !f.Acceptable {
			continue
		}
		k := key{f.Ingredient, f.Price.From}
		at, twice := first[k]
		if !twice {
			first[k] = i
			continue
		}
		f.OtherRow = fates[at].Row.Number
		if same(f.Price, fates[at].Price, h) {
			f.Verdict, f.At, f.Reason = Duplicate, "", fmt.Sprintf("says the same as row %d", f.OtherRow)
			continue
		}
		f.contradict()
		if fates[at].OtherRow == 0 {
			fates[at].OtherRow = f.Row.Number
			contradicted = append(contradicted, at)
		}
	}
	for _, at := range contradicted {
		fates[at].contradict()
	}
}

func (f *Fate) contradict() {
	f.Verdict, f.Contradicts, f.At = Duplicate, true, ""
	f.Reason = fmt.Sprintf("row %d has another pack or price for %s; save which of them the studio does not buy", f.OtherRow, f.Ingredient)
}
