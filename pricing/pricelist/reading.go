package pricelist

import (
	"errors"
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"marchpane/pricing/day"
	"marchpane/pricing/measure"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// reader reads the rows of one list.
type reader struct {
	Layout
	mapping  Mapping
	currency money.Currency
	recovers bool // whether the studio recovers tax
	priceIn  proof[Mark]
	packIn   proof[Mark]
	datesIn  proof[Order]
}

// proof is what the clear cells of a column tell about its ambiguous ones.
type proof[T ~string] struct {
	value    T // "" where nothing tells, or cells contradict one another
	said     T // what the mapping says
	from     string
	contrary string
}

// because explains why an ambiguous cell stays so.
func (p proof[T]) because() string {
	switch {
	case p.said != "" && p.contrary != "":
		return fmt.Sprintf("; the mapping says %s, but %s shows another way", p.said, p.contrary)
	case p.contrary != "":
		return fmt.Sprintf("; %s and %s show different ways", p.from, p.contrary)
	}
	return "; nothing else in the list tells"
}

// prove weighs what a mapping says against the marks that cells prove. A cell
// against the mapping means that the supplier now writes another way, and then
// neither is trusted.
func prove[T ~string](said T, cells []proven[T]) proof[T] {
	p := proof[T]{value: said, said: said}
	for _, c := range cells {
		switch {
		case c.value == "" || p.contrary != "":
		case p.value == "":
			p.value, p.from = c.value, c.at
		case p.value != c.value:
			p.contrary = c.at
		}
	}
	if p.contrary != "" {
		p.value = ""
	}
	return p
}

type proven[T ~string] struct {
	at    string
	value T
}

// newReader reads the list once for what its clear figures prove.
func newReader(l Layout, rows []Row, m Mapping, currency money.Currency, recovers bool) *reader {
	var prices, packs []proven[Mark]
	var dates []proven[Order]
	for _, row := range rows {
		see := func(r role, read func(text string)) {
			if c := row.Cell(l.columns[r]); c.Kind == Text && c.Text != "" {
				read(c.Text)
			}
		}
		see(asPrice, func(text string) {
			_, mark, err := amount(text, Unknown)
			if err == nil {
				prices = append(prices, proven[Mark]{row.At(l.columns[asPrice]), mark})
			}
		})
		see(asPack, func(text string) {
			_, marks, _ := readPack(text, Unknown, m.Customary)
			for _, mark := range marks {
				packs = append(packs, proven[Mark]{row.At(l.columns[asPack]), mark})
			}
		})
		see(asFrom, func(text string) {
			if _, order, err := date(text, ""); err == nil {
				dates = append(dates, proven[Order]{row.At(l.columns[asFrom]), order})
			}
		})
	}
	r := &reader{Layout: l, mapping: m, currency: currency, recovers: recovers}
	r.priceIn, r.packIn, r.datesIn = prove(m.Decimal, prices), prove(m.Decimal, packs), prove(m.Dates, dates)
	// A column that shows nothing itself follows the other.
	if r.priceIn.value == "" && r.priceIn.contrary == "" {
		r.priceIn = r.packIn
	} else if r.packIn.value == "" && r.packIn.contrary == "" {
		r.packIn = r.priceIn
	}
	return r
}

// reading is what a row says, read whole.
type reading struct {
	pack    measure.Pack
	price   money.Price
	taxIn   record.Maybe[measure.Percent]
	from    day.Date // zero where the list gives none
	remarks []string
}

// unreadable is why a row cannot be read, and in which cell.
type unreadable struct {
	at  string
	err error
}

func (u *unreadable) Error() string { return u.at + ": " + u.err.Error() }

// read reads a row whole; an error is an *unreadable.
func (r *reader) read(row Row) (reading, error) {
	var got reading
	fail := func(as role, err error) (reading, error) {
		at := row.At(max(r.columns[as], 0))
		if r.columns[as] < 0 {
			at = fmt.Sprintf("row %d", row.Number)
		}
		return reading{}, &unreadable{at, err}
	}
	a, err := r.amount(row, &got)
	if err != nil {
		return fail(asPrice, err)
	}
	if got.pack, err = r.pack(row, a, &got); err != nil {
		return fail(asPack, err)
	}
	if err := r.money(row, a); err != nil {
		return fail(asPrice, err)
	}
	if err := r.tax(row, a.Figure, &got); err != nil {
		return fail(asTax, err)
	}
	if c := row.Cell(r.columns[asFrom]); strings.TrimSpace(c.Text) != "" {
		if got.from, err = ReadDate(c.Text, r.datesIn.value); err != nil {
			return fail(asFrom, explained(err, r.datesIn.because()))
		}
		if _, err := ReadDate(c.Text, ""); err != nil {
			got.remark("%s read as %s", quoted(c.Text), got.from)
		}
	}
	return got, nil
}

func (g *reading) remark(format string, args ...any) {
	g.remarks = append(g.remarks, fmt.Sprintf(format, args...))
}

func explained(err error, why string) error {
	if errors.Is(err, ErrAmbiguous) {
		return fmt.Errorf("%w%s", err, why)
	}
	return err
}

// amount reads the price.
func (r *reader) amount(row Row, got *reading) (Amount, error) {
	c := row.Cell(r.columns[asPrice])
	if strings.TrimSpace(c.Text) == "" {
		return Amount{}, errors.New("there is no price")
	}
	mark := r.priceIn.value
	if c.Kind == Number {
		mark = Point
	}
	a, err := ReadAmount(c.Text, mark)
	if err != nil {
		return Amount{}, explained(err, r.priceIn.because())
	}
	if c.Kind == Number && -a.Figure.Exponent() > r.currency.Places() {
		got.remark("%s has more decimals than %s; where the sheet shows it rounded the supplier may bill that", measure.Plain(a.Figure), r.currency.Code())
	}
	if _, err := ReadAmount(c.Text, Unknown); err != nil && c.Kind == Text {
		got.remark("%s read as %s, as the list writes decimals", quoted(c.Text), measure.Plain(a.Figure))
	}
	return a, nil
}

// money checks that a price is in the book's currency.
func (r *reader) money(row Row, a Amount) error {
	stated := a.Currency
	if c := row.Cell(r.columns[asCurrency]); stated == "" && strings.TrimSpace(c.Text) != "" {
		word, ok := currencyOf(clean(c.Text))
		if !ok {
			return fmt.Errorf("currency %s is not known here", quoted(c.Text))
		}
		stated = word
	}
	if stated == "" {
		return nil
	}
	if !isCurrency(stated, r.currency) {
		return fmt.Errorf("the price is in %s and the book in %s; enter what you pay in %s", strings.ToUpper(stated), r.currency.Code(), r.currency.Code())
	}
	return nil
}

// pack reads what the price buys: from the price itself, from the pack, count
// and unit columns, else from the name of the goods.
func (r *reader) pack(row Row, a Amount, got *reading) (measure.Pack, error) {
	if a.Per != nil {
		return *a.Per, nil
	}
	size := strings.TrimSpace(row.Cell(r.columns[asPack]).Text)
	if r.per != nil {
		return *r.per, nil
	}
	text := r.sized(row, size)
	if text == "" {
		p, found, ok := packInName(row.Cell(r.columns[asItem]).Text, r.packIn.value, r.mapping.Customary)
		if !ok {
			return measure.Pack{}, errors.New("there is no pack: neither a column nor the name of the goods says what the price buys")
		}
		got.remark("pack %s taken from the name: %s", p, quoted(found))
		return p, nil
	}
	mark := r.packIn.value
	if row.Cell(r.columns[asPack]).Kind == Number {
		mark = Point
	}
	p, _, err := readPack(text, mark, r.mapping.Customary)
	if err != nil {
		return measure.Pack{}, explained(err, r.packIn.because())
	}
	if _, _, err := readPack(text, Unknown, r.mapping.Customary); err != nil && row.Cell(r.columns[asPack]).Kind == Text {
		got.remark("pack %s read as %s, as the list writes decimals", quoted(text), p)
	}
	return r.cased(row, p)
}

// sized joins a bare figure to the unit column.
func (r *reader) sized(row Row, size string) string {
	unit := strings.TrimSpace(row.Cell(r.columns[asUnit]).Text)
	switch {
	case unit == "":
		return size
	case size == "":
		return unit
	case strings.Trim(size, "0123456789., '") == "":
		return size + " " + unit
	}
	return size
}

// cased multiplies a pack by the count column, where the price is of the case.
func (r *reader) cased(row Row, p measure.Pack) (measure.Pack, error) {
	text := strings.TrimSpace(row.Cell(r.columns[asCount]).Text)
	if text == "" || r.mapping.PriceOf == ByUnit {
		return p, nil
	}
	n, err := decimal.NewFromString(text)
	if len(text) > 12 || err != nil || !n.IsInteger() || n.Sign() <= 0 {
		return p, fmt.Errorf("%s units a case is not a whole count (%s)", quoted(text), row.At(r.columns[asCount]))
	}
	if n.Equal(decimal.NewFromInt(1)) {
		return p, nil
	}
	count := n.Truncate(0).String()
	written := p.String()
	if times, _, several := strings.Cut(written, " x "); several {
		if times == count {
			return p, nil // both columns say the same
		}
		return p, fmt.Errorf("pack %s and %s units a case (%s) do not go together; say by price_of whether the price is of a unit", p, count, row.At(r.columns[asCount]))
	}
	return measure.ParsePack(count + " x " + written)
}

// packInName finds a pack at the end or the start of a name: "Butter 10x250g".
func packInName(name string, mark Mark, local Customary) (measure.Pack, string, bool) {
	if len(name) > maxCell {
		return measure.Pack{}, "", false
	}
	words := strings.Fields(clean(name))
	try := func(words []string) (measure.Pack, string, bool) {
		text := strings.Trim(strings.Join(words, " "), ",;-")
		if !strings.ContainsAny(text, "0123456789") {
			return measure.Pack{}, "", false
		}
		p, _, err := readPack(text, mark, local)
		return p, text, err == nil
	}
	for i := range words {
		if p, text, ok := try(words[i:]); ok {
			return p, text, true
		}
	}
	for i := len(words); i > 0; i-- {
		if p, text, ok := try(words[:i]); ok {
			return p, text, true
		}
	}
	return measure.Pack{}, "", false
}

// tax sets the price and the tax it holds as the book wants them. A studio
// that recovers no tax pays it, so that a price without is raised by it.
func (r *reader) tax(row Row, figure decimal.Decimal, got *reading) error {
	if r.side == TaxOut && r.recovers {
		return r.exact(figure, got) // the tax neither stands in the price nor costs anything
	}
	rate := r.mapping.TaxRate
	if c := row.Cell(r.columns[asTax]); !rate.Given && strings.TrimSpace(c.Text) != "" {
		p, err := readRate(c, r.priceIn.value)
		if err != nil {
			return explained(err, r.priceIn.because())
		}
		rate = record.Some(p)
	}
	switch {
	case r.side == TaxIn:
		if !rate.Given && r.recovers {
			return errors.New("the price holds tax that the studio recovers, but nothing says at what rate; give the rate")
		}
		got.taxIn = rate
	case !r.recovers:
		if !rate.Given {
			return errors.New("the price is without the tax that the studio pays and does not recover; give the rate, \"0 %\" for none")
		}
		if rate.Value.Fraction().Sign() > 0 {
			before := figure
			figure = before.Add(before.Mul(share(rate.Value)))
			got.taxIn = rate
			got.remark("%s and %s tax make %s", measure.Plain(before), rate.Value, figure)
		}
	}
	return r.exact(figure, got)
}

// exact takes a figure over as a price.
func (r *reader) exact(figure decimal.Decimal, got *reading) error {
	text := measure.Plain(figure)
	if got.taxIn.Given && r.side == TaxOut {
		text = figure.String() // the product has idle noughts
	}
	var err error
	got.price, err = money.ParsePrice(text)
	return err
}

// share returns a percentage as a decimal: 7 % is 0.07.
func share(p measure.Percent) decimal.Decimal {
	return decimal.RequireFromString(strings.TrimSuffix(p.String(), " %")).Shift(-2)
}

// readRate reads the rate of a tax: "7 %", "13,5%", "20".
func readRate(c Cell, mark Mark) (measure.Percent, error) {
	if c.Kind == Number {
		mark = Point
	}
	text, percent := strings.CutSuffix(clean(c.Text), "%")
	n, _, err := figure(strings.TrimSpace(text), mark)
	switch {
	case errors.Is(err, ErrAmbiguous):
		return measure.Percent{}, err
	case err != nil:
		return measure.Percent{}, fmt.Errorf("tax %s is not a rate; give the rate of the list instead", quoted(c.Text))
	case !percent && n.Sign() > 0 && n.LessThan(decimal.NewFromInt(1)):
		return measure.Percent{}, fmt.Errorf("tax %s may be %s %% or %s %%; write it with %%", quoted(c.Text), n, n.Shift(2))
	}
	return measure.ParsePercent(measure.Plain(n) + " %")
}
