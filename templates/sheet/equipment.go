package sheet

import (
	"fmt"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/exact"
	"marchpane/pricing/measure"
)

// On the sheet of equipment the energy price stands above the appliances.
const (
	energyRow      = 4
	applianceHead  = energyRow + 2
	applianceFirst = applianceHead + 1
)

// equipment writes the sheet of appliances, the energy they burn, and the
// overhead.
func (s *costSheet) equipment(p *page) {
	w := s.w
	p.opening("Equipment and overhead", "Wear is charged by the hour, energy is power × duty × time. Yellow cells are yours to change.")
	p.skip(1)
	s.energy(p)
	p.skip(1)
	p.tall(30, w.heads("Appliance", "Id", "#Wear per hour", "#Power, kW", "#Duty", "#Minutes", "#Energy, kWh", "#Wear", "#Energy", "#Cost", "", "")...)

	first, last := s.runFirst, s.runFirst+max(len(s.runs), 1)-1
	total := applianceFirst + max(len(s.appliances), 1)
	if len(s.appliances) == 0 {
		p.put(append([]any{w.words(labelCell, "no appliance")}, w.blanks(labelCell, 9)...)...)
	}
	for i, line := range s.appliances {
		s.appliance(p, applianceFirst+i, line, first, last)
	}
	p.between("C", applianceFirst, total-1, 0, 1e9, "Wear per hour is a number, 0 or more.")
	p.between("D", applianceFirst, total-1, 0, 1e6, "Power in kW, 0 or more.")
	p.between("E", applianceFirst, total-1, 0, 1, "The share of its time that an appliance draws its power, up to 100%.")

	sum := func(column string) string {
		return fmt.Sprintf("SUM(%s)", rangeOf(column, applianceFirst, column, total-1))
	}
	minutes, kWh, wear, energy := s.equipmentTotals()
	p.put(append(append([]any{w.words(totalLabel, "Equipment and energy")}, w.blanks(totalLabel, 4)...),
		w.live(totalCell, minutesFormat, sum("F"), minutes),
		w.live(totalCell, energyFormat, sum("G"), kWh),
		w.live(totalCell, w.money.plain, sum("H"), wear),
		w.live(totalCell, w.money.plain, sum("I"), energy),
		w.live(totalCell, w.money.plain, sum("J"), s.c.Cost.Equipment))...)
	s.cost.equipment = p.ref("J", p.row)

	p.skip(2)
	p.tall(30, w.heads("Appliance", "Place", "#Wear per hour", "#Power, kW", "#Duty", "#Minutes", "#Energy, kWh", "#Wear", "#Energy", "#Cost", "How the time arises", "Id")...)
	if len(s.runs) == 0 {
		p.put(append([]any{w.words(labelCell, "no use")}, w.blanks(labelCell, 11)...)...)
	}
	for i, run := range s.runs {
		s.run(p, first+i, run)
	}
	if len(s.runs) > 0 {
		p.filter("A", "L", first-1, last)
	}
	p.skip(1)
	s.overhead(p)
	p.close()
}

// energy writes the price of a kWh. Where no appliance draws power there need
// be none in the book, and the cell stays empty.
func (s *costSheet) energy(p *page) {
	w := s.w
	price, err := s.x.Book.EnergyOn(s.c.Rates.On())
	since := ""
	if err == nil {
		since = "in force since " + price.From.String()
	}
	format := w.money.of(price.Price.Decimal())
	p.put(w.words(labelCell, "Energy price per kWh"), w.words(labelCell, since), w.given(inputCell, format, price.Price.Number(), err == nil))
	p.between("C", energyRow, energyRow, 0, 1e9, "The price of a kWh is a number, 0 or more.")
	s.energyPrice = fmt.Sprintf("$C$%d", energyRow)
	w.name("energy_price", p.ref("C", energyRow))
}

// appliance writes what an appliance costs by the hour and what it does in
// all. Its uses stand in rows first to last.
func (s *costSheet) appliance(p *page, row int, line pricing.BillLine, first, last int) {
	w := s.w
	a, ok := s.x.Appliance(line.Resource)
	if !ok {
		w.check(fmt.Errorf("%q is no appliance of the book", line.Resource))
		return
	}
	var kWh exact.Number
	for _, run := range s.runs {
		if run.Resource == line.Resource {
			kWh = kWh.Add(run.kWh)
		}
	}
	wear := line.Quantity.Mul(s.rate(line.Resource, line.Kind).PerUnit)
	energy := kWh.Mul(s.perKWh())
	sum := func(column string) string {
		return sumOf(fixedRange(column, first, last), fixedRange("L", first, last), fmt.Sprintf("B%d", row))
	}
	perHour, kW := a.PerHour.Value, s.power(a)
	p.put(
		w.words(labelCell, a.Name),
		w.words(labelCell, string(a.ID)),
		w.figure(inputCell, w.money.of(perHour.Decimal()), perHour.Number()),
		w.figure(inputCell, energyFormat, kW),
		w.figure(inputCell, percentFormat, duty(a)),
		w.live(figureCell, minutesFormat, sum("F"), line.Quantity),
		w.live(figureCell, energyFormat, sum("G"), kWh),
		w.live(figureCell, w.money.plain, sum("H"), wear),
		w.live(figureCell, w.money.plain, sum("I"), energy),
		w.live(figureCell, w.money.plain, sum("J"), wear.Add(energy)),
	)
}

