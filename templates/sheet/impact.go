package sheet

import (
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// Change is what price changes do to a studio, as the workbook shows it.
type Change struct {
	Studio book.Studio
	On     day.Date
	Title  string       // "butter +18 %"
	Share  exact.Number // overhead as a share of the other costs; 0 for other methods
	Moved  []Moved
	Cakes  []ChangedCake
	Quotes []ChangedQuote
}

// Moved is a resource whose price changes.
type Moved struct {
	ID       book.ID
	Unit     string
	Old, New exact.Number // money for a unit
}

// ChangedCake is a cake that uses what moves.
type ChangedCake struct {
	Impact   pricing.Impact
	Name     string
	Quantity []exact.Number // of each resource that moves
}

// ChangedQuote is an issued quote that does.
type ChangedQuote struct {
	Number, Client string
	Event          day.Date
	Net            exact.Number
	Sold           exact.Number // cost frozen on the day of issue
	Now            exact.Number // cost at today's prices
	After          exact.Number
	Quantity       []exact.Number
}

// mostMoved is how many resources the workbook shows side by side.
const mostMoved = 200

// Impact writes a workbook in which the new prices are inputs and every margin
// after the change follows from them by live formulas.
func Impact(out io.Writer, c Change) error {
	if len(c.Moved) > mostMoved {
		return fmt.Errorf("%d resources change; a workbook shows at most %d, so choose a smaller category", len(c.Moved), mostMoved)
	}
	s := changeSheet{Change: c, w: newWorkbook(about{title: "What prices do", of: c.Title, studio: c.Studio, on: c.On})}
	s.prices()
	s.cakes()
	if len(c.Quotes) > 0 {
		s.quotes()
	}
	return s.w.save(out)
}

type changeSheet struct {
	Change
	w     *workbook
	share string // cell of the overhead's share
	floor string
}

const changeFirst = 5 // first row of the table of prices

func (s *changeSheet) prices() {
	w := s.w
	p := w.page("Prices", paper{widths: []float64{30, 8, 16, 16, 12, 16}, freeze: 4, repeat: [2]int{4, 4}})
	p.opening(s.Title, "Change a yellow price, and every cost and margin on the other sheets follows.")
	p.skip(1)
	p.put(w.heads("Resource", "Unit", "#Price of a unit", "#New price", "#Change", "#Difference")...)
	for i, m := range s.Moved {
		row := changeFirst + i
		change, known := exact.Number{}, !m.Old.IsZero()
		if known {
			change = m.New.Quo(m.Old).Sub(exact.Int(1))
		}
		p.put(w.words(labelCell, string(m.ID)), w.words(labelCell, m.Unit),
			w.figure(figureCell, w.money.with(unitPlaces), m.Old), w.figure(inputCell, w.money.with(unitPlaces), m.New),
			w.perhaps(figureCell, shareFormat, fmt.Sprintf(`IF(C%d=0,"%s",D%d/C%d-1)`, row, absent, row, row), change, known),
			w.live(figureCell, w.money.with(unitPlaces), fmt.Sprintf("D%d-C%d", row, row), m.New.Sub(m.Old)))
	}
	p.between("D", changeFirst, changeFirst+len(s.Moved)-1, 0, 1e9, "A price is a number, 0 or more.")
	p.skip(1)
	p.put(w.words(labelCell, "Overhead, share of all other costs"), w.blank(labelCell, ""), w.figure(figureCell, percentFormat, s.Share))
	s.share = p.ref("C", p.row)
	p.put(w.words(labelCell, "Floor margin"), w.blank(labelCell, ""), w.figure(inputCell, percentFormat, s.Studio.FloorMargin.Or(measure.Percent{}).Fraction()))
	s.floor = p.ref("C", p.row)
	w.name("floor_margin", s.floor)
	p.close()
}

// unitPlaces are the decimals of a price of a gram.
const unitPlaces = 6

// columns are where a table of changed things has its figures; quantities of
// what moves follow the fixed ones.
func column(i int) string {
	name, err := excelize.ColumnNumberToName(i + 1)
	if err != nil {
		return "A" // i is bounded by mostMoved
	}
	return name
}

// deltas writes the row under the headings that repeats each price's
// difference above the quantities, so that a cost is a sum of two rows'
// products.
func (s *changeSheet) deltas(p *page, fixed int) {
	cells := s.w.blanks(noteCell, fixed)
	cells[0] = s.w.words(noteCell, "difference of a unit's price")
	for i, m := range s.Moved {
		cells = append(cells, s.w.live(figureCell, s.w.money.with(unitPlaces), cellOf("Prices", "F", changeFirst+i), m.New.Sub(m.Old)))
	}
	p.put(cells...)
}

// after is the formula of a cost after the change.
func (s *changeSheet) after(before string, row, fixed int) string {
	first, last := column(fixed), column(fixed+len(s.Moved)-1)
	return fmt.Sprintf("%s+SUMPRODUCT(%s,%s$5:%s$5)*(1+%s)", before, rangeOf(first, row, last, row), "$"+first, "$"+last, s.share)
}

func (s *changeSheet) heads(p *page, names ...string) {
	for _, m := range s.Moved {
		names = append(names, "#"+strings.TrimSpace(string(m.ID)+" "+m.Unit))
	}
	p.tall(30, s.w.heads(names...)...)
}

func (s *changeSheet) widths(fixed ...float64) []float64 {
	for range s.Moved {
		fixed = append(fixed, 14)
	}
	return fixed
}

func (s *changeSheet) cakes() {
	const fixed = 10
	w := s.w
	p := w.page("Cakes", paper{widths: s.widths(34, 10, 13, 13, 13, 13, 11, 11, 13, 15), freeze: 5, repeat: [2]int{4, 5}})
	p.opening("Cakes that use it", "The greatest loss of margin first. Prices stay as they are; quantities come from the recipes.")
	p.skip(1)
	s.heads(p, "Cake", "#Portions", "#Cost before", "#Cost after", "#A portion after", "#Price without tax", "#Margin before", "#Margin after", "Floor met", "#Break-even of a unit")
	s.deltas(p, fixed)
	first := p.row + 1
	for _, c := range s.Cakes {
		s.cake(p, c, fixed)
	}
	p.filter("A", column(fixed+len(s.Moved)-1), 4, max(p.row, first))
	p.close()
}

func (s *changeSheet) cake(p *page, c ChangedCake, fixed int) {
	w, row, im := s.w, p.row+1, c.Impact
	per, served := pricing.PerPortion(im.After, im.Served)
	met := exact.Int(1)
	if im.BelowFloor {
		met = exact.Number{}
	}
	cells := []any{
		w.words(labelCell, c.Name), w.figure(figureCell, countFormat, exact.Int(int64(im.Served))),
		w.figure(figureCell, w.money.plain, im.Before),
		w.live(figureCell, w.money.plain, s.after(fmt.Sprintf("C%d", row), row, fixed), im.After),
		w.perhaps(figureCell, w.money.plain, fmt.Sprintf(`IF(B%d=0,"%s",D%d/B%d)`, row, absent, row, row), per, served),
		w.given(figureCell, w.money.plain, im.Net, im.HasMargin),
		w.perhaps(figureCell, shareFormat, marginOf(row, "C"), im.MarginWas, im.HasMargin),
		w.perhaps(figureCell, shareFormat, marginOf(row, "D"), im.MarginIs, im.HasMargin),
	}
	verdict := w.perhaps(labelCell, "", fmt.Sprintf(`IF(ISNUMBER(H%d),IF(H%d<%s,"below","yes"),"%s")`, row, row, s.floor, absent), met, false)
	switch {
	case im.HasMargin && im.BelowFloor:
		verdict.Value = "below"
	case im.HasMargin:
		verdict.Value = "yes"
	}
	cells = append(cells, verdict)
	if len(s.Moved) == 1 && im.HasBreakEven() && im.HasMargin {
		even := w.perhaps(figureCell, w.money.with(unitPlaces),
			fmt.Sprintf(`IF(F%[1]d*(1-%[2]s)<C%[1]d-K%[1]d*%[3]s*(1+%[4]s),"%[5]s",(F%[1]d*(1-%[2]s)-C%[1]d)/(1+%[4]s)/K%[1]d+%[3]s)`,
				row, s.floor, cellOf("Prices", "C", changeFirst), s.share, absent), im.BreakEven, im.Reachable)
		cells = append(cells, even)
	} else {
		cells = append(cells, w.words(labelCell, absent))
	}
	for _, q := range c.Quantity {
		cells = append(cells, w.figure(figureCell, quantityFormat(q, ""), q))
	}
	p.put(cells...)
}

// marginOf is the margin of a row at its net price in F and the cost in a
// column.
func marginOf(row int, cost string) string {
	return fmt.Sprintf(`IF(N(F%d)=0,"%s",(F%d-%s%d)/F%d)`, row, absent, row, cost, row, row)
}

func (s *changeSheet) quotes() {
	const fixed = 10
	w := s.w
	p := w.page("Quotes", paper{widths: s.widths(14, 34, 13, 13, 13, 13, 11, 11, 11, 13), freeze: 5, repeat: [2]int{4, 5}})
	p.opening("Quotes issued, whose event is still to come", "Sold: as frozen on the day of issue. Today and after: the same quantities at today's prices and at the new ones.")
	p.skip(1)
	s.heads(p, "Quote", "Client", "Event", "#Cost sold", "#Cost today", "#Price without tax", "#Margin sold", "#Margin today", "#Margin after", "#Less earned")
	s.deltas(p, fixed)
	first := p.row + 1
	var lost exact.Number
	for _, q := range s.Quotes {
		row := p.row + 1
		margin := func(cost exact.Number) (exact.Number, bool) { return pricing.Margin(q.Net, cost) }
		sold, known := margin(q.Sold)
		now, _ := margin(q.Now)
		after, _ := margin(q.After)
		lost = lost.Add(q.After.Sub(q.Sold))
		change := s.after(fmt.Sprintf("E%d", row), row, fixed)
		cells := []any{
			w.words(labelCell, q.Number), w.words(labelCell, q.Client), w.words(labelCell, q.Event.String()),
			w.figure(figureCell, w.money.plain, q.Sold), w.figure(figureCell, w.money.plain, q.Now), w.figure(figureCell, w.money.plain, q.Net),
			w.perhaps(figureCell, shareFormat, marginOf(row, "D"), sold, known),
			w.perhaps(figureCell, shareFormat, marginOf(row, "E"), now, known),
			w.perhaps(figureCell, shareFormat, fmt.Sprintf(`IF(N(F%d)=0,"%s",(F%d-(%s))/F%d)`, row, absent, row, change, row), after, known),
			w.live(figureCell, w.money.plain, fmt.Sprintf("%s-D%d", change, row), q.After.Sub(q.Sold)),
		}
		for _, n := range q.Quantity {
			cells = append(cells, w.figure(figureCell, quantityFormat(n, ""), n))
		}
		p.put(cells...)
	}
	p.put(append(append([]any{w.words(totalLabel, "In all")}, w.blanks(totalLabel, 8)...),
		w.live(totalCell, w.money.plain, fmt.Sprintf("SUM(%s)", rangeOf("J", first, "J", p.row)), lost))...)
	w.name("less_earned", p.ref("J", p.row))
	p.close()
}
