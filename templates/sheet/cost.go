package sheet

import (
	"fmt"
	"io"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
)

// The sheets of a cost sheet.
const (
	summarySheet   = "Summary"
	materialsSheet = "Ingredients & packaging"
	recipesSheet   = "Components"
	labourSheet    = "Labour"
	equipmentSheet = "Equipment & overhead"
)

// Cost writes the cost sheet of a cake of book x as a workbook. It refuses a
// costing under rates that were changed for a what-if, since no price in the
// book accounts for them.
func Cost(out io.Writer, x *book.Index, c pricing.Costing) error {
	s, err := newCostSheet(x, c)
	if err != nil {
		return err
	}
	summary := s.w.page(summarySheet, paper{widths: []float64{34, 16, 13, 22, 3, 14, 14, 14, 14, 14}, onePage: true})
	materials := s.w.page(materialsSheet, paper{
		widths: []float64{36, 12, 12, 7, 15, 13, 15, 10, 12, 14, 12, 9, 12, 26, 22},
		freeze: tableHead, repeat: [2]int{tableHead, tableHead},
	})
	recipes := s.w.page(recipesSheet, paper{widths: []float64{36, 22, 12, 12, 7, 13, 12, 15, 14, 13, 20, 62}, freeze: 2, repeat: [2]int{1, 2}})
	labour := s.w.page(labourSheet, paper{
		widths: []float64{30, 36, 30, 13, 14, 14, 11, 13, 9, 56},
		freeze: s.frozenLabour(), repeat: [2]int{s.taskHead, s.taskHead},
	})
	equipment := s.w.page(equipmentSheet, paper{
		widths: []float64{34, 30, 13, 10, 9, 11, 11, 12, 12, 13, 44, 16},
		freeze: 2, repeat: [2]int{1, 2},
	})
	s.recipes(recipes)
	s.materials(materials)
	s.labour(labour)
	s.equipment(equipment)
	s.summary(summary)
	return s.w.save(out)
}

// Where the tables on the sheets begin. A page opens with a title, a note and
// an empty row.
const (
	tableHead  = 4
	tableFirst = tableHead + 1
)

// costSheet knows what stands in which row before any row is written, since
// the sheets refer to each other.
type costSheet struct {
	x    *book.Index
	c    pricing.Costing
	w    *workbook
	cost struct{ ingredients, packaging, labour, equipment, overhead string } // cells

	things     []pricing.BillLine // ingredients and packaging, from tableFirst
	thingRow   map[book.ID]int
	lastRecipe int // the last row that buys anything on the sheet of components

	roles     []pricing.BillLine // from tableFirst
	roleRow   map[book.ID]int
	tasks     []placed // from taskFirst
	taskHead  int
	taskFirst int
	taskRow   map[spot]int

	appliances   []pricing.BillLine // from applianceFirst
	applianceRow map[book.ID]int
	runs         []placed // from runFirst
	runFirst     int
	runRow       map[spot]int
	energyPrice  string // cell
}

// spot says which use it is: of making number making, or of the cake itself
// where that is -1.
type spot struct{ making, use int }

// placed is a use and, of an appliance, the energy that it burns.
type placed struct {
	pricing.Use
	spot spot
	kWh  exact.Number
}

func newCostSheet(x *book.Index, c pricing.Costing) (*costSheet, error) {
	s := &costSheet{
		x: x, c: c,
		thingRow: map[book.ID]int{}, roleRow: map[book.ID]int{}, applianceRow: map[book.ID]int{},
		taskRow: map[spot]int{}, runRow: map[spot]int{},
	}
	own := pricing.NewRates(x, c.Rates.On())
	for _, line := range c.Takeoff.Bill {
		if err := samePrice(line, c.Rates, own); err != nil {
			return nil, err
		}
		switch line.Kind {
		case pricing.Ingredient, pricing.Packaging:
			s.thingRow[line.Resource] = tableFirst + len(s.things)
			s.things = append(s.things, line)
		case pricing.Role:
			s.roleRow[line.Resource] = tableFirst + len(s.roles)
			s.roles = append(s.roles, line)
		case pricing.Equipment:
			s.applianceRow[line.Resource] = applianceFirst + len(s.appliances)
			s.appliances = append(s.appliances, line)
		}
	}
	// Below a table stand its total, an empty row and the next one's heading.
	s.taskHead = tableFirst + max(len(s.roles), 1) + 3
	s.taskFirst = s.taskHead + 1
	s.runFirst = applianceFirst + max(len(s.appliances), 1) + 4
	s.place(-1, c.Takeoff.Uses)
	for i, m := range c.Takeoff.Makings {
		s.place(i, m.Uses)
	}
	s.w = newWorkbook(about{title: "Cost sheet", of: c.Cake.Name, studio: x.Book.Studio, on: c.Rates.On()})
	return s, nil
}

// place gives tasks and appliances their rows.
func (s *costSheet) place(making int, uses []pricing.Use) {
	for i, u := range uses {
		at := spot{making, i}
		switch u.Kind {
		case pricing.Role:
			s.taskRow[at] = s.taskFirst + len(s.tasks)
			s.tasks = append(s.tasks, placed{Use: u, spot: at})
		case pricing.Equipment:
			run := placed{Use: u, spot: at}
			// The energy of an appliance follows it.
			if i+1 < len(uses) && uses[i+1].Kind == pricing.Energy {
				run.kWh = uses[i+1].Quantity
			}
			s.runRow[at] = s.runFirst + len(s.runs)
			s.runs = append(s.runs, run)
		}
	}
}

// samePrice makes sure that a unit of a resource costs under rates what the
// book's own figures give.
func samePrice(line pricing.BillLine, rates, own *pricing.Rates) error {
	rate, err := rates.Of(line.Resource, line.Kind)
	if err != nil {
		return err
	}
	inBook, err := own.Of(line.Resource, line.Kind)
	if err != nil {
		return err
	}
	if !inBook.PerUnit.Equal(rate.PerUnit) {
		return fmt.Errorf("%s costs something else here than in the book; write the cost sheet of a costing at the book's own prices", line.Resource)
	}
	return nil
}

// where names the place of a use.
func where(p pricing.Place) string {
	switch {
	case p.Component != "":
		return p.Component
	case p.Tier != "":
		return "tier " + p.Tier
	}
	return "the cake as a whole"
}

// rate returns what a unit of a resource costs. Every rate was found when the
// sheet was begun.
func (s *costSheet) rate(id book.ID, kind pricing.Kind) pricing.Rate {
	rate, err := s.c.Rates.Of(id, kind)
	s.w.check(err)
	return rate
}

// sumOf is the formula that adds up the figures beside the ids that equal id.
// SUMIFS would read an id such as may-2 as a date.
func sumOf(figures, ids, id string) string {
	return fmt.Sprintf("SUMPRODUCT((%s=%s)*1,%s)", ids, id, figures)
}

// share returns part ÷ whole, 0 where there is no whole.
func share(part, whole exact.Number) exact.Number {
	if whole.IsZero() {
		return exact.Number{}
	}
	return part.Quo(whole)
}

// shareOf is the formula of share.
func shareOf(part, whole string) string { return fmt.Sprintf("IF(%s=0,0,%s/%s)", whole, part, whole) }