// run writes the row of one use of an appliance in one place.
func (s *costSheet) run(p *page, row int, run placed) {
	w := s.w
	a, ok := s.x.Appliance(run.Resource)
	if !ok {
		w.check(fmt.Errorf("%q is no appliance of the book", run.Resource))
		return
	}
	own := func(column string) string { return fmt.Sprintf("$%s$%d", column, s.applianceRow[run.Resource]) }
	wear := run.Quantity.Mul(s.rate(run.Resource, run.Kind).PerUnit)
	energy := run.kWh.Mul(s.perKWh())
	p.put(
		w.words(labelCell, run.Name),
		w.words(labelCell, where(run.Place)),
		w.live(figureCell, w.money.of(a.PerHour.Value.Decimal()), own("C"), a.PerHour.Value.Number()),
		w.live(figureCell, energyFormat, own("D"), s.power(a)),
		w.live(figureCell, percentFormat, own("E"), duty(a)),
		w.figure(figureCell, minutesFormat, run.Quantity),
		w.live(figureCell, energyFormat, fmt.Sprintf("D%d*E%d*F%d/60", row, row, row), run.kWh),
		w.live(figureCell, w.money.plain, fmt.Sprintf("C%d/60*F%d", row, row), wear),
		w.live(figureCell, w.money.plain, fmt.Sprintf("G%d*%s", row, s.energyPrice), energy),
		w.live(figureCell, w.money.plain, fmt.Sprintf("H%d+I%d", row, row), wear.Add(energy)),
		w.words(wrapCell, pricing.Say(run.Working)),
		w.words(wrapCell, string(run.Resource)),
	)
}

// equipmentTotals returns what all appliances do and cost.
func (s *costSheet) equipmentTotals() (minutes, kWh, wear, energy exact.Number) {
	for _, run := range s.runs {
		minutes = minutes.Add(run.Quantity)
		kWh = kWh.Add(run.kWh)
		wear = wear.Add(run.Quantity.Mul(s.rate(run.Resource, run.Kind).PerUnit))
	}
	return minutes, kWh, wear, kWh.Mul(s.perKWh())
}

// perKWh returns the price of energy, 0 where none is used.
func (s *costSheet) perKWh() exact.Number {
	if _, used := s.c.Takeoff.Bill.Line(book.EnergyID); !used {
		return exact.Number{}
	}
	return s.rate(book.EnergyID, pricing.Energy).PerUnit
}

// power returns what an appliance draws, in kW.
func (s *costSheet) power(a *book.Appliance) exact.Number {
	if !a.Power.Given() {
		return exact.Number{}
	}
	return a.Power.Base(s.x.Household()).Mul(exact.Frac(1, 1000))
}

func duty(a *book.Appliance) exact.Number {
	return a.Duty.Or(measure.MustPercent("100 %")).Fraction()
}

// overhead writes how the month's fixed cost reaches the cake.
func (s *costSheet) overhead(p *page) {
	w := s.w
	p.section("Overhead", 10)
	line := func(label, note string, cell any) string {
		p.put(w.words(labelCell, label), w.words(labelCell, note), cell)
		return fmt.Sprintf("C%d", p.row)
	}
	end := func(note, formula string) {
		p.put(w.words(totalLabel, "Overhead"), w.words(totalLabel, note), w.live(totalCell, w.money.plain, formula, s.c.Cost.Overhead))
		s.cost.overhead = p.ref("C", p.row)
	}
	o := s.x.Book.Overhead
	if o == nil {
		end("the studio has none", "0")
		return
	}
	// Where no labour is there need be no entry in force, and cells stay empty.
	dated, err := o.On(s.c.Rates.On())
	known := err == nil
	since := ""
	if known {
		since = "in force since " + dated.From.String()
	}
	amount := dated.Amount.Value
	format := w.money.of(amount.Decimal())
	switch o.Method {
	case book.ByLabourHour:
		monthHours := hours(o.Hours.Base(measure.Metric))
		month := line("Amount a month", since, w.given(inputCell, format, amount.Number(), known))
		p.between("C", p.row, p.row, 0, 1e12, "An amount of money, 0 or more.")
		worked := line("Labour hours a month", "of the whole studio", w.figure(inputCell, hoursFormat, monthHours))
		p.between("C", p.row, p.row, 0.01, 1e6, "Hours, above 0.")
		perHour := line("Overhead per labour hour", "amount ÷ hours", w.live(figureCell, w.money.plain, month+"/"+worked, amount.Number().Quo(monthHours)))
		taken := line("Labour hours of this cake", "", w.live(figureCell, hoursFormat, "labour_minutes/60", hours(s.c.Takeoff.Bill.Minutes())))
		end("per labour hour", perHour+"*"+taken)
	case book.ByPercent:
		part := line("Share of all other costs", since, w.given(inputCell, percentFormat, dated.Share.Value.Fraction(), known))
		p.between("C", p.row, p.row, 0, 10, "A share of the other costs, such as 18%.")
		others := line("All other costs", "ingredients, packaging, labour, equipment", w.live(figureCell, w.money.plain,
			s.cost.ingredients+"+"+s.cost.packaging+"+"+s.cost.labour+"+"+s.cost.equipment, s.c.Cost.Total().Sub(s.c.Cost.Overhead)))
		end("share × other costs", part+"*"+others)
	default:
		each := line("Amount a cake", since, w.given(inputCell, format, amount.Number(), known))
		p.between("C", p.row, p.row, 0, 1e12, "An amount of money, 0 or more.")
		end("a flat amount a cake", each)
	}
}
